//! What stands there at the start: flow tables worked by hand.

use super::fixture::*;
use super::outcome::{DayMeasure, Fate, Source};
use super::tests::{mass, near, run};
use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::*;

/// What a jar of the fixture holds, kg.
const JAR: f64 = 1.8 * 1.03;

fn lot(item: ItemId, kg: f64, jars: u32, drawn: f64, left: f64) -> OpeningLot {
    OpeningLot {
        item,
        matter: Matter::milk(kg, 0.04, 0.033),
        store: 1,
        jars: (jars > 0).then_some((JarId(0), jars)),
        drawn,
        ready: drawn,
        ageing_loss: 0.0,
        risen_h: 24.0 * -drawn,
        life: OpeningLife::Left(left),
        species: Species::Cow,
    }
}

/// The fixture with its places as stores of their own, and this in store.
fn with(days: usize, lots: Vec<OpeningLot>) -> Plan {
    let mut plan = plain(days, 400);
    for (i, p) in plan.places.iter_mut().enumerate() {
        p.store = i as u16;
    }
    plan.opening = OpeningPlan { lots, jars_away: vec![[0; 7]], owed_kg: 0.0, known: true };
    plan
}

fn no_cow(plan: &mut Plan) {
    plan.animals.clear();
}

#[test]
fn what_is_there_is_a_source_and_stays_in_store() {
    let mut plan = with(1, vec![lot(fixed::WHOLE, 2.0 * JAR, 2, -1.0, 6.0)]);
    let (out, log) = run(&plan, None);
    near(out.sources[Source::Opening as usize].mass, 2.0 * JAR);
    near(out.sources[Source::Drawn as usize].mass, 10.0);
    near(mass(&out, Fate::InStore), 10.0 + 2.0 * JAR);
    near(log.get(0, DayMeasure::Drawn).into(), 10.0);
    // Jars: 5 kg are 2.7, so three each time.
    assert_eq!(out.jars_used, 2 + 3 + 3);
    assert!(out.closure.mass < 1e-9 && out.closure.fat < 1e-9 && out.closure.protein < 1e-9);
    // Nothing more comes in without the cow.
    no_cow(&mut plan);
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::InStore), 2.0 * JAR);
    near(out.sources.iter().map(|m| m.mass).sum(), 2.0 * JAR);
}

#[test]
fn people_drink_it_oldest_first_and_it_sours_on_its_day() {
    // 1 kg a day is drunk of 4 kg with 2 days left and 4 kg with 9: of the older,
    // the meals of days 0 and 1 take 2 kg, and 2 are sour by the kitchen of day 2.
    let two = vec![lot(fixed::WHOLE, 4.0, 3, -6.25, 2.0), lot(fixed::WHOLE, 4.0, 3, -1.25, 9.0)];
    let mut plan = with(10, two);
    no_cow(&mut plan);
    plan.household.people = vec![drinker(1.0)];
    let (out, log) = run(&plan, None);
    near(log.get(1, DayMeasure::SourStock).into(), 0.0);
    near(log.get(2, DayMeasure::SourStock).into(), 2.0);
    near(mass(&out, Fate::Drunk), 2.0 + 4.0);
    // Sour milk keeps seven days in the cold: from day 2 to day 9.
    near(mass(&out, Fate::WastedSoured), 2.0);
    near(mass(&out, Fate::InStore), 0.0);
}

#[test]
fn a_draw_leaves_what_the_mean_life_has_over_in_the_average_year() {
    // 8.5 days, of which 3 are used up: sour 5.5 days on, so by the evening of day 5.
    let mut plan = with(7, vec![lot(fixed::WHOLE, 4.0, 3, -3.0, 0.0)]);
    plan.opening.lots[0].life = OpeningLife::Drawn { used: 3.0, draw: 0 };
    no_cow(&mut plan);
    let (_, log) = run(&plan, None);
    near(log.get(4, DayMeasure::SourStock).into(), 0.0);
    near(log.get(5, DayMeasure::SourStock).into(), 4.0);
}

#[test]
fn what_the_store_does_not_hold_stands_on_the_counter_and_counts_as_too_full() {
    // Room for five jars, seven are there: two begin on the counter, at six times
    // the pace, and no list acts. Full days: until the two have soured and gone.
    let mut plan = with(1, vec![lot(fixed::WHOLE, 7.0 * JAR, 7, -1.0, 6.0)]);
    plan.places[1].jar_part = vec![0.2];
    no_cow(&mut plan);
    let (out, _) = run(&plan, None);
    assert_eq!((out.days_over_full, out.jars_used), (1, 7));
    near(out.cold_wanted_l, 7.0 / 5.0 * 200.0);
    near(out.cold_used_l, 200.0);
    // A list for a full fridge deals with them at once.
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::WastedNoRoom), 2.0 * JAR);
}

#[test]
fn cheese_in_age_loses_the_rest_of_its_water_and_is_eaten_when_ready() {
    let mut plan = with(
        20,
        vec![OpeningLot { ready: 10.0, ageing_loss: 0.02, store: 2, ..lot(ItemId(11), 2.0, 0, -50.0, 0.9) }],
    );
    no_cow(&mut plan);
    plan.household.wishes = vec![wish(11, 0.7)];
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::AgeingLoss), 0.04);
    // A tenth of a kilogram a day from day 10 on.
    near(mass(&out, Fate::Eaten), 10.0 * 0.1);
    assert_eq!(out.wants[1].short_days, 10);
    near(mass(&out, Fate::InStore), 2.0 - 0.04 - 1.0);
}

#[test]
fn cream_that_has_risen_is_skimmed_on_the_first_day() {
    // Rested for 30 hours at the kitchen of day 0; the morning's is not.
    let mut plan = with(1, vec![lot(fixed::WHOLE, 2.0 * JAR, 2, 9.0 / 24.0 - 30.0 / 24.0, 6.0)]);
    let depth = SkimDepth::Leave(0.02);
    plan.rules = vec![rule(Action::Skim { after_hours: 30.0, depth, apart: false, minutes_per_jar: 3.0 })];
    let (out, log) = run(&plan, None);
    near(out.rules[0].kg, 2.0 * JAR);
    let cream: f64 = log.get(0, DayMeasure::CreamStock).into();
    let skimmed: f64 = log.get(0, DayMeasure::SkimmedStock).into();
    near(cream + skimmed, 2.0 * JAR);
    // By its hours at rest, not by the clock of the run: an hour less and it waits.
    plan.opening.lots[0].drawn += 1.1 / 24.0;
    assert_eq!(run(&plan, None).0.rules[0].fired, 0);
}

#[test]
fn jars_with_members_come_back_and_what_is_owed_is_promised_once() {
    // Two members of one jar each on Mondays; three of ten jars are away until day
    // 2. One jar is owed: three are promised on day 0.
    let mut plan = with(8, vec![lot(fixed::WHOLE, 4.0 * JAR, 4, -1.0, 30.0)]);
    no_cow(&mut plan);
    plan.jars[0].count = 10;
    plan.opening.jars_away = vec![[0, 0, 3, 0, 0, 0, 0]];
    plan.opening.owed_kg = JAR;
    plan.trade.share = Some(SharePlan {
        jars: Some(ShareJars { size: 0, kg: JAR }),
        ..members(&[JAR; 2], SplitRule::MembersFirst)
    });
    let (out, log) = run(&plan, None);
    // Day 0: three of four jars; day 7: one of the two promised.
    near(mass(&out, Fate::SharedOut), 4.0 * JAR);
    near(log.get(0, DayMeasure::WholeStock).into(), JAR);
    assert_eq!((out.traded.pick_ups, out.traded.short_pick_ups), (2, 1));
    // In use: 4 full and 3 away at first; then one full and three lent again.
    near(log.get(0, DayMeasure::JarsUsed).into(), 7.0);
    near(log.get(3, DayMeasure::JarsUsed).into(), 4.0);
}

/// A jar owed to four who take one each is handed to one of them: nobody goes short of
/// a quarter of a jar.
#[test]
fn what_is_owed_in_whole_jars_is_handed_out_whole() {
    let mut plan = with(2, vec![lot(fixed::WHOLE, 9.0 * JAR, 9, -1.0, 30.0)]);
    no_cow(&mut plan);
    plan.jars[0].count = 20;
    plan.opening.owed_kg = JAR;
    plan.trade.share = Some(SharePlan {
        jars: Some(ShareJars { size: 0, kg: JAR }),
        ..members(&[JAR; 4], SplitRule::InProportion)
    });
    let (out, _) = run(&plan, None);
    near(mass(&out, Fate::SharedOut), 5.0 * JAR);
    assert_eq!((out.traded.pick_ups, out.traded.short_pick_ups), (1, 0));
    let promised: Vec<f64> = out.traded.shares.iter().map(|s| s.promised / JAR).collect();
    near(promised.iter().sum(), 5.0);
    near(promised[0], 2.0);
    assert!(out.traded.shares.iter().all(|s| (s.kept - s.promised).abs() < 1e-9 && s.worst_loss < 1e-9));
}

#[test]
fn how_she_stands_today() {
    let milked = |now: AnimalNow, days: usize| {
        let mut plan = with(days, Vec::new());
        plan.animals[0].freshens_day = -100.0;
        plan.animals[0].course.now = Some(now);
        let (out, log) = run(&plan, None);
        let each: Vec<f64> = (0..days).map(|d| log.get(d, DayMeasure::Drawn).into()).collect();
        (out, each)
    };
    let usual = milked(AnimalNow::default(), 4).1;
    assert_eq!(usual, vec![10.0; 4]);
    // Kept from people through day 1: nothing of it reaches them.
    let (out, each) = milked(AnimalNow { kept_until: Some(1), ..AnimalNow::default() }, 4);
    near(mass(&out, Fate::WithheldSick), 20.0);
    assert_eq!(each, vec![0.0, 0.0, 10.0, 10.0]);
    // Once a day through day 1 gives 80 %.
    let (_, each) = milked(AnimalNow { once_until: Some(1), ..AnimalNow::default() }, 4);
    assert_eq!(each, vec![8.0, 8.0, 10.0, 10.0]);
    let (_, each) = milked(AnimalNow { dried_off: Some(-5), ..AnimalNow::default() }, 4);
    assert_eq!(each, vec![0.0; 4]);
    let (_, each) = milked(AnimalNow { level: Some((1.2, 0.05)), ..AnimalNow::default() }, 2);
    assert_eq!(each, vec![12.0; 2]);
}

#[test]
fn a_known_service_says_when_she_freshens_and_dries_off() {
    let bred = BreedingPlan {
        wait_days: 60.0,
        window: None,
        cycle_days: 21.0,
        season: None,
        seen: 1.0,
        settles: 1.0,
        tries: 8,
        gestation_days: 280.0,
        gestation_sd: 0.0,
        again: false,
    };
    let mut plan = with(300, Vec::new());
    plan.animals[0].freshens_day = -200.0;
    plan.animals[0].course.bred = Some(bred);
    let dry_from = |plan: &Plan| {
        let (_, log) = run(plan, None);
        (0..300).find(|&d| log.get(d, DayMeasure::Drawn) == 0.0)
    };
    // Served 100 days ago: due on day 180, dry 60 days before.
    plan.animals[0].course.now =
        Some(AnimalNow { bred: Some((-100, InCalf::Known)), ..AnimalNow::default() });
    assert_eq!(dry_from(&plan), Some(120));
    // Known to be open: the first heat from today on, half a cycle away on average;
    // due about day 290, dry about day 230.
    plan.animals[0].course.now = Some(AnimalNow { open: true, ..AnimalNow::default() });
    let dry = dry_from(&plan).unwrap();
    assert!((220..=252).contains(&dry), "{dry}");
}
