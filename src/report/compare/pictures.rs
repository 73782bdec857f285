//! The picture of a comparison: paired differences with their intervals.

use super::Told;
use super::amounts::Tongue;
use super::words::{in_words, signed};
use crate::report::amounts::{Show, percent};
use crate::report::dates::Span;
use crate::report::svg::{Fit, PairRow, Pairs, Picture, pairs};
use crate::study::compare::{Good, Pair};

/// What is better and what is worse, choice by choice.
pub(super) fn all(told: &Told, fit: Fit) -> Vec<Picture> {
    let f = told.found;
    let tongue = Tongue::new(told.names, Show::new(told.units));
    let span = Span::new(&told.names.first_day, f.days);
    let row = |p: &Pair| {
        let sign = if p.good == Good::Less { -1.0 } else { 1.0 };
        let over = |d: f64| sign * d / p.margin.max(1e-12);
        let [a, b] = p.ci95.unwrap_or([p.difference; 2]).map(over);
        let part = |k: u32| percent(f64::from(k) / f64::from(f.trials.max(1)));
        let [better, _, worse] = p.better_alike_worse().map(part);
        let verdict = p.verdict.map_or("", |v| v.key()).to_owned();
        PairRow {
            name: tongue.noun(p.key),
            parts: [over(p.difference), a.min(b), a.max(b)],
            told: match fit {
                Fit::Wide => format!("{} ({verdict})", signed(&tongue, p, p.difference)),
                Fit::Phone => signed(&tongue, p, p.difference),
            },
            cells: vec![
                tongue.value(p.key, p.base),
                tongue.value(p.key, p.choice),
                signed(&tongue, p, p.difference),
                p.ci95.map_or_else(String::new, |[a, b]| {
                    format!("{} to {}", signed(&tongue, p, a), signed(&tongue, p, b))
                }),
                tongue.size(p.key, p.margin),
                better,
                worse,
            ],
            verdict,
        }
    };
    let choices = f.choices.iter().map(|c| {
        let rows = c.measures.iter().filter(|p| p.good != Good::Told && in_words(told, c, p)).map(row);
        (c.name.clone(), rows.collect())
    });
    let many = span.many();
    let shown = Pairs {
        key: "differences",
        title: format!("Against {}", f.base),
        what: format!("What each choice is better at and worse at than {}.", f.base),
        choices: choices.collect(),
        head: [
            "base",
            "choice",
            "difference",
            "95 % interval",
            "what matters",
            &format!("better in so many {many}"),
            &format!("worse in so many {many}"),
        ]
        .map(str::to_owned)
        .to_vec(),
    };
    pairs(&shown, fit).into_iter().collect()
}
