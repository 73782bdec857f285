//! Whether a rule worked, and why not.

use super::events::{Books, Lack, Watcher, What};
use super::portions::only_mass;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{Action, Condition};
use crate::sim::outcome::Blocked;
use crate::sim::watch::Moment;

impl Watcher<'_> {
    /// Whether a rule worked since the last look, or why not.
    pub(super) fn verdict(&mut self, moment: Moment, r: usize, before: &Books, now: &Books) {
        let (a, b) = (&before.rules[r], &now.rules[r]);
        if b.fired > a.fired {
            self.tell(moment, Some(r), What::Fired(b.fired - a.fired), only_mass(b.kg - a.kg));
        }
        for why in Blocked::ALL {
            if b.blocked[why as usize] > a.blocked[why as usize] {
                let lack = match why {
                    Blocked::Stock => self.of_stock(r, before),
                    Blocked::Age => self.of_age(r),
                    _ => Lack::Nothing,
                };
                self.tell(moment, Some(r), What::Held { why, lack }, Matter::NONE);
            }
        }
    }

    /// The first condition on a stock that does not hold.
    fn of_stock(&self, r: usize, before: &Books) -> Lack {
        let Some(rule) = self.plan.rules.get(r) else { return Lack::Nothing };
        let there = |mask: u64| before.stocks.iter().enumerate().filter(move |(i, _)| mask >> i & 1 == 1);
        let kg = |mask: u64| -> f64 { there(mask).map(|(_, m)| m.mass).sum() };
        let litres =
            |mask: u64| -> f64 { there(mask).map(|(i, m)| m.mass / self.plan.items[i].density).sum() };
        let of = |amount: f64, least: f64, most: f64| {
            if amount < least * (1.0 - 1e-9) {
                Lack::TooLow
            } else if amount > most * (1.0 + 1e-9) {
                Lack::TooHigh
            } else {
                Lack::Nothing
            }
        };
        let each = rule.when.iter().map(|condition| match *condition {
            Condition::Stock { items, least, most } => of(kg(items), least, most),
            Condition::StockOrAge { items, least_kg, .. } => of(kg(items), least_kg, f64::INFINITY),
            Condition::Jars { items, least, most } => {
                let jar = self.plan.jars.first().map_or(1.0, |j| j.working_l);
                of(litres(items) / jar, least, most)
            }
            // Days of supply: by the bound that is set.
            Condition::DaysOfSupply { least, most, .. } if least <= 0.0 && most.is_finite() => Lack::TooHigh,
            Condition::DaysOfSupply { .. } => Lack::TooLow,
            _ => Lack::Nothing,
        });
        each.into_iter().find(|lack| *lack != Lack::Nothing).unwrap_or(Lack::Nothing)
    }

    /// By the bound that is set on the oldest; a recipe's own bound is one on
    /// what is too old for it.
    fn of_age(&self, r: usize) -> Lack {
        let Some(rule) = self.plan.rules.get(r) else { return Lack::Nothing };
        let bounds = rule.when.iter().find_map(|condition| match *condition {
            Condition::OldestAge { least, most, .. } => Some((least, most)),
            _ => None,
        });
        let of_recipe = matches!(rule.action, Action::Make { recipe, .. }
            if self.plan.recipes[recipe.at()].inputs.iter().any(|i| i.newest_to_days.is_finite()));
        match bounds {
            Some((_, most)) if !most.is_finite() && !of_recipe => Lack::TooLow,
            Some((least, _)) if least <= 0.0 => Lack::TooHigh,
            Some(_) => Lack::Nothing,
            None if of_recipe => Lack::TooHigh,
            None => Lack::Nothing,
        }
    }
}
