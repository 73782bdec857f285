//! Rules, the full cold room and the animals that are fed, as understood.

use super::{
    super::{
        Names, Plan,
        check::Parts,
        plan::{Action, Condition, Container, Ending, FullStep, ItemMask, RulePlan, SkimDepth},
    },
    Part,
};
use crate::{calendar, units::show};

struct Say<'a> {
    plan: &'a Plan,
    names: &'a Names,
    parts: &'a Parts,
}

pub(super) fn rules(plan: &Plan, names: &Names, parts: &Parts) -> Part {
    let say = Say { plan, names, parts };
    let mut part = Part::new("Routine");
    for (i, (rule, name)) in plan.rules.iter().zip(&names.rules).enumerate() {
        let mut words = vec![say.action(&rule.action)];
        words.extend(rule.when.iter().map(|c| format!("when {}", say.condition(c))));
        words.extend(say.limits(rule));
        part.line(format!("{}. {name}", i + 1), words.join("; "));
    }
    part
}

/// What each rule waits for and how often it may work, in words; empty without.
pub(in crate::scenario) fn terms(plan: &Plan, names: &Names, parts: &Parts) -> Vec<String> {
    let say = Say { plan, names, parts };
    let of = |rule: &RulePlan| {
        let when: Vec<String> = rule.when.iter().map(|c| say.condition(c)).collect();
        let when = (!when.is_empty()).then(|| format!("when {}", when.join(" and ")));
        // A skim once a day is how skimming is, no limit of the family's.
        let limits = say.limits(rule).into_iter().filter(|_| !matches!(rule.action, Action::Skim { .. }));
        when.into_iter().chain(limits).collect::<Vec<_>>().join("; ")
    };
    plan.rules.iter().map(of).collect()
}

impl Say<'_> {
    /// ` and the one like it`: stores that were written as one with this one.
    fn alike(&self, store: u16) -> String {
        let mut others: Vec<u16> =
            self.plan.places.iter().filter(|p| p.alike == Some(store)).map(|p| p.store).collect();
        others.dedup();
        match others.len() {
            0 => String::new(),
            1 => " and the one like it".to_owned(),
            n => format!(" and the {n} like it"),
        }
    }

    fn items(&self, mask: ItemMask) -> String {
        let all: Vec<&str> = (0..self.names.items.len().min(64))
            .filter(|i| mask & (1 << i) != 0)
            .map(|i| self.names.items[i].as_str())
            .collect();
        match all.as_slice() {
            ["top cream", "middle cream", "thin cream"] => "cream".to_owned(),
            ["whole milk", "skimmed milk"] => "milk".to_owned(),
            _ => show::listed(&all),
        }
    }

    fn amount(&self, kg: f64, mask: ItemMask) -> String {
        let first = mask.trailing_zeros() as usize;
        match self.plan.items.get(first) {
            Some(i) if !matches!(i.container, Container::Volume { .. }) => {
                show::volume(kg / i.density, self.parts.units)
            }
            _ => show::mass(kg, self.parts.units),
        }
    }

    fn action(&self, action: &Action) -> String {
        let items = &self.names.items;
        let most = |kg: f64, item: usize| {
            if kg.is_finite() { format!(", at most {}", self.amount(kg, 1 << item)) } else { String::new() }
        };
        match *action {
            Action::Skim { after_hours, depth, apart, .. } => {
                let depth = match depth {
                    SkimDepth::Leave(f) => format!("until {} % of fat is left", show::fixed(f * 100.0, 2)),
                    SkimDepth::Grade(f) => format!("taking cream of at least {} fat", show::part(f)),
                    SkimDepth::Layer => "taking the whole layer".to_owned(),
                };
                let jars = if apart { ", each cut into jars of its own" } else { "" };
                format!(
                    "skims every jar that has rested for {}, {depth}{jars}",
                    show::duration(after_hours / 24.0)
                )
            }
            Action::Make { recipe, batch_kg } => {
                let r = &self.plan.recipes[recipe.at()];
                let input = &r.inputs[0];
                let mask = input.items.iter().fold(0, |m, id| m | 1 << id.0);
                let size = if batch_kg.is_finite() {
                    format!("in batches of {}", self.amount(batch_kg.clamp(r.least_kg, r.most_kg), mask))
                } else if r.most_kg.is_finite() {
                    format!(
                        "in batches of {} to {}",
                        self.amount(r.least_kg, mask),
                        self.amount(r.most_kg, mask)
                    )
                } else {
                    format!("in batches of at least {}", self.amount(r.least_kg, mask))
                };
                let sure = batch_kg.is_finite().then_some(batch_kg.clamp(r.least_kg, r.most_kg));
                let minutes = r.minutes + r.minutes_per_kg * sure.unwrap_or(r.least_kg);
                let mut text = format!(
                    "{} from {} {size}, {} of work",
                    self.names.recipes[recipe.at()],
                    self.items(mask),
                    show::minutes(minutes)
                );
                if r.ready_hours > 0.0 || r.ageing_days > 0.0 {
                    text = format!(
                        "{text}, ready after {}",
                        show::duration(r.ready_hours / 24.0 + r.ageing_days)
                    );
                }
                text
            }
            Action::Move { item, to, most_kg } => {
                let store = self.plan.places.get(to.at()).map_or(0, |p| p.store);
                let place = &self.names.places[to.at()];
                let most = most(most_kg, item.at());
                format!("moves {} to the {place}{}{most}", items[item.at()], self.alike(store))
            }
            Action::Feed { item, most_kg } => {
                format!("feeds {} to the animals{}", items[item.at()], most(most_kg, item.at()))
            }
            Action::Dump { item, most_kg } => {
                format!("pours out {}{}", items[item.at()], most(most_kg, item.at()))
            }
            Action::HandOut { item, most_kg } => format!(
                "hands out {} to the members who come, beyond their promise{}",
                items[item.at()],
                most(most_kg, item.at())
            ),
            Action::Buy { buy, kg } => {
                let b = &self.plan.trade.bought[usize::from(buy)];
                let wish = b.wish.map(|w| &self.plan.household.wishes[usize::from(w)]);
                let item = wish.map_or(0, |w| w.items[0].at());
                format!("buys {} of {}", self.amount(kg, 1 << item), self.names.bought[usize::from(buy)])
            }
            Action::DryOff { animal } => format!("dries {} off", self.names.animals[usize::from(animal)]),
            Action::CalfOn { animal, days } => format!(
                "leaves the {} on {} day and night for {}, from the next morning",
                self.plan.animals[usize::from(animal)].species.young(),
                self.names.animals[usize::from(animal)],
                show::duration(f64::from(days))
            ),
            Action::OnceADay { animal, days } => format!(
                "milks {} once a day for {}, from the next morning",
                self.names.animals[usize::from(animal)],
                show::duration(f64::from(days))
            ),
            Action::ShutIn { animal, apart, days } => {
                let who = &self.names.animals[usize::from(animal)];
                let young = self.plan.animals[usize::from(animal)].species.young();
                let long = match days {
                    u16::MAX => String::new(),
                    days => format!(" for {}", show::duration(f64::from(days))),
                };
                format!("shuts the {young} of {who} in {}{long}, from the next morning", apart.words())
            }
            Action::End { animal, what } => {
                let who = &self.names.animals[usize::from(animal)];
                let young = self.plan.animals[usize::from(animal)].species.young();
                match what {
                    Ending::Calf => format!("takes the {young} off {who} for good, from the next morning"),
                    Ending::OnceADay => format!("milks {who} twice a day again, from the next morning"),
                }
            }
        }
    }

    fn condition(&self, c: &Condition) -> String {
        let between =
            |least: f64, most: f64, of: &dyn Fn(f64) -> String| match (least.is_finite(), most.is_finite()) {
                (true, true) => format!("between {} and {}", of(least), of(most)),
                (true, false) => format!("at least {}", of(least)),
                (false, true) => format!("at most {}", of(most)),
                (false, false) => "any".to_owned(),
            };
        let days = |d: f64| show::duration(d);
        match *c {
            Condition::Season { from, until } => {
                let date = |n: u16| {
                    let date = calendar::date_of(jiff::civil::date(2028, 1, 1), i64::from(n) - 1);
                    format!("{} {}", date.day(), calendar::short_month(calendar::month(date)))
                };
                format!("it is between {} and {}", date(from), date(until))
            }
            Condition::Dates { from: u32::MAX, .. } => "never within the simulated time".to_owned(),
            Condition::Dates { from, until } => {
                let date = |d: u32| calendar::show_plain(self.parts.first_date(d));
                format!("it is between {} and {}", date(from), date(until))
            }
            Condition::SinceFreshening { animal, least, most } => {
                let whose = animal.map_or_else(
                    || "the latest freshening".to_owned(),
                    |a| format!("the freshening of {}", self.names.animals[usize::from(a)]),
                );
                format!("{whose} is {} ago", between(least, most, &days))
            }
            Condition::ToDryOff { animal, least, most } => {
                let whose = animal.map_or_else(
                    || "the next drying off".to_owned(),
                    |a| format!("the drying off of {}", self.names.animals[usize::from(a)]),
                );
                format!("{whose} is {} away", between(least, most, &days))
            }
            Condition::DryWeeks { within: true } => "no animal gives milk for people".to_owned(),
            Condition::DryWeeks { within: false } => "it is not in the dry weeks".to_owned(),
            Condition::Stock { items, least, most } => {
                let amount = |kg: f64| self.amount(kg, items);
                format!("there is {} of {}", between(least, most, &amount), self.items(items))
            }
            Condition::Jars { items, least, most } => {
                let jars = |n: f64| show::counted(n, "jar", "jars");
                format!("there are {} of {}", between(least, most, &jars), self.items(items))
            }
            Condition::DaysOfSupply { wish, least, most } => {
                let what = wish.and_then(|w| self.names.wishes.get(usize::from(w)));
                let what = what.map_or("drinking milk", String::as_str);
                format!("{what} lasts {}", between(least, most, &days))
            }
            Condition::OldestAge { items, least, most } => {
                format!("the oldest {} is {} old", self.items(items), between(least, most, &days))
            }
            Condition::StockOrAge { items, least_kg, older_than } => format!(
                "there is at least {} of {}, or the oldest is over {} old",
                self.amount(least_kg, items),
                self.items(items),
                days(older_than)
            ),
            Condition::Fullness { store, least, most } => {
                let part = |f: f64| show::part(f);
                let (name, full) = (&self.names.stores[usize::from(store)], between(least, most, &part));
                match self.alike(store) {
                    alone if alone.is_empty() => format!("the {name} is {full} full"),
                    others => format!("the {name}{others}, taken together, is {full} full"),
                }
            }
            Condition::MinutesLeft { least, most } => {
                format!("{} of kitchen time is left", between(least, most, &|m| show::minutes(m)))
            }
        }
    }

    fn limits(&self, r: &RulePlan) -> Vec<String> {
        let mut all = Vec::new();
        let times = |n: u32| match n {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            n => format!("{n} times"),
        };
        if let Some(n) = r.per_week {
            all.push(format!("at most {} a week", times(n)));
        }
        if let Some(n) = r.per_day {
            all.push(format!("at most {} a day", times(n)));
        }
        if let Some(n) = r.every_days {
            all.push(format!("not again within {}", show::duration(f64::from(n))));
        }
        if r.keep_back_kg > 0.0 {
            let mask = match r.action {
                Action::Make { recipe, .. } => {
                    let input = &self.plan.recipes[recipe.at()].inputs[0];
                    input.items.iter().fold(0, |m, id| m | 1 << id.0)
                }
                Action::Move { item, .. }
                | Action::Feed { item, .. }
                | Action::Dump { item, .. }
                | Action::HandOut { item, .. } => 1 << item.0,
                _ => 1,
            };
            let of = match r.keep_back_of.count_ones() {
                0 | 1 => String::new(),
                _ => format!(" of {} together", self.items(r.keep_back_of)),
            };
            all.push(format!("keeps {} back{of}", self.amount(r.keep_back_kg, mask)));
        }
        all
    }
}

pub(super) fn when_full(plan: &Plan, names: &Names) -> Part {
    let mut part = Part::new("When full");
    let tonight: Vec<String> = plan
        .when_full
        .tonight
        .iter()
        .map(|s| match s {
            FullStep::Feed(i) => format!("feed {}", names.items[i.at()]),
            FullStep::PourOut(i) => format!("pour out {}", names.items[i.at()]),
        })
        .collect();
    if !tonight.is_empty() {
        part.line("tonight", format!("{}; never today's milk", tonight.join(", then ")));
    }
    let tomorrow: Vec<String> = plan
        .when_full
        .tomorrow
        .iter()
        .filter_map(|a| match *a {
            Action::CalfOn { animal, days } => {
                let young = plan.animals[usize::from(animal)].species.young();
                Some(format!("leave the {young} on {} for {days} days", names.animals[usize::from(animal)]))
            }
            Action::OnceADay { animal, days } => {
                Some(format!("milk {} once a day for {days} days", names.animals[usize::from(animal)]))
            }
            _ => None,
        })
        .collect();
    if !tomorrow.is_empty() {
        part.line("from tomorrow", tomorrow.join(", and "));
    }
    part
}

pub(super) fn outlets(plan: &Plan, names: &Names, parts: &Parts) -> Part {
    let mut part = Part::new("Animals fed");
    for (o, name) in plan.outlets.iter().zip(&names.outlets) {
        let caps = o.cap_of.iter().max().map_or(0, |last| last + 1);
        let takes: Vec<String> = (0..caps)
            .filter_map(|cap| {
                let of = || o.takes.iter().zip(&o.cap_of).filter(|(_, c)| **c == cap).map(|(t, _)| t);
                let (first, kg) = of().next()?;
                let litres = kg / plan.items[first.at()].density;
                let words: Vec<&str> = of().map(|(id, _)| names.items[id.at()].as_str()).collect();
                let together = if words.len() > 1 { " together" } else { "" };
                Some(format!("{} of {}{together}", show::volume(litres, parts.units), show::listed(&words)))
            })
            .collect();
        let date = |d: u32| calendar::show_plain(parts.first_date(d));
        let young: Vec<String> = o
            .young_kg
            .iter()
            .filter_map(|(until, kg)| Some((u32::try_from(*until).ok().filter(|d| *d > 0)?, kg)))
            .map(|(until, kg)| format!("{} until {}", show::milk(*kg, parts.units), date(until - 1)))
            .collect();
        let young = if young.is_empty() { String::new() } else { format!(" ({})", young.join(", ")) };
        part.line(
            name.clone(),
            format!(
                "at most {} a day, all of it together {}{young}, from {} until {}",
                if takes.is_empty() { "nothing".to_owned() } else { takes.join(" or ") },
                show::milk(o.most_kg, parts.units),
                date(o.from_day),
                date(o.until_day)
            ),
        );
    }
    part
}
