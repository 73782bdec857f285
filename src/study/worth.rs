//! What a run was worth: the balance of a trial, line by line. Money says
//! nothing of safety or of law.

use crate::scenario::Plan;
use crate::scenario::plan::WorthPlan;
use crate::sim::outcome::{Fate, Outcome, Source};

/// A line of the balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Line {
    /// Own milk and food on the table, at what it would cost elsewhere.
    Food,
    /// Fees of the members.
    Fees,
    /// What was sold.
    Sold,
    /// What feeding animals saved.
    Fed,
    /// What was bought when short.
    Bought,
    /// Milk fetched.
    Fetched,
    /// Keep and feed of the animals.
    Animals,
    /// Power, ice, broken jars and starters.
    House,
    /// Chores and kitchen.
    Time,
}

impl Line {
    /// All, income first.
    pub const ALL: [Self; 9] = [
        Self::Food,
        Self::Fees,
        Self::Sold,
        Self::Fed,
        Self::Bought,
        Self::Fetched,
        Self::Animals,
        Self::House,
        Self::Time,
    ];

    /// Name in files, after `value_`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Food => "food",
            Self::Fees => "fees",
            Self::Sold => "sold",
            Self::Fed => "fed",
            Self::Bought => "bought",
            Self::Fetched => "fetched",
            Self::Animals => "animals",
            Self::House => "house",
            Self::Time => "time",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Food => "own milk and food on the table",
            Self::Fees => "members' fees",
            Self::Sold => "sold",
            Self::Fed => "feed that the animals were spared",
            Self::Bought => "bought when short",
            Self::Fetched => "milk fetched",
            Self::Animals => "keep and feed of the animals",
            Self::House => "power, ice, broken jars and starters",
            Self::Time => "time, chores and kitchen",
        }
    }

    /// Money of this line in a trial: what it brought, or less than nothing
    /// for what it cost. 0 without prices.
    #[must_use]
    pub fn value(self, o: &Outcome, plan: &Plan) -> f64 {
        let Some(w) = &plan.trade.worth else { return 0.0 };
        let t = &o.traded;
        let sum = |kg: &[f64], prices: &mut dyn Iterator<Item = f64>| -> f64 {
            kg.iter().zip(prices).map(|(kg, price)| kg * price).sum()
        };
        let days = plan.days.len() as f64;
        match self {
            Self::Food => food(o, plan, w),
            Self::Fees => plan
                .trade
                .share
                .as_ref()
                .map_or(0.0, |s| s.fee * s.claims_kg.len() as f64 * f64::from(t.fee_days)),
            Self::Sold => sum(&t.sold, &mut plan.trade.sold.iter().map(|s| s.price)),
            Self::Fed => w.fed * o.fates[Fate::Fed as usize].mass,
            Self::Bought => -sum(&t.bought, &mut plan.trade.bought.iter().map(|b| b.price)),
            Self::Fetched => -w.fetched * o.sources[Source::Fetched as usize].mass,
            Self::Animals => -(w.keep * f64::from(t.animal_days) + w.feed * f64::from(t.animal_days_in_milk)),
            Self::House => {
                let things = w.jar * f64::from(o.jars_broken) + w.starter * f64::from(o.starters_bought);
                -(w.power * days + w.ice * f64::from(t.days_in_milk) + things)
            }
            Self::Time => -w.hour * (o.chore_minutes + o.kitchen_minutes) / 60.0,
        }
    }
}

/// What the table had of the own supply; what was bought for it, the same day or
/// by a rule for the store, is no part of that.
fn food(o: &Outcome, plan: &Plan, w: &WorthPlan) -> f64 {
    debug_assert!(w.wishes.len() == plan.household.wishes.len());
    let prices = std::iter::once(&w.milk).chain(&w.wishes);
    let each = o.wants.iter().zip(prices).enumerate().map(|(n, (want, price))| {
        let bought = plan.trade.bought.iter().zip(&o.traded.stored);
        let of_want = bought.filter(|(b, _)| b.wish.map_or(0, |w| usize::from(w) + 1) == n);
        let stored: f64 = of_want.map(|(_, kg)| kg).sum();
        (want.served + want.extra - stored).max(0.0) * price
    });
    each.sum()
}

/// The balance of a trial, money.
#[must_use]
pub fn balance(o: &Outcome, plan: &Plan) -> f64 {
    Line::ALL.into_iter().map(|line| line.value(o, plan)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::plan::{BuyPlan, ItemId};
    use crate::sim::outcome::WantTally;
    use crate::study::testing;

    #[test]
    fn keep_is_paid_for_the_days_on_which_an_animal_is_here() {
        let (mut plan, _) = testing::house();
        plan.trade.worth = Some(WorthPlan { keep: 4.0, feed: 2.0, ..WorthPlan::default() });
        let mut o = Outcome::default();
        (o.traded.animal_days, o.traded.animal_days_in_milk) = (92, 80);
        assert_eq!(Line::Animals.value(&o, &plan), -(92.0 * 4.0 + 80.0 * 2.0));
    }

    /// Ten kilograms of milk on the table, of which a rule had bought four for the
    /// store: six are of the own supply. Two starters at 6.
    #[test]
    fn what_a_rule_bought_is_no_own_food_and_starters_cost() {
        let (mut plan, _) = testing::house();
        plan.trade.bought = vec![BuyPlan {
            wish: None,
            item: ItemId(0),
            most_kg: 10.0,
            price: 1.5,
            fat: 0.03,
            protein: 0.03,
        }];
        plan.trade.worth = Some(WorthPlan { milk: 2.0, starter: 6.0, ..WorthPlan::default() });
        let wants = vec![WantTally { served: 10.0, ..WantTally::default() }];
        let mut o = Outcome { wants, ..Outcome::default() };
        (o.traded.bought, o.traded.stored, o.starters_bought) = (vec![4.0], vec![4.0], 2);
        assert_eq!(Line::Food.value(&o, &plan), 12.0);
        assert_eq!(Line::Bought.value(&o, &plan), -6.0);
        assert_eq!(Line::House.value(&o, &plan), -12.0);
        // Bought for the table the same day it was never part of what was served.
        o.traded.stored = vec![0.0];
        assert_eq!(Line::Food.value(&o, &plan), 20.0);
    }
}
