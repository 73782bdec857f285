use super::*;

type Given = Vec<(&'static str, &'static str)>;

fn answers(given: Given) -> Result<Answers, Fault<()>> {
    interview(given, Date::constant(2027, 4, 12), None)
}

fn refused(given: Given) -> String {
    match answers(given) {
        Err(Fault::Given(why)) => why,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_given_and_not_understood_names_the_option_and_the_nearest_word() {
    assert_eq!(
        refused(vec![("breed", "jersy")]),
        "--breed: `jersy` is not one of them; did you mean jersey?"
    );
    assert_eq!(refused(vec![("milk", "goats")]), "--milk: `goats` is not one of them; did you mean goat?");
    assert!(refused(vec![("milk", "goat"), ("breed", "jersey")]).contains("write saanen, alpine"));
    assert!(refused(vec![("fridge", "all-fridge")]).contains("did you mean all-fridge 10 cu ft?"));
    assert!(refused(vec![("wishes", "butter, yoghurt")]).contains("did you mean yogurt?"));
    assert!(refused(vec![("freshens", "2027-02-30")]).contains("February 2027 has 28 days"));
    assert!(refused(vec![("number", "0")]).contains("from 1 to 12"));
    assert!(refused(vec![("adults", "0"), ("children", "0")]).contains("from 1 to 30"));
    assert!(refused(vec![("kitchen-time", "45")]).starts_with("--kitchen-time: "));
    assert!(refused(vec![("milk", "fetched"), ("amount", "3")]).starts_with("--amount: "));
    assert!(refused(vec![("title", " ")]).contains("nothing is written"));
}

#[test]
fn what_has_no_meaning_here_is_refused() {
    for option in ["number", "name", "freshens", "calf"] {
        assert!(
            refused(vec![("milk", "fetched"), (option, "1")]).contains("animals of your own"),
            "{option}"
        );
    }
    assert!(refused(vec![("amount", "3 gal")]).contains("milk that is fetched"));
}

#[test]
fn words_are_understood_in_any_letters() {
    let a = answers(vec![("milk", "Herd Share"), ("breed", "Goat Milk"), ("wishes", "NONE")]).unwrap();
    assert_eq!((a.milk, a.breed.as_str(), a.wishes.len()), (Milk::HerdShare, "goat milk", 0));
}

#[test]
fn names_may_hold_anything() {
    for name in ["Bess: the \"brown\" #1", "no", "- [x]", "\u{202e}ysiaD", "O'Hara", "牛", "a\\b", "x, young"]
    {
        let text = answers(vec![("name", name), ("title", name), ("calf", "on the bottle"), ("number", "2")])
            .unwrap()
            .scenario();
        match crate::scenario::compile(text.as_bytes()) {
            Ok(c) => {
                assert_eq!(c.names.title, name);
                assert!(c.names.animals.iter().any(|n| n == name), "{name}: {:?}", c.names.animals);
            }
            Err(found) => panic!("{name}: {found:?}\n{text}"),
        }
    }
}

#[test]
fn the_same_answers_in_either_units_are_about_the_same_household() {
    let us = answers(vec![("milk", "fetched")]).unwrap();
    let metric = answers(vec![("milk", "fetched"), ("units", "metric")]).unwrap();
    assert!((us.fetched_l / metric.fetched_l - 1.0).abs() < 0.15, "{} {}", us.fetched_l, metric.fetched_l);
    assert!(us.scenario().contains(" gal ") && metric.scenario().contains(" L "));
    // No US measure in a metric file, but for names of presets and the words above it.
    for line in metric.scenario().lines().filter(|l| !l.trim_start().starts_with('#') && !l.contains("cu ft"))
    {
        for unit in [" gal", " lb", " qt", " oz", " cup"] {
            assert!(!line.contains(unit), "{line}");
        }
    }
}
