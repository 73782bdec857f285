//! The same milking written twice.

use std::collections::BTreeMap;

use super::{Aside, Log, Milking, Part};

/// Amounts that differ by less than this part are the same.
const SAME: f64 = 0.001;

/// Sets doubles aside: one of two that agree, both of two that do not.
pub(super) fn pairs(log: &mut Log) {
    let daily = is_daily(&log.milkings);
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

/// Most days have one row that names no milking.
fn is_daily(all: &[Milking]) -> bool {
    let mut days: BTreeMap<_, usize> = BTreeMap::new();
    for m in all.iter().filter(|m| m.part == Part::Unsaid) {
        *days.entry(m.date).or_default() += 1;
    }
    let single = days.values().filter(|n| **n == 1).count();
    2 * single > days.len()
}
