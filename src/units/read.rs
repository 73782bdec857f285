//! Reading a quantity of one dimension.

use std::fmt;

use super::number::{self, Number};
use crate::diagnostics::{Diagnostic, nearest};

/// A unit: its names (lower case, the first is shown) and how it becomes the
/// unit of its dimension: `(value + shift) · factor`.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// Names, lower case.
    pub names: &'static [&'static str],
    /// Factor.
    pub factor: f64,
    /// Shift before the factor (only degrees Fahrenheit).
    pub shift: f64,
}

/// A kind of quantity and how it is written.
pub trait Dimension: 'static {
    /// The dimension in which a `give or take` is written.
    type Difference: Dimension;
    /// One word or two, for schemas (`Volume`).
    const TITLE: &'static str;
    /// Fits after "is a unit of" (`volume`).
    const KIND: &'static str;
    /// Fits after "write" (``a volume such as `1.5 gal` or `4 L` ``).
    const EXPECTED: &'static str;
    /// Good texts.
    const EXAMPLES: &'static [&'static str];
    /// Its units.
    const UNITS: &'static [Unit];
    /// Whole texts with a meaning of their own (`none`).
    const WORDS: &'static [(&'static str, f64)] = &[];
    /// Least value, in the unit of the dimension.
    const LEAST: f64 = 0.0;
    /// Greatest value, in the unit of the dimension.
    const MOST: f64;
    /// The greatest value, in words.
    const MOST_WORDS: &'static str;
    /// Whether a number without a unit is right.
    const BARE: bool = false;

    /// Reads trimmed, lower-case words that are not in [`Dimension::WORDS`].
    ///
    /// # Errors
    /// What is wrong, and the nearest valid unit if there is one.
    fn parse(text: &str) -> Result<f64, Fault> {
        sum_of_terms(text, Self::UNITS, Self::BARE)
    }
}

/// What is wrong with a text, before its dimension is added.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fault {
    /// One sentence, lower case, no full stop.
    pub problem: String,
    /// The nearest valid unit or word.
    pub nearest: Option<String>,
}

impl Fault {
    pub(super) fn new(problem: impl Into<String>) -> Self {
        Self { problem: problem.into(), nearest: None }
    }
}

/// A quantity that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    /// The words as read.
    pub read: String,
    /// What is wrong with them, one sentence, lower case, no full stop.
    pub problem: String,
    /// Fits after "write".
    pub expected: &'static str,
    /// The nearest valid unit or word.
    pub nearest: Option<String>,
}

impl QuantityError {
    /// An error about a text of dimension `D`.
    pub fn of<D: Dimension>(read: &str, problem: impl Into<String>) -> Self {
        Self { read: read.to_owned(), problem: problem.into(), expected: D::EXPECTED, nearest: None }
    }

    pub(super) fn fault(read: &str, fault: Fault, expected: &'static str) -> Self {
        Self { read: read.to_owned(), problem: fault.problem, expected, nearest: fault.nearest }
    }

    /// How to mend it, one sentence.
    #[must_use]
    pub fn help(&self) -> String {
        match &self.nearest {
            Some(n) => format!("did you mean `{n}`? Write {}", self.expected),
            None => format!("write {}", self.expected),
        }
    }

    /// The same as a message about the file; its place is added with `at`.
    #[must_use]
    pub fn diagnostic(&self) -> Diagnostic {
        Diagnostic::error(self.problem.clone()).help(self.help())
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.problem, self.help())
    }
}
impl std::error::Error for QuantityError {}

/// A value and its standard deviation, both in the unit of the dimension.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// The value.
    pub value: f64,
    /// One standard deviation, 0 when none is written.
    pub sd: f64,
}

/// Reads a quantity of dimension `D` into the unit of `D`.
///
/// # Errors
/// When the words are no such quantity, or out of its range.
pub fn read<D: Dimension>(text: &str) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    let words = tidy(trimmed);
    if words.is_empty() {
        return Err(QuantityError::of::<D>(text, "nothing is written here"));
    }
    if let Some((_, v)) = D::WORDS.iter().find(|(w, _)| *w == words) {
        return Ok(*v);
    }
    if split_spread(&words).1.is_some() {
        return Err(QuantityError::of::<D>(text, format!("`{trimmed}` may not say `give or take` here")));
    }
    let value = D::parse(&words).map_err(|mut fault| {
        // Quote what was written, not how it was tidied.
        fault.problem = fault.problem.replace(&format!("`{words}`"), &format!("`{trimmed}`"));
        fault.problem = as_written(&fault.problem, trimmed);
        let point = words.replacen(',', ".", 1);
        if fault.nearest.as_ref().is_some_and(|n| point != words && point.contains(n.as_str())) {
            fault.nearest = decimal_comma(trimmed);
        }
        QuantityError::fault(text, fault, D::EXPECTED)
    })?;
    if !value.is_finite() {
        return Err(QuantityError::of::<D>(text, format!("`{trimmed}` is not a finite number")));
    }
    if value < D::LEAST {
        let problem = if D::LEAST == 0.0 {
            format!("`{trimmed}` is less than nothing")
        } else {
            format!("`{trimmed}` is too little to be true")
        };
        return Err(QuantityError::of::<D>(text, problem));
    }
    if value > D::MOST {
        let problem =
            format!("`{trimmed}` is too much; the most that can be written here is {}", D::MOST_WORDS);
        return Err(QuantityError::of::<D>(text, problem));
    }
    Ok(value)
}

/// Gives the first quoted word of a message the capitals that it has in `text`.
fn as_written(problem: &str, text: &str) -> String {
    let quoted = problem.split('`').nth(1).unwrap_or_default();
    match text.to_ascii_lowercase().find(quoted) {
        Some(at) if !quoted.is_empty() => problem.replacen(quoted, &text[at..at + quoted.len()], 1),
        _ => problem.to_owned(),
    }
}

/// Reads `X give or take Y`. `Y` is absolute, or a percentage of `X`; it is
/// one standard deviation.
///
/// # Errors
/// When either part is no such quantity, or out of its range.
pub fn read_spread<D: Dimension>(text: &str) -> Result<Spread, QuantityError> {
    let (value, spread) = split_spread(text);
    let value = read::<D>(value)?;
    let sd = match spread {
        None => 0.0,
        Some(part) if part.trim_end().ends_with('%') => value.abs() * read::<super::Part>(part)?,
        Some(sd) => read::<D::Difference>(sd)?,
    };
    Ok(Spread { value, sd })
}

/// Splits `X give or take Y` into `X` and `Y`, both trimmed.
#[must_use]
pub fn split_spread(text: &str) -> (&str, Option<&str>) {
    for joint in ["give or take", "±", "+/-"] {
        // ASCII case folding keeps every byte where it was.
        if let Some(at) = text.to_ascii_lowercase().find(joint) {
            let value = text[..at].trim().trim_end_matches(',').trim_end();
            return (value, Some(text[at + joint.len()..].trim()));
        }
    }
    (text.trim(), None)
}

/// Reads sizes such as `24 in x 14 in x 11 in` into metres. `24 x 14 x 11 in`
/// is understood as well.
///
/// # Errors
/// When there are not `N` sizes, or one of them is no length.
pub fn read_sizes<const N: usize>(text: &str) -> Result<[f64; N], QuantityError> {
    let words = tidy(text.trim()).replace('×', " x ").replace(" by ", " x ");
    let parts: Vec<&str> = words.split(" x ").map(str::trim).collect();
    if parts.len() != N {
        let problem = format!("`{}` gives {} of {N} sizes", text.trim(), parts.len());
        let mut error = QuantityError::of::<super::Length>(text, problem);
        error.expected = "sizes such as `24 in x 14 in x 11 in` (width, depth, clear height)";
        return Err(error);
    }
    let mut sizes = [0.0; N];
    let mut unit = String::new();
    for (size, part) in sizes.iter_mut().zip(&parts).rev() {
        let with_unit = match number::take(part) {
            Number::Is(_, "") => format!("{part} {unit}"),
            Number::Is(_, own) => {
                unit = own.to_owned();
                (*part).to_owned()
            }
            _ => (*part).to_owned(),
        };
        *size = read::<super::Length>(with_unit.trim())?;
    }
    Ok(sizes)
}

/// Lower case, single plain spaces, one sign for degrees.
pub(super) fn tidy(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c == 'º' || c == '˚' { '°' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// One or more terms of number and unit, added up: `1 h 20 min`.
pub(super) fn sum_of_terms(text: &str, units: &[Unit], bare: bool) -> Result<f64, Fault> {
    let mut total = 0.0;
    let mut rest = text;
    let mut first = true;
    while first || !rest.is_empty() {
        let (value, after) = take_number(rest, text)?;
        let end = after
            .char_indices()
            .skip(1)
            .find(|(i, c)| number::begins_number(*c) && after[..*i].ends_with(' '))
            .map_or(after.len(), |(i, _)| i);
        let name = after[..end].trim();
        let name = name.strip_suffix(" and").unwrap_or(name).trim_end_matches(',').trim_end();
        rest = after[end..].trim_start();
        if name.is_empty() && bare && first && rest.is_empty() {
            return Ok(value);
        }
        let unit = find_unit(name, units, text)?;
        if !first && (value < 0.0 || unit.shift != 0.0) {
            return Err(Fault::new(format!("`{text}` holds more than one quantity")));
        }
        total += (value + unit.shift) * unit.factor;
        first = false;
    }
    Ok(total)
}

/// Takes the number off the start of `text`; `whole` is what messages quote.
pub(super) fn take_number<'a>(text: &'a str, whole: &str) -> Result<(f64, &'a str), Fault> {
    match number::take(text) {
        Number::Is(v, rest) => Ok((v, rest)),
        Number::None => Err(Fault::new(format!("`{whole}` does not begin with a number"))),
        Number::Comma if decimal_comma(whole).is_some() => Err(Fault {
            problem: format!("the number in `{whole}` has a comma where a point is needed"),
            nearest: decimal_comma(whole),
        }),
        Number::Comma => Err(Fault::new(format!(
            "the number in `{whole}` is broken up; write `1250` for a thousand and more, `1.5` for one and a half"
        ))),
        Number::NotFinite => Err(Fault::new(format!("`{whole}` is not a finite number"))),
        Number::OverZero => Err(Fault::new(format!("`{whole}` divides by nothing"))),
    }
}

/// The text with a point for its decimal comma; nothing where it may part
/// thousands.
fn decimal_comma(whole: &str) -> Option<String> {
    let (before, after) = whole.split_once(',')?;
    let digits = after.chars().take_while(char::is_ascii_digit).count();
    let number = before.ends_with(|c: char| c.is_ascii_digit()) && digits > 0;
    (number && digits != 3 && !after.contains(',')).then(|| format!("{before}.{after}"))
}

/// Finds a unit by name.
pub(super) fn find_unit<'u>(name: &str, units: &'u [Unit], whole: &str) -> Result<&'u Unit, Fault> {
    let plain = name.replace('.', "");
    if plain.is_empty() {
        return Err(Fault::new(format!("`{whole}` has no unit")));
    }
    if let Some(unit) = units.iter().find(|u| u.names.contains(&plain.as_str())) {
        return Ok(unit);
    }
    let names = || units.iter().flat_map(|u| u.names.iter().copied());
    let near = names().find(|n| n.ends_with(&format!(" {plain}")));
    // A unit of another dimension is no slip of the pen.
    let (problem, near) = match super::dimensions::kind_of(&plain) {
        Some(kind) => (format!("`{whole}` is {kind}"), near),
        None => {
            let problem = format!("`{plain}` is no unit that is known here");
            // One letter is near to every other.
            let slip = if plain.chars().count() > 1 { nearest(&plain, names()) } else { None };
            (problem, near.or(slip))
        }
    };
    Err(Fault { problem, nearest: near.map(|n| super::dimensions::spelled(n).to_owned()) })
}
