//! Lots, and the places, jars and clocks they live by.
//!
//! Lots of one item in one place form a queue, oldest first. Each place keeps
//! running clocks; a lot holds the reading at which it is due, so that no lot
//! is touched until something happens to it.

mod due;
mod jars;
mod lot;
mod lots;
mod power;
mod put;
mod room;
mod stock;
mod take;

use std::cell::Cell;

use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{
    Container, ItemId, ItemPlan, JarId, MAX_ITEMS, MAX_JARS, MAX_PLACES, PLACE_KINDS, PlaceId, PlaceKind,
    PlacePlan, Plan, fixed,
};

use super::watch::Stored;
pub(crate) use lot::{Choice, Lot, Parcel, Taken};
use lots::Lots;
use room::whole_jars;

/// The counter is always place 0.
pub(crate) const COUNTER: PlaceId = PlaceId(0);

/// Mass that counts as nothing, kg.
pub(crate) const CRUMB: f64 = 1e-9;

/// Relative slack of comparisons with thresholds.
pub(crate) const SLACK: f64 = 1e-9;

const NO_JAR: u8 = u8::MAX;

/// Milk drawn longer ago than this, days, is not warm from the udder (our default).
const WARM_DAYS: f64 = 2.0;

/// Never more than this part of what is taken stays in the jars (our default).
const MOST_FILM: f64 = 0.2;

/// One reading of each clock a place (or what it gains a day).
#[derive(Clone, Copy, Debug)]
struct Clocks {
    sweet: [f64; MAX_PLACES],
    keep: [f64; MAX_PLACES],
    rise: [f64; MAX_PLACES],
}

impl Clocks {
    const ZERO: Self = Self { sweet: [0.0; MAX_PLACES], keep: [0.0; MAX_PLACES], rise: [0.0; MAX_PLACES] };
}

/// Lots of one item in one place, oldest first.
#[derive(Debug)]
struct Queue {
    lots: Lots,
    /// Never after the reading at which the first of them is due; may be
    /// before it once that one is gone.
    next_due: f64,
    /// When the first of them may be eaten.
    next_ready: f64,
    /// Mass that may not be eaten yet.
    unready: f64,
    /// Days that the item keeps in this place at its reference temperature.
    keeps: f64,
}

/// What is asked of an item all day long.
#[derive(Clone, Copy, Debug)]
struct Facts {
    sweet: bool,
    /// Litres of room per kg of what is wrapped; `None` for jars and buckets.
    litres_per_kg: Option<f64>,
    /// What a jar of each size holds of it, kg.
    jar_kg: [f64; MAX_JARS],
}

/// All lots, places and jars of a trial.
#[derive(Debug)]
pub(crate) struct Larder<'p> {
    plan: &'p Plan,
    places: usize,
    queues: Vec<Queue>,
    facts: Vec<Facts>,
    /// Items that live by the sweet clock.
    sweets: u64,
    /// Items that belong in the cold, and not on the counter as well.
    cold: u64,
    /// Items that have a better place than the counter.
    homed: u64,
    /// The first of all `next_ready`.
    ready_at: f64,
    /// Items of which some may not be eaten yet: of all others everything may.
    waiting: u64,
    /// Items of which there is something anywhere, a bit each.
    present: u64,
    /// Items in each place, a bit each.
    occupied: [u64; MAX_PLACES],
    /// Places that hold each item, a bit each.
    stands_in: [u32; MAX_ITEMS],
    /// All mass of each item.
    item_mass: [f64; MAX_ITEMS],
    jars_in: [[u32; MAX_JARS]; MAX_PLACES],
    litres_in: [f64; MAX_PLACES],
    /// Litres taken by what is kept apart from the lots.
    apart_l: [f64; MAX_PLACES],
    /// Part of each place in use; not a number while it has to be worked out
    /// anew.
    used: [Cell<f64>; MAX_PLACES],
    /// Fridges, a bit each, and the jars of each size in all of them.
    fridges: u32,
    fridge_jars: [u32; MAX_JARS],
    /// Jar sizes of the plan.
    sizes: usize,
    /// Places of each kind.
    by_kind: [Vec<PlaceId>; PLACE_KINDS],
    /// Places of each store, and the litres of them all.
    stores: Vec<(Vec<PlaceId>, f64)>,
    /// Bounds below the readings of the sweet and the keeping clock of each
    /// place at which something is next due there.
    soonest: [[f64; 2]; MAX_PLACES],
    /// Never after the time at which anything is next due anywhere, days.
    due_at: f64,
    /// There may be warm milk somewhere.
    pub warm: bool,
    owned: [u32; MAX_JARS],
    clean: [u32; MAX_JARS],
    dirty: [u32; MAX_JARS],
    /// Out of the house with members, by size, and by the day of the week on
    /// which they come back.
    away: [[u32; MAX_JARS]; 7],
    clocks: Clocks,
    /// What the clocks gain a day, this month.
    rates: Clocks,
    /// Days in which the sweet and the keeping clock of each place gain one.
    paces: [[f64; 2]; MAX_PLACES],
    /// Part of each place that other food takes, this month.
    other_food: [f64; MAX_PLACES],
    litres: [f64; MAX_PLACES],
    /// The month of the rates; none yet at the start of a trial.
    month: Option<u8>,
    freeze_left: [f64; MAX_PLACES],
    /// Milk that stays in jars as they are emptied, since it was last booked.
    pub film: Matter,
    /// Now, days since the start of day 0.
    pub now: f64,
}

/// Places that a test holds for.
fn places_where(plan: &Plan, test: impl Fn(&PlacePlan) -> bool) -> Vec<PlaceId> {
    let all = plan.places.iter().zip(0..);
    all.filter(|(p, _)| test(p)).map(|(_, i)| PlaceId(i)).collect()
}

/// Items that a test holds for.
fn items_where(plan: &Plan, test: impl Fn(&ItemPlan) -> bool) -> u64 {
    plan.items.iter().zip(0..).fold(0, |all, (item, i)| all | u64::from(test(item)) << i)
}

impl<'p> Larder<'p> {
    pub(crate) fn new(plan: &'p Plan) -> Self {
        let places = plan.places.len();
        let queue = |item: &ItemPlan, place: &PlacePlan| Queue {
            lots: Lots::default(),
            next_due: f64::INFINITY,
            next_ready: f64::INFINITY,
            unready: 0.0,
            keeps: item.keeps[place.kind as usize],
        };
        let facts = |item: &ItemPlan| {
            let mut jar_kg = [0.0; MAX_JARS];
            for (kg, jar) in jar_kg.iter_mut().zip(&plan.jars) {
                *kg = jar.working_l * item.density;
            }
            let litres_per_kg = match item.container {
                Container::Volume { litres_per_kg } => Some(litres_per_kg),
                _ => None,
            };
            Facts { sweet: item.sweet, litres_per_kg, jar_kg }
        };
        let mut litres = [0.0; MAX_PLACES];
        for (litres, p) in litres.iter_mut().zip(&plan.places) {
            *litres = p.litres;
        }
        Self {
            plan,
            places,
            queues: plan
                .items
                .iter()
                .flat_map(|item| plan.places.iter().map(move |place| queue(item, place)))
                .collect(),
            facts: plan.items.iter().map(facts).collect(),
            sweets: items_where(plan, |item| item.sweet),
            cold: items_where(plan, |item| {
                item.places.iter().any(|p| plan.places[p.at()].kind == PlaceKind::Fridge)
                    && !item.places.contains(&COUNTER)
            }),
            homed: items_where(plan, |item| item.places.first().is_some_and(|&p| p != COUNTER)),
            ready_at: f64::INFINITY,
            waiting: 0,
            present: 0,
            occupied: [0; MAX_PLACES],
            stands_in: [0; MAX_ITEMS],
            item_mass: [0.0; MAX_ITEMS],
            jars_in: [[0; MAX_JARS]; MAX_PLACES],
            litres_in: [0.0; MAX_PLACES],
            apart_l: [0.0; MAX_PLACES],
            used: [const { Cell::new(f64::NAN) }; MAX_PLACES],
            fridges: plan
                .places
                .iter()
                .zip(0_u32..)
                .fold(0, |all, (p, i)| all | u32::from(p.kind == PlaceKind::Fridge) << i),
            fridge_jars: [0; MAX_JARS],
            sizes: plan.jars.len().min(MAX_JARS),
            by_kind: std::array::from_fn(|kind| places_where(plan, |p| p.kind as usize == kind)),
            stores: (0..plan.places.iter().map(|p| usize::from(p.store) + 1).max().unwrap_or(0))
                .map(|store| {
                    let here = places_where(plan, |p| p.is_of(store as u16) && p.litres.is_finite());
                    let litres = here.iter().map(|p| plan.places[p.at()].litres).sum();
                    (here, litres)
                })
                .collect(),
            soonest: [[f64::INFINITY; 2]; MAX_PLACES],
            due_at: f64::INFINITY,
            warm: false,
            owned: [0; MAX_JARS],
            clean: [0; MAX_JARS],
            dirty: [0; MAX_JARS],
            away: [[0; MAX_JARS]; 7],
            clocks: Clocks::ZERO,
            rates: Clocks::ZERO,
            paces: [[0.0; 2]; MAX_PLACES],
            other_food: [0.0; MAX_PLACES],
            litres,
            month: None,
            freeze_left: [0.0; MAX_PLACES],
            film: Matter::NONE,
            now: 0.0,
        }
    }

    /// Empties everything for a new trial; keeps the buffers.
    pub(crate) fn reset(&mut self) {
        for q in &mut self.queues {
            q.lots.clear();
            q.next_due = f64::INFINITY;
            q.next_ready = f64::INFINITY;
            q.unready = 0.0;
        }
        self.ready_at = f64::INFINITY;
        self.waiting = 0;
        self.present = 0;
        self.occupied = [0; MAX_PLACES];
        self.stands_in = [0; MAX_ITEMS];
        self.item_mass = [0.0; MAX_ITEMS];
        self.jars_in = [[0; MAX_JARS]; MAX_PLACES];
        self.fridge_jars = [0; MAX_JARS];
        self.litres_in = [0.0; MAX_PLACES];
        self.apart_l = [0.0; MAX_PLACES];
        self.measure_all();
        self.soonest = [[f64::INFINITY; 2]; MAX_PLACES];
        self.due_at = f64::INFINITY;
        self.warm = false;
        self.clean = [0; MAX_JARS];
        self.dirty = [0; MAX_JARS];
        self.away = [[0; MAX_JARS]; 7];
        for (i, jar) in self.plan.jars.iter().enumerate() {
            self.owned[i] = jar.count;
            self.clean[i] = jar.count;
        }
        self.clocks = Clocks::ZERO;
        self.month = None;
        self.film = Matter::NONE;
        self.now = 0.0;
    }

    /// Begins a day: its month's rates and food, and a new freezing pace.
    pub(crate) fn begin_day(&mut self, month: u8) {
        for (left, p) in self.freeze_left.iter_mut().zip(&self.plan.places) {
            *left = p.freeze_kg_per_day;
        }
        if self.month == Some(month) {
            return;
        }
        self.month = Some(month);
        // Other rates: what is next due is worked out anew.
        self.due_at = f64::NEG_INFINITY;
        let month = usize::from(month);
        for (i, p) in self.plan.places.iter().enumerate() {
            self.rates.sweet[i] = p.sweet_rate[month];
            self.rates.keep[i] = p.keep_rate[month];
            self.rates.rise[i] = p.rise_rate[month];
            self.paces[i] =
                [p.sweet_rate[month], p.keep_rate[month]].map(|r| r.max(f64::MIN_POSITIVE).recip());
            self.other_food[i] = p.other_food[month];
        }
        self.measure_all();
    }

    /// Lets time pass until `to` (days); clocks run at the month's rates.
    pub(crate) fn advance(&mut self, to: f64) {
        let dt = to - self.now;
        if dt <= 0.0 {
            return;
        }
        // By fours, for the sake of the compiler; where there is no place the rate is 0.
        let fours = self.places.div_ceil(4);
        run(&mut self.clocks.sweet, &self.rates.sweet, dt, fours);
        run(&mut self.clocks.keep, &self.rates.keep, dt, fours);
        run(&mut self.clocks.rise, &self.rates.rise, dt * 24.0, fours);
        self.now = to;
    }

    #[inline]
    fn q(&self, item: ItemId, place: PlaceId) -> usize {
        item.at() * self.places + place.at()
    }
}

/// Clocks of so many fours of places run for a time.
#[inline(always)]
fn run(clock: &mut [f64; MAX_PLACES], rate: &[f64; MAX_PLACES], dt: f64, fours: usize) {
    let (clock, rate) = (clock.as_chunks_mut::<4>().0, rate.as_chunks::<4>().0);
    for (c, r) in clock.iter_mut().zip(rate).take(fours) {
        for i in 0..4 {
            c[i] += dt * r[i];
        }
    }
}
