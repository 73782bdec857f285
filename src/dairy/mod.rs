//! The science, as pure functions with their sources.
//!
//! No state, no chance, no I/O: every function returns the same answer for
//! the same arguments. SI throughout: kilograms, litres, hours, degrees
//! Celsius, watts; compositions are mass fractions unless an item says percent.

pub mod balance;
pub mod breeding;
pub mod composition;
pub mod cooling;
pub mod cream;
pub mod density;
pub mod freezing;
pub mod health;
pub mod heat;
pub mod keeping;
pub mod lactation;
pub mod matter;
pub mod packing;
pub mod recording;
pub mod sharing;
pub mod species;
pub mod standardise;

pub use species::Species;
