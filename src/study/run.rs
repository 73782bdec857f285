//! One scenario, many trials.

use super::StudyError;
use super::aims::{self, MOST_TRIALS};
use super::bands::{Bands, QUANTILES};
use super::engine::{BEFORE_RULES, Engine, FATE_COLUMNS, Found, RULE_COLUMNS, SOURCE_COLUMNS};
use super::measures::{MILK, MeasureKey, Table};
use super::putting_up;
use super::remedies;
use super::results::{FateMean, RuleMean, RunResult, Summary};
use super::stats::{RankInterval, mean_interval, quantile, quantile_ranks};
use crate::scenario::plan::{Action, FullStep, ItemId};
use crate::scenario::{Names, Plan};
use crate::sim::outcome::{BLOCKS, Fate};
use std::sync::atomic::{AtomicU32, Ordering};

/// First number of trials at which precision is looked at; then twice as many,
/// and so on.
pub const FIRST_LOOK: u32 = 500;

/// How to run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunOptions {
    /// Trials, 1 to 200,000; with a precision, the most.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Threads; as many as there are processors, if not said.
    pub threads: Option<usize>,
    /// The average year: one trial without chance.
    pub steady: bool,
    /// Stop when the 95 % interval of the mean of the goal measure is this
    /// narrow, relative half-width (above 0). The goal is the wasted part, or
    /// the milk served where nothing is wasted; it is looked at only at 500,
    /// 1000, 2000, … trials.
    pub precision: Option<f64>,
    /// Keep bands over the days.
    pub bands: bool,
    /// Look for what would mend aims that are not met.
    pub remedies: bool,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            trials: 1000,
            seed: 1,
            threads: None,
            steady: false,
            precision: None,
            bands: true,
            remedies: true,
        }
    }
}

/// Runs a scenario. `progress` is told trials done and trials planned so far,
/// from any thread and not always in order.
///
/// Trials are numbered from 0.
///
/// # Errors
/// Options out of range, no days, no threads to be had; or a trial whose books
/// do not balance or that gives something that is no number: then nothing is
/// reported.
pub fn run(
    plan: &Plan,
    names: &Names,
    options: &RunOptions,
    progress: &(dyn Fn(u32, u32) + Sync),
) -> Result<RunResult, StudyError> {
    let most = checked(plan, options)?;
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(options.threads.unwrap_or(0))
        .build()
        .map_err(|e| StudyError::Threads(e.to_string()))?;
    let table = Table::new(plan, names);
    let engine = Engine {
        pool: &pool,
        plan,
        names,
        table: &table,
        seed: options.seed,
        steady: options.steady,
        stop: None,
    };
    let bands = options.bands.then(|| Bands::new(plan));
    let mut found = Found::default();
    let done = AtomicU32::new(0);
    let mut precision = None;
    loop {
        let end = next_stop(found.trials, most, options.precision.is_some());
        let tell = |trials: u32| progress(done.fetch_add(trials, Ordering::Relaxed) + trials, end);
        engine.simulate(found.trials..end, bands.as_ref(), &tell, &mut found)?;
        if let Some(wanted) = options.precision {
            let goal = column_of(&found.rows, &table, goal(&found.rows, &table));
            let reached = mean_interval(&goal, 0.95).relative_half();
            // A single trial has no spread, and that is no precision.
            precision = Some(reached).filter(|p| p.is_finite() && found.trials > 1);
            // The last stop may be no look, and is none if it is the end anyway.
            if reached <= wanted && is_look(end) {
                break;
            }
        }
        if end == most {
            break;
        }
    }
    let measures = summaries(&found.rows, &table);
    let aims = aims::results(plan, names, &table, &found.rows, options.steady);
    let remedies = if options.remedies && !options.steady && aims.iter().any(|a| !a.met) {
        remedies::look(&engine, &found.rows, &aims, &rule_sums(&found))
    } else {
        Vec::new()
    };
    let middle_trial = middle(&found.rows, &table);
    let rules = rules(&found, plan, names);
    let putting_up = putting_up::putting_up(plan, &table, &found.rows, &rules);
    Ok(RunResult {
        trials: found.trials,
        seed: options.seed,
        days: u32::try_from(plan.days.len()).unwrap_or(u32::MAX),
        steady: options.steady,
        closure: found.closure,
        measures,
        fates: fates(&found),
        aims,
        rules,
        bands: bands.map(|b| b.finish(plan, names)).unwrap_or_default(),
        columns: table.names.clone(),
        rows: found.rows,
        remedies,
        putting_up,
        precision,
        middle_trial,
    })
}

/// Most trials of a run, or why it cannot be.
fn checked(plan: &Plan, options: &RunOptions) -> Result<u32, StudyError> {
    if plan.days.is_empty() {
        return Err(StudyError::NoDays);
    }
    if options.steady {
        return Ok(1);
    }
    checked_trials(plan, options.trials)?;
    if options.precision.is_some_and(|p| !p.is_finite() || p <= 0.0) {
        return Err(StudyError::Precision);
    }
    Ok(options.trials)
}

/// Whether so many trials of a plan can be run.
pub(super) fn checked_trials(plan: &Plan, trials: u32) -> Result<(), StudyError> {
    if plan.days.is_empty() {
        return Err(StudyError::NoDays);
    }
    if trials == 0 {
        return Err(StudyError::NoTrials);
    }
    if trials > MOST_TRIALS {
        return Err(StudyError::TooManyTrials { asked: trials });
    }
    Ok(())
}

/// Where the trials pause next: at the next look, or at the end.
fn next_stop(done: u32, most: u32, looks: bool) -> u32 {
    if !looks {
        return most;
    }
    let mut look = FIRST_LOOK;
    while look <= done && look < most {
        look = look.saturating_mul(2);
    }
    look.min(most)
}

/// Is it 500 · 2^k.
fn is_look(trials: u32) -> bool {
    trials.is_multiple_of(FIRST_LOOK) && (trials / FIRST_LOOK).is_power_of_two()
}

fn column_of(rows: &[f64], table: &Table, key: MeasureKey) -> Vec<f64> {
    let Some(column) = table.column(key) else { return Vec::new() };
    rows.chunks_exact(table.keys.len()).map(|row| row[column]).collect()
}

/// The measure that ranks trials and whose precision counts: the wasted part,
/// or where nothing was wasted, the part of the drinking milk served.
fn goal(rows: &[f64], table: &Table) -> MeasureKey {
    let wasted = column_of(rows, table, MeasureKey::WastedPart).iter().any(|v| *v > 0.0);
    if wasted { MeasureKey::WastedPart } else { MeasureKey::Fill(MILK) }
}

/// The trial in the middle by (goal measure, number), and the measure's name.
fn middle(rows: &[f64], table: &Table) -> (u32, String) {
    let key = goal(rows, table);
    let values = column_of(rows, table, key);
    let mut order: Vec<u32> = (0..u32::try_from(values.len()).unwrap_or(u32::MAX)).collect();
    order.sort_by(|a, b| values[*a as usize].total_cmp(&values[*b as usize]).then(a.cmp(b)));
    let middle = order.get(order.len().saturating_sub(1) / 2).copied().unwrap_or(0);
    (middle, table.column(key).map_or_else(String::new, |c| table.names[c].clone()))
}

/// Every measure over all trials.
pub(super) fn summaries(rows: &[f64], table: &Table) -> Vec<Summary> {
    let trials = rows.len() / table.keys.len().max(1);
    let ranks = QUANTILES.map(|p| {
        let whole = RankInterval { low: 1, high: trials.max(1), coverage: 0.0 };
        quantile_ranks(trials, p, 0.95).unwrap_or(whole)
    });
    let summary = |(key, name): (&MeasureKey, &String)| {
        let mut values = column_of(rows, table, *key);
        let mean = mean_interval(&values, 0.95);
        values.sort_unstable_by(f64::total_cmp);
        let at = |rank: usize| values.get(rank - 1).copied().unwrap_or(0.0);
        Summary {
            name: name.clone(),
            unit: key.unit(),
            mean: mean.mean,
            mean_ci95: mean.interval(),
            quantiles: QUANTILES.map(|p| quantile(&values, p)),
            quantile_ci95: ranks.map(|r| (r.coverage >= 0.95).then(|| [at(r.low), at(r.high)])),
            min: at(1),
            max: at(values.len().max(1)),
        }
    };
    table.keys.iter().zip(&table.names).map(summary).collect()
}

/// Where the milk ended, means over trials.
fn fates(found: &Found) -> Vec<FateMean> {
    let n = f64::from(found.trials.max(1));
    let sum = |column: usize| found.sums.get(column).copied().unwrap_or(0.0);
    let part = |of: f64, all: f64| if all > 1e-9 { of / all } else { 0.0 };
    let mean = |(i, fate): (usize, Fate)| {
        let at = SOURCE_COLUMNS + i * FATE_COLUMNS;
        FateMean {
            fate: fate.key(),
            milk_kg: sum(at) / n,
            mass_kg: sum(at + 1) / n,
            fat_kg: sum(at + 2) / n,
            part: part(sum(at), sum(0)),
            fat_part: part(sum(at + 2), sum(1)),
        }
    };
    Fate::ALL.into_iter().enumerate().map(mean).collect()
}

/// Sums over trials of the rules' tallies.
fn rule_sums(found: &Found) -> Vec<&[f64]> {
    found.sums.get(BEFORE_RULES..).unwrap_or_default().chunks_exact(RULE_COLUMNS).collect()
}

/// Rules and the two lists for a full cold room, means over trials.
fn rules(found: &Found, plan: &Plan, names: &Names) -> Vec<RuleMean> {
    let n = f64::from(found.trials.max(1));
    let words = rule_words(plan, names);
    let mean = |(i, sums): (usize, &[f64])| {
        let mut blocked = [0.0; BLOCKS];
        for (b, s) in blocked.iter_mut().zip(&sums[3..]) {
            *b = s / n;
        }
        RuleMean {
            rule: words.get(i).cloned().unwrap_or_else(|| format!("rule {}", i + 1)),
            fired: sums[0] / n,
            days_fired: sums[1] / n,
            blocked,
            kg: sums[2] / n,
        }
    };
    rule_sums(found).into_iter().enumerate().map(mean).collect()
}

/// Words of the rules, then of tonight's list and the one from tomorrow: the
/// names' own where they go that far, else made from the plan.
pub(super) fn rule_words(plan: &Plan, names: &Names) -> Vec<String> {
    let item = |id: ItemId| names.items.get(id.at()).cloned().unwrap_or_else(|| "milk".into());
    let who = |i: u16| names.animals.get(usize::from(i)).cloned().unwrap_or_else(|| "her".into());
    let tonight = plan.when_full.tonight.iter().map(|step| match step {
        FullStep::Feed(id) => format!("when full, tonight: feed {}", item(*id)),
        FullStep::PourOut(id) => format!("when full, tonight: pour out {}", item(*id)),
    });
    let tomorrow = plan.when_full.tomorrow.iter().map(|action| match *action {
        Action::DryOff { animal } => format!("when full, from tomorrow: dry off {}", who(animal)),
        Action::CalfOn { animal, .. } => {
            let young = plan.animals.get(usize::from(animal)).map_or("calf", |a| a.species.young());
            format!("when full, from tomorrow: leave the {young} on {}", who(animal))
        }
        Action::OnceADay { animal, .. } => {
            format!("when full, from tomorrow: milk {} once a day", who(animal))
        }
        Action::ShutIn { animal, .. } => {
            format!("when full, from tomorrow: shut the calf of {} in", who(animal))
        }
        Action::End { animal, .. } => format!("when full, from tomorrow: as before with {}", who(animal)),
        Action::Skim { .. } => "when full, from tomorrow: skim".into(),
        Action::Make { recipe, .. } => {
            let what = names.recipes.get(recipe.at()).cloned().unwrap_or_default();
            format!("when full, from tomorrow: make {what}")
        }
        Action::Move { item: id, .. } => format!("when full, from tomorrow: move {}", item(id)),
        Action::Feed { item: id, .. } => format!("when full, from tomorrow: feed {}", item(id)),
        Action::HandOut { item: id, .. } => format!("when full, from tomorrow: hand out {}", item(id)),
        Action::Buy { .. } => "when full, from tomorrow: buy".into(),
        Action::Dump { item: id, .. } => format!("when full, from tomorrow: pour out {}", item(id)),
    });
    let rules = (0..plan.rules.len()).map(|i| format!("rule {}", i + 1));
    let mut words: Vec<String> = rules.chain(tonight).chain(tomorrow).collect();
    for (word, named) in words.iter_mut().zip(&names.rules) {
        word.clone_from(named);
    }
    words
}
