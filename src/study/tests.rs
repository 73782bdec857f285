//! The study as a whole, on a tiny house.

use super::measures::{MILK, MeasureKey, Table};
use super::results::RunResult;
use super::testing::house;
use super::*;
use crate::scenario::Plan;
use crate::scenario::plan::{Action, AimMeasure, AimPlan, Bound, RulePlan, fixed};
use std::sync::atomic::{AtomicU32, Ordering};

fn options(trials: u32) -> RunOptions {
    RunOptions { trials, seed: 7, ..RunOptions::default() }
}

fn result(options: &RunOptions) -> RunResult {
    let (plan, names) = house();
    run(&plan, &names, options, &|_, _| {}).unwrap()
}

/// Everything, to the bit.
fn same(a: &RunResult, b: &RunResult) {
    let bits = |rows: &[f64]| rows.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
    assert_eq!(bits(&a.rows), bits(&b.rows));
    assert_eq!(format!("{a:?}"), format!("{b:?}"));
}

#[test]
fn threads_change_nothing() {
    let one = result(&RunOptions { threads: Some(1), ..options(333) });
    for threads in [2, 3, 8] {
        same(&one, &result(&RunOptions { threads: Some(threads), ..options(333) }));
    }
    assert_eq!(one.trials, 333);
    assert_eq!(one.rows.len(), 333 * one.columns.len());
    let other = result(&RunOptions { seed: 8, ..options(333) });
    assert_ne!(one.rows, other.rows);
}

#[test]
fn a_hundred_are_the_first_of_a_thousand() {
    let (few, many) = (result(&options(100)), result(&options(1000)));
    assert_eq!(few.rows[..], many.rows[..few.rows.len()]);
    assert_ne!(few.rows[..few.columns.len()], few.rows[few.columns.len()..2 * few.columns.len()]);
}

#[test]
fn bands_and_rows_tell_the_same() {
    let r = result(&options(200));
    let drawn: f64 = r.bands.iter().find(|b| b.name == "drawn").unwrap().days.iter().map(|d| d[0]).sum();
    let told = r.measure("milk_drawn").unwrap().mean;
    assert!((drawn - told).abs() < 1e-3 * told.max(1.0), "{drawn} {told}");
    for band in &r.bands {
        assert_eq!(band.days.len(), 60);
        for d in &band.days {
            assert!(d[1..].windows(2).all(|w| w[0] <= w[1]), "{}: {d:?}", band.name);
        }
    }
    assert!(result(&RunOptions { bands: false, ..options(5) }).bands.is_empty());
}

#[test]
fn where_it_went_sums_to_one() {
    let r = result(&options(64));
    let parts: f64 = r.fates.iter().map(|f| f.part).sum();
    assert!((parts - 1.0).abs() < 1e-9, "{parts}");
    assert!(r.closure.mass <= 1e-9);
}

#[test]
fn summaries_hold_together() {
    let r = result(&options(500));
    assert_eq!(r.measures.len(), r.columns.len());
    for (i, m) in r.measures.iter().enumerate() {
        assert_eq!(m.name, r.columns[i]);
        let values: Vec<f64> = r.rows.chunks_exact(r.columns.len()).map(|row| row[i]).collect();
        let below = values.iter().filter(|v| **v <= m.quantiles[4]).count();
        assert!(below >= 475, "{}", m.name);
        assert!(m.min <= m.quantiles[0] && m.quantiles[4] <= m.max);
        let mean = m.mean_ci95.unwrap();
        assert!(mean[0] <= m.mean && m.mean <= mean[1]);
        for (q, interval) in m.quantiles.into_iter().zip(m.quantile_ci95) {
            let [low, high] = interval.unwrap();
            assert!(low <= q && q <= high, "{}", m.name);
        }
    }
    let (middle, name) = &r.middle_trial;
    let column = r.columns.iter().position(|c| c == name).unwrap();
    let value = r.rows[*middle as usize * r.columns.len() + column];
    assert_eq!(value, r.measures[column].quantiles[2]);
}

#[test]
fn the_average_year_is_one_trial() {
    let r = result(&RunOptions { steady: true, ..options(400) });
    assert_eq!((r.trials, r.steady), (1, true));
    assert!(r.aims.iter().all(|a| a.sure) && r.remedies.is_empty());
    assert!(r.measures.iter().all(|m| m.min == m.max));
}

#[test]
fn options_out_of_range_are_refused() {
    let (plan, names) = house();
    let told = |o: RunOptions| run(&plan, &names, &o, &|_, _| {}).unwrap_err();
    assert_eq!(told(options(0)), StudyError::NoTrials);
    assert_eq!(told(options(200_001)), StudyError::TooManyTrials { asked: 200_001 });
    for precision in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(told(RunOptions { precision: Some(precision), ..options(9) }), StudyError::Precision);
    }
    let mut empty = plan.clone();
    empty.days.clear();
    assert_eq!(run(&empty, &names, &options(9), &|_, _| {}).unwrap_err(), StudyError::NoDays);
}

#[test]
fn it_stops_by_itself_only_at_a_look() {
    let asked = |precision, trials| {
        result(&RunOptions { precision: Some(precision), remedies: false, bands: false, ..options(trials) })
    };
    let rough = asked(1.0e6, 10_000);
    assert_eq!(rough.trials, 500);
    let reached = rough.precision.unwrap();
    let finer = asked(reached / 1.2, 10_000);
    assert_eq!(finer.trials, 1000);
    assert!(finer.precision.unwrap() <= reached / 1.2);
    // The same as a run of that many from the start.
    let whole = result(&RunOptions { remedies: false, bands: false, ..options(1000) });
    assert_eq!(format!("{:?}", whole.measures), format!("{:?}", finer.measures));
    assert_eq!(whole.fates, finer.fates);
    assert_eq!(whole.precision, None);
    // Never precise enough: it ends at the most, and says how precise it is.
    let most = asked(1.0e-9, 1200);
    assert_eq!(most.trials, 1200);
    assert!(most.precision.unwrap() > 1.0e-9);
}

#[test]
fn progress_reaches_the_end() {
    let (plan, names) = house();
    let last = AtomicU32::new(0);
    let calls = AtomicU32::new(0);
    run(&plan, &names, &options(100), &|done, of| {
        assert!(done <= of && of == 100);
        last.fetch_max(done, Ordering::Relaxed);
        calls.fetch_add(1, Ordering::Relaxed);
    })
    .unwrap();
    assert_eq!((last.into_inner(), calls.into_inner()), (100, 4));
}

#[test]
fn aims_count_trials() {
    let (mut plan, names) = house();
    plan.aims = vec![
        AimPlan { measure: AimMeasure::WastedPart, bound: Bound::AtMost(1.0), in_part: 0.95 },
        AimPlan { measure: AimMeasure::MilkFill, bound: Bound::AtLeast(1.1), in_part: 0.95 },
    ];
    let r = run(&plan, &names, &RunOptions { remedies: false, ..options(100) }, &|_, _| {}).unwrap();
    assert_eq!((r.aims[0].met_part, r.aims[0].met, r.aims[0].sure), (1.0, true, true));
    assert_eq!((r.aims[1].met_part, r.aims[1].met, r.aims[1].sure), (0.0, false, true));
    assert_eq!((r.aims[0].measure.as_str(), r.aims[1].measure.as_str()), ("wasted_part", "milk_fill"));
    let table = Table::new(&plan, &names);
    assert_eq!(table.keys[table.column(MeasureKey::Fill(MILK)).unwrap()].unit(), "1");
}

/// Every remedy named was run on the same luck and does better; one that says
/// so mends.
#[test]
fn remedies_are_tried_on_the_same_luck() {
    let r = result(&options(400));
    let aim = &r.aims[0];
    assert!(!aim.met, "the tiny house wastes: {aim:?}");
    assert!(!r.remedies.is_empty() && r.remedies.len() <= 6);
    let column = r.columns.iter().position(|c| c == "wasted_part").unwrap();
    let rows = r.rows.chunks_exact(r.columns.len()).take(300);
    let base = rows.filter(|row| row[column] <= 0.03).count() as f64 / 300.0;
    for remedy in &r.remedies {
        assert_eq!((remedy.trials, remedy.met_parts.len()), (300, 1));
        assert_eq!(remedy.mends, remedy.met_parts[0] >= 0.95);
    }
    // Those that help come first.
    let helped: Vec<bool> = r.remedies.iter().map(|m| m.met_parts[0] <= base).collect();
    assert!(helped.is_sorted() && !helped[0], "{:?}", r.remedies);
    assert!(r.remedies.windows(2).all(|w| w[0].met_parts[0] >= w[1].met_parts[0]));
    assert!(r.remedies.iter().any(|m| m.words.contains("in the cold")), "{:?}", r.remedies);
    let without = result(&RunOptions { remedies: false, ..options(400) });
    assert!(without.remedies.is_empty());
}

/// The figure beside a remedy's is that of the same trials without it, not that
/// of all trials.
#[test]
fn a_remedy_is_set_beside_its_own_trials() {
    let r = result(&options(1000));
    let column = r.columns.iter().position(|c| c == "wasted_part").unwrap();
    let part = |trials: usize| {
        let rows = r.rows.chunks_exact(r.columns.len()).take(trials);
        rows.filter(|row| row[column] <= 0.03).count() as f64 / trials as f64
    };
    assert_ne!(part(300), part(1000), "the first 300 are not like all");
    for remedy in &r.remedies {
        assert_eq!(remedy.base_parts, [part(300)], "{remedy:?}");
    }
}

/// The pigs get 2 kg of about 10 kg before a table that wishes for 7 kg: with
/// twice the pigs less is wasted, and the table goes short. More cold room
/// harms nobody, though it helps less.
#[test]
fn a_remedy_that_breaks_another_aim_says_so_and_is_not_first() {
    let (mut plan, names) = house();
    let person = &mut plan.household.people[0];
    person.mean_kg = 7.0;
    plan.household.kept_back_days = 0.0;
    plan.outlets[0].takes = vec![(fixed::WHOLE, 2.0)];
    plan.outlets[0].most_kg = 2.0;
    plan.rules = vec![RulePlan {
        keep_back_of: 0,
        behind: 0,
        action: Action::Feed { item: fixed::WHOLE, most_kg: f64::INFINITY },
        weekdays: 0x7f,
        when: vec![],
        per_week: None,
        per_day: None,
        every_days: None,
        keep_back_kg: 0.0,
    }];
    let fills = |plan: &Plan| {
        let r = run(plan, &names, &RunOptions { remedies: false, ..options(300) }, &|_, _| {}).unwrap();
        let column = r.columns.iter().position(|c| c == "milk_fill").unwrap();
        r.rows.chunks_exact(r.columns.len()).map(|row| row[column]).fold(f64::INFINITY, f64::min)
    };
    // A bound that the plan as it is just keeps in every trial.
    let bound = Bound::AtLeast(fills(&plan));
    plan.aims.push(AimPlan { measure: AimMeasure::MilkFill, bound, in_part: 1.0 });
    let r = run(&plan, &names, &options(300), &|_, _| {}).unwrap();
    assert!(!r.aims[0].met && r.aims[1].met, "{:?}", r.aims);
    let broken: Vec<bool> = r.remedies.iter().map(|m| m.worsens.iter().any(|w| w.broken)).collect();
    assert!(broken.contains(&true) && broken.contains(&false), "{:?}", r.remedies);
    assert!(broken.is_sorted(), "those that break an aim come last: {:?}", r.remedies);
    for w in r.remedies.iter().flat_map(|m| &m.worsens) {
        assert_eq!((w.aim, w.without), (1, 1.0));
        assert!(w.with < 1.0);
    }
}

/// A single trial tells nothing of how sure a mean is.
#[test]
fn one_trial_has_no_interval() {
    for o in [options(1), RunOptions { steady: true, ..options(1) }] {
        let r = result(&o);
        assert!(r.measures.iter().all(|m| m.mean_ci95.is_none()));
        assert!(r.measures.iter().all(|m| m.quantile_ci95 == [None; 5]));
    }
    assert_eq!(result(&RunOptions { precision: Some(0.1), ..options(1) }).precision, None);
    // Of two, the mean has one; 95 % of a middle takes six (1 − 2 · 0.5⁶).
    let two = result(&options(2));
    assert!(two.measures.iter().all(|m| m.mean_ci95.is_some() && m.quantile_ci95[2].is_none()));
    assert!(result(&options(6)).measures.iter().all(|m| m.quantile_ci95[2].is_some()));
}
