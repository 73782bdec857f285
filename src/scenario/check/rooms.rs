//! Jars, stores and places.

use super::{
    super::{
        plan::{Container, ItemPlan, MAX_PLACES, MachinePlan, PlaceId, PlaceKind, PlacePlan, fixed},
        raw::{self, Entries, Scenario, TextOr},
    },
    Known,
    climate::{Site, chill_table, machine, rates, surroundings, sweet, temperatures, with_door},
    cold::Way,
    context::{Ctx, entry, under},
    items::{Items, KINDS},
    jars::{Jar, jars_without_a_shelf},
};
use crate::{
    dairy::{
        cream::rise_rate,
        freezing,
        keeping::REFERENCE_C,
        packing::{self, Fit},
    },
    units::{Part, UnitSystem, read_sizes, show},
};

/// Spare cooling of a household fridge, W (worked out from its yearly use; 60 to 100).
const SPARE_W: f64 = 80.0;

/// A group of equal shelves.
#[derive(Clone, Copy, Debug)]
pub(in crate::scenario) struct Shelf {
    pub count: u32,
    pub shape: packing::Shelf,
}

/// A store and its places.
#[derive(Clone, Debug)]
pub(in crate::scenario) struct Store {
    pub name: String,
    pub kind: PlaceKind,
    pub groups: Vec<Shelf>,
    /// How each jar fits on a shelf of each group.
    pub fits: Vec<Vec<Fit>>,
    pub litres: f64,
    pub celsius: [f64; 12],
    /// The machine that cools it, if any.
    pub machine: Option<MachinePlan>,
    /// Electricity that it uses, kWh a day, if it says so.
    pub uses_kwh: Option<f64>,
    pub places: std::ops::Range<usize>,
}

/// All of them.
#[derive(Clone, Debug, Default)]
pub(in crate::scenario) struct Rooms {
    pub jars: Vec<Jar>,
    pub stores: Vec<Store>,
    pub places: Vec<PlacePlan>,
    pub place_names: Vec<String>,
}

impl Rooms {
    /// Stores where milk stands at more than 4.4 °C (40 °F, where the cold chain
    /// of the Grade A Pasteurized Milk Ordinance and public advice draw their
    /// line at 7 and 4.4 °C), with their warmest month.
    pub(super) fn warm_for_milk(&self) -> impl Iterator<Item = (&Store, f64)> {
        let milk = |s: &&Store| {
            s.kind == PlaceKind::Fridge
                && self.places.get(s.places.clone()).is_some_and(|all| {
                    all.iter().any(|p| {
                        p.takes & (1 << fixed::WHOLE.0) != 0 && p.jar_part.iter().any(|j| j.is_finite())
                    })
                })
        };
        let warmest = |s: &Store| s.celsius.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.stores.iter().filter(milk).map(move |s| (s, warmest(s))).filter(|(_, t)| *t > 4.5)
    }

    /// The kitchen's warmth by month, °C: that of its counter.
    pub(super) fn kitchen_c(&self) -> [f64; 12] {
        self.stores.first().map_or([REFERENCE_C[PlaceKind::Counter as usize]; 12], |s| s.celsius)
    }

    /// The store of that name.
    pub(super) fn store(&self, name: &str) -> Option<(usize, &Store)> {
        self.stores.iter().enumerate().find(|(_, s)| s.name.eq_ignore_ascii_case(name))
    }
}

/// Reads stores into places and gives every item its places.
pub(super) fn rooms(
    c: &mut Ctx,
    known: &Known,
    items: &mut Items,
    jars: Vec<Jar>,
    way: &Way,
    raw: &Scenario,
) -> Rooms {
    let mut rooms = Rooms { jars, ..Rooms::default() };
    let empty = Entries::default();
    let stores = raw.stores.as_ref().unwrap_or(&empty);
    let usual = known.library.stores.get("counter").cloned().unwrap_or_default();
    let counter =
        stores.iter().find(|(n, _)| is_counter(n)).map_or_else(|| usual.clone(), |(_, o)| o.over(&usual));
    let room_c = add_counter(c, items, &mut rooms, &counter);
    for (name, own) in stores.iter() {
        if is_counter(name) {
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
        let mut store = preset.map_or_else(|| own.clone(), |p| own.over(p));
        if own.room.is_some() {
            if own.shelves.is_some() {
                c.error(
                    &under(&at, "room"),
                    format!("the {name} has both `shelves` and `room`"),
                    "leave one of them out: shelves tell how many jars stand, room counts the box around each",
                );
            } else {
                // What is written here stands above the shelves of a preset.
                store.shelves = None;
            }
        }
        if way.fan && own.fan.is_none() {
            // A fan put into it, whatever the preset says.
            store.fan = None;
        }
        let first = rooms.stores.len();
        for copy in c.copies(&at, name, &own.how_many) {
            if copy != *name && rooms.store(&copy).is_some() {
                c.error(
                    &under(&at, "how many"),
                    format!("there is a store `{copy}` already"),
                    "give that one another name",
                );
                break;
            }
            add_store(c, items, &mut rooms, (&copy, &at), &store, room_c, way);
            if c.errors_under(&at) {
                // What is wrong with one is wrong with all.
                break;
            }
            if rooms.stores.len() > first + 1 {
                let places = rooms.stores.last().map_or(0..0, |s| s.places.clone());
                rooms.places[places].iter_mut().for_each(|p| p.alike = Some(first as u16));
            }
        }
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
                // The counter is for what belongs there; for the rest it is the last resort.
                if place.kind == *kind && place.takes & (1 << i) != 0 {
                    places.push(PlaceId(p as u8));
                }
            }
        }
        items.plans[i].places = places;
    }
    rooms
}

fn is_counter(name: &str) -> bool {
    name.eq_ignore_ascii_case("counter")
}

fn add_counter(c: &mut Ctx, items: &Items, rooms: &mut Rooms, raw: &raw::Store) -> [f64; 12] {
    let (celsius, swing) = temperatures(c, "stores.counter", PlaceKind::Counter, raw);
    rooms.places.push(PlacePlan {
        kind: PlaceKind::Counter,
        store: 0,
        alike: None,
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
        machine: None,
        uses_kwh: None,
        places: 0..1,
    });
    celsius
}

fn add_store(
    c: &mut Ctx,
    items: &Items,
    rooms: &mut Rooms,
    (name, at): (&str, &str),
    raw: &raw::Store,
    room_c: [f64; 12],
    way: &Way,
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
            &["shelves", "room", "like"],
            "the room in this store",
            "write `shelves: 3 of 24 in x 14 in x 11 in`, `room: 60 L`, or `like:` a preset",
        );
        return;
    }
    let (celsius, swing) = temperatures(c, at, kind, raw);
    let room_c = surroundings(c, at, raw, room_c);
    let opened = c.within(&p("opened"), &raw.opened, 0.0..=500.0, "at most 500 times a day").unwrap_or(0.0);
    let swing = with_door(swing, opened);
    let other_food = other_food(c, &p("other food takes"), raw);
    let takes = takes(c, items, at, kind, raw);
    let fan = c.choice(&p("fan"), &raw.fan, &[("still", false), ("fan", true)]).unwrap_or(way.fan);
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
    let mains = [("mains", true), ("nothing", false)];
    let runs = c.choice(&p("runs on"), &raw.runs_on, &mains).unwrap_or(true);
    let uses_kwh = c.within(&p("uses"), &raw.uses, 0.0..=500.0, "at most 500 kWh a day");
    let cools = matches!(kind, PlaceKind::Fridge | PlaceKind::Freezer);
    let site = Site { set_c: celsius, room_c, spare_w: spare, opened, fan };
    let machine = (cools && runs).then(|| machine(kind == PlaceKind::Freezer, &site, litres, &other_food));
    let chill = warm_milk.then(|| {
        let fits_some = |j: usize| fits.is_empty() || fits.iter().any(|f| f[j].count > 0);
        let jar = (0..rooms.jars.len()).find(|j| fits_some(*j)).map(|j| &rooms.jars[j]);
        chill_table(&site, jar, way)
    });
    let place = |litres: f64, jar_part: Vec<f64>| PlacePlan {
        kind,
        store,
        alike: None,
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
    rooms.stores.push(Store {
        name: name.to_owned(),
        kind,
        groups,
        fits,
        litres,
        celsius,
        machine,
        uses_kwh,
        places,
    });
}

pub(super) fn shelf_litres(s: &Shelf) -> f64 {
    s.shape.width_m * s.shape.depth_m * s.shape.clear_m * 1000.0
}

/// Nobody needs more clear height over one shelf, m (a bound of the program).
const TALL_M: f64 = 1.5;

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
        if clear_m > TALL_M {
            c.warn(
                &at,
                format!(
                    "a clear height of {} ({}) over one shelf is a room's",
                    show::length(clear_m, UnitSystem::Us),
                    show::length(clear_m, UnitSystem::Metric)
                ),
                "is the unit right? Write width, depth and clear height, such as `24 in x 14 in x 11 in`",
            );
        }
        groups.push(Shelf { count, shape: packing::Shelf { width_m, depth_m, clear_m, load_kg: load } });
    }
    groups
}

fn other_food(c: &mut Ctx, at: &str, raw: &raw::Store) -> [f64; 12] {
    // A bound of the program.
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
