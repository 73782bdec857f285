//! How things stand in the night before the first day.

use super::{ItemId, JarId, Species};
use crate::dairy::matter::Matter;

/// What stands in the house at the start of the run.
#[derive(Clone, Debug, Default)]
pub struct OpeningPlan {
    /// Lots, oldest first.
    pub lots: Vec<OpeningLot>,
    /// Jars with the members, by size, and by the day (0 to 6) on which they
    /// come back.
    pub jars_away: Vec<[u32; 7]>,
    /// Owed to the members of a herd share from before, kg, on top of the first
    /// pick-up's promise.
    pub owed_kg: f64,
    /// The run begins from today: something is said of how things stand.
    pub known: bool,
}

/// Some matter of one item that stands in one store at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpeningLot {
    /// Item.
    pub item: ItemId,
    /// What there is of it.
    pub matter: Matter,
    /// The store; what does not fit there stands on the counter.
    pub store: u16,
    /// Jar size and how many; `None`: wrapped or in a bucket.
    pub jars: Option<(JarId, u32)>,
    /// When it was milked or made, days after the start of day 0 (negative).
    pub drawn: f64,
    /// When it may be eaten, days after the start of day 0.
    pub ready: f64,
    /// Part of the mass that ageing will still take.
    pub ageing_loss: f64,
    /// Hours risen at 4 °C.
    pub risen_h: f64,
    /// What is left of its life.
    pub life: OpeningLife,
    /// Species.
    pub species: Species,
}

/// What is left of the life of an opening lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OpeningLife {
    /// Known: days of sweet life at 4 °C of sweet milk and cream, else the part
    /// (0 to 1) of the item's own keeping time.
    Left(f64),
    /// Sweet milk and cream that has used up so many days at 4 °C: its whole
    /// life is drawn, given that it is sweet still. Lots of one milking share
    /// the draw of this number.
    Drawn {
        /// Days used up.
        used: f64,
        /// Which draw.
        draw: u16,
    },
}

/// How an animal stands at the start, beyond what her dates say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AnimalNow {
    /// Latest service, days after day 0 (negative), and what is known of it.
    pub bred: Option<(i32, InCalf)>,
    /// Known not to be in calf: heats count from day 0 on.
    pub open: bool,
    /// First day of an illness that is not over.
    pub ill_since: Option<i32>,
    /// Last day on which her milk is kept from people.
    pub kept_until: Option<i32>,
    /// First day on which she was not milked any more.
    pub dried_off: Option<i32>,
    /// The young is gone.
    pub calf_gone: bool,
    /// The young is shut in overnight already.
    pub calf_shut_in: bool,
    /// Last day of a time of milking once a day.
    pub once_until: Option<i32>,
    /// Her level in this lactation: mean, and its log standard deviation.
    pub level: Option<(f64, f64)>,
}

/// What is known of a service.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InCalf {
    /// She is in calf.
    Known,
    /// She may be: with the chance that a heat settles her.
    Hoped,
}
