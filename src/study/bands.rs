//! Bands over the days without keeping the days: integer counts per day and
//! measure in one table that all threads fill.
//!
//! Counts and quantised sums are integers, so the order in which threads fill
//! them cannot show. A value falls into one of 256 log-linear bins: nothing
//! (below 2⁻¹⁰ ≈ 0.001), two bins an octave up to 0.25, sixteen from 0.25 to
//! 4096, two from there to 131 072, and one for all beyond. In the middle range
//! a bin is at most 1/16 = 6.25 % of its value wide, so its middle is within
//! 3.2 % of everything in it; quantiles are interpolated inside the bin and
//! never leave the least and the greatest value of that day. The mean is exact
//! to 2⁻²⁰ of its unit.

use super::measures::want_words;
use super::results::Band;
use super::stats::nearest_rank;
use crate::scenario::{Names, Plan};
use crate::sim::DayLog;
use crate::sim::outcome::{DAY_MEASURES, DayMeasure};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Bins of a day and measure.
pub const BINS: usize = 256;
/// Quantiles of a band, after the mean.
pub const QUANTILES: [f64; 5] = [0.05, 0.10, 0.50, 0.90, 0.95];

/// Sums are kept in units of 2⁻²⁰.
const SCALE: f64 = 1_048_576.0;
/// The greatest value that enters a sum; 2²⁰ · 10⁷ · 200,000 fits a `u64`.
const MOST: f32 = 1.0e7;
/// First octaves of the three ranges, and the end.
const FINE_FROM: i32 = -2;
const COARSE_FROM: i32 = 12;
const LEAST: i32 = -10;
const END: i32 = 17;

/// First bin of an octave and the bits of the mantissa left out within it, by
/// the biased exponent of an `f32`.
const OCTAVES: [(u16, u32); 256] = {
    let mut table = [(0_u16, 23_u32); 256];
    let (mut biased, mut next) = (0, 1_u16);
    while biased < 256 {
        let octave = biased as i32 - 127;
        if octave >= LEAST {
            let bits = if octave >= END {
                0
            } else if octave >= FINE_FROM && octave < COARSE_FROM {
                4
            } else {
                1
            };
            table[biased] = (next, 23 - bits);
            if octave < END {
                next += 1 << bits;
            }
        }
        biased += 1;
    }
    table
};

/// Bin of a value; negative and not-a-number count as nothing.
#[inline]
#[must_use]
pub fn bin(value: f32) -> usize {
    let bits = value.max(0.0).to_bits();
    let (first, shift) = OCTAVES[(bits >> 23) as usize & 0xff];
    first as usize + ((bits & 0x007f_ffff) >> shift) as usize
}

/// Lower edges of the bins, ascending; after the last used one, infinity.
fn edges() -> [f64; BINS + 1] {
    let mut edges = [f64::INFINITY; BINS + 1];
    edges[0] = 0.0;
    for octave in LEAST..=END {
        let (first, shift) = OCTAVES[(octave + 127) as usize];
        let bins = if octave == END { 1 } else { 1 << (23 - shift) };
        for i in 0..bins {
            edges[first as usize + i] = 2_f64.powi(octave) * (1.0 + i as f64 / bins as f64);
        }
    }
    edges
}

/// Counts of one day, all measures.
#[derive(Clone, Debug)]
struct Day {
    counts: Vec<u32>,
    sums: Vec<u64>,
    least: Vec<f32>,
    most: Vec<f32>,
}

/// The shared table. Threads fill it a day at a time, in batches of trials.
#[derive(Debug)]
pub struct Bands {
    measures: usize,
    days: Vec<Mutex<Day>>,
}

impl Bands {
    /// An empty table for a plan: about 1 kB a day and measure.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let measures = DAY_MEASURES + plan.household.wishes.len();
        let day = Day {
            counts: vec![0; measures * BINS],
            sums: vec![0; measures],
            least: vec![f32::INFINITY; measures],
            most: vec![0.0; measures],
        };
        Self { measures, days: plan.days.iter().map(|_| Mutex::new(day.clone())).collect() }
    }

    /// Counts a batch of trials. `turn` chooses the day to begin with, so that
    /// threads do not queue for the same one.
    pub fn add(&self, logs: &[DayLog], turn: usize) {
        let count = self.days.len();
        for step in 0..count {
            let d = (step + turn) % count;
            let mut day = held(&self.days[d]);
            let day = &mut *day;
            // Measure by measure: its counts and the logs' rows stay in cache.
            for (m, counts) in day.counts.chunks_exact_mut(BINS).enumerate() {
                let (mut sum, mut least, mut most) = (0_u64, day.least[m], day.most[m]);
                for log in logs {
                    let value = log.data[d * self.measures + m].max(0.0);
                    counts[bin(value)] += 1;
                    sum += (f64::from(value.min(MOST)) * SCALE + 0.5) as u64;
                    least = least.min(value);
                    most = most.max(value);
                }
                day.sums[m] += sum;
                day.least[m] = least;
                day.most[m] = most;
            }
        }
    }

    /// The bands, in the order of the day measures and then the wishes.
    #[must_use]
    pub fn finish(&self, plan: &Plan, names: &Names) -> Vec<Band> {
        let edges = edges();
        let mut bands: Vec<Band> = headings(plan, names)
            .into_iter()
            .map(|(name, unit)| Band { name, unit, days: Vec::with_capacity(self.days.len()) })
            .collect();
        for day in &self.days {
            let day = held(day);
            for (m, (band, counts)) in bands.iter_mut().zip(day.counts.chunks_exact(BINS)).enumerate() {
                band.days.push(figures(counts, day.sums[m], day.least[m], day.most[m], band.unit, &edges));
            }
        }
        bands
    }
}

/// A lock on a day; counts left by a thread that panicked are never reported,
/// because the panic goes on to the caller.
fn held(day: &Mutex<Day>) -> MutexGuard<'_, Day> {
    day.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Mean and quantiles of one day and measure.
fn figures(counts: &[u32], sum: u64, least: f32, most: f32, unit: &str, edges: &[f64; BINS + 1]) -> [f64; 6] {
    let n: u64 = counts.iter().map(|c| u64::from(*c)).sum();
    if n == 0 {
        return [0.0; 6];
    }
    let whole = matches!(unit, "jars" | "days");
    let (least, most) = (f64::from(least), f64::from(most.min(MOST)));
    let mut figures = [(sum as f64 / SCALE / n as f64).clamp(least.min(most), most), 0.0, 0.0, 0.0, 0.0, 0.0];
    let mut bins = counts.iter().enumerate();
    let (mut at, mut inside, mut passed) = (0, 0_u64, 0_u64);
    for (figure, p) in figures[1..].iter_mut().zip(QUANTILES) {
        let rank = nearest_rank(n as usize, p) as u64;
        while passed + inside < rank {
            passed += inside;
            let Some((next, count)) = bins.next() else { break };
            (at, inside) = (next, u64::from(*count));
        }
        let part = ((rank - passed) as f64 - 0.5) / inside.max(1) as f64;
        let (low, high) = (edges[at], edges[at + 1].min(most.max(edges[at])));
        let value = if at == 0 { 0.0 } else { low + (high - low) * part };
        // Counts of things are whole, and every whole number below 32 begins
        // a bin of its own.
        let value = if whole { value.floor() } else { value };
        *figure = value.clamp(least.min(most), most);
    }
    figures
}

/// All measures of a day, in order.
const DAY: [DayMeasure; DAY_MEASURES] = [
    DayMeasure::Drawn,
    DayMeasure::Fetched,
    DayMeasure::DrinkWanted,
    DayMeasure::DrinkServed,
    DayMeasure::WishesServed,
    DayMeasure::Fed,
    DayMeasure::Wasted,
    DayMeasure::ColdWanted,
    DayMeasure::ColdUsed,
    DayMeasure::JarsUsed,
    DayMeasure::FreezerUsed,
    DayMeasure::AgeingUsed,
    DayMeasure::WholeStock,
    DayMeasure::SkimmedStock,
    DayMeasure::CreamStock,
    DayMeasure::SourStock,
    DayMeasure::ChoreMinutes,
    DayMeasure::KitchenMinutes,
    DayMeasure::OverFull,
    DayMeasure::MilkShort,
    DayMeasure::ShareShort,
    DayMeasure::Sick,
];

/// Name and unit of a band.
const fn heading(measure: DayMeasure) -> (&'static str, &'static str) {
    match measure {
        DayMeasure::Drawn => ("drawn", "kg"),
        DayMeasure::Fetched => ("fetched", "kg"),
        DayMeasure::DrinkWanted => ("drink_wanted", "kg"),
        DayMeasure::DrinkServed => ("drink_served", "kg"),
        DayMeasure::WishesServed => ("wishes_served", "kg"),
        DayMeasure::Fed => ("fed", "kg"),
        DayMeasure::Wasted => ("wasted", "kg"),
        DayMeasure::ColdWanted => ("cold_wanted", "L"),
        DayMeasure::ColdUsed => ("cold_used", "L"),
        DayMeasure::JarsUsed => ("jars_used", "jars"),
        DayMeasure::FreezerUsed => ("freezer_used", "L"),
        DayMeasure::AgeingUsed => ("ageing_used", "L"),
        DayMeasure::WholeStock => ("whole_milk", "kg"),
        DayMeasure::SkimmedStock => ("skimmed_milk", "kg"),
        DayMeasure::CreamStock => ("cream", "kg"),
        DayMeasure::SourStock => ("sour_milk", "kg"),
        DayMeasure::ChoreMinutes => ("chore_minutes", "min"),
        DayMeasure::KitchenMinutes => ("kitchen_minutes", "min"),
        DayMeasure::OverFull => ("over_full", "1"),
        DayMeasure::MilkShort => ("milk_short", "1"),
        DayMeasure::ShareShort => ("share_short", "1"),
        DayMeasure::Sick => ("sick", "1"),
    }
}

/// Names and units of the bands: the day measures, then `butter_stock` and the
/// like for every wish.
#[must_use]
pub fn headings(plan: &Plan, names: &Names) -> Vec<(String, &'static str)> {
    let fixed = DAY.into_iter().map(heading).map(|(name, unit)| (name.to_owned(), unit));
    let wishes = want_words(plan, names).into_iter().skip(1).map(|w| (format!("{w}_stock"), "kg"));
    fixed.chain(wishes).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::testing;

    #[test]
    fn bins_and_edges_agree() {
        let edges = edges();
        let used = edges.iter().filter(|e| e.is_finite()).count();
        assert!(used <= BINS && used > 248, "{used}");
        assert!(edges.windows(2).all(|w| w[0] < w[1] || w[0].is_infinite()));
        let mut v = 1.0e-5_f32;
        while v < 3.0e5 {
            let b = bin(v);
            let x = f64::from(v);
            assert!(edges[b] <= x && x < edges[b + 1], "{v} in bin {b}");
            if (0.25..4096.0).contains(&v) {
                let (low, high) = (edges[b], edges[b + 1]);
                assert!((high - low) / 2.0 <= 0.032 * low, "{v}: {low} to {high}");
            }
            v *= 1.003;
        }
        for whole in 1..32 {
            assert_eq!(edges[bin(whole as f32)], f64::from(whole));
        }
        assert_eq!((bin(0.0), bin(-1.0), bin(f32::NAN)), (0, 0, 0));
        assert_eq!(bin(f32::INFINITY), used - 1);
        for (i, m) in DAY.into_iter().enumerate() {
            assert_eq!(i, m as usize);
        }
    }

    /// Against sorted values: quantiles within 3.2 %, the mean within 2⁻²⁰.
    #[test]
    fn figures_against_sorted_values() {
        let (mut plan, names) = testing::house();
        plan.days.truncate(2);
        let bands = Bands::new(&plan);
        let mut logs = vec![DayLog::new(&plan); 1000];
        let measures = logs[0].measures;
        // A golden-ratio sequence is even on 0 to 1: log-uniform over three
        // decades, a narrow hump, a constant, a flag and a count of jars.
        let value = |i: usize, m: usize| {
            let u = (i as f64 * 0.618_033_988_749_895).fract();
            match m {
                0 => 0.5 * 1000_f64.powf(u),
                1 => 20.0 + u,
                2 => 7.3,
                18 => f64::from(u8::from(u < 0.3)),
                9 => (u * 30.0).floor(),
                _ => 0.0,
            }
        };
        for (i, log) in logs.iter_mut().enumerate() {
            for m in 0..measures {
                log.data[m] = value(i, m) as f32;
            }
        }
        for (turn, batch) in logs.chunks(32).enumerate() {
            bands.add(batch, turn);
        }
        let bands = bands.finish(&plan, &names);
        for (m, band) in bands.iter().enumerate() {
            let mut sorted: Vec<f64> = (0..1000).map(|i| f64::from(value(i, m) as f32)).collect();
            sorted.sort_by(f64::total_cmp);
            let mean = sorted.iter().sum::<f64>() / 1000.0;
            assert!((band.days[0][0] - mean).abs() <= 1.0 / SCALE, "{} {mean}", band.name);
            for (i, p) in QUANTILES.into_iter().enumerate() {
                let exact = sorted[nearest_rank(1000, p) - 1];
                let found = band.days[0][i + 1];
                assert!((found - exact).abs() <= 0.032 * exact + 1e-9, "{} {p}: {found} {exact}", band.name);
                if matches!(m, 2 | 9 | 18) {
                    assert_eq!(found, exact, "{} {p}", band.name);
                }
            }
            assert_eq!(band.days[1], [0.0; 6]);
        }
    }
}
