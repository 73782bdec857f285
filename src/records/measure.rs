//! The measures in which milk is written down.

use std::sync::OnceLock;

use crate::units::{self, MilkAmount};

/// A measure of milk, by mass or by volume.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Pounds.
    Pounds,
    /// Kilograms.
    Kilograms,
    /// Quarts.
    Quarts,
    /// Litres.
    Litres,
    /// Gallons.
    Gallons,
    /// Pints.
    Pints,
    /// Ounces, by weight.
    Ounces,
    /// Fluid ounces.
    FluidOunces,
}

/// Measures that differ by less than this part are one.
const SAME: f64 = 1e-6;

impl Measure {
    /// All, the usual ones first.
    pub const ALL: [Self; 8] = [
        Self::Pounds,
        Self::Kilograms,
        Self::Quarts,
        Self::Litres,
        Self::Gallons,
        Self::Pints,
        Self::Ounces,
        Self::FluidOunces,
    ];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pounds => "pounds",
            Self::Kilograms => "kilograms",
            Self::Quarts => "quarts",
            Self::Litres => "litres",
            Self::Gallons => "gallons",
            Self::Pints => "pints",
            Self::Ounces => "ounces",
            Self::FluidOunces => "fluid ounces",
        }
    }

    /// As a log or an option writes it.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Pounds => "lb",
            Self::Kilograms => "kg",
            Self::Quarts => "qt",
            Self::Litres => "L",
            Self::Gallons => "gal",
            Self::Pints => "pt",
            Self::Ounces => "oz",
            Self::FluidOunces => "fl oz",
        }
    }

    /// Milk of one of it, kg.
    #[must_use]
    pub fn kg(self) -> f64 {
        static KG: OnceLock<[f64; 8]> = OnceLock::new();
        let all = KG.get_or_init(|| {
            Self::ALL.map(|m| units::read::<MilkAmount>(&format!("1 {}", m.unit())).unwrap_or(f64::NAN))
        });
        all.get(self as usize).copied().unwrap_or(f64::NAN)
    }

    /// The measure that a unit as written means, if it is one of these.
    #[must_use]
    pub fn of(unit: &str) -> Option<Self> {
        let kg = units::read::<MilkAmount>(&format!("1 {unit}")).ok()?;
        Self::ALL.into_iter().find(|m| (m.kg() / kg - 1.0).abs() < SAME)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_spelling_of_a_unit() {
        for m in Measure::ALL {
            assert_eq!(Measure::of(m.unit()), Some(m));
        }
        for (unit, m) in
            [("lbs", Measure::Pounds), ("quarts", Measure::Quarts), ("kilograms", Measure::Kilograms)]
        {
            assert_eq!(Measure::of(unit), Some(m), "{unit}");
        }
        assert_eq!(Measure::of("furlongs"), None);
        assert_eq!(Measure::of("lb 3 oz"), None);
        assert!((Measure::Kilograms.kg() - 1.0).abs() < 1e-12);
        assert!((Measure::Pounds.kg() - 0.453_592_37).abs() < 1e-12);
    }
}
