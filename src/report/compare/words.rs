//! The comparison in plain words, then its tables.

mod claims;
mod sure;
mod tables;

pub(super) use tables::signed;

use super::super::amounts::{Show, join};
use super::super::dates::Span;
use super::super::page::{Block, Page};
use super::super::words::capital;
use super::Told;
use super::amounts::{Tongue, is_headline};
use crate::study::compare::{Against, Comparison, Good, Pair, Verdict};
use crate::study::measures::{MILK, MeasureKey};

/// Most entries of one verdict that are told with their figures.
const TOLD: usize = 6;
/// Of a run that has fewer days without milk than these on average, nothing is told of
/// its dry weeks.
const DRY_DAYS: f64 = 7.0;
/// Changes of a variant that are told, and the longest, characters.
const CHANGES: usize = 4;
const LONGEST_CHANGE: usize = 160;

struct Voice<'a> {
    told: &'a Told<'a>,
    found: &'a Comparison,
    tongue: Tongue<'a>,
    span: Span,
}

pub(super) fn page(told: &Told) -> Page {
    let v = Voice {
        told,
        found: told.found,
        tongue: Tongue::new(told.names, Show::new(told.units)),
        span: Span::new(&told.names.first_day, told.found.days),
    };
    let mut page = Page::default();
    page.blocks.push(Block::Title(v.title()));
    page.say(v.lead());
    for choice in &v.found.choices {
        page.item(format!("{}: {}", capital(&choice.name), v.sentence(choice)));
    }
    if let Some(best) = &v.found.best {
        page.part("The best of them", v.best(best));
    }
    for (number, choice) in v.found.choices.iter().enumerate() {
        v.choice(&mut page, choice, number + 1);
    }
    v.aims_table(&mut page);
    v.cold_tables(&mut page);
    for choice in &v.found.choices {
        v.table(&mut page, choice);
    }
    page.part("How sure this is", v.sureness());
    page.part("What is taken to matter", v.margins());
    v.cautions(&mut page);
    page
}

impl Voice<'_> {
    fn title(&self) -> String {
        let title = self.told.origins.first().map_or("", |o| o.title.trim());
        let title = if title.is_empty() { self.found.base.as_str() } else { title };
        let title = title.trim_end_matches(['?', '!', '.', ':']);
        format!(
            "{title}, compared: {} of each, seed {}",
            self.span.trials(self.found.trials),
            self.found.seed
        )
    }

    fn lead(&self) -> String {
        let names: Vec<String> = self.found.choices.iter().map(|c| c.name.clone()).collect();
        let what = match &names[..] {
            [one] => format!("One choice, {one}, is"),
            all => format!("{} choices are", capital(&small(all.len()))),
        };
        format!(
            "{what} set against {}, {} by {} on the same luck: only the choice differs.{}",
            self.found.base,
            self.span.one(),
            self.span.one(),
            if self.found.broken_off {
                " Stopped before its end: only what was done by then is told, and nothing was written."
            } else {
                ""
            }
        )
    }

    fn with<'b>(&self, choice: &'b Against, verdict: Verdict) -> Vec<&'b Pair> {
        let beside_dry_days = |p: &Pair| self.turns_on_dry_days(choice, p);
        let mut pairs: Vec<&Pair> = choice
            .measures
            .iter()
            .filter(|p| !beside_dry_days(p))
            .filter(|p| p.verdict == Some(verdict) && in_words(self.told, choice, p))
            .collect();
        // What aims speak of first, then by how much it matters. Equal keeps order.
        let weight = |p: &Pair| p.difference.abs() / p.margin.max(1e-12);
        pairs.sort_by(|a, b| b.aimed.cmp(&a.aimed).then(weight(b).total_cmp(&weight(a))));
        pairs
    }

    /// Days short of milk are no better for there being fewer days without it within
    /// the days that are simulated: a later date may only put them off.
    fn turns_on_dry_days(&self, choice: &Against, p: &Pair) -> bool {
        matches!(p.key, MeasureKey::ShortDays(MILK) | MeasureKey::LongestGap(MILK))
            && !p.aimed
            && choice
                .measure("dry_days")
                .is_some_and(|d| d.differs(self.found.alpha) && d.difference.abs() > d.margin)
    }

    fn nouns(&self, pairs: &[&Pair]) -> String {
        let words: Vec<String> = pairs.iter().map(|p| self.tongue.noun(p.key)).collect();
        join(&words, "and")
    }

    fn choice(&self, page: &mut Page, choice: &Against, number: usize) {
        let [better, worse, open] =
            [Verdict::Better, Verdict::Worse, Verdict::CannotTell].map(|v| self.with(choice, v));
        page.heading(capital(&choice.name));
        page.say(self.changes(number));
        for (lead, pairs) in [("better", &better), ("worse", &worse)] {
            for p in pairs.iter().take(TOLD) {
                page.item(format!("{lead}: {}", self.figures(p)));
            }
            if pairs.len() > TOLD {
                page.item(format!("{lead} too: {}.", self.nouns(&pairs[TOLD..])));
            }
        }
        // Where all is the same to the last digit nothing is open.
        if !choice.differs_in_nothing() {
            for p in open.iter().take(TOLD) {
                page.item(format!("cannot be told yet: {}", self.open(p)));
            }
            for aim in choice.aims.iter().filter(|a| a.verdict != Verdict::Same) {
                page.item(self.aim(aim));
            }
        }
        let told: Vec<String> = choice
            .measures
            .iter()
            .filter(|p| p.good == Good::Told && in_words(self.told, choice, p))
            .filter(|p| p.differs(self.found.alpha) && p.difference.abs() > p.margin)
            .map(|p| format!("{} {}", self.tongue.noun(p.key), self.tongue.beside(p.key, p.choice, p.base)))
            .collect();
        if !told.is_empty() {
            page.item(format!("neither good nor bad: {}.", join(&told, "and")));
        }
        let put_off: Vec<String> = choice
            .measures
            .iter()
            .filter(|p| self.turns_on_dry_days(choice, p) && in_words(self.told, choice, p))
            .map(|p| format!("{} {}", self.tongue.noun(p.key), self.tongue.beside(p.key, p.choice, p.base)))
            .collect();
        if !put_off.is_empty() {
            page.item(format!(
                "not judged, as the days without milk within this time differ: {}.",
                join(&put_off, "and")
            ));
        }
        if better.is_empty() && worse.is_empty() && open.is_empty() {
            page.item("nothing is better or worse by what matters.");
        }
        self.only(page, choice);
    }

    /// What the variant changes: `Changes stores, milk fridge, like: … instead of …`.
    fn changes(&self, number: usize) -> String {
        let Some(origin) = self.told.origins.get(number) else { return String::new() };
        let each = origin.changes.iter().take(CHANGES).map(|c| match (&c.was, &c.now) {
            (Some(was), Some(now)) if entries(was).max(entries(now)) > 2 => {
                format!("{}: another list, of {} and not {}", c.path, entries(now), entries(was))
            }
            (Some(was), Some(now)) => format!("{}: {now}, not {was}", c.path),
            (None, Some(now)) => format!("{}: {now}, which is new", c.path),
            (Some(was), None) => format!("{}: taken out ({was})", c.path),
            (None, None) => c.path.clone(),
        });
        let each: Vec<String> = each.map(|c| shortened(&c)).collect();
        let rest = match origin.changes.len().saturating_sub(CHANGES) {
            0 => String::new(),
            n => format!("; and {n} more"),
        };
        if each.is_empty() { String::new() } else { format!("Changed: {}{rest}.", each.join("; ")) }
    }

    /// What it is better and worse at, in one sentence.
    fn sentence(&self, choice: &Against) -> String {
        if choice.differs_in_nothing() {
            return format!(
                "it differs in nothing: every {} is the same, to the last digit.",
                self.span.one()
            );
        }
        let mut parts = Vec::new();
        for (lead, verdict, pairs) in [
            ("better at", Verdict::Better),
            ("worse at", Verdict::Worse),
            ("the same, within what matters, at", Verdict::Same),
            ("not told apart yet at", Verdict::CannotTell),
        ]
        .map(|(lead, verdict)| (lead, verdict, self.with(choice, verdict)))
        {
            if !pairs.is_empty() {
                let rest = if matches!(verdict, Verdict::Better | Verdict::Worse) {
                    0
                } else {
                    pairs.len().saturating_sub(TOLD)
                };
                let mut words: Vec<String> =
                    pairs[..pairs.len() - rest].iter().map(|p| self.tongue.noun(p.key)).collect();
                if rest > 0 {
                    words.push(format!("{rest} more"));
                }
                parts.push(format!("{lead} {}", join(&words, "and")));
            }
        }
        if parts.is_empty() {
            return "nothing that is better or worse differs between the two.".into();
        }
        format!("{}.", parts.join("; "))
    }

    /// What only one of the two has.
    fn only(&self, page: &mut Page, choice: &Against) {
        let mut say = |whose: &str, names: &[String], what: &str| {
            if names.is_empty() {
                return;
            }
            let some: Vec<String> = names.iter().take(TOLD).cloned().collect();
            let rest = names.len().saturating_sub(TOLD);
            let tail = if rest > 0 { format!(" and {rest} more") } else { String::new() };
            page.item(format!("{what} in {whose} alone, so not compared: {}{tail}.", some.join(", ")));
        };
        say(&self.found.base, &choice.aims_only_base, "aims");
        say(&choice.name, &choice.aims_only_choice, "aims");
        say(&self.found.base, &choice.only_base, "measures");
        say(&choice.name, &choice.only_choice, "measures");
    }
}

/// Whether a measure of a choice is told in words.
pub(super) fn in_words(told: &Told, choice: &Against, p: &Pair) -> bool {
    if told.chosen || p.aimed {
        return true;
    }
    let of_dry_weeks = matches!(
        p.key,
        MeasureKey::DryFill(_)
            | MeasureKey::LaidDown(_)
            | MeasureKey::Bridged(_)
            | MeasureKey::DryDays
            | MeasureKey::FirstDryDay
    );
    if of_dry_weeks && choice.measure("dry_days").is_some_and(|d| d.base.max(d.choice) < DRY_DAYS) {
        return false;
    }
    // Days short say the same as an aim on milk on the table.
    let doubled = p.name == "milk_short_days" && told.found.aimed.iter().any(|a| a == "milk_days");
    // What is the same in every year of both is no news.
    is_headline(p.key, p.good) && !doubled && p.counts.higher + p.counts.lower > 0
}

/// Entries of a list as it is written, `[a, {b: c}]`; 0 of what is none.
fn entries(text: &str) -> usize {
    let Some(inside) = text.strip_prefix('[').and_then(|t| t.strip_suffix(']')) else { return 0 };
    let mut depth = 0_u32;
    let commas = inside.chars().filter(|c| {
        match c {
            '[' | '{' => depth += 1,
            ']' | '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        *c == ',' && depth == 0
    });
    if inside.trim().is_empty() { 0 } else { commas.count() + 1 }
}

/// Cut after so many characters.
fn shortened(text: &str) -> String {
    if text.chars().count() <= LONGEST_CHANGE {
        return text.to_string();
    }
    let head: String = text.chars().take(LONGEST_CHANGE).collect();
    format!("{} …", head.trim_end())
}

fn small(n: usize) -> String {
    let words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    words.get(n).map_or_else(|| n.to_string(), |w| (*w).to_string())
}
