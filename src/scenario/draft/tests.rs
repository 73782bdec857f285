//! Tests of [`super`].

use super::*;
use crate::scenario::compile;

const FARM: &str = "\
title: A small place
starts: 2027-04-01
lasts: 90 days
animals:
  - name: Clover
    breed: jersey
    freshens: 2027-04-12 give or take 6 days
    calf: {full time until: 3 weeks}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
  wants:
    butter: 1 lb/week
stores:
  milk fridge: {like: all-fridge 10 cu ft}
jars: {half gallon: 30}
routine:
  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}
  - {do: make, what: butter, when: {have: {cream: at least 1 qt}}}
  - {do: make, what: butter, days: [sat]}
animals fed:
  pigs: {heads: 2}
aims:
  - {measure: waste, below: 5 %, in: 9 of 10 years}
  - {measure: milk on the table, at least: 90 %}
";

fn draft(variants: &str) -> Draft {
    Draft::read(format!("{FARM}{variants}").as_bytes()).unwrap()
}

fn plan(c: &Compiled) -> String {
    format!("{:?}", c.plan)
}

#[track_caller]
fn good(found: Result<Compiled, Vec<Diagnostic>>) -> Compiled {
    found.unwrap_or_else(|all| panic!("{}", told(&all).join("\n")))
}

fn told(all: &[Diagnostic]) -> Vec<String> {
    all.iter().filter(|d| d.severity == Severity::Error).map(ToString::to_string).collect()
}

/// Faults of the whole file, told.
fn faults(variants: &str) -> Vec<String> {
    told(&draft(variants).compile().unwrap_err())
}

fn edited(from: &str, to: &str) -> String {
    assert!(FARM.contains(from), "{from}");
    plan(&good(compile(FARM.replacen(from, to, 1).as_bytes())))
}

/// The same change by a variant and by editing the file gives the same plan.
#[test]
fn a_variant_is_the_edited_file() {
    let mut wrong = Vec::new();
    let schema = jsonschema::validator_for(&crate::scenario::schema()).unwrap();
    for (variant, from, to) in [
        ("stores: {milk fridge: {like: mini fridge 3 cu ft}}", "all-fridge 10 cu ft", "mini fridge 3 cu ft"),
        ("stores: {milk fridge: {at: 36 °F}}", "cu ft}", "cu ft, at: 36 °F}"),
        (
            "stores: {porch fridge: {like: all-fridge 10 cu ft}}",
            "jars:",
            "  porch fridge: {like: all-fridge 10 cu ft}\njars:",
        ),
        ("animals: {Clover: {calf: none}}", "    calf: {full time until: 3 weeks}\n", ""),
        ("animals: {clover: {calf: {full time until: 5 weeks}}}", "3 weeks", "5 weeks"),
        (
            "animals: {Daisy: {breed: jersey, freshens: 2027-05-01}}",
            "household:",
            "  - {name: Daisy, breed: jersey, freshens: 2027-05-01}\nhousehold:",
        ),
        (
            "animals: [{name: Bess, breed: holstein, freshens: 2027-04-01}]",
            "  - name: Clover\n    breed: jersey\n    freshens: 2027-04-12 give or take 6 days\n    calf: {full time until: 3 weeks}\n",
            "  - {name: Bess, breed: holstein, freshens: 2027-04-01}\n",
        ),
        ("household: {people: {child 4 to 8: 5}}", "child 4 to 8: 2", "child 4 to 8: 5"),
        ("household: {people: {woman 31 to 50: 1}}", "child 4 to 8: 2", "child 4 to 8: 2, woman 31 to 50: 1"),
        ("household: {wants: {butter: {at least: 2 lb/week}}}", "1 lb/week", "{at least: 2 lb/week}"),
        ("routine: {skim: {leave: 2 % fat}}", "2.5 % fat", "2 % fat"),
        ("routine: {make butter 2: {days: [mon]}}", "days: [sat]", "days: [mon]"),
        ("routine: {make butter: {when: {have: {cream: at least 2 qt}}}}", "1 qt", "2 qt"),
        (
            "routine: [{do: skim}, {do: make, what: butter}]",
            "  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}\n  - {do: make, what: butter, when: {have: {cream: at least 1 qt}}}\n  - {do: make, what: butter, days: [sat]}\n",
            "  - {do: skim}\n  - {do: make, what: butter}\n",
        ),
        ("without: routine.make butter 2", "  - {do: make, what: butter, days: [sat]}\n", ""),
        (
            "without: [routine.make butter, animals.Clover.calf]\n    routine: {make butter 2: {days: [sun]}}",
            "    calf: {full time until: 3 weeks}\nhousehold:\n  people: {man 31 to 50: 1, child 4 to 8: 2}\n  wants:\n    butter: 1 lb/week\nstores:\n  milk fridge: {like: all-fridge 10 cu ft}\njars: {half gallon: 30}\nroutine:\n  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}\n  - {do: make, what: butter, when: {have: {cream: at least 1 qt}}}\n  - {do: make, what: butter, days: [sat]}\n",
            "household:\n  people: {man 31 to 50: 1, child 4 to 8: 2}\n  wants:\n    butter: 1 lb/week\nstores:\n  milk fridge: {like: all-fridge 10 cu ft}\njars: {half gallon: 30}\nroutine:\n  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}\n  - {do: make, what: butter, days: [sun]}\n",
        ),
        ("animals fed: {pigs: none}", "animals fed:\n  pigs: {heads: 2}\n", ""),
        ("aims: {waste: {below: 3 %}}", "below: 5 %", "below: 3 %"),
        (
            "aims: {butter: {at least: 80 %}}",
            "at least: 90 %}\n",
            "at least: 90 %}\n  - {measure: butter, at least: 80 %}\n",
        ),
        (
            "more rules: [{do: feed, what: skimmed milk}]",
            "days: [sat]}\n",
            "days: [sat]}\n  - {do: feed, what: skimmed milk}\n",
        ),
        (
            "more rules: {before skim: [{do: feed, what: whey}], after skim: [{do: feed, what: skimmed milk}]}",
            "  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}\n",
            "  - {do: feed, what: whey}\n  - {do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}\n  - {do: feed, what: skimmed milk}\n",
        ),
        ("lasts: 60 days", "90 days", "60 days"),
        ("risks: {cleanliness: careful}", "aims:", "risks: {cleanliness: careful}\naims:"),
    ] {
        let draft = draft(&format!("variants:\n  other:\n    {variant}\n"));
        let by_variant = plan(&good(draft.variant("other")));
        if by_variant != edited(from, to) {
            wrong.push(variant);
        }
        assert_ne!(by_variant, plan(&good(draft.base())), "{variant}");
        assert!(!draft.changes("other").unwrap().is_empty(), "{variant}");
        let written: serde_json::Value = serde_yaml::from_str(draft.source.text()).unwrap();
        assert!(schema.is_valid(&written), "{variant}: the schema refuses it");
        good(draft.compile());
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_scenario_is_the_same_with_its_variants() {
    let alone = good(compile(FARM.as_bytes()));
    let draft =
        draft("variants:\n  more jars: {jars: {quart: 12}}\n  fewer jars: {jars: {half gallon: 9}}\n");
    assert_eq!(plan(&good(draft.compile())), plan(&alone));
    assert_eq!(plan(&good(draft.base())), plan(&alone));
    assert_eq!(plan(&good(draft.with(None, &[]))), plan(&alone));
    assert_eq!(draft.variants().collect::<Vec<_>>(), ["more jars", "fewer jars"]);
    let variant = good(draft.variant("More jars"));
    assert_eq!(variant.names.title, "A small place, more jars");
    assert_eq!(variant.sha256, good(draft.base()).sha256);
    assert_eq!(variant.names.jars, ["half gallon", "quart"]);
}

#[test]
fn every_shipped_scenario_is_the_same_as_a_draft() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let files = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let files: Vec<_> = files.filter(|p| p.extension().is_some_and(|e| e == "yaml")).collect();
    assert!(files.len() >= 10);
    for file in files {
        let (name, text) = (file.display(), std::fs::read_to_string(&file).unwrap());
        let read = Draft::read(text.as_bytes()).unwrap();
        let whole = good(compile(text.as_bytes()));
        assert_eq!(plan(&good(read.base())), plan(&whole), "{name}");
        // Written anew from its tree, it says the same.
        assert_eq!(plan(&good(read.with(None, &[]))), plan(&whole), "{name}");
        for variant in read.variants() {
            good(read.variant(variant));
        }
    }
}

#[test]
fn changes_are_told_in_the_words_of_the_file() {
    let draft = draft(
        "variants:\n  other:\n    stores: {milk fridge: {like: mini fridge 3 cu ft}, cellar: {kind: pantry, at: 50 °F}}\n    \
         animals: {Clover: {calf: none, breed: jersey}}\n    without: aims.waste\n",
    );
    let told: Vec<String> = draft.changes("other").unwrap().iter().map(|c| format!("{c:?}")).collect();
    assert_eq!(
        told,
        [
            "Changed { path: \"aims.waste\", was: Some(\"{measure: waste, below: 5 %, in: 9 of 10 years}\"), now: None }",
            "Changed { path: \"stores.milk fridge.like\", was: Some(\"all-fridge 10 cu ft\"), now: Some(\"mini fridge 3 cu ft\") }",
            "Changed { path: \"stores.cellar\", was: None, now: Some(\"{kind: pantry, at: 50 °F}\") }",
            "Changed { path: \"animals.Clover.calf\", was: Some(\"{full time until: 3 weeks}\"), now: None }",
        ]
    );
}

/// Each message points at the line on which the family wrote what is wrong;
/// the variants begin on line 25.
#[test]
fn faults_of_variants_point_at_their_lines() {
    let mut wrong = Vec::new();
    for (variants, starts) in [
        ("variants:\n  a: {stores: {milk fridge: {at: 9 gal}}}\n", "26:34: `9 gal` is a volume"),
        (
            "variants:\n  a:\n    stores:\n      milk fridge: {liek: x}\n",
            "28:21: unknown key `liek` (did you mean `like`?",
        ),
        ("variants:\n  a: {stroes: {}}\n", "26:7: unknown key `stroes` (did you mean `stores`?)"),
        (
            "variants:\n  a: {routine: {skmi: {leave: 2 % fat}}}\n",
            "26:17: there is no rule `skmi` in `routine` (did you mean `skim`?)",
        ),
        (
            "variants:\n  a: {animals: {Clovre: {calf: none}}}\n",
            "26:17: there is no entry `Clovre` in `animals` (did you mean `Clover`?)",
        ),
        ("variants:\n  a: {animals: {Bess: {lactation: 2}}}\n", "26:17: "),
        (
            "variants:\n  a: {without: animals fed.hens}\n",
            "26:16: there is no `hens` in `animals fed` (there: `pigs`)",
        ),
        (
            "variants:\n  a: {without: animals.Clover.dry off}\n",
            "26:16: there is no `animals.Clover.dry off` to leave out",
        ),
        ("variants:\n  a: {without: [aims.waste, aims.waste]}\n", "26:29: `aims.waste` is left out twice"),
        ("variants:\n  a: {aims: {wast: {below: 3 %}}}\n", "26:14: `wast` is no measure or wish"),
        ("variants:\n  a: {aims: {waste: {at least: 3 %}}}\n", "26:32: an aim has one bound"),
        (
            "variants:\n  a: {more rules: {before skin: [{do: skim}]}}\n",
            "26:20: there is no rule `skin` in `routine` (did you mean `skim`?)",
        ),
        ("variants:\n  a: {more rules: [{do: mkae, what: butter}]}\n", "26:25: "),
        ("variants:\n  a: {seed: 7}\n", "26:7: a variant cannot change `seed`"),
        ("variants:\n  a: {}\n", "26:3: the variant `a` changes nothing"),
        ("variants:\n  a: {jars: {half gallon: 30}}\n", "26:3: the variant `a` changes nothing: all of it"),
        ("variants: 3\n", "25:11: "),
        ("variants:\n  a: b\n", "26:6: expected keys and values, found the text `b`"),
        ("variants:\n  a: {jars: {quart: 1}}\n  A: {jars: {quart: 2}}\n", "27:3: `A` stands here twice"),
    ] {
        let all = faults(variants);
        if all.len() != 1 || !all[0].starts_with(starts) {
            wrong.push(format!("{variants}{starts}\n{}", all.join("\n")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// What a variant breaks elsewhere is told with its name.
#[test]
fn a_fault_elsewhere_names_its_variant() {
    let text = FARM
        .replace("jars:", "  chest freezer: {like: chest freezer 7 cu ft}\njars:")
        .replace("animals fed:", "  - {do: move, what: butter, to: chest freezer}\nanimals fed:");
    let text = format!("{text}variants:\n  no freezer: {{without: stores.chest freezer}}\n");
    let all = told(&compile(text.as_bytes()).err().unwrap_or_default());
    let starts = "21:34: in the variant `no freezer`: `chest freezer` is no store";
    assert!(all.len() == 1 && all[0].starts_with(starts), "{all:?}");
    // A fault of the scenario is told once, whatever the variants.
    let all = compile(text.replace("breed: jersey", "breed: jursey").as_bytes()).err().unwrap_or_default();
    let all = told(&all);
    assert_eq!(all.iter().filter(|m| m.contains("jursey")).count(), 1, "{all:#?}");
}

#[test]
fn a_name_that_may_be_a_slip_is_warned_of() {
    let warned = |variant: &str| {
        let draft =
            draft(&format!("variants:\n  a: {{stores: {{{variant}: {{like: all-fridge 10 cu ft}}}}}}\n"));
        let base = good(draft.compile());
        draft.warnings_of_variants(&base).iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let told = ["26:16: `milk frigde` is new beside `milk fridge` (if it is the same, write `milk fridge`)"];
    assert_eq!(warned("milk frigde"), told);
    for name in ["porch fridge", "milk fridge 2", "second milk fridge"] {
        assert!(warned(name).is_empty(), "{name}");
    }
}

#[test]
fn an_unknown_variant() {
    let draft = draft("variants:\n  more jars: {jars: {quart: 12}}\n");
    let told = |name: &str| draft.variant(name).unwrap_err()[0].to_string();
    assert_eq!(told("more jar"), "there is no variant `more jar` (did you mean `more jars`?)");
    assert_eq!(told("zebra"), "there is no variant `zebra` (there: `more jars`)");
}

#[test]
fn fields_are_found_by_their_paths() {
    let draft = draft("variants:\n  small: {stores: {milk fridge: {like: mini fridge 3 cu ft}}}\n");
    let now = |variant, path: &str| draft.field(variant, &path.into()).map(|f| f.now);
    for (path, text) in [
        ("stores.milk fridge.like", Some("all-fridge 10 cu ft")),
        ("Stores.Milk Fridge.Like", Some("all-fridge 10 cu ft")),
        ("stores.milk fridge.at", None),
        ("stores.counter.at", None),
        ("animals.Clover.breed", Some("jersey")),
        ("animals.Clover.dry off", None),
        ("animals.Clover.calf.full time until", Some("3 weeks")),
        ("household.people.child 4 to 8", Some("2")),
        ("household.people.boy 9 to 13", None),
        ("household.wants.butter", Some("1 lb/week")),
        ("routine.skim.leave", Some("2.5 % fat")),
        ("routine.make butter.when.have.cream", Some("at least 1 qt")),
        ("routine.make butter 2.at most", None),
        ("jars.half gallon", Some("30")),
        ("jars.quart", None),
        ("jars.quart.count", None),
        ("animals fed.pigs.heads", Some("2")),
        ("herd shares.members", None),
        ("aims.waste.below", Some("5 %")),
        ("aims.milk on the table.at least", Some("90 %")),
        ("risks.cleanliness", None),
    ] {
        assert_eq!(now(None, path).unwrap().as_deref(), text, "{path}");
    }
    assert_eq!(
        now(Some("small"), "stores.milk fridge.like").unwrap().as_deref(),
        Some("mini fridge 3 cu ft")
    );
    let spelled = draft.field(None, &"stores.MILK fridge.Like".into()).unwrap();
    assert_eq!(spelled.path.as_str(), "stores.milk fridge.like");
    for (path, fault) in [
        (
            "stores.milk frigde.like",
            "there is no `milk frigde` in `stores` (did you mean `stores.milk fridge`? there: `milk fridge`)",
        ),
        (
            "people.man 31 to 50",
            "there is no `people` in a scenario (did you mean `household.people.man 31 to 50`?)",
        ),
        ("stors.milk fridge.like", "there is no `stors` in a scenario (did you mean `stores`? there: "),
        (
            "stores.milk fridge.lik",
            "there is no `lik` in `stores.milk fridge` (did you mean `stores.milk fridge.like`? there: `like`, ",
        ),
        (
            "animals.Clovre.breed",
            "there is no `Clovre` in `animals` (did you mean `animals.Clover`? there: `Clover`)",
        ),
        (
            "routine.make yogurt.batch",
            "there is no `make yogurt` in `routine` (there: `skim`, `make butter` and `make butter 2`)",
        ),
        (
            "stores.milk fridge",
            "`stores.milk fridge` has no single value (take one of its parts: `stores.milk fridge.like`)",
        ),
        (
            "animals.Clover.milked.x",
            "`animals.Clover.milked` is a single value; `x` leads nowhere in it (write `animals.Clover.milked` alone)",
        ),
        (
            "routine.skim.days",
            "`routine.skim.days` is a list, not a single value (write the whole list in a variant under `variants:`)",
        ),
        (
            "household.wants.butter.at least",
            "`household.wants.butter` is written as one value, `1 lb/week` (vary `household.wants.butter` itself)",
        ),
        ("seed", "`seed` cannot be varied "),
        ("", "an empty path leads nowhere "),
    ] {
        let found = now(None, path).unwrap_err().to_string();
        assert!(found.starts_with(fault), "{path}: {found}");
    }
}

#[test]
fn values_at_fields_are_the_edited_file() {
    let draft = draft("variants:\n  small: {stores: {milk fridge: {like: mini fridge 3 cu ft}}}\n");
    let with = |path: &str, text: &str| draft.with(None, &[(path.into(), text.to_owned())]);
    assert_eq!(
        plan(&good(with("household.people.child 4 to 8", "5"))),
        edited("child 4 to 8: 2", "child 4 to 8: 5")
    );
    assert_eq!(plan(&good(with("stores.milk fridge.at", "36 °F"))), edited("cu ft}", "cu ft, at: 36 °F}"));
    assert_eq!(
        plan(&good(with("animals.Clover.calf.gone", "2027-05-01"))),
        edited("3 weeks", "3 weeks, gone: 2027-05-01")
    );
    assert_eq!(
        plan(&good(with("jars.quart.count", "12"))),
        edited("gallon: 30", "gallon: 30, quart: {count: 12}")
    );
    assert_eq!(
        plan(&good(with("routine.make butter.when.have.cream", "at least 1 qt"))),
        plan(&good(draft.base()))
    );
    let both = [("jars.half gallon".into(), "9".to_owned()), ("jars.quart".into(), "7".to_owned())];
    let c = good(draft.with(Some("small"), &both));
    assert_eq!((c.plan.jars[0].count, c.plan.jars[1].count), (9, 7));
    let fault = with("stores.milk fridge.like", "zebra").unwrap_err()[0].to_string();
    assert!(
        fault.starts_with("14:23: with `stores.milk fridge.like: zebra`: `zebra` is no store"),
        "{fault}"
    );
}
