//! The file as it is written: every struct mirrors one part of it, and the
//! preset files use the same structs. Texts are not understood here; only
//! their places are fixed.

mod animals;
mod cold;
mod forms;
mod household;
mod kitchen;
mod presets;
mod rooms;
mod routine;
mod today;
mod trade;

use crate::units::{Count, Text as Q};

pub use animals::{Animal, Breeding, Calf, Curve, Fetched, Health, Noise, OnceADay, Stage, Weather};
pub use cold::{Chilling, Outages};
pub use forms::{Changes, Entries, OneOrMany, Text, TextOr};
pub use household::{Chores, DayTimes, Drinker, Guests, Household, Kind, KitchenTime, Span, Want};
pub use kitchen::{Equipment, Ingredient, Kitchen, Output, Product, Recipe, Starter};
pub use presets::{Cleanliness, Feed, PresetFile};
pub use rooms::{Jar, Store};
pub use routine::{Aim, Hours, Outlet, Risks, Rule, When, WhenFull};
pub use today::{Now, Standing};
pub use trade::{Bought, HerdShares, Members, Outgoing, Prices};

/// Declares a struct of optional fields that can be laid over a preset of the
/// same type: what the file says goes first, the preset fills the rest.
macro_rules! layered {
    ($(#[$outer:meta])* pub struct $name:ident {
        $($(#[$inner:meta])* pub $field:ident : Option<$ty:ty>,)*
    }) => {
        $(#[$outer])*
        #[derive(Clone, Debug, Default, PartialEq, ::serde::Deserialize, ::schemars::JsonSchema)]
        #[serde(deny_unknown_fields, default)]
        pub struct $name {
            $($(#[$inner])* pub $field: Option<$ty>,)*
        }
        impl $name {
            /// This laid over `base`: each field of `base` counts where this has none.
            #[must_use]
            pub fn over(&self, base: &Self) -> Self {
                Self { $($field: self.$field.clone().or_else(|| base.$field.clone()),)* }
            }
        }
    };
}
pub(crate) use layered;

layered! {
/// A scenario: one family, its animals, rooms, people, routine and aims.
pub struct Scenario {
    /// Title, shown on every report.
    pub title: Option<Text>,
    /// First simulated day, `2027-04-01`. Needed.
    pub starts: Option<Text>,
    /// How long: `24 months`, `90 days`, `2 years`. Needed.
    pub lasts: Option<Text>,
    /// Units for display: `us` or `metric`.
    pub units: Option<Text>,
    /// How many years to simulate, at most 200000.
    pub trials: Option<Q<Count>>,
    /// A number that fixes all chance.
    pub seed: Option<Text>,
    /// Hours of the day at which things happen.
    pub hours: Option<Hours>,
    /// Animals that are milked.
    pub animals: Option<Vec<Animal>>,
    /// The weather where they stand; without it heat takes no milk.
    pub weather: Option<Weather>,
    /// Milk fetched from elsewhere.
    #[serde(rename = "milk fetched")]
    pub milk_fetched: Option<Vec<Fetched>>,
    /// People, wishes, kitchen time.
    pub household: Option<Household>,
    /// Fridges, freezers, ageing rooms, by name; `counter` sets the counter.
    pub stores: Option<Entries<Store>>,
    /// How a milking is chilled: `ice bath`, or its long form.
    pub chilling: Option<TextOr<Chilling>>,
    /// Power outages; none unless described.
    pub outages: Option<Outages>,
    /// What stands in the house in the night before the first day.
    #[serde(rename = "in store")]
    pub in_store: Option<Vec<Standing>>,
    /// Jars: how many of each size.
    pub jars: Option<Entries<TextOr<Jar>>>,
    /// The routine, top to bottom.
    pub routine: Option<Vec<Rule>>,
    /// What happens when the cold room is full.
    #[serde(rename = "when full")]
    pub when_full: Option<WhenFull>,
    /// Animals that take what is too much, in the order in which they are served.
    #[serde(rename = "animals fed")]
    pub animals_fed: Option<Entries<Outlet>>,
    /// Members who fetch milk that they were promised.
    #[serde(rename = "herd shares")]
    pub herd_shares: Option<HerdShares>,
    /// What is given away of what is over, by who takes it, in order.
    #[serde(rename = "given away")]
    pub given_away: Option<Entries<Outgoing>>,
    /// What is sold of what is over, by who takes it, in order.
    pub sold: Option<Entries<Outgoing>>,
    /// What is bought for the table when the own supply is short: `{milk: 4 $/gal}`.
    #[serde(rename = "bought when short")]
    pub bought_when_short: Option<Entries<TextOr<Bought>>>,
    /// What things are worth and cost.
    pub prices: Option<Prices>,
    /// Cleanliness and mishaps.
    pub risks: Option<Risks>,
    /// Equipment, and when somebody is at home.
    pub kitchen: Option<Kitchen>,
    /// Own recipes, and changes to the preset ones.
    pub recipes: Option<Entries<Recipe>>,
    /// Own products, and changes to how the preset ones keep.
    pub products: Option<Entries<Product>>,
    /// What the family would call good.
    pub aims: Option<Vec<Aim>>,
    /// Changes laid over this scenario, by name: `{a second fridge: {stores: {porch fridge: {like: all-fridge 10 cu ft}}}}`.
    pub variants: Option<Entries<Changes>>,
}
}
