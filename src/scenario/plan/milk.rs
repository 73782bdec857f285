//! Where milk comes from: animals, fetches, keeping and losses.

use super::{AnimalNow, WeekdayMask};

pub use crate::dairy::Species;
pub use crate::dairy::breeding::Season as YearSpan;
use crate::dairy::breeding::{Heats, Trying};

/// A milked animal.
#[derive(Clone, Debug)]
pub struct AnimalPlan {
    /// Species.
    pub species: Species,
    /// Curves by lactation: entry 0 is the lactation of the first freshening
    /// in this plan, entry 1 the next, …; the last one repeats.
    pub curves: Vec<CurvePlan>,
    /// Log standard deviation of this animal's own level, drawn once a
    /// lactation with arithmetic mean 1.
    pub level_log_sd: f64,
    /// Part of the level's log variance that stays with the animal from one
    /// lactation to the next (0 to 1).
    pub level_repeat: f64,
    /// Standard deviation of the white part of the day noise (relative).
    pub white_sd: f64,
    /// Standard deviation of the slow part of the day noise (relative).
    pub slow_sd: f64,
    /// Day-to-day autocorrelation of the slow part.
    pub slow_phi: f64,
    /// 1 or 2 milkings a day.
    pub milkings: u8,
    /// Part of the day's milk drawn in the morning when milked twice.
    pub morning_part: f64,
    /// Day-to-day standard deviation of the morning part.
    pub morning_part_sd: f64,
    /// Fat of the evening milking minus fat of the morning milking at the
    /// family's hours, as a mass fraction (0.012 = 1.2 points); negative where
    /// the night is the shorter interval.
    pub evening_fat_excess: f64,
    /// First freshening, days after day 0 (negative: before the run).
    pub freshens_day: f64,
    /// Standard deviation of the freshening day, days.
    pub freshens_sd: f64,
    /// Days from one freshening to the next, mean; `None`: not bred again.
    pub interval: Option<f64>,
    /// Standard deviation of that interval, days.
    pub interval_sd: f64,
    /// Dried off so many days before the next freshening.
    pub dry_days: f64,
    /// The longest lactation, days, when she is not bred again.
    pub longest_days: u16,
    /// Days after freshening whose milk is kept from people.
    pub colostrum_days: u16,
    /// Milk is multiplied by this when milked once a day in early, middle and
    /// late lactation (to day 100, to day 200, after).
    pub once_a_day: [f64; 3],
    /// Her calf, kid or lamb, if it stays.
    pub calf: Option<CalfPlan>,
    /// Minutes of hand milking per milking.
    pub milking_minutes: f64,
    /// What else moves her milk and her year.
    pub course: CoursePlan,
}

/// What moves an animal's milk and her year beyond her curve and her dates. By
/// default nothing does.
#[derive(Clone, Debug, Default)]
pub struct CoursePlan {
    /// The first lactation of the plan is her first.
    pub first_lactation: bool,
    /// Bred cycle by cycle. The `interval` of the animal is then its mean, for
    /// words and checks alone.
    pub bred: Option<BreedingPlan>,
    /// Days before she is dry over which she is milked less and less; 0: at once.
    pub dried_over: u16,
    /// Illness.
    pub illness: Option<IllnessPlan>,
    /// Treatment at dry-off: her milk is kept from people until so many days
    /// after it, and so many days after freshening.
    pub dry_treatment: Option<(f64, f64)>,
    /// What a pregnancy takes from her milk; `None`: nothing.
    pub pull: Option<PullPlan>,
    /// Part of the milk by month, from season and heat; empty: all of it.
    pub months: Vec<f64>,
    /// The same on the days of a hot spell; empty: as on other days.
    pub hot_months: Vec<f64>,
    /// First day on which she is here.
    pub comes: Option<i32>,
    /// First day on which she is gone: sold, lost.
    pub leaves: Option<i32>,
    /// First day on which her young is gone.
    pub calf_leaves: Option<i32>,
    /// How she stands at the start, where that is said.
    pub now: Option<AnimalNow>,
    /// Where her colostrum goes.
    pub colostrum: ColostrumPlan,
}

/// Where colostrum goes; what is left is kept from people and poured out.
#[derive(Clone, Debug, Default)]
pub struct ColostrumPlan {
    /// In this order.
    pub to: Vec<ColostrumTo>,
    /// What the newborn off the dam take a day, kg.
    pub newborn_kg: f64,
    /// Frozen of one freshening at most, kg, as far as a freezer has room; it lies
    /// there until the next.
    pub frozen_kg: f64,
}

/// One who has colostrum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColostrumTo {
    /// The newborn, where they do not drink from the dam.
    Newborn,
    /// The animals that are fed, within what they take of whole milk.
    AnimalsFed,
    /// The freezer, for a later newborn.
    Freezer,
}

/// Breeding after each freshening.
#[derive(Clone, Copy, Debug)]
pub struct BreedingPlan {
    /// Not before so many days after freshening.
    pub wait_days: f64,
    /// Only within these days of the year; the first such span that is not over,
    /// from the one that is written on.
    pub window: Option<YearSpan>,
    /// One that does not settle is tried again when the window, or without one
    /// her season, comes round.
    pub again: bool,
    /// Days from one heat to the next.
    pub cycle_days: f64,
    /// Part of the year in which she comes into heat; `None`: all of it.
    pub season: Option<YearSpan>,
    /// Chance that a heat is seen and used.
    pub seen: f64,
    /// Chance that she conceives then.
    pub settles: f64,
    /// At most so many times, each time round.
    pub tries: u32,
    /// Gestation, days, mean.
    pub gestation_days: f64,
    /// Its standard deviation, days.
    pub gestation_sd: f64,
}

/// What a pregnancy takes from the milk, beyond what the curve holds already.
#[derive(Clone, Copy, Debug)]
pub struct PullPlan {
    /// Its growth, kg a day each week: a first lactation, a later one.
    pub kg: [f64; 2],
    /// Gestation, days: where only the next freshening is known, conception was
    /// so long before it.
    pub gestation_days: f64,
    /// Days in milk at which the pregnancy began that the curve holds already.
    pub ordinary_conception: f64,
}

impl BreedingPlan {
    /// Breeding after a freshening on that day.
    #[must_use]
    pub fn trying(&self, fresh: f64) -> Trying {
        let mut from = fresh + self.wait_days;
        let mut until = f64::INFINITY;
        if let Some(window) = self.window {
            // Dates hold for the year they name and for later ones, not for the year before.
            let (opens, closes) = window.span(from.max(window.opens));
            from = from.max(opens);
            until = closes;
        }
        let again = if self.again { self.window.or(self.season) } else { None };
        if let (Some(season), None) = (again, self.window) {
            until = season.span(from).1;
        }
        Trying {
            heats: Heats { cycle: self.cycle_days, season: self.season },
            from,
            until,
            again,
            seen: self.seen,
            settles: self.settles,
            tries: self.tries,
        }
    }
}

/// Illness: clinical mastitis, with rates for a lactation of 305 days.
#[derive(Clone, Copy, Debug)]
pub struct IllnessPlan {
    /// Cases in a first lactation.
    pub first: f64,
    /// Cases in a later one.
    pub later: f64,
    /// Part of the milk lost on the day of onset.
    pub at_once: f64,
    /// Days over which most of that comes back.
    pub fade_days: f64,
    /// Part lost for the rest of the lactation.
    pub stays: f64,
    /// Log standard deviation of all losses of a case.
    pub loss_log_sd: f64,
    /// Chance that a case is treated.
    pub treated: f64,
    /// Days of treatment, mean.
    pub treatment_days: f64,
    /// Its standard deviation.
    pub treatment_sd: f64,
    /// Days of withdrawal after the last treatment, mean.
    pub withdrawal_days: f64,
    /// Its standard deviation.
    pub withdrawal_sd: f64,
    /// Days for which the milk of an untreated case looks wrong and is kept
    /// from people.
    pub abnormal_days: f64,
}

/// Hot spells: stretches of days hotter than the month usually is.
#[derive(Clone, Copy, Debug)]
pub struct HotPlan {
    /// Spells begin at this rate, a day, by month.
    pub rate: [f64; 12],
    /// Mean length of a spell, days.
    pub days: f64,
}

/// Part of the days on which it is too hot for the animals (the index of
/// [`crate::dairy::heat`] above its limit), by month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatPlan {
    /// Of usual days.
    pub usual: [f64; 12],
    /// Of the days of a hot spell.
    pub hot: [f64; 12],
}

impl HotPlan {
    /// The rate of the month with most of them.
    #[must_use]
    pub fn most_rate(&self) -> f64 {
        self.rate.iter().copied().fold(0.0, f64::max)
    }
}

/// One lactation, per day in milk (index 0 = day 1).
#[derive(Clone, Debug)]
pub struct CurvePlan {
    /// Expected milk, kg a day, milked twice.
    pub yield_kg: Vec<f64>,
    /// Fat, mass fraction.
    pub fat: Vec<f64>,
    /// True protein, mass fraction.
    pub protein: Vec<f64>,
}

/// When a calf, kid or lamb that is shut in is apart from its dam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// Before the morning milking: she is milked in the morning only.
    Night,
    /// Before the evening milking: she is milked in the evening only.
    Day,
    /// Always but after the milkings, of which there are as many as without it:
    /// it drinks what she held back.
    Both,
}

impl Apart {
    /// When it is shut in, in words that follow `shut in`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Night => "overnight",
            Self::Day => "by day",
            Self::Both => "but after milkings",
        }
    }
}

/// Most young of one dam.
pub const MOST_YOUNG: usize = 6;

/// Calf, kid or lamb on the dam.
#[derive(Clone, Copy, Debug)]
pub struct CalfPlan {
    /// How many, at most [`MOST_YOUNG`]; the appetites are those of all together.
    pub number: u8,
    /// Chance that one of them dies in its first weeks.
    pub dies: f64,
    /// Days after freshening until which it runs with the dam day and night.
    pub full_time_until: u16,
    /// Days after freshening until which it is shut in for a part of the day.
    pub shut_in_until: u16,
    /// When it is apart then.
    pub apart: Apart,
    /// Days after freshening until which it is let in after milkings only. From
    /// then on it is gone.
    pub let_in_until: u16,
    /// Part of the day's milk that gathers while it is apart, by night or by day.
    pub apart_part: f64,
    /// Milk it would drink, kg a day, at freshening.
    pub appetite_start_kg: f64,
    /// Milk it would drink, kg a day, from `appetite_full_day` on.
    pub appetite_full_kg: f64,
    /// Days after freshening at which the appetite is full.
    pub appetite_full_day: u16,
    /// Part of the milk that the dam holds back at a milking while the calf
    /// is on her; the calf gets it.
    pub held_back: f64,
    /// Fat of the pail relative to the day's mean while the calf is on (≤ 1).
    pub pail_fat_factor: f64,
}

/// Milk fetched from elsewhere.
#[derive(Clone, Debug)]
pub struct FetchPlan {
    /// Species.
    pub species: Species,
    /// Expected amount a fetch, kg.
    pub kg: f64,
    /// Log standard deviation of the amount (arithmetic mean is `kg`).
    pub log_sd: f64,
    /// Days on which it is fetched.
    pub weekdays: WeekdayMask,
    /// First and last day (inclusive) on which it may be fetched.
    pub from_day: u32,
    /// Last day (inclusive).
    pub until_day: u32,
    /// Days old on arrival.
    pub age_days: f64,
    /// Chance that it does not come.
    pub fails: f64,
    /// Fat, mass fraction.
    pub fat: f64,
    /// True protein, mass fraction.
    pub protein: f64,
    /// Minutes of chores a fetch (driving included if the family counts it).
    pub minutes: f64,
}

/// Keeping life of fresh milk and its hazards.
#[derive(Clone, Copy, Debug)]
pub struct KeepingPlan {
    /// Mean sweet life at 4 °C, days, from drawing.
    pub life_days: f64,
    /// Log standard deviation of the life.
    pub life_log_sd: f64,
    /// Spells of contamination begin at this rate, a day.
    pub spell_rate: f64,
    /// Rate is multiplied by this in the first weeks of the first lactation
    /// of the plan.
    pub spell_early_factor: f64,
    /// Days for which that holds, from the first freshening.
    pub spell_early_days: u32,
    /// Mean length of a spell, days.
    pub spell_days: f64,
    /// Chance that a milking in a spell is foul.
    pub spell_foul: f64,
    /// Foul milk shows after such a part of its sweet life.
    pub foul_life_part: f64,
    /// Chance that a pail is kicked or dirtied, per milking.
    pub spill: f64,
    /// The same in the first weeks of the first lactation.
    pub spill_early: f64,
    /// Days for which sour milk is still of use (fridge).
    pub sour_cap_kg: f64,
}

/// Losses on the way.
#[derive(Clone, Copy, Debug)]
pub struct LossPlan {
    /// Part of each milking left in strainer and pail.
    pub strainer: f64,
    /// Kg left in each jar when it is emptied.
    pub jar_kg: f64,
}
