//! What befalls one animal: breeding, drying off, illness, coming and going.

use super::Animal;
use crate::dairy::breeding::{MOST_HEATS, Tried, as_cow_weeks, pregnancy_loss_kg};
use crate::dairy::health::{dry_off_factor, hazard_part, loss_part};
use crate::scenario::plan::{AnimalPlan, BreedingPlan, CalfPlan, MOST_YOUNG, PullPlan};
use crate::sim::luck::{AnimalLuck, Luck};

/// Part of her milk that is left on the last day of a gradual dry-off, beside
/// what milking once a day takes (our default: less feed and emptied less).
const LAST_DRYING_PART: f64 = 0.4;
/// Illness takes no more than this part of a day's milk (our default).
const MOST_LOST: f64 = 0.9;

/// Young that die do so within so many days of their birth, half of them within
/// a quarter of that (our default).
const DEADLY_DAYS: f64 = 56.0;

/// How it stands with her health.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Health {
    hazard: f64,
    /// Cases so far.
    cases: usize,
    /// Day of the latest onset, and the size of that case.
    latest: Option<(i32, f64)>,
    /// Part lost for the rest of the lactation.
    down: f64,
    /// Last day on which her milk is kept from people for illness or treatment.
    kept_until: i32,
    /// The hazard of the first week is so many times the usual one.
    first_week: f64,
}

impl Health {
    pub(super) fn well() -> Self {
        Self { kept_until: i32::MIN, first_week: 1.0, ..Self::default() }
    }

    /// Ill since a day, a case of the mean size, of which such a part stays.
    pub(super) fn falls(&mut self, since: i32, stays: f64) {
        self.latest = Some((since, 1.0));
        self.down = stays;
    }

    /// Her milk is kept from people until a day, itself included.
    pub(super) fn keep_until(&mut self, day: i32) {
        self.kept_until = self.kept_until.max(day);
    }
}

/// The luck of a lactation's heats: place in the cycle, seen, settles.
fn heats(lactation: usize, own: &AnimalLuck) -> Option<[&[f64]; 3]> {
    let from = lactation * MOST_HEATS;
    let range = from..from + MOST_HEATS;
    Some([own.heat_phase.get(range.clone())?, own.heat_seen.get(range.clone())?, own.settles.get(range)?])
}

impl BreedingPlan {
    /// How she fares after a freshening.
    pub(super) fn service(&self, fresh: i32, lactation: usize, luck: &Luck, own: &AnimalLuck) -> Service {
        let trying = self.trying(f64::from(fresh));
        if luck.steady {
            let settled = trying.usual();
            let given_up = if settled.is_none() { trying.chances().last().map(|c| c.day) } else { None };
            return Service { settled, given_up, in_vain: given_up };
        }
        let Some([phase, seen, settles]) = heats(lactation, own) else { return Service::default() };
        let mut all = Service::default();
        for heat in trying.tried(phase, seen, settles) {
            if heat.settled {
                let in_vain = if heat.round > 0 { all.in_vain } else { None };
                return Service { settled: Some(heat.day), given_up: None, in_vain };
            }
            all.given_up = Some(heat.day);
            if heat.round == 0 {
                all.in_vain = Some(heat.day);
            }
        }
        all
    }
}

/// How an animal fares in the time in which she is bred after a freshening.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Service {
    /// Day on which she conceives.
    settled: Option<f64>,
    /// Where she never does, the last day on which she might have.
    given_up: Option<f64>,
    /// Where the first time round is in vain, its last day on which she might
    /// have settled.
    in_vain: Option<f64>,
}

impl Animal {
    /// Sets conception, the next freshening and the day by which she is due.
    pub(super) fn breed(&mut self, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) -> Option<i32> {
        let k = self.lactation.min(own.freshening.len() - 2);
        let z = luck.normal(own.freshening[k + 1]);
        let Some(bred) = &plan.course.bred else {
            self.next_fresh =
                plan.interval.map(|mean| self.fresh + (mean + plan.interval_sd * z).max(90.0).round() as i32);
            let carries = plan.course.pull.map(|p| p.gestation_days.round() as i32);
            self.conceived = self.next_fresh.zip(carries).map(|(next, carries)| next - carries);
            return self.next_fresh;
        };
        let day = self.is_bred(bred.service(self.fresh, self.lactation, luck, own));
        // Never before three quarters of the time.
        let carried = (bred.gestation_days + bred.gestation_sd * z).max(0.75 * bred.gestation_days);
        self.next_fresh = day.map(|d| (d + carried).round() as i32);
        // She is dried off by the day on which she is due, not by the day that comes.
        day.map(|d| (d + bred.gestation_days).round() as i32)
    }

    /// Which of the young of a lactation that begins die, and when. None in the
    /// average year.
    pub(super) fn young_die(&mut self, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) {
        self.young_dead = [i32::MAX; MOST_YOUNG];
        let Some(calf) = plan.calf.filter(|c| c.dies > 0.0) else { return };
        let from = self.lactation * MOST_YOUNG;
        let number = usize::from(calf.number).min(MOST_YOUNG);
        let each = own.young.get(from..from + number).unwrap_or_default();
        for (dead, &u) in self.young_dead.iter_mut().zip(each) {
            if luck.happens(calf.dies, u) {
                *dead = self.fresh + 1 + (DEADLY_DAYS * (u / calf.dies).powi(2)) as i32;
            }
        }
        let last = self.young_dead.iter().take(number).copied().max();
        self.calf_gone_from = self.calf_gone_from.min(last.unwrap_or(i32::MAX));
    }

    /// The young that are alive, with what they drink.
    pub(super) fn living(&self, day: u32, calf: &CalfPlan) -> CalfPlan {
        if calf.dies <= 0.0 {
            return *calf;
        }
        let number = usize::from(calf.number).min(MOST_YOUNG);
        let alive = self.young_dead.iter().take(number).filter(|d| (day as i32) < **d).count();
        let part = alive as f64 / number.max(1) as f64;
        CalfPlan {
            appetite_start_kg: part * calf.appetite_start_kg,
            appetite_full_kg: part * calf.appetite_full_kg,
            ..*calf
        }
    }

    /// Notes how she fares; the day on which she conceives.
    pub(super) fn is_bred(&mut self, service: Service) -> Option<f64> {
        let day = |d: Option<f64>| d.map(|d| d.round() as i32);
        self.conceived = day(service.settled);
        self.given_up = day(service.given_up);
        self.in_vain = day(service.in_vain);
        service.settled
    }

    /// She is here and open on that day, the last of the run, after a time round
    /// of breeding that was in vain, and may be bred again.
    pub(crate) fn is_left_open(&self, day: u32) -> bool {
        let by_now = |d: Option<i32>| d.is_some_and(|d| d <= day as i32);
        self.is_here(day) && by_now(self.in_vain) && !by_now(self.conceived) && !by_now(self.given_up)
    }

    /// The heats of this lactation in which she may be bred; none where breeding
    /// is not followed. In the average year the one at which she settles.
    pub(crate) fn tried(&self, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) -> Vec<Tried> {
        let Some(bred) = &plan.course.bred else { return Vec::new() };
        if luck.steady {
            let day = self.conceived.map(f64::from);
            return day.map(|day| Tried { day, used: true, settled: true, round: 0 }).into_iter().collect();
        }
        let trying = bred.trying(f64::from(self.fresh));
        let luck = heats(self.lactation, own);
        luck.map_or_else(Vec::new, |[phase, seen, settles]| trying.tried(phase, seen, settles).collect())
    }

    /// Cases of illness so far.
    pub(crate) const fn cases(&self) -> usize {
        self.health.cases
    }

    /// Milk a day that pregnancy takes beyond what an ordinary lactation's
    /// pregnancy, which the curve holds, would have taken by now; kg, negative
    /// for one that conceived late or not at all.
    pub(super) fn pull_kg(&self, day: u32, pull: &PullPlan, first: bool) -> f64 {
        let slope = pull.kg[usize::from(!(first && self.lactation == 0))];
        let loss = |days: f64| pregnancy_loss_kg(as_cow_weeks(days, pull.gestation_days), slope);
        let own = self.conceived.map_or(0.0, |c| loss(f64::from(day as i32 - c)));
        own - loss(f64::from(self.dim(day)) - pull.ordinary_conception)
    }

    /// Part of the milk that is left while she is being dried off; `None`: she
    /// is not.
    pub(super) fn drying(&self, day: u32, plan: &AnimalPlan) -> Option<f64> {
        let over = i32::from(plan.course.dried_over);
        let left = self.last_dim - self.dim(day) + 1;
        if left > over {
            return None;
        }
        let gone = 1.0 - f64::from(left) / f64::from(over);
        // From all of it on the first day to the least on the last.
        let steps = f64::from((over - 1).max(1)) / f64::from(over);
        Some(1.0 - (1.0 - LAST_DRYING_PART) * (gone / steps).min(1.0))
    }

    /// How much milk she gave on the last day before she was dry, kg, by her
    /// curve and level.
    fn last_day_kg(&self, plan: &AnimalPlan) -> f64 {
        let curve = plan.curves.get(self.lactation).or_else(|| plan.curves.last());
        let kg = curve.and_then(|c| c.yield_kg.get((self.last_dim - 1).max(0) as usize));
        let gradual = if plan.course.dried_over > 0 { LAST_DRYING_PART * plan.once_a_day[2] } else { 1.0 };
        kg.map_or(0.0, |kg| kg * self.level * gradual)
    }

    /// What she takes along from the lactation that ends: how she was dried off.
    pub(super) fn carry_over(&mut self, plan: &AnimalPlan) {
        let dried = self.fresh + self.last_dim;
        self.health.first_week = if self.last_dim > 0 { dry_off_factor(self.last_day_kg(plan)) } else { 1.0 };
        self.health.down = 0.0;
        self.health.latest = None;
        if let Some(next) = self.next_fresh {
            self.treat_dry(plan, dried, next);
        }
    }

    /// Treated when dried off: her next milk is kept from people for longer.
    pub(super) fn treat_dry(&mut self, plan: &AnimalPlan, dried: i32, fresh: i32) {
        if let Some((after_dried, after_fresh)) = plan.course.dry_treatment {
            let until = (dried + after_dried.ceil() as i32).max(fresh + after_fresh.ceil() as i32);
            self.health.kept_until = self.health.kept_until.max(until - 1);
        }
    }

    /// A day's chance of illness; how many cases begin. None in the average year.
    pub(super) fn fall_ill(&mut self, day: u32, plan: &AnimalPlan, luck: &Luck, own: &AnimalLuck) -> u32 {
        let Some(ill) = &plan.course.illness else { return 0 };
        if luck.steady || !self.in_milk(day) {
            return 0;
        }
        let dim = self.dim(day);
        let first = plan.course.first_lactation && self.lactation == 0;
        let rate = if first { ill.first } else { ill.later };
        let early = if dim <= 7 { self.health.first_week } else { 1.0 };
        let h = &mut self.health;
        h.hazard += rate * hazard_part(dim as u32) * early;
        let mut begun = 0;
        while let Some(&gap) = own.sick_gap.get(h.cases) {
            if h.hazard < gap {
                break;
            }
            h.hazard -= gap;
            let n = h.cases;
            h.cases += 1;
            begun += 1;
            let size = luck.factor(ill.loss_log_sd, own.sick_loss[n]);
            h.latest = Some((day as i32, size));
            h.down += ill.stays * size;
            let treatment = (ill.treatment_days + ill.treatment_sd * own.sick_days[2 * n]).max(1.0);
            let withdrawal = (ill.withdrawal_days + ill.withdrawal_sd * own.sick_days[2 * n + 1]).max(0.0);
            let kept = if luck.happens(ill.treated, own.sick_treated[n]) {
                (treatment + withdrawal).round().max(1.0)
            } else {
                ill.abnormal_days.round()
            };
            h.kept_until = h.kept_until.max(day as i32 + kept as i32 - 1);
        }
        begun
    }

    /// Part of the day's milk that illness leaves her.
    pub(super) fn well_part(&self, day: u32, plan: &AnimalPlan) -> f64 {
        let Some(ill) = &plan.course.illness else { return 1.0 };
        let h = &self.health;
        let fresh = h.latest.map_or(0.0, |(since, size)| {
            size * loss_part(f64::from(day as i32 - since), ill.at_once - ill.stays, ill.fade_days, 0.0)
        });
        1.0 - (h.down + fresh).clamp(0.0, MOST_LOST)
    }

    /// Kept from people today for illness or treatment.
    pub(crate) const fn kept_for_illness(&self, day: u32) -> bool {
        day as i32 <= self.health.kept_until
    }
}
