//! A starter scenario of any answers passes its checks, runs, and is believable.

mod common;

use jiff::civil::Date;
use springhouse::scenario::starter::interview;
use springhouse::study::results::RunResult;
use springhouse::study::{RunOptions, run};

type Given = Vec<(&'static str, &'static str)>;

fn text(given: Given) -> String {
    match interview::<()>(given.clone(), Date::constant(2027, 4, 12), None) {
        Ok(a) => a.scenario(),
        Err(e) => panic!("{given:?}: {e:?}"),
    }
}

fn simulated(text: &str, trials: u32) -> RunResult {
    let c = common::compile(text);
    let options = RunOptions { trials, seed: 7, remedies: false, ..RunOptions::default() };
    run(&c.plan, &c.names, &options, &|_, _| {}).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// Some dozens of households: each breed, each word of each question, in both units.
fn households() -> Vec<Given> {
    let mut all: Vec<Given> = Vec::new();
    let milks: [(&'static str, &[&'static str]); 5] = [
        ("cow", &["jersey", "jersey on pasture", "holstein well fed", "low-input crossbred", "guernsey"]),
        ("goat", &["alpine", "saanen", "nubian", "nigerian dwarf"]),
        ("sheep", &["east friesian cross", "lacaune"]),
        ("fetched", &["cow milk", "goat milk", "sheep milk"]),
        ("herd share", &["jersey milk", "guernsey milk"]),
    ];
    for (milk, breeds) in milks {
        for &breed in breeds {
            for units in ["us", "metric"] {
                all.push(vec![("milk", milk), ("breed", breed), ("units", units)]);
            }
        }
        let more: [Given; 9] = [
            vec![("wishes", "none"), ("animals", "none")],
            vec![("wishes", "butter,cheese,yogurt"), ("freezer", "none")],
            vec![("wishes", "butter"), ("fridge", "none"), ("freezer", "chest freezer 15 cu ft")],
            vec![
                ("wishes", "cheese"),
                ("fridge", "old garage fridge 16 cu ft"),
                ("animals", "hens, dog, garden"),
            ],
            vec![("adults", "1"), ("children", "0"), ("kitchen-time", "none")],
            vec![("adults", "0"), ("children", "1"), ("units", "metric")],
            vec![("adults", "30"), ("children", "30"), ("kitchen-time", "12 h")],
            vec![("animals", "pigs"), ("kitchen-time", "1 h 30 min"), ("units", "metric")],
            vec![("title", "It's \"ours\": #1"), ("wishes", "yogurt, butter"), ("units", "metric")],
        ];
        all.extend(more.into_iter().map(|m| [vec![("milk", milk)], m].concat()));
        if milk == "fetched" || milk == "herd share" {
            all.extend(["1 qt", "20 L", "400 L"].map(|amount| vec![("milk", milk), ("amount", amount)]));
        } else {
            for calf in ["on her", "on the bottle", "gone"] {
                for number in ["1", "2", "5", "12"] {
                    all.push(vec![("milk", milk), ("calf", calf), ("number", number)]);
                }
            }
            for date in ["2024-02-29", "2027-12-31", "1990-01-01"] {
                all.push(vec![("milk", milk), ("freshens", date), ("calf", "on the bottle")]);
            }
        }
    }
    all
}

#[test]
fn every_household_passes_its_check_and_runs() {
    let all = households();
    assert!(all.len() > 100, "{}", all.len());
    for given in all {
        let text = text(given.clone());
        assert!(text.lines().all(|l| l.chars().count() <= 150), "{text}");
        let result = simulated(&text, 4);
        assert!(result.closure.mass < 1e-9, "{given:?}");
        assert!(!result.aims.is_empty(), "{given:?}");
    }
}

/// What a family would expect of the plain answers: the aims are within reach, each rule works.
#[test]
fn the_plain_answers_are_believable() {
    let all: [Given; 5] = [
        vec![],
        vec![("milk", "goat")],
        vec![("milk", "sheep")],
        vec![("milk", "fetched")],
        vec![("milk", "herd share")],
    ];
    for given in all {
        for units in ["us", "metric"] {
            let given = [given.clone(), vec![("units", units)]].concat();
            let result = simulated(&text(given.clone()), 200);
            for aim in &result.aims {
                assert!(aim.met_part > 0.5, "{given:?}: {} in {} of years", aim.aim, aim.met_part);
            }
            for rule in
                result.rules.iter().filter(|r| r.rule.starts_with("make") || r.rule.starts_with("skim"))
            {
                assert!(rule.fired > 1.0, "{given:?}: {} never works", rule.rule);
            }
            assert_eq!(common::compile(&text(given.clone())).warnings, [], "{given:?}");
        }
    }
}

/// Jersey, some grain: some 4,400 kg in a lactation (university course notes, Dairy
/// Production 342-450A), so a calf takes a tenth and the family of four a tenth.
#[test]
fn a_cow_gives_a_family_of_four_more_than_it_drinks() {
    let result = simulated(&text(vec![]), 200);
    let mean = |name: &str| result.measure(name).map_or(f64::NAN, |m| m.mean);
    let drawn = mean("milk_drawn");
    assert!((3000.0..4700.0).contains(&drawn), "{drawn} kg");
    let drunk = mean("drunk");
    assert!((350.0..700.0).contains(&drunk), "{drunk} kg");
}
