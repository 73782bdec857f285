//! `report.html`: one page that needs nothing else, and the pictures alone.
//!
//! The answer stands on top, then the pictures, each with its values as a
//! table, then the rest of the words and tables, cautions and where it came
//! from, and last a sheet for the fridge door. No script, no font, no image
//! from outside.

mod choice;
mod door;
mod home;
mod pictures;
#[cfg(test)]
mod tests;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use choice::{Draw, choice, choice_files};
pub use home::Home;

use super::page::{Block, Page};
use super::svg::{self, Fit, Picture, Table, scrub};
use super::words::{Voice, parts};
use super::{Subject, csv, tables};

/// Name of the page's file.
pub const REPORT: &str = "report.html";
/// Longest title shown whole at the top, characters; all of it stands at the
/// foot.
const TITLE: usize = 160;

pub(super) const STYLE: &str = include_str!("page.css");

/// The page, ending in a line feed. `command` repeats the run.
#[must_use]
pub fn report(subject: &Subject, home: &Home, command: &str) -> String {
    let v = Voice::new(subject);
    let [pictures, phone] = [Fit::Wide, Fit::Phone].map(|fit| pictures::all(&v, home, fit));
    let [answer, body, foot] = parts(&v);
    let title = title(subject);
    let head = cut(title);
    let body = html! {
        header {
            h1 dir="auto" { (head) }
            p.soft { (what(&v)) }
            (contents(&pictures))
        }
        main {
            section.answer aria-label="The answer" { (blocks(&answer, 2)) }
            h2 id="pictures" { "Pictures" }
            p.screen { "Point at a picture, or go to it with the tab key, to see values; the table behind each holds them all." }
            @for (p, phone) in pictures.iter().zip(&phone) { (figure(p, phone)) }
            h2 id="words" { "In words" }
            (blocks(&body, 3))
            h2 id="tables" { "Tables" }
            @if !v.single() { p { (tables::reading(&v)) } }
            @for (title, rows) in tables::grids(&v) {
                h3 { (title) }
                (grid(&title, &table_of(rows)))
            }
            (measures(&v))
            h2 id="cautions" { "Books and cautions" }
            (blocks(&foot, 3))
            (provenance(&v, title, command))
            (door::sheet(&v, home, &head))
        }
    };
    document(&head, &body)
}

/// A page that needs nothing from outside.
fn document(head: &str, body: &Markup) -> String {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:";
                title { (head) " – springhouse" }
                link rel="icon" href="data:,";
                style { (PreEscaped(STYLE)) (PreEscaped(svg::STYLE)) }
            }
            body { (body) }
        }
    };
    let mut text = scrub(&markup.into_string());
    text.push('\n');
    text
}

/// The pictures as files of their own: name and bytes.
#[must_use]
pub fn files(subject: &Subject, home: &Home) -> Vec<(String, String)> {
    pictures::all(&Voice::new(subject), home, Fit::Wide).iter().map(|p| (p.file(), p.standalone())).collect()
}

fn title<'a>(subject: &Subject<'a>) -> &'a str {
    let title = subject.names.title.trim();
    if title.is_empty() { subject.file } else { title }
}

fn cut(title: &str) -> String {
    if title.chars().count() <= TITLE {
        return title.to_string();
    }
    let head: String = title.chars().take(TITLE).collect();
    format!("{head}…")
}

fn what(v: &Voice) -> String {
    if v.single() {
        format!("The average {}, no chance anywhere", v.span.one())
    } else {
        format!("{}, seed {}", v.span.trials(v.result.trials), v.result.seed)
    }
}

fn contents(pictures: &[Picture]) -> Markup {
    html! {
        nav aria-label="On this page" {
            ul {
                @for p in pictures { li { a href={ "#fig-" (p.key) } { (p.title) } } }
                li { a href="#words" { "In words" } }
                li { a href="#tables" { "Tables" } }
                li { a href="#cautions" { "Cautions" } }
                li { a href="#door" { "For the fridge door" } }
            }
        }
    }
}

/// A picture in both widths, of which the style shows one, and its table.
fn figure(p: &Picture, phone: &Picture) -> Markup {
    html! {
        figure id={ "fig-" (p.key) } {
            figcaption {
                h3 { (p.title) }
                p.soft { (p.caption) }
            }
            div.plot tabindex="0" role="group" aria-label={ "Picture: " (p.title) } {
                div.stack { (p.inline()) }
                div.stack.narrow { (phone.inline()) }
            }
            details {
                summary { "The values as a table" span.soft { " – " (p.title) } }
                (grid(&p.title, &p.table))
            }
        }
    }
}

fn table_of(rows: Vec<Vec<String>>) -> Table {
    let mut rows = rows.into_iter();
    Table { head: rows.next().unwrap_or_default(), rows: rows.collect() }
}

fn grid(name: &str, table: &Table) -> Markup {
    html! {
        div.wide tabindex="0" role="group" aria-label={ "Table: " (name) } {
            table {
                thead { tr {
                    @for h in &table.head {
                        @if h.is_empty() { td {} } @else { th scope="col" { (h) } }
                    }
                } }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @for (i, c) in row.iter().enumerate() {
                                @if i == 0 { th scope="row" { (c) } } @else { td { (c) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Blocks as headings, paragraphs and lists; the title and tables are set
/// elsewhere.
fn blocks(page: &Page, level: u8) -> Markup {
    let is_item = |b: &Block| matches!(b, Block::Item(_));
    let mut rest = page.blocks.as_slice();
    let mut out = Vec::new();
    while let [block, after @ ..] = rest {
        rest = after;
        out.push(match block {
            Block::Title(_) | Block::Table(_) => continue,
            Block::Heading(t) if level == 2 => html! { h2 { (t) } },
            Block::Heading(t) => html! { h3 { (t) } },
            Block::Paragraph(t) => html! { p { (t) } },
            Block::Pair(label, t) => html! { p { b { (label) ": " } (t) } },
            Block::Item(first) => {
                let many = after.iter().take_while(|b| is_item(b)).count();
                rest = &after[many..];
                html! {
                    ul {
                        li { (first) }
                        @for b in &after[..many] { @if let Block::Item(t) = b { li { (t) } } }
                    }
                }
            }
        });
    }
    html! { @for b in out { (b) } }
}

/// Every measure as in `summary.json`: the same digits.
fn measures(v: &Voice) -> Markup {
    let head = ["measure", "unit", "mean", "1 of 20 under", "middle", "19 of 20 under"].map(String::from);
    let rows = v.result.measures.iter().map(|m| {
        let unit = if m.unit == "1" { "part" } else { m.unit };
        let mut row = vec![m.name.clone(), unit.to_string()];
        row.extend([m.mean, m.quantiles[0], m.quantiles[2], m.quantiles[4]].map(csv::number));
        row
    });
    let table = Table { head: head.to_vec(), rows: rows.collect() };
    html! {
        details id="measures" {
            summary { "Every measure, SI units, all digits" }
            (grid("every measure", &table))
        }
    }
}

fn provenance(v: &Voice, title: &str, command: &str) -> Markup {
    let r = v.result;
    html! {
        h2 id="from" { "Where this comes from" }
        dl {
            dt { "scenario" } dd dir="auto" { (title) }
            dt { "file" } dd dir="auto" { (v.subject.file) }
            dt { "SHA-256 of the file" } dd { code { (v.subject.sha256) } }
            dt { "seed" } dd { (r.seed) }
            dt { "trials" } dd { (r.trials) }
            dt { "days" } dd { (r.days) " from " (v.span.day_words(0)) }
            dt { "made by" } dd { "springhouse " (env!("CARGO_PKG_VERSION")) }
            dt { "command" } dd { code { (command) } }
            dt { "sources" } dd {
                "Breeds, jars, stores, people, products and recipes come with the program, with the source of each figure: "
                code { "springhouse list breeds" } " and the like print them. What is not published is marked there as "
                "common practice, from memory or our default. The rest is the scenario's own."
            }
        }
    }
}
