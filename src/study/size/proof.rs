//! What a search claims: shown on trials that nothing has used before, each block of
//! them sized beforehand and judged once.

use std::collections::BTreeSet;

use super::exact::{block, block_that_refuses, shows_enough, shows_fewer};
use super::search::{ROUND, Response, Search, Stop, add, both, part};
use super::{Answer, Standing};
use crate::study::aims::reaches;

/// Fewer trials than these are not worth a last try.
const FEW: u32 = 50;

impl Search {
    /// Proves a candidate enough, from `above` outward as long as that is no way into
    /// what fails.
    pub(super) fn prove_outward<R: Response>(&mut self, r: &mut R) -> Result<bool, Stop<R::Error>> {
        let top = self.candidates - 1;
        let (mut at, mut step) = (self.above, 1);
        loop {
            let mut good = self.leans(r, at, ROUND)?;
            for depth in [ROUND, self.deepest()] {
                good = good && self.leans(r, at, depth)?;
                // Something is left for the neighbour.
                if good
                    && let Some(size) = self.proving(at, self.left() / 3 * 2)
                    && self.prove(r, at, size)?
                {
                    return Ok(true);
                }
            }
            if at == top || (!good && at > self.above) {
                return Ok(false);
            }
            at = (at + step).min(top);
            // The next two by one step, then ever longer ones.
            step = if self.attempts > 1 { step * 2 } else { step };
        }
    }

    /// None could be shown enough with ease: the one that comes closest gets the
    /// trials that are left, until it is shown or nothing seems to be enough: then whether
    /// the most generous one is shown to fail.
    pub(super) fn last_resort<R: Response>(&mut self, r: &mut R) -> Result<Option<bool>, Stop<R::Error>> {
        let top = self.candidates - 1;
        loop {
            let best = self.closest();
            if self.seems_good(best) {
                let size = self.proving(best, self.left());
                // A quarter of the rest may go into knowing it better.
                let trials = self.seen.get(&best).map_or(0, |s| s.trials);
                if size.is_none() && trials < self.left() / 4 && self.deepen(r, best)? {
                    continue;
                }
                let Some(size) = size.or_else(|| self.all_left()) else {
                    return Err(Stop::Trials);
                };
                if self.prove(r, best, size)? {
                    return Ok(None);
                }
                continue;
            }
            // The most generous one speaks for all; it may not have been looked at yet.
            let unclear = [best, top].into_iter().find(|at| !self.fails_clearly(*at));
            let Some(at) = unclear else { return Ok(Some(true)) };
            if self.deepen(r, at)? {
                continue;
            }
            // Not another look to be had: the rest goes to it at once.
            let size = self.refusing(at, self.left()).or_else(|| self.all_left());
            if let Some(size) = size {
                self.refuse(r, at, size)?;
                continue;
            }
            return Ok(Some(self.fails_clearly(top)));
        }
    }

    /// Shown to fail, in the search or on fresh trials.
    fn fails_clearly(&self, at: usize) -> bool {
        let standing = self.seen.get(&at).and_then(|s| s.standing);
        standing == Some(Standing::Fails) || self.clear(at) == Some(false)
    }

    /// That no candidate keeps every aim, by all that is known of them now.
    pub(super) fn none_meets(&self, shown: bool) -> Answer {
        let unhelped = (0..self.wanted.len()).filter(|i| self.missed_by_all(*i)).collect();
        Answer::NoneMeets { best: self.misses_fewest(), shown, unhelped }
    }

    /// Missed by every candidate that was tried, over all its trials.
    pub(super) fn missed_by_all(&self, aim: usize) -> bool {
        self.seen.keys().all(|at| self.margin(*at, aim) < 0.0)
    }

    /// The candidate that misses the fewest of all aims, over all its trials; of several, the
    /// one that misses its worst by least.
    pub(super) fn misses_fewest(&self) -> usize {
        let aims = || 0..self.wanted.len();
        let missed = |at: usize| aims().filter(|i| self.margin(at, *i) < 0.0).count();
        let worst = |at: usize| aims().map(|i| self.margin(at, i)).fold(f64::INFINITY, f64::min);
        let all = self.seen.keys().copied();
        let closer = |a: &usize, b: &usize| {
            missed(*b).cmp(&missed(*a)).then(worst(*a).total_cmp(&worst(*b))).then(a.cmp(b))
        };
        all.max_by(closer).unwrap_or(self.candidates - 1)
    }

    /// Narrows what lies between a candidate that is shown to fail and the one that
    /// is shown enough, as long as trials last.
    pub(super) fn close<R: Response>(&mut self, r: &mut R) -> Result<(), Stop<R::Error>> {
        // Too close to the edge to be told with ease.
        let mut tight = BTreeSet::<usize>::new();
        let mut step = 1;
        while let Some(enough) = self.enough {
            let from = self.fails.map_or(0, |f| f + 1);
            if from >= enough {
                return Ok(());
            }
            let at = match (self.fails, tight.range(from..enough).next()) {
                (_, None) => enough - 1,
                // Ever farther out, until one is shown to fail.
                (None, Some(lowest)) if *lowest > 0 => {
                    step *= 2;
                    lowest.saturating_sub(step)
                }
                (Some(fails), Some(lowest)) if *lowest > from => fails + (lowest - fails) / 2,
                _ => {
                    if !self.spend(r, from..enough)? {
                        return Ok(());
                    }
                    continue;
                }
            };
            if !self.tell(r, at)? {
                tight.insert(at);
            }
        }
        Ok(())
    }

    /// Shows that a candidate is enough or that it fails, if that is likely with a
    /// part of the trials that are left.
    fn tell<R: Response>(&mut self, r: &mut R, at: usize) -> Result<bool, Stop<R::Error>> {
        for depth in [ROUND, self.deepest()] {
            self.leans(r, at, depth)?;
            // The neighbour is what was asked for: nothing need be left for those farther out.
            let next = self.enough.is_some_and(|e| at + 1 == e) && depth > ROUND;
            let most = if next { self.left() } else { self.left() / 3 * 2 };
            if let Some((good, size)) = self.telling(at, most) {
                return if good { self.prove(r, at, size) } else { self.refuse(r, at, size) };
            }
        }
        Ok(false)
    }

    /// Only close calls are left: the easiest of them, with all that it takes.
    fn spend<R: Response>(&mut self, r: &mut R, gap: std::ops::Range<usize>) -> Result<bool, Stop<R::Error>> {
        let open: Vec<usize> = self.seen.range(gap).map(|(at, _)| *at).collect();
        let cost = |at: &usize| self.telling(*at, u32::MAX).map_or(u32::MAX, |(_, n)| n);
        let Some(at) = open.into_iter().rev().min_by_key(cost) else { return Ok(false) };
        let size = cost(&at);
        let size = if size <= self.left() { Some(size) } else { self.all_left() };
        let Some(size) = size else { return Ok(false) };
        if self.seems_good(at) {
            self.prove(r, at, size)?
        } else {
            self.refuse(r, at, size)?
        };
        Ok(true)
    }

    /// Which of the two can be shown of a candidate, and the trials it takes.
    fn telling(&self, at: usize, most: u32) -> Option<(bool, u32)> {
        let good = self.seems_good(at);
        let size = if good { self.proving(at, most) } else { self.refusing(at, most) };
        size.map(|n| (good, n))
    }

    /// Doubt of the next attempt to show that one is enough, and that one fails.
    fn next_doubts(&self) -> [f64; 2] {
        let halved = |whole: f64, n: u32| whole / f64::from(1_u32 << (n + 1).min(30));
        [halved(self.doubt() / 2.0, self.attempts), halved(self.doubt() / 4.0, self.refusals)]
    }

    pub(super) fn proving(&self, at: usize, most: u32) -> Option<u32> {
        let (kept, trials, wanted) = self.judged(at)?;
        block(&kept, trials, &wanted, self.next_doubts()[0], most)
    }

    fn refusing(&self, at: usize, most: u32) -> Option<u32> {
        let (kept, trials, wanted) = self.judged(at)?;
        block_that_refuses(&kept, trials, &wanted, self.next_doubts()[1], most)
    }

    fn all_left(&self) -> Option<u32> {
        Some(self.left()).filter(|n| *n >= FEW)
    }

    /// Counts of the aims that are judged, of how many trials, and parts wanted.
    fn judged(&self, at: usize) -> Option<(Vec<u32>, u32, Vec<f64>)> {
        let seen = self.seen.get(&at).filter(|s| s.all() > 0)?;
        let kept = seen.all_kept();
        let kept = self.aims.iter().map(|i| kept.get(*i).copied().unwrap_or(0)).collect();
        Some((kept, seen.all(), self.aims.iter().map(|i| self.wanted[*i]).collect()))
    }

    /// One attempt to show a candidate enough.
    pub(super) fn prove<R: Response>(
        &mut self,
        r: &mut R,
        at: usize,
        size: u32,
    ) -> Result<bool, Stop<R::Error>> {
        let each = self.next_doubts()[0] / self.aims.len().max(1) as f64;
        self.attempts += 1;
        let kept = self.fresh(r, at, size)?;
        let shown = self.aims.iter().all(|i| shows_enough(kept[*i], size, self.wanted[*i], each));
        self.stand(at, if shown { Standing::Enough } else { Standing::NotShown });
        if shown {
            self.enough = Some(at);
            self.proof = size;
        }
        Ok(shown)
    }

    /// One attempt to show that a candidate misses an aim.
    fn refuse<R: Response>(&mut self, r: &mut R, at: usize, size: u32) -> Result<bool, Stop<R::Error>> {
        let each = self.next_doubts()[1] / self.aims.len().max(1) as f64;
        self.refusals += 1;
        let kept = self.fresh(r, at, size)?;
        let shown = self.aims.iter().any(|i| shows_fewer(kept[*i], size, self.wanted[*i], each));
        if shown {
            self.stand(at, Standing::Fails);
            self.fails = self.fails.max(Some(at));
        }
        Ok(shown)
    }

    /// The candidate that keeps its worst aim best, of those looked at.
    fn closest(&self) -> usize {
        let worst = |at: usize| self.aims.iter().map(|i| self.margin(at, *i)).fold(f64::INFINITY, f64::min);
        let all = self.seen.keys().copied();
        all.max_by(|a, b| worst(*a).total_cmp(&worst(*b)).then(a.cmp(b))).unwrap_or(self.candidates - 1)
    }

    /// Keeps every aim over all its trials.
    fn seems_good(&self, at: usize) -> bool {
        self.seen.get(&at).is_some_and(|s| {
            let kept = s.all_kept();
            self.aims.iter().all(|i| reaches(part(&kept, s.all(), *i), self.wanted[*i]))
        })
    }

    /// How far all its trials lie above what is wanted; below it by as much as nothing counts
    /// as reached.
    pub(super) fn margin(&self, at: usize, aim: usize) -> f64 {
        let Some(seen) = self.seen.get(&at) else { return -self.wanted[aim] };
        let found = part(&seen.all_kept(), seen.all(), aim);
        if reaches(found, self.wanted[aim]) {
            (found - self.wanted[aim]).max(0.0)
        } else {
            found - self.wanted[aim]
        }
    }

    /// Runs trials that nothing has used, and counts those that kept each aim.
    fn fresh<R: Response>(&mut self, r: &mut R, at: usize, size: u32) -> Result<Vec<u32>, Stop<R::Error>> {
        let from = self.next_fresh;
        let kept = self.trials(r, at, from..from.saturating_add(size))?;
        self.next_fresh = from.saturating_add(size);
        let aims = self.wanted.len();
        let mut sums = vec![0; aims];
        add(&mut sums, &kept);
        let seen = self.seen.entry(at).or_default();
        seen.kept.resize(aims, 0);
        seen.fresh_kept = both(&sums, &seen.fresh_kept);
        seen.fresh += size;
        Ok(sums)
    }

    pub(super) fn stand(&mut self, at: usize, standing: Standing) {
        if let Some(seen) = self.seen.get_mut(&at) {
            seen.standing = Some(standing);
        }
    }
}
