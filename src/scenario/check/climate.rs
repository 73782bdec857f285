//! Temperatures of a store, what they do to milk and food, and chilling.

use super::{
    super::{
        plan::{ChillTable, PlaceKind},
        raw,
    },
    context::{Ctx, under},
    jars::Jar,
};
use crate::dairy::{
    cooling::{self, Chill, Fridge, Load, Node, course, jar_area_m2},
    keeping::{Cleanliness, REFERENCE_C, keep_rate, souring_hours, sweet_rate},
};

/// Heat leak of a household cabinet, W/K (from memory; 1.2 to 2.0).
const CABINET_W_K: f64 = 1.6;
/// Width of a thermostat's band, K (our default).
const BAND_K: f64 = 1.0;
/// Heat held by air, liner and shelves, kJ/K (our default).
const LINER_KJ_K: f64 = 10.0;
/// Empty weight, diameter and height of a half-gallon jar stand in for a jar
/// when a family owns none.
const STAND_IN: (f64, f64, f64, f64) = (1.8, 0.117, 0.236, 0.9);

/// Coldest, warmest and usual temperature by kind of place, °C.
pub(super) fn usual_celsius(kind: PlaceKind) -> (f64, f64, f64) {
    match kind {
        PlaceKind::Counter => (-10.0, 45.0, REFERENCE_C[0]),
        PlaceKind::Fridge => (-1.0, 15.0, REFERENCE_C[1]),
        PlaceKind::Freezer => (-40.0, -5.0, REFERENCE_C[2]),
        PlaceKind::Ageing => (0.0, 25.0, REFERENCE_C[3]),
        PlaceKind::Pantry => (-5.0, 35.0, 16.0),
    }
}

pub(super) fn temperatures(c: &mut Ctx, at: &str, kind: PlaceKind, raw: &raw::Store) -> ([f64; 12], f64) {
    let (coldest, warmest, usual) = usual_celsius(kind);
    let bounds = format!("a temperature from {coldest} °C to {warmest} °C for this kind of store");
    let base = c.within(&under(at, "at"), &raw.at, coldest..=warmest, &bounds).unwrap_or(usual);
    let months = raw.at_by_month.clone().unwrap_or_default();
    let celsius = c.by_month(&under(at, "at by month"), &months, base, |c, at, q| {
        c.within(at, &Some(q.clone()), coldest..=warmest, &bounds)
    });
    let swing = c.within(&under(at, "swings"), &raw.swings, 0.0..=10.0, "a swing up to 10 °C (18 °F)");
    (celsius, swing.unwrap_or(0.0))
}

pub(super) fn rates(kind: PlaceKind, celsius: &[f64; 12], swing: f64) -> [f64; 12] {
    celsius.map(|t| keep_rate(REFERENCE_C[kind as usize], t, swing))
}

/// The law of the cold bacteria, and above 12 °C that of the souring ones where
/// it is faster, measured against the life of ordinary clean milk.
pub(super) fn sweet(celsius: f64, swing: f64) -> f64 {
    let cold = sweet_rate(celsius, swing);
    if celsius <= 12.0 {
        return cold;
    }
    cold.max(Cleanliness::Ordinary.mean_days() * 24.0 / souring_hours(celsius))
}

pub(super) fn mean(v: &[f64; 12]) -> f64 {
    v.iter().sum::<f64>() / 12.0
}

/// Hours and life by load and by what stands inside. Full jars chill alike, so
/// the load is counted in jars and parts of jars; a lone part-filled jar keeps
/// the whole surface of a jar.
pub(super) fn chill_table(fridge: &Fridge, jar: Option<&Jar>) -> ChillTable {
    let shape = jar.map_or(STAND_IN, |j| (j.plan.working_l, j.shape.across_m, j.shape.height_m, j.glass_kg));
    let working = shape.0;
    let mut loads_l = vec![0.5 * working, working];
    const LOADS: [f64; 14] = [1.5, 2.5, 4.0, 6.0, 8.0, 10.0, 12.5, 15.0, 18.0, 21.0, 24.0, 27.0, 30.0, 33.0];
    loads_l.extend(LOADS.into_iter().filter(|l| *l > 1.05 * working));
    let inside_l = vec![0.0, 4.0, 8.0, 13.0, 19.0, 26.0, 34.0, 43.0, 52.0, 62.0, 73.0, 86.0, 100.0];
    let mut t = ChillTable {
        loads_l,
        inside_l,
        hours_to_4c: Vec::new(),
        hours_to_10c: Vec::new(),
        hours_to_7c: Vec::new(),
        life_days: Vec::new(),
    };
    for litres in &t.loads_l {
        for inside in &t.inside_l {
            let chilled = chilled(fridge, shape, *litres, *inside);
            t.hours_to_4c.push(chilled.hours_to_4c);
            t.hours_to_10c.push(chilled.hours_to_10c);
            t.hours_to_7c.push(chilled.hours_to_7c);
            t.life_days.push(chilled.life_days_used_beyond.max(0.0));
        }
    }
    t
}

/// One chilling, integrated; the jar as working litres, diameter and height
/// (m), and glass (kg).
fn chilled(fridge: &Fridge, jar: (f64, f64, f64, f64), litres: f64, inside: f64) -> Chill {
    let (working, across, height, glass) = jar;
    let area = jar_area_m2(across, height);
    let load = |litres: f64, jars: u32, glass: f64| Load {
        litres,
        jars,
        jar_area_m2: area,
        jar_glass_kg: glass,
        start_c: cooling::MILK_IN_C,
    };
    let jars = (litres / working).max(1.0);
    let warm = Node {
        kj_k: load(litres, 0, 0.0).kj_per_k() + load(0.0, 1, glass).kj_per_k() * jars,
        w_k: fridge.h * area * jars,
        start_c: cooling::MILK_IN_C,
    };
    let cold = Node {
        kj_k: load(inside, 0, 0.0).kj_per_k(),
        w_k: fridge.h * area * inside / working,
        start_c: fridge.set_c,
    };
    course(fridge, &warm, (inside > 0.0).then_some(&cold)).chill
}

/// A household fridge at `set_c` in a room at `room_c` (°C).
pub(super) fn cooled(set_c: f64, room_c: f64, spare_w: f64, fan: bool) -> Fridge {
    Fridge {
        set_c,
        ua: CABINET_W_K,
        room_c: room_c.max(set_c),
        spare_w,
        band_k: BAND_K,
        air_kj_k: LINER_KJ_K,
        h: if fan { cooling::H_FAN } else { cooling::H_STILL_AIR },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Largest error of the table against direct integration, as a part.
    fn worst(fridge: &Fridge) -> f64 {
        let table = chill_table(fridge, None);
        let mut worst = 0.0f64;
        for step in 0..29 {
            let litres = 1.3 + f64::from(step);
            for inside in [0.0, 4.0, 11.0, 23.0, 37.0, 55.0, 79.0] {
                let direct = chilled(fridge, STAND_IN, litres, inside);
                let at = table.find(litres, inside);
                let pairs = [
                    (&table.hours_to_10c, direct.hours_to_10c),
                    (&table.hours_to_7c, direct.hours_to_7c),
                    (&table.hours_to_4c, direct.hours_to_4c),
                ];
                for (of, hours) in pairs {
                    let error = (table.value(of, at) - hours).abs() / hours;
                    worst = worst.max(error);
                }
            }
        }
        worst
    }

    #[test]
    fn the_table_agrees_with_direct_integration() {
        for fridge in [cooled(3.0, 21.0, 80.0, false), cooled(2.0, 25.0, 30.0, true)] {
            let worst = worst(&fridge);
            assert!(worst < 0.02, "{worst}");
        }
    }
}
