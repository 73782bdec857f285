//! Kinds of milk animal.

/// Species: sets cream rise, casein and the answer to once-a-day milking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Species {
    /// Cattle.
    Cow,
    /// Goat.
    Goat,
    /// Sheep.
    Sheep,
}

impl Species {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Cow, Self::Goat, Self::Sheep];
}
