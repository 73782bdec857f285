//! Keeping score: how an earlier forecast held against what came.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::records::Forecast;
use crate::study::stats::{t_two_sided, wilson};

/// The range of a forecast holds this part of the days, if it is right.
pub const PROMISED: f64 = 0.8;
/// Fewer days than this say nothing.
pub const FEW: u32 = 10;

/// Whether a forecast can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Too few days to tell.
    TooFew,
    /// Nothing speaks against it.
    Holds,
    /// Its ranges are too narrow.
    TooSure,
    /// Its ranges are wider than need be.
    TooWide,
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
    /// 95 % interval of the part inside, days that follow one another counted
    /// as fewer.
    pub part_ci95: [f64; 2],
    /// Days that the days are worth.
    pub worth: f64,
    /// Mean of log minus forecast, over the mean of the forecast.
    pub bias: f64,
    /// 95 % interval of that.
    pub bias_ci95: [f64; 2],
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
    (n as f64 * (1.0 - carried) / (1.0 + carried)).max(1.0)
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
    let inside = days - below - above;
    let hits: Vec<f64> =
        both.iter().map(|(f, kg)| f64::from(u8::from((f.low_kg..=f.high_kg).contains(kg)))).collect();
    let off: Vec<f64> = both.iter().map(|(f, kg)| kg - f.middle_kg).collect();
    let expected: f64 = both.iter().map(|(f, _)| f.middle_kg).sum();
    let worth_hits = worth(hits.len(), carried(&hits));
    let scale = worth_hits / hits.len().max(1) as f64;
    let effective = |k: u32| (f64::from(k) * scale).round() as u32;
    let part_ci95 = wilson(
        effective(inside),
        effective(days).max(effective(inside)),
        crate::study::stats::z_two_sided(0.95),
    );
    let n = days.max(1) as f64;
    let mean = off.iter().sum::<f64>() / n;
    let variance = off.iter().map(|o| (o - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    let worth_off = worth(off.len(), carried(&off));
    let half = if days >= 3 {
        t_two_sided(0.95, (worth_off - 1.0).max(1.0)) * (variance / worth_off).sqrt()
    } else {
        f64::INFINITY
    };
    let per = if expected > 0.0 { n / expected } else { 0.0 };
    let trust = if days < FEW {
        Trust::TooFew
    } else if part_ci95[1] < PROMISED {
        Trust::TooSure
    } else if part_ci95[0] > PROMISED {
        Trust::TooWide
    } else {
        Trust::Holds
    };
    Score {
        forecast_days: forecast.len() as u32,
        days,
        span: both.first().zip(both.last()).map(|(a, b)| (a.0.date, b.0.date)),
        inside,
        below_above: [below, above],
        part_ci95,
        worth: worth_hits,
        bias: mean * per,
        bias_ci95: [(mean - half) * per, (mean + half) * per],
        trust,
    }
}
