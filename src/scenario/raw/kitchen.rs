//! Recipes and products.

use crate::units::{Duration, Mass, MilkAmount, Minutes, Part, Text as Q, Volume};

use super::{Entries, OneOrMany, Text, layered};

layered! {
/// A recipe. A preset is the same struct.
pub struct Recipe {
    /// What goes in; the first is the main one, and batch sizes speak of it.
    pub inputs: Option<Vec<Ingredient>>,
    /// Smallest batch of the main input: `1 qt`.
    pub least: Option<Q<MilkAmount>>,
    /// Largest batch of the main input: `2 gal`.
    pub most: Option<Q<MilkAmount>>,
    /// Hands-on time a batch: `30 min`.
    pub takes: Option<Q<Minutes>>,
    /// Hands-on time more for each litre of the main input: `2 min`.
    #[serde(rename = "takes per litre")]
    pub takes_per_litre: Option<Q<Minutes>>,
    /// Until it may be eaten or goes to ageing: `8 h`.
    #[serde(rename = "ready after")]
    pub ready_after: Option<Q<Duration>>,
    /// Ageing after that: `60 days`.
    pub ages: Option<Q<Duration>>,
    /// Weight lost as water over the whole ageing: `8 %`.
    #[serde(rename = "ageing loses")]
    pub ageing_loses: Option<Q<Part>>,
    /// Added matter that is no milk, by name, as a part of the main input's mass: `{salt: 2 %}`.
    pub added: Option<Entries<Q<Part>>>,
    /// Part of the mass driven off as steam: `2 %`.
    pub steam: Option<Q<Part>>,
    /// Part of everything that stays in pot and churn: `1 %`.
    pub film: Option<Q<Part>>,
    /// Chance that a batch fails: `2 %`.
    pub fails: Option<Q<Part>>,
    /// What comes out; the last one takes all that is left.
    pub gives: Option<Vec<Output>>,
    /// Whether the milk is heated first: `heated`, `advised` or `raw`; for the cautions.
    pub heat: Option<Text>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// One thing that goes in.
pub struct Ingredient {
    /// Items or groups that will do, in the order in which they are taken.
    pub of: Option<OneOrMany>,
    /// Mass for each kg of the main input: `0.5 kg`; not for the main input.
    #[serde(rename = "per kg")]
    pub per_kg: Option<Q<Mass>>,
    /// Nothing older than: `2 days`.
    #[serde(rename = "no older than")]
    pub no_older_than: Option<Q<Duration>>,
    /// Fat of the blend at least: `18 %`.
    #[serde(rename = "fat at least")]
    pub fat_at_least: Option<Q<Part>>,
}
}

layered! {
/// One thing that comes out. Give `fat` (butter, cream), or `water` (curds,
/// cheese), or `mass kept` (strained yogurt); the last output gives none of
/// them and takes the rest.
pub struct Output {
    /// The item.
    pub what: Option<Text>,
    /// Part of the batch's fat kept: `99 %`.
    #[serde(rename = "fat kept")]
    pub fat_kept: Option<Q<Part>>,
    /// Part of the batch's protein kept: `2 %`.
    #[serde(rename = "protein kept")]
    pub protein_kept: Option<Q<Part>>,
    /// Fat of the output: `81.5 %`.
    pub fat: Option<Q<Part>>,
    /// Water of the output: `37 %`.
    pub water: Option<Q<Part>>,
    /// Other solids kept, as a factor on fat and protein: `1.09`.
    #[serde(rename = "solids factor")]
    pub solids_factor: Option<Text>,
    /// Part of the batch's mass kept: `30 %`.
    #[serde(rename = "mass kept")]
    pub mass_kept: Option<Q<Part>>,
}
}

layered! {
/// How an item stands and keeps. A preset is the same struct.
pub struct Product {
    /// Days it keeps by kind of place (`counter`, `fridge`, `freezer`, `ageing`, `pantry`);
    /// where it may not stand it is left out.
    pub keeps: Option<Entries<Q<Duration>>>,
    /// `large jars`, `small jars`, `bucket` or `wrapped`.
    pub container: Option<Text>,
    /// Room that one kilogram takes when wrapped: `1.2 L`.
    #[serde(rename = "room per kg")]
    pub room_per_kg: Option<Q<Volume>>,
    /// Mass of a litre: `1.03 kg`.
    #[serde(rename = "a litre weighs")]
    pub a_litre_weighs: Option<Q<Mass>>,
    /// Kinds of place, best first: `[fridge]`, `[ageing, fridge]`, `[freezer]`.
    #[serde(rename = "stands in")]
    pub stands_in: Option<Vec<Text>>,
    /// `food` or `by-product`.
    #[serde(rename = "counts as")]
    pub counts_as: Option<Text>,
    /// What it turns into at the end of its life; else it expires.
    #[serde(rename = "turns into")]
    pub turns_into: Option<Text>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}
