//! Two fields at once: a cell for every pair of values, with how its aims stand.

use maud::html;

use super::{Fit, Picture, Table, count, fitting, n, short, striped, stripes};

/// How the aims of a pair of values stand together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// All surely kept.
    Kept,
    /// So many years cannot tell.
    Open,
    /// One at least surely not kept.
    Not,
}

impl Stand {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Open => "cannot be told yet",
            Self::Not => "not kept",
        }
    }

    const fn class(self) -> &'static str {
        match self {
            Self::Kept => "f3",
            Self::Open => "f6",
            Self::Not => "paper",
        }
    }
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// How many aims are surely kept, and how they stand together.
    pub kept: usize,
    /// Together.
    pub stand: Stand,
    /// What is told of it, aim by aim.
    pub words: String,
}

/// All cells.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub what: String,
    /// The two fields: down, along.
    pub fields: [String; 2],
    /// Their values.
    pub values: [Vec<String>; 2],
    /// Row by row.
    pub cells: Vec<Cell>,
    /// How many aims there are.
    pub aims: usize,
    /// The most frugal of a row that keeps them all.
    pub marks: Vec<Option<usize>>,
}

/// Draws them; `None` without an aim or where cells are wanting.
#[must_use]
pub fn cells(c: &Cells, fit: Fit) -> Option<Picture> {
    let [down, along] = &c.values;
    if c.aims == 0 || c.cells.is_empty() || c.cells.len() != down.len() * along.len() {
        return None;
    }
    const TALL: f64 = 30.0;
    const TOP: f64 = 46.0;
    let id = fit.id(c.key);
    let longest = down.iter().map(|v| v.chars().count()).max().unwrap_or(1);
    let left = (7.0 * count(longest) + 14.0).clamp(40.0, fit.of(210.0, 96.0));
    let wide = (fit.width() - left - 8.0) / count(along.len());
    let x = |j: usize| left + wide * count(j);
    let y = |i: usize| TOP + TALL * count(i);
    let fits = fitting(wide);
    let body = html! {
        (stripes(&id, "h1"))
        text.small.mid x=(n(left + wide * count(along.len()) / 2.0)) y="14" { (short(&c.fields[1], fitting(fit.width() - left))) }
        @for (j, value) in along.iter().enumerate() {
            text.soft.small.mid x=(n(x(j) + wide / 2.0)) y="36" { (short(value, fits)) }
        }
        @for (i, value) in down.iter().enumerate() {
            text.soft.small.end x=(n(left - 8.0)) y=(n(y(i) + 20.0)) { (short(value, fitting(left - 10.0))) }
            @for (j, cell) in c.cells.iter().skip(i * along.len()).take(along.len()).enumerate() {
                rect class=(cell.stand.class()) x=(n(x(j) + 1.0)) y=(n(y(i) + 1.0)) width=(n((wide - 2.0).max(1.0))) height=(n(TALL - 2.0)) {
                    title { (value) ", " (along[j]) ": " (cell.words) }
                }
                @if cell.stand == Stand::Open {
                    rect x=(n(x(j) + 1.0)) y=(n(y(i) + 1.0)) width=(n((wide - 2.0).max(1.0))) height=(n(TALL - 2.0)) fill=(striped(&id)) fill-opacity="0.25" {}
                }
                rect.thin x=(n(x(j) + 1.0)) y=(n(y(i) + 1.0)) width=(n((wide - 2.0).max(1.0))) height=(n(TALL - 2.0)) {}
                @if c.marks.get(i).copied().flatten() == Some(j) {
                    rect.frame x=(n(x(j) + 3.0)) y=(n(y(i) + 3.0)) width=(n((wide - 6.0).max(1.0))) height=(n(TALL - 6.0)) {}
                }
                text.small.mid x=(n(x(j) + wide / 2.0)) y=(n(y(i) + 20.0)) { (format!("{}/{}", cell.kept, c.aims)) }
            }
        }
        text.small x="4" y=(n(y(down.len()) + 18.0)) { "down: " (short(&c.fields[0], fitting(fit.width() - 50.0))) }
    };
    let desc = format!(
        "{} A number says how many of the {} aims are surely kept; filled: all of them; striped: cannot be told \
         yet; empty: one at least is not kept. Framed: the most frugal of a row that keeps all.",
        c.what, c.aims
    );
    let head = [vec![format!("{} / {}", c.fields[0], c.fields[1])], along.clone()].concat();
    let rows = down.iter().zip(c.cells.chunks(along.len())).map(|(value, row)| {
        std::iter::once(value.clone())
            .chain(row.iter().map(|cell| format!("{} ({} of {})", cell.stand.words(), cell.kept, c.aims)))
            .collect()
    });
    Some(Picture {
        key: c.key,
        title: c.title.clone(),
        fit,
        caption: desc.clone(),
        desc,
        size: [fit.width(), y(down.len()) + 26.0],
        body,
        spots: vec![],
        table: Table { head, rows: rows.collect() },
    })
}
