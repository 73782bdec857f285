//! Mishaps, counted: kicked pails, broken jars, deliveries and batches that fail.

use super::common::record::source;
use super::common::{compile, trials};
use super::{chi_with_power, moments, tally};
use springhouse::sim::outcome::DayMeasure;
use statrs::distribution::{Binomial, Discrete, Poisson};

fn binomial(n: u64, p: f64) -> impl Fn(f64) -> Vec<f64> {
    move |wrong| {
        let law = Binomial::new(p * wrong, n).expect("a law");
        (0..=n).map(|k| law.pmf(k)).collect()
    }
}

fn check(counts: Vec<usize>, mean: f64, variance: f64, law: impl Fn(f64) -> Vec<f64>) {
    let values: Vec<f64> = counts.iter().map(|&k| k as f64).collect();
    moments(&values, mean, variance);
    chi_with_power(&tally(counts.into_iter()), law);
}

fn fetched(days: u32, fails: &str, rest: &str) -> String {
    format!(
        "title: Laws
starts: 2027-01-04
lasts: {days} days
milk fetched:
  - {{name: dairy, species: cow, fat: 4 %, protein: 3.3 %, days: [mon, tue, wed, thu, fri, sat, sun], age on arrival: 0 days, amount: 1 kg, fails: {fails}}}
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
risks: {{foul spells: none, jar film: 0 g, stays sweet: 5 days, give or take: 0 %, sour milk kept: 0 kg}}
{rest}"
    )
}

#[test]
fn deliveries_fail_by_the_binomial_law() {
    // 10 % of 60 days, 6,000 trials: 36,000 failures, so 5 % is 9.5 errors.
    source("binomial law");
    let c = compile(&fetched(60, "10 %", "jars: {2 litre: 400}\n"));
    let mut counts = Vec::new();
    trials(&c, 71, 6_000, |_, log| {
        counts.push((0..60).filter(|&d| log.get(d, DayMeasure::Fetched) == 0.0).count());
    });
    check(counts, 6.0, 5.4, binomial(60, 0.1));
}

#[test]
fn pails_are_kicked_by_the_binomial_law() {
    // 5 % of 120 milkings, 5,000 trials. All of a milking is lost, 5 kg.
    source("binomial law");
    let mut c = compile(
        "title: Laws
starts: 2027-01-04
lasts: 60 days
animals:
  - {name: Clover, breed: jersey, lactation: 2, freshens: 2026-10-01, freshens again: never, health: none, how sure: 0 %, morning part varies: 0 %, noise: {white: 0 %, slow: 0 %, carries over: 0.9}}
stores:
  fridge: {shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}
jars: {2 litre: 400}
risks: {stays sweet: 60 days, give or take: 0 %, foul spells: none, kicked pail: 5 %, kicked pail at first: 5 %, strainer: 0 %}
animals fed:
  pigs: {heads: 1, takes: {sour milk: 1000 L, whole milk: 1000 L}, most: 1000 L, by itself: [whole milk]}
",
    );
    for a in &mut c.plan.animals {
        a.morning_part = 0.5;
        for curve in &mut a.curves {
            curve.yield_kg.fill(10.0);
        }
    }
    let mut counts = Vec::new();
    trials(&c, 72, 5_000, |out, _| {
        let spilled = out.fates[springhouse::sim::outcome::Fate::WastedSpilled as usize].mass / 5.0;
        assert!((spilled - spilled.round()).abs() < 1e-6);
        counts.push(spilled.round() as usize);
    });
    check(counts, 6.0, 5.7, binomial(120, 0.05));
}

#[test]
fn jars_break_by_the_poisson_law() {
    // A jar is emptied at noon and washed on each of 60 days, and breaks with 10 %:
    // hazards add up, so the number is Poisson.
    source("Poisson law: hazards add up to a threshold");
    let c = compile(&fetched(
        60,
        "none",
        "jars: {2 litre: {count: 400, breaks: 10 %}}
household:
  drinkers: [{name: Ann, how much: 1 kg, part of days: 100 %, give or take: 0 %}]
",
    ));
    let mut counts = Vec::new();
    trials(&c, 73, 6_000, |out, _| counts.push(out.jars_broken as usize));
    check(counts, 6.0, 6.0, |wrong| {
        let law = Poisson::new(6.0 * wrong).expect("a law");
        (0..40).map(|k| law.pmf(k)).collect()
    });
}

#[test]
fn batches_fail_by_the_binomial_law() {
    // A batch of a day-old jar every morning from the second day on: 19 of 20 %.
    source("binomial law");
    let c = compile(&fetched(
        20,
        "none",
        "jars: {2 litre: 400, half pint: 400}
household:
  kitchen time: {every day: 5 h}
routine:
  - {do: make, what: yogurt, at most: 1 per day}
recipes:
  yogurt: {fails: 20 %, least: 0.1 L, film: 0 %, steam: 0 %}
products:
  yogurt: {keeps: {fridge: 300 days}}
",
    ));
    let mut counts = Vec::new();
    trials(&c, 74, 12_000, |out, _| {
        assert_eq!(out.rules[0].fired, 19);
        let failed = out.fates[springhouse::sim::outcome::Fate::WastedFailedBatch as usize].mass;
        counts.push(failed.round() as usize);
    });
    check(counts, 3.8, 3.04, binomial(19, 0.2));
}
