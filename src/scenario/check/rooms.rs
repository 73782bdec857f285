//! Jars, stores and places.

use super::{
    super::{
        plan::{
            ChillTable, Container, ItemPlan, JarPlan, MAX_JARS, MAX_PLACES, PlaceId, PlaceKind, PlacePlan,
            fixed,
        },
        raw::{self, Entries, Scenario, TextOr},
    },
    Known,
    context::{Ctx, entry, under},
    items::{Items, KINDS},
};
use crate::{
    dairy::{
        cooling::{self, Fridge, Load, chill, jar_area_m2},
        cream::rise_rate,
        freezing,
        keeping::{Cleanliness, REFERENCE_C, keep_rate, souring_hours, sweet_rate},
        packing::{self, Fit},
    },
    units::{MILK_KG_PER_L, Part, read_sizes},
};

/// Heat leak of a household cabinet, W/K (from memory; 1.2 to 2.0).
const CABINET_W_K: f64 = 1.6;
/// Width of a thermostat's band, K (our default).
const BAND_K: f64 = 1.0;
/// Heat held by air, liner and shelves, kJ/K (our default).
const LINER_KJ_K: f64 = 10.0;
/// Spare cooling of a household fridge, W (worked out from its yearly use; 60 to 100).
const SPARE_W: f64 = 80.0;
/// Empty weight, diameter and height of a half-gallon jar stand in for a jar
/// when a family owns none.
const STAND_IN: (f64, f64, f64, f64) = (1.8, 0.117, 0.236, 0.9);

/// A jar size.
#[derive(Clone, Debug)]
pub(super) struct Jar {
    pub name: String,
    pub plan: JarPlan,
    pub shape: packing::Jar,
    pub glass_kg: f64,
}

/// A group of equal shelves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shelf {
    pub count: u32,
    pub shape: packing::Shelf,
}

/// A store and its places.
#[derive(Clone, Debug)]
pub(super) struct Store {
    pub name: String,
    pub kind: PlaceKind,
    pub groups: Vec<Shelf>,
    /// How each jar fits on a shelf of each group.
    pub fits: Vec<Vec<Fit>>,
    pub litres: f64,
    pub celsius: [f64; 12],
    pub places: std::ops::Range<usize>,
}

/// All of them.
#[derive(Clone, Debug, Default)]
pub(super) struct Rooms {
    pub jars: Vec<Jar>,
    pub stores: Vec<Store>,
    pub places: Vec<PlacePlan>,
    pub place_names: Vec<String>,
}

impl Rooms {
    /// The store of that name.
    pub(super) fn store(&self, name: &str) -> Option<(usize, &Store)> {
        self.stores.iter().enumerate().find(|(_, s)| s.name.eq_ignore_ascii_case(name))
    }
}

/// Reads jars, largest first.
pub(super) fn jars(c: &mut Ctx, known: &Known, raw: &Scenario) -> Vec<Jar> {
    let mut all = Vec::new();
    let empty = Entries::default();
    for (name, jar) in raw.jars.as_ref().unwrap_or(&empty).iter() {
        let at = under("jars", name);
        let own = match jar {
            TextOr::Short(t) => raw::Jar { count: Some(t.get().into()), ..raw::Jar::default() },
            TextOr::Long(j) => j.clone(),
        };
        let preset = known.library.jars.iter().find(|(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, j)| j);
        let p = |key: &str| {
            let full = under(&at, key);
            if matches!(jar, TextOr::Short(_)) { at.clone() } else { full }
        };
        if preset.is_none() && own.holds.is_none() {
            let names: Vec<&str> = known.library.jars.names().collect();
            let near = crate::diagnostics::nearest(name, names.iter().copied());
            let help = near.map_or_else(
                || {
                    "say what it `holds`, how far it is `across`, its `height` and what it `weighs`"
                        .to_owned()
                },
                |n| format!("did you mean `{n}`?"),
            );
            let d = crate::diagnostics::Diagnostic::error(format!("`{name}` is no jar that is known here"));
            c.push_key(&at, d.help(help));
            continue;
        }
        let j = preset.map_or_else(|| own.clone(), |b| own.over(b));
        for (key, there) in
            [("count", j.count.is_some()), ("across", j.across.is_some()), ("height", j.height.is_some())]
        {
            if !there {
                c.missing(
                    &at,
                    &format!("`{key}` of this jar"),
                    "write `{holds: 3 L, across: 15 cm, height: 25 cm, weighs: 1 kg, count: 6}`",
                );
            }
        }
        let count = c.within(&p("count"), &j.count, 0.0..=10_000.0, "a number up to 10000");
        let holds = c.within(&p("holds"), &j.holds, 0.05..=50.0, "a volume from 50 ml to 50 L");
        let filled = c.within(&p("filled to"), &j.filled_to, 0.05..=50.0, "a volume from 50 ml to 50 L");
        // 95 % of what it is sold as (our default).
        let working = filled.or_else(|| holds.map(|h| 0.95 * h));
        let across = c.within(&p("across"), &j.across, 0.02..=1.0, "a length from 2 cm to 1 m");
        let height = c.within(&p("height"), &j.height, 0.02..=1.5, "a length from 2 cm to 1.5 m");
        let glass = c.within(&p("weighs"), &j.weighs, 0.0..=50.0, "a weight up to 50 kg").unwrap_or(0.5);
        let breaks = c.within(&p("breaks"), &j.breaks, 0.0..=0.5, "a chance up to 50 %").unwrap_or(0.0);
        let (Some(count), Some(working), Some(across), Some(height)) = (count, working, across, height)
        else {
            continue;
        };
        if let (Some(f), Some(h)) = (filled, holds) {
            if f > h * 1.1 {
                c.error(
                    &p("filled to"),
                    "more is filled into this jar than it holds",
                    "turn `holds` and `filled to` round",
                );
            }
        }
        all.push(Jar {
            name: name.to_owned(),
            plan: JarPlan { working_l: working, count: count as u32, breaks },
            shape: packing::Jar {
                across_m: across,
                height_m: height,
                filled_kg: working * MILK_KG_PER_L + glass,
            },
            glass_kg: glass,
        });
    }
    all.sort_by(|a, b| b.plan.working_l.total_cmp(&a.plan.working_l).then_with(|| a.name.cmp(&b.name)));
    if all.len() > MAX_JARS {
        c.error(
            "jars",
            format!("{} sizes of jar are more than {MAX_JARS}", all.len()),
            "leave the rarest out",
        );
        all.truncate(MAX_JARS);
    }
    all
}

/// Reads stores into places and gives every item its places.
pub(super) fn rooms(c: &mut Ctx, known: &Known, items: &mut Items, jars: Vec<Jar>, raw: &Scenario) -> Rooms {
    let mut rooms = Rooms { jars, ..Rooms::default() };
    let empty = Entries::default();
    let stores = raw.stores.as_ref().unwrap_or(&empty);
    let usual = known.library.stores.get("counter").cloned().unwrap_or_default();
    let counter = stores.get("counter").map_or_else(|| usual.clone(), |o| o.over(&usual));
    let room_c = add_counter(c, items, &mut rooms, &counter);
    for (name, own) in stores.iter() {
        if name == "counter" {
            continue;
        }
        let at = under("stores", name);
        let preset = match &own.like {
            Some(t) => match c.preset(&under(&at, "like"), "store", t, &known.library.stores) {
                Some(p) => Some(p),
                None => continue,
            },
            // A store that has the very name of a preset is like it.
            None => known.library.stores.get(name),
        };
        let store = preset.map_or_else(|| own.clone(), |p| own.over(p));
        add_store(c, items, &mut rooms, name, &at, &store, room_c);
    }
    if rooms.places.len() > MAX_PLACES {
        c.error(
            "stores",
            format!("{} groups of shelves are more than {MAX_PLACES}", rooms.places.len()),
            "write equal shelves together, such as `3 of 24 in x 14 in x 11 in`",
        );
        rooms.places.truncate(MAX_PLACES);
        rooms.place_names.truncate(MAX_PLACES);
        for s in &mut rooms.stores {
            s.places = s.places.start.min(MAX_PLACES)..s.places.end.min(MAX_PLACES);
        }
    }
    jars_without_a_shelf(c, &rooms);
    for (i, stands_in) in items.stands_in.iter().enumerate() {
        let mut places = Vec::new();
        for kind in stands_in {
            for (p, place) in rooms.places.iter().enumerate() {
                // The counter is always there as the last resort.
                if p > 0 && place.kind == *kind && place.takes & (1 << i) != 0 {
                    places.push(PlaceId(p as u8));
                }
            }
        }
        items.plans[i].places = places;
    }
    rooms
}

fn add_counter(c: &mut Ctx, items: &Items, rooms: &mut Rooms, raw: &raw::Store) -> [f64; 12] {
    let (celsius, swing) = temperatures(c, "stores.counter", PlaceKind::Counter, raw);
    rooms.places.push(PlacePlan {
        kind: PlaceKind::Counter,
        store: 0,
        litres: f64::INFINITY,
        jar_part: vec![0.0; rooms.jars.len()],
        other_food: [0.0; 12],
        keep_rate: rates(PlaceKind::Counter, &celsius, swing),
        sweet_rate: celsius.map(|t| sweet(t, swing)),
        rise_rate: celsius.map(rise_rate),
        takes: (0..items.names.len()).fold(0, |m, i| m | 1 << i),
        freeze_kg_per_day: f64::INFINITY,
        chill: None,
    });
    rooms.place_names.push("counter".into());
    rooms.stores.push(Store {
        name: "counter".into(),
        kind: PlaceKind::Counter,
        groups: Vec::new(),
        fits: Vec::new(),
        litres: f64::INFINITY,
        celsius,
        places: 0..1,
    });
    celsius
}

/// Coldest, warmest and usual temperature by kind of place, °C.
fn usual_celsius(kind: PlaceKind) -> (f64, f64, f64) {
    match kind {
        PlaceKind::Counter => (-10.0, 45.0, REFERENCE_C[0]),
        PlaceKind::Fridge => (-1.0, 15.0, REFERENCE_C[1]),
        PlaceKind::Freezer => (-40.0, -5.0, REFERENCE_C[2]),
        PlaceKind::Ageing => (0.0, 25.0, REFERENCE_C[3]),
        PlaceKind::Pantry => (-5.0, 35.0, 16.0),
    }
}

fn temperatures(c: &mut Ctx, at: &str, kind: PlaceKind, raw: &raw::Store) -> ([f64; 12], f64) {
    let (coldest, warmest, usual) = usual_celsius(kind);
    let bounds = format!("a temperature from {coldest} °C to {warmest} °C for this kind of store");
    let base = c.within(&under(at, "at"), &raw.at, coldest..=warmest, &bounds).unwrap_or(usual);
    let months = raw.at_by_month.clone().unwrap_or_default();
    let celsius = c.by_month(&under(at, "at by month"), &months, base, |c, at, q| {
        c.within(at, &Some(q.clone()), coldest..=warmest, &bounds)
    });
    let swing = c.within(&under(at, "swings"), &raw.swings, 0.0..=10.0, "a swing up to 10 °C (18 °F)");
    (celsius, swing.unwrap_or(0.0))
}

fn rates(kind: PlaceKind, celsius: &[f64; 12], swing: f64) -> [f64; 12] {
    celsius.map(|t| keep_rate(REFERENCE_C[kind as usize], t, swing))
}

/// The law of the cold bacteria, and above 12 °C that of the souring ones where
/// it is faster, measured against the life of ordinary clean milk.
fn sweet(celsius: f64, swing: f64) -> f64 {
    let cold = sweet_rate(celsius, swing);
    if celsius <= 12.0 {
        return cold;
    }
    cold.max(Cleanliness::Ordinary.mean_days() * 24.0 / souring_hours(celsius))
}

fn add_store(
    c: &mut Ctx,
    items: &Items,
    rooms: &mut Rooms,
    name: &str,
    at: &str,
    raw: &raw::Store,
    room_c: [f64; 12],
) {
    let p = |key: &str| under(at, key);
    let kind = c.choice(&p("kind"), &raw.kind, &KINDS).unwrap_or(PlaceKind::Fridge);
    if kind == PlaceKind::Counter {
        c.error(
            &p("kind"),
            "there is one counter, and it is always there",
            "set it with `counter: {at: 70 °F}`",
        );
        return;
    }
    let load = c
        .within(&p("shelf load"), &raw.shelf_load, 0.5..=5000.0, "a weight from 0.5 to 5000 kg")
        .unwrap_or(f64::INFINITY);
    let groups = shelves(c, &p("shelves"), raw, load);
    let room = c.within(&p("room"), &raw.room, 1.0..=50_000.0, "a room from 1 L to 50000 L");
    if groups.is_empty() && raw.shelves.is_none() && raw.room.is_none() {
        c.missing(
            at,
            "the room in this store",
            "write `shelves: 3 of 24 in x 14 in x 11 in`, `room: 60 L`, or `like:` a preset",
        );
        return;
    }
    let (celsius, swing) = temperatures(c, at, kind, raw);
    let other_food = other_food(c, &p("other food takes"), raw);
    let takes = takes(c, items, at, kind, raw);
    let fan = c.choice(&p("fan"), &raw.fan, &[("still", false), ("fan", true)]).unwrap_or(false);
    let spare = c
        .within(&p("spare cooling"), &raw.spare_cooling, 1.0..=10_000.0, "a power from 1 to 10000 W")
        .unwrap_or(SPARE_W);
    let litres: f64 = match room {
        Some(r) if groups.is_empty() => r,
        _ => groups.iter().map(|g| f64::from(g.count) * shelf_litres(g)).sum(),
    };
    let freeze =
        match (kind, c.within(&p("freezes a day"), &raw.freezes_a_day, 0.1..=1000.0, "0.1 to 1000 kg")) {
            (PlaceKind::Freezer, Some(kg)) => kg,
            (PlaceKind::Freezer, None) => freezing::pace_kg_per_day(litres),
            _ => f64::INFINITY,
        };
    let warm_milk = kind == PlaceKind::Fridge && takes & (1 << fixed::WHOLE.0) != 0;
    let store = rooms.stores.len() as u16;
    let first = rooms.places.len();
    let all = rooms.jars.iter();
    let fits: Vec<Vec<Fit>> =
        groups.iter().map(|g| all.clone().map(|j| packing::fit(&g.shape, &j.shape)).collect()).collect();
    let chill = warm_milk.then(|| {
        let fridge = Fridge {
            set_c: mean(&celsius),
            ua: CABINET_W_K,
            room_c: mean(&room_c).max(mean(&celsius)),
            spare_w: spare,
            band_k: BAND_K,
            air_kj_k: LINER_KJ_K,
            h: if fan { cooling::H_FAN } else { cooling::H_STILL_AIR },
        };
        let fits_some = |j: usize| fits.is_empty() || fits.iter().any(|f| f[j].count > 0);
        let jar = (0..rooms.jars.len()).find(|j| fits_some(*j)).map(|j| &rooms.jars[j]);
        chill_table(&fridge, jar)
    });
    let place = |litres: f64, jar_part: Vec<f64>| PlacePlan {
        kind,
        store,
        litres,
        jar_part,
        other_food,
        keep_rate: rates(kind, &celsius, swing),
        sweet_rate: celsius.map(|t| sweet(t, swing)),
        rise_rate: celsius.map(rise_rate),
        takes,
        freeze_kg_per_day: freeze,
        chill: chill.clone(),
    };
    if groups.is_empty() {
        // Without shelves a jar takes the box around it.
        let part = |j: &Jar| {
            let box_l = j.shape.across_m.powi(2) * j.shape.height_m * 1000.0;
            if box_l <= litres { box_l / litres } else { f64::INFINITY }
        };
        let parts = rooms.jars.iter().map(part).collect();
        rooms.places.push(place(litres, parts));
        rooms.place_names.push(name.to_owned());
    }
    for (i, group) in groups.iter().enumerate() {
        let part = |f: &Fit| {
            if f.count == 0 { f64::INFINITY } else { 1.0 / (f64::from(f.count) * f64::from(group.count)) }
        };
        let parts = fits[i].iter().map(part).collect();
        rooms.places.push(place(f64::from(group.count) * shelf_litres(group), parts));
        let many = if groups.len() > 1 { format!("{name}, shelves {}", i + 1) } else { name.to_owned() };
        rooms.place_names.push(many);
    }
    let own = &rooms.places[first..];
    let none_fits = own.iter().all(|p| p.jar_part.iter().all(|f| f.is_infinite()));
    if warm_milk && none_fits && !rooms.jars.is_empty() {
        c.warn(
            at,
            format!("no jar of this family fits into the {name}"),
            "measure its shelves again, or use smaller jars",
        );
    }
    let places = first..rooms.places.len();
    rooms.stores.push(Store { name: name.to_owned(), kind, groups, fits, litres, celsius, places });
}

fn mean(v: &[f64; 12]) -> f64 {
    v.iter().sum::<f64>() / 12.0
}

pub(super) fn shelf_litres(s: &Shelf) -> f64 {
    s.shape.width_m * s.shape.depth_m * s.shape.clear_m * 1000.0
}

fn shelves(c: &mut Ctx, at: &str, raw: &raw::Store, load: f64) -> Vec<Shelf> {
    let mut groups = Vec::new();
    let Some(all) = &raw.shelves else { return groups };
    for (i, text) in all.each() {
        let at = i.map_or_else(|| at.to_owned(), |i| entry(at, i));
        let words = text.get();
        let (count, sizes) = match words.split_once(" of ") {
            Some((n, rest)) => match n.trim().parse::<u32>() {
                Ok(n) if (1..=100).contains(&n) => (n, rest),
                _ => {
                    c.error(
                        &at,
                        format!("`{}` is no number of shelves", n.trim()),
                        "write from 1 to 100 shelves, such as `3 of 24 in x 14 in x 11 in`",
                    );
                    continue;
                }
            },
            None => (1, words),
        };
        let Some([width_m, depth_m, clear_m]) = c.take(&at, read_sizes::<3>(sizes)) else { continue };
        if [width_m, depth_m, clear_m].iter().any(|s| !(0.02..=10.0).contains(s)) {
            c.error(
                &at,
                "a shelf of this size is out of reason",
                "write width, depth and clear height from 2 cm to 10 m",
            );
            continue;
        }
        groups.push(Shelf { count, shape: packing::Shelf { width_m, depth_m, clear_m, load_kg: load } });
    }
    groups
}

fn other_food(c: &mut Ctx, at: &str, raw: &raw::Store) -> [f64; 12] {
    const MOST: f64 = 0.98;
    let bounded = |c: &mut Ctx, at: &str, text: &str| {
        let part = c.words::<Part>(at, text)?;
        if part > MOST {
            c.error(at, "other food leaves no room at all", "write at most 98 %");
            return None;
        }
        Some(part)
    };
    match &raw.other_food_takes {
        None => [0.0; 12],
        Some(TextOr::Short(t)) => [bounded(c, at, t.get()).unwrap_or(0.0); 12],
        Some(TextOr::Long(months)) => c.by_month(at, months, 0.0, |c, at, t| bounded(c, at, t.get())),
    }
}

/// Items that may stand here: those named, or all that keep in such a place.
/// By-products in a bucket take no cold room.
fn takes(c: &mut Ctx, items: &Items, at: &str, kind: PlaceKind, raw: &raw::Store) -> u64 {
    let keeps = |p: &ItemPlan| {
        let cold_milk = p.sweet && kind == PlaceKind::Fridge;
        p.container != Container::Bucket && (cold_milk || (!p.sweet && p.keeps[kind as usize] > 0.0))
    };
    let usual = items.plans.iter().enumerate().filter(|(_, p)| keeps(p)).fold(0u64, |m, (i, _)| m | 1 << i);
    let Some(list) = &raw.takes else { return usual };
    let mut mask = 0;
    for (i, t) in list.iter().enumerate() {
        let at = entry(&under(at, "takes"), i);
        // A product that this family does not make may be named here.
        let ids = match items.known(t.get()) {
            Some(ids) => ids,
            None if items.is_unmade(t.get()) => continue,
            None => items.find(c, &at, t.get()).unwrap_or_default(),
        };
        mask |= Items::mask(&ids);
    }
    let frozen_only = kind == PlaceKind::Freezer || kind == PlaceKind::Ageing;
    if frozen_only { mask & usual } else { mask }
}

/// A jar that stands in no fridge is a slip of the tape measure.
fn jars_without_a_shelf(c: &mut Ctx, rooms: &Rooms) {
    let fridges = || rooms.places.iter().filter(|p| p.kind == PlaceKind::Fridge);
    if fridges().next().is_none() {
        return;
    }
    for (j, jar) in rooms.jars.iter().enumerate() {
        if jar.plan.count == 0 || fridges().any(|p| p.jar_part[j].is_finite()) {
            continue;
        }
        let shelves = || rooms.stores.iter().filter(|s| s.kind == PlaceKind::Fridge).flat_map(|s| &s.groups);
        let clear = shelves().map(|g| g.shape.clear_m).fold(0.0, f64::max);
        let tall = clear > 0.0 && jar.shape.height_m > clear;
        let message = if tall {
            format!("the {} jar is taller than every shelf of every fridge", jar.name)
        } else {
            format!("the {} jar finds no place on any shelf of any fridge", jar.name)
        };
        c.error(
            &under("jars", &jar.name),
            message,
            if tall {
                "raise a shelf, use smaller jars, or measure the clear height again"
            } else {
                "check the sizes and the load of the shelves"
            },
        );
    }
}

fn chill_table(fridge: &Fridge, jar: Option<&Jar>) -> ChillTable {
    let (working, across, height, glass) =
        jar.map_or(STAND_IN, |j| (j.plan.working_l, j.shape.across_m, j.shape.height_m, j.glass_kg));
    let loads_l = vec![1.0, 2.0, 4.0, 6.0, 9.0, 12.0, 18.0, 24.0];
    let inside_l = vec![0.0, 15.0, 40.0, 80.0];
    let mut t = ChillTable {
        loads_l,
        inside_l,
        hours_to_4c: Vec::new(),
        hours_to_10c: Vec::new(),
        hours_to_7c: Vec::new(),
        life_days: Vec::new(),
    };
    for litres in &t.loads_l {
        for inside in &t.inside_l {
            let load = Load {
                litres: *litres,
                jars: (litres / working).ceil().max(1.0) as u32,
                jar_area_m2: jar_area_m2(across, height),
                jar_glass_kg: glass,
                start_c: cooling::MILK_IN_C,
            };
            let chilled = chill(fridge, &load, *inside);
            t.hours_to_4c.push(chilled.hours_to_4c);
            t.hours_to_10c.push(chilled.hours_to_10c);
            t.hours_to_7c.push(chilled.hours_to_7c);
            t.life_days.push(chilled.life_days_used_beyond.max(0.0));
        }
    }
    t
}
