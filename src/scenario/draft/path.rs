//! Ways to a field by its keys: `stores.milk fridge.like`, `routine.skim.leave`.

use std::fmt;

use super::{
    shape::{Shape, home_of},
    tree::{Step, Tree, under},
};
use crate::diagnostics::{Diagnostic, listed, nearest};

/// A field of a scenario: keys joined by dots, entries of a list by their names
/// (an animal by its name, a rule by what it does, an aim by its measure).
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct FieldPath(String);

impl FieldPath {
    /// The path as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<&str> for FieldPath {
    fn from(text: &str) -> Self {
        Self(text.trim().to_owned())
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// How the entries of a list are named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Named {
    /// By their `name`.
    Name,
    /// By what the rule does: `make butter`, `skim 2`.
    Rule,
    /// By their `measure`.
    Measure,
}

impl Named {
    /// The list at a path, if its entries have names.
    pub(super) fn of(path: &str) -> Option<Self> {
        match path {
            "animals" | "milk fetched" | "household.drinkers" => Some(Self::Name),
            "routine" => Some(Self::Rule),
            "aims" => Some(Self::Measure),
            _ => None,
        }
    }

    /// The key that holds the name; a rule has no such key.
    pub(super) fn key(self) -> Option<&'static str> {
        match self {
            Self::Name => Some("name"),
            Self::Measure => Some("measure"),
            Self::Rule => None,
        }
    }

    /// The names of all entries; the second of one name is told as `skim 2`.
    pub(super) fn names(self, list: &Tree) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        let mut words: Vec<String> = Vec::new();
        for entry in list.entries() {
            let said = |key: &str| entry.get(key).and_then(Tree::text).unwrap_or_default();
            let word = match self.key() {
                Some(key) => said(key),
                None => format!("{} {}", said("do"), said("what")).trim().to_owned(),
            };
            let before = words.iter().filter(|w| w.eq_ignore_ascii_case(&word)).count();
            words.push(word.clone());
            all.push(if before == 0 { word } else { format!("{word} {}", before + 1) });
        }
        all
    }
}

/// Where a path leads.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The way there.
    pub way: Vec<Step>,
    /// The path as the file spells it.
    pub path: String,
    /// What may stand there.
    pub shape: Shape,
}

/// Follows a path. What it leads to may not be written yet, where a key of the
/// format or a name with a single value could stand.
///
/// # Errors
/// A part of the path that leads nowhere, with the nearest and what is there.
pub(super) fn find(tree: &Tree, path: &str) -> Result<Found, Diagnostic> {
    let mut found = Found { way: Vec::new(), path: String::new(), shape: Shape::scenario() };
    let mut here = Some(tree);
    let mut rest = path.trim();
    if rest.is_empty() {
        return Err(Diagnostic::error("an empty path leads nowhere")
            .help("write keys joined by dots, such as `stores.milk fridge.like`"));
    }
    while !rest.is_empty() {
        let (step, name, shape, after) =
            onward(here, &found, rest).ok_or_else(|| lost(here, &found, rest))?;
        here = here.and_then(|t| t.at(std::slice::from_ref(&step)));
        found.way.push(step);
        found.path = under(&found.path, &name);
        found.shape = shape;
        rest = after;
    }
    Ok(found)
}

/// One step on: the step, its name, what may stand there, and the rest of the
/// path. Of several names that fit, the longest is meant.
fn onward<'p>(here: Option<&Tree>, at: &Found, rest: &'p str) -> Option<(Step, String, Shape, &'p str)> {
    let longest = |names: &mut dyn Iterator<Item = (usize, String)>| {
        names.filter_map(|(i, n)| Some((i, after(rest, &n)?, n))).max_by_key(|(_, _, n)| n.len())
    };
    if let (Some(named), Some(entry)) = (Named::of(&at.path), at.shape.entries()) {
        let names = here.map_or_else(Vec::new, |t| named.names(t));
        let (i, after, name) = longest(&mut names.into_iter().enumerate())?;
        here.and_then(|t| t.entries().get(i)).filter(|t| !t.gone)?;
        return Some((Step::Entry(i), name, entry, after));
    }
    let keys = at.shape.keys();
    if let Some((_, after, key)) = longest(&mut keys.iter().map(|k| (*k).to_owned()).enumerate()) {
        let shape = at.shape.key(&key)?;
        return Some((Step::Key(key.clone()), key, shape, after));
    }
    let value = at.shape.names()?;
    let written = here.map(Tree::keys).unwrap_or_default().iter().filter(|(_, t)| !t.gone);
    if let Some((_, after, name)) = longest(&mut written.map(|(n, _)| n.clone()).enumerate()) {
        return Some((Step::Key(name.clone()), name, value, after));
    }
    if at.path == "stores"
        && let Some(after) = after(rest, "counter")
    {
        // There is always a counter.
        return Some((Step::Key("counter".into()), "counter".into(), value, after));
    }
    // A new name, where it may have a value of its own: a size of jar, a kind
    // of person. A key of its long form may follow.
    value.is_single().then(|| {
        let cut = value.keys().into_iter().filter_map(|k| rest.strip_suffix(k)?.strip_suffix('.'));
        let name = cut.min_by_key(|n| n.len()).filter(|n| !n.is_empty()).unwrap_or(rest);
        let after = rest[name.len()..].trim_start_matches('.');
        (Step::Key(name.to_owned()), name.to_owned(), value.clone(), after)
    })
}

/// What follows a name at the start of a path, if the path begins with it.
fn after<'p>(path: &'p str, name: &str) -> Option<&'p str> {
    let start = path.get(..name.len())?;
    let rest = &path[name.len()..];
    let whole = rest.is_empty() || rest.starts_with('.');
    (!name.is_empty() && start.eq_ignore_ascii_case(name) && whole)
        .then(|| rest.strip_prefix('.').unwrap_or(rest))
}

fn lost(here: Option<&Tree>, at: &Found, rest: &str) -> Diagnostic {
    let written: Vec<String> = match (Named::of(&at.path), here) {
        (Some(named), Some(list)) => named.names(list),
        (None, Some(tree)) => tree.keys().iter().filter(|(_, t)| !t.gone).map(|(k, _)| k.clone()).collect(),
        (_, None) => Vec::new(),
    };
    let more = at.shape.keys().into_iter().map(str::to_owned);
    let mut known = written;
    for key in more {
        if !known.contains(&key) {
            known.push(key);
        }
    }
    known.retain(|k| !k.is_empty());
    let place = if at.path.is_empty() { "a scenario".to_owned() } else { format!("`{}`", at.path) };
    if known.is_empty() && at.shape.is_single() {
        return Diagnostic::error(format!("{place} is a single value; `{rest}` leads nowhere in it"))
            .help(format!("write `{}` alone", at.path));
    }
    if known.is_empty() {
        return Diagnostic::error(format!("`{rest}` leads nowhere in {place}"))
            .help(format!("what stands in it has no names; a variant can write {place} as a whole"));
    }
    // The rest of the path may hold several names: the nearest by its first part.
    let first = rest.split('.').next().unwrap_or(rest);
    if let Some(home) = home_of(first).filter(|_| at.path.is_empty()) {
        return Diagnostic::error(format!("there is no `{first}` in a scenario"))
            .help(format!("did you mean `{home}.{rest}`?"));
    }
    let words: Vec<&str> = known.iter().map(String::as_str).collect();
    let near = nearest(rest, words.iter().copied()).or_else(|| nearest(first, words.iter().copied()));
    let there = format!("there: {}", listed(&words));
    Diagnostic::error(format!("there is no `{first}` in {place}")).help(match near {
        Some(n) => format!("did you mean `{}`? {there}", under(&at.path, n)),
        None => there,
    })
}
