//! `new`: a starter scenario, from questions on a terminal or from options.

use std::fs::File;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;
use std::time::{SystemTime, UNIX_EPOCH};

use jiff::civil::Date;

use super::args::NewArgs;
use super::{Failure, output};
use crate::calendar::{date_of, days_between};
use crate::scenario::{self, starter};

/// Why a question has no answer.
#[derive(Debug)]
enum Silence {
    /// The input has ended.
    End,
    /// It could not be read, or the question not be shown.
    Io(io::Error),
}

impl From<io::Error> for Silence {
    fn from(e: io::Error) -> Self {
        Self::Io(e)
    }
}

pub fn new(args: &NewArgs) -> Result<ExitCode, Failure> {
    let path = args.file.as_deref().filter(|p| p.as_os_str() != "-");
    // Before anything is asked.
    if let Some(p) = path.filter(|p| p.symlink_metadata().is_ok()) {
        return Err(there(p));
    }
    let text = text(args)?;
    if path.is_some() && !args.defaults && !on_terminal() {
        output::note(
            "Nothing was asked, as this is no terminal; what is not given took its default (springhouse new --help).",
        );
    }
    let Some(path) = path else {
        output::bytes(text.as_bytes())?;
        return Ok(ExitCode::SUCCESS);
    };
    create(path, text.as_bytes())?;
    let shown = path.display();
    output::note(&format!(
        "Written: {shown}. Change what differs in your house, then: springhouse check {shown}"
    ));
    Ok(ExitCode::SUCCESS)
}

/// Writes a new file; one that exists is left as it is.
pub fn create(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let shown = path.display();
    let mut file = File::create_new(path).map_err(|e| match e.kind() {
        io::ErrorKind::AlreadyExists => there(path),
        _ => Failure::Other(format!("cannot write {shown}: {e}")),
    })?;
    file.write_all(bytes).map_err(|e| Failure::Other(format!("cannot write {shown}: {e}")))
}

fn there(path: &Path) -> Failure {
    Failure::BadInput(format!(
        "{} exists already and is left as it is; give another name, or move it away first",
        path.display()
    ))
}

/// Somebody can be asked.
fn on_terminal() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// The scenario, from the options and, on a terminal, from what is answered.
fn text(args: &NewArgs) -> Result<String, Failure> {
    let given = args.given();
    let date = coming_spring(today());
    let answers = if on_terminal() && !args.defaults {
        output::note(
            "A few questions. An empty line takes what stands in brackets; Ctrl-D ends without writing.\n",
        );
        let (mut lines, mut to) = (io::stdin().lock(), io::stderr());
        let width = output::stderr_width();
        let mut ask = |q: &starter::Question, wrong: Option<&str>| ask(&mut lines, &mut to, width, q, wrong);
        starter::interview(given, date, Some(&mut ask))
    } else {
        starter::interview::<Silence>(given, date, None)
    };
    let answers = answers.map_err(|fault| match fault {
        starter::Fault::Given(why) => Failure::BadInput(why),
        starter::Fault::Asked(Silence::End) => {
            Failure::Other("the answers ended; nothing was written".into())
        }
        starter::Fault::Asked(Silence::Io(e)) => Failure::Other(format!("cannot ask: {e}")),
    })?;
    let text = answers.scenario();
    // A name or a date may be one that no scenario takes.
    match scenario::compile(text.as_bytes()) {
        Ok(_) => Ok(text),
        Err(found) => Err(Failure::BadInput(
            found.first().map_or_else(|| "these answers make no scenario".into(), |d| d.message.clone()),
        )),
    }
}

/// Shows a question and reads its answer.
fn ask(
    lines: &mut dyn BufRead,
    to: &mut dyn Write,
    width: usize,
    question: &starter::Question,
    wrong: Option<&str>,
) -> Result<String, Silence> {
    if let Some(wrong) = wrong {
        write!(to, "{}", wrapped(&output::plain(wrong), " ", width))?;
    } else {
        writeln!(to, "{}", question.text)?;
        if !question.words.is_empty() {
            write!(to, "{}", wrapped(&question.words.join(", "), ", ", width))?;
        }
    }
    write!(to, "  [{}] ", question.default)?;
    to.flush()?;
    let mut bytes = Vec::new();
    if io::Read::take(lines, MOST_BYTES).read_until(b'\n', &mut bytes)? == 0 {
        writeln!(to)?;
        return Err(Silence::End);
    }
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Longest line that is read, bytes; no answer is a tenth of it.
const MOST_BYTES: u64 = 10_000;

/// The text on lines of a width, each indented, broken only at `between`.
fn wrapped(text: &str, between: &str, width: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for part in text.split_inclusive(between) {
        if !line.is_empty() && 2 + line.chars().count() + part.trim_end().chars().count() > width {
            lines.push(std::mem::take(&mut line));
        }
        line.push_str(part);
    }
    lines.push(line);
    lines.iter().map(|l| format!("  {}\n", l.trim_end())).collect()
}

/// The day it is (at Greenwich: a day more or less is no matter here).
pub fn today() -> Date {
    let first = Date::constant(1970, 1, 1);
    let days = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs() / 86_400);
    date_of(first, i64::try_from(days).unwrap_or(0))
}

/// The next twelfth of April: when many cows freshen.
fn coming_spring(today: Date) -> Date {
    let of = |year: i16| Date::new(year, 4, 12).unwrap_or(today);
    let this = of(today.year());
    if days_between(today, this) >= 0 { this } else { of(today.year().saturating_add(1)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use starter::{Fault, interview};

    /// What an interview makes of typed lines, and what was shown.
    fn typed(lines: &str) -> (Result<starter::Answers, Fault<Silence>>, String) {
        let (mut lines, mut shown) = (lines.as_bytes(), Vec::new());
        let mut asker =
            |q: &starter::Question, wrong: Option<&str>| ask(&mut lines, &mut shown, 80, q, wrong);
        let answers = interview(Vec::new(), Date::constant(2027, 4, 12), Some(&mut asker));
        (answers, String::from_utf8(shown).unwrap())
    }

    #[test]
    fn empty_lines_take_what_stands_in_brackets() {
        let (answers, shown) = typed(&"\n".repeat(30));
        let defaults = interview::<Silence>(Vec::new(), Date::constant(2027, 4, 12), None).unwrap();
        assert_eq!(answers.unwrap(), defaults);
        assert!(
            shown.contains("Whose milk is it?\n  cow, goat, sheep, fetched, herd share\n  [cow] "),
            "{shown}"
        );
        // What is typed ends each line of an answer.
        assert!(shown.replace("] ", "]\n").lines().all(|l| l.chars().count() <= 80), "{shown}");
        assert!(
            shown.contains(", old garage fridge 16 cu ft,\n")
                || shown.contains("  old garage fridge 16 cu ft,"),
            "{shown}"
        );
    }

    #[test]
    fn what_is_not_understood_is_asked_again_with_the_nearest_word() {
        let (answers, shown) = typed(&format!("metric\ngaot\nGoat\n{}", "\n".repeat(30)));
        assert_eq!(answers.unwrap().milk, starter::Milk::Own(crate::dairy::Species::Goat));
        assert!(shown.contains("`gaot` is not one of them; did you mean goat?"), "{shown}");
    }

    #[test]
    fn the_end_of_the_input_ends_the_questions() {
        for lines in ["", "us\n", "us\ncow\nbrindle", "us\ncow\nbrindle\n"] {
            let (answers, _) = typed(lines);
            assert!(matches!(answers, Err(Fault::Asked(Silence::End))), "{lines:?}");
        }
    }

    #[test]
    fn what_steers_a_terminal_is_not_shown_again() {
        let (_, shown) = typed("\u{1b}[2Jus\n");
        assert!(!shown.contains('\u{1b}'), "{shown:?}");
    }

    #[test]
    fn spring_is_never_past() {
        assert_eq!(coming_spring(Date::constant(2027, 4, 12)), Date::constant(2027, 4, 12));
        assert_eq!(coming_spring(Date::constant(2027, 4, 13)), Date::constant(2028, 4, 12));
    }
}
