//! Which way a measure is good, and how much of it matters.

use super::super::measures::MeasureKey;

/// Which way is good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Good {
    /// More is better.
    More,
    /// Less is better.
    Less,
    /// Neither: it is only told.
    Told,
}

impl Good {
    /// Name in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::More => "more",
            Self::Less => "less",
            Self::Told => "neither",
        }
    }
}

/// Which way a measure is good. Amounts that follow from what the family
/// chooses to do with its milk, and room, are neither.
#[must_use]
pub const fn good(key: MeasureKey) -> Good {
    use MeasureKey as M;
    match key {
        M::MilkDrawn
        | M::MilkFetched
        | M::MilkWithheld
        | M::KeptByHelper
        | M::MadeIntoProducts
        | M::FedToAnimals
        | M::SharedOut
        | M::GivenAway
        | M::Sold
        | M::ByproductPoured
        | M::ColdRoomWanted
        | M::ColdRoomUsed
        | M::JarsWanted
        | M::JarsUsed
        | M::FreezerUsed
        | M::AgeingUsed
        | M::IceUsed
        | M::Outages
        | M::OutageHours
        | M::DryDays
        | M::FirstDryDay
        | M::LaidDown(_)
        | M::Needed(_)
        | M::WantedDays(_)
        | M::Made(_)
        | M::MadeWeeks(_)
        | M::StayedAway
        | M::FetchesFailed
        | M::Freshenings
        | M::FreshenedAgain => Good::Told,
        M::Drunk
        | M::Eaten
        | M::Fill(_)
        | M::DryFill(_)
        | M::MilkDays
        | M::Bridged(_)
        | M::ShareFill
        | M::ShareWorstWeek
        | M::MemberFill(_)
        | M::Value
        | M::ValueOf(_) => Good::More,
        M::Bought
        | M::Wasted
        | M::WastedBy(_)
        | M::WastedPart
        | M::WastedFatPart
        | M::ShortDays(_)
        | M::LongestGap(_)
        | M::Short(_)
        | M::DaysOverFull
        | M::HandsMean
        | M::HandsBusiest
        | M::ChoresMean
        | M::KitchenMean
        | M::ChillHours
        | M::ChillLatePart
        | M::ChillLeftOutPart
        | M::ChillNeverPart
        | M::ChillLate10cPart
        | M::ChillLate7cPart
        | M::ChillLate2hPart
        | M::ChillLate1hPart
        | M::NeighbourLife
        | M::IceShortPart
        | M::OutageDiscards
        | M::StartersBought
        | M::JarsBroken
        | M::SickCases
        | M::SickDays
        | M::HeatDays
        | M::NotSettled
        | M::YoungShortDays
        | M::ShareSpread
        | M::ShortPickUps
        | M::EnergyUsed => Good::Less,
    }
}

/// The difference from which on a measure matters, in its unit, over a run of
/// so many days: a point of a percent; a day; two minutes a day (ten of the
/// busiest day); a jar and the room of a few; a quarter of an hour of chilling; a tenth of a kWh a day;
/// and a year's 5 kg of milk, 1 kg of a product, 25 of money. Our defaults: a
/// family would hardly notice less.
#[must_use]
pub fn margin(key: MeasureKey, days: u32) -> f64 {
    use MeasureKey as M;
    let years = f64::from(days) / 365.25;
    match key {
        M::HandsBusiest => 10.0,
        M::Short(want) if want > 0 => years,
        M::Eaten => years,
        M::OutageDiscards | M::Outages | M::SickCases | M::NotSettled => 0.1,
        M::StartersBought | M::JarsBroken => 1.0,
        _ => match key.unit() {
            "1" => 0.01,
            "days" | "jars" => 1.0,
            "min/day" => 2.0,
            "kg" => 5.0 * years,
            "L" => 5.0,
            "h" => 0.25,
            "days/day" => 0.05,
            "kWh/day" => 0.1,
            "money" => 25.0 * years,
            _ => 0.0,
        },
    }
}

/// The difference of the part of years in which an aim is kept from which on it
/// matters: 1 year in 50.
pub const AIM_MARGIN: f64 = 0.02;
