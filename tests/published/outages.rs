//! A cold store without power.

use crate::common::compile;
use crate::{differs, near, source};
use springhouse::dairy::cooling::*;

/// A kitchen fridge of the presets, half full of other food, with so much milk: heat
/// held (kJ/K), leak (W/K) and temperature.
fn kitchen_fridge(milk_l: f64) -> (f64, f64, f64) {
    let c = compile(
        "title: Outage
starts: 2027-04-01
lasts: 30 days
animals: [{name: Clover, breed: jersey, freshens: 2027-03-01}]
household: {people: {man 31 to 50: 1}}
stores: {fridge: {like: top-freezer 18 cu ft}}
jars: {half gallon: 20}
outages: {a year: 2, last: 6 h}
",
    );
    let machine = c.plan.cold.machines.iter().flatten().next().expect("a machine");
    let milk = Load { litres: milk_l, jars: 0, jar_area_m2: 0.0, jar_glass_kg: 0.0, start_c: 0.0 };
    (machine.kj_k[3] + milk.kj_per_k(), machine.ua, machine.set_c[3])
}

#[test]
fn milk_is_thermal_mass() {
    source("worked out: 1.6 W/K into a room of 21 C, 3 to 5 C");
    // 20, 40, 60 kg of milk. The specific heat is not told; 3.75 kJ/(kg·K) gives these
    // hours, 4 % under ours, and they are printed to a tenth.
    for (kg, hours) in [(20.0, 1.6), (40.0, 3.1), (60.0, 4.6)] {
        near(outage_hours(kg * 3.9, 1.6, 21.0, 3.0, 5.0).unwrap(), hours, 0.04 * hours + 0.05);
    }
}

#[test]
fn known_difference_a_closed_fridge_without_power() {
    let (kj_k, ua, set_c) = kitchen_fridge(36.0);
    source("United States, Food Safety and Inspection Service, advice on outages (about 4 h)");
    // Until food is discarded: to 4.4 °C (40 °F), and two hours above it.
    let to_mark = outage_hours(kj_k, ua, 21.0, set_c, MARK_4C).unwrap();
    differs(
        to_mark + ADVISED_H,
        4.0,
        4.94,
        0.02,
        "half full of food, and 36 L of milk: the heat they hold decides",
    );
    // Step by step it is the same.
    let s = warm_up(set_c, 21.0, kj_k, ua, to_mark + ADVISED_H, MARK_4C);
    near(s.above_h, ADVISED_H, 1e-9);
    source("Scarcelli and Nelson 2013, FIU Hospitality Review 31(2):55 (about 6 h to 5 C)");
    let to_five = outage_hours(kj_k, ua, 21.0, set_c, 5.0).unwrap();
    differs(to_five, 6.0, 4.62, 0.02, "how full theirs was is not told; ours starts at 3.3 C");
}

#[test]
fn a_freezer_without_power() {
    source("United States, Food Safety and Inspection Service, advice on outages");
    near(freezer_hours(1.0), 48.0, 1e-12);
    near(freezer_hours(0.5), 24.0, 1e-12);
}
