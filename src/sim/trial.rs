//! One trial, day by day.

use super::DayLog;
use super::herd::{Animal, DayMilk};
use super::kitchen::{Asks, RuleState};
use super::larder::{CRUMB, Choice, Larder, Parcel};
use super::ledger::{Ledger, fate_of};
use super::luck::Luck;
use super::outcome::{DayMeasure, Fate, Outcome, RuleTally, Source, WantTally};
use super::table::{OpenJar, has_guests, mean_drinking};
use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{Action, DayInfo, ItemId, PlaceId, PlaceKind, Plan, WasteCause, fixed};

/// Hours a milking takes: the chilling rules count from its start and its end.
const MILKING_HOURS: f64 = 0.5;
/// The dairies' chilling rule: 10 °C within 4 h of the start of milking and
/// 7 °C within 2 h of its end (US Grade A Pasteurized Milk Ordinance, item 18r).
const RULE_10C_HOURS: f64 = 4.0;
const RULE_7C_HOURS: f64 = 2.0;

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
}

/// The state of one trial; reused from trial to trial.
#[derive(Debug)]
pub struct Trial<'p> {
    pub(super) plan: &'p Plan,
    pub(super) larder: Larder<'p>,
    pub(super) ledger: Ledger,
    pub(super) herd: Vec<Animal>,
    milk: Vec<DayMilk>,
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
    pub(super) rounds: Vec<Vec<ItemId>>,
    /// Who takes each item, in order: outlet, and which of the caps. An outlet
    /// that names an item twice counts once.
    pub(super) takers: Vec<Vec<(usize, usize)>>,
    pub(super) asks: Vec<Asks>,
    /// Kg of each item that the evening round leaves for table and kitchen.
    pub(super) kept_for_table: Vec<f64>,
    pub(super) made: Vec<f64>,
    pub(super) made_into: f64,
    pub(super) drink_a_day: f64,
    pub(super) milk_seen: bool,
    pub(super) dry_today: bool,
    spell_hazard: f64,
    spell_next: usize,
    spell_until: f64,
    break_hazard: f64,
    break_next: usize,
    out: Outcome,
}

impl<'p> Trial<'p> {
    /// Buffers for a plan.
    #[must_use]
    pub fn new(plan: &'p Plan) -> Self {
        let lists = plan.when_full.tonight.len() + plan.when_full.tomorrow.len();
        let mut kept_for_table = vec![0.0; plan.items.len()];
        for wish in &plan.household.wishes {
            for item in &wish.items {
                kept_for_table[item.at()] += wish.gladly_kg.max(wish.at_least_kg);
            }
        }
        // What a rule may still make something of is not fed away in the evening:
        // a smallest batch of whey, soured cream and the like stays.
        for rule in &plan.rules {
            let Action::Make { recipe, .. } = rule.action else { continue };
            let recipe = &plan.recipes[recipe.at()];
            for input in &recipe.inputs {
                for item in input.items.iter().filter(|i| !plan.items[i.at()].sweet) {
                    kept_for_table[item.at()] += recipe.least_kg * input.per_kg;
                }
            }
        }
        let mut takers = vec![Vec::new(); plan.items.len()];
        let mut caps = Vec::new();
        for (o, outlet) in plan.outlets.iter().enumerate() {
            for &(item, cap) in &outlet.takes {
                let list: &mut Vec<(usize, usize)> = &mut takers[item.at()];
                if list.last().is_none_or(|&(last, _)| last != o) {
                    list.push((o, caps.len()));
                }
                caps.push(cap);
            }
        }
        Self {
            plan,
            rounds: plan
                .outlets
                .iter()
                .map(|o| o.takes.iter().map(|t| t.0).filter(|i| o.by_itself >> i.0 & 1 == 1).collect())
                .collect(),
            takers,
            asks: plan.rules.iter().map(Asks::of).collect(),
            larder: Larder::new(plan),
            ledger: Ledger::default(),
            herd: vec![Animal::default(); plan.animals.len()],
            milk: vec![DayMilk::default(); plan.animals.len()],
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
            kept_for_table,
            made: vec![0.0; plan.items.len()],
            made_into: 0.0,
            drink_a_day: mean_drinking(&plan.household.people),
            milk_seen: false,
            dry_today: false,
            spell_hazard: 0.0,
            spell_next: 0,
            spell_until: f64::NEG_INFINITY,
            break_hazard: 0.0,
            break_next: 0,
            out: Outcome::default(),
        }
    }

    /// Runs a trial on its luck and leaves its days in `log`.
    pub fn run(&mut self, luck: &Luck, log: &mut DayLog) -> &Outcome {
        self.begin(luck);
        for day in 0..self.plan.days.len() {
            self.live(day, luck, log);
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
        self.dry_today = false;
        self.spell_hazard = 0.0;
        self.spell_next = 0;
        self.spell_until = f64::NEG_INFINITY;
        self.break_hazard = 0.0;
        self.break_next = 0;
        self.out.clear();
        for ((a, plan), own) in self.herd.iter_mut().zip(&self.plan.animals).zip(&luck.animals) {
            *a = Animal::begin(plan, luck, own);
        }
    }

    /// One day, in its order: morning milking,
    /// kitchen, pick-ups, meals, evening milking, night.
    fn live(&mut self, day: usize, luck: &Luck, log: &mut DayLog) {
        let hours = self.plan.hours;
        let start = day as f64;
        self.dawn(day, luck);
        let wasted_before = self.ledger.wasted();
        self.larder.advance(start + hours.morning / 24.0);
        self.spoil();
        self.milking(0, luck);
        self.make_room();
        self.larder.advance(start + hours.kitchen / 24.0);
        self.kitchen(luck);
        self.larder.advance(start + (hours.meals - 1.0).max(hours.kitchen) / 24.0);
        self.fetch(luck);
        self.larder.advance(start + hours.meals / 24.0);
        self.settle();
        self.meals(luck);
        self.make_room();
        self.larder.advance(start + hours.evening / 24.0);
        self.evening_feed();
        self.wash_up(luck);
        self.milking(1, luck);
        self.make_room();
        self.plan_tomorrow();
        self.larder.advance(start + 1.0);
        self.close_day(day, wasted_before, log);
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
        let mut in_milk = false;
        for (i, a) in self.herd.iter_mut().enumerate() {
            let (plan, own) = (&self.plan.animals[i], &luck.animals[i]);
            a.wake(self.day, plan, luck, own);
            self.milk[i] = a.milk(self.day, plan, luck, own);
            let m = &self.milk[i];
            in_milk |= !m.withheld && m.morning.mass + m.evening.mass > CRUMB;
            if a.days_in_milk(self.day) == 1 {
                self.out.freshened.get_or_insert(self.day as i32);
            }
        }
        self.dry_today = self.milk_seen && !self.plan.animals.is_empty() && !in_milk;
        if self.dry_today {
            self.out.dry_days += 1;
            self.out.first_dry_day.get_or_insert(self.day);
        }
        self.spells(luck);
    }

    /// Spells of contamination begin when the hazard passes a threshold.
    fn spells(&mut self, luck: &Luck) {
        let k = &self.plan.keeping;
        if luck.steady || k.spell_rate <= 0.0 {
            return;
        }
        let early = self.early(k.spell_early_days);
        self.spell_hazard += k.spell_rate * if early { k.spell_early_factor } else { 1.0 };
        while let Some(&[gap, length]) = luck.spells[self.spell_next..].first_chunk::<2>() {
            if self.spell_hazard < gap {
                break;
            }
            self.spell_hazard -= gap;
            self.spell_until = self.spell_until.max(f64::from(self.day) + k.spell_days * length);
            self.spell_next += 2;
        }
    }

    /// Within so many days of the first freshening.
    fn early(&self, days: u32) -> bool {
        self.out.freshened.is_some_and(|f| (self.day as i32 - f) < days as i32)
    }

    /// One milking (0 morning, 1 evening): pails, losses, jars, chilling.
    fn milking(&mut self, which: usize, luck: &Luck) {
        let plan = self.plan;
        let mut pools =
            [(Species::Cow, Matter::NONE), (Species::Goat, Matter::NONE), (Species::Sheep, Matter::NONE)];
        let mut milked = false;
        for (m, a) in self.milk.iter().zip(&plan.animals) {
            if which == 0 {
                self.ledger.came(Source::Drawn, m.calf);
                self.ledger.went(Fate::Calf, m.calf);
            }
            if !m.milkings[which] {
                continue;
            }
            milked = true;
            let pail = if which == 0 { m.morning } else { m.evening };
            self.ledger.came(Source::Drawn, pail);
            if !self.info.away {
                self.today.chore_minutes += a.milking_minutes;
            }
            if m.withheld {
                self.ledger.went(Fate::Withheld, pail);
                continue;
            }
            for (s, pool) in &mut pools {
                if *s == a.species {
                    *pool += pail;
                }
            }
        }
        if !milked {
            return;
        }
        if !self.info.away {
            self.today.chore_minutes += plan.household.chore_minutes;
        }
        let at = 2 * self.day as usize + which;
        let spilled = luck.happens(self.spill_chance(), luck.spill[at]);
        let foul =
            f64::from(self.day) < self.spell_until && luck.happens(plan.keeping.spell_foul, luck.foul[at]);
        let life = plan.keeping.life_days * luck.factor(plan.keeping.life_log_sd, luck.life[at]);
        for (species, pail) in pools {
            if pail.mass <= 0.0 {
                continue;
            }
            self.today.drawn += pail.mass;
            if self.info.away {
                self.ledger.went(Fate::KeptByHelper, pail);
                continue;
            }
            self.milk_seen = true;
            if spilled {
                self.waste(Fate::WastedSpilled, pail);
                continue;
            }
            let film = pail * plan.losses.strainer;
            self.ledger.went(Fate::Film, film);
            let now = self.larder.now;
            let parcel = Parcel {
                item: fixed::WHOLE,
                matter: pail - film,
                drawn: now,
                rested: now,
                life: if foul { life * plan.keeping.foul_life_part } else { life },
                risen: 0.0,
                ready: now,
                ageing_loss: 0.0,
                day: self.day,
                species,
                foul,
            };
            let warm_l = parcel.matter.mass / plan.items[fixed::WHOLE.at()].density;
            let place = self.put_away(&parcel);
            self.chill(place, species, warm_l);
        }
        self.out.peak_kg = self.out.peak_kg.max(self.today.drawn);
    }

    fn spill_chance(&self) -> f64 {
        let k = &self.plan.keeping;
        if self.early(k.spell_early_days) { k.spill_early } else { k.spill }
    }

    /// Looks up how long the load takes to chill where it came to stand, and
    /// charges the warm hours to its life.
    fn chill(&mut self, place: Option<PlaceId>, species: Species, warm_l: f64) {
        let Some(place) = place else { return };
        let Some(table) = &self.plan.places[place.at()].chill else { return };
        let inside = (self.larder.jar_litres(place) - warm_l).max(0.0);
        let at = table.find(warm_l, inside);
        self.out.milkings += 1;
        self.out.chill_hours += table.value(&table.hours_to_4c, at);
        let to_10 = table.value(&table.hours_to_10c, at) + MILKING_HOURS;
        let to_7 = table.value(&table.hours_to_7c, at);
        self.out.chill_late += u32::from(to_10 > RULE_10C_HOURS || to_7 > RULE_7C_HOURS);
        let days = table.value(&table.life_days, at);
        self.larder.shorten(fixed::WHOLE, place, species, days);
    }

    /// Milk fetched from elsewhere arrives with the pick-ups.
    fn fetch(&mut self, luck: &Luck) {
        let plan = self.plan;
        let day = self.day as usize;
        for (f, own) in plan.fetches.iter().zip(&luck.fetches) {
            let due =
                f.weekdays >> self.info.weekday & 1 == 1 && self.day >= f.from_day && self.day <= f.until_day;
            if !due || self.info.away {
                continue;
            }
            self.today.chore_minutes += f.minutes;
            if luck.happens(f.fails, own.fails[day]) {
                continue;
            }
            let kg = f.kg * luck.factor(f.log_sd, own.amount[day]);
            let matter = Matter::milk(kg, f.fat, f.protein);
            self.ledger.came(Source::Fetched, matter);
            self.today.fetched += kg;
            self.milk_seen = true;
            let now = self.larder.now;
            let life = plan.keeping.life_days * luck.factor(plan.keeping.life_log_sd, own.life[day]);
            let foul = f64::from(self.day) < self.spell_until
                && luck.happens(plan.keeping.spell_foul, own.foul[day]);
            let life = if foul { life * plan.keeping.foul_life_part } else { life };
            let parcel = Parcel {
                item: fixed::WHOLE,
                matter,
                drawn: now - f.age_days,
                // The ride shook it: rising begins anew.
                rested: now,
                life: (life - f.age_days).max(0.0),
                risen: 0.0,
                ready: now,
                ageing_loss: 0.0,
                day: self.day,
                species: f.species,
                foul,
            };
            self.put_away(&parcel);
        }
    }

    /// What has reached the end of its life since yesterday; ageing that is done.
    fn spoil(&mut self) {
        self.settle();
        while let Some((item, place, lot)) = self.larder.next_due() {
            if lot.foul {
                self.larder.turn_foul(item, place, lot);
                continue;
            }
            let plan = &self.plan.items[item.at()];
            if let Some(next) = plan.turns_into {
                self.larder.become_item(next, place, lot);
                continue;
            }
            self.larder.empty_jars(&lot);
            // Past its time for people: animals that take it first.
            let to_animals = self.appetite(item).min(lot.matter.mass);
            let mut left = lot.matter;
            if to_animals > CRUMB && plan.byproduct {
                let fed = lot.matter * (to_animals / lot.matter.mass);
                self.serve_animals(item, fed);
                left -= fed;
            }
            self.throw_out(item, left, None);
        }
    }

    /// What has become ready to eat; ageing takes its water.
    fn settle(&mut self) {
        let lost = self.larder.settle();
        self.ledger.went(Fate::AgeingLoss, lost);
    }

    /// Puts a parcel away; what finds no clean jar is fed or wasted.
    pub(super) fn put_away(&mut self, parcel: &Parcel) -> Option<PlaceId> {
        let (left, place) = self.larder.put(parcel);
        if left.mass > 0.0 {
            let fed = self.appetite(parcel.item).min(left.mass);
            let part = left * (fed / left.mass);
            self.serve_animals(parcel.item, part);
            self.throw_out(parcel.item, left - part, Some(WasteCause::NoJar));
        }
        place
    }

    /// Books food as wasted.
    pub(super) fn waste(&mut self, fate: Fate, matter: Matter) {
        self.ledger.went(fate, matter);
    }

    /// Foul milk found on opening a jar.
    pub(super) fn found_foul(&mut self, matter: Matter) {
        if matter.mass > 0.0 {
            self.ledger.went(Fate::WastedFoul, matter);
        }
    }

    /// Books matter that leaves the house unused.
    fn throw_out(&mut self, item: ItemId, matter: Matter, cause: Option<WasteCause>) {
        let plan = &self.plan.items[item.at()];
        let fate =
            if plan.byproduct { Fate::ByproductPoured } else { fate_of(cause.unwrap_or(plan.spoils_as)) };
        self.ledger.went(fate, matter);
    }

    /// Pours out up to `kg` of an item, oldest first; returns the kg poured.
    pub(super) fn pour_out(
        &mut self,
        item: ItemId,
        kg: f64,
        choice: Choice,
        cause: Option<WasteCause>,
    ) -> f64 {
        let (food, foul) = self.larder.serve(item, kg, choice);
        self.found_foul(foul);
        self.throw_out(item, food, cause);
        food.mass + foul.mass
    }

    /// Washing up before the evening milking; jars may break.
    fn wash_up(&mut self, luck: &Luck) {
        if self.info.away {
            return;
        }
        let (washed, hazard) = self.larder.wash();
        self.today.chore_minutes += self.plan.household.jar_minutes * f64::from(washed);
        if !self.plan.outlets.is_empty() && self.today.fed > CRUMB {
            self.today.chore_minutes += self.plan.household.feeding_minutes;
        }
        if luck.steady {
            return;
        }
        self.break_hazard += hazard;
        while self.break_next < luck.jar_breaks.len() && self.break_hazard >= luck.jar_breaks[self.break_next]
        {
            self.break_hazard -= luck.jar_breaks[self.break_next];
            self.break_next += 1;
            self.out.jars_broken += u32::from(self.larder.break_jar());
        }
    }

    /// Room wanted, before any list has acted.
    pub(super) fn note_room(&mut self) {
        let used = self.larder.cold_used_l();
        let unplaced = if self.larder.has_unplaced() { self.larder.unplaced_l() } else { 0.0 };
        self.today.cold_wanted = self.today.cold_wanted.max(used + unplaced);
        self.today.jars_wanted = self.today.jars_wanted.max(self.larder.jars_wanted());
        self.note_used(used);
    }

    /// Room used.
    pub(super) fn note_used(&mut self, cold_l: f64) {
        self.today.cold_used = self.today.cold_used.max(cold_l);
        self.today.jars_used = self.today.jars_used.max(self.larder.jars_in_use());
    }

    fn close_day(&mut self, day: usize, wasted_before: f64, log: &mut DayLog) {
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
        for (v, wish) in stocks.iter_mut().zip(&self.plan.household.wishes) {
            *v = wish.items.iter().map(|&i| self.larder.stock(i)).sum::<f64>() as f32;
        }
    }

    fn end(&mut self) {
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
        *self = Self { wants, rules, made, ..Self::default() };
    }
}
