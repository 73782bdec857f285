//! Putting away and moving.

use super::*;

impl Larder<'_> {
    /// Puts a parcel away: jars by size, places in the item's order, the
    /// counter as a last resort. What finds no clean jar is handed back.
    pub(crate) fn put(&mut self, parcel: &Parcel) -> Matter {
        let item = &self.plan.items[parcel.item.at()];
        if parcel.matter.mass <= 0.0 {
            return Matter::NONE;
        }
        match item.container {
            Container::Bucket => {
                self.push_part(parcel, COUNTER, parcel.matter, NO_JAR, 0);
                Matter::NONE
            }
            Container::Volume { litres_per_kg } => {
                self.put_volume(parcel, litres_per_kg);
                Matter::NONE
            }
            Container::Jar { largest_first } => self.put_jars(parcel, largest_first),
        }
    }

    /// Puts a parcel where it stands at the start of a run: on the shelves of
    /// its store as far as they take it, the rest on the counter. Clean jars
    /// are used up as far as there are any.
    pub(crate) fn open(&mut self, parcel: &Parcel, store: u16, jars: Option<(JarId, u32)>) {
        let plan = self.plan;
        let item = &plan.items[parcel.item.at()];
        let mut left = parcel.matter;
        let mut jars = match jars {
            Some((size, n)) => {
                let n = n.min(self.clean[size.at()]);
                self.clean[size.at()] -= n;
                (n > 0).then_some((size.at(), n))
            }
            None => None,
        };
        let here = plan.places.iter().zip(0_u8..).filter(|(p, i)| p.store == store && *i != COUNTER.0);
        for (_, i) in here {
            let place = PlaceId(i);
            let (mass, here) = match (jars, item.container) {
                (Some((size, n)), _) => {
                    let here = n.min(self.room_for_jars(place, size));
                    (left.mass * f64::from(here) / f64::from(n), here)
                }
                (None, Container::Volume { litres_per_kg }) => {
                    let room = (1.0 - self.used_part(place)) * self.litres[place.at()] / litres_per_kg;
                    (room.max(0.0), 0)
                }
                (None, _) => (0.0, 0),
            };
            if mass <= CRUMB || left.mass <= CRUMB {
                continue;
            }
            let part = if left.mass - mass <= CRUMB { left } else { left * (mass / left.mass) };
            let size = jars.map_or(NO_JAR, |(size, _)| size as u8);
            self.push_part(parcel, place, part, size, here);
            left = if part.mass == left.mass { Matter::NONE } else { left - part };
            jars = jars.map(|(size, n)| (size, n - here)).filter(|(_, n)| *n > 0);
        }
        if left.mass > 0.0 {
            let (size, n) = jars.map_or((NO_JAR, 0), |(size, n)| (size as u8, n));
            self.push_part(parcel, COUNTER, left, size, n);
        }
    }

    pub(super) fn put_volume(&mut self, parcel: &Parcel, litres_per_kg: f64) {
        let (mut left, mut first) = (parcel.matter, None);
        let plan = self.plan;
        for &place in &plan.items[parcel.item.at()].places {
            if left.mass <= CRUMB {
                break;
            }
            let mass = self.fits_kg(place, litres_per_kg).min(left.mass);
            if mass <= CRUMB {
                continue;
            }
            let part = if left.mass - mass <= CRUMB { left } else { left * (mass / left.mass) };
            self.push_part(parcel, place, part, NO_JAR, 0);
            self.freeze_left[place.at()] -= part.mass;
            left -= part;
            first = first.or(Some(place));
        }
        if left.mass > CRUMB {
            self.push_part(parcel, COUNTER, left, NO_JAR, 0);
        } else if left.mass != 0.0 && first.is_some() {
            // A crumb is never dropped: it joins the part just placed.
            self.add_crumb(parcel.item, first, left);
        }
    }

    pub(super) fn add_crumb(&mut self, item: ItemId, place: Option<PlaceId>, crumb: Matter) {
        if let Some(place) = place {
            let q = self.q(item, place);
            if let Some(lot) = self.queues[q].lots.last_mut() {
                lot.matter += crumb;
                self.weigh(item, crumb.mass);
            }
        }
    }

    pub(super) fn put_jars(&mut self, parcel: &Parcel, largest_first: bool) -> Matter {
        let plan = self.plan;
        let item = &plan.items[parcel.item.at()];
        let mut left = parcel.matter;
        let sizes = plan.jars.len();
        let best = if largest_first { 0 } else { self.smallest_holding(left.mass / item.density) };
        for n in 0..sizes {
            // The best size, then larger ones, then smaller ones.
            let size = if n <= best { best - n } else { n };
            if self.clean[size] == 0 {
                continue;
            }
            let working = self.facts[parcel.item.at()].jar_kg[size];
            let mut jars = self.clean[size].min(whole_jars(left.mass / working));
            for k in 0..=item.places.len() {
                if jars == 0 || left.mass <= CRUMB {
                    break;
                }
                let (place, room) = match item.places.get(k) {
                    Some(&place) => (place, self.room_for_jars(place, size)),
                    None => (COUNTER, u32::MAX),
                };
                let here = jars.min(room);
                if here == 0 {
                    continue;
                }
                let mass = (working * f64::from(here)).min(left.mass);
                let part = if left.mass - mass <= CRUMB { left } else { left * (mass / left.mass) };
                self.clean[size] -= here;
                self.push_part(parcel, place, part, size as u8, here);
                left = if part.mass == left.mass { Matter::NONE } else { left - part };
                jars -= here;
            }
            if left.mass <= CRUMB {
                break;
            }
        }
        left
    }

    pub(super) fn push_part(&mut self, parcel: &Parcel, place: PlaceId, matter: Matter, jar: u8, jars: u32) {
        let lot = Lot {
            matter,
            drawn: parcel.drawn,
            rested: parcel.rested,
            due: self.due(parcel.item, place, parcel.life),
            rise_from: self.clocks.rise[place.at()] - parcel.risen,
            ready: parcel.ready,
            settled: parcel.ready <= self.now && parcel.ageing_loss <= 0.0,
            ageing_loss: parcel.ageing_loss,
            day: parcel.day,
            jars,
            jar,
            species: parcel.species,
            foul: parcel.foul,
            turned: false,
            warm: parcel.warm,
        };
        self.push(parcel.item, place, lot);
    }

    /// Warm milk in a place, L, and whether some of it came just now. Looks at
    /// the young end of the queue only: milk older than two days is not warm.
    pub(crate) fn warm_l(&self, place: PlaceId) -> (f64, bool) {
        let (mut kg, mut fresh) = (0.0, false);
        for lot in self.queues[self.q(fixed::WHOLE, place)].lots.iter().rev() {
            if lot.drawn < self.now - WARM_DAYS {
                break;
            }
            if lot.warm {
                kg += lot.matter.mass;
                fresh |= lot.rested >= self.now;
            }
        }
        (kg / self.plan.items[fixed::WHOLE.at()].density, fresh)
    }

    /// The warm milk of a place is chilled, at the cost of so many days of life.
    pub(crate) fn cool(&mut self, place: PlaceId, days: f64) {
        let q = self.q(fixed::WHOLE, place);
        let queue = &mut self.queues[q];
        let mut first = f64::INFINITY;
        for lot in queue.lots.iter_mut().rev() {
            if lot.drawn < self.now - WARM_DAYS {
                break;
            }
            if lot.warm {
                lot.warm = false;
                lot.due -= days;
                first = first.min(lot.due);
            }
        }
        queue.next_due = queue.next_due.min(first);
        self.bound(place, 0, first);
    }

    /// Moves up to `kg` of an item from some places into another, oldest first;
    /// returns the kg moved.
    pub(crate) fn shift(
        &mut self,
        item: ItemId,
        from: impl Fn(PlaceId) -> bool,
        to: PlaceId,
        kg: f64,
    ) -> f64 {
        let mut moved = 0.0;
        let mut mask = self.stands_in[item.at()];
        while mask != 0 {
            let p = PlaceId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            if p == to || !from(p) {
                continue;
            }
            let mut i = 0;
            while moved + CRUMB < kg && i < self.queues[self.q(item, p)].lots.len() {
                let here = self.shift_lot(item, p, i, to, kg - moved);
                if here <= CRUMB {
                    i += 1;
                }
                moved += here;
            }
        }
        moved
    }

    /// Moves as much as fits of one lot; jars move whole.
    pub(super) fn shift_lot(&mut self, item: ItemId, from: PlaceId, i: usize, to: PlaceId, most: f64) -> f64 {
        let q = self.q(item, from);
        let lot = &self.queues[q].lots[i];
        let (mass, jars) = match self.plan.items[item.at()].container {
            Container::Bucket => return 0.0,
            Container::Volume { litres_per_kg } => {
                let fits = self.fits_kg(to, litres_per_kg).min(most);
                (if lot.matter.mass <= fits + CRUMB { lot.matter.mass } else { fits }, 0)
            }
            Container::Jar { .. } => {
                let size = usize::from(lot.jar);
                let room = self.room_for_jars(to, size);
                if room == 0 {
                    return 0.0;
                }
                let working = self.facts[item.at()].jar_kg[size];
                let asked = if most >= lot.matter.mass { lot.jars } else { (most / working) as u32 };
                let jars = room.min(asked).min(lot.jars);
                (self.jars_hold(item, lot, jars), jars)
            }
        };
        if mass <= CRUMB {
            return 0.0;
        }
        let life = self.life_left(item, from, lot);
        let risen = self.clocks.rise[from.at()] - lot.rise_from;
        let Some(lot) = self.part(item, from, i, mass, jars) else { return 0.0 };
        let mut moved = lot;
        moved.due = if lot.turned { self.found_by(item, to) } else { self.due(item, to, life) };
        moved.rise_from = self.clocks.rise[to.at()] - risen;
        self.freeze_left[to.at()] -= moved.matter.mass;
        self.push(item, to, moved);
        moved.matter.mass
    }

    /// What so many jars of a lot hold, kg: full jars first; the part-filled one
    /// goes with the last.
    pub(crate) fn jars_hold(&self, item: ItemId, lot: &Lot, jars: u32) -> f64 {
        let working = self.facts[item.at()].jar_kg[usize::from(lot.jar)];
        if jars >= lot.jars { lot.matter.mass } else { (working * f64::from(jars)).min(lot.matter.mass) }
    }

    /// Takes so much and so many jars of a lot out of its queue, and hands them
    /// over with the jars. Jars that this leaves empty go to the washing-up.
    pub(crate) fn part(
        &mut self,
        item: ItemId,
        from: PlaceId,
        i: usize,
        mass: f64,
        jars: u32,
    ) -> Option<Lot> {
        let q = self.q(item, from);
        let lot = *self.queues[q].lots.get(i)?;
        if mass >= lot.matter.mass {
            self.pull(item, from, i);
            if lot.jar != NO_JAR {
                self.dirty[usize::from(lot.jar)] += lot.jars - jars;
            }
            return Some(Lot { jars, ..lot });
        }
        let matter = lot.matter * (mass / lot.matter.mass);
        self.weigh(item, -matter.mass);
        if !lot.settled {
            self.queues[q].unready -= matter.mass;
        }
        if lot.jar == NO_JAR {
            if let Container::Volume { litres_per_kg } = self.plan.items[item.at()].container {
                self.litres_in[from.at()] -= matter.mass * litres_per_kg;
            }
        } else {
            self.jars_go(from, lot.jar, jars);
        }
        self.measure(from);
        let l = &mut self.queues[q].lots[i];
        l.matter -= matter;
        l.jars -= jars;
        Some(Lot { matter, jars, ..lot })
    }

    /// Tries to bring what stands on the counter for want of room into its places.
    pub(crate) fn find_places(&mut self) {
        let plan = self.plan;
        let mut mask = self.occupied[0] & self.homed;
        while mask != 0 {
            let item = ItemId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            for &place in plan.items[item.at()].places.iter().take_while(|&&p| p != COUNTER) {
                self.shift(item, |p| p == COUNTER, place, f64::INFINITY);
            }
        }
    }
}
