//! Changes to a plan that a family could make, with their words.

use crate::scenario::plan::{Action, PlaceKind, fixed};
use crate::scenario::{Names, Plan};

/// A change to a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Change {
    /// Room for so many more jars of the main size in the cold; and that many
    /// more jars, where jars are short as well.
    ColdRoom { place: usize, jars: u32, buy: bool },
    /// So many more jars of the main size.
    Jars(u32),
    /// Half as much kitchen time again.
    MoreKitchenTime,
    /// A third less kitchen time.
    LessKitchenTime,
    /// Twice as many of the animals that are fed.
    TwiceFed(usize),
    /// They are there all the time.
    FedAllTime(usize),
    /// One more day of drinking is kept back before anything is made.
    KeepBack,
    /// Skim every day.
    SkimDaily,
    /// Make what serves a wish on any day and as often as it can be.
    MakeFreely(usize),
    /// The calf stays two weeks longer.
    CalfLonger(usize),
    /// Milked once a day.
    OnceADay(usize),
    /// Half as much freezer again.
    Freezer(usize),
    /// So many members fewer.
    FewerMembers(usize),
    /// A quarter less promised to each member; a whole jar less where they take jars.
    SmallerPromise,
}

/// Jars of the main size that stand in a fridge that takes whole milk, beside
/// the other food of its fullest month; `None` for other places.
pub(super) fn jars_in(plan: &Plan, place: usize) -> Option<f64> {
    let place = plan.places.get(place)?;
    let part = *place.jar_part.first()?;
    let takes = place.kind == PlaceKind::Fridge && place.takes & (1 << fixed::WHOLE.0) != 0;
    if !takes || !part.is_finite() || part <= 0.0 {
        return None;
    }
    Some(((1.0 - most_other_food(&place.other_food)) / part + 1e-9).floor().max(0.0))
}

fn most_other_food(months: &[f64; 12]) -> f64 {
    months.iter().copied().fold(0.0, f64::max)
}

/// Does an action make something that serves a wish.
pub(super) fn serves(plan: &Plan, action: &Action, wish: usize) -> bool {
    let Action::Make { recipe, .. } = action else { return false };
    let (Some(wish), Some(recipe)) = (plan.household.wishes.get(wish), plan.recipes.get(recipe.at())) else {
        return false;
    };
    recipe.outputs.iter().any(|o| wish.items.contains(&o.item))
}

/// A smaller promise; with whole jars one jar less, but never none.
fn smaller(kg: f64, jar_kg: Option<f64>) -> f64 {
    jar_kg.map_or(0.75 * kg, |jar| if kg > 1.5 * jar { kg - jar } else { kg })
}

/// Promising less changes something.
pub(super) fn can_promise_less(plan: &Plan) -> bool {
    let Some(share) = &plan.trade.share else { return false };
    share.claims_kg.iter().any(|kg| smaller(*kg, share.jars.map(|j| j.kg)) < *kg)
}

fn kitchen(plan: &mut Plan, factor: f64) {
    plan.household.kitchen_minutes.iter_mut().flatten().for_each(|m| *m *= factor);
}

impl Change {
    pub(super) fn apply(self, plan: &mut Plan) {
        match self {
            // The chilling table stays as it is: it follows from the fridge's
            // temperature, spare power and fan and from the jar, not from its
            // room, so a roomier fridge of the same power has the same one.
            Self::ColdRoom { place, jars, buy } => {
                let Some(now) = jars_in(plan, place) else { return };
                let place = &mut plan.places[place];
                // Other food keeps its litres; the rest holds whole jars.
                let other = most_other_food(&place.other_food);
                let scale = (other + (now + f64::from(jars)) * place.jar_part[0]).max(1.0);
                place.litres *= scale;
                place.jar_part.iter_mut().for_each(|p| *p /= scale);
                place.other_food.iter_mut().for_each(|p| *p /= scale);
                if buy {
                    Self::Jars(jars).apply(plan);
                }
            }
            Self::Jars(more) => {
                if let Some(jar) = plan.jars.first_mut() {
                    jar.count = jar.count.saturating_add(more);
                }
            }
            Self::MoreKitchenTime => kitchen(plan, 1.5),
            Self::LessKitchenTime => kitchen(plan, 2.0 / 3.0),
            Self::TwiceFed(outlet) => {
                if let Some(outlet) = plan.outlets.get_mut(outlet) {
                    outlet.most_kg *= 2.0;
                    outlet.takes.iter_mut().for_each(|(_, kg)| *kg *= 2.0);
                }
            }
            Self::FedAllTime(outlet) => {
                if let Some(outlet) = plan.outlets.get_mut(outlet) {
                    (outlet.from_day, outlet.until_day) = (0, u32::MAX);
                }
            }
            Self::KeepBack => plan.household.kept_back_days += 1.0,
            Self::SkimDaily => {
                for rule in plan.rules.iter_mut().filter(|r| matches!(r.action, Action::Skim { .. })) {
                    rule.weekdays = 0x7f;
                }
            }
            Self::MakeFreely(wish) => {
                for i in 0..plan.rules.len() {
                    if serves(plan, &plan.rules[i].action, wish) {
                        let rule = &mut plan.rules[i];
                        (rule.weekdays, rule.per_week, rule.every_days) = (0x7f, None, None);
                    }
                }
            }
            Self::CalfLonger(animal) => {
                if let Some(calf) = plan.animals.get_mut(animal).and_then(|a| a.calf.as_mut()) {
                    // Whatever comes last lasts longer.
                    if calf.let_in_until > calf.shut_in_until.max(calf.full_time_until) {
                        calf.let_in_until = calf.let_in_until.saturating_add(14);
                    } else if calf.shut_in_until > calf.full_time_until {
                        calf.shut_in_until = calf.shut_in_until.saturating_add(14);
                    } else {
                        calf.full_time_until = calf.full_time_until.saturating_add(14);
                    }
                }
            }
            Self::OnceADay(animal) => {
                if let Some(animal) = plan.animals.get_mut(animal) {
                    animal.milkings = 1;
                }
            }
            Self::Freezer(place) => {
                if let Some(place) = plan.places.get_mut(place) {
                    place.litres *= 1.5;
                    place.jar_part.iter_mut().for_each(|p| *p /= 1.5);
                    place.other_food.iter_mut().for_each(|p| *p /= 1.5);
                    place.freeze_kg_per_day *= 1.5;
                }
            }
            Self::FewerMembers(fewer) => {
                if let Some(share) = &mut plan.trade.share {
                    share.claims_kg.truncate(share.claims_kg.len().saturating_sub(fewer).max(1));
                }
            }
            Self::SmallerPromise => {
                if let Some(share) = &mut plan.trade.share {
                    let jar = share.jars.map(|j| j.kg);
                    share.claims_kg.iter_mut().for_each(|kg| *kg = smaller(*kg, jar));
                }
            }
        }
    }

    pub(super) fn words(self, plan: &Plan, names: &Names) -> String {
        let name = |list: &[String], i: usize, otherwise: &str| {
            list.get(i).cloned().unwrap_or_else(|| otherwise.to_owned())
        };
        let jar = |count: u32| {
            let size = name(&names.jars, 0, "large").replace(' ', "-");
            format!("{count} more {size} jar{}", if count == 1 { "" } else { "s" })
        };
        match self {
            Self::ColdRoom { jars, buy, .. } => {
                let and = if buy { ", and the jars to fill it" } else { "" };
                format!("room for {} in the cold{and}", jar(jars))
            }
            Self::Jars(more) => jar(more),
            Self::MoreKitchenTime => "half as much kitchen time again".into(),
            Self::LessKitchenTime => "a third less kitchen time".into(),
            Self::TwiceFed(outlet) => {
                format!("twice as many {}", name(&names.outlets, outlet, "animals to feed"))
            }
            Self::FedAllTime(outlet) => {
                format!("{} all the year round", name(&names.outlets, outlet, "animals to feed"))
            }
            Self::KeepBack => {
                let days = plan.household.kept_back_days + 1.0;
                format!(
                    "keeping back {days} day{} of drinking before anything is made",
                    if days == 1.0 { "" } else { "s" }
                )
            }
            Self::SkimDaily => "skimming every day".into(),
            Self::MakeFreely(wish) => {
                format!("making {} on any day, as often as it can be", name(&names.wishes, wish, "it"))
            }
            Self::CalfLonger(animal) => {
                let young = plan.animals.get(animal).map_or("calf", |a| a.species.young());
                format!("leaving the {young} on {} 2 weeks longer", name(&names.animals, animal, "her"))
            }
            Self::OnceADay(animal) => format!("milking {} once a day", name(&names.animals, animal, "her")),
            Self::FewerMembers(1) => "one member fewer".into(),
            Self::FewerMembers(2) => "two members fewer".into(),
            Self::FewerMembers(n) => format!("{n} members fewer"),
            Self::SmallerPromise => match plan.trade.share.as_ref().and_then(|s| s.jars) {
                Some(_) => "promising each member a jar less".into(),
                None => "promising each member a quarter less".into(),
            },
            Self::Freezer(place) => {
                format!("half as much room again in the {}", name(&names.places, place, "freezer"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::testing;

    #[test]
    fn room_for_more_jars_is_just_that() {
        let (mut plan, _) = testing::house();
        assert_eq!(jars_in(&plan, 1), Some(10.0));
        assert_eq!(jars_in(&plan, 0), None);
        let food = plan.places[1].other_food[0] * plan.places[1].litres;
        Change::ColdRoom { place: 1, jars: 7, buy: true }.apply(&mut plan);
        assert_eq!(jars_in(&plan, 1), Some(17.0));
        assert_eq!(plan.jars[0].count, 47);
        // Other food keeps its litres, a jar its litres.
        assert!((plan.places[1].other_food[0] * plan.places[1].litres - food).abs() < 1e-9);
        assert!((plan.places[1].jar_part[0] * plan.places[1].litres - 5.0).abs() < 1e-9);
    }

    #[test]
    fn fewer_members_and_smaller_promises() {
        use crate::scenario::plan::{ShareJars, SharePlan, SplitRule};
        let (mut plan, names) = testing::house();
        assert!(!can_promise_less(&plan));
        plan.trade.share = Some(SharePlan {
            claims_kg: vec![2.0, 2.0, 4.0],
            named: true,
            weekdays: 1,
            from_day: 0,
            until_day: 59,
            rule: SplitRule::InProportion,
            jars: Some(ShareJars { size: 0, kg: 2.0 }),
            dry_weeks_count: true,
            not_fetched: 0.0,
            pour_out: false,
            minutes: 0.0,
            fee: 0.0,
            fee_when_dry: true,
        });
        let claims = |plan: &Plan| plan.trade.share.as_ref().unwrap().claims_kg.clone();
        assert!(can_promise_less(&plan));
        Change::SmallerPromise.apply(&mut plan);
        // A jar less, but nobody is left with none.
        assert_eq!(claims(&plan), [2.0, 2.0, 2.0]);
        assert!(!can_promise_less(&plan));
        Change::FewerMembers(2).apply(&mut plan);
        assert_eq!(claims(&plan), [2.0]);
        Change::FewerMembers(2).apply(&mut plan);
        assert_eq!(claims(&plan), [2.0]);
        plan.trade.share.as_mut().unwrap().jars = None;
        Change::SmallerPromise.apply(&mut plan);
        assert_eq!(claims(&plan), [1.5]);
        assert_eq!(Change::FewerMembers(2).words(&plan, &names), "two members fewer");
        assert_eq!(Change::SmallerPromise.words(&plan, &names), "promising each member a quarter less");
    }

    #[test]
    fn calf_stays_two_weeks() {
        let (mut plan, names) = testing::house();
        plan.animals[0].calf = Some(crate::scenario::plan::CalfPlan {
            number: 1,
            dies: 0.0,
            full_time_until: 21,
            shut_in_until: 70,
            apart: crate::scenario::plan::Apart::Night,
            let_in_until: 70,
            apart_part: 0.5,
            appetite_start_kg: 5.0,
            appetite_full_kg: 9.0,
            appetite_full_day: 30,
            held_back: 0.2,
            pail_fat_factor: 0.7,
        });
        Change::CalfLonger(0).apply(&mut plan);
        let calf = plan.animals[0].calf.unwrap();
        assert_eq!((calf.full_time_until, calf.shut_in_until), (21, 84));
        assert_eq!(Change::CalfLonger(0).words(&plan, &names), "leaving the calf on Clover 2 weeks longer");
    }
}
