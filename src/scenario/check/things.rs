//! What a kitchen has: equipment, starters, hours at home.

use super::{
    super::{
        plan::{InputPlan, KitchenPlan, RecipeId, StarterPlan, UsePlan},
        raw::{Entries, Equipment, Kitchen, Recipe, TextOr},
    },
    context::{Ctx, under},
    household,
};
use crate::units::show;

const EQUIPMENT: &str = "kitchen.equipment";

/// The things of a kitchen while recipes are read.
pub(super) struct Things {
    /// Name, how many, and the largest batch, L.
    owned: Vec<(String, u32, f64)>,
    home_hours: Vec<[f64; 7]>,
    starters: Vec<(String, StarterPlan)>,
    system: show::UnitSystem,
    /// Number of the recipe that is being read, and where a rule asks for it.
    recipe: u8,
    rule_at: String,
}

/// Everything compiled, with the names of equipment and starters, and the largest
/// batch of each piece, L (infinite where it is not said).
pub(super) struct Compiled {
    pub plan: KitchenPlan,
    pub equipment: Vec<String>,
    pub holds_l: Vec<f64>,
    pub starters: Vec<String>,
}

impl Things {
    /// Reads what is owned; `book` are all recipes that could be made.
    pub(super) fn new(
        c: &mut Ctx,
        raw: &Option<Kitchen>,
        book: &[(String, Recipe)],
        system: show::UnitSystem,
    ) -> Self {
        let raw = raw.clone().unwrap_or_default();
        let mut owned = Vec::new();
        for (name, text) in raw.equipment.as_ref().map(Entries::iter).into_iter().flatten() {
            let at = under(EQUIPMENT, name);
            let (own, short) = match text {
                TextOr::Short(t) => (Equipment { count: Some(t.get().into()), ..Equipment::default() }, true),
                TextOr::Long(e) => (e.clone(), false),
            };
            let p = |key: &str| if short { at.clone() } else { under(&at, key) };
            let used = |(_, r): &(String, Recipe)| r.uses.iter().flat_map(Entries::names).any(|n| n == name);
            if !book.iter().any(used) {
                let mut all: Vec<&str> =
                    book.iter().flat_map(|(_, r)| r.uses.iter().flat_map(Entries::names)).collect();
                all.sort_unstable();
                all.dedup();
                let help = crate::diagnostics::nearest(name, all.iter().copied()).map_or_else(
                    || format!("recipes use: {}", super::context::list(&all)),
                    |n| format!("did you mean `{n}`?"),
                );
                let d = crate::diagnostics::Diagnostic::error(format!("no recipe uses `{name}`"));
                c.push_key(&at, d.help(help));
            }
            let count = c.within(&p("count"), &own.count, 0.0..=100.0, "a number up to 100").unwrap_or(1.0);
            let holds = c.within(&p("holds"), &own.holds, 0.05..=5000.0, "a volume from 50 ml to 5000 L");
            owned.push((name.to_owned(), count as u32, holds.unwrap_or(f64::INFINITY)));
        }
        if owned.len() > 100 {
            c.error(EQUIPMENT, "more than 100 kinds of equipment", "leave out what is never in the way");
            owned.truncate(100);
        }
        // Days that are not named have none.
        let home_hours = raw.someone_home.as_ref().map_or_else(Vec::new, |t| {
            let months = household::day_times(c, "kitchen.someone home", t);
            months.iter().map(|week| week.map(|minutes| minutes / 60.0)).collect()
        });
        Self { owned, home_hours, starters: Vec::new(), system, recipe: 0, rule_at: String::new() }
    }

    /// From here on it is that recipe that is read.
    pub(super) fn reading(&mut self, recipe: usize, rule_at: String) {
        self.recipe = recipe as u8;
        self.rule_at = rule_at;
    }

    /// Where a rule asks for the recipe that is being read.
    pub(super) fn rule_at(&self) -> &str {
        &self.rule_at
    }

    /// What a recipe uses of what is told of.
    pub(super) fn uses(&mut self, c: &mut Ctx, at: &str, r: &Recipe) -> Vec<UsePlan> {
        let at = under(at, "uses");
        let mut all = Vec::new();
        for (name, time) in r.uses.as_ref().map(Entries::iter).into_iter().flatten() {
            let days = c.within(&under(&at, name), &Some(time.clone()), 0.0..=60.0, "a time up to 60 days");
            if let Some(what) = self.owned.iter().position(|(n, ..)| n == name) {
                all.push(UsePlan { what: what as u8, hours: days.unwrap_or(0.0) * 24.0 });
            }
        }
        all
    }

    /// The largest batch that goes into what it uses, kg of the main input.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn cap(
        &self,
        c: &mut Ctx,
        recipe: &str,
        uses: &[UsePlan],
        density: f64,
        inputs: &[InputPlan],
        least: f64,
        most: f64,
    ) -> f64 {
        let all: f64 = inputs.iter().map(|i| i.per_kg).sum();
        let mut most = most;
        for u in uses {
            let (name, count, holds_l) = &self.owned[usize::from(u.what)];
            let kg = holds_l * density / all;
            if *count == 0 {
                let message = format!("without a {name} no {recipe} is made");
                c.warn(&under(EQUIPMENT, name), message, "leave out the rule that makes it");
            } else if kg < least * (1.0 - 1e-9) {
                let small = show::volume(least * all / density, self.system);
                c.error(
                    &under(EQUIPMENT, name),
                    format!("the smallest batch of {recipe} is {small}, more than this {name} holds"),
                    format!("a smaller batch is written `recipes: {{{recipe}: {{least: …}}}}`"),
                );
            }
            most = most.min(kg);
        }
        most
    }

    /// The starter of a recipe.
    pub(super) fn starter(&mut self, c: &mut Ctx, at: &str, r: &Recipe, density: f64) -> Option<u8> {
        let s = r.starter.as_ref()?;
        let at = under(at, "starter");
        let p = |key: &str| under(&at, key);
        let Some(name) = &s.name else {
            c.missing(&at, &["name"], "the `name` of this starter", "write `name: kefir grains`");
            return None;
        };
        if s.lives.is_none() {
            c.missing(
                &at,
                &["lives"],
                "`lives`",
                "say how long it lives without a batch, such as `lives: 7 days`",
            );
        }
        let lives = c.within(&p("lives"), &s.lives, 1.0..=3660.0, "a time from 1 day to 10 years");
        let litres = 1.0..=50.0;
        let kg = c.read(&p("kept going with"), &s.kept_going_with).map(|_| {
            let text = s.kept_going_with.as_ref().map_or("", |t| t.as_str());
            crate::units::read_amount(text).map_or(0.0, |a| a.kg(density))
        });
        if kg.is_some_and(|kg| kg > *litres.end()) {
            c.error(&p("kept going with"), "this is more than 50 kg", "a cup is enough");
        }
        let minutes = c.within(&p("takes"), &s.takes, 0.0..=240.0, "a time up to 4 h").unwrap_or(5.0);
        if let Some(i) = self.starters.iter().position(|(n, _)| n.eq_ignore_ascii_case(name.get())) {
            return Some(i as u8);
        }
        self.starters.push((
            name.get().to_owned(),
            StarterPlan {
                lives_days: lives.unwrap_or(7.0),
                upkeep_kg: kg.unwrap_or(0.0),
                upkeep_minutes: minutes,
                recipe: RecipeId(self.recipe),
            },
        ));
        Some((self.starters.len() - 1) as u8)
    }

    /// Everything, compiled.
    pub(super) fn plan(self) -> Compiled {
        let plan = KitchenPlan {
            equipment: self.owned.iter().map(|(_, n, _)| *n).collect(),
            home_hours: self.home_hours,
            starters: self.starters.iter().map(|(_, s)| *s).collect(),
        };
        Compiled {
            plan,
            holds_l: self.owned.iter().map(|(_, _, l)| *l).collect(),
            equipment: self.owned.into_iter().map(|(n, ..)| n).collect(),
            starters: self.starters.into_iter().map(|(n, _)| n).collect(),
        }
    }
}
