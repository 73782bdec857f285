//! Recipes: which are used, and how each is compiled and proved.

use super::{
    super::{
        plan::{BlendPlan, InputPlan, ItemId, MAX_INPUTS, OutputPlan, RecipePlan},
        raw::{self, Entries, OneOrMany, Recipe, Rule, Scenario},
    },
    Known,
    context::{Ctx, entry, under},
    items::Items,
    prove::{Reach, prove},
    things::Things,
};
use crate::{
    dairy::{balance::Share, keeping::souring_hours, matter::Matter},
    units::{Amount, Text as Q, read_amount},
};

/// The recipes behind `do: skim, with: separator`: of this morning's milk, and
/// of last evening's too.
const SEPARATED: &str = "separated cream";
const OF_TWO: &str = "separated cream of two milkings";

/// Whether the milk is heated first.
#[derive(Clone, Copy, PartialEq)]
enum Heat {
    Heated,
    Raw,
    /// It does not matter.
    None,
}

/// The recipe that a rule asks for, by its word; `None` where it makes nothing.
pub(super) fn asked_for(rule: &Rule) -> Option<String> {
    let does = rule.does.as_ref()?.get().to_lowercase();
    let what = rule.what.as_ref().map(|w| w.get().to_lowercase());
    let with = rule.with.as_ref().map(|w| w.get().to_lowercase());
    match does.as_str() {
        "make" => what,
        "thaw" => what.map(|w| format!("thawed {}", w.trim_start_matches("frozen ").trim_end())),
        "skim" if with.as_deref() == Some("separator") => {
            let two = rule.milk_of.as_ref().is_some_and(|t| t.get().eq_ignore_ascii_case("two milkings"));
            Some(if two { OF_TWO } else { SEPARATED }.to_owned())
        }
        _ => None,
    }
}

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
pub(super) fn compile(
    c: &mut Ctx,
    items: &Items,
    reach: &mut Reach,
    things: &mut Things,
    name: &str,
    r: &Recipe,
) -> Option<RecipePlan> {
    let at = under("recipes", name);
    let p = |key: &str| under(&at, key);
    let inputs = inputs(c, items, &at, things.rule_at(), r.inputs.as_deref().unwrap_or_default());
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
    let heat = [("heated", Heat::Heated), ("advised", Heat::Raw), ("raw", Heat::Raw), ("none", Heat::None)];
    let heat = c.choice(&p("heat"), &r.heat, &heat).unwrap_or(Heat::Raw);
    let heated = heat == Heat::Heated;
    let heating = c.within(&p("heating takes"), &r.heating_takes, 0.0..=600.0, "a time up to 10 h");
    let takes = c.within(&p("takes"), &r.takes, 0.0..=1440.0, "a time up to 24 h").unwrap_or(0.0);
    let (fails, when_heated) =
        (c.read(&p("fails"), &r.fails), c.read(&p("fails when heated"), &r.fails_when_heated));
    let when_foul = c.read(&p("fails when foul"), &r.fails_when_foul);
    // Every other batch of raw milk of a foul milking comes to nothing (our default).
    let usual = if heat == Heat::Raw { 0.5 } else { 0.0 };
    let uses = things.uses(c, &at, r);
    let most = things.cap(c, name, &uses, density, &inputs, least, most);
    let starter = things.starter(c, &at, r, density);
    let left = kg(c, "left behind", &r.left_behind).unwrap_or(0.0);
    if left > 0.5 * least {
        c.error(
            &p("left behind"),
            "more than half of the smallest batch is left behind",
            "write a larger `least`, or less here",
        );
    }
    let plan = RecipePlan {
        least_kg: least,
        most_kg: most.max(least),
        minutes: takes + if heated { heating.unwrap_or(0.0) } else { 0.0 },
        minutes_per_kg: c
            .within(&p("takes per litre"), &r.takes_per_litre, 0.0..=600.0, "a time up to 10 h")
            .unwrap_or(0.0)
            / density,
        ready_hours: c
            .within(&p("ready after"), &r.ready_after, 0.0..=400.0, "a time up to 400 days")
            .unwrap_or(0.0)
            * 24.0,
        ripens_hours: None,
        ageing_days: c.within(&p("ages"), &r.ages, 0.0..=4000.0, "a time up to 4000 days").unwrap_or(0.0),
        ageing_loss: c
            .within(&p("ageing loses"), &r.ageing_loses, 0.0..=0.4, "a part up to 40 %")
            .unwrap_or(0.0),
        added_per_kg: Matter { mass: added, ..Matter::NONE },
        steam: c.within(&p("steam"), &r.steam, 0.0..=0.94, "a part up to 94 %").unwrap_or(0.0),
        film: c.within(&p("film"), &r.film, 0.0..=0.2, "a part up to 20 %").unwrap_or(0.0),
        left_kg: left,
        fails: when_heated.filter(|_| heated).or(fails).unwrap_or(0.0),
        fails_when_foul: if heated { 0.0 } else { when_foul.unwrap_or(usual) },
        heated,
        uses,
        home_hours: c.within(&p("home for"), &r.home_for, 0.0..=1.0, "a time up to 24 h").unwrap_or(0.0)
            * 24.0,
        starter,
        inputs,
        outputs,
    };
    prove(c, items, reach, &at, name, &plan);
    Some(plan)
}

/// Hours until it is ready by month, where it ripens at the kitchen's own warmth: by
/// the pace of souring, which is known from 12 to 30 °C.
pub(super) fn ripens(
    c: &mut Ctx,
    name: &str,
    r: &Recipe,
    ready_hours: f64,
    kitchen_c: [f64; 12],
) -> Option<[f64; 12]> {
    let at = under(&under("recipes", name), "ripens at");
    let bounds = "a temperature from 12 to 30 °C (54 to 86 °F)";
    let stated = c.within(&at, &r.ripens_at, 12.0..=30.0, bounds)?;
    let pace = souring_hours(stated);
    Some(kitchen_c.map(|t| ready_hours * souring_hours(t.clamp(12.0, 30.0)) / pace))
}

fn inputs(
    c: &mut Ctx,
    items: &Items,
    at: &str,
    rule: &str,
    raw: &[raw::Ingredient],
) -> Option<Vec<InputPlan>> {
    let recipe = at;
    let at = under(at, "inputs");
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
        let at = entry(&at, i);
        let Some(names) = &input.of else {
            c.missing(&at, &["of"], "`of`", "write the item, such as `{of: whole milk}`");
            return None;
        };
        let ids = some_items(c, items, &under(&at, "of"), rule, names)?;
        let blend = blend(c, items, &at, rule, input)?;
        if i == MAX_INPUTS {
            c.error(&at, format!("more than {MAX_INPUTS} inputs"), "put some together");
            return None;
        }
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
            blend,
        });
    }
    Some(all)
}

/// The items of a list; those that nothing makes are left out while others are there.
fn some_items(c: &mut Ctx, items: &Items, at: &str, rule: &str, names: &OneOrMany) -> Option<Vec<ItemId>> {
    let mut ids = Vec::new();
    let mut unmade = None;
    for (j, name) in names.each() {
        let at = j.map_or_else(|| at.to_owned(), |j| entry(at, j));
        if items.is_unmade(name.get()) {
            unmade.get_or_insert((at, name.get()));
            continue;
        }
        ids.extend(items.find(c, &at, name.get())?);
    }
    if ids.is_empty() {
        match unmade {
            // What a preset asks for is told at the rule that asks for the preset.
            Some((at, name)) => _ = items.find(c, if c.written(&at) { &at } else { rule }, name),
            None => c.error(at, "this list is empty", "name at least one item"),
        }
        return None;
    }
    let mut seen = 0u64;
    ids.retain(|id| {
        let new = seen & (1 << id.0) == 0;
        seen |= 1 << id.0;
        new
    });
    Some(ids)
}

/// How an input is standardised; nothing where it is not.
#[allow(clippy::option_option)]
fn blend(
    c: &mut Ctx,
    items: &Items,
    at: &str,
    rule: &str,
    input: &raw::Ingredient,
) -> Option<Option<BlendPlan>> {
    let fat = c.within(&under(at, "fat"), &input.fat, 0.0..=0.6, "a part up to 60 %");
    match (&input.blended_with, &input.fat) {
        (None, None) => Some(None),
        (Some(with), Some(_)) => {
            let with = some_items(c, items, &under(at, "blended with"), rule, with)?;
            if let Some(t) = input.fat_at_least.as_ref() {
                let message = format!("`fat at least: {}` beside `fat`", t.as_str());
                c.error(&under(at, "fat at least"), message, "a blend has the fat you say: leave this out");
            }
            Some(Some(BlendPlan { with, fat: fat? }))
        }
        (Some(_), None) => {
            c.missing(at, &["fat"], "`fat`", "say what fat the blend shall have, such as `fat: 3.2 %`");
            None
        }
        (None, Some(_)) => {
            c.missing(
                at,
                &["blended with"],
                "`blended with`",
                "say what is stirred in, such as `blended with: skimmed milk`",
            );
            None
        }
    }
}

fn gives(c: &mut Ctx, items: &Items, at: &str, raw: &[raw::Output]) -> Option<Vec<OutputPlan>> {
    let recipe = at;
    let at = &under(at, "gives");
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
        let leaves = c.within(&p("leaves"), &o.leaves, 0.0..=0.1, "a part up to 10 %");
        if o.leaves.is_some() && (o.fat.is_none() || o.fat_kept.is_some() || o.protein_kept.is_some()) {
            c.error(
                &p("leaves"),
                "what a separator leaves goes with `fat` alone",
                "write such as `{what: top cream, fat: 40 %, leaves: 0.1 %}`",
            );
        }
        let share = if last || ways != 1 {
            Share::Rest
        } else if let Some(skim_fat) = leaves {
            let fat = c.within(&p("fat"), &o.fat, 0.12..=0.7, "a part from 12 to 70 %");
            Share::Separated { skim_fat, cream_fat: fat.unwrap_or(0.4) }
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
