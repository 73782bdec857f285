//! Density and heat of milk and cream.

/// Density of ordinary milk between 15 and 20 °C, kg/L (from memory; 1.027 to
/// 1.036 by composition and temperature).
#[must_use]
pub const fn milk_kg_per_l() -> f64 {
    1.032
}

/// Specific heat used for whole milk, kJ/(kg·K): between 3.84 (the mixing
/// rule of Kessler 1981, worked out) and 3.95 (near 15 °C, where fat melts).
pub const MILK_KJ_PER_KG_K: f64 = 3.90;

/// Heat of melting ice, kJ/kg (physical constant).
pub const ICE_KJ_PER_KG: f64 = 334.0;
/// Specific heat of water, kJ/(kg·K) (physical constant: 4.18 to 4.22 between 0
/// and 30 °C).
pub const WATER_KJ_PER_KG_K: f64 = 4.19;
