//! The best of several by one goal, on batches of the same trials.

use super::super::engine::{Engine, Found};
use super::super::measures::{MeasureKey, Table};
use super::super::stats::mean_variance;
use super::super::{Stop, StudyError};
use super::margins::{AIM_MARGIN, Good, good, margin};
use super::results::{Best, Contender};
use super::select::{Kn, KnSetup, rinott_h};
use super::{ALPHA, Choice, CompareOptions, Goal, MOST_TRIALS, kept_of};

/// Trials of a batch: their mean is near enough to normal.
pub const BATCH: u32 = 50;
/// Batches before the first look.
pub const FIRST_BATCHES: u32 = 10;
/// Name of the goal that is no measure.
pub const AIMS_KEPT: &str = "aims_kept";

/// What is looked for.
pub(super) struct Aim {
    name: String,
    /// The measure in each, base first; empty for the aims.
    keys: Vec<MeasureKey>,
    good: Good,
    delta: f64,
}

impl Aim {
    pub fn new(
        goal: &Goal,
        base: &Choice,
        choices: &[Choice],
        options: &CompareOptions,
    ) -> Result<Self, StudyError> {
        let days = u32::try_from(base.plan.days.len()).unwrap_or(u32::MAX);
        let set = |name: &str| options.margins.iter().rev().find(|(n, _)| n == name).map(|(_, m)| *m);
        let sides = || std::iter::once(base).chain(choices);
        let aim = match goal {
            Goal::AimsKept => {
                let alike = sides().all(|c| c.names.aims == base.names.aims);
                if base.plan.aims.is_empty() || !alike {
                    return Err(StudyError::NoGoal(if alike {
                        "the scenario sets no aims, so none can be kept best".into()
                    } else {
                        "the choices do not all set the same aims, so which keeps most of them says nothing"
                            .into()
                    }));
                }
                let delta = set(AIMS_KEPT).unwrap_or(AIM_MARGIN);
                Self { name: AIMS_KEPT.into(), keys: vec![], good: Good::More, delta }
            }
            Goal::Measure(name) => {
                let mut keys = Vec::new();
                for side in sides() {
                    let table = Table::new(side.plan, side.names);
                    let at = table.names.iter().position(|n| n == name);
                    let money =
                        |key: MeasureKey| key.unit() == "money" && side.names.money != base.names.money;
                    match at.map(|c| table.keys[c]).filter(|key| !money(*key)) {
                        Some(key) => keys.push(key),
                        None => {
                            return Err(StudyError::NoGoal(format!(
                                "{} has no {name} to be compared, so the best by it cannot be found",
                                side.name
                            )));
                        }
                    }
                }
                let key = keys[0];
                if good(key) == Good::Told {
                    return Err(StudyError::NoGoal(format!(
                        "neither more nor less of {name} is better, so there is no best by it"
                    )));
                }
                let delta = set(name).unwrap_or_else(|| margin(key, days));
                Self { name: name.clone(), keys, good: good(key), delta }
            }
        };
        if aim.delta > 0.0 {
            Ok(aim)
        } else {
            let why = format!("to find the best by {}, what matters must be more than nothing", aim.name);
            Err(StudyError::NoGoal(why))
        }
    }

    /// The columns that the goal of a side needs.
    fn table(&self, number: usize, side: &Choice) -> Table {
        let keys = match self.keys.get(number) {
            Some(key) => vec![*key],
            None => side.plan.aims.iter().map(|a| MeasureKey::of_aim(a.measure)).collect(),
        };
        let names = keys.iter().map(|_| self.name.clone()).collect();
        Table { keys, names }
    }

    /// Values of the goal, trial by trial, more being better.
    pub fn values(&self, number: usize, side: &Choice, table: &Table, rows: &[f64]) -> Vec<f64> {
        match self.keys.get(number).and_then(|key| table.column(*key)) {
            Some(at) => {
                let sign = if self.good == Good::Less { -1.0 } else { 1.0 };
                super::column(rows, table.keys.len(), at).into_iter().map(|v| sign * v).collect()
            }
            None => {
                let kept = kept_of(side, table, rows);
                let trials = rows.len() / table.keys.len().max(1);
                let of = |t: usize| kept.iter().filter(|(_, k, _)| k.get(t) == Some(&true)).count();
                (0..trials).map(|t| of(t) as f64 / kept.len().max(1) as f64).collect()
            }
        }
    }

    /// Looks for the best; `goals` are the values known so far, side by side.
    /// Those still in are simulated on as long as it takes.
    pub fn look(
        &self,
        (pool, stop): (&rayon::ThreadPool, Option<&Stop>),
        sides: &[Choice],
        mut goals: Vec<Vec<f64>>,
        seed: u64,
        done: &(dyn Fn(u32) + Sync),
    ) -> Result<Best, StudyError> {
        let setup = KnSetup { first: FIRST_BATCHES, delta: self.delta, alpha: ALPHA };
        let mut kn = Kn::new(sides.len(), setup);
        let tables: Vec<Table> = sides.iter().enumerate().map(|(i, s)| self.table(i, s)).collect();
        let more = std::sync::atomic::AtomicU32::new(0);
        let tell = |n: u32| done(more.fetch_add(n, std::sync::atomic::Ordering::Relaxed) + n);
        let mut chosen = None;
        while chosen.is_none() && (kn.taken() + 1) * BATCH <= MOST_TRIALS {
            let end = (kn.taken() + 1) * BATCH;
            let mut batch = vec![0.0; sides.len()];
            for (i, side) in sides.iter().enumerate().filter(|(i, _)| kn.is_in(*i)) {
                let known = u32::try_from(goals[i].len()).unwrap_or(u32::MAX);
                if known < end {
                    let (plan, names, table) = (side.plan, side.names, &tables[i]);
                    let engine = Engine { pool, plan, names, table, seed, steady: false, stop };
                    let mut found = Found::default();
                    engine.simulate(known..end, None, &tell, &mut found)?;
                    goals[i].extend(self.values(i, side, table, &found.rows));
                }
                batch[i] = mean_variance(&goals[i][(end - BATCH) as usize..end as usize]).0;
            }
            chosen = kn.take(&batch);
        }
        let sign = if self.good == Good::Less { -1.0 } else { 1.0 };
        let contenders: Vec<Contender> = sides
            .iter()
            .enumerate()
            .map(|(i, side)| {
                let batches = kn.left_out_after()[i].unwrap_or_else(|| kn.taken());
                let trials = batches * BATCH;
                let seen = &goals[i][..(trials as usize).min(goals[i].len())];
                let (name, left_out) = (side.name.to_owned(), !kn.is_in(i));
                Contender { name, mean: sign * mean_variance(seen).0, trials, left_out }
            })
            .collect();
        Ok(Best {
            goal: self.name.clone(),
            key: self.keys.first().copied(),
            good: self.good,
            delta: self.delta,
            sure: 1.0 - ALPHA,
            batch: BATCH,
            first: FIRST_BATCHES,
            chosen,
            trials: contenders.iter().map(|c| c.trials).sum(),
            separate_trials: self.separate(&goals),
            contenders,
        })
    }

    /// Trials in all that Rinott's rule would call for on separate luck, by the
    /// variances of the first batches.
    fn separate(&self, goals: &[Vec<f64>]) -> f64 {
        let h = rinott_h(goals.len(), FIRST_BATCHES, 1.0 - ALPHA);
        let of = |values: &Vec<f64>| {
            let first = values.chunks_exact(BATCH as usize).take(FIRST_BATCHES as usize);
            let means: Vec<f64> = first.map(|b| mean_variance(b).0).collect();
            let wanted = (h * h * mean_variance(&means).1 / (self.delta * self.delta)).ceil();
            wanted.max(f64::from(FIRST_BATCHES)) * f64::from(BATCH)
        };
        goals.iter().map(of).sum()
    }
}
