//! Recipes and products: balances, sizes, places.

use springhouse::{
    dairy::{
        balance::{Share, limit, steam},
        matter::Matter,
    },
    presets,
    scenario::{
        self,
        plan::{PlaceId, fixed},
        raw::{Product, Recipe},
    },
    sim::outcome::{Fate, Source},
    units::{Part, Text},
};

use super::{close, file, get, value};
use crate::common::recipes::Kitchen;

fn part(text: &Option<Text<Part>>) -> f64 {
    text.as_ref().map_or(0.0, |t| t.read().expect("a part"))
}

#[test]
fn every_recipe_is_in_the_kitchen_of_the_checks() {
    let kitchen = Kitchen::of_presets();
    for (name, _) in file::<Recipe>(presets::RECIPES).iter() {
        assert!(kitchen.names().iter().any(|n| n == name), "{name}");
    }
}

#[test]
fn a_wheel_weighs_what_its_size_says() {
    let products = file::<Product>(presets::PRODUCTS);
    let mut seen = 0;
    for (name, p) in products.iter().filter(|(_, p)| p.wheel.is_some()) {
        let text = p.wheel.as_ref().expect("a wheel").get();
        let [d, h] = springhouse::units::read_sizes::<2>(text).expect("across and high");
        let litre: f64 = value!(p.a_litre_weighs);
        let kg = std::f64::consts::FRAC_PI_4 * d * d * h * 1000.0 * litre;
        close(name, value!(p.a_wheel_weighs), kg, 0.02);
        seen += 1;
    }
    assert_eq!(seen, 2);
}

#[test]
fn no_output_is_ever_negative() {
    let kitchen = Kitchen::of_presets();
    for name in kitchen.names() {
        for i in 0..=50 {
            for j in 0..=12 {
                // Fat 0 to 50 %, protein 1 to 7 %.
                let (fat, protein) = (f64::from(i), 1.0 + 0.5 * f64::from(j));
                let out = kitchen.of(name, fat, protein);
                for m in &out {
                    let sound = m.fat >= -1e-9 && m.protein >= -1e-9 && m.milk >= -1e-9;
                    assert!(
                        sound && m.mass >= m.fat + m.protein - 1e-9 && m.milk <= m.mass + 1e-9,
                        "{name} of {fat:.1} % fat and {protein:.1} % protein gives {m:?}"
                    );
                }
                let sum = out.iter().fold(Matter::NONE, |sum, m| sum + *m);
                assert!((sum.fat - fat).abs() < 1e-9 && (sum.protein - protein).abs() < 1e-9, "{name}");
            }
        }
    }
}

#[test]
fn the_fat_of_what_people_make_never_forces_a_drier_curd() {
    // Within milk, cream and whey as they come, nothing is cut short.
    let kitchen = Kitchen::of_presets();
    for name in kitchen.names() {
        let recipe = kitchen.recipe(name);
        let main = &kitchen.compiled.names.items[recipe.inputs[0].items[0].at()];
        let (fats, proteins) = match main.as_str() {
            "top cream" | "middle cream" | "soured cream" => ([10.0, 60.0], [1.0, 4.0]),
            "whey" => ([0.05, 1.5], [0.3, 2.2]),
            "butter" => ([80.0, 84.0], [0.2, 1.0]),
            _ => ([0.05, 10.0], [2.0, 7.0]),
        };
        for fat in fats {
            for protein in proteins {
                let raw = Matter::milk(1.0, fat / 100.0, protein / 100.0);
                let whole = raw - steam(raw, recipe.steam);
                let mut left = whole;
                for o in &recipe.outputs {
                    if o.share != Share::Rest {
                        let took = o.share.of(whole);
                        let held = limit(took, left);
                        let off = (took.mass - held.mass).abs() + (took.fat - held.fat).abs();
                        assert!(off < 1e-12, "{name} of {fat} % fat: {took:?} {held:?}");
                        left -= took;
                    }
                }
            }
        }
    }
}

#[test]
fn recipes_speak_of_known_items_that_have_a_place() {
    let products = file::<Product>(presets::PRODUCTS);
    for (name, recipe) in file::<Recipe>(presets::RECIPES).iter() {
        for input in recipe.inputs.as_ref().expect("inputs") {
            for (_, item) in input.of.as_ref().expect("items").each() {
                assert!(products.get(item.get()).is_some(), "{name}: `{}`", item.get());
            }
        }
        for o in recipe.gives.as_ref().expect("outputs") {
            let item = o.what.as_ref().expect("an item").get();
            assert!(products.get(item).is_some(), "{name}: `{item}`");
        }
        let (least, most) = (value!(recipe.least), value!(recipe.most));
        assert!(least > 0.0 && most > least, "{name}: from {least} to {most} kg");
    }
    for (name, product) in products.iter() {
        let keeps = product.keeps.as_ref().expect("keeping days");
        for place in product.stands_in.as_ref().expect("places") {
            let days = keeps.get(place.get()).unwrap_or_else(|| panic!("{name}: no days in `{place:?}`"));
            assert!(days.read().expect("days") > 0.0);
        }
        let known = ["counter", "pantry", "fridge", "ageing", "freezer"];
        assert!(keeps.names().all(|n| known.contains(&n)), "{name}");
    }
}

#[test]
fn biscuits_of_sour_milk_close_their_balance() {
    let recipes = file::<Recipe>(presets::RECIPES);
    let recipe = get(&recipes, "sour milk biscuits");
    // A kilogram of soured whole milk (USDA Standard Reference 1078: 3.66 % fat, 3.28 % protein).
    let milk = Matter::milk(1.0, 0.0366, 0.0328);
    let added: Vec<f64> =
        recipe.added.as_ref().expect("flour").iter().map(|(_, q)| q.read().expect("a part")).collect();
    let whole = milk.mass + added.iter().sum::<f64>();
    let (film, steam) = (part(&recipe.film), part(&recipe.steam));
    let baked = whole * (1.0 - film) * (1.0 - steam);

    // In a run: sour milk and flour in, biscuits, film and steam out, nothing made or lost.
    let text = "title: Baking\nstarts: 2027-01-04\nlasts: 200 days\nanimals:\n  - {name: Clover, breed: jersey, freshens: 2026-12-20}\n\
        household: {people: {man 31 to 50: 1}, kitchen time: {every day: 2 h}, wants: {sour milk biscuits: 2 lb/week}}\n\
        stores: {fridge: {room: 200 L, at: 38 °F}}\njars: {half gallon: 60}\n\
        routine: [{do: make, what: sour milk biscuits, at most: 1 per day}]\n";
    let c = scenario::compile(text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}"));
    assert!(c.warnings.is_empty(), "{:?}", c.warnings);
    let plan = &c.plan.recipes[0];
    assert_eq!((plan.inputs[0].items.as_slice(), plan.outputs.len()), (&[fixed::SOUR_MILK][..], 1));
    let item = plan.outputs[0].item;
    assert_eq!(c.names.items[item.at()], "sour milk biscuits");
    assert_eq!(c.plan.items[item.at()].places, [PlaceId(0)], "they stand on the counter");
    let (mut made, mut flour, mut steamed) = (0.0, 0.0, 0.0);
    for seed in 1..=8 {
        let (out, _) = crate::common::trial(&c, seed, None);
        let came: f64 = out.sources.iter().map(|m| m.mass).sum();
        let went: f64 = out.fates.iter().map(|m| m.mass).sum();
        close("the books of a year of baking", went, came, 1e-9);
        made += out.made[item.at()];
        flour += out.sources[Source::Added as usize].mass;
        steamed += out.fates[Fate::Steam as usize].mass;
    }
    assert!(made > 1.0, "{made} kg of biscuits");
    // All flour went into this recipe; a batch that fails (2 %) gives none.
    let of_flour = baked / added.iter().sum::<f64>();
    assert!((0.9..=1.0 + 1e-9).contains(&(made / flour / of_flour)), "{made} kg of {flour} kg of flour");
    close("steam", steamed, made * steam / (1.0 - steam), 1e-9);
}
