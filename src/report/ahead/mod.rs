//! The coming weeks: in words, as tables, for a calendar, and as a sheet to
//! print.

mod files;
mod ics;
mod sheet;
mod things;
mod words;

pub use files::{csv, forecast, json};
pub use ics::calendar;
pub use sheet::sheet;

use jiff::civil::Date;

use super::amounts::Show;
use super::dates::Span;
use super::page::Page;
use crate::scenario::plan::{Container, ItemId, Plan, RecipePlan, fixed};
use crate::scenario::{Names, UnitSystem};
use crate::study::ahead::{Ahead, Milking, Range, Souring};
use things::Of;

/// All that the telling of the coming weeks speaks of.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// What was counted.
    pub ahead: &'a Ahead,
    /// The plan.
    pub plan: &'a Plan,
    /// Its names.
    pub names: &'a Names,
    /// Units to show.
    pub units: UnitSystem,
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
}

/// The coming weeks in words.
#[must_use]
pub fn page(told: &Told) -> Page {
    words::page(told)
}

impl Told<'_> {
    fn show(&self) -> Show {
        Show::new(self.units)
    }

    fn span(&self) -> Span {
        Span::new(&self.names.first_day, u32::try_from(self.plan.days.len()).unwrap_or(u32::MAX))
    }

    fn title(&self) -> &str {
        let title = self.names.title.trim();
        if title.is_empty() { self.file } else { title }
    }

    fn first(&self) -> u32 {
        self.ahead.days.first().map_or(0, |d| d.day)
    }

    fn date(&self, day: u32) -> Option<Date> {
        self.span().date(day as usize)
    }

    /// `Mon 30 Aug`.
    fn day(&self, day: u32) -> String {
        self.date(day).map_or_else(|| format!("day {day}"), short)
    }

    /// `Sun 29 Aug evening`.
    fn milking(&self, milking: Milking) -> String {
        let half = if milking.is_evening() { "evening" } else { "morning" };
        let first = crate::calendar::read_date(&self.names.first_day).ok();
        let day = i64::from(milking.day());
        let date =
            first.map(|f| crate::calendar::date_of(f, day)).map_or_else(|| format!("day {day}"), short);
        format!("{date} {half}")
    }

    /// `whole milk of Sun 29 Aug evening`, `skimmed milk of Sun 29 Aug`.
    fn soured(&self, s: &Souring) -> String {
        let item = self.item(s.item);
        if s.item != fixed::SKIMMED {
            return format!("{item} of {}", self.milking(s.milking));
        }
        let day = self.milking(s.milking);
        let day = day.rsplit_once(' ').map_or(day.as_str(), |(day, _)| day);
        let later = if self.is_pooled(s.milking.day()) { " and after" } else { "" };
        format!("{item} of {day}{later}")
    }

    /// Skimmed milk of a day may hold that of later days: what a recipe parts comes from
    /// any of them, and what was counted at the start is skimmed together.
    fn is_pooled(&self, day: i32) -> bool {
        let parts = |r: &RecipePlan| r.outputs.iter().any(|o| o.item == fixed::SKIMMED);
        let counted = self.plan.opening.lots.iter().filter(|l| l.item == fixed::WHOLE);
        let days: Vec<i32> = counted.map(|l| Milking::at(l.drawn).day()).collect();
        self.plan.recipes.iter().any(parts) || (days.contains(&day) && days.iter().any(|d| *d > day))
    }

    fn animal(&self, animal: usize) -> &str {
        self.names.animals.get(animal).map_or("she", String::as_str)
    }

    fn item(&self, item: ItemId) -> &str {
        self.names.items.get(item.at()).map_or("milk", String::as_str)
    }

    /// `2 gal`, `1.1 lb`: by volume what stands in jars or buckets.
    fn amount(&self, item: Option<ItemId>, kg: f64) -> String {
        match item.and_then(|i| self.plan.items.get(i.at())) {
            Some(i) if matches!(i.container, Container::Volume { .. }) => self.show().mass(kg),
            Some(i) => self.show().volume(kg / i.density),
            None => self.show().milk(kg),
        }
    }

    /// An amount in the family's unit, and that unit: as [`Self::amount`] tells it.
    fn in_family(&self, of: Of, value: f64) -> (f64, &'static str) {
        let show = self.show();
        match of {
            Of::Part => (value, "part"),
            Of::Mass => (show.mass_amount(value), show.mass_unit()),
            Of::Milk => (show.milk_amount(value), show.milk_unit()),
            Of::Item(item) => match self.plan.items.get(item.at()) {
                Some(i) if matches!(i.container, Container::Volume { .. }) => {
                    (show.mass_amount(value), show.mass_unit())
                }
                Some(i) => (show.litres_amount(value / i.density), show.milk_unit()),
                None => (show.milk_amount(value), show.milk_unit()),
            },
        }
    }

    /// `4.1 gal, 3.7 to 4.6`; a range without a spread is one amount.
    fn range(&self, r: Range) -> String {
        let number = |kg: f64| self.show().milk_number(kg);
        let (low, middle, high) = (number(r.low), number(r.middle), number(r.high));
        let unit = self.show().milk_unit();
        if low == high { format!("{middle} {unit}") } else { format!("{middle} {unit} ({low} to {high})") }
    }
}

/// `Mon 30 Aug`.
fn short(date: Date) -> String {
    let long = crate::calendar::show(date);
    long.rsplit_once(' ').map_or(long.clone(), |(day, _)| day.to_owned())
}

/// How sure something is: `in 8 of 10`.
fn sure(chance: f64) -> String {
    if chance >= 0.9995 {
        "every time".into()
    } else if chance > 0.95 {
        "in more than 9 of 10".into()
    } else if chance < 0.05 {
        "in fewer than 1 of 10".into()
    } else {
        format!("in {} of 10", (10.0 * chance).round().clamp(1.0, 9.0))
    }
}
