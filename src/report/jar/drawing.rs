//! A jar drawn to scale in characters. A character is taken as twice as high
//! as it is wide.

use super::Jar;
use crate::dairy::cream::Grade;

/// Lines of a whole jar with its lid.
pub(super) const ROWS: usize = 26;
/// Widest jar inside its walls, characters: two stand side by side. Heights are
/// always to scale, widths up to this.
const WIDEST: usize = 16;
/// Widest drawing.
const MOST: usize = 80;

/// The mark of each grade.
pub(super) const fn mark(grade: Grade) -> char {
    match grade {
        Grade::Heavy => '█',
        Grade::LightWhipping => '▓',
        Grade::Light => '▒',
        Grade::HalfAndHalf => '░',
        Grade::Milk => ' ',
    }
}

/// A line beside the jar: depth as a part of the milk's height, and words.
pub(super) type Note = (f64, String);

/// One jar, its notes to the right of it. Its milk is gone down to `taken`, a
/// part of its height. All lines have the same number of characters.
pub(super) fn jar(jar: &Jar, taken: f64, notes: &[Note]) -> Vec<String> {
    let (height, across) = (jar.ask.shape.height_m, jar.ask.shape.across_m);
    let row_m = height / ROWS as f64;
    let wide = ((across / row_m * 2.0).round() as usize).clamp(4, WIDEST);
    // Row in which a depth lies.
    let row_of = |part: f64| {
        let down = (jar.air_m + part * jar.deep_m) / row_m;
        (down + 1e-9).floor().clamp(0.0, ROWS as f64 - 1.0) as usize
    };
    let mut words = vec![String::new(); ROWS];
    for (part, note) in notes {
        let word: &mut String = &mut words[row_of(*part)];
        // The surface says least.
        if word.is_empty() || word == "0" {
            word.clone_from(note);
        } else {
            *word = format!("{word}, {note}");
        }
    }
    let surface = row_of(taken);
    let longest = words.iter().map(|w| w.chars().count()).max().unwrap_or(0);
    let mut out = Vec::with_capacity(ROWS + 2);
    let pad = |text: String| {
        let width = wide + 2 + if longest > 0 { 1 + longest } else { 0 };
        let have = text.chars().count();
        format!("{text}{}", " ".repeat(width.saturating_sub(have)))
    };
    out.push(pad(format!(" {} ", "_".repeat(wide))));
    for (row, note) in words.iter().enumerate() {
        let middle = ((row as f64 + 0.5) * row_m - jar.air_m) / jar.deep_m;
        let fill = if row < surface || middle < taken {
            ' '
        } else {
            mark(Grade::of(jar.layer.fat_at(middle.max(0.0))))
        };
        let mut inside = fill.to_string().repeat(wide);
        if row == surface && fill == ' ' {
            inside = "~".repeat(wide);
        }
        let note = if note.is_empty() { String::new() } else { format!(" {note}") };
        out.push(pad(format!("|{inside}|{note}")));
    }
    out.push(pad(format!("|{}|", "_".repeat(wide))));
    out
}

/// Two drawings side by side, or the first alone where there is no room.
pub(super) fn beside(left: &[String], right: &[String]) -> String {
    let width = |lines: &[String]| lines.iter().map(|l| l.chars().count()).max().unwrap_or(0);
    if width(left) + width(right) + 4 > MOST {
        return alone(left);
    }
    let lines = left.iter().zip(right).map(|(l, r)| format!("  {l}  {r}"));
    lines.map(|l| format!("{}\n", l.trim_end())).collect()
}

/// One drawing alone.
pub(super) fn alone(left: &[String]) -> String {
    left.iter().map(|l| format!("{}\n", format!("  {l}").trim_end())).collect()
}
