//! `size.json` and `size.csv`.

use std::io::Write;

use serde_json::{Value, json};

use super::{Told, key};
use crate::report::ReportError;
use crate::report::csv::{number, rows, text};
use crate::study::size::{Answer, Tried};

/// The bytes of `size.json`, ending in a line feed.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub fn json(told: &Told) -> Result<Vec<u8>, ReportError> {
    let r = told.result;
    let odd: Vec<Value> = r
        .odd
        .iter()
        .map(|o| {
            json!({
                "aim": told.aim(o.aim),
                "frugal": {"setting": told.setting(o.frugal.0), "part": o.frugal.1},
                "generous": {"setting": told.setting(o.generous.0), "part": o.generous.1},
                "trials": o.trials,
            })
        })
        .collect();
    let value = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "scenario": {"title": told.names.title, "file": told.file, "sha256": told.sha256},
        "variant": told.variant,
        "seed": told.seed,
        "days": told.days,
        "fields": told.fields,
        "sought": if told.smallest { "smallest" } else { "largest" },
        "now": told.now,
        "settings": told.settings,
        "confidence": r.options.sure,
        "most_trials": r.options.most,
        "trials": r.trials,
        "answer": answer(told, &r.answer),
        "without_some_aims": r.rest.as_ref().map(|rest| json!({
            "left_out": rest.left_out.iter().map(|i| told.aim(*i)).collect::<Vec<_>>(),
            "answer": answer(told, &rest.answer),
        })),
        "tried": r.tried.iter().map(|t| tried(told, t)).collect::<Vec<_>>(),
        "against_the_order": odd,
        "cautions": told.names.cautions,
    });
    let mut bytes = serde_json::to_vec_pretty(&value)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn answer(told: &Told, answer: &Answer) -> Value {
    let r = told.result;
    match answer {
        Answer::Found { enough, fails } => {
            let first_open = fails.map_or(0, |f| f + 1);
            let open: Vec<&str> = (first_open..*enough).map(|i| told.setting(i)).collect();
            json!({
                "found": true,
                "enough": told.setting(*enough),
                "fails": fails.map(|f| told.setting(f)),
                "not_told_apart": open,
                "proof_trials": r.proof,
                "attempts": r.attempts,
            })
        }
        Answer::NoneMeets { best, shown, unhelped } => json!({
            "found": false,
            "why": "none_meets_the_aims",
            "best": told.setting(*best),
            "shown_for_the_most_generous": shown,
            "missed_by_all_that_was_tried": unhelped.iter().map(|i| told.aim(*i)).collect::<Vec<_>>(),
        }),
        Answer::Open { from, up_to } => json!({
            "found": false,
            "why": "not_told",
            "between": [told.setting(*from), told.setting(*up_to)],
            "attempts": r.attempts,
        }),
    }
}

fn tried(told: &Told, t: &Tried) -> Value {
    let aims: Vec<Value> = (0..told.result.wanted.len())
        .map(|i| {
            json!({
                "aim": told.aim(i),
                "kept": t.kept.get(i),
                "part": t.part(i),
                "part_ci95": t.interval(i),
                "wanted_part": told.wanted(i),
            })
        })
        .collect();
    json!({
        "setting": told.setting(t.at),
        "number": t.at,
        "trials": t.trials,
        "fresh_trials": t.fresh,
        "standing": key(t.standing),
        "aims": aims,
    })
}

/// Writes `size.csv`: the sizing curve, a row an aim of a setting that was tried.
///
/// # Errors
/// When `out` cannot be written.
pub fn csv(told: &Told, out: &mut dyn Write) -> Result<(), ReportError> {
    let head = [
        "number",
        "setting",
        "trials",
        "fresh_trials",
        "standing",
        "aim",
        "kept",
        "part",
        "part_low",
        "part_high",
        "wanted_part",
    ];
    let body = told.result.tried.iter().flat_map(|t| {
        (0..told.result.wanted.len()).map(move |i| {
            let [low, high] = t.interval(i);
            vec![
                t.at.to_string(),
                text(told.setting(t.at)),
                t.trials.to_string(),
                t.fresh.to_string(),
                key(t.standing).into(),
                text(told.aim(i)),
                t.kept.get(i).copied().unwrap_or(0).to_string(),
                number(t.part(i)),
                number(low),
                number(high),
                number(told.wanted(i)),
            ]
        })
    });
    rows(out, std::iter::once(head.map(String::from).to_vec()).chain(body))
}
