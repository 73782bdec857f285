//! A jar with its cream, to scale.

use maud::html;

use super::{Fit, Picture, Table, n, short};

/// One layer of a jar.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// What it is (`heavy cream`).
    pub name: String,
    /// From and to, m below the surface.
    pub span_m: [f64; 2],
    /// From and to, in words.
    pub words: String,
}

/// A jar at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct JarPicture {
    /// Stable name of the picture.
    pub key: &'static str,
    /// Title.
    pub title: String,
    /// Height and width outside, air above the milk, m.
    pub size_m: [f64; 3],
    /// Layers from the top down; milk comes last.
    pub layers: Vec<Layer>,
    /// The cream line, m below the surface and in words.
    pub line: (f64, String),
    /// How deep it is skimmed, m and in words, and what that leaves.
    pub skim: Option<(f64, String, String)>,
    /// A sentence about whose milk it is.
    pub about: String,
}

/// Draws it; `None` for a jar without size.
#[must_use]
pub fn jar(j: &JarPicture, fit: Fit) -> Option<Picture> {
    let [high, across, air] = j.size_m;
    let deep = j.layers.last().map_or(0.0, |l| l.span_m[1]);
    if high <= 0.0 || across <= 0.0 || deep <= 0.0 {
        return None;
    }
    let (most_high, most_across) = fit.of((380.0, 280.0), (260.0, 80.0));
    let scale = (most_high / high).min(most_across / across);
    let (left, top) = (fit.of(150.0, 102.0), 22.0);
    let (apart, arm, gap) = fit.of((20.0, 22.0, 22.0), (34.0, 8.0, 12.0));
    let (w, h) = (across * scale, high * scale);
    let y = |m: f64| top + (air + m) * scale;
    // Labels stand at their layers, pushed apart where they would meet.
    let mut at = f64::NEG_INFINITY;
    let labels: Vec<(f64, f64, &Layer)> = j
        .layers
        .iter()
        .map(|l| {
            let middle = f64::midpoint(y(l.span_m[0]), y(l.span_m[1]));
            at = middle.max(at + apart);
            (middle, at, l)
        })
        .collect();
    let right = left + w;
    let line_at = match &j.skim {
        // Two labels that meet are pushed apart.
        Some((m, ..)) if (y(j.line.0) - y(*m)).abs() < 16.0 => y(*m) + 16.0_f64.copysign(j.line.0 - m),
        _ => y(j.line.0),
    };
    let bottom = (top + h).max(at + fit.of(12.0, 26.0));
    let key = fit.id(j.key);
    let body = html! {
        @for i in 1..=4_u32 {
            @let gap = 2.0 + 2.5 * f64::from(i);
            defs { pattern id=(format!("{key}-g{i}")) width=(n(gap)) height=(n(gap)) patternUnits="userSpaceOnUse" {
                circle.k2 cx=(n(gap / 2.0)) cy=(n(gap / 2.0)) r="1.3" {}
            } }
        }
        rect.paper x=(n(left)) y=(n(top)) width=(n(w)) height=(n(h)) rx="10" {}
        @for (i, l) in j.layers.iter().enumerate() {
            @let (a, b) = (y(l.span_m[0]), y(l.span_m[1]));
            @if i + 1 == j.layers.len() {
                rect.f1 x=(n(left)) y=(n(a)) width=(n(w)) height=(n(b - a)) opacity="0.35" {}
            } @else {
                rect.f2 x=(n(left)) y=(n(a)) width=(n(w)) height=(n(b - a)) {}
                rect fill=(format!("url(#{key}-g{})", (i + 1).min(4))) x=(n(left)) y=(n(a)) width=(n(w)) height=(n(b - a)) {}
            }
        }
        rect.frame x=(n(left)) y=(n(top)) width=(n(w)) height=(n(h)) rx="10" {}
        rect.k6 x=(n(left - 4.0)) y=(n(top - 12.0)) width=(n(w + 8.0)) height="14" rx="3" {}
        @for (middle, at, l) in &labels {
            path.thin d=(format!("M{} {}L{} {}H{}", n(right), n(*middle), n(right + arm), n(*at), n(right + arm + 8.0))) {}
            @let x = right + arm + 14.0;
            @if fit == Fit::Wide {
                text.small x=(n(x)) y=(n(at + 4.0)) { tspan.strong { (l.name) } " " (l.words) }
            } @else {
                text.small x=(n(x)) y=(n(at + 4.0)) { tspan.strong { (short(&l.name, fit.of(17, 14))) } }
                text.small x=(n(x)) y=(n(at + 18.0)) { (short(&l.words, fit.of(18, 15))) }
            }
        }
        line.frame x1=(n(left)) x2=(n(right)) y1=(n(y(j.line.0))) y2=(n(y(j.line.0))) {}
        text.small.end x=(n(left - gap)) y=(n(line_at + 4.0)) { "line " (j.line.1) }
        @if let Some((m, words, _)) = &j.skim {
            line.owned x1=(n(left - gap + 4.0)) x2=(n(right)) y1=(n(y(*m))) y2=(n(y(*m))) {}
            text.small.strong.end x=(n(left - gap)) y=(n(y(*m) + 4.0)) { "skim " (short(words, 14)) }
        }
    };
    let mut rows: Vec<Vec<String>> = j.layers.iter().map(|l| vec![l.name.clone(), l.words.clone()]).collect();
    rows.push(vec!["cream line".into(), j.line.1.clone()]);
    if let Some((_, words, leaves)) = &j.skim {
        rows.push(vec!["skim".into(), format!("{words}: {leaves}")]);
    }
    let skim = j.skim.as_ref().map_or_else(String::new, |(_, w, l)| {
        format!(" The routine skims {w} deep, at the dashed line: {l}.")
    });
    let names: Vec<String> = j.layers.iter().map(|l| format!("{} {}", l.name, l.words)).collect();
    Some(Picture {
        caption: format!("{} To scale; the cream line stands {} below the surface.{skim}", j.about, j.line.1),
        key: j.key,
        title: j.title.clone(),
        desc: format!(
            "{} To scale. Cream line {}. From the top: {}.{skim}",
            j.about,
            j.line.1,
            names.join("; ")
        ),
        fit,
        size: [fit.width(), bottom + 12.0],
        body,
        spots: vec![],
        table: Table { head: vec!["layer".into(), "depth below the surface".into()], rows },
    })
}
