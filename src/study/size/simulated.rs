//! Candidates that are scenarios, simulated.

use std::collections::BTreeMap;
use std::ops::Range;

use super::search::Response;
use crate::scenario::Compiled;
use crate::study::aims::kept_by_trial;
use crate::study::engine::{Engine, Found};
use crate::study::measures::Table;
use crate::study::{Stop, StudyError};

/// Why a candidate could not be run: it does not compile, or its study fails.
#[derive(Debug)]
pub enum SizeError<E> {
    /// It does not compile.
    Candidate(usize, E),
    /// Its simulation fails.
    Study(StudyError),
}

/// Scenarios by the number of their candidate, each compiled when it is first
/// asked for.
pub struct Candidates<'a, E> {
    pool: rayon::ThreadPool,
    seed: u64,
    compile: &'a dyn Fn(usize) -> Result<Compiled, E>,
    done: &'a (dyn Fn(u32) + Sync),
    stop: Option<&'a Stop>,
    compiled: BTreeMap<usize, (Compiled, Table)>,
}

impl<'a, E> Candidates<'a, E> {
    /// `done` is told, from any thread, how many more trials have been
    /// run; `stop` may ask the search to end between tasks.
    ///
    /// # Errors
    /// No threads to be had.
    pub fn new(
        seed: u64,
        threads: Option<usize>,
        compile: &'a dyn Fn(usize) -> Result<Compiled, E>,
        done: &'a (dyn Fn(u32) + Sync),
        stop: Option<&'a Stop>,
    ) -> Result<Self, StudyError> {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads.unwrap_or(0))
            .build()
            .map_err(|e| StudyError::Threads(e.to_string()))?;
        Ok(Self { pool, seed, compile, done, stop, compiled: BTreeMap::new() })
    }
}

impl<E> Response for Candidates<'_, E> {
    type Error = SizeError<E>;

    fn run(&mut self, candidate: usize, trials: Range<u32>) -> Result<Vec<bool>, SizeError<E>> {
        if !self.compiled.contains_key(&candidate) {
            let compiled = (self.compile)(candidate).map_err(|e| SizeError::Candidate(candidate, e))?;
            let table = Table::new(&compiled.plan, &compiled.names);
            self.compiled.insert(candidate, (compiled, table));
        }
        let Some((compiled, table)) = self.compiled.get(&candidate) else { return Ok(Vec::new()) };
        let (plan, names) = (&compiled.plan, &compiled.names);
        if plan.days.is_empty() {
            return Err(SizeError::Study(StudyError::NoDays));
        }
        let engine =
            Engine { pool: &self.pool, plan, names, table, seed: self.seed, steady: false, stop: self.stop };
        let mut found = Found::default();
        engine.simulate(trials, None, self.done, &mut found).map_err(SizeError::Study)?;
        let aims: Vec<Vec<bool>> =
            plan.aims.iter().map(|aim| kept_by_trial(aim, table, &found.rows)).collect();
        let trials = found.trials as usize;
        Ok((0..trials)
            .flat_map(|t| aims.iter().map(move |aim| aim.get(t).copied().unwrap_or(false)))
            .collect())
    }
}
