//! Messages about a file, drawn with the line they speak of.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::diagnostics::{Diagnostic, Report, Severity, Spot, sort};

/// Most messages drawn in full; the rest are counted.
const MOST: usize = 20;
/// Longest line drawn, characters; a longer one is cut round the marked words.
const WIDEST: usize = 72;

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
    // The title takes one line whatever the family wrote into a name.
    let message = one_line(&d.message);
    let help = d.help.as_deref().map(one_line);
    let title = level.primary_title(message);
    let mut group = match (d.spot, line) {
        (Some(spot), Some(line)) => {
            let (shown, span) = cut(line, spot);
            let snippet = Snippet::source(shown)
                .line_start(spot.line)
                .path(one_line(file_name))
                .annotation(AnnotationKind::Primary.span(span));
            title.element(snippet)
        }
        _ => Group::with_title(title).element(annotate_snippets::Origin::path(one_line(file_name))),
    };
    if let Some(help) = help {
        group = group.element(Level::HELP.message(help));
    }
    renderer.render(&[group])
}

fn one_line(text: &str) -> String {
    let mut out: String = text.chars().take(2000).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if out.len() < text.len() {
        out.push('…');
    }
    out
}

/// The line as it is shown, and the bytes of it to mark.
fn cut(line: &str, spot: Spot) -> (String, std::ops::Range<usize>) {
    let chars: Vec<char> = line.chars().collect();
    let from = (spot.column.max(1) - 1).min(chars.len());
    let to = from.saturating_add(spot.length.max(1)).min(chars.len());
    // Columns are kept by never cutting before the marked words.
    let end = chars.len().min(to.max(WIDEST));
    let bytes = |n: usize| chars[..n].iter().map(|c| c.len_utf8()).sum::<usize>();
    (chars[..end].iter().collect(), bytes(from)..bytes(to))
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
    fn a_message_without_a_place() {
        let d = Diagnostic::error("this file is empty").help("a scenario begins with `title:`");
        let drawn = "error: this file is empty\n--> cow.yaml\n = help: a scenario begins with `title:`\n\n";
        assert_eq!(render("cow.yaml", "", &[d], false), drawn);
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
