//! One trial: the day in its phases.
//!
//! A trial is a pure function of ([`Plan`](crate::scenario::Plan), [`Luck`]).

mod daylog;
#[cfg(test)]
mod fates;
mod feed;
#[cfg(test)]
mod fixture;
mod full;
mod herd;
mod kitchen;
mod larder;
mod ledger;
mod luck;
mod make;
mod milking;
pub mod outcome;
mod shares;
#[cfg(test)]
mod shares_tests;
mod skim;
mod table;
#[cfg(test)]
mod tests;
mod trade;
pub mod traded;
mod trial;
mod upkeep;

pub use daylog::DayLog;
pub use luck::Luck;
pub use outcome::Outcome;
pub use trial::Trial;
