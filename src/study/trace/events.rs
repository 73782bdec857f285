//! What happened between two looks at a trial, from the differences of its
//! books. The matter of the events adds up to the books, whatever the cause.

use super::herd::{Herd, Stands};
use super::portions::{all, differences, only_mass};
use crate::dairy::matter::Matter;
use crate::scenario::plan::{Action, ItemId, Plan};
use crate::sim::outcome::{Blocked, FATES, Fate, RuleTally, SOURCES, Source, WantTally};
use crate::sim::traded::ShareTally;
use crate::sim::watch::{Counts, Fullest, Moment, View};
use crate::sim::{Luck, Outcome};

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
        /// Of what was bought: drinking milk (0), or a wish and one more.
        want: Option<usize>,
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
        /// What of it, as far as the rule says so.
        lack: Lack,
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
    /// Milk that was to be fetched did not come, so many times.
    NotCome(u32),
    /// A member went home with less than was promised; the matter is what was
    /// handed over.
    WentShort {
        /// Which member.
        member: usize,
        /// Promised, kg.
        promised: f64,
    },
    /// So many members did not come.
    MembersStayedAway(u32),
    /// So many starters were bought.
    Starter(u32),
    /// So many hours of the day were without power.
    NoPower(f64),
    /// Something befell an animal.
    Animal {
        /// Which.
        animal: usize,
        /// What.
        what: Herd,
    },
}

/// Which side of a bound a rule's stock or age was on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// Too little in store, or nothing old enough.
    TooLow,
    /// Enough in store, or all of it too old.
    TooHigh,
    /// No bound of the rule says so: it found nothing to work with.
    Nothing,
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
pub(super) struct Books {
    sources: [Matter; SOURCES],
    fates: [Matter; FATES],
    pub(super) stocks: Vec<Matter>,
    /// Thrown out after outages, and found foul, by item.
    pub(super) thrown: [Vec<Matter>; 2],
    made: Vec<f64>,
    pub(super) rules: Vec<RuleTally>,
    wants: Vec<WantTally>,
    pub(super) appetites: Vec<f64>,
    members: Vec<ShareTally>,
    counts: Counts,
}

impl Books {
    fn of(plan: &Plan, view: &View) -> Self {
        let items = (0..plan.items.len()).map(|i| ItemId(i as u8));
        Self {
            sources: view.sources(),
            fates: view.fates(),
            stocks: items.clone().map(|i| view.stock(i)).collect(),
            thrown: [0, 1].map(|n| items.clone().map(|i| view.thrown(i)[n]).collect()),
            made: view.made().to_vec(),
            rules: view.rules().to_vec(),
            wants: view.wants().to_vec(),
            appetites: view.appetites().to_vec(),
            members: view.members().to_vec(),
            counts: view.counts(),
        }
    }
}

/// Turns looks into events.
pub(super) struct Watcher<'p> {
    pub(super) plan: &'p Plan,
    luck: &'p Luck,
    /// Outlet and item of each appetite.
    pub(super) takes: Vec<(usize, ItemId)>,
    books: Option<Books>,
    herd: Stands,
    /// Hours without power before today.
    no_power_h: f64,
    pub(super) day: u32,
    pub(super) events: Vec<Event>,
    days: Vec<DayState>,
}

impl<'p> Watcher<'p> {
    pub(super) fn new(plan: &'p Plan, luck: &'p Luck) -> Self {
        let takes = plan.outlets.iter().enumerate();
        Self {
            plan,
            luck,
            takes: takes.flat_map(|(o, outlet)| outlet.takes.iter().map(move |t| (o, t.0))).collect(),
            books: None,
            herd: Stands::new(plan.animals.len()),
            no_power_h: 0.0,
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
            let what = What::Came { source: Source::Opening, animal: None, want: None };
            self.tell(moment, None, what, now.sources[Source::Opening as usize]);
        }
        if moment == Moment::Dawn {
            for (animal, what) in self.herd.news(view, self.luck) {
                self.tell(moment, None, What::Animal { animal, what }, Matter::NONE);
            }
        }
        // At dawn the appetites are new; the books are those of last night.
        if let (Some(before), false) = (self.books.take(), moment == Moment::Dawn) {
            self.compare(moment, view, &before, &now);
        }
        if moment == Moment::Over {
            let hours = now.counts.no_power_h - self.no_power_h;
            self.no_power_h = now.counts.no_power_h;
            if hours > 1e-9 {
                self.tell(moment, None, What::NoPower(hours), Matter::NONE);
            }
            let (chores, kitchen) = view.minutes();
            self.days.push(DayState { away: view.away(), fullest: view.fullest(), chores, kitchen });
        }
        self.books = Some(now);
    }

    pub(super) fn tell(&mut self, moment: Moment, rule: Option<usize>, what: What, matter: Matter) {
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
        self.counted(moment, before, now);
    }

    /// What is counted and moves nothing; members who went home with less.
    fn counted(&mut self, moment: Moment, before: &Books, now: &Books) {
        let (a, b) = (&before.counts, &now.counts);
        let all = [
            What::Broke(b.broken - a.broken),
            What::Starter(b.starters - a.starters),
            What::NotCome(b.not_come - a.not_come),
            What::MembersStayedAway(b.not_fetched - a.not_fetched),
        ];
        for what in all {
            if let What::Broke(n) | What::Starter(n) | What::NotCome(n) | What::MembersStayedAway(n) = what
                && n > 0
            {
                self.tell(moment, rule_of(moment), what, Matter::NONE);
            }
        }
        for (member, (a, b)) in before.members.iter().zip(&now.members).enumerate() {
            let (promised, got) = (b.promised - a.promised, b.kept - a.kept);
            if got < promised * (1.0 - 1e-9) {
                self.tell(moment, None, What::WentShort { member, promised }, only_mass(got));
            }
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
                        self.tell(
                            moment,
                            None,
                            What::Came { source, animal: Some(animal), want: None },
                            gave,
                        );
                        amount -= gave;
                    }
                }
            }
            if amount.mass.abs() > 1e-9 {
                let want = (source == Source::Bought).then(|| self.bought_for(moment)).flatten();
                self.tell(moment, rule_of(moment), What::Came { source, animal: None, want }, amount);
            }
        }
    }

    /// The want for which something was bought.
    fn bought_for(&self, moment: Moment) -> Option<usize> {
        match moment {
            Moment::Drunk => Some(0),
            Moment::Wish(w) => Some(w + 1),
            Moment::Rule(r) => match self.plan.rules.get(r)?.action {
                Action::Buy { buy, .. } => {
                    Some(self.plan.trade.bought.get(usize::from(buy))?.wish.map_or(0, |w| usize::from(w) + 1))
                }
                _ => None,
            },
            _ => None,
        }
    }

    /// What has soured or turned by itself, and what left the store besides.
    fn turned(&mut self, moment: Moment, before: &Books, now: &Books) -> Vec<Matter> {
        let mut gone = differences(&before.stocks, &now.stocks);
        // What was thrown out as it stood has not turned.
        let [outage, foul] = [0, 1].map(|n| differences(&now.thrown[n], &before.thrown[n]));
        for (gone, (outage, foul)) in gone.iter_mut().zip(outage.iter().zip(&foul)) {
            *gone -= *outage + *foul;
        }
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
            } else if (recipe.is_none() || self.plan.items[i].sweet) && put.mass > 1e-12 {
                // What a skim or a separator parts is still milk and cream.
                self.tell(moment, Some(r), What::Made(item), put);
            }
        }
        gone
    }
}

pub(super) fn rule_of(moment: Moment) -> Option<usize> {
    match moment {
        Moment::Rule(r) => Some(r),
        _ => None,
    }
}
