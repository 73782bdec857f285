//! The compiled scenario: SI numbers and dense ids, no strings.
//!
//! A [`Plan`] is all that a trial may look at besides its luck. Kilograms,
//! litres, days, hours, minutes and degrees Celsius throughout. Names live in
//! [`super::Names`], in the same order as the ids here.

mod cold;
mod house;
mod milk;
mod rooms;
mod routine;
mod spread;
mod today;
mod trade;

pub use cold::*;
pub use house::*;
pub use milk::*;
pub use rooms::*;
pub use routine::*;
pub use spread::*;
pub use today::*;
pub use trade::*;

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
    /// Hot spells; `None`: none are drawn.
    pub hot: Option<HotPlan>,
    /// How many days are too hot for them; `None` without weather.
    pub heat: Option<HeatPlan>,
    /// Milk fetched from elsewhere.
    pub fetches: Vec<FetchPlan>,
    /// People, wishes, kitchen time.
    pub household: HouseholdPlan,
    /// Jar sizes, largest working volume first.
    pub jars: Vec<JarPlan>,
    /// Places where things stand. Index 0 is always the counter.
    pub places: Vec<PlacePlan>,
    /// Water before the fridge, outages, and the stores' machines.
    pub cold: ColdPlan,
    /// Items, fixed ones first.
    pub items: Vec<ItemPlan>,
    /// Recipes that a rule names.
    pub recipes: Vec<RecipePlan>,
    /// Equipment, hours at home, starters.
    pub kitchen: KitchenPlan,
    /// Animals that are fed, in the order in which they are served.
    pub outlets: Vec<OutletPlan>,
    /// Herd shares, gifts, sales, purchases, prices.
    pub trade: TradePlan,
    /// The routine, top to bottom.
    pub rules: Vec<RulePlan>,
    /// What happens when the cold room is full.
    pub when_full: WhenFullPlan,
    /// What stands in the house at the start.
    pub opening: OpeningPlan,
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
    /// Pick-ups and fetched milk, default 11 (an hour before the meals).
    pub pick_ups: f64,
    /// Meals (the table), default 12.
    pub meals: f64,
    /// Evening milking, default 18.
    pub evening: f64,
}
