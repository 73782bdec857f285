//! Generalised least squares under day noise, in one pass over the days.
//!
//! The slow part of the noise is a state that a Kalman filter follows; the
//! filter's innovations are independent, so that the curve is fitted to them by
//! weighted least squares, exactly and with any gaps (Harvey 1989, Forecasting,
//! structural time series models and the Kalman filter; from memory).

use argmin::core::{CostFunction, Error, Executor};
use argmin::solver::neldermead::NelderMead;
use nalgebra::{Matrix3, Vector3};

use super::prior::{Axes, NOISE_LOG_SD, NOISE_SHAPE_SD, Noise};

/// One day as it is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Obs {
    /// Day in milk.
    pub t: f64,
    /// ln of the day's milk, kg.
    pub y: f64,
    /// Spread of this day beyond the noise, relative (a milking filled in).
    pub extra: f64,
    /// Left out of the fit: it looks wrong.
    pub out: bool,
}

/// Least and greatest noise that is tried, relative.
const NOISE_RANGE: (f64, f64) = (0.01, 0.4);
/// Steps of the search for the noise.
const STEPS: u64 = 120;

/// Sums of the fit: information about the curve.
#[derive(Clone, Copy, Debug)]
pub struct Gram {
    /// Σ x xᵀ / F.
    pub xx: Matrix3<f64>,
    /// Σ x y / F.
    pub xy: Vector3<f64>,
    yy: f64,
    log_det: f64,
}

/// Runs the filter over days in order; `see` gets each day's number, its
/// innovations of row and value, and their variance, and says whether the day
/// counts. Gives back the row of the slow part after the last day: given the
/// curve `v`, a known value less `row · v` is expected of it.
pub(super) fn filter(
    obs: &[Obs],
    axes: &Axes,
    noise: &Noise,
    mut see: impl FnMut(usize, &Vector3<f64>, f64, f64) -> bool,
) -> Vector3<f64> {
    let slow2 = noise.slow * noise.slow;
    let white2 = noise.white * noise.white;
    let (mut sx, mut sy, mut p) = (Vector3::zeros(), 0.0, slow2);
    let mut before: Option<f64> = None;
    for (i, o) in obs.iter().enumerate() {
        if let Some(t) = before {
            let carry = noise.phi.powf((o.t - t).max(0.0));
            sx *= carry;
            sy *= carry;
            p = carry * carry * p + slow2 * (1.0 - carry * carry);
        }
        before = Some(o.t);
        let f = (p + white2 + o.extra * o.extra).max(1e-8);
        // The mean of ln(1 + noise) is −σ²/2.
        let y = o.y + 0.5 * (slow2 + white2 + o.extra * o.extra);
        let (vx, vy) = (axes.row(o.t) - sx, y - sy);
        if see(i, &vx, vy, f) {
            let gain = p / f;
            sx += gain * vx;
            sy += gain * vy;
            p -= gain * p;
        }
    }
    sx
}

impl Gram {
    /// Of one lactation.
    pub fn of(obs: &[Obs], axes: &Axes, noise: &Noise) -> Self {
        let mut g = Self { xx: Matrix3::zeros(), xy: Vector3::zeros(), yy: 0.0, log_det: 0.0 };
        filter(obs, axes, noise, |i, x, y, f| {
            let counts = obs.get(i).is_some_and(|o| !o.out);
            if counts {
                g.xx += x * x.transpose() / f;
                g.xy += x * (y / f);
                g.yy += y * y / f;
                g.log_det += f.ln();
            }
            counts
        });
        g
    }

    /// Log density of the days, the curve integrated over its prior; a constant
    /// left out. The same integral makes the estimate of the noise a restricted
    /// one. `None` where a matrix has no inverse.
    fn log_density(&self, mean: &Vector3<f64>, precision: &Matrix3<f64>) -> Option<f64> {
        let a = precision + self.xx;
        let b = self.xy - self.xx * mean;
        let rr = self.yy - 2.0 * mean.dot(&self.xy) + mean.dot(&(self.xx * mean));
        let chol = a.cholesky()?;
        let log_det_a = 2.0 * chol.l().diagonal().iter().map(|d| d.ln()).sum::<f64>();
        Some(-0.5 * (self.log_det + log_det_a + rr - b.dot(&chol.solve(&b))))
    }
}

/// One lactation in the search for the noise.
pub struct Part<'a> {
    /// Its days.
    pub obs: &'a [Obs],
    /// Prior mean of its curve.
    pub mean: Vector3<f64>,
}

struct Search<'a> {
    parts: &'a [Part<'a>],
    axes: &'a Axes,
    precision: Matrix3<f64>,
    centre: [f64; 3],
}

fn logit(p: f64) -> f64 {
    (p / (1.0 - p)).ln()
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

fn to_noise(u: &[f64]) -> Noise {
    let at = |i: usize| u.get(i).copied().unwrap_or(0.0);
    let total = at(0).exp().clamp(NOISE_RANGE.0, NOISE_RANGE.1);
    let slow = logistic(at(1)).clamp(0.001, 0.999);
    Noise {
        white: total * (1.0 - slow).sqrt(),
        slow: total * slow.sqrt(),
        phi: logistic(at(2)).clamp(0.0, 0.995),
    }
}

impl CostFunction for Search<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    fn cost(&self, u: &Self::Param) -> Result<f64, Error> {
        let noise = to_noise(u);
        let sds = [NOISE_LOG_SD, NOISE_SHAPE_SD[0], NOISE_SHAPE_SD[1]];
        let prior: f64 =
            u.iter().zip(self.centre).zip(sds).map(|((u, c), sd)| 0.5 * ((u - c) / sd).powi(2)).sum();
        let mut cost = prior;
        for part in self.parts {
            let gram = Gram::of(part.obs, self.axes, &noise);
            match gram.log_density(&part.mean, &self.precision) {
                Some(l) if l.is_finite() => cost -= l,
                _ => return Ok(f64::MAX),
            }
        }
        Ok(cost)
    }
}

/// Steps from the likeliest noise to what else it may be: of the slow part's share,
/// and of what carries over, as logits.
const AROUND: [f64; 3] = [-0.8, 0.0, 0.8];

/// What the noise may be beside the likeliest, `found`, each with its weight: so
/// that what is said of the curve does not take the noise as known.
pub fn around(
    parts: &[Part<'_>],
    axes: &Axes,
    covariance: &Matrix3<f64>,
    breed: &Noise,
    found: &Noise,
) -> Vec<(Noise, f64)> {
    let Some(precision) = covariance.try_inverse() else { return vec![(*found, 1.0)] };
    let search = Search { parts, axes, precision, centre: from_noise(breed) };
    let at = from_noise(found);
    let mut all: Vec<(Noise, f64)> = Vec::new();
    for slow in AROUND {
        for carry in AROUND {
            let u = vec![at[0], at[1] + slow, at[2] + carry];
            all.push((to_noise(&u), search.cost(&u).unwrap_or(f64::MAX)));
        }
    }
    let least = all.iter().map(|(_, cost)| *cost).fold(f64::INFINITY, f64::min);
    let weights: Vec<f64> = all.iter().map(|(_, cost)| (least - cost).exp()).collect();
    let sum: f64 = weights.iter().sum();
    all.iter().zip(weights).map(|((noise, _), w)| (*noise, w / sum)).collect()
}

/// In the terms in which it is searched.
fn from_noise(noise: &Noise) -> [f64; 3] {
    let total = noise.total().clamp(NOISE_RANGE.0, NOISE_RANGE.1);
    let slow = (noise.slow / noise.total().max(1e-12)).powi(2).clamp(0.02, 0.98);
    [total.ln(), logit(slow), logit(noise.phi.clamp(0.02, 0.98))]
}

/// The likeliest noise of all lactations together, the breed's noise being the
/// prior: with few days it is the breed's.
pub fn noise(parts: &[Part<'_>], axes: &Axes, covariance: &Matrix3<f64>, breed: &Noise) -> Noise {
    let centre = from_noise(breed);
    let Some(precision) = covariance.try_inverse() else { return to_noise(&centre) };
    let start = centre.to_vec();
    let mut simplex = vec![start.clone()];
    for (i, step) in [0.2, 0.5, 0.5].into_iter().enumerate() {
        let mut corner = start.clone();
        if let Some(x) = corner.get_mut(i) {
            *x += step;
        }
        simplex.push(corner);
    }
    let solver = match NelderMead::new(simplex).with_sd_tolerance(1e-3) {
        Ok(solver) => solver,
        Err(_) => return to_noise(&centre),
    };
    let search = Search { parts, axes, precision, centre };
    let found = Executor::new(search, solver).configure(|s| s.max_iters(STEPS)).run();
    match found.ok().and_then(|f| f.state.best_param) {
        Some(best) => to_noise(&best),
        None => to_noise(&centre),
    }
}
