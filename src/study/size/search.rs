//! The search and its proofs. Every decision is made on counts of trials, so
//! the same seed gives the same answer on any number of threads.

use std::collections::BTreeMap;
use std::ops::Range;

use super::exact::{block, shows_enough, shows_fewer};
use super::{Answer, FRESH_FROM, SizeOptions, SizeResult, Standing};
use crate::study::aims::reaches;

/// First look at a candidate, trials; then twice as many, and so on.
const FIRST: u32 = 64;
/// Looks that may be taken in a search, and so share its doubt.
const LOOKS: u32 = 12;
/// Trials of a candidate in the first round; in later ones twice as many.
const ROUND: u32 = 256;
/// First look at whether a neighbour fails, trials; then twice as many.
const FIRST_FAIL: u32 = 250;
/// Such looks that may be taken.
const FAIL_LOOKS: u32 = 8;
/// Attempts at a proof, so many at most.
const MOST_ATTEMPTS: u32 = 8;

/// What is searched: how candidates do in trials.
pub trait Response {
    /// Why a candidate cannot be run.
    type Error;

    /// Runs trials of a candidate (0 is the most frugal): trial by trial, aim by
    /// aim, was it kept.
    ///
    /// # Errors
    /// Whatever keeps it from being run; the search ends with it.
    fn run(&mut self, candidate: usize, trials: Range<u32>) -> Result<Vec<bool>, Self::Error>;
}

/// Why the search stops.
enum Stop<E> {
    /// No trials are left.
    Trials,
    Error(E),
}

/// What is known of a candidate.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// Trials 0, 1, 2, …: trial by trial, aim by aim.
    pub searched: Vec<bool>,
    /// Trials of the search that kept each aim.
    pub kept: Vec<u32>,
    pub trials: u32,
    /// Fresh trials, and how many of them kept each aim.
    pub fresh: u32,
    pub fresh_kept: Vec<u32>,
    pub standing: Option<Standing>,
}

/// A search under way; what it knows can be asked for at any time.
#[derive(Debug)]
pub struct Search {
    pub(super) candidates: usize,
    pub(super) wanted: Vec<f64>,
    pub(super) options: SizeOptions,
    pub(super) seen: BTreeMap<usize, Seen>,
    pub(super) spent: u32,
    pub(super) attempts: u32,
    pub(super) proof: u32,
    /// First trial of the last block of a proof, and the first unused one.
    block_from: u32,
    next_fresh: u32,
    neighbours: u32,
    /// The most generous candidate that seems to fail; the most frugal that does not.
    below: Option<usize>,
    above: usize,
    enough: Option<usize>,
    fails: Option<usize>,
}

impl Search {
    /// Of so many candidates, for aims that are wanted in these parts of trials.
    #[must_use]
    pub fn new(candidates: usize, wanted: Vec<f64>, options: SizeOptions) -> Self {
        Self {
            candidates,
            wanted,
            options,
            seen: BTreeMap::new(),
            spent: 0,
            attempts: 0,
            proof: 0,
            block_from: FRESH_FROM,
            next_fresh: FRESH_FROM,
            neighbours: 0,
            below: None,
            above: candidates.saturating_sub(1),
            enough: None,
            fails: None,
        }
    }

    /// Searches to the end, and says what was found.
    ///
    /// # Errors
    /// Those of the response; [`Self::broken_off`] then says what is known.
    pub fn go<R: Response>(&mut self, response: &mut R) -> Result<SizeResult, R::Error> {
        let answer = match self.whole(response) {
            Ok(answer) => answer,
            Err(Stop::Trials) => self.so_far(),
            Err(Stop::Error(e)) => return Err(e),
        };
        Ok(self.result(answer, false))
    }

    /// What is known when a search ends before its time.
    #[must_use]
    pub fn broken_off(&self) -> SizeResult {
        self.result(self.so_far(), true)
    }

    fn so_far(&self) -> Answer {
        match self.enough {
            Some(enough) => Answer::Found { enough, fails: self.fails },
            None => Answer::Open { from: self.below.map_or(0, |b| b + 1).min(self.above), up_to: self.above },
        }
    }

    fn doubt(&self) -> f64 {
        1.0 - self.options.sure
    }

    fn left(&self) -> u32 {
        self.options.most.saturating_sub(self.spent)
    }

    /// Deepest look of the search at one candidate.
    fn deepest(&self) -> u32 {
        let part = (self.options.most / 16).clamp(2 * ROUND, 32 * ROUND);
        ROUND << (part / ROUND).ilog2()
    }

    fn whole<R: Response>(&mut self, r: &mut R) -> Result<Answer, Stop<R::Error>> {
        let Some(good) = self.some_good(r)? else {
            return self.none(r);
        };
        self.above = good;
        if good > 0 {
            if self.leans(r, 0, ROUND)? {
                self.above = 0;
            } else {
                self.below = Some(0);
            }
        }
        self.halve(r)?;
        let mut depth = ROUND;
        while depth < self.deepest() {
            depth *= 2;
            self.refine(r, depth)?;
        }
        if !self.prove(r)? {
            return Ok(self.so_far());
        }
        self.neighbour(r)?;
        Ok(self.so_far())
    }

    /// Halves the gap between a candidate that seems to fail and one that does not.
    fn halve<R: Response>(&mut self, r: &mut R) -> Result<(), Stop<R::Error>> {
        while let Some(below) = self.below
            && self.above - below > 1
        {
            let middle = below + (self.above - below) / 2;
            if self.leans(r, middle, ROUND)? {
                self.above = middle;
            } else {
                self.below = Some(middle);
            }
        }
        Ok(())
    }

    /// Looks deeper at both sides of the gap, and moves it where that shows
    /// something else.
    fn refine<R: Response>(&mut self, r: &mut R, depth: u32) -> Result<(), Stop<R::Error>> {
        loop {
            if !self.leans(r, self.above, depth)? {
                if self.above + 1 >= self.candidates {
                    return Ok(());
                }
                self.below = Some(self.above);
                self.above += 1;
            } else if let Some(below) = self.below
                && self.leans(r, below, depth)?
            {
                self.above = below;
                self.below = below.checked_sub(1);
            } else {
                return Ok(());
            }
        }
    }

    /// A candidate that seems to keep every aim: the most generous, or another.
    fn some_good<R: Response>(&mut self, r: &mut R) -> Result<Option<usize>, Stop<R::Error>> {
        let top = self.candidates - 1;
        if self.leans(r, top, ROUND)? {
            return Ok(Some(top));
        }
        for eighths in [0, 4, 6, 2, 7, 5, 3, 1] {
            let at = top * eighths / 8;
            if !self.seen.contains_key(&at) && self.leans(r, at, ROUND)? {
                return Ok(Some(at));
            }
        }
        if self.leans(r, 0, ROUND)? {
            return Ok(Some(0));
        }
        // Where one aim is missed on one side and another on the other, both may
        // be kept between them.
        let tried: Vec<usize> = self.seen.keys().copied().collect();
        for pair in tried.windows(2) {
            let (mut a, mut b) = (pair[0], pair[1]);
            while b - a > 1 && self.opposed(a, b) {
                let middle = a + (b - a) / 2;
                if self.leans(r, middle, ROUND)? {
                    return Ok(Some(middle));
                }
                if self.opposed(middle, b) {
                    a = middle;
                } else {
                    b = middle;
                }
            }
        }
        Ok(None)
    }

    /// Each misses an aim that the other keeps.
    fn opposed(&self, a: usize, b: usize) -> bool {
        let only =
            |x: usize, y: usize| (0..self.wanted.len()).any(|i| self.misses(x, i) && !self.misses(y, i));
        only(a, b) && only(b, a)
    }

    /// Misses an aim, as far as the search goes.
    fn misses(&self, candidate: usize, aim: usize) -> bool {
        !reaches(self.part(candidate, aim), self.wanted[aim])
    }

    fn part(&self, candidate: usize, aim: usize) -> f64 {
        self.seen
            .get(&candidate)
            .map_or(0.0, |s| f64::from(s.kept.get(aim).copied().unwrap_or(0)) / f64::from(s.trials.max(1)))
    }

    fn margin(&self, candidate: usize, aim: usize) -> f64 {
        self.part(candidate, aim) - self.wanted[aim]
    }

    fn worst_margin(&self, candidate: usize) -> f64 {
        (0..self.wanted.len()).map(|i| self.margin(candidate, i)).fold(f64::INFINITY, f64::min)
    }

    /// Nothing seems to keep every aim: a closer look at the most generous one
    /// and at the one that comes closest.
    fn none<R: Response>(&mut self, r: &mut R) -> Result<Answer, Stop<R::Error>> {
        let top = self.candidates - 1;
        let depth = self.deepest();
        self.leans(r, top, depth)?;
        let closest = |s: &Self| {
            let all = s.seen.keys().copied();
            all.max_by(|a, b| s.worst_margin(*a).total_cmp(&s.worst_margin(*b)).then(a.cmp(b))).unwrap_or(top)
        };
        let first = closest(self);
        if self.leans(r, first, depth)? {
            self.above = first;
            if self.prove(r)? {
                self.neighbour(r)?;
                return Ok(self.so_far());
            }
        }
        let best = closest(self);
        let shown = self.clear(top) == Some(false);
        let unhelped =
            (0..self.wanted.len()).filter(|i| self.misses(top, *i) && self.misses(0, *i)).collect();
        Ok(Answer::NoneMeets { best, shown, unhelped })
    }

    /// Does a candidate seem to keep every aim, after so many trials of the
    /// search, or fewer where that is clear.
    fn leans<R: Response>(&mut self, r: &mut R, at: usize, depth: u32) -> Result<bool, Stop<R::Error>> {
        loop {
            let trials = self.seen.get(&at).map_or(0, |s| s.trials);
            if trials >= depth {
                break;
            }
            if trials > 0 && self.clear(at).is_some() {
                break;
            }
            let to = if trials == 0 { FIRST } else { trials * 2 };
            let kept = self.trials(r, at, trials..to)?;
            let aims = self.wanted.len();
            let seen = self.seen.entry(at).or_default();
            seen.kept.resize(aims, 0);
            add(&mut seen.kept, &kept);
            seen.trials = to;
            seen.searched.extend(kept);
        }
        Ok((0..self.wanted.len()).all(|i| !self.misses(at, i)))
    }

    /// What the search's trials show of a candidate beyond doubt, if anything:
    /// that every aim is kept, or that one is missed.
    fn clear(&self, at: usize) -> Option<bool> {
        let seen = self.seen.get(&at)?;
        let alpha = self.doubt() / 4.0 / f64::from(LOOKS) / self.wanted.len().max(1) as f64;
        let each = || seen.kept.iter().zip(&self.wanted);
        if each().any(|(k, w)| shows_fewer(*k, seen.trials, *w, alpha)) {
            Some(false)
        } else if each().all(|(k, w)| shows_enough(*k, seen.trials, *w, alpha)) {
            Some(true)
        } else {
            None
        }
    }

    /// Proves a candidate enough, from `above` outward.
    fn prove<R: Response>(&mut self, r: &mut R) -> Result<bool, Stop<R::Error>> {
        let mut step = 1;
        while self.attempts < MOST_ATTEMPTS {
            if self.leans(r, self.above, ROUND)? && self.attempt(r, self.above)? {
                return Ok(true);
            }
            let top = self.candidates - 1;
            if self.above == top {
                return Ok(false);
            }
            self.above = (self.above + step).min(top);
            // The next two by one step, then ever longer ones.
            step = if self.attempts > 1 { step * 2 } else { step };
        }
        Ok(false)
    }

    /// One attempt to show a candidate enough, on a block of fresh trials that
    /// is judged once; none where no block that can be paid for is likely to.
    fn attempt<R: Response>(&mut self, r: &mut R, at: usize) -> Result<bool, Stop<R::Error>> {
        let Some(seen) = self.seen.get(&at) else { return Ok(false) };
        let alpha = self.doubt() / 2.0 / f64::from(1_u32 << (self.attempts + 1).min(30));
        let trials = seen.trials + seen.fresh;
        let kept = both(&seen.kept, &seen.fresh_kept);
        // Something is left for the neighbour.
        let Some(size) = block(&kept, trials, &self.wanted, alpha, self.left() / 3 * 2) else {
            return Ok(false);
        };
        self.attempts += 1;
        self.block_from = self.next_fresh;
        let kept = self.fresh(r, at, 0..size)?;
        let each = alpha / self.wanted.len().max(1) as f64;
        let shown = kept.iter().zip(&self.wanted).all(|(k, w)| shows_enough(*k, size, *w, each));
        self.stand(at, if shown { Standing::Enough } else { Standing::NotShown });
        if shown {
            self.enough = Some(at);
            self.proof = size;
        }
        Ok(shown)
    }

    /// Shows that the next more frugal candidate fails, or looks for the nearest
    /// that does. One that seems good after all gets a proof of its own.
    fn neighbour<R: Response>(&mut self, r: &mut R) -> Result<(), Stop<R::Error>> {
        let mut step = 1;
        let mut from = self.enough;
        while let Some(above) = from.filter(|f| *f > 0) {
            let at = above.saturating_sub(step);
            if self.shown_to_fail(r, at)? {
                self.fails = Some(at);
                return Ok(());
            }
            if self.attempts < MOST_ATTEMPTS && self.seems_good(at) && self.attempt(r, at)? {
                step = 1;
            } else {
                step *= 2;
            }
            from = Some(at);
        }
        Ok(())
    }

    /// Keeps every aim over all its trials.
    fn seems_good(&self, at: usize) -> bool {
        self.seen.get(&at).is_some_and(|s| {
            let trials = f64::from((s.trials + s.fresh).max(1));
            both(&s.kept, &s.fresh_kept)
                .iter()
                .zip(&self.wanted)
                .all(|(k, w)| reaches(f64::from(*k) / trials, *w))
        })
    }

    /// Is a candidate shown to miss an aim, on fresh trials: those of the last
    /// proof, and more of them while it seems likely to help.
    fn shown_to_fail<R: Response>(&mut self, r: &mut R, at: usize) -> Result<bool, Stop<R::Error>> {
        self.neighbours += 1;
        let share = self.doubt() / 4.0 / f64::from(1_u32 << self.neighbours.min(30));
        let alpha = share / f64::from(FAIL_LOOKS) / self.wanted.len().max(1) as f64;
        let (mut done, mut kept) = (0, vec![0; self.wanted.len()]);
        for look in 0..FAIL_LOOKS {
            let to = FIRST_FAIL << look;
            let more = self.fresh(r, at, done..to)?;
            kept.iter_mut().zip(&more).for_each(|(k, m)| *k += m);
            done = to;
            if kept.iter().zip(&self.wanted).any(|(k, w)| shows_fewer(*k, done, *w, alpha)) {
                self.stand(at, Standing::Fails);
                return Ok(true);
            }
            // How many would show it, were the parts lower than now by a standard error.
            let n = f64::from(done);
            let short = kept.iter().zip(&self.wanted).map(|(k, w)| {
                let error = (w * (1.0 - w) / n).sqrt();
                (w - f64::from(*k) / n + error, *w)
            });
            let need = short
                .filter(|(away, _)| *away > 0.0)
                .map(|(away, w)| 16.0 * w * (1.0 - w) / (away * away))
                .fold(f64::INFINITY, f64::min);
            let hopeless = need > f64::from(done.saturating_add(self.left()));
            if done >= 1000 && hopeless {
                break;
            }
        }
        Ok(false)
    }

    /// Trials of the last block on, counted from its start.
    fn fresh<R: Response>(
        &mut self,
        r: &mut R,
        at: usize,
        of: Range<u32>,
    ) -> Result<Vec<u32>, Stop<R::Error>> {
        let trials = self.block_from + of.start..self.block_from + of.end;
        let count = of.end - of.start;
        let kept = self.trials(r, at, trials)?;
        self.next_fresh = self.next_fresh.max(self.block_from + of.end);
        let aims = self.wanted.len();
        let mut sums = vec![0; aims];
        add(&mut sums, &kept);
        let seen = self.seen.entry(at).or_default();
        seen.kept.resize(aims, 0);
        seen.fresh_kept = both(&sums, &seen.fresh_kept);
        seen.fresh += count;
        Ok(sums)
    }

    fn trials<R: Response>(
        &mut self,
        r: &mut R,
        at: usize,
        of: Range<u32>,
    ) -> Result<Vec<bool>, Stop<R::Error>> {
        let count = of.end - of.start;
        if count > self.left() {
            return Err(Stop::Trials);
        }
        let kept = r.run(at, of).map_err(Stop::Error)?;
        self.spent += count;
        Ok(kept)
    }

    fn stand(&mut self, at: usize, standing: Standing) {
        if let Some(seen) = self.seen.get_mut(&at) {
            seen.standing = Some(standing);
        }
    }
}

/// Adds up rows of trials, aim by aim.
fn add(sums: &mut [u32], kept: &[bool]) {
    for row in kept.chunks_exact(sums.len().max(1)) {
        for (sum, kept) in sums.iter_mut().zip(row) {
            *sum += u32::from(*kept);
        }
    }
}

/// Counts of both; either may be empty.
pub(super) fn both(a: &[u32], b: &[u32]) -> Vec<u32> {
    a.iter().enumerate().map(|(i, a)| a + b.get(i).copied().unwrap_or(0)).collect()
}
