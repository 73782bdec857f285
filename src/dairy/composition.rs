//! What is in milk, by stage of lactation and by milking.

/// One part of milk over the lactation: `x(t) = p0 + p1 · e^(−k·t) + p2 · t`,
/// percent at day `t` in milk, fitted on days 4 to 305.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// Level, percent.
    pub p0: f64,
    /// Excess at freshening (colostrum), percent.
    pub p1: f64,
    /// Rate at which the excess fades, per day.
    pub k: f64,
    /// Drift, percent per day.
    pub p2: f64,
}

/// The three parts of one breed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stages {
    /// Fat.
    pub fat: Stage,
    /// True protein.
    pub protein: Stage,
    /// Lactose.
    pub lactose: Stage,
}

const fn stage(k: f64, p0: f64, p1: f64, p2: f64) -> Stage {
    Stage { p0, p1, k, p2 }
}

// The nine fits below are worked out from the milkings recorded by Friggens,
// Ridder and Lovendahl 2007, Journal of Dairy Science 90:5453-5467 (data set
// `milkman`; 288 lactations, well-fed Danish cows).

/// Jersey: fat, protein, lactose over the lactation (Friggens and others 2007).
pub const JERSEY: Stages = Stages {
    fat: stage(0.05, 5.279, 0.629, 0.005_06),
    protein: stage(0.15, 3.465, 1.601, 0.003_99),
    lactose: stage(0.15, 4.863, -0.544, -0.000_87),
};
/// Holstein: fat, protein, lactose over the lactation (Friggens and others 2007).
pub const HOLSTEIN: Stages = Stages {
    fat: stage(0.05, 3.954, 2.218, 0.002_96),
    protein: stage(0.15, 3.022, 2.335, 0.002_83),
    lactose: stage(0.15, 4.836, -0.679, -0.000_68),
};
/// Danish Red: fat, protein, lactose over the lactation (Friggens and others
/// 2007).
pub const DANISH_RED: Stages = Stages {
    fat: stage(0.05, 4.073, 1.636, 0.002_99),
    protein: stage(0.10, 3.121, 1.747, 0.002_97),
    lactose: stage(0.15, 4.936, -0.525, -0.001_01),
};

impl Stage {
    /// Mass fraction at day `dim` in milk (days below 1 are read as day 1);
    /// never negative.
    #[must_use]
    pub fn at(&self, dim: f64) -> f64 {
        let t = dim.max(1.0);
        (self.p0 + self.p1 * (-self.k * t).exp() + self.p2 * t).max(0.0) / 100.0
    }

    /// Mean over the lactation weighted by the yield of each day, mass
    /// fraction. `yields[i]` is the milk of day `i + 1`. `None` when there is
    /// no milk.
    #[must_use]
    pub fn mean(&self, yields: &[f64]) -> Option<f64> {
        let (mut milk, mut part) = (0.0, 0.0);
        for (day, &kg) in (1u32..).zip(yields) {
            milk += kg;
            part += kg * self.at(f64::from(day));
        }
        (milk > 0.0).then(|| part / milk)
    }

    /// The same course moved up or down so that the mean over the lactation,
    /// weighted by yield, is `mean` (mass fraction). Unchanged when there is
    /// no milk. The mean is exact as long as no day would fall below zero.
    #[must_use]
    pub fn shift_to_mean(self, yields: &[f64], mean: f64) -> Self {
        match self.mean(yields) {
            Some(own) => Self { p0: self.p0 + 100.0 * (mean - own), ..self },
            None => self,
        }
    }
}

/// Part of the day's milk drawn in the morning in the herd whose evening excess
/// of fat was measured (worked out from Friggens, Ridder and Lovendahl 2007,
/// Journal of Dairy Science 90:5453-5467): a night of 14.6 h, if milk is
/// secreted evenly.
pub const MEASURED_MORNING_PART: f64 = 0.609;

/// Evening minus morning fat, points of mass fraction, for a morning that
/// draws `morning_part` (0 to 1) of the day's milk, from the `measured` excess
/// of a herd whose mornings drew [`MEASURED_MORNING_PART`].
///
/// The milk of the longer interval is the leaner. The excess grows straight
/// with what the morning draws over a half: none with equal intervals, the
/// measured one at the measured part, and below a half the morning's milk is
/// the richer. The two ends are given; the straight line between and beyond
/// them is our default, held within twice the measured excess.
#[must_use]
pub fn evening_excess(measured: f64, morning_part: f64) -> f64 {
    let factor = (morning_part - 0.5) / (MEASURED_MORNING_PART - 0.5);
    measured * factor.clamp(-2.0, 2.0)
}

/// Fat of the morning and of the evening milking, mass fractions, from the
/// day's mean fat. The day's fat is conserved:
/// `morning · part + evening · (1 − part) = mean`.
///
/// `evening_excess` is evening minus morning fat (0.0107 to 0.0132 in three
/// breeds, worked out from Friggens, Ridder and Lovendahl 2007), held within
/// what leaves both milkings at 0 or more; `morning_part` is the part of the
/// day's milk drawn in the morning, 0 to 1.
#[must_use]
pub fn split_by_milking(mean_fat: f64, evening_excess: f64, morning_part: f64) -> (f64, f64) {
    let morning_part = morning_part.clamp(0.0, 1.0);
    let evening_part = 1.0 - morning_part;
    let mut excess = evening_excess;
    if evening_part > 0.0 {
        excess = excess.min(mean_fat / evening_part);
    }
    if morning_part > 0.0 {
        excess = excess.max(-mean_fat / morning_part);
    }
    let morning = mean_fat - excess * evening_part;
    (morning, morning + excess)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_milk_no_mean() {
        assert_eq!(JERSEY.fat.mean(&[]), None);
        assert_eq!(JERSEY.fat.mean(&[0.0, 0.0]), None);
        assert_eq!(JERSEY.fat.shift_to_mean(&[], 0.04), JERSEY.fat);
    }

    #[test]
    fn the_mean_is_weighted_by_milk() {
        // All milk on day 100: the mean is that day's.
        let mut yields = vec![0.0; 200];
        yields[99] = 12.0;
        let mean = HOLSTEIN.protein.mean(&yields).unwrap();
        assert!((mean - HOLSTEIN.protein.at(100.0)).abs() < 1e-15);
    }

    #[test]
    fn days_1_10_and_300_by_another_program() {
        // Percent, from the printed parameters.
        let fits = [
            (JERSEY.fat, [5.8824, 5.7111, 6.797]),
            (JERSEY.protein, [4.847, 3.8621, 4.662]),
            (JERSEY.lactose, [4.3939, 4.7329, 4.602]),
            (HOLSTEIN.fat, [6.0668, 5.3289, 4.842]),
            (HOLSTEIN.protein, [5.0346, 3.5713, 3.871]),
            (HOLSTEIN.lactose, [4.2509, 4.6777, 4.632]),
            (DANISH_RED.fat, [5.6322, 5.0952, 4.97]),
            (DANISH_RED.protein, [4.7047, 3.7934, 4.012]),
            (DANISH_RED.lactose, [4.4831, 4.8088, 4.633]),
        ];
        for (stage, percents) in fits {
            for (day, percent) in [1.0, 10.0, 300.0].into_iter().zip(percents) {
                assert!((100.0 * stage.at(day) - percent).abs() < 6e-5, "{stage:?} {day}");
            }
        }
    }

    #[test]
    fn never_negative() {
        let lean = JERSEY.fat.shift_to_mean(&[10.0; 305], 0.0);
        for day in 0..=700u16 {
            assert!(lean.at(day.into()) >= 0.0);
        }
        assert_eq!(JERSEY.fat.at(0.0), JERSEY.fat.at(1.0));
    }

    #[test]
    fn a_split_keeps_the_fat_and_stays_in_range() {
        for mean in [0.0, 0.001, 0.04, 0.08] {
            for excess in [-0.2, -0.012, 0.0, 0.012, 0.2] {
                for part in [0.0, 0.1, 0.5, 0.609, 1.0] {
                    let (morning, evening) = split_by_milking(mean, excess, part);
                    assert!(morning >= -1e-15 && evening >= -1e-15, "{mean} {excess} {part}");
                    assert!((morning * part + evening * (1.0 - part) - mean).abs() < 1e-15);
                }
            }
        }
    }

    #[test]
    fn no_milking_has_less_than_no_fat() {
        // Six tenths in the morning: the evening's excess is 0.01 / 0.4 at most,
        // the morning's 0.01 / 0.6.
        let close = |(a, b): (f64, f64), (c, d): (f64, f64)| {
            assert!((a - c).abs() < 1e-15 && (b - d).abs() < 1e-15, "{a} {b}, {c} {d}");
        };
        close(split_by_milking(0.01, 0.05, 0.6), (0.0, 0.025));
        close(split_by_milking(0.01, -0.05, 0.6), (0.01 / 0.6, 0.0));
        close(split_by_milking(0.04, 0.01, 0.6), (0.036, 0.046));
        // All in one milking.
        close(split_by_milking(0.04, 0.01, 1.0), (0.04, 0.05));
        close(split_by_milking(0.04, 0.01, 0.0), (0.03, 0.04));
    }
}
