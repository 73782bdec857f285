//! What is in milk, by stage of lactation and by milking.

/// One part of milk over the lactation: `x(t) = p0 + p1 · e^(−k·t) + p2 · t`,
/// percent at day `t` in milk. The presets' figures were fitted on days 4 to 305
/// of the milkings recorded by Friggens, Ridder and Lovendahl 2007, Journal of
/// Dairy Science 90:5453-5467.
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

/// Least fat of a milking, as a part of the day's mean (our default; a bound of
/// the program: the excesses of the breeds come nowhere near it).
const LEAST_FAT: f64 = 0.2;

/// Fat of the morning and of the evening milking, mass fractions, from the
/// day's mean fat. The day's fat is conserved:
/// `morning · part + evening · (1 − part) = mean`.
///
/// `evening_excess` is evening minus morning fat (0.0107 to 0.0132 in three
/// breeds, worked out from Friggens, Ridder and Lovendahl 2007), held within
/// what leaves each milking a fifth of the mean; `morning_part` is the part of
/// the day's milk drawn in the morning, above 0 and below 1.
#[must_use]
pub fn split_by_milking(mean_fat: f64, evening_excess: f64, morning_part: f64) -> (f64, f64) {
    let evening_part = 1.0 - morning_part;
    let least = LEAST_FAT * mean_fat;
    let most = (mean_fat - evening_part * least) / morning_part;
    let morning = (mean_fat - evening_excess * evening_part).min(most).max(least);
    (morning, (mean_fat - morning_part * morning) / evening_part)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The fat of later Holsteins in Denmark.
    const FAT: Stage = Stage { p0: 3.954, p1: 2.218, k: 0.05, p2: 0.002_96 };

    #[test]
    fn no_milk_no_mean() {
        assert_eq!(FAT.mean(&[]), None);
        assert_eq!(FAT.mean(&[0.0, 0.0]), None);
        assert_eq!(FAT.shift_to_mean(&[], 0.04), FAT);
    }

    #[test]
    fn the_mean_is_weighted_by_milk() {
        // All milk on day 100: the mean is that day's.
        let mut yields = vec![0.0; 200];
        yields[99] = 12.0;
        let mean = FAT.mean(&yields).unwrap();
        assert!((mean - FAT.at(100.0)).abs() < 1e-15);
    }

    #[test]
    fn days_1_10_and_300_by_another_program() {
        // Percent, from the printed parameters; the second rises from little, as
        // lactose does.
        let fits = [
            (FAT, [6.0668, 5.3289, 4.842]),
            (Stage { p0: 4.936, p1: -0.525, k: 0.15, p2: -0.001_01 }, [4.4831, 4.8088, 4.633]),
        ];
        for (stage, percents) in fits {
            for (day, percent) in [1.0, 10.0, 300.0].into_iter().zip(percents) {
                assert!((100.0 * stage.at(day) - percent).abs() < 6e-5, "{stage:?} {day}");
            }
        }
    }

    #[test]
    fn never_negative() {
        let lean = FAT.shift_to_mean(&[10.0; 305], 0.0);
        for day in 0..=700u16 {
            assert!(lean.at(day.into()) >= 0.0);
        }
        assert_eq!(FAT.at(0.0), FAT.at(1.0));
    }

    #[test]
    fn a_move_keeps_the_shape() {
        let yields: Vec<f64> = (0..305u16).map(|d| 30.0 - 0.05 * f64::from(d)).collect();
        let moved = FAT.shift_to_mean(&yields, 0.0519);
        assert!((moved.mean(&yields).unwrap() - 0.0519).abs() < 1e-14);
        assert!((moved.at(200.0) - moved.at(50.0) - FAT.at(200.0) + FAT.at(50.0)).abs() < 1e-14);
    }

    #[test]
    fn a_split_keeps_the_fat_and_stays_in_range() {
        for mean in [0.0, 0.001, 0.04, 0.08] {
            for excess in [-0.2, -0.012, 0.0, 0.012, 0.2] {
                for part in [0.05, 0.3, 0.5, 0.609, 0.95] {
                    let (morning, evening) = split_by_milking(mean, excess, part);
                    let least = LEAST_FAT * mean - 1e-15;
                    assert!(morning >= least && evening >= least, "{mean} {excess} {part}");
                    assert!((morning * part + evening * (1.0 - part) - mean).abs() < 1e-15);
                }
            }
        }
    }

    #[test]
    fn no_milking_has_less_than_a_fifth_of_the_fat() {
        // Six tenths in the morning: an evening of a fifth leaves the morning
        // (0.01 - 0.4 · 0.002) / 0.6, a morning of a fifth the evening
        // (0.01 - 0.6 · 0.002) / 0.4.
        let close = |(a, b): (f64, f64), (c, d): (f64, f64)| {
            assert!((a - c).abs() < 1e-15 && (b - d).abs() < 1e-15, "{a} {b}, {c} {d}");
        };
        close(split_by_milking(0.01, 0.05, 0.6), (0.002, 0.022));
        close(split_by_milking(0.01, -0.05, 0.6), (0.0092 / 0.6, 0.002));
        close(split_by_milking(0.04, 0.01, 0.6), (0.036, 0.046));
        close(split_by_milking(0.04, -0.01, 0.6), (0.044, 0.034));
    }
}
