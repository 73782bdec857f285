//! The text of a starter scenario.

mod routine;

use std::fmt::Write as _;

use jiff::civil::Date;

use super::yaml::text;
use super::{Answers, BUTTER_KG, CHEESE_KG, Milk, Wish, YOGURT_L, Young};
use crate::calendar::{add_months, date_of};
use crate::dairy::Species;
use crate::scenario::names::UnitSystem;

/// Days before she freshens on which the run begins (our default).
const BEFORE: i64 = 11;

/// What more animals are called.
const NAMES: [&str; 13] = [
    "Daisy", "Clover", "Hazel", "Juniper", "Bramble", "Tansy", "Sorrel", "Willow", "Heather", "Rowan",
    "Fern", "Olive", "Ivy",
];

impl Answers {
    /// The scenario, with comments. It passes its checks unless a name or a date
    /// of the answers does not.
    #[must_use]
    pub fn scenario(&self) -> String {
        let parts = [
            self.head(),
            self.milk(),
            self.household(),
            self.rooms(),
            self.routine(),
            self.full(),
            self.aims(),
        ];
        parts.join("\n")
    }

    fn us(&self) -> bool {
        self.units == UnitSystem::Us
    }

    fn starts(&self) -> Date {
        date_of(self.freshens, -BEFORE)
    }

    fn head(&self) -> String {
        let (title, starts) = (text(&self.title), self.starts());
        let units = if self.us() { "us" } else { "metric" };
        let lasts = match self.milk {
            Milk::Own(_) => "13 months              # her milk and her dry weeks",
            Milk::Fetched | Milk::HerdShare => "12 months",
        };
        format!(
            "# A starter scenario: change what differs in your house, then
#   springhouse check THIS-FILE     says what was understood
#   springhouse run THIS-FILE       says what will happen
# Every quantity carries its unit as you would write it: 1.5 gal, 4 L, 38 °F,
# 2 lb/week, 75 min. `springhouse list` shows the breeds, jars, stores, people
# and recipes that may be named here, each figure with its source.
title: {title}
starts: {starts}            # the first simulated day
lasts: {lasts}
units: {units}                     # us or metric: only for what is shown
"
        )
    }

    fn milk(&self) -> String {
        match self.milk {
            Milk::Own(species) => self.animals(species),
            Milk::Fetched => self.fetched("the dairy", &["wed"], ""),
            Milk::HerdShare => self.fetched(
                "our share",
                &["wed", "sat"],
                "# A share of someone else's herd. Whether and how milk may be shared is for the
# law where you live to say: ask your local authority, and ask how the animals are
# tested and the milk is chilled.
",
            ),
        }
    }

    fn animals(&self, species: Species) -> String {
        let months: i32 = if species == Species::Cow { 13 } else { 12 };
        let again = if species == Species::Cow { "3 weeks" } else { "2 weeks" };
        let full_ration = super::breeds(species).iter().any(|b| b.name == self.breed && b.full_ration);
        let mut out = String::from("animals:\n");
        for (n, (name, date)) in self.herd().into_iter().enumerate() {
            let _ = writeln!(out, "  - name: {}", text(&name));
            let _ = writeln!(out, "    breed: {}", text(&self.breed));
            let first = n == 0;
            let note = |words: &'static str| if first { words } else { "" };
            let _ = writeln!(out, "    lactation: 2{}", note("              # her second young"));
            if full_ration {
                let _ = writeln!(
                    out,
                    "    feed: some grain{}",
                    note("          # grass only, some grain or full ration")
                );
            }
            if first {
                let _ = writeln!(out, "    freshens: {date} give or take 6 days");
            } else {
                let _ = writeln!(out, "    freshens: {date}      # so that they are not all dry at once");
            }
            let _ = writeln!(out, "    freshens again: after {months} months give or take {again}");
            let _ = writeln!(out, "    dry off: 60 days before{}", note("   # before she freshens again"));
            let _ = writeln!(out, "    milked: twice a day");
            if self.young == Young::OnHer {
                let weeks = if species == Species::Cow { 10 } else { 8 };
                let _ = writeln!(
                    out,
                    "    calf: {{full time until: 2 weeks, shut in overnight until: {weeks} weeks}}"
                );
            }
        }
        out
    }

    /// Names and freshening dates; the later ones freshened earlier, spread over a
    /// year, so that they are not all dry at once.
    fn herd(&self) -> Vec<(String, Date)> {
        let others =
            NAMES.iter().filter(|n| !n.eq_ignore_ascii_case(self.name.trim())).map(|n| (*n).to_owned());
        let apart = 12 / self.number.max(1);
        std::iter::once(self.name.clone())
            .chain(others)
            .zip(0..self.number)
            .map(|(name, n)| (name, add_months(self.freshens, -i32::try_from(n * apart).unwrap_or(0))))
            .collect()
    }

    fn fetched(&self, name: &str, days: &[&str], note: &str) -> String {
        let each = self.fetched_l / days.len() as f64;
        format!(
            "{note}milk fetched:
  - name: {name}
    like: {}
    amount: {} give or take 5 %   # each time
    days: [{}]
    age on arrival: 1 day
    fails: 2 %                # a forgotten order, snow
    takes: 30 min             # there and back
",
            text(&self.breed),
            exact(self.units, each),
            days.join(", ")
        )
    }

    fn household(&self) -> String {
        let people: Vec<String> =
            self.kinds().iter().filter(|(_, n)| *n > 0).map(|(k, n)| format!("{k}: {n}")).collect();
        let mut out = format!(
            "household:
  people: {{{}}}   # see: springhouse list people
",
            people.join(", ")
        );
        if !self.wishes.is_empty() {
            out.push_str("  wants:\n");
        }
        let from = date_of(if self.fetches() { self.starts() } else { self.freshens }, 28);
        if self.wishes(Wish::Butter) {
            let _ = writeln!(
                out,
                "    butter: {{at least: {}/week, from: {from}}}",
                mass(self.units, self.butter_kg())
            );
        }
        if self.wishes(Wish::Cheese) {
            let _ = writeln!(
                out,
                "    fresh cheese: {{at least: {}/week, from: {from}}}",
                mass(self.units, self.cheese_kg())
            );
        }
        if self.wishes(Wish::Yogurt) {
            let _ = writeln!(out, "    yogurt: {}/week", volume(self.units, self.yogurt_l()));
        }
        // Minutes of a Saturday: four weekdays' worth, at most four hours.
        let saturday = (4.0 * self.kitchen_min).min(240.0).max(self.kitchen_min);
        let _ = writeln!(
            out,
            "  # Kitchen time is for skimming and making; milking and washing up come besides.
  kitchen time: {{weekdays: {}, sat: {}, sun: none}}",
            minutes(self.kitchen_min),
            minutes(saturday)
        );
        if self.freezes_milk() {
            out.push_str(
                "  thawed milk: half           # in the dry weeks, mixed with fresh or bought milk\n",
            );
        }
        out
    }

    fn rooms(&self) -> String {
        let mut out = String::from(
            "# Measure your shelves if you can: `shelves: 3 of 24 in x 14 in x 11 in` (width x
# depth x clear height) is better than a preset.
stores:
  kitchen fridge: {like: top-freezer 18 cu ft, other food takes: half}
",
        );
        if let Some(fridge) = &self.fridge {
            let _ = writeln!(out, "  milk fridge: {{like: {}}}", text_of(fridge));
        }
        if let Some(freezer) = &self.freezer {
            let _ = writeln!(out, "  freezer: {{like: {}, other food takes: half}}", text_of(freezer));
        }
        let (large, small, holds) =
            if self.us() { ("half gallon", "quart", 1.9) } else { ("2 litre", "1 litre", 2.0) };
        // The milk of five good days, and what is in the wash.
        let good_day = if self.fetches() { self.given_l() * 1.5 } else { self.given_l() * 1.4 };
        let jars = (5.0 * good_day / holds / 2.0).ceil().clamp(4.0, 150.0) * 2.0;
        let _ = writeln!(out, "jars: {{{large}: {jars}, {small}: 12}}");
        out
    }

    fn aims(&self) -> String {
        let milk = match (self.milk, self.number) {
            // She is dry for two months of thirteen.
            (Milk::Own(Species::Cow), 1) => 80,
            // Goats and ewes give for a shorter time.
            (Milk::Own(Species::Goat), n) => {
                if n == 1 {
                    70
                } else {
                    85
                }
            }
            (Milk::Own(Species::Sheep), n) => {
                if n == 1 {
                    50
                } else {
                    75
                }
            }
            _ => 90,
        };
        let mut out = String::from(
            "# What you would call good. A year here is one run of the scenario.
aims:
",
        );
        let waste = if self.takers.is_empty() { "   # nobody takes the extra" } else { "" };
        let _ = writeln!(out, "  - {{measure: waste, below: 10 %, in: 9 of 10 years}}{waste}");
        let _ = writeln!(out, "  - {{measure: milk on the table, at least: {milk} %, in: 9 of 10 years}}");
        let wishes = [(Wish::Butter, "butter"), (Wish::Cheese, "fresh cheese"), (Wish::Yogurt, "yogurt")];
        for (wish, name) in wishes {
            if self.wishes(wish) {
                let _ = writeln!(out, "  - {{measure: {name}, at least: 70 %, in: 9 of 10 years}}");
            }
        }
        out
    }

    /// One animal is dry some weeks, and there is a freezer to bridge them.
    fn freezes_milk(&self) -> bool {
        self.number == 1 && self.freezer.is_some()
    }

    /// What the milk can give beside the table, at most what is liked; kg a week.
    fn butter_kg(&self) -> f64 {
        let skimmed_l = if self.fetches() { self.fetched_l } else { 7.0 * self.given_l() };
        // A hand skim of milk of 3.8 % to 2.5 % gives some 15 g of butter a litre; not
        // every litre is skimmed.
        (BUTTER_KG * self.people()).min(0.012 * skimmed_l)
    }

    fn cheese_kg(&self) -> f64 {
        CHEESE_KG * self.people()
    }

    fn yogurt_l(&self) -> f64 {
        YOGURT_L * self.people()
    }
}

/// The name of a preset, which may hold figures (`all-fridge 10 cu ft`).
fn text_of(preset: &str) -> String {
    preset.to_owned()
}

/// To the nearest step, at least one of it.
fn step(value: f64, step: f64) -> f64 {
    (value / step).round().max(1.0) * step
}

/// A round volume in the family's units.
pub(super) fn volume(units: UnitSystem, litres: f64) -> String {
    // NIST Handbook 44, appendix C.
    const GALLON: f64 = 3.785_411_784;
    match units {
        UnitSystem::Metric if litres >= 2.0 => format!("{} L", step(litres, 0.5)),
        UnitSystem::Metric => format!("{} ml", step(litres * 1000.0, 100.0)),
        UnitSystem::Us if litres >= 0.95 * GALLON => format!("{} gal", step(litres / GALLON, 0.5)),
        UnitSystem::Us if litres >= 0.7 => format!("{} qt", step(litres * 4.0 / GALLON, 0.5)),
        UnitSystem::Us => format!("{} cups", step(litres * 16.0 / GALLON, 0.5)),
    }
}

/// A volume as it was given, to a hundredth.
fn exact(units: UnitSystem, litres: f64) -> String {
    let (value, unit) = if units == UnitSystem::Us { (litres / 3.785_411_784, "gal") } else { (litres, "L") };
    format!("{} {unit}", (value * 100.0).round().max(1.0) / 100.0)
}

/// A round mass in the family's units.
fn mass(units: UnitSystem, kg: f64) -> String {
    // NIST Handbook 44, appendix C.
    const POUND: f64 = 0.453_592_37;
    match units {
        UnitSystem::Metric if kg >= 2.0 => format!("{} kg", step(kg, 0.5)),
        UnitSystem::Metric => format!("{} g", step(kg * 1000.0, 50.0)),
        UnitSystem::Us if kg >= POUND => format!("{} lb", step(kg / POUND, 0.5)),
        UnitSystem::Us => format!("{} oz", step(kg / POUND * 16.0, 1.0)),
    }
}

fn minutes(min: f64) -> String {
    let min = min.round();
    match min {
        0.0 => "none".into(),
        m if m >= 120.0 && m % 60.0 == 0.0 => format!("{} h", m / 60.0),
        m => format!("{m} min"),
    }
}
