//! Animals that are fed.

use super::{
    super::{
        plan::{OutletPlan, fixed},
        raw::{Entries, Outlet},
    },
    Known,
    calendar::{Run, span},
    context::{Ctx, entry, under},
    items::Items,
};
use crate::{
    diagnostics::Diagnostic,
    units::{Duration, MILK_KG_PER_L, read_amount},
};

/// Compiles the animals that are fed, in the order of the file.
pub(super) fn outlets(
    c: &mut Ctx,
    known: &Known,
    run: Run,
    items: &Items,
    raw: &Entries<Outlet>,
) -> Vec<(OutletPlan, String)> {
    let mut all = Vec::new();
    for (name, own) in raw.iter() {
        let at = under("animals fed", name);
        let p = |key: &str| under(&at, key);
        let preset = match &own.like {
            Some(t) => match c.preset(&p("like"), "animal to feed", t, &known.library.outlets) {
                Some(o) => o.clone(),
                None => continue,
            },
            None => {
                let found = known.library.outlets.iter().find(|(n, _)| n.eq_ignore_ascii_case(name));
                found.map(|(_, o)| o.clone()).unwrap_or_default()
            }
        };
        let o = own.over(&preset);
        let heads = c.within(&p("heads"), &o.heads, 0.0..=10_000.0, "a number up to 10000").unwrap_or(1.0);
        let Some(takes) = &o.takes else {
            let names: Vec<&str> = known.library.outlets.names().collect();
            let near = crate::diagnostics::nearest(name, names.iter().copied());
            let help = near.map_or_else(
                || "write what one takes a day, such as `takes: {whey: 9 L}`, or `like:` a preset".to_owned(),
                |n| format!("did you mean `{n}`? Or write `takes: {{whey: 9 L}}`"),
            );
            c.push_key(&at, Diagnostic::error(format!("it is not known what `{name}` takes")).help(help));
            continue;
        };
        let mut list: Vec<(super::super::plan::ItemId, f64)> = Vec::new();
        let mut cap_of: Vec<usize> = Vec::new();
        let mut sum = 0.0;
        for (item, q) in takes.iter() {
            let at = under(&p("takes"), item);
            // A preset may take what this family does not make.
            let ids = match items.known(item) {
                Some(ids) => ids,
                None if items.is_unmade(item) => continue,
                None => items.find(c, &at, item).unwrap_or_default(),
            };
            let Some(amount) =
                c.read(&at, &Some(q.clone())).and_then(|_| c.take(&at, read_amount(q.as_str())))
            else {
                continue;
            };
            let cap = amount.kg(items.density(&ids)) * heads;
            // What was said of one item goes before what is said of its group.
            let new: Vec<_> = ids.into_iter().filter(|id| !list.iter().any(|(i, _)| i == id)).collect();
            if new.is_empty() {
                c.push_key(
                    &at,
                    Diagnostic::error(format!("what `{name}` takes of `{item}` was said already"))
                        .help("keep one of the two"),
                );
                continue;
            }
            let number = cap_of.last().map_or(0, |last| last + 1);
            cap_of.extend(new.iter().map(|_| number));
            list.extend(new.into_iter().map(|id| (id, cap)));
            sum += cap;
        }
        let most = c.read(&p("most"), &o.most);
        let most = most.map_or(sum, |_| {
            let text = o.most.as_ref().map_or("", |q| q.as_str());
            c.take(&p("most"), read_amount(text)).map_or(sum, |a| a.kg(MILK_KG_PER_L) * heads)
        });
        let by_itself = match &o.by_itself {
            None => {
                let soured = [fixed::SOUR_MILK.at(), fixed::SOURED_CREAM.at()];
                let wanted = |id: usize| items.plans[id].byproduct || soured.contains(&id);
                (0..items.plans.len()).filter(|i| wanted(*i)).fold(0u64, |m, i| m | 1 << i)
            }
            Some(names) => {
                let mut mask = 0;
                for (i, t) in names.iter().enumerate() {
                    let at = entry(&p("by itself"), i);
                    mask |= match items.known(t.get()) {
                        Some(ids) => Items::mask(&ids),
                        None if items.is_unmade(t.get()) => 0,
                        None => items.find(c, &at, t.get()).map_or(0, |ids| Items::mask(&ids)),
                    };
                }
                mask
            }
        };
        let Some((from_day, until_day)) = span(c, run, &at, &o.from, &o.until) else { continue };
        let young_kg = by_age(c, run, &at, &o, heads);
        let turns = [("before the people", true), ("after the people", false)];
        let first = c.choice(&p("served"), &o.served, &turns).unwrap_or(false);
        let taken = list.iter().fold(0u64, |m, (id, _)| m | 1 << id.0);
        all.push((
            OutletPlan {
                from_day,
                until_day,
                takes: list,
                cap_of,
                most_kg: most,
                young_kg,
                by_itself: by_itself & taken,
                first,
            },
            name.to_owned(),
        ));
    }
    all
}

/// What the young take up to each age; nothing where it is not known when they
/// were born.
fn by_age(c: &mut Ctx, run: Run, at: &str, o: &Outlet, heads: f64) -> Vec<(i32, f64)> {
    let born = match (&o.born, &o.from) {
        (Some(_), _) => super::health::date(c, run, &under(at, "born"), &o.born),
        (None, from) => super::health::date(c, run, &under(at, "from"), from),
    };
    let mut all: Vec<(i32, f64)> = Vec::new();
    for (age, q) in o.by_age.iter().flat_map(Entries::iter) {
        let at = under(&under(at, "by age"), age);
        let days = c.words::<Duration>(&at, age);
        let kg = c.read(&at, &Some(q.clone())).and_then(|_| c.take(&at, read_amount(q.as_str())));
        let (Some(days), Some(kg), Some(born)) = (days, kg, born) else { continue };
        let until = born.saturating_add(days.round().clamp(0.0, 3660.0) as i32);
        if all.last().is_some_and(|(before, _)| *before >= until) {
            c.push_key(
                &at,
                Diagnostic::error("this age is not higher than the one before it")
                    .help("write ages from the first days on, such as `{2 days: 0.6 L, 6 weeks: 1 L}`"),
            );
            continue;
        }
        all.push((until, kg.kg(MILK_KG_PER_L) * heads));
    }
    all
}
