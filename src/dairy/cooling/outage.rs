//! A cold store without power.

use super::{Lumped, soak};

/// What a litre of fridge room that other food takes holds, kJ/K: a third of a
/// kilogram of 3.5 kJ/(kg·K) (our default).
pub const OTHER_FOOD_KJ_PER_L_K: f64 = 1.2;
/// What a litre of wrapped butter or cheese holds, kJ/K (our default).
pub const WRAPPED_KJ_PER_L_K: f64 = 2.5;
/// Hours for which milk and the like may stand above 4.4 °C (40 °F) before
/// public advice is to discard it (United States, Food Safety and Inspection
/// Service, advice for power outages).
pub const ADVISED_H: f64 = 2.0;
/// Hours for which a full freezer keeps its food frozen, the door shut, and one
/// that is half full (the same advice of the Food Safety and Inspection Service).
pub const FREEZER_FULL_H: f64 = 48.0;
/// The same of one that is half full (Food Safety and Inspection Service).
pub const FREEZER_HALF_H: f64 = 24.0;

/// Hours until a freezer's food has thawed, by how full it is (0 to 1): the two
/// published figures and the line through them, which is also that of heat held.
#[must_use]
pub fn freezer_hours(full: f64) -> f64 {
    let per_part = (FREEZER_FULL_H - FREEZER_HALF_H) / 0.5;
    // An empty freezer holds its walls and its air (our default: 4 h).
    (FREEZER_HALF_H + per_part * (full.clamp(0.0, 1.0) - 0.5)).max(4.0)
}

/// One stretch of a closed store without power, or on its way back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Temperature at its end, °C.
    pub end_c: f64,
    /// Days of sweet life at 4 °C used in it.
    pub life_days: f64,
    /// Hours of it above a mark.
    pub above_h: f64,
}

/// A closed store that warms towards its surroundings for so many hours: from
/// the heat held (kJ/K) and the leak (W/K), by Newton's law.
#[must_use]
pub fn warm_up(from_c: f64, room_c: f64, kj_k: f64, ua: f64, hours: f64, mark_c: f64) -> Stretch {
    let law = Lumped::new(room_c, from_c, kj_k.max(1e-6), ua.max(1e-6));
    let end_c = law.at(hours);
    let above_h = if from_c >= mark_c && end_c >= mark_c {
        hours
    } else if end_c < mark_c && from_c < mark_c {
        0.0
    } else if let Some(at) = law.hours_to(mark_c) {
        let at = at.min(hours);
        if from_c >= mark_c { at } else { hours - at }
    } else {
        0.0
    };
    Stretch { end_c, life_days: soak::life(&law, hours), above_h }
}

/// A store with its power back, on its way down to `set_c` with so much power to
/// spare: full power over the band above it, then less and less.
#[must_use]
pub fn come_back(from_c: f64, set_c: f64, kj_k: f64, spare_w: f64, hours: f64, mark_c: f64) -> Stretch {
    let spare_w = spare_w.max(LEAST_SPARE_W);
    let pace = 3.6 * spare_w / kj_k.max(1e-6);
    // Within one kelvin of the set temperature the machine eases off.
    let knee = set_c + 1.0;
    let down = if from_c > knee { ((from_c - knee) / pace).min(hours) } else { 0.0 };
    let at_knee = from_c - pace * down;
    let tail = Lumped { around_c: set_c, start_c: at_knee, tau_h: 1.0 / pace };
    let rest = hours - down;
    let end_c = tail.at(rest);
    // A straight way down uses the mean of the squares (Simpson is exact here).
    let rate = |c: f64| crate::dairy::keeping::sweet_rate(c, 0.0);
    let straight = (rate(from_c) + 4.0 * rate(0.5 * (from_c + at_knee)) + rate(at_knee)) / 6.0 * down / 24.0;
    let above_h = if from_c <= mark_c {
        0.0
    } else if mark_c >= knee {
        ((from_c - mark_c) / pace).min(hours)
    } else {
        down + tail.hours_to(mark_c).map_or(rest, |h| h.min(rest))
    };
    Stretch { end_c, life_days: straight + soak::life(&tail, rest), above_h }
}

/// A machine that runs has at least this to spare, W (our default), or a warm
/// store would never come back.
const LEAST_SPARE_W: f64 = 10.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dairy::keeping::sweet_rate;

    #[test]
    fn a_freezer_by_how_full_it_is() {
        assert_eq!([0.0, 0.5, 0.75, 1.0, 2.0].map(freezer_hours), [4.0, 24.0, 36.0, 48.0, 48.0]);
    }

    #[test]
    fn stretches_join() {
        // Two halves are the whole, in temperature, life and warm hours.
        let whole = warm_up(3.0, 25.0, 150.0, 1.6, 6.0, 4.4);
        let a = warm_up(3.0, 25.0, 150.0, 1.6, 2.5, 4.4);
        let b = warm_up(a.end_c, 25.0, 150.0, 1.6, 3.5, 4.4);
        assert!((b.end_c - whole.end_c).abs() < 1e-9);
        assert!((a.life_days + b.life_days - whole.life_days).abs() < 1e-9);
        assert!((a.above_h + b.above_h - whole.above_h).abs() < 1e-9);
        let whole = come_back(12.0, 3.0, 150.0, 60.0, 9.0, 4.4);
        let a = come_back(12.0, 3.0, 150.0, 60.0, 4.0, 4.4);
        let b = come_back(a.end_c, 3.0, 150.0, 60.0, 5.0, 4.4);
        assert!((b.end_c - whole.end_c).abs() < 1e-9);
        assert!((a.life_days + b.life_days - whole.life_days).abs() < 1e-9);
        assert!((a.above_h + b.above_h - whole.above_h).abs() < 1e-9);
    }

    #[test]
    fn life_agrees_with_small_steps() {
        let (mut temp, mut life, dt) = (3.0, 0.0, 0.001);
        for _ in 0..8000 {
            life += sweet_rate(temp, 0.0) * dt / 24.0;
            temp += 3.6 * 1.6 * (28.0 - temp) / 120.0 * dt;
        }
        let got = warm_up(3.0, 28.0, 120.0, 1.6, 8.0, 4.4);
        assert!((got.end_c - temp).abs() < 0.01 && (got.life_days - life).abs() < 0.002 * life);
    }

    #[test]
    fn a_store_comes_back_by_hand() {
        // 36 kJ/K and 10 W: a kelvin an hour, from 13 to 4 °C in 9 h; from there
        // on towards 3 °C, to 1/e in an hour.
        let e = (-1.0f64).exp();
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
        let back = come_back(13.0, 3.0, 36.0, 10.0, 10.0, 5.0);
        close(back.end_c, 3.0 + e);
        close(back.above_h, 8.0);
        close(come_back(13.0, 3.0, 36.0, 10.0, 20.0, 3.5).above_h, 9.0 + 2.0f64.ln());
        close(come_back(13.0, 3.0, 36.0, 10.0, 9.5, 3.5).above_h, 9.5);
        let soon = come_back(13.0, 3.0, 36.0, 10.0, 4.0, 5.0);
        close(soon.end_c, 9.0);
        close(soon.above_h, 4.0);
        let near = come_back(3.5, 3.0, 36.0, 10.0, 1.0, 4.4);
        close(near.end_c, 3.0 + 0.5 * e);
        close(near.above_h, 0.0);
        // No less than 10 W, twice as fast with twice as much.
        close(come_back(13.0, 3.0, 36.0, 0.0, 4.0, 5.0).end_c, 9.0);
        close(come_back(13.0, 3.0, 36.0, 20.0, 4.0, 5.0).end_c, 5.0);
        // Life by small steps.
        let n = 100_000;
        let dt = 10.0 / f64::from(n);
        let at = |h: f64| if h < 9.0 { 13.0 - h } else { 3.0 + (9.0 - h).exp() };
        let life: f64 = (0..n).map(|i| sweet_rate(at((f64::from(i) + 0.5) * dt), 0.0) * dt / 24.0).sum();
        assert!((back.life_days - life).abs() < 1e-6 * life, "{} {life}", back.life_days);
    }

    #[test]
    fn warm_hours_by_hand() {
        // 36 kJ/K and 1 W/K: to 1/e in 10 h.
        let half = 10.0 * 2.0f64.ln();
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        close(warm_up(10.0, 0.0, 36.0, 1.0, 20.0, 5.0).above_h, half);
        close(warm_up(0.0, 10.0, 36.0, 1.0, 20.0, 5.0).above_h, 20.0 - half);
        close(warm_up(0.0, 10.0, 36.0, 1.0, half, 5.0).end_c, 5.0);
        close(warm_up(6.0, 10.0, 36.0, 1.0, 3.0, 5.0).above_h, 3.0);
        close(warm_up(0.0, 4.0, 36.0, 1.0, 3.0, 5.0).above_h, 0.0);
        close(warm_up(0.0, 10.0, 36.0, 1.0, 1.0, 5.0).above_h, 0.0);
    }
}
