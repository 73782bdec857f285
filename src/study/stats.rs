//! Statistics of simulated runs, as pure functions on slices.
//!
//! The unit of replication is the trial. Nothing here draws chance; special
//! functions come from `statrs`.

use statrs::distribution::{Beta, Binomial, ContinuousCDF, DiscreteCDF, Normal, StudentsT};

/// A mean with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanInterval {
    /// Arithmetic mean.
    pub mean: f64,
    /// Half-width of the two-sided interval; 0 for fewer than two values.
    pub half: f64,
    /// Unbiased variance of the values; 0 for fewer than two.
    pub variance: f64,
    /// Degrees of freedom (not whole for Welch's).
    pub freedom: f64,
}

impl MeanInterval {
    /// The interval; `None` for fewer than two values, which tell nothing of it.
    #[must_use]
    pub fn interval(&self) -> Option<[f64; 2]> {
        (self.freedom > 0.0).then_some([self.mean - self.half, self.mean + self.half])
    }

    /// Half-width over the absolute mean; infinite about a mean of 0 with a
    /// spread, 0 without one.
    #[must_use]
    pub fn relative_half(&self) -> f64 {
        if self.half == 0.0 { 0.0 } else { self.half / self.mean.abs() }
    }
}

/// Arithmetic mean and unbiased variance in two passes, in the order given;
/// (0, 0) for nothing, variance 0 for a single value.
#[must_use]
pub fn mean_variance(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    if values.is_empty() {
        return (0.0, 0.0);
    }
    let first = values[0];
    // About the first value, so that a constant has exactly no variance.
    let mean = first + values.iter().map(|v| v - first).sum::<f64>() / n;
    if values.len() < 2 {
        return (mean, 0.0);
    }
    (mean, values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0))
}

/// Quantile of Student's t for a two-sided interval at `level` (0 to 1) with
/// `freedom` degrees of freedom (> 0).
#[must_use]
pub fn t_two_sided(level: f64, freedom: f64) -> f64 {
    let p = 0.5 + 0.5 * level.clamp(0.0, 1.0 - 1e-12);
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::INFINITY, |t| t.inverse_cdf(p))
}

/// Quantile of the standard normal for a two-sided interval at `level`.
#[must_use]
pub fn z_two_sided(level: f64) -> f64 {
    Normal::standard().inverse_cdf(0.5 + 0.5 * level.clamp(0.0, 1.0 - 1e-12))
}

/// Mean with Student's interval at `level`: mean ± t · √(S²/n), n − 1 degrees
/// of freedom (Student 1908, The probable error of a mean, Biometrika 6).
#[must_use]
pub fn mean_interval(values: &[f64], level: f64) -> MeanInterval {
    let (mean, variance) = mean_variance(values);
    let n = values.len() as f64;
    let freedom = (n - 1.0).max(0.0);
    let half = if variance > 0.0 { t_two_sided(level, freedom) * (variance / n).sqrt() } else { 0.0 };
    MeanInterval { mean, half, variance, freedom }
}

/// Paired t: the interval of the mean difference `a − b`, trial by trial on the
/// same luck. `None` if the lengths differ or there are fewer than two.
#[must_use]
pub fn paired_t(a: &[f64], b: &[f64], level: f64) -> Option<MeanInterval> {
    if a.len() != b.len() || a.len() < 2 {
        return None;
    }
    let differences: Vec<f64> = a.iter().zip(b).map(|(x, y)| x - y).collect();
    Some(mean_interval(&differences, level))
}

/// Welch's interval of the difference of two means from separate luck (Welch
/// 1947, Biometrika 34). `variance` is that of the difference times the
/// smaller n. `None` for fewer than two values on either side.
#[must_use]
pub fn welch(a: &[f64], b: &[f64], level: f64) -> Option<MeanInterval> {
    if a.len() < 2 || b.len() < 2 {
        return None;
    }
    let ((ma, va), (mb, vb)) = (mean_variance(a), mean_variance(b));
    let (na, nb) = (a.len() as f64, b.len() as f64);
    let (sa, sb) = (va / na, vb / nb);
    let square = sa + sb;
    if square <= 0.0 {
        return Some(MeanInterval { mean: ma - mb, half: 0.0, variance: 0.0, freedom: na + nb - 2.0 });
    }
    let freedom = square * square / (sa * sa / (na - 1.0) + sb * sb / (nb - 1.0));
    let half = t_two_sided(level, freedom) * square.sqrt();
    Some(MeanInterval { mean: ma - mb, half, variance: square * na.min(nb), freedom })
}

/// Two-sided p-value of a mean being `about`; 1 where the mean has no spread
/// and equals it, 0 where it has none and does not.
#[must_use]
pub fn p_value(found: &MeanInterval, n: usize, about: f64) -> f64 {
    let error = (found.variance / n.max(1) as f64).sqrt();
    let away = (found.mean - about).abs();
    if error <= 0.0 {
        return if away == 0.0 { 1.0 } else { 0.0 };
    }
    StudentsT::new(0.0, 1.0, found.freedom).map_or(1.0, |t| (2.0 * t.sf(away / error)).min(1.0))
}

/// Fewest trials n ≥ `n0` with t(n−1) · √(S²/n) ≤ `half` (absolute precision;
/// Law 2015, Simulation Modeling and Analysis, ch. 9). `None` beyond `most`.
#[must_use]
pub fn trials_for_half_width(variance: f64, n0: u32, half: f64, level: f64, most: u32) -> Option<u32> {
    let reaches = |n: u32| {
        t_two_sided(level, f64::from(n) - 1.0) * (variance / f64::from(n)).sqrt() <= half * (1.0 + 1e-9)
    };
    let (mut low, mut high) = (n0.max(2), most);
    if low > high || !reaches(high) {
        return None;
    }
    while low < high {
        let middle = low + (high - low) / 2;
        if reaches(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Some(low)
}

/// The same for a relative precision `gamma`: the half-width aimed at is
/// γ/(1+γ) · |mean|, because the mean itself is an estimate (Law 2015, ch. 9).
#[must_use]
pub fn trials_for_relative(found: &MeanInterval, n0: u32, gamma: f64, level: f64, most: u32) -> Option<u32> {
    trials_for_half_width(found.variance, n0, gamma / (1.0 + gamma) * found.mean.abs(), level, most)
}

/// Did pairs on the same luck change for the worse, with 95 % confidence:
/// `lost` of them were good and are no longer, `won` the other way round; the
/// others say nothing (McNemar 1947, Psychometrika 12; the two-sided normal
/// form without a correction).
#[must_use]
pub fn clearly_lost(lost: u32, won: u32) -> bool {
    let (lost, won) = (f64::from(lost), f64::from(won));
    lost > won && (lost - won) / (lost + won).sqrt() > z_two_sided(0.95)
}

/// Rank (from 1) of the nearest-rank quantile: the least k with k ≥ p · n,
/// with a relative slack of 1e-9 against binary fractions.
#[must_use]
pub fn nearest_rank(n: usize, p: f64) -> usize {
    ((p * n as f64 * (1.0 - 1e-9)).ceil() as usize).clamp(1, n.max(1))
}

/// Nearest-rank quantile of sorted values; 0 for nothing.
#[must_use]
pub fn quantile(sorted: &[f64], p: f64) -> f64 {
    sorted.get(nearest_rank(sorted.len(), p) - 1).copied().unwrap_or(0.0)
}

/// Ranks (from 1) whose values enclose a quantile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RankInterval {
    /// Lower rank.
    pub low: usize,
    /// Upper rank.
    pub high: usize,
    /// Probability that they enclose it.
    pub coverage: f64,
}

/// Probability that the values of ranks `low` and `high` enclose the p-quantile
/// of a continuous distribution: B(high − 1; n, p) − B(low − 1; n, p) with B
/// the binomial distribution function (Conover 1999, Practical Nonparametric
/// Statistics, ch. 3; from memory). Rank 0 is −∞, rank n + 1 is +∞.
#[must_use]
pub fn rank_coverage(n: usize, p: f64, low: usize, high: usize) -> f64 {
    let Ok(binomial) = Binomial::new(p, n as u64) else { return 0.0 };
    let below = |rank: usize| if rank == 0 { 0.0 } else { binomial.cdf(rank as u64 - 1) };
    below(high) - below(low)
}

/// The closest pair of ranks that encloses the p-quantile with at least
/// `level`; of several, the one with the greatest coverage. It depends on n and
/// p alone, never on the values. Where even the extremes do not reach `level`
/// it is the extremes with the coverage they have; `None` for no values.
#[must_use]
pub fn quantile_ranks(n: usize, p: f64, level: f64) -> Option<RankInterval> {
    if n == 0 {
        return None;
    }
    let binomial = Binomial::new(p, n as u64).ok()?;
    let whole = RankInterval { low: 1, high: n, coverage: rank_coverage(n, p, 1, n) };
    // Nine standard deviations hold all but 1e-18 of the probability.
    let (middle, reach) = (p * n as f64, 9.0 * (n as f64 * p * (1.0 - p)).sqrt() + 2.0);
    let first = (middle - reach).floor().max(0.0) as usize;
    let last = ((middle + reach).ceil() as usize).min(n);
    // below[i]: probability that fewer than first + i values lie below.
    let below: Vec<f64> =
        (first..=last).map(|rank| if rank == 0 { 0.0 } else { binomial.cdf(rank as u64 - 1) }).collect();
    let mut best: Option<RankInterval> = None;
    let mut j = 0;
    for i in usize::from(first == 0)..below.len() {
        j = j.max(i);
        while j < below.len() && below[j] - below[i] < level {
            j += 1;
        }
        if j == below.len() {
            break;
        }
        let found = RankInterval { low: first + i, high: first + j, coverage: below[j] - below[i] };
        let better = best.is_none_or(|b| {
            let (new, old) = (found.high - found.low, b.high - b.low);
            new < old || (new == old && found.coverage > b.coverage)
        });
        if better {
            best = Some(found);
        }
    }
    Some(best.unwrap_or(whole))
}

/// Wilson's interval of a part `k` of `n` at `z` standard deviations (Wilson
/// 1927, Journal of the American Statistical Association 22). \[0, 1\] for n = 0.
#[must_use]
pub fn wilson(k: u32, n: u32, z: f64) -> [f64; 2] {
    if n == 0 {
        return [0.0, 1.0];
    }
    let (k, n) = (f64::from(k), f64::from(n));
    let z2 = z * z;
    let middle = (k + z2 / 2.0) / (n + z2);
    let half = z / (n + z2) * (k * (n - k) / n + z2 / 4.0).sqrt();
    let low = if k == 0.0 { 0.0 } else { (middle - half).max(0.0) };
    let high = if k == n { 1.0 } else { (middle + half).min(1.0) };
    [low, high]
}

/// Wilson's interval at 95 %.
#[must_use]
pub fn wilson95(k: u32, n: u32) -> [f64; 2] {
    wilson(k, n, z_two_sided(0.95))
}

/// Trials in all at which Wilson's interval about a part `found` would leave
/// `wanted` out: it does so exactly when (found − wanted)² > z² · wanted ·
/// (1 − wanted) / n, since it inverts the score test. `None` where they agree.
#[must_use]
pub fn trials_to_tell(found: f64, wanted: f64, level: f64) -> Option<f64> {
    let away = (found - wanted).abs();
    if away <= 1e-9 {
        return None;
    }
    let z = z_two_sided(level);
    Some((z * z * wanted * (1.0 - wanted) / (away * away)).floor() + 1.0)
}

/// One-sided exact lower bound of a part `k` of `n` at confidence 1 − `alpha`
/// (Clopper & Pearson 1934, Biometrika 26).
#[must_use]
pub fn exact_lower(k: u32, n: u32, alpha: f64) -> f64 {
    if k == 0 || n == 0 {
        return 0.0;
    }
    let (k, n) = (f64::from(k.min(n)), f64::from(n));
    if k == n {
        return alpha.clamp(0.0, 1.0).powf(1.0 / n);
    }
    Beta::new(k, n - k + 1.0).map_or(0.0, |b| bisect_cdf(&b, alpha))
}

/// One-sided exact upper bound of a part `k` of `n` at confidence 1 − `alpha`.
#[must_use]
pub fn exact_upper(k: u32, n: u32, alpha: f64) -> f64 {
    1.0 - exact_lower(n.saturating_sub(k), n, alpha)
}

/// Inverse of a distribution function on \[0, 1\] by bisection: slower than a
/// Newton step, but it cannot run away for tail probabilities.
fn bisect_cdf(beta: &Beta, p: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if beta.cdf(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
