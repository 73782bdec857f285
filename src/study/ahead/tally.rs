//! From many futures to ranges and chances.

use super::eye::{Seen, SeenDay};
use super::{Ahead, AheadDay, AheadOptions, Milking, Promise, Range, Skimmed, Souring, Work};
use crate::scenario::plan::{ItemId, PlaceKind, Plan};
use crate::scenario::{Names, plan::SharePlan};
use crate::study::run::rule_words;
use crate::study::stats::quantile;
use std::collections::BTreeMap;

/// Rarer than this part of the futures, a thing is not told of a day.
const RARE: f64 = 0.02;

impl Range {
    /// Of some values, in any order; nothing of none.
    pub(super) fn of(mut values: Vec<f64>) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        if values.is_empty() {
            return Self::default();
        }
        let at = |p| quantile(&values, p);
        Self { low: at(0.1), middle: at(0.5), high: at(0.9) }
    }
}

fn days_of(mut days: Vec<u32>) -> [u32; 3] {
    days.sort_unstable();
    let at = |p: f64| {
        let rank = ((p * days.len() as f64).ceil() as usize).clamp(1, days.len().max(1));
        days.get(rank - 1).copied().unwrap_or(0)
    };
    [at(0.1), at(0.5), at(0.9)]
}

pub(super) fn tally(plan: &Plan, names: &Names, options: &AheadOptions, days: u32, seen: &[Seen]) -> Ahead {
    let n = seen.len().max(1) as f64;
    let each = |d: usize| seen.iter().filter_map(move |s| s.days.get(d));
    let days_told: Vec<AheadDay> = (0..days as usize)
        .map(|d| day(plan, options.from + d as u32, seen, &each(d).collect::<Vec<_>>()))
        .collect();
    let total =
        |of: &dyn Fn(&SeenDay) -> f64| Range::of(seen.iter().map(|s| s.days.iter().map(of).sum()).collect());
    let first: Vec<u32> = seen
        .iter()
        .filter_map(|s| s.days.iter().position(|d| d.over_full).map(|d| options.from + d as u32))
        .collect();
    Ahead {
        trials: seen.len() as u32,
        seed: options.seed,
        rules: rule_words(plan, names),
        days: days_told,
        sours: sours(seen),
        totals: (0..plan.animals.len())
            .map(|a| total(&|d: &SeenDay| d.pails.get(a).copied().unwrap_or(0.0)))
            .collect(),
        total: total(&|d: &SeenDay| d.pails.iter().sum()),
        first_full: (!first.is_empty()).then(|| (first.len() as f64 / n, days_of(first))),
    }
}

fn day(plan: &Plan, day: u32, seen: &[Seen], futures: &[&SeenDay]) -> AheadDay {
    let n = futures.len().max(1) as f64;
    let animals = 0..plan.animals.len();
    let part = |test: &dyn Fn(&SeenDay) -> bool| futures.iter().filter(|f| test(f)).count() as f64 / n;
    let range = |of: &dyn Fn(&SeenDay) -> f64| Range::of(futures.iter().map(|f| of(f)).collect());
    let is = |list: &[bool], i: usize| list.get(i).copied().unwrap_or(false);
    let mut works: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for (rule, kg) in futures.iter().flat_map(|f| &f.works) {
        works.entry(*rule).or_default().push(*kg);
    }
    let cold: f64 = plan.places.iter().filter(|p| p.kind == PlaceKind::Fridge).map(|p| p.litres).sum();
    let for_members: Vec<f64> = futures.iter().filter_map(|f| f.for_members).collect();
    let kept = futures.iter().filter(|f| f.for_members.is_some() && !f.share_short).count();
    AheadDay {
        day,
        pails: animals.clone().map(|a| range(&|f| f.pails.get(a).copied().unwrap_or(0.0))).collect(),
        pail: range(&|f| f.pails.iter().sum()),
        fetched: range(&|f| f.fetched),
        kept: animals.clone().map(|a| part(&|f| is(&f.kept, a))).collect(),
        freshens: animals.clone().map(|a| part(&|f| is(&f.freshens, a))).collect(),
        dry: animals.map(|a| part(&|f| is(&f.dry, a))).collect(),
        works: works
            .into_iter()
            .map(|(rule, kg)| Work { rule, chance: kg.len() as f64 / n, kg: Range::of(kg) })
            .filter(|w| w.chance >= RARE)
            .collect(),
        skims: skims(day, seen),
        over_full: part(&|f| f.over_full),
        cold: range(&|f| if cold > 0.0 { f.cold_l / cold } else { 0.0 }),
        short: part(&|f| is(&f.short, 0)),
        wishes_short: (1..=plan.household.wishes.len()).map(|w| part(&|f| is(&f.short, w))).collect(),
        promise: plan
            .trade
            .share
            .as_ref()
            .and_then(|s| promise(plan, s, day, for_members, kept, futures.len())),
    }
}

/// What can be promised, on a day on which members come in most futures.
fn promise(
    plan: &Plan,
    share: &SharePlan,
    day: u32,
    mut kg: Vec<f64>,
    kept: usize,
    futures: usize,
) -> Option<Promise> {
    if 2 * kg.len() < futures.max(1) {
        return None;
    }
    let owed = if first_pick_up(plan, share) == Some(day) { plan.opening.owed_kg } else { 0.0 };
    let promised = share.claims_kg.iter().sum::<f64>() + owed;
    let kept = kept as f64 / kg.len() as f64;
    kg.sort_unstable_by(f64::total_cmp);
    // The most that is there in nine of ten futures at least.
    let fails = (0.1 * kg.len() as f64 + 1e-9).floor() as usize;
    let in_nine = kg.get(fails).copied().unwrap_or(0.0);
    Some(Promise { promised, in_nine, there: Range::of(kg), kept })
}

/// The day of the run on which members come first.
fn first_pick_up(plan: &Plan, share: &SharePlan) -> Option<u32> {
    let comes = |(day, info): &(usize, &crate::scenario::plan::DayInfo)| {
        let day = *day as u32;
        share.weekdays >> info.weekday & 1 == 1
            && (share.from_day..=share.until_day).contains(&day)
            && !info.away
    };
    plan.days.iter().enumerate().find(comes).map(|(day, _)| day as u32)
}

fn skims(day: u32, seen: &[Seen]) -> Vec<Skimmed> {
    let mut all: BTreeMap<(usize, Milking), Vec<f64>> = BTreeMap::new();
    for s in seen {
        for (rule, _, milking, jars) in s.skims.iter().filter(|x| x.1 == day) {
            all.entry((*rule, *milking)).or_default().push(f64::from(*jars));
        }
    }
    let n = seen.len().max(1) as f64;
    let each = all.into_iter().map(|((rule, milking), jars)| Skimmed {
        rule,
        milking,
        chance: jars.len() as f64 / n,
        jars: Range::of(jars).middle,
    });
    each.filter(|s| s.chance >= RARE).collect()
}

fn sours(seen: &[Seen]) -> Vec<Souring> {
    let mut all: BTreeMap<(Milking, ItemId), (Vec<u32>, Vec<f64>)> = BTreeMap::new();
    for (day, item, milking, kg) in seen.iter().flat_map(|s| &s.sours) {
        let (days, kgs) = all.entry((*milking, *item)).or_default();
        days.push(*day);
        kgs.push(*kg);
    }
    let n = seen.len().max(1) as f64;
    let each = all.into_iter().map(|((milking, item), (days, kg))| Souring {
        item,
        milking,
        chance: days.len() as f64 / n,
        days: days_of(days),
        kg: Range::of(kg),
    });
    each.filter(|s| s.chance >= RARE).collect()
}
