//! Parts by week of the run, as sticks.

use maud::{Markup, html};

use super::axis::{Days, Frame, round_up};
use super::{Fit, Picture, Table, count, n};
use crate::report::amounts::percent;

/// A part of each week.
#[derive(Clone, Debug)]
pub struct Weeks {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What a stick is, in a sentence.
    pub what: String,
    /// Head of the table's column.
    pub head: String,
    /// The days.
    pub days: Days,
    /// Part of each day that counts; none on days that do not.
    pub parts: Vec<Option<f64>>,
}

/// Draws them; `None` where nothing ever happens.
#[must_use]
pub fn weeks(w: &Weeks, fit: Fit) -> Option<Picture> {
    let most = by_week(&w.parts).into_iter().fold(0.0, f64::max);
    if most < 5e-4 {
        return None;
    }
    let left = 46.0;
    let f = Frame {
        left,
        top: 16.0,
        width: fit.width() - left - 14.0,
        height: fit.of(150.0, 120.0),
        days: &w.days,
        most: round_up(100.0 * most).min(100.0),
    };
    let body = html! {
        text.soft.small x="4" y="11" { "of 100" }
        (f.amounts(4.0))
        (sticks(&f, &w.parts, 100.0))
        (f.calendar())
    };
    let rows = w.days.months().into_iter().map(|m| {
        let counted: Vec<f64> = (m.from..m.to).filter_map(|d| w.parts.get(d).copied().flatten()).collect();
        let told = if counted.is_empty() {
            "–".into()
        } else {
            percent(counted.iter().sum::<f64>() / count(counted.len()))
        };
        vec![m.name, told]
    });
    let rows = rows.collect();
    Some(Picture {
        key: w.key,
        title: w.title.clone(),
        fit,
        desc: w.what.clone(),
        caption: w.what.clone(),
        size: [fit.width(), f.top + f.height + 42.0],
        body,
        spots: vec![],
        table: Table { head: vec![String::new(), w.head.clone()], rows },
    })
}

/// Mean of each seven days over those that count.
pub(super) fn by_week(parts: &[Option<f64>]) -> Vec<f64> {
    let mean = |week: &[Option<f64>]| {
        let counted = week.iter().flatten().count();
        if counted == 0 { 0.0 } else { week.iter().flatten().sum::<f64>() / count(counted) }
    };
    parts.chunks(7).map(mean).collect()
}

/// A stick for each week, from the foot of a frame.
pub(super) fn sticks(f: &Frame, parts: &[Option<f64>], scale: f64) -> Markup {
    html! {
        @for (i, part) in by_week(parts).into_iter().enumerate().filter(|(_, p)| *p >= 5e-4) {
            @let (a, b) = (f.x(7 * i), f.x((7 * i + 7).min(f.days.count)));
            rect.k5 x=(n(a)) width=(n((b - a - 0.5).max(0.6))) y=(n(f.y(part * scale))) height=(n(f.y(0.0) - f.y(part * scale))) {
                title { "week from " (f.days.words(7 * i)) ": " (percent(part)) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_is_the_mean_of_the_days_that_count() {
        let mut parts = vec![None; 10];
        parts[2] = Some(0.2);
        parts[5] = Some(0.4);
        parts[8] = Some(1.0);
        let weeks = by_week(&parts);
        assert_eq!(weeks.len(), 2);
        assert!((weeks[0] - 0.3).abs() < 1e-12 && weeks[1] == 1.0);
        assert_eq!(by_week(&[None; 7]), [0.0]);
    }
}
