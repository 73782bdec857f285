//! Quantities as people write them, read into SI, and shown again.
//!
//! A field of a scenario holds a [`Text`] of one [`Dimension`]: the words as
//! written. Reading it is a later step, so that every wrong quantity of a file
//! is reported at once. Kilograms, litres, days, minutes, metres, degrees
//! Celsius and watts inside; a gallon is a US gallon.

mod amount;
mod dimensions;
mod number;
mod read;
pub mod show;
mod text;
mod within;

pub use amount::{Amount, MILK_KG_PER_L, read_amount, read_amount_rate};
pub use dimensions::{
    Count, Duration, Electricity, Frequency, Length, Mass, MilkAmount, MilkRate, Minutes, Part, Power,
    Temperature, TemperatureDifference, Volume,
};
pub use read::{Dimension, QuantityError, Spread, Unit, read, read_sizes, read_spread, split_spread};
pub use show::UnitSystem;
pub use text::{Text, Written};
pub use within::{Within, within};

#[cfg(test)]
mod tests;
