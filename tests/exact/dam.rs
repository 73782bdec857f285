//! A fridge as a dam of so many jars.

use super::common::record::source;
use super::common::{compile, trials};
use super::{JAR, drinker, household, jars_a_day, three_errors};
use springhouse::sim::outcome::{DayMeasure, Fate};

const TRIALS: u32 = 2000;

/// Two jars come with chance `p`, one is drunk a day, and the fridge holds
/// `jars` when all have drunk: short and spilled, jars a day.
fn dam(jars: u32, p: f64, seed: u64) -> (Vec<f64>, Vec<f64>) {
    let fetched = format!("amount: {} kg, fails: {} %", 2.0 * JAR, 100.0 * (1.0 - p));
    fed(jars, seed, &house(jars, &fetched))
}

fn house(jars: u32, fetched: &str) -> String {
    // A shelf of one row of jars of 10 cm.
    let shelf = format!("{} cm x 11 cm", 11 * jars);
    household(200, fetched, &drinker("Ann", JAR, 100.0), &shelf, 30.0, "")
}

fn fed(jars: u32, seed: u64, text: &str) -> (Vec<f64>, Vec<f64>) {
    let c = compile(text);
    assert_eq!(c.plan.places[1].jar_part[0].recip().round(), f64::from(jars), "room for so many jars");
    let (mut short, mut spilled) = (Vec::new(), Vec::new());
    trials(&c, seed, TRIALS, |out, log| {
        short.push(1.0 - jars_a_day(log, 100, DayMeasure::DrinkServed));
        spilled.push(jars_a_day(log, 100, DayMeasure::Wasted));
        // It is want of room that spills it, nothing else.
        let waste: f64 = Fate::ALL.iter().filter(|f| f.is_waste()).map(|&f| out.fates[f as usize].mass).sum();
        assert!((waste - out.fates[Fate::WastedNoRoom as usize].mass).abs() < 1e-9);
    });
    (short, spilled)
}

/// Stock after drinking, 0 to K, goes up with p and down with 1 − p, held at
/// both ends: π(i) ∝ (p/(1 − p))^i. Nobody drinks with π(0)·(1 − p), a jar is
/// spilled with π(K)·p.
fn exact(jars: u32, p: f64) -> (f64, f64) {
    let raw: Vec<f64> = (0..=jars).map(|i| (p / (1.0 - p)).powi(i as i32)).collect();
    let sum: f64 = raw.iter().sum();
    (raw[0] / sum * (1.0 - p), raw[jars as usize] / sum * p)
}

#[test]
fn four_jars_fed_on_half_of_the_days() {
    // p = 1/2: uniform over five levels, so 1/10 and 1/10.
    source(
        "binary dam, a finite dam of the class of Prabhu 1958, Annals of Mathematical Statistics 29:1234; derived here",
    );
    let (short, spilled) = dam(4, 0.5, 21);
    three_errors(&short, 0.1);
    three_errors(&spilled, 0.1);
}

#[test]
fn a_dam_fed_more_than_is_drunk() {
    source(
        "binary dam, a finite dam of the class of Prabhu 1958, Annals of Mathematical Statistics 29:1234; derived here",
    );
    for (jars, p, seed) in [(4, 0.6, 22), (3, 0.45, 23), (6, 0.55, 24)] {
        let (want_short, want_spilled) = exact(jars, p);
        // What comes in goes out: 2p = (1 − short) + spilled.
        assert!((2.0 * p - (1.0 - want_short) - want_spilled).abs() < 1e-12);
        let (short, spilled) = dam(jars, p, seed);
        three_errors(&short, want_short);
        three_errors(&spilled, want_spilled);
    }
}

#[test]
fn a_dam_fed_by_a_geometric_number_of_jars() {
    // j jars come with chance (1/2)^(j+1); what is above 5 is spilled, then one is drunk.
    // After drinking 0 to 4 stand there with chances (2, 1, 1, 1, 1)/6: a sixth of the days
    // are dry, and a sixth of a jar is spilled a day. The binary digits of a geometric
    // number are independent: the digit of 2^k is 1 with chance 1/(2^(2^k) + 1). Four
    // deliveries make them up; the fifth digit would add 0.0002 jars a day, a twentieth of
    // a standard error.
    source(
        "Moran's finite dam with geometric input, of the class of Prabhu 1958, Annals of Mathematical Statistics 29:1234; solved with exact fractions",
    );
    let text = house(4, "amount: 1 kg");
    let one = text.lines().find(|l| l.contains("name: dairy")).expect("what is fetched");
    let digits: Vec<String> = (0..4u32)
        .map(|k| {
            let (jars, odds) = (f64::from(1 << k), f64::from(1u32 << (1 << k)));
            let fails = 100.0 * odds / (odds + 1.0);
            one.replace("name: dairy", &format!("name: digit {k}"))
                .replace("amount: 1 kg", &format!("amount: {} kg, fails: {fails} %", jars * JAR))
        })
        .collect();
    let (short, spilled) = fed(4, 25, &text.replace(one, &digits.join("\n")));
    three_errors(&short, 1.0 / 6.0);
    three_errors(&spilled, 1.0 / 6.0);
}
