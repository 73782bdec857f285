//! Recipe balances: how a batch divides into its outputs.

use super::matter::Matter;

/// How one output takes its part of a batch. Fat and protein kept are parts
/// of what the whole batch holds; the last output of a recipe is always
/// [`Share::Rest`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Share {
    /// Mass follows from its fat: butter, churned or separated cream.
    /// `mass = fat_kept · F / fat_part`.
    ByFat {
        /// Part of the fat kept.
        fat_kept: f64,
        /// Part of the protein kept.
        protein_kept: f64,
        /// Fat of the output, mass fraction.
        fat_part: f64,
    },
    /// Mass follows from its water: curds and cheese (Van Slyke's form).
    /// `mass = (fat_kept · F + protein_kept · P) · solids_factor / (1 − water)`.
    ByWater {
        /// Part of the fat kept.
        fat_kept: f64,
        /// Part of the true protein kept (casein part × casein kept).
        protein_kept: f64,
        /// Other solids kept, as a factor on fat and protein (1.09 for cheddar).
        solids_factor: f64,
        /// Water, mass fraction.
        water: f64,
    },
    /// A stated part of the mass: strained yogurt.
    ByMass {
        /// Part of the mass kept.
        mass_part: f64,
        /// Part of the fat kept.
        fat_kept: f64,
        /// Part of the protein kept.
        protein_kept: f64,
    },
    /// All that is left.
    Rest,
}

impl Share {
    /// What the output takes of `batch`. The milk part is spread evenly over
    /// the mass. `Rest` takes all: call it last, on what is left.
    #[must_use]
    pub fn of(&self, batch: Matter) -> Matter {
        let (mass, fat, protein) = match *self {
            Self::ByFat { fat_kept, protein_kept, fat_part } => {
                let fat = fat_kept * batch.fat;
                (fat / fat_part, fat, protein_kept * batch.protein)
            }
            Self::ByWater { fat_kept, protein_kept, solids_factor, water } => {
                let (fat, protein) = (fat_kept * batch.fat, protein_kept * batch.protein);
                ((fat + protein) * solids_factor / (1.0 - water), fat, protein)
            }
            Self::ByMass { mass_part, fat_kept, protein_kept } => {
                (mass_part * batch.mass, fat_kept * batch.fat, protein_kept * batch.protein)
            }
            Self::Rest => return batch,
        };
        let milk = if batch.mass > 0.0 { batch.milk * (mass / batch.mass) } else { 0.0 };
        Matter { mass, fat, protein, milk }
    }
}
