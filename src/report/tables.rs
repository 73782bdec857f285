//! Tables of the summary, at most 80 columns wide.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle, Width,
};

use super::amounts::{cell as figure, jars, percent};
use super::months;
use super::page::{Block, Page};
use super::words::Voice;
use super::words::{CAUSES, fate_words, main_reason, reason, wants};
use crate::study::results::Summary;

/// A line under the head, and nothing else: rows are read across.
const STYLE: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('-').junction('-'))
    .content_lines(ContentLineStyle::none().junction(' '));
/// Where a line of a head ends.
pub(super) const BREAK: char = '\u{2028}';
/// Widest table, columns.
pub(super) const WIDTH: u16 = 80;
/// Widest first column that is kept whole, columns.
const NAMES: u16 = 34;

/// The summary's tables, by title.
fn all(v: &Voice) -> Vec<(String, Table)> {
    let mean = if v.single() { String::new() } else { format!(" (mean of all {})", v.span.many()) };
    let middle = if v.single() { String::new() } else { format!("middle of all {}", v.span.many()) };
    let middles = if v.single() { String::new() } else { format!(" ({middle})") };
    let each = if v.single() { String::new() } else { format!(" ({middle}, each line by itself)") };
    [
        (format!("Where the milk and its fat went{mean}"), where_it_went(v)),
        (format!("Waste by cause{each}"), waste(v)),
        (format!("What the table got{middles}"), shortfalls(v)),
        ("The milk of each month, and how many it would serve".to_owned(), months::served(v)),
        (format!("Room at the fullest moment{middles}"), room(v)),
        (format!("Every rule{mean}"), rules(v)),
    ]
    .into_iter()
    .filter_map(|(title, table)| Some((title, table?)))
    .collect()
}

pub(super) fn write(v: &Voice, page: &mut Page) {
    if !v.single() {
        page.part("How to read the tables", reading(v));
    }
    for (title, table) in all(v) {
        add(page, &title, table);
    }
}

/// The tables as rows of cells, the head first.
pub(super) fn grids(v: &Voice) -> Vec<(String, Vec<Vec<String>>)> {
    let cells = |row: &comfy_table::Row| row.cell_iter().map(Cell::content).collect();
    all(v)
        .into_iter()
        .map(|(title, t)| (title, t.header().into_iter().chain(t.row_iter()).map(cells).collect()))
        .collect()
}

pub(super) fn reading(v: &Voice) -> String {
    let many = v.span.many();
    format!(
        "The middle is the amount that half of the {many} stay under; \"give or take\" is how sure that middle is \
         after {}. \"9 of 10\" is the amount that 9 of 10 {many} stay within; \"any in\" is the part of {many} with any at all.",
        v.span.trials(v.result.trials)
    )
}

pub(super) fn add(page: &mut Page, title: &str, mut table: Table) {
    // What a row speaks of is torn last, unless the others were made firm.
    let names = table.column_max_content_widths().first().copied().unwrap_or(0).min(NAMES);
    let firm = table.column(1).is_some_and(|c| c.constraint().is_some());
    if let Some(column) = table.column_mut(0).filter(|_| !firm) {
        column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(names + 2)));
    }
    page.heading(title);
    page.blocks.push(Block::Table(text(&table)));
}

/// Tears nothing but the first column, as long as the others leave it room.
pub(super) fn firm(table: &mut Table) {
    const FIRST: u16 = 14;
    let widths = table.column_max_content_widths();
    let others: u16 = widths.iter().skip(1).map(|w| w + 3).sum();
    if others + FIRST + 2 > WIDTH {
        return;
    }
    for column in 1..widths.len() {
        if let Some(column) = table.column_mut(column) {
            column.set_constraint(ColumnConstraint::ContentWidth);
        }
    }
}

/// A table as lines of text.
pub(super) fn text(table: &Table) -> String {
    let text: Vec<String> = table.lines().map(|l| l.trim_end().to_string()).collect();
    text.join("\n")
}

/// A table whose columns but the first are set to the right.
pub(super) fn table(head: &[&str]) -> Table {
    let mut t = Table::new();
    t.load_style(STYLE);
    t.set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH);
    t.set_header(head.iter().enumerate().map(|(i, h)| cell(i, h)));
    t
}

/// A table as text, the first column to the left.
pub(super) fn plain(head: &[String], rows: &[Vec<String>]) -> String {
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let mut table = table(&head);
    rows.iter().for_each(|cells| row(&mut table, cells));
    let text: Vec<String> = table.lines().map(|l| l.trim_end().to_string()).collect();
    text.join("\n")
}

fn cell(column: usize, text: &str) -> Cell {
    let text: String = text.chars().filter(|c| !c.is_control()).collect();
    let text = text.replace(BREAK, "\n");
    Cell::new(text).set_alignment(if column == 0 { CellAlignment::Left } else { CellAlignment::Right })
}

pub(super) fn row(t: &mut Table, cells: &[String]) {
    t.add_row(cells.iter().enumerate().map(|(i, c)| cell(i, c)));
}

fn where_it_went(v: &Voice) -> Option<Table> {
    let rows: Vec<_> =
        v.result.fates.iter().filter(|f| f.part.abs() > 1e-9 || f.fat_part.abs() > 1e-9).collect();
    if rows.is_empty() {
        return None;
    }
    let mut t = table(&["", v.show.milk_unit(), "of the milk", "of the fat"]);
    for f in &rows {
        row(
            &mut t,
            &[
                fate_words(f.fate, v.facts.young).to_string(),
                v.show.milk_number(f.milk_kg),
                percent(f.part),
                percent(f.fat_part),
            ],
        );
    }
    let sum = |get: fn(&crate::study::results::FateMean) -> f64| -> f64 { rows.iter().map(|f| get(f)).sum() };
    row(
        &mut t,
        &[
            "all".into(),
            v.show.milk_number(sum(|f| f.milk_kg)),
            whole(sum(|f| f.part)),
            whole(sum(|f| f.fat_part)),
        ],
    );
    Some(t)
}

/// A sum of parts in percent; a last digit lost in adding is no part.
fn whole(sum: f64) -> String {
    percent(if (sum - 1.0).abs() < 1e-6 { 1.0 } else { sum })
}

/// `540 to 690`.
fn nine_of_ten(m: &Summary, words: impl Fn(f64) -> String) -> String {
    let (lo, hi) = (words(m.quantiles[0]), words(m.quantiles[4]));
    if lo == hi { lo } else { format!("{lo} to {hi}") }
}

/// The 95 % interval of the middle, as half its width; empty without one.
fn sure_to(m: &Summary, words: impl Fn(f64) -> String) -> String {
    let Some([lo, hi]) = m.quantile_ci95[2] else { return String::new() };
    let half = (hi - lo).abs() / 2.0;
    words(if half > 0.0 && half.is_finite() {
        // Two figures are plenty for a doubt.
        let unit = 10f64.powf(half.log10().floor() - 1.0);
        (half / unit).round() * unit
    } else {
        half
    })
}

fn waste(v: &Voice) -> Option<Table> {
    let rows: Vec<_> = CAUSES
        .iter()
        .map(|(key, words)| (format!("wasted_{key}"), *words))
        .chain([("wasted".to_string(), "all")])
        .filter_map(|(key, words)| {
            Some((v.measure(&key).filter(|m| m.max > 0.0 && m.mean > 1e-9)?, key, words))
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let years = v.span.many();
    let nine = format!("9 of 10 {years}");
    let amount = |kg: f64| v.show.mass_number(kg);
    let unit = v.show.mass_unit();
    if v.single() {
        let mut t = table(&[unit, "wasted"]);
        for (m, _, words) in rows {
            row(&mut t, &[words.into(), amount(m.quantiles[2])]);
        }
        return Some(t);
    }
    let mut t = table(&[unit, "middle", "give or take", &nine, "any in"]);
    for (m, key, words) in rows {
        let part = v.part_above(&key, 1e-9).map_or_else(String::new, percent);
        row(
            &mut t,
            &[words.into(), amount(m.quantiles[2]), sure_to(m, amount), nine_of_ten(m, amount), part],
        );
    }
    Some(t)
}

fn shortfalls(v: &Voice) -> Option<Table> {
    let mut t = if v.single() {
        table(&["", "part there", "days short", "in a row"])
    } else {
        table(&["", "part there", "days short", "9 of 10", "in a row", "any in"])
    };
    let mut any = false;
    for w in wants(v) {
        let get = |end: &str| v.measure(&format!("{}_{end}", w.key));
        let (Some(fill), Some(short)) = (get("fill"), get("short_days")) else { continue };
        any = true;
        let gap = get("longest_gap").map_or_else(String::new, |g| figure(g.quantiles[2]));
        let mut cells = vec![w.name.clone(), percent(fill.quantiles[2]), figure(short.quantiles[2])];
        if v.single() {
            cells.push(gap);
        } else {
            let chance =
                v.part_above(&format!("{}_short_days", w.key), 0.5).map_or_else(String::new, percent);
            cells.extend([nine_of_ten(short, figure), gap, chance]);
        }
        row(&mut t, &cells);
    }
    any.then_some(t)
}

fn room(v: &Voice) -> Option<Table> {
    let litres = |l: f64| v.show.room_number(l);
    let room: &dyn Fn(f64) -> String = &litres;
    let plain: &dyn Fn(f64) -> String = &figure;
    let unit = v.show.room_unit();
    let asked = v.facts.jars.first().map_or("jars".into(), |j| jars(&j.name));
    let owned_jars = v.facts.jar_count().to_string();
    let lines = [
        (format!("cold room wanted, {unit}"), "cold_room_wanted", room, litres(v.facts.cold_l)),
        (format!("cold room used, {unit}"), "cold_room_used", room, litres(v.facts.cold_l)),
        (format!("{asked} wanted there"), "jars_wanted", plain, figure(v.facts.cold_jars)),
        ("jars in use, all sizes".into(), "jars_used", plain, owned_jars),
        (format!("freezer, {unit}"), "freezer_used", room, litres(v.facts.freezer_l)),
        (format!("ageing space, {unit}"), "ageing_used", room, litres(v.facts.ageing_l)),
    ];
    let mut t = if v.single() {
        table(&["", "fullest", "owned"])
    } else {
        table(&["", "middle", "give or take", "9 of 10", "19 of 20", "owned"])
    };
    let mut any = false;
    for (name, key, words, owned) in lines {
        let Some(m) = v.measure(key).filter(|m| m.max > 0.0) else { continue };
        any = true;
        let q = &m.quantiles;
        if v.single() {
            row(&mut t, &[name, words(q[2]), owned]);
        } else {
            row(&mut t, &[name, words(q[2]), sure_to(m, words), words(q[3]), words(q[4]), owned]);
        }
    }
    any.then_some(t)
}

fn rules(v: &Voice) -> Option<Table> {
    if v.result.rules.is_empty() {
        return None;
    }
    let times = format!("times a {}", v.span.one());
    let mut t = table(&["rule", &times, "held back most by", "days"]);
    for (i, r) in v.result.rules.iter().enumerate() {
        // Steps for a full cold room that were never needed are good news.
        if i >= v.facts.routine && r.fired <= 0.0 {
            continue;
        }
        let (why, n) = main_reason(r)
            .map_or((String::new(), String::new()), |(b, n)| (reason(b, v, i).into(), figure(n)));
        let name = if i < v.facts.routine { format!("{}. {}", i + 1, r.rule) } else { r.rule.clone() };
        row(&mut t, &[name, figure(r.fired), why, n]);
    }
    t.row_iter().next()?;
    Some(t)
}
