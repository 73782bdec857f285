//! The answer: aims, what gives way, the first page.

use crate::house::*;
use springhouse::report::{self, WishFact};
use springhouse::scenario::UnitSystem;
use springhouse::study::results::Band;

#[test]
fn the_answer_comes_first_with_what_breaks_and_what_mends() {
    let text = house().flat();
    let lines: Vec<&str> = text.lines().filter(|l| !l.is_empty()).collect();
    assert_eq!(lines[0], "A first house cow: 1,000 simulated years, seed 7");
    assert_eq!(lines[1], "The plan does not hold: its one aim is not kept.");
    has(
        &text,
        &[
            "not kept: waste below 3 % in 19 of 20 years. It was so in 61 of 100 years",
            "95 of 100 were wanted",
            "worst first\n  - Waste: about 16 % (in 9 of 10 years between 8 and 19 %) of the milk fit for people; the largest cause: no room in the cold.",
            "Of every 100 gallons that come in, 34 are drunk, 20 are eaten as other food, 30 are fed to animals and 16 are wasted.",
            "\n  - The cold room is too full on about 41 days (in 9 of 10 years between 23 and 58 days), from the middle of May to the end of July.",
            "  - Butter: 84 % of what was wished was there; short on about 41 days (in 9 of 10 years between 0 and 70 days); all gone by the week of 3 January 2027 in half of the years.",
            "What would mend it\n  - Room for 9 more half-gallon jars in the cold: then every aim is kept.\n\nEach was run on the same luck for 300 simulated years.",
        ],
    );
}

#[test]
fn aims_not_kept_come_first_then_wants_by_how_much_is_missing() {
    let mut h = house();
    let wish = |name: &str| WishFact {
        name: name.into(),
        key: name.into(),
        density: None,
        from_day: 0,
        rests: false,
    };
    h.facts.wishes = vec![wish("kefir"), wish("yogurt"), wish("butter")];
    for (key, fill, days) in [("kefir", 0.97, 10.0), ("yogurt", 0.5, 100.0)] {
        h.result.measures.push(fixed(&format!("{key}_fill"), "1", fill));
        h.result.measures.push(fixed(&format!("{key}_short_days"), "days", days));
    }
    h.result.aims[0].aim = "butter at least 90 % in 19 of 20 years".into();
    h.result.aims[0].measure = "butter_fill".into();
    let text = h.flat();
    let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("missing {part:?} in:\n{text}"));
    let order = [
        "  - Butter: 84 % of what was wished was there",
        "  - Waste: about 16 %",
        "  - The cold room is too full",
        "  - Yogurt: 50 % of what was wished was there; short on 100 days.",
        "  - Kefir: 97 % of what was wished was there",
    ];
    assert!(order.map(at).is_sorted(), "{text}");
    // An aim of which nothing else speaks is told all the same.
    h.result.aims[0].aim = "dry weeks at least 40 % in 19 of 20 years".into();
    h.result.aims[0].measure = "milk_dry_fill".into();
    has(&h.flat(), &["worst first\n  - Not kept: dry weeks at least 40 %. There: 0 %."]);
}

#[test]
fn nothing_gives_way_only_where_nothing_does() {
    let mut h = house();
    h.result.aims = vec![aim(0.98, true, true, None)];
    h.result.rows.clear();
    for m in &mut h.result.measures {
        match m.name.as_str() {
            "wasted_part" => *m = fixed("wasted_part", "1", 0.02),
            "days_over_full" => *m = fixed("days_over_full", "days", 0.0),
            "butter_fill" => *m = fixed("butter_fill", "1", 0.985),
            _ => {}
        }
    }
    has(&h.flat(), &["Nothing gives way"]);
    for (name, x) in [("butter_fill", 0.97), ("wasted_part", 0.11)] {
        let mut h = House {
            result: h.result.clone(),
            names: h.names.clone(),
            facts: h.facts.clone(),
            units: h.units,
        };
        h.result.measures.iter_mut().filter(|m| m.name == name).for_each(|m| *m = fixed(name, "1", x));
        let text = h.flat();
        assert!(text.contains("What gives way") && !text.contains("Nothing gives way"), "{name}: {text}");
    }
}

#[test]
fn more_than_half_to_the_animals_is_said_plainly() {
    let mut h = house();
    h.result.fates =
        vec![fate("drunk", 0.2, 0.3), fate("fed_to_animals", 0.53, 0.2), fate("calf_on_dam", 0.2, 0.2)];
    has(
        &h.flat(),
        &["She gives far more than is asked for: 53 of every 100 gallons go to the animals. Of every 100"],
    );
    h.units = UnitSystem::Metric;
    h.facts.herd = 2;
    has(&h.flat(), &["They give far more than is asked for: 53 of every 100 litres go to the animals."]);
}

#[test]
fn trouble_in_a_few_years_only_is_told_by_years() {
    let mut h = house();
    h.result.rows.chunks_exact_mut(4).skip(3).for_each(|row| row[1] = 0.0);
    for m in h.result.measures.iter_mut().filter(|m| m.name == "days_over_full") {
        m.quantiles = [0.0, 0.0, 0.0, 9.0, 17.0];
        m.min = 0.0;
    }
    has(
        &h.flat(),
        &[
            "The cold room is too full at some time in 3 of 10 years (in 1 of 20 years on 17 days or more), from",
        ],
    );
}

#[test]
fn jars_that_run_out_are_among_the_troubles() {
    let mut h = house();
    h.result.bands.push(Band { unit: "jars", ..band("jars_used", 30..=90, 36.0, 20.0) });
    h.result.columns[2] = "wasted_no_jar".into();
    for row in h.result.rows.chunks_exact_mut(4) {
        row[2] = 5.0;
    }
    has(
        &h.flat(),
        &["Clean jars run out now and then from the week of 1 May 2026 on", "for want of one in every year."],
    );
}

#[test]
fn an_aim_may_be_kept_open_or_not_kept() {
    let mut h = house();
    h.result.aims = vec![aim(0.98, true, true, None)];
    h.result.remedies.clear();
    let text = h.flat();
    has(&text, &["The plan holds: its one aim is kept.", "kept: waste below 3 %", "98 of 100 years"]);
    assert!(!text.contains("would mend") && !text.contains("would help"), "{text}");

    let mut h = house();
    h.result.remedies[0].mends = false;
    h.result.remedies[0].met_parts = vec![0.8];
    has(
        &h.flat(),
        &[
            "What would help, though nothing that was tried keeps every aim",
            "in the cold: waste below 3 % in 80 of 100 years, not 61.",
        ],
    );
    h.result.remedies[0].met_parts = vec![0.61];
    has(&h.flat(), &["Tried, and of no real help: room for 9 more"]);

    h.result.aims = vec![aim(0.955, true, false, Some(3000)), aim(0.99, true, true, None)];
    has(
        &h.flat(),
        &[
            "Whether the plan holds cannot be told yet: 1 of its 2 aims is too close to call.",
            "About 3,000 more simulated years would tell.",
        ],
    );

    h.result.aims =
        vec![aim(0.2, false, true, None), aim(0.3, false, true, None), aim(0.94, false, false, None)];
    has(&h.flat(), &["The plan does not hold: 2 of its 3 aims are not kept, and one cannot be told yet."]);

    h.result.aims.clear();
    has(&h.flat(), &["The scenario sets no aims"]);
}

/// The first page holds the answer and no more, and says how to see the rest.
#[test]
fn the_first_page_is_the_answer() {
    let mut h = house();
    h.names.cautions = (1..=6).map(|i| format!("Caution {i}.")).collect();
    let wish = |i: usize| WishFact {
        name: format!("wish {i}"),
        key: format!("wish_{i}"),
        density: None,
        from_day: 0,
        rests: false,
    };
    h.facts.wishes = (0..9).map(wish).collect();
    for i in 0..9 {
        h.result.measures.push(fixed(&format!("wish_{i}_fill"), "1", 0.5));
        h.result.measures.push(fixed(&format!("wish_{i}_short_days"), "days", 100.0));
    }
    let page = report::first_page(&h.subject(), "run it again with care");
    let (first, whole) = (page.text(80), h.text());
    assert!(first.lines().all(|l| l.chars().count() <= 80), "{first}");
    has(
        &page.text(100_000),
        &[
            "The plan does not hold",
            "5 more things fall short, the whole report says what.",
            "What would mend it",
            "\nThe whole report\nMilk and waste in amounts, what ran short, room, jars, minutes, the dry weeks, chilling and every rule: run it again with care.\n",
            "\nCautions\n  - Caution 1.\n  - Caution 2.\n  - Caution 3.\n  - 3 more belong to this plan: the whole report ends with them.\n",
        ],
    );
    // All that it says of the plan, the whole says too, in the same words.
    let answer = |text: &str| text.split("\n  - 5 more").next().map(str::to_owned);
    assert_eq!(answer(&first), answer(&whole));
    has(&whole, &["5 more things fall short, see below.", "Caution 6.", "What ran short"]);
    assert!(first.lines().count() < 45, "{first}");
}

/// How far so many years can tell is said in full once.
#[test]
fn doubt_is_explained_once() {
    let mut h = house();
    h.result.aims = vec![aim(0.61, false, true, None), aim(0.5, false, true, None)];
    let text = h.flat();
    has(&text, &["(58 to 64, as far as 1,000 years can tell)", "in 50 of 100 years (47 to 53); 95"]);
    assert_eq!(text.matches("as far as").count(), 1, "{text}");
}

#[test]
fn where_it_went_adds_up() {
    let mut h = house();
    h.result.fates = vec![fate("drunk", 0.6, 0.3), fate("eaten", 0.33, 0.2), fate("film", 0.07, 0.2)];
    has(
        &h.flat(),
        &[
            "60 are drunk, 33 are eaten as other food and 7 are lost in jars and pots, kept back or still in store.",
        ],
    );
}

#[test]
fn a_single_year_is_spoken_of_as_one() {
    let mut h = house();
    h.result.trials = 1;
    h.result.aims = vec![aim(0.0, false, true, None), aim(1.0, true, false, Some(72))];
    let text = h.flat();
    has(
        &text,
        &[
            "It was not so in the one year that was simulated; 95 of 100",
            "It was so in the one year that was simulated; 95 of 100",
        ],
    );
    assert!(!text.contains("1 years"), "{text}");
}

#[test]
fn all_there_and_short_is_said_of_different_years() {
    let mut h = house();
    h.result.columns[2] = "milk_short_days".into();
    h.result.rows.chunks_exact_mut(4).take(4).for_each(|row| row[2] = 9.0);
    h.result.rows.chunks_exact_mut(4).skip(4).for_each(|row| row[2] = 0.0);
    for m in h.result.measures.iter_mut().filter(|m| m.name == "milk_short_days") {
        m.quantiles = [0.0, 0.0, 0.0, 9.0, 9.0];
    }
    has(
        &h.flat(),
        &[
            "Milk to drink: nearly all of it was there in the middle year; short at some time in 4 of 10 years",
        ],
    );
}
