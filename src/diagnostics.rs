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
    /// It speaks of the stock-take beside the scenario, and `spot` lies in that.
    pub beside: bool,
    /// What was expected, or how to mend it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error.
    #[must_use]
    pub fn error(message: impl Into<String>) -> Self {
        Self { severity: Severity::Error, message: message.into(), spot: None, beside: false, help: None }
    }

    /// A warning.
    #[must_use]
    pub fn warning(message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, message: message.into(), spot: None, beside: false, help: None }
    }

    /// Says where.
    #[must_use]
    pub fn at(mut self, spot: Option<Spot>) -> Self {
        self.spot = spot;
        self
    }

    /// Says that it speaks of the stock-take beside the scenario.
    #[must_use]
    pub fn in_stock_take(mut self) -> Self {
        self.beside = true;
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

/// All messages about one file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// Name of the file, as the reader knows it.
    pub file_name: String,
    /// Its text, line ends made `\n`; empty when it could not be read.
    pub text: String,
    /// The messages.
    pub diagnostics: Vec<Diagnostic>,
}

impl Report {
    /// Whether any message is an error.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|d| d.severity == Severity::Error)
    }
}

/// Puts messages in order: errors first, then by place; messages without a
/// place come last. Doubled messages are dropped.
pub fn sort(diagnostics: &mut Vec<Diagnostic>) {
    diagnostics.sort_by_key(|d| (d.severity == Severity::Warning, d.beside, d.spot.is_none(), d.spot));
    diagnostics.dedup();
}

/// The nearest of `words` to `word`, if it is near enough to be a slip.
#[must_use]
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let reach = (lower.chars().count() / 3).clamp(1, 3);
    // Small words left out: `milk on table`.
    let within = |w: &str| {
        let has: Vec<&str> = w.split(' ').collect();
        lower.contains(' ') && lower.split(' ').all(|part| has.contains(&part))
    };
    words
        .into_iter()
        .map(|w| (strsim::damerau_levenshtein(&lower, &w.to_lowercase()), w))
        .filter(|(d, w)| {
            *d <= reach
                || (lower.len() >= 3 && w.to_lowercase().contains(&lower))
                || within(&w.to_lowercase())
        })
        .min_by(|a, b| a.cmp(b))
        .map(|(_, w)| w)
}

/// `a, b and c`, at most a dozen.
#[must_use]
pub fn listed(words: &[&str]) -> String {
    const MOST: usize = 12;
    match words {
        [] => "nothing".into(),
        [one] => format!("`{one}`"),
        [start @ .., last] if words.len() <= MOST => {
            let start: Vec<String> = start.iter().map(|w| format!("`{w}`")).collect();
            format!("{} and `{last}`", start.join(", "))
        }
        _ => {
            let start: Vec<String> = words[..MOST].iter().map(|w| format!("`{w}`")).collect();
            format!("{} and {} more", start.join(", "), words.len() - MOST)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word() {
        let words = ["recipes", "routine", "household", "jars"];
        assert_eq!(nearest("recpie", words), Some("recipes"));
        assert_eq!(nearest("Routin", words), Some("routine"));
        assert_eq!(nearest("jar", words), Some("jars"));
        assert_eq!(nearest("zebra", words), None);
        assert_eq!(nearest("", words), None);
        assert_eq!(nearest("milk on table", ["milk on the table", "milk"]), Some("milk on the table"));
        assert_eq!(nearest("gernsey", ["jersey", "guernsey"]), Some("guernsey"));
    }

    #[test]
    fn errors_come_first_and_in_order() {
        let at = |line| Some(Spot { line, column: 1, length: 1 });
        let mut all = vec![
            Diagnostic::warning("w").at(at(1)),
            Diagnostic::error("no place"),
            Diagnostic::error("b").at(at(3)),
            Diagnostic::error("a").at(at(2)),
            Diagnostic::error("a").at(at(2)),
        ];
        sort(&mut all);
        let order: Vec<&str> = all.iter().map(|d| d.message.as_str()).collect();
        assert_eq!(order, ["a", "b", "no place", "w"]);
        let report = Report { diagnostics: all, ..Report::default() };
        assert!(report.has_errors());
    }
}
