//! One future as it is seen: what of each day is counted afterwards.

use super::Milking;
use crate::scenario::plan::{Action, ItemId, Plan, fixed};
use crate::sim::outcome::Source;
use crate::sim::watch::{Moment, View};

/// A day of one future.
#[derive(Clone, Debug, Default)]
pub(super) struct SeenDay {
    /// Into the pail, by animal, kg.
    pub pails: Vec<f64>,
    pub fetched: f64,
    /// By animal: kept from people, freshens, dry.
    pub kept: Vec<bool>,
    pub freshens: Vec<bool>,
    pub dry: Vec<bool>,
    /// Rules that worked, with what they took in, kg.
    pub works: Vec<(usize, f64)>,
    pub over_full: bool,
    /// Cold room in use, L.
    pub cold_l: f64,
    /// Drinking milk, then the wishes.
    pub short: Vec<bool>,
    pub for_members: Option<f64>,
    /// Members came and went short.
    pub share_short: bool,
}

/// One future.
#[derive(Clone, Debug, Default)]
pub(super) struct Seen {
    pub days: Vec<SeenDay>,
    /// Rule, day, milking, jars.
    pub skims: Vec<(usize, u32, Milking, u32)>,
    /// Day, item, milking (of skimmed milk its day's first half), kg.
    pub sours: Vec<(u32, ItemId, Milking, f64)>,
}

/// What stood of whole milk: milking, kg, jars.
type Whole = Vec<(Milking, f64, u32)>;

/// The watcher of one future.
pub(super) struct Eye<'p> {
    plan: &'p Plan,
    from: u32,
    skims: bool,
    seen: Seen,
    /// Sour and skimmed milk as they stood at the last look.
    stood: Stood,
    whole: Whole,
    fired: Vec<(u32, f64)>,
    short: Vec<u32>,
    fetched: f64,
    for_members: Option<f64>,
}

impl<'p> Eye<'p> {
    pub(super) fn new(plan: &'p Plan, from: u32) -> Self {
        Self {
            plan,
            from,
            skims: plan.rules.iter().any(|r| matches!(r.action, Action::Skim { .. })),
            seen: Seen::default(),
            stood: Stood::default(),
            whole: Vec::new(),
            fired: Vec::new(),
            short: Vec::new(),
            fetched: 0.0,
            for_members: None,
        }
    }

    pub(super) fn seen(self) -> Seen {
        self.seen
    }

    pub(super) fn look(&mut self, moment: Moment, view: &View) {
        if view.day() >= self.from {
            let now =
                Stood { sour: by_milking(view, fixed::SOUR_MILK), skimmed: by_milking(view, fixed::SKIMMED) };
            if moment == Moment::Passed {
                self.seen.turned(view.day(), &self.stood, &now);
            }
            self.stood = now;
        }
        match moment {
            Moment::Dawn => {
                self.fired.clear();
                self.fired.extend(view.rules().iter().map(|r| (r.fired, r.kg)));
                self.short.clear();
                self.short.extend(view.wants().iter().map(|w| w.short_days));
                self.fetched = view.sources()[Source::Fetched as usize].mass;
                self.for_members = None;
            }
            Moment::Passed => self.look_at_jars(view),
            Moment::Rule(r) => {
                let skim = matches!(self.plan.rules[r].action, Action::Skim { .. });
                if skim && view.day() >= self.from && view.rules()[r].fired > self.fired[r].0 {
                    let before = std::mem::take(&mut self.whole);
                    self.look_at_jars(view);
                    for (milking, kg, jars) in before {
                        let now = self.whole.iter().find(|w| w.0 == milking);
                        let (kg_now, jars_now) = now.map_or((0.0, 0), |w| (w.1, w.2));
                        if kg_now < kg - 1e-6 && jars_now < jars {
                            self.seen.skims.push((r, view.day(), milking, jars - jars_now));
                        }
                    }
                } else {
                    self.look_at_jars(view);
                }
            }
            Moment::Fetched => self.for_members = view.for_members(),
            Moment::Over if view.day() >= self.from => self.close(view),
            _ => {}
        }
    }

    fn look_at_jars(&mut self, view: &View) {
        if !self.skims {
            return;
        }
        self.whole.clear();
        for s in view.stored(fixed::WHOLE) {
            let milking = Milking::at(s.drawn);
            let jars = s.jars.map_or(0, |(_, n)| n);
            match self.whole.iter_mut().find(|w| w.0 == milking) {
                Some(w) => {
                    w.1 += s.matter.mass;
                    w.2 += jars;
                }
                None => self.whole.push((milking, s.matter.mass, jars)),
            }
        }
    }

    fn close(&mut self, view: &View) {
        let animals = 0..self.plan.animals.len();
        let milked = |a: usize| view.milked(a);
        let works = view.rules().iter().zip(&self.fired).enumerate();
        let full = view.fullest();
        self.seen.days.push(SeenDay {
            pails: animals.clone().map(|a| milked(a).pails.iter().map(|m| m.mass).sum()).collect(),
            fetched: view.sources()[Source::Fetched as usize].mass - self.fetched,
            kept: animals.clone().map(|a| milked(a).withheld || milked(a).ill).collect(),
            freshens: animals.clone().map(|a| view.days_in_milk(a) == 1).collect(),
            dry: animals.map(|a| !view.is_in_milk(a)).collect(),
            works: works
                .filter(|(_, (now, before))| now.fired > before.0)
                .map(|(r, (now, before))| (r, now.kg - before.1))
                .collect(),
            over_full: full.over_full,
            cold_l: full.cold_used_l,
            short: view.wants().iter().zip(&self.short).map(|(w, n)| w.short_days > *n).collect(),
            for_members: self.for_members,
            share_short: view.share_short(),
        });
    }
}

/// Sour and skimmed milk by milking, kg.
#[derive(Debug, Default)]
struct Stood {
    sour: Vec<(Milking, f64)>,
    skimmed: Vec<(Milking, f64)>,
}

/// What there is of an item by milking, over all jars and places.
fn by_milking(view: &View, item: ItemId) -> Vec<(Milking, f64)> {
    let mut all: Vec<(Milking, f64)> = Vec::new();
    for s in view.stored(item) {
        let milking = Milking::at(s.drawn);
        match all.iter_mut().find(|(m, _)| *m == milking) {
            Some((_, kg)) => *kg += s.matter.mass,
            None => all.push((milking, s.matter.mass)),
        }
    }
    all
}

impl Seen {
    /// What has soured while time passed: as much of it as the skimmed milk of the same
    /// milking has lost was skimmed, the rest whole.
    fn turned(&mut self, day: u32, before: &Stood, now: &Stood) {
        let of = |all: &[(Milking, f64)], milking| all.iter().find(|s| s.0 == milking).map_or(0.0, |s| s.1);
        for &(milking, kg) in &now.sour {
            let soured = kg - of(&before.sour, milking);
            let lost = of(&before.skimmed, milking) - of(&now.skimmed, milking);
            let skimmed = lost.min(soured).max(0.0);
            self.sour(day, fixed::SKIMMED, Milking(2 * milking.day()), skimmed);
            self.sour(day, fixed::WHOLE, milking, soured - skimmed);
        }
    }

    /// In all, on the day on which the first of it did.
    fn sour(&mut self, day: u32, item: ItemId, milking: Milking, kg: f64) {
        if kg <= 1e-6 {
            return;
        }
        match self.sours.iter_mut().find(|s| s.1 == item && s.2 == milking) {
            Some(s) => s.3 += kg,
            None => self.sours.push((day, item, milking, kg)),
        }
    }
}
