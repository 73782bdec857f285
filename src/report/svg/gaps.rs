//! Days on which the shelf is bare: a row a wish.

use maud::html;

use super::axis::{Days, Frame};
use super::{Fit, Picture, Table, count, n, short};
use crate::report::amounts::days as day_words;

/// The bare days of one wish.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// First day on which it is wished.
    pub from: usize,
    /// Stretches of bare days, first and last.
    pub bare: Vec<(usize, usize)>,
}

/// All wishes.
#[derive(Clone, Debug)]
pub struct Gaps {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// The days.
    pub days: Days,
    /// Rows, top to bottom.
    pub rows: Vec<Row>,
    /// Some are not wished in every month.
    pub rests: bool,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
}

/// Draws it; `None` where no shelf is ever bare.
#[must_use]
pub fn gaps(g: &Gaps, fit: Fit) -> Option<Picture> {
    let step = fit.of(24.0, 38.0);
    if g.rows.iter().all(|r| r.bare.is_empty()) {
        return None;
    }
    let f = Frame {
        left: fit.of(150.0, 8.0),
        top: 8.0,
        width: fit.width() - fit.of(164.0, 20.0),
        height: step * count(g.rows.len()),
        days: &g.days,
        most: 1.0,
    };
    let long = |(a, b): &(usize, usize)| b - a + 1;
    let body = html! {
        @for (i, r) in g.rows.iter().enumerate() {
            @let y = f.top + step * (count(i) + fit.of(0.5, 0.7));
            @if fit == Fit::Wide {
                text.small.end x=(n(f.left - 10.0)) y=(n(y + 4.0)) { (short(&r.name, 20)) }
            } @else {
                text.small x=(n(f.left)) y=(n(y - 12.0)) { (short(&r.name, 40)) }
            }
            line.axis x1=(n(f.x(r.from))) x2=(n(f.left + f.width)) y1=(n(y)) y2=(n(y)) {}
            @for s in &r.bare {
                rect.k5 x=(n(f.x(s.0))) width=(n(f.x(s.1 + 1) - f.x(s.0))) y=(n(y - 7.0)) height="14" {
                    title { (r.name) ": none from " (g.days.words(s.0)) " to " (g.days.words(s.1)) }
                }
            }
        }
        (f.calendar())
    };
    let rows = g.rows.iter().map(|r| {
        let longest = r.bare.iter().max_by_key(|s| long(s));
        vec![
            r.name.clone(),
            day_words(count(r.bare.iter().map(long).sum())),
            longest.map_or_else(String::new, |s| {
                format!("{}, from {}", day_words(count(long(s))), g.days.words(s.0))
            }),
        ]
    });
    let table = Table {
        head: vec![String::new(), "days without".into(), "longest stretch".into()],
        rows: rows.collect(),
    };
    let how = g.many.map_or_else(
        || "A block marks days that end with none in the house.".to_string(),
        |many| format!("A block marks days that end with none in the house in half of the {many} or more."),
    );
    let rests = if g.rests { " Months in which a thing is not wished are marked too." } else { "" };
    let desc = format!("{how} The line begins where the wish does.{rests}");
    Some(Picture {
        key: g.key,
        title: g.title.clone(),
        caption: desc.clone(),
        desc,
        fit,
        size: [fit.width(), f.top + f.height + 42.0],
        body,
        spots: vec![],
        table,
    })
}
