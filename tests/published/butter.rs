//! Butter, and cream from a separator.

use crate::common::recipes::{Kitchen, litre};
use crate::{LB, at_least, between, differs, near, source};
use springhouse::dairy::matter::Matter;

const GUELPH: &str = "Goff, University of Guelph, Dairy Science and Technology, butter example";
const HOME: &str =
    "the recipe is of a churn at home, which leaves 1.5 % of the fat in the buttermilk, not 0.75 %";

/// 100 kg of milk of so much fat and protein, percent.
fn milk(fat: f64) -> Matter {
    Matter::milk(100.0, fat / 100.0, 0.033)
}

/// Butter and buttermilk of `cream`.
fn churned(cream: Matter) -> [Matter; 2] {
    let parts = Kitchen::of_presets().divides("butter", cream);
    [parts[0], parts[1]]
}

#[test]
fn cream_of_a_separator_by_guelph() {
    source(GUELPH);
    // Milk 3.6, skim 0.05, cream 40 % fat: 8.9 kg of cream from 100 kg (8.886 worked out), 1.3 %
    // of the fat left in the skim, 98.6 % skimmed off. Half a digit of the print.
    let parts = Kitchen::of_presets().divides("separated cream", milk(3.6));
    let (cream, skim) = (parts[0], parts[1]);
    near(cream.mass, 8.886, 0.0005);
    near(100.0 * cream.fat_part(), 40.0, 1e-9);
    near(100.0 * skim.fat / 3.6, 1.3, 0.05);
    near(100.0 * skim.fat_part(), 0.05, 1e-9);
    near(100.0 * (1.0 - skim.fat_part() / 0.036), 98.6, 0.05);
}

#[test]
fn known_difference_a_creamery_churns_out_more_of_the_fat() {
    source(GUELPH);
    // Cream 40, buttermilk 0.3, butter 81.5 % fat: 4.345 kg of butter from 100 kg of milk, 98.3 %
    // of the milk's fat in it, 0.4 % in the buttermilk; overrun on milk fat 20.8 %.
    let cream = Kitchen::of_presets().divides("separated cream", milk(3.6))[0];
    let [butter, buttermilk] = churned(cream);
    differs(butter.mass, 4.345, 4.296, 0.005, HOME);
    differs(100.0 * butter.fat / 3.6, 98.3, 97.25, 0.05, HOME);
    differs(100.0 * buttermilk.fat / 3.6, 0.4, 1.48, 0.05, HOME);
    differs(100.0 * buttermilk.fat_part(), 0.3, 1.16, 0.01, HOME);
    differs(100.0 * (butter.mass - 3.6) / 3.6, 20.8, 19.3, 0.1, HOME);
    // The same butter on the fat that was churned (worked out): 22.2 %.
    differs(100.0 * (butter.mass - cream.fat) / cream.fat, 22.2, 20.86, 0.05, HOME);
}

#[test]
fn composition_of_butter_by_guelph() {
    source("Goff, University of Guelph, Dairy Science and Technology, composition overrun");
    // 22.7 % at 81.5 % fat; printed to a tenth.
    let [butter, _] = churned(milk(36.0));
    near(100.0 * butter.fat_part(), 81.5, 1e-9);
    near(100.0 * (butter.mass - butter.fat) / butter.fat, 22.7, 0.05);
}

#[test]
fn composition_of_butter_by_usda() {
    source("USDA National Nutrient Database for Standard Reference, 1145 (butter without salt)");
    // Fat 81.11 %: half a point, by which the published butters differ (Guelph 81.5 %).
    near(100.0 * churned(milk(36.08))[0].fat_part(), 81.11, 0.5);
}

#[test]
fn known_difference_protein_of_butter_by_usda() {
    source("USDA National Nutrient Database for Standard Reference, 1145 (butter) and 1053 (heavy cream)");
    // 0.85 % protein in butter; heavy cream of 36.08 % fat and 2.84 % protein.
    let [butter, _] = churned(Matter::milk(1.0, 0.3608, 0.0284));
    let why = "the recipe keeps one part of the protein whatever the cream; cream of 20 % would give 0.9 %";
    differs(100.0 * butter.protein_part(), 0.85, 0.52, 0.01, why);
}

#[test]
fn butter_is_eighty_percent_fat_or_more() {
    source("21 USC 321a (1923); CXS 279-1971, section 3.3");
    // Both: 80 % fat or more, so an overrun of a quarter at most. 25 to 60 % cream.
    for fat in [25.0, 36.0, 60.0] {
        at_least(churned(milk(fat))[0].fat_part(), 0.80);
    }
}

#[test]
fn butter_of_a_creamery() {
    source("an old butter-making text, title, author and year not known to us");
    // 700 lb of 6 % milk, 42 lb of fat, 50 lb of butter; printed to a pound, so half a pound.
    let cream = Kitchen::of_presets().divides("separated cream", milk(6.0))[0];
    near(churned(cream)[0].mass * 7.0, 50.0, 0.5);
}

#[test]
fn known_difference_cottage_churn_by_kalla_2016() {
    source("Kalla and others 2016, Frustum cone shaped churn for small scale production of butter");
    // 19.42 % overrun at 16 % moisture.
    let [butter, _] = churned(milk(36.0));
    let why = "butter of 16 % moisture is drier than that of the recipe (the Guelph figure, 81.5 % fat)";
    differs(100.0 * (butter.mass - 36.0) / 36.0, 19.42, 20.86, 0.05, why);
}

#[test]
fn buttermilk_at_home() {
    source("common practice, no source: 0.5 to 1.0 % fat at home");
    for fat in [25.0, 30.0, 36.0] {
        between(100.0 * churned(milk(fat))[1].fat_part(), 0.5, 1.0);
    }
}

/// Kilograms of butter and litres of buttermilk from a litre of cream.
fn of_a_litre(fat: f64, cream: &str) -> (f64, f64) {
    let [butter, buttermilk] = churned(Matter::milk(litre(cream), fat / 100.0, 0.025));
    (butter.mass, buttermilk.mass / litre("buttermilk"))
}

#[test]
fn butter_a_litre_of_cream() {
    source("worked out by mass balance from buttermilk of 0.3 and butter of 81.5 % fat (Guelph)");
    // 443 g and 0.55 L from 36 %, 309 g and 0.68 L from 25 %, 248 g and 0.75 L from 20 % cream. At
    // home 0.75 % more of the fat stays in the buttermilk: 1 % of the butter, and half a digit.
    for (fat, cream, butter, buttermilk) in [
        (36.0, "top cream", 0.443, 0.55),
        (25.0, "middle cream", 0.309, 0.68),
        (20.0, "middle cream", 0.248, 0.75),
    ] {
        let (made, left) = of_a_litre(fat, cream);
        near(made, butter, 0.01 * butter + 0.0005);
        near(left, buttermilk, 0.01);
    }
}

#[test]
fn forty_fluid_ounces_of_heavy_cream() {
    source("common practice, no source");
    // 18 oz of butter from 40 fl oz; said in whole ounces, so half an ounce.
    let butter = of_a_litre(36.0, "top cream").0;
    near(butter * 40.0 * 0.029_573_53 / (LB / 16.0), 18.0, 0.5);
}

#[test]
fn known_difference_a_quart_of_heavy_cream_makes_about_a_pound() {
    source("common practice, no source");
    let butter = of_a_litre(36.0, "top cream").0;
    let why = "said in whole pounds; a full pound would need cream of 39 %";
    differs(butter * 0.946_353 / LB, 1.0, 0.915, 0.01, why);
}

#[test]
fn whey_butter_by_thom_1918() {
    source("Thom and Fisk 1918, The Book of Cheese");
    // 2.5 lb of fat, separated from 1000 lb of whey as cream of 30 %, make about 3 lb of butter;
    // told in whole pounds ("about"): a tenth of a pound.
    near(churned(Matter::milk(2.5 / 0.30, 0.30, 0.02))[0].mass, 3.0, 0.1);
}

#[test]
fn ghee_of_a_kilogram_of_butter() {
    source("worked out from CXS 280-1973 (99.6 % fat at least) and butter of 81.5 %; losses common practice");
    let kitchen = Kitchen::of_presets();
    let ghee = kitchen.of("ghee", 81.5, 0.85)[0];
    between(ghee.mass / 100.0, 0.80, 0.82);
    near(ghee.fat_part(), 0.996, 1e-9);
}
