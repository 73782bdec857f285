//! Single milkings and whole days: what the rows of a day are.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::calendar::days_between;
use crate::records::{Log, Milking, Part};

/// So many days with a single milking in a row are once-a-day milking, fewer
/// are milkings missed (our default).
const ONCE_RUN: usize = 4;
/// The breed's morning part counts as so many days (our default).
const MORNING_WEIGHT: f64 = 20.0;

/// How the rows of a log stand to the days.
pub(super) struct Kinds {
    /// Rows without a word are single milkings, two a day.
    pub pairs: bool,
    /// Part of the morning.
    pub morning: f64,
    pub filled_part: f64,
    /// Days with a single milking that belong to a time of once-a-day milking.
    pub once: Vec<Date>,
}

impl Kinds {
    /// `breed_morning` is the breed's part of the morning.
    pub fn of(by_day: &BTreeMap<Date, Vec<&Milking>>, breed_morning: f64) -> Self {
        let unsaid = |all: &Vec<&Milking>| all.iter().filter(|m| m.part == Part::Unsaid && !m.whole).count();
        let several = by_day.values().filter(|a| unsaid(a) >= 2).count();
        let single = by_day.values().filter(|a| unsaid(a) == 1).count();
        let (mut am, mut n) = (MORNING_WEIGHT * breed_morning, MORNING_WEIGHT);
        for all in by_day.values() {
            let of = |part: Part| all.iter().filter(|m| m.part == part).map(|m| m.kg).sum::<f64>();
            let (a, e) = (of(Part::Morning), of(Part::Evening));
            if a > 0.0 && e > 0.0 {
                am += a / (a + e);
                n += 1.0;
            }
        }
        Self { pairs: several > single, morning: am / n, filled_part: am, once: once_runs(by_day) }
    }
}

/// Days on which one milking alone is named, in runs of days that follow one
/// another, after days with both.
fn once_runs(by_day: &BTreeMap<Date, Vec<&Milking>>) -> Vec<Date> {
    let mut once = Vec::new();
    let mut run: Vec<Date> = Vec::new();
    let mut both_before = false;
    let mut close = |run: &mut Vec<Date>| {
        if run.len() >= ONCE_RUN {
            once.append(run);
        }
        run.clear();
    };
    for (date, all) in by_day {
        let has = |part: Part| all.iter().any(|m| m.part == part);
        let twice = all.iter().any(|m| m.milkings.is_some_and(|n| n >= 2));
        let alone = has(Part::Morning) != has(Part::Evening) && !twice;
        if run.last().is_some_and(|before| days_between(*before, *date) > 1) || !alone {
            close(&mut run);
        }
        if alone && both_before {
            run.push(*date);
        }
        both_before |= has(Part::Morning) && has(Part::Evening);
    }
    close(&mut run);
    once
}

/// Milk in the pail of each whole day, kg: what keeping score needs, without a
/// breed and without a curve. `once`: she is milked once a day.
#[must_use]
pub fn pail(log: &Log, once: bool) -> BTreeMap<Date, f64> {
    let mut by_day: BTreeMap<Date, Vec<&Milking>> = BTreeMap::new();
    for m in &log.milkings {
        by_day.entry(m.date).or_default().push(m);
    }
    let kinds = Kinds::of(&by_day, 0.5);
    let whole = |(date, all): &(&Date, &Vec<&Milking>)| {
        let has = |part: Part| all.iter().any(|m| m.part == part);
        let unsaid = all.iter().filter(|m| m.part == Part::Unsaid).count();
        let once = once
            || all.iter().any(|m| m.milkings == Some(1) || m.whole)
            || kinds.once.binary_search(date).is_ok();
        once || has(Part::Morning) && has(Part::Evening) || unsaid >= 2 || unsaid == 1 && !kinds.pairs
    };
    let kg = |all: &Vec<&Milking>| all.iter().map(|m| m.kg).sum();
    by_day.iter().filter(whole).map(|(date, all)| (*date, kg(all))).collect()
}
