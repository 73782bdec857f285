//! What is done with it: recipes, rules, lists.

use super::{Apart, ItemId, ItemMask, PlaceId, RecipeId, WeekdayMask};
use crate::dairy::matter::Matter;

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
    /// The same by month, where it ripens at the kitchen's own warmth.
    pub ripens_hours: Option<[f64; 12]>,
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
    /// Kg that stay behind whatever the batch is: in a separator's bowl.
    pub left_kg: f64,
    /// Chance that the batch fails.
    pub fails: f64,
    /// The same of a raw batch with milk of a foul milking in it (0 where the
    /// milk is heated).
    pub fails_when_foul: f64,
    /// The milk is heated first: no taint passes on.
    pub heated: bool,
    /// Equipment in use from the start of the batch.
    pub uses: Vec<UsePlan>,
    /// Hours from the start of the batch through which somebody is at home.
    pub home_hours: f64,
    /// Index into [`KitchenPlan::starters`].
    pub starter: Option<u8>,
    /// Outputs; the last one is the remainder.
    pub outputs: Vec<OutputPlan>,
}

/// Most inputs a recipe may have.
pub const MAX_INPUTS: usize = 6;

/// One thing in use by a batch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsePlan {
    /// Index into [`KitchenPlan::equipment`].
    pub what: u8,
    /// Hours from the start of the batch.
    pub hours: f64,
}

/// What a kitchen has beside its minutes.
#[derive(Clone, Debug, Default)]
pub struct KitchenPlan {
    /// Pieces owned of each kind of equipment that is told of. What is not told
    /// of is never in the way.
    pub equipment: Vec<u32>,
    /// Hours from the kitchen hour on through which somebody is at home, by
    /// month and weekday; empty: always.
    pub home_hours: Vec<[f64; 7]>,
    /// Starters.
    pub starters: Vec<StarterPlan>,
}

/// A culture that is kept from batch to batch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StarterPlan {
    /// Days that it lives without a batch.
    pub lives_days: f64,
    /// Main input of the small batch that keeps it going, kg; 0: none is made.
    pub upkeep_kg: f64,
    /// Minutes of such a small batch.
    pub upkeep_minutes: f64,
    /// The recipe of that batch.
    pub recipe: RecipeId,
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
    /// Blended with something else to a wished fat.
    pub blend: Option<BlendPlan>,
}

/// How an input is standardised.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendPlan {
    /// Items that are stirred in, in the order in which they are taken.
    pub with: Vec<ItemId>,
    /// Fat wished, mass fraction.
    pub fat: f64,
}

/// One output of a recipe.
#[derive(Clone, Copy, Debug)]
pub struct OutputPlan {
    /// The item.
    pub item: ItemId,
    /// Its share of the batch.
    pub share: crate::dairy::balance::Share,
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
    /// Items of which that is kept back together, where a group is fed, poured
    /// out, moved or handed out; 0: the action's own item.
    pub keep_back_of: ItemMask,
    /// So many rules just before this one do the same to other items of its
    /// group: what they take today counts for this one too.
    pub behind: u8,
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
    /// Hand more than was promised to the members who come today.
    HandOut {
        /// The item.
        item: ItemId,
        /// At most, kg.
        most_kg: f64,
    },
    /// Buy for the store, as an entry of [`super::TradePlan::bought`] says.
    Buy {
        /// Index into [`super::TradePlan::bought`].
        buy: u16,
        /// How much, kg.
        kg: f64,
    },
    /// Dry the animal off.
    DryOff {
        /// Index into [`super::Plan::animals`].
        animal: u16,
    },
    /// Leave the calf on full time, from the next morning.
    CalfOn {
        /// Index into [`super::Plan::animals`].
        animal: u16,
        /// For so many days.
        days: u16,
    },
    /// Milk once a day, from the next morning.
    OnceADay {
        /// Index into [`super::Plan::animals`].
        animal: u16,
        /// For so many days.
        days: u16,
    },
    /// Shut the calf in, from the next morning.
    ShutIn {
        /// Index into [`super::Plan::animals`].
        animal: u16,
        /// When it is apart from her.
        apart: Apart,
        /// For so many days; `u16::MAX`: from now on.
        days: u16,
    },
    /// End one of these, from the next morning.
    End {
        /// Index into [`super::Plan::animals`].
        animal: u16,
        /// What ends.
        what: Ending,
    },
}

/// What a rule may end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The calf is taken off for good.
    Calf,
    /// She is milked twice a day again.
    OnceADay,
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
    /// Days since the latest freshening of any animal, or of one.
    SinceFreshening {
        /// Index into [`super::Plan::animals`]; `None`: the latest of all.
        animal: Option<u16>,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Days to the next dry-off of any animal in milk, or of one.
    ToDryOff {
        /// Index into [`super::Plan::animals`]; `None`: the first of all.
        animal: Option<u16>,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// Whether no animal gives milk for people.
    DryWeeks {
        /// While none does; else while some does.
        within: bool,
    },
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
        /// Store number as in [`super::PlacePlan::store`].
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
        /// At most.
        most: f64,
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
