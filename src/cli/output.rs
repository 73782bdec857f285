//! Standard output and standard error. Results go to the one, everything
//! else to the other; nothing here panics when a reader has gone.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;

use clap::builder::styling::{AnsiColor, Style};

use super::Failure;
use super::args::{Colour, DEFAULT_SEED};
use crate::report::{Block, Page, ReportError, wrap};

/// Widest text, columns: longer lines are hard to read.
const WIDEST: usize = 100;
/// Width where there is no terminal.
const DEFAULT_WIDTH: usize = 80;

const BOLD: Style = Style::new().bold();
const ERROR: Style = AnsiColor::Red.on_default().bold();

/// Sets the colour choice of both streams.
pub fn choose_colour(colour: Colour) {
    let choice = match colour {
        Colour::Auto => anstream::ColorChoice::Auto,
        Colour::Always => anstream::ColorChoice::Always,
        Colour::Never => anstream::ColorChoice::Never,
    };
    choice.write_global();
}

/// Standard error may carry colour.
pub fn colour_on_stderr() -> bool {
    anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never
}

/// Columns of the terminal, within reason.
pub fn width() -> usize {
    if !io::stdout().is_terminal() {
        return DEFAULT_WIDTH;
    }
    terminal_size::terminal_size().map_or(DEFAULT_WIDTH, |(w, _)| usize::from(w.0)).clamp(40, WIDEST)
}

/// Columns of the terminal on standard error, at most eighty.
pub fn stderr_width() -> usize {
    terminal_size::terminal_size_of(io::stderr())
        .map_or(DEFAULT_WIDTH, |(w, _)| usize::from(w.0))
        .clamp(40, DEFAULT_WIDTH)
}

/// Prints bytes as they are.
pub fn bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()?;
    Ok(())
}

/// Prints what a report writes.
pub fn written(write: impl FnOnce(&mut dyn Write) -> Result<(), ReportError>) -> Result<(), Failure> {
    let mut out = io::BufWriter::new(io::stdout().lock());
    match write(&mut out).and_then(|()| Ok(out.flush()?)) {
        Ok(()) => Ok(()),
        Err(ReportError::Io(e)) => Err(e.into()),
        Err(e) => Err(Failure::Other(e.to_string())),
    }
}

/// Prints a page, headings in bold where colour is wanted.
pub fn page(page: &Page) -> Result<(), Failure> {
    let mut out = anstream::AutoStream::auto(io::stdout().lock());
    let width = width();
    let mut before: Option<&Block> = None;
    for block in &page.blocks {
        let text = block.text(width);
        write!(out, "{}", crate::report::gap(before, block))?;
        match block {
            Block::Title(_) | Block::Heading(_) => {
                writeln!(out, "{BOLD}{}{BOLD:#}", text.trim_end())?;
            }
            _ => write!(out, "{text}")?,
        }
        before = Some(block);
    }
    out.flush()?;
    Ok(())
}

/// Says that chance was fixed by the default seed.
pub fn note_default_seed() {
    note(&format!("No seed was given, so seed {DEFAULT_SEED} was used; --seed changes it."));
}

/// A word of a command, as a shell reads it back.
pub fn quoted(word: &str) -> String {
    format!("'{}'", word.replace('\'', "'\\''"))
}

/// The folder of the files, where none is asked for: by the name of the
/// scenario, with that of what is told of it.
pub fn folder_for(stem: &str, what: Option<&str>) -> PathBuf {
    let plain = |c: char| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let words: Option<String> = what.map(|w| w.trim().chars().map(plain).take(60).collect());
    PathBuf::from("outputs").join(match words {
        Some(words) => format!("{stem}-{words}"),
        None => stem.to_owned(),
    })
}

/// Tells of an error on standard error.
pub fn error(text: &str) {
    const HEAD: &str = "error: ";
    let text = wrapped(&format!("{HEAD}{}", plain(text)));
    let text = text.strip_prefix(HEAD.trim_end()).unwrap_or(&text);
    let _ = write!(anstream::stderr().lock(), "{ERROR}{}{ERROR:#}{text}", HEAD.trim_end());
}

/// Prints what is already rendered to standard error.
pub fn raw_error(text: &str) {
    let _ = write!(anstream::stderr().lock(), "{text}");
}

/// Tells what was done, on standard error.
pub fn note(text: &str) {
    let _ = write!(anstream::stderr().lock(), "{}", wrapped(&plain(text)));
}

/// Each line within the width; what hangs below an entry of a list is indented.
fn wrapped(text: &str) -> String {
    let width = stderr_width();
    let line = |line: &str| match line.strip_prefix("  - ") {
        Some(entry) => wrap(entry, width, "  - ", "    "),
        // What fits, or is aligned by spaces, stays as it is.
        None if line.starts_with(' ') || line.chars().count() <= width => format!("{line}\n"),
        None => wrap(line, width, "", ""),
    };
    text.split('\n').map(line).collect()
}

/// Without characters that steer a terminal (file names may hold them).
pub fn plain(text: &str) -> String {
    text.chars().filter(|c| *c == '\n' || !c.is_control()).collect()
}
