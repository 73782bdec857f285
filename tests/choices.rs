//! A scenario that asks a family to choose holds up for every choice: each block
//! that is commented out runs as it is, once swapped in.

mod common;

use springhouse::scenario::Compiled;
use springhouse::study::results::RunResult;
use springhouse::study::{RunOptions, run};

const TEXT: &str = include_str!("../scenarios/cow-or-does.yaml");
const MARK: &str = "# ---- ";

/// The scenario with choice `n` in use, as a family would change it: a `# ` before
/// each line of the others, none before its own.
fn choice(n: usize) -> String {
    let mut parts = TEXT.split(MARK);
    let mut out = parts.next().expect("what stands first").to_owned();
    for part in parts {
        let (head, body) = part.split_once('\n').expect("lines");
        out.push_str(&format!("{MARK}{head}\n"));
        let number: Option<usize> = head
            .strip_prefix("choice ")
            .and_then(|rest| rest.split(':').next())
            .map(|n| n.parse().expect("a number"));
        let lines = body.lines().filter(|line| number.is_none() || !line.is_empty());
        for line in lines {
            let commented = line.starts_with('#');
            match number {
                Some(1) if n != 1 => out.push_str(&format!("# {line}")),
                Some(k) if k == n && k != 1 => {
                    assert!(commented, "choice {k} is commented out as shipped: {line}");
                    out.push_str(line.strip_prefix("# ").expect("`# ` before the line"));
                }
                _ => out.push_str(line),
            }
            out.push('\n');
        }
    }
    out
}

fn answer(n: usize) -> (Compiled, RunResult) {
    let text = choice(n);
    let c = common::compile(&text);
    assert!(c.warnings.is_empty(), "choice {n}: {:#?}", c.warnings);
    let options = RunOptions { trials: 64, seed: 7, remedies: false, ..RunOptions::default() };
    let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    (c, result)
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
