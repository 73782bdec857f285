//! Measures and their amounts as a family says them.

use super::super::amounts::{Show, days, percent};
use super::super::words::{fate_words, money};
use crate::scenario::Names;
use crate::sim::outcome::Fate;
use crate::study::compare::Good;
use crate::study::measures::{MILK, MeasureKey, Want};
use crate::units::show;

/// Speaks of measures.
pub(super) struct Tongue<'a> {
    names: &'a Names,
    show: Show,
}

impl<'a> Tongue<'a> {
    pub fn new(names: &'a Names, show: Show) -> Self {
        Self { names, show }
    }

    fn want(&self, want: Want) -> &str {
        match usize::from(want).checked_sub(1) {
            None => "milk",
            Some(w) => self.names.wishes.get(w).map_or("a wish", String::as_str),
        }
    }

    /// The measure as a noun: the words of aims where there are such.
    pub fn noun(&self, key: MeasureKey) -> String {
        use MeasureKey as M;
        let plain = match key {
            M::MilkDrawn => "milk drawn",
            M::MilkFetched => "milk fetched",
            M::MilkWithheld => "milk kept from people",
            M::KeptByHelper => "milk kept by who milked while you were away",
            M::Drunk => "milk drunk",
            M::Eaten => "food made and eaten",
            M::MadeIntoProducts => "milk made into food",
            M::FedToAnimals => "milk fed to animals",
            M::SharedOut => "milk shared out",
            M::GivenAway => "milk given away",
            M::Sold => "milk sold",
            M::Bought => "milk and food bought",
            M::Wasted => "milk and food wasted",
            M::WastedBy(fate) => fate_words(fate.key(), None),
            M::ByproductPoured => "whey and buttermilk poured out",
            M::WastedPart => "waste",
            M::WastedFatPart => "waste of fat",
            M::Fill(MILK) => "drinking milk",
            M::Fill(want) => self.want(want),
            M::ShortDays(want) => return format!("days short of {}", self.want(want)),
            M::LongestGap(want) => return format!("longest time short of {}", self.want(want)),
            M::Short(want) => return format!("{} that was missing", self.want(want)),
            M::DryFill(MILK) => "milk in the dry weeks",
            M::DryFill(want) => return format!("{} in the dry weeks", self.want(want)),
            M::MilkDays => "milk on the table",
            M::ColdRoomWanted => "cold room wanted",
            M::ColdRoomUsed => "cold room used",
            M::JarsWanted => "jars of the cold room wanted",
            M::JarsUsed => "jars in use",
            M::FreezerUsed => "freezer used",
            M::AgeingUsed => "ageing room used",
            M::DaysOverFull => "days over full",
            M::HandsMean => "work a day",
            M::HandsBusiest => "work on the busiest day",
            M::ChoresMean => "chores a day",
            M::KitchenMean => "kitchen work a day",
            M::ChillHours => "hours to chill",
            M::ChillLatePart => "milkings chilled too late",
            M::ChillLeftOutPart => "milkings left out of the cold",
            M::ChillNeverPart => "milkings that never chill",
            M::ChillLate10cPart => "milkings late at 50 °F",
            M::ChillLate7cPart => "milkings late at 45 °F",
            M::ChillLate2hPart => "milkings not cold in 2 hours",
            M::ChillLate1hPart => "milkings not cold in 1 hour",
            M::NeighbourLife => "life lost beside warm jars",
            M::IceUsed => "ice used",
            M::IceShortPart => "milkings with too little ice",
            M::Outages => "outages",
            M::OutageHours => "hours without power",
            M::OutageDiscards => "stores emptied after an outage",
            M::DryDays => "days without milk",
            M::FirstDryDay => "first day without milk",
            M::LaidDown(want) => return format!("{} put up for the dry weeks", self.want(want)),
            M::Needed(want) => return format!("{} wanted in the dry weeks", self.want(want)),
            M::Bridged(want) => return format!("getting through the dry weeks with {}", self.want(want)),
            M::WantedDays(want) => return format!("days on which {} is wanted", self.want(want)),
            M::Made(want) => return format!("{} made", self.want(want)),
            M::MadeWeeks(want) => return format!("weeks in which {} is made", self.want(want)),
            M::StartersBought => "starters bought",
            M::JarsBroken => "jars broken",
            M::StayedAway => "members who stayed away",
            M::FetchesFailed => "milk that did not come",
            M::SickCases => "cases of illness",
            M::SickDays => "days kept back for illness",
            M::HeatDays => "days too hot for the animals",
            M::Freshenings => "freshenings",
            M::FreshenedAgain => "animals that freshened again",
            M::NotSettled => "animals that did not settle",
            M::YoungShortDays => "days on which young went short",
            M::ShareFill => "share promise",
            M::ShareWorstWeek => "worst share week",
            M::ShareSpread => "spread between members",
            M::ShortPickUps => "short pick-ups",
            M::MemberFill(m) => {
                let name = self.names.members.get(usize::from(m)).map_or("a member", String::as_str);
                return format!("promise kept to {name}");
            }
            M::EnergyUsed => "electricity",
            M::Value => "what it was worth",
            M::ValueOf(line) => line.words(),
        };
        plain.to_owned()
    }

    /// A value: `9.8 %`, `12 gal`, `6.5 cu ft`, `1 h 4 min`.
    pub fn value(&self, key: MeasureKey, value: f64) -> String {
        match key.unit() {
            "1" => percent(value),
            "days" => days(value),
            "day" => format!("day {}", show::rough(value)),
            "min/day" if value >= 0.5 => show::minutes(value),
            _ => self.plain(key, value),
        }
    }

    /// A value beside another: `9.8 %, not 5.6 %`, with more digits where that tells
    /// them apart.
    pub fn beside(&self, key: MeasureKey, value: f64, other: f64) -> String {
        let (a, b) = (self.value(key, value), self.value(key, other));
        if a != b {
            return format!("{a}, not {b}");
        }
        if value == other {
            return format!("{a}, as it is");
        }
        for decimals in 1..=2 {
            if let (Some(a), Some(b)) = (fine(key, value, decimals), fine(key, other, decimals))
                && a != b
            {
                return format!("{a}, not {b}");
            }
        }
        let than = if value > other { "more" } else { "less" };
        format!("{a}, barely {than} than as it is")
    }

    /// A temperature, °C.
    pub fn temperature(&self, celsius: f64) -> String {
        self.show.temperature(celsius)
    }

    /// The size of a difference: `5.7 points`, `1.2 min`.
    pub fn size(&self, key: MeasureKey, value: f64) -> String {
        let value = value.abs();
        match key.unit() {
            "1" => points(value),
            "days" | "day" => days(value),
            "min/day" if value >= 59.5 => show::minutes(value),
            "min/day" if value > 0.0 && value < 0.05 => "under 0.1 min".into(),
            _ => self.plain(key, value),
        }
    }

    fn plain(&self, key: MeasureKey, value: f64) -> String {
        use MeasureKey as M;
        match key.unit() {
            "kg" => match key {
                M::Short(want) | M::LaidDown(want) | M::Needed(want) | M::Made(want) if want != MILK => {
                    self.show.mass(value)
                }
                M::Eaten | M::IceUsed => self.show.mass(value),
                _ => self.show.milk(value),
            },
            "L" => self.show.room(value),
            "jars" => super::super::amounts::counted(value, "jar", "jars"),
            "min/day" => format!("{} min", show::rough(value)),
            "money" => money(value, &self.names.money),
            "times" => format!("{} times", show::rough(value)),
            "kWh/day" => format!("{} kWh a day", show::rough(value)),
            "days/day" => format!("{} days a day", show::rough(value)),
            unit => format!("{} {unit}", show::rough(value)),
        }
    }

    /// `5.4 to 6 points`; both in the same unit if they can be.
    pub fn span(&self, key: MeasureKey, [low, high]: [f64; 2]) -> String {
        let (low, high) = (self.size(key, low), self.size(key, high));
        if low == high {
            return high;
        }
        match (low.split_once(' '), high.split_once(' ')) {
            (Some((n, a)), Some((_, b)))
                if a.trim_end_matches('s') == b.trim_end_matches('s') && !b.contains(' ') =>
            {
                format!("{n} to {high}")
            }
            _ => format!("{low} to {high}"),
        }
    }
}

/// With so many decimals, where that is usual.
fn fine(key: MeasureKey, value: f64, decimals: usize) -> Option<String> {
    match key.unit() {
        "1" => Some(format!("{} %", show::fixed(value * 100.0, decimals))),
        "days" => Some(format!("{} days", show::fixed(value, decimals))),
        "min/day" if value >= 60.0 => {
            let hours = (value / 60.0).floor();
            Some(format!("{hours} h {} min", show::fixed(value - 60.0 * hours, decimals)))
        }
        "min/day" => Some(format!("{} min", show::fixed(value, decimals))),
        "h" => Some(format!("{} h", show::fixed(value, decimals))),
        _ => None,
    }
}

/// Points of a percent.
pub(super) fn points(part: f64) -> String {
    let points = part * 100.0;
    if points > 0.0 && points < 0.05 {
        return "under 0.1 points".into();
    }
    let text = show::fixed(points, usize::from(points < 9.95));
    format!("{text} {}", if text == "1" { "point" } else { "points" })
}

/// The word for a higher and a lower value of a measure.
pub(super) fn direction(difference: f64) -> &'static str {
    if difference > 0.0 { "more" } else { "less" }
}

/// Is a measure told in words where none were named: what a family decides by.
pub(super) fn is_headline(key: MeasureKey, good: Good) -> bool {
    use MeasureKey as M;
    match key {
        M::Fill(want) | M::DryFill(want) | M::ShortDays(want) | M::LongestGap(want) => {
            (want == MILK) != matches!(key, M::Fill(_))
        }
        M::WastedPart
        | M::DaysOverFull
        | M::HandsMean
        | M::HandsBusiest
        | M::ShareFill
        | M::ShareWorstWeek
        | M::ShortPickUps
        | M::ChillLatePart
        | M::OutageDiscards
        | M::EnergyUsed
        | M::Value => true,
        M::WastedBy(Fate::WastedUnclaimed) | M::ShareSpread | M::MemberFill(_) | M::StayedAway => true,
        M::LaidDown(want) | M::Bridged(want) => want != MILK,
        M::MilkDrawn | M::MilkFetched | M::FedToAnimals | M::ColdRoomWanted | M::DryDays => {
            good == Good::Told
        }
        _ => false,
    }
}
