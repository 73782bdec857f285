//! What there is to do or to look out for on a day: one list for the words, the
//! tables, the calendar and the sheet.

use super::{Told, sure};
use crate::report::amounts::{counted, join};
use crate::scenario::plan::{Action, Ending, FullStep, ItemId};
use crate::study::ahead::{AheadDay, Range, Work};

/// What kind of thing it is, the most needed first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// Milk is kept from people.
    Kept,
    /// The cold is too full.
    Full,
    /// Drinking milk or a wish goes short.
    Short,
    /// Milk turns sour.
    Sour,
    /// Members come.
    PickUp,
    /// She freshens or is dry.
    Animal,
    /// Jars to skim.
    Skim,
    /// A batch.
    Make,
    /// Any other rule.
    Do,
    /// A list for a full fridge acts.
    List,
    /// What comes into the pail.
    Pail,
    /// What is fetched.
    Fetched,
}

impl Kind {
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Kept => "kept_from_people",
            Self::Full => "too_full",
            Self::Short => "short",
            Self::Sour => "turns_sour",
            Self::PickUp => "pick_up",
            Self::Animal => "animal",
            Self::Skim => "skim",
            Self::Make => "make",
            Self::Do => "rule",
            Self::List => "when_full",
            Self::Pail => "milk",
            Self::Fetched => "fetched",
        }
    }
}

/// What an amount is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// A part of something.
    Part,
    /// Milk, kg.
    Milk,
    /// An item, kg: by volume or by mass as it is told.
    Item(ItemId),
    /// Anything by mass, kg.
    Mass,
}

/// One thing on one day.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Thing {
    pub day: u32,
    pub kind: Kind,
    /// The animal, rule or item that it is about.
    pub who: String,
    /// In words, without how sure it is.
    pub text: String,
    /// Part of the futures; `None`: it is a range or a promise that says so itself.
    pub chance: Option<f64>,
    /// Amounts, and what they are in.
    pub amounts: Option<(Range, Of)>,
}

impl Thing {
    /// With how sure it is.
    pub(super) fn words(&self) -> String {
        match self.chance {
            Some(chance) => format!("{}: {}", self.text, sure(chance)),
            None => self.text.clone(),
        }
    }
}

/// Rarer than this, a thing is left out of words, calendar and sheet.
pub(super) const TOLD: f64 = 0.1;

/// All things of a day, the most needed first.
pub(super) fn of_day(told: &Told, d: &AheadDay) -> Vec<Thing> {
    let mut all = Vec::new();
    let mut add = |kind: Kind, who: &str, text: String, chance: Option<f64>, amounts| {
        all.push(Thing { day: d.day, kind, who: who.to_owned(), text, chance, amounts });
    };
    let names = told.names;
    for a in 0..d.pails.len() {
        let name = told.animal(a);
        let (kept, dry, fresh) = (d.kept[a], d.dry[a], d.freshens[a]);
        if kept > 0.0 {
            add(Kind::Kept, name, format!("the milk of {name} is kept from people"), Some(kept), None);
        }
        if fresh > 0.0 {
            add(Kind::Animal, name, format!("{name} freshens"), Some(fresh), None);
        }
        if let Some(text) = dry_words(told, d, a) {
            add(Kind::Animal, name, text, Some(dry), None);
        }
        if dry < 1.0 {
            let text = format!("{} from {name}", told.range(d.pails[a]));
            add(Kind::Pail, name, text, None, Some((d.pails[a], Of::Milk)));
        }
    }
    if d.pails.len() > 1 {
        add(Kind::Pail, ALL, format!("{} in all", told.range(d.pail)), None, Some((d.pail, Of::Milk)));
    }
    if d.fetched.high > 0.0 {
        add(
            Kind::Fetched,
            "",
            format!("{} fetched", told.range(d.fetched)),
            None,
            Some((d.fetched, Of::Milk)),
        );
    }
    if d.over_full > 0.0 {
        let used = Some((d.cold, Of::Part));
        add(Kind::Full, "", "not everything finds a place in the cold".into(), Some(d.over_full), used);
    }
    if d.short > 0.0 {
        add(Kind::Short, "drinking milk", "drinking milk does not go round".into(), Some(d.short), None);
    }
    // Wishes that are short as surely as each other in one line.
    let mut short: Vec<(f64, Vec<String>)> = Vec::new();
    for (w, part) in d.wishes_short.iter().enumerate().filter(|(_, p)| **p > 0.0) {
        let name = names.wishes.get(w).map_or("a wish", String::as_str).to_owned();
        match short.iter_mut().find(|(p, _)| sure(*p) == sure(*part)) {
            Some((_, list)) => list.push(name),
            None => short.push((*part, vec![name])),
        }
    }
    for (part, list) in short {
        let who = join(&list, "and");
        let is = if list.len() == 1 { "is" } else { "are" };
        add(Kind::Short, &who, format!("{who} {is} short"), Some(part), None);
    }
    if let Some(p) = &d.promise {
        let milk = |kg: f64| told.amount(Some(ItemId(0)), kg);
        let text = format!(
            "pick-up: {} can be promised (there in 9 of 10); {} is promised, kept {}",
            milk(p.in_nine),
            milk(p.promised),
            sure(p.kept)
        );
        add(Kind::PickUp, "", text, None, Some((p.there, Of::Item(ItemId(0)))));
    }
    for (chance, rule, text) in skims(told, d) {
        add(Kind::Skim, told.ahead.rules.get(rule).map_or("", String::as_str), text, Some(chance), None);
    }
    for work in &d.works {
        let Some((kind, text, of)) = work_words(told, work) else { continue };
        let rule = told.ahead.rules.get(work.rule).map_or("", String::as_str);
        add(kind, rule, text, Some(work.chance), of.map(|of| (work.kg, of)));
    }
    for s in told.ahead.sours.iter().filter(|s| s.days[1] == d.day) {
        let text = format!(
            "{} turns sour ({}), most likely between {} and {}",
            told.soured(s),
            told.amount(Some(s.item), s.kg.middle),
            told.day(s.days[0]),
            told.day(s.days[2])
        );
        let text = if s.days[0] == s.days[2] {
            format!("{} turns sour ({})", told.soured(s), told.amount(Some(s.item), s.kg.middle))
        } else {
            text
        };
        add(Kind::Sour, &told.soured(s), text, Some(s.chance), Some((s.kg, Of::Item(s.item))));
    }
    all.sort_by(|a, b| a.kind.cmp(&b.kind).then(b.chance.unwrap_or(1.0).total_cmp(&a.chance.unwrap_or(1.0))));
    all
}

/// That she is dry, on the first day of those that say so as surely: until when.
fn dry_words(told: &Told, d: &AheadDay, animal: usize) -> Option<String> {
    let days = &told.ahead.days;
    let at = days.iter().position(|o| o.day == d.day)?;
    let said = |i: usize| days.get(i).and_then(|d| d.dry.get(animal)).filter(|p| **p > 0.0).map(|p| sure(*p));
    let here = said(at)?;
    if at > 0 && said(at - 1).as_ref() == Some(&here) {
        return None;
    }
    let last = (at..days.len()).take_while(|i| said(*i).as_ref() == Some(&here)).last()?;
    let name = told.animal(animal);
    Some(match days.get(last).filter(|_| last > at) {
        Some(_) if last + 1 == days.len() => format!("{name} is dry, from here to the end"),
        Some(day) => format!("{name} is dry, until {}", told.day(day.day)),
        None => format!("{name} is dry"),
    })
}

/// The animal of rows about all of them.
pub(super) const ALL: &str = "all animals";

/// Jars to skim: those as sure as each other in one line.
fn skims(told: &Told, d: &AheadDay) -> Vec<(f64, usize, String)> {
    let mut all: Vec<(f64, usize, Vec<String>)> = Vec::new();
    for s in &d.skims {
        let jars = format!("{} of {}", counted(s.jars, "jar", "jars"), told.milking(s.milking));
        match all.iter_mut().find(|(c, r, _)| *r == s.rule && sure(*c) == sure(s.chance)) {
            Some((_, _, list)) => list.push(jars),
            None => all.push((s.chance, s.rule, vec![jars])),
        }
    }
    all.into_iter()
        .map(|(chance, rule, jars)| (chance, rule, format!("skim {}", join(&jars, "and"))))
        .collect()
}

/// What a rule does, in words; nothing for what is told otherwise.
fn work_words(told: &Told, work: &Work) -> Option<(Kind, String, Option<Of>)> {
    let rules = &told.plan.rules;
    let kg = work.kg.middle;
    let of = |item: ItemId| format!("{} of {}", told.amount(Some(item), kg), told.item(item));
    let who = |a: u16| told.animal(usize::from(a)).to_owned();
    let act = |action: &Action| match *action {
        Action::Skim { .. } => None,
        Action::Make { recipe, .. } => {
            let name = told.names.recipes.get(recipe.at())?;
            let input = told.plan.recipes.get(recipe.at())?.inputs.first()?;
            let first = *input.items.first()?;
            let from = if input.items.len() > 1 { "cream or milk" } else { told.item(first) };
            let cream = input.items.iter().all(|i| (2..=4).contains(&i.0));
            let milk = input.items.len() > 1 && input.items.iter().all(|i| i.0 <= 1);
            let from = if cream {
                "cream"
            } else if milk {
                "milk"
            } else {
                from
            };
            let text = format!("make {name} of {} of {from}", told.amount(Some(first), kg));
            Some((Kind::Make, text, Some(Of::Item(first))))
        }
        Action::Move { item, to, .. } => {
            let place = told.names.places.get(to.at()).map_or("its place", String::as_str);
            Some((Kind::Do, format!("move {} to the {place}", of(item)), Some(Of::Item(item))))
        }
        Action::Feed { item, .. } => Some((Kind::Do, format!("feed {}", of(item)), Some(Of::Item(item)))),
        Action::Dump { item, .. } => Some((Kind::Do, format!("pour out {}", of(item)), Some(Of::Item(item)))),
        Action::HandOut { item, .. } => {
            Some((Kind::Do, format!("hand out {} more", of(item)), Some(Of::Item(item))))
        }
        Action::Buy { .. } => Some((Kind::Do, format!("buy {}", told.show().mass(kg)), Some(Of::Mass))),
        Action::DryOff { animal } => Some((Kind::Do, format!("dry {} off", who(animal)), None)),
        Action::CalfOn { animal, .. } => Some((Kind::Do, format!("leave the calf on {}", who(animal)), None)),
        Action::ShutIn { animal, apart, .. } => {
            Some((Kind::Do, format!("shut the calf of {} in {}", who(animal), apart.words()), None))
        }
        Action::OnceADay { animal, .. } => Some((Kind::Do, format!("milk {} once a day", who(animal)), None)),
        Action::End { animal, what } => {
            let what = match what {
                Ending::Calf => format!("take the calf off {}", who(animal)),
                Ending::OnceADay => format!("milk {} twice a day again", who(animal)),
            };
            Some((Kind::Do, what, None))
        }
    };
    if let Some(rule) = rules.get(work.rule) {
        return act(&rule.action);
    }
    let n = work.rule - rules.len();
    let tonight = &told.plan.when_full.tonight;
    match tonight.get(n) {
        Some(FullStep::Feed(item)) => {
            Some((Kind::List, format!("too full: feed {}", of(*item)), Some(Of::Item(*item))))
        }
        Some(FullStep::PourOut(item)) => {
            Some((Kind::List, format!("too full: pour out {}", of(*item)), Some(Of::Item(*item))))
        }
        None => {
            let (_, text, of) = act(told.plan.when_full.tomorrow.get(n - tonight.len())?)?;
            Some((Kind::List, format!("too full, from tomorrow: {text}"), of))
        }
    }
}
