//! Recipes and products.

use super::{Entries, OneOrMany, Text, layered};

layered! {
/// A recipe. A preset is the same struct.
pub struct Recipe {
    /// What goes in; the first is the main one, and batch sizes speak of it.
    pub inputs: Option<Vec<Ingredient>>,
    /// Smallest batch of the main input: `1 qt`.
    pub least: Option<Text>,
    /// Largest batch of the main input: `2 gal`.
    pub most: Option<Text>,
    /// Hands-on time a batch: `30 min`.
    pub takes: Option<Text>,
    /// Hands-on time more for each litre of the main input: `2 min`.
    #[serde(rename = "takes per litre")]
    pub takes_per_litre: Option<Text>,
    /// Until it may be eaten or goes to ageing: `8 h`.
    #[serde(rename = "ready after")]
    pub ready_after: Option<Text>,
    /// Ageing after that: `60 days`.
    pub ages: Option<Text>,
    /// Weight lost as water over the whole ageing: `8 %`.
    #[serde(rename = "ageing loses")]
    pub ageing_loses: Option<Text>,
    /// Added matter that is no milk, by name, as a part of the main input's mass: `{salt: 2 %}`.
    pub added: Option<Entries<Added>>,
    /// Part of the mass driven off as steam: `2 %`.
    pub steam: Option<Text>,
    /// Part of everything that stays in pot and churn: `1 %`.
    pub film: Option<Text>,
    /// Chance that a batch fails: `2 %`.
    pub fails: Option<Text>,
    /// What comes out; the last one takes all that is left.
    pub gives: Option<Vec<Output>>,
    /// Whether the milk is heated first: `heated`, `advised` or `raw`; for the cautions.
    pub heat: Option<Text>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

/// Added matter: a part of the main input's mass.
pub type Added = Text;

layered! {
/// One thing that goes in.
pub struct Ingredient {
    /// Items or groups that will do, in the order in which they are taken.
    pub of: Option<OneOrMany>,
    /// Mass for each kg of the main input: `0.5 kg`; not for the main input.
    #[serde(rename = "per kg")]
    pub per_kg: Option<Text>,
    /// Nothing older than: `2 days`.
    #[serde(rename = "no older than")]
    pub no_older_than: Option<Text>,
    /// Fat of the blend at least: `18 %`.
    #[serde(rename = "fat at least")]
    pub fat_at_least: Option<Text>,
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
    pub fat_kept: Option<Text>,
    /// Part of the batch's protein kept: `2 %`.
    #[serde(rename = "protein kept")]
    pub protein_kept: Option<Text>,
    /// Fat of the output: `81.5 %`.
    pub fat: Option<Text>,
    /// Water of the output: `37 %`.
    pub water: Option<Text>,
    /// Other solids kept, as a factor on fat and protein: `1.09`.
    #[serde(rename = "solids factor")]
    pub solids_factor: Option<Text>,
    /// Part of the batch's mass kept: `30 %`.
    #[serde(rename = "mass kept")]
    pub mass_kept: Option<Text>,
}
}

layered! {
/// How an item stands and keeps. A preset is the same struct.
pub struct Product {
    /// Days it keeps by kind of place (`counter`, `fridge`, `freezer`, `ageing`, `pantry`);
    /// where it may not stand it is left out.
    pub keeps: Option<Entries<Text>>,
    /// `large jars`, `small jars`, `bucket` or `wrapped`.
    pub container: Option<Text>,
    /// Room that one kilogram takes when wrapped: `1.2 L`.
    #[serde(rename = "room per kg")]
    pub room_per_kg: Option<Text>,
    /// Mass of a litre: `1.03 kg`.
    #[serde(rename = "a litre weighs")]
    pub a_litre_weighs: Option<Text>,
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
