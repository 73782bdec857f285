//! The search on common luck. Every decision is made on counts of trials, so
//! the same seed gives the same answer on any number of threads.

use std::collections::BTreeMap;
use std::ops::Range;

use super::exact::{shows_enough, shows_fewer};
use super::{Answer, FRESH_FROM, Rest, SizeOptions, SizeResult, Standing};
use crate::study::aims::reaches;

/// First look at a candidate, trials; then twice as many, and so on.
const FIRST: u32 = 64;
/// Looks that may be taken in a search, and so share its doubt.
const LOOKS: u32 = 12;
/// Trials of a candidate in the first round; in later ones twice as many.
pub(super) const ROUND: u32 = 256;

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
pub(super) enum Stop<E> {
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
    /// Aims that are judged.
    pub(super) aims: Vec<usize>,
    /// Attempts to show that one is enough, and that one fails.
    pub(super) attempts: u32,
    pub(super) refusals: u32,
    pub(super) proof: u32,
    /// The first trial that nothing has used.
    pub(super) next_fresh: u32,
    /// The most generous candidate that seems to fail; the most frugal that does not.
    pub(super) below: Option<usize>,
    pub(super) above: usize,
    pub(super) enough: Option<usize>,
    pub(super) fails: Option<usize>,
    /// Was the most generous shown to fail, when no candidate was found to keep every aim.
    /// Only some aims are judged since.
    none: Option<bool>,
    /// Aims that were judged together, one set after the other.
    asked: Vec<Vec<usize>>,
}

impl Search {
    /// Of so many candidates, for aims that are wanted in these parts of trials.
    #[must_use]
    pub fn new(candidates: usize, wanted: Vec<f64>, options: SizeOptions) -> Self {
        Self {
            candidates,
            aims: (0..wanted.len()).collect(),
            wanted,
            options,
            seen: BTreeMap::new(),
            spent: 0,
            attempts: 0,
            refusals: 0,
            proof: 0,
            next_fresh: FRESH_FROM,
            below: None,
            above: candidates.saturating_sub(1),
            enough: None,
            fails: None,
            none: None,
            asked: Vec::new(),
        }
    }

    /// Searches to the end, and says what was found.
    ///
    /// # Errors
    /// Those of the response; [`Self::broken_off`] then says what is known.
    pub fn go<R: Response>(&mut self, response: &mut R) -> Result<SizeResult, R::Error> {
        let mut answer = self.judge(response)?;
        while let Answer::NoneMeets { shown, .. } = answer
            && self.narrow(response)?
        {
            self.none.get_or_insert(shown);
            answer = self.judge(response)?;
        }
        if let Answer::Found { enough, .. } = answer {
            self.widen(response, enough)?;
        }
        Ok(self.all(answer, false))
    }

    /// What is known when a search ends before its time.
    #[must_use]
    pub fn broken_off(&self) -> SizeResult {
        self.all(self.so_far(), true)
    }

    /// The answer, where it may be one to some of the aims only. What comes closest is
    /// told by all trials, those of the rest too.
    fn all(&self, answer: Answer, broken_off: bool) -> SizeResult {
        let none = match answer {
            Answer::NoneMeets { shown, .. } => Some(self.none.unwrap_or(shown)),
            _ => self.none,
        };
        let Some(shown) = none else { return self.result(answer, None, broken_off) };
        let rest = match answer {
            // Nothing to offer.
            Answer::NoneMeets { .. } => None,
            answer => Some(Rest { left_out: self.left_out().collect(), answer }),
        };
        self.result(self.none_meets(shown), rest, broken_off)
    }

    /// Aims that are not judged.
    fn left_out(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.wanted.len()).filter(|i| !self.aims.contains(i))
    }

    /// The answer by the aims that are judged.
    fn judge<R: Response>(&mut self, r: &mut R) -> Result<Answer, R::Error> {
        match self.whole(r) {
            Ok(answer) => Ok(answer),
            Err(Stop::Trials) => Ok(self.so_far()),
            Err(Stop::Error(e)) => Err(e),
        }
    }

    /// Where no candidate keeps every aim, judges from now on without those that all that
    /// was tried miss; where that is no help, by those that the candidate keeps which misses
    /// the fewest. The doubt is not renewed: attempts are counted on.
    fn narrow<R: Response>(&mut self, r: &mut R) -> Result<bool, R::Error> {
        if self.wanted.len() < 2 {
            return Ok(false);
        }
        self.asked.push(self.aims.clone());
        // First it is known well enough which that is.
        loop {
            let at = self.misses_fewest();
            let trials = self.seen.get(&at).map_or(0, |s| s.trials);
            if trials >= 2 * ROUND {
                break;
            }
            match self.deepen(r, at) {
                Ok(true) => {}
                Ok(false) | Err(Stop::Trials) => break,
                Err(Stop::Error(e)) => return Err(e),
            }
        }
        if self.left() < ROUND {
            return Ok(false);
        }
        let kept = |missed: &dyn Fn(usize) -> bool| -> Vec<usize> {
            (0..self.wanted.len()).filter(|i| !missed(*i)).collect()
        };
        let best = self.misses_fewest();
        let sets = [kept(&|i| self.missed_by_all(i)), kept(&|i| self.margin(best, i) < 0.0)];
        let Some(next) = sets.into_iter().find(|s| !s.is_empty() && !self.asked.contains(s)) else {
            return Ok(false);
        };
        self.aims = next;
        (self.below, self.above, self.enough, self.fails) = (None, self.candidates - 1, None, None);
        // What one is shown to be was shown by other aims.
        self.seen.values_mut().for_each(|s| s.standing = None);
        Ok(true)
    }

    /// Of the aims that are left out, those that the answer keeps are asked for again, where
    /// that can be shown with ease: on a block of its own, so that both hold together. The
    /// neighbour that misses one of fewer aims misses one of these.
    fn widen<R: Response>(&mut self, r: &mut R, enough: usize) -> Result<(), R::Error> {
        if self.aims.len() == self.wanted.len() {
            return Ok(());
        }
        let judged = self.aims.clone();
        let half = self.left() / 2;
        let mut more = Vec::new();
        for aim in self.left_out().collect::<Vec<_>>() {
            self.aims = vec![aim];
            if self.margin(enough, aim) >= 0.0 && self.proving(enough, half).is_some() {
                more.push(aim);
            }
        }
        self.aims.clone_from(&more);
        let size = if more.is_empty() { None } else { self.proving(enough, self.left()) };
        let proof = self.proof;
        let shown = match size.map(|n| self.prove(r, enough, n)) {
            None | Some(Ok(false) | Err(Stop::Trials)) => false,
            Some(Ok(true)) => true,
            Some(Err(Stop::Error(e))) => {
                self.aims = judged;
                return Err(e);
            }
        };
        self.aims = judged;
        if shown {
            self.proof += proof;
            self.aims.extend(more);
            self.aims.sort_unstable();
        } else {
            self.stand(enough, Standing::Enough);
        }
        Ok(())
    }

    fn so_far(&self) -> Answer {
        match self.enough {
            Some(enough) => Answer::Found { enough, fails: self.fails },
            None => {
                let from = self.below.map_or(0, |b| b + 1).min(self.above);
                // As far as the first that clearly fails.
                let mut beyond = self.seen.range(self.above..).map(|(at, _)| *at);
                let fails = beyond.find(|at| *at > self.above && self.clear(*at) == Some(false));
                let up_to = fails.map_or(self.candidates, |f| f).saturating_sub(1);
                Answer::Open { from, up_to: up_to.max(self.above) }
            }
        }
    }

    pub(super) fn doubt(&self) -> f64 {
        1.0 - self.options.sure
    }

    pub(super) fn left(&self) -> u32 {
        self.options.most.saturating_sub(self.spent)
    }

    /// Deepest look of the search at one candidate.
    pub(super) fn deepest(&self) -> u32 {
        let part = (self.options.most / 16).clamp(2 * ROUND, 32 * ROUND);
        ROUND << (part / ROUND).ilog2()
    }

    fn whole<R: Response>(&mut self, r: &mut R) -> Result<Answer, Stop<R::Error>> {
        let shown = match self.some_good(r)? {
            Some(good) => {
                self.above = good;
                self.seek(r)?;
                self.prove_outward(r)?
            }
            None => false,
        };
        if !shown && let Some(shown) = self.last_resort(r)? {
            return Ok(self.none_meets(shown));
        }
        self.close(r)?;
        Ok(self.so_far())
    }

    /// Where the most frugal one that keeps every aim seems to be.
    fn seek<R: Response>(&mut self, r: &mut R) -> Result<(), Stop<R::Error>> {
        if self.above > 0 {
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
        Ok(())
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
        let only = |x: usize, y: usize| self.aims.iter().any(|i| self.misses(x, *i) && !self.misses(y, *i));
        only(a, b) && only(b, a)
    }

    /// Misses an aim, as far as the search goes.
    fn misses(&self, candidate: usize, aim: usize) -> bool {
        self.seen.get(&candidate).is_none_or(|s| !reaches(part(&s.kept, s.trials, aim), self.wanted[aim]))
    }

    /// Does a candidate seem to keep every aim, after so many trials of the
    /// search, or fewer where that is clear or they cannot be paid for.
    pub(super) fn leans<R: Response>(
        &mut self,
        r: &mut R,
        at: usize,
        depth: u32,
    ) -> Result<bool, Stop<R::Error>> {
        while self.seen.get(&at).is_none_or(|s| s.trials < depth) && self.clear(at).is_none() {
            if !self.deepen(r, at)? {
                break;
            }
        }
        if !self.seen.contains_key(&at) {
            return Err(Stop::Trials);
        }
        Ok(self.aims.iter().all(|i| !self.misses(at, *i)))
    }

    /// Twice as many trials of the search, if they can be paid for and there is
    /// another look to be had.
    pub(super) fn deepen<R: Response>(&mut self, r: &mut R, at: usize) -> Result<bool, Stop<R::Error>> {
        let trials = self.seen.get(&at).map_or(0, |s| s.trials);
        let to = if trials == 0 { FIRST } else { trials * 2 };
        if to > FIRST << (LOOKS - 1) || to - trials > self.left() {
            return Ok(false);
        }
        let kept = self.trials(r, at, trials..to)?;
        let aims = self.wanted.len();
        let seen = self.seen.entry(at).or_default();
        seen.kept.resize(aims, 0);
        add(&mut seen.kept, &kept);
        seen.trials = to;
        seen.searched.extend(kept);
        Ok(true)
    }

    /// What the search's trials show of a candidate beyond doubt, if anything:
    /// that every aim is kept, or that one is missed.
    pub(super) fn clear(&self, at: usize) -> Option<bool> {
        let seen = self.seen.get(&at).filter(|s| s.trials > 0)?;
        // By all aims, judged or not: the same doubt whatever becomes of them.
        let alpha = self.doubt() / 4.0 / f64::from(LOOKS) / self.wanted.len().max(1) as f64;
        let mut each = self.aims.iter().map(|i| (seen.kept.get(*i).copied().unwrap_or(0), self.wanted[*i]));
        if each.clone().any(|(k, w)| shows_fewer(k, seen.trials, w, alpha)) {
            Some(false)
        } else if each.all(|(k, w)| shows_enough(k, seen.trials, w, alpha)) {
            Some(true)
        } else {
            None
        }
    }

    pub(super) fn trials<R: Response>(
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
}

impl Seen {
    /// Trials in all.
    pub(super) fn all(&self) -> u32 {
        self.trials + self.fresh
    }

    /// Of these, how many kept each aim.
    pub(super) fn all_kept(&self) -> Vec<u32> {
        both(&self.kept, &self.fresh_kept)
    }
}

/// Part of trials that kept an aim.
pub(super) fn part(kept: &[u32], trials: u32, aim: usize) -> f64 {
    f64::from(kept.get(aim).copied().unwrap_or(0)) / f64::from(trials.max(1))
}

/// Adds up rows of trials, aim by aim.
pub(super) fn add(sums: &mut [u32], kept: &[bool]) {
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
