//! The cream line of one jar, and how deep to skim it.
//!
//! All the science is [`crate::dairy::cream`]'s. The jar is taken as straight,
//! and as there a part of its height is the same part of its milk's mass.

mod drawing;
#[cfg(test)]
mod tests;
mod words;

use serde_json::{Value, json};

pub(super) use words::{depth, grade_words};

use super::{Page, ReportError};
use crate::dairy::Species;
use crate::dairy::balance::Share;
use crate::dairy::cream::{Cut, Grade, Layer, rise_rate};
use crate::dairy::matter::Matter;
use crate::scenario::{JarShape, UnitSystem};
use crate::units::MILK_KG_PER_L;

/// Glass all round, m: our default, with which a half-gallon jar stands 20 cm deep in milk.
const GLASS_M: f64 = 0.005;
/// Butter: fat of the butter, part of the cream's fat kept (as the recipe of
/// that name; Goff, University of Guelph, Dairy Science and Technology, butter:
/// 81.5 % fat, 0.3 % left in the buttermilk of a good churn).
const BUTTER: Share = Share::ByFat { fat_kept: 0.985, protein_kept: 0.08, fat_part: 0.815 };
/// Cream leaner than this is not churned (light cream, 21 CFR 131.155; our default).
const CHURNS_FROM: f64 = 0.18;

/// What is asked of a jar.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// Whose milk (`jersey`, `Clover`).
    pub whose: String,
    /// Species.
    pub species: Species,
    /// Fat of the milk, mass fraction, above 0 and at most 0.2.
    pub fat: f64,
    /// Hours at rest.
    pub hours: f64,
    /// Temperature, °C.
    pub celsius: f64,
    /// Name of the jar size.
    pub jar: String,
    /// What is filled into it, L.
    pub working_l: f64,
    /// Its outside.
    pub shape: JarShape,
    /// How deep.
    pub wish: Option<Wish>,
    /// Units to show.
    pub units: UnitSystem,
}

/// How deep to skim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wish {
    /// Until the milk holds so much fat, mass fraction.
    Leave(f64),
    /// As much cream as holds so much fat on average, mass fraction.
    Grade(f64),
    /// The whole layer.
    Layer,
}

/// A skim of the jar, in kg and m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skim {
    /// The cut.
    pub cut: Cut,
    /// How deep, m.
    pub depth_m: f64,
    /// Cream got.
    pub cream: Matter,
    /// Milk left.
    pub milk: Matter,
    /// Cream still standing on it, m.
    pub left_m: f64,
    /// What is left, shaken and rested as long again: its line, m.
    pub again_m: f64,
    /// Butter of the cream, kg; none where it is too lean to churn.
    pub butter_kg: Option<f64>,
}

/// A wish that cannot be met as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmet {
    /// No cream has risen.
    NoCream,
    /// The milk holds no more than is to be left.
    LeanAlready,
    /// Even the top is leaner than the cream wished for.
    TooLean,
    /// Even the whole layer leaves more fat: the layer is taken.
    LayerLeavesMore,
}

/// A jar at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Jar {
    /// What was asked.
    pub ask: Ask,
    /// Its cream.
    pub layer: Layer,
    /// Milk in it.
    pub milk: Matter,
    /// Milk from top to bottom, m.
    pub deep_m: f64,
    /// Air and lid above it, m.
    pub air_m: f64,
}

impl Jar {
    /// The jar as it stands.
    #[must_use]
    pub fn at_rest(ask: &Ask) -> Self {
        let hours_at_4c = ask.hours.max(0.0) * rise_rate(ask.celsius);
        let layer = Layer::at_rest(ask.fat, hours_at_4c, ask.species);
        let inside = (ask.shape.across_m - 2.0 * GLASS_M).max(0.5 * ask.shape.across_m);
        let area = std::f64::consts::FRAC_PI_4 * inside * inside;
        // Never over the rim, whatever the sizes say.
        let deep_m = (ask.working_l / 1000.0 / area).min(0.97 * ask.shape.height_m);
        // Protein is not asked for.
        let milk = Matter::milk(ask.working_l * MILK_KG_PER_L, ask.fat, 0.0);
        Self { ask: ask.clone(), layer, milk, deep_m, air_m: ask.shape.height_m - deep_m }
    }

    /// The cream line, m below the surface.
    #[must_use]
    pub fn line_m(&self) -> f64 {
        self.layer.volume_part * self.deep_m
    }

    /// Takes off the top, to a part of the milk's height.
    #[must_use]
    pub fn skim(&self, depth: f64) -> Skim {
        let cut = self.layer.cut(depth);
        let cream_kg = self.milk.mass * cut.part;
        let cream = Matter { mass: cream_kg, fat: cream_kg * cut.fat_part, protein: 0.0, milk: cream_kg };
        let milk = self.milk - cream;
        let hours_at_4c = self.ask.hours.max(0.0) * rise_rate(self.ask.celsius);
        let again = Layer::at_rest(cut.leaves(self.ask.fat), hours_at_4c, self.ask.species);
        Skim {
            cut,
            depth_m: cut.part * self.deep_m,
            cream,
            milk,
            left_m: (self.layer.volume_part - cut.part).max(0.0) * self.deep_m,
            again_m: again.volume_part * (1.0 - cut.part) * self.deep_m,
            butter_kg: (cut.fat_part >= CHURNS_FROM - 1e-9).then(|| BUTTER.of(cream).mass),
        }
    }

    /// The skim that a wish asks for; with it, or instead of it, why the wish
    /// is not met.
    #[must_use]
    pub fn wished(&self, wish: Wish) -> (Option<Skim>, Option<Unmet>) {
        if self.layer.volume_part <= 0.0 {
            return (None, Some(Unmet::NoCream));
        }
        match wish {
            Wish::Layer => (Some(self.skim(self.layer.volume_part)), None),
            Wish::Leave(fat) => match self.layer.depth_leaving(fat) {
                None => (None, Some(Unmet::LeanAlready)),
                Some(depth) => {
                    let skim = self.skim(depth);
                    let more = skim.cut.leaves(self.ask.fat) > fat + 1e-9;
                    (Some(skim), more.then_some(Unmet::LayerLeavesMore))
                }
            },
            Wish::Grade(fat) => match self.layer.depth_of_grade(fat) {
                None => (None, Some(Unmet::TooLean)),
                Some(depth) => (Some(self.skim(depth)), None),
            },
        }
    }

    /// The bands of the legal grades, by the fat at each depth, from the top
    /// down: grade, from, to (parts of the milk's height). Milk comes last.
    #[must_use]
    pub fn bands(&self) -> Vec<(Grade, f64, f64)> {
        let l = &self.layer;
        // Where the straight line of fat falls to a value.
        let falls_to = |fat: f64| {
            let fall = l.top_fat - l.bottom_fat;
            if fat <= l.bottom_fat || fall <= 0.0 {
                return l.volume_part;
            }
            (l.volume_part * (l.top_fat - fat) / fall).clamp(0.0, l.volume_part)
        };
        let mut from = 0.0;
        let mut out = Vec::new();
        for grade in Grade::ALL {
            let to = match grade {
                Grade::Milk => 1.0,
                // Cream so rich that even the milk below it is of this grade.
                _ if l.below_fat >= grade.least_fat() => 1.0,
                _ => falls_to(grade.least_fat()),
            };
            if to > from + 1e-12 {
                out.push((grade, from, to));
                from = to;
            }
        }
        out
    }
}

/// The jar in words and drawings.
#[must_use]
pub fn page(ask: &Ask) -> Page {
    words::page(&Jar::at_rest(ask))
}

/// Name of a grade in files.
const fn key(grade: Grade) -> &'static str {
    match grade {
        Grade::Heavy => "heavy_cream",
        Grade::LightWhipping => "light_whipping_cream",
        Grade::Light => "light_cream",
        Grade::HalfAndHalf => "half_and_half",
        Grade::Milk => "milk",
    }
}

fn skim_json(jar: &Jar, skim: &Skim) -> Value {
    json!({
        "depth_m": skim.depth_m,
        "cream_kg": skim.cream.mass,
        "cream_l": skim.cut.part * jar.ask.working_l,
        "cream_fat": skim.cut.fat_part,
        "cream_grade": key(Grade::of(skim.cut.fat_part)),
        "milk_left_kg": skim.milk.mass,
        "milk_left_fat": skim.milk.fat_part(),
        "cream_left_m": skim.left_m,
        "line_rested_again_m": skim.again_m,
        "butter_kg": skim.butter_kg,
        "butter_kg_per_l_of_milk": skim.butter_kg.map(|kg| kg / jar.ask.working_l),
    })
}

/// The jar as JSON (SI), ending in a line feed.
///
/// # Errors
/// When it cannot be put into bytes.
pub fn json(ask: &Ask) -> Result<Vec<u8>, ReportError> {
    let jar = Jar::at_rest(ask);
    let l = &jar.layer;
    let bands: Vec<Value> = jar
        .bands()
        .into_iter()
        .map(|(grade, from, to)| {
            json!({
                "grade": key(grade),
                "from_m": from * jar.deep_m,
                "to_m": to * jar.deep_m,
                "fat_from": l.fat_at(from),
                "fat_to": if to < 1.0 { l.fat_at(to.min(l.volume_part - 1e-12)) } else { l.below_fat },
            })
        })
        .collect();
    let skims: Vec<Value> = words::skims(&jar)
        .iter()
        .map(|(name, skim)| {
            let mut value = skim_json(&jar, skim);
            if let Some(map) = value.as_object_mut() {
                map.insert("take".into(), json!(name));
            }
            value
        })
        .collect();
    let wished = ask.wish.map(|w| jar.wished(w));
    let unmet = wished.and_then(|(_, unmet)| unmet).map(|u| match u {
        Unmet::NoCream => "no_cream_has_risen",
        Unmet::LeanAlready => "nothing_to_skim",
        Unmet::TooLean => "top_too_lean",
        Unmet::LayerLeavesMore => "layer_leaves_more",
    });
    let value = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "milk": {"of": ask.whose, "species": words::species(ask.species), "fat": ask.fat, "kg": jar.milk.mass},
        "hours": ask.hours,
        "celsius": ask.celsius,
        "jar": {
            "size": ask.jar,
            "holds_l": ask.working_l,
            "height_m": ask.shape.height_m,
            "across_m": ask.shape.across_m,
            "milk_deep_m": jar.deep_m,
        },
        "cream": {
            "line_m": jar.line_m(),
            "fat_at_top": l.top_fat,
            "fat_at_line": l.bottom_fat,
            "fat_below": l.below_fat,
        },
        "bands": bands,
        "skims": skims,
        "wished": wished.and_then(|(skim, _)| skim).map(|s| skim_json(&jar, &s)),
        "unmet": unmet,
    });
    let mut bytes = serde_json::to_vec_pretty(&value)?;
    bytes.push(b'\n');
    Ok(bytes)
}
