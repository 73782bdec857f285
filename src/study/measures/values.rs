//! How the measures follow from a trial.

use super::super::worth::balance;
use super::{MILK, MeasureKey, Want};
use crate::dairy::matter::Matter;
use crate::scenario::Plan;
use crate::sim::outcome::{Fate, Outcome, Source, WantTally};
use crate::sim::traded::ShareTally;

/// A want has come through the dry weeks when so much of it was served.
const BRIDGED: f64 = 0.99;

/// The part of a want that may come out of what is put up: of milk that is put up, as
/// much as the family drinks thawed.
pub(in crate::study) fn accepted(plan: &Plan, want: Want) -> f64 {
    let household = &plan.household;
    if want == 0 && household.put_up_milk.is_some() && household.thawed_part > 0.0 {
        household.thawed_part
    } else {
        1.0
    }
}

impl MeasureKey {
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
            Self::MilkWithheld => withheld(outcome).mass,
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
            Self::FirstDryDay => outcome.first_dry_day.map_or(plan.days.len() as f64, f64::from),
            Self::LaidDown(w) => want(w).laid_down,
            Self::Needed(w) => want(w).spell_wanted,
            Self::Bridged(w) => {
                let came_through = want(w).spell_served >= BRIDGED * accepted(plan, w) * want(w).spell_wanted;
                f64::from(u8::from(came_through))
            }
            Self::WantedDays(w) => f64::from(want(w).days),
            Self::Made(w) => want(w).made,
            Self::MadeWeeks(w) => f64::from(want(w).made_weeks),
            Self::StartersBought => f64::from(outcome.starters_bought),
            Self::JarsBroken => f64::from(outcome.jars_broken),
            Self::StayedAway => f64::from(outcome.traded.not_fetched),
            Self::FetchesFailed => f64::from(outcome.fetches_failed),
            Self::SickCases => f64::from(outcome.sick_cases),
            Self::SickDays => f64::from(outcome.sick_days),
            Self::HeatDays => outcome.heat_days,
            Self::Freshenings => f64::from(outcome.freshenings),
            Self::FreshenedAgain => f64::from(outcome.freshened_again),
            Self::NotSettled => f64::from(outcome.not_settled),
            Self::YoungShortDays => f64::from(outcome.young_short_days),
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
            Self::EnergyUsed => plan.cold.energy_kwh.unwrap_or(0.0),
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
        - withheld(outcome)
}

/// Drawn and kept from people, whatever became of it.
fn withheld(outcome: &Outcome) -> Matter {
    let all = Fate::ALL.into_iter().filter(|f| f.is_withheld());
    all.fold(Matter::NONE, |sum, f| sum + outcome.fates[f as usize])
}
