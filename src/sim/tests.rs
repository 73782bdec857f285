//! Flow tables worked by hand: a ledger that closes does not catch a wrong fate.

use super::fixture::*;
use super::outcome::{Blocked, DayMeasure, Fate, Outcome};
use super::{DayLog, Luck, Trial};
use crate::scenario::plan::*;

pub(super) fn run(plan: &Plan, trial: Option<u32>) -> (Outcome, DayLog) {
    let mut luck = Luck::new(plan, &names());
    match trial {
        Some(t) => luck.draw(5, t),
        None => luck.steady(),
    }
    let mut log = DayLog::new(plan);
    let out = Trial::new(plan).run(&luck, &mut log).clone();
    let c = out.closure;
    assert!(c.mass < 1e-9 && c.fat < 1e-9 && c.protein < 1e-9, "the books do not balance: {c:?}");
    (out, log)
}

pub(super) fn mass(out: &Outcome, fate: Fate) -> f64 {
    out.fates[fate as usize].mass
}

#[track_caller]
pub(super) fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6 * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn milk_that_nobody_drinks_sours_and_is_poured_out() {
    // 10 kg a day for 30 days. Life 8.5 d, then 7 d sour in the fridge: the
    // milk drawn on the morning of day 0 (0.25) sours on day 8.75 and is poured
    // out 7 days later, in the evening of day 15; that of the evening (0.75) in
    // the morning of day 16.
    let (out, log) = run(&plain(30, 200), None);
    near(out.fates.iter().map(|f| f.mass).sum(), 300.0);
    near(log.get(14, DayMeasure::Wasted).into(), 0.0);
    near(log.get(15, DayMeasure::Wasted).into(), 5.0);
    near(log.get(16, DayMeasure::Wasted).into(), 10.0);
    // On day 29 the mornings of days 0 to 14 and the evenings to 13 are gone.
    near(mass(&out, Fate::WastedSoured), 145.0);
    near(mass(&out, Fate::InStore), 155.0);
    assert_eq!(out.milkings, 0);
}

#[test]
fn the_table_drinks_the_oldest_and_a_short_day_counts() {
    let mut plan = plain(20, 200);
    plan.household.people = vec![drinker(3.0), drinker(4.0)];
    plan.animals[0].longest_days = 10;
    let (out, _) = run(&plan, None);
    // Milk on days 0 to 9, 100 kg; on day 0 only the morning's 5 kg are there
    // at noon: 2 kg short. Then 7 kg a day; by day 13 the stock is drunk.
    let w = out.wants[0];
    near(w.wanted, 140.0);
    near(w.served, 100.0);
    near(mass(&out, Fate::Drunk), 100.0);
    // 5 + 13·7 = 96 by day 13; day 14 gets 4 of 7, then five days nothing.
    assert_eq!((w.short_days, w.longest_gap, w.first_short), (7, 6, Some(0)));
    assert_eq!(out.dry_days, 10);
    near(w.dry_wanted, 70.0);
    near(w.dry_served, 32.0);
}

#[test]
fn a_full_fridge_feeds_the_oldest_first_then_pours_out() {
    let mut plan = plain(10, 12);
    plan.outlets = vec![pigs(2.0)];
    plan.when_full.tonight = vec![FullStep::Feed(fixed::WHOLE), FullStep::PourOut(fixed::WHOLE)];
    let (out, log) = run(&plan, None);
    // 5 kg a milking stand in 3 jars: four milkings fill the 12 places.
    assert_eq!(log.get(1, DayMeasure::OverFull), 0.0);
    assert_eq!(log.get(2, DayMeasure::OverFull), 1.0);
    assert_eq!(out.days_over_full, 8);
    // Two kg a day go to the pigs from day 2 on, the rest of what is in the way is poured out.
    near(mass(&out, Fate::Fed), 16.0);
    let held = mass(&out, Fate::InStore);
    near(mass(&out, Fate::WastedNoRoom), 100.0 - 16.0 - held);
    assert!(held <= 12.0 * 1.8 * 1.03 + 1e-9);
    assert!(out.cold_used_l <= 200.0 + 1e-9, "used never exceeds what is owned");
    assert!(out.cold_wanted_l > 200.0, "wanted does");
    assert!(out.rules[0].fired > 0 && out.rules[1].fired > 0);
}

#[test]
fn skim_and_churn_keep_the_fat_in_sight() {
    let mut plan = plain(14, 200);
    plan.recipes = vec![butter()];
    plan.outlets = vec![pigs(1000.0)];
    plan.rules = vec![
        rule(Action::Skim {
            after_hours: 24.0,
            depth: SkimDepth::Leave(0.03),
            apart: false,
            minutes_per_jar: 3.0,
        }),
        rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }),
    ];
    plan.keeping.life_days = 100.0;
    let (out, _) = run(&plan, None);
    let butter = out.made[10];
    // Every rested milking leaves 1 % of its mass as fat in cream, 99 % of it in butter of 81.5 %.
    let rested = 5.0 * (1 + 2 * 12) as f64;
    // What is left holds 3 %: cream fat = 0.04 m − 0.03 (m − cream). Cream mass is known from the rest.
    let cream_fat = butter * 0.815 / 0.99;
    let cream_mass = butter + out.made[9];
    near(cream_fat, 0.04 * rested - 0.03 * (rested - cream_mass));
    assert!((3.0..4.0).contains(&cream_mass) && (1.4..1.8).contains(&butter), "{cream_mass} {butter}");
    // Buttermilk went to the pigs by itself.
    near(mass(&out, Fate::Fed), out.made[9]);
}

#[test]
fn cheese_takes_fresh_milk_ages_and_leaves_whey() {
    let mut plan = plain(80, 400);
    plan.recipes = vec![cheese()];
    plan.rules = vec![RulePlan {
        per_week: Some(1),
        ..rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY })
    }];
    plan.household.wishes = vec![wish(11, 0.35)];
    plan.household.wishes[0].from_day = 70;
    let (out, _) = run(&plan, None);
    // 12 Mondays (day 0, 7, … 77). Day 0 has only 5 kg: made on day 1 instead,
    // then on Mondays with 16 of the 20 kg drawn in the two days before.
    assert_eq!(out.rules[0].fired, 12);
    near(out.rules[0].kg, 15.0 + 11.0 * 16.0);
    let milk = out.rules[0].kg;
    let kept = 1.0 - 0.002;
    let cheese = milk * kept * (0.88 * 0.04 + 0.74 * 0.033) * 1.09 / 0.62;
    near(out.made[11], cheese);
    near(out.made[7], milk * 1.002 * kept - cheese);
    near(mass(&out, Fate::Film), milk * 1.002 * 0.002);
    // Whey is nobody's here: poured out after two days, no waste of food.
    assert!(mass(&out, Fate::ByproductPoured) > 0.0);
    near(mass(&out, Fate::WastedExpired), 0.0);
    // Wheels of day 1, 7, 14 are ready after 61 days, lighter by 5 %; the first
    // of them is eaten from the noon of day 62 on.
    let wheel = cheese / milk;
    near(mass(&out, Fate::AgeingLoss), 0.05 * wheel * (15.0 + 16.0 + 16.0));
    near(mass(&out, Fate::Eaten), 0.05 * 18.0);
    assert_eq!(out.wants[1].short_days, 0);
}

#[test]
fn what_held_a_rule_back_is_the_first_reason() {
    let mut plan = plain(7, 200);
    plan.recipes = vec![cheese()];
    let make = Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY };
    plan.rules = vec![
        RulePlan { weekdays: 0b1, ..rule(make) },
        RulePlan { when: vec![Condition::Season { from: 100, until: 200 }], ..rule(make) },
        RulePlan {
            when: vec![Condition::Stock { items: 1 << 0, least: 1e6, most: f64::INFINITY }],
            ..rule(make)
        },
        RulePlan { keep_back_kg: 1e6, ..rule(make) },
        RulePlan { when: vec![Condition::Fullness { store: 0, least: 2.0, most: 9.0 }], ..rule(make) },
        RulePlan { per_week: Some(0), ..rule(make) },
        RulePlan { when: vec![Condition::MinutesLeft { least: 1e6, most: f64::INFINITY }], ..rule(make) },
    ];
    let (out, _) = run(&plan, None);
    let blocked = |r: usize, why: Blocked| out.rules[r].blocked[why as usize];
    assert_eq!(blocked(0, Blocked::Day), 6);
    assert_eq!(blocked(0, Blocked::Stock), 1);
    assert_eq!(blocked(1, Blocked::Phase), 7);
    assert_eq!(blocked(2, Blocked::Stock), 7);
    assert_eq!(blocked(3, Blocked::Stock), 7);
    assert_eq!(blocked(4, Blocked::Fullness), 7);
    assert_eq!(blocked(5, Blocked::Limit), 7);
    assert_eq!(blocked(6, Blocked::Minutes), 7);
}

#[test]
fn kitchen_minutes_are_a_real_limit() {
    let mut plan = plain(14, 400);
    plan.recipes = vec![cheese()];
    plan.household.kitchen_minutes = [[99.0; 7]; 12];
    plan.rules = vec![rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY })];
    let (out, _) = run(&plan, None);
    assert_eq!(out.rules[0].fired, 0);
    assert_eq!(out.rules[0].blocked[Blocked::Minutes as usize], 13);
    plan.household.kitchen_minutes = [[100.0; 7]; 12];
    assert!(run(&plan, None).0.rules[0].fired > 0);
}

#[test]
fn colostrum_calf_and_once_a_day_take_their_part() {
    let mut plan = plain(40, 400);
    plan.animals[0].colostrum_days = 4;
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::Withheld), 40.0);

    plan.animals[0].colostrum_days = 0;
    plan.animals[0].calf = Some(CalfPlan { held_back: 0.1, pail_fat_factor: 0.8, ..calf_on(10, 30, 6.0) });
    let (out, log) = run(&plan, None);
    // Full time: the calf has 6 of 10; of the 4 left a tenth is held back for it.
    near(f64::from(log.get(0, DayMeasure::Drawn)), 3.6_f32.into());
    // Shut in overnight: half the day less a tenth; the calf drinks 5.5.
    near(f64::from(log.get(15, DayMeasure::Drawn)), 4.5);
    near(f64::from(log.get(35, DayMeasure::Drawn)), 10.0);
    near(mass(&out, Fate::Calf), 10.0 * 6.4 + 20.0 * 5.5);
    // Full time with a small calf leaves no more than a night apart: half the day.
    let mut small = plan.clone();
    if let Some(calf) = &mut small.animals[0].calf {
        (calf.appetite_start_kg, calf.appetite_full_kg) = (1.0, 1.0);
    }
    near(f64::from(run(&small, None).1.get(0, DayMeasure::Drawn)), 4.5);

    plan.animals[0].calf = None;
    plan.animals[0].milkings = 1;
    let (_, log) = run(&plan, None);
    near(f64::from(log.get(5, DayMeasure::Drawn)), 8.0);
}

#[test]
fn from_tomorrow_the_calf_stays_on_or_she_is_milked_once() {
    let mut plan = plain(12, 12);
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    plan.when_full.tomorrow =
        vec![Action::CalfOn { animal: 0, days: 3 }, Action::OnceADay { animal: 0, days: 3 }];
    let (out, log) = run(&plan, None);
    // Full on day 2 for the first time; milked once from day 3.
    near(f64::from(log.get(2, DayMeasure::Drawn)), 10.0);
    near(f64::from(log.get(3, DayMeasure::Drawn)), 8.0);
    assert!(out.rules[1].blocked[Blocked::Phase as usize] > 0, "there is no calf to leave on");
    assert!(out.rules[2].fired > 0);
}

#[test]
fn a_jar_short_of_clean_ones_is_a_cause_of_its_own() {
    let mut plan = plain(5, 200);
    plan.jars[0].count = 7;
    let (out, _) = run(&plan, None);
    assert!(mass(&out, Fate::WastedNoJar) > 0.0);
    near(mass(&out, Fate::WastedNoRoom), 0.0);
    assert_eq!(out.jars_used, 7);
}

#[test]
fn the_helper_keeps_the_milk_of_days_away() {
    let mut plan = plain(10, 200);
    for d in &mut plan.days[3..6] {
        d.away = true;
    }
    plan.household.people = vec![drinker(1.0)];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::KeptByHelper), 30.0);
    near(out.wants[0].wanted, 7.0);
}

#[test]
fn a_shorter_run_is_the_beginning_of_a_longer_one() {
    let mut long = noisy();
    let full = run(&long, Some(3)).1;
    long.days.truncate(100);
    let part = run(&long, Some(3)).1;
    assert_eq!(part.data[..], full.data[..part.data.len()]);
}

/// Every part in use, with chance.
fn noisy() -> Plan {
    let mut plan = plain(400, 24);
    let a = &mut plan.animals[0];
    (a.white_sd, a.slow_sd, a.slow_phi) = (0.068, 0.07, 0.921);
    (a.level_log_sd, a.morning_part_sd, a.evening_fat_excess) = (0.18, 0.044, 0.012);
    (a.freshens_day, a.freshens_sd, a.interval, a.interval_sd) = (5.0, 4.0, Some(300.0), 20.0);
    a.colostrum_days = 4;
    plan.household.people = vec![drinker(1.0), drinker(0.5)];
    plan.household.wishes = vec![wish(10, 0.8), wish(11, 0.5)];
    plan.recipes = vec![butter(), cheese()];
    plan.recipes[0].fails = 0.05;
    plan.rules = vec![
        rule(Action::Skim {
            after_hours: 36.0,
            depth: SkimDepth::Leave(0.03),
            apart: true,
            minutes_per_jar: 3.0,
        }),
        rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }),
        RulePlan { per_week: Some(2), ..rule(Action::Make { recipe: RecipeId(1), batch_kg: f64::INFINITY }) },
        rule(Action::Feed { item: fixed::SKIMMED, most_kg: 3.0 }),
    ];
    plan.outlets = vec![pigs(8.0)];
    plan.when_full.tonight = vec![
        FullStep::Feed(fixed::SOUR_MILK),
        FullStep::Feed(fixed::SKIMMED),
        FullStep::Feed(fixed::WHOLE),
        FullStep::PourOut(fixed::WHOLE),
    ];
    let k = &mut plan.keeping;
    (k.life_log_sd, k.spell_rate, k.spell_foul, k.spill, k.spill_early) = (0.2, 0.02, 0.6, 0.01, 0.03);
    plan.losses.strainer = 0.01;
    plan
}

#[test]
fn the_books_balance_when_everything_happens() {
    let plan = noisy();
    let mut foul = 0.0;
    let mut failed = 0.0;
    for trial in 0..60 {
        let (out, _) = run(&plan, Some(trial));
        foul += mass(&out, Fate::WastedFoul);
        failed += mass(&out, Fate::WastedFailedBatch);
        assert!(out.wants[0].served <= out.wants[0].wanted * (1.0 + 1e-9));
        assert!(out.fates.iter().all(|f| f.mass >= -1e-9 && f.fat >= -1e-9 && f.protein >= -1e-9));
    }
    assert!(foul > 0.0 && failed > 0.0, "every hazard was met");
}

#[test]
fn a_trial_does_not_remember_the_one_before() {
    let plan = noisy();
    let mut luck = Luck::new(&plan, &names());
    let mut log = DayLog::new(&plan);
    let mut trial = Trial::new(&plan);
    luck.draw(5, 1);
    trial.run(&luck, &mut log);
    luck.draw(5, 2);
    let again = trial.run(&luck, &mut log).clone();
    assert_eq!(format!("{again:?}"), format!("{:?}", run(&plan, Some(2)).0));
}

#[test]
fn a_larger_fridge_changes_no_cow_and_a_guest_no_one_else() {
    let plan = noisy();
    let mut other = plan.clone();
    other.places[1].jar_part = vec![1.0 / 100.0];
    other.household.people.push(drinker(0.3));
    let (a, b) = (run(&plan, Some(9)).1, run(&other, Some(9)).1);
    for d in 0..plan.days.len() {
        assert_eq!(a.get(d, DayMeasure::Drawn).to_bits(), b.get(d, DayMeasure::Drawn).to_bits());
        let (wa, wb) = (a.get(d, DayMeasure::DrinkWanted), b.get(d, DayMeasure::DrinkWanted));
        assert!((wb - wa - 0.3).abs() < 1e-6);
    }
}

/// Milk for ten days, then none: the first dry day is day 10, when all that was not
/// drunk stands there.
#[test]
fn the_first_dry_weeks_are_told_by_hand() {
    let mut plan = plain(14, 400);
    plan.animals[0].longest_days = 10;
    plan.household.people = vec![drinker(8.0)];
    let (out, _) = run(&plan, None);
    assert_eq!((out.first_dry_day, out.dry_days), (Some(10), 4));
    let milk = out.wants[0];
    // 5 kg on day 0, then 8 a day of 10: 5 + 9 · 8 are drunk of 100.
    near(milk.laid_down, 100.0 - 77.0);
    near(milk.spell_wanted, 4.0 * 8.0);
    // 23 kg last for two days and most of a third.
    near(milk.spell_served, 23.0);
    assert_eq!((out.freshenings, out.freshened_again, out.not_settled), (1, 0, 0));
}
