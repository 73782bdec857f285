//! Units that look wrong, in words: the first thing to look at.

use super::super::Page;
use super::super::amounts::join;
use super::super::words::capital;
use super::Told;
use super::reasons::line_words;
use crate::records::Part;
use crate::study::learn::{Doubt, Doubted};
use crate::units::show;

/// Most measures that are named.
const NAMED: usize = 3;

/// What to put right before anything else is believed.
pub(super) fn look_first(told: &Told, page: &mut Page) {
    let doubts = &told.lesson.doubts;
    if doubts.is_empty() {
        return;
    }
    page.heading("Look at the units first");
    for d in doubts {
        page.item(sentence(told, d));
    }
    let level = doubts.iter().any(|d| d.what != Doubted::Stretch);
    page.say(if level {
        "As long as that is not settled, do not believe the figures below."
    } else {
        "These rows are set aside until then; the figures below are without them."
    });
}

fn sentence(told: &Told, d: &Doubt) -> String {
    let times = times(d.times);
    let rows = show::counted(d.lines.len() as f64, "row", "rows");
    let span = if d.span.0 == d.span.1 {
        format!("on {}", d.span.0)
    } else {
        format!("from {} to {}", d.span.0, d.span.1)
    };
    let lines = line_words(&d.lines);
    match d.what {
        Doubted::Level => {
            let whole = told.lesson.doubts.iter().all(|d| d.what != Doubted::Stretch)
                && told.lesson.days.lactations.len() < 2;
            let what = if whole { "The whole log" } else { "The log" };
            format!(
                "{what} {span} ({rows}: {lines}) stands at {times} what {} is expected to give then; fewer than \
                 1 in {} of the breed would. {}",
                told.a_breed(),
                if d.rather.measures.is_empty() && !d.rather.ten { "1,000" } else { "100" },
                mend(d, "Is the unit right, and the breed?")
            )
        }
        Doubted::Stretch => format!(
            "{} {span} ({rows}) stand at {times} the rows about them, all at once. {} Unless she was ill, or her young \
             was on her: then write that beside them.",
            capital(&lines),
            mend(d, "Two measures differ by about so much.")
        ),
        Doubted::Half(part) => {
            let (these, others) =
                if part == Part::Morning { ("mornings", "evenings") } else { ("evenings", "mornings") };
            format!(
                "The {these} {span} ({rows}) stand at {times} what goes with the {others}. {}",
                mend(d, "Two measures differ by about so much: is the unit right?")
            )
        }
    }
}

/// What would explain it, and what to do.
fn mend(d: &Doubt, else_say: &str) -> String {
    let named: Vec<String> = d.rather.measures.iter().take(NAMED).map(|m| m.words().to_owned()).collect();
    let read = d.rather.read.map_or_else(String::new, |m| format!(" (read as {})", m.words()));
    match (named.as_slice(), d.rather.ten) {
        ([], false) => {
            let read = d.rather.read.map_or_else(String::new, |m| format!(" It was read as {}.", m.words()));
            format!("{else_say}{read}")
        }
        ([], true) => format!("A decimal point that slipped would explain it{read}."),
        (named, ten) => {
            let point = if ten { ", and so would a decimal point that slipped" } else { "" };
            format!("Written in {} it would fit{read}{point}.", join(named, "or"))
        }
    }
}

/// `2.2 times`, `0.45 times`.
fn times(x: f64) -> String {
    if x >= 9.5 {
        format!("{} times", show::whole(x))
    } else if x >= 1.0 {
        format!("{x:.1} times")
    } else {
        format!("{x:.2} times")
    }
}
