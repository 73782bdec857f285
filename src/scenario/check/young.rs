//! The calf, kid or lamb on the dam: how long, when apart, how much it drinks.

use super::{
    super::{
        plan::{Apart, CalfPlan, MOST_YOUNG, Species},
        raw,
    },
    context::{Ctx, under},
};
use crate::{
    diagnostics::Diagnostic,
    units::{Duration, Text as Q},
};

/// Appetite as a part of the dam's weight, kg a day per kg: at freshening, when
/// full, and the days until then. Worked out from calves of 25 to 40 kg that
/// drink a fifth of their weight and 10 to 12 L by week 8, and from two kids of
/// 0.95 to 1.4 L each; lambs as kids (our default).
fn appetite(species: Species) -> (f64, f64, u16) {
    match species {
        Species::Cow => (0.013, 0.024, 56),
        Species::Goat | Species::Sheep => (0.020, 0.040, 42),
    }
}

/// Compiles `calf`.
pub(super) fn calf(c: &mut Ctx, at: &str, species: Species, a: &raw::Animal) -> Option<CalfPlan> {
    let raw = a.calf.as_ref()?;
    let p = |key: &str| under(at, key);
    let weight = c
        .within(&under(at, "weighs"), &a.weighs, 5.0..=2000.0, "a weight from 5 to 2000 kg")
        .unwrap_or(if species == Species::Cow { 450.0 } else { 65.0 });
    let (start, full, full_day) = appetite(species);
    let ages = "an age up to 1 year";
    let mut age = |key: &str, q: &Option<Q<Duration>>| {
        let days = c.within(&p(key), q, 0.0..=366.0, ages);
        q.is_some().then(|| days.unwrap_or(0.0).round() as u16)
    };
    let full_time = age("full time until", &raw.full_time_until);
    let by_night = age("shut in overnight until", &raw.shut_in_overnight_until);
    let by_day = age("shut in by day until", &raw.shut_in_by_day_until);
    let let_in = age("let in after milkings until", &raw.let_in_after_milkings_until);
    if full_time.or(by_night).or(by_day).or(let_in).is_none() {
        c.error(
            at,
            "it is not said how long the calf stays",
            "write `{full time until: 3 weeks, shut in overnight until: 10 weeks}`",
        );
        return None;
    }
    if by_night.is_some() && by_day.is_some() {
        let d = Diagnostic::error("the calf is shut in both overnight and by day");
        c.push_key(
            &p("shut in by day until"),
            d.help("for both write `let in after milkings until`; a rule may change it in between"),
        );
    }
    let (apart, shut_key) = match by_day {
        Some(_) => (Apart::Day, "shut in by day until"),
        None => (Apart::Night, "shut in overnight until"),
    };
    let full_time_until = full_time.unwrap_or(0);
    let shut_in = by_day.or(by_night).unwrap_or(full_time_until);
    if shut_in < full_time_until {
        c.error(
            &p(shut_key),
            "the calf is shut in until an age before its full time ends",
            "the full time comes first",
        );
    }
    let shut_in_until = shut_in.max(full_time_until);
    if let_in.is_some_and(|age| age < shut_in_until) {
        c.error(
            &p("let in after milkings until"),
            "this ends before what comes first: its full time, or being shut in for a part of the day",
            "write the higher age here",
        );
    }
    // Apart for half the day, milk of half the day gathers: 40 to 50 % of what she gives without
    // a calf, with what she holds back (our planning rule; secretion is taken as even).
    let hours = c.within(&p("apart for"), &raw.apart_for, 2.0 / 24.0..=20.0 / 24.0, "a time from 2 to 20 h");
    let drinks = "an amount up to 40 L a day";
    // The appetites stand for one calf, and for two kids or lambs.
    let usual_number = if species == Species::Cow { 1.0 } else { 2.0 };
    let number =
        c.within(&p("number"), &raw.number, 1.0..=6.0, "a number from 1 to 6").unwrap_or(usual_number);
    let each = number / usual_number;
    // What is written for one young holds for each, where their number is written.
    let written = if raw.number.is_some() { number } else { 1.0 };
    let plan = CalfPlan {
        number: number.round().clamp(1.0, MOST_YOUNG as f64) as u8,
        // None unless it is said: rates differ too much from house to house.
        dies: c.within(&p("dies"), &raw.dies, 0.0..=0.9, "a part up to 90 %").unwrap_or(0.0),
        full_time_until,
        shut_in_until,
        apart,
        let_in_until: let_in.unwrap_or(shut_in_until).max(shut_in_until),
        apart_part: hours.unwrap_or(0.5),
        appetite_start_kg: c
            .within(&p("drinks at first"), &raw.drinks_at_first, 0.0..=40.0, drinks)
            .map_or(each * start * weight, |kg| written * kg),
        appetite_full_kg: c
            .within(&p("drinks later"), &raw.drinks_later, 0.0..=40.0, drinks)
            .map_or(each * full * weight, |kg| written * kg),
        appetite_full_day: c
            .within(&p("from age"), &raw.from_age, 1.0..=366.0, ages)
            .map_or(full_day, |d| d.round() as u16),
        // Both our default: hold-back lies between 0 and 20 %, and the pail is
        // leaner because an incomplete milking leaves the fattest milk behind.
        held_back: c.within(&p("held back"), &raw.held_back, 0.0..=0.9, "a part up to 90 %").unwrap_or(0.10),
        pail_fat_factor: c
            .within(&p("pail fat"), &raw.pail_fat, 0.3..=1.0, "a part from 30 to 100 %")
            .unwrap_or(0.85),
    };
    Some(plan)
}
