//! A sweep in words, and its files.

mod files;
mod pictures;
mod words;

pub use files::{csv, json};
pub use words::page;

use super::Facts;
use super::svg::{Fit, Picture};
use crate::scenario::{Names, UnitSystem};
use crate::study::Sweep;

/// All that is told of a sweep.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// What was found.
    pub sweep: &'a Sweep,
    /// Names of the scenario that is varied.
    pub names: &'a Names,
    /// What its family owns and wishes.
    pub facts: &'a Facts,
    /// The variant that is varied, if any.
    pub variant: Option<&'a str>,
    /// Units to show.
    pub units: UnitSystem,
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
    /// Names of measures to show beside the usual ones.
    pub measures: &'a [String],
}

/// Names of the files of a sweep, but for the manifest.
pub const FILES: [&str; 2] = ["sweep.json", "sweep.csv"];

/// Its pictures.
#[must_use]
pub fn pictures(told: &Told, fit: Fit) -> Vec<Picture> {
    pictures::all(told, fit)
}

impl Told<'_> {
    /// The numbers of the values of each field at a point.
    fn at(&self, point: usize) -> Vec<usize> {
        let mut rest = point;
        let mut at: Vec<usize> = Vec::new();
        for axis in self.sweep.axes.iter().rev() {
            let count = axis.values.len().max(1);
            at.push(rest % count);
            rest /= count;
        }
        at.reverse();
        at
    }

    /// The texts of the values at a point.
    fn texts(&self, point: usize) -> Vec<&str> {
        let at = self.at(point);
        let texts =
            self.sweep.axes.iter().zip(at).map(|(a, i)| a.values.get(i).map_or("", |v| v.text.as_str()));
        texts.collect()
    }
}
