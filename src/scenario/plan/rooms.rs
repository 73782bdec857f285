//! Where it stands: jars, places, items.

use super::{ChillTable, ItemId, ItemMask, PlaceId};

/// A jar size.
#[derive(Clone, Copy, Debug)]
pub struct JarPlan {
    /// Working volume, L.
    pub working_l: f64,
    /// How many are owned.
    pub count: u32,
    /// Chance that one breaks at a washing.
    pub breaks: f64,
}

/// What kind of place it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PlaceKind {
    /// Room air; endless room.
    Counter,
    /// Refrigerator, cold cellar, spring house: cold room.
    Fridge,
    /// Freezer.
    Freezer,
    /// Ageing space (cave).
    Ageing,
    /// Cool cupboard.
    Pantry,
}

/// How many kinds of place there are; tables by kind use this length.
pub const PLACE_KINDS: usize = 5;

/// A place: a whole store, or one group of equal shelves of a store.
#[derive(Clone, Debug)]
pub struct PlacePlan {
    /// Kind.
    pub kind: PlaceKind,
    /// Which store of the scenario it belongs to.
    pub store: u16,
    /// The store that was written with `how many`, where this is a further one of
    /// those: what is said of that one is said of all.
    pub alike: Option<u16>,
    /// Inside room, L (infinite for the counter).
    pub litres: f64,
    /// Part of the place that one jar of each size takes; infinite where it
    /// does not fit. Zero for the counter.
    pub jar_part: Vec<f64>,
    /// Part of the place that other food takes, by month.
    pub other_food: [f64; 12],
    /// Keeping days used up a day, by month: 1 at the kind's own reference
    /// temperature (4 °C fridge, 21 °C counter and pantry, 12 °C ageing,
    /// −18 °C freezer).
    pub keep_rate: [f64; 12],
    /// Days of sweet life at 4 °C used up a day, by month.
    pub sweet_rate: [f64; 12],
    /// Hours of rising at 4 °C gained an hour, by month.
    pub rise_rate: [f64; 12],
    /// Items that may stand here.
    pub takes: ItemMask,
    /// Freezer: kg that it can freeze a day (infinite elsewhere).
    pub freeze_kg_per_day: f64,
    /// Chilling of a warm load here (fridges only).
    pub chill: Option<ChillTable>,
}

impl PlacePlan {
    /// It belongs to that store, or is one of several written as one with it.
    #[must_use]
    pub fn is_of(&self, store: u16) -> bool {
        self.store == store || self.alike == Some(store)
    }
}

/// What an item needs to stand in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Container {
    /// Jars, the largest first (milk) or the smallest first (others).
    Jar {
        /// Fill the largest clean jars first.
        largest_first: bool,
    },
    /// A bucket on the floor: no cold room, no jar.
    Bucket,
    /// Wrapped, boxed or on a board: room by volume only.
    Volume {
        /// Litres of room per kg.
        litres_per_kg: f64,
    },
}

/// An item: milk, cream, product or by-product.
#[derive(Clone, Debug)]
pub struct ItemPlan {
    /// Days it keeps in each kind of place at that kind's reference
    /// temperature; 0 = may not stand there (the counter never forbids: an
    /// item left there by need keeps its counter days). Sweet milk's life is
    /// drawn instead; its entries are ignored.
    pub keeps: [f64; PLACE_KINDS],
    /// It is sweet milk or cream whose life is drawn with its milking.
    pub sweet: bool,
    /// What it turns into at the end of its life; `None`: it expires.
    pub turns_into: Option<ItemId>,
    /// Container.
    pub container: Container,
    /// Density, kg/L.
    pub density: f64,
    /// Places to put it, best first (all in the same order as the scenario).
    pub places: Vec<PlaceId>,
    /// A by-product: poured out it is not waste of food.
    pub byproduct: bool,
    /// Cause charged when it is poured out at the end of its life.
    pub spoils_as: WasteCause,
}

/// Why food was wasted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WasteCause {
    /// No room in the cold.
    NoRoom,
    /// No clean jar.
    NoJar,
    /// Turned sour and was not used.
    Soured,
    /// Turned foul.
    Foul,
    /// A product kept past its time.
    Expired,
    /// Share milk nobody fetched.
    Unclaimed,
    /// Kicked or dirty pail.
    Spilled,
    /// Poured out by a rule of the routine.
    PouredOut,
    /// A batch that failed.
    FailedBatch,
    /// It stood warm while the power was out.
    Outage,
}
