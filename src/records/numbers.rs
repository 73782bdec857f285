//! Amounts in all the ways they come, and what a comma means in a column.

use crate::diagnostics::Diagnostic;
use crate::units::{self, MilkAmount, Part as Fraction};

use super::heads::{Heads, Role};
use super::table::Table;
use super::{Measure, Options};

/// More than any animal gives at a milking, kg (our default; the best cows give
/// about so much in a day).
const MOST_KG: f64 = 100.0;
/// Less than a mouthful, kg: no milking (our default).
const LEAST_KG: f64 = 0.02;
/// Units so small that thousands of them are milked.
const SMALL: [&str; 5] = ["g", "gram", "grams", "ml", "millilitres"];

/// How the numbers of a log read.
#[derive(Clone, Debug, Default)]
pub(super) struct Style {
    /// A separator before exactly three digits parts thousands.
    thousands: bool,
    /// Unit of cells that say none, by column.
    units: Vec<Option<String>>,
    /// What was decided, in sentences.
    pub told: Vec<String>,
}

/// Why a cell is no amount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoAmount {
    /// Nothing was written, or a word for nothing.
    Nothing,
    /// What was written is wrong.
    Wrong(String),
}

/// Words for a milking that did not happen or was not written down.
const NOTHING: [&str; 17] = [
    "",
    "-",
    "–",
    "—",
    "--",
    "n/a",
    "na",
    "#n/a",
    "none",
    "nil",
    "missed",
    "not milked",
    "skipped",
    "?",
    ".",
    "x",
    "dry",
];

/// Decides over the whole log.
pub(super) fn decide(table: &Table, heads: &Heads, options: &Options) -> Result<Style, Vec<Diagnostic>> {
    let records = table.records.get(heads.row.map_or(0, |r| r + 1)..).unwrap_or_default();
    let columns: Vec<usize> = heads.amounts().map(|(i, _)| i).chain(heads.column(Role::Total)).collect();
    if let Some(unit) = &options.unit
        && let Err(e) = units::read::<MilkAmount>(&format!("1 {unit}"))
    {
        return Err(vec![Diagnostic::error(format!("--unit {unit}: {}", e.problem)).help(e.help())]);
    }
    let mut style = Style { units: vec![None; heads.roles.len()], ..Style::default() };
    let mut unitless = None;
    for &i in &columns {
        let own = heads.units.get(i).cloned().flatten();
        // A sum without a unit is in that of its milkings.
        let beside = heads.column(Role::Total).filter(|t| *t == i).and_then(|_| {
            let (first, _) = heads.amounts().next()?;
            heads.units.get(first).cloned().flatten()
        });
        let unit = own.or(beside).or_else(|| options.unit.clone());
        if unit.is_none() && heads.column(Role::Unit).is_none() && unitless.is_none() {
            unitless = records.iter().find(|r| bare(r.cell(i))).map(|r| (r, i));
        }
        if let Some(slot) = style.units.get_mut(i) {
            *slot = unit;
        }
    }
    if let Some((record, i)) = unitless {
        return Err(vec![
            Diagnostic::error(format!("`{}` has no unit, and nor has the heading", record.cell(i)))
                .at(table.spot(record, i))
                .help(format!(
                    "say it with --unit lb (or kg, qt, L, gal), or head the column `{} (lb)`",
                    heads.name(i)
                )),
        ]);
    }
    style.told.extend(differing(heads, &style.units));
    let small = style.units.iter().flatten().any(|u| SMALL.contains(&u.to_lowercase().as_str()));
    let cells = || columns.iter().flat_map(|&i| records.iter().map(move |r| (r, r.cell(i))));
    let both = cells().any(|(_, c)| c.contains(',') && c.contains('.'));
    style.thousands = small || both;
    let commas = cells().find(|(_, c)| c.contains(','));
    if let Some((r, c)) = commas {
        let shown = tidy(c, style.thousands);
        if shown != c {
            style.told.push(format!("The comma in `{c}` (line {}) is read so: {shown}.", r.line));
        }
    }
    Ok(style)
}

/// Columns of amounts that are headed with differing units: each is read in its
/// own, and that is told.
fn differing(heads: &Heads, units: &[Option<String>]) -> Option<String> {
    let named: Vec<(String, Measure)> = heads
        .amounts()
        .filter_map(|(i, _)| Some((heads.name(i), Measure::of(units.get(i)?.as_deref()?)?)))
        .collect();
    let (_, first) = named.first()?;
    if named.iter().all(|(_, m)| m == first) {
        return None;
    }
    let each: Vec<String> = named.iter().map(|(name, m)| format!("`{name}` in {}", m.words())).collect();
    Some(format!("The columns are in differing units, and each is read in its own: {}.", each.join(", ")))
}

/// A number and nothing else.
fn bare(cell: &str) -> bool {
    let cell = cell.trim();
    cell.starts_with(|c: char| c.is_ascii_digit() || c == '.')
        && cell
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '\'' | '\u{a0}' | '/' | '*'))
}

/// The number at the start of a text in the plain form `1234.5`; the rest stays.
fn tidy(text: &str, thousands: bool) -> String {
    let text: String = text
        .chars()
        .map(|c| match c {
            '\u{a0}' | '\u{2009}' | '\u{202f}' => ' ',
            '−' | '–' => '-',
            '’' => '\'',
            c => c,
        })
        .collect();
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, ',' | '.' | '\'' | ' ' | '-' | '+')))
        .map_or(text.len(), |(i, _)| i);
    let (head, tail) = text.split_at(end);
    let number = head.trim_end();
    let gap = &head[number.len()..];
    let groups: Vec<&str> = number.split([',', '.', '\'', ' ']).collect();
    let marks: Vec<char> = number.chars().filter(|c| matches!(c, ',' | '.' | '\'' | ' ')).collect();
    let (Some(last), Some(mark)) = (groups.last(), marks.last()) else { return text };
    // `5 1/2` and the like are left as they are.
    if tail.starts_with('/') || groups.iter().any(|g| g.is_empty()) && !matches!(groups.first(), Some(&"")) {
        return text;
    }
    let three = last.len() == 3;
    let alone = marks.len() == 1;
    let mixed = marks.iter().any(|m| m != mark);
    let is_decimal = match mark {
        '\'' | ' ' => false,
        // `1,234,567`: one mark over and over parts thousands.
        _ if !alone && !mixed => false,
        _ if mixed => true,
        ',' => !(three && thousands),
        _ => true,
    };
    if matches!(mark, '\'' | ' ') && !three {
        return text;
    }
    let digits = |g: &[&str]| g.concat();
    let plain = if is_decimal {
        let (whole, part) = groups.split_at(groups.len() - 1);
        format!("{}.{}", digits(whole), digits(part))
    } else {
        digits(&groups)
    };
    format!("{plain}{gap}{tail}")
}

/// Reads an amount, kg, and the measure in which it is written; `unit` stands
/// in the row's own column of units.
pub(super) fn read(
    cell: &str,
    column: usize,
    unit: &str,
    style: &Style,
) -> Result<(f64, Option<Measure>), NoAmount> {
    let wrong = |why: String| Err(NoAmount::Wrong(why));
    let cell = cell.trim();
    let lower = cell.to_lowercase();
    if NOTHING.contains(&lower.as_str()) {
        return Err(NoAmount::Nothing);
    }
    if lower.starts_with('=') {
        return wrong(format!("`{cell}` is a formula, not an amount; save the values"));
    }
    if lower.starts_with('#') {
        return wrong(format!("`{cell}` is a spreadsheet's error, not an amount"));
    }
    let mut text = tidy(cell, style.thousands);
    for about in ["about ", "approx ", "approx. ", "ca. ", "c. ", "~", "≈"] {
        if text.to_lowercase().starts_with(about) {
            text = text[about.len()..].trim().to_owned();
        }
    }
    let text = text.trim_end_matches(['*', '?', '!']).trim_end();
    let of_column = style.units.get(column).and_then(Option::as_deref);
    let unit = if unit.is_empty() { of_column.unwrap_or_default() } else { unit };
    let has_unit = text.chars().any(|c| c.is_alphabetic());
    let full = if has_unit || unit.is_empty() { text.to_owned() } else { format!("{text} {unit}") };
    let kg = match units::read::<MilkAmount>(&full) {
        Ok(kg) => kg,
        Err(e) => return wrong(format!("{}; {}", e.problem, e.help())),
    };
    if kg == 0.0 {
        wrong(format!("`{cell}` is no milk; a milking that was missed is left empty"))
    } else if kg > MOST_KG {
        wrong(format!("`{full}` is more than any animal gives at a milking; is the unit right?"))
    } else if kg < LEAST_KG {
        wrong(format!("`{full}` is less than a mouthful; is the unit right?"))
    } else {
        let own = full.trim_start_matches(|c: char| !c.is_alphabetic());
        Ok((kg, Measure::of(own)))
    }
}

/// Fat of milk: `4.9`, `4,9 %`, `0.049`; a mass fraction from 0.5 to 15 %.
pub(super) fn fat(cell: &str) -> Result<f64, String> {
    let text = tidy(cell, false);
    let percent = text.contains('%');
    let number = if percent { text.clone() } else { format!("{text} %") };
    let value = units::read::<Fraction>(&number).map_err(|e| e.problem)?;
    let value = if !percent && value < 0.0015 { value * 100.0 } else { value };
    if (0.005..=0.15).contains(&value) {
        Ok(value)
    } else {
        Err(format!("`{cell}` is not the fat of milk, from 0.5 to 15 %"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_every_custom() {
        for (text, thousands, plain) in [
            ("5.4", false, "5.4"),
            ("5,4", false, "5.4"),
            ("5,4 kg", false, "5.4 kg"),
            ("1,234.5", true, "1234.5"),
            ("1.234,5", false, "1234.5"),
            ("1 234,5", false, "1234.5"),
            ("1'234.5", false, "1234.5"),
            ("5,125", false, "5.125"),
            ("5,125", true, "5125"),
            ("1,234,567", false, "1234567"),
            ("12 lb 3 oz", false, "12 lb 3 oz"),
            ("5 1/2", false, "5 1/2"),
            ("−3", false, "-3"),
            (",5", false, ".5"),
            ("5", false, "5"),
            ("5.4lb", false, "5.4lb"),
        ] {
            assert_eq!(tidy(text, thousands), plain, "{text}");
        }
    }

    #[test]
    fn fat_as_percent_or_part() {
        for text in ["4.9", "4,9", "4.9 %", "4.9%", "0.049"] {
            assert!((fat(text).unwrap() - 0.049).abs() < 1e-12, "{text}");
        }
        assert!(fat("49").is_err() && fat("rich").is_err() && fat("0.2 %").is_err());
    }
}
