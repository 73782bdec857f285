//! Bars in groups: hands by month and weekday, rules.

use maud::html;

use super::{Fit, LABEL, Picture, Table, count, fitting, n, short, striped, stripes};

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its length, in the unit of all bars.
    pub value: f64,
    /// The value in words.
    pub words: String,
}

/// Bars that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Name.
    pub name: String,
    /// First bar, plain.
    pub first: Bar,
    /// Second bar, striped.
    pub second: Bar,
    /// What is there for the second bar, drawn as a tick across it.
    pub given: Option<Bar>,
    /// More cells for the table, and words after the second bar.
    pub note: Option<String>,
}

/// Bars lying one under another.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What it shows.
    pub desc: String,
    /// Names of the first bar, the second, what is given, and the note.
    pub names: [String; 4],
    /// Groups, top to bottom.
    pub groups: Vec<Group>,
    /// Names stand above their bars (long names), not before them.
    pub above: bool,
}

/// Where the words of the second bar begin: after it, or after the tick where
/// they would run over it.
fn reach(bar: f64, tick: Option<f64>, words: &str) -> f64 {
    match tick {
        Some(t) if t > bar - 4.0 && t < bar + 12.0 + 7.0 * count(words.chars().count()) => t.max(bar),
        _ => bar,
    }
}

/// Draws them; `None` without any.
#[must_use]
pub fn bars(b: &Bars, fit: Fit) -> Option<Picture> {
    let most = b
        .groups
        .iter()
        .flat_map(|g| [g.first.value, g.second.value, g.given.as_ref().map_or(0.0, |x| x.value)])
        .fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let noted = b.groups.iter().any(|g| g.note.is_some());
    let phone = fit == Fit::Phone;
    // On a phone names stand above the bars, and notes below them.
    let above = b.above || phone;
    let (left, lead, step) = match fit {
        Fit::Wide if b.above => (20.0, 18.0, 54.0),
        Fit::Wide => (130.0, 0.0, 34.0),
        Fit::Phone => (8.0, 18.0, if noted { 70.0 } else { 54.0 }),
    };
    let wide = match fit {
        Fit::Wide if b.above => 340.0,
        Fit::Wide => 450.0,
        Fit::Phone => 210.0,
    };
    let long = |v: f64| wide * (v / most).clamp(0.0, 1.0);
    let given = b.groups.iter().any(|g| g.given.is_some());
    let top = if phone && given { 48.0 } else { 30.0 };
    let key = fit.id(b.key);
    let body = html! {
        (stripes(&key, "h2"))
        rect.k1 x=(n(left)) y="6" width="22" height="11" {}
        text.small x=(n(left + 28.0)) y="16" { (b.names[0]) }
        @let second = left + 48.0 + 7.0 * count(b.names[0].chars().count());
        rect fill=(striped(&key)) x=(n(second)) y="6" width="22" height="11" {}
        rect.thin x=(n(second)) y="6" width="22" height="11" {}
        text.small x=(n(second + 28.0)) y="16" { (b.names[1]) }
        @if given {
            @let third = if phone { left + 4.0 } else { second + 52.0 + 7.0 * count(b.names[1].chars().count()) };
            @let y = if phone { 34.0 } else { 16.0 };
            line.frame x1=(n(third)) x2=(n(third)) y1=(n(y - 13.0)) y2=(n(y + 4.0)) {}
            text.small x=(n(third + 8.0)) y=(n(y)) { (b.names[2]) }
        }
        @for (i, g) in b.groups.iter().enumerate() {
            @let y = top + step * count(i);
            @if above {
                text.small x=(n(left)) y=(n(y + 13.0)) { (short(&g.name, fitting(fit.width() - left - 4.0).min(96))) }
            } @else {
                text.small.end x=(n(left - 10.0)) y=(n(y + 19.0)) { (short(&g.name, LABEL)) }
            }
            @let y = y + lead;
            rect.k1 x=(n(left)) y=(n(y + 2.0)) width=(n(long(g.first.value).max(0.5))) height="12" { title { (g.name) ": " (b.names[0]) " " (g.first.words) } }
            text.small x=(n(left + long(g.first.value) + 6.0)) y=(n(y + 12.0)) { (g.first.words) }
            @if g.second.value > 0.0 {
                rect fill=(striped(&key)) x=(n(left)) y=(n(y + 16.0)) width=(n(long(g.second.value).max(0.5))) height="12" { title { (g.name) ": " (b.names[1]) " " (g.second.words) } }
                rect.thin x=(n(left)) y=(n(y + 16.0)) width=(n(long(g.second.value).max(0.5))) height="12" {}
            }
            @let reach = reach(long(g.second.value), g.given.as_ref().map(|x| long(x.value)), &g.second.words);
            @if g.second.value > 0.0 || g.note.is_some() {
                text.small x=(n(left + reach + 6.0)) y=(n(y + 26.0)) {
                    (g.second.words) @if let Some(note) = g.note.as_ref().filter(|_| !phone) { tspan.soft { " " (short(note, 52)) } }
                }
                @if let Some(note) = g.note.as_ref().filter(|_| phone) {
                    text.soft.small x=(n(left)) y=(n(y + 41.0)) { (short(note, fitting(fit.width() - left - 4.0))) }
                }
            }
            @if let Some(x) = &g.given {
                line.frame x1=(n(left + long(x.value))) x2=(n(left + long(x.value))) y1=(n(y + 14.0)) y2=(n(y + 30.0)) {}
            }
        }
    };
    let mut head = vec![String::new(), b.names[0].clone(), b.names[1].clone()];
    if given {
        head.push(b.names[2].clone());
    }
    if noted {
        head.push(b.names[3].clone());
    }
    let rows = b.groups.iter().map(|g| {
        let mut row = vec![g.name.clone(), g.first.words.clone(), g.second.words.clone()];
        if given {
            row.push(g.given.as_ref().map_or_else(String::new, |x| x.words.clone()));
        }
        if noted {
            row.push(g.note.clone().unwrap_or_default());
        }
        row
    });
    Some(Picture {
        key: b.key,
        title: b.title.clone(),
        desc: b.desc.clone(),
        caption: b.desc.clone(),
        fit,
        size: [fit.width(), top + step * count(b.groups.len()) + 6.0],
        body,
        spots: vec![],
        table: Table { head, rows: rows.collect() },
    })
}
