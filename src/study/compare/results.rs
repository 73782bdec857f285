//! What a comparison hands to the reports: plain data.

use super::super::measures::MeasureKey;
use super::margins::Good;
use super::paired::Counts;

/// What can be said of a choice in one measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Surely better than the base.
    Better,
    /// Surely worse.
    Worse,
    /// Surely within what matters.
    Same,
    /// None of these yet.
    CannotTell,
}

impl Verdict {
    /// Name in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Worse => "worse",
            Self::Same => "the same within what matters",
            Self::CannotTell => "cannot be told yet",
        }
    }
}

/// A quantile of both, and how far apart they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuantilePair {
    /// Which (0.05, 0.10, 0.90, 0.95).
    pub p: f64,
    /// Of the base.
    pub base: f64,
    /// Of the choice.
    pub choice: f64,
    /// Choice less base: 95 % interval of a paired bootstrap.
    pub ci95: Option<[f64; 2]>,
}

/// A choice against the base in one measure. Differences are choice less base.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Name of the measure.
    pub name: String,
    /// The measure, as the base knows it.
    pub key: MeasureKey,
    /// Which way is good.
    pub good: Good,
    /// An aim speaks of it.
    pub aimed: bool,
    /// The difference that matters.
    pub margin: f64,
    /// Mean of the base.
    pub base: f64,
    /// Mean of the choice.
    pub choice: f64,
    /// Mean difference.
    pub difference: f64,
    /// Its 95 % interval (paired t); none after a single trial.
    pub ci95: Option<[f64; 2]>,
    /// Its standard error.
    pub error: Option<f64>,
    /// Variance on separate luck over that of the pairs: so many times more
    /// trials would be needed on separate luck.
    pub variance_ratio: Option<f64>,
    /// In how many trials the choice is higher, alike and lower.
    pub counts: Counts,
    /// The same by more than what matters.
    pub by_margin: Counts,
    /// p-value of there being no difference.
    pub p: f64,
    /// p-value of the difference being what matters or more.
    pub p_same: f64,
    /// Both adjusted by Holm's rule over choices × aimed measures; only for
    /// those.
    pub adjusted: Option<[f64; 2]>,
    /// The verdict; none where neither way is good.
    pub verdict: Option<Verdict>,
    /// About how many more trials would tell, where it cannot be told yet.
    pub more_trials: Option<u32>,
    /// Quantiles.
    pub quantiles: [QuantilePair; 4],
}

impl Pair {
    /// Trials in which the choice is better by what matters, alike, worse.
    /// Where neither way is good: lower, alike, higher.
    #[must_use]
    pub fn better_alike_worse(&self) -> [u32; 3] {
        let Counts { higher, alike, lower } = self.by_margin;
        if self.good == Good::More { [higher, alike, lower] } else { [lower, alike, higher] }
    }

    /// The difference is surely there, whether it matters or not.
    #[must_use]
    pub fn differs(&self, alpha: f64) -> bool {
        self.adjusted.map_or(self.p, |[p, _]| p) <= alpha
    }
}

/// An aim that both have.
#[derive(Clone, Debug, PartialEq)]
pub struct AimPair {
    /// In words.
    pub aim: String,
    /// Name of the measure it speaks of.
    pub measure: String,
    /// Part of trials wanted.
    pub wanted: f64,
    /// Part of trials that keep it in the base.
    pub base: f64,
    /// In the choice.
    pub choice: f64,
    /// Trials that keep it only in the choice.
    pub won: u32,
    /// Trials that keep it only in the base.
    pub lost: u32,
    /// Choice less base.
    pub difference: f64,
    /// Its 95 % interval.
    pub ci95: [f64; 2],
    /// Exact p-value of McNemar's test.
    pub p: f64,
    /// Adjusted by Holm's rule over choices × aims.
    pub p_adjusted: f64,
    /// The verdict.
    pub verdict: Verdict,
    /// About how many more trials would tell, where it cannot be told yet.
    pub more_trials: Option<u32>,
}

/// A choice against the base.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// Name of the choice.
    pub name: String,
    /// Measures that both have, in the order of the base.
    pub measures: Vec<Pair>,
    /// Aims that both have.
    pub aims: Vec<AimPair>,
    /// Measures that only the base has.
    pub only_base: Vec<String>,
    /// Measures that only the choice has.
    pub only_choice: Vec<String>,
    /// Aims that only the base has.
    pub aims_only_base: Vec<String>,
    /// Aims that only the choice has.
    pub aims_only_choice: Vec<String>,
}

impl Against {
    /// Every measure is the same in every trial.
    #[must_use]
    pub fn differs_in_nothing(&self) -> bool {
        self.measures.iter().all(|p| p.counts.higher + p.counts.lower == 0)
    }

    /// A measure by name.
    #[must_use]
    pub fn measure(&self, name: &str) -> Option<&Pair> {
        self.measures.iter().find(|m| m.name == name)
    }
}

/// One of those among which the best was looked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Contender {
    /// Name; the base is one of them.
    pub name: String,
    /// Mean of the goal over its trials.
    pub mean: f64,
    /// Trials that were looked at.
    pub trials: u32,
    /// Left out as surely not the best before the end.
    pub left_out: bool,
}

/// The best of several.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// Name of the measure, or `aims_kept`.
    pub goal: String,
    /// The measure; none for the part of the aims kept.
    pub key: Option<MeasureKey>,
    /// Which way is good.
    pub good: Good,
    /// Differences smaller than this do not matter.
    pub delta: f64,
    /// Probability of a correct selection if the best leads by `delta`.
    pub sure: f64,
    /// Trials of a batch.
    pub batch: u32,
    /// Batches before the first look.
    pub first: u32,
    /// Number of the selected among the contenders; none where the most trials
    /// of any study did not do.
    pub chosen: Option<usize>,
    /// Base first.
    pub contenders: Vec<Contender>,
    /// Trials in all that the two-stage rule for separate luck would call for.
    pub separate_trials: f64,
    /// Trials in all that were looked at here.
    pub trials: u32,
}

/// Everything a comparison found.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Trials of each.
    pub trials: u32,
    /// Seed.
    pub seed: u64,
    /// Days simulated.
    pub days: u32,
    /// Greatest chance of a false claim.
    pub alpha: f64,
    /// Name of the base.
    pub base: String,
    /// Names of the aimed measures over which claims are adjusted.
    pub aimed: Vec<String>,
    /// Claims in that family: pairs of a choice and an aimed measure.
    pub family: u32,
    /// Pairs of a choice and an aim.
    pub aim_family: u32,
    /// Resamples of the bootstrap.
    pub resamples: u32,
    /// Measures whose margin was set and not taken by default.
    pub margins_set: Vec<String>,
    /// The choices, in order.
    pub choices: Vec<Against>,
    /// The best of several, if asked for.
    pub best: Option<Best>,
    /// Stopped before its end: only the choices that were done are here.
    pub broken_off: bool,
}
