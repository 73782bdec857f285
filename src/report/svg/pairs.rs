//! Paired differences with their intervals, in units of what matters.

use maud::html;

use super::{Fit, Picture, Table, fitting, n, short};

/// A choice against the base in one measure.
#[derive(Clone, Debug, PartialEq)]
pub struct PairRow {
    /// The measure, in words.
    pub name: String,
    /// Difference and its 95 % interval over the difference that matters; more
    /// is better.
    pub parts: [f64; 3],
    /// The same in the family's units, in words.
    pub told: String,
    /// Base, choice, difference from and to, the verdict and in how many years
    /// it is better and worse: for the table.
    pub cells: Vec<String>,
    /// The verdict.
    pub verdict: String,
}

/// All rows of one choice.
#[derive(Clone, Debug, PartialEq)]
pub struct Pairs {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub what: String,
    /// Choices with their rows, top to bottom.
    pub choices: Vec<(String, Vec<PairRow>)>,
    /// Heads of [`PairRow::cells`].
    pub head: Vec<String>,
}

/// How far the scale reaches, in what matters.
const REACH: f64 = 8.0;

/// Draws them; `None` without any.
#[must_use]
pub fn pairs(p: &Pairs, fit: Fit) -> Option<Picture> {
    if p.choices.iter().all(|(_, rows)| rows.is_empty()) {
        return None;
    }
    const STEP: f64 = 40.0;
    const HEAD: f64 = 28.0;
    const TOP: f64 = 30.0;
    let (left, right) = (14.0, fit.width() - 14.0);
    let x = |part: f64| {
        let part = if part.is_finite() { part.clamp(-REACH, REACH) } else { 0.0 };
        left + (right - left) * (part + REACH) / (2.0 * REACH)
    };
    let mut lines = Vec::new();
    let mut y = TOP;
    for (choice, rows) in p.choices.iter().filter(|(_, rows)| !rows.is_empty()) {
        lines.push((y, choice.as_str(), None));
        y += HEAD;
        for row in rows {
            lines.push((y, row.name.as_str(), Some(row)));
            y += STEP;
        }
    }
    let bottom = y;
    let body = html! {
        rect.dry x=(n(x(-1.0))) width=(n(x(1.0) - x(-1.0))) y=(n(TOP - 6.0)) height=(n(bottom - TOP + 6.0)) {}
        line.axis x1=(n(x(0.0))) x2=(n(x(0.0))) y1=(n(TOP - 6.0)) y2=(n(bottom)) {}
        text.soft.small x=(n(left)) y="15" { "← worse" }
        text.soft.small.mid x=(n(x(0.0))) y="15" { "no difference" }
        text.soft.small.end x=(n(right)) y="15" { "better →" }
        @for (y, name, row) in &lines {
            @match row {
                None => text.strong x=(n(left)) y=(n(y + 18.0)) { (short(name, fitting(right - left))) },
                Some(row) => {
                    @let room = fitting(right - left).saturating_sub(row.told.chars().count() + 2).max(8);
                    text.small x=(n(left)) y=(n(y + 13.0)) { tspan.strong { (short(name, room)) } " " (short(&row.told, fitting(right - left).saturating_sub(8))) }
                    @let at = y + 25.0;
                    line.frame x1=(n(x(row.parts[1]))) x2=(n(x(row.parts[2]))) y1=(n(at)) y2=(n(at)) {}
                    @if row.parts[0].abs() > REACH {
                        @let tip = x(row.parts[0]);
                        @let back = if row.parts[0] > 0.0 { tip - 9.0 } else { tip + 9.0 };
                        path.dot d=(format!("M{} {}L{} {}L{} {}Z", n(tip), n(at), n(back), n(at - 6.0), n(back), n(at + 6.0))) {}
                    } @else {
                        circle.dot cx=(n(x(row.parts[0]))) cy=(n(at)) r="4" {}
                    }
                }
            }
        }
    };
    let desc = format!(
        "{} A point is the mean difference on the same years, the stroke its 95 % interval, both measured in \
         what matters: within the grey band a difference is too small to matter; an arrow goes on beyond the edge.",
        p.what
    );
    let mut head = vec!["choice".to_string(), "measure".into()];
    head.extend(p.head.iter().cloned());
    head.push("verdict".into());
    let mut rows = Vec::new();
    for (choice, of) in &p.choices {
        for row in of {
            let mut cells = vec![choice.clone(), row.name.clone()];
            cells.extend(row.cells.iter().cloned());
            cells.push(row.verdict.clone());
            rows.push(cells);
        }
    }
    Some(Picture {
        key: p.key,
        title: p.title.clone(),
        fit,
        caption: desc.clone(),
        desc,
        size: [fit.width(), bottom + 8.0],
        body,
        spots: vec![],
        table: Table { head, rows },
    })
}
