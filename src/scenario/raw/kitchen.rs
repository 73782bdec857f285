//! Recipes, products, and what a kitchen has.

use crate::units::{Count, Duration, Mass, MilkAmount, Minutes, Part, Temperature, Text as Q, Volume};

use super::{Entries, KitchenTime, OneOrMany, Text, TextOr, layered};

layered! {
/// The kitchen: what is owned, and when somebody is at home.
pub struct Kitchen {
    /// Equipment: how many (`press: 1`), or the long form. What is not named
    /// here is never in the way.
    pub equipment: Option<Entries<TextOr<Equipment>>>,
    /// For how long after the kitchen hour somebody is at home:
    /// `{weekdays: 3 h, weekend: 12 h}`; default always. Months may differ as in `kitchen time`.
    #[serde(rename = "someone home")]
    pub someone_home: Option<KitchenTime>,
}
}

layered! {
/// A pot, press, churn or the like.
pub struct Equipment {
    /// How many.
    pub count: Option<Q<Count>>,
    /// The largest batch that goes in, all inputs together: `4 gal`.
    pub holds: Option<Q<Volume>>,
}
}

layered! {
/// A culture that is kept from batch to batch.
pub struct Starter {
    /// What it is called; recipes that name the same share it.
    pub name: Option<Text>,
    /// Lives so long without a batch; then a new one is bought: `7 days`.
    pub lives: Option<Q<Duration>>,
    /// The small batch that keeps it going when none is made: `1 cup`.
    #[serde(rename = "kept going with")]
    pub kept_going_with: Option<Q<MilkAmount>>,
    /// Minutes of such a small batch: `5 min`.
    pub takes: Option<Q<Minutes>>,
}
}

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
    /// The warmth of the kitchen for which that holds: `21 °C`. In a cooler month it takes
    /// longer, in a warmer one less; without this it is the same all year.
    #[serde(rename = "ripens at")]
    pub ripens_at: Option<Q<Temperature>>,
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
    /// What stays behind whatever the batch is, of the main input: `0.15 L` in a separator's bowl.
    #[serde(rename = "left behind")]
    pub left_behind: Option<Q<MilkAmount>>,
    /// Chance that a batch fails: `2 %`.
    pub fails: Option<Q<Part>>,
    /// The same when the milk is heated first: `1 %`.
    #[serde(rename = "fails when heated")]
    pub fails_when_heated: Option<Q<Part>>,
    /// Chance that a raw batch fails when some of its milk is of a foul milking: `50 %`.
    #[serde(rename = "fails when foul")]
    pub fails_when_foul: Option<Q<Part>>,
    /// Equipment in use, each from the start of the batch: `{large pot: 5 h, press: 18 h}`.
    pub uses: Option<Entries<Q<Duration>>>,
    /// Somebody is at home so long from the start of the batch: `6 h`.
    #[serde(rename = "home for")]
    pub home_for: Option<Q<Duration>>,
    /// The culture that is kept from batch to batch.
    pub starter: Option<Starter>,
    /// What comes out; the last one takes all that is left.
    pub gives: Option<Vec<Output>>,
    /// `heated` first, `advised` (left raw here; write `heated` to heat it), `raw`,
    /// or `none` where it does not matter.
    pub heat: Option<Text>,
    /// Minutes more when the milk is heated first: `25 min`.
    #[serde(rename = "heating takes")]
    pub heating_takes: Option<Q<Minutes>>,
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
    /// Standardised to so much fat by what is blended with it: `3.2 %`.
    pub fat: Option<Q<Part>>,
    /// What is stirred in for that: `skimmed milk` or `[thin cream, middle cream]`.
    #[serde(rename = "blended with")]
    pub blended_with: Option<OneOrMany>,
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
    /// A separator: fat left in the rest, instead of `fat kept`: `0.1 %`.
    pub leaves: Option<Q<Part>>,
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
    /// A wheel, across and high: `15 cm x 9 cm`. On the shelves of an ageing room
    /// wheels are counted, and `room per kg` holds elsewhere.
    pub wheel: Option<Text>,
    /// Weight of a wheel: `1.7 kg`.
    #[serde(rename = "a wheel weighs")]
    pub a_wheel_weighs: Option<Q<Mass>>,
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
