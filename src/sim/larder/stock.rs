//! How much there is.

use super::*;

impl Larder<'_> {
    /// The queues of an item that hold something.
    #[inline]
    pub(super) fn where_is(&self, item: ItemId) -> impl Iterator<Item = usize> + use<> {
        let base = item.at() * self.places;
        let mut mask = self.stands_in[item.at()];
        std::iter::from_fn(move || {
            let place = mask.trailing_zeros() as usize;
            (mask != 0).then(|| {
                mask &= mask - 1;
                base + place
            })
        })
    }

    /// The places where an item stands, a bit each.
    #[inline]
    pub(crate) fn places_of(&self, item: ItemId) -> u32 {
        self.stands_in[item.at()]
    }

    /// Books a change of mass.
    #[inline]
    pub(super) fn weigh(&mut self, item: ItemId, kg: f64) {
        self.item_mass[item.at()] += kg;
    }

    /// All mass of an item, kg.
    #[inline]
    pub(crate) fn stock(&self, item: ItemId) -> f64 {
        self.item_mass[item.at()]
    }

    /// Mass of an item that may be eaten, kg.
    #[inline]
    pub(crate) fn stock_ready(&self, item: ItemId) -> f64 {
        let mut ready = self.stock(item);
        if self.waiting >> item.0 & 1 == 0 {
            return ready;
        }
        for q in self.where_is(item) {
            ready -= self.queues[q].unready;
        }
        ready
    }

    /// Mass of an item that may be eaten and was drawn at a time or later, kg.
    /// Looks at the young end of the queues only.
    pub(crate) fn stock_since(&self, item: ItemId, drawn_from: f64) -> f64 {
        if drawn_from == f64::NEG_INFINITY {
            return self.stock_ready(item);
        }
        let mut sum = 0.0;
        for q in self.where_is(item) {
            let young = self.queues[q].lots.iter().rev().take_while(|l| l.drawn >= drawn_from);
            sum += young.filter(|l| l.settled).map(|l| l.matter.mass).sum::<f64>();
        }
        sum
    }

    /// Mass of an item that stands elsewhere than in some places, kg.
    pub(crate) fn stock_beside(&self, item: ItemId, here: impl Fn(PlaceId) -> bool) -> f64 {
        let place = |q: usize| PlaceId((q - item.at() * self.places) as u8);
        let elsewhere = self.where_is(item).filter(|&q| !here(place(q)));
        elsewhere.flat_map(|q| &self.queues[q].lots[..]).map(|l| l.matter.mass).sum()
    }

    /// Mass of a set of items, kg.
    pub(crate) fn stock_mask(&self, mut mask: u64) -> f64 {
        let mut sum = 0.0;
        while mask != 0 {
            sum += self.stock(ItemId(mask.trailing_zeros() as u8));
            mask &= mask - 1;
        }
        sum
    }

    /// When the oldest lot of a set of items was drawn, days; `None` if there is none.
    pub(crate) fn oldest(&self, mut mask: u64) -> Option<f64> {
        let mut oldest = f64::INFINITY;
        while mask != 0 {
            for l in
                self.where_is(ItemId(mask.trailing_zeros() as u8)).filter_map(|q| self.queues[q].lots.first())
            {
                oldest = oldest.min(l.drawn);
            }
            mask &= mask - 1;
        }
        oldest.is_finite().then_some(oldest)
    }

    /// Items of which there is something.
    #[inline]
    pub(crate) fn present(&self) -> u64 {
        self.present
    }

    /// All matter in store.
    pub(crate) fn everything(&self) -> Matter {
        let mut sum = Matter::NONE;
        for lot in self.queues.iter().flat_map(|q| &q.lots[..]) {
            sum += lot.matter;
        }
        sum
    }

    /// Everything of an item as it stands, place by place, oldest first.
    pub(crate) fn stored(&self, item: ItemId) -> impl Iterator<Item = Stored> + '_ {
        self.where_is(item).flat_map(move |q| {
            let place = PlaceId((q - item.at() * self.places) as u8);
            self.queues[q].lots.iter().map(move |lot| Stored {
                place,
                matter: lot.matter,
                drawn: lot.drawn,
                ready: lot.ready,
                ageing_loss: if lot.settled { 0.0 } else { lot.ageing_loss },
                jars: (lot.jar != NO_JAR).then_some((JarId(lot.jar), lot.jars)),
                life: self.life_left(item, place, lot),
            })
        })
    }

    /// All matter in store of one item.
    pub(crate) fn matter(&self, item: ItemId) -> Matter {
        let lots = self.where_is(item).flat_map(|q| &self.queues[q].lots[..]);
        lots.fold(Matter::NONE, |sum, lot| sum + lot.matter)
    }
}
