//! The compiled scenario: SI numbers and dense ids, no strings.
//!
//! A [`Plan`] is all that a trial may look at besides its luck. Kilograms,
//! litres, days, hours, minutes and degrees Celsius throughout. Names live in
//! [`super::Names`], in the same order as the ids here.

use crate::dairy::matter::Matter;

/// Index into [`Plan::items`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub u8);
/// Index into [`Plan::places`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaceId(pub u8);
/// Index into [`Plan::recipes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecipeId(pub u8);
/// Index into [`Plan::jars`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JarId(pub u8);

macro_rules! index {
    ($($id:ident),*) => {$(
        impl $id {
            /// The id as an index.
            #[must_use]
            pub const fn at(self) -> usize {
                self.0 as usize
            }
        }
    )*};
}
index!(ItemId, PlaceId, RecipeId, JarId);

/// Items every plan holds, at fixed ids, because the engine itself makes them.
/// Products of recipes follow from [`fixed::COUNT`] on.
pub mod fixed {
    use super::ItemId;
    /// Sweet milk as drawn or fetched, never skimmed.
    pub const WHOLE: ItemId = ItemId(0);
    /// Sweet milk after a skim.
    pub const SKIMMED: ItemId = ItemId(1);
    /// Cream of 30 % fat and more.
    pub const TOP_CREAM: ItemId = ItemId(2);
    /// Cream of 18 to 30 % fat.
    pub const MIDDLE_CREAM: ItemId = ItemId(3);
    /// Cream under 18 % fat.
    pub const THIN_CREAM: ItemId = ItemId(4);
    /// Milk (whole or skimmed) that has soured.
    pub const SOUR_MILK: ItemId = ItemId(5);
    /// Cream that has soured by itself.
    pub const SOURED_CREAM: ItemId = ItemId(6);
    /// Sweet whey, the remainder of rennet cheese.
    pub const WHEY: ItemId = ItemId(7);
    /// Acid whey, the remainder of strained and acid curds.
    pub const ACID_WHEY: ItemId = ItemId(8);
    /// Buttermilk from the churn.
    pub const BUTTERMILK: ItemId = ItemId(9);
    /// How many fixed items there are.
    pub const COUNT: usize = 10;
}

/// Most items a plan may hold: an item mask is one `u64`.
pub const MAX_ITEMS: usize = 64;
/// Most places a plan may hold.
pub const MAX_PLACES: usize = 24;
/// Most jar sizes a plan may hold.
pub const MAX_JARS: usize = 8;

/// A set of items, one bit each.
pub type ItemMask = u64;
/// A set of weekdays, bit 0 = Monday … bit 6 = Sunday.
pub type WeekdayMask = u8;

/// A whole scenario, ready to simulate.
#[derive(Clone, Debug)]
pub struct Plan {
    /// One entry a simulated day.
    pub days: Vec<DayInfo>,
    /// Hours of the day at which things happen.
    pub hours: Hours,
    /// Animals that are milked.
    pub animals: Vec<AnimalPlan>,
    /// Milk fetched from elsewhere.
    pub fetches: Vec<FetchPlan>,
    /// People, wishes, kitchen time.
    pub household: HouseholdPlan,
    /// Jar sizes, largest working volume first.
    pub jars: Vec<JarPlan>,
    /// Places where things stand. Index 0 is always the counter.
    pub places: Vec<PlacePlan>,
    /// Items, fixed ones first.
    pub items: Vec<ItemPlan>,
    /// Recipes that a rule names.
    pub recipes: Vec<RecipePlan>,
    /// Animals that are fed, in the order in which they are served.
    pub outlets: Vec<OutletPlan>,
    /// The routine, top to bottom.
    pub rules: Vec<RulePlan>,
    /// What happens when the cold room is full.
    pub when_full: WhenFullPlan,
    /// Keeping life of fresh milk and its hazards.
    pub keeping: KeepingPlan,
    /// Losses on the way: film in strainer, jars, pots.
    pub losses: LossPlan,
    /// What the family would call good.
    pub aims: Vec<AimPlan>,
}

/// What is known of a simulated day.
#[derive(Clone, Copy, Debug)]
pub struct DayInfo {
    /// 0 = Monday … 6 = Sunday.
    pub weekday: u8,
    /// 0 = January … 11 = December.
    pub month: u8,
    /// 1 … 366.
    pub day_of_year: u16,
    /// The family is away: whoever milks keeps the milk.
    pub away: bool,
}

/// Hours of the day, 0 to 24.
#[derive(Clone, Copy, Debug)]
pub struct Hours {
    /// Morning milking, default 6.
    pub morning: f64,
    /// Kitchen session, default 9.
    pub kitchen: f64,
    /// Meals (the table), default 12.
    pub meals: f64,
    /// Evening milking, default 18.
    pub evening: f64,
}

pub use crate::dairy::Species;

/// A milked animal.
#[derive(Clone, Debug)]
pub struct AnimalPlan {
    /// Species.
    pub species: Species,
    /// Curves by lactation: entry 0 is the lactation of the first freshening
    /// in this plan, entry 1 the next, …; the last one repeats.
    pub curves: Vec<CurvePlan>,
    /// Log standard deviation of this animal's own level, drawn once a
    /// lactation with arithmetic mean 1.
    pub level_log_sd: f64,
    /// Part of the level's log variance that stays with the animal from one
    /// lactation to the next (0 to 1).
    pub level_repeat: f64,
    /// Standard deviation of the white part of the day noise (relative).
    pub white_sd: f64,
    /// Standard deviation of the slow part of the day noise (relative).
    pub slow_sd: f64,
    /// Day-to-day autocorrelation of the slow part.
    pub slow_phi: f64,
    /// 1 or 2 milkings a day.
    pub milkings: u8,
    /// Part of the day's milk drawn in the morning when milked twice.
    pub morning_part: f64,
    /// Day-to-day standard deviation of the morning part.
    pub morning_part_sd: f64,
    /// Fat of the evening milking minus fat of the morning milking, as a
    /// mass fraction (0.012 = 1.2 points).
    pub evening_fat_excess: f64,
    /// First freshening, days after day 0 (negative: before the run).
    pub freshens_day: f64,
    /// Standard deviation of the freshening day, days.
    pub freshens_sd: f64,
    /// Days from one freshening to the next, mean; `None`: not bred again.
    pub interval: Option<f64>,
    /// Standard deviation of that interval, days.
    pub interval_sd: f64,
    /// Dried off so many days before the next freshening.
    pub dry_days: f64,
    /// The longest lactation, days, when she is not bred again.
    pub longest_days: u16,
    /// Days after freshening whose milk is kept from people.
    pub colostrum_days: u16,
    /// Milk is multiplied by this when milked once a day in early, middle and
    /// late lactation (to day 100, to day 200, after).
    pub once_a_day: [f64; 3],
    /// Her calf, kid or lamb, if it stays.
    pub calf: Option<CalfPlan>,
    /// Minutes of hand milking per milking.
    pub milking_minutes: f64,
}

/// One lactation, per day in milk (index 0 = day 1).
#[derive(Clone, Debug)]
pub struct CurvePlan {
    /// Expected milk, kg a day, milked twice.
    pub yield_kg: Vec<f64>,
    /// Fat, mass fraction.
    pub fat: Vec<f64>,
    /// True protein, mass fraction.
    pub protein: Vec<f64>,
}

/// Calf, kid or lamb on the dam.
#[derive(Clone, Copy, Debug)]
pub struct CalfPlan {
    /// Days after freshening until which it runs with the dam day and night.
    pub full_time_until: u16,
    /// Days after freshening until which it is shut in overnight (dam milked
    /// once, in the morning). From then on it is gone.
    pub shut_in_until: u16,
    /// Milk it would drink, kg a day, at freshening.
    pub appetite_start_kg: f64,
    /// Milk it would drink, kg a day, from `appetite_full_day` on.
    pub appetite_full_kg: f64,
    /// Days after freshening at which the appetite is full.
    pub appetite_full_day: u16,
    /// Part of the milk that the dam holds back at a milking while the calf
    /// is on her; the calf gets it.
    pub held_back: f64,
    /// Fat of the pail relative to the day's mean while the calf is on (≤ 1).
    pub pail_fat_factor: f64,
}

/// Milk fetched from elsewhere.
#[derive(Clone, Debug)]
pub struct FetchPlan {
    /// Species.
    pub species: Species,
    /// Expected amount a fetch, kg.
    pub kg: f64,
    /// Log standard deviation of the amount (arithmetic mean is `kg`).
    pub log_sd: f64,
    /// Days on which it is fetched.
    pub weekdays: WeekdayMask,
    /// First and last day (inclusive) on which it may be fetched.
    pub from_day: u32,
    /// Last day (inclusive).
    pub until_day: u32,
    /// Days old on arrival.
    pub age_days: f64,
    /// Chance that it does not come.
    pub fails: f64,
    /// Fat, mass fraction.
    pub fat: f64,
    /// True protein, mass fraction.
    pub protein: f64,
    /// Minutes of chores a fetch (driving included if the family counts it).
    pub minutes: f64,
}

/// People, wishes, kitchen time.
#[derive(Clone, Debug)]
pub struct HouseholdPlan {
    /// One entry a person, guests included.
    pub people: Vec<PersonPlan>,
    /// Wishes beside drinking milk.
    pub wishes: Vec<WishPlan>,
    /// Items drunk as milk, in the order in which the table takes them after
    /// the open jar (skimmed before whole; frozen milk, thawed, last).
    pub drinks: Vec<ItemId>,
    /// Frozen milk, if some recipe makes it.
    pub frozen_milk: Option<ItemId>,
    /// Part of a day's drinking that may be thawed milk.
    pub thawed_part: f64,
    /// Kitchen minutes by month and weekday.
    pub kitchen_minutes: [[f64; 7]; 12],
    /// Days of drinking kept back before any rule may take milk.
    pub kept_back_days: f64,
    /// Chore minutes per milking beside the milking itself (strain, jar, wash).
    pub chore_minutes: f64,
    /// Minutes to label, shelve and wash one jar.
    pub jar_minutes: f64,
    /// Minutes to feed the animals that are fed, a day.
    pub feeding_minutes: f64,
}

/// How one person drinks.
#[derive(Clone, Debug)]
pub struct PersonPlan {
    /// Drinks on such a part of days.
    pub chance: f64,
    /// Amount on a drinking day, kg: quantiles at `(i + 0.5) / len` for
    /// monotone inversion; their mean is exactly `mean_kg`.
    pub quantiles: Vec<f64>,
    /// Mean amount on a drinking day, kg.
    pub mean_kg: f64,
    /// Weekdays on which the person drinks at home.
    pub weekdays: WeekdayMask,
    /// Present on day d; empty = always.
    pub present: Vec<bool>,
}

/// A wish for an item, or for any of a group of items, eaten at the table.
#[derive(Clone, Debug)]
pub struct WishPlan {
    /// Items that serve it, in the order in which they are taken.
    pub items: Vec<ItemId>,
    /// At least, kg a week.
    pub at_least_kg: f64,
    /// Gladly up to, kg a week (≥ `at_least_kg`).
    pub gladly_kg: f64,
    /// Log standard deviation from week to week (arithmetic mean 1).
    pub week_log_sd: f64,
    /// Factor by month (seasons of ice cream, butter, …).
    pub month_factor: [f64; 12],
    /// Days before which the wish does not count.
    pub from_day: u32,
    /// Gladly is eaten only while the stock exceeds so many days of `at_least`.
    pub gladly_from_days: f64,
}

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
    /// A batch that failed.
    FailedBatch,
}

/// A recipe.
#[derive(Clone, Debug)]
pub struct RecipePlan {
    /// Inputs. The first is the main one: batch sizes speak of it.
    pub inputs: Vec<InputPlan>,
    /// Smallest batch, kg of the main input.
    pub least_kg: f64,
    /// Largest batch, kg of the main input.
    pub most_kg: f64,
    /// Hands-on minutes a batch.
    pub minutes: f64,
    /// Hands-on minutes per kg of the main input.
    pub minutes_per_kg: f64,
    /// Hours until the outputs may be eaten or go to ageing.
    pub ready_hours: f64,
    /// Days of ageing after that, for the first output.
    pub ageing_days: f64,
    /// Part of the first output's mass lost as water while ageing.
    pub ageing_loss: f64,
    /// Matter added per kg of main input that is no milk (salt, sugar).
    pub added_per_kg: Matter,
    /// Part of the mass driven off as steam, water only.
    pub steam: f64,
    /// Part of everything that stays as film in pot and churn.
    pub film: f64,
    /// Chance that the batch fails.
    pub fails: f64,
    /// Outputs; the last one is the remainder.
    pub outputs: Vec<OutputPlan>,
}

/// One input of a recipe.
#[derive(Clone, Debug)]
pub struct InputPlan {
    /// Items that will do, in the order in which they are taken.
    pub items: Vec<ItemId>,
    /// Kg per kg of the main input (1 for the main input itself).
    pub per_kg: f64,
    /// Nothing older than this, days since drawn.
    pub newest_to_days: f64,
    /// Fat of the blend must be at least this, mass fraction.
    pub fat_at_least: f64,
}

/// One output of a recipe.
#[derive(Clone, Copy, Debug)]
pub struct OutputPlan {
    /// The item.
    pub item: ItemId,
    /// Its share of the batch.
    pub share: crate::dairy::balance::Share,
}

/// An animal (or pile) that is fed.
#[derive(Clone, Debug)]
pub struct OutletPlan {
    /// First day.
    pub from_day: u32,
    /// Last day, inclusive.
    pub until_day: u32,
    /// What it takes and how much a day, kg in all heads, in order.
    pub takes: Vec<(ItemId, f64)>,
    /// Most of everything together a day, kg.
    pub most_kg: f64,
    /// What is given without being asked every evening (by-products, sour
    /// milk); anything else only by a rule or the list for a full fridge.
    pub by_itself: ItemMask,
}

/// One rule of the routine.
#[derive(Clone, Debug)]
pub struct RulePlan {
    /// What it does.
    pub action: Action,
    /// Weekdays on which it may.
    pub weekdays: WeekdayMask,
    /// Conditions, all of which must hold.
    pub when: Vec<Condition>,
    /// At most so many firings in a calendar week (Monday first).
    pub per_week: Option<u32>,
    /// At most so many firings a day; default 1 for `Skim`, else until it no
    /// longer holds.
    pub per_day: Option<u32>,
    /// Not again before so many days have passed.
    pub every_days: Option<u32>,
    /// Keep back so much of the main input's items together, kg.
    pub keep_back_kg: f64,
}

/// What a rule does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// Skim every rested jar of whole milk.
    Skim {
        /// Hours at rest, at least.
        after_hours: f64,
        /// How deep.
        depth: SkimDepth,
        /// Cuts of different richness go into jars of their own.
        apart: bool,
        /// Minutes per jar.
        minutes_per_jar: f64,
    },
    /// Make one batch.
    Make {
        /// The recipe.
        recipe: RecipeId,
        /// Batch size wanted, kg of main input (infinite: as much as there is).
        batch_kg: f64,
    },
    /// Move lots, oldest first.
    Move {
        /// The item.
        item: ItemId,
        /// Where to.
        to: PlaceId,
        /// At most, kg.
        most_kg: f64,
    },
    /// Feed to the animals that take it, in order, within their caps.
    Feed {
        /// The item.
        item: ItemId,
        /// At most, kg.
        most_kg: f64,
    },
    /// Pour out.
    Dump {
        /// The item.
        item: ItemId,
        /// At most, kg.
        most_kg: f64,
    },
    /// Dry the animal off.
    DryOff {
        /// Index into [`Plan::animals`].
        animal: u16,
    },
    /// Leave the calf on full time, from the next morning.
    CalfOn {
        /// Index into [`Plan::animals`].
        animal: u16,
        /// For so many days.
        days: u16,
    },
    /// Milk once a day, from the next morning.
    OnceADay {
        /// Index into [`Plan::animals`].
        animal: u16,
        /// For so many days.
        days: u16,
    },
}

/// How deep a skim goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SkimDepth {
    /// Until so much fat is left in the milk, mass fraction.
    Leave(f64),
    /// Take cream of at least this mean fat, mass fraction, as much as there is.
    Grade(f64),
    /// The whole layer.
    Layer,
}

/// One condition of a rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Condition {
    /// Between two days of the year (inclusive; may wrap over new year).
    Season {
        /// First day of the year.
        from: u16,
        /// Last day of the year.
        until: u16,
    },
    /// Between two simulated days (inclusive).
    Dates {
        /// First.
        from: u32,
        /// Last.
        until: u32,
    },
    /// Days since the latest freshening of any animal in milk (or a given one).
    SinceFreshening {
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Days to the next dry-off (the first of any animal in milk).
    ToDryOff {
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// No animal gives milk for people.
    InDryWeeks,
    /// Stock of items together, kg, within bounds.
    Stock {
        /// Items, as a set.
        items: ItemMask,
        /// At least, kg.
        least: f64,
        /// At most, kg.
        most: f64,
    },
    /// Stock of items together in jars of the main size.
    Jars {
        /// Items, as a set.
        items: ItemMask,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Stock of a wish's items in days of what is wished.
    DaysOfSupply {
        /// Index into the wishes; `None` = drinking milk.
        wish: Option<u16>,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Age of the oldest lot of the items, days since drawn.
    OldestAge {
        /// Items, as a set.
        items: ItemMask,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Either enough stock or old enough (the usual reason to churn).
    StockOrAge {
        /// Items, as a set.
        items: ItemMask,
        /// At least, kg …
        least_kg: f64,
        /// … or older than, days.
        older_than: f64,
    },
    /// Part of a store's room in use.
    Fullness {
        /// Store number as in [`PlacePlan::store`].
        store: u16,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Kitchen minutes left.
    MinutesLeft {
        /// At least.
        least: f64,
    },
}

/// The two lists for a full cold room.
#[derive(Clone, Debug, Default)]
pub struct WhenFullPlan {
    /// Milk in hand, tonight, top to bottom, until everything has a place.
    /// Milk of today is never touched by `Feed` and `Dump`.
    pub tonight: Vec<FullStep>,
    /// Milking, from tomorrow, all of them that can.
    pub tomorrow: Vec<Action>,
}

/// One step of tonight's list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FullStep {
    /// Feed this item, oldest first, to the animals that are fed.
    Feed(ItemId),
    /// Pour this item out, oldest first.
    PourOut(ItemId),
}

/// Keeping life of fresh milk and its hazards.
#[derive(Clone, Copy, Debug)]
pub struct KeepingPlan {
    /// Mean sweet life at 4 °C, days, from drawing.
    pub life_days: f64,
    /// Log standard deviation of the life.
    pub life_log_sd: f64,
    /// Spells of contamination begin at this rate, a day.
    pub spell_rate: f64,
    /// Rate is multiplied by this in the first weeks of the first lactation
    /// of the plan.
    pub spell_early_factor: f64,
    /// Days for which that holds, from the first freshening.
    pub spell_early_days: u32,
    /// Mean length of a spell, days.
    pub spell_days: f64,
    /// Chance that a milking in a spell is foul.
    pub spell_foul: f64,
    /// Foul milk shows after such a part of its sweet life.
    pub foul_life_part: f64,
    /// Chance that a pail is kicked or dirtied, per milking.
    pub spill: f64,
    /// The same in the first weeks of the first lactation.
    pub spill_early: f64,
    /// Days for which sour milk is still of use (fridge).
    pub sour_cap_kg: f64,
}

/// Losses on the way.
#[derive(Clone, Copy, Debug)]
pub struct LossPlan {
    /// Part of each milking left in strainer and pail.
    pub strainer: f64,
    /// Kg left in each jar when it is emptied.
    pub jar_kg: f64,
}

/// One aim.
#[derive(Clone, Copy, Debug)]
pub struct AimPlan {
    /// The measure.
    pub measure: AimMeasure,
    /// Its bound.
    pub bound: Bound,
    /// In such a part of simulated years.
    pub in_part: f64,
}

/// A bound on a measure, in the measure's own SI unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// At most.
    AtMost(f64),
    /// At least.
    AtLeast(f64),
}

/// What an aim may speak of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AimMeasure {
    /// Part of the milk fit for people that was wasted.
    WastedPart,
    /// Part of days with drinking milk for all (short days counted against it).
    MilkDays,
    /// Part of the drinking milk wanted that was served.
    MilkFill,
    /// Part of a wish that was served.
    WishFill(u16),
    /// Part of the dry-week wants of drinking milk that was served.
    DryFill,
    /// Days on which the cold room was over-full.
    DaysOverFull,
    /// Minutes a day, mean, chores and kitchen together.
    HandsMean,
    /// Busiest day, minutes.
    HandsBusiest,
}
