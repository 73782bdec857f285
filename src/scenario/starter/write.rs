//! The text of a starter scenario.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::yaml::{quoted, text};
use super::{Answers, BUTTER_KG, CHEESE_KG, CHEESE_MILK, Milk, Wish, YOGURT_L, Young};
use crate::calendar::{add_months, date_of};
use crate::dairy::Species;
use crate::scenario::names::UnitSystem;

/// Days before she freshens on which the run begins.
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

    fn routine(&self) -> String {
        let mut out = String::from(
            "# The routine is gone through from top to bottom, as far as the kitchen time goes.\nroutine:\n",
        );
        let empty = out.len();
        let vol = |l: f64| volume(self.units, l);
        if self.wishes(Wish::Butter) {
            self.butter(&mut out);
        }
        if self.wishes(Wish::Yogurt) {
            let batch = self.yogurt_l();
            let _ = writeln!(
                out,
                "  - {{do: make, what: yogurt, batch: {}, when: {{have: {{yogurt: under {}}}}}, at most: 2 per week}}",
                vol(batch),
                vol(batch / 2.0)
            );
        }
        if self.wishes(Wish::Cheese) {
            let batch = (self.cheese_kg() * CHEESE_MILK).max(1.5);
            let _ = writeln!(
                out,
                "  - {{do: make, what: fresh cheese, batch: {}, when: {{have: {{milk: at least {}, fresh cheese: under {}}}}}, at most: 2 per week}}",
                vol(batch),
                vol(batch * 1.5),
                mass(self.units, self.cheese_kg() / 2.0)
            );
        }
        if self.freezes_milk() {
            let most = (0.5 * self.drunk_l() * 60.0).min(50.0);
            let batch = most.min(8.0);
            let _ = writeln!(
                out,
                "  # For the dry weeks.\n  - {{do: make, what: frozen milk, batch: {}, days: [tue, thu, sat], when: {{to dry off: under 40 days, have: {{frozen milk: under {}}}}}}}",
                vol(batch),
                vol(most)
            );
        }
        if !self.takers.is_empty() {
            let fridge = if self.fridge.is_some() { "milk fridge" } else { "kitchen fridge" };
            let milk = if self.fetches() { 6 } else { 4 };
            out.push_str("  # What the table will not drink goes to the animals in good time.\n");
            // Without butter nothing is skimmed.
            let skimmed = self.wishes(Wish::Butter).then_some("skimmed milk");
            for what in skimmed.into_iter().chain(["whole milk"]) {
                let _ = writeln!(
                    out,
                    "  - {{do: feed, what: {what}, when: {{oldest: {{{what}: at least {milk} days}}}}}}"
                );
            }
            if !self.fetches() {
                let much = vol((self.given_l() / 1.5).max(1.0));
                for (what, full) in skimmed.map(|s| (s, 75)).into_iter().chain([("whole milk", 85)]) {
                    let _ = writeln!(
                        out,
                        "  - {{do: feed, what: {what}, how much: {much}, when: {{fullness: {{{fridge}: over {full} %}}}}}}"
                    );
                }
            }
        }
        if out.len() == empty {
            // Nothing is made and nobody takes the extra.
            out = "# Here goes what you do with the milk, such as\n#   - {do: skim, after: 24 h, leave: 3 % fat, days: [mon, thu]}\nroutine: []\n".into();
        }
        out
    }

    /// Cream and butter. Goat and sheep milk hardly cream in the jar.
    fn butter(&self, out: &mut String) {
        let kg = self.butter_kg();
        // A litre of cream gives some 0.4 kg (hand skimmed, about 35 % fat).
        let cream = kg / 0.4;
        let vol = |l: f64| volume(self.units, l);
        match self.milk {
            Milk::Own(Species::Goat | Species::Sheep) => {
                let _ = writeln!(
                    out,
                    "  # Goat and sheep milk hardly cream in the jar: this takes a small separator.
  - {{do: skim, with: separator, days: [mon, wed, fri, sat], when: {{have: {{cream: under {}}}}}}}",
                    vol((1.5 * cream).max(0.5))
                );
            }
            Milk::Own(Species::Cow) => {
                let _ = writeln!(
                    out,
                    "  # Richer than it sounds: shop milk has 3.25 % fat at the most.
  - {{do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, wed, fri], when: {{have: {{cream: under {}}}}}}}",
                    vol((2.0 * cream).max(2.5))
                );
            }
            Milk::Fetched => {
                let _ = writeln!(out, "  - {{do: skim, after: 24 h, leave: 2.5 % fat, days: [thu, fri]}}");
            }
            Milk::HerdShare => {
                let _ =
                    writeln!(out, "  - {{do: skim, after: 24 h, leave: 2.5 % fat, days: [thu, fri, mon]}}");
            }
        }
        // Butter keeps for months in a freezer, for weeks in a fridge.
        let weeks = if self.freezer.is_some() { 12.0 } else { 4.0 };
        let _ = writeln!(
            out,
            "  - {{do: make, what: butter, when: {{have: {{cream: at least {} or older than 5 days, butter: under {}}}}}, at most: 2 per week}}",
            vol((0.5 * cream).max(0.4)),
            mass(self.units, weeks * kg)
        );
        if self.freezer.is_some() && !self.fetches() {
            let _ = writeln!(
                out,
                "  - {{do: move, what: butter, to: freezer, days: [sat], when: {{have: {{butter: at least {}}}}}, keep back: {}}}",
                mass(self.units, 2.5 * kg),
                mass(self.units, kg)
            );
        }
    }

    fn full(&self) -> String {
        let mut tonight = Vec::new();
        if !self.takers.is_empty() {
            tonight.push("feed sour milk");
            tonight.extend(self.wishes(Wish::Cheese).then_some("feed whey"));
            tonight.extend(self.wishes(Wish::Butter).then_some("feed skimmed milk"));
            tonight.push("feed oldest milk");
        }
        tonight.extend(["pour out sour milk", "pour out oldest milk"]);
        let mut out = format!(
            "# When there is no more room: from the top until everything has a place.
when full:
  tonight: [{}]
",
            tonight.join(", ")
        );
        let fed = self.fed();
        if !fed.is_empty() {
            out.push_str("animals fed:\n");
            for line in fed {
                let _ = writeln!(out, "  {line}");
            }
        }
        out
    }

    /// Young on the bottle first, then who takes the extra.
    fn fed(&self) -> Vec<String> {
        let mut all = Vec::new();
        if let (Milk::Own(species), Young::Bottle) = (self.milk, self.young) {
            let (like, heads, months, weeks) = match species {
                Species::Cow => ("calf on the bottle", 1, 13, 10),
                Species::Goat | Species::Sheep => ("kid on the bottle", 2, 12, 8),
            };
            let (first, last) = (self.starts(), date_of(add_months(self.starts(), 13), -1));
            for (name, date) in self.herd() {
                for (n, born) in (0..3).map(|n| (n, add_months(date, n * months))) {
                    let (from, until) = (date_of(born, 4).max(first), date_of(born, 7 * weeks).min(last));
                    if from < until {
                        let born = if n == 0 { "young" } else { "next young" };
                        let whose = quoted(&format!("{name}, {born}"));
                        all.push(format!(
                            "{whose}: {{like: {like}, heads: {heads}, from: {from}, until: {until}}}"
                        ));
                    }
                }
            }
        }
        for taker in &self.takers {
            let heads = match taker.as_str() {
                // A pig takes 4.5 litres of milk a day (the preset's ceiling).
                "pigs" => (self.extra_l() / 4.5).ceil().clamp(1.0, 40.0),
                "hens" => 12.0,
                "garden" => 3.0,
                _ => 1.0,
            };
            let from = match taker.as_str() {
                "pigs" if !self.fetches() => format!(", from: {}", date_of(self.freshens, 8)),
                _ => String::new(),
            };
            all.push(format!("{}: {{heads: {heads}{from}}}", text_of(taker)));
        }
        all
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
