//! What the family writes, its checks, and the compiled [`Plan`].

mod check;
mod commas;
mod decode;
mod draft;
pub mod kit;
mod library;
mod names;
pub mod plan;
pub mod raw;
mod schema;
pub mod source;
pub mod starter;
mod stock;
mod understood;

pub use check::aim_measure;
pub use draft::{Changed, Draft, End, Field, FieldPath, MOST_SETTINGS, Setting, settings};
pub use names::{HerdName, JarShape, Names, UnitSystem};
pub use plan::Plan;

use jiff::civil::Date;

use crate::diagnostics::Diagnostic;

pub use library::{PresetLine, PresetListing, list_presets};
pub use schema::schema;

/// Reads, checks and compiles a scenario; its variants are checked too.
///
/// # Errors
/// Everything that is wrong, by place: either what keeps the text from being
/// read at all, or all that it says wrongly.
pub fn compile(bytes: &[u8]) -> Result<Compiled, Vec<Diagnostic>> {
    Draft::read(bytes)?.compile()
}

/// What is said beside the file.
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside<'a> {
    /// The bytes of a stock-take (CSV); it takes the place of `in store`.
    pub stock: Option<&'a [u8]>,
    /// The first day, in place of `starts`.
    pub starts: Option<Date>,
}

/// The same with a stock-take or another first day beside the file; variants
/// are not looked at then.
///
/// # Errors
/// As for [`compile`]; messages about the stock-take say that they are.
pub fn compile_from(bytes: &[u8], beside: &Beside) -> Result<Compiled, Vec<Diagnostic>> {
    if beside.stock.is_none() && beside.starts.is_none() {
        return compile(bytes);
    }
    Draft::read_beside(bytes, beside)?.base()
}

/// Decodes, checks and compiles a text.
fn compiled_beside(
    source: &source::Source,
    sha256: &str,
    sheet: Option<&stock::Sheet>,
    starts: Option<Date>,
) -> Result<Compiled, Vec<Diagnostic>> {
    let decoded = decode::decode::<raw::Scenario>(source);
    let mut faults = decoded.faults;
    let Some(mut raw) = decoded.value else {
        commas::explained(source, &mut faults);
        return Err(faults);
    };
    if let Some(date) = starts {
        raw.starts = Some(raw::Text(date.to_string()));
    }
    match check::compile(&raw, source, &decoded.lost, sheet) {
        Ok(compiled) if faults.is_empty() => Ok(Compiled { sha256: sha256.to_owned(), ..compiled }),
        Ok(_) => {
            commas::explained(source, &mut faults);
            Err(faults)
        }
        Err(more) => {
            faults.extend(more);
            commas::explained(source, &mut faults);
            crate::diagnostics::sort(&mut faults);
            Err(faults)
        }
    }
}

/// A scenario that passed its checks.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// What a trial needs.
    pub plan: Plan,
    /// What a report needs besides.
    pub names: Names,
    /// What was understood, for `check`.
    pub understood: Understood,
    /// Simulated runs asked for in the file, if any.
    pub trials: Option<u32>,
    /// Seed asked for in the file, if any.
    pub seed: Option<u64>,
    /// SHA-256 of the bytes parsed, in hex.
    pub sha256: String,
    /// Warnings found on the way.
    pub warnings: Vec<Diagnostic>,
}

/// What was understood, as titled lines of text (`check` prints them; floor 2
/// knows the words because only it knows how the numbers came about).
#[derive(Clone, Debug, Default)]
pub struct Understood {
    /// Parts in order.
    pub parts: Vec<UnderstoodPart>,
}

/// One part of what was understood.
#[derive(Clone, Debug, Default)]
pub struct UnderstoodPart {
    /// Title (`Clover`, `kitchen fridge`).
    pub title: String,
    /// Label and text.
    pub lines: Vec<(String, String)>,
}
