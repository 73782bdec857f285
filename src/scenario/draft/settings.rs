//! Fields that can be varied, and sets of values for them: `0; 3; 5` or
//! `10 gal to 40 gal by 5 gal`.

use jiff::civil::Date;

use super::{
    path::{FieldPath, Found, find},
    tree::{Node, Tree},
};
use crate::{
    calendar,
    diagnostics::{Diagnostic, listed},
    units::{Within, within},
};

/// Most values of one set.
pub const MOST_SETTINGS: usize = 100;

/// Parts of the file that cannot be varied: they are no part of the household,
/// or decide which years are simulated.
const FIXED: [&str; 5] = ["title", "units", "trials", "seed", "variants"];

/// Keys whose values are names; a number in them is part of the name.
const NAMES: [&str; 12] =
    ["like", "breed", "feed", "name", "do", "what", "with", "who", "to", "kind", "measure", "feed"];

/// Which end of a field asks less of the family.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The least: of room, jars, work, animals.
    Smallest,
    /// The most: of people fed, members, promises, wishes.
    Largest,
}

/// A field of a scenario with a single value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its path, spelled as in the file.
    pub path: FieldPath,
    /// What stands there, if anything is written.
    pub now: Option<String>,
    /// Which end asks less of the family.
    pub frugal: End,
}

/// One value of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The whole text of the field.
    pub text: String,
    /// The number in it, in the unit of its dimension (a date: days since
    /// 1970), to put values in order; none for words.
    pub value: Option<f64>,
}

/// The way to a field with a single value that can be varied.
pub(super) fn single(tree: &Tree, path: &FieldPath) -> Result<Found, Diagnostic> {
    let found = find(tree, path.as_str())?;
    let top = found.path.split('.').next().unwrap_or_default();
    if FIXED.contains(&top) {
        return Err(Diagnostic::error(format!("`{top}` cannot be varied"))
            .help("vary something of the household: an animal, a store, the people, a rule"));
    }
    let there = tree.at(&found.way);
    let parts = |names: Vec<&str>| {
        if names.is_empty() {
            format!("write the whole of it in a variant under `variants:` (`{}`)", found.path)
        } else {
            let whole: Vec<String> = names.iter().map(|n| format!("{}.{n}", found.path)).collect();
            let words: Vec<&str> = whole.iter().map(String::as_str).collect();
            format!("take one of its parts: {}", listed(&words))
        }
    };
    match there.map(|t| &t.node) {
        Some(Node::List(_)) => {
            Err(Diagnostic::error(format!("`{}` is a list, not a single value", found.path))
                .help("write the whole list in a variant under `variants:`"))
        }
        Some(Node::Map(keys)) => Err(Diagnostic::error(format!("`{}` has no single value", found.path))
            .help(parts(keys.iter().map(|(k, _)| k.as_str()).collect()))),
        _ if !found.shape.is_single() => {
            Err(Diagnostic::error(format!("`{}` has no single value", found.path))
                .help(parts(found.shape.keys())))
        }
        _ => {
            // A part of something that is written as one value, such as `2 lb/week`.
            for cut in 1..found.way.len() {
                if let Some(text) = found.way.get(..cut).and_then(|w| tree.at(w)).and_then(Tree::text) {
                    let whole = path_of(tree, &found, cut);
                    return Err(Diagnostic::error(format!("`{whole}` is written as one value, `{text}`"))
                        .help(format!("vary `{whole}` itself")));
                }
            }
            Ok(found)
        }
    }
}

/// The path of the first steps of a way.
fn path_of(tree: &Tree, found: &Found, steps: usize) -> String {
    let mut end = found.path.as_str();
    // The steps that are left out are keys: a list's entries have no text.
    for step in found.way.iter().skip(steps).rev() {
        if let super::tree::Step::Key(key) = step {
            end = end.strip_suffix(key.as_str()).map_or(end, |e| e.trim_end_matches('.'));
        }
    }
    debug_assert!(find(tree, end).is_ok());
    end.to_owned()
}

/// What stands at a field.
pub(super) fn field(tree: &Tree, path: &FieldPath) -> Result<Field, Diagnostic> {
    let found = single(tree, path)?;
    let now = tree.at(&found.way).and_then(Tree::text);
    let largest = ["household.people", "household.wants", "household.guests", "household.drinkers"];
    let more = largest.iter().any(|p| found.path.starts_with(&format!("{p}.")))
        || ["herd shares.members", "herd shares.promise"].contains(&found.path.as_str())
        || found.path.starts_with("herd shares.members.");
    let frugal = if more { End::Largest } else { End::Smallest };
    Ok(Field { path: FieldPath::from(found.path.as_str()), now, frugal })
}

/// Reads a set of values for a field: values between semicolons, or a range
/// such as `10 gal to 40 gal by 5 gal`. A number alone, or with its unit, takes
/// the place of the number that stands there; the words round it stay.
///
/// # Errors
/// What is wrong with the set.
pub fn settings(field: &Field, text: &str) -> Result<Vec<Setting>, Diagnostic> {
    let text = text.trim();
    let each: Vec<&str> = text.split(';').map(str::trim).filter(|t| !t.is_empty()).collect();
    if each.is_empty() {
        return Err(error("there are no values here").help(HOW));
    }
    let all = match range(field, text)? {
        Some(all) => all,
        None if !is_name(field) && alone(text).is_none_or(|w| !w.after.trim().is_empty()) => {
            several(field, text)?;
            each.iter().map(|t| setting(field, t)).collect::<Result<Vec<_>, _>>()?
        }
        None => each.iter().map(|t| setting(field, t)).collect::<Result<Vec<_>, _>>()?,
    };
    if all.len() > MOST_SETTINGS {
        return Err(too_many(all.len()));
    }
    for (i, one) in all.iter().enumerate() {
        if all[..i].iter().any(|other| other.text == one.text) {
            return Err(error(format!("the value `{}` stands here twice", one.text)).help("name it once"));
        }
    }
    Ok(all)
}

/// Values between commas, or a range with a dash, would be taken for one value.
fn several(field: &Field, text: &str) -> Result<(), Diagnostic> {
    let number = |t: &str| alone(t.trim()).is_some_and(|w| w.after.trim().is_empty());
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    if (parts.len() > 2 || text.contains(", ")) && parts.iter().all(|t| number(t)) {
        return Err(error(format!("`{text}` is no single value of `{}`", field.path))
            .help(format!("write values between semicolons: `{}`", parts.join("; "))));
    }
    let ends = ["..", "–", "-"].iter().find_map(|dash| text.split_once(dash));
    if let Some((from, until)) = ends.filter(|(a, b)| number(a) && number(b)) {
        let (from, until) = (from.trim(), until.trim());
        return Err(error(format!("`{text}` is no single value of `{}`", field.path)).help(format!(
            "write a range with its step, such as `{from} to {until} by 1`, or values between semicolons"
        )));
    }
    Ok(())
}

const HOW: &str = "write values between semicolons, `0; 3; 5`, or a range, `10 gal to 40 gal by 5 gal`";

fn error(message: impl Into<String>) -> Diagnostic {
    Diagnostic::error(message)
}

fn too_many(count: usize) -> Diagnostic {
    error(format!("{count} values are too many"))
        .help(format!("at most {MOST_SETTINGS} can be tried; take a larger step"))
}

/// Whether a field holds a name, so that a number in it counts nothing.
fn is_name(field: &Field) -> bool {
    let path = field.path.as_str();
    NAMES.iter().any(|n| path == *n || path.ends_with(&format!(".{n}")))
}

/// A value as it stands alone: a number with nothing but its unit.
fn alone(text: &str) -> Option<Within<'_>> {
    within(text).filter(|w| w.before.is_empty())
}

/// One value of a list.
fn setting(field: &Field, text: &str) -> Result<Setting, Diagnostic> {
    let whole = |value| Setting { text: text.to_owned(), value };
    if is_name(field) {
        return Ok(whole(None));
    }
    if let Some(day) = date(text) {
        return Ok(Setting { text: with_date(field, day), value: Some(days(day)) });
    }
    match alone(text).filter(|w| w.after.trim().is_empty()) {
        Some(new) => put(field, new.digits, new.number, unit_of(text, &new)),
        None if text.eq_ignore_ascii_case("none") => Ok(whole(Some(0.0))),
        None => Ok(whole(within(text).map(|w| w.value))),
    }
}

/// A range, if the text is one.
fn range(field: &Field, text: &str) -> Result<Option<Vec<Setting>>, Diagnostic> {
    if text.contains(';') {
        return Ok(None);
    }
    let lower = text.to_ascii_lowercase();
    let (span, step) = match lower.rfind(" by ") {
        Some(at) => (&text[..at], Some(text[at + 4..].trim())),
        None => (text, None),
    };
    let Some(to) = span.to_ascii_lowercase().find(" to ") else { return Ok(None) };
    let (from, until) = (span[..to].trim(), span[to + 4..].trim());
    if let (Some(first), Some(last)) = (date(from), date(until)) {
        return dates(field, (first, from), (last, until), step).map(Some);
    }
    let (Some(first), Some(last)) = (alone(from), alone(until)) else { return Ok(None) };
    if is_name(field) {
        return Err(error(format!("`{}` is a name and has no range", field.path))
            .help("write names between semicolons, such as `mini fridge 3 cu ft; all-fridge 10 cu ft`"));
    }
    let Some(step) = step else {
        return Err(
            error(format!("the range `{text}` says no step")).help(format!("write `{from} to {until} by …`"))
        );
    };
    let Some(by) = alone(step) else {
        return Err(error(format!("the step `{step}` is no number")).help(HOW));
    };
    let units: Vec<&str> = [(from, &first), (until, &last), (step, &by)]
        .into_iter()
        .map(|(text, w)| unit_of(text, w))
        .filter(|u| !u.is_empty())
        .collect();
    let unit = units.first().copied().unwrap_or_default();
    if let Some(other) = units.iter().find(|u| !u.eq_ignore_ascii_case(unit)) {
        return Err(error(format!("this range is written in `{unit}` and in `{other}`"))
            .help("write all of it in one unit"));
    }
    forwards(from, until, step, first.number, last.number, by.number)?;
    let steps = ((last.number - first.number) / by.number * (1.0 + 1e-12) + 1e-9).floor();
    if steps + 1.0 > MOST_SETTINGS as f64 {
        return Err(too_many(steps.min(1e9) as usize + 1));
    }
    let places = decimals(first.digits).max(decimals(by.digits));
    let mut all = Vec::new();
    for i in 0..=steps as u32 {
        let number = first.number + f64::from(i) * by.number;
        let digits = format!("{number:.places$}");
        let digits =
            if digits.contains('.') { digits.trim_end_matches('0').trim_end_matches('.') } else { &digits };
        all.push(put(field, if digits == "-0" { "0" } else { digits }, number, unit)?);
    }
    Ok(Some(all))
}

fn forwards(from: &str, until: &str, step: &str, first: f64, last: f64, by: f64) -> Result<(), Diagnostic> {
    if by == 0.0 {
        return Err(error(format!("the step `{step}` leads nowhere")).help("write a step above zero"));
    }
    if by < 0.0 || first > last {
        return Err(error(format!("the range from `{from}` to `{until}` by `{step}` runs backwards"))
            .help("write the smaller end first and a step above zero"));
    }
    Ok(())
}

/// Decimals of a number as written; a fraction has up to four.
fn decimals(digits: &str) -> usize {
    match digits.split_once('.') {
        Some((_, after)) => after.chars().take_while(char::is_ascii_digit).count().min(9),
        None if digits.chars().all(|c| c.is_ascii_digit() || c == '-') => 0,
        None => 4,
    }
}

/// Everything after the number at the start of a text.
fn unit_of<'t>(text: &'t str, w: &Within) -> &'t str {
    text.get(w.digits.len()..).unwrap_or_default().trim()
}

/// Puts a number and its unit where the number of the field stands.
fn put(field: &Field, digits: &str, number: f64, unit: &str) -> Result<Setting, Diagnostic> {
    let own = if unit.is_empty() { digits.to_owned() } else { format!("{digits} {unit}") };
    let text = match field.now.as_deref().and_then(within) {
        None => own,
        Some(there) => {
            let gap = |after: &str| if after.is_empty() || after.starts_with([' ', ',']) { "" } else { " " };
            let rest = format!("{}{}{}", there.unit, gap(there.after), there.after);
            let rest = rest.trim();
            if unit.is_empty() && rest.is_empty() {
                format!("{}{digits}", there.before)
            } else if unit.is_empty() || unit.eq_ignore_ascii_case(rest) {
                format!("{}{digits} {rest}", there.before)
            } else {
                let new = within(&own);
                let fits = new.is_some_and(|n| {
                    n.after.is_empty()
                        && n.kind == there.kind
                        && n.per_days.is_some() == there.per_days.is_some()
                });
                if !fits {
                    let now = field.now.as_deref().unwrap_or_default();
                    let what = if there.unit.is_empty() {
                        "no unit".to_owned()
                    } else {
                        format!("`{}`", there.unit)
                    };
                    return Err(error(format!(
                        "`{own}` does not fit `{}`, where `{now}` stands",
                        field.path
                    ))
                    .help(format!(
                        "its number has {what}; write the values like it, or the whole text of each"
                    )));
                }
                format!("{}{own}{}{}", there.before, gap(there.after), there.after)
            }
        }
    };
    let value = within(&text).map_or(number, |w| w.value);
    Ok(Setting { text, value: Some(value) })
}

fn date(text: &str) -> Option<Date> {
    calendar::read_date(text).ok()
}

fn days(day: Date) -> f64 {
    calendar::days_between(Date::constant(1970, 1, 1), day) as f64
}

/// A date where the date of the field stands, with the words after it.
fn with_date(field: &Field, day: Date) -> String {
    let now = field.now.as_deref().unwrap_or_default();
    let (first, after) = now.split_once(' ').unwrap_or((now, ""));
    if date(first).is_some() && !after.is_empty() { format!("{day} {after}") } else { day.to_string() }
}

/// Dates from one to another.
fn dates(
    field: &Field,
    (first, from): (Date, &str),
    (last, until): (Date, &str),
    step: Option<&str>,
) -> Result<Vec<Setting>, Diagnostic> {
    let step = step.unwrap_or_default();
    let by = alone(step).filter(|w| w.kind == Some("a time") && w.after.trim().is_empty());
    let Some(by) = by else {
        return Err(error(format!("the range from `{from}` to `{until}` says no step in days"))
            .help(format!("write such as `{from} to {until} by 14 days`")));
    };
    forwards(from, until, step, days(first), days(last), by.value)?;
    if (days(last) - days(first)) / by.value > MOST_SETTINGS as f64 {
        return Err(too_many(((days(last) - days(first)) / by.value).min(1e9) as usize + 1));
    }
    let months = by.unit.to_ascii_lowercase().starts_with("month") && by.number.fract() == 0.0;
    let mut all = Vec::new();
    for i in 0..=MOST_SETTINGS as i32 {
        let day = if months {
            calendar::add_months(first, i.saturating_mul(by.number as i32))
        } else {
            calendar::date_of(first, (f64::from(i) * by.value).round() as i64)
        };
        if day > last {
            break;
        }
        all.push(Setting { text: with_date(field, day), value: Some(days(day)) });
    }
    Ok(all)
}

#[cfg(test)]
mod tests;
