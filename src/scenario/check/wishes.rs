//! Wishes, and from which day each can be met.

use super::{
    super::{
        plan::{Action, ItemId, RecipePlan, RulePlan, WishPlan, fixed},
        raw::{self, Entries, TextOr, Want},
    },
    calendar::Run,
    context::{Ctx, under},
    items::Items,
};
use crate::units::{MilkRate, Text as Q, read_amount_rate};

/// Spread of a wish from week to week (our default).
const USUAL_CV: f64 = 0.2;
/// Stock, in days of the least, beyond which more is eaten (our default).
const USUAL_GLADLY_DAYS: f64 = 14.0;

/// The words of the wishes and what they stand for, before the days are known.
pub(super) fn words(c: &mut Ctx, items: &Items, raw: &raw::Household) -> Vec<(String, Vec<ItemId>)> {
    let mut all: Vec<(String, Vec<ItemId>)> = Vec::new();
    for (name, _) in raw.wants.as_ref().map(Entries::iter).into_iter().flatten() {
        let at = under("household.wants", name);
        let Some(ids) = items.find(c, &at, name) else { continue };
        let ids = items.and_bought(ids);
        if all.iter().any(|(_, of)| *of == ids) {
            c.error(&at, format!("`{name}` is wished for twice under two names"), "put both wishes together");
            continue;
        }
        all.push((name.to_owned(), ids));
    }
    // Any order of the file gives the same plan.
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

/// Wishes that are bought and that nothing makes: items all the same.
pub(super) fn only_bought(raw: &raw::Scenario, made: &[String]) -> Vec<String> {
    let wants = raw.household.as_ref().and_then(|h| h.wants.as_ref());
    let bought = raw.bought_when_short.as_ref();
    let is_bought = |name: &str| bought.is_some_and(|b| b.names().any(|n| n.eq_ignore_ascii_case(name)));
    let wants = wants.map(Entries::names).into_iter().flatten();
    wants
        .filter(|n| is_bought(n) && !made.iter().any(|m| m.eq_ignore_ascii_case(n)) && !Items::is_word(n))
        .map(str::to_owned)
        .collect()
}

/// First day on which each item can be there; infinite when nothing makes it.
pub(super) fn ready_days(
    count: usize,
    recipes: &[RecipePlan],
    rules: &[(RulePlan, String)],
    first_milk: f64,
    life_days: f64,
) -> Vec<f64> {
    let mut ready = vec![f64::INFINITY; count];
    ready[fixed::WHOLE.at()] = first_milk;
    let rest = rules.iter().filter_map(|(r, _)| match r.action {
        Action::Skim { after_hours, .. } => Some(after_hours / 24.0),
        _ => None,
    });
    let skimmed = first_milk + rest.fold(f64::INFINITY, f64::min);
    for id in [fixed::SKIMMED, fixed::TOP_CREAM, fixed::MIDDLE_CREAM, fixed::THIN_CREAM] {
        ready[id.at()] = skimmed;
    }
    ready[fixed::SOUR_MILK.at()] = first_milk + life_days;
    ready[fixed::SOURED_CREAM.at()] = skimmed + life_days;
    // Each pass settles at least one more item.
    for _ in 0..count {
        for r in recipes {
            let start = r
                .inputs
                .iter()
                .flat_map(|i| std::iter::once(&i.items).chain(i.blend.iter().map(|b| &b.with)))
                .map(|items| items.iter().map(|id| ready[id.at()]).fold(f64::INFINITY, f64::min))
                .fold(0.0, f64::max);
            for (k, o) in r.outputs.iter().enumerate() {
                let ageing = if k == 0 { r.ageing_days } else { 0.0 };
                let day = start + r.ready_hours / 24.0 + ageing;
                let slot = &mut ready[o.item.at()];
                *slot = slot.min(day);
            }
        }
    }
    ready
}

/// Compiles the wishes.
pub(super) fn wishes(
    c: &mut Ctx,
    run: Run,
    items: &Items,
    words: &[(String, Vec<ItemId>)],
    ready: &[f64],
    bought: &[String],
    raw: &raw::Household,
) -> Vec<WishPlan> {
    let empty = Entries::default();
    let wants = raw.wants.as_ref().unwrap_or(&empty);
    for (name, want) in wants.iter().filter(|(n, _)| !words.iter().any(|(word, _)| word == n)) {
        // Not known what it is of, its amount is still looked at.
        amounts(c, &under("household.wants", name), want, 1.0);
    }
    let mut all = Vec::new();
    for (name, ids) in words {
        let at = under("household.wants", name);
        let Some(want) = wants.get(name) else { continue };
        let (w, short) = long(want);
        let p = |key: &str| if short { at.clone() } else { under(&at, key) };
        let [least, gladly] = amounts(c, &at, want, items.density(ids));
        if w.at_least.is_none() && w.gladly_up_to.is_none() {
            c.missing(
                &at,
                &["at least", "gladly up to"],
                "how much is wished",
                "write `2 lb/week` or `{at least: 1 lb/week}`",
            );
            continue;
        }
        let least = least.unwrap_or(0.0);
        let gladly = gladly.unwrap_or(least);
        if gladly < least {
            c.error(&p("gladly up to"), "gladly is less than at least", "the larger one is `gladly up to`");
        }
        if gladly > 5000.0 {
            c.error(&at, "this is more than 5000 kg a week", "is the unit right?");
        }
        let first = ids.iter().map(|id| ready[id.at()]).fold(f64::INFINITY, f64::min);
        let nothing_makes = first.is_infinite();
        let bought_only = nothing_makes && bought.iter().any(|b| b.eq_ignore_ascii_case(name));
        if nothing_makes && !bought_only {
            c.error(&at, format!("nothing makes `{name}`, and nothing fetches it"), hint(ids));
        }
        let from = match &w.from {
            Some(t) => c.date(&p("from"), t.get()).map(|d| run.clamped(d)),
            None => None,
        };
        let first_day = if nothing_makes { 0.0 } else { first.max(0.0).ceil() };
        if let (Some(from), false) = (from, nothing_makes) {
            if f64::from(from) + 0.5 < first_day && first_day <= f64::from(run.days) {
                let date = crate::calendar::show(run.date_of(first_day));
                c.warn(
                    &p("from"),
                    format!("there can be no {name} before {date}"),
                    "a later day makes the shortfall honest",
                );
            }
        } else if !nothing_makes && first_day >= f64::from(run.days) {
            c.warn(
                &at,
                format!("there can be no {name} within the simulated time"),
                "simulate longer, or leave the wish out",
            );
        }
        let cv = c.within(&p("varies"), &w.varies, 0.0..=1.0, "a part up to 100 %").unwrap_or(USUAL_CV);
        let months = w.by_month.clone().unwrap_or_default();
        let month_factor = c.by_month(&p("by month"), &months, 1.0, |c, at, t| c.factor(at, t.get()));
        let days = c.within(&p("gladly while"), &w.gladly_while, 0.0..=3660.0, "a time up to 10 years");
        all.push(WishPlan {
            items: ids.clone(),
            at_least_kg: least,
            gladly_kg: gladly.max(least),
            week_log_sd: super::log_sd(cv),
            month_factor,
            from_day: from.unwrap_or(first_day.min(f64::from(u32::MAX)) as u32),
            gladly_from_days: days.unwrap_or(USUAL_GLADLY_DAYS),
            bought_only,
        });
    }
    all
}

/// The long form of a wish, and whether it was written short.
fn long(want: &TextOr<Want>) -> (Want, bool) {
    match want {
        TextOr::Short(t) => (Want { at_least: Some(Q::new(t.get())), ..Want::default() }, true),
        TextOr::Long(w) => (w.clone(), false),
    }
}

/// At least and gladly, kg a week.
fn amounts(c: &mut Ctx, at: &str, want: &TextOr<Want>, density: f64) -> [Option<f64>; 2] {
    let (w, short) = long(want);
    [("at least", &w.at_least), ("gladly up to", &w.gladly_up_to)].map(|(key, q)| {
        let at = if short { at.to_owned() } else { under(at, key) };
        let q: &Q<MilkRate> = q.as_ref()?;
        c.take(&at, read_amount_rate(q.as_str())).map(|a| a.kg(density) * 7.0)
    })
}

fn hint(ids: &[ItemId]) -> &'static str {
    match ids.first().copied() {
        Some(fixed::TOP_CREAM | fixed::MIDDLE_CREAM | fixed::THIN_CREAM | fixed::SKIMMED) => {
            "add a rule `{do: skim, after: 24 h}` to the routine"
        }
        Some(fixed::WHEY | fixed::ACID_WHEY) => "whey comes from cheese: add a rule that makes one",
        Some(fixed::BUTTERMILK) => "buttermilk comes from butter: add a rule `{do: make, what: butter}`",
        _ => "add an animal or milk that is fetched, and a rule that makes it",
    }
}
