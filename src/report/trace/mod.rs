//! One trial day by day: in words, as CSV, as JSON.

mod day;
mod files;
mod words;

pub use files::{csv, json};

use std::ops::RangeInclusive;

use super::Facts;
use super::amounts::{Show, counted, days, number, percent};
use super::dates::Span;
use super::page::{Block, Page};
use crate::scenario::plan::{Container, ItemId, Plan};
use crate::scenario::{Names, UnitSystem};
use crate::sim::outcome::{Blocked, Fate};
use crate::sim::watch::Moment;
use crate::study::measures::MeasureKey;
use crate::study::trace::{Choice, Event, Lack, Trace, What, is_worse_high};

/// All that the telling of a trial speaks of.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// The trial.
    pub trace: &'a Trace,
    /// The plan it ran on.
    pub plan: &'a Plan,
    /// Its names.
    pub names: &'a Names,
    /// What the family owns.
    pub facts: &'a Facts,
    /// Units to show.
    pub units: UnitSystem,
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
    /// Simulated days to tell, from 0, inclusive.
    pub days: RangeInclusive<u32>,
}

impl Told<'_> {
    fn show(&self) -> Show {
        Show::new(self.units)
    }

    fn span(&self) -> Span {
        Span::new(&self.names.first_day, u32::try_from(self.plan.days.len()).unwrap_or(u32::MAX))
    }

    /// Events of the days to tell.
    fn events(&self) -> impl Iterator<Item = &Event> {
        self.trace.events.iter().filter(|e| self.days.contains(&e.day))
    }

    fn item(&self, item: ItemId) -> &str {
        self.names.items.get(item.at()).map_or("milk", String::as_str)
    }

    /// `2 gal`, `1.1 lb`: by volume what stands in jars or buckets.
    fn amount(&self, item: Option<ItemId>, kg: f64) -> String {
        let house = &self.plan.household;
        let milk = item.is_some() && (item == house.put_up_milk || item == house.frozen_milk);
        match item.and_then(|i| self.plan.items.get(i.at())) {
            Some(i) if !milk && matches!(i.container, Container::Volume { .. }) => self.show().mass(kg),
            Some(i) => self.show().volume(kg / i.density),
            None => self.show().milk(kg),
        }
    }

    /// `2 gal of whole milk`.
    fn amount_of(&self, item: ItemId, kg: f64) -> String {
        format!("{} of {}", self.amount(Some(item), kg), self.item(item))
    }

    /// `calf`, `kids`, `lambs`.
    fn young(&self, animal: usize) -> &'static str {
        self.plan.animals.get(animal).map_or("young", |a| a.species.young())
    }

    /// `drinking milk`, `butter`.
    fn want(&self, want: usize) -> &str {
        match want.checked_sub(1) {
            None => "drinking milk",
            Some(w) => self.names.wishes.get(w).map_or("a wish", String::as_str),
        }
    }

    /// An amount of a want.
    fn want_amount(&self, want: usize, kg: f64) -> String {
        self.amount(self.want_item(want), kg)
    }

    /// What serves a want first; drinking milk is any milk.
    fn want_item(&self, want: usize) -> Option<ItemId> {
        let wish = want.checked_sub(1).and_then(|w| self.plan.household.wishes.get(w));
        wish.and_then(|w| w.items.first().copied())
    }

    /// `0.95 of 1.9 qt`: so much of what was wanted, in one unit.
    fn want_part(&self, want: usize, kg: f64, wanted: f64) -> String {
        super::amounts::part_of(&self.want_amount(want, wanted), kg / wanted.max(f64::MIN_POSITIVE))
    }
}

/// Key of a moment in files.
fn moment_key(moment: Moment) -> &'static str {
    match moment {
        Moment::Dawn => "dawn",
        Moment::Passed => "time_passed",
        Moment::Milked { evening: false } => "morning_milking",
        Moment::Milked { evening: true } => "evening_milking",
        Moment::Room => "putting_away",
        Moment::Young => "young_fed",
        Moment::Rule(_) => "kitchen",
        Moment::Fetched => "fetching",
        Moment::PickUps => "pick_ups",
        Moment::Spare => "sold_and_given",
        Moment::Drunk | Moment::Wish(_) => "meals",
        Moment::Round => "evening_round",
        Moment::Washed => "washing_up",
        Moment::Tomorrow => "for_tomorrow",
        Moment::Over => "night",
    }
}

/// A value of a measure in words.
fn value_words(key: MeasureKey, value: f64, show: Show) -> String {
    match key.unit() {
        "1" => percent(value),
        "kg" => show.mass(value),
        "days" => days(value),
        "L" => show.room(value),
        "jars" => counted(value, "jar", "jars"),
        "weeks" => counted(value, "week", "weeks"),
        "times" => counted(value, "time", "times"),
        "day" => format!("day {}", number(value + 1.0)),
        "min/day" => format!("{} a day", super::amounts::minutes(value)),
        "h" => format!("{} h", number(value)),
        unit => format!("{} {unit}", number(value)),
    }
}

/// The trial in words.
#[must_use]
pub fn page(told: &Told) -> Page {
    words::page(told)
}

/// Why a rule did not work, in words that fit after "because".
fn why(told: &Told, rule: usize, reason: Blocked, lack: Lack) -> &'static str {
    use crate::scenario::plan::Action;
    let action = told.plan.rules.get(rule).map(|r| &r.action);
    match (reason, action) {
        (Blocked::Day, _) => "not its weekday",
        (Blocked::Phase, Some(Action::Feed { .. })) => "not its season, or no animal there that takes it",
        (Blocked::Phase, Some(_)) => "not its season or time",
        (Blocked::Phase, None) => "nothing to change",
        (Blocked::Stock, _) if lack == Lack::TooHigh => "enough in store",
        (Blocked::Stock, Some(Action::Skim { .. })) if lack == Lack::Nothing => "nothing to skim",
        (Blocked::Stock, _) => "too little in store",
        (Blocked::Age, _) if lack == Lack::TooLow => "nothing old enough",
        (Blocked::Age, _) if lack == Lack::TooHigh => "too old",
        (Blocked::Age, Some(Action::Skim { .. })) => "nothing has rested long enough",
        (Blocked::Age, _) => "nothing of the right age",
        (Blocked::Fullness, _) => "the store is not so full",
        (Blocked::Limit, Some(Action::Feed { .. })) => "the animals have had their fill, or its own limit",
        (Blocked::Limit, _) => "its own limit is reached",
        (Blocked::Minutes, _) => "no kitchen time left",
        (Blocked::NobodyHome, _) => "nobody at home for long enough",
        (Blocked::Equipment, _) => "its pot or press is in use",
        (Blocked::JarsOrRoom, _) => "no clean jar or no room",
    }
}
