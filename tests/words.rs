//! The summary says the right numbers in plain words.

#[path = "words/house.rs"]
mod house;

use house::*;
use springhouse::report;
use springhouse::report::WishFact;
use springhouse::scenario::UnitSystem;
use springhouse::sim::outcome::{BLOCKS, Blocked};
use springhouse::study::results::{Band, Remedy, Summary};

#[test]
fn the_answer_comes_first_with_what_breaks_and_what_mends() {
    let text = house().flat();
    let lines: Vec<&str> = text.lines().filter(|l| !l.is_empty()).collect();
    assert_eq!(lines[0], "A first house cow: 1,000 simulated years, seed 7");
    assert_eq!(lines[1], "The plan does not hold: its one aim is not kept.");
    has(
        &text,
        &[
            "not kept: waste below 3 % in 19 of 20 years. It was so in 61 of 100 years",
            "95 of 100 were wanted",
            "worst first\n  - Waste: about 16 % (in 9 of 10 years between 8 and 19 %) of the milk fit for people; the largest cause: no room in the cold.",
            "Of every 100 gallons that come in, 34 are drunk, 20 are made into other food and eaten, 30 are fed to animals and 16 are wasted.",
            "\n  - The cold room is too full on about 41 days (in 9 of 10 years between 23 and 58 days), from the middle of May to the end of July.",
            "  - Butter: 84 % of what was wished was there; short on about 41 days (in 9 of 10 years between 0 and 70 days); all gone by the week of 3 January 2027 in half of the years.",
            "What would mend it\n  - Room for 9 more half-gallon jars in the cold: then every aim is kept.\n\nEach was run on the same luck for 300 simulated years.",
        ],
    );
}

#[test]
fn amounts_are_right_in_both_units() {
    let mut h = house();
    has(
        &h.flat(),
        &[
            "Drawn: about 612 gal (in 9 of 10 years between 540 and 690 gal).",
            "about 820 lb (in 9 of 10 years between 400 and 1,000 lb) were wasted, 16 % of the milk fit for people",
            "no room in the cold (80 of 100 parts) and soured before it was used (20 of 100 parts)",
            "Smell is no test of safety",
            "12 lb missing",
            "in the middle year 4 cu ft, in 9 of 10 years up to 5 cu ft, in 19 of 20 up to 6 cu ft",
            "in the middle year 29, in 9 of 10 years up to 34, in 19 of 20 up to 38; 20 fit.",
            "come down to 40 °F",
        ],
    );
    h.units = UnitSystem::Metric;
    // 612 US gallons are 2,317 L, shown with three figures; 820 lb are 372 kg.
    has(
        &h.flat(),
        &[
            "about 2,320 L",
            "about 372 kg",
            "in the middle year 113 L, in 9 of 10 years up to 142 L",
            "4.4 °C",
        ],
    );
}

#[test]
fn a_wish_that_is_never_served_is_told_as_such() {
    let mut h = house();
    for m in &mut h.result.measures {
        match m.name.as_str() {
            "butter_fill" => *m = fixed("butter_fill", "1", 0.0),
            "butter_short_days" => *m = fixed("butter_short_days", "days", 365.0),
            _ => {}
        }
    }
    has(&h.flat(), &["Butter: there is never any.", "Butter: never there."]);
}

#[test]
fn aims_not_kept_come_first_then_wants_by_how_much_is_missing() {
    let mut h = house();
    let wish = |name: &str| WishFact {
        name: name.into(),
        key: name.into(),
        density: None,
        from_day: 0,
        rests: false,
    };
    h.facts.wishes = vec![wish("kefir"), wish("yogurt"), wish("butter")];
    for (key, fill, days) in [("kefir", 0.97, 10.0), ("yogurt", 0.5, 100.0)] {
        h.result.measures.push(fixed(&format!("{key}_fill"), "1", fill));
        h.result.measures.push(fixed(&format!("{key}_short_days"), "days", days));
    }
    h.result.aims[0].aim = "butter at least 90 % in 19 of 20 years".into();
    h.result.aims[0].measure = "butter_fill".into();
    let text = h.flat();
    let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("missing {part:?} in:\n{text}"));
    let order = [
        "  - Butter: 84 % of what was wished was there",
        "  - Waste: about 16 %",
        "  - The cold room is too full",
        "  - Yogurt: 50 % of what was wished was there; short on 100 days.",
        "  - Kefir: 97 % of what was wished was there",
    ];
    assert!(order.map(at).is_sorted(), "{text}");
    // An aim of which nothing else speaks is told all the same.
    h.result.aims[0].aim = "dry weeks at least 40 % in 19 of 20 years".into();
    h.result.aims[0].measure = "milk_dry_fill".into();
    has(&h.flat(), &["worst first\n  - Not kept: dry weeks at least 40 %. There: 0 %."]);
}

#[test]
fn nothing_gives_way_only_where_nothing_does() {
    let mut h = house();
    h.result.aims = vec![aim(0.98, true, true, None)];
    h.result.rows.clear();
    for m in &mut h.result.measures {
        match m.name.as_str() {
            "wasted_part" => *m = fixed("wasted_part", "1", 0.02),
            "days_over_full" => *m = fixed("days_over_full", "days", 0.0),
            "butter_fill" => *m = fixed("butter_fill", "1", 0.985),
            _ => {}
        }
    }
    has(&h.flat(), &["Nothing gives way"]);
    for (name, x) in [("butter_fill", 0.97), ("wasted_part", 0.11)] {
        let mut h = House {
            result: h.result.clone(),
            names: h.names.clone(),
            facts: h.facts.clone(),
            units: h.units,
        };
        h.result.measures.iter_mut().filter(|m| m.name == name).for_each(|m| *m = fixed(name, "1", x));
        let text = h.flat();
        assert!(text.contains("What gives way") && !text.contains("Nothing gives way"), "{name}: {text}");
    }
}

#[test]
fn more_than_half_to_the_animals_is_said_plainly() {
    let mut h = house();
    h.result.fates =
        vec![fate("drunk", 0.2, 0.3), fate("fed_to_animals", 0.53, 0.2), fate("calf_on_dam", 0.2, 0.2)];
    has(
        &h.flat(),
        &["She gives far more than the table takes: 53 of every 100 gallons go to the animals. Of every 100"],
    );
    h.units = UnitSystem::Metric;
    h.facts.herd = 2;
    has(&h.flat(), &["They give far more than the table takes: 53 of every 100 litres go to the animals."]);
}

#[test]
fn seldom_is_fewer_than_1_of_10_and_dry_weeks_that_hardly_come_are_left_out() {
    let mut h = house();
    for (short, word) in [(1, false), (0, true)] {
        // One of ten years, then one of twenty.
        h.result.rows = (0..20).flat_map(|i| [if i <= short { 5.0 } else { 0.0 }, 30.0, 1.0, 1.0]).collect();
        for m in h.result.measures.iter_mut().filter(|m| m.name == "butter_short_days") {
            *m = Summary { max: 5.0, ..fixed("butter_short_days", "days", 0.0) };
        }
        assert_eq!(h.flat().contains("Seldom short: butter"), word, "{}", h.flat());
    }
    has(&h.flat(), &["Seldom short: butter (in 1 of 20 years)."]);
    for m in h.result.measures.iter_mut().filter(|m| m.name == "dry_days") {
        *m = Summary { max: 9.0, ..fixed("dry_days", "days", 0.0) };
    }
    assert!(!h.flat().to_lowercase().contains("dry weeks"), "{}", h.flat());
    for m in h.result.measures.iter_mut().filter(|m| m.name == "dry_days") {
        m.quantiles[4] = 9.0;
    }
    has(&h.flat(), &["There are no dry weeks in the middle year."]);
}

#[test]
fn what_nobody_wishes_in_dry_weeks_is_left_out() {
    let mut h = house();
    let set = |h: &mut House, q: [f64; 5]| {
        for m in h.result.measures.iter_mut().filter(|m| m.name == "butter_dry_fill") {
            *m = measure("butter_dry_fill", "1", q);
        }
    };
    // None in the middle year, all of it where none was wished: just none.
    set(&mut h, [0.0, 0.0, 0.0, 1.0, 1.0]);
    let text = h.flat();
    has(&text, &["none of the butter."]);
    assert!(!text.contains("none of the butter ("), "{text}");
    set(&mut h, [1.0; 5]);
    has(&h.flat(), &["100 % of the butter"]);
    h.facts.wishes[0].rests = true;
    assert!(!h.flat().contains("100 % of the butter"), "{}", h.flat());
}

#[test]
fn reasons_and_headings_say_what_is_meant() {
    let mut h = house();
    let text = h.flat();
    has(
        &text,
        &[
            "Waste by cause (middle of all years, each line by itself)",
            "What the table got (middle of all years)",
            "Every rule (mean of all years)",
            "Tried: Room for 9 more half-gallon jars in the cold: then every aim is kept.",
        ],
    );
    // A rule that waits for a stock to fall may find too much of it.
    h.facts.waits_for_less[1] = true;
    has(&h.flat(), &["make hard cheese. Held back most by: too little or too much in store"]);
    // Nothing fed, nothing made: neither is told.
    h.result.fates.retain(|f| f.fate != "fed_to_animals");
    h.result.measures.retain(|m| m.name != "kitchen_mean");
    has(&h.flat(), &["together: 1 h 10 min of chores (milking, straining, jars). The busiest"]);
}

#[test]
fn single_steps_are_told_before_two_together() {
    let mut h = house();
    let remedy = |words: &str, part: f64, mends: bool| Remedy {
        words: words.into(),
        met_parts: vec![part],
        mends,
        trials: 300,
    };
    h.result.remedies = vec![
        remedy("skimming every day, together with 4 more half-gallon jars", 0.97, true),
        remedy("skimming every day", 0.8, false),
        remedy("4 more half-gallon jars", 0.7, false),
    ];
    has(
        &h.flat(),
        &[
            "What would help, and what would mend it\n  - Skimming every day: waste below 3 % in 80 of 100 years, not 61.\n  - 4 more half-gallon jars: waste below 3 % in 70 of 100 years, not 61.\n  - Skimming every day, together with 4 more half-gallon jars: then every aim is kept.\n",
        ],
    );
}

#[test]
fn trouble_in_a_few_years_only_is_told_by_years() {
    let mut h = house();
    h.result.rows.chunks_exact_mut(4).skip(3).for_each(|row| row[1] = 0.0);
    for m in h.result.measures.iter_mut().filter(|m| m.name == "days_over_full") {
        m.quantiles = [0.0, 0.0, 0.0, 9.0, 17.0];
        m.min = 0.0;
    }
    has(
        &h.flat(),
        &[
            "The cold room is too full at some time in 3 of 10 years (in 1 of 20 years on 17 days or more), from",
        ],
    );
}

#[test]
fn jars_that_run_out_are_among_the_troubles() {
    let mut h = house();
    h.result.bands.push(Band { unit: "jars", ..band("jars_used", 30..=90, 36.0, 20.0) });
    h.result.columns[2] = "wasted_no_jar".into();
    for row in h.result.rows.chunks_exact_mut(4) {
        row[2] = 5.0;
    }
    has(
        &h.flat(),
        &["Clean jars run out now and then from the week of 1 May 2026 on", "for want of one in every year."],
    );
}

#[test]
fn what_ran_short_and_what_never_did() {
    has(
        &house().flat(),
        &[
            "Butter: short on about 41 days (0 to 70), 33 of them in a row; 84 % of what was wanted was there, 12 lb missing.",
            "Never short: milk for drinking.",
        ],
    );
}

#[test]
fn hands_dry_weeks_chilling_and_rules() {
    has(
        &house().flat(),
        &[
            "About 1 h 40 min (in 9 of 10 years between 1 h 30 min and 1 h 52 min) a day",
            "1 h 10 min of chores (milking, straining, jars, feeding) and 30 min in the kitchen, of the 45 min set aside",
            "The busiest day takes about 4 h",
            "none of the milk for drinking",
            "No animal gives milk for people on 60 days.",
            "50 % of the butter (all of it in 3 of 10 years)",
            "A milking takes 5.2 hours to come down to",
            "No milking meets the rule",
            "It binds licensed dairies",
            "Never worked: 2. make hard cheese. Held back most by: too little in store (on 40 days a year).",
        ],
    );
}

#[test]
fn an_aim_may_be_kept_open_or_not_kept() {
    let mut h = house();
    h.result.aims = vec![aim(0.98, true, true, None)];
    h.result.remedies.clear();
    let text = h.flat();
    has(&text, &["The plan holds: its one aim is kept.", "kept: waste below 3 %", "98 of 100 years"]);
    assert!(!text.contains("would mend") && !text.contains("would help"), "{text}");

    let mut h = house();
    h.result.remedies[0].mends = false;
    h.result.remedies[0].met_parts = vec![0.8];
    has(
        &h.flat(),
        &[
            "What would help, though nothing that was tried keeps every aim",
            "in the cold: waste below 3 % in 80 of 100 years, not 61.",
        ],
    );
    h.result.remedies[0].met_parts = vec![0.61];
    has(&h.flat(), &["Tried, and of no real help: room for 9 more"]);

    h.result.aims = vec![aim(0.955, true, false, Some(3000)), aim(0.99, true, true, None)];
    has(
        &h.flat(),
        &[
            "Whether the plan holds cannot be told yet: 1 of its 2 aims is too close to call.",
            "About 3,000 more simulated years would tell.",
        ],
    );

    h.result.aims =
        vec![aim(0.2, false, true, None), aim(0.3, false, true, None), aim(0.94, false, false, None)];
    has(&h.flat(), &["The plan does not hold: 2 of its 3 aims are not kept, and one cannot be told yet."]);

    h.result.aims.clear();
    has(&h.flat(), &["The scenario sets no aims"]);
}

#[test]
fn a_run_that_is_no_year_is_not_called_one() {
    let mut h = house();
    h.result.days = 730;
    let text = h.flat();
    has(&text, &["1,000 simulated runs of 24 months", "in 9 of 10 runs between", "the middle of May 2026"]);
    let told: Vec<&str> =
        text.lines().filter(|l| l.contains("year") && !l.contains("in 19 of 20 years")).collect();
    assert!(told.is_empty(), "{told:?}");
}

#[test]
fn one_is_one_and_not_many() {
    let mut h = house();
    for m in &mut h.result.measures {
        if m.name == "days_over_full" || m.name == "dry_days" {
            *m = fixed(&m.name, "days", 1.0);
        }
    }
    h.result.rules[1].blocked = [0.0; BLOCKS];
    h.result.rules[1].blocked[Blocked::Stock as usize] = 1.0;
    let text = h.flat();
    has(&text, &["too full on 1 day, ", "for people on 1 day.", "(on 1 day a year)"]);
    assert!(!text.contains(" 1 days"), "{text}");
}

#[test]
fn the_average_year_speaks_of_no_chance() {
    let mut h = house();
    h.result.steady = true;
    h.result.trials = 1;
    let text = h.flat();
    has(&text, &["A first house cow: the average year, no chance anywhere", "not kept in the average year"]);
    for word in ["9 of 10", "in 19 of 20 runs", "seed", "give or take"] {
        assert!(!text.contains(word), "{word}:\n{text}");
    }
}

#[test]
fn books_and_cautions_end_every_page() {
    let text = house().flat();
    has(&text, &["The books balance to 3e-13"]);
    let cautions = text.find("Cautions\n").expect("cautions");
    assert!(text[cautions..].contains("Raw milk can make people ill"));
    assert!(!text[cautions + 9..].contains("\n\n"), "nothing follows the cautions:\n{text}");
}

#[test]
fn no_line_is_wider_than_80_columns_and_no_jargon_is_used() {
    let mut h = house();
    h.names.title =
        "A very long title that goes on and on about a house, a cow, a cellar and a pig ".repeat(3);
    h.facts.wishes[0].name =
        "a wish with a name that is far longer than any table would like it to be".into();
    h.result.rules[0].rule =
        "skim what is oldest and rested, every monday, tuesday, wednesday and thursday".into();
    let text = h.text();
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line:?}");
    }
    let lower = text.to_lowercase();
    for word in lower.split(|c: char| !c.is_alphanumeric()) {
        let bad =
            ["percentile", "quantile", "median", "confidence", "trial", "trials", "closure", "nan", "inf"];
        assert!(!bad.contains(&word), "{word}");
    }
}

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
