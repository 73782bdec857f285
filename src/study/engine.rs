//! The one loop over trials: tasks of 32 on threads, answers in trial order.
//!
//! A trial is a pure function of the plan and its luck, and luck of the seed
//! and the trial's number. Everything that is added up is added trial by trial
//! in order, or is a whole number; so results are the same to the bit for any
//! number of threads, and the first hundred of a thousand trials are the
//! hundred of a run of a hundred.

use super::StudyError;
use super::bands::Bands;
use super::measures::Table;
use super::stop::Stop;
use crate::scenario::{Names, Plan};
use crate::sim::outcome::{BLOCKS, Closure, FATES, Fate, Outcome, Source};
use crate::sim::{DayLog, Luck, Trial};
use rayon::prelude::*;
use std::ops::Range;

/// Trials of one task.
const TASK: u32 = 32;
/// Tasks whose answers wait together to be folded in order.
const WAVE: u32 = 64;
/// The books must balance to this, relative to what came in.
pub const MOST_ERROR: f64 = 1e-9;

/// Columns of a rule's tally: fired, days fired, kg, then the reasons.
pub const RULE_COLUMNS: usize = 3 + BLOCKS;
/// Columns of the sources: milk and fat that came in.
pub const SOURCE_COLUMNS: usize = 2;
/// Columns of a fate: milk, mass, fat.
pub const FATE_COLUMNS: usize = 3;

/// What a stretch of trials left, folded in order.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Trials folded in.
    pub trials: u32,
    /// One row of measures a trial.
    pub rows: Vec<f64>,
    /// Sums over trials: sources, fates, rules.
    pub sums: Vec<f64>,
    /// Largest relative errors.
    pub closure: Closure,
}

/// All that trials of one scenario share.
#[derive(Clone, Copy, Debug)]
pub struct Engine<'a> {
    /// Threads.
    pub pool: &'a rayon::ThreadPool,
    /// The plan.
    pub plan: &'a Plan,
    /// Its names: luck is keyed by them.
    pub names: &'a Names,
    /// Its measures.
    pub table: &'a Table,
    /// Seed.
    pub seed: u64,
    /// No chance anywhere.
    pub steady: bool,
    /// May ask it to stop between tasks.
    pub stop: Option<&'a Stop>,
}

/// Buffers of one thread; they carry nothing from trial to trial.
struct Worker<'a> {
    trial: Trial<'a>,
    luck: Luck,
    logs: Vec<DayLog>,
}

/// What one task found.
struct Task {
    rows: Vec<f64>,
    tallies: Vec<f64>,
    closure: Closure,
}

impl Engine<'_> {
    /// Simulates the trials and folds them into `found`. `done` is told, from
    /// any thread, how many trials a finished task had.
    ///
    /// # Errors
    /// The first trial in order whose books do not balance or whose measures
    /// are no numbers; or it was asked to stop.
    pub fn simulate(
        &self,
        trials: Range<u32>,
        bands: Option<&Bands>,
        done: &(dyn Fn(u32) + Sync),
        found: &mut Found,
    ) -> Result<(), StudyError> {
        found.rows.reserve_exact(trials.len() * self.table.keys.len());
        let mut next = trials.start;
        while next < trials.end {
            let end = trials.end.min(next.saturating_add(TASK * WAVE));
            let starts: Vec<u32> = (next..end).step_by(TASK as usize).collect();
            let tasks: Vec<Result<Task, StudyError>> = self.pool.install(|| {
                starts
                    .into_par_iter()
                    .map_init(
                        || self.worker(bands.is_some()),
                        |worker, start| {
                            if self.stop.is_some_and(Stop::asked) {
                                return Err(StudyError::Stopped);
                            }
                            let range = start..end.min(start + TASK);
                            let trials = range.end - range.start;
                            let task = self.task(worker, range, bands);
                            done(trials);
                            task
                        },
                    )
                    .collect()
            });
            for task in tasks {
                found.fold(task?, self.table.keys.len());
            }
            next = end;
        }
        Ok(())
    }

    fn worker(&self, bands: bool) -> Worker<'_> {
        let logs = if bands { TASK as usize } else { 1 };
        Worker {
            trial: Trial::new(self.plan),
            luck: Luck::new(self.plan, self.names),
            logs: vec![DayLog::new(self.plan); logs],
        }
    }

    fn task(
        &self,
        worker: &mut Worker,
        range: Range<u32>,
        bands: Option<&Bands>,
    ) -> Result<Task, StudyError> {
        let (turn, count) = (range.start as usize, range.len());
        let mut task = Task { rows: Vec::new(), tallies: Vec::new(), closure: Closure::default() };
        task.rows.reserve_exact(count * self.table.keys.len());
        for (i, number) in range.enumerate() {
            if self.steady {
                worker.luck.steady();
            } else {
                worker.luck.draw(self.seed, number);
            }
            let log = if bands.is_some() { i } else { 0 };
            let outcome = worker.trial.run(&worker.luck, &mut worker.logs[log]);
            checked(outcome, number)?;
            let start = task.rows.len();
            self.table.append(outcome, self.plan, &mut task.rows);
            if let Some(column) = task.rows[start..].iter().position(|v| !v.is_finite()) {
                return Err(StudyError::NotANumber {
                    trial: number,
                    measure: self.table.names[column].clone(),
                });
            }
            tally(outcome, &mut task.tallies);
            task.closure = worst(task.closure, outcome.closure);
        }
        if let Some(bands) = bands {
            bands.add(&worker.logs[..count], turn);
        }
        Ok(task)
    }
}

impl Found {
    fn fold(&mut self, task: Task, columns: usize) {
        let trials = task.rows.len() / columns.max(1);
        self.trials += trials as u32;
        self.rows.extend_from_slice(&task.rows);
        let width = task.tallies.len() / trials.max(1);
        self.sums.resize(width, 0.0);
        for tally in task.tallies.chunks_exact(width.max(1)) {
            for (sum, value) in self.sums.iter_mut().zip(tally) {
                *sum += value;
            }
        }
        self.closure = worst(self.closure, task.closure);
    }
}

/// Refuses a trial whose books do not balance; not-a-number does not either.
pub(super) fn checked(outcome: &Outcome, trial: u32) -> Result<(), StudyError> {
    let Closure { mass, fat, protein } = outcome.closure;
    for error in [mass, fat, protein] {
        if error.is_nan() || error > MOST_ERROR {
            return Err(StudyError::DoesNotClose { trial, error });
        }
    }
    Ok(())
}

/// What is averaged over trials beside the measures.
fn tally(outcome: &Outcome, into: &mut Vec<f64>) {
    let (mut milk, mut fat) = (0.0, 0.0);
    for source in Source::ALL {
        milk += outcome.sources[source as usize].milk;
        fat += outcome.sources[source as usize].fat;
    }
    into.extend([milk, fat]);
    for fate in Fate::ALL {
        let matter = outcome.fates[fate as usize];
        into.extend([matter.milk, matter.mass, matter.fat]);
    }
    for rule in &outcome.rules {
        into.extend([f64::from(rule.fired), f64::from(rule.days_fired), rule.kg]);
        into.extend(rule.blocked.map(f64::from));
    }
}

/// Columns before those of the rules.
pub const BEFORE_RULES: usize = SOURCE_COLUMNS + FATE_COLUMNS * FATES;

fn worst(a: Closure, b: Closure) -> Closure {
    Closure { mass: a.mass.max(b.mass), fat: a.fat.max(b.fat), protein: a.protein.max(b.protein) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Books out by more than a billionth, in any of the three amounts, or by
    /// what is no number, are refused with the trial's number.
    #[test]
    fn books_that_do_not_balance_are_refused() {
        let told = |mass, fat, protein| {
            let closure = Closure { mass, fat, protein };
            checked(&Outcome { closure, ..Outcome::default() }, 17)
        };
        assert_eq!(told(1e-9, 1e-10, 0.0), Ok(()));
        for (m, f, p) in [(1.1e-9_f64, 0.0_f64, 0.0_f64), (0.0, 2e-9, 0.0), (0.0, 0.0, 1.0)] {
            let error = m.max(f).max(p);
            assert_eq!(told(m, f, p), Err(StudyError::DoesNotClose { trial: 17, error }));
        }
        assert!(told(0.0, f64::NAN, 0.0).is_err());
    }
}
