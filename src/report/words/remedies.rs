//! What was tried to mend the plan.

use super::Voice;
use super::answer::{bound, capital};
use crate::report::amounts::{count, join, per_hundred};
use crate::report::page::Page;
use crate::study::aims::TOGETHER;
use crate::study::results::Remedy;

pub(super) fn write(v: &Voice, page: &mut Page) {
    let all = &v.result.remedies;
    let Some(tried) = all.iter().map(|r| r.trials).min() else { return };
    let mut lines: Vec<(&Remedy, String)> = Vec::new();
    let mut useless: Vec<String> = Vec::new();
    for r in all {
        match remedy(v, r) {
            Some(line) => lines.push((r, line)),
            None => useless.push(r.words.clone()),
        }
    }
    let useless = join(&useless, "and");
    // What makes another aim worse comes last; single steps before two
    // together, of those what mends it first. The sort is stable.
    lines.sort_by_key(|(r, _)| (!r.mends && !r.worsens.is_empty(), r.words.contains(TOGETHER), !r.mends));
    if lines.is_empty() {
        page.say(format!("Tried, and of no real help: {useless}."));
        return;
    }
    let mending = lines.iter().filter(|(r, _)| r.mends).count();
    page.heading(match mending {
        0 => "What would help, though nothing that was tried keeps every aim",
        n if n == lines.len() => "What would mend it",
        _ => "What would help, and what would mend it",
    });
    let compared = lines.iter().any(|(r, line)| !r.mends || line.contains("but "));
    for (_, line) in lines {
        page.item(line);
    }
    if !useless.is_empty() {
        page.item(format!("Of no real help: {useless}."));
    }
    let years = v.span.trials(tried);
    page.say(if compared && tried < v.result.trials {
        format!(
            "Each was run on the same luck for {years}; what stands after \"not\" is the plan as it is in those \
             {}, not in all.",
            count(tried)
        )
    } else {
        format!("Each was run on the same luck for {years}.")
    });
}

/// A remedy that changes something, with what it makes worse; `None` for one
/// that does not.
pub(super) fn remedy(v: &Voice, r: &Remedy) -> Option<String> {
    const WORTH_TELLING: f64 = 0.02;
    let years = v.span.many();
    let name = |aim: usize| v.result.aims.get(aim).map(|a| bound(&a.aim));
    let set_beside =
        |with: f64, without: f64| format!("{} {years}, not {:.0}", per_hundred(with), without * 100.0);
    let worse: Vec<String> = r
        .worsens
        .iter()
        .filter_map(|w| {
            let found = set_beside(w.with, w.without);
            let lead = if w.broken { "it breaks " } else { "" };
            Some(format!("{lead}{} (in {found})", name(w.aim)?))
        })
        .collect();
    let but = if worse.is_empty() {
        String::new()
    } else {
        // Broken ones come first; the others are kept or were not kept before.
        let only = if r.worsens.iter().any(|w| w.broken) { "" } else { "worse: " };
        format!("; but {only}{}", join(&worse, "and"))
    };
    if r.mends {
        return Some(format!("{}: then every aim is kept{but}.", capital(&r.words)));
    }
    let missed = v.result.aims.iter().filter(|a| !a.met);
    let better: Vec<String> = r
        .met_parts
        .iter()
        .zip(&r.base_parts)
        .zip(missed)
        .filter(|((with, without), _)| *with - *without > WORTH_TELLING)
        .map(|((with, without), a)| format!("{} in {}", bound(&a.aim), set_beside(*with, *without)))
        .collect();
    (!better.is_empty()).then(|| format!("{}: {}{but}.", capital(&r.words), join(&better, "and")))
}
