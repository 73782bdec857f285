//! The page of a choice: what was compared, varied or sized.

use maud::{Markup, html};

use super::{blocks, cut, document, figure};
use crate::report::About;
use crate::report::page::{Block, Page};
use crate::report::svg::{Fit, Picture};

/// Draws the pictures for a page or a telephone.
pub type Draw<'a> = &'a dyn Fn(Fit) -> Vec<Picture>;

/// The page, ending in a line feed. `page` holds the words, of which those
/// before the first heading are the answer; `command` repeats what was done.
#[must_use]
pub fn choice(page: &Page, draw: Draw, about: &About, command: &str) -> String {
    let [pictures, phone] = [Fit::Wide, Fit::Phone].map(draw);
    let title = page.blocks.iter().find_map(|b| match b {
        Block::Title(t) => Some(t.as_str()),
        _ => None,
    });
    let head = cut(title.unwrap_or(about.file));
    let heading = |b: &Block| matches!(b, Block::Heading(_));
    let split = page.blocks.iter().position(heading).unwrap_or(page.blocks.len());
    let (answer, rest) = page.blocks.split_at(split);
    let part = |blocks: &[Block]| Page { blocks: blocks.to_vec() };
    let body = html! {
        header {
            h1 dir="auto" { (head) }
            nav aria-label="On this page" {
                ul {
                    @for p in &pictures { li { a href={ "#fig-" (p.key) } { (p.title) } } }
                    li { a href="#words" { "In words" } }
                    li { a href="#from" { "Where this comes from" } }
                }
            }
        }
        main {
            section.answer aria-label="The answer" { (blocks(&part(answer), 2)) }
            @if !pictures.is_empty() {
                h2 id="pictures" { "Pictures" }
                @for (p, phone) in pictures.iter().zip(&phone) { (figure(p, phone)) }
            }
            h2 id="words" { "In words" }
            @for piece in pieces(rest) {
                @match piece {
                    Piece::Words(words) => (blocks(&part(words), 3)),
                    Piece::Table(name, text) => (typed(name, text)),
                }
            }
            (from(about, command))
        }
    };
    document(&head, &body)
}

/// The pictures as files of their own: name and bytes.
#[must_use]
pub fn choice_files(draw: Draw) -> Vec<(String, String)> {
    draw(Fit::Wide).iter().map(|p| (p.file(), p.standalone())).collect()
}

enum Piece<'a> {
    Words(&'a [Block]),
    Table(&'a str, &'a str),
}

/// Words and tables in turn; a table goes by the heading above it.
fn pieces(all: &[Block]) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let (mut start, mut name) = (0, "figures");
    for (i, block) in all.iter().enumerate() {
        match block {
            Block::Heading(t) => name = t,
            Block::Table(text) => {
                out.push(Piece::Words(&all[start..i]));
                out.push(Piece::Table(name, text));
                start = i + 1;
            }
            _ => {}
        }
    }
    out.push(Piece::Words(&all[start..]));
    out
}

/// A table as it is printed on a terminal.
fn typed(name: &str, text: &str) -> Markup {
    html! {
        div.wide tabindex="0" role="group" aria-label={ "Table: " (name) } { pre { (text) } }
    }
}

fn from(about: &About, command: &str) -> Markup {
    let rows = [
        ("scenario", about.title.to_string()),
        ("file", about.file.to_string()),
        ("SHA-256 of the file", about.sha256.to_string()),
        ("seed", about.seed.to_string()),
        ("trials", about.trials.to_string()),
        ("days", about.days.to_string()),
        ("made by", format!("springhouse {}", env!("CARGO_PKG_VERSION"))),
    ];
    html! {
        h2 id="from" { "Where this comes from" }
        dl {
            @for (name, text) in rows { dt { (name) } dd dir="auto" { (text) } }
            dt { "command" } dd { code { (command) } }
            dt { "sources" } dd {
                "Every figure that comes with the program stands with its source in " code { "springhouse list" } "."
            }
        }
    }
}
