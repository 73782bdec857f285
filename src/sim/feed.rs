//! Animals that are fed, in order, within their daily caps.

use super::larder::{CRUMB, Choice};
use super::outcome::Fate;
use super::trial::Trial;
use crate::scenario::plan::{ItemId, fixed};

impl Trial<'_> {
    /// New caps in the morning.
    pub(super) fn begin_feeding(&mut self) {
        let day = self.day;
        for (left, o) in self.outlet_left.iter_mut().zip(&self.plan.outlets) {
            let here = day >= o.from_day && day <= o.until_day;
            *left = if here { o.most_kg } else { 0.0 };
        }
        self.caps_left.copy_from_slice(&self.caps);
    }

    /// What the animals still take of an item today, kg.
    pub(super) fn appetite(&self, item: ItemId) -> f64 {
        self.takers[item.at()].iter().map(|&(o, n)| self.caps_left[n].min(self.outlet_left[o])).sum()
    }

    /// Feeds up to `kg` of an item from store, oldest first; returns the kg fed.
    pub(super) fn feed(&mut self, item: ItemId, kg: f64, choice: Choice) -> f64 {
        let most = self.appetite(item).min(kg);
        if most <= CRUMB {
            return 0.0;
        }
        let (food, foul) = self.larder.serve(item, most, choice);
        self.found_foul(foul);
        self.serve_animals(item, food)
    }

    /// Books matter as fed; the caller has asked [`Self::appetite`] first.
    pub(super) fn serve_animals(&mut self, item: ItemId, matter: crate::dairy::matter::Matter) -> f64 {
        if matter.mass <= 0.0 {
            return 0.0;
        }
        let mut left = matter.mass;
        for &(o, n) in &self.takers[item.at()] {
            if left <= 0.0 {
                break;
            }
            let here = left.min(self.caps_left[n]).min(self.outlet_left[o]);
            self.caps_left[n] -= here;
            self.outlet_left[o] -= here;
            left -= here;
        }
        self.ledger.went(Fate::Fed, matter);
        self.today.fed += matter.mass;
        matter.mass
    }

    /// The evening round: by-products and sour milk, beyond what the table
    /// wishes of them for a week and the kitchen makes something of.
    pub(super) fn evening_feed(&mut self) {
        let plan = self.plan;
        let present = self.larder.present();
        for (i, o) in plan.outlets.iter().enumerate() {
            if self.outlet_left[i] <= CRUMB || o.by_itself & present == 0 {
                continue;
            }
            for n in 0..self.rounds[i].len() {
                let item = self.rounds[i][n];
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
