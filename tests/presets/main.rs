//! The preset data: read by the scenario's own types, every figure with its
//! source, and a number of figures held against the publications (those of breeds
//! and feeds in `tests/published/breeds.rs`).

#[path = "../common/mod.rs"]
mod common;
mod kitchen;

use std::collections::BTreeSet;

use serde_yaml::Value;
use springhouse::{
    presets,
    scenario::raw::{
        Animal, Breeding, Cleanliness, Entries, Feed, Fetched, Health, Jar, Kind, Outlet, PresetFile,
        Product, Recipe, Store,
    },
    units::{Text, read_sizes},
};

/// Words, not figures: they need no source.
const WORDS: [&str; 9] = [
    "species",
    "kind",
    "container",
    "counts as",
    "turns into",
    "stands in",
    "heat",
    "caution",
    "curve fed on",
];

fn raw(text: &str) -> Vec<(String, Value)> {
    let value: Value = serde_yaml::from_str(text).expect("a preset file is a YAML map");
    let map = value.as_mapping().expect("a preset file is a YAML map");
    map.iter().map(|(k, v)| (k.as_str().expect("a name").to_owned(), v.clone())).collect()
}

fn keys(value: &Value) -> BTreeSet<String> {
    let map = value.as_mapping().expect("an entry is a map");
    map.keys().map(|k| k.as_str().expect("a key is a word").to_owned()).collect()
}

fn file<T: serde::de::DeserializeOwned>(text: &str) -> PresetFile<T> {
    serde_yaml::from_str(text).unwrap_or_else(|e| panic!("{e}"))
}

fn get<'a, T>(file: &'a Entries<T>, name: &str) -> &'a T {
    file.get(name).unwrap_or_else(|| panic!("no preset `{name}`"))
}

fn close(what: &str, got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs(), "{what}: {got} is not {want}");
}

/// The value of a text of whatever dimension.
macro_rules! value {
    ($text:expr) => {
        $text.as_ref().expect("the field is there").read().unwrap_or_else(|e| panic!("{e:?}"))
    };
}
use value;

fn number(text: &Option<springhouse::scenario::raw::Text>) -> f64 {
    text.as_ref().expect("the field is there").get().parse().expect("a bare number")
}

#[test]
fn every_file_reads_as_its_type() {
    assert_eq!(file::<Animal>(presets::BREEDS).len(), 18);
    assert_eq!(file::<Breeding>(presets::BREEDING).len(), 4);
    assert_eq!(file::<Health>(presets::HEALTH).len(), 3);
    assert!(file::<Fetched>(presets::MILKS).len() >= 4);
    assert_eq!(file::<Feed>(presets::FEEDS).len(), 3);
    assert!(file::<Kind>(presets::PEOPLE).len() >= 17);
    assert!(file::<Store>(presets::STORES).len() >= 9);
    assert!(file::<Jar>(presets::JARS).len() >= 6);
    assert!(file::<Recipe>(presets::RECIPES).len() >= 10);
    assert!(file::<Product>(presets::PRODUCTS).len() >= 20);
    assert!(file::<Outlet>(presets::OUTLETS).len() >= 5);
    assert_eq!(file::<Cleanliness>(presets::CLEANLINESS).len(), 3);
}

#[test]
fn every_figure_has_a_source_and_every_source_a_figure() {
    let mut silent = Vec::new();
    for (list, text) in presets::ALL {
        for (name, entry) in raw(text) {
            let sources = entry.get("sources").unwrap_or_else(|| panic!("{list}: `{name}` has no sources"));
            let mut figures = keys(&entry);
            figures.remove("sources");
            figures.retain(|k| !WORDS.contains(&k.as_str()));
            assert_eq!(figures, keys(sources), "{list}: `{name}`: figures and sources");
            for (field, source) in sources.as_mapping().expect("a map of sources") {
                let source = source.as_str().unwrap_or_default();
                if !traces(source) {
                    silent.push(format!("{list}: `{name}`: {field:?}: {source}"));
                }
            }
        }
    }
    assert!(
        silent.is_empty(),
        "a year, or a mark of tests/common/traced.rs, and not where another figure has it from:\n{}",
        silent.join("\n")
    );
}

/// The rule of the constants; and a source says itself where a figure comes from.
fn traces(source: &str) -> bool {
    let low = source.to_lowercase();
    let points = ["the same", "as that of", "see "].iter().any(|p| low.starts_with(p));
    common::traced::is_traced(source) && !points
}

#[test]
fn a_preset_without_a_source_is_noticed() {
    for source in ["as that of one milking", "the same", "the same (Kuhn 2006)", "as hard cheese", "a study"]
    {
        assert!(!traces(source), "{source}");
    }
    for source in ["Kuhn et al. 2006", "our default: at once", "21 CFR 131.180", "a definition: all of it"] {
        assert!(traces(source), "{source}");
    }
}

#[test]
fn sources_are_publications_not_addresses() {
    for (list, text) in presets::ALL {
        let low = text.to_lowercase();
        for mark in ["http", "www.", "://", ".com", ".org", ".net", ".gov", ".edu", "doi", "blog", "wiki"] {
            assert!(!low.contains(mark), "{list}: `{mark}` looks like an address");
        }
    }
}

#[test]
fn names_are_plain_and_unique() {
    for (list, text) in presets::ALL {
        let mut seen = BTreeSet::new();
        // Names begin in the first column; a map read by serde would hide a second one.
        for line in text.lines().filter(|l| l.ends_with(':') && l.starts_with(|c: char| c.is_alphanumeric()))
        {
            let name = line.trim_end_matches(':');
            assert_eq!(name, name.to_lowercase(), "{list}: names are in lower case");
            assert!(seen.insert(name.to_owned()), "{list}: `{name}` stands there twice");
            let like_a_truth = ["on", "off", "yes", "no", "y", "n", "true", "false", "null"];
            assert!(!like_a_truth.contains(&name) && name.parse::<f64>().is_err(), "{list}: `{name}`");
        }
        assert_eq!(seen.len(), raw(text).len(), "{list}: every entry was seen");
    }
}

/// Wood 1967 (from memory): `a · t^b · e^(−c·t)`, summed over days.
fn total(curve: &springhouse::scenario::raw::Curve, days: u32) -> f64 {
    let (a, b, c) = (number(&curve.a), number(&curve.b), number(&curve.c));
    (1..=days).map(f64::from).map(|t| a * t.powf(b) * (-c * t).exp()).sum()
}

#[test]
fn breed_curves_sum_to_the_stated_totals() {
    for (name, breed) in file::<Animal>(presets::BREEDS).iter() {
        let days = value!(breed.lactation_lasts) as u32;
        let stated: f64 =
            breed.gives.as_ref().expect("a total").get().trim_end_matches(" kg").parse().expect("kg");
        close(name, total(breed.curve.as_ref().expect("a curve"), days), stated, 1e-3);
    }
}

#[test]
fn every_first_lactation_gives_less_than_later_ones() {
    for (name, b) in file::<Animal>(presets::BREEDS).iter() {
        let part = match (&b.first_curve, &b.first_gives) {
            (Some(c), None) => total(c, 305) / total(b.curve.as_ref().expect("a curve"), 305),
            (None, Some(p)) => p.read().expect("a part"),
            _ => panic!("{name}: a first curve or the part that the first lactation gives"),
        };
        assert!((0.75..0.95).contains(&part), "{name}: {part}");
    }
}

#[test]
fn people_drink_as_surveyed() {
    let people = file::<Kind>(presets::PEOPLE);
    // National Cancer Institute, usual intakes, NHANES 2001-04, cups a day: mean, p75, p90;
    // the shop norm is 0.66 of the mean (NHANES 2015-18).
    let cup = 0.236_588_2;
    for (name, mean, p75, p90) in [
        ("child 1 to 3", 2.0, 2.58, 3.39),
        ("child 4 to 8", 1.7, 2.25, 3.01),
        ("boy 9 to 13", 1.8, 2.45, 3.73),
        ("girl 9 to 13", 1.4, 1.92, 2.79),
        ("girl 14 to 18", 0.9, 1.28, 1.99),
        ("man 31 to 50", 0.9, 1.28, 2.09),
        ("woman 31 to 50", 0.8, 1.07, 1.68),
        ("woman 71 and over", 0.9, 1.27, 1.92),
    ] {
        let k = get(&people, name);
        let litres =
            |t: &Option<Text<springhouse::units::MilkAmount>>| value!(t) / springhouse::units::MILK_KG_PER_L;
        assert!((litres(&k.shop_norm) - 0.66 * mean * cup).abs() < 0.006, "{name}");
        assert!((litres(&k.milk_household) - p75 * cup).abs() < 0.006, "{name}");
        assert!((litres(&k.heavy) - p90 * cup).abs() < 0.006, "{name}");
    }
    assert_eq!(value!(get(&people, "infant under 1").heavy), 0.0);
}

#[test]
fn days_of_drinking_give_the_spread_that_the_comments_state() {
    // Two-part model: a part p of days, a spread g on them: (1 + g²) / p − 1 over all days.
    let (mut stated, mut name) = (Vec::new(), String::new());
    for line in presets::PEOPLE.lines() {
        if !line.starts_with([' ', '#']) && line.ends_with(':') {
            name = line.trim_end_matches(':').to_owned();
        }
        if let Some(percent) = line.strip_prefix("  # spread over all days ") {
            let percent: f64 = percent.trim_end_matches(" %").parse().expect("a number");
            stated.push((name.clone(), percent / 100.0));
        }
    }
    let people = file::<Kind>(presets::PEOPLE);
    assert_eq!(stated.len(), people.len() - 1, "all but the infant");
    for (name, spread) in stated {
        let k = get(&people, &name);
        let (p, g): (f64, f64) = (value!(k.part_of_days), value!(k.give_or_take));
        close(&name, ((1.0 + g * g) / p - 1.0).sqrt(), spread, 0.005);
    }
}

#[test]
fn jars_are_as_large_as_they_are_sold() {
    let jars = file::<Jar>(presets::JARS);
    // NIST Handbook 44, appendix C: a gallon is 231 cubic inches.
    let gallon = 3.785_411_784;
    for (name, part) in [
        ("half pint", 1.0 / 16.0),
        ("pint", 1.0 / 8.0),
        ("quart", 0.25),
        ("half gallon", 0.5),
        ("gallon", 1.0),
        ("gallon jug", 1.0),
        ("1 litre", 1.0 / gallon),
        ("2 litre", 2.0 / gallon),
    ] {
        close(name, value!(get(&jars, name).holds), part * gallon, 2e-3);
    }
    for (name, jar) in jars.iter() {
        let (holds, filled) = (value!(jar.holds), value!(jar.filled_to));
        assert!((0.92..=0.99).contains(&(filled / holds)), "{name}: {filled} of {holds}");
        // A round jar of that outside could hold it, with walls, shoulder and lid.
        let (d, h) = (value!(jar.across), value!(jar.height));
        let outside = std::f64::consts::FRAC_PI_4 * d * d * h * 1000.0;
        assert!((0.45..=0.95).contains(&(holds / outside)), "{name}: {holds} L in {outside} L");
    }
    // Worked out: 0.90 kg of glass (from memory) and 1.80 L at 1.032 kg a litre (from memory).
    let half = get(&jars, "half gallon");
    close("half gallon", value!(half.weighs) + 1.032 * value!(half.filled_to), 2.76, 1e-2);
}

#[test]
fn stores_are_believable_and_a_half_gallon_fits_a_milk_fridge() {
    let stores = file::<Store>(presets::STORES);
    let half = value!(get(&file::<Jar>(presets::JARS), "half gallon").height);
    for (name, store) in stores.iter() {
        if let Some(shelves) = &store.shelves {
            let mut tallest = 0.0_f64;
            for (_, text) in shelves.each() {
                let (count, sizes) = text.get().split_once(" of ").expect("so many of such a size");
                assert!(count.parse::<u32>().expect("a count") >= 1);
                tallest = tallest.max(read_sizes::<3>(sizes).expect("sizes")[2]);
            }
            assert!(
                tallest > half,
                "{name}: a half gallon needs {half} m, the tallest shelf has {tallest} m"
            );
            let at = value!(store.at);
            // Old ones are as warm as the surveys of home fridges find them (4 to 6 °C).
            let ceiling = if name.starts_with("old ") { 6.0 } else { 4.4 };
            assert!((0.5..=ceiling).contains(&at), "{name}: {at} °C (40 °F is the usual ceiling)");
        }
        if store.kind.as_ref().is_some_and(|k| k.get() == "freezer") {
            // University of Minnesota Extension 2017: 2 to 3 lb a cubic foot and day.
            let rate = value!(store.freezes_a_day) / value!(store.room);
            assert!((0.03..=0.061).contains(&rate), "{name}: {rate} kg a litre");
            assert!(value!(store.at) <= -15.0);
        }
    }
    // Chambers, Godwin et al. 2007: bottom shelf 3.3 °C.
    close("kitchen fridge", value!(get(&stores, "top-freezer 18 cu ft").at), 3.3, 1e-9);
    // A full shelf of half gallons is heavier than the shelf may carry: 5 by 3 jars of 2.76 kg.
    assert!(15.0 * 2.76 > value!(get(&stores, "top-freezer 18 cu ft").shelf_load));
}

#[test]
fn animals_take_what_the_trials_gave() {
    let outlets = file::<Outlet>(presets::OUTLETS);
    let products = file::<Product>(presets::PRODUCTS);
    for (name, outlet) in outlets.iter() {
        for (item, amount) in outlet.takes.as_ref().expect("what it takes").iter() {
            assert!(products.get(item).is_some(), "{name}: `{item}`");
            assert!(amount.read().expect("an amount") > 0.0);
        }
        assert!(value!(outlet.most) > 0.0);
    }
    let takes = |n: &str, item: &str| {
        get(&outlets, n).takes.as_ref().expect("takes").get(item).expect("an item").read().expect("kg")
            / springhouse::units::MILK_KG_PER_L
    };
    // Lutz et al. 2017 (8.9 L of whey); Mitchell et al. (4.5 L of skim); Cornell calf sheet
    // (4.5 quarts for a calf of 90 lb); hens worked out (0.15 L).
    close("pigs, whey", takes("pigs", "whey"), 8.9, 0.02);
    close("pigs, skim", takes("pigs", "skimmed milk"), 4.5, 1e-6);
    close("calf", takes("calf on the bottle", "whole milk"), 4.5 * 0.946_353, 0.02);
    close("hens", takes("hens", "skimmed milk"), 0.15, 1e-6);
}

#[test]
fn cleaner_milking_keeps_milk_sweet_longer() {
    let clean = file::<Cleanliness>(presets::CLEANLINESS);
    let days = |n: &str| -> f64 { value!(get(&clean, n).stays_sweet) };
    let spells = |n: &str| -> f64 { value!(get(&clean, n).foul_spells) };
    assert!(days("careless") < days("ordinary") && days("ordinary") < days("careful"));
    assert!(spells("careless") > spells("ordinary") && spells("ordinary") > spells("careful"));
    // Worked out from Paludetti et al. 2018: 8.5 days at 4 °C to ten million a millilitre.
    close("ordinary", days("ordinary"), 8.5, 1e-9);
}
