//! Rules, the full cold room, animals that are fed, risks, aims, hours.

use crate::units::{Count, Duration, Frequency, Mass, MilkAmount, Minutes, Part, Text as Q};

use super::{Entries, Text, layered};

layered! {
/// Hours of the day: `6:00`.
pub struct Hours {
    /// Morning milking.
    #[serde(rename = "morning milking")]
    pub morning_milking: Option<Text>,
    /// Kitchen.
    pub kitchen: Option<Text>,
    /// Pick-ups and fetched milk; default an hour before the meals.
    #[serde(rename = "pick-ups")]
    pub pick_ups: Option<Text>,
    /// Meals.
    pub meals: Option<Text>,
    /// Evening milking.
    #[serde(rename = "evening milking")]
    pub evening_milking: Option<Text>,
}
}

layered! {
/// One rule of the routine: what it does, its settings, then its limits.
pub struct Rule {
    /// `skim`, `make`, `thaw`, `move`, `feed`, `pour out`, `hand out`, `buy`, `dry off`, `leave the calf on`,
    /// `shut the calf in`, `take the calf off`, `milk once a day` or `milk twice a day`.
    #[serde(rename = "do")]
    pub does: Option<Text>,
    /// The product to make, or the item to move, feed or pour out.
    pub what: Option<Text>,
    /// Skim: `a spoon` (default), or `separator`: this morning's milk, at once.
    pub with: Option<Text>,
    /// Skim with a separator: `this morning` (default) or `two milkings`: last evening's is warmed again.
    #[serde(rename = "milk of")]
    pub milk_of: Option<Text>,
    /// Skim: hours at rest: `48 h`.
    pub after: Option<Q<Duration>>,
    /// Skim: fat left in the milk: `3 % fat`.
    pub leave: Option<Text>,
    /// Skim: `top cream`, `light cream` or `the whole layer`.
    pub take: Option<Text>,
    /// Skim: `together` (default) or `apart`: cuts of different richness.
    pub cuts: Option<Text>,
    /// Skim: minutes a jar: `3 min`.
    #[serde(rename = "a jar takes")]
    pub a_jar_takes: Option<Q<Minutes>>,
    /// Make: batch wished: `4 gal`.
    pub batch: Option<Q<MilkAmount>>,
    /// Move: the store.
    pub to: Option<Text>,
    /// Thaw, move, feed, pour out: at most so much a time: `2 gal`.
    #[serde(rename = "how much")]
    pub how_much: Option<Q<MilkAmount>>,
    /// Dry off, calf, once a day: the animal; default the only one.
    pub who: Option<Text>,
    /// Calf, once a day: for how long: `3 days`.
    #[serde(rename = "for")]
    pub for_: Option<Q<Duration>>,
    /// Shut the calf in: `overnight`, `by day` or `but after milkings`; default as the calf says.
    pub apart: Option<Text>,
    /// Weekdays; default all.
    pub days: Option<Vec<Text>>,
    /// Conditions, all of which must hold.
    pub when: Option<When>,
    /// `2 per week` or `1 per day`.
    #[serde(rename = "at most")]
    pub at_most: Option<Text>,
    /// Not again before: `3 days`.
    pub every: Option<Q<Duration>>,
    /// Keep back so much of the main input: `2 gal`.
    #[serde(rename = "keep back")]
    pub keep_back: Option<Q<MilkAmount>>,
}
}

layered! {
/// Conditions of a rule.
pub struct When {
    /// Stock by item or group: `{cream: at least 1.5 qt or older than 5 days}`,
    /// `{milk: under 2 gal}`, `{whole milk: at least 4 jars}`, `{butter: under 30 days}`.
    pub have: Option<Entries<Text>>,
    /// Age of the oldest lot: `{cream: at least 5 days}`.
    pub oldest: Option<Entries<Text>>,
    /// Season: `apr to sep`, `15 apr to 10 sep`.
    pub season: Option<Text>,
    /// Dates: `2027-04-01 to 2027-06-30`.
    pub between: Option<Text>,
    /// Days since the latest freshening: `at least 10 days`.
    #[serde(rename = "since freshening")]
    pub since_freshening: Option<Text>,
    /// Days to the next dry-off: `under 30 days`.
    #[serde(rename = "to dry off")]
    pub to_dry_off: Option<Text>,
    /// `only`: only while no animal gives milk for people; `outside them`: only outside
    /// such weeks.
    #[serde(rename = "dry weeks")]
    pub dry_weeks: Option<Text>,
    /// Room in use by store: `{kitchen fridge: over 80 %}`.
    pub fullness: Option<Entries<Text>>,
    /// Kitchen time left: `at least 30 min`.
    #[serde(rename = "minutes left")]
    pub minutes_left: Option<Text>,
}
}

layered! {
/// The two lists for a full cold room.
pub struct WhenFull {
    /// `feed sour milk`, `feed oldest milk`, `pour out oldest milk`.
    pub tonight: Option<Vec<Text>>,
    /// `leave the calf on Clover for 3 days`, `milk Clover once a day for 7 days`.
    #[serde(rename = "from tomorrow")]
    pub from_tomorrow: Option<Vec<Text>>,
}
}

layered! {
/// Animals that are fed. A preset is the same struct, per head.
pub struct Outlet {
    /// A preset that fills what is not said here; default: the one of this name.
    pub like: Option<Text>,
    /// How many.
    pub heads: Option<Q<Count>>,
    /// From this day.
    pub from: Option<Text>,
    /// Until this day, inclusive.
    pub until: Option<Text>,
    /// What one head takes a day, by item or group, in order: `{whey: 9 L}`.
    pub takes: Option<Entries<Q<MilkAmount>>>,
    /// Most of everything together a head and day: `10 L`.
    pub most: Option<Q<MilkAmount>>,
    /// First day of its life, from which `by age` counts; default `from`.
    pub born: Option<Text>,
    /// Less than `most` while it is young: up to each age so much a head and
    /// day, `{2 days: 0.6 L, 6 weeks: 1 L}`.
    #[serde(rename = "by age")]
    pub by_age: Option<Entries<Q<MilkAmount>>>,
    /// Given every evening without being asked; default by-products, sour milk and soured cream.
    #[serde(rename = "by itself")]
    pub by_itself: Option<Vec<Text>>,
    /// `before the people` (young that live on it) or `after the people` (default).
    pub served: Option<Text>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// Cleanliness and mishaps. A cleanliness preset is the same struct.
pub struct Risks {
    /// `careless`, `ordinary` (default) or `careful`.
    pub cleanliness: Option<Text>,
    /// Mean sweet life at 4 °C: `8.5 days`.
    #[serde(rename = "stays sweet")]
    pub stays_sweet: Option<Q<Duration>>,
    /// Spread of that life: `25 %`.
    #[serde(rename = "give or take")]
    pub give_or_take: Option<Q<Part>>,
    /// Spells of contamination: `3 a year`.
    #[serde(rename = "foul spells")]
    pub foul_spells: Option<Q<Frequency>>,
    /// How long a spell lasts: `4 days`.
    #[serde(rename = "a spell lasts")]
    pub a_spell_lasts: Option<Q<Duration>>,
    /// Part of the milkings of a spell that are foul: `50 %`.
    #[serde(rename = "foul in a spell")]
    pub foul_in_a_spell: Option<Q<Part>>,
    /// Foul milk shows after such a part of its sweet life: `40 %`.
    #[serde(rename = "foul shows after")]
    pub foul_shows_after: Option<Q<Part>>,
    /// Chance of a kicked or dirty pail, a milking: `0.5 %`.
    #[serde(rename = "kicked pail")]
    pub kicked_pail: Option<Q<Part>>,
    /// How long the first weeks last: `6 weeks`.
    #[serde(rename = "first weeks")]
    pub first_weeks: Option<Q<Duration>>,
    /// Spells come so many times as often in them: `2`.
    #[serde(rename = "spells at first")]
    pub spells_at_first: Option<Text>,
    /// Kicked pail in them: `2 %`.
    #[serde(rename = "kicked pail at first")]
    pub kicked_pail_at_first: Option<Q<Part>>,
    /// Most sour milk kept for use: `2 gal`.
    #[serde(rename = "sour milk kept")]
    pub sour_milk_kept: Option<Q<MilkAmount>>,
    /// Part of a milking left in strainer and pail: `1 %`.
    pub strainer: Option<Q<Part>>,
    /// Milk left in a jar when it is emptied: `5 g`.
    #[serde(rename = "jar film")]
    pub jar_film: Option<Q<Mass>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// One aim: `{measure: waste, below: 3 %, in: 19 of 20 years}`.
pub struct Aim {
    /// `waste`, `milk on the table`, `drinking milk`, a wish by name, `dry weeks`,
    /// `days over full`, `minutes a day`, `busiest day`, `share promise`,
    /// `worst share week`.
    pub measure: Option<Text>,
    /// At most.
    pub below: Option<Text>,
    /// At least.
    #[serde(rename = "at least")]
    pub at_least: Option<Text>,
    /// In how many years: `19 of 20 years`.
    #[serde(rename = "in")]
    pub in_: Option<Text>,
}
}
