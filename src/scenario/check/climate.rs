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
    cooling::{self, Fridge, Load, chill, jar_area_m2},
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

pub(super) fn chill_table(fridge: &Fridge, jar: Option<&Jar>) -> ChillTable {
    let (working, across, height, glass) =
        jar.map_or(STAND_IN, |j| (j.plan.working_l, j.shape.across_m, j.shape.height_m, j.glass_kg));
    let loads_l = vec![1.0, 2.0, 4.0, 6.0, 9.0, 12.0, 18.0, 24.0];
    let inside_l = vec![0.0, 15.0, 40.0, 80.0];
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
            let load = Load {
                litres: *litres,
                jars: (litres / working).ceil().max(1.0) as u32,
                jar_area_m2: jar_area_m2(across, height),
                jar_glass_kg: glass,
                start_c: cooling::MILK_IN_C,
            };
            let chilled = chill(fridge, &load, *inside);
            t.hours_to_4c.push(chilled.hours_to_4c);
            t.hours_to_10c.push(chilled.hours_to_10c);
            t.hours_to_7c.push(chilled.hours_to_7c);
            t.life_days.push(chilled.life_days_used_beyond.max(0.0));
        }
    }
    t
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
