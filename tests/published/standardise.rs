//! Blending to a wished fat by Pearson's square.

use crate::{near, source};
use springhouse::dairy::standardise::first_part;

/// How much of the second goes to `first` of the first (all fats in percent).
fn to_add(first: f64, first_fat: f64, second_fat: f64, target: f64) -> f64 {
    let part = first_part(first_fat / 100.0, second_fat / 100.0, target / 100.0).expect("it can be blended");
    first * (1.0 - part) / part
}

#[test]
fn pearson_by_guelph() {
    source("Goff, University of Guelph, Dairy Science and Technology, standardization problems");
    // 160 kg of 40 % cream to 32 % with skim of 0 %: 40 kg; 35 % cream into 500 kg of 4 % milk for
    // 10 %: 120 kg. Exact.
    near(to_add(160.0, 40.0, 0.0, 32.0), 40.0, 1e-9);
    near(to_add(500.0, 4.0, 35.0, 10.0), 120.0, 1e-9);
}

#[test]
fn pearson_by_old_rule_books() {
    source(
        "Farm and Garden Rule-Book, milk tests, year not known to us; Dairy Fundamentals, an old textbook, author \
         and year not known to us; a standardising table, common practice",
    );
    // Rule-Book: 3.8 % to 4.0 % with 25 % cream, 21 parts to 0.2. Exact.
    near(to_add(21.0, 3.8, 25.0, 4.0), 0.2, 1e-9);
    // Dairy Fundamentals: 30 % cream into 3 % milk for 5 %, 25 to 2, so 40 lb into 500 lb. Exact.
    near(to_add(500.0, 3.0, 30.0, 5.0), 40.0, 1e-9);
    // The table: 3.9 % milk to 2.6 %, 2.6 L and 1.3 L of skim. Exact.
    near(to_add(2.6, 3.9, 0.0, 2.6), 1.3, 1e-9);
}

#[test]
fn the_blend_holds_the_fat_of_the_square() {
    source(
        "worked out from Goff, University of Guelph, Dairy Science and Technology, standardization problems",
    );
    // The same examples as parts of the whole: 620 kg of 10 % from 500 of 4 %
    // and 120 of 35 % (Guelph). Exact.
    let part = first_part(0.04, 0.35, 0.10).unwrap();
    near(part, 500.0 / 620.0, 1e-12);
    near(part * 0.04 + (1.0 - part) * 0.35, 0.10, 1e-12);
}
