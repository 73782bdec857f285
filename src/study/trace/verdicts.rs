//! Whether a rule worked, and why not.

use super::events::{Books, Watcher, What};
use super::portions::only_mass;
use crate::dairy::matter::Matter;
use crate::scenario::plan::Condition;
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
                let too_much = why == Blocked::Stock && self.waits_for_less(r, before);
                self.tell(moment, Some(r), What::Held { why, too_much }, Matter::NONE);
            }
        }
    }

    /// The first condition on a stock that does not hold asks for less.
    fn waits_for_less(&self, r: usize, before: &Books) -> bool {
        let Some(rule) = self.plan.rules.get(r) else { return false };
        let stock = |mask: u64| -> f64 {
            before.stocks.iter().enumerate().filter(|(i, _)| mask >> i & 1 == 1).map(|(_, m)| m.mass).sum()
        };
        for condition in &rule.when {
            match *condition {
                Condition::Stock { items, least, most } => {
                    let there = stock(items);
                    if there < least * (1.0 - 1e-9) {
                        return false;
                    }
                    if there > most * (1.0 + 1e-9) {
                        return true;
                    }
                }
                // Jars and days of supply: by the bound that is set.
                Condition::Jars { least, most, .. } | Condition::DaysOfSupply { least, most, .. }
                    if least <= 0.0 && most.is_finite() =>
                {
                    return true;
                }
                _ => {}
            }
        }
        false
    }
}
