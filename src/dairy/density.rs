//! Density and heat of milk and cream.

/// Density of ordinary milk between 15 and 20 °C, kg/L (from memory; 1.027 to
/// 1.036 by composition and temperature).
#[must_use]
pub const fn milk_kg_per_l() -> f64 {
    1.032
}

/// Temperatures of the milk density table of Goff, University of Guelph, °C.
const KNOTS_C: [f64; 4] = [4.4, 10.0, 20.0, 38.9];
/// Water, kg/L (from memory).
const WATER: [f64; 4] = [0.999_98, 0.999_70, 0.998_21, 0.992_62];
/// Fat as it counts in milk, kg/L: partly solid in the cold. Least-squares fit
/// (ours) to six products at four temperatures in the milk density table of
/// Goff, University of Guelph, Dairy Science and Technology; no product is off
/// by more than 0.0008 kg/L.
const FAT: [f64; 4] = [0.9638, 0.9574, 0.9342, 0.9049];
/// Solids-not-fat as they count in milk, kg/L; the same fit to the table of Goff,
/// University of Guelph.
const SOLIDS: [f64; 4] = [1.6451, 1.6174, 1.6055, 1.5814];

/// Density of milk, skim or cream, kg/L, from fat and solids-not-fat (mass
/// fractions, together at most 1) and temperature (°C, held to 4.4 … 38.9).
#[must_use]
pub fn kg_per_l(fat: f64, solids_not_fat: f64, temp_c: f64) -> f64 {
    let water = 1.0 - fat - solids_not_fat;
    1.0 / (fat / along(&FAT, temp_c)
        + solids_not_fat / along(&SOLIDS, temp_c)
        + water / along(&WATER, temp_c))
}

/// Straight lines between the knots, level outside.
fn along(values: &[f64; 4], temp_c: f64) -> f64 {
    let t = temp_c.clamp(KNOTS_C[0], KNOTS_C[3]);
    let i = if t < KNOTS_C[1] {
        0
    } else if t < KNOTS_C[2] {
        1
    } else {
        2
    };
    values[i] + (values[i + 1] - values[i]) * (t - KNOTS_C[i]) / (KNOTS_C[i + 1] - KNOTS_C[i])
}

/// Solids-not-fat of cream (mass fraction) from those of its skim:
/// fat only dilutes them. 0.0890 of skim gives 0.0564 at 36.6 % fat.
#[must_use]
pub fn cream_solids(fat: f64, skim_solids: f64) -> f64 {
    skim_solids * (1.0 - fat)
}

/// Density at 15 °C, kg/L, from fat and solids-not-fat (mass fractions) with
/// the classic constants 0.93 for fat and 1.608 for solids-not-fat. Good for
/// milk; about 0.01 low for cold cream, whose fat is partly solid.
/// Common practice, no source.
#[must_use]
pub fn kg_per_l_15c(fat: f64, solids_not_fat: f64) -> f64 {
    1.0 / (fat / 0.93 + solids_not_fat / 1.608 + (1.0 - fat - solids_not_fat))
}

/// Density of cream of 20 to 50 % fat at 9.85 °C, kg/L; `fat` is a mass
/// fraction. A straight line through 57 samples (journal abstract on cream
/// density at low temperature; authors not known to us).
#[must_use]
pub fn cream_kg_per_l_10c(fat: f64) -> f64 {
    1.031_23 - 0.0770 * fat
}

/// Density of a blend of fat and skim, in the unit of the two densities given.
#[must_use]
pub fn mixed(fat: f64, fat_density: f64, skim_density: f64) -> f64 {
    1.0 / (fat / fat_density + (1.0 - fat) / skim_density)
}

/// Specific heat used for whole milk, kJ/(kg·K): between 3.84 (the mixing
/// rule of Kessler 1981, worked out) and 3.95 (near 15 °C, where fat melts).
pub const MILK_KJ_PER_KG_K: f64 = 3.90;

/// Heat of melting ice, kJ/kg (physical constant).
pub const ICE_KJ_PER_KG: f64 = 334.0;
/// Specific heat of water, kJ/(kg·K) (physical constant: 4.18 to 4.22 between 0
/// and 30 °C).
pub const WATER_KJ_PER_KG_K: f64 = 4.19;

/// Specific heat, kJ/(kg·K), from mass fractions by Kessler's mixing rule
/// (Kessler 1981, Food Engineering and Dairy Technology, as quoted in course
/// notes on thermal properties of milk).
#[must_use]
pub fn specific_heat(water: f64, carbohydrate: f64, protein: f64, fat: f64, ash: f64) -> f64 {
    4.18 * water + 1.4 * carbohydrate + 1.6 * protein + 1.7 * fat + 0.8 * ash
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warmer_and_fatter_is_lighter() {
        for step in 0..40u32 {
            let temp = f64::from(step);
            let skim = kg_per_l(0.0, 0.09, temp);
            let milk = kg_per_l(0.04, 0.0865, temp);
            let cream = kg_per_l(0.36, 0.0576, temp);
            assert!(skim > milk && milk > cream && cream > 0.97, "{temp}");
            assert!(kg_per_l(0.04, 0.0865, temp + 1.0) <= milk);
        }
    }

    #[test]
    fn level_outside_the_table_and_whole_at_its_knots() {
        assert_eq!(kg_per_l(0.04, 0.09, -5.0), kg_per_l(0.04, 0.09, 4.4));
        assert_eq!(kg_per_l(0.04, 0.09, 99.0), kg_per_l(0.04, 0.09, 38.9));
        assert!((kg_per_l(0.0, 0.0, 10.0) - 0.9997).abs() < 1e-12);
        assert!((kg_per_l(0.0, 0.0, 20.0) - 0.998_21).abs() < 1e-12);
        assert!((kg_per_l(1.0, 0.0, 20.0) - 0.9342).abs() < 1e-12);
        assert!((kg_per_l(1.0, 0.0, 15.0) - 0.9458).abs() < 1e-12);
    }

    #[test]
    fn specific_heat_counts_every_part() {
        // Kessler's factors, one part at a time.
        assert_eq!(specific_heat(1.0, 0.0, 0.0, 0.0, 0.0), 4.18);
        assert_eq!(specific_heat(0.0, 1.0, 0.0, 0.0, 0.0), 1.4);
        assert_eq!(specific_heat(0.0, 0.0, 1.0, 0.0, 0.0), 1.6);
        assert_eq!(specific_heat(0.0, 0.0, 0.0, 1.0, 0.0), 1.7);
        assert_eq!(specific_heat(0.0, 0.0, 0.0, 0.0, 1.0), 0.8);
    }

    #[test]
    fn the_default_is_milk_in_a_cool_room() {
        assert!((kg_per_l(0.04, 0.0895, 15.0) - milk_kg_per_l()).abs() < 0.001);
    }
}
