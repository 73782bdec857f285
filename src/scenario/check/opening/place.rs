//! Where opening stock stands: stores, jars, room, and how time runs there.

use super::{Thing, World};
use crate::scenario::{
    check::{
        calendar::Run,
        context::{Ctx, list},
    },
    plan::{Container, ItemId, JarId},
    raw::Standing,
};
use crate::{calendar, units::show};

/// The store where it stands.
pub(super) fn store(c: &mut Ctx, w: &World, at: &str, s: &Standing, item: ItemId) -> Option<usize> {
    let plan = &w.items.plans[item.at()];
    let Some(name) = s.place.as_ref().map(super::super::super::raw::Text::get).filter(|t| !t.is_empty())
    else {
        let usual = plan.places.first().map_or(0, |p| w.rooms.places[p.at()].store);
        return Some(usize::from(usual));
    };
    let Some((i, store)) = w.rooms.store(name) else {
        let names: Vec<&str> = w.rooms.stores.iter().map(|s| s.name.as_str()).collect();
        c.unknown(at, "store", name, &names);
        return None;
    };
    // What is left on the counter by need stands there, whatever it is.
    if i == 0 || store.places.clone().any(|p| may_stand(w, p, item)) {
        return Some(i);
    }
    let item_name = w.items.name(item);
    let mut known: Vec<&str> = plan
        .places
        .iter()
        .map(|p| w.rooms.stores[usize::from(w.rooms.places[p.at()].store)].name.as_str())
        .collect();
    known.dedup();
    known.push(w.rooms.stores[0].name.as_str());
    let frozen = store.kind == crate::scenario::plan::PlaceKind::Freezer && plan.sweet;
    let help = if frozen {
        "milk out of the freezer is `frozen milk`".to_owned()
    } else {
        format!("it stands in {}", list(&known))
    };
    c.error(at, format!("{item_name} does not stand in the {}", store.name), help);
    None
}

/// Whether an item may stand in a place: it is one of its own, or it keeps in
/// such a place.
fn may_stand(w: &World, place: usize, item: ItemId) -> bool {
    let plan = &w.items.plans[item.at()];
    let p = &w.rooms.places[place];
    plan.places.iter().any(|of| of.at() == place)
        || (!plan.sweet && plan.keeps[p.kind as usize] > 0.0 && p.takes >> item.0 & 1 == 1)
}

/// The first of a store's places that takes an item.
pub(super) fn first_place(w: &World, store: usize, item: ItemId) -> Option<usize> {
    let places = w.rooms.stores.get(store)?.places.clone();
    places.clone().find(|p| may_stand(w, *p, item)).or_else(|| places.clone().next())
}

/// What a clock of a place gains between two times, days after the start of day
/// 0, by its rates a day of each month.
pub(super) fn run_down(run: Run, rate: &[f64; 12], from: f64, until: f64) -> f64 {
    let (mut t, mut sum) = (from, 0.0);
    while t < until {
        let next = (t.floor() + 1.0).min(until);
        sum += (next - t) * rate[usize::from(calendar::month(run.date_of(t))) % 12];
        t = next;
    }
    sum
}

/// Jars as counted; `Some(None)`: none are said, `None`: something is wrong.
pub(super) fn jars(
    c: &mut Ctx,
    w: &World,
    at: &str,
    s: &Standing,
    item: ItemId,
) -> Option<Option<(JarId, u32)>> {
    let Some(text) = s.jars.as_ref().map(super::super::super::raw::Text::get).filter(|t| !t.is_empty())
    else {
        return Some(None);
    };
    let (number, size) = text.split_once(' ').unwrap_or((text, ""));
    let Some(n) = number.parse::<u32>().ok().filter(|n| (1..=5_000).contains(n)) else {
        c.error(at, format!("`{text}` is no number of jars"), "write such as `jars: 3 half gallon`");
        return None;
    };
    if !matches!(w.items.plans[item.at()].container, Container::Jar { .. }) {
        let message = format!("{} does not stand in jars", w.items.name(item));
        c.error(at, message, "write `how much:` there is of it");
        return None;
    }
    let size = size.trim().trim_end_matches("jars").trim_end_matches("jar").trim();
    let jars = &w.rooms.jars;
    let found = match (size, &jars[..]) {
        ("", [_]) => Some(0),
        (word, _) => jars.iter().position(|j| j.name.eq_ignore_ascii_case(word)),
    };
    let Some(size) = found else {
        let names: Vec<&str> = jars.iter().map(|j| j.name.as_str()).collect();
        if size.is_empty() {
            c.error(
                at,
                "of which jar?",
                format!("write such as `{n} {}`", names.first().unwrap_or(&"quart")),
            );
        } else {
            c.unknown(at, "jar of this family", size, &names);
        }
        return None;
    };
    Some(Some((JarId(size as u8), n)))
}

/// Jars for what was not counted in jars, out of those that are left.
pub(super) fn into_jars(c: &mut Ctx, w: &World, away: &[[u32; 7]], things: &mut Vec<Thing>) {
    let mut free: Vec<i64> = w
        .rooms
        .jars
        .iter()
        .zip(away)
        .map(|(j, away)| i64::from(j.plan.count) - i64::from(away.iter().sum::<u32>()))
        .collect();
    for t in things.iter() {
        let Some((size, n)) = t.jars else { continue };
        free[size.at()] -= i64::from(n);
        if free[size.at()] < 0 {
            let jar = &w.rooms.jars[size.at()];
            c.error(
                &super::under(&t.at, "jars"),
                format!("more {} jars are counted than the {} that are owned", jar.name, jar.plan.count),
                "count full jars, and those with members, under `jars:` too",
            );
            free[size.at()] = 0;
        }
    }
    let mut more = Vec::new();
    for t in things.iter_mut().filter(|t| t.jars.is_none()) {
        let plan = &w.items.plans[t.item.at()];
        let Container::Jar { largest_first } = plan.container else { continue };
        let litres = t.matter.mass / plan.density;
        let jars = &w.rooms.jars;
        let best = if largest_first {
            0
        } else {
            (0..jars.len()).rev().find(|&s| jars[s].plan.working_l + 1e-9 >= litres).unwrap_or(0)
        };
        let mut left = t.matter.mass;
        let whole = t.clone();
        let mut parts: Vec<Thing> = Vec::new();
        // The best size, then larger ones, then smaller ones.
        for size in (0..=best).rev().chain(best + 1..jars.len()) {
            let holds = jars[size].plan.working_l * plan.density;
            let n = ((left / holds - 1e-9).ceil() as i64).min(free[size]).max(0);
            if n == 0 || left <= 1e-9 {
                continue;
            }
            let kg = (holds * n as f64).min(left);
            let matter = whole.matter * (kg / whole.matter.mass);
            parts.push(Thing { matter, jars: Some((JarId(size as u8), n as u32)), ..whole.clone() });
            free[size] -= n;
            left -= kg;
        }
        if left > 1e-6 {
            c.error(
                &t.at,
                format!("there are too few jars for this {}", w.items.name(t.item)),
                "count all jars that are owned under `jars:`, the full ones too",
            );
        }
        if let Some((first, rest)) = parts.split_first() {
            *t = first.clone();
            more.extend_from_slice(rest);
        }
    }
    things.extend(more);
}

/// Warns of what the stores cannot hold; it begins on the counter.
pub(super) fn fits(c: &mut Ctx, w: &World, things: &[Thing]) {
    let month = usize::from(calendar::month(w.run.first));
    let places = &w.rooms.places;
    let mut used: Vec<f64> = places.iter().map(|p| p.other_food[month]).collect();
    for t in things.iter().filter(|t| t.store != 0) {
        let Some(store) = w.rooms.stores.get(t.store) else { continue };
        let container = w.items.plans[t.item.at()].container;
        let mut left = t.matter.mass;
        let mut jars = t.jars.map_or(0, |(_, n)| n);
        for p in store.places.clone() {
            let place = &places[p];
            match (t.jars, container) {
                (Some((size, _)), _) => {
                    let part = place.jar_part[size.at()];
                    let room = ((1.0 - used[p]) / part + 1e-9).max(0.0) as u32;
                    let here = if part.is_finite() { room.min(jars) } else { 0 };
                    used[p] += if here > 0 { part * f64::from(here) } else { 0.0 };
                    jars -= here;
                }
                (None, Container::Volume { litres_per_kg }) => {
                    let here = left.min(((1.0 - used[p]) * place.litres / litres_per_kg).max(0.0));
                    used[p] += here * litres_per_kg / place.litres;
                    left -= here;
                }
                (None, _) => left = 0.0,
            }
        }
        let over = if t.jars.is_some() {
            (jars > 0).then(|| show::counted(f64::from(jars), "jar", "jars"))
        } else {
            (left > 1e-6 * t.matter.mass).then(|| "some of it".to_owned())
        };
        if let Some(over) = over {
            c.warn(
                &t.at,
                format!("the {} has no room for all this {}", store.name, w.items.name(t.item)),
                format!("{over} will stand on the counter at the start; is the store, or the count, right?"),
            );
        }
    }
}
