//! Freezing.

use crate::common::recipes::{litre, product};
use crate::{LB, between, differs, near, source, within};
use springhouse::dairy::density::milk_kg_per_l;
use springhouse::dairy::freezing::*;
use springhouse::presets;
use springhouse::scenario::raw::{Jar, PresetFile, Store};

const CU_FT: f64 = 28.316_846_592;
/// An inch, m.
const INCH: f64 = 0.0254;

#[test]
fn pace_of_freezers_by_their_manuals() {
    source("freezer manuals of 15, 18 and 23 cu ft, makers and years not told: 2 to 3 lb a cubic foot a day");
    // 30-45, 36-54 and 46-69 lb in 24 hours. Exact: 2 and 3 lb a cubic foot.
    for (cu_ft, low, high) in [(15.0, 30.0, 45.0), (18.0, 36.0, 54.0), (23.0, 46.0, 69.0)] {
        let (least, most) = pace_range_kg_per_day(cu_ft * CU_FT);
        near(least / LB, low, 1e-9);
        near(most / LB, high, 1e-9);
    }
}

#[test]
fn freezers_of_the_presets() {
    source("University of Minnesota Extension 2017, freezing: 2 to 3 lb a cubic foot in a day");
    let stores: PresetFile<Store> = serde_yaml::from_str(presets::STORES).expect("the stores");
    let mut seen = 0;
    for (name, store) in stores.iter() {
        let Some(cu_ft) = name.split(' ').find_map(|w| w.parse::<f64>().ok()) else { continue };
        let Some(pace) = &store.freezes_a_day else { continue };
        let pounds = pace.read().expect("kilograms") / LB / cu_ft;
        if name.starts_with("chest") {
            seen += 1;
            between(pounds, 2.0, 3.0);
        }
    }
    assert_eq!(seen, 2);
}

#[test]
fn known_difference_the_freezer_over_a_fridge_freezes_less() {
    source("University of Minnesota Extension 2017, freezing: 2 to 3 lb a cubic foot in a day");
    let stores: PresetFile<Store> = serde_yaml::from_str(presets::STORES).expect("the stores");
    let store = stores.get("fridge-top freezer 4 cu ft").expect("a freezer");
    let pace = store.freezes_a_day.as_ref().expect("its pace").read().expect("kilograms");
    let why = "our default: its door is opened often, and it shares its cold with the fridge";
    differs(pace / LB / 4.0, 2.0, 1.65, 0.01, why);
}

#[test]
fn pace_a_litre() {
    source("University of Minnesota Extension 2017, freezing: 2 to 3 lb a cubic foot in a day");
    // 0.032 to 0.048 kg/L, half a digit; 0.040 is the middle.
    within(pace_kg_per_day(1.0), 0.040, 0.005);
    let (least, most) = pace_range_kg_per_day(1.0);
    near(least, 0.032, 5e-4);
    near(most, 0.048, 5e-4);
}

#[test]
fn a_small_chest_freezer() {
    source("worked out from University of Minnesota Extension 2017, freezing");
    // 7 cu ft freeze 6.2 to 9.2 L of milk a day, 23 to 34 W: half a digit.
    let (least, most) = pace_range_kg_per_day(7.0 * CU_FT);
    near(least / milk_kg_per_l(), 6.2, 0.06);
    near(most / milk_kg_per_l(), 9.2, 0.06);
    near(least * HEAT_KJ_PER_KG / 86.4, 23.0, 0.5);
    near(most * HEAT_KJ_PER_KG / 86.4, 34.0, 0.5);
}

#[test]
fn heat_of_freezing() {
    source("worked out from 334 kJ/kg of ice and the heats of milk (frozen milk from memory)");
    // 4 °C of milk, the ice of about 74 % of its mass at 334 kJ/kg, 18 K of frozen milk at about
    // 2.6 kJ/(kg·K). A point of ice more or less is 3.3 kJ; two points.
    near(HEAT_KJ_PER_KG, 3.9 * 4.5 + 0.74 * 334.0 + 17.5 * 2.6, 6.6);
}

#[test]
fn milk_swells_by_the_ice_in_it() {
    source("worked out: 9 % on the part that freezes");
    // The part that freezes by −18 °C is 74 %. A litre of frozen milk is given to 10 g, so growth
    // to a point; and half of that of the milk's own weight.
    near(litre("whole milk") / litre("frozen milk") - 1.0, 0.09 * 0.74, 0.0115);
}

#[test]
fn packs_of_frozen_milk_have_headspace_by_missouri() {
    source("University of Missouri Extension, headspace for freezing in jars: 1 in for a wide-mouth quart");
    // A pack of the presets leaves at least as much empty as an inch of the quart jar does, and at
    // most as the inch and a half that a narrow mouth is to have, both of the height of its milk.
    let jars: PresetFile<Jar> = serde_yaml::from_str(presets::JARS).expect("the jars");
    let height = jars.get("quart").and_then(|j| j.height.as_ref()).expect("a quart").read().expect("metres");
    let room: f64 =
        product("frozen milk", |p| p.room_per_kg.as_ref().expect("its room").read().expect("litres"));
    let empty = 1.0 - 1.0 / (litre("whole milk") * room);
    between(empty, INCH / height, 1.5 * INCH / height);
}
