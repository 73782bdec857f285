//! A pail log: dated milkings as a family wrote them down, read from a table
//! of text.
//!
//! Nothing is dropped in silence: every row of the file is used, set aside
//! with the reason, or counted as blank or a heading. What was decided over a
//! whole column (which way round its dates are, what a comma means) is told.

pub(crate) mod dates;
mod forecast;
mod heads;
mod measure;
mod numbers;
mod pairs;
mod rows;
pub(crate) mod table;
#[cfg(test)]
mod tests;
mod words;

use jiff::civil::Date;

use crate::calendar::days_between;
use crate::diagnostics::Diagnostic;

pub use dates::Order;
pub use forecast::{Forecast, read_forecast};
pub use measure::Measure;
use table::Table;
#[cfg(test)]
use table::cell_of;

/// What the reader is told beside the file.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Unit of amounts where the file says none: `lb`, `kg`, `qt`, `L`, `gal`.
    pub unit: Option<String>,
    /// Which way round dates such as 3/4/2027 are.
    pub dates: Option<Order>,
    /// Whose rows, where the file holds several animals.
    pub animal: Option<String>,
    /// The day it is: later days cannot be true.
    pub today: Option<Date>,
    /// Days by which the day where the log is kept may be ahead of that.
    pub leeway: i64,
}

impl Options {
    /// A day that has not come yet, wherever the log is kept.
    fn lies_ahead(&self, date: Date) -> bool {
        self.today.is_some_and(|today| days_between(today, date) > self.leeway)
    }
}

/// Which milking of the day a row is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Not said: the whole day's milk, or one of several milkings.
    #[default]
    Unsaid,
    /// The morning's.
    Morning,
    /// The evening's.
    Evening,
    /// One about midday.
    Noon,
}

impl Part {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unsaid => "milking",
            Self::Morning => "morning milking",
            Self::Evening => "evening milking",
            Self::Noon => "midday milking",
        }
    }
}

/// One amount that is used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Milking {
    /// Line of the file, from 1.
    pub line: usize,
    /// Its day.
    pub date: Date,
    /// Which milking.
    pub part: Part,
    /// Milk in the pail, kg.
    pub kg: f64,
    /// The row says that this is the whole day's milk.
    pub whole: bool,
    /// The measure in which it is written, if it is one of the usual ones.
    pub read: Option<Measure>,
    /// A young was on her.
    pub calf: bool,
    /// Kept from people; it counts as yield all the same.
    pub withheld: bool,
    /// Fat, mass fraction.
    pub fat: Option<f64>,
    /// Day in milk, where the file says it (1 = the day of freshening).
    pub dim: Option<u16>,
    /// Milkings that day, where the file says it.
    pub milkings: Option<u8>,
    /// The row says that she freshened on this day.
    pub fresh: bool,
}

/// A row, or one of its amounts, that is not used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// Line of the file, from 1.
    pub line: usize,
    /// Heading of the column it is about; empty: the whole row.
    pub column: String,
    /// Why, one sentence, lower case, no full stop.
    pub why: String,
}

/// How many of the file's rows came to what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Rows of the file, the first heading not counted.
    pub rows: usize,
    /// Rows of which an amount is used.
    pub used: usize,
    /// Rows set aside, each told.
    pub aside: usize,
    /// Rows without a word.
    pub blank: usize,
    /// Headings that come again.
    pub headings: usize,
    /// Rows of other animals than the one asked for.
    pub others: usize,
}

/// A log as read: one animal, in order of date.
#[derive(Clone, Debug, Default)]
pub struct Log {
    /// Her name, where the file says it.
    pub animal: Option<String>,
    /// The amounts used, by date, then milking.
    pub milkings: Vec<Milking>,
    /// What is not used, by line.
    pub aside: Vec<Aside>,
    /// What was understood of rows that are used, but not plain: by line.
    pub told: Vec<Aside>,
    /// What was decided over whole columns, in sentences.
    pub decided: Vec<String>,
    /// Rows without an amount of hers that are no fault, by line: why.
    pub passed: Vec<(usize, &'static str)>,
    /// The count of rows.
    pub counts: Counts,
}

/// Reads a log.
///
/// # Errors
/// What keeps the whole file from being understood: no table, no date or
/// amount column, no unit, dates that read two ways, several animals.
pub fn read(bytes: &[u8], options: &Options) -> Result<Log, Vec<Diagnostic>> {
    let table = Table::read(bytes).map_err(|d| vec![d])?;
    let mut log = Log { decided: table.told.clone(), ..Log::default() };
    let heads = heads::find(&table)?;
    log.decided.extend(heads.told.iter().cloned());
    let date_style = dates::decide(&table, &heads, options)?;
    let number_style = numbers::decide(&table, &heads, options)?;
    log.decided.extend(date_style.told());
    log.decided.extend(number_style.told.iter().cloned());
    rows::rows(&table, &heads, &date_style, &number_style, options, &mut log)?;
    pairs::pairs(&mut log);
    log.milkings.sort_by_key(|m| (m.date, m.part, m.line));
    log.aside.sort_by_key(|a| a.line);
    log.told.sort_by_key(|a| a.line);
    count(&mut log);
    Ok(log)
}

/// A row counts once: used if any of its amounts is.
fn count(log: &mut Log) {
    let mut lines: Vec<usize> = log.milkings.iter().map(|m| m.line).collect();
    lines.sort_unstable();
    lines.dedup();
    log.counts.used = lines.len();
    let mut aside: Vec<usize> = log.aside.iter().map(|a| a.line).collect();
    aside.sort_unstable();
    aside.dedup();
    log.counts.aside = aside.iter().filter(|l| lines.binary_search(l).is_err()).count();
}
