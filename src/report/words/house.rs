//! Room, freezer, ageing, jars, hands, dry weeks, chilling and rules.

use super::Voice;
use super::answer::capital;
use crate::report::amounts::{count, counted, days, jars as jar_words, join, minutes, of, whole};
use crate::report::page::Page;
use crate::sim::outcome::Blocked;
use crate::study::results::{RuleMean, Summary};

pub(super) fn write(v: &Voice, page: &mut Page) {
    page.part("Room", room(v));
    page.part("Freezer", store(v, "freezer_used", "freezer", v.facts.freezer_l));
    page.part("Ageing", store(v, "ageing_used", "ageing space", v.facts.ageing_l));
    page.part("Jars", jars(v));
    page.part("Hands", hands(v));
    super::herd::write(v, page);
    super::dry::write(v, page);
    page.part("Chilling", chilling(v));
    super::cold::write(v, page);
    rules(v, page);
}

/// `in the middle year 58 L, in 9 of 10 years up to 64 L, in 19 of 20 up to 70 L`.
fn up_to(v: &Voice, m: &Summary, words: impl Fn(f64) -> String) -> String {
    let [_, _, middle, nine, nineteen] = m.quantiles.map(&words);
    if v.single() || middle == nineteen {
        return middle;
    }
    let (one, many) = (v.span.one(), v.span.many());
    if nine == nineteen {
        return format!("in the middle {one} {middle}, in 19 of 20 {many} up to {nineteen}");
    }
    format!("in the middle {one} {middle}, in 9 of 10 {many} up to {nine}, in 19 of 20 up to {nineteen}")
}

/// What the remedies with more room reached, the best first.
fn with_more_room(v: &Voice) -> String {
    let Some(r) = v.result.remedies.iter().find(|r| r.words.starts_with("room for ")) else {
        return String::new();
    };
    match super::remedies::remedy(v, r) {
        Some(line) => format!(" Tried: {line}"),
        None => format!(" Tried, and of no real help: {}.", r.words),
    }
}

fn room(v: &Voice) -> String {
    let Some(m) = v.measure("cold_room_wanted") else { return String::new() };
    let mut out = format!("Cold room called for at the fullest moment: {}.", up_to(v, m, |l| v.show.room(l)));
    out.push_str(&format!(
        " Owned: {}, of which other food takes up to {}.",
        v.show.room(v.facts.cold_l),
        v.show.room(v.facts.cold_other_l)
    ));
    if let Some(j) = v.measure("jars_wanted").filter(|j| j.max > 0.0) {
        let name = v.facts.jars.first().map_or("jars".to_string(), |j| jar_words(&j.name));
        out.push_str(&format!(" In {name}: {}; {} fit.", up_to(v, j, whole), whole(v.facts.cold_jars)));
    }
    if let Some(d) = v.measure("days_over_full").filter(|d| d.max > 0.0) {
        out.push_str(&format!(" Something had no place in the cold {}.", v.on_days(d)));
    }
    let jars_lack = v.measure("jars_wanted").is_some_and(|j| j.quantiles[4] > v.facts.cold_jars + 0.5);
    if jars_lack || m.quantiles[4] > v.facts.cold_l * (1.0 + 1e-9) {
        out.push_str(
            " This is the most the routine ever tried to hold; the room with which the plan holds has to be tried.",
        );
        out.push_str(&with_more_room(v));
    }
    out
}

fn store(v: &Voice, measure: &str, name: &str, owned: f64) -> String {
    let Some(m) = v.measure(measure).filter(|m| m.max > 0.0) else { return String::new() };
    format!(
        "The {name} holds at the fullest moment: {}. Owned: {}.",
        up_to(v, m, |l| v.show.room(l)),
        v.show.room(owned)
    )
}

fn jars(v: &Voice) -> String {
    let Some(m) = v.measure("jars_used").filter(|m| m.max > 0.0) else { return String::new() };
    let sizes: Vec<String> = v.facts.jars.iter().map(|j| format!("{} {}", count(j.count), j.name)).collect();
    let owned = v.facts.jar_count();
    let mut out = format!("In use at once, fullest moment: {}.", up_to(v, m, whole));
    out.push_str(&format!(" Owned: {} ({}).", count(owned), join(&sizes, "and")));
    if m.quantiles[2] + 0.5 >= f64::from(owned) {
        out.push_str(" They run out.");
    }
    if let Some(m) = v.measure("jars_broken").filter(|m| m.quantiles[4] > 0.0) {
        out.push_str(&format!(" Broken: {}.", v.range(m, |n| counted(n, "jar", "jars"))));
    }
    out
}

fn hands(v: &Voice) -> String {
    let Some(all) = v.measure("hands_used") else { return String::new() };
    let mut out = format!("{} a day, chores and kitchen together", capital(&v.range(all, minutes)));
    let middle = |name: &str| v.measure(name).map(|m| m.quantiles[2]);
    let fed = v.result.fates.iter().any(|f| f.fate == "fed_to_animals" && f.part > 0.0);
    let chores = match (v.facts.animals, fed) {
        (true, true) => "milking, straining, jars, feeding",
        (true, false) => "milking, straining, jars",
        (false, true) => "fetching, jars, feeding",
        (false, false) => "fetching, jars",
    };
    let mut parts = Vec::new();
    if let Some(m) = middle("chores_mean").filter(|m| *m >= 0.5) {
        parts.push(format!("{} of chores ({chores})", minutes(m)));
    }
    if let Some(m) = middle("kitchen_mean").filter(|m| *m >= 0.5) {
        let aside = minutes(v.facts.kitchen_minutes);
        parts.push(format!("{} in the kitchen, of the {aside} set aside", minutes(m)));
    }
    if !parts.is_empty() {
        out.push_str(&format!(": {}", join(&parts, "and")));
    }
    out.push('.');
    if let Some(m) = v.measure("hands_used_busiest") {
        out.push_str(&format!(" The busiest day takes {}.", v.range(m, minutes)));
    }
    out
}

fn chilling(v: &Voice) -> String {
    let part = |name: &str| v.measure(name).map_or(0.0, |m| m.quantiles[2]);
    let (left_out, never) = (part("chill_left_out_part"), part("chill_never_part"));
    let late = v.measure("chill_late_part");
    let hours = v.measure("chill_hours").filter(|m| m.quantiles[2] > 0.0);
    if hours.is_none() && late.is_none_or(|m| m.max <= 0.0) {
        return String::new();
    }
    let cold = v.show.temperature(4.4);
    let mut out = Vec::new();
    if let Some(m) = hours {
        // A run in which nothing was chilled has no hours.
        let words = |h: f64| counted(h, "hour", "hours");
        let text = if m.min > 0.0 { v.range(m, words) } else { format!("about {}", words(m.quantiles[2])) };
        out.push(format!("A milking takes {text} to come down to {cold}."));
    }
    if never > 0.0 {
        let who = if never >= 1.0 - 1e-9 {
            "No milking comes".to_owned()
        } else {
            format!("{} milkings never come", capital(&of(never)))
        };
        out.push(format!("{who} down to {cold} where it stands: that is too warm a place for milk."));
    }
    if left_out > 0.0 {
        let who = if left_out >= 1.0 - 1e-9 { "Every".to_owned() } else { capital(&of(left_out)) };
        let noun = if left_out >= 1.0 - 1e-9 { "milking stays" } else { "milkings stay" };
        out.push(format!(
            "{who} {noun} on the counter, all or in part, for want of room in the cold. Milk that has stood warm \
             for two hours is by public advice no longer fit to drink."
        ));
    }
    if let Some(late) = late {
        let rule = "the rule of the dairy ordinances (7 °C, 45 °F, within two hours after milking)";
        let part = late.quantiles[2];
        out.push(if part >= 1.0 - 1e-9 {
            format!("No milking meets {rule}.")
        } else if part <= 0.0 {
            format!("Every milking meets {rule}.")
        } else {
            format!("{} milkings miss {rule}.", capital(&of(part)))
        });
        out.push("It binds licensed dairies and is printed for what it tells; chilled in time is not the same as safe.".into());
    }
    out.join(" ")
}

/// Reasons in words.
pub(crate) fn reason(b: Blocked, v: &Voice, rule: usize) -> &'static str {
    match b {
        // Only a rule that waits for a stock to fall can find too much of it.
        Blocked::Stock if !v.facts.waits_for_less.get(rule).copied().unwrap_or(false) => {
            "too little in store"
        }
        Blocked::Day => "not its weekday",
        Blocked::Phase => "not its season or not its time in the lactation",
        Blocked::Stock => "too little or too much in store",
        Blocked::Age => "nothing old or fresh enough",
        Blocked::Fullness => "the store is not so full",
        Blocked::Limit => "its own limit",
        Blocked::Minutes => "no kitchen time",
        Blocked::NobodyHome => "nobody at home for as long as it takes",
        Blocked::Equipment => "a pot, press or the like is in use",
        Blocked::JarsOrRoom => "no clean jar or no room",
    }
}

/// What held a rule back most, with days; its weekday only when nothing else.
pub(crate) fn main_reason(r: &RuleMean) -> Option<(Blocked, f64)> {
    let all = || Blocked::ALL.into_iter().zip(r.blocked).filter(|(_, n)| *n > 0.0);
    all()
        .filter(|(b, _)| *b != Blocked::Day)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .or_else(|| all().max_by(|a, b| a.1.total_cmp(&b.1)))
}

fn rules(v: &Voice, page: &mut Page) {
    let routine = v.facts.routine.min(v.result.rules.len());
    let mut lines = Vec::new();
    for (n_rule, r) in v.result.rules[..routine].iter().enumerate() {
        let lead = if r.fired <= 0.0 {
            "Never worked"
        } else if r.days_fired < 1.0 {
            "Hardly ever worked"
        } else {
            continue;
        };
        let why = main_reason(r).map_or_else(String::new, |(b, n)| {
            format!(" Held back most by: {} (on {} a {}).", reason(b, v, n_rule), days(n), v.span.one())
        });
        lines.push(format!("{lead}: {}. {}.{why}", n_rule + 1, r.rule));
    }
    if lines.is_empty() {
        return;
    }
    page.heading("Rules that do not work");
    for line in lines {
        page.item(line);
    }
}
