//! The words of a plan: what everything in it is called.

use super::{
    super::{
        names::{JarShape, Names},
        plan::{AimPlan, Plan},
        raw::Scenario,
    },
    Animal, Parts, cautions, trade,
};

pub(super) fn names(raw: &Scenario, plan: &Plan, p: &Parts, aims: &[(AimPlan, String)]) -> Names {
    let outlets: Vec<String> = p.outlets.iter().map(|(_, n)| n.clone()).collect();
    let seen = cautions::Seen {
        plan,
        at_risk: &p.people.at_risk,
        recipes: &p.book,
        outlets: &outlets,
        guests: p.people.plans.iter().any(|g| !g.present.is_empty()),
        warm: p.rooms.warm_for_milk().next().is_some(),
    };
    Names {
        rule_terms: Vec::new(),
        title: raw.title.as_ref().map_or_else(|| "A milk year".to_owned(), |t| t.get().to_owned()),
        first_day: p.run.first.to_string(),
        units: p.units,
        animals: p.animals.iter().map(|a| a.name.clone()).collect(),
        herd: p.animals.iter().map(Animal::herd_name).collect(),
        fetches: p.fetches.iter().map(|(_, n)| n.clone()).collect(),
        people: p.people.names.clone(),
        wishes: p.wishes.iter().map(|(n, _)| n.clone()).collect(),
        jars: p.rooms.jars.iter().map(|j| j.name.clone()).collect(),
        jar_shapes: p
            .rooms
            .jars
            .iter()
            .map(|j| JarShape { height_m: j.shape.height_m, across_m: j.shape.across_m })
            .collect(),
        stores: p.rooms.stores.iter().map(|s| s.name.clone()).collect(),
        places: p.rooms.place_names.clone(),
        items: p.items.names.clone(),
        recipes: p.book.iter().map(|(n, _)| n.clone()).collect(),
        cautions: cautions::cautions(&seen).into_iter().chain(trade::cautions(&plan.trade)).collect(),
        members: p.trade.members.clone(),
        given: p.trade.given.clone(),
        sold: p.trade.sold.clone(),
        bought: p.trade.bought.clone(),
        money: p.trade.money.clone(),
        outlets,
        rules: p.rules.iter().map(|(_, n)| n.clone()).collect(),
        opening: Vec::new(),
        aims: aims.iter().map(|(_, w)| w.clone()).collect(),
    }
}
