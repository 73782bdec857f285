//! Equipment in use, hours at home, and starters that want a batch now and then.

use super::larder::{CRUMB, SLACK, Taken};
use super::outcome::Blocked;
use super::trial::Trial;
use crate::scenario::plan::{InputPlan, KitchenPlan, RecipePlan, UsePlan};

/// What a kitchen's things are about. Buffers are made once.
#[derive(Debug)]
pub(super) struct Workshop {
    /// When each piece is free again, days; all pieces of a kind together.
    free_at: Vec<f64>,
    /// Where the pieces of each kind begin, and one past the last.
    first: Vec<usize>,
    /// When a batch was last made with each starter, days.
    fed: Vec<f64>,
}

impl Workshop {
    pub(super) fn new(plan: &KitchenPlan) -> Self {
        let mut first = vec![0];
        for &count in &plan.equipment {
            first.push(first[first.len() - 1] + count as usize);
        }
        let pieces = first[first.len() - 1];
        Self {
            free_at: vec![f64::NEG_INFINITY; pieces],
            first,
            fed: vec![f64::NEG_INFINITY; plan.starters.len()],
        }
    }

    pub(super) fn reset(&mut self) {
        self.free_at.fill(f64::NEG_INFINITY);
        self.fed.fill(f64::NEG_INFINITY);
    }

    /// The piece of a kind that is free first, and when; none where none is owned.
    fn soonest(&self, what: u8) -> Option<(usize, f64)> {
        let kind = usize::from(what);
        let (from, to) = (self.first[kind], self.first[kind + 1]);
        (from..to).map(|i| (i, self.free_at[i])).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// When a batch that uses all this can begin; never where a thing is not owned.
    fn start(&self, uses: &[UsePlan], now: f64) -> f64 {
        uses.iter().fold(now, |at, u| at.max(self.soonest(u.what).map_or(f64::INFINITY, |s| s.1)))
    }

    /// Puts the things of a batch into use.
    pub(super) fn occupy(&mut self, uses: &[UsePlan], now: f64) {
        let start = self.start(uses, now);
        for u in uses {
            if let Some((piece, _)) = self.soonest(u.what) {
                self.free_at[piece] = start + u.hours / 24.0;
            }
        }
    }
}

impl Trial<'_> {
    /// Whether a batch can begin today: what it uses is free before the evening
    /// milking, and somebody is at home until it no longer needs them.
    pub(super) fn can_begin(&self, recipe: &RecipePlan) -> Result<(), Blocked> {
        if recipe.uses.is_empty() && recipe.home_hours <= 0.0 {
            return Ok(());
        }
        let month = self.plan.kitchen.home_hours.get(usize::from(self.info.month));
        let home = month.map_or(f64::INFINITY, |week| week[usize::from(self.info.weekday)]);
        if recipe.home_hours > home + CRUMB {
            return Err(Blocked::NobodyHome);
        }
        let now = self.larder.now;
        let start = self.workshop.start(&recipe.uses, now);
        let evening = f64::from(self.day) + self.plan.hours.evening / 24.0;
        let wait_h = (start - now) * 24.0;
        if start > evening + CRUMB || wait_h + recipe.home_hours > home + CRUMB {
            return Err(Blocked::Equipment);
        }
        Ok(())
    }

    /// A batch is made with a starter: a dead one is bought first.
    pub(super) fn feed_starter(&mut self, recipe: &RecipePlan) {
        let Some(s) = recipe.starter.map(usize::from) else { return };
        let now = self.larder.now;
        if now > self.workshop.fed[s] + self.plan.kitchen.starters[s].lives_days + CRUMB {
            self.out.starters_bought += 1;
        }
        self.workshop.fed[s] = now;
    }

    /// Starters that would be dead by tomorrow's kitchen hour get a small batch,
    /// if there is milk for it; what it gives is eaten like any other.
    pub(super) fn keep_starters(&mut self) {
        let plan = self.plan;
        for (s, starter) in plan.kitchen.starters.iter().enumerate() {
            let dies = self.workshop.fed[s] + starter.lives_days;
            let now = self.larder.now;
            let alive = now <= dies + CRUMB;
            if starter.upkeep_kg <= 0.0 || !alive || now + 1.0 <= dies + CRUMB {
                continue;
            }
            let recipe = &plan.recipes[starter.recipe.at()];
            let enough = |input: &InputPlan| {
                let want = input.per_kg * starter.upkeep_kg * (1.0 - SLACK);
                self.in_store(&input.items, input.newest_to_days).1 >= want
            };
            if !recipe.inputs.iter().all(enough) {
                continue;
            }
            let mut batch = Taken::NOTHING;
            for input in &recipe.inputs {
                self.take_items(
                    &input.items,
                    input.newest_to_days,
                    starter.upkeep_kg * input.per_kg,
                    &mut batch,
                );
            }
            if batch.matter.mass <= CRUMB {
                continue;
            }
            self.workshop.fed[s] = now;
            self.today.chore_minutes += starter.upkeep_minutes;
            self.finish(recipe, starter.upkeep_kg, &batch, false);
        }
    }
}
