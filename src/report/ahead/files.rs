//! The coming weeks for other programs, by stable names: tables in the family's
//! units, JSON in SI.

use std::io::Write;

use serde_json::{Value, json};

use super::Told;
use super::things::{ALL, Of, of_day};
use crate::report::ReportError;
use crate::report::csv::{number, rows, text};
use crate::scenario::plan::ItemId;
use crate::study::ahead::Range;

/// A row a thing of a day: `date, what, who, part, low, middle, high, unit, words`.
///
/// # Errors
/// When it cannot be written.
pub fn csv(told: &Told, out: &mut dyn Write) -> Result<(), ReportError> {
    let head = ["date", "what", "who", "part_of_futures", "low", "middle", "high", "unit", "words"];
    let things = told.ahead.days.iter().flat_map(|d| of_day(told, d));
    let body = things.map(|t| {
        let of = |pick: fn(Range) -> f64| {
            t.amounts.map_or_else(String::new, |(r, of)| number(rounded(told.in_family(of, pick(r)).0)))
        };
        let unit = t.amounts.map_or("", |(_, of)| told.in_family(of, 0.0).1);
        vec![
            told.span().iso(t.day as usize),
            t.kind.key().into(),
            text(&t.who),
            t.chance.map_or_else(String::new, number),
            of(|r| r.low),
            of(|r| r.middle),
            of(|r| r.high),
            unit.into(),
            text(&t.words()),
        ]
    });
    // What is promised stands beside what can be.
    let promised = told.ahead.days.iter().filter_map(|d| {
        let p = d.promise?;
        let (amount, unit) = told.in_family(Of::Item(ItemId(0)), p.promised);
        let amount = number(rounded(amount));
        let mut row = vec![told.span().iso(d.day as usize), "promised".into(), String::new(), number(p.kept)];
        row.extend([amount.clone(), amount.clone(), amount, unit.into(), String::new()]);
        Some(row)
    });
    let mut all: Vec<Vec<String>> = body.chain(promised).collect();
    all.sort_by(|a, b| a.first().cmp(&b.first()));
    rows(out, std::iter::once(head.map(str::to_owned).to_vec()).chain(all))
}

/// To six figures: no scale of a household shows more.
fn rounded(x: f64) -> f64 {
    format!("{x:.5e}").parse().unwrap_or(x)
}

/// What is expected in the pail, a row an animal and day: `date, animal, what,
/// low (10 %), middle, high (90 %), unit`, in pounds or kilograms; with several
/// animals a row of all.
///
/// # Errors
/// When it cannot be written.
pub fn forecast(told: &Told, out: &mut dyn Write) -> Result<(), ReportError> {
    let head = ["date", "animal", "what", "low", "middle", "high", "unit"].map(str::to_owned).to_vec();
    let body = told.ahead.days.iter().flat_map(|d| {
        let row = |who: &str, r: &Range| {
            let [low, middle, high] =
                [r.low, r.middle, r.high].map(|kg| number(rounded(told.show().mass_amount(kg))));
            let unit = told.show().mass_unit().into();
            vec![told.span().iso(d.day as usize), text(who), "milk".into(), low, middle, high, unit]
        };
        let mut all: Vec<Vec<String>> =
            d.pails.iter().enumerate().map(|(a, r)| row(told.animal(a), r)).collect();
        if d.pails.len() > 1 {
            all.push(row(ALL, &d.pail));
        }
        all
    });
    rows(out, std::iter::once(head).chain(body))
}

/// The days with their ranges, chances and things.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn json(told: &Told) -> Result<Vec<u8>, serde_json::Error> {
    let range = |r: &Range| json!({ "p10": r.low, "p50": r.middle, "p90": r.high });
    let by_animal = |values: Vec<Value>| -> Value {
        let named = values.into_iter().enumerate().map(|(a, v)| (told.animal(a).to_owned(), v));
        Value::Object(named.collect())
    };
    let ranges = |all: &[Range]| by_animal(all.iter().map(range).collect());
    let parts = |all: &[f64]| by_animal(all.iter().map(|p| json!(p)).collect());
    let days: Vec<Value> = told
        .ahead
        .days
        .iter()
        .map(|d| {
            let things: Vec<Value> = of_day(told, d)
                .iter()
                .map(|t| {
                    json!({
                        "what": t.kind.key(),
                        "who": t.who,
                        "part_of_futures": t.chance,
                        "amount": t.amounts.map(|(r, of)| json!({ "unit": if of == Of::Part { "part" } else { "kg" }, "p10": r.low, "p50": r.middle, "p90": r.high })),
                        "words": t.words(),
                    })
                })
                .collect();
            json!({
                "date": told.span().iso(d.day as usize),
                "day": d.day,
                "pail_kg": range(&d.pail),
                "pail_kg_by_animal": ranges(&d.pails),
                "kept_from_people": parts(&d.kept),
                "dry": parts(&d.dry),
                "too_full": d.over_full,
                "cold_used_part": range(&d.cold),
                "drinking_milk_short": d.short,
                "pick_up": d.promise.map(|p| json!({
                    "promised_kg": p.promised, "there_in_9_of_10_kg": p.in_nine, "kept": p.kept
                })),
                "things": things,
            })
        })
        .collect();
    let sours: Vec<Value> = told
        .ahead
        .sours
        .iter()
        .map(|s| {
            json!({
                "what": told.soured(s),
                "item": told.item(s.item),
                "milking": told.milking(s.milking),
                "part_of_futures": s.chance,
                "date": told.span().iso(s.days[1] as usize),
                "kg": range(&s.kg),
            })
        })
        .collect();
    let all = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "scenario": { "title": told.title(), "file": told.file, "sha256": told.sha256 },
        "seed": told.ahead.seed,
        "futures": told.ahead.trials,
        "from": told.span().iso(told.first() as usize),
        "pail_kg": range(&told.ahead.total),
        "pail_kg_by_animal": ranges(&told.ahead.totals),
        "days": days,
        "turns_sour": sours,
    });
    let mut bytes = serde_json::to_vec_pretty(&all)?;
    bytes.push(b'\n');
    Ok(bytes)
}
