//! Quantities for people.

/// Units for display.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// Gallons, quarts, pounds, inches, °F.
    #[default]
    Us,
    /// Litres, kilograms, centimetres, °C.
    Metric,
}
