//! Surroundings that do not answer: a bath, a room, another milking.

use super::{Chill, LONGEST_H, Load, MARK_4C, MARK_7C, MARK_10C};
use crate::dairy::density::MILK_KJ_PER_KG_K;
use crate::dairy::keeping::{SWEET_REFERENCE_C, TMIN_C};

/// A body in surroundings of steady temperature: Newton's law of cooling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lumped {
    /// Surroundings, °C.
    pub around_c: f64,
    /// Temperature at the start, °C.
    pub start_c: f64,
    /// Time in which the difference falls to 1/e, h; > 0.
    pub tau_h: f64,
}

impl Lumped {
    /// From the heat held (kJ/K) and the heat passed (W/K).
    #[must_use]
    pub fn new(around_c: f64, start_c: f64, kj_k: f64, w_k: f64) -> Self {
        Self { around_c, start_c, tau_h: kj_k / (3.6 * w_k) }
    }

    /// Temperature after so many hours, °C.
    #[must_use]
    pub fn at(&self, hours: f64) -> f64 {
        self.around_c + (self.start_c - self.around_c) * (-hours / self.tau_h).exp()
    }

    /// Hours to a temperature; 0 when it is already passed, `None` when it is
    /// never reached.
    #[must_use]
    pub fn hours_to(&self, temp_c: f64) -> Option<f64> {
        let (from, to) = (self.start_c - self.around_c, temp_c - self.around_c);
        if from.abs() <= to.abs() && from * to >= 0.0 {
            return Some(0.0);
        }
        (from * to > 0.0).then(|| self.tau_h * (from / to).ln())
    }
}

/// Chills a load in a bath held at `bath_c` (ice water: about 0.5 °C while ice
/// lasts), heat passed `u` W/(m²·K) through `jar_area_m2` a jar. Times are
/// capped as for [`chill`](super::chill).
#[must_use]
pub fn chill_in_bath(bath_c: f64, u: f64, load: &Load) -> Chill {
    let node = load.node(u);
    if node.kj_k <= 0.0 {
        return Chill::nothing(bath_c);
    }
    let lumped = Lumped::new(bath_c, node.start_c, node.kj_k, node.w_k);
    let to = |mark: f64| lumped.hours_to(mark).map_or(LONGEST_H, |h| h.min(LONGEST_H));
    Chill {
        hours_to_10c: to(MARK_10C),
        hours_to_7c: to(MARK_7C),
        hours_to_4c: to(MARK_4C),
        life_days_used_beyond: bath_life_days(&lumped),
        air_peak_c: bath_c,
    }
}

/// Integral of the rate beyond the bath's own over all time: with
/// `x = around − Tmin` and `d = start − around`, `(2·x·d·τ + d²·τ/2)/(4 − Tmin)²`.
fn bath_life_days(lumped: &Lumped) -> f64 {
    let (x, d) = (lumped.around_c - TMIN_C, lumped.start_c - lumped.around_c);
    (2.0 * x * d + 0.5 * d * d) * lumped.tau_h / 24.0 / (SWEET_REFERENCE_C - TMIN_C).powi(2)
}

/// Heat to take out of milk, kJ.
#[must_use]
pub fn heat_kj(kg: f64, from_c: f64, to_c: f64) -> f64 {
    kg * MILK_KJ_PER_KG_K * (from_c - to_c)
}

/// Temperature of two bodies of milk poured together, °C; the first's when
/// there is nothing.
#[must_use]
pub fn blend_c(first_kg: f64, first_c: f64, second_kg: f64, second_c: f64) -> f64 {
    let kg = first_kg + second_kg;
    if kg > 0.0 { (first_kg * first_c + second_kg * second_c) / kg } else { first_c }
}

/// Hours until a closed fridge that lost its power warms from `from_c` to
/// `to_c`, from the heat held (kJ/K), the leak (W/K) and the room (°C); `None`
/// when it never does.
#[must_use]
pub fn outage_hours(kj_k: f64, ua: f64, room_c: f64, from_c: f64, to_c: f64) -> Option<f64> {
    Lumped::new(room_c, from_c, kj_k, ua).hours_to(to_c)
}
