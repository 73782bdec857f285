//! Many trials in parallel, and what they say.

pub mod results;
pub mod stats;
