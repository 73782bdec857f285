//! The kitchen session: the routine from top to bottom.

use super::larder::{CRUMB, Choice, SLACK};
use super::outcome::Blocked;
use super::trial::Trial;
use super::watch::Moment;
use crate::scenario::plan::{Action, Condition, Ending, ItemId, ItemMask, PlaceId, RulePlan, WasteCause};

/// What a firing took.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fired {
    /// Main input, kg.
    pub kg: f64,
    /// Kitchen minutes.
    pub minutes: f64,
}

/// What a rule asks before it fires, worked out once.
#[derive(Debug)]
pub(super) struct Asks {
    weekdays: u8,
    a_day: u32,
    per_week: u32,
    every_days: u32,
    /// Conditions in the order in which reasons are told: those asked before
    /// the rule's own limits …
    before_limits: Box<[Test]>,
    /// … and those after.
    after_limits: Box<[Test]>,
}

/// A condition, its bounds widened by the slack of comparisons.
#[derive(Clone, Copy, Debug)]
struct Test {
    condition: Condition,
    least: f64,
    most: f64,
}

impl Asks {
    pub(super) fn of(rule: &RulePlan) -> Self {
        let mut when = rule.when.clone();
        when.sort_by_key(reason);
        let (before, after): (Vec<_>, Vec<_>) =
            when.into_iter().map(Test::of).partition(|t| reason(&t.condition) <= Blocked::Limit);
        Self {
            weekdays: rule.weekdays,
            a_day: rule.per_day.unwrap_or(match rule.action {
                // Not again before some days are over is not again today.
                Action::Make { .. } if rule.every_days.is_none() => u32::MAX,
                _ => 1,
            }),
            per_week: rule.per_week.unwrap_or(u32::MAX),
            every_days: rule.every_days.unwrap_or(0),
            before_limits: before.into(),
            after_limits: after.into(),
        }
    }
}

impl Test {
    fn of(condition: Condition) -> Self {
        let (least, most) = match condition {
            Condition::SinceFreshening { least, most, .. }
            | Condition::ToDryOff { least, most, .. }
            | Condition::Stock { least, most, .. }
            | Condition::Jars { least, most, .. }
            | Condition::DaysOfSupply { least, most, .. }
            | Condition::OldestAge { least, most, .. }
            | Condition::Fullness { least, most, .. }
            | Condition::MinutesLeft { least, most } => (least, most),
            _ => (0.0, 0.0),
        };
        let slack = |bound: f64| SLACK * bound.abs().max(1.0);
        Self { condition, least: least - slack(least), most: most + slack(most) }
    }

    fn within(&self, x: f64) -> bool {
        x >= self.least && x <= self.most
    }
}

/// How often a rule has fired lately.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct RuleState {
    week: u32,
    this_week: u32,
    last_day: Option<u32>,
    /// What it took on that day, kg.
    kg_today: f64,
}

/// A rule fires no more often than this in one session, whatever it says.
const MOST_FIRINGS: u32 = 100;

impl Trial<'_> {
    pub(super) fn kitchen(&mut self, luck: &super::Luck, see: &mut impl FnMut(Moment, &Self)) {
        if self.info.away {
            return self.while_away(luck, see);
        }
        let plan = self.plan;
        let minutes =
            plan.household.kitchen_minutes[usize::from(self.info.month)][usize::from(self.info.weekday)];
        self.minutes_left = minutes;
        for r in 0..plan.rules.len() {
            let mut fired = 0;
            let why = loop {
                if fired >= MOST_FIRINGS {
                    break Blocked::Limit;
                }
                match self.may(r, fired).and_then(|()| self.act(luck, r)) {
                    Ok(did) => {
                        fired += 1;
                        self.minutes_left -= did.minutes;
                        self.note_fired(r, did.kg);
                    }
                    Err(why) => break why,
                }
            };
            let tally = &mut self.rules[r];
            if fired > 0 {
                tally.days_fired += 1;
            } else {
                tally.blocked[why as usize] += 1;
            }
            see(Moment::Rule(r), self);
        }
        self.today.kitchen_minutes = minutes - self.minutes_left;
        self.keep_starters();
    }

    /// While the family is away whoever milks keeps to what the rules say of the
    /// animals; nothing else is done.
    fn while_away(&mut self, luck: &super::Luck, see: &mut impl FnMut(Moment, &Self)) {
        for r in 0..self.plan.rules.len() {
            if !is_of_an_animal(&self.plan.rules[r].action) {
                continue;
            }
            match self.may(r, 0).and_then(|()| self.act(luck, r)) {
                Ok(did) => {
                    self.note_fired(r, did.kg);
                    self.rules[r].days_fired += 1;
                }
                Err(why) => self.rules[r].blocked[why as usize] += 1,
            }
            see(Moment::Rule(r), self);
        }
    }

    fn note_fired(&mut self, r: usize, kg: f64) {
        let week = self.week;
        let state = &mut self.rule_state[r];
        if state.week != week {
            *state = RuleState { week, this_week: 0, ..*state };
        }
        state.this_week += 1;
        state.kg_today = kg + if state.last_day == Some(self.day) { state.kg_today } else { 0.0 };
        state.last_day = Some(self.day);
        self.rules[r].fired += 1;
        self.rules[r].kg += kg;
    }

    /// The first reason against firing, in the order day, phase, stock, age,
    /// fullness, limit, minutes.
    fn may(&self, r: usize, fired: u32) -> Result<(), Blocked> {
        let asks = &self.asks[r];
        if asks.weekdays >> self.info.weekday & 1 == 0 {
            return Err(Blocked::Day);
        }
        for test in &asks.before_limits {
            self.holds(test)?;
        }
        self.limited(asks, r, fired)?;
        for test in &asks.after_limits {
            self.holds(test)?;
        }
        Ok(())
    }

    fn limited(&self, asks: &Asks, r: usize, fired: u32) -> Result<(), Blocked> {
        let state = &self.rule_state[r];
        let this_week = if state.week == self.week { state.this_week } else { 0 };
        let too_soon = state
            .last_day
            .is_some_and(|last| self.day < last.saturating_add(asks.every_days) && last != self.day);
        let over = fired >= asks.a_day || this_week >= asks.per_week || too_soon;
        if over { Err(Blocked::Limit) } else { Ok(()) }
    }

    fn holds(&self, test: &Test) -> Result<(), Blocked> {
        let ok = match test.condition {
            Condition::Season { from, until } => {
                let d = self.info.day_of_year;
                if from <= until { d >= from && d <= until } else { d >= from || d <= until }
            }
            Condition::Dates { from, until } => self.day >= from && self.day <= until,
            Condition::SinceFreshening { animal, .. } => {
                let since = self.of(animal).iter().map(|a| a.days_in_milk(self.day) - 1);
                since.filter(|&d| d >= 0).min().is_some_and(|d| test.within(f64::from(d)))
            }
            Condition::ToDryOff { animal, .. } => {
                let milked = self.of(animal).iter().filter(|a| a.in_milk(self.day));
                let to = milked.map(|a| a.days_to_dry_off(self.day)).min();
                to.is_some_and(|d| test.within(f64::from(d)))
            }
            Condition::DryWeeks { within } => self.dry_today == within,
            Condition::Stock { items, .. } => test.within(self.larder.stock_mask(items)),
            Condition::Jars { items, .. } => test.within(self.jars_of(items)),
            Condition::DaysOfSupply { wish, .. } => test.within(self.days_of_supply(wish)),
            Condition::OldestAge { items, .. } => match self.larder.oldest(items) {
                Some(drawn) => test.within(self.larder.now - drawn),
                None => return Err(Blocked::Stock),
            },
            Condition::StockOrAge { items, least_kg, older_than } => {
                let stock = self.larder.stock_mask(items);
                let old =
                    || self.larder.oldest(items).is_some_and(|d| self.larder.now - d >= older_than - SLACK);
                stock > CRUMB && (stock >= least_kg * (1.0 - SLACK) || old())
            }
            Condition::Fullness { store, .. } => test.within(self.larder.fullness(store)),
            Condition::MinutesLeft { .. } => test.within(self.minutes_left),
        };
        if ok { Ok(()) } else { Err(reason(&test.condition)) }
    }

    /// One animal, or all of them.
    fn of(&self, animal: Option<u16>) -> &[super::herd::Animal] {
        animal.map_or(&self.herd[..], |a| self.herd.get(usize::from(a)..=usize::from(a)).unwrap_or(&[]))
    }

    /// Stock of a set of items in jars of the main size.
    fn jars_of(&self, items: ItemMask) -> f64 {
        let Some(main) = self.plan.jars.first() else { return 0.0 };
        let mut litres = 0.0;
        for item in items_of(items) {
            litres += self.larder.stock(item) / self.plan.items[item.at()].density;
        }
        litres / main.working_l
    }

    fn days_of_supply(&self, wish: Option<u16>) -> f64 {
        let (stock, a_day) = match wish {
            None => (self.drinking_stock(), self.drink_a_day()),
            Some(w) => {
                let wish = &self.plan.household.wishes[usize::from(w)];
                let a_day = if wish.at_least_kg > 0.0 { wish.at_least_kg } else { wish.gladly_kg } / 7.0;
                (wish.items.iter().map(|&i| self.larder.stock(i)).sum(), a_day)
            }
        };
        if a_day > 0.0 { stock / a_day } else { f64::INFINITY }
    }

    fn act(&mut self, luck: &super::Luck, r: usize) -> Result<Fired, Blocked> {
        let rule = &self.plan.rules[r];
        let did = |kg: f64| if kg > CRUMB { Ok(Fired { kg, minutes: 0.0 }) } else { Err(Blocked::Stock) };
        match rule.action {
            Action::Skim { after_hours, depth, apart, minutes_per_jar } => {
                let kept = rule.keep_back_kg + self.aside();
                self.skim(after_hours, depth, apart, minutes_per_jar, kept)
            }
            Action::Make { recipe, batch_kg } => self.make(luck, recipe, batch_kg, rule.keep_back_kg),
            Action::Move { item, to, most_kg } => {
                // What stands there already is neither moved nor kept back.
                let store = self.plan.places[to.at()].store;
                let here = |p: PlaceId| self.plan.places[p.at()].is_of(store);
                let other = items_of(rule.keep_back_of & !(1 << item.0));
                let beside = self.larder.stock_beside(item, here);
                let all = other.map(|i| self.larder.stock_beside(i, here)).sum::<f64>() + beside;
                let beside = beside.min(all - rule.keep_back_kg);
                let most_kg = self.left_of(r, most_kg)?;
                if beside <= CRUMB {
                    return Err(Blocked::Stock);
                }
                // The roomiest shelves first, then the other shelves of that store.
                let most = beside.min(most_kg);
                let mut kg = 0.0;
                let others =
                    (0..self.plan.places.len()).map(|p| PlaceId(p as u8)).filter(|&p| p != to && here(p));
                for p in std::iter::once(to).chain(others) {
                    kg += self.larder.shift(item, |p| !here(p), p, most - kg);
                }
                if kg > CRUMB { did(kg) } else { Err(Blocked::JarsOrRoom) }
            }
            Action::Feed { item, most_kg } => {
                let spare = self.spare(item, rule).min(self.left_of(r, most_kg)?);
                if spare <= CRUMB {
                    return Err(Blocked::Stock);
                }
                let kg = self.feed(item, spare, Choice::ANY);
                let hungry = if self.is_taken_today(item) { Blocked::Limit } else { Blocked::Phase };
                if kg > CRUMB { did(kg) } else { Err(hungry) }
            }
            Action::Dump { item, most_kg } => {
                let spare = self.spare(item, rule).min(self.left_of(r, most_kg)?);
                did(self.pour_out(item, spare, Choice::ANY, Some(WasteCause::PouredOut)))
            }
            Action::HandOut { item, most_kg } => {
                let spare = self.spare(item, rule).min(self.left_of(r, most_kg)?);
                if spare <= CRUMB {
                    return Err(Blocked::Stock);
                }
                self.hand_out_extra(item, spare)
            }
            Action::Buy { buy, kg } => self.buy_for_store(buy, kg),
            Action::DryOff { .. }
            | Action::CalfOn { .. }
            | Action::OnceADay { .. }
            | Action::ShutIn { .. }
            | Action::End { .. } => self.begin_tomorrow(&rule.action),
        }
    }

    /// Stock of an item beyond what is kept back: by the rule, and the next
    /// day's drinking.
    fn spare(&self, item: ItemId, rule: &RulePlan) -> f64 {
        let own = self.larder.stock(item) - self.aside_of(item);
        // What is kept back of a group is kept of it once.
        let others = items_of(rule.keep_back_of & !(1 << item.0));
        let group = others.map(|i| self.larder.stock(i) - self.aside_of(i)).sum::<f64>() + own;
        let mut spare = own.min(group - rule.keep_back_kg);
        if self.is_drunk(item) {
            spare = spare.min(self.spare_drinking());
        }
        spare.max(0.0)
    }

    /// What is left of an amount, of which the rules of the same group have
    /// taken their part today.
    fn left_of(&self, r: usize, most_kg: f64) -> Result<f64, Blocked> {
        let group = r.saturating_sub(usize::from(self.plan.rules[r].behind))..r;
        let today = self.rule_state[group].iter().filter(|s| s.last_day == Some(self.day));
        let left = most_kg - today.map(|s| s.kg_today).sum::<f64>();
        if left > CRUMB { Ok(left) } else { Err(Blocked::Limit) }
    }

    /// What takes effect next morning: calf on, once a day, dry off.
    pub(super) fn begin_tomorrow(&mut self, action: &Action) -> Result<Fired, Blocked> {
        let plan = self.plan;
        let day = self.day;
        let ok = match *action {
            Action::DryOff { animal } => {
                let at = usize::from(animal);
                plan.animals.get(at).zip(self.herd.get_mut(at)).is_some_and(|(p, a)| a.dry_off(day, p))
            }
            Action::CalfOn { animal, days } => {
                let at = usize::from(animal);
                plan.animals
                    .get(at)
                    .zip(self.herd.get_mut(at))
                    .is_some_and(|(p, a)| a.leave_calf_on(day, days, p))
            }
            Action::OnceADay { animal, days } => {
                let at = usize::from(animal);
                plan.animals
                    .get(at)
                    .zip(self.herd.get_mut(at))
                    .is_some_and(|(p, a)| a.milk_once(day, days, p))
            }
            Action::ShutIn { animal, apart, days } => {
                let at = usize::from(animal);
                plan.animals
                    .get(at)
                    .zip(self.herd.get_mut(at))
                    .is_some_and(|(p, a)| a.shut_calf_in(day, apart, days, p))
            }
            Action::End { animal, what } => {
                let at = usize::from(animal);
                plan.animals.get(at).zip(self.herd.get_mut(at)).is_some_and(|(p, a)| match what {
                    Ending::Calf => a.take_calf(day, p),
                    Ending::OnceADay => a.milk_twice(day),
                })
            }
            _ => false,
        };
        if ok { Ok(Fired { kg: 0.0, minutes: 0.0 }) } else { Err(Blocked::Phase) }
    }
}

/// What is done to an animal or her young.
const fn is_of_an_animal(action: &Action) -> bool {
    matches!(
        action,
        Action::DryOff { .. }
            | Action::CalfOn { .. }
            | Action::OnceADay { .. }
            | Action::ShutIn { .. }
            | Action::End { .. }
    )
}

/// The items of a set.
fn items_of(mut items: ItemMask) -> impl Iterator<Item = ItemId> {
    std::iter::from_fn(move || {
        let item = (items != 0).then(|| ItemId(items.trailing_zeros() as u8));
        items &= items.wrapping_sub(1);
        item
    })
}

/// The reason a condition gives when it does not hold.
pub(super) const fn reason(condition: &Condition) -> Blocked {
    match condition {
        Condition::Season { .. }
        | Condition::Dates { .. }
        | Condition::SinceFreshening { .. }
        | Condition::ToDryOff { .. }
        | Condition::DryWeeks { .. } => Blocked::Phase,
        Condition::Stock { .. }
        | Condition::Jars { .. }
        | Condition::DaysOfSupply { .. }
        | Condition::StockOrAge { .. } => Blocked::Stock,
        Condition::OldestAge { .. } => Blocked::Age,
        Condition::Fullness { .. } => Blocked::Fullness,
        Condition::MinutesLeft { .. } => Blocked::Minutes,
    }
}
