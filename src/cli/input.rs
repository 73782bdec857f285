//! Reading a scenario.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::{Failure, output};
use crate::diagnostics::{Diagnostic, Severity};
use crate::scenario::{self, Compiled, Draft};

/// Largest scenario, bytes. A long one is a hundredth of this.
pub const MAX_BYTES: u64 = 2_000_000;

/// Largest pail log, bytes: some hundred years of milkings.
const MAX_LOG_BYTES: u64 = 10_000_000;

/// A file as read.
#[derive(Debug)]
pub struct Input {
    /// Name without folders, for reports.
    pub name: String,
    /// As it was given, for a command that repeats this one: a path from where one
    /// stands; of one from the root only the name.
    pub given: String,
    /// Name without folders and ending, for the output folder.
    pub stem: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// The stock-take beside it.
    pub stock: Option<Box<Input>>,
}

impl Input {
    /// The scenario in a command that repeats this one, as a shell reads it. What came by
    /// standard input has no name; kept under the one that its folder of results bears, it is
    /// read again.
    pub fn as_given(&self) -> String {
        if self.given == "-" {
            format!("- < {}", super::output::quoted(&format!("{}.yaml", self.stem)))
        } else {
            super::output::quoted(&self.given)
        }
    }
}

/// What a file is read as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A scenario.
    Scenario,
    /// A stock-take.
    Stock,
    /// A pail log.
    Log,
    /// A forecast.
    Forecast,
}

impl Kind {
    const fn words(self) -> &'static str {
        match self {
            Self::Scenario => "a scenario file",
            Self::Stock => "a stock-take",
            Self::Log => "a pail log",
            Self::Forecast => "a forecast",
        }
    }

    const fn most(self) -> u64 {
        match self {
            Self::Scenario | Self::Stock => MAX_BYTES,
            Self::Log | Self::Forecast => MAX_LOG_BYTES,
        }
    }
}

/// Reads a scenario, or standard input for `-`.
pub fn read(path: &Path) -> Result<Input, Failure> {
    read_as(path, Kind::Scenario)
}

/// Reads a file, or standard input for `-`.
pub fn read_as(path: &Path, kind: Kind) -> Result<Input, Failure> {
    if path.as_os_str() == "-" {
        let bytes = limited(io::stdin().lock(), "standard input", kind)?;
        return Ok(Input {
            name: "standard input".into(),
            given: "-".into(),
            stem: "standard-input".into(),
            bytes,
            stock: None,
        });
    }
    let shown = path.display();
    let meta = std::fs::metadata(path).map_err(|e| {
        Failure::BadInput(match e.kind() {
            io::ErrorKind::NotFound => format!("there is no file {shown}"),
            _ => format!("cannot read {shown}: {e}"),
        })
    })?;
    if meta.is_dir() {
        return Err(Failure::BadInput(format!("{shown} is a folder, not {}", kind.words())));
    }
    if meta.len() > kind.most() {
        return Err(too_large(&shown.to_string(), kind));
    }
    let file = File::open(path).map_err(|e| Failure::BadInput(format!("cannot read {shown}: {e}")))?;
    let bytes = limited(file, &shown.to_string(), kind)?;
    let part = |part: Option<&std::ffi::OsStr>| {
        part.map_or_else(|| "scenario".into(), |n| n.to_string_lossy().into_owned())
    };
    let name: String = part(path.file_name());
    let given = if path.is_relative() { path.to_string_lossy().into_owned() } else { name.clone() };
    Ok(Input { name, given, stem: part(path.file_stem()), bytes, stock: None })
}

/// Never reads more than the limit, whatever the file says of its size.
fn limited(reader: impl Read, shown: &str, kind: Kind) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    reader
        .take(kind.most() + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Failure::BadInput(format!("cannot read {shown}: {e}")))?;
    if bytes.len() as u64 > kind.most() { Err(too_large(shown, kind)) } else { Ok(bytes) }
}

fn too_large(shown: &str, kind: Kind) -> Failure {
    let usual = match kind {
        Kind::Scenario | Kind::Stock => "is a few kilobytes of text",
        Kind::Log | Kind::Forecast => "of ten years is a few hundred kilobytes of text",
    };
    Failure::BadInput(format!(
        "{shown} is larger than {} MB; {} {usual}",
        kind.most() / 1_000_000,
        kind.words()
    ))
}

/// Compiles what was read; all its errors at once.
pub fn compile(input: &Input) -> Result<Compiled, Failure> {
    compile_from(input, None)
}

/// A stock-take beside the scenario.
#[derive(Debug, Default, clap::Args)]
pub struct StockArgs {
    /// A stock-take as a table (CSV): what stands in the house in the night before the first day
    #[arg(long, value_name = "FILE.csv")]
    pub stock: Option<PathBuf>,
}

/// Reads a scenario, and the stock-take beside it if there is one.
pub fn read_with(path: &Path, stock: &StockArgs) -> Result<Input, Failure> {
    let mut input = read(path)?;
    let table = stock.stock.as_deref().map(|path| read_as(path, Kind::Stock)).transpose()?;
    input.stock = table.map(Box::new);
    Ok(input)
}

/// What is said beside the file.
fn beside(input: &Input, starts: Option<Date>) -> scenario::Beside<'_> {
    scenario::Beside { stock: input.stock.as_ref().map(|t| t.bytes.as_slice()), starts }
}

/// Compiles what was read, perhaps with another first day; all errors at once.
pub fn compile_from(input: &Input, starts: Option<Date>) -> Result<Compiled, Failure> {
    scenario::compile_from(&input.bytes, &beside(input, starts))
        .map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// Compiles what was read, or a variant of it.
pub fn compile_as(input: &Input, variant: Option<&str>) -> Result<Compiled, Failure> {
    let compiled = compile(input)?;
    let Some(name) = variant else { return Ok(compiled) };
    let draft = draft(input)?;
    draft.changes(name).map_err(|d| said(&d))?;
    draft.variant(name).map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// What was read, with its variants and fields.
pub fn draft(input: &Input) -> Result<Draft, Failure> {
    Draft::read_beside(&input.bytes, &beside(input, None))
        .map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// A message that speaks of no line, in one sentence.
pub fn said(d: &Diagnostic) -> Failure {
    Failure::BadInput(match &d.help {
        Some(help) => format!("{}; {help}", d.message),
        None => d.message.clone(),
    })
}

/// Messages with the lines they speak of: errors first, those about the
/// stock-take with its own lines.
pub fn render(input: &Input, found: &[Diagnostic]) -> String {
    let hushed = HUSHED.load(std::sync::atomic::Ordering::Relaxed);
    let errors: Vec<Diagnostic> =
        found.iter().filter(|d| !hushed || d.severity == Severity::Error).cloned().collect();
    let found = errors.as_slice();
    let one = |of: &Input, found: &[Diagnostic]| {
        let text = String::from_utf8_lossy(&of.bytes);
        super::render::render(&of.name, &text, found, output::colour_on_stderr())
    };
    let Some(stock) = &input.stock else { return one(input, found) };
    let mut out = String::new();
    for severity in [Severity::Error, Severity::Warning] {
        for (of, is_beside) in [(input, false), (stock, true)] {
            let some = found.iter().filter(|d| d.severity == severity && d.beside == is_beside);
            out.push_str(&one(of, &some.cloned().collect::<Vec<_>>()));
        }
    }
    out
}

/// Whether warnings are left out beside errors too.
static HUSHED: std::sync::atomic::AtomicBool = std::sync::atomic::AtomicBool::new(false);

/// With `--quiet` no warning is told, not even beside an error.
pub fn hush(quiet: bool) {
    HUSHED.store(quiet, std::sync::atomic::Ordering::Relaxed);
}

/// Warnings, on standard error.
pub fn tell_warnings(input: &Input, found: &[Diagnostic]) {
    if !found.is_empty() {
        output::raw_error(&render(input, found));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_endless_reader_is_refused() {
        assert!(
            matches!(limited(io::repeat(b'a'), "it", Kind::Scenario), Err(Failure::BadInput(t)) if t.contains("2 MB"))
        );
        assert_eq!(limited(&b"abc"[..], "it", Kind::Stock).unwrap(), b"abc");
    }
}
