//! Making: one batch of a recipe, by mass balance.

use super::kitchen::Fired;
use super::larder::{CRUMB, Choice, Parcel, SLACK, Taken};
use super::outcome::{Blocked, Fate, Source};
use super::trial::Trial;
use crate::dairy::balance::{divide, steam};
use crate::dairy::matter::Matter;
use crate::dairy::standardise;
use crate::scenario::plan::{
    BlendPlan, Container, InputPlan, ItemId, MAX_INPUTS, PlaceKind, RecipeId, RecipePlan, fixed,
};

impl Trial<'_> {
    pub(super) fn make(
        &mut self,
        luck: &super::Luck,
        id: RecipeId,
        wanted_kg: f64,
        keep_back: f64,
    ) -> Result<Fired, Blocked> {
        let plan = self.plan;
        let recipe = &plan.recipes[id.at()];
        let (mut kg, mut own) = self.batch_size(recipe, wanted_kg, keep_back)?;
        if kg < recipe.least_kg * (1.0 - SLACK) || kg <= CRUMB {
            return Err(Blocked::Stock);
        }
        for (input, &own) in recipe.inputs.iter().zip(&own).filter(|(i, _)| i.fat_at_least > 0.0) {
            let fat = self.peek_input(input, own, kg * input.per_kg).fat_part();
            if fat < input.fat_at_least * (1.0 - SLACK) {
                return Err(Blocked::Stock);
            }
        }
        kg = kg.min(self.kg_by_room(recipe, kg, &own));
        // A smaller batch is made rather than none when minutes are short.
        if recipe.minutes_per_kg > 0.0 {
            kg = kg.min((self.minutes_left - recipe.minutes) / recipe.minutes_per_kg);
        }
        let minutes = recipe.minutes + recipe.minutes_per_kg * kg.max(recipe.least_kg);
        if minutes > self.minutes_left * (1.0 + SLACK) {
            return Err(Blocked::Minutes);
        }
        self.can_begin(recipe)?;
        if kg < recipe.least_kg * (1.0 - SLACK) || kg <= CRUMB {
            return Err(Blocked::JarsOrRoom);
        }
        if recipe.inputs.iter().any(|i| i.blend.is_some()) {
            // Other jars, another fat: the square once more for what is taken.
            (kg, own) = self.batch_size(recipe, kg, keep_back)?;
        }
        let mut batch = Taken::NOTHING;
        for (i, (input, own)) in recipe.inputs.iter().zip(own).enumerate() {
            self.take_input(recipe, input, own, kg * input.per_kg, &mut batch);
            if i == 0 {
                // What was found foul on opening makes the batch smaller.
                kg = kg.min(batch.matter.mass / input.per_kg);
            }
        }
        if batch.matter.mass <= CRUMB {
            // Every jar opened was foul.
            return Err(Blocked::Stock);
        }
        self.workshop.occupy(&recipe.uses, self.larder.now);
        self.feed_starter(recipe);
        // One draw a day: raw milk of a foul milking fails whenever sound milk does.
        let fails = if batch.tainted { recipe.fails.max(recipe.fails_when_foul) } else { recipe.fails };
        let fails = luck.batches[id.at()].get(self.day as usize).is_some_and(|&u| luck.happens(fails, u));
        self.finish(recipe, kg, &batch, fails);
        Ok(Fired { kg, minutes })
    }

    /// The largest batch that what is there allows, kg of the main input, and
    /// what part of each input is its own items (the rest is blended in).
    fn batch_size(
        &self,
        recipe: &RecipePlan,
        wanted_kg: f64,
        keep_back: f64,
    ) -> Result<(f64, [f64; MAX_INPUTS]), Blocked> {
        let mut own = [1.0; MAX_INPUTS];
        let mut kg = recipe.most_kg.min(wanted_kg);
        let drunk = |items: &[ItemId]| items.iter().all(|&i| self.is_drunk(i));
        // Kg of drinking milk for each kg of the main input.
        let mut drinking = 0.0;
        for (i, input) in recipe.inputs.iter().enumerate() {
            let back = if i == 0 { keep_back } else { 0.0 };
            let have = self.available(&input.items, input.newest_to_days, back)?;
            if let Some(blend) = &input.blend {
                let more = self.available(&blend.with, input.newest_to_days, 0.0)?;
                (kg, own[i]) = self.standardised(input, blend, kg, have, more).ok_or(Blocked::Stock)?;
                drinking += if drunk(&blend.with) { (1.0 - own[i]) * input.per_kg } else { 0.0 };
            } else {
                kg = kg.min(have / input.per_kg);
            }
            if kg <= CRUMB && recipe.inputs[i + 1..].iter().all(|i| !i.newest_to_days.is_finite()) {
                // Whatever there is of the rest, the reason stays the same.
                return Err(Blocked::Stock);
            }
            drinking += if drunk(&input.items) { own[i] * input.per_kg } else { 0.0 };
        }
        if drinking > 0.0 {
            // Two inputs must not both take the same drinking milk.
            kg = kg.min(self.spare_drinking() / drinking);
        }
        Ok((kg, own))
    }

    /// How much of an input can be blended to its fat, kg of the main input, and
    /// the part that is its own items. What is taken decides its fat and its fat
    /// how much is taken: a few rounds settle it.
    fn standardised(
        &self,
        input: &InputPlan,
        blend: &BlendPlan,
        most: f64,
        have: f64,
        more: f64,
    ) -> Option<(f64, f64)> {
        const ROUNDS: usize = 6;
        let (mut kg, mut own) = (most.min((have + more) / input.per_kg), 0.5);
        let fat = |items: &[ItemId], kg: f64| self.peek_items(items, input.newest_to_days, kg).fat_part();
        for _ in 0..ROUNDS {
            let want = kg * input.per_kg;
            let first = fat(&input.items, want * own);
            own = standardise::first_part(first, fat(&blend.with, want * (1.0 - own).max(0.01)), blend.fat)?;
            let by =
                |have: f64, part: f64| if part > 0.0 { have / (part * input.per_kg) } else { f64::INFINITY };
            kg = kg.min(by(have, own)).min(by(more, 1.0 - own));
        }
        Some((kg, own))
    }

    /// All of some items, and what of it is new enough and ready, kg.
    pub(super) fn in_store(&self, items: &[ItemId], newest_to_days: f64) -> (f64, f64) {
        let from = self.choice(newest_to_days).drawn_from;
        items.iter().fold((0.0, 0.0), |(all, new), &item| {
            (all + self.larder.stock(item), new + self.larder.stock_since(item, from))
        })
    }

    /// What a rule may take of some items, kg; drinking milk of the next day
    /// and what the rule keeps back stay out of reach.
    fn available(&self, items: &[ItemId], newest_to_days: f64, keep_back: f64) -> Result<f64, Blocked> {
        let all: f64 = items.iter().map(|&item| self.larder.stock(item) - self.aside_of(item)).sum();
        let most = all - keep_back;
        if most <= 0.0 {
            // Mostly there is none: nothing more need be asked.
            return Ok(0.0);
        }
        let from = self.choice(newest_to_days).drawn_from;
        let have = self.within_reach(items, |item| self.larder.stock_since(item, from));
        if newest_to_days.is_finite()
            && have <= CRUMB
            && most.min(self.within_reach(items, |item| self.larder.stock(item))) > CRUMB
        {
            return Err(Blocked::Age);
        }
        Ok(have.min(most).max(0.0))
    }

    /// What of some items is not kept for drinking or for members, kg; `of` is
    /// what there is of an item.
    pub(super) fn within_reach(&self, items: &[ItemId], of: impl Fn(ItemId) -> f64) -> f64 {
        let mut sum = 0.0;
        self.each_in_reach(items, of, |_, kg| {
            sum += kg;
            kg
        });
        sum
    }

    /// Shows each of some items in turn, with what of it is in reach, kg; `take`
    /// says how much it takes. Of what is drunk only what is over is in reach,
    /// of all such items together.
    fn each_in_reach(
        &self,
        items: &[ItemId],
        of: impl Fn(ItemId) -> f64,
        mut take: impl FnMut(ItemId, f64) -> f64,
    ) {
        let mut spare = None;
        for &item in items {
            let free = of(item).min(self.larder.stock(item) - self.aside_of(item)).max(0.0);
            if self.is_drunk(item) {
                let left = spare.unwrap_or_else(|| self.spare_drinking());
                spare = Some(left - take(item, free.min(left)));
            } else {
                take(item, free);
            }
        }
    }

    fn choice(&self, newest_to_days: f64) -> Choice {
        Choice { drawn_from: self.larder.now - newest_to_days - SLACK, ..Choice::READY }
    }

    fn peek_items(&self, items: &[ItemId], newest_to_days: f64, kg: f64) -> Matter {
        let choice = self.choice(newest_to_days);
        let mut sum = Matter::NONE;
        let all = |item| self.larder.stock(item);
        self.each_in_reach(items, all, |item, free| {
            let part = self.larder.peek(item, free.min(kg - sum.mass), choice);
            sum += part;
            part.mass
        });
        sum
    }

    fn peek_input(&self, input: &InputPlan, own: f64, kg: f64) -> Matter {
        let mut sum = self.peek_items(&input.items, input.newest_to_days, kg * own);
        if let Some(blend) = &input.blend {
            sum += self.peek_items(&blend.with, input.newest_to_days, kg * (1.0 - own));
        }
        sum
    }

    fn take_input(&mut self, recipe: &RecipePlan, input: &InputPlan, own: f64, kg: f64, batch: &mut Taken) {
        let mut milk = self.take_items(&input.items, input.newest_to_days, kg * own, batch);
        if let Some(blend) = &input.blend {
            milk += self.take_items(&blend.with, input.newest_to_days, kg * (1.0 - own), batch);
        }
        // Milk that a separator parts is still milk and cream.
        if !self.plan.items[recipe.outputs[0].item.at()].sweet {
            self.made_into += milk;
        }
    }

    /// Takes some items in order; hands back the milk that is food for the first time.
    pub(super) fn take_items(&mut self, items: &[ItemId], newest: f64, kg: f64, batch: &mut Taken) -> f64 {
        let choice = self.choice(newest);
        let (mut left, mut milk) = (kg, 0.0);
        for &item in items {
            if left <= CRUMB {
                break;
            }
            let most = left.min(self.free(item));
            let taken = self.larder.take(item, most, choice);
            self.found_foul(taken.foul);
            left -= taken.matter.mass;
            // What was made into a product once is not made again.
            if item.at() < fixed::COUNT && !self.plan.items[item.at()].byproduct && item != fixed::BUTTERMILK
            {
                milk += taken.matter.milk;
            }
            batch.join(&taken);
        }
        milk
    }

    /// Kg of main input whose outputs still find freezer or ageing room, today.
    /// Cold room is left to the list for a full fridge: the inputs free some.
    fn kg_by_room(&self, recipe: &RecipePlan, kg: f64, own: &[f64; MAX_INPUTS]) -> f64 {
        let plan = self.plan;
        let mut most = kg;
        for (n, out) in recipe.outputs.iter().enumerate() {
            let item = &plan.items[out.item.at()];
            if !self.larder.has_jar_for(out.item) && n == 0 && !self.frees_jars(recipe) {
                return 0.0;
            }
            let Container::Volume { litres_per_kg } = item.container else { continue };
            let kinds = item.places.iter().map(|p| plan.places[p.at()].kind);
            if item.places.is_empty() {
                // No such store, no such batch.
                return 0.0;
            }
            if kinds.clone().any(|k| matches!(k, PlaceKind::Fridge | PlaceKind::Counter)) {
                continue;
            }
            let fits: f64 = item.places.iter().map(|&p| self.larder.fits_kg(p, litres_per_kg)).sum();
            let made: Matter = self.batch_of(recipe, kg, own);
            let share = out.share.of(made).mass;
            if share > fits && share > 0.0 {
                most = most.min(kg * fits / share);
            }
        }
        most
    }

    /// The inputs stand in jars, which the batch empties.
    fn frees_jars(&self, recipe: &RecipePlan) -> bool {
        recipe.inputs.iter().flat_map(|i| &i.items).any(|i| {
            matches!(self.plan.items[i.at()].container, Container::Jar { .. })
                && self.larder.stock(*i) > CRUMB
        })
    }

    /// A batch before it divides, without taking anything.
    fn batch_of(&self, recipe: &RecipePlan, kg: f64, own: &[f64; MAX_INPUTS]) -> Matter {
        let mut sum = recipe.added_per_kg * kg;
        for (input, &own) in recipe.inputs.iter().zip(own) {
            sum += self.peek_input(input, own, kg * input.per_kg);
        }
        sum
    }

    pub(super) fn finish(&mut self, recipe: &RecipePlan, kg: f64, taken: &Taken, fails: bool) {
        let added = recipe.added_per_kg * kg;
        self.ledger.came(Source::Added, added);
        let mut batch = taken.matter + added;
        if fails {
            // Whey that made no ricotta was no food lost.
            let byproduct = |i: &ItemId| self.plan.items[i.at()].byproduct;
            let whey = recipe.inputs.iter().flat_map(|i| &i.items).all(byproduct);
            self.ledger.went(if whey { Fate::ByproductPoured } else { Fate::WastedFailedBatch }, batch);
            return;
        }
        // What stays in a separator's bowl is as much of a small batch as of a large one.
        let left = if recipe.left_kg > 0.0 { (recipe.left_kg / batch.mass).min(1.0) } else { 0.0 };
        let film = batch * (recipe.film + left - recipe.film * left);
        self.ledger.went(Fate::Film, film);
        batch -= film;
        let steam = steam(batch, recipe.steam);
        if steam.mass > 0.0 {
            self.ledger.went(Fate::Steam, steam);
            batch -= steam;
        }
        let outputs = &recipe.outputs;
        for (n, matter) in divide(batch, outputs.iter().map(|o| o.share)).enumerate() {
            self.put_output(recipe, n, outputs[n].item, matter, taken);
        }
    }

    fn put_output(&mut self, recipe: &RecipePlan, n: usize, item: ItemId, matter: Matter, taken: &Taken) {
        if matter.mass <= 0.0 {
            return;
        }
        let plan = &self.plan.items[item.at()];
        let sweet = plan.sweet;
        let now = self.larder.now;
        // Whey and buttermilk are at hand at once.
        let month = usize::from(self.info.month);
        let hours = recipe.ripens_hours.map_or(recipe.ready_hours, |by| by[month]);
        let wait = if plan.byproduct { 0.0 } else { hours / 24.0 };
        let ageing = if n == 0 { recipe.ageing_days } else { 0.0 };
        let parcel = Parcel {
            item,
            matter,
            drawn: if sweet { taken.drawn } else { now },
            rested: now,
            life: if sweet { taken.life } else { 1.0 },
            risen: 0.0,
            ready: now + wait + ageing,
            ageing_loss: if n == 0 { recipe.ageing_loss } else { 0.0 },
            day: taken.day.min(self.day),
            species: taken.species,
            foul: sweet && taken.tainted && !recipe.heated,
            warm: false,
        };
        if !sweet {
            self.made[item.at()] += matter.mass;
        }
        self.put_away(&parcel);
    }
}
