//! What a search tells of what it tried.

use super::search::{Search, Seen};
use super::{Answer, Odd, Rest, SizeResult, Standing, Tried};
use crate::study::stats::{mean_variance, z_two_sided};

/// A pair speaks against the order by no less than this part of trials.
const A_SPECK: f64 = 0.02;
/// How sure that must be: many pairs are looked at.
const ODD_LEVEL: f64 = 0.999;

impl Search {
    /// The answer with all that was tried.
    pub(super) fn result(&self, answer: Answer, rest: Option<Rest>, broken_off: bool) -> SizeResult {
        let tried = |(at, s): (&usize, &Seen)| Tried {
            at: *at,
            trials: s.all(),
            fresh: s.fresh,
            kept: s.all_kept(),
            standing: s.standing.unwrap_or(Standing::Searched),
        };
        SizeResult {
            answer,
            rest,
            broken_off,
            wanted: self.wanted.clone(),
            tried: self.seen.iter().map(tried).collect(),
            odd: self.odd(),
            candidates: self.candidates,
            trials: self.spent,
            proof: self.proof,
            attempts: self.attempts,
            options: self.options,
        }
    }

    /// Pairs that speak against the order: for each aim the clearest.
    fn odd(&self) -> Vec<Odd> {
        (0..self.wanted.len())
            .filter_map(|aim| {
                let all: Vec<(&usize, &Seen)> = self.seen.iter().collect();
                let pairs =
                    all.iter().enumerate().flat_map(|(i, a)| all[i + 1..].iter().map(move |b| (a, b)));
                let found = pairs.filter_map(|((a, x), (b, y))| self.odd_pair(aim, (**a, x), (**b, y)));
                found.max_by(|p, q| p.lead().total_cmp(&q.lead()))
            })
            .collect()
    }

    fn odd_pair(
        &self,
        aim: usize,
        (a, frugal): (usize, &Seen),
        (b, generous): (usize, &Seen),
    ) -> Option<Odd> {
        let aims = self.wanted.len();
        let column =
            |s: &Seen| s.searched.iter().skip(aim).step_by(aims).map(|k| f64::from(u8::from(*k))).collect();
        let (x, y): (Vec<f64>, Vec<f64>) = (column(frugal), column(generous));
        let differences: Vec<f64> = x.iter().zip(&y).map(|(x, y)| x - y).collect();
        let n = differences.len();
        let (mean, variance) = mean_variance(&differences);
        // A pair that never differs has no spread, and a mean of 0.
        if mean <= A_SPECK || mean <= z_two_sided(ODD_LEVEL) * (variance / n as f64).sqrt() {
            return None;
        }
        let part = |v: &[f64]| v.iter().take(n).sum::<f64>() / n as f64;
        Some(Odd {
            aim,
            frugal: (a, part(&x)),
            generous: (b, part(&y)),
            trials: u32::try_from(n).unwrap_or(u32::MAX),
        })
    }
}

impl Odd {
    fn lead(&self) -> f64 {
        self.frugal.1 - self.generous.1
    }
}
