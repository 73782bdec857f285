//! Making: one batch of a recipe, by mass balance.

use super::kitchen::Fired;
use super::larder::{CRUMB, Choice, Parcel, SLACK, Taken};
use super::outcome::{Blocked, Fate, Source};
use super::trial::Trial;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{Container, InputPlan, ItemId, PlaceKind, RecipeId, RecipePlan, fixed};

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
        let mut kg = recipe.most_kg.min(wanted_kg);
        for (i, input) in recipe.inputs.iter().enumerate() {
            let back = if i == 0 { keep_back } else { 0.0 };
            let have = self.available(input, back)?;
            kg = kg.min(have / input.per_kg);
        }
        if kg < recipe.least_kg * (1.0 - SLACK) || kg <= CRUMB {
            return Err(Blocked::Stock);
        }
        for input in recipe.inputs.iter().filter(|i| i.fat_at_least > 0.0) {
            if self.peek_input(input, kg * input.per_kg).fat_part() < input.fat_at_least * (1.0 - SLACK) {
                return Err(Blocked::Stock);
            }
        }
        kg = kg.min(self.kg_by_room(recipe, kg));
        // A smaller batch is made rather than none when minutes are short.
        if recipe.minutes_per_kg > 0.0 {
            kg = kg.min((self.minutes_left - recipe.minutes) / recipe.minutes_per_kg);
        }
        let minutes = recipe.minutes + recipe.minutes_per_kg * kg.max(recipe.least_kg);
        if minutes > self.minutes_left * (1.0 + SLACK) {
            return Err(Blocked::Minutes);
        }
        if kg < recipe.least_kg * (1.0 - SLACK) || kg <= CRUMB {
            return Err(Blocked::JarsOrRoom);
        }
        let mut batch = Taken::NOTHING;
        for input in &recipe.inputs {
            self.take_input(input, kg * input.per_kg, &mut batch);
        }
        if batch.matter.mass <= CRUMB {
            // Every jar opened was foul.
            return Err(Blocked::Stock);
        }
        let fails =
            luck.batches[id.at()].get(self.day as usize).is_some_and(|&u| luck.happens(recipe.fails, u));
        self.finish(recipe, kg, &batch, fails);
        Ok(Fired { kg, minutes })
    }

    /// What a rule may take for an input, kg; drinking milk of the next day
    /// and what the rule keeps back stay out of reach.
    fn available(&self, input: &InputPlan, keep_back: f64) -> Result<f64, Blocked> {
        let choice = self.choice(input);
        let aged = input.newest_to_days.is_finite();
        let (mut have, mut all) = (0.0, 0.0);
        let (mut drink, mut aside) = (false, 0.0);
        for &item in &input.items {
            all += self.larder.stock(item);
            have += self.larder.stock_since(item, choice.drawn_from);
            drink |= self.is_drunk(item);
            aside += self.aside_of(item);
        }
        let mut most = all - aside - keep_back;
        if drink {
            most = most.min(self.drinking_stock() - self.reserve().max(keep_back));
        }
        if aged && have <= CRUMB && most > CRUMB {
            return Err(Blocked::Age);
        }
        Ok(have.min(most).max(0.0))
    }

    fn choice(&self, input: &InputPlan) -> Choice {
        Choice { drawn_from: self.larder.now - input.newest_to_days - SLACK, ..Choice::READY }
    }

    fn peek_input(&self, input: &InputPlan, kg: f64) -> Matter {
        let choice = self.choice(input);
        let mut sum = Matter::NONE;
        for &item in &input.items {
            sum += self.larder.peek(item, kg - sum.mass, choice);
        }
        sum
    }

    fn take_input(&mut self, input: &InputPlan, kg: f64, batch: &mut Taken) {
        let choice = self.choice(input);
        let mut left = kg;
        for &item in &input.items {
            if left <= CRUMB {
                break;
            }
            let taken = self.larder.take(item, left, choice);
            self.found_foul(taken.foul);
            left -= taken.matter.mass;
            // What was made into a product once is not made again.
            if item.at() < fixed::COUNT && !self.plan.items[item.at()].byproduct && item != fixed::BUTTERMILK
            {
                self.made_into += taken.matter.milk;
            }
            batch.join(&taken);
        }
    }

    /// Kg of main input whose outputs still find freezer or ageing room, today.
    /// Cold room is left to the list for a full fridge: the inputs free some.
    fn kg_by_room(&self, recipe: &RecipePlan, kg: f64) -> f64 {
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
            let made: Matter = self.batch_of(recipe, kg);
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
    fn batch_of(&self, recipe: &RecipePlan, kg: f64) -> Matter {
        let mut sum = recipe.added_per_kg * kg;
        for input in &recipe.inputs {
            sum += self.peek_input(input, kg * input.per_kg);
        }
        sum
    }

    fn finish(&mut self, recipe: &RecipePlan, kg: f64, taken: &Taken, fails: bool) {
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
        let film = batch * recipe.film;
        self.ledger.went(Fate::Film, film);
        batch -= film;
        let water = (batch.mass - batch.fat - batch.protein).max(0.0);
        let steam = (recipe.steam * batch.mass).min(0.9 * water);
        if steam > 0.0 {
            let steam = Matter { mass: steam, fat: 0.0, protein: 0.0, milk: steam * batch.milk / batch.mass };
            self.ledger.went(Fate::Steam, steam);
            batch -= steam;
        }
        let mut rest = batch;
        let last = recipe.outputs.len().saturating_sub(1);
        for (n, out) in recipe.outputs.iter().enumerate() {
            let matter = if n == last { rest } else { limit(out.share.of(batch), rest) };
            rest -= matter;
            self.put_output(recipe, n, out.item, matter, taken);
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
        let wait = if plan.byproduct { 0.0 } else { recipe.ready_hours / 24.0 };
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
            foul: sweet && taken.tainted,
            warm: false,
        };
        self.made[item.at()] += matter.mass;
        self.put_away(&parcel);
    }
}

/// Never more than there is, nor less than nothing (the scenario's checks
/// prove that this changes nothing; a trial must not depend on it).
fn limit(want: Matter, have: Matter) -> Matter {
    Matter {
        mass: want.mass.clamp(0.0, have.mass.max(0.0)),
        fat: want.fat.clamp(0.0, have.fat.max(0.0)),
        protein: want.protein.clamp(0.0, have.protein.max(0.0)),
        milk: want.milk.clamp(0.0, have.milk.max(0.0)),
    }
}
