//! One trial: the day in its phases.

pub mod daylog;
pub mod luck;
pub mod outcome;
pub mod trial;

pub use daylog::DayLog;
pub use luck::Luck;
pub use trial::Trial;
