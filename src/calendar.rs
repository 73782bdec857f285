//! Calendar dates and simulated days.

use jiff::{ToSpan, civil::Date};

use crate::diagnostics::{Diagnostic, nearest};

/// First and last year a scenario may speak of.
pub const YEARS: std::ops::RangeInclusive<i16> = 1900..=2200;
/// Longest simulated time, days (30 years).
pub const LONGEST_RUN_DAYS: usize = 10_958;

/// Months, January first.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];
/// Weekdays, Monday first.
pub const WEEKDAYS: [&str; 7] =
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/// Words that are no date, month or weekday.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}; {help}")]
pub struct CalendarError {
    /// One sentence, lower case, no full stop.
    pub problem: String,
    /// How to mend it.
    pub help: String,
}

impl CalendarError {
    fn new(problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self { problem: problem.into(), help: help.into() }
    }

    /// The same as a message about the file; its place is added with `at`.
    #[must_use]
    pub fn diagnostic(&self) -> Diagnostic {
        Diagnostic::error(self.problem.clone()).help(self.help.clone())
    }
}

/// Reads a date written year-month-day: `2027-04-01`.
///
/// # Errors
/// When the words are no such date, the day does not exist, or the year is
/// outside [`YEARS`].
pub fn read_date(text: &str) -> Result<Date, CalendarError> {
    const HELP: &str = "write year-month-day, such as `2027-04-01`";
    let text = text.trim();
    let refuse = || {
        let help = match readings(text).as_slice() {
            [one] => format!("did you mean `{one}`?"),
            [one, other] => format!("write year-month-day: `{one}` or `{other}`"),
            _ => HELP.to_owned(),
        };
        CalendarError::new(format!("`{text}` is no date"), help)
    };
    let parts: Vec<&str> = text.split('-').collect();
    let &[year, month, day] = parts.as_slice() else { return Err(refuse()) };
    let digits = |s: &str, n: usize| s.len() == n && s.bytes().all(|b| b.is_ascii_digit());
    if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
        return Err(refuse());
    }
    let (Ok(y), Ok(m), Ok(d)) = (year.parse::<i16>(), month.parse::<i8>(), day.parse::<i8>()) else {
        return Err(refuse());
    };
    if !(1..=12).contains(&m) {
        return Err(CalendarError::new(format!("`{text}` has no such month"), HELP));
    }
    let date = Date::new(y, m, d).map_err(|_| {
        let last = Date::new(y, m, 1).map_or(31, Date::days_in_month);
        let month = MONTHS[usize::from(m.unsigned_abs()) - 1];
        CalendarError::new(format!("`{text}` does not exist"), format!("{month} {y} has {last} days"))
    })?;
    if !YEARS.contains(&y) {
        let help = format!("years from {} to {} are understood", YEARS.start(), YEARS.end());
        return Err(CalendarError::new(format!("`{text}` is too far away"), help));
    }
    Ok(date)
}

/// What a date of figures in another order may mean.
fn readings(text: &str) -> Vec<Date> {
    let parts: Vec<i16> = text.split(['/', '.', '-']).filter_map(|p| p.trim().parse().ok()).collect();
    let &[a, b, c] = parts.as_slice() else { return Vec::new() };
    // A year has four figures; what stands first otherwise is the month or the day.
    let orders = if a > 999 { vec![(a, b, c)] } else { vec![(c, a, b), (c, b, a)] };
    let date = |(y, m, d): (i16, i16, i16)| Date::new(y, m.try_into().ok()?, d.try_into().ok()?).ok();
    let mut all: Vec<Date> =
        orders.into_iter().filter_map(date).filter(|d| YEARS.contains(&d.year())).collect();
    all.dedup();
    all
}

/// Days from `first` to `date`; negative when `date` lies before.
#[must_use]
pub fn days_between(first: Date, date: Date) -> i64 {
    first.duration_until(date).as_hours() / 24
}

/// The date of a simulated day; day 0 is `first_day`. Dates beyond the
/// calendar stay at its end.
#[must_use]
pub fn date_of(first_day: Date, day: i64) -> Date {
    first_day.saturating_add(day.clamp(-3_000_000, 3_000_000).days())
}

/// The same day of a later (or earlier) month, or the last day of that month.
#[must_use]
pub fn add_months(date: Date, months: i32) -> Date {
    date.saturating_add(months.clamp(-100_000, 100_000).months())
}

/// 0 = Monday … 6 = Sunday.
#[must_use]
pub fn weekday(date: Date) -> u8 {
    date.weekday().to_monday_zero_offset().unsigned_abs()
}

/// 0 = January … 11 = December.
#[must_use]
pub fn month(date: Date) -> u8 {
    date.month().unsigned_abs() - 1
}

/// 1 … 366.
#[must_use]
pub fn day_of_year(date: Date) -> u16 {
    date.day_of_year().unsigned_abs()
}

/// Reads the name of a month, whole or from three letters on; 0 = January.
///
/// # Errors
/// When the word is no month; the help names the nearest.
pub fn read_month(word: &str) -> Result<u8, CalendarError> {
    read_name(word, &MONTHS, "month", "apr")
}

/// Reads the name of a weekday, whole or from three letters on; 0 = Monday.
///
/// # Errors
/// When the word is no weekday; the help names the nearest.
pub fn read_weekday(word: &str) -> Result<u8, CalendarError> {
    read_name(word, &WEEKDAYS, "weekday", "mon")
}

fn read_name(word: &str, names: &[&str], kind: &str, example: &str) -> Result<u8, CalendarError> {
    let lower = word.trim().to_lowercase();
    let plain = lower.trim_end_matches('.');
    let short = |name: &str| name.to_lowercase().starts_with(plain);
    if plain.len() >= 3
        && let Some(at) = names.iter().position(|n| short(n))
    {
        return Ok(u8::try_from(at).unwrap_or(0));
    }
    let shorts: Vec<String> = names.iter().map(|n| n[..3].to_lowercase()).collect();
    let near = nearest(plain, names.iter().copied())
        .map(str::to_lowercase)
        .or_else(|| nearest(plain, shorts.iter().map(String::as_str)).map(str::to_owned));
    let help = match near {
        Some(n) => format!("did you mean `{n}`?"),
        None => format!("write a {kind} such as `{example}`: {}", shorts.join(", ")),
    };
    Err(CalendarError::new(format!("`{}` is no {kind}", word.trim()), help))
}

/// For people: `Mon 12 Apr 2027`.
#[must_use]
pub fn show(date: Date) -> String {
    let weekday = &WEEKDAYS[usize::from(weekday(date))][..3];
    format!("{weekday} {}", show_plain(date))
}

/// For people, without the weekday: `12 Apr 2027`.
#[must_use]
pub fn show_plain(date: Date) -> String {
    let month = &MONTHS[usize::from(month(date))][..3];
    format!("{} {month} {}", date.day(), date.year())
}

/// Three letters of a month, 0 = January: `Apr`.
#[must_use]
pub fn short_month(month: u8) -> &'static str {
    &MONTHS[usize::from(month) % 12][..3]
}

/// Three letters of a weekday, 0 = Monday: `mon`, as a scenario writes it.
#[must_use]
pub fn short_weekday(weekday: u8) -> &'static str {
    ["mon", "tue", "wed", "thu", "fri", "sat", "sun"][usize::from(weekday) % 7]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        read_date(text).unwrap()
    }

    #[test]
    fn known_weekdays() {
        // 1 January 2000 was a Saturday, 20 July 1969 a Sunday (history books).
        assert_eq!(weekday(date("2000-01-01")), 5);
        assert_eq!(weekday(date("1969-07-20")), 6);
        assert_eq!(show(date("2027-04-12")), "Mon 12 Apr 2027");
    }

    #[test]
    fn leap_years_of_the_gregorian_rule() {
        // A century year leaps only when 400 divides it (Inter gravissimas, 1582).
        assert!(read_date("2000-02-29").is_ok());
        let error = read_date("2100-02-29").unwrap_err();
        assert_eq!(error.to_string(), "`2100-02-29` does not exist; February 2100 has 28 days");
        assert_eq!(day_of_year(date("2028-12-31")), 366);
        assert_eq!(day_of_year(date("2027-12-31")), 365);
    }

    #[test]
    fn days_and_months() {
        let first = date("2027-04-01");
        assert_eq!(days_between(first, date("2028-04-01")), 366);
        assert_eq!(days_between(first, date("2027-03-31")), -1);
        assert_eq!(date_of(first, -90), date("2027-01-01"));
        for day in [-400, -1, 0, 1, 59, 333, 10_000] {
            assert_eq!(days_between(first, date_of(first, day)), day);
        }
        assert_eq!(add_months(date("2027-01-31"), 1), date("2027-02-28"));
        assert_eq!(add_months(date("2027-01-31"), -2), date("2026-11-30"));
        assert_eq!(date_of(first, i64::MAX), Date::MAX);
    }

    #[test]
    fn dates_refused() {
        for text in [
            "",
            "2027",
            "27-04-01",
            "2027-4-1",
            "2027/04/01",
            "01-04-2027",
            "2027-04-01T00:00",
            "−2027-04-01",
        ] {
            assert!(read_date(text).unwrap_err().problem.ends_with("is no date"), "{text}");
        }
        assert!(read_date("2027-13-01").unwrap_err().problem.contains("no such month"));
        assert!(read_date("2027-00-01").unwrap_err().problem.contains("no such month"));
        assert!(read_date("2027-01-00").unwrap_err().problem.contains("does not exist"));
        assert!(read_date("2027-06-31").unwrap_err().help.contains("30 days"));
        assert!(read_date("1492-01-01").unwrap_err().problem.contains("too far"));
        assert!(read_date("9999-01-01").unwrap_err().problem.contains("too far"));
    }

    #[test]
    fn names() {
        assert_eq!(read_month("apr"), Ok(3));
        assert_eq!(read_month("April"), Ok(3));
        assert_eq!(read_month("Sept."), Ok(8));
        assert_eq!(read_weekday("thurs"), Ok(3));
        assert_eq!(read_weekday("SUN"), Ok(6));
        assert_eq!(read_month("jully").unwrap_err().help, "did you mean `july`?");
        assert_eq!(read_weekday("wensday").unwrap_err().help, "did you mean `wednesday`?");
        assert!(read_weekday("m").is_err());
        assert!(read_month("").is_err());
        assert!(read_weekday("monk").is_err());
    }
}
