//! Which way a change must push, as paired runs on the same luck.
//!
//! Not every single year must go that way: what is changed moves other things
//! with it (a fuller table empties jars, milk that keeps longer takes room), so
//! each test judges the mean over the years, and says why a year may differ.

mod common;

use springhouse::scenario::Compiled;
use springhouse::study::stats::paired_t;
use springhouse::study::{RunOptions, run};

const TRIALS: u32 = 250;

/// One Jersey and a family that can just about drink her milk.
const HOUSE: &str = "
title: Which way
starts: 2027-03-01
lasts: 12 months
animals:
  - name: Clover
    breed: jersey
    lactation: 2
    freshens: 2027-02-20
    freshens again: after 13 months give or take 3 weeks
    dry off: 60 days before
household:
  people: {man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: 4}
  wants:
    butter: 1 lb/week
  kitchen time: {weekdays: 45 min, weekend: 90 min}
stores:
  kitchen fridge: {shelves: 3 of 24 in x 14 in x 11 in, at: 38 °F, other food takes: 40 %}
jars: {half gallon: 30, quart: 12}
routine:
  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}
  - {do: make, what: butter, when: {have: {cream: at least 1 qt, butter: under 3 lb}}}
animals fed:
  hens: {heads: 6}
when full:
  tonight: [pour out sour milk, pour out oldest milk]
";

/// A measure, year by year.
fn years(c: &Compiled, measure: &str) -> Vec<f64> {
    let options =
        RunOptions { trials: TRIALS, seed: 5, remedies: false, bands: false, ..RunOptions::default() };
    let r = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    let column = r.columns.iter().position(|c| c == measure).expect("a measure");
    r.rows.chunks_exact(r.columns.len()).map(|row| row[column]).collect()
}

/// Each step must not push a measure up (`sign` 1) or down (−1) in the mean of
/// the same years; all of them together must surely move it.
#[track_caller]
fn never(sign: f64, measure: &str, steps: &[Compiled]) {
    let found: Vec<Vec<f64>> = steps.iter().map(|c| years(c, measure)).collect();
    let means: Vec<f64> = found.iter().map(|v| v.iter().sum::<f64>() / v.len() as f64).collect();
    for pair in found.windows(2) {
        let step = paired_t(&pair[1], &pair[0], 0.95).expect("pairs");
        assert!(sign * step.mean <= 1e-9, "{measure}: {means:?}");
    }
    let all = paired_t(&found[found.len() - 1], &found[0], 0.95).expect("pairs");
    assert!(sign * all.mean + all.half < 0.0, "{measure} hardly moves: {means:?}");
}

fn with(from: &str, to: &str) -> Compiled {
    assert!(HOUSE.contains(from), "{from}");
    common::compile(&HOUSE.replace(from, to))
}

/// A year may differ: a fuller table empties jars sooner, and milk that had
/// found no jar is then kept for a later meal.
#[test]
fn more_people_never_shorten_the_days_without_milk() {
    let people = "{man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: 4}";
    let steps = [4, 5, 7]
        .map(|boys| with(people, &format!("{{man 31 to 50: 4, woman 31 to 50: 4, boy 9 to 13: {boys}}}")));
    never(-1.0, "milk_short_days", &steps);
}

/// A year may differ: milk saved by a jar today holds that jar tomorrow, when
/// a larger milking wants one.
#[test]
fn more_jars_never_waste_more_for_want_of_jars() {
    let steps =
        [6, 10, 14, 30].map(|n| with("half gallon: 30, quart: 12", &format!("half gallon: {n}, quart: 4")));
    never(1.0, "wasted_no_jar", &steps);
}

/// A year may differ: milk that is not poured out in the full weeks is still
/// there later, and may fill both.
#[test]
fn a_second_fridge_never_adds_days_too_full() {
    let second = |more: &str| with("other food takes: 40 %}", &format!("other food takes: 40 %}}{more}"));
    let shelves = "at: 38 °F}";
    let steps = [
        second(""),
        second(&format!("\n  porch fridge: {{shelves: 1 of 20 in x 14 in x 11 in, {shelves}")),
        second(&format!("\n  porch fridge: {{shelves: 3 of 24 in x 14 in x 11 in, {shelves}")),
    ];
    never(1.0, "days_over_full", &steps);
}

/// A year may differ: milk that keeps longer takes room, so that more stands
/// about when it does sour at last.
#[test]
fn milk_that_keeps_longer_never_sours_more() {
    let steps =
        [5, 8, 12, 16].map(|days| common::compile(&format!("{HOUSE}risks: {{stays sweet: {days} days}}\n")));
    never(1.0, "wasted_soured", &steps);
}

/// A year may differ as with more people: a smaller milking finds a jar.
#[test]
fn a_lower_yield_never_shortens_the_days_without_milk() {
    let steps = [1.0, 0.9, 0.75].map(|part| {
        let mut c = common::compile(HOUSE);
        for curve in c.plan.animals.iter_mut().flat_map(|a| &mut a.curves) {
            curve.yield_kg.iter_mut().for_each(|kg| *kg *= part);
        }
        c
    });
    never(-1.0, "milk_short_days", &steps);
}

/// Why more room leaves the hours of chilling alone: they follow from the
/// fridge's temperature and power and from the jar, not from its room. This is
/// what lets a remedy with more room keep the table of the fridge it enlarges.
#[test]
fn more_shelves_of_the_same_fridge_chill_alike() {
    let table = |shelves: &str| {
        let c = with("3 of 24 in x 14 in x 11 in", shelves);
        let place = c.plan.places.iter().find_map(|p| p.chill.clone()).expect("a fridge");
        format!("{place:?}")
    };
    assert_eq!(table("3 of 24 in x 14 in x 11 in"), table("6 of 24 in x 14 in x 11 in"));
    assert_eq!(table("3 of 24 in x 14 in x 11 in"), table("3 of 36 in x 20 in x 11 in"));
}
