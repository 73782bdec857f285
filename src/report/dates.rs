//! The run's calendar as words: how long a run is, and parts of months.

use crate::calendar::MONTHS;
use jiff::{ToSpan, civil::Date};

/// The length of one simulated run, and what it is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    first: Option<Date>,
    days: u32,
    months: Option<u32>,
}

impl Span {
    /// From the first day (ISO) and the number of days.
    #[must_use]
    pub fn new(first_day: &str, days: u32) -> Self {
        let first: Option<Date> = first_day.parse().ok();
        let months = first.and_then(|first| {
            let end = first.checked_add(i64::from(days).days()).ok()?;
            // A day more or less (leap years, months of 31 days) is no other length.
            (1..=1200u32).find(|m| {
                let then = first.saturating_add(i64::from(*m).months());
                let off = (then - end).get_days();
                off.abs() <= 1
            })
        });
        Self { first, days, months }
    }

    /// A run is one year.
    #[must_use]
    pub fn is_year(&self) -> bool {
        self.months == Some(12)
    }

    /// `year` or `run`.
    #[must_use]
    pub fn one(&self) -> &'static str {
        if self.is_year() { "year" } else { "run" }
    }

    /// `years` or `runs`.
    #[must_use]
    pub fn many(&self) -> &'static str {
        if self.is_year() { "years" } else { "runs" }
    }

    /// `24 months`, `90 days`.
    #[must_use]
    pub fn length(&self) -> String {
        match self.months {
            Some(1) => "1 month".into(),
            Some(m) => format!("{m} months"),
            None if self.days == 1 => "1 day".into(),
            None => format!("{} days", self.days),
        }
    }

    /// Days simulated.
    #[must_use]
    pub fn days(&self) -> u32 {
        self.days
    }

    /// `1,000 simulated years`, `1,000 simulated runs of 24 months`.
    #[must_use]
    pub fn trials(&self, n: u32) -> String {
        let noun = if n == 1 { self.one() } else { self.many() };
        let n = super::amounts::count(n);
        if self.is_year() {
            format!("{n} simulated {noun}")
        } else {
            format!("{n} simulated {noun} of {}", self.length())
        }
    }

    /// The date of a simulated day.
    #[must_use]
    pub fn date(&self, day: usize) -> Option<Date> {
        let day = i64::try_from(day).ok()?;
        self.first?.checked_add(day.days()).ok()
    }

    /// ISO date of a simulated day, or its number where the first day is unknown.
    #[must_use]
    pub fn iso(&self, day: usize) -> String {
        self.date(day).map_or_else(|| day.to_string(), |d| d.to_string())
    }

    /// `12 December 2027`.
    #[must_use]
    pub fn day_words(&self, day: usize) -> String {
        self.date(day).map_or_else(
            || format!("day {}", day + 1),
            |d| format!("{} {} {}", d.day(), month(d.month()), d.year()),
        )
    }

    /// `the middle of May` (with the year where a run is longer than one).
    #[must_use]
    pub fn part_of_month(&self, day: usize) -> String {
        let Some(d) = self.date(day) else { return format!("day {}", day + 1) };
        let part = match d.day() {
            ..=10 => "the start of",
            11..=20 => "the middle of",
            _ => "the end of",
        };
        let year = if self.days > 366 { format!(" {}", d.year()) } else { String::new() };
        format!("{part} {}{year}", month(d.month()))
    }

    /// `from the middle of May to the end of July`, or `in the middle of May`.
    #[must_use]
    pub fn stretch(&self, from: usize, until: usize) -> String {
        let days = (until.saturating_sub(from) + 1) as f64;
        if days >= 0.9 * f64::from(self.days) {
            return format!("nearly all through the {}", self.one());
        }
        let (a, b) = (self.part_of_month(from), self.part_of_month(until));
        if a != b {
            format!("from {a} to {b}")
        } else if a.starts_with("the middle") {
            format!("in {a}")
        } else if a.starts_with("day") {
            format!("on {a}")
        } else {
            format!("at {a}")
        }
    }
}

fn month(m: i8) -> &'static str {
    usize::try_from(m - 1).ok().and_then(|i| MONTHS.get(i)).copied().unwrap_or("?")
}

/// Stretches of days on which `value` reaches `least`; gaps of up to two
/// weeks inside a stretch are bridged.
#[must_use]
pub fn stretches(values: impl Iterator<Item = f64>, least: f64) -> Vec<(usize, usize)> {
    const BRIDGE: usize = 14;
    let mut out: Vec<(usize, usize)> = Vec::new();
    for (day, v) in values.enumerate() {
        if v < least {
            continue;
        }
        match out.last_mut() {
            Some(last) if day - last.1 <= BRIDGE + 1 => last.1 = day,
            _ => out.push((day, day)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_is_a_year_and_longer_runs_say_so() {
        assert!(Span::new("2027-04-01", 366).is_year(), "2028 has a leap day");
        assert!(Span::new("2027-04-01", 365).is_year());
        assert!(!Span::new("2027-04-01", 364).is_year());
        assert!(Span::new("2026-04-01", 365).is_year());
        let two = Span::new("2027-04-01", 731);
        assert_eq!(two.trials(1000), "1,000 simulated runs of 24 months");
        assert_eq!(Span::new("2026-04-01", 365).trials(1), "1 simulated year");
        assert_eq!(Span::new("2026-04-01", 100).length(), "100 days");
        assert_eq!(Span::new("nonsense", 1).length(), "1 day");
    }

    #[test]
    fn parts_of_months() {
        let year = Span::new("2026-04-01", 365);
        assert_eq!(year.part_of_month(0), "the start of April");
        assert_eq!(year.part_of_month(44), "the middle of May");
        assert_eq!(year.stretch(44, 121), "from the middle of May to the end of July");
        assert_eq!(year.stretch(44, 46), "in the middle of May");
        assert_eq!(year.stretch(3, 360), "nearly all through the year");
        assert_eq!(year.stretch(0, 2), "at the start of April");
        assert_eq!(Span::new("2026-04-01", 730).part_of_month(365), "the start of April 2027");
        assert_eq!(year.day_words(0), "1 April 2026");
    }

    #[test]
    fn stretches_bridge_two_weeks() {
        let mut v = [0.0; 40];
        for d in [3, 4, 11, 30] {
            v[d] = 1.0;
        }
        assert_eq!(stretches(v.into_iter(), 0.5), vec![(3, 11), (30, 30)]);
        assert!(stretches([0.0; 5].into_iter(), 0.5).is_empty());
    }
}
