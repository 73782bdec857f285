//! Chilling, neighbours, ice and outages, worked by hand.

use super::fixture::*;
use super::outcome::{DayMeasure, Fate, Outcome};
use super::tests::{mass, near, run};
use super::{DayLog, Luck, Trial};
use crate::dairy::keeping::sweet_rate;
use crate::scenario::plan::*;

/// The cold place chills by a table that says the same everywhere.
fn chilling(plan: &mut Plan, place: usize, hours: [f64; 3], life_days: f64, neighbour_days: f64) {
    plan.places[place].chill = Some(ChillTable {
        by_month: [0; 12],
        starts_c: vec![35.0],
        loads_l: vec![0.0, 50.0],
        inside_l: vec![0.0, 500.0],
        cells: vec![ChillCell { hours_to: hours, life_days, neighbour_days }; 4],
    });
}

/// An ice bath: at x kg of ice a litre the milk comes out at 35 - 60 x °C.
fn bath(made_kg: f64, kept_kg: f64) -> SoakPlan {
    let cell = |end_c: f64| SoakCell {
        end_c,
        hours: 0.75,
        hours_to: if end_c <= 4.4 { [0.3, 0.4, 0.5] } else { [0.75; 3] },
        life_days: 0.0,
    };
    SoakPlan {
        ice: Some(IcePlan { each_kg: None, wanted_kg_l: 0.5, made_kg, kept_kg }),
        ice_per_l: vec![0.0, 0.5],
        cells: vec![cell(35.0), cell(2.0)],
    }
}

const SLOW: [f64; 3] = [5.0, 7.0, 10.0];

/// A fridge kept at 4 °C in a room of 24 °C that leaks 2 W/K and holds 72 kJ/K
/// when empty: a time of 10 h.
fn machine() -> MachinePlan {
    MachinePlan {
        freezer: false,
        set_c: [4.0; 12],
        room_c: [24.0; 12],
        spare_w: [100.0; 12],
        ua: 2.0,
        kj_k: [72.0; 12],
    }
}

/// One trial in which the power fails at a time and for so many hours, the gap
/// and the length as the luck would have drawn them.
fn with_outage(plan: &Plan, gap_days: f64, lengths: f64) -> (Outcome, DayLog) {
    let mut luck = Luck::new(plan, &names());
    luck.draw(5, 0);
    let rate = plan.cold.outages.map_or(0.0, |o| o.rate);
    luck.outages.fill(f64::INFINITY);
    if let Some(first) = luck.outages.first_chunk_mut::<2>() {
        *first = [gap_days * rate, lengths];
    }
    let mut log = DayLog::new(plan);
    let out = Trial::new(plan).run(&luck, &mut log).clone();
    assert!(out.closure.mass < 1e-9, "{:?}", out.closure);
    (out, log)
}

fn outages(plan: &mut Plan, discard: bool) {
    plan.cold.outages = Some(OutagePlan { rate: 0.01, hours: 10.0, discard, perishable: 0b11_1111_1111 });
    plan.cold.machines = vec![Some(machine())];
}

#[test]
fn with_the_ice_bath_chilling_passes_where_fridge_air_fails() {
    let mut plan = plain(10, 400);
    chilling(&mut plan, 1, SLOW, 1.0, 0.0);
    let (air, _) = run(&plan, None);
    let all = air.milkings;
    assert_eq!(all, 20);
    let late =
        |o: &Outcome| [o.chill_late, o.chill_late_10c, o.chill_late_7c, o.chill_late_2h, o.chill_late_1h];
    assert_eq!(late(&air), [all; 5]);
    plan.cold.soak = Some(bath(10.0, 20.0));
    let (iced, _) = run(&plan, None);
    assert_eq!((iced.milkings, iced.ice_short), (all, 0));
    assert_eq!(late(&iced), [0; 5]);
    near(iced.chill_hours, 20.0 * 0.5);
    // Half a kilogram a litre, 5 kg in a milking.
    near(iced.ice_kg, 20.0 * 0.5 * 5.0 / 1.03);
}

#[test]
fn ice_that_is_not_made_does_not_cool() {
    // 5 kg at the start and 1 kg a day, for 2.427 kg a milking: two milkings on
    // the first day, then 1.146 left and 1 more each morning.
    let mut plan = plain(3, 400);
    chilling(&mut plan, 1, [0.1, 0.2, 0.3], 0.0, 0.0);
    plan.cold.soak = Some(bath(1.0, 5.0));
    let (out, _) = run(&plan, None);
    near(out.ice_kg, 5.0 + 2.0);
    assert_eq!(out.ice_short, 4);
    assert_eq!(out.chill_late_1h, 4, "a warm bath costs its time, then the fridge begins");
}

#[test]
fn a_stricter_rule_is_missed_by_more() {
    let mut plan = plain(10, 400);
    chilling(&mut plan, 1, [0.5, 1.0, 1.5], 0.0, 0.0);
    let (out, _) = run(&plan, None);
    assert_eq!((out.chill_late, out.chill_late_2h, out.chill_late_1h), (0, 0, 20));
    // 10 °C in four hours from the start, 7 °C not in two from the end.
    chilling(&mut plan, 1, [3.4, 4.0, 6.0], 0.0, 0.0);
    let (out, _) = run(&plan, None);
    assert_eq!((out.chill_late_10c, out.chill_late_7c, out.chill_late), (0, 20, 20));
}

#[test]
fn a_warm_load_costs_its_neighbours_life_and_not_its_own() {
    // Sweet for 8.5 days alone: that of the first morning sours in the evening of
    // day 8. Then two warm milkings a day beside it, 0.05 days of life each.
    let mut plan = plain(30, 400);
    chilling(&mut plan, 1, [0.5, 1.0, 1.5], 0.0, 0.0);
    let (alone, log) = run(&plan, None);
    near(log.get(8, DayMeasure::SourStock).into(), 5.0);
    near(alone.neighbour_days, 0.0);
    chilling(&mut plan, 1, [0.5, 1.0, 1.5], 0.0, 0.05);
    let (out, log) = run(&plan, None);
    near(out.neighbour_days, 60.0 * 0.05);
    // Each milking ages what stood there by 0.05 days, two a day: of 8.5 days
    // t + 0.05 · (2 t, rounded down) are used, 8.5 of them by t = 7.75: the milkings
    // of day 0 sour at 8.0 and 8.5, that of the morning after at 9.0.
    near(log.get(7, DayMeasure::SourStock).into(), 0.0);
    near(log.get(8, DayMeasure::SourStock).into(), 10.0);
}

#[test]
fn a_second_fridge_ends_it() {
    // Milk older than the day moves to a store of its own at nine.
    let mut plan = plain(30, 400);
    let mut second = plan.places[1].clone();
    second.store = 1;
    plan.places.push(second);
    chilling(&mut plan, 1, [0.5, 1.0, 1.5], 0.0, 0.4);
    let sour = |plan: &Plan| {
        let (_, log) = run(plan, None);
        f64::from(log.get(7, DayMeasure::SourStock))
    };
    assert!(sour(&plan) > 1.0);
    plan.rules = vec![rule(Action::Move { item: fixed::WHOLE, to: PlaceId(3), most_kg: f64::INFINITY })];
    near(sour(&plan), 0.0);
}

#[test]
fn moved_jars_live_by_the_clock_of_the_new_store() {
    // A store twice as fast: the milk of the first morning stands there from
    // nine on. 8.5 days less 0.125 are 4.1875 days: sour at 4.5625 days.
    let mut plan = plain(12, 400);
    let mut warm = plan.places[1].clone();
    (warm.store, warm.sweet_rate) = (1, [2.0; 12]);
    plan.places.push(warm);
    plan.animals[0].longest_days = 1;
    plan.rules = vec![RulePlan {
        every_days: Some(100),
        ..rule(Action::Move { item: fixed::WHOLE, to: PlaceId(3), most_kg: f64::INFINITY })
    }];
    let (_, log) = run(&plan, None);
    near(log.get(3, DayMeasure::SourStock).into(), 0.0);
    near(log.get(4, DayMeasure::SourStock).into(), 5.0);
    // The evening's milk stays where it is and is sweet until day 9.
    near(log.get(8, DayMeasure::SourStock).into(), 5.0);
    near(log.get(9, DayMeasure::SourStock).into(), 10.0);
}

#[test]
fn colder_is_never_a_shorter_life() {
    let mut last = 0.0;
    for celsius in [12.0, 9.0, 7.0, 5.0, 4.0, 3.0, 1.0] {
        let mut plan = plain(40, 400);
        plan.places[1].sweet_rate = [sweet_rate(celsius, 0.5); 12];
        plan.animals[0].longest_days = 3;
        plan.household.people = vec![drinker(2.0)];
        let (out, _) = run(&plan, None);
        let drunk = mass(&out, Fate::Drunk);
        assert!(drunk >= last - 1e-9, "{celsius} °C");
        last = drunk;
    }
    assert!(last > 25.0);
}

#[test]
fn without_outages_none_is_drawn_and_with_them_no_other_stream_moves() {
    let plan = plain(60, 400);
    let mut other = plan.clone();
    outages(&mut other, true);
    let (mut a, mut b) = (Luck::new(&plan, &names()), Luck::new(&other, &names()));
    a.draw(5, 3);
    b.draw(5, 3);
    assert!(a.outages.is_empty() && !b.outages.is_empty());
    b.outages.clear();
    assert_eq!(format!("{a:?}"), format!("{b:?}"));
    let (out, _) = run(&plan, Some(3));
    assert_eq!((out.outages, out.outage_discards), (0, 0));
    near(out.outage_hours, 0.0);
    // Never in the average year.
    let (steady, _) = run(&other, None);
    assert_eq!(steady.outages, 0);
}

#[test]
fn a_short_outage_costs_a_little_life_and_nothing_is_discarded() {
    // One milking of 5 kg on day 0; the power fails at midnight of day 2 for an
    // hour. 72 + 5.4·4.02 kJ/K: from 4.0 to 5.5 °C, under 2 h above 5 °C.
    let mut plan = plain(12, 400);
    plan.animals[0].longest_days = 1;
    outages(&mut plan, true);
    let (out, log) = with_outage(&plan, 2.0, 0.1);
    assert_eq!((out.outages, out.outage_discards), (1, 0));
    near(out.outage_hours, 1.0);
    near(mass(&out, Fate::WastedOutage), 0.0);
    // 10 kg, sour at 8.75 and 9.25 days without the outage, an hour or so earlier with it.
    near(log.get(8, DayMeasure::SourStock).into(), 5.0);
}

#[test]
fn a_long_outage_is_discarded_by_its_own_cause() {
    // Ten hours from midnight of day 2: above 5 °C within the hour, so by six in
    // the morning more than two hours warm: all sweet milk of days 0 and 1.
    let mut plan = plain(6, 400);
    plan.animals[0].longest_days = 2;
    outages(&mut plan, true);
    let (out, log) = with_outage(&plan, 2.0, 1.0);
    near(mass(&out, Fate::WastedOutage), 20.0);
    near(log.get(2, DayMeasure::Wasted).into(), 20.0);
    assert_eq!(out.outage_discards, 1);
    near(out.outage_hours, 10.0);
    // Kept against the advice, it only lives less.
    outages(&mut plan, false);
    let (out, _) = with_outage(&plan, 2.0, 1.0);
    near(mass(&out, Fate::WastedOutage), 0.0);
    near(mass(&out, Fate::InStore), 20.0);
}

#[test]
fn butter_outlives_an_outage() {
    let mut plan = plain(6, 400);
    plan.recipes = vec![butter()];
    plan.rules = vec![
        rule(Action::Skim {
            after_hours: 12.0,
            depth: SkimDepth::Leave(0.03),
            apart: false,
            minutes_per_jar: 1.0,
        }),
        rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }),
    ];
    outages(&mut plan, true);
    let (out, log) = with_outage(&plan, 3.0, 1.0);
    assert!(out.made[10] > 0.1 && mass(&out, Fate::WastedOutage) > 1.0);
    // Butter is item 10 and stays.
    plan.cold.outages = plan.cold.outages.map(|o| OutagePlan { perishable: u64::MAX, ..o });
    let (all, _) = with_outage(&plan, 3.0, 1.0);
    assert!(mass(&all, Fate::WastedOutage) > mass(&out, Fate::WastedOutage) + 0.1);
    assert!(log.get(3, DayMeasure::Wasted) > 1.0);
}

#[test]
fn milk_that_comes_while_the_power_is_out_is_chilled_late() {
    let mut plan = plain(6, 400);
    chilling(&mut plan, 1, [0.5, 1.0, 1.5], 0.0, 0.0);
    outages(&mut plan, false);
    // From midnight of day 2 for ten hours: the morning milking of day 2.
    let (out, _) = with_outage(&plan, 2.0, 1.0);
    assert_eq!((out.milkings, out.chill_late, out.chill_left_out), (12, 1, 1));
    // The bath chills it all the same.
    plan.cold.soak = Some(bath(10.0, 20.0));
    let (out, _) = with_outage(&plan, 2.0, 1.0);
    assert_eq!((out.milkings, out.chill_late, out.chill_left_out), (12, 0, 0));
}

#[test]
fn a_freezer_holds_a_day_half_full() {
    // Butter moved into a freezer that other food fills half: 24 h.
    let mut plan = plain(20, 400);
    plan.recipes = vec![butter()];
    let like = &plan.places[1];
    let freezer = PlacePlan {
        kind: PlaceKind::Freezer,
        store: 1,
        litres: 1e6,
        jar_part: vec![f64::INFINITY],
        other_food: [0.5; 12],
        ..like.clone()
    };
    plan.places.push(freezer);
    plan.rules = vec![
        rule(Action::Skim {
            after_hours: 12.0,
            depth: SkimDepth::Leave(0.03),
            apart: false,
            minutes_per_jar: 1.0,
        }),
        rule(Action::Make { recipe: RecipeId(0), batch_kg: f64::INFINITY }),
        rule(Action::Move { item: ItemId(10), to: PlaceId(3), most_kg: f64::INFINITY }),
    ];
    outages(&mut plan, true);
    let freezer = MachinePlan { freezer: true, set_c: [-18.0; 12], room_c: [21.0; 12], ..machine() };
    plan.cold.machines = vec![None, Some(freezer)];
    plan.cold.outages = plan.cold.outages.map(|o| OutagePlan { perishable: 1 << 10, ..o });
    // Hours of the outage are 10 times the length.
    let (short, _) = with_outage(&plan, 10.0, 2.3);
    near(mass(&short, Fate::WastedOutage), 0.0);
    let (long, _) = with_outage(&plan, 10.0, 2.5);
    assert!(mass(&long, Fate::WastedOutage) > 0.1);
}
