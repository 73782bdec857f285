//! What a pail log says of an animal: in words, as JSON, and as a piece of a
//! scenario.

mod doubt;
mod fragment;
mod json;
mod reasons;
mod score;
mod words;

use crate::records::Log;
use crate::scenario::UnitSystem;
use crate::study::learn::Lesson;

pub use fragment::fragment;
pub use json::json;
pub use reasons::{reasons, row_table};
pub use score::{score_json, score_page};
pub use words::page;

/// A log and what was learnt from it.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// Her name.
    pub name: &'a str,
    /// Breed, as a scenario writes it.
    pub breed: &'a str,
    /// Name of the log, without folders.
    pub file: &'a str,
    /// The log as read.
    pub log: &'a Log,
    /// What it says.
    pub lesson: &'a Lesson,
    /// Units to show.
    pub units: UnitSystem,
    /// Every row set aside is listed, not the first alone.
    pub all: bool,
}

/// How many rows ended where, over reading and learning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Tally {
    rows: usize,
    used: usize,
    calf: usize,
    wrong: usize,
    aside: usize,
    blank: usize,
    headings: usize,
    others: usize,
}

impl Told<'_> {
    /// `a jersey`, `an alpine`.
    fn a_breed(&self) -> String {
        let vowel = self.breed.starts_with(|c: char| "aeiouAEIOU".contains(c));
        format!("{} {}", if vowel { "an" } else { "a" }, self.breed)
    }

    /// Every row of the file once.
    fn tally(&self) -> Tally {
        let c = self.log.counts;
        let lines = |mut v: Vec<usize>| {
            v.sort_unstable();
            v.dedup();
            v
        };
        let late = lines(self.lesson.days.aside.iter().map(|a| a.line).collect());
        let calf_days: Vec<_> =
            self.lesson.days.lactations.iter().flat_map(|l| l.calf.iter().map(|d| d.date)).collect();
        let on_calf = self.log.milkings.iter().filter(|m| calf_days.contains(&m.date)).map(|m| m.line);
        let calf = lines(on_calf.filter(|l| late.binary_search(l).is_err()).collect()).len();
        let wrong_days: Vec<_> = self.lesson.fit.wrong.iter().map(|w| w.day.date).collect();
        let wrong = self.log.milkings.iter().filter(|m| wrong_days.contains(&m.date)).map(|m| m.line);
        let wrong = lines(wrong.collect()).len();
        Tally {
            rows: c.rows,
            used: c.used.saturating_sub(late.len() + calf + wrong),
            calf,
            wrong,
            aside: c.aside + late.len(),
            blank: c.blank,
            headings: c.headings,
            others: c.others,
        }
    }
}
