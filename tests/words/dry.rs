//! The weeks without milk, the animals' year, and whose young drank.

use crate::house::*;
use springhouse::dairy::Species;
use springhouse::study::results::PuttingUp;

/// Ten years of which one has no dry weeks; the others begin on day 280.
fn with_dry_weeks() -> House {
    let mut h = house();
    h.result.columns = [
        "first_dry_day",
        "sick_cases",
        "freshened_again",
        "not_settled",
        "starters_bought",
        "butter_laid_down",
        "butter_bridged",
    ]
    .map(String::from)
    .to_vec();
    // Without dry weeks nothing is laid down, and nothing runs out.
    h.result.rows = (0..10)
        .flat_map(|i| {
            let first = if i == 0 { 365.0 } else { 280.0 };
            let (laid, bridged) = if i == 0 { (0.0, 1.0) } else { (f64::from(i) * LB, f64::from(i % 3 / 2)) };
            [first, f64::from(i / 7), f64::from(i / 2), f64::from(i / 9), 2.0, laid, bridged]
        })
        .collect();
    h.result.measures.extend([
        measure("butter_laid_down", "kg", [0.0, 2.0, 4.0 * LB, 8.0, 9.0]),
        fixed("butter_bridged", "1", 0.4),
        fixed("sick_cases", "times", 0.3),
        measure("sick_days", "days", [0.0, 0.0, 0.0, 5.0, 6.0]),
        fixed("starters_bought", "times", 2.0),
        fixed("jars_broken", "jars", 3.0),
        fixed("share_fill", "1", 1.0),
        fixed("members_stayed_away", "times", 6.0),
    ]);
    h.result.putting_up = vec![
        PuttingUp {
            want: 0,
            needed_kg: 10.0 * GAL,
            dry_from: 280,
            week_kg: 5.0 * GAL,
            ready_days: 0.0,
            keeps_days: 90.0,
            start: None,
        },
        PuttingUp {
            want: 1,
            needed_kg: 8.0 * LB,
            dry_from: 280,
            week_kg: 2.0 * LB,
            ready_days: 60.0,
            keeps_days: 1000.0,
            start: Some(100),
        },
    ];
    h
}

#[test]
fn when_they_begin_what_is_laid_down_and_by_when_to_start() {
    // Day 0 is the first of April 2026: day 280 is 6 January 2027, day 100 is 10 July.
    has(
        &with_dry_weeks().flat(),
        &[
            "The first begin on 6 January 2027; in 1 of 10 years there are none.",
            "Frozen milk: 10 gal needed (enough in 9 of 10 years), as far as thawed milk is accepted; at 5 gal a \
             week it is not ready by 6 January 2027, however early it is started; it keeps 90 days.",
            // Of the nine with dry weeks 5 lb are the middle, and three (2, 5 and 8) come through.
            "Butter: 5 lb laid down when they begin, 8 lb needed (enough in 9 of 10 years); where there are any, it \
             lasts to the end in 33 of 100 years; start by 10 July 2026 to be ready on 6 January 2027 (2 lb a week, \
             60 days to wait).",
        ],
    );
}

#[test]
fn illness_freshening_and_breeding_are_told() {
    has(
        &with_dry_weeks().flat(),
        &[
            "Illness: she falls ill in 3 of 10 years (0.3 times a year on average).",
            "Milk is kept from people for illness or treatment at some time",
            "She freshens again within the year in 8 of 10 years.",
            "Breeding is in vain, and she does not settle, in 1 of 10 years.",
            "Bought, the first of each with them: 2 starters.",
            "Broken: 3 jars.",
            "A member did not come: 6 times.",
        ],
    );
    // Nothing of all that where nothing of it happens.
    let text = house().flat();
    assert!(!text.contains("falls ill") && !text.contains("settle") && !text.contains("starters"), "{text}");
}

#[test]
fn what_nobody_wanted_did_not_run_short() {
    let mut h = house();
    h.result.measures.push(fixed("milk_wanted_days", "days", 0.0));
    let text = h.flat();
    has(&text, &["Wanted on no day that counts in this run: milk for drinking."]);
    assert!(!text.contains("Never short: milk"), "{text}");
    let mut h = house();
    h.result.measures.push(fixed("milk_wanted_days", "days", 300.0));
    has(&h.flat(), &["Never short: milk for drinking."]);
}

#[test]
fn young_are_called_by_their_species() {
    for (young, words) in [
        (Some(Species::Cow), "drunk by the calf on its dam"),
        (Some(Species::Goat), "drunk by the kids on their dam"),
        (Some(Species::Sheep), "drunk by the lambs on their dam"),
        (None, "drunk by the young on their dams"),
    ] {
        let mut h = house();
        h.facts.young = young;
        h.result.fates.push(fate("calf_on_dam", 0.1, 0.1));
        has(&h.flat(), &[words]);
    }
}
