//! What stands in the house when a run begins.

use statrs::distribution::{ContinuousCDF, Normal};

use super::larder::Parcel;
use super::luck::Luck;
use super::outcome::Source;
use super::trial::Trial;
use crate::scenario::plan::{ItemMask, OpeningLife, fixed};

/// Less than this chance of a life is none.
const LEAST_CHANCE: f64 = 1e-300;

/// What is left of a log-normal life of arithmetic mean `mean` and log standard
/// deviation `sd` of which `used` is over and which has not ended yet, from one
/// standard normal, by monotone inversion.
pub(super) fn life_left(mean: f64, sd: f64, used: f64, z: f64) -> f64 {
    if sd <= 0.0 || used <= 0.0 || mean <= 0.0 {
        return ((sd * z - 0.5 * sd * sd).exp() * mean - used).max(0.0);
    }
    let law = Normal::standard();
    let lasts = law.sf(((used / mean).ln() + 0.5 * sd * sd) / sd);
    let part = (lasts * law.sf(z)).max(LEAST_CHANCE);
    let z = -law.inverse_cdf(part);
    ((sd * z - 0.5 * sd * sd).exp() * mean - used).max(0.0)
}

impl Trial<'_> {
    /// Puts what there is at the start where it stands, and books it.
    pub(super) fn open_house(&mut self, luck: &Luck) {
        let plan = self.plan;
        let opening = &plan.opening;
        if let Some(first) = plan.days.first()
            && !opening.lots.is_empty()
        {
            self.larder.begin_day(first.month);
        }
        let k = &plan.keeping;
        let mut there: ItemMask = 0;
        for lot in &opening.lots {
            let life = match lot.life {
                OpeningLife::Left(left) => left,
                OpeningLife::Drawn { used, .. } if luck.steady => (k.life_days - used).max(0.0),
                OpeningLife::Drawn { used, draw } => {
                    let z = luck.opening.get(usize::from(draw)).copied().unwrap_or(0.0);
                    life_left(k.life_days, k.life_log_sd, used, z)
                }
            };
            self.ledger.came(Source::Opening, lot.matter);
            there |= 1 << lot.item.0;
            let parcel = Parcel {
                item: lot.item,
                matter: lot.matter,
                drawn: lot.drawn,
                rested: lot.drawn,
                life,
                risen: lot.risen_h,
                ready: lot.ready,
                ageing_loss: lot.ageing_loss,
                day: u32::MAX,
                species: lot.species,
                foul: false,
                warm: false,
            };
            self.larder.open(&parcel, lot.store, lot.jars);
        }
        for (size, days) in opening.jars_away.iter().enumerate() {
            for (day, &n) in days.iter().enumerate() {
                self.larder.is_away(size, n, day);
            }
        }
        self.shares.owe(opening.owed_kg);
        if opening.known {
            let milk = 1 << fixed::WHOLE.0 | 1 << fixed::SKIMMED.0;
            let fresh = self.herd.iter().any(|a| a.fresh < 0 && a.is_here(0));
            self.home_milk_seen |= fresh;
            self.milk_seen |= fresh || there & milk != 0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng, rngs::Xoshiro256PlusPlus};
    use rand_distr::StandardNormal;

    /// Against plain rejection: draw whole lives, keep those that are longer
    /// than what is used up.
    #[test]
    fn what_is_left_follows_the_law_of_lives_that_have_lasted() {
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(5);
        let (mean, sd, n) = (8.5, 0.25, 40_000);
        for used in [2.0, 7.0, 11.0] {
            let mut kept = Vec::new();
            while kept.len() < n {
                let z: f64 = rng.sample(StandardNormal);
                let life = mean * (sd * z - 0.5 * sd * sd).exp();
                if life > used {
                    kept.push(life - used);
                }
            }
            let mut ours: Vec<f64> =
                (0..n).map(|_| life_left(mean, sd, used, rng.sample(StandardNormal))).collect();
            kept.sort_by(f64::total_cmp);
            ours.sort_by(f64::total_cmp);
            // Kolmogorov and Smirnov's distance of two samples: 1.95 sqrt(2/n) in
            // one of a thousand (Smirnov 1948).
            let (mut i, mut j, mut most) = (0, 0, 0.0_f64);
            while i < n && j < n {
                if kept[i] <= ours[j] {
                    i += 1
                } else {
                    j += 1
                }
                most = most.max((i as f64 - j as f64).abs() / n as f64);
            }
            assert!(most < 1.95 * (2.0 / n as f64).sqrt(), "{used}: {most}");
        }
    }

    #[test]
    fn it_is_steady_far_out_and_without_chance() {
        assert!((life_left(8.5, 0.0, 3.0, 1.7) - 5.5).abs() < 1e-12);
        assert_eq!(life_left(8.5, 0.0, 30.0, 0.0), 0.0);
        for z in [-6.0, 0.0, 6.0] {
            let left = life_left(8.5, 0.25, 200.0, z);
            assert!(left.is_finite() && left >= 0.0, "{z}: {left}");
        }
        assert!(life_left(8.5, 0.25, 5.0, 1.0) > life_left(8.5, 0.25, 5.0, 0.9));
    }
}
