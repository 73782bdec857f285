//! Skimming: rested jars of whole milk become skimmed milk and cream.

use super::kitchen::Fired;
use super::larder::{CRUMB, Parcel, SLACK, Taken};
use super::outcome::Blocked;
use super::trial::Trial;
use crate::dairy::cream::Layer;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{ItemId, MAX_JARS, PlaceId, SkimDepth, fixed};

/// Fat at which cream counts as top cream (light whipping cream, 21 CFR 131.157), and as
/// middle cream (light cream, 21 CFR 131.155).
const TOP: f64 = 0.30;
const MIDDLE: f64 = 0.18;
/// Mean fat of the top cut when cuts are kept apart (heavy cream, 21 CFR 131.150).
const HEAVY: f64 = 0.36;

impl Trial<'_> {
    pub(super) fn skim(
        &mut self,
        after_hours: f64,
        depth: SkimDepth,
        apart: bool,
        minutes_per_jar: f64,
        kept: f64,
    ) -> Result<Fired, Blocked> {
        // Where skimmed milk is drunk a skim takes nothing from the table.
        let kept = if self.is_drunk(fixed::WHOLE) && !self.is_drunk(fixed::SKIMMED) {
            kept.max(self.reserve())
        } else {
            kept
        };
        let mut before = self.larder.dirty_counts();
        let clean = self.larder.clean_counts();
        let mut lent = [0; MAX_JARS];
        // Skimmed milk of one day is combined; older milk is not poured onto newer,
        // which would sour with it.
        let mut skimmed = Taken::NOTHING;
        let mut creams = [Taken::NOTHING; 3];
        let (mut minutes, mut kg) = (0.0, 0.0);
        let mut why = Blocked::Stock;
        for p in 0..self.plan.places.len() {
            let place = PlaceId(p as u8);
            let mut i = 0;
            while let Some((lot, risen, life)) = self.larder.front(fixed::WHOLE, place, i) {
                let lot = *lot;
                if lot.turned {
                    if let Some(lot) = self.larder.remove_whole(fixed::WHOLE, place, i) {
                        // Its jars are washed before anything goes into them.
                        if let Some(dirty) = before.get_mut(usize::from(lot.jar)) {
                            *dirty += lot.jars;
                        }
                        self.found_foul(lot.matter);
                    }
                    continue;
                }
                let rested_h = (self.larder.now - lot.rested) * 24.0;
                if rested_h < after_hours * (1.0 - SLACK) {
                    why = why.max(Blocked::Age);
                    i += 1;
                    continue;
                }
                let layer = Layer::at_rest(lot.matter.fat_part(), risen, lot.species);
                let deep = match depth {
                    SkimDepth::Leave(fat) => layer.depth_leaving(fat),
                    SkimDepth::Grade(fat) => layer.depth_of_grade(fat),
                    SkimDepth::Layer => Some(layer.volume_part),
                };
                // Nothing to skim: it stays whole milk.
                let Some(deep) = deep.filter(|&d| d > 0.0) else {
                    i += 1;
                    continue;
                };
                // Whole jars, as many as minutes and what is kept back allow.
                let time = (self.minutes_left * (1.0 + SLACK) - minutes) / minutes_per_jar;
                let by_time = if minutes_per_jar > 0.0 { time as u32 } else { lot.jars };
                let spare = self.larder.stock(fixed::WHOLE) - kept + CRUMB;
                let jars = (0..=lot.jars.min(by_time))
                    .rev()
                    .find(|&n| self.larder.jars_hold(fixed::WHOLE, &lot, n) <= spare)
                    .unwrap_or(0);
                if jars == 0 {
                    why = why.max(if by_time == 0 { Blocked::Minutes } else { Blocked::Stock });
                    break;
                }
                let mass = self.larder.jars_hold(fixed::WHOLE, &lot, jars);
                let Some(lot) = self.larder.part(fixed::WHOLE, place, i, mass, jars) else { break };
                self.larder.empty_jars(&lot);
                if skimmed.matter.mass > 0.0 && skimmed.day != lot.day {
                    self.put_back(&mut skimmed, &mut lent, &before);
                }
                minutes += minutes_per_jar * f64::from(jars);
                kg += lot.matter.mass;
                let part = |matter| Taken {
                    matter,
                    foul: Matter::NONE,
                    drawn: lot.drawn,
                    life,
                    tainted: lot.foul,
                    species: lot.species,
                    day: lot.day,
                };
                let mut left = lot.matter;
                let mut from = 0.0;
                for cut in cuts(&layer, deep, apart).into_iter().filter(|&c| c > 0.0) {
                    let cream = between(&layer, lot.matter, from, cut);
                    from = cut;
                    left -= cream;
                    creams[grade(cream.fat_part())].join(&part(cream));
                }
                skimmed.join(&part(left));
            }
        }
        if kg <= CRUMB {
            return Err(why);
        }
        self.put_back(&mut skimmed, &mut lent, &before);
        for (i, cream) in creams.iter().enumerate() {
            self.put_pool(ItemId(fixed::TOP_CREAM.0 + i as u8), cream);
        }
        self.larder.end_reuse(&lent, &clean);
        // The jar that people poured from was skimmed with the rest.
        self.close_jar(fixed::WHOLE);
        Ok(Fired { kg, minutes })
    }

    /// The jars just emptied take the skimmed milk again.
    fn put_back(&mut self, pool: &mut Taken, lent: &mut [u32; MAX_JARS], before: &[u32; MAX_JARS]) {
        let more = self.larder.reuse_since(before);
        lent.iter_mut().zip(more).for_each(|(sum, n)| *sum += n);
        self.put_pool(fixed::SKIMMED, pool);
        *pool = Taken::NOTHING;
    }

    /// Puts a pool of several milkings away: oldest drawn time, shortest life.
    fn put_pool(&mut self, item: ItemId, pool: &Taken) {
        if pool.matter.mass <= 0.0 {
            return;
        }
        let parcel = Parcel {
            item,
            matter: pool.matter,
            drawn: pool.drawn,
            rested: self.larder.now,
            life: pool.life,
            risen: 0.0,
            ready: self.larder.now,
            ageing_loss: 0.0,
            day: pool.day,
            species: pool.species,
            foul: pool.tainted,
            warm: false,
        };
        self.put_away(&parcel);
    }
}

/// Depths at which one cut ends and the next begins, the last being `deep`.
fn cuts(layer: &Layer, deep: f64, apart: bool) -> [f64; 3] {
    if !apart {
        return [deep, 0.0, 0.0];
    }
    let top = layer.depth_of_grade(HEAVY).unwrap_or(0.0).min(deep);
    let slope = layer.top_fat - layer.bottom_fat;
    let middle = if slope > 0.0 { layer.volume_part * (layer.top_fat - MIDDLE) / slope } else { 0.0 };
    let middle = middle.clamp(top, deep.max(top));
    [top, if middle > top { middle } else { 0.0 }, if deep > middle { deep } else { 0.0 }]
}

/// The cream between two depths of a lot.
fn between(layer: &Layer, lot: Matter, from: f64, to: f64) -> Matter {
    let (a, b) = (layer.cut(from), layer.cut(to));
    let part = b.part - a.part;
    let mass = lot.mass * part;
    let fat = (lot.mass * (b.part * b.fat_part - a.part * a.fat_part)).clamp(0.0, mass.min(lot.fat));
    // Protein is in the part that is not fat, evenly.
    let serum = (mass - fat) / (lot.mass - lot.fat).max(f64::MIN_POSITIVE);
    Matter { mass, fat, protein: lot.protein * serum, milk: lot.milk * part }
}

/// 0 top, 1 middle, 2 thin: the order of the cream items.
fn grade(fat: f64) -> usize {
    if fat >= TOP {
        0
    } else if fat >= MIDDLE {
        1
    } else {
        2
    }
}
