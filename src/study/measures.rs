//! The one table of measures: what each is called, in which unit, and how it
//! follows from a trial. Run, compare, sweep and size all read it.

use super::worth::{Line, balance};
use crate::dairy::matter::Matter;
use crate::scenario::plan::AimMeasure;
use crate::scenario::{Names, Plan};
use crate::sim::outcome::{Fate, Outcome, Source, WantTally};
use crate::sim::traded::ShareTally;

/// A want of the table: 0 is drinking milk, w + 1 the wish w.
pub type Want = u16;
/// Drinking milk.
pub const MILK: Want = 0;

/// A measure of one trial over the whole run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MeasureKey {
    /// Milk drawn into the pail, the calf's part left out, kg.
    MilkDrawn,
    /// Milk fetched, kg.
    MilkFetched,
    /// Milk kept from people (colostrum), kg.
    MilkWithheld,
    /// Milk kept by whoever milks while the family is away, kg.
    KeptByHelper,
    /// Drunk at the table as milk, kg.
    Drunk,
    /// Eaten at the table as a product or cream, kg.
    Eaten,
    /// Milk that went into batches, kg.
    MadeIntoProducts,
    /// Fed to animals, kg.
    FedToAnimals,
    /// Shared out to members, kg.
    SharedOut,
    /// Given away, kg.
    GivenAway,
    /// Sold, kg.
    Sold,
    /// Bought for the table or the store, kg.
    Bought,
    /// Food for people that was wasted, all causes, kg.
    Wasted,
    /// Wasted by one cause (a fate for which [`Fate::is_waste`] holds), kg.
    WastedBy(Fate),
    /// By-products poured out, kg; no waste of food.
    ByproductPoured,
    /// Wasted over the milk fit for people: drawn, less the calf's and what was
    /// kept from people, and fetched.
    WastedPart,
    /// The same of the fat.
    WastedFatPart,
    /// Part of what was wanted that was served; 1 where nothing was wanted.
    Fill(Want),
    /// Days on which less than 99 % was served.
    ShortDays(Want),
    /// Longest run of short days.
    LongestGap(Want),
    /// Wanted and not served, kg.
    Short(Want),
    /// Part of the wants of the dry weeks that was served; 1 without any.
    DryFill(Want),
    /// Part of days on which all the drinking milk wanted was there.
    MilkDays,
    /// Cold room wanted, L, fullest moment.
    ColdRoomWanted,
    /// Cold room used, L, fullest moment.
    ColdRoomUsed,
    /// Jars of the main size asked of the cold room, fullest moment.
    JarsWanted,
    /// Jars in use, fullest moment.
    JarsUsed,
    /// Freezer used, L, fullest moment.
    FreezerUsed,
    /// Ageing space used, L, fullest moment.
    AgeingUsed,
    /// Days on which something had no place in the cold.
    DaysOverFull,
    /// Chores and kitchen together, mean min/day.
    HandsMean,
    /// Chores and kitchen on the busiest day, min.
    HandsBusiest,
    /// Chores, mean min/day.
    ChoresMean,
    /// Kitchen time used, mean min/day.
    KitchenMean,
    /// Hours to 4.4 °C of the slowest jar, mean over milkings that all went into
    /// the cold; 0 without any.
    ChillHours,
    /// Part of milkings later than the two-hour rule, those left on the counter
    /// for want of room among them; 0 without any.
    ChillLatePart,
    /// Part of milkings of which some stayed on the counter for want of room; 0 without any.
    ChillLeftOutPart,
    /// Part of milkings that never come down to 4.4 °C where they stand; 0 without any.
    ChillNeverPart,
    /// The same of the first half of that rule alone (10 °C).
    ChillLate10cPart,
    /// The same of its second half alone (7 °C).
    ChillLate7cPart,
    /// Part of milkings not at 4.4 °C two hours after milking.
    ChillLate2hPart,
    /// Part of milkings not at 4.4 °C one hour after milking.
    ChillLate1hPart,
    /// Sweet life that warm loads cost what stands beside them, days a day.
    NeighbourLife,
    /// Ice used, kg.
    IceUsed,
    /// Part of milkings for whose bath there was too little ice.
    IceShortPart,
    /// Times the power failed.
    Outages,
    /// Hours without power.
    OutageHours,
    /// Times the food of a store was discarded because of it.
    OutageDiscards,
    /// Days without milk for people from any animal.
    DryDays,
    /// Part of the promise to all members that was kept; 1 where nothing was
    /// promised. Only where there are herd shares.
    ShareFill,
    /// Part of the promise kept in the worst calendar week of the worst-served
    /// member of that week.
    ShareWorstWeek,
    /// Part of the promise kept of the best-served member less that of the
    /// worst-served.
    ShareSpread,
    /// Pick-up days on which the promise was not all there.
    ShortPickUps,
    /// Part of the promise to one member that was kept.
    MemberFill(u16),
    /// The balance in money. Only where something has a price.
    Value,
    /// One line of the balance.
    ValueOf(Line),
}

impl MeasureKey {
    /// All measures of a plan with so many wishes, in the order of the files.
    #[must_use]
    pub fn all(wishes: usize) -> Vec<Self> {
        let mut keys = vec![
            Self::MilkDrawn,
            Self::MilkFetched,
            Self::MilkWithheld,
            Self::KeptByHelper,
            Self::Drunk,
            Self::Eaten,
            Self::MadeIntoProducts,
            Self::FedToAnimals,
            Self::SharedOut,
            Self::GivenAway,
            Self::Sold,
            Self::Bought,
            Self::Wasted,
        ];
        keys.extend(Fate::ALL.into_iter().filter(|f| f.is_waste()).map(Self::WastedBy));
        keys.extend([Self::ByproductPoured, Self::WastedPart, Self::WastedFatPart, Self::MilkDays]);
        for want in (0..=wishes).filter_map(|w| Want::try_from(w).ok()) {
            keys.extend([
                Self::Fill(want),
                Self::ShortDays(want),
                Self::LongestGap(want),
                Self::Short(want),
                Self::DryFill(want),
            ]);
        }
        keys.extend([
            Self::ColdRoomWanted,
            Self::ColdRoomUsed,
            Self::JarsWanted,
            Self::JarsUsed,
            Self::FreezerUsed,
            Self::AgeingUsed,
            Self::DaysOverFull,
            Self::HandsMean,
            Self::HandsBusiest,
            Self::ChoresMean,
            Self::KitchenMean,
            Self::ChillHours,
            Self::ChillLatePart,
            Self::ChillLeftOutPart,
            Self::ChillNeverPart,
            Self::DryDays,
            Self::ChillLate10cPart,
            Self::ChillLate7cPart,
            Self::ChillLate2hPart,
            Self::ChillLate1hPart,
            Self::NeighbourLife,
            Self::IceUsed,
            Self::IceShortPart,
            Self::Outages,
            Self::OutageHours,
            Self::OutageDiscards,
        ]);
        keys
    }

    /// What a plan with herd shares or prices has beside [`Self::all`].
    fn of_trade(plan: &Plan) -> Vec<Self> {
        let mut keys = Vec::new();
        if let Some(share) = &plan.trade.share {
            keys.extend([Self::ShareFill, Self::ShareWorstWeek, Self::ShareSpread, Self::ShortPickUps]);
            if share.named {
                keys.extend((0..share.claims_kg.len() as u16).map(Self::MemberFill));
            }
        }
        if plan.trade.worth.is_some() {
            keys.push(Self::Value);
            keys.extend(Line::ALL.map(Self::ValueOf));
        }
        keys
    }

    /// The measure that an aim speaks of.
    #[must_use]
    pub fn of_aim(aim: AimMeasure) -> Self {
        match aim {
            AimMeasure::WastedPart => Self::WastedPart,
            AimMeasure::MilkDays => Self::MilkDays,
            AimMeasure::MilkFill => Self::Fill(MILK),
            AimMeasure::WishFill(wish) => Self::Fill(wish.saturating_add(1)),
            AimMeasure::DryFill => Self::DryFill(MILK),
            AimMeasure::DaysOverFull => Self::DaysOverFull,
            AimMeasure::HandsMean => Self::HandsMean,
            AimMeasure::HandsBusiest => Self::HandsBusiest,
            AimMeasure::ShareFill => Self::ShareFill,
            AimMeasure::ShareWorstWeek => Self::ShareWorstWeek,
        }
    }

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
            Self::ShareFill => "share_fill".into(),
            Self::ShareWorstWeek => "share_worst_week".into(),
            Self::ShareSpread => "share_spread".into(),
            Self::ShortPickUps => "short_pick_ups".into(),
            Self::MemberFill(m) => format!("share_fill_{}", m + 1),
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
            | Self::ShareFill
            | Self::ShareWorstWeek
            | Self::ShareSpread
            | Self::MemberFill(_) => "1",
            Self::ShortDays(_)
            | Self::LongestGap(_)
            | Self::DaysOverFull
            | Self::DryDays
            | Self::ShortPickUps => "days",
            Self::ColdRoomWanted | Self::ColdRoomUsed | Self::FreezerUsed | Self::AgeingUsed => "L",
            Self::JarsWanted | Self::JarsUsed => "jars",
            Self::HandsMean | Self::HandsBusiest | Self::ChoresMean | Self::KitchenMean => "min/day",
            Self::ChillHours | Self::OutageHours => "h",
            Self::NeighbourLife => "days/day",
            Self::Outages | Self::OutageDiscards => "times",
            Self::Value | Self::ValueOf(_) => "money",
        }
    }

    /// Its value in a trial of a plan.
    #[must_use]
    pub fn value(self, outcome: &Outcome, plan: &Plan) -> f64 {
        let fate = |f: Fate| outcome.fates[f as usize];
        let source = |s: Source| outcome.sources[s as usize];
        let want = |w: Want| outcome.wants.get(usize::from(w)).copied().unwrap_or_default();
        let of_milkings = |n: u32| ratio(f64::from(n), f64::from(outcome.milkings), 0.0);
        let a_day = |minutes: f64| ratio(minutes, plan.days.len() as f64, 0.0);
        match self {
            Self::MilkDrawn => source(Source::Drawn).mass - fate(Fate::Calf).mass,
            Self::MilkFetched => source(Source::Fetched).mass,
            Self::MilkWithheld => fate(Fate::Withheld).mass + fate(Fate::WithheldSick).mass,
            Self::KeptByHelper => fate(Fate::KeptByHelper).mass,
            Self::Drunk => fate(Fate::Drunk).mass,
            Self::Eaten => fate(Fate::Eaten).mass,
            Self::MadeIntoProducts => outcome.made_into_products,
            Self::FedToAnimals => fate(Fate::Fed).mass,
            Self::SharedOut => fate(Fate::SharedOut).mass,
            Self::GivenAway => fate(Fate::GivenAway).mass,
            Self::Sold => fate(Fate::Sold).mass,
            Self::Bought => source(Source::Bought).mass,
            Self::Wasted => wasted(outcome).mass,
            Self::WastedBy(cause) => fate(cause).mass,
            Self::ByproductPoured => fate(Fate::ByproductPoured).mass,
            Self::WastedPart => ratio(wasted(outcome).mass, fit_for_people(outcome).mass, 0.0),
            Self::WastedFatPart => ratio(wasted(outcome).fat, fit_for_people(outcome).fat, 0.0),
            Self::Fill(w) => ratio(want(w).served, want(w).wanted, nothing_wanted(w, plan)),
            Self::ShortDays(w) => f64::from(want(w).short_days),
            Self::LongestGap(w) => f64::from(want(w).longest_gap),
            Self::Short(w) => (want(w).wanted - want(w).served).max(0.0),
            Self::DryFill(w) => ratio(want(w).dry_served, want(w).dry_wanted, 1.0),
            Self::MilkDays => {
                let WantTally { days, short_days, .. } = want(MILK);
                if days == 0 {
                    return nothing_wanted(MILK, plan);
                }
                1.0 - f64::from(short_days) / f64::from(days)
            }
            Self::ColdRoomWanted => outcome.cold_wanted_l,
            Self::ColdRoomUsed => outcome.cold_used_l,
            Self::JarsWanted => outcome.jars_wanted,
            Self::JarsUsed => f64::from(outcome.jars_used),
            Self::FreezerUsed => outcome.freezer_used_l,
            Self::AgeingUsed => outcome.ageing_used_l,
            Self::DaysOverFull => f64::from(outcome.days_over_full),
            Self::HandsMean => a_day(outcome.chore_minutes + outcome.kitchen_minutes),
            Self::HandsBusiest => outcome.busiest_minutes,
            Self::ChoresMean => a_day(outcome.chore_minutes),
            Self::KitchenMean => a_day(outcome.kitchen_minutes),
            Self::ChillHours => {
                let other = outcome.chill_left_out + outcome.chill_never;
                let chilled = outcome.milkings.saturating_sub(other);
                ratio(outcome.chill_hours, f64::from(chilled), 0.0)
            }
            Self::ChillLeftOutPart => of_milkings(outcome.chill_left_out),
            Self::ChillNeverPart => of_milkings(outcome.chill_never),
            Self::ChillLatePart => of_milkings(outcome.chill_late),
            Self::ChillLate10cPart => of_milkings(outcome.chill_late_10c),
            Self::ChillLate7cPart => of_milkings(outcome.chill_late_7c),
            Self::ChillLate2hPart => of_milkings(outcome.chill_late_2h),
            Self::ChillLate1hPart => of_milkings(outcome.chill_late_1h),
            Self::NeighbourLife => a_day(outcome.neighbour_days),
            Self::IceUsed => outcome.ice_kg,
            Self::IceShortPart => of_milkings(outcome.ice_short),
            Self::Outages => f64::from(outcome.outages),
            Self::OutageHours => outcome.outage_hours,
            Self::OutageDiscards => f64::from(outcome.outage_discards),
            Self::DryDays => f64::from(outcome.dry_days),
            Self::ShareFill => {
                let all = outcome.traded.shares.iter();
                let (kept, promised) = all.fold((0.0, 0.0), |(k, p), s| (k + s.kept, p + s.promised));
                ratio(kept, promised, 1.0)
            }
            Self::ShareWorstWeek => {
                1.0 - outcome.traded.shares.iter().map(|s| s.worst_loss).fold(0.0, f64::max)
            }
            Self::ShareSpread => {
                let fills = outcome.traded.shares.iter().map(ShareTally::fill);
                let (least, most) = fills.fold((f64::INFINITY, 0.0_f64), |(a, b), f| (a.min(f), b.max(f)));
                if least.is_finite() { most - least } else { 0.0 }
            }
            Self::ShortPickUps => f64::from(outcome.traded.short_pick_ups),
            Self::MemberFill(m) => outcome.traded.shares.get(usize::from(m)).map_or(1.0, ShareTally::fill),
            Self::Value => balance(outcome, plan),
            Self::ValueOf(line) => line.value(outcome, plan),
        }
    }
}

/// The part served where no day counted: all of nothing, but none of the milk
/// that people waited for to the end of the run.
fn nothing_wanted(want: Want, plan: &Plan) -> f64 {
    let waited = want == MILK && !plan.household.people.is_empty() && !plan.animals.is_empty();
    f64::from(u8::from(!waited))
}

/// `over / under`, or `otherwise` where there is next to nothing (at most
/// 1e-9) to divide by.
fn ratio(over: f64, under: f64, otherwise: f64) -> f64 {
    if under > 1e-9 { over / under } else { otherwise }
}

/// All that was wasted, whatever the cause.
fn wasted(outcome: &Outcome) -> Matter {
    Fate::ALL
        .into_iter()
        .filter(|f| f.is_waste())
        .fold(Matter::NONE, |sum, f| sum + outcome.fates[f as usize])
}

/// Milk fit for people: drawn and fetched, less the calf's and what was kept
/// from people.
fn fit_for_people(outcome: &Outcome) -> Matter {
    outcome.sources[Source::Drawn as usize] + outcome.sources[Source::Fetched as usize]
        - outcome.fates[Fate::Calf as usize]
        - outcome.fates[Fate::Withheld as usize]
        - outcome.fates[Fate::WithheldSick as usize]
}

/// The measures of one scenario with their names.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Keys in the order of the files.
    pub keys: Vec<MeasureKey>,
    /// Their names, all different.
    pub names: Vec<String>,
}

impl Table {
    /// The table of a scenario.
    #[must_use]
    pub fn new(plan: &Plan, names: &Names) -> Self {
        let wants = want_words(plan, names);
        let mut keys = MeasureKey::all(plan.household.wishes.len());
        keys.extend(MeasureKey::of_trade(plan));
        let member = |m: u16| names.members.get(usize::from(m)).map(|n| file_word(n));
        let mut words: Vec<String> = Vec::with_capacity(keys.len());
        for key in &keys {
            let plain = key.name(&wants);
            // A member's own word, unless it is none or taken.
            let own = match key {
                MeasureKey::MemberFill(m) => member(*m).filter(|w| !w.is_empty()),
                _ => None,
            };
            let own = own.map(|w| format!("share_fill_{w}")).filter(|w| !words.contains(w));
            words.push(own.unwrap_or(plain));
        }
        let names = words;
        Self { keys, names }
    }

    /// Column of a measure.
    #[must_use]
    pub fn column(&self, key: MeasureKey) -> Option<usize> {
        self.keys.iter().position(|k| *k == key)
    }

    /// Values of one trial, appended to `row`.
    pub fn append(&self, outcome: &Outcome, plan: &Plan, row: &mut Vec<f64>) {
        row.extend(self.keys.iter().map(|k| k.value(outcome, plan)));
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
fn file_word(words: &str) -> String {
    let parts = words.split(|c: char| !c.is_alphanumeric()).filter(|p| !p.is_empty());
    parts.collect::<Vec<_>>().join("_").to_lowercase()
}

#[cfg(test)]
mod tests;
