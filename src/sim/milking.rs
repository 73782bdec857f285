//! Milk comes in: milkings, their mishaps and chilling, and what is fetched.

use super::Luck;
use super::larder::{COUNTER, CRUMB, Parcel};
use super::outcome::{Fate, Source};
use super::trial::Trial;
use crate::dairy::Species;
use crate::dairy::cooling::{LONGEST_H, MARK_4C, MARK_7C, MARK_10C, MILK_IN_C};
use crate::dairy::heat::spell_days;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{ColostrumTo, PlaceId, Plan, SoakCell, fixed};

/// Hours a milking takes: the chilling rules count from its start and its end (our
/// default; minutes of work are said with the breed).
const MILKING_HOURS: f64 = 0.5;
/// The dairies' chilling rule: 10 °C within 4 h of the start of milking and
/// 7 °C within 2 h of its end (US Grade A Pasteurized Milk Ordinance, item 18r).
const RULE_10C_HOURS: f64 = 4.0;
const RULE_7C_HOURS: f64 = 2.0;
/// What small raw-milk dairies ask of themselves: 4.4 °C (40 °F) within 1 h of
/// milking (common practice, no source). Some states ask for it within 2 h:
/// Massachusetts 330 CMR 27.05, Revised Code of Washington 15.36.221.
const STRICT_HOURS: f64 = 1.0;
/// The temperatures of the rules, in the order of the tables.
const MARKS: [f64; 3] = [MARK_10C, MARK_7C, MARK_4C];

/// What is still taken of an animal's colostrum: by the newborn today, and by the
/// freezer after this freshening, kg.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Colostrum {
    pub newborn_kg: f64,
    pub frozen_kg: f64,
    /// Where the frozen lies, and its litres.
    pub frozen_in: Option<PlaceId>,
    pub frozen_l: f64,
}

/// Room that a kg of frozen colostrum takes, L: as of frozen milk, which grows by
/// 7 % as it freezes, with 10 % of room left (worked out; the 10 % is common practice).
const FROZEN_L_PER_KG: f64 = 1.2;

impl Trial<'_> {
    /// Spells of contamination begin when the hazard passes a threshold.
    pub(super) fn spells(&mut self, luck: &Luck) {
        let k = &self.plan.keeping;
        if luck.steady || k.spell_rate <= 0.0 {
            return;
        }
        let early = self.early(k.spell_early_days);
        self.spell_hazard += k.spell_rate * if early { k.spell_early_factor } else { 1.0 };
        while let Some(&[gap, length]) = luck.spells[self.spell_next..].first_chunk::<2>() {
            if self.spell_hazard < gap {
                break;
            }
            self.spell_hazard -= gap;
            // From this midnight on; a milking is hit when its hour falls within.
            self.spell_until = self.spell_until.max(f64::from(self.day) + k.spell_days * length);
            self.spell_next += 2;
        }
    }

    /// Hot spells begin when the hazard passes a threshold; whether today lies
    /// in one.
    pub(super) fn hot_spells(&mut self, luck: &Luck) -> bool {
        let Some(hot) = &self.plan.hot else { return false };
        if luck.steady {
            return false;
        }
        self.hot_hazard += hot.rate[usize::from(self.info.month)];
        while let Some(&[gap, length]) = luck.hot[self.hot_next..].first_chunk::<2>() {
            if self.hot_hazard < gap {
                break;
            }
            self.hot_hazard -= gap;
            self.hot_until = self.hot_until.max(self.day + spell_days(hot.days, length));
            self.hot_next += 2;
        }
        self.day < self.hot_until
    }

    /// Within so many days of the first freshening, be it before the run.
    pub(super) fn early(&self, days: u32) -> bool {
        self.first_fresh.is_some_and(|f| (self.day as i32 - f) < days as i32)
    }

    /// One milking (0 morning, 1 evening): pails, losses, jars, chilling.
    pub(super) fn milking(&mut self, which: usize, luck: &Luck) {
        let plan = self.plan;
        let mut pools =
            [(Species::Cow, Matter::NONE), (Species::Goat, Matter::NONE), (Species::Sheep, Matter::NONE)];
        let mut milked = false;
        for (i, a) in plan.animals.iter().enumerate() {
            let m = self.milk[i];
            if which == 0 {
                self.ledger.came(Source::Drawn, m.calf);
                self.ledger.went(Fate::Calf, m.calf);
            }
            if !m.milkings[which] {
                continue;
            }
            milked = true;
            let pail = if which == 0 { m.morning } else { m.evening };
            self.ledger.came(Source::Drawn, pail);
            if !self.info.away {
                self.today.chore_minutes += a.milking_minutes;
            }
            // Colostrum is nobody else's either; each day has one cause.
            if m.withheld || m.ill {
                self.today.sick |= m.ill;
                match (m.withheld, m.ill) {
                    (true, false) => self.colostrum(i, pail, m.calf.mass > 0.0),
                    // What an ill or treated animal gives goes to nobody.
                    (true, true) => self.ledger.went(Fate::Withheld, pail),
                    _ => self.ledger.went(Fate::WithheldSick, pail),
                }
                continue;
            }
            for (s, pool) in &mut pools {
                if *s == a.species {
                    *pool += pail;
                }
            }
        }
        if !milked {
            return;
        }
        if !self.info.away {
            self.today.chore_minutes += plan.household.chore_minutes;
        }
        let at = 2 * self.day as usize + which;
        let spilled = luck.happens(self.spill_chance(), luck.spill[at]);
        let foul = self.larder.now < self.spell_until && luck.happens(plan.keeping.spell_foul, luck.foul[at]);
        let life = plan.keeping.life_days * luck.factor(plan.keeping.life_log_sd, luck.life[at]);
        for (species, pail) in pools {
            if pail.mass <= 0.0 {
                continue;
            }
            self.today.drawn += pail.mass;
            if self.info.away {
                let fed = self.feed_young_from(pail);
                self.ledger.went(Fate::KeptByHelper, pail - fed);
                continue;
            }
            (self.milk_seen, self.home_milk_seen) = (true, true);
            if spilled {
                self.ledger.went(Fate::WastedSpilled, pail);
                continue;
            }
            let film = pail * plan.losses.strainer;
            self.ledger.went(Fate::Film, film);
            let now = self.larder.now;
            let parcel = Parcel {
                item: fixed::WHOLE,
                matter: pail - film,
                drawn: now,
                rested: now,
                life: if foul { life * plan.keeping.foul_life_part } else { life },
                risen: 0.0,
                ready: now,
                ageing_loss: 0.0,
                day: self.day,
                species,
                foul,
                warm: true,
            };
            self.put_away(&parcel);
        }
        self.out.peak_kg = self.out.peak_kg.max(self.today.drawn);
    }

    pub(super) fn spill_chance(&self) -> f64 {
        let k = &self.plan.keeping;
        if self.early(k.spell_early_days) { k.spill_early } else { k.spill }
    }

    /// Colostrum goes to those who have it, in the family's order.
    fn colostrum(&mut self, animal: usize, pail: Matter, on_dam: bool) {
        let plan = &self.plan.animals[animal].course.colostrum;
        let mut left = pail;
        for to in &plan.to {
            let c = self.colostrum[animal];
            let (most, fate) = match to {
                ColostrumTo::Newborn if on_dam => continue,
                ColostrumTo::Newborn => (c.newborn_kg, Fate::ColostrumNewborn),
                ColostrumTo::AnimalsFed => (self.appetite(fixed::WHOLE), Fate::ColostrumFed),
                ColostrumTo::Freezer => (c.frozen_kg, Fate::ColostrumFrozen),
            };
            let mut kg = most.min(left.mass);
            if *to == ColostrumTo::Freezer && kg > CRUMB {
                let mine = &mut self.colostrum[animal];
                (mine.frozen_in, kg) = self.larder.freeze_apart(kg, FROZEN_L_PER_KG, mine.frozen_in);
                mine.frozen_l += kg * FROZEN_L_PER_KG;
            }
            if kg <= CRUMB {
                continue;
            }
            let part = left * (kg / left.mass);
            match to {
                ColostrumTo::Newborn => self.colostrum[animal].newborn_kg -= kg,
                ColostrumTo::Freezer => self.colostrum[animal].frozen_kg -= kg,
                ColostrumTo::AnimalsFed => {
                    self.eat_up(fixed::WHOLE, kg);
                    self.today.fed += kg;
                }
            }
            self.ledger.went(fate, part);
            left -= part;
        }
        self.ledger.went(Fate::Withheld, left);
    }

    /// Looks up how long what came in warm takes to chill where it has come to
    /// stand, first in water if the family has a bath, and charges the warm hours
    /// to its life. All that is warm in a store is one load, and its heat costs
    /// what stands beside it. What found no place in the cold stays warm until it
    /// does, and its milking is late. Call once room has been made.
    pub(super) fn chill(&mut self) {
        if !self.larder.warm {
            return;
        }
        self.larder.warm = false;
        let plan = self.plan;
        let soak = self.soak();
        let month = usize::from(self.info.month);
        let (mut milked, mut out) = (false, false);
        let mut slowest = [0.0_f64; 3];
        // Only whole milk comes in warm.
        let whole = self.larder.places_of(fixed::WHOLE);
        if whole >> COUNTER.0 & 1 == 1 && plan.places[COUNTER.at()].chill.is_none() {
            let (warm, fresh) = self.larder.warm_l(COUNTER);
            out |= fresh && warm > 0.0;
            self.larder.warm |= self.chills() && warm > 0.0;
        }
        for n in 0..self.chilled.len() {
            // The shelves of a store share its air.
            let (first, p) = self.chilled[n];
            let (mut warm, mut fresh) = (0.0, false);
            for id in (first..p).map(|p| PlaceId(p as u8)).filter(|id| whole >> id.0 & 1 == 1) {
                let (here, new) = self.larder.warm_l(id);
                warm += here;
                fresh |= new;
            }
            if warm <= 0.0 {
                continue;
            }
            let place = &plan.places[first];
            let Some(table) = &place.chill else { continue };
            let all: f64 = (first..p).map(|p| self.larder.jar_litres(PlaceId(p as u8))).sum();
            // Only what comes from the udder now has stood in the water.
            let soak = soak.filter(|_| fresh);
            let start_c = soak.map_or(f64::INFINITY, |s| s.end_c);
            let cell = table.at(month, start_c, warm, (all - warm).max(0.0));
            let powerless = self.power.is_out(self.larder.now);
            let mut life = cell.life_days;
            if let Some(s) = soak {
                life = (life + s.life_days - place.sweet_rate[month] * s.hours / 24.0).max(0.0);
            }
            let beside = if powerless { 0.0 } else { cell.neighbour_days };
            if powerless {
                self.heat_up(usize::from(place.store), warm, start_c.min(MILK_IN_C));
            }
            for id in (first..p).map(|p| PlaceId(p as u8)) {
                if self.larder.holds(id) {
                    self.larder.age(id, beside, beside);
                    self.larder.cool(id, life - beside);
                }
            }
            self.out.neighbour_days += beside;
            if fresh {
                milked = true;
                // A milking is as cold as its slowest jar.
                for (i, slow) in slowest.iter_mut().enumerate() {
                    let mut hours = cell.hours_to[i];
                    if let Some(s) = soak {
                        hours = if s.end_c <= MARKS[i] { s.hours_to[i] } else { s.hours + hours };
                    }
                    // In a fridge without power only the water chills.
                    let in_water = soak.is_some_and(|s| s.end_c <= MARKS[i]);
                    *slow = slow.max(if powerless && !in_water { LONGEST_H } else { hours });
                }
                out |= powerless && slowest[2] >= LONGEST_H;
            }
        }
        // Where nothing chills by a table there is nothing to say.
        if !(milked || out && self.chills()) {
            return;
        }
        let o = &mut self.out;
        let [to_10, to_7, to_4] = slowest;
        let late_10 = out || to_10 + MILKING_HOURS > RULE_10C_HOURS;
        let late_7 = out || to_7 > RULE_7C_HOURS;
        o.milkings += 1;
        o.chill_late += u32::from(late_10 || late_7);
        o.chill_late_10c += u32::from(late_10);
        o.chill_late_7c += u32::from(late_7);
        o.chill_late_2h += u32::from(out || to_4 > RULE_7C_HOURS);
        o.chill_late_1h += u32::from(out || to_4 > STRICT_HOURS);
        if out {
            o.chill_left_out += 1;
        } else if to_4 >= LONGEST_H - 1e-6 {
            o.chill_never += 1;
        } else {
            o.chill_hours += to_4;
        }
    }

    /// Some place has a table of chilling.
    fn chills(&self) -> bool {
        !self.chilled.is_empty()
    }

    /// The water that this milking stood in, and its ice taken from the store.
    fn soak(&mut self) -> Option<SoakCell> {
        let plan = self.plan;
        let soak = plan.cold.soak.as_ref()?;
        let Some(ice) = &soak.ice else { return Some(soak.at(0.0)) };
        let mut litres = 0.0;
        for p in 0..plan.places.len() {
            let (warm, fresh) = self.larder.warm_l(PlaceId(p as u8));
            litres += if fresh { warm } else { 0.0 };
        }
        if litres <= 0.0 {
            return None;
        }
        let wanted = ice.wanted_kg_l * litres;
        let given = ice.each_kg.unwrap_or(wanted).min(self.power.ice_kg);
        self.power.ice_kg -= given;
        self.out.ice_kg += given;
        self.out.ice_short += u32::from(given < wanted * (1.0 - 1e-9));
        Some(soak.at(given / litres))
    }

    /// Milk fetched from elsewhere arrives with the pick-ups.
    pub(super) fn fetch(&mut self, luck: &Luck) {
        let plan = self.plan;
        let day = self.day as usize;
        for (f, own) in plan.fetches.iter().zip(&luck.fetches) {
            let due =
                f.weekdays >> self.info.weekday & 1 == 1 && self.day >= f.from_day && self.day <= f.until_day;
            if !due || self.info.away {
                continue;
            }
            self.today.chore_minutes += f.minutes;
            if luck.happens(f.fails, own.fails[day]) {
                self.out.fetches_failed += 1;
                continue;
            }
            let kg = f.kg * luck.factor(f.log_sd, own.amount[day]);
            let matter = Matter::milk(kg, f.fat, f.protein);
            self.ledger.came(Source::Fetched, matter);
            self.today.fetched += kg;
            self.milk_seen = true;
            let now = self.larder.now;
            let life = plan.keeping.life_days * luck.factor(plan.keeping.life_log_sd, own.life[day]);
            let foul =
                self.larder.now < self.spell_until && luck.happens(plan.keeping.spell_foul, own.foul[day]);
            let life = if foul { life * plan.keeping.foul_life_part } else { life };
            let parcel = Parcel {
                item: fixed::WHOLE,
                matter,
                drawn: now - f.age_days,
                // The ride shook it: rising begins anew.
                rested: now,
                life: (life - f.age_days).max(0.0),
                risen: 0.0,
                ready: now,
                ageing_loss: 0.0,
                day: self.day,
                species: f.species,
                foul,
                warm: false,
            };
            self.put_away(&parcel);
        }
    }
}

/// Places with a table of chilling: the first of each store's, and one past the
/// last.
pub(super) fn chilled(plan: &Plan) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (p, place) in plan.places.iter().enumerate().filter(|(_, p)| p.chill.is_some()) {
        match found.last_mut() {
            Some((first, end)) if *end == p && plan.places[*first].store == place.store => *end = p + 1,
            _ => found.push((p, p + 1)),
        }
    }
    found
}
