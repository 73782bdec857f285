//! The files beside the words.

use crate::house::*;
use springhouse::report;
use springhouse::study::results::Worsened;

#[test]
fn summary_json_has_the_promised_shape_and_order() {
    let mut h = house();
    h.result.measures[0].max = f64::NAN;
    let bytes = file(&h, "summary.json");
    let v: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
    assert_eq!(v["scenario"]["title"], "A first house cow");
    assert_eq!(v["scenario"]["file"], "first.yaml");
    assert_eq!(v["scenario"]["sha256"], "00ff");
    assert_eq!(
        (v["seed"].as_u64(), v["trials"].as_u64(), v["days"].as_u64()),
        (Some(7), Some(1000), Some(365))
    );
    assert_eq!(v["closure"]["mass"].as_f64(), Some(3e-13));
    let m = &v["measures"]["wasted_part"];
    assert_eq!(
        (m["unit"].as_str(), m["p50"].as_f64(), m["p95"].as_f64()),
        (Some("1"), Some(0.157), Some(0.19))
    );
    assert_eq!(m["quantile_ci95"]["p05"].as_array().map(Vec::len), Some(2));
    assert_eq!(m["mean_ci95"].as_array().map(Vec::len), Some(2));
    assert!(v["measures"]["milk_drawn"]["max"].is_null(), "only finite numbers");
    assert_eq!(v["fates"][0]["fate"], "drunk");
    assert_eq!(v["fates"][0]["part"].as_f64(), Some(0.34));
    assert_eq!(v["aims"][0]["met"], false);
    assert_eq!(v["aims"][0]["sure"], true);
    assert_eq!(v["rules"][1]["blocked"]["stock"].as_f64(), Some(40.0));
    let remedy = &v["remedies"][0];
    assert_eq!(remedy["aims"][0], h.result.aims[0].aim.as_str());
    assert_eq!((remedy["met_parts"][0].as_f64(), remedy["base_parts"][0].as_f64()), (Some(0.97), Some(0.61)));
    assert_eq!(remedy["worsens"].as_array().map(Vec::len), Some(0));
    assert!(v["cautions"].as_array().is_some_and(|c| !c.is_empty()));
    let text = String::from_utf8(bytes).unwrap();
    let order = [
        "\"springhouse\"",
        "\"scenario\"",
        "\"seed\"",
        "\"trials\"",
        "\"days\"",
        "\"closure\"",
        "\"measures\"",
        "\"fates\"",
        "\"aims\"",
        "\"rules\"",
        "\"cautions\"",
    ];
    let places: Vec<usize> = order.iter().map(|k| text.find(k).unwrap_or_else(|| panic!("{k}"))).collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn csv_files_hold_what_they_say_and_no_formulas() {
    let mut h = house();
    h.result.rules[0].rule = "=cmd, \"quoted\"\nand more".into();
    assert_eq!(report::FILES, ["summary.json", "days.csv", "trials.csv", "flows.csv", "rules.csv"]);
    let read = |name: &str| -> Vec<Vec<String>> {
        let bytes = file(&h, name);
        csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes.as_slice())
            .records()
            .map(|r| r.unwrap().iter().map(String::from).collect())
            .collect()
    };
    let days = read("days.csv");
    assert_eq!(days.len(), 366);
    assert_eq!(days[45][..3], ["44", "2026-05-15", "0.6"]);
    let trials = read("trials.csv");
    assert_eq!(trials.len(), 11);
    assert_eq!(trials[0][1], "butter_short_days");
    assert_eq!(trials[1], ["0", "41", "30", "1", "0.5"]);
    assert_eq!(read("flows.csv")[1][0], "drunk");
    let rules = read("rules.csv");
    assert_eq!(rules[1][0], "'=cmd, \"quoted\"\nand more");
    assert_eq!(rules[0][4], "blocked_day");
}

#[test]
fn summary_json_says_what_a_remedy_makes_worse() {
    let mut h = house();
    h.result.remedies[0].worsens = vec![Worsened { aim: 0, without: 0.9, with: 0.5, broken: true }];
    let v: serde_json::Value = serde_json::from_slice(&file(&h, "summary.json")).unwrap();
    let worse = &v["remedies"][0]["worsens"][0];
    assert_eq!(worse["aim"], h.result.aims[0].aim.as_str());
    assert_eq!((worse["base_part"].as_f64(), worse["met_part"].as_f64()), (Some(0.9), Some(0.5)));
    assert_eq!(worse["broken"], true);
}

/// No interval is null, not one of no width.
#[test]
fn one_trial_has_null_for_an_interval() {
    let mut h = house();
    h.result.measures[0].mean_ci95 = None;
    h.result.measures[0].quantile_ci95 = [None; 5];
    h.result.steady = true;
    let v: serde_json::Value = serde_json::from_slice(&file(&h, "summary.json")).unwrap();
    let m = &v["measures"]["milk_drawn"];
    assert!(m["mean_ci95"].is_null() && m["quantile_ci95"]["p50"].is_null() && m["mean"].is_number());
    assert!(v["aims"][0]["met_part_ci95"].is_null(), "no chance, no doubt");
}
