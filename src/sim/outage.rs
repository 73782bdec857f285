//! Power outages, and the ice of the bath.
//!
//! While the power is out a fridge warms with all that it holds, and comes back
//! when it returns; what that costs is charged to the clocks of its places. A
//! freezer thaws by how full it is.

use super::Luck;
use super::larder::SLACK;
use super::trial::Trial;
use crate::dairy::cooling::{
    ADVISED_H, MARK_4C, Stretch, WRAPPED_KJ_PER_L_K, come_back, freezer_hours, warm_up,
};
use crate::dairy::density::{MILK_KJ_PER_KG_K, milk_kg_per_l};
use crate::dairy::keeping::{REFERENCE_C, keep_rate, sweet_rate};
use crate::scenario::plan::{MachinePlan, PlaceId, PlaceKind, WasteCause};

/// A store that has no steady temperature at the moment.
#[derive(Clone, Copy, Debug, Default)]
struct Adrift {
    /// It is away from its set temperature.
    off: bool,
    /// Fridge: its temperature, °C. Freezer: how far it has thawed, 1 = wholly.
    state: f64,
    /// Fridge: hours above the mark of the public advice.
    above_h: f64,
}

/// Power and ice in a trial.
#[derive(Debug, Default)]
pub(super) struct Power {
    /// Ice in store, kg.
    pub ice_kg: f64,
    hazard: f64,
    next: usize,
    /// The latest outage, from and until, days.
    from: f64,
    until: f64,
    /// It is out, will be today, or some store is not back yet.
    busy: bool,
    out_today_h: f64,
    stores: Vec<Adrift>,
}

impl Power {
    pub(super) fn new(machines: usize) -> Self {
        Self { stores: vec![Adrift::default(); machines], ..Self::default() }
    }

    /// For a new trial; keeps the buffers.
    pub(super) fn reset(&mut self, ice_kg: f64) {
        let mut stores = std::mem::take(&mut self.stores);
        stores.fill(Adrift::default());
        *self = Self { ice_kg, stores, ..Self::default() };
    }

    /// Whether the power is out at a time (days).
    pub(super) fn is_out(&self, now: f64) -> bool {
        self.busy && self.from <= now && now < self.until
    }
}

impl Trial<'_> {
    /// Ice made since yesterday; outages that begin today.
    pub(super) fn dawn_of_power(&mut self, luck: &Luck) {
        let plan = self.plan;
        let power = &mut self.power;
        if let Some(ice) = plan.cold.soak.as_ref().and_then(|s| s.ice.as_ref()) {
            let made = ice.made_kg * (1.0 - power.out_today_h / 24.0).max(0.0);
            if self.day > 0 {
                power.ice_kg = (power.ice_kg + made).min(ice.kept_kg);
            }
        }
        power.out_today_h = 0.0;
        let Some(outages) = plan.cold.outages else { return };
        if luck.steady {
            return;
        }
        let mut before = power.hazard;
        power.hazard += outages.rate;
        while let Some(&[gap, length]) = luck.outages[power.next..].first_chunk::<2>() {
            if power.hazard < gap {
                break;
            }
            // The hour of the day follows from where the hazard passes.
            let at = f64::from(self.day) + ((gap - before) / outages.rate).clamp(0.0, 1.0);
            let days = outages.hours * length / 24.0;
            if at < power.until {
                power.until += days;
            } else if power.until > f64::from(self.day) {
                // A second one of the same day goes on from the first.
                power.until = power.until.max(at) + days;
            } else {
                (power.from, power.until) = (at, at + days);
            }
            power.busy = true;
            self.out.outages += 1;
            power.hazard -= gap;
            before = 0.0;
            power.next += 2;
        }
    }

    /// Lets time pass until `to` (days), without power where there is none.
    pub(super) fn pass(&mut self, to: f64) {
        let from = self.larder.now;
        self.larder.advance(to);
        if self.power.busy && to > from {
            self.adrift(from, to);
        }
    }

    fn adrift(&mut self, from: f64, to: f64) {
        let plan = self.plan;
        let (fails, returns) = (self.power.from.clamp(from, to), self.power.until.clamp(from, to));
        let legs = [(fails - from, false), (returns - fails, true), (to - returns, false)];
        let legs = legs.map(|(days, out)| (24.0 * days, out));
        self.out.outage_hours += legs[1].0;
        self.power.out_today_h += legs[1].0;
        let mut adrift = false;
        for (store, machine) in plan.cold.machines.iter().enumerate() {
            let Some(machine) = machine else { continue };
            if machine.freezer {
                self.thaw(store, machine, legs);
            } else {
                self.warm(store, machine, legs);
            }
            adrift |= self.power.stores[store].off;
        }
        self.power.busy = adrift || self.power.until > to;
    }

    /// A fridge over some stretches of time, each with power or without.
    fn warm(&mut self, store: usize, machine: &MachinePlan, legs: [(f64, bool); 3]) {
        let month = usize::from(self.info.month);
        let (set_c, room_c) = (machine.set_c[month], machine.room_c[month]);
        let kj_k = self.kj_in(store, machine);
        let mark_c = MARK_4C.max(set_c + 1.0);
        let mut s = self.power.stores[store];
        let mut beyond = 0.0;
        for (hours, out) in legs {
            if hours <= 0.0 || !(out || s.off) {
                continue;
            }
            let at = if s.off { s.state } else { set_c };
            let Stretch { end_c, life_days, above_h } = if out {
                warm_up(at, room_c, kj_k, machine.ua, hours, mark_c)
            } else {
                come_back(at, set_c, kj_k, machine.spare_w[month], hours, mark_c)
            };
            beyond += life_days - sweet_rate(set_c, 0.0) * hours / 24.0;
            s.state = end_c;
            s.above_h += above_h;
            s.off = out || end_c > set_c + NEAR_K;
        }
        let too_long = s.above_h >= ADVISED_H * (1.0 - SLACK);
        self.power.stores[store] = if s.off { s } else { Adrift::default() };
        // The clocks of a fridge for sweet milk and for the rest follow one law.
        for p in places_of(self.plan, store) {
            self.larder.age(p, beyond, beyond);
        }
        if too_long && self.discard(store) {
            self.power.stores[store].above_h = 0.0;
        }
    }

    /// A freezer.
    fn thaw(&mut self, store: usize, machine: &MachinePlan, legs: [(f64, bool); 3]) {
        let month = usize::from(self.info.month);
        let (set_c, room_c) = (machine.set_c[month], machine.room_c[month]);
        let full = self.larder.fullness(store as u16);
        let mut s = self.power.stores[store];
        let (mut beyond, mut most) = (0.0, s.state);
        for (hours, out) in legs {
            if hours <= 0.0 || !(out || s.off) {
                continue;
            }
            // The published hours are for rooms; elsewhere by the heat that comes in.
            let per_h = if out {
                ((room_c - THAWS_C) / (INDOORS_C - THAWS_C)).max(0.0) / freezer_hours(full)
            } else {
                -1.0 / FREEZES_AGAIN_H
            };
            let end = (s.state + per_h * hours).max(0.0);
            let middle = 0.5 * (s.state + end);
            let mid_c = if middle <= 1.0 { set_c * (1.0 - middle) } else { room_c * (middle - 1.0).min(1.0) };
            let frozen_c = REFERENCE_C[PlaceKind::Freezer as usize];
            beyond += (keep_rate(frozen_c, mid_c, 0.0) - keep_rate(frozen_c, set_c, 0.0)) * hours / 24.0;
            s.state = end;
            most = most.max(end);
            s.off = out || end > 0.0;
        }
        self.power.stores[store] = s;
        for p in places_of(self.plan, store) {
            self.larder.age(p, 0.0, beyond);
        }
        if most >= 1.0 {
            self.power.ice_kg = 0.0;
            self.discard(store);
        }
    }

    /// Heat that a fridge holds, kJ/K.
    fn kj_in(&self, store: usize, machine: &MachinePlan) -> f64 {
        let mut kj_k = machine.kj_k[usize::from(self.info.month)];
        for p in places_of(self.plan, store) {
            kj_k += self.larder.jar_litres(p) * milk_kg_per_l() * MILK_KJ_PER_KG_K
                + self.larder.wrapped_l(p) * WRAPPED_KJ_PER_L_K;
        }
        kj_k
    }

    /// A warm load has come into a fridge without power: its heat stays there.
    pub(super) fn heat_up(&mut self, store: usize, litres: f64, load_c: f64) {
        let Some(Some(machine)) = self.plan.cold.machines.get(store) else { return };
        let kj_k = self.kj_in(store, machine);
        let own = litres * milk_kg_per_l() * MILK_KJ_PER_KG_K;
        let set_c = machine.set_c[usize::from(self.info.month)];
        let s = &mut self.power.stores[store];
        let at = if s.off { s.state } else { set_c };
        s.state = at + own.min(kj_k) / kj_k * (load_c - at).max(0.0);
        s.off = true;
        self.power.busy = true;
    }

    /// Perishable dairy of a store is discarded, where the family does so;
    /// whether it does.
    fn discard(&mut self, store: usize) -> bool {
        let Some(outages) = self.plan.cold.outages.filter(|o| o.discard) else { return false };
        let mut some = false;
        for place in places_of(self.plan, store) {
            while let Some(item) = self.larder.first_of(place, outages.perishable) {
                let Some(lot) = self.larder.remove_whole(item, place, 0) else { break };
                some |= lot.matter.mass > 0.0;
                self.thrown.outage[item.at()] += lot.matter;
                self.throw_out(item, lot.matter, Some(WasteCause::Outage));
            }
        }
        self.out.outage_discards += u32::from(some);
        true
    }
}

/// Nearer than this to its set temperature a store is back, K (our default).
const NEAR_K: f64 = 0.1;
/// Temperature at which a freezer's food is about to thaw, °C, and that of the
/// rooms for which the hours of freezers are stated (our defaults).
const THAWS_C: f64 = -5.0;
const INDOORS_C: f64 = 21.0;
/// Hours in which thawed food is frozen again (our default).
const FREEZES_AGAIN_H: f64 = 24.0;

/// The places of a store.
fn places_of(plan: &crate::scenario::Plan, store: usize) -> impl Iterator<Item = PlaceId> + '_ {
    let cold = |k: PlaceKind| matches!(k, PlaceKind::Fridge | PlaceKind::Freezer);
    let all = plan.places.iter().zip(0..);
    all.filter(move |(p, _)| usize::from(p.store) == store && cold(p.kind)).map(|(_, i)| PlaceId(i))
}
