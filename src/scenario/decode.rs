//! From a checked text to typed data, with faults in plain words.

mod words;

use serde::de::DeserializeOwned;

use self::words::{example, translate, word_and_choices};
use super::source::Source;
use crate::diagnostics::{Diagnostic, Spot};

/// Most faults of form that are told at once, and in how long a text all of
/// them are looked for (each is looked for anew).
const MOST_FAULTS: usize = 100;
const FEW_FAULTS: usize = 20;
const LONG_TEXT: usize = 20_000;

/// Something written that could not be read and was left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lost {
    /// Path of what holds it.
    pub map: String,
    /// Its key; for an entry of a list `[0]`.
    pub key: String,
    /// The key that was meant, as far as one can guess.
    pub meant: Option<String>,
}

impl Lost {
    /// Its own path.
    pub(super) fn path(&self) -> String {
        join(&self.map, &self.key)
    }

    /// Its own path and that of the key that was meant.
    pub(super) fn paths(&self) -> impl Iterator<Item = String> {
        [Some(&self.key), self.meant.as_ref()].into_iter().flatten().map(|key| join(&self.map, key))
    }

    /// Whether it may be the value of this key.
    pub(super) fn may_be(&self, key: &str) -> bool {
        self.key == key || self.meant.as_deref() == Some(key)
    }
}

fn join(map: &str, key: &str) -> String {
    if map.is_empty() || key.starts_with('[') { format!("{map}{key}") } else { format!("{map}.{key}") }
}

/// What could be read, the faults of form, and what was left out for them.
pub(super) struct Decoded<T> {
    pub value: Option<T>,
    pub faults: Vec<Diagnostic>,
    pub lost: Vec<Lost>,
}

/// Reads a checked text into a type; see `decode`.
pub fn decode_all<T: DeserializeOwned>(source: &Source) -> (Option<T>, Vec<Diagnostic>) {
    let all = decode(source);
    (all.value, all.faults)
}

/// Reads a checked text into a type, leaving out every unknown key and every
/// value of a wrong kind, so that what is wrong besides can be told with it.
/// Without a value, the last fault is one that cannot be left out.
pub(super) fn decode<T: DeserializeOwned>(source: &Source) -> Decoded<T> {
    let (mut faults, mut lost) = (Vec::new(), Vec::<Lost>::new());
    let most = if source.text().len() > LONG_TEXT { FEW_FAULTS } else { MOST_FAULTS };
    let mut rest: Option<(serde_yaml::Value, String)> = None;
    // A list's entry may need a second stand-in, hence the twofold bound.
    for _ in 0..2 * most {
        let text = rest.as_ref().map_or_else(|| source.text(), |(_, text)| text);
        let error = match serde_yaml::from_str(text) {
            Ok(value) => return Decoded { value: Some(value), faults, lost },
            Err(error) => error,
        };
        // Places in a text that was written anew say nothing of the file.
        let (fault, wrong) = in_our_words(&error, source, rest.is_none() && source.is_as_written());
        let tree = rest.take().map(|(tree, _)| tree).or_else(|| serde_yaml::from_str(source.text()).ok());
        let left = wrong.zip(tree).and_then(|(wrong, mut tree)| {
            let again = lost.iter().any(|l| l.path() == wrong.path);
            let gone = without(&mut tree, &wrong, again)?;
            let text = serde_yaml::to_string(&tree).ok()?;
            Some((tree, text, gone, again))
        });
        let Some((tree, text, gone, again)) = left else {
            faults.push(fault);
            break;
        };
        if !again {
            faults.push(fault);
            lost.push(gone);
        }
        if faults.len() >= most {
            break;
        }
        rest = Some((tree, text));
    }
    Decoded { value: None, faults, lost }
}

/// Where something is wrong, and the key that was meant if that is unknown.
struct Wrong {
    path: String,
    meant: Option<String>,
}

/// One step of a path.
#[derive(Clone, Debug)]
enum Step {
    Key(String),
    Entry(usize),
}

/// Takes what stands at a path such as `animals[0].calf` out of its map; in a
/// list, which must keep its length, an empty value takes its place (`again`:
/// an empty text, where empty braces were refused).
fn without(tree: &mut serde_yaml::Value, wrong: &Wrong, again: bool) -> Option<Lost> {
    let steps = steps(tree, &wrong.path)?;
    let (last, above) = steps.split_last()?;
    let mut at = tree;
    for step in above {
        at = match step {
            Step::Key(key) => at.get_mut(key.as_str())?,
            Step::Entry(i) => at.get_mut(*i)?,
        };
    }
    let key = match last {
        Step::Key(key) => {
            at.as_mapping_mut()?.remove(key.as_str())?;
            key.clone()
        }
        Step::Entry(i) => {
            let entry = at.get_mut(*i)?;
            let stand_in = if again {
                serde_yaml::Value::String(String::new())
            } else {
                serde_yaml::Value::Mapping(serde_yaml::Mapping::new())
            };
            if *entry == stand_in {
                return None;
            }
            *entry = stand_in;
            format!("[{i}]")
        }
    };
    let map = wrong.path.strip_suffix(&key)?.trim_end_matches('.').to_owned();
    Some(Lost { map, key, meant: wrong.meant.clone() })
}

/// The steps of a path through a tree whose keys may themselves hold dots and
/// brackets.
fn steps(tree: &serde_yaml::Value, path: &str) -> Option<Vec<Step>> {
    if path.is_empty() {
        return Some(Vec::new());
    }
    let onward = |step: Step, below: &serde_yaml::Value, rest: &str| {
        let mut all = vec![step];
        all.extend(steps(below, rest)?);
        Some(all)
    };
    match tree {
        serde_yaml::Value::Sequence(entries) => {
            let (index, rest) = path.strip_prefix('[')?.split_once(']')?;
            let index: usize = index.parse().ok()?;
            onward(Step::Entry(index), entries.get(index)?, rest)
        }
        serde_yaml::Value::Mapping(map) => {
            let path = path.strip_prefix('.').unwrap_or(path);
            map.iter().find_map(|(key, below)| {
                let key = key.as_str()?;
                let rest = path.strip_prefix(key)?;
                let whole = rest.is_empty() || rest.starts_with(['.', '[']);
                whole.then(|| onward(Step::Key(key.to_owned()), below, rest)).flatten()
            })
        }
        _ => None,
    }
}

/// A fault with its place, and the path of what is wrong, if that is known.
fn in_our_words(error: &serde_yaml::Error, source: &Source, as_written: bool) -> (Diagnostic, Option<Wrong>) {
    let full = error.to_string();
    let marked = error.location().map(|l| Spot { line: l.line(), column: l.column(), length: 1 });
    let body = match marked {
        Some(s) => full.strip_suffix(&format!(" at line {} column {}", s.line, s.column)).unwrap_or(&full),
        None => &full,
    };
    let marked = marked.filter(|_| as_written);
    let (path, message) = split_path(body, source);
    let meant = message.strip_prefix("unknown field ").and_then(|rest| {
        let (key, known) = word_and_choices(rest);
        words::meant(&key, &known).map(str::to_owned)
    });
    let (message, help, key) = translate(message);
    let help = if key.is_some() { help } else { example(path).map(str::to_owned).or(help) };
    let place = match &key {
        Some(key) => {
            let own = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
            if source.has(&own) { source.key_at(&own) } else { place_of(path, marked, source) }
        }
        None => place_of(path, marked, source),
    };
    let diagnostic = Diagnostic::error(message).at(place);
    let diagnostic = match help {
        Some(help) => diagnostic.help(help),
        None => diagnostic,
    };
    let wrong = match key {
        Some(key) => Some(Wrong { path: join(path, &key), meant }),
        None if path.is_empty() => None,
        None => Some(Wrong { path: path.to_owned(), meant: None }),
    };
    (diagnostic, wrong)
}

fn place_of(path: &str, marked: Option<Spot>, source: &Source) -> Option<Spot> {
    match marked {
        Some(spot) if path.is_empty() && spot.line > 1 => Some(spot),
        _ => source.value_at(path).or(marked),
    }
}

/// Parts `animals[0].lactation: invalid type …` at the longest path that is
/// written in the file.
fn split_path<'a>(body: &'a str, source: &Source) -> (&'a str, &'a str) {
    let cuts = body.match_indices(": ").map(|(i, _)| i);
    let known = cuts.filter(|&i| {
        let path = body[..i].trim_end_matches('?').trim_end_matches('.');
        source.has(path) && !path.is_empty()
    });
    match known.last() {
        Some(i) => (body[..i].trim_end_matches('?').trim_end_matches('.'), &body[i + 2..]),
        None => ("", body),
    }
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::*;
    use crate::units::{Count, Text, Volume};

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields, rename_all = "lowercase")]
    #[allow(dead_code)]
    struct Farm {
        title: String,
        animals: Vec<Animal>,
        recipes: Option<std::collections::BTreeMap<String, Animal>>,
    }
    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct Animal {
        #[serde(rename = "dry off")]
        dry_off: Option<String>,
        lactation: Option<u32>,
        gives: Option<Text<Volume>>,
        heads: Option<Text<Count>>,
        milked: Option<Milked>,
    }
    #[derive(Debug, Deserialize)]
    #[serde(rename_all = "lowercase")]
    enum Milked {
        Twice,
        Once,
    }

    fn fault(text: &str) -> String {
        let source = Source::read(text.as_bytes()).unwrap();
        let (_, faults) = decode_all::<Farm>(&source);
        faults.first().unwrap().to_string()
    }

    #[test]
    fn unknown_keys() {
        assert_eq!(
            fault("title: x\nanimals: []\nrecpies: {}\n"),
            "3:1: unknown key `recpies` (did you mean `recipes`? keys here: title, animals, recipes)"
        );
        assert_eq!(
            fault("title: x\nanimals:\n  - dry off: a\n    dry of: b\n"),
            "4:5: unknown key `dry of` (did you mean `dry off`? keys here: dry off, lactation, gives, heads, milked)"
        );
        assert_eq!(
            fault("title: x\nanimals: []\nrecipes:\n  hard cheese: {zebra crossing: 1}\n"),
            "4:17: unknown key `zebra crossing` (keys here: dry off, lactation, gives, heads, milked)"
        );
    }

    #[test]
    fn missing_keys_and_wrong_kinds() {
        assert_eq!(fault("title: x\n"), "1:1: the key `animals` is missing here (write `animals: …`)");
        assert_eq!(
            fault("title: x\nanimals: {a: 1}\n"),
            "2:10: expected a list, found keys and values (write `[one, two]`, or one entry a line, each after `- `)"
        );
        assert_eq!(
            fault("title: x\nanimals: cow\n"),
            "2:10: expected a list, found the text `cow` (write `[one, two]`, or one entry a line, each after `- `)"
        );
        assert_eq!(
            fault("title: x\nanimals:\n  - cow\n"),
            "3:5: expected keys and values, found the text `cow` (write `key: value`, one a line, or `{key: value, key: value}`)"
        );
        assert_eq!(
            fault("title: x\nanimals:\n  - lactation: -2\n"),
            "3:16: expected a whole number, 0 or more, found the number `-2`"
        );
        assert_eq!(
            fault("title: x\nanimals:\n  - {gives: [1 gal]}\n"),
            "3:13: expected a quantity, found a list"
        );
        assert_eq!(fault("title: [x]\nanimals: []\n"), "1:8: expected a text, found a list");
        assert_eq!(
            fault("title: x\nanimals:\n  - {milked: twise}\n"),
            "3:14: `twise` has no meaning here (did you mean `twice`? words here: twice, once)"
        );
        assert_eq!(
            fault("- a\n- b\n"),
            "1:1: expected keys and values, found a list (write `key: value`, one a line, or `{key: value, key: value}`)"
        );
    }

    #[test]
    fn a_quantity_takes_any_single_value() {
        let source = Source::read(
            b"title: 5\nanimals:\n  - {gives: 4}\n  - {gives: 4.5}\n  - {gives: true}\n  - {gives: .nan}\n  - {gives: 4 L, heads: 12}\n",
        )
        .unwrap();
        let farm: Farm = decode_all(&source).0.unwrap();
        let gives = |i: usize| farm.animals[i].gives.as_ref().unwrap();
        assert_eq!(gives(0).read().unwrap_err().problem, "`4` has no unit");
        assert_eq!(gives(1).read().unwrap_err().problem, "`4.5` has no unit");
        assert_eq!(gives(2).read().unwrap_err().problem, "`true` is no quantity");
        assert_eq!(gives(3).read().unwrap_err().problem, "`NaN` is not a finite number");
        assert_eq!(gives(4).read(), Ok(4.0));
        assert_eq!(farm.animals[4].heads.as_ref().unwrap().read(), Ok(12.0));
    }
}
