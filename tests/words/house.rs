//! An invented house with hand-made results.

use springhouse::report::{self, Facts, JarFact, Subject, WishFact};
use springhouse::scenario::{Names, UnitSystem};
use springhouse::sim::outcome::{BLOCKS, Blocked, Closure};
use springhouse::study::results::{AimResult, Band, FateMean, Remedy, RuleMean, RunResult, Summary};

/// Kilograms of milk in a US gallon.
pub const GAL: f64 = 3.785_411_784 * springhouse::units::MILK_KG_PER_L;
/// Kilograms in a pound.
pub const LB: f64 = 0.453_592_37;

pub fn measure(name: &str, unit: &'static str, q: [f64; 5]) -> Summary {
    Summary {
        name: name.into(),
        unit,
        mean: q[2],
        mean_ci95: Some([q[2] * 0.98, q[2] * 1.02]),
        quantiles: q,
        quantile_ci95: q.map(|x| Some([x * 0.97, x * 1.03])),
        min: q[0],
        max: q[4],
    }
}

/// A measure that is the same in every year.
pub fn fixed(name: &str, unit: &'static str, x: f64) -> Summary {
    measure(name, unit, [x; 5])
}

pub fn fate(fate: &'static str, part: f64, fat_part: f64) -> FateMean {
    FateMean {
        fate,
        milk_kg: part * 1000.0 * GAL,
        mass_kg: part * 1000.0 * GAL,
        fat_kg: fat_part * 100.0,
        part,
        fat_part,
    }
}

pub fn rule(words: &str, fired: f64, blocked: &[(Blocked, f64)]) -> RuleMean {
    let mut b = [0.0; BLOCKS];
    for (reason, n) in blocked {
        b[*reason as usize] = *n;
    }
    RuleMean { rule: words.into(), fired, days_fired: fired, blocked: b, kg: fired }
}

pub fn aim(met_part: f64, met: bool, sure: bool, more: Option<u32>) -> AimResult {
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
pub fn band(name: &str, on: std::ops::RangeInclusive<usize>, inside: f64, outside: f64) -> Band {
    let days = (0..365).map(|d| [if on.contains(&d) { inside } else { outside }; 6]).collect();
    Band { name: name.into(), unit: "1", days }
}

pub struct House {
    pub result: RunResult,
    pub names: Names,
    pub facts: Facts,
    pub units: UnitSystem,
}

impl House {
    pub fn text(&self) -> String {
        self.page_at(80)
    }

    pub fn page_at(&self, width: usize) -> String {
        report::page(&self.subject()).text(width)
    }

    /// The page on one line, so that wrapping splits no sentence.
    pub fn flat(&self) -> String {
        self.page_at(100_000)
    }

    pub fn subject(&self) -> Subject<'_> {
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

pub fn house() -> House {
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
        measure("hands_used", "min/day", [90.0, 92.0, 100.0, 110.0, 112.0]),
        measure("hands_used_busiest", "min/day", [200.0, 210.0, 240.0, 260.0, 270.0]),
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
            putting_up: vec![],
            remedies: vec![Remedy {
                words: "room for 9 more half-gallon jars in the cold".into(),
                met_parts: vec![0.97],
                base_parts: vec![0.61],
                worsens: vec![],
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
            herd: 1,
            young: Some(springhouse::dairy::Species::Cow),
            fetches: false,
            trades_milk: [false; 3],
            drinks_kg: 0.0,
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
                rests: false,
            }],
            routine: 2,
            waits_for_less: vec![false; 2],
            kitchen_minutes: 45.0,
        },
        units: UnitSystem::Us,
    }
}

pub fn file(house: &House, name: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    report::write_file(&house.subject(), name, &mut bytes).unwrap();
    bytes
}

pub fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "missing {part:?} in:\n{text}");
    }
}
