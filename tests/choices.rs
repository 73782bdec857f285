//! A scenario that asks a family to choose holds up for every choice, and the choices
//! differ as its head says.

mod common;

use springhouse::scenario::{Compiled, Draft};
use springhouse::study::results::RunResult;
use springhouse::study::{RunOptions, run};

const TEXT: &str = include_str!("../scenarios/cow-or-does.yaml");
/// In the order of the file; the first is the plan as it is.
const CHOICES: [Option<&str>; 4] =
    [None, Some("two does"), Some("half a cow with a neighbour"), Some("a share of another herd")];

fn answer(n: usize) -> (Compiled, RunResult) {
    let draft = Draft::read(TEXT.as_bytes()).expect("reads");
    let c = match CHOICES[n - 1] {
        None => draft.base(),
        Some(name) => draft.variant(name),
    }
    .expect("a choice of the file");
    assert!(c.warnings.is_empty(), "choice {n}: {:#?}", c.warnings);
    let options = RunOptions { trials: 64, seed: 7, remedies: false, ..RunOptions::default() };
    let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    (c, result)
}

#[test]
fn the_file_has_these_choices() {
    let draft = Draft::read(TEXT.as_bytes()).expect("reads");
    let named: Vec<&str> = draft.variants().collect();
    assert_eq!(named, CHOICES.iter().flatten().copied().collect::<Vec<_>>());
}

#[test]
fn every_choice_runs_and_every_rule_works_now_and_then() {
    for n in 1..=4 {
        let (c, result) = answer(n);
        assert_eq!(c.plan.animals.len(), [1, 2, 1, 0][n - 1], "choice {n}");
        assert!(result.closure.mass < 1e-9 && result.closure.fat < 1e-9);
        let idle: Vec<&str> = result.rules[..c.plan.rules.len()]
            .iter()
            .filter(|r| r.fired == 0.0)
            .map(|r| r.rule.as_str())
            .collect();
        assert!(idle.is_empty(), "choice {n}: never fired: {idle:?}");
    }
}

/// What the head of the file says of the four.
#[test]
fn the_choices_differ_as_the_file_says() {
    let all: Vec<(Compiled, RunResult)> = (1..=4).map(answer).collect();
    let mean = |n: usize, name: &str| all[n - 1].1.measure(name).expect("a measure").mean;
    // One animal is dry for two months, two take turns.
    assert!(mean(2, "milk_short_days") < 0.5 * mean(1, "milk_short_days"));
    assert!(mean(2, "milk_short_days") < 0.5 * mean(3, "milk_short_days"));
    assert!(mean(2, "milk_short_days") < 0.5 * mean(4, "milk_short_days"));
    // Half a cow is half a cow, with what her calf drinks.
    let suckled = all[0].1.fates.iter().find(|f| f.fate == "calf_on_dam").expect("a fate").milk_kg;
    let half = mean(3, "milk_drawn") / (mean(1, "milk_drawn") + suckled);
    assert!((half - 0.5).abs() < 0.03, "{half}");
    // A cow gives far more than they use, goats and half a cow less so.
    let fed = |n: usize| mean(n, "fed_to_animals");
    assert!(fed(1) > 1.5 * fed(3) && fed(3) > 1.5 * fed(2), "{} {} {}", fed(1), fed(3), fed(2));
    // The butter: the cow's is enough, a share's is not.
    assert!(mean(1, "butter_fill") > 0.9 && mean(4, "butter_fill") < 0.75);
    assert!(mean(2, "butter_fill") < mean(3, "butter_fill"));
    // Nobody milks a share.
    assert!(mean(4, "hands_used") < 0.5 * mean(2, "hands_used"));
}
