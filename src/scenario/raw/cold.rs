//! How milk is chilled, and power outages.

use crate::units::{Duration, Mass, Temperature, Text as Q};

use super::{Text, layered};

layered! {
/// How a milking is chilled before and in the fridge; the short form is the way
/// alone.
pub struct Chilling {
    /// `fridge air` (default), `fan in the fridge`, `cold running water`, `ice bath`.
    pub way: Option<Text>,
    /// How long the jars stand in the water: `45 min` (default).
    #[serde(rename = "for")]
    pub for_: Option<Q<Duration>>,
    /// Temperature of the running water, or of the water that the ice goes into: `52 °F`.
    #[serde(rename = "water at")]
    pub water_at: Option<Q<Temperature>>,
    /// Ice put in: `10 lb a milking`; default as much as it takes.
    pub ice: Option<Text>,
    /// Ice that can be made: `12 lb a day`; default what half of the freezers' pace gives.
    #[serde(rename = "ice made")]
    pub ice_made: Option<Text>,
    /// Most ice that is kept: `20 lb`; default two days' making.
    #[serde(rename = "ice kept")]
    pub ice_kept: Option<Q<Mass>>,
}
}

layered! {
/// Power outages: `{a year: 2, last: 6 h}`.
pub struct Outages {
    /// How many a year, on average.
    #[serde(rename = "a year")]
    pub a_year: Option<Text>,
    /// How long one lasts on average; most are shorter and a few much longer: `6 h`.
    pub last: Option<Q<Duration>>,
    /// What stood too warm: `discard` (default, the public advice) or `keep`.
    pub then: Option<Text>,
}
}
