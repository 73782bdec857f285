//! Output statistics.
//!
//! Unless said otherwise a figure is held to half of its last printed digit, and one worked
//! out from inputs that are printed as coarsely to one in it.

use crate::{count, near, source};
use springhouse::study::compare::paired::variance_ratio;
use springhouse::study::stats::*;

/// A published comparison of two systems with and without common random
/// numbers (Simulation 27(3), 1976, shows the same effect for an inventory);
/// the data are a classroom example, source not named, the answers worked out
/// again from the data with the textbook formulas (Law 2015, Simulation
/// Modeling and Analysis, ch. 10).
#[test]
fn common_luck_turns_a_wrong_sign_right() {
    source(
        "two systems on the same random numbers, a classroom example (author and year not known to us); worked out by Law 2015, Simulation Modeling and Analysis, chapter 10",
    );
    let one = [15.19, 12.13, 17.13, 17.50, 16.88, 11.97, 16.83, 18.44, 14.90, 15.15];
    let common = [16.29, 12.58, 19.35, 18.40, 18.38, 12.84, 18.00, 19.18, 16.03, 16.03];
    let apart = [15.65, 14.22, 16.17, 13.43, 15.52, 16.16, 12.67, 16.97, 11.83, 10.35];
    let paired = paired_t(&one, &common, 0.95).unwrap();
    near(paired.mean, -1.096, 5e-4);
    near(paired.half, 0.347, 5e-4);
    near(paired.variance.sqrt(), 0.485, 5e-4);
    // The same luck makes the variance of the difference 46 times smaller.
    near(variance_ratio(&one, &common, paired.variance).unwrap(), 46.0, 0.5);
    let separate = welch(&one, &apart, 0.95).unwrap();
    near(separate.mean, 1.315, 5e-4);
    near(separate.half, 2.051, 1e-3);
    near(separate.freedom, 18.0, 0.05);
    assert!(p_value(&paired, 10, 0.0) < 0.001);
    assert!(p_value(&separate, 10, 0.0) > 0.15);
}

/// Paired t on ten pairs: a classroom example, source not named; interval
/// worked out again from the data.
#[test]
fn paired_t_of_ten_pairs() {
    source(
        "ten pairs, a classroom example (author and year not known to us); worked out by Law 2015, Simulation Modeling and Analysis, chapter 10",
    );
    let a = [55.2, 60.2, 45.6, 65.2, 43.6, 38.3, 37.5, 67.8, 88.2, 65.7];
    let b = [50.9, 55.2, 50.8, 57.8, 45.6, 27.8, 34.5, 66.9, 77.4, 46.7];
    let found = paired_t(&a, &b, 0.95).unwrap();
    near(found.mean, 5.37, 1e-9);
    near(found.half, 4.994, 1e-3);
    near(found.interval().unwrap()[0], 0.376, 1e-3);
    near(found.interval().unwrap()[1], 10.364, 1e-3);
}

/// Law, Simulation Modeling and Analysis (2015), ch. 10: two inventory
/// policies, five replications (differences from memory).
#[test]
fn inventory_policies_at_90_percent() {
    source("Law 2015, Simulation Modeling and Analysis, chapter 10 (from memory)");
    let found = mean_interval(&[8.76, 4.09, 4.23, -0.02, 7.83], 0.90);
    near(found.mean, 4.978, 1e-9);
    near(found.variance / 5.0, 2.438, 5e-4);
    near(found.half, 3.329, 1e-3);
}

/// Law, Simulation Modeling and Analysis (2015), ch. 9: ten replications of a
/// bank. The tenth of the parts is from memory.
const BANK: [f64; 10] = [1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60];

#[test]
fn bank_delays_at_90_percent() {
    source("Law 2015, Simulation Modeling and Analysis, chapter 9");
    let found = mean_interval(&BANK, 0.90);
    near(found.mean, 2.031, 1e-9);
    near(found.variance, 0.309, 5e-4);
    near(found.half, 0.322, 5e-4);
    let parts = [0.917, 0.916, 0.952, 0.822, 0.840, 0.866, 0.783, 0.782, 0.873, 0.779];
    let found = mean_interval(&parts, 0.90);
    near(found.mean, 0.853, 5e-4);
    near(found.half, 0.036, 5e-4);
}

/// Law (2015), ch. 9: how many replications the bank needs for an absolute and
/// for a relative precision, at 90 %.
#[test]
fn replications_for_a_precision() {
    source("Law 2015, Simulation Modeling and Analysis, chapter 9");
    let found = mean_interval(&BANK, 0.90);
    count(trials_for_half_width(found.variance, 10, 0.25, 0.90, 10_000).unwrap(), 16);
    count(trials_for_relative(&found, 10, 0.10, 0.90, 10_000).unwrap(), 27);
    assert_eq!(trials_for_half_width(found.variance, 10, 0.0, 0.90, 10_000), None);
}

/// Student's t: 97.5 % points 12.706, 2.228, 2.042 and 1.980 for 1, 10, 30 and
/// 120 degrees of freedom (Student's table, from memory), and the normal limit.
#[test]
fn student_quantiles() {
    source("Student's table (from memory)");
    for (freedom, told) in [(1.0, 12.706), (10.0, 2.228), (30.0, 2.042), (120.0, 1.980)] {
        near(t_two_sided(0.95, freedom), told, 6e-4);
    }
    let z = z_two_sided(0.95);
    near(z, 1.959_963_984_540_054, 1e-9);
    // Cornish-Fisher: t is z + (z³ + z)/(4 ν) for many degrees of freedom.
    for freedom in [999.0, 9_999.0, 99_999.0, 199_999.0] {
        near(t_two_sided(0.95, freedom), z + (z.powi(3) + z) / (4.0 * freedom), 1e-5);
    }
}

/// Ranks that enclose a median: n = 10, 17 and 20 (tables for the median by
/// order statistics, as in Conover 1999, Practical Nonparametric Statistics),
/// coverage worked out from the binomial distribution; n = 35 is one binomial
/// sum worked out exactly.
#[test]
fn ranks_about_a_median() {
    source("Conover 1999, Practical Nonparametric Statistics; worked out from the binomial distribution");
    for (n, low, high, told) in [(20, 6, 15, 0.959), (10, 2, 9, 0.979), (17, 5, 13, 0.951)] {
        let found = quantile_ranks(n, 0.5, 0.95).unwrap();
        assert_eq!((found.low, found.high), (low, high), "n = {n}");
        near(found.coverage, told, 5e-4);
    }
    near(rank_coverage(35, 0.5, 17, 19), 0.264_121, 1e-6);
}

/// Ranks about a 5th percentile, and 59 runs to see the 95th percentile below
/// the greatest with 95 % (worked out from the binomial distribution).
#[test]
fn ranks_about_a_fifth_percentile() {
    source("worked out from the binomial distribution");
    for (n, low, high, told) in [(100, 1, 10, 0.9659), (500, 16, 36, 0.9605), (1000, 37, 64, 0.9504)] {
        near(rank_coverage(n, 0.05, low, high), told, 5e-5);
        let found = quantile_ranks(n, 0.05, 0.95).unwrap();
        assert!(found.coverage >= 0.95 && found.high - found.low <= high - low, "{found:?}");
    }
    let least = |covers: &dyn Fn(u32) -> f64| (2..1000).find(|n| covers(*n) >= 0.95).expect("some n");
    count(least(&|n| rank_coverage(n as usize, 0.95, 0, n as usize)), 59);
    // The least and the greatest of 93 hold 95 % of all between them with 95 %: all but
    // two or more of n are within a part of 95 %.
    count(least(&|n| rank_coverage(n as usize, 0.95, 0, n as usize - 1)), 93);
    // Too few values for 95 %: the extremes, and what they cover.
    let few = quantile_ranks(5, 0.5, 0.95).unwrap();
    assert_eq!((few.low, few.high), (1, 5));
    near(few.coverage, 1.0 - 2.0 / 32.0, 1e-12);
}

/// Wilson at z = 1.96: values as computed by a public statistics library from
/// Wilson's formula (Wilson 1927, Journal of the American Statistical
/// Association 22:209).
#[test]
fn wilson_to_eight_places() {
    source(
        "Wilson 1927, Journal of the American Statistical Association 22:209, as computed by a public library",
    );
    for (k, n, low, high) in [
        (10, 100, 0.055_228_54, 0.174_367_30),
        (90, 100, 0.825_632_70, 0.944_771_46),
        (1, 11, 0.016_231_75, 0.377_364_63),
        (25, 100, 0.175_450_94, 0.343_046_47),
        (0, 1, 0.0, 0.793_456_71),
    ] {
        let [l, h] = wilson(k, n, 1.96);
        near(l, low, 1e-7);
        near(h, high, 1e-7);
    }
}

/// Newcombe 1998, Two-sided confidence intervals for the single proportion,
/// Statistics in Medicine 17:857 (from memory, worked out again).
#[test]
fn wilson_of_newcombe() {
    source("Newcombe 1998, Statistics in Medicine 17:857 (from memory)");
    for (k, n, low, high) in
        [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
    {
        let [l, h] = wilson95(k, n);
        near(l, low, 5e-5);
        near(h, high, 5e-5);
    }
}

/// How many of n must be kept before Wilson's lower end reaches 95 % (worked
/// out from Wilson's formula).
#[test]
fn proof_of_nineteen_in_twenty() {
    source("worked out from Wilson's formula");
    for (k, n) in [(485, 500), (964, 1000), (1920, 2000)] {
        count((0..=n).find(|k| wilson95(*k, n)[0] >= 0.95).expect("some are enough"), k);
    }
    count((1..200).find(|n| wilson95(*n, *n)[0] >= 0.95).expect("some are enough"), 73);
    // Half a width of 0.01 about 95 %: 1,838 by the formula, which knows parts of a run;
    // between two whole counts the width is as good as straight.
    let half = |n: u32| {
        let kept = 0.95 * f64::from(n);
        let at = |k: f64| {
            let [l, h] = wilson95(k as u32, n);
            (h - l) / 2.0
        };
        let part = kept.fract();
        at(kept.floor()) * (1.0 - part) + at(kept.ceil()) * part
    };
    count((1000..3000).find(|n| half(*n) <= 0.01).expect("some are enough"), 1838);
}

/// The closed form of how many trials would tell against the interval itself.
#[test]
fn trials_to_tell_against_wilson() {
    source("worked out from Wilson's formula");
    // z²·w·(1 − w)/(f − w)² at z = 1.96: 1824.8, 202.7 and 2.2, so one more than whole.
    for (found, wanted, n) in [(0.96, 0.95, 1825.0), (0.92, 0.95, 203.0), (0.5, 0.9, 3.0)] {
        near(trials_to_tell(found, wanted, 0.95).unwrap(), n, 0.0);
    }
    // The first size above it whose met trials are a whole number is the first at which the
    // interval leaves the wanted part out.
    for (found, wanted, each, n) in [(0.96, 0.95, 25, 1825), (0.92, 0.95, 25, 225), (0.5, 0.9, 2, 4)] {
        let out = |n: u32| {
            let [l, h] = wilson95((found * f64::from(n)).round() as u32, n);
            l >= wanted || h < wanted
        };
        count((1..200).map(|i| each * i).find(|n| out(*n)).expect("some size tells"), n);
    }
    assert_eq!(trials_to_tell(0.95, 0.95, 0.95), None);
}

/// Clopper & Pearson 1934, Biometrika 26:404: with none of n kept the upper
/// end is 1 − α^(1/n); and 59 of 59 prove 95 % at 95 % (worked out). The bound
/// must hold its own definition, a binomial tail of α.
#[test]
fn exact_bounds() {
    source("Clopper and Pearson 1934, Biometrika 26:404");
    near(exact_upper(0, 10, 0.05), 1.0 - 0.05_f64.powf(0.1), 1e-12);
    count((1..100).find(|n| exact_lower(*n, *n, 0.05) >= 0.95).expect("some"), 59);
    let bound = exact_lower(90, 100, 0.025);
    // P(at least 90 of 100) at the bound.
    let mut tail = 0.0;
    for k in 90..=100_i32 {
        let mut c = 1.0;
        for i in 0..(100 - k) {
            c *= f64::from(100 - i) / f64::from(i + 1);
        }
        tail += c * bound.powi(k) * (1.0 - bound).powi(100 - k);
    }
    near(tail, 0.025, 1e-9);
    // The two-sided 95 % interval for 90 of 100 is .8238 to .9510 (from memory).
    near(bound, 0.8238, 5e-5);
    near(exact_upper(90, 100, 0.025), 0.9510, 5e-5);
}

/// Nearest rank: the 5th of 100 values at 5 %, the 95th at 95 %; a 95th
/// percentile within a bound and "kept in 95 %" are the same statement.
#[test]
fn nearest_rank_and_kept_parts_agree() {
    source("worked out by counting");
    for (n, part, rank) in [(100, 0.05, 5), (100, 0.95, 95), (1, 0.05, 1), (3, 0.5, 2), (4, 0.5, 2)] {
        count(nearest_rank(n, part) as u32, rank);
    }
    for n in 1..400_usize {
        let values: Vec<f64> = (0..n).map(|i| i as f64).collect();
        let q = quantile(&values, 0.95);
        let kept = values.iter().filter(|v| **v <= q).count() as f64 / n as f64;
        let kept_below = values.iter().filter(|v| **v < q).count() as f64 / n as f64;
        assert!(kept >= 0.95 - 1e-9 && kept_below < 0.95, "n = {n}");
    }
}

/// McNemar's test: 59 lost against 16 won is clear, 9 against 8 is not, and a
/// gain is never a loss. At 95 % the square of the normal point, 3.841, divides
/// them: 10 against 3 has 49/13 = 3.77, 11 against 3 has 64/14 = 4.57 (worked
/// out from the formula).
#[test]
fn pairs_that_changed_for_the_worse() {
    source("McNemar 1947, Psychometrika 12:153; worked out from its formula");
    for (lost, won, clear) in [(59, 16, true), (9, 8, false), (16, 59, false), (0, 0, false)] {
        assert_eq!(clearly_lost(lost, won), clear, "{lost} {won}");
    }
    // Beside 3 that were won 11 lost are the fewest that tell.
    count((0..100).find(|lost| clearly_lost(*lost, 3)).expect("some"), 11);
}

#[test]
fn one_value_has_no_interval() {
    source("by definition: one value has no spread");
    count(u32::from(mean_interval(&[3.0], 0.95).interval().is_some()), 0);
    count(u32::from(mean_interval(&[], 0.95).interval().is_some()), 0);
    let [low, high] = mean_interval(&[3.0, 3.0], 0.95).interval().expect("an interval");
    near(low, 3.0, 0.0);
    near(high, 3.0, 0.0);
}
