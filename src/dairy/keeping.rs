//! How fast sweet milk and products use up their life.
//!
//! Life is used up at a rate that follows the square-root law of bacterial
//! growth (Ratkowsky, Olley, McMeekin and Ball 1982, Journal of Bacteriology
//! 149:1-5): `√k = b · (T − Tmin)`. Nothing here says that milk is safe: milk
//! spoiled or not may carry disease, and no rate of spoiling shows it.

/// Tmin of *Pseudomonas fragi* in milk, °C (Fu, Taoukis and Labuza 1991,
/// Journal of Food Science 56:1209); −10 to −3.3 in other data.
pub const TMIN_C: f64 = -7.85;
/// Temperature at which a day of sweet life is a day, °C (a definition).
pub const SWEET_REFERENCE_C: f64 = 4.0;

/// Reference temperature of each kind of place, °C, in the order counter,
/// fridge, freezer, ageing, pantry (a definition: what the presets' times of
/// keeping are stated for).
pub const REFERENCE_C: [f64; 5] = [21.0, 4.0, -18.0, 12.0, 21.0];

/// Days of sweet life at 4 °C used up in a day at `temp_c` (°C), when the
/// temperature swings with standard deviation `swing_sd` (K).
///
/// `((T − Tmin)² + sd²) / (4 − Tmin)²`: exact for any swing that stays above
/// Tmin, since the law is a square. 0 at and below Tmin. The law was fitted up
/// to 12 °C; above that souring bacteria take over and are faster
/// (see [`souring_hours`]).
#[must_use]
pub fn sweet_rate(temp_c: f64, swing_sd: f64) -> f64 {
    square_root_rate(SWEET_REFERENCE_C, temp_c, swing_sd)
}

/// Keeping days used up in a day at `temp_c`, relative to `reference_c`, both
/// °C, with swing `swing_sd` (K).
///
/// Above Tmin the square-root law, as for [`sweet_rate`]. In the frozen range,
/// where nothing grows and quality is lost by slow chemistry, threefold per
/// 10 K (our default), with the exact mean over a normal swing.
#[must_use]
pub fn keep_rate(reference_c: f64, temp_c: f64, swing_sd: f64) -> f64 {
    if reference_c > TMIN_C {
        square_root_rate(reference_c, temp_c, swing_sd)
    } else {
        let per_k = FROZEN_Q10.ln() / 10.0;
        (per_k * (temp_c - reference_c) + 0.5 * (per_k * swing_sd).powi(2)).exp()
    }
}

/// Factor per 10 K on the loss of quality of frozen food (our default).
const FROZEN_Q10: f64 = 3.0;

fn square_root_rate(reference_c: f64, temp_c: f64, swing_sd: f64) -> f64 {
    let above = temp_c - TMIN_C;
    if above <= 0.0 { 0.0 } else { (above * above + swing_sd * swing_sd) / (reference_c - TMIN_C).powi(2) }
}

/// Bacterial growth by the square-root law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// Slope, h^−½ per K.
    pub b: f64,
    /// Temperature at which growth stops, °C.
    pub tmin_c: f64,
}

impl Growth {
    /// Psychrotrophs of ordinary clean raw milk: slope worked out from bulk tank
    /// counts at 2 °C over 96 h (Paludetti and others 2018, Irish Journal of
    /// Agricultural and Food Research 57).
    pub const RAW_MILK: Self = Self { b: 0.021, tmin_c: TMIN_C };
    /// Lactic acid bacteria in milk, 12 to 30 °C (Valik, Acai and Medvedova
    /// 2018, Food Control 87:145).
    pub const SOURING: Self = Self { b: 0.0377, tmin_c: 0.354 };

    /// Growth rate, natural-log units per hour; 0 at and below Tmin.
    #[must_use]
    pub fn rate(&self, temp_c: f64) -> f64 {
        (self.b * (temp_c - self.tmin_c).max(0.0)).powi(2)
    }

    /// Days from `log10_start` to `log10_end` at a steady temperature, without
    /// lag; infinite where nothing grows, 0 when already there.
    #[must_use]
    pub fn days(&self, temp_c: f64, log10_start: f64, log10_end: f64) -> f64 {
        let decades = (log10_end - log10_start).max(0.0);
        if decades > 0.0 { decades * std::f64::consts::LN_10 / (24.0 * self.rate(temp_c)) } else { 0.0 }
    }
}

/// Hours at `temp_c` until warm milk sours: lactic acid bacteria from 10² to
/// 10⁸ per mL (levels from memory; rate as [`Growth::SOURING`], 12 to 30 °C).
#[must_use]
pub fn souring_hours(temp_c: f64) -> f64 {
    24.0 * Growth::SOURING.days(temp_c, 2.0, 8.0)
}

/// log10 of the count per mL at which milk is spoiled: flavour is noticed at 5
/// to 20 million ("Psychrophilic bacteria III", a study of 57 cultures; Punch, Olson
/// and Thomas 1965, Journal of Dairy Science 48:1179, authors and year from memory).
pub const SPOILED_LOG10: f64 = 7.0;

/// Mean log10 of the count of psychrotrophs per mL in fresh ordinary clean milk
/// (our default, set so that its life agrees with the 7 to 10 days of common
/// practice).
pub const ORDINARY_LOG10: f64 = 1.5;

/// Mean sweet life of ordinary clean milk at a steady 4 °C, days.
#[must_use]
pub fn ordinary_days() -> f64 {
    Growth::RAW_MILK.days(SWEET_REFERENCE_C, ORDINARY_LOG10, SPOILED_LOG10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_ages_at_or_below_tmin() {
        assert_eq!(sweet_rate(TMIN_C, 1.0), 0.0);
        assert_eq!(sweet_rate(-30.0, 3.0), 0.0);
        assert_eq!(keep_rate(4.0, -18.0, 0.0), 0.0);
        assert!(Growth::RAW_MILK.days(-18.0, 1.5, 7.0).is_infinite());
        assert_eq!(Growth::RAW_MILK.days(-18.0, 7.0, 7.0), 0.0);
    }

    #[test]
    fn one_at_each_reference() {
        // Room, fridge, freezer, ageing space, cool cupboard.
        assert_eq!(REFERENCE_C, [21.0, 4.0, -18.0, 12.0, 21.0]);
        for reference in REFERENCE_C {
            assert!((keep_rate(reference, reference, 0.0) - 1.0).abs() < 1e-12);
        }
        assert!((sweet_rate(4.0, 0.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn warmer_is_faster_and_a_swing_costs() {
        for reference in REFERENCE_C {
            let mut last = -1.0;
            for step in -25..40i32 {
                let rate = keep_rate(reference, step.into(), 0.0);
                assert!(rate.is_finite() && rate >= last);
                assert!(keep_rate(reference, step.into(), 2.0) >= rate);
                last = rate;
            }
        }
    }

    #[test]
    fn frozen_quality_falls_threefold_per_ten_kelvin() {
        assert!((keep_rate(-18.0, -8.0, 0.0) - 3.0).abs() < 1e-12);
        // Mean over a normal swing: e^((ln 3 / 10)² · sd² / 2).
        assert!((keep_rate(-18.0, -18.0, 3.0) - 1.055_8).abs() < 1e-4);
    }

    #[test]
    fn the_swing_form_is_the_mean_over_a_swing() {
        // A sine of amplitude 3 K about 5 °C, sampled.
        let n = 3600u32;
        let mean = (0..n)
            .map(|i| sweet_rate(5.0 + 3.0 * (f64::from(i) / f64::from(n) * std::f64::consts::TAU).sin(), 0.0))
            .sum::<f64>()
            / f64::from(n);
        assert!((mean - sweet_rate(5.0, 3.0 / 2f64.sqrt())).abs() < 1e-9);
    }
}
