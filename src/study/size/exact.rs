//! Exact one-sided tests of a part of trials, and how many trials they need.

use statrs::distribution::{Binomial, DiscreteCDF};

/// Is a part of at least `wanted` shown at doubt `alpha`: the exact lower bound
/// of `k` of `n` (Clopper and Pearson) reaches it. The same as P(X ≥ k) ≤ α with
/// X binomial of `n` and `wanted`.
pub fn shows_enough(k: u32, n: u32, wanted: f64, alpha: f64) -> bool {
    k > 0 && Binomial::new(wanted, u64::from(n)).is_ok_and(|b| b.sf(u64::from(k) - 1) <= alpha)
}

/// Is a part below `wanted` shown at doubt `alpha`: the exact upper bound lies
/// below it. The same as P(X ≤ k) ≤ α.
pub fn shows_fewer(k: u32, n: u32, wanted: f64, alpha: f64) -> bool {
    n > 0 && Binomial::new(wanted, u64::from(n)).is_ok_and(|b| b.cdf(u64::from(k)) <= alpha)
}

/// Fewest of `n` that show `wanted` at doubt `alpha`; `None` if not even all do.
pub fn fewest_that_show(n: u32, wanted: f64, alpha: f64) -> Option<u32> {
    if !shows_enough(n, n, wanted, alpha) {
        return None;
    }
    let (mut low, mut high) = (0, n);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if shows_enough(middle, n, wanted, alpha) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// Chance that a part `p` shows `wanted` in `n` trials at doubt `alpha`.
pub fn power(p: f64, n: u32, wanted: f64, alpha: f64) -> f64 {
    let Some(k) = fewest_that_show(n, wanted, alpha) else { return 0.0 };
    Binomial::new(p.clamp(0.0, 1.0), u64::from(n)).map_or(0.0, |b| b.sf(u64::from(k.max(1)) - 1))
}

/// Sizes of a block of fresh trials, about √2 apart.
pub const BLOCKS: [u32; 17] = [
    500, 750, 1_000, 1_500, 2_000, 3_000, 4_000, 6_000, 8_000, 12_000, 16_000, 24_000, 32_000, 48_000,
    64_000, 96_000, 128_000,
];

/// Least block of at most `most` trials in which parts found as `kept` of
/// `trials` show what is wanted with nine chances in ten. Half a standard error
/// is taken off what was found: it was chosen because it looks good.
pub fn block(kept: &[u32], trials: u32, wanted: &[f64], alpha: f64, most: u32) -> Option<u32> {
    let n = f64::from(trials.max(1));
    let parts: Vec<f64> = kept
        .iter()
        .map(|k| {
            let p = (f64::from(*k) + 0.5) / (n + 1.0);
            p - 0.5 * (p * (1.0 - p) / n).sqrt()
        })
        .collect();
    let each = alpha / wanted.len().max(1) as f64;
    BLOCKS.into_iter().take_while(|n| *n <= most).find(|n| {
        let missed: f64 = parts.iter().zip(wanted).map(|(p, w)| 1.0 - power(*p, *n, *w, each)).sum();
        missed <= 0.1
    })
}

/// Most of `n` that show fewer than `wanted` at doubt `alpha`; `None` if not even
/// none does.
fn most_that_show_fewer(n: u32, wanted: f64, alpha: f64) -> Option<u32> {
    if !shows_fewer(0, n, wanted, alpha) {
        return None;
    }
    let (mut low, mut high) = (0, n + 1);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if shows_fewer(middle, n, wanted, alpha) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

/// Least block of at most `most` trials in which one of the parts found as `kept`
/// of `trials` shows that less than is wanted keeps it, with nine chances in ten.
/// Half a standard error is added to what was found.
pub fn block_that_refuses(kept: &[u32], trials: u32, wanted: &[f64], alpha: f64, most: u32) -> Option<u32> {
    let n = f64::from(trials.max(1));
    let each = alpha / wanted.len().max(1) as f64;
    let shows = |k: u32, w: f64, n_new: u32| {
        let p = (f64::from(k) + 0.5) / (n + 1.0);
        let p = (p + 0.5 * (p * (1.0 - p) / n).sqrt()).min(1.0);
        let Some(most) = most_that_show_fewer(n_new, w, each) else { return 0.0 };
        Binomial::new(p, u64::from(n_new)).map_or(0.0, |b| b.cdf(u64::from(most)))
    };
    std::iter::once(250)
        .chain(BLOCKS)
        .take_while(|n| *n <= most)
        .find(|n| kept.iter().zip(wanted).any(|(k, w)| shows(*k, *w, *n) >= 0.9))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::stats::{exact_lower, exact_upper};

    /// The tests and the bounds are one thing.
    #[test]
    fn tests_are_the_bounds_turned_round() {
        for n in [1, 10, 64, 500] {
            for k in 0..=n {
                for (wanted, alpha) in [(0.9, 0.05), (0.5, 0.001), (0.95, 0.2)] {
                    let (low, high) = (exact_lower(k, n, alpha), exact_upper(k, n, alpha));
                    // Within the last digits of the bisection either may be.
                    if (low - wanted).abs() > 1e-9 {
                        assert_eq!(shows_enough(k, n, wanted, alpha), low > wanted, "{k} of {n}");
                    }
                    if (high - wanted).abs() > 1e-9 {
                        assert_eq!(shows_fewer(k, n, wanted, alpha), high < wanted, "{k} of {n}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_fewest_is_the_fewest() {
        for n in [10, 59, 500] {
            let Some(k) = fewest_that_show(n, 0.9, 0.05) else {
                assert!(n < 29, "0.9^29 is below 0.05");
                continue;
            };
            assert!(shows_enough(k, n, 0.9, 0.05) && !shows_enough(k - 1, n, 0.9, 0.05));
        }
        // 0.95^58 = 0.051, 0.95^59 = 0.0485: the well-known 59 without a miss.
        assert_eq!(fewest_that_show(58, 0.95, 0.05), None);
        assert_eq!(fewest_that_show(59, 0.95, 0.05), Some(59));
    }

    #[test]
    fn a_block_has_the_power_it_is_chosen_for() {
        let n = block(&[970], 1000, &[0.95], 0.0125, 100_000).unwrap();
        assert!(power(0.97, n, 0.95, 0.0125) >= 0.9, "{n}");
        assert_eq!(block(&[950], 1000, &[0.95], 0.0125, 100_000), None);
        assert_eq!(block(&[970], 1000, &[0.95], 0.0125, 499), None);
        // The more aims, the more trials.
        assert!(block(&[970; 6], 1000, &[0.95; 6], 0.0125, 100_000).unwrap() > n);
    }

    #[test]
    fn a_block_that_refuses_has_its_power_too() {
        // 90 of 100 wanted, 870 of 1,000 found.
        let n = block_that_refuses(&[870], 1000, &[0.9], 0.0125, 100_000).unwrap();
        let most = most_that_show_fewer(n, 0.9, 0.0125).unwrap();
        assert!(shows_fewer(most, n, 0.9, 0.0125) && !shows_fewer(most + 1, n, 0.9, 0.0125));
        let refused = Binomial::new(0.87, u64::from(n)).unwrap().cdf(u64::from(most));
        assert!(refused >= 0.9, "{n}: {refused}");
        // One aim that is missed is enough; none that is kept refuses anything.
        assert_eq!(block_that_refuses(&[990, 500], 1000, &[0.9, 0.9], 0.0125, 100_000), Some(250));
        assert_eq!(block_that_refuses(&[950], 1000, &[0.9], 0.0125, 100_000), None);
        assert_eq!(block_that_refuses(&[500], 1000, &[0.9], 0.0125, 249), None);
    }
}
