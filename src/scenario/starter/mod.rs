//! A starter scenario from a few answers: the questions with their defaults
//! ([`interview`]), and the text ([`Answers::scenario`]). Who asks, and where
//! the text goes, is not known here.

mod ask;
mod write;
mod yaml;

pub use ask::{Fault, Question, interview};

use jiff::civil::Date;

use super::library::Library;
use super::names::UnitSystem;
use crate::dairy::Species;

/// Where the milk comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Milk {
    /// Own animals of one species.
    Own(Species),
    /// Fetched once a week.
    Fetched,
    /// A share of someone else's herd: fetched twice a week.
    HerdShare,
}

/// The words for where the milk comes from.
pub const MILKS: [(&str, Milk); 5] = [
    ("cow", Milk::Own(Species::Cow)),
    ("goat", Milk::Own(Species::Goat)),
    ("sheep", Milk::Own(Species::Sheep)),
    ("fetched", Milk::Fetched),
    ("herd share", Milk::HerdShare),
];

/// Where the young is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Young {
    /// On its dam, later shut in overnight.
    OnHer,
    /// Fed from the bottle.
    Bottle,
    /// Gone after the first days.
    Gone,
}

/// The words for where the young is.
pub const YOUNG: [(&str, Young); 3] =
    [("on her", Young::OnHer), ("on the bottle", Young::Bottle), ("gone", Young::Gone)];

/// What is wished for beside milk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Butter.
    Butter,
    /// Fresh cheese.
    Cheese,
    /// Yogurt.
    Yogurt,
}

/// The words for wishes.
pub const WISHES: [(&str, Wish); 3] =
    [("butter", Wish::Butter), ("cheese", Wish::Cheese), ("yogurt", Wish::Yogurt)];

/// What the writer needs to know.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// Title; anything.
    pub title: String,
    /// Units of the file and of what is shown.
    pub units: UnitSystem,
    /// Where the milk comes from.
    pub milk: Milk,
    /// Breed, or a milk's preset where it is fetched.
    pub breed: String,
    /// How many animals are milked; 0 where the milk is fetched.
    pub number: u32,
    /// The (first) animal's name; anything.
    pub name: String,
    /// When she freshens; the run begins eleven days before.
    pub freshens: Date,
    /// Where her young is.
    pub young: Young,
    /// Grown people.
    pub adults: u32,
    /// Children.
    pub children: u32,
    /// Wishes.
    pub wishes: Vec<Wish>,
    /// Milk fetched a week, L; 0 with own animals.
    pub fetched_l: f64,
    /// A fridge for the milk beside the kitchen's.
    pub fridge: Option<String>,
    /// A freezer.
    pub freezer: Option<String>,
    /// Animals that take the extra, by the names of their presets.
    pub takers: Vec<String>,
    /// Kitchen time of a weekday, min.
    pub kitchen_min: f64,
}

/// What a breed gives, from the presets.
struct Breed {
    name: String,
    /// Mean of a usual lactation, L a day.
    litres: f64,
    /// The figures stand for a full ration.
    full_ration: bool,
}

fn breeds(of: Species) -> Vec<Breed> {
    let Ok(library) = Library::embedded() else { return Vec::new() };
    let breed = |(name, a): (&str, &super::raw::Animal)| {
        (super::kit::species(a.species.as_ref()?.get())? == of).then_some(())?;
        let kg = crate::units::read::<crate::units::Mass>(a.gives.as_ref()?.get()).ok()?;
        let days = a.lactation_lasts.as_ref().and_then(|q| q.read().ok()).unwrap_or(305.0);
        let full_ration = a.curve_fed_on.as_ref().is_some_and(|f| f.get() == "full ration");
        let litres = kg / days / crate::units::MILK_KG_PER_L;
        Some(Breed { name: name.to_owned(), litres, full_ration })
    };
    library.breeds.iter().filter_map(breed).collect()
}

/// Stores of a kind, by the names of their presets.
fn stores(kind: &str) -> Vec<String> {
    let Ok(library) = Library::embedded() else { return Vec::new() };
    let fits = |s: &super::raw::Store| s.kind.as_ref().is_some_and(|k| k.get() == kind);
    library.stores.iter().filter(|(_, s)| fits(s)).map(|(n, _)| n.to_owned()).collect()
}

/// Milks that can be fetched, by the names of their presets.
fn milks() -> Vec<String> {
    Library::embedded().map(|l| l.milks.names().map(str::to_owned).collect()).unwrap_or_default()
}

/// Who takes the extra: all that are fed but young on the bottle.
fn takers() -> Vec<String> {
    let Ok(library) = Library::embedded() else { return Vec::new() };
    library.outlets.names().filter(|n| !n.ends_with("on the bottle")).map(str::to_owned).collect()
}

/// What a kind of person drinks in a household that keeps milk, L a day.
fn drinks(kind: &str) -> f64 {
    let figure = |l: &Library| l.people.get(kind)?.milk_household.as_ref()?.read().ok();
    Library::embedded().ok().and_then(figure).unwrap_or(0.0) / crate::units::MILK_KG_PER_L
}

impl Answers {
    fn people(&self) -> f64 {
        f64::from(self.adults + self.children)
    }

    fn wishes(&self, wish: Wish) -> bool {
        self.wishes.contains(&wish)
    }

    fn fetches(&self) -> bool {
        !matches!(self.milk, Milk::Own(_))
    }

    /// Women, men and children, as the file names them.
    fn kinds(&self) -> [(&'static str, u32); 3] {
        let women = self.adults.div_ceil(2);
        [("woman 31 to 50", women), ("man 31 to 50", self.adults - women), ("child 4 to 8", self.children)]
    }

    /// Milk drunk, L a day.
    fn drunk_l(&self) -> f64 {
        self.kinds().iter().map(|(kind, n)| f64::from(*n) * drinks(kind)).sum()
    }

    /// Milk for yogurt and cheese, L a week.
    fn made_l(&self) -> f64 {
        let yogurt = if self.wishes(Wish::Yogurt) { YOGURT_L * self.people() } else { 0.0 };
        let cheese = if self.wishes(Wish::Cheese) { CHEESE_KG * CHEESE_MILK * self.people() } else { 0.0 };
        yogurt + cheese
    }

    /// Milk of a mean day in milk, L; of what is fetched, the same by the day.
    fn given_l(&self) -> f64 {
        let Milk::Own(species) = self.milk else { return self.fetched_l / 7.0 };
        let litres = breeds(species).into_iter().find(|b| b.name == self.breed).map_or(0.0, |b| b.litres);
        litres * f64::from(self.number)
    }

    /// What of that neither table nor cheese nor yogurt wants, L a day.
    fn extra_l(&self) -> f64 {
        (self.given_l() - self.drunk_l() - self.made_l() / 7.0).max(0.0)
    }
}

// Wishes of one person and week (our defaults; what a household that keeps milk may
// like to eat, no source).
const BUTTER_KG: f64 = 0.11;
const YOGURT_L: f64 = 0.5;
const CHEESE_KG: f64 = 0.06;
/// Milk of a kilogram of fresh cheese, L (common practice: 6 to 8).
const CHEESE_MILK: f64 = 8.0;

#[cfg(test)]
mod tests;
