//! The one table of measures: which there are and in which order. What each is
//! called is in `names`, how it follows from a trial in `values`.

mod names;
mod values;

pub use names::want_words;
pub(super) use values::accepted;

use super::worth::Line;
use crate::scenario::plan::AimMeasure;
use crate::scenario::{Names, Plan};
use crate::sim::outcome::{Fate, Outcome};
use names::file_word;

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
    /// Day on which the first dry weeks begin, counted from 0; as many as the run
    /// has days where there are none.
    FirstDryDay,
    /// Of a wish what serves it, of drinking milk what is drunk and what is
    /// frozen: in store when the first dry weeks begin, kg.
    LaidDown(Want),
    /// Wanted in those weeks, kg.
    Needed(Want),
    /// 1 where at least 99 % of that was served, and where there are no dry weeks;
    /// else 0. Its mean is the chance to come through.
    Bridged(Want),
    /// Days on which it was wanted and that count.
    WantedDays(Want),
    /// Made of what serves a wish, kg; of drinking milk what was frozen.
    Made(Want),
    /// Calendar weeks in which some was made.
    MadeWeeks(Want),
    /// Starters bought.
    StartersBought,
    /// Jars broken.
    JarsBroken,
    /// Times that a member did not come to a pick-up.
    StayedAway,
    /// Times that milk to be fetched did not come.
    FetchesFailed,
    /// Cases of illness of the milked animals.
    SickCases,
    /// Days on which milk was kept from people for illness or treatment, all
    /// animals together.
    SickDays,
    /// Days too hot for an animal in milk, as many as are expected, all animals
    /// together. Only where there is weather.
    HeatDays,
    /// Freshenings within the run.
    Freshenings,
    /// Of them those after the first of each animal in the plan.
    FreshenedAgain,
    /// Freshenings after which breeding ended in vain within the run, or in one
    /// time round of it where she is still open at its end.
    NotSettled,
    /// Days on which young on the bottle went short of milk.
    YoungShortDays,
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
    /// Electricity that the stores use, kWh a day, as they say; the same in every
    /// trial. Only where one says so.
    EnergyUsed,
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
            Self::FirstDryDay,
        ]);
        for want in (0..=wishes).filter_map(|w| Want::try_from(w).ok()) {
            keys.extend([
                Self::LaidDown(want),
                Self::Needed(want),
                Self::Bridged(want),
                Self::WantedDays(want),
                Self::Made(want),
                Self::MadeWeeks(want),
            ]);
        }
        keys.extend([
            Self::StartersBought,
            Self::JarsBroken,
            Self::FetchesFailed,
            Self::SickCases,
            Self::SickDays,
            Self::Freshenings,
            Self::FreshenedAgain,
            Self::NotSettled,
        ]);
        keys
    }

    /// What a plan with weather, young on the bottle, herd shares, told electricity or
    /// prices has beside [`Self::all`].
    fn of_plan(plan: &Plan) -> Vec<Self> {
        let mut keys: Vec<Self> = plan.heat.map(|_| Self::HeatDays).into_iter().collect();
        keys.extend(plan.outlets.iter().any(|o| o.first).then_some(Self::YoungShortDays));
        if let Some(share) = &plan.trade.share {
            keys.extend([
                Self::ShareFill,
                Self::ShareWorstWeek,
                Self::ShareSpread,
                Self::ShortPickUps,
                Self::StayedAway,
            ]);
            if share.named {
                keys.extend((0..share.claims_kg.len() as u16).map(Self::MemberFill));
            }
        }
        if plan.cold.energy_kwh.is_some() {
            keys.push(Self::EnergyUsed);
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
        keys.extend(MeasureKey::of_plan(plan));
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

#[cfg(test)]
mod tests;
