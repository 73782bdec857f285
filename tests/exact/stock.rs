//! A stock of milk that does not keep.

use super::common::record::{count, near, source};
use super::common::{compile, trial, trials};
use super::{JAR, WIDE, drinker, household, jars_a_day, three_errors};
use springhouse::calendar::{date_of, read_date};
use springhouse::scenario::Compiled;
use springhouse::sim::DayLog;
use springhouse::sim::outcome::{DayMeasure, Fate};
use springhouse::study::trace::{Choice, TraceOptions, What, trace};

/// 6 kg come every day, 5 kg are drunk, milk is good at five ages (0 to 4 days).
fn six_and_five(taken: &str) -> (f64, DayLog) {
    let more = format!("  jars taken: {taken} first\n");
    let c = compile(&household(60, "amount: 6 kg", &drinker("All", 5.0, 100.0), WIDE, 4.25, &more));
    let (out, log) = trial(&c, 1, Some(0));
    assert_eq!(out.wants[0].short_days, 0);
    (out.fates[Fate::WastedSoured as usize].mass, log)
}

/// The scenario with the milk of each day marked by its fat: 2 % and a twentieth of a
/// point more each day, so that the fat drunk tells when it was fetched.
fn dated(text: &str, days: u32) -> String {
    let line = text.lines().find(|l| l.contains("name: dairy")).expect("what is fetched");
    let first = read_date("2027-01-04").expect("a date");
    let each: Vec<String> = (0..days)
        .map(|day| {
            let date = date_of(first, day.into());
            line.replace("name: dairy", &format!("name: d{day}")).replace(
                "fat: 4 %",
                &format!("fat: {} %, from: {date}, until: {date}", 2.0 + 0.05 * f64::from(day)),
            )
        })
        .collect();
    text.replace(line, &each.join("\n"))
}

/// Mean age of the milk drunk from a day on, days, by the fat of it.
fn age_drunk(c: &Compiled, number: u32, from: u32) -> f64 {
    let options =
        TraceOptions { choice: Choice::Number(number), trials: number + 1, seed: 15, threads: Some(1) };
    let told = trace(&c.plan, &c.names, &options, &|_, _| {}).expect("it is traced");
    let (mut kg, mut kg_days) = (0.0, 0.0);
    for e in told.events.iter().filter(|e| e.day >= from) {
        if matches!(e.what, What::Went { fate: Fate::Drunk, .. }) {
            let fetched = (e.matter.fat / e.matter.mass - 0.02) / 0.0005;
            kg += e.matter.mass;
            kg_days += e.matter.mass * (f64::from(e.day) - fetched);
        }
    }
    kg_days / kg
}

#[test]
fn milk_is_drunk_at_four_days_or_at_none() {
    // Of 6 kg a day, 5 kg drunk: once the stock stands, oldest first each jar is 4 days old
    // when it is drunk, newest first it is of the day.
    source("worked out by hand: constant supply and demand");
    for (taken, age) in [("oldest", 4.0), ("newest", 0.0)] {
        let more = format!("  jars taken: {taken} first\n");
        let text = household(60, "amount: 6 kg", &drinker("All", 5.0, 100.0), WIDE, 4.25, &more);
        near(age_drunk(&compile(&dated(&text, 60)), 0, 30), age, 1e-6);
    }
}

/// Day (from 1) at whose end milk is first poured out.
fn first_waste(log: &DayLog) -> u32 {
    let day = (0..log.days).find(|&d| log.get(d, DayMeasure::Wasted) > 1e-6).expect("some day");
    day as u32 + 1
}

fn after_milking(log: &DayLog) -> f64 {
    let last = log.days - 1;
    f64::from(log.get(last - 1, DayMeasure::WholeStock) + log.get(last, DayMeasure::Fetched))
}

#[test]
fn oldest_first_with_certain_supply_and_demand() {
    // The stock grows by 1 a day until the oldest is 4 days old at noon with 1
    // left over: day 25. Then 1 a day sours: 36 by day 60; 30 stand there when
    // the day's milk has come.
    source("worked out by hand: first in, first out, constant supply and demand");
    let (wasted, log) = six_and_five("oldest");
    count(first_waste(&log), 25);
    near(wasted, 36.0, 1e-6);
    near(after_milking(&log), 30.0, 1e-4);
}

#[test]
fn newest_first_with_certain_supply_and_demand() {
    // Of each day's 6 one is left and never touched again: it sours on its fifth
    // day, so 1 a day from day 5 on, 56 by day 60; 4 old ones and 6 new.
    source("worked out by hand: last in, first out, constant supply and demand");
    let (wasted, log) = six_and_five("newest");
    count(first_waste(&log), 5);
    near(wasted, 56.0, 1e-6);
    near(after_milking(&log), 10.0, 1e-4);
}

/// One jar a day, good at `ages` ages; two people drink a jar each on some days.
fn jar_a_day(ages: u32, parts: [f64; 2], days: u32) -> Compiled {
    let people = format!("{}, {}", drinker("Ann", JAR, parts[0]), drinker("Ben", JAR, parts[1]));
    // Poured out at the evening of its last day; milk of a single day sours at
    // night and is poured out on the next.
    let sweet = (f64::from(ages) - 0.75).max(0.5);
    compile(&household(days, &format!("amount: {JAR} kg"), &people, WIDE, sweet, ""))
}

/// Stock after the jar has come, 1 to m, oldest first, is a birth-and-death
/// chain: up with a = P(nobody drinks), down with b = P(both do), so its
/// stationary law is π(n) ∝ (a/b)^(n−1). A jar sours with π(m)·a, one is missed
/// with π(1)·b.
fn stationary(ages: u32, a: f64, b: f64) -> Vec<f64> {
    let raw: Vec<f64> = (0..ages).map(|n| (a / b).powi(n as i32)).collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|p| p / sum).collect()
}

const TRIALS: u32 = 1500;
/// The chain forgets its start by then: its second eigenvalue is 0.905 for m = 5.
const FROM: usize = 90;

#[test]
fn uniform_stock_wastes_and_misses_a_quarter_of_an_mth() {
    // a = b = 1/4: waste = lost = 1/(4m), here 1/20, and a fill of 19/20.
    source("birth-and-death chain of a stock of fixed life, oldest first; derived here");
    let c = jar_a_day(5, [50.0, 50.0], 190);
    let (mut wasted, mut lost) = (Vec::new(), Vec::new());
    let mut seen = [0u32; 5];
    trials(&c, 11, TRIALS, |_, log| {
        wasted.push(jars_a_day(log, FROM, DayMeasure::Wasted));
        let wanted = jars_a_day(log, FROM, DayMeasure::DrinkWanted);
        lost.push(wanted - jars_a_day(log, FROM, DayMeasure::DrinkServed));
        let evening = f64::from(log.get(189, DayMeasure::WholeStock)) / JAR;
        seen[(evening.round() as usize).min(4)] += 1;
    });
    three_errors(&wasted, 1.0 / 20.0);
    three_errors(&lost, 1.0 / 20.0);
    // What stands there at night is the next noon's stock less its jar: uniform
    // on 0 to 4. Chi-square with 4 degrees of freedom, 18.5 at one in a thousand.
    let each = f64::from(TRIALS) / 5.0;
    let chi: f64 = seen.iter().map(|&k| (f64::from(k) - each).powi(2) / each).sum();
    assert!(chi < 18.5, "{seen:?} is not uniform: {chi}");
}

#[test]
fn how_much_stands_there_and_how_old_it_is_drunk() {
    // m = 5, a = b = 1/4: after the jar has come 1 to 5 stand there alike, 3 in the mean; a
    // jar is drunk at an age of 36/19 days (by enumeration of the ages).
    source("birth-and-death chain of a stock of fixed life, oldest first; ages by enumeration");
    let days = 160;
    let people = format!("{}, {}", drinker("Ann", JAR, 50.0), drinker("Ben", JAR, 50.0));
    let text = household(days, &format!("amount: {JAR} kg"), &people, WIDE, 4.25, "");
    let c = compile(&dated(&text, days));
    let ages: Vec<f64> = (0..400).map(|number| age_drunk(&c, number, FROM as u32)).collect();
    three_errors(&ages, 36.0 / 19.0);
    let mut stock = Vec::new();
    trials(&compile(&text), 16, TRIALS, |_, log| {
        // What stands there at night, and the jar that comes next.
        stock.push(jars_a_day(log, FROM, DayMeasure::WholeStock) + 1.0);
    });
    three_errors(&stock, 3.0);
}

#[test]
fn bought_up_to_so_many_jars_of_two_days() {
    // Each morning the store is filled up to S jars; milk is good that day and the next,
    // 0, 1 or 2 jars are drunk (1/4, 1/2, 1/4), oldest first. Old stock is a chain of
    // S + 1 states: with S = 2 it is (4, 8, 1)/13 and 3/13 jars sour a day, with S = 3
    // (1 or 2) 4/7, with S = 4 one. Nothing is missed.
    source(
        "the class of van Zyl and Nahmias (perishable stock ordered up to a level, life of two periods; from memory); worked out by exact fractions",
    );
    for (jars, sour) in [(2u32, 3.0 / 13.0), (3, 4.0 / 7.0), (4, 1.0)] {
        let people = format!("{}, {}", drinker("Ann", JAR, 50.0), drinker("Ben", JAR, 50.0));
        let once = format!("amount: {JAR} kg, until: 2027-01-04");
        let buy = format!(
            "  - {{do: buy, what: milk, how much: {JAR} kg, when: {{have: {{milk: under {} kg}}}}}}\n",
            (f64::from(jars) - 0.1) * JAR
        );
        let text = household(150, &once, &people, WIDE, 1.25, "")
            .replace("lasts:", "hours: {kitchen: \"9:00\", meals: \"12:00\"}\nlasts:")
            + "bought when short: {milk: 4 $/gal}\nproducts: {bought milk: {keeps: {fridge: 1.25 days}}}\nroutine:\n"
            + &buy.repeat(jars as usize);
        let c = compile(&text);
        let (mut soured, mut missed) = (Vec::new(), 0.0);
        trials(&c, 17, TRIALS, |_, log| {
            soured.push(jars_a_day(log, 50, DayMeasure::Wasted));
            missed +=
                jars_a_day(log, 50, DayMeasure::DrinkWanted) - jars_a_day(log, 50, DayMeasure::DrinkServed);
        });
        three_errors(&soured, sour);
        near(missed, 0.0, 1e-6);
    }
}

#[test]
fn stocks_of_two_three_and_eight_days() {
    source("birth-and-death chain of a stock of fixed life, oldest first; derived here");
    for (ages, from) in [(2, 30), (3, 50), (8, 240)] {
        let c = jar_a_day(ages, [50.0, 50.0], from + 100);
        let mut wasted = Vec::new();
        trials(&c, 12, TRIALS, |_, log| {
            wasted.push(jars_a_day(log, from as usize, DayMeasure::Wasted));
        });
        three_errors(&wasted, 1.0 / (4.0 * f64::from(ages)));
    }
}

#[test]
fn thirsty_people_waste_less_and_miss_more() {
    // Parts of days 0.6 and 0.7: a = 0.12, b = 0.42.
    source("birth-and-death chain of a stock of fixed life, oldest first; derived here");
    let (a, b) = (0.4 * 0.3, 0.6 * 0.7);
    let law = stationary(3, a, b);
    let c = jar_a_day(3, [60.0, 70.0], 150);
    let (mut wasted, mut lost) = (Vec::new(), Vec::new());
    trials(&c, 13, 4 * TRIALS, |_, log| {
        wasted.push(jars_a_day(log, 50, DayMeasure::Wasted));
        let wanted = jars_a_day(log, 50, DayMeasure::DrinkWanted);
        lost.push(wanted - jars_a_day(log, 50, DayMeasure::DrinkServed));
    });
    three_errors(&wasted, law[2] * a);
    three_errors(&lost, law[0] * b);
}

#[test]
fn milk_of_one_day_is_a_matter_of_one_day() {
    // Milk that sours in the night: nothing is carried over, so a jar is wasted on
    // the days on which nobody drinks, and missed when both do.
    source("worked out: independent days, binomial drinkers");
    let c = jar_a_day(1, [50.0, 50.0], 100);
    let (mut wasted, mut lost) = (Vec::new(), Vec::new());
    trials(&c, 14, TRIALS, |_, log| {
        wasted.push(jars_a_day(log, 1, DayMeasure::Wasted));
        let wanted = jars_a_day(log, 1, DayMeasure::DrinkWanted);
        lost.push(wanted - jars_a_day(log, 1, DayMeasure::DrinkServed));
    });
    three_errors(&wasted, 0.25);
    three_errors(&lost, 0.25);
}
