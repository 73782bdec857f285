//! The science against the published record.
//!
//! Each check names its source and says why its tolerance is what it is. Where
//! a published figure and the model differ, the check is kept, its name begins
//! with `known_difference`, and it holds both the figure and the model to what
//! is written, so that neither can drift unnoticed. What is compared here makes
//! the table of `docs/record.md`.

#[path = "../common/mod.rs"]
mod common;

mod breeding;
mod breeds;
mod butter;
mod calf;
mod cheese;
mod chilling;
mod choosing;
mod composition;
mod cream;
mod cultured;
mod curds;
mod dams;
mod density_and_heat;
mod fitting;
mod freezing;
mod growth;
mod health;
mod household;
mod keeping;
mod lactation;
mod outages;
mod output_statistics;
mod packing;
mod recording;
mod sharing;
mod skimming;
mod standardise;

use common::record::{at_least, at_most, between, count, differs, near, source, within};

/// Kilograms in a pound (exact).
const LB: f64 = 0.453_592_37;
/// Litres in a US gallon (exact).
const GALLON: f64 = 3.785_411_784;

/// Degrees Fahrenheit in °C.
fn fahrenheit(f: f64) -> f64 {
    (f - 32.0) / 1.8
}

#[test]
fn the_record_is_up_to_date() {
    common::record::hold_page("published");
}
