//! One or two fields over several values, each on the same years.

use std::sync::atomic::{AtomicU32, Ordering};

use super::aims;
use super::engine::{Engine, Found};
use super::measures::Table;
use super::results::{AimResult, Summary};
use super::run::{checked_trials, summaries};
use super::stats::{wilson, z_two_sided};
use super::{Stop, StudyError};
use crate::scenario::{End, Names, Plan, Setting};
use crate::sim::outcome::Closure;

/// How to run a sweep.
#[derive(Clone, Debug, PartialEq)]
pub struct SweepOptions {
    /// Trials of each point, 1 to 200,000.
    pub trials: u32,
    /// Seed, the same for every point.
    pub seed: u64,
    /// Threads; as many as there are processors, if not said.
    pub threads: Option<usize>,
}

/// One field and its values.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Path of the field, as the file spells it.
    pub path: String,
    /// What stands there in the scenario.
    pub now: Option<String>,
    /// Which end asks less of the family.
    pub frugal: End,
    /// The values, as given.
    pub values: Vec<Setting>,
}

/// What one combination of values gave.
#[derive(Clone, Debug)]
pub struct Point {
    /// Aims, in the order of the scenario.
    pub aims: Vec<AimResult>,
    /// Measures, in a stable order; values of other fields may have others.
    pub measures: Vec<Summary>,
    /// Largest relative errors of the books.
    pub closure: Closure,
}

/// A whole sweep. Points are in the order of the values, the last field
/// running fastest.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// Trials of each point.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Days of a trial of the first point.
    pub days: u32,
    /// One or two fields.
    pub axes: Vec<Axis>,
    /// Points.
    pub points: Vec<Point>,
    /// Stopped before its end: only the rows of values that were done are here.
    pub broken_off: bool,
}

/// How an aim, or all of them, stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// Surely kept.
    Yes,
    /// So many years cannot tell.
    Open,
    /// Surely not kept.
    No,
}

impl Kept {
    /// How an aim stands.
    #[must_use]
    pub fn of(aim: &AimResult) -> Self {
        match (aim.sure, aim.met) {
            (false, _) => Self::Open,
            (true, true) => Self::Yes,
            (true, false) => Self::No,
        }
    }
}

impl Point {
    /// How the aims stand together: as the worst of them; nothing without aims.
    #[must_use]
    pub fn kept(&self) -> Option<Kept> {
        self.aims.iter().map(Kept::of).max()
    }

    /// A measure by name.
    #[must_use]
    pub fn measure(&self, name: &str) -> Option<&Summary> {
        self.measures.iter().find(|m| m.name == name)
    }
}

/// The most frugal values that keep all aims, as numbers of values of the last
/// field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Best {
    /// The most frugal that surely keeps them.
    pub surely: Option<usize>,
    /// A more frugal one of which so many years cannot tell.
    pub perhaps: Option<usize>,
    /// A less frugal one that surely does not keep them.
    pub yet_not: Option<usize>,
}

impl Axis {
    /// The numbers of its values, the most frugal first; none where a value is
    /// words that have no order.
    #[must_use]
    pub fn frugal_first(&self) -> Option<Vec<usize>> {
        let sizes: Option<Vec<f64>> = self.values.iter().map(|v| v.value).collect();
        let sizes = sizes?;
        let mut order: Vec<usize> = (0..sizes.len()).collect();
        order.sort_by(|a, b| match self.frugal {
            End::Smallest => sizes[*a].total_cmp(&sizes[*b]),
            End::Largest => sizes[*b].total_cmp(&sizes[*a]),
        });
        Some(order)
    }
}

impl Sweep {
    /// Points of one value of the first of two fields; of a single field, all.
    #[must_use]
    pub fn row(&self, row: usize) -> &[Point] {
        let width = self.width();
        self.points.get(row * width..(row + 1) * width).unwrap_or_default()
    }

    /// How many rows there are.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.points.len() / self.width().max(1)
    }

    fn width(&self) -> usize {
        self.axes.last().map_or(0, |a| a.values.len())
    }

    /// The most frugal values of a row; `None` without aims or without an order.
    #[must_use]
    pub fn best(&self, row: usize) -> Option<Best> {
        let order = self.axes.last()?.frugal_first()?;
        let points = self.row(row);
        let all: Vec<(usize, Kept)> =
            order.into_iter().map(|i| Some((i, points.get(i)?.kept()?))).collect::<Option<_>>()?;
        let first = all.iter().position(|(_, k)| *k == Kept::Yes);
        let before = &all[..first.unwrap_or(all.len())];
        let after = &all[first.map_or(all.len(), |f| f + 1)..];
        Some(Best {
            surely: first.map(|f| all[f].0),
            perhaps: before.iter().find(|(_, k)| *k == Kept::Open).map(|(i, _)| *i),
            yet_not: after.iter().find(|(_, k)| *k == Kept::No).map(|(i, _)| *i),
        })
    }

    /// Values of a row of which so many years cannot tell whether they do, the most frugal
    /// first: those more frugal than the first that surely does.
    #[must_use]
    pub fn open(&self, row: usize) -> Vec<usize> {
        let Some(order) = self.axes.last().and_then(Axis::frugal_first) else { return Vec::new() };
        let points = self.row(row);
        let kept = |i: &usize| points.get(*i).and_then(Point::kept);
        let before = order.into_iter().take_while(|i| kept(i) != Some(Kept::Yes));
        before.filter(|i| kept(i) == Some(Kept::Open)).collect()
    }

    /// Aims that are kept now more and now less often along a row: clearly more
    /// often from one value to a later one, and clearly less often from another.
    #[must_use]
    pub fn turning(&self, row: usize) -> Vec<usize> {
        let Some(order) = self.axes.last().and_then(Axis::frugal_first) else { return Vec::new() };
        let points = self.row(row);
        let aims = points.iter().map(|p| p.aims.len()).min().unwrap_or(0);
        let turns = |aim: &usize| {
            let parts = order.iter().filter_map(|i| Some(points.get(*i)?.aims.get(*aim)?.met_part_ci95));
            let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
            let (mut rises, mut falls) = (false, false);
            for [low, high] in parts {
                rises |= low > lowest;
                falls |= high < highest;
                (lowest, highest) = (lowest.min(high), highest.max(low));
            }
            rises && falls
        };
        (0..aims).filter(turns).collect()
    }
}

/// Runs every point of a sweep on the same years: the same seed and the same
/// numbers of trials. `points` are in the order of the values, the last field
/// running fastest. `progress` is told trials done and trials in all; points
/// are run one after another.
///
/// Whether an aim is surely kept is judged for all points and aims together: the doubt
/// of 5 % is shared by them (Bonferroni).
///
/// # Errors
/// As for a single run; [`StudyError::Stopped`] when it is asked to stop before the
/// first value (of two fields: the first row of values) is done.
pub fn sweep(
    mut axes: Vec<Axis>,
    points: &[(Plan, Names)],
    options: &SweepOptions,
    stop: &Stop,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Sweep, StudyError> {
    for (plan, _) in points {
        checked_trials(plan, options.trials)?;
    }
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(options.threads.unwrap_or(0))
        .build()
        .map_err(|e| StudyError::Threads(e.to_string()))?;
    let total = options.trials.saturating_mul(u32::try_from(points.len()).unwrap_or(u32::MAX));
    let done = AtomicU32::new(0);
    let tell = |n: u32| progress(done.fetch_add(n, Ordering::Relaxed) + n, total);
    let mut found_points = Vec::with_capacity(points.len());
    let mut broken_off = false;
    for (plan, names) in points {
        let table = Table::new(plan, names);
        let engine = Engine {
            pool: &pool,
            plan,
            names,
            table: &table,
            seed: options.seed,
            steady: false,
            stop: Some(stop),
        };
        let mut found = Found::default();
        match engine.simulate(0..options.trials, None, &tell, &mut found) {
            Err(StudyError::Stopped) => {
                broken_off = true;
                break;
            }
            done => done?,
        }
        found_points.push(Point {
            aims: aims::results(plan, names, &table, &found.rows, false),
            measures: summaries(&found.rows, &table),
            closure: found.closure,
        });
    }
    let days = points.first().map_or(0, |(p, _)| u32::try_from(p.days.len()).unwrap_or(u32::MAX));
    if broken_off {
        let width = if axes.len() > 1 { axes.last().map_or(1, |a| a.values.len()) } else { 1 };
        let rows = found_points.len() / width.max(1);
        found_points.truncate(rows * width);
        if let Some(first) = axes.first_mut().filter(|_| rows > 0) {
            first.values.truncate(rows);
        } else {
            return Err(StudyError::Stopped);
        }
    }
    judge_together(&mut found_points, options.trials);
    Ok(Sweep { trials: options.trials, seed: options.seed, days, axes, points: found_points, broken_off })
}

/// Greatest doubt of all that is said to be sure.
pub const SWEEP_DOUBT: f64 = 0.05;

/// What is sure of an aim, with the doubt shared by all points and aims.
fn judge_together(points: &mut [Point], trials: u32) {
    let claims = points.iter().map(|p| p.aims.len()).sum::<usize>().max(1);
    let z = z_two_sided(1.0 - SWEEP_DOUBT / claims as f64);
    for aim in points.iter_mut().flat_map(|p| &mut p.aims) {
        let kept = (aim.met_part * f64::from(trials)).round() as u32;
        let [low, high] = wilson(kept, trials, z);
        let (low, high) = (aims::reaches(low, aim.wanted_part), aims::reaches(high, aim.wanted_part));
        aim.sure = low || !high;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::{RunOptions, run, testing};

    fn setting(value: Option<f64>) -> Setting {
        Setting { text: format!("{value:?}"), value }
    }

    fn axis(frugal: End, values: &[Option<f64>]) -> Axis {
        Axis {
            path: "jars.quart".into(),
            now: None,
            frugal,
            values: values.iter().copied().map(setting).collect(),
        }
    }

    /// A row of points, each with aims kept in so many of 1000 trials against
    /// 900 wanted.
    fn row(frugal: End, kept: &[&[u32]]) -> Sweep {
        let verdict = |k: &u32| aims::verdict("aim".into(), "m".into(), *k, 1000, 0.9, false);
        let points = kept
            .iter()
            .map(|aims| Point {
                aims: aims.iter().map(verdict).collect(),
                measures: Vec::new(),
                closure: Closure::default(),
            })
            .collect();
        let values: Vec<Option<f64>> = (0..kept.len()).map(|i| Some(i as f64)).collect();
        Sweep {
            trials: 1000,
            seed: 1,
            days: 365,
            axes: vec![axis(frugal, &values)],
            points,
            broken_off: false,
        }
    }

    #[test]
    fn the_most_frugal_value_that_keeps_all_aims() {
        let best = |frugal, kept: &[&[u32]]| row(frugal, kept).best(0).unwrap();
        let found = best(End::Smallest, &[&[500, 990], &[905, 990], &[990, 990], &[995, 990]]);
        assert_eq!(found, Best { surely: Some(2), perhaps: Some(1), yet_not: None });
        let found = best(End::Largest, &[&[500], &[905], &[990], &[995]]);
        assert_eq!(found, Best { surely: Some(3), perhaps: None, yet_not: Some(0) });
        let found = best(End::Smallest, &[&[500], &[510]]);
        assert_eq!(found, Best::default());
        assert_eq!(row(End::Smallest, &[&[], &[]]).best(0), None);
        let mut words = row(End::Smallest, &[&[990], &[990]]);
        words.axes[0].values[1].value = None;
        assert_eq!(words.best(0), None);
    }

    #[test]
    fn aims_that_turn() {
        let turning = |kept: &[&[u32]]| row(End::Smallest, kept).turning(0);
        assert_eq!(turning(&[&[100, 900], &[500, 500], &[900, 100]]), [0usize; 0]);
        assert_eq!(turning(&[&[100, 900], &[900, 100], &[500, 500]]), [0, 1]);
        // Within the noise nothing turns.
        assert_eq!(turning(&[&[500], &[510], &[495]]), [0usize; 0]);
    }

    #[test]
    fn a_point_is_a_run() {
        let (plan, names) = testing::house();
        let options = SweepOptions { trials: 70, seed: 3, threads: Some(2) };
        let mut more = plan.clone();
        more.jars[0].count += 10;
        let axes = vec![axis(End::Smallest, &[Some(1.0), Some(2.0)])];
        let points = [(plan.clone(), names.clone()), (more, names.clone())];
        let found = sweep(axes.clone(), &points, &options, &Stop::default(), &|_, _| {}).unwrap();
        let one = RunOptions { trials: 70, seed: 3, bands: false, remedies: false, ..RunOptions::default() };
        let alone = run(&plan, &names, &one, &|_, _| {}).unwrap();
        assert_eq!(found.points[0].measures, alone.measures);
        for (a, b) in found.points[0].aims.iter().zip(&alone.aims) {
            assert_eq!((a.met_part, a.met_part_ci95), (b.met_part, b.met_part_ci95));
        }
        assert_eq!((found.rows(), found.row(0).len()), (1, 2));
        let again = SweepOptions { threads: Some(1), ..options };
        let again = sweep(axes, &points, &again, &Stop::default(), &|_, _| {}).unwrap();
        for (a, b) in found.points.iter().zip(&again.points) {
            assert_eq!(a.measures, b.measures);
        }
    }

    /// 920 of 1,000 are surely more than 900 by themselves (Wilson, 95 %), and not where
    /// twenty such claims are made at once.
    #[test]
    fn doubt_is_shared_by_all_claims() {
        let sure = |points: usize| {
            let mut row = row(End::Smallest, &vec![&[920_u32][..]; points]);
            judge_together(&mut row.points, 1000);
            row.points[0].aims[0].sure
        };
        assert!(sure(1) && !sure(20));
    }

    /// What was done when it was stopped is handed on; a row begun is not.
    #[test]
    fn what_was_done_is_kept() {
        let (plan, names) = testing::house();
        let stop = Stop::default();
        let options = SweepOptions { trials: 200, seed: 3, threads: Some(1) };
        let points = vec![(plan.clone(), names.clone()); 3];
        let tell = |done: u32, _: u32| {
            if done >= 232 {
                stop.ask();
            }
        };
        let axes = vec![axis(End::Smallest, &[Some(1.0), Some(2.0), Some(3.0)])];
        let found = sweep(axes, &points, &options, &stop, &tell).unwrap();
        assert!(found.broken_off && found.points.len() == 1 && found.axes[0].values.len() == 1);
        assert_eq!(found.row(0).len(), 1);
    }

    #[test]
    fn it_stops_when_asked() {
        let (plan, names) = testing::house();
        let stop = Stop::default();
        let options = SweepOptions { trials: 200, seed: 3, threads: Some(1) };
        let points = [(plan.clone(), names.clone()), (plan, names)];
        let tell = |done: u32, all: u32| {
            assert_eq!(all, 400);
            if done >= 32 {
                stop.ask();
            }
        };
        let found = sweep(Vec::new(), &points, &options, &stop, &tell);
        assert!(matches!(found, Err(StudyError::Stopped)));
    }
}
