//! Where it went: streams from the pail, widths to scale.

use maud::html;

use super::{Fit, Picture, Table, count, fitting, n, short};
use crate::report::amounts::percent;

/// A stream.
#[derive(Clone, Debug, PartialEq)]
pub struct Stream {
    /// Where to.
    pub words: String,
    /// Amount in words (`401 gal`).
    pub amount: String,
    /// Part of all that came in.
    pub part: f64,
    /// Which of six looks, 1 to 6.
    pub look: u8,
}

/// All streams.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// What comes in, in words.
    pub all: String,
    /// Streams, top to bottom.
    pub streams: Vec<Stream>,
}

/// Draws it; `None` without any stream.
#[must_use]
pub fn flow(f: &Flow, fit: Fit) -> Option<Picture> {
    let streams: Vec<&Stream> = f.streams.iter().filter(|s| s.part > 5e-4).collect();
    let sum: f64 = streams.iter().map(|s| s.part).sum();
    if sum <= 0.0 {
        return None;
    }
    let (left, right) = fit.of((118.0, 345.0), (14.0, 96.0));
    // On a phone the words of what came in stand above it.
    let above = fit.of(14.0, 34.0);
    const GAP: f64 = 8.0;
    const LINE: f64 = 21.0;
    let tall = (count(streams.len()) * (LINE + GAP)).max(300.0);
    let scale = (tall - GAP * (count(streams.len()) - 1.0)).min(240.0) / sum;
    // Thin streams get the room of their label.
    let room: Vec<f64> = streams.iter().map(|s| (s.part * scale).max(LINE)).collect();
    let height = room.iter().sum::<f64>() + GAP * (count(streams.len()) - 1.0);
    let top = above + (height - sum * scale) / 2.0;
    let (mut from, mut to) = (top, above);
    let mut drawn = Vec::new();
    for (s, room) in streams.iter().zip(&room) {
        let wide = s.part * scale;
        let at = to + (room - wide) / 2.0;
        let middle = f64::midpoint(left, right);
        let path = format!(
            "M{l} {a}C{m} {a} {m} {b} {r} {b}V{c}C{m} {c} {m} {d} {l} {d}Z",
            l = n(left),
            r = n(right),
            m = n(middle),
            a = n(from),
            b = n(at),
            c = format_args!("{:.2}", at + wide.max(0.7)),
            d = format_args!("{:.2}", from + wide),
        );
        drawn.push((*s, path, at, wide, to + room / 2.0));
        from += wide;
        to += room + GAP;
    }
    let body = html! {
        rect.k6 x=(n(left - 12.0)) y=(n(top)) width="12" height=(n(sum * scale)) {}
        @if fit == Fit::Wide {
            text.strong.end x=(n(left - 20.0)) y=(n(top + sum * scale / 2.0 - 3.0)) { "came in" }
            text.end x=(n(left - 20.0)) y=(n(top + sum * scale / 2.0 + 14.0)) { (short(&f.all, 12)) }
        } @else {
            text x="2" y="16" { tspan.strong { "came in" } " " (short(&f.all, 24)) }
        }
        @for (s, path, at, wide, middle) in &drawn {
            path class={ "f" (s.look) } d=(path) { title { (s.words) ": " (s.amount) ", " (percent(s.part)) } }
            rect class={ "k" (s.look) } x=(n(right)) y=(n(*at)) width="8" height=(n(wide.max(1.0))) {}
            text x=(n(right + 16.0)) y=(n(middle + 4.5)) {
                @let part = percent(s.part);
                @let room = fitting(fit.of(0.92, 0.82) * (fit.width() - right - 20.0)).saturating_sub(part.chars().count() + 1);
                tspan.strong { (part) } " " (short(&s.words, room.min(42)))
            }
        }
    };
    let table = Table {
        head: vec![String::new(), "amount".into(), "of all".into()],
        rows: f.streams.iter().map(|s| vec![s.words.clone(), s.amount.clone(), percent(s.part)]).collect(),
    };
    let told: Vec<String> = streams.iter().map(|s| format!("{} {}", s.words, percent(s.part))).collect();
    Some(Picture {
        caption: format!("What came in, {}, and where it ended: the wider a stream, the more.", f.all),
        key: f.key,
        title: f.title.clone(),
        desc: format!("Streams from what came in ({}), as wide as their part: {}.", f.all, told.join(", ")),
        fit,
        size: [fit.width(), height + above + 14.0],
        body,
        spots: vec![],
        table,
    })
}
