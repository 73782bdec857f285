//! What a study hands to the reports.

use crate::sim::outcome::{BLOCKS, Closure};

/// One measure over all trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Stable name (`wasted_part`, `butter_fill`).
    pub name: String,
    /// Unit in files (`kg`, `L`, `days`, `1` for parts, `min/day`, `h`).
    pub unit: &'static str,
    /// Arithmetic mean.
    pub mean: f64,
    /// 95 % interval of the mean; none after a single trial.
    pub mean_ci95: Option<[f64; 2]>,
    /// Nearest-rank quantiles: 5, 10, 50, 90, 95 %.
    pub quantiles: [f64; 5],
    /// 95 % intervals of those quantiles by order statistics; none where so
    /// few trials cannot be that sure.
    pub quantile_ci95: [Option<[f64; 2]>; 5],
    /// Least.
    pub min: f64,
    /// Greatest.
    pub max: f64,
}

/// Where the drawn and fetched milk ended, mean over trials.
#[derive(Clone, Debug, PartialEq)]
pub struct FateMean {
    /// Stable name.
    pub fate: &'static str,
    /// Kg of milk.
    pub milk_kg: f64,
    /// Kg of all matter.
    pub mass_kg: f64,
    /// Kg of fat.
    pub fat_kg: f64,
    /// Part of the milk that came in.
    pub part: f64,
    /// Part of the fat that came in.
    pub fat_part: f64,
}

/// How often a rule fired, mean per trial.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleMean {
    /// In words, from the scenario.
    pub rule: String,
    /// Mean times fired.
    pub fired: f64,
    /// Mean days on which it fired.
    pub days_fired: f64,
    /// Mean sessions blocked, by reason.
    pub blocked: [f64; BLOCKS],
    /// Mean kg of main input in all.
    pub kg: f64,
}

/// How an aim was met.
#[derive(Clone, Debug, PartialEq)]
pub struct AimResult {
    /// In words.
    pub aim: String,
    /// Name of the measure it speaks of.
    pub measure: String,
    /// Part of trials that met it.
    pub met_part: f64,
    /// 95 % interval (Wilson).
    pub met_part_ci95: [f64; 2],
    /// Part wanted.
    pub wanted_part: f64,
    /// Point estimate reaches the wanted part.
    pub met: bool,
    /// The interval lies wholly on one side.
    pub sure: bool,
    /// More trials that would tell, when not sure.
    pub more_trials: Option<u32>,
}

/// Bands of one measure over the days.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Stable name (`drawn`, `cold_wanted`, `butter_stock`).
    pub name: String,
    /// Unit (`kg`, `L`, `jars`, `min`, `1`).
    pub unit: &'static str,
    /// Day by day: mean, then 5, 10, 50, 90, 95 % quantiles.
    pub days: Vec<[f64; 6]>,
}

/// A remedy that was run on the same luck.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// In words (`room for 9 more half-gallon jars in the cold`).
    pub words: String,
    /// Aims that fail in the base, met with the remedy (part of its trials).
    pub met_parts: Vec<f64>,
    /// The same aims without it, over the same trials.
    pub base_parts: Vec<f64>,
    /// Aims that it breaks or makes clearly worse, the broken ones first.
    pub worsens: Vec<Worsened>,
    /// All aims are met.
    pub mends: bool,
    /// Trials it was run for: the first ones of the base.
    pub trials: u32,
}

/// An aim that a remedy makes worse, over the trials of the remedy.
#[derive(Clone, Debug, PartialEq)]
pub struct Worsened {
    /// Its number among the aims, from 0.
    pub aim: usize,
    /// Part of trials that met it without the remedy.
    pub without: f64,
    /// Part of the same trials that met it with the remedy.
    pub with: f64,
    /// It was kept without, and is not kept with the remedy.
    pub broken: bool,
}

/// Something that can be put up for the dry weeks, and when to begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PuttingUp {
    /// 0 is drinking milk, frozen; then the wishes.
    pub want: usize,
    /// Wanted in the first dry weeks, kg: in 9 of 10 runs not more. Of drinking
    /// milk the part that may be thawed.
    pub needed_kg: f64,
    /// The day on which those weeks begin, from 0: in 9 of 10 runs not before.
    pub dry_from: u32,
    /// Made a week, in weeks in which some was, kg.
    pub week_kg: f64,
    /// Days from a batch to the table.
    pub ready_days: f64,
    /// Days for which it keeps in the best of its places.
    pub keeps_days: f64,
    /// The last day on which to begin, from 0; none where the run is too short.
    pub start: Option<u32>,
}

/// Everything a run found.
#[derive(Clone, Debug)]
pub struct RunResult {
    /// Trials simulated.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Days simulated.
    pub days: u32,
    /// The average year (no chance anywhere).
    pub steady: bool,
    /// Largest relative error of any trial.
    pub closure: Closure,
    /// Measures, in a stable order.
    pub measures: Vec<Summary>,
    /// Fates.
    pub fates: Vec<FateMean>,
    /// Aims.
    pub aims: Vec<AimResult>,
    /// Rules, tonight's list and tomorrow's list.
    pub rules: Vec<RuleMean>,
    /// Bands.
    pub bands: Vec<Band>,
    /// Names of the columns of `rows` (same order as `measures`).
    pub columns: Vec<String>,
    /// One row a trial, row-major.
    pub rows: Vec<f64>,
    /// Remedies run on the same luck, best first.
    pub remedies: Vec<Remedy>,
    /// What can be put up for the dry weeks.
    pub putting_up: Vec<PuttingUp>,
    /// Precision reached: relative half-width of the goal measure, if asked.
    pub precision: Option<f64>,
    /// Trial whose named measure ranks in the middle, and the measure.
    pub middle_trial: (u32, String),
}

impl RunResult {
    /// A measure by name.
    #[must_use]
    pub fn measure(&self, name: &str) -> Option<&Summary> {
        self.measures.iter().find(|m| m.name == name)
    }
}
