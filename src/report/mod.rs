//! Words, tables and files made from results.
//!
//! This floor knows what a run found and what the family owns; it knows
//! neither a path nor a terminal. [`page`] gives the summary as blocks of
//! text, [`files`] gives names and bytes.

mod amounts;
mod csv;
mod dates;
mod facts;
mod json;
mod manifest;
mod page;
mod tables;
mod words;

pub use amounts::Show;
pub use dates::Span;
pub use facts::{Facts, JarFact, WishFact};
pub use json::summary_json;
pub use manifest::{Manifest, listed_files};
pub use page::{Block, Page, gap};

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

/// A file to be written: its name and its bytes.
pub type NamedBytes = (String, Vec<u8>);

/// The summary in words, then tables, then cautions.
#[must_use]
pub fn page(subject: &Subject) -> Page {
    words::page(subject)
}

/// All files of a run but the manifest, in a fixed order.
///
/// # Errors
/// When a table cannot be put into bytes (never in practice: memory only).
pub fn files(subject: &Subject) -> Result<Vec<NamedBytes>, ReportError> {
    let r = subject.result;
    Ok(vec![
        ("summary.json".into(), summary_json(subject)?),
        ("days.csv".into(), csv::days(r, subject.names)?),
        ("trials.csv".into(), csv::trials(r)?),
        ("flows.csv".into(), csv::flows(r)?),
        ("rules.csv".into(), csv::rules(r)?),
    ])
}

/// A report could not be put into bytes.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// JSON.
    #[error("cannot write JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// CSV.
    #[error("cannot write CSV: {0}")]
    Csv(#[from] ::csv::Error),
}
