//! Jars on shelves.

use crate::{LB, at_most, count, differs, near, source};
use springhouse::dairy::density::milk_kg_per_l;
use springhouse::dairy::packing::*;
use springhouse::presets;
use springhouse::scenario::raw::{Jar as JarPreset, PresetFile};

const A337020: &str = "OEIS A337020, most circles of unit area in a square of area n";

/// How many circles the program puts on a shelf, all in one unit.
fn stands(width: f64, depth: f64, across: f64) -> u32 {
    let shelf = Shelf { width_m: width, depth_m: depth, clear_m: 1.0, load_kg: f64::INFINITY };
    fit(&shelf, &Jar { across_m: across, height_m: 1.0, filled_kg: 1.0 }).count
}

#[test]
fn worked_shelves() {
    source("worked out by hand");
    // Width, depth, diameter (cm); straight rows, staggered along the width, staggered along the
    // depth.
    let shelves = [
        (63.0, 36.0, 11.7, 15, 14, 15),
        (60.0, 35.0, 11.7, 10, 14, 10),
        (63.0, 36.0, 9.5, 18, 24, 21),
        (40.0, 33.0, 11.7, 6, 8, 6),
        (57.0, 57.0, 11.7, 16, 20, 20),
        (60.0, 40.0, 15.5, 6, 6, 8),
        (122.0, 57.0, 11.7, 40, 48, 44),
        (10.0, 10.0, 1.0, 100, 105, 105),
    ];
    for (w, d, across, rows, along_width, along_depth) in shelves {
        count(square(w, d, across), rows);
        count(staggered(w, d, across), along_width);
        count(staggered(d, w, across), along_depth);
        count(stands(w, d, across), rows.max(along_width).max(along_depth));
    }
}

#[test]
fn a_gap_flips_the_winner() {
    source("worked out by hand");
    // Half a centimetre between neighbours: all sizes grown by it.
    count(stands(63.0, 36.0, 11.7), 15);
    count(square(63.5, 36.5, 12.2), 10);
    count(stands(63.5, 36.5, 12.2), 14);
}

#[test]
fn never_more_than_the_best_known_in_a_square() {
    source(A337020);
    // n = 1 to 39.
    let best = [
        0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15, 16, 16, 16, 18, 18, 20, 20, 21, 22,
        22, 24, 25, 25, 25, 27, 27, 28, 30, 30,
    ];
    let across = 2.0 / std::f64::consts::PI.sqrt();
    let mut reached = 0;
    for (area, most) in (1u8..).zip(best) {
        let side = f64::from(area).sqrt();
        let got = stands(side, side, across);
        at_most(f64::from(got), f64::from(most));
        reached += u32::from(got == most);
    }
    // Half of these small squares are filled as well as they can be (worked out: counted with the
    // two rules of the worked shelves).
    count(reached, 19);
}

#[test]
fn grids_are_best_in_squares_of_4_9_16_25_and_36() {
    source("circle packing in a square, an encyclopedia's article: the grid is best for 4, 9, 16, 25 and 36");
    // Side 4, 6, 8, 10 and 12 for circles of radius 1.
    for n in 2..=6u32 {
        let side = 2.0 * f64::from(n);
        count(stands(side, side, 2.0), n * n);
        at_most(f64::from(stands(side - 1e-6, side - 1e-6, 2.0)), f64::from(n * n - 1));
    }
}

#[test]
fn never_more_than_the_known_sides_allow() {
    source("circle packing in a square, an encyclopedia's article: best known sides for 1 to 20 circles");
    // For n circles of radius 1: a hair less holds fewer than n.
    let sides = [
        2.0, 3.414, 3.931, 4.0, 4.828, 5.328, 5.732, 5.863, 6.0, 6.747, 7.022, 7.144, 7.463, 7.732, 7.863,
        8.0, 8.532, 8.656, 8.907, 8.978,
    ];
    for (n, side) in (1u32..).zip(sides) {
        let short = side - 0.001;
        at_most(f64::from(stands(short, short, 2.0)), f64::from(n - 1));
    }
}

#[test]
fn known_difference_a_deep_square_shelf_could_hold_22() {
    source(A337020);
    // 57 by 57 cm with 11.7 cm jars: the sequence at area 30 allows 22; rows give 20.
    let why = "straight and staggered rows only: what a hand does, and a lower bound";
    differs(f64::from(stands(57.0, 57.0, 11.7)), 22.0, 20.0, 0.0, why);
}

#[test]
fn density_of_endless_shelves() {
    source("limits pi/4 and pi/(2 sqrt 3), closed form");
    // Straight rows fill the side exactly; staggered ones lose up to half a place a row and part of
    // a row: 1/2000 + 1/1000.
    let part = |count: u32| f64::from(count) * std::f64::consts::FRAC_PI_4 / 1e6;
    near(part(square(1000.0, 1000.0, 1.0)), std::f64::consts::FRAC_PI_4, 1e-9);
    near(part(staggered(1000.0, 1000.0, 1.0)), std::f64::consts::FRAC_PI_2 / 3f64.sqrt(), 0.0015);
}

/// A jar of the presets, full.
fn preset(name: &str) -> Jar {
    let jars: PresetFile<JarPreset> = serde_yaml::from_str(presets::JARS).expect("the jars");
    let j = jars.get(name).expect("a jar");
    let metres = |t: &Option<springhouse::units::Text<springhouse::units::Length>>| {
        t.as_ref().expect("a size").read().expect("metres")
    };
    let glass: f64 = j.weighs.as_ref().expect("a weight").read().expect("kilograms");
    let filled: f64 = j.filled_to.as_ref().expect("a filling").read().expect("litres");
    Jar {
        across_m: metres(&j.across),
        height_m: metres(&j.height),
        filled_kg: glass + filled * milk_kg_per_l(),
    }
}

#[test]
fn fifteen_half_gallons_outweigh_a_shelf() {
    source("worked out: 15 jars of 0.90 kg of glass and 1.80 L of milk");
    // 41.4 kg (half a digit); a shelf of 50 lb bears 8 of the 15 that fit.
    let jar = preset("half gallon");
    let shelf = Shelf { width_m: 0.63, depth_m: 0.36, clear_m: 0.28, load_kg: f64::INFINITY };
    let free = fit(&shelf, &jar);
    assert_eq!((free.limited_by, free.pattern), (Limit::Area, Pattern::Square));
    count(free.count, 15);
    near(f64::from(free.count) * jar.filled_kg, 41.4, 0.05);
    let weak = fit(&Shelf { load_kg: 50.0 * LB, ..shelf }, &jar);
    assert_eq!(weak.limited_by, Limit::Load);
    count(weak.count, 8);
}

#[test]
fn jars_are_heavier_than_a_rated_shelf() {
    source("worked out for jars of 9.5, 11.7 and 15.5 cm; a maker's test figure, 35 lb a square foot");
    // Touching jars in straight rows weigh 153 (quart), 202 (half gallon) and 207 (gallon) kg/m²;
    // the test figure is 171 kg/m². The quart of the presets is 9.4 cm across (2.1 % more), the gallon
    // 15.2 (makers 13.9 to 15.9) with 1.15 kg of glass (1.04 to 1.25): 2 %; else half a percent.
    for (name, kg, part) in [("quart", 153.0, 0.022), ("half gallon", 202.0, 0.005), ("gallon", 207.0, 0.02)]
    {
        let jar = preset(name);
        let side = 100.0 * jar.across_m;
        let load = jar.filled_kg * f64::from(square(side, side, jar.across_m)) / (side * side);
        near(load, kg, part * kg);
    }
}
