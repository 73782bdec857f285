//! Turning each part on changes what it should, and nothing else: part by part,
//! the same years with it and without it.

#[path = "../common/mod.rs"]
mod common;
mod herd;
mod kitchen;

use springhouse::scenario::Compiled;
use springhouse::scenario::plan::SplitRule;
use springhouse::sim::outcome::{DayMeasure, Fate, Source};
use springhouse::sim::{DayLog, Outcome};

const YEARS: u32 = 6;

/// One Jersey with her calf, a family, a fridge; nothing that reaches from the
/// kitchen back to the cow.
fn house(animal: &str, more: &str) -> String {
    format!(
        "title: Part by part
starts: 2027-03-01
lasts: 300 days
animals:
  - name: Clover
    breed: jersey
    lactation: 2
    freshens: 2027-02-20
    {animal}
household:
  people: {{man 31 to 50: 2, woman 31 to 50: 2, boy 9 to 13: 2}}
  wants: {{butter: 1 lb/week, kefir: 1 qt/week}}
  kitchen time: {{every day: 90 min}}
stores:
  kitchen fridge: {{shelves: 3 of 24 in x 14 in x 11 in, at: 38 °F, other food takes: 40 %}}
jars: {{half gallon: 40, quart: 12}}
routine:
  - {{do: skim, after: 24 h, leave: 2.5 % fat, days: [mon, thu]}}
  - {{do: make, what: butter, when: {{have: {{cream: at least 1 qt}}}}}}
  - {{do: make, what: kefir, batch: 1 qt, days: [sat]}}
{more}"
    )
}

const PLAIN: &str = "health: none";

fn plain() -> Compiled {
    common::compile(&house(PLAIN, ""))
}

type Year = (Outcome, DayLog);

fn years(c: &Compiled) -> Vec<Year> {
    (0..YEARS).map(|n| common::trial(c, 5, Some(n))).collect()
}

/// The same years of two plans.
fn both(with: &Compiled, without: &Compiled) -> Vec<(Year, Year)> {
    years(with).into_iter().zip(years(without)).collect()
}

fn mass(o: &Outcome, f: Fate) -> f64 {
    o.fates[f as usize].mass
}

fn bought(o: &Outcome) -> f64 {
    o.sources[Source::Bought as usize].mass
}

/// A measure of each day, as its bits.
fn days(log: &DayLog, m: DayMeasure) -> Vec<u32> {
    (0..log.days).map(|d| log.get(d, m).to_bits()).collect()
}

/// What the cow gives and what people would drink is the same, to the bit.
#[track_caller]
fn cow_and_people_alike(a: &DayLog, b: &DayLog) {
    for m in [DayMeasure::Drawn, DayMeasure::DrinkWanted] {
        assert!(days(a, m) == days(b, m), "{m:?} moves");
    }
}

/// All that is made, eaten and lost is the same, to the bit.
#[track_caller]
fn all_alike(a: &Outcome, b: &Outcome) {
    for f in Fate::ALL {
        assert_eq!(mass(a, f).to_bits(), mass(b, f).to_bits(), "{f:?} moves");
    }
}

#[test]
fn calf_off_its_milk_is_in_the_pail() {
    // It drinks all that it is left, so that none stays unmade.
    let calf = "health: none\n    calf: {shut in overnight until: 20 weeks, drinks at first: 30 L, drinks later: 30 L}";
    for ((with, log), (without, other)) in both(&common::compile(&house(calf, "")), &plain()) {
        let pail =
            |log: &DayLog| (0..log.days).map(|d| f64::from(log.get(d, DayMeasure::Drawn))).sum::<f64>();
        let drunk = mass(&with, Fate::Calf);
        assert!(drunk > 500.0 && mass(&without, Fate::Calf) == 0.0);
        let gain = pail(&other) - pail(&log) + mass(&without, Fate::Withheld) - mass(&with, Fate::Withheld);
        assert!((gain - drunk).abs() < 1e-4 * drunk, "{gain} for {drunk}");
        let all = Source::Drawn as usize;
        let (a, b) = (with.sources[all], without.sources[all]);
        assert!((a.mass - b.mass).abs() < 1e-9 * b.mass && (a.fat - b.fat).abs() < 1e-9 * b.fat);
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
    }
}

#[test]
fn ice_bath_on_chilling_passes() {
    let bath = common::compile(&house(PLAIN, "chilling: {way: ice bath, ice made: 60 lb a day}\n"));
    for ((with, log), (without, other)) in both(&bath, &plain()) {
        assert_eq!(with.milkings, without.milkings);
        assert!(without.chill_late > without.milkings / 2, "{} of {}", without.chill_late, without.milkings);
        // But for what found no place in the fridge, which a bath does not help.
        assert_eq!(with.chill_late, with.chill_left_out);
        assert!(with.chill_left_out < with.milkings / 10);
        assert!(with.chill_hours < without.chill_hours);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn outages_off_none_is_drawn() {
    let outages = common::compile(&house(PLAIN, "outages: {a year: 12, last: 8 h}\n"));
    let mut all = 0;
    for ((with, log), (without, other)) in both(&outages, &plain()) {
        assert_eq!((without.outages, mass(&without, Fate::WastedOutage)), (0, 0.0));
        all += with.outages;
        cow_and_people_alike(&log, &other);
    }
    assert!(all > 3 * YEARS, "{all}");
    let never = common::compile(&house(PLAIN, "outages: {a year: 0, last: 8 h}\n"));
    for ((a, _), (b, _)) in both(&never, &plain()) {
        all_alike(&a, &b);
    }
}

#[test]
fn illness_off_nobody_is_ill() {
    let ill = common::compile(&house("health: troubled", ""));
    let mut cases = 0;
    for ((with, log), (without, other)) in both(&ill, &plain()) {
        assert_eq!((without.sick_cases, mass(&without, Fate::WithheldSick)), (0, 0.0));
        assert!((with.sick_cases > 0) == (mass(&with, Fate::WithheldSick) > 0.0));
        cases += with.sick_cases;
        // It only ever takes milk.
        for d in 0..log.days {
            assert!(log.get(d, DayMeasure::Drawn) <= other.get(d, DayMeasure::Drawn), "day {d}");
        }
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
        if with.sick_cases == 0 {
            cow_and_people_alike(&log, &other);
        }
    }
    assert!(cases > 0);
}

#[test]
fn breeding_moves_late_milk_alone() {
    // In calf at the earliest 60 days after freshening (20 February), it pulls from 19 weeks
    // of 40 on: nothing moves before day 180. An ordinary one began at day 100 and pulls as
    // late as day 233 in milk.
    let never = common::compile(&house("health: none\n    freshens again: never", ""));
    let bred = common::compile(&house("health: none\n    bred: bull", ""));
    let mut moved = 0;
    for ((_, log), (_, other)) in both(&bred, &never) {
        for d in 0..180 {
            for m in [DayMeasure::Drawn, DayMeasure::DrinkWanted] {
                assert_eq!(log.get(d, m).to_bits(), other.get(d, m).to_bits(), "day {d}");
            }
        }
        for d in 180..log.days {
            let (now, was) = (log.get(d, DayMeasure::Drawn), other.get(d, DayMeasure::Drawn));
            assert!(now <= was, "day {d}: {now} of {was}");
            moved += u32::from(now < was);
        }
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
    }
    assert!(moved > 50 * YEARS, "{moved}");
}

#[test]
fn hot_spells_move_their_days_alone() {
    let weather = |more: &str| {
        common::compile(&house(
            PLAIN,
            &format!("weather: {{temperature: 55 °F, by month: {{jul: 72 °F, aug: 72 °F}}{more}}}\n"),
        ))
    };
    let spells = weather(", hot spells: {jul: 2, aug: 2}, hotter by: 15 °F");
    let mut all = 0;
    for ((with, log), (without, other)) in both(&spells, &weather("")) {
        let fewer = (0..log.days)
            .filter(|&d| log.get(d, DayMeasure::Drawn) < other.get(d, DayMeasure::Drawn))
            .count();
        let alike = (0..log.days)
            .filter(|&d| log.get(d, DayMeasure::Drawn).to_bits() == other.get(d, DayMeasure::Drawn).to_bits())
            .count();
        // A pail that is kicked over counts as drawn, so every hot day gives less.
        assert_eq!((fewer as u32, fewer + alike), (with.hot_days, log.days));
        assert_eq!(without.hot_days, 0);
        assert_eq!(days(&log, DayMeasure::DrinkWanted), days(&other, DayMeasure::DrinkWanted));
        all += with.hot_days;
    }
    assert!(all > YEARS, "{all}");
}

#[test]
fn warm_milk_costs_its_neighbours_alone() {
    let warm = plain();
    let mut cold = warm.clone();
    for cell in cold.plan.places.iter_mut().filter_map(|p| p.chill.as_mut()).flat_map(|c| &mut c.cells) {
        cell.neighbour_days = 0.0;
    }
    for ((with, log), (without, other)) in both(&warm, &cold) {
        assert!(with.neighbour_days > 1.0 && without.neighbour_days == 0.0);
        assert_eq!(with.milkings, without.milkings);
        assert_eq!(with.chill_late, without.chill_late);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn starters_and_equipment_touch_the_kitchen_alone() {
    let base = plain();
    let mut none = base.clone();
    none.plan.kitchen.starters.clear();
    none.plan.recipes.iter_mut().for_each(|r| r.starter = None);
    let churn = |n: u32| common::compile(&house(PLAIN, &format!("kitchen: {{equipment: {{churn: {n}}}}}\n")));
    for ((with, log), (without, other)) in both(&base, &none) {
        assert!(with.starters_bought > 0 && without.starters_bought == 0);
        cow_and_people_alike(&log, &other);
    }
    // Butter is the second rule: without a churn none is made, with enough of them all of it.
    for ((with, log), (without, other)) in both(&churn(0), &base) {
        assert!(with.rules[1].fired == 0 && without.rules[1].fired > 10);
        cow_and_people_alike(&log, &other);
    }
    for ((a, _), (b, _)) in both(&churn(20), &base) {
        all_alike(&a, &b);
    }
}

#[test]
fn family_first_gives_the_family_what_the_members_lose() {
    // All milk goes every day: nothing is lost in jars, and none grows old.
    let text = house(
        PLAIN,
        "herd shares: {members: 10, promise: 2 gal/week, pick-up days: [mon, tue, wed, thu, fri, sat, sun]}\nrisks: {jar film: 0 g, strainer: 0 %, kicked pail: 0 %, kicked pail at first: 0 %, foul spells: 0 a year}\n",
    );
    let text = text
        .replace(
            "{man 31 to 50: 2, woman 31 to 50: 2, boy 9 to 13: 2}",
            "{man 31 to 50: 8, woman 31 to 50: 8, boy 9 to 13: 8}",
        )
        .replace("  wants: {butter: 1 lb/week, kefir: 1 qt/week}\n", "");
    let text = text.split("routine:").next().expect("a head").to_owned()
        + text.split("days: [sat]}\n").nth(1).expect("a tail");
    let in_proportion = common::compile(&text);
    let mut first = in_proportion.clone();
    first.plan.trade.share.as_mut().expect("shares").rule = SplitRule::FamilyFirst;
    for ((with, log), (without, other)) in both(&first, &in_proportion) {
        let more = mass(&with, Fate::Drunk) - mass(&without, Fate::Drunk);
        let less = mass(&without, Fate::SharedOut) - mass(&with, Fate::SharedOut);
        assert!(more > 100.0, "{more}");
        assert!((more - less).abs() < 0.02 * more, "{more} gained, {less} lost");
        assert!(with.wants[0].served > without.wants[0].served);
        assert!(with.traded.shares.iter().zip(&without.traded.shares).all(|(a, b)| a.kept < b.kept));
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn buying_fills_the_table_and_changes_no_litre_of_the_own() {
    let buys = common::compile(&house(PLAIN, "bought when short:\n  milk: 4 $/gal\n  butter: 5 $/lb\n"));
    let mut all = 0.0;
    for ((with, log), (without, other)) in both(&buys, &plain()) {
        assert_eq!(with.wants, without.wants);
        assert_eq!(bought(&without), 0.0);
        for f in Fate::ALL {
            let extra = mass(&with, f) - mass(&without, f);
            let fed = matches!(f, Fate::Drunk | Fate::Eaten);
            assert!(if fed { extra >= 0.0 } else { extra == 0.0 }, "{f:?}: {extra}");
        }
        all += bought(&with);
        cow_and_people_alike(&log, &other);
    }
    assert!(all > 1.0, "{all}");
}

#[test]
fn what_nothing_makes_is_bought_and_never_counts_as_own() {
    let text = house(PLAIN, "bought when short:\n  hard cheese: {price: 9 $/lb, up to: 10 lb/week}\n");
    let c = common::compile(
        &text.replace("wants: {", "wants: {hard cheese: {at least: 1 lb/week, varies: 0 %}, "),
    );
    let cheese = c.names.wishes.iter().position(|w| w == "hard cheese").expect("a wish");
    for ((with, log), (without, other)) in both(&c, &plain()) {
        // A pound a week for 300 days.
        let want = 0.453_592_37 * 300.0 / 7.0;
        assert!((bought(&with) - want).abs() < 1e-9 * want, "{} of {want}", bought(&with));
        assert!((with.traded.bought_for_table - want).abs() < 1e-9 * want);
        let own = with.wants[cheese + 1];
        assert_eq!((own.wanted, own.served, own.days, own.short_days), (0.0, 0.0, 0, 0));
        assert!((mass(&with, Fate::Eaten) - mass(&without, Fate::Eaten) - want).abs() < 1e-9 * want);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn prices_change_no_litre() {
    let prices =
        "prices: {food: {milk: 5 $/gal, butter: 5 $/lb}, keep: 4 $/day, jars: 3 $/jar, time: 10 $/h}\n";
    for ((a, log), (b, other)) in both(&common::compile(&house(PLAIN, prices)), &plain()) {
        all_alike(&a, &b);
        assert!(log.data.iter().zip(&other.data).all(|(x, y)| x.to_bits() == y.to_bits()));
    }
}

#[test]
fn dirt_and_kicks_change_no_yield() {
    let clean = common::compile(&house(
        PLAIN,
        "risks: {foul spells: 0 a year, kicked pail: 0 %, kicked pail at first: 0 %}\n",
    ));
    for ((with, log), (without, other)) in both(&plain(), &clean) {
        assert_eq!((mass(&without, Fate::WastedFoul), mass(&without, Fate::WastedSpilled)), (0.0, 0.0));
        assert!(mass(&with, Fate::WastedFoul) + mass(&with, Fate::WastedSpilled) > 0.0);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn a_rule_is_held_to_its_season_phase_and_weeks() {
    // From the file to the days on which it works: freshened on 20 February, 60 days dry
    // before she freshens again after 13 months (20 March): dried off on 20 January.
    let rule = |when: &str, lasts: &str| {
        let text = house(
            "health: none\n    freshens again: after 13 months",
            &format!("  - {{do: pour out, what: whole milk, how much: 1 cup, when: {{{when}}}}}\n"),
        );
        let c = common::compile(&text.replace("lasts: 300 days", lasts));
        common::trial(&c, 5, None).0.rules[3].fired
    };
    // April and May; the first 30 days of milk (8 gone by); 100 to 200 days of milk; two weeks
    // before the end. A day more or less at either end is in the words.
    assert_eq!(rule("season: apr to may", "lasts: 300 days"), 61);
    assert_eq!(rule("since freshening: at most 30 days", "lasts: 300 days"), 31 - 9);
    assert_eq!(rule("since freshening: between 100 days and 200 days", "lasts: 300 days"), 101);
    assert_eq!(rule("to dry off: at most 2 weeks", "lasts: 340 days"), 14);
}
