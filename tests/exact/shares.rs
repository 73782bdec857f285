//! A herd share's pick-ups against the classical claims problems, from the file to what
//! each member takes home.

use super::common::record::{near, source};
use super::common::{compile, trials};
use super::{JAR, WIDE, household};
use springhouse::sim::outcome::Fate;

/// What each member takes home on the one pick-up day of a week, kg: so much milk comes
/// every day, and what is not fetched is sour by the next.
fn taken_home(supply_kg: f64, promises: &[f64], more: &str) -> Vec<f64> {
    let members: Vec<String> =
        promises.iter().enumerate().map(|(i, kg)| format!("M{i}: {kg} kg/week")).collect();
    let shares =
        format!("herd shares: {{members: {{{}}}, pick-up days: [wed], {more}}}\n", members.join(", "));
    let c = compile(&household(7, &format!("amount: {supply_kg} kg"), "", WIDE, 0.5, &shares));
    let mut kept = Vec::new();
    trials(&c, 1, 1, |out, _| {
        kept = out.traded.shares.iter().map(|s| s.kept).collect();
        let told = out.fates[Fate::SharedOut as usize].mass;
        assert!((told - kept.iter().sum::<f64>()).abs() < 1e-9, "what is told went out of the door");
    });
    kept
}

#[track_caller]
fn takes_home(supply_kg: f64, promises: &[f64], more: &str, want: &[f64]) {
    let got = taken_home(supply_kg, promises, more);
    assert_eq!(got.len(), want.len());
    for (got, want) in got.iter().zip(want) {
        near(*got, *want, 1e-9 * supply_kg);
    }
}

#[test]
fn the_estate_of_the_three_wives_as_a_pick_up() {
    // Claims of 100, 200 and 300, in kilograms and hundredths.
    source(
        "Aumann and Maschler 1985, Journal of Economic Theory 36:195 (from memory; figures as quoted in lecture notes)",
    );
    let t = 1.0 / 3.0;
    for (supply, want) in [(1.0, [t, t, t]), (2.0, [0.5, 0.75, 0.75]), (3.0, [0.5, 1.0, 1.5])] {
        takes_home(supply, &[1.0, 2.0, 3.0], "when short: contested garment", &want);
    }
}

#[test]
fn three_claims_under_every_way_to_split() {
    // 4 on claims of 1, 2 and 3. The family drinks nothing, so it claims nothing.
    source("worked out from the formulas of Herrero and Villar 2001, Mathematical Social Sciences 42:307");
    let t = 1.0 / 3.0;
    let in_proportion = [2.0 * t, 4.0 * t, 2.0];
    for (rule, want) in [
        ("in proportion", in_proportion),
        ("family first", in_proportion),
        ("members first", in_proportion),
        ("equal awards", [1.0, 1.5, 1.5]),
        ("equal losses", [t, 4.0 * t, 7.0 * t]),
        ("contested garment", [0.5, 1.25, 2.25]),
        ("in turns", [1.0, 2.0, 1.0]),
    ] {
        takes_home(4.0, &[1.0, 2.0, 3.0], &format!("when short: {rule}"), &want);
        // Where there is enough, every way keeps every promise.
        takes_home(6.0, &[1.0, 2.0, 3.0], &format!("when short: {rule}"), &[1.0, 2.0, 3.0]);
    }
}

#[test]
fn ten_whole_jars_and_eleven() {
    // Claims of 60, 60 and 20 jars: with ten jars the quotas are 4.29, 4.29 and 1.43, with
    // eleven 4.71, 4.71 and 1.57, and the smallest claim loses a jar by it.
    source("the Alabama paradox, textbook example of the largest remainder (from memory)");
    let promises = [60.0 * JAR, 60.0 * JAR, 20.0 * JAR];
    for (jars, want) in [(10.0, [4.0, 4.0, 2.0]), (11.0, [5.0, 5.0, 1.0])] {
        let want = want.map(|jars: f64| jars * JAR);
        takes_home(jars * JAR, &promises, "when short: in proportion, whole jars: crock", &want);
    }
}

#[test]
fn eight_whole_jars_among_four() {
    source("worked out from the rule of largest remainder (Hamilton's method)");
    let promises = [2.0, 2.0, 4.0, 6.0].map(|jars| jars * JAR);
    let want = [1.0, 1.0, 2.0, 4.0].map(|jars| jars * JAR);
    takes_home(8.0 * JAR, &promises, "whole jars: crock", &want);
}

#[test]
fn turns_go_round() {
    // A jar each for three, and one jar a day: over three weeks each has had one, and
    // every pick-up was short.
    source("rotating priority, worked out");
    let shares = "herd shares: {members: [Ash, Box, Cedar], promise: 1 kg/week, pick-up days: [wed], when short: in turns}\n";
    let c = compile(&household(21, "amount: 1 kg", "", WIDE, 0.5, shares));
    trials(&c, 1, 1, |out, _| {
        for member in &out.traded.shares {
            near(member.kept, 1.0, 1e-9);
            near(member.fill(), 1.0 / 3.0, 1e-9);
        }
        near(f64::from(out.traded.short_pick_ups), 3.0, 0.0);
    });
}
