//! An earlier forecast, read back: `date, animal, what, low, middle, high, unit`.

use jiff::civil::Date;

use crate::calendar;
use crate::diagnostics::{Diagnostic, nearest};
use crate::units::{self, MilkAmount};

use super::table::{Record, Table};

/// What was expected of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// The day.
    pub date: Date,
    /// Tenth percentile, kg.
    pub low_kg: f64,
    /// Median, kg.
    pub middle_kg: f64,
    /// Ninetieth percentile, kg.
    pub high_kg: f64,
}

const COLUMNS: [&str; 7] = ["date", "animal", "what", "low", "middle", "high", "unit"];
/// Words of the column `what` that mean the milk of a day in the pail.
const MILK: [&str; 5] = ["milk", "pail", "milk_drawn", "milk drawn", "milk in the pail"];

/// Reads the forecast of one animal's milk. Rows of other animals or of other
/// things than milk are passed over, and counted in the second value.
///
/// # Errors
/// Columns that are missing, and every row that cannot be read.
pub fn read_forecast(bytes: &[u8], animal: Option<&str>) -> Result<(Vec<Forecast>, usize), Vec<Diagnostic>> {
    let table = Table::read(bytes).map_err(|d| vec![d])?;
    let mut rows = table.records.iter().filter(|r| !r.is_blank());
    let Some(head) = rows.next() else { return Ok((Vec::new(), 0)) };
    let column = |name: &str| head.cells.iter().position(|c| c.eq_ignore_ascii_case(name));
    let mut at = [0; 7];
    for (slot, name) in at.iter_mut().zip(COLUMNS) {
        *slot = column(name).ok_or_else(|| {
            let near = nearest(name, head.cells.iter().map(String::as_str));
            let near = near.map_or(String::new(), |n| format!("; is it `{n}`?"));
            vec![
                Diagnostic::error(format!("this forecast has no column `{name}`"))
                    .at(table.spot(head, 0))
                    .help(format!(
                        "its heading is `{}`{near}; `springhouse ahead --forecast FILE.csv` writes one",
                        COLUMNS.join(",")
                    )),
            ]
        })?;
    }
    let [date, who, what, low, middle, high, unit] = at;
    let mut found = Vec::new();
    let mut faults = Vec::new();
    let mut others = 0;
    let several = animal.is_none();
    let mut seen: Option<String> = None;
    for r in rows {
        if !MILK.contains(&r.cell(what).to_lowercase().as_str())
            || animal.is_some_and(|a| !r.cell(who).eq_ignore_ascii_case(a.trim()))
        {
            others += 1;
            continue;
        }
        if several {
            match &seen {
                None => seen = Some(r.cell(who).to_owned()),
                Some(s) if s.eq_ignore_ascii_case(r.cell(who)) => {}
                Some(s) => {
                    return Err(vec![
                        Diagnostic::error(format!("this forecast holds {s} and {}", r.cell(who)))
                            .at(table.spot(r, who))
                            .help("say whose is meant with --animal"),
                    ]);
                }
            }
        }
        match one(&table, r, date, [low, middle, high], unit) {
            Ok(f) => found.push(f),
            Err(d) => faults.push(d),
        }
    }
    found.sort_by_key(|f| f.date);
    if faults.is_empty() { Ok((found, others)) } else { Err(faults) }
}

fn one(
    table: &Table,
    r: &Record,
    date: usize,
    amounts: [usize; 3],
    unit: usize,
) -> Result<Forecast, Diagnostic> {
    let on = calendar::read_date(r.cell(date)).map_err(|e| e.diagnostic().at(table.spot(r, date)))?;
    let mut kg = [0.0; 3];
    for (slot, column) in kg.iter_mut().zip(amounts) {
        let text = format!("{} {}", r.cell(column), r.cell(unit));
        *slot = units::read::<MilkAmount>(&text).map_err(|e| e.diagnostic().at(table.spot(r, column)))?;
    }
    let [low_kg, middle_kg, high_kg] = kg;
    if !(low_kg <= middle_kg && middle_kg <= high_kg) {
        return Err(Diagnostic::error("low, middle and high are not in order").at(table.spot(r, amounts[0])));
    }
    Ok(Forecast { date: on, low_kg, middle_kg, high_kg })
}
