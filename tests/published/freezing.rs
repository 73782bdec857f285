//! Freezing.

use crate::{LB, near, source, within};
use springhouse::dairy::density::milk_kg_per_l;
use springhouse::dairy::freezing::*;

const CU_FT: f64 = 28.316_846_592;

#[test]
fn pace_of_freezers_by_their_manuals() {
    source("freezer manuals: 2 to 3 lb a cubic foot a day");
    // Freezer manuals: 15, 18 and 23 cu ft freeze 30-45, 36-54 and 46-69 lb in 24
    // hours. Exact: 2 and 3 lb a cubic foot.
    for (cu_ft, low, high) in [(15.0, 30.0, 45.0), (18.0, 36.0, 54.0), (23.0, 46.0, 69.0)] {
        let (least, most) = pace_range_kg_per_day(cu_ft * CU_FT);
        near(least / LB, low, 1e-9);
        near(most / LB, high, 1e-9);
    }
}

#[test]
fn pace_a_litre() {
    source("University of Minnesota Extension 2017");
    // University of Minnesota Extension 2017: 2 to 3 lb a cubic foot, 0.032 to
    // 0.048 kg/L; 0.040 is the middle.
    within(pace_kg_per_day(1.0), 0.040, 0.005);
    let (least, most) = pace_range_kg_per_day(1.0);
    near(least, 0.032, 5e-4);
    near(most, 0.048, 5e-4);
}

#[test]
fn a_small_chest_freezer() {
    source("worked out from University of Minnesota Extension 2017");
    // Worked out: 7 cu ft freeze 6.2 to 9.2 L of milk a day, 23 to 34 W.
    let (least, most) = pace_range_kg_per_day(7.0 * CU_FT);
    near(least / milk_kg_per_l(), 6.2, 0.06);
    near(most / milk_kg_per_l(), 9.2, 0.06);
    near(least * HEAT_KJ_PER_KG / 86.4, 23.0, 0.5);
    near(most * HEAT_KJ_PER_KG / 86.4, 34.0, 0.5);
}

#[test]
fn heat_of_freezing() {
    source("worked out from 334 kJ/kg of ice and the heats of milk");
    // Worked out: 4 °C of milk, the ice of about 74 % of its mass at 334 kJ/kg,
    // 18 K of frozen milk at about 2.6 kJ/(kg·K).
    within(HEAT_KJ_PER_KG, 3.9 * 4.5 + 0.74 * 334.0 + 17.5 * 2.6, 0.02);
}

#[test]
fn milk_swells_by_the_ice_in_it() {
    source("worked out: 9 % on the part that freezes");
    // Worked out: 9 % on the part that freezes by −18 °C, 74 %.
    near(frozen_litres(1.0) - 1.0, 0.09 * 0.74, 0.005);
    assert!(frozen_litres(FILL_PART) < 1.0);
}

#[test]
fn headspace_by_missouri() {
    source("University of Missouri Extension");
    // University of Missouri Extension: wide-mouth pint 0.5 in, quart 1 in, narrow
    // mouth 1.5 in.
    near(headspace_m(0.473, true) / 0.0254, 0.5, 1e-12);
    near(headspace_m(0.946, true) / 0.0254, 1.0, 1e-12);
    near(headspace_m(0.473, false) / 0.0254, 1.5, 1e-12);
}
