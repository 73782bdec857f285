//! How much is drunk, and how much is fetched.

use super::common::record::{at_most, near, source};
use super::common::{compile, trials};
use super::{GIVEN_UP, ks, ks_with_power, log_normal, moments, variance};
use springhouse::sim::outcome::DayMeasure;
use statrs::distribution::{Gamma, LogNormal};

fn household(days: u32, fetched: &str, drinker: &str) -> String {
    format!(
        "title: Laws
starts: 2027-01-04
lasts: {days} days
milk fetched:
  - {{name: dairy, species: cow, fat: 4 %, protein: 3.3 %, days: [mon, tue, wed, thu, fri, sat, sun], age on arrival: 0 days, {fetched}}}
household:
  drinkers: [{drinker}]
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
jars: {{2 litre: 400}}
risks: {{foul spells: none}}
"
    )
}

#[test]
fn a_day_of_drinking_is_gamma() {
    // 0.5 kg on 80 % of days, give or take 60 %: gamma of shape 1/0.36. 40,000
    // days, on about 32,000 of which Ann drinks.
    source("gamma law by its mean and spread (our default for what a person drinks)");
    let text = household(
        200,
        "amount: 2 kg",
        "{name: Ann, how much: 0.5 kg, part of days: 80 %, give or take: 60 %}",
    );
    let c = compile(&text);
    let mut all = Vec::new();
    trials(&c, 51, 200, |_, log| {
        all.extend((0..log.days).map(|d| f64::from(log.get(d, DayMeasure::DrinkWanted))));
    });
    let drunk: Vec<f64> = all.iter().copied().filter(|&x| x > 0.0).collect();
    let (n, part) = (all.len() as f64, drunk.len() as f64 / all.len() as f64);
    near(part, 0.8, 4.0 * (0.16 / n).sqrt());
    moments(&drunk, 0.5, 0.09);
    let law = Gamma::new(1.0 / 0.36, 1.0 / (0.36 * 0.5)).expect("a law");
    ks_with_power(&drunk, &law, 0.0);
    // Days are independent of each other.
    let lag: f64 = all.windows(2).map(|w| (w[0] - 0.4) * (w[1] - 0.4)).sum::<f64>() / n;
    near(lag / variance(&all), 0.0, 4.0 / n.sqrt());
}

#[test]
fn what_is_fetched_is_log_normal() {
    source("log-normal law, arithmetic mean");
    let c = compile(&household(
        1,
        "amount: 8 kg give or take 20 %",
        "{name: Ann, how much: 0.5 kg, part of days: 80 %, give or take: 60 %}",
    ));
    let mut values = Vec::new();
    trials(&c, 52, 40_000, |_, log| values.push(f64::from(log.get(0, DayMeasure::Fetched))));
    moments(&values, 8.0, 2.56);
    let (location, scale) = log_normal(8.0, 0.2);
    ks_with_power(&values, &LogNormal::new(location, scale).expect("a law"), 8.0);
}

#[test]
fn the_test_itself_knows_a_wrong_law() {
    // Gamma values are no log-normal ones of the same mean and spread.
    source("the power of the test: a law of another shape is given up");
    let text = household(
        200,
        "amount: 2 kg",
        "{name: Ann, how much: 0.5 kg, part of days: 100 %, give or take: 60 %}",
    );
    let c = compile(&text);
    let mut values = Vec::new();
    trials(&c, 53, 50, |_, log| {
        values.extend((0..log.days).map(|d| f64::from(log.get(d, DayMeasure::DrinkWanted))));
    });
    let (location, scale) = log_normal(0.5, 0.6);
    at_most(ks(&values, &LogNormal::new(location, scale).expect("a law")), GIVEN_UP);
}
