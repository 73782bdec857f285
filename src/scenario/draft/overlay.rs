//! Laying a variant over a scenario.

use super::{
    super::{schema::FIXED, source::Place},
    Changed,
    path::{Named, find},
    shape::Shape,
    tree::{Node, Step, Tree, under},
};
use crate::diagnostics::{Diagnostic, listed, nearest};

/// Paths or one path that a variant takes out.
const WITHOUT: &str = "without";
/// Rules that a variant adds.
const MORE_RULES: &str = "more rules";

/// A variant laid over its scenario.
#[derive(Debug)]
pub(super) struct Laid {
    pub tree: Tree,
    pub changes: Vec<Changed>,
    pub faults: Vec<Diagnostic>,
    pub warnings: Vec<Diagnostic>,
}

/// Lays a variant called `name` over `base`. `own` is the variant as written.
pub(super) fn lay(base: &Tree, name: &str, own: &Tree) -> Laid {
    let mut laid = Laid { tree: base.clone(), changes: Vec::new(), faults: Vec::new(), warnings: Vec::new() };
    if let Node::Map(all) = &mut laid.tree.node {
        all.retain(|(key, _)| key != "variants");
    }
    let mut tree = laid.tree.clone();
    if let Some(paths) = own.get(WITHOUT) {
        laid.without(&mut tree, paths);
    }
    let shape = Shape::scenario();
    let mut known = shape.keys();
    known.retain(|k| !FIXED.contains(k));
    known.extend([WITHOUT, MORE_RULES]);
    for (key, change) in own.keys() {
        if FIXED.contains(&key.as_str()) {
            let message = format!("a variant cannot change `{key}`");
            laid.fault(
                change,
                Diagnostic::error(message).help("every variant meets the same years; set it above"),
            );
        } else if !known.contains(&key.as_str()) {
            let near = nearest(key, known.iter().copied());
            let dotted = key.split_once('.').filter(|(first, _)| known.contains(&first.trim()));
            let help = match (dotted, near) {
                (Some(_), _) => {
                    format!("dots stand in `without` and in --vary; here write `{}`", nested(key))
                }
                (None, Some(n)) => format!("did you mean `{n}`?"),
                (None, None) => format!("keys here: {}", listed(&known)),
            };
            laid.fault(change, Diagnostic::error(format!("unknown key `{key}`")).help(help));
        } else if key != WITHOUT && key != MORE_RULES {
            let of = shape.key(key);
            laid.key(&mut tree, key, change, "", of.as_ref());
        }
    }
    if let Some(rules) = own.get(MORE_RULES) {
        laid.more_rules(&mut tree, rules);
    }
    if laid.changes.is_empty() && laid.faults.is_empty() {
        let (message, help) = if own.keys().is_empty() {
            (format!("the variant `{name}` changes nothing"), "say what is different in it, or delete it")
        } else {
            let message = format!("the variant `{name}` changes nothing: all of it stands so already");
            (message, "change it, or delete it")
        };
        laid.fault(own, Diagnostic::error(message).help(help));
    }
    tree.prune();
    laid.tree = tree;
    laid
}

impl Laid {
    /// A fault about the key of a part, or its value where it has none.
    fn fault(&mut self, at: &Tree, d: Diagnostic) {
        self.faults.push(d.at(at.place.map(|p| p.key.unwrap_or(p.value))));
    }

    fn changed(&mut self, path: &str, was: Option<&Tree>, now: Option<&Tree>) {
        let words = |t: Option<&Tree>| t.filter(|t| !is_nothing(t)).map(Tree::words);
        let (was, now) = (words(was), words(now));
        if was != now {
            self.changes.push(Changed { path: path.to_owned(), was, now });
        }
    }

    /// Takes out what a variant is without.
    fn without(&mut self, tree: &mut Tree, paths: &Tree) {
        let each = if paths.entries().is_empty() { std::slice::from_ref(paths) } else { paths.entries() };
        let mut ways: Vec<Vec<Step>> = Vec::new();
        for path in each {
            let value = |d: Diagnostic| d.at(path.place.map(|p| p.value));
            let Some(text) = path.text() else {
                let d = Diagnostic::error("here stands no path")
                    .help("write such as `without: [routine.make yogurt]`");
                self.faults.push(value(d));
                continue;
            };
            match find(&self.tree, &text) {
                Err(d) => self.faults.push(value(d)),
                Ok(found) => match self.tree.at(&found.way).cloned() {
                    None => {
                        let message = format!("there is no `{}` to leave out", found.path);
                        self.faults.push(value(
                            Diagnostic::error(message).help("it is not written above; delete this"),
                        ));
                    }
                    Some(_) if ways.contains(&found.way) => {
                        let d = Diagnostic::error(format!("`{}` is left out twice", found.path));
                        self.faults.push(value(d.help("name it once")));
                    }
                    Some(was) => {
                        self.changed(&found.path, Some(&was), None);
                        ways.push(found.way);
                    }
                },
            }
        }
        ways.iter().for_each(|way| tree.take_out(way));
    }

    /// Lays `change` over the value of `key` in `tree`.
    fn key(&mut self, tree: &mut Tree, key: &str, change: &Tree, path: &str, shape: Option<&Shape>) {
        let path = under(path, key);
        let Node::Map(all) = &mut tree.node else { return };
        let there = all.iter_mut().find(|(k, _)| k.eq_ignore_ascii_case(key));
        if removes(change, shape) {
            if let Some((_, old)) = there
                && !old.gone
            {
                self.changed(&path, Some(old), None);
                old.gone = true;
            }
            return;
        }
        match there {
            Some((_, old)) if !old.gone => self.over(old, change, &path, shape),
            Some((_, old)) => {
                let mut new = change.clone();
                self.named_list(&mut new, &path);
                self.changed(&path, None, Some(&new));
                *old = new;
            }
            None => {
                let mut new = change.clone();
                self.named_list(&mut new, &path);
                self.changed(&path, None, Some(&new));
                all.push((key.to_owned(), new));
            }
        }
    }

    /// A new name of the family's own that is nearly one that is there.
    fn may_be_a_slip(&mut self, name: &str, there: &[(String, Tree)], change: &Tree) {
        let digits = |t: &str| t.chars().filter(char::is_ascii_digit).collect::<String>();
        let words = there.iter().map(|(k, _)| k.as_str());
        let near = nearest(name, words.filter(|k| digits(k) == digits(name) && !k.contains(name)));
        if let Some(near) = near.filter(|n| !name.contains(n)) {
            let d = Diagnostic::warning(format!("`{name}` is new beside `{near}`"));
            let spot = change.place.map(|p| p.key.unwrap_or(p.value));
            self.warnings.push(d.help(format!("if it is the same, write `{near}`")).at(spot));
        }
    }

    fn over(&mut self, old: &mut Tree, change: &Tree, path: &str, shape: Option<&Shape>) {
        match (&mut old.node, &change.node) {
            (Node::Map(_), Node::Map(changes)) => {
                for (key, change) in changes {
                    let name = shape.filter(|s| s.key(key).is_none()).and_then(Shape::names);
                    if name.as_ref().is_some_and(|s| !s.is_single()) && old.get(key).is_none() {
                        self.may_be_a_slip(key, old.keys(), change);
                    }
                    let of = name.or_else(|| shape.and_then(|s| s.key(key)));
                    self.key(old, key, change, path, of.as_ref());
                }
            }
            (Node::List(_), Node::Map(changes)) if Named::of(path).is_some() => {
                for (name, change) in changes {
                    self.entry(old, name, change, path, shape);
                }
            }
            _ => {
                self.changed(path, Some(old), Some(change));
                *old = change.clone();
            }
        }
    }

    /// Lays `change` over the entry called `name` of a list, or adds it.
    fn entry(&mut self, list: &mut Tree, name: &str, change: &Tree, path: &str, shape: Option<&Shape>) {
        let Some(named) = Named::of(path) else { return };
        let names = named.names(list);
        let of = shape.and_then(Shape::entries);
        let Node::List(all) = &mut list.node else { return };
        let there = names.iter().position(|n| n.eq_ignore_ascii_case(name.trim()));
        if let Some(old) = there.and_then(|i| all.get_mut(i)).filter(|t| !t.gone) {
            let path = under(path, name);
            if removes(change, of.as_ref()) {
                self.changed(&path, Some(old), None);
                old.gone = true;
            } else {
                self.over(old, change, &path, of.as_ref());
            }
            return;
        }
        let words: Vec<&str> = names.iter().map(String::as_str).filter(|n| !n.is_empty()).collect();
        let near = nearest(name, words.iter().copied());
        let lacks = ["breed", "amount", "how much"].iter().all(|k| change.get(k).is_none());
        if named == Named::Rule || (named == Named::Name && near.is_some() && lacks) {
            let (what, more) = match named {
                Named::Rule => ("rule", "; new rules stand under `more rules`"),
                _ => ("entry", ""),
            };
            let message = format!("there is no {what} `{name}` in `{path}`");
            let help = match near {
                Some(n) => format!("did you mean `{n}`?"),
                None if words.is_empty() => format!("nothing stands in it{more}"),
                None => format!("there: {}{more}", listed(&words)),
            };
            self.fault(change, Diagnostic::error(message).help(help));
            return;
        }
        let new = entry_called(named, name, change);
        self.changed(&under(path, name), None, Some(change));
        all.push(new);
    }

    /// A list that the scenario does not have, written as a map of its entries.
    fn named_list(&mut self, new: &mut Tree, path: &str) {
        let Some(named) = Named::of(path) else { return };
        let Node::Map(entries) = &new.node else { return };
        if named == Named::Rule {
            let message = "there is no routine whose rules could be changed".to_owned();
            let d = Diagnostic::error(message).help("write new rules as a list under `more rules`");
            self.fault(&new.clone(), d);
            new.node = Node::List(Vec::new());
            return;
        }
        new.node = Node::List(entries.iter().map(|(name, t)| entry_called(named, name, t)).collect());
    }

    /// Adds rules: a list at the end of the routine, or by their place.
    fn more_rules(&mut self, tree: &mut Tree, rules: &Tree) {
        if tree.get("routine").is_none() {
            let empty = Tree { node: Node::List(Vec::new()), place: rules.place, gone: false };
            if let Node::Map(all) = &mut tree.node {
                all.retain(|(k, _)| k != "routine");
                all.push(("routine".into(), empty));
            }
        }
        let Node::Map(all) = &mut tree.node else { return };
        let Some((_, routine)) = all.iter_mut().find(|(k, _)| k == "routine") else { return };
        let names = Named::Rule.names(routine);
        let groups: Vec<(String, &Tree)> = match &rules.node {
            Node::List(_) => vec![("last".into(), rules)],
            Node::Map(places) => places.iter().map(|(k, t)| (k.trim().to_lowercase(), t)).collect(),
            Node::Leaf(_) => {
                let d = Diagnostic::error("expected a list of rules, found a single value");
                self.fault(rules, d.help("write `more rules: [{do: make, what: butter}]`"));
                return;
            }
        };
        let Node::List(list) = &mut routine.node else { return };
        // From the last place to the first, so that the numbers stay right.
        let mut placed: Vec<(usize, Vec<Tree>)> = Vec::new();
        for (place, group) in groups {
            let (before, rule) = match place.split_once(' ') {
                Some(("before", rule)) => (true, rule),
                Some(("after", rule)) => (false, rule),
                _ => (place == "first", ""),
            };
            let index = if place == "first" {
                Some(0)
            } else if place == "last" {
                Some(list.len())
            } else if rule.is_empty() {
                None
            } else {
                names
                    .iter()
                    .position(|n| n.eq_ignore_ascii_case(rule.trim()))
                    .map(|i| i + usize::from(!before))
            };
            let Some(index) = index else {
                let words: Vec<&str> = names.iter().map(String::as_str).collect();
                let (message, help) = if rule.is_empty() {
                    (
                        format!("`{place}` is no place in the routine"),
                        "write `first`, `last`, `before skim` or `after make butter`".to_owned(),
                    )
                } else {
                    let near = nearest(rule, words.iter().copied());
                    let help = near.map_or_else(
                        || format!("there: {}", listed(&words)),
                        |n| format!("did you mean `{n}`?"),
                    );
                    (format!("there is no rule `{rule}` in `routine`"), help)
                };
                self.fault(group, Diagnostic::error(message).help(help));
                continue;
            };
            let new = if group.entries().is_empty() { vec![group.clone()] } else { group.entries().to_vec() };
            for rule in &new {
                self.changed("more rules", None, Some(rule));
            }
            placed.push((index, new));
        }
        placed.sort_by_key(|(index, _)| std::cmp::Reverse(*index));
        for (index, new) in placed {
            list.splice(index..index, new);
        }
    }
}

/// `none` where no single value could stand: the part is taken out.
fn removes(change: &Tree, shape: Option<&Shape>) -> bool {
    is_nothing(change)
        || (shape.is_some_and(|s| !s.is_single())
            && change.text().is_some_and(|t| t.eq_ignore_ascii_case("none")))
}

/// `stores.porch fridge.like` as keys within keys: `stores: {porch fridge: {like: …}}`.
fn nested(path: &str) -> String {
    let parts: Vec<&str> = path.split('.').map(str::trim).collect();
    let deep = parts.len().saturating_sub(1);
    format!("{}: …{}", parts.join(": {"), "}".repeat(deep))
}

fn is_nothing(tree: &Tree) -> bool {
    matches!(tree.node, Node::Leaf(serde_yaml::Value::Null))
}

/// An entry of a list made of a name and its keys.
fn entry_called(named: Named, name: &str, change: &Tree) -> Tree {
    let mut new = change.clone();
    // As an entry of a list it has no key any more; its name is the mark.
    new.place = change.place.map(|p| Place { key: None, value: p.key.unwrap_or(p.value) });
    if let (Node::Map(keys), Some(key)) = (&mut new.node, named.key())
        && !keys.iter().any(|(k, _)| k == key)
    {
        let place = new.place;
        keys.insert(0, (key.to_owned(), Tree::leaf(name.trim(), place)));
    }
    new
}
