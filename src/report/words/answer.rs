//! The answer: does the plan hold, what breaks first, what would mend it.

use super::{FEW, Voice, remedies};
use crate::report::amounts::{count, days, join, minutes, number, per_hundred, percent};
use crate::report::dates::stretches;
use crate::report::page::Page;
use crate::study::results::AimResult;

/// A trouble counts from this chance on a day.
const DAY_CHANCE: f64 = 0.1;
/// A trouble is told when it comes in more than this part of years.
const YEAR_CHANCE: f64 = 0.1;

pub(super) fn write(v: &Voice, page: &mut Page) {
    page.say(verdict(v));
    for aim in &v.result.aims {
        page.item(aim_words(v, aim));
    }
    if let Some(fact) = biggest_fact(v) {
        page.say(fact);
    }
    let (told, rest) = troubles(v);
    if !told.is_empty() {
        page.heading("What gives way, worst first");
        for t in &told {
            page.item(format!("{}.", capital(&t.words)));
        }
        match rest {
            0 => {}
            1 => page.item("One more thing falls short, see below."),
            n => page.item(format!("{n} more things fall short, see below.")),
        }
    } else if v.result.aims.iter().all(|a| a.met) {
        // Large waste and every want under 98 % are troubles.
        page.say("Nothing gives way: little waste, no full cold room, no bare table worth telling.");
    }
    remedies::write(v, page);
}

/// Most troubles told at the top.
const MOST_TROUBLES: usize = 6;
/// A want that is served to this part in the middle run is none of the troubles.
const SERVED: f64 = 0.98;

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
        let what = if n == 1 {
            "its one aim is too close to call".to_string()
        } else {
            format!("{open} of its {n} aims {} too close to call", if open == 1 { "is" } else { "are" })
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

fn aim_words(v: &Voice, a: &AimResult) -> String {
    if v.single() {
        let kept = if a.met { "kept" } else { "not kept" };
        return format!("{kept} in the average {}: {}.", v.span.one(), a.aim);
    }
    let years = v.span.many();
    let [lo, hi] = a.met_part_ci95;
    let between = if v.result.trials >= FEW && (lo * 100.0).round() < (hi * 100.0).round() {
        format!(
            " ({:.0} to {:.0}, as far as {} {years} can tell)",
            lo * 100.0,
            hi * 100.0,
            count(v.result.trials)
        )
    } else {
        String::new()
    };
    let met = if a.met_part >= 1.0 {
        format!("all {} {years}", count(v.result.trials))
    } else if a.met_part <= 0.0 {
        format!("none of {} {years}", count(v.result.trials))
    } else {
        format!("{} {years}", per_hundred(a.met_part))
    };
    let wanted = per_hundred(a.wanted_part);
    match standing(v, a) {
        Standing::Kept => format!("kept: {}. So it was in {met}{between}.", a.aim),
        Standing::NotKept => {
            format!("not kept: {}. It was so in {met}{between}; {wanted} were wanted.", a.aim)
        }
        Standing::CannotTell => {
            let more = match a.more_trials {
                Some(m) => format!(" About {} more simulated {years} would tell.", count(m)),
                None => format!(" No reasonable number of {years} would tell: it lies on the edge."),
            };
            format!("cannot be told yet: {}. It was so in {met}{between}; {wanted} were wanted.{more}", a.aim)
        }
    }
}

/// One thing that gives way.
struct Trouble {
    rank: Rank,
    /// Within a rank, the larger comes first.
    weight: f64,
    words: String,
}

/// What is told before what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    /// An aim is not kept.
    Aim,
    /// Much is wasted.
    Waste,
    /// The house gives way: cold room, jars.
    House,
    /// A want is not served, by how much is missing.
    Want,
}

/// The worst troubles: aims that are not kept, large waste, the house, then
/// wants by how much is missing; and how many are left out.
fn troubles(v: &Voice) -> (Vec<Trouble>, usize) {
    let mut all = Vec::new();
    // Aims weigh by how far they are from what was wished.
    let lacks = |measures: &[&str]| {
        missed(v).filter(|a| measures.contains(&a.measure.as_str())).map(lack).max_by(f64::total_cmp)
    };
    let mut told: Vec<String> = Vec::new();
    let mut put = |measures: &[&str], otherwise: Rank, weight: f64, words: String| {
        told.extend(measures.iter().map(|m| (*m).to_string()));
        all.push(match lacks(measures) {
            Some(weight) => Trouble { rank: Rank::Aim, weight, words },
            None => Trouble { rank: otherwise, weight, words },
        });
    };
    if let Some((weight, words)) = wasted(v) {
        put(&["wasted_part"], Rank::Waste, weight, words);
    }
    if let Some(words) = over_full(v) {
        put(&["days_over_full"], Rank::House, 1.0, words);
    }
    if let Some(words) = jars_out(v) {
        put(&[], Rank::House, 0.0, words);
    }
    if let Some((weight, words)) = milk_short(v) {
        put(&["milk_fill", "milk_days"], Rank::Want, weight, words);
    }
    for wish in &v.facts.wishes {
        if let Some((weight, words)) = wish_trouble(v, &wish.name, &wish.key, wish.from_day) {
            put(&[&format!("{}_fill", wish.key)], Rank::Want, weight, words);
        }
    }
    // Aims of which nothing above speaks: dry weeks, hands, a good middle with
    // bad years.
    for aim in missed(v).filter(|a| !told.contains(&a.measure)) {
        all.push(Trouble { rank: Rank::Aim, weight: lack(aim), words: missed_words(v, aim) });
    }
    all.sort_by(|a, b| a.rank.cmp(&b.rank).then(b.weight.total_cmp(&a.weight)));
    // Aims and large waste are told however many there are.
    let must = all.iter().filter(|t| t.rank <= Rank::Waste).count();
    let rest = all.split_off(all.len().min(MOST_TROUBLES.max(must))).len();
    (all, rest)
}

/// Aims that are surely not kept.
fn missed<'a>(v: &Voice<'a>) -> impl Iterator<Item = &'a AimResult> {
    let single = v.single();
    v.result.aims.iter().filter(move |a| !a.met && (a.sure || single))
}

/// By how much of all years an aim is missed.
fn lack(aim: &AimResult) -> f64 {
    aim.wanted_part - aim.met_part
}

/// An aim that is not kept, with what its measure shows.
fn missed_words(v: &Voice, aim: &AimResult) -> String {
    let name = bound(&aim.aim);
    let Some(m) = v.measure(&aim.measure) else { return format!("not kept: {name}") };
    let found = match m.unit {
        "1" => v.range(m, percent),
        "days" => v.range(m, days),
        "min/day" => v.range(m, minutes),
        _ => v.range(m, number),
    };
    format!("not kept: {name}. There: {found}")
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
    let wasted = part(&|f| f.starts_with("wasted"));
    if drunk + eaten + fed + calf + wasted <= 0.0 {
        return None;
    }
    let unit = v.show.milk_long();
    let giver = match v.facts.herd {
        0 => "There is",
        1 => "She gives",
        _ => "They give",
    };
    let lead = if fed > 50.0 {
        format!("{giver} far more than the table takes: {fed:.0} of every 100 {unit} go to the animals. ")
    } else if v.facts.herd > 0 && fed + wasted > 50.0 {
        format!("{giver} far more than the table takes. ")
    } else {
        String::new()
    };
    // What was just said is not said again.
    let animals = if fed > 50.0 { 0.0 } else { fed };
    let words = [
        (drunk, "drunk"),
        (eaten, "made into other food and eaten"),
        (animals, "fed to animals"),
        (calf, "drunk by the young on the dam"),
        (wasted, "wasted"),
    ];
    let each: Vec<String> =
        words.iter().filter(|(n, _)| *n >= 0.5).map(|(n, words)| format!("{n:.0} are {words}")).collect();
    if each.is_empty() {
        return (!lead.is_empty()).then(|| lead.trim_end().to_string());
    }
    Some(format!("{lead}Of every 100 {unit} that come in, {}.", join(&each, "and")))
}

/// Much is wasted, or more than the family would have; with its largest cause.
fn wasted(v: &Voice) -> Option<(f64, String)> {
    const MUCH: f64 = 0.10;
    let m = v.measure("wasted_part")?;
    let aimed = missed(v).any(|a| a.measure == "wasted_part");
    if m.quantiles[2] <= MUCH && m.mean <= MUCH && !aimed {
        return None;
    }
    let most = super::body::CAUSES
        .iter()
        .filter_map(|(key, words)| Some((v.measure(&format!("wasted_{key}"))?.mean, *words)))
        .filter(|(kg, _)| *kg > 0.0)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let cause = most.map_or_else(String::new, |(_, words)| format!("; the largest cause: {words}"));
    Some((m.mean, format!("waste: {} of the milk fit for people{cause}", v.range(m, percent))))
}

/// When it happens, at most the two longest stretches.
fn when(v: &Voice, band: &str) -> Option<String> {
    let band = v.band(band)?;
    let found = stretches(band.days.iter().map(|d| d[0]), DAY_CHANCE);
    found.first()?;
    let mut longest = found.clone();
    longest.sort_by_key(|(a, b)| std::cmp::Reverse(b - a));
    longest.truncate(2);
    longest.sort_unstable();
    let words: Vec<String> = longest.iter().map(|(a, b)| v.span.stretch(*a, *b)).collect();
    let (lead, more) = if found.len() > 2 { ("mostly ", ", and at other times") } else { ("", "") };
    Some(format!("{lead}{}{more}", join(&words, "and")))
}

fn over_full(v: &Voice) -> Option<String> {
    let m = v.measure("days_over_full")?;
    let any = v.part_above("days_over_full", 0.5).unwrap_or(if m.mean > 0.0 { 1.0 } else { 0.0 });
    if any <= YEAR_CHANCE {
        return None;
    }
    let months = when(v, "over_full").unwrap_or("now and then".into());
    Some(format!("the cold room is too full {}, {months}", v.on_days(m)))
}

fn milk_short(v: &Voice) -> Option<(f64, String)> {
    let m = v.measure("milk_short_days")?;
    let fill = v.measure("milk_fill");
    let served = fill.map_or(1.0, |f| f.quantiles[2]);
    if served >= SERVED && v.part_above("milk_short_days", 0.5).unwrap_or(m.mean) <= YEAR_CHANCE {
        return None;
    }
    let months = when(v, "milk_short").unwrap_or("now and then".into());
    let there = match fill {
        Some(_) => format!("milk to drink: {} of what was wished was there; short", percent(served)),
        None => "there is too little milk to drink".to_string(),
    };
    Some(((1.0 - served) * m.quantiles[2], format!("{there} {}, {months}", v.on_days(m))))
}

/// Milk is lost for want of a clean jar.
fn jars_out(v: &Voice) -> Option<String> {
    const A_JAR_KG: f64 = 1.0;
    let chance = v.part_above("wasted_no_jar", A_JAR_KG)?;
    let owned = f64::from(v.facts.jar_count());
    if chance <= YEAR_CHANCE || owned <= 0.0 {
        return None;
    }
    // Columns: mean, 5, 10, 50, 90, 95 %.
    let band = v.band("jars_used")?;
    let full = |quantile: usize| band.days.iter().position(|d| d[quantile] >= owned - 0.5);
    let day = full(3).or_else(|| full(4)).or_else(|| full(5))?;
    let when = format!("from the week of {} on", v.span.day_words(day));
    let how = if v.single() { String::new() } else { format!(" {}", v.in_of(chance)) };
    Some(format!("clean jars run out now and then {when}, and milk is lost for want of one{how}"))
}

/// A wish that is not served, with how much is missing: the part not served,
/// times the days on which it is short.
fn wish_trouble(v: &Voice, name: &str, key: &str, from: usize) -> Option<(f64, String)> {
    let short = v.measure(&format!("{key}_short_days"))?;
    let fill = v.measure(&format!("{key}_fill"))?;
    let aimed = missed(v).any(|a| a.measure == fill.name);
    let served = fill.quantiles[2];
    if served >= SERVED && !aimed {
        return None;
    }
    let weight = (1.0 - served) * short.quantiles[2];
    if fill.max <= 0.0 {
        return Some((weight, format!("{name}: there is never any")));
    }
    let gone = runs_out(v, key, from).map_or_else(String::new, |words| format!("; {words}"));
    let there = percent(served);
    Some((weight, format!("{name}: {there} of what was wished was there; short {}{gone}", v.on_days(short))))
}

/// The stock of a wish is gone after it has been there.
fn runs_out(v: &Voice, key: &str, from: usize) -> Option<String> {
    const NOTHING_KG: f64 = 0.02;
    let band = v.band(&format!("{key}_stock"))?;
    let gone = |quantile: usize, after: usize| -> Option<usize> {
        let had = band.days.iter().skip(after).position(|d| d[quantile] > NOTHING_KG)? + after;
        band.days.iter().skip(had).position(|d| d[quantile] <= NOTHING_KG).map(|d| d + had)
    };
    // Columns: mean, 5, 10, 50, 90, 95 %: the middle.
    let day = gone(3, from)?;
    // A stock that comes and goes every week does not "run out".
    let stays = band.days.iter().skip(day).take(14).filter(|d| d[3] <= NOTHING_KG).count();
    if stays < 10 {
        return None;
    }
    let years = if v.single() { String::new() } else { format!(" in half of the {}", v.span.many()) };
    Some(format!("all gone by the week of {}{years}", v.span.day_words(day)))
}

/// An aim without its part of years: `waste below 3 %`.
pub(super) fn bound(aim: &str) -> &str {
    aim.rsplit_once(" in ").map_or(aim, |(bound, _)| bound)
}

/// The first letter in upper case.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
