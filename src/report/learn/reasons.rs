//! Why rows were set aside: by kind of reason, and every row as a table.

use std::io::Write;

use super::super::ReportError;
use super::super::csv::{rows as write_rows, text};
use crate::records::{Aside, Log};
use crate::study::learn::Lesson;
use crate::units::show;

/// Rows of a kind that are told each for its own.
const EACH: usize = 3;

/// Rows of one kind of reason.
struct Kind<'a> {
    kind: String,
    column: &'a str,
    rows: Vec<&'a Aside>,
}

/// What is the same in reasons that differ only in what was written: quoted
/// words and numbers left out.
fn kind(why: &str) -> String {
    let mut out = String::new();
    let (mut quoted, mut digits) = (false, false);
    for c in why.chars() {
        if c == '`' {
            quoted = !quoted;
        } else if !quoted {
            let digit = c.is_ascii_digit();
            if !digit || !digits {
                out.push(if digit { '0' } else { c });
            }
            digits = digit;
        }
    }
    out
}

/// One sentence a kind of reason, the most rows first; with `all` every row is
/// told, else the first few.
pub(super) fn told<'a>(rows: impl Iterator<Item = &'a Aside>, all: bool) -> Vec<String> {
    let mut kinds: Vec<Kind> = Vec::new();
    for a in rows {
        let of = kind(&a.why);
        match kinds.iter_mut().find(|k| k.kind == of && k.column == a.column) {
            Some(k) => k.rows.push(a),
            None => kinds.push(Kind { kind: of, column: &a.column, rows: vec![a] }),
        }
    }
    for k in &mut kinds {
        k.rows.sort_by_key(|a| a.line);
        k.rows.dedup();
    }
    kinds.sort_by_key(|k| (std::cmp::Reverse(k.rows.len()), k.rows.first().map(|a| a.line)));
    kinds.iter().map(|k| sentence(k, all)).collect()
}

fn sentence(k: &Kind, all: bool) -> String {
    let column = if k.column.is_empty() { String::new() } else { format!(", `{}`", k.column) };
    let mut lines: Vec<usize> = k.rows.iter().map(|a| a.line).collect();
    lines.dedup();
    let first = k.rows.first().map_or("", |a| a.why.as_str());
    if k.rows.iter().all(|a| a.why == first) {
        let count = if lines.len() > 1 { format!(" ({} rows)", lines.len()) } else { String::new() };
        return format!("{}{count}{column}: {first}.", line_words(&lines));
    }
    let shown = if all { k.rows.len() } else { EACH };
    let each: Vec<String> =
        k.rows.iter().take(shown).map(|a| format!("line {}: {}", a.line, a.why)).collect();
    let rest = k.rows.len().saturating_sub(shown);
    let more = if rest == 0 { String::new() } else { format!("; and {rest} more like these") };
    let text = format!("{}{more}", each.join("; "));
    let rows = show::counted(lines.len() as f64, "row", "rows");
    format!("{rows}{column}: {text}{}", stop(&text))
}

/// What ends a sentence.
fn stop(text: &str) -> &'static str {
    if text.ends_with(['?', '.', '!']) { "" } else { "." }
}

/// Why no day is left, a line a kind of reason.
#[must_use]
pub fn reasons(log: &Log, later: &[Aside], all: bool) -> Vec<String> {
    told(log.aside.iter().chain(later), all)
}

/// Rows of which an amount is set aside and another one read.
pub(super) fn halves(log: &Log) -> Option<String> {
    let mut lines: Vec<usize> = log.aside.iter().map(|a| a.line).collect();
    lines.sort_unstable();
    lines.dedup();
    lines.retain(|line| log.milkings.iter().any(|m| m.line == *line));
    (!lines.is_empty()).then(|| {
        let which = line_words(&lines);
        format!("Of {which} one amount is set aside and another read; it is not counted as set aside.")
    })
}

/// A row set aside, as the table has it.
fn aside(a: &Aside) -> (usize, &str, &str, &str) {
    (a.line, "set aside", &a.column, &a.why)
}

/// What became of every row: `line, became, column, why`. A row of which one
/// amount is used and one set aside stands there twice.
///
/// # Errors
/// When it cannot be written.
pub fn row_table(
    log: &Log,
    later: &[Aside],
    lesson: Option<&Lesson>,
    out: &mut dyn Write,
) -> Result<(), ReportError> {
    let mut all: Vec<(usize, &str, &str, &str)> = Vec::new();
    all.extend(log.passed.iter().map(|(line, what)| (*line, *what, "", "")));
    all.extend(log.aside.iter().map(aside));
    all.extend(later.iter().map(aside));
    for m in &log.milkings {
        if later.iter().any(|a| a.line == m.line) {
            continue;
        }
        let became = match lesson {
            None => "read",
            Some(l) if l.fit.wrong.iter().any(|w| w.day.date == m.date) => "looks wrong",
            Some(l) if l.days.lactations.iter().any(|l| l.calf.iter().any(|d| d.date == m.date)) => {
                "with young"
            }
            Some(_) => "used",
        };
        all.push((m.line, became, "", ""));
    }
    for a in &log.told {
        all.push((a.line, "noted", a.column.as_str(), a.why.as_str()));
    }
    all.sort();
    all.dedup();
    let head = ["line", "became", "column", "why"].map(str::to_owned).to_vec();
    let body = all.into_iter().map(|(line, became, column, why)| {
        vec![line.to_string(), became.to_owned(), text(column), text(why)]
    });
    write_rows(out, std::iter::once(head).chain(body))
}

/// `line 3`, `lines 3 to 9 and 12`.
pub(super) fn line_words(lines: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &l in lines {
        match runs.last_mut() {
            Some((_, end)) if *end + 1 == l => *end = l,
            _ => runs.push((l, l)),
        }
    }
    let words: Vec<String> = runs
        .iter()
        .map(|(a, b)| match b - a {
            0 => a.to_string(),
            1 => format!("{a} and {b}"),
            _ => format!("{a} to {b}"),
        })
        .collect();
    let one = lines.len() == 1;
    let shown = words.get(..8).map_or_else(
        || words.join(", "),
        |first| format!("{} and {} more places", first.join(", "), words.len() - 8),
    );
    format!("line{} {shown}", if one { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_in_runs() {
        assert_eq!(line_words(&[3]), "line 3");
        assert_eq!(line_words(&[3, 4, 5, 9]), "lines 3 to 5, 9");
        let odd: Vec<usize> = (0..20).map(|i| 2 * i + 1).collect();
        assert_eq!(line_words(&odd), "lines 1, 3, 5, 7, 9, 11, 13, 15 and 12 more places");
    }
}
