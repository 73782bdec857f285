//! Where it stands: jars, places, chilling, items.

use super::{ItemId, ItemMask, PlaceId};

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

/// Chilling of a warm milking, by its litres and by the litres already inside.
#[derive(Clone, Debug)]
pub struct ChillTable {
    /// Loads, L, ascending.
    pub loads_l: Vec<f64>,
    /// Milk already inside, L, ascending.
    pub inside_l: Vec<f64>,
    /// Hours to 4.4 °C, row by row (`loads` × `inside`).
    pub hours_to_4c: Vec<f64>,
    /// Hours to 10 °C.
    pub hours_to_10c: Vec<f64>,
    /// Hours to 7 °C.
    pub hours_to_7c: Vec<f64>,
    /// Days of sweet life at 4 °C used while chilling, beyond what the same
    /// time at the place's own temperature uses.
    pub life_days: Vec<f64>,
}

/// A position in a [`ChillTable`]: a cell and how far into it.
#[derive(Clone, Copy, Debug)]
pub struct ChillAt {
    row: usize,
    column: usize,
    down: f64,
    along: f64,
}

impl ChillTable {
    /// Finds a load among the loads and what stands inside; outside the table
    /// its edge holds.
    #[must_use]
    pub fn find(&self, load_l: f64, inside_l: f64) -> ChillAt {
        let (row, down) = cell(&self.loads_l, load_l);
        let (column, along) = cell(&self.inside_l, inside_l);
        ChillAt { row, column, down, along }
    }

    /// Bilinear value of one of the table's columns at a position.
    #[must_use]
    pub fn value(&self, of: &[f64], at: ChillAt) -> f64 {
        let width = self.inside_l.len();
        let get = |r: usize, c: usize| {
            let (r, c) = (r.min(self.loads_l.len() - 1), c.min(width - 1));
            of.get(r * width + c).copied().unwrap_or(0.0)
        };
        let top = get(at.row, at.column) * (1.0 - at.along) + get(at.row, at.column + 1) * at.along;
        let low = get(at.row + 1, at.column) * (1.0 - at.along) + get(at.row + 1, at.column + 1) * at.along;
        top * (1.0 - at.down) + low * at.down
    }
}

/// The interval of ascending `grid` that holds `x`, and how far into it (0 to 1).
fn cell(grid: &[f64], x: f64) -> (usize, f64) {
    let at = grid.partition_point(|&g| g <= x);
    if at == 0 || grid.len() < 2 {
        return (0, 0.0);
    }
    let low = (at - 1).min(grid.len() - 2);
    (low, ((x - grid[low]) / (grid[low + 1] - grid[low])).clamp(0.0, 1.0))
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
}
