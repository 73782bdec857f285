//! The average year, from a scenario file to its measures, against arithmetic
//! done by hand.

mod common;

use springhouse::scenario::plan::fixed;
use springhouse::sim::Outcome;
use springhouse::sim::outcome::{Fate, Source};
use springhouse::study::{RunOptions, run};

/// Kilograms a litre of milk, as the program turns volumes into mass.
const KG_PER_L: f64 = 1.032;

/// A cow that gives 10 kg of 4 % milk every day, and nothing lost on the way.
fn cow(extra: &str) -> String {
    format!(
        "title: By hand
starts: 2027-01-04
lasts: 70 days
animals:
  - name: Clover
    breed: jersey
    lactation: 2
    freshens: 2026-10-01
    freshens again: never
    evening fat excess: 0 %
stores:
  fridge: {{shelves: 10 of 60 cm x 40 cm x 30 cm, at: 4 °C, shelf load: 200 kg}}
  freezer: {{like: chest freezer 15 cu ft}}
jars: {{2 litre: 200, half pint: 100}}
risks: {{strainer: 0 %, jar film: 0 g, stays sweet: 12 days}}
{extra}"
    )
}

/// Compiles, and lays her curve flat: 10 kg a day of 4 % fat, 3.3 % protein.
fn flat(text: &str) -> springhouse::scenario::Compiled {
    let mut c = common::compile(text);
    for curve in c.plan.animals.iter_mut().flat_map(|a| &mut a.curves) {
        curve.yield_kg.fill(10.0);
        curve.fat.fill(0.04);
        curve.protein.fill(0.033);
    }
    c
}

fn steady(text: &str) -> (springhouse::scenario::Compiled, Outcome) {
    let c = flat(text);
    let (out, _) = common::trial(&c, 1, None);
    (c, out)
}

fn mass(out: &Outcome, f: Fate) -> f64 {
    out.fates[f as usize].mass
}

#[track_caller]
fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn what_is_not_drunk_goes_sour_and_the_books_say_so() {
    // Two people, a litre each on every day: 2 · 1.032 · 70 kg. On the first
    // noon the morning's half (5.0 kg at equal intervals) is already there.
    let (_, out) = steady(&cow(
        "household:\n  drinkers:\n    - {name: Ann, how much: 1 L, part of days: 100 %, give or take: 0 %}\n    - {name: Ben, how much: 1 L, part of days: 100 %, give or take: 0 %}\n",
    ));
    near(out.sources[Source::Drawn as usize].mass, 700.0, 1e-9);
    near(out.sources[Source::Drawn as usize].fat, 28.0, 1e-9);
    near(out.sources[Source::Drawn as usize].protein, 23.1, 1e-9);
    near(mass(&out, Fate::Drunk), 2.0 * KG_PER_L * 70.0, 1e-9);
    assert_eq!(out.wants[0].short_days, 0);
    let rest = mass(&out, Fate::WastedSoured) + mass(&out, Fate::InStore) + mass(&out, Fate::WastedNoRoom);
    near(rest, 700.0 - 144.48, 1e-9);
}

#[test]
fn part_of_days_times_amount_is_what_is_drunk() {
    // 500 mL on 60 % of days, and only on five weekdays of seven (70 days = 10
    // weeks): 0.5 · 1.032 · 0.6 · 50 kg.
    let (_, out) = steady(&cow(
        "household:\n  drinkers:\n    - {name: Ann, how much: 500 mL, part of days: 60 %, give or take: 40 %, days: [mon, tue, wed, thu, fri]}\n",
    ));
    near(mass(&out, Fate::Drunk), 0.5 * KG_PER_L * 0.6 * 50.0, 1e-9);
}

#[test]
fn skim_and_churn_by_mass_balance() {
    // Every milking is skimmed to 3 % and all cream churned at 98.5 % into
    // butter of 81.5 %. With S kg skimmed, C kg of cream:
    //   fat of the cream  = 0.04·S − 0.03·(S − C)
    //   butter            = 0.985 · 0.99 · fat of the cream / 0.815  (1 % film)
    let (c, out) = steady(&cow("household:
  kitchen time: {every day: 10 h}
  wants: {buttermilk: 1 qt/week}
routine:
  - {do: skim, after: 36 h, leave: 3 % fat}
  - {do: make, what: butter}
"));
    let item = |name: &str| c.names.items.iter().position(|i| i == name).expect("an item");
    let (butter, buttermilk) = (out.made[item("butter")], out.made[item("buttermilk")]);
    let skimmed = out.rules[0].kg;
    let churned = out.rules[1].kg;
    let fat = 0.04 * skimmed - 0.03 * (skimmed - churned);
    // What cream is left at the end has not been churned: at most a batch.
    near(butter, 0.985 * 0.99 * fat / 0.815, 0.03);
    near(butter + buttermilk, 0.99 * churned, 1e-9);
    // About 70 days less the two first: 5 kg a milking, twice a day.
    near(skimmed, 5.0 * (2.0 * 69.0 - 2.0), 0.02);
    assert!((8.0..9.5).contains(&butter), "{butter} kg of butter from {skimmed} kg skimmed by one percent");
}

#[test]
fn a_batch_of_yogurt_a_week_is_eaten() {
    // 2 L of milk a week (at the density of skimmed milk, which yogurt takes
    // first) less 2 % steam and 1 % film; 1 kg a
    // week is wished, so the table is served from the first ready day on.
    let (c, out) = steady(&cow("household:
  kitchen time: {every day: 2 h}
  wants: {yogurt: {at least: 1 kg/week, from: 2027-01-18, varies: 0 %}}
routine:
  - {do: make, what: yogurt, batch: 2 L, days: [mon], at most: 1 per day}
"));
    assert_eq!(out.rules[0].fired, 10);
    let one = 2.0 * c.plan.items[fixed::SKIMMED.at()].density;
    near(out.rules[0].kg, 10.0 * one, 1e-9);
    let film = 10.0 * one * 0.01;
    near(mass(&out, Fate::Steam), (10.0 * one - film) * 0.02, 1e-9);
    assert_eq!(out.wants[1].short_days, 0);
    near(out.wants[1].served, 8.0, 1e-6);
}

#[test]
fn fetched_milk_comes_on_its_days_and_the_measures_say_so() {
    let text = "title: Fetched
starts: 2027-01-04
lasts: 70 days
milk fetched:
  - {name: dairy, species: cow, fat: 4 %, protein: 3.3 %, amount: 8 L give or take 20 %, days: [wed], age on arrival: 1 day, fails: 10 %}
household:
  drinkers:
    - {name: Ann, how much: 1 L, part of days: 100 %, give or take: 30 %}
stores:
  fridge: {shelves: 3 of 60 cm x 40 cm x 30 cm, at: 4 °C}
jars: {2 litre: 20}
risks: {jar film: 0 g, stays sweet: 12 days}
";
    let c = common::compile(text);
    let options = RunOptions { trials: 1, steady: true, remedies: false, ..RunOptions::default() };
    let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    let value = |name: &str| result.measure(name).unwrap_or_else(|| panic!("{name}")).mean;
    // Ten Wednesdays at the mean amount: in the average year none fails.
    near(value("milk_fetched"), 10.0 * 8.0 * KG_PER_L, 1e-9);
    near(value("milk_drawn"), 0.0, 1e-12);
    // From the first Wednesday on (68 days) a litre a day is there at noon.
    near(value("drunk"), 68.0 * KG_PER_L, 1e-9);
    near(value("milk_fill"), 1.0, 1e-9);
    near(value("milk_short_days"), 0.0, 1e-12);
    let went: f64 = result.fates.iter().map(|f| f.part).sum();
    near(went, 1.0, 1e-9);
}

#[test]
fn us_and_metric_say_the_same() {
    let us = cow(
        "household:\n  drinkers:\n    - {name: Ann, how much: 32 fl oz, part of days: 90 %, give or take: 20 %}\n  wants: {butter: 2 lb/week}\n  kitchen time: {every day: 2 h}\nroutine:\n  - {do: skim, after: 36 h, leave: 3 % fat}\n  - {do: make, what: butter, when: {have: {cream: at least 1 qt}}}\n",
    );
    let metric = us
        .replace("32 fl oz", "946.352946 mL")
        .replace("2 lb/week", "0.90718474 kg/week")
        .replace("at least 1 qt", "at least 0.946352946 L");
    assert_ne!(us, metric);
    let (a, b) = (flat(&us), flat(&metric));
    for n in 0..5 {
        let ((x, _), (y, _)) = (common::trial(&a, 4, Some(n)), common::trial(&b, 4, Some(n)));
        for f in Fate::ALL {
            near(x.fates[f as usize].mass, y.fates[f as usize].mass, 1e-9);
            near(x.fates[f as usize].fat, y.fates[f as usize].fat, 1e-9);
        }
        near(x.wants[1].served, y.wants[1].served, 1e-9);
    }
}
