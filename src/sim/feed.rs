//! Animals that are fed, in order, within their daily caps.

use super::larder::{CRUMB, Choice};
use super::outcome::Fate;
use super::trial::Trial;
use crate::scenario::plan::{ItemId, fixed};

impl Trial<'_> {
    /// New caps in the morning.
    pub(super) fn begin_feeding(&mut self) {
        let day = self.day;
        for (i, o) in self.plan.outlets.iter().enumerate() {
            let here = day >= o.from_day && day <= o.until_day;
            self.outlet_left[i] = if here { o.most_kg } else { 0.0 };
            for (left, &(_, cap)) in self.caps_left[i].iter_mut().zip(&o.takes) {
                *left = cap;
            }
        }
    }

    /// What the animals still take of an item today, kg.
    pub(super) fn appetite(&self, item: ItemId) -> f64 {
        let mut sum = 0.0;
        for (i, o) in self.plan.outlets.iter().enumerate() {
            let mut here = 0.0;
            for (left, &(it, _)) in self.caps_left[i].iter().zip(&o.takes) {
                if it == item {
                    here += left;
                }
            }
            sum += here.min(self.outlet_left[i]);
        }
        sum
    }

    /// Feeds up to `kg` of an item from store, oldest first; returns the kg fed.
    pub(super) fn feed(&mut self, item: ItemId, kg: f64, choice: Choice) -> f64 {
        let most = self.appetite(item).min(kg);
        if most <= CRUMB {
            return 0.0;
        }
        let taken = self.larder.take(item, most, choice);
        self.found_foul(taken.foul);
        self.serve_animals(item, taken.matter)
    }

    /// Books matter as fed; the caller has asked [`Self::appetite`] first.
    pub(super) fn serve_animals(&mut self, item: ItemId, matter: crate::dairy::matter::Matter) -> f64 {
        if matter.mass <= 0.0 {
            return 0.0;
        }
        let mut left = matter.mass;
        for (i, o) in self.plan.outlets.iter().enumerate() {
            for (cap, &(it, _)) in self.caps_left[i].iter_mut().zip(&o.takes) {
                if it == item {
                    let here = left.min(*cap).min(self.outlet_left[i]);
                    *cap -= here;
                    self.outlet_left[i] -= here;
                    left -= here;
                }
            }
        }
        self.ledger.went(Fate::Fed, matter);
        self.today.fed += matter.mass;
        matter.mass
    }

    /// The evening round: by-products and sour milk, beyond what the table
    /// wishes of them for a week.
    pub(super) fn evening_feed(&mut self) {
        let plan = self.plan;
        for (i, o) in plan.outlets.iter().enumerate() {
            if self.outlet_left[i] <= CRUMB {
                continue;
            }
            for &(item, _) in &o.takes {
                if o.by_itself >> item.0 & 1 == 0 {
                    continue;
                }
                let spare = self.larder.stock(item) - self.kept_for_table[item.at()];
                if spare > CRUMB {
                    self.feed(item, spare, Choice::ANY);
                }
            }
        }
        // Sour jars have a cap; nobody keeps a fridge full of them.
        let over = self.larder.stock(fixed::SOUR_MILK) - plan.keeping.sour_cap_kg;
        if over > CRUMB {
            self.pour_out(fixed::SOUR_MILK, over, Choice::ANY, None);
        }
    }
}
