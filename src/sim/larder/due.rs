//! Lives that end, and what becomes ready.

use super::*;

impl Larder<'_> {
    #[inline]
    pub(super) fn clock(&self, item: ItemId, place: PlaceId) -> f64 {
        if self.facts[item.at()].sweet { self.clocks.sweet[place.at()] } else { self.clocks.keep[place.at()] }
    }

    /// The reading at which a life left ends in a place.
    pub(super) fn due(&self, item: ItemId, place: PlaceId, life: f64) -> f64 {
        let days = if self.facts[item.at()].sweet {
            life
        } else {
            life * self.queues[self.q(item, place)].keeps.max(0.0)
        };
        self.clock(item, place) + days
    }

    /// The life left of a lot in a place, as in [`Parcel::life`].
    pub(super) fn life_left(&self, item: ItemId, place: PlaceId, lot: &Lot) -> f64 {
        let left = lot.due - self.clock(item, place);
        if self.facts[item.at()].sweet {
            return left;
        }
        let all = self.queues[self.q(item, place)].keeps;
        if all > 0.0 { (left / all).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// Something on one of the clocks of a place (0 sweet, 1 keeping) is due at
    /// a reading.
    #[inline]
    pub(super) fn bound(&mut self, place: PlaceId, clock: usize, due: f64) {
        // Where something else is due sooner, `due_at` knows of that already.
        if due < self.soonest[place.at()][clock] {
            self.soonest[place.at()][clock] = due;
            self.due_at = self.due_at.min(self.when(place.at(), clock, due));
        }
    }

    /// The time at which a clock of a place comes to a reading, at this month's
    /// rate; a hair early, so that rounding never makes anything late.
    #[inline]
    pub(super) fn when(&self, place: usize, clock: usize, reading: f64) -> f64 {
        let now = if clock == 0 { self.clocks.sweet[place] } else { self.clocks.keep[place] };
        self.now + (reading - now) * self.paces[place][clock] - SLACK
    }

    /// Something may be due, or has become ready to eat.
    #[inline]
    pub(crate) fn something_is_due(&self) -> bool {
        debug_assert!(self.now >= self.due_at || self.nothing_is_late());
        self.now >= self.due_at || self.something_is_ready()
    }

    fn nothing_is_late(&self) -> bool {
        let late = |p: usize| {
            self.soonest[p][0] <= self.clocks.sweet[p] || self.soonest[p][1] <= self.clocks.keep[p]
        };
        !(0..self.places).any(late)
    }

    /// Next lot whose life has ended, taken out of its queue.
    pub(crate) fn next_due(&mut self) -> Option<(ItemId, PlaceId, Lot)> {
        if self.now < self.due_at {
            debug_assert!(self.nothing_is_late());
            return None;
        }
        for p in 0..self.places {
            let (sweet, keep) = (self.clocks.sweet[p], self.clocks.keep[p]);
            let late = [self.soonest[p][0] <= sweet, self.soonest[p][1] <= keep];
            if late == [false; 2] {
                continue;
            }
            let place = PlaceId(p as u8);
            // Only the items whose clock has passed its bound.
            let asked = if late[0] { self.sweets } else { 0 } | if late[1] { !self.sweets } else { 0 };
            let mut soonest = [0, 1].map(|i| if late[i] { f64::INFINITY } else { self.soonest[p][i] });
            let mut mask = self.occupied[p] & asked;
            while mask != 0 {
                let item = ItemId(mask.trailing_zeros() as u8);
                mask &= mask - 1;
                let q = item.at() * self.places + p;
                let is_sweet = self.facts[item.at()].sweet;
                let clock = if is_sweet { sweet } else { keep };
                let queue = &mut self.queues[q];
                if queue.next_due <= clock {
                    if let Some(i) = queue.lots.iter().position(|l| l.due <= clock) {
                        return self.pull(item, place, i).map(|lot| (item, place, lot));
                    }
                    queue.next_due = queue.lots.iter().fold(f64::INFINITY, |m, l| m.min(l.due));
                }
                let bound = &mut soonest[usize::from(!is_sweet)];
                *bound = bound.min(queue.next_due);
            }
            self.soonest[p] = soonest;
        }
        let mut next = f64::INFINITY;
        for p in 0..self.places {
            for clock in 0..2 {
                // Most places hold nothing that lives by the one or the other.
                let reading = self.soonest[p][clock];
                if reading < f64::INFINITY {
                    next = next.min(self.when(p, clock, reading));
                }
            }
        }
        self.due_at = next;
        None
    }

    /// Puts a lot back after its life ended: foul ones wait to be found, at the
    /// latest when what is sound would have been past its time.
    pub(crate) fn turn_foul(&mut self, item: ItemId, place: PlaceId, mut lot: Lot) {
        lot.turned = true;
        lot.due = self.found_by(item, place);
        self.push(item, place, lot);
    }

    /// The reading by which a foul lot is found that nobody has opened.
    pub(super) fn found_by(&self, item: ItemId, place: PlaceId) -> f64 {
        self.clock(item, place) + self.queues[self.q(item, place)].keeps.max(0.0)
    }

    /// Puts a lot back as another item (sweet to sour), where it stands.
    pub(crate) fn become_item(&mut self, item: ItemId, place: PlaceId, mut lot: Lot) {
        lot.due = self.due(item, place, 1.0);
        self.push(item, place, lot);
    }

    /// Some lot has become ready to eat since the last [`Self::settle`].
    #[inline]
    pub(crate) fn something_is_ready(&self) -> bool {
        self.ready_at <= self.now
    }

    /// Settles what has become ready to eat. Ageing is done then: its water is
    /// taken off at once and handed back.
    pub(crate) fn settle(&mut self) -> Matter {
        let mut lost = Matter::NONE;
        if !self.something_is_ready() {
            return lost;
        }
        self.ready_at = f64::INFINITY;
        let mut mask = self.waiting;
        while mask != 0 {
            let item = ItemId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            let (mut next, mut all_ready) = (f64::INFINITY, true);
            for q in self.where_is(item) {
                if self.queues[q].next_ready <= self.now {
                    lost += self.settle_queue(item, q);
                }
                next = next.min(self.queues[q].next_ready);
                // Rounding may leave a trace, which counts.
                all_ready &= self.queues[q].unready == 0.0;
            }
            if next == f64::INFINITY && all_ready {
                self.waiting &= !(1 << item.0);
            }
            self.ready_at = self.ready_at.min(next);
        }
        lost
    }

    pub(super) fn settle_queue(&mut self, item: ItemId, q: usize) -> Matter {
        let (mut next, mut lost) = (f64::INFINITY, Matter::NONE);
        let queue = &mut self.queues[q];
        for lot in queue.lots.iter_mut().rev().filter(|l| !l.settled) {
            if lot.ready > self.now {
                next = next.min(lot.ready);
                continue;
            }
            queue.unready -= lot.matter.mass;
            lot.settled = true;
            let water = (lot.matter.mass - lot.matter.fat - lot.matter.protein).max(0.0);
            let mass = (lot.ageing_loss * lot.matter.mass).min(0.9 * water);
            let milk = mass * (lot.matter.milk / lot.matter.mass);
            let loss = Matter { mass, fat: 0.0, protein: 0.0, milk };
            lot.matter -= loss;
            lost += loss;
        }
        queue.next_ready = next;
        self.weigh(item, -lost.mass);
        if let Some(litres_per_kg) = self.facts[item.at()].litres_per_kg {
            self.litres_in[q % self.places] -= lost.mass * litres_per_kg;
            self.measure(PlaceId((q % self.places) as u8));
        }
        lost
    }
}
