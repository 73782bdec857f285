//! What one trial leaves behind.

pub use super::fate::{FATES, Fate, SOURCES, Source};
use super::traded::Traded;
use crate::dairy::matter::Matter;

/// Why a rule did not fire at a kitchen session, in the order of testing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(usize)]
pub enum Blocked {
    /// Not its weekday.
    Day,
    /// Not its season, date or phase.
    Phase,
    /// Too little (or too much) in stock.
    Stock,
    /// Nothing old, fresh or rested enough.
    Age,
    /// The store is not as full (or empty) as asked.
    Fullness,
    /// Its own limit is reached.
    Limit,
    /// No kitchen minutes left.
    Minutes,
    /// Nobody is at home for as long as it takes.
    NobodyHome,
    /// A pot, press, churn or the like is in use.
    Equipment,
    /// No clean jar or no room for what it makes.
    JarsOrRoom,
}
/// How many reasons.
pub const BLOCKS: usize = Blocked::JarsOrRoom as usize + 1;

impl Blocked {
    /// All, in order.
    pub const ALL: [Self; BLOCKS] = [
        Self::Day,
        Self::Phase,
        Self::Stock,
        Self::Age,
        Self::Fullness,
        Self::Limit,
        Self::Minutes,
        Self::NobodyHome,
        Self::Equipment,
        Self::JarsOrRoom,
    ];

    /// Name in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Phase => "phase",
            Self::Stock => "stock",
            Self::Age => "age",
            Self::Fullness => "fullness",
            Self::Limit => "limit",
            Self::Minutes => "minutes",
            Self::NobodyHome => "nobody_home",
            Self::Equipment => "equipment",
            Self::JarsOrRoom => "jars_or_room",
        }
    }
}

/// How one rule fared in a trial.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RuleTally {
    /// Sessions (or evenings) at which it fired at least once.
    pub days_fired: u32,
    /// Times fired.
    pub fired: u32,
    /// Sessions at which it did not fire, by the first reason.
    pub blocked: [u32; BLOCKS],
    /// Kg of main input taken in all.
    pub kg: f64,
}

/// How one want of the table fared (index 0: drinking milk; then the wishes).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WantTally {
    /// Wanted at least, kg, on days that count.
    pub wanted: f64,
    /// Served against that, kg.
    pub served: f64,
    /// Served beyond it (gladly), kg.
    pub extra: f64,
    /// Days that count.
    pub days: u32,
    /// Days on which less than 99 % was served.
    pub short_days: u32,
    /// Longest run of short days.
    pub longest_gap: u32,
    /// Run of short days at the moment.
    pub gap: u32,
    /// Wanted on days in the dry weeks, kg.
    pub dry_wanted: f64,
    /// Served on days in the dry weeks, kg.
    pub dry_served: f64,
    /// First short day, if any.
    pub first_short: Option<u32>,
    /// In store when the first dry weeks began, kg: of a wish what serves it, of
    /// drinking milk what is drunk and what is frozen.
    pub laid_down: f64,
    /// Wanted in those weeks, kg.
    pub spell_wanted: f64,
    /// Served in those weeks, kg.
    pub spell_served: f64,
    /// Made of it in all, kg (of drinking milk: frozen).
    pub made: f64,
    /// Calendar weeks in which some was made.
    pub made_weeks: u32,
}

/// Largest relative error of the books of a trial.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Closure {
    /// Mass.
    pub mass: f64,
    /// Fat.
    pub fat: f64,
    /// Protein.
    pub protein: f64,
}

/// What one trial leaves behind. Reused from trial to trial: no allocation.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// What came in, by [`Source`].
    pub sources: [Matter; SOURCES],
    /// Where it ended, by [`Fate`].
    pub fates: [Matter; FATES],
    /// Do the books balance.
    pub closure: Closure,
    /// Wants of the table: drinking milk, then the wishes.
    pub wants: Vec<WantTally>,
    /// Rules, then the steps of tonight's list, then those from tomorrow.
    pub rules: Vec<RuleTally>,
    /// Produced by recipes, kg by item.
    pub made: Vec<f64>,
    /// Milk and cream that went into batches and skims' creams into batches, kg of milk.
    pub made_into_products: f64,
    /// Cold room wanted at the fullest moment of the run, L.
    pub cold_wanted_l: f64,
    /// Cold room used at the fullest moment of the run, L.
    pub cold_used_l: f64,
    /// Jars of the main size that the cold room was asked for, fullest moment.
    pub jars_wanted: f64,
    /// Jars in use or waiting to be washed at once, all sizes, fullest moment.
    pub jars_used: u32,
    /// Freezer used, L, fullest moment.
    pub freezer_used_l: f64,
    /// Ageing space used, L, fullest moment.
    pub ageing_used_l: f64,
    /// Days on which something had no place in the cold.
    pub days_over_full: u32,
    /// Jars broken.
    pub jars_broken: u32,
    /// Starters bought, the first of each kind with them.
    pub starters_bought: u32,
    /// Chore minutes, all days.
    pub chore_minutes: f64,
    /// Kitchen minutes, all days.
    pub kitchen_minutes: f64,
    /// Most minutes on any one day, chores and kitchen.
    pub busiest_minutes: f64,
    /// Milkings put by, chilled or left out.
    pub milkings: u32,
    /// Hours to 4.4 °C of the slowest jar, summed over milkings that came down to it and of which none
    /// was left out.
    pub chill_hours: f64,
    /// Milkings later than the two-hour rule (7 °C two hours after milking, 10 °C four hours after its
    /// start); those left out are.
    pub chill_late: u32,
    /// Milkings of which some stayed on the counter for want of cold room, or came while
    /// the power was out.
    pub chill_left_out: u32,
    /// Milkings that stand in the cold and never come down to 4.4 °C there.
    pub chill_never: u32,
    /// Milkings that missed the first half of that rule (10 °C), the left out among them.
    pub chill_late_10c: u32,
    /// Milkings that missed the second half (7 °C).
    pub chill_late_7c: u32,
    /// Milkings not at 4.4 °C two hours after milking.
    pub chill_late_2h: u32,
    /// Milkings not at 4.4 °C one hour after milking.
    pub chill_late_1h: u32,
    /// Milkings for whose bath there was too little ice.
    pub ice_short: u32,
    /// Ice used, kg.
    pub ice_kg: f64,
    /// Days of sweet life that warm loads cost what stood beside them, summed over milkings.
    pub neighbour_days: f64,
    /// Times the power failed.
    pub outages: u32,
    /// Hours without power.
    pub outage_hours: f64,
    /// Times a store's food was discarded because of it.
    pub outage_discards: u32,
    /// Days without milk for people from any animal (with animals only).
    pub dry_days: u32,
    /// First day of the first dry spell after the first freshening.
    pub first_dry_day: Option<u32>,
    /// Highest yield of any day, kg.
    pub peak_kg: f64,
    /// Cases of illness of the milked animals.
    pub sick_cases: u32,
    /// Days of hot spells.
    pub hot_days: u32,
    /// Days too hot for an animal in milk, as many as are expected, all animals together.
    pub heat_days: f64,
    /// Days on which milk of an animal was kept from people for illness or treatment, all
    /// animals together.
    pub sick_days: u32,
    /// Freshenings within the run.
    pub freshenings: u32,
    /// Of them those that are not the first of their animal in the plan.
    pub freshened_again: u32,
    /// Freshenings after which breeding ended in vain, within the run.
    pub not_settled: u32,
    /// Days from the first milk on, but for those of colostrum, on which young on the
    /// bottle went short of milk.
    pub young_short_days: u32,
    /// Times that milk to be fetched did not come.
    pub fetches_failed: u32,
    /// Herd shares, gifts, sales, purchases.
    pub traded: Traded,
}

/// Measures of a single day, in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub enum DayMeasure {
    /// Milk drawn for people, kg.
    Drawn,
    /// Milk fetched, kg.
    Fetched,
    /// Drinking milk wanted, kg.
    DrinkWanted,
    /// Drinking milk served, kg.
    DrinkServed,
    /// Wishes served, kg.
    WishesServed,
    /// Fed to animals, kg.
    Fed,
    /// Wasted, kg.
    Wasted,
    /// Cold room wanted, L.
    ColdWanted,
    /// Cold room used, L.
    ColdUsed,
    /// Jars in use.
    JarsUsed,
    /// Freezer used, L.
    FreezerUsed,
    /// Ageing space used, L.
    AgeingUsed,
    /// Whole milk in store, kg.
    WholeStock,
    /// Skimmed milk in store, kg.
    SkimmedStock,
    /// Cream in store, kg.
    CreamStock,
    /// Sour milk in store, kg.
    SourStock,
    /// Chore minutes.
    ChoreMinutes,
    /// Kitchen minutes.
    KitchenMinutes,
    /// 1 on a day when something had no place in the cold.
    OverFull,
    /// 1 on a day short of drinking milk.
    MilkShort,
    /// 1 on a pick-up day on which the members' promise was not all there.
    ShareShort,
    /// 1 on a day on which an animal's milk is kept from people because she is ill.
    Sick,
}
/// How many measures a day has before the stocks of the wishes.
pub const DAY_MEASURES: usize = DayMeasure::Sick as usize + 1;
