//! Herd shares, gifts, sales, purchases, prices.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};

use crate::units::{Count, MilkAmount, MilkRate, Minutes, Part, Text as Q};

use super::{Entries, OneOrMany, Text, layered};

/// The members of a herd share: how many, their names, or each with a promise.
#[derive(Clone, Debug, PartialEq)]
pub enum Members {
    /// So many, all alike.
    Count(Text),
    /// By name, all alike.
    Names(Vec<Text>),
    /// By name, each with a promise of its own.
    Each(Entries<Q<MilkRate>>),
}

impl<'de> Deserialize<'de> for Members {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl<'de> Visitor<'de> for V {
            type Value = Members;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number of members, a list of names, or names with what each is promised")
            }
            fn visit_str<E: Error>(self, v: &str) -> Result<Members, E> {
                Ok(Members::Count(Text(v.to_owned())))
            }
            fn visit_i64<E: Error>(self, v: i64) -> Result<Members, E> {
                Ok(Members::Count(Text(v.to_string())))
            }
            fn visit_u64<E: Error>(self, v: u64) -> Result<Members, E> {
                Ok(Members::Count(Text(v.to_string())))
            }
            fn visit_f64<E: Error>(self, v: f64) -> Result<Members, E> {
                Ok(Members::Count(Text(v.to_string())))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Members, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(seq)).map(Members::Names)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Members, A::Error> {
                Entries::deserialize(MapAccessDeserializer::new(map)).map(Members::Each)
            }
        }
        d.deserialize_any(V)
    }
}

impl JsonSchema for Members {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Members".into()
    }
    fn json_schema(g: &mut SchemaGenerator) -> Schema {
        let count = g.subschema_for::<Text>();
        let names = g.subschema_for::<Vec<Text>>();
        let each = g.subschema_for::<Entries<Q<MilkRate>>>();
        json_schema!({ "anyOf": [count, names, each] })
    }
}

layered! {
/// A herd share: members who fetch whole milk that they were promised.
pub struct HerdShares {
    /// How many, `6`; or names, `[Ada, Ben]`; or names with promises of their
    /// own, `{Ada: 1 gal/week, Ben: half gal/week}`. Needed.
    pub members: Option<Members>,
    /// Promised to each member: `1 gal/week`.
    pub promise: Option<Q<MilkRate>>,
    /// Weekdays on which members come, `[wed, sat]`; or how many, `2 per week`. Needed.
    #[serde(rename = "pick-up days")]
    pub pick_up_days: Option<OneOrMany>,
    /// How a short pick-up is split: `in proportion` (default), `equal awards`,
    /// `equal losses`, `contested garment`, `family first`, `members first`, `in turns`.
    #[serde(rename = "when short")]
    pub when_short: Option<Text>,
    /// Members take whole jars of this size; the jars come back a week later.
    #[serde(rename = "whole jars")]
    pub whole_jars: Option<Text>,
    /// `the promise stands` (default) or `the promise rests` while no animal is in milk.
    #[serde(rename = "dry weeks")]
    pub dry_weeks: Option<Text>,
    /// Part of pick-ups to which a member does not come: `2 %`.
    #[serde(rename = "not fetched")]
    pub not_fetched: Option<Q<Part>>,
    /// What becomes of it: `goes back to the family` (default) or `is poured out`.
    #[serde(rename = "milk not fetched")]
    pub milk_not_fetched: Option<Text>,
    /// What each member pays: `30 $/month`.
    pub fee: Option<Text>,
    /// `is paid on` (default) or `rests` while no animal is in milk.
    #[serde(rename = "fee in the dry weeks")]
    pub fee_in_the_dry_weeks: Option<Text>,
    /// Chores of a pick-up day: `20 min`.
    pub takes: Option<Q<Minutes>>,
    /// First day.
    pub from: Option<Text>,
    /// Last day, inclusive.
    pub until: Option<Text>,
    /// Jars that are with the members on the first day: `12`. They come back on
    /// the pick-up days of the first week.
    #[serde(rename = "jars away")]
    pub jars_away: Option<Q<Count>>,
    /// What the members are owed from before the first day, all together; it is
    /// promised on top at the first pick-up: `2 gal`.
    pub owed: Option<Q<MilkAmount>>,
}
}

layered! {
/// Something given away or sold, of what is over.
pub struct Outgoing {
    /// The item or group, or several in the order in which they go. Needed.
    pub what: Option<OneOrMany>,
    /// At most so much a week: `2 gal/week`. Needed.
    #[serde(rename = "up to")]
    pub up_to: Option<Q<MilkRate>>,
    /// The price, of what is sold: `6 $/gal`.
    pub price: Option<Text>,
    /// Weekdays; default every day.
    pub days: Option<Vec<Text>>,
    /// What stays for the family beside what table and kitchen wait for: `1 gal`.
    #[serde(rename = "keep back")]
    pub keep_back: Option<Q<MilkAmount>>,
    /// First day.
    pub from: Option<Text>,
    /// Last day, inclusive.
    pub until: Option<Text>,
}
}

layered! {
/// Something bought when the own supply is short.
pub struct Bought {
    /// The price: `4 $/gal`.
    pub price: Option<Text>,
    /// At most so much a week.
    #[serde(rename = "up to")]
    pub up_to: Option<Q<MilkRate>>,
    /// Fat, where it is neither milk, cream, butter, cheese nor yogurt.
    pub fat: Option<Q<Part>>,
    /// Protein, likewise.
    pub protein: Option<Q<Part>>,
}
}

layered! {
/// Prices. What has none counts nothing.
pub struct Prices {
    /// What the food on the table would cost elsewhere: `{milk: 6 $/gal, butter: 7 $/lb}`.
    pub food: Option<Entries<Text>>,
    /// What milk and whey fed to animals save: `0.4 $/gal`.
    #[serde(rename = "fed to animals")]
    pub fed_to_animals: Option<Text>,
    /// Milk that is fetched: `8 $/gal`.
    #[serde(rename = "milk fetched")]
    pub milk_fetched: Option<Text>,
    /// Keep of one animal, every day: `4 $/day`.
    pub keep: Option<Text>,
    /// Feed of one animal beside that, on days in milk: `3 $/day`.
    pub feed: Option<Text>,
    /// Power for the cold: `0.5 $/day`, or `0.15 $/kWh` where the stores say what they use.
    pub power: Option<Text>,
    /// Ice, on days on which an animal is in milk: `1 $/day`.
    pub ice: Option<Text>,
    /// A new jar for a broken one: `3 $/jar`.
    pub jars: Option<Text>,
    /// A starter, each time one is bought: `6 $`.
    pub starter: Option<Text>,
    /// An hour of chores and kitchen: `10 $/h`.
    pub time: Option<Text>,
}
}
