//! A sheet to print and hang up: one page, no script, nothing from outside.

use maud::{DOCTYPE, PreEscaped, html};

use super::Told;
use super::things::{Kind, TOLD, Thing, of_day};
use super::words::{how, looks, weeks};
use crate::report::html::STYLE;
use crate::report::svg::scrub;
use crate::report::words::GENERAL_CAUTION;

/// What this sheet needs beside the report's style: to fit one page.
const ONE_PAGE: &str = "@page{margin:12mm}@media print{body{font-size:9.5px;line-height:1.3}h1{font-size:15px}\
                        h2{font-size:11.5px;margin:.4rem 0 .2rem;padding-top:.1rem}li,p{margin:.1rem 0}\
                        table{font-size:9px}}.ahead td,.ahead th{text-align:left}.ahead ul{margin:0}";
/// Most lines under "what to look to".
const MOST: usize = 6;

/// The sheet, ending in a line feed.
#[must_use]
pub fn sheet(told: &Told) -> String {
    let title = format!("{}: {}", told.title(), weeks(told));
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
                        thead { tr { th scope="col" { "day" } th scope="col" { "in the pail" } th scope="col" { "to do" } th scope="col" { "done" } } }
                        tbody {
                            @for d in &told.ahead.days {
                                @let things = of_day(told, d);
                                tr {
                                    th scope="row" { (told.day(d.day)) }
                                    td { (told.range(d.pail)) }
                                    td { ul { @for line in to_do(&things) { li { (line) } } } }
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

fn to_do(things: &[Thing]) -> Vec<String> {
    let shown = |t: &&Thing| {
        t.chance.is_none_or(|c| c >= 2.0 * TOLD) && !matches!(t.kind, Kind::Pail | Kind::List | Kind::Fetched)
    };
    things.iter().filter(shown).map(Thing::words).collect()
}
