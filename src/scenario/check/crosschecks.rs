//! Checks that look at several parts together.

use super::{
    super::{
        plan::{Action, ColostrumTo, Container, DayInfo, FetchPlan, PlaceKind, Plan, SkimDepth, fixed},
        raw::Scenario,
    },
    Parts,
    animals::Animal,
    context::{Ctx, entry, under},
};
use crate::{
    dairy::balance::Share,
    units::{Amount, read_amount, show},
};

/// The first day on which there can be milk for people. Sources that give none
/// within the run count from its end; without any source it is infinite.
pub(super) fn first_milk(animals: &[Animal], fetches: &[(FetchPlan, String)], days: &[DayInfo]) -> f64 {
    let end = days.len() as f64;
    let animal = |a: &Animal| {
        let p = &a.plan;
        let mut fresh = p.freshens_day;
        let lasts = |p: &super::super::plan::AnimalPlan| {
            let longest = f64::from(p.longest_days);
            p.interval.map_or(longest, |i| (i - p.dry_days).min(longest))
        };
        let dry = p.course.now.is_some_and(|n| n.dried_off.is_some());
        // Skip lactations that end before the first day.
        while (dry && fresh < 0.0) || fresh + lasts(p) <= 0.0 {
            match p.interval {
                Some(i) if i > 0.0 => fresh += i,
                _ => return end,
            }
        }
        (fresh + f64::from(p.colostrum_days)).max(0.0).max(p.course.comes.map_or(0.0, f64::from)).min(end)
    };
    let fetch = |f: &FetchPlan| {
        (f.from_day..=f.until_day)
            .find(|d| days.get(*d as usize).is_some_and(|i| f.weekdays & (1 << i.weekday) != 0))
            .map_or(end, f64::from)
    };
    let first = animals.iter().map(animal).chain(fetches.iter().map(|(f, _)| fetch(f)));
    first.fold(f64::INFINITY, f64::min)
}

/// From this day on drinking milk is missed though none has come yet: the first
/// milk is overdue by all that its date may slip (three standard deviations) and
/// that a calf may take at first. Where no milk comes at all it is the first day.
pub(super) fn drink_from_day(first_milk: f64, animals: &[Animal], days: &[DayInfo]) -> u32 {
    if first_milk >= days.len() as f64 {
        return 0;
    }
    let slip = |a: &Animal| {
        3.0 * a.plan.freshens_sd + a.plan.calf.map_or(0.0, |calf| f64::from(calf.full_time_until))
    };
    (first_milk + animals.iter().map(slip).fold(0.0, f64::max)).ceil() as u32
}

/// Whether any animal or fetch is described.
pub(super) fn any_source(raw: &Scenario) -> bool {
    raw.animals.iter().flatten().next().is_some() || raw.milk_fetched.iter().flatten().next().is_some()
}

/// All of them.
pub(super) fn all(c: &mut Ctx, raw: &Scenario, plan: &Plan, p: &Parts, ready: &[f64]) {
    if !any_source(raw) {
        c.missing(
            "",
            &["animals", "milk fetched"],
            "where the milk comes from",
            "describe `animals:` or `milk fetched:`",
        );
    }
    inputs_are_made(c, raw, plan, p, ready);
    batches_of_a_size(c, raw, plan, p);
    butter_from_the_cut(c, plan, p);
    rooms_for_items(c, raw, plan, p);
    full_lists(c, raw, p);
    let hours_warm = plan.places.iter().filter(|p| p.kind == PlaceKind::Fridge).count();
    if hours_warm == 0 && (raw.animals.is_some() || raw.milk_fetched.is_some()) {
        c.warn(
            "stores",
            "there is no fridge or cold room for the milk",
            "describe one with `shelves:` or `like:`",
        );
    }
    for (i, animal) in plan.animals.iter().enumerate() {
        let frozen = animal.course.colostrum.to.contains(&ColostrumTo::Freezer);
        if frozen && !plan.places.iter().any(|p| p.kind == PlaceKind::Freezer) {
            c.warn(
                &under(&entry("animals", i), "colostrum goes to"),
                "there is no freezer for her colostrum",
                "describe one, such as `chest freezer: {like: chest freezer 7 cu ft}`, or leave `freezer` out",
            );
            break;
        }
    }
    for (store, celsius) in p.rooms.warm_for_milk() {
        c.warn(
            &under("stores", &store.name),
            format!("{} is too warm for milk: {}", store.name, show::temperature(celsius, p.units)),
            "milk keeps only days there and germs grow fast; set it to 38 °F (3 °C) or colder",
        );
    }
    let counted = plan.days.len() as f64 - f64::from(plan.household.drink_from_day);
    if !plan.household.people.is_empty() && counted < 0.5 * plan.days.len() as f64 {
        let message = if counted < 1.0 {
            "there is no milk for people in the whole run, so milk on the table is not judged".to_owned()
        } else {
            let days = show::counted(counted, "day", "days");
            format!("milk on the table is judged on the last {days} of the run only, from the first milk on")
        };
        c.warn("animals", message, "begin the run nearer to her freshening, or let it last longer");
    }
    if plan.jars.is_empty() || plan.jars.iter().all(|j| j.count == 0) {
        c.warn(
            "jars",
            "there are no jars, so milk has nothing to stand in",
            "write such as `jars: {half gallon: 40}`",
        );
    }
    if p.people.at_risk.contains(&super::household::AtRisk::UnderOne) {
        c.warn(
            "household.people",
            "a baby under one year drinks no cow's, goat's or sheep's milk and is counted with none",
            "ask your doctor what a baby may have",
        );
    }
}

/// A rule that makes something out of what nobody makes or has never works.
fn inputs_are_made(c: &mut Ctx, raw: &Scenario, plan: &Plan, p: &Parts, ready: &[f64]) {
    for (i, rule) in raw.routine.iter().flatten().enumerate() {
        let Some(what) = super::recipes::asked_for(rule) else { continue };
        let Some(at) = super::recipes::position(&p.book, &what) else { continue };
        let inputs = plan.recipes[at].inputs.iter();
        let all = inputs.flat_map(|i| std::iter::once(&i.items).chain(i.blend.iter().map(|b| &b.with)));
        for items in all {
            if items.iter().all(|id| ready[id.at()].is_infinite()) {
                let words: Vec<&str> = items.iter().map(|id| p.items.name(*id)).collect();
                let skim = items.iter().any(|id| id.0 >= fixed::SKIMMED.0 && id.0 <= fixed::THIN_CREAM.0);
                // Without any source of milk that alone is said.
                if ready[fixed::WHOLE.at()].is_infinite() {
                    continue;
                }
                let help = if skim {
                    "add a rule `{do: skim, after: 24 h}` above it"
                } else {
                    "add a rule that makes one of them"
                };
                let message = format!("{what} needs {}, which nothing makes", show::listed(&words));
                c.error(&under(&entry("routine", i), "what"), message, help);
            }
        }
    }
}

/// A batch that the recipe, or what it is made in, does not take.
fn batches_of_a_size(c: &mut Ctx, raw: &Scenario, plan: &Plan, p: &Parts) {
    // Half a percent, for amounts rounded in another unit (a bound of the program).
    const SLACK: f64 = 0.005;
    for (i, rule) in raw.routine.iter().flatten().enumerate() {
        let (Some(what), Some(batch)) = (super::recipes::asked_for(rule), &rule.batch) else { continue };
        let Some(at) = super::recipes::position(&p.book, &what) else { continue };
        let recipe = &plan.recipes[at];
        let Some(input) = recipe.inputs.first() else { continue };
        let density = p.items.density(&input.items);
        let Ok(kg) = read_amount(batch.as_str()).map(|a| a.kg(density)) else { continue };
        let shown = |kg: f64| match read_amount(batch.as_str()) {
            Ok(Amount::Kilograms(_)) => show::mass(kg, p.units),
            _ => show::volume(kg / density, p.units),
        };
        let path = under(&entry("routine", i), "batch");
        let written = batch.as_str();
        if kg < recipe.least_kg * (1.0 - SLACK) {
            c.warn(
                &path,
                format!(
                    "one batch of {what} takes at least {}: with `batch: {written}` none is made",
                    shown(recipe.least_kg)
                ),
                "write a larger batch, or a smaller `least` of this recipe under `recipes:`",
            );
        } else if kg > recipe.most_kg * (1.0 + SLACK) {
            c.warn(
                &path,
                format!(
                    "one batch of {what} takes at most {}: `batch: {written}` is made no larger",
                    shown(recipe.most_kg)
                ),
                "write a smaller batch and make several, or a larger `most` of this recipe under `recipes:`",
            );
        }
    }
}

/// The butter wished for against the fat that the skims can take, over the
/// average year.
fn butter_from_the_cut(c: &mut Ctx, plan: &Plan, p: &Parts) {
    let parts = ["animals", "milk fetched", "household.wants", "routine", "recipes", "lasts"];
    if parts.iter().any(|part| c.errors_under(part)) {
        // Reckoned from what is not understood, it would say little.
        return;
    }
    let Some(butter) = p.items.id("butter") else { return };
    let Some(wish) = plan.household.wishes.iter().position(|w| w.items == [butter]) else { return };
    let leaves = plan.rules.iter().filter_map(|r| match r.action {
        Action::Skim { depth: SkimDepth::Leave(fat), .. } => Some(fat),
        // The whole layer leaves about half a percent (Jersey and Holstein milk
        // skimmed cold after a day and more).
        Action::Skim { .. } => Some(0.005),
        Action::Make { recipe, .. } => plan.recipes[recipe.at()].outputs.iter().find_map(|o| match o.share {
            Share::Separated { skim_fat, .. } => Some(skim_fat),
            _ => None,
        }),
        _ => None,
    });
    let leaves = leaves.fold(f64::INFINITY, f64::min);
    if leaves.is_infinite() {
        return;
    }
    let days = plan.days.len() as f64;
    let mut fat_kg = 0.0;
    for a in &plan.animals {
        let Some(curve) = a.curves.last() else { continue };
        let lasts = a.interval.map_or(days, |i| i - a.dry_days).min(curve.yield_kg.len() as f64).max(1.0);
        let n = lasts as usize;
        let skimmed: f64 =
            curve.yield_kg.iter().zip(&curve.fat).take(n).map(|(kg, f)| kg * (f - leaves).max(0.0)).sum();
        let year_part = a.interval.map_or(1.0, |i| days / i);
        fat_kg += skimmed * year_part;
    }
    for f in &plan.fetches {
        let times = f64::from(f.weekdays.count_ones()) / 7.0 * f64::from(f.until_day + 1 - f.from_day);
        fat_kg += times * f.kg * (f.fat - leaves).max(0.0);
    }
    // Butter of 81.5 % fat with 98.5 % of the cream's fat (Guelph's worked example).
    let butter_kg = fat_kg * 0.985 / 0.815 / days * 7.0;
    let wished = plan.household.wishes[wish].at_least_kg;
    if wished > butter_kg * 1.02 {
        let sys = p.units;
        c.warn(
            &under("household.wants", &p.wishes[wish].0),
            format!(
                "{} of butter a week is more than the cream can give: about {} a week, averaged over the time simulated, if all milk is skimmed",
                show::mass(wished, sys),
                show::mass(butter_kg, sys)
            ),
            "leave less fat in the milk, or wish for less butter",
        );
    }
}

fn rooms_for_items(c: &mut Ctx, raw: &Scenario, plan: &Plan, p: &Parts) {
    for (i, item) in plan.items.iter().enumerate().skip(fixed::COUNT) {
        // The counter is always there.
        let on_counter = p.items.stands_in[i].contains(&PlaceKind::Counter);
        if item.places.is_empty() && item.container != Container::Bucket && !on_counter {
            let kinds: Vec<&str> = p.items.stands_in[i]
                .iter()
                .filter_map(|k| super::items::KINDS.iter().find(|(_, of)| of == k).map(|(n, _)| *n))
                .collect();
            c.warn(
                "stores",
                format!("there is no place for {}", p.items.names[i]),
                format!(
                    "it stands in: {}; without such a store it is left on the counter",
                    show::listed(&kinds)
                ),
            );
        }
    }
    // A jar bigger than all the room there is.
    let cold: Vec<_> = plan.places.iter().filter(|p| p.kind == PlaceKind::Fridge).collect();
    if let (false, Some(jar)) = (cold.is_empty(), p.rooms.jars.first()) {
        let room: f64 = cold.iter().map(|p| p.litres * (1.0 - p.other_food.iter().sum::<f64>() / 12.0)).sum();
        if raw.stores.is_some() && room < jar.plan.working_l {
            c.warn(
                "stores",
                "all cold room together is smaller than one jar",
                "check the sizes of the shelves",
            );
        }
    }
}

fn full_lists(c: &mut Ctx, raw: &Scenario, p: &Parts) {
    if p.people.plans.is_empty() && p.wishes.is_empty() && !c.errors_under("household") {
        c.warn(
            "household",
            "nobody drinks this milk and nothing is wished of it",
            "describe the family under `household:`",
        );
    }
    let feeds =
        raw.when_full.iter().flat_map(|w| w.tonight.iter().flatten()).any(|t| t.get().starts_with("feed "));
    if feeds && p.outlets.is_empty() {
        c.warn("when full.tonight", "there is no animal to feed", "describe `animals fed:`, or pour out");
    }
}
