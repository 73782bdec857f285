//! How well each aim is kept, value by value: one panel an aim, all over the same values.

use maud::{Markup, html};

use super::{Fit, Picture, Spot, Table, count, fitting, n, short};
use crate::report::amounts::percent;

/// How an aim stands at one value.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Which value.
    pub at: usize,
    /// Part of the years in which it is kept, and its 95 % interval.
    pub parts: [f64; 3],
    /// Surely kept, surely not, or neither.
    pub sure: Option<bool>,
    /// More to say of it, such as the years simulated.
    pub more: String,
}

/// One aim over the values.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// The aim, in words.
    pub aim: String,
    /// Part of the years in which it is wanted.
    pub wanted: f64,
    /// Its points, in the order of the values.
    pub points: Vec<Point>,
}

/// A value that is marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Which.
    pub at: usize,
    /// In words, `the smallest that keeps every aim`.
    pub words: String,
}

/// All panels.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub what: String,
    /// The field that varies.
    pub field: String,
    /// Its values, in order.
    pub values: Vec<String>,
    /// An aim each.
    pub panels: Vec<Panel>,
    /// The value that answers the question, if there is one.
    pub mark: Option<Mark>,
    /// `years` or `runs`.
    pub many: &'static str,
}

const TALL: f64 = 96.0;
const TOP: f64 = 24.0;
const PLOT: f64 = 58.0;

/// Draws them; `None` where there is no aim or no value.
#[must_use]
pub fn curve(c: &Curve, fit: Fit) -> Option<Picture> {
    if c.panels.is_empty() || c.values.is_empty() {
        return None;
    }
    let left = 44.0;
    let wide = fit.width() - left - fit.of(16.0, 10.0);
    let step = wide / count(c.values.len());
    let x = |i: usize| left + step * (count(i) + 0.5);
    let head = if c.mark.is_some() { 22.0 } else { 4.0 };
    let bottom = head + TALL * count(c.panels.len());
    // Long values stand on their heads' places only as far as there is room.
    let each = (fitting(step) / 10 * 10).clamp(5, 24);
    let longest = c.values.iter().map(|v| v.chars().count().min(each)).max().unwrap_or(1);
    let every = (7.0 * count(longest + 1) / step).ceil().max(1.0) as usize;
    let body = html! {
        @if let Some(mark) = &c.mark {
            rect.dry x=(n(x(mark.at) - step.min(40.0) / 2.0)) width=(n(step.min(40.0))) y=(n(head)) height=(n(bottom - head)) {}
            text.small.strong.mid x=(n(x(mark.at).clamp(3.6 * count(mark.words.chars().count()), fit.width() - 3.6 * count(mark.words.chars().count())))) y="14" {
                (short(&mark.words, fitting(fit.width())))
            }
        }
        @for (i, panel) in c.panels.iter().enumerate() {
            (one(panel, &x, [left, head + TALL * count(i), wide], fit))
        }
        @for (i, value) in c.values.iter().enumerate() {
            @if i % every == 0 || c.mark.as_ref().is_some_and(|m| m.at == i) && every == 1 {
                text.soft.small.mid x=(n(x(i))) y=(n(bottom + 14.0)) { (short(value, each)) }
            }
        }
        text.small.mid x=(n(left + wide / 2.0)) y=(n(bottom + 32.0)) { (short(&c.field, fitting(wide))) }
    };
    let answer = c.mark.as_ref().map_or_else(String::new, |m| {
        format!(" Marked: {}, {}.", c.values.get(m.at).map_or("", String::as_str), m.words)
    });
    let desc = format!(
        "{} A full point is surely kept, a hollow one surely not, a ring with a dot cannot be told yet; the \
         stroke through it is its 95 % interval, the dashed line what is wanted.{answer}",
        c.what
    );
    Some(Picture {
        key: c.key,
        title: c.title.clone(),
        fit,
        caption: desc.clone(),
        desc,
        size: [fit.width(), bottom + 40.0],
        body,
        spots: spots(c, &x, step, head, bottom),
        table: table(c),
    })
}

fn one(panel: &Panel, x: &dyn Fn(usize) -> f64, [left, top, wide]: [f64; 3], fit: Fit) -> Markup {
    let y = |part: f64| top + TOP + PLOT * (1.0 - part.clamp(0.0, 1.0));
    let path: String = panel
        .points
        .iter()
        .enumerate()
        .map(|(i, p)| format!("{}{} {}", if i == 0 { "M" } else { "L" }, n(x(p.at)), n(y(p.parts[0]))))
        .collect();
    html! {
        text.small.strong x=(n(left)) y=(n(top + 15.0)) { (short(&panel.aim, fitting(fit.width() - left - 6.0))) }
        @for part in [0.0, 0.5, 1.0] {
            line.grid x1=(n(left)) x2=(n(left + wide)) y1=(n(y(part))) y2=(n(y(part))) {}
            text.soft.small.end x=(n(left - 5.0)) y=(n(y(part) + 4.0)) { (percent(part)) }
        }
        line.owned x1=(n(left)) x2=(n(left + wide)) y1=(n(y(panel.wanted))) y2=(n(y(panel.wanted))) {}
        path.l1 d=(path) {}
        @for p in &panel.points {
            line.thin x1=(n(x(p.at))) x2=(n(x(p.at))) y1=(n(y(p.parts[1]))) y2=(n(y(p.parts[2]))) {}
            @match p.sure {
                Some(true) => circle.dot cx=(n(x(p.at))) cy=(n(y(p.parts[0]))) r="4" {},
                Some(false) => circle.hollow cx=(n(x(p.at))) cy=(n(y(p.parts[0]))) r="4" {},
                None => {
                    circle.hollow cx=(n(x(p.at))) cy=(n(y(p.parts[0]))) r="4.5" {}
                    circle.dot cx=(n(x(p.at))) cy=(n(y(p.parts[0]))) r="1.6" {}
                }
            }
        }
    }
}

/// How an aim stands, in a word or two.
fn stands(sure: Option<bool>) -> &'static str {
    match sure {
        Some(true) => "kept",
        Some(false) => "not kept",
        None => "cannot be told yet",
    }
}

fn spots(c: &Curve, x: &dyn Fn(usize) -> f64, step: f64, top: f64, bottom: f64) -> Vec<Spot> {
    let column = |(i, value): (usize, &String)| {
        let told: Vec<String> = c
            .panels
            .iter()
            .filter_map(|p| {
                let point = p.points.iter().find(|q| q.at == i)?;
                Some(format!("{}: {} ({})", short(&p.aim, 40), percent(point.parts[0]), stands(point.sure)))
            })
            .collect();
        (!told.is_empty()).then(|| Spot {
            at: [x(i) - step / 2.0, top, step, bottom - top],
            words: std::iter::once(value.clone()).chain(told).collect(),
        })
    };
    c.values.iter().enumerate().filter_map(column).collect()
}

fn table(c: &Curve) -> Table {
    let mut head = vec![c.field.clone(), "aim".into()];
    head.push(format!("kept, of {}", c.many));
    head.extend(["from".into(), "to".into(), "wanted".into(), "stands".into(), "".into()]);
    let mut rows = Vec::new();
    for (i, value) in c.values.iter().enumerate() {
        for panel in &c.panels {
            let Some(p) = panel.points.iter().find(|q| q.at == i) else { continue };
            let mut row = vec![value.clone(), panel.aim.clone()];
            row.extend(p.parts.map(percent));
            row.extend([percent(panel.wanted), stands(p.sure).into(), p.more.clone()]);
            rows.push(row);
        }
    }
    if rows.iter().all(|r| r.last().is_none_or(String::is_empty)) {
        head.pop();
        rows.iter_mut().for_each(|r| drop(r.pop()));
    }
    Table { head, rows }
}
