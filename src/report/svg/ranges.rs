//! Parts with their ranges, a row each: the promise kept, member by member.

use maud::html;

use super::{Fit, Picture, Table, count, fitting, n, short};
use crate::report::amounts::percent;

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// Whose.
    pub name: String,
    /// Middle, and where 9 of 10 lie: parts.
    pub parts: [f64; 3],
}

/// All rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranges {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub what: String,
    /// Rows, top to bottom.
    pub rows: Vec<Range>,
    /// `years` or `runs`; none without chance.
    pub many: Option<&'static str>,
}

/// Draws them; `None` without any.
#[must_use]
pub fn ranges(r: &Ranges, fit: Fit) -> Option<Picture> {
    if r.rows.is_empty() {
        return None;
    }
    const STEP: f64 = 44.0;
    const TOP: f64 = 24.0;
    let left = 14.0;
    let wide = fit.width() - left - fit.of(20.0, 24.0);
    let x = |part: f64| left + wide * part.clamp(0.0, 1.0);
    let bottom = TOP + STEP * count(r.rows.len());
    let words = |row: &Range| match r.many {
        Some(_) => {
            format!("{}; {} to {}", percent(row.parts[0]), percent(row.parts[1]), percent(row.parts[2]))
        }
        None => percent(row.parts[0]),
    };
    let body = html! {
        @for tenth in [0.0, 0.25, 0.5, 0.75, 1.0] {
            line.grid x1=(n(x(tenth))) x2=(n(x(tenth))) y1=(n(TOP - 4.0)) y2=(n(bottom)) {}
            text.soft.small.mid x=(n(x(tenth))) y="14" { (percent(tenth)) }
        }
        @for (i, row) in r.rows.iter().enumerate() {
            @let y = TOP + STEP * count(i);
            @let told = words(row);
            @let room = fitting(fit.width() - left - 10.0).saturating_sub(told.chars().count() + 2).max(6);
            text.small x=(n(left)) y=(n(y + 14.0)) {
                tspan.strong { (short(&row.name, room)) } " " (told)
            }
            rect.f1 x=(n(left)) y=(n(y + 20.0)) width=(n((x(row.parts[0]) - left).max(0.5))) height="13" {
                title { (row.name) ": " (told) }
            }
            line.l1 x1=(n(x(row.parts[0]))) x2=(n(x(row.parts[0]))) y1=(n(y + 19.0)) y2=(n(y + 34.0)) {}
            @if r.many.is_some() {
                @let (a, b) = (x(row.parts[1]), x(row.parts[2]));
                path.frame d=(format!("M{a} {t}V{u}M{a} {m}H{b}M{b} {t}V{u}", a = n(a), b = n(b), t = n(y + 22.0), u = n(y + 31.0), m = n(y + 26.5))) {}
            }
        }
        line.axis x1=(n(left)) x2=(n(left)) y1=(n(TOP - 4.0)) y2=(n(bottom)) {}
    };
    let mut head = vec![String::new(), "middle".into()];
    if let Some(many) = r.many {
        head.extend([format!("9 of 10 {many}: from"), "to".into()]);
    }
    let rows = r.rows.iter().map(|row| {
        let shown = if r.many.is_some() { 3 } else { 1 };
        std::iter::once(row.name.clone()).chain(row.parts.iter().take(shown).map(|p| percent(*p))).collect()
    });
    let range =
        r.many.map_or_else(String::new, |many| format!(" The line across its end holds 9 of 10 {many}."));
    let desc = format!("{} A bar reaches to the middle.{range}", r.what);
    Some(Picture {
        key: r.key,
        title: r.title.clone(),
        fit,
        caption: desc.clone(),
        desc,
        size: [fit.width(), bottom + 8.0],
        body,
        spots: vec![],
        table: Table { head, rows: rows.collect() },
    })
}
