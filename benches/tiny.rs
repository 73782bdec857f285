//! The whole engine on the smallest perishable model there is, so that it can
//! be set beside array code that does nothing else: `scripts/tiny`.
//!
//! The model, day by day: what is 14 days old expires; a lognormal supply
//! comes in; a gamma demand takes the oldest first, and what it misses is
//! shortage; then the store holds 130 kg, and what is over is poured out a
//! kilogram at a time, oldest first.
//!
//! `cargo bench --bench tiny` prints rates and means; with `-- --json` they
//! come as one line, together with the parameters that the plan came to hold.

use std::hint::black_box;
use std::time::Instant;

use serde_json::json;
use springhouse::scenario::plan::{Container, FullStep, PlaceKind, Plan, Spread, WasteCause, fixed};
use springhouse::scenario::{self, Compiled, Names};
use springhouse::sim::outcome::{DayMeasure, Fate, Source};
use springhouse::sim::{DayLog, Luck, Outcome, Trial};

const TRIALS: u32 = 10_000;
const CAPACITY_KG: f64 = 130.0;
const LIFE_DAYS: u32 = 14;
/// Spread of a day's demand: standard deviation over mean.
const DEMAND_CV: f64 = 0.5;

const SCENARIO: &str = "
title: The tiny perishable model
starts: 2027-01-04
lasts: 730 days
units: metric
milk fetched:
  - {name: supply, like: cow milk, amount: 10 kg give or take 30 %, days: [mon, tue, wed, thu, fri, sat, sun]}
household:
  drinkers:
    - {name: demand, how much: 9.5 kg, part of days: 100 %, give or take: 50 %}
stores:
  store: {room: 200 L, at: 4 °C, other food takes: none}
jars: {half gallon: 10}
when full:
  tonight: [pour out oldest milk]
";

/// The scenario, with the few things that a household could not ask for.
fn tiny() -> Result<Compiled, String> {
    let text = |e: Vec<_>| e.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    let mut compiled = scenario::compile(SCENARIO.as_bytes()).map_err(text)?;
    let plan = &mut compiled.plan;
    let store = plan.places.iter().position(|p| p.kind == PlaceKind::Fridge).ok_or("no store")?;
    for place in &mut plan.places {
        place.other_food = [0.0; 12];
        place.sweet_rate = [1.0; 12];
    }
    plan.places[store].litres = CAPACITY_KG;
    // By volume instead of in jars, which fill in steps.
    plan.jars.clear();
    let milk = &mut plan.items[fixed::WHOLE.at()];
    milk.container = Container::Volume { litres_per_kg: 1.0 };
    milk.density = 1.0;
    // It expires instead of turning sour.
    milk.turns_into = None;
    milk.spoils_as = WasteCause::Expired;
    plan.when_full.tonight = vec![FullStep::PourOut(fixed::WHOLE)];
    plan.when_full.tomorrow.clear();
    let keeping = &mut plan.keeping;
    // It comes at eleven; the end of a life is looked for at six in the morning.
    keeping.life_days = f64::from(LIFE_DAYS) - 0.5;
    (keeping.life_log_sd, keeping.spell_rate) = (0.0, 0.0);
    plan.losses.jar_kg = 0.0;
    let fetch = plan.fetches.first_mut().ok_or("no supply")?;
    (fetch.age_days, fetch.fails) = (0.0, 0.0);
    let [drinker] = plan.household.people.as_mut_slice() else { return Err("not one demand".into()) };
    drinker.chance = 1.0;
    drinker.spread = Spread::gamma(DEMAND_CV);
    Ok(compiled)
}

const MEASURES: [&str; 5] = ["supplied", "expired", "overflow", "shortage", "stock"];

/// Kg a day of one trial.
fn measures(o: &Outcome, log: &DayLog) -> [f64; 5] {
    let days = log.days as f64;
    let stock: f64 = (0..log.days).map(|d| f64::from(log.get(d, DayMeasure::WholeStock))).sum();
    [
        o.sources[Source::Fetched as usize].mass,
        o.fates[Fate::WastedExpired as usize].mass,
        o.fates[Fate::WastedNoRoom as usize].mass,
        o.wants[0].wanted - o.wants[0].served,
        stock,
    ]
    .map(|kg| kg / days)
}

/// Trials of a worker: every `step`th from `first` on.
fn work(plan: &Plan, names: &Names, first: u32, step: usize) -> Vec<[f64; 5]> {
    let (mut luck, mut log, mut trial) = (Luck::new(plan, names), DayLog::new(plan), Trial::new(plan));
    (first..TRIALS)
        .step_by(step)
        .map(|t| {
            luck.draw(7, t);
            measures(trial.run(&luck, &mut log), &log)
        })
        .collect()
}

/// Seconds of all trials on so many threads, and what they measured.
fn timed(plan: &Plan, names: &Names, threads: u32) -> (f64, Vec<[f64; 5]>) {
    let start = Instant::now();
    let all = std::thread::scope(|s| {
        let workers: Vec<_> =
            (0..threads).map(|n| s.spawn(move || work(plan, names, n, threads as usize))).collect();
        workers.into_iter().flat_map(|w| w.join().unwrap_or_default()).collect()
    });
    (start.elapsed().as_secs_f64(), black_box(all))
}

/// Mean and its standard error of one measure.
fn mean(all: &[[f64; 5]], m: usize) -> (f64, f64) {
    let n = all.len() as f64;
    let mean = all.iter().map(|t| t[m]).sum::<f64>() / n;
    let squares: f64 = all.iter().map(|t| (t[m] - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0) / n).sqrt())
}

fn main() {
    let compiled = match tiny() {
        Ok(c) => c,
        Err(e) => {
            eprintln!("{e}");
            std::process::exit(1);
        }
    };
    let (plan, names) = (&compiled.plan, &compiled.names);
    let days = plan.days.len() as f64;
    let trial_days = f64::from(TRIALS) * days;
    // The better of two, as everywhere: a first run warms up.
    let best = |threads| {
        let (a, b) = (timed(plan, names, threads), timed(plan, names, threads));
        if a.0 < b.0 { a } else { b }
    };
    let (one, all) = best(1);
    let (two, _) = best(2);
    let means = (0..MEASURES.len()).map(|m| mean(&all, m));
    if std::env::args().any(|a| a == "--json") {
        let fetch = &plan.fetches[0];
        let means: serde_json::Map<_, _> =
            MEASURES.iter().zip(means).map(|(name, (m, e))| ((*name).into(), json!([m, e]))).collect();
        let line = json!({
            "parameters": {
                "trials": TRIALS, "days": plan.days.len(), "life_days": LIFE_DAYS,
                "capacity_kg": CAPACITY_KG, "pour_kg": 1.0,
                "supply_kg": fetch.kg, "supply_log_sd": fetch.log_sd,
                "demand_kg": plan.household.people[0].mean_kg, "demand_cv": DEMAND_CV,
            },
            "trial_days_a_second": {"1": trial_days / one, "2": trial_days / two},
            "means": means,
        });
        println!("{line}");
        return;
    }
    println!("the tiny perishable model, whole engine, {TRIALS} trials of {days} days");
    println!("  {:7.0} ns a household-day", 1e9 * one / trial_days);
    println!("  {:7.2} million trial-days a second, 1 thread", 1e-6 * trial_days / one);
    println!("  {:7.2} million trial-days a second, 2 threads", 1e-6 * trial_days / two);
    for (name, (mean, error)) in MEASURES.iter().zip(means) {
        println!("  {name:9} {mean:9.4} kg a day, standard error {error:.4}");
    }
}
