//! What a rule asks before it fires.

use super::larder::SLACK;
use super::outcome::Blocked;
use crate::scenario::plan::{Action, Condition, DayInfo, Plan, RulePlan};

/// What a rule asks before it fires, worked out once.
#[derive(Debug)]
pub(super) struct Asks {
    pub a_day: u32,
    pub per_week: u32,
    pub every_days: u32,
    /// Conditions that the calendar does not settle (see [`barred`]), in the
    /// order in which reasons are told: those asked before the rule's own limits …
    pub before_limits: Box<[Test]>,
    /// … and those after.
    pub after_limits: Box<[Test]>,
}

/// A condition, its bounds widened by the slack of comparisons.
#[derive(Clone, Copy, Debug)]
pub(super) struct Test {
    pub condition: Condition,
    least: f64,
    most: f64,
}

impl Asks {
    pub(super) fn of(rule: &RulePlan) -> Self {
        let mut when = rule.when.clone();
        when.retain(|c| !matches!(c, Condition::Season { .. } | Condition::Dates { .. }));
        when.sort_by_key(reason);
        let (before, after): (Vec<_>, Vec<_>) =
            when.into_iter().map(Test::of).partition(|t| reason(&t.condition) <= Blocked::Limit);
        Self {
            a_day: rule.per_day.unwrap_or(match rule.action {
                // Not again before some days are over is not again today.
                Action::Make { .. } if rule.every_days.is_none() => u32::MAX,
                _ => 1,
            }),
            per_week: rule.per_week.unwrap_or(u32::MAX),
            every_days: rule.every_days.unwrap_or(0),
            before_limits: before.into(),
            after_limits: after.into(),
        }
    }
}

impl Test {
    fn of(condition: Condition) -> Self {
        let (least, most) = match condition {
            Condition::SinceFreshening { least, most, .. }
            | Condition::ToDryOff { least, most, .. }
            | Condition::Stock { least, most, .. }
            | Condition::Jars { least, most, .. }
            | Condition::DaysOfSupply { least, most, .. }
            | Condition::OldestAge { least, most, .. }
            | Condition::Fullness { least, most, .. }
            | Condition::MinutesLeft { least, most } => (least, most),
            _ => (0.0, 0.0),
        };
        let slack = |bound: f64| SLACK * bound.abs().max(1.0);
        Self { condition, least: least - slack(least), most: most + slack(most) }
    }

    #[inline]
    pub(super) fn within(&self, x: f64) -> bool {
        x >= self.least && x <= self.most
    }
}

/// What the calendar says of each rule on each day, day by day: why it may not
/// fire whatever else there is, if so. Chance and stock have no part in it.
pub(super) fn barred(plan: &Plan) -> Vec<Option<Blocked>> {
    let of = |day: u32, info: &DayInfo, rule: &RulePlan| {
        if rule.weekdays >> info.weekday & 1 == 0 {
            return Some(Blocked::Day);
        }
        let holds = |c: &Condition| match *c {
            Condition::Season { from, until } => {
                let d = info.day_of_year;
                if from <= until { d >= from && d <= until } else { d >= from || d <= until }
            }
            Condition::Dates { from, until } => day >= from && day <= until,
            _ => true,
        };
        (!rule.when.iter().all(holds)).then_some(Blocked::Phase)
    };
    let days = plan.days.iter().zip(0..);
    days.flat_map(|(info, day)| plan.rules.iter().map(move |rule| of(day, info, rule))).collect()
}

/// The reason a condition gives when it does not hold.
pub(super) const fn reason(condition: &Condition) -> Blocked {
    match condition {
        Condition::Season { .. }
        | Condition::Dates { .. }
        | Condition::SinceFreshening { .. }
        | Condition::ToDryOff { .. }
        | Condition::DryWeeks { .. } => Blocked::Phase,
        Condition::Stock { .. }
        | Condition::Jars { .. }
        | Condition::DaysOfSupply { .. }
        | Condition::StockOrAge { .. } => Blocked::Stock,
        Condition::OldestAge { .. } => Blocked::Age,
        Condition::Fullness { .. } => Blocked::Fullness,
        Condition::MinutesLeft { .. } => Blocked::Minutes,
    }
}
