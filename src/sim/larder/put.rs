//! Putting away and moving.

use super::*;

impl Larder<'_> {
    /// Puts a parcel away: jars by size, places in the item's order, the
    /// counter as a last resort. What finds no clean jar is handed back.
    /// Also says in which place the first of it came to stand.
    pub(crate) fn put(&mut self, parcel: &Parcel) -> (Matter, Option<PlaceId>) {
        let item = &self.plan.items[parcel.item.at()];
        if parcel.matter.mass <= 0.0 {
            return (Matter::NONE, None);
        }
        match item.container {
            Container::Bucket => {
                self.push_part(parcel, COUNTER, parcel.matter, NO_JAR, 0);
                (Matter::NONE, Some(COUNTER))
            }
            Container::Volume { litres_per_kg } => (Matter::NONE, self.put_volume(parcel, litres_per_kg)),
            Container::Jar { largest_first } => self.put_jars(parcel, largest_first),
        }
    }

    pub(super) fn put_volume(&mut self, parcel: &Parcel, litres_per_kg: f64) -> Option<PlaceId> {
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
            first = first.or(Some(COUNTER));
        } else if left.mass != 0.0 && first.is_some() {
            // A crumb is never dropped: it joins the part just placed.
            self.add_crumb(parcel.item, first, left);
        }
        first
    }

    pub(super) fn add_crumb(&mut self, item: ItemId, place: Option<PlaceId>, crumb: Matter) {
        if let Some(place) = place {
            let q = self.q(item, place);
            if let Some(lot) = self.queues[q].lots.back_mut() {
                lot.matter += crumb;
                self.weigh(item, crumb.mass);
            }
        }
    }

    pub(super) fn put_jars(&mut self, parcel: &Parcel, largest_first: bool) -> (Matter, Option<PlaceId>) {
        let plan = self.plan;
        let item = &plan.items[parcel.item.at()];
        let (mut left, mut first) = (parcel.matter, None);
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
                first = first.or(Some(place));
            }
            if left.mass <= CRUMB {
                break;
            }
        }
        (left, first)
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
        };
        self.push(parcel.item, place, lot);
    }

    /// Shortens the life of the lots of an item set down just now in a place
    /// (a slow chilling is charged once it is known).
    pub(crate) fn shorten(&mut self, item: ItemId, place: PlaceId, species: Species, days: f64) {
        let q = self.q(item, place);
        let now = self.now;
        let queue = &mut self.queues[q];
        let soonest = &mut self.soonest[place.at()][0];
        let fresh = queue.lots.iter_mut().rev().take_while(|l| l.rested >= now);
        for lot in fresh.filter(|l| l.species == species) {
            lot.due -= days;
            queue.next_due = queue.next_due.min(lot.due);
            *soonest = soonest.min(lot.due);
        }
    }

    /// Moves up to `kg` of an item into a place, oldest first; returns the kg moved.
    pub(crate) fn shift(&mut self, item: ItemId, from: Option<PlaceId>, to: PlaceId, kg: f64) -> f64 {
        let mut moved = 0.0;
        for p in (0..self.places).map(|p| PlaceId(p as u8)) {
            if p == to || from.is_some_and(|f| f != p) {
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
        let lot = self.queues[q].lots[i];
        let life = self.life_left(item, from, &lot);
        let risen = self.clocks.rise[from.at()] - lot.rise_from;
        let (mass, jars) = match self.plan.items[item.at()].container {
            Container::Bucket => return 0.0,
            Container::Volume { litres_per_kg } => {
                let fits = self.fits_kg(to, litres_per_kg).min(most);
                (if lot.matter.mass <= fits + CRUMB { lot.matter.mass } else { fits }, 0)
            }
            Container::Jar { .. } => {
                let size = usize::from(lot.jar);
                let working = self.facts[item.at()].jar_kg[size];
                let asked = if most >= lot.matter.mass { lot.jars } else { (most / working) as u32 };
                let jars = self.room_for_jars(to, size).min(asked).min(lot.jars);
                // Full jars go first; the part-filled one goes with the last.
                let mass = if jars == lot.jars {
                    lot.matter.mass
                } else {
                    (working * f64::from(jars)).min(lot.matter.mass)
                };
                (mass, jars)
            }
        };
        if mass <= CRUMB {
            return 0.0;
        }
        let whole = mass >= lot.matter.mass;
        let matter = if whole { lot.matter } else { lot.matter * (mass / lot.matter.mass) };
        if whole {
            self.pull(item, from, i);
        } else {
            self.weigh(item, -matter.mass);
            if !lot.settled {
                self.queues[q].unready -= matter.mass;
            }
            if lot.jar == NO_JAR {
                if let Container::Volume { litres_per_kg } = self.plan.items[item.at()].container {
                    self.litres_in[from.at()] -= matter.mass * litres_per_kg;
                }
            } else {
                self.jars_in[from.at()][usize::from(lot.jar)] -= jars;
            }
            self.measure(from);
            let l = &mut self.queues[q].lots[i];
            l.matter -= matter;
            l.jars -= jars;
        }
        let mut moved = Lot { matter, jars, ..lot };
        moved.due = if lot.turned { f64::INFINITY } else { self.due(item, to, life) };
        moved.rise_from = self.clocks.rise[to.at()] - risen;
        self.freeze_left[to.at()] -= matter.mass;
        self.push(item, to, moved);
        matter.mass
    }

    /// Tries to bring what stands on the counter for want of room into its places.
    pub(crate) fn find_places(&mut self) {
        if !self.has_unplaced() {
            return;
        }
        let plan = self.plan;
        let mut mask = self.occupied[0];
        while mask != 0 {
            let item = ItemId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            if plan.items[item.at()].container == Container::Bucket {
                continue;
            }
            for &place in &plan.items[item.at()].places {
                if place != COUNTER {
                    self.shift(item, Some(COUNTER), place, f64::INFINITY);
                }
            }
        }
    }
}
