//! Amounts that may be written by volume or by mass.

use super::{
    dimensions::{MASSES, MilkAmount, MilkRate, VOLUMES, split_time},
    read::{Dimension, Fault, QuantityError, Unit, sum_of_terms, take_number, tidy},
};

/// Density of whole milk at 15 to 20 °C, kg/L (from memory; textbooks give
/// 1.027 to 1.034).
pub const MILK_KG_PER_L: f64 = 1.032;

/// An amount as written: by volume or by mass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Litres.
    Litres(f64),
    /// Kilograms.
    Kilograms(f64),
}

impl Amount {
    /// Kilograms, of a stuff of `density` kg/L.
    #[must_use]
    pub fn kg(self, density: f64) -> f64 {
        match self {
            Self::Litres(v) => v * density,
            Self::Kilograms(v) => v,
        }
    }

    /// Kilograms of milk.
    #[must_use]
    pub fn milk_kg(self) -> f64 {
        self.kg(MILK_KG_PER_L)
    }
}

/// Reads an amount, keeping whether it was a volume or a mass.
///
/// # Errors
/// When the words are no amount, or out of range.
pub fn read_amount(text: &str) -> Result<Amount, QuantityError> {
    super::read::<MilkAmount>(text)?;
    let fault = |f| QuantityError::fault(text, f, MilkAmount::EXPECTED);
    read_amount_words(&tidy(text)).map_err(fault)
}

/// Reads an amount in a time, as an amount a day.
///
/// # Errors
/// When the words are no amount in a time, or out of range.
pub fn read_amount_rate(text: &str) -> Result<Amount, QuantityError> {
    if super::read::<MilkRate>(text)? == 0.0 {
        return Ok(Amount::Kilograms(0.0));
    }
    let fault = |f| QuantityError::fault(text, f, MilkRate::EXPECTED);
    read_rate_words(&tidy(text)).map_err(fault)
}

pub(super) fn read_amount_words(text: &str) -> Result<Amount, Fault> {
    match sum_of_terms(text, MASSES, false) {
        Ok(kg) => Ok(Amount::Kilograms(kg)),
        Err(_) => match sum_of_terms(text, VOLUMES, false) {
            Ok(litres) => Ok(Amount::Litres(litres)),
            Err(_) => {
                // Neither: the fault names the nearest unit of both.
                let both: Vec<Unit> = VOLUMES.iter().chain(MASSES).copied().collect();
                match sum_of_terms(text, &both, false) {
                    Ok(_) => Err(Fault::new(format!("`{text}` mixes volume and mass"))),
                    Err(fault) => Err(fault),
                }
            }
        },
    }
}

pub(super) fn read_rate_words(text: &str) -> Result<Amount, Fault> {
    let (amount, days) = match split_time(text) {
        Ok(parts) => parts,
        // A missing unit or a bad number is said before the missing time.
        Err(fault) => return Err(take_number(text, text).err().unwrap_or(fault)),
    };
    Ok(match read_amount_words(amount)? {
        Amount::Litres(v) => Amount::Litres(v / days),
        Amount::Kilograms(v) => Amount::Kilograms(v / days),
    })
}
