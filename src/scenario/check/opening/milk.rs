//! What opening stock is made of, where the family does not say.

use super::{Standing, World, under};
use crate::calendar;
use crate::dairy::{Species, balance, matter::Matter};
use crate::scenario::{
    check::{animals::Animal, context::Ctx},
    plan::{Action, ItemId, RecipePlan, SkimDepth, fixed},
};

/// Milk of which nothing at all is known: fat, protein (our default: a little
/// richer than the 3.66 % of farm milk in USDA Standard Reference 1078).
const ANY_MILK: (f64, f64) = (0.039, 0.032);
/// Fat in the middle of each grade of cream, for creams of unknown fat (the
/// grades are those of [`crate::dairy::cream::Grade`], the middle our default).
const CREAM_FAT: [f64; 3] = [0.36, 0.24, 0.14];
/// Fat left in skimmed milk where no rule says it (what a hand skim
/// leaves, our default).
const SKIMMED_FAT: f64 = 0.01;
/// Common products where no recipe of this scenario makes them: fat, protein,
/// mass fractions (butter of 7 U.S.C. 321a; the others as food tables give them,
/// from memory).
const USUAL: [(&str, f64, f64); 8] = [
    ("butter", 0.811, 0.0085),
    ("cultured butter", 0.811, 0.0085),
    ("hard cheese", 0.33, 0.25),
    ("fresh cheese", 0.20, 0.18),
    ("mozzarella", 0.22, 0.22),
    ("yogurt", 0.0325, 0.035),
    ("kefir", 0.035, 0.033),
    ("ice cream", 0.12, 0.035),
];

/// Species, fat and protein (mass fractions) of an entry.
pub(super) fn composition(
    c: &mut Ctx,
    w: &World,
    at: &str,
    s: &Standing,
    item: ItemId,
    drawn: f64,
) -> Option<(Species, f64, f64)> {
    let p = |key: &str| under(at, key);
    let of = match &s.of {
        None => None,
        Some(t) => match w.animals.iter().find(|a| a.name.eq_ignore_ascii_case(t.get())) {
            Some(a) => Some(a),
            None => {
                let names: Vec<&str> = w.animals.iter().map(|a| a.name.as_str()).collect();
                c.unknown(&p("of"), "animal", t.get(), &names);
                return None;
            }
        },
    };
    if item.0 <= fixed::THIN_CREAM.0 {
        since_fresh(c, w, at, s, of, drawn);
    }
    let species = of.map(|a| a.plan.species).unwrap_or_else(|| {
        let own = w.animals.first().map(|a| a.plan.species);
        own.or_else(|| w.fetches.first().map(|(f, _)| f.species)).unwrap_or(Species::Cow)
    });
    let fat = c.within(&p("fat"), &s.fat, 0.0..=0.9, "a part up to 90 %");
    let protein = c.within(&p("protein"), &s.protein, 0.0..=0.5, "a part up to 50 %");
    let usual = usual(w, item, milk_then(w, of, species, drawn), 0);
    let (fat, protein) = match (usual, fat, protein) {
        (_, Some(f), Some(p)) => (f, p),
        // Another fat leaves the fat-free part as it was.
        (Some((of, q)), Some(f), None) => (f, q * (1.0 - f) / (1.0 - of).max(0.05)),
        (Some((f, of)), None, p) => (f, p.unwrap_or(of)),
        (None, Some(f), None) => (f, 0.05 * (1.0 - f)),
        (None, None, _) => {
            let name = w.items.name(item);
            let help = "write what the label or the recipe says, such as `fat: 12 %, protein: 4 %`";
            c.missing(at, &["fat", "protein"], &format!("`fat` of this {name}"), help);
            return None;
        }
    };
    if fat + protein > 0.98 {
        c.error(&p("fat"), "fat and protein together are more than all of it", "check both");
        return None;
    }
    let milk = item == fixed::WHOLE || item == fixed::SKIMMED;
    if milk && fat > 0.15 {
        c.error(&p("fat"), format!("`{:.1} %` is no fat of milk", 100.0 * fat), "from 15 % on it is a cream");
        return None;
    }
    Some((species, fat, protein))
}

/// Sweet milk is not older than the lactation it comes from.
fn since_fresh(c: &mut Ctx, w: &World, at: &str, s: &Standing, of: Option<&Animal>, drawn: f64) {
    let path = under(at, "dated");
    let before = |a: &Animal| drawn < a.plan.freshens_day - a.plan.freshens_sd;
    if let Some(a) = of.filter(|a| before(a)) {
        let fresh = calendar::show(w.run.date_of(a.plan.freshens_day));
        c.error(&path, format!("{} freshened on {fresh}, after this was milked", a.name), "check both dates");
    } else if of.is_none()
        && s.of.is_none()
        && w.fetches.is_empty()
        && !w.animals.is_empty()
        && w.animals.iter().all(before)
    {
        let message = "this was milked before any animal here freshened";
        c.warn(&path, message, "check the dates, if it is your own milk");
    }
}

/// Fat and protein of whole milk at a time: of an animal, or of those of a
/// species as they were in milk then, each with her part of the milk.
fn milk_then(w: &World, of: Option<&Animal>, species: Species, drawn: f64) -> (f64, f64) {
    let (mut kg, mut fat, mut protein) = (0.0, 0.0, 0.0);
    let all = w.animals.iter().filter(|a| a.plan.species == species);
    for a in all.filter(|a| of.is_none_or(|one| one.name == a.name)) {
        let Some(curve) = a.plan.curves.first() else { continue };
        let dim = (drawn.floor() - a.plan.freshens_day) as i64;
        let in_milk = usize::try_from(dim)
            .ok()
            .filter(|d| drawn.floor() >= a.plan.freshens_day && *d < curve.fat.len());
        // One that was not in milk then counts with the middle of her lactation.
        let (day, weight) = in_milk.map_or((curve.fat.len() / 3, 1e-6), |d| (d, 1.0));
        let part = weight * curve.yield_kg.get(day).copied().unwrap_or(0.0);
        kg += part;
        fat += part * curve.fat.get(day).copied().unwrap_or(0.0);
        protein += part * curve.protein.get(day).copied().unwrap_or(0.0);
    }
    if kg > 0.0 {
        return (fat / kg, protein / kg);
    }
    w.fetches.first().map_or(ANY_MILK, |(f, _)| (f.fat, f.protein))
}

/// Fat and protein that an item usually has here, from such milk; `None`: it
/// cannot be told.
fn usual(w: &World, item: ItemId, milk: (f64, f64), depth: u32) -> Option<(f64, f64)> {
    let (fat, protein) = milk;
    let with_fat = |f: f64| (f, protein * (1.0 - f) / (1.0 - fat));
    Some(match item {
        fixed::WHOLE | fixed::SOUR_MILK => milk,
        fixed::SKIMMED => with_fat(left_by_skims(w).min(fat)),
        fixed::TOP_CREAM => with_fat(CREAM_FAT[0]),
        fixed::MIDDLE_CREAM | fixed::SOURED_CREAM => with_fat(CREAM_FAT[1]),
        fixed::THIN_CREAM => with_fat(CREAM_FAT[2]),
        _ => {
            let recipe = w.recipes.iter().find(|r| r.outputs.iter().any(|o| o.item == item));
            match recipe.and_then(|r| out_of(w, r, item, milk, depth)) {
                Some(made) => made,
                None if w.items.name(item).ends_with(" milk") => milk,
                None => by_name(w.items.name(item)).or_else(|| by_product(item))?,
            }
        }
    })
}

fn by_name(name: &str) -> Option<(f64, f64)> {
    USUAL.iter().find(|(n, ..)| n.eq_ignore_ascii_case(name)).map(|(_, f, p)| (*f, *p))
}

/// Wheys and buttermilk that no recipe here gives (food tables, from memory).
fn by_product(item: ItemId) -> Option<(f64, f64)> {
    match item {
        fixed::WHEY => Some((0.003, 0.008)),
        fixed::ACID_WHEY => Some((0.001, 0.004)),
        fixed::BUTTERMILK => Some((0.006, 0.033)),
        _ => None,
    }
}

/// The least fat that a rule leaves in the milk.
fn left_by_skims(w: &World) -> f64 {
    let leaves = w.rules.iter().filter_map(|(r, _)| match r.action {
        Action::Skim { depth: SkimDepth::Leave(fat), .. } => Some(fat),
        _ => None,
    });
    let least = leaves.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { SKIMMED_FAT }
}

/// What a recipe makes of such milk: fat and protein of one of its outputs.
fn out_of(w: &World, recipe: &RecipePlan, item: ItemId, milk: (f64, f64), depth: u32) -> Option<(f64, f64)> {
    // A product that is made of itself is told by its name.
    if depth > 4 {
        return None;
    }
    let mut batch = recipe.added_per_kg;
    for input in &recipe.inputs {
        let first = *input.items.first()?;
        let (fat, protein) = usual(w, first, milk, depth + 1)?;
        let fat = input.blend.as_ref().map_or(fat, |b| b.fat).max(input.fat_at_least);
        batch += Matter::milk(input.per_kg, fat, protein);
    }
    let water = (batch.mass - batch.fat - batch.protein).max(0.0);
    batch.mass -= (recipe.steam * batch.mass).min(0.9 * water);
    let mut rest = batch;
    let last = recipe.outputs.len().saturating_sub(1);
    for (n, out) in recipe.outputs.iter().enumerate() {
        let part = if n == last { rest } else { balance::limit(out.share.of(batch), rest) };
        rest -= part;
        if out.item == item {
            return (part.mass > 0.0).then(|| (part.fat_part(), part.protein_part()));
        }
    }
    None
}
