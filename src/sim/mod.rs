//! One trial: the day in its phases.
//!
//! A trial is a pure function of ([`Plan`](crate::scenario::Plan), [`Luck`]).

mod asks;
mod close;
#[cfg(test)]
mod cold_tests;
mod day;
mod daylog;
mod fate;
#[cfg(test)]
mod fates;
#[cfg(test)]
mod fates_house;
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
#[cfg(test)]
mod making;
mod milking;
mod opening;
#[cfg(test)]
mod opening_tests;
mod outage;
pub mod outcome;
mod shares;
#[cfg(test)]
mod shares_tests;
mod skim;
#[cfg(test)]
mod skim_fates;
mod table;
#[cfg(test)]
mod tests;
mod trade;
pub mod traded;
mod trial;
mod upkeep;
pub mod watch;
mod workshop;

pub use daylog::DayLog;
pub use luck::Luck;
pub use outcome::Outcome;
pub use trial::Trial;
