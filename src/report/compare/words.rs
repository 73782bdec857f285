//! The comparison in plain words, then its tables.

use super::super::amounts::{Show, count, join, of, per_hundred, percent};
use super::super::dates::Span;
use super::super::page::{Block, Page};
use super::super::tables::{add, row, table};
use super::super::words::{GENERAL_CAUTION, bound, capital};
use super::Told;
use super::amounts::{Tongue, direction, is_headline, points};
use crate::study::aims::MOST_TRIALS;
use crate::study::compare::{AIM_MARGIN, Against, AimPair, Best, Comparison, Contender, Good, Pair, Verdict};

/// Most entries of one verdict that are told with their figures.
const TOLD: usize = 6;
/// Cautions told in words; the files hold all.
const CAUTIONS: usize = 3;
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
    if let Some(best) = &v.found.best {
        page.part("The best of them", v.best(best));
    }
    for (number, choice) in v.found.choices.iter().enumerate() {
        v.choice(&mut page, choice, number + 1);
    }
    v.aims_table(&mut page);
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
            "{what} set against {}, {} by {} on the same luck: only the choice differs.",
            self.found.base,
            self.span.one(),
            self.span.one()
        )
    }

    fn in_words(&self, p: &Pair) -> bool {
        in_words(self.told, p)
    }

    fn with<'b>(&self, choice: &'b Against, verdict: Verdict) -> Vec<&'b Pair> {
        let mut pairs: Vec<&Pair> =
            choice.measures.iter().filter(|p| p.verdict == Some(verdict) && self.in_words(p)).collect();
        // What aims speak of first, then by how much it matters. Equal keeps order.
        let weight = |p: &Pair| p.difference.abs() / p.margin.max(1e-12);
        pairs.sort_by(|a, b| b.aimed.cmp(&a.aimed).then(weight(b).total_cmp(&weight(a))));
        pairs
    }

    fn nouns(&self, pairs: &[&Pair]) -> String {
        let words: Vec<String> = pairs.iter().map(|p| self.tongue.noun(p.key)).collect();
        join(&words, "and")
    }

    fn choice(&self, page: &mut Page, choice: &Against, number: usize) {
        let [better, worse, same, open] =
            [Verdict::Better, Verdict::Worse, Verdict::Same, Verdict::CannotTell]
                .map(|v| self.with(choice, v));
        page.heading(capital(&choice.name));
        page.say(self.changes(number));
        page.say(self.sentence(choice, &better, &worse, &same, &open));
        for (lead, pairs) in [("better", &better), ("worse", &worse)] {
            for p in pairs.iter().take(TOLD) {
                page.item(format!("{lead}: {}", self.figures(p)));
            }
            if pairs.len() > TOLD {
                page.item(format!("{lead} too: {}.", self.nouns(&pairs[TOLD..])));
            }
        }
        for p in open.iter().take(TOLD) {
            page.item(format!("cannot be told yet: {}", self.open(p)));
        }
        for aim in choice.aims.iter().filter(|a| a.verdict != Verdict::Same) {
            page.item(self.aim(aim));
        }
        let told: Vec<String> = choice
            .measures
            .iter()
            .filter(|p| p.good == Good::Told && self.in_words(p))
            .filter(|p| p.differs(self.found.alpha) && p.difference.abs() > p.margin)
            .map(|p| {
                let (now, base) = (self.tongue.value(p.key, p.choice), self.tongue.value(p.key, p.base));
                format!("{} {now}, not {base}", self.tongue.noun(p.key))
            })
            .collect();
        if !told.is_empty() {
            page.item(format!("neither good nor bad: {}.", join(&told, "and")));
        }
        self.only(page, choice);
    }

    /// What the variant changes: `Changes stores, milk fridge, like: … instead of …`.
    fn changes(&self, number: usize) -> String {
        let Some(origin) = self.told.origins.get(number) else { return String::new() };
        let each = origin.changes.iter().take(CHANGES).map(|c| match (&c.was, &c.now) {
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
    fn sentence(
        &self,
        choice: &Against,
        better: &[&Pair],
        worse: &[&Pair],
        same: &[&Pair],
        open: &[&Pair],
    ) -> String {
        let exactly = choice.measures.iter().all(|p| p.counts.higher + p.counts.lower == 0);
        if exactly {
            return format!(
                "It differs in nothing: every {} is the same, to the last digit.",
                self.span.one()
            );
        }
        let mut parts = Vec::new();
        for (lead, pairs) in [
            ("better at", better),
            ("worse at", worse),
            ("the same, within what matters, at", same),
            ("not told apart yet at", open),
        ] {
            if !pairs.is_empty() {
                parts.push(format!("{lead} {}", self.nouns(pairs)));
            }
        }
        if parts.is_empty() {
            return "Nothing that is better or worse differs between the two.".into();
        }
        format!("{}.", capital(&parts.join("; ")))
    }

    /// `waste 4.1 %, not 9.8 %: 5.7 points less (5.4 to 6 points). …`
    fn figures(&self, p: &Pair) -> String {
        let t = &self.tongue;
        let interval = match p.ci95 {
            Some([low, high]) if low < high && low * high >= 0.0 => {
                let ends = if low.abs() <= high.abs() { [low, high] } else { [high, low] };
                format!(" ({})", t.span(p.key, ends))
            }
            _ => String::new(),
        };
        format!(
            "{} {}, not {}: {} {}{interval}. {}{}",
            t.noun(p.key),
            t.value(p.key, p.choice),
            t.value(p.key, p.base),
            t.size(p.key, p.difference),
            direction(p.difference),
            capital(&self.in_years(p)),
            self.bad_years(p)
        )
    }

    /// `better in 9 of 10 years, worse in 1 of 20 years.`
    fn in_years(&self, p: &Pair) -> String {
        let n = f64::from(self.found.trials.max(1));
        let [better, _, worse] = p.better_alike_worse().map(|k| f64::from(k) / n);
        let told = |part: f64| self.part(part, of);
        let [first, second] = if p.verdict == Some(Verdict::Worse) {
            [("worse", worse), ("better", better)]
        } else {
            [("better", better), ("worse", worse)]
        };
        format!("by what matters, {} in {} and {} in {}.", first.0, told(first.1), second.0, told(second.1))
    }

    /// `every year`, `no year`, `7 of 10 years`.
    fn part(&self, part: f64, words: impl Fn(f64) -> String) -> String {
        if part >= 1.0 {
            format!("every {}", self.span.one())
        } else if part <= 0.0 {
            format!("no {}", self.span.one())
        } else {
            format!("{} {}", words(part), self.span.many())
        }
    }

    /// The bad end: what 1 of 10 years reach, where it moved by what matters.
    fn bad_years(&self, p: &Pair) -> String {
        let at = if p.good == Good::More { 1 } else { 2 };
        let q = &p.quantiles[at];
        let sure = q.ci95.is_some_and(|[low, high]| low > 0.0 || high < 0.0);
        if !sure || (q.choice - q.base).abs() <= p.margin {
            return String::new();
        }
        format!(
            " The worst 1 of 10 {}: {} or worse, not {}.",
            self.span.many(),
            self.tongue.value(p.key, q.choice),
            self.tongue.value(p.key, q.base)
        )
    }

    fn open(&self, p: &Pair) -> String {
        let t = &self.tongue;
        let between = match p.ci95 {
            // It would do by itself, but not among all that are judged together.
            Some(ends) if ends[0] * ends[1] > 0.0 => {
                let [near, far] = if ends[0] > 0.0 { ends } else { [ends[1], ends[0]] };
                format!(
                    "{} {}, too little to tell among so many",
                    t.span(p.key, [near, far]),
                    direction(ends[0])
                )
            }
            Some([low, high]) => {
                let side = |d: f64| {
                    if d == 0.0 { "nothing".into() } else { format!("{} {}", t.size(p.key, d), direction(d)) }
                };
                format!("between {} and {}", side(low), side(high))
            }
            None => format!("one {} tells nothing of chance", self.span.one()),
        };
        format!(
            "{} {}, not {}; {between}. {}",
            t.noun(p.key),
            t.value(p.key, p.choice),
            t.value(p.key, p.base),
            self.more(p.more_trials)
        )
    }

    fn more(&self, trials: Option<u32>) -> String {
        match trials {
            Some(n) => {
                let step = 10_u32.pow(n.max(1).ilog10().saturating_sub(1));
                let n = n.div_ceil(step).saturating_mul(step);
                format!("About {} more simulated {} would tell.", count(n), self.span.many())
            }
            None => format!("Not even {} {} would tell.", count(MOST_TRIALS), self.span.many()),
        }
    }

    fn aim(&self, a: &AimPair) -> String {
        let how = match a.verdict {
            Verdict::Better => "kept more often",
            Verdict::Worse => "kept less often",
            Verdict::Same | Verdict::CannotTell => "cannot be told yet whether it is kept as often",
        };
        let more = match a.verdict {
            Verdict::CannotTell => format!(" {}", self.more(a.more_trials)),
            _ => String::new(),
        };
        let [low, high] = a.ci95.map(whole_signed);
        format!(
            "the aim \"{}\", {how}: in {}, not {:.0} of 100 ({low} to {high} points).{more}",
            bound(&a.aim),
            self.part(a.choice, per_hundred),
            a.base * 100.0
        )
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

    fn best(&self, best: &Best) -> String {
        let noun = match best.key {
            Some(key) => self.tongue.noun(key),
            None => "the part of the aims that is kept".into(),
        };
        let value = |v: f64| match best.key {
            Some(key) => self.tongue.value(key, v),
            None => percent(v),
        };
        let delta = match best.key {
            Some(key) => self.tongue.size(key, best.delta),
            None => points(best.delta),
        };
        let years = self.span.many();
        let each: Vec<String> = best
            .contenders
            .iter()
            .map(|c| {
                let out = if c.left_out { ", left out then" } else { "" };
                format!("{} {} after {} {years}{out}", c.name, value(c.mean), count(c.trials))
            })
            .collect();
        let lead = match best.chosen.and_then(|i| best.contenders.get(i)) {
            Some(c) => format!(
                "By {noun}, {} is the best. If the best leads by {delta} or more, this is right {} times; a \
                 smaller lead is not looked for.",
                c.name,
                per_hundred(best.sure)
            ),
            None => format!(
                "By {noun}, the best cannot be told: not even {} {years} do. A larger difference that matters \
                 (now {delta}) would be told sooner.",
                count(MOST_TRIALS)
            ),
        };
        let near = |c: &&Contender| match best.chosen.and_then(|i| best.contenders.get(i)) {
            Some(first) => c.name != first.name && (c.mean - first.mean).abs() < best.delta,
            None => false,
        };
        let near: Vec<String> = best.contenders.iter().filter(near).map(|c| c.name.clone()).collect();
        let near = if near.is_empty() {
            String::new()
        } else {
            format!(" So near to it that it hardly matters: {}.", join(&near, "and"))
        };
        format!(
            "{lead}{near} {}. In all {} {years} were looked at; on separate luck it would have taken about {}.",
            capital(&each.join("; ")),
            count(best.trials),
            count(rough_count(best.separate_trials))
        )
    }

    fn aims_table(&self, page: &mut Page) {
        let Some(first) = self.found.choices.iter().find(|c| !c.aims.is_empty()) else { return };
        let aims: Vec<&AimPair> = first.aims.iter().collect();
        let head: Vec<String> =
            std::iter::once(String::new()).chain((1..=aims.len()).map(|i| format!("{i}."))).collect();
        let mut t = table(&head.iter().map(String::as_str).collect::<Vec<_>>());
        let line = |name: &str, parts: Vec<String>| {
            std::iter::once(name.to_string()).chain(parts).collect::<Vec<_>>()
        };
        row(&mut t, &line(&self.found.base, aims.iter().map(|a| percent(a.base)).collect()));
        for choice in &self.found.choices {
            let of = |aim: &AimPair| {
                let same = choice.aims.iter().find(|a| a.aim == aim.aim);
                same.map_or_else(|| "not set".into(), |a| percent(a.choice))
            };
            row(&mut t, &line(&choice.name, aims.iter().map(|a| of(a)).collect()));
        }
        let words: Vec<String> =
            aims.iter().enumerate().map(|(i, a)| format!("{}. {}", i + 1, a.aim)).collect();
        add(page, &format!("Part of all {} in which each aim is kept", self.span.many()), t);
        page.say(format!("{}.", words.join("; ")));
    }

    fn table(&self, page: &mut Page, choice: &Against) {
        let t = &self.tongue;
        let mut rows = table(&["", "base", "choice", "difference", "better : worse"]);
        let mut any = false;
        for p in choice.measures.iter().filter(|p| self.in_words(p)) {
            any = true;
            let n = f64::from(self.found.trials.max(1));
            let [up, _, down] = p.better_alike_worse().map(|k| percent(f64::from(k) / n));
            let told = p.good == Good::Told;
            row(
                &mut rows,
                &[
                    t.noun(p.key),
                    t.value(p.key, p.base),
                    t.value(p.key, p.choice),
                    signed(t, p, p.difference),
                    if told { String::new() } else { format!("{up} : {down}") },
                ],
            );
        }
        if any {
            add(page, &format!("{} against {}", capital(&choice.name), self.found.base), rows);
        }
    }

    fn sureness(&self) -> String {
        let (f, years) = (self.found, self.span.many());
        let chance = per_hundred(f.alpha);
        let family = if f.family > 0 {
            format!(
                "Of what the aims speak of, {} pairs of a choice and a measure are judged together: the chance \
                 that any \"better\" or \"worse\" among them is false is at most {chance}, and so it is for any \
                 \"the same\" (Holm's rule). Everything else is judged by itself, each with {chance}. ",
                count(f.family)
            )
        } else {
            format!("Each measure is judged by itself, with a chance of {chance} of a false claim. ")
        };
        let mut ratios: Vec<f64> = f
            .choices
            .iter()
            .flat_map(|c| &c.measures)
            .filter(|p| p.good != Good::Told && self.in_words(p))
            .filter_map(|p| p.variance_ratio)
            .collect();
        ratios.sort_by(f64::total_cmp);
        let gain = match ratios.get(ratios.len() / 2) {
            Some(middle) if *middle >= 1.5 => format!(
                " On separate luck the same intervals would take more {years}: {} times as many for the middle \
                 one of these measures.",
                crate::units::show::rough(*middle)
            ),
            _ => String::new(),
        };
        format!(
            "{family}Figures are means of all {many}. Differences are {} by {}, with Student's 95 % intervals in brackets; ends (the worst 1 of 10) by {} \
             resamples of whole {years}. \"Better : worse\" is the part of {years} in which the choice is better and \
             worse by what matters.{gain}",
            self.span.one(),
            self.span.one(),
            count(f.resamples),
            many = self.span.many(),
        )
    }

    fn margins(&self) -> String {
        let mut told: Vec<String> = Vec::new();
        for p in self.found.choices.iter().flat_map(|c| &c.measures) {
            if p.good != Good::Told && self.in_words(p) {
                let words = format!("{} {}", self.tongue.noun(p.key), self.tongue.size(p.key, p.margin));
                if !told.contains(&words) {
                    told.push(words);
                }
            }
        }
        if told.is_empty() {
            return String::new();
        }
        format!(
            "A smaller difference than this is called the same: {}; of an aim, {} of the {}. Other amounts: \
             --matters MEASURE=AMOUNT.",
            join(&told, "and"),
            points(AIM_MARGIN),
            self.span.many()
        )
    }

    fn cautions(&self, page: &mut Page) {
        page.heading("Cautions");
        let all = &self.told.cautions;
        for caution in all.iter().take(CAUTIONS) {
            page.item(caution.as_str());
        }
        match all.len().saturating_sub(CAUTIONS) {
            0 if all.is_empty() => page.item(GENERAL_CAUTION),
            0 => {}
            n => page.item(format!("{n} more belong to these plans: `check` prints them all.")),
        }
    }
}

/// Whether a measure is told in words.
pub(super) fn in_words(told: &Told, p: &Pair) -> bool {
    if told.chosen || p.aimed {
        return true;
    }
    // Days short say the same as an aim on milk on the table.
    let doubled = p.name == "milk_short_days" && told.found.aimed.iter().any(|a| a == "milk_days");
    // What is the same in every year of both is no news.
    is_headline(p.key, p.good) && !doubled && p.counts.higher + p.counts.lower > 0
}

/// A difference with its sign.
pub(super) fn signed(t: &Tongue, p: &Pair, difference: f64) -> String {
    let size = t.size(p.key, difference);
    if difference == 0.0 {
        size
    } else if difference > 0.0 {
        format!("+{size}")
    } else {
        format!("−{size}")
    }
}

/// Cut after so many characters.
fn shortened(text: &str) -> String {
    if text.chars().count() <= LONGEST_CHANGE {
        return text.to_string();
    }
    let head: String = text.chars().take(LONGEST_CHANGE).collect();
    format!("{} …", head.trim_end())
}

/// Points of a percent, whole, with their sign.
fn whole_signed(part: f64) -> String {
    match (part * 100.0).round() {
        p if p > 0.0 => format!("+{p:.0}"),
        p if p < 0.0 => format!("−{:.0}", -p),
        _ => "0".into(),
    }
}

fn small(n: usize) -> String {
    let words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    words.get(n).map_or_else(|| n.to_string(), |w| (*w).to_string())
}

/// To two digits.
fn rough_count(x: f64) -> u32 {
    let unit = 10f64.powf((x.max(1.0).log10().floor() - 1.0).max(0.0));
    ((x / unit).round() * unit).min(f64::from(u32::MAX)) as u32
}
