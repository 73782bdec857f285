//! Messages about what the family wrote.

use std::fmt;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The scenario cannot be run.
    Error,
    /// It can, but the family should know.
    Warning,
}

/// A place in the file; lines and columns count from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Line.
    pub line: usize,
    /// Column, in characters.
    pub column: usize,
    /// Length of the marked text, in characters (at least 1).
    pub length: usize,
}

/// One message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// What is wrong, one sentence, lower case, no full stop.
    pub message: String,
    /// Where, if anywhere.
    pub spot: Option<Spot>,
    /// What was expected, or how to mend it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error.
    #[must_use]
    pub fn error(message: impl Into<String>) -> Self {
        Self { severity: Severity::Error, message: message.into(), spot: None, help: None }
    }

    /// A warning.
    #[must_use]
    pub fn warning(message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, message: message.into(), spot: None, help: None }
    }

    /// Says where.
    #[must_use]
    pub fn at(mut self, spot: Option<Spot>) -> Self {
        self.spot = spot;
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(s) = self.spot {
            write!(f, "{}:{}: ", s.line, s.column)?;
        }
        f.write_str(&self.message)?;
        if let Some(h) = &self.help {
            write!(f, " ({h})")?;
        }
        Ok(())
    }
}

/// The nearest of `words` to `word`, if it is near enough to be a slip.
#[must_use]
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let reach = (lower.chars().count() / 3).clamp(1, 3);
    words
        .into_iter()
        .map(|w| (strsim::damerau_levenshtein(&lower, &w.to_lowercase()), w))
        .filter(|(d, w)| *d <= reach || (lower.len() >= 3 && w.to_lowercase().contains(&lower)))
        .min_by(|a, b| a.cmp(b))
        .map(|(_, w)| w)
}
