//! The routine: rules, conditions, the lists for a full cold room.

use super::{
    super::{
        plan::{Action, Condition, FullStep, ItemId, MAX_ITEMS, RecipeId, RulePlan, SkimDepth, WhenFullPlan},
        raw::{self, Entries, Rule, Text, When},
    },
    animals::Animal,
    bounds::{self, Bounds},
    calendar::Run,
    context::{Ctx, entry, list, under},
    items::Items,
    rooms::Rooms,
};
use crate::{
    calendar,
    units::{Duration, MilkAmount, Part, Text as Q, read_amount},
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
}

const ACTIONS: [(&str, u8); 8] = [
    ("skim", 0),
    ("make", 1),
    ("move", 2),
    ("feed", 3),
    ("pour out", 4),
    ("dry off", 5),
    ("leave the calf on", 6),
    ("milk once a day", 7),
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
                    per_day: per_day.or_else(|| (kind == 0).then_some(1)),
                    every_days: every.map(|d| d.round() as u32),
                    keep_back_kg: keep,
                },
                name(kind, what, weekdays, rule),
            ));
        };
        match kind {
            0 => {
                if let Some(action) = skim(c, &at, rule) {
                    let keep = kg(c, &under(&at, "keep back"), &rule.keep_back, w.items.densities[0]);
                    plan_of(action, keep.unwrap_or(0.0), "");
                }
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
            2..=4 => {
                let Some(what) =
                    need(c, &at, "what", &rule.what, "name the item, such as `what: skimmed milk`")
                else {
                    continue;
                };
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

fn needs_calf(c: &mut Ctx, w: &World, at: &str, animal: usize, who: &str) -> bool {
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
        c.missing(at, "`do`", format!("say what is done: {}", list(&words)));
        return None;
    }
    c.choice(&under(at, "do"), &rule.does, &ACTIONS)
}

/// Settings that mean nothing for this action.
fn strays(c: &mut Ctx, at: &str, kind: u8, r: &Rule) {
    let settings: [(&str, bool, &[u8]); 12] = [
        ("what", r.what.is_some(), &[1, 2, 3, 4]),
        ("after", r.after.is_some(), &[0]),
        ("leave", r.leave.is_some(), &[0]),
        ("take", r.take.is_some(), &[0]),
        ("cuts", r.cuts.is_some(), &[0]),
        ("a jar takes", r.a_jar_takes.is_some(), &[0]),
        ("batch", r.batch.is_some(), &[1]),
        ("to", r.to.is_some(), &[2]),
        ("how much", r.how_much.is_some(), &[2, 3, 4]),
        ("who", r.who.is_some(), &[5, 6, 7]),
        ("for", r.for_.is_some(), &[6, 7]),
        ("keep back", r.keep_back.is_some(), &[0, 1, 2, 3, 4]),
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
        c.missing(at, &format!("`{key}`"), help);
    }
    text.as_ref()
}

/// An amount as kg of a stuff of that density.
fn kg(c: &mut Ctx, at: &str, q: &Option<Q<MilkAmount>>, density: f64) -> Option<f64> {
    c.read(at, q)?;
    c.take(at, read_amount(q.as_ref()?.as_str())).map(|a| a.kg(density))
}

fn skim(c: &mut Ctx, at: &str, r: &Rule) -> Option<Action> {
    let p = |key: &str| under(at, key);
    let after = c.within(&p("after"), &r.after, 0.0..=10.0, "a time up to 10 days");
    let depth = match (&r.leave, &r.take) {
        (Some(_), Some(_)) => {
            c.error(
                &p("take"),
                "a skim leaves so much fat or takes such a cream, not both",
                "leave one of them out",
            );
            return None;
        }
        (Some(t), None) => {
            let words = t.get().trim_end_matches("in the milk").trim_end().trim_end_matches("fat");
            let fat = c.words::<Part>(&p("leave"), words)?;
            if fat > 0.2 {
                c.error(
                    &p("leave"),
                    format!("`{}` is more than milk holds", t.get()),
                    "write such as `leave: 3 % fat`",
                );
                return None;
            }
            SkimDepth::Leave(fat)
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
        )?,
        (None, None) => SkimDepth::Layer,
    };
    let apart = c.choice(&p("cuts"), &r.cuts, &[("together", false), ("apart", true)]).unwrap_or(false);
    // 2 to 3 minutes a jar (common practice, no source).
    let minutes = c.within(&p("a jar takes"), &r.a_jar_takes, 0.0..=120.0, "a time up to 2 h").unwrap_or(2.5);
    // Cream is worth taking after a day at rest (common practice, no source).
    let after_hours = if r.after.is_none() { 24.0 } else { after? * 24.0 };
    Some(Action::Skim { after_hours, depth, apart, minutes_per_jar: minutes })
}

/// Where a move goes: the first place of the store.
fn target(c: &mut Ctx, w: &World, at: &str, r: &Rule) -> Option<super::super::plan::PlaceId> {
    let to = need(c, at, "to", &r.to, "name the store, such as `to: chest freezer`")?;
    match w.rooms.store(to.get()) {
        Some((_, store)) if store.places.start < w.rooms.places.len() => {
            Some(super::super::plan::PlaceId(store.places.start as u8))
        }
        _ => {
            let names: Vec<&str> = w.rooms.stores.iter().map(|s| s.name.as_str()).collect();
            c.unknown(&under(at, "to"), "store", to.get(), &names);
            None
        }
    }
}

fn animal(c: &mut Ctx, w: &World, at: &str, rule: &str, who: &Option<Text>) -> Option<(u16, String)> {
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
            c.missing(rule, "`who`", format!("name the animal: {}", list(&names)));
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

fn conditions(c: &mut Ctx, w: &World, at: &str, raw: &When, when: &mut Vec<Condition>) {
    let empty = Entries::default();
    for (name, text) in raw.have.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "have"), name);
        let Some(ids) = find_at_key(c, w.items, &at, name) else { continue };
        when.extend(bounds::stock(c, w, &at, name, &ids, text.get()));
    }
    for (name, text) in raw.oldest.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "oldest"), name);
        let Some(ids) = find_at_key(c, w.items, &at, name) else { continue };
        if let Some(b) = bounds::read(c, &at, text.get(), |c, at, t| c.words::<Duration>(at, t)) {
            when.push(Condition::OldestAge { items: Items::mask(&ids), least: b.least, most: b.most });
        }
    }
    if let Some(t) = &raw.season {
        when.extend(season(c, &under(at, "season"), t.get()));
    }
    if let Some(t) = &raw.between {
        when.extend(dates(c, w.run, &under(at, "between"), t.get()));
    }
    let days = |c: &mut Ctx, key: &str, t: &Option<Text>| -> Option<Bounds> {
        let t = t.as_ref()?;
        bounds::read(c, &under(at, key), t.get(), |c, at, t| c.words::<Duration>(at, t))
    };
    if let Some(b) = days(c, "since freshening", &raw.since_freshening) {
        when.push(Condition::SinceFreshening { least: b.least, most: b.most });
    }
    if let Some(b) = days(c, "to dry off", &raw.to_dry_off) {
        when.push(Condition::ToDryOff { least: b.least, most: b.most });
    }
    if c.choice(&under(at, "dry weeks"), &raw.dry_weeks, &[("only", ())]).is_some() {
        when.push(Condition::InDryWeeks);
    }
    for (name, text) in raw.fullness.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "fullness"), name);
        let Some((store, _)) = w.rooms.store(name) else {
            let names: Vec<&str> = w.rooms.stores.iter().skip(1).map(|s| s.name.as_str()).collect();
            c.unknown(&at, "store", name, &names);
            continue;
        };
        if let Some(b) = bounds::read(c, &at, text.get(), |c, at, t| c.words::<Part>(at, t)) {
            when.push(Condition::Fullness { store: store as u16, least: b.least, most: b.most });
        }
    }
    if let Some(t) = &raw.minutes_left {
        let at = under(at, "minutes left");
        if let Some(b) = bounds::read(c, &at, t.get(), |c, at, t| c.words::<crate::units::Minutes>(at, t)) {
            when.push(Condition::MinutesLeft { least: b.least.max(0.0) });
        }
    }
}

fn find_at_key(c: &mut Ctx, items: &Items, at: &str, name: &str) -> Option<Vec<ItemId>> {
    items.find(c, at, name)
}

/// `apr to sep`, `15 apr to 10 sep`.
fn season(c: &mut Ctx, at: &str, text: &str) -> Option<Condition> {
    let side = |c: &mut Ctx, words: &str, last: bool| -> Option<u16> {
        let words = words.trim();
        let (day, month) = match words.split_once(' ') {
            Some((a, b)) if a.starts_with(|ch: char| ch.is_ascii_digit()) => (Some(a), b),
            Some((a, b)) => (Some(b), a),
            None => (None, words),
        };
        let month = calendar::read_month(month).map_err(|e| c.push(at, e.diagnostic())).ok()?;
        let month = i8::try_from(month).ok()? + 1;
        // A leap year, so that 29 February has a number.
        let first = jiff::civil::Date::new(2028, month, 1).ok()?;
        let day = match day {
            None if last => first.days_in_month(),
            None => 1,
            Some(d) => match d.parse::<i8>().ok().filter(|d| *d >= 1 && *d <= first.days_in_month()) {
                Some(d) => d,
                None => {
                    c.error(
                        at,
                        format!("`{words}` is no day of the year"),
                        "write such as `15 apr to 10 sep`",
                    );
                    return None;
                }
            },
        };
        jiff::civil::Date::new(2028, month, day).ok().map(calendar::day_of_year)
    };
    let Some((from, until)) = text.split_once(" to ") else {
        c.error(at, format!("`{text}` is no season"), "write such as `apr to sep` or `15 apr to 10 sep`");
        return None;
    };
    let (from, until) = (side(c, from, false), side(c, until, true));
    Some(Condition::Season { from: from?, until: until? })
}

fn dates(c: &mut Ctx, run: Run, at: &str, text: &str) -> Option<Condition> {
    let Some((from, until)) = text.split_once(" to ") else {
        c.error(at, format!("`{text}` is no span of dates"), "write such as `2027-04-01 to 2027-06-30`");
        return None;
    };
    let (from, until) = (c.date(at, from), c.date(at, until));
    let (from, until) = (from?, until?);
    if until < from {
        c.error(at, "this ends before it begins", "put the earlier date first");
        return None;
    }
    if until < run.first || from > run.last() {
        c.warn(
            at,
            "these days lie outside the simulated time, so this rule never works",
            "are the dates right?",
        );
        // A condition that never holds.
        return Some(Condition::Dates { from: u32::MAX, until: u32::MAX });
    }
    Some(Condition::Dates { from: run.clamped(from), until: run.clamped(until) })
}

fn name(kind: u8, what: &str, weekdays: u8, rule: &Rule) -> String {
    let mut words = match kind {
        6 => format!("leave the calf on {what}"),
        7 => format!("milk {what} once a day"),
        _ => format!("{} {what}", ACTIONS[usize::from(kind)].0).trim().to_owned(),
    };
    if kind == 0 {
        if let Some(t) = rule.leave.as_ref() {
            words = format!("skim to {}", t.get());
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
pub(super) fn day_words(mask: u8) -> String {
    let days: Vec<&str> =
        (0..7u8).filter(|d| mask & (1 << d) != 0).map(|d| &calendar::WEEKDAYS[usize::from(d)][..3]).collect();
    crate::units::show::listed(&days)
}

/// The two lists for a full cold room.
pub(super) fn when_full(c: &mut Ctx, w: &World, raw: &Option<raw::WhenFull>) -> WhenFullPlan {
    let mut plan = WhenFullPlan::default();
    let Some(raw) = raw else {
        // What families do unasked: sour milk and by-products go first, then
        // the oldest milk; poured out last.
        plan.tonight = usual_tonight();
        return plan;
    };
    for (i, t) in raw.tonight.iter().flatten().enumerate() {
        let at = entry("when full.tonight", i);
        let words = t.get();
        let (feed, rest) = match (words.strip_prefix("feed "), words.strip_prefix("pour out ")) {
            (Some(rest), _) => (true, rest),
            (_, Some(rest)) => (false, rest),
            _ => {
                c.error(&at, format!("`{words}` is not understood"), "write `feed ITEM` or `pour out ITEM`");
                continue;
            }
        };
        let Some(ids) = w.items.find(c, &at, rest.trim()) else { continue };
        plan.tonight
            .extend(ids.into_iter().map(|id| if feed { FullStep::Feed(id) } else { FullStep::PourOut(id) }));
    }
    if plan.tonight.len() > 4 * MAX_ITEMS {
        c.error("when full.tonight", "this list is too long", "name each item once");
    }
    for (i, t) in raw.from_tomorrow.iter().flatten().enumerate() {
        let at = entry("when full.from tomorrow", i);
        plan.tomorrow.extend(tomorrow(c, w, &at, t.get()));
    }
    plan
}

fn usual_tonight() -> Vec<FullStep> {
    use super::super::plan::fixed::{SKIMMED, SOUR_MILK, WHOLE};
    let order = [SOUR_MILK, SKIMMED, WHOLE];
    order.iter().map(|i| FullStep::Feed(*i)).chain(order.iter().map(|i| FullStep::PourOut(*i))).collect()
}

/// `leave the calf on Clover for 3 days`, `milk Clover once a day for 7 days`.
fn tomorrow(c: &mut Ctx, w: &World, at: &str, words: &str) -> Option<Action> {
    const HELP: &str = "write `leave the calf on Clover for 3 days` or `milk Clover once a day for 7 days`";
    let (body, days) = match words.split_once(" for ") {
        Some((body, time)) => (body, c.words::<Duration>(at, time)?.round()),
        None => (words, 3.0),
    };
    if !(1.0..=366.0).contains(&days) {
        c.error(at, "this takes too short or too long a time", HELP);
        return None;
    }
    let days = days as u16;
    let named = |name: &str| (!name.trim().is_empty()).then(|| Text(name.trim().to_owned()));
    if let Some(name) = body.strip_prefix("leave the calf on") {
        let (animal, who) = animal(c, w, at, at, &named(name))?;
        return needs_calf(c, w, at, usize::from(animal), &who).then_some(Action::CalfOn { animal, days });
    }
    if let Some(name) = body.strip_prefix("milk ").and_then(|b| b.strip_suffix("once a day")) {
        let (animal, _) = animal(c, w, at, at, &named(name))?;
        return Some(Action::OnceADay { animal, days });
    }
    c.error(at, format!("`{words}` is not understood"), HELP);
    None
}
