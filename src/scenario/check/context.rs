//! What every check uses: the text with its positions, and the messages found.

use jiff::civil::Date;

use super::super::{
    decode::Lost,
    raw::{Entries, Text},
    source::{Source, is_under},
    stock::Sheet,
};
use crate::{
    calendar,
    diagnostics::{Diagnostic, Severity, nearest},
    units::{self, Count, Dimension, QuantityError, Spread, Temperature, Text as Q},
};

pub(super) use crate::diagnostics::listed as list;

/// The path of a key under another path.
pub(super) fn under(at: &str, key: &str) -> String {
    if at.is_empty() { key.to_owned() } else { format!("{at}.{key}") }
}

/// The path of an entry of a list.
pub(super) fn entry(at: &str, index: usize) -> String {
    format!("{at}[{index}]")
}

/// Collects messages while the parts are read. A part that cannot be read
/// yields a stand-in, so that the others are still looked at.
pub(super) struct Ctx<'s> {
    source: &'s Source,
    /// What was written but could not be read.
    lost: &'s [Lost],
    found: Vec<Diagnostic>,
    /// Paths of the errors.
    wrong: Vec<String>,
    /// A stock-take beside the file; its things stand under `stock`.
    sheet: Option<&'s Sheet>,
}

impl<'s> Ctx<'s> {
    pub(super) fn new(source: &'s Source, lost: &'s [Lost]) -> Self {
        Self { source, lost, found: Vec::new(), wrong: Vec::new(), sheet: None }
    }

    /// With a stock-take beside the file.
    pub(super) fn beside(mut self, sheet: Option<&'s Sheet>) -> Self {
        self.sheet = sheet;
        self
    }

    pub(super) fn push(&mut self, at: &str, d: Diagnostic) {
        let spot = self.source.value_at(at);
        self.add(at, d.at(spot));
    }

    /// A message about the key itself.
    pub(super) fn push_key(&mut self, at: &str, d: Diagnostic) {
        let spot = self.source.key_at(at);
        self.add(at, d.at(spot));
    }

    fn add(&mut self, at: &str, mut d: Diagnostic) {
        if let Some(spot) = self.sheet.and_then(|s| s.spot(at)) {
            d.spot = Some(spot);
            d.beside = true;
        }
        if d.severity == Severity::Error {
            self.wrong.push(at.to_owned());
        } else if !self.lost.is_empty() {
            // A warning speaks of the whole, and a part of it is not known yet.
            return;
        }
        // In the place of what could not be read stands nothing, and its fault
        // has been said.
        if self.lost.iter().any(|l| is_under(at, &l.path())) {
            return;
        }
        if !self.found.contains(&d) {
            self.found.push(d);
        }
    }

    pub(super) fn error(&mut self, at: &str, message: impl Into<String>, help: impl Into<String>) {
        self.push(at, Diagnostic::error(message).help(help));
    }

    pub(super) fn warn(&mut self, at: &str, message: impl Into<String>, help: impl Into<String>) {
        self.push(at, Diagnostic::warning(message).help(help));
    }

    /// A part that is needed, under any of the `keys`, and not written at `at`.
    pub(super) fn missing(&mut self, at: &str, keys: &[&str], what: &str, help: impl Into<String>) {
        let written = |l: &Lost| l.map == at && keys.iter().any(|k| l.may_be(k));
        if self.lost.iter().any(written) {
            // It was written, with a slip in its key or as a wrong kind of value.
            self.wrong.push(at.to_owned());
            return;
        }
        self.push_key(at, Diagnostic::error(format!("{what} is missing")).help(help));
    }

    /// Whether something is written at a path.
    pub(super) fn written(&self, at: &str) -> bool {
        self.source.has(at)
    }

    /// Whether anything under a path is wrong.
    pub(super) fn errors_under(&self, path: &str) -> bool {
        self.wrong.iter().any(|at| is_under(at, path))
            || self.lost.iter().any(|l| l.paths().any(|lost| is_under(&lost, path) || is_under(path, &lost)))
    }

    /// The line on which a key stands.
    pub(super) fn line(&self, at: &str) -> usize {
        self.source.key_at(at).map_or(1, |s| s.line)
    }

    /// One name written twice, but for capital letters.
    pub(super) fn twice<T>(&mut self, at: &str, entries: Option<&Entries<T>>) {
        let mut seen = std::collections::HashMap::new();
        for name in entries.iter().flat_map(|e| e.names()) {
            let word = name.trim().to_lowercase();
            let Some(first) = seen.get(&word).copied() else {
                seen.insert(word, name);
                continue;
            };
            let line = self.line(&under(at, first));
            let d = Diagnostic::error(format!("`{name}` stands here twice"));
            let help = format!("it stands first on line {line} as `{first}`; keep one of them");
            self.push_key(&under(at, name), d.help(help));
        }
    }

    pub(super) fn any_errors(&self) -> bool {
        !self.wrong.is_empty()
    }

    /// All messages, by place.
    pub(super) fn finish(mut self) -> Vec<Diagnostic> {
        self.found.sort_by_key(|d| (d.spot.is_none(), d.spot));
        self.found
    }

    fn quantity<T>(&mut self, at: &str, read: Result<T, QuantityError>) -> Option<T> {
        read.map_err(|e| self.push(at, e.diagnostic())).ok()
    }

    /// Reads an optional quantity.
    pub(super) fn read<D: Dimension>(&mut self, at: &str, q: &Option<Q<D>>) -> Option<f64> {
        let q = q.as_ref()?;
        self.quantity(at, q.read())
    }

    /// Reads a quantity that must lie within bounds (in the unit of `D`);
    /// `bounds` says them in words.
    pub(super) fn within<D: Dimension>(
        &mut self,
        at: &str,
        q: &Option<Q<D>>,
        range: std::ops::RangeInclusive<f64>,
        bounds: &str,
    ) -> Option<f64> {
        let v = self.read(at, q)?;
        if range.contains(&v) {
            return Some(v);
        }
        let text = q.as_ref().map_or("", |q| q.as_str());
        // Degrees of the other scale are the commonest slip.
        let other = text.replace('C', "F");
        let slip = text.contains('C') && units::read::<Temperature>(&other).is_ok_and(|c| range.contains(&c));
        let hint = if slip && bounds.contains("temperature") {
            format!("did you mean `{other}`? Write {bounds}")
        } else {
            format!("write {bounds}")
        };
        self.error(at, format!("`{text}` is out of reason here"), hint);
        None
    }

    /// Reads an optional quantity with its `give or take`.
    pub(super) fn spread<D: Dimension>(&mut self, at: &str, q: &Option<Q<D>>) -> Option<Spread> {
        let q = q.as_ref()?;
        self.quantity(at, q.spread())
    }

    /// Reads a quantity out of words.
    pub(super) fn words<D: Dimension>(&mut self, at: &str, words: &str) -> Option<f64> {
        self.quantity(at, crate::units::read::<D>(words))
    }

    /// Takes the result of another reader of quantities.
    pub(super) fn take<T>(&mut self, at: &str, read: Result<T, QuantityError>) -> Option<T> {
        self.quantity(at, read)
    }

    /// Reads a bare number within bounds.
    pub(super) fn number(
        &mut self,
        at: &str,
        text: &Option<Text>,
        range: std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let text = text.as_ref()?.get();
        match text.parse::<f64>() {
            Ok(v) if v.is_finite() && range.contains(&v) => Some(v),
            _ => {
                let (a, b) = (range.start(), range.end());
                self.error(
                    at,
                    format!("`{text}` is no such number"),
                    format!("write a number from {a} to {b}"),
                );
                None
            }
        }
    }

    /// Reads a factor as a percentage that may exceed 100 %.
    pub(super) fn factor(&mut self, at: &str, text: &str) -> Option<f64> {
        let number = text.trim().strip_suffix('%').map(|t| t.trim().parse::<f64>());
        match number {
            Some(Ok(v)) if v.is_finite() && (0.0..=1000.0).contains(&v) => Some(v / 100.0),
            _ => {
                self.error(at, format!("`{text}` is no such part"), "write a percentage such as `120 %`");
                None
            }
        }
    }

    /// Reads one of several words.
    pub(super) fn choice<T: Copy>(
        &mut self,
        at: &str,
        text: &Option<Text>,
        options: &[(&str, T)],
    ) -> Option<T> {
        let word = text.as_ref()?.get();
        if let Some((_, v)) = options.iter().find(|(w, _)| w.eq_ignore_ascii_case(word)) {
            return Some(*v);
        }
        let names: Vec<&str> = options.iter().map(|(w, _)| *w).collect();
        let help = match nearest(word, names.iter().copied()) {
            Some(n) => format!("did you mean `{n}`? Known here: {}", list(&names)),
            None => format!("known here: {}", list(&names)),
        };
        self.error(at, format!("`{word}` is not understood here"), help);
        None
    }

    /// A word for something of this scenario that is unknown, with the nearest
    /// known one; silent where faults of that part explain it.
    pub(super) fn unknown(&mut self, at: &str, kind: &str, word: &str, known: &[&str]) {
        let follows = match kind {
            // It is described, but its own faults keep it from being known.
            "store" => {
                self.errors_under("stores")
                    && (self.source.has(&under("stores", word)) || self.all_lost("stores"))
            }
            "animal" => self.errors_under("animals"),
            "recipe" => self.all_lost("recipes"),
            "measure or wish" => {
                self.source.has(&under("household.wants", word)) || self.all_lost("household.wants")
            }
            "item" => self.all_lost("recipes") || self.all_lost("products"),
            _ => false,
        };
        if follows {
            self.wrong.push(at.to_owned());
            return;
        }
        self.unknown_word(at, kind, word, known);
    }

    fn unknown_word(&mut self, at: &str, kind: &str, word: &str, known: &[&str]) {
        let help = match nearest(word, known.iter().copied()) {
            Some(n) => format!("did you mean `{n}`?"),
            None if known.is_empty() => format!("there is no {kind} in this scenario"),
            None => format!("known here: {}", list(known)),
        };
        self.error(at, format!("`{word}` is no {kind} that is known here"), help);
    }

    /// Whether a part of the file could not be read at all.
    pub(super) fn all_lost(&self, part: &str) -> bool {
        self.lost.iter().any(|l| l.paths().any(|lost| is_under(part, &lost)))
    }

    /// Finds a preset by name.
    pub(super) fn preset<'p, T>(
        &mut self,
        at: &str,
        kind: &str,
        name: &Text,
        presets: &'p Entries<T>,
    ) -> Option<&'p T> {
        let word = name.get();
        let found = presets.iter().find(|(n, _)| n.eq_ignore_ascii_case(word)).map(|(_, t)| t);
        if found.is_none() {
            let names: Vec<&str> = presets.names().collect();
            self.unknown_word(at, kind, word, &names);
        }
        found
    }

    /// Reads a date.
    pub(super) fn date(&mut self, at: &str, text: &str) -> Option<Date> {
        calendar::read_date(text).map_err(|e| self.push(at, e.diagnostic())).ok()
    }

    /// Reads a list of weekdays (also `weekdays`, `weekend`, `every day`) as a
    /// set; `None` when a word is wrong or the list is empty.
    pub(super) fn weekdays(&mut self, at: &str, days: &Option<Vec<Text>>) -> Option<u8> {
        let days = days.as_ref()?;
        if days.is_empty() {
            self.error(at, "this list of days is empty", "name weekdays, such as `[mon, thu]`");
            return None;
        }
        let mut mask = 0;
        for (i, day) in days.iter().enumerate() {
            match day.get().to_lowercase().as_str() {
                "weekdays" => mask |= 0b001_1111,
                "weekend" => mask |= 0b110_0000,
                "every day" => mask |= 0b111_1111,
                word => match calendar::read_weekday(word) {
                    Ok(d) => mask |= 1 << d,
                    Err(e) => self.push(&entry(at, i), e.diagnostic()),
                },
            }
        }
        (mask != 0).then_some(mask)
    }

    /// The names of so many equal things that are written as one: `Doe`, `Doe 2`, ….
    pub(super) fn copies(&mut self, at: &str, name: &str, how_many: &Option<Q<Count>>) -> Vec<String> {
        // A bound of the program.
        const MOST: f64 = 20.0;
        let n = self.within(&under(at, "how many"), how_many, 1.0..=MOST, "a number from 1 to 20");
        let copy = |k: u32| if k == 1 { name.to_owned() } else { format!("{name} {k}") };
        (1..=n.unwrap_or(1.0) as u32).map(copy).collect()
    }

    /// Reads values by month over `base`.
    pub(super) fn by_month<T>(
        &mut self,
        at: &str,
        months: &Entries<T>,
        base: f64,
        mut read: impl FnMut(&mut Self, &str, &T) -> Option<f64>,
    ) -> [f64; 12] {
        let mut all = [base; 12];
        for (name, value) in months.iter() {
            let at = under(at, name);
            match calendar::read_month(name) {
                Ok(m) => {
                    if let Some(v) = read(self, &at, value) {
                        all[usize::from(m) % 12] = v;
                    }
                }
                Err(e) => self.push_key(&at, e.diagnostic()),
            }
        }
        all
    }
}
