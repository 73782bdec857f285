//! How fast the engine is, on the first cow with every part in use, and beside
//! it on a herd share and on a cow that is bred heat by heat.
//!
//! Compare the ratios inside one run; the rates depend on the machine and on
//! what else it does. `cargo bench --bench engine`.

use std::hint::black_box;
use std::time::Instant;

use springhouse::scenario::plan::{Action, ItemId, Plan, RecipeId, fixed};
use springhouse::scenario::{self, Compiled, Names};
use springhouse::sim::{DayLog, Luck, Trial};
use springhouse::study::{RunOptions, run};

const FIRST_COW: &str = include_str!("../scenarios/first-cow.yaml");
const HERD_SHARE: &str = include_str!("../scenarios/herd-share.yaml");
const DRY_WEEKS: &str = include_str!("../scenarios/dry-weeks.yaml");

/// Nanoseconds a household-day of `work` over `trials` trials: the best of five.
fn per_day(plan: &Plan, trials: u32, mut work: impl FnMut(u32)) -> f64 {
    let mut best = f64::INFINITY;
    for round in 0..5 {
        let start = Instant::now();
        for t in 0..trials {
            work(round * trials + t);
        }
        best = best.min(start.elapsed().as_nanos() as f64);
    }
    best / f64::from(trials) / plan.days.len() as f64
}

fn engine(plan: &Plan, names: &Names, trials: u32) -> f64 {
    let (mut luck, mut log, mut trial) = (Luck::new(plan, names), DayLog::new(plan), Trial::new(plan));
    per_day(plan, trials, |t| {
        luck.draw(7, t);
        black_box(trial.run(&luck, &mut log));
    })
}

fn study(plan: &Plan, names: &Names, trials: u32, threads: usize, bands: bool) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..3 {
        let options = RunOptions {
            trials,
            seed: 7,
            threads: Some(threads),
            bands,
            remedies: false,
            ..RunOptions::default()
        };
        let start = Instant::now();
        match run(plan, names, &options, &|_, _| {}) {
            Ok(r) => drop(black_box(r)),
            Err(e) => eprintln!("{e}"),
        }
        best = best.min(start.elapsed().as_nanos() as f64);
    }
    best / f64::from(trials) / plan.days.len() as f64
}

/// The first cow, with one batch more every day of something that nobody
/// touches, kept for `days`.
fn hoarding(plan: &Plan, days: f64) -> Option<Plan> {
    let mut plan = plan.clone();
    let frozen = plan.household.frozen_milk?;
    let n = plan.recipes.iter().position(|r| r.outputs.first().is_some_and(|o| o.item == frozen))?;
    let mut recipe = plan.recipes[n].clone();
    let mut item = plan.items[frozen.at()].clone();
    item.keeps = [days; 5];
    item.places = plan.items[frozen.at()].places.clone();
    let id = ItemId(plan.items.len() as u8);
    plan.items.push(item);
    for place in &mut plan.places {
        place.takes |= 1 << id.0;
        place.litres *= 1e3;
        place.freeze_kg_per_day *= 1e3;
    }
    recipe.outputs[0].item = id;
    (recipe.least_kg, recipe.most_kg, recipe.minutes, recipe.minutes_per_kg) = (0.01, 0.01, 0.0, 0.0);
    recipe.inputs[0].items = vec![fixed::WHOLE, fixed::SKIMMED];
    recipe.inputs[0].newest_to_days = f64::INFINITY;
    let mut rule = plan.rules[0].clone();
    rule.action = Action::Make { recipe: RecipeId(plan.recipes.len() as u8), batch_kg: 0.01 };
    rule.when.clear();
    rule.weekdays = 0x7f;
    rule.per_week = None;
    rule.per_day = Some(1);
    plan.recipes.push(recipe);
    plan.rules.push(rule);
    Some(plan)
}

/// Peak resident memory, MB, where the system tells.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

fn compiled(text: &str) -> Option<Compiled> {
    let found = scenario::compile(text.as_bytes());
    found.map_err(|errors| errors.iter().for_each(|e| eprintln!("{e}"))).ok()
}

fn main() {
    let Some(first_cow) = compiled(FIRST_COW) else { return };
    let (plan, names) = (&first_cow.plan, &first_cow.names);
    let mut luck = Luck::new(plan, names);
    let draws = per_day(plan, 2000, |t| luck.draw(7, t));
    let whole = engine(plan, names, 1000);
    println!("first cow, {} days, every part in use", plan.days.len());
    println!("  draws alone            {draws:8.0} ns a household-day");
    println!("  draws and trial        {whole:8.0} ns   {:.1} x the draws", whole / draws);
    let plain = study(plan, names, 2000, 1, false);
    let banded = study(plan, names, 2000, 1, true);
    println!("  study, 1 thread        {plain:8.0} ns");
    println!(
        "  study with bands       {banded:8.0} ns   bands are {:.0} % of it",
        100.0 * (1.0 - plain / banded)
    );
    let two = study(plan, names, 10_000, 2, true);
    println!(
        "  10,000 runs, 2 threads {two:8.0} ns   {:.2} million household-days a second, {:.1} s",
        1e3 / two,
        two * 1e-9 * 10_000.0 * plan.days.len() as f64
    );
    if let (Some(few), Some(many)) = (hoarding(plan, 60.0), hoarding(plan, 100_000.0)) {
        let (a, b) = (engine(&few, names, 400), engine(&many, names, 400));
        println!("  stock of 60 lots more  {a:8.0} ns");
        println!("  stock of 600 lots more {b:8.0} ns   {:.3} x", b / a);
    }
    for (name, text) in [("herd share", HERD_SHARE), ("dry weeks", DRY_WEEKS)] {
        let Some(c) = compiled(text) else { return };
        let mut luck = Luck::new(&c.plan, &c.names);
        let draws = per_day(&c.plan, 2000, |t| luck.draw(7, t));
        let alone = engine(&c.plan, &c.names, 1000);
        let banded = study(&c.plan, &c.names, 2000, 1, true);
        println!("{name}, {} days", c.plan.days.len());
        println!("  draws alone            {draws:8.0} ns a household-day");
        println!("  draws and trial        {alone:8.0} ns   {:.2} x the first cow", alone / whole);
        println!("  study with bands       {banded:8.0} ns");
    }
    if let Some(mb) = peak_mb() {
        println!("  peak memory            {mb:8.0} MB");
    }
}
