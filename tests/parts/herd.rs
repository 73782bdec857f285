//! Once a day, drying off by and by, an animal that leaves.

use super::*;

fn drawn(log: &DayLog, day: usize) -> f32 {
    log.get(day, DayMeasure::Drawn)
}

#[test]
fn once_a_day_takes_its_part_of_its_days_alone() {
    // Said on 1 June (day 92) for 60 days: from 2 June to 31 July, the second hundred days
    // of her milk but for the last.
    let once =
        "  - {do: milk once a day, who: Clover, for: 60 days, when: {between: 2027-06-01 to 2027-06-01}}\n";
    let with = common::compile(&house(PLAIN, once));
    let part = with.plan.animals[0].once_a_day[1];
    assert!((0.5..0.95).contains(&part), "{part}");
    for ((_, log), (_, other)) in both(&with, &plain()) {
        for d in 0..log.days {
            let (now, was) = (drawn(&log, d), drawn(&other, d));
            if (93..153).contains(&d) {
                assert!((f64::from(now) - part * f64::from(was)).abs() < 1e-4 * f64::from(was), "day {d}");
            } else {
                assert_eq!(now.to_bits(), was.to_bits(), "day {d}");
            }
        }
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
    }
}

#[test]
fn drying_off_by_and_by_takes_of_its_last_days_alone() {
    let animal = "health: none\n    freshens again: after 11 months\n    dry off: 60 days before";
    let at_once = common::compile(&house(animal, ""));
    let mut by_and_by = at_once.clone();
    by_and_by.plan.animals[0].course.dried_over = 10;
    for ((_, log), (_, other)) in both(&by_and_by, &at_once) {
        let last = (0..log.days).rev().find(|&d| drawn(&other, d) > 0.0).expect("she gives milk");
        assert!((200..299).contains(&last), "{last}");
        for d in 0..log.days {
            let (now, was) = (drawn(&log, d), drawn(&other, d));
            if d + 10 <= last || d > last {
                assert_eq!(now.to_bits(), was.to_bits(), "day {d}");
            } else {
                assert!(now < was && now > 0.0, "day {d}: {now} of {was}");
            }
        }
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
    }
}

#[test]
fn an_animal_that_leaves_gives_nothing_more() {
    // On 1 September, day 184.
    let with = common::compile(&house("health: none\n    leaves: 2027-09-01", ""));
    for ((a, log), (b, other)) in both(&with, &plain()) {
        for d in 0..184 {
            assert_eq!(drawn(&log, d).to_bits(), drawn(&other, d).to_bits(), "day {d}");
        }
        assert!((184..log.days).all(|d| drawn(&log, d) == 0.0 && drawn(&other, d) > 0.0));
        assert_eq!((a.traded.animal_days, b.traded.animal_days), (184, 300));
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
    }
}
