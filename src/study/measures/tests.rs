//! Names and values of the measures.

use super::*;
use crate::dairy::matter::Matter;
use crate::sim::outcome::{Source, WantTally};
use crate::study::testing;

#[test]
fn names_are_different_and_plain() {
    let (plan, mut names) = testing::house();
    names.wishes = ["Hard  cheese", "milk", "milk dry", "dry", "x dry", "x"].map(String::from).into();
    let mut plan = plan;
    plan.household.wishes = vec![testing::wish(); 6];
    let table = Table::new(&plan, &names);
    let mut sorted = table.names.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted.len(), table.keys.len());
    assert!(table.names.contains(&"hard_cheese_longest_gap".to_owned()));
    assert!(table.names.contains(&"milk_2_fill".to_owned()));
    assert!(
        table
            .names
            .iter()
            .all(|n| n.chars().all(|c| c.is_ascii_lowercase() || c == '_' || c.is_ascii_digit()))
    );
}

#[test]
fn an_empty_trial_has_finite_measures() {
    let (plan, names) = testing::house();
    let table = Table::new(&plan, &names);
    let mut row = Vec::new();
    table.append(&Outcome::default(), &plan, &mut row);
    assert_eq!(row.len(), table.keys.len());
    assert!(row.iter().all(|v| v.is_finite()));
    let value = |k| row[table.column(k).unwrap()];
    assert_eq!(value(MeasureKey::DryFill(MILK)), 1.0);
    // People waited for milk that never came; where nobody waits nothing is short.
    assert_eq!((value(MeasureKey::Fill(MILK)), value(MeasureKey::MilkDays)), (0.0, 0.0));
    let mut nobody = plan.clone();
    nobody.household.people.clear();
    let empty = |k: MeasureKey| k.value(&Outcome::default(), &nobody);
    assert_eq!((empty(MeasureKey::Fill(MILK)), empty(MeasureKey::MilkDays)), (1.0, 1.0));
    assert_eq!(value(MeasureKey::WastedPart), 0.0);
}

/// Ten kilograms drawn, one to the calf, one of colostrum, three fetched:
/// eleven fit for people, of which 1.1 wasted is a tenth.
#[test]
fn the_wasted_part_by_hand() {
    let (plan, _) = testing::house();
    let mut o = Outcome::default();
    o.sources[Source::Drawn as usize] = Matter::milk(10.0, 0.04, 0.03);
    o.sources[Source::Fetched as usize] = Matter::milk(3.0, 0.04, 0.03);
    o.fates[Fate::Calf as usize] = Matter::milk(1.0, 0.04, 0.03);
    o.fates[Fate::Withheld as usize] = Matter::milk(1.0, 0.04, 0.03);
    o.fates[Fate::WastedSoured as usize] = Matter::milk(1.0, 0.04, 0.03);
    o.fates[Fate::WastedExpired as usize] = Matter::milk(0.1, 0.40, 0.03);
    o.fates[Fate::ByproductPoured as usize] = Matter::milk(5.0, 0.0, 0.03);
    let value = |k: MeasureKey| k.value(&o, &plan);
    assert!((value(MeasureKey::MilkDrawn) - 9.0).abs() < 1e-12);
    assert!((value(MeasureKey::Wasted) - 1.1).abs() < 1e-12);
    assert!((value(MeasureKey::WastedPart) - 0.1).abs() < 1e-12);
    // Fat: 0.04 + 0.04 wasted of 11 · 0.04.
    assert!((value(MeasureKey::WastedFatPart) - 0.08 / 0.44).abs() < 1e-12);
    o.wants = vec![WantTally { wanted: 4.0, served: 3.0, days: 10, short_days: 2, ..WantTally::default() }];
    let value = |k: MeasureKey| k.value(&o, &plan);
    assert_eq!((value(MeasureKey::Fill(MILK)), value(MeasureKey::Short(MILK))), (0.75, 1.0));
    assert!((value(MeasureKey::MilkDays) - 0.8).abs() < 1e-12);
}

/// A spell of ten days: 5 kg laid down, 3 of 4 wanted were served.
#[test]
fn the_dry_weeks_and_the_herd_by_hand() {
    let (plan, _) = testing::house();
    let mut o = Outcome::default();
    let want = WantTally {
        laid_down: 5.0,
        spell_wanted: 4.0,
        spell_served: 3.0,
        made: 9.0,
        made_weeks: 3,
        ..WantTally::default()
    };
    o.wants = vec![want];
    let value = |o: &Outcome, k: MeasureKey| k.value(o, &plan);
    // No dry weeks: as many days as the run has.
    assert_eq!(value(&o, MeasureKey::FirstDryDay), 60.0);
    o.first_dry_day = Some(41);
    (o.jars_broken, o.traded.not_fetched) = (4, 5);
    (o.sick_cases, o.sick_days, o.freshenings, o.freshened_again, o.not_settled) = (2, 11, 3, 1, 1);
    for (key, is) in [
        (MeasureKey::FirstDryDay, 41.0),
        (MeasureKey::LaidDown(MILK), 5.0),
        (MeasureKey::Needed(MILK), 4.0),
        (MeasureKey::Bridged(MILK), 0.0),
        (MeasureKey::Made(MILK), 9.0),
        (MeasureKey::MadeWeeks(MILK), 3.0),
        (MeasureKey::JarsBroken, 4.0),
        (MeasureKey::StayedAway, 5.0),
        (MeasureKey::SickCases, 2.0),
        (MeasureKey::SickDays, 11.0),
        (MeasureKey::Freshenings, 3.0),
        (MeasureKey::FreshenedAgain, 1.0),
        (MeasureKey::NotSettled, 1.0),
    ] {
        assert_eq!(value(&o, key), is, "{key:?}");
    }
    o.wants[0].spell_served = 3.96;
    assert_eq!(value(&o, MeasureKey::Bridged(MILK)), 1.0);
    // Where half of it may be thawed milk, half of it is all that is put up for.
    let mut half = plan.clone();
    (half.household.put_up_milk, half.household.thawed_part) = (Some(crate::scenario::plan::ItemId(0)), 0.5);
    o.wants[0].spell_served = 1.98;
    assert_eq!(MeasureKey::Bridged(MILK).value(&o, &half), 1.0);
    assert_eq!(MeasureKey::Bridged(MILK).value(&o, &plan), 0.0);
}
