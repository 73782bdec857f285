//! What the recipes of the presets make, as the program compiles and divides them.

use springhouse::dairy::balance::{divide, steam};
use springhouse::dairy::matter::Matter;
use springhouse::presets;
use springhouse::scenario::Compiled;
use springhouse::scenario::plan::RecipePlan;
use springhouse::scenario::raw::{PresetFile, Product};

/// Every recipe, in an order in which each finds what it is made of.
pub const MADE: [&str; 38] = [
    "heated milk",
    "yogurt",
    "strained yogurt",
    "kefir",
    "clabber",
    "cultured buttermilk",
    "half-and-half",
    "sour cream",
    "cream cheese",
    "ice cream",
    "fresh cheese",
    "queso fresco",
    "paneer",
    "custard",
    "whole-milk ricotta",
    "mozzarella",
    "feta",
    "white mould cheese",
    "skim cheese",
    "grating cheese",
    "hard cheese",
    "washed-curd cheese",
    "cottage cheese",
    "creamed cottage cheese",
    "whey ricotta",
    "whey cheese",
    "butter",
    "cultured butter",
    "ghee",
    "sour milk biscuits",
    "frozen milk",
    "thawed milk",
    "frozen heated milk",
    "thawed heated milk",
    "frozen cream",
    "thawed cream",
    "separated cream",
    "separated cream of two milkings",
];

/// A kitchen in which everything is made.
pub struct Kitchen {
    pub compiled: Compiled,
}

impl Kitchen {
    /// With the recipes as the presets have them.
    pub fn of_presets() -> Self {
        Self::with("")
    }

    /// With `recipes` as a family would write them over the presets.
    pub fn with(recipes: &str) -> Self {
        let rules: String = MADE.map(|name| format!("  - {{do: make, what: {name}}}\n")).concat();
        let compiled = super::compile(&format!(
            "title: Everything
starts: 2027-04-01
lasts: 30 days
animals:
  - {{name: Clover, breed: holstein, lactation: 3, freshens: 2027-02-10}}
household: {{people: {{woman 31 to 50: 1}}, kitchen time: {{every day: 24 h}}}}
stores:
  cold room: {{shelves: 10 of 2 m x 60 cm x 40 cm, at: 38 °F}}
  freezer: {{kind: freezer, room: 2000 L}}
  cellar: {{kind: pantry, room: 500 L}}
  cave: {{kind: ageing, room: 2000 L}}
jars: {{half gallon: 200, pint: 60}}
{recipes}routine:
  - {{do: skim, after: 24 h, leave: 1 % fat}}
{rules}"
        ));
        Self { compiled }
    }

    /// The names of all recipes.
    pub fn names(&self) -> &[String] {
        &self.compiled.names.recipes
    }

    pub fn recipe(&self, name: &str) -> &RecipePlan {
        let at = self.names().iter().position(|r| r == name);
        &self.compiled.plan.recipes[at.unwrap_or_else(|| panic!("no recipe `{name}`"))]
    }

    /// The outputs of a batch; what stays as film in the pot is left out.
    pub fn divides(&self, name: &str, batch: Matter) -> Vec<Matter> {
        let recipe = self.recipe(name);
        let boiled = batch - steam(batch, recipe.steam);
        divide(boiled, recipe.outputs.iter().map(|o| o.share)).collect()
    }

    /// The outputs of 100 kg of milk, cream or whey of so much fat and protein, percent.
    pub fn of(&self, name: &str, fat: f64, protein: f64) -> Vec<Matter> {
        self.divides(name, Matter::milk(100.0, fat / 100.0, protein / 100.0))
    }
}

/// A product of the presets.
pub fn product<T>(name: &str, read: impl Fn(&Product) -> T) -> T {
    let products: PresetFile<Product> = serde_yaml::from_str(presets::PRODUCTS).expect("the products");
    read(products.get(name).unwrap_or_else(|| panic!("no product `{name}`")))
}

/// What a litre of a product weighs, kg.
pub fn litre(name: &str) -> f64 {
    product(name, |p| p.a_litre_weighs.as_ref().expect("a weight").read().expect("kilograms"))
}
