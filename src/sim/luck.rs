//! Luck: the standard variates of one trial, drawn before it begins.
//!
//! Luck holds only normals, uniforms and exponential thresholds, drawn from
//! (seed, trial, purpose, entity name). It never sees the state of a trial nor
//! the parameters of a scenario, so a change of fridge changes no cow.

use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};
use rand_distr::{Exp1, StandardNormal};

use crate::dairy::breeding::MOST_HEATS;
use crate::scenario::plan::{AnimalPlan, MOST_YOUNG, OpeningLife};
use crate::scenario::{Names, Plan};

/// What a stream of chance is for. The numbers are part of every result:
/// changing one changes all values drawn for that purpose.
#[derive(Clone, Copy)]
enum Purpose {
    YieldWhite = 1,
    YieldSlow = 2,
    MorningPart = 3,
    Level = 4,
    Freshening = 5,
    Life = 6,
    Foul = 7,
    Spill = 8,
    Spells = 9,
    FetchAmount = 10,
    FetchFails = 11,
    FetchLife = 12,
    FetchFoul = 13,
    Drinking = 14,
    WishWeeks = 15,
    Batches = 16,
    JarBreaks = 17,
    Outages = 18,
    HeatPhase = 40,
    HeatSeen = 41,
    Settles = 42,
    SickGap = 43,
    SickTreated = 44,
    SickDays = 45,
    SickLoss = 46,
    HotSpells = 47,
    NotFetched = 30,
    Opening = 50,
    Conceived = 51,
    YoungDies = 52,
}

/// Variates of one entity, one series each.
#[derive(Clone, Debug, Default)]
pub(crate) struct AnimalLuck {
    /// Normal a day.
    pub white: Vec<f64>,
    /// Normal a day; entry 0 starts the slow part.
    pub slow: Vec<f64>,
    /// Normal a day.
    pub morning: Vec<f64>,
    /// Normal: the animal itself, then one a lactation.
    pub level: Vec<f64>,
    /// Normal: first freshening, then one an interval or gestation.
    pub freshening: Vec<f64>,
    /// Uniform: [`MOST_HEATS`] a lactation, from the first of the plan; empty
    /// where breeding is not followed. Place in the cycle, seen, settles.
    pub heat_phase: Vec<f64>,
    /// As `heat_phase`.
    pub heat_seen: Vec<f64>,
    /// As `heat_phase`.
    pub settles: Vec<f64>,
    /// Exponential: hazard until the next case; empty where illness is left out.
    pub sick_gap: Vec<f64>,
    /// Uniform a case.
    pub sick_treated: Vec<f64>,
    /// Normal, two a case: treatment, withdrawal.
    pub sick_days: Vec<f64>,
    /// Normal a case.
    pub sick_loss: Vec<f64>,
    /// Uniform: [`MOST_YOUNG`] a lactation; empty where none of them dies.
    pub young: Vec<f64>,
    /// Uniform: whether the service before the run settled her.
    pub conceived: f64,
}

/// Variates of one source of fetched milk.
#[derive(Clone, Debug, Default)]
pub(crate) struct FetchLuck {
    pub amount: Vec<f64>,
    pub fails: Vec<f64>,
    pub life: Vec<f64>,
    pub foul: Vec<f64>,
}

/// The luck of one trial. Buffers are reused from trial to trial.
#[derive(Clone, Debug)]
pub struct Luck {
    /// No chance anywhere: every draw at its mean.
    pub(crate) steady: bool,
    pub(crate) animals: Vec<AnimalLuck>,
    /// Two a day: morning, evening.
    pub(crate) life: Vec<f64>,
    pub(crate) foul: Vec<f64>,
    pub(crate) spill: Vec<f64>,
    /// Exponential: hazard until a spell, and its length, alternating.
    pub(crate) spells: Vec<f64>,
    pub(crate) fetches: Vec<FetchLuck>,
    /// Uniform a day, person by person.
    pub(crate) drinking: Vec<Vec<f64>>,
    /// Normal a week, wish by wish.
    pub(crate) wishes: Vec<Vec<f64>>,
    /// Uniform a day, member by member.
    pub(crate) members: Vec<Vec<f64>>,
    /// Uniform a day, recipe by recipe.
    pub(crate) batches: Vec<Vec<f64>>,
    /// Exponential thresholds.
    pub(crate) jar_breaks: Vec<f64>,
    /// Exponential: hazard until an outage, and its length, alternating; empty
    /// where there are none.
    pub(crate) outages: Vec<f64>,
    /// The same of hot spells.
    pub(crate) hot: Vec<f64>,
    /// Normal for each milking of which there is some at the start.
    pub(crate) opening: Vec<f64>,
    days: usize,
    keys: Keys,
}

/// Hashes of the entity names, made once.
#[derive(Clone, Debug, Default)]
struct Keys {
    animals: Vec<u64>,
    fetches: Vec<u64>,
    people: Vec<u64>,
    wishes: Vec<u64>,
    recipes: Vec<u64>,
    members: Vec<u64>,
    opening: Vec<u64>,
}

/// Mixes 64 bits so that near inputs give unrelated outputs (the finaliser of
/// SplitMix64: Steele, Lea and Flood 2014, "Fast splittable pseudorandom
/// number generators").
const fn mix(mut z: u64) -> u64 {
    z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// FNV-1a over the bytes of a name, mixed.
fn key(name: &str) -> u64 {
    let fnv = name
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3));
    mix(fnv)
}

fn stream(seed: u64, trial: u32, purpose: Purpose, entity: u64) -> Xoshiro256PlusPlus {
    let s = mix(mix(mix(seed) ^ u64::from(trial)) ^ (purpose as u64)) ^ entity;
    Xoshiro256PlusPlus::seed_from_u64(mix(s))
}

fn normals(out: &mut [f64], rng: &mut Xoshiro256PlusPlus) {
    for z in out {
        *z = rng.sample(StandardNormal);
    }
}

fn uniforms(out: &mut [f64], rng: &mut Xoshiro256PlusPlus) {
    for u in out {
        *u = rng.random();
    }
}

fn exponentials(out: &mut [f64], rng: &mut Xoshiro256PlusPlus) {
    for e in out {
        *e = rng.sample(Exp1);
    }
}

/// More lactations than any run of this many days can hold.
pub(crate) fn lactations_in(days: usize) -> usize {
    days / 120 + 8
}

impl Luck {
    /// Buffers for a plan; `names` give the streams their stable keys.
    #[must_use]
    pub fn new(plan: &Plan, names: &Names) -> Self {
        let days = plan.days.len();
        let keyed = |list: &[String], n: usize| -> Vec<u64> {
            (0..n).map(|i| list.get(i).map_or_else(|| mix(i as u64), |s| key(s))).collect()
        };
        let draws = plan.opening.lots.iter().map(|lot| match lot.life {
            OpeningLife::Drawn { draw, .. } => usize::from(draw) + 1,
            OpeningLife::Left(_) => 0,
        });
        let draws = draws.max().unwrap_or(0);
        let keys = Keys {
            animals: keyed(&names.animals, plan.animals.len()),
            fetches: keyed(&names.fetches, plan.fetches.len()),
            people: keyed(&names.people, plan.household.people.len()),
            wishes: keyed(&names.wishes, plan.household.wishes.len()),
            recipes: keyed(&names.recipes, plan.recipes.len()),
            members: keyed(&names.members, plan.trade.share.as_ref().map_or(0, |s| s.claims_kg.len())),
            opening: keyed(&names.opening, draws),
        };
        let animal = |a: &AnimalPlan| {
            let heats = a.course.bred.map_or(0, |_| lactations_in(days) * MOST_HEATS);
            let cases = a.course.illness.map_or(0, |_| 16 + days / 60);
            let dying = a.calf.is_some_and(|c| c.dies > 0.0);
            AnimalLuck {
                white: vec![0.0; days],
                slow: vec![0.0; days + 1],
                morning: vec![0.0; days],
                level: vec![0.0; lactations_in(days) + 1],
                freshening: vec![0.0; lactations_in(days) + 1],
                heat_phase: vec![0.0; heats],
                heat_seen: vec![0.0; heats],
                settles: vec![0.0; heats],
                sick_gap: vec![0.0; cases],
                sick_treated: vec![0.0; cases],
                sick_days: vec![0.0; 2 * cases],
                sick_loss: vec![0.0; cases],
                young: vec![0.0; if dying { lactations_in(days) * MOST_YOUNG } else { 0 }],
                conceived: 0.0,
            }
        };
        let fetch = FetchLuck {
            amount: vec![0.0; days],
            fails: vec![0.0; days],
            life: vec![0.0; days],
            foul: vec![0.0; days],
        };
        Self {
            steady: false,
            animals: plan.animals.iter().map(animal).collect(),
            life: vec![0.0; 2 * days],
            foul: vec![0.0; 2 * days],
            spill: vec![0.0; 2 * days],
            spells: vec![0.0; 64 + days / 4],
            fetches: vec![fetch; plan.fetches.len()],
            drinking: vec![vec![0.0; days]; plan.household.people.len()],
            wishes: vec![vec![0.0; days / 7 + 2]; plan.household.wishes.len()],
            members: match &plan.trade.share {
                Some(s) if s.not_fetched > 0.0 => vec![vec![0.0; days]; s.claims_kg.len()],
                _ => Vec::new(),
            },
            batches: plan
                .recipes
                .iter()
                .map(|r| {
                    let may_fail = r.fails.max(r.fails_when_foul) > 0.0;
                    if may_fail { vec![0.0; days] } else { Vec::new() }
                })
                .collect(),
            jar_breaks: vec![0.0; 64 + days / 2],
            // Many more than come to pass.
            outages: vec![0.0; plan.cold.outages.map_or(0, |o| 64 + 6 * (o.rate * days as f64) as usize)],
            hot: vec![0.0; plan.hot.map_or(0, |h| 64 + 6 * (h.most_rate() * days as f64) as usize)],
            opening: vec![0.0; draws],
            days,
            keys,
        }
    }

    /// Draws the luck of one trial.
    pub fn draw(&mut self, seed: u64, trial: u32) {
        self.steady = false;
        let at = |purpose, entity| stream(seed, trial, purpose, entity);
        for (a, &k) in self.animals.iter_mut().zip(&self.keys.animals) {
            normals(&mut a.white, &mut at(Purpose::YieldWhite, k));
            normals(&mut a.slow, &mut at(Purpose::YieldSlow, k));
            normals(&mut a.morning, &mut at(Purpose::MorningPart, k));
            normals(&mut a.level, &mut at(Purpose::Level, k));
            normals(&mut a.freshening, &mut at(Purpose::Freshening, k));
            uniforms(&mut a.heat_phase, &mut at(Purpose::HeatPhase, k));
            uniforms(&mut a.heat_seen, &mut at(Purpose::HeatSeen, k));
            uniforms(&mut a.settles, &mut at(Purpose::Settles, k));
            exponentials(&mut a.sick_gap, &mut at(Purpose::SickGap, k));
            uniforms(&mut a.sick_treated, &mut at(Purpose::SickTreated, k));
            normals(&mut a.sick_days, &mut at(Purpose::SickDays, k));
            normals(&mut a.sick_loss, &mut at(Purpose::SickLoss, k));
            if !a.young.is_empty() {
                uniforms(&mut a.young, &mut at(Purpose::YoungDies, k));
            }
            uniforms(std::slice::from_mut(&mut a.conceived), &mut at(Purpose::Conceived, k));
        }
        // Length-independent order within each series: day d reads entry d (or
        // 2 d, 2 d + 1), so a longer run begins with the same days.
        normals(&mut self.life, &mut at(Purpose::Life, 0));
        uniforms(&mut self.foul, &mut at(Purpose::Foul, 0));
        uniforms(&mut self.spill, &mut at(Purpose::Spill, 0));
        exponentials(&mut self.spells, &mut at(Purpose::Spells, 0));
        for (f, &k) in self.fetches.iter_mut().zip(&self.keys.fetches) {
            normals(&mut f.amount, &mut at(Purpose::FetchAmount, k));
            uniforms(&mut f.fails, &mut at(Purpose::FetchFails, k));
            normals(&mut f.life, &mut at(Purpose::FetchLife, k));
            uniforms(&mut f.foul, &mut at(Purpose::FetchFoul, k));
        }
        for (p, &k) in self.drinking.iter_mut().zip(&self.keys.people) {
            uniforms(p, &mut at(Purpose::Drinking, k));
        }
        for (w, &k) in self.wishes.iter_mut().zip(&self.keys.wishes) {
            normals(w, &mut at(Purpose::WishWeeks, k));
        }
        for (m, &k) in self.members.iter_mut().zip(&self.keys.members) {
            uniforms(m, &mut at(Purpose::NotFetched, k));
        }
        for (b, &k) in self.batches.iter_mut().zip(&self.keys.recipes) {
            uniforms(b, &mut at(Purpose::Batches, k));
        }
        exponentials(&mut self.jar_breaks, &mut at(Purpose::JarBreaks, 0));
        for (z, &k) in self.opening.iter_mut().zip(&self.keys.opening) {
            normals(std::slice::from_mut(z), &mut at(Purpose::Opening, k));
        }
        if !self.outages.is_empty() {
            exponentials(&mut self.outages, &mut at(Purpose::Outages, 0));
        }
        if !self.hot.is_empty() {
            exponentials(&mut self.hot, &mut at(Purpose::HotSpells, 0));
        }
    }

    /// The average year: no chance anywhere.
    pub fn steady(&mut self) {
        self.steady = true;
    }

    /// Days for which there is luck.
    #[must_use]
    pub const fn days(&self) -> usize {
        self.days
    }

    /// A factor of arithmetic mean 1 with log standard deviation `sd`.
    #[inline]
    pub(crate) fn factor(&self, sd: f64, z: f64) -> f64 {
        if self.steady || sd == 0.0 { 1.0 } else { (sd * z - 0.5 * sd * sd).exp() }
    }

    /// A standard normal, 0 in the average year.
    #[inline]
    pub(crate) const fn normal(&self, z: f64) -> f64 {
        if self.steady { 0.0 } else { z }
    }

    /// Whether an event of a given chance happens; never in the average year.
    #[inline]
    pub(crate) fn happens(&self, chance: f64, u: f64) -> bool {
        !self.steady && u < chance
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_purposes_give_unrelated_streams() {
        let first = |s: Purpose, e: &str| stream(7, 3, s, key(e)).random::<u64>();
        let base = first(Purpose::YieldWhite, "Clover");
        assert_ne!(base, first(Purpose::YieldSlow, "Clover"));
        assert_ne!(base, first(Purpose::YieldWhite, "Daisy"));
        assert_ne!(base, stream(7, 4, Purpose::YieldWhite, key("Clover")).random::<u64>());
        assert_ne!(base, stream(8, 3, Purpose::YieldWhite, key("Clover")).random::<u64>());
        assert_eq!(base, first(Purpose::YieldWhite, "Clover"));
    }
}
