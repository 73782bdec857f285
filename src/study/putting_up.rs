//! When to begin putting food up, so that enough is laid down when the dry weeks
//! begin: counted back day by day from an early beginning of them.

use super::measures::{MeasureKey, Table, Want, accepted};
use super::results::{PuttingUp, RuleMean};
use super::stats::quantile;
use crate::scenario::Plan;
use crate::scenario::plan::{Action, Condition, ItemId, PlaceKind, RecipePlan, RulePlan};

/// What keeps at least so long can be put up, days (our default).
const KEEPS_DAYS: f64 = 28.0;
/// Dry weeks that come in fewer runs than this are left aside.
const SELDOM: f64 = 0.1;

/// What can be put up, with the day by which to begin. Empty where hardly any
/// run has dry weeks.
pub(super) fn putting_up(plan: &Plan, table: &Table, rows: &[f64], rules: &[RuleMean]) -> Vec<PuttingUp> {
    let days = plan.days.len() as f64;
    let column = |key: MeasureKey| -> Vec<f64> {
        let Some(at) = table.column(key) else { return Vec::new() };
        rows.chunks_exact(table.keys.len()).map(|row| row[at]).collect()
    };
    let first = column(MeasureKey::FirstDryDay);
    let dry: Vec<bool> = first.iter().map(|d| *d < days).collect();
    let some = dry.iter().filter(|d| **d).count();
    if some == 0 || (some as f64) < SELDOM * dry.len() as f64 {
        return Vec::new();
    }
    // Only runs that have dry weeks count.
    let at = |values: &[f64], p: f64| {
        let mut own: Vec<f64> = values.iter().zip(&dry).filter(|(_, d)| **d).map(|(v, _)| *v).collect();
        own.sort_unstable_by(f64::total_cmp);
        quantile(&own, p)
    };
    let dry_from = at(&first, 0.1) as u32;
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len().max(1) as f64;
    let mut all = Vec::new();
    for want in 0..=plan.household.wishes.len() {
        let Ok(key) = Want::try_from(want) else { continue };
        let needed_kg = accepted(plan, key) * at(&column(MeasureKey::Needed(key)), 0.9);
        let made = mean(&column(MeasureKey::Made(key)));
        let weeks = mean(&column(MeasureKey::MadeWeeks(key)));
        let Some(mut making) = Making::of(plan, want, rules, made).filter(|_| needed_kg > 1e-6) else {
            continue;
        };
        making.week_kg = if weeks > 1e-9 { made / weeks } else { 0.0 };
        let start = making.start(plan, dry_from, needed_kg);
        all.push(PuttingUp {
            want,
            needed_kg,
            dry_from,
            week_kg: making.week_kg,
            ready_days: making.ready_days,
            keeps_days: making.keeps_days,
            start,
        });
    }
    all
}

/// A rule that makes it.
#[derive(Clone, Copy)]
pub(super) struct Maker<'a> {
    pub rule: &'a RulePlan,
    /// What a batch gives, kg.
    pub batch_kg: f64,
    /// What it takes of kitchen time.
    pub minutes: f64,
}

/// How a want is put up.
pub(super) struct Making<'a> {
    pub makers: Vec<Maker<'a>>,
    /// Made a week, in weeks in which some was, kg.
    pub week_kg: f64,
    /// Days from a batch to the table.
    pub ready_days: f64,
    /// Days for which it keeps in the best of its places.
    pub keeps_days: f64,
    /// Frozen a day at most, kg.
    pub a_day_kg: f64,
    /// The want, eaten while it is put up: 0 is drinking milk.
    pub want: usize,
}

impl<'a> Making<'a> {
    /// `None` where no rule makes it, or it does not keep.
    fn of(plan: &'a Plan, want: usize, rules: &[RuleMean], made_kg: f64) -> Option<Self> {
        let items: Vec<ItemId> = match want.checked_sub(1) {
            None => plan.household.put_up_milk.into_iter().collect(),
            Some(w) => plan.household.wishes.get(w)?.items.clone(),
        };
        let gives = |r: &RecipePlan| r.outputs.iter().any(|o| items.contains(&o.item));
        let of = |rule: &'a RulePlan| match rule.action {
            Action::Make { recipe, .. } => plan.recipes.get(recipe.at()).filter(|r| gives(r)),
            _ => None,
        };
        let makers: Vec<(&RulePlan, &RecipePlan, &RuleMean)> =
            plan.rules.iter().zip(rules).filter_map(|(rule, mean)| Some((rule, of(rule)?, mean))).collect();
        let fired: f64 = makers.iter().map(|(_, _, mean)| mean.fired).sum();
        if fired <= 1e-9 || made_kg <= 1e-9 {
            return None;
        }
        let item =
            makers.iter().flat_map(|(_, r, _)| &r.outputs).map(|o| o.item).find(|i| items.contains(i))?;
        let (keeps_days, a_day_kg) = standing(plan, item);
        if keeps_days < KEEPS_DAYS {
            return None;
        }
        let ready = |r: &RecipePlan| r.ready_hours / 24.0 + r.ageing_days;
        let ready_days = makers.iter().map(|(_, r, _)| ready(r)).fold(0.0, f64::max);
        let each = makers.iter().map(|(rule, r, mean)| Maker {
            rule,
            batch_kg: made_kg / fired,
            minutes: r.minutes + r.minutes_per_kg * mean.kg / mean.fired.max(1e-9),
        });
        Some(Self { makers: each.collect(), week_kg: 0.0, ready_days, keeps_days, a_day_kg, want })
    }

    /// The last day on which to begin, so that so much is laid down, beside what
    /// is eaten until then, when the dry weeks begin; `None`: not within the run.
    pub(super) fn start(&self, plan: &Plan, dry_from: u32, needed_kg: f64) -> Option<u32> {
        let first_weekday = u32::from(plan.days.first()?.weekday);
        let last = (f64::from(dry_from) - self.ready_days).floor();
        let (mut have, mut eaten) = (0.0, 0.0);
        let (mut week, mut left_kg) = (u32::MAX, 0.0);
        let mut in_week = vec![0_u32; self.makers.len()];
        let mut latest = vec![u32::MAX; self.makers.len()];
        for day in (0..dry_from).rev() {
            eaten += self.eaten(plan, day);
            if f64::from(day) > last {
                continue;
            }
            if f64::from(day) + self.ready_days + self.keeps_days < f64::from(dry_from) {
                return None;
            }
            let this_week = (day + first_weekday) / 7;
            if this_week != week {
                (week, left_kg) = (this_week, self.week_kg);
                in_week.fill(0);
            }
            let info = plan.days.get(day as usize)?;
            let minutes = plan.household.kitchen_minutes;
            let mut minutes =
                minutes.get(usize::from(info.month))?.get(usize::from(info.weekday)).copied()?;
            let mut frozen = self.a_day_kg;
            for (n, m) in self.makers.iter().enumerate() {
                let rested = m.rule.every_days.is_none_or(|d| latest[n].saturating_sub(day) >= d);
                if m.rule.weekdays >> info.weekday & 1 == 0 || info.away || !rested {
                    continue;
                }
                if !m.rule.when.iter().all(|c| may(c, day, info.day_of_year, dry_from)) {
                    continue;
                }
                let mut times = m.rule.per_day.unwrap_or(u32::MAX);
                times = times.min(m.rule.per_week.unwrap_or(u32::MAX).saturating_sub(in_week[n]));
                while times > 0 && minutes >= m.minutes && left_kg > 1e-9 && frozen > 1e-9 {
                    let kg = m.batch_kg.min(left_kg).min(frozen);
                    if kg <= 1e-9 {
                        break;
                    }
                    have += kg;
                    left_kg -= kg;
                    frozen -= kg;
                    minutes -= m.minutes;
                    in_week[n] += 1;
                    latest[n] = day;
                    times -= 1;
                }
            }
            if have >= (needed_kg + eaten) * (1.0 - 1e-9) {
                return Some(day);
            }
        }
        None
    }

    /// What the table takes of it on a day before the dry weeks, kg.
    fn eaten(&self, plan: &Plan, day: u32) -> f64 {
        let Some(wish) = self.want.checked_sub(1).and_then(|w| plan.household.wishes.get(w)) else {
            return 0.0;
        };
        let month = plan.days.get(day as usize).map_or(0, |d| usize::from(d.month));
        if day < wish.from_day { 0.0 } else { wish.at_least_kg / 7.0 * wish.month_factor[month % 12] }
    }
}

/// Whether a condition of the calendar lets a rule work on a day; what is in
/// store is not asked.
fn may(c: &Condition, day: u32, day_of_year: u16, dry_from: u32) -> bool {
    match *c {
        Condition::Season { from, until } if from <= until => (from..=until).contains(&day_of_year),
        Condition::Season { from, until } => day_of_year >= from || day_of_year <= until,
        Condition::Dates { from, until } => (from..=until).contains(&day),
        Condition::ToDryOff { least, most, .. } => (least..=most).contains(&f64::from(dry_from - day)),
        Condition::DryWeeks { within } => !within,
        _ => true,
    }
}

/// How long an item keeps where it may stand, and how much of it can be frozen a
/// day where that is a freezer.
fn standing(plan: &Plan, item: ItemId) -> (f64, f64) {
    let Some(own) = plan.items.get(item.at()) else { return (0.0, f64::INFINITY) };
    let moved = plan.rules.iter().filter_map(|r| match r.action {
        Action::Move { item: i, to, .. } if i == item => Some(to),
        _ => None,
    });
    let places = own.places.iter().copied().chain(moved);
    let kinds: Vec<PlaceKind> = places.filter_map(|p| plan.places.get(p.at())).map(|p| p.kind).collect();
    let keeps = kinds.iter().map(|k| own.keeps[*k as usize]).fold(0.0, f64::max);
    let only_frozen = !kinds.is_empty() && kinds.iter().all(|k| *k == PlaceKind::Freezer);
    let freezers = plan.places.iter().filter(|p| p.kind == PlaceKind::Freezer);
    let pace = if only_frozen { freezers.map(|p| p.freeze_kg_per_day).sum() } else { f64::INFINITY };
    (keeps, pace)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::plan::{RecipeId, RulePlan};
    use crate::study::testing;

    fn rule(weekdays: u8, per_week: Option<u32>) -> RulePlan {
        RulePlan {
            action: Action::Make { recipe: RecipeId(0), batch_kg: 10.0 },
            weekdays,
            when: vec![],
            per_week,
            per_day: Some(1),
            every_days: None,
            keep_back_kg: 0.0,
            keep_back_of: 0,
            behind: 0,
        }
    }

    fn making<'a>(rule: &'a RulePlan, want: usize) -> Making<'a> {
        Making {
            makers: vec![Maker { rule, batch_kg: 1.0, minutes: 30.0 }],
            week_kg: 1.0,
            ready_days: 10.0,
            keeps_days: 100.0,
            a_day_kg: f64::INFINITY,
            want,
        }
    }

    /// A kilogram of cheese every Saturday (days 5, 12, 19, …; day 0 is a
    /// Monday), ripe after ten days; dry from day 50: the last that is ripe is
    /// made by day 40, so on the Saturday of day 40; three are ready when the
    /// first was made on day 26.
    #[test]
    fn counted_back_by_hand() {
        let (plan, _) = testing::house();
        let saturdays = rule(1 << 5, None);
        let m = making(&saturdays, 0);
        assert_eq!(m.start(&plan, 50, 1.0), Some(40));
        assert_eq!(m.start(&plan, 50, 3.0), Some(26));
        // Six Saturdays before it: 40, 33, 26, 19, 12, 5.
        assert_eq!(m.start(&plan, 50, 6.0), Some(5));
        assert_eq!(m.start(&plan, 50, 6.5), None);
        // What is made on day 19 would be past its time after 20 days.
        assert_eq!(Making { keeps_days: 20.0, ..making(&saturdays, 0) }.start(&plan, 50, 4.0), None);
        // No kitchen time, no cheese.
        let mut busy = plan.clone();
        busy.household.kitchen_minutes = [[20.0; 7]; 12];
        assert_eq!(m.start(&busy, 50, 1.0), None);
    }

    /// Three kilograms a week at most, whatever the rule allows, half a kilogram a
    /// day in the freezer; and a week's pound that the table eats meanwhile.
    #[test]
    fn pace_freezer_and_table_by_hand() {
        let (mut plan, _) = testing::house();
        let daily = rule(0x7f, None);
        let fast = Making { week_kg: 3.0, ready_days: 0.0, ..making(&daily, 0) };
        // Dry from day 49, a Monday: of the week of days 42 to 48 the last three days.
        assert_eq!(fast.start(&plan, 49, 3.0), Some(46));
        // The next kilogram only in the week before.
        assert_eq!(fast.start(&plan, 49, 4.0), Some(41));
        let frozen = Making { a_day_kg: 0.5, ..making(&daily, 0) };
        let frozen = Making { week_kg: 100.0, ready_days: 0.0, ..frozen };
        assert_eq!(frozen.start(&plan, 49, 2.0), Some(45));
        // 0.7 kg a week are eaten, a tenth a day: of 1 kg a day 0.9 is laid down, so
        // 3 kg take four days and not three.
        plan.household.wishes = vec![crate::scenario::plan::WishPlan { at_least_kg: 0.7, ..testing::wish() }];
        let eaten = Making { week_kg: 100.0, ready_days: 0.0, ..making(&daily, 1) };
        assert_eq!(eaten.start(&plan, 49, 3.0), Some(45));
    }
}
