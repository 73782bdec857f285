//! Lots of one item in one place, side by side in memory.

use super::Lot;
use std::ops::{Deref, DerefMut};

/// Lots, oldest first, as one slice. Taking the oldest moves nothing: the slice
/// only begins later, and its room is won back when it is wanted and a quarter is gone.
#[derive(Debug, Default)]
pub(super) struct Lots {
    all: Vec<Lot>,
    /// So many at the front have been taken.
    gone: usize,
}

impl Lots {
    pub(super) fn clear(&mut self) {
        self.all.clear();
        self.gone = 0;
    }

    /// Adds a lot in the order of drawing: newest last. Only moved or late lots
    /// look further than the end.
    #[inline]
    pub(super) fn add(&mut self, lot: Lot) {
        if self.all.len() == self.all.capacity() && 4 * self.gone >= self.all.len() {
            self.all.drain(..self.gone);
            self.gone = 0;
        }
        let mut i = self.all.len();
        while i > self.gone && self.all[i - 1].drawn > lot.drawn {
            i -= 1;
        }
        if i == self.all.len() { self.all.push(lot) } else { self.all.insert(i, lot) }
    }

    /// Takes out the lot at `i`.
    #[inline]
    pub(super) fn remove(&mut self, i: usize) -> Option<Lot> {
        let lot = *self.get(i)?;
        if i == 0 {
            self.gone += 1;
            if self.gone == self.all.len() {
                self.clear();
            }
        } else {
            self.all.remove(self.gone + i);
        }
        Some(lot)
    }
}

impl Deref for Lots {
    type Target = [Lot];
    #[inline]
    fn deref(&self) -> &[Lot] {
        self.all.get(self.gone..).unwrap_or_default()
    }
}

impl DerefMut for Lots {
    #[inline]
    fn deref_mut(&mut self) -> &mut [Lot] {
        self.all.get_mut(self.gone..).unwrap_or_default()
    }
}
