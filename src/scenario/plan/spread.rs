//! How far an amount lies from its mean, by inversion of one uniform.

use std::sync::Arc;

use statrs::distribution::{Continuous, ContinuousCDF, Gamma};

/// Octaves from the middle of the law to either end (a step of the program): the
/// last cell is what is drunk on one day in 65,536.
const OCTAVES: u64 = 15;
/// Cells of an octave, as a power of two (a step of the program).
const STEP_BITS: u32 = 4;
/// Cells of one side beside the last one (worked out).
const CELLS: u64 = OCTAVES << STEP_BITS;
/// Bits of a double's mantissa below those that name its cell (worked out from IEEE
/// 754: 52 in all).
const WITHIN: u32 = 52 - STEP_BITS;
/// Spreads of less than a thousandth are none (a bound of the program).
const LEAST: f64 = 1e-3;

/// A positive amount over its mean: the gamma law of a given coefficient of
/// variation, as straight lines in one uniform.
///
/// The law is cut into cells by the part of it that lies beyond, on the nearer side:
/// 16 to each octave (1/2 to 1/4, 1/4 to 1/8, …), which a double names by its leading
/// bits, and one for the last 1/65,536. In its cell the amount is a straight line that
/// keeps the mean of the law there, and its variance as far as two lines do not
/// overlap. So the mean of the whole is exact, its variance too small by no more than 2 in
/// 100,000, and its distribution function right to 1 in 10,000. A day
/// costs one look-up, one multiplication and one subtraction.
#[derive(Clone, Debug, Default)]
pub struct Spread {
    /// From the middle outwards, the upper side and the lower by turns; empty:
    /// always the mean.
    lines: Arc<[Line]>,
}

#[derive(Clone, Copy, Debug)]
struct Line {
    /// The amount where nothing lies above.
    most: f64,
    /// What it loses for all that lies above.
    fall: f64,
}

impl Spread {
    /// Gamma of mean 1 and this coefficient of variation, up to 1 (no scenario asks
    /// for more: none then).
    #[must_use]
    pub fn gamma(cv: f64) -> Self {
        if !(LEAST..=1.0).contains(&cv) {
            return Self::default();
        }
        let shape = 1.0 / (cv * cv);
        let Ok(law) = Gamma::new(shape, shape) else { return Self::default() };
        let lower = (0..=CELLS).rev().map(|i| 1.0 - beyond(i));
        let upper = (1..=CELLS).map(beyond);
        let inner = lower.chain(upper).map(|above| Edge::of(&law, cv, above));
        let edges: Vec<Edge> = [Edge::end(1.0)].into_iter().chain(inner).chain([Edge::end(0.0)]).collect();
        let mut cells: Vec<Cell> = edges.windows(2).map(|e| Cell::between(e[0], e[1], cv)).collect();
        without_overlap(&mut cells, cv);
        let (lower, upper) = cells.split_at(cells.len() / 2);
        let by_turns = upper.iter().zip(lower.iter().rev()).flat_map(|(above, below)| [above, below]);
        Self { lines: by_turns.map(|c| c.line(cv)).collect() }
    }

    /// The amount over its mean that is passed on such a part of days (0 to 1):
    /// the less, the larger.
    #[inline]
    #[must_use]
    pub fn passed_on(&self, part: f64) -> f64 {
        let below = part > 0.5;
        let beyond = if below { 1.0 - part } else { part };
        let cell = (HALF.saturating_sub(beyond.to_bits()) >> WITHIN).min(CELLS);
        let line = self.lines.get(2 * cell as usize + usize::from(below));
        line.map_or(1.0, |line| line.most - line.fall * part)
    }
}

/// The bits of 1/2: those of a smaller double, taken from them, count cells outwards
/// (worked out).
const HALF: u64 = 0.5f64.to_bits();

/// The part that lies beyond where a cell begins.
fn beyond(cell: u64) -> f64 {
    f64::from_bits(HALF - (cell << WITHIN))
}

/// Where two cells meet.
#[derive(Clone, Copy)]
struct Edge {
    /// Part of the law above it.
    above: f64,
    /// Amount, in spreads from the mean.
    z: f64,
    /// Amount over its mean times density, over the spread: what integrals of the
    /// law by parts are made of.
    flow: f64,
}

impl Edge {
    /// Either end of the law: nothing flows there.
    const fn end(above: f64) -> Self {
        Self { above, z: 0.0, flow: 0.0 }
    }

    fn of(law: &Gamma, cv: f64, above: f64) -> Self {
        // By its logarithm: the powers of a narrow law overflow.
        let density = |amount| law.ln_pdf(amount).exp();
        let near = law.inverse_cdf(1.0 - above);
        // A last step of Newton's: what is found is right to 1e-9 only, and the
        // variance of a narrow cell is a small difference.
        let amount = near - (law.cdf(near) - (1.0 - above)) / density(near);
        Self { above, z: (amount - 1.0) / cv, flow: cv * amount * density(amount) }
    }
}

/// The law in one cell.
struct Cell {
    from: f64,
    to: f64,
    /// Its mean, in spreads from that of the law.
    mean: f64,
    /// Half of the line's rise.
    half: f64,
}

impl Cell {
    /// By parts, with `(y − 1) f = −cv² (y f)′` of a gamma density `f` of mean 1: the integral
    /// of `z f` is the fall of `flow`; that of `z² f` its own part, and the falls of
    /// `cv · flow` and `z · flow`.
    fn between(low: Edge, high: Edge, cv: f64) -> Self {
        let part = low.above - high.above;
        let mean = (low.flow - high.flow) / part;
        let square = 1.0 + cv * mean + (low.z * low.flow - high.z * high.flow) / part;
        let variance = (square - mean * mean).max(0.0);
        Self { from: low.above, to: high.above, mean, half: (3.0 * variance).sqrt() }
    }

    fn line(&self, cv: f64) -> Line {
        let fall = 2.0 * cv * self.half / (self.from - self.to);
        Line { most: 1.0 + cv * (self.mean + self.half) + fall * self.to, fall }
    }
}

/// Shortens lines so that none begins below where the one before it ends, nor
/// below nothing. The long ones at either end give way alone.
fn without_overlap(cells: &mut [Cell], cv: f64) {
    let [first, inner @ .., last] = cells else { return };
    let mut fits = vec![1.0f64; inner.len()];
    for (i, pair) in inner.windows(2).enumerate() {
        let fit = (pair[1].mean - pair[0].mean) / (pair[0].half + pair[1].half);
        fits[i] = fits[i].min(fit);
        fits[i + 1] = fits[i + 1].min(fit);
    }
    for (cell, fit) in inner.iter_mut().zip(fits) {
        cell.half *= fit;
    }
    if let [second, ..] = inner {
        first.half = first.half.min(second.mean - second.half - first.mean).min(first.mean + 1.0 / cv);
    }
    if let [.., before] = inner {
        last.half = last.half.min(last.mean - before.mean - before.half);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every percent, and the least.
    fn spreads() -> impl Iterator<Item = f64> {
        (1..=100).map(|percent| f64::from(percent) / 100.0).chain([0.001, 0.0015, 0.0053])
    }

    /// Mean and variance of the lines, each exact by its cell.
    fn moments(s: &Spread) -> (f64, f64) {
        let (mut mean, mut square) = (0.0, 0.0);
        for (i, line) in (0..).zip(s.lines.iter()) {
            let end = if i / 2 == CELLS { 0.0 } else { beyond(i / 2 + 1) };
            let (wide, middle) = (beyond(i / 2) - end, 0.5 * (beyond(i / 2) + end));
            let above = if i % 2 == 0 { middle } else { 1.0 - middle };
            let off = line.most - line.fall * above - 1.0;
            mean += wide * off;
            square += wide * (off * off + (line.fall * wide).powi(2) / 12.0);
        }
        (1.0 + mean, square - mean * mean)
    }

    #[test]
    fn mean_and_variance_are_those_of_the_law() {
        for cv in spreads() {
            let (mean, variance) = moments(&Spread::gamma(cv));
            let part = variance / (cv * cv);
            assert!((mean - 1.0).abs() < 1e-14, "{cv}: {mean}");
            assert!((1.0 - 2e-5..1.0).contains(&part), "{cv}: {part}");
        }
    }

    #[test]
    fn the_distribution_is_nowhere_far_from_the_law() {
        for cv in spreads() {
            let (s, shape) = (Spread::gamma(cv), 1.0 / (cv * cv));
            let law = Gamma::new(shape, shape).unwrap();
            let n = 5_000;
            let farthest = (1..n)
                .map(|i| f64::from(i) / f64::from(n))
                .map(|part| (law.sf(s.passed_on(part)) - part).abs())
                .fold(0.0, f64::max);
            assert!(farthest < 1e-4, "{cv}: {farthest}");
        }
    }

    #[test]
    fn the_less_lies_above_the_more_it_is() {
        for cv in spreads() {
            let s = Spread::gamma(cv);
            let near = |x: f64| [x * (1.0 + 1e-12), x, x * (1.0 - 1e-12), x * 0.99];
            let lower = (0..=CELLS).rev().map(|i| 1.0 - beyond(i)).flat_map(near).filter(|x| *x <= 1.0);
            let upper = (0..=CELLS).map(beyond).chain([1e-6, 1e-9]).flat_map(near);
            let mut parts: Vec<f64> = lower.chain(upper).chain([0.0, 1.0]).collect();
            parts.sort_by(|a, b| b.total_cmp(a));
            let mut last = 0.0;
            for part in parts {
                let amount = s.passed_on(part);
                assert!(amount >= last - 1e-14, "{cv}: {amount} at {part} after {last}");
                last = amount;
            }
            assert!(last > 1.0 + 4.0 * cv && last.is_finite());
        }
    }

    #[test]
    fn no_spread_is_the_mean() {
        for s in [Spread::default(), Spread::gamma(0.0), Spread::gamma(5e-4)] {
            assert!([0.0, 0.3, 1.0].map(|part| s.passed_on(part)) == [1.0; 3]);
        }
    }
}
