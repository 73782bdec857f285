//! Every scenario in the folder compiles, runs and closes its books.

mod common;

use std::fs;
use std::path::PathBuf;

use springhouse::study::{RunOptions, run};

fn all() -> Vec<(PathBuf, String)> {
    let dir = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut files: Vec<_> = fs::read_dir(dir)
        .expect("the scenarios")
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|x| x == "yaml"))
        .map(|p| (p.clone(), fs::read_to_string(p).expect("text")))
        .collect();
    files.sort();
    assert!(files.len() >= 4);
    files
}

#[test]
fn every_scenario_runs_and_says_something() {
    for (path, text) in all() {
        let c = common::compile(&text);
        let options = RunOptions { trials: 64, seed: 7, remedies: false, ..RunOptions::default() };
        let result = run(&c.plan, &c.names, &options, &|_, _| {}).unwrap_or_else(|e| panic!("{path:?}: {e}"));
        assert!(result.closure.mass < 1e-9 && result.closure.fat < 1e-9 && result.closure.protein < 1e-9);
        let part: f64 = result.fates.iter().map(|f| f.part).sum();
        assert!((part - 1.0).abs() < 1e-6, "{path:?}: where it went sums to {part}");
        assert!(!result.aims.is_empty(), "{path:?} has aims");
        assert!(!c.names.cautions.is_empty(), "{path:?} has cautions");
        for rule in &result.rules {
            let said: f64 = rule.blocked.iter().sum::<f64>() + rule.days_fired;
            assert!(said >= 0.0 && said.is_finite());
        }
        // The average year runs too.
        let steady = RunOptions { steady: true, ..options };
        run(&c.plan, &c.names, &steady, &|_, _| {}).unwrap_or_else(|e| panic!("{path:?}, average year: {e}"));
    }
}

#[test]
fn the_shipped_rules_work_now_and_then() {
    for (path, text) in all() {
        let c = common::compile(&text);
        let options = RunOptions { trials: 64, seed: 7, remedies: false, ..RunOptions::default() };
        let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
        let idle: Vec<&str> = result.rules[..c.plan.rules.len()]
            .iter()
            .filter(|r| r.fired == 0.0)
            .map(|r| r.rule.as_str())
            .collect();
        assert!(idle.is_empty(), "{path:?}: never fired: {idle:?}");
    }
}
