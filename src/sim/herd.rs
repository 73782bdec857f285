//! The animals of a trial: where each stands in her lactation, and what she
//! gives on a day.

mod course;
mod now;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod young_tests;

use course::Health;

use super::luck::{AnimalLuck, Luck};
use crate::dairy::{composition::split_by_milking, matter::Matter};
use crate::scenario::plan::{AnimalPlan, Apart, CalfPlan, MOST_YOUNG};

/// The least a day's milk can fall to, as a part of the curve (our default: noise alone
/// leaves no day without milk).
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
    /// Apart from her for a part of the day.
    ShutIn(Apart),
}

/// What the weather has to do with a day's milk.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Weather {
    /// Month, 0 to 11.
    pub month: u8,
    /// A day of a hot spell.
    pub hot: bool,
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
    /// Day of conception, followed or worked out from the next freshening.
    conceived: Option<i32>,
    /// Day of the last heat at which she might have settled, where she did not.
    given_up: Option<i32>,
    /// The last heat of the first time round of breeding, as far as it was in vain.
    in_vain: Option<i32>,
    /// Last day in milk of this lactation.
    last_dim: i32,
    level: f64,
    slow: f64,
    /// How a rule has set the calf, and the last day on which that holds.
    calf_set: Option<(Calf, i32)>,
    once_until: i32,
    /// From this day on the young of this lactation is gone.
    calf_gone_from: i32,
    /// First days on which each of her young is dead.
    young_dead: [i32; MOST_YOUNG],
    /// From this day on it is shut in overnight, whatever its age.
    calf_shut_from: i32,
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
            once_until: i32::MIN,
            calf_shut_from: i32::MAX,
            here: [plan.course.comes.unwrap_or(i32::MIN), plan.course.leaves.unwrap_or(i32::MAX)],
            health: Health::well(),
            ..Self::default()
        };
        if !plan.course.first_lactation {
            a.treat_dry(plan, a.fresh - plan.dry_days.round() as i32, a.fresh);
        }
        a.begin_lactation(plan, luck, own);
        if let Some(now) = &plan.course.now {
            a.as_of_today(now, plan, luck, own);
            return a;
        }
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
        self.calf_set = None;
        self.calf_gone_from = plan.course.calf_leaves.filter(|d| self.fresh < *d).unwrap_or(i32::MAX);
        self.calf_shut_from = i32::MAX;
        self.young_die(plan, luck, own);
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

    /// The calf is shut in from tomorrow, for so many days or (`u16::MAX`) from
    /// now on; false without one, or where it is so already.
    pub(crate) fn shut_calf_in(&mut self, day: u32, apart: Apart, days: u16, plan: &AnimalPlan) -> bool {
        let (tomorrow, state) = (day + 1, Calf::ShutIn(apart));
        let was = self.calf(tomorrow, plan);
        let can = self.in_milk(tomorrow) && was != Calf::Gone && was != state;
        if can {
            self.calf_set = None;
            if self.calf(tomorrow, plan) != state || days != u16::MAX {
                let until = if days == u16::MAX { i32::MAX } else { day as i32 + i32::from(days) };
                self.calf_set = Some((state, until));
            }
        }
        can
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
            let until = day as i32 + i32::from(days);
            let longer = matches!(self.calf_set, Some((Calf::FullTime, set)) if set > until);
            if !longer {
                self.calf_set = Some((Calf::FullTime, until));
            }
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
        let stays = calf.let_in_until.max(calf.shut_in_until).max(calf.full_time_until);
        if day as i32 >= self.calf_gone_from || dim > i32::from(stays) {
            return Calf::Gone;
        }
        match self.calf_set {
            Some((state, until)) if day as i32 <= until => state,
            _ if dim <= i32::from(calf.full_time_until) && (day as i32) < self.calf_shut_from => {
                Calf::FullTime
            }
            _ if dim <= i32::from(calf.shut_in_until.max(calf.full_time_until)) => Calf::ShutIn(calf.apart),
            _ => Calf::ShutIn(Apart::Both),
        }
    }

    /// What she gives today.
    pub(crate) fn milk(
        &self,
        day: u32,
        weather: Weather,
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
        if let Some(pull) = &plan.course.pull {
            let pull = self.level * self.pull_kg(day, pull, plan.course.first_lactation);
            curve_kg = (curve_kg - pull).max(LEAST_UNDER_PULL * curve_kg);
        }
        let mut kg = curve_kg * (1.0 + noise).max(LEAST_PART);
        let months = if weather.hot { &plan.course.hot_months } else { &plan.course.months };
        kg *= months.get(usize::from(weather.month)).copied().unwrap_or(1.0);
        kg *= self.well_part(day, plan);
        let (fat, protein) = (c.fat[at], c.protein[at]);
        let drying = self.drying(day, plan);
        let once = plan.milkings < 2 || day as i32 <= self.once_until || drying.is_some();
        let state = self.calf(day, plan);
        // A calf on her empties her between milkings, not one that is let in after them.
        if once && matches!(state, Calf::Gone | Calf::ShutIn(Apart::Both)) {
            let stage = usize::from(dim > 100) + usize::from(dim > 200);
            kg *= plan.once_a_day[stage];
        }
        kg *= drying.unwrap_or(1.0);
        let mut out = DayMilk {
            withheld: dim <= i32::from(plan.colostrum_days),
            ill: self.kept_for_illness(day),
            ..DayMilk::default()
        };
        // What of the day's milk is for the pail, and how lean.
        let (mut pail, mut lean) = (kg, 1.0);
        if let (Some(calf), true) = (plan.calf, state != Calf::Gone) {
            let young = share_with_calf(state, &self.living(day, &calf), dim, kg, fat, protein);
            (pail, out.calf, lean) = (young.pail_kg, young.drunk, calf.pail_fat_factor);
        }
        let fat = fat * lean;
        match state {
            // With her by night, apart by day.
            Calf::ShutIn(Apart::Day) => {
                out.evening = Matter::milk(pail, fat, protein);
                out.milkings = [false, pail > 0.0];
            }
            Calf::Gone | Calf::ShutIn(Apart::Both) if !once => {
                let part = (plan.morning_part
                    + plan.morning_part_sd * luck.normal(own.morning[day as usize]))
                .clamp(0.3, 0.9);
                let (am, pm) = split_by_milking(fat, plan.evening_fat_excess, part);
                out.morning = Matter::milk(pail * part, am, protein);
                out.evening = Matter::milk(pail * (1.0 - part), pm, protein);
                out.milkings = [true, true];
            }
            _ => {
                out.morning = Matter::milk(pail, fat, protein);
                out.milkings = [state == Calf::Gone || pail > 0.0, false];
            }
        }
        out
    }
}

/// A day's milk divided between pail and calf.
struct Shared {
    pail_kg: f64,
    drunk: Matter,
}

/// Divides the day's milk. What the calf leaves in an udder that is not milked
/// out is not made in the first place.
fn share_with_calf(state: Calf, calf: &CalfPlan, dim: i32, kg: f64, fat: f64, protein: f64) -> Shared {
    let grown = (f64::from(dim) / f64::from(calf.appetite_full_day.max(1))).min(1.0);
    let appetite = calf.appetite_start_kg + (calf.appetite_full_kg - calf.appetite_start_kg) * grown;
    let for_pail = match state {
        // Never more than a night apart would leave.
        Calf::FullTime => (kg - appetite).clamp(0.0, calf.apart_part * kg),
        // All of it, but for what she holds back.
        Calf::ShutIn(Apart::Both) => kg,
        // Milked once, after the hours apart.
        _ => calf.apart_part * kg,
    };
    let pail_kg = for_pail * (1.0 - calf.held_back);
    let drunk = (kg - pail_kg).min(appetite + for_pail - pail_kg);
    let whole = pail_kg + drunk;
    // The pail is leaner; the calf drinks the fat that is held back.
    let fat = (whole * fat - pail_kg * fat * calf.pail_fat_factor).max(0.0);
    Shared { pail_kg, drunk: Matter { mass: drunk, fat, protein: drunk * protein, milk: drunk } }
}

fn curve(plan: &AnimalPlan, lactation: usize) -> Option<&Vec<f64>> {
    plan.curves.get(lactation).or_else(|| plan.curves.last()).map(|c| &c.yield_kg)
}
