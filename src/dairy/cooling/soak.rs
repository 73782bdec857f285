//! A stay in water before the fridge: running water, or a bath with ice.

use super::{ICE_LOSS, ICE_WATER_C, LONGEST_H, Lumped, MARK_4C, MARK_7C, MARK_10C, Node, common_c};
use crate::dairy::density::{ICE_KJ_PER_KG, WATER_KJ_PER_KG_K};
use crate::dairy::keeping::{SWEET_REFERENCE_C, TMIN_C};

/// A bath: water, and ice put into it when the jars go in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bath {
    /// Water before the ice goes in, kg.
    pub water_kg: f64,
    /// Its temperature, °C.
    pub water_c: f64,
    /// Ice, kg, at its melting point (what it is colder than that is left out).
    pub ice_kg: f64,
}

/// What came of a stay in water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Soak {
    /// Temperature of the milk when it is taken out, °C.
    pub end_c: f64,
    /// Hours to 10 °C, to 7.2 and to 4.4 °C; the whole stay when later than that.
    pub hours_to: [f64; 3],
    /// Days of sweet life at 4 °C used in the water.
    pub life_days: f64,
    /// Ice melted, kg.
    pub melted_kg: f64,
}

/// The milk's way to one temperature after the other: each stretch a law of
/// cooling, and how long it lasts.
type Way = [(Lumped, f64); 2];

/// Jars in water that keeps its temperature, for so many hours.
#[must_use]
pub fn soak_in_running_water(water_c: f64, load: &Node, hours: f64) -> Soak {
    let law = Lumped::new(water_c, load.start_c, load.kj_k, load.w_k);
    along(&[(law, hours), (law, 0.0)], hours, 0.0)
}

/// Jars in a bath, for so many hours.
///
/// The ice first cools the water; while it lasts the bath is [`ICE_WATER_C`];
/// each kJ from milk and water melts `ICE_LOSS / 334` kg, the rest of the loss
/// being the room's heat. Once it is spent, bath and milk go to their common
/// temperature as two bodies (Newton's law of cooling).
#[must_use]
pub fn soak_in_ice(bath: &Bath, load: &Node, hours: f64) -> Soak {
    let per_kg = ICE_KJ_PER_KG / ICE_LOSS;
    let for_water = bath.water_kg * WATER_KJ_PER_KG_K * (bath.water_c - ICE_WATER_C).max(0.0) / per_kg;
    let bath_kj_k = (bath.water_kg + bath.ice_kg) * WATER_KJ_PER_KG_K;
    // What is left for the milk: the temperature at which the ice is spent.
    let left_kg = bath.ice_kg - for_water;
    let spent_c = if left_kg > 0.0 { load.start_c - left_kg * per_kg / load.kj_k } else { load.start_c };
    let icy = Lumped::new(ICE_WATER_C, load.start_c, load.kj_k, load.w_k);
    let with_ice =
        if left_kg > 0.0 { icy.hours_to(spent_c).unwrap_or(f64::INFINITY).min(hours) } else { 0.0 };
    let from_c = icy.at(with_ice);
    let bath_c = if left_kg > 0.0 {
        ICE_WATER_C
    } else {
        // All the ice goes into the water and does not bring it down to the end.
        let cooled = (bath.water_kg * WATER_KJ_PER_KG_K * bath.water_c - bath.ice_kg * per_kg) / bath_kj_k;
        if bath_kj_k > 0.0 { cooled.max(ICE_WATER_C) } else { bath.water_c }
    };
    let all = load.kj_k + bath_kj_k;
    let meet_c = common_c(load.kj_k, from_c, bath_kj_k, bath_c);
    let after = Lumped { around_c: meet_c, start_c: from_c, tau_h: icy.tau_h * (bath_kj_k / all).max(1e-9) };
    let melted = if with_ice < hours || left_kg <= 0.0 {
        bath.ice_kg
    } else {
        for_water + load.kj_k * (load.start_c - from_c) / per_kg
    };
    along(&[(icy, with_ice), (after, hours - with_ice)], hours, melted.min(bath.ice_kg))
}

fn along(way: &Way, hours: f64, melted_kg: f64) -> Soak {
    let [(first, long), (second, rest)] = *way;
    let end_c = if rest > 0.0 { second.at(rest) } else { first.at(long) };
    let to = |mark: f64| {
        let reached = match first.hours_to(mark) {
            Some(h) if h <= long => h,
            _ => second.hours_to(mark).map_or(LONGEST_H, |h| long + h),
        };
        reached.min(hours)
    };
    Soak {
        end_c,
        hours_to: [MARK_10C, MARK_7C, MARK_4C].map(to),
        life_days: life(&first, long) + life(&second, rest),
        melted_kg,
    }
}

/// Days of sweet life at 4 °C that a body on its way uses in so many hours: the
/// square-root law over an exponential course, in closed form.
#[must_use]
pub fn life(law: &Lumped, hours: f64) -> f64 {
    if hours <= 0.0 {
        return 0.0;
    }
    let (x, d, tau) = (law.around_c - TMIN_C, law.start_c - law.around_c, law.tau_h);
    let (once, twice) = (1.0 - (-hours / tau).exp(), 1.0 - (-2.0 * hours / tau).exp());
    let squares = x * x * hours + 2.0 * x * d * tau * once + 0.5 * d * d * tau * twice;
    squares / 24.0 / (SWEET_REFERENCE_C - TMIN_C).powi(2)
}

/// Ice that a bath of so much water needs to last until the milk has come down
/// to 4.4 °C or the stay is over, kg.
#[must_use]
pub fn ice_wanted(bath: &Bath, load: &Node, hours: f64) -> f64 {
    soak_in_ice(&Bath { ice_kg: 1e6, ..*bath }, load, hours).melted_kg
}

#[cfg(test)]
mod tests {
    use super::super::H_ICE_BATH;
    use super::*;
    use crate::dairy::keeping::sweet_rate;

    const LOAD: Node = Node { kj_k: 46.5, w_k: H_ICE_BATH * 0.0802 * 6.0, start_c: 35.0 };

    /// The same by small steps: milk, bath water and ice, each with its balance.
    fn by_steps(bath: &Bath, load: &Node, hours: f64) -> Soak {
        let per_kg = ICE_KJ_PER_KG / ICE_LOSS;
        let (mut milk, mut water) = (load.start_c, bath.water_c);
        let mut ice = bath.ice_kg;
        let bath_kj = (bath.water_kg + bath.ice_kg) * WATER_KJ_PER_KG_K;
        let melt = (bath.water_kg * WATER_KJ_PER_KG_K * (water - ICE_WATER_C) / per_kg).min(ice);
        ice -= melt;
        water = if ice > 0.0 {
            ICE_WATER_C
        } else {
            (bath.water_kg * WATER_KJ_PER_KG_K * water - melt * per_kg) / bath_kj
        };
        let dt = 0.5 / 3600.0;
        let (mut life_days, mut hours_to) = (0.0, [hours; 3]);
        for step in 0..(hours / dt) as u32 {
            let kj = load.w_k * (milk - water) * 3.6 * dt;
            life_days += sweet_rate(milk, 0.0) * dt / 24.0;
            milk -= kj / load.kj_k;
            if ice > 0.0 {
                ice -= kj / per_kg;
            } else {
                water += kj / bath_kj;
            }
            for (mark, at) in [MARK_10C, MARK_7C, MARK_4C].into_iter().zip(&mut hours_to) {
                if milk <= mark {
                    *at = at.min(f64::from(step) * dt);
                }
            }
        }
        Soak { end_c: milk, hours_to, life_days, melted_kg: bath.ice_kg - ice.max(0.0) }
    }

    #[test]
    fn the_closed_form_agrees_with_small_steps() {
        for ice_kg in [0.0, 0.5, 1.5, 3.0, 4.5, 6.0, 12.0] {
            for hours in [0.25, 0.75, 2.0] {
                let bath = Bath { water_kg: 11.0, water_c: 12.0, ice_kg };
                let (got, want) = (soak_in_ice(&bath, &LOAD, hours), by_steps(&bath, &LOAD, hours));
                let at = format!("{ice_kg} kg, {hours} h: {got:?} {want:?}");
                assert!((got.end_c - want.end_c).abs() < 0.05, "{at}");
                assert!((got.melted_kg - want.melted_kg).abs() < 0.02, "{at}");
                assert!((got.life_days - want.life_days).abs() < 0.005 * want.life_days, "{at}");
                for (a, b) in got.hours_to.into_iter().zip(want.hours_to) {
                    assert!((a - b).abs() < 0.01 * b + 0.001, "{at}");
                }
            }
        }
    }

    #[test]
    fn more_ice_never_leaves_the_milk_warmer() {
        let mut last = f64::INFINITY;
        for step in 0..60 {
            let bath = Bath { water_kg: 11.0, water_c: 15.0, ice_kg: f64::from(step) * 0.2 };
            let got = soak_in_ice(&bath, &LOAD, 0.75);
            assert!(got.end_c <= last + 1e-9 && got.end_c >= ICE_WATER_C);
            assert!(got.melted_kg <= bath.ice_kg + 1e-9);
            last = got.end_c;
        }
        let none = soak_in_ice(&Bath { water_kg: 0.0, water_c: 15.0, ice_kg: 0.0 }, &LOAD, 0.75);
        assert!((none.end_c - 35.0).abs() < 0.01, "no bath, no cooling: {none:?}");
    }

    #[test]
    fn running_water_is_newtons_law() {
        let got = soak_in_running_water(12.0, &LOAD, 1.0);
        let law = Lumped::new(12.0, 35.0, LOAD.kj_k, LOAD.w_k);
        assert!((got.end_c - law.at(1.0)).abs() < 1e-12);
        // It never comes under the water's own temperature.
        assert_eq!(got.hours_to, [1.0; 3]);
        assert_eq!(got.melted_kg, 0.0);
    }
}
