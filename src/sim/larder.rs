//! Lots, and the places, jars and clocks they live by.
//!
//! Lots of one item in one place form a queue, oldest first. Each place keeps
//! running clocks; a lot holds the reading at which it is due, so that no lot
//! is touched until something happens to it.

use std::cell::Cell;
use std::collections::VecDeque;

use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{
    Container, ItemId, ItemPlan, MAX_ITEMS, MAX_JARS, MAX_PLACES, PLACE_KINDS, PlaceId, PlaceKind, PlacePlan,
    Plan,
};

/// The counter is always place 0.
pub(crate) const COUNTER: PlaceId = PlaceId(0);
/// Mass that counts as nothing, kg.
pub(crate) const CRUMB: f64 = 1e-9;
/// Relative slack of comparisons with thresholds.
pub(crate) const SLACK: f64 = 1e-9;
const NO_JAR: u8 = u8::MAX;
/// Never more than this part of what is taken stays in the jars.
const MOST_FILM: f64 = 0.2;

/// Some matter of one item in one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lot {
    pub matter: Matter,
    /// When it was drawn (or made), days.
    pub drawn: f64,
    /// When it was set to rest, days.
    pub rested: f64,
    /// Reading of the place's clock at which its life ends.
    pub due: f64,
    /// Reading of the place's rise clock at which rising began.
    pub rise_from: f64,
    /// When it may be eaten, days.
    pub ready: f64,
    /// It may be eaten: `ready` has passed and ageing is done.
    pub settled: bool,
    /// Part of the mass that will be lost as water when ready.
    pub ageing_loss: f64,
    /// Day on which it came into the house.
    pub day: u32,
    pub jars: u32,
    pub jar: u8,
    pub species: Species,
    /// From a contaminated milking.
    pub foul: bool,
    /// Has turned foul; found when opened.
    pub turned: bool,
}

/// What is to be put away.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parcel {
    pub item: ItemId,
    pub matter: Matter,
    pub drawn: f64,
    pub rested: f64,
    /// Life left: days of sweet life at 4 °C for sweet items, else the part
    /// (0 to 1) of the item's own keeping time.
    pub life: f64,
    /// Hours risen at 4 °C so far.
    pub risen: f64,
    pub ready: f64,
    pub ageing_loss: f64,
    pub day: u32,
    pub species: Species,
    pub foul: bool,
}

/// Which lots may be taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Choice {
    /// Drawn at this time or later.
    pub drawn_from: f64,
    /// Not of this day.
    pub not_of_day: Option<u32>,
    /// Only what may be eaten now.
    pub ready: bool,
}

impl Choice {
    /// Anything that may be eaten.
    pub const READY: Self = Self { drawn_from: f64::NEG_INFINITY, not_of_day: None, ready: true };
    /// Anything at all.
    pub const ANY: Self = Self { drawn_from: f64::NEG_INFINITY, not_of_day: None, ready: false };
}

/// What was taken, as one pool.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Taken {
    pub matter: Matter,
    /// Found foul on opening, to be charged as such.
    pub foul: Matter,
    /// Oldest drawn time of the pool.
    pub drawn: f64,
    /// Shortest life left of the pool (as in [`Parcel::life`]).
    pub life: f64,
    /// Some of it came from a contaminated milking.
    pub tainted: bool,
    pub species: Species,
}

impl Taken {
    pub(crate) const NOTHING: Self = Self {
        matter: Matter::NONE,
        foul: Matter::NONE,
        drawn: f64::INFINITY,
        life: f64::INFINITY,
        tainted: false,
        species: Species::Cow,
    };

    pub(crate) fn join(&mut self, other: &Self) {
        if other.matter.mass > 0.0 {
            self.species = other.species;
        }
        self.matter += other.matter;
        self.foul += other.foul;
        self.drawn = self.drawn.min(other.drawn);
        self.life = self.life.min(other.life);
        self.tainted |= other.tainted;
    }
}

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
    lots: VecDeque<Lot>,
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
    /// The first of all `next_ready`.
    ready_at: f64,
    /// Items of which some may not be eaten yet.
    waiting: u64,
    /// Items in each place, a bit each.
    occupied: [u64; MAX_PLACES],
    /// Places that hold each item, a bit each.
    stands_in: [u32; MAX_ITEMS],
    /// All mass of each item.
    item_mass: [f64; MAX_ITEMS],
    jars_in: [[u32; MAX_JARS]; MAX_PLACES],
    litres_in: [f64; MAX_PLACES],
    /// Part of each place in use, other food left out; not a number while it
    /// has to be worked out anew.
    filled: [Cell<f64>; MAX_PLACES],
    /// Places of each kind.
    by_kind: [Vec<PlaceId>; PLACE_KINDS],
    /// Places of each store, and the litres of them all.
    stores: Vec<(Vec<PlaceId>, f64)>,
    /// Bounds below the readings of the sweet and the keeping clock of each
    /// place at which something is next due there.
    soonest: [[f64; 2]; MAX_PLACES],
    owned: [u32; MAX_JARS],
    clean: [u32; MAX_JARS],
    dirty: [u32; MAX_JARS],
    clocks: Clocks,
    /// What the clocks gain a day, this month.
    rates: Clocks,
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

impl<'p> Larder<'p> {
    pub(crate) fn new(plan: &'p Plan) -> Self {
        let places = plan.places.len();
        let queue = |item: &ItemPlan, place: &PlacePlan| Queue {
            lots: VecDeque::new(),
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
            sweets: plan.items.iter().zip(0..).fold(0, |all, (item, i)| all | u64::from(item.sweet) << i),
            ready_at: f64::INFINITY,
            waiting: 0,
            occupied: [0; MAX_PLACES],
            stands_in: [0; MAX_ITEMS],
            item_mass: [0.0; MAX_ITEMS],
            jars_in: [[0; MAX_JARS]; MAX_PLACES],
            litres_in: [0.0; MAX_PLACES],
            filled: [const { Cell::new(0.0) }; MAX_PLACES],
            by_kind: std::array::from_fn(|kind| places_where(plan, |p| p.kind as usize == kind)),
            stores: (0..plan.places.iter().map(|p| usize::from(p.store) + 1).max().unwrap_or(0))
                .map(|store| {
                    let here = places_where(plan, |p| usize::from(p.store) == store && p.litres.is_finite());
                    let litres = here.iter().map(|p| plan.places[p.at()].litres).sum();
                    (here, litres)
                })
                .collect(),
            soonest: [[f64::INFINITY; 2]; MAX_PLACES],
            owned: [0; MAX_JARS],
            clean: [0; MAX_JARS],
            dirty: [0; MAX_JARS],
            clocks: Clocks::ZERO,
            rates: Clocks::ZERO,
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
        self.occupied = [0; MAX_PLACES];
        self.stands_in = [0; MAX_ITEMS];
        self.item_mass = [0.0; MAX_ITEMS];
        self.jars_in = [[0; MAX_JARS]; MAX_PLACES];
        self.litres_in = [0.0; MAX_PLACES];
        for filled in &self.filled {
            filled.set(0.0);
        }
        self.soonest = [[f64::INFINITY; 2]; MAX_PLACES];
        self.clean = [0; MAX_JARS];
        self.dirty = [0; MAX_JARS];
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
        let month = usize::from(month);
        for (i, p) in self.plan.places.iter().enumerate() {
            self.rates.sweet[i] = p.sweet_rate[month];
            self.rates.keep[i] = p.keep_rate[month];
            self.rates.rise[i] = p.rise_rate[month];
            self.other_food[i] = p.other_food[month];
        }
    }

    /// Lets time pass until `to` (days); clocks run at the month's rates.
    pub(crate) fn advance(&mut self, to: f64) {
        let dt = to - self.now;
        if dt <= 0.0 {
            return;
        }
        // By fours, for the sake of the compiler; where there is no place the rate is 0.
        let fours = self.places.div_ceil(4);
        let run = |clock: &mut [f64; MAX_PLACES], rate: &[f64; MAX_PLACES], dt: f64| {
            let (clock, rate) = (clock.as_chunks_mut::<4>().0, rate.as_chunks::<4>().0);
            for (c, r) in clock.iter_mut().zip(rate).take(fours) {
                for i in 0..4 {
                    c[i] += dt * r[i];
                }
            }
        };
        run(&mut self.clocks.sweet, &self.rates.sweet, dt);
        run(&mut self.clocks.keep, &self.rates.keep, dt);
        run(&mut self.clocks.rise, &self.rates.rise, dt * 24.0);
        self.now = to;
    }

    #[inline]
    fn q(&self, item: ItemId, place: PlaceId) -> usize {
        item.at() * self.places + place.at()
    }

    /// The queues of an item that hold something.
    #[inline]
    fn where_is(&self, item: ItemId) -> impl Iterator<Item = usize> + use<> {
        let base = item.at() * self.places;
        let mut mask = self.stands_in[item.at()];
        std::iter::from_fn(move || {
            let place = mask.trailing_zeros() as usize;
            (mask != 0).then(|| {
                mask &= mask - 1;
                base + place
            })
        })
    }

    /// Books a change of mass.
    #[inline]
    fn weigh(&mut self, item: ItemId, kg: f64) {
        self.item_mass[item.at()] += kg;
    }

    /// All mass of an item, kg.
    #[inline]
    pub(crate) fn stock(&self, item: ItemId) -> f64 {
        self.item_mass[item.at()]
    }

    /// Mass of an item that may be eaten, kg.
    #[inline]
    pub(crate) fn stock_ready(&self, item: ItemId) -> f64 {
        let mut ready = self.stock(item);
        for q in self.where_is(item) {
            ready -= self.queues[q].unready;
        }
        ready
    }

    /// Mass of an item that may be eaten and was drawn at a time or later, kg.
    /// Looks at the young end of the queues only.
    pub(crate) fn stock_since(&self, item: ItemId, drawn_from: f64) -> f64 {
        if drawn_from == f64::NEG_INFINITY {
            return self.stock_ready(item);
        }
        let mut sum = 0.0;
        for q in self.where_is(item) {
            let young = self.queues[q].lots.iter().rev().take_while(|l| l.drawn >= drawn_from);
            sum += young.filter(|l| l.settled).map(|l| l.matter.mass).sum::<f64>();
        }
        sum
    }

    /// Mass of a set of items, kg.
    pub(crate) fn stock_mask(&self, mut mask: u64) -> f64 {
        let mut sum = 0.0;
        while mask != 0 {
            sum += self.stock(ItemId(mask.trailing_zeros() as u8));
            mask &= mask - 1;
        }
        sum
    }

    /// When the oldest lot of a set of items was drawn, days; `None` if there is none.
    pub(crate) fn oldest(&self, mut mask: u64) -> Option<f64> {
        let mut oldest = f64::INFINITY;
        while mask != 0 {
            for l in
                self.where_is(ItemId(mask.trailing_zeros() as u8)).filter_map(|q| self.queues[q].lots.front())
            {
                oldest = oldest.min(l.drawn);
            }
            mask &= mask - 1;
        }
        oldest.is_finite().then_some(oldest)
    }

    /// Part of a place in use, other food included; may exceed 1 only by rounding.
    #[inline]
    pub(crate) fn used_part(&self, place: PlaceId) -> f64 {
        if place == COUNTER {
            return 0.0;
        }
        self.other_food[place.at()] + self.filled_part(place)
    }

    /// Part of a place that jars and parcels fill.
    #[inline]
    fn filled_part(&self, place: PlaceId) -> f64 {
        let known = self.filled[place.at()].get();
        if known >= 0.0 { known } else { self.fill(place) }
    }

    /// Works out how full a place is, from its counts, so that rounding never
    /// piles up.
    fn fill(&self, place: PlaceId) -> f64 {
        let p = &self.plan.places[place.at()];
        let mut filled = (self.litres_in[place.at()] / p.litres).max(0.0);
        for (part, &n) in p.jar_part.iter().zip(&self.jars_in[place.at()]) {
            if n > 0 {
                filled += part * f64::from(n);
            }
        }
        self.filled[place.at()].set(filled);
        filled
    }

    /// What fills a place has changed.
    #[inline]
    fn measure(&self, place: PlaceId) {
        self.filled[place.at()].set(f64::NAN);
    }

    /// Litres of cold room in use, other food included.
    pub(crate) fn cold_used_l(&self) -> f64 {
        self.used_l(PlaceKind::Fridge)
    }

    /// Litres of room in use in all places of a kind, other food included.
    pub(crate) fn used_l(&self, kind: PlaceKind) -> f64 {
        let mut sum = 0.0;
        for &p in &self.by_kind[kind as usize] {
            sum += self.used_part(p) * self.litres[p.at()];
        }
        sum
    }

    /// Part of a store's room in use, all its shelf groups together.
    pub(crate) fn fullness(&self, store: u16) -> f64 {
        let Some((places, litres)) = self.stores.get(usize::from(store)) else { return 0.0 };
        let mut used = 0.0;
        for &p in places {
            used += self.used_part(p) * self.litres[p.at()];
        }
        if *litres > 0.0 { used / litres } else { 0.0 }
    }

    /// Items of which there is something.
    pub(crate) fn present(&self) -> u64 {
        self.occupied[..self.places].iter().fold(0, |all, here| all | here)
    }

    /// Something that belongs in the cold stands on the counter for want of room.
    pub(crate) fn has_unplaced(&self) -> bool {
        self.litres_in[0] > CRUMB || self.jars_in[0].iter().any(|&n| n > 0)
    }

    /// Litres of cold room that the unplaced would need.
    pub(crate) fn unplaced_l(&self) -> f64 {
        let mut sum = self.litres_in[0];
        let cold = self.plan.places.iter().filter(|p| p.kind == PlaceKind::Fridge);
        for (size, &n) in self.jars_in[0].iter().enumerate().filter(|(_, n)| **n > 0) {
            let each = cold
                .clone()
                .map(|p| p.jar_part[size] * p.litres)
                .find(|l| l.is_finite())
                .unwrap_or(self.plan.jars[size].working_l);
            sum += each * f64::from(n);
        }
        sum
    }

    /// Jars of the main (largest) size that the cold room is asked for: those
    /// in it, those without a place, others by volume.
    pub(crate) fn jars_wanted(&self) -> f64 {
        let Some(main) = self.plan.jars.first() else { return 0.0 };
        let mut sum = 0.0;
        for (size, jar) in self.plan.jars.iter().enumerate() {
            let counter = self.jars_in[0][size];
            let jars: u32 = counter
                + self.by_kind[PlaceKind::Fridge as usize]
                    .iter()
                    .map(|p| self.jars_in[p.at()][size])
                    .sum::<u32>();
            sum += f64::from(jars) * jar.working_l;
        }
        sum / main.working_l
    }

    /// Milk and the like standing in jars of a place, litres (by jars).
    pub(crate) fn jar_litres(&self, place: PlaceId) -> f64 {
        self.plan
            .jars
            .iter()
            .zip(&self.jars_in[place.at()])
            .map(|(jar, &n)| jar.working_l * f64::from(n))
            .sum()
    }

    /// Jars in use, all sizes and places.
    pub(crate) fn jars_in_use(&self) -> u32 {
        let n = self.plan.jars.len();
        (0..n).map(|i| self.owned[i] - self.clean[i] - self.dirty[i]).sum()
    }

    /// A clean jar of any size is left (or the item needs none).
    pub(crate) fn has_jar_for(&self, item: ItemId) -> bool {
        !matches!(self.plan.items[item.at()].container, Container::Jar { .. })
            || self.clean.iter().any(|&n| n > 0)
    }

    /// Washes what is dirty; returns how many jars, and by size what may break.
    pub(crate) fn wash(&mut self) -> (u32, f64) {
        let (mut washed, mut hazard) = (0, 0.0);
        for (i, jar) in self.plan.jars.iter().enumerate() {
            washed += self.dirty[i];
            hazard += jar.breaks * f64::from(self.dirty[i]);
            self.clean[i] += self.dirty[i];
            self.dirty[i] = 0;
        }
        (washed, hazard)
    }

    /// One clean jar breaks: of the size of which most are clean.
    pub(crate) fn break_jar(&mut self) -> bool {
        let most = (0..self.plan.jars.len()).rev().max_by_key(|&i| self.clean[i]);
        match most {
            Some(i) if self.clean[i] > 0 => {
                self.clean[i] -= 1;
                self.owned[i] -= 1;
                true
            }
            _ => false,
        }
    }

    /// Jars just emptied into each other need no washing: moves up to `n` of a
    /// size back from dirty to clean. Used while combining skimmed jars.
    pub(crate) fn dirty_counts(&self) -> [u32; MAX_JARS] {
        self.dirty
    }

    /// Lends the jars dirtied since `before` as if clean.
    pub(crate) fn reuse_since(&mut self, before: &[u32; MAX_JARS]) -> [u32; MAX_JARS] {
        let mut lent = [0; MAX_JARS];
        for i in 0..MAX_JARS {
            lent[i] = self.dirty[i] - before[i];
            self.dirty[i] = before[i];
            self.clean[i] += lent[i];
        }
        lent
    }

    /// Returns what is left of the lent jars to the washing-up.
    pub(crate) fn end_reuse(&mut self, lent: &[u32; MAX_JARS], clean_before: &[u32; MAX_JARS]) {
        for i in 0..MAX_JARS {
            let used = (clean_before[i] + lent[i]).saturating_sub(self.clean[i]);
            let left = lent[i].saturating_sub(used);
            self.clean[i] -= left;
            self.dirty[i] += left;
        }
    }

    /// Clean jars by size.
    pub(crate) fn clean_counts(&self) -> [u32; MAX_JARS] {
        self.clean
    }

    #[inline]
    fn eligible(lot: &Lot, choice: Choice) -> bool {
        lot.drawn >= choice.drawn_from && (!choice.ready || lot.settled) && choice.not_of_day != Some(lot.day)
    }

    #[inline]
    fn clock(&self, item: ItemId, place: PlaceId) -> f64 {
        if self.facts[item.at()].sweet { self.clocks.sweet[place.at()] } else { self.clocks.keep[place.at()] }
    }

    /// The reading at which a life left ends in a place.
    fn due(&self, item: ItemId, place: PlaceId, life: f64) -> f64 {
        let days = if self.facts[item.at()].sweet {
            life
        } else {
            life * self.queues[self.q(item, place)].keeps.max(0.0)
        };
        self.clock(item, place) + days
    }

    /// The life left of a lot in a place, as in [`Parcel::life`].
    fn life_left(&self, item: ItemId, place: PlaceId, lot: &Lot) -> f64 {
        let left = lot.due - self.clock(item, place);
        if self.facts[item.at()].sweet {
            return left;
        }
        let all = self.queues[self.q(item, place)].keeps;
        if all > 0.0 { (left / all).clamp(0.0, 1.0) } else { 0.0 }
    }

    #[inline]
    fn push(&mut self, item: ItemId, place: PlaceId, lot: Lot) {
        let q = self.q(item, place);
        let facts = &self.facts[item.at()];
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = facts.litres_per_kg {
                self.litres_in[place.at()] += lot.matter.mass * litres_per_kg;
            }
        } else {
            self.jars_in[place.at()][usize::from(lot.jar)] += lot.jars;
        }
        let soonest = &mut self.soonest[place.at()][usize::from(!facts.sweet)];
        *soonest = soonest.min(lot.due);
        self.measure(place);
        self.weigh(item, lot.matter.mass);
        self.stands_in[item.at()] |= 1 << place.0;
        self.occupied[place.at()] |= 1 << item.0;
        let queue = &mut self.queues[q];
        queue.next_due = queue.next_due.min(lot.due);
        if !lot.settled {
            queue.unready += lot.matter.mass;
            queue.next_ready = queue.next_ready.min(lot.ready);
            self.ready_at = self.ready_at.min(lot.ready);
            self.waiting |= 1 << item.0;
        }
        // Newest last; only moved or late lots look further than the end.
        let queue = &mut queue.lots;
        let mut i = queue.len();
        while i > 0 && queue[i - 1].drawn > lot.drawn {
            i -= 1;
        }
        if i == queue.len() { queue.push_back(lot) } else { queue.insert(i, lot) }
    }

    /// Takes the lot at `i` out of its queue, jars and room with it.
    #[inline]
    fn pull(&mut self, item: ItemId, place: PlaceId, i: usize) -> Option<Lot> {
        let q = self.q(item, place);
        let queue = &mut self.queues[q];
        let lot = if i == 0 { queue.lots.pop_front() } else { queue.lots.remove(i) }?;
        if !lot.settled {
            queue.unready -= lot.matter.mass;
        }
        let empty = queue.lots.is_empty();
        if empty {
            // Exactly nothing: rounding must not pile up.
            queue.unready = 0.0;
            queue.next_due = f64::INFINITY;
            queue.next_ready = f64::INFINITY;
        }
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = self.facts[item.at()].litres_per_kg {
                self.litres_in[place.at()] -= lot.matter.mass * litres_per_kg;
            }
        } else {
            self.jars_in[place.at()][usize::from(lot.jar)] -= lot.jars;
        }
        self.weigh(item, -lot.matter.mass);
        if empty {
            self.occupied[place.at()] &= !(1 << item.0);
            self.stands_in[item.at()] &= !(1 << place.0);
            if self.stands_in[item.at()] == 0 {
                self.item_mass[item.at()] = 0.0;
            }
            if self.occupied[place.at()] == 0 {
                self.litres_in[place.at()] = 0.0;
            }
        }
        self.measure(place);
        Some(lot)
    }

    /// Takes `kg` out of the lot at `i`, which holds more than that; also says
    /// how many jars that empties.
    #[inline(always)]
    fn pinch(&mut self, item: ItemId, q: usize, i: usize, kg: f64) -> (Matter, u32) {
        let place = q - item.at() * self.places;
        let facts = &self.facts[item.at()];
        let queue = &mut self.queues[q];
        let lot = &mut queue.lots[i];
        let taken = lot.matter * (kg / lot.matter.mass);
        lot.matter -= taken;
        if !lot.settled {
            queue.unready -= taken.mass;
        }
        self.item_mass[item.at()] -= taken.mass;
        if lot.jar == NO_JAR {
            if let Some(litres_per_kg) = facts.litres_per_kg {
                self.litres_in[place] -= taken.mass * litres_per_kg;
                self.filled[place].set(f64::NAN);
            }
            return (taken, 0);
        }
        if lot.jars == 1 {
            return (taken, 0);
        }
        let jar = usize::from(lot.jar);
        let left = whole_jars(lot.matter.mass / facts.jar_kg[jar]).max(1).min(lot.jars);
        let freed = lot.jars - left;
        if freed > 0 {
            lot.jars = left;
            self.jars_in[place][jar] -= freed;
            self.dirty[jar] += freed;
            self.filled[place].set(f64::NAN);
        }
        (taken, freed)
    }

    /// Queue and position of the oldest lot of an item that a choice allows.
    fn oldest_lot(&self, item: ItemId, choice: Choice) -> Option<(usize, usize)> {
        if choice.ready && self.stock_ready(item) <= CRUMB {
            return None;
        }
        let mut best: Option<(usize, usize)> = None;
        let mut oldest = f64::INFINITY;
        for q in self.where_is(item) {
            let lots = &self.queues[q].lots;
            // Nothing in a queue is older than its front.
            let Some(front) = lots.front().filter(|l| l.drawn < oldest || best.is_none()) else { continue };
            if Self::eligible(front, choice) {
                (best, oldest) = (Some((q, 0)), front.drawn);
            } else if let Some(i) = lots.iter().position(|l| Self::eligible(l, choice))
                && (lots[i].drawn < oldest || best.is_none())
            {
                (best, oldest) = (Some((q, i)), lots[i].drawn);
            }
        }
        best
    }

    /// Takes up to `kg` of an item, oldest first, as a pool. Foul jars met on
    /// the way are emptied and handed back apart.
    pub(crate) fn take(&mut self, item: ItemId, kg: f64, choice: Choice) -> Taken {
        let mut pool = Taken::NOTHING;
        (pool.matter, pool.foul) = self.take_noting(item, kg, choice, |larder, place, lot| {
            pool.drawn = pool.drawn.min(lot.drawn);
            pool.life = pool.life.min(larder.life_left(item, place, lot));
            pool.tainted |= lot.foul;
            pool.species = lot.species;
        });
        pool
    }

    /// Like [`Self::take`], for the table and the trough, where nobody asks how
    /// old it was: what is taken, and what was found foul.
    pub(crate) fn serve(&mut self, item: ItemId, kg: f64, choice: Choice) -> (Matter, Matter) {
        // Mostly a little of the oldest lot of all, which stands first somewhere.
        let mut first: Option<(usize, &Lot)> = None;
        for q in self.where_is(item) {
            if let Some(lot) = self.queues[q].lots.front()
                && first.is_none_or(|(_, l)| lot.drawn < l.drawn)
            {
                first = Some((q, lot));
            }
        }
        let Some((q, lot)) = first else { return (Matter::NONE, Matter::NONE) };
        if kg > CRUMB && lot.matter.mass > kg + CRUMB && !lot.turned && Self::eligible(lot, choice) {
            let (got, emptied) = self.pinch(item, q, 0, kg);
            return (self.leave_film(got, emptied), Matter::NONE);
        }
        self.take_noting(item, kg, choice, |_, _, _| {})
    }

    fn take_noting(
        &mut self,
        item: ItemId,
        kg: f64,
        choice: Choice,
        mut note: impl FnMut(&Self, PlaceId, &Lot),
    ) -> (Matter, Matter) {
        let (mut out, mut foul) = (Matter::NONE, Matter::NONE);
        let mut left = kg;
        while left > CRUMB && self.stands_in[item.at()] != 0 {
            let Some((q, i)) = self.oldest_lot(item, choice) else { break };
            let place = PlaceId((q - item.at() * self.places) as u8);
            let lot = &self.queues[q].lots[i];
            if lot.turned {
                if let Some(lot) = self.remove_whole(item, place, i) {
                    foul += lot.matter;
                }
                continue;
            }
            note(self, place, lot);
            let (got, emptied) = if lot.matter.mass <= left + CRUMB {
                self.remove_whole(item, place, i).map_or((Matter::NONE, 0), |l| (l.matter, l.jars))
            } else {
                self.pinch(item, q, i, left)
            };
            left -= got.mass;
            out += self.leave_film(got, emptied);
        }
        (out, foul)
    }

    /// What comes out of emptied jars; a little stays in each.
    #[inline(always)]
    fn leave_film(&mut self, got: Matter, emptied: u32) -> Matter {
        if emptied == 0 || got.mass <= 0.0 {
            return got;
        }
        let kg = (self.plan.losses.jar_kg * f64::from(emptied)).min(MOST_FILM * got.mass);
        let film = got * (kg / got.mass);
        self.film += film;
        got - film
    }

    /// Takes a lot out and sends its jars to the washing-up.
    #[inline]
    pub(crate) fn remove_whole(&mut self, item: ItemId, place: PlaceId, i: usize) -> Option<Lot> {
        let lot = self.pull(item, place, i)?;
        if lot.jar != NO_JAR {
            self.dirty[usize::from(lot.jar)] += lot.jars;
        }
        Some(lot)
    }

    /// What `take` would give, without taking.
    pub(crate) fn peek(&self, item: ItemId, kg: f64, choice: Choice) -> Matter {
        let base = item.at() * self.places;
        let mut out = Matter::NONE;
        let mut at = [0_usize; MAX_PLACES];
        while out.mass + CRUMB < kg {
            let mut best: Option<(usize, f64)> = None;
            for (p, at) in at.iter_mut().enumerate().take(self.places) {
                let queue = &self.queues[base + p].lots;
                while *at < queue.len() && (queue[*at].turned || !Self::eligible(&queue[*at], choice)) {
                    *at += 1;
                }
                if let Some(l) = queue.get(*at)
                    && best.is_none_or(|(_, d)| l.drawn < d)
                {
                    best = Some((p, l.drawn));
                }
            }
            let Some((p, _)) = best else { break };
            let lot = &self.queues[base + p].lots[at[p]];
            at[p] += 1;
            let want = kg - out.mass;
            out += if lot.matter.mass <= want { lot.matter } else { lot.matter * (want / lot.matter.mass) };
        }
        out
    }

    /// The oldest lot of an item in a place, with its hours risen at 4 °C.
    pub(crate) fn front(&self, item: ItemId, place: PlaceId, i: usize) -> Option<(&Lot, f64, f64)> {
        let lot = self.queues[self.q(item, place)].lots.get(i)?;
        let risen = self.clocks.rise[place.at()] - lot.rise_from;
        Some((lot, risen, self.life_left(item, place, lot)))
    }

    /// Puts a parcel away: jars by size, places in the item's order, the
    /// counter as a last resort. What finds no clean jar is handed back.
    /// Also says in which place the first of it came to stand.
    pub(crate) fn put(&mut self, parcel: &Parcel) -> (Matter, Option<PlaceId>) {
        let item = &self.plan.items[parcel.item.at()];
        if parcel.matter.mass <= 0.0 {
            return (Matter::NONE, None);
        }
        match item.container {
            Container::Bucket => {
                self.push_part(parcel, COUNTER, parcel.matter, NO_JAR, 0);
                (Matter::NONE, Some(COUNTER))
            }
            Container::Volume { litres_per_kg } => (Matter::NONE, self.put_volume(parcel, litres_per_kg)),
            Container::Jar { largest_first } => self.put_jars(parcel, largest_first),
        }
    }

    fn put_volume(&mut self, parcel: &Parcel, litres_per_kg: f64) -> Option<PlaceId> {
        let (mut left, mut first) = (parcel.matter, None);
        let plan = self.plan;
        for &place in &plan.items[parcel.item.at()].places {
            if left.mass <= CRUMB {
                break;
            }
            let mass = self.fits_kg(place, litres_per_kg).min(left.mass);
            if mass <= CRUMB {
                continue;
            }
            let part = if left.mass - mass <= CRUMB { left } else { left * (mass / left.mass) };
            self.push_part(parcel, place, part, NO_JAR, 0);
            self.freeze_left[place.at()] -= part.mass;
            left -= part;
            first = first.or(Some(place));
        }
        if left.mass > CRUMB {
            self.push_part(parcel, COUNTER, left, NO_JAR, 0);
            first = first.or(Some(COUNTER));
        } else if left.mass != 0.0 && first.is_some() {
            // A crumb is never dropped: it joins the part just placed.
            self.add_crumb(parcel.item, first, left);
        }
        first
    }

    fn add_crumb(&mut self, item: ItemId, place: Option<PlaceId>, crumb: Matter) {
        if let Some(place) = place {
            let q = self.q(item, place);
            if let Some(lot) = self.queues[q].lots.back_mut() {
                lot.matter += crumb;
                self.weigh(item, crumb.mass);
            }
        }
    }

    /// Kg of a wrapped item that still fit a place today.
    pub(crate) fn fits_kg(&self, place: PlaceId, litres_per_kg: f64) -> f64 {
        let room = ((1.0 - self.used_part(place)) * self.litres[place.at()] / litres_per_kg).max(0.0);
        room.min(self.freeze_left[place.at()])
    }

    fn put_jars(&mut self, parcel: &Parcel, largest_first: bool) -> (Matter, Option<PlaceId>) {
        let plan = self.plan;
        let item = &plan.items[parcel.item.at()];
        let (mut left, mut first) = (parcel.matter, None);
        let sizes = plan.jars.len();
        let best = if largest_first { 0 } else { self.smallest_holding(left.mass / item.density) };
        for n in 0..sizes {
            // The best size, then larger ones, then smaller ones.
            let size = if n <= best { best - n } else { n };
            if self.clean[size] == 0 {
                continue;
            }
            let working = self.facts[parcel.item.at()].jar_kg[size];
            let mut jars = self.clean[size].min(whole_jars(left.mass / working));
            for k in 0..=item.places.len() {
                if jars == 0 || left.mass <= CRUMB {
                    break;
                }
                let (place, room) = match item.places.get(k) {
                    Some(&place) => (place, self.room_for_jars(place, size)),
                    None => (COUNTER, u32::MAX),
                };
                let here = jars.min(room);
                if here == 0 {
                    continue;
                }
                let mass = (working * f64::from(here)).min(left.mass);
                let part = if left.mass - mass <= CRUMB { left } else { left * (mass / left.mass) };
                self.clean[size] -= here;
                self.push_part(parcel, place, part, size as u8, here);
                left = if part.mass == left.mass { Matter::NONE } else { left - part };
                jars -= here;
                first = first.or(Some(place));
            }
            if left.mass <= CRUMB {
                break;
            }
        }
        (left, first)
    }

    /// The smallest size that holds so many litres, else the largest.
    fn smallest_holding(&self, litres: f64) -> usize {
        let sizes = self.plan.jars.len();
        (0..sizes).rev().find(|&s| self.plan.jars[s].working_l + SLACK >= litres).unwrap_or(0)
    }

    /// Jars of a size that still fit a place.
    pub(crate) fn room_for_jars(&self, place: PlaceId, size: usize) -> u32 {
        let part = self.plan.places[place.at()].jar_part[size];
        if !part.is_finite() {
            return 0;
        }
        if part <= 0.0 {
            return u32::MAX;
        }
        ((1.0 - self.used_part(place)) / part + SLACK) as u32
    }

    fn push_part(&mut self, parcel: &Parcel, place: PlaceId, matter: Matter, jar: u8, jars: u32) {
        let lot = Lot {
            matter,
            drawn: parcel.drawn,
            rested: parcel.rested,
            due: self.due(parcel.item, place, parcel.life),
            rise_from: self.clocks.rise[place.at()] - parcel.risen,
            ready: parcel.ready,
            settled: parcel.ready <= self.now && parcel.ageing_loss <= 0.0,
            ageing_loss: parcel.ageing_loss,
            day: parcel.day,
            jars,
            jar,
            species: parcel.species,
            foul: parcel.foul,
            turned: false,
        };
        self.push(parcel.item, place, lot);
    }

    /// Shortens the life of the lots of an item set down just now in a place
    /// (a slow chilling is charged once it is known).
    pub(crate) fn shorten(&mut self, item: ItemId, place: PlaceId, species: Species, days: f64) {
        let q = self.q(item, place);
        let now = self.now;
        let queue = &mut self.queues[q];
        let soonest = &mut self.soonest[place.at()][0];
        let fresh = queue.lots.iter_mut().rev().take_while(|l| l.rested >= now);
        for lot in fresh.filter(|l| l.species == species) {
            lot.due -= days;
            queue.next_due = queue.next_due.min(lot.due);
            *soonest = soonest.min(lot.due);
        }
    }

    /// Moves up to `kg` of an item into a place, oldest first; returns the kg moved.
    pub(crate) fn shift(&mut self, item: ItemId, from: Option<PlaceId>, to: PlaceId, kg: f64) -> f64 {
        let mut moved = 0.0;
        for p in (0..self.places).map(|p| PlaceId(p as u8)) {
            if p == to || from.is_some_and(|f| f != p) {
                continue;
            }
            let mut i = 0;
            while moved + CRUMB < kg && i < self.queues[self.q(item, p)].lots.len() {
                let here = self.shift_lot(item, p, i, to, kg - moved);
                if here <= CRUMB {
                    i += 1;
                }
                moved += here;
            }
        }
        moved
    }

    /// Moves as much as fits of one lot; jars move whole.
    fn shift_lot(&mut self, item: ItemId, from: PlaceId, i: usize, to: PlaceId, most: f64) -> f64 {
        let q = self.q(item, from);
        let lot = self.queues[q].lots[i];
        let life = self.life_left(item, from, &lot);
        let risen = self.clocks.rise[from.at()] - lot.rise_from;
        let (mass, jars) = match self.plan.items[item.at()].container {
            Container::Bucket => return 0.0,
            Container::Volume { litres_per_kg } => {
                let fits = self.fits_kg(to, litres_per_kg).min(most);
                (if lot.matter.mass <= fits + CRUMB { lot.matter.mass } else { fits }, 0)
            }
            Container::Jar { .. } => {
                let size = usize::from(lot.jar);
                let working = self.facts[item.at()].jar_kg[size];
                let asked = if most >= lot.matter.mass { lot.jars } else { (most / working) as u32 };
                let jars = self.room_for_jars(to, size).min(asked).min(lot.jars);
                // Full jars go first; the part-filled one goes with the last.
                let mass = if jars == lot.jars {
                    lot.matter.mass
                } else {
                    (working * f64::from(jars)).min(lot.matter.mass)
                };
                (mass, jars)
            }
        };
        if mass <= CRUMB {
            return 0.0;
        }
        let whole = mass >= lot.matter.mass;
        let matter = if whole { lot.matter } else { lot.matter * (mass / lot.matter.mass) };
        if whole {
            self.pull(item, from, i);
        } else {
            self.weigh(item, -matter.mass);
            if !lot.settled {
                self.queues[q].unready -= matter.mass;
            }
            if lot.jar == NO_JAR {
                if let Container::Volume { litres_per_kg } = self.plan.items[item.at()].container {
                    self.litres_in[from.at()] -= matter.mass * litres_per_kg;
                }
            } else {
                self.jars_in[from.at()][usize::from(lot.jar)] -= jars;
            }
            self.measure(from);
            let l = &mut self.queues[q].lots[i];
            l.matter -= matter;
            l.jars -= jars;
        }
        let mut moved = Lot { matter, jars, ..lot };
        moved.due = if lot.turned { f64::INFINITY } else { self.due(item, to, life) };
        moved.rise_from = self.clocks.rise[to.at()] - risen;
        self.freeze_left[to.at()] -= matter.mass;
        self.push(item, to, moved);
        matter.mass
    }

    /// Tries to bring what stands on the counter for want of room into its places.
    pub(crate) fn find_places(&mut self) {
        if !self.has_unplaced() {
            return;
        }
        let plan = self.plan;
        let mut mask = self.occupied[0];
        while mask != 0 {
            let item = ItemId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            if plan.items[item.at()].container == Container::Bucket {
                continue;
            }
            for &place in &plan.items[item.at()].places {
                if place != COUNTER {
                    self.shift(item, Some(COUNTER), place, f64::INFINITY);
                }
            }
        }
    }

    /// Next lot whose life has ended, taken out of its queue.
    pub(crate) fn next_due(&mut self) -> Option<(ItemId, PlaceId, Lot)> {
        for p in 0..self.places {
            let (sweet, keep) = (self.clocks.sweet[p], self.clocks.keep[p]);
            let late = [self.soonest[p][0] <= sweet, self.soonest[p][1] <= keep];
            if late == [false; 2] {
                continue;
            }
            let place = PlaceId(p as u8);
            // Only the items whose clock has passed its bound.
            let asked = if late[0] { self.sweets } else { 0 } | if late[1] { !self.sweets } else { 0 };
            let mut soonest = [0, 1].map(|i| if late[i] { f64::INFINITY } else { self.soonest[p][i] });
            let mut mask = self.occupied[p] & asked;
            while mask != 0 {
                let item = ItemId(mask.trailing_zeros() as u8);
                mask &= mask - 1;
                let q = item.at() * self.places + p;
                let is_sweet = self.facts[item.at()].sweet;
                let clock = if is_sweet { sweet } else { keep };
                let queue = &mut self.queues[q];
                if queue.next_due <= clock {
                    if let Some(i) = queue.lots.iter().position(|l| l.due <= clock) {
                        return self.pull(item, place, i).map(|lot| (item, place, lot));
                    }
                    queue.next_due = queue.lots.iter().fold(f64::INFINITY, |m, l| m.min(l.due));
                }
                let bound = &mut soonest[usize::from(!is_sweet)];
                *bound = bound.min(queue.next_due);
            }
            self.soonest[p] = soonest;
        }
        None
    }

    /// Puts a lot back after its life ended: foul ones wait to be found.
    pub(crate) fn turn_foul(&mut self, item: ItemId, place: PlaceId, mut lot: Lot) {
        lot.turned = true;
        lot.due = f64::INFINITY;
        self.push(item, place, lot);
    }

    /// Puts a lot back as another item (sweet to sour), where it stands.
    pub(crate) fn become_item(&mut self, item: ItemId, place: PlaceId, mut lot: Lot) {
        lot.due = self.due(item, place, 1.0);
        self.push(item, place, lot);
    }

    /// Sends the jars of a lot that is already out of its queue to the washing-up.
    pub(crate) fn empty_jars(&mut self, lot: &Lot) {
        if lot.jar != NO_JAR {
            self.dirty[usize::from(lot.jar)] += lot.jars;
        }
    }

    /// Settles what has become ready to eat. Ageing is done then: its water is
    /// taken off at once and handed back.
    pub(crate) fn settle(&mut self) -> Matter {
        let mut lost = Matter::NONE;
        if self.ready_at > self.now {
            return lost;
        }
        self.ready_at = f64::INFINITY;
        let mut mask = self.waiting;
        while mask != 0 {
            let item = ItemId(mask.trailing_zeros() as u8);
            mask &= mask - 1;
            let mut next = f64::INFINITY;
            for q in self.where_is(item) {
                if self.queues[q].next_ready <= self.now {
                    lost += self.settle_queue(item, q);
                }
                next = next.min(self.queues[q].next_ready);
            }
            if next == f64::INFINITY {
                self.waiting &= !(1 << item.0);
            }
            self.ready_at = self.ready_at.min(next);
        }
        lost
    }

    fn settle_queue(&mut self, item: ItemId, q: usize) -> Matter {
        let (mut next, mut lost) = (f64::INFINITY, Matter::NONE);
        let queue = &mut self.queues[q];
        for lot in queue.lots.iter_mut().rev().filter(|l| !l.settled) {
            if lot.ready > self.now {
                next = next.min(lot.ready);
                continue;
            }
            queue.unready -= lot.matter.mass;
            lot.settled = true;
            let water = (lot.matter.mass - lot.matter.fat - lot.matter.protein).max(0.0);
            let mass = (lot.ageing_loss * lot.matter.mass).min(0.9 * water);
            let milk = mass * (lot.matter.milk / lot.matter.mass);
            let loss = Matter { mass, fat: 0.0, protein: 0.0, milk };
            lot.matter -= loss;
            lost += loss;
        }
        queue.next_ready = next;
        self.weigh(item, -lost.mass);
        if let Some(litres_per_kg) = self.facts[item.at()].litres_per_kg {
            self.litres_in[q % self.places] -= lost.mass * litres_per_kg;
            self.measure(PlaceId((q % self.places) as u8));
        }
        lost
    }

    /// All matter in store.
    pub(crate) fn everything(&self) -> Matter {
        let mut sum = Matter::NONE;
        for lot in self.queues.iter().flat_map(|q| &q.lots) {
            sum += lot.matter;
        }
        sum
    }
}

/// Places that a test holds for.
fn places_where(plan: &Plan, test: impl Fn(&PlacePlan) -> bool) -> Vec<PlaceId> {
    let all = plan.places.iter().zip(0..);
    all.filter(|(p, _)| test(p)).map(|(_, i)| PlaceId(i)).collect()
}

/// Jars for an amount in jars; a cast rounds down faster than the target's
/// `ceil`, and holds out-of-range values at the ends of the type.
#[inline]
fn whole_jars(amount: f64) -> u32 {
    let amount = amount - SLACK;
    let down = amount as u32;
    down + u32::from(amount > f64::from(down))
}
