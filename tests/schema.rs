//! The schema against an independent validator (the `jsonschema` crate, JSON Schema
//! 2020-12): it takes every scenario that is right, and sees what is misspelt.
//!
//! After a change of the format: `UPDATE_SCHEMA=1 cargo test --test schema`.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use springhouse::scenario;

/// First line of a shipped scenario: where an editor finds the schema.
const EDITOR_LINE: &str = "# yaml-language-server: $schema=schema.json\n";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn scenarios() -> Vec<(PathBuf, String)> {
    let mut all: Vec<_> = fs::read_dir(root().join("scenarios"))
        .expect("the scenarios")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .map(|p| (p.clone(), fs::read_to_string(p).expect("text")))
        .collect();
    all.sort();
    assert!(all.len() >= 10);
    all
}

fn value(text: &str) -> Value {
    serde_yaml::from_str(text).expect("YAML")
}

/// What the validator says.
fn faults(schema: &jsonschema::Validator, value: &Value) -> Vec<String> {
    schema.iter_errors(value).map(|e| format!("{}: {e}", e.instance_path())).collect()
}

fn validator() -> jsonschema::Validator {
    let schema = scenario::schema();
    assert!(jsonschema::meta::is_valid(&schema), "the schema is a schema");
    jsonschema::validator_for(&schema).expect("a schema")
}

#[test]
fn every_shipped_scenario_fits_and_tells_editors_where_the_schema_is() {
    let schema = validator();
    for (path, text) in scenarios() {
        let found = faults(&schema, &value(&text));
        assert!(found.is_empty(), "{}: {found:#?}", path.display());
        assert!(text.starts_with(EDITOR_LINE), "{}: write as its first line: {EDITOR_LINE}", path.display());
    }
}

#[test]
fn the_schema_beside_the_scenarios_is_current() {
    let path = root().join("scenarios/schema.json");
    let text = format!("{:#}\n", scenario::schema());
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        fs::write(&path, text).expect("a writable schema");
        return;
    }
    let there = fs::read_to_string(&path).expect("the schema");
    assert!(there == text, "see the top of this test for how to renew it");
}

#[test]
fn generated_and_starter_scenarios_fit() {
    let schema = validator();
    let date = jiff::civil::Date::constant(2027, 4, 12);
    for milk in ["cow", "goat", "sheep", "fetched", "herd share"] {
        let answers = scenario::starter::interview::<()>(vec![("milk", milk)], date, None).expect("answers");
        assert_eq!(faults(&schema, &value(&answers.scenario())), [""; 0], "{milk}");
    }
    for seed in (0..100).filter(|n| common::is_valid(*n)) {
        let text = common::generate::scenario(seed);
        let found = faults(&schema, &value(&text));
        assert!(found.is_empty(), "{seed}: {found:#?}\n{text}");
    }
}

#[test]
fn every_key_is_described_and_every_example_fits() {
    let schema = scenario::schema();
    let mut examples = 0;
    let defs = schema["$defs"].as_object().expect("definitions");
    for (part, def) in defs.iter().map(|(n, d)| (n.as_str(), d)).chain([("", &schema)]) {
        // A variant has the shapes of the scenario once more.
        if part == "Variant" || part.ends_with("OfAVariant") {
            continue;
        }
        assert!(!def["description"].as_str().unwrap_or_default().is_empty(), "{part}");
        for (key, of) in def["properties"].as_object().into_iter().flatten() {
            let words = of["description"].as_str().unwrap_or_default();
            assert!(words.len() > 3, "{part}.{key} is not described");
            let mut alone = of.clone();
            alone["$defs"] = schema["$defs"].clone();
            let alone = jsonschema::validator_for(&alone).expect("a schema");
            for example in of["examples"].as_array().into_iter().flatten() {
                examples += 1;
                assert_eq!(faults(&alone, example), [""; 0], "{part}.{key}: {example}");
            }
        }
    }
    assert!(examples > 150, "{examples}");
}

#[test]
fn what_is_misspelt_fails() {
    let schema = validator();
    let (_, text) =
        &scenarios().into_iter().find(|(p, _)| p.ends_with("first-cow.yaml")).expect("a scenario");
    for (good, bad) in [
        ("household:", "houshold:"),
        ("    breed: guernsey", "    bread: guernsey"),
        ("breed: guernsey", "breed: gernsey"),
        ("kitchen time:", "kichen time:"),
        ("child 4 to 8: 2", "child 4 to 9: 2"),
        ("units: us", "units: imperial"),
        ("starts: 2027-04-10", "starts: 10 April 2027"),
        ("starts: 2027-04-10\n", ""),
        ("milked: twice a day", "milked: thrice a day"),
        ("- do: skim", "- do: skimm"),
        ("days: [mon, wed, fri]", "days: [mon, wendesday]"),
        ("at most: 1 per week", "at moost: 1 per week"),
        ("like: chest freezer 15 cu ft", "like: chest freezer 16 cu ft"),
        ("kitchen: \"9:00\"", "kitchen: nine"),
        ("batch: 2 qt", "batch: 2"),
        ("{nov: 120 %", "{november 1: 120 %"),
        ("cleanliness: ordinary", "cleanliness: ordinry"),
        ("measure: waste", "mesure: waste"),
        ("heads: 14", "head: 14"),
    ] {
        let changed = text.replacen(good, bad, 1);
        assert_ne!(&changed, text, "{good} stands there");
        let changed = value(&changed);
        assert!(!schema.is_valid(&changed), "{bad} is taken");
    }
}

/// Words in any letters, weekdays and months in short or whole: what the program reads.
#[test]
fn what_is_read_in_any_letters_fits() {
    let schema = validator();
    for text in [
        "starts: 2027-04-01\nlasts: 1 year\nunits: US\n",
        "starts: 2027-04-01\nlasts: 1 year\nroutine: [{do: Skim, days: [Monday, TUES, weekend]}]\n",
        "starts: 2027-04-01\nlasts: 1 year\nweather: {by month: {June: 70 °F, sept: 60 °F}}\n",
        "starts: 2027-04-01\nlasts: 1 year\nanimals: [{name: A, breed: Jersey, health: none, bred: bull}]\n",
        "starts: 2027-04-01\nlasts: 1 year\nanimals: [{name: A, breed: jersey, bred: {how: bull, until: 8 tries}}]\n",
        "starts: 2027-04-01\nlasts: 1 year\nchilling: Ice bath\n",
    ] {
        assert_eq!(faults(&schema, &value(text)), [""; 0], "{text}");
    }
}

/// The words that the schema knows are those that the checks know: a word that is none
/// is answered with the whole list.
#[test]
fn the_fixed_words_are_those_of_the_checks() {
    let schema = scenario::schema();
    let base = "starts: 2027-04-01\nlasts: 1 year\n";
    let animal = "animals:\n  - name: Daisy\n    breed: jersey\n    freshens: 2027-04-02\n";
    let shares = "herd shares: {members: 2, promise: 1 gal/week, pick-up days: [mon], ";
    for (part, key, text) in [
        ("", "units", format!("{animal}units: zzzz\n")),
        ("", "chilling", format!("{animal}chilling: zzzz\n")),
        ("Outages", "then", format!("{animal}outages: {{a year: 1, last: 6 h, then: zzzz}}\n")),
        ("Animal", "species", format!("{animal}    species: zzzz\n")),
        ("Animal", "milked", format!("{animal}    milked: zzzz\n")),
        ("Household", "drinks like", format!("{animal}household: {{drinks like: zzzz}}\n")),
        ("Household", "jars taken", format!("{animal}household: {{jars taken: zzzz}}\n")),
        ("Rule", "do", format!("{animal}routine: [{{do: zzzz}}]\n")),
        ("Rule", "with", format!("{animal}routine: [{{do: skim, with: zzzz}}]\n")),
        ("Rule", "take", format!("{animal}routine: [{{do: skim, take: zzzz}}]\n")),
        ("Rule", "cuts", format!("{animal}routine: [{{do: skim, take: top cream, cuts: zzzz}}]\n")),
        ("When", "dry weeks", format!("{animal}routine: [{{do: skim, when: {{dry weeks: zzzz}}}}]\n")),
        ("Store", "kind", format!("{animal}stores: {{f: {{kind: zzzz, room: 60 L}}}}\n")),
        ("Store", "fan", format!("{animal}stores: {{f: {{kind: fridge, room: 60 L, fan: zzzz}}}}\n")),
        ("Store", "runs on", format!("{animal}stores: {{f: {{kind: fridge, room: 60 L, runs on: zzzz}}}}\n")),
        ("Outlet", "served", format!("{animal}animals fed: {{hens: {{served: zzzz}}}}\n")),
        ("HerdShares", "when short", format!("{animal}{shares}when short: zzzz}}\n")),
        ("HerdShares", "dry weeks", format!("{animal}{shares}dry weeks: zzzz}}\n")),
        ("HerdShares", "milk not fetched", format!("{animal}{shares}milk not fetched: zzzz}}\n")),
        ("HerdShares", "fee in the dry weeks", format!("{animal}{shares}fee in the dry weeks: zzzz}}\n")),
        (
            "Recipe",
            "heat",
            format!(
                "{animal}recipes: {{butter: {{heat: zzzz}}}}\nhousehold: {{wants: {{butter: 1 lb/week}}}}\nroutine: [{{do: make, what: butter}}]\n"
            ),
        ),
        (
            "Product",
            "container",
            format!(
                "{animal}products: {{butter: {{container: zzzz}}}}\nhousehold: {{wants: {{butter: 1 lb/week}}}}\nroutine: [{{do: make, what: butter}}]\n"
            ),
        ),
        (
            "Product",
            "counts as",
            format!(
                "{animal}products: {{butter: {{counts as: zzzz}}}}\nhousehold: {{wants: {{butter: 1 lb/week}}}}\nroutine: [{{do: make, what: butter}}]\n"
            ),
        ),
    ] {
        let found = scenario::compile(format!("{base}{text}").as_bytes()).expect_err("a word that is none");
        let help = found
            .iter()
            .find(|d| d.message.contains("`zzzz`"))
            .and_then(|d| d.help.clone())
            .unwrap_or_else(|| panic!("{part}.{key}: {found:?}"));
        let list = help.split("nown here: ").nth(1).unwrap_or_else(|| panic!("{part}.{key}: {help}"));
        // A long list ends with how many more there are.
        let (list, more) = match list.rsplit_once(" and ") {
            Some((first, rest)) if rest.ends_with(" more") => {
                (first, rest.trim_end_matches(" more").parse().expect("a number"))
            }
            _ => (list, 0),
        };
        let quoted = list.split('`').skip(1).step_by(2);
        let mut checks: Vec<&str> = quoted.collect();
        let def = if part.is_empty() { &schema } else { &schema["$defs"][part] };
        let mut ours = Vec::new();
        words(&def["properties"][key], &mut ours);
        assert_eq!(ours.len(), checks.len() + more, "{part}.{key}");
        ours.retain(|w| more == 0 || checks.contains(w));
        checks.sort_unstable();
        ours.sort_unstable();
        assert_eq!(ours, checks, "{part}.{key}");
    }
}

fn words<'a>(of: &'a Value, found: &mut Vec<&'a str>) {
    found.extend(of["enum"].as_array().into_iter().flatten().filter_map(Value::as_str));
    of["anyOf"].as_array().into_iter().flatten().for_each(|v| words(v, found));
}
