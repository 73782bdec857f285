//! One trial told moment by moment: which one, and what happened in it.
//!
//! The chosen trial is simulated again from its number while a watcher reads
//! its books; nothing is drawn for that, and its outcome is that of the run.

mod choose;
mod events;
mod herd;
mod portions;
#[cfg(test)]
mod tests;
mod verdicts;

pub use choose::{Choice, Chosen, is_worse_high};
pub use events::{DayState, Event, Lack, What};
pub use herd::Herd;

use super::StudyError;
use super::measures::Table;
use crate::scenario::{Names, Plan};
use crate::sim::watch::Moment;
use crate::sim::{DayLog, Luck, Outcome, Trial};

/// What to trace.
#[derive(Clone, Debug, PartialEq)]
pub struct TraceOptions {
    /// Which trial.
    pub choice: Choice,
    /// Trials to choose from, 1 to 200,000.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Threads; as many as there are processors, if not said.
    pub threads: Option<usize>,
}

/// A trial moment by moment.
#[derive(Clone, Debug)]
pub struct Trace {
    /// Which trial, and why this one.
    pub chosen: Chosen,
    /// Seed.
    pub seed: u64,
    /// Its outcome: that of the run, to the bit.
    pub outcome: Outcome,
    /// Words of the rules, of tonight's list and of the list from tomorrow.
    pub rules: Vec<String>,
    /// Names of its measures, in the order of [`Self::values`].
    pub columns: Vec<String>,
    /// Its measures.
    pub values: Vec<f64>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Each day as it ended.
    pub days: Vec<DayState>,
}

/// Chooses a trial and tells it. `progress` is told trials done and trials
/// planned, from any thread; nothing where no choice is to be made.
///
/// # Errors
/// As for [`super::run()`].
pub fn trace(
    plan: &Plan,
    names: &Names,
    options: &TraceOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Trace, StudyError> {
    let table = Table::new(plan, names);
    let chosen = choose::choose(plan, names, &table, options, progress)?;
    let mut luck = Luck::new(plan, names);
    match chosen.number {
        Some(number) => luck.draw(options.seed, number),
        None => luck.steady(),
    }
    let (mut log, mut trial) = (DayLog::new(plan), Trial::new(plan));
    let mut watcher = events::Watcher::new(plan, &luck);
    let outcome =
        trial.run_watched(&luck, &mut log, |moment: Moment, view| watcher.look(moment, &view)).clone();
    super::engine::checked(&outcome, chosen.number.unwrap_or(0))?;
    let (events, days) = watcher.finish(&outcome);
    let mut values = Vec::new();
    table.append(&outcome, plan, &mut values);
    let rules = super::run::rule_words(plan, names);
    Ok(Trace { chosen, seed: options.seed, outcome, rules, columns: table.names, values, events, days })
}
