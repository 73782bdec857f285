//! Keeping score: how an earlier forecast held against what came.
//!
//! All days of one forecast share what it did not know of her level: it may lie
//! too high on every day and still have been honest. So the days are not counted
//! as so many draws. What is held against the forecast is, first, how far the days
//! lie off on the mean, in its own standard deviations, which is at most one of
//! them whatever the days share; and second, how far they go up and down about
//! that mean, which can only be less than it promised. A forecast that is too wide
//! cannot be told from one that was lucky, so that is never claimed.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::records::Forecast;
use crate::study::stats::z_two_sided;

/// The range of a forecast holds this part of the days, if it is right.
pub const PROMISED: f64 = 0.8;
/// Fewer days than this say nothing.
pub const FEW: u32 = 10;
/// An honest forecast is called wrong in at most this part of the cases: half of
/// it by its mean, half by its ups and downs.
pub const FALSE_VERDICTS: f64 = 0.05;

/// Whether a forecast can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Too few days to tell.
    TooFew,
    /// Nothing speaks against it.
    Holds,
    /// It lay further off on the mean than its ranges allow for.
    Off,
    /// The days go up and down more than its ranges allow for.
    TooNarrow,
}

/// How a forecast held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// Days of the forecast.
    pub forecast_days: u32,
    /// Of these, days with a whole day's milk in the log.
    pub days: u32,
    /// First and last of them.
    pub span: Option<(Date, Date)>,
    /// Days inside the range.
    pub inside: u32,
    /// Days below, and above it.
    pub below_above: [u32; 2],
    /// Mean of how far the days lie from the middle, in the forecast's own
    /// standard deviations.
    pub off: f64,
    /// Standard deviation of the days about that mean, promised: at most 1.
    pub ups_and_downs: f64,
    /// Mean of log minus forecast, over the mean of the forecast.
    pub bias: f64,
    /// The verdict.
    pub trust: Trust,
}

/// Correlation of values one step apart, from 0 to 0.95.
fn carried(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n.max(1.0);
    let all: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    let pairs: f64 = values
        .windows(2)
        .map(|w| match w {
            [a, b] => (a - mean) * (b - mean),
            _ => 0.0,
        })
        .sum();
    if all > 0.0 { (pairs / all).clamp(0.0, 0.95) } else { 0.0 }
}

/// Independent values that so many carried-over ones are worth.
fn worth(n: usize, carried: f64) -> f64 {
    (n as f64 * (1.0 - carried) / (1.0 + carried)).max(2.0)
}

/// How far a day lies from the middle, in standard deviations of the forecast.
fn off(f: &Forecast, kg: f64) -> f64 {
    let tenth = z_two_sided(PROMISED);
    let side = if kg >= f.middle_kg { f.high_kg - f.middle_kg } else { f.middle_kg - f.low_kg };
    let away = kg - f.middle_kg;
    // A range without width: its days are on it or far off.
    if side <= 0.0 { 10.0 * away.signum() * f64::from(u8::from(away != 0.0)) } else { tenth * away / side }
}

/// A bound on the chi-square of `freedom` degrees that it exceeds with the
/// one-sided normal `z`: Wilson and Hilferty's cube root (from memory).
fn chi_square(freedom: f64, z: f64) -> f64 {
    let v = 2.0 / (9.0 * freedom);
    freedom * (1.0 - v + z * v.sqrt()).powi(3)
}

/// Compares. Only days that both know count.
#[must_use]
pub fn score(pail: &BTreeMap<Date, f64>, forecast: &[Forecast]) -> Score {
    let both: Vec<(&Forecast, f64)> =
        forecast.iter().filter_map(|f| pail.get(&f.date).map(|kg| (f, *kg))).collect();
    let slack = |kg: f64| 1e-9 * kg.abs();
    let below = both.iter().filter(|(f, kg)| *kg < f.low_kg - slack(*kg)).count() as u32;
    let above = both.iter().filter(|(f, kg)| *kg > f.high_kg + slack(*kg)).count() as u32;
    let days = both.len() as u32;
    let z: Vec<f64> = both.iter().map(|(f, kg)| off(f, *kg)).collect();
    let n = z.len().max(1) as f64;
    let mean = z.iter().sum::<f64>() / n;
    let variance = z.iter().map(|z| (z - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    let freedom = worth(z.len(), carried(&z)) - 1.0;
    let one_sided = z_two_sided(1.0 - FALSE_VERDICTS);
    let trust = if days < FEW {
        Trust::TooFew
    } else if mean.abs() > z_two_sided(1.0 - 0.5 * FALSE_VERDICTS) {
        Trust::Off
    } else if variance * freedom > chi_square(freedom, one_sided) {
        Trust::TooNarrow
    } else {
        Trust::Holds
    };
    let expected: f64 = both.iter().map(|(f, _)| f.middle_kg).sum();
    let came: f64 = both.iter().map(|(_, kg)| kg).sum();
    Score {
        forecast_days: forecast.len() as u32,
        days,
        span: both.first().zip(both.last()).map(|(a, b)| (a.0.date, b.0.date)),
        inside: days - below - above,
        below_above: [below, above],
        off: mean,
        ups_and_downs: variance.sqrt(),
        bias: if expected > 0.0 { came / expected - 1.0 } else { 0.0 },
        trust,
    }
}
