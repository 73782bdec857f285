//! How full places are, and what still fits.

use super::*;

/// Jars for an amount in jars; a cast rounds down faster than the target's
/// `ceil`, and holds out-of-range values at the ends of the type.
#[inline]
pub(super) fn whole_jars(amount: f64) -> u32 {
    let amount = amount - SLACK;
    let down = amount as u32;
    down + u32::from(amount > f64::from(down))
}

impl Larder<'_> {
    /// Part of a place in use, other food included; may exceed 1 only by rounding.
    #[inline]
    pub(crate) fn used_part(&self, place: PlaceId) -> f64 {
        if place == COUNTER {
            return 0.0;
        }
        self.other_food[place.at()] + self.filled_part(place)
    }

    /// Part of a place that jars and parcels fill.
    #[inline]
    pub(super) fn filled_part(&self, place: PlaceId) -> f64 {
        let known = self.filled[place.at()].get();
        if known >= 0.0 { known } else { self.fill(place) }
    }

    /// Works out how full a place is, from its counts, so that rounding never
    /// piles up.
    pub(super) fn fill(&self, place: PlaceId) -> f64 {
        let p = &self.plan.places[place.at()];
        let mut filled = ((self.litres_in[place.at()] + self.apart_l[place.at()]) / p.litres).max(0.0);
        for (part, &n) in p.jar_part.iter().zip(&self.jars_in[place.at()]) {
            if n > 0 {
                filled += part * f64::from(n);
            }
        }
        self.filled[place.at()].set(filled);
        filled
    }

    /// What fills a place has changed.
    #[inline]
    pub(super) fn measure(&self, place: PlaceId) {
        self.filled[place.at()].set(f64::NAN);
    }

    /// Litres of cold room in use, other food included.
    pub(crate) fn cold_used_l(&self) -> f64 {
        self.used_l(PlaceKind::Fridge)
    }

    /// Litres of room in use in all places of a kind, other food included.
    pub(crate) fn used_l(&self, kind: PlaceKind) -> f64 {
        let mut sum = 0.0;
        for &p in &self.by_kind[kind as usize] {
            sum += self.used_part(p) * self.litres[p.at()];
        }
        sum
    }

    /// Part of a store's room in use, all its shelf groups together.
    pub(crate) fn fullness(&self, store: u16) -> f64 {
        let Some((places, litres)) = self.stores.get(usize::from(store)) else { return 0.0 };
        let mut used = 0.0;
        for &p in places {
            used += self.used_part(p) * self.litres[p.at()];
        }
        if *litres > 0.0 { used / litres } else { 0.0 }
    }

    /// Be it a crumb, something on the counter belongs in the cold.
    #[inline]
    pub(super) fn some_unplaced(&self) -> bool {
        self.occupied[0] & self.cold != 0
    }

    /// Something that belongs in the cold stands on the counter for want of room.
    pub(crate) fn has_unplaced(&self) -> bool {
        self.some_unplaced() && self.unplaced().any(|(_, lot)| lot.matter.mass > CRUMB)
    }

    /// Lots on the counter that belong in the cold.
    fn unplaced(&self) -> impl Iterator<Item = (ItemId, &Lot)> {
        let mut mask = self.occupied[0] & self.cold;
        let items = std::iter::from_fn(move || {
            let item = ItemId(mask.trailing_zeros() as u8);
            (mask != 0).then(|| {
                mask &= mask - 1;
                item
            })
        });
        items.flat_map(|item| self.queues[self.q(item, COUNTER)].lots.iter().map(move |lot| (item, lot)))
    }

    /// Jars on the counter that belong in the cold, by size.
    pub(super) fn unplaced_jars(&self) -> [u32; MAX_JARS] {
        let mut jars = [0; MAX_JARS];
        for (_, lot) in self.unplaced().filter(|(_, lot)| lot.jar != NO_JAR) {
            jars[usize::from(lot.jar)] += lot.jars;
        }
        jars
    }

    /// What the jars on the counter that belong in the cold would hold, L.
    pub(crate) fn unplaced_jar_l(&self) -> f64 {
        self.plan.jars.iter().zip(self.unplaced_jars()).map(|(jar, n)| jar.working_l * f64::from(n)).sum()
    }

    /// Litres of cold room that the unplaced would need.
    pub(crate) fn unplaced_l(&self) -> f64 {
        let wrapped = self.unplaced().filter(|(_, lot)| lot.jar == NO_JAR);
        let mut sum: f64 =
            wrapped.map(|(i, lot)| lot.matter.mass * self.facts[i.at()].litres_per_kg.unwrap_or(0.0)).sum();
        let cold = self.plan.places.iter().filter(|p| p.kind == PlaceKind::Fridge);
        for (size, &n) in self.unplaced_jars().iter().enumerate().filter(|(_, n)| **n > 0) {
            let each = cold
                .clone()
                .map(|p| p.jar_part[size] * p.litres)
                .find(|l| l.is_finite())
                .unwrap_or(self.plan.jars[size].working_l);
            sum += each * f64::from(n);
        }
        sum
    }

    /// Kg of a wrapped item that still fit a place today.
    pub(crate) fn fits_kg(&self, place: PlaceId, litres_per_kg: f64) -> f64 {
        let room = ((1.0 - self.used_part(place)) * self.litres[place.at()] / litres_per_kg).max(0.0);
        room.min(self.freeze_left[place.at()])
    }

    /// Freezes something that is no lot: in that place, or in the first freezer
    /// with room. Where, and how many kg fit.
    pub(crate) fn freeze_apart(
        &mut self,
        kg: f64,
        litres_per_kg: f64,
        at: Option<PlaceId>,
    ) -> (Option<PlaceId>, f64) {
        let freezers = &self.by_kind[PlaceKind::Freezer as usize];
        let roomy = |p: &PlaceId| self.fits_kg(*p, litres_per_kg) > CRUMB;
        let Some(place) = at.or_else(|| freezers.iter().copied().find(roomy)) else { return (None, 0.0) };
        let kg = self.fits_kg(place, litres_per_kg).min(kg);
        self.freeze_left[place.at()] -= kg;
        self.apart_l[place.at()] += kg * litres_per_kg;
        self.measure(place);
        (Some(place), kg)
    }

    /// So many litres kept apart from the lots are gone.
    pub(crate) fn clear_apart(&mut self, place: PlaceId, litres: f64) {
        let apart = &mut self.apart_l[place.at()];
        *apart = (*apart - litres).max(0.0);
        self.measure(place);
    }

    /// Jars of a size that still fit a place.
    pub(crate) fn room_for_jars(&self, place: PlaceId, size: usize) -> u32 {
        let part = self.plan.places[place.at()].jar_part[size];
        if !part.is_finite() {
            return 0;
        }
        if part <= 0.0 {
            return u32::MAX;
        }
        ((1.0 - self.used_part(place)) / part + SLACK) as u32
    }

    /// Items of which there is something.
    pub(crate) fn present(&self) -> u64 {
        self.occupied[..self.places].iter().fold(0, |all, here| all | here)
    }
}
