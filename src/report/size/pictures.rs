//! The picture of a search: what was tried, and how well each aim was kept.

use super::{Told, key};
use crate::report::amounts::{count, join};
use crate::report::dates::Span;
use crate::report::svg::{Curve, Fit, Mark, Panel, Picture, Point, curve};
use crate::study::size::{Answer, Standing, Tried};

/// The sizing curve.
pub(super) fn all(told: &Told, fit: Fit) -> Vec<Picture> {
    let r = told.result;
    let many = Span::new(&told.names.first_day, told.days).many();
    // Only what was tried has a place: the values between were passed over.
    let values: Vec<String> = r.tried.iter().map(|t| told.setting(t.at).to_owned()).collect();
    let field = join(told.fields, "and");
    let panel = |aim: usize| Panel {
        aim: told.aim(aim).to_owned(),
        wanted: told.wanted(aim),
        points: r
            .tried
            .iter()
            .enumerate()
            .map(|(at, t)| {
                let [low, high] = t.interval(aim);
                Point {
                    at,
                    parts: [t.part(aim), low, high],
                    sure: sure(t, aim, told.wanted(aim), r.judged().any(|i| i == aim)),
                    more: format!("{} {many}, {}", count(t.trials), key(t.standing).replace('_', " ")),
                }
            })
            .collect(),
    };
    let end = match (told.in_order_given, told.dated(), told.smallest) {
        (true, ..) => "first",
        (_, true, true) => "earliest",
        (_, true, false) => "latest",
        (_, _, true) => "smallest",
        (_, _, false) => "largest",
    };
    let found = match r.answer {
        Answer::Found { enough, .. } => r.tried.iter().position(|t| t.at == enough),
        _ => None,
    };
    let shown = Curve {
        key: "size",
        title: "What was tried".into(),
        what: format!(
            "In which part of {many} each aim was kept, for the values of {field} that were tried, the most frugal first."
        ),
        field: field.clone(),
        values,
        panels: (0..r.wanted.len()).map(panel).collect(),
        mark: found.map(|at| Mark { at, words: format!("the {end} shown to keep every aim") }),
        many,
    };
    curve(&shown, fit).into_iter().collect()
}

/// Whether an aim is surely kept or surely missed by a candidate.
fn sure(t: &Tried, aim: usize, wanted: f64, judged: bool) -> Option<bool> {
    let [low, high] = t.interval(aim);
    if judged && t.standing == Standing::Enough || low >= wanted {
        Some(true)
    } else if high < wanted {
        Some(false)
    } else {
        None
    }
}
