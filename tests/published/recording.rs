//! Milk recording.

use crate::{near, source, within};
use jiff::civil::{Date, date};
use springhouse::calendar::days_between;
use springhouse::dairy::recording::{TestDay, test_interval};

/// Tests of one cow: date, kg, fat %.
const TESTS: [(Date, f64, f64); 10] = [
    (date(2027, 4, 8), 28.2, 3.65),
    (date(2027, 5, 6), 24.8, 3.45),
    (date(2027, 6, 5), 26.6, 3.40),
    (date(2027, 7, 7), 23.2, 3.55),
    (date(2027, 8, 2), 20.2, 3.85),
    (date(2027, 8, 30), 17.8, 4.05),
    (date(2027, 9, 25), 13.2, 4.45),
    (date(2027, 10, 27), 9.6, 4.65),
    (date(2027, 11, 22), 5.8, 4.95),
    (date(2027, 12, 20), 4.4, 5.25),
];

#[test]
fn test_interval_method_by_icar() {
    source(
        "worked example of the ICAR Guidelines, section 2, procedure 2 (figures from memory; they close exactly)",
    );
    // Lactation from 25 March to 31 December: intervals 14, 28, 30, 32, 26, 28,
    // 26, 32, 26, 28, 11, together 281 days.
    let from = date(2027, 3, 25);
    let tests: Vec<TestDay> = TESTS
        .iter()
        .map(|&(on, kg, fat)| TestDay { day: days_between(from, on) as f64, kg, fat: Some(fat / 100.0) })
        .collect();
    let total = test_interval(&tests, days_between(from, date(2027, 12, 31)) as f64).expect("tests");
    near(total.days, 281.0, 0.0);
    near(total.kg, 4960.0, 1e-9);
    within(total.fat_kg.expect("fat"), 189.52, 1e-4);
    near(100.0 * total.fat_kg.expect("fat") / total.kg, 3.82, 5e-3);
}
