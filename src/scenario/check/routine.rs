//! The routine: rules, conditions, the lists for a full cold room.

use super::{
    super::{
        plan::{Action, BuyPlan, Ending, ItemId, PlaceId, RecipeId, RulePlan, SkimDepth},
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
    units::{MilkAmount, Part, Text as Q, read_amount},
};

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

const ACTIONS: [(&str, u8); 14] = [
    ("skim", 0),
    ("make", 1),
    ("move", 2),
    ("feed", 3),
    ("pour out", 4),
    ("dry off", 5),
    ("leave the calf on", 6),
    ("milk once a day", 7),
    ("milk twice a day", 8),
    ("shut the calf in", 9),
    ("take the calf off", 10),
    ("thaw", 11),
    ("hand out", 12),
    ("buy", 13),
];

/// Compiles all rules, each with its name in a few words.
pub(super) fn rules(c: &mut Ctx, w: &World, raw: &[Rule]) -> Vec<(RulePlan, String)> {
    let mut all = Vec::new();
    for (i, rule) in raw.iter().enumerate() {
        let at = entry("routine", i);
        let Some(kind) = kind(c, &at, rule) else { continue };
        strays(c, &at, kind, rule);
        let weekdays = c.weekdays(&under(&at, "days"), &rule.days);
        let weekdays = weekdays.unwrap_or(0b111_1111);
        let mut when = Vec::new();
        if let Some(raw) = &rule.when {
            conditions(c, w, &under(&at, "when"), raw, &mut when);
        }
        let (per_week, per_day) = limits(c, &under(&at, "at most"), &rule.at_most);
        let every =
            c.within(&under(&at, "every"), &rule.every, 1.0..=3660.0, "a time from 1 day to 10 years");
        let mut plan_of = |action: Action, keep: f64, what: &str| {
            all.push((
                RulePlan {
                    action,
                    weekdays,
                    when: when.clone(),
                    per_week,
                    per_day: per_day.or_else(|| (kind == 0 || kind == 11).then_some(1)),
                    every_days: every.map(|d| d.round() as u32),
                    keep_back_kg: keep,
                },
                name(kind, what, weekdays, rule),
            ));
        };
        match kind {
            0 if with_separator(c, &at, rule) => {
                // One pass a day through all of this morning's milk.
                let Some((recipe, density)) = recipe_of(w, rule) else { continue };
                let keep = kg(c, &under(&at, "keep back"), &rule.keep_back, density).unwrap_or(0.0);
                plan_of(Action::Make { recipe, batch_kg: f64::INFINITY }, keep, "");
            }
            11 => {
                if need(c, &at, "what", &rule.what, "say what is thawed, such as `what: frozen milk`")
                    .is_none()
                {
                    continue;
                }
                let Some((recipe, density)) = recipe_of(w, rule) else { continue };
                let kg = |c: &mut Ctx, key: &str, q| kg(c, &under(&at, key), q, density);
                let batch_kg = kg(c, "how much", &rule.how_much).unwrap_or(f64::INFINITY);
                let keep = kg(c, "keep back", &rule.keep_back).unwrap_or(0.0);
                let what = rule.what.as_ref().map_or("", |t| t.get());
                plan_of(Action::Make { recipe, batch_kg }, keep, what);
            }
            0 => {
                let action = skim(c, &at, rule);
                let keep = kg(c, &under(&at, "keep back"), &rule.keep_back, w.items.densities[0]);
                plan_of(action, keep.unwrap_or(0.0), "");
            }
            1 => {
                let Some(what) = need(c, &at, "what", &rule.what, "name the product, such as `what: butter`")
                else {
                    continue;
                };
                let found = w.recipes.iter().find(|(n, ..)| n.eq_ignore_ascii_case(what.get()));
                // An unknown recipe has been said already.
                let Some((_, recipe, density)) = found else { continue };
                let density = *density;
                let batch = kg(c, &under(&at, "batch"), &rule.batch, density).unwrap_or(f64::INFINITY);
                let keep = kg(c, &under(&at, "keep back"), &rule.keep_back, density).unwrap_or(0.0);
                plan_of(Action::Make { recipe: *recipe, batch_kg: batch }, keep, what.get());
            }
            13 => {
                if let Some((action, what)) = buy(c, w, &at, rule) {
                    plan_of(action, 0.0, &what);
                }
            }
            2..=4 | 12 => {
                let Some(what) =
                    need(c, &at, "what", &rule.what, "name the item, such as `what: skimmed milk`")
                else {
                    continue;
                };
                if kind == 12 && !w.shares {
                    c.error(
                        &under(&at, "do"),
                        "there are no members to hand it out to",
                        "describe `herd shares:`",
                    );
                    continue;
                }
                let to = if kind == 2 { target(c, w, &at, rule) } else { None };
                if kind == 2 && to.is_none() {
                    continue;
                }
                let Some(ids) = w.items.find(c, &under(&at, "what"), what.get()) else { continue };
                let density = w.items.density(&ids);
                let most = kg(c, &under(&at, "how much"), &rule.how_much, density).unwrap_or(f64::INFINITY);
                let keep = kg(c, &under(&at, "keep back"), &rule.keep_back, density).unwrap_or(0.0);
                for item in ids {
                    let action = match (kind, to) {
                        (2, Some(to)) => {
                            if w.rooms.places[to.at()].takes & (1 << item.0) == 0 {
                                if c.all_lost("products") {
                                    continue;
                                }
                                let place = &w.rooms.place_names[to.at()];
                                c.error(
                                    &under(&at, "to"),
                                    format!("{} may not stand in the {place}", w.items.name(item)),
                                    "name another store, or say with `products:` how long it keeps there",
                                );
                                continue;
                            }
                            Action::Move { item, to, most_kg: most }
                        }
                        (3, _) => Action::Feed { item, most_kg: most },
                        (12, _) => Action::HandOut { item, most_kg: most },
                        _ => Action::Dump { item, most_kg: most },
                    };
                    plan_of(action, keep, w.items.name(item));
                }
            }
            _ => {
                let Some((animal, who)) = animal(c, w, &under(&at, "who"), &at, &rule.who) else { continue };
                if kind == 5 {
                    plan_of(Action::DryOff { animal }, 0.0, &who);
                    continue;
                }
                if let Some(what) = ending(kind) {
                    if what == Ending::OnceADay || needs_calf(c, w, &at, usize::from(animal), &who) {
                        plan_of(Action::End { animal, what }, 0.0, &who);
                    }
                    continue;
                }
                let days =
                    c.within(&under(&at, "for"), &rule.for_, 1.0..=366.0, "a time from 1 day to 1 year");
                let days = days.map_or(7, |d| d.round() as u16);
                if kind == 6 {
                    if !needs_calf(c, w, &at, usize::from(animal), &who) {
                        continue;
                    }
                    plan_of(Action::CalfOn { animal, days }, 0.0, &who);
                } else {
                    plan_of(Action::OnceADay { animal, days }, 0.0, &who);
                }
            }
        }
    }
    all
}

/// What an action of this number ends.
const fn ending(kind: u8) -> Option<Ending> {
    match kind {
        8 => Some(Ending::OnceADay),
        9 => Some(Ending::CalfOn),
        10 => Some(Ending::Calf),
        _ => None,
    }
}

/// The recipe that a rule asks for, and the density of its main input.
fn recipe_of(w: &World, rule: &Rule) -> Option<(RecipeId, f64)> {
    let word = super::recipes::asked_for(rule)?;
    // An unknown recipe has been said already.
    w.recipes.iter().find(|(n, ..)| n.eq_ignore_ascii_case(&word)).map(|(_, id, density)| (*id, *density))
}

/// Whether a skim is done by a separator; what it is set to is the recipe's.
fn with_separator(c: &mut Ctx, at: &str, r: &Rule) -> bool {
    let known = [("a spoon", false), ("spoon", false), ("separator", true)];
    let separator = c.choice(&under(at, "with"), &r.with, &known).unwrap_or(false);
    if separator {
        let settings = [
            ("after", r.after.is_some()),
            ("leave", r.leave.is_some()),
            ("take", r.take.is_some()),
            ("cuts", r.cuts.is_some()),
            ("a jar takes", r.a_jar_takes.is_some()),
        ];
        for (key, _) in settings.iter().filter(|(_, there)| *there) {
            let d = crate::diagnostics::Diagnostic::error(format!("`{key}` means nothing for a separator"));
            let help = "set it with `recipes: {separated cream: {gives: […]}}`";
            c.push_key(&under(at, key), d.help(help));
        }
    }
    separator
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

fn kind(c: &mut Ctx, at: &str, rule: &Rule) -> Option<u8> {
    if rule.does.is_none() {
        let words: Vec<&str> = ACTIONS.iter().map(|(w, _)| *w).collect();
        c.missing(at, &["do"], "`do`", format!("say what is done: {}", list(&words)));
        return None;
    }
    c.choice(&under(at, "do"), &rule.does, &ACTIONS)
}

/// Settings that mean nothing for this action.
fn strays(c: &mut Ctx, at: &str, kind: u8, r: &Rule) {
    let settings: [(&str, bool, &[u8]); 13] = [
        ("what", r.what.is_some(), &[1, 2, 3, 4, 11, 12, 13]),
        ("with", r.with.is_some(), &[0]),
        ("after", r.after.is_some(), &[0]),
        ("leave", r.leave.is_some(), &[0]),
        ("take", r.take.is_some(), &[0]),
        ("cuts", r.cuts.is_some(), &[0]),
        ("a jar takes", r.a_jar_takes.is_some(), &[0]),
        ("batch", r.batch.is_some(), &[1]),
        ("to", r.to.is_some(), &[2]),
        ("how much", r.how_much.is_some(), &[2, 3, 4, 11, 12, 13]),
        ("who", r.who.is_some(), &[5, 6, 7, 8, 9, 10]),
        ("for", r.for_.is_some(), &[6, 7]),
        ("keep back", r.keep_back.is_some(), &[0, 1, 2, 3, 4, 11, 12]),
    ];
    for (key, there, kinds) in settings {
        if there && !kinds.contains(&kind) {
            let does = ACTIONS[usize::from(kind)].0;
            let d = crate::diagnostics::Diagnostic::error(format!("`{key}` means nothing for `do: {does}`"));
            c.push_key(&under(at, key), d.help("leave it out"));
        }
    }
}

fn need<'t>(c: &mut Ctx, at: &str, key: &str, text: &'t Option<Text>, help: &str) -> Option<&'t Text> {
    if text.is_none() {
        c.missing(at, &[key], &format!("`{key}`"), help);
    }
    text.as_ref()
}

/// `do: buy`: an entry of `bought when short`, and how much of it.
fn buy(c: &mut Ctx, w: &World, at: &str, r: &Rule) -> Option<(Action, String)> {
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
    Some((Action::Buy { buy: n as u16, kg }, names[n].clone()))
}

/// An amount as kg of a stuff of that density.
fn kg(c: &mut Ctx, at: &str, q: &Option<Q<MilkAmount>>, density: f64) -> Option<f64> {
    c.read(at, q)?;
    c.take(at, read_amount(q.as_ref()?.as_str())).map(|a| a.kg(density))
}

fn skim(c: &mut Ctx, at: &str, r: &Rule) -> Action {
    let p = |key: &str| under(at, key);
    let after = c.within(&p("after"), &r.after, 0.0..=10.0, "a time up to 10 days");
    // A depth that is not understood has been said; the whole layer stands in.
    let depth = depth(c, at, r).unwrap_or(SkimDepth::Layer);
    let apart = c.choice(&p("cuts"), &r.cuts, &[("together", false), ("apart", true)]).unwrap_or(false);
    // 2 to 3 minutes a jar (common practice, no source).
    let minutes = c.within(&p("a jar takes"), &r.a_jar_takes, 0.0..=120.0, "a time up to 2 h").unwrap_or(2.5);
    // Cream is worth taking after a day at rest (common practice, no source).
    Action::Skim { after_hours: after.unwrap_or(1.0) * 24.0, depth, apart, minutes_per_jar: minutes }
}

fn depth(c: &mut Ctx, at: &str, r: &Rule) -> Option<SkimDepth> {
    let p = |key: &str| under(at, key);
    match (&r.leave, &r.take) {
        (Some(_), Some(_)) => {
            c.error(
                &p("take"),
                "a skim leaves so much fat or takes such a cream, not both",
                "leave one of them out",
            );
            None
        }
        (Some(t), None) => {
            let words = t.get().trim_end_matches("in the milk").trim_end().trim_end_matches("fat");
            let fat = c.words::<Part>(&p("leave"), words)?;
            if fat > 0.2 {
                let message = format!("`{}` is more than milk holds", t.get());
                c.error(&p("leave"), message, "write such as `leave: 3 % fat`");
                return None;
            }
            Some(SkimDepth::Leave(fat))
        }
        // The least fat of heavy and of light cream (21 CFR 131.150 and 131.155).
        (None, Some(_)) => c.choice(
            &p("take"),
            &r.take,
            &[
                ("top cream", SkimDepth::Grade(0.36)),
                ("heavy cream", SkimDepth::Grade(0.36)),
                ("light cream", SkimDepth::Grade(0.18)),
                ("the whole layer", SkimDepth::Layer),
                ("whole layer", SkimDepth::Layer),
            ],
        ),
        (None, None) => Some(SkimDepth::Layer),
    }
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

pub(super) fn animal(
    c: &mut Ctx,
    w: &World,
    at: &str,
    rule: &str,
    who: &Option<Text>,
) -> Option<(u16, String)> {
    let names: Vec<&str> = w.animals.iter().map(|a| a.name.as_str()).collect();
    match who {
        Some(t) => match names.iter().position(|n| n.eq_ignore_ascii_case(t.get())) {
            Some(i) => Some((i as u16, names[i].to_owned())),
            None => {
                c.unknown(at, "animal", t.get(), &names);
                None
            }
        },
        None if names.len() == 1 => Some((0, names[0].to_owned())),
        None => {
            c.missing(rule, &["who"], "`who`", format!("name the animal: {}", list(&names)));
            None
        }
    }
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
        n => n.parse::<u32>().ok().filter(|n| (1..=100).contains(n)),
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

fn name(kind: u8, what: &str, weekdays: u8, rule: &Rule) -> String {
    let mut words = match kind {
        6 => format!("leave the calf on {what}"),
        7 => format!("milk {what} once a day"),
        8 => format!("milk {what} twice a day again"),
        9 => format!("shut in the calf of {what}"),
        10 => format!("take the calf off {what}"),
        _ => format!("{} {what}", ACTIONS[usize::from(kind)].0).trim().to_owned(),
    };
    if kind == 0 {
        if let Some(t) = rule.leave.as_ref() {
            words = format!("skim to {}", t.get());
        }
        if super::recipes::asked_for(rule).is_some() {
            words = "skim with the separator".to_owned();
        }
        if let Some(t) = rule.take.as_ref() {
            words = format!("skim {}", t.get());
        }
    }
    if let Some(to) = rule.to.as_ref().filter(|_| kind == 2) {
        words = format!("{words} to the {}", to.get());
    }
    if weekdays != 0b111_1111 {
        words = format!("{words} on {}", day_words(weekdays));
    }
    words
}

/// `Mon and Thu`.
pub(in crate::scenario) fn day_words(mask: u8) -> String {
    let days: Vec<&str> =
        (0..7u8).filter(|d| mask & (1 << d) != 0).map(|d| &calendar::WEEKDAYS[usize::from(d)][..3]).collect();
    crate::units::show::listed(&days)
}
