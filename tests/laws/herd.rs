//! Illness, conception and gestation.

use super::common::record::{near, source};
use super::common::{compile, trials};
use super::{chi_with_power, moments, phi, tally};
use springhouse::scenario::Compiled;
use springhouse::sim::outcome::DayMeasure;
use statrs::distribution::{Discrete, Poisson};

fn cow(starts: &str, days: u32, own: &str) -> Compiled {
    compile(&format!(
        "title: Laws
starts: {starts}
lasts: {days} days
animals:
  - {{name: Clover, breed: jersey, lactation: 3, colostrum: 0 days, {own}}}
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
jars: {{2 litre: 400}}
risks: {{stays sweet: 50 days, foul spells: none, kicked pail: 0 %, kicked pail at first: 0 %}}
"
    ))
}

/// Cases begun in the first `days` of a lactation of `rate` cases in 305 days.
fn cases(days: u32, rate: f64, seed: u64, n: u32) -> Vec<usize> {
    let mut c = cow("2027-01-04", days, "freshens: 2027-01-04, freshens again: never, health: ordinary");
    for ill in c.plan.animals.iter_mut().filter_map(|a| a.course.illness.as_mut()) {
        ill.later = rate;
    }
    let mut counts = Vec::new();
    trials(&c, seed, n, |out, _| counts.push(out.sick_cases as usize));
    counts
}

#[test]
fn cases_of_illness_are_poisson() {
    // 23 % of a lactation's cases in its first week, 52 % in its first 90 days
    // (Peeler and others 2002): of 4 cases in a lactation 0.92 in a week; of 1.5
    // in a lactation 0.78 in 90 days. 40,000 weeks: 5 % more is 9.6 errors.
    source("Poisson law: hazards add up to a threshold; timing by Peeler and others 2002");
    for (days, rate, part, n) in [(7, 4.0, 0.23, 40_000), (90, 1.5, 0.52, 12_000)] {
        let counts = cases(days, rate, 81, n);
        let law = rate * part;
        let values: Vec<f64> = counts.iter().map(|&k| k as f64).collect();
        moments(&values, law, law);
        chi_with_power(&tally(counts.into_iter()), |wrong| {
            let law = Poisson::new(law * wrong).expect("a law");
            (0..20).map(|k| law.pmf(k)).collect()
        });
    }
}

/// The first day of a run on which there is milk, over many trials.
fn first_milk(c: &Compiled, seed: u64, n: u32) -> Vec<usize> {
    let mut days = Vec::new();
    trials(c, seed, n, |_, log| {
        days.push((0..log.days).find(|&d| log.get(d, DayMeasure::Drawn) > 0.0).unwrap_or(log.days));
    });
    days
}

/// Integral of the standard normal distribution function from minus infinity.
fn under(x: f64) -> f64 {
    x * phi(x) + (-0.5 * x * x).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// Chance that a uniform wait of up to `cycle` days and a normal time of mean 0
/// and such a spread come to no more than `x` together.
fn wait_and_time(x: f64, cycle: f64, sd: f64) -> f64 {
    sd / cycle * (under(x / sd) - under((x - cycle) / sd))
}

#[test]
fn gestation_is_normal() {
    // Every heat is seen and settles her, so she freshens 60 days, a uniform wait
    // within a cycle of 12 days and a gestation later: 280 days give or take 12,
    // so that the spread is nearly all of gestation. Known to the nearest day.
    source(
        "uniform wait within a heat cycle and normal gestation, rounded to days; worked out; 280 days by Norman and others 2009, Journal of Dairy Science 92:2259",
    );
    let mut c = cow(
        "2027-01-04",
        110,
        "freshens: 2026-03-01, health: none, heat cycle: 12 days, bred: {how: bull, heats seen: 100 %, settles: 100 %}",
    );
    let (mut mean_days, sd) = (0.0, 12.0);
    for bred in c.plan.animals.iter_mut().filter_map(|a| a.course.bred.as_mut()) {
        bred.gestation_sd = sd;
        mean_days = bred.gestation_days;
    }
    near(mean_days, 280.0, 0.0);
    // She freshened 309 days before the run.
    let after = 60.0 + mean_days - 309.0;
    let days = first_milk(&c, 82, 20_000);
    let values: Vec<f64> = days.iter().map(|&d| d as f64).collect();
    moments(&values, after + 6.0, 144.0 / 12.0 + sd * sd + 1.0 / 12.0);
    chi_with_power(&tally(days.into_iter()), |wrong| {
        let at = |d: f64| wait_and_time(d - after, 12.0, sd * wrong);
        (0..110).map(|d| at(f64::from(d) + 0.5) - at(f64::from(d) - 0.5)).collect()
    });
}

#[test]
fn heats_settle_her_by_the_geometric_law() {
    // Heats 21 days apart from day 60 on, 80 % of them seen, 50 % of those settle
    // her: geometric with 0.4. With a gestation that does not vary she freshens a
    // uniform wait and so many cycles later. Counted in spans of 21 days.
    source("geometric law of the heat at which she settles, uniform wait for the first; worked out");
    let mut c = cow(
        "2027-01-04",
        420,
        "freshens: 2026-03-01, health: none, bred: {how: insemination, heats seen: 80 %, settles: 50 %, until: 30 tries}",
    );
    for bred in c.plan.animals.iter_mut().filter_map(|a| a.course.bred.as_mut()) {
        bred.gestation_sd = 0.0;
    }
    let (after, spans) = (60.0 + 280.0 - 309.0, 17);
    let mut days = Vec::new();
    trials(&c, 83, 12_000, |_, log| {
        let milk = |d: usize| log.get(d, DayMeasure::Drawn) > 0.0;
        let fresh = (1..log.days).find(|&d| milk(d) && !milk(d - 1));
        days.push(fresh.map_or(spans as f64, |d| ((d as f64 - after) / 21.0).floor()));
    });
    let settled = |cycles: f64, p: f64| -> f64 {
        let whole = cycles.max(0.0).floor();
        1.0 - (1.0 - p).powf(whole) * (1.0 - p * (cycles.max(0.0) - whole))
    };
    let law = |wrong: f64| -> Vec<f64> {
        // A day is known to the nearest.
        let by = |span: f64| settled(span - 0.5 / 21.0, 0.4 * wrong);
        (0..=spans)
            .map(f64::from)
            .map(|k| if k < f64::from(spans) { by(k + 1.0) - by(k) } else { 1.0 - by(k) })
            .collect()
    };
    let exact = law(1.0);
    let power = |n: i32| exact.iter().zip(0..).map(|(p, k)| f64::from(k).powi(n) * p).sum::<f64>();
    let held: Vec<f64> = days.iter().map(|d| d.min(f64::from(spans))).collect();
    moments(&held, power(1), power(2) - power(1) * power(1));
    chi_with_power(&tally(held.iter().map(|&d| d as usize)), law);
}
