//! Animals that are fed, in order, within their daily caps.

use super::larder::{CRUMB, Choice};
use super::outcome::Fate;
use super::trial::Trial;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{Action, ItemId, ItemMask, OutletPlan, Plan, fixed};

/// Young that lack more than this part of a day's milk went short of it (our
/// default).
const UNFED: f64 = 0.01;

impl Trial<'_> {
    /// New caps in the morning.
    pub(super) fn begin_feeding(&mut self) {
        let day = self.day;
        for (left, o) in self.outlet_left.iter_mut().zip(&self.plan.outlets) {
            let here = day >= o.from_day && day <= o.until_day;
            *left = if here { o.most_on(day) } else { 0.0 };
        }
        self.caps_left.copy_from_slice(&self.caps);
    }

    /// What the animals still take of an item today, kg.
    pub(super) fn appetite(&self, item: ItemId) -> f64 {
        self.takers[item.at()].iter().map(|&(o, n)| self.caps_left[n].min(self.outlet_left[o])).sum()
    }

    /// Some animal that takes an item is there today, hungry or not.
    pub(super) fn is_taken_today(&self, item: ItemId) -> bool {
        let here = |o: &OutletPlan| (o.from_day..=o.until_day).contains(&self.day);
        self.takers[item.at()].iter().any(|&(o, _)| here(&self.plan.outlets[o]))
    }

    /// Feeds up to `kg` of an item from store, oldest first; returns the kg that
    /// left the store, foul jars among them. What stays in emptied jars is made up
    /// for out of the next.
    pub(super) fn feed(&mut self, item: ItemId, kg: f64, choice: Choice) -> f64 {
        let mut most = self.appetite(item).min(kg);
        let mut gone = 0.0;
        while most > CRUMB {
            let (food, foul) = self.larder.serve(item, most, choice);
            self.found_foul(foul);
            self.serve_animals(item, food);
            gone += food.mass + foul.mass;
            most -= food.mass + foul.mass;
            if food.mass <= CRUMB {
                break;
            }
        }
        gone
    }

    /// Books matter as fed; the caller has asked [`Self::appetite`] first.
    pub(super) fn serve_animals(&mut self, item: ItemId, matter: Matter) {
        if matter.mass <= 0.0 {
            return;
        }
        self.eat_up(item, matter.mass);
        self.ledger.went(Fate::Fed, matter);
        self.today.fed += matter.mass;
    }

    /// So much of an item is taken by those who take it, in order.
    pub(super) fn eat_up(&mut self, item: ItemId, kg: f64) {
        let mut left = kg;
        for &(o, n) in &self.takers[item.at()] {
            if left <= 0.0 {
                break;
            }
            let here = left.min(self.caps_left[n]).min(self.outlet_left[o]);
            self.caps_left[n] -= here;
            self.outlet_left[o] -= here;
            left -= here;
        }
    }

    /// Young that live on milk are served in the morning, before the people.
    pub(super) fn feed_young(&mut self) {
        for (o, outlet) in self.plan.outlets.iter().enumerate() {
            if outlet.first {
                self.round(o);
            }
        }
    }

    /// While the family is away young are fed out of the pail, before whoever milks
    /// keeps the rest; what they had of it.
    pub(super) fn feed_young_from(&mut self, pail: Matter) -> Matter {
        let mut fed = Matter::NONE;
        for (o, outlet) in self.plan.outlets.iter().enumerate().filter(|(_, o)| o.first) {
            let Some(cap) = self.milk_cap(o, outlet) else { continue };
            let kg = self.caps_left[cap].min(self.outlet_left[o]).min(pail.mass - fed.mass);
            if kg > CRUMB {
                self.caps_left[cap] -= kg;
                self.outlet_left[o] -= kg;
                fed += pail * (kg / pail.mass);
            }
        }
        self.ledger.went(Fate::Fed, fed);
        self.today.fed += fed.mass;
        fed
    }

    /// Which cap the whole milk that an outlet is given by itself falls under.
    fn milk_cap(&self, o: usize, outlet: &OutletPlan) -> Option<usize> {
        let given = outlet.by_itself >> fixed::WHOLE.0 & 1 == 1;
        self.takers[fixed::WHOLE.at()].iter().find(|&&(of, _)| given && of == o).map(|&(_, cap)| cap)
    }

    /// In the evening: whether young on the bottle went short of their milk today.
    /// On days of colostrum they have of that.
    pub(super) fn count_unfed_young(&mut self) {
        if !self.milk_seen || self.milk.iter().any(|m| m.withheld) {
            return;
        }
        let short = |(o, outlet): (usize, &OutletPlan)| {
            let most = |cap: usize| self.caps[cap].min(outlet.most_on(self.day));
            let left = |cap: usize| self.caps_left[cap].min(self.outlet_left[o]);
            let cap = self.milk_cap(o, outlet).filter(|_| outlet.first);
            cap.is_some_and(|cap| most(cap).is_finite() && left(cap) > UNFED * most(cap) + CRUMB)
        };
        let short = self.plan.outlets.iter().enumerate().any(short);
        self.out.young_short_days += u32::from(short);
    }

    /// The evening round: what each is given without being asked, beyond what
    /// the table wishes of it for a week, the kitchen makes something of, and
    /// tomorrow's drinking.
    pub(super) fn evening_feed(&mut self) {
        for o in 0..self.plan.outlets.len() {
            self.round(o);
        }
        // Sour jars have a cap; nobody keeps a fridge full of them.
        let over = self.larder.stock(fixed::SOUR_MILK) - self.plan.keeping.sour_cap_kg;
        if over > CRUMB {
            self.pour_out(fixed::SOUR_MILK, over, Choice::ANY, None);
        }
    }

    /// One outlet is given what it takes by itself, within its own caps.
    fn round(&mut self, o: usize) {
        if self.outlet_left[o] <= CRUMB {
            return;
        }
        let outlet = &self.plan.outlets[o];
        if outlet.by_itself & self.larder.present() == 0 {
            return;
        }
        for n in 0..self.rounds[o].len() {
            let (item, cap) = self.rounds[o][n];
            if self.larder.present() >> item.0 & 1 == 0 {
                continue;
            }
            let mut most = self.larder.stock(item).min(self.caps_left[cap]).min(self.outlet_left[o]);
            // Asked only where something would be given.
            if most > CRUMB && !outlet.first {
                most = most.min(self.beyond_house(item));
            }
            while most > CRUMB {
                let (food, foul) = self.larder.serve(item, most, Choice::ANY);
                self.found_foul(foul);
                self.caps_left[cap] -= food.mass;
                self.outlet_left[o] -= food.mass;
                self.ledger.went(Fate::Fed, food);
                self.today.fed += food.mass;
                most -= food.mass + foul.mass;
                if food.mass <= CRUMB {
                    break;
                }
            }
        }
    }

    /// Stock of an item that neither table nor kitchen waits for, kg.
    pub(super) fn beyond_house(&self, item: ItemId) -> f64 {
        let mut spare = self.free(item);
        for keep in &self.keeps[item.at()] {
            spare -= (keep.kg - self.larder.stock_mask(keep.before)).max(0.0);
        }
        spare.max(0.0)
    }
}

/// What the evening round leaves of an item for the house.
#[derive(Clone, Debug)]
pub(super) struct Keep {
    kg: f64,
    /// Items that do as well and are kept first.
    before: ItemMask,
}

/// A week of each wish; and a smallest batch of whey, soured cream and the like
/// that a rule may still make something of. By item.
pub(super) fn keeps(plan: &Plan) -> Vec<Vec<Keep>> {
    let mut keeps = vec![Vec::new(); plan.items.len()];
    let mut keep = |kg: f64, items: &mut dyn Iterator<Item = ItemId>| {
        let mut before = 0;
        for item in items {
            keeps[item.at()].push(Keep { kg, before });
            before |= 1 << item.0;
        }
    };
    for wish in &plan.household.wishes {
        keep(wish.gladly_kg.max(wish.at_least_kg), &mut wish.items.iter().copied());
    }
    for rule in &plan.rules {
        let Action::Make { recipe, .. } = rule.action else { continue };
        let recipe = &plan.recipes[recipe.at()];
        for input in &recipe.inputs {
            let mut items = input.items.iter().copied().filter(|i| !plan.items[i.at()].sweet);
            keep(recipe.least_kg * input.per_kg, &mut items);
        }
    }
    keeps
}
