//! The milk of each month, and how many people it would serve.

use comfy_table::Table;

use super::amounts::whole;
use super::tables::{BREAK, row, table};
use super::words::Voice;

/// Columns of a band: 10 % and the middle of the trials.
const LEAN: usize = 2;
const MIDDLE: usize = 3;

/// Month by month: what is drawn on a day in the middle and in a lean trial, and how
/// many people like those of the house could drink of the lean one. Nothing without
/// animals, without people, or in a run of a single month.
pub(super) fn served(v: &Voice) -> Option<Table> {
    let each = v.facts.drinks_kg;
    let band = v.band("drawn").filter(|_| v.facts.animals && each > 1e-6)?;
    let mut months: Vec<(String, Vec<&[f64; 6]>)> = Vec::new();
    for (day, of_day) in band.days.iter().enumerate() {
        let date = v.span.date(day)?;
        let name = format!(
            "{} {}",
            crate::calendar::MONTHS.get(usize::from(date.month().unsigned_abs()) - 1)?,
            date.year()
        );
        match months.last_mut().filter(|(last, _)| *last == name) {
            Some((_, days)) => days.push(of_day),
            None => months.push((name, vec![of_day])),
        }
    }
    if months.len() < 2 {
        return None;
    }
    let people = format!("people it would{BREAK}serve, drinking alone");
    let lean = format!("1 of 10 {}{BREAK}have less", v.span.many());
    let amount = format!("{} a day,{BREAK}middle", v.show.milk_unit());
    let mut t = if v.single() {
        table(&["", &format!("{} a day", v.show.milk_unit()), &people])
    } else {
        table(&["", &amount, &lean, &people])
    };
    for (name, days) in &months {
        let mean = |column: usize| {
            let sum: f64 = days.iter().map(|d| d[column]).sum();
            sum / days.len() as f64
        };
        let lean = mean(if v.single() { MIDDLE } else { LEAN });
        let people = whole((lean / each + 1e-9).floor());
        let mut cells = vec![name.clone(), v.show.milk_number(mean(MIDDLE))];
        if !v.single() {
            cells.push(v.show.milk_number(lean));
        }
        cells.push(people);
        row(&mut t, &cells);
    }
    Some(t)
}
