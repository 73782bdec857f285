//! One trial, day by day.

use super::asks::{Asks, barred};
use super::feed::{Keep, keeps};
use super::herd::{Animal, DayMilk, Weather};
use super::kitchen::RuleState;
use super::larder::{CRUMB, Larder};
use super::ledger::Ledger;
use super::luck::Luck;
use super::milking::{Colostrum, chilled};
use super::outage::Power;
use super::outcome::{Blocked, Outcome, RuleTally, WantTally};
use super::shares::Shares;
use super::table::{Asked, Company, OpenJar, drunk, mean_drinking};
use super::trade::Trade;
use super::upkeep::Thrown;
use super::workshop::Workshop;
use crate::scenario::plan::{DayInfo, ItemId, ItemMask, Plan};

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
    /// What each wish asks a day in this week and month.
    pub(super) asked: Vec<Asked>,
    /// Who drinks on each day.
    pub(super) company: Company,
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
    /// Why the calendar bars each rule, day by day.
    pub(super) barred: Vec<Option<Blocked>>,
    /// What the evening round leaves for table and kitchen.
    pub(super) keeps: Vec<Vec<Keep>>,
    /// What is drunk as milk, frozen milk left out.
    pub(super) drunk: ItemMask,
    pub(super) made: Vec<f64>,
    pub(super) made_into: f64,
    /// Mean drinking about each day, kg.
    pub(super) drink_by_day: Vec<f64>,
    /// Places with a table of chilling, store by store.
    pub(super) chilled: Vec<(usize, usize)>,
    /// Food wasted until yesterday, kg.
    pub(super) wasted: f64,
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
            barred: barred(plan),
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
            asked: vec![Asked::default(); plan.household.wishes.len()],
            company: Company::new(plan),
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
            chilled: chilled(plan),
            wasted: 0.0,
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

    pub(super) fn begin(&mut self, luck: &Luck) {
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
        self.wasted = self.ledger.wasted();
    }

    pub(super) fn dawn(&mut self, day: usize, luck: &Luck) {
        self.day = day as u32;
        let month = self.info.month;
        self.info = self.plan.days[day];
        // Weeks begin on Mondays, so that a week's limit is a calendar week's.
        let first = u32::from(self.plan.days[0].weekday);
        self.week = (self.day + first) / 7;
        if day == 0 || self.info.weekday == 0 {
            self.begin_week(luck);
        }
        if day == 0 || self.info.weekday == 0 || self.info.month != month {
            self.set_table();
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
}
