//! A scenario as a tree of keys and values, each with its place in the file.

use std::collections::HashMap;

use serde_yaml::{Mapping, Value};

use super::super::source::{Place, Source};

/// One part of a scenario.
#[derive(Clone, Debug)]
pub(super) struct Tree {
    pub node: Node,
    /// Where it stands in the file.
    pub place: Option<Place>,
    /// A variant takes it out; it keeps its place among its siblings until
    /// everything has been laid over.
    pub gone: bool,
}

/// What it holds.
#[derive(Clone, Debug)]
pub(super) enum Node {
    /// A single value, or nothing.
    Leaf(Value),
    /// A list.
    List(Vec<Tree>),
    /// Keys in the order of the file.
    Map(Vec<(String, Tree)>),
}

/// One step of a way through a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// To the value of a key.
    Key(String),
    /// To an entry of a list.
    Entry(usize),
}

impl Tree {
    /// The tree of a checked text.
    pub(super) fn read(source: &Source) -> Self {
        Self::of(serde_yaml::from_str(source.text()).unwrap_or(Value::Null), source, "")
    }

    fn of(value: Value, source: &Source, path: &str) -> Self {
        let place = source.place(path);
        let node = match value {
            Value::Sequence(all) => {
                let entry = |(i, v)| Self::of(v, source, &format!("{path}[{i}]"));
                Node::List(all.into_iter().enumerate().map(entry).collect())
            }
            Value::Mapping(map) => {
                let entry = |(key, v)| {
                    let key = text_of(&key);
                    let tree = Self::of(v, source, &under(path, &key));
                    (key, tree)
                };
                Node::Map(map.into_iter().map(entry).collect())
            }
            other => Node::Leaf(other),
        };
        Self { node, place, gone: false }
    }

    /// A single value that stands at `place`.
    pub(super) fn leaf(text: &str, place: Option<Place>) -> Self {
        Self { node: Node::Leaf(Value::String(text.to_owned())), place, gone: false }
    }

    /// Its entries by key, if it has keys.
    pub(super) fn keys(&self) -> &[(String, Tree)] {
        if let Node::Map(all) = &self.node { all } else { &[] }
    }

    /// Its entries, if it is a list.
    pub(super) fn entries(&self) -> &[Tree] {
        if let Node::List(all) = &self.node { all } else { &[] }
    }

    /// The value of a key.
    pub(super) fn get(&self, key: &str) -> Option<&Tree> {
        self.keys().iter().find(|(k, t)| k == key && !t.gone).map(|(_, t)| t)
    }

    /// Its single value as text; `None` for keys, lists and nothing.
    pub(super) fn text(&self) -> Option<String> {
        match &self.node {
            Node::Leaf(Value::Null) | Node::List(_) | Node::Map(_) => None,
            Node::Leaf(v) => Some(text_of(v).trim().to_owned()),
        }
    }

    /// What stands at the end of a way, if it leads anywhere.
    pub(super) fn at(&self, way: &[Step]) -> Option<&Tree> {
        let Some((step, rest)) = way.split_first() else { return Some(self) };
        let next = match step {
            Step::Key(key) => self.get(key)?,
            Step::Entry(i) => self.entries().get(*i).filter(|t| !t.gone)?,
        };
        next.at(rest)
    }

    /// Puts a text at the end of a way; keys that are not there yet are made.
    pub(super) fn set(&mut self, way: &[Step], text: &str) {
        let Some((step, rest)) = way.split_first() else {
            *self = Self::leaf(text, self.place);
            return;
        };
        match step {
            Step::Entry(i) => {
                if let Node::List(all) = &mut self.node
                    && let Some(entry) = all.get_mut(*i)
                {
                    entry.set(rest, text);
                }
            }
            Step::Key(key) => {
                if !matches!(self.node, Node::Map(_)) {
                    self.node = Node::Map(Vec::new());
                }
                let here = self.place.map(|p| Place { key: None, value: p.key.unwrap_or(p.value) });
                let Node::Map(all) = &mut self.node else { return };
                match all.iter_mut().find(|(k, _)| k == key) {
                    Some((_, tree)) => tree.set(rest, text),
                    None => {
                        let mut tree = Self::leaf("", here);
                        tree.set(rest, text);
                        all.push((key.clone(), tree));
                    }
                }
            }
        }
    }

    /// Marks what stands at the end of a way as gone.
    pub(super) fn take_out(&mut self, way: &[Step]) {
        let Some((step, rest)) = way.split_first() else {
            self.gone = true;
            return;
        };
        let next = match (step, &mut self.node) {
            (Step::Key(key), Node::Map(all)) => all.iter_mut().find(|(k, _)| k == key).map(|(_, t)| t),
            (Step::Entry(i), Node::List(all)) => all.get_mut(*i),
            _ => None,
        };
        if let Some(next) = next {
            next.take_out(rest);
        }
    }

    /// Drops what is gone.
    pub(super) fn prune(&mut self) {
        match &mut self.node {
            Node::Leaf(_) => {}
            Node::List(all) => {
                all.retain(|t| !t.gone);
                all.iter_mut().for_each(Self::prune);
            }
            Node::Map(all) => {
                all.retain(|(_, t)| !t.gone);
                all.iter_mut().for_each(|(_, t)| t.prune());
            }
        }
    }

    /// The tree as a text, with every part's place in the file.
    pub(super) fn source(&self) -> Source {
        let (mut places, mut keys) = (HashMap::new(), HashMap::new());
        self.note("", &mut places, &mut keys);
        // A tree of plain values can always be written.
        let text = serde_yaml::to_string(&self.value()).unwrap_or_default();
        Source::rewritten(text, places, keys)
    }

    fn note(&self, path: &str, places: &mut HashMap<String, Place>, keys: &mut HashMap<String, Vec<String>>) {
        if let Some(place) = self.place {
            places.insert(path.to_owned(), place);
        }
        for (i, entry) in self.entries().iter().enumerate() {
            entry.note(&format!("{path}[{i}]"), places, keys);
        }
        for (key, tree) in self.keys() {
            keys.entry(path.to_owned()).or_default().push(key.clone());
            tree.note(&under(path, key), places, keys);
        }
    }

    fn value(&self) -> Value {
        match &self.node {
            Node::Leaf(v) => v.clone(),
            Node::List(all) => Value::Sequence(all.iter().map(Self::value).collect()),
            Node::Map(all) => Value::Mapping(
                all.iter().map(|(k, t)| (Value::String(k.clone()), t.value())).collect::<Mapping>(),
            ),
        }
    }

    /// The tree in one line, as a family would write it.
    pub(super) fn words(&self) -> String {
        match &self.node {
            Node::Leaf(Value::Null) => "nothing".to_owned(),
            Node::Leaf(v) => text_of(v).trim().to_owned(),
            Node::List(all) => {
                format!("[{}]", all.iter().map(Self::words).collect::<Vec<_>>().join(", "))
            }
            Node::Map(all) => {
                let pair = |(k, t): &(String, Self)| format!("{k}: {}", t.words());
                format!("{{{}}}", all.iter().map(pair).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

/// The path of a key under another path.
pub(super) fn under(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

/// A single value as the file's reader sees it.
fn text_of(value: &Value) -> String {
    match value {
        Value::String(s) => s.clone(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => match (n.as_i64(), n.as_u64(), n.as_f64()) {
            (Some(i), ..) => i.to_string(),
            (_, Some(u), _) => u.to_string(),
            (_, _, Some(f)) => f.to_string(),
            _ => n.to_string(),
        },
        _ => String::new(),
    }
}
