use super::*;
use Species::{Cow, Goat, Sheep};

const FATS: [f64; 14] = [0.0, 0.0005, 0.005, 0.02, 0.0325, 0.04, 0.05, 0.07, 0.12, 0.2, 0.25, 0.4, 0.7, 1.0];
const HOURS: [f64; 12] = [-1.0, 0.0, 0.01, 0.5, 2.0, 6.0, 12.0, 18.0, 24.0, 48.0, 96.0, 1000.0];

fn each_layer(mut check: impl FnMut(f64, f64, Species, Layer)) {
    for species in Species::ALL {
        for fat in FATS {
            for hours in HOURS {
                check(fat, hours, species, Layer::at_rest(fat, hours, species));
            }
        }
    }
}

#[test]
fn fat_is_conserved_and_in_order() {
    each_layer(|fat, hours, species, layer| {
        let at = format!("{fat} {hours} {species:?} {layer:?}");
        assert!((layer.fat_part() - fat).abs() < 1e-12, "{at}");
        assert!((0.0..=1.0).contains(&layer.volume_part), "{at}");
        assert!(layer.top_fat <= 1.0 + 1e-12 && layer.below_fat >= 0.0, "{at}");
        assert!(layer.top_fat >= layer.bottom_fat - 1e-12, "{at}");
        assert!(layer.bottom_fat >= layer.below_fat - 1e-12, "{at}");
    });
}

#[test]
fn cuts_conserve_fat_at_any_depth() {
    each_layer(|fat, hours, species, layer| {
        let mut last = f64::INFINITY;
        for step in -1..=22i32 {
            let cut = layer.cut(f64::from(step) / 20.0);
            assert!((0.0..=1.0).contains(&cut.part));
            assert!(cut.fat_part.is_finite() && cut.fat_part <= last + 1e-12, "{fat} {hours} {species:?}");
            let left = cut.leaves(fat);
            if cut.part < 1.0 {
                assert!((cut.part * cut.fat_part + (1.0 - cut.part) * left - fat).abs() < 1e-12);
            } else {
                assert!((cut.fat_part - fat).abs() < 1e-12 && left == 0.0);
            }
            last = cut.fat_part;
        }
    });
}

#[test]
fn a_cut_is_the_integral_of_the_profile() {
    let layer = Layer::at_rest(0.045, 30.0, Cow);
    for depth in [0.02, 0.1, layer.volume_part, 0.5, 1.0] {
        let n = 20_000u32;
        let step = depth / f64::from(n);
        let sum: f64 = (0..n).map(|i| layer.fat_at((f64::from(i) + 0.5) * step)).sum();
        assert!((sum / f64::from(n) - layer.cut(depth).fat_part).abs() < 1e-5, "{depth}");
    }
}

#[test]
fn skimming_to_a_fat_leaves_that_fat() {
    each_layer(|fat, hours, species, layer| {
        for left in FATS {
            let at = format!("{fat} to {left} after {hours} h, {species:?}: {layer:?}");
            match layer.depth_leaving(left) {
                None => assert!(left >= fat - 1e-12 || layer.volume_part == 0.0, "{at}"),
                Some(depth) => {
                    assert!((0.0..=layer.volume_part).contains(&depth), "{at}");
                    let got = layer.cut(depth).leaves(fat);
                    if depth < 1.0 - 1e-9 {
                        let best = left.max(layer.below_fat);
                        assert!((got - best).abs() < 1e-9, "{got}, {at}");
                    }
                }
            }
        }
    });
}

#[test]
fn nothing_to_skim() {
    let layer = Layer::at_rest(0.03, 48.0, Cow);
    assert_eq!(layer.depth_leaving(0.03), None);
    assert_eq!(layer.depth_leaving(0.035), None);
    assert_eq!(Layer::at_rest(0.05, 0.0, Cow).depth_leaving(0.03), None);
    assert_eq!(Layer::at_rest(0.0, 48.0, Cow).depth_leaving(0.0), None);
    // Below what is left under the layer: the whole layer and no more.
    assert_eq!(layer.depth_leaving(0.0), Some(layer.volume_part));
}

#[test]
fn the_deepest_cut_of_a_grade() {
    each_layer(|fat, hours, species, layer| {
        for least in [0.36, 0.30, 0.18, 0.105, 0.04] {
            let at = format!("{least} of {fat} after {hours} h, {species:?}");
            match layer.depth_of_grade(least) {
                None => assert!(layer.top_fat < least, "{at}"),
                Some(depth) => {
                    assert!((0.0..=1.0).contains(&depth), "{at}");
                    assert!(layer.cut(depth).fat_part >= least - 1e-9, "{at}");
                    if depth < 0.99 {
                        assert!(layer.cut(depth + 0.01).fat_part < least, "{at}");
                    }
                }
            }
        }
    });
    // Past the layer: half-and-half out of a whole rich layer and some milk.
    let layer = Layer::at_rest(0.05, 24.0, Cow);
    assert!(layer.depth_of_grade(0.105).unwrap() > layer.volume_part);
    assert_eq!(layer.depth_of_grade(0.05 - 1e-9), Some(1.0));
    assert_eq!(layer.depth_of_grade(0.45), None);
}

#[test]
fn goats_cream_slowly_and_cows_do_not() {
    let (cow, goat) = (risen(48.0, Cow), risen(48.0, Goat));
    assert!((goat - 0.15).abs() < 0.001 && (cow - 0.947_6).abs() < 0.001);
    assert_eq!(goat, risen(48.0, Sheep));
    assert!(risen(1e6, Goat) <= 0.95);
    assert_eq!(risen(0.0, Cow), 0.0);
    assert_eq!(risen(-4.0, Cow), 0.0);
    assert!((risen(24.0, Cow) - RISEN_COW_24H).abs() < 1e-6);
}

#[test]
fn rise_rate_has_bounds_and_no_jumps_above_freezing() {
    assert_eq!(rise_rate(-0.6), 0.0);
    assert_eq!(rise_rate(60.0), 0.0);
    assert_eq!(rise_rate(20.0), rise_rate(15.0));
    assert!((rise_rate(14.0) - 4.2).abs() < 1e-12);
    assert!((rise_rate(28.5) - 0.5 * rise_rate(15.0)).abs() < 1e-12);
    let mut last = rise_rate(-0.5);
    assert!((last - 0.524).abs() < 0.001);
    for step in -4..600i32 {
        let rate = rise_rate(f64::from(step) / 10.0);
        assert!(rate.is_finite() && rate >= 0.0 && (rate - last).abs() < 0.08, "{step}");
        last = rate;
    }
}

#[test]
fn the_layer_packs_in_straight_lines() {
    for (hours, part) in
        [(1.0, 0.6), (2.0, 1.2), (12.0, 1.2), (18.0, 1.1), (24.0, 1.0), (36.0, 0.95), (500.0, 0.9)]
    {
        assert!((loose(hours) - part).abs() < 1e-12, "{hours}");
    }
}

#[test]
fn rich_cream_does_not_pack_beyond_its_bound() {
    for fat in [0.3, 0.4, 0.55] {
        let layer = Layer::at_rest(fat, 48.0, Cow);
        assert_eq!(layer.volume_part, 1.0);
        assert!(layer.top_fat <= 0.60 + 1e-12);
    }
}

#[test]
fn grades_are_whole_and_in_order() {
    assert_eq!(Grade::of(1.0), Grade::Heavy);
    assert_eq!(Grade::of(0.0), Grade::Milk);
    assert_eq!(Grade::of(f64::NAN), Grade::Milk);
    for pair in Grade::ALL.windows(2) {
        assert_eq!(pair[0].bounds().0, pair[1].bounds().1);
        assert!(pair[0] < pair[1]);
    }
    assert_eq!(Grade::Heavy.bounds(), (0.36, 1.0));
    for grade in Grade::ALL {
        assert_eq!(Grade::of(grade.least_fat()), grade);
        assert_eq!(Grade::of(grade.least_fat() - 1e-10), grade);
    }
}
