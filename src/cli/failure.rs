//! How a command fails, and with which exit code.

use std::io;
use std::process::ExitCode;

use super::output;

/// Exit codes besides 0.
pub mod codes {
    /// Anything but bad input.
    pub const OTHER: u8 = 1;
    /// Bad arguments or a bad scenario.
    pub const BAD_INPUT: u8 = 2;
}

/// Why a command did not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Bad arguments, or help and version, which end a command too.
    #[error("{0}")]
    Arguments(#[from] clap::Error),
    /// Bad input, in one sentence.
    #[error("{0}")]
    BadInput(String),
    /// A scenario with errors, already rendered.
    #[error("{0}")]
    BadScenario(String),
    /// Anything else, in one sentence.
    #[error("{0}")]
    Other(String),
    /// Whoever read the output has stopped: no error.
    #[error("the reader of the output has gone")]
    ReaderGone,
}

impl From<io::Error> for Failure {
    /// An error while writing results.
    fn from(e: io::Error) -> Self {
        if e.kind() == io::ErrorKind::BrokenPipe {
            Self::ReaderGone
        } else {
            Self::Other(format!("cannot write the output: {e}"))
        }
    }
}

impl Failure {
    /// Tells the user and gives the exit code.
    pub fn tell(&self) -> ExitCode {
        match self {
            Self::ReaderGone => ExitCode::SUCCESS,
            Self::Arguments(e) => {
                // Help that nobody reads any more is no failure.
                let _ = e.print();
                ExitCode::from(u8::try_from(e.exit_code()).unwrap_or(codes::OTHER))
            }
            Self::BadInput(text) => {
                output::error(text);
                ExitCode::from(codes::BAD_INPUT)
            }
            Self::BadScenario(text) => {
                output::raw_error(text);
                ExitCode::from(codes::BAD_INPUT)
            }
            Self::Other(text) => {
                output::error(text);
                ExitCode::from(codes::OTHER)
            }
        }
    }
}
