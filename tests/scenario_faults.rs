//! What a family writes wrongly: all of it is said, each fault once, and none
//! that only follows from another.

use springhouse::{
    diagnostics::Severity,
    scenario::{self, Compiled, plan::fixed},
};

const PLAIN: &str = "\
title: Plain
starts: 2027-04-01
lasts: 12 months
animals:
  - {name: Clover, breed: guernsey, lactation: 2, freshens: 2027-04-12}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
  wants: {butter: 1 lb/week}
stores:
  kitchen fridge: {shelves: 3 of 24 in x 14 in x 11 in, at: 38 °F}
jars: {half gallon: 40}
routine:
  - {do: skim, after: 24 h, leave: 3 % fat}
  - {do: make, what: butter, when: {have: {cream: at least 1.5 qt}}}
";

fn compile(text: &str) -> Compiled {
    scenario::compile(text.as_bytes())
        .unwrap_or_else(|e| panic!("{}", e.iter().map(|d| format!("\n{d}")).collect::<String>()))
}

/// The text with parts changed, each of which must be there.
fn changed(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(PLAIN.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

fn errors(text: &str) -> Vec<String> {
    let found = scenario::compile(text.as_bytes()).expect_err("this scenario is wrong");
    assert!(!found.is_empty(), "refused without a word:\n{text}");
    found.iter().filter(|d| d.severity == Severity::Error).map(ToString::to_string).collect()
}

/// Exactly these faults, by a part of each, in order.
fn only(text: &str, parts: &[&str]) {
    let found = errors(text);
    let fits = found.len() == parts.len() && found.iter().zip(parts).all(|(f, p)| f.contains(p));
    assert!(fits, "wanted {parts:#?}, found {found:#?}");
}

#[test]
fn a_group_that_is_fed_shares_one_amount() {
    let fed = |takes: &str| {
        let c = compile(&format!("{PLAIN}animals fed:\n  sows: {{heads: 2, takes: {takes}}}\n"));
        c.plan.outlets[0].clone()
    };
    let o = fed("{milk: 2 L}");
    let items: Vec<_> = o.takes.iter().map(|t| t.0).collect();
    assert_eq!(items, [fixed::SKIMMED, fixed::WHOLE]);
    assert_eq!(o.cap_of, [0, 0]);
    // Two heads at 2 L of 1.035 kg: all of it together, not each.
    assert!((o.most_kg - 2.0 * 2.0 * 1.035).abs() < 1e-9, "{}", o.most_kg);
    assert!(o.takes.iter().all(|t| (t.1 - o.most_kg).abs() < 1e-9));

    let o = fed("{whey: 9 L, cream: 1 L, whole milk: 1 L, milk: 2 L}");
    assert_eq!(o.cap_of, [0, 1, 1, 1, 2, 3]);
    assert_eq!(o.takes.last().map(|t| t.0), Some(fixed::SKIMMED), "whole milk has an amount of its own");

    let again = format!("{PLAIN}animals fed:\n  pigs: {{takes: {{milk: 2 L, oldest milk: 1 L}}}}\n");
    only(&again, &["`oldest milk` was said already"]);

    let c = compile(&format!("{PLAIN}animals fed:\n  pigs: {{takes: {{cream: 2 L, whey: 1 L}}}}\n"));
    let part = c.understood.parts.iter().find(|p| p.title == "Animals fed").expect("it is shown");
    assert!(part.lines[0].1.contains("top cream, middle cream and thin cream together"), "{part:?}");
}

#[test]
fn what_is_written_twice_under_two_names_is_said() {
    let kind = "`man 31` is the kind `man 31 to 50`, which stands on line 7 already";
    only(&changed(&[("child 4 to 8: 2", "man 31: 1")]), &[kind]);
    // Guests are other people.
    let guests = "  guests: [{people: {man 31: 1}, from: 2027-06-01, until: 2027-06-05}]\n  wants:";
    compile(&changed(&[("  wants:", guests)]));

    let twice: &[(&str, &str, &str)] = &[
        ("{half gallon: 40}", "{half gallon: 40, Half Gallon: 4}", "`Half Gallon` stands here twice"),
        ("jars:", "  Kitchen Fridge: {room: 60 L}\njars:", "`Kitchen Fridge` stands here twice"),
        ("jars:", "animals fed: {pigs: {}, Pigs: {}}\njars:", "`Pigs` stands here twice"),
        ("jars:", "recipes: {Butter: {takes: 20 min}}\njars:", "`Butter` is known here as `butter`"),
        ("jars:", "products: {butter: {}, Butter: {}}\njars:", "`Butter` stands here twice"),
        ("butter: 1 lb/week", "butter: 1 lb/week, Butter: 2 lb/week", "wished for twice"),
        (
            "  wants:",
            "  drinkers: [{name: Ann, how much: 1 cup}, {name: ann, how much: 1 cup}]\n  wants:",
            "two drinkers",
        ),
    ];
    for (from, to, part) in twice {
        let found = errors(&changed(&[(from, to)])).join("\n");
        assert!(found.contains(part), "{to}: {found}");
    }
}

#[test]
fn what_stands_on_the_counter_needs_no_other_room() {
    let text = |place: &str| {
        format!(
            "{}recipes:\n  quark:\n    inputs: [{{of: skimmed milk}}]\n    gives: [{{what: quark}}]\n\
             products:\n  quark: {{keeps: {{{place}: 7 days}}, stands in: [{place}], container: wrapped}}\n",
            changed(&[("routine:\n", "routine:\n  - {do: make, what: quark}\n")])
        )
    };
    let warnings = |place: &str| compile(&text(place)).warnings;
    assert!(warnings("counter").is_empty(), "{:?}", warnings("counter"));
    // A freezer that is not there is still told of, and nothing of a cold room.
    let found = warnings("freezer");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].help.as_deref().is_some_and(|h| h.contains("freezer") && !h.contains("cold")));
}

#[test]
fn a_value_of_a_wrong_kind_hides_no_later_fault() {
    let text = changed(&[
        ("title: Plain", "title: [Plain]"),
        ("breed: guernsey", "breed: gernsey"),
        ("{half gallon: 40}", "{half gallon: [40]}"),
        ("leave: 3 % fat", "leave: [3 % fat]"),
        ("at: 38 °F", "at: 70 °F"),
    ]);
    only(
        &text,
        &["found a list", "did you mean `guernsey`", "out of reason", "found a list", "found a list"],
    );
    // A wrong entry of a list: the others are looked at, and the rest of the file.
    let text = changed(&[
        ("animals:\n", "animals:\n  - Daisy\n  - {name: Bess, breed: gernsey, freshens: 2027-04-12}\n"),
        ("at least 1.5 qt", "plenty"),
    ]);
    only(&text, &["found the text `Daisy`", "did you mean `guernsey`", "is no bound"]);
    let text = changed(&[("what: butter,", "what: butter, days: [[tue], fri, someday],")]);
    only(&text, &["found a list", "`someday` is no weekday"]);
}

#[test]
fn a_key_that_is_truly_missing_shows_beside_an_unknown_key() {
    // The slip explains the missing key …
    only(&changed(&[("freshens:", "frehsens:")]), &["unknown key `frehsens`"]);
    only(&changed(&[("routine:", "rutine:")]), &["unknown key `rutine`"]);
    only(&changed(&[("stores:", "store:")]), &["unknown key `store`"]);
    only(&changed(&[("animals:", "animal:")]), &["unknown key `animal`"]);
    let aim = changed(&[("lactation: 2", "lactaton: 2"), ("wants: {", "wnts: {")])
        + "aims:\n  - {measure: butter, at least: 90 %}\n";
    only(&aim, &["unknown key `lactaton`", "unknown key `wnts`"]);
    let products = "prodcts: {fresh cheese: {keeps: {ageing: 30 days}}}\njars:";
    let cave = "  cave: {kind: ageing, room: 60 L, at: 54 °F}\n";
    let rules = "  - {do: make, what: fresh cheese}\n  - {do: move, what: fresh cheese, to: cave}\n";
    let moved = changed(&[("jars:", &format!("{cave}{products}"))]) + rules;
    only(&moved, &["unknown key `prodcts`"]);
    // … but no other one.
    let text = changed(&[("starts: 2027-04-01\n", ""), ("  wants:", "  colour: red\n  wants:")]);
    only(&text, &["`starts` is missing", "unknown key `colour`"]);
    let text = changed(&[("breed: guernsey, ", "colour: red, ")]);
    only(&text, &["`breed` is missing", "unknown key `colour`"]);
    let text = changed(&[("after: 24 h, leave", "aftr: 24 h, leave"), ("what: butter, ", "")]);
    only(&text, &["unknown key `aftr`", "`what` is missing"]);
    // A wish that nothing makes is a fault, an unknown key elsewhere or not.
    let text = changed(&[("butter: 1 lb/week", "yogurt: 1 qt/week"), ("lactation: 2", "lactaton: 2")]);
    only(&text, &["unknown key `lactaton`", "nothing makes `yogurt`"]);
}

#[test]
fn names_with_dots_and_brackets_do_not_end_the_search() {
    let text = changed(&[
        ("kitchen fridge: {", "Mrs. B.'s fridge [old]: {colour: red, "),
        ("jars: {", "jars: {\"1.5 L [blue]\": {size: big}, "),
        ("lactation: 2", "lactaton: 2"),
    ]);
    let found = errors(&text);
    for part in ["unknown key `colour`", "unknown key `size`", "unknown key `lactaton`"] {
        assert!(found.iter().any(|f| f.contains(part)), "{part}: {found:#?}");
    }
}

#[test]
fn faults_of_one_part_are_not_taken_for_those_of_another() {
    // `animals fed` is no part of `animals`: Daisy is still told to be unknown.
    let text = format!(
        "{}animals fed:\n  dragons: {{heads: 2}}\n",
        changed(&[("routine:\n", "routine:\n  - {do: dry off, who: Daisy}\n")])
    );
    let found = errors(&text).join("\n");
    assert!(found.contains("`Daisy` is no animal") && found.contains("`dragons`"), "{found}");
}

#[test]
fn the_room_for_jars_speaks_of_other_food_only_where_there_is_some() {
    let room = |text: &str| {
        let c = compile(text);
        let part = c.understood.parts.iter().find(|p| p.title == "kitchen fridge").expect("it is shown");
        part.lines.iter().find(|l| l.0.starts_with("room for")).expect("it has room").1.clone()
    };
    assert!(!room(PLAIN).contains("other food"), "{}", room(PLAIN));
    let half = room(&changed(&[("at: 38 °F", "at: 38 °F, other food takes: half")]));
    assert!(half.contains("beside the other food"), "{half}");
}

#[test]
fn too_much_butter_is_told_in_one_measure_and_follows_no_other_fault() {
    let much = changed(&[("butter: 1 lb/week", "butter: 40 lb/week")]);
    let all = compile(&much).warnings;
    let text = &all.iter().find(|d| d.message.contains("butter a week")).expect("it is told").message;
    assert!(text.matches("a week").count() == 2 && !text.contains("year"), "{text}");
    // With the animal unknown there is no cream to compare with.
    for (from, to) in [("breed: guernsey", "breed: gernsey"), ("lactation: 2", "lactaton: 2")] {
        let found = scenario::compile(much.replacen(from, to, 1).as_bytes()).expect_err("it is wrong");
        assert!(found.iter().all(|d| !d.message.contains("butter a week")), "{found:#?}");
    }
}

#[test]
fn hints_show_the_form_that_is_expected() {
    let hints: &[(&str, &str, &str)] = &[
        ("starts: 2027-04-01", "starts: April 1st", "`2027-04-01`"),
        ("freshens: 2027-04-12", "freshens: 12 April 2027", "`2027-04-01`"),
        (
            "freshens: 2027-04-12",
            "freshens: 2027-04-12, freshens again: spring",
            "a date such as `2028-05-12`",
        ),
        ("lactation: 2", "calf: yes", "`calf: {full time until: 3 weeks"),
        ("lactation: 2", "calf: no", "leave `calf` out"),
        ("{half gallon: 40}", "40", "`jars: {half gallon: 40}`"),
    ];
    for (from, to, part) in hints {
        let found = errors(&changed(&[(from, to)])).join("\n");
        assert!(found.contains(part), "{to}: {found}");
    }
}

#[test]
fn a_great_many_faults_are_all_counted() {
    let many: String = (0..50).map(|i| format!("  shelf {i}: {{colour: red, room: 60 L}}\n")).collect();
    let found = errors(&changed(&[("jars:", &format!("{many}jars:"))]));
    assert!(found.len() >= 50, "{}", found.len());
    let all = scenario::compile(changed(&[("jars:", &format!("{many}jars:"))]).as_bytes()).unwrap_err();
    let drawn = springhouse::cli::render::render("many.yaml", PLAIN, &all, false);
    assert!(drawn.ends_with(&format!("and {} more\n", all.len() - 20)), "{drawn}");
}

#[test]
fn whatever_is_wrong_is_refused_with_a_word() {
    let good = include_str!("../scenarios/which-fridge.yaml");
    compile(good);
    // Every second value of the file, with the four wrong ones in turn.
    for (i, (at, _)) in good.match_indices(": ").step_by(2).enumerate() {
        let end = good[at + 2..].find([',', '}', '\n', ']']).map_or(good.len(), |n| at + 2 + n);
        let value = ["[x, [y]]", "{x: {y: z}}", "9", "\"\""][i % 4];
        let text = format!("{}: {value}{}", &good[..at], &good[end..]);
        if let Err(found) = scenario::compile(text.as_bytes()) {
            assert!(found.iter().any(|d| d.severity == Severity::Error), "without a word:\n{text}");
        }
    }
}

#[test]
fn a_breeds_evening_fat_is_turned_to_the_hours_and_an_own_figure_is_not() {
    let excess = |hours: &str, own: &str| {
        let text = changed(&[
            ("lactation: 2", &format!("lactation: 2{own}")),
            ("animals:", &format!("{hours}animals:")),
        ]);
        compile(&text).plan.animals[0].evening_fat_excess
    };
    let own = ", evening fat excess: 0.7 %";
    assert!(excess("", "").abs() < 1e-12, "milkings 12 hours apart");
    // A night of 14.616 h is 60.9 % of the day: the breed's 1.2 points (nearly, to the minute).
    let long = "hours: {morning milking: \"7:37\", evening milking: \"17:00\"}\n";
    assert!((excess(long, "") - 0.012).abs() < 1e-4, "{}", excess(long, ""));
    for hours in ["", long] {
        assert!((excess(hours, own) - 0.007).abs() < 1e-12);
    }
}

#[test]
fn a_batch_that_its_recipe_does_not_take() {
    let rule = "  - {do: make, what: butter, when: {have: {cream: at least 1.5 qt}}}";
    let warned = |what: &str, batch: &str| {
        let new = format!("{rule}\n  - {{do: make, what: {what}, batch: {batch}}}");
        let text = changed(&[(rule, new.as_str())]);
        let all = compile(&text).warnings;
        all.iter().map(ToString::to_string).filter(|w| w.contains("one batch of")).collect::<Vec<_>>()
    };
    let (small, large) = (warned("hard cheese", "2 qt"), warned("yogurt", "5 gal"));
    assert_eq!((small.len(), large.len()), (1, 1), "{small:?} {large:?}");
    assert!(small[0].contains("takes at least 1.9 gal: with `batch: 2 qt` none is made"), "{small:?}");
    assert!(large[0].contains("takes at most 1.1 gal: `batch: 5 gal` is made no larger"), "{large:?}");
    assert!(warned("hard cheese", "2 gal").is_empty() && warned("yogurt", "2 qt").is_empty());
}

#[test]
fn a_shelf_as_high_as_a_room() {
    let high = |clear: &str| {
        let all = compile(&changed(&[("x 11 in", &format!("x {clear}"))])).warnings;
        all.iter().filter(|w| w.message.contains("clear height")).count()
    };
    assert_eq!((high("11 ft"), high("4 ft"), high("11 in")), (1, 0, 0));
}

#[test]
fn numbers_in_words_and_none() {
    let share = |members: &str, days: &str| {
        let text = format!(
            "{PLAIN}herd shares: {{members: {members}, promise: 1 qt/week, pick-up days: {days}, whole jars: none}}\n"
        );
        compile(&text).plan.trade.share.expect("there are members")
    };
    let (words, figures) = (share("eight", "two per week"), share("8", "2 per week"));
    assert_eq!((&words.claims_kg, words.weekdays), (&figures.claims_kg, figures.weekdays));
    assert!(words.claims_kg.len() == 8 && words.jars.is_none());
    // In a variant `none` takes the size of the jar away, as leaving it out would.
    let text = format!(
        "{PLAIN}herd shares: {{members: 2, promise: 1 gal/week, pick-up days: [wed], whole jars: half gallon}}\n\
         variants:\n  loose: {{herd shares: {{whole jars: none}}}}\n"
    );
    let draft = scenario::Draft::read(text.as_bytes()).expect("it is read");
    let jars = |c: Compiled| c.plan.trade.share.expect("there are members").jars;
    assert!(jars(draft.base().expect("it compiles")).is_some());
    assert!(jars(draft.variant("loose").expect("it compiles")).is_none());
}
