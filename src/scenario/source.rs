//! The text of a scenario and where everything stands in it.
//!
//! One pass over the text refuses what no scenario needs (several documents,
//! tags, deep nesting, swelling aliases, doubled keys) and notes where every
//! key and value stands, so that later checks can point at them by path:
//! `animals[0].freshens`, `household.people.man 31 to 50`.

mod form;

use std::collections::HashMap;

use saphyr_parser::{Event, Marker, Parser, Span};

pub use super::decode::decode_all;
use crate::diagnostics::{Diagnostic, Spot};
use form::syntax;

/// Largest file, bytes.
pub const MOST_BYTES: usize = 2_000_000;
/// Deepest nesting of lists and keys.
pub const MOST_DEPTH: usize = 64;
/// Most aliases in a file.
pub const MOST_ALIASES: usize = 100;
/// Most values that a file may hold, its aliases written out.
pub const MOST_VALUES: usize = 50_000;
/// Longest line, characters.
pub const LONGEST_LINE: usize = 2_000;
/// Longest path of keys to a value, bytes.
const LONGEST_PATH: usize = 1_000;
/// Most doubled keys that are listed.
const MOST_DOUBLED: usize = 100;

/// Where a key and its value stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) key: Option<Spot>,
    pub(super) value: Spot,
}

/// A scenario's text, checked for form, with its positions.
#[derive(Clone, Debug, Default)]
pub struct Source {
    text: String,
    places: HashMap<String, Place>,
    keys: HashMap<String, Vec<String>>,
    /// The text was put together anew: places in it say nothing of the file.
    rewritten: bool,
}

impl Source {
    /// Reads bytes as one YAML document and notes its positions.
    ///
    /// # Errors
    /// When the bytes are too many, not UTF-8, empty, or not one plain YAML
    /// document of keys and values; as many doubled keys as there are.
    pub fn read(bytes: &[u8]) -> Result<Self, Vec<Diagnostic>> {
        let text = plain_text(bytes).map_err(|d| vec![d])?;
        let mut walk = Walk::default();
        let mut found = Vec::new();
        let end = walk.run(&text, &mut found);
        found.extend(end.err());
        if !found.is_empty() {
            return Err(found);
        }
        Ok(Self { text, places: walk.places, keys: walk.keys, rewritten: false })
    }

    /// A text that was put together from checked ones, whose parts stand in
    /// the file at these places.
    pub(super) fn rewritten(
        text: String,
        places: HashMap<String, Place>,
        keys: HashMap<String, Vec<String>>,
    ) -> Self {
        Self { text, places, keys, rewritten: true }
    }

    /// Whether the text is the file's own, so that places in it are places in
    /// the file.
    pub(super) fn is_as_written(&self) -> bool {
        !self.rewritten
    }

    /// The place of what is written at `path`, or of the nearest that encloses it.
    pub(super) fn place(&self, path: &str) -> Option<Place> {
        self.nearest(path)
            .map(|(p, exact)| if exact { p } else { Place { key: None, value: p.key.unwrap_or(p.value) } })
    }

    /// All places at or under a path.
    pub(super) fn spots_under<'a>(&'a self, path: &'a str) -> impl Iterator<Item = Spot> + 'a {
        let under = self.places.iter().filter(move |(p, _)| is_under(p, path));
        under.flat_map(|(_, place)| place.key.into_iter().chain([place.value]))
    }

    /// The text, its line ends made `\n`.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Where the value at `path` stands, or the nearest that encloses it.
    #[must_use]
    pub fn value_at(&self, path: &str) -> Option<Spot> {
        self.nearest(path).map(|(p, exact)| if exact { p.value } else { p.key.unwrap_or(p.value) })
    }

    /// Where the key at `path` stands (an entry of a list: its value), or the
    /// nearest that encloses it.
    #[must_use]
    pub fn key_at(&self, path: &str) -> Option<Spot> {
        self.nearest(path).map(|(p, _)| p.key.unwrap_or(p.value))
    }

    /// Whether something is written at `path`.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.places.contains_key(path)
    }

    /// Keys written directly under `path`, in order; the root is `""`.
    #[must_use]
    pub fn keys_under(&self, path: &str) -> &[String] {
        self.keys.get(path).map_or(&[], Vec::as_slice)
    }

    fn nearest(&self, path: &str) -> Option<(Place, bool)> {
        let mut at = path;
        loop {
            if let Some(place) = self.places.get(at) {
                return Some((*place, at.len() == path.len()));
            }
            if at.is_empty() {
                return None;
            }
            at = at.rfind(['.', '[']).map_or("", |i| &at[..i]);
        }
    }
}

/// Whether a path lies at or under another: `animals[0].calf` under `animals`,
/// but not `animals fed`.
pub(super) fn is_under(path: &str, of: &str) -> bool {
    path.strip_prefix(of).is_some_and(|rest| of.is_empty() || rest.is_empty() || rest.starts_with(['.', '[']))
}

fn spot(line: usize, column: usize, length: usize) -> Spot {
    Spot { line, column, length: length.max(1) }
}

fn plain_text(bytes: &[u8]) -> Result<String, Diagnostic> {
    if bytes.len() > MOST_BYTES {
        return Err(Diagnostic::error(format!(
            "this file holds {} bytes, more than the {MOST_BYTES} that a scenario may hold",
            bytes.len()
        ))
        .help("is this the right file? A scenario fits on a few pages"));
    }
    let text = std::str::from_utf8(bytes).map_err(|e| {
        let good = String::from_utf8_lossy(&bytes[..e.valid_up_to()]).into_owned();
        let line = good.matches('\n').count() + 1;
        let column = good.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        Diagnostic::error("this file is not plain text: here stands a byte that is not UTF-8")
            .at(Some(spot(line, column, 1)))
            .help("save it again as UTF-8 text")
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n");
    for (i, line) in text.split('\n').enumerate() {
        let strange =
            |c: char| (c.is_control() && c != '\t') || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}');
        if let Some(column) = line.chars().position(strange) {
            return Err(Diagnostic::error("here stands a character that cannot be seen or read")
                .at(Some(spot(i + 1, column + 1, 1)))
                .help("delete it and write the line again"));
        }
        if line.len() > LONGEST_LINE && line.chars().count() > LONGEST_LINE {
            return Err(Diagnostic::error(format!("this line is longer than {LONGEST_LINE} characters"))
                .at(Some(spot(i + 1, LONGEST_LINE + 1, 1)))
                .help("write one key or one entry on a line"));
        }
    }
    let blank = |l: &str| l.trim().is_empty() || l.trim_start().starts_with('#');
    if text.lines().all(blank) {
        return Err(
            Diagnostic::error("this file is empty").help("a scenario begins with `title:` and `starts:`")
        );
    }
    Ok(text)
}

/// A list or a set of keys that is still open.
struct Open {
    path: String,
    anchor: usize,
    values: usize,
    start: Marker,
    kind: Kind,
}

enum Kind {
    List { next: usize },
    Keys { seen: HashMap<String, Spot>, pending: Option<(String, Spot)> },
}

#[derive(Default)]
struct Walk {
    places: HashMap<String, Place>,
    keys: HashMap<String, Vec<String>>,
    open: Vec<Open>,
    anchors: HashMap<usize, usize>,
    aliases: usize,
    documents: usize,
    total: usize,
}

impl Walk {
    fn run(&mut self, text: &str, found: &mut Vec<Diagnostic>) -> Result<(), Diagnostic> {
        let lines: Vec<&str> = text.split('\n').collect();
        for event in Parser::new_from_str(text) {
            let (event, span) = event.map_err(|e| syntax(&e, &lines))?;
            self.step(event, span, &lines, found)?;
        }
        Ok(())
    }

    fn step(
        &mut self,
        event: Event,
        span: Span,
        lines: &[&str],
        found: &mut Vec<Diagnostic>,
    ) -> Result<(), Diagnostic> {
        let here = spot_of(span, lines);
        match event {
            Event::DocumentStart(_) => {
                self.documents += 1;
                if self.documents > 1 {
                    return Err(Diagnostic::error("a second document begins here")
                        .at(Some(here))
                        .help("keep one scenario in one file and delete the line `---`"));
                }
            }
            Event::Scalar(value, style, anchor, tag) => {
                refuse_tag(tag.is_some(), here)?;
                let plain = style == saphyr_parser::ScalarStyle::Plain;
                if let Some(Open { kind: Kind::Keys { seen, pending }, path, .. }) = self.open.last_mut()
                    && pending.is_none()
                {
                    let key = value.into_owned();
                    if plain && key == "<<" {
                        return Err(Diagnostic::error("`<<` is not understood here")
                            .at(Some(here))
                            .help("write the keys out"));
                    }
                    if let Some(before) = seen.insert(key.clone(), here) {
                        if found.len() >= MOST_DOUBLED {
                            return Err(Diagnostic::error("too many keys stand here twice").at(Some(here)));
                        }
                        found.push(
                            Diagnostic::error(format!("`{key}` stands here twice"))
                                .at(Some(here))
                                .help(format!("it stands first on line {}; keep one of them", before.line)),
                        );
                    } else {
                        self.keys.entry(path.clone()).or_default().push(key.clone());
                    }
                    *pending = Some((key, here));
                    return Ok(());
                }
                self.place(here)?;
                self.count(1, here)?;
                self.settle(anchor, 1);
            }
            Event::Alias(anchor) => {
                self.aliases += 1;
                if self.aliases > MOST_ALIASES {
                    return Err(swells(here, "this file holds too many aliases"));
                }
                if self.wants_key() {
                    return Err(no_key(here));
                }
                self.place(here)?;
                let values = self.anchors.get(&anchor).copied().unwrap_or(1);
                self.count(values, here)?;
                self.settle(0, values);
            }
            Event::SequenceStart(anchor, tag) => {
                refuse_tag(tag.is_some(), here)?;
                self.begin(anchor, span, here, Kind::List { next: 0 })?;
            }
            Event::MappingStart(anchor, tag) => {
                refuse_tag(tag.is_some(), here)?;
                self.begin(anchor, span, here, Kind::Keys { seen: HashMap::new(), pending: None })?;
            }
            Event::SequenceEnd | Event::MappingEnd => {
                if let Some(done) = self.open.pop() {
                    if let Some(place) = self.places.get_mut(&done.path) {
                        let end = span.end;
                        let flow = char_at(lines, done.start).is_some_and(|c| c == '[' || c == '{');
                        if flow && end.line() == done.start.line() {
                            place.value.length = end.index().saturating_sub(done.start.index()).max(1);
                        } else if flow {
                            place.value.length = 1;
                        }
                    }
                    self.settle(done.anchor, done.values.saturating_add(1));
                }
            }
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
        }
        Ok(())
    }

    fn wants_key(&self) -> bool {
        matches!(self.open.last(), Some(Open { kind: Kind::Keys { pending: None, .. }, .. }))
    }

    fn path(&self) -> (String, Option<Spot>) {
        match self.open.last() {
            None => (String::new(), None),
            Some(Open { path, kind: Kind::List { next }, .. }) => (format!("{path}[{next}]"), None),
            Some(Open { path, kind: Kind::Keys { pending, .. }, .. }) => match pending {
                Some((key, at)) if path.is_empty() => (key.clone(), Some(*at)),
                Some((key, at)) => (format!("{path}.{key}"), Some(*at)),
                None => (path.clone(), None),
            },
        }
    }

    fn place(&mut self, value: Spot) -> Result<String, Diagnostic> {
        let (path, key) = self.path();
        if path.len() > LONGEST_PATH {
            return Err(Diagnostic::error("the names that lead here are too long")
                .at(Some(key.unwrap_or(value)))
                .help("shorten them, or bring this nearer to the left edge"));
        }
        self.places.entry(path.clone()).or_insert(Place { key, value });
        Ok(path)
    }

    fn begin(&mut self, anchor: usize, span: Span, here: Spot, kind: Kind) -> Result<(), Diagnostic> {
        if self.wants_key() {
            return Err(no_key(here));
        }
        if self.open.len() >= MOST_DEPTH {
            return Err(too_deep(here));
        }
        let path = self.place(here)?;
        self.count(1, here)?;
        self.open.push(Open { path, anchor, values: 0, start: span.start, kind });
        Ok(())
    }

    /// Counts values as they stand once aliases are written out.
    fn count(&mut self, values: usize, here: Spot) -> Result<(), Diagnostic> {
        self.total = self.total.saturating_add(values);
        if self.total <= MOST_VALUES {
            return Ok(());
        }
        Err(if self.aliases > 0 {
            swells(here, "this file swells beyond measure when its aliases are written out")
        } else {
            Diagnostic::error(format!("this file holds more than {MOST_VALUES} values"))
                .at(Some(here))
                .help("is this the right file? A scenario fits on a few pages")
        })
    }

    /// A value is complete: keeps its size, and makes ready for the next.
    fn settle(&mut self, anchor: usize, values: usize) {
        if anchor > 0 {
            self.anchors.insert(anchor, values);
        }
        if let Some(open) = self.open.last_mut() {
            open.values = open.values.saturating_add(values);
            match &mut open.kind {
                Kind::List { next } => *next += 1,
                Kind::Keys { pending, .. } => *pending = None,
            }
        }
    }
}

fn refuse_tag(tagged: bool, here: Spot) -> Result<(), Diagnostic> {
    if tagged {
        return Err(Diagnostic::error("a word after `!` has no meaning here")
            .at(Some(here))
            .help("delete it, or put the text in quotes"));
    }
    Ok(())
}

fn too_deep(here: Spot) -> Diagnostic {
    Diagnostic::error(format!("this stands more than {MOST_DEPTH} levels deep"))
        .at(Some(here))
        .help("a scenario needs only a few levels; look for a bracket too many")
}

fn no_key(here: Spot) -> Diagnostic {
    Diagnostic::error("a key must be plain words").at(Some(here)).help("write `key: value`")
}

fn swells(here: Spot, message: &str) -> Diagnostic {
    Diagnostic::error(message).at(Some(here)).help("write the values out; a scenario needs no aliases")
}

fn char_at(lines: &[&str], at: Marker) -> Option<char> {
    lines.get(at.line().checked_sub(1)?)?.chars().nth(at.col())
}

/// The place of a span, kept on its first line; a block of keys or a list is
/// marked by its first words.
fn spot_of(span: Span, lines: &[&str]) -> Spot {
    let start = span.start;
    let line = lines.get(start.line().saturating_sub(1)).copied().unwrap_or_default();
    let rest: String = line.chars().skip(start.col()).collect();
    let on_line = rest.trim_end().chars().count();
    let length = if span.is_empty() {
        let words = rest.split(" #").next().unwrap_or_default();
        words.split(": ").next().unwrap_or_default().trim_end().trim_end_matches(':').chars().count()
    } else if span.end.line() == start.line() {
        let own: String = rest.chars().take(span.len()).collect();
        own.trim_end().chars().count()
    } else {
        on_line
    };
    spot(start.line(), start.col() + 1, length)
}

#[cfg(test)]
mod tests;
