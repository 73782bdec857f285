//! The two lists for a full cold room.

use super::{
    super::{
        plan::{Action, FullStep, WhenFullPlan},
        raw::{self, Text},
    },
    context::{Ctx, entry},
    routine::{World, animal, needs_calf},
};
use crate::units::Duration;

/// The two lists for a full cold room.
pub(super) fn when_full(c: &mut Ctx, w: &World, raw: &Option<raw::WhenFull>) -> WhenFullPlan {
    let mut plan = WhenFullPlan::default();
    let Some(raw) = raw else {
        // What families do unasked: sour milk and by-products go first, then
        // the oldest milk; poured out last.
        plan.tonight = usual_tonight();
        return plan;
    };
    for (i, t) in raw.tonight.iter().flatten().enumerate() {
        let at = entry("when full.tonight", i);
        let words = t.get();
        let (feed, rest) = match (words.strip_prefix("feed "), words.strip_prefix("pour out ")) {
            (Some(rest), _) => (true, rest),
            (_, Some(rest)) => (false, rest),
            _ => {
                c.error(&at, format!("`{words}` is not understood"), "write `feed ITEM` or `pour out ITEM`");
                continue;
            }
        };
        let Some(ids) = w.items.find(c, &at, rest.trim()) else { continue };
        // Asked twice, an item would find the same animals sated.
        for id in ids {
            let step = if feed { FullStep::Feed(id) } else { FullStep::PourOut(id) };
            if !plan.tonight.contains(&step) {
                plan.tonight.push(step);
            }
        }
    }
    for (i, t) in raw.from_tomorrow.iter().flatten().enumerate() {
        let at = entry("when full.from tomorrow", i);
        plan.tomorrow.extend(tomorrow(c, w, &at, t.get()));
    }
    plan
}

fn usual_tonight() -> Vec<FullStep> {
    use super::super::plan::fixed::{SKIMMED, SOUR_MILK, WHOLE};
    let order = [SOUR_MILK, SKIMMED, WHOLE];
    order.iter().map(|i| FullStep::Feed(*i)).chain(order.iter().map(|i| FullStep::PourOut(*i))).collect()
}

/// `leave the calf on Clover for 3 days`, `milk Clover once a day for 7 days`.
fn tomorrow(c: &mut Ctx, w: &World, at: &str, words: &str) -> Option<Action> {
    const HELP: &str = "write `leave the calf on Clover for 3 days` or `milk Clover once a day for 7 days`";
    let (body, days) = match words.split_once(" for ") {
        Some((body, time)) => (body, c.words::<Duration>(at, time)?.round()),
        None => (words, 3.0),
    };
    if !(1.0..=366.0).contains(&days) {
        c.error(at, "this takes too short or too long a time", HELP);
        return None;
    }
    let days = days as u16;
    let named = |name: &str| (!name.trim().is_empty()).then(|| Text(name.trim().to_owned()));
    if let Some(name) = body.strip_prefix("leave the calf on") {
        let (animal, who) = animal(c, w, at, at, &named(name))?;
        return needs_calf(c, w, at, usize::from(animal), &who).then_some(Action::CalfOn { animal, days });
    }
    if let Some(name) = body.strip_prefix("milk ").and_then(|b| b.strip_suffix("once a day")) {
        let (animal, _) = animal(c, w, at, at, &named(name))?;
        return Some(Action::OnceADay { animal, days });
    }
    c.error(at, format!("`{words}` is not understood"), HELP);
    None
}
