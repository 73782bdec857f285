//! The sheet for the fridge door: the week's routine on one page.

use maud::{Markup, html};

use super::Home;
use crate::report::words::{GENERAL_CAUTION, Voice};

/// Every day of the week.
const ALL: u8 = 0b111_1111;
const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
/// Most rules of a kind: one page has to hold them.
const MOST: usize = 24;
/// Longest rule on the sheet, and longest of its conditions, characters.
const LINE: usize = 90;
const TERMS: usize = 150;

pub(super) fn sheet(v: &Voice, home: &Home, title: &str) -> Markup {
    let rules: Vec<(usize, &str, u8)> = v
        .result
        .rules
        .iter()
        .zip(&home.rule_days)
        .take(v.facts.routine)
        .enumerate()
        .map(|(i, (r, days))| (i + 1, r.rule.as_str(), days & ALL))
        .collect();
    let on = |day: usize| -> Vec<String> {
        let mask = 1_u8 << day;
        rules
            .iter()
            .filter(|(.., d)| *d != ALL && d & mask != 0)
            .map(|(n, r, _)| format!("{n}. {}", bare(r)))
            .collect()
    };
    let daily: Vec<&(usize, &str, u8)> = rules.iter().filter(|(.., d)| *d == ALL).collect();
    let terms = |n: usize| v.subject.names.rule_terms.get(n - 1).map_or("", String::as_str);
    let held: Vec<(usize, &str)> = rules
        .iter()
        .filter(|(n, _, d)| *d != ALL && !terms(*n).is_empty())
        .map(|(n, ..)| (*n, terms(*n)))
        .collect();
    let full: Vec<&str> = v.result.rules.iter().skip(v.facts.routine).map(|r| r.rule.as_str()).collect();
    html! {
        section.door id="door" aria-labelledby="door-title" {
            h2 id="door-title" { "For the fridge door" }
            p dir="auto" { (short(title)) }
            p {
                @if home.milkings > 0 {
                    "Milking " (clock(home.hours.morning))
                    @if home.milkings > 1 { " and " (clock(home.hours.evening)) }
                    " · "
                }
                "kitchen " (clock(home.hours.kitchen)) " · meals " (clock(home.hours.meals))
            }
            @if rules.iter().any(|(.., d)| *d != ALL) {
                h3 { "Through the week" }
                table {
                    thead { tr { th scope="col" { "day" } th scope="col" { "to do" } } }
                    tbody {
                        @for (i, name) in DAYS.iter().enumerate() {
                            tr { th scope="row" { (name) } td {
                                @let list = on(i);
                                @if list.is_empty() { "–" } @else { (list.join(" · ")) }
                            } }
                        }
                    }
                }
            }
            @if !held.is_empty() {
                h3 { "Of these, only" }
                ul.terms { @for (n, terms) in held.iter().take(MOST) { li { (n) ". " span.soft { (cut(terms, TERMS)) } } } }
            }
            @if !daily.is_empty() {
                h3 { "Any day, when it is called for" }
                ul.terms { @for (n, rule, _) in daily.iter().take(MOST) { li {
                    (n) ". " (short(rule)) @if !terms(*n).is_empty() { span.soft { ": " (cut(terms(*n), TERMS)) } }
                } } }
            }
            @if !full.is_empty() {
                h3 { "When the cold is full, in this order" }
                ol { @for step in full.iter().take(MOST) { li { (short(step.strip_prefix("when full, ").unwrap_or(step))) } } }
            }
            p {
                b { "Mind: " }
                (v.subject.names.cautions.first().map_or(GENERAL_CAUTION, String::as_str))
            }
        }
    }
}

/// A rule without its weekdays, which its place on the sheet tells.
fn bare(rule: &str) -> String {
    let names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    match rule.rsplit_once(" on ") {
        Some((what, days))
            if days.split([' ', ',']).all(|w| w.is_empty() || w == "and" || names.contains(&w)) =>
        {
            short(what)
        }
        _ => short(rule),
    }
}

fn short(text: &str) -> String {
    cut(text, LINE)
}

fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_string();
    }
    let head: String = text.chars().take(most).collect();
    format!("{head}…")
}

/// `6:00`, `17:30`.
fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round().rem_euclid(1440.0);
    format!("{}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
}
