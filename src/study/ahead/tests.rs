//! Calibration: the ranges hold as often as they say.
//!
//! A range of 80 % that is right holds what comes in 80 of 100 cases. Here
//! 1,000 animals are drawn from the program's own law, at a seed that the
//! forecast never sees, and counted against it; 75 to 85 % is asked, which is
//! nearly four standard errors of 1,000 independent cases on either side.

use super::*;
use crate::scenario::plan::fixed;
use crate::scenario::{self, Compiled};
use crate::sim::watch::Moment;

const ANIMALS: u32 = 1000;
/// Weeks in the pail before the forecast, and days told.
const HISTORY: usize = 56;
const DAYS: usize = 28;

fn cow(starts: &str, lasts: usize) -> Compiled {
    let text = format!(
        "starts: {starts}\nlasts: {lasts} days\n\
         animals:\n  - {{name: Clover, breed: guernsey, lactation: 2, freshens: 2027-03-01, freshens again: never, how sure: 18 %}}\n\
         stores: {{fridge: {{like: all-fridge 10 cu ft}}}}\njars: {{half gallon: 40}}\n\
         animals fed: {{pigs: {{heads: 4}}}}\n\
         household: {{people: {{man 31 to 50: 1}}}}\nwhen full: {{tonight: [feed oldest milk, pour out oldest milk]}}\n"
    );
    scenario::compile(text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}"))
}

/// The pail day by day of each of many animals.
fn pails(c: &Compiled, seed: u64) -> Vec<Vec<f64>> {
    let plan = &c.plan;
    let (mut trial, mut luck, mut log) = (Trial::new(plan), Luck::new(plan, &c.names), DayLog::new(plan));
    (0..ANIMALS)
        .map(|number| {
            luck.draw(seed, number);
            let mut pail = Vec::new();
            trial.run_watched(&luck, &mut log, |moment, view| {
                if moment == Moment::Over {
                    pail.push(view.milked(0).pails.iter().map(|m| m.mass).sum());
                }
            });
            pail
        })
        .collect()
}

fn options(trials: u32, seed: u64) -> AheadOptions {
    AheadOptions { from: 0, days: DAYS as u32, trials, seed, threads: Some(2) }
}

fn holds(r: Range, kg: f64) -> bool {
    (r.low..=r.high).contains(&kg)
}

#[track_caller]
fn eighty(inside: usize, of: usize, what: &str) {
    let part = inside as f64 / of as f64;
    assert!((0.75..=0.85).contains(&part), "{what}: {part}");
}

#[test]
fn ranges_of_an_animal_known_by_her_breed_alone() {
    let c = cow("2027-06-01", DAYS);
    let a = ahead(&c.plan, &c.names, &options(1000, 1), &|_, _| {}).unwrap();
    let came = pails(&c, 99);
    for (d, day) in a.days.iter().enumerate() {
        eighty(came.iter().filter(|p| holds(day.pails[0], p[d])).count(), came.len(), "a day");
    }
    eighty(came.iter().filter(|p| holds(a.total, p.iter().sum())).count(), came.len(), "in all");
    assert_eq!(a.total, a.totals[0]);
}

/// Eight weeks of her own pail say how she stands to her breed's curve: the mean
/// of what she gave over what the curve says, drawn towards the breed as far as
/// that is unsure. The forecast begins after them with that level.
#[test]
fn ranges_of_an_animal_with_a_curve_of_her_own() {
    let before = cow("2027-06-01", HISTORY + DAYS);
    let today = cow("2027-07-27", DAYS);
    let own = &before.plan.animals[0];
    let curve: Vec<f64> = own.curves[0].yield_kg[92..92 + HISTORY].to_vec();
    assert_eq!(own.freshens_day, -92.0);
    // Error of a mean of eight weeks: white noise, and a slow part that carries over.
    let (n, phi) = (HISTORY as f64, own.slow_phi);
    let lags: f64 = (1..HISTORY).map(|k| (1.0 - k as f64 / n) * phi.powi(k as i32)).sum();
    let mean_var = own.white_sd.powi(2) / n + own.slow_sd.powi(2) / n * (1.0 + 2.0 * lags);
    let prior = own.level_log_sd.powi(2);
    let trust = prior / (prior + mean_var);
    let sure = (prior * mean_var / (prior + mean_var)).sqrt();
    let mut plan = today.plan.clone();
    let mut inside = [0; DAYS];
    let mut in_all = 0;
    let came = pails(&before, 17);
    for (pail, seed) in came.iter().zip(1000..) {
        let seen = pail[..HISTORY].iter().zip(&curve).map(|(kg, of)| kg / of).sum::<f64>() / n;
        let level = 1.0 + trust * (seen - 1.0);
        plan.animals[0].course.now =
            Some(crate::scenario::plan::AnimalNow { level: Some((level, sure)), ..Default::default() });
        // Futures of her own, so that no one set of them decides for all.
        let a = ahead(&plan, &today.names, &options(100, seed), &|_, _| {}).unwrap();
        let after = &pail[HISTORY..];
        for (d, day) in a.days.iter().enumerate() {
            inside[d] += usize::from(holds(day.pails[0], after[d]));
        }
        in_all += usize::from(holds(a.total, after.iter().sum()));
    }
    let all: usize = inside.iter().sum();
    eighty(all, came.len() * DAYS, "all days");
    eighty(in_all, came.len(), "in all");
    for (d, n) in inside.iter().enumerate() {
        // The first days know a little more than is used.
        let part = *n as f64 / came.len() as f64;
        assert!((0.75..=0.87).contains(&part), "day {d}: {part}");
    }
}

#[test]
fn the_same_for_any_threads_and_the_same_days_in_a_longer_run() {
    let text = include_str!("../../../scenarios/from-today.yaml");
    let c = scenario::compile(text.as_bytes()).unwrap();
    let run = |threads, days| {
        let o = AheadOptions { from: 3, days, trials: 60, seed: 5, threads: Some(threads) };
        ahead(&c.plan, &c.names, &o, &|_, _| {}).unwrap()
    };
    let (one, three, longer) = (run(1, 7), run(3, 7), run(2, 14));
    assert_eq!(one, three);
    assert_eq!(one.days, longer.days[..7]);
    assert_eq!((one.days[0].day, one.days.len()), (3, 7));
}

/// Counted by hand from the same futures: what a skim takes and what sours is
/// what the books say.
#[test]
fn chances_are_parts_of_the_futures() {
    let text = include_str!("../../../scenarios/from-today.yaml");
    let c = scenario::compile(text.as_bytes()).unwrap();
    let o = AheadOptions { from: 0, days: 14, trials: 50, seed: 5, threads: Some(1) };
    let a = ahead(&c.plan, &c.names, &o, &|_, _| {}).unwrap();
    let mut plan = c.plan.clone();
    plan.days.truncate(14);
    let (mut trial, mut luck, mut log) = (Trial::new(&plan), Luck::new(&plan, &c.names), DayLog::new(&plan));
    let rules = plan.rules.len();
    let (mut fired, mut full) = (vec![0.0; rules], 0.0);
    for number in 0..50 {
        luck.draw(5, number);
        let out = trial.run(&luck, &mut log);
        for (sum, tally) in fired.iter_mut().zip(&out.rules) {
            *sum += f64::from(tally.days_fired);
        }
        full += f64::from(out.days_over_full);
    }
    for (r, days) in fired.iter().enumerate() {
        let told: f64 =
            a.days.iter().flat_map(|d| &d.works).filter(|w| w.rule == r).map(|w| 50.0 * w.chance).sum();
        // What happens in fewer than one of fifty futures is left out.
        assert!((told - days).abs() <= 1e-6, "rule {r}: {told} {days}");
    }
    let told: f64 = a.days.iter().map(|d| 50.0 * d.over_full).sum();
    assert!((told - full).abs() < 1e-6, "{told} {full}");
    // On the first Monday the eleven jars of the weekend stand there; those of
    // Saturday evening have rested for 39 hours and are skimmed every time.
    let first = &a.days[0].skims;
    assert_eq!(first.len(), 1, "{first:?}");
    assert!(first[0].milking == Milking(-3) && first[0].chance == 1.0 && first[0].jars == 3.0, "{first:?}");
}

/// Milk of one milking in two fridges sours in both, whichever row stands first.
#[test]
fn all_jars_of_a_milking_that_sour_are_counted() {
    let text = |rows: &str| {
        format!(
            "starts: 2026-07-01\nlasts: 28 days\nunits: metric\n\
             animals: [{{name: Cow, breed: jersey, freshens: 2026-12-01}}]\nhousehold: {{people: {{man 31 to 50: 1}}}}\n\
             stores:\n  a fridge: {{like: all-fridge 10 cu ft, at: 50 °F}}\n  b fridge: {{like: all-fridge 10 cu ft, at: 50 °F}}\n\
             jars: {{half gallon: 20}}\nin store:\n{rows}"
        )
    };
    let row = |n: u32, place: &str| {
        format!("  - {{what: whole milk, jars: {n} half gallon, dated: 2026-06-29 evening, in: {place}}}\n")
    };
    let kg = |rows: &str| {
        let c = scenario::compile(text(rows).as_bytes()).unwrap_or_else(|e| panic!("{e:?}"));
        let a = ahead(&c.plan, &c.names, &options(200, 3), &|_, _| {}).unwrap();
        let s = a.sours.iter().find(|s| s.milking == Milking(-3)).unwrap_or_else(|| panic!("{:?}", a.sours));
        s.kg.middle
    };
    let one = kg(&(row(1, "a fridge") + &row(9, "b fridge")));
    let other = kg(&(row(9, "b fridge") + &row(1, "a fridge")));
    // Nine jars and more, of 1.8 L each, less what one man drinks.
    assert!(one > 12.0 && (one - other).abs() < 1e-9, "{one} {other}");
}

/// What is skimmed of one day sours as skimmed milk of that day, what is not as whole milk
/// of its milking; together it is never more than the day gave.
#[test]
fn what_sours_is_named_as_what_it_was() {
    let text = |rule: &str| {
        format!(
            "starts: 2026-07-06\nlasts: 21 days\n\
             animals: [{{name: Cow, breed: jersey, freshens: 2026-05-01, now: {{gives: 3.5 gal, how sure: 1 %, calf: gone}}}}]\n\
             household: {{people: {{man 31 to 50: 1}}}}\nstores: {{fridge: {{like: all-fridge 10 cu ft}}}}\n\
             jars: {{half gallon: 60}}\n{rule}"
        )
    };
    let told = |rule: &str| {
        let c = scenario::compile(text(rule).as_bytes()).unwrap_or_else(|e| panic!("{e:?}"));
        ahead(&c.plan, &c.names, &AheadOptions { days: 21, ..options(100, 3) }, &|_, _| {}).unwrap()
    };
    let skims = "routine: [{do: skim, after: 24 h, leave: 2 % fat, days: [mon, wed, fri]}]\n";
    let (whole, both) = (told(""), told(skims));
    let skimmed = |a: &Ahead| a.sours.iter().filter(|s| s.item == fixed::SKIMMED).count();
    assert!(!whole.sours.is_empty() && skimmed(&whole) == 0, "{:?}", whole.sours);
    assert!(skimmed(&both) >= 4, "{:?}", both.sours);
    for s in both.sours.iter().filter(|s| s.item == fixed::SKIMMED) {
        assert!(!s.milking.is_evening(), "by its day: {s:?}");
        let day = &both.days[s.milking.day() as usize];
        assert!(s.kg.high <= day.pail.high + 1e-9, "{s:?} {day:?}");
    }
}
