//! Asking a study to stop before its end.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// A flag shared with whoever may want a study to stop. It is looked at
/// between tasks of the engine, so an answer is whole or not given.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Asks the study to stop.
    pub fn ask(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was asked to.
    #[must_use]
    pub fn asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}
