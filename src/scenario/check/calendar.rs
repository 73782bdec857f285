//! The calendar: first day, length, hours, spans of days.

use jiff::civil::Date;

use super::{
    super::{
        plan::{DayInfo, Hours},
        raw::{Scenario, Span, Text},
    },
    context::{Ctx, entry, under},
};
use crate::{
    calendar::{self, LONGEST_RUN_DAYS},
    units::{Duration, split_spread},
};

/// The simulated days.
#[derive(Clone, Copy, Debug)]
pub(in crate::scenario) struct Run {
    /// First day.
    pub first: Date,
    /// How many days.
    pub days: u32,
}

impl Run {
    /// Days after day 0; negative before.
    pub(in crate::scenario) fn day_of(self, date: Date) -> f64 {
        calendar::days_between(self.first, date) as f64
    }

    /// The date of a day (rounded down).
    pub(in crate::scenario) fn date_of(self, day: f64) -> Date {
        calendar::date_of(self.first, day.floor() as i64)
    }

    /// The last simulated day.
    pub(in crate::scenario) fn last(self) -> Date {
        self.date_of(f64::from(self.days) - 1.0)
    }

    /// A date as a day of the run, kept within it.
    pub(in crate::scenario) fn clamped(self, date: Date) -> u32 {
        self.day_of(date).clamp(0.0, f64::from(self.days)) as u32
    }
}

/// Reads `starts` and `lasts`; a stand-in where they are wrong.
pub(super) fn run(c: &mut Ctx, raw: &Scenario) -> Run {
    let first = match &raw.starts {
        Some(t) => c.date("starts", t.get()),
        None => {
            c.missing("", &["starts"], "`starts`", "write the first day, such as `starts: 2027-04-01`");
            None
        }
    };
    let first = first.unwrap_or_else(|| jiff::civil::date(2027, 1, 1));
    let days = match &raw.lasts {
        Some(t) => length(c, first, t.get()),
        None => {
            c.missing("", &["lasts"], "`lasts`", "write how long, such as `lasts: 24 months`");
            None
        }
    };
    Run { first, days: days.unwrap_or(365) }
}

/// Months and years go by the calendar, so that 24 months end on the same day.
fn length(c: &mut Ctx, first: Date, text: &str) -> Option<u32> {
    let days = match whole_months(text) {
        Some(months) => calendar::days_between(first, calendar::add_months(first, months)) as f64,
        None => c.words::<Duration>("lasts", text)?.round(),
    };
    if days < 1.0 || days > LONGEST_RUN_DAYS as f64 {
        c.error(
            "lasts",
            format!("`{text}` cannot be simulated"),
            format!("write a time from 1 day to {LONGEST_RUN_DAYS} days (30 years)"),
        );
        return None;
    }
    Some(days as u32)
}

/// `24 months` or `2 years` as whole months.
pub(super) fn whole_months(text: &str) -> Option<i32> {
    let (number, unit) = text.trim().split_once(' ')?;
    let n: i32 = number.parse().ok()?;
    match unit.trim() {
        "month" | "months" => Some(n),
        "year" | "years" => n.checked_mul(12),
        _ => None,
    }
}

/// The hours of the day.
pub(super) fn hours(c: &mut Ctx, raw: &Scenario) -> Hours {
    let own = raw.hours.clone().unwrap_or_default();
    let mut read = |key: &str, text: &Option<Text>, usual: f64| {
        let at = under("hours", key);
        let Some(text) = text else { return usual };
        let hour = clock(text.get());
        if hour.is_none() {
            c.error(&at, format!("`{}` is no hour of the day", text.get()), "write it as `6:30`");
        }
        hour.unwrap_or(usual)
    };
    let meals = read("meals", &own.meals, 12.0);
    let kitchen = read("kitchen", &own.kitchen, 9.0);
    let hours = Hours {
        morning: read("morning milking", &own.morning_milking, 6.0),
        kitchen,
        pick_ups: read("pick-ups", &own.pick_ups, (meals - 1.0).max(kitchen)),
        meals,
        evening: read("evening milking", &own.evening_milking, 18.0),
    };
    let order = [hours.morning, hours.kitchen, hours.meals, hours.evening];
    let between = (hours.kitchen..=hours.meals).contains(&hours.pick_ups);
    if order.windows(2).all(|w| w[0] < w[1]) && !between {
        c.error("hours.pick-ups", "the pick-ups are out of order", "they lie between kitchen and meals");
    }
    if !order.windows(2).all(|w| w[0] < w[1]) {
        c.error(
            "hours",
            "the hours of the day are out of order",
            "morning milking, kitchen, meals and evening milking follow each other",
        );
    }
    hours
}

fn clock(text: &str) -> Option<f64> {
    let (h, m) = text.split_once(':')?;
    let (h, m): (u32, u32) = (h.parse().ok()?, m.parse().ok()?);
    (h < 24 && m < 60).then(|| f64::from(h) + f64::from(m) / 60.0)
}

/// What is known of each day. `away` is filled in from the spans.
pub(super) fn days(c: &mut Ctx, run: Run, away: &[Span]) -> Vec<DayInfo> {
    let mut days: Vec<DayInfo> = (0..run.days)
        .map(|d| {
            let date = run.date_of(f64::from(d));
            DayInfo {
                weekday: calendar::weekday(date),
                month: calendar::month(date),
                day_of_year: day_of_season(date),
                away: false,
            }
        })
        .collect();
    for (i, s) in away.iter().enumerate() {
        let at = entry("household.away", i);
        if let Some((from, until)) = span(c, run, &at, &s.from, &s.until) {
            for day in days.iter_mut().take(until as usize + 1).skip(from as usize) {
                day.away = true;
            }
        }
    }
    days
}

/// The number of a date in a leap year, so that a season begins and ends on the
/// same date in every year.
pub(super) fn day_of_season(date: Date) -> u16 {
    let leap = date.with().year(2028).build().unwrap_or(date);
    calendar::day_of_year(leap)
}

/// A span of days, inclusive, kept within the run; `None` when it is wrong or
/// lies outside (which is said).
pub(super) fn span(
    c: &mut Ctx,
    run: Run,
    at: &str,
    from: &Option<Text>,
    until: &Option<Text>,
) -> Option<(u32, u32)> {
    let read = |c: &mut Ctx, key: &str, text: &Option<Text>, usual: Date| match text {
        Some(t) => c.date(&under(at, key), t.get()),
        None => Some(usual),
    };
    let first = read(c, "from", from, run.first);
    let last = read(c, "until", until, run.last());
    let (first, last) = (first?, last?);
    if last < first {
        let key = if until.is_some() { "until" } else { "from" };
        c.error(
            &under(at, key),
            format!("this ends on {} before it begins on {}", calendar::show(last), calendar::show(first)),
            "put the earlier date first",
        );
        return None;
    }
    if last < run.first || first > run.last() {
        let key = if last < run.first && until.is_some() { "until" } else { "from" };
        c.warn(
            &under(at, key),
            "these days lie outside the simulated time",
            format!("it runs from {} until {}", calendar::show(run.first), calendar::show(run.last())),
        );
        return None;
    }
    Some((run.clamped(first), run.clamped(last).min(run.days - 1)))
}

/// A date with its spread: `2027-04-12 give or take 6 days`.
pub(super) fn date_spread(c: &mut Ctx, at: &str, text: &str) -> Option<(Date, f64)> {
    let (date, spread) = split_spread(text);
    let date = c.date(at, date);
    let sd = match spread {
        Some(s) => c.words::<Duration>(at, s),
        None => Some(0.0),
    };
    Some((date?, sd?))
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    #[test]
    fn months_and_years_go_by_the_calendar() {
        assert_eq!(whole_months("24 months"), Some(24));
        assert_eq!(whole_months("2 years"), Some(24));
        assert_eq!(whole_months("1.5 years"), None);
        assert_eq!(whole_months("90 days"), None);
        assert_eq!(whole_months("2000000000 years"), None);
    }

    #[test]
    fn a_date_has_one_number_in_every_year() {
        for year in [2027, 2028, 2100] {
            assert_eq!(day_of_season(date(year, 1, 1)), 1);
            assert_eq!(day_of_season(date(year, 3, 1)), 61);
            assert_eq!(day_of_season(date(year, 12, 31)), 366);
        }
    }

    #[test]
    fn hours_of_the_day() {
        assert_eq!(clock("6:30"), Some(6.5));
        assert_eq!(clock("23:59").map(f64::floor), Some(23.0));
        for wrong in ["24:00", "6:60", "6", "six", "6:", ":30"] {
            assert_eq!(clock(wrong), None, "{wrong}");
        }
    }
}
