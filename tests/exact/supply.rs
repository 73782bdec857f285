//! A supply for one day against a demand that varies.

use super::common::record::source;
use super::common::{compile, trials};
use super::{WIDE, drinker, household, three_errors};
use springhouse::sim::outcome::DayMeasure;
use statrs::distribution::{Binomial, ContinuousCDF, Discrete, DiscreteCDF, Gamma};

/// Milk that is good for a day only: the problem of the newsvendor.
#[test]
fn six_jars_for_ten_people_who_drink_on_half_of_all_days() {
    // Demand is binomial(10, 1/2), supply 6: the days without a shortage and the
    // part of the demand served are not the same number (types 1 and 2 of
    // Nahmias, Production and Operations Analysis).
    source(
        "type 1 and type 2 service of Nahmias, Production and Operations Analysis (definitions from memory); worked out from the binomial distribution",
    );
    let demand = Binomial::new(0.5, 10).expect("a law");
    let type_1 = demand.cdf(6);
    let missed: f64 = (7..=10u32).map(|k| f64::from(k - 6) * demand.pmf(u64::from(k))).sum();
    let people: Vec<String> = (0..10).map(|i| drinker(&format!("P{i}"), 1.0, 50.0)).collect();
    let c = compile(&household(200, "amount: 6 kg", &people.join(", "), WIDE, 0.5, ""));
    let (mut met, mut lost) = (Vec::new(), Vec::new());
    trials(&c, 31, 300, |out, log| {
        let w = out.wants[0];
        met.push(1.0 - f64::from(w.short_days) / log.days as f64);
        lost.push((w.wanted - w.served) / log.days as f64);
    });
    three_errors(&met, type_1);
    three_errors(&lost, missed);
}

#[test]
fn how_many_people_twelve_litres_serve() {
    // Each drinks a gamma amount of mean 0.5 and spread 60 %, so n of them
    // gamma with shape n/0.36: P(short) and E[short] in closed form.
    source("newsvendor of Nahmias, Production and Operations Analysis, with a gamma demand; worked out");
    for (n, trial_count) in [(19u32, 300), (22, 300)] {
        let shape = f64::from(n) / 0.36;
        let rate = 1.0 / (0.5 * 0.36);
        let demand = Gamma::new(shape, rate).expect("a law");
        let more = Gamma::new(shape + 1.0, rate).expect("a law");
        let met = demand.cdf(12.0);
        let missed = f64::from(n) * 0.5 * (1.0 - more.cdf(12.0)) - 12.0 * (1.0 - met);
        let people: Vec<String> = (0..n)
            .map(|i| format!("{{name: P{i}, how much: 0.5 kg, part of days: 100 %, give or take: 60 %}}"))
            .collect();
        let c = compile(&household(200, "amount: 12 kg", &people.join(", "), WIDE, 0.5, ""));
        let (mut kept, mut lost) = (Vec::new(), Vec::new());
        trials(&c, 32, trial_count, |_, log| {
            let short = |d| f64::from(log.get(d, DayMeasure::DrinkWanted)) - 12.0;
            let days = log.days as f64;
            kept.push((0..log.days).filter(|&d| short(d) <= 1e-6).count() as f64 / days);
            lost.push((0..log.days).map(|d| short(d).max(0.0)).sum::<f64>() / days);
        });
        three_errors(&kept, met);
        three_errors(&lost, missed);
    }
}
