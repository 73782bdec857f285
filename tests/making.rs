//! What a family writes about its kitchen, from the file to a year without chance.

mod common;

use common::recipes::MADE;
use springhouse::scenario::Compiled;
use springhouse::scenario::plan::{Action, Container};

fn scenario(routine: &str, more: &str) -> Compiled {
    common::compile(&format!(
        "title: A full kitchen\nstarts: 2027-04-01\nlasts: 60 days\nanimals:\n  - {{name: Clover, breed: holstein, lactation: 3, freshens: 2027-02-10}}\n  - {{name: Daisy, breed: jersey, lactation: 3, freshens: 2027-02-10}}\nhousehold:\n  people: {{woman 31 to 50: 1}}\n  kitchen time: {{every day: 24 h}}\n  keep back: 0 days\nstores:\n  cold room: {{shelves: 10 of 2 m x 60 cm x 40 cm, at: 38 °F}}\n  freezer: {{kind: freezer, room: 2000 L}}\n  cellar: {{kind: pantry, room: 500 L}}\n  cave: {{kind: ageing, room: 2000 L}}\njars: {{half gallon: 200, quart: 100, pint: 60}}\n{more}routine:\n  - {{do: skim, after: 24 h, leave: 1 % fat}}\n{routine}"
    ))
}

#[test]
fn every_preset_recipe_can_be_made() {
    let known = springhouse::scenario::list_presets();
    let recipes: Vec<&str> = known.iter().filter(|p| p.kind == "recipes").map(|p| p.name.as_str()).collect();
    for name in &recipes {
        assert!(MADE.contains(name), "{name} is not tried");
    }
    let mut never = Vec::new();
    // Baking is tried elsewhere.
    for name in MADE.into_iter().filter(|name| *name != "sour milk biscuits") {
        // What it is made of, and what milk needs beside.
        let before = match name {
            "strained yogurt" => "  - {do: make, what: yogurt}\n",
            "cottage cheese" => "  - {do: make, what: clabber}\n",
            "creamed cottage cheese" => {
                "  - {do: make, what: clabber}\n  - {do: make, what: cottage cheese}\n"
            }
            "whey ricotta" | "whey cheese" => "  - {do: make, what: queso fresco}\n",
            "ghee" => "  - {do: make, what: butter}\n",
            "thawed milk" => "  - {do: make, what: frozen milk, days: [mon]}\n",
            "frozen heated milk" => "  - {do: make, what: heated milk}\n",
            "thawed heated milk" => {
                "  - {do: make, what: heated milk}\n  - {do: make, what: frozen heated milk, days: [mon]}\n"
            }
            "thawed cream" => "  - {do: make, what: frozen cream, days: [mon]}\n",
            _ => "",
        };
        let c = scenario(&format!("{before}  - {{do: make, what: {name}}}\n"), "");
        let (out, _) = common::trial(&c, 1, None);
        let rule = c.plan.rules.len() - 1;
        if out.rules[rule].fired == 0 {
            never.push(format!("{name}: {:?}", out.rules[rule].blocked));
        }
    }
    assert!(never.is_empty(), "{never:#?}");
}

#[test]
fn a_pot_that_holds_less_makes_smaller_batches() {
    let make = "  - {do: make, what: hard cheese}\n";
    let most = |more: &str| scenario(make, more).plan.recipes[0].most_kg;
    // Six gallons as the preset says; three where the pot holds no more.
    assert!((most("") - 23.0 * 1.034).abs() < 1e-9);
    let three = most("kitchen: {equipment: {large pot: {holds: 3 gal, count: 1}}}\n");
    assert!((three - 3.0 * 3.785_411_784 * 1.034).abs() < 1e-9);
    // What is not told of is never in the way.
    assert!(scenario(make, "").plan.recipes[0].uses.is_empty());
    let c = scenario(make, "kitchen: {equipment: {press: 2}, someone home: {weekdays: 3 h, sat: 12 h}}\n");
    assert_eq!((c.plan.recipes[0].uses.len(), c.plan.kitchen.equipment.as_slice()), (1, [2].as_slice()));
    assert_eq!(c.plan.kitchen.home_hours, [[3.0, 3.0, 3.0, 3.0, 3.0, 12.0, 0.0]; 12]);
}

#[test]
fn heating_costs_minutes_and_says_so() {
    let make = "  - {do: make, what: hard cheese}\n";
    let raw = scenario(make, "");
    let hot = scenario(make, "recipes: {hard cheese: {heat: heated}}\n");
    let (r, h) = (&raw.plan.recipes[0], &hot.plan.recipes[0]);
    assert!(!r.heated && h.heated && h.minutes == r.minutes + 25.0);
    assert!(r.fails_when_foul == 0.5 && h.fails_when_foul == 0.0 && h.fails < r.fails);
    // The caution of raw cheese stands where it is raw.
    let says = |c: &Compiled| c.names.cautions.iter().any(|t| t.starts_with("Sixty days"));
    assert!(says(&raw) && !says(&hot));
    let soft = scenario("  - {do: make, what: white mould cheese}\n", "");
    assert!(soft.names.cautions.iter().any(|t| t.starts_with("Soft ripened")));
    for c in [&raw, &hot, &soft] {
        let canned = c.names.cautions.iter().any(|t| t.contains("can milk"));
        assert!(canned && c.names.cautions.iter().all(|t| !t.contains("is safe")));
    }
}

#[test]
fn thaw_and_separator_are_other_words_for_recipes() {
    let c = scenario(
        "  - {do: skim, with: separator, days: [tue]}\n  - {do: make, what: frozen milk}\n  - {do: thaw, what: frozen milk, how much: 1 gal}\n",
        "",
    );
    assert_eq!(
        c.names.rules[1..],
        ["skim with the separator on Tue", "make frozen milk", "thaw frozen milk"]
    );
    assert!(c.plan.rules.iter().skip(1).all(|r| matches!(r.action, Action::Make { .. })));
    // The table drinks what was thawed, and nothing out of the freezer.
    let thawed = c.names.items.iter().position(|n| n == "thawed milk").expect("it is made");
    assert_eq!(c.plan.household.frozen_milk.map(|i| i.at()), Some(thawed));
}

#[test]
fn wheels_are_counted_on_the_shelves_of_an_ageing_room() {
    let per_kg = |store: &str| {
        let text = format!(
            "title: Wheels\nstarts: 2027-04-01\nlasts: 90 days\nanimals:\n  - {{name: Clover, breed: jersey, freshens: 2027-03-01}}\nhousehold: {{people: {{woman 31 to 50: 1}}}}\nstores:\n  fridge: {{like: all-fridge 10 cu ft}}\n  cave: {store}\njars: {{half gallon: 30}}\nroutine:\n  - {{do: make, what: hard cheese}}\n"
        );
        let c = common::compile(&text);
        let item = c.names.items.iter().position(|n| n == "hard cheese").expect("it is made");
        match c.plan.items[item].container {
            Container::Volume { litres_per_kg } => litres_per_kg,
            other => panic!("{other:?}"),
        }
    };
    // Wheels of 15 cm, 3 cm apart, on 60 by 30 cm: three in a row and one row
    // (63 / 18 and 33 / 18); two shelves of 36 L hold six of 1.7 kg.
    let shelves = per_kg("{kind: ageing, shelves: 2 of 60 cm x 30 cm x 20 cm, at: 54 °F}");
    assert!((shelves - 72.0 / (6.0 * 1.7)).abs() < 1e-9, "{shelves}");
    // By volume where there are no shelves.
    assert!((per_kg("{kind: ageing, room: 60 L, at: 54 °F}") - 3.0).abs() < 1e-12);
}
