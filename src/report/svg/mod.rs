//! Pictures: each a function of plain data in the family's units.
//!
//! A picture says its title and what it shows, holds its values as a table, and
//! never tells by colour alone: lines differ in dash, areas in pattern or label.
//! Everything is laid out by hand, because no chart library we know gives
//! text that stays text, a description, dark and print colours from the page,
//! and the same bytes every time.

mod axis;
mod bars;
mod calendar;
mod cells;
mod curve;
mod flow;
mod gaps;
mod jar;
mod larder;
mod pairs;
mod ranges;
mod room;
mod weeks;
mod year;

use maud::{Markup, PreEscaped, html};

pub use axis::Days;
pub use bars::{Bar, Bars, Group, bars};
pub use calendar::{Calendar, calendar};
pub use cells::{Cell, Cells, Stand, cells};
pub use curve::{Curve, Mark, Panel, Point, curve};
pub use flow::{Flow, Stream, flow};
pub use gaps::{Gaps, Row, gaps};
pub use jar::{JarPicture, Layer, jar};
pub use larder::{Larder, Shelf, larder};
pub use pairs::{PairRow, Pairs, pairs};
pub use ranges::{Range, Ranges, ranges};
pub use room::{Room, room};
pub use weeks::{Weeks, weeks};
pub use year::{Event, Turn, Year, year};

/// Look of every picture, for screen, dark screen and paper.
pub const STYLE: &str = include_str!("picture.css");

/// Longest label in a picture, characters.
const LABEL: usize = 46;

/// How much room a picture has: text keeps its size, the drawing gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// A page, a screen, a file of its own.
    Wide,
    /// A telephone held upright.
    Phone,
}

impl Fit {
    /// Width of a picture, in its own units.
    #[must_use]
    pub fn width(self) -> f64 {
        self.of(720.0, 320.0)
    }

    /// One for each.
    fn of<T>(self, wide: T, phone: T) -> T {
        match self {
            Self::Wide => wide,
            Self::Phone => phone,
        }
    }

    /// An id within the page: both drawings of a picture stand in it.
    fn id(self, key: &str) -> String {
        format!("{key}{}", self.of("", "-phone"))
    }
}

/// Characters of small text that fit in so many units.
fn fitting(room: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a picture")]
    let most = (room.clamp(0.0, 2000.0) / 6.4) as usize;
    most.max(4)
}

/// A table of text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Heads of the columns.
    pub head: Vec<String>,
    /// Rows; the first cell names the row.
    pub rows: Vec<Vec<String>>,
}

/// A place in a picture whose values are shown when it is pointed at or
/// focused.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Left, top, width, height.
    pub at: [f64; 4],
    /// Lines of text.
    pub words: Vec<String>,
}

/// A finished picture.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Stable name: ids and file names are made of it.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// The room it was drawn for.
    pub fit: Fit,
    /// What it shows, in a sentence or two, for whoever cannot see it.
    pub desc: String,
    /// What is said beside it.
    pub caption: String,
    /// Width and height, in its own units (pixels at full size).
    pub size: [f64; 2],
    /// The drawing.
    pub body: Markup,
    /// Values on pointing or focus.
    pub spots: Vec<Spot>,
    /// The same as a table.
    pub table: Table,
}

impl Picture {
    /// Name of its own file.
    #[must_use]
    pub fn file(&self) -> String {
        format!("picture-{}.svg", self.key)
    }

    fn view(&self) -> String {
        format!("0 0 {} {}", n(self.size[0]), n(self.size[1]))
    }

    fn labels(&self) -> Markup {
        let id = self.fit.id(self.key);
        html! {
            title id={ (id) "-title" } { (self.title) }
            desc id={ (id) "-desc" } { (self.desc) }
        }
    }

    fn labelled(&self) -> String {
        format!("{0}-title {0}-desc", self.fit.id(self.key))
    }

    /// The picture inside a page: the drawing, and over it the places that
    /// show values.
    #[must_use]
    pub fn inline(&self) -> Markup {
        let labelled = self.labelled();
        html! {
            svg.pic viewBox=(self.view()) width=(n(self.size[0])) height=(n(self.size[1])) role="img" aria-labelledby=(labelled) {
                (self.labels())
                (self.body)
            }
            // A finger covers what it points at: the table serves better.
            @if self.fit == Fit::Wide && !self.spots.is_empty() {
                svg.pic.over viewBox=(self.view()) role="group" aria-label={ "Values: " (self.title) } {
                    @for spot in &self.spots { (self.spot(spot)) }
                }
            }
        }
    }

    fn spot(&self, spot: &Spot) -> Markup {
        let [x, y, w, h] = spot.at;
        let longest = spot.words.iter().map(|l| l.chars().count()).max().unwrap_or(0);
        let wide = 7.0 * count(longest) + 16.0;
        let tall = 17.0 * count(spot.words.len()) + 8.0;
        let left = (x + w / 2.0 - wide / 2.0).clamp(1.0, (self.size[0] - wide - 1.0).max(1.0));
        let top = (y + 2.0).min((self.size[1] - tall - 1.0).max(0.0));
        html! {
            g.spot tabindex="0" role="img" aria-label=(spot.words.join("; ")) {
                rect.zone x=(n(x)) y=(n(y)) width=(n(w)) height=(n(h)) {}
                g.tip aria-hidden="true" {
                    rect x=(n(left)) y=(n(top)) width=(n(wide)) height=(n(tall)) rx="3" {}
                    @for (i, line) in spot.words.iter().enumerate() {
                        text.small x=(n(left + 8.0)) y=(n(top + 17.0 * (count(i) + 1.0))) { (line) }
                    }
                }
            }
        }
    }

    /// The picture as a file of its own.
    #[must_use]
    pub fn standalone(&self) -> String {
        let labelled = self.labelled();
        let markup = html! {
            svg.pic xmlns="http://www.w3.org/2000/svg" viewBox=(self.view()) width=(n(self.size[0])) height=(n(self.size[1])) role="img" aria-labelledby=(labelled) {
                (self.labels())
                style { (PreEscaped(STYLE)) }
                rect.paper width="100%" height="100%" {}
                (self.body)
                @for spot in &self.spots {
                    rect.zone x=(n(spot.at[0])) y=(n(spot.at[1])) width=(n(spot.at[2])) height=(n(spot.at[3])) {
                        title { (spot.words.join("; ")) }
                    }
                }
            }
        };
        let mut text = scrub(&markup.into_string());
        text.push('\n');
        text
    }
}

/// Text that no reader of a file trips over: without control characters and
/// marks that turn the direction of text around.
#[must_use]
pub fn scrub(text: &str) -> String {
    text.chars()
        .filter(|c| *c == '\n' || !c.is_control())
        .filter(|c| !matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}'))
        .collect()
}

/// A coordinate: one decimal, no needless zero.
fn n(x: f64) -> String {
    let r = (x * 10.0).round() / 10.0;
    if r.is_finite() { format!("{}", if r == 0.0 { 0.0 } else { r }) } else { "0".into() }
}

/// A small count as a number.
fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// A label cut to what a picture has room for.
fn short(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_string();
    }
    let head: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", head.trim_end())
}

/// Stripes for areas that must differ on paper: pattern `KEY-stripes`.
fn stripes(key: &str, class: &str) -> Markup {
    html! {
        defs {
            pattern id={ (key) "-stripes" } width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                line class=(class) x1="0" y1="0" x2="0" y2="6" {}
            }
        }
    }
}

/// The style that paints with [`stripes`].
fn striped(key: &str) -> String {
    format!("url(#{key}-stripes)")
}
