//! The weeks without milk: when they begin, what is laid down, when to start.

use super::Voice;
use super::answer::capital;
use super::body::{Want, wants};
use crate::report::amounts::{days, join, percent};
use crate::report::page::Page;
use crate::study::stats::quantile;

/// Runs in which the dry weeks begin within the run, of all.
const HARDLY: f64 = 0.05;

pub(super) fn write(v: &Voice, page: &mut Page) {
    let text = dry(v);
    if text.is_empty() {
        return;
    }
    page.part("Dry weeks", text);
    if v.measure("dry_days").is_none_or(|m| m.quantiles[2] <= 0.0) {
        return;
    }
    let wants = wants(v);
    for p in &v.result.putting_up {
        if let Some(want) = wants.get(p.want) {
            page.item(put_up(v, want, p));
        }
    }
}

fn dry(v: &Voice) -> String {
    // Nothing where hardly any year has a dry day.
    let Some(m) = v.measure("dry_days").filter(|m| m.quantiles[4] > 0.0) else { return String::new() };
    if m.quantiles[2] <= 0.0 {
        let some = v.part_above("dry_days", 0.5).filter(|p| *p > 0.0 && !v.single());
        let some = some.map_or_else(String::new, |p| format!("; there are some {}", v.in_of(p)));
        return format!("There are no dry weeks in the middle {}{some}.", v.span.one());
    }
    let mut out = format!("No animal gives milk for people on {}.{}", v.range(m, days), begins(v));
    let parts: Vec<String> = wants(v)
        .iter()
        .filter_map(|w| {
            let fill = v.measure(&format!("{}_dry_fill", w.key))?;
            let middle = fill.quantiles[2];
            // Nothing wished in those weeks counts as all of it there.
            if fill.min >= 1.0 && v.facts.wishes.iter().any(|f| f.key == w.key && f.rests) {
                return None;
            }
            let part = if middle <= 0.0 { "none".into() } else { percent(middle) };
            let mut text = format!("{part} of the {}", w.name);
            // A year in which nothing was wished then counts as all of it there.
            if middle <= 0.0 {
                return Some(text);
            }
            if let Some(whole) =
                v.part_above(&format!("{}_dry_fill", w.key), 0.99 - 1e-9).filter(|p| *p > 0.0 && !v.single())
            {
                text.push_str(&format!(" (all of it {})", v.in_of(whole)));
            }
            Some(text)
        })
        .collect();
    if !parts.is_empty() {
        out.push_str(&format!(
            " Of what is wanted in those weeks there is, in the middle {}: {}.",
            v.span.one(),
            join(&parts, "and")
        ));
    }
    out
}

/// ` The first begin about 3 February (in 9 of 10 years between … and …).`
fn begins(v: &Voice) -> String {
    let mut first = v.column("first_dry_day");
    let all = first.len().max(1) as f64;
    // Only runs that have any.
    first.retain(|d| *d < f64::from(v.result.days));
    first.sort_unstable_by(f64::total_cmp);
    if first.is_empty() {
        return String::new();
    }
    let date = |p: f64| v.span.day_words(quantile(&first, p) as usize);
    let [low, middle, high] = [0.05, 0.5, 0.95].map(date);
    let with = first.len() as f64 / all;
    let none = if v.single() || 1.0 - with < HARDLY {
        String::new()
    } else {
        format!("; {} there are none", v.in_of(1.0 - with))
    };
    if v.single() || low == high {
        return format!(" The first begin on {middle}{none}.");
    }
    format!(" The first begin about {middle} (in 9 of 10 {} between {low} and {high}){none}.", v.span.many())
}

/// A measure of the runs that have dry weeks.
fn of_dry(v: &Voice, name: &str) -> Vec<f64> {
    let all = v.column("first_dry_day").into_iter().zip(v.column(name));
    all.filter(|(first, _)| *first < f64::from(v.result.days)).map(|(_, x)| x).collect()
}

/// What is laid down against what is needed, and by when to start.
fn put_up(v: &Voice, want: &Want, p: &crate::study::results::PuttingUp) -> String {
    let name = if p.want == 0 { "frozen milk" } else { want.name.as_str() };
    let mut out = Vec::new();
    let mut laid = of_dry(v, &format!("{}_laid_down", want.key));
    laid.sort_unstable_by(f64::total_cmp);
    let had = (!laid.is_empty()).then(|| quantile(&laid, 0.5));
    let need = want.amount(v, p.needed_kg);
    let thawed = if p.want == 0 { ", as far as thawed milk is accepted" } else { "" };
    let many = if v.single() { String::new() } else { format!(" (enough in 9 of 10 {})", v.span.many()) };
    match had {
        Some(kg) => out.push(format!(
            "{}: {} {} when they begin, {need} needed{many}{thawed}",
            capital(name),
            if kg < 0.01 { "nothing".to_string() } else { want.amount(v, kg) },
            // Of milk all that is drunk is counted, fresh and frozen.
            if p.want == 0 { "of milk in store, fresh and frozen," } else { "laid down" }
        )),
        None => out.push(format!("{}: {need} needed{many}{thawed}", capital(name))),
    }
    let bridged = of_dry(v, &format!("{}_bridged", want.key));
    if !v.single() && !bridged.is_empty() {
        let mean = bridged.iter().sum::<f64>() / bridged.len() as f64;
        let all = bridged.len() == v.column("first_dry_day").len();
        let of = if all { "" } else { "where there are any, " };
        out.push(format!("{of}it lasts to the end {}", v.in_of(mean)));
    }
    let from = v.span.day_words(p.dry_from as usize);
    let pace = want.amount(v, p.week_kg);
    let waits =
        if p.ready_days >= 2.0 { format!(", {} to wait", days(p.ready_days.ceil())) } else { String::new() };
    // What keeps longer than the run needs no word.
    let keeps = match p.keeps_days.floor() {
        keeps if keeps < f64::from(v.result.days) => format!("; it keeps {}", days(keeps)),
        _ => String::new(),
    };
    out.push(match p.start {
        Some(day) => format!(
            "start by {} to be ready on {from} ({pace} a week{waits}{keeps})",
            v.span.day_words(day as usize)
        ),
        None => {
            format!("at {pace} a week{waits} it is not ready by {from}, however early it is started{keeps}")
        }
    });
    format!("{}.", out.join("; "))
}
