//! `sweep.json` and `sweep.csv`: SI, stable names.

use std::io::Write;

use serde_json::{Map, Value, json};

use super::Told;
use crate::report::ReportError;
use crate::report::csv::{number, rows, text};
use crate::report::json::{aim, finite, measure};
use crate::scenario::End;
use crate::study::{Axis, Kept, Point};

/// `sweep.json`.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub fn json(told: &Told) -> Result<Vec<u8>, ReportError> {
    let sweep = told.sweep;
    let points: Vec<Value> = sweep.points.iter().enumerate().map(|(i, p)| point(told, i, p)).collect();
    let best: Vec<Value> = (0..sweep.rows()).map(|row| best(told, row)).collect();
    let value = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "scenario": {
            "title": told.names.title,
            "file": told.file,
            "sha256": told.sha256,
            "variant": told.variant,
        },
        "seed": sweep.seed,
        "trials": sweep.trials,
        "days": sweep.days,
        "fields": sweep.axes.iter().map(axis).collect::<Vec<_>>(),
        "best": best,
        "points": points,
        "cautions": told.names.cautions,
    });
    let mut bytes = serde_json::to_vec_pretty(&value)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn axis(axis: &Axis) -> Value {
    let values: Vec<Value> =
        axis.values.iter().map(|v| json!({"text": v.text, "value": v.value.map(finite)})).collect();
    let end = match axis.frugal {
        End::Smallest => "smallest",
        End::Largest => "largest",
    };
    json!({"path": axis.path, "now": axis.now, "frugal": end, "values": values})
}

/// The best values of a row, as texts.
fn best(told: &Told, row: usize) -> Value {
    let axes = &told.sweep.axes;
    let Some(best) = told.sweep.best(row) else { return Value::Null };
    let text = |axis: usize, i: usize| axes.get(axis)?.values.get(i).map(|v| v.text.as_str());
    let last = |i: Option<usize>| text(axes.len().saturating_sub(1), i?);
    let first = if axes.len() > 1 { text(0, row) } else { None };
    json!({
        "at": first,
        "surely": last(best.surely),
        "perhaps": last(best.perhaps),
        "yet_not": last(best.yet_not),
        "turning_aims": told.sweep.turning(row),
    })
}

fn word(kept: Kept) -> &'static str {
    match kept {
        Kept::Yes => "yes",
        Kept::Open => "open",
        Kept::No => "no",
    }
}

fn point(told: &Told, i: usize, p: &Point) -> Value {
    let measures: Map<String, Value> = p.measures.iter().map(|m| (m.name.clone(), measure(m))).collect();
    json!({
        "at": told.at(i),
        "values": told.texts(i),
        "aims_kept": p.kept().map(word),
        "aims": p.aims.iter().map(|a| aim(a, false)).collect::<Vec<_>>(),
        "measures": measures,
        "closure": {
            "mass": finite(p.closure.mass),
            "fat": finite(p.closure.fat),
            "protein": finite(p.closure.protein),
        },
    })
}

/// `sweep.csv`: a row a point; its values, its aims, then mean and quantiles of
/// every measure.
///
/// # Errors
/// When `out` cannot be written.
pub fn csv(told: &Told, out: &mut dyn Write) -> Result<(), ReportError> {
    let sweep = told.sweep;
    let mut head = Vec::new();
    for axis in &sweep.axes {
        head.extend([text(&axis.path), text(&format!("{} in SI", axis.path))]);
    }
    head.push("aims_kept".into());
    let aims = sweep.points.iter().map(|p| p.aims.len()).max().unwrap_or(0);
    for i in 1..=aims {
        head.extend(["met_part", "met_low", "met_high", "met", "sure"].map(|c| format!("aim_{i}_{c}")));
    }
    let mut measures: Vec<&str> = Vec::new();
    for m in sweep.points.iter().flat_map(|p| &p.measures) {
        if !measures.contains(&m.name.as_str()) {
            measures.push(&m.name);
        }
    }
    for name in &measures {
        head.extend(["mean", "p10", "p50", "p90"].map(|c| text(&format!("{name}_{c}"))));
    }
    let body = sweep.points.iter().enumerate().map(|(i, p)| {
        let mut line = Vec::new();
        for (axis, at) in sweep.axes.iter().zip(told.at(i)) {
            let value = axis.values.get(at);
            line.push(value.map_or_else(String::new, |v| text(&v.text)));
            line.push(number(value.and_then(|v| v.value).unwrap_or(f64::NAN)));
        }
        line.push(p.kept().map_or("", word).into());
        for i in 0..aims {
            match p.aims.get(i) {
                Some(a) => {
                    line.extend([a.met_part, a.met_part_ci95[0], a.met_part_ci95[1]].map(number));
                    line.extend([a.met.to_string(), a.sure.to_string()]);
                }
                None => line.extend(vec![String::new(); 5]),
            }
        }
        for name in &measures {
            match p.measure(name) {
                Some(m) => line.extend([m.mean, m.quantiles[1], m.quantiles[2], m.quantiles[3]].map(number)),
                None => line.extend(vec![String::new(); 4]),
            }
        }
        line
    });
    rows(out, std::iter::once(head).chain(body))
}
