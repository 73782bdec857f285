//! What the program draws, against the laws it says it draws from.
//!
//! Values come out of whole runs, so through the program's own streams. Each
//! sample is held to its law by mean and variance (4 standard errors) and by
//! Kolmogorov and Smirnov or by chi-square (one in a thousand), at a fixed seed.
//! The same test on values of a 5 % wrong scale must fail, which shows its
//! power at the stated number of values.

#[path = "../common/mod.rs"]
mod common;

mod counts;
mod drinking;
mod herd;
mod keeping;
mod yields;

use common::record::{at_least, at_most, near};
use statrs::distribution::{ContinuousCDF, Normal};
use statrs::stats_tests::NaNPolicy;
use statrs::stats_tests::chisquare::chisquare;
use statrs::stats_tests::ks_test::{KSOneSampleAlternativeMethod, ks_onesample};

/// Chance below which a law is given up.
const GIVEN_UP: f64 = 1e-3;

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn variance(values: &[f64]) -> f64 {
    let m = mean(values);
    values.iter().map(|v| (v - m).powi(2)).sum::<f64>() / (values.len() - 1) as f64
}

/// Mean within 4 standard errors, variance within 4 of its own.
#[track_caller]
fn moments(values: &[f64], law_mean: f64, law_variance: f64) {
    let n = values.len() as f64;
    near(mean(values), law_mean, 4.0 * (law_variance / n).sqrt());
    let m = mean(values);
    let fourth = values.iter().map(|v| (v - m).powi(4)).sum::<f64>() / n;
    let v = variance(values);
    near(v, law_variance, 4.0 * ((fourth - v * v) / n).sqrt());
}

/// Chance of a sample as far from its law as this, by Kolmogorov and Smirnov.
fn ks<T: ContinuousCDF<f64, f64>>(values: &[f64], law: &T) -> f64 {
    let two = KSOneSampleAlternativeMethod::TwoSidedAsymptotic;
    ks_onesample(values.to_vec(), law, two, NaNPolicy::Error).expect("a sample").1
}

/// The law is not given up, and is for deviations 5 % too large.
#[track_caller]
fn ks_with_power<T: ContinuousCDF<f64, f64>>(values: &[f64], law: &T, centre: f64) {
    let p = ks(values, law);
    at_least(p, GIVEN_UP);
    let wrong: Vec<f64> = values.iter().map(|v| centre + 1.05 * (v - centre)).collect();
    let p = ks(&wrong, law);
    at_most(p, GIVEN_UP);
}

/// Chi-square of counts against parts of a law: classes of fewer than 10
/// expected are joined with the next.
fn chi(seen: &[usize], parts: &[f64]) -> f64 {
    let n: usize = seen.iter().sum();
    let (mut found, mut expected) = (Vec::new(), Vec::new());
    let (mut k, mut e) = (0, 0.0);
    for (&s, &p) in seen.iter().zip(parts) {
        k += s;
        e += p * n as f64;
        if e >= 10.0 {
            found.push(std::mem::take(&mut k));
            expected.push(std::mem::take(&mut e));
        }
    }
    if let (Some(f), Some(x)) = (found.last_mut(), expected.last_mut()) {
        *f += k;
        *x += e;
    }
    // The parts left out beyond the classes are a rounding: whole again.
    let scale = n as f64 / expected.iter().sum::<f64>();
    for x in &mut expected {
        *x *= scale;
    }
    chisquare(&found, Some(&expected), None).expect("classes").1
}

/// The law is not given up, and another one that is 5 % wrong is.
#[track_caller]
fn chi_with_power(seen: &[usize], law: impl Fn(f64) -> Vec<f64>) {
    let p = chi(seen, &law(1.0));
    at_least(p, GIVEN_UP);
    let p = chi(seen, &law(1.05));
    at_most(p, GIVEN_UP);
}

/// How often each whole number is there.
fn tally(values: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut seen = Vec::new();
    for v in values {
        if seen.len() <= v {
            seen.resize(v + 1, 0);
        }
        seen[v] += 1;
    }
    seen
}

/// Standard normal distribution function.
fn phi(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// Log-normal of an arithmetic mean and a coefficient of variation: location
/// and scale of the logarithm.
fn log_normal(mean: f64, cv: f64) -> (f64, f64) {
    let sd = (1.0 + cv * cv).ln().sqrt();
    (mean.ln() - 0.5 * sd * sd, sd)
}

#[test]
fn the_record_is_up_to_date() {
    common::record::hold_page("laws");
}
