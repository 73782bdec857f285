//! The same as numbers: SI, stable order.

use serde_json::{Value, json};

use super::super::ReportError;
use super::super::json::finite;
use super::Told;
use crate::records::Aside;
use crate::study::learn::days::Day;
use crate::study::learn::{Doubt, Doubted, Lactation, Learnt, Range};

/// The bytes, ending in a line feed.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub fn json(told: &Told) -> Result<Vec<u8>, ReportError> {
    let lesson = told.lesson;
    let tally = told.tally();
    let lactations: Vec<Value> = lesson
        .days
        .lactations
        .iter()
        .zip(&lesson.fit.lactations)
        .map(|(d, l)| lactation(told, d, l))
        .collect();
    let aside = told.log.aside.iter().chain(&lesson.days.aside).map(row);
    let wrong = lesson.fit.wrong.iter().map(|w| {
        json!({"date": w.day.date.to_string(), "day_in_milk": w.day.dim, "kg": finite(w.day.pail_kg),
               "expected_kg": finite(w.expected_kg), "standard_deviations": finite(w.z)})
    });
    let noise = &lesson.fit.noise;
    let top = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "animal": told.name,
        "breed": told.breed,
        "log": told.file,
        "rows": {"all": tally.rows, "used": tally.used, "with_young": tally.calf, "looks_wrong": tally.wrong, "aside": tally.aside,
                 "blank": tally.blank, "headings": tally.headings, "other_animals": tally.others},
        "usual_days": lesson.usual_days,
        "breed_alone": learnt(&lesson.breed),
        "lactations": lactations,
        "next_lactation": learnt(&lesson.fit.next),
        "noise": {"white": finite(noise.white), "slow": finite(noise.slow), "carries_over": finite(noise.phi),
                  "total": finite(noise.total()), "autocorrelation": finite(noise.autocorrelation())},
        "test_interval_total": lesson.tested.map_or(Value::Null, |t| json!({
            "kg": finite(t.kg), "fat_kg": t.fat_kg.map_or(Value::Null, finite), "days": finite(t.days)})),
        "fat": lesson.fat.map_or(Value::Null, |(f, n)| json!({"part": finite(f), "days": n})),
        "pail_with_young_part": lesson.calf_left.map_or(Value::Null, finite),
        "units_in_doubt": lesson.doubts.iter().map(doubt).collect::<Vec<_>>(),
        "looks_wrong": wrong.collect::<Vec<_>>(),
        "decided": told.log.decided.iter().chain(&lesson.days.told).collect::<Vec<_>>(),
        "told": told.log.told.iter().map(row).collect::<Vec<_>>(),
        "aside": aside.collect::<Vec<_>>(),
    });
    let mut bytes = serde_json::to_vec_pretty(&top)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn row(a: &Aside) -> Value {
    json!({"line": a.line, "column": a.column, "why": a.why})
}

fn doubt(d: &Doubt) -> Value {
    let what = match d.what {
        Doubted::Level => "level",
        Doubted::Stretch => "stretch",
        Doubted::Half(_) => "milking",
    };
    let milking = match d.what {
        Doubted::Half(part) => json!(part.words()),
        _ => Value::Null,
    };
    json!({
        "what": what,
        "milking": milking,
        "from": d.span.0.to_string(),
        "until": d.span.1.to_string(),
        "lines": d.lines,
        "times_expected": finite(d.times),
        "read_as": d.rather.read.map(|m| m.unit()),
        "would_fit_as": d.rather.measures.iter().map(|m| m.unit()).collect::<Vec<_>>(),
        "decimal_point": d.rather.ten,
    })
}

fn range(r: &Range) -> Value {
    json!({"p10": finite(r.low), "p50": finite(r.middle), "p90": finite(r.high)})
}

fn learnt(l: &Learnt) -> Value {
    json!({
        "curve": {"a": finite(l.curve.a), "b": finite(l.curve.b), "c": finite(l.curve.c)},
        "total_kg": range(&l.total),
        "total_kg_mean": finite(l.total_mean),
        "total_cv": finite(l.total_cv),
        "peak_kg": range(&l.peak),
        "peak_day": range(&l.peak_day),
        "last_over_peak": range(&l.holds),
        "persistency": l.persistency.map_or(Value::Null, finite),
        "level_over_breed": range(&l.level),
    })
}

fn lactation(told: &Told, d: &Lactation, l: &Learnt) -> Value {
    let mut v = learnt(l);
    let is_wrong = |d: &&Day| told.lesson.fit.wrong.iter().any(|w| w.day.date == d.date);
    let wrong = d.days.iter().filter(is_wrong).count();
    if let Value::Object(map) = &mut v {
        map.insert("number".into(), json!(d.number));
        map.insert("freshened".into(), json!(d.fresh.to_string()));
        map.insert("days_fitted".into(), json!(d.days.len() - wrong));
        map.insert("days_with_young".into(), json!(d.calf.len()));
        map.insert("first_day_in_milk".into(), json!(d.first));
        map.insert("last_day_in_milk".into(), json!(d.last));
        map.insert("pail_kg".into(), finite(d.pail_kg));
    }
    v
}
