//! One day in words: what came, what was done with it, where it went.

mod house;
mod milk;

use super::*;
use crate::report::amounts::join;
use crate::sim::outcome::Source;
use crate::study::trace::DayState;

/// Amounts less than this, kg, are not told in words.
const SPECK: f64 = 0.002;
/// Beside something larger, less than this, kg, is told as a little.
const A_LITTLE: f64 = 0.03;

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
                What::Held { why: reason, lack } => {
                    let words = why(told, r, reason, lack);
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
                What::NotCome(_) | What::WentShort { .. } | What::MembersStayedAway(_) => false,
                What::Starter(_) | What::NoPower(_) | What::Animal { .. } => false,
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
            self.kept().map(|t| format!("kept from people: {t}")),
            self.gone(Fate::SharedOut).map(|t| format!("shared out: {t}")),
            self.gone(Fate::Sold).map(|t| format!("sold: {t}")),
            self.gone(Fate::GivenAway).map(|t| format!("given away: {t}")),
            self.gone(Fate::KeptByHelper).map(|t| format!("kept by whoever milked: {t}")),
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
            ("Herd", self.herd()),
            ("Power", self.power()),
            ("Came in", self.came()),
            ("Soured", self.soured()),
            ("Done", self.done()),
            ("Not done", self.held.clone()),
            ("Table", self.table()),
            ("Short", self.short()),
            ("Fed", self.fed()),
            ("Too full", self.full()),
            ("Lost", self.lost()),
            ("Kept back", self.kept()),
            ("Shared out", self.shared_out()),
            ("Sold", self.gone(Fate::Sold)),
            ("Given away", self.gone(Fate::GivenAway)),
            ("The helper", self.gone(Fate::KeptByHelper).map(|t| format!("kept {t}"))),
            ("Room", self.room()),
        ];
        parts.into_iter().filter_map(|(label, text)| Some((label, text?))).collect()
    }

    fn animal(&self, animal: usize) -> &str {
        self.told.names.animals.get(animal).map_or("she", String::as_str)
    }

    fn sum(&self, test: impl Fn(&Event) -> bool) -> f64 {
        self.events.iter().filter(|e| test(e)).map(|e| e.matter.mass).sum()
    }
}
