//! What is written once and holds for several, or by age: stores of one kind, young
//! that die, days too hot, through the whole road from the file.

mod common;

use springhouse::scenario::plan::{Action, Condition};
use springhouse::sim::outcome::Fate;

fn house(animal: &str, more: &str) -> String {
    format!(
        "title: Written once
starts: 2027-05-01
lasts: 200 days
animals:
  - {{name: Clover, breed: jersey, freshens: 2027-04-20{animal}}}
household:
  people: {{man 31 to 50: 2}}
  kitchen time: {{every day: 90 min}}
jars: {{half gallon: 60}}
{more}"
    )
}

const TWO: &str = "stores:
  porch fridge: {shelves: 2 of 24 in x 14 in x 11 in, at: 38 °F}
  cellar fridge: {how many: 2, shelves: 1 of 14 in x 10 in x 11 in, at: 38 °F}
when full: {tonight: [pour out oldest milk]}
";

/// A rule on a store of which there are two moves into both, and asks how full both
/// are; one that names the second speaks of that alone.
#[test]
fn a_rule_on_several_stores_speaks_of_all() {
    let rules = |to: &str, full: &str| {
        format!(
            "{TWO}routine:\n  - {{do: move, what: whole milk, to: {to}, when: {{fullness: {{{full}: under 100 %}}}}}}\n"
        )
    };
    let moved = |to: &str, full: &str| {
        let c = common::compile(&house("", &rules(to, full)));
        let room: Vec<u16> = c.plan.places.iter().filter(|p| p.is_of(2)).map(|p| p.store).collect();
        assert_eq!(room, [2, 3]);
        let said = c.understood.parts.iter().flat_map(|p| &p.lines).find(|(l, _)| l.starts_with("1. "));
        said.map(|(_, text)| text.clone()).unwrap_or_default()
    };
    let told = moved("cellar fridge", "cellar fridge");
    assert!(told.contains("moves whole milk to the cellar fridge and the one like it"), "{told}");
    assert!(
        told.contains("the cellar fridge and the one like it, taken together, is at most 100 % full"),
        "{told}"
    );
    let told = moved("cellar fridge 2", "cellar fridge 2");
    assert!(!told.contains("like it"), "{told}");
    // On the first two days more is carried where there are two to carry it to.
    let two_days = |rules: &str| {
        let text = house("", rules).replace("lasts: 200 days", "lasts: 2 days");
        common::trial(&common::compile(&text), 5, None).0.rules[0].kg
    };
    let (both, one) = (rules("cellar fridge", "cellar fridge"), rules("cellar fridge 2", "cellar fridge 2"));
    let (both, one) =
        (two_days(&both), two_days(&one.replace("how many: 2, ", "").replace("fridge 2", "fridge")));
    assert!(both > 1.4 * one && one > 5.0, "{both} {one}");
    let c = common::compile(&house("", &rules("cellar fridge", "cellar fridge")));
    assert!(matches!(c.plan.rules[0].action, Action::Move { .. }));
    assert!(matches!(c.plan.rules[0].when[..], [Condition::Fullness { store: 2, .. }]));
}

/// Calves that may die leave more in the pail in the mean; no other luck moves, and
/// where the chance is nought it is as if nothing had been said.
#[test]
fn a_calf_that_may_die_changes_its_own_luck_alone() {
    let calf = |dies: &str| {
        let calf = format!(", calf: {{full time until: 8 weeks{dies}}}");
        common::compile(&house(
            &calf,
            "stores: {porch fridge: {like: all-fridge 10 cu ft}}\noutages: {a year: 9, last: 4 h}\n",
        ))
    };
    let (none, nought, some) = (calf(""), calf(", dies: 0 %"), calf(", dies: 40 %"));
    let (mut fewer, mut alike) = (0, 0);
    for n in 0..60 {
        let [a, b, c] = [&none, &nought, &some].map(|c| common::trial(c, 5, Some(n)).0);
        assert_eq!(a.fates[Fate::Calf as usize].mass.to_bits(), b.fates[Fate::Calf as usize].mass.to_bits());
        for o in [&b, &c] {
            assert_eq!(
                (a.outages, a.sick_cases, a.wants[0].wanted),
                (o.outages, o.sick_cases, o.wants[0].wanted)
            );
            assert_eq!(a.outage_hours, o.outage_hours);
        }
        let (lived, may) = (a.fates[Fate::Calf as usize].mass, c.fates[Fate::Calf as usize].mass);
        assert!(may <= lived, "{n}");
        if may < lived { fewer += 1 } else { alike += 1 }
    }
    // 40 of 100, within four standard errors of 60 draws.
    assert!((9..=39).contains(&fewer) && fewer + alike == 60, "{fewer}");
}

/// Days of the month above the index of 72: half of them where the mean day is at it.
#[test]
fn days_too_hot_are_counted_by_month_and_spell() {
    let stores = "stores: {porch fridge: {like: all-fridge 10 cu ft}}\n";
    let hot = |weather: &str| {
        let c = common::compile(&house("", &format!("{stores}{weather}")));
        (0..6).map(|n| common::trial(&c, 5, Some(n)).0.heat_days).sum::<f64>() / 6.0
    };
    assert_eq!(hot(""), 0.0);
    assert_eq!(hot("weather: {temperature: 50 °F, swings: 0 °F, humidity: 50 %}\n"), 0.0);
    // At full humidity the index is the temperature in °F: July's 31 days, half of them.
    let july = hot("weather: {temperature: 40 °F, by month: {jul: 72 °F}, humidity: 100 %, swings: 5 °F}\n");
    assert!((july - 15.5).abs() < 0.01, "{july}");
    let spells = hot(
        "weather: {temperature: 40 °F, by month: {jul: 72 °F}, humidity: 100 %, swings: 5 °F, hot spells: {jul: 3}, hotter by: 20 °F}\n",
    );
    assert!(spells > july + 2.0 && spells < 31.0, "{spells}");
}

/// A kid takes less while it is young: by the ages of its preset from the day it was born.
#[test]
fn a_kid_takes_more_with_age() {
    let told = |more: &str| {
        let c = common::compile(&house(
            "",
            &format!(
                "stores: {{porch fridge: {{like: all-fridge 10 cu ft}}}}\nunits: metric\nanimals fed: {{kid on the bottle: {{heads: 2{more}}}}}\n"
            ),
        ));
        let o = &c.plan.outlets[0];
        [0, 1, 2, 6, 7, 41, 42, 100]
            .map(|day| (o.most_on(day) / c.plan.items[0].density * 10.0).round() / 10.0)
    };
    assert_eq!(told(", from: 2027-05-01"), [1.2, 1.2, 1.6, 1.6, 2.0, 2.0, 2.6, 2.6]);
    assert_eq!(told(", born: 2027-04-24"), [2.0, 2.0, 2.0, 2.0, 2.0, 2.6, 2.6, 2.6]);
    assert_eq!(told(""), [2.6; 8]);
}
