//! The curves of all lactations of one animal, learnt together.

use nalgebra::{DMatrix, DVector, Matrix3, Vector3};
use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};
use rand_distr::StandardNormal;

use crate::dairy::lactation::Wood;
use crate::study::stats::{quantile, z_two_sided};

use super::days::{Day, Lactation};
use super::gls::{self, Gram, Obs};
use super::prior::{Axes, Noise, Prior};

/// Of so many honest logs one has a day marked as wrong.
pub const FALSE_ALARMS: f64 = 0.05;
/// In the first look, before her own noise is known, only gross slips count.
const GROSS: f64 = 6.0;
/// Fewer days than this leave the noise at the breed's.
const FEW_DAYS: usize = 8;
/// Draws from what is known of a curve.
const DRAWS: usize = 1000;
/// Seed of those draws: the same log, the same figures.
const SEED: u64 = 0x6d69_6c6b;
/// Looks for wrong days.
const ROUNDS: usize = 4;

/// A figure with its 80 % range.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// Tenth percentile.
    pub low: f64,
    /// Median.
    pub middle: f64,
    /// Ninetieth percentile.
    pub high: f64,
}

impl Range {
    /// Of values in any order.
    fn of(values: &mut [f64]) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        Self { low: quantile(values, 0.1), middle: quantile(values, 0.5), high: quantile(values, 0.9) }
    }

    /// Whether a value lies in it.
    #[must_use]
    pub fn holds(&self, x: f64) -> bool {
        (self.low..=self.high).contains(&x)
    }
}

/// A day that looks wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrong {
    /// The day.
    pub day: Day,
    /// What was to be expected, kg, in the pail.
    pub expected_kg: f64,
    /// How far it lies off, in standard deviations.
    pub z: f64,
}

/// What is known of one lactation.
#[derive(Clone, Debug, PartialEq)]
pub struct Learnt {
    /// Mean of the curve in its own axes.
    pub mean: Vector3<f64>,
    /// Covariance.
    pub covariance: Matrix3<f64>,
    /// The curve, its total that to be expected.
    pub curve: Wood,
    /// The curve had to be bent into what a scenario takes.
    pub bent: bool,
    /// Milk from day 1 to the end of a usual lactation, kg.
    pub total: Range,
    /// Mean of that, kg.
    pub total_mean: f64,
    /// Relative standard deviation of it.
    pub total_cv: f64,
    /// Milk at the peak, kg a day.
    pub peak: Range,
    /// Day of the peak.
    pub peak_day: Range,
    /// Milk on the last day of a usual lactation over that at the peak.
    pub holds: Range,
    /// Wood's persistency; `None` where the curve never falls.
    pub persistency: Option<f64>,
    /// Her level over the breed's, lactation for lactation.
    pub level: Range,
}

/// All that is learnt.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Day noise.
    pub noise: Noise,
    /// Lactation by lactation.
    pub lactations: Vec<Learnt>,
    /// The lactation that is still to come.
    pub next: Learnt,
    /// Days that look wrong, left out of the fit.
    pub wrong: Vec<Wrong>,
    /// Days fitted.
    pub days: usize,
    /// How the slow part of the noise after the last day goes with the curve: given
    /// the curve, a known value less its product with this is expected.
    pub carried: Vector3<f64>,
}

fn observations(l: &Lactation) -> Vec<Obs> {
    l.days.iter().map(|d| Obs { t: f64::from(d.dim), y: d.kg.ln(), extra: d.extra, out: false }).collect()
}

/// Learns the curves. Lactations in order of time.
#[must_use]
pub fn fit(lactations: &[Lactation], prior: &Prior) -> Option<Fit> {
    let mut obs: Vec<Vec<Obs>> = lactations.iter().map(observations).collect();
    let n: usize = obs.iter().map(Vec::len).sum();
    let means: Vec<Vector3<f64>> = lactations.iter().map(|l| prior.mean(l.number)).collect();
    let next_mean = prior.mean(lactations.last().map_or(2, |l| l.number + 1));
    let covariance = prior.covariance();
    let mut noise = prior.noise;
    let mut posterior = joint(&obs, &means, next_mean, prior, &noise)?;
    for _ in 0..2 {
        mark(&mut obs, &posterior, prior, &noise, GROSS);
        posterior = joint(&obs, &means, next_mean, prior, &noise)?;
    }
    let bound = z_two_sided(1.0 - FALSE_ALARMS / n.max(1) as f64);
    for _ in 0..ROUNDS {
        if n >= FEW_DAYS {
            let parts: Vec<gls::Part<'_>> =
                obs.iter().zip(&means).map(|(obs, mean)| gls::Part { obs, mean: *mean }).collect();
            noise = gls::noise(&parts, &prior.axes, &covariance, &prior.noise);
        }
        posterior = joint(&obs, &means, next_mean, prior, &noise)?;
        if !mark(&mut obs, &posterior, prior, &noise, bound) {
            break;
        }
        posterior = joint(&obs, &means, next_mean, prior, &noise)?;
    }
    if n >= FEW_DAYS {
        let parts: Vec<gls::Part<'_>> =
            obs.iter().zip(&means).map(|(obs, mean)| gls::Part { obs, mean: *mean }).collect();
        let around = gls::around(&parts, &prior.axes, &covariance, &prior.noise, &noise);
        let each = around.iter().map(|(noise, w)| Some((joint(&obs, &means, next_mean, prior, noise)?, *w)));
        posterior = mixed(&each.collect::<Option<Vec<_>>>()?);
    }
    let carried = obs.last().map_or_else(Vector3::zeros, |o| {
        gls::filter(o, &prior.axes, &noise, |i, _, _, _| o.get(i).is_some_and(|o| !o.out))
    });
    let wrong = wrong_days(lactations, &obs, &posterior, prior, &noise);
    let learnt = |(mean, cov): &(Vector3<f64>, Matrix3<f64>), number: u32| learn(mean, cov, prior, number);
    let numbers = lactations.iter().map(|l| l.number);
    let next_number = lactations.last().map_or(2, |l| l.number + 1);
    let all: Option<Vec<Learnt>> = posterior.iter().zip(numbers).map(|(p, k)| learnt(p, k)).collect();
    let next = learnt(posterior.last()?, next_number)?;
    Some(Fit { noise, lactations: all?, next, wrong, days: n, carried })
}

/// What is known of one lactation without any day.
#[must_use]
pub fn before(prior: &Prior, number: u32) -> Option<Learnt> {
    learn(&prior.mean(number), &prior.covariance(), prior, number)
}

/// Mean and covariance of each lactation and of the next one, all together:
/// part of her level stays with her, her shape is drawn anew.
fn joint(
    obs: &[Vec<Obs>],
    means: &[Vector3<f64>],
    next_mean: Vector3<f64>,
    prior: &Prior,
    noise: &Noise,
) -> Option<Vec<(Vector3<f64>, Matrix3<f64>)>> {
    let k = obs.len() + 1;
    let own = prior.covariance();
    let shared = prior.stays * own[(0, 0)];
    let covariance = DMatrix::from_fn(3 * k, 3 * k, |i, j| {
        if i / 3 == j / 3 {
            own[(i % 3, j % 3)]
        } else if i % 3 == 0 && j % 3 == 0 {
            shared
        } else {
            0.0
        }
    });
    let mut a = covariance.cholesky()?.inverse();
    let mut b = DVector::zeros(3 * k);
    for (i, (obs, mean)) in obs.iter().zip(means).enumerate() {
        let g = Gram::of(obs, &prior.axes, noise);
        let r = g.xy - g.xx * mean;
        for row in 0..3 {
            b[3 * i + row] += r[row];
            for column in 0..3 {
                a[(3 * i + row, 3 * i + column)] += g.xx[(row, column)];
            }
        }
    }
    let cov = a.cholesky()?.inverse();
    let shift = &cov * b;
    let mean_of = |i: usize| means.get(i).copied().unwrap_or(next_mean);
    Some(
        (0..k)
            .map(|i| {
                let mean = mean_of(i) + Vector3::from_fn(|r, _| shift[3 * i + r]);
                (mean, Matrix3::from_fn(|r, c| cov[(3 * i + r, 3 * i + c)]))
            })
            .collect(),
    )
}

/// Mean and covariance of each curve.
type Posterior = Vec<(Vector3<f64>, Matrix3<f64>)>;

/// Posteriors together, each with its weight: their mean, and their spread with
/// that between them.
fn mixed(all: &[(Posterior, f64)]) -> Posterior {
    let curves = all.first().map_or(0, |(p, _)| p.len());
    let of = |i: usize| all.iter().filter_map(move |(p, w)| p.get(i).map(|(mean, cov)| (mean, cov, *w)));
    (0..curves)
        .map(|i| {
            let mean: Vector3<f64> = of(i).map(|(mean, _, w)| mean * w).sum();
            let cov = of(i).map(|(m, cov, w)| (cov + (m - mean) * (m - mean).transpose()) * w).sum();
            (mean, cov)
        })
        .collect()
}

/// Looks at each day in turn: how far it lies from what the days before lead to
/// expect, in standard deviations. A day that is off by more than `bound` is
/// left out, and the days after it are not judged by it.
fn residuals(
    obs: &[Obs],
    mean: &Vector3<f64>,
    axes: &Axes,
    noise: &Noise,
    bound: f64,
    mut see: impl FnMut(usize, f64, f64),
) {
    gls::filter(obs, axes, noise, |i, x, y, f| {
        // What is left of this day; the correction for ln is taken back.
        let o = obs.get(i).copied();
        let extra = o.map_or(0.0, |o| o.extra);
        let half = 0.5 * (noise.total().powi(2) + extra * extra);
        let off = (y - half - x.dot(mean)).exp() - 1.0;
        let z = off / f.sqrt();
        see(i, z, off);
        z.abs() <= bound
    });
}

/// Marks the days that look wrong; whether anything changed.
fn mark(
    obs: &mut [Vec<Obs>],
    posterior: &[(Vector3<f64>, Matrix3<f64>)],
    prior: &Prior,
    noise: &Noise,
    bound: f64,
) -> bool {
    let mut changed = false;
    for (obs, (mean, _)) in obs.iter_mut().zip(posterior) {
        let mut out = vec![false; obs.len()];
        residuals(obs, mean, &prior.axes, noise, bound, |i, z, _| {
            if let Some(o) = out.get_mut(i) {
                *o = z.abs() > bound;
            }
        });
        for (o, out) in obs.iter_mut().zip(out) {
            changed |= o.out != out;
            o.out = out;
        }
    }
    changed
}

fn wrong_days(
    lactations: &[Lactation],
    obs: &[Vec<Obs>],
    posterior: &[(Vector3<f64>, Matrix3<f64>)],
    prior: &Prior,
    noise: &Noise,
) -> Vec<Wrong> {
    let mut all = Vec::new();
    for ((l, obs), (mean, _)) in lactations.iter().zip(obs).zip(posterior) {
        gls::filter(obs, &prior.axes, noise, |i, x, y, f| {
            let Some(o) = obs.get(i) else { return false };
            if o.out
                && let Some(day) = l.days.get(i)
            {
                let half = 0.5 * (noise.total().powi(2) + o.extra * o.extra);
                let off = (y - half - x.dot(mean)).exp();
                all.push(Wrong { day: *day, expected_kg: day.pail_kg / off, z: (off - 1.0) / f.sqrt() });
            }
            !o.out
        });
    }
    all
}

/// The figures of one curve, by draws from what is known of it.
fn learn(mean: &Vector3<f64>, covariance: &Matrix3<f64>, prior: &Prior, number: u32) -> Option<Learnt> {
    let axes = &prior.axes;
    let root = covariance.cholesky()?.l();
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(SEED);
    let rows: Vec<Vector3<f64>> = (1..=axes.days).map(|t| axes.row(f64::from(t))).collect();
    let breed = axes.of(prior.curves.get(usize::from(number != 1))?);
    let [mut totals, mut peaks, mut days, mut holds, mut levels] = [const { Vec::new() }; 5];
    for _ in 0..DRAWS / 2 {
        let z = Vector3::from_fn(|_, _| rng.sample::<f64, _>(StandardNormal));
        // Both signs: the means are exact.
        for sign in [1.0, -1.0] {
            let v = mean + root * (z * sign);
            let (mut total, mut peak, mut at, mut last) = (0.0, 0.0, 0.0, 0.0);
            for (row, t) in rows.iter().zip(1_u16..) {
                let kg = row.dot(&v).exp();
                total += kg;
                last = kg;
                if kg > peak {
                    (peak, at) = (kg, f64::from(t));
                }
            }
            totals.push(total);
            peaks.push(peak);
            days.push(at);
            holds.push(last / peak);
            levels.push((v[0] - breed[0]).exp());
        }
    }
    let n = totals.len() as f64;
    let total_mean = totals.iter().sum::<f64>() / n;
    let variance = totals.iter().map(|t| (t - total_mean).powi(2)).sum::<f64>() / n;
    let (shape, bent) = possible(mean, covariance);
    let curve = axes.wood(&shape).scaled_to_total(total_mean, axes.days);
    Some(Learnt {
        mean: *mean,
        covariance: *covariance,
        curve,
        bent,
        total: Range::of(&mut totals),
        total_mean,
        total_cv: variance.sqrt() / total_mean,
        peak: Range::of(&mut peaks),
        peak_day: Range::of(&mut days),
        holds: Range::of(&mut holds),
        persistency: (curve.c > 0.0).then(|| curve.persistency()),
        level: Range::of(&mut levels),
    })
}

/// Least rise and fall of a curve in a scenario.
const LEAST: [f64; 2] = [0.0, 0.0001];

/// The likeliest curve that a scenario takes: where the rise or the fall lies
/// below what it takes, it is held there and the rest follows.
fn possible(mean: &Vector3<f64>, covariance: &Matrix3<f64>) -> (Vector3<f64>, bool) {
    let mut v = *mean;
    let mut bent = false;
    for (i, least) in [(1, LEAST[0]), (2, LEAST[1])] {
        if v[i] < least && covariance[(i, i)] > 0.0 {
            let step = (least - v[i]) / covariance[(i, i)];
            v += covariance.column(i) * step;
            bent = true;
        }
    }
    v[1] = v[1].clamp(LEAST[0], 1.0);
    v[2] = v[2].clamp(LEAST[1], 0.05);
    (v, bent)
}
