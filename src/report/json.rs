//! `summary.json`: SI, stable order, finite numbers only.

use serde_json::{Map, Value, json};

use super::dates::Span;
use super::{ReportError, Subject};
use crate::sim::outcome::Blocked;
use crate::study::results::{AimResult, FateMean, PuttingUp, Remedy, RuleMean, Summary};

/// The bytes of `summary.json`, ending in a line feed.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub(super) fn summary(subject: &Subject) -> Result<Vec<u8>, ReportError> {
    let r = subject.result;
    let measures: Map<String, Value> = r.measures.iter().map(|m| (m.name.clone(), measure(m))).collect();
    let mut top = Map::new();
    let mut put = |key: &str, value: Value| {
        top.insert(key.to_string(), value);
    };
    put("springhouse", json!(env!("CARGO_PKG_VERSION")));
    put("scenario", json!({"title": subject.names.title, "file": subject.file, "sha256": subject.sha256}));
    put("seed", json!(r.seed));
    put("trials", json!(r.trials));
    put("days", json!(r.days));
    put("first_day", json!(subject.names.first_day));
    put("steady", json!(r.steady));
    put(
        "closure",
        json!({
            "mass": finite(r.closure.mass),
            "fat": finite(r.closure.fat),
            "protein": finite(r.closure.protein),
        }),
    );
    put("measures", Value::Object(measures));
    put("fates", r.fates.iter().map(fate).collect());
    put("aims", r.aims.iter().map(|a| aim(a, r.steady)).collect());
    put("rules", r.rules.iter().map(rule).collect());
    put("remedies", r.remedies.iter().map(|m| remedy(m, &r.aims)).collect());
    put("putting_up", r.putting_up.iter().map(|p| putting_up(subject, p)).collect());
    put("precision", r.precision.map_or(Value::Null, finite));
    put("middle_trial", json!({"trial": r.middle_trial.0, "by": r.middle_trial.1}));
    put("cautions", json!(subject.names.cautions));
    let mut bytes = serde_json::to_vec_pretty(&Value::Object(top))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// A finite number, or null.
pub(super) fn finite(x: f64) -> Value {
    // -0 and 0 are the same amount; files show one of them.
    serde_json::Number::from_f64(if x == 0.0 { 0.0 } else { x }).map_or(Value::Null, Value::Number)
}

/// An interval, or null.
pub(super) fn pair(p: Option<[f64; 2]>) -> Value {
    p.map_or(Value::Null, |[low, high]| Value::Array(vec![finite(low), finite(high)]))
}

pub(super) fn measure(m: &Summary) -> Value {
    const NAMES: [&str; 5] = ["p05", "p10", "p50", "p90", "p95"];
    let mut out = Map::new();
    out.insert("unit".into(), json!(m.unit));
    out.insert("mean".into(), finite(m.mean));
    out.insert("mean_ci95".into(), pair(m.mean_ci95));
    for (name, q) in NAMES.iter().zip(m.quantiles) {
        out.insert((*name).into(), finite(q));
    }
    out.insert("min".into(), finite(m.min));
    out.insert("max".into(), finite(m.max));
    let ci: Map<String, Value> =
        NAMES.iter().zip(m.quantile_ci95).map(|(n, p)| ((*n).to_string(), pair(p))).collect();
    out.insert("quantile_ci95".into(), Value::Object(ci));
    Value::Object(out)
}

fn fate(f: &FateMean) -> Value {
    json!({
        "fate": f.fate,
        "milk_kg": finite(f.milk_kg),
        "mass_kg": finite(f.mass_kg),
        "fat_kg": finite(f.fat_kg),
        "part": finite(f.part),
        "fat_part": finite(f.fat_part),
    })
}

pub(super) fn aim(a: &AimResult, steady: bool) -> Value {
    json!({
        "aim": a.aim,
        "measure": a.measure,
        "met_part": finite(a.met_part),
        "met_part_ci95": pair((!steady).then_some(a.met_part_ci95)),
        "wanted_part": finite(a.wanted_part),
        "met": a.met,
        "sure": a.sure,
        "more_trials": a.more_trials,
    })
}

fn remedy(m: &Remedy, aims: &[AimResult]) -> Value {
    let parts = |p: &[f64]| p.iter().map(|x| finite(*x)).collect::<Vec<_>>();
    let worsens: Vec<Value> = m
        .worsens
        .iter()
        .map(|w| {
            json!({
                "aim": aims.get(w.aim).map(|a| a.aim.as_str()),
                "base_part": finite(w.without),
                "met_part": finite(w.with),
                "broken": w.broken,
            })
        })
        .collect();
    json!({
        "remedy": m.words,
        "aims": aims.iter().filter(|a| !a.met).map(|a| a.aim.as_str()).collect::<Vec<_>>(),
        "met_parts": parts(&m.met_parts),
        "base_parts": parts(&m.base_parts),
        "worsens": worsens,
        "mends": m.mends,
        "trials": m.trials,
    })
}

/// What can be put up: `start_by` is null where the run is too short for it.
fn putting_up(subject: &Subject, p: &PuttingUp) -> Value {
    let span = Span::new(&subject.names.first_day, subject.result.days);
    let want = match p.want.checked_sub(1) {
        None => Some("milk"),
        Some(w) => subject.facts.wishes.get(w).map(|w| w.key.as_str()),
    };
    json!({
        "want": want,
        "needed_kg": finite(p.needed_kg),
        "dry_from": span.iso(p.dry_from as usize),
        "dry_from_day": p.dry_from,
        "week_kg": finite(p.week_kg),
        "ready_days": finite(p.ready_days),
        "keeps_days": finite(p.keeps_days),
        "start_by": p.start.map(|d| span.iso(d as usize)),
        "start_by_day": p.start,
    })
}

fn rule(r: &RuleMean) -> Value {
    let blocked: Map<String, Value> =
        Blocked::ALL.iter().zip(r.blocked).map(|(b, n)| (b.key().to_string(), finite(n))).collect();
    json!({
        "rule": r.rule,
        "fired": finite(r.fired),
        "days_fired": finite(r.days_fired),
        "kg": finite(r.kg),
        "blocked": blocked,
    })
}
