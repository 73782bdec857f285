//! People, guests, kitchen time, chores.

use super::{
    super::{
        plan::{ItemId, PersonPlan, Spread, fixed},
        raw::{self, Entries, Kind, Scenario, TextOr},
    },
    Known,
    calendar::{Run, span},
    context::{Ctx, entry, under},
    items::{BOUGHT_MILK, Items},
};
use crate::units::{Count, MilkAmount, Minutes, Text as Q};

/// Most people of a household, guests included (a bound of the program).
const MOST_PEOPLE: usize = 500;

/// Who of the people calls for a caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::scenario) enum AtRisk {
    UnderOne,
    UnderFive,
    Over65,
    Pregnant,
}

/// People, guests included.
#[derive(Clone, Debug, Default)]
pub(in crate::scenario) struct People {
    pub plans: Vec<PersonPlan>,
    pub names: Vec<String>,
    /// Words for each kind: name, how many, part of days, kg on such a day.
    pub kinds: Vec<(String, u32, f64, f64)>,
    pub at_risk: Vec<AtRisk>,
    /// How many live in the household (guests and drinkers of no milk too).
    pub living: u32,
    /// By coefficient of variation, so that each is worked out once.
    spreads: Vec<(f64, Spread)>,
}

impl People {
    /// Mean kg a day drunk by those who are always there.
    pub(in crate::scenario) fn kg_a_day(&self) -> f64 {
        self.plans
            .iter()
            .filter(|p| p.present.is_empty())
            .map(|p| p.chance * p.mean_kg * f64::from(p.weekdays.count_ones()) / 7.0)
            .sum()
    }

    fn spread(&mut self, cv: f64) -> Spread {
        if let Some((_, known)) = self.spreads.iter().find(|(c, _)| *c == cv) {
            return known.clone();
        }
        let new = Spread::gamma(cv);
        self.spreads.push((cv, new.clone()));
        new
    }
}

/// Reads people, drinkers and guests.
pub(super) fn people(c: &mut Ctx, known: &Known, run: Run, raw: &raw::Household) -> People {
    let mut all = People::default();
    let like = [("shop norm", 0u8), ("milk household", 1), ("heavy", 2)];
    let level = c.choice("household.drinks like", &raw.drinks_like, &like).unwrap_or(1);
    let empty = Entries::default();
    let people = raw.people.as_ref().unwrap_or(&empty);
    kinds(c, known, &mut all, "household.people", people, level, "", &[]);
    for (i, d) in raw.drinkers.iter().flatten().enumerate() {
        drinker(c, &mut all, &entry("household.drinkers", i), d);
    }
    for (i, g) in raw.guests.iter().flatten().enumerate() {
        let at = entry("household.guests", i);
        let Some(people) = &g.people else {
            c.missing(
                &at,
                &["people"],
                "the `people` among these guests",
                "write `people: {woman 31 to 50: 2}`",
            );
            continue;
        };
        if g.from.is_none() || g.until.is_none() {
            c.missing(&at, &["from", "until"], "`from` or `until`", "say when these guests come and go");
            continue;
        }
        let Some((from, until)) = span(c, run, &at, &g.from, &g.until) else { continue };
        let present: Vec<bool> = (0..run.days).map(|d| (from..=until).contains(&d)).collect();
        let prefix = format!("guest {}: ", i + 1);
        kinds(c, known, &mut all, &under(&at, "people"), people, level, &prefix, &present);
    }
    if all.plans.len() > MOST_PEOPLE {
        c.error(
            "household",
            format!("{} people are more than {MOST_PEOPLE}", all.plans.len()),
            "is a number wrong?",
        );
        all.plans.truncate(MOST_PEOPLE);
        all.names.truncate(MOST_PEOPLE);
    }
    // Any order of the file gives the same plan.
    let mut order: Vec<usize> = (0..all.plans.len()).collect();
    order.sort_by(|a, b| all.names[*a].cmp(&all.names[*b]));
    all.plans = order.iter().map(|i| all.plans[*i].clone()).collect();
    all.names = order.iter().map(|i| all.names[*i].clone()).collect();
    all.at_risk.sort_unstable();
    all.at_risk.dedup();
    all
}

#[allow(clippy::too_many_arguments)]
fn kinds(
    c: &mut Ctx,
    known: &Known,
    all: &mut People,
    at: &str,
    people: &Entries<Q<Count>>,
    level: u8,
    prefix: &str,
    present: &[bool],
) {
    let mut written: Vec<(&str, String)> = Vec::new();
    for (name, count) in people.iter() {
        let at = under(at, name);
        let count = c.within(&at, &Some(count.clone()), 0.0..=MOST_PEOPLE as f64, "a number up to 500");
        let Some((full, kind)) = find(c, known, &at, name) else { continue };
        if let Some((_, first)) = written.iter().find(|(n, _)| *n == full) {
            // Two kinds of one name would drink alike on every day.
            let line = c.line(first);
            let d = crate::diagnostics::Diagnostic::error(format!(
                "`{name}` is the kind `{full}`, which stands on line {line} already"
            ));
            c.push_key(&at, d.help(format!("write one of them, with the number of both: `{full}: 2`")));
            continue;
        }
        written.push((full, at.clone()));
        let Some(count) = count.map(|n| n as u32).filter(|n| *n > 0) else { continue };
        let amount = match level {
            0 => &kind.shop_norm,
            2 => &kind.heavy,
            _ => &kind.milk_household,
        };
        let mean = c.within::<MilkAmount>(&at, amount, 0.0..=20.0, "an amount up to 20 L").unwrap_or(0.0);
        let chance = c.read(&at, &kind.part_of_days).unwrap_or(1.0);
        let cv = c.within(&at, &kind.give_or_take, 0.0..=1.0, "a part up to 100 %").unwrap_or(0.0);
        let risk = [
            ("under one", AtRisk::UnderOne),
            ("under five", AtRisk::UnderFive),
            ("over 65", AtRisk::Over65),
            ("pregnant", AtRisk::Pregnant),
        ];
        all.at_risk.extend(c.choice(&at, &kind.caution, &risk));
        all.living += if present.is_empty() { count } else { 0 };
        // The preset's mean is over all days; what is drunk on a drinking day
        // is so much more.
        let on_day = if chance > 0.0 { mean / chance } else { 0.0 };
        if on_day <= 0.0 {
            continue;
        }
        let spread = all.spread(cv);
        for i in 1..=count {
            all.names.push(format!("{prefix}{full}#{i}"));
            all.plans.push(PersonPlan {
                chance,
                mean_kg: on_day,
                spread: spread.clone(),
                weekdays: 0b111_1111,
                present: present.to_vec(),
            });
            if all.plans.len() > MOST_PEOPLE {
                return;
            }
        }
        all.kinds.push((format!("{prefix}{full}"), count, chance, on_day));
    }
}

/// The kind of that name; an unmistakable beginning will do.
fn find<'k>(c: &mut Ctx, known: &'k Known, at: &str, name: &str) -> Option<(&'k str, &'k Kind)> {
    let lower = name.trim().to_lowercase();
    let presets = &known.library.people;
    if let Some(found) = presets.iter().find(|(n, _)| n.eq_ignore_ascii_case(&lower)) {
        return Some(found);
    }
    let mut near = presets.iter().filter(|(n, _)| n.starts_with(&lower));
    if let (Some(found), None) = (near.next(), near.next()) {
        return Some(found);
    }
    let names: Vec<&str> = presets.names().collect();
    let help = crate::diagnostics::nearest(name, names.iter().copied()).map_or_else(
        || format!("known here: {}", super::context::list(&names)),
        |n| format!("did you mean `{n}`?"),
    );
    c.push_key(
        at,
        crate::diagnostics::Diagnostic::error(format!("`{name}` is no kind of person that is known here"))
            .help(help),
    );
    None
}

fn drinker(c: &mut Ctx, all: &mut People, at: &str, d: &raw::Drinker) {
    let p = |key: &str| under(at, key);
    let name = match &d.name {
        Some(t) if !t.get().is_empty() => t.get().to_owned(),
        _ => {
            c.missing(at, &["name"], "the `name` of this drinker", "write `name: Grandpa`");
            return;
        }
    };
    if all.names.iter().any(|n| n.eq_ignore_ascii_case(&name)) {
        c.error(&p("name"), format!("two drinkers are named `{name}`"), "give each a name of their own");
    }
    if d.how_much.is_none() {
        c.missing(
            at,
            &["how much"],
            "`how much`",
            "write what is drunk on a day with milk, such as `how much: 12 fl oz`",
        );
    }
    let amount = c.within(&p("how much"), &d.how_much, 0.0..=20.0, "an amount up to 20 L").unwrap_or(0.0);
    let chance = c.read(&p("part of days"), &d.part_of_days).unwrap_or(1.0);
    let cv = c.within(&p("give or take"), &d.give_or_take, 0.0..=1.0, "a part up to 100 %").unwrap_or(0.0);
    let weekdays = c.weekdays(&p("days"), &d.days).unwrap_or(0b111_1111);
    all.living += 1;
    if amount <= 0.0 || chance <= 0.0 {
        return;
    }
    all.kinds.push((name.clone(), 1, chance, amount));
    all.names.push(name);
    let spread = all.spread(cv);
    all.plans.push(PersonPlan { chance, mean_kg: amount, spread, weekdays, present: Vec::new() });
}

/// Kitchen minutes by month and weekday.
pub(super) fn kitchen(c: &mut Ctx, raw: &Option<raw::KitchenTime>) -> [[f64; 7]; 12] {
    // An hour a day unless the family says otherwise (our default).
    const USUAL: f64 = 60.0;
    raw.as_ref().map_or([[USUAL; 7]; 12], |t| day_times(c, "household.kitchen time", t))
}

/// Minutes by month and weekday; days that are not named have none.
pub(super) fn day_times(c: &mut Ctx, at: &str, t: &raw::KitchenTime) -> [[f64; 7]; 12] {
    let week = |c: &mut Ctx, at: &str, d: &raw::DayTimes, base: [f64; 7]| {
        let mut week = base;
        let read = |c: &mut Ctx, key: &str, q: &Option<Q<Minutes>>| {
            c.within(&under(at, key), q, 0.0..=1440.0, "a time up to 24 h")
        };
        let mut set = |days: std::ops::Range<usize>, v: Option<f64>| {
            if let Some(v) = v {
                week[days].fill(v);
            }
        };
        set(0..7, read(c, "every day", &d.every_day));
        set(0..5, read(c, "weekdays", &d.weekdays));
        set(5..7, read(c, "weekend", &d.weekend));
        for (i, (key, q)) in [
            ("mon", &d.mon),
            ("tue", &d.tue),
            ("wed", &d.wed),
            ("thu", &d.thu),
            ("fri", &d.fri),
            ("sat", &d.sat),
            ("sun", &d.sun),
        ]
        .into_iter()
        .enumerate()
        {
            set(i..i + 1, read(c, key, q));
        }
        week
    };
    let usual = raw::DayTimes {
        every_day: t.every_day.clone(),
        weekdays: t.weekdays.clone(),
        weekend: t.weekend.clone(),
        mon: t.mon.clone(),
        tue: t.tue.clone(),
        wed: t.wed.clone(),
        thu: t.thu.clone(),
        fri: t.fri.clone(),
        sat: t.sat.clone(),
        sun: t.sun.clone(),
    };
    let base = week(c, at, &usual, [0.0; 7]);
    let mut all = [base; 12];
    for (name, times) in t.by_month.as_ref().map(Entries::iter).into_iter().flatten() {
        let at = under(&under(at, "by month"), name);
        match crate::calendar::read_month(name) {
            Err(e) => c.push_key(&at, e.diagnostic()),
            Ok(m) => {
                let month = &mut all[usize::from(m) % 12];
                match times {
                    TextOr::Short(q) => {
                        let q: Option<Q<Minutes>> = Some(q.get().into());
                        if let Some(v) = c.within(&at, &q, 0.0..=1440.0, "a time up to 24 h") {
                            *month = [v; 7];
                        }
                    }
                    TextOr::Long(d) => *month = week(c, &at, d, base),
                }
            }
        }
    }
    all
}

/// What is drunk as milk, in order: what was heated, then skimmed before whole,
/// unless the family says otherwise; what was bought last.
pub(super) fn drinks(c: &mut Ctx, raw: &raw::Household, items: &Items) -> Vec<ItemId> {
    let mut known = vec![("skimmed milk", fixed::SKIMMED), ("whole milk", fixed::WHOLE)];
    known.splice(0..0, items.id("heated milk").map(|id| ("heated milk", id)));
    let bought = items.id(BOUGHT_MILK);
    known.extend(bought.map(|id| (BOUGHT_MILK, id)));
    let mut drinks = Vec::new();
    for (i, word) in raw.milk_on_the_table.iter().flatten().enumerate() {
        let at = entry("household.milk on the table", i);
        match c.choice(&at, &Some(word.clone()), &known) {
            Some(item) if drinks.contains(&item) => {
                c.error(&at, format!("`{}` stands there twice", word.get()), "write each milk once");
            }
            Some(item) => drinks.push(item),
            None => {}
        }
    }
    if drinks.is_empty() {
        return known.into_iter().map(|(_, item)| item).collect();
    }
    drinks.extend(bought.filter(|id| !drinks.contains(id)));
    drinks
}

/// Frozen milk that is drunk, as the table takes it and as it lies in the freezer.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FrozenMilk {
    pub drunk: Option<ItemId>,
    pub put_up: Option<ItemId>,
}

/// The frozen milk of this table: raw only where raw milk is drunk. Where a rule
/// thaws it, the table drinks what is thawed; else straight from the freezer.
pub(super) fn frozen(
    c: &mut Ctx,
    scenario: &Scenario,
    raw: &raw::Household,
    items: &Items,
    drinks: &[ItemId],
) -> FrozenMilk {
    let of = |frozen: &str, thawed: &str| {
        let put_up = items.id(frozen);
        FrozenMilk { drunk: items.id(thawed).or(put_up), put_up }
    };
    let (plain, heated) = (of("frozen milk", "thawed milk"), of("frozen heated milk", "thawed heated milk"));
    if drinks.iter().any(|i| *i == fixed::WHOLE || *i == fixed::SKIMMED) {
        return if plain.drunk.is_some() { plain } else { heated };
    }
    let freezes = |r: &raw::Rule| {
        super::recipes::asked_for(r).is_some_and(|what| what == "frozen milk" || what == "thawed milk")
    };
    if let (Some(rule), false) =
        (scenario.routine.iter().flatten().position(freezes), raw.milk_on_the_table.is_none())
    {
        c.warn(
            &under(&entry("routine", rule), "what"),
            "frozen milk is raw, and no raw milk is drunk here: none of it comes to the table",
            "make `frozen heated milk`, or name `whole milk` among `milk on the table`",
        );
    }
    heated
}

/// Minutes a milking, a jar, and of feeding a day.
pub(super) fn chores(c: &mut Ctx, raw: &Option<raw::Chores>) -> (f64, f64, f64) {
    let own = raw.clone().unwrap_or_default();
    let at = "household.chores";
    let bounds = "a time up to 8 h";
    let mut read = |key: &str, q: &Option<Q<Minutes>>, usual: f64| {
        c.within(&under(at, key), q, 0.0..=480.0, bounds).unwrap_or(usual)
    };
    // Common practice, no source: 20 to 30 min to strain, jar and wash; 3 min to
    // label, shelve and wash a jar; feeding is our default.
    (
        read("a milking", &own.a_milking, 25.0),
        read("a jar", &own.a_jar, 3.0),
        read("feeding", &own.feeding, 10.0),
    )
}
