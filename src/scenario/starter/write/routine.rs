//! What a starter does with the milk: the routine, the list for a full fridge,
//! and who is fed.

use std::fmt::Write as _;

use super::super::yaml::quoted;
use super::super::{Answers, CHEESE_MILK, Milk, Wish, Young};
use super::{mass, text_of, volume};
use crate::calendar::{add_months, date_of};
use crate::dairy::Species;

impl Answers {
    pub(super) fn routine(&self) -> String {
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

    pub(super) fn full(&self) -> String {
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
}
