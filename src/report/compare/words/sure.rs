//! How sure it is, what matters, the best of several, and cautions.

use super::{Voice, in_words};
use crate::report::amounts::{count, join, per_hundred, percent};
use crate::report::compare::amounts::points;
use crate::report::page::Page;
use crate::report::words::{GENERAL_CAUTION, capital};
use crate::study::aims::MOST_TRIALS;
use crate::study::compare::{AIM_MARGIN, Best, Contender, Good, Pair};

/// Cautions told in words; the files hold all.
const CAUTIONS: usize = 3;

impl Voice<'_> {
    /// What is judged and told in words.
    fn judged(&self) -> impl Iterator<Item = &Pair> + '_ {
        let told = self.told;
        self.found.choices.iter().flat_map(move |c| {
            c.measures.iter().filter(move |p| p.good != Good::Told && in_words(told, c, p))
        })
    }

    pub(super) fn best(&self, best: &Best) -> String {
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
            // Means over other trials are not set beside each other.
            Some(first) => {
                c.name != first.name && c.trials == first.trials && (c.mean - first.mean).abs() < best.delta
            }
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

    pub(super) fn sureness(&self) -> String {
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
        let aims = if f.aim_family > 0 {
            format!(
                "Likewise {} pairs of a choice and an aim are judged together (McNemar's exact test, Holm's rule). ",
                count(f.aim_family)
            )
        } else {
            String::new()
        };
        let mut ratios: Vec<f64> = self.judged().filter_map(|p| p.variance_ratio).collect();
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
            "{family}{aims}Figures are means of all {many}. Differences are {} by {}, with Student's 95 % intervals in brackets; ends (what 9 of 10 keep to) by {} \
             resamples of whole {years}. \"Better : worse\" is in how many of 100 {years} the choice is better and \
             in how many it is worse, by what matters.{gain}",
            self.span.one(),
            self.span.one(),
            count(f.resamples),
            many = self.span.many(),
        )
    }

    pub(super) fn margins(&self) -> String {
        let mut told: Vec<String> = Vec::new();
        for p in self.judged() {
            let words = format!("{} {}", self.tongue.noun(p.key), self.tongue.size(p.key, p.margin));
            if !told.contains(&words) {
                told.push(words);
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

    pub(super) fn cautions(&self, page: &mut Page) {
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

/// To two digits.
fn rough_count(x: f64) -> u32 {
    let unit = 10f64.powf((x.max(1.0).log10().floor() - 1.0).max(0.0));
    ((x / unit).round() * unit).min(f64::from(u32::MAX)) as u32
}
