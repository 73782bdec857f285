//! Strained and cultured milks.

use crate::{between, differs, source, within};
use springhouse::dairy::balance::Share;
use springhouse::dairy::matter::Matter;

const STRAINED: Share = Share::ByMass { mass_part: 0.30, fat_kept: 0.98, protein_kept: 0.92 };

#[test]
fn acid_whey_of_greek_yogurt() {
    source("trade figures quoted from a dairy college, 2013");
    // Trade figures quoted from a dairy college, 2013: 7000 gal of milk leave
    // 4900 gal of acid whey.
    let milk = Matter::milk(7000.0, 0.0008, 0.0337);
    let yogurt = STRAINED.of(milk);
    within((milk - yogurt).mass, 4900.0, 0.01);
}

#[test]
fn greek_yogurt_of_the_usda_table() {
    source("USDA National Nutrient Database for Standard Reference");
    // USDA National Nutrient Database: plain skim 3.37 % protein, Greek nonfat
    // 10.19 %. 92 % of the protein kept is our default: 3 %.
    let yogurt = STRAINED.of(Matter::milk(1.0, 0.0008, 0.0337));
    within(100.0 * yogurt.protein_part(), 10.19, 0.03);
}

#[test]
fn strained_yogurt_meets_the_codex() {
    source("CXS 243-2003, section 2.2");
    // CXS 243-2003, section 2.2: concentrated fermented milk, 5.6 % protein or
    // more.
    assert!(STRAINED.of(Matter::milk(1.0, 0.0325, 0.0347)).protein_part() >= 0.056);
}

#[test]
fn known_difference_acid_whey_of_the_usda_table() {
    source("USDA National Nutrient Database for Standard Reference");
    // The table's acid whey has 0.76 % protein: it is mostly whey of curds set
    // from unheated milk. Heated milk keeps its whey protein in the yogurt: 0.39.
    let milk = Matter::milk(1.0, 0.0008, 0.0337);
    let why =
        "the table's whey is of curds from unheated milk; heated milk keeps its whey protein in the yogurt";
    differs(100.0 * (milk - STRAINED.of(milk)).protein_part(), 0.76, 0.385, 0.01, why);
}

#[test]
fn three_or_four_parts_of_milk_a_part_of_greek_yogurt() {
    source("common practice, no source");
    // Common practice, no source: 3 to 4 parts.
    let yogurt = STRAINED.of(Matter::milk(1.0, 0.0325, 0.0347));
    between(1.0 / yogurt.mass, 3.0, 4.0);
}
