//! What the measures are called in files, and their units.

use super::{MeasureKey, Want};
use crate::scenario::{Names, Plan};

impl MeasureKey {
    /// Name in files; `wants` are the words of the wants, drinking milk first.
    #[must_use]
    pub fn name(self, wants: &[String]) -> String {
        let of = |want: Want, what: &str| match wants.get(usize::from(want)) {
            Some(w) => format!("{w}_{what}"),
            None => format!("wish_{want}_{what}"),
        };
        match self {
            Self::MilkDrawn => "milk_drawn".into(),
            Self::MilkFetched => "milk_fetched".into(),
            Self::MilkWithheld => "milk_withheld".into(),
            Self::KeptByHelper => "kept_by_helper".into(),
            Self::Drunk => "drunk".into(),
            Self::Eaten => "eaten".into(),
            Self::MadeIntoProducts => "made_into_products".into(),
            Self::FedToAnimals => "fed_to_animals".into(),
            Self::SharedOut => "shared_out".into(),
            Self::GivenAway => "given_away".into(),
            Self::Sold => "sold".into(),
            Self::Bought => "bought".into(),
            Self::Wasted => "wasted".into(),
            Self::WastedBy(fate) => fate.key().into(),
            Self::ByproductPoured => "byproduct_poured".into(),
            Self::WastedPart => "wasted_part".into(),
            Self::WastedFatPart => "wasted_fat_part".into(),
            Self::Fill(want) => of(want, "fill"),
            Self::ShortDays(want) => of(want, "short_days"),
            Self::LongestGap(want) => of(want, "longest_gap"),
            Self::Short(want) => of(want, "short"),
            Self::DryFill(want) => of(want, "dry_fill"),
            Self::MilkDays => "milk_days".into(),
            Self::ColdRoomWanted => "cold_room_wanted".into(),
            Self::ColdRoomUsed => "cold_room_used".into(),
            Self::JarsWanted => "jars_wanted".into(),
            Self::JarsUsed => "jars_used".into(),
            Self::FreezerUsed => "freezer_used".into(),
            Self::AgeingUsed => "ageing_used".into(),
            Self::DaysOverFull => "days_over_full".into(),
            Self::HandsMean => "hands_used".into(),
            Self::HandsBusiest => "hands_used_busiest".into(),
            Self::ChoresMean => "chores_mean".into(),
            Self::KitchenMean => "kitchen_mean".into(),
            Self::ChillHours => "chill_hours".into(),
            Self::ChillLatePart => "chill_late_part".into(),
            Self::ChillLeftOutPart => "chill_left_out_part".into(),
            Self::ChillNeverPart => "chill_never_part".into(),
            Self::ChillLate10cPart => "chill_late_10c_part".into(),
            Self::ChillLate7cPart => "chill_late_7c_part".into(),
            Self::ChillLate2hPart => "chill_late_2h_part".into(),
            Self::ChillLate1hPart => "chill_late_1h_part".into(),
            Self::NeighbourLife => "neighbour_life".into(),
            Self::IceUsed => "ice_used".into(),
            Self::IceShortPart => "ice_short_part".into(),
            Self::Outages => "outages".into(),
            Self::OutageHours => "outage_hours".into(),
            Self::OutageDiscards => "outage_discards".into(),
            Self::DryDays => "dry_days".into(),
            Self::FirstDryDay => "first_dry_day".into(),
            Self::LaidDown(want) => of(want, "laid_down"),
            Self::Needed(want) => of(want, "needed"),
            Self::Bridged(want) => of(want, "bridged"),
            Self::WantedDays(want) => of(want, "wanted_days"),
            Self::Made(want) => of(want, "made"),
            Self::MadeWeeks(want) => of(want, "made_weeks"),
            Self::StartersBought => "starters_bought".into(),
            Self::JarsBroken => "jars_broken".into(),
            Self::StayedAway => "members_stayed_away".into(),
            Self::FetchesFailed => "fetches_failed".into(),
            Self::SickCases => "sick_cases".into(),
            Self::SickDays => "sick_days".into(),
            Self::HeatDays => "heat_days".into(),
            Self::Freshenings => "freshenings".into(),
            Self::FreshenedAgain => "freshened_again".into(),
            Self::NotSettled => "not_settled".into(),
            Self::YoungShortDays => "young_short_days".into(),
            Self::ShareFill => "share_fill".into(),
            Self::ShareWorstWeek => "share_worst_week".into(),
            Self::ShareSpread => "share_spread".into(),
            Self::ShortPickUps => "short_pick_ups".into(),
            Self::MemberFill(m) => format!("share_fill_{}", m + 1),
            Self::EnergyUsed => "energy_used".into(),
            Self::Value => "value".into(),
            Self::ValueOf(line) => format!("value_{}", line.key()),
        }
    }

    /// Unit in files; `1` for parts.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::MilkDrawn
            | Self::MilkFetched
            | Self::MilkWithheld
            | Self::KeptByHelper
            | Self::Drunk
            | Self::Eaten
            | Self::MadeIntoProducts
            | Self::FedToAnimals
            | Self::SharedOut
            | Self::GivenAway
            | Self::Sold
            | Self::Bought
            | Self::Wasted
            | Self::WastedBy(_)
            | Self::ByproductPoured
            | Self::IceUsed
            | Self::LaidDown(_)
            | Self::Needed(_)
            | Self::Made(_)
            | Self::Short(_) => "kg",
            Self::WastedPart
            | Self::WastedFatPart
            | Self::Fill(_)
            | Self::DryFill(_)
            | Self::MilkDays
            | Self::ChillLeftOutPart
            | Self::ChillNeverPart
            | Self::ChillLate10cPart
            | Self::ChillLate7cPart
            | Self::ChillLate2hPart
            | Self::ChillLate1hPart
            | Self::IceShortPart
            | Self::ChillLatePart
            | Self::Bridged(_)
            | Self::ShareFill
            | Self::ShareWorstWeek
            | Self::ShareSpread
            | Self::MemberFill(_) => "1",
            Self::ShortDays(_)
            | Self::LongestGap(_)
            | Self::DaysOverFull
            | Self::DryDays
            | Self::SickDays
            | Self::HeatDays
            | Self::YoungShortDays
            | Self::WantedDays(_)
            | Self::ShortPickUps => "days",
            Self::FirstDryDay => "day",
            Self::MadeWeeks(_) => "weeks",
            Self::ColdRoomWanted | Self::ColdRoomUsed | Self::FreezerUsed | Self::AgeingUsed => "L",
            Self::JarsWanted | Self::JarsUsed | Self::JarsBroken => "jars",
            Self::HandsMean | Self::HandsBusiest | Self::ChoresMean | Self::KitchenMean => "min/day",
            Self::ChillHours | Self::OutageHours => "h",
            Self::NeighbourLife => "days/day",
            Self::Outages
            | Self::OutageDiscards
            | Self::StartersBought
            | Self::StayedAway
            | Self::FetchesFailed
            | Self::SickCases
            | Self::Freshenings
            | Self::FreshenedAgain
            | Self::NotSettled => "times",
            Self::EnergyUsed => "kWh/day",
            Self::Value | Self::ValueOf(_) => "money",
        }
    }
}

/// Words of the wants in file names, drinking milk first: lower case, one
/// underscore for anything but letters and digits, a number after a word that
/// was taken before. A want `x` has a measure `x_dry_fill`, which the fill of a
/// want `x_dry` would be called too: such a word counts as taken.
#[must_use]
pub fn want_words(plan: &Plan, names: &Names) -> Vec<String> {
    let mut words = vec!["milk".to_owned()];
    for wish in 0..plan.household.wishes.len() {
        let word = names.wishes.get(wish).map_or_else(String::new, |w| file_word(w));
        let word = if word.is_empty() { format!("wish_{}", wish + 1) } else { word };
        let mut free = word.clone();
        let mut count = 2;
        let clash = |a: &str, b: &str| a == b || a.strip_suffix("_dry") == Some(b);
        while words.iter().any(|w| clash(w, &free) || clash(&free, w)) {
            free = format!("{word}_{count}");
            count += 1;
        }
        words.push(free);
    }
    words
}

/// A word fit for a file: `hard cheese` becomes `hard_cheese`.
pub(super) fn file_word(words: &str) -> String {
    let parts = words.split(|c: char| !c.is_alphanumeric()).filter(|p| !p.is_empty());
    parts.collect::<Vec<_>>().join("_").to_lowercase()
}
