//! Lactation curves and the composition along them.

use super::{
    super::{
        plan::CurvePlan,
        raw::{self, Text},
    },
    Known,
    context::{Ctx, under},
};
use crate::{
    dairy::{composition::Stage, lactation::Wood},
    units::{self, MilkAmount, MilkRate, UnitSystem, show},
};

/// The curves from the first lactation of the plan on: where that is her first
/// one, the second entry is a later one.
#[allow(clippy::too_many_arguments)]
pub(super) fn curves(
    c: &mut Ctx,
    known: &Known,
    own: &raw::Animal,
    breed: &raw::Animal,
    a: &raw::Animal,
    at: &str,
    lactation: u32,
    usual: usize,
    longest: usize,
) -> Option<Vec<CurvePlan>> {
    let p = |key: &str| under(at, key);
    let merged = |own: &Option<raw::Curve>, base: &Option<raw::Curve>| match (own, base) {
        (Some(o), Some(b)) => Some(o.over(b)),
        (o, b) => o.clone().or_else(|| b.clone()),
    };
    let later = wood(c, &p("curve"), &merged(&own.curve, &breed.curve)).or_else(|| {
        if a.curve.is_none() {
            c.missing(
                at,
                &["curve"],
                "the `curve` of this breed",
                "write `curve: {a: 16, b: 0.07, c: 0.0027}`",
            );
        }
        None
    })?;
    let first = match merged(&own.first_curve, &breed.first_curve) {
        Some(raw) if own.curve.is_none() || own.first_curve.is_some() => {
            wood(c, &p("first curve"), &Some(raw))?
        }
        _ => {
            let part = c.within(&p("first gives"), &a.first_gives, 0.3..=1.2, "a part from 30 to 100 %");
            Wood { a: later.a * part.unwrap_or(0.85), ..later }
        }
    };
    // The breed's own total goes with the breed's own curve only.
    let breed_total = match (&own.curve, &breed.gives) {
        (None, Some(t)) => c.words::<MilkAmount>(&p("gives"), t.get()),
        _ => None,
    };
    let breed_factor = breed_total.map_or(1.0, |kg| kg / later.total(usual as u16));
    let this = if lactation == 1 { first } else { later };
    let factor = match &own.gives {
        Some(t) => breed_factor * gives(c, &p("gives"), t, &scaled(this, breed_factor), usual)?,
        None => breed_factor * feed(c, known, a, own.curve.is_some(), at),
    };
    let fat = composition(c, at, "fat", &a.fat, &a.fat_over_time, 0.005..=0.15);
    let protein = composition(c, at, "protein", &a.protein, &a.protein_over_time, 0.005..=0.10);
    let (fat, protein) = (fat?, protein?);
    let make = |wood: Wood| {
        let kg = |day: usize| wood.kg(day as f64) * factor;
        let yield_kg: Vec<f64> = (1..=longest).map(kg).collect();
        let usual_kg = &yield_kg[..usual.min(longest)];
        let shaped = |(mean, stage): (f64, Option<Stage>), most: f64| match stage {
            None => vec![mean; longest],
            Some(stage) => {
                let stage = stage.shift_to_mean(usual_kg, mean);
                (1..=longest).map(|d| stage.at(d as f64).clamp(0.002, most)).collect()
            }
        };
        CurvePlan { fat: shaped(fat, 0.2), protein: shaped(protein, 0.15), yield_kg }
    };
    let curves = if lactation == 1 { vec![make(first), make(later)] } else { vec![make(later)] };
    let fine = |k: &CurvePlan| k.yield_kg.iter().all(|y| y.is_finite() && (0.0..=150.0).contains(y));
    if !curves.iter().all(fine) {
        c.error(
            &p("curve"),
            "this curve gives no believable milk",
            "more than 150 kg a day is out of reason",
        );
        return None;
    }
    Some(curves)
}

fn scaled(w: Wood, factor: f64) -> Wood {
    Wood { a: w.a * factor, ..w }
}

fn wood(c: &mut Ctx, at: &str, raw: &Option<raw::Curve>) -> Option<Wood> {
    let raw = raw.as_ref()?;
    let mut need = |key: &str, text: &Option<Text>, range| {
        let at_key = under(at, key);
        if text.is_none() {
            c.missing(
                at,
                &[key],
                &format!("`{key}` of this curve"),
                "a curve is `{a: 16, b: 0.07, c: 0.0027}`",
            );
        }
        c.number(&at_key, text, range)
    };
    let a = need("a", &raw.a, 0.01..=100.0);
    let b = need("b", &raw.b, 0.0..=1.0);
    let cc = need("c", &raw.c, 0.0001..=0.05);
    Some(Wood { a: a?, b: b?, c: cc? })
}

/// The factor that brings `wood` to what the family says she gives.
fn gives(c: &mut Ctx, at: &str, text: &Text, wood: &Wood, usual: usize) -> Option<f64> {
    let words = text.get();
    let lower = words.to_lowercase();
    let factor = if let Some(rate) = lower.strip_suffix("at the peak") {
        c.words::<MilkRate>(at, rate.trim())? / wood.peak_kg()
    } else {
        let amount = lower.trim_end_matches("a lactation").trim();
        c.words::<MilkAmount>(at, amount)? / wood.total(usual as u16)
    };
    if factor <= 0.0 || !factor.is_finite() {
        c.error(at, format!("`{words}` is no milk at all"), "write `4500 kg` or `4 gal/day at the peak`");
        return None;
    }
    let system = if ["gal", "qt", "quart", "lb", "pound"].iter().any(|unit| lower.contains(unit)) {
        UnitSystem::Us
    } else {
        UnitSystem::Metric
    };
    let usually = format!(
        "the breed usually gives about {} at the peak and {} in a lactation",
        show::milk_a_day(wood.peak_kg(), system),
        show::mass(wood.total(usual as u16), system)
    );
    if !(0.02..=50.0).contains(&factor) {
        // A day's milk written for a lactation's, or the other way round.
        c.error(
            at,
            format!("`{words}` is far from what any animal of the breed gives in a lactation"),
            a_day_at_the_peak(words, wood).unwrap_or(usually),
        );
        return None;
    }
    if !(0.2..=3.0).contains(&factor) {
        c.warn(
            at,
            format!("`{words}` is {:.1} times what the breed usually gives", factor),
            a_day_at_the_peak(words, wood).unwrap_or(usually),
        );
    }
    Some(factor)
}

/// A day's milk that was written for a lactation's, with the words that are missing.
fn a_day_at_the_peak(words: &str, wood: &Wood) -> Option<String> {
    let rate = if words.contains('/') { words.to_owned() } else { format!("{words}/day") };
    let factor = units::read::<MilkRate>(&rate).ok()? / wood.peak_kg();
    (0.2..=3.0).contains(&factor).then(|| {
        format!("did you mean `{rate} at the peak`? Without these words it is the milk of a whole lactation")
    })
}

/// How the feed scales a curve that was measured on another feed.
fn feed(c: &mut Ctx, known: &Known, a: &raw::Animal, own_curve: bool, at: &str) -> f64 {
    let mut part = |key: &str, name: &Option<Text>| {
        let at = under(at, key);
        let feed = c.preset(&at, "feed", name.as_ref()?, &known.library.feeds)?;
        c.read(&at, &feed.gives).filter(|p| *p > 0.0)
    };
    let fed = part("feed", &a.feed);
    let measured = part("curve fed on", &a.curve_fed_on);
    match (fed, measured) {
        (Some(f), Some(m)) if !own_curve => f / m,
        _ => 1.0,
    }
}

/// Mean and stage curve of fat or protein, as mass fractions.
fn composition(
    c: &mut Ctx,
    at: &str,
    what: &str,
    mean: &Option<units::Text<units::Part>>,
    stage: &Option<raw::Stage>,
    range: std::ops::RangeInclusive<f64>,
) -> Option<(f64, Option<Stage>)> {
    let path = under(at, what);
    if mean.is_none() {
        c.missing(
            at,
            &[what],
            &format!("`{what}`"),
            format!("write the mean of the milk, such as `{what}: 4 %`"),
        );
    }
    let (least, most) = (range.start() * 100.0, range.end() * 100.0);
    let mean = c.within(&path, mean, range, &format!("a part from {least} to {most} %"))?;
    let Some(raw) = stage else { return Some((mean, None)) };
    let path = under(at, &format!("{what} over time"));
    let base = c.number(&under(&path, "base"), &raw.base, 0.0..=15.0);
    let early = c.number(&under(&path, "early"), &raw.early, -10.0..=10.0).unwrap_or(0.0);
    let fades = c.number(&under(&path, "fades"), &raw.fades, 0.001..=2.0).unwrap_or(0.05);
    let climb = c.number(&under(&path, "climb"), &raw.climb, -0.02..=0.02).unwrap_or(0.0);
    let base = base.unwrap_or(mean * 100.0);
    Some((mean, Some(Stage { p0: base, p1: early, k: fades, p2: climb })))
}
