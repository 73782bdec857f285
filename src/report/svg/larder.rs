//! The larder: one shelf under another, on one calendar.

use maud::html;

use super::axis::{Days, Frame, round_up};
use super::{Fit, Picture, Spot, Table, count, n, short};

/// What is in store of one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelf {
    /// Its name.
    pub name: String,
    /// Unit (`lb`).
    pub unit: String,
    /// 10, 50, 90 % day by day, in that unit.
    pub days: Vec<[f64; 3]>,
    /// In how many runs it lasts through the dry weeks, in words.
    pub lasts: Option<String>,
}

/// All shelves.
#[derive(Clone, Debug)]
pub struct Larder {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// The days.
    pub days: Days,
    /// Stretches of days without milk in the middle run, first and last.
    pub dry: Vec<(usize, usize)>,
    /// Shelves, top to bottom.
    pub shelves: Vec<Shelf>,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
}

/// Draws it; `None` where nothing is ever in store.
#[must_use]
pub fn larder(l: &Larder, fit: Fit) -> Option<Picture> {
    const STEP: f64 = 74.0;
    const TALL: f64 = 48.0;
    let most = |s: &Shelf| s.days.iter().map(|d| d[2]).fold(0.0, f64::max);
    let shelves: Vec<&Shelf> = l.shelves.iter().filter(|s| most(s) > 0.0).collect();
    if shelves.is_empty() {
        return None;
    }
    let (wide, left) = (fit.width(), fit.of(46.0, 38.0));
    let frames: Vec<Frame> = shelves
        .iter()
        .enumerate()
        .map(|(i, s)| Frame {
            left,
            top: 24.0 + STEP * count(i),
            width: wide - left - 14.0,
            height: TALL,
            days: &l.days,
            most: round_up(most(s)),
        })
        .collect();
    let get = |s: &Shelf, q: usize, d: usize| s.days.get(d).map_or(0.0, |v| v[q]);
    let months = l.days.months();
    let number = crate::report::amounts::cell;
    let end = |s: &Shelf, q: usize, to: usize| number(get(s, q, to - 1));
    let mut head = vec!["in store at the end of".to_string()];
    head.extend(shelves.iter().map(|s| format!("{}, {}", s.name, s.unit)));
    let mut rows: Vec<Vec<String>> = months
        .iter()
        .map(|m| std::iter::once(m.name.clone()).chain(shelves.iter().map(|s| end(s, 1, m.to))).collect())
        .collect();
    if shelves.iter().any(|s| s.lasts.is_some()) {
        rows.push(
            std::iter::once("lasts through the dry weeks".to_string())
                .chain(shelves.iter().map(|s| s.lasts.clone().unwrap_or_default()))
                .collect(),
        );
    }
    let tall = 24.0 + STEP * count(shelves.len());
    let spots = frames.first().map_or_else(Vec::new, |f| {
        months
            .iter()
            .map(|m| Spot {
                at: [f.x(m.from), 24.0, f.x(m.to) - f.x(m.from), tall - 46.0],
                words: std::iter::once(format!("end of {}", m.name))
                    .chain(
                        shelves
                            .iter()
                            .map(|s| format!("{}: {} {}", short(&s.name, 24), end(s, 1, m.to), s.unit)),
                    )
                    .collect(),
            })
            .collect()
    });
    let body = html! {
        @for (s, f) in shelves.iter().zip(&frames) {
            (f.dry(&l.dry))
            text.small x=(n(f.left)) y=(n(f.top - 7.0)) {
                tspan.strong { (short(&s.name, fit.of(40, 32))) } ", " (s.unit)
                @if let Some(lasts) = s.lasts.as_ref().filter(|_| fit == Fit::Wide) { tspan.soft { " · lasts through the dry weeks " (lasts) } }
            }
            (f.amounts(2.0))
            @if l.many.is_some() { path.b2 d=(f.area(|d| get(s, 0, d), |d| get(s, 2, d))) {} }
            path.l1 d=(f.line(|d| get(s, 1, d))) {}
        }
        @if let Some(f) = frames.last() { (f.calendar()) }
    };
    let band = l.many.map_or_else(String::new, |many| format!("; the band holds 8 of 10 {many}"));
    let dry =
        if l.dry.is_empty() { "" } else { " The grey columns are the weeks without milk in the middle run." };
    let desc = format!(
        "What is in store each day: the line is the middle{band}. Each shelf has its own scale.{dry}"
    );
    Some(Picture {
        key: l.key,
        title: l.title.clone(),
        caption: desc.clone(),
        desc,
        fit,
        size: [wide, tall + 22.0],
        body,
        spots,
        table: Table { head, rows },
    })
}
