//! Jars on shelves.

use crate::{LB, count, differs, near, source, within};
use springhouse::dairy::packing::*;

#[test]
fn worked_shelves() {
    source("worked out by hand");
    // Worked by hand: width, depth, diameter (cm); straight rows, staggered along
    // the width, staggered along the depth.
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
        assert_eq!(per_layer(w, d, across, 0.0), rows.max(along_width).max(along_depth));
    }
}

#[test]
fn a_gap_flips_the_winner() {
    source("worked out by hand");
    count(per_layer(63.0, 36.0, 11.7, 0.0), 15);
    count(per_layer(63.0, 36.0, 11.7, 0.5), 14);
}

#[test]
fn never_more_than_the_best_known_in_a_square() {
    source("OEIS A337020");
    // OEIS A337020: most circles of unit area in a square of area n, n = 1 to 39.
    let best = [
        0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15, 16, 16, 16, 18, 18, 20, 20, 21, 22,
        22, 24, 25, 25, 25, 27, 27, 28, 30, 30,
    ];
    let across = 2.0 / std::f64::consts::PI.sqrt();
    let mut reached = 0;
    for (area, most) in (1u8..).zip(best) {
        let side = f64::from(area).sqrt();
        let got = per_layer(side, side, across, 0.0);
        assert!(got <= most, "area {area}: {got} against {most}");
        reached += u32::from(got == most);
    }
    // Half of these small squares are filled as well as they can be (counted
    // by a second program of ours).
    assert_eq!(reached, 19);
}

#[test]
fn grids_are_best_in_squares_of_4_9_16_25_and_36() {
    source("known optima of circles in a square");
    // Known optima: side 4, 6, 8, 10 and 12 for circles of radius 1.
    for n in 2..=6u32 {
        let side = 2.0 * f64::from(n);
        assert_eq!(per_layer(side, side, 2.0, 0.0), n * n);
        assert!(per_layer(side - 1e-6, side - 1e-6, 2.0, 0.0) < n * n);
    }
}

#[test]
fn never_more_than_the_known_sides_allow() {
    source("best known sides of a square for n circles");
    // Best known side of a square for n circles of radius 1: a hair less holds
    // fewer than n.
    let sides = [
        2.0, 3.414, 3.931, 4.0, 4.828, 5.328, 5.732, 5.863, 6.0, 6.747, 7.022, 7.144, 7.463, 7.732, 7.863,
        8.0, 8.532, 8.656, 8.907, 8.978,
    ];
    for (n, side) in (1u32..).zip(sides) {
        let short = side - 0.001;
        assert!(per_layer(short, short, 2.0, 0.0) < n, "{n}");
    }
}

#[test]
fn known_difference_a_deep_square_shelf_could_hold_22() {
    source("OEIS A337020");
    // 57 by 57 cm with 11.7 cm jars: A337020 at area 30 allows 22; rows give 20.
    let why = "straight and staggered rows only: what a hand does, and a lower bound";
    differs(f64::from(per_layer(57.0, 57.0, 11.7, 0.0)), 22.0, 20.0, 0.0, why);
}

#[test]
fn density_of_endless_shelves() {
    source("limits pi/4 and pi/(2 sqrt 3)");
    // Limits: pi/4 for straight rows, pi/(2·sqrt 3) = 0.907 for staggered ones.
    let part = |count: u32| f64::from(count) * std::f64::consts::FRAC_PI_4 / 1e6;
    near(part(square(1000.0, 1000.0, 1.0)), 0.785, 0.001);
    near(part(staggered(1000.0, 1000.0, 1.0)), 0.907, 0.002);
}

const HALF_GALLON: Jar = Jar { across_m: 0.117, height_m: 0.236, filled_kg: 2.76 };

#[test]
fn fifteen_half_gallons_outweigh_a_shelf() {
    source("worked out");
    // Worked out: 41.4 kg; a shelf of 50 lb bears 8 of the 15 that fit.
    let shelf = Shelf { width_m: 0.63, depth_m: 0.36, clear_m: 0.28, load_kg: f64::INFINITY };
    let free = fit(&shelf, &HALF_GALLON);
    assert_eq!((free.count, free.limited_by, free.pattern), (15, Limit::Area, Pattern::Square));
    within(f64::from(free.count) * HALF_GALLON.filled_kg, 41.4, 0.01);
    let weak = fit(&Shelf { load_kg: 50.0 * LB, ..shelf }, &HALF_GALLON);
    assert_eq!((weak.count, weak.limited_by), (8, Limit::Load));
}

#[test]
fn jars_are_heavier_than_a_rated_shelf() {
    source("worked out; test figure of a maker");
    // Worked out: touching half-gallon jars in straight rows weigh 202 kg/m² (41
    // lb/sq ft), above a test figure of 171 kg/m² (35 lb/sq ft).
    let load = HALF_GALLON.filled_kg * f64::from(square(11.7, 11.7, 0.117)) / (11.7 * 11.7);
    within(load, 202.0, 0.005);
}
