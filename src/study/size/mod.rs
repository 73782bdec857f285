//! The smallest or largest of an ordered list of candidates that keeps every
//! aim, with a stated confidence.
//!
//! The candidates stand in one order, the most frugal first: the least room, or
//! the most people. An aim counts as kept by a candidate when the part of all
//! possible trials that keep it reaches the part wanted. How it is found:
//!
//! 1. **Search**, on trials 0, 1, 2, … of the seed, the same for every candidate
//!    (common random numbers; what was run is kept, more trials extend it). The
//!    ends are looked at first, then the gap between a candidate that fails and
//!    one that does not is halved. A candidate is looked at after 64, 128, 256, …
//!    trials, and no more are run once exact one-sided bounds tell, at a quarter of
//!    the doubt shared by twelve possible looks. Nothing is claimed from the
//!    search but that an end fails.
//! 2. **Proof**, on trials that nothing has used before. The block's size is
//!    set beforehand from what is known by then; it is judged once, at its end.
//!    Attempt j has half of the doubt over 2^j, shared by the aims (Bonferroni):
//!    the candidate is enough when for each aim the exact lower bound of the part
//!    (Clopper & Pearson 1934, Biometrika 26) reaches the part wanted. One that
//!    is not shown to be enough is given up for the next more generous one.
//! 3. **The neighbour**, one step more frugal, on a fresh block of its own: it fails
//!    when for some aim the exact upper bound lies below the part wanted. Attempt j
//!    has a quarter of the doubt over 2^j. A neighbour that seems enough gets a proof.
//!    Where it is too close to the edge, those farther out are looked at, then those
//!    between; at last all that is left goes to the easiest of the close calls. So a
//!    search ends when the neighbour is told or its trials are spent; then the answer
//!    is a bracket.
//! 4. **None.** When none seems to keep every aim, the one that comes closest and the
//!    most generous one are looked at until that is clear. The search then goes on
//!    without the aims that all that was tried miss, or by those that the candidate keeps
//!    which misses the fewest; its attempts count on, so the doubt is spent once. An aim
//!    left out that the answer keeps is asked for again where it can be shown.
//!
//! The sums of all these parts stay within the doubt, so with the confidence
//! asked for all that is claimed holds together (Boole's inequality), whatever the
//! order of the candidates does. That more frugal candidates than the neighbour
//! fail too is not shown but presumed; pairs that speak against it are reported.

mod exact;
mod proof;
mod search;
mod simulated;
#[cfg(test)]
mod tests;
mod told;

pub use search::{Response, Search};
pub use simulated::{Candidates, SizeError};

use super::stats::{exact_lower, exact_upper};

/// First of the trials that are kept for proofs: no search goes so far.
pub const FRESH_FROM: u32 = 1 << 30;
/// Trials in all, unless said otherwise.
pub const USUAL_MOST: u32 = 20_000;
/// Fewest trials in all with which a search makes sense.
pub const FEWEST: u32 = 1_000;

/// How to search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeOptions {
    /// Confidence of all that is claimed together, 0.5 to 0.9999.
    pub sure: f64,
    /// Most trials in all, 1,000 to 200,000.
    pub most: u32,
}

impl Default for SizeOptions {
    fn default() -> Self {
        Self { sure: 0.95, most: USUAL_MOST }
    }
}

/// What became of a candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Shown to keep every aim, on fresh trials.
    Enough,
    /// Shown to miss an aim, on fresh trials.
    Fails,
    /// An attempt to show that it is enough failed.
    NotShown,
    /// Looked at in the search only.
    Searched,
}

/// A candidate that was tried, over all its trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Its number, from 0, the most frugal.
    pub at: usize,
    /// Trials simulated.
    pub trials: u32,
    /// Of these, fresh ones.
    pub fresh: u32,
    /// Trials that kept each aim.
    pub kept: Vec<u32>,
    /// What became of it.
    pub standing: Standing,
}

impl Tried {
    /// Part of trials that kept an aim.
    #[must_use]
    pub fn part(&self, aim: usize) -> f64 {
        let kept = self.kept.get(aim).copied().unwrap_or(0);
        f64::from(kept) / f64::from(self.trials.max(1))
    }

    /// 95 % interval of that part (Clopper and Pearson), as if its trials had
    /// been fixed beforehand.
    #[must_use]
    pub fn interval(&self, aim: usize) -> [f64; 2] {
        let kept = self.kept.get(aim).copied().unwrap_or(0);
        [exact_lower(kept, self.trials, 0.025), exact_upper(kept, self.trials, 0.025)]
    }
}

/// A pair of candidates that speaks against the order: the more frugal one
/// clearly keeps an aim in more of the same trials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odd {
    /// The aim, from 0.
    pub aim: usize,
    /// The more frugal candidate, and its part.
    pub frugal: (usize, f64),
    /// The more generous one, and its part.
    pub generous: (usize, f64),
    /// Trials that both ran.
    pub trials: u32,
}

/// What the search found.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// The candidate `enough` was shown to keep every aim.
    Found {
        /// The candidate.
        enough: usize,
        /// The nearest more frugal one that was shown to fail. One step away:
        /// the answer is exact. Farther: those between are not told apart.
        /// None: it is the most frugal of all, or none could be shown to fail.
        fails: Option<usize>,
    },
    /// No candidate keeps every aim.
    NoneMeets {
        /// The one that misses the fewest aims, and its worst by least.
        best: usize,
        /// The most generous one is shown to fail, not only seen to.
        shown: bool,
        /// Aims that all that was tried seem to miss.
        unhelped: Vec<usize>,
    },
    /// The trials that may be run were not enough to tell, or the search was
    /// broken off: the answer, if there is one, lies in `above..=up_to`.
    Open {
        /// First candidate that may be it.
        from: usize,
        /// The last one.
        up_to: usize,
    },
}

/// What was found for the aims that are left when those that stand in the way are not
/// asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Rest {
    /// Aims that are left out.
    pub left_out: Vec<usize>,
    /// The answer to the others: found or open.
    pub answer: Answer,
}

/// All that a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeResult {
    /// The answer.
    pub answer: Answer,
    /// No candidate keeps every aim: what does for some of them.
    pub rest: Option<Rest>,
    /// Broken off before the answer was reached.
    pub broken_off: bool,
    /// Parts wanted, aim by aim.
    pub wanted: Vec<f64>,
    /// Candidates tried, by their number.
    pub tried: Vec<Tried>,
    /// Pairs that speak against the order.
    pub odd: Vec<Odd>,
    /// Candidates in all.
    pub candidates: usize,
    /// Trials simulated in all.
    pub trials: u32,
    /// Trials of the proof that the answer is enough.
    pub proof: u32,
    /// Attempts at such a proof.
    pub attempts: u32,
    /// How it was searched.
    pub options: SizeOptions,
}

impl SizeResult {
    /// Aims that the answer speaks of: all, or those of the rest.
    pub fn judged(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.wanted.len()).filter(|i| self.rest.as_ref().is_none_or(|r| !r.left_out.contains(i)))
    }

    /// All trials that were allowed are spent, but for a few.
    #[must_use]
    pub fn spent(&self) -> bool {
        self.options.most - self.trials.min(self.options.most) < 64
    }

    /// A candidate that was tried.
    #[must_use]
    pub fn tried(&self, at: usize) -> Option<&Tried> {
        self.tried.iter().find(|t| t.at == at)
    }
}
