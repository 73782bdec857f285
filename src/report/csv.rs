//! CSV files: SI, one header row, shortest round-trip numbers.

use std::io::Write;

use csv::WriterBuilder;

use super::ReportError;
use super::dates::Span;
use crate::scenario::Names;
use crate::sim::outcome::Blocked;
use crate::study::results::RunResult;

type Done = Result<(), ReportError>;

pub(super) fn rows(out: &mut dyn Write, lines: impl IntoIterator<Item = Vec<String>>) -> Done {
    let mut out = WriterBuilder::new().from_writer(out);
    for line in lines {
        out.write_record(&line)?;
    }
    out.flush()?;
    Ok(())
}

/// A number; empty where there is none.
pub(super) fn number(x: f64) -> String {
    if x == 0.0 {
        "0".into()
    } else if x.is_finite() {
        x.to_string()
    } else {
        String::new()
    }
}

/// A cell of text that no spreadsheet takes for a formula, whatever space it
/// strips from the front.
pub(super) fn text(cell: &str) -> String {
    let first = cell.chars().find(|c| !c.is_whitespace() && !c.is_control() && *c != '\u{feff}');
    let formula = first.is_some_and(|c| matches!(c, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠'));
    if formula || cell.starts_with(['\t', '\r', '\n']) { format!("'{cell}") } else { cell.to_string() }
}

/// A row a day, six columns a measure: mean and quantiles.
pub(super) fn days(r: &RunResult, names: &Names, out: &mut dyn Write) -> Done {
    const COLUMNS: [&str; 6] = ["mean", "p05", "p10", "p50", "p90", "p95"];
    let span = Span::new(&names.first_day, r.days);
    let mut head = vec!["day".to_string(), "date".to_string()];
    for b in &r.bands {
        let unit = if b.unit == "1" { "part" } else { b.unit };
        head.extend(COLUMNS.iter().map(|c| text(&format!("{}_{unit}_{c}", b.name))));
    }
    let body = (0..r.days as usize).map(|day| {
        let mut line = vec![day.to_string(), span.iso(day)];
        for b in &r.bands {
            let values = b.days.get(day).copied().unwrap_or([f64::NAN; 6]);
            line.extend(values.map(number));
        }
        line
    });
    rows(out, std::iter::once(head).chain(body))
}

/// A row a trial, a column a measure.
pub(super) fn trials(r: &RunResult, out: &mut dyn Write) -> Done {
    let head = std::iter::once("trial".to_string()).chain(r.columns.iter().map(|c| text(c))).collect();
    let body = r
        .rows
        .chunks_exact(r.columns.len().max(1))
        .enumerate()
        .map(|(i, row)| std::iter::once(i.to_string()).chain(row.iter().map(|x| number(*x))).collect());
    rows(out, std::iter::once(head).chain(body))
}

/// A row a fate.
pub(super) fn flows(r: &RunResult, out: &mut dyn Write) -> Done {
    let head = ["fate", "milk_kg", "mass_kg", "fat_kg", "part", "fat_part"].map(String::from).to_vec();
    let body = r.fates.iter().map(|f| {
        let mut line = vec![text(f.fate)];
        line.extend([f.milk_kg, f.mass_kg, f.fat_kg, f.part, f.fat_part].map(number));
        line
    });
    rows(out, std::iter::once(head).chain(body))
}

/// A row a rule.
pub(super) fn rules(r: &RunResult, out: &mut dyn Write) -> Done {
    let mut head = ["rule", "fired", "days_fired", "kg"].map(String::from).to_vec();
    head.extend(Blocked::ALL.iter().map(|b| format!("blocked_{}", b.key())));
    let body = r.rules.iter().map(|rule| {
        let mut line = vec![text(&rule.rule)];
        line.extend([rule.fired, rule.days_fired, rule.kg].map(number));
        line.extend(rule.blocked.map(number));
        line
    });
    rows(out, std::iter::once(head).chain(body))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_never_a_formula() {
        for bad in ["=1+1", "+1", "-1", "@a", "\tx", " =1+1", "\u{a0}+1", "\u{7}=1", "\u{feff}=1", "＝1"] {
            assert!(text(bad).starts_with('\''), "{bad}");
        }
        assert_eq!(text("skim, mon"), "skim, mon");
    }

    #[test]
    fn numbers_read_back_exactly() {
        for x in [0.1 + 0.2, 1e-300, -7.25, 1.0 / 3.0] {
            assert_eq!(number(x).parse::<f64>().ok(), Some(x));
        }
        assert_eq!(number(-0.0), "0");
        assert_eq!(number(f64::NAN), "");
    }
}
