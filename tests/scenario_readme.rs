//! The shipped scenarios compile without a warning, and every example of their README reads.

use std::fmt::Write as _;

use springhouse::diagnostics::Diagnostic;
use springhouse::scenario::{Compiled, compile, raw::Scenario};

fn read(what: &str, text: &str) {
    let read: Result<Scenario, _> = serde_yaml::from_str(text);
    assert!(read.is_ok(), "{what}: {}\n{text}", read.unwrap_err());
}

/// Compiles, or says everything that is wrong.
fn compiled(what: &str, text: &str) -> Compiled {
    compile(text.as_bytes()).unwrap_or_else(|found| {
        let mut all = String::new();
        for d in &found {
            let _ = writeln!(all, "{d:?}");
        }
        panic!("{what}:\n{all}")
    })
}

fn scenarios() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = std::fs::read_dir("scenarios")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "yaml"))
        .map(|path| (path.display().to_string(), std::fs::read_to_string(&path).unwrap()))
        .collect();
    all.sort();
    all
}

fn examples() -> Vec<String> {
    let readme = std::fs::read_to_string("scenarios/README.md").unwrap();
    let blocks = readme.split("```yaml\n").skip(1);
    blocks.map(|rest| rest.split("```").next().unwrap_or_default().to_owned()).collect()
}

#[test]
fn every_scenario_compiles_without_a_warning() {
    let all = scenarios();
    assert!(all.len() >= 4);
    for (what, text) in &all {
        let done = compiled(what, text);
        // The garage is about a fridge that is too warm, and is warned of it.
        let warm = |d: &Diagnostic| what.contains("hot-garage") && d.message.contains("too warm for milk");
        assert!(done.warnings.iter().all(warm), "{what}: {:#?}", done.warnings);
        assert!(!done.plan.days.is_empty() && !done.plan.aims.is_empty(), "{what}");
        assert!(!done.names.cautions.is_empty(), "{what}: every scenario has its cautions");
    }
}

#[test]
fn every_example_of_the_readme_reads() {
    let all = examples();
    assert!(all.len() >= 10);
    for (n, text) in all.iter().enumerate() {
        read(&format!("example {}", n + 1), text);
    }
}

#[test]
fn the_smallest_scenario_of_the_readme_compiles() {
    let all = examples();
    let smallest = all.iter().find(|t| t.contains("title: One Jersey")).expect("it is there");
    let done = compiled("the smallest scenario", smallest);
    assert_eq!(done.plan.animals.len(), 1);
}

#[test]
fn the_recipe_of_the_readme_compiles() {
    let all = examples();
    let smallest = all.iter().find(|t| t.contains("title: One Jersey")).expect("it is there");
    let recipe = all.iter().find(|t| t.contains("drained yogurt")).expect("it is there");
    let routine = "routine:\n  - {do: make, what: drained yogurt}\n  - {do: make, what: hard cheese}\n";
    compiled("the own recipe", &format!("{smallest}{recipe}{routine}"));
}

#[test]
fn the_first_cow_uses_every_part() {
    let all = scenarios();
    let (_, text) = all.iter().find(|(n, _)| n.ends_with("first-cow.yaml")).expect("it is there");
    let plan = compiled("first cow", text).plan;
    assert_eq!(plan.days.len(), 731, "24 months with a leap day");
    assert!(plan.animals[0].calf.is_some() && plan.animals[0].interval.is_some());
    assert!(plan.recipes.len() >= 9 && plan.household.wishes.len() >= 9);
    assert!(plan.outlets.len() >= 6 && plan.jars.len() == 3 && plan.places.len() >= 5);
    assert!(!plan.when_full.tonight.is_empty() && plan.when_full.tomorrow.len() == 1);
    assert!(plan.days.iter().any(|d| d.away));
}
