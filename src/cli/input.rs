//! Reading a scenario.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::{Failure, output};
use crate::diagnostics::Diagnostic;
use crate::scenario::{self, Compiled, Draft};

/// Largest scenario, bytes. A long one is a hundredth of this.
pub const MAX_BYTES: u64 = 2_000_000;

/// A scenario file as read.
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
}

/// Reads a file, or standard input for `-`.
pub fn read(path: &Path) -> Result<Input, Failure> {
    if path.as_os_str() == "-" {
        let bytes = limited(io::stdin().lock(), "standard input")?;
        let (name, stem) = ("standard input".into(), "standard-input".into());
        return Ok(Input { name, given: "-".into(), stem, bytes });
    }
    let shown = path.display();
    let meta = std::fs::metadata(path).map_err(|e| {
        Failure::BadInput(match e.kind() {
            io::ErrorKind::NotFound => format!("there is no file {shown}"),
            _ => format!("cannot read {shown}: {e}"),
        })
    })?;
    if meta.is_dir() {
        return Err(Failure::BadInput(format!("{shown} is a folder, not a scenario file")));
    }
    if meta.len() > MAX_BYTES {
        return Err(too_large(&shown.to_string()));
    }
    let file = File::open(path).map_err(|e| Failure::BadInput(format!("cannot read {shown}: {e}")))?;
    let bytes = limited(file, &shown.to_string())?;
    let name = path.file_name().map_or_else(|| "scenario".into(), |n| n.to_string_lossy().into_owned());
    let stem = path.file_stem().map_or_else(|| "scenario".into(), |n| n.to_string_lossy().into_owned());
    let given = if path.is_relative() { path.to_string_lossy().into_owned() } else { name.clone() };
    Ok(Input { name, given, stem, bytes })
}

/// Never reads more than the limit, whatever the file says of its size.
fn limited(reader: impl Read, shown: &str) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    reader
        .take(MAX_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Failure::BadInput(format!("cannot read {shown}: {e}")))?;
    if bytes.len() as u64 > MAX_BYTES { Err(too_large(shown)) } else { Ok(bytes) }
}

fn too_large(shown: &str) -> Failure {
    Failure::BadInput(format!("{shown} is larger than 2 MB; a scenario is a few kilobytes of text"))
}

/// Compiles what was read; all its errors at once.
pub fn compile(input: &Input) -> Result<Compiled, Failure> {
    scenario::compile(&input.bytes).map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// A stock-take beside the scenario.
#[derive(Debug, Default, clap::Args)]
pub struct StockArgs {
    /// A stock-take as a table (CSV): what stands in the house in the night before the first day
    #[arg(long, value_name = "FILE.csv")]
    pub stock: Option<PathBuf>,
}

/// Compiles what was read with a stock-take, if there is one, and perhaps
/// another first day; all errors at once.
pub fn compile_from(input: &Input, stock: &StockArgs, starts: Option<Date>) -> Result<Compiled, Failure> {
    let table = stock.stock.as_deref().map(read).transpose()?;
    let stock = table.as_ref().map(|t| (t.name.as_str(), &t.bytes[..]));
    let beside = scenario::Beside { stock, starts };
    scenario::compile_from(&input.bytes, &beside).map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// Compiles what was read: as it is, or a variant of it, or with a stock-take.
pub fn compile_beside(input: &Input, variant: Option<&str>, stock: &StockArgs) -> Result<Compiled, Failure> {
    match (&stock.stock, variant) {
        (None, _) => compile_as(input, variant),
        (Some(_), None) => compile_from(input, stock, None),
        (Some(_), Some(_)) => Err(Failure::BadInput(
            "--stock and --variant do not go together: write what stands there under `in store`".into(),
        )),
    }
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
    Draft::read(&input.bytes).map_err(|found| Failure::BadScenario(render(input, &found)))
}

/// A message that speaks of no line, in one sentence.
pub fn said(d: &Diagnostic) -> Failure {
    Failure::BadInput(match &d.help {
        Some(help) => format!("{}; {help}", d.message),
        None => d.message.clone(),
    })
}

/// Messages with the lines they speak of.
pub fn render(input: &Input, found: &[Diagnostic]) -> String {
    let text = String::from_utf8_lossy(&input.bytes);
    super::render::render(&input.name, &text, found, output::colour_on_stderr())
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
        assert!(matches!(limited(io::repeat(b'a'), "it"), Err(Failure::BadInput(t)) if t.contains("2 MB")));
        assert_eq!(limited(&b"abc"[..], "it").unwrap(), b"abc");
    }
}
