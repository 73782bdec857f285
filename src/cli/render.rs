//! Messages about a file, drawn with the line they speak of.

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use crate::diagnostics::{Diagnostic, Report, Severity, Spot, sort};
use crate::report::wrap;

/// Most messages drawn in full; the rest are counted.
const MOST: usize = 20;
/// Widest line drawn, columns, number and bar included; a longer one is cut
/// round the marked words.
const WIDEST: usize = 80;
/// What stands for the part of a line that is left out.
const CUT: char = '…';

/// Draws messages about `text`, which is the content of `file_name`: errors
/// first, then in order of place, at most twenty, with `colour` or plain.
#[must_use]
pub fn render(file_name: &str, text: &str, diags: &[Diagnostic], colour: bool) -> String {
    let mut diags = diags.to_vec();
    sort(&mut diags);
    let lines: Vec<&str> = text.split('\n').collect();
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for d in diags.iter().take(MOST) {
        out.push_str(&one(file_name, &lines, d, &renderer));
        out.push_str("\n\n");
    }
    let rest = &diags[diags.len().min(MOST)..];
    if !rest.is_empty() {
        out.push_str(&format!("and {} more\n", rest.len()));
    }
    out
}

/// The same for a [`Report`].
#[must_use]
pub fn render_report(report: &Report, colour: bool) -> String {
    render(&report.file_name, &report.text, &report.diagnostics, colour)
}

fn one(file_name: &str, lines: &[&str], d: &Diagnostic, renderer: &Renderer) -> String {
    let level = match d.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let line = d.spot.and_then(|s| lines.get(s.line.checked_sub(1)?).copied());
    let label = if d.severity == Severity::Error { "error: " } else { "warning: " };
    let message = folded(&d.message, label.len());
    // Beside the number of the line stands ` = help: `.
    let number = d.spot.filter(|_| line.is_some()).map_or(0, |s| s.line.to_string().len());
    let help = d.help.as_deref().map(|h| folded(h, number + " = help: ".len()));
    let title = level.primary_title(message);
    let mut moved = None;
    let mut group = match (d.spot, line) {
        (Some(spot), Some(line)) => {
            let (shown, span) = cut(line, spot);
            moved = Some((
                spot.line,
                shown[..span.start].chars().count() + 1,
                spot.column.min(line.chars().count() + 1),
            ));
            let snippet = Snippet::source(shown)
                .line_start(spot.line)
                .path(one_line(file_name))
                .annotation(AnnotationKind::Primary.span(span));
            title.element(snippet)
        }
        _ => Group::with_title(title).element(Origin::path(one_line(file_name))),
    };
    if let Some(help) = help {
        group = group.element(Level::HELP.message(help));
    }
    let text = renderer.render(&[group]);
    match moved {
        Some((line, drawn, column)) if drawn < column => place(&text, file_name, line, drawn, column),
        _ => text,
    }
}

/// The place is told as it is in the file, not as it is in what is left of a
/// line that was cut.
fn place(text: &str, file_name: &str, line: usize, drawn: usize, column: usize) -> String {
    let place = |column: usize| format!("{}:{line}:{column}", one_line(file_name));
    let (title, rest) = text.split_at(text.find("--> ").unwrap_or(0));
    format!("{title}{}", rest.replacen(&place(drawn), &place(column), 1))
}

/// A message on as many lines as it takes beside so many columns; what the
/// family wrote into a name begins no line of its own.
fn folded(text: &str, beside: usize) -> String {
    wrap(&one_line(text), WIDEST - beside, "", "").trim_end().to_owned()
}

fn one_line(text: &str) -> String {
    let mut out: String = text.chars().take(2000).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if out.len() < text.len() {
        out.push('…');
    }
    out
}

/// The line as it is shown, and the bytes of it to mark. Where it is too wide,
/// as much is left before the marked words as after them.
fn cut(line: &str, spot: Spot) -> (String, std::ops::Range<usize>) {
    let chars: Vec<char> = line.chars().collect();
    let from = (spot.column.max(1) - 1).min(chars.len());
    let to = from.saturating_add(spot.length.max(1)).min(chars.len());
    // Beside the number of the line stands ` | `; two marks of a cut may come.
    let room = WIDEST - spot.line.to_string().len() - 3;
    let (first, last, to) = if chars.len() <= room {
        (0, chars.len(), to)
    } else {
        let room = room - 2;
        let to = to.min(from + room);
        let first = from.saturating_sub((room - (to - from)) / 2).min(chars.len() - room);
        (first, first + room, to)
    };
    let mut shown = String::new();
    shown.extend((first > 0).then_some(CUT));
    let (mut start, mut end) = (shown.len(), shown.len());
    for (i, c) in chars.iter().enumerate().take(last).skip(first) {
        shown.push(*c);
        if i < from {
            start = shown.len();
        }
        if i < to {
            end = shown.len();
        }
    }
    shown.extend((last < chars.len()).then_some(CUT));
    (shown, start..end.max(start))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "title: A first house cow\nstores:\n  kåld fridge: {at: 38}\n";

    fn at(line: usize, column: usize, length: usize) -> Option<Spot> {
        Some(Spot { line, column, length })
    }

    #[test]
    fn a_line_a_caret_and_a_help() {
        let d = Diagnostic::error("`38` has no unit")
            .at(at(3, 21, 2))
            .help("write a temperature such as `38 °F`");
        let drawn = "\
error: `38` has no unit
 --> cow.yaml:3:21
  |
3 |   kåld fridge: {at: 38}
  |                     ^^
  |
  = help: write a temperature such as `38 °F`

";
        assert_eq!(render("cow.yaml", TEXT, &[d], false), drawn);
    }

    #[test]
    fn a_wide_line_is_cut_round_the_caret() {
        let line = format!("jars: {{{}, qart: 9, {}}}", "a: 1, ".repeat(30), "b: 2, ".repeat(30));
        let column = line.find("qart").unwrap() + 1;
        let text = render("j.yaml", &line, &[Diagnostic::error("x").at(at(1, column, 4))], false);
        assert!(text.contains(&format!("j.yaml:1:{column}\n")), "{text}");
        let drawn: Vec<&str> = text.lines().filter(|l| l.contains('…') || l.contains('^')).collect();
        let [source, caret] = drawn[..] else { panic!("{text}") };
        assert_eq!(source.chars().count(), 80, "{text}");
        assert!(source.starts_with("1 | …") && source.ends_with('…'), "{text}");
        // The caret stands under the words.
        let before = source.split("qart").next().unwrap().chars().count();
        assert_eq!(caret.chars().take_while(|c| *c != '^').count(), before, "{text}");
        assert_eq!(caret.matches('^').count(), 4, "{text}");
        for (column, length) in [(1, 4), (line.len(), 1), (1, line.len()), (200, 500), (9_999, 1)] {
            let text = render("j.yaml", &line, &[Diagnostic::error("x").at(at(1, column, length))], false);
            assert!(text.lines().all(|l| l.chars().count() <= 81), "{column} {length}:\n{text}");
            assert!(text.contains('…') && text.contains('^'), "{text}");
        }
    }

    #[test]
    fn a_message_without_a_place() {
        let d = Diagnostic::error("this file is empty").help("a scenario begins with `title:`");
        let drawn = "error: this file is empty\n--> cow.yaml\n = help: a scenario begins with `title:`\n\n";
        assert_eq!(render("cow.yaml", "", &[d], false), drawn);
    }

    #[test]
    fn long_messages_keep_to_the_width() {
        let words = "a word and another ".repeat(12);
        let d = Diagnostic::warning(words.as_str()).at(at(3, 21, 2)).help(words.as_str());
        let text = render("cow.yaml", TEXT, &[d], false);
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
        let joined: Vec<&str> =
            text.split_whitespace().filter(|w| !["=", "help:", "warning:"].contains(w)).collect();
        assert!(joined.join(" ").starts_with(words.trim()), "{text}");
    }

    #[test]
    fn many_messages_are_counted() {
        let many: Vec<Diagnostic> =
            (0..27).map(|i| Diagnostic::error(format!("fault {i}")).at(at(1, i + 1, 1))).collect();
        let text = render("cow.yaml", TEXT, &many, false);
        assert!(text.ends_with("and 7 more\n"));
        assert_eq!(text.matches("error: fault").count(), 20);
    }

    #[test]
    fn colour_only_when_asked() {
        let d = [Diagnostic::warning("x").at(at(1, 1, 5))];
        assert!(!render("a", TEXT, &d, false).contains('\u{1b}'));
        assert!(render("a", TEXT, &d, true).contains('\u{1b}'));
    }

    #[test]
    fn places_outside_the_text_do_no_harm() {
        for (line, column, length) in
            [(0, 0, 0), (1, 500, 9), (3, 1, usize::MAX), (9, 9, 9), (4, 1, 1), (usize::MAX, 1, 1)]
        {
            let d = [Diagnostic::error("x\ny\u{1b}[2J").at(at(line, column, length))];
            assert!(render("a", TEXT, &d, false).starts_with("error: x y"));
            assert!(render("a", "", &d, true).contains('x'));
        }
        let long = "å".repeat(100_000);
        let d = [Diagnostic::error("x").at(at(1, 3, 100_000))];
        assert!(render("a", &long, &d, false).len() < 10_000);
    }
}
