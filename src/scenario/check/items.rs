//! Items: their names, groups and how they stand and keep.

use super::{
    super::{
        plan::{Container, ItemId, ItemMask, ItemPlan, MAX_ITEMS, PLACE_KINDS, PlaceKind, WasteCause, fixed},
        raw::{Entries, Product, Scenario},
    },
    Known,
    context::{Ctx, under},
};
use crate::diagnostics::nearest;

/// Names of the fixed items, in the order of [`fixed`].
pub(super) const FIXED: [&str; fixed::COUNT] = [
    "whole milk",
    "skimmed milk",
    "top cream",
    "middle cream",
    "thin cream",
    "sour milk",
    "soured cream",
    "whey",
    "acid whey",
    "buttermilk",
];

/// Milk and cream that were bought for the store: drunk and cooked with, and never
/// skimmed, shared or churned as the own are.
pub(super) const BOUGHT_MILK: &str = "bought milk";
const BOUGHT_CREAM: &str = "bought cream";

/// Names that stand for several items, in the order in which they are taken.
const GROUPS: [(&str, &[ItemId]); 6] = [
    ("milk", &[fixed::SKIMMED, fixed::WHOLE]),
    ("oldest milk", &[fixed::SKIMMED, fixed::WHOLE]),
    ("cream", &[fixed::TOP_CREAM, fixed::MIDDLE_CREAM, fixed::THIN_CREAM]),
    ("table cream", &[fixed::TOP_CREAM, fixed::MIDDLE_CREAM, fixed::THIN_CREAM]),
    ("any whey", &[fixed::WHEY, fixed::ACID_WHEY]),
    ("any cream", &[fixed::TOP_CREAM, fixed::MIDDLE_CREAM, fixed::THIN_CREAM, fixed::SOURED_CREAM]),
];

/// Kinds of place by name.
pub(super) const KINDS: [(&str, PlaceKind); 7] = [
    ("counter", PlaceKind::Counter),
    ("fridge", PlaceKind::Fridge),
    ("cold room", PlaceKind::Fridge),
    ("freezer", PlaceKind::Freezer),
    ("ageing", PlaceKind::Ageing),
    ("pantry", PlaceKind::Pantry),
    ("cellar", PlaceKind::Pantry),
];

/// All items of the plan, and the names that could be items but are not made.
#[derive(Clone, Debug)]
pub(in crate::scenario) struct Items {
    pub names: Vec<String>,
    unmade: Vec<String>,
    pub densities: Vec<f64>,
    /// The kinds of place, best first, where each wishes to stand.
    pub stands_in: Vec<Vec<PlaceKind>>,
    pub plans: Vec<ItemPlan>,
}

/// What bought milk or cream is called in the store.
fn bought_name(own: ItemId) -> Option<&'static str> {
    match own {
        fixed::WHOLE | fixed::SKIMMED => Some(BOUGHT_MILK),
        fixed::TOP_CREAM | fixed::MIDDLE_CREAM | fixed::THIN_CREAM => Some(BOUGHT_CREAM),
        _ => None,
    }
}

/// Names of the milk and cream that rules buy for the store.
pub(super) fn bought_for_the_store(raw: &Scenario) -> Vec<String> {
    let buys = raw
        .routine
        .iter()
        .flatten()
        .filter(|r| r.does.as_ref().is_some_and(|d| d.get().eq_ignore_ascii_case("buy")));
    let named = buys.filter_map(|r| {
        let word = r.what.as_ref()?.get();
        let fixed = FIXED.iter().position(|n| n.eq_ignore_ascii_case(word)).map(|i| ItemId(i as u8));
        let own = fixed.or_else(|| {
            let group = GROUPS.iter().find(|(n, _)| n.eq_ignore_ascii_case(word))?;
            group.1.first().copied()
        })?;
        bought_name(own).map(str::to_owned)
    });
    named.collect()
}

impl Items {
    /// The fixed items, then `made` in order; `others` are products that some
    /// recipe could make.
    pub(super) fn new(
        c: &mut Ctx,
        known: &Known,
        raw: &Scenario,
        made: &[String],
        others: &[String],
    ) -> Self {
        let mut names: Vec<String> = FIXED.iter().map(|n| (*n).to_owned()).collect();
        for m in made {
            if !names.contains(m) {
                names.push(m.clone());
            }
        }
        if names.len() > MAX_ITEMS {
            c.error(
                "recipes",
                format!("{} items are more than {MAX_ITEMS}", names.len()),
                "make fewer products",
            );
            names.truncate(MAX_ITEMS);
        }
        let unmade = others.iter().filter(|o| !names.contains(o)).cloned().collect();
        let mut items =
            Self { names, unmade, densities: Vec::new(), stands_in: Vec::new(), plans: Vec::new() };
        let empty = Entries::default();
        let own = raw.products.as_ref().unwrap_or(&empty);
        for (name, _) in own.iter() {
            let known_name = items.names.iter().chain(&items.unmade).any(|n| n == name);
            if !known_name {
                let all: Vec<&str> = items.names.iter().chain(&items.unmade).map(String::as_str).collect();
                let help = nearest(name, all).map_or_else(
                    || "a product is what some recipe gives".to_owned(),
                    |n| format!("did you mean `{n}`?"),
                );
                let d = crate::diagnostics::Diagnostic::error(format!("nothing makes `{name}`")).help(help);
                c.push_key(&under("products", name), d);
            }
        }
        for i in 0..items.names.len() {
            let name = items.names[i].clone();
            let base = known.library.products.get(&name);
            let product = match (own.get(&name), base) {
                (Some(o), Some(b)) => o.over(b),
                (Some(o), None) => o.clone(),
                (None, Some(b)) => b.clone(),
                (None, None) => Product::default(),
            };
            items.add(c, &under("products", &name), i, &product);
        }
        items
    }

    fn add(&mut self, c: &mut Ctx, at: &str, index: usize, p: &Product) {
        let id = ItemId(index as u8);
        let sweet = id.0 <= fixed::THIN_CREAM.0;
        let mut keeps = [0.0; PLACE_KINDS];
        if let Some(days) = &p.keeps {
            for (kind, text) in days.iter() {
                let at = under(&under(at, "keeps"), kind);
                let range = 0.01..=36_525.0;
                let days = c.within(&at, &Some(text.clone()), range, "a time up to 100 years");
                match KINDS.iter().find(|(n, _)| n.eq_ignore_ascii_case(kind)) {
                    Some((_, k)) => keeps[*k as usize] = days.unwrap_or(1.0),
                    None => {
                        let names: Vec<&str> = KINDS.iter().map(|(n, _)| *n).collect();
                        c.unknown(&at, "kind of place", kind, &names);
                    }
                }
            }
        } else if !sweet {
            // Nothing said: a week in the cold (our default).
            keeps[PlaceKind::Fridge as usize] = 7.0;
        }
        if keeps[PlaceKind::Counter as usize] == 0.0 {
            // Whatever is left out by need keeps a day (our default).
            keeps[PlaceKind::Counter as usize] = 1.0;
        }
        let density = c
            .within(&under(at, "a litre weighs"), &p.a_litre_weighs, 0.3..=2.0, "a mass from 0.3 to 2 kg")
            .unwrap_or(1.03);
        let room = c
            .within(&under(at, "room per kg"), &p.room_per_kg, 0.1..=20.0, "a volume from 0.1 to 20 L")
            .unwrap_or(1.2 / density);
        let containers = [("large jars", 0u8), ("small jars", 1), ("bucket", 2), ("wrapped", 3)];
        let container = match c.choice(&under(at, "container"), &p.container, &containers) {
            Some(0) => Container::Jar { largest_first: true },
            Some(1) => Container::Jar { largest_first: false },
            Some(2) => Container::Bucket,
            Some(_) => Container::Volume { litres_per_kg: room },
            None if id == fixed::WHEY || id == fixed::ACID_WHEY => Container::Bucket,
            None if index < fixed::COUNT => {
                let largest = id == fixed::WHOLE || id == fixed::SKIMMED || id == fixed::SOUR_MILK;
                Container::Jar { largest_first: largest }
            }
            None => Container::Volume { litres_per_kg: room },
        };
        let usual = if container == Container::Bucket { PlaceKind::Counter } else { PlaceKind::Fridge };
        let mut stands_in = Vec::new();
        for (i, t) in p.stands_in.iter().flatten().enumerate() {
            let at = super::context::entry(&under(at, "stands in"), i);
            if let Some(kind) = c.choice(&at, &Some(t.clone()), &KINDS) {
                stands_in.push(kind);
            }
        }
        if stands_in.is_empty() {
            stands_in.push(usual);
        }
        for kind in &stands_in {
            if keeps[*kind as usize] == 0.0 {
                keeps[*kind as usize] = 7.0;
            }
        }
        let byproduct = c
            .choice(&under(at, "counts as"), &p.counts_as, &[("food", false), ("by-product", true)])
            .unwrap_or(id == fixed::WHEY || id == fixed::ACID_WHEY);
        let turns_into = match id {
            fixed::WHOLE | fixed::SKIMMED => Some(fixed::SOUR_MILK),
            fixed::TOP_CREAM | fixed::MIDDLE_CREAM | fixed::THIN_CREAM => Some(fixed::SOURED_CREAM),
            _ => match &p.turns_into {
                None => None,
                Some(t) => match self.names.iter().position(|n| n.eq_ignore_ascii_case(t.get())) {
                    // A chain that could come back to itself is not taken.
                    Some(i) if i < index || index < fixed::COUNT && i != index => Some(ItemId(i as u8)),
                    _ => {
                        let names: Vec<&str> = self.names.iter().map(String::as_str).collect();
                        c.unknown(&under(at, "turns into"), "item", t.get(), &names);
                        None
                    }
                },
            },
        };
        let soured = id == fixed::SOUR_MILK || id == fixed::SOURED_CREAM;
        self.densities.push(density);
        self.stands_in.push(stands_in);
        self.plans.push(ItemPlan {
            keeps,
            sweet,
            turns_into,
            container,
            density,
            places: Vec::new(),
            byproduct,
            spoils_as: if soured { WasteCause::Soured } else { WasteCause::Expired },
        });
    }

    /// A fixed item or a group, of which there is no need to be told.
    pub(super) fn is_word(word: &str) -> bool {
        FIXED.iter().chain(GROUPS.iter().map(|(n, _)| n)).any(|n| n.eq_ignore_ascii_case(word))
    }

    pub(super) fn name(&self, id: ItemId) -> &str {
        self.names.get(id.at()).map_or("", String::as_str)
    }

    /// The item of exactly that name.
    pub(super) fn id(&self, name: &str) -> Option<ItemId> {
        self.names.iter().position(|n| n.eq_ignore_ascii_case(name)).map(|i| ItemId(i as u8))
    }

    /// The items that a word stands for, without a message.
    pub(super) fn known(&self, word: &str) -> Option<Vec<ItemId>> {
        if let Some(id) = self.id(word) {
            return Some(vec![id]);
        }
        GROUPS.iter().find(|(n, _)| n.eq_ignore_ascii_case(word)).map(|(_, ids)| ids.to_vec())
    }

    /// A product that some recipe could make, but none of this plan does.
    pub(super) fn is_unmade(&self, word: &str) -> bool {
        self.unmade.iter().any(|n| n.eq_ignore_ascii_case(word))
    }

    /// The items that a word stands for; says what is wrong otherwise.
    pub(super) fn find(&self, c: &mut Ctx, at: &str, word: &str) -> Option<Vec<ItemId>> {
        if let Some(ids) = self.known(word) {
            return Some(ids);
        }
        if self.is_unmade(word) && (c.errors_under("routine") || c.errors_under("recipes")) {
            // What is not understood there may well make it.
            return None;
        }
        if self.is_unmade(word) {
            let d = crate::diagnostics::Diagnostic::error(format!("nothing makes `{word}`"))
                .help(format!("add a rule `{{do: make, what: {word}}}` to the routine"));
            c.push(at, d);
            return None;
        }
        for (name, what) in [(BOUGHT_MILK, "milk"), (BOUGHT_CREAM, "cream")] {
            if name.eq_ignore_ascii_case(word) {
                let d = crate::diagnostics::Diagnostic::error(format!("no rule buys `{what}` for the store"))
                    .help(format!(
                        "add a rule such as `{{do: buy, what: {what}, how much: 1 qt}}` to the routine"
                    ));
                c.push(at, d);
                return None;
            }
        }
        let all: Vec<&str> = self
            .names
            .iter()
            .chain(&self.unmade)
            .map(String::as_str)
            .chain(GROUPS.iter().map(|(n, _)| *n))
            .collect();
        c.unknown(at, "item", word, &all);
        None
    }

    /// What something bought for the store stands there as: milk and cream as items
    /// of their own, where some rule buys them.
    pub(super) fn bought_as(&self, own: ItemId) -> ItemId {
        bought_name(own).and_then(|name| self.id(name)).unwrap_or(own)
    }

    /// The items of a wish, with what is bought of their kind for the store.
    pub(super) fn and_bought(&self, mut ids: Vec<ItemId>) -> Vec<ItemId> {
        let bought = ids.first().map(|&own| self.bought_as(own));
        ids.extend(bought.filter(|b| !ids.contains(b)));
        ids
    }

    pub(super) fn mask(ids: &[ItemId]) -> ItemMask {
        ids.iter().fold(0, |m, id| m | 1 << id.0)
    }

    /// Mean density of a group, kg/L (of its first item).
    pub(in crate::scenario) fn density(&self, ids: &[ItemId]) -> f64 {
        ids.first().and_then(|id| self.densities.get(id.at())).copied().unwrap_or(1.03)
    }
}
