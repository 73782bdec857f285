//! The same milking written twice.

use std::collections::BTreeMap;

use super::{Aside, Log, Milking, Part};

/// Amounts that differ by less than this part are the same.
const SAME: f64 = 0.001;

/// Of so many days with two rows that name no milking, and of so large a part of
/// them, the rows agree to the last figure: the log stands there twice (our
/// default; two milkings are rarely the same).
const TWICE: (usize, f64) = (3, 0.9);
/// A day's sum may differ from its milkings by this part, by rounding.
const SUM: f64 = 0.02;

/// Sets doubles aside: one of two that agree, both of two that do not; and what
/// sums up milkings that stand there too.
pub(super) fn pairs(log: &mut Log) {
    sums(log);
    let daily = is_daily(&log.milkings) || stands_twice(&log.milkings);
    let mut groups: BTreeMap<_, Vec<Milking>> = BTreeMap::new();
    for m in log.milkings.drain(..) {
        groups.entry((m.date, m.part)).or_default().push(m);
    }
    let mut keep = Vec::new();
    for ((date, part), group) in groups {
        // Two rows of a day that name no milking are two milkings, unless the
        // log has one row a day.
        let several = part == Part::Unsaid && !daily;
        let (Some(first), false) = (group.first().cloned(), several || group.len() < 2) else {
            keep.extend(group);
            continue;
        };
        let agree = group.iter().all(|m| (m.kg - first.kg).abs() <= SAME * first.kg);
        for m in &group {
            let why = if agree {
                format!("the same as line {} ({date})", first.line)
            } else {
                let other = group.iter().find(|o| o.line != m.line).map_or(first.line, |o| o.line);
                format!("the {} of {date} stands on line {other} too, with another amount", part.words())
            };
            if !(agree && m.line == first.line) {
                log.aside.push(Aside { line: m.line, column: String::new(), why });
            }
        }
        if agree {
            keep.push(first);
        }
    }
    log.milkings = keep;
}

/// A day's sum beside its milkings is only held against them; beside a single
/// milking it is what is used.
fn sums(log: &mut Log) {
    let mut days: BTreeMap<_, Vec<Milking>> = BTreeMap::new();
    for m in log.milkings.drain(..) {
        days.entry(m.date).or_default().push(m);
    }
    let mut aside = |m: &Milking, why: String| {
        log.aside.push(Aside { line: m.line, column: String::new(), why });
    };
    for all in days.into_values() {
        let (sums, single): (Vec<Milking>, Vec<Milking>) = all.into_iter().partition(|m| m.whole);
        let Some(sum) = sums.first().filter(|_| !single.is_empty()) else {
            log.milkings.extend(sums);
            log.milkings.extend(single);
            continue;
        };
        let kg: f64 = single.iter().map(|m| m.kg).sum();
        if single.len() == 1 && sum.kg >= (1.0 - SUM) * kg {
            for m in &single {
                aside(
                    m,
                    format!("the whole day's milk of {} stands on line {}; that is used", m.date, sum.line),
                );
            }
            log.milkings.extend(sums);
            continue;
        }
        for m in &sums {
            let why = if (m.kg - kg).abs() <= SUM * kg {
                format!("it sums up the milkings of {}", m.date)
            } else {
                format!("it sums up {}, but its milkings come to another sum; they are used", m.date)
            };
            aside(m, why);
        }
        log.milkings.extend(single);
    }
}

/// Nearly every day has the same row twice, naming no milking.
fn stands_twice(all: &[Milking]) -> bool {
    let mut days: BTreeMap<_, Vec<f64>> = BTreeMap::new();
    for m in all.iter().filter(|m| m.part == Part::Unsaid) {
        days.entry(m.date).or_default().push(m.kg);
    }
    let pairs: Vec<&Vec<f64>> = days.values().filter(|d| d.len() > 1).collect();
    let alike = pairs.iter().filter(|d| d.windows(2).all(|w| matches!(w, [a, b] if a == b))).count();
    pairs.len() >= TWICE.0 && alike as f64 >= TWICE.1 * pairs.len() as f64
}

/// Most days have one row that names no milking.
fn is_daily(all: &[Milking]) -> bool {
    let mut days: BTreeMap<_, usize> = BTreeMap::new();
    for m in all.iter().filter(|m| m.part == Part::Unsaid) {
        *days.entry(m.date).or_default() += 1;
    }
    let single = days.values().filter(|n| **n == 1).count();
    2 * single > days.len()
}
