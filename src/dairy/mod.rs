//! The science, as pure functions with their sources.

pub mod balance;
pub mod matter;
