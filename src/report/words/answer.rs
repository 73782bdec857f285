//! The answer: does the plan hold, what breaks first, what would mend it.

use super::{FEW, Voice};
use crate::report::amounts::{count, join, per_hundred, percent};
use crate::report::dates::stretches;
use crate::report::page::Page;
use crate::study::results::{AimResult, Remedy};

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
        page.heading("What gives way, first things first");
        for t in &told {
            page.item(format!("{}.", capital(&t.words)));
        }
        match rest {
            0 => {}
            1 => page.item("One more thing falls short, see below."),
            n => page.item(format!("{n} more things fall short, see below.")),
        }
    } else if v.result.aims.iter().all(|a| a.met) {
        page.say("Nothing gives way: little waste, no full cold room, no bare table worth telling.");
    }
    remedies(v, page);
}

/// Most troubles told at the top.
const MOST_TROUBLES: usize = 6;
/// A want that is served to this part is none of the troubles.
const SERVED: f64 = 0.95;

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
    /// The day on which it begins.
    day: usize,
    /// How bad it is: about the part that is missing or lost, 0 to 1; those
    /// that everyone must hear of are over 1.
    weight: f64,
    words: String,
}

/// The worst troubles in the order in which they begin, and how many are left out.
fn troubles(v: &Voice) -> (Vec<Trouble>, usize) {
    const MUST: f64 = 2.0;
    let mut all = Vec::new();
    let must = |(day, words): (usize, String)| Trouble { day, weight: MUST, words };
    all.extend(wasted(v).map(must));
    all.extend(over_full(v).map(must));
    all.extend(milk_short(v).map(must));
    all.extend(jars_out(v).map(|(day, words)| Trouble { day, weight: 1.0, words }));
    for wish in &v.facts.wishes {
        all.extend(wish_trouble(v, &wish.name, &wish.key, wish.from_day));
    }
    all.sort_by(|a, b| b.weight.total_cmp(&a.weight).then(a.day.cmp(&b.day)));
    let rest = all.len().saturating_sub(MOST_TROUBLES);
    all.truncate(MOST_TROUBLES);
    all.sort_by_key(|t| t.day);
    (all, rest)
}

/// Where most of the milk goes, in one sentence.
fn biggest_fact(v: &Voice) -> Option<String> {
    let part = |keys: &[&str]| -> f64 {
        v.result.fates.iter().filter(|f| keys.contains(&f.fate)).map(|f| f.part).sum::<f64>() * 100.0
    };
    let table = part(&["drunk", "eaten"]);
    let fed = part(&["fed_to_animals"]);
    let calf = part(&["calf_on_dam"]);
    let wasted: f64 =
        v.result.fates.iter().filter(|f| f.fate.starts_with("wasted")).map(|f| f.part).sum::<f64>() * 100.0;
    if table + fed + calf + wasted <= 0.0 {
        return None;
    }
    let lead = if v.facts.animals && fed + wasted > 50.0 {
        "There is far more milk than the table takes. "
    } else {
        ""
    };
    let mut rest = Vec::new();
    for (n, words) in
        [(fed, "go to the animals that are fed"), (calf, "to the young on the dam"), (wasted, "are wasted")]
    {
        if n >= 0.5 {
            rest.push(format!("{n:.0} {words}"));
        }
    }
    let rest = match &rest[..] {
        [] => String::new(),
        [one] => format!(" and {one}"),
        _ => format!(", {}", join(&rest, "and")),
    };
    Some(format!(
        "{lead}Of every 100 {} that come in, {table:.0} are drunk or eaten{rest}.",
        v.show.milk_long()
    ))
}

/// Much is wasted, or more than the family would have.
fn wasted(v: &Voice) -> Option<(usize, String)> {
    const MUCH: f64 = 0.10;
    let m = v.measure("wasted_part")?;
    let aimed = v.result.aims.iter().any(|a| !a.met && a.measure == "wasted_part");
    if m.quantiles[2] < MUCH && !aimed {
        return None;
    }
    let most = super::body::CAUSES
        .iter()
        .filter_map(|(key, words)| Some((v.measure(&format!("wasted_{key}"))?.mean, *words)))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((0, format!("{} of the milk fit for people is wasted, most of it: {}", v.range(m, percent), most.1)))
}

/// When it happens, at most the two longest stretches.
fn when(v: &Voice, band: &str) -> Option<(usize, String)> {
    let band = v.band(band)?;
    let found = stretches(band.days.iter().map(|d| d[0]), DAY_CHANCE);
    let first = found.first()?.0;
    let mut longest = found.clone();
    longest.sort_by_key(|(a, b)| std::cmp::Reverse(b - a));
    longest.truncate(2);
    longest.sort_unstable();
    let words: Vec<String> = longest.iter().map(|(a, b)| v.span.stretch(*a, *b)).collect();
    let (lead, more) = if found.len() > 2 { ("mostly ", ", and at other times") } else { ("", "") };
    Some((first, format!("{lead}{}{more}", join(&words, "and"))))
}

fn over_full(v: &Voice) -> Option<(usize, String)> {
    let m = v.measure("days_over_full")?;
    let any = v.part_above("days_over_full", 0.5).unwrap_or(if m.mean > 0.0 { 1.0 } else { 0.0 });
    if any <= YEAR_CHANCE {
        return None;
    }
    let (day, months) = when(v, "over_full").unwrap_or((0, "now and then".into()));
    Some((day, format!("the cold room is too full {}, {months}", v.on_days(m))))
}

fn milk_short(v: &Voice) -> Option<(usize, String)> {
    let m = v.measure("milk_short_days")?;
    if v.part_above("milk_short_days", 0.5).unwrap_or(m.mean) <= YEAR_CHANCE {
        return None;
    }
    let (day, months) = when(v, "milk_short").unwrap_or((0, "now and then".into()));
    Some((day, format!("there is too little milk to drink {}, {months}", v.on_days(m))))
}

/// Milk is lost for want of a clean jar.
fn jars_out(v: &Voice) -> Option<(usize, String)> {
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
    Some((day, format!("clean jars run out now and then {when}, and milk is lost for want of one{how}")))
}

/// A wish that is not served: never there, gone by a week, or short by the way.
fn wish_trouble(v: &Voice, name: &str, key: &str, from: usize) -> Option<Trouble> {
    let short = v.measure(&format!("{key}_short_days"))?;
    let chance = v.part_above(&format!("{key}_short_days"), 0.5).unwrap_or(short.mean);
    let fill = v.measure(&format!("{key}_fill"))?;
    if chance <= YEAR_CHANCE || fill.quantiles[1] >= SERVED {
        return None;
    }
    let aimed = v.result.aims.iter().any(|a| !a.met && a.measure == fill.name);
    let weight = (1.0 - fill.quantiles[2]) + if aimed { 1.0 } else { 0.0 };
    if fill.max <= 0.0 {
        return Some(Trouble { day: from, weight, words: format!("there is never any {name}") });
    }
    if let Some((day, words)) = runs_out(v, name, key, from) {
        return Some(Trouble { day, weight, words });
    }
    let there = percent(fill.quantiles[2]);
    Some(Trouble {
        day: from,
        weight,
        words: format!("{name} is short {}: {there} of what is wished is there", v.on_days(short)),
    })
}

/// The stock of a wish is gone after it has been there.
fn runs_out(v: &Voice, name: &str, key: &str, from: usize) -> Option<(usize, String)> {
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
    Some((day, format!("the {name} is gone by the week of {}{years}", v.span.day_words(day))))
}

fn remedies(v: &Voice, page: &mut Page) {
    let all = &v.result.remedies;
    let Some(tried) = all.iter().map(|r| r.trials).min() else { return };
    let mut lines: Vec<(bool, String)> = all.iter().filter_map(|r| Some((r.mends, remedy(v, r)?))).collect();
    // What mends it first; else single steps before two at once.
    lines.sort_by_key(|(mends, line)| (!mends, line.contains(", and room for")));
    if lines.is_empty() {
        let words: Vec<String> = all.iter().map(|r| r.words.clone()).collect();
        page.say(format!("Tried, and of no real help: {}.", join(&words, "and")));
        return;
    }
    let heading = if lines.iter().any(|(mends, _)| *mends) {
        "What would mend it"
    } else {
        "What would help, though nothing that was tried keeps every aim"
    };
    page.heading(heading);
    for (_, line) in lines {
        page.item(line);
    }
    page.say(format!("Each was run on the same luck for {}.", v.span.trials(tried)));
}

/// A remedy that changes something; `None` for one that does not.
fn remedy(v: &Voice, r: &Remedy) -> Option<String> {
    const WORTH_TELLING: f64 = 0.02;
    if r.mends {
        return Some(format!("{}: then every aim is kept.", capital(&r.words)));
    }
    let missed = v.result.aims.iter().filter(|a| !a.met);
    let better: Vec<String> = r
        .met_parts
        .iter()
        .zip(missed)
        .filter(|(with, a)| **with > a.met_part + WORTH_TELLING)
        .map(|(with, a)| {
            let (with, without) = (per_hundred(*with), a.met_part * 100.0);
            format!("{} in {with} {}, not {without:.0}", bound(&a.aim), v.span.many())
        })
        .collect();
    (!better.is_empty()).then(|| format!("{}: {}.", capital(&r.words), join(&better, "and")))
}

/// An aim without its part of years: `waste below 3 %`.
fn bound(aim: &str) -> &str {
    aim.rsplit_once(" in ").map_or(aim, |(bound, _)| bound)
}

/// The first letter in upper case.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
