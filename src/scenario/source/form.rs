//! Faults of form, in plain words.

use saphyr_parser::ScanError;

use super::{spot, too_deep};
use crate::diagnostics::Diagnostic;

/// A fault of form, in plain words.
pub(super) fn syntax(error: &ScanError, lines: &[&str]) -> Diagnostic {
    let at = error.marker();
    let line = at.line().clamp(1, lines.len().max(1));
    let written = lines.get(line - 1).copied().unwrap_or_default();
    let column = at.col().min(written.chars().count()) + 1;
    let info = error.info().to_lowercase();
    if info.contains("recursion limit") {
        return too_deep(spot(line, column, 1));
    }
    let has = |words: &[&str]| words.iter().any(|w| info.contains(w));
    // The fault may be noticed only at the end of the line before.
    let indented_by_tab = |l: &&usize| {
        let text = lines.get(**l - 1).copied().unwrap_or_default();
        text[..text.len() - text.trim_start().len()].contains('\t')
    };
    if let Some(&tab) = [line, line + 1].iter().find(indented_by_tab) {
        let column = lines[tab - 1].chars().position(|c| c == '\t').unwrap_or(0) + 1;
        return Diagnostic::error("a tab stands where spaces must")
            .at(Some(spot(tab, column, 1)))
            .help("indent with spaces only");
    }
    let place = Some(spot(line, column, 1));
    if let Some(astray) = astray_bracket(lines, line) {
        return astray;
    }
    if has(KEY_AND_VALUE)
        && let Some(slip) = slip_of_a_key(lines, line)
    {
        return slip;
    }
    let (_, message, help) = FORM.iter().find(|(words, ..)| has(words)).unwrap_or(&UNKNOWN_FORM);
    Diagnostic::error(*message).at(place).help(*help)
}

/// The first bracket that is closed by the wrong kind, or that is still open
/// on a line before `last`. Brackets inside texts do not count.
fn astray_bracket(lines: &[&str], last: usize) -> Option<Diagnostic> {
    let mut open: Vec<(char, usize, usize)> = Vec::new();
    let mut quote: Option<char> = None;
    for (i, line) in lines.iter().enumerate().take(last) {
        // What a value may follow: nothing yet, `:`, `-`, `,` or a bracket.
        let mut before = ' ';
        let mut spaced = true;
        for (column, c) in line.chars().enumerate() {
            let value_may_begin = " :-,[{".contains(before) && (spaced || "[{,".contains(before));
            match (quote, c) {
                (Some(q), _) if c == q => quote = None,
                (Some(_), _) => {}
                (None, '#') if spaced => break,
                (None, '"' | '\'') if value_may_begin => quote = Some(c),
                (None, '[' | '{') if value_may_begin => open.push((c, i + 1, column + 1)),
                (None, ']' | '}') => {
                    let wanted = if c == ']' { '[' } else { '{' };
                    if let Some((bracket, line, _)) = open.pop().filter(|o| o.0 != wanted) {
                        let message = format!(
                            "`{c}` stands where the bracket `{bracket}` of line {line} must be closed"
                        );
                        return Some(
                            Diagnostic::error(message)
                                .at(Some(spot(i + 1, column + 1, 1)))
                                .help("every `[` is closed by `]`, every `{` by `}`"),
                        );
                    }
                }
                _ => {}
            }
            spaced = c == ' ';
            if !spaced {
                before = c;
            }
        }
    }
    let (bracket, line, column) = open.into_iter().rev().find(|o| o.1 < last && quote.is_none())?;
    let message = format!("the bracket `{bracket}` is not closed");
    Some(Diagnostic::error(message).at(Some(spot(line, column, 1))).help("close it, and look at the commas"))
}

/// A line without a `:` or without the space after it, which the parser
/// notices only on the next; or a key that begins further right than the one above.
fn slip_of_a_key(lines: &[&str], noticed: usize) -> Option<Diagnostic> {
    let written = |n: &usize| lines.get(*n - 1).is_some_and(|l| !Line::of(l).text.is_empty());
    let above = |n: usize| (1..n).rev().find(written);
    let line = |n: usize| Line::of(lines[n - 1]);
    // A text may go on on further lines, under its key.
    let goes_on = |n: usize| above(n).map(line).is_some_and(|a| a.has_value() && line(n).column > a.column);
    let bare = [Some(noticed).filter(written), above(noticed)]
        .into_iter()
        .flatten()
        .find(|n| line(*n).is_bare() && !goes_on(*n));
    if let Some(n) = bare {
        return Some(line(n).without_colon(n));
    }
    let (here, before) = (line(Some(noticed).filter(written)?), line(above(noticed)?));
    (before.has_value() && here.column > before.column).then(|| {
        let help = format!(
            "look at the indentation: keys that belong together begin in the same column, here under `{}`",
            before.key()
        );
        Diagnostic::error("this line begins further right than the line above")
            .at(Some(spot(noticed, here.column, here.key().chars().count())))
            .help(help)
    })
}

/// What stands on a line, without the `- ` of a list and without its comment.
#[derive(Clone, Copy)]
struct Line<'a> {
    /// Where it begins, from 1.
    column: usize,
    text: &'a str,
}

impl<'a> Line<'a> {
    fn of(line: &'a str) -> Self {
        let mut text = line;
        loop {
            text = text.trim_start();
            let Some(entry) = text.strip_prefix("- ") else { break };
            text = entry;
        }
        let column = line[..line.len() - text.len()].chars().count() + 1;
        let end = if text.starts_with('#') { Some(0) } else { text.find(" #") };
        Self { column, text: text[..end.unwrap_or(text.len())].trim_end() }
    }

    /// Neither key nor brackets nor quotation.
    fn is_bare(&self) -> bool {
        self.text.starts_with(char::is_alphabetic) && !self.text.contains(": ") && !self.text.ends_with(':')
    }

    /// A key with its value on the same line, where no text over several lines begins.
    fn has_value(&self) -> bool {
        self.text.split_once(": ").is_some_and(|(_, value)| !value.trim_start().starts_with(['|', '>']))
    }

    fn key(&self) -> &'a str {
        self.text.split(": ").next().unwrap_or_default().trim_end_matches(':')
    }

    fn without_colon(&self, number: usize) -> Diagnostic {
        let at = |column: usize, length: usize| Some(spot(number, column, length));
        let width = |text: &str| text.chars().count();
        let value = |rest: &str| rest.starts_with(|c: char| c.is_alphanumeric() || "\"'[{".contains(c));
        if let Some((key, rest)) = self.text.split_once(':').filter(|(_, rest)| value(rest)) {
            return Diagnostic::error("a space is missing after the `:`")
                .at(at(self.column + width(key), 1))
                .help(format!("did you mean `{key}: {rest}`?"));
        }
        // Most values begin with a figure.
        let figure = self.text.find(|c: char| c.is_ascii_digit()).filter(|i| self.text[..*i].ends_with(' '));
        let help = match figure.map(|i| (self.text[..i].trim_end(), &self.text[i..])) {
            Some((key, value)) => format!("did you mean `{key}: {value}`?"),
            None if !self.text.contains(' ') => format!("did you mean `{}:`?", self.text),
            None => "write `key: value`, with `: ` after the key".to_owned(),
        };
        Diagnostic::error("this line has no `:` after its key")
            .at(at(self.column, width(self.text)))
            .help(help)
    }
}

type Form = (&'static [&'static str], &'static str, &'static str);

const UNKNOWN_FORM: Form =
    (&[], "this is not understood as YAML", "look at the indentation, the quotes and the brackets");

/// Words in the parser's message where a line is not `key: value`.
const KEY_AND_VALUE: &[&str] = &["':'", "simple key", "mapping values", "mapping keys"];

/// Words in the parser's message, what we say, and how to mend it.
const FORM: [Form; 8] = [
    (&["tab"], "a tab stands where spaces must", "use spaces only"),
    (
        &["trailing content after double"],
        "something follows a closed quotation",
        "put the whole text inside the quotation marks",
    ),
    (&["escape"], "a `\\` in a quotation has no meaning here", "use single quotation marks"),
    (&["quoted scalar"], "a quotation is not closed", "add the missing quotation mark"),
    (
        &["anchor", "alias"],
        "an alias names nothing",
        "put a text that begins with `*` or `&` in quotation marks",
    ),
    (
        &["flow", "bracket"],
        "a bracket or a comma is missing or too much",
        "look at `[`, `]`, `{`, `}` and the commas",
    ),
    (
        KEY_AND_VALUE,
        "this line is not `key: value`",
        "write one key on a line with a space after its `:`, and put a text that holds `: ` in quotation marks",
    ),
    (
        &[
            "indent",
            "block collection",
            "block mapping",
            "block sequence",
            "<document start>",
            "valid inside a block",
        ],
        "this line does not fit the lines above",
        "look at the indentation: keys that belong together begin in the same column, and every entry of a list with `- `",
    ),
];
