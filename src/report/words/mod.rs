//! The summary in plain words, answer first.

mod answer;
mod body;
mod cold;
mod dry;
mod herd;
mod house;
mod remedies;
mod trade;
mod troubles;

pub(super) use answer::{bound, capital};
pub(super) use body::{CAUSES, fate_words, wants};
pub(super) use house::{main_reason, reason};
pub(super) use trade::money;

use super::amounts::{Show, of};
use super::dates::Span;
use super::page::{Block, Page};
use super::{Facts, Subject, tables};
use crate::study::results::{Band, RunResult, Summary};

/// Below so many trials a range is told as least and most.
const FEW: u32 = 20;

/// Cautions told on the first page: those on who falls ill come first.
const FIRST_CAUTIONS: usize = 3;

/// How much of the report is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Length {
    /// The answer alone.
    First,
    /// Everything.
    All,
}

/// The answer, how to see the rest, and the first cautions.
pub(super) fn first_page(subject: &Subject, rest: &str) -> Page {
    let voice = Voice::new(subject);
    let mut page = voice.answer(Length::First);
    page.part(
        "The whole report",
        format!(
            "Milk and waste in amounts, what ran short, room, jars, minutes, the dry weeks, chilling and every \
             rule: {rest}."
        ),
    );
    voice.cautions(&mut page, Length::First);
    page
}

/// The whole page.
pub(super) fn page(subject: &Subject) -> Page {
    let voice = Voice::new(subject);
    let mut page = voice.answer(Length::All);
    body::write(&voice, &mut page);
    house::write(&voice, &mut page);
    trade::write(&voice, &mut page);
    tables::write(&voice, &mut page);
    voice.foot(&mut page);
    page
}

/// The page in parts: the answer, what stands behind it, the foot.
pub(super) fn parts(voice: &Voice) -> [Page; 3] {
    let (mut body, mut foot) = (Page::default(), Page::default());
    body::write(voice, &mut body);
    house::write(voice, &mut body);
    trade::write(voice, &mut body);
    voice.foot(&mut foot);
    [voice.answer(Length::All), body, foot]
}

/// Of fewer trials so many are counted out, not told of a hundred.
const A_HUNDRED: u32 = 100;

/// What every part of the page needs to speak.
pub(super) struct Voice<'a> {
    pub subject: &'a Subject<'a>,
    pub result: &'a RunResult,
    pub facts: &'a Facts,
    pub show: Show,
    pub span: Span,
}

impl<'a> Voice<'a> {
    pub fn new(subject: &'a Subject<'a>) -> Self {
        Self {
            subject,
            result: subject.result,
            facts: subject.facts,
            show: Show::new(subject.units),
            span: Span::new(&subject.names.first_day, subject.result.days),
        }
    }

    /// The title and the answer: how every page begins.
    fn answer(&self, length: Length) -> Page {
        let mut page = Page::default();
        page.blocks.push(Block::Title(self.title()));
        if self.single() {
            page.say(STEADY);
        }
        answer::write(self, &mut page, length);
        page
    }

    fn title(&self) -> String {
        let title = if self.subject.names.title.trim().is_empty() {
            self.subject.file
        } else {
            self.subject.names.title.trim()
        };
        let what = if self.single() {
            format!("the average {}, no chance anywhere", self.span.one())
        } else {
            format!("{}, seed {}", self.span.trials(self.result.trials), self.result.seed)
        };
        format!("{title}: {what}")
    }

    /// A run without chance.
    pub fn single(&self) -> bool {
        self.result.steady
    }

    pub fn measure(&self, name: &str) -> Option<&'a Summary> {
        self.result.measure(name)
    }

    pub fn band(&self, name: &str) -> Option<&'a Band> {
        self.result.bands.iter().find(|b| b.name == name)
    }

    /// `in 7 of 10 years`, `in every year`, `in no year`.
    pub fn in_of(&self, part: f64) -> String {
        if part >= 1.0 - 1e-12 {
            format!("in every {}", self.span.one())
        } else if part <= 0.0 {
            format!("in no {}", self.span.one())
        } else if (2..A_HUNDRED).contains(&self.result.trials) {
            let n = self.result.trials;
            format!(
                "in {} of {} {}",
                (part * f64::from(n)).round(),
                super::amounts::count(n),
                self.span.many()
            )
        } else {
            format!("in {} {}", of(part), self.span.many())
        }
    }

    /// `in 68 of 100 years`; of fewer than a hundred `in 41 of 60 years`.
    pub fn in_of_counted(&self, part: f64) -> String {
        if self.result.trials < A_HUNDRED || part <= 0.0 || part >= 1.0 {
            self.in_of(part)
        } else {
            format!("in {} {}", super::amounts::per_hundred(part), self.span.many())
        }
    }

    /// `612 gal (in 9 of 10 years between 540 and 690 gal)`, with `about`
    /// where there is a range.
    pub fn range(&self, m: &Summary, words: impl Fn(f64) -> String) -> String {
        let middle = words(m.quantiles[2]);
        match self.between(m, &words) {
            Some(between) if m.quantiles[2] == 0.0 => {
                format!("none in the middle {} ({between})", self.span.one())
            }
            Some(between) => format!("about {middle} ({between})"),
            None => middle,
        }
    }

    /// `on about 41 days (in 9 of 10 years between 23 and 58 days)`; where the
    /// middle year has none, how many years have any.
    pub fn on_days(&self, m: &Summary) -> String {
        if m.quantiles[2] > 0.0 {
            return format!("on {}", self.range(m, super::amounts::days));
        }
        let any = self.in_of(self.part_above(&m.name, 0.5).unwrap_or(0.0));
        if m.quantiles[4] <= 0.0 {
            return format!("at some time {any}");
        }
        let many = self.span.many();
        format!("at some time {any} (in 1 of 20 {many} on {} or more)", super::amounts::days(m.quantiles[4]))
    }

    /// The same of pick-up days.
    pub fn on_pick_ups(&self, m: &Summary) -> String {
        self.on_days(m).replace(" days", " pick-up days").replace(" day ", " pick-up day ")
    }

    /// `about 73 days (46 to 124)`, where the page has said what brackets hold.
    pub fn bracket(&self, m: &Summary, words: impl Fn(f64) -> String) -> String {
        let middle = words(m.quantiles[2]);
        let (lo, hi) = (words(m.quantiles[0]), words(m.quantiles[4]));
        if self.single() || lo == hi {
            return middle;
        }
        let bare = |t: &str| t.split_once(' ').map_or_else(|| t.to_string(), |(n, _)| n.to_string());
        format!("about {middle} ({} to {})", bare(&lo), bare(&hi))
    }

    /// `in 9 of 10 years between 540 and 690 gal`; `None` where nothing varies.
    pub fn between(&self, m: &Summary, words: impl Fn(f64) -> String) -> Option<String> {
        if self.single() || self.result.trials < 2 {
            return None;
        }
        let (lo, hi, lead) = if self.result.trials < FEW {
            (m.min, m.max, format!("in {} {}", self.result.trials, self.span.many()))
        } else {
            (m.quantiles[0], m.quantiles[4], format!("in 9 of 10 {}", self.span.many()))
        };
        let (lo, hi) = (words(lo), words(hi));
        if lo == hi {
            return None;
        }
        let shorter = match (lo.split_once(' '), hi.split_once(' ')) {
            // `1 h` may stand for `1 h 0 min`: only one number and one unit are cut short.
            (Some((n, a)), Some((_, b))) if (a == b || a == b.trim_end_matches('s')) && !b.contains(' ') => {
                n.to_string()
            }
            _ => lo,
        };
        Some(format!("{lead} between {shorter} and {hi}"))
    }

    /// A measure, trial by trial.
    pub fn column(&self, name: &str) -> Vec<f64> {
        let r = self.result;
        let Some(column) = r.columns.iter().position(|c| c == name) else { return Vec::new() };
        r.rows.chunks_exact(r.columns.len()).filter_map(|row| row.get(column).copied()).collect()
    }

    /// Part of trials whose measure is above `bound`.
    pub fn part_above(&self, name: &str, bound: f64) -> Option<f64> {
        let all = self.column(name);
        let above = all.iter().filter(|v| **v > bound).count();
        (!all.is_empty()).then(|| above as f64 / all.len() as f64)
    }

    /// Cautions and the state of the books: on every page, last.
    fn foot(&self, page: &mut Page) {
        let c = &self.result.closure;
        let worst = c.mass.max(c.fat).max(c.protein);
        let within = if worst < 1e-15 {
            "to the last digit".to_string()
        } else {
            format!("to {worst:.0e} of all that came in (rounding)")
        };
        page.part(
            "Books",
            format!(
                "The books balance {within}, in every {}: for mass, fat and protein each.",
                self.span.one()
            ),
        );
        self.cautions(page, Length::All);
    }

    fn cautions(&self, page: &mut Page, length: Length) {
        let all = &self.subject.names.cautions;
        page.heading("Cautions");
        let told = if length == Length::First { FIRST_CAUTIONS.min(all.len()) } else { all.len() };
        for caution in &all[..told] {
            page.item(caution.as_str());
        }
        if all.is_empty() {
            page.item(GENERAL_CAUTION);
        }
        match all.len() - told {
            0 => {}
            1 => page.item("One more belongs to this plan: the whole report ends with it."),
            n => page.item(format!("{n} more belong to this plan: the whole report ends with them.")),
        }
    }
}

/// What a run without chance is, and is not.
const STEADY: &str = "Every yield, day and appetite is at its mean; foul milk, kicked pails, illness, hot spells, \
    outages and deliveries that fail are left out. This checks the arithmetic of the plan; it is not the mean of many years.";

/// Said where the scenario brought no cautions of its own.
pub(super) const GENERAL_CAUTION: &str = "Raw milk can carry germs that make people ill, and neither smell nor these figures \
    tell whether it does. What may be sold, shared or made, and how, is for local law; ask a veterinarian, a dairy \
    inspector or a doctor.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Names, UnitSystem};

    #[test]
    fn a_run_without_measures_still_has_cautions() {
        let result = RunResult {
            trials: 1,
            seed: 1,
            days: 1,
            steady: false,
            closure: crate::sim::outcome::Closure::default(),
            measures: vec![],
            fates: vec![],
            aims: vec![],
            rules: vec![],
            bands: vec![],
            columns: vec![],
            rows: vec![],
            remedies: vec![],
            putting_up: vec![],
            precision: None,
            middle_trial: (0, String::new()),
        };
        let (names, facts) = (Names::default(), Facts::default());
        let subject = Subject {
            result: &result,
            names: &names,
            facts: &facts,
            units: UnitSystem::Us,
            file: "a.yaml",
            sha256: "",
        };
        let text = page(&subject).text(80);
        assert!(text.contains("Raw milk can carry germs"), "{text}");
        assert!(text.contains("a.yaml: 1 simulated run of 1 day, seed 1"), "{text}");
    }
}
