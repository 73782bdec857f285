//! People, wishes, kitchen time.

use crate::units::{Count, Duration, MilkAmount, MilkRate, Minutes, Part, Text as Q};

use super::{Entries, Text, TextOr, layered};

layered! {
/// The household.
pub struct Household {
    /// People by kind: `{man 31 to 50: 1, child 4 to 8: 2}`.
    pub people: Option<Entries<Q<Count>>>,
    /// `shop norm`, `milk household` (default) or `heavy`.
    #[serde(rename = "drinks like")]
    pub drinks_like: Option<Text>,
    /// People with own numbers, beside `people`.
    pub drinkers: Option<Vec<Drinker>>,
    /// Guests.
    pub guests: Option<Vec<Guests>>,
    /// When the whole family is away.
    pub away: Option<Vec<Span>>,
    /// Wishes: `butter: 2 lb/week`, or the long form.
    pub wants: Option<Entries<TextOr<Want>>>,
    /// Kitchen time.
    #[serde(rename = "kitchen time")]
    pub kitchen_time: Option<KitchenTime>,
    /// Drinking milk kept before any rule may take milk: `1 day`.
    #[serde(rename = "keep back")]
    pub keep_back: Option<Q<Duration>>,
    /// What is drunk as milk, in the order in which it is poured: `skimmed milk`
    /// before `whole milk` (default), or one of them.
    #[serde(rename = "milk on the table")]
    pub milk_on_the_table: Option<Vec<Text>>,
    /// Which jar the table reaches for: `oldest first` (default) or `newest first`.
    #[serde(rename = "jars taken")]
    pub jars_taken: Option<Text>,
    /// Daily chores.
    pub chores: Option<Chores>,
    /// Part of a day's drinking that may be thawed milk.
    #[serde(rename = "thawed milk")]
    pub thawed_milk: Option<Q<Part>>,
}
}

layered! {
/// Somebody with own numbers.
pub struct Drinker {
    /// Name. Needed.
    pub name: Option<Text>,
    /// How much on a day on which they drink: `12 fl oz`. Needed.
    #[serde(rename = "how much")]
    pub how_much: Option<Q<MilkAmount>>,
    /// On which part of days: `90 %`.
    #[serde(rename = "part of days")]
    pub part_of_days: Option<Q<Part>>,
    /// How much it varies on such days: `35 %`.
    #[serde(rename = "give or take")]
    pub give_or_take: Option<Q<Part>>,
    /// Weekdays; default all.
    pub days: Option<Vec<Text>>,
}
}

layered! {
/// A kind of person (preset).
pub struct Kind {
    /// Mean over all days at today's shop norm: `0.14 L`.
    #[serde(rename = "shop norm")]
    pub shop_norm: Option<Q<MilkAmount>>,
    /// Mean over all days in a household that keeps milk: `0.30 L`.
    #[serde(rename = "milk household")]
    pub milk_household: Option<Q<MilkAmount>>,
    /// Mean over all days of a heavy drinker: `0.49 L`.
    pub heavy: Option<Q<MilkAmount>>,
    /// On which part of days: `90 %`.
    #[serde(rename = "part of days")]
    pub part_of_days: Option<Q<Part>>,
    /// How much it varies on such days: `45 %`.
    #[serde(rename = "give or take")]
    pub give_or_take: Option<Q<Part>>,
    /// A caution this kind of person calls for: `under one`, `under five`, `over 65`, `pregnant`.
    pub caution: Option<Text>,
    /// Where each figure comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// Guests, from one day until another (inclusive).
pub struct Guests {
    /// People by kind.
    pub people: Option<Entries<Q<Count>>>,
    /// First day.
    pub from: Option<Text>,
    /// Last day.
    pub until: Option<Text>,
}
}

layered! {
/// A span of days, both inclusive.
pub struct Span {
    /// First day.
    pub from: Option<Text>,
    /// Last day.
    pub until: Option<Text>,
}
}

layered! {
/// A wish in its long form.
pub struct Want {
    /// At least: `1 lb/week`.
    #[serde(rename = "at least")]
    pub at_least: Option<Q<MilkRate>>,
    /// Gladly up to: `1.5 lb/week`.
    #[serde(rename = "gladly up to")]
    pub gladly_up_to: Option<Q<MilkRate>>,
    /// More than the least is eaten only while the stock lasts so long: `14 days`.
    #[serde(rename = "gladly while")]
    pub gladly_while: Option<Q<Duration>>,
    /// Counts from this day on.
    pub from: Option<Text>,
    /// Spread from week to week: `20 %`.
    pub varies: Option<Q<Part>>,
    /// Season, by month: `{nov: 120 %, dec: 120 %}`.
    #[serde(rename = "by month")]
    pub by_month: Option<Entries<Text>>,
}
}

layered! {
/// Kitchen time by weekday: `{weekdays: 45 min, sat: 4 h, sun: none}`.
pub struct KitchenTime {
    /// Every day not named below.
    #[serde(rename = "every day")]
    pub every_day: Option<Q<Minutes>>,
    /// Monday to Friday.
    pub weekdays: Option<Q<Minutes>>,
    /// Saturday and Sunday.
    pub weekend: Option<Q<Minutes>>,
    /// Monday.
    pub mon: Option<Q<Minutes>>,
    /// Tuesday.
    pub tue: Option<Q<Minutes>>,
    /// Wednesday.
    pub wed: Option<Q<Minutes>>,
    /// Thursday.
    pub thu: Option<Q<Minutes>>,
    /// Friday.
    pub fri: Option<Q<Minutes>>,
    /// Saturday.
    pub sat: Option<Q<Minutes>>,
    /// Sunday.
    pub sun: Option<Q<Minutes>>,
    /// Months that differ: `{jul: 20 min}` a day, or by weekday.
    #[serde(rename = "by month")]
    pub by_month: Option<Entries<TextOr<DayTimes>>>,
}
}

layered! {
/// Kitchen time of one month.
pub struct DayTimes {
    /// Every day not named below.
    #[serde(rename = "every day")]
    pub every_day: Option<Q<Minutes>>,
    /// Monday to Friday.
    pub weekdays: Option<Q<Minutes>>,
    /// Saturday and Sunday.
    pub weekend: Option<Q<Minutes>>,
    /// Monday.
    pub mon: Option<Q<Minutes>>,
    /// Tuesday.
    pub tue: Option<Q<Minutes>>,
    /// Wednesday.
    pub wed: Option<Q<Minutes>>,
    /// Thursday.
    pub thu: Option<Q<Minutes>>,
    /// Friday.
    pub fri: Option<Q<Minutes>>,
    /// Saturday.
    pub sat: Option<Q<Minutes>>,
    /// Sunday.
    pub sun: Option<Q<Minutes>>,
}
}

layered! {
/// Minutes of the daily chores.
pub struct Chores {
    /// Strain, jar, wash, beside the milking itself: `25 min`.
    #[serde(rename = "a milking")]
    pub a_milking: Option<Q<Minutes>>,
    /// Label, shelve and wash one jar: `2 min`.
    #[serde(rename = "a jar")]
    pub a_jar: Option<Q<Minutes>>,
    /// Feed the animals that are fed, a day: `10 min`.
    pub feeding: Option<Q<Minutes>>,
}
}
