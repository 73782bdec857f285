//! Everything below the answer.

use crate::house::*;
use springhouse::report::{self, Facts, Subject};
use springhouse::scenario::{self, UnitSystem};
use springhouse::sim::outcome::{BLOCKS, Blocked};
use springhouse::study::results::Summary;
use springhouse::study::{RunOptions, run};

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

/// After a single year with chance nothing is known of how sure it is.
#[test]
fn one_year_has_no_give_or_take() {
    let mut h = house();
    h.result.trials = 1;
    for m in &mut h.result.measures {
        *m = Summary { mean_ci95: None, quantile_ci95: [None; 5], ..fixed(&m.name, m.unit, m.quantiles[2]) };
    }
    let text = h.text();
    let line = text.lines().find(|l| l.starts_with(" no room in the cold ")).expect("a row");
    let cells: Vec<&str> = line.split_whitespace().skip(5).collect();
    // Middle, nothing, 9 of 10, any in.
    assert_eq!(cells[..2], ["656", "656"], "{line}");
    assert!(!text.contains("in 9 of 10 years between"), "{text}");
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

/// A wish may be called what drinking milk is called in the files: each is told
/// by its own figures.
#[test]
fn a_wish_named_milk_is_told_by_its_own_figures() {
    let given = vec![("wishes", "cheese")];
    let day = jiff::civil::Date::constant(2027, 4, 12);
    let text = scenario::starter::interview::<()>(given, day, None)
        .expect("answers")
        .scenario()
        .replace("    fresh cheese: {at least: 8 oz/week", "    milk: {at least: 2 gal/week")
        .replace("{measure: fresh cheese,", "{measure: milk,");
    let c = scenario::compile(text.as_bytes()).expect("a valid scenario");
    assert_eq!(c.names.wishes[0], "milk");
    let options = RunOptions { trials: 20, remedies: false, ..RunOptions::default() };
    let result = run(&c.plan, &c.names, &options, &|_, _| {}).expect("runs");
    let facts = Facts::of(&c.plan, &c.names);
    assert_eq!(facts.wishes[0].key, "milk_2");
    let short = |name: &str| result.measure(name).map(|m| format!("{:.0}", m.quantiles[2]));
    let (drinking, wish) = (short("milk_short_days"), short("milk_2_short_days"));
    assert!(drinking.is_some() && wish.is_some() && drinking != wish);
    let subject = Subject {
        result: &result,
        names: &c.names,
        facts: &facts,
        units: c.names.units,
        file: "",
        sha256: "",
    };
    let page = report::page(&subject).text(80);
    let table = page.split("What the table got").nth(1).expect("the table");
    let row = |name: &str| {
        let line = table.lines().find(|l| l.starts_with(&format!(" {name}  "))).expect("a row");
        // Part there with its sign, then the days short.
        line[name.len() + 1..].split_whitespace().nth(2).map(str::to_owned)
    };
    assert_eq!((row("milk for drinking"), row("milk")), (drinking, wish), "{page}");
}

#[test]
fn waste_of_fat_is_told_where_it_is_more_than_that_of_milk() {
    let mut h = house();
    let text = h.flat();
    assert!(!text.contains("of its fat"), "{text}");
    h.result.measures.push(measure("wasted_fat_part", "1", [0.15, 0.2, 0.283, 0.3, 0.35]));
    has(
        &h.flat(),
        &[
            "were wasted, 16 % of the milk fit for people (in 9 of 10 years between 8 and 19 %), and 28 % of its fat \
             (in 9 of 10 years between 15 and 35 %).",
            "of the milk fit for people, and 28 % of its fat; the largest cause: no room in the cold",
        ],
    );
    // Little milk, much of its cream: it is one of the troubles, with what lost the fat.
    for m in &mut h.result.measures {
        if m.name == "wasted_part" {
            *m = fixed("wasted_part", "1", 0.02);
        }
    }
    h.result.aims.clear();
    for f in h.result.fates.iter_mut().filter(|f| f.fate == "wasted_soured") {
        f.fat_kg = 100.0;
    }
    has(
        &h.flat(),
        &[
            "of the fat of the milk fit for people, and 2 % of the milk; the largest cause: soured before it was used",
        ],
    );
}
