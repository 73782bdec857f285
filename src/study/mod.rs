//! Many trials in parallel, and what they say.

pub mod ahead;
pub mod aims;
pub mod bands;
mod change;
pub mod compare;
mod engine;
pub mod learn;
pub mod measures;
mod putting_up;
mod remedies;
pub mod results;
mod run;
pub mod size;
pub mod stats;
mod stop;
mod sweep;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
pub mod trace;
pub mod worth;

pub use aims::MOST_TRIALS;
pub use run::{RunOptions, run};
pub use stop::Stop;
pub use sweep::{Axis, Best, Kept, Point, SWEEP_DOUBT, Sweep, SweepOptions, sweep};

/// Why a study gives no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StudyError {
    /// Zero trials.
    #[error("at least one year must be simulated")]
    NoTrials,
    /// Too many trials.
    #[error("{asked} years are too many: at most {MOST_TRIALS} can be simulated")]
    TooManyTrials {
        /// Asked for.
        asked: u32,
    },
    /// A plan without a day.
    #[error("the scenario has no days to simulate")]
    NoDays,
    /// A precision that is none.
    #[error("the precision must be a part above zero, such as 0.02")]
    Precision,
    /// The books of a trial do not balance: a mistake in the program.
    #[error(
        "the books of simulated year {trial} do not balance (they are out by {error:e} of what came in), \
         so nothing is reported; this is a mistake in the program, not in the scenario"
    )]
    DoesNotClose {
        /// Number of the trial, from 0.
        trial: u32,
        /// Relative error.
        error: f64,
    },
    /// A measure is infinite or not a number: a mistake in the program.
    #[error(
        "simulated year {trial} gives no number for {measure}, so nothing is reported; \
         this is a mistake in the program, not in the scenario"
    )]
    NotANumber {
        /// Number of the trial, from 0.
        trial: u32,
        /// Name of the measure.
        measure: String,
    },
    /// No choice beside the base.
    #[error("there is nothing to compare: a base and at least one choice are needed")]
    NothingToCompare,
    /// Too many choices.
    #[error("{asked} choices are too many: at most {most} can be compared", most = compare::MOST_CHOICES)]
    TooManyChoices {
        /// Asked for.
        asked: usize,
    },
    /// A choice over other days than the base; why, in one sentence.
    #[error("{0}")]
    Unlike(String),
    /// No measure of that name.
    #[error("there is no measure called {0}")]
    NoSuchMeasure(String),
    /// No best by that; why, in one sentence.
    #[error("{0}")]
    NoGoal(String),
    /// It was asked to stop before its end.
    #[error("stopped")]
    Stopped,
    /// No threads to be had.
    #[error("the threads for the simulation could not be started: {0}")]
    Threads(String),
}
