//! The best of several: Kim and Nelson's fully sequential selection, which may
//! be used on common luck because it looks at differences alone.
//!
//! Kim and Nelson 2001, A fully sequential procedure for indifference-zone
//! selection in simulation, ACM Transactions on Modeling and Computer
//! Simulation 11:251, with c = 1. If the values are normal and the best mean
//! leads by at least δ, the best is selected with probability at least 1 − α;
//! values are therefore means of batches of trials.

use super::super::stats::mean_variance;
use statrs::distribution::{ChiSquared, Continuous, ContinuousCDF, Normal};

/// What the procedure is set up with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnSetup {
    /// Values of each before the first look, at least 2.
    pub first: u32,
    /// Differences smaller than this do not matter, above 0.
    pub delta: f64,
    /// Greatest chance of a wrong selection, above 0 and under 1 − 1/k.
    pub alpha: f64,
}

/// η = ½ · ((2α/(k − 1))^(−2/(n₀ − 1)) − 1) for `k` systems and `first` values.
#[must_use]
pub fn kn_eta(k: usize, first: u32, alpha: f64) -> f64 {
    let part = 2.0 * alpha / (k.max(2) - 1) as f64;
    0.5 * (part.powf(-2.0 / (f64::from(first.max(2)) - 1.0)) - 1.0)
}

/// h² = 2 · η · (n₀ − 1).
#[must_use]
pub fn kn_h2(k: usize, first: u32, alpha: f64) -> f64 {
    2.0 * kn_eta(k, first, alpha) * (f64::from(first.max(2)) - 1.0)
}

/// How far a mean over `r` values may lie behind another's and stay in:
/// max(0, δ/(2r) · (h²·S²/δ² − r)), with S² the variance of their differences.
#[must_use]
pub fn kn_reach(h2: f64, variance: f64, delta: f64, r: u32) -> f64 {
    let r = f64::from(r);
    (delta / (2.0 * r) * (h2 * variance / (delta * delta) - r)).max(0.0)
}

/// Most values that a pair can call for: ⌊h²·S²/δ²⌋.
#[must_use]
pub fn kn_most(h2: f64, variance: f64, delta: f64) -> f64 {
    (h2 * variance / (delta * delta)).floor()
}

/// A selection under way. More is better.
#[derive(Clone, Debug)]
pub struct Kn {
    setup: KnSetup,
    h2: f64,
    /// Values of the first stage, system by system.
    first: Vec<Vec<f64>>,
    /// Variances of differences of the first stage, k × k.
    variances: Vec<f64>,
    sums: Vec<f64>,
    left_out_after: Vec<Option<u32>>,
    taken: u32,
}

impl Kn {
    /// For `k` systems, at least 2.
    #[must_use]
    pub fn new(k: usize, setup: KnSetup) -> Self {
        Self {
            setup,
            h2: kn_h2(k, setup.first, setup.alpha),
            first: vec![Vec::new(); k],
            variances: Vec::new(),
            sums: vec![0.0; k],
            left_out_after: vec![None; k],
            taken: 0,
        }
    }

    /// Is a system still in.
    #[must_use]
    pub fn is_in(&self, system: usize) -> bool {
        self.left_out_after.get(system).is_some_and(Option::is_none)
    }

    /// Values taken of each that is still in.
    #[must_use]
    pub fn taken(&self) -> u32 {
        self.taken
    }

    /// After how many values each was left out; `None` for those still in.
    #[must_use]
    pub fn left_out_after(&self) -> &[Option<u32>] {
        &self.left_out_after
    }

    /// Most values that may be needed, as the first stage says; `None` before.
    #[must_use]
    pub fn most(&self) -> Option<f64> {
        let most = |v: &f64| kn_most(self.h2, *v, self.setup.delta);
        self.variances.iter().map(most).reduce(f64::max)
    }

    /// Takes one value of each system; those of systems that were left out are
    /// not looked at. The selected one, as soon as there is one.
    pub fn take(&mut self, values: &[f64]) -> Option<usize> {
        self.taken += 1;
        for (i, value) in values.iter().enumerate().take(self.sums.len()) {
            if self.is_in(i) {
                self.sums[i] += value;
            }
        }
        if self.taken <= self.setup.first {
            for (kept, value) in self.first.iter_mut().zip(values) {
                kept.push(*value);
            }
        }
        if self.taken < self.setup.first.max(2) {
            return None;
        }
        if self.variances.is_empty() {
            self.measure();
        }
        // Beyond the most that any pair can call for the best mean is taken.
        if f64::from(self.taken) > self.most().unwrap_or(0.0) {
            return self.leader();
        }
        self.screen();
        let mut left = (0..self.sums.len()).filter(|i| self.is_in(*i));
        match (left.next(), left.next()) {
            (Some(only), None) => Some(only),
            _ => None,
        }
    }

    /// The best mean of those still in; of equals the first.
    #[must_use]
    pub fn leader(&self) -> Option<usize> {
        let still = (0..self.sums.len()).filter(|i| self.is_in(*i));
        still.reduce(|best, i| if self.sums[i] > self.sums[best] { i } else { best })
    }

    fn measure(&mut self) {
        let k = self.first.len();
        let mut variances = vec![0.0; k * k];
        for i in 0..k {
            for l in 0..k {
                let apart: Vec<f64> = self.first[i].iter().zip(&self.first[l]).map(|(a, b)| a - b).collect();
                variances[i * k + l] = mean_variance(&apart).1;
            }
        }
        self.variances = variances;
    }

    /// Leaves out whoever lies too far behind anyone that was in before.
    fn screen(&mut self) {
        let k = self.sums.len();
        let r = f64::from(self.taken);
        let still: Vec<usize> = (0..k).filter(|i| self.is_in(*i)).collect();
        for &i in &still {
            let behind = still.iter().any(|&l| {
                let reach = kn_reach(self.h2, self.variances[i * k + l], self.setup.delta, self.taken);
                l != i && self.sums[i] / r < self.sums[l] / r - reach
            });
            if behind {
                self.left_out_after[i] = Some(self.taken);
            }
        }
    }
}

/// Rinott's constant h for `k` systems with `first` values each and a
/// probability `wanted` of a correct selection on *separate* luck: the root of
/// ∫ [∫ Φ(h/√((n₀−1)(1/x + 1/y))) f(x) dx]^(k−1) f(y) dy = wanted with f the
/// χ² density of n₀ − 1 degrees of freedom (Rinott 1978, Communications in
/// Statistics A7:799). Never for common luck: it only tells what separate luck
/// would have cost, ⌈h²·S²/δ²⌉ values.
#[must_use]
pub fn rinott_h(k: usize, first: u32, wanted: f64) -> f64 {
    let freedom = f64::from(first.max(2)) - 1.0;
    let Ok(chi) = ChiSquared::new(freedom) else { return f64::INFINITY };
    // Simpson's rule over all but a ten-billionth of each tail.
    const STEPS: usize = 240;
    let (low, high) = (chi.inverse_cdf(1e-10), chi.inverse_cdf(1.0 - 1e-10));
    let step = (high - low) / STEPS as f64;
    let nodes: Vec<(f64, f64)> = (0..=STEPS)
        .map(|i| {
            let x = low + step * i as f64;
            let weight = if i == 0 || i == STEPS {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            (x, weight * step / 3.0 * chi.pdf(x))
        })
        .collect();
    let normal = Normal::standard();
    let chance = |h: f64| -> f64 {
        let inner = |y: f64| -> f64 {
            let at = |x: f64| normal.cdf(h / (freedom * (1.0 / x + 1.0 / y)).sqrt());
            nodes.iter().map(|(x, w)| w * at(*x)).sum()
        };
        nodes.iter().map(|(y, w)| w * inner(*y).powi(i32::try_from(k.max(2) - 1).unwrap_or(i32::MAX))).sum()
    };
    let (mut low, mut high) = (0.0, 30.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if chance(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand::rngs::Xoshiro256PlusPlus;
    use rand_distr::{Distribution, StandardNormal};

    /// Runs on known normals with common noise; how many selected the last
    /// system, which leads by `lead`, and values taken of each in the mean.
    fn play(k: usize, lead: f64, delta: f64, runs: u32) -> (u32, f64) {
        let (mut right, mut taken) = (0, 0.0);
        for run in 0..runs {
            let mut rng = Xoshiro256PlusPlus::seed_from_u64(u64::from(run) + 1);
            let mut draw = move || -> f64 { StandardNormal.sample(&mut rng) };
            let mut kn = Kn::new(k, KnSetup { first: 10, delta, alpha: 0.05 });
            let chosen = loop {
                let common = 3.0 * draw();
                let values: Vec<f64> =
                    (0..k).map(|i| common + draw() + if i == k - 1 { lead } else { 0.0 }).collect();
                if let Some(chosen) = kn.take(&values) {
                    break chosen;
                }
            };
            right += u32::from(chosen == k - 1);
            taken += f64::from(kn.taken()) / f64::from(runs);
        }
        (right, taken)
    }

    /// 1,000 runs, the best leads by just δ and the others are all alike, which
    /// is the least favourable for a selection: at least 95 % are right, less
    /// two standard errors (0.7 % each). A lead of none is taken by luck.
    #[test]
    fn the_guarantee_holds_on_known_normals() {
        for k in [2, 4] {
            let (right, _) = play(k, 0.7, 0.7, 1000);
            assert!(right >= 936, "k = {k}: {right} of 1000");
        }
        let (right, _) = play(4, 0.0, 0.7, 1000);
        assert!((200..300).contains(&right), "of four alike each is taken as often: {right}");
    }

    /// A wide lead is seen early: the last one is never called for.
    #[test]
    fn a_wide_lead_costs_little() {
        let (right, taken) = play(4, 4.0, 0.7, 200);
        let (_, close) = play(4, 0.7, 0.7, 200);
        assert_eq!(right, 200);
        assert!(taken < 0.6 * close, "{taken} against {close}");
    }

    #[test]
    fn alike_to_the_bit_takes_the_first_at_once() {
        let mut kn = Kn::new(3, KnSetup { first: 2, delta: 0.1, alpha: 0.05 });
        assert_eq!(kn.take(&[1.0; 3]), None);
        assert_eq!(kn.take(&[1.0; 3]), Some(0));
        assert_eq!((kn.taken(), kn.most()), (2, Some(0.0)));
    }
}
