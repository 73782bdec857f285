//! How a command fails, and with which exit code.

use std::error::Error;
use std::io;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::output;
use crate::diagnostics::nearest;

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
                if let Some(text) = wrong_value(e) {
                    output::error(&text);
                    return ExitCode::from(codes::BAD_INPUT);
                }
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

/// A wrong value of an option in the words of every other message: what was
/// given, what was expected, what is nearest.
fn wrong_value(e: &clap::Error) -> Option<String> {
    let text = |kind| match e.get(kind) {
        Some(ContextValue::String(s)) => Some(s.as_str()),
        _ => None,
    };
    // `--weeks <N>`: the option alone.
    let option = text(ContextKind::InvalidArg)?;
    let option = option.split([' ', '=']).next().unwrap_or(option).trim_end_matches("...");
    let value = text(ContextKind::InvalidValue)?;
    match e.kind() {
        ErrorKind::ValueValidation => Some(format!("{option} {value}: {}", e.source()?)),
        ErrorKind::InvalidValue => {
            let Some(ContextValue::Strings(words)) = e.get(ContextKind::ValidValue) else { return None };
            let near = nearest(value, words.iter().map(String::as_str));
            let near = near.map_or_else(String::new, |n| format!("; did you mean {n}?"));
            let expected = match words.as_slice() {
                [head @ .., last] if !head.is_empty() => format!("{} or {last}", head.join(", ")),
                words => words.concat(),
            };
            Some(match value {
                "" if expected.is_empty() => format!("{option} needs a value"),
                "" => format!("{option} needs a value: {expected}"),
                value => format!("{option} {value}: expected {expected}{near}"),
            })
        }
        _ => None,
    }
}
