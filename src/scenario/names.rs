//! The words behind the ids of a [`super::Plan`], for reports only.

pub use crate::units::UnitSystem;

/// Names in the order of the plan's ids.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// Title of the scenario.
    pub title: String,
    /// First simulated day, ISO (`2027-04-01`).
    pub first_day: String,
    /// Units in which amounts are shown.
    pub units: UnitSystem,
    /// Animals.
    pub animals: Vec<String>,
    /// Breed, lactation and usual days of each animal.
    pub herd: Vec<HerdName>,
    /// Fetches.
    pub fetches: Vec<String>,
    /// People (`child 4 to 8#1`).
    pub people: Vec<String>,
    /// Wishes, as written (`butter`).
    pub wishes: Vec<String>,
    /// Milkings of which something stands there at the start, by the number of
    /// their draw: luck is keyed by them.
    pub opening: Vec<String>,
    /// Jar sizes (`half gallon`).
    pub jars: Vec<String>,
    /// Outsides of the jar sizes.
    pub jar_shapes: Vec<JarShape>,
    /// Stores, as written (`kitchen fridge`).
    pub stores: Vec<String>,
    /// Places (`kitchen fridge`, or `kitchen fridge, shelves 2`).
    pub places: Vec<String>,
    /// Items (`whole milk`, `butter`).
    pub items: Vec<String>,
    /// Recipes.
    pub recipes: Vec<String>,
    /// What each rule waits for, in words and the units of the file; empty where
    /// it waits for nothing.
    pub rule_terms: Vec<String>,
    /// Outlets (`pigs`).
    pub outlets: Vec<String>,
    /// Members of the herd share (`member#1` where they have no names).
    pub members: Vec<String>,
    /// Who is given something, in the plan's order.
    pub given: Vec<String>,
    /// Who buys something, in the plan's order.
    pub sold: Vec<String>,
    /// What is bought when short, as written.
    pub bought: Vec<String>,
    /// The money in which prices are written (`$`).
    pub money: String,
    /// Rules in a few words (`skim, mon and thu`).
    pub rules: Vec<String>,
    /// Aims in words (`waste below 3 % in 19 of 20 years`).
    pub aims: Vec<String>,
    /// Cautions that this scenario calls for, ready to print.
    pub cautions: Vec<String>,
}

/// What a scenario calls one animal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HerdName {
    /// Breed, as written.
    pub breed: String,
    /// Number of the first lactation of the plan.
    pub lactation: u32,
    /// Days of a usual lactation, over which totals count.
    pub usual_days: u16,
}

/// The outside of a jar.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct JarShape {
    /// Height with lid, m.
    pub height_m: f64,
    /// Outer diameter, m.
    pub across_m: f64,
}
