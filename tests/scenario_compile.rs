//! Scenarios compiled from short texts.

use springhouse::{
    diagnostics::Severity,
    scenario::{
        self, Compiled, Plan,
        plan::{self, Action, Condition, FullStep, PlaceKind, fixed},
    },
};

const PLAIN: &str = "\
title: Plain
starts: 2027-04-01
lasts: 12 months
animals:
  - {name: Clover, breed: guernsey, lactation: 2, feed: some grain, freshens: 2027-04-12}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
  wants: {butter: 1 lb/week}
stores:
  kitchen fridge: {shelves: 3 of 24 in x 14 in x 11 in, shelf load: 50 lb, at: 38 °F, other food takes: half}
jars: {half gallon: 40}
routine:
  - {do: skim, after: 24 h, leave: 3 % fat}
  - {do: make, what: butter, when: {have: {cream: at least 1.5 qt or older than 5 days}}, at most: 2 per week}
";

fn compile(text: &str) -> Compiled {
    scenario::compile(text.as_bytes())
        .unwrap_or_else(|e| panic!("{}", e.iter().map(|d| format!("\n{d}")).collect::<String>()))
}

/// The same text with one part changed; the part must be there.
fn changed(from: &str, to: &str) -> String {
    assert!(PLAIN.contains(from), "{from}");
    PLAIN.replacen(from, to, 1)
}

fn errors(text: &str) -> Vec<String> {
    let found = scenario::compile(text.as_bytes()).expect_err("this scenario is wrong");
    found.iter().filter(|d| d.severity == Severity::Error).map(ToString::to_string).collect()
}

fn warnings(text: &str) -> Vec<String> {
    compile(text).warnings.iter().map(ToString::to_string).collect()
}

fn near(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

#[test]
fn every_scenario_of_the_folder_compiles() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let mut seen = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|e| e != "yaml") {
            continue;
        }
        seen += 1;
        let text = std::fs::read_to_string(&path).unwrap();
        let compiled = compile(&text);
        assert_eq!(compiled.names.animals.len(), compiled.plan.animals.len());
        assert!(!compiled.understood.parts.is_empty());
    }
    assert!(seen >= 4);
}

#[test]
fn the_plain_scenario_means_what_it_says() {
    let c = compile(PLAIN);
    let p = &c.plan;
    assert_eq!(p.days.len(), 366, "the leap day of 2028 is among them");
    assert_eq!((p.days[0].weekday, p.days[0].month), (3, 3), "1 April 2027 is a Thursday");
    assert_eq!(p.animals[0].freshens_day, 11.0);
    // 13 calendar months from 12 April 2027.
    assert_eq!(p.animals[0].interval, Some(396.0));
    // Guernsey, 4,809 kg in 305 days (university course notes, Dairy Production 342-450A).
    let total: f64 = p.animals[0].curves[0].yield_kg[..305].iter().sum();
    assert!((total - 4809.0).abs() < 0.5, "{total}");
    let fat: f64 = p.animals[0].curves[0].fat[..305]
        .iter()
        .zip(&p.animals[0].curves[0].yield_kg)
        .map(|(f, kg)| f * kg)
        .sum();
    assert!((fat / total - 0.0491).abs() < 1e-6);
    // A shelf of 24 by 14 inches at 50 lb carries eight half gallons: the load binds.
    let fridge = p.places.iter().find(|p| p.kind == PlaceKind::Fridge).unwrap();
    assert!(near(fridge.jar_part[0], 1.0 / 24.0), "{}", fridge.jar_part[0]);
    assert!(near(fridge.other_food[0], 0.5));
    assert!(fridge.chill.is_some());
    assert_eq!(p.household.people.len(), 3);
    assert_eq!(c.names.people, ["child 4 to 8#1", "child 4 to 8#2", "man 31 to 50#1"]);
    // 1 lb = 0.45359237 kg (exact).
    assert!(near(p.household.wishes[0].at_least_kg, 0.453_592_37));
    // Butter waits for the colostrum, a day of rest and the churn.
    assert!((17..=18).contains(&p.household.wishes[0].from_day), "{}", p.household.wishes[0].from_day);
    assert!(matches!(p.rules[0].action, Action::Skim { after_hours, .. } if near(after_hours, 24.0)));
    assert_eq!(p.rules[0].per_day, Some(1));
    assert_eq!(p.rules[1].per_week, Some(2));
    assert!(matches!(p.rules[1].when[0], Condition::StockOrAge { older_than, .. } if older_than == 5.0));
    assert!(p.when_full.tonight.contains(&FullStep::PourOut(fixed::WHOLE)));
    assert_eq!(c.sha256.len(), 64);
}

#[test]
fn metric_and_us_mean_the_same() {
    let metric = PLAIN
        .replace("24 in x 14 in x 11 in", "60.96 cm x 35.56 cm x 27.94 cm")
        .replace("50 lb", "22.6796185 kg")
        .replace("38 °F", "3.333333333333333 °C")
        .replace("1.5 qt", "1.419529419 L")
        .replace("1 lb/week", "0.45359237 kg/week");
    let (us, metric) = (compile(PLAIN).plan, compile(&metric).plan);
    assert!(near(us.places[1].litres, metric.places[1].litres));
    assert!(near(us.places[1].jar_part[0], metric.places[1].jar_part[0]));
    assert!(near(us.places[1].keep_rate[0], metric.places[1].keep_rate[0]));
    assert!(near(us.household.wishes[0].at_least_kg, metric.household.wishes[0].at_least_kg));
    let least = |p: &Plan| match p.rules[1].when[0] {
        Condition::StockOrAge { least_kg, .. } => least_kg,
        _ => panic!("a stock or an age was written"),
    };
    assert!(near(least(&us), least(&metric)));
    let cells = |p: &Plan| p.places[1].chill.as_ref().unwrap().cells.clone();
    let all = cells(&us).into_iter().zip(cells(&metric));
    assert!(all.into_iter().all(|(a, b)| (a.hours_to[2] - b.hours_to[2]).abs() < 1e-6));
}

#[test]
fn a_preset_field_is_overridden_in_place() {
    let own = compile(&changed("lactation: 2,", "lactation: 2, fat: 4 %, dry off: 45 days before,"));
    assert_eq!(own.plan.animals[0].dry_days, 45.0);
    let curve = &own.plan.animals[0].curves[0];
    let total: f64 = curve.yield_kg[..305].iter().sum();
    let fat: f64 = curve.fat[..305].iter().zip(&curve.yield_kg).map(|(f, kg)| f * kg).sum();
    assert!((fat / total - 0.04).abs() < 1e-6);
    let jar = compile(&changed("{half gallon: 40}", "{half gallon: {count: 40, breaks: 7 %}}"));
    assert!(near(jar.plan.jars[0].breaks, 0.07));
    let usual = compile(PLAIN).plan;
    let butter = compile(&format!("{PLAIN}recipes:\n  butter: {{takes: 99 min}}\n")).plan;
    assert!(near(butter.recipes[0].minutes, 99.0));
    assert!(near(butter.recipes[0].least_kg, usual.recipes[0].least_kg), "the rest stays");
    let gives = compile(&changed("lactation: 2,", "lactation: 2, gives: 3000 kg,")).plan;
    let total: f64 = gives.animals[0].curves[0].yield_kg[..305].iter().sum();
    assert!((total - 3000.0).abs() < 1e-6);
    let peak = compile(&changed("lactation: 2,", "lactation: 2, gives: 4 gal/day at the peak,")).plan;
    let most = peak.animals[0].curves[0].yield_kg.iter().copied().fold(0.0, f64::max);
    assert!((most - 4.0 * 3.785_411_784 * 1.032).abs() < 0.01, "{most}");
}

#[test]
fn feed_scales_what_the_breed_gives_but_not_what_the_family_says() {
    let total = |text: &str| -> f64 { compile(text).plan.animals[0].curves[0].yield_kg[..305].iter().sum() };
    let (grass, some, full) = (
        total(&changed("some grain", "grass only")),
        total(PLAIN),
        total(&changed("some grain", "full ration")),
    );
    assert!(grass < some && some < full);
    let said = changed("feed: some grain", "gives: 3000 kg, feed: grass only");
    assert!((total(&said) - 3000.0).abs() < 1e-6);
}

#[test]
fn the_order_of_people_and_animals_changes_nothing() {
    let a = compile(&changed("{man 31 to 50: 1, child 4 to 8: 2}", "{child 4 to 8: 2, man 31 to 50: 1}"));
    assert_eq!(format!("{:?}", a.plan), format!("{:?}", compile(PLAIN).plan));
}

#[test]
fn all_that_is_wrong_is_said_at_once_by_place() {
    let text = PLAIN
        .replace("12 months", "12")
        .replace("guernsey", "guernsy")
        .replace("man 31 to 50: 1", "man 31 to 50: -1")
        .replace("38 °F", "38 kg")
        .replace("leave: 3 % fat", "leave: 3 gal")
        .replace("cream: at least", "craem: at least");
    let found = errors(&text);
    let places: Vec<&str> = found.iter().map(|e| e.split(": ").next().unwrap()).collect();
    assert_eq!(places, ["3:8", "5:27", "7:26", "10:80", "13:36", "14:51"], "{found:#?}");
    for (error, part) in
        found.iter().zip(["no unit", "guernsey", "less than nothing", "38 kg", "3 gal", "cream"])
    {
        assert!(error.contains(part), "{error} should speak of {part}");
    }
}

#[test]
fn each_of_these_is_refused() {
    let wrong: &[(&str, &str, &str)] = &[
        ("starts: 2027-04-01\n", "", "`starts` is missing"),
        ("lasts: 12 months", "lasts: 31 years", "cannot be simulated"),
        ("lasts: 12 months", "lasts: 0 days", "cannot be simulated"),
        ("title: Plain", "trials: 1000000000", "1000000000"),
        ("title: Plain", "seed: lucky", "is no seed"),
        ("title: Plain", "units: imperial", "`us` and `metric`"),
        ("title: Plain", "hours: {kitchen: \"5:00\"}", "out of order"),
        ("name: Clover, ", "", "`name` of this animal is missing"),
        ("breed: guernsey, ", "", "`breed` is missing"),
        ("freshens: 2027-04-12", "lactation: 0", "lactation"),
        ("lactation: 2", "lactation: 0", "out of reason"),
        ("freshens: 2027-04-12", "freshens: 2027-02-30", "does not exist"),
        ("freshens: 2027-04-12", "freshens: 2020-04-12", "three years"),
        ("lactation: 2", "freshens again: after 3 months", "cannot freshen again"),
        ("lactation: 2", "freshens again: 2027-01-01", "cannot freshen again"),
        ("lactation: 2", "calf: {}", "how long the calf stays"),
        (
            "lactation: 2",
            "calf: {full time until: 10 weeks, shut in overnight until: 3 weeks}",
            "before its full time ends",
        ),
        ("lactation: 2", "fat: 60 %", "out of reason"),
        ("lactation: 2", "curve: {a: nan}", "no such number"),
        ("man 31 to 50: 1", "man 31 to 50: 501", "out of reason"),
        ("man 31 to 50: 1", "chlid 4 to 8: 1", "child 4 to 8"),
        ("butter: 1 lb/week", "buttr: 1 lb/week", "did you mean `butter`"),
        ("butter: 1 lb/week", "yogurt: 1 qt/week", "nothing makes `yogurt`"),
        ("butter: 1 lb/week", "whey: 1 qt/week", "nothing makes `whey`"),
        ("butter: 1 lb/week", "butter: 1 lb", "1 lb"),
        ("butter: 1 lb/week", "butter: {at least: 2 lb/week, gladly up to: 1 lb/week}", "gladly is less"),
        ("shelves: 3 of", "shelves: 0 of", "no number of shelves"),
        ("24 in x 14 in x 11 in", "24 in x 14 in", "2 of 3 sizes"),
        ("24 in x 14 in x 11 in", "24 in x 14 in x 7 in", "taller than every shelf"),
        ("at: 38 °F", "at: 70 °F", "out of reason"),
        ("other food takes: half", "other food takes: all", "no room at all"),
        ("shelves: 3 of 24 in x 14 in x 11 in", "like: icebox", "is no store"),
        ("half gallon: 40", "half galon: 40", "did you mean `half gallon`"),
        ("half gallon: 40", "half gallon: -4", "less than nothing"),
        ("half gallon: 40", "half gallon: 4.5", "no whole number"),
        ("do: skim", "do: skin", "did you mean `skim`"),
        ("do: skim, ", "", "`do` is missing"),
        ("after: 24 h", "after: 24", "no unit"),
        ("after: 24 h", "what: butter", "means nothing for `do: skim`"),
        ("what: butter", "what: bread", "is no recipe"),
        ("what: butter, ", "", "`what` is missing"),
        ("at most: 2 per week", "at most: 2 per century", "not understood"),
        ("at least 1.5 qt or older than 5 days", "plenty", "is no bound"),
        ("at least 1.5 qt or older than 5 days", "between 2 qt and 1 qt", "ends below"),
        ("when: {have", "when: {season: apr till sep, have", "is no season"),
        ("when: {have", "when: {between: 2027-05-01 to 2027-04-01, have", "ends before it begins"),
        ("when: {have", "when: {fullness: {porch fridge: over 80 %}, have", "`porch fridge` is no store"),
        ("  - {do: skim, after: 24 h, leave: 3 % fat}\n", "", "butter needs"),
    ];
    for (from, to, part) in wrong {
        let found = errors(&changed(from, to)).join("\n");
        assert!(found.contains(part), "{from} -> {to}: {found}");
    }
}

#[test]
fn each_of_these_parts_is_refused() {
    let more: &[(&str, &str)] = &[
        ("milk fetched:\n  - {name: round, like: cow milk, days: [wed]}\n", "`amount` is missing"),
        ("milk fetched:\n  - {name: round, like: cow milk, amount: 2 gal, days: []}\n", "empty"),
        (
            "milk fetched:\n  - {name: round, like: cow mlk, amount: 2 gal, days: [wed]}\n",
            "did you mean `cow milk`",
        ),
        ("animals fed:\n  dragons: {heads: 2}\n", "not known what `dragons` takes"),
        ("animals fed:\n  pigs: {from: 2027-06-01, until: 2027-05-01}\n", "ends on"),
        ("risks: {cleanliness: spotless}\n", "is no cleanliness"),
        ("risks: {kicked pail: 90 %}\n", "out of reason"),
        ("when full: {tonight: [eat it]}\n", "not understood"),
        ("when full: {from tomorrow: [leave the calf on Clover for 3 days]}\n", "no calf on her"),
        ("when full: {from tomorrow: [milk Daisy once a day for 3 days]}\n", "`Daisy` is no animal"),
        ("recipes: {hard chese: {ages: 90 days}}\n", "did you mean `hard cheese`"),
        (
            "recipes: {butter: {inputs: [{of: whole milk}], gives: [{what: butter, fat kept: 99 %, water: 1 %}]}}\n",
            "takes all that is left",
        ),
        (
            "recipes: {butter: {gives: [{what: butter, fat kept: 99 %, water: 16 %, protein kept: 90 %, solids factor: 3}, {what: buttermilk}]}}\n",
            "does not add up",
        ),
        ("recipes: {quark: {gives: [{what: quark}]}}\n", "`inputs` of the recipe `quark`"),
        ("products: {bread: {keeps: {fridge: 3 days}}}\n", "nothing makes `bread`"),
        ("aims:\n  - {measure: luck, below: 3 %}\n", "is no measure"),
        ("aims:\n  - {measure: waste}\n", "bound of this aim is missing"),
        ("aims:\n  - {measure: waste, below: 3 %, in: 20 of 20 years}\n", "no number of years"),
        ("aims:\n  - {measure: waste, below: 3 lb}\n", "3 lb"),
    ];
    for (part, message) in more {
        let found = errors(&format!("{PLAIN}{part}")).join("\n");
        assert!(found.contains(message), "{part}: {found}");
    }
}

#[test]
fn warnings_do_not_stop() {
    assert!(warnings(PLAIN).is_empty(), "{:?}", warnings(PLAIN));
    let some: &[(&str, &str, &str)] = &[
        ("butter: 1 lb/week", "butter: 40 lb/week", "more than the cream can give"),
        ("freshens: 2027-04-12", "freshens: 2029-04-12", "after the last day"),
        ("freshens: 2027-04-12", "freshens: 2027-03-12 give or take 6 days", "before the first day"),
        ("man 31 to 50: 1", "infant under 1: 1", "a baby under one year"),
        ("half gallon: 40", "half gallon: 0", "there are no jars"),
        (
            "  wants:",
            "  guests: [{people: {man 31 to 50: 1}, from: 2030-01-01, until: 2030-01-05}]\n  wants:",
            "outside the simulated time",
        ),
    ];
    for (from, to, part) in some {
        let found = warnings(&changed(from, to)).join("\n");
        assert!(found.contains(part), "{from} -> {to}: {found}");
    }
}

#[test]
fn cautions_follow_the_scenario() {
    let has = |text: &str, part: &str| compile(text).names.cautions.iter().any(|c| c.contains(part));
    assert!(has(PLAIN, "under five"));
    assert!(!has(PLAIN, "under one year"));
    assert!(has(&changed("man 31 to 50: 1", "infant under 1: 1"), "under one year"));
    assert!(!has(PLAIN, "Freezing keeps milk"));
    // Every milked animal is dried off some day; fetched milk has no udder.
    assert!(has(PLAIN, "mastitis"));
    assert!(!has(include_str!("../scenarios/weekly-pickup.yaml"), "mastitis"));
    // No milk is ever called safe.
    for c in compile(PLAIN).names.cautions {
        assert!(!c.contains(" is safe"), "{c}");
    }
}

#[test]
fn what_was_understood_names_dates_jars_and_chilling() {
    let c = compile(PLAIN);
    let text: String = c
        .understood
        .parts
        .iter()
        .flat_map(|p| p.lines.iter().map(move |(l, t)| format!("{} | {l} | {t}\n", p.title)))
        .collect();
    for part in [
        "Clover | freshens | Mon 12 Apr 2027",
        "whole lactation",
        "a shelf takes 8: a full jar weighs",
        "licensed dairies",
        "kitchen time",
        "skims every jar",
    ] {
        assert!(text.contains(part), "{part}:\n{text}");
    }
}

#[test]
fn the_edges_compile_and_nothing_in_the_plan_is_broken() {
    let edges: &[(&str, &str)] = &[
        ("lasts: 12 months", "lasts: 1 day"),
        ("lasts: 12 months", "lasts: 30 years"),
        ("people: {man 31 to 50: 1, child 4 to 8: 2}", "people: {}"),
        ("half gallon: 40", "half gallon: 0"),
        ("freshens: 2027-04-12", "freshens: 2026-01-12, freshens again: never"),
        ("freshens: 2027-04-12", "freshens: 2025-04-12"),
        ("freshens: 2027-04-12", "freshens: 2031-04-12"),
        ("starts: 2027-04-01", "starts: 2028-02-29"),
        ("lactation: 2", "lactation: 1"),
        ("lactation: 2", "dry off: 0 days before"),
        ("lactation: 2", "calf: {full time until: 0 days}"),
        ("24 in x 14 in x 11 in", "6 in x 6 in x 11 in"),
        (
            "  - {name: Clover",
            "  - {name: Bess, breed: nigerian dwarf, freshens: 2027-04-12}\n  - {name: Clover",
        ),
    ];
    for (from, to) in edges {
        let c = compile(&changed(from, to));
        let p = &c.plan;
        assert!(!p.days.is_empty() && !p.places.is_empty());
        for a in &p.animals {
            assert!(!a.curves.is_empty(), "{to}");
            for k in &a.curves {
                assert!(k.yield_kg.len() >= usize::from(a.longest_days));
                assert!(
                    k.fat.iter().chain(&k.protein).all(|f| f.is_finite() && *f > 0.0 && *f < 0.25),
                    "{to}"
                );
            }
        }
        for person in &p.household.people {
            let drawn = (0..100_000).map(|i| person.spread.passed_on((f64::from(i) + 0.5) / 1e5));
            assert!((drawn.sum::<f64>() / 1e5 - 1.0).abs() < 1e-5, "the mean is kept");
        }
        for item in &p.items {
            assert!(item.density > 0.0 && item.places.iter().all(|id| id.at() < p.places.len()));
        }
        for place in &p.places {
            assert_eq!(place.jar_part.len(), p.jars.len());
            assert!(place.sweet_rate.iter().chain(&place.keep_rate).all(|r| r.is_finite() && *r >= 0.0));
        }
    }
}

#[test]
fn an_own_recipe_makes_an_own_product() {
    let text = format!(
        "{}recipes:\n  quark:\n    inputs: [{{of: skimmed milk}}]\n    least: 1 gal\n    takes: 20 min\n    ready after: 24 h\n    \
         gives: [{{what: quark, fat kept: 60 %, protein kept: 80 %, solids factor: 1.1, water: 80 %}}, {{what: acid whey}}]\n\
         products:\n  quark: {{keeps: {{fridge: 7 days}}, container: small jars}}\n",
        changed("wants: {butter: 1 lb/week}", "wants: {quark: 1 lb/week}")
            .replace("routine:\n", "routine:\n  - {do: make, what: quark, batch: 1.5 gal}\n")
    );
    let c = compile(&text);
    let id = c.names.items.iter().position(|n| n == "quark").unwrap();
    assert!(id >= fixed::COUNT);
    assert_eq!(c.plan.household.wishes[0].items[0].at(), id);
    let recipe = c.names.recipes.iter().position(|n| n == "quark").unwrap();
    assert_eq!(c.plan.recipes[recipe].outputs.last().unwrap().item, fixed::ACID_WHEY);
}

#[test]
fn who_drinks_only_heated_milk_gets_no_raw_milk_from_the_freezer() {
    let heated = changed("  wants: {butter: 1 lb/week}\n", "  milk on the table: [heated milk]\n").replacen(
        "routine:\n",
        "  chest freezer: {like: chest freezer 7 cu ft}\nroutine:\n  - {do: make, what: heated milk}\n  - {do: make, what: frozen milk}\n",
        1,
    );
    let heated = heated.replacen("jars: {half gallon: 40}\n", "", 1).replacen(
        "title: Plain",
        "jars: {half gallon: 40}\ntitle: Plain",
        1,
    );
    let drinks = |c: &Compiled| -> Vec<String> {
        c.plan.household.drinks.iter().map(|i| c.names.items[i.at()].clone()).collect()
    };
    let c = compile(&heated);
    assert_eq!(drinks(&c), ["heated milk"]);
    assert_eq!((c.plan.household.frozen_milk, c.plan.household.put_up_milk), (None, None));
    assert!(c.warnings.iter().any(|w| w.to_string().contains("frozen milk is raw")), "{:?}", c.warnings);
    // Heated milk can be frozen, thawed or not.
    let c = compile(&heated.replace("what: frozen milk", "what: frozen heated milk"));
    assert_eq!(drinks(&c), ["heated milk", "frozen heated milk"]);
    assert!(c.warnings.iter().all(|w| !w.to_string().contains("raw")), "{:?}", c.warnings);
    let thaw = "what: frozen heated milk}\n  - {do: thaw, what: frozen heated milk}\n";
    let c = compile(&heated.replace("what: frozen milk}\n", thaw));
    assert_eq!(drinks(&c), ["heated milk", "thawed heated milk"]);
    // Whoever drinks raw milk drinks it frozen too.
    let c = compile(&heated.replace("[heated milk]", "[heated milk, whole milk]"));
    assert_eq!(drinks(&c), ["heated milk", "whole milk", "frozen milk"]);
}

#[test]
fn bought_milk_is_an_item_of_its_own() {
    let text = changed(
        "routine:\n",
        "bought when short:\n  milk: 4 $/gal\nroutine:\n  - {do: buy, what: milk, how much: 1 gal, when: {have: {milk: under 1 gal}}}\n",
    );
    let c = compile(&text);
    let bought = c.names.items.iter().position(|n| n == "bought milk").expect("it stands in store");
    let (id, p) = (plan::ItemId(bought as u8), &c.plan);
    assert_eq!(p.trade.bought[0].item, id);
    assert_eq!(p.household.drinks, [fixed::SKIMMED, fixed::WHOLE, id]);
    assert!(!p.items[bought].sweet, "it is not skimmed");
    assert!(p.recipes.iter().flat_map(|r| &r.inputs).all(|i| !i.items.contains(&id)));
    // The rule that buys sees what it bought.
    let Condition::Stock { items, .. } = p.rules[0].when[0] else { panic!("{:?}", p.rules[0].when) };
    assert_eq!(items, 1 << fixed::WHOLE.0 | 1 << fixed::SKIMMED.0 | 1 << id.0);
    // Without such a rule it is bought for the table alone.
    let c = compile(&changed("routine:\n", "bought when short:\n  milk: 4 $/gal\nroutine:\n"));
    assert!(!c.names.items.iter().any(|n| n == "bought milk"));
}

#[test]
fn minutes_left_say_at_most_too() {
    for (words, least, most) in [
        ("under 30 min", f64::NEG_INFINITY, 30.0),
        ("between 10 min and 20 min", 10.0, 20.0),
        ("at least 30 min", 30.0, f64::INFINITY),
    ] {
        let text = changed(
            "when: {have: {cream: at least 1.5 qt or older than 5 days}}",
            &format!("when: {{minutes left: {words}}}"),
        );
        assert_eq!(compile(&text).plan.rules[1].when, [Condition::MinutesLeft { least, most }], "{words}");
    }
}

#[test]
fn soured_cream_is_given_by_itself_where_it_is_taken() {
    let c = compile(&changed("routine:\n", "animals fed: {pigs: {heads: 1}}\nroutine:\n"));
    for item in [fixed::SOUR_MILK, fixed::SOURED_CREAM, fixed::WHEY] {
        assert!(c.plan.outlets[0].by_itself >> item.0 & 1 == 1, "{item:?}");
    }
    assert!(c.plan.outlets[0].by_itself >> fixed::SKIMMED.0 & 1 == 0);
}
