//! What a trial tells of herd shares, gifts, sales and purchases.

/// How one member of the herd share fared.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ShareTally {
    /// Promised at the pick-ups to which the member came, kg.
    pub promised: f64,
    /// Handed over at them, kg.
    pub kept: f64,
    /// The largest part of the promise of any calendar week that was not kept.
    pub worst_loss: f64,
    /// Promised so far this week, kg.
    pub(crate) week_promised: f64,
    /// Handed over so far this week, kg.
    pub(crate) week_kept: f64,
}

impl ShareTally {
    /// Part of the promise that was kept; 1 where nothing was promised.
    #[must_use]
    pub fn fill(&self) -> f64 {
        if self.promised > 1e-9 { self.kept / self.promised } else { 1.0 }
    }

    pub(crate) fn close_week(&mut self) {
        if self.week_promised > 1e-9 {
            self.worst_loss = self.worst_loss.max(1.0 - self.week_kept / self.week_promised);
        }
        (self.week_promised, self.week_kept) = (0.0, 0.0);
    }
}

/// All of it. Reused from trial to trial.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traded {
    /// Members of the herd share.
    pub shares: Vec<ShareTally>,
    /// Given away, kg by entry of the plan.
    pub given: Vec<f64>,
    /// Sold, kg by entry of the plan.
    pub sold: Vec<f64>,
    /// Bought, kg by entry of the plan.
    pub bought: Vec<f64>,
    /// Of it by a rule for the store, kg by entry of the plan.
    pub stored: Vec<f64>,
    /// Of it drunk or eaten the same day, kg.
    pub bought_for_table: f64,
    /// Pick-up days.
    pub pick_ups: u32,
    /// Pick-up days on which the members' promise was not all there.
    pub short_pick_ups: u32,
    /// Times that a member did not come.
    pub not_fetched: u32,
    /// Days on which a fee was due: from the first milk on, and not while away.
    pub fee_days: u32,
    /// Days on which each animal belonged to the family, of all of them together.
    pub animal_days: u32,
    /// Days in milk of all animals together.
    pub animal_days_in_milk: u32,
    /// Days on which some animal was in milk.
    pub days_in_milk: u32,
}

impl Traded {
    /// Back to the start of a trial; keeps the buffers.
    pub(crate) fn cleared(mut self) -> Self {
        self.shares.clear();
        self.given.clear();
        self.sold.clear();
        self.bought.clear();
        self.stored.clear();
        let Self { shares, given, sold, bought, stored, .. } = self;
        Self { shares, given, sold, bought, stored, ..Self::default() }
    }
}
