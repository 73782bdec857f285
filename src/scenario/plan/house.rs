//! Who takes it: people, wishes, animals that are fed, aims.

use super::{ItemId, ItemMask, Spread, WeekdayMask};

/// People, wishes, kitchen time.
#[derive(Clone, Debug)]
pub struct HouseholdPlan {
    /// One entry a person, guests included.
    pub people: Vec<PersonPlan>,
    /// Wishes beside drinking milk.
    pub wishes: Vec<WishPlan>,
    /// Items drunk as milk, in the order in which the table takes them after
    /// the open jar (skimmed before whole; frozen milk, thawed, last).
    pub drinks: Vec<ItemId>,
    /// The table takes the newest jar of what it eats and drinks, not the oldest.
    pub newest_first: bool,
    /// Frozen milk, if some recipe makes it.
    pub frozen_milk: Option<ItemId>,
    /// Frozen milk as it lies in the freezer, if some recipe makes it: the same,
    /// unless a rule thaws it.
    pub put_up_milk: Option<ItemId>,
    /// Part of a day's drinking that may be thawed milk.
    pub thawed_part: f64,
    /// Kitchen minutes by month and weekday.
    pub kitchen_minutes: [[f64; 7]; 12],
    /// Days of drinking kept back before any rule may take milk.
    pub kept_back_days: f64,
    /// From this day on the want of drinking milk counts, milk or no milk; before
    /// it only from the first milk on.
    pub drink_from_day: u32,
    /// Chore minutes per milking beside the milking itself (strain, jar, wash).
    pub chore_minutes: f64,
    /// Minutes to label, shelve and wash one jar.
    pub jar_minutes: f64,
    /// Minutes to feed the animals that are fed, a day.
    pub feeding_minutes: f64,
}

/// How one person drinks.
#[derive(Clone, Debug)]
pub struct PersonPlan {
    /// Drinks on such a part of days.
    pub chance: f64,
    /// Mean amount on a drinking day, kg.
    pub mean_kg: f64,
    /// The amount of a drinking day over `mean_kg`: gamma of mean 1.
    pub spread: Spread,
    /// Weekdays on which the person drinks at home.
    pub weekdays: WeekdayMask,
    /// Present on day d; empty = always.
    pub present: Vec<bool>,
}

/// A wish for an item, or for any of a group of items, eaten at the table.
#[derive(Clone, Debug)]
pub struct WishPlan {
    /// Items that serve it, in the order in which they are taken.
    pub items: Vec<ItemId>,
    /// At least, kg a week.
    pub at_least_kg: f64,
    /// Gladly up to, kg a week (≥ `at_least_kg`).
    pub gladly_kg: f64,
    /// Log standard deviation from week to week (arithmetic mean 1).
    pub week_log_sd: f64,
    /// Factor by month (seasons of ice cream, butter, …).
    pub month_factor: [f64; 12],
    /// Days before which the wish does not count.
    pub from_day: u32,
    /// Gladly is eaten only while the stock exceeds so many days of `at_least`.
    pub gladly_from_days: f64,
    /// Nothing makes it: it is bought, and counts as bought alone.
    pub bought_only: bool,
}

/// An animal (or pile) that is fed.
#[derive(Clone, Debug)]
pub struct OutletPlan {
    /// First day.
    pub from_day: u32,
    /// Last day, inclusive.
    pub until_day: u32,
    /// What it takes and how much a day, kg in all heads, in order.
    /// Entries that share a cap (see `cap_of`) hold the same amount, which is
    /// that of all of them together.
    pub takes: Vec<(ItemId, f64)>,
    /// Which cap each entry of `takes` falls under, one for one: entries of one
    /// number share their amount (`milk: 2 L` is 2 L of skimmed and whole milk
    /// together). Numbers count from 0 without a gap.
    pub cap_of: Vec<usize>,
    /// Most of everything together a day, kg.
    pub most_kg: f64,
    /// Less than that while they are young: until so many days after day 0,
    /// exclusive and ascending, so much, kg.
    pub young_kg: Vec<(i32, f64)>,
    /// What is given without being asked every evening (by-products, sour
    /// milk); anything else only by a rule or the list for a full fridge.
    pub by_itself: ItemMask,
    /// Young that live on it: served in the morning, before the people.
    pub first: bool,
}

impl OutletPlan {
    /// Most of everything together on a day on which they are here, kg.
    #[must_use]
    pub fn most_on(&self, day: u32) -> f64 {
        let young = self.young_kg.iter().find(|(until, _)| i64::from(day) < i64::from(*until));
        young.map_or(self.most_kg, |(_, kg)| kg.min(self.most_kg))
    }
}

/// One aim.
#[derive(Clone, Copy, Debug)]
pub struct AimPlan {
    /// The measure.
    pub measure: AimMeasure,
    /// Its bound.
    pub bound: Bound,
    /// In such a part of simulated years.
    pub in_part: f64,
}

/// A bound on a measure, in the measure's own SI unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// At most.
    AtMost(f64),
    /// At least.
    AtLeast(f64),
}

/// What an aim may speak of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AimMeasure {
    /// Part of the milk fit for people that was wasted.
    WastedPart,
    /// Part of days with drinking milk for all (short days counted against it).
    MilkDays,
    /// Part of the drinking milk wanted that was served.
    MilkFill,
    /// Part of a wish that was served.
    WishFill(u16),
    /// Part of the dry-week wants of drinking milk that was served.
    DryFill,
    /// Days on which the cold room was over-full.
    DaysOverFull,
    /// Minutes a day, mean, chores and kitchen together.
    HandsMean,
    /// Busiest day, minutes.
    HandsBusiest,
    /// Part of the promise to the members that was kept.
    ShareFill,
    /// The worst week of the worst member: part of the promise kept.
    ShareWorstWeek,
}
