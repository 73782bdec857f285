//! Were the aims met, in which part of the trials, and how sure is that.

use super::measures::{MeasureKey, Table};
use super::results::AimResult;
use super::stats::{trials_to_tell, wilson95};
use crate::scenario::plan::{AimPlan, Bound};
use crate::scenario::{Names, Plan};

/// Most trials of any study.
pub const MOST_TRIALS: u32 = 200_000;
/// What stands between the words of two changes that were run as one remedy.
pub const TOGETHER: &str = ", together with ";

/// Does a value keep within a bound, with a relative slack of 1e-9.
#[must_use]
pub fn keeps(value: f64, bound: Bound) -> bool {
    match bound {
        Bound::AtMost(most) => value <= most + 1e-9 * most.abs(),
        Bound::AtLeast(least) => value >= least - 1e-9 * least.abs(),
    }
}

/// Trial by trial: was an aim kept, of the rows given (row-major, all columns).
#[must_use]
pub fn kept_by_trial(aim: &AimPlan, table: &Table, rows: &[f64]) -> Vec<bool> {
    let column = table.column(MeasureKey::of_aim(aim.measure));
    let kept = |row: &[f64]| column.is_some_and(|c| keeps(row[c], aim.bound));
    rows.chunks_exact(table.keys.len().max(1)).map(kept).collect()
}

/// Trials that kept an aim, of the rows given (row-major, all columns).
#[must_use]
pub fn kept(aim: &AimPlan, table: &Table, rows: &[f64]) -> u32 {
    let kept = kept_by_trial(aim, table, rows).into_iter().filter(|k| *k).count();
    u32::try_from(kept).unwrap_or(u32::MAX)
}

/// Does a part of trials reach the part wanted, with a relative slack of 1e-9.
#[must_use]
pub fn reaches(part: f64, wanted: f64) -> bool {
    part >= wanted * (1.0 - 1e-9)
}

/// The verdict on `kept` of `trials` against a wanted part. In the average
/// year (`steady`) there is no chance and so no doubt.
#[must_use]
pub fn verdict(aim: String, measure: String, kept: u32, trials: u32, wanted: f64, steady: bool) -> AimResult {
    let part = f64::from(kept) / f64::from(trials.max(1));
    let met = reaches(part, wanted);
    let interval = if steady { [part, part] } else { wilson95(kept, trials) };
    let sure = steady || reaches(interval[0], wanted) || !reaches(interval[1], wanted);
    let more_trials = if sure { None } else { more_trials(part, trials, wanted) };
    AimResult {
        aim,
        measure,
        met_part: part,
        met_part_ci95: interval,
        wanted_part: wanted,
        met,
        sure,
        more_trials,
    }
}

/// About how many more trials would tell, if the part stays as it is; `None`
/// where not even the most that can be run would.
fn more_trials(part: f64, trials: u32, wanted: f64) -> Option<u32> {
    let all = trials_to_tell(part, wanted, 0.95)?;
    if all > f64::from(MOST_TRIALS) {
        return None;
    }
    Some((all as u32).saturating_sub(trials).max(1))
}

/// All aims of a plan over the rows of its trials.
#[must_use]
pub fn results(plan: &Plan, names: &Names, table: &Table, rows: &[f64], steady: bool) -> Vec<AimResult> {
    let trials = u32::try_from(rows.len() / table.keys.len().max(1)).unwrap_or(u32::MAX);
    let each = plan.aims.iter().enumerate().map(|(i, aim)| {
        let key = MeasureKey::of_aim(aim.measure);
        let measure = table.column(key).map_or_else(String::new, |c| table.names[c].clone());
        let words = names.aims.get(i).cloned().unwrap_or_else(|| measure.clone());
        verdict(words, measure, kept(aim, table, rows), trials, aim.in_part, steady)
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(kept: u32, trials: u32, wanted: f64) -> AimResult {
        verdict("aim".into(), "measure".into(), kept, trials, wanted, false)
    }

    #[test]
    fn bounds_with_a_slack() {
        assert!(keeps(0.03, Bound::AtMost(0.03)) && keeps(0.03 * (1.0 + 5e-10), Bound::AtMost(0.03)));
        assert!(!keeps(0.03 * (1.0 + 5e-9), Bound::AtMost(0.03)));
        assert!(keeps(0.98, Bound::AtLeast(0.98)) && !keeps(0.979, Bound::AtLeast(0.98)));
        assert!(keeps(0.0, Bound::AtMost(0.0)) && !keeps(1e-12, Bound::AtMost(0.0)));
    }

    /// 964 of 1000 is the fewest that prove 95 % (worked out from Wilson's
    /// formula); 950 meets it without proof, 900 surely does not.
    #[test]
    fn met_and_sure_are_two_things() {
        let proved = told(964, 1000, 0.95);
        assert!(proved.met && proved.sure && proved.more_trials.is_none());
        let open = told(955, 1000, 0.95);
        assert!(open.met && !open.sure);
        // z² · .95 · .05 / .005² = 7299: 6299 more and a few.
        assert!((6_290..6_310).contains(&open.more_trials.unwrap()), "{open:?}");
        let even = told(950, 1000, 0.95);
        assert!(even.met && !even.sure && even.more_trials.is_none());
        let missed = told(900, 1000, 0.95);
        assert!(!missed.met && missed.sure);
        let always = told(10, 10, 1.0);
        assert!(always.met && !always.sure && always.more_trials.is_none());
        assert!(told(9, 10, 1.0).sure);
    }
}
