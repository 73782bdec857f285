//! What was done in the house that day: rules, lists, room, work, herd, power.

use super::*;
use crate::report::amounts::{counted, minutes};
use crate::study::trace::Herd;

impl Day<'_> {
    /// What befell the animals: `Clover freshened; Hazel was bred and settled`.
    pub(super) fn herd(&self) -> Option<String> {
        let mut out: Vec<String> = Vec::new();
        for e in &self.events {
            if let What::Animal { animal, what } = e.what {
                let young = self.told.young(animal);
                let who = self.animal(animal);
                out.push(match what {
                    Herd::Came => format!("{who} came"),
                    Herd::Left => format!("{who} left"),
                    Herd::Freshened => format!("{who} freshened"),
                    Herd::Dry => format!("{who} is dry"),
                    Herd::FellIll => format!("{who} fell ill"),
                    Herd::KeptFromPeople => {
                        format!("{who}'s milk is kept from people, for illness or treatment")
                    }
                    Herd::FitAgain => format!("{who}'s days of keeping back are over"),
                    Herd::HeatUnseen => format!("{who} was in heat, unseen"),
                    Herd::Bred => format!("{who} was bred, and did not settle"),
                    Herd::Settled => format!("{who} was bred, and settled"),
                    Herd::NotSettled => format!("{who} is bred no more: she did not settle"),
                    Herd::LeftOpen => format!("{who} is open still: bred in vain, and not yet again"),
                    Herd::YoungOn => format!("{who} has her {young} with her day and night"),
                    Herd::YoungShutIn(apart) => {
                        format!("{who}'s {young} shut in {} from now on", apart.words())
                    }
                    Herd::YoungOff => format!("{who}'s {young} off her"),
                    Herd::OnceADay => format!("{who} is milked once a day"),
                    Herd::AsBefore => format!("{who} is milked as before"),
                });
            }
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// Hours without power.
    pub(super) fn power(&self) -> Option<String> {
        let hours: f64 =
            self.events.iter().map(|e| if let What::NoPower(h) = e.what { h } else { 0.0 }).sum();
        (hours > 0.0).then(|| format!("out for {}", minutes(60.0 * hours)))
    }

    /// Milk for the members, and who went home with less.
    pub(super) fn shared_out(&self) -> Option<String> {
        let mut out: Vec<String> = self.gone(Fate::SharedOut).into_iter().collect();
        let mut short: Vec<(String, Vec<usize>)> = Vec::new();
        for e in &self.events {
            let What::WentShort { member, promised } = e.what else { continue };
            let got = if e.matter.mass > SPECK {
                format!("{} of {}", self.told.amount(None, e.matter.mass), self.told.amount(None, promised))
            } else {
                format!("nothing of {}", self.told.amount(None, promised))
            };
            match short.iter_mut().find(|(words, _)| *words == got) {
                Some((_, members)) => members.push(member),
                None => short.push((got, vec![member])),
            }
        }
        let named = self.told.plan.trade.share.as_ref().is_some_and(|s| s.named);
        for (got, members) in short {
            let names: Vec<String> =
                members.iter().filter_map(|m| self.told.names.members.get(*m).cloned()).collect();
            let who = if named && names.len() == members.len() {
                join(&names, "and")
            } else {
                counted(members.len() as f64, "member", "members")
            };
            out.push(format!("{who} got {got}"));
        }
        let away: u32 =
            self.events.iter().map(|e| if let What::MembersStayedAway(n) = e.what { n } else { 0 }).sum();
        if away > 0 {
            out.push(format!("{} did not come", counted(f64::from(away), "member", "members")));
        }
        (!out.is_empty()).then(|| out.join("; "))
    }

    /// What each rule of the routine did.
    pub(super) fn done(&self) -> Option<String> {
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
            if self.events.iter().any(|e| mine(e) && matches!(e.what, What::Starter(_))) {
                text = format!("{text}; a new starter was bought");
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

    /// What the lists for a full fridge did.
    pub(super) fn full(&self) -> Option<String> {
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

    /// Jars and fridge room at the fullest, and the day's work.
    pub(super) fn room(&self) -> Option<String> {
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
