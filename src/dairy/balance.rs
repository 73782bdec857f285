//! Recipe balances: how a batch divides into its outputs.

use super::matter::Matter;

#[cfg(test)]
mod tests;

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
    /// Cream from a separator: all the fat above what the skimmed milk keeps.
    /// `mass = (F − skim_fat · M) / (cream_fat − skim_fat)`; nothing from milk
    /// that is leaner than that (Goff, University of Guelph, Dairy Science and
    /// Technology, butter). Protein goes with the water phase.
    Separated {
        /// Fat left in the skimmed milk, mass fraction.
        skim_fat: f64,
        /// Fat of the cream, mass fraction, above `skim_fat`.
        cream_fat: f64,
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
            Self::Separated { skim_fat, cream_fat } => {
                let whole = batch.fat_part();
                let mass = (whole - skim_fat).max(0.0) / (cream_fat - skim_fat);
                let fat_kept = if whole > 0.0 { (mass * cream_fat / whole).clamp(0.0, 1.0) } else { 0.0 };
                let protein_kept = (mass * (1.0 - cream_fat) / (1.0 - whole)).clamp(0.0, 1.0);
                let fat = fat_kept * batch.fat;
                (fat / cream_fat, fat, protein_kept * batch.protein)
            }
            Self::Rest => return batch,
        };
        let milk = if batch.mass > 0.0 { batch.milk * (mass / batch.mass) } else { 0.0 };
        Matter { mass, fat, protein, milk }
    }
}

/// What `have` can give of `want`: never more fat or protein than there is, and
/// never so much water that the rest would be more fat and protein than mass. A
/// curd for which there is too little water comes out drier than its recipe says.
/// Changes nothing that adds up.
#[must_use]
pub fn limit(want: Matter, have: Matter) -> Matter {
    let fat = want.fat.clamp(0.0, have.fat.max(0.0));
    let protein = want.protein.clamp(0.0, have.protein.max(0.0));
    let most = (have.mass - (have.fat - fat) - (have.protein - protein)).max(0.0);
    let mass = want.mass.max(fat + protein).min(most);
    let milk = if mass == want.mass {
        want.milk.clamp(0.0, have.milk.max(0.0))
    } else if have.mass > 0.0 {
        have.milk * (mass / have.mass)
    } else {
        0.0
    };
    Matter { mass, fat, protein, milk }
}

/// Never more than this part of what is neither fat nor protein is boiled off:
/// its sugar and salts stay (worked out: about 5.7 of 99 parts of whey).
const MOST_STEAM: f64 = 0.94;

/// What boils off of a batch of which `part` is to: water only, and never all
/// of what is neither fat nor protein.
#[must_use]
pub fn steam(batch: Matter, part: f64) -> Matter {
    let water = (batch.mass - batch.fat - batch.protein).max(0.0);
    let mass = (part * batch.mass).min(MOST_STEAM * water);
    let milk = if mass > 0.0 { mass * batch.milk / batch.mass } else { 0.0 };
    Matter { mass, fat: 0.0, protein: 0.0, milk }
}

/// Divides a batch into one output a share, in order; the last takes the rest.
pub fn divide(batch: Matter, shares: impl ExactSizeIterator<Item = Share>) -> impl Iterator<Item = Matter> {
    let last = shares.len().saturating_sub(1);
    let mut rest = batch;
    shares.enumerate().map(move |(n, share)| {
        let matter = if n == last { rest } else { limit(share.of(batch), rest) };
        rest -= matter;
        matter
    })
}
