//! Jars and stores, as understood: what fits where and why, and how fast a
//! milking chills.

use super::{
    super::{
        check::{Jar, Parts, Shelf, Store, WayKind},
        plan::{Action, ChillTable, MachinePlan, PlaceKind, Plan, RulePlan},
    },
    Part,
};
use crate::{
    dairy::{
        cooling::{
            FREEZER_FULL_H, FREEZER_HALF_H, LONGEST_H, MARK_4C, MARK_7C, MARK_10C, outage_hours, pmo_ok,
        },
        density::MILK_KJ_PER_KG_K,
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
            format!("{} {rows}; the floor of the shelf is the limit", fit.count)
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
        shelves(&mut part, s, &food, &place.jar_part, p);
    }
    let full_l = full_of_jars(plan, s);
    if let Some(table) = &place.chill {
        chilling(&mut part, table, plan, full_l, p);
    }
    if let Some(machine) = s.machine.as_ref().filter(|_| plan.cold.outages.is_some()) {
        without_power(&mut part, machine, full_l, p);
    }
    if s.kind == PlaceKind::Freezer {
        let litres = place.freeze_kg_per_day / MILK_KG_PER_L;
        part.line(
            "freezes a day",
            format!("{}, or {} of milk", show::mass(place.freeze_kg_per_day, sys), show::volume(litres, sys)),
        );
    }
    for w in p.wheels.iter().filter(|w| w.store == s.name) {
        let one = show::mass(w.weighs_kg, sys);
        part.line(
            format!("room for {}", w.item),
            format!("{} of {one}", show::counted(f64::from(w.count), "wheel", "wheels")),
        );
    }
    let names: Vec<&str> = (0..plan.items.len())
        .filter(|i| {
            let own = plan.items[*i].places.iter().any(|id| s.places.contains(&id.at()));
            let moved = |r: &RulePlan| {
                matches!(r.action, Action::Move { item, to, .. } if item.at() == *i
                && plan.places.get(to.at()).is_some_and(|to| {
                    s.places.clone().filter_map(|p| plan.places.get(p)).any(|p| p.is_of(to.store))
                }))
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

/// How many jars stand: on its shelves, or by the part of the store that a jar of each size
/// takes.
fn shelves(part: &mut Part, s: &Store, food: &[f64; 12], jar_part: &[f64], p: &Parts) {
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
    let free = 1.0 - food.iter().sum::<f64>() / 12.0;
    for (j, jar) in p.rooms.jars.iter().enumerate() {
        let all: u32 = if s.groups.is_empty() {
            jar_part.get(j).map_or(0, |part| (1.0 / part + 1e-9).floor() as u32)
        } else {
            s.groups.iter().zip(&s.fits).map(|(g, f)| g.count.saturating_mul(f[j].count)).sum()
        };
        let left = (f64::from(all) * free + 1e-9).floor();
        let all = show::whole(f64::from(all));
        let text = if free < 1.0 {
            format!("{all} with nothing else inside, {} beside the other food", show::whole(left))
        } else {
            all
        };
        let how = if s.groups.is_empty() { "; packed box to box, as no shelves are told" } else { "" };
        part.line(format!("room for {} jars", jar.name), format!("{text}{how}"));
    }
}

/// What the jars of the main size that fit a store beside other food hold, L.
fn full_of_jars(plan: &Plan, s: &Store) -> f64 {
    let Some(jar) = plan.jars.first() else { return 0.0 };
    let jars: f64 = plan.places[s.places.clone()]
        .iter()
        .filter_map(|p| {
            let part = p.jar_part.first().copied().filter(|x| x.is_finite() && *x > 0.0)?;
            let other = p.other_food.iter().sum::<f64>() / 12.0;
            Some(((1.0 - other) / part + 1e-9).floor())
        })
        .sum();
    jars * jar.working_l
}

/// The largest evening milking that this family can expect, L, and its words; the
/// only one of the day where all are milked once.
fn evening_milking(p: &Parts) -> (f64, &'static str) {
    let evening = p.animals.iter().any(|a| a.plan.milkings == 2);
    let peak = |a: &super::super::check::Animal| {
        let curves = a.plan.curves.iter().flat_map(|c| c.yield_kg.iter().enumerate());
        match (a.plan.milkings, evening) {
            (2, _) => curves.fold(0.0f64, |m, (_, y)| m.max(*y)) * (1.0 - a.plan.morning_part),
            (_, true) => 0.0,
            (_, false) => curves.fold(0.0f64, |m, (day, y)| m.max(y * a.once_a_day(day))),
        }
    };
    let kg: f64 = p.animals.iter().map(peak).sum();
    (kg / MILK_KG_PER_L, if evening { "an evening milking at the peak" } else { "a milking at the peak" })
}

/// How the largest evening milking chills here, alone and beside a full store,
/// with the water before it.
fn chilling(part: &mut Part, table: &ChillTable, plan: &Plan, full_l: f64, p: &Parts) {
    let sys = p.units;
    let (litres, which) = evening_milking(p);
    if litres <= 0.0 {
        return;
    }
    let soak = plan.cold.soak.as_ref().map(|s| s.at(f64::INFINITY));
    let start_c = soak.map_or(f64::INFINITY, |s| s.end_c);
    let hardest = (0..12).max_by_key(|m| table.by_month[*m]).unwrap_or(0);
    let one = |inside_l: f64| {
        let mut hours = table.at(hardest, start_c, litres, inside_l).hours_to;
        for (h, mark) in hours.iter_mut().zip([MARK_10C, MARK_7C, MARK_4C]) {
            if let Some(s) = soak {
                let i = [MARK_10C, MARK_7C, MARK_4C].iter().position(|m| *m == mark).unwrap_or(0);
                *h = if s.end_c <= mark { s.hours_to[i] } else { s.hours + *h };
            }
        }
        hours
    };
    let say = |h: f64| {
        if h >= LONGEST_H - 0.01 { "never".to_owned() } else { format!("in {}", show::duration(h / 24.0)) }
    };
    let [ten, seven, four] = one(0.0);
    part.line(
        which,
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
    let beside = full_l - litres;
    if beside > 1.0 {
        let cell = table.at(hardest, start_c, litres, beside);
        let [_, _, four] = one(beside);
        let mut text = format!("to {} {}", show::temperature(4.4, sys), say(four));
        if cell.neighbour_days >= 0.01 {
            text = format!(
                "{text}; it costs what stands beside it {} of its life",
                show::duration(cell.neighbour_days)
            );
        }
        part.line("the same beside a full fridge", text);
    }
    // Both are counted from the jar here; the milking itself comes on top.
    let words = if pmo_ok(ten, seven) {
        "kept here by the computed times; it binds licensed dairies, and it is no proof that milk is fit to drink"
    } else {
        "not kept here by the computed times; it binds licensed dairies. An ice bath before the fridge is faster"
    };
    part.line(
        "the dairies' chilling rule",
        format!(
            "{} within 4 h of the start of milking and {} within 2 h of its end: {words}",
            show::temperature(10.0, sys),
            show::temperature(7.2, sys)
        ),
    );
    let strict = if four <= 1.0 {
        "kept"
    } else if four <= 2.0 {
        "not kept, but within two hours, as some states ask of their dairies"
    } else {
        "not kept"
    };
    part.line("the strict rule", format!("{} within 1 h: {strict}", show::temperature(4.4, sys)));
}

/// How long a closed store keeps its cold when the power fails, full and as it
/// is most of the time, in its warmest month.
fn without_power(part: &mut Part, m: &MachinePlan, full_l: f64, p: &Parts) {
    let sys = p.units;
    if m.freezer {
        part.line(
            "when the power fails",
            format!(
                "frozen for about {} full and {} half full, the door shut",
                show::duration(FREEZER_FULL_H / 24.0),
                show::duration(FREEZER_HALF_H / 24.0)
            ),
        );
        return;
    }
    let month = (0..12).max_by(|a, b| m.room_c[*a].total_cmp(&m.room_c[*b])).unwrap_or(0);
    let mark_c = MARK_4C.max(m.set_c[month] + 1.0);
    let hours = |litres: f64| {
        let kj_k = m.kj_k[month] + litres * MILK_KG_PER_L * MILK_KJ_PER_KG_K;
        outage_hours(kj_k, m.ua, m.room_c[month], m.set_c[month], mark_c)
    };
    let say = |h: Option<f64>| h.map_or_else(|| "for good".to_owned(), |h| show::duration(h / 24.0));
    part.line(
        "when the power fails",
        format!(
            "under {} for {} full of milk, {} without milk, the door shut and {} around it; public advice is to \
             discard milk that was above {} for two hours",
            show::temperature(mark_c, sys),
            say(hours(full_l)),
            say(hours(0.0)),
            show::temperature(m.room_c[month], sys),
            show::temperature(4.4, sys)
        ),
    );
}

/// Water before the fridge, and power outages.
pub(super) fn cold(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("Chilling and power");
    let sys = p.units;
    let way = &p.way;
    if let Some(soak) = &plan.cold.soak {
        let cell = soak.at(f64::INFINITY);
        let what = if way.kind == WayKind::Ice { "ice bath" } else { "cold running water" };
        part.line(
            "way",
            format!(
                "{what} for {}, with water of {}; then the fridge",
                show::duration(way.hours / 24.0),
                show::temperature(way.water_c, sys)
            ),
        );
        part.line("milk comes out at", show::temperature(cell.end_c, sys));
        if let Some(ice) = &soak.ice {
            let a_day = p.animals.iter().map(|a| f64::from(a.plan.milkings)).fold(0.0, f64::max);
            let wanted = ice.wanted_kg_l * evening_milking(p).0;
            let each = ice.each_kg.unwrap_or(wanted);
            let mut text = format!(
                "an evening milking at the peak takes {}; a day at the peak {}, and {} can be made",
                show::mass(wanted, sys),
                show::mass(each * a_day, sys),
                show::mass(ice.made_kg, sys)
            );
            if each < wanted * 0.999 {
                text = format!("{text}; with {} the bath is warmer", show::mass(each, sys));
            }
            if each * a_day > ice.made_kg * 1.001 {
                text.push_str("; that is too little");
            }
            part.line("ice", text);
            part.line("ice kept", format!("at most {}", show::mass(ice.kept_kg, sys)));
        }
    } else if way.kind == WayKind::Fan {
        part.line("way", "a fan in the fridge");
    }
    if let Some(o) = &plan.cold.outages {
        let then = if o.discard {
            "what stood too warm is discarded, butter and hard cheese excepted"
        } else {
            "what stood too warm is kept, against public advice"
        };
        part.line(
            "power outages",
            format!(
                "{} a year, {} on average (most are shorter, a few much longer); {then}",
                show::rough(o.rate * 365.25),
                show::duration(o.hours / 24.0)
            ),
        );
    }
    part
}
