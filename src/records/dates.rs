//! Dates in all the ways they come, and which way round those of a column are.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::calendar::{self, MONTHS, WEEKDAYS, YEARS};
use crate::diagnostics::Diagnostic;

use super::Options;
use super::heads::{Heads, Role};
use super::table::Table;

/// Which way round a date of three numbers is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// 31/4/2027.
    DayFirst,
    /// 4/31/2027.
    MonthFirst,
}

/// Day numbers that spreadsheets write for dates: 1927 to 2119.
const SERIALS: std::ops::RangeInclusive<f64> = 10_000.0..=80_000.0;

/// A cell before the order of the column is known.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Read {
    /// It can only be this.
    Sure(Date),
    /// Two numbers and a year.
    Either { a: i8, b: i8, year: i16 },
}

/// A date, and the hour if one follows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Moment {
    pub date: Date,
    pub hour: Option<f64>,
}

/// How the dates of a column read.
#[derive(Clone, Debug, Default)]
pub(super) struct Style {
    order: Option<Order>,
    why: Option<String>,
}

impl Style {
    /// The decision, in a sentence.
    pub fn told(&self) -> Option<String> {
        self.why.clone()
    }
}

/// Something that was meant as a date.
pub(super) fn like_a_date(cell: &str) -> bool {
    parse(cell).is_ok_and(|(read, _)| !matches!(read, Read::Sure(_)) || !is_number(cell))
}

fn is_number(cell: &str) -> bool {
    cell.trim().parse::<f64>().is_ok()
}

/// Splits the time of day off: `2027-04-12 6:30`, `2027-04-12T18:00:00`.
fn split_time(text: &str) -> (&str, Option<f64>) {
    let text = text.trim();
    let at = text.char_indices().find(|(i, c)| {
        let before = text.get(..*i).is_some_and(|b| b.ends_with(|c: char| c.is_ascii_digit()));
        let after = text.get(*i + 1..).is_some_and(|a| a.contains(':'));
        (*c == ' ' || *c == 'T') && before && after
    });
    match at {
        Some((i, _)) => {
            let (date, time) = text.split_at(i);
            match super::words::hour(time.trim_start_matches(['T', ' '])) {
                Some(hour) => (date, Some(hour)),
                None => (text, None),
            }
        }
        None => (text, None),
    }
}

fn valid(y: i16, m: i8, d: i8, text: &str) -> Result<Date, String> {
    if !YEARS.contains(&y) {
        return Err(format!(
            "`{text}` is too far away; years from {} to {} are understood",
            YEARS.start(),
            YEARS.end()
        ));
    }
    Date::new(y, m, d).map_err(|_| format!("`{text}` is no day of the calendar"))
}

/// Reads a cell as far as it says by itself.
fn parse(cell: &str) -> Result<(Read, Option<f64>), String> {
    let (text, hour) = split_time(cell);
    let refuse = || format!("`{text}` is no date; write year-month-day, such as `2027-04-01`");
    if text.is_empty() {
        return Err("there is no date".to_owned());
    }
    if let Ok(n) = text.parse::<f64>() {
        // 20270412.
        if text.len() == 8 && text.bytes().all(|b| b.is_ascii_digit()) {
            let part = |a, b| text.get(a..b).and_then(|s| s.parse::<i16>().ok()).ok_or_else(refuse);
            let (y, m, d) = (part(0, 4)?, part(4, 6)?, part(6, 8)?);
            return Ok((Read::Sure(valid(y, m as i8, d as i8, text)?), hour));
        }
        if SERIALS.contains(&n) {
            let day = Date::constant(1899, 12, 30).saturating_add((n.floor() as i64).days());
            let part = n - n.floor();
            return Ok((Read::Sure(day), hour.or((part > 0.0).then_some(24.0 * part))));
        }
        return Err(refuse());
    }
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let is_weekday = |w: &&str| {
        let w = *w;
        w.len() >= 2
            && w.chars().all(char::is_alphabetic)
            && WEEKDAYS.iter().any(|d| d.to_lowercase().starts_with(w))
    };
    let words: Vec<&str> = words.into_iter().filter(|w| !is_weekday(w)).collect();
    let month = |w: &str| {
        let short = w.chars().count() >= 3 && w.chars().all(char::is_alphabetic);
        let at = MONTHS.iter().position(|m| short && m.to_lowercase().starts_with(w));
        // `sept` is an old short form.
        at.or((w == "sept").then_some(8)).and_then(|m| i8::try_from(m + 1).ok())
    };
    let number = |w: &str| {
        let digits = w.trim_end_matches(|c: char| c.is_alphabetic());
        let tail = w.get(digits.len()..).unwrap_or_default();
        let fine = tail.is_empty() || ["st", "nd", "rd", "th"].contains(&tail);
        fine.then(|| digits.parse::<i16>().ok()).flatten().map(|n| (n, digits.len()))
    };
    let year = |(n, digits): (i16, usize)| match digits {
        4 => Some(n),
        2 => Some(2000 + n),
        _ => None,
    };
    let small = |n: i16| i8::try_from(n).unwrap_or(i8::MAX);
    let [a, b, c] = words.as_slice() else {
        let dated = words.iter().any(|w| month(w).is_some()) || words.iter().all(|w| number(w).is_some());
        return Err(if words.len() == 2 && dated { format!("`{text}` has no year") } else { refuse() });
    };
    match (number(a), number(b), number(c)) {
        (Some(y), Some(m), Some(d)) if y.1 == 4 => {
            Ok((Read::Sure(valid(y.0, small(m.0), small(d.0), text)?), hour))
        }
        (Some(x), Some(y), Some(z)) => {
            let year = year(z).ok_or_else(refuse)?;
            if !YEARS.contains(&year) {
                return Err(format!("`{text}` is too far away"));
            }
            let (a, b) = (small(x.0), small(y.0));
            let day_first = Date::new(year, b, a).is_ok();
            let month_first = Date::new(year, a, b).is_ok();
            if day_first || month_first {
                Ok((Read::Either { a, b, year }, hour))
            } else {
                Err(format!("`{text}` is no day of the calendar"))
            }
        }
        (Some(d), None, Some(y)) => match (month(b), year(y)) {
            (Some(m), Some(y)) => Ok((Read::Sure(valid(y, m, small(d.0), text)?), hour)),
            _ => Err(refuse()),
        },
        (None, Some(d), Some(y)) => match (month(a), year(y)) {
            (Some(m), Some(y)) => Ok((Read::Sure(valid(y, m, small(d.0), text)?), hour)),
            _ => Err(refuse()),
        },
        _ => Err(refuse()),
    }
}

fn by(order: Order, a: i8, b: i8, year: i16) -> Option<Date> {
    match order {
        Order::DayFirst => Date::new(year, b, a).ok(),
        Order::MonthFirst => Date::new(year, a, b).ok(),
    }
}

/// Reads a cell in the style of its column.
pub(super) fn read(cell: &str, style: &Style) -> Result<Moment, String> {
    let (read, hour) = parse(cell)?;
    let date = match read {
        Read::Sure(date) => date,
        Read::Either { a, b, year } => {
            let order = style.order.unwrap_or(Order::DayFirst);
            by(order, a, b, year).ok_or_else(|| {
                let way = match order {
                    Order::DayFirst => "the day stands first",
                    Order::MonthFirst => "the month stands first",
                };
                format!("`{}` is no day of the calendar where {way}, as in the rest of this log", cell.trim())
            })?
        }
    };
    Ok(Moment { date, hour })
}

/// The dates of a column as year-month-day, where they can be nothing else: by
/// themselves, or because another of the column settles which way round they are.
pub(crate) fn plain_forms(cells: &[&str]) -> Vec<Option<String>> {
    let read: Vec<Option<Read>> = cells.iter().map(|c| parse(c).ok().map(|(read, _)| read)).collect();
    let fits = |order| {
        read.iter().flatten().all(|r| match *r {
            Read::Sure(_) => true,
            Read::Either { a, b, year } => by(order, a, b, year).is_some(),
        })
    };
    let order = match (fits(Order::DayFirst), fits(Order::MonthFirst)) {
        (true, false) => Some(Order::DayFirst),
        (false, true) => Some(Order::MonthFirst),
        _ => None,
    };
    let date = |r: Option<Read>| match r? {
        Read::Sure(date) => Some(date),
        Read::Either { a, b, year } if a == b => by(Order::DayFirst, a, b, year),
        Read::Either { a, b, year } => by(order?, a, b, year),
    };
    read.into_iter().map(|r| date(r).map(|d| d.to_string())).collect()
}

/// Decides the order over the whole column.
pub(super) fn decide(table: &Table, heads: &Heads, options: &Options) -> Result<Style, Vec<Diagnostic>> {
    let Some(column) = heads.column(Role::Date) else { return Ok(Style::default()) };
    let from = heads.row.map_or(0, |r| r + 1);
    let records = table.records.get(from..).unwrap_or_default();
    let mut cells = Vec::new();
    for r in records {
        if let Ok((Read::Either { a, b, year }, _)) = parse(r.cell(column)) {
            cells.push((r, a, b, year));
        }
    }
    let Some((first, ..)) = cells.first().copied() else { return Ok(Style::default()) };
    let told = |order: Order, why: &str| {
        let way = match order {
            Order::DayFirst => "day first (day/month/year)",
            Order::MonthFirst => "month first (month/day/year)",
        };
        Ok(Style { order: Some(order), why: Some(format!("Dates are read {way}{why}.")) })
    };
    if let Some(order) = options.dates {
        return told(order, ", as you said");
    }
    let only = |order: Order| {
        cells.iter().find(|(_, a, b, y)| {
            let other = match order {
                Order::DayFirst => Order::MonthFirst,
                Order::MonthFirst => Order::DayFirst,
            };
            by(other, *a, *b, *y).is_none()
        })
    };
    let settle = "say which with --dates day-first or --dates month-first";
    let shown = |r: &super::table::Record| format!("`{}` on line {}", r.cell(column), r.line);
    match (only(Order::DayFirst), only(Order::MonthFirst)) {
        (Some((d, ..)), Some((m, ..))) => {
            return Err(vec![
                Diagnostic::error(format!(
                    "some dates of this log have the day first ({}), others the month ({})",
                    shown(d),
                    shown(m)
                ))
                .at(table.spot(m, column))
                .help(settle),
            ]);
        }
        (Some((r, ..)), None) => {
            return told(Order::DayFirst, &format!(": {} can be nothing else", shown(r)));
        }
        (None, Some((r, ..))) => {
            return told(Order::MonthFirst, &format!(": {} can be nothing else", shown(r)));
        }
        (None, None) => {}
    }
    // The same both ways: 4/4/2027.
    if cells.iter().all(|(_, a, b, _)| a == b) {
        return Ok(Style { order: Some(Order::DayFirst), why: None });
    }
    if options.today.is_some() {
        let ahead = |d| options.lies_ahead(d);
        let late = |order| cells.iter().any(|(_, a, b, y)| by(order, *a, *b, *y).is_some_and(ahead));
        match (late(Order::DayFirst), late(Order::MonthFirst)) {
            (true, false) => return told(Order::MonthFirst, ": the other way round some lie in the future"),
            (false, true) => return told(Order::DayFirst, ": the other way round some lie in the future"),
            _ => {}
        }
    }
    let steps = |order| -> Option<i64> {
        let days: Vec<Date> = cells.iter().filter_map(|(_, a, b, y)| by(order, *a, *b, *y)).collect();
        let steps: Vec<i64> = days
            .windows(2)
            .map(|w| match w {
                [a, b] => calendar::days_between(*a, *b),
                _ => 0,
            })
            .collect();
        // In order, a day at a time.
        (steps.len() >= 3 && steps.iter().all(|s| (0..=3).contains(s))).then(|| steps.iter().sum())
    };
    match (steps(Order::DayFirst), steps(Order::MonthFirst)) {
        (Some(_), None) => told(Order::DayFirst, ": so they follow one another day by day"),
        (None, Some(_)) => told(Order::MonthFirst, ": so they follow one another day by day"),
        _ => Err(vec![
            Diagnostic::error(format!(
                "{} can be read two ways, and so can every date of this log",
                shown(first)
            ))
            .at(table.spot(first, column))
            .help(settle),
        ]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_column_settles_its_dates() {
        let plain = |cells: &[&str]| {
            plain_forms(cells).into_iter().map(Option::unwrap_or_default).collect::<Vec<_>>()
        };
        assert_eq!(plain(&["6/29/2026", "6/5/2026"]), ["2026-06-29", "2026-06-05"]);
        assert_eq!(plain(&["29/6/2026", "5.6.2026", "soon"]), ["2026-06-29", "2026-06-05", ""]);
        // Either way round: left as it is.
        assert_eq!(plain(&["6/5/2026", "4/4/2026", "June 5 2026"]), ["", "2026-04-04", "2026-06-05"]);
    }

    #[test]
    fn dates_people_write() {
        for text in [
            "2027-04-12",
            "2027/4/12",
            "2027.04.12",
            "20270412",
            "12 Apr 2027",
            "Apr 12, 2027",
            "12-Apr-27",
            "April 12th 2027",
            "Mon 12 Apr 2027",
            "Monday, April 12, 2027",
            "46489",
            "2027-04-12T06:30:00",
            "2027-04-12 6:30 PM",
            "46489.75",
            "12. April 2027",
        ] {
            let got = read(text, &Style::default());
            assert_eq!(got.as_ref().map(|m| m.date), Ok(date(2027, 4, 12)), "{text}: {got:?}");
        }
        assert_eq!(read("2027-04-12 6:30 PM", &Style::default()).unwrap().hour, Some(18.5));
        assert_eq!(read("46489.75", &Style::default()).unwrap().hour, Some(18.0));
        let month = Style { order: Some(Order::MonthFirst), why: None };
        assert_eq!(read("4/12/2027", &month).unwrap().date, date(2027, 4, 12));
        assert_eq!(read("12.4.27", &Style::default()).unwrap().date, date(2027, 4, 12));
    }
}
