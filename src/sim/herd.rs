//! The animals of a trial: where each stands in her lactation, and what she
//! gives on a day.

mod course;
#[cfg(test)]
mod tests;

use course::Health;

use super::luck::{AnimalLuck, Luck};
use crate::dairy::matter::Matter;
use crate::scenario::plan::{AnimalPlan, CalfPlan};

/// The least a day's milk can fall to, as a part of the curve.
const LEAST_PART: f64 = 0.05;
/// Pregnancy leaves at least this part of the curve (our default).
const LEAST_UNDER_PULL: f64 = 0.3;

/// How the calf stands with the dam today.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Calf {
    /// Not on her.
    #[default]
    Gone,
    /// Day and night.
    FullTime,
    /// By day; she is milked in the morning.
    ShutInOvernight,
}

/// What one animal gives on a day.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct DayMilk {
    /// Into the pail in the morning.
    pub morning: Matter,
    /// Into the pail in the evening.
    pub evening: Matter,
    /// Drunk by the calf on the dam.
    pub calf: Matter,
    /// Kept from people today (colostrum).
    pub withheld: bool,
    /// Kept from people today because she is ill or was treated.
    pub ill: bool,
    /// She was milked in the morning, in the evening.
    pub milkings: [bool; 2],
}

/// One animal in a trial.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Animal {
    /// Which lactation of the plan is current or next.
    lactation: usize,
    /// Day of its freshening.
    pub fresh: i32,
    /// Day of the next freshening, if she is bred again.
    next_fresh: Option<i32>,
    /// Day of conception, where breeding is followed.
    conceived: Option<i32>,
    /// Day of the last heat at which she might have settled, where she did not.
    given_up: Option<i32>,
    /// Last day in milk of this lactation.
    last_dim: i32,
    level: f64,
    slow: f64,
    calf_on_until: i32,
    once_until: i32,
    /// From this day on the young of this lactation is gone.
    calf_gone_from: i32,
    /// First day here, and first day gone.
    here: [i32; 2],
    health: Health,
}

impl Animal {
    /// An animal at the start of a trial.
    pub(crate) fn begin(plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) -> Self {
        let mut a = Self {
            fresh: (plan.freshens_day + plan.freshens_sd * luck.normal(own.freshening[0])).round() as i32,
            slow: plan.slow_sd * luck.normal(own.slow[0]),
            calf_on_until: i32::MIN,
            once_until: i32::MIN,
            here: [plan.course.comes.unwrap_or(i32::MIN), plan.course.leaves.unwrap_or(i32::MAX)],
            health: Health::well(),
            ..Self::default()
        };
        if !plan.course.first_lactation {
            a.treat_dry(plan, a.fresh - plan.dry_days.round() as i32, a.fresh);
        }
        a.begin_lactation(plan, luck, own);
        // She may have freshened more than once before the run begins.
        while a.next_fresh.is_some_and(|n| n <= 0) && a.lactation + 2 < own.freshening.len() {
            a.freshen_again(plan, luck, own);
        }
        a
    }

    fn begin_lactation(&mut self, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) {
        let stays = plan.level_repeat.clamp(0.0, 1.0);
        let k = self.lactation.min(own.level.len() - 2);
        let z = stays.sqrt() * own.level[0] + (1.0 - stays).sqrt() * own.level[k + 1];
        self.level = luck.factor(plan.level_log_sd, z);
        let due = self.breed(plan, luck, own);
        self.calf_gone_from = plan.course.calf_leaves.filter(|d| self.fresh < *d).unwrap_or(i32::MAX);
        let table = curve(plan, self.lactation).map_or(0, Vec::len);
        let mut last = table.min(usize::from(plan.longest_days)) as i32;
        if let Some(due) = due {
            last = last.min(due - self.fresh - plan.dry_days.round() as i32);
        }
        self.last_dim = last.max(0);
    }

    fn freshen_again(&mut self, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) {
        if let Some(next) = self.next_fresh {
            self.carry_over(plan);
            self.fresh = next;
            self.lactation += 1;
            self.begin_lactation(plan, luck, own);
        }
    }

    /// Freshens, dries off and falls ill; call once at the start of a day. How
    /// many cases of illness begin.
    pub(crate) fn wake(&mut self, day: u32, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) -> u32 {
        if self.next_fresh.is_some_and(|n| day as i32 >= n) {
            self.freshen_again(plan, luck, own);
        }
        self.slow = plan.slow_phi * self.slow
            + (1.0 - plan.slow_phi * plan.slow_phi).max(0.0).sqrt()
                * plan.slow_sd
                * luck.normal(own.slow[day as usize + 1]);
        self.fall_ill(day, plan, luck, own)
    }

    /// Days since she freshened, that day being 1.
    const fn dim(&self, day: u32) -> i32 {
        day as i32 - self.fresh + 1
    }

    /// She belongs to the family today.
    pub(crate) const fn is_here(&self, day: u32) -> bool {
        day as i32 >= self.here[0] && (day as i32) < self.here[1]
    }

    /// Days in milk (1 = the day of freshening); 0 or less: not yet fresh, or
    /// not here.
    pub(crate) const fn days_in_milk(&self, day: u32) -> i32 {
        if self.is_here(day) { self.dim(day) } else { 0 }
    }

    /// She gives milk today (for calf or people).
    pub(crate) const fn in_milk(&self, day: u32) -> bool {
        let dim = self.days_in_milk(day);
        dim >= 1 && dim <= self.last_dim
    }

    /// The family's milk begins with her today: she freshens, or comes in milk.
    pub(crate) const fn begins(&self, day: u32) -> bool {
        self.days_in_milk(day) == 1 || (day as i32 == self.here[0] && self.in_milk(day))
    }

    /// It is no first freshening of the plan.
    pub(crate) const fn has_freshened_again(&self) -> bool {
        self.lactation > 0
    }

    /// Her breeding ends in vain today.
    pub(crate) fn gives_up(&self, day: u32) -> bool {
        self.is_here(day) && self.given_up == Some(day as i32)
    }

    /// Milked once a day for a time.
    pub(crate) const fn is_milked_once(&self, day: u32) -> bool {
        day as i32 <= self.once_until
    }

    /// Days to her dry-off, when in milk.
    pub(crate) const fn days_to_dry_off(&self, day: u32) -> i32 {
        self.last_dim - self.days_in_milk(day) + 1
    }

    /// Dries off from the next morning, at once or over some days; false if she
    /// is dry already or being dried off.
    pub(crate) fn dry_off(&mut self, day: u32, plan: &AnimalPlan) -> bool {
        let last = self.dim(day) + i32::from(plan.course.dried_over);
        let can = self.in_milk(day) && (last < self.last_dim || plan.course.dried_over == 0);
        if can {
            self.last_dim = last;
        }
        can
    }

    /// The calf is shut in at night again from tomorrow; false where it was not
    /// left on.
    pub(crate) fn shut_calf_in(&mut self, day: u32) -> bool {
        let was = self.calf_on_until > day as i32;
        if was {
            self.calf_on_until = day as i32;
        }
        was
    }

    /// The calf is gone from tomorrow; false without one.
    pub(crate) fn take_calf(&mut self, day: u32, plan: &AnimalPlan) -> bool {
        let can = self.in_milk(day + 1) && self.calf(day + 1, plan) != Calf::Gone;
        if can {
            self.calf_gone_from = day as i32 + 1;
        }
        can
    }

    /// Milked twice a day again from tomorrow; false where she is not milked
    /// once for a time.
    pub(crate) const fn milk_twice(&mut self, day: u32) -> bool {
        let was = self.once_until > day as i32;
        if was {
            self.once_until = day as i32;
        }
        was
    }

    /// The calf is left on full time from tomorrow; false without a calf.
    pub(crate) fn leave_calf_on(&mut self, day: u32, days: u16, plan: &AnimalPlan) -> bool {
        let tomorrow = day + 1;
        let can = self.in_milk(tomorrow) && self.calf(tomorrow, plan) != Calf::Gone;
        if can {
            self.calf_on_until = self.calf_on_until.max(day as i32 + i32::from(days));
        }
        can
    }

    /// Milked once a day from tomorrow; false if she is dry or milked once already.
    pub(crate) fn milk_once(&mut self, day: u32, days: u16, plan: &AnimalPlan) -> bool {
        let can = self.in_milk(day + 1) && plan.milkings > 1;
        if can {
            self.once_until = self.once_until.max(day as i32 + i32::from(days));
        }
        can
    }

    pub(crate) fn calf(&self, day: u32, plan: &AnimalPlan) -> Calf {
        let Some(calf) = plan.calf else { return Calf::Gone };
        let dim = self.dim(day);
        if day as i32 >= self.calf_gone_from || dim > i32::from(calf.shut_in_until.max(calf.full_time_until))
        {
            Calf::Gone
        } else if dim <= i32::from(calf.full_time_until) || day as i32 <= self.calf_on_until {
            Calf::FullTime
        } else {
            Calf::ShutInOvernight
        }
    }

    /// What she gives today.
    pub(crate) fn milk(
        &self,
        day: u32,
        month: u8,
        plan: &AnimalPlan,
        luck: &Luck,
        own: &AnimalLuck,
    ) -> DayMilk {
        if !self.in_milk(day) {
            return DayMilk::default();
        }
        let dim = self.dim(day);
        let at = dim as usize - 1;
        let Some(c) = plan.curves.get(self.lactation).or_else(|| plan.curves.last()) else {
            return DayMilk::default();
        };
        let noise = plan.white_sd * luck.normal(own.white[day as usize]) + self.slow;
        let mut curve_kg = c.yield_kg[at] * self.level;
        if let Some(bred) = &plan.course.bred {
            let pull = self.level * self.pull_kg(day, bred, plan.course.first_lactation);
            curve_kg = (curve_kg - pull).max(LEAST_UNDER_PULL * curve_kg);
        }
        let mut kg = curve_kg * (1.0 + noise).max(LEAST_PART);
        kg *= plan.course.months.get(usize::from(month)).copied().unwrap_or(1.0);
        kg *= self.well_part(day, plan);
        let (fat, protein) = (c.fat[at], c.protein[at]);
        let drying = self.drying(day, plan);
        let once = plan.milkings < 2 || day as i32 <= self.once_until || drying.is_some();
        // A calf on her empties her between milkings.
        if once && self.calf(day, plan) == Calf::Gone {
            let stage = usize::from(dim > 100) + usize::from(dim > 200);
            kg *= plan.once_a_day[stage];
        }
        kg *= drying.unwrap_or(1.0);
        let mut out = DayMilk {
            withheld: dim <= i32::from(plan.colostrum_days),
            ill: self.kept_for_illness(day),
            ..DayMilk::default()
        };
        match (self.calf(day, plan), plan.calf) {
            (Calf::Gone, _) | (_, None) => {
                if once {
                    out.morning = Matter::milk(kg, fat, protein);
                    out.milkings = [true, false];
                } else {
                    let part = (plan.morning_part
                        + plan.morning_part_sd * luck.normal(own.morning[day as usize]))
                    .clamp(0.3, 0.9);
                    // Mean fat of the day is kept: part·am + (1 − part)·pm = fat.
                    let am = (fat - plan.evening_fat_excess * (1.0 - part)).max(0.2 * fat);
                    let pm = (fat - part * am) / (1.0 - part);
                    out.morning = Matter::milk(kg * part, am, protein);
                    out.evening = Matter::milk(kg * (1.0 - part), pm, protein);
                    out.milkings = [true, true];
                }
            }
            (state, Some(calf)) => share_with_calf(&mut out, state, &calf, dim, kg, fat, protein),
        }
        out
    }
}

/// Divides the day's milk between pail and calf. What the calf leaves in a
/// udder that is not milked out is not made in the first place.
fn share_with_calf(
    out: &mut DayMilk,
    state: Calf,
    calf: &CalfPlan,
    dim: i32,
    kg: f64,
    fat: f64,
    protein: f64,
) {
    let grown = (f64::from(dim) / f64::from(calf.appetite_full_day.max(1))).min(1.0);
    let appetite = calf.appetite_start_kg + (calf.appetite_full_kg - calf.appetite_start_kg) * grown;
    let for_pail = match state {
        // Never more than a night apart would leave.
        Calf::FullTime => (kg - appetite).clamp(0.0, 0.5 * kg),
        // Milked once, after the night apart: half the day's milk.
        _ => 0.5 * kg,
    };
    let pail = for_pail * (1.0 - calf.held_back);
    let drunk = (kg - pail).min(appetite + for_pail - pail);
    let whole = pail + drunk;
    // The pail is leaner; the calf drinks the fat that is held back.
    let pail_fat = pail * fat * calf.pail_fat_factor;
    out.morning = Matter { mass: pail, fat: pail_fat, protein: pail * protein, milk: pail };
    out.calf =
        Matter { mass: drunk, fat: (whole * fat - pail_fat).max(0.0), protein: drunk * protein, milk: drunk };
    out.milkings = [pail > 0.0, false];
}

fn curve(plan: &AnimalPlan, lactation: usize) -> Option<&Vec<f64>> {
    plan.curves.get(lactation).or_else(|| plan.curves.last()).map(|c| &c.yield_kg)
}
