//! How long milk keeps, and spells of foul milk.

use super::common::record::{near, source};
use super::common::{compile, trials};
use super::{chi_with_power, log_normal, mean, moments, phi, tally, variance};
use springhouse::scenario::Compiled;
use springhouse::sim::outcome::{DayMeasure, Fate};

fn jar_a_day(days: u32, fetched: &str, drinkers: &str, risks: &str) -> Compiled {
    compile(&format!(
        "title: Laws
starts: 2027-01-04
lasts: {days} days
milk fetched:
  - {{name: dairy, species: cow, fat: 4 %, protein: 3.3 %, days: [mon, tue, wed, thu, fri, sat, sun], age on arrival: 0 days, amount: 1 kg{fetched}}}
household:
  drinkers: [{drinkers}]
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
jars: {{2 litre: 400}}
risks: {{jar film: 0 g, sour milk kept: 0 kg, {risks}}}
"
    ))
}

#[test]
fn sweet_life_is_log_normal() {
    // 8.5 days, give or take 25 %, at 4 °C. Fetched at 11, found sour and poured
    // out at 18 o'clock: on day k if the life ends between k − 1 and k days and 7
    // hours.
    source("log-normal law; 8.5 days worked out from Paludetti and others 2018, spread our default");
    let c = jar_a_day(
        30,
        ", until: 2027-01-04",
        "",
        "foul spells: none, stays sweet: 8.5 days, give or take: 25 %",
    );
    let mut days = Vec::new();
    trials(&c, 61, 12_000, |_, log| {
        days.push((0..log.days).find(|&d| log.get(d, DayMeasure::Wasted) > 0.0).unwrap_or(log.days));
    });
    let (location, scale) = log_normal(8.5, 0.25);
    let ends = |x: f64, wrong: f64| if x <= 0.0 { 0.0 } else { phi(((x / wrong).ln() - location) / scale) };
    let law = |wrong: f64| -> Vec<f64> {
        let upper = |k: i32| ends(f64::from(k) + 7.0 / 24.0, wrong);
        (0..=30).map(|k| if k == 30 { 1.0 - upper(29) } else { upper(k) - upper(k - 1) }).collect()
    };
    let values: Vec<f64> = days.iter().map(|&d| d as f64).collect();
    let parts = law(1.0);
    let power = |n: i32| parts.iter().zip(0..).map(|(p, k)| f64::from(k).powi(n) * p).sum::<f64>();
    moments(&values, power(1), power(2) - power(1) * power(1));
    chi_with_power(&tally(days.into_iter()), law);
}

/// Chance that milk of day `day` (from 0), fetched at 11, comes in a spell: starts
/// are Poisson with `rate` at each midnight, lengths exponential with a mean of
/// `length` days, so the number still on is Poisson (the queue M/G/∞).
fn in_a_spell(day: u32, rate: f64, length: f64) -> f64 {
    let on: f64 = (0..=day).map(|back| (-(f64::from(back) + 11.0 / 24.0) / length).exp()).sum();
    1.0 - (-rate * on).exp()
}

#[test]
fn foul_days_are_those_of_overlapping_spells() {
    // 36 spells a year of 4 days, all their milk foul at once: found and thrown
    // out at noon.
    source("M/G/infinity queue: spells begin at a Poisson rate and last an exponential time; worked out");
    let c = jar_a_day(
        200,
        "",
        "{name: Ann, how much: 1 kg, part of days: 100 %, give or take: 0 %}",
        "foul spells: 36 a year, a spell lasts: 4 days, foul in a spell: 100 %, foul shows after: 1 %, \
         first weeks: 0 days, stays sweet: 3 days, give or take: 0 %",
    );
    let mut counts = Vec::new();
    let mut by_day = vec![0u32; 200];
    let n = 2000;
    trials(&c, 62, n, |out, log| {
        counts.push(out.fates[Fate::WastedFoul as usize].mass.round());
        for (d, k) in by_day.iter_mut().enumerate() {
            *k += u32::from(log.get(d, DayMeasure::Wasted) > 0.5);
        }
    });
    let rate = c.plan.keeping.spell_rate;
    near(rate, 36.0 / 365.25, 1e-4);
    let law: f64 = (0..200).map(|d| in_a_spell(d, rate, 4.0)).sum();
    let error = (variance(&counts) / f64::from(n)).sqrt();
    near(mean(&counts), law, 4.0 * error);
    // 5 % more spells would be noticed.
    let wrong: f64 = (0..200).map(|d| in_a_spell(d, 1.05 * rate, 4.0)).sum();
    assert!((mean(&counts) - wrong).abs() > 4.0 * error, "{} and {wrong} ± {error}", mean(&counts));
    // The first days, before spells pile up, and the last.
    for d in [0u32, 1, 5, 199] {
        let p = in_a_spell(d, rate, 4.0);
        let seen = f64::from(by_day[d as usize]) / f64::from(n);
        near(seen, p, 4.0 * (p * (1.0 - p) / f64::from(n)).sqrt());
    }
}

#[test]
fn half_of_a_spell_is_half_as_foul() {
    source("thinning: each milking of a spell is foul with the stated chance");
    let risks = |part: &str| {
        format!(
            "foul spells: 36 a year, a spell lasts: 4 days, foul in a spell: {part}, foul shows after: 1 %, \
             first weeks: 0 days, stays sweet: 3 days, give or take: 0 %"
        )
    };
    let ann = "{name: Ann, how much: 1 kg, part of days: 100 %, give or take: 0 %}";
    let foul = |part: &str| {
        let mut counts = Vec::new();
        trials(&jar_a_day(200, "", ann, &risks(part)), 63, 1000, |out, _| {
            counts.push(out.fates[Fate::WastedFoul as usize].mass.round());
        });
        counts
    };
    // The same spells, so the ratio of the sums is near a binomial part.
    let (all, half) = (foul("100 %"), foul("50 %"));
    let (n, k): (f64, f64) = (all.iter().sum(), half.iter().sum());
    near(k / n, 0.5, 4.0 * (0.25 / n).sqrt());
    assert!((k / n - 0.525).abs() > 4.0 * (0.25 / n).sqrt(), "5 % would not be noticed");
}
