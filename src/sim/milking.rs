//! Milk comes in: milkings, their mishaps and chilling, and what is fetched.

use super::Luck;
use super::larder::{COUNTER, Parcel};
use super::outcome::{Fate, Source};
use super::trial::Trial;
use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{PlaceId, fixed};

/// Hours a milking takes: the chilling rules count from its start and its end.
const MILKING_HOURS: f64 = 0.5;
/// The dairies' chilling rule: 10 °C within 4 h of the start of milking and
/// 7 °C within 2 h of its end (US Grade A Pasteurized Milk Ordinance, item 18r).
const RULE_10C_HOURS: f64 = 4.0;
const RULE_7C_HOURS: f64 = 2.0;

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
        for (m, a) in self.milk.iter().zip(&plan.animals) {
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
                let fate = if m.withheld { Fate::Withheld } else { Fate::WithheldSick };
                self.ledger.went(fate, pail);
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
                self.ledger.went(Fate::KeptByHelper, pail);
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

    /// Looks up how long what came in warm takes to chill where it has come to
    /// stand, and charges the warm hours to its life. All that is warm in a
    /// place is one load. What found no place in the cold stays warm until it
    /// does, and its milking is late. Call once room has been made.
    pub(super) fn chill(&mut self) {
        if !self.larder.warm {
            return;
        }
        self.larder.warm = false;
        let plan = self.plan;
        let (mut milked, mut out, mut late) = (false, false, false);
        let mut hours = 0.0_f64;
        for (p, place) in plan.places.iter().enumerate() {
            let id = PlaceId(p as u8);
            let (warm, fresh) = self.larder.warm_l(id);
            if warm <= 0.0 {
                continue;
            }
            let Some(table) = &place.chill else {
                out |= fresh && id == COUNTER;
                self.larder.warm |= self.chills && id == COUNTER;
                continue;
            };
            let inside = (self.larder.jar_litres(id) - warm).max(0.0);
            let at = table.find(warm, inside);
            self.larder.cool(id, table.value(&table.life_days, at));
            if fresh {
                milked = true;
                // A milking is as cold as its slowest jar.
                hours = hours.max(table.value(&table.hours_to_4c, at));
                let to_10 = table.value(&table.hours_to_10c, at) + MILKING_HOURS;
                let to_7 = table.value(&table.hours_to_7c, at);
                late |= to_10 > RULE_10C_HOURS || to_7 > RULE_7C_HOURS;
            }
        }
        // Where nothing chills by a table there is nothing to say.
        if !milked && !(out && self.chills) {
            return;
        }
        self.out.milkings += 1;
        self.out.chill_late += u32::from(late || out);
        if out {
            self.out.chill_left_out += 1;
        } else {
            self.out.chill_hours += hours;
        }
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
