//! Temperatures of a store, what they do to milk and food, and chilling.

use super::{
    super::{
        plan::{ChillCell, ChillTable, MachinePlan, PlaceKind},
        raw,
    },
    cold::Way,
    context::{Ctx, under},
    jars::Jar,
};
use crate::dairy::{
    cooling::{self, Fridge, Load, Node, course, jar_area_in_water_m2, jar_area_m2},
    keeping::{REFERENCE_C, keep_rate, ordinary_days, souring_hours, sweet_rate},
};

/// Heat leak of a household cabinet, W/K (from memory; 1.2 to 2.0).
const CABINET_W_K: f64 = 1.6;
/// Width of a thermostat's band, K (our default).
const BAND_K: f64 = 1.0;
/// Heat held by air, liner and shelves, kJ/K (our default).
const LINER_KJ_K: f64 = 10.0;
/// Empty weight, diameter and height of a half-gallon jar stand in for a jar
/// when a family owns none (as in the presets: from memory).
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
    cold.max(ordinary_days() * 24.0 / souring_hours(celsius))
}

pub(super) fn mean(v: &[f64; 12]) -> f64 {
    v.iter().sum::<f64>() / 12.0
}

/// Temperatures around a store: those of the counter unless it says its own.
pub(super) fn surroundings(c: &mut Ctx, at: &str, raw: &raw::Store, room_c: [f64; 12]) -> [f64; 12] {
    let bounds = "a temperature from -30 °C to 50 °C";
    let own = c.within(&under(at, "around"), &raw.around, -30.0..=50.0, bounds);
    let mut all = own.map_or(room_c, |t| [t; 12]);
    if let Some(months) = &raw.around_by_month {
        let named = c.by_month(&under(at, "around by month"), months, f64::NAN, |c, at, q| {
            c.within(at, &Some(q.clone()), -30.0..=50.0, bounds)
        });
        for (a, n) in all.iter_mut().zip(named).filter(|(_, n)| !n.is_nan()) {
            *a = n;
        }
    }
    all
}

/// Heat that comes in with one opening of the door, J: a change of the air of
/// 300 L from 21 to 4 °C, its moisture with it (worked out).
const OPENING_J: f64 = 10_000.0;
/// What an opening a day adds to the variance of the temperature, K²: 10 kJ on
/// 10 kJ/K of air and liner is 1 K, gone with a time of ten minutes (worked out).
const OPENING_K2: f64 = 0.0035;

/// The swing of a store whose door is opened so often a day.
pub(super) fn with_door(swing: f64, opened: f64) -> f64 {
    (swing * swing + OPENING_K2 * opened).sqrt()
}

/// Where a store stands and what its machine can do.
#[derive(Clone, Copy, Debug)]
pub(super) struct Site {
    pub set_c: [f64; 12],
    pub room_c: [f64; 12],
    /// Power to spare at [`SPARE_AT_C`], W.
    pub spare_w: f64,
    /// Openings of the door a day.
    pub opened: f64,
    pub fan: bool,
}

/// Surroundings for which a spare power is stated, °C (our default: a heated room).
const SPARE_AT_C: f64 = 21.0;

impl Site {
    /// What is left of the spare power in surroundings of a temperature: the
    /// walls let more in, and so does the door. That machines lose power in the
    /// heat besides is left out.
    fn spare_w(&self, room_c: f64) -> f64 {
        let door = OPENING_J * self.opened / 86_400.0;
        (self.spare_w - CABINET_W_K * (room_c - SPARE_AT_C).max(0.0) - door).max(0.0)
    }

    /// The months in layers of like severity, and what the fridge is in each.
    fn layers(&self) -> ([u8; 12], Vec<Fridge>) {
        let spread = |v: &[f64; 12]| {
            let low = v.iter().copied().fold(f64::INFINITY, f64::min);
            (low, v.iter().copied().fold(f64::NEG_INFINITY, f64::max) - low)
        };
        let ((room_low, room), (set_low, set)) = (spread(&self.room_c), spread(&self.set_c));
        if room <= 6.0 && set <= 1.0 {
            return ([0; 12], vec![self.fridge(mean(&self.set_c), mean(&self.room_c))]);
        }
        // A degree inside matters about as much as five around.
        let hard: [f64; 12] =
            std::array::from_fn(|m| self.room_c[m] - room_low + 5.0 * (self.set_c[m] - set_low));
        let most = hard.iter().copied().fold(0.0, f64::max);
        let of = hard.map(|h| ((h / most * 3.0) as u8).min(2));
        let (mut by_month, mut fridges) = ([0; 12], Vec::new());
        for layer in 0..3 {
            let months: Vec<usize> = (0..12).filter(|m| of[*m] == layer).collect();
            if months.is_empty() {
                continue;
            }
            let n = months.len() as f64;
            let over = |v: &[f64; 12]| months.iter().map(|m| v[*m]).sum::<f64>() / n;
            for m in &months {
                by_month[*m] = fridges.len() as u8;
            }
            fridges.push(self.fridge(over(&self.set_c), over(&self.room_c)));
        }
        (by_month, fridges)
    }

    /// A household fridge at `set_c` in a room at `room_c` (°C).
    pub(super) fn fridge(&self, set_c: f64, room_c: f64) -> Fridge {
        Fridge {
            set_c,
            ua: CABINET_W_K,
            room_c: room_c.max(set_c),
            spare_w: self.spare_w(room_c),
            band_k: BAND_K,
            air_kj_k: LINER_KJ_K,
            h: if self.fan { cooling::H_FAN } else { cooling::H_STILL_AIR },
        }
    }
}

/// The machine of a store, for when its power fails.
pub(super) fn machine(freezer: bool, site: &Site, litres: f64, other_food: &[f64; 12]) -> MachinePlan {
    MachinePlan {
        freezer,
        set_c: site.set_c,
        room_c: site.room_c,
        spare_w: site.room_c.map(|t| site.spare_w(t)),
        ua: CABINET_W_K,
        kj_k: other_food.map(|part| LINER_KJ_K + part * litres * cooling::OTHER_FOOD_KJ_PER_L_K),
    }
}

/// Jar as working litres, diameter and height (m), and glass (kg).
pub(super) type Shape = (f64, f64, f64, f64);

/// The jar that stands for all.
pub(super) fn shape(jar: Option<&Jar>) -> Shape {
    jar.map_or(STAND_IN, |j| (j.plan.working_l, j.shape.across_m, j.shape.height_m, j.glass_kg))
}

/// A warm load in water, as one body.
pub(super) fn in_water((working, across, height, glass): Shape, u: f64) -> Node {
    let load = Load {
        litres: working,
        jars: 1,
        jar_area_m2: jar_area_in_water_m2(across, height),
        jar_glass_kg: glass,
        start_c: cooling::MILK_IN_C,
    };
    load.node(u)
}

/// Hours and life by load and by what stands inside. Full jars chill alike, so
/// the load is counted in jars and parts of jars; a lone part-filled jar keeps
/// the whole surface of a jar. Other food inside is left out: it would help.
pub(super) fn chill_table(site: &Site, jar: Option<&Jar>, way: &Way) -> ChillTable {
    let shape = shape(jar);
    let working = shape.0;
    let (by_month, fridges) = site.layers();
    let starts_c = way.starts_c(shape);
    // Milk that comes cool is gentle on the fridge: fewer points will do.
    let (loads, insides): (&[f64], &[f64]) = if starts_c.len() > 1 {
        (
            &[2.5, 4.5, 7.0, 10.0, 14.0, 18.5, 23.0, 28.0, 33.0],
            &[0.0, 5.0, 11.0, 18.0, 27.0, 38.0, 52.0, 73.0, 100.0],
        )
    } else {
        (
            &[1.5, 2.5, 4.0, 6.0, 8.0, 10.0, 12.5, 15.0, 18.0, 21.0, 24.0, 27.0, 30.0, 33.0],
            &[0.0, 4.0, 8.0, 13.0, 19.0, 26.0, 34.0, 43.0, 52.0, 62.0, 73.0, 86.0, 100.0],
        )
    };
    let mut loads_l = vec![0.5 * working, working];
    loads_l.extend(loads.iter().copied().filter(|l| *l > 1.05 * working));
    let mut cells = Vec::new();
    for fridge in &fridges {
        for start in &starts_c {
            for litres in &loads_l {
                for inside in insides {
                    cells.push(chilled(fridge, shape, (*litres, *start), *inside));
                }
            }
        }
    }
    ChillTable { by_month, starts_c, loads_l, inside_l: insides.to_vec(), cells }
}

/// One chilling, integrated, of so many litres of a temperature.
fn chilled(fridge: &Fridge, jar: Shape, (litres, start_c): (f64, f64), inside: f64) -> ChillCell {
    let (working, across, height, glass) = jar;
    let area = jar_area_m2(across, height);
    let load = |litres: f64, jars: u32, glass: f64| Load {
        litres,
        jars,
        jar_area_m2: area,
        jar_glass_kg: glass,
        start_c,
    };
    let jars = (litres / working).max(1.0);
    let warm = Node {
        kj_k: load(litres, 0, 0.0).kj_per_k() + load(0.0, 1, glass).kj_per_k() * jars,
        w_k: fridge.h * area * jars,
        start_c,
    };
    // Where nothing stands inside: what a very little would suffer.
    let inside = inside.max(0.05);
    let cold = Node {
        kj_k: load(inside, 0, 0.0).kj_per_k(),
        w_k: fridge.h * area * inside / working,
        start_c: fridge.set_c,
    };
    let course = course(fridge, &warm, Some(&cold));
    let chill = course.chill;
    ChillCell {
        hours_to: [chill.hours_to_10c, chill.hours_to_7c, chill.hours_to_4c],
        life_days: chill.life_days_used_beyond.max(0.0),
        neighbour_days: course.inside_life_days.max(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(set_c: f64, room_c: f64, spare_w: f64, fan: bool) -> Site {
        Site { set_c: [set_c; 12], room_c: [room_c; 12], spare_w, opened: 0.0, fan }
    }

    /// Largest error of the table against direct integration, as a part of the
    /// time that the milk takes in all, water and fridge.
    fn worst(site: &Site, way: &Way, starts: &[f64]) -> f64 {
        let table = chill_table(site, None, way);
        let (_, fridges) = site.layers();
        let mut worst = 0.0f64;
        for start in starts {
            for step in 0..29 {
                let litres = 1.3 + f64::from(step);
                for inside in [0.0, 4.0, 11.0, 23.0, 37.0, 55.0, 79.0] {
                    let direct = chilled(&fridges[0], STAND_IN, (litres, *start), inside);
                    let got = table.at(0, *start, litres, inside);
                    for (a, b) in got.hours_to.into_iter().zip(direct.hours_to) {
                        worst = worst.max((a - b).abs() / (way.hours + b));
                    }
                }
            }
        }
        worst
    }

    #[test]
    fn the_table_agrees_with_direct_integration() {
        for site in [site(3.0, 21.0, 80.0, false), site(2.0, 21.0, 30.0, true)] {
            let worst = worst(&site, &Way::default(), &[cooling::MILK_IN_C]);
            assert!(worst < 0.02, "{worst}");
        }
    }

    #[test]
    fn the_table_of_cooled_milk_agrees_too() {
        let way = Way { hours: 0.75, kind: super::super::cold::Kind::Ice, ..Way::default() };
        let (household, weak) = (site(3.0, 21.0, 80.0, false), site(2.0, 21.0, 30.0, true));
        let (cool, warm) = ([2.0, 4.0, 5.0, 6.5, 8.0, 9.5], [11.0, 13.0, 17.0, 22.0, 30.0]);
        for (site, starts, most) in [
            (household, &cool[..], 0.02),
            (household, &warm[..], 0.02),
            (weak, &cool[..], 0.02),
            // Ice far too little, a fan and 30 W: the points lie too wide for more.
            (weak, &warm[..], 0.05),
        ] {
            let worst = worst(&site, &way, starts);
            assert!(worst < most, "{worst}");
        }
    }

    #[test]
    fn heat_around_takes_the_spare_power() {
        // 1.6 W/K over 14 K: 22.4 W less; 40 openings of 10 kJ: 4.6 W.
        let hot = Site { opened: 40.0, ..site(4.0, 35.0, 60.0, false) };
        assert!((hot.spare_w(35.0) - (60.0 - 22.4 - 4.63)).abs() < 0.01);
        assert_eq!(site(4.0, 35.0, 10.0, false).spare_w(35.0), 0.0);
        // 40 openings a day: as much as a swing of 0.37 K.
        assert!((with_door(0.0, 40.0) - 0.374).abs() < 0.001);
        assert_eq!(with_door(1.0, 0.0), 1.0);
    }

    #[test]
    fn summer_has_a_layer_of_its_own() {
        let mut garage = site(4.0, 10.0, 60.0, false);
        garage.room_c = [2.0, 4.0, 8.0, 14.0, 20.0, 30.0, 36.0, 35.0, 24.0, 14.0, 8.0, 3.0];
        let table = chill_table(&garage, None, &Way::default());
        assert_eq!(table.by_month, [0, 0, 0, 1, 1, 2, 2, 2, 1, 1, 0, 0]);
        let hours = |m| table.at(m, 35.0, 8.0, 20.0).hours_to[2];
        // Cool surroundings take no power; the heat of summer does.
        assert!(hours(4) * 1.02 < hours(6), "{} {}", hours(4), hours(6));
    }
}
