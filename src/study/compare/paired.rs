//! Statistics of pairs on the same luck, as pure functions on slices.

use super::super::stats::{MeanInterval, mean_variance, nearest_rank, z_two_sided};
use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};
use rayon::prelude::*;
use statrs::distribution::{Binomial, ContinuousCDF, DiscreteCDF, StudentsT};

/// Most resamples of a bootstrap.
pub const RESAMPLES: u32 = 1000;
/// Fewest; between them so many that trials × resamples stay under [`DRAWS`].
const FEWEST_RESAMPLES: u32 = 200;
const DRAWS: u64 = 20_000_000;
/// What is the same in every pair seen may differ in no more than this part of all.
pub(super) const A_FEW: f64 = 0.03;
/// Seed of the bootstrap: it belongs to the method, not to the scenario.
const BOOTSTRAP_SEED: u64 = 0x0062_6f6f_7473;
/// Quantiles that are bootstrapped.
pub const TAILS: [f64; 4] = [0.05, 0.10, 0.90, 0.95];

/// How trials stand against each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Trials in which the second is higher.
    pub higher: u32,
    /// Trials in which they are alike.
    pub alike: u32,
    /// Trials in which the second is lower.
    pub lower: u32,
}

/// Counts trials in which `b` is higher or lower than `a` by more than
/// `margin`; what differs by a billionth of itself at most is alike.
#[must_use]
pub fn counts(a: &[f64], b: &[f64], margin: f64) -> Counts {
    let mut found = Counts::default();
    for (x, y) in a.iter().zip(b) {
        let slack = margin.max(1e-9 * x.abs().max(y.abs()));
        if y - x > slack {
            found.higher += 1;
        } else if x - y > slack {
            found.lower += 1;
        } else {
            found.alike += 1;
        }
    }
    found
}

/// Exact two-sided p-value of McNemar's test: `lost` pairs were good and are no
/// longer, `won` the other way round; under the null each of them fell either
/// way by a fair coin (binomial; McNemar 1947, Psychometrika 12:153, in the
/// exact form). 1 where nothing changed.
#[must_use]
pub fn exact_mcnemar(lost: u32, won: u32) -> f64 {
    let n = u64::from(lost) + u64::from(won);
    let Ok(coin) = Binomial::new(0.5, n) else { return 1.0 };
    if n == 0 {
        return 1.0;
    }
    (2.0 * coin.cdf(u64::from(lost.min(won)))).min(1.0)
}

/// p-values adjusted for their number by Holm's step-down rule (Holm 1979,
/// Scandinavian Journal of Statistics 6:65), in the order given: those at or
/// under α may be called false with a chance of at most α that any of them is
/// true.
#[must_use]
pub fn holm(p: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]).then(a.cmp(b)));
    let (mut adjusted, mut least) = (vec![1.0; p.len()], 0.0_f64);
    for (step, at) in order.into_iter().enumerate() {
        least = least.max(p[at] * (p.len() - step) as f64).min(1.0);
        adjusted[at] = least;
    }
    adjusted
}

/// p-value of the claim that a mean lies within ± `margin`: the larger of two
/// one-sided tests (Schuirmann 1987, Journal of Pharmacokinetics and
/// Biopharmaceutics 15:657). Where no pair differs from another, so many pairs show
/// that few do: the chance of meeting none of `n` if 3 of 100 did (0.97ⁿ).
#[must_use]
pub fn p_within(found: &MeanInterval, n: usize, margin: f64) -> f64 {
    let error = (found.variance / n.max(1) as f64).sqrt();
    let room = margin - found.mean.abs();
    if error <= 0.0 {
        return if room <= 0.0 && found.mean != 0.0 { 1.0 } else { (1.0 - A_FEW).powf(n as f64) };
    }
    StudentsT::new(0.0, 1.0, found.freedom).map_or(1.0, |t| t.sf(room / error))
}

/// Interval of the difference of two parts of the same `n` pairs, of which
/// `won` changed for the better and `lost` for the worse: Wald's after half a
/// pair is added to each of the four cells (Agresti and Min 2005, Statistics in
/// Medicine 24:729), which holds its level where little changed.
#[must_use]
pub fn part_interval(won: u32, lost: u32, n: u32, level: f64) -> [f64; 2] {
    let (won, lost, n) = (f64::from(won) + 0.5, f64::from(lost) + 0.5, f64::from(n) + 2.0);
    let middle = (won - lost) / n;
    let half = z_two_sided(level) * ((won + lost) - (won - lost) * (won - lost) / n).max(0.0).sqrt() / n;
    [(middle - half).max(-1.0), (middle + half).min(1.0)]
}

/// Variance of the difference of two separate trials over that of a pair: so
/// many times more trials would give the same interval on separate luck.
/// `None` where the pairs do not vary.
#[must_use]
pub fn variance_ratio(a: &[f64], b: &[f64], paired: f64) -> Option<f64> {
    (paired > 0.0).then(|| (mean_variance(a).1 + mean_variance(b).1) / paired)
}

/// Resamples for so many trials.
#[must_use]
pub fn resamples(trials: usize) -> u32 {
    let fit = DRAWS / (trials.max(1) as u64);
    u32::try_from(fit).unwrap_or(RESAMPLES).clamp(FEWEST_RESAMPLES, RESAMPLES)
}

/// Two columns of the same trials.
#[derive(Clone, Copy, Debug)]
pub struct Columns<'a> {
    /// The first.
    pub a: &'a [f64],
    /// The second.
    pub b: &'a [f64],
}

/// Paired bootstrap: whole trials are drawn with replacement, both columns from
/// the same ones, and each of [`TAILS`] of `b` less that of `a` is read; 95 %
/// of what was read lies within the interval (percentile interval, Efron and
/// Tibshirani 1993, An Introduction to the Bootstrap, chapter 13). The same for
/// any number of threads. Columns must be of one length.
#[must_use]
pub fn bootstrap(pool: &rayon::ThreadPool, pairs: &[Columns]) -> Vec<[[f64; 2]; 4]> {
    let n = pairs.first().map_or(0, |p| p.a.len());
    if n == 0 {
        return vec![[[0.0; 2]; 4]; pairs.len()];
    }
    let sorted: Vec<[Sorted; 2]> = pairs.iter().map(|p| [Sorted::new(p.a), Sorted::new(p.b)]).collect();
    let times = resamples(n);
    let drawn: Vec<Vec<[f64; 4]>> = pool.install(|| {
        (0..times)
            .into_par_iter()
            .map_init(
                || vec![0_u32; n],
                |count, round| {
                    count.fill(0);
                    // A stream of its own for each resample, whoever draws it.
                    let mut rng =
                        Xoshiro256PlusPlus::seed_from_u64(BOOTSTRAP_SEED ^ (u64::from(round) << 32));
                    for _ in 0..n {
                        count[rng.random_range(0..n)] += 1;
                    }
                    let each = sorted.iter().map(|[a, b]| {
                        let (a, b) = (a.tails(count), b.tails(count));
                        std::array::from_fn(|i| b[i] - a[i])
                    });
                    each.collect()
                },
            )
            .collect()
    });
    (0..pairs.len()).map(|p| std::array::from_fn(|tail| middle_of(&drawn, p, tail))).collect()
}

/// What 95 % of the resamples lie within.
fn middle_of(drawn: &[Vec<[f64; 4]>], pair: usize, tail: usize) -> [f64; 2] {
    let mut values: Vec<f64> = drawn.iter().map(|d| d[pair][tail]).collect();
    values.sort_unstable_by(f64::total_cmp);
    [0.025, 0.975].map(|p| values[nearest_rank(values.len(), p) - 1])
}

/// A column in ascending order, with the trials its values come from.
struct Sorted {
    order: Vec<u32>,
    values: Vec<f64>,
}

impl Sorted {
    fn new(column: &[f64]) -> Self {
        let mut order: Vec<u32> = (0..u32::try_from(column.len()).unwrap_or(u32::MAX)).collect();
        order.sort_by(|a, b| column[*a as usize].total_cmp(&column[*b as usize]));
        let values = order.iter().map(|i| column[*i as usize]).collect();
        Self { order, values }
    }

    /// Nearest-rank quantiles of a resample, from the near end each.
    fn tails(&self, count: &[u32]) -> [f64; 4] {
        let n = self.order.len();
        let ranks = TAILS.map(|p| nearest_rank(n, p));
        let low = self.walk(0..n, count, [ranks[0], ranks[1]]);
        let high = self.walk((0..n).rev(), count, [n + 1 - ranks[3], n + 1 - ranks[2]]);
        [low[0], low[1], high[1], high[0]]
    }

    /// Values of two ascending ranks on a way through the column.
    fn walk(&self, way: impl Iterator<Item = usize>, count: &[u32], ranks: [usize; 2]) -> [f64; 2] {
        let (mut passed, mut found, mut next) = (0_usize, [0.0; 2], 0);
        for at in way {
            passed += count[self.order[at] as usize] as usize;
            while next < 2 && passed >= ranks[next] {
                found[next] = self.values[at];
                next += 1;
            }
            if next == 2 {
                break;
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pool(threads: usize) -> rayon::ThreadPool {
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap()
    }

    #[test]
    fn counts_of_pairs() {
        let (a, b) = ([1.0, 2.0, 3.0, 4.0, 5.0], [1.0, 2.0 + 1e-12, 3.5, 3.0, 8.0]);
        assert_eq!(counts(&a, &b, 0.0), Counts { higher: 2, alike: 2, lower: 1 });
        assert_eq!(counts(&a, &b, 0.5), Counts { higher: 1, alike: 3, lower: 1 });
        assert_eq!(counts(&a, &a, 0.0), Counts { higher: 0, alike: 5, lower: 0 });
    }

    /// The quantiles read from counts are those of the resample written out.
    #[test]
    fn tails_of_a_resample() {
        let column: Vec<f64> = (0..97).map(|i| f64::from((i * 37) % 97)).collect();
        let sorted = Sorted::new(&column);
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(1);
        for _ in 0..50 {
            let (mut count, mut written) = (vec![0_u32; 97], Vec::new());
            for _ in 0..97 {
                let i = rng.random_range(0..97_usize);
                count[i] += 1;
                written.push(column[i]);
            }
            written.sort_by(f64::total_cmp);
            assert_eq!(sorted.tails(&count), TAILS.map(|p| written[nearest_rank(97, p) - 1]));
        }
    }

    #[test]
    fn the_bootstrap_is_the_same_for_any_threads() {
        let a: Vec<f64> = (0..400).map(|i| f64::from((i * 7919) % 400)).collect();
        let b: Vec<f64> = a.iter().map(|v| v * 1.1 + (v * 13.7).sin()).collect();
        let pairs = [Columns { a: &a, b: &b }, Columns { a: &b, b: &a }, Columns { a: &a, b: &a }];
        let one = bootstrap(&pool(1), &pairs);
        for threads in [2, 5] {
            assert_eq!(bootstrap(&pool(threads), &pairs), one);
        }
        // The 90 % quantile is 10 % higher, near 36 of 400; turned round, less.
        let [low, high] = one[0][2];
        assert!((30.0..36.0).contains(&low) && (36.0..42.0).contains(&high), "{low} {high}");
        assert_eq!(one[1][2], [-high, -low]);
        assert_eq!(one[2], [[0.0; 2]; 4]);
    }

    #[test]
    fn a_margin_without_spread() {
        let same = MeanInterval { mean: 0.0, half: 0.0, variance: 0.0, freedom: 9.0 };
        // Ten alike tell little: 0.97^10. A hundred are enough by themselves.
        assert!((p_within(&same, 10, 0.5) - 0.737_424).abs() < 1e-6);
        assert!(p_within(&same, 98, 0.0) > 0.05 && p_within(&same, 99, 0.0) < 0.05);
        let off = MeanInterval { mean: -0.6, ..same };
        assert_eq!((p_within(&off, 10, 0.5), p_within(&off, 100, 0.7) < 0.05), (1.0, true));
    }
}
