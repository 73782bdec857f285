//! Learning: from a pail log to the animal's own curve.
//!
//! The logarithm of a day's milk is linear in the level, the rise and the fall
//! of Wood's curve; the breed is the prior, the day noise has a white part and
//! a slow part that carries over. With few days the answer is the breed's, with
//! many it is hers. `docs/learn.md` states the model and what it assumes.

pub mod days;
#[cfg(test)]
mod days_tests;
pub mod doubt;
#[cfg(test)]
mod doubt_tests;
pub mod fit;
mod gls;
pub mod prior;
pub mod score;
#[cfg(test)]
mod score_tests;
#[cfg(test)]
mod tests;

pub use days::{Days, Known, Lactation, NoFit};
pub use doubt::{Doubt, Doubted, Rather};
pub use fit::{Fit, Learnt, Range};
pub use prior::{Noise, Prior};

use crate::dairy::recording::{TestDay, TestTotal, test_interval};
use crate::records::Log;

/// Days at least between tests for the log to be one of test days.
const TEST_GAP: u16 = 20;

/// All that a log says.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// What the breed led to expect of the last lactation.
    pub breed: Learnt,
    /// The days.
    pub days: Days,
    /// The fit.
    pub fit: Fit,
    /// Amounts whose unit is in doubt; stretches of them are not fitted.
    pub doubts: Vec<Doubt>,
    /// Total by the test interval method, where the last lactation has test days.
    pub tested: Option<TestTotal>,
    /// Mean fat of the last lactation, weighted by milk, and the days it was measured on.
    pub fat: Option<(f64, usize)>,
    /// On days with the young on her: pail over her curve, the middle one.
    pub calf_left: Option<f64>,
    /// How sure her curve is for the four weeks after the log, relative: her noise
    /// and the shape of later days left out.
    pub soon_sd: f64,
    /// On days milked once, where these are most: pail over a day milked twice.
    pub once_left: Option<f64>,
    /// Days of a usual lactation.
    pub usual_days: u16,
}

/// Learns from a log.
///
/// # Errors
/// When no freshening is known, or no day can be used.
pub fn learn(log: &Log, known: &Known, prior: &Prior) -> Result<Lesson, NoFit> {
    let mut days = days::days(log, known, prior)?;
    let doubts = doubt::doubts(&days, prior);
    days.leave_out(&doubts);
    let fit = fit::fit(&days.lactations, prior).ok_or(NoFit::NoPrior)?;
    let last = days.lactations.last().cloned().unwrap_or_default();
    let breed = fit::before(prior, last.number).ok_or(NoFit::NoPrior)?;
    let curve = fit.lactations.last().map(|l| l.curve);
    let mut left: Vec<f64> =
        last.calf.iter().filter_map(|d| curve.map(|c| d.pail_kg / c.kg(f64::from(d.dim)))).collect();
    left.sort_unstable_by(f64::total_cmp);
    Ok(Lesson {
        breed,
        tested: tested(&last),
        fat: fat(&last),
        calf_left: left.get(left.len() / 2).copied(),
        usual_days: prior.axes.days,
        soon_sd: soon(&fit, last.days.last().map_or(last.last, |d| d.dim), prior),
        once_left: once_left(&days, &last),
        days,
        fit,
        doubts,
    })
}

/// Weeks after the log for which `now` of a scenario is written.
const SOON_DAYS: u16 = 28;

/// The slow part of the noise goes on after the log, and what it was is partly
/// taken for her level: `ahead` draws it anew, so that much less is left of the
/// level's spread.
fn soon(fit: &Fit, last: u16, prior: &Prior) -> f64 {
    let Some(l) = fit.lactations.last() else { return prior.level_sd };
    let variance = |k: u16| {
        let row = prior.axes.row(f64::from(last) + f64::from(k));
        let own = row.dot(&(l.covariance * row));
        let shared = fit.noise.phi.powi(i32::from(k)) * row.dot(&(l.covariance * fit.carried));
        own - 2.0 * shared
    };
    let mean = (1..=SOON_DAYS).map(variance).sum::<f64>() / f64::from(SOON_DAYS);
    (mean.max(0.0).exp() - 1.0).sqrt()
}

fn once_left(days: &Days, l: &Lactation) -> Option<f64> {
    let sum = |of: fn(&days::Day) -> f64| l.days.iter().map(of).sum::<f64>();
    let kg = sum(|d| d.kg);
    (2 * days.once as usize > l.days.len() && kg > 0.0).then(|| sum(|d| d.pail_kg) / kg)
}

/// Where days lie weeks apart they are tests.
fn tested(l: &Lactation) -> Option<TestTotal> {
    let gaps: Vec<u16> = l
        .days
        .windows(2)
        .filter_map(|w| match w {
            [a, b] => Some(b.dim - a.dim),
            _ => None,
        })
        .collect();
    let wide = gaps.iter().filter(|g| **g >= TEST_GAP).count();
    if gaps.is_empty() || 2 * wide <= gaps.len() {
        return None;
    }
    let tests: Vec<TestDay> =
        l.days.iter().map(|d| TestDay { day: f64::from(d.dim) - 1.0, kg: d.kg, fat: d.fat }).collect();
    test_interval(&tests, f64::from(l.last) - 1.0)
}

fn fat(l: &Lactation) -> Option<(f64, usize)> {
    let all: Vec<(f64, f64)> = l.days.iter().filter_map(|d| d.fat.map(|f| (f, d.kg))).collect();
    let kg: f64 = all.iter().map(|(_, kg)| kg).sum();
    (kg > 0.0).then(|| (all.iter().map(|(f, kg)| f * kg).sum::<f64>() / kg, all.len()))
}
