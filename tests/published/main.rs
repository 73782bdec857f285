//! The science against the published record.
//!
//! Each check names its source and says why its tolerance is what it is. Where
//! a published figure and the model differ, the check is kept, its name begins
//! with `known_difference`, and it holds both the figure and the model to what
//! is written, so that neither can drift unnoticed.

mod butter;
mod cheese;
mod chilling;
mod composition;
mod cream;
mod cultured;
mod density_and_heat;
mod freezing;
mod keeping;
mod lactation;
mod packing;
mod sharing;
mod skimming;

/// Within an absolute tolerance.
#[track_caller]
fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "got {got}, published {want}, tolerance {tolerance}");
}

/// Within a relative tolerance.
#[track_caller]
fn within(got: f64, want: f64, part: f64) {
    assert!((got - want).abs() <= part * want.abs(), "got {got}, published {want}, tolerance {part} of it");
}

/// Between two published bounds, inclusive.
#[track_caller]
fn between(got: f64, low: f64, high: f64) {
    assert!((low..=high).contains(&got), "got {got}, published {low} to {high}");
}

/// Kilograms in a pound (exact).
const LB: f64 = 0.453_592_37;
/// Litres in a US gallon (exact).
const GALLON: f64 = 3.785_411_784;

/// Degrees Fahrenheit in °C.
fn fahrenheit(f: f64) -> f64 {
    (f - 32.0) / 1.8
}
