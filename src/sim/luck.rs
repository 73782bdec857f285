//! Stub: standard variates of one trial.
use crate::scenario::{Names, Plan};
use rand::{RngExt, SeedableRng, rngs::Xoshiro256PlusPlus};

/// Standard variates of one trial, buffers reused.
pub struct Luck {
    /// One normal-like variate a day, after that of the level.
    pub normals: Vec<f64>,
}

impl Luck {
    /// Buffers for a plan.
    #[must_use]
    pub fn new(plan: &Plan, _names: &Names) -> Self {
        Self { normals: vec![0.0; plan.days.len() + 1] }
    }
    /// Draws a trial.
    pub fn draw(&mut self, seed: u64, trial: u32) {
        let mut r =
            Xoshiro256PlusPlus::seed_from_u64(seed ^ u64::from(trial).wrapping_mul(0x9E37_79B9_7F4A_7C15));
        for v in &mut self.normals {
            *v = (0..12).map(|_| r.random::<f64>()).sum::<f64>() - 6.0;
        }
    }
    /// No chance.
    pub fn steady(&mut self) {
        self.normals.fill(0.0);
    }
}
