//! One trial: the day in its phases.

pub mod outcome;
