//! Flow tables of the kitchen, worked by hand: what blocks a batch, heating,
//! thawing, starters, the blend of a square, the separator, by-products.

use super::fixture::*;
use super::larder::CRUMB;
use super::outcome::{Blocked, DayMeasure, Fate};
use super::tests::{mass, near, run};
use crate::dairy::balance::Share;
use crate::scenario::plan::*;

fn make(recipe: u8) -> RulePlan {
    rule(Action::Make { recipe: RecipeId(recipe), batch_kg: f64::INFINITY })
}

/// A product of its own (item 12 and on) that stands somewhere for `days`.
fn product(plan: &mut Plan, place: u8, days: f64) -> ItemId {
    let keeps = [days; 5];
    plan.items.push(ItemPlan { keeps, places: vec![PlaceId(place)], ..plan.items[11].clone() });
    ItemId((plan.items.len() - 1) as u8)
}

/// Everything of some items becomes one thing, ready at once, with no minutes.
fn simple(from: &[ItemId], to: ItemId) -> RecipePlan {
    let mut r = cheese();
    r.inputs[0].items = from.to_vec();
    r.inputs[0].newest_to_days = f64::INFINITY;
    (r.least_kg, r.most_kg, r.minutes, r.film) = (1.0, f64::INFINITY, 0.0, 0.0);
    (r.ready_hours, r.ageing_days, r.ageing_loss, r.added_per_kg.mass) = (0.0, 0.0, 0.0, 0.0);
    r.outputs = vec![OutputPlan { item: to, share: Share::Rest }];
    r
}

fn uses(what: u8, hours: f64) -> UsePlan {
    UsePlan { what, hours }
}

#[test]
fn a_press_in_use_blocks_the_next_cheese() {
    // Ten kg a day, 8 kg a batch. The press is taken for 40 h from nine on day
    // 1: free again at one on day 3. From day 1 on every second day.
    let mut plan = plain(9, 400);
    plan.recipes = vec![cheese()];
    plan.recipes[0].most_kg = 8.0;
    plan.recipes[0].uses = vec![uses(0, 40.0)];
    plan.kitchen.equipment = vec![1];
    plan.rules = vec![RulePlan { per_day: Some(1), ..make(0) }];
    let (out, _) = run(&plan, None);
    // Day 0 has 5 kg; batches on days 1, 3, 5, 7; the press blocks 2, 4, 6, 8.
    assert_eq!(out.rules[0].fired, 4);
    assert_eq!(out.rules[0].blocked[Blocked::Stock as usize], 1);
    assert_eq!(out.rules[0].blocked[Blocked::Equipment as usize], 4);
    // Two presses: every day from day 1 on.
    plan.kitchen.equipment = vec![2];
    assert_eq!(run(&plan, None).0.rules[0].fired, 8);
    // None at all: never.
    plan.kitchen.equipment = vec![0];
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.rules[0].blocked[Blocked::Equipment as usize]), (0, 8));
    near(mass(&out, Fate::Film), 0.0);
}

#[test]
fn a_second_batch_waits_for_the_pot_until_the_evening() {
    // Four hours a batch from nine: at 9, at 13, at 17; the next would begin at
    // 21, after the evening milking.
    let mut plan = plain(1, 400);
    plan.animals[0].curves[0].yield_kg.fill(100.0);
    let to = product(&mut plan, 0, 30.0);
    plan.recipes = vec![RecipePlan { most_kg: 5.0, uses: vec![uses(0, 4.0)], ..simple(&[fixed::WHOLE], to) }];
    plan.kitchen.equipment = vec![1];
    plan.rules = vec![make(0)];
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules[0].fired, 3);
    near(out.made[to.at()], 15.0);
    // Each needs somebody for two hours, who is there until 14:00: the second
    // batch, begun at 13, is the one that no longer fits.
    plan.recipes[0].home_hours = 2.0;
    plan.kitchen.home_hours = vec![[5.0; 7]; 12];
    assert_eq!(run(&plan, None).0.rules[0].fired, 1);
    // Until 15:00 it does.
    plan.kitchen.home_hours = vec![[6.0; 7]; 12];
    assert_eq!(run(&plan, None).0.rules[0].fired, 2);
    // Nobody is there for two hours: no time.
    plan.kitchen.home_hours = vec![[1.0; 7]; 12];
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.rules[0].blocked[Blocked::NobodyHome as usize]), (0, 1));
}

#[test]
fn heating_ends_the_taint_and_the_clock_of_raw_milk() {
    // All milk is of foul milkings, in every trial.
    let foul = |heated: bool| {
        let mut plan = plain(30, 400);
        plan.keeping.spell_rate = 1000.0;
        plan.keeping.spell_days = 1e9;
        plan.keeping.spell_foul = 1.0;
        let to = product(&mut plan, 0, 1000.0);
        plan.recipes = vec![simple(&[fixed::WHOLE], to)];
        plan.recipes[0].heated = heated;
        plan.recipes[0].fails_when_foul = if heated { 0.0 } else { 1.0 };
        plan.rules = vec![make(0)];
        run(&plan, Some(3)).0
    };
    let (raw, hot) = (foul(false), foul(true));
    // The first milkings come before the spell can have begun; all else fails raw.
    assert!(mass(&raw, Fate::WastedFailedBatch) > 250.0);
    near(mass(&hot, Fate::WastedFailedBatch), 0.0);
    near(hot.made[12], hot.rules[0].kg);
    // Each afternoon's milk is used next morning: none turns foul in the jar.
    near(mass(&hot, Fate::WastedFoul), 0.0);

    // Raw milk is sour after 8.5 days, what was heated keeps its own 20.
    let mut plan = plain(25, 400);
    plan.animals[0].curves[0].yield_kg[1..].fill(0.0);
    let to = product(&mut plan, 0, 20.0);
    plan.recipes = vec![RecipePlan { heated: true, ..simple(&[fixed::WHOLE], to) }];
    plan.rules = vec![RulePlan { weekdays: 1 << 1, per_week: Some(1), ..make(0) }];
    let (out, _) = run(&plan, None);
    let kg = out.made[to.at()];
    assert!(kg > 4.0);
    // Made at nine on day 1, thrown out at the first look after nine on day 21.
    near(mass(&out, Fate::WastedExpired), kg);
    plan.days.truncate(21);
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::WastedExpired), 0.0);
}

#[test]
fn frozen_milk_is_thawed_a_day_before_it_is_drunk() {
    // Days 0 to 9: all milk is frozen. Then she is dry, and 2 kg are thawed each
    // morning, ready next morning: the first is drunk on day 11.
    let mut plan = plain(16, 400);
    plan.animals[0].curves[0].yield_kg[10..].fill(0.0);
    let (frozen, thawed) = (product(&mut plan, 0, 300.0), product(&mut plan, 0, 4.0));
    plan.recipes = vec![simple(&[fixed::WHOLE], frozen), simple(&[frozen], thawed)];
    plan.recipes[1].ready_hours = 24.0;
    plan.rules = vec![
        make(0),
        RulePlan {
            when: vec![Condition::Dates { from: 10, until: 99 }],
            per_day: Some(1),
            ..rule(Action::Make { recipe: RecipeId(1), batch_kg: 2.0 })
        },
    ];
    plan.household.people = vec![drinker(2.0)];
    plan.household.drink_from_day = 10;
    plan.household.frozen_milk = Some(thawed);
    plan.household.drinks.push(thawed);
    plan.household.thawed_part = 1.0;
    let (out, log) = run(&plan, None);
    let drunk = |day| f64::from(log.get(day, DayMeasure::DrinkServed));
    near(drunk(9), 0.0);
    // The evening of day 9 was frozen on day 10: nothing sweet is left.
    near(drunk(10), 0.0);
    for day in 11..16 {
        near(drunk(day), 2.0);
    }
    near(out.made[thawed.at()], 12.0);
    near(mass(&out, Fate::WastedExpired), 0.0);
}

#[test]
fn thawed_milk_is_used_within_days() {
    let mut plan = plain(12, 400);
    plan.animals[0].curves[0].yield_kg[1..].fill(0.0);
    let (frozen, thawed) = (product(&mut plan, 0, 300.0), product(&mut plan, 0, 4.0));
    plan.recipes = vec![simple(&[fixed::WHOLE], frozen), simple(&[frozen], thawed)];
    plan.rules = vec![make(0), RulePlan { weekdays: 1 << 2, ..make(1) }];
    let (out, _) = run(&plan, None);
    // 10 kg of day 0, thawed on day 2, past its four days on day 6.
    near(mass(&out, Fate::WastedExpired), 10.0);
}

#[test]
fn a_starter_that_is_not_fed_dies_and_is_bought() {
    let mut plan = plain(30, 400);
    let to = product(&mut plan, 0, 300.0);
    plan.recipes = vec![RecipePlan { starter: Some(0), most_kg: 4.0, ..simple(&[fixed::WHOLE], to) }];
    plan.kitchen.starters =
        vec![StarterPlan { lives_days: 5.0, upkeep_kg: 0.0, upkeep_minutes: 5.0, recipe: RecipeId(0) }];
    // Every Monday (days 0, 7, 14, 21, 28): each time the last one is dead.
    plan.rules = vec![RulePlan { weekdays: 1, per_day: Some(1), ..make(0) }];
    let (out, _) = run(&plan, None);
    assert_eq!((out.rules[0].fired, out.starters_bought), (5, 5));
    // It lives a week: one is bought and serves them all.
    plan.kitchen.starters[0].lives_days = 7.0;
    assert_eq!(run(&plan, None).0.starters_bought, 1);
}

#[test]
fn a_small_batch_keeps_a_starter_going_while_there_is_milk() {
    let mut plan = plain(30, 400);
    let to = product(&mut plan, 0, 300.0);
    plan.recipes = vec![RecipePlan { starter: Some(0), most_kg: 4.0, ..simple(&[fixed::WHOLE], to) }];
    plan.kitchen.starters =
        vec![StarterPlan { lives_days: 5.0, upkeep_kg: 0.25, upkeep_minutes: 5.0, recipe: RecipeId(0) }];
    plan.rules = vec![RulePlan { weekdays: 1, per_day: Some(1), ..make(0) }];
    let (out, _) = run(&plan, None);
    // Fed on day 0 it would be dead on day 6: a cup on day 5, and so on days 12,
    // 19, 26, always five days after the Monday.
    assert_eq!((out.rules[0].fired, out.starters_bought), (5, 1));
    near(out.made[to.at()], 5.0 * 4.0 + 4.0 * 0.25);
    // Minutes: twenty-five a milking and twelve for the cow, twice a day, and
    // jars; only the difference is the starter's.
    let mut without = plan.clone();
    without.kitchen.starters[0].upkeep_minutes = 0.0;
    near(out.chore_minutes - run(&without, None).0.chore_minutes, 4.0 * 5.0);
    // All milk is poured out after the batch: on day 5 there is none for it, it
    // dies, and day 7 buys another. From day 8 on she is dry.
    plan.animals[0].curves[0].yield_kg[8..].fill(0.0);
    plan.rules.push(rule(Action::Dump { item: fixed::WHOLE, most_kg: f64::INFINITY }));
    let (out, _) = run(&plan, None);
    near(out.made[to.at()], 4.0 + 4.0);
    assert_eq!(out.starters_bought, 2);
}

#[test]
fn two_milks_are_blended_by_the_square() {
    // Ten kg of 5 % and ten of 1 % milk a day, as whole and skimmed. For 3.2 %
    // the square says 2.2 parts to 1.8: of 5 kg of whole on day 0, 4.0909 kg of
    // skimmed. 3.2 % of the blend is fat, to the last gram.
    let mut plan = plain(1, 400);
    plan.animals[0].curves[0].fat.fill(0.05);
    let to = product(&mut plan, 0, 30.0);
    let lean = product(&mut plan, 0, 30.0);
    // The lean milk is made by taking the fat off 5 of the 10 kg of the morning.
    plan.animals[0].curves[0].yield_kg.fill(20.0);
    let share = Share::Separated { skim_fat: 0.01, cream_fat: 0.41 };
    let mut separate = simple(&[fixed::WHOLE], fixed::TOP_CREAM);
    separate.most_kg = 5.0;
    separate.outputs =
        vec![OutputPlan { item: fixed::TOP_CREAM, share }, OutputPlan { item: lean, share: Share::Rest }];
    let mut blend = simple(&[fixed::WHOLE], to);
    blend.inputs[0].blend = Some(BlendPlan { with: vec![lean], fat: 0.032 });
    plan.recipes = vec![separate, blend];
    plan.rules = vec![RulePlan { per_day: Some(1), ..make(0) }, RulePlan { per_day: Some(1), ..make(1) }];
    plan.household.wishes = vec![wish(to.0, 700.0)];
    let (out, _) = run(&plan, None);
    // Cream: 5 kg · (5 − 1)/(41 − 1) = 0.5 kg; 4.5 kg of lean milk. Whole: 5 kg.
    // 5 kg of whole want 4.0909 of lean: 9.0909 kg.
    near(out.made[to.at()], 5.0 + 5.0 * 1.8 / 2.2);
    let eaten = out.fates[Fate::Eaten as usize];
    near(eaten.mass, 5.0 + 5.0 * 1.8 / 2.2);
    near(eaten.fat, 0.032 * eaten.mass);
    // A wish between neither: nothing.
    let blend = plan.recipes[1].inputs[0].blend.as_mut().unwrap();
    blend.fat = 0.08;
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules[1].blocked[Blocked::Stock as usize], 1);
    // What is near enough is used alone.
    let blend = plan.recipes[1].inputs[0].blend.as_mut().unwrap();
    blend.fat = 0.0495;
    let (out, _) = run(&plan, None);
    near(out.made[to.at()], 5.0);
}

#[test]
fn a_blend_leaves_tomorrows_drinking() {
    // 15 kg of whole milk at nine of day 1, 6 kg drunk a day. Two inputs that
    // are both drunk may together take only what is over the 6.
    let mut plan = plain(1, 400);
    plan.animals[0].curves[0].yield_kg.fill(30.0);
    let to = product(&mut plan, 0, 30.0);
    let mut r = simple(&[fixed::WHOLE], to);
    r.inputs.push(InputPlan { per_kg: 0.5, ..r.inputs[0].clone() });
    plan.recipes = vec![r];
    plan.rules = vec![make(0)];
    plan.household.people = vec![drinker(6.0)];
    plan.household.kept_back_days = 1.0;
    let (out, _) = run(&plan, None);
    near(out.made[to.at()], 15.0 - 6.0);
    assert_eq!(out.wants[0].short_days, 0);
}

#[test]
fn a_separator_parts_the_mornings_milk_at_once() {
    // Five kg of 4 % each morning, drunk by nobody. 0.05 % stays in the skimmed
    // milk: 5 · (4 − 0.05)/(40 − 0.05) kg of cream of 40 %.
    let mut plan = plain(2, 400);
    let share = Share::Separated { skim_fat: 0.0005, cream_fat: 0.40 };
    let mut r = simple(&[fixed::WHOLE], fixed::TOP_CREAM);
    r.inputs[0].newest_to_days = 0.25;
    r.outputs = vec![
        OutputPlan { item: fixed::TOP_CREAM, share },
        OutputPlan { item: fixed::SKIMMED, share: Share::Rest },
    ];
    plan.recipes = vec![r];
    plan.rules = vec![make(0)];
    let (out, log) = run(&plan, None);
    let cream = 5.0 * (0.04 - 0.0005) / (0.40 - 0.0005);
    near(f64::from(log.get(0, DayMeasure::CreamStock)), f64::from(cream as f32));
    near(f64::from(log.get(0, DayMeasure::SkimmedStock)), f64::from((5.0 - cream) as f32));
    // The evening's milk is too old next morning and stays whole.
    near(f64::from(log.get(1, DayMeasure::WholeStock)), 10.0);
    // Milk and cream, not food: it is counted when the cream is churned.
    near(out.made_into_products, 0.0);
    near(out.made[fixed::SKIMMED.at()], 0.0);
    plan.recipes.push(RecipePlan { least_kg: 0.4, ready_hours: 0.0, ..butter() });
    plan.rules.push(make(1));
    let (out, _) = run(&plan, None);
    near(out.made_into_products, 2.0 * cream);
    // Butter: 99 % of its fat at 81.5 %.
    near(out.made[10], 2.0 * cream * 0.40 * 0.99 / 0.815);
}

#[test]
fn whey_buttermilk_and_curd_go_on_into_other_food() {
    // Eight kg of milk make cheese on day 1; all its whey makes ricotta; what
    // that leaves, acid whey, becomes bread. Buttermilk goes the same way.
    let mut plan = plain(2, 400);
    let (ricotta, bread) = (product(&mut plan, 0, 30.0), product(&mut plan, 0, 30.0));
    plan.recipes = vec![cheese(), simple(&[fixed::WHEY], ricotta), simple(&[fixed::ACID_WHEY], bread)];
    (plan.recipes[0].most_kg, plan.recipes[0].film) = (8.0, 0.0);
    let share = Share::ByWater { fat_kept: 0.75, protein_kept: 0.55, solids_factor: 1.2, water: 0.75 };
    plan.recipes[1].outputs =
        vec![OutputPlan { item: ricotta, share }, OutputPlan { item: fixed::ACID_WHEY, share: Share::Rest }];
    plan.rules = vec![make(0), make(1), make(2)];
    let (out, _) = run(&plan, None);
    let curd = (0.88 * 0.04 + 0.74 * 0.033) * 1.09 / 0.62 * 8.0;
    let whey = 8.0 * 1.002 - curd;
    near(out.made[fixed::WHEY.at()], whey);
    let (fat, protein) = (8.0 * 0.04 * 0.12, 8.0 * 0.033 * 0.26);
    let made = (0.75 * fat + 0.55 * protein) * 1.2 / 0.25;
    near(out.made[ricotta.at()], made);
    near(out.made[bread.at()], whey - made);
    near(mass(&out, Fate::ByproductPoured), 0.0);
    near(out.made_into_products, 8.0);
    // A failed ricotta wastes no food; its whey is poured out.
    plan.recipes[1].fails = 1.0;
    let (out, _) = run(&plan, Some(1));
    near(mass(&out, Fate::WastedFailedBatch), 0.0);
    assert!((mass(&out, Fate::ByproductPoured) - whey).abs() < CRUMB);
}

#[test]
fn what_boils_down_keeps_its_fat_and_protein() {
    // 92 % of 8 kg of whey is boiled off.
    let mut plan = plain(1, 400);
    let to = product(&mut plan, 0, 90.0);
    plan.recipes = vec![RecipePlan { steam: 0.92, ..simple(&[fixed::WHOLE], to) }];
    plan.animals[0].curves[0].fat.fill(0.004);
    plan.animals[0].curves[0].protein.fill(0.009);
    plan.rules = vec![make(0)];
    let (out, _) = run(&plan, None);
    near(out.made[to.at()], 5.0 * 0.08);
    near(out.fates[Fate::InStore as usize].fat, 10.0 * 0.004);
    near(mass(&out, Fate::Steam), 5.0 * 0.92);
}
