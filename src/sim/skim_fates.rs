//! Flow tables of the skim and of what is kept back, worked by hand.

use super::fates::fetched;
use super::fixture::*;
use super::outcome::{Blocked, DayMeasure, Fate};
use super::tests::{mass, near, run};
use crate::scenario::plan::*;

/// What a jar of the fixture holds, kg.
const JAR: f64 = 1.8 * 1.03;

fn skim(after_hours: f64) -> Action {
    Action::Skim { after_hours, depth: SkimDepth::Leave(0.03), apart: false, minutes_per_jar: 3.0 }
}

#[test]
fn a_skim_keeps_back_what_the_rule_says() {
    // On the second morning 15 kg stand there, 5 of them rested: 3 may go, which
    // is one full jar and not two.
    let mut plan = plain(2, 400);
    plan.rules = vec![RulePlan { keep_back_kg: 12.0, ..rule(skim(24.0)) }];
    let (out, log) = run(&plan, None);
    near(out.rules[0].kg, JAR);
    near(log.get(1, DayMeasure::WholeStock).into(), 20.0 - JAR);
    plan.rules[0].keep_back_kg = 14.0;
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules[0].fired, 0);
    assert_eq!(out.rules[0].blocked[Blocked::Stock as usize], 1);
    assert_eq!(out.rules[0].blocked[Blocked::Age as usize], 1);
}

#[test]
fn minutes_for_one_jar_skim_one_jar() {
    let mut plan = plain(2, 400);
    plan.household.kitchen_minutes = [[4.0; 7]; 12];
    plan.rules = vec![rule(skim(24.0))];
    let (out, _) = run(&plan, None);
    near(out.rules[0].kg, JAR);
    near(out.kitchen_minutes, 3.0);
}

#[test]
fn fetched_milk_that_has_not_rested_holds_up_no_other() {
    // Fetched at 11 on the second day, three days old: older than the cow's, and
    // shaken on the ride. On the third morning only the cow's has rested.
    let mut plan = plain(3, 400);
    plan.fetches = vec![FetchPlan { weekdays: 0b10, age_days: 3.0, ..fetched(3.0) }];
    plan.rules = vec![RulePlan { weekdays: 0b100, ..rule(skim(24.0)) }];
    let (out, _) = run(&plan, None);
    // Milkings of day 0 and the morning of day 1.
    near(out.rules[0].kg, 15.0);
}

#[test]
fn skimmed_today_of_older_milk_is_not_todays_milk() {
    // Skimmed at nine on the third day; that day the fridge is full, and only
    // skimmed milk may be poured out.
    let mut plan = plain(3, 12);
    plan.rules = vec![RulePlan { weekdays: 0b100, ..rule(skim(24.0)) }];
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::SKIMMED)];
    let (out, _) = run(&plan, None);
    assert!(mass(&out, Fate::WastedNoRoom) >= 2.0 * JAR);
}

#[test]
fn a_family_that_drinks_whole_milk_leaves_the_skimmed() {
    let mut plan = plain(5, 400);
    plan.household.people = vec![drinker(2.0)];
    plan.rules = vec![rule(skim(24.0))];
    let skimmed = |plan: &Plan| f64::from(run(plan, None).1.get(4, DayMeasure::SkimmedStock));
    let both = skimmed(&plan);
    plan.household.drinks = vec![fixed::WHOLE];
    // On days 1 to 4 they no longer drink 8 kg of it; 6 kg of the evenings, drunk
    // whole instead, are not skimmed.
    assert!(skimmed(&plan) > both + 1.0);
    assert_eq!(run(&plan, None).0.wants[0].short_days, 0);
}

#[test]
fn a_cap_for_a_group_is_one_cap() {
    // Two kg of milk a day, whole or skimmed: two together, not two of each.
    let mut plan = plain(6, 400);
    plan.rules = vec![
        rule(skim(24.0)),
        rule(Action::Feed { item: fixed::SKIMMED, most_kg: f64::INFINITY }),
        rule(Action::Feed { item: fixed::WHOLE, most_kg: f64::INFINITY }),
    ];
    let takes = vec![(fixed::SKIMMED, 2.0), (fixed::WHOLE, 2.0)];
    plan.outlets = vec![OutletPlan { takes, cap_of: vec![0, 0], by_itself: 0, ..pigs(1000.0) }];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::Fed), 6.0 * 2.0);
    plan.outlets[0].cap_of = vec![0, 1];
    let (out, _) = run(&plan, None);
    // Whole milk from the first morning on, skimmed from the second.
    near(mass(&out, Fate::Fed), 6.0 * 2.0 + 5.0 * 2.0);
}

#[test]
fn where_whole_milk_is_drunk_a_skim_leaves_tomorrows() {
    // 14 kg on Monday at eleven, 1 kg drunk a day: on Wednesday 12 are left and
    // rested. One is kept back: five full jars of the 11 kg may be skimmed.
    let mut plan = plain(5, 400);
    plan.animals.clear();
    plan.fetches = vec![fetched(14.0)];
    plan.household.people = vec![drinker(1.0)];
    plan.household.drinks = vec![fixed::WHOLE];
    plan.household.kept_back_days = 1.0;
    plan.rules = vec![rule(skim(24.0))];
    let (out, _) = run(&plan, None);
    near(out.rules[0].kg, 5.0 * JAR);
    // Drunk: 3 kg by Wednesday, and of Thursday and Friday what was left whole.
    near(out.wants[0].served, 14.0 - 5.0 * JAR);
}

#[test]
fn milk_that_nobody_drinks_is_free_for_the_kitchen() {
    // Skimmed milk is not drunk here, so all of it goes into the vat, and of the
    // whole milk what is over tomorrow's.
    let mut plan = plain(2, 400);
    plan.household.people = vec![drinker(7.0)];
    plan.household.drinks = vec![fixed::WHOLE];
    plan.household.kept_back_days = 1.0;
    plan.recipes = vec![cheese()];
    plan.recipes[0].inputs[0].items = vec![fixed::SKIMMED, fixed::WHOLE];
    plan.recipes[0].least_kg = 0.1;
    let dates = Condition::Dates { from: 1, until: 1 };
    plan.rules = vec![
        RulePlan { when: vec![dates], ..rule(skim(20.0)) },
        RulePlan { when: vec![dates], ..rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }) },
    ];
    let (out, log) = run(&plan, None);
    // Day 0: 5 kg are drunk at noon. Day 1: 10 kg, none of them rested; 7 are
    // kept back, and 3 go into the vat.
    near(out.rules[1].kg, 3.0);
    near(log.get(1, DayMeasure::DrinkServed).into(), 7.0);
    // Where they drink on Tuesdays only, the first milk rests and is skimmed.
    plan.household.people = vec![PersonPlan { weekdays: 0b10, ..drinker(7.0) }];
    let (out, log) = run(&plan, None);
    // 15 kg on the Tuesday morning, of which a day of mean drinking, 1 kg, is kept.
    near(out.rules[0].kg, 5.0);
    assert!(out.rules[1].kg > 13.0 && out.rules[1].kg <= 14.0 + 1e-9, "{}", out.rules[1].kg);
    near(log.get(1, DayMeasure::DrinkServed).into(), 1.0);
}

#[test]
fn skimmed_milk_of_one_day_does_not_sour_with_that_of_another() {
    // Skimmed on Thursday: two milkings of Monday, two of Tuesday and the first
    // of Wednesday have rested. Life 8.5 days: Monday's sours in the evening of
    // day 8, Tuesday's a day later.
    let mut plan = plain(10, 400);
    plan.animals[0].longest_days = 3;
    plan.rules = vec![RulePlan { weekdays: 0b1000, ..rule(skim(24.0)) }];
    let (out, log) = run(&plan, None);
    near(out.rules[0].kg, 25.0);
    let skimmed = |day| f64::from(log.get(day, DayMeasure::SkimmedStock));
    let a_milking = skimmed(4) / 5.0;
    assert!((4.5..5.0).contains(&a_milking), "{a_milking}");
    near(skimmed(7), 5.0 * a_milking);
    // The cream of each is a little more or less, by its hours at rest.
    assert!((skimmed(8) - 3.0 * a_milking).abs() < 0.05);
    assert!((skimmed(9) - a_milking).abs() < 0.05);
}

#[test]
fn after_a_skim_people_pour_skimmed_milk() {
    let mut plan = plain(3, 400);
    plan.household.people = vec![drinker(0.5)];
    plan.rules = vec![rule(skim(24.0))];
    let (_, log) = run(&plan, None);
    let at = |day, m| f64::from(log.get(day, m));
    // Day 0: half a kilogram out of an open jar of whole milk. Day 1: the 4.5 kg
    // left of that milking are skimmed and drunk of.
    near(at(0, DayMeasure::WholeStock), 9.5);
    near(at(1, DayMeasure::WholeStock), 9.5 + 10.0 - 4.5);
}

#[test]
fn what_is_kept_back_of_a_group_is_kept_once() {
    // Ten kg a day, skimmed after a day; of all milk 12 kg are kept at nine, so that in the
    // evening there are 17, however much of it is skimmed.
    let mut plan = plain(8, 400);
    plan.outlets = vec![OutletPlan { by_itself: 0, ..pigs(1000.0) }];
    let both = 1 << fixed::SKIMMED.0 | 1 << fixed::WHOLE.0;
    let of = |item, behind, most_kg| RulePlan {
        keep_back_kg: 12.0,
        keep_back_of: both,
        behind,
        ..rule(Action::Feed { item, most_kg })
    };
    let feed = |kg| vec![rule(skim(24.0)), of(fixed::SKIMMED, 0, kg), of(fixed::WHOLE, 1, kg)];
    plan.rules = feed(f64::INFINITY);
    let milk = |log: &super::DayLog, day| {
        f64::from(log.get(day, DayMeasure::WholeStock)) + f64::from(log.get(day, DayMeasure::SkimmedStock))
    };
    let (out, log) = run(&plan, None);
    for day in 2..8 {
        near(milk(&log, day), 17.0);
    }
    assert!(out.rules[1].kg > 1.0);
    // Three kg a day of both together, not of each.
    plan.rules = feed(3.0);
    let (_, log) = run(&plan, None);
    for day in 3..8 {
        near(log.get(day, DayMeasure::Fed).into(), 3.0);
    }
    // The same of what is poured out.
    let pour = |item, behind| RulePlan {
        action: Action::Dump { item, most_kg: f64::INFINITY },
        ..of(item, behind, 0.0)
    };
    plan.rules = vec![rule(skim(24.0)), pour(fixed::SKIMMED, 0), pour(fixed::WHOLE, 1)];
    near(milk(&run(&plan, None).1, 7), 17.0);
}
