//! A choice against the base: differences, verdicts, and their adjustment for
//! how many are made.

use super::super::measures::{MeasureKey, Table};
use super::super::stats::{mean_interval, mean_variance, nearest_rank, p_value, trials_for_half_width};
use super::margins::{AIM_MARGIN, Good, good, margin};
use super::paired::{
    A_FEW, Columns, TAILS, bootstrap, counts, exact_mcnemar, holm, p_within, part_interval, variance_ratio,
};
use super::results::{Against, AimPair, Pair, QuantilePair, Verdict};
use super::{ALPHA, Choice, CompareOptions, MOST_TRIALS, aimed, column, kept_of};

/// Values of one measure, trial by trial.
pub(super) type Columnar = Vec<f64>;

/// One that was simulated.
pub(super) struct Known<'a> {
    choice: Choice<'a>,
    table: &'a Table,
    columns: Vec<Columnar>,
    /// Words of an aim, whether each trial kept it, and its number.
    kept: Vec<(String, Vec<bool>, usize)>,
}

impl<'a> Known<'a> {
    pub fn new(choice: &Choice<'a>, table: &'a Table, rows: &[f64]) -> Self {
        let width = table.keys.len();
        Self {
            choice: *choice,
            table,
            columns: (0..width).map(|c| column(rows, width, c)).collect(),
            kept: kept_of(choice, table, rows),
        }
    }

    fn find(&self, name: &str) -> Option<(MeasureKey, &Columnar)> {
        let at = self.table.names.iter().position(|n| n == name)?;
        Some((*self.table.keys.get(at)?, self.columns.get(at)?))
    }
}

/// A choice against the base; claims are not yet adjusted.
pub(super) fn against(
    pool: &rayon::ThreadPool,
    base: &Known,
    choice: &Known,
    options: &CompareOptions,
) -> Against {
    let aimed = aimed(&base.choice, base.table);
    let days = u32::try_from(base.choice.plan.days.len()).unwrap_or(u32::MAX);
    let (mut pairs, mut columns, mut varying) = (Vec::new(), Vec::new(), Vec::new());
    for (name, a) in base.table.names.iter().zip(&base.columns) {
        let (Some((key, _)), Some((_, b))) = (base.find(name), choice.find(name)) else { continue };
        let set = options.margins.iter().rev().find(|(n, _)| n == name).map(|(_, m)| *m);
        let margin = set.unwrap_or_else(|| margin(key, days));
        let pair = pair(name, key, aimed.contains(name), margin, a, b);
        if pair.counts.alike as usize != a.len() {
            varying.push(pairs.len());
            columns.push(Columns { a, b });
        }
        pairs.push(pair);
    }
    if options.trials > 1 {
        // Where nothing differs there is nothing to draw.
        for pair in &mut pairs {
            pair.quantiles.iter_mut().for_each(|q| q.ci95 = Some([0.0; 2]));
        }
        for (at, found) in varying.into_iter().zip(bootstrap(pool, &columns)) {
            for (quantile, interval) in pairs[at].quantiles.iter_mut().zip(found) {
                quantile.ci95 = Some(interval);
            }
        }
    }
    let only = |of: &Known, in_other: &Table| {
        let whole = Table::new(of.choice.plan, of.choice.names);
        whole.names.into_iter().filter(|n| !in_other.names.contains(n)).collect::<Vec<_>>()
    };
    // With measures named, what else is in one alone is no news.
    let all = options.measures.is_empty();
    let words = |k: &Known| k.choice.names.aims.clone();
    let lacking = |of: Vec<String>, other: &[String]| -> Vec<String> {
        of.into_iter().filter(|w| !other.contains(w)).collect()
    };
    Against {
        name: choice.choice.name.to_owned(),
        measures: pairs,
        aims: aims(base, choice, options),
        only_base: if all { only(base, choice.table) } else { vec![] },
        only_choice: if all { only(choice, base.table) } else { vec![] },
        aims_only_base: lacking(words(base), &words(choice)),
        aims_only_choice: lacking(words(choice), &words(base)),
    }
}

fn pair(name: &str, key: MeasureKey, aimed: bool, margin: f64, a: &[f64], b: &[f64]) -> Pair {
    let differences: Vec<f64> = b.iter().zip(a).map(|(b, a)| b - a).collect();
    let found = mean_interval(&differences, 1.0 - ALPHA);
    let n = differences.len();
    let told = found.interval().is_some();
    let p = if told { p_value(&found, n, 0.0) } else { 1.0 };
    let p_same = if told { p_within(&found, n, margin) } else { 1.0 };
    let sorted = |values: &[f64]| {
        let mut values = values.to_vec();
        values.sort_unstable_by(f64::total_cmp);
        values
    };
    let (low, high) = (sorted(a), sorted(b));
    let at = |sorted: &[f64], p: f64| sorted.get(nearest_rank(sorted.len(), p) - 1).copied().unwrap_or(0.0);
    Pair {
        name: name.to_owned(),
        key,
        good: good(key),
        aimed,
        margin,
        base: mean_variance(a).0,
        choice: mean_variance(b).0,
        difference: found.mean,
        ci95: found.interval(),
        error: told.then(|| (found.variance / n as f64).sqrt()),
        variance_ratio: variance_ratio(a, b, found.variance),
        counts: counts(a, b, 0.0),
        by_margin: counts(a, b, margin),
        p,
        p_same,
        adjusted: None,
        verdict: None,
        more_trials: None,
        quantiles: TAILS.map(|p| QuantilePair { p, base: at(&low, p), choice: at(&high, p), ci95: None }),
    }
}

fn aims(base: &Known, choice: &Known, options: &CompareOptions) -> Vec<AimPair> {
    let each = base.kept.iter().filter_map(|(words, before, number)| {
        let (_, after, _) = choice.kept.iter().find(|(w, _, _)| w == words)?;
        let changed = |had: bool| {
            let changed = before.iter().zip(after).filter(|(b, a)| **b == had && **a != had);
            u32::try_from(changed.count()).unwrap_or(u32::MAX)
        };
        let (lost, won) = (changed(true), changed(false));
        let n = options.trials;
        let part = |kept: &[bool]| kept.iter().filter(|k| **k).count() as f64 / f64::from(n.max(1));
        let plan = base.choice.plan.aims.get(*number)?;
        let column = base.table.column(MeasureKey::of_aim(plan.measure))?;
        let p = exact_mcnemar(lost, won);
        Some(AimPair {
            aim: words.clone(),
            measure: base.table.names[column].clone(),
            wanted: plan.in_part,
            base: part(before),
            choice: part(after),
            won,
            lost,
            difference: (f64::from(won) - f64::from(lost)) / f64::from(n.max(1)),
            ci95: part_interval(won, lost, n, 1.0 - ALPHA),
            p,
            p_adjusted: p,
            verdict: Verdict::CannotTell,
            more_trials: None,
        })
    });
    each.collect()
}

/// Adjusts the claims on aimed measures and on aims for their number, and says
/// the verdicts. How many claims there are of each.
pub(super) fn adjust(all: &mut [Against], trials: u32) -> [u32; 2] {
    let judged = |p: &Pair| p.aimed && p.good != Good::Told;
    let mut family: Vec<&mut Pair> =
        all.iter_mut().flat_map(|a| &mut a.measures).filter(|p| judged(p)).collect();
    let differ = holm(&family.iter().map(|p| p.p).collect::<Vec<_>>());
    let same = holm(&family.iter().map(|p| p.p_same).collect::<Vec<_>>());
    for ((pair, differs), same) in family.iter_mut().zip(differ).zip(same) {
        pair.adjusted = Some([differs, same]);
    }
    let size = family.len();
    for pair in all.iter_mut().flat_map(|a| &mut a.measures).filter(|p| p.good != Good::Told) {
        let [p, p_same] = pair.adjusted.unwrap_or([pair.p, pair.p_same]);
        let up = (pair.difference > 0.0) == (pair.good == Good::More);
        let verdict = verdict(p, p_same, up);
        pair.verdict = Some(verdict);
        if verdict == Verdict::CannotTell {
            let level = ALPHA / if pair.adjusted.is_some() { size.max(1) as f64 } else { 1.0 };
            let variance = pair.error.map_or(0.0, |e| e * e * f64::from(trials));
            pair.more_trials = more(variance, pair.difference, pair.margin, level, trials);
        }
    }
    let mut aims: Vec<&mut AimPair> = all.iter_mut().flat_map(|a| &mut a.aims).collect();
    let adjusted = holm(&aims.iter().map(|a| a.p).collect::<Vec<_>>());
    let count = aims.len();
    for (aim, p) in aims.iter_mut().zip(adjusted) {
        aim.p_adjusted = p;
        let level = ALPHA / count.max(1) as f64;
        // Two one-sided tests at a level are the interval at twice its doubt.
        let [low, high] = part_interval(aim.won, aim.lost, trials, 1.0 - 2.0 * level);
        let same = low >= -AIM_MARGIN && high <= AIM_MARGIN;
        aim.verdict = verdict(p, if same { 0.0 } else { 1.0 }, aim.difference > 0.0);
        if aim.verdict == Verdict::CannotTell {
            aim.more_trials = more_of_aim([aim.won, aim.lost], level, trials);
        }
    }
    let whole = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    [whole(size), whole(count)]
}

fn verdict(p: f64, p_same: f64, better: bool) -> Verdict {
    if p_same <= ALPHA {
        Verdict::Same
    } else if p > ALPHA {
        Verdict::CannotTell
    } else if better {
        Verdict::Better
    } else {
        Verdict::Worse
    }
}

/// The same of an aim: as many more, in steps of a twentieth, as would bring its own
/// interval within what matters or off nothing, if as many pairs change as now.
fn more_of_aim(changed: [u32; 2], level: f64, trials: u32) -> Option<u32> {
    let mut all = f64::from(trials.max(1));
    while all < f64::from(MOST_TRIALS) {
        all = (all * 1.05).ceil();
        let [won, lost] = changed.map(|k| (f64::from(k) / f64::from(trials.max(1)) * all).round() as u32);
        let ends = |doubt: f64| part_interval(won, lost, all as u32, 1.0 - doubt);
        let [low, high] = ends(2.0 * level);
        let apart = ends(level);
        if (low >= -AIM_MARGIN && high <= AIM_MARGIN) || apart[0] > 0.0 || apart[1] < 0.0 {
            return Some((all as u32).saturating_sub(trials).max(1));
        }
    }
    None
}

/// About how many more trials would tell that there is a difference, or that
/// it does not matter, if it and the spread stay as they are; `None` where not
/// even the most of any study would.
fn more(variance: f64, difference: f64, margin: f64, level: f64, trials: u32) -> Option<u32> {
    let away = difference.abs();
    let reach = |half: f64, doubt: f64| {
        (half > 0.0 && variance > 0.0)
            .then(|| trials_for_half_width(variance, 2, half, 1.0 - doubt, MOST_TRIALS))
            .flatten()
    };
    // Where nothing differed, some hundreds more that do not would be enough.
    let alike = (variance <= 0.0).then(|| ((level.ln() / (1.0 - A_FEW).ln()).ceil() as u32).max(trials));
    let all = [reach(away, level), reach(margin - away, 2.0 * level), alike].into_iter().flatten().min()?;
    // By fewer than a tenth more nothing would be learnt.
    Some(all.saturating_sub(trials).max(trials / 10).max(1))
}
