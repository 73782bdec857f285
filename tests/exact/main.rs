//! Whole scenarios, from the file to the outcome, against exact results.
//!
//! Each result is derived in a short comment. Where there is chance, the mean
//! over a stated number of trials is held to 3 of its standard errors, and the
//! seed is fixed. What is compared here makes a table of `docs/record.md`.

#[path = "../common/mod.rs"]
mod common;

mod choices;
mod dam;
mod kitchen;
mod service;
mod shares;
mod size;
mod stock;
mod supply;

use springhouse::sim::DayLog;
use springhouse::sim::outcome::DayMeasure;

/// One jar: 1 L of whole milk as the presets weigh it, kg.
const JAR: f64 = 1.034;

/// Milk fetched every day, jars of a litre, and a fridge of 4 °C in which a day
/// is a day of sweet life. Fetched at 11, drunk at 12; what sours by 18 o'clock
/// is poured out then.
fn household(days: u32, fetched: &str, drinkers: &str, shelf: &str, sweet: f64, more: &str) -> String {
    format!(
        "title: Exact
starts: 2027-01-04
lasts: {days} days
milk fetched:
  - {{name: dairy, species: cow, fat: 4 %, protein: 3.3 %, days: [mon, tue, wed, thu, fri, sat, sun], age on arrival: 0 days, {fetched}}}
household:
  drinkers: [{drinkers}]
{more}stores:
  fridge: {{shelves: 1 of {shelf} x 30 cm, at: 4 °C}}
jars: {{crock: {{holds: 1 L, filled to: 1 L, across: 10 cm, height: 20 cm, weighs: 0.5 kg, count: 400}}}}
risks: {{stays sweet: {sweet} days, give or take: 0 %, foul spells: none, jar film: 0 g, sour milk kept: 0 kg}}
"
    )
}

/// A shelf on which everything fits.
const WIDE: &str = "300 cm x 200 cm";

/// One who drinks `kg` on a part of days.
fn drinker(name: &str, kg: f64, part: f64) -> String {
    format!("{{name: {name}, how much: {kg} kg, part of days: {part} %, give or take: 0 %}}")
}

/// Mean of a day's measure from a day on, in jars.
fn jars_a_day(log: &DayLog, from: usize, measure: DayMeasure) -> f64 {
    let sum: f64 = (from..log.days).map(|d| f64::from(log.get(d, measure))).sum();
    sum / JAR / (log.days - from) as f64
}

/// Mean over trials and its standard error.
fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// The mean over trials within 3 standard errors of the exact value, and the
/// standard error small enough (a tenth of it) to tell.
#[track_caller]
fn three_errors(values: &[f64], exact: f64) {
    let (mean, error) = mean_and_error(values);
    assert!(error < 0.1 * exact, "standard error {error} is too coarse for {exact}");
    common::record::near(mean, exact, 3.0 * error);
}

#[test]
fn the_record_is_up_to_date() {
    common::record::hold_page("exact");
}
