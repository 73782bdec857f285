//! `list`: what scenarios may name, with the source of every figure.

use std::process::ExitCode;

use super::args::ListArgs;
use super::{Failure, output};
use crate::diagnostics::nearest;
use crate::presets;
use crate::report::{Block, Page};
use crate::scenario::{self, PresetListing};

pub fn list(args: &ListArgs) -> Result<ExitCode, Failure> {
    let page = match (&args.kind, &args.name) {
        (None, _) => kinds(),
        (Some(kind), None) if of_kind(kind).is_empty() => named_anywhere(kind)?,
        (Some(kind), None) => names(kind),
        (Some(kind), Some(_)) if of_kind(kind).is_empty() => return Err(unknown_kind(kind)),
        (Some(kind), Some(name)) => {
            let preset = of_kind(kind).into_iter().find(|p| same(&p.name, name));
            one(&preset.ok_or_else(|| unknown_name(kind, name))?)
        }
    };
    output::page(&page)?;
    Ok(ExitCode::SUCCESS)
}

/// The presets of a kind, in the order of the file.
fn of_kind(kind: &str) -> Vec<PresetListing> {
    scenario::list_presets().into_iter().filter(|p| same(&p.kind, kind)).collect()
}

/// The comment above a preset, or its first figures.
fn about(preset: &PresetListing) -> String {
    let text = presets::ALL.iter().find(|(k, _)| *k == preset.kind).map_or("", |(_, t)| *t);
    let above = comment_above(text, &preset.name);
    if preset.kind == "breeds" {
        // What a family compares; the curve stands with its meaning elsewhere.
        let figures: Vec<String> = ["species", "gives", "fat", "protein"]
            .iter()
            .filter_map(|key| preset.lines.iter().find(|l| l.label == *key))
            .map(|l| if l.label == "species" { l.value.clone() } else { format!("{} {}", l.label, l.value) })
            .collect();
        return format!("{above} {}", figures.join(", ")).trim().to_owned();
    }
    if !above.is_empty() {
        return above;
    }
    let first: Vec<String> =
        preset.lines.iter().take(3).map(|l| format!("{} {}", l.label, l.value)).collect();
    first.join(", ")
}

/// What the bare numbers of a breed mean, with their units.
const CURVES: [&str; 2] = [
    "Curve, first curve (milk of a later, of the first lactation): kg a day on day t after freshening = \
     a * t^b * e^(-c * t); a in kg a day, b (the rise) without a unit, c (the fall) per day.",
    "Fat and protein over time: % of the milk on day t = base + early * e^(-fades * t) + climb * t; base and \
     early in %, fades per day, climb in % a day. Only its course is used, moved to the mean.",
];

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

fn kinds() -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title("What a scenario may name".into()));
    for (kind, _) in presets::ALL {
        let names: Vec<String> = of_kind(kind).into_iter().map(|p| p.name).collect();
        page.blocks.push(Block::Pair(kind.into(), names.join(", ")));
    }
    page.say(
        "For one kind: springhouse list breeds. For one of them, with its sources: springhouse list breeds jersey.",
    );
    page
}

fn names(kind: &str) -> Page {
    let mut page = Page::default();
    for p in of_kind(kind) {
        page.blocks.push(Block::Pair(p.name.clone(), about(&p)));
    }
    if same(kind, "breeds") {
        page.say(
            "gives: milk in a whole lactation; fat, protein: % of its mass, on average over the lactation. The \
             curves of one breed, and what they mean: springhouse list breeds jersey.",
        );
    }
    page
}

/// `list jersey`: every preset of that name, whatever its kind.
fn named_anywhere(name: &str) -> Result<Page, Failure> {
    let mut page = Page::default();
    for p in scenario::list_presets().iter().filter(|p| same(&p.name, name)) {
        page.blocks.append(&mut one(p).blocks);
    }
    if page.blocks.is_empty() { Err(unknown_kind(name)) } else { Ok(page) }
}

fn one(preset: &PresetListing) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(format!("{} (in {})", preset.name, preset.kind)));
    let text = presets::ALL.iter().find(|(k, _)| *k == preset.kind).map_or("", |(_, t)| *t);
    page.say(comment_above(text, &preset.name));
    for line in &preset.lines {
        let from = if line.source.is_empty() { String::new() } else { format!(" [{}]", line.source) };
        page.blocks.push(Block::Pair(line.label.clone(), format!("{}{from}", line.value)));
    }
    if preset.kind == "breeds" {
        CURVES.into_iter().for_each(|text| page.say(text));
    }
    page
}

fn unknown_kind(kind: &str) -> Failure {
    let all: Vec<&str> = presets::ALL.iter().map(|(k, _)| *k).collect();
    let hint =
        nearest(kind, all.iter().copied()).map_or_else(String::new, |n| format!("; did you mean {n}?"));
    Failure::BadInput(format!("there is nothing called {kind}{hint} (kinds: {})", all.join(", ")))
}

fn unknown_name(kind: &str, name: &str) -> Failure {
    let all: Vec<String> = of_kind(kind).into_iter().map(|p| p.name).collect();
    let hint = nearest(name, all.iter().map(String::as_str))
        .map_or_else(String::new, |n| format!("; did you mean {n}?"));
    Failure::BadInput(format!(
        "there is nothing called {name} in {kind}{hint} (there are: {})",
        all.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_can_be_listed() {
        let all = scenario::list_presets();
        assert!(presets::ALL.iter().all(|(kind, _)| all.iter().any(|p| p.kind == *kind)));
        for p in all {
            let text = one(&p).text(80);
            assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
            assert!(text.contains('['), "no source:\n{text}");
        }
    }

    #[test]
    fn every_figure_of_a_curve_is_told_with_its_unit() {
        for p in of_kind("breeds") {
            let text = one(&p).text(80).split_whitespace().collect::<Vec<_>>().join(" ");
            for part in
                ["a in kg a day", "b (the rise) without a unit", "c (the fall) per day", "climb in % a day"]
            {
                assert!(text.contains(part), "{part}:\n{text}");
            }
            assert!(!about(&p).contains("curve"), "a bare curve says nothing: {}", about(&p));
        }
        let text = names("breeds").text(80);
        assert!(text.contains("% of its mass") && text.lines().all(|l| l.chars().count() <= 80), "{text}");
    }

    #[test]
    fn a_comment_straight_above_belongs_to_the_entry() {
        let text = "# file\n\n# A small cow.\n# Thrifty.\ndexter:\n  a: 1\n";
        assert_eq!(comment_above(text, "dexter"), "A small cow. Thrifty.");
        assert_eq!(comment_above(text, "other"), "");
    }
}
