//! Who drinks, what is wished, what is kept back.

use crate::judge::{Knob, Never::*, ONLY_DRINKERS, USUAL_LIST, hold};
use crate::measured::*;

#[test]
fn people_and_their_wishes() {
    hold(&[
        Knob {
            name: "people",
            // Not the days short of milk: a fuller table empties jars, and milk that had
            // found none is there for a later meal.
            house: &[USUAL_LIST],
            steps: &[
                &[("household.people.man 31 to 50", "1")],
                &[("household.people.man 31 to 50", "3")],
                &[("household.people.man 31 to 50", "8")],
            ],
            never: &[
                (Down, "milk short", milk_short),
                (Down, "milk drunk", milk_served),
                (Up, "wasted", wasted),
            ],
        },
        Knob {
            name: "guests",
            house: &[USUAL_LIST, ("household.people.man 31 to 50", "1")],
            steps: &[
                &[(
                    ">household",
                    "  guests:\n    - {people: {woman 31 to 50: 1}, from: 2027-05-01, until: 2027-12-28}",
                )],
                &[(
                    ">household",
                    "  guests:\n    - {people: {woman 31 to 50: 6}, from: 2027-05-01, until: 2027-12-28}",
                )],
            ],
            never: &[
                (Down, "milk short", milk_short),
                (Down, "milk drunk", milk_served),
                (Up, "wasted", wasted),
            ],
        },
        Knob {
            name: "how people drink",
            house: &[USUAL_LIST, ("household.people.man 31 to 50", "2")],
            steps: &[
                &[("household.drinks like", "shop norm")],
                &[("household.drinks like", "milk household")],
                &[("household.drinks like", "heavy")],
            ],
            never: &[(Down, "milk short", milk_short), (Up, "wasted", wasted)],
        },
        Knob {
            name: "a wish",
            house: &[USUAL_LIST],
            steps: &[
                &[
                    ("household.wants.yogurt.at least", "1 lb/week"),
                    ("household.wants.yogurt.gladly up to", "1 lb/week"),
                ],
                &[
                    ("household.wants.yogurt.at least", "9 lb/week"),
                    ("household.wants.yogurt.gladly up to", "9 lb/week"),
                ],
            ],
            never: &[(Down, "yogurt short", yogurt_short), (Down, "yogurt eaten", yogurt_eaten)],
        },
        Knob {
            name: "hold-back of the family",
            house: &[USUAL_LIST, ("household.people.man 31 to 50", "3")],
            steps: &[
                &[("household.keep back", "0 days")],
                &[("household.keep back", "1 day")],
                &[("household.keep back", "4 days")],
            ],
            // What was kept back too long sours, so that milk short may rise in the end.
            never: &[(Up, "worked up", worked_up)],
        },
        Knob {
            name: "days away",
            house: &[("-away:", "")],
            steps: &[
                &[(">household", "  away:\n    - {from: 2027-06-05, until: 2027-06-08}")],
                &[(">household", "  away:\n    - {from: 2027-06-05, until: 2027-07-08}")],
            ],
            never: &[(Down, "kept by whoever milks", kept_by_helper)],
        },
        Knob {
            name: "thawed milk",
            house: &[USUAL_LIST],
            steps: &[
                &[("household.thawed milk", "none")],
                &[("household.thawed milk", "half")],
                &[("household.thawed milk", "all")],
            ],
            never: &[(Up, "milk short", milk_short)],
        },
    ]);
}

#[test]
fn animals_that_are_fed() {
    hold(&[
        Knob {
            name: "pigs",
            house: &[("-animals fed:", "")],
            steps: &[
                &[("+", "animals fed: {pigs: {heads: 1}}")],
                &[("+", "animals fed: {pigs: {heads: 4}}")],
            ],
            never: &[(Down, "fed", fed)],
        },
        Knob {
            name: "hens",
            house: &[("-animals fed:", "")],
            steps: &[
                &[("+", "animals fed: {hens: {heads: 3}}")],
                &[("+", "animals fed: {hens: {heads: 30}}")],
            ],
            never: &[(Down, "fed", fed)],
        },
    ]);
}

#[test]
fn risks() {
    hold(&[
        Knob {
            name: "sweet life",
            house: ONLY_DRINKERS,
            steps: &[
                &[("risks.stays sweet", "5 days")],
                &[("risks.stays sweet", "8 days")],
                &[("risks.stays sweet", "14 days")],
            ],
            never: &[(Up, "soured", soured)],
        },
        Knob {
            name: "foul spells",
            house: &[],
            steps: &[&[("risks.foul spells", "2 a year")], &[("risks.foul spells", "20 a year")]],
            never: &[(Down, "foul", foul)],
        },
        Knob {
            name: "kicked pails",
            house: &[],
            steps: &[&[("risks.kicked pail", "0.5 %")], &[("risks.kicked pail", "6 %")]],
            never: &[(Down, "spilled", spilled)],
        },
        Knob {
            name: "film in jars",
            house: &[],
            steps: &[&[("risks.strainer", "1 %")], &[("risks.strainer", "3 %")]],
            never: &[(Down, "film", film)],
        },
    ]);
}
