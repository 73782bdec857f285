//! From rows to days in milk.

use jiff::civil::Date;

use super::tests::{FRESH, jersey, known, log_of, row};
use super::*;
use crate::calendar::date_of;
use crate::records::{Milking, Part};

#[test]
fn a_missing_milking_is_filled_in_and_a_row_of_them_is_once_a_day() {
    let prior = jersey();
    let pair = |d: i64| [row(d, Part::Morning, 11.0), row(d, Part::Evening, 9.0)];
    let mut rows: Vec<Milking> = (5..60).flat_map(pair).collect();
    rows.retain(|m| !(m.date == date_of(FRESH, 20) && m.part == Part::Evening));
    rows.retain(|m| {
        !(m.date >= date_of(FRESH, 40) && m.date < date_of(FRESH, 46) && m.part == Part::Evening)
    });
    let days = days::days(&log_of(rows), &known(), &prior).unwrap();
    assert_eq!((days.filled, days.once), (1, 6));
    let filled = days.lactations[0].days.iter().find(|d| d.dim == 21).unwrap();
    assert!((filled.kg - 20.0).abs() < 1.0 && filled.extra > 0.0, "{filled:?}");
    let once = days.lactations[0].days.iter().find(|d| d.dim == 43).unwrap();
    assert!((once.kg - 11.0 / prior.once_a_day[0]).abs() < 1e-9);
    assert!(!days.pail.contains_key(&date_of(FRESH, 20)) && days.pail.contains_key(&date_of(FRESH, 42)));
    assert_eq!(days.told.len(), 2);
}

/// Both milkings of a day are two, though once a day is usual; weeks apart, single
/// milkings are no run; and two said are two.
#[test]
fn once_a_day_is_what_is_milked_once() {
    let mut prior = jersey();
    let pair = |d: i64| [row(d, Part::Morning, 11.0), row(d, Part::Evening, 9.0)];
    prior.milked_once = true;
    let mut rows: Vec<Milking> = (5..20).flat_map(pair).collect();
    rows.extend((20..30).map(|d| row(d, Part::Unsaid, 16.0)));
    let lesson = learn(&log_of(rows), &known(), &prior).unwrap();
    let days = &lesson.days.lactations[0].days;
    assert!((days[0].kg - 20.0).abs() < 1e-9 && (days[14].kg - 20.0).abs() < 1e-9, "{days:?}");
    assert!((days[15].kg - 16.0 / prior.once_a_day[0]).abs() < 1e-9 && lesson.days.once == 10);
    assert!(
        lesson.days.told.iter().any(|t| t.contains("as if she were milked twice")),
        "{:?}",
        lesson.days.told
    );
    // Five monthly tests of the morning's milk.
    let tests: Vec<Milking> = (0..5).map(|i| row(20 + 30 * i, Part::Morning, 11.0)).collect();
    let days = days::days(&log_of(tests), &known(), &jersey()).unwrap();
    assert_eq!((days.once, days.filled), (0, 5));
    // A hundred mornings after weeks of both, and each says that she was milked twice.
    let mut rows: Vec<Milking> = (5..20).flat_map(pair).collect();
    rows.extend((20..120).map(|d| Milking { milkings: Some(2), ..row(d, Part::Morning, 11.0) }));
    let days = days::days(&log_of(rows), &known(), &jersey()).unwrap();
    assert_eq!((days.once, days.filled), (0, 100));
}

#[test]
fn lactations_are_numbered_by_what_the_log_holds() {
    let fresh: Vec<Date> = (0..4).map(|i| date_of(FRESH, 365 * i)).collect();
    let rows: Vec<Milking> =
        (0..4).flat_map(|i| (5..40).map(move |d| row(365 * i + d, Part::Unsaid, 20.0))).collect();
    let numbers = |number| {
        let days = days::days(&log_of(rows.clone()), &Known { fresh: fresh.clone(), number }, &jersey());
        days.map(|d| d.lactations.iter().map(|l| l.number).collect::<Vec<_>>())
    };
    assert_eq!(numbers(None), Ok(vec![1, 2, 3, 4]));
    assert_eq!(numbers(Some(6)), Ok(vec![3, 4, 5, 6]));
    assert_eq!(numbers(Some(2)), Err(NoFit::TooFew { said: 2, found: 4 }));
    // A note that contradicts what was said is told.
    let mut rows: Vec<Milking> = (5..40).map(|d| row(d, Part::Unsaid, 20.0)).collect();
    rows[10].fresh = true;
    let days = days::days(&log_of(rows), &known(), &jersey()).unwrap();
    assert!(days.told[0].contains("but 2026-04-12 is taken"), "{:?}", days.told);
}

#[test]
fn single_rows_in_a_log_of_pairs_are_set_aside() {
    let pair = |d: i64| [row(d, Part::Unsaid, 11.0), row(d, Part::Unsaid, 9.0)];
    let mut rows: Vec<Milking> = (5..40).flat_map(pair).collect();
    rows.pop();
    let days = days::days(&log_of(rows), &known(), &jersey()).unwrap();
    assert_eq!(days.aside.len(), 1);
    assert!(days.aside[0].why.contains("one of the two milkings"), "{:?}", days.aside);
}

#[test]
fn calf_days_first_days_and_days_before_are_told_apart() {
    let mut rows: Vec<Milking> = (-3..60).map(|d| row(d.max(0), Part::Unsaid, 20.0)).collect();
    for (m, d) in rows.iter_mut().zip(-3..) {
        m.date = date_of(FRESH, d);
        m.calf = (20..30).contains(&d);
        m.kg = if m.calf { 8.0 } else { 20.0 };
        m.withheld = d < 4;
    }
    let lesson = learn(&log_of(rows), &known(), &jersey()).unwrap();
    let l = &lesson.days.lactations[0];
    assert_eq!((l.calf.len(), l.days.len(), lesson.days.aside.len()), (10, 47, 6));
    assert!((lesson.calf_left.unwrap() - 0.4).abs() < 0.04, "{:?}", lesson.calf_left);
    // What is kept from people is milk all the same.
    assert!((l.pail_kg - (10.0 * 8.0 + 50.0 * 20.0)).abs() < 1e-9);
}

#[test]
fn freshenings_are_found() {
    let mut rows: Vec<Milking> = (5..300).map(|d| row(d, Part::Unsaid, 25.0 - 0.05 * d as f64)).collect();
    rows.extend((360..400).map(|d| row(d, Part::Unsaid, 24.0)));
    // A gap in the middle of a lactation is told, and no more.
    rows.retain(|m| !(130..165).contains(&crate::calendar::days_between(FRESH, m.date)));
    let days = days::days(&log_of(rows.clone()), &known(), &jersey()).unwrap();
    let numbers: Vec<u32> = days.lactations.iter().map(|l| l.number).collect();
    assert_eq!(numbers, [1, 2]);
    assert_eq!(days.lactations[1].fresh, date_of(FRESH, 360));
    assert!(days.told[0].contains("if she freshened in that time"), "{:?}", days.told);
    assert!(days.told[1].contains("it is assumed that she freshened"), "{:?}", days.told);
    // Said by the log: by a note, or by the days in milk.
    let nobody = Known { fresh: vec![], number: Some(2) };
    assert_eq!(days::days(&log_of(rows.clone()), &nobody, &jersey()), Err(NoFit::NoFreshening));
    rows[0].dim = Some(6);
    rows[260].fresh = true;
    let days = days::days(&log_of(rows), &nobody, &jersey()).unwrap();
    let fresh: Vec<Date> = days.lactations.iter().map(|l| l.fresh).collect();
    assert_eq!(fresh, [FRESH, date_of(FRESH, 360)]);
    assert_eq!(
        days::days(&Log::default(), &known(), &jersey()).map(|_| ()),
        Err(NoFit::NoDays { why: "every row was set aside".into(), aside: Vec::new() })
    );
}
