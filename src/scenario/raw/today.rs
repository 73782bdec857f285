//! How things stand on the first day: what is in store, and each animal.

use crate::units::{MilkAmount, Part, Text as Q};

use super::{Text, layered};

layered! {
/// Something that stands in the house in the night before the first day.
pub struct Standing {
    /// The item: `whole milk`, `butter`, `hard cheese`. Needed.
    pub what: Option<Text>,
    /// How much: `1.5 gal`, `3 lb`. Full jars may be counted instead.
    #[serde(rename = "how much")]
    pub how_much: Option<Q<MilkAmount>>,
    /// In so many jars: `3 half gallon`.
    pub jars: Option<Text>,
    /// When it was milked or made: a date, of milk perhaps with `morning` or
    /// `evening`. Needed.
    pub dated: Option<Text>,
    /// The store where it stands; else where such things stand first.
    #[serde(rename = "in")]
    pub place: Option<Text>,
    /// First day on which it may be eaten, of what ages; else the recipe says it.
    pub ready: Option<Text>,
    /// Last day on which it is good there, where that is known.
    #[serde(rename = "good until")]
    pub good_until: Option<Text>,
    /// Its fat, where that is known: `4.2 %`.
    pub fat: Option<Q<Part>>,
    /// Its protein, where that is known.
    pub protein: Option<Q<Part>>,
    /// The animal that gave it, by name, where there are several kinds.
    pub of: Option<Text>,
}
}

layered! {
/// How a milked animal stands in the night before the first day, beyond what
/// her dates say.
pub struct Now {
    /// Date of the latest service in this lactation.
    pub bred: Option<Text>,
    /// `known` (tested), `hoped` (default where she was bred) or `open`.
    #[serde(rename = "in calf")]
    pub in_calf: Option<Text>,
    /// Ill since this date: her milk is down.
    #[serde(rename = "ill since")]
    pub ill_since: Option<Text>,
    /// Last day on which her milk is kept from people, for illness or treatment.
    #[serde(rename = "kept back until")]
    pub kept_back_until: Option<Text>,
    /// First day on which she was no longer milked in this lactation.
    #[serde(rename = "dried off")]
    pub dried_off: Option<Text>,
    /// Her young: `full time`, `shut in overnight` or `gone`.
    pub calf: Option<Text>,
    /// Milked once a day for a while, until this day.
    #[serde(rename = "once a day until")]
    pub once_a_day_until: Option<Text>,
    /// What she gives a day now, as a mean over a week or more without a calf on
    /// her: `3.1 gal`. Her curve then goes through it for this lactation.
    pub gives: Option<Q<MilkAmount>>,
    /// How sure that is: `4 %`; with `gives`, and without this, 5 %. Without `gives`
    /// it is how sure her own curve is for this lactation.
    #[serde(rename = "how sure")]
    pub how_sure: Option<Q<Part>>,
}
}
