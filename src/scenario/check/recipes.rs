//! Recipes: which are used, and how each is compiled and proved.

use super::{
    super::{
        plan::{InputPlan, ItemId, OutputPlan, RecipePlan, fixed},
        raw::{self, Entries, Recipe, Scenario},
    },
    Known,
    context::{Ctx, entry, under},
    items::Items,
};
use crate::{
    dairy::{balance::Share, matter::Matter},
    units::{Amount, Text as Q, read_amount},
};

/// All recipes by name: presets with own changes over them, in the order of
/// the presets, then own ones by name.
pub(super) fn book(known: &Known, raw: &Scenario) -> Vec<(String, Recipe)> {
    let empty = Entries::default();
    let own = raw.recipes.as_ref().unwrap_or(&empty);
    let mut all: Vec<(String, Recipe)> = known
        .library
        .recipes
        .iter()
        .map(|(n, r)| (n.to_owned(), own.get(n).map_or_else(|| r.clone(), |o| o.over(r))))
        .collect();
    let mut new: Vec<(String, Recipe)> = own
        .iter()
        .filter(|(n, _)| known.library.recipes.get(n).is_none())
        .map(|(n, r)| (n.to_owned(), r.clone()))
        .collect();
    new.sort_by(|a, b| a.0.cmp(&b.0));
    all.extend(new);
    all
}

/// The recipe that a word names: by its own name, or by what it gives first.
pub(super) fn position(book: &[(String, Recipe)], word: &str) -> Option<usize> {
    book.iter().position(|(n, _)| n.eq_ignore_ascii_case(word)).or_else(|| {
        book.iter().position(|(_, r)| outputs(r).first().is_some_and(|o| o.eq_ignore_ascii_case(word)))
    })
}

/// Names of what a recipe gives.
pub(super) fn outputs(r: &Recipe) -> Vec<String> {
    r.gives.iter().flatten().filter_map(|o| o.what.as_ref()).map(|t| t.get().to_owned()).collect()
}

/// Compiles one recipe.
pub(super) fn compile(c: &mut Ctx, items: &Items, name: &str, r: &Recipe) -> Option<RecipePlan> {
    let at = under("recipes", name);
    let p = |key: &str| under(&at, key);
    let inputs = inputs(c, items, &at, r.inputs.as_deref().unwrap_or_default());
    let outputs = gives(c, items, &at, r.gives.as_deref().unwrap_or_default());
    let (inputs, outputs) = (inputs?, outputs?);
    let density = items.density(&inputs[0].items);
    let kg = |c: &mut Ctx, key: &str, q: &Option<Q<_>>| {
        let q = q.as_ref()?;
        let text: &Q<crate::units::MilkAmount> = q;
        text.read().map_err(|e| c.push(&p(key), e.diagnostic())).ok()?;
        c.take(&p(key), read_amount(text.as_str())).map(|a: Amount| a.kg(density))
    };
    let least = kg(c, "least", &r.least).unwrap_or(0.1).max(0.01);
    let most = kg(c, "most", &r.most).unwrap_or(f64::INFINITY);
    if most < least {
        c.error(
            &p("most"),
            "the largest batch is smaller than the smallest",
            "turn `least` and `most` round",
        );
    }
    let mut added = 0.0;
    for (what, part) in r.added.as_ref().map(Entries::iter).into_iter().flatten() {
        added += c.read(&under(&p("added"), what), &Some(part.clone())).unwrap_or(0.0);
    }
    let small = "a part up to 50 %";
    let plan = RecipePlan {
        least_kg: least,
        most_kg: most.max(least),
        minutes: c.within(&p("takes"), &r.takes, 0.0..=1440.0, "a time up to 24 h").unwrap_or(0.0),
        minutes_per_kg: c
            .within(&p("takes per litre"), &r.takes_per_litre, 0.0..=600.0, "a time up to 10 h")
            .unwrap_or(0.0)
            / density,
        ready_hours: c
            .within(&p("ready after"), &r.ready_after, 0.0..=400.0, "a time up to 400 days")
            .unwrap_or(0.0)
            * 24.0,
        ageing_days: c.within(&p("ages"), &r.ages, 0.0..=4000.0, "a time up to 4000 days").unwrap_or(0.0),
        ageing_loss: c
            .within(&p("ageing loses"), &r.ageing_loses, 0.0..=0.4, "a part up to 40 %")
            .unwrap_or(0.0),
        added_per_kg: Matter { mass: added, ..Matter::NONE },
        steam: c.within(&p("steam"), &r.steam, 0.0..=0.5, small).unwrap_or(0.0),
        film: c.within(&p("film"), &r.film, 0.0..=0.2, "a part up to 20 %").unwrap_or(0.0),
        fails: c.read(&p("fails"), &r.fails).unwrap_or(0.0),
        inputs,
        outputs,
    };
    prove(c, items, &at, name, &plan);
    Some(plan)
}

fn inputs(c: &mut Ctx, items: &Items, recipe: &str, raw: &[raw::Ingredient]) -> Option<Vec<InputPlan>> {
    let at = &under(recipe, "inputs");
    if raw.is_empty() {
        c.missing(
            recipe,
            &["inputs"],
            "what goes into this recipe (`inputs`)",
            "write `inputs: [{of: whole milk}]`",
        );
        return None;
    }
    let mut all = Vec::new();
    for (i, input) in raw.iter().enumerate() {
        let at = entry(at, i);
        let mut ids = Vec::new();
        let of = under(&at, "of");
        let Some(names) = &input.of else {
            c.missing(&at, &["of"], "`of`", "write the item, such as `{of: whole milk}`");
            return None;
        };
        for (j, name) in names.each() {
            let at = j.map_or_else(|| of.clone(), |j| entry(&of, j));
            ids.extend(items.find(c, &at, name.get())?);
        }
        if ids.is_empty() {
            c.error(&of, "this list is empty", "name at least one item");
            return None;
        }
        let mut seen = 0u64;
        ids.retain(|id| {
            let new = seen & (1 << id.0) == 0;
            seen |= 1 << id.0;
            new
        });
        let per = c.within(&under(&at, "per kg"), &input.per_kg, 0.001..=50.0, "a mass from 1 g to 50 kg");
        if i > 0 && input.per_kg.is_none() {
            c.missing(&at, &["per kg"], "`per kg`", "write how much goes with each kg of the first input");
        }
        all.push(InputPlan {
            items: ids,
            per_kg: if i == 0 { 1.0 } else { per.unwrap_or(1.0) },
            newest_to_days: c
                .within(&under(&at, "no older than"), &input.no_older_than, 0.1..=10_000.0, "a time from 3 h")
                .unwrap_or(f64::INFINITY),
            fat_at_least: c
                .within(&under(&at, "fat at least"), &input.fat_at_least, 0.0..=0.6, "a part up to 60 %")
                .unwrap_or(0.0),
        });
    }
    Some(all)
}

fn gives(c: &mut Ctx, items: &Items, recipe: &str, raw: &[raw::Output]) -> Option<Vec<OutputPlan>> {
    let at = &under(recipe, "gives");
    if raw.is_empty() {
        c.missing(recipe, &["gives"], "what this recipe gives (`gives`)", "write `gives: [{what: yogurt}]`");
        return None;
    }
    let mut all: Vec<OutputPlan> = Vec::new();
    for (i, o) in raw.iter().enumerate() {
        let at = entry(at, i);
        let p = |key: &str| under(&at, key);
        let Some(what) = &o.what else {
            c.missing(&at, &["what"], "`what`", "name the item that comes out");
            return None;
        };
        let item = items.id(what.get());
        let Some(item) = item else {
            items.find(c, &p("what"), what.get());
            c.error(&p("what"), format!("`{}` is no single item", what.get()), "name one item");
            return None;
        };
        if all.iter().any(|o| o.item == item) {
            c.error(&p("what"), format!("`{}` comes out twice", what.get()), "put both together");
        }
        let keep = |c: &mut Ctx, key: &str, q: &Option<Q<_>>| {
            let q: &Option<Q<crate::units::Part>> = q;
            c.read(&p(key), q).unwrap_or(0.0)
        };
        let fat_kept = keep(c, "fat kept", &o.fat_kept);
        let protein_kept = keep(c, "protein kept", &o.protein_kept);
        let last = i + 1 == raw.len();
        let ways = [o.fat.is_some(), o.water.is_some(), o.mass_kept.is_some()];
        let ways = ways.iter().filter(|w| **w).count();
        if last && (ways > 0 || o.fat_kept.is_some() || o.protein_kept.is_some()) {
            c.error(
                &at,
                "the last output takes all that is left",
                "give it a name only, or add a last output",
            );
        }
        if !last && ways != 1 {
            c.error(
                &at,
                "this output needs exactly one of `fat`, `water` and `mass kept`",
                "`fat` for butter and cream, `water` for curd and cheese, `mass kept` for what is strained",
            );
        }
        let share = if last || ways != 1 {
            Share::Rest
        } else if o.fat.is_some() {
            let fat = c.within(&p("fat"), &o.fat, 0.05..=1.0, "a part from 5 to 100 %");
            Share::ByFat { fat_kept, protein_kept, fat_part: fat.unwrap_or(0.8) }
        } else if o.water.is_some() {
            let water = c.within(&p("water"), &o.water, 0.0..=0.95, "a part up to 95 %");
            let solids = c.number(&p("solids factor"), &o.solids_factor, 1.0..=3.0).unwrap_or(1.0);
            Share::ByWater { fat_kept, protein_kept, solids_factor: solids, water: water.unwrap_or(0.5) }
        } else {
            let mass_part = c.read(&p("mass kept"), &o.mass_kept).unwrap_or(0.5);
            Share::ByMass { mass_part, fat_kept, protein_kept }
        };
        all.push(OutputPlan { item, share });
    }
    Some(all)
}

/// Least and most fat and protein that an item may hold, mass fractions. The
/// creams are cut at 30 and 18 % fat; the others are wide on purpose.
fn reach(id: ItemId) -> [f64; 4] {
    match id {
        fixed::WHOLE | fixed::SOUR_MILK => [0.0, 0.15, 0.01, 0.07],
        fixed::SKIMMED => [0.0, 0.10, 0.01, 0.07],
        fixed::TOP_CREAM => [0.28, 0.50, 0.01, 0.05],
        fixed::MIDDLE_CREAM => [0.16, 0.32, 0.01, 0.06],
        fixed::THIN_CREAM => [0.02, 0.20, 0.01, 0.07],
        fixed::SOURED_CREAM => [0.02, 0.50, 0.01, 0.07],
        fixed::WHEY | fixed::ACID_WHEY => [0.0, 0.03, 0.001, 0.03],
        fixed::BUTTERMILK => [0.0, 0.10, 0.01, 0.07],
        _ => [0.0, 0.50, 0.01, 0.07],
    }
}

/// Proves every output non-negative over the fat and protein that the inputs
/// can bring, on a grid.
fn prove(c: &mut Ctx, items: &Items, at: &str, name: &str, plan: &RecipePlan) {
    const STEPS: usize = 10;
    let mut bounds = [0.0; 4];
    let mut mass = 0.0;
    for input in &plan.inputs {
        let mut of = [f64::INFINITY, 0.0, f64::INFINITY, 0.0];
        for id in &input.items {
            let r = reach(*id);
            of = [of[0].min(r[0]), of[1].max(r[1]), of[2].min(r[2]), of[3].max(r[3])];
        }
        of[0] = of[0].max(input.fat_at_least);
        of[1] = of[1].max(of[0]);
        mass += input.per_kg;
        for (b, o) in bounds.iter_mut().zip(of) {
            *b += o * input.per_kg;
        }
    }
    let step = |lo: f64, hi: f64, i: usize| lo + (hi - lo) * i as f64 / STEPS as f64;
    for f in 0..=STEPS {
        for p in 0..=STEPS {
            let (fat, protein) = (step(bounds[0], bounds[1], f), step(bounds[2], bounds[3], p));
            let steam = plan.steam * mass;
            let mut rest =
                Matter { mass: mass + plan.added_per_kg.mass - steam, fat, protein, milk: mass - steam };
            let sound = |m: &Matter| {
                m.fat >= -1e-12
                    && m.protein >= -1e-12
                    && m.mass + 1e-12 >= m.fat + m.protein
                    && m.milk >= -1e-12
            };
            let whole = rest;
            let mut bad = (!sound(&rest)).then_some(&plan.outputs[0]);
            for o in &plan.outputs {
                let part = if o.share == Share::Rest { rest } else { o.share.of(whole) };
                rest -= part;
                if bad.is_none() && !(sound(&part) && sound(&rest)) {
                    bad = Some(o);
                }
            }
            if let Some(o) = bad {
                c.error(
                    at,
                    format!(
                        "the recipe `{name}` does not add up: from an input with {:.1} % fat and {:.1} % protein \
                         it would take more than there is (at `{}`)",
                        100.0 * fat / mass,
                        100.0 * protein / mass,
                        items.name(o.item)
                    ),
                    "lower `fat kept` and `protein kept`, or ask for a richer input with `fat at least`",
                );
                return;
            }
        }
    }
}
