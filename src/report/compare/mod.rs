//! Choices against a base: in words, as a table, as files.

mod amounts;
mod files;
mod pictures;
#[cfg(test)]
mod tests;
mod words;

use std::io::Write;

use super::amounts::Show;
use super::svg::{Fit, Picture};
use super::{Page, ReportError};
use crate::scenario::{Changed, Names, UnitSystem};
use crate::study::compare::Comparison;
use crate::study::measures::MeasureKey;

/// A measure as a noun: the words of aims where there are such.
pub(super) fn noun(names: &Names, show: Show, key: MeasureKey) -> String {
    amounts::Tongue::new(names, show).noun(key)
}

/// Where one of those compared came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// What it is called in the comparison.
    pub name: String,
    /// Name of its file, without folders.
    pub file: String,
    /// Title of its scenario.
    pub title: String,
    /// Variant of the file; none for the file as it is.
    pub variant: Option<String>,
    /// What the variant changes in the file.
    pub changes: Vec<Changed>,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: String,
}

/// All that the report of a comparison speaks of.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// What was found.
    pub found: &'a Comparison,
    /// Names of the base.
    pub names: &'a Names,
    /// Cautions of all of them, each once.
    pub cautions: Vec<String>,
    /// Units to show.
    pub units: UnitSystem,
    /// The base and the choices, in order.
    pub origins: &'a [Origin],
    /// Measures were named, so all of them are told in words.
    pub chosen: bool,
}

/// Cautions of several, each once, in order.
#[must_use]
pub fn cautions<'a>(all: impl IntoIterator<Item = &'a Names>) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for caution in all.into_iter().flat_map(|n| &n.cautions) {
        if !told.contains(caution) {
            told.push(caution.clone());
        }
    }
    told
}

/// The comparison in words and tables.
#[must_use]
pub fn page(told: &Told) -> Page {
    words::page(told)
}

/// Its pictures.
#[must_use]
pub fn pictures(told: &Told, fit: Fit) -> Vec<Picture> {
    pictures::all(told, fit)
}

/// Names of the files of a comparison, but for the manifest, in a fixed order.
pub const FILES: [&str; 3] = ["compare.json", "compare.csv", "aims.csv"];

/// Writes one of [`FILES`].
///
/// # Errors
/// When `out` cannot be written, or the name is none of [`FILES`].
pub fn write_file(told: &Told, name: &str, out: &mut dyn Write) -> Result<(), ReportError> {
    match name {
        "compare.json" => out.write_all(&files::json(told)?)?,
        "compare.csv" => files::measures(told.found, out)?,
        "aims.csv" => files::aims(told.found, out)?,
        _ => return Err(ReportError::NoSuchFile(name.to_string())),
    }
    Ok(())
}
