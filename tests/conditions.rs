//! When rules work: conditions against days counted by hand.

mod common;

use common::{compile, trial};

/// Two kilograms of milk are fetched at 11 on each of ten days, after the kitchen's
/// hour; a rule pours some of it out.
fn days_fired(rule: &str, household: &str) -> u32 {
    let c = compile(&format!(
        "title: Conditions
starts: 2027-01-04
lasts: 10 days
milk fetched:
  - {{name: dairy, species: cow, fat: 4 %, protein: 3.3 %, days: [mon, tue, wed, thu, fri, sat, sun], age on arrival: 0 days, amount: 2 kg}}
household:
{household}
stores:
  fridge: {{shelves: 10 of 100 cm x 60 cm x 30 cm, at: 4 °C}}
jars: {{2 litre: {{count: 400, breaks: none}}}}
routine:
  - {{do: pour out, what: whole milk, how much: 1 L, at most: 1 per day, {rule}}}
risks: {{stays sweet: 60 days, give or take: 0 %, foul spells: none, jar film: 0 g}}
"
    ));
    trial(&c, 1, Some(0)).0.rules[0].days_fired
}

const NOBODY: &str = "  kitchen time: {every day: 1 h}";

#[test]
fn so_many_jars() {
    // Four jars of 1.9 L hold 7.86 kg: there are 8 kg on the fifth morning, and after
    // a litre (1.034 kg) was poured out of them and 2 kg came, 8.97 kg on the sixth.
    assert_eq!(days_fired("when: {have: {whole milk: at least 4 jars}}", NOBODY), 6);
    // Under one jar (1.96 kg): on no morning but the first, when there is none to pour.
    assert_eq!(days_fired("when: {have: {whole milk: under 1 jar}}", NOBODY), 0);
}

#[test]
fn so_many_days_of_drinking() {
    // Half a kilogram is drunk a day, so 1.5 kg stay of each day's milk: 6 kg, which
    // are 12 days of it, on the fifth morning (day 4). A litre is poured out then; 6.47
    // kg next morning, and more on each after it.
    let ann = "  kitchen time: {every day: 1 h}\n  drinkers: [{name: Ann, how much: 0.5 kg, part of days: 100 %, give or take: 0 %}]";
    assert_eq!(days_fired("when: {have: {whole milk: at least 12 days}}", ann), 6);
    // Two days at the most: the second morning has 3 days of it.
    assert_eq!(days_fired("when: {have: {whole milk: under 2 days}}", ann), 0);
}

#[test]
fn while_no_animal_gives_milk() {
    // Nobody keeps an animal, so no weeks are dry.
    assert_eq!(days_fired("when: {dry weeks: only}", NOBODY), 0);
    assert_eq!(days_fired("when: {dry weeks: outside them}", NOBODY), 9);
}
