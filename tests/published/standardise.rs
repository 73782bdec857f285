//! Blending to a wished fat by Pearson's square.

use crate::{near, source};
use springhouse::dairy::standardise::{first_part, pearson_add, pearson_parts};

#[test]
fn pearson_by_guelph() {
    source("Goff, University of Guelph, Dairy Science and Technology, standardization problems");
    // Guelph, standardization problems: 160 kg of 40 % cream to 32 % with skim of
    // 0 %: 40 kg; 35 % cream into 500 kg of 4 % milk for 10 %: 120 kg.
    near(pearson_add(160.0, 40.0, 0.0, 32.0).unwrap(), 40.0, 1e-9);
    near(pearson_add(500.0, 4.0, 35.0, 10.0).unwrap(), 120.0, 1e-9);
}

#[test]
fn pearson_by_old_rule_books() {
    source("Farm and Garden Rule-Book, milk tests; Dairy fundamentals; a standardising table");
    // Farm and Garden Rule-Book, milk tests: 3.8 % to 4.0 % with 25 % cream, 21
    // parts to 0.2.
    let (milk, cream) = pearson_parts(3.8, 25.0, 4.0).unwrap();
    near(milk, 21.0, 1e-9);
    near(cream, 0.2, 1e-9);
    // Dairy fundamentals: 30 % cream into 3 % milk for 5 %, 25 to 2, so 40 lb
    // into 500 lb.
    near(pearson_add(500.0, 3.0, 30.0, 5.0).unwrap(), 40.0, 1e-9);
    // A standardising table: 3.9 L parts for 2.6 %, 2.6 of milk and 1.3 of skim.
    let (milk, skim) = pearson_parts(3.9, 0.0, 2.6).unwrap();
    near(milk / skim, 2.0, 1e-9);
}

#[test]
fn the_blend_holds_the_fat_of_the_square() {
    source(
        "worked out from Goff, University of Guelph, Dairy Science and Technology, standardization problems",
    );
    // The same examples as parts of the whole: 620 kg of 10 % from 500 of 4 %
    // and 120 of 35 % (Guelph).
    let part = first_part(0.04, 0.35, 0.10).unwrap();
    near(part, 500.0 / 620.0, 1e-12);
    near(part * 0.04 + (1.0 - part) * 0.35, 0.10, 1e-12);
}
