//! What hot and damp weather takes from the milk.

use statrs::distribution::{ContinuousCDF, Normal};

/// Temperature-humidity index from which milk falls.
///
/// The value in common use; high-yielding cows were seen to fall from 68, the
/// cows of small farms in Tanzania from 76 (reviewed in Animals 14:1913, 2024).
pub const THI_LIMIT: f64 = 72.0;

/// Temperature-humidity index at `celsius` and relative humidity (0 to 1):
/// `(1.8 T + 32) − (0.55 − 0.0055 RH)(1.8 T − 26)`, RH in percent (National
/// Research Council 1971, from memory).
#[must_use]
pub fn thi(celsius: f64, humidity: f64) -> f64 {
    1.8 * celsius + 32.0 - (0.55 - 0.55 * humidity) * (1.8 * celsius - 26.0)
}

/// Mean of the index above the limit in a month of that mean temperature, whose
/// days are spread normally about it with `swing` °C: summed over the days of a
/// normal law at 41 even steps.
#[must_use]
pub fn mean_excess(celsius: f64, humidity: f64, swing: f64) -> f64 {
    // Steps to each side, a step of the program.
    const STEPS: i32 = 20;
    let (mut sum, mut weight) = (0.0, 0.0);
    for i in -STEPS..=STEPS {
        let z = 3.5 * f64::from(i) / f64::from(STEPS);
        let w = (-0.5 * z * z).exp();
        sum += w * (thi(celsius + swing * z, humidity) - THI_LIMIT).max(0.0);
        weight += w;
    }
    sum / weight
}

/// Part of the days of such a month whose index is above the limit.
#[must_use]
pub fn part_above(celsius: f64, humidity: f64, swing: f64) -> f64 {
    // The index rises evenly with the temperature.
    let slope = thi(1.0, humidity) - thi(0.0, humidity);
    let above = (thi(celsius, humidity) - THI_LIMIT) / slope;
    if swing > 0.0 { Normal::standard().cdf(above / swing) } else { f64::from(u8::from(above > 0.0)) }
}

/// Days of a hot spell of that mean length (1 and more), from a standard
/// exponential: one, and one more with the same chance each day.
#[must_use]
pub fn spell_days(mean: f64, exponential: f64) -> u32 {
    let stays = 1.0 - 1.0 / mean.max(1.0);
    // Of ln 0 comes minus infinity, and of that no day more.
    1 + (exponential / -stays.ln()).min(1000.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn damp_heat_weighs_more() {
        assert!(thi(30.0, 0.8) > thi(30.0, 0.3));
        // At full humidity the index is the temperature in °F.
        assert!((thi(25.0, 1.0) - 77.0).abs() < 1e-12);
    }

    /// 72 at 22.2 °C and full humidity, where the index is the temperature in °F.
    #[test]
    fn the_part_of_days_above_the_limit() {
        let at_the_limit = 40.0 / 1.8;
        assert!((part_above(at_the_limit, 1.0, 3.0) - 0.5).abs() < 1e-9);
        // One standard deviation above and below it (table of the normal law).
        assert!((part_above(at_the_limit + 3.0, 1.0, 3.0) - 0.8413).abs() < 1e-4);
        assert!((part_above(at_the_limit - 3.0, 1.0, 3.0) - 0.1587).abs() < 1e-4);
        assert_eq!((part_above(30.0, 0.6, 0.0), part_above(10.0, 0.6, 0.0)), (1.0, 0.0));
    }

    #[test]
    fn a_spell_has_its_mean_length() {
        for mean in [1.0, 2.0, 4.0, 10.0] {
            let n = 100_000;
            let at = |i: i32| -(1.0 - (f64::from(i) + 0.5) / f64::from(n)).ln();
            let sum: f64 = (0..n).map(|i| f64::from(spell_days(mean, at(i)))).sum();
            assert!((sum / f64::from(n) - mean).abs() < 0.001 * mean, "{mean}: {}", sum / f64::from(n));
        }
    }

    #[test]
    fn a_mild_month_with_hot_days_costs_a_little() {
        assert_eq!(mean_excess(15.0, 0.6, 0.0), 0.0);
        let hot = thi(28.0, 0.6) - THI_LIMIT;
        assert!((mean_excess(28.0, 0.6, 0.0) - hot).abs() < 1e-9);
        let mild = mean_excess(20.0, 0.6, 4.0);
        assert!(mild > 0.1 && mild < hot, "{mild}");
    }
}
