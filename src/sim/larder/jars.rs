//! The jar cycle: full, emptied, washed, clean.

use super::*;

impl Larder<'_> {
    /// Jars of a size come into a place.
    #[inline]
    pub(super) fn jars_come(&mut self, place: PlaceId, jar: u8, n: u32) {
        let jar = usize::from(jar);
        self.jars_in[place.at()][jar] += n;
        if self.fridges >> place.0 & 1 == 1 {
            self.fridge_jars[jar] += n;
        }
    }

    /// Jars of a size leave a place.
    #[inline]
    pub(super) fn jars_go(&mut self, place: PlaceId, jar: u8, n: u32) {
        let jar = usize::from(jar);
        self.jars_in[place.at()][jar] -= n;
        if self.fridges >> place.0 & 1 == 1 {
            self.fridge_jars[jar] -= n;
        }
    }

    /// Jars of the main (largest) size that the cold room is asked for: those
    /// in it and those on the counter, smaller ones by what they hold.
    pub(crate) fn jars_wanted(&self) -> f64 {
        let Some(main) = self.plan.jars.first() else { return 0.0 };
        let mut sum = 0.0;
        let unplaced = if self.some_unplaced() { self.unplaced_jars() } else { [0; MAX_JARS] };
        for (size, jar) in self.plan.jars.iter().enumerate() {
            let jars = unplaced[size] + self.fridge_jars[size];
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

    /// Jars that are not clean, all sizes: in use, with a member, or waiting to
    /// be washed.
    pub(crate) fn jars_in_use(&self) -> u32 {
        let n = self.plan.jars.len();
        (0..n).map(|i| self.owned[i] - self.clean[i]).sum()
    }

    /// Sends up to `n` jars of a size out of the house for a week, those just
    /// emptied (dirtied since `before`) first, then clean ones; returns how many.
    pub(crate) fn lend(&mut self, size: usize, n: u32, before: &[u32; MAX_JARS], day: u32) -> u32 {
        let emptied = (self.dirty[size] - before[size]).min(n);
        let clean = self.clean[size].min(n - emptied);
        self.dirty[size] -= emptied;
        self.clean[size] -= clean;
        self.away[(day % 7) as usize][size] += emptied + clean;
        emptied + clean
    }

    /// Jars that are with members when a run begins, and come back on that day
    /// of the first week.
    pub(crate) fn is_away(&mut self, size: usize, n: u32, day: usize) {
        let n = n.min(self.clean[size]);
        self.clean[size] -= n;
        self.away[day % 7][size] += n;
    }

    /// The jars lent a week ago are back, to be washed.
    pub(crate) fn take_back(&mut self, day: u32) {
        for (dirty, away) in self.dirty.iter_mut().zip(&mut self.away[(day % 7) as usize]) {
            *dirty += std::mem::take(away);
        }
    }

    /// Every jar owned is clean, dirty, in a place or with a member.
    pub(crate) fn jars_balance(&self) -> bool {
        let here = &self.jars_in[..self.places];
        let fridges = |i: usize| {
            let all = self.by_kind[PlaceKind::Fridge as usize].iter();
            all.map(|p| self.jars_in[p.at()][i]).sum::<u32>()
        };
        (0..self.plan.jars.len()).all(|i| {
            debug_assert_eq!(self.fridge_jars[i], fridges(i));
            let out: u32 = here.iter().chain(&self.away).map(|p| p[i]).sum();
            self.owned[i] == self.clean[i] + self.dirty[i] + out
        })
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

    /// Sends the jars of a lot that is already out of its queue to the washing-up.
    pub(crate) fn empty_jars(&mut self, lot: &Lot) {
        if lot.jar != NO_JAR {
            self.dirty[usize::from(lot.jar)] += lot.jars;
        }
    }

    /// The smallest size that holds so many litres, else the largest.
    pub(super) fn smallest_holding(&self, litres: f64) -> usize {
        let sizes = self.plan.jars.len();
        (0..sizes).rev().find(|&s| self.plan.jars[s].working_l + SLACK >= litres).unwrap_or(0)
    }
}
