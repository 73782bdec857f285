//! Illness, and the young on the dam, against tables worked by hand and against
//! their own laws.

use super::super::fixture::*;
use super::super::outcome::Fate;
use super::super::tests::{mass, near, run};
use super::Animal;
use super::tests::{drawn, many, mastitis};
use crate::scenario::Names;
use crate::scenario::plan::*;
use crate::sim::Luck;

#[test]
fn the_calf_is_sold_on_a_day() {
    let mut plan = plain(30, 400);
    plan.animals[0].calf = Some(calf_on(100, 100, 6.0));
    plan.animals[0].course.calf_leaves = Some(20);
    let (out, log) = run(&plan, None);
    near(drawn(&log, 19), 4.0);
    near(drawn(&log, 20), 10.0);
    near(mass(&out, Fate::Calf), 20.0 * 6.0);
}

/// A lactation of 305 days with 2 cases on average.
fn sick() -> Plan {
    let mut plan = plain(305, 1000);
    plan.animals[0].course.illness = Some(mastitis(2.0));
    plan
}

#[test]
fn cases_come_at_their_rate_and_most_of_them_early() {
    let plan = sick();
    let (mut cases, mut first_week, mut first_90) = (0u32, 0u32, 0u32);
    let trials = 1500;
    many(&plan, trials, |a, luck| {
        let (mut a, own) = (*a, &luck.animals[0]);
        for day in 0..305 {
            let n = a.wake(day, &plan.animals[0], luck, own);
            cases += n;
            first_week += if day < 7 { n } else { 0 };
            first_90 += if day < 90 { n } else { 0 };
        }
    });
    let mean = f64::from(cases) / f64::from(trials);
    // Poisson: the standard error is sqrt(2 / 1500).
    assert!((mean - 2.0).abs() < 4.0 * (2.0 / f64::from(trials)).sqrt(), "{mean}");
    // Peeler and others 2002: more than 22 % and more than 50 %.
    let part = |n: u32| f64::from(n) / f64::from(cases);
    assert!((part(first_week) - 0.23).abs() < 0.035, "{}", part(first_week));
    assert!((part(first_90) - 0.52).abs() < 0.04, "{}", part(first_90));
}

#[test]
fn a_treated_case_keeps_five_days_from_people_and_from_the_other_milk() {
    let mut plan = sick();
    plan.animals.push(cow(4.0, 305));
    let names = Names { animals: vec!["Clover".into(), "Daisy".into()], ..Names::default() };
    let mut luck = Luck::new(&plan, &names);
    let (mut days, mut cases) = (0.0, 0);
    for trial in 0..40 {
        luck.draw(5, trial);
        let mut log = super::super::DayLog::new(&plan);
        let mut t = super::super::Trial::new(&plan);
        let out = t.run(&luck, &mut log);
        assert!(out.closure.mass < 1e-9);
        for day in 0..305 {
            let kg = drawn(&log, day);
            // All of Clover's milk or none of it; all of Daisy's always.
            assert!((4.0..=14.0).contains(&(kg + 1e-6)) || kg > 3.999, "{kg}");
            if kg < 4.0 + 1e-6 {
                days += 1.0;
            }
        }
        cases += out.sick_cases;
        near(mass(out, Fate::Withheld), 0.0);
        assert_eq!(mass(out, Fate::WithheldSick) > 0.0, out.sick_cases > 0);
    }
    // Five days a case, but for cases that follow within five days.
    let a_case = days / f64::from(cases);
    assert!(a_case > 4.2 && a_case <= 5.0, "{a_case}");
}

#[test]
fn illness_off_or_in_the_average_year_takes_nothing() {
    let (out, _) = run(&sick(), None);
    assert_eq!(out.sick_cases, 0);
    near(mass(&out, Fate::WithheldSick), 0.0);
    let with = run(&sick(), Some(1)).0;
    let mut plan = sick();
    plan.animals[0].course.illness = None;
    let without = run(&plan, Some(1)).0;
    assert!(with.sick_cases > 0 && without.sick_cases == 0);
    assert!(with.sources[0].mass < without.sources[0].mass);
}

#[test]
fn treated_when_dried_off_her_milk_is_kept_back_longer() {
    // Dried off on day 100 - 20 = 80, fresh on day 100: 36 days after is day 116.
    let mut plan = plain(150, 400);
    let a = &mut plan.animals[0];
    (a.interval, a.dry_days, a.colostrum_days) = (Some(100.0), 20.0, 4);
    a.course.dry_treatment = Some((36.0, 4.0));
    a.course.first_lactation = true;
    let (out, log) = run(&plan, None);
    near(drawn(&log, 4), 10.0);
    near(drawn(&log, 115), 0.0);
    near(drawn(&log, 116), 10.0);
    near(mass(&out, Fate::Withheld), 2.0 * 40.0);
    near(mass(&out, Fate::WithheldSick), 12.0 * 10.0);
}

#[test]
fn an_abrupt_end_at_a_high_yield_brings_mastitis_at_freshening() {
    let first_weeks = |over: u16| {
        let mut plan = plain(110, 4000);
        plan.animals[0] = cow(25.0, 110);
        let a = &mut plan.animals[0];
        (a.interval, a.dry_days, a.course.dried_over) = (Some(100.0), 20.0, over);
        a.course.illness = Some(mastitis(0.5));
        let mut cases = 0;
        many(&plan, 1500, |a, luck| {
            let (mut a, own) = (*a, &luck.animals[0]);
            for day in 0..107 {
                let n = a.wake(day, &plan.animals[0], luck, own);
                cases += if day >= 100 { n } else { 0 };
            }
        });
        cases
    };
    // 12.5 kg over the limit: 1.77 to the 2.5th, 4.2 times as many; gradually, none.
    let (abrupt, gradual) = (f64::from(first_weeks(0)), f64::from(first_weeks(10)));
    assert!(gradual > 100.0 && (3.3..5.2).contains(&(abrupt / gradual)), "{abrupt} {gradual}");
}

#[test]
fn a_calf_apart_by_night_by_day_or_but_after_milkings() {
    // 10 kg a day, a calf that would drink 6: pail and calf of a day.
    let day = |calf: CalfPlan| {
        let mut plan = plain(3, 400);
        plan.household.people = vec![drinker(1.0)];
        plan.animals[0].calf = Some(calf);
        let (out, log) = run(&plan, None);
        (drawn(&log, 1), mass(&out, Fate::Calf) / 3.0, out.wants[0].days)
    };
    let young = calf_on(0, 100, 6.0);
    let at = |apart, hours: f64, held_back| CalfPlan { apart, apart_part: hours / 24.0, held_back, ..young };
    let same = |got: (f64, f64, u32), want: (f64, f64, u32)| {
        near(got.0, want.0);
        near(got.1, want.1);
        assert_eq!(got.2, want.2);
    };
    // Half of the day gathers in 12 hours: 5 for the pail, 5 for the calf. Milked in the
    // evening there is none yet at the first noon.
    same(day(at(Apart::Night, 12.0, 0.0)), (5.0, 5.0, 3));
    same(day(at(Apart::Day, 12.0, 0.0)), (5.0, 5.0, 2));
    // A third in 8 hours; of the other two thirds the calf drinks its 6.
    same(day(at(Apart::Night, 8.0, 0.0)), (10.0 / 3.0, 6.0, 3));
    // Three quarters in 18 hours, and a fifth of that held back: 7.5 - 1.5, and 2.5 + 1.5.
    same(day(at(Apart::Day, 18.0, 0.2)), (6.0, 4.0, 2));
    // Let in after milkings it drinks what was held back, of two milkings.
    let let_in = CalfPlan { let_in_until: 100, held_back: 0.2, ..calf_on(0, 0, 6.0) };
    same(day(let_in), (8.0, 2.0, 3));
}

#[test]
fn a_calf_goes_through_its_states_by_age() {
    let mut plan = plain(40, 400);
    plan.animals[0].calf = Some(CalfPlan { let_in_until: 30, held_back: 0.1, ..calf_on(10, 20, 6.0) });
    let (_, log) = run(&plan, None);
    // Full time: 10 - 6, and a tenth of it held back; then half; then all but a tenth.
    for (day, kg) in [(0, 3.6), (9, 3.6), (10, 4.5), (19, 4.5), (20, 9.0), (29, 9.0), (30, 10.0)] {
        near(drawn(&log, day), kg);
    }
}

#[test]
fn rules_switch_how_the_calf_is_kept() {
    // On full time by its age, which leaves 4 of 10 kg.
    let mut plan = plain(30, 400);
    plan.animals[0].calf = Some(calf_on(100, 100, 6.0));
    let on = |day: u32, action| RulePlan {
        when: vec![Condition::Dates { from: day, until: day }],
        ..rule(action)
    };
    let shut = |apart, days| Action::ShutIn { animal: 0, apart, days };
    plan.rules = vec![
        on(5, shut(Apart::Day, 3)),
        on(12, shut(Apart::Night, u16::MAX)),
        on(13, shut(Apart::Night, u16::MAX)),
        on(15, Action::CalfOn { animal: 0, days: 2 }),
        on(20, shut(Apart::Both, u16::MAX)),
        on(25, Action::End { animal: 0, what: Ending::Calf }),
    ];
    let (out, log) = run(&plan, None);
    let want =
        [(5, 4.0), (6, 5.0), (8, 5.0), (9, 4.0), (12, 4.0), (13, 5.0), (15, 5.0), (16, 4.0), (17, 4.0)];
    for (day, kg) in want.into_iter().chain([(21, 10.0), (25, 10.0), (26, 10.0)]) {
        near(drawn(&log, day), kg);
    }
    let fired: Vec<u32> = out.rules.iter().map(|r| r.fired).collect();
    // The third finds nothing to change.
    assert_eq!(fired, [1, 1, 0, 1, 1, 1]);
}

/// Half of those that die do so within 14 of 56 days; of two that live or die apart
/// the appetite is halved with the first. Nothing else is drawn otherwise.
#[test]
fn young_die_at_their_rate() {
    let mut plan = plain(200, 400);
    plan.animals[0].calf = Some(CalfPlan { number: 2, dies: 0.2, ..calf_on(100, 100, 6.0) });
    let (mut dead, mut early, mut both) = (0.0, 0.0, 0.0);
    let trials = 4000;
    many(&plan, trials, |a, _| {
        let ages: Vec<i32> =
            a.young_dead[..2].iter().filter(|d| **d < i32::MAX).map(|d| d - a.fresh).collect();
        assert!(ages.iter().all(|age| (1..=56).contains(age)), "{ages:?}");
        dead += ages.len() as f64;
        early += ages.iter().filter(|age| **age <= 14).count() as f64;
        if let [one, other] = ages[..] {
            both += 1.0;
            assert_eq!(a.calf_gone_from, a.fresh + one.max(other));
        }
    });
    let n = 2.0 * f64::from(trials);
    for (got, of, want) in [(dead, n, 0.2), (early, dead, 0.5), (both, n / 2.0, 0.04)] {
        assert!((got / of - want).abs() < 4.0 * (want * (1.0 - want) / of).sqrt(), "{got} of {of}: {want}");
    }
    let mut one = Animal { young_dead: [10, i32::MAX, 0, 0, 0, 0], ..Animal::default() };
    let calf = plan.animals[0].calf.unwrap();
    near(one.living(9, &calf).appetite_full_kg, calf.appetite_full_kg);
    near(one.living(10, &calf).appetite_full_kg, calf.appetite_full_kg / 2.0);
    one.young_dead[1] = 3;
    near(one.living(10, &calf).appetite_full_kg, 0.0);
    // In the average year all live.
    let (steady, _) = run(&plan, None);
    near(mass(&steady, Fate::Calf), 100.0 * 6.0);
}
