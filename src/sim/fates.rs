//! Flow tables worked by hand, where a wrong fate would balance too.

use super::fixture::*;
use super::outcome::{Blocked, DayMeasure, Fate};
use super::tests::{mass, near, run};
use crate::dairy::Species;
use crate::dairy::balance::Share;
use crate::scenario::plan::*;

/// A product that stands in some places, item 12.
fn product(plan: &mut Plan, places: &[u8]) {
    let like = plan.items[11].clone();
    plan.items.push(ItemPlan { places: places.iter().map(|&p| PlaceId(p)).collect(), ..like });
}

/// The cold place chills by a table that says the same everywhere.
fn chilling(plan: &mut Plan, hours: f64, days: f64) {
    let cell =
        ChillCell { hours_to: [0.5 * hours, 0.75 * hours, hours], life_days: days, neighbour_days: 0.0 };
    plan.places[1].chill = Some(ChillTable {
        by_month: [0; 12],
        starts_c: vec![35.0],
        loads_l: vec![0.0, 50.0],
        inside_l: vec![0.0, 500.0],
        cells: vec![cell; 4],
    });
}

#[test]
fn the_film_in_an_emptied_jar_is_no_short_day() {
    // A fifth of a kilogram a day out of full jars, 5 g staying in each: the
    // day on which a jar is emptied is served out of the next one.
    let mut plan = plain(60, 400);
    plan.losses.jar_kg = 0.005;
    plan.household.wishes = vec![wish(fixed::WHOLE.0, 1.4)];
    let (out, _) = run(&plan, None);
    near(out.wants[1].served, 60.0 * 0.2);
    assert_eq!(out.wants[1].short_days, 0);
    assert!(mass(&out, Fate::Film) > 0.0);
}

#[test]
fn what_belongs_on_the_counter_fills_no_fridge() {
    let mut plan = plain(40, 400);
    product(&mut plan, &[0]);
    plan.recipes = vec![cheese()];
    plan.recipes[0].outputs[0].item = ItemId(12);
    plan.rules = vec![rule(Action::Make { recipe: RecipeId(0), batch_kg: 10.0 })];
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    let (out, _) = run(&plan, None);
    assert!(out.made[12] > 0.0);
    assert_eq!(out.days_over_full, 0);
    near(mass(&out, Fate::WastedNoRoom), 0.0);
    near(out.cold_wanted_l, out.cold_used_l);
}

#[test]
fn no_store_for_it_no_batch() {
    let mut plan = plain(10, 400);
    product(&mut plan, &[]);
    plan.recipes = vec![cheese()];
    plan.recipes[0].outputs[0].item = ItemId(12);
    plan.rules = vec![rule(Action::Make { recipe: RecipeId(0), batch_kg: 10.0 })];
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules[0].fired, 0);
    // On the first morning there are only 5 of the 8 kg that a batch takes.
    assert_eq!(out.rules[0].blocked[Blocked::JarsOrRoom as usize], 9);
}

/// Something fed every evening, up to `kg` of whole milk.
fn calf(kg: f64, first: bool) -> OutletPlan {
    OutletPlan {
        takes: vec![(fixed::WHOLE, kg)],
        cap_of: vec![0],
        most_kg: kg,
        young_kg: Vec::new(),
        by_itself: 1 << fixed::WHOLE.0,
        first,
        ..pigs(0.0)
    }
}

#[test]
fn what_one_is_given_by_itself_goes_to_no_other() {
    // Pigs stand first in the file, but get whole milk only when asked to.
    let mut plan = plain(10, 400);
    plan.outlets = vec![pigs(1000.0), calf(4.0, false)];
    let (out, log) = run(&plan, None);
    near(mass(&out, Fate::Fed), 40.0);
    near(log.get(5, DayMeasure::Fed).into(), 4.0);
}

#[test]
fn the_evening_round_leaves_tomorrows_drinking_and_young_come_before_people() {
    // Eight kg are drunk at noon and 8 kept back, 10 drawn: 2 kg stand there in
    // the evening of the second day, 4 in that of the third, 6, 8, then more.
    let mut plan = plain(8, 400);
    plan.household.people = vec![drinker(8.0)];
    plan.household.kept_back_days = 1.0;
    plan.outlets = vec![calf(4.0, false)];
    let (out, log) = run(&plan, None);
    // Day 0: 5 of 8. Evenings of days 1 to 4: 2, 4, 6, 8; from day 5 on the 2 kg over 8 go.
    near(mass(&out, Fate::Fed), 3.0 * 2.0);
    near(log.get(5, DayMeasure::Fed).into(), 2.0);
    assert_eq!(out.wants[0].short_days, 1);

    // On the bottle: 4 kg every morning, and people have what is left.
    plan.outlets = vec![calf(4.0, true)];
    let (out, log) = run(&plan, None);
    near(mass(&out, Fate::Fed), 8.0 * 4.0);
    // 1 kg on day 0; then 10 drawn less 4 a day: 6 of 8.
    near(log.get(0, DayMeasure::DrinkServed).into(), 1.0);
    near(log.get(4, DayMeasure::DrinkServed).into(), 6.0);
}

#[test]
fn milk_left_on_the_counter_is_chilled_late() {
    // Twelve places: four milkings of three jars. Nothing is done about it.
    let mut plan = plain(8, 12);
    chilling(&mut plan, 2.0, 0.0);
    let (out, _) = run(&plan, None);
    assert_eq!((out.milkings, out.chill_left_out, out.chill_late), (16, 12, 12));
    near(out.chill_hours, 4.0 * 2.0);

    // With the list all milkings find their place, and it is asked afterwards.
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    let (out, _) = run(&plan, None);
    assert_eq!((out.milkings, out.chill_left_out, out.chill_late), (16, 0, 0));
    near(out.chill_hours, 16.0 * 2.0);
}

#[test]
fn milk_that_stood_out_pays_for_its_warm_hours() {
    // Milked once, 8 kg in 5 jars, for two days. The second load stands on the
    // counter from 6 until noon, when the first is drunk: a quarter day at six
    // times the pace; then it chills at a cost of three days. Of 8.5 days
    // 8.5 - 1.5 - 3 = 4 are left: sour by the noon of day 5.
    let mut plan = plain(8, 5);
    chilling(&mut plan, 2.0, 3.0);
    plan.animals[0].milkings = 1;
    plan.animals[0].longest_days = 2;
    plan.household.people = vec![PersonPlan { weekdays: 0b10, ..drinker(8.0) }];
    plan.keeping.life_days = 8.5;
    let (out, log) = run(&plan, None);
    assert_eq!(out.wants[0].short_days, 0);
    near(log.get(4, DayMeasure::SourStock).into(), 0.0);
    near(log.get(5, DayMeasure::SourStock).into(), 8.0);
}

#[test]
fn milk_is_made_into_food_once() {
    let mut plan = plain(20, 400);
    product(&mut plan, &[2]);
    plan.recipes = vec![cheese(), cheese()];
    let ricotta = &mut plan.recipes[1];
    ricotta.inputs[0].items = vec![fixed::WHEY];
    ricotta.least_kg = 1.0;
    ricotta.ageing_loss = 0.0;
    ricotta.outputs = vec![OutputPlan { item: ItemId(12), share: Share::Rest }];
    let make = |recipe| rule(Action::Make { recipe: RecipeId(recipe), batch_kg: 10.0 });
    plan.rules = vec![make(0), make(1)];
    let (out, _) = run(&plan, None);
    assert!(out.made[12] > 0.0);
    near(out.made_into_products, out.rules[0].kg);
}

#[test]
fn the_first_weeks_are_those_of_the_first_freshening_of_all() {
    let mut plan = plain(150, 4000);
    plan.keeping.spell_early_days = 30;
    plan.keeping.spill_early = 1.0;
    let a = &mut plan.animals[0];
    (a.freshens_day, a.interval, a.dry_days) = (-100.0, Some(200.0), 60.0);
    near(mass(&run(&plan, Some(1)).0, Fate::WastedSpilled), 0.0);
    // Ten days before the run: twenty of the thirty are left.
    plan.animals[0].freshens_day = -10.0;
    near(mass(&run(&plan, Some(1)).0, Fate::WastedSpilled), 200.0);
}

#[test]
fn fetched_milk_before_she_freshens_makes_no_dry_weeks() {
    let mut plan = plain(30, 400);
    plan.animals[0].freshens_day = 15.0;
    plan.household.people = vec![drinker(1.0)];
    plan.fetches = vec![FetchPlan { weekdays: 0x7f, until_day: 14, ..fetched(3.0) }];
    let (out, _) = run(&plan, None);
    assert_eq!((out.dry_days, out.wants[0].days), (0, 30));
}

#[test]
fn milk_that_is_overdue_is_missed() {
    let mut plan = plain(30, 400);
    plan.animals[0].freshens_day = 1000.0;
    plan.household.people = vec![drinker(1.0)];
    plan.household.drink_from_day = 10;
    let (out, _) = run(&plan, None);
    assert_eq!((out.wants[0].days, out.wants[0].short_days), (20, 20));
}

#[test]
fn once_a_day_costs_nothing_while_a_calf_empties_her() {
    let mut plan = plain(5, 400);
    plan.animals[0].milkings = 1;
    plan.animals[0].calf = Some(CalfPlan { held_back: 0.1, ..calf_on(100, 100, 6.0) });
    let (_, log) = run(&plan, None);
    near(log.get(2, DayMeasure::Drawn).into(), 3.6_f32.into());
}

#[test]
fn milk_is_kept_back_for_guests_too() {
    // A kilogram a day, half of it drunk; all that is over is fed at nine. Two
    // kg more are wanted on day 5: from day 4 on nothing may be fed.
    let mut plan = plain(7, 400);
    plan.animals[0].curves[0].yield_kg.fill(1.0);
    let there = (0..7).map(|day| day == 5).collect();
    plan.household.people = vec![drinker(0.5), PersonPlan { present: there, ..drinker(2.0) }];
    plan.household.kept_back_days = 1.0;
    plan.outlets = vec![pigs(1000.0)];
    plan.rules = vec![rule(Action::Feed { item: fixed::WHOLE, most_kg: f64::INFINITY })];
    let (_, log) = run(&plan, None);
    near(log.get(4, DayMeasure::Fed).into(), 0.0);
    near(log.get(5, DayMeasure::DrinkServed).into(), 1.5);
}

#[test]
fn a_move_goes_on_to_the_other_shelves_of_the_store() {
    // Two groups of shelves in one store, for two jars and for one.
    let mut plan = plain(1, 400);
    let small = |jars: f64| PlacePlan { store: 7, jar_part: vec![1.0 / jars], ..plan.places[1].clone() };
    let (two, one) = (small(2.0), small(1.0));
    plan.places.extend([two, one]);
    let item = fixed::WHOLE;
    plan.rules = vec![rule(Action::Move { item, to: PlaceId(3), most_kg: f64::INFINITY })];
    let (out, _) = run(&plan, None);
    near(out.rules[0].kg, 5.0);
    // Next day the three places are full, and nothing is moved round in the store.
    plan.days.push(plan.days[0]);
    let (out, _) = run(&plan, None);
    near(out.rules[0].kg, 5.0);
    assert_eq!(out.rules[0].blocked[Blocked::JarsOrRoom as usize], 1);
}

#[test]
fn the_newest_first_lets_the_old_grow_sour() {
    // Ten kg a day, 5 drunk at noon. Oldest first: of each day's milk half is
    // drunk when it is old, and the stock is always the newest. Newest first:
    // the morning's 5 kg are drunk at noon and every evening's grow sour.
    let mut plan = plain(30, 400);
    plan.household.people = vec![drinker(5.0)];
    plan.keeping.life_days = 20.0;
    plan.items[fixed::SOUR_MILK.at()].keeps = [2.0, 1.0, 0.0, 0.0, 2.0];
    let (out, _) = run(&plan, None);
    // By day 29 they have drunk 150 of the first 150 kg, drawn on days 0 to 14.
    near(mass(&out, Fate::WastedSoured), 0.0);
    plan.household.newest_first = true;
    let (out, _) = run(&plan, None);
    assert_eq!(out.wants[0].short_days, 0);
    // The evening of day 0 (0.75) is sour on day 20.75, poured out on 21.75: by
    // the end of day 29 the evenings of days 0 to 8 are gone.
    near(mass(&out, Fate::WastedSoured), 9.0 * 5.0);
    near(mass(&out, Fate::InStore), 300.0 - 150.0 - 45.0);
}

#[test]
fn what_a_rule_pours_out_is_charged_to_the_rule() {
    let mut plan = plain(10, 400);
    plan.rules = vec![rule(Action::Dump { item: fixed::WHOLE, most_kg: 1.0 })];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::WastedPouredOut), 10.0);
    near(mass(&out, Fate::WastedExpired) + mass(&out, Fate::WastedSoured), 0.0);
}

/// So much milk fetched on Mondays.
pub(super) fn fetched(kg: f64) -> FetchPlan {
    FetchPlan {
        species: Species::Cow,
        kg,
        log_sd: 0.0,
        weekdays: 0b1,
        from_day: 0,
        until_day: u32::MAX,
        age_days: 0.0,
        fails: 0.0,
        fat: 0.04,
        protein: 0.033,
        minutes: 0.0,
    }
}

#[test]
fn young_on_the_bottle_come_before_people_with_fetched_milk_too() {
    let mut plan = plain(7, 400);
    plan.animals.clear();
    plan.fetches = vec![FetchPlan { weekdays: 0x7f, ..fetched(10.0) }];
    plan.household.people = vec![drinker(8.0)];
    plan.outlets = vec![calf(3.0, true)];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::Fed), 7.0 * 3.0);
    near(out.wants[0].served, 7.0 * 7.0);
}

#[test]
fn a_place_that_never_chills_has_no_hours() {
    let mut plan = plain(4, 400);
    chilling(&mut plan, 72.0, 0.0);
    let (out, _) = run(&plan, None);
    assert_eq!((out.milkings, out.chill_never, out.chill_late), (8, 8, 8));
    near(out.chill_hours, 0.0);
}

#[test]
fn what_stays_in_the_bowl_is_the_same_of_any_batch() {
    let mut plan = plain(6, 400);
    plan.recipes = vec![RecipePlan { left_kg: 0.5, film: 0.0, least_kg: 1.0, ..cheese() }];
    plan.rules = vec![rule(Action::Make { recipe: RecipeId(0), batch_kg: 4.0 })];
    let (out, _) = run(&plan, None);
    assert!(out.rules[0].fired > 2);
    near(mass(&out, Fate::Film), 0.5 * f64::from(out.rules[0].fired));
}

/// Five kilograms at each milking for four days: of a day 4 go to the newborn, of the
/// first day 2 to the freezer, 3 to other animals; the rest is poured out. The second
/// time the newborn is on the dam, who gives it 2 kg a day.
#[test]
fn colostrum_goes_where_the_family_says() {
    let mut plan = plain(6, 400);
    plan.animals[0].colostrum_days = 4;
    plan.outlets = vec![OutletPlan { by_itself: 0, ..pigs(3.0) }];
    plan.places.push(freezer(60.0));
    let to = vec![ColostrumTo::Newborn, ColostrumTo::Freezer, ColostrumTo::AnimalsFed];
    plan.animals[0].course.colostrum = ColostrumPlan { to, newborn_kg: 4.0, frozen_kg: 2.0 };
    let (out, log) = run(&plan, None);
    near(mass(&out, Fate::ColostrumNewborn), 16.0);
    near(mass(&out, Fate::ColostrumFrozen), 2.0);
    near(mass(&out, Fate::ColostrumFed), 12.0);
    near(mass(&out, Fate::Withheld), 40.0 - 30.0);
    near(log.get(0, DayMeasure::Fed).into(), 3.0);
    near(mass(&out, Fate::Fed), 0.0);

    plan.animals[0].calf = Some(calf_on(10, 10, 2.0));
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::ColostrumNewborn), 0.0);
    near(mass(&out, Fate::Calf), 6.0 * 2.0);
}

/// A freezer of its own at the end of the places.
fn freezer(litres: f64) -> PlacePlan {
    let plan = plain(1, 1);
    PlacePlan { kind: PlaceKind::Freezer, store: 9, litres, ..plan.places[2].clone() }
}

/// A kilogram takes 1.2 L. What does not fit is poured out; that of the next
/// freshening takes the room of the last, not more.
#[test]
fn frozen_colostrum_takes_its_room() {
    let mut plan = plain(300, 400);
    plan.animals[0].colostrum_days = 4;
    plan.animals[0].course.colostrum =
        ColostrumPlan { to: vec![ColostrumTo::Freezer], newborn_kg: 4.0, frozen_kg: 2.0 };
    plan.animals[0].interval = Some(100.0);
    let (without, _) = run(&plan, None);
    near(mass(&without, Fate::ColostrumFrozen), 0.0);
    plan.places.push(freezer(60.0));
    let (out, log) = run(&plan, None);
    assert_eq!(out.freshenings, 3);
    near(mass(&out, Fate::ColostrumFrozen), 6.0);
    near(out.freezer_used_l, 2.4);
    near(log.get(299, DayMeasure::FreezerUsed).into(), f64::from(2.4_f32));
    plan.places[3].litres = 1.2;
    let (small, _) = run(&plan, None);
    near(mass(&small, Fate::ColostrumFrozen), 3.0);
    near(mass(&small, Fate::Withheld), mass(&out, Fate::Withheld) + 3.0);
}

#[test]
fn the_young_take_less_at_first() {
    let mut plan = plain(10, 400);
    plan.outlets = vec![OutletPlan { young_kg: vec![(-3, 9.0), (2, 1.0), (5, 2.5)], ..calf(4.0, true) }];
    let (out, log) = run(&plan, None);
    for (day, kg) in [(0, 1.0), (1, 1.0), (2, 2.5), (4, 2.5), (5, 4.0), (9, 4.0)] {
        near(log.get(day, DayMeasure::Fed).into(), kg);
    }
    near(mass(&out, Fate::Fed), 2.0 + 3.0 * 2.5 + 5.0 * 4.0);
}

#[test]
fn foul_milk_that_nobody_opens_is_found_in_the_end() {
    // All milk is of foul milkings and nobody drinks: it turns within a part of its life,
    // and is found when sound milk would have been past its time.
    let mut plan = plain(60, 400);
    plan.household.people.clear();
    (plan.keeping.spell_rate, plan.keeping.spell_days, plan.keeping.spell_foul) = (1000.0, 1e9, 1.0);
    plan.items[fixed::WHOLE.at()].keeps = [6.0; 5];
    let longest = plan.keeping.life_days * plan.keeping.foul_life_part + 6.0 + 2.0;
    let (out, log) = run(&plan, Some(3));
    let stands = f64::from(log.get(59, DayMeasure::WholeStock));
    assert!(stands > 0.0 && stands <= 10.0 * longest, "{stands} kg after {longest} days");
    assert!(mass(&out, Fate::WastedFoul) > 600.0 - 10.0 * longest - 1.0, "{}", mass(&out, Fate::WastedFoul));
}
