//! Rooms, jars, chilling, power.

use crate::judge::{Knob, Never::*, ONLY_DRINKERS, USUAL_LIST, hold};
use crate::measured::*;

const AT: &str = "stores.kitchen fridge.at";

#[test]
fn room() {
    hold(&[
        Knob {
            name: "shelves",
            house: ONLY_DRINKERS,
            steps: &[
                &[("stores.kitchen fridge.shelves", "1 of 20 in x 14 in x 11 in")],
                &[("stores.kitchen fridge.shelves", "2 of 20 in x 14 in x 11 in")],
                &[("stores.kitchen fridge.shelves", "5 of 20 in x 14 in x 11 in")],
            ],
            never: &[(Up, "wasted", wasted), (Up, "days over full", days_over_full)],
        },
        Knob {
            name: "what a shelf carries",
            house: &[USUAL_LIST],
            steps: &[
                &[("stores.kitchen fridge.shelf load", "15 lb")],
                &[("stores.kitchen fridge.shelf load", "100 lb")],
            ],
            never: &[(Up, "days over full", days_over_full)],
        },
        Knob {
            name: "a second fridge",
            house: ONLY_DRINKERS,
            steps: &[&[("stores.kitchen fridge.how many", "1")], &[("stores.kitchen fridge.how many", "2")]],
            never: &[(Up, "days over full", days_over_full), (Up, "wasted or film", wasted_or_film)],
        },
        Knob {
            name: "other food",
            house: ONLY_DRINKERS,
            steps: &[
                &[("stores.kitchen fridge.other food takes", "none")],
                &[("stores.kitchen fridge.other food takes", "70 %")],
            ],
            never: &[(Down, "days over full", days_over_full), (Down, "wasted or film", wasted_or_film)],
        },
        Knob {
            name: "freezer room",
            house: &[],
            steps: &[
                &[("stores.chest freezer.like", "fridge-top freezer 4 cu ft")],
                &[("stores.chest freezer.like", "chest freezer 15 cu ft")],
            ],
            never: &[(Down, "freezer used", freezer_used), (Down, "milk frozen", milk_frozen)],
        },
        Knob {
            name: "headspace of frozen packs",
            house: &[],
            steps: &[
                &[("+", "products:\n  frozen milk: {room per kg: 1.1 L}")],
                &[("+", "products:\n  frozen milk: {room per kg: 4 L}")],
            ],
            never: &[(Up, "milk frozen", milk_frozen)],
        },
        Knob {
            name: "ageing room",
            house: &[("-cheese box:", ""), (">stores", "  cheese box: {kind: ageing, room: 5 L, at: 54 °F}")],
            steps: &[&[("stores.cheese box.room", "5 L")], &[("stores.cheese box.room", "150 L")]],
            never: &[(Down, "ageing room used", ageing_used)],
        },
        Knob {
            name: "jars",
            house: &[],
            steps: &[
                &[("jars.half gallon", "2"), ("jars.quart", "1")],
                &[("jars.half gallon", "8"), ("jars.quart", "4")],
                &[("jars.half gallon", "40"), ("jars.quart", "20")],
            ],
            never: &[(Up, "without a jar", no_jar)],
        },
        Knob {
            name: "jars that break",
            house: &[("-jars:", ""), ("+", "jars: {half gallon: {count: 50}}")],
            steps: &[&[("jars.half gallon.breaks", "0.2 %")], &[("jars.half gallon.breaks", "5 %")]],
            never: &[(Down, "broken", jars_broken)],
        },
    ]);
}

#[test]
fn cold_and_chilling() {
    hold(&[
        Knob {
            name: "a colder fridge",
            house: ONLY_DRINKERS,
            steps: &[&[(AT, "46 °F")], &[(AT, "42 °F")], &[(AT, "37 °F")]],
            never: &[(Up, "soured", soured)],
        },
        Knob {
            name: "spare cooling",
            house: &[(AT, "36 °F"), ("-porch fridge:", ""), ("-chilling:", "")],
            steps: &[
                &[("stores.kitchen fridge.spare cooling", "30 W")],
                &[("stores.kitchen fridge.spare cooling", "60 W")],
                &[("stores.kitchen fridge.spare cooling", "200 W")],
            ],
            never: &[(Up, "hours of chilling", chilling), (Up, "life of neighbours", life_of_neighbours)],
        },
        Knob {
            name: "a fan",
            house: &[(AT, "36 °F"), ("-porch fridge:", ""), ("-chilling:", "")],
            steps: &[&[("stores.kitchen fridge.fan", "still")], &[("stores.kitchen fridge.fan", "fan")]],
            never: &[(Up, "hours of chilling", chilling)],
        },
        Knob {
            name: "an ice bath",
            house: &[(AT, "36 °F"), ("-chilling:", "")],
            steps: &[&[], &[("+", "chilling: {way: ice bath, ice made: 60 lb a day}")]],
            never: &[(Up, "hours of chilling", chilling), (Up, "later than the rule", late)],
        },
        Knob {
            name: "ice that can be made",
            house: &[("-chilling:", ""), ("+", "chilling: {way: ice bath, ice made: 3 lb a day}")],
            steps: &[
                &[("chilling.ice made", "3 lb a day")],
                &[("chilling.ice made", "12 lb a day")],
                &[("chilling.ice made", "60 lb a day")],
            ],
            never: &[(Up, "baths short of ice", ice_short)],
        },
        Knob {
            name: "running water",
            house: &[("-chilling:", ""), ("+", "chilling: {way: cold running water, for: 1 h}")],
            steps: &[&[("chilling.water at", "45 °F")], &[("chilling.water at", "68 °F")]],
            never: &[(Down, "hours of chilling", chilling)],
        },
    ]);
}

#[test]
fn power() {
    hold(&[
        Knob {
            name: "outages",
            house: &[USUAL_LIST, ("-outages:", "")],
            steps: &[
                &[("+", "outages: {a year: 0, last: 8 h}")],
                &[("+", "outages: {a year: 6, last: 8 h}")],
                &[("+", "outages: {a year: 40, last: 8 h}")],
            ],
            never: &[
                (Down, "outages", outages),
                (Down, "warm without power", warm_without_power),
                (Down, "wasted", wasted),
            ],
        },
        Knob {
            name: "length of outages",
            house: &[USUAL_LIST, ("-outages:", "")],
            steps: &[
                &[("+", "outages: {a year: 15, last: 2 h}")],
                &[("+", "outages: {a year: 15, last: 24 h}")],
            ],
            never: &[
                (Down, "hours", outage_hours),
                (Down, "warm without power", warm_without_power),
                (Down, "wasted", wasted),
            ],
        },
    ]);
}
