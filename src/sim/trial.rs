//! One trial, day by day.

use super::DayLog;
use super::feed::{Keep, keeps};
use super::herd::{Animal, DayMilk, Weather};
use super::kitchen::{Asks, RuleState};
use super::larder::{CRUMB, Larder};
use super::ledger::Ledger;
use super::luck::Luck;
use super::milking::Colostrum;
use super::outage::Power;
use super::outcome::{DayMeasure, Fate, Outcome, RuleTally, WantTally};
use super::shares::Shares;
use super::table::{OpenJar, drunk, has_guests, mean_drinking};
use super::trade::Trade;
use super::upkeep::Thrown;
use super::watch::Moment;
use super::workshop::Workshop;
use crate::scenario::plan::{DayInfo, ItemId, ItemMask, PlaceKind, Plan, fixed};

/// What a day adds up to.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Today {
    pub drawn: f64,
    pub fetched: f64,
    pub drink_wanted: f64,
    pub drink_served: f64,
    pub wishes_served: f64,
    pub fed: f64,
    pub kitchen_minutes: f64,
    pub chore_minutes: f64,
    pub cold_wanted: f64,
    pub cold_used: f64,
    pub jars_wanted: f64,
    pub jars_used: u32,
    pub over_full: bool,
    pub milk_short: bool,
    pub share_short: bool,
    pub sick: bool,
}

/// The state of one trial; reused from trial to trial.
#[derive(Debug)]
pub struct Trial<'p> {
    pub(super) plan: &'p Plan,
    pub(super) larder: Larder<'p>,
    pub(super) ledger: Ledger,
    pub(super) herd: Vec<Animal>,
    pub(super) milk: Vec<DayMilk>,
    pub(super) colostrum: Vec<Colostrum>,
    pub(super) day: u32,
    pub(super) week: u32,
    pub(super) info: DayInfo,
    pub(super) today: Today,
    pub(super) minutes_left: f64,
    pub(super) open: Option<OpenJar>,
    pub(super) wants: Vec<WantTally>,
    /// This week's appetite for each wish, about 1.
    pub(super) week_factor: Vec<f64>,
    /// Days on which there are guests.
    pub(super) guests: Vec<bool>,
    pub(super) rules: Vec<RuleTally>,
    pub(super) rule_state: Vec<RuleState>,
    /// What each outlet takes of each of its items a day, one after the other.
    pub(super) caps: Vec<f64>,
    /// What is left of that today.
    pub(super) caps_left: Vec<f64>,
    pub(super) outlet_left: Vec<f64>,
    /// What each outlet is given without being asked, in order.
    pub(super) rounds: Vec<Vec<(ItemId, usize)>>,
    /// Who takes each item, in order: outlet, and which of the caps. An outlet
    /// that names an item twice counts once.
    pub(super) takers: Vec<Vec<(usize, usize)>>,
    pub(super) asks: Vec<Asks>,
    /// What the evening round leaves for table and kitchen.
    pub(super) keeps: Vec<Vec<Keep>>,
    /// What is drunk as milk, frozen milk left out.
    pub(super) drunk: ItemMask,
    pub(super) made: Vec<f64>,
    pub(super) made_into: f64,
    /// Mean drinking about each day, kg.
    pub(super) drink_by_day: Vec<f64>,
    /// Some place has a table of chilling.
    pub(super) chills: bool,
    /// There has been milk; there has been milk from the own animals.
    pub(super) milk_seen: bool,
    pub(super) home_milk_seen: bool,
    /// Day of the first freshening of the plan; negative before the run.
    pub(super) first_fresh: Option<i32>,
    pub(super) dry_today: bool,
    /// These are the first dry weeks.
    pub(super) first_spell: bool,
    /// Power and ice.
    pub(super) power: Power,
    pub(super) spell_hazard: f64,
    pub(super) spell_next: usize,
    pub(super) spell_until: f64,
    pub(super) hot_hazard: f64,
    pub(super) hot_next: usize,
    /// First day after the hot spell.
    pub(super) hot_until: u32,
    pub(super) break_hazard: f64,
    pub(super) break_next: usize,
    pub(super) workshop: Workshop,
    pub(super) shares: Shares,
    pub(super) trade: Trade,
    pub(super) thrown: Thrown,
    pub(super) out: Outcome,
}

impl<'p> Trial<'p> {
    /// Buffers for a plan.
    #[must_use]
    pub fn new(plan: &'p Plan) -> Self {
        let lists = plan.when_full.tonight.len() + plan.when_full.tomorrow.len();
        let mut takers = vec![Vec::new(); plan.items.len()];
        let mut rounds = vec![Vec::new(); plan.outlets.len()];
        let mut caps = Vec::new();
        for (o, outlet) in plan.outlets.iter().enumerate() {
            // Items of a group share one cap.
            let first = caps.len();
            for (&(item, cap), &of) in outlet.takes.iter().zip(&outlet.cap_of) {
                let at = first + of;
                if at == caps.len() {
                    caps.push(cap);
                }
                let list: &mut Vec<(usize, usize)> = &mut takers[item.at()];
                if list.last().is_none_or(|&(last, _)| last != o) {
                    list.push((o, at));
                    if outlet.by_itself >> item.0 & 1 == 1 {
                        rounds[o].push((item, at));
                    }
                }
            }
        }
        Self {
            plan,
            rounds,
            takers,
            asks: plan.rules.iter().map(Asks::of).collect(),
            larder: Larder::new(plan),
            ledger: Ledger::default(),
            herd: vec![Animal::default(); plan.animals.len()],
            milk: vec![DayMilk::default(); plan.animals.len()],
            colostrum: vec![Colostrum::default(); plan.animals.len()],
            day: 0,
            week: 0,
            info: DayInfo { weekday: 0, month: 0, day_of_year: 1, away: false },
            today: Today::default(),
            minutes_left: 0.0,
            open: None,
            wants: vec![WantTally::default(); plan.household.wishes.len() + 1],
            week_factor: vec![1.0; plan.household.wishes.len()],
            guests: (0..plan.days.len()).map(|day| has_guests(&plan.household.people, day)).collect(),
            rules: vec![RuleTally::default(); plan.rules.len() + lists],
            rule_state: vec![RuleState::default(); plan.rules.len()],
            caps_left: caps.clone(),
            caps,
            outlet_left: vec![0.0; plan.outlets.len()],
            keeps: keeps(plan),
            drunk: drunk(plan),
            made: vec![0.0; plan.items.len()],
            made_into: 0.0,
            drink_by_day: (0..plan.days.len())
                .map(|day| mean_drinking(&plan.household.people, day))
                .collect(),
            chills: plan.places.iter().any(|p| p.chill.is_some()),
            milk_seen: false,
            home_milk_seen: false,
            first_fresh: None,
            dry_today: false,
            first_spell: false,
            power: Power::new(plan.cold.machines.len()),
            spell_hazard: 0.0,
            spell_next: 0,
            spell_until: f64::NEG_INFINITY,
            hot_hazard: 0.0,
            hot_next: 0,
            hot_until: 0,
            break_hazard: 0.0,
            break_next: 0,
            workshop: Workshop::new(&plan.kitchen),
            shares: Shares::new(plan),
            thrown: Thrown::new(plan.items.len()),
            trade: Trade::new(plan),
            out: Outcome::default(),
        }
    }

    /// Runs a trial on its luck and leaves its days in `log`.
    pub fn run(&mut self, luck: &Luck, log: &mut DayLog) -> &Outcome {
        self.run_seen(luck, log, &mut |_, _| {})
    }

    /// The same, with somebody looking on after each moment.
    pub(super) fn run_seen(
        &mut self,
        luck: &Luck,
        log: &mut DayLog,
        see: &mut impl FnMut(Moment, &Self),
    ) -> &Outcome {
        self.begin(luck);
        for day in 0..self.plan.days.len() {
            self.live(day, luck, log, see);
        }
        self.end();
        &self.out
    }

    fn begin(&mut self, luck: &Luck) {
        self.larder.reset();
        self.ledger.reset();
        self.wants.fill(WantTally::default());
        self.rules.fill(RuleTally::default());
        self.rule_state.fill(RuleState::default());
        self.made.fill(0.0);
        self.made_into = 0.0;
        self.open = None;
        self.milk_seen = false;
        self.home_milk_seen = false;
        self.first_fresh = None;
        self.dry_today = false;
        self.first_spell = false;
        let ice = self.plan.cold.soak.as_ref().and_then(|s| s.ice.as_ref());
        self.power.reset(ice.map_or(0.0, |i| i.kept_kg));
        self.spell_hazard = 0.0;
        self.spell_next = 0;
        self.spell_until = f64::NEG_INFINITY;
        (self.hot_hazard, self.hot_next, self.hot_until) = (0.0, 0, 0);
        self.break_hazard = 0.0;
        self.break_next = 0;
        self.workshop.reset();
        self.shares.reset();
        self.trade.reset();
        self.thrown.reset();
        self.out.clear();
        for ((a, plan), own) in self.herd.iter_mut().zip(&self.plan.animals).zip(&luck.animals) {
            *a = Animal::begin(plan, luck, own);
            if a.fresh < 0 && a.is_here(0) {
                self.first_fresh = Some(self.first_fresh.map_or(a.fresh, |f| f.min(a.fresh)));
            }
        }
        self.open_house(luck);
    }

    /// One day, in its order: morning milking,
    /// kitchen, pick-ups, meals, evening milking, night.
    fn live(&mut self, day: usize, luck: &Luck, log: &mut DayLog, see: &mut impl FnMut(Moment, &Self)) {
        let hours = self.plan.hours;
        let start = day as f64;
        self.dawn(day, luck);
        see(Moment::Dawn, self);
        let wasted_before = self.ledger.wasted();
        self.until(start, hours.morning);
        see(Moment::Passed, self);
        self.milking(0, luck);
        see(Moment::Milked { evening: false }, self);
        self.make_room();
        see(Moment::Room, self);
        self.feed_young();
        see(Moment::Young, self);
        self.until(start, hours.kitchen);
        see(Moment::Passed, self);
        self.kitchen(luck, see);
        self.until(start, hours.pick_ups);
        see(Moment::Passed, self);
        self.fetch(luck);
        self.feed_young();
        see(Moment::Fetched, self);
        self.pick_ups(luck);
        see(Moment::PickUps, self);
        self.hand_out_spare();
        see(Moment::Spare, self);
        self.until(start, hours.meals);
        see(Moment::Passed, self);
        self.meals(luck, see);
        self.make_room();
        see(Moment::Room, self);
        self.until(start, hours.evening);
        see(Moment::Passed, self);
        self.evening_feed();
        see(Moment::Round, self);
        self.wash_up(luck);
        see(Moment::Washed, self);
        self.milking(1, luck);
        see(Moment::Milked { evening: true }, self);
        self.make_room();
        see(Moment::Room, self);
        self.plan_tomorrow();
        see(Moment::Tomorrow, self);
        self.count_unfed_young();
        self.pass(start + 1.0);
        self.close_day(day, wasted_before, log);
        see(Moment::Over, self);
    }

    /// Lets time pass until an hour of the day, and finds what has spoilt or
    /// become ready by then.
    fn until(&mut self, start: f64, hour: f64) {
        self.pass(start + hour / 24.0);
        self.spoil();
    }

    fn dawn(&mut self, day: usize, luck: &Luck) {
        self.day = day as u32;
        self.info = self.plan.days[day];
        // Weeks begin on Mondays, so that a week's limit is a calendar week's.
        let first = u32::from(self.plan.days[0].weekday);
        self.week = (self.day + first) / 7;
        if day == 0 || self.info.weekday == 0 {
            self.begin_week(luck);
        }
        self.today = Today::default();
        self.larder.begin_day(self.info.month);
        self.begin_feeding();
        let hot = self.hot_spells(luck);
        self.out.hot_days += u32::from(hot);
        let weather = Weather { month: self.info.month, hot };
        let last = day + 1 == self.plan.days.len();
        let heat = self.plan.heat.map_or(0.0, |h| {
            let months = if hot { h.hot } else { h.usual };
            months[usize::from(self.info.month) % 12]
        });
        let mut in_milk = false;
        for (i, a) in self.herd.iter_mut().enumerate() {
            let (plan, own) = (&self.plan.animals[i], &luck.animals[i]);
            self.out.sick_cases += a.wake(self.day, plan, luck, own);
            self.out.heat_days += if a.in_milk(self.day) { heat } else { 0.0 };
            self.milk[i] = a.milk(self.day, weather, plan, luck, own);
            let m = &self.milk[i];
            // A sick cow is no dry one; colostrum is nobody's milk yet.
            in_milk |= !m.withheld && m.morning.mass + m.evening.mass > CRUMB;
            self.out.sick_days += u32::from(m.ill && !m.withheld && m.morning.mass + m.evening.mass > CRUMB);
            let fresh = a.days_in_milk(self.day) == 1;
            self.colostrum[i].newborn_kg = plan.course.colostrum.newborn_kg;
            if fresh || self.day == 0 {
                let mine = &mut self.colostrum[i];
                // A newborn has had the last one's, or it is thrown out for fresh.
                if let (Some(place), true) = (mine.frozen_in.take(), self.day > 0) {
                    self.larder.clear_apart(place, mine.frozen_l);
                }
                (mine.frozen_l, mine.frozen_kg) = (0.0, plan.course.colostrum.frozen_kg);
            }
            self.out.freshenings += u32::from(fresh);
            self.out.freshened_again += u32::from(fresh && a.has_freshened_again());
            self.out.not_settled += u32::from(a.gives_up(self.day) || (last && a.is_left_open(self.day)));
            if a.begins(self.day) {
                self.first_fresh.get_or_insert(self.day as i32);
            }
        }
        self.dry_today = self.home_milk_seen && !in_milk;
        self.begin_trade();
        if self.dry_today {
            self.out.dry_days += 1;
            if self.out.first_dry_day.is_none() {
                self.out.first_dry_day = Some(self.day);
                self.note_laid_down();
            }
        }
        self.first_spell = self.dry_today && (self.first_spell || self.out.first_dry_day == Some(self.day));
        self.spells(luck);
        self.dawn_of_power(luck);
    }

    fn close_day(&mut self, day: usize, wasted_before: f64, log: &mut DayLog) {
        debug_assert!(self.larder.jars_balance(), "a jar was lost");
        let t = self.today;
        let freezer = self.larder.used_l(PlaceKind::Freezer);
        let ageing = self.larder.used_l(PlaceKind::Ageing);
        let o = &mut self.out;
        o.cold_wanted_l = o.cold_wanted_l.max(t.cold_wanted);
        o.cold_used_l = o.cold_used_l.max(t.cold_used);
        o.jars_wanted = o.jars_wanted.max(t.jars_wanted);
        o.jars_used = o.jars_used.max(t.jars_used);
        o.freezer_used_l = o.freezer_used_l.max(freezer);
        o.ageing_used_l = o.ageing_used_l.max(ageing);
        o.days_over_full += u32::from(t.over_full);
        o.chore_minutes += t.chore_minutes;
        o.kitchen_minutes += t.kitchen_minutes;
        o.busiest_minutes = o.busiest_minutes.max(t.chore_minutes + t.kitchen_minutes);
        let cream = self.larder.stock(fixed::TOP_CREAM)
            + self.larder.stock(fixed::MIDDLE_CREAM)
            + self.larder.stock(fixed::THIN_CREAM);
        let (row, stocks) = log.row(day);
        let mut set = |m: DayMeasure, v: f64| row[m as usize] = v as f32;
        set(DayMeasure::Drawn, t.drawn);
        set(DayMeasure::Fetched, t.fetched);
        set(DayMeasure::DrinkWanted, t.drink_wanted);
        set(DayMeasure::DrinkServed, t.drink_served);
        set(DayMeasure::WishesServed, t.wishes_served);
        set(DayMeasure::Fed, t.fed);
        set(DayMeasure::Wasted, self.ledger.wasted() - wasted_before);
        set(DayMeasure::ColdWanted, t.cold_wanted);
        set(DayMeasure::ColdUsed, t.cold_used);
        set(DayMeasure::JarsUsed, f64::from(t.jars_used));
        set(DayMeasure::FreezerUsed, freezer);
        set(DayMeasure::AgeingUsed, ageing);
        set(DayMeasure::WholeStock, self.larder.stock(fixed::WHOLE));
        set(DayMeasure::SkimmedStock, self.larder.stock(fixed::SKIMMED));
        set(DayMeasure::CreamStock, cream);
        set(DayMeasure::SourStock, self.larder.stock(fixed::SOUR_MILK));
        set(DayMeasure::ChoreMinutes, t.chore_minutes);
        set(DayMeasure::KitchenMinutes, t.kitchen_minutes);
        set(DayMeasure::OverFull, f64::from(u8::from(t.over_full)));
        set(DayMeasure::MilkShort, f64::from(u8::from(t.milk_short)));
        set(DayMeasure::ShareShort, f64::from(u8::from(t.share_short)));
        set(DayMeasure::Sick, f64::from(u8::from(t.sick)));
        for (v, wish) in stocks.iter_mut().zip(&self.plan.household.wishes) {
            *v = wish.items.iter().map(|&i| self.larder.stock(i)).sum::<f64>() as f32;
        }
    }

    fn end(&mut self) {
        self.note_made();
        self.ledger.went(Fate::Film, self.larder.film);
        self.ledger.went(Fate::InStore, self.larder.everything());
        let o = &mut self.out;
        o.sources = self.ledger.sources;
        o.fates = self.ledger.fates;
        o.closure = self.ledger.closure();
        o.wants.clone_from(&self.wants);
        o.rules.clone_from(&self.rules);
        o.made.clone_from(&self.made);
        o.made_into_products = self.made_into;
        self.end_trade();
    }
}

impl Outcome {
    /// Back to the start of a trial; keeps the buffers.
    fn clear(&mut self) {
        let (wants, rules, made) = (
            std::mem::take(&mut self.wants),
            std::mem::take(&mut self.rules),
            std::mem::take(&mut self.made),
        );
        let traded = std::mem::take(&mut self.traded).cleared();
        *self = Self { wants, rules, made, traded, ..Self::default() };
    }
}
