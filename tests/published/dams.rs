//! Animals of the presets, as the program reads and compiles them: what the
//! checks of lactation, composition, breeding and illness compare.

use std::fmt::Write as _;

use crate::common::compile;
use springhouse::dairy::lactation::Wood;
use springhouse::presets;
use springhouse::scenario::raw::{Animal, Curve, PresetFile};
use springhouse::scenario::{Compiled, plan::AnimalPlan};

/// One dam that freshened on the first day, and as many shelves as it takes.
pub fn house(breed: &str, own: &[&str], days: u32, top: &str) -> Compiled {
    let mut text = format!("title: A dam\nstarts: 2027-03-01\nlasts: {days} days\n");
    let _ = writeln!(text, "{top}");
    let _ = write!(text, "animals:\n  - name: Dam\n    breed: {breed}\n    freshens: 2027-03-01\n");
    for line in own {
        let _ = writeln!(text, "    {line}");
    }
    text.push_str(
        "stores:\n  fridge: {shelves: 40 of 100 cm x 60 cm x 30 cm, at: 4 °C}\njars: {2 litre: 2000}\n",
    );
    compile(&text)
}

/// The same, as it is compiled.
pub fn dam(breed: &str, own: &[&str]) -> AnimalPlan {
    house(breed, own, 30, "").plan.animals.remove(0)
}

/// A dam in her first lactation.
pub fn first_calver(breed: &str) -> AnimalPlan {
    dam(breed, &["lactation: 1"])
}

fn preset(breed: &str) -> Animal {
    let all: PresetFile<Animal> = serde_yaml::from_str(presets::BREEDS).expect("the presets are read");
    all.get(breed).unwrap_or_else(|| panic!("no breed `{breed}`")).clone()
}

fn wood(curve: Option<Curve>) -> Wood {
    let curve = curve.expect("there is a curve");
    let number = |t: Option<springhouse::scenario::raw::Text>| {
        t.expect("a figure").get().parse::<f64>().expect("a bare number")
    };
    Wood { a: number(curve.a), b: number(curve.b), c: number(curve.c) }
}

/// The curve of second and later lactations that a preset holds.
pub fn later_curve(breed: &str) -> Wood {
    wood(preset(breed).curve)
}

/// The curve of a first lactation that a preset holds.
pub fn first_curve(breed: &str) -> Wood {
    wood(preset(breed).first_curve)
}

/// Milk of the first lactation of a plan, kg, by day in milk from day 1.
pub fn daily(dam: &AnimalPlan, days: usize) -> &[f64] {
    &dam.curves[0].yield_kg[..days]
}

/// Milk of 305 days, kg.
pub fn total(dam: &AnimalPlan) -> f64 {
    daily(dam, 305).iter().sum()
}

/// The cows of the presets.
pub const COWS: [&str; 11] = [
    "jersey",
    "jersey well fed",
    "jersey on pasture",
    "holstein",
    "holstein well fed",
    "guernsey",
    "brown swiss",
    "ayrshire",
    "danish red",
    "simmental",
    "low-input crossbred",
];
