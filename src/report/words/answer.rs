//! The answer: does the plan hold, what breaks first, what would mend it.

use super::troubles::{Trouble, troubles};
use super::{FEW, Length, Voice, remedies};
use crate::report::amounts::{count, join, per_hundred};
use crate::report::page::Page;
use crate::study::results::AimResult;

pub(super) fn write(v: &Voice, page: &mut Page, length: Length) {
    page.say(verdict(v));
    let mut sureness = true;
    for aim in &v.result.aims {
        page.item(aim_words(v, aim, &mut sureness));
    }
    if let Some(fact) = biggest_fact(v) {
        page.say(fact);
    }
    let (told, rest) = troubles(v);
    if !told.is_empty() {
        give_way(page, &told, rest, length);
    } else if v.result.aims.iter().all(|a| a.met) {
        // Large waste and every want under 98 % are troubles.
        page.say("Nothing gives way: little waste, no full cold room, no bare table worth telling.");
    }
    remedies::write(v, page);
}

fn give_way(page: &mut Page, told: &[Trouble], rest: usize, length: Length) {
    page.heading("What gives way, worst first");
    for t in told {
        page.item(format!("{}.", capital(&t.words)));
    }
    let where_told = match length {
        Length::First => "the whole report says what",
        Length::All => "see below",
    };
    match rest {
        0 => {}
        1 => page.item(format!("One more thing falls short, {where_told}.")),
        n => page.item(format!("{n} more things fall short, {where_told}.")),
    }
}

/// How an aim stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standing {
    Kept,
    NotKept,
    CannotTell,
}

fn standing(v: &Voice, aim: &AimResult) -> Standing {
    match (aim.met, aim.sure || v.single()) {
        (_, false) => Standing::CannotTell,
        (true, true) => Standing::Kept,
        (false, true) => Standing::NotKept,
    }
}

fn verdict(v: &Voice) -> String {
    let aims = &v.result.aims;
    if aims.is_empty() {
        return "The scenario sets no aims, so nothing is judged here; this is what happens.".into();
    }
    let (n, broken, open) = aims.iter().fold((0, 0, 0), |(n, b, o), a| match standing(v, a) {
        Standing::Kept => (n + 1, b, o),
        Standing::NotKept => (n + 1, b + 1, o),
        Standing::CannotTell => (n + 1, b, o + 1),
    });
    let of = |k: usize, verb_one: &str, verb_many: &str| {
        if n == 1 {
            format!("its one aim {verb_one}")
        } else if k == n {
            format!("none of its {n} aims {verb_one}")
        } else {
            format!("{k} of its {n} aims {}", if k == 1 { verb_one } else { verb_many })
        }
    };
    if broken > 0 {
        let what = if broken == n && n > 1 {
            of(broken, "is kept", "are kept")
        } else {
            of(broken, "is not kept", "are not kept")
        };
        let rest = match open {
            0 => String::new(),
            1 => ", and one cannot be told yet".into(),
            k => format!(", and {k} cannot be told yet"),
        };
        format!("The plan does not hold: {what}{rest}.")
    } else if open > 0 {
        let why = if v.result.trials < FEW { "needs more runs to tell" } else { "is too close to call" };
        let many = why.replace("needs", "need").replace("is too", "are too");
        let what = if n == 1 {
            format!("its one aim {why}")
        } else {
            format!("{open} of its {n} aims {}", if open == 1 { why } else { &many })
        };
        format!("Whether the plan holds cannot be told yet: {what}.")
    } else if n == 1 {
        "The plan holds: its one aim is kept.".into()
    } else {
        format!(
            "The plan holds: {} are kept.",
            if n == 2 { "both its aims".into() } else { format!("all its {n} aims") }
        )
    }
}

/// An aim and how it stands. How far so many years can tell is said in full
/// once, where `in_full` still holds.
fn aim_words(v: &Voice, a: &AimResult, in_full: &mut bool) -> String {
    if v.single() {
        let kept = if a.met { "kept" } else { "not kept" };
        return format!("{kept} in the average {}: {}.", v.span.one(), a.aim);
    }
    let years = v.span.many();
    let [lo, hi] = a.met_part_ci95;
    let between = if v.result.trials >= FEW && (lo * 100.0).round() < (hi * 100.0).round() {
        let how = if std::mem::take(in_full) {
            format!(", as far as {} {years} can tell", count(v.result.trials))
        } else {
            String::new()
        };
        format!(" ({:.0} to {:.0}{how})", lo * 100.0, hi * 100.0)
    } else {
        String::new()
    };
    let all = v.result.trials;
    let met = match (a.met_part >= 1.0, a.met_part <= 0.0) {
        (true, _) if all == 1 => format!("so in the one {} that was simulated", v.span.one()),
        (_, true) if all == 1 => format!("not so in the one {} that was simulated", v.span.one()),
        (true, _) => format!("so in all {} {years}", count(all)),
        (_, true) => format!("so in none of {} {years}", count(all)),
        _ => format!("so {}", v.in_of_counted(a.met_part)),
    };
    let wanted = per_hundred(a.wanted_part);
    match standing(v, a) {
        Standing::Kept => format!("kept: {}. It was {met}{between}.", a.aim),
        Standing::NotKept => {
            format!("not kept: {}. It was {met}{between}; {wanted} were wanted.", a.aim)
        }
        Standing::CannotTell => {
            let more = match a.more_trials {
                Some(m) => format!(" About {} more simulated {years} would tell.", count(roughly(m))),
                None => format!(" No reasonable number of {years} would tell: it lies on the edge."),
            };
            format!("cannot be told yet: {}. It was {met}{between}; {wanted} were wanted.{more}", a.aim)
        }
    }
}

/// To two digits: more would claim to know it.
fn roughly(n: u32) -> u32 {
    let step = 10_u32.pow(n.max(1).ilog10().saturating_sub(1));
    n.div_ceil(step).saturating_mul(step)
}

/// Where most of the milk goes, in one sentence.
fn biggest_fact(v: &Voice) -> Option<String> {
    let part = |is: &dyn Fn(&str) -> bool| -> f64 {
        v.result.fates.iter().filter(|f| is(f.fate)).map(|f| f.part).sum::<f64>() * 100.0
    };
    let drunk = part(&|f| f == "drunk");
    let eaten = part(&|f| f == "eaten");
    let fed = part(&|f| f == "fed_to_animals");
    let calf = part(&|f| f == "calf_on_dam");
    let shared = part(&|f| f == "shared_out");
    let sold = part(&|f| f == "sold");
    let given = part(&|f| f == "given_away");
    let wasted = part(&|f| f.starts_with("wasted"));
    let out = shared + sold + given;
    if drunk + eaten + out + fed + calf + wasted <= 0.0 {
        return None;
    }
    let unit = v.show.milk_long();
    let giver = match v.facts.herd {
        0 => "There is",
        1 => "She gives",
        _ => "They give",
    };
    let lead = if fed > 50.0 {
        format!("{giver} far more than is asked for: {fed:.0} of every 100 {unit} go to the animals. ")
    } else if v.facts.herd > 0 && fed + wasted > 50.0 {
        format!("{giver} far more than is asked for. ")
    } else {
        String::new()
    };
    // What was just said is not said again.
    let animals = if fed > 50.0 { 0.0 } else { fed };
    let rest = 100.0 - drunk - eaten - out - fed - calf - wasted;
    let words = [
        (drunk, "drunk"),
        (eaten, "eaten as other food"),
        (shared, "fetched by the members"),
        (sold, "sold"),
        (given, "given away"),
        (animals, "fed to animals"),
        (calf, "drunk by the young on the dam"),
        (wasted, "wasted"),
        (rest, "lost in jars and pots, kept back or still in store"),
    ];
    let is = |n: f64| if n < 1.5 { "is" } else { "are" };
    let told = words.iter().filter(|(n, _)| *n >= 0.5);
    let each: Vec<String> = told.map(|(n, words)| format!("{n:.0} {} {words}", is(*n))).collect();
    if each.is_empty() {
        return (!lead.is_empty()).then(|| lead.trim_end().to_string());
    }
    Some(format!("{lead}Of every 100 {unit} that come in, {}.", join(&each, "and")))
}

/// An aim without its part of years: `waste below 3 %`.
pub(in crate::report) fn bound(aim: &str) -> &str {
    aim.rsplit_once(" in ").map_or(aim, |(bound, _)| bound)
}

/// The first letter in upper case.
pub(in crate::report) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
