//! Units that look wrong: pounds written for kilograms, a decimal point that
//! slipped, evenings in another measure than mornings.
//!
//! Three looks, each at the logarithm of an amount over the breed's curve: how
//! far the mornings stand from the evenings; where the log steps up or down by
//! about what two measures differ by, and stays there; and whether the rest
//! stands where the breed can give it. What differs by less than about three
//! quarters (a litre and a quart) cannot be told from a good week.

use jiff::civil::Date;
use nalgebra::Vector3;

use super::days::{Days, Row};
use super::prior::Prior;
use crate::records::{Measure, Part};
use crate::study::stats::z_two_sided;

/// Of honest logs so many stand within what the breed gives.
pub const WITHIN: f64 = 0.999;
/// The same, where another measure would bring the log near the breed.
const WITHIN_IF_EXPLAINED: f64 = 0.99;
/// The breed's level is spread at least so much here, whatever a scenario says
/// of one animal, as a logarithm (our default).
const LEAST_SPREAD: f64 = 0.15;
/// Steps of less than this, as a logarithm, are no other measure (a factor of 1.75).
const LEAST_STEP: f64 = 0.56;
/// How near a step must come to a factor, as a logarithm.
const NEAR: f64 = 0.22;
/// Rows looked at on either side of a step, and the fewest.
const LOOK: usize = 5;
/// See [`LOOK`].
const FEWEST: usize = 3;
/// Steps are so many times larger than the noise from row to row.
const OVER_NOISE: f64 = 4.0;
/// A stretch holds its step: its beginning and its end differ by less (an
/// illness comes at once and goes slowly). Looked at over so many rows.
const HOLDS: f64 = 0.3;
/// See [`HOLDS`].
const HOLDS_OVER: usize = 30;

/// What is in doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubted {
    /// All of a lactation, or of the log.
    Level,
    /// A stretch, against the days about it.
    Stretch,
    /// All mornings, or all evenings, against the others.
    Half(Part),
}

/// What would explain it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rather {
    /// The measure that was read.
    pub read: Option<Measure>,
    /// Measures that would bring the amounts where they are expected.
    pub measures: Vec<Measure>,
    /// A decimal point that slipped would.
    pub ten: bool,
}

impl Rather {
    fn explains(&self) -> bool {
        self.ten || !self.measures.is_empty()
    }
}

/// Amounts whose unit is in doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// What is in doubt.
    pub what: Doubted,
    /// Their lines in the file, in order.
    pub lines: Vec<usize>,
    /// First and last date.
    pub span: (Date, Date),
    /// How many times what is to be expected stands there.
    pub times: f64,
    /// What would explain it.
    pub rather: Rather,
}

/// A row and how far it stands from the breed's curve, as a logarithm.
#[derive(Clone, Copy)]
struct Seen<'a> {
    row: &'a Row,
    off: f64,
}

/// Looks through the days. Stretches first, then halves, then the level.
#[must_use]
pub fn doubts(days: &Days, prior: &Prior) -> Vec<Doubt> {
    let mut out: Vec<Doubt> = Vec::new();
    let mut levels: Vec<Doubt> = Vec::new();
    for (at, l) in days.lactations.iter().enumerate() {
        let mean = prior.mean(l.number);
        let off = |row: &Row| row.whole_kg.ln() - prior.axes.row(f64::from(row.dim)).dot(&mean);
        let all: Vec<Seen> =
            days.rows.iter().filter(|r| r.lactation == at).map(|row| Seen { row, off: off(row) }).collect();
        let mut rest: Vec<Seen> = Vec::new();
        for part in [Part::Unsaid, Part::Morning, Part::Noon, Part::Evening] {
            let series: Vec<Seen> = all.iter().copied().filter(|s| s.row.part == part).collect();
            rest.extend(stretches(&series, prior, &mut out));
        }
        if let Some(half) = half(&rest) {
            rest.retain(|s| Doubted::Half(s.row.part) != half.what);
            out.push(half);
        }
        levels.extend(level(&rest, prior));
    }
    out.extend(joined(levels, days.lactations.len()));
    out
}

/// Levels of all lactations that stand out alike are one doubt.
fn joined(levels: Vec<Doubt>, lactations: usize) -> Vec<Doubt> {
    let alike =
        levels.len() == lactations && levels.windows(2).all(|w| matches!(w, [a, b] if a.rather == b.rather));
    match levels.split_first() {
        Some((first, more)) if alike => {
            let mut one = first.clone();
            for d in more {
                one.lines.extend(&d.lines);
                one.span.1 = d.span.1;
            }
            one.times = (levels.iter().map(|d| d.times.ln()).sum::<f64>() / levels.len() as f64).exp();
            vec![one]
        }
        _ => levels,
    }
}

fn median(values: impl IntoIterator<Item = f64>) -> f64 {
    let mut all: Vec<f64> = values.into_iter().collect();
    all.sort_unstable_by(f64::total_cmp);
    let n = all.len();
    let at = |i: usize| all.get(i).copied().unwrap_or(0.0);
    if n % 2 == 1 { at(n / 2) } else { 0.5 * (at((n / 2).saturating_sub(1)) + at(n / 2)) }
}

/// The measure of most rows.
fn measure(rows: &[Seen]) -> Option<Measure> {
    let count = |m: Measure| rows.iter().filter(|s| s.row.read == Some(m)).count();
    Measure::ALL.into_iter().rev().max_by_key(|m| count(*m)).filter(|m| 2 * count(*m) > rows.len())
}

/// What explains amounts that are `off`, as a logarithm, from what is expected:
/// the measures that come within `near`, the nearest first.
fn rather(read: Option<Measure>, off: f64, near: f64) -> Rather {
    let ten = (off.abs() - 10.0_f64.ln()).abs() < near;
    let left = |m: Measure| read.map_or(f64::INFINITY, |r| (off - (r.kg() / m.kg()).ln()).abs());
    let mut measures: Vec<Measure> =
        Measure::ALL.into_iter().filter(|m| Some(*m) != read && left(*m) < near).collect();
    measures.sort_by(|a, b| left(*a).total_cmp(&left(*b)));
    Rather { read, measures, ten }
}

fn doubt(what: Doubted, rows: &[Seen], off: f64, rather: Rather) -> Option<Doubt> {
    let mut lines: Vec<usize> = rows.iter().map(|s| s.row.line).collect();
    lines.sort_unstable();
    lines.dedup();
    let dates = rows.iter().map(|s| s.row.date);
    let span = (dates.clone().min()?, dates.max()?);
    Some(Doubt { what, lines, span, times: off.exp(), rather })
}

/// Whether a step is about what two measures differ by, or ten.
fn is_factor(step: f64) -> bool {
    let pairs = Measure::ALL.iter().flat_map(|a| Measure::ALL.iter().map(move |b| (a.kg() / b.kg()).ln()));
    step.abs() >= LEAST_STEP
        && pairs.chain([10.0_f64.ln(), 0.1_f64.ln()]).any(|factor| (factor - step).abs() < NEAR)
}

/// Finds stretches of a series of one milking; gives back the rows that are in
/// none.
fn stretches<'a>(series: &[Seen<'a>], prior: &Prior, out: &mut Vec<Doubt>) -> Vec<Seen<'a>> {
    let steps = steps(series);
    let mut from = 0;
    let mut parts: Vec<(f64, &[Seen])> = Vec::new();
    let mut height = 0.0;
    for (at, step) in steps.iter().chain([&(series.len(), 0.0)]) {
        parts.push((height, series.get(from..*at).unwrap_or_default()));
        from = *at;
        height += step;
    }
    if parts.len() < 2 {
        return series.to_vec();
    }
    // What is right: what stands where the breed gives it, and most rows.
    let spread = spread(series, prior);
    let alike = |a: f64, b: f64| (a - b).abs() < NEAR;
    let score = |height: f64| {
        let rows = || parts.iter().filter(move |(h, _)| alike(*h, height)).flat_map(|(_, rows)| rows.iter());
        let n = rows().count() as f64 / series.len().max(1) as f64;
        n.ln() - 0.5 * (median(rows().map(|s| s.off)) / spread).powi(2)
    };
    let right = parts.iter().map(|(h, _)| *h).max_by(|a, b| score(*a).total_cmp(&score(*b))).unwrap_or(0.0);
    let mut rest = Vec::new();
    for (height, rows) in parts {
        let step = height - right;
        if alike(step, 0.0) || !is_factor(step) {
            rest.extend_from_slice(rows);
        } else {
            add(out, doubt(Doubted::Stretch, rows, step, rather(measure(rows), step, NEAR)));
        }
    }
    rest
}

/// Mornings and evenings that stand out together are one stretch.
fn add(out: &mut Vec<Doubt>, found: Option<Doubt>) {
    let Some(found) = found else { return };
    let near = |d: &&mut Doubt| {
        d.what == found.what
            && (d.times / found.times).ln().abs() < NEAR
            && d.span.0 <= found.span.1
            && found.span.0 <= d.span.1
    };
    match out.iter_mut().find(near) {
        Some(d) => {
            d.lines.extend(&found.lines);
            d.lines.sort_unstable();
            d.lines.dedup();
            d.span = (d.span.0.min(found.span.0), d.span.1.max(found.span.1));
        }
        None => out.push(found),
    }
}

/// Whether rows stay where they are beside a step: an illness comes at once and
/// goes slowly. `rows` begin at the step, or end at it.
fn holds(rows: &[Seen]) -> bool {
    let mid = |rows: Option<&[Seen]>| median(rows.unwrap_or_default().iter().map(|s| s.off));
    let n = rows.len().min(LOOK);
    (mid(rows.get(..n)) - mid(rows.get(rows.len() - n..))).abs() < HOLDS
}

/// Where a series steps up or down by a factor: the first row after it, and the
/// step as a logarithm.
fn steps(series: &[Seen]) -> Vec<(usize, f64)> {
    let off = |i: usize| series.get(i).map_or(0.0, |s| s.off);
    let mid = |from: usize, to: usize| median((from..to).map(off));
    let n = series.len();
    let noise = 1.4826 * median((1..n).map(|i| (off(i) - off(i - 1)).abs())) / std::f64::consts::SQRT_2;
    let mut out: Vec<(usize, f64, f64)> = Vec::new();
    for i in FEWEST..(n + 1).saturating_sub(FEWEST) {
        let step = mid(i, (i + LOOK).min(n)) - mid(i.saturating_sub(LOOK), i);
        if step.abs() < OVER_NOISE * noise || !is_factor(step) {
            continue;
        }
        let sharp = (off(i) - off(i - 1)) * step.signum();
        match out.last_mut() {
            // Rows beside a step look over it too: the sharpest is it.
            Some(last) if i - last.0 < LOOK && (last.1 > 0.0) == (step > 0.0) => {
                if sharp > last.2 {
                    *last = (i, step, sharp);
                }
            }
            _ => out.push((i, step, sharp)),
        }
    }
    // What lies on either side stays where it is.
    let ends: Vec<usize> = std::iter::once(0).chain(out.iter().map(|s| s.0)).chain([n]).collect();
    let stays = |at: usize| {
        let around = ends.get(at..at + 3).unwrap_or_default();
        let &[from, step, to] = around else { return false };
        let before = series.get(step.saturating_sub(HOLDS_OVER).max(from)..step);
        let after = series.get(step..to.min(step + HOLDS_OVER));
        holds(before.unwrap_or_default()) && holds(after.unwrap_or_default())
    };
    out.iter().enumerate().filter(|(at, _)| stays(*at)).map(|(_, (i, step, _))| (*i, *step)).collect()
}

/// Mornings against evenings.
fn half(rows: &[Seen]) -> Option<Doubt> {
    let of = |part: Part| rows.iter().copied().filter(|s| s.row.part == part).collect::<Vec<_>>();
    let (am, pm) = (of(Part::Morning), of(Part::Evening));
    if am.len() < FEWEST || pm.len() < FEWEST {
        return None;
    }
    let (a, p) = (median(am.iter().map(|s| s.off)), median(pm.iter().map(|s| s.off)));
    if !is_factor(a - p) {
        return None;
    }
    let (what, rows, off) = if a.abs() > p.abs() {
        (Doubted::Half(Part::Morning), am, a - p)
    } else {
        (Doubted::Half(Part::Evening), pm, p - a)
    };
    let rather = rather(measure(&rows), off, NEAR);
    doubt(what, &rows, off, rather)
}

/// How far the level of rows may stand from the breed's, one standard
/// deviation: her level, her shape, and the noise.
fn spread(rows: &[Seen], prior: &Prior) -> f64 {
    let n = rows.len().max(1) as f64;
    let row = rows.iter().map(|s| prior.axes.row(f64::from(s.row.dim))).sum::<Vector3<f64>>() / n;
    let mut covariance = prior.covariance();
    covariance[(0, 0)] = covariance[(0, 0)].max(LEAST_SPREAD * LEAST_SPREAD);
    let noise = prior.noise.slow.powi(2) + prior.noise.white.powi(2) / n;
    (row.dot(&(covariance * row)) + noise).sqrt()
}

/// The level of what is left against the breed.
fn level(rows: &[Seen], prior: &Prior) -> Option<Doubt> {
    let off = median(rows.iter().map(|s| s.off));
    let sd = spread(rows, prior);
    let rather = rather(measure(rows), off, (0.5 * off.abs()).min(z_two_sided(0.95) * sd));
    let bound = z_two_sided(if rather.explains() { WITHIN_IF_EXPLAINED } else { WITHIN });
    if rows.is_empty() || off.abs() < LEAST_STEP || off.abs() <= bound * sd {
        return None;
    }
    doubt(Doubted::Level, rows, off, rather)
}
