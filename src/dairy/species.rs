//! Kinds of milk animal.

/// Species: sets cream rise, heats and what her young are called.
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

    /// What her young are called; a goat and a ewe usually have two.
    #[must_use]
    pub const fn young(self) -> &'static str {
        match self {
            Self::Cow => "calf",
            Self::Goat => "kids",
            Self::Sheep => "lambs",
        }
    }
}
