//! Choices against a base, on the same luck: trial by trial only the choice
//! differs, so differences are told from far fewer trials than on separate luck.

mod judge;
pub mod margins;
pub mod paired;
mod pick;
pub mod results;
pub mod select;
#[cfg(test)]
mod tests;

pub use margins::{AIM_MARGIN, Good, good, margin};
pub use pick::{AIMS_KEPT, BATCH, FIRST_BATCHES};
pub use results::{Against, AimPair, Best, Comparison, Contender, Pair, QuantilePair, Verdict};

use super::aims::{MOST_TRIALS, kept_by_trial};
use super::engine::{Engine, Found};
use super::measures::{MeasureKey, Table};
use super::{Stop, StudyError};
use crate::scenario::{Names, Plan};
use judge::{Columnar, Known};
use std::sync::atomic::{AtomicU32, Ordering};

/// Greatest chance of a false claim.
pub const ALPHA: f64 = 0.05;
/// Most choices beside the base.
pub const MOST_CHOICES: usize = 50;

/// One that is compared: the base, or a choice.
#[derive(Clone, Copy, Debug)]
pub struct Choice<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Its plan.
    pub plan: &'a Plan,
    /// Its names.
    pub names: &'a Names,
}

/// What the best of several is looked for by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Goal {
    /// A measure by name.
    Measure(String),
    /// The part of the aims that is kept.
    AimsKept,
}

/// How to compare.
#[derive(Clone, Debug, PartialEq)]
pub struct CompareOptions {
    /// Trials of each, 1 to 200,000.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Threads; as many as there are processors, if not said.
    pub threads: Option<usize>,
    /// Names of the measures to compare beside those that aims speak of; all,
    /// if none are named.
    pub measures: Vec<String>,
    /// Look for the best.
    pub best: Option<Goal>,
    /// What matters, by the name of a measure, where the default does not do.
    pub margins: Vec<(String, f64)>,
}

impl Default for CompareOptions {
    fn default() -> Self {
        Self { trials: 1000, seed: 1, threads: None, measures: vec![], best: None, margins: vec![] }
    }
}

/// Why two cannot be compared: another first day, or another length.
#[must_use]
pub fn unlike(base: &Choice, choice: &Choice) -> Option<String> {
    let (a, b) = (base.plan.days.len(), choice.plan.days.len());
    let (first, other) = (&base.names.first_day, &choice.names.first_day);
    let days = |n: usize| if n == 1 { "1 day".to_owned() } else { format!("{n} days") };
    if first != other {
        let differs = format!("{} starts on {other} and {} on {first}", choice.name, base.name);
        Some(format!("{differs}: only runs over the same days can be set side by side"))
    } else if a != b {
        let differs = format!("{} lasts {} and {} lasts {}", choice.name, days(b), base.name, days(a));
        Some(format!("{differs}: only runs over the same days can be set side by side"))
    } else {
        None
    }
}

/// Compares choices with a base. `progress` is told trials done and trials
/// planned so far, of all together, from any thread and not always in order.
///
/// # Errors
/// Options out of range, a choice over other days, a name that is no measure of
/// all; no threads to be had; or a trial whose books do not balance or that
/// gives something that is no number.
pub fn compare(
    base: Choice,
    choices: &[Choice],
    options: &CompareOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Comparison, StudyError> {
    compare_until(base, choices, options, None, progress)
}

/// What keeps choices from being compared, without a trial.
///
/// # Errors
/// Those of [`compare`] that need none.
pub fn check(base: &Choice, choices: &[Choice], options: &CompareOptions) -> Result<(), StudyError> {
    checked(base, choices, options)?;
    wanted(base, &Table::new(base.plan, base.names), options)?;
    options.best.as_ref().map(|g| pick::Aim::new(g, base, choices, options)).transpose()?;
    Ok(())
}

/// [`compare`], which may be asked to stop: it then tells of the choices that were done.
///
/// # Errors
/// Those of [`compare`], and that it was stopped before the first choice was done.
pub fn compare_until(
    base: Choice,
    choices: &[Choice],
    options: &CompareOptions,
    stop: Option<&Stop>,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Comparison, StudyError> {
    checked(&base, choices, options)?;
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(options.threads.unwrap_or(0))
        .build()
        .map_err(|e| StudyError::Threads(e.to_string()))?;
    let whole = Table::new(base.plan, base.names);
    let wanted = wanted(&base, &whole, options)?;
    let tables: Vec<Table> = choices.iter().map(|c| shared(&whole, &wanted, &base, c)).collect();
    let goal = options.best.as_ref().map(|g| pick::Aim::new(g, &base, choices, options)).transpose()?;

    let all = (choices.len() as u32 + 1).saturating_mul(options.trials);
    let done = AtomicU32::new(0);
    let tell = |n: u32| progress(done.fetch_add(n, Ordering::Relaxed) + n, all);
    let run = |choice: &Choice, table: &Table| -> Result<Found, StudyError> {
        let (plan, names) = (choice.plan, choice.names);
        let engine = Engine { pool: &pool, plan, names, table, seed: options.seed, steady: false, stop };
        let mut found = Found::default();
        engine.simulate(0..options.trials, None, &tell, &mut found)?;
        Ok(found)
    };
    let base_table = part(&whole, &wanted);
    let base_found = run(&base, &base_table)?;
    let base_known = Known::new(&base, &base_table, &base_found.rows);
    let mut goals: Vec<Vec<f64>> = Vec::new();
    goals.extend(goal.as_ref().map(|g| g.values(0, &base, &base_table, &base_found.rows)));
    let mut broken_off = false;
    let mut against = Vec::with_capacity(choices.len());
    // One choice at a time is held in memory beside the base.
    for (i, (choice, table)) in choices.iter().zip(&tables).enumerate() {
        let found = match run(choice, table) {
            Err(StudyError::Stopped) if !against.is_empty() => {
                broken_off = true;
                break;
            }
            found => found?,
        };
        let known = Known::new(choice, table, &found.rows);
        against.push(judge::against(&pool, &base_known, &known, options));
        goals.extend(goal.as_ref().map(|g| g.values(i + 1, choice, table, &found.rows)));
    }
    let [family, aim_family] = judge::adjust(&mut against, options.trials);
    let best = match goal.filter(|_| !broken_off) {
        Some(goal) => {
            let sides: Vec<Choice> = std::iter::once(base).chain(choices.iter().copied()).collect();
            match goal.look((&pool, stop), &sides, goals, options.seed, &|n| progress(all + n, all + n)) {
                Err(StudyError::Stopped) => {
                    broken_off = true;
                    None
                }
                best => Some(best?),
            }
        }
        None => None,
    };
    Ok(Comparison {
        trials: options.trials,
        seed: options.seed,
        days: u32::try_from(base.plan.days.len()).unwrap_or(u32::MAX),
        alpha: ALPHA,
        base: base.name.to_owned(),
        aimed: aimed(&base, &whole),
        family,
        aim_family,
        resamples: paired::resamples(options.trials as usize),
        margins_set: options.margins.iter().map(|(name, _)| name.clone()).collect(),
        choices: against,
        best,
        broken_off,
    })
}

fn checked(base: &Choice, choices: &[Choice], options: &CompareOptions) -> Result<(), StudyError> {
    if base.plan.days.is_empty() {
        return Err(StudyError::NoDays);
    }
    if choices.is_empty() {
        return Err(StudyError::NothingToCompare);
    }
    if choices.len() > MOST_CHOICES {
        return Err(StudyError::TooManyChoices { asked: choices.len() });
    }
    if options.trials == 0 {
        return Err(StudyError::NoTrials);
    }
    if options.trials > MOST_TRIALS {
        return Err(StudyError::TooManyTrials { asked: options.trials });
    }
    choices.iter().find_map(|c| unlike(base, c)).map_or(Ok(()), |why| Err(StudyError::Unlike(why)))
}

/// Names of the measures that the base's aims speak of, each once.
fn aimed(base: &Choice, table: &Table) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for aim in &base.plan.aims {
        let column = table.column(MeasureKey::of_aim(aim.measure));
        let name = column.and_then(|c| table.names.get(c)).filter(|n| !names.contains(n));
        names.extend(name.cloned());
    }
    names
}

/// Names of the measures to compare, in the order of the base's table.
fn wanted(base: &Choice, table: &Table, options: &CompareOptions) -> Result<Vec<String>, StudyError> {
    let goal = match &options.best {
        Some(Goal::Measure(name)) => Some(name),
        _ => None,
    };
    let asked = options.measures.iter().chain(goal).chain(options.margins.iter().map(|(name, _)| name));
    for name in asked {
        if name != AIMS_KEPT && !table.names.contains(name) {
            return Err(StudyError::NoSuchMeasure(name.clone()));
        }
    }
    if options.measures.is_empty() {
        return Ok(table.names.clone());
    }
    let aimed = aimed(base, table);
    let is_wanted = |n: &&String| options.measures.contains(n) || aimed.contains(n) || goal == Some(*n);
    Ok(table.names.iter().filter(is_wanted).cloned().collect())
}

/// The columns of a table that are wanted.
fn part(table: &Table, wanted: &[String]) -> Table {
    let columns = table.keys.iter().zip(&table.names).filter(|(_, name)| wanted.contains(name));
    let (keys, names) = columns.map(|(key, name)| (*key, name.clone())).unzip();
    Table { keys, names }
}

/// The columns of a choice that the base has too, by name and unit. Two kinds
/// of money are two measures.
fn shared(whole: &Table, wanted: &[String], base: &Choice, choice: &Choice) -> Table {
    let own = Table::new(choice.plan, choice.names);
    let mut table = Table { keys: vec![], names: vec![] };
    for name in wanted {
        let at = |t: &Table| t.names.iter().position(|n| n == name).map(|c| t.keys[c]);
        let (Some(of_base), Some(key)) = (at(whole), at(&own)) else { continue };
        let money = key.unit() == "money" && base.names.money != choice.names.money;
        if key.unit() == of_base.unit() && !money {
            table.keys.push(key);
            table.names.push(name.clone());
        }
    }
    table
}

/// Aim by aim, trial by trial: was it kept. Aims whose measure has no column
/// are left out.
fn kept_of(choice: &Choice, table: &Table, rows: &[f64]) -> Vec<(String, Vec<bool>, usize)> {
    let each = choice.plan.aims.iter().enumerate().filter_map(|(i, aim)| {
        table.column(MeasureKey::of_aim(aim.measure))?;
        let words = choice.names.aims.get(i).cloned().unwrap_or_default();
        Some((words, kept_by_trial(aim, table, rows), i))
    });
    each.collect()
}

/// A column of row-major rows.
fn column(rows: &[f64], width: usize, at: usize) -> Columnar {
    rows.chunks_exact(width.max(1)).filter_map(|row| row.get(at)).copied().collect()
}
