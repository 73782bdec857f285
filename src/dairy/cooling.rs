//! Chilling warm milk: in a bath, and in fridge air of limited power.
//!
//! Milk in a jar mixes by itself while it cools, so each load is one node of
//! even temperature. In a fridge the air is a node too: a warm load lifts it
//! until the machine catches up.

mod bath;
mod outage;
mod soak;
#[cfg(test)]
mod tests;

pub use bath::{Lumped, common_c, outage_hours};
pub use outage::{
    ADVISED_H, FREEZER_FULL_H, FREEZER_HALF_H, OTHER_FOOD_KJ_PER_L_K, Stretch, WRAPPED_KJ_PER_L_K, come_back,
    freezer_hours, warm_up,
};
pub use soak::{Bath, Soak, ice_wanted, life, soak_in_ice, soak_in_running_water};

use super::density::{MILK_KJ_PER_KG_K, milk_kg_per_l};
use super::keeping::sweet_rate;

/// The first mark of the chilling rules, °C: 50 °F (US Grade A Pasteurized Milk
/// Ordinance, item 18r).
pub const MARK_10C: f64 = 10.0;
/// The second mark, °C: written as 7 °C, and 45 °F in the country of the rule (US
/// Grade A Pasteurized Milk Ordinance, item 18r).
pub const MARK_7C: f64 = 7.2;
/// Cold, °C: 40 °F (United States, Food Safety and Inspection Service).
pub const MARK_4C: f64 = 4.4;
/// Longest time looked at, h; also the answer when a mark is not reached (a bound of
/// the program).
pub const LONGEST_H: f64 = 72.0;

/// Heat passed by a jar wall in still cold air, W/(m²·K): natural convection
/// (Churchill and Chu) plus radiation, worked out; 6 to 10.
pub const H_STILL_AIR: f64 = 8.0;
/// The same with a fan, W/(m²·K); 12 to 18 (common practice, no source).
pub const H_FAN: f64 = 15.0;
/// A jar in ice water, W/(m²·K), worked out; 60 (crowded, still) to 150 (stirred).
pub const H_ICE_BATH: f64 = 100.0;
/// A jar in running water, W/(m²·K): milk that stirs itself (325), 3 mm of glass
/// (333) and slowly flowing water (500), worked out; 60 to 180.
pub const H_RUNNING_WATER: f64 = 120.0;
/// Ice water while there is ice, °C (worked out: a little above freezing beside
/// warm jars).
pub const ICE_WATER_C: f64 = 0.5;
/// Ice melted over what the milk and the water alone would melt, the rest being
/// the room's heat; 1.1 to 1.5 (common practice, no source).
pub const ICE_LOSS: f64 = 1.2;
/// Milk as it comes into the jar, °C; 33 to 38 (common practice, no source).
pub const MILK_IN_C: f64 = 35.0;
/// Specific heat of glass, kJ/(kg·K) (from memory).
const GLASS_KJ_PER_KG_K: f64 = 0.84;

/// A fridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fridge {
    /// Temperature it is set to, °C.
    pub set_c: f64,
    /// Heat leak of the cabinet, W/K; 1.2 to 2.0 for a household fridge.
    pub ua: f64,
    /// Room around it, °C.
    pub room_c: f64,
    /// Cooling power to spare beyond the leak at its set temperature, W.
    pub spare_w: f64,
    /// Width of the thermostat's band, K: full power that far above the set
    /// temperature.
    pub band_k: f64,
    /// Heat held by air, liner and shelves, kJ/K.
    pub air_kj_k: f64,
    /// Heat passed by a jar wall, W/(m²·K).
    pub h: f64,
}

/// A warm load in jars.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Milk, L.
    pub litres: f64,
    /// Jars it is in.
    pub jars: u32,
    /// Surface of one jar that passes heat, m² (see [`jar_area_m2`]).
    pub jar_area_m2: f64,
    /// Glass of one jar, kg; half of it cools with the milk.
    pub jar_glass_kg: f64,
    /// Temperature at the start, °C.
    pub start_c: f64,
}

impl Load {
    /// Heat held, kJ/K.
    #[must_use]
    pub fn kj_per_k(&self) -> f64 {
        self.litres * milk_kg_per_l() * MILK_KJ_PER_KG_K
            + 0.5 * f64::from(self.jars) * self.jar_glass_kg * GLASS_KJ_PER_KG_K
    }

    /// The same as one body, its jars passing `h` W/(m²·K).
    #[must_use]
    pub fn node(&self, h: f64) -> Node {
        Node {
            kj_k: self.kj_per_k(),
            w_k: h * self.jar_area_m2 * f64::from(self.jars),
            start_c: self.start_c,
        }
    }
}

/// Surface of a filled jar that passes heat in water, m²: base, and the wall up
/// to the milk, four fifths of the height.
#[must_use]
pub fn jar_area_in_water_m2(across_m: f64, height_m: f64) -> f64 {
    use std::f64::consts::PI;
    PI * across_m * 0.8 * height_m + 0.25 * PI * across_m * across_m
}

/// Surface of a filled jar that passes heat in air, m²: base, top and the
/// wall up to the milk, four fifths of the height.
#[must_use]
pub fn jar_area_m2(across_m: f64, height_m: f64) -> f64 {
    use std::f64::consts::PI;
    PI * across_m * 0.8 * height_m + 0.5 * PI * across_m * across_m
}

/// One body of even temperature that trades heat with the air around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Heat held, kJ/K; > 0.
    pub kj_k: f64,
    /// Heat passed to the air, W/K.
    pub w_k: f64,
    /// Temperature at the start, °C.
    pub start_c: f64,
}

/// How a load was chilled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chill {
    /// Hours to 10 °C (50 °F); [`LONGEST_H`] if later than that.
    pub hours_to_10c: f64,
    /// Hours to 7.2 °C (45 °F).
    pub hours_to_7c: f64,
    /// Hours to 4.4 °C (40 °F).
    pub hours_to_4c: f64,
    /// Days of sweet life at 4 °C used while chilling, beyond what the same
    /// time at the place's own temperature uses.
    pub life_days_used_beyond: f64,
    /// Warmest air, °C.
    pub air_peak_c: f64,
}

impl Chill {
    /// Of a load of nothing.
    const fn nothing(around_c: f64) -> Self {
        Self {
            hours_to_10c: 0.0,
            hours_to_7c: 0.0,
            hours_to_4c: 0.0,
            life_days_used_beyond: 0.0,
            air_peak_c: around_c,
        }
    }
}

/// What became of the air and of what stood inside, beside [`Chill`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// The warm load.
    pub chill: Chill,
    /// Warmest that the food already inside became, °C (the set temperature
    /// when nothing stood inside).
    pub inside_peak_c: f64,
    /// Hours for which that food was above 4.4 °C.
    pub inside_late_h: f64,
    /// Days of sweet life at 4 °C that it used beyond what the same time at the
    /// place's own temperature uses.
    pub inside_life_days: f64,
}

/// Step of the integration, h (fourth-order Runge-Kutta; a step of the program).
const STEP_H: f64 = 15.0 / 3600.0;

/// Chills a warm body in a fridge's air, beside one that stands inside, if any.
#[must_use]
pub fn course(fridge: &Fridge, load: &Node, inside: Option<&Node>) -> Course {
    let mut out = Course {
        chill: Chill::nothing(fridge.set_c),
        inside_peak_c: inside.map_or(fridge.set_c, |n| n.start_c),
        inside_late_h: 0.0,
        inside_life_days: 0.0,
    };
    let mut marks = Marks::new(load.start_c);
    let own_rate = sweet_rate(fridge.set_c, 0.0);
    let mut rate = sweet_rate(load.start_c, 0.0) - own_rate;
    let mut hours = 0.0;
    follow(fridge, load, inside, |step_h, state, next| {
        marks.pass(hours, step_h, state[0], next[0]);
        let next_rate = sweet_rate(next[0], 0.0) - own_rate;
        out.chill.life_days_used_beyond += 0.5 * (rate + next_rate) * step_h / 24.0;
        out.inside_life_days += (sweet_rate(0.5 * (state[2] + next[2]), 0.0) - own_rate) * step_h / 24.0;
        if 0.5 * (state[2] + next[2]) > MARK_4C {
            out.inside_late_h += step_h;
        }
        out.chill.air_peak_c = out.chill.air_peak_c.max(next[1]);
        out.inside_peak_c = out.inside_peak_c.max(next[2]);
        rate = next_rate;
        hours += step_h;
    });
    if load.kj_k > 0.0 {
        [out.chill.hours_to_10c, out.chill.hours_to_7c, out.chill.hours_to_4c] = marks.hours;
    }
    out
}

/// The course of temperatures behind [`course`], shown step by step: length, h,
/// and warm body, air and what stands inside, °C, at its beginning and its end.
/// It ends when all are cold, or after [`LONGEST_H`].
///
/// Air `Ca·dTa/dt = ΣG·(T − Ta) + UA·(Troom − Ta) − Q` with
/// `Q = UA·(Troom − Tset) + spare·(Ta − Tset)/band`, held between 0 and full
/// power; bodies `C·dT/dt = −G·(T − Ta)`. Newton's law of cooling with a
/// proportional thermostat; our model.
pub fn follow(
    fridge: &Fridge,
    load: &Node,
    inside: Option<&Node>,
    mut see: impl FnMut(f64, [f64; 3], [f64; 3]),
) {
    let none = Node { kj_k: 1.0, w_k: 0.0, start_c: fridge.set_c };
    let inside = inside.unwrap_or(&none);
    if load.kj_k <= 0.0 {
        return;
    }
    let model = Model::new(fridge, load, inside);
    let mut state = [load.start_c, fridge.set_c, inside.start_c];
    // Close enough to the place's own temperature to call it chilled.
    let done_c = fridge.set_c + 0.02;
    let mut hours = 0.0;
    while hours < LONGEST_H && (state[0] > done_c || state[2] > MARK_4C.max(done_c)) {
        let step_h = if hours < 1.0 { STEP_H } else { model.long_step_h };
        let next = model.step(state, step_h);
        see(step_h, state, next);
        state = next;
        hours += step_h;
    }
}

/// Rates per hour of (load, air, inside).
struct Model {
    load: f64,
    inside: f64,
    air_load: f64,
    air_inside: f64,
    air_ua: f64,
    air_spare: f64,
    leak_k: f64,
    set_c: f64,
    room_c: f64,
    band_k: f64,
    /// Step once the first hour is over: the air answers more slowly than that.
    long_step_h: f64,
}

impl Model {
    fn new(fridge: &Fridge, load: &Node, inside: &Node) -> Self {
        // Seconds of an hour over joules of a kilojoule (a definition).
        const W_PER_KJ_H: f64 = 3.6;
        let band_k = fridge.band_k.max(0.05);
        let spare_w = fridge.spare_w.max(0.0);
        // The air answers within seconds at the least, so that the fixed step
        // stays stable whatever is given.
        let pull = load.w_k + inside.w_k + fridge.ua + spare_w / band_k;
        let air_kj = fridge.air_kj_k.max(pull * STEP_H * W_PER_KJ_H);
        let per_hour = |watts: f64, kj: f64| watts * W_PER_KJ_H / kj;
        Self {
            load: per_hour(load.w_k, load.kj_k),
            inside: per_hour(inside.w_k, inside.kj_k),
            air_load: per_hour(load.w_k, air_kj),
            air_inside: per_hour(inside.w_k, air_kj),
            air_ua: per_hour(fridge.ua, air_kj),
            air_spare: per_hour(spare_w, air_kj),
            leak_k: fridge.room_c - fridge.set_c,
            set_c: fridge.set_c,
            room_c: fridge.room_c,
            band_k,
            long_step_h: (0.8 * air_kj / (pull * W_PER_KJ_H)).clamp(STEP_H, 4.0 * STEP_H),
        }
    }

    fn rates(&self, [load, air, inside]: [f64; 3]) -> [f64; 3] {
        let leak = self.air_ua * self.leak_k;
        let most = (leak + self.air_spare).max(0.0);
        let power = (leak + self.air_spare * (air - self.set_c) / self.band_k).clamp(0.0, most);
        [
            self.load * (air - load),
            self.air_load * (load - air)
                + self.air_inside * (inside - air)
                + self.air_ua * (self.room_c - air)
                - power,
            self.inside * (air - inside),
        ]
    }

    fn step(&self, y: [f64; 3], step_h: f64) -> [f64; 3] {
        let ahead = |k: [f64; 3], h: f64| [y[0] + h * k[0], y[1] + h * k[1], y[2] + h * k[2]];
        let k1 = self.rates(y);
        let k2 = self.rates(ahead(k1, 0.5 * step_h));
        let k3 = self.rates(ahead(k2, 0.5 * step_h));
        let k4 = self.rates(ahead(k3, step_h));
        std::array::from_fn(|i| y[i] + step_h / 6.0 * (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i]))
    }
}

/// When each mark was passed.
struct Marks {
    hours: [f64; 3],
}

impl Marks {
    const AT: [f64; 3] = [MARK_10C, MARK_7C, MARK_4C];

    fn new(start_c: f64) -> Self {
        Self { hours: Self::AT.map(|mark| if start_c <= mark { 0.0 } else { LONGEST_H }) }
    }

    fn pass(&mut self, hours: f64, step_h: f64, from: f64, to: f64) {
        for (mark, passed) in Self::AT.into_iter().zip(&mut self.hours) {
            if from > mark && to <= mark && *passed >= LONGEST_H {
                *passed = hours + step_h * (from - mark) / (from - to);
            }
        }
    }
}

/// Whether a chilling keeps the times of the United States' Grade A ordinance
/// for licensed dairies: 10 °C within 4 h of the start of the first milking and
/// 7 °C (45 °F) within 2 h of the end of milking (Pasteurized Milk Ordinance,
/// section 7, item 18r, in the wording of California Food and Agricultural Code
/// 35783). The ordinance binds licensed dairies; keeping its times is no proof
/// that milk is fit to drink.
#[must_use]
pub fn pmo_ok(hours_to_10c_from_start: f64, hours_to_7c_after_end: f64) -> bool {
    hours_to_10c_from_start <= 4.0 && hours_to_7c_after_end <= 2.0
}
