//! Recipe balances: how a batch divides into its outputs.

use super::matter::Matter;
use super::species::Species;

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
    /// that is leaner than that. Protein goes with the water phase.
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
    /// Butter from cream: mass by its fat, with so much fat left in the
    /// buttermilk (mass fractions; `cream_fat` and `butter_fat` above
    /// `buttermilk_fat`). The mass is `(Fc − Fbm)/(Fb − Fbm)` of the cream
    /// (Goff, University of Guelph, Dairy Science and Technology, butter).
    #[must_use]
    pub fn butter(cream_fat: f64, buttermilk_fat: f64, butter_fat: f64, protein_kept: f64) -> Self {
        let mass = (cream_fat - buttermilk_fat) / (butter_fat - buttermilk_fat);
        let fat_kept = if cream_fat > 0.0 { (mass * butter_fat / cream_fat).clamp(0.0, 1.0) } else { 0.0 };
        Self::ByFat { fat_kept, protein_kept, fat_part: butter_fat }
    }

    /// Cream from a separator, which leaves so much fat in the skimmed milk
    /// (mass fractions, `cream_fat` above `skim_fat`): `(Fm − Fs)/(Fc − Fs)` of
    /// the milk (same source). Protein goes with the water phase.
    #[must_use]
    pub fn separated_cream(milk_fat: f64, skim_fat: f64, cream_fat: f64) -> Self {
        let mass = (milk_fat - skim_fat).max(0.0) / (cream_fat - skim_fat);
        let fat_kept = if milk_fat > 0.0 { (mass * cream_fat / milk_fat).clamp(0.0, 1.0) } else { 0.0 };
        let protein_kept = (mass * (1.0 - cream_fat) / (1.0 - milk_fat)).clamp(0.0, 1.0);
        Self::ByFat { fat_kept, protein_kept, fat_part: cream_fat }
    }

    /// Cheese by Van Slyke's form: parts of fat and of casein kept, casein as a
    /// part of the protein, other solids as a factor (1.09 cheddar), water as a
    /// mass fraction.
    #[must_use]
    pub fn van_slyke(
        fat_kept: f64,
        casein_kept: f64,
        casein_part: f64,
        solids_factor: f64,
        water: f64,
    ) -> Self {
        Self::ByWater { fat_kept, protein_kept: casein_kept * casein_part, solids_factor, water }
    }

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
                return Self::separated_cream(batch.fat_part(), skim_fat, cream_fat).of(batch);
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

/// Casein as a part of true protein. Cow 0.82, of crude protein 0.77 to 0.80
/// (from memory; 0.788 worked out from 86 milks of Daudin 1988); goat and sheep
/// likewise from memory, 0.73 to 0.80 and 0.77 to 0.80 of crude protein.
#[must_use]
pub fn casein_of_protein(species: Species) -> f64 {
    match species {
        Species::Cow => 0.82,
        Species::Goat => 0.80,
        Species::Sheep => 0.81,
    }
}

/// Casein of cow's milk from its fat, both percent: `2.1 + 0.4 · (F − 3)`, for
/// 3.0 to 4.5 % fat (Hart 1910, Wisconsin Agricultural Experiment Station).
#[must_use]
pub fn casein_from_fat_percent(fat: f64) -> f64 {
    2.1 + 0.4 * (fat - 3.0)
}

/// Cheddar by Van Slyke's formula, kg a 100 kg milk: fat and casein in percent,
/// water of the cheese as a mass fraction.
/// `(0.93·F + C − 0.1) · 1.09 / (1 − M)` (Van Slyke, as printed by Mullan 2008).
#[must_use]
pub fn van_slyke_percent(fat: f64, casein: f64, water: f64) -> f64 {
    (0.93 * fat + casein - 0.1) * 1.09 / (1.0 - water)
}

/// A cheese yield at water `water` restated at water `standard` (mass
/// fractions): the dry matter is the same.
#[must_use]
pub fn yield_at_water(yield_kg: f64, water: f64, standard: f64) -> f64 {
    yield_kg * (1.0 - water) / (1.0 - standard)
}

/// Overrun that the composition of butter gives: what is not fat over what is
/// (`fat_part` a mass fraction above 0).
#[must_use]
pub fn composition_overrun(fat_part: f64) -> f64 {
    (1.0 - fat_part) / fat_part
}

/// Overrun of a product over what went in, in one unit: butter over fat churned,
/// or ice cream over its mix by volume. 0 when nothing went in.
#[must_use]
pub fn overrun(made: f64, from: f64) -> f64 {
    if from > 0.0 { (made - from) / from } else { 0.0 }
}
