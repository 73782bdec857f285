//! How an animal stands when the run begins, where more is known than her dates.

use super::Animal;
use crate::scenario::plan::{AnimalNow, AnimalPlan, BreedingPlan, InCalf};
use crate::sim::luck::{AnimalLuck, Luck};

impl Animal {
    /// Lays over a lactation just begun what is known of it today. A freshening
    /// that would lie before the run comes on its first day instead.
    pub(super) fn as_of_today(&mut self, now: &AnimalNow, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) {
        if let Some((mean, sd)) = now.level {
            self.level = mean * luck.factor(sd, own.level[1]);
        }
        let due = self.due_today(now, plan, luck, own);
        self.next_fresh = self.next_fresh.map(|n| n.max(0));
        let table = super::curve(plan, self.lactation).map_or(0, Vec::len);
        let mut last = table.min(usize::from(plan.longest_days)) as i32;
        if let Some(due) = due {
            last = last.min(due.max(0) - self.fresh - plan.dry_days.round() as i32);
        }
        if let Some(dried) = now.dried_off {
            last = last.min(dried - self.fresh);
        }
        self.last_dim = last.max(0);
        if now.calf_gone {
            self.calf_gone_from = self.calf_gone_from.min(0);
        }
        if now.calf_shut_in {
            self.calf_shut_from = 0;
        }
        if let Some(until) = now.once_until {
            self.once_until = until;
        }
        if let Some(since) = now.ill_since {
            // As bad a case as they are on average.
            self.health.falls(since, plan.course.illness.map_or(0.0, |ill| ill.stays));
        }
        if let Some(until) = now.kept_until {
            self.health.keep_until(until);
        }
    }

    /// The day on which she is due after this lactation, from what is known of
    /// her services.
    fn due_today(
        &mut self,
        now: &AnimalNow,
        plan: &AnimalPlan,
        luck: &Luck,
        own: &AnimalLuck,
    ) -> Option<i32> {
        let z = luck.normal(own.freshening[1]);
        let usual = match &plan.course.bred {
            Some(bred) => self.conceived.map(|c| c + bred.gestation_days.round() as i32),
            None => self.next_fresh,
        };
        let bred = match &plan.course.bred {
            Some(bred) => bred,
            // Without heats to follow the dates say it, and a known service the date.
            None => return usual,
        };
        let settled = match now.bred {
            Some((day, InCalf::Known)) => Some(day),
            // In the average year the likelier.
            Some((day, InCalf::Hoped)) if luck.steady => (bred.settles >= 0.5).then_some(day),
            Some((day, InCalf::Hoped)) => (own.conceived < bred.settles).then_some(day),
            None => None,
        };
        if let Some(day) = settled {
            let carried = (bred.gestation_days + bred.gestation_sd * z).max(0.75 * bred.gestation_days);
            self.conceived = Some(day);
            (self.given_up, self.in_vain) = (None, None);
            self.next_fresh = Some((f64::from(day) + carried).round() as i32);
            return Some((f64::from(day) + bred.gestation_days).round() as i32);
        }
        if now.bred.is_none() && !now.open {
            return usual;
        }
        // Not in calf: the next heats count, from today on.
        let later = BreedingPlan { wait_days: bred.wait_days.max(f64::from(-self.fresh)), ..*bred };
        let day = self.is_bred(later.service(self.fresh, self.lactation, luck, own));
        let carried = (bred.gestation_days + bred.gestation_sd * z).max(0.75 * bred.gestation_days);
        self.next_fresh = day.map(|d| (d + carried).round() as i32);
        day.map(|d| (d + bred.gestation_days).round() as i32)
    }
}
