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

/// Part by which milk grows in volume on freezing (worked out from 9 % of ice
/// on the three quarters of the water frozen at −18 °C; 0.06 to 0.09).
pub const EXPANSION: f64 = 0.07;

/// Part of a container to fill with milk that will be frozen (common
/// practice, no source): leaves a tenth, more than [`EXPANSION`] needs.
pub const FILL_PART: f64 = 0.90;

/// Volume once frozen, L.
#[must_use]
pub fn frozen_litres(litres: f64) -> f64 {
    litres * (1.0 + EXPANSION)
}

/// Gap to leave under the lid of a jar that is frozen, m. Wide mouth: half an
/// inch to a pint, an inch above; narrow mouth: an inch and a half (University
/// of Missouri Extension, headspace for freezing).
#[must_use]
pub fn headspace_m(litres: f64, wide_mouth: bool) -> f64 {
    // An inch, m, and a pint of the United States, L (NIST Handbook 44, appendix C).
    const INCH: f64 = 0.0254;
    const PINT_L: f64 = 0.473_176_473;
    if !wide_mouth {
        1.5 * INCH
    } else if litres <= PINT_L * (1.0 + 1e-6) {
        0.5 * INCH
    } else {
        INCH
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_freezer_freezes_nothing() {
        assert_eq!(pace_kg_per_day(0.0), 0.0);
        assert_eq!(pace_kg_per_day(-3.0), 0.0);
        assert!(pace_kg_per_day(f64::INFINITY).is_infinite());
    }

    #[test]
    fn the_pint_is_the_border_of_headspace() {
        assert!(headspace_m(0.473_176_473, true) < headspace_m(0.5, true));
        assert!(headspace_m(0.5, true) < headspace_m(0.5, false));
    }
}
