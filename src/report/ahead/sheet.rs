//! A sheet to print and hang up: one page, no script, nothing from outside.

use maud::{DOCTYPE, PreEscaped, html};

use super::Told;
use super::things::{Kind, TOLD, Thing, of_day};
use super::words::{how, looks, weeks};
use crate::report::html::STYLE;
use crate::report::svg::scrub;
use crate::report::words::GENERAL_CAUTION;
use crate::study::ahead::AheadDay;

/// What this sheet needs beside the report's style: to fit one page.
const ONE_PAGE: &str = "@page{margin:12mm}@media print{body{font-size:9.5px;line-height:1.3}h1{font-size:15px}\
                        h2{font-size:11.5px;margin:.4rem 0 .2rem;padding-top:.1rem}li,p{margin:.1rem 0}\
                        table{font-size:9px}.ahead ul{columns:2;column-gap:3mm}.ahead li{break-inside:avoid;margin:0}\
                        .ahead td,.ahead th{padding:.12rem .3rem}}.ahead td,.ahead th{text-align:left}.ahead ul{margin:0}";
/// Most lines under "what to look to".
const MOST: usize = 6;

/// The sheet, ending in a line feed.
#[must_use]
pub fn sheet(told: &Told) -> String {
    let title = format!("{}: {}", told.title(), weeks(told));
    let milks = !told.plan.animals.is_empty();
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:";
                title { (title) }
                link rel="icon" href="data:,";
                style { (PreEscaped(STYLE)) (PreEscaped(ONE_PAGE)) }
            }
            body {
                header { h1 dir="auto" { (title) } }
                main {
                    section.answer aria-label="What to look to" {
                        h2 { "What to look to" }
                        ul { @for line in looks(told).into_iter().take(MOST) { li { (line) } } }
                    }
                    table.ahead {
                        thead { tr { th scope="col" { "day" } th scope="col" { (if milks { "in the pail" } else { "fetched" }) } th scope="col" { "to do" } th scope="col" { "done" } } }
                        tbody {
                            @for (d, lines) in told.ahead.days.iter().zip(to_do(told)) {
                                tr {
                                    th scope="row" { (told.day(d.day)) }
                                    td { (in_hand(told, d)) }
                                    td { ul { @for line in lines { li { (line) } } } }
                                    td { "☐" }
                                }
                            }
                        }
                    }
                    p.soft { (how(told)) }
                    p.soft { (GENERAL_CAUTION) }
                    p.soft { "springhouse " (env!("CARGO_PKG_VERSION")) ", " (told.file) }
                }
            }
        }
    };
    let mut text = scrub(&markup.into_string());
    text.push('\n');
    text
}

/// What comes in on a day: into the pail, or fetched where nobody milks.
fn in_hand(told: &Told, d: &AheadDay) -> String {
    let range = if told.plan.animals.is_empty() { d.fetched } else { d.pail };
    if range.high > 0.0 { told.range(range) } else { "–".into() }
}

/// Lines of print that a page has for what to look to and the days, characters of
/// a line, and characters of half a line
/// (a column of the list), at the sizes above: measured on Letter, the shorter page.
const ROOM: usize = 54;
/// See [`ROOM`].
const LINE: usize = 110;
/// See [`ROOM`].
const HALF_LINE: usize = 46;

/// What to do day by day, as much as fits a page: what is least sure is left out
/// first, where a day says the most, and how much was left out is said.
fn to_do(told: &Told) -> Vec<Vec<String>> {
    let shown = |t: &Thing| {
        t.chance.is_none_or(|c| c >= 2.0 * TOLD) && !matches!(t.kind, Kind::Pail | Kind::List | Kind::Fetched)
    };
    let mut days: Vec<(Vec<Thing>, usize)> =
        told.ahead.days.iter().map(|d| (of_day(told, d).into_iter().filter(shown).collect(), 0)).collect();
    // More than two weeks take more pages.
    let pages = days.len().div_ceil(14).max(1);
    let above: usize = looks(told).iter().take(MOST).map(|l| l.chars().count().div_ceil(LINE)).sum();
    loop {
        let used: usize = days.iter().map(|(things, out)| lines(things, *out)).sum();
        if used + above <= pages * ROOM {
            break;
        }
        let fullest = days.iter_mut().max_by_key(|(things, out)| lines(things, *out));
        let Some((things, out)) = fullest.filter(|(things, _)| things.len() > 1) else { break };
        let sure = |t: &Thing| t.chance.unwrap_or(1.0);
        let least = (0..things.len()).rev().min_by(|a, b| {
            let of = |i: &usize| things.get(*i).map_or(1.0, sure);
            of(a).total_cmp(&of(b))
        });
        things.remove(least.unwrap_or(0));
        *out += 1;
    }
    let told_of = |(things, out): (Vec<Thing>, usize)| {
        let more = (out > 0).then(|| format!("and {out} less sure; see `ahead`"));
        things.iter().map(Thing::words).chain(more).collect()
    };
    days.into_iter().map(told_of).collect()
}

/// Lines of print that a day takes: its list stands in two columns.
fn lines(things: &[Thing], out: usize) -> usize {
    let all: usize = things.iter().map(|t| t.words().chars().count().div_ceil(HALF_LINE)).sum();
    (all + usize::from(out > 0)).div_ceil(2).max(1)
}
