//! The books: what came in and where it ended.

use super::outcome::{Closure, FATES, Fate, SOURCES, Source};
use crate::dairy::matter::Matter;
use crate::scenario::plan::WasteCause;

/// The books of one trial.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ledger {
    pub sources: [Matter; SOURCES],
    pub fates: [Matter; FATES],
}

impl Ledger {
    pub(crate) fn reset(&mut self) {
        *self = Self::default();
    }

    #[inline]
    pub(crate) fn came(&mut self, source: Source, matter: Matter) {
        self.sources[source as usize] += matter;
    }

    #[inline]
    pub(crate) fn went(&mut self, fate: Fate, matter: Matter) {
        self.fates[fate as usize] += matter;
    }

    /// Food wasted so far, kg.
    pub(crate) fn wasted(&self) -> f64 {
        self.fates[Fate::WastedNoRoom as usize..=Fate::WastedOutage as usize].iter().map(|m| m.mass).sum()
    }

    /// How far the books are from balancing, relative to all that came in
    /// (at least 1 g).
    pub(crate) fn closure(&self) -> Closure {
        let mut gap = Matter::NONE;
        let mut all = Matter::NONE;
        for &s in &self.sources {
            gap += s;
            all += s;
        }
        for &f in &self.fates {
            gap -= f;
        }
        let part = |gap: f64, all: f64| gap.abs() / all.max(1e-3);
        Closure {
            mass: part(gap.mass, all.mass),
            fat: part(gap.fat, all.fat),
            protein: part(gap.protein, all.protein),
        }
    }
}

/// The fate that a cause of waste is booked under.
pub(crate) const fn fate_of(cause: WasteCause) -> Fate {
    match cause {
        WasteCause::NoRoom => Fate::WastedNoRoom,
        WasteCause::NoJar => Fate::WastedNoJar,
        WasteCause::Soured => Fate::WastedSoured,
        WasteCause::Foul => Fate::WastedFoul,
        WasteCause::Expired => Fate::WastedExpired,
        WasteCause::Unclaimed => Fate::WastedUnclaimed,
        WasteCause::Spilled => Fate::WastedSpilled,
        WasteCause::PouredOut => Fate::WastedPouredOut,
        WasteCause::FailedBatch => Fate::WastedFailedBatch,
        WasteCause::Outage => Fate::WastedOutage,
    }
}
