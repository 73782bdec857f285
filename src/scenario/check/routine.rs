//! The routine: each rule, what it does and what holds it back.

mod does;
mod skimming;

use super::{
    super::{
        plan::{
            Action, Apart, BuyPlan, Condition, Ending, ItemId, ItemMask, PlaceId, RecipeId, RulePlan, fixed,
        },
        raw::{Rule, Text},
    },
    animals::Animal,
    calendar::Run,
    conditions::conditions,
    context::{Ctx, entry, list, under},
    items::Items,
    rooms::Rooms,
};
use crate::{
    calendar,
    units::{self, Count, MilkAmount, Text as Q, read_amount},
};
use does::Does;

/// What rules may speak of.
pub(super) struct World<'a> {
    pub run: Run,
    pub items: &'a Items,
    pub rooms: &'a Rooms,
    pub animals: &'a [Animal],
    /// Recipes in use: the word in the rule, the recipe, and the density of its
    /// main input, kg/L.
    pub recipes: &'a [(String, RecipeId, f64)],
    /// Wishes: word and items.
    pub wishes: &'a [(String, Vec<ItemId>)],
    /// There are members of a herd share.
    pub shares: bool,
    /// What may be bought, with its words.
    pub bought: (&'a [BuyPlan], &'a [String]),
}

/// What one rule comes to: one of these, or one for each item of a group.
struct Done {
    action: Action,
    /// Kg kept back of `items` together.
    keep: f64,
    items: ItemMask,
    what: String,
}

impl Done {
    fn new(action: Action, what: impl Into<String>) -> Self {
        Self { action, keep: 0.0, items: 0, what: what.into() }
    }

    fn keeping(self, kg: Option<f64>) -> Self {
        Self { keep: kg.unwrap_or(0.0), ..self }
    }
}

/// Compiles all rules, each with its name in a few words.
pub(super) fn rules(c: &mut Ctx, w: &World, raw: &[Rule]) -> Vec<(RulePlan, String)> {
    let mut all = Vec::new();
    for (i, rule) in raw.iter().enumerate() {
        let at = entry("routine", i);
        let Some(does) = does::does(c, &at, rule) else { continue };
        does::strays(c, &at, does, rule);
        let weekdays = c.weekdays(&under(&at, "days"), &rule.days);
        let weekdays = weekdays.unwrap_or(0b111_1111);
        let mut when = Vec::new();
        if let Some(raw) = &rule.when {
            let who = if does.is_of_an_animal() { whose(w, &rule.who) } else { None };
            conditions(c, w, &under(&at, "when"), raw, who, &mut when);
            if does == Does::Buy {
                when.iter_mut().for_each(|condition| with_bought(w.items, condition));
            }
        }
        let (per_week, per_day) = limits(c, &under(&at, "at most"), &rule.at_most);
        let once = matches!(does, Does::Skim | Does::Thaw).then_some(1);
        let every =
            c.within(&under(&at, "every"), &rule.every, 1.0..=3660.0, "a time from 1 day to 10 years");
        for (behind, done) in done(c, w, &at, does, rule).into_iter().enumerate() {
            all.push((
                RulePlan {
                    action: done.action,
                    weekdays,
                    when: when.clone(),
                    per_week,
                    per_day: per_day.or(once),
                    every_days: every.map(|d| d.round() as u32),
                    keep_back_kg: done.keep,
                    keep_back_of: done.items,
                    behind: behind as u8,
                },
                does::name(does, &done.what, weekdays, rule),
            ));
        }
    }
    all
}

/// What the rule comes to; empty where something is wrong, which is said.
fn done(c: &mut Ctx, w: &World, at: &str, does: Does, rule: &Rule) -> Vec<Done> {
    let one = match does {
        Does::Skim => skim(c, w, at, rule),
        Does::Thaw => thaw(c, w, at, rule),
        Does::Make => make(c, w, at, rule),
        Does::Buy => buy(c, w, at, rule),
        Does::Move | Does::Feed | Does::PourOut | Does::HandOut => {
            return of_items(c, w, at, does, rule).unwrap_or_default();
        }
        Does::DryOff | Does::CalfOn | Does::OnceADay | Does::TwiceADay | Does::ShutIn | Does::TakeCalf => {
            of_animal(c, w, at, does, rule)
        }
    };
    one.into_iter().collect()
}

fn skim(c: &mut Ctx, w: &World, at: &str, rule: &Rule) -> Option<Done> {
    let keep = |c: &mut Ctx, density| kg(c, &under(at, "keep back"), &rule.keep_back, density);
    if skimming::with_separator(c, at, rule) {
        // One pass a day through all of this morning's milk.
        let (recipe, density) = recipe_of(w, rule)?;
        let action = Action::Make { recipe, batch_kg: f64::INFINITY };
        return Some(Done::new(action, "").keeping(keep(c, density)));
    }
    let action = skimming::by_hand(c, at, rule);
    Some(Done::new(action, "").keeping(keep(c, w.items.densities[0])))
}

fn thaw(c: &mut Ctx, w: &World, at: &str, rule: &Rule) -> Option<Done> {
    let what = need(c, at, "what", &rule.what, "say what is thawed, such as `what: frozen milk`")?;
    let (recipe, density) = recipe_of(w, rule)?;
    let batch_kg = kg(c, &under(at, "how much"), &rule.how_much, density).unwrap_or(f64::INFINITY);
    let keep = kg(c, &under(at, "keep back"), &rule.keep_back, density);
    Some(Done::new(Action::Make { recipe, batch_kg }, what.get()).keeping(keep))
}

fn make(c: &mut Ctx, w: &World, at: &str, rule: &Rule) -> Option<Done> {
    let what = need(c, at, "what", &rule.what, "name the product, such as `what: butter`")?;
    let (recipe, density) = recipe_of(w, rule)?;
    let batch_kg = kg(c, &under(at, "batch"), &rule.batch, density).unwrap_or(f64::INFINITY);
    let keep = kg(c, &under(at, "keep back"), &rule.keep_back, density);
    Some(Done::new(Action::Make { recipe, batch_kg }, what.get()).keeping(keep))
}

/// What is done to an item, or to each of a group: what is kept back is kept of
/// them together, and what is taken is taken of them together.
fn of_items(c: &mut Ctx, w: &World, at: &str, does: Does, rule: &Rule) -> Option<Vec<Done>> {
    let what = need(c, at, "what", &rule.what, "name the item, such as `what: skimmed milk`")?;
    if does == Does::HandOut && !w.shares {
        c.error(&under(at, "do"), "there are no members to hand it out to", "describe `herd shares:`");
        return None;
    }
    let to = if does == Does::Move { Some(target(c, w, at, rule)?) } else { None };
    let ids = w.items.find(c, &under(at, "what"), what.get())?;
    let density = w.items.density(&ids);
    let most_kg = kg(c, &under(at, "how much"), &rule.how_much, density).unwrap_or(f64::INFINITY);
    let keep = kg(c, &under(at, "keep back"), &rule.keep_back, density).unwrap_or(0.0);
    let items = Items::mask(&ids);
    let mut all = Vec::new();
    for item in ids {
        let action = match (does, to) {
            (_, Some(to)) => {
                if w.rooms.places[to.at()].takes & (1 << item.0) == 0 {
                    if c.all_lost("products") {
                        continue;
                    }
                    let place = &w.rooms.place_names[to.at()];
                    c.error(
                        &under(at, "to"),
                        format!("{} may not stand in the {place}", w.items.name(item)),
                        "name another store, or say with `products:` how long it keeps there",
                    );
                    continue;
                }
                Action::Move { item, to, most_kg }
            }
            (Does::Feed, _) => Action::Feed { item, most_kg },
            (Does::HandOut, _) => Action::HandOut { item, most_kg },
            _ => Action::Dump { item, most_kg },
        };
        all.push(Done { action, keep, items, what: w.items.name(item).to_owned() });
    }
    Some(all)
}

/// What is done to one animal, or to her calf.
fn of_animal(c: &mut Ctx, w: &World, at: &str, does: Does, rule: &Rule) -> Option<Done> {
    let (animal, who) = animal(c, w, &under(at, "who"), at, &rule.who)?;
    let days = c.within(&under(at, "for"), &rule.for_, 1.0..=366.0, "a time from 1 day to 1 year");
    let days = days.map(|d| d.round() as u16);
    let apart = c.choice(&under(at, "apart"), &rule.apart, &APART);
    let of_calf = matches!(does, Does::CalfOn | Does::ShutIn | Does::TakeCalf);
    if of_calf && !needs_calf(c, w, at, usize::from(animal), &who) {
        return None;
    }
    // A week, unless it is said (our default).
    let a_time = days.unwrap_or(7);
    let action = match does {
        Does::CalfOn => Action::CalfOn { animal, days: a_time },
        Does::OnceADay => Action::OnceADay { animal, days: a_time },
        Does::ShutIn => {
            let calf = w.animals[usize::from(animal)].plan.calf?;
            Action::ShutIn { animal, apart: apart.unwrap_or(calf.apart), days: days.unwrap_or(u16::MAX) }
        }
        Does::TwiceADay => Action::End { animal, what: Ending::OnceADay },
        Does::TakeCalf => Action::End { animal, what: Ending::Calf },
        _ => Action::DryOff { animal },
    };
    Some(Done::new(action, who))
}

/// When a calf is kept apart, in words.
pub(super) const APART: [(&str, Apart); 4] = [
    ("overnight", Apart::Night),
    ("by night", Apart::Night),
    ("by day", Apart::Day),
    ("but after milkings", Apart::Both),
];

/// The recipe that a rule asks for, and the density of its main input.
fn recipe_of(w: &World, rule: &Rule) -> Option<(RecipeId, f64)> {
    let word = super::recipes::asked_for(rule)?;
    // An unknown recipe has been said already.
    w.recipes.iter().find(|(n, ..)| n.eq_ignore_ascii_case(&word)).map(|(_, id, density)| (*id, *density))
}

pub(super) fn needs_calf(c: &mut Ctx, w: &World, at: &str, animal: usize, who: &str) -> bool {
    if w.animals.get(animal).is_some_and(|a| a.plan.calf.is_some()) {
        return true;
    }
    c.error(
        at,
        format!("{who} has no calf on her"),
        "describe it with `calf:` at the animal, or leave this out",
    );
    false
}

fn need<'t>(c: &mut Ctx, at: &str, key: &str, text: &'t Option<Text>, help: &str) -> Option<&'t Text> {
    if text.is_none() {
        c.missing(at, &[key], &format!("`{key}`"), help);
    }
    text.as_ref()
}

/// `do: buy`: an entry of `bought when short`, and how much of it.
fn buy(c: &mut Ctx, w: &World, at: &str, r: &Rule) -> Option<Done> {
    let what = need(c, at, "what", &r.what, "name what is bought, such as `what: milk`")?;
    let (plans, names) = w.bought;
    let Some(n) = names.iter().position(|n| n.eq_ignore_ascii_case(what.get())) else {
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        c.unknown(&under(at, "what"), "purchase", what.get(), &known);
        return None;
    };
    if r.how_much.is_none() {
        c.missing(
            at,
            &["how much"],
            "`how much`",
            "write how much is bought at a time, such as `how much: 1 gal`",
        );
        return None;
    }
    let wish = plans[n].wish.map(usize::from);
    let density = wish.map_or(w.items.densities[0], |i| w.items.density(&w.wishes[i].1));
    let kg = kg(c, &under(at, "how much"), &r.how_much, density)?;
    Some(Done::new(Action::Buy { buy: n as u16, kg }, names[n].clone()))
}

/// Whoever buys looks at what was bought before too.
fn with_bought(all: &Items, condition: &mut Condition) {
    if let Condition::Stock { items, .. }
    | Condition::Jars { items, .. }
    | Condition::OldestAge { items, .. }
    | Condition::StockOrAge { items, .. } = condition
    {
        let own = *items;
        for i in (0..fixed::COUNT as u8).map(ItemId).filter(|i| own >> i.0 & 1 == 1) {
            *items |= 1 << all.bought_as(i).0;
        }
    }
}

/// An amount as kg of a stuff of that density.
fn kg(c: &mut Ctx, at: &str, q: &Option<Q<MilkAmount>>, density: f64) -> Option<f64> {
    c.read(at, q)?;
    c.take(at, read_amount(q.as_ref()?.as_str())).map(|a| a.kg(density))
}

/// Where a move goes: the roomiest place of the store.
fn target(c: &mut Ctx, w: &World, at: &str, r: &Rule) -> Option<PlaceId> {
    let to = need(c, at, "to", &r.to, "name the store, such as `to: chest freezer`")?;
    let Some((_, store)) = w.rooms.store(to.get()) else {
        let names: Vec<&str> = w.rooms.stores.iter().map(|s| s.name.as_str()).collect();
        c.unknown(&under(at, "to"), "store", to.get(), &names);
        return None;
    };
    let litres = |p: usize| w.rooms.places.get(p).map_or(0.0, |p| p.litres);
    let place = store.places.clone().max_by(|a, b| litres(*a).total_cmp(&litres(*b)))?;
    (place < w.rooms.places.len()).then_some(PlaceId(place as u8))
}

/// The animal that a rule speaks of, without a message.
fn whose(w: &World, who: &Option<Text>) -> Option<u16> {
    match who {
        Some(t) => w.animals.iter().position(|a| a.name.eq_ignore_ascii_case(t.get())).map(|i| i as u16),
        None => (w.animals.len() == 1).then_some(0),
    }
}

pub(super) fn animal(
    c: &mut Ctx,
    w: &World,
    at: &str,
    rule: &str,
    who: &Option<Text>,
) -> Option<(u16, String)> {
    let found = whose(w, who).map(|i| (i, w.animals[usize::from(i)].name.clone()));
    if found.is_none() {
        let names: Vec<&str> = w.animals.iter().map(|a| a.name.as_str()).collect();
        match who {
            Some(t) => c.unknown(at, "animal", t.get(), &names),
            None => c.missing(rule, &["who"], "`who`", format!("name the animal: {}", list(&names))),
        }
    }
    found
}

fn limits(c: &mut Ctx, at: &str, text: &Option<Text>) -> (Option<u32>, Option<u32>) {
    let Some(t) = text else { return (None, None) };
    let words = t.get().to_lowercase();
    let plain = words.trim_end_matches("times").trim_end();
    let (number, time) = match plain.split_once([' ', '/']) {
        Some((n, rest)) => (n, rest.trim_start_matches("times ").trim_start_matches("time ")),
        None => (plain, ""),
    };
    let n = match number {
        "once" | "one" => Some(1),
        "twice" | "two" => Some(2),
        n => units::read::<Count>(n).ok().map(|n| n as u32).filter(|n| (1..=100).contains(n)),
    };
    let unit = time.trim_start_matches("per ").trim_start_matches("a ").trim();
    match (n, unit) {
        (Some(n), "week") => (Some(n), None),
        (Some(n), "day") => (None, Some(n)),
        _ => {
            c.error(at, format!("`{}` is not understood", t.get()), "write `2 per week` or `1 per day`");
            (None, None)
        }
    }
}

/// `Mon and Thu`.
pub(in crate::scenario) fn day_words(mask: u8) -> String {
    let days: Vec<&str> =
        (0..7u8).filter(|d| mask & (1 << d) != 0).map(|d| &calendar::WEEKDAYS[usize::from(d)][..3]).collect();
    crate::units::show::listed(&days)
}
