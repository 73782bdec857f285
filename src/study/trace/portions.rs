//! Of what the matter of a fate was: which item, who had it, from whom it came.

use super::events::{Books, Watcher, What, rule_of};
use crate::dairy::matter::Matter;
use crate::scenario::plan::{FullStep, ItemId, fixed};
use crate::sim::outcome::Fate;
use crate::sim::watch::{Moment, View};

/// A part of what went somewhere: its item, who had it, and how much of it
/// there was to go, for dividing.
#[derive(Clone, Copy)]
pub(super) struct Portion {
    item: Option<ItemId>,
    outlet: Option<usize>,
    animal: Option<usize>,
    matter: Matter,
}

impl Watcher<'_> {
    /// Of what a fate's matter may have been, with how much of it there was.
    pub(super) fn portions(
        &self,
        fate: Fate,
        moment: Moment,
        view: &View,
        before: &Books,
        now: &Books,
        gone: &[Matter],
    ) -> Vec<Portion> {
        if !has_item(fate) {
            return Vec::new();
        }
        if let Moment::Milked { evening } = moment
            && (fate == Fate::Calf || fate.is_withheld() && fate != Fate::WithheldSick)
        {
            return self.given(fate, view, evening);
        }
        if fate == Fate::Fed {
            let fed = self.fed(before, now, gone);
            if !fed.is_empty() {
                return fed;
            }
        }
        let thrown = match fate {
            Fate::WastedOutage => all(&differences(&now.thrown[0], &before.thrown[0])),
            Fate::WastedFoul => all(&differences(&now.thrown[1], &before.thrown[1])),
            _ => Vec::new(),
        };
        if !thrown.is_empty() {
            return thrown;
        }
        let byproduct = |p: &Portion| p.item.is_some_and(|i| self.plan.items[i.at()].byproduct);
        let wished = |p: &Portion| match moment {
            Moment::Wish(w) => p.item.is_some_and(|i| self.plan.household.wishes[w].items.contains(&i)),
            _ => true,
        };
        let mut portions = all(gone);
        match fate {
            Fate::ByproductPoured => portions.retain(byproduct),
            Fate::Eaten => portions.retain(wished),
            _ if fate.is_waste() && fate != Fate::WastedFoul => portions.retain(|p| !byproduct(p)),
            _ => {}
        }
        if portions.is_empty() && matches!(moment, Moment::Milked { .. } | Moment::Fetched) {
            let item = Some(fixed::WHOLE);
            portions.push(Portion { item, outlet: None, animal: None, matter: only_mass(1.0) });
        }
        portions
    }

    /// What calves drank and what was kept from people, animal by animal.
    fn given(&self, fate: Fate, view: &View, evening: bool) -> Vec<Portion> {
        let each = (0..self.plan.animals.len()).filter_map(|animal| {
            let m = view.milked(animal);
            let matter = if fate == Fate::Calf {
                m.calf
            } else if m.withheld {
                m.pails[usize::from(evening)]
            } else {
                Matter::NONE
            };
            let portion = Portion { item: Some(fixed::WHOLE), outlet: None, animal: Some(animal), matter };
            (matter.mass > 0.0).then_some(portion)
        });
        each.collect()
    }

    /// What the animals that are fed had, by how their appetites have fallen.
    fn fed(&self, before: &Books, now: &Books, gone: &[Matter]) -> Vec<Portion> {
        let mut out = Vec::new();
        for (n, &(outlet, item)) in self.takes.iter().enumerate() {
            let (Some(a), Some(b)) = (before.appetites.get(n), now.appetites.get(n)) else { continue };
            let kg = a - b;
            if !kg.is_finite() {
                // No cap: what has left the store of it.
                if gone[item.at()].mass > 1e-12 {
                    out.push(Portion {
                        item: Some(item),
                        outlet: None,
                        animal: None,
                        matter: gone[item.at()],
                    });
                }
            } else if kg > 1e-12 {
                let there = gone[item.at()];
                let matter = if there.mass > 1e-12 && there.fat >= 0.0 {
                    there * (kg / there.mass)
                } else {
                    only_mass(kg)
                };
                out.push(Portion { item: Some(item), outlet: Some(outlet), animal: None, matter });
            }
        }
        out
    }

    /// Divides what went to a fate over the portions, each of the four amounts
    /// in its own proportion: the parts always add up to the whole.
    pub(super) fn divide(&mut self, moment: Moment, fate: Fate, amount: Matter, portions: &[Portion]) {
        let none = Portion { item: None, outlet: None, animal: None, matter: Matter::NONE };
        let portions = if portions.is_empty() { &[none][..] } else { portions };
        let sum = portions.iter().fold(Matter::NONE, |sum, p| sum + p.matter);
        let mut left = amount;
        for (n, p) in portions.iter().enumerate() {
            let by_mass = if sum.mass > 0.0 { p.matter.mass / sum.mass } else { 0.0 };
            let part = |of: f64, all: f64| if all > 1e-12 { of / all } else { by_mass };
            let matter = if n + 1 == portions.len() {
                left
            } else {
                Matter {
                    mass: amount.mass * by_mass,
                    fat: amount.fat * part(p.matter.fat, sum.fat),
                    protein: amount.protein * part(p.matter.protein, sum.protein),
                    milk: amount.milk * part(p.matter.milk, sum.milk),
                }
            };
            left -= matter;
            let what = What::Went { fate, item: p.item, outlet: p.outlet, animal: p.animal };
            self.tell(moment, self.rule_behind(moment, p.item), what, matter);
        }
    }

    /// The rule, or step of tonight's list, behind what went.
    fn rule_behind(&self, moment: Moment, item: Option<ItemId>) -> Option<usize> {
        if moment != Moment::Room {
            return rule_of(moment);
        }
        let worked = self.events.iter().rev().take_while(|e| e.day == self.day && e.moment == moment);
        let base = self.plan.rules.len();
        worked.filter(|e| matches!(e.what, What::Fired(_))).filter_map(|e| e.rule).find(|r| {
            let step = r.checked_sub(base).and_then(|n| self.plan.when_full.tonight.get(n));
            matches!(step, Some(FullStep::Feed(i) | FullStep::PourOut(i)) if Some(*i) == item)
        })
    }
}

/// A fate whose matter can be told by item.
pub(super) const fn has_item(fate: Fate) -> bool {
    !matches!(fate, Fate::Film | Fate::Steam | Fate::WastedFailedBatch)
}

pub(super) const fn only_mass(kg: f64) -> Matter {
    Matter { mass: kg, fat: 0.0, protein: 0.0, milk: kg }
}

/// What has left the store of each item (below nothing: what was added).
pub(super) fn differences(before: &[Matter], now: &[Matter]) -> Vec<Matter> {
    before.iter().zip(now).map(|(&a, &b)| a - b).collect()
}

/// A portion of each item of which there is something.
pub(super) fn all(stocks: &[Matter]) -> Vec<Portion> {
    let each = stocks.iter().enumerate().filter(|(_, m)| m.mass > 1e-12);
    each.map(|(i, &matter)| Portion {
        item: Some(ItemId(i as u8)),
        outlet: None,
        animal: None,
        matter: Matter {
            mass: matter.mass,
            fat: matter.fat.max(0.0),
            protein: matter.protein.max(0.0),
            milk: matter.milk.max(0.0),
        },
    })
    .collect()
}
