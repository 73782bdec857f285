//! Herd shares, sales and prices from the file to the page, worked by hand.

mod common;

use springhouse::report::{Facts, Subject, page};
use springhouse::scenario::Compiled;
use springhouse::study::results::RunResult;
use springhouse::study::{RunOptions, run};

/// Four weeks from a Monday: ten kg fetched a day, four drunk.
const HOUSE: &str = "title: By hand
starts: 2027-01-04
lasts: 28 days
units: metric
milk fetched:
  - {name: round, amount: 10 kg, days: [every day], fat: 4 %, protein: 3.3 %}
household:
  drinkers: [{name: Grandpa, how much: 4 kg}]
stores: {cold room: {room: 600 L, at: 4 °C}}
jars: {gallon: 100}
risks: {jar film: 0 g}
";
/// Five kg each on Wednesdays, and up to ten kg a week for sale.
const SHARES: &str =
    "herd shares: {members: [Alder, Birch], promise: 5 kg/week, pick-up days: [wed], fee: 30 $/month}
sold: {farm gate: {what: whole milk, up to: 10 kg/week, price: 2 $/kg}}
";
const PRICES: &str = "prices: {food: {milk: 1.5 $/kg}, milk fetched: 0.5 $/kg, power: 0.25 $/day}
";

fn ran(text: &str, steady: bool) -> (Compiled, RunResult) {
    let c = common::compile(text);
    let options = RunOptions { trials: 40, seed: 7, steady, remedies: false, ..RunOptions::default() };
    let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    (c, result)
}

fn words(c: &Compiled, result: &RunResult) -> String {
    let facts = Facts::of(&c.plan, &c.names);
    let subject =
        Subject { result, names: &c.names, facts: &facts, units: c.names.units, file: "a.yaml", sha256: "" };
    page(&subject).text(4000)
}

#[track_caller]
fn is(r: &RunResult, name: &str, want: f64) {
    let got = r.measure(name).unwrap_or_else(|| panic!("{name} is no measure")).mean;
    assert!((got - want).abs() < 1e-6 * want.abs().max(1.0), "{name}: {got}, by hand {want}");
}

#[test]
fn the_balance_by_hand() {
    // Monday: 10 there, 4 kept for lunch, 6 sold. Tuesday: the members' 10 are
    // set aside, nothing is over. Wednesday: 18 there, 10 fetched, 4 kept, the
    // week's last 4 sold. So 40 kg are sold and 40 fetched in four weeks.
    let (_, r) = ran(&format!("{HOUSE}{SHARES}{PRICES}"), true);
    is(&r, "sold", 40.0);
    is(&r, "shared_out", 40.0);
    is(&r, "share_fill", 1.0);
    is(&r, "share_worst_week", 1.0);
    is(&r, "share_fill_birch", 1.0);
    is(&r, "share_spread", 0.0);
    is(&r, "milk_fill", 1.0);
    let fees = 2.0 * 28.0 * 30.0 / 30.4375;
    is(&r, "value_food", 28.0 * 4.0 * 1.5);
    is(&r, "value_fees", fees);
    is(&r, "value_sold", 80.0);
    is(&r, "value_fetched", -140.0);
    is(&r, "value_house", -7.0);
    is(&r, "value", 168.0 + fees + 80.0 - 140.0 - 7.0);
}

#[test]
fn gallons_and_kilograms_agree() {
    let us = SHARES
        .replace("5 kg/week", "11.023113109243878 lb/week")
        .replace("10 kg/week", "22.046226218487757 lb/week");
    let us = us.replace("2 $/kg", "0.90718474 $/lb");
    let (_, a) = ran(&format!("{HOUSE}{SHARES}{PRICES}"), false);
    let (_, b) = ran(&format!("{HOUSE}{us}{PRICES}"), false);
    for (x, y) in a.rows.iter().zip(&b.rows) {
        assert!((x - y).abs() <= 1e-9 * x.abs().max(1.0), "{x} and {y}");
    }
}

#[test]
fn the_page_speaks_of_shares_and_of_money_only_where_there_are_any() {
    let (c, r) = ran(&format!("{HOUSE}{SHARES}{PRICES}"), false);
    let text = words(&c, &r);
    for part in [
        "Herd shares",
        "Of what they were promised they got 100 %",
        "Sold: 38.8 L",
        "What it was worth",
        "says nothing of safety",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
    assert!(text.contains("Ask your state, county or food authority before any is offered"), "{text}");
    let (c, r) = ran(HOUSE, false);
    let text = words(&c, &r);
    for part in ["Herd shares", "What it was worth", "Sold", "before any is offered"] {
        assert!(!text.contains(part), "{part} in\n{text}");
    }
    assert!(r.measure("value").is_none() && r.measure("share_fill").is_none());
    // A fee alone is a price; shares without one are none.
    let free = SHARES
        .replace(", fee: 30 $/month", "")
        .replace("sold: {", "given away: {")
        .replace(", price: 2 $/kg", "");
    let (c, r) = ran(&format!("{HOUSE}{free}"), false);
    let text = words(&c, &r);
    assert!(text.contains("Herd shares") && text.contains("Given away: 38.8 L"), "{text}");
    assert!(!text.contains("worth"), "{text}");
}

#[test]
fn prices_change_nothing_but_the_value() {
    let (_, with) = ran(&format!("{HOUSE}{SHARES}{PRICES}"), false);
    let (_, without) = ran(&format!("{HOUSE}{SHARES}"), false);
    for m in &without.measures {
        if !m.name.starts_with("value") {
            assert_eq!(Some(m.mean), with.measure(&m.name).map(|w| w.mean), "{}", m.name);
        }
    }
}

#[test]
fn who_does_not_come_leaves_the_milk_to_the_family() {
    let often = SHARES.replace("pick-up days: [wed]", "pick-up days: [wed], not fetched: 50 %");
    let (_, back) = ran(&format!("{HOUSE}{often}"), false);
    let poured = often.replace("not fetched: 50 %", "not fetched: 50 %, milk not fetched: is poured out");
    let (_, out) = ran(&format!("{HOUSE}{poured}"), false);
    is(&back, "wasted_unclaimed", 0.0);
    let (shared, wasted) = ("shared_out", "wasted_unclaimed");
    let mean = |r: &RunResult, name: &str| r.measure(name).map_or(0.0, |m| m.mean);
    assert!((mean(&out, shared) + mean(&out, wasted) - 40.0).abs() < 1e-6);
    assert!((10.0..30.0).contains(&mean(&out, shared)), "half of 40: {}", mean(&out, shared));
    // Whoever came had all that was promised.
    is(&back, "share_fill", 1.0);
}

/// Of 70 kg a week 28 are drunk and 42 are over, with a stock of some days beside: too
/// little for five times twelve, enough for three times twelve or five times nine.
#[test]
fn fewer_members_and_a_smaller_promise_mend_it() {
    let shares = "herd shares: {members: 5, promise: 12 kg/week, pick-up days: [wed], from: 2027-01-18}
aims: [{measure: share promise, at least: 98 %, in: 9 of 10 years}]
";
    let c = common::compile(&format!("{HOUSE}{shares}"));
    let options = RunOptions { trials: 20, seed: 7, ..RunOptions::default() };
    let r = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    assert!(!r.aims[0].met);
    for words in ["two members fewer", "promising each member a quarter less"] {
        let remedy = r.remedies.iter().find(|m| m.words == words);
        assert!(remedy.is_some_and(|m| m.mends), "{words}: {:?}", r.remedies);
    }
}
