//! What the family owns and wishes, as far as a report speaks of it.

use crate::dairy::Species;
use crate::scenario::Names;
use crate::scenario::plan::{
    Condition, Container, OutPlan, PersonPlan, PlaceKind, PlacePlan, Plan, RulePlan, fixed,
};
use crate::study::measures::want_words;

/// Figures of a plan that a report sets its results against.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    /// Animals are milked.
    pub animals: bool,
    /// How many animals are milked.
    pub herd: usize,
    /// Whose young stay on their dams; none where there are none, or of several
    /// species.
    pub young: Option<Species>,
    /// Milk is fetched.
    pub fetches: bool,
    /// What is given away, what is sold, what is bought: of each, it is drinking
    /// milk alone, which is told by volume.
    pub trades_milk: [bool; 3],
    /// People at the table, guests included.
    pub people: usize,
    /// What one of those who are always there drinks a day, kg, their mean.
    pub drinks_kg: f64,
    /// Cold room in all stores, L, other food included: what is used and wanted
    /// counts other food too.
    pub cold_l: f64,
    /// What other food takes of it in its fullest month, L.
    pub cold_other_l: f64,
    /// Jars of the largest size that fit beside that.
    pub cold_jars: f64,
    /// Freezer room, L, other food included.
    pub freezer_l: f64,
    /// Ageing room, L.
    pub ageing_l: f64,
    /// Jars by size, largest first.
    pub jars: Vec<JarFact>,
    /// Wishes beside drinking milk.
    pub wishes: Vec<WishFact>,
    /// How many of the result's rules belong to the routine (the rest are the
    /// lists for a full cold room).
    pub routine: usize,
    /// Which rules of the routine wait for a stock to fall (`butter: under 30 lb`).
    pub waits_for_less: Vec<bool>,
    /// Kitchen minutes a day, mean over the days of the run.
    pub kitchen_minutes: f64,
}

/// A jar size.
#[derive(Clone, Debug)]
pub struct JarFact {
    /// Name (`half gallon`).
    pub name: String,
    /// How many are owned.
    pub count: u32,
    /// Working volume, L.
    pub working_l: f64,
}

/// A wish.
#[derive(Clone, Debug)]
pub struct WishFact {
    /// Name (`hard cheese`).
    pub name: String,
    /// Stem of its measures (`hard_cheese`), see [`want_words`].
    pub key: String,
    /// Density, kg/L, if it is shown by volume; else by weight.
    pub density: Option<f64>,
    /// First day on which it counts.
    pub from_day: usize,
    /// In some months it is not wished at all.
    pub rests: bool,
}

impl Facts {
    /// From a compiled scenario.
    #[must_use]
    pub fn of(plan: &Plan, names: &Names) -> Self {
        let of_kind = |kind: PlaceKind| plan.places.iter().filter(move |p| p.kind == kind);
        let room = |kind: PlaceKind| of_kind(kind).map(|p| p.litres).sum();
        let most = |p: &PlacePlan| p.other_food.iter().copied().fold(0.0, f64::max);
        let cold_jars = of_kind(PlaceKind::Fridge)
            .filter_map(|p| {
                let part = p.jar_part.first().copied().filter(|x| *x > 0.0)?;
                Some(((1.0 - most(p)) / part + 1e-9).floor())
            })
            .sum();
        let jars = plan.jars.iter().enumerate().map(|(i, j)| JarFact {
            name: names.jars.get(i).cloned().unwrap_or_default(),
            count: j.count,
            working_l: j.working_l,
        });
        // The first word is drinking milk's.
        let keys = want_words(plan, names).into_iter().skip(1);
        let wishes = plan.household.wishes.iter().zip(keys).enumerate().map(|(i, (w, key))| {
            let name = names.wishes.get(i).cloned().unwrap_or_default();
            let item = w.items.first().and_then(|i| plan.items.get(i.at()));
            WishFact {
                key,
                name,
                density: item.filter(|i| !matches!(i.container, Container::Volume { .. })).map(|i| i.density),
                from_day: w.from_day as usize,
                rests: w.month_factor.contains(&0.0),
            }
        });
        let minutes: f64 = plan
            .days
            .iter()
            .filter_map(|d| {
                plan.household.kitchen_minutes.get(usize::from(d.month))?.get(usize::from(d.weekday))
            })
            .sum();
        #[expect(clippy::cast_precision_loss, reason = "days of a run are few")]
        let kitchen_minutes = minutes / plan.days.len().max(1) as f64;
        Self {
            animals: !plan.animals.is_empty(),
            herd: plan.animals.len(),
            young: one_species(plan),
            fetches: !plan.fetches.is_empty(),
            trades_milk: trades_milk(plan),
            people: plan.household.people.len(),
            drinks_kg: drinks_kg(plan),
            cold_l: room(PlaceKind::Fridge),
            cold_other_l: of_kind(PlaceKind::Fridge).map(|p| p.litres * most(p)).sum(),
            cold_jars,
            freezer_l: room(PlaceKind::Freezer),
            ageing_l: room(PlaceKind::Ageing),
            jars: jars.collect(),
            wishes: wishes.collect(),
            routine: plan.rules.len(),
            waits_for_less: plan.rules.iter().map(waits_for_less).collect(),
            kitchen_minutes,
        }
    }

    /// All jars owned.
    #[must_use]
    pub fn jar_count(&self) -> u32 {
        self.jars.iter().map(|j| j.count).sum()
    }
}

fn drinks_kg(plan: &Plan) -> f64 {
    let always = plan.household.people.iter().filter(|p| p.present.is_empty());
    let a_day = |p: &PersonPlan| p.chance * p.mean_kg * f64::from(p.weekdays.count_ones()) / 7.0;
    let (sum, n) = always.fold((0.0, 0.0), |(sum, n), p| (sum + a_day(p), n + 1.0));
    if n > 0.0 { sum / n } else { 0.0 }
}

fn trades_milk(plan: &Plan) -> [bool; 3] {
    let milk = |out: &OutPlan| out.items.iter().all(|i| [fixed::WHOLE, fixed::SKIMMED].contains(i));
    let t = &plan.trade;
    [t.given.iter().all(milk), t.sold.iter().all(milk), t.bought.iter().all(|b| b.wish.is_none())]
}

/// The species of the animals whose young stay on them.
fn one_species(plan: &Plan) -> Option<Species> {
    let mut all = plan.animals.iter().filter(|a| a.calf.is_some()).map(|a| a.species);
    let first = all.next()?;
    all.all(|s| s == first).then_some(first)
}

/// A rule that a stock with too much in it holds back.
fn waits_for_less(rule: &RulePlan) -> bool {
    rule.when.iter().any(|c| match c {
        Condition::Stock { most, .. }
        | Condition::Jars { most, .. }
        | Condition::DaysOfSupply { most, .. } => most.is_finite(),
        _ => false,
    })
}
