//! Room wanted and used against what is owned.

use maud::html;

use super::axis::{Days, Frame, round_up};
use super::{Fit, Picture, Spot, Table, n};
use crate::report::amounts::cell;

/// Room day by day, in the family's unit.
#[derive(Clone, Debug)]
pub struct Room {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// Unit (`cu ft`).
    pub unit: String,
    /// The days.
    pub days: Days,
    /// Wanted: middle, 90 %, day by day; empty where it is not known.
    pub wanted: Vec<[f64; 2]>,
    /// Used: middle, 90 %.
    pub used: Vec<[f64; 2]>,
    /// Owned.
    pub owned: f64,
    /// Decimals in which amounts are told.
    pub decimals: usize,
    /// Chance that something has no place, day by day; empty where not known.
    pub over: Vec<f64>,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
}

/// Draws it; `None` where nothing is owned and nothing asked for.
#[must_use]
pub fn room(r: &Room, fit: Fit) -> Option<Picture> {
    let over = r.wanted.iter().chain(&r.used).map(|w| w[1]).fold(0.0, f64::max);
    if over <= 0.0 {
        return None;
    }
    let strip = if r.over.iter().any(|c| *c > 0.0) { 66.0 } else { 0.0 };
    let (wide, left) = (fit.width(), fit.of(46.0, 38.0));
    let f = Frame {
        left,
        top: fit.of(44.0, 62.0),
        width: wide - left - 14.0,
        height: fit.of(210.0, 170.0),
        days: &r.days,
        most: round_up(over.max(r.owned) * 1.02),
    };
    let main = if r.wanted.is_empty() { &r.used } else { &r.wanted };
    let get = |of: &[[f64; 2]], q: usize, d: usize| of.get(d).map_or(0.0, |w| w[q]);
    let number = |x: f64| crate::units::show::fixed(x, r.decimals);
    let most =
        |of: &[[f64; 2]], q: usize, a: usize, b: usize| (a..b).map(|d| get(of, q, d)).fold(0.0, f64::max);
    let chance = |a: usize, b: usize| (a..b).map(|d| r.over.get(d).copied().unwrap_or(0.0)).sum::<f64>();
    let months = r.days.months();
    let what = if r.wanted.is_empty() { "in use" } else { "wanted" };
    let spots = months.iter().map(|m| {
        let mut words = vec![
            m.name.clone(),
            format!("{what}, fullest day: {} {}", number(most(main, 0, m.from, m.to)), r.unit),
        ];
        if !r.wanted.is_empty() {
            words.push(format!("used, fullest day: {} {}", number(most(&r.used, 0, m.from, m.to)), r.unit));
        }
        words.push(format!("owned: {} {}", number(r.owned), r.unit));
        if strip > 0.0 {
            words.push(format!("days over full: {}", cell(chance(m.from, m.to))));
        }
        Spot { at: [f.x(m.from), f.top, f.x(m.to) - f.x(m.from), f.height + strip], words }
    });
    let spots: Vec<Spot> = spots.collect();
    let mut head = vec![format!("{}, fullest day of the month", r.unit), format!("{what}, middle")];
    if r.many.is_some() {
        head.push(format!("{what}, 9 of 10 stay under"));
    }
    if !r.wanted.is_empty() {
        head.push("used, middle".into());
    }
    if strip > 0.0 {
        head.push("days over full (mean)".into());
    }
    let rows = months.iter().map(|m| {
        let mut row = vec![m.name.clone(), number(most(main, 0, m.from, m.to))];
        if r.many.is_some() {
            row.push(number(most(main, 1, m.from, m.to)));
        }
        if !r.wanted.is_empty() {
            row.push(number(most(&r.used, 0, m.from, m.to)));
        }
        if strip > 0.0 {
            row.push(cell(chance(m.from, m.to)));
        }
        row
    });
    let table = Table { head, rows: rows.collect() };
    let key = r.key;
    let below = Frame {
        top: f.top + f.height + 26.0,
        height: 36.0,
        most: 1.0,
        left: f.left,
        width: f.width,
        days: f.days,
    };
    let last = if strip > 0.0 { &below } else { &f };
    let body = html! {
        line.l1 x1=(n(left)) x2=(n(left + 24.0)) y1="12" y2="12" {}
        text.small x=(n(left + 30.0)) y="16" { (what) ", middle" }
        @if r.many.is_some() {
            rect.b2 x=(n(left + 150.0)) y="5" width="24" height="14" {}
            text.small x=(n(left + 180.0)) y="16" { (fit.of("9 of 10 stay under", "9 of 10 under")) }
        }
        @if !r.wanted.is_empty() {
            @let (x, y) = fit.of((372.0, 12.0), (left, 30.0));
            line.l2 x1=(n(x)) x2=(n(x + 24.0)) y1=(n(y)) y2=(n(y)) {}
            text.small x=(n(x + 30.0)) y=(n(y + 4.0)) { "used, middle" }
        }
        text.soft.small x="4" y=(n(f.top - 8.0)) { (r.unit) }
        (f.amounts(5.0))
        @if r.many.is_some() {
            path.b2 d=(f.area(|d| get(main, 0, d), |d| get(main, 1, d))) {}
        }
        path.l1 d=(f.line(|d| get(main, 0, d))) {}
        @if !r.wanted.is_empty() {
            path.l2 d=(f.line(|d| get(&r.used, 0, d))) {}
        }
        line.owned x1=(n(f.left)) x2=(n(f.left + f.width)) y1=(n(f.y(r.owned))) y2=(n(f.y(r.owned))) {}
        text.small.strong.end x=(n(f.left + f.width)) y=(n(f.y(r.owned) - 5.0)) { "owned: " (number(r.owned)) " " (r.unit) }
        @if strip > 0.0 {
            @for (d, c) in r.over.iter().enumerate().filter(|(_, c)| **c >= 0.01) {
                rect.k5 x=(n(below.x(d))) width=(n((f.width / super::count(r.days.count)).max(0.8))) y=(n(below.y(*c))) height=(n(below.height * c.min(1.0))) {}
            }
            text.soft.small.end x=(n(f.left - 6.0)) y=(n(below.top + 9.0)) { "all" }
            text.soft.small.end x=(n(f.left - 6.0)) y=(n(below.top + 36.0)) { "none" }
            text.small x=(n(f.left + 4.0)) y=(n(below.top - 5.0)) { "chance that the day is over full" }
        }
        (last.calendar())
    };
    let desc = format!(
        "{} each day at its fullest moment, against the dashed line of what is owned ({} {}).{}",
        if r.wanted.is_empty() {
            "What is in use"
        } else {
            "Room called for and room used, other food counted in both,"
        },
        number(r.owned),
        r.unit,
        if strip > 0.0 {
            " Bars below mark the days on which something has no place; their height is the chance."
        } else {
            ""
        }
    );
    Some(Picture {
        key,
        title: r.title.clone(),
        caption: desc.clone(),
        desc,
        fit,
        size: [wide, f.top + f.height + strip + 42.0],
        body,
        spots,
        table,
    })
}
