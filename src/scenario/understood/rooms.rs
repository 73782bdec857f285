//! Jars and stores, as understood: what fits where and why, and how fast a
//! milking chills.

use super::{
    super::{
        check::{Jar, Parts, Shelf, Store},
        plan::{Action, ChillTable, PlaceKind, Plan, RulePlan},
    },
    Part,
};
use crate::{
    dairy::{
        cooling::{LONGEST_H, pmo_ok},
        packing::{Fit, Limit, Pattern},
    },
    units::{MILK_KG_PER_L, UnitSystem, show},
};

pub(super) fn jars(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("Jars");
    for (jar, name) in plan.jars.iter().zip(&p.rooms.jars) {
        let n = f64::from(jar.count);
        part.line(
            name.name.clone(),
            format!(
                "{}, {} in each, {} together",
                show::counted(n, "jar", "jars"),
                show::volume(jar.working_l, p.units),
                show::volume(jar.working_l * n, p.units)
            ),
        );
    }
    part
}

fn why(fit: &Fit, jar: &Jar, shelf: &Shelf, sys: UnitSystem) -> String {
    match fit.limited_by {
        Limit::Height => format!(
            "none: the jar is {} tall and the shelf {} clear",
            show::length(jar.shape.height_m, sys),
            show::length(shelf.shape.clear_m, sys)
        ),
        Limit::Load => format!(
            "{}: a full jar weighs {} and the shelf carries {}",
            fit.count,
            show::mass(jar.shape.filled_kg, sys),
            show::mass(shelf.shape.load_kg, sys)
        ),
        Limit::Area if fit.count == 0 => "none: the shelf is too narrow".to_owned(),
        Limit::Area => {
            let rows = match fit.pattern {
                Pattern::Square => "in straight rows",
                Pattern::Staggered => "in staggered rows",
            };
            let tiers = if fit.tiers > 1 { format!(", {} high", fit.tiers) } else { String::new() };
            format!("{} {rows}{tiers}; the floor of the shelf is the limit", fit.count)
        }
    }
}

pub(super) fn store(plan: &Plan, s: &Store, p: &Parts) -> Part {
    let mut part = Part::new(s.name.clone());
    let sys = p.units;
    let coldest = s.celsius.iter().copied().fold(f64::INFINITY, f64::min);
    let warmest = s.celsius.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let at = if warmest - coldest < 0.05 {
        show::temperature(coldest, sys)
    } else {
        format!("{} to {} by month", show::temperature(coldest, sys), show::temperature(warmest, sys))
    };
    let kind = match s.kind {
        PlaceKind::Counter => "counter",
        PlaceKind::Fridge => "cold room",
        PlaceKind::Freezer => "freezer",
        PlaceKind::Ageing => "ageing room",
        PlaceKind::Pantry => "cool pantry",
    };
    part.line("kind", format!("{kind} at {at}, {} inside", show::room(s.litres, sys)));
    let Some(place) = plan.places.get(s.places.start) else { return part };
    let food = place.other_food;
    let (low, high) = food.iter().fold((1.0f64, 0.0f64), |(a, b), f| (a.min(*f), b.max(*f)));
    if high > 0.0 {
        let text = if high - low < 0.001 {
            show::part(high)
        } else {
            format!("{} to {} by month", show::part(low), show::part(high))
        };
        part.line("other food takes", text);
    }
    if s.kind == PlaceKind::Fridge {
        shelves(&mut part, s, &food, p);
    }
    if let Some(table) = &place.chill {
        chilling(&mut part, table, p);
    }
    if s.kind == PlaceKind::Freezer {
        let litres = place.freeze_kg_per_day / MILK_KG_PER_L;
        part.line(
            "freezes a day",
            format!("{}, or {} of milk", show::mass(place.freeze_kg_per_day, sys), show::volume(litres, sys)),
        );
    }
    let names: Vec<&str> = (0..plan.items.len())
        .filter(|i| {
            let own = plan.items[*i].places.iter().any(|id| s.places.contains(&id.at()));
            let moved = |r: &RulePlan| {
                matches!(r.action, Action::Move { item, to, .. } if item.at() == *i && s.places.contains(&to.at()))
            };
            own || plan.rules.iter().any(moved)
        })
        .map(|i| p.items.names[i].as_str())
        .collect();
    if !names.is_empty() {
        part.line("stands there", show::listed(&names));
    }
    part
}

fn shelves(part: &mut Part, s: &Store, food: &[f64; 12], p: &Parts) {
    let sys = p.units;
    for (g, group) in s.groups.iter().enumerate() {
        let size = group.shape;
        let shelf = format!(
            "{} of {} x {} x {}",
            show::counted(f64::from(group.count), "shelf", "shelves"),
            show::length(size.width_m, sys),
            show::length(size.depth_m, sys),
            show::length(size.clear_m, sys)
        );
        for (j, jar) in p.rooms.jars.iter().enumerate() {
            part.line(
                format!("{shelf}, {} jars", jar.name),
                format!("a shelf takes {}", why(&s.fits[g][j], jar, group, sys)),
            );
        }
    }
    if s.groups.is_empty() {
        return;
    }
    let free = 1.0 - food.iter().sum::<f64>() / 12.0;
    for (j, jar) in p.rooms.jars.iter().enumerate() {
        let all: u32 = s.groups.iter().zip(&s.fits).map(|(g, f)| g.count.saturating_mul(f[j].count)).sum();
        let left = (f64::from(all) * free + 1e-9).floor();
        let all = show::whole(f64::from(all));
        let text = if free < 1.0 {
            format!("{all} with nothing else inside, {} beside the other food", show::whole(left))
        } else {
            all
        };
        part.line(format!("room for {} jars", jar.name), text);
    }
}

/// The largest evening milking that this family can expect, L.
fn evening_milking(p: &Parts) -> f64 {
    let peak = |a: &super::super::check::Animal| {
        let most = a.plan.curves.iter().flat_map(|c| &c.yield_kg).fold(0.0f64, |m, y| m.max(*y));
        if a.plan.milkings == 2 { most * (1.0 - a.plan.morning_part) } else { most }
    };
    p.animals.iter().map(peak).sum::<f64>() / MILK_KG_PER_L
}

fn chilling(part: &mut Part, table: &ChillTable, p: &Parts) {
    let sys = p.units;
    let litres = evening_milking(p);
    if litres <= 0.0 {
        return;
    }
    let at = table.find(litres, 0.0);
    let hours = |of: &[f64]| table.value(of, at);
    let say = |h: f64| {
        if h >= LONGEST_H - 0.01 { "never".to_owned() } else { format!("in {}", show::duration(h / 24.0)) }
    };
    let (ten, seven, four) =
        (hours(&table.hours_to_10c), hours(&table.hours_to_7c), hours(&table.hours_to_4c));
    part.line(
        "an evening milking at the peak",
        format!(
            "{} of warm milk comes down to {} {}, to {} {}, to {} {}",
            show::volume(litres, sys),
            show::temperature(10.0, sys),
            say(ten),
            show::temperature(7.2, sys),
            say(seven),
            show::temperature(4.4, sys),
            say(four)
        ),
    );
    // Both are counted from the jar here; the milking itself comes on top.
    let words = if pmo_ok(ten, seven) {
        "kept here by the computed times; it binds licensed dairies, and it is no proof that milk is fit to drink"
    } else {
        "not kept here by the computed times; it binds licensed dairies. An ice bath before the fridge is faster"
    };
    part.line(
        "the dairies' chilling rule",
        format!(
            "{} within 4 h and {} within 2 h: {words}",
            show::temperature(10.0, sys),
            show::temperature(7.2, sys)
        ),
    );
}
