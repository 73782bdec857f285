//! Density and heat.

use crate::{GALLON, LB, between, differs, near, source, within};
use springhouse::dairy::density::*;

/// Milk density table of Goff, University of Guelph, Dairy Science and
/// Technology: fat %, solids-not-fat %, kg/L at 4.4, 10, 20 and 38.9 °C.
const TABLE: [(f64, f64, [f64; 4]); 6] = [
    (4.00, 8.95, [1.035, 1.033, 1.030, 1.023]),
    (3.60, 8.60, [1.033, 1.032, 1.029, 1.022]),
    (0.02, 8.90, [1.036, 1.035, 1.033, 1.026]),
    (12.25, 7.75, [1.027, 1.025, 1.020, 1.010]),
    (20.0, 7.20, [1.021, 1.018, 1.012, 1.000]),
    (36.6, 5.55, [1.008, 1.005, 0.994, 0.978]),
];

#[test]
fn six_products_at_four_temperatures_by_goff() {
    source("Goff, University of Guelph, Dairy Science and Technology, table of milk density");
    // The table is printed to 0.001; the fit may add as much.
    for (fat, solids, row) in TABLE {
        for (temp, want) in [4.4, 10.0, 20.0, 38.9].into_iter().zip(row) {
            near(kg_per_l(fat / 100.0, solids / 100.0, temp), want, 0.001);
        }
    }
}

#[test]
fn pounds_a_gallon_by_goff() {
    source("Goff, University of Guelph, Dairy Science and Technology, table of milk density");
    let pounds = |fat, solids, temp| kg_per_l(fat, solids, temp) * GALLON / LB;
    near(pounds(0.04, 0.0895, 4.4), 8.64, 0.01);
    near(pounds(0.04, 0.0895, 20.0), 8.60, 0.01);
    near(pounds(0.366, 0.0555, 4.4), 8.41, 0.01);
}

#[test]
fn classic_constants_at_15c() {
    source("worked out from the constants 0.93 and 1.608 (common practice)");
    // Worked out from the constants 0.93 and 1.608 (common practice).
    near(kg_per_l_15c(0.04, 0.0895), 1.0318, 1e-4);
    near(kg_per_l_15c(0.20, 0.0720), 1.0123, 1e-4);
    near(kg_per_l_15c(0.366, 0.0555), 0.9935, 1e-4);
}

#[test]
fn known_difference_cold_cream_is_denser_than_the_classic_constants_say() {
    source("Goff, University of Guelph, Dairy Science and Technology, table of milk density");
    // Goff's heavy cream at 10 °C is 1.005: fat partly solid. The constants give
    // 0.9935 at 15 °C.
    let why = "at 10 °C some of the fat is solid; the constants hold at 15 °C, so the model uses the table";
    differs(kg_per_l_15c(0.366, 0.0555), TABLE[5].2[1], 0.9935, 0.0015, why);
}

#[test]
fn fifty_seven_creams_at_10c() {
    source("a journal abstract on the density of cream at low temperature; Goff's table");
    // Journal abstract on cream density at low temperature: 1.03123 − 0.00077·F
    // at 9.85 °C, and Goff's table at 10 °C within 0.003.
    near(cream_kg_per_l_10c(0.366), 1.0030, 1e-4);
    near(cream_kg_per_l_10c(0.20), 1.0158, 1e-4);
    near(cream_kg_per_l_10c(0.366), 1.005, 0.003);
    for fat in [0.20, 0.30, 0.40, 0.50] {
        near(kg_per_l(fat, cream_solids(fat, 0.089), 10.0), cream_kg_per_l_10c(fat), 0.004);
    }
}

#[test]
fn blends_of_fat_and_skim() {
    source("outputs of a published course exercise");
    // Outputs of a published course exercise: fat 952.6, skim 1035.5 kg/m³.
    near(mixed(0.35, 952.6, 1035.5), 1004.89, 0.01);
    near(mixed(0.035, 952.6, 1035.5), 1032.36, 0.01);
}

#[test]
fn cold_milks_by_watson_1961() {
    source("Watson and Tittsler 1961, The density of milk at low temperatures");
    // Watson and Tittsler 1961, "The density of milk at low temperatures": 101
    // samples at 4.95 °C between 1.0322 and 1.0373.
    for (fat, solids) in [(0.030, 0.084), (0.037, 0.088), (0.050, 0.093), (0.0535, 0.0945)] {
        between(kg_per_l(fat, solids, 4.95), 1.0322, 1.0373);
    }
}

#[test]
fn cups_by_usda() {
    source("USDA National Nutrient Database for Standard Reference");
    // USDA National Nutrient Database for Standard Reference: whole milk 244 g,
    // heavy cream 238 g a cup of 236.6 mL; grams are rounded to 1.
    within(kg_per_l(0.0327, 0.0860, 4.4), 0.244 / 0.2366, 0.005);
    within(kg_per_l(0.3608, 0.0611, 4.4), 0.238 / 0.2366, 0.005);
    within(milk_kg_per_l(), 0.244 / 0.2366, 0.005);
}

#[test]
fn solids_of_cream_by_goff() {
    source("Goff, University of Guelph, Dairy Science and Technology, table of milk density");
    // Dilution alone gives 5.64 % against 5.55 % printed.
    near(100.0 * cream_solids(0.366, 0.089), 5.55, 0.1);
}

#[test]
fn specific_heat_by_kessler_1981() {
    source("Kessler 1981; Geankoplis, Transport Processes, table A.4");
    // Whole milk 87.3 / 4.8 / 3.3 / 3.9 / 0.7 % water, sugar, protein, fat, ash.
    near(specific_heat(0.873, 0.048, 0.033, 0.039, 0.007), 3.84, 0.005);
    // Geankoplis, Transport Processes, table A.4: whole milk 3.85.
    within(specific_heat(0.873, 0.048, 0.033, 0.039, 0.007), 3.85, 0.01);
}

#[test]
fn specific_heat_of_skim_by_geankoplis() {
    source("Geankoplis, Transport Processes, table A.4");
    // Table A.4: 3.98 to 4.02. Composition of the USDA table; 2 % for the rule.
    within(specific_heat(0.9084, 0.0496, 0.0337, 0.0008, 0.0075), 4.00, 0.02);
}

#[test]
fn known_difference_butter_takes_more_heat_than_kessler_says() {
    source("Geankoplis, Transport Processes, table A.4");
    // Geankoplis, table A.4: 2.30. The rule has no melting fat: 2.07.
    let rule = specific_heat(0.1587, 0.0006, 0.0085, 0.8111, 0.0211);
    differs(rule, 2.30, 2.07, 0.01, "the mixing rule leaves out the fat that melts");
}

#[test]
fn specific_heat_of_cheese_by_geankoplis() {
    source("Geankoplis, Transport Processes, table A.4; composition by USDA Standard Reference");
    // Swiss cheese 2.68; 37.2 / 5.4 / 26.9 / 27.8 / 3.5 %. Fat is mostly solid
    // there, and 5 % is for the rule.
    within(specific_heat(0.372, 0.054, 0.269, 0.278, 0.035), 2.68, 0.05);
}

#[test]
fn known_difference_rich_cream_takes_more_heat_than_kessler_says() {
    source("Geankoplis, Transport Processes, table A.4");
    // Cream of 45 % fat 3.27, of 60 % 3.06; the rest of it skimmed milk.
    let rule = |fat: f64| {
        let rest = 1.0 - fat;
        specific_heat(0.911 * rest, 0.050 * rest, 0.034 * rest, fat, 0.007 * rest)
    };
    let why = "the mixing rule leaves out the fat that melts";
    differs(rule(0.45), 3.27, 2.93, 0.03, why);
    differs(rule(0.60), 3.06, 2.60, 0.03, why);
}
