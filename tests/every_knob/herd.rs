//! Animals, calves, health, breeding, season.

use crate::judge::{Knob, Never::*, STRONG_AND_ONLY_DRINKERS, STRONG_FRIDGE, hold};
use crate::measured::*;

#[test]
fn milk_and_those_who_give_it() {
    hold(&[
        Knob {
            name: "level of yield",
            house: STRONG_FRIDGE,
            steps: &[
                &[("animals.Animal 0.gives", "500 kg")],
                &[("animals.Animal 0.gives", "900 kg")],
                &[("animals.Animal 0.gives", "2000 kg")],
            ],
            // Not milk short: a batch of cheese that only more milk reaches (mozzarella 0, 5
            // and 65 times a year in one house) takes what would have been drunk after
            // tomorrow. Where nothing is made, the next knob holds it.
            never: &[(Down, "drawn", drawn)],
        },
        Knob {
            name: "level of yield, only drunk",
            house: STRONG_AND_ONLY_DRINKERS,
            steps: &[
                &[("animals.Animal 0.gives", "500 kg")],
                &[("animals.Animal 0.gives", "900 kg")],
                &[("animals.Animal 0.gives", "2000 kg")],
            ],
            never: &[(Up, "milk short", milk_short)],
        },
        Knob {
            name: "number of animals",
            house: STRONG_FRIDGE,
            steps: &[&[("animals.Animal 0.how many", "1")], &[("animals.Animal 0.how many", "3")]],
            never: &[(Down, "drawn", drawn), (Up, "milk short", milk_short), (Down, "chores", chores)],
        },
        Knob {
            name: "fat",
            house: &[],
            steps: &[&[("animals.Animal 0.fat", "3.5 %")], &[("animals.Animal 0.fat", "5 %")]],
            never: &[(Down, "fat drawn", fat_drawn)],
        },
        Knob {
            name: "once a day",
            house: &[],
            steps: &[
                &[("animals.Animal 0.milked", "twice a day")],
                &[("animals.Animal 0.milked", "once a day")],
            ],
            never: &[(Up, "drawn", drawn), (Up, "chores", chores)],
        },
        Knob {
            name: "dry-off days",
            house: &[],
            steps: &[
                &[("animals.Animal 0.dry off", "30 days before")],
                &[("animals.Animal 0.dry off", "60 days before")],
                &[("animals.Animal 0.dry off", "120 days before")],
            ],
            never: &[(Up, "drawn", drawn), (Down, "dry days", dry_days)],
        },
        Knob {
            name: "days of colostrum",
            house: &[],
            steps: &[
                &[("animals.Animal 0.colostrum", "2 days")],
                &[("animals.Animal 0.colostrum", "6 days")],
            ],
            never: &[(Down, "colostrum", colostrum), (Up, "for people", for_people)],
        },
    ]);
}

#[test]
fn calves() {
    hold(&[
        Knob {
            name: "age until which the calf is on the dam",
            house: &[("-calf:", ""), ("animals.Animal 0.calf.full time until", "1 weeks")],
            steps: &[
                &[("animals.Animal 0.calf.shut in overnight until", "2 weeks")],
                &[("animals.Animal 0.calf.shut in overnight until", "10 weeks")],
                &[("animals.Animal 0.calf.shut in overnight until", "30 weeks")],
            ],
            never: &[(Up, "for people", for_people), (Down, "to the calf", to_the_calf)],
        },
        Knob {
            name: "hours apart",
            house: &[("-calf:", ""), ("animals.Animal 0.calf.shut in overnight until", "20 weeks")],
            steps: &[
                &[("animals.Animal 0.calf.apart for", "8 h")],
                &[("animals.Animal 0.calf.apart for", "14 h")],
            ],
            never: &[(Down, "for people", for_people), (Up, "to the calf", to_the_calf)],
        },
        Knob {
            name: "held back",
            house: &[("-calf:", ""), ("animals.Animal 0.calf.let in after milkings until", "20 weeks")],
            steps: &[
                &[("animals.Animal 0.calf.held back", "5 %")],
                &[("animals.Animal 0.calf.held back", "25 %")],
            ],
            never: &[(Up, "for people", for_people), (Down, "to the calf", to_the_calf)],
        },
        Knob {
            name: "number of calves",
            house: &[("-calf:", ""), ("animals.Animal 0.calf.full time until", "12 weeks")],
            steps: &[&[("animals.Animal 0.calf.number", "1")], &[("animals.Animal 0.calf.number", "2")]],
            never: &[(Up, "for people", for_people), (Down, "to the calf", to_the_calf)],
        },
    ]);
}

#[test]
fn health() {
    hold(&[
        Knob {
            name: "illness",
            house: &[],
            steps: &[
                &[("animals.Animal 0.health", "none")],
                &[("animals.Animal 0.health", "careful")],
                &[("animals.Animal 0.health", "troubled")],
            ],
            never: &[(Up, "for people", for_people), (Down, "cases", sick_cases)],
        },
        Knob {
            name: "days of withdrawal",
            house: &[("animals.Animal 0.health.later lactations", "60 %")],
            steps: &[
                &[
                    ("animals.Animal 0.health.withdrawal", "1 day"),
                    ("animals.Animal 0.health.withdrawal in goats and sheep", "1 day"),
                ],
                &[
                    ("animals.Animal 0.health.withdrawal", "9 days"),
                    ("animals.Animal 0.health.withdrawal in goats and sheep", "9 days"),
                ],
            ],
            never: &[(Up, "for people", for_people), (Down, "kept for illness", withheld_sick)],
        },
        Knob {
            name: "treatment at dry-off",
            house: &[],
            steps: &[
                &[],
                &[
                    ("animals.Animal 0.health.dry treatment", "60 days"),
                    ("animals.Animal 0.health.after freshening", "10 days"),
                ],
            ],
            never: &[(Up, "for people", for_people), (Down, "kept for illness", withheld_sick)],
        },
    ]);
}

#[test]
fn breeding() {
    hold(&[
        Knob {
            name: "conception",
            house: &[
                ("-freshens again:", ""),
                ("-bred:", ""),
                ("-lasts:", ""),
                ("+", "lasts: 500 days"),
                ("animals.Animal 0.bred.how", "insemination"),
                ("animals.Animal 0.bred.until", "3 tries"),
            ],
            steps: &[
                &[("animals.Animal 0.bred.settles", "15 %")],
                &[("animals.Animal 0.bred.settles", "45 %")],
                &[("animals.Animal 0.bred.settles", "90 %")],
            ],
            never: &[(Down, "freshened again", freshened_again), (Up, "not settled", not_settled)],
        },
        Knob {
            name: "heats seen",
            house: &[
                ("-freshens again:", ""),
                ("-bred:", ""),
                ("-lasts:", ""),
                ("+", "lasts: 500 days"),
                ("animals.Animal 0.bred.how", "insemination"),
            ],
            steps: &[
                &[("animals.Animal 0.bred.heats seen", "25 %")],
                &[("animals.Animal 0.bred.heats seen", "95 %")],
            ],
            never: &[(Down, "freshened again", freshened_again)],
        },
        Knob {
            name: "tries",
            house: &[
                ("-freshens again:", ""),
                ("-bred:", ""),
                ("-lasts:", ""),
                ("+", "lasts: 500 days"),
                ("animals.Animal 0.bred.how", "insemination"),
                ("animals.Animal 0.bred.settles", "30 %"),
            ],
            steps: &[
                &[("animals.Animal 0.bred.until", "1 tries")],
                &[("animals.Animal 0.bred.until", "6 tries")],
            ],
            never: &[(Down, "freshened again", freshened_again), (Up, "not settled", not_settled)],
        },
    ]);
}

#[test]
fn season_and_heat() {
    hold(&[
        Knob {
            name: "heat",
            house: &[("-weather:", "")],
            steps: &[
                &[("+", "weather: {temperature: 60 °F, by month: {jul: 70 °F}}")],
                &[("+", "weather: {temperature: 60 °F, by month: {jul: 80 °F}}")],
                &[("+", "weather: {temperature: 60 °F, by month: {jul: 92 °F}}")],
            ],
            never: &[(Up, "drawn", drawn)],
        },
        Knob {
            name: "hot spells",
            house: &[("-weather:", ""), ("+", "weather: {temperature: 72 °F}")],
            steps: &[
                &[("weather.hot spells.apr", "0"), ("weather.hot spells.jul", "0")],
                &[("weather.hot spells.apr", "2"), ("weather.hot spells.jul", "2")],
            ],
            never: &[(Up, "drawn", drawn)],
        },
        Knob {
            name: "season",
            house: &[],
            steps: &[
                &[("animals.Animal 0.milk by month.jun", "85 %")],
                &[("animals.Animal 0.milk by month.jun", "115 %")],
            ],
            never: &[(Down, "drawn", drawn)],
        },
    ]);
}
