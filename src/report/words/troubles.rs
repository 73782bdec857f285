//! What gives way, worst first.

use super::Voice;
use super::answer::bound;
use crate::report::amounts::{days, join, minutes, number, percent};
use crate::report::dates::stretches;
use crate::study::results::AimResult;

/// A trouble counts from this chance on a day.
const DAY_CHANCE: f64 = 0.1;
/// A trouble is told when it comes in more than this part of years.
const YEAR_CHANCE: f64 = 0.1;

/// Most troubles told at the top.
const MOST_TROUBLES: usize = 6;
/// A want that is served to this part in the middle run is none of the troubles.
const SERVED: f64 = 0.98;

/// One thing that gives way.
pub(super) struct Trouble {
    rank: Rank,
    /// Within a rank, the larger comes first.
    weight: f64,
    pub(super) words: String,
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
pub(super) fn troubles(v: &Voice) -> (Vec<Trouble>, usize) {
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
    if let Some((weight, words)) = members_short(v) {
        put(&["share_fill", "share_worst_week"], Rank::Want, weight, words);
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

/// Much is wasted, or more than the family would have; with its largest cause.
fn wasted(v: &Voice) -> Option<(f64, String)> {
    const MUCH: f64 = 0.10;
    let m = v.measure("wasted_part")?;
    let aimed = missed(v).any(|a| a.measure == "wasted_part");
    let fat = super::body::fat_beyond(v, m);
    let of_fat = m.quantiles[2] <= MUCH && m.mean <= MUCH && !aimed;
    if of_fat && fat.is_none_or(|f| f.quantiles[2] <= MUCH) {
        return None;
    }
    let fat_kg = |key: &str| v.result.fates.iter().find(|f| f.fate == key).map(|f| f.fat_kg);
    let most = super::body::CAUSES
        .iter()
        .filter_map(|(key, words)| {
            let key = format!("wasted_{key}");
            Some((if of_fat { fat_kg(&key)? } else { v.measure(&key)?.mean }, *words))
        })
        .filter(|(kg, _)| *kg > 0.0)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let cause = most.map_or_else(String::new, |(_, words)| format!("; the largest cause: {words}"));
    let what = match fat {
        Some(fat) if of_fat => format!(
            "{} of the fat of the milk fit for people, and {} of the milk",
            v.range(fat, percent),
            percent(m.quantiles[2])
        ),
        Some(fat) => format!(
            "{} of the milk fit for people, and {} of its fat",
            v.range(m, percent),
            percent(fat.quantiles[2])
        ),
        None => format!("{} of the milk fit for people", v.range(m, percent)),
    };
    Some((m.mean, format!("waste: {what}{cause}")))
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
        Some(_) => format!("milk to drink: {}; short", part_there(v, served, "what was wished")),
        None => "there is too little milk to drink".to_string(),
    };
    Some(((1.0 - served) * m.quantiles[2], format!("{there} {}, {months}", v.on_days(m))))
}

/// `84 % of what was wished was there`. Rounded up it would be said to be all there
/// and short in one breath.
fn part_there(v: &Voice, part: f64, of: &str) -> String {
    const ALL: f64 = 0.9995;
    if part >= ALL && !v.single() {
        return format!("nearly all of it was there in the middle {}", v.span.one());
    }
    format!("{} of {of} was there", percent(part))
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
    // In the middle year on so many of the days from then on.
    let out = band.days.iter().skip(day).filter(|d| d[3] >= owned - 0.5).count();
    let often = if 2 * out > band.days.len() - day { "on most days" } else { "now and then" };
    Some(format!("clean jars run out {often} {when}, and milk is lost for want of one{how}"))
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
    let there = part_there(v, served, "what was wished");
    Some((weight, format!("{name}: {there}; short {}{gone}", v.on_days(short))))
}

/// What the members were promised and did not get.
fn members_short(v: &Voice) -> Option<(f64, String)> {
    let (fill, short) = (v.measure("share_fill")?, v.measure("short_pick_ups")?);
    let there = fill.quantiles[2];
    if there > 0.995 && short.quantiles[4] <= 0.0 {
        return None;
    }
    let words = format!(
        "Members: {}; short {}",
        part_there(v, there, "what they were promised"),
        v.on_pick_ups(short)
    );
    Some(((1.0 - there) * short.quantiles[2], words))
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
    let years = if v.single() || v.result.trials < 2 {
        String::new()
    } else {
        format!(" in half of the {}", v.span.many())
    };
    Some(format!("all gone by the week of {}{years}", v.span.day_words(day)))
}
