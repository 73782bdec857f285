//! Which trial to tell: by number, or by its rank in a measure.

use super::TraceOptions;
use crate::scenario::{Names, Plan};
use crate::study::StudyError;
use crate::study::aims::MOST_TRIALS;
use crate::study::compare::{Good, good};
use crate::study::engine::{Engine, Found};
use crate::study::measures::{MeasureKey, Table};
use std::sync::atomic::{AtomicU32, Ordering};

/// Which trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// The one of this number, from 0.
    Number(u32),
    /// The one in the middle by (measure, number).
    Middle(MeasureKey),
    /// The worst by a measure, in the measure's own direction; of equals the
    /// first.
    Worst(MeasureKey),
    /// The average year, without chance.
    Steady,
}

/// The trial chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// How it was asked for.
    pub choice: Choice,
    /// Its number, from 0; `None` for the average year.
    pub number: Option<u32>,
    /// Trials it was chosen from; 0 where none was simulated for the choice.
    pub among: u32,
    /// All those trials are alike in the measure.
    pub all_alike: bool,
}

/// Whether more of a measure is worse. Of those that are neither good nor bad, less
/// milk, a smaller stock and an earlier dry day are taken for worse.
#[must_use]
pub const fn is_worse_high(key: MeasureKey) -> bool {
    use MeasureKey as M;
    match good(key) {
        Good::More => false,
        Good::Less => true,
        Good::Told => !matches!(
            key,
            M::MilkDrawn
                | M::MilkFetched
                | M::MadeIntoProducts
                | M::SharedOut
                | M::Sold
                | M::LaidDown(_)
                | M::Made(_)
                | M::MadeWeeks(_)
                | M::FirstDryDay
                | M::Freshenings
                | M::FreshenedAgain
        ),
    }
}

pub(super) fn choose(
    plan: &Plan,
    names: &Names,
    table: &Table,
    options: &TraceOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<Chosen, StudyError> {
    if plan.days.is_empty() {
        return Err(StudyError::NoDays);
    }
    let at = |number, among, all_alike| Chosen { choice: options.choice, number, among, all_alike };
    let key = match options.choice {
        Choice::Steady => return Ok(at(None, 0, false)),
        Choice::Number(n) => return Ok(at(Some(n), 0, false)),
        Choice::Middle(key) | Choice::Worst(key) => key,
    };
    if options.trials == 0 {
        return Err(StudyError::NoTrials);
    }
    if options.trials > MOST_TRIALS {
        return Err(StudyError::TooManyTrials { asked: options.trials });
    }
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(options.threads.unwrap_or(0))
        .build()
        .map_err(|e| StudyError::Threads(e.to_string()))?;
    // Only the measure asked for is kept of each trial.
    let name = table.column(key).and_then(|c| table.names.get(c)).cloned().unwrap_or_default();
    let one = Table { keys: vec![key], names: vec![name] };
    let engine =
        Engine { pool: &pool, plan, names, table: &one, seed: options.seed, steady: false, stop: None };
    let (mut found, done) = (Found::default(), AtomicU32::new(0));
    let tell = |n: u32| progress(done.fetch_add(n, Ordering::Relaxed) + n, options.trials);
    engine.simulate(0..options.trials, None, &tell, &mut found)?;
    let worst = matches!(options.choice, Choice::Worst(_));
    let number = if worst { worst_of(&found.rows, is_worse_high(key)) } else { middle_of(&found.rows) };
    let all_alike = found.rows.windows(2).all(|w| w[0].total_cmp(&w[1]).is_eq());
    Ok(at(Some(number), options.trials, all_alike))
}

/// The number in the middle by (value, number); of an even count the lower.
fn middle_of(values: &[f64]) -> u32 {
    let mut order: Vec<u32> = (0..u32::try_from(values.len()).unwrap_or(u32::MAX)).collect();
    order.sort_by(|a, b| values[*a as usize].total_cmp(&values[*b as usize]).then(a.cmp(b)));
    order.get(order.len().saturating_sub(1) / 2).copied().unwrap_or(0)
}

/// The first of the highest (or lowest) values.
fn worst_of(values: &[f64], high: bool) -> u32 {
    let mut worst = 0;
    for (i, v) in values.iter().enumerate() {
        let order = v.total_cmp(&values[worst]);
        if if high { order.is_gt() } else { order.is_lt() } {
            worst = i;
        }
    }
    u32::try_from(worst).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn middle_and_worst_by_value_then_number() {
        let v = [3.0, 1.0, 2.0, 2.0, 5.0, 5.0];
        // In order: 1 (1), 2 (2), 2 (3), 3 (0), 5 (4), 5 (5): the third.
        assert_eq!(middle_of(&v), 3);
        assert_eq!(middle_of(&v[..5]), 3);
        assert_eq!(worst_of(&v, true), 4);
        assert_eq!(worst_of(&v, false), 1);
        assert_eq!((middle_of(&[7.0; 4]), worst_of(&[7.0; 4], true)), (1, 0));
    }

    /// Every measure of a household with members, young on the bottle and prices.
    #[test]
    fn what_is_good_high_is_worst_low() {
        let text = include_str!("../../../scenarios/herd-share.yaml");
        let mut c = crate::scenario::compile(text.as_bytes()).unwrap();
        c.plan.trade.worth.get_or_insert_default();
        let keys = Table::new(&c.plan, &c.names).keys;
        let (mut more, mut less) = (0, 0);
        for key in keys {
            match good(key) {
                Good::More => assert!(!is_worse_high(key), "{key:?}"),
                Good::Less => assert!(is_worse_high(key), "{key:?}"),
                Good::Told => continue,
            }
            more += u32::from(good(key) == Good::More);
            less += u32::from(good(key) == Good::Less);
        }
        assert!(more > 10 && less > 20, "{more} {less}");
        for key in
            [MeasureKey::ShareWorstWeek, MeasureKey::ShareFill, MeasureKey::Value, MeasureKey::Bridged(0)]
        {
            assert_eq!(worst_of(&[1.0, 0.4, 0.9], is_worse_high(key)), 1, "{key:?}");
        }
    }
}
