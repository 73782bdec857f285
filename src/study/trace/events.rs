//! What happened between two looks at a trial, from the differences of its
//! books. The matter of the events adds up to the books, whatever the cause.

use crate::dairy::matter::Matter;
use crate::scenario::plan::{Action, Condition, FullStep, ItemId, Plan, fixed};
use crate::sim::Outcome;
use crate::sim::outcome::{Blocked, FATES, Fate, RuleTally, SOURCES, Source, WantTally};
use crate::sim::watch::{Fullest, Moment, View};

/// Something that happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// Simulated day, from 0.
    pub day: u32,
    /// When on that day.
    pub moment: Moment,
    /// The rule that did it: the routine, tonight's list, the list from tomorrow.
    pub rule: Option<usize>,
    /// What.
    pub what: What,
    /// What moved, kg; nothing where nothing did.
    pub matter: Matter,
}

/// What an event is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// Came in.
    Came {
        /// From where.
        source: Source,
        /// The animal, where one animal gave it.
        animal: Option<usize>,
    },
    /// Ended somewhere.
    Went {
        /// Where.
        fate: Fate,
        /// What it was, where that is known.
        item: Option<ItemId>,
        /// Which of the animals that are fed had it, where that is known.
        outlet: Option<usize>,
        /// Which of the milked animals it came from, where that is known.
        animal: Option<usize>,
    },
    /// Turned into another item by itself (soured).
    Turned {
        /// From.
        from: ItemId,
        /// To.
        to: ItemId,
    },
    /// Taken out of store by a rule.
    Took(ItemId),
    /// Put into store by a rule.
    Made(ItemId),
    /// A rule worked so many times.
    Fired(u32),
    /// A rule did not work.
    Held {
        /// The first reason.
        why: Blocked,
        /// Of a stock, that there was too much and not too little.
        too_much: bool,
    },
    /// Less was served than was wanted, on a day that counts.
    Short {
        /// 0 is drinking milk, then the wishes.
        want: usize,
        /// Wanted, kg.
        wanted: f64,
    },
    /// Jars broke.
    Broke(u32),
}

/// A day as it ended.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayState {
    /// The family was away.
    pub away: bool,
    /// What was fullest.
    pub fullest: Fullest,
    /// Minutes of chores.
    pub chores: f64,
    /// Minutes of kitchen.
    pub kitchen: f64,
}

/// What stood in the books at the last look.
struct Books {
    sources: [Matter; SOURCES],
    fates: [Matter; FATES],
    stocks: Vec<Matter>,
    made: Vec<f64>,
    rules: Vec<RuleTally>,
    wants: Vec<WantTally>,
    appetites: Vec<f64>,
    broken: u32,
}

impl Books {
    fn of(plan: &Plan, view: &View) -> Self {
        Self {
            sources: view.sources(),
            fates: view.fates(),
            stocks: (0..plan.items.len()).map(|i| view.stock(ItemId(i as u8))).collect(),
            made: view.made().to_vec(),
            rules: view.rules().to_vec(),
            wants: view.wants().to_vec(),
            appetites: view.appetites().to_vec(),
            broken: view.jars_broken(),
        }
    }
}

/// A part of what went somewhere: its item, who had it, and how much of it
/// there was to go, for dividing.
#[derive(Clone, Copy)]
struct Portion {
    item: Option<ItemId>,
    outlet: Option<usize>,
    animal: Option<usize>,
    matter: Matter,
}

/// Turns looks into events.
pub(super) struct Watcher<'p> {
    plan: &'p Plan,
    /// Outlet and item of each appetite.
    takes: Vec<(usize, ItemId)>,
    books: Option<Books>,
    day: u32,
    events: Vec<Event>,
    days: Vec<DayState>,
}

impl<'p> Watcher<'p> {
    pub(super) fn new(plan: &'p Plan) -> Self {
        let takes = plan.outlets.iter().enumerate();
        Self {
            plan,
            takes: takes.flat_map(|(o, outlet)| outlet.takes.iter().map(move |t| (o, t.0))).collect(),
            books: None,
            day: 0,
            events: Vec::new(),
            days: Vec::new(),
        }
    }

    /// All events, what is in store at the end with them.
    pub(super) fn finish(mut self, outcome: &Outcome) -> (Vec<Event>, Vec<DayState>) {
        let stocks = self.books.as_ref().map(|b| b.stocks.clone()).unwrap_or_default();
        let portions = all(&stocks);
        self.divide(Moment::Over, Fate::InStore, outcome.fates[Fate::InStore as usize], &portions);
        (self.events, self.days)
    }

    /// Looks at the books after a moment.
    pub(super) fn look(&mut self, moment: Moment, view: &View) {
        let now = Books::of(self.plan, view);
        self.day = view.day();
        if self.books.is_none() && now.sources[Source::Opening as usize] != Matter::NONE {
            let what = What::Came { source: Source::Opening, animal: None };
            self.tell(moment, None, what, now.sources[Source::Opening as usize]);
        }
        // At dawn the appetites are new; the books are those of last night.
        if let (Some(before), false) = (self.books.take(), moment == Moment::Dawn) {
            self.compare(moment, view, &before, &now);
        }
        if moment == Moment::Over {
            let (chores, kitchen) = view.minutes();
            self.days.push(DayState { away: view.away(), fullest: view.fullest(), chores, kitchen });
        }
        self.books = Some(now);
    }

    fn tell(&mut self, moment: Moment, rule: Option<usize>, what: What, matter: Matter) {
        self.events.push(Event { day: self.day, moment, rule, what, matter });
    }

    fn compare(&mut self, moment: Moment, view: &View, before: &Books, now: &Books) {
        self.came(moment, view, before, now);
        let gone = match moment {
            Moment::Passed => self.turned(moment, before, now),
            Moment::Rule(r) => self.worked(moment, r, before, now),
            _ => differences(&before.stocks, &now.stocks),
        };
        for r in self.plan.rules.len()..now.rules.len() {
            self.verdict(moment, r, before, now);
        }
        for fate in Fate::ALL {
            let amount = now.fates[fate as usize] - before.fates[fate as usize];
            if amount != Matter::NONE {
                let portions = self.portions(fate, moment, view, before, now, &gone);
                self.divide(moment, fate, amount, &portions);
            }
        }
        for (want, (a, b)) in before.wants.iter().zip(&now.wants).enumerate() {
            if b.short_days > a.short_days {
                let served = b.served - a.served;
                let matter = Matter { mass: served, ..Matter::NONE };
                self.tell(moment, None, What::Short { want, wanted: b.wanted - a.wanted }, matter);
            }
        }
        if now.broken > before.broken {
            self.tell(moment, None, What::Broke(now.broken - before.broken), Matter::NONE);
        }
    }

    fn came(&mut self, moment: Moment, view: &View, before: &Books, now: &Books) {
        for source in Source::ALL {
            let mut amount = now.sources[source as usize] - before.sources[source as usize];
            if amount == Matter::NONE {
                continue;
            }
            if let (Source::Drawn, Moment::Milked { evening }) = (source, moment) {
                for animal in 0..self.plan.animals.len() {
                    let m = view.milked(animal);
                    let mut gave = m.pails[usize::from(evening)];
                    if !evening {
                        gave += m.calf;
                    }
                    if gave.mass > 0.0 {
                        self.tell(moment, None, What::Came { source, animal: Some(animal) }, gave);
                        amount -= gave;
                    }
                }
            }
            if amount.mass.abs() > 1e-9 {
                self.tell(moment, rule_of(moment), What::Came { source, animal: None }, amount);
            }
        }
    }

    /// What has soured or turned by itself, and what left the store besides.
    fn turned(&mut self, moment: Moment, before: &Books, now: &Books) -> Vec<Matter> {
        let mut gone = differences(&before.stocks, &now.stocks);
        // What one item becomes may itself be past its time: as often as there
        // are steps in such a chain.
        let mut passed = vec![Matter::NONE; gone.len()];
        for _ in 0..4 {
            for (i, item) in self.plan.items.iter().enumerate() {
                if let Some(next) = item.turns_into
                    && gone[i].mass > 1e-12
                {
                    let moved = std::mem::replace(&mut gone[i], Matter::NONE);
                    passed[i] += moved;
                    gone[next.at()] += moved;
                }
            }
        }
        for (i, item) in self.plan.items.iter().enumerate() {
            if let (Some(to), true) = (item.turns_into, passed[i].mass > 1e-12) {
                self.tell(moment, None, What::Turned { from: ItemId(i as u8), to }, passed[i]);
            }
        }
        gone
    }

    /// What a rule of the routine did, or why not; and what left the store
    /// beside what it worked with.
    fn worked(&mut self, moment: Moment, r: usize, before: &Books, now: &Books) -> Vec<Matter> {
        self.verdict(moment, r, before, now);
        let mut gone = differences(&before.stocks, &now.stocks);
        let recipe = match self.plan.rules[r].action {
            Action::Make { recipe, .. } => Some(recipe),
            Action::Skim { .. } => None,
            _ => return gone,
        };
        for (i, gone) in gone.iter_mut().enumerate() {
            let item = ItemId(i as u8);
            let made = now.made[i] - before.made[i];
            if gone.mass > 1e-12 {
                self.tell(moment, Some(r), What::Took(item), *gone);
            }
            let put = *gone * -1.0;
            if recipe.is_some() && made > 1e-12 {
                let matter = if put.mass > 0.0 { put * (made / put.mass) } else { only_mass(made) };
                self.tell(moment, Some(r), What::Made(item), matter);
                // What of it found no jar.
                let over = made - put.mass.max(0.0);
                *gone = if over > 1e-12 { only_mass(over) } else { Matter::NONE };
            } else if recipe.is_none() && put.mass > 1e-12 {
                self.tell(moment, Some(r), What::Made(item), put);
            }
        }
        gone
    }

    /// Whether a rule worked since the last look, or why not.
    fn verdict(&mut self, moment: Moment, r: usize, before: &Books, now: &Books) {
        let (a, b) = (&before.rules[r], &now.rules[r]);
        if b.fired > a.fired {
            self.tell(moment, Some(r), What::Fired(b.fired - a.fired), only_mass(b.kg - a.kg));
        }
        for why in Blocked::ALL {
            if b.blocked[why as usize] > a.blocked[why as usize] {
                let too_much = why == Blocked::Stock && self.waits_for_less(r, before);
                self.tell(moment, Some(r), What::Held { why, too_much }, Matter::NONE);
            }
        }
    }

    /// The first condition on a stock that does not hold asks for less.
    fn waits_for_less(&self, r: usize, before: &Books) -> bool {
        let Some(rule) = self.plan.rules.get(r) else { return false };
        let stock = |mask: u64| -> f64 {
            before.stocks.iter().enumerate().filter(|(i, _)| mask >> i & 1 == 1).map(|(_, m)| m.mass).sum()
        };
        for condition in &rule.when {
            match *condition {
                Condition::Stock { items, least, most } => {
                    let there = stock(items);
                    if there < least * (1.0 - 1e-9) {
                        return false;
                    }
                    if there > most * (1.0 + 1e-9) {
                        return true;
                    }
                }
                // Jars and days of supply: by the bound that is set.
                Condition::Jars { least, most, .. } | Condition::DaysOfSupply { least, most, .. }
                    if least <= 0.0 && most.is_finite() =>
                {
                    return true;
                }
                _ => {}
            }
        }
        false
    }

    /// Of what a fate's matter may have been, with how much of it there was.
    fn portions(
        &self,
        fate: Fate,
        moment: Moment,
        view: &View,
        before: &Books,
        now: &Books,
        gone: &[Matter],
    ) -> Vec<Portion> {
        if !has_item(fate) {
            return Vec::new();
        }
        if let Moment::Milked { evening } = moment
            && matches!(fate, Fate::Calf | Fate::Withheld)
        {
            return self.given(fate, view, evening);
        }
        if fate == Fate::Fed {
            let fed = self.fed(before, now, gone);
            if !fed.is_empty() {
                return fed;
            }
        }
        let byproduct = |p: &Portion| p.item.is_some_and(|i| self.plan.items[i.at()].byproduct);
        let wished = |p: &Portion| match moment {
            Moment::Wish(w) => p.item.is_some_and(|i| self.plan.household.wishes[w].items.contains(&i)),
            _ => true,
        };
        let mut portions = all(gone);
        match fate {
            Fate::ByproductPoured => portions.retain(byproduct),
            Fate::Eaten => portions.retain(wished),
            _ if fate.is_waste() && fate != Fate::WastedFoul => portions.retain(|p| !byproduct(p)),
            _ => {}
        }
        if portions.is_empty() && matches!(moment, Moment::Milked { .. } | Moment::Fetched) {
            let item = Some(fixed::WHOLE);
            portions.push(Portion { item, outlet: None, animal: None, matter: only_mass(1.0) });
        }
        portions
    }

    /// What calves drank and what was kept from people, animal by animal.
    fn given(&self, fate: Fate, view: &View, evening: bool) -> Vec<Portion> {
        let each = (0..self.plan.animals.len()).filter_map(|animal| {
            let m = view.milked(animal);
            let matter = if fate == Fate::Calf {
                m.calf
            } else if m.withheld {
                m.pails[usize::from(evening)]
            } else {
                Matter::NONE
            };
            let portion = Portion { item: Some(fixed::WHOLE), outlet: None, animal: Some(animal), matter };
            (matter.mass > 0.0).then_some(portion)
        });
        each.collect()
    }

    /// What the animals that are fed had, by how their appetites have fallen.
    fn fed(&self, before: &Books, now: &Books, gone: &[Matter]) -> Vec<Portion> {
        let mut out = Vec::new();
        for (n, &(outlet, item)) in self.takes.iter().enumerate() {
            let (Some(a), Some(b)) = (before.appetites.get(n), now.appetites.get(n)) else { continue };
            let kg = a - b;
            if !kg.is_finite() {
                // No cap: what has left the store of it.
                if gone[item.at()].mass > 1e-12 {
                    out.push(Portion {
                        item: Some(item),
                        outlet: None,
                        animal: None,
                        matter: gone[item.at()],
                    });
                }
            } else if kg > 1e-12 {
                let there = gone[item.at()];
                let matter = if there.mass > 1e-12 && there.fat >= 0.0 {
                    there * (kg / there.mass)
                } else {
                    only_mass(kg)
                };
                out.push(Portion { item: Some(item), outlet: Some(outlet), animal: None, matter });
            }
        }
        out
    }

    /// Divides what went to a fate over the portions, each of the four amounts
    /// in its own proportion: the parts always add up to the whole.
    fn divide(&mut self, moment: Moment, fate: Fate, amount: Matter, portions: &[Portion]) {
        let none = Portion { item: None, outlet: None, animal: None, matter: Matter::NONE };
        let portions = if portions.is_empty() { &[none][..] } else { portions };
        let sum = portions.iter().fold(Matter::NONE, |sum, p| sum + p.matter);
        let mut left = amount;
        for (n, p) in portions.iter().enumerate() {
            let by_mass = if sum.mass > 0.0 { p.matter.mass / sum.mass } else { 0.0 };
            let part = |of: f64, all: f64| if all > 1e-12 { of / all } else { by_mass };
            let matter = if n + 1 == portions.len() {
                left
            } else {
                Matter {
                    mass: amount.mass * by_mass,
                    fat: amount.fat * part(p.matter.fat, sum.fat),
                    protein: amount.protein * part(p.matter.protein, sum.protein),
                    milk: amount.milk * part(p.matter.milk, sum.milk),
                }
            };
            left -= matter;
            let what = What::Went { fate, item: p.item, outlet: p.outlet, animal: p.animal };
            self.tell(moment, self.rule_behind(moment, p.item), what, matter);
        }
    }

    /// The rule, or step of tonight's list, behind what went.
    fn rule_behind(&self, moment: Moment, item: Option<ItemId>) -> Option<usize> {
        if moment != Moment::Room {
            return rule_of(moment);
        }
        let worked = self.events.iter().rev().take_while(|e| e.day == self.day && e.moment == moment);
        let base = self.plan.rules.len();
        worked.filter(|e| matches!(e.what, What::Fired(_))).filter_map(|e| e.rule).find(|r| {
            let step = r.checked_sub(base).and_then(|n| self.plan.when_full.tonight.get(n));
            matches!(step, Some(FullStep::Feed(i) | FullStep::PourOut(i)) if Some(*i) == item)
        })
    }
}

/// A fate whose matter can be told by item.
pub(super) const fn has_item(fate: Fate) -> bool {
    !matches!(fate, Fate::Film | Fate::Steam | Fate::WastedFailedBatch)
}

fn rule_of(moment: Moment) -> Option<usize> {
    match moment {
        Moment::Rule(r) => Some(r),
        _ => None,
    }
}

const fn only_mass(kg: f64) -> Matter {
    Matter { mass: kg, fat: 0.0, protein: 0.0, milk: kg }
}

/// What has left the store of each item (below nothing: what was added).
fn differences(before: &[Matter], now: &[Matter]) -> Vec<Matter> {
    before.iter().zip(now).map(|(&a, &b)| a - b).collect()
}

/// A portion of each item of which there is something.
fn all(stocks: &[Matter]) -> Vec<Portion> {
    let each = stocks.iter().enumerate().filter(|(_, m)| m.mass > 1e-12);
    each.map(|(i, &matter)| Portion {
        item: Some(ItemId(i as u8)),
        outlet: None,
        animal: None,
        matter: Matter {
            mass: matter.mass,
            fat: matter.fat.max(0.0),
            protein: matter.protein.max(0.0),
            milk: matter.milk.max(0.0),
        },
    })
    .collect()
}
