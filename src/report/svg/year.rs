//! Milk through the year.

use maud::html;

use super::axis::{Days, Frame, round_up};
use super::{Fit, Picture, Spot, Table, fitting, n};
use crate::report::amounts::percent;

/// Most events that are drawn.
const MOST_EVENTS: usize = 10;

/// Something that happens on about a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Day of the run.
    pub day: usize,
    /// In words (`Clover freshens`).
    pub words: String,
    /// What it does.
    pub turn: Turn,
}

/// What an event does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// It brings milk.
    Begins,
    /// It ends it.
    Ends,
    /// Her young takes less of it, or no more.
    Young,
}

/// Milk day by day, in the family's unit.
#[derive(Clone, Debug)]
pub struct Year {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// Unit (`gal`).
    pub unit: String,
    /// The days.
    pub days: Days,
    /// 5, 10, 50, 90, 95 % of every day.
    pub bands: Vec<[f64; 5]>,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
    /// Milk comes on single days: sticks, not a line.
    pub sticks: bool,
    /// What happens, in order.
    pub events: Vec<Event>,
    /// Part of the years in which an animal is ill on a day; empty where nobody knows.
    pub ill: Vec<Option<f64>>,
}

/// Draws it; `None` without any milk.
#[must_use]
pub fn year(y: &Year, fit: Fit) -> Option<Picture> {
    let most = y.bands.iter().map(|b| b[4]).fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let lines = y.events.len().min(MOST_EVENTS);
    let top = 28.0 + 16.0 * super::count(lines);
    let (wide, tall) = (fit.width(), fit.of(230.0, 180.0));
    let left = fit.of(46.0, 44.0);
    let f = Frame { left, top, width: wide - left - 14.0, height: tall, days: &y.days, most: round_up(most) };
    let get = |q: usize| move |d: usize| y.bands.get(d).map_or(0.0, |b| b[q]);
    let months = y.days.months();
    let number = crate::report::amounts::cell;
    let mean =
        |q: usize, from: usize, to: usize| (from..to).map(get(q)).sum::<f64>() / super::count(to - from);
    // Below it, the weeks in which an animal may be ill.
    let ill = super::weeks::by_week(&y.ill).into_iter().fold(0.0, f64::max);
    let ill = (ill >= 5e-4).then(|| round_up(100.0 * ill) / 100.0);
    let strip = ill.map_or(0.0, |_| 62.0);
    let below = Frame {
        top: top + tall + 28.0,
        height: 34.0,
        most: ill.unwrap_or(1.0),
        left,
        width: f.width,
        days: f.days,
    };
    let last = if ill.is_some() { &below } else { &f };
    let spots = months.iter().map(|m| Spot {
        at: [f.x(m.from), top, f.x(m.to) - f.x(m.from), tall],
        words: match y.many {
            Some(many) => vec![
                m.name.clone(),
                format!("middle {} {} a day", number(mean(2, m.from, m.to)), y.unit),
                format!(
                    "9 of 10 {many}: {} to {}",
                    number(mean(0, m.from, m.to)),
                    number(mean(4, m.from, m.to))
                ),
            ],
            None => vec![m.name.clone(), format!("{} {} a day", number(mean(2, m.from, m.to)), y.unit)],
        },
    });
    let spots: Vec<Spot> = spots.collect();
    let head = match y.many {
        Some(many) => vec![
            format!("{} a day, mean of the month", y.unit),
            "middle".into(),
            format!("9 of 10 {many}: from"),
            "to".into(),
        ]
        .into_iter()
        .chain(ill.map(|_| "days with an animal ill (mean)".to_string()))
        .collect(),
        None => vec![format!("{} a day, mean of the month", y.unit), "milk".into()],
    };
    let rows = months.iter().map(|m| {
        let cell = |q| number(mean(q, m.from, m.to));
        let mut row = vec![m.name.clone(), cell(2)];
        if y.many.is_some() {
            row.extend([cell(0), cell(4)]);
            row.extend(
                ill.map(|_| number((m.from..m.to).filter_map(|d| y.ill.get(d).copied().flatten()).sum())),
            );
        }
        row
    });
    let table = Table { head, rows: rows.collect() };
    let body = html! {
        text.soft.small x="4" y="14" { (y.unit) " a day" }
        (f.amounts(5.0))
        @if y.sticks {
            @for (d, b) in y.bands.iter().enumerate().filter(|(_, b)| b[4] > 0.0) {
                line.thin x1=(n(f.mid(d))) x2=(n(f.mid(d))) y1=(n(f.y(b[0]))) y2=(n(f.y(b[4]))) {}
                line.l1 x1=(n(f.mid(d))) x2=(n(f.mid(d))) y1=(n(f.y(0.0))) y2=(n(f.y(b[2]))) {}
            }
        } @else if y.many.is_some() {
            path.b1 d=(f.area(get(0), get(4))) {}
            path.b2 d=(f.area(get(1), get(3))) {}
        }
        @if !y.sticks { path.l1 d=(f.line(get(2))) {} }
        @for (i, e) in y.events.iter().take(lines).enumerate() {
            @let (x, line) = (f.mid(e.day), 30.0 + 16.0 * super::count(i));
            @let late = x > 0.58 * wide;
            @let room = if late { x - 9.0 } else { wide - x - 9.0 };
            line.mark x1=(n(x)) x2=(n(x)) y1=(n(line - 4.0)) y2=(n(top + f.height)) {}
            @match e.turn {
                Turn::Begins => { path.dot d=(format!("M{} {}l4.5 8h-9z", n(x), n(line - 9.0))) {} }
                Turn::Ends => { path.dot d=(format!("M{} {}l4.5 -8h-9z", n(x), n(line))) {} }
                Turn::Young => { circle.hollow cx=(n(x)) cy=(n(line - 4.5)) r="4" {} }
            }
            text.small.end[late] x=(n(if late { x - 9.0 } else { x + 9.0 })) y=(n(line)) { (super::short(&e.words, fitting(room).min(60))) }
        }
        @if ill.is_some() {
            (super::weeks::sticks(&below, &y.ill, 1.0))
            line.axis x1=(n(f.left)) x2=(n(f.left + f.width)) y1=(n(below.y(0.0))) y2=(n(below.y(0.0))) {}
            text.soft.small.end x=(n(f.left - 6.0)) y=(n(below.top + 9.0)) { (percent(below.most)) }
            text.small x=(n(f.left + 4.0)) y=(n(below.top - 5.0)) { (fit.of("an animal is ill, her milk kept from people: part of the days of each week", "an animal is ill: part of the days")) }
        }
        (last.calendar())
    };
    let mut told: Vec<String> =
        y.events.iter().take(lines).map(|e| format!("{} ({})", e.words, y.days.words(e.day))).collect();
    if let more @ 1.. = y.events.len() - lines {
        told.push(format!("{more} more later on, not drawn"));
    }
    let bands = y.many.map_or_else(String::new, |many| {
        if y.sticks {
            format!(" The thin line on it holds 9 of 10 {many}.")
        } else {
            format!(" The dark band holds 8 of 10 {many} on each day, the light one 9 of 10.")
        }
    });
    let ill = if ill.is_some() {
        " The sticks below are the part of days on which an animal is ill and her milk is kept from people, week by week."
    } else {
        ""
    };
    let desc = format!(
        "{} the middle of each day.{bands}{ill} {}{}",
        if y.sticks { "A stick is" } else { "The line is" },
        told.join("; "),
        if told.is_empty() { "" } else { "." }
    );
    Some(Picture {
        key: y.key,
        title: y.title.clone(),
        caption: desc.clone(),
        desc,
        fit,
        size: [wide, top + tall + strip + 42.0],
        body,
        spots,
        table,
    })
}
