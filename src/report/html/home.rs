//! What the pictures and the door sheet need of a scenario.

use crate::dairy::Species;
use crate::report::jar::{Ask, Wish};
use crate::report::svg::{Event, Turn};
use crate::scenario::kit::mean_over;
use crate::scenario::plan::{Action, AnimalPlan, Hours, Plan, SkimDepth};
use crate::scenario::{JarShape, Names, UnitSystem};

/// Hours a jar rests when no rule says how long: our default.
const RESTS_HOURS: f64 = 24.0;
/// A family fridge, °C: 38 °F, our default.
const FRIDGE_C: f64 = (38.0 - 32.0) / 1.8;

/// The house behind a report.
#[derive(Clone, Debug)]
pub struct Home {
    /// Freshenings, dryings-off, and what becomes of her young, on their mean days, in order.
    pub events: Vec<Event>,
    /// Weekday (0 = Monday) and month (0 = January) of every day.
    pub days: Vec<(usize, usize)>,
    /// Kitchen minutes set aside by month and weekday.
    pub kitchen: [[f64; 7]; 12],
    /// Days on which members of a herd share come; empty without any.
    pub pick_ups: Vec<bool>,
    /// The members by name; empty where they have none of their own.
    pub members: Vec<String>,
    /// Weekdays of every rule of the routine, bit 0 = Monday.
    pub rule_days: Vec<u8>,
    /// Hours of the day.
    pub hours: Hours,
    /// Milkings on a day, at most; 0 without animals.
    pub milkings: u8,
    /// The family's own jar and milk.
    pub jar: Option<Ask>,
}

impl Home {
    /// Of a compiled scenario.
    #[must_use]
    pub fn of(plan: &Plan, names: &Names, units: UnitSystem) -> Self {
        let mut events: Vec<Event> = plan
            .animals
            .iter()
            .zip(&names.animals)
            .flat_map(|(animal, name)| happens(animal, name, plan.days.len()))
            .collect();
        events.sort_by_key(|e| e.day);
        Self {
            events,
            days: plan.days.iter().map(|d| (usize::from(d.weekday), usize::from(d.month))).collect(),
            kitchen: plan.household.kitchen_minutes,
            pick_ups: plan.trade.share.as_ref().map_or_else(Vec::new, |s| {
                let on = |(i, d): (u32, &crate::scenario::plan::DayInfo)| {
                    s.weekdays >> d.weekday & 1 == 1 && (s.from_day..=s.until_day).contains(&i) && !d.away
                };
                (0..).zip(&plan.days).map(on).collect()
            }),
            members: match &plan.trade.share {
                Some(s) if s.named => names.members.clone(),
                _ => Vec::new(),
            },
            rule_days: plan.rules.iter().map(|r| r.weekdays).collect(),
            hours: plan.hours,
            milkings: plan.animals.iter().map(|a| a.milkings).max().unwrap_or(0),
            jar: jar(plan, names, units),
        }
    }
}

/// What happens to an animal, each on its mean day.
fn happens(animal: &AnimalPlan, name: &str, days: usize) -> Vec<Event> {
    let mut out = Vec::new();
    let mut put = |at: f64, words: &str, turn: Turn| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "inside the run")]
        if at >= 0.0 && (at as usize) < days {
            out.push(Event { day: at as usize, words: format!("{name}{words}"), turn });
        }
    };
    let mut fresh = animal.freshens_day;
    // As long as a run may be, a season a year at most; a bound all the same.
    for _ in 0..64 {
        put(fresh, " freshens", Turn::Begins);
        if let Some(calf) = animal.calf {
            let young = match animal.species {
                Species::Cow => "'s calf",
                Species::Goat => "'s kids",
                Species::Sheep => "'s lambs",
            };
            let (shut, gone) = (calf.full_time_until, calf.shut_in_until.max(calf.full_time_until));
            if shut > 0 && shut < gone {
                put(fresh + f64::from(shut), &format!("{young} shut in overnight"), Turn::Young);
            }
            if gone > 0 {
                put(fresh + f64::from(gone), &format!("{young} off her"), Turn::Young);
            }
        }
        let Some(interval) = animal.interval.filter(|i| *i > 1.0) else {
            put(fresh + f64::from(animal.longest_days), " is dry", Turn::Ends);
            break;
        };
        put(fresh + interval - animal.dry_days, " is dried off", Turn::Ends);
        fresh += interval;
    }
    out
}

/// The first animal's milk in the largest jar, skimmed as the routine says.
fn jar(plan: &Plan, names: &Names, units: UnitSystem) -> Option<Ask> {
    let own = plan.animals.first().zip(names.animals.first()).and_then(|(a, name)| {
        let curve = a.curves.first()?;
        Some((name.clone(), a.species, mean_over(&curve.yield_kg, &curve.fat)))
    });
    let fetched =
        || plan.fetches.first().zip(names.fetches.first()).map(|(f, n)| (n.clone(), f.species, f.fat));
    let (whose, species, fat) = own.or_else(fetched)?;
    let (size, shape) = (plan.jars.first()?, names.jar_shapes.first()?);
    let skim = plan.rules.iter().find_map(|r| match r.action {
        Action::Skim { after_hours, depth, .. } => Some((after_hours, depth)),
        _ => None,
    });
    let wish = skim.map(|(_, depth)| match depth {
        SkimDepth::Leave(fat) => Wish::Leave(fat),
        SkimDepth::Grade(fat) => Wish::Grade(fat),
        SkimDepth::Layer => Wish::Layer,
    });
    Some(Ask {
        whose,
        species,
        fat,
        hours: skim.map_or(RESTS_HOURS, |(hours, _)| hours),
        celsius: FRIDGE_C,
        jar: names.jars.first().cloned().unwrap_or_default(),
        working_l: size.working_l,
        shape: JarShape { height_m: shape.height_m, across_m: shape.across_m },
        wish,
        units,
    })
    .filter(|ask| ask.fat > 0.0 && ask.fat <= 0.2)
}
