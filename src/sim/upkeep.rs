//! What happens to what is there: spoiling, putting away, pouring out, jars, room.

use super::Luck;
use super::larder::{CRUMB, Choice, Parcel};
use super::ledger::fate_of;
use super::outcome::Fate;
use super::trial::Trial;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{ItemId, WasteCause};

/// What was thrown out as it stood, by item, since the trial began: the books know
/// only how much of all items together, and whoever looks on wants to tell of which.
#[derive(Debug)]
pub(super) struct Thrown {
    /// After an outage.
    pub outage: Vec<Matter>,
    /// Found foul before anyone opened it.
    pub foul: Vec<Matter>,
}

impl Thrown {
    pub(super) fn new(items: usize) -> Self {
        Self { outage: vec![Matter::NONE; items], foul: vec![Matter::NONE; items] }
    }

    pub(super) fn reset(&mut self) {
        self.outage.fill(Matter::NONE);
        self.foul.fill(Matter::NONE);
    }
}

impl Trial<'_> {
    /// What has reached the end of its life since yesterday; ageing that is done.
    pub(super) fn spoil(&mut self) {
        self.settle();
        while let Some((item, place, lot)) = self.larder.next_due() {
            if lot.foul && !lot.turned {
                self.larder.turn_foul(item, place, lot);
                continue;
            }
            if lot.turned {
                self.larder.empty_jars(&lot);
                self.thrown.foul[item.at()] += lot.matter;
                self.found_foul(lot.matter);
                continue;
            }
            let plan = &self.plan.items[item.at()];
            if let Some(next) = plan.turns_into {
                self.larder.become_item(next, place, lot);
                continue;
            }
            self.larder.empty_jars(&lot);
            // Past its time for people: animals that take it first.
            let to_animals = self.appetite(item).min(lot.matter.mass);
            let mut left = lot.matter;
            if to_animals > CRUMB && plan.byproduct {
                let fed = lot.matter * (to_animals / lot.matter.mass);
                self.serve_animals(item, fed);
                left -= fed;
            }
            self.throw_out(item, left, None);
        }
    }

    /// What has become ready to eat; ageing takes its water.
    pub(super) fn settle(&mut self) {
        if self.larder.something_is_ready() {
            let lost = self.larder.settle();
            self.ledger.went(Fate::AgeingLoss, lost);
        }
    }

    /// Puts a parcel away; what finds no clean jar is fed or wasted.
    pub(super) fn put_away(&mut self, parcel: &Parcel) {
        let left = self.larder.put(parcel);
        if left.mass > 0.0 {
            let fed = self.appetite(parcel.item).min(left.mass);
            let part = left * (fed / left.mass);
            self.serve_animals(parcel.item, part);
            self.throw_out(parcel.item, left - part, Some(WasteCause::NoJar));
        }
    }

    /// Foul milk found on opening a jar.
    pub(super) fn found_foul(&mut self, matter: Matter) {
        if matter.mass > 0.0 {
            self.ledger.went(Fate::WastedFoul, matter);
        }
    }

    /// Books matter that leaves the house unused.
    pub(super) fn throw_out(&mut self, item: ItemId, matter: Matter, cause: Option<WasteCause>) {
        let plan = &self.plan.items[item.at()];
        let fate =
            if plan.byproduct { Fate::ByproductPoured } else { fate_of(cause.unwrap_or(plan.spoils_as)) };
        self.ledger.went(fate, matter);
    }

    /// Pours out up to `kg` of an item, oldest first; returns the kg poured.
    pub(super) fn pour_out(
        &mut self,
        item: ItemId,
        kg: f64,
        choice: Choice,
        cause: Option<WasteCause>,
    ) -> f64 {
        let (food, foul) = self.larder.serve(item, kg, choice);
        self.found_foul(foul);
        self.throw_out(item, food, cause);
        food.mass + foul.mass
    }

    /// Washing up before the evening milking; jars may break.
    pub(super) fn wash_up(&mut self, luck: &Luck) {
        if self.info.away {
            return;
        }
        let (washed, hazard) = self.larder.wash();
        self.today.chore_minutes += self.plan.household.jar_minutes * f64::from(washed);
        if !self.plan.outlets.is_empty() && self.today.fed > CRUMB {
            self.today.chore_minutes += self.plan.household.feeding_minutes;
        }
        if luck.steady {
            return;
        }
        self.break_hazard += hazard;
        while self.break_next < luck.jar_breaks.len() && self.break_hazard >= luck.jar_breaks[self.break_next]
        {
            self.break_hazard -= luck.jar_breaks[self.break_next];
            self.break_next += 1;
            self.out.jars_broken += u32::from(self.larder.break_jar());
        }
    }

    /// Room wanted, before any list has acted.
    pub(super) fn note_room(&mut self) {
        let used = self.larder.cold_used_l();
        let unplaced = if self.larder.has_unplaced() { self.larder.unplaced_l() } else { 0.0 };
        self.today.cold_wanted = self.today.cold_wanted.max(used + unplaced);
        self.today.jars_wanted = self.today.jars_wanted.max(self.larder.jars_wanted());
        self.note_used(used);
    }

    /// Room used.
    pub(super) fn note_used(&mut self, cold_l: f64) {
        self.today.cold_used = self.today.cold_used.max(cold_l);
        self.today.jars_used = self.today.jars_used.max(self.larder.jars_in_use());
    }
}
