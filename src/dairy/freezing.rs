//! Freezing milk at home.

/// Litres in a cubic foot (NIST Handbook 44, appendix C).
const LITRES_PER_CU_FT: f64 = 28.316_846_592;
/// Kilograms in a pound (NIST Handbook 44, appendix C).
const KG_PER_LB: f64 = 0.453_592_37;

/// Least that a freezer should be asked to freeze, pounds per cubic foot and
/// day (University of Minnesota Extension 2017; freezer manuals).
pub const PACE_LOW_LB_PER_CU_FT: f64 = 2.0;
/// Most that a freezer should be asked to freeze, pounds per cubic foot and
/// day (the same: University of Minnesota Extension 2017; freezer manuals).
pub const PACE_HIGH_LB_PER_CU_FT: f64 = 3.0;

/// Food that a freezer of `litres` can freeze a day, kg: the middle of the
/// advised range, 0.040 kg a litre and day.
#[must_use]
pub fn pace_kg_per_day(litres: f64) -> f64 {
    let (low, high) = pace_range_kg_per_day(litres);
    0.5 * (low + high)
}

/// Advised range of food frozen a day, kg, for a freezer of `litres`.
#[must_use]
pub fn pace_range_kg_per_day(litres: f64) -> (f64, f64) {
    let per_lb = litres.max(0.0) * KG_PER_LB / LITRES_PER_CU_FT;
    (PACE_LOW_LB_PER_CU_FT * per_lb, PACE_HIGH_LB_PER_CU_FT * per_lb)
}

/// Heat to take out of milk from 4 to −18 °C, kJ/kg (worked out; 290 to 330).
pub const HEAT_KJ_PER_KG: f64 = 309.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_freezer_freezes_nothing() {
        assert_eq!(pace_kg_per_day(0.0), 0.0);
        assert_eq!(pace_kg_per_day(-3.0), 0.0);
        assert!(pace_kg_per_day(f64::INFINITY).is_infinite());
    }
}
