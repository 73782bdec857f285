//! Which way every knob must push, over generated scenarios on the same luck.
//!
//! A knob is turned in each of nine generated scenarios, by path, as a
//! family would turn it, and the same years are simulated before and after. The mean
//! over all of them may not go the wrong way and must surely go the right one; in no
//! scenario may the mean of its years go surely the wrong way. Single years may: what
//! is changed moves other things with it. Where a scenario holds something that turns
//! the direction round, the knob leaves it out of the house and says why.

#[path = "../common/mod.rs"]
mod common;

mod cold;
mod herd;
mod house;
mod judge;
mod kitchen;
mod measured;
mod trade;
