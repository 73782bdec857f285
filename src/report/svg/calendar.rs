//! A calendar of chances: a row a month, a square a day.

use maud::html;

use super::axis::Days;
use super::{Fit, Picture, Table, count, n};
use crate::report::amounts::{cell, percent};

/// Chances day by day.
#[derive(Clone, Debug)]
pub struct Calendar {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What is marked (`there is too little milk to drink`).
    pub what: String,
    /// The days.
    pub days: Days,
    /// Chance of each day, 0 to 1.
    pub chance: Vec<f64>,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
}

/// Draws it; `None` where it never happens.
#[must_use]
pub fn calendar(c: &Calendar, fit: Fit) -> Option<Picture> {
    let (left, side) = fit.of((150.0, 16.0), (68.0, 8.0));
    // Largest square of a day, and least.
    let (all, least) = (side - 1.0, fit.of(3.0, 2.0));
    let square = |p: f64| least + (all - least) * p.min(1.0);
    // A row has room for its name.
    let row_tall = side.max(fit.of(0.0, 14.0));
    if !c.chance.iter().any(|p| *p >= 0.01) {
        return None;
    }
    let months = c.days.months();
    let place = |row: usize, day: usize| {
        (left + side * count(c.days.day_of_month(day).saturating_sub(1)), 26.0 + row_tall * count(row))
    };
    let days: Vec<(usize, usize, f64)> = months
        .iter()
        .enumerate()
        .flat_map(|(row, m)| (m.from..m.to).map(move |d| (row, d)))
        .map(|(row, d)| (row, d, c.chance.get(d).copied().unwrap_or(0.0)))
        .collect();
    let bottom = 26.0 + row_tall * count(months.len());
    let body = html! {
        @for d in [1_usize, 5, 10, 15, 20, 25, 30] {
            text.soft.small.mid x=(n(left + side * (count(d) - 0.5))) y="18" { (d) }
        }
        @for (row, m) in months.iter().enumerate() {
            @let name = if fit == Fit::Wide { m.name.clone() } else { m.short() };
            text.small.end x=(n(left - fit.of(10.0, 6.0))) y=(n(26.0 + row_tall * (count(row) + 0.78))) { (name) }
        }
        @for (row, d, p) in &days {
            @let (x, y) = place(*row, *d);
            @if *p < 0.01 {
                circle.f6 cx=(n(x + side / 2.0)) cy=(n(y + row_tall / 2.0)) r=(n(fit.of(1.3, 1.0))) {}
            } @else {
                @let size = square(*p);
                rect.k5 x=(n(x + (side - size) / 2.0)) y=(n(y + (row_tall - size) / 2.0)) width=(n(size)) height=(n(size)) {
                    title { (c.days.words(*d)) ": " (percent(*p)) }
                }
            }
        }
        @if c.many.is_some() {
            @for (i, (p, words)) in [(0.1, "1 of 10"), (0.5, "half"), (1.0, "all")].into_iter().enumerate() {
                @let size = square(p);
                @let x = left + 80.0 * count(i);
                rect.k5 x=(n(x + 8.0 - size / 2.0)) y=(n(bottom + 18.0 - size / 2.0)) width=(n(size)) height=(n(size)) {}
                text.small x=(n(x + 22.0)) y=(n(bottom + 22.0)) { (words) }
            }
        }
    };
    let rows = months.iter().map(|m| {
        let chances = || (m.from..m.to).map(|d| c.chance.get(d).copied().unwrap_or(0.0));
        vec![m.name.clone(), cell(chances().sum()), percent(chances().fold(0.0, f64::max))]
    });
    let table = Table {
        head: vec![String::new(), "days (mean)".into(), "likeliest day".into()],
        rows: rows.collect(),
    };
    let how = c.many.map_or_else(
        || "Squares mark the days on which".to_string(),
        |many| format!("The larger a square, the more of the {many} in which, on that day,"),
    );
    let desc = format!("{how} {}. Dots are days without.", c.what);
    Some(Picture {
        key: c.key,
        title: c.title.clone(),
        caption: desc.clone(),
        desc,
        fit,
        size: [fit.width(), bottom + if c.many.is_some() { 34.0 } else { 8.0 }],
        body,
        spots: vec![],
        table,
    })
}
