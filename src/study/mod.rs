//! Many trials in parallel, and what they say.

pub mod aims;
pub mod bands;
pub mod measures;
pub mod results;
pub mod stats;
#[cfg(test)]
mod testing;
