//! Density and heat.

use crate::common::recipes::litre;
use crate::{GALLON, LB, between, differs, near, source};
use springhouse::dairy::cooling::WRAPPED_KJ_PER_L_K;
use springhouse::dairy::density::{MILK_KJ_PER_KG_K, milk_kg_per_l};

const GOFF: &str = "Goff, University of Guelph, Dairy Science and Technology, table of milk density";
const GEANKOPLIS: &str = "Geankoplis, Transport Processes, table A.4-1 (edition and year not known to us)";
/// Why one density serves all milk.
const ONE: &str = "one density for all milk, that of a cool room; jars are filled by eye";

/// Producer milk of 4.0 % fat at 4.4, 10, 20 and 38.9 °C, kg/L (Goff).
const PRODUCER: [f64; 4] = [1.035, 1.033, 1.030, 1.023];

/// Products of the presets and what Goff's table says of their like at 4.4 °C: kg/L (printed to
/// 0.001) and pounds a gallon (worked out).
const PRODUCTS: [(&str, f64, f64); 6] = [
    ("whole milk", 1.035, 8.64),
    ("bought milk", 1.033, 8.62),
    ("skimmed milk", 1.036, 8.65),
    ("thin cream", 1.027, 8.57),
    ("middle cream", 1.021, 8.52),
    ("top cream", 1.008, 8.41),
];

#[test]
fn a_litre_of_six_products_by_goff() {
    source(GOFF);
    // Whole milk stands between producer milk of 4.0 % and milk of 3.6 % (1.033), skimmed milk
    // between that and skim of 0.02 %: a thousandth.
    for (product, kg, pounds) in PRODUCTS {
        near(litre(product), kg, 0.0011);
        near(litre(product) * GALLON / LB, pounds, 0.014);
    }
}

#[test]
fn milk_in_the_pail_by_goff() {
    source(GOFF);
    // Producer milk of 4.0 % between 10 and 20 °C.
    between(milk_kg_per_l(), PRODUCER[2], PRODUCER[1]);
    // At 20 °C 8.60 lb a gallon (worked out); 5 K less is 0.0015 kg/L, 0.0125 lb.
    near(milk_kg_per_l() * GALLON / LB, 8.60, 0.0135);
    near(milk_kg_per_l(), springhouse::units::MILK_KG_PER_L, 0.0);
}

#[test]
fn known_difference_milk_is_lighter_warm_and_heavier_cold() {
    source(GOFF);
    differs(milk_kg_per_l(), PRODUCER[0], 1.032, 1e-9, ONE);
    differs(milk_kg_per_l(), PRODUCER[3], 1.032, 1e-9, ONE);
}

#[test]
fn a_gallon_of_milk_by_usda() {
    source("USDA, 8.6 lb a gallon of milk (second hand, year not known to us)");
    // Printed to a tenth of a pound.
    near(milk_kg_per_l() * GALLON / LB, 8.6, 0.05);
}

#[test]
fn classic_constants_at_15c() {
    source("worked out from the constants 0.93 for fat and 1.608 for solids-not-fat (common practice)");
    // Milk of 4.0 and 8.95 %: 1.0318; half a digit of our 1.032.
    near(milk_kg_per_l(), 1.0318, 5e-4);
}

#[test]
fn known_difference_cold_cream_is_denser_than_the_classic_constants_say() {
    source("worked out from the constants 0.93 for fat and 1.608 for solids-not-fat (common practice)");
    // Heavy cream of 36.6 %: 0.9935, light cream of 20 %: 1.0123 at 15 °C.
    let why =
        "in a fridge some of the fat is solid; the constants hold at 15 °C, so the presets use Goff's table";
    differs(litre("top cream"), 0.9935, 1.008, 1e-9, why);
    differs(litre("middle cream"), 1.0123, 1.021, 1e-9, why);
}

#[test]
fn fifty_seven_creams_at_10c() {
    source(
        "an abstract on the density of cream at low temperature (57 samples), author and year not known to us",
    );
    // 1.03123 − 0.00077·F at 9.85 °C: 1.0030 at 36.6 and 1.0158 at 20 %. The presets are at 4.4 °C,
    // which is 0.003 more by Goff's table, and his table lies up to 0.003 above these samples.
    near(litre("top cream"), 1.0030, 0.006);
    near(litre("middle cream"), 1.0158, 0.006);
}

#[test]
fn cold_milks_by_watson_1961() {
    source("Watson and Tittsler 1961, The density of milk at low temperatures");
    // 101 samples at 4.95 °C between 1.0322 and 1.0373.
    for product in ["whole milk", "skimmed milk", "bought milk"] {
        between(litre(product), 1.0322, 1.0373);
    }
}

#[test]
fn cups_by_usda() {
    source(
        "USDA Standard Reference: 244 g of milk, 238 g of heavy cream a cup; 14.2 g of butter a tablespoon",
    );
    // A cup of 236.6 mL, a tablespoon of 14.79. Grams are rounded to one, and to a tenth; the cup is
    // of no stated temperature: 0.002 for 10 K by Goff's table.
    near(milk_kg_per_l(), 0.244 / 0.2366, 0.004);
    near(litre("top cream"), 0.238 / 0.2366, 0.004);
    near(litre("butter"), 0.0142 / 0.014_787, 0.004);
}

#[test]
fn known_difference_cups_of_sour_cream_and_whey_by_usda() {
    source("USDA Standard Reference: 230 g of sour cream and 246 g of whey a cup of 236.6 mL");
    differs(
        litre("sour cream"),
        0.230 / 0.2366,
        1.015,
        1e-9,
        "a cup of set cream holds air; ours fills its jar",
    );
    let why = "our default: water and 6 % of sugar and salts; the table's cup may be rounded up";
    differs(litre("whey"), 0.246 / 0.2366, 1.025, 1e-9, why);
}

#[test]
fn specific_heat_of_milk() {
    source(
        "Geankoplis, Transport Processes, table A.4-1: 3.85; near 15 °C, where fat melts, 3.95 (from memory)",
    );
    between(MILK_KJ_PER_KG_K, 3.85, 3.95);
}

#[test]
fn known_difference_skim_and_cream_take_the_heat_of_milk() {
    source(GEANKOPLIS);
    // Skim 3.98 to 4.02, cream of 45 and of 60 % fat 3.27 and 3.06 kJ/(kg·K).
    let why = "one figure for all that stands in jars: nearly all of it is milk";
    for published in [3.98, 3.27, 3.06] {
        differs(MILK_KJ_PER_KG_K, published, 3.90, 1e-9, why);
    }
}

#[test]
fn known_difference_wrapped_butter_and_cheese_take_one_heat() {
    source(GEANKOPLIS);
    // Butter 2.30, Swiss cheese 2.68 kJ/(kg·K); a litre of each by the presets' weights.
    let why = "one figure for all that is wrapped, between butter and cheese";
    differs(WRAPPED_KJ_PER_L_K, 2.30 * litre("butter"), 2.5, 1e-9, why);
    differs(WRAPPED_KJ_PER_L_K, 2.68 * litre("hard cheese"), 2.5, 1e-9, why);
}
