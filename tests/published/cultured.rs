//! Strained and cultured milks, and what is blended of cream.

use crate::common::recipes::{Kitchen, litre};
use crate::{GALLON, LB, at_least, between, differs, near, source};
use springhouse::dairy::matter::Matter;
use springhouse::presets;
use springhouse::scenario::raw::{PresetFile, Recipe};

/// Yogurt of milk of so much fat and protein, percent, strained: the product and its whey.
fn strained(fat: f64, protein: f64) -> [Matter; 2] {
    let parts = Kitchen::of_presets().of("strained yogurt", fat, protein);
    [parts[0], parts[1]]
}

#[test]
fn acid_whey_of_greek_yogurt() {
    source("trade figures quoted from Cornell University, 2013");
    // 7000 gal of milk leave 4900 gal of acid whey: both are whole hundreds, half of one.
    near(strained(0.08, 3.37)[1].mass / 100.0 * 7000.0, 4900.0, 50.0);
}

#[test]
fn greek_yogurt_of_the_usda_table() {
    source("USDA Standard Reference 1256 (nonfat Greek yogurt) and 1151 (skim)");
    // Skim of 3.37 % protein, yogurt of 10.19 %. The part kept is given in whole percents: half of
    // one is 0.06.
    near(100.0 * strained(0.08, 3.37)[0].protein_part(), 10.19, 0.06);
}

#[test]
fn known_difference_greek_yogurt_of_whole_milk() {
    source("USDA Standard Reference 1293 (Greek yogurt of whole milk) and 1116 (yogurt)");
    // Fat 5.00 and protein 9.00 %, of yogurt of 3.25 and 3.47 %.
    let yogurt = strained(3.25, 3.47)[0];
    let why = "the table is of makers' yogurts, which are blended to 5 % fat";
    differs(100.0 * yogurt.fat_part(), 5.00, 10.62, 0.05, why);
    differs(100.0 * yogurt.protein_part(), 9.00, 10.53, 0.05, why);
}

#[test]
fn strained_yogurt_meets_the_codex() {
    source("CXS 243-2003, section 2.2");
    // Concentrated fermented milk: 5.6 % protein or more.
    at_least(100.0 * strained(3.25, 3.47)[0].protein_part(), 5.6);
}

#[test]
fn known_difference_acid_whey_of_the_usda_table() {
    source("USDA Standard Reference 1112 (acid whey)");
    // The table's acid whey has 0.76 % protein: it is mostly whey of curds set
    // from unheated milk. Heated milk keeps its whey protein in the yogurt.
    let why =
        "the table's whey is of curds from unheated milk; heated milk keeps its whey protein in the yogurt";
    differs(100.0 * strained(0.08, 3.37)[1].protein_part(), 0.76, 0.433, 0.005, why);
}

#[test]
fn three_or_four_parts_of_milk_a_part_of_greek_yogurt() {
    source("common practice, no source");
    between(100.0 / strained(3.25, 3.47)[0].mass, 3.0, 4.0);
}

#[test]
fn sour_cream_and_half_and_half_by_the_code() {
    source("21 CFR 131.160 (sour cream: 18 % fat at least), 131.180 (half-and-half: 10.5 to under 18 %)");
    let kitchen = Kitchen::of_presets();
    near(kitchen.recipe("sour cream").inputs[0].fat_at_least, 0.18, 1e-9);
    let blend = kitchen.recipe("half-and-half").inputs[0].blend.as_ref().expect("a blend").fat;
    between(blend, 0.105, 0.18);
}

#[test]
fn the_mix_for_cream_cheese_by_thom_1918() {
    source("Thom and Fisk 1918, The Book of Cheese: a mix of 7 to 9 % fat");
    // Producer milk (USDA Standard Reference 1078) and the cream of a whole layer, 22.5 %.
    let cream = Kitchen::of_presets().recipe("cream cheese").inputs[1].per_kg;
    between((3.66 + 22.5 * cream) / (1.0 + cream), 7.0, 9.0);
}

#[test]
fn ice_cream_by_the_code() {
    source("21 CFR 135.110: 10 % fat at least, 4.5 lb and 1.6 lb of solids a gallon at least");
    // The cream of a whole layer, 22.5 % fat; what is no fat in it and in the milk holds 8.9 %
    // solids (Goff's table of milk density: skim).
    let kitchen = Kitchen::of_presets();
    let recipe = kitchen.recipe("ice cream");
    let (milk, sugar) = (recipe.inputs[1].per_kg, recipe.added_per_kg.mass);
    let whole = 1.0 + milk + sugar;
    let fat = 0.225 + 0.0366 * milk;
    at_least(100.0 * fat / whole, 10.0);
    let pounds = litre("ice cream") * GALLON / LB;
    at_least(pounds, 4.5);
    let solids = fat + 0.089 * (1.0 + milk - fat) + sugar;
    at_least(pounds * solids / whole, 1.6);
}

#[test]
fn a_quart_of_ice_cream() {
    source(
        "common practice, no source: 2 cups of cream, 1 of milk and three quarters of sugar make 0.95 L of 0.75 L; \
         cups by USDA Standard Reference (238, 244, 200 g)",
    );
    let kitchen = Kitchen::of_presets();
    let recipe = kitchen.recipe("ice cream");
    let (milk, sugar) = (recipe.inputs[1].per_kg, recipe.added_per_kg.mass);
    // Half a digit of the recipe's two.
    near(milk, 244.0 / 476.0, 0.005);
    near(sugar, 150.0 / 476.0, 0.005);
    let made = (1.0 + milk + sugar) / litre("ice cream");
    let dairy = 1.0 / litre("top cream") + milk / litre("whole milk");
    // 0.95 and 0.75 are given to half a tenth of a litre: 0.03 of the quotient.
    near(made / dairy, 0.95 / 0.75, 0.04);
}

#[test]
fn water_of_biscuits_of_sour_milk() {
    source("USDA Standard Reference, biscuits made from a recipe: 29 % water (from memory); 1078 (milk)");
    // A kilogram of milk of 5.5 % sugar and minerals, and flour of 12 % water, less the steam. From
    // memory and printed whole: one point.
    let recipes: PresetFile<Recipe> = serde_yaml::from_str(presets::RECIPES).expect("the recipes");
    let added = recipes.get("sour milk biscuits").and_then(|r| r.added.as_ref()).expect("flour");
    let flour = added.get("flour").expect("flour").read().expect("a part");
    let kitchen = Kitchen::of_presets();
    let recipe = kitchen.recipe("sour milk biscuits");
    let dough = 1.0 + recipe.added_per_kg.mass;
    let gone = recipe.steam * dough;
    let water = 1.0 - 0.0366 - 0.0328 - 0.055 + 0.12 * flour - gone;
    near(100.0 * water / (dough - gone), 29.0, 1.0);
}
