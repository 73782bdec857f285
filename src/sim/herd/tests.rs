//! The herd against tables worked by hand and against its own laws.

use super::super::fixture::*;
use super::super::outcome::DayMeasure;
use super::super::tests::{near, run};
use super::Animal;
use crate::dairy::breeding::{YEAR, pregnancy_loss_kg};
use crate::scenario::plan::*;
use crate::sim::Luck;

/// Bred from day 60 on, every 21 days, no season.
fn bred(seen: f64, settles: f64) -> BreedingPlan {
    BreedingPlan {
        wait_days: 60.0,
        window: None,
        again: false,
        cycle_days: 21.0,
        season: None,
        seen,
        settles,
        tries: 32,
        gestation_days: 280.0,
        gestation_sd: 0.0,
    }
}

/// Pregnancy takes so much a day more each week; the curve holds one of day 100.
fn pull(kg: f64) -> PullPlan {
    PullPlan { kg: [kg; 2], gestation_days: 280.0, ordinary_conception: 100.0 }
}

pub(super) fn mastitis(cases: f64) -> IllnessPlan {
    IllnessPlan {
        first: cases,
        later: cases,
        at_once: 0.2,
        fade_days: 5.0,
        stays: 0.0,
        loss_log_sd: 0.0,
        treated: 1.0,
        treatment_days: 2.0,
        treatment_sd: 0.0,
        withdrawal_days: 3.0,
        withdrawal_sd: 0.0,
        abnormal_days: 4.0,
    }
}

/// The animal of many trials at their beginning.
pub(super) fn many(plan: &Plan, trials: u32, mut each: impl FnMut(&Animal, &Luck)) {
    let mut luck = Luck::new(plan, &names());
    for trial in 0..trials {
        luck.draw(5, trial);
        each(&Animal::begin(&plan.animals[0], &luck, &luck.animals[0]), &luck);
    }
}

/// Mean and standard deviation.
fn moments(all: &[f64]) -> (f64, f64) {
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let var = all.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / all.len() as f64;
    (mean, var.sqrt())
}

pub(super) fn drawn(log: &super::super::DayLog, day: usize) -> f64 {
    log.get(day, DayMeasure::Drawn).into()
}

#[test]
fn calving_intervals_agree_with_their_law() {
    // Worked out: 60 + 10.5 + 21 (1 - p) / p + 280; the standard deviation of
    // the cycles is 21 sqrt(1 - p) / p, that of the place in the cycle 6.1.
    let trials = 4000;
    for (p, mean_days, sd_days) in [(0.225, 423.0, 82.0), (0.35, 390.0, 48.0), (0.6, 365.0, 22.0)] {
        let mut plan = plain(10, 100);
        plan.animals[0].course.bred = Some(bred(0.9, p / 0.9));
        let mut all = Vec::new();
        many(&plan, trials, |a, _| all.extend(a.next_fresh.map(|n| f64::from(n - a.fresh))));
        let (mean, sd) = moments(&all);
        let error = sd / f64::from(trials).sqrt();
        assert!((mean - mean_days).abs() < 4.0 * error + 0.6, "{p}: {mean}, published {mean_days}");
        let cycles = (sd * sd - 21.0 * 21.0 / 12.0).sqrt();
        // 32 heats leave out the longest waits.
        assert!((cycles / sd_days - 1.0).abs() < 0.08, "{p}: {cycles}, published {sd_days}");
    }
}

#[test]
fn who_does_not_settle_milks_on() {
    // Three tries of one half each: one in eight is left.
    let mut plan = plain(10, 100);
    let course = &mut plan.animals[0].course;
    course.bred = Some(BreedingPlan { tries: 3, ..bred(1.0, 0.5) });
    plan.animals[0].longest_days = 300;
    let (mut open, mut n) = (0.0, 0.0);
    many(&plan, 4000, |a, _| {
        n += 1.0;
        if a.next_fresh.is_none() {
            open += 1.0;
            assert_eq!(a.last_dim, 300);
        }
    });
    let part = open / n;
    assert!((part - 0.125_f64).abs() < 4.0 * (0.125_f64 * 0.875 / n).sqrt(), "{part}");
}

#[test]
fn gestation_has_its_mean_and_spread_and_makes_the_dry_weeks() {
    let mut plan = plain(10, 100);
    plan.animals[0].course.bred = Some(BreedingPlan { gestation_sd: 5.5, ..bred(1.0, 1.0) });
    let (mut carried, mut dry) = (Vec::new(), Vec::new());
    many(&plan, 4000, |a, _| {
        let (next, conceived) = (a.next_fresh.unwrap(), a.conceived.unwrap());
        carried.push(f64::from(next - conceived));
        dry.push(f64::from(next - a.fresh - a.last_dim));
    });
    let (mean, sd) = moments(&carried);
    assert!((mean - 280.0).abs() < 0.4 && (sd - 5.5).abs() < 0.3, "{mean} {sd}");
    let (mean, sd) = moments(&dry);
    assert!((mean - 60.0).abs() < 0.5 && (sd - 5.5).abs() < 0.4, "{mean} {sd}");
}

#[test]
fn the_average_year_takes_the_heat_nearest_the_mean() {
    // p = 0.35: 1.86 cycles fail on average, so the third heat.
    let mut plan = plain(800, 400);
    plan.animals[0].course.bred = Some(bred(0.7, 0.5));
    let (out, log) = run(&plan, None);
    // Conceives on day 60 + 10.5 + 42 = 112.5, freshens 280 days on: day 393.
    let next = 393;
    near(drawn(&log, next - 60 - 1), 10.0);
    near(drawn(&log, next - 60), 0.0);
    near(drawn(&log, next - 1), 0.0);
    near(drawn(&log, next), 10.0);
    assert_eq!(out.freshenings, 3);
    assert_eq!(out.sick_cases, 0);
}

#[test]
fn a_doe_is_bred_in_her_season_and_in_the_days_written() {
    // Fresh on day 0; in heat from day 230 for 200 days of each year.
    let mut plan = plain(10, 100);
    let span = YearSpan { opens: 230.0 - YEAR, lasts: 200.0 };
    let b = BreedingPlan { season: Some(span), cycle_days: 20.0, gestation_days: 150.0, ..bred(1.0, 0.75) };
    plan.animals[0].course.bred = Some(b);
    many(&plan, 500, |a, _| {
        let day = f64::from(a.conceived.unwrap()) - 0.5;
        assert!(span.holds(day) || span.holds(day + 1.0), "{day}");
    });
    // The buck is there for 40 days from day 300 on.
    let window = Some(YearSpan { opens: 300.0, lasts: 40.0 });
    plan.animals[0].course.bred = Some(BreedingPlan { window, wait_days: 40.0, ..b });
    let (mut settled, mut n) = (0.0, 0.0);
    many(&plan, 2000, |a, _| {
        n += 1.0;
        if let Some(day) = a.conceived {
            settled += 1.0;
            assert!((300..=340).contains(&day), "{day}");
        }
    });
    // Two heats of three quarters each in 40 days of 20: 15 of 16.
    assert!((settled / n - 0.9375_f64).abs() < 0.025, "{}", settled / n);
}

#[test]
fn late_pregnancy_pulls_her_milk_down_against_an_ordinary_one() {
    // Settles at day 70 (the first heat, in the average year), 30 days before the
    // ordinary one, and loses 0.3 kg a day more each week from week 19 on.
    let mut plan = plain(400, 400);
    let b = bred(1.0, 1.0);
    plan.animals[0].course.bred = Some(b);
    plan.animals[0].course.pull = Some(pull(0.3));
    let (_, log) = run(&plan, None);
    near(drawn(&log, 150), 10.0);
    // The 231st day in milk: 159 days on (day 71 is the nearest whole one),
    // 22.7 weeks; the ordinary one 131 days, not yet in week 19.
    let loss = pregnancy_loss_kg(159.0 / 7.0, 0.3);
    near(drawn(&log, 230), 10.0 - loss);
    assert!(loss > 1.0);
    // One that does not settle gains what the ordinary one would have lost.
    plan.animals[0].course.bred = Some(BreedingPlan { settles: 0.0, ..b });
    let (_, log) = run(&plan, None);
    near(drawn(&log, 299), 10.0 + pregnancy_loss_kg(200.0 / 7.0, 0.3));
}

#[test]
fn dried_off_over_ten_days_she_is_milked_once_and_gives_less() {
    let mut plan = plain(140, 400);
    let a = &mut plan.animals[0];
    (a.interval, a.dry_days, a.course.dried_over) = (Some(160.0), 60.0, 10);
    let (_, log) = run(&plan, None);
    near(drawn(&log, 89), 10.0);
    // Once a day leaves 8 of 10 kg; from all of that to 40 % over ten days.
    near(drawn(&log, 90), 8.0);
    near(drawn(&log, 99), 3.2);
    near(drawn(&log, 100), 0.0);
    near(drawn(&log, 93), 8.0 * (1.0 - 0.6 * 3.0 / 9.0));
    // Abruptly: all of it to the last day.
    plan.animals[0].course.dried_over = 0;
    let (_, log) = run(&plan, None);
    near(drawn(&log, 99), 10.0);
    near(drawn(&log, 100), 0.0);
}

#[test]
fn a_rule_dries_her_off_over_the_days_written() {
    let mut plan = plain(40, 400);
    plan.animals[0].course.dried_over = 5;
    plan.rules = vec![RulePlan {
        when: vec![Condition::Dates { from: 10, until: 39 }],
        ..rule(Action::DryOff { animal: 0 })
    }];
    let (out, log) = run(&plan, None);
    near(drawn(&log, 10), 10.0);
    near(drawn(&log, 11), 8.0);
    near(drawn(&log, 15), 3.2);
    near(drawn(&log, 16), 0.0);
    assert_eq!(out.rules[0].fired, 1);
}

#[test]
fn months_take_their_part() {
    let mut plan = plain(60, 400);
    let mut months = vec![1.0; 12];
    months[1] = 0.9;
    plan.animals[0].course.months = months;
    let (_, log) = run(&plan, None);
    near(drawn(&log, 29), 10.0);
    near(drawn(&log, 30), 9.0);
}

#[test]
fn bought_in_and_sold() {
    let mut plan = plain(50, 400);
    plan.animals[0].freshens_day = -30.0;
    plan.animals[0].course.comes = Some(10);
    plan.animals[0].course.leaves = Some(40);
    let (out, log) = run(&plan, None);
    near(drawn(&log, 9), 0.0);
    near(drawn(&log, 10), 10.0);
    near(drawn(&log, 39), 10.0);
    near(drawn(&log, 40), 0.0);
    near(out.sources[0].mass, 300.0);
    // Ten days dry at the end, none before she came.
    assert_eq!(out.dry_days, 10);
}

#[test]
fn no_other_stream_moves_when_a_part_is_on() {
    let mut plan = plain(60, 100);
    let mut off = Luck::new(&plan, &names());
    off.draw(5, 3);
    plan.animals[0].course.bred = Some(bred(0.7, 0.5));
    plan.animals[0].course.illness = Some(mastitis(0.3));
    let mut on = Luck::new(&plan, &names());
    on.draw(5, 3);
    let (a, b) = (&off.animals[0], &on.animals[0]);
    assert!(a.heat_seen.is_empty() && !b.heat_seen.is_empty() && !b.sick_gap.is_empty());
    assert_eq!((&a.white, &a.slow, &a.morning), (&b.white, &b.slow, &b.morning));
    assert_eq!((&a.level, &a.freshening), (&b.level, &b.freshening));
    assert_eq!((&off.life, &off.foul, &off.spells), (&on.life, &on.foul, &on.spells));
    // Heats and illness have streams of their own.
    assert_ne!(b.heat_phase, b.heat_seen);
    assert_ne!(b.heat_seen, b.settles);
}

#[test]
fn one_that_does_not_settle_is_tried_again_next_year() {
    // A buck for 40 days from day 300 on, two heats, one half settles at each.
    let mut plan = plain(10, 100);
    let window = Some(YearSpan { opens: 300.0, lasts: 40.0 });
    let once = BreedingPlan { window, wait_days: 40.0, cycle_days: 20.0, ..bred(1.0, 0.5) };
    for (again, want) in [(false, [0.75_f64, 0.0, 0.0]), (true, [0.75, 0.1875, 0.046_875])] {
        plan.animals[0].course.bred = Some(BreedingPlan { again, ..once });
        let (mut by_year, mut n) = ([0.0_f64; 3], 0.0_f64);
        many(&plan, 3000, |a, _| {
            n += 1.0;
            if let Some(day) = a.conceived {
                let since = f64::from(day) - 300.0;
                let year = ((since + 1.0) / YEAR).floor();
                assert!((-0.5..=41.0).contains(&(since - year * YEAR)), "{day}");
                by_year.get_mut(year as usize).into_iter().for_each(|y| *y += 1.0);
            }
        });
        for (got, want) in by_year.iter().zip(want) {
            assert!((got / n - want).abs() < 4.0 * (want * (1.0 - want) / n).sqrt() + 1e-12, "{by_year:?}");
        }
    }
}

#[test]
fn a_date_of_freshening_implies_the_pregnancy_before_it() {
    // Fresh again after 359 days: in calf from day 79 on, 20 days before the ordinary
    // pregnancy that the curve holds. Both pull by 0.24 kg more a week from week 19 on
    // (Coulon and others 1995): late in lactation 20 / 7 weeks of that are between them.
    let mut plan = plain(330, 400);
    let a = &mut plan.animals[0];
    (a.interval, a.dry_days) = (Some(359.0), 60.0);
    a.course.pull = Some(pull(0.24));
    let (_, log) = run(&plan, None);
    near(drawn(&log, 200), 10.0);
    for day in [250, 298] {
        near(drawn(&log, day), 10.0 - 0.24 * 20.0 / 7.0);
    }
    near(drawn(&log, 299), 0.0);
    // After 379 days it is the ordinary one.
    plan.animals[0].interval = Some(379.0);
    near(drawn(&run(&plan, None).1, 298), 10.0);
    // One that is not in calf keeps what the ordinary one would have lost: 191 days of it.
    plan.animals[0].interval = None;
    near(drawn(&run(&plan, None).1, 290), 10.0 + 0.24 * (191.0 / 7.0 - 19.0));
}

#[test]
fn a_rule_dries_her_off_in_each_lactation() {
    let mut plan = plain(800, 400);
    (plan.animals[0].interval, plan.animals[0].dry_days) = (Some(400.0), 60.0);
    let since = Condition::SinceFreshening { animal: None, least: 200.0, most: f64::INFINITY };
    plan.rules = vec![RulePlan { when: vec![since], ..rule(Action::DryOff { animal: 0 }) }];
    let (out, log) = run(&plan, None);
    for (day, kg) in [(200, 10.0), (201, 0.0), (399, 0.0), (400, 10.0), (600, 10.0), (601, 0.0)] {
        near(drawn(&log, day), kg);
    }
    assert_eq!(out.rules[0].fired, 2);
}

#[test]
fn weeks_before_dry_off_are_counted_in_each_lactation() {
    // 340 days in milk; once a day leaves 8 of 10 kg. Two weeks before the end is day 326.
    let mut plan = plain(800, 400);
    (plan.animals[0].interval, plan.animals[0].dry_days) = (Some(400.0), 60.0);
    let last = Condition::ToDryOff { animal: Some(0), least: f64::NEG_INFINITY, most: 14.0 };
    plan.rules = vec![RulePlan { when: vec![last], ..rule(Action::OnceADay { animal: 0, days: 7 }) }];
    let (_, log) = run(&plan, None);
    for (day, kg) in [(326, 10.0), (327, 8.0), (339, 8.0), (340, 0.0), (726, 10.0), (727, 8.0)] {
        near(drawn(&log, day), kg);
    }
}

#[test]
fn a_rule_looks_at_the_animal_it_is_done_to() {
    // Clover freshens on day 0, Daisy on day 100; once a day from the 150th day of Clover's
    // milk on leaves 8 of her 10 kg.
    let mut plan = plain(260, 400);
    plan.animals.push(AnimalPlan { freshens_day: 100.0, ..cow(4.0, 260) });
    let since = |animal| Condition::SinceFreshening { animal, least: 150.0, most: f64::INFINITY };
    let once = Action::OnceADay { animal: 0, days: 300 };
    plan.rules = vec![RulePlan { when: vec![since(Some(0))], ..rule(once) }];
    let (_, log) = run(&plan, None);
    near(drawn(&log, 150), 14.0);
    near(drawn(&log, 151), 12.0);
    // Of all, the latest freshening is Daisy's.
    plan.rules[0].when = vec![since(None)];
    let (_, log) = run(&plan, None);
    near(drawn(&log, 250), 14.0);
    near(drawn(&log, 251), 12.0);
}

#[test]
fn hot_spells_come_at_their_rate_and_take_their_part() {
    // A tenth of a spell a day, of four days each. By the law of Poisson a day lies in none
    // of them with the chance e^-0.4, once the first weeks are over.
    let mut plan = plain(360, 1000);
    plan.hot = Some(HotPlan { rate: [0.1; 12], days: 4.0 });
    plan.animals[0].course.hot_months = vec![0.8; 12];
    let (mut hot, mut days) = (0.0, 0.0);
    for trial in 0..60 {
        let (out, log) = run(&plan, Some(trial));
        let cool = (0..360).filter(|&d| drawn(&log, d) > 9.0).count() as u32;
        assert_eq!(out.hot_days, 360 - cool);
        near((0..360).map(|d| drawn(&log, d)).sum(), 10.0 * f64::from(cool) + 8.0 * f64::from(out.hot_days));
        hot += (40..360).filter(|&d| drawn(&log, d) < 9.0).count() as f64;
        days += 320.0;
    }
    // Days of one spell go together: about seven days each in the standard error.
    let part: f64 = hot / days;
    let want = 1.0 - (-0.4_f64).exp();
    assert!((part - want).abs() < 4.0 * (want * (1.0 - want) * 7.0 / days).sqrt(), "{part}, not {want}");
    // Never in the average year.
    let (out, log) = run(&plan, None);
    assert_eq!(out.hot_days, 0);
    near(drawn(&log, 200), 10.0);
}

#[test]
fn no_other_stream_moves_when_there_are_hot_spells() {
    let mut plan = plain(60, 100);
    let mut off = Luck::new(&plan, &names());
    off.draw(5, 3);
    plan.hot = Some(HotPlan { rate: [0.1; 12], days: 4.0 });
    let mut on = Luck::new(&plan, &names());
    on.draw(5, 3);
    assert!(off.hot.is_empty() && !on.hot.is_empty());
    on.hot.clear();
    assert_eq!(format!("{off:?}"), format!("{on:?}"));
}

/// A buck for 40 days a year and one chance in two: she who is open at the end of the
/// run, though she is tried again next year, did not settle; one that will
/// be served before its end for the first time has not been tried in vain.
#[test]
fn one_still_open_at_the_end_did_not_settle() {
    let window = Some(YearSpan { opens: 300.0, lasts: 40.0 });
    let once = BreedingPlan { window, wait_days: 40.0, cycle_days: 20.0, again: true, ..bred(1.0, 0.5) };
    for (days, part) in [(310, 0.0), (400, 0.25), (720, 0.25 * 0.25)] {
        let mut plan = plain(days, 100);
        plan.animals[0].course.bred = Some(once);
        let (mut open, mut n) = (0.0, 0.0_f64);
        for trial in 0..500 {
            let (out, _) = run(&plan, Some(trial));
            // The second freshening may be in vain too; here only the first lactation.
            if out.freshened_again == 0 {
                open += f64::from(out.not_settled);
            }
            n += 1.0;
        }
        let off = 4.0 * (part * (1.0 - part) / n).sqrt() + 1e-12;
        assert!((open / n - part).abs() < off, "{days} days: {open} of {n}");
    }
}
