//! What would mend it: a few changes that fit the aims that fail, each run on
//! the same luck. What was not run is not named.

use super::aims::{TOGETHER, kept_by_trial, reaches};
use super::change::{Change, can_promise_less, jars_in, serves};
use super::engine::{Engine, Found, RULE_COLUMNS};
use super::measures::{MeasureKey, Table};
use super::results::{AimResult, Remedy, Worsened};
use super::stats::{clearly_lost, quantile};
use crate::scenario::Plan;
use crate::scenario::plan::{Action, AimMeasure, PlaceKind, RulePlan};
use crate::sim::outcome::{Blocked, Fate};
use std::collections::VecDeque;

/// Most trials of a remedy.
const TRIALS: u32 = 300;
/// Most single changes; one more run may try the best two together.
const SINGLES: usize = 5;
/// An aim is not clearly worse by less than this part of trials.
const A_SPECK: f64 = 0.02;
/// Most jars for which room is looked.
const MOST_JARS: u32 = 500;

/// Looks for remedies. `rows` are those of the base, `rules` the sums of its
/// rules' tallies. Best first, but one that makes an aim worse after those that
/// do not, and last those that help no failing aim. A change whose own trials
/// are refused is left out.
pub(super) fn look(engine: &Engine, rows: &[f64], aims: &[AimResult], rules: &[&[f64]]) -> Vec<Remedy> {
    let columns = engine.table.keys.len().max(1);
    let trials = TRIALS.min(u32::try_from(rows.len() / columns).unwrap_or(TRIALS));
    let failing: Vec<usize> = (0..aims.len()).filter(|i| !aims[*i].met).collect();
    let base = Base::new(engine, &rows[..trials as usize * columns], failing);
    let facts = Facts::new(engine, rows, rules);
    let measures = base.failing.iter().filter_map(|i| engine.plan.aims.get(*i)).map(|a| a.measure);
    let changes = take_turns(measures.map(|m| facts.changes(m)).collect());

    let mut queue: VecDeque<Change> = changes.into();
    let mut tried: Vec<(Vec<Change>, Remedy)> = Vec::new();
    let mut runs = 0;
    while let Some(change) = queue.pop_front()
        && runs < SINGLES
    {
        runs += 1;
        let Some((remedy, lacking)) = try_out(engine, &[change], &base) else { continue };
        if let Change::ColdRoom { place, jars, buy } = change {
            // Of several sizes of cold room only the last is told.
            tried.retain(|(c, _)| !matches!(c[..], [Change::ColdRoom { .. }]));
            // Milk that has room stays on, so more room calls for more still.
            let jars = jars.saturating_add(lacking.max(jars));
            if !remedy.mends && jars <= MOST_JARS {
                queue.push_back(Change::ColdRoom { place, jars, buy });
            }
        }
        tried.push((vec![change], remedy));
    }
    let (mut tried, useless): (Vec<_>, Vec<_>) =
        tried.into_iter().partition(|(_, r)| helps(r, &r.base_parts));
    best_first(&mut tried);
    if let Some((both, than)) = pair(&tried)
        && let Some((remedy, _)) = try_out(engine, &both, &base)
        && helps(&remedy, &than)
    {
        tried.push((both.to_vec(), remedy));
        best_first(&mut tried);
    }
    tried.into_iter().chain(useless).map(|(_, remedy)| remedy).collect()
}

/// The two changes that are worth trying together, and what the better one
/// reached: those with the largest sums of parts met, of those that break no
/// kept aim if there are any. What they make worse among the failing aims is in
/// the sum, and one may make good what the other spoils. None where a single
/// change mends everything.
fn pair(tried: &[(Vec<Change>, Remedy)]) -> Option<([Change; 2], Vec<f64>)> {
    let mut order: Vec<&(Vec<Change>, Remedy)> = tried.iter().collect();
    order.sort_by(|(_, a), (_, b)| {
        let breaks = |r: &Remedy| r.worsens.iter().any(|w| w.broken);
        breaks(a).cmp(&breaks(b)).then(sum(b).total_cmp(&sum(a)))
    });
    match order[..] {
        [(first, one), (second, _), ..] if tried.iter().all(|(_, r)| !r.mends) => {
            Some(([*first.first()?, *second.first()?], one.met_parts.clone()))
        }
        _ => None,
    }
}

/// Sum of the parts met.
fn sum(remedy: &Remedy) -> f64 {
    remedy.met_parts.iter().sum()
}

/// Better in the sum of the parts met.
fn helps(remedy: &Remedy, than: &[f64]) -> bool {
    sum(remedy) > than.iter().sum::<f64>() + 1e-12
}

/// Those that mend everything, then those that make no aim worse, then by the
/// sum of the parts met; ties stay in the order in which they were tried.
fn best_first(tried: &mut [(Vec<Change>, Remedy)]) {
    tried.sort_by(|(_, a), (_, b)| {
        let harms = |r: &Remedy| !r.worsens.is_empty();
        b.mends.cmp(&a.mends).then(harms(a).cmp(&harms(b))).then(sum(b).total_cmp(&sum(a)))
    });
}

/// First suggestions of every list, then second ones, each once.
fn take_turns(lists: Vec<Vec<Change>>) -> Vec<Change> {
    let mut taken = Vec::new();
    for turn in 0..lists.iter().map(Vec::len).max().unwrap_or(0) {
        for change in lists.iter().filter_map(|l| l.get(turn)) {
            if !taken.contains(change) && taken.len() < SINGLES {
                taken.push(*change);
            }
        }
    }
    taken
}

/// The plan as it is, over the trials on which remedies are run.
struct Base {
    /// Aims that fail over all trials.
    failing: Vec<usize>,
    /// Aim by aim, trial by trial: was it kept.
    kept: Vec<Vec<bool>>,
    trials: u32,
}

impl Base {
    fn new(engine: &Engine, rows: &[f64], failing: Vec<usize>) -> Self {
        let trials = u32::try_from(rows.len() / engine.table.keys.len().max(1)).unwrap_or(TRIALS);
        Self { failing, kept: all_kept(engine.plan, engine.table, rows), trials }
    }

    fn of_failing(&self, parts: &[f64]) -> Vec<f64> {
        self.failing.iter().filter_map(|i| parts.get(*i)).copied().collect()
    }

    /// What becomes worse where these are kept, by more than a speck.
    fn worsened(&self, plan: &Plan, kept: &[Vec<bool>]) -> Vec<Worsened> {
        let each = plan.aims.iter().zip(&self.kept).zip(kept).enumerate();
        let mut found: Vec<Worsened> = each
            .filter_map(|(aim, ((wish, before), after))| {
                let (without, with) = (part(before), part(after));
                let count = |had: bool| {
                    let changed = before.iter().zip(after).filter(|(b, a)| **b == had && **a != had);
                    u32::try_from(changed.count()).unwrap_or(u32::MAX)
                };
                let worse = without - with > A_SPECK && clearly_lost(count(true), count(false));
                let broken = worse && reaches(without, wish.in_part) && !reaches(with, wish.in_part);
                worse.then_some(Worsened { aim, without, with, broken })
            })
            .collect();
        found.sort_by(|a, b| b.broken.cmp(&a.broken).then(a.aim.cmp(&b.aim)));
        found
    }
}

/// Aim by aim, trial by trial: was it kept.
fn all_kept(plan: &Plan, table: &Table, rows: &[f64]) -> Vec<Vec<bool>> {
    plan.aims.iter().map(|aim| kept_by_trial(aim, table, rows)).collect()
}

fn part(kept: impl AsRef<[bool]>) -> f64 {
    let kept = kept.as_ref();
    kept.iter().filter(|k| **k).count() as f64 / kept.len().max(1) as f64
}

/// Runs the plan with changes on the luck of the base; with it, for how many
/// jars its cold still lacks room.
fn try_out(engine: &Engine, changes: &[Change], base: &Base) -> Option<(Remedy, u32)> {
    let mut plan = engine.plan.clone();
    for change in changes {
        change.apply(&mut plan);
    }
    let changed = Engine { plan: &plan, ..*engine };
    let mut found = Found::default();
    changed.simulate(0..base.trials, None, &|_| {}, &mut found).ok()?;
    let kept = all_kept(&plan, engine.table, &found.rows);
    let parts: Vec<f64> = kept.iter().map(part).collect();
    let before: Vec<f64> = base.kept.iter().map(part).collect();
    let words: Vec<String> = changes.iter().map(|c| c.words(engine.plan, engine.names)).collect();
    let remedy = Remedy {
        words: words.join(TOGETHER),
        met_parts: base.of_failing(&parts),
        base_parts: base.of_failing(&before),
        worsens: base.worsened(&plan, &kept),
        mends: parts.iter().zip(&plan.aims).all(|(part, aim)| reaches(*part, aim.in_part)),
        trials: base.trials,
    };
    Some((remedy, lacking(&plan, engine.table, &found.rows)))
}

/// What a measure exceeds in 1 of 20 years only.
fn in_one_of_twenty(table: &Table, rows: &[f64], key: MeasureKey) -> f64 {
    let Some(column) = table.column(key) else { return 0.0 };
    let mut values: Vec<f64> = rows.chunks_exact(table.keys.len()).map(|row| row[column]).collect();
    values.sort_unstable_by(f64::total_cmp);
    quantile(&values, 0.95)
}

/// Jars of the main size for which the cold lacks room in 1 of 20 years.
fn lacking(plan: &Plan, table: &Table, rows: &[f64]) -> u32 {
    let room: f64 = (0..plan.places.len()).filter_map(|p| jars_in(plan, p)).sum();
    let wanted = in_one_of_twenty(table, rows, MeasureKey::JarsWanted);
    (wanted - room - 1e-9).ceil().clamp(0.0, f64::from(MOST_JARS)) as u32
}

/// What the base shows, to choose the changes that fit.
struct Facts<'a> {
    plan: &'a Plan,
    /// Jars of the main size for which the cold lacks room in 1 of 20 years.
    lacking: u32,
    /// Jars are all in use, or lacked, in 1 of 20 years.
    jars_short: bool,
    wasted: bool,
    /// Some rule found no minutes.
    minutes_short: bool,
    /// Some rule found no room or jar.
    room_short: bool,
}

impl<'a> Facts<'a> {
    fn new(engine: &Engine<'a>, rows: &[f64], rules: &[&[f64]]) -> Self {
        let plan = engine.plan;
        let high = |key: MeasureKey| in_one_of_twenty(engine.table, rows, key);
        let owned: u32 = plan.jars.iter().map(|j| j.count).sum();
        let lacked = high(MeasureKey::WastedBy(Fate::WastedNoJar)) > 0.0;
        let blocked =
            |why: Blocked| rules.iter().any(|r| r[RULE_COLUMNS - Blocked::ALL.len() + why as usize] > 0.0);
        Self {
            plan,
            lacking: lacking(plan, engine.table, rows),
            jars_short: lacked || high(MeasureKey::JarsUsed) >= f64::from(owned),
            wasted: high(MeasureKey::Wasted) > 0.0,
            minutes_short: blocked(Blocked::Minutes),
            room_short: blocked(Blocked::JarsOrRoom),
        }
    }

    /// Changes that might help an aim, the likeliest first.
    fn changes(&self, aim: AimMeasure) -> Vec<Change> {
        let mut changes = Vec::new();
        match aim {
            AimMeasure::WastedPart | AimMeasure::DaysOverFull => {
                changes.extend(self.cold_room());
                changes.extend(self.fewer_leftovers());
                changes.extend(self.jars());
                changes.extend(self.minutes_short.then_some(Change::MoreKitchenTime));
            }
            AimMeasure::MilkDays | AimMeasure::MilkFill => {
                changes.push(Change::KeepBack);
                changes.extend(self.cold_room().filter(|_| self.wasted));
                changes.extend(self.jars());
            }
            AimMeasure::WishFill(wish) => {
                changes.extend(self.makes(wish).then_some(Change::MakeFreely(usize::from(wish))));
                changes.extend(self.minutes_short.then_some(Change::MoreKitchenTime));
                changes.extend(self.cold_room().filter(|_| self.wasted || self.room_short));
                changes.extend(self.jars());
            }
            AimMeasure::DryFill => {
                let places = &self.plan.places;
                let freezer = places.iter().position(|p| p.kind == PlaceKind::Freezer);
                changes.extend(
                    freezer.filter(|_| self.plan.household.frozen_milk.is_some()).map(Change::Freezer),
                );
                changes.extend(self.minutes_short.then_some(Change::MoreKitchenTime));
                changes.push(Change::KeepBack);
            }
            AimMeasure::ShareFill | AimMeasure::ShareWorstWeek => {
                let members = self.plan.trade.share.as_ref().map_or(0, |s| s.claims_kg.len());
                // Two of many, one of a few; never the last.
                let fewer = if members > 3 { 2 } else { 1 };
                changes.extend((members > 1).then_some(Change::FewerMembers(fewer)));
                changes.extend(can_promise_less(self.plan).then_some(Change::SmallerPromise));
                changes.extend(self.cold_room().filter(|_| self.wasted));
                changes.extend(self.jars());
            }
            AimMeasure::HandsMean | AimMeasure::HandsBusiest => {
                let twice = self.plan.animals.iter().position(|a| a.milkings > 1);
                changes.push(Change::LessKitchenTime);
                changes.extend(twice.map(Change::OnceADay));
            }
        }
        changes
    }

    /// Room for what is lacking, in the largest fridge.
    fn cold_room(&self) -> Option<Change> {
        let fridges = (0..self.plan.places.len()).filter_map(|p| Some((p, jars_in(self.plan, p)?)));
        let (place, _) = fridges.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
        let jars = self.lacking;
        (jars > 0).then_some(Change::ColdRoom { place, jars, buy: self.jars_short })
    }

    /// Half as many jars again.
    fn jars(&self) -> Option<Change> {
        let owned = self.plan.jars.first()?.count;
        self.jars_short.then_some(Change::Jars(owned.div_ceil(2).max(1)))
    }

    /// Skimming, feeding, the calf: less milk stands about.
    fn fewer_leftovers(&self) -> Vec<Change> {
        let mut changes = Vec::new();
        let skims = |r: &RulePlan| matches!(r.action, Action::Skim { .. }) && r.weekdays & 0x7f != 0x7f;
        if self.plan.rules.iter().any(skims) {
            changes.push(Change::SkimDaily);
        }
        let last = u32::try_from(self.plan.days.len()).unwrap_or(u32::MAX).saturating_sub(1);
        // Young on the bottle grow up; they take no leftovers.
        if let Some((o, outlet)) = self.plan.outlets.iter().enumerate().find(|(_, o)| !o.first) {
            changes.push(Change::TwiceFed(o));
            if outlet.from_day > 0 || outlet.until_day < last {
                changes.push(Change::FedAllTime(o));
            }
        }
        let calf = self.plan.animals.iter().position(|a| a.calf.is_some());
        changes.extend(calf.map(Change::CalfLonger));
        changes
    }

    /// Does some rule make what serves the wish, and is it held back by days
    /// or limits.
    fn makes(&self, wish: u16) -> bool {
        let wish = usize::from(wish);
        let held = |r: &RulePlan| r.weekdays & 0x7f != 0x7f || r.per_week.is_some() || r.every_days.is_some();
        self.plan.rules.iter().any(|r| serves(self.plan, &r.action, wish) && held(r))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn suggestions_take_turns() {
        let lists = vec![
            vec![Change::KeepBack, Change::Jars(1), Change::SkimDaily],
            vec![Change::Jars(1), Change::MoreKitchenTime],
            vec![],
        ];
        let turns = [Change::KeepBack, Change::Jars(1), Change::MoreKitchenTime, Change::SkimDaily];
        assert_eq!(take_turns(lists), turns);
        assert_eq!(take_turns(vec![(1..20).map(Change::Jars).collect()]).len(), SINGLES);
    }
}
