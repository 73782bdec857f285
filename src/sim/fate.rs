//! Where matter comes from, and where it ends.

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
    /// Colostrum for the newborn, off the dam.
    ColostrumNewborn,
    /// Colostrum fed to other animals.
    ColostrumFed,
    /// Colostrum frozen for a later newborn.
    ColostrumFrozen,
    /// Kept from people: what is left of colostrum, poured out.
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
        Self::ColostrumNewborn,
        Self::ColostrumFed,
        Self::ColostrumFrozen,
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

    /// Drawn and kept from people.
    #[must_use]
    pub fn is_withheld(self) -> bool {
        (Self::ColostrumNewborn..=Self::WithheldSick).contains(&self)
    }

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
            Self::ColostrumNewborn => "colostrum_newborn",
            Self::ColostrumFed => "colostrum_fed",
            Self::ColostrumFrozen => "colostrum_frozen",
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
