//! When the cold room is full: tonight's list and what begins tomorrow.

use super::larder::{CRUMB, Choice};
use super::trial::Trial;
use crate::scenario::plan::{FullStep, ItemId, WasteCause};

impl Trial<'_> {
    /// Brings what stands on the counter into its place; if room is wanting,
    /// goes through tonight's list until everything has one.
    pub(super) fn make_room(&mut self) {
        self.larder.find_places();
        self.note_room();
        if self.larder.has_unplaced() {
            self.tonight();
        }
        self.chill();
    }

    fn tonight(&mut self) {
        self.today.over_full = true;
        let plan = self.plan;
        let base = plan.rules.len();
        let not_today = Choice { not_of_day: Some(self.day), ..Choice::ANY };
        for (n, step) in plan.when_full.tonight.iter().enumerate() {
            let mut fired = 0;
            while self.larder.has_unplaced() {
                let item = match *step {
                    FullStep::Feed(item) | FullStep::PourOut(item) => item,
                };
                let mut kg = self.kg_in_the_way(item);
                // What is set aside for members stays.
                let aside = self.aside_of(item);
                if aside > 0.0 {
                    kg = kg.min(self.larder.stock(item) - aside);
                    if kg <= CRUMB {
                        break;
                    }
                }
                let done = match *step {
                    FullStep::Feed(_) => self.feed(item, kg, not_today),
                    FullStep::PourOut(_) => self.pour_out(item, kg, not_today, Some(WasteCause::NoRoom)),
                };
                if done <= CRUMB {
                    break;
                }
                fired += 1;
                self.rules[base + n].kg += done;
                self.larder.find_places();
            }
            let tally = &mut self.rules[base + n];
            tally.fired += fired;
            tally.days_fired += u32::from(fired > 0);
        }
        let used = self.larder.cold_used_l();
        self.note_used(used);
    }

    /// Kg of an item to take away at once: a jar's worth, or what is unplaced
    /// if that is more.
    fn kg_in_the_way(&self, item: ItemId) -> f64 {
        let density = self.plan.items[item.at()].density;
        let jar = self.plan.jars.last().map_or(1.0, |j| j.working_l);
        let unplaced = self.larder.unplaced_jar_l();
        jar.max(unplaced) * density
    }

    /// After the evening's list: what begins tomorrow, all that can.
    pub(super) fn plan_tomorrow(&mut self) {
        if !self.today.over_full {
            return;
        }
        let plan = self.plan;
        let base = plan.rules.len() + plan.when_full.tonight.len();
        for (n, action) in plan.when_full.tomorrow.iter().enumerate() {
            let tally = match self.begin_tomorrow(action) {
                Ok(_) => {
                    let t = &mut self.rules[base + n];
                    t.fired += 1;
                    t.days_fired += 1;
                    continue;
                }
                Err(why) => (&mut self.rules[base + n], why),
            };
            tally.0.blocked[tally.1 as usize] += 1;
        }
    }
}
