//! Single presets as numbers, for questions that need no whole scenario.

use super::library::Library;
use super::names::JarShape;
use crate::dairy::Species;

/// Milk of a breed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BreedMilk {
    /// Species.
    pub species: Species,
    /// Fat, mean of the whole lactation, mass fraction.
    pub fat: f64,
}

/// A jar size.
#[derive(Clone, Debug, PartialEq)]
pub struct JarKit {
    /// Name.
    pub name: String,
    /// What is filled into it, L.
    pub working_l: f64,
    /// Its outside.
    pub shape: JarShape,
}

/// The species of a word.
#[must_use]
pub fn species(word: &str) -> Option<Species> {
    super::check::SPECIES.iter().find(|(w, _)| w.eq_ignore_ascii_case(word.trim())).map(|(_, s)| *s)
}

/// All breeds by name, in the order of the preset file.
#[must_use]
pub fn breeds() -> Vec<(String, BreedMilk)> {
    let Ok(library) = Library::embedded() else { return Vec::new() };
    let milk = |(name, a): (&str, &super::raw::Animal)| {
        let species = species(a.species.as_ref()?.get())?;
        let fat = a.fat.as_ref()?.read().ok()?;
        Some((name.to_owned(), BreedMilk { species, fat }))
    };
    library.breeds.iter().filter_map(milk).collect()
}

/// An animal of a breed in a lactation of that number, as a scenario that says
/// nothing else of her compiles it; `None` for an unknown breed.
#[must_use]
pub fn animal(breed: &str, lactation: u32) -> Option<(super::plan::AnimalPlan, u16)> {
    let name = breeds().into_iter().map(|(n, _)| n).find(|n| n.eq_ignore_ascii_case(breed.trim()))?;
    let text = format!(
        "title: {name}\nstarts: 2027-04-01\nlasts: 12 months\nanimals:\n  - {{name: she, breed: {name}, lactation: {}, \
         freshens: 2027-04-01, health: none}}\nhousehold: {{people: {{man 31 to 50: 1}}}}\nstores:\n  kitchen fridge: \
         {{like: top-freezer 18 cu ft}}\njars: {{half gallon: 20}}\n",
        lactation.clamp(1, 20)
    );
    let compiled = super::compile(text.as_bytes()).ok()?;
    let days = compiled.names.herd.first()?.usual_days;
    Some((compiled.plan.animals.into_iter().next()?, days))
}

/// All jar sizes, in the order of the preset file.
#[must_use]
pub fn jars() -> Vec<JarKit> {
    let Ok(library) = Library::embedded() else { return Vec::new() };
    let kit = |(name, j): (&str, &super::raw::Jar)| {
        let holds = j.holds.as_ref().and_then(|q| q.read().ok());
        let filled = j.filled_to.as_ref().and_then(|q| q.read().ok());
        Some(JarKit {
            name: name.to_owned(),
            // 95 % of what it is sold as (our default), as in a scenario.
            working_l: filled.or(holds.map(|h| 0.95 * h))?,
            shape: JarShape {
                height_m: j.height.as_ref()?.read().ok()?,
                across_m: j.across.as_ref()?.read().ok()?,
            },
        })
    };
    library.jars.iter().filter_map(kit).collect()
}

/// Mean of a part of the milk over a lactation, weighted by the yield of each
/// day, mass fraction; 0 without milk.
#[must_use]
pub fn mean_over(yields: &[f64], parts: &[f64]) -> f64 {
    let (milk, part) =
        yields.iter().zip(parts).fold((0.0, 0.0), |(m, p), (kg, part)| (m + kg, p + kg * part));
    if milk > 0.0 { part / milk } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_breed_and_jar_can_be_asked_of() {
        let library = Library::embedded().unwrap();
        assert_eq!(breeds().len(), library.breeds.len());
        assert_eq!(jars().len(), library.jars.len());
        let jersey = breeds().into_iter().find(|(n, _)| n == "jersey").unwrap().1;
        assert_eq!(jersey, BreedMilk { species: Species::Cow, fat: 0.0518 });
        assert!((mean_over(&[1.0, 3.0], &[0.04, 0.06]) - 0.055).abs() < 1e-12);
        assert_eq!(mean_over(&[], &[]), 0.0);
    }
}
