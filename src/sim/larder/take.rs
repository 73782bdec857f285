//! Lots in and out of their queues.

use super::*;

impl Larder<'_> {
    #[inline]
    pub(super) fn eligible(lot: &Lot, choice: Choice) -> bool {
        lot.drawn >= choice.drawn_from && (!choice.ready || lot.settled) && choice.not_of_day != Some(lot.day)
    }

    #[inline]
    pub(super) fn push(&mut self, item: ItemId, place: PlaceId, lot: Lot) {
        let q = self.q(item, place);
        let Facts { sweet, litres_per_kg, .. } = self.facts[item.at()];
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = litres_per_kg {
                self.litres_in[place.at()] += lot.matter.mass * litres_per_kg;
            }
        } else {
            self.jars_come(place, lot.jar, lot.jars);
        }
        let keeps = usize::from(!sweet);
        self.bound(place, keeps, lot.due);
        self.warm |= lot.warm;
        self.measure(place);
        self.weigh(item, lot.matter.mass);
        self.present |= 1 << item.0;
        self.stands_in[item.at()] |= 1 << place.0;
        self.occupied[place.at()] |= 1 << item.0;
        let queue = &mut self.queues[q];
        queue.next_due = queue.next_due.min(lot.due);
        if !lot.settled {
            queue.unready += lot.matter.mass;
            queue.next_ready = queue.next_ready.min(lot.ready);
            self.ready_at = self.ready_at.min(lot.ready);
            self.waiting |= 1 << item.0;
        }
        queue.lots.add(lot);
    }

    /// Takes the lot at `i` out of its queue, jars and room with it.
    #[inline]
    pub(super) fn pull(&mut self, item: ItemId, place: PlaceId, i: usize) -> Option<Lot> {
        let q = self.q(item, place);
        let queue = &mut self.queues[q];
        let lot = queue.lots.remove(i)?;
        if !lot.settled {
            queue.unready -= lot.matter.mass;
        }
        let empty = queue.lots.is_empty();
        if empty {
            // Exactly nothing: rounding must not pile up.
            queue.unready = 0.0;
            queue.next_due = f64::INFINITY;
            queue.next_ready = f64::INFINITY;
        }
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = self.facts[item.at()].litres_per_kg {
                self.litres_in[place.at()] -= lot.matter.mass * litres_per_kg;
            }
        } else {
            self.jars_go(place, lot.jar, lot.jars);
        }
        self.weigh(item, -lot.matter.mass);
        if empty {
            self.occupied[place.at()] &= !(1 << item.0);
            self.stands_in[item.at()] &= !(1 << place.0);
            if self.stands_in[item.at()] == 0 {
                self.item_mass[item.at()] = 0.0;
                self.present &= !(1 << item.0);
            }
            if self.occupied[place.at()] == 0 {
                self.litres_in[place.at()] = 0.0;
            }
        }
        self.measure(place);
        Some(lot)
    }

    /// Takes `kg` out of the lot at `i`, which holds more than that; also says
    /// how many jars that empties.
    #[inline(always)]
    pub(super) fn pinch(&mut self, item: ItemId, q: usize, i: usize, kg: f64) -> (Matter, u32) {
        let place = q - item.at() * self.places;
        let facts = &self.facts[item.at()];
        let queue = &mut self.queues[q];
        let lot = &mut queue.lots[i];
        let taken = lot.matter * (kg / lot.matter.mass);
        lot.matter -= taken;
        if !lot.settled {
            queue.unready -= taken.mass;
        }
        self.item_mass[item.at()] -= taken.mass;
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = facts.litres_per_kg {
                self.litres_in[place] -= taken.mass * litres_per_kg;
                self.used[place].set(f64::NAN);
            }
            return (taken, 0);
        }
        if lot.jars == 1 {
            return (taken, 0);
        }
        let (lot_jar, jar) = (lot.jar, usize::from(lot.jar));
        let left = whole_jars(lot.matter.mass / facts.jar_kg[jar]).max(1).min(lot.jars);
        let freed = lot.jars - left;
        if freed > 0 {
            lot.jars = left;
            self.jars_go(PlaceId(place as u8), lot_jar, freed);
            self.dirty[jar] += freed;
            self.used[place].set(f64::NAN);
        }
        (taken, freed)
    }

    /// Queue and position of the newest lot of an item that a choice allows.
    fn newest_lot(&self, item: ItemId, choice: Choice) -> Option<(usize, usize)> {
        let mut best: Option<(usize, usize)> = None;
        let mut newest = f64::NEG_INFINITY;
        for q in self.where_is(item) {
            let lots = &self.queues[q].lots;
            if let Some(i) = lots.iter().rposition(|l| Self::eligible(l, choice))
                && lots[i].drawn > newest
            {
                (best, newest) = (Some((q, i)), lots[i].drawn);
            }
        }
        best
    }

    /// Queue and position of the oldest lot of an item that a choice allows.
    pub(super) fn oldest_lot(&self, item: ItemId, choice: Choice) -> Option<(usize, usize)> {
        if choice.ready && self.stock_ready(item) <= CRUMB {
            return None;
        }
        let mut best: Option<(usize, usize)> = None;
        let mut oldest = f64::INFINITY;
        for q in self.where_is(item) {
            let lots = &self.queues[q].lots;
            // Nothing in a queue is older than its front.
            let Some(front) = lots.first().filter(|l| l.drawn < oldest || best.is_none()) else { continue };
            if Self::eligible(front, choice) {
                (best, oldest) = (Some((q, 0)), front.drawn);
            } else if let Some(i) = lots.iter().position(|l| Self::eligible(l, choice))
                && (lots[i].drawn < oldest || best.is_none())
            {
                (best, oldest) = (Some((q, i)), lots[i].drawn);
            }
        }
        best
    }

    /// Takes up to `kg` of an item, oldest first, as a pool. Foul jars met on
    /// the way are emptied and handed back apart.
    pub(crate) fn take(&mut self, item: ItemId, kg: f64, choice: Choice) -> Taken {
        let mut pool = Taken::NOTHING;
        (pool.matter, pool.foul) = self.take_noting(item, kg, choice, |larder, place, lot| {
            pool.drawn = pool.drawn.min(lot.drawn);
            pool.life = pool.life.min(larder.life_left(item, place, lot));
            pool.tainted |= lot.foul;
            pool.day = pool.day.min(lot.day);
            pool.species = lot.species;
        });
        pool
    }

    /// Like [`Self::take`], for the table and the trough, where nobody asks how
    /// old it was: what is taken, and what was found foul.
    pub(crate) fn serve(&mut self, item: ItemId, kg: f64, choice: Choice) -> (Matter, Matter) {
        if choice.newest {
            return self.take_noting(item, kg, choice, |_, _, _| {});
        }
        match self.sip(item, kg, choice) {
            Some(food) => (food, Matter::NONE),
            None => self.take_noting(item, kg, choice, |_, _, _| {}),
        }
    }

    /// Mostly somebody takes a little of the oldest lot of all, which stands
    /// first somewhere and holds more than is asked: that, else nothing.
    #[inline]
    pub(crate) fn sip(&mut self, item: ItemId, kg: f64, choice: Choice) -> Option<Matter> {
        let mut places = self.stands_in[item.at()];
        if places == 0 {
            return None;
        }
        let base = item.at() * self.places;
        let mut q = base + places.trailing_zeros() as usize;
        let mut lot = self.queues[q].lots.first()?;
        places &= places - 1;
        while places != 0 {
            let other = base + places.trailing_zeros() as usize;
            places &= places - 1;
            if let Some(l) = self.queues[other].lots.first()
                && l.drawn < lot.drawn
            {
                (q, lot) = (other, l);
            }
        }
        if kg <= CRUMB || lot.matter.mass <= kg + CRUMB || lot.turned || !Self::eligible(lot, choice) {
            return None;
        }
        let (got, emptied) = self.pinch(item, q, 0, kg);
        Some(self.leave_film(got, emptied))
    }

    pub(super) fn take_noting(
        &mut self,
        item: ItemId,
        kg: f64,
        choice: Choice,
        mut note: impl FnMut(&Self, PlaceId, &Lot),
    ) -> (Matter, Matter) {
        let (mut out, mut foul) = (Matter::NONE, Matter::NONE);
        let mut left = kg;
        while left > CRUMB && self.stands_in[item.at()] != 0 {
            let found =
                if choice.newest { self.newest_lot(item, choice) } else { self.oldest_lot(item, choice) };
            let Some((q, i)) = found else { break };
            let place = PlaceId((q - item.at() * self.places) as u8);
            let lot = &self.queues[q].lots[i];
            if lot.turned {
                if let Some(lot) = self.remove_whole(item, place, i) {
                    foul += lot.matter;
                }
                continue;
            }
            note(self, place, lot);
            let (got, emptied) = if lot.matter.mass <= left + CRUMB {
                self.remove_whole(item, place, i).map_or((Matter::NONE, 0), |l| (l.matter, l.jars))
            } else {
                self.pinch(item, q, i, left)
            };
            left -= got.mass;
            out += self.leave_film(got, emptied);
        }
        (out, foul)
    }

    /// What comes out of emptied jars; a little stays in each.
    #[inline(always)]
    pub(super) fn leave_film(&mut self, got: Matter, emptied: u32) -> Matter {
        if emptied == 0 || got.mass <= 0.0 {
            return got;
        }
        let kg = (self.plan.losses.jar_kg * f64::from(emptied)).min(MOST_FILM * got.mass);
        let film = got * (kg / got.mass);
        self.film += film;
        got - film
    }

    /// Takes a lot out and sends its jars to the washing-up.
    #[inline]
    pub(crate) fn remove_whole(&mut self, item: ItemId, place: PlaceId, i: usize) -> Option<Lot> {
        let lot = self.pull(item, place, i)?;
        if lot.jar != NO_JAR {
            self.dirty[usize::from(lot.jar)] += lot.jars;
        }
        Some(lot)
    }

    /// What `take` would give, without taking.
    pub(crate) fn peek(&self, item: ItemId, kg: f64, choice: Choice) -> Matter {
        let base = item.at() * self.places;
        let mut out = Matter::NONE;
        let mut at = [0_usize; MAX_PLACES];
        while out.mass + CRUMB < kg {
            let mut best: Option<(usize, f64)> = None;
            for q in self.where_is(item) {
                let (p, queue) = (q - base, &self.queues[q].lots);
                let at = &mut at[p];
                while *at < queue.len() && (queue[*at].turned || !Self::eligible(&queue[*at], choice)) {
                    *at += 1;
                }
                if let Some(l) = queue.get(*at)
                    && best.is_none_or(|(_, d)| l.drawn < d)
                {
                    best = Some((p, l.drawn));
                }
            }
            let Some((p, _)) = best else { break };
            let lot = &self.queues[base + p].lots[at[p]];
            at[p] += 1;
            let want = kg - out.mass;
            out += if lot.matter.mass <= want { lot.matter } else { lot.matter * (want / lot.matter.mass) };
        }
        out
    }

    /// The oldest lot of an item in a place, with its hours risen at 4 °C.
    pub(crate) fn front(&self, item: ItemId, place: PlaceId, i: usize) -> Option<(&Lot, f64, f64)> {
        let lot = self.queues[self.q(item, place)].lots.get(i)?;
        let risen = self.clocks.rise[place.at()] - lot.rise_from;
        Some((lot, risen, self.life_left(item, place, lot)))
    }
}
