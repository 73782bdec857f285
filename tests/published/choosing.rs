//! Choices set side by side.

use crate::{count, near, source};
use springhouse::study::compare::paired::{exact_mcnemar, holm, p_within, part_interval, variance_ratio};
use springhouse::study::compare::select::{kn_eta, kn_h2, kn_most, kn_reach, rinott_h};
use springhouse::study::stats::{mean_interval, p_value, paired_t};

/// Extra hours of sleep of ten patients after two drugs (Student 1908, The
/// probable error of a mean, Biometrika 6:1; the data ship with R as `sleep`).
const FIRST: [f64; 10] = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
const SECOND: [f64; 10] = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

/// R's paired t test of them: t = 4.0621 with 9 degrees of freedom, p =
/// 0.002833, 95 % interval 0.7001142 to 2.4598858.
#[test]
fn student_s_own_pairs() {
    source("Student 1908, Biometrika 6:1, data set `sleep` of R and R's paired t test of it");
    let found = paired_t(&SECOND, &FIRST, 0.95).unwrap();
    near(found.mean, 1.58, 1e-12);
    near(found.mean / (found.variance / 10.0).sqrt(), 4.0621, 5e-5);
    near(found.freedom, 9.0, 0.0);
    let [low, high] = found.interval().unwrap();
    near(low, 0.700_114_2, 5e-8);
    near(high, 2.459_885_8, 5e-8);
    near(p_value(&found, 10, 0.0), 0.002_833, 5e-7);
}

/// Two separate groups of the same figures vary more: R's Welch test has a
/// standard error of 0.849 against 0.389 of the pairs, so 4.77 times the pairs'
/// variance (worked out from the variances 3.2006 and 4.0090 of the two groups
/// and 1.5129 of the differences).
#[test]
fn what_pairs_are_worth() {
    source("Student 1908, Biometrika 6:1; worked out from its variances");
    let paired = paired_t(&SECOND, &FIRST, 0.95).unwrap();
    near(variance_ratio(&FIRST, &SECOND, paired.variance).unwrap(), (3.2006 + 4.0090) / 1.5129, 5e-4);
    assert_eq!(variance_ratio(&FIRST, &FIRST, 0.0), None);
}

/// The claim that the drugs differ by less than 3 hours: t = (3 − 1.58)/0.38896
/// = 3.651 with 9 degrees of freedom. Student's table has 3.250 at 0.005 and
/// 4.297 at 0.001 (one tail, from memory).
#[test]
fn within_a_margin() {
    source("Schuirmann 1987, two one-sided tests; Student's table (from memory)");
    let found = paired_t(&SECOND, &FIRST, 0.95).unwrap();
    let p = p_within(&found, 10, 3.0);
    assert!((0.001..0.005).contains(&p), "{p}");
    // At the end of the 90 % interval the claim is just made at 5 %.
    let ninety = mean_interval(&SECOND.iter().zip(FIRST).map(|(b, a)| b - a).collect::<Vec<_>>(), 0.90);
    near(p_within(&found, 10, ninety.interval().unwrap()[1]), 0.05, 1e-9);
    near(p_within(&found, 10, 1.58), 0.5, 1e-12);
}

/// Four p-values, the example of many textbooks: at 5 % the fourth and the
/// first are called, then the rule stops (Holm 1979, Scandinavian Journal of
/// Statistics 6:65; the example from memory, worked out by hand: 4·0.005,
/// 3·0.01, 2·0.03, and 0.04 raised to what came before).
#[test]
fn holm_s_rule_step_by_step() {
    source("Holm 1979, Scandinavian Journal of Statistics 6:65; a textbook's example, worked out by hand");
    for (got, want) in holm(&[0.01, 0.04, 0.03, 0.005]).into_iter().zip([0.03, 0.06, 0.06, 0.02]) {
        near(got, want, 1e-12);
    }
    near(holm(&[0.04])[0], 0.04, 0.0);
    near(holm(&[0.9, 0.8])[0], 1.0, 0.0);
    assert!(holm(&[]).is_empty());
}

/// The exact form of McNemar's test is a fair coin: 1 of 9, 5 of 17, 0 of 5 and
/// 10 of 20, by sums of Pascal's triangle.
#[test]
fn pairs_that_changed_as_a_fair_coin() {
    source("McNemar 1947, Psychometrika 12:153, exact form; worked out from the binomial distribution");
    near(exact_mcnemar(1, 8), 2.0 * 10.0 / 512.0, 1e-12);
    near(exact_mcnemar(12, 5), 2.0 * 9_402.0 / 131_072.0, 1e-12);
    near(exact_mcnemar(5, 0), 2.0 / 32.0, 1e-12);
    near(exact_mcnemar(10, 10), 1.0, 0.0);
    near(exact_mcnemar(0, 0), 1.0, 0.0);
}

/// Agresti, Categorical Data Analysis (2002), section 10.1 (from memory): 1,600
/// people asked twice whether they approve; 150 no longer did and 86 newly did:
/// 4 points less, 95 % interval 2.1 to 5.9 points (Wald's; with half a pair
/// added to each cell it moves by less than a fiftieth of a point).
#[test]
fn the_same_people_asked_twice() {
    source("Agresti 2002, Categorical Data Analysis, section 10.1 (from memory)");
    let [low, high] = part_interval(86, 150, 1600, 0.95);
    near(low, -0.0587, 3e-4);
    near(high, -0.0213, 3e-4);
    assert!(exact_mcnemar(150, 86) < 1e-4);
    // Nothing changed in 10 pairs: that is no proof that nothing can.
    let [low, high] = part_interval(0, 0, 10, 0.95);
    assert!(low < -0.1 && high > 0.1 && (low + high).abs() < 1e-12);
}

/// Kim and Nelson 2001 (ACM Transactions on Modeling and Computer Simulation
/// 11:251): the constants η and h² and the region in which one stays in, worked
/// out from the printed formulas for α = 5 % and ten first values.
#[test]
fn constants_and_region_of_a_sequential_selection() {
    source(
        "Kim and Nelson 2001, ACM Transactions on Modeling and Computer Simulation 11:251; worked out from its formulas",
    );
    near(kn_eta(5, 10, 0.05), 0.634_97, 5e-6);
    let h2 = kn_h2(5, 10, 0.05);
    near(h2, 11.4294, 5e-5);
    near(kn_h2(2, 10, 0.05), 6.0129, 5e-5);
    near(kn_h2(4, 10, 0.05), 10.1642, 5e-5);
    count(kn_most(h2, 14.5, 1.0) as u32, 165);
    count(kn_most(h2, 4.0, 1.0) as u32, 45);
    near(kn_reach(h2, 14.5, 1.0, 10), 7.786, 5e-4);
    near(kn_reach(h2, 14.5, 1.0, 50), 1.157, 5e-4);
    near(kn_reach(h2, 4.0, 1.0, 10), 1.786, 5e-4);
    near(kn_reach(h2, 4.0, 1.0, 50), 0.0, 0.0);
}

/// Rinott 1978 (Communications in Statistics A7:799): tabulated h for a
/// probability of 95 %.
#[test]
fn the_constant_for_separate_luck() {
    source("Rinott 1978, Communications in Statistics A7:799, table (from memory, computed again)");
    for (first, table) in [(10, [2.614, 3.166, 3.693, 4.290]), (20, [2.452, 2.937, 3.385, 3.875])] {
        for (k, told) in [2, 3, 5, 10].into_iter().zip(table) {
            near(rinott_h(k, first, 0.95), told, 6e-4);
        }
    }
}
