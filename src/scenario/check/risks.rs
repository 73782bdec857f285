//! Keeping life, mishaps and losses on the way.

use super::{
    super::{
        plan::{KeepingPlan, LossPlan},
        raw::{Risks, Text},
    },
    Known,
    context::{Ctx, under},
};
use crate::units::{Frequency, MilkAmount};

/// The cleanliness of a family that says nothing.
const USUAL: &str = "ordinary";

/// Compiles risks; the name of the cleanliness comes with them.
pub(super) fn risks(c: &mut Ctx, known: &Known, raw: &Option<Risks>) -> (KeepingPlan, LossPlan, String) {
    let own = raw.clone().unwrap_or_default();
    let name = own.cleanliness.clone().unwrap_or_else(|| Text(USUAL.into()));
    let preset = c.preset("risks.cleanliness", "cleanliness", &name, &known.library.cleanliness);
    let r = preset.map_or_else(|| own.clone(), |p| own.over(p));
    let p = |key: &str| under("risks", key);
    let life = c.within(&p("stays sweet"), &r.stays_sweet, 0.5..=60.0, "a time from 12 h to 60 days");
    let cv = c.within(&p("give or take"), &r.give_or_take, 0.0..=1.0, "a part up to 100 %");
    let spells = c.within::<Frequency>(&p("foul spells"), &r.foul_spells, 0.0..=1.0, "at most one a day");
    let spell = c.within(&p("a spell lasts"), &r.a_spell_lasts, 0.1..=365.0, "a time up to 1 year");
    let first = c.within(&p("first weeks"), &r.first_weeks, 0.0..=366.0, "a time up to 1 year");
    let factor = c.number(&p("spells at first"), &r.spells_at_first, 0.0..=50.0);
    let spill = c.within(&p("kicked pail"), &r.kicked_pail, 0.0..=0.5, "a chance up to 50 %").unwrap_or(0.0);
    let early =
        c.within(&p("kicked pail at first"), &r.kicked_pail_at_first, 0.0..=0.5, "a chance up to 50 %");
    let sour = c.within::<MilkAmount>(
        &p("sour milk kept"),
        &r.sour_milk_kept,
        0.0..=10_000.0,
        "an amount up to 10000 kg",
    );
    let keeping = KeepingPlan {
        life_days: life.unwrap_or(8.5),
        life_log_sd: super::log_sd(cv.unwrap_or(0.0)),
        spell_rate: spells.unwrap_or(0.0),
        spell_early_factor: factor.unwrap_or(1.0),
        spell_early_days: first.unwrap_or(0.0).round() as u32,
        spell_days: spell.unwrap_or(4.0),
        spell_foul: c.read(&p("foul in a spell"), &r.foul_in_a_spell).unwrap_or(0.0),
        foul_life_part: c
            .within(&p("foul shows after"), &r.foul_shows_after, 0.01..=1.0, "a part from 1 to 100 %")
            .unwrap_or(0.4),
        spill,
        spill_early: early.unwrap_or(spill).max(spill),
        sour_cap_kg: sour.unwrap_or(8.0),
    };
    let losses = LossPlan {
        strainer: c.within(&p("strainer"), &r.strainer, 0.0..=0.2, "a part up to 20 %").unwrap_or(0.01),
        jar_kg: c.within(&p("jar film"), &r.jar_film, 0.0..=0.2, "a mass up to 200 g").unwrap_or(0.005),
    };
    (keeping, losses, name.get().to_owned())
}
