//! Same seed, same result to the bit, whatever the number of threads; and a
//! change moves only what it should.

mod common;

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use springhouse::sim::outcome::DayMeasure;

const FIRST_COW: &str = include_str!("../scenarios/first-cow.yaml");

fn run(out: &Path, threads: &str, trials: &str, seed: &str) {
    Command::cargo_bin("springhouse")
        .expect("the binary")
        .args(["run", "scenarios/first-cow.yaml", "--quiet", "--threads", threads, "--trials", trials])
        .args(["--seed", seed, "--out"])
        .arg(out)
        .assert()
        .success();
}

fn bytes(dir: &Path, file: &str) -> Vec<u8> {
    fs::read(dir.join(file)).unwrap_or_else(|e| panic!("{file}: {e}"))
}

#[test]
fn any_number_of_threads_gives_the_same_bytes() {
    let dir = tempfile::tempdir().expect("a folder");
    let files = ["summary.json", "days.csv", "trials.csv", "flows.csv", "rules.csv"];
    let base = dir.path().join("t1");
    run(&base, "1", "130", "5");
    for threads in ["2", "3", "8"] {
        let other = dir.path().join(format!("t{threads}"));
        run(&other, threads, "130", "5");
        for f in files {
            assert!(bytes(&base, f) == bytes(&other, f), "{f} differs with {threads} threads");
        }
    }
}

#[test]
fn a_hundred_trials_are_the_first_of_a_thousand() {
    let dir = tempfile::tempdir().expect("a folder");
    let (few, many) = (dir.path().join("few"), dir.path().join("many"));
    run(&few, "2", "100", "5");
    run(&many, "2", "1000", "5");
    let lines = |d: &Path| -> Vec<String> {
        String::from_utf8(bytes(d, "trials.csv")).expect("text").lines().map(str::to_owned).collect()
    };
    let (few, many) = (lines(&few), lines(&many));
    assert_eq!(few.len(), 101);
    assert_eq!(few[..], many[..101]);
}

#[test]
fn another_seed_gives_other_years() {
    let dir = tempfile::tempdir().expect("a folder");
    let (a, b) = (dir.path().join("a"), dir.path().join("b"));
    run(&a, "2", "20", "5");
    run(&b, "2", "20", "6");
    assert_ne!(bytes(&a, "trials.csv"), bytes(&b, "trials.csv"));
}

/// First cow without the list that reaches from the fridge to the cow.
fn without_tomorrow() -> String {
    let mut out = String::new();
    for line in FIRST_COW.lines().filter(|l| !l.trim_start().starts_with("from tomorrow:")) {
        out.push_str(line);
        out.push('\n');
    }
    assert_ne!(out.len(), FIRST_COW.len() + 1);
    out
}

#[test]
fn another_fridge_changes_no_yield() {
    let base = without_tomorrow();
    let small = base.replace(
        "  porch fridge: {like: all-fridge 10 cu ft}",
        "  porch fridge: {like: mini fridge 3 cu ft}",
    );
    assert_ne!(base, small);
    let (a, b) = (common::compile(&base), common::compile(&small));
    for n in 0..10 {
        let ((oa, la), (ob, lb)) = (common::trial(&a, 1, Some(n)), common::trial(&b, 1, Some(n)));
        assert_ne!(oa.cold_wanted_l.to_bits(), ob.cold_wanted_l.to_bits(), "the fridge matters");
        for d in 0..la.days {
            for m in [DayMeasure::Drawn, DayMeasure::DrinkWanted] {
                assert_eq!(la.get(d, m).to_bits(), lb.get(d, m).to_bits(), "day {d}");
            }
        }
    }
}

#[test]
fn another_person_changes_no_one_elses_drinking() {
    let base = without_tomorrow();
    let more = base.replace("child 4 to 8: 2", "child 4 to 8: 2, man 51 to 70: 1");
    assert_ne!(base, more);
    let (a, b) = (common::compile(&base), common::compile(&more));
    let extra = b.names.people.iter().position(|p| p.starts_with("man 51 to 70")).expect("the new one");
    let extra = &b.plan.household.people[extra];
    let most = extra.mean_kg * extra.spread.passed_on(0.0);
    let (mut silent, mut days) = (0, 0);
    for n in 0..4 {
        let ((_, la), (_, lb)) = (common::trial(&a, 1, Some(n)), common::trial(&b, 1, Some(n)));
        for d in 0..la.days {
            let gap =
                f64::from(lb.get(d, DayMeasure::DrinkWanted)) - f64::from(la.get(d, DayMeasure::DrinkWanted));
            assert!(gap > -1e-6 && gap < most + 1e-6, "day {d}: {gap}");
            days += 1;
            silent += u32::from(gap.abs() < 1e-6);
            assert_eq!(la.get(d, DayMeasure::Drawn).to_bits(), lb.get(d, DayMeasure::Drawn).to_bits());
        }
    }
    assert!(silent > 0 && silent < days / 2, "{silent} of {days}: some days without, most with");
}

#[test]
fn the_order_of_lists_without_order_changes_nothing() {
    let base = without_tomorrow();
    let other = base.replace(
        "{man 31 to 50: 1, woman 31 to 50: 1, child 4 to 8: 2, girl 14 to 18: 1}",
        "{girl 14 to 18: 1, child 4 to 8: 2, woman 31 to 50: 1, man 31 to 50: 1}",
    );
    assert_ne!(base, other);
    let (a, b) = (common::compile(&base), common::compile(&other));
    for n in 0..5 {
        let ((oa, _), (ob, _)) = (common::trial(&a, 1, Some(n)), common::trial(&b, 1, Some(n)));
        let (x, y) = (oa.wants[0], ob.wants[0]);
        assert!(
            (x.wanted - y.wanted).abs() < 1e-9 * x.wanted && (x.served - y.served).abs() < 1e-9 * x.served
        );
        assert_eq!(x.short_days, y.short_days);
    }
}

#[test]
fn a_year_is_the_beginning_of_two() {
    let two = without_tomorrow();
    let one = two.replace("lasts: 24 months", "lasts: 12 months");
    let (a, b) = (common::compile(&one), common::compile(&two));
    for n in 0..5 {
        let ((_, la), (_, lb)) = (common::trial(&a, 1, Some(n)), common::trial(&b, 1, Some(n)));
        assert_eq!(la.measures, lb.measures);
        assert_eq!(la.data[..], lb.data[..la.data.len()]);
    }
}
