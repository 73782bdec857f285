//! The coming weeks: many simulated futures of a few days each, and for every
//! day of them what is to be expected, with how sure it is.
//!
//! A future is a trial like any other; a watcher reads its books and draws
//! nothing. What is said of a day is counted over all futures: ranges are
//! nearest-rank quantiles, chances are parts of the futures.

mod eye;
mod tally;
#[cfg(test)]
mod tests;

use rayon::prelude::*;

use super::StudyError;
use super::aims::MOST_TRIALS;
use crate::scenario::{Names, Plan, plan::ItemId};
use crate::sim::{DayLog, Luck, Trial};
use eye::{Eye, Seen};

/// Most days that may be told ahead.
pub const MOST_DAYS: u32 = 28;

/// What to tell.
#[derive(Clone, Debug, PartialEq)]
pub struct AheadOptions {
    /// First day told, from 0; the days before it are simulated and not told.
    pub from: u32,
    /// Days told, 1 to 28.
    pub days: u32,
    /// Futures, 1 to 200,000.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Threads; as many as there are processors, if not said.
    pub threads: Option<usize>,
}

/// Low (1 in 10 is less), middle, high (1 in 10 is more).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// 10 %.
    pub low: f64,
    /// 50 %.
    pub middle: f64,
    /// 90 %.
    pub high: f64,
}

/// A milking, by the half days since the start of day 0: even in the morning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Milking(pub i32);

impl Milking {
    /// The milking of a moment, days after the start of day 0.
    #[must_use]
    pub fn at(drawn: f64) -> Self {
        Self((2.0 * drawn + 1e-9).floor() as i32)
    }

    /// Its day; negative before the run.
    #[must_use]
    pub const fn day(self) -> i32 {
        self.0.div_euclid(2)
    }

    /// It is an evening's.
    #[must_use]
    pub const fn is_evening(self) -> bool {
        self.0.rem_euclid(2) == 1
    }
}

/// A rule on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// The rule: the routine, tonight's list, the list from tomorrow.
    pub rule: usize,
    /// Part of the futures in which it works on this day.
    pub chance: f64,
    /// What it takes in where it works, kg.
    pub kg: Range,
}

/// Jars of a milking that are skimmed on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skimmed {
    /// The rule.
    pub rule: usize,
    /// Whose jars.
    pub milking: Milking,
    /// Part of the futures.
    pub chance: f64,
    /// Jars where it happens, middle.
    pub jars: f64,
}

/// Milk that turns sour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Souring {
    /// Whole or skimmed milk.
    pub item: ItemId,
    /// The milking. Skimmed milk stands under the first half of its day: what is
    /// skimmed of one day is poured together.
    pub milking: Milking,
    /// Part of the futures in which some of it does within the days told.
    pub chance: f64,
    /// First day on which it does in one of ten of those, the middle one, the
    /// last in one of ten.
    pub days: [u32; 3],
    /// How much, kg, where it does.
    pub kg: Range,
}

/// What can be promised at a pick-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Promise {
    /// What is promised, kg.
    pub promised: f64,
    /// There in 9 of 10 futures, kg.
    pub in_nine: f64,
    /// There for the members, kg.
    pub there: Range,
    /// Part of the futures in which the promise is kept.
    pub kept: f64,
}

/// One day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AheadDay {
    /// From 0, of the run.
    pub day: u32,
    /// Into the pail, by animal, kg.
    pub pails: Vec<Range>,
    /// Into all pails, kg.
    pub pail: Range,
    /// Fetched, kg.
    pub fetched: Range,
    /// Part of the futures in which the milk of an animal is kept from people.
    pub kept: Vec<f64>,
    /// Part of the futures in which she freshens on this day.
    pub freshens: Vec<f64>,
    /// Part in which she is dry.
    pub dry: Vec<f64>,
    /// Rules that work in some future, in their order.
    pub works: Vec<Work>,
    /// Jars to skim.
    pub skims: Vec<Skimmed>,
    /// Part of the futures in which something finds no place in the cold.
    pub over_full: f64,
    /// Part of the cold room in use at the fullest moment.
    pub cold: Range,
    /// Part of the futures in which the drinking milk does not go round.
    pub short: f64,
    /// Part of the futures in which each wish goes short.
    pub wishes_short: Vec<f64>,
    /// What the members can be promised, on a pick-up day.
    pub promise: Option<Promise>,
}

/// The coming weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct Ahead {
    /// Futures.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Words of the rules, of tonight's list and of the list from tomorrow.
    pub rules: Vec<String>,
    /// Day by day.
    pub days: Vec<AheadDay>,
    /// Milk that turns sour, by milking, and of skimmed milk by day.
    pub sours: Vec<Souring>,
    /// Into the pail over all days, by animal, kg.
    pub totals: Vec<Range>,
    /// Into all pails over all days, kg.
    pub total: Range,
    /// Part of the futures in which the cold is too full on some day, and the
    /// first such day: one of ten, middle, nine of ten.
    pub first_full: Option<(f64, [u32; 3])>,
}

/// Simulates the futures and counts. `progress` is told futures done and
/// planned, from any thread.
///
/// # Errors
/// Options out of range, no threads, or books that do not balance.
pub fn ahead(
    plan: &Plan,
    names: &Names,
    options: &AheadOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Ahead, StudyError> {
    let there = u32::try_from(plan.days.len()).unwrap_or(u32::MAX);
    let days = options.days.min(MOST_DAYS).min(there.saturating_sub(options.from));
    if days == 0 {
        return Err(StudyError::NoDays);
    }
    if options.trials == 0 {
        return Err(StudyError::NoTrials);
    }
    if options.trials > MOST_TRIALS {
        return Err(StudyError::TooManyTrials { asked: options.trials });
    }
    let mut plan = plan.clone();
    // The first days of a longer run are those of a shorter one.
    plan.days.truncate((options.from + days) as usize);
    let seen = watch(&plan, names, options, progress)?;
    Ok(tally::tally(&plan, names, options, days, &seen))
}

/// What was seen in each future, in order.
fn watch(
    plan: &Plan,
    names: &Names,
    options: &AheadOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Vec<Seen>, StudyError> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(options.threads.unwrap_or(0))
        .build()
        .map_err(|e| StudyError::Threads(e.to_string()))?;
    let done = std::sync::atomic::AtomicU32::new(0);
    pool.install(|| {
        (0..options.trials)
            .into_par_iter()
            .map_init(
                || (Trial::new(plan), Luck::new(plan, names), DayLog::new(plan)),
                |(trial, luck, log), number| {
                    luck.draw(options.seed, number);
                    let mut eye = Eye::new(plan, options.from);
                    let outcome = trial.run_watched(luck, log, |moment, view| eye.look(moment, &view));
                    super::engine::checked(outcome, number)?;
                    progress(1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed), options.trials);
                    Ok(eye.seen())
                },
            )
            .collect()
    })
}
