//! A knob, the same generated years before and after it is turned, and whether
//! they went a way they may not.

use std::fmt::Write as _;

use rayon::prelude::*;
use springhouse::scenario::{Compiled, Draft, FieldPath};
use springhouse::sim::Outcome;
use springhouse::study::stats::{mean_interval, p_value};

use crate::common;

/// Generated scenarios of a knob.
const SCENARIOS: usize = 9;
/// Of so many that are looked through for them.
const LOOKED_THROUGH: u64 = 100;
/// Years of each, the same before and after.
const YEARS: u32 = 14;

/// Changes to a scenario: a field by its path, and what is put there. Text
/// first: `-key` takes out a key with all that stands in it, `+` adds lines at the
/// end, `>key` adds lines in a part.
pub type Edits = &'static [Edit];

/// One of them.
pub type Edit = (&'static str, &'static str);

/// A family's own list for a full fridge may turn any direction round, so these
/// houses do what most families do unasked. A list that names no way for whole milk
/// lets sour milk fill the fridge for good: then more milk, or milk that keeps
/// longer, leaves less fit to drink. And one that milks once a day or leaves the calf
/// on answers more room with more milk.
pub const USUAL_LIST: Edit = ("-when full:", "");

/// The usual list, a day of drinking kept back, and a fridge whose power is enough for any load: in a weak one more
/// warm milk takes so much of the life of what stands there that less is left to
/// drink, and the more so where the bath runs out of ice; and where nothing is kept back
/// a kitchen that has enough for a batch at last takes what was to be drunk.
pub const STRONG_FRIDGE: Edits = &[
    USUAL_LIST,
    ("-chilling:", ""),
    ("-outages:", ""),
    ("-porch fridge:", ""),
    ("stores.kitchen fridge.spare cooling", "5000 W"),
    ("household.keep back", "1 day"),
];

/// A house in which only people drink, with one fridge: no rule, no wish, no animal
/// that is fed. (What a full fridge sends to the pigs in time sours in a roomier one,
/// and only that is waste; and where a warm fridge stands first, room in it keeps milk
/// from a colder one.)
pub const ONLY_DRINKERS: Edits = &[
    USUAL_LIST,
    ("-routine:", ""),
    ("-wants:", ""),
    ("-aims:", ""),
    ("-animals fed:", ""),
    ("-porch fridge:", ""),
    ("-in store:", ""),
];

/// Both: nothing is made, and the fridge chills whatever comes.
pub const STRONG_AND_ONLY_DRINKERS: Edits = &[
    USUAL_LIST,
    ("-chilling:", ""),
    ("-outages:", ""),
    ("-porch fridge:", ""),
    ("-routine:", ""),
    ("-wants:", ""),
    ("-aims:", ""),
    ("-animals fed:", ""),
    ("-in store:", ""),
    ("stores.kitchen fridge.spare cooling", "5000 W"),
    ("household.keep back", "1 day"),
];

/// What is measured in one year.
pub type Measure = fn(&Compiled, &Outcome) -> f64;

/// Which way a measure may not go.
#[derive(Clone, Copy)]
pub enum Never {
    Up,
    Down,
    /// It stays to the bit.
    Moves,
}

/// A knob.
pub struct Knob {
    pub name: &'static str,
    /// What both sides share: what the knob needs in order to matter, and what
    /// would hide it. Why stands beside it.
    pub house: Edits,
    /// Turned up from one to the next.
    pub steps: &'static [Edits],
    /// Its measures, and where they may not go.
    pub never: &'static [(Never, &'static str, Measure)],
}

/// The scenario with its changes; why not, where it is then none.
fn changed(number: u64, edits: &[Edits]) -> Result<Compiled, String> {
    let mut text = common::generate::scenario(number);
    let mut fields = Vec::new();
    for (path, value) in edits.iter().copied().flatten() {
        if let Some(key) = path.strip_prefix('-') {
            text = without(&text, key);
        } else if let Some(key) = path.strip_prefix('>') {
            let head = format!("\n{key}:\n");
            if !text.contains(&head) {
                return Err(format!("no {key} in it"));
            }
            text = text.replacen(&head, &format!("{head}{value}\n"), 1);
        } else if *path == "+" {
            let _ = writeln!(text, "{value}");
        } else {
            fields.push((FieldPath::from(*path), (*value).to_owned()));
        }
    }
    if std::env::var("SHOW").is_ok_and(|n| n == number.to_string()) {
        println!("{text}\n{fields:?}");
    }
    let told = |all: Vec<springhouse::diagnostics::Diagnostic>| {
        all.first().map_or_else(String::new, |d| format!("{}: {:?}", d.message, d.help))
    };
    Draft::read(text.as_bytes()).and_then(|d| d.with(None, &fields)).map_err(told)
}

/// A text without the lines of a key and of what stands in it.
fn without(text: &str, key: &str) -> String {
    let mut out = String::new();
    let mut inside = None;
    for line in text.lines() {
        let depth = line.len() - line.trim_start().len();
        if inside.is_some_and(|d| depth > d) {
            continue;
        }
        let bare = line.trim_start().trim_start_matches("- ").trim_start_matches('{');
        inside = bare.starts_with(key).then_some(depth);
        if inside.is_none() {
            let _ = writeln!(out, "{line}");
        }
    }
    out
}

/// Each measure of each of the same years.
fn years(knob: &Knob, compiled: &Compiled) -> Vec<Vec<f64>> {
    let mut all = vec![Vec::new(); knob.never.len()];
    common::trials(compiled, 5, YEARS, |out, _| {
        for ((_, _, measure), found) in knob.never.iter().zip(&mut all) {
            found.push(measure(compiled, out));
        }
    });
    all
}

/// Differences of the same years, step by step: by measure, then by step.
struct Paired {
    number: u64,
    differences: Vec<Vec<Vec<f64>>>,
}

fn play(knob: &Knob, number: u64) -> Result<Paired, String> {
    let steps: Result<Vec<Compiled>, String> =
        knob.steps.iter().map(|step| changed(number, &[knob.house, step])).collect();
    let found: Vec<Vec<Vec<f64>>> = steps?.iter().map(|c| years(knob, c)).collect();
    let of_measure = |m: usize| -> Vec<Vec<f64>> {
        found
            .windows(2)
            .map(|w| w[1][m].iter().zip(&w[0][m]).map(|(b, a)| settled(*b, *a)).collect())
            .collect()
    };
    Ok(Paired { number, differences: (0..knob.never.len()).map(of_measure).collect() })
}

/// A difference; none where it is only one of rounding.
fn settled(after: f64, before: f64) -> f64 {
    let d = after - before;
    if d.abs() <= 1e-9 * (1.0 + before.abs()) { 0.0 } else { d }
}

/// What is wrong with a knob, if anything.
fn faults(knob: &Knob) -> Vec<String> {
    // The tables of an ice bath take long to work out.
    let bath = knob.steps.iter().copied().flatten().chain(knob.house).any(|(_, v)| v.contains("ice bath"));
    let enough = if bath { SCENARIOS / 3 } else { SCENARIOS };
    let mut scenarios = Vec::new();
    let mut refused = String::from("none looked at");
    for number in 0..LOOKED_THROUGH {
        match play(knob, number) {
            Ok(found) => scenarios.push(found),
            Err(why) => refused = format!("scenario {number}: {why}"),
        }
        if scenarios.len() == enough {
            break;
        }
    }
    let mut wrong = Vec::new();
    if scenarios.len() < enough / 2 {
        wrong.push(format!("{}: only {} scenarios have it; {refused}", knob.name, scenarios.len()));
    }
    for (m, (never, measure, _)) in knob.never.iter().enumerate() {
        let what = format!("{}: {measure}", knob.name);
        let sign = match never {
            Never::Up => 1.0,
            Never::Down => -1.0,
            Never::Moves => {
                let moved = scenarios.iter().find(|s| s.differences[m].iter().flatten().any(|d| *d != 0.0));
                wrong.extend(moved.map(|s| format!("{what} moves in scenario {}", s.number)));
                continue;
            }
        };
        let mut pooled = Vec::new();
        let means: Vec<String> = scenarios
            .iter()
            .map(|s| {
                let steps = s.differences[m].iter().map(|d| d.iter().sum::<f64>() / d.len() as f64);
                format!("{}: {:.3?}", s.number, steps.collect::<Vec<_>>())
            })
            .collect();
        println!("{what} by scenario {}", means.join(", "));
        for s in &scenarios {
            for step in &s.differences[m] {
                let signed: Vec<f64> = step.iter().map(|d| sign * d).collect();
                let found = mean_interval(&signed, 0.95);
                // One-sided, by Bonferroni over the scenarios and steps of the knob.
                let tests = (scenarios.len() * (knob.steps.len() - 1)) as f64;
                if found.mean > 0.0 && p_value(&found, signed.len(), 0.0) / 2.0 < 0.05 / tests {
                    let text = format!("{what} goes wrong by {:.4} in scenario {}", found.mean, s.number);
                    wrong.push(text);
                }
                pooled.extend(signed);
            }
        }
        let all = mean_interval(&pooled, 0.95);
        if all.mean > 0.0 {
            wrong.push(format!("{what} goes wrong by {:.4} in the mean", all.mean));
        } else if all.mean + all.half >= 0.0 {
            wrong.push(format!("{what} hardly moves: {:.4} ± {:.4}", all.mean, all.half));
        }
    }
    wrong
}

/// No knob may push any year's mean where it may not.
#[track_caller]
pub fn hold(knobs: &[Knob]) {
    // One knob alone: `KNOB=people cargo test --test every_knob -- --nocapture`; with
    // `SHOW=4` the text of that scenario at each step.
    let only = std::env::var("KNOB").ok();
    let wrong: Vec<String> = knobs
        .par_iter()
        .filter(|k| only.as_ref().is_none_or(|name| k.name == name))
        .flat_map_iter(|k| {
            let start = std::time::Instant::now();
            let found = faults(k);
            println!("{:6.2} s  {}", start.elapsed().as_secs_f64(), k.name);
            found
        })
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
