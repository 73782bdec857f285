//! The pictures of a sweep: how well each aim is kept, value by value.

use super::Told;
use crate::report::dates::Span;
use crate::report::svg::{Cell, Cells, Curve, Fit, Mark, Panel, Picture, Point, Stand, cells, curve};
use crate::scenario::End;
use crate::study::{Kept, Point as Tried};

/// All that it can show: a curve an aim along one field, cells of two.
pub(super) fn all(told: &Told, fit: Fit) -> Vec<Picture> {
    let sweep = told.sweep;
    let many = Span::new(&told.names.first_day, sweep.days).many();
    match &sweep.axes[..] {
        [axis] => {
            let values: Vec<String> = axis.values.iter().map(|v| v.text.clone()).collect();
            let aims = sweep.points.iter().map(|p| p.aims.len()).max().unwrap_or(0);
            let panel = |aim: usize| {
                let first = sweep.points.iter().find_map(|p| p.aims.get(aim))?;
                let point = |(at, p): (usize, &Tried)| {
                    let a = p.aims.get(aim)?;
                    let parts = [a.met_part, a.met_part_ci95[0], a.met_part_ci95[1]];
                    Some(Point { at, parts, sure: a.sure.then_some(a.met), more: String::new() })
                };
                Some(Panel {
                    aim: first.aim.clone(),
                    wanted: first.wanted_part,
                    points: sweep.points.iter().enumerate().filter_map(point).collect(),
                })
            };
            let end = match axis.frugal {
                End::Smallest => "smallest",
                End::Largest => "largest",
            };
            let best = sweep.best(0).and_then(|b| b.surely);
            let shown = Curve {
                key: "sweep",
                title: "How well each aim is kept".into(),
                what: format!("In which part of {many} each aim is kept, for each value of {}.", axis.path),
                field: axis.path.clone(),
                values,
                panels: (0..aims).filter_map(panel).collect(),
                mark: best.map(|at| Mark { at, words: format!("the {end} that keeps every aim") }),
                many,
            };
            curve(&shown, fit).into_iter().collect()
        }
        [down, along] => {
            let cell = |p: &Tried| Cell {
                kept: p.aims.iter().filter(|a| Kept::of(a) == Kept::Yes).count(),
                stand: match p.kept() {
                    Some(Kept::Yes) => Stand::Kept,
                    Some(Kept::Open) => Stand::Open,
                    Some(Kept::No) | None => Stand::Not,
                },
                words: p
                    .aims
                    .iter()
                    .map(|a| format!("{}: {}", a.aim, crate::report::amounts::percent(a.met_part)))
                    .collect::<Vec<_>>()
                    .join("; "),
            };
            let texts = |a: &crate::study::Axis| a.values.iter().map(|v| v.text.clone()).collect();
            let shown = Cells {
                key: "sweep",
                title: "Which values keep the aims".into(),
                what: format!("For each pair of values, how many aims are kept in enough {many}."),
                fields: [down.path.clone(), along.path.clone()],
                values: [texts(down), texts(along)],
                cells: sweep.points.iter().map(cell).collect(),
                aims: sweep.points.iter().map(|p| p.aims.len()).max().unwrap_or(0),
                marks: (0..sweep.rows()).map(|r| sweep.best(r).and_then(|b| b.surely)).collect(),
            };
            cells(&shown, fit).into_iter().collect()
        }
        _ => vec![],
    }
}
