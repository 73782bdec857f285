//! What would mend it: a few changes that fit the aims that fail, each run on
//! the same luck. What was not run is not named.

use super::aims::kept;
use super::engine::{Engine, Found, RULE_COLUMNS};
use super::measures::{MeasureKey, Table};
use super::results::{AimResult, Remedy};
use super::stats::quantile;
use crate::scenario::plan::{Action, AimMeasure, PlaceKind, fixed};
use crate::scenario::{Names, Plan};
use crate::sim::outcome::{Blocked, Fate};

/// Most trials of a remedy.
const TRIALS: u32 = 300;
/// Most single changes; one more run may try the best two together.
const SINGLES: usize = 5;

/// A change to a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Change {
    /// Room for so many more jars of the main size in the cold; and that many
    /// more jars, where jars are short as well.
    ColdRoom { place: usize, jars: u32, buy: bool },
    /// So many more jars of the main size.
    Jars(u32),
    /// Half as much kitchen time again.
    MoreKitchenTime,
    /// A third less kitchen time.
    LessKitchenTime,
    /// Twice as many of the animals that are fed.
    TwiceFed(usize),
    /// They are there all the time.
    FedAllTime(usize),
    /// One more day of drinking is kept back before anything is made.
    KeepBack,
    /// Skim every day.
    SkimDaily,
    /// Make what serves a wish on any day and as often as it can be.
    MakeFreely(usize),
    /// The calf stays two weeks longer.
    CalfLonger(usize),
    /// Milked once a day.
    OnceADay(usize),
    /// Half as much freezer again.
    Freezer(usize),
}

/// Looks for remedies. `rows` are those of the base, `rules` the sums of its
/// rules' tallies. Best first; none that does not help any failing aim. A
/// change whose own trials are refused is left out.
pub(super) fn look(engine: &Engine, rows: &[f64], aims: &[AimResult], rules: &[&[f64]]) -> Vec<Remedy> {
    let columns = engine.table.keys.len().max(1);
    let trials = TRIALS.min(u32::try_from(rows.len() / columns).unwrap_or(TRIALS));
    let failing: Vec<usize> = (0..aims.len()).filter(|i| !aims[*i].met).collect();
    let base = met_parts(engine.plan, engine.table, &failing, &rows[..trials as usize * columns]);
    let facts = Facts::new(engine, rows, rules);
    let measures = failing.iter().filter_map(|i| engine.plan.aims.get(*i)).map(|a| a.measure);
    let changes = take_turns(measures.map(|m| facts.changes(m)).collect());

    let mut tried: Vec<(Vec<Change>, Remedy)> = Vec::new();
    for change in changes {
        tried.extend(try_out(engine, &[change], &failing, trials));
    }
    tried.retain(|(_, r)| helps(r, &base));
    best_first(&mut tried);
    if let [(first, one), (second, _), ..] = &tried[..]
        && !one.mends
        && let Some(both) = try_out(engine, &[first[0], second[0]], &failing, trials)
        && helps(&both.1, &one.met_parts)
    {
        tried.push(both);
        best_first(&mut tried);
    }
    tried.into_iter().map(|(_, remedy)| remedy).collect()
}

/// Better in the sum of the parts met.
fn helps(remedy: &Remedy, than: &[f64]) -> bool {
    remedy.met_parts.iter().sum::<f64>() > than.iter().sum::<f64>() + 1e-12
}

/// Those that mend everything, then by the sum of the parts met; ties stay in
/// the order in which they were tried.
fn best_first(tried: &mut [(Vec<Change>, Remedy)]) {
    tried.sort_by(|(_, a), (_, b)| {
        let sum = |r: &Remedy| r.met_parts.iter().sum::<f64>();
        b.mends.cmp(&a.mends).then(sum(b).total_cmp(&sum(a)))
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

/// Parts of the trials that kept the aims of these numbers.
fn met_parts(plan: &Plan, table: &Table, which: &[usize], rows: &[f64]) -> Vec<f64> {
    let trials = (rows.len() / table.keys.len().max(1)).max(1) as f64;
    let aims = which.iter().filter_map(|i| plan.aims.get(*i));
    aims.map(|aim| f64::from(kept(aim, table, rows)) / trials).collect()
}

/// Runs the plan with changes on the luck of the base.
fn try_out(
    engine: &Engine,
    changes: &[Change],
    failing: &[usize],
    trials: u32,
) -> Option<(Vec<Change>, Remedy)> {
    let mut plan = engine.plan.clone();
    for change in changes {
        change.apply(&mut plan);
    }
    let changed = Engine { plan: &plan, ..*engine };
    let mut found = Found::default();
    changed.simulate(0..trials, None, &|_| {}, &mut found).ok()?;
    let all: Vec<usize> = (0..plan.aims.len()).collect();
    let parts = met_parts(&plan, engine.table, &all, &found.rows);
    let mends = parts.iter().zip(&plan.aims).all(|(part, aim)| *part >= aim.in_part * (1.0 - 1e-9));
    let words: Vec<String> = changes.iter().map(|c| c.words(engine.plan, engine.names)).collect();
    let met_parts = failing.iter().filter_map(|i| parts.get(*i)).copied().collect();
    Some((changes.to_vec(), Remedy { words: words.join(", and "), met_parts, mends, trials }))
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
        let high = |key: MeasureKey| {
            let Some(column) = engine.table.column(key) else { return 0.0 };
            let mut values: Vec<f64> =
                rows.chunks_exact(engine.table.keys.len()).map(|row| row[column]).collect();
            values.sort_unstable_by(f64::total_cmp);
            quantile(&values, 0.95)
        };
        let room: f64 = (0..plan.places.len()).filter_map(|p| jars_in(plan, p)).sum();
        let owned: u32 = plan.jars.iter().map(|j| j.count).sum();
        let lacked = high(MeasureKey::WastedBy(Fate::WastedNoJar)) > 0.0;
        let blocked =
            |why: Blocked| rules.iter().any(|r| r[RULE_COLUMNS - Blocked::ALL.len() + why as usize] > 0.0);
        Self {
            plan,
            lacking: (high(MeasureKey::JarsWanted) - room - 1e-9).ceil().clamp(0.0, 1000.0) as u32,
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
                changes.extend(self.cold_room(1));
                changes.extend(self.fewer_leftovers());
                changes.extend(self.jars());
                changes.extend(self.cold_room(2));
                changes.extend(self.minutes_short.then_some(Change::MoreKitchenTime));
            }
            AimMeasure::MilkDays | AimMeasure::MilkFill => {
                changes.push(Change::KeepBack);
                changes.extend(self.cold_room(1).filter(|_| self.wasted));
                changes.extend(self.jars());
            }
            AimMeasure::WishFill(wish) => {
                changes.extend(self.makes(wish).then_some(Change::MakeFreely(usize::from(wish))));
                changes.extend(self.minutes_short.then_some(Change::MoreKitchenTime));
                changes.extend(self.cold_room(1).filter(|_| self.wasted || self.room_short));
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
            AimMeasure::HandsMean | AimMeasure::HandsBusiest => {
                let twice = self.plan.animals.iter().position(|a| a.milkings > 1);
                changes.push(Change::LessKitchenTime);
                changes.extend(twice.map(Change::OnceADay));
            }
        }
        changes
    }

    /// Room for what is lacking, so many times over, in the largest fridge.
    fn cold_room(&self, times: u32) -> Option<Change> {
        let fridges = (0..self.plan.places.len()).filter_map(|p| Some((p, jars_in(self.plan, p)?)));
        let (place, _) = fridges.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
        let jars = self.lacking * times;
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
        let skims = |r: &crate::scenario::plan::RulePlan| {
            matches!(r.action, Action::Skim { .. }) && r.weekdays & 0x7f != 0x7f
        };
        if self.plan.rules.iter().any(skims) {
            changes.push(Change::SkimDaily);
        }
        let last = u32::try_from(self.plan.days.len()).unwrap_or(u32::MAX).saturating_sub(1);
        if let Some(outlet) = self.plan.outlets.first() {
            changes.push(Change::TwiceFed(0));
            if outlet.from_day > 0 || outlet.until_day < last {
                changes.push(Change::FedAllTime(0));
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
        let held = |r: &crate::scenario::plan::RulePlan| {
            r.weekdays & 0x7f != 0x7f || r.per_week.is_some() || r.every_days.is_some()
        };
        self.plan.rules.iter().any(|r| serves(self.plan, &r.action, wish) && held(r))
    }
}

/// Jars of the main size that stand in a fridge that takes whole milk, beside
/// the other food of its fullest month; `None` for other places.
fn jars_in(plan: &Plan, place: usize) -> Option<f64> {
    let place = plan.places.get(place)?;
    let part = *place.jar_part.first()?;
    let takes = place.kind == PlaceKind::Fridge && place.takes & (1 << fixed::WHOLE.0) != 0;
    if !takes || !part.is_finite() || part <= 0.0 {
        return None;
    }
    Some(((1.0 - most_other_food(&place.other_food)) / part + 1e-9).floor().max(0.0))
}

fn most_other_food(months: &[f64; 12]) -> f64 {
    months.iter().copied().fold(0.0, f64::max)
}

/// Does an action make something that serves a wish.
fn serves(plan: &Plan, action: &Action, wish: usize) -> bool {
    let Action::Make { recipe, .. } = action else { return false };
    let (Some(wish), Some(recipe)) = (plan.household.wishes.get(wish), plan.recipes.get(recipe.at())) else {
        return false;
    };
    recipe.outputs.iter().any(|o| wish.items.contains(&o.item))
}

fn kitchen(plan: &mut Plan, factor: f64) {
    plan.household.kitchen_minutes.iter_mut().flatten().for_each(|m| *m *= factor);
}

impl Change {
    fn apply(self, plan: &mut Plan) {
        match self {
            Self::ColdRoom { place, jars, buy } => {
                let Some(now) = jars_in(plan, place) else { return };
                let place = &mut plan.places[place];
                // Other food keeps its litres; the rest holds whole jars.
                let other = most_other_food(&place.other_food);
                let scale = (other + (now + f64::from(jars)) * place.jar_part[0]).max(1.0);
                place.litres *= scale;
                place.jar_part.iter_mut().for_each(|p| *p /= scale);
                place.other_food.iter_mut().for_each(|p| *p /= scale);
                if buy {
                    Self::Jars(jars).apply(plan);
                }
            }
            Self::Jars(more) => {
                if let Some(jar) = plan.jars.first_mut() {
                    jar.count = jar.count.saturating_add(more);
                }
            }
            Self::MoreKitchenTime => kitchen(plan, 1.5),
            Self::LessKitchenTime => kitchen(plan, 2.0 / 3.0),
            Self::TwiceFed(outlet) => {
                if let Some(outlet) = plan.outlets.get_mut(outlet) {
                    outlet.most_kg *= 2.0;
                    outlet.takes.iter_mut().for_each(|(_, kg)| *kg *= 2.0);
                }
            }
            Self::FedAllTime(outlet) => {
                if let Some(outlet) = plan.outlets.get_mut(outlet) {
                    (outlet.from_day, outlet.until_day) = (0, u32::MAX);
                }
            }
            Self::KeepBack => plan.household.kept_back_days += 1.0,
            Self::SkimDaily => {
                for rule in plan.rules.iter_mut().filter(|r| matches!(r.action, Action::Skim { .. })) {
                    rule.weekdays = 0x7f;
                }
            }
            Self::MakeFreely(wish) => {
                for i in 0..plan.rules.len() {
                    if serves(plan, &plan.rules[i].action, wish) {
                        let rule = &mut plan.rules[i];
                        (rule.weekdays, rule.per_week, rule.every_days) = (0x7f, None, None);
                    }
                }
            }
            Self::CalfLonger(animal) => {
                if let Some(calf) = plan.animals.get_mut(animal).and_then(|a| a.calf.as_mut()) {
                    if calf.shut_in_until <= calf.full_time_until {
                        calf.full_time_until = calf.full_time_until.saturating_add(14);
                        calf.shut_in_until = calf.shut_in_until.max(calf.full_time_until);
                    } else {
                        calf.shut_in_until = calf.shut_in_until.saturating_add(14);
                    }
                }
            }
            Self::OnceADay(animal) => {
                if let Some(animal) = plan.animals.get_mut(animal) {
                    animal.milkings = 1;
                }
            }
            Self::Freezer(place) => {
                if let Some(place) = plan.places.get_mut(place) {
                    place.litres *= 1.5;
                    place.jar_part.iter_mut().for_each(|p| *p /= 1.5);
                    place.other_food.iter_mut().for_each(|p| *p /= 1.5);
                    place.freeze_kg_per_day *= 1.5;
                }
            }
        }
    }

    fn words(self, plan: &Plan, names: &Names) -> String {
        let name = |list: &[String], i: usize, otherwise: &str| {
            list.get(i).cloned().unwrap_or_else(|| otherwise.to_owned())
        };
        let jar = |count: u32| {
            let size = name(&names.jars, 0, "large");
            format!("{count} more {size} jar{}", if count == 1 { "" } else { "s" })
        };
        match self {
            Self::ColdRoom { jars, buy, .. } => {
                let and = if buy { ", and the jars to fill it" } else { "" };
                format!("room for {} in the cold{and}", jar(jars))
            }
            Self::Jars(more) => jar(more),
            Self::MoreKitchenTime => "half as much kitchen time again".into(),
            Self::LessKitchenTime => "a third less kitchen time".into(),
            Self::TwiceFed(outlet) => {
                format!("twice as many {}", name(&names.outlets, outlet, "animals to feed"))
            }
            Self::FedAllTime(outlet) => {
                format!("{} all the time", name(&names.outlets, outlet, "animals to feed"))
            }
            Self::KeepBack => {
                let days = plan.household.kept_back_days + 1.0;
                format!(
                    "keeping back {days} day{} of drinking before anything is made",
                    if days == 1.0 { "" } else { "s" }
                )
            }
            Self::SkimDaily => "skimming every day".into(),
            Self::MakeFreely(wish) => {
                format!("making {} on any day, as often as it can be", name(&names.wishes, wish, "it"))
            }
            Self::CalfLonger(animal) => {
                format!("leaving the calf on {} 2 weeks longer", name(&names.animals, animal, "her"))
            }
            Self::OnceADay(animal) => format!("milking {} once a day", name(&names.animals, animal, "her")),
            Self::Freezer(place) => {
                format!("half as much room again in the {}", name(&names.places, place, "freezer"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::testing;

    #[test]
    fn room_for_more_jars_is_just_that() {
        let (mut plan, _) = testing::house();
        assert_eq!(jars_in(&plan, 1), Some(10.0));
        assert_eq!(jars_in(&plan, 0), None);
        let food = plan.places[1].other_food[0] * plan.places[1].litres;
        Change::ColdRoom { place: 1, jars: 7, buy: true }.apply(&mut plan);
        assert_eq!(jars_in(&plan, 1), Some(17.0));
        assert_eq!(plan.jars[0].count, 47);
        // Other food keeps its litres, a jar its litres.
        assert!((plan.places[1].other_food[0] * plan.places[1].litres - food).abs() < 1e-9);
        assert!((plan.places[1].jar_part[0] * plan.places[1].litres - 5.0).abs() < 1e-9);
    }

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

    #[test]
    fn calf_stays_two_weeks() {
        let (mut plan, names) = testing::house();
        plan.animals[0].calf = Some(crate::scenario::plan::CalfPlan {
            full_time_until: 21,
            shut_in_until: 70,
            appetite_start_kg: 5.0,
            appetite_full_kg: 9.0,
            appetite_full_day: 30,
            held_back: 0.2,
            pail_fat_factor: 0.7,
        });
        Change::CalfLonger(0).apply(&mut plan);
        let calf = plan.animals[0].calf.unwrap();
        assert_eq!((calf.full_time_until, calf.shut_in_until), (21, 84));
        assert_eq!(Change::CalfLonger(0).words(&plan, &names), "leaving the calf on Clover 2 weeks longer");
    }
}
