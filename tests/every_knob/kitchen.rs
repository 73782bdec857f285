//! Hands, skimming, batches, equipment.

use crate::judge::{Knob, Never::*, hold};
use crate::measured::*;

#[test]
fn hands_and_pots() {
    hold(&[
        Knob {
            name: "kitchen time",
            house: &[],
            steps: &[
                &[("household.kitchen time.weekdays", "10 min")],
                &[("household.kitchen time.weekdays", "45 min")],
                &[("household.kitchen time.weekdays", "4 h")],
            ],
            never: &[(Down, "worked up", worked_up)],
        },
        Knob {
            name: "pots",
            house: &[("-kitchen:", ""), ("+", "kitchen: {equipment: {large pot: {holds: 4 gal}}}")],
            steps: &[
                &[("kitchen.equipment.large pot.count", "0")],
                &[("kitchen.equipment.large pot.count", "4")],
            ],
            never: &[(Down, "worked up", worked_up)],
        },
        Knob {
            name: "size of the pot",
            house: &[("-kitchen:", ""), ("+", "kitchen: {equipment: {large pot: {count: 1}}}")],
            steps: &[
                &[("kitchen.equipment.large pot.holds", "2 gal")],
                &[("kitchen.equipment.large pot.holds", "8 gal")],
            ],
            never: &[(Down, "worked up", worked_up)],
        },
        Knob {
            name: "someone at home",
            house: &[("-kitchen:", ""), ("+", "kitchen: {someone home: {weekdays: 1 h, weekend: 1 h}}")],
            steps: &[
                &[("kitchen.someone home.weekdays", "1 h")],
                &[("kitchen.someone home.weekdays", "12 h")],
            ],
            // Not what is worked up: a rule that may work at last takes milk and minutes from
            // those below it.
            never: &[(Up, "held for want of somebody at home", nobody_home)],
        },
        Knob {
            name: "batches that fail",
            house: &[],
            steps: &[
                &[("+", "recipes:\n  yogurt: {fails: 1 %}")],
                &[("+", "recipes:\n  yogurt: {fails: 30 %}")],
            ],
            never: &[(Down, "failed", failed), (Up, "yogurt eaten", yogurt_eaten)],
        },
    ]);
}

#[test]
fn skimming() {
    hold(&[
        Knob {
            name: "what is left in the milk",
            house: &[("-leave:", ""), ("-take:", ""), ("household.people.man 31 to 50", "3")],
            steps: &[
                &[("routine.skim.leave", "1 % fat")],
                &[("routine.skim.leave", "2 % fat")],
                &[("routine.skim.leave", "3.5 % fat")],
            ],
            never: &[(Down, "fat of what is drunk", fat_of_drunk)],
        },
        Knob {
            name: "how deep",
            house: &[("-leave:", ""), ("-take:", ""), ("household.people.man 31 to 50", "3")],
            steps: &[
                &[("routine.skim.take", "top cream")],
                &[("routine.skim.take", "light cream")],
                &[("routine.skim.take", "the whole layer")],
            ],
            never: &[(Up, "fat of what is drunk", fat_of_drunk)],
        },
        Knob {
            name: "age at the skim",
            house: &[],
            steps: &[
                &[("routine.skim.after", "12 h")],
                &[("routine.skim.after", "30 h")],
                &[("routine.skim.after", "60 h")],
            ],
            never: &[(Up, "skimmed", skimmed)],
        },
    ]);
}
