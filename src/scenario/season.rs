//! When the young of a breed with a breeding season come.

use jiff::civil::Date;

use super::raw;
use crate::calendar::{self, date_of, day_of_year};
use crate::units::{Duration, split_spread};

/// The part of the year in which the young come, first and last day of a leap year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct YoungCome {
    first: Date,
    last: Date,
}

impl YoungCome {
    /// Of an animal's breeding season and gestation; `None`: all the year, or not said.
    pub(super) fn of(a: &raw::Animal) -> Option<Self> {
        let carried = split_spread(a.gestation.as_ref()?.as_str()).0;
        let carried = crate::units::read::<Duration>(carried).ok()?.round() as i64;
        let (from, until) = a.breeding_season.as_ref()?.get().split_once(" to ")?;
        let side = |words, last| Some(date_of(day(words, last)?, carried));
        Some(Self { first: side(from, false)?, last: side(until, true)? })
    }

    /// From one day to another.
    fn days(from: Date, to: Date) -> i32 {
        // Both in the leap year, whatever their own is.
        let number = |d: Date| i32::from(day_of_year(Date::new(2028, d.month(), d.day()).unwrap_or(d)));
        (number(to) - number(from)).rem_euclid(366)
    }

    /// The young can come on a date.
    pub(super) fn holds(self, date: Date) -> bool {
        Self::days(self.first, date) <= Self::days(self.first, self.last)
    }

    /// The date itself, or the nearest on which the young can come and so many days
    /// before and after it too.
    pub(super) fn nearest(self, date: Date, margin: i64) -> Date {
        let inner = Self { first: date_of(self.first, margin), last: date_of(self.last, -margin) };
        if inner.holds(date) {
            return date;
        }
        let (on, back) = (Self::days(date, inner.first), Self::days(inner.last, date));
        date_of(date, i64::from(if on < back { on } else { -back }))
    }

    /// `12 Jan to 12 Aug`.
    pub(super) fn words(self) -> String {
        let day = |d: Date| d.strftime("%-d %b").to_string();
        format!("{} to {}", day(self.first), day(self.last))
    }
}

/// `15 aug`, or `aug`: its first or last day.
fn day(words: &str, last: bool) -> Option<Date> {
    let (number, month): (Vec<&str>, Vec<&str>) =
        words.split_whitespace().partition(|w| w.starts_with(|c: char| c.is_ascii_digit()));
    let month = i8::try_from(calendar::read_month(month.first()?).ok()?).ok()? + 1;
    let first = Date::new(2028, month, 1).ok()?;
    let day = match number.first() {
        Some(n) => n.parse().ok()?,
        None if last => first.days_in_month(),
        None => 1,
    };
    Date::new(2028, month, day).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::library::Library;
    use jiff::civil::date;

    fn of(breed: &str) -> Option<YoungCome> {
        YoungCome::of(Library::embedded().unwrap().breeds.get(breed).unwrap())
    }

    /// Bred from 15 August to 15 March (advice of Ontario for goat keepers, undated) and
    /// carried for 150 or 151 days (Mellado et al. 2000): counted on a calendar by hand.
    #[test]
    fn kids_come_from_january_to_august() {
        let nubian = of("nubian").unwrap();
        assert_eq!(nubian.words(), "13 Jan to 13 Aug");
        for (day, holds) in [
            (date(2027, 1, 12), false),
            (date(2027, 1, 13), true),
            (date(2027, 8, 13), true),
            (date(2027, 8, 14), false),
            (date(2026, 10, 12), false),
        ] {
            assert_eq!(nubian.holds(day), holds, "{day}");
        }
        assert_eq!(nubian.nearest(date(2026, 10, 12), 0), date(2026, 8, 13));
        assert_eq!(nubian.nearest(date(2026, 10, 12), 14), date(2026, 7, 30));
        assert_eq!(nubian.nearest(date(2026, 11, 12), 14), date(2027, 1, 27));
        assert_eq!(nubian.nearest(date(2027, 4, 12), 14), date(2027, 4, 12));
        // All the year.
        assert_eq!((of("nigerian dwarf"), of("jersey")), (None, None));
    }
}
