//! When she freshened: as it is said, and where a dry time shows it.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{Days, Known, NoFit};
use crate::calendar::days_between;
use crate::records::Milking;

/// Two freshenings are at least so far apart, days (goats and ewes may lamb
/// every eight months; our default).
const APART: i64 = 120;
/// A dry time (our default): without a row for so long and much more milk after
/// it than before it, or for longer and more milk; never less than so many
/// usual gaps between the days of the log.
const DRY: [(i64, f64); 2] = [(25, 1.3), (40, 1.0)];
/// See [`DRY`].
const DRY_GAPS: f64 = 2.5;
/// Rows that contradict a freshening are told so many times.
const CONTRARY: usize = 3;

/// Days from one day of the log to the next.
fn gap(pair: &[(Date, f64)]) -> i64 {
    match pair {
        [a, b] => days_between(a.0, b.0),
        _ => 0,
    }
}

/// All freshenings, in order.
pub(super) fn freshenings(
    by_day: &BTreeMap<Date, Vec<&Milking>>,
    known: &Known,
    out: &mut Days,
) -> Result<Vec<Date>, NoFit> {
    let mut all: Vec<Date> = known.fresh.clone();
    let far = |all: &[Date], d: Date| all.iter().all(|f| days_between(*f, d).abs() >= APART);
    let mut contrary: Vec<Date> = Vec::new();
    let said = by_day.values().flatten();
    for m in said {
        let from_row = match m.dim {
            Some(dim) => Some(crate::calendar::date_of(m.date, 1 - i64::from(dim))),
            None => m.fresh.then_some(m.date),
        };
        let Some(d) = from_row else { continue };
        if far(&all, d) {
            all.push(d);
            out.told.push(format!("Line {} says that she freshened on {d}.", m.line));
        } else if let Some(other) = all.iter().find(|f| days_between(**f, d).abs() < APART && **f != d) {
            if !contrary.contains(&d) && contrary.len() < CONTRARY {
                out.told.push(format!(
                    "Line {} says that she freshened on {d}, but {other} is taken, which was said first.",
                    m.line
                ));
            }
            contrary.push(d);
        }
    }
    if by_day.is_empty() {
        return Err(NoFit::NoDays { why: "every row was set aside".into(), aside: Vec::new() });
    }
    if all.is_empty() {
        return Err(NoFit::NoFreshening);
    }
    all.sort_unstable();
    // A dry time and much more milk after it: she has freshened.
    let totals: Vec<(Date, f64)> =
        by_day.iter().map(|(d, m)| (*d, m.iter().map(|m| m.kg).sum::<f64>())).collect();
    let mut gaps: Vec<i64> = totals.windows(2).map(gap).collect();
    gaps.sort_unstable();
    let usual = gaps.get(gaps.len() / 2).copied().unwrap_or(1) as f64;
    for (i, pair) in totals.windows(2).enumerate() {
        let [(before, _), (after, _)] = *pair else { continue };
        let days = gap(pair);
        let least = DRY.iter().map(|d| d.0).min().unwrap_or(0);
        if days < least || (days as f64) < DRY_GAPS * usual || !far(&all, after) {
            continue;
        }
        let mean =
            |part: &[(Date, f64)]| part.iter().map(|(_, kg)| kg).sum::<f64>() / part.len().max(1) as f64;
        let last = mean(totals.get(i.saturating_sub(4)..=i).unwrap_or_default());
        let next = mean(totals.get(i + 1..(i + 6).min(totals.len())).unwrap_or_default());
        let began = all.iter().rev().find(|f| **f <= before).copied();
        let long = began.is_some_and(|f| days_between(f, before) >= APART);
        if long && DRY.iter().any(|(least, rise)| days >= *least && next > rise * last) {
            out.told.push(format!(
                "Nothing is written from {before} to {after}, and then she gives more: it is assumed that she \
                 freshened on {after}; if not, or on another day, say so with --freshened."
            ));
            all.push(after);
            all.sort_unstable();
        } else {
            out.told.push(format!(
                "Nothing is written from {before} to {after}; if she freshened in that time, say so with --freshened."
            ));
        }
    }
    // Lactations without a row do not count.
    let mut kept = Vec::new();
    for (i, f) in all.iter().enumerate() {
        let end = all.get(i + 1);
        if by_day.range(*f..).next().is_some_and(|(d, _)| end.is_none_or(|e| d < e)) {
            kept.push(*f);
        }
    }
    match (kept.is_empty(), by_day.keys().next_back(), all.first()) {
        (false, ..) => Ok(kept),
        (true, Some(last), Some(first)) => {
            let why =
                format!("its last day with an amount is {last}, and she freshened on {first}, after it");
            Err(NoFit::NoDays { why, aside: Vec::new() })
        }
        _ => Err(NoFit::NoDays { why: "every row was set aside".into(), aside: Vec::new() }),
    }
}
