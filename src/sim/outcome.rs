//! What one trial leaves behind.

use super::traded::Traded;
use crate::dairy::matter::Matter;

/// Where matter came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(usize)]
pub enum Source {
    /// Drawn from the animals (the calf's part included).
    Drawn,
    /// Fetched from elsewhere.
    Fetched,
    /// Added to batches: salt, sugar.
    Added,
    /// Bought for the table or the house: no milk of the own pails.
    Bought,
    /// In store when the run began.
    Opening,
}
/// How many sources.
pub const SOURCES: usize = Source::Opening as usize + 1;

impl Source {
    /// All, in order.
    pub const ALL: [Self; SOURCES] = [Self::Drawn, Self::Fetched, Self::Added, Self::Bought, Self::Opening];
}

/// Where matter ended. Disjoint; together with the stock left they hold all
/// that came in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(usize)]
pub enum Fate {
    /// Drunk at the table as milk.
    Drunk,
    /// Eaten at the table as a product or cream.
    Eaten,
    /// Fetched by the members of a herd share.
    SharedOut,
    /// Given away.
    GivenAway,
    /// Sold.
    Sold,
    /// Drunk by the calf, kid or lamb on the dam.
    Calf,
    /// Fed to animals.
    Fed,
    /// Kept by whoever milks while the family is away.
    KeptByHelper,
    /// Kept from people: colostrum.
    Withheld,
    /// Kept from people: an animal that is ill, or treated and not yet past
    /// the withdrawal days.
    WithheldSick,
    /// Wasted: no room in the cold.
    WastedNoRoom,
    /// Wasted: no clean jar.
    WastedNoJar,
    /// Wasted: soured.
    WastedSoured,
    /// Wasted: foul.
    WastedFoul,
    /// Wasted: a product past its time.
    WastedExpired,
    /// Wasted: share milk nobody fetched.
    WastedUnclaimed,
    /// Wasted: spilled or dirtied pail.
    WastedSpilled,
    /// Wasted: poured out by a rule of the routine.
    WastedPouredOut,
    /// Wasted: a failed batch.
    WastedFailedBatch,
    /// Wasted: stood warm while the power was out.
    WastedOutage,
    /// By-product poured out (no waste of food).
    ByproductPoured,
    /// Film in strainer, jars and pots.
    Film,
    /// Steam.
    Steam,
    /// Water lost in ageing.
    AgeingLoss,
    /// Still in store at the end.
    InStore,
}
/// How many fates.
pub const FATES: usize = Fate::InStore as usize + 1;

impl Fate {
    /// All, in order.
    pub const ALL: [Self; FATES] = [
        Self::Drunk,
        Self::Eaten,
        Self::SharedOut,
        Self::GivenAway,
        Self::Sold,
        Self::Calf,
        Self::Fed,
        Self::KeptByHelper,
        Self::Withheld,
        Self::WithheldSick,
        Self::WastedNoRoom,
        Self::WastedNoJar,
        Self::WastedSoured,
        Self::WastedFoul,
        Self::WastedExpired,
        Self::WastedUnclaimed,
        Self::WastedSpilled,
        Self::WastedPouredOut,
        Self::WastedFailedBatch,
        Self::WastedOutage,
        Self::ByproductPoured,
        Self::Film,
        Self::Steam,
        Self::AgeingLoss,
        Self::InStore,
    ];

    /// Food that people would have eaten.
    #[must_use]
    pub fn is_waste(self) -> bool {
        (Self::WastedNoRoom..=Self::WastedOutage).contains(&self)
    }

    /// Name in files (`wasted_no_room`).
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Drunk => "drunk",
            Self::Eaten => "eaten",
            Self::SharedOut => "shared_out",
            Self::GivenAway => "given_away",
            Self::Sold => "sold",
            Self::Calf => "calf_on_dam",
            Self::Fed => "fed_to_animals",
            Self::KeptByHelper => "kept_by_helper",
            Self::Withheld => "kept_from_people",
            Self::WithheldSick => "kept_from_people_ill",
            Self::WastedNoRoom => "wasted_no_room",
            Self::WastedNoJar => "wasted_no_jar",
            Self::WastedSoured => "wasted_soured",
            Self::WastedFoul => "wasted_foul",
            Self::WastedExpired => "wasted_expired",
            Self::WastedUnclaimed => "wasted_unclaimed",
            Self::WastedSpilled => "wasted_spilled",
            Self::WastedPouredOut => "wasted_poured_out",
            Self::WastedFailedBatch => "wasted_failed_batch",
            Self::WastedOutage => "wasted_outage",
            Self::ByproductPoured => "byproduct_poured",
            Self::Film => "film",
            Self::Steam => "steam",
            Self::AgeingLoss => "lost_in_ageing",
            Self::InStore => "in_store",
        }
    }
}

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
    /// No kitchen minutes left, or nobody at home for long enough.
    Minutes,
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
    /// Freshenings within the run.
    pub freshenings: u32,
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
}
/// How many measures a day has before the stocks of the wishes.
pub const DAY_MEASURES: usize = DayMeasure::MilkShort as usize + 1;
