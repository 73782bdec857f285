//! A lot, and what is asked of lots.

use super::*;

/// Some matter of one item in one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lot {
    pub matter: Matter,
    /// When it was drawn (or made), days.
    pub drawn: f64,
    /// When it was set to rest, days.
    pub rested: f64,
    /// Reading of the place's clock at which its life ends.
    pub due: f64,
    /// Reading of the place's rise clock at which rising began.
    pub rise_from: f64,
    /// When it may be eaten, days.
    pub ready: f64,
    /// It may be eaten: `ready` has passed and ageing is done.
    pub settled: bool,
    /// Part of the mass that will be lost as water when ready.
    pub ageing_loss: f64,
    /// Day on which it came into the house.
    pub day: u32,
    pub jars: u32,
    pub jar: u8,
    pub species: Species,
    /// From a contaminated milking.
    pub foul: bool,
    /// Has turned foul; found when opened.
    pub turned: bool,
    /// Not chilled yet.
    pub warm: bool,
}

/// What is to be put away.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parcel {
    pub item: ItemId,
    pub matter: Matter,
    pub drawn: f64,
    pub rested: f64,
    /// Life left: days of sweet life at 4 °C for sweet items, else the part
    /// (0 to 1) of the item's own keeping time.
    pub life: f64,
    /// Hours risen at 4 °C so far.
    pub risen: f64,
    pub ready: f64,
    pub ageing_loss: f64,
    pub day: u32,
    pub species: Species,
    pub foul: bool,
    /// It comes from the udder and has yet to be chilled.
    pub warm: bool,
}

/// Which lots may be taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Choice {
    /// Drawn at this time or later.
    pub drawn_from: f64,
    /// Not of this day.
    pub not_of_day: Option<u32>,
    /// Only what may be eaten now.
    pub ready: bool,
    /// The newest of them first, not the oldest.
    pub newest: bool,
}

impl Choice {
    /// Anything that may be eaten.
    pub const READY: Self =
        Self { drawn_from: f64::NEG_INFINITY, not_of_day: None, ready: true, newest: false };
    /// Anything at all.
    pub const ANY: Self = Self { ready: false, ..Self::READY };
}

/// What was taken, as one pool.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Taken {
    pub matter: Matter,
    /// Found foul on opening, to be charged as such.
    pub foul: Matter,
    /// Oldest drawn time of the pool.
    pub drawn: f64,
    /// Shortest life left of the pool (as in [`Parcel::life`]).
    pub life: f64,
    /// Some of it came from a contaminated milking.
    pub tainted: bool,
    pub species: Species,
    /// First day on which some of it came into the house.
    pub day: u32,
}

impl Taken {
    pub(crate) const NOTHING: Self = Self {
        matter: Matter::NONE,
        foul: Matter::NONE,
        drawn: f64::INFINITY,
        life: f64::INFINITY,
        tainted: false,
        species: Species::Cow,
        day: u32::MAX,
    };

    pub(crate) fn join(&mut self, other: &Self) {
        if other.matter.mass > 0.0 {
            self.species = other.species;
        }
        self.matter += other.matter;
        self.foul += other.foul;
        self.drawn = self.drawn.min(other.drawn);
        self.life = self.life.min(other.life);
        self.tainted |= other.tainted;
        self.day = self.day.min(other.day);
    }
}
