//! Looking on while a trial runs: what stands in its books after each moment
//! of a day. Looking draws nothing and changes nothing.

use super::DayLog;
use super::Luck;
pub use super::herd::Calf;
use super::herd::DayMilk;
use super::outcome::{FATES, Fate, Outcome, RuleTally, SOURCES, WantTally};
use super::traded::ShareTally;
use super::trial::Trial;
use crate::dairy::breeding::Tried;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{ItemId, JarId, PlaceId};

/// What has just happened when a watcher is asked to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moment {
    /// A day has begun; nothing of it has happened.
    Dawn,
    /// Time has passed: what was due has soured, spoilt or become ready.
    Passed,
    /// A milking.
    Milked {
        /// The evening's.
        evening: bool,
    },
    /// Jars have found their places, after tonight's list if the cold was full.
    Room,
    /// Young that live on milk have been fed.
    Young,
    /// A rule of the routine has had its turn.
    Rule(usize),
    /// Milk was fetched, or not.
    Fetched,
    /// Members fetched their shares.
    PickUps,
    /// What is over was sold and given away.
    Spare,
    /// Drinking milk was poured.
    Drunk,
    /// A wish was served.
    Wish(usize),
    /// The evening round of the animals that are fed.
    Round,
    /// The washing-up.
    Washed,
    /// What begins tomorrow was settled.
    Tomorrow,
    /// The day is over.
    Over,
}

/// A trial as it stands at a moment.
#[derive(Clone, Copy, Debug)]
pub struct View<'a, 'p> {
    trial: &'a Trial<'p>,
}

/// What was fullest on a day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fullest {
    /// Cold room wanted, L, other food included.
    pub cold_wanted_l: f64,
    /// Cold room used, L, other food included.
    pub cold_used_l: f64,
    /// Jars in use or waiting to be washed, all sizes.
    pub jars_used: u32,
    /// Something had no place in the cold.
    pub over_full: bool,
}

/// What one animal gave on a day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Milked {
    /// Into the pail at each milking.
    pub pails: [Matter; 2],
    /// To the calf on its dam.
    pub calf: Matter,
    /// Kept from people as colostrum.
    pub withheld: bool,
    /// Kept from people because she is ill or was treated.
    pub ill: bool,
}

/// Something that stands somewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stored {
    /// Where.
    pub place: PlaceId,
    /// What there is.
    pub matter: Matter,
    /// When it was milked or made, days after the start of day 0.
    pub drawn: f64,
    /// When it may be eaten, days after the start of day 0.
    pub ready: f64,
    /// Part of it that ageing still takes.
    pub ageing_loss: f64,
    /// Jar size and how many; `None`: wrapped, or in a bucket.
    pub jars: Option<(JarId, u32)>,
    /// What is left of its life: days of sweet life at 4 °C of sweet milk and
    /// cream, else the part of the item's own keeping time.
    pub life: f64,
}

/// How one animal stands on a day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Standing {
    /// She belongs to the family.
    pub here: bool,
    /// Day of her latest freshening, or of the next one before the first.
    pub fresh: i32,
    /// She gives milk, for people or young.
    pub in_milk: bool,
    /// Cases of illness so far.
    pub cases: usize,
    /// Her milk is kept from people for illness or treatment.
    pub kept: bool,
    /// Her young.
    pub young: Calf,
    /// She is milked once a day for a time.
    pub once: bool,
    /// Breeding ends in vain today.
    pub gives_up: bool,
    /// The run ends today, and she is open after a time round in vain.
    pub left_open: bool,
}

/// What has happened so often, or for so long, so far.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Counts {
    /// Jars broken.
    pub broken: u32,
    /// Starters bought.
    pub starters: u32,
    /// Times that milk to be fetched did not come.
    pub not_come: u32,
    /// Times that a member did not come.
    pub not_fetched: u32,
    /// Hours without power.
    pub no_power_h: f64,
}

impl View<'_, '_> {
    /// The simulated day, from 0.
    #[must_use]
    pub fn day(&self) -> u32 {
        self.trial.day
    }

    /// The family is away.
    #[must_use]
    pub fn away(&self) -> bool {
        self.trial.info.away
    }

    /// All that has come in so far.
    #[must_use]
    pub fn sources(&self) -> [Matter; SOURCES] {
        self.trial.ledger.sources
    }

    /// Where it has ended so far; what stands in store is not counted yet.
    #[must_use]
    pub fn fates(&self) -> [Matter; FATES] {
        let mut fates = self.trial.ledger.fates;
        // Booked at the end of the trial only.
        fates[Fate::Film as usize] += self.trial.larder.film;
        fates
    }

    /// What was thrown out of an item as it stood, so far: after outages, and found
    /// foul before anyone opened it.
    #[must_use]
    pub fn thrown(&self, item: ItemId) -> [Matter; 2] {
        let t = &self.trial.thrown;
        [&t.outage, &t.foul].map(|of| of.get(item.at()).copied().unwrap_or(Matter::NONE))
    }

    /// What is in store of an item.
    #[must_use]
    pub fn stock(&self, item: ItemId) -> Matter {
        self.trial.larder.matter(item)
    }

    /// Everything of an item as it stands, place by place, oldest first.
    pub fn stored(&self, item: ItemId) -> impl Iterator<Item = Stored> + '_ {
        self.trial.larder.stored(item)
    }

    /// Days since an animal freshened, that day being 1; 0 or less: not yet, or
    /// not here.
    #[must_use]
    pub fn days_in_milk(&self, animal: usize) -> i32 {
        self.trial.herd.get(animal).map_or(0, |a| a.days_in_milk(self.trial.day))
    }

    /// She gives milk, be it to her calf.
    #[must_use]
    pub fn is_in_milk(&self, animal: usize) -> bool {
        self.trial.herd.get(animal).is_some_and(|a| a.in_milk(self.trial.day))
    }

    /// Whole milk that could be handed to members now, kg: what there is beyond
    /// what the family keeps for its own drinking; `None` on other days.
    #[must_use]
    pub fn for_members(&self) -> Option<f64> {
        self.trial.pick_up_on(self.trial.day).then(|| self.trial.for_members())
    }

    /// Members went short today.
    #[must_use]
    pub fn share_short(&self) -> bool {
        self.trial.today.share_short
    }

    /// Produced so far by recipes, kg by item.
    #[must_use]
    pub fn made(&self) -> &[f64] {
        &self.trial.made
    }

    /// Rules, then tonight's list, then the list from tomorrow.
    #[must_use]
    pub fn rules(&self) -> &[RuleTally] {
        &self.trial.rules
    }

    /// Drinking milk, then the wishes.
    #[must_use]
    pub fn wants(&self) -> &[WantTally] {
        &self.trial.wants
    }

    /// What the animals that are fed still take today, kg: item by item of each
    /// in the order of the plan.
    #[must_use]
    pub fn appetites(&self) -> &[f64] {
        &self.trial.caps_left
    }

    /// What an animal gives today.
    #[must_use]
    pub fn milked(&self, animal: usize) -> Milked {
        let m = self.trial.milk.get(animal).copied().unwrap_or_default();
        let DayMilk { morning, evening, calf, withheld, ill, .. } = m;
        Milked { pails: [morning, evening], calf, withheld, ill }
    }

    /// How an animal stands today.
    #[must_use]
    pub fn standing(&self, animal: usize) -> Standing {
        let (Some(a), Some(plan)) = (self.trial.herd.get(animal), self.trial.plan.animals.get(animal)) else {
            return Standing::default();
        };
        let day = self.trial.day;
        let in_milk = a.in_milk(day);
        Standing {
            here: a.is_here(day),
            fresh: a.fresh,
            in_milk,
            cases: a.cases(),
            kept: in_milk && a.kept_for_illness(day),
            young: if in_milk { a.calf(day, plan) } else { Calf::Gone },
            once: in_milk && a.is_milked_once(day),
            gives_up: a.gives_up(day),
            left_open: day as usize + 1 == self.trial.plan.days.len() && a.is_left_open(day),
        }
    }

    /// The heats in which an animal may be bred after her latest freshening.
    #[must_use]
    pub fn tried(&self, animal: usize, luck: &Luck) -> Vec<Tried> {
        let plan = self.trial.plan.animals.get(animal);
        let (Some(a), Some(plan), Some(own)) = (self.trial.herd.get(animal), plan, luck.animals.get(animal))
        else {
            return Vec::new();
        };
        a.tried(plan, luck, own)
    }

    /// Members of the herd share, so far.
    #[must_use]
    pub fn members(&self) -> &[ShareTally] {
        &self.trial.shares.tally
    }

    /// What has happened how often so far.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let o = &self.trial.out;
        Counts {
            broken: o.jars_broken,
            starters: o.starters_bought,
            not_come: o.fetches_failed,
            not_fetched: o.traded.not_fetched,
            no_power_h: o.outage_hours,
        }
    }

    /// What was fullest today, so far.
    #[must_use]
    pub fn fullest(&self) -> Fullest {
        let t = &self.trial.today;
        Fullest {
            cold_wanted_l: t.cold_wanted,
            cold_used_l: t.cold_used,
            jars_used: t.jars_used,
            over_full: t.over_full,
        }
    }

    /// Minutes of today: chores, kitchen.
    #[must_use]
    pub fn minutes(&self) -> (f64, f64) {
        (self.trial.today.chore_minutes, self.trial.today.kitchen_minutes)
    }
}

impl<'p> Trial<'p> {
    /// Runs a trial as [`Trial::run`] does, and lets `see` look on after each
    /// moment of each day. The outcome is the same to the bit.
    pub fn run_watched(
        &mut self,
        luck: &Luck,
        log: &mut DayLog,
        mut see: impl FnMut(Moment, View<'_, 'p>),
    ) -> &Outcome {
        self.run_seen(luck, log, &mut |moment, trial: &Self| see(moment, View { trial }))
    }
}
