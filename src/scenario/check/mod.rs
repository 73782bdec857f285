//! From what is written to a [`Plan`]: one file for each part. Every wrong
//! thing is collected with its place before anything is refused.

mod aims;
mod animals;
mod book;
mod bounds;
mod breeding;
mod calendar;
mod cautions;
mod climate;
mod cold;
mod conditions;
mod context;
mod crosschecks;
mod curves;
mod fetched;
mod full;
mod health;
mod household;
mod items;
mod jars;
mod named;
mod now;
mod opening;
mod outlets;
mod prices;
mod prove;
mod purchases;
mod recipes;
mod risks;
mod rooms;
mod routine;
mod shares;
mod things;
mod trade;
mod weather;
mod wheels;
mod wishes;
mod year;
mod young;

pub use aims::aim_measure;

use super::{
    Compiled,
    decode::Lost,
    library::Library,
    names::{Names, UnitSystem},
    plan::{FetchPlan, HouseholdPlan, OutletPlan, Plan, RecipeId, RecipePlan, RulePlan, fixed},
    raw::{Recipe, Scenario},
    source::Source,
    stock::Sheet,
    understood,
};
use crate::diagnostics::{Diagnostic, Severity};

pub(super) use animals::{Animal, SPECIES};
pub(super) use cold::Kind as WayKind;
pub(super) use jars::Jar;
pub(super) use rooms::{Shelf, Store};
pub(super) use routine::day_words;

/// What is known beside the file.
pub(super) struct Known {
    pub library: &'static Library,
}

/// Everything compiled, for the plan, the names and the words.
pub(super) struct Parts {
    pub(super) run: calendar::Run,
    pub(super) units: UnitSystem,
    pub(super) animals: Vec<animals::Animal>,
    pub(super) fetches: Vec<(FetchPlan, String)>,
    pub(super) people: household::People,
    pub(super) items: items::Items,
    pub(super) rooms: rooms::Rooms,
    pub(super) way: cold::Way,
    /// Wheels on the shelves of the ageing rooms.
    pub(super) wheels: Vec<wheels::Wheels>,
    book: Vec<(String, Recipe)>,
    rules: Vec<(RulePlan, String)>,
    outlets: Vec<(OutletPlan, String)>,
    wishes: Vec<(String, Vec<super::plan::ItemId>)>,
    trade: trade::Words,
    cleanliness: String,
    /// Names of equipment and of starters.
    pub(super) equipment: Vec<String>,
    /// The largest batch of each, L; infinite where it is not said.
    pub(super) equipment_l: Vec<f64>,
    pub(super) starters: Vec<String>,
}

impl Parts {
    /// The date of a simulated day.
    pub(super) fn first_date(&self, day: u32) -> jiff::civil::Date {
        self.run.date_of(f64::from(day))
    }

    /// The cleanliness chosen, in words.
    pub(super) fn cleanliness(&self) -> String {
        format!("{} cleanliness", self.cleanliness)
    }
}

/// Recipes by name.
type Book = Vec<(String, Recipe)>;

/// Log standard deviation of a log-normal with this coefficient of variation.
fn log_sd(cv: f64) -> f64 {
    (1.0 + cv * cv).ln().sqrt()
}

/// Checks a decoded scenario and compiles it.
///
/// # Errors
/// All that is wrong, by place.
pub(super) fn compile(
    raw: &Scenario,
    source: &Source,
    lost: &[Lost],
    sheet: Option<&Sheet>,
) -> Result<Compiled, Vec<Diagnostic>> {
    let library = Library::embedded().map_err(|e| vec![Diagnostic::error(e)])?;
    let known = Known { library };
    let mut ctx = Ctx::new(source, lost).beside(sheet);
    let c = &mut ctx;

    let run = calendar::run(c, raw);
    let hours = calendar::hours(c, raw);
    let units = c
        .choice("units", &raw.units, &[("us", UnitSystem::Us), ("metric", UnitSystem::Metric)])
        .unwrap_or_default();
    let trials =
        c.within("trials", &raw.trials, 1.0..=200_000.0, "a number from 1 to 200000").map(|n| n as u32);
    let seed = seed(c, raw);
    let home = raw.household.clone().unwrap_or_default();
    c.twice("stores", raw.stores.as_ref());
    c.twice("jars", raw.jars.as_ref());
    c.twice("animals fed", raw.animals_fed.as_ref());
    c.twice("recipes", raw.recipes.as_ref());
    c.twice("products", raw.products.as_ref());
    c.twice("variants", raw.variants.as_ref());

    let excess = weather::excess(c, &raw.weather);
    let animals = animals::animals(c, &known, run, hours, excess.as_ref(), raw);
    let hot = weather::spells(c, &raw.weather);
    let fetches = fetched::fetches(c, &known, run, raw.milk_fetched.as_deref().unwrap_or_default());
    let people = household::people(c, &known, run, &home);
    let days = calendar::days(c, run, home.away.as_deref().unwrap_or_default());

    let (book, named) = book::recipes_in_use(c, &known, raw);
    let mut made: Vec<String> = book.iter().flat_map(|(_, r)| recipes::outputs(r)).collect();
    made.extend(wishes::only_bought(raw, &made));
    let others: Vec<String> =
        recipes::book(&known, raw).iter().flat_map(|(_, r)| recipes::outputs(r)).collect();
    let standing = opening::entries(c, raw, sheet);
    made.extend(opening::only_in_store(&standing, &others));
    made.extend(items::bought_for_the_store(raw));
    let mut items = items::Items::new(c, &known, raw, &made, &others);
    let jars = jars::jars(c, &known, raw);
    let way = cold::way(c, &raw.chilling);
    let mut rooms = rooms::rooms(c, &known, &mut items, jars, &way, raw);
    let cold = cold::cold(c, &way, &mut rooms, &items, raw);
    let wheels = wheels::on_shelves(c, &known, raw, &mut items, &rooms);
    let mut recipe_plans: Vec<RecipePlan> = Vec::new();
    let mut by_word: Vec<(String, RecipeId, f64)> = Vec::new();
    let mut kept: Vec<(String, Recipe)> = Vec::new();
    let mut reach = prove::Reach::default();
    let mut things = things::Things::new(c, &raw.kitchen, &recipes::book(&known, raw), units);
    for (name, recipe) in &book {
        let asks = |rule: &super::raw::Rule| {
            recipes::asked_for(rule).is_some_and(|w| named.iter().any(|(word, of)| *word == w && of == name))
        };
        let rule = raw.routine.iter().flatten().position(asks).unwrap_or(0);
        things.reading(recipe_plans.len(), context::under(&context::entry("routine", rule), "what"));
        let Some(mut plan) = recipes::compile(c, &items, &mut reach, &mut things, name, recipe) else {
            continue;
        };
        plan.ripens_hours = recipes::ripens(c, name, recipe, plan.ready_hours, rooms.kitchen_c());
        let density = items.density(&plan.inputs[0].items);
        for (word, of) in &named {
            if of == name {
                by_word.push((word.clone(), RecipeId(recipe_plans.len() as u8), density));
            }
        }
        recipe_plans.push(plan);
        kept.push((name.clone(), recipe.clone()));
    }
    let book = kept;
    let things::Compiled { plan: kitchen, equipment, holds_l: equipment_l, starters } = things.plan();
    let wish_words = wishes::words(c, &items, &home);
    let traded = trade::World {
        run,
        items: &items,
        jars: &rooms.jars,
        wishes: &wish_words,
        animals: &animals,
        fetches: &fetches,
        energy_kwh: cold.energy_kwh,
    };
    let (trade, trade_words) = trade::trade(c, &traded, raw);
    let world = routine::World {
        run,
        items: &items,
        rooms: &rooms,
        animals: &animals,
        recipes: &by_word,
        wishes: &wish_words,
        shares: raw.herd_shares.is_some(),
        bought: (&trade.bought, &trade_words.bought),
    };
    let rules = routine::rules(c, &world, raw.routine.as_deref().unwrap_or_default());
    let when_full = full::when_full(c, &world, &raw.when_full);
    let outlets = outlets::outlets(c, &known, run, &items, &raw.animals_fed.clone().unwrap_or_default());
    let (keeping, losses, cleanliness) = risks::risks(c, &known, &raw.risks);

    let at_the_start = opening::World {
        run,
        hours,
        items: &items,
        rooms: &rooms,
        animals: &animals,
        fetches: &fetches,
        recipes: &recipe_plans,
        rules: &rules,
        share: trade.share.as_ref(),
        life_days: keeping.life_days,
    };
    let (opening, milkings) = opening::opening(c, &at_the_start, raw, &standing);
    let mut first_milk = crosschecks::first_milk(&animals, &fetches, &days);
    let drunk = [fixed::WHOLE, fixed::SKIMMED];
    if opening.lots.iter().any(|lot| drunk.contains(&lot.item)) {
        first_milk = 0.0;
    }
    if first_milk.is_infinite()
        && (crosschecks::any_source(raw) || c.errors_under("animals") || c.errors_under("milk fetched"))
    {
        // Its faults have been said; what depends on it has none of its own.
        first_milk = 0.0;
    }
    let mut ready =
        wishes::ready_days(items.names.len(), &recipe_plans, &rules, first_milk, keeping.life_days);
    for lot in &opening.lots {
        let day = &mut ready[lot.item.at()];
        *day = day.min(lot.ready.max(0.0));
    }
    if c.errors_under("routine") || c.errors_under("recipes") {
        // What is not understood may well make it.
        ready.iter_mut().filter(|day| day.is_infinite()).for_each(|day| *day = 0.0);
    }
    let wish_plans = wishes::wishes(c, run, &items, &wish_words, &ready, &trade_words.bought, &home);
    let only_bought: Vec<bool> = wish_plans.iter().map(|w| w.bought_only).collect();
    let mut aims = aims::aims(c, &wish_words, &only_bought, raw.aims.as_deref().unwrap_or_default());
    if !(360..=371).contains(&days.len()) {
        // A simulated run of this scenario is no year: the words say so.
        for (_, words) in &mut aims {
            *words = words.replace(" years", " runs");
        }
    }
    let (chore_minutes, jar_minutes, feeding_minutes) = household::chores(c, &home.chores);
    let drinks = household::drinks(c, &home, &items);
    let frozen = household::frozen(c, raw, &home, &items, &drinks);
    let drink_from_day = crosschecks::drink_from_day(first_milk, &animals, &days);
    let household = HouseholdPlan {
        people: people.plans.clone(),
        wishes: wish_plans,
        drinks: drinks.into_iter().chain(frozen.drunk).collect(),
        newest_first: c
            .choice(
                "household.jars taken",
                &home.jars_taken,
                &[("oldest first", false), ("newest first", true)],
            )
            .unwrap_or(false),
        frozen_milk: frozen.drunk,
        put_up_milk: frozen.put_up,
        // Half of what is drunk, unless the family says otherwise (our default).
        thawed_part: c.read("household.thawed milk", &home.thawed_milk).unwrap_or(0.5),
        kitchen_minutes: household::kitchen(c, &home.kitchen_time),
        kept_back_days: c
            .within("household.keep back", &home.keep_back, 0.0..=30.0, "a time up to 30 days")
            .unwrap_or(1.0),
        drink_from_day,
        chore_minutes,
        jar_minutes,
        feeding_minutes,
    };
    let plan = Plan {
        days,
        hours,
        animals: animals.iter().map(|a| a.plan.clone()).collect(),
        hot,
        heat: excess.map(|e| e.above),
        fetches: fetches.iter().map(|(f, _)| f.clone()).collect(),
        household,
        jars: rooms.jars.iter().map(|j| j.plan).collect(),
        places: rooms.places.clone(),
        cold,
        items: items.plans.clone(),
        recipes: recipe_plans,
        kitchen,
        outlets: outlets.iter().map(|(o, _)| o.clone()).collect(),
        trade,
        rules: rules.iter().map(|(r, _)| r.clone()).collect(),
        when_full,
        opening,
        keeping,
        losses,
        aims: aims.iter().map(|(a, _)| *a).collect(),
    };
    let parts = Parts {
        run,
        units,
        animals,
        fetches,
        people,
        items,
        rooms,
        way,
        wheels,
        book,
        rules,
        outlets,
        wishes: wish_words,
        trade: trade_words,
        cleanliness,
        equipment,
        equipment_l,
        starters,
    };
    crosschecks::all(c, raw, &plan, &parts, &ready);
    let failed = ctx.any_errors();
    let found = ctx.finish();
    if failed {
        return Err(found);
    }
    let mut names = Names { opening: milkings, ..named::names(raw, &plan, &parts, &aims) };
    names.rule_terms = understood::terms(&plan, &names, &parts);
    let understood = understood::understood(&plan, &names, &parts);
    debug_assert!(found.iter().all(|d| d.severity == Severity::Warning));
    Ok(Compiled { plan, names, understood, trials, seed, sha256: String::new(), warnings: found })
}

use context::Ctx;

fn seed(c: &mut Ctx, raw: &Scenario) -> Option<u64> {
    let text = raw.seed.as_ref()?.get();
    let seed = text.parse::<u64>().ok();
    if seed.is_none() {
        c.error("seed", format!("`{text}` is no seed"), "write a whole number such as `seed: 7`");
    }
    seed
}
