//! What was tried to mend the plan.

use super::Voice;
use super::answer::{bound, capital};
use crate::report::amounts::{join, per_hundred};
use crate::report::page::Page;
use crate::study::aims::TOGETHER;
use crate::study::results::Remedy;

pub(super) fn write(v: &Voice, page: &mut Page) {
    let all = &v.result.remedies;
    let Some(tried) = all.iter().map(|r| r.trials).min() else { return };
    let told = all.iter().filter_map(|r| Some((r.words.contains(TOGETHER), r.mends, remedy(v, r)?)));
    let mut lines: Vec<(bool, bool, String)> = told.collect();
    // Single steps first, of those what mends it first; the sort is stable.
    lines.sort_by_key(|(pair, mends, _)| (*pair, !mends));
    if lines.is_empty() {
        let words: Vec<String> = all.iter().map(|r| r.words.clone()).collect();
        page.say(format!("Tried, and of no real help: {}.", join(&words, "and")));
        return;
    }
    let mending = lines.iter().filter(|(_, mends, _)| *mends).count();
    page.heading(match mending {
        0 => "What would help, though nothing that was tried keeps every aim",
        n if n == lines.len() => "What would mend it",
        _ => "What would help, and what would mend it",
    });
    for (_, _, line) in lines {
        page.item(line);
    }
    page.say(format!("Each was run on the same luck for {}.", v.span.trials(tried)));
}

/// A remedy that changes something; `None` for one that does not.
pub(super) fn remedy(v: &Voice, r: &Remedy) -> Option<String> {
    const WORTH_TELLING: f64 = 0.02;
    if r.mends {
        return Some(format!("{}: then every aim is kept.", capital(&r.words)));
    }
    let missed = v.result.aims.iter().filter(|a| !a.met);
    let better: Vec<String> = r
        .met_parts
        .iter()
        .zip(missed)
        .filter(|(with, a)| **with > a.met_part + WORTH_TELLING)
        .map(|(with, a)| {
            let (with, without) = (per_hundred(*with), a.met_part * 100.0);
            format!("{} in {with} {}, not {without:.0}", bound(&a.aim), v.span.many())
        })
        .collect();
    (!better.is_empty()).then(|| format!("{}: {}.", capital(&r.words), join(&better, "and")))
}
