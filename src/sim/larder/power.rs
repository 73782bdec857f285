//! What a warm load or a lost power does to a place.

use super::*;

impl Larder<'_> {
    /// All that stands in a place ages by so many days more, by the sweet and by
    /// the keeping clock: one step of the clocks, whatever stands there.
    pub(crate) fn age(&mut self, place: PlaceId, sweet_days: f64, keep_days: f64) {
        if sweet_days <= 0.0 && keep_days <= 0.0 {
            return;
        }
        let p = place.at();
        self.clocks.sweet[p] += sweet_days.max(0.0);
        self.clocks.keep[p] += keep_days.max(0.0);
        // What is next due here is due sooner.
        let [sweet, keep] = self.soonest[p];
        self.due_at = self.due_at.min(self.when(p, 0, sweet)).min(self.when(p, 1, keep));
    }

    /// Wrapped things in a place, L.
    pub(crate) fn wrapped_l(&self, place: PlaceId) -> f64 {
        self.litres_in[place.at()].max(0.0)
    }

    /// The first of a set of items that stands in a place.
    pub(crate) fn first_of(&self, place: PlaceId, items: u64) -> Option<ItemId> {
        let here = self.occupied[place.at()] & items;
        (here != 0).then(|| ItemId(here.trailing_zeros() as u8))
    }

    /// Something stands in a place.
    pub(crate) fn holds(&self, place: PlaceId) -> bool {
        self.occupied[place.at()] != 0
    }
}
