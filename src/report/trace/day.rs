//! One day in words: what came, what was done with it, where it went.

use super::*;
use crate::report::amounts::{join, minutes};
use crate::sim::outcome::Source;
use crate::study::trace::DayState;

/// Amounts less than this, kg, are not told in words.
const SPECK: f64 = 0.002;

pub(super) fn write(told: &Told, page: &mut Page) {
    let mut quiet: Option<(u32, u32, String)> = None;
    let mut quiet_before = false;
    let mut held = Held::new(told);
    for day in told.days.clone() {
        let Some(state) = told.trace.days.get(day as usize) else { continue };
        let events: Vec<&Event> = told.trace.events.iter().filter(|e| e.day == day).collect();
        let held = held.news(told, &events);
        let d = Day { told, state, events, held };
        if d.is_quiet() {
            let text = d.quiet();
            match &mut quiet {
                Some((_, until, same)) if *same == text => *until = day,
                _ => {
                    flush(told, page, quiet.take(), &mut quiet_before);
                    quiet = Some((day, day, text));
                }
            }
            continue;
        }
        flush(told, page, quiet.take(), &mut quiet_before);
        quiet_before = false;
        page.heading(date(told, day));
        for (label, text) in d.lines() {
            page.blocks.push(Block::Pair(label.into(), text));
        }
    }
    flush(told, page, quiet.take(), &mut quiet_before);
}

/// Why rules did not work, told once for as long as it stays the same.
struct Held {
    told: Vec<Option<&'static str>>,
}

impl Held {
    fn new(told: &Told) -> Self {
        Self { told: vec![None; told.plan.rules.len()] }
    }

    /// What is new today: `too little in store: 2 and 4`. That it is not the
    /// weekday of a rule is no news.
    fn news(&mut self, told: &Told, events: &[&Event]) -> Option<String> {
        let mut all: Vec<(&str, Vec<String>)> = Vec::new();
        for e in events {
            let Some(r) = e.rule.filter(|r| *r < self.told.len()) else { continue };
            match e.what {
                What::Fired(_) => self.told[r] = None,
                What::Held { why: Blocked::Day, .. } => {}
                What::Held { why: reason, too_much } => {
                    let words = why(told, r, reason, too_much);
                    if self.told[r] == Some(words) {
                        continue;
                    }
                    self.told[r] = Some(words);
                    match all.iter_mut().find(|(w, _)| *w == words) {
                        Some((_, rules)) => rules.push((r + 1).to_string()),
                        None => all.push((words, vec![(r + 1).to_string()])),
                    }
                }
                _ => {}
            }
        }
        let words: Vec<String> =
            all.iter().map(|(why, rules)| format!("{} ({why})", join(rules, "and"))).collect();
        (!words.is_empty()).then(|| join(&words, "and"))
    }
}

/// Quiet days as one entry under a heading of their own.
fn flush(told: &Told, page: &mut Page, quiet: Option<(u32, u32, String)>, before: &mut bool) {
    let Some((from, until, text)) = quiet else { return };
    if !*before {
        page.heading("Quiet days");
    }
    *before = true;
    let when = if from == until {
        date(told, from)
    } else {
        format!("{} to {} ({} days)", date(told, from), date(told, until), until - from + 1)
    };
    page.blocks.push(Block::Pair(when, text));
}

fn date(told: &Told, day: u32) -> String {
    told.span().date(day as usize).map_or_else(|| format!("day {day}"), crate::calendar::show)
}

struct Day<'a> {
    told: &'a Told<'a>,

    state: &'a DayState,
    events: Vec<&'a Event>,
    /// Rules that did not work, for a reason not told yet.
    held: Option<String>,
}

impl Day<'_> {
    /// Nothing was done, lost or missed.
    fn is_quiet(&self) -> bool {
        !self.state.fullest.over_full
            && self.events.iter().all(|e| match e.what {
                What::Fired(_) | What::Turned { .. } | What::Broke(_) => false,
                What::Came { source, .. } => source != Source::Added,
                What::Went { fate, .. } => {
                    !(fate.is_waste() || fate == Fate::ByproductPoured) || e.matter.mass < SPECK
                }
                _ => true,
            })
    }

    fn quiet(&self) -> String {
        let parts = [
            self.came().map(|t| format!("came in: {t}")),
            self.table(),
            self.fed().map(|t| format!("fed: {t}")),
            self.kept(),
            self.short().map(|t| format!("short: {t}")),
            self.held.as_ref().map(|t| format!("rules that did not work: {t}")),
        ];
        let text: Vec<String> = parts.into_iter().flatten().collect();
        let away = if self.state.away { "the family is away; " } else { "" };
        if text.is_empty() { format!("{away}nothing") } else { format!("{away}{}", text.join("; ")) }
    }

    fn lines(&self) -> Vec<(&'static str, String)> {
        let away = self.state.away.then(|| "the family is away".to_string());
        let parts = [
            ("Home", away),
            ("Came in", self.came()),
            ("Soured", self.soured()),
            ("Done", self.done()),
            ("Not done", self.held.clone()),
            ("Table", self.table()),
            ("Short", self.short()),
            ("Fed", self.fed()),
            ("Too full", self.full()),
            ("Lost", self.lost()),
            ("Kept", self.kept()),
            ("Room", self.room()),
        ];
        parts.into_iter().filter_map(|(label, text)| Some((label, text?))).collect()
    }

    fn animal(&self, animal: usize) -> &str {
        self.told.names.animals.get(animal).map_or("she", String::as_str)
    }

    /// `Clover 1.4 gal in the morning and 1.2 gal in the evening`.
    fn came(&self) -> Option<String> {
        let mut out = Vec::new();
        for animal in 0..self.told.plan.animals.len() {
            let kg = |evening: bool| -> f64 {
                let moment = Moment::Milked { evening };
                let mine = self.events.iter().filter(|e| e.moment == moment);
                mine.map(|e| match e.what {
                    What::Came { animal: Some(a), .. } if a == animal => e.matter.mass,
                    What::Went { fate: Fate::Calf, animal: Some(a), .. } if a == animal => -e.matter.mass,
                    _ => 0.0,
                })
                .sum()
            };
            let milkings: Vec<String> = [(false, "in the morning"), (true, "in the evening")]
                .into_iter()
                .map(|(evening, words)| (kg(evening), words))
                .filter(|(kg, _)| *kg > SPECK)
                .map(|(kg, words)| format!("{} {words}", self.told.amount(None, kg)))
                .collect();
            let calf: f64 = self.sum(
                |e| matches!(e.what, What::Went { fate: Fate::Calf, animal: Some(a), .. } if a == animal),
            );
            if milkings.is_empty() && calf <= SPECK {
                continue;
            }
            let mut text = self.animal(animal).to_string();
            if !milkings.is_empty() {
                text = format!("{text} {}", join(&milkings, "and"));
            }
            if calf > SPECK {
                let also = if milkings.is_empty() { "" } else { "," };
                text = format!("{text}{also} {} to her young", self.told.amount(None, calf));
            }
            out.push(text);
        }
        let fetched = self.sum(|e| matches!(e.what, What::Came { source: Source::Fetched, .. }));
        if fetched > SPECK {
            out.push(format!("fetched {}", self.told.amount(None, fetched)));
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    fn sum(&self, test: impl Fn(&Event) -> bool) -> f64 {
        self.events.iter().filter(|e| test(e)).map(|e| e.matter.mass).sum()
    }

    /// Amounts by item of the events that a test holds for, in order of items.
    fn by_item(&self, test: impl Fn(&Event) -> Option<Option<ItemId>>) -> Vec<String> {
        let mut all: Vec<(Option<ItemId>, f64)> = Vec::new();
        for e in &self.events {
            let Some(item) = test(e) else { continue };
            match all.iter_mut().find(|(i, _)| *i == item) {
                Some((_, kg)) => *kg += e.matter.mass,
                None => all.push((item, e.matter.mass)),
            }
        }
        let words = |(item, kg): (Option<ItemId>, f64)| match item {
            Some(i) => self.told.amount_of(i, kg),
            None => self.told.show().mass(kg),
        };
        all.into_iter().filter(|(_, kg)| *kg > SPECK).map(words).collect()
    }

    fn soured(&self) -> Option<String> {
        let mut out = Vec::new();
        for e in &self.events {
            if let What::Turned { from, to } = e.what
                && e.matter.mass > SPECK
            {
                let what = self.told.amount_of(from, e.matter.mass);
                out.push(format!("{what} has become {}", self.told.item(to)));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// What each rule of the routine did.
    fn done(&self) -> Option<String> {
        let mut out = Vec::new();
        for r in 0..self.told.plan.rules.len() {
            let mine = |e: &Event| e.rule == Some(r);
            let fired: u32 = self
                .events
                .iter()
                .filter(|e| mine(e))
                .map(|e| if let What::Fired(n) = e.what { n } else { 0 })
                .sum();
            if fired == 0 {
                continue;
            }
            let times = if fired > 1 { format!(" ({fired} times)") } else { String::new() };
            let took = self.by_item(|e| match e.what {
                What::Took(i) if mine(e) => Some(Some(i)),
                _ => None,
            });
            let made = self.by_item(|e| match e.what {
                What::Made(i) if mine(e) => Some(Some(i)),
                _ => None,
            });
            let failed =
                self.sum(|e| mine(e) && matches!(e.what, What::Went { fate: Fate::WastedFailedBatch, .. }));
            let mut text = format!("{}{times}", self.rule(r));
            if !took.is_empty() {
                text = format!("{text}: took {}", join(&took, "and"));
            }
            if !made.is_empty() {
                text = format!("{text}, made {}", join(&made, "and"));
            }
            if failed > SPECK {
                text = format!("{text}; a batch failed");
            }
            if took.is_empty() && made.is_empty() {
                let kg = self.sum(|e| mine(e) && matches!(e.what, What::Fired(_)));
                if kg > SPECK {
                    text = format!("{text}: {}", self.told.amount(self.rule_item(r), kg));
                }
            }
            out.push(text);
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// `2 make butter`: number and the words before weekdays and conditions.
    fn rule(&self, r: usize) -> String {
        let words = self.told.trace.rules.get(r).map_or("", String::as_str);
        let words = words.split([',', ':']).next().unwrap_or(words);
        let weekday = |day: &str| {
            let day = day.to_lowercase();
            (0..7).any(|n| day.starts_with(crate::calendar::short_weekday(n)))
        };
        let short = match words.rsplit_once(" on ") {
            Some((before, days)) if weekday(days) => before,
            _ => words,
        };
        format!("{} {}", r + 1, short.trim())
    }

    fn rule_item(&self, r: usize) -> Option<ItemId> {
        use crate::scenario::plan::Action;
        match self.told.plan.rules.get(r)?.action {
            Action::Feed { item, .. } | Action::Dump { item, .. } | Action::Move { item, .. } => Some(item),
            _ => None,
        }
    }

    fn table(&self) -> Option<String> {
        let of = |fate: Fate| {
            self.by_item(|e| match e.what {
                What::Went { fate: f, item, .. } if f == fate => Some(item),
                _ => None,
            })
        };
        let (drunk, eaten) = (of(Fate::Drunk), of(Fate::Eaten));
        let parts: Vec<String> = [("drank", drunk), ("ate", eaten)]
            .into_iter()
            .filter(|(_, items)| !items.is_empty())
            .map(|(verb, items)| format!("{verb} {}", join(&items, "and")))
            .collect();
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    fn short(&self) -> Option<String> {
        let (mut none, mut some) = (Vec::new(), Vec::new());
        for e in &self.events {
            if let What::Short { want, wanted } = e.what {
                let what = self.told.want(want);
                if e.matter.mass > SPECK {
                    let served = self.told.want_amount(want, e.matter.mass);
                    some.push(format!("{what}, {served} of {}", self.told.want_amount(want, wanted)));
                } else {
                    none.push(what.to_string());
                }
            }
        }
        if !none.is_empty() {
            some.push(format!("no {}", join(&none, "and no")));
        }
        (!some.is_empty()).then(|| some.join("; "))
    }

    fn fed(&self) -> Option<String> {
        let mut out = Vec::new();
        let outlets = self.told.plan.outlets.len();
        for outlet in (0..outlets).map(Some).chain([None]) {
            let items = self.by_item(|e| match e.what {
                What::Went { fate: Fate::Fed, item, outlet: o, .. } if o == outlet => Some(item),
                _ => None,
            });
            if !items.is_empty() {
                let name =
                    outlet.and_then(|o| self.told.names.outlets.get(o)).map_or("animals", String::as_str);
                out.push(format!("{name} {}", join(&items, "and")));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// What the lists for a full fridge did.
    fn full(&self) -> Option<String> {
        let base = self.told.plan.rules.len();
        let mut out = Vec::new();
        for (n, words) in self.told.trace.rules.iter().enumerate().skip(base) {
            let mine = |e: &Event| e.rule == Some(n) && matches!(e.what, What::Fired(_));
            if !self.events.iter().any(|e| mine(e)) {
                continue;
            }
            let words = words.strip_prefix("when full, ").unwrap_or(words);
            let kg = self.sum(mine);
            let item = self.told.plan.when_full.tonight.get(n - base).map(|s| {
                let (crate::scenario::plan::FullStep::Feed(i) | crate::scenario::plan::FullStep::PourOut(i)) =
                    *s;
                i
            });
            out.push(match item {
                Some(_) if kg > SPECK => format!("{words}, {}", self.told.amount(item, kg)),
                _ => words.to_string(),
            });
        }
        if !self.state.fullest.over_full {
            return (!out.is_empty()).then(|| out.join("; "));
        }
        let lead = "not everything had a place in the cold";
        Some(if out.is_empty() { lead.to_string() } else { format!("{lead}; {}", out.join("; ")) })
    }

    /// What was wasted or poured out, by its cause.
    fn lost(&self) -> Option<String> {
        let mut out = Vec::new();
        for fate in Fate::ALL.into_iter().filter(|f| f.is_waste() || *f == Fate::ByproductPoured) {
            let items = self.by_item(|e| match e.what {
                What::Went { fate: f, item, .. } if f == fate => Some(item),
                _ => None,
            });
            if !items.is_empty() {
                let words = crate::report::words::fate_words(fate.key());
                let cause = words.strip_prefix("wasted: ").unwrap_or("a by-product nobody took");
                out.push(format!("{} ({cause})", join(&items, "and")));
            }
        }
        let broke: u32 = self.events.iter().map(|e| if let What::Broke(n) = e.what { n } else { 0 }).sum();
        if broke > 0 {
            out.push(format!("{} broken", crate::report::amounts::counted(f64::from(broke), "jar", "jars")));
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// Milk that nobody in the house may or can have.
    fn kept(&self) -> Option<String> {
        let mut out = Vec::new();
        for (fate, words) in [
            (Fate::Withheld, "kept from people"),
            (Fate::WithheldSick, "kept from people while she was ill or treated"),
            (Fate::SharedOut, "fetched by the members"),
            (Fate::Sold, "sold"),
            (Fate::GivenAway, "given away"),
            (Fate::KeptByHelper, "kept by whoever milked while the family was away"),
        ] {
            let kg = self.sum(|e| matches!(e.what, What::Went { fate: f, .. } if f == fate));
            if kg > SPECK {
                out.push(format!("{} {words}", self.told.amount(None, kg)));
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// Jars and fridge room at the fullest, and the day's work.
    fn room(&self) -> Option<String> {
        let f = &self.state.fullest;
        let show = self.told.show();
        let mut out = Vec::new();
        let jars: u32 = self.told.plan.jars.iter().map(|j| j.count).sum();
        if jars > 0 {
            out.push(format!("{} of {jars} jars in use", f.jars_used));
        }
        if self.told.facts.cold_l > 0.0 {
            let all = self.told.facts.cold_l;
            out.push(format!(
                "fridge {} of {} {} full",
                show.room_number(f.cold_used_l),
                show.room_number(all),
                show.room_unit()
            ));
            if f.over_full && f.cold_wanted_l > f.cold_used_l {
                out.push(format!("{} wanted", show.room(f.cold_wanted_l)));
            }
        }
        let work = [(self.state.chores, "of chores"), (self.state.kitchen, "in the kitchen")];
        for (time, words) in work.into_iter().filter(|(t, _)| *t >= 0.5) {
            out.push(format!("{} {words}", minutes(time)));
        }
        (!out.is_empty()).then(|| out.join(", "))
    }
}
