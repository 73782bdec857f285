//! Words, tables and files made from results.
//!
//! This floor knows what a run found and what the family owns; it knows
//! neither a path nor a terminal. [`page()`] gives the summary as blocks of
//! text, [`write_file`] the bytes of each of [`FILES`], [`html`] the page to look at.

pub mod ahead;
mod amounts;
pub mod compare;
mod csv;
mod dates;
mod facts;
pub mod html;
pub mod jar;
mod json;
pub mod learn;
mod manifest;
mod months;
mod page;
pub mod size;
pub mod svg;
pub mod sweep;
mod tables;
pub mod trace;
mod words;

pub use amounts::Show;
pub use dates::Span;
pub use facts::{Facts, JarFact, WishFact};
pub use manifest::{About, MANIFEST, Manifest, listed_files};
pub use page::{Block, Page, gap, wrap};

use std::io::Write;

use crate::scenario::{Names, UnitSystem};
use crate::study::results::RunResult;

/// All that a report speaks of.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// What the run found.
    pub result: &'a RunResult,
    /// Names of things in the scenario.
    pub names: &'a Names,
    /// What the family owns and wishes.
    pub facts: &'a Facts,
    /// Units to show.
    pub units: UnitSystem,
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
}

/// The answer alone: aims, what gives way, what would help, and the first
/// cautions. `rest` says how to see the whole, as the end of a sentence.
#[must_use]
pub fn first_page(subject: &Subject, rest: &str) -> Page {
    words::first_page(subject, rest)
}

/// The summary in words, then tables, then cautions.
#[must_use]
pub fn page(subject: &Subject) -> Page {
    words::page(subject)
}

/// Names of the files of a run, but for the manifest, in a fixed order.
pub const FILES: [&str; 5] = ["summary.json", "days.csv", "trials.csv", "flows.csv", "rules.csv"];

/// Writes one of [`FILES`], row by row: a long table is never held in memory.
///
/// # Errors
/// When `out` cannot be written, or the name is none of [`FILES`].
pub fn write_file(subject: &Subject, name: &str, out: &mut dyn Write) -> Result<(), ReportError> {
    let r = subject.result;
    match name {
        "summary.json" => out.write_all(&json::summary(subject)?)?,
        "days.csv" => csv::days(r, subject.names, out)?,
        "trials.csv" => csv::trials(r, out)?,
        "flows.csv" => csv::flows(r, out)?,
        "rules.csv" => csv::rules(r, out)?,
        _ => return Err(ReportError::NoSuchFile(name.to_string())),
    }
    Ok(())
}

/// A report could not be put into bytes.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// JSON.
    #[error("cannot write JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// CSV.
    #[error("{0}")]
    Csv(#[from] ::csv::Error),
    /// Writing.
    #[error("{0}")]
    Io(#[from] std::io::Error),
    /// No file of that name.
    #[error("there is no file {0}")]
    NoSuchFile(String),
}
