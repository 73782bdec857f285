//! Decimal commas within braces: `{batch: 1,5 qt}` reads as two entries, and
//! its faults would speak of either half.

use super::source::Source;
use crate::diagnostics::{Diagnostic, Severity, Spot};

/// Puts one message in the place of all that come of a decimal comma.
pub(super) fn explained(source: &Source, faults: &mut Vec<Diagnostic>) {
    // Places in a text that was written anew say nothing of the file.
    if source.is_as_written() {
        in_text(source.text(), faults);
    }
}

fn in_text(text: &str, faults: &mut Vec<Diagnostic>) {
    let wrong = |d: &Diagnostic| d.severity == Severity::Error && !d.beside;
    let mut lines: Vec<usize> =
        faults.iter().filter(|d| wrong(d)).filter_map(|d| d.spot).map(|s| s.line).collect();
    lines.sort_unstable();
    lines.dedup();
    let all: Vec<&str> = text.split('\n').collect();
    for number in lines {
        let Some(line) = number.checked_sub(1).and_then(|i| all.get(i)) else { continue };
        for (from, written) in halves(line) {
            let spot = Spot { line: number, column: from + 1, length: written.chars().count() };
            let on = |d: &Diagnostic| {
                wrong(d)
                    && d.spot.is_some_and(|s| {
                        s.line == number && (spot.column..=spot.column + spot.length).contains(&s.column)
                    })
            };
            if !faults.iter().any(on) {
                continue;
            }
            faults.retain(|d| !on(d));
            // So the quantities elsewhere read it too.
            let thousands = of_thousands(&written);
            let (message, meant) = if thousands {
                ("has a comma between its figures", written.replacen(',', "", 1))
            } else {
                ("has a comma where a point is needed", written.replacen(',', ".", 1))
            };
            faults.push(
                Diagnostic::error(format!("`{written}` {message}"))
                    .at(Some(spot))
                    .help(format!("write `{meant}`; within braces a comma ends an entry")),
            );
        }
    }
}

/// Three figures after the comma, no more, and no nought before it.
fn of_thousands(written: &str) -> bool {
    let Some((before, after)) = written.split_once(',') else { return false };
    let figures = after.chars().take_while(char::is_ascii_digit).count();
    figures == 3 && !before.starts_with('0')
}

/// Values of a line that begin as `1,5`, up to the end of their entry, and the
/// characters before them.
fn halves(line: &str) -> Vec<(usize, String)> {
    let chars: Vec<char> = line.chars().collect();
    let at = |i: usize| chars.get(i).copied().unwrap_or('\n');
    let mut out = Vec::new();
    let (mut i, mut quote, mut depth) = (0, None, 0_usize);
    while i < chars.len() {
        match (quote, at(i)) {
            (Some(q), c) => quote = if c == q { None } else { Some(q) },
            (None, c @ ('"' | '\'')) => quote = Some(c),
            (None, '#') => break,
            (None, '{' | '[') => depth += 1,
            (None, '}' | ']') => depth = depth.saturating_sub(1),
            (None, ':') if depth > 0 => {
                let from = (i + 1..chars.len()).find(|j| at(*j) != ' ').unwrap_or(chars.len());
                let digits =
                    |from: usize| (from..chars.len()).take_while(|j| at(*j).is_ascii_digit()).count();
                let comma = from + digits(from);
                if comma > from && at(comma) == ',' && digits(comma + 1) > 0 {
                    let to = (comma + 1..chars.len()).find(|j| matches!(at(*j), ',' | '}' | ']' | '#'));
                    let written: String = chars[from..to.unwrap_or(chars.len())].iter().collect();
                    out.push((from, written.trim_end().to_owned()));
                }
            }
            _ => {}
        }
        i += 1;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_with_a_decimal_comma() {
        let found = |line: &str| halves(line).into_iter().map(|(_, w)| w).collect::<Vec<_>>();
        assert_eq!(found("  - {do: make, batch: 1,5 qt, days: [mon]}"), ["1,5 qt"]);
        assert_eq!(halves("a: {b: 2,25 gal}"), [(7, "2,25 gal".to_owned())]);
        for line in ["a: 1,5 gal", "a: {b: \"1,5 gal\"}", "# {a: 1,5}", "a: [1,5]", "a: {b: 1, c: 5}"] {
            assert!(found(line).is_empty(), "{line}");
        }
    }

    #[test]
    fn thousands() {
        for (written, thousands) in
            [("1,000", true), ("1,500 gal", true), ("1,5 qt", false), ("0,125 kg", false), ("1,0000", false)]
        {
            assert_eq!(of_thousands(written), thousands, "{written}");
        }
    }

    #[test]
    fn one_message_for_both_halves() {
        let text = "a: 1\nb: {c: 1,5 qt}\n";
        let at = |column, length| Some(Spot { line: 2, column, length });
        let mut faults = vec![
            Diagnostic::error("`1` has no unit").at(at(8, 1)),
            Diagnostic::error("unknown key `5 qt`").at(at(10, 4)),
            Diagnostic::error("another").at(at(1, 1)),
        ];
        in_text(text, &mut faults);
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "2:1: another",
                "2:8: `1,5 qt` has a comma where a point is needed (write `1.5 qt`; within braces a comma ends an entry)"
            ]
        );
    }
}
