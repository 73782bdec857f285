//! `list`: what scenarios may name, with the source of every figure.

use std::process::ExitCode;

use serde_yaml::Value;

use super::args::ListArgs;
use super::{Failure, output};
use crate::diagnostics::nearest;
use crate::presets;
use crate::report::{Block, Page};

pub fn list(args: &ListArgs) -> Result<ExitCode, Failure> {
    let page = match (&args.kind, &args.name) {
        (None, _) => kinds()?,
        (Some(kind), None) => match presets::ALL.iter().find(|(k, _)| same(k, kind)) {
            Some((_, text)) => names(text)?,
            None => named_anywhere(kind)?,
        },
        (Some(kind), Some(name)) => {
            let (_, text) =
                presets::ALL.iter().find(|(k, _)| same(k, kind)).ok_or_else(|| unknown_kind(kind))?;
            let preset = Preset::read(text)?.into_iter().find(|p| same(&p.name, name));
            one(&preset.ok_or_else(|| unknown_name(text, name))?)
        }
    };
    output::page(&page)?;
    Ok(ExitCode::SUCCESS)
}

/// One entry of a preset file.
struct Preset {
    name: String,
    /// The comment above it, on one line.
    about: String,
    fields: Vec<(String, String, Option<String>)>,
}

impl Preset {
    fn read(text: &str) -> Result<Vec<Self>, Failure> {
        // The texts are part of the program: a fault in them is a bug of ours.
        let bug = |e: serde_yaml::Error| Failure::Other(format!("a list of the program cannot be read: {e}"));
        let value: Value = serde_yaml::from_str(text).map_err(bug)?;
        let Value::Mapping(entries) = value else { return Ok(Vec::new()) };
        Ok(entries
            .into_iter()
            .map(|(name, entry)| {
                let name = plain(&name);
                let about = comment_above(text, &name);
                let sources = entry.get("sources").cloned();
                let source = |field: &str| sources.as_ref().and_then(|s| s.get(field)).map(plain);
                let fields = match entry {
                    Value::Mapping(fields) => fields
                        .into_iter()
                        .map(|(k, v)| (plain(&k), plain(&v)))
                        .filter(|(k, _)| k != "sources")
                        .map(|(k, v)| {
                            let from = source(&k);
                            (k, v, from)
                        })
                        .collect(),
                    other => vec![(String::new(), plain(&other), None)],
                };
                Self { name, about, fields }
            })
            .collect())
    }
}

impl Preset {
    /// Its first figures, for one that has no words.
    fn short(&self) -> String {
        let first: Vec<String> = self.fields.iter().take(3).map(|(k, v, _)| format!("{k} {v}")).collect();
        first.join(", ")
    }
}

/// A value as it would be written on one line.
fn plain(value: &Value) -> String {
    match value {
        Value::Null => "none".into(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => n.to_string(),
        Value::String(s) => s.clone(),
        Value::Sequence(all) => {
            let all: Vec<String> = all.iter().map(plain).collect();
            all.join("; ")
        }
        Value::Mapping(all) => {
            let all: Vec<String> = all.iter().map(|(k, v)| pair(&plain(k), v)).collect();
            all.join(", ")
        }
        Value::Tagged(t) => plain(&t.value),
    }
}

fn pair(key: &str, value: &Value) -> String {
    match value {
        Value::Null => key.to_string(),
        Value::Mapping(_) | Value::Sequence(_) => format!("{key} ({})", plain(value)),
        _ => format!("{key} {}", plain(value)),
    }
}

/// The comment lines straight above an entry.
fn comment_above(text: &str, name: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let is_entry = |l: &&str| l.split_once(':').is_some_and(|(key, _)| key.trim_matches(['"', '\'']) == name);
    let Some(at) = lines.iter().position(is_entry) else { return String::new() };
    let above: Vec<&str> =
        lines[..at].iter().rev().map_while(|l| l.strip_prefix('#')).map(str::trim).collect();
    above.into_iter().rev().collect::<Vec<_>>().join(" ")
}

fn same(a: &str, b: &str) -> bool {
    a.eq_ignore_ascii_case(b.trim())
}

fn kinds() -> Result<Page, Failure> {
    let mut page = Page::default();
    page.blocks.push(Block::Title("What a scenario may name".into()));
    for (kind, text) in presets::ALL {
        let names: Vec<String> = Preset::read(text)?.into_iter().map(|p| p.name).collect();
        page.blocks.push(Block::Pair(kind.into(), names.join(", ")));
    }
    page.say("For one kind: springhouse list breeds. For one of them, with its sources: springhouse list breeds jersey.");
    Ok(page)
}

fn names(text: &str) -> Result<Page, Failure> {
    let mut page = Page::default();
    for p in Preset::read(text)? {
        let about = if p.about.is_empty() { p.short() } else { p.about };
        page.blocks.push(Block::Pair(p.name, about));
    }
    Ok(page)
}

/// `list jersey`: the one entry of that name, whatever its kind.
fn named_anywhere(name: &str) -> Result<Page, Failure> {
    let mut page = Page::default();
    for (kind, text) in presets::ALL {
        for p in Preset::read(text)?.iter().filter(|p| same(&p.name, name)) {
            let mut found = one(p);
            if let Some(Block::Title(t)) = found.blocks.first_mut() {
                t.push_str(&format!(" (in {kind})"));
            }
            page.blocks.append(&mut found.blocks);
        }
    }
    if page.blocks.is_empty() { Err(unknown_kind(name)) } else { Ok(page) }
}

fn one(preset: &Preset) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(preset.name.clone()));
    page.say(preset.about.as_str());
    for (field, value, source) in &preset.fields {
        let from = source.as_ref().map_or_else(String::new, |s| format!(" [{s}]"));
        page.blocks.push(Block::Pair(field.clone(), format!("{value}{from}")));
    }
    page
}

fn unknown_kind(kind: &str) -> Failure {
    let all: Vec<&str> = presets::ALL.iter().map(|(k, _)| *k).collect();
    let hint =
        nearest(kind, all.iter().copied()).map_or_else(String::new, |n| format!("; did you mean {n}?"));
    Failure::BadInput(format!("there is nothing called {kind}{hint} (kinds: {})", all.join(", ")))
}

fn unknown_name(text: &str, name: &str) -> Failure {
    let all: Vec<String> = Preset::read(text).unwrap_or_default().into_iter().map(|p| p.name).collect();
    let hint = nearest(name, all.iter().map(String::as_str))
        .map_or_else(String::new, |n| format!("; did you mean {n}?"));
    Failure::BadInput(format!("there is nothing called {name} here{hint} (there are: {})", all.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_can_be_listed() {
        for (kind, text) in presets::ALL {
            let all = Preset::read(text).unwrap();
            assert!(!all.is_empty(), "{kind}");
            for p in all {
                let text = one(&p).text(80);
                assert!(text.lines().all(|l| l.chars().count() <= 80), "{kind} {}: {text}", p.name);
                assert!(text.contains('['), "{kind} {} shows no source:\n{text}", p.name);
            }
        }
    }

    #[test]
    fn a_comment_straight_above_belongs_to_the_entry() {
        let text = "# file\n\n# A small cow.\n# Thrifty.\ndexter:\n  a: 1\n";
        assert_eq!(comment_above(text, "dexter"), "A small cow. Thrifty.");
        assert_eq!(comment_above(text, "other"), "");
    }
}
