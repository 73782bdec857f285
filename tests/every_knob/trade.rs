//! Herd shares, what is sold, given away, bought and fetched, prices.

use crate::judge::{Knob, Never::*, STRONG_FRIDGE, hold};
use crate::measured::*;

#[test]
fn herd_shares() {
    hold(&[
        Knob {
            name: "members",
            house: &[("household.people.man 31 to 50", "2")],
            steps: &[
                &[("herd shares.members", "2")],
                &[("herd shares.members", "8")],
                &[("herd shares.members", "20")],
            ],
            never: &[
                (Up, "promise kept", promise_kept),
                (Up, "what the first member gets", first_member),
                (Up, "drinking milk", milk_fill),
            ],
        },
        Knob {
            name: "promise a week",
            // A promise that is no whole number of jars is rounded to one.
            house: &[("-whole jars:", ""), ("household.people.man 31 to 50", "2")],
            steps: &[
                &[("herd shares.promise", "0.5 gal/week")],
                &[("herd shares.promise", "1 gal/week")],
                &[("herd shares.promise", "3 gal/week")],
            ],
            never: &[(Up, "promise kept", promise_kept), (Up, "drinking milk", milk_fill)],
        },
        Knob {
            name: "pick-up days",
            // Whole jars as above; and the family claims a day's drinking at each pick-up,
            // so that more of them may leave the members less.
            house: &[
                ("-pick-up days:", ""),
                ("-whole jars:", ""),
                ("herd shares.when short", "members first"),
            ],
            steps: &[
                &[(">herd shares", "  pick-up days: [wed]")],
                &[(">herd shares", "  pick-up days: [sun, wed, fri]")],
            ],
            never: &[(Down, "promise kept", promise_kept)],
        },
        Knob {
            name: "members who do not come",
            house: &[],
            steps: &[&[("herd shares.not fetched", "2 %")], &[("herd shares.not fetched", "40 %")]],
            never: &[(Up, "shared out", shared_out)],
        },
        Knob {
            name: "milk nobody fetched",
            house: &[("herd shares.milk not fetched", "is poured out")],
            steps: &[&[("herd shares.not fetched", "2 %")], &[("herd shares.not fetched", "40 %")]],
            never: &[(Down, "not fetched", unclaimed)],
        },
    ]);
}

#[test]
fn selling_and_buying() {
    hold(&[
        Knob {
            name: "what is sold",
            house: &[],
            steps: &[&[("sold.farm gate.up to", "1 gal/week")], &[("sold.farm gate.up to", "10 gal/week")]],
            never: &[(Down, "sold", sold)],
        },
        Knob {
            name: "what is given away",
            house: &[],
            steps: &[
                &[("given away.neighbours.up to", "1 gal/week")],
                &[("given away.neighbours.up to", "10 gal/week")],
            ],
            never: &[(Down, "given away", given)],
        },
        Knob {
            name: "what is bought",
            house: &[("household.people.man 31 to 50", "3")],
            steps: &[
                &[("bought when short.milk.up to", "1 gal/week")],
                &[("bought when short.milk.up to", "20 gal/week")],
            ],
            never: &[(Down, "bought", bought)],
        },
        Knob {
            name: "milk fetched",
            house: STRONG_FRIDGE,
            steps: &[&[("milk fetched.round.amount", "1 gal")], &[("milk fetched.round.amount", "3 gal")]],
            never: &[(Down, "fetched", fetched), (Up, "milk short", milk_short)],
        },
        Knob {
            name: "deliveries that fail",
            house: STRONG_FRIDGE,
            steps: &[&[("milk fetched.round.fails", "2 %")], &[("milk fetched.round.fails", "50 %")]],
            never: &[(Up, "fetched", fetched), (Down, "milk short", milk_short)],
        },
        Knob {
            name: "prices",
            house: &[("-prices:", "")],
            steps: &[
                &[],
                &[("+", "prices: {food: {milk: 5 $/gal}, keep: 4 $/day, jars: 3 $/jar, time: 10 $/h}")],
                &[("+", "prices: {food: {milk: 50 $/gal}, keep: 40 $/day, jars: 30 $/jar, time: 100 $/h}")],
            ],
            never: &[(Moves, "matter", matter)],
        },
        Knob {
            name: "prices of what is sold and bought",
            house: &[],
            steps: &[
                &[("bought when short.milk.price", "1 $/gal"), ("sold.farm gate.price", "1 $/gal")],
                &[("bought when short.milk.price", "90 $/gal"), ("sold.farm gate.price", "90 $/gal")],
            ],
            never: &[(Moves, "matter", matter)],
        },
    ]);
}
