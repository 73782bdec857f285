//! What a search for a size found: words, a table, the sizing curve as data.

mod files;
mod pictures;
mod words;

pub use files::{csv, json};
pub use words::page;

use super::About;
use super::svg::{Fit, Picture};
use crate::scenario::{Names, UnitSystem};
use crate::study::size::{SizeResult, Standing};

/// Names of the files of a search, but for the manifest, in a fixed order.
pub const SIZE_FILES: [&str; 2] = ["size.json", "size.csv"];

/// All that is told.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// What was found.
    pub result: &'a SizeResult,
    /// The fields that share the value, as the file spells them.
    pub fields: &'a [String],
    /// The values, the most frugal first.
    pub settings: &'a [String],
    /// The smallest is sought; else the largest.
    pub smallest: bool,
    /// The values have no size of their own: they stand in the order given.
    pub in_order_given: bool,
    /// Which of the two was chosen for the field, not asked for.
    pub direction_is_default: bool,
    /// The room of a fridge is varied, as plain volume.
    pub packed: Option<Packed>,
    /// What the file says now, if anything.
    pub now: Option<&'a str>,
    /// The variant that was searched, if any.
    pub variant: Option<&'a str>,
    /// Names of things in the scenario.
    pub names: &'a Names,
    /// Days simulated in a trial.
    pub days: u32,
    /// Seed.
    pub seed: u64,
    /// Units to show.
    pub units: UnitSystem,
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
}

/// A cold room for milk whose size is told as plain volume: what that holds.
#[derive(Clone, Debug)]
pub struct Packed {
    /// The store.
    pub store: String,
    /// The answer, so many jars that it holds, and which.
    pub jars: Option<(String, u32, String)>,
}

/// Its pictures.
#[must_use]
pub fn pictures(told: &Told, fit: Fit) -> Vec<Picture> {
    pictures::all(told, fit)
}

impl Told<'_> {
    /// What its manifest says.
    #[must_use]
    pub fn about(&self) -> About<'_> {
        About {
            file: self.file,
            title: &self.names.title,
            sha256: self.sha256,
            seed: self.seed,
            trials: self.result.trials,
            days: self.days,
        }
    }

    fn setting(&self, at: usize) -> &str {
        self.settings.get(at).map_or("?", String::as_str)
    }

    /// The values are dates.
    fn dated(&self) -> bool {
        self.settings.iter().all(|s| is_date(s))
    }

    fn aim(&self, at: usize) -> &str {
        self.names.aims.get(at).map_or("an aim", String::as_str)
    }

    fn wanted(&self, aim: usize) -> f64 {
        self.result.wanted.get(aim).copied().unwrap_or(0.0)
    }
}

/// A text that begins with a date.
pub(in crate::report) fn is_date(text: &str) -> bool {
    text.split_whitespace().next().is_some_and(|d| crate::calendar::read_date(d).is_ok())
}

/// A standing as a word of the files.
fn key(standing: Standing) -> &'static str {
    match standing {
        Standing::Enough => "enough",
        Standing::Fails => "fails",
        Standing::NotShown => "not_shown",
        Standing::Searched => "searched",
    }
}
