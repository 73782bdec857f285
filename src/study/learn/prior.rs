//! What is known of an animal before her log: the breed, and its spread.

use nalgebra::{Matrix3, Vector3};

use crate::dairy::lactation::Wood;
use crate::scenario::kit;
use crate::scenario::plan::AnimalPlan;

/// Spread of the rise `b` and of the fall `c` (per day) between lactations of a
/// breed, and their correlation.
///
/// Correlation: 0.80 between the fits to the breeds and lactations of Friggens,
/// Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467 (data set
/// milkman), weighted by their lactations. Sizes: our default, such that with
/// the errors of a fit to 302 days of that noise 84 % of lactations show a `b`
/// and a `c` above nothing, as in that data set.
pub const SHAPE_SD: [f64; 2] = [0.09, 0.0013];
/// See [`SHAPE_SD`].
pub const SHAPE_CORRELATION: f64 = 0.8;

/// Log spread of the noise's size between lactations: the 10th to 90th
/// percentile of 288 lactations is 6.1 to 14.3 % (worked out from Friggens, Ridder
/// and Lovendahl 2007, data set milkman).
pub const NOISE_LOG_SD: f64 = 0.332;
/// Spread of the logit of the slow part of the noise's variance, and of the
/// logit of what carries over (our default: from a third to two thirds, and
/// from 0.85 to 0.96).
pub const NOISE_SHAPE_SD: [f64; 2] = [0.7, 0.7];

/// A curve in the terms in which it is learnt: `ln y = α + b (ln t − L) − c (t − T)`
/// with L and T the means of `ln t` and `t` over a usual lactation, so that α is
/// the level and says nothing of the shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axes {
    /// Mean of ln t.
    pub log_mean: f64,
    /// Mean of t.
    pub mean: f64,
    /// Days of a usual lactation.
    pub days: u16,
}

impl Axes {
    /// For a usual lactation of so many days.
    #[must_use]
    pub fn new(days: u16) -> Self {
        let n = f64::from(days.max(1));
        let log_mean = (1..=days.max(1)).map(|t| f64::from(t).ln()).sum::<f64>() / n;
        Self { log_mean, mean: 0.5 * (n + 1.0), days: days.max(1) }
    }

    /// The row of day `t` in milk.
    #[must_use]
    pub fn row(&self, t: f64) -> Vector3<f64> {
        let t = t.max(1.0);
        Vector3::new(1.0, t.ln() - self.log_mean, self.mean - t)
    }

    /// From Wood's curve.
    #[must_use]
    pub fn of(&self, w: &Wood) -> Vector3<f64> {
        Vector3::new(w.a.ln() + w.b * self.log_mean - w.c * self.mean, w.b, w.c)
    }

    /// To Wood's curve.
    #[must_use]
    pub fn wood(&self, v: &Vector3<f64>) -> Wood {
        Wood { a: (v[0] - v[1] * self.log_mean + v[2] * self.mean).exp(), b: v[1], c: v[2] }
    }
}

/// Day noise: a white part and a slow part that carries over from day to day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// Standard deviation of the white part, relative.
    pub white: f64,
    /// Standard deviation of the slow part, relative.
    pub slow: f64,
    /// What of the slow part carries over to the next day.
    pub phi: f64,
}

impl Noise {
    /// Size of both parts together.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.white.hypot(self.slow)
    }

    /// Correlation of one day with the next.
    #[must_use]
    pub fn autocorrelation(&self) -> f64 {
        let all = self.total();
        if all > 0.0 { self.phi * (self.slow / all).powi(2) } else { 0.0 }
    }
}

/// The prior of one animal.
#[derive(Clone, Debug, PartialEq)]
pub struct Prior {
    /// Axes of the curve.
    pub axes: Axes,
    /// The breed's curve of a first lactation, and of a later one.
    pub curves: [Wood; 2],
    /// Log spread of her level.
    pub level_sd: f64,
    /// Part of the level's log variance that stays with her.
    pub stays: f64,
    /// Day noise.
    pub noise: Noise,
    /// What is left when milked once a day: early, middle, late.
    pub once_a_day: [f64; 3],
    /// She is milked once a day all along.
    pub milked_once: bool,
    /// Part of the morning, and its spread from day to day.
    pub morning: (f64, f64),
    /// Species, for words.
    pub species: crate::dairy::Species,
}

impl Prior {
    /// From the animal of a plan. `first` is the plan of the same animal in her
    /// first lactation, where it is known. `usual_days`: days of a usual
    /// lactation. `None` where a curve holds no milk.
    #[must_use]
    pub fn of(plan: &AnimalPlan, first: Option<&AnimalPlan>, usual_days: u16) -> Option<Self> {
        let wood = |p: &AnimalPlan, at: usize| {
            p.curves.get(at).or_else(|| p.curves.last()).and_then(|c| wood_of(&c.yield_kg))
        };
        let own_first = plan.course.first_lactation;
        let later = wood(plan, usize::from(own_first))?;
        let first = match first {
            _ if own_first => wood(plan, 0)?,
            Some(p) => wood(p, 0)?,
            None => later,
        };
        Some(Self {
            axes: Axes::new(usual_days),
            curves: [first, later],
            level_sd: plan.level_log_sd.max(0.01),
            stays: plan.level_repeat.clamp(0.0, 0.99),
            noise: Noise { white: plan.white_sd, slow: plan.slow_sd, phi: plan.slow_phi },
            once_a_day: plan.once_a_day,
            milked_once: plan.milkings < 2,
            morning: (plan.morning_part, plan.morning_part_sd.max(0.01)),
            species: plan.species,
        })
    }

    /// The same with the milkings of an animal of a scenario: how often, what once
    /// a day leaves, her morning part.
    #[must_use]
    pub fn milked_like(mut self, plan: &AnimalPlan) -> Self {
        self.once_a_day = plan.once_a_day;
        self.milked_once = plan.milkings < 2;
        self.morning = (plan.morning_part, plan.morning_part_sd.max(0.01));
        self
    }

    /// Of a breed; `None` for an unknown one.
    #[must_use]
    pub fn of_breed(breed: &str) -> Option<Self> {
        let (later, days) = kit::animal(breed, 2)?;
        let (first, _) = kit::animal(breed, 1)?;
        Self::of(&later, Some(&first), days)
    }

    /// Mean of the curve of a lactation; her level has an arithmetic mean of 1.
    #[must_use]
    pub fn mean(&self, number: u32) -> Vector3<f64> {
        let [first, later] = &self.curves;
        let mut m = self.axes.of(if number == 1 { first } else { later });
        m[0] -= 0.5 * self.level_sd * self.level_sd;
        m
    }

    /// Covariance of the curve of one lactation.
    #[must_use]
    pub fn covariance(&self) -> Matrix3<f64> {
        let [b, c] = SHAPE_SD;
        let bc = SHAPE_CORRELATION * b * c;
        let level = self.level_sd * self.level_sd;
        Matrix3::new(level, 0.0, 0.0, 0.0, b * b, bc, 0.0, bc, c * c)
    }
}

/// Wood's curve of a table of daily amounts that was made from one: exact from
/// three days.
fn wood_of(kg: &[f64]) -> Option<Wood> {
    let last = kg.len().checked_sub(1)?.min(299);
    let at = |i: usize| kg.get(i).filter(|k| **k > 0.0).map(|k| k.ln());
    let middle = last / 3;
    let (t1, t2, t3) = (1.0, (middle + 1) as f64, (last + 1) as f64);
    let (y1, y2, y3) = (at(0)?, at(middle)?, at(last)?);
    // y = A + b ln t − c t, and ln 1 = 0.
    let m = Matrix3::new(1.0, 0.0, -t1, 1.0, t2.ln(), -t2, 1.0, t3.ln(), -t3);
    let v = m.try_inverse()? * Vector3::new(y1, y2, y3);
    Some(Wood { a: v[0].exp(), b: v[1], c: v[2] })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_comes_back_from_its_days() {
        let want = Wood { a: 15.312, b: 0.0729, c: 0.00268 };
        let days: Vec<f64> = (1..=600).map(|d| want.kg(f64::from(d))).collect();
        let got = wood_of(&days).unwrap();
        assert!(
            (got.a - want.a).abs() < 1e-9 && (got.b - want.b).abs() < 1e-9 && (got.c - want.c).abs() < 1e-11
        );
        let axes = Axes::new(305);
        let back = axes.wood(&axes.of(&want));
        assert!((back.kg(77.0) - want.kg(77.0)).abs() < 1e-12);
        assert!((axes.row(77.0).dot(&axes.of(&want)).exp() - want.kg(77.0)).abs() < 1e-12);
        assert!(wood_of(&[]).is_none() && wood_of(&[0.0; 400]).is_none());
    }
}
