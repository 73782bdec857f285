//! Flow tables of young on the bottle, of what is bought and of what rules do,
//! worked by hand.

use super::fixture::*;
use super::outcome::{Blocked, DayMeasure, Fate};
use super::tests::{mass, near, run};
use crate::dairy::balance::Share;
use crate::scenario::plan::*;

/// A calf that is given `kg` of whole milk every morning.
fn calf(kg: f64) -> OutletPlan {
    OutletPlan {
        takes: vec![(fixed::WHOLE, kg)],
        cap_of: vec![0],
        most_kg: kg,
        by_itself: 1 << fixed::WHOLE.0,
        first: true,
        ..pigs(0.0)
    }
}

/// A member who comes on Wednesdays.
fn member(kg: f64) -> SharePlan {
    SharePlan {
        claims_kg: vec![kg],
        named: true,
        weekdays: 1 << 2,
        from_day: 0,
        until_day: u32::MAX,
        rule: SplitRule::InProportion,
        jars: None,
        dry_weeks_count: true,
        not_fetched: 0.0,
        pour_out: false,
        minutes: 0.0,
        fee: 1.0,
        fee_when_dry: true,
    }
}

fn away(plan: &mut Plan, days: std::ops::Range<usize>) {
    plan.days[days].iter_mut().for_each(|d| d.away = true);
}

#[test]
fn a_calf_on_the_bottle_is_fed_while_the_family_is_away() {
    // Away on days 2 to 5 of 8: 4 of the 5 kg of each morning's pail are the
    // calf's, the helper keeps 1 kg and the evening's 5.
    let mut plan = plain(8, 400);
    plan.outlets = vec![calf(4.0)];
    away(&mut plan, 2..6);
    let (out, log) = run(&plan, None);
    (0..8).for_each(|day| near(log.get(day, DayMeasure::Fed).into(), 4.0));
    near(mass(&out, Fate::KeptByHelper), 4.0 * 6.0);
    near(mass(&out, Fate::InStore), 4.0 * 6.0);
    assert_eq!(out.young_short_days, 0);
}

#[test]
fn days_on_which_young_go_short_are_counted() {
    // 10 kg a day are drawn until day 4, half of them in the morning, and 8 drunk by
    // the calf: 5 on day 0, then 8 (of 10, 12, 14, 16 there). On the morning of
    // day 5 there are 13, on that of day 6 there are 5, then none.
    let mut plan = plain(9, 400);
    plan.outlets = vec![calf(8.0)];
    plan.animals[0].longest_days = 5;
    let (out, log) = run(&plan, None);
    near(log.get(0, DayMeasure::Fed).into(), 5.0);
    near(log.get(6, DayMeasure::Fed).into(), 5.0);
    near(mass(&out, Fate::Fed), 50.0);
    // Days 0 and 6 to 8.
    assert_eq!(out.young_short_days, 4);
}

#[test]
fn rules_of_the_animals_hold_while_the_family_is_away() {
    // Once a day from the first evening on, said anew each day for one day: 8 kg
    // from day 1 on, at home and away alike.
    let mut plan = plain(6, 400);
    plan.rules = vec![rule(Action::OnceADay { animal: 0, days: 1 })];
    away(&mut plan, 2..5);
    let (out, log) = run(&plan, None);
    near(log.get(0, DayMeasure::Drawn).into(), 10.0);
    (1..6).for_each(|day| near(log.get(day, DayMeasure::Drawn).into(), 8.0));
    assert_eq!((out.rules[0].fired, out.rules[0].days_fired), (6, 6));
    // What is done in the kitchen is left.
    plan.rules = vec![rule(Action::Dump { item: fixed::WHOLE, most_kg: 1.0 })];
    assert_eq!(run(&plan, None).0.rules[0].fired, 3);
}

#[test]
fn an_animal_is_kept_until_it_leaves() {
    // Two cows, one of which comes on day 5 and leaves on day 12 of 20.
    let mut plan = plain(20, 400);
    plan.animals.push(cow(10.0, 20));
    plan.animals[1].course.comes = Some(5);
    plan.animals[1].course.leaves = Some(12);
    let mut luck = super::Luck::new(
        &plan,
        &crate::scenario::Names { animals: vec!["Clover".into(), "Bramble".into()], ..names() },
    );
    luck.steady();
    let out = super::Trial::new(&plan).run(&luck, &mut super::DayLog::new(&plan)).clone();
    assert_eq!(out.traded.animal_days, 20 + 7);
}

#[test]
fn what_is_bought_is_drunk_and_never_shared_skimmed_or_churned() {
    // Nothing but 6 kg bought on the first morning; 2 kg a day are drunk. Members
    // come on Wednesday (day 2), pigs take whole milk, and a rule skims.
    let mut plan = plain(5, 400);
    plan.animals[0].curves[0].yield_kg.fill(0.0);
    let bought = ItemId(plan.items.len() as u8);
    plan.items.push(ItemPlan {
        keeps: [1.0, 7.0, 0.0, 0.0, 0.0],
        container: Container::Volume { litres_per_kg: 1.1 },
        places: vec![PlaceId(1)],
        ..plan.items[11].clone()
    });
    plan.household.people = vec![drinker(2.0)];
    plan.household.drink_from_day = 0;
    plan.household.drinks.push(bought);
    plan.trade.bought =
        vec![BuyPlan { wish: None, item: bought, most_kg: 6.0, price: 1.0, fat: 0.03, protein: 0.03 }];
    plan.trade.share = Some(member(4.0));
    plan.outlets = vec![pigs(100.0)];
    plan.outlets[0].by_itself |= 1 << fixed::WHOLE.0;
    plan.recipes = vec![butter()];
    let skim =
        Action::Skim { after_hours: 0.0, depth: SkimDepth::Leave(0.01), apart: false, minutes_per_jar: 1.0 };
    plan.rules = vec![
        rule(Action::Buy { buy: 0, kg: 6.0 }),
        rule(skim),
        rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }),
        rule(Action::Feed { item: fixed::WHOLE, most_kg: f64::INFINITY }),
    ];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::Drunk), 6.0);
    for fate in [Fate::SharedOut, Fate::Fed, Fate::InStore] {
        near(mass(&out, fate), 0.0);
    }
    assert_eq!(out.wants[0].short_days, 2);
    near(out.traded.shares[0].promised, 4.0);
}

#[test]
fn minutes_left_have_an_upper_bound_too() {
    // 600 minutes each day: 30 left at most never holds, between 500 and 700 does.
    let mut plan = plain(4, 400);
    let dump = Action::Dump { item: fixed::WHOLE, most_kg: 1.0 };
    let when = |least, most| vec![Condition::MinutesLeft { least, most }];
    plan.rules = vec![
        RulePlan { when: when(f64::NEG_INFINITY, 30.0), ..rule(dump) },
        RulePlan { when: when(500.0, 700.0), ..rule(dump) },
        RulePlan { when: when(10.0, 20.0), ..rule(dump) },
    ];
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules.iter().map(|r| r.fired).collect::<Vec<_>>(), [0, 4, 0]);
}

#[test]
fn not_again_before_five_days_is_not_again_the_same_day() {
    // On the second morning there are 15 kg, one batch of 8; five days later the
    // milk of two days is 20 kg, enough for two, and only one is made.
    let mut plan = plain(12, 400);
    plan.recipes = vec![cheese()];
    plan.rules =
        vec![RulePlan { every_days: Some(5), ..rule(Action::Make { recipe: RecipeId(0), batch_kg: 8.0 }) }];
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.rules[0].days_fired), (3, 3));
    // Unless the rule says how often a day.
    plan.rules[0].per_day = Some(2);
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.rules[0].days_fired), (5, 3));
}

#[test]
fn animals_have_all_they_take_whatever_stays_in_the_jars() {
    // Five grams stay in each emptied jar: made up for out of the next, so that a
    // rule finds the calf full.
    let mut plan = plain(8, 400);
    plan.losses.jar_kg = 0.005;
    plan.outlets = vec![calf(4.0)];
    plan.rules = vec![rule(Action::Feed { item: fixed::WHOLE, most_kg: f64::INFINITY })];
    let (out, log) = run(&plan, None);
    (0..8).for_each(|day| near(log.get(day, DayMeasure::Fed).into(), 4.0));
    assert!(mass(&out, Fate::Film) > 0.0);
    assert_eq!((out.rules[0].fired, out.rules[0].blocked[Blocked::Limit as usize]), (0, 8));
    // Before it is there it is no matter of its appetite.
    plan.outlets[0].from_day = 5;
    let (out, _) = run(&plan, None);
    let blocked = |why: Blocked| out.rules[0].blocked[why as usize];
    assert_eq!((blocked(Blocked::Phase), blocked(Blocked::Limit)), (5, 3));
}

#[test]
fn fees_run_from_the_first_milk_on_and_rest_while_away() {
    // Milk from day 10 on, away on days 15 and 16: 10 days less 2.
    let mut plan = plain(20, 400);
    plan.animals[0].freshens_day = 10.0;
    plan.trade.share = Some(member(4.0));
    away(&mut plan, 15..17);
    assert_eq!(run(&plan, None).0.traded.fee_days, 8);
}

#[test]
fn a_rule_may_rest_in_the_dry_weeks() {
    // Milk on days 0 to 5 of 10.
    let mut plan = plain(10, 400);
    plan.animals[0].longest_days = 6;
    let dump = |within| RulePlan {
        when: vec![Condition::DryWeeks { within }],
        ..rule(Action::Dump { item: fixed::WHOLE, most_kg: 1.0 })
    };
    plan.rules = vec![dump(false), dump(true)];
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.rules[1].fired), (6, 4));
}

#[test]
fn what_ripens_in_the_kitchen_is_ready_by_the_month() {
    // Made at nine on day 0 and wished for at noon. After 12 hours it is there on
    // day 1, after 48 on day 2, where it is ready at nine.
    let mut plan = plain(5, 400);
    plan.recipes = vec![RecipePlan {
        ageing_days: 0.0,
        ageing_loss: 0.0,
        least_kg: 1.0,
        outputs: vec![OutputPlan { item: ItemId(10), share: Share::Rest }],
        ..cheese()
    }];
    plan.household.wishes = vec![wish(10, 3.5)];
    let make = Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY };
    plan.rules = vec![RulePlan { weekdays: 1, ..rule(make) }];
    let mut short = |hours: [f64; 2]| {
        let mut by = [1.0; 12];
        by[..2].copy_from_slice(&hours);
        plan.recipes[0].ripens_hours = Some(by);
        run(&plan, None).0.wants[1].short_days
    };
    assert_eq!((short([12.0, 48.0]), short([48.0, 12.0])), (1, 2));
}
