//! The summary says the right numbers in plain words.

use springhouse::report::{self, Facts, JarFact, Subject, WishFact};
use springhouse::scenario::{Names, UnitSystem};
use springhouse::sim::outcome::{BLOCKS, Blocked, Closure};
use springhouse::study::results::{AimResult, Band, FateMean, Remedy, RuleMean, RunResult, Summary};

/// Kilograms of milk in a US gallon.
const GAL: f64 = 3.785_411_784 * springhouse::units::MILK_KG_PER_L;
/// Kilograms in a pound.
const LB: f64 = 0.453_592_37;

fn measure(name: &str, unit: &'static str, q: [f64; 5]) -> Summary {
    Summary {
        name: name.into(),
        unit,
        mean: q[2],
        mean_ci95: [q[2] * 0.98, q[2] * 1.02],
        quantiles: q,
        quantile_ci95: q.map(|x| [x * 0.97, x * 1.03]),
        min: q[0],
        max: q[4],
    }
}

/// A measure that is the same in every year.
fn fixed(name: &str, unit: &'static str, x: f64) -> Summary {
    measure(name, unit, [x; 5])
}

fn fate(fate: &'static str, part: f64, fat_part: f64) -> FateMean {
    FateMean {
        fate,
        milk_kg: part * 1000.0 * GAL,
        mass_kg: part * 1000.0 * GAL,
        fat_kg: fat_part * 100.0,
        part,
        fat_part,
    }
}

fn rule(words: &str, fired: f64, blocked: &[(Blocked, f64)]) -> RuleMean {
    let mut b = [0.0; BLOCKS];
    for (reason, n) in blocked {
        b[*reason as usize] = *n;
    }
    RuleMean { rule: words.into(), fired, days_fired: fired, blocked: b, kg: fired }
}

fn aim(met_part: f64, met: bool, sure: bool, more: Option<u32>) -> AimResult {
    AimResult {
        aim: "waste below 3 % in 19 of 20 years".into(),
        measure: "wasted_part".into(),
        met_part,
        met_part_ci95: [met_part - 0.03, (met_part + 0.03).min(1.0)],
        wanted_part: 0.95,
        met,
        sure,
        more_trials: more,
    }
}

/// Days 44 to 121 of a year from 1 April: the middle of May to the end of July.
fn band(name: &str, on: std::ops::RangeInclusive<usize>, inside: f64, outside: f64) -> Band {
    let days = (0..365).map(|d| [if on.contains(&d) { inside } else { outside }; 6]).collect();
    Band { name: name.into(), unit: "1", days }
}

struct House {
    result: RunResult,
    names: Names,
    facts: Facts,
    units: UnitSystem,
}

impl House {
    fn text(&self) -> String {
        self.page_at(80)
    }

    fn page_at(&self, width: usize) -> String {
        report::page(&self.subject()).text(width)
    }

    /// The page on one line, so that wrapping splits no sentence.
    fn flat(&self) -> String {
        self.page_at(100_000)
    }

    fn subject(&self) -> Subject<'_> {
        Subject {
            result: &self.result,
            names: &self.names,
            facts: &self.facts,
            units: self.units,
            file: "first.yaml",
            sha256: "00ff",
        }
    }
}

fn house() -> House {
    let measures = vec![
        measure("milk_drawn", "kg", [540.0, 560.0, 612.0, 670.0, 690.0].map(|g| g * GAL)),
        fixed("milk_withheld", "kg", 8.0 * GAL),
        measure("made_into_products", "kg", [100.0, 110.0, 200.0, 250.0, 260.0].map(|g| g * GAL)),
        measure("wasted", "kg", [400.0, 450.0, 820.0, 990.0, 1000.0].map(|l| l * LB)),
        measure("wasted_no_room", "kg", [300.0, 350.0, 656.0, 700.0, 800.0].map(|l| l * LB)),
        measure("wasted_soured", "kg", [100.0, 100.0, 164.0, 180.0, 200.0].map(|l| l * LB)),
        measure("wasted_part", "1", [0.08, 0.09, 0.157, 0.18, 0.19]),
        fixed("milk_fill", "1", 1.0),
        fixed("milk_short_days", "days", 0.0),
        measure("butter_fill", "1", [0.7, 0.75, 0.84, 0.9, 0.92]),
        measure("butter_short_days", "days", [0.0, 0.0, 41.0, 60.0, 70.0]),
        measure("butter_longest_gap", "days", [0.0, 0.0, 33.0, 50.0, 60.0]),
        measure("butter_short", "kg", [0.0, 0.0, 12.0 * LB, 20.0 * LB, 22.0 * LB]),
        measure("cold_room_wanted", "L", [80.0, 90.0, 113.267, 141.584, 169.901]),
        measure("cold_room_used", "L", [80.0, 85.0, 90.0, 90.0, 90.0]),
        measure("jars_wanted", "jars", [20.0, 22.0, 29.0, 34.0, 38.0]),
        measure("jars_used", "jars", [20.0, 22.0, 30.0, 36.0, 36.0]),
        measure("days_over_full", "days", [23.0, 25.0, 41.0, 55.0, 58.0]),
        measure("hands_mean", "min/day", [90.0, 92.0, 100.0, 110.0, 112.0]),
        measure("hands_busiest", "min/day", [200.0, 210.0, 240.0, 260.0, 270.0]),
        fixed("chores_mean", "min/day", 70.0),
        fixed("kitchen_mean", "min/day", 30.0),
        fixed("chill_hours", "h", 5.2),
        fixed("chill_late_part", "1", 1.0),
        fixed("dry_days", "days", 60.0),
        fixed("milk_dry_fill", "1", 0.0),
        measure("butter_dry_fill", "1", [0.2, 0.3, 0.5, 1.0, 1.0]),
    ];
    // Ten trials are enough for "in 7 of 10 years".
    let columns = vec![
        "butter_short_days".into(),
        "days_over_full".into(),
        "wasted_soured".into(),
        "butter_dry_fill".into(),
    ];
    let rows =
        (0..10).flat_map(|i| if i < 7 { [41.0, 30.0, 1.0, 0.5] } else { [0.0, 30.0, 1.0, 1.0] }).collect();
    House {
        result: RunResult {
            trials: 1000,
            seed: 7,
            days: 365,
            steady: false,
            closure: Closure { mass: 3e-13, fat: 1e-13, protein: 2e-13 },
            measures,
            fates: vec![
                fate("drunk", 0.34, 0.3),
                fate("eaten", 0.2, 0.4),
                fate("fed_to_animals", 0.3, 0.1),
                fate("wasted_no_room", 0.128, 0.16),
                fate("wasted_soured", 0.032, 0.04),
            ],
            aims: vec![aim(0.61, false, true, None)],
            rules: vec![
                rule("skim, mon and thu", 104.0, &[(Blocked::Day, 261.0)]),
                rule(
                    "make hard cheese",
                    0.0,
                    &[(Blocked::Day, 313.0), (Blocked::Stock, 40.0), (Blocked::Minutes, 12.0)],
                ),
            ],
            bands: vec![band("over_full", 44..=121, 0.6, 0.0), band("butter_stock", 0..=276, 1.0, 0.0)],
            columns,
            rows,
            remedies: vec![Remedy {
                words: "room for 9 more half-gallon jars in the cold".into(),
                met_parts: vec![0.97],
                mends: true,
                trials: 300,
            }],
            precision: None,
            middle_trial: (17, "wasted_part".into()),
        },
        names: Names {
            title: "A first house cow".into(),
            first_day: "2026-04-01".into(),
            cautions: vec![
                "Raw milk can make people ill; what is lawful where you live is for local law.".into(),
            ],
            ..Names::default()
        },
        facts: Facts {
            animals: true,
            fetches: false,
            people: 4,
            cold_l: 90.0,
            cold_other_l: 30.0,
            cold_jars: 20.0,
            freezer_l: 0.0,
            ageing_l: 0.0,
            jars: vec![
                JarFact { name: "half gallon".into(), count: 24, working_l: 1.8 },
                JarFact { name: "quart".into(), count: 12, working_l: 0.9 },
            ],
            wishes: vec![WishFact {
                name: "butter".into(),
                key: "butter".into(),
                density: None,
                from_day: 0,
            }],
            routine: 2,
            kitchen_minutes: 45.0,
        },
        units: UnitSystem::Us,
    }
}

fn file(house: &House, name: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    report::write_file(&house.subject(), name, &mut bytes).unwrap();
    bytes
}

fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "missing {part:?} in:\n{text}");
    }
}

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
            "first things first\n  - The cold room is too full on about 41 days (in 9 of 10 years between 23 and 58 days), from the middle of May to the end of July.",
            "The butter is gone by the week of 3 January 2027 in half of the years.",
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
            "4 cu ft in the middle year; 5 cu ft is enough in 9 of 10 years, 6 cu ft in 19 of 20",
            "29 in the middle year; 34 is enough in 9 of 10 years, 38 in 19 of 20; 20 fit.",
            "come down to 40 °F",
        ],
    );
    h.units = UnitSystem::Metric;
    // 612 US gallons are 2,317 L, shown with three figures; 820 lb are 372 kg.
    has(&h.flat(), &["about 2,320 L", "about 372 kg", "113 L in the middle year; 142 L", "4.4 °C"]);
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
    has(&h.flat(), &["There is never any butter.", "Butter: never there."]);
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
            "Never worked: make hard cheese. Held back most by: amount in store (on 40 days a year).",
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
            "What would help, though nothing tried here mends it alone",
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
    for word in ["9 of 10", "in 19 of 20 runs", "is enough", "seed", "give or take"] {
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
