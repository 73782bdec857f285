//! Ageing, failed batches, freezing and thawing, heating, hours at home; what leaves the
//! house.

use super::*;
use springhouse::sim::outcome::Blocked;

/// The house with a store and rules of its own.
fn with(store: &str, more: &str) -> Compiled {
    let text = house(PLAIN, more).replace("jars: {", &format!("{store}jars: {{"));
    common::compile(&text.replace("every day: 90 min", "every day: 4 h"))
}

const CAVE: &str = "  cave: {kind: ageing, shelves: 4 of 1 m x 60 cm x 40 cm, at: 54 °F}\n";
const CHEESE: &str = "  - {do: make, what: hard cheese, days: [tue], at most: 1 per week}\n";
const FREEZER: &str = "  freezer: {like: chest freezer 15 cu ft}\n";

fn made(c: &Compiled, o: &Outcome, item: &str) -> f64 {
    c.names.items.iter().position(|n| n == item).map_or(0.0, |i| o.made[i])
}

#[test]
fn ageing_takes_water_alone() {
    let aged = with(CAVE, CHEESE);
    let mut not = aged.clone();
    not.plan.recipes.iter_mut().for_each(|r| r.ageing_loss = 0.0);
    for ((a, log), (b, other)) in both(&aged, &not) {
        let (lost, kept) = (a.fates[Fate::AgeingLoss as usize], mass(&b, Fate::AgeingLoss));
        assert!(lost.mass > 0.1 && lost.fat == 0.0 && lost.protein == 0.0 && kept == 0.0, "{lost:?} {kept}");
        // Six parts of a hundred of what has aged, which is not all that was made.
        let cheese = made(&aged, &a, "hard cheese");
        assert!(lost.mass <= 0.06 * cheese && lost.mass > 0.03 * cheese, "{} of {cheese}", lost.mass);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn batches_that_fail_cost_batches_alone() {
    let never = {
        let mut c = with(CAVE, CHEESE);
        c.plan.recipes.iter_mut().for_each(|r| (r.fails, r.fails_when_foul) = (0.0, 0.0));
        c
    };
    let mut often = never.clone();
    often.plan.recipes.iter_mut().for_each(|r| r.fails = 0.5);
    for ((a, log), (b, other)) in both(&often, &never) {
        assert!(mass(&a, Fate::WastedFailedBatch) > 10.0 && mass(&b, Fate::WastedFailedBatch) == 0.0);
        // Cheese is batch for batch: its milk is not what other batches wait for.
        let (a, b) = (made(&often, &a, "hard cheese"), made(&never, &b, "hard cheese"));
        assert!(a < 0.8 * b && a > 0.2 * b, "{a} of {b}");
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn a_freezer_takes_its_pace_a_day() {
    let free = {
        let mut c = with(FREEZER, "  - {do: make, what: frozen milk}\n");
        c.plan.places.iter_mut().for_each(|p| p.freeze_kg_per_day = f64::INFINITY);
        c
    };
    let mut slow = free.clone();
    slow.plan.places.iter_mut().for_each(|p| p.freeze_kg_per_day = 1.0);
    for ((a, log), (b, other)) in both(&slow, &free) {
        let most = log.days as f64;
        assert!(made(&slow, &a, "frozen milk") <= most * (1.0 + 1e-9));
        assert!(made(&free, &b, "frozen milk") > made(&slow, &a, "frozen milk"));
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn thawing_brings_frozen_milk_to_the_table_a_day_later() {
    let freeze = "  - {do: make, what: frozen milk, days: [mon]}\n";
    let thaws = with(FREEZER, &format!("{freeze}  - {{do: thaw, what: frozen milk, how much: 2 qt}}\n"));
    for ((a, log), (b, other)) in both(&thaws, &with(FREEZER, freeze)) {
        assert!(made(&thaws, &a, "thawed milk") > 1.0);
        assert!(made(&thaws, &a, "frozen milk") > 1.0 && b.wants[0].wanted == a.wants[0].wanted);
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn heating_costs_its_minutes_and_no_raw_batch_fails() {
    // Kefir once a week, raw; heated first it takes so many minutes more each time.
    let once = |more: &str| {
        common::compile(&house(PLAIN, more).replace("days: [sat]}", "days: [sat], at most: 1 per week}"))
    };
    let (raw, hot) = (once(""), once("recipes: {kefir: {heat: heated}}\n"));
    let at = raw.names.recipes.iter().position(|n| n == "kefir").expect("kefir is made");
    let more = hot.plan.recipes[at].minutes - raw.plan.recipes[at].minutes;
    assert!(more > 5.0 && hot.plan.recipes[at].heated && !raw.plan.recipes[at].heated);
    assert!(hot.plan.recipes[at].fails_when_foul == 0.0 && raw.plan.recipes[at].fails_when_foul > 0.0);
    for ((a, log), (b, other)) in both(&hot, &raw) {
        assert_eq!(a.rules[2].fired, b.rules[2].fired);
        assert!(a.kitchen_minutes > b.kitchen_minutes + 0.5 * more * f64::from(a.rules[2].fired));
        cow_and_people_alike(&log, &other);
    }
}

#[test]
fn who_is_not_home_makes_no_cheese() {
    let home =
        |text: &str| with(CAVE, &format!("{CHEESE}kitchen: {{someone home: {{every day: {text}}}}}\n"));
    let always = with(CAVE, CHEESE);
    for ((a, log), (b, other)) in both(&home("1 h"), &always) {
        assert!(a.rules[3].fired == 0 && b.rules[3].fired > 10);
        assert!(a.rules[3].blocked[Blocked::NobodyHome as usize] > 10);
        cow_and_people_alike(&log, &other);
    }
    for ((a, _), (b, _)) in both(&home("24 h"), &always) {
        all_alike(&a, &b);
    }
}

#[test]
fn what_is_sold_and_given_leaves_out_of_what_is_over() {
    let sold = "sold:\n  neighbour: {what: whole milk, up to: 2 gal/week, price: 6 $/gal}\n";
    let given = "given away:\n  school: {what: whole milk, up to: 1 gal/week}\n";
    for (text, fate, gallons) in [(sold, Fate::Sold, 2.0), (given, Fate::GivenAway, 1.0)] {
        for ((a, log), (b, other)) in both(&common::compile(&house(PLAIN, text)), &plain()) {
            // 300 days touch 44 calendar weeks; a gallon is 3.7854 L of 1.034 kg.
            let most = 44.0 * gallons * 3.785_411_784 * 1.034;
            assert!(mass(&a, fate) > 0.5 * most && mass(&a, fate) <= most, "{fate:?} {}", mass(&a, fate));
            assert_eq!(mass(&b, fate), 0.0);
            cow_and_people_alike(&log, &other);
        }
    }
}

#[test]
fn what_is_handed_out_goes_to_members_beyond_their_promise() {
    let share = "herd shares: {members: 2, promise: 1 gal/week, pick-up days: [wed]}\n";
    let more = format!("  - {{do: hand out, what: whole milk, how much: 1 gal}}\n{share}");
    let (more, share) = (common::compile(&house(PLAIN, &more)), common::compile(&house(PLAIN, share)));
    for ((a, log), (b, other)) in both(&more, &share) {
        assert!(mass(&a, Fate::SharedOut) > mass(&b, Fate::SharedOut) + 50.0);
        assert!(a.rules[3].fired > 10);
        // On weekdays without a pick-up nobody comes.
        assert!(a.rules[3].blocked[Blocked::Day as usize] >= 6 * 42);
        cow_and_people_alike(&log, &other);
    }
}
