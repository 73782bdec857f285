//! From rows to milkings; each row is used, set aside or counted.

use crate::diagnostics::{Diagnostic, nearest};

use super::heads::{Heads, Role, repeats};
use super::numbers::{self, NoAmount};
use super::table::{Record, Table};
use super::words::{self, Stage};
use super::{Aside, Log, Milking, Options, Part, dates};

/// Words at the start of a row that sums up others.
const SUMS: [&str; 9] =
    ["total", "totals", "sum", "average", "mean", "month total", "grand total", "subtotal", "avg"];

struct Reader<'a> {
    heads: &'a Heads,
    dates: &'a dates::Style,
    numbers: &'a numbers::Style,
    options: &'a Options,
    /// The animal whose rows are read, where the file names several.
    whose: Option<String>,
    /// Date and milking of the row before, for rows that leave the date out.
    before: Option<(jiff::civil::Date, Part)>,
}

pub(super) fn rows(
    table: &Table,
    heads: &Heads,
    dates: &dates::Style,
    numbers: &numbers::Style,
    options: &Options,
    log: &mut Log,
) -> Result<(), Vec<Diagnostic>> {
    let start = heads.row.map_or(0, |r| r + 1);
    for r in table.records.iter().take(heads.row.unwrap_or(0)) {
        log.counts.rows += 1;
        if r.is_blank() {
            blank(log, r);
        } else {
            aside(log, r, "", "it stands above the heading");
        }
    }
    let records = table.records.get(start..).unwrap_or_default();
    let whose = whose(table, heads, records, options)?;
    log.animal.clone_from(&whose);
    let mut reader = Reader { heads, dates, numbers, options, whose, before: None };
    for r in records {
        log.counts.rows += 1;
        if r.is_blank() {
            blank(log, r);
        } else if repeats(r, heads) {
            log.counts.headings += 1;
            log.passed.push((r.line, "heading"));
        } else {
            reader.row(r, log);
        }
    }
    Ok(())
}

fn aside(log: &mut Log, r: &Record, column: &str, why: impl Into<String>) {
    log.aside.push(Aside { line: r.line, column: column.to_owned(), why: why.into() });
}

fn blank(log: &mut Log, r: &Record) {
    log.counts.blank += 1;
    log.passed.push((r.line, "blank"));
}

fn told(log: &mut Log, r: &Record, column: &str, why: impl Into<String>) {
    log.told.push(Aside { line: r.line, column: column.to_owned(), why: why.into() });
}

/// Whose rows are read; an error where several animals could be meant.
fn whose(
    table: &Table,
    heads: &Heads,
    records: &[Record],
    options: &Options,
) -> Result<Option<String>, Vec<Diagnostic>> {
    let Some(column) = heads.column(Role::Animal) else { return Ok(options.animal.clone()) };
    let mut names: Vec<&str> = Vec::new();
    for r in records {
        let name = r.cell(column);
        let heading = repeats(r, heads);
        if !name.is_empty() && !heading && !names.iter().any(|n| n.eq_ignore_ascii_case(name)) {
            names.push(name);
        }
    }
    let spot = records.iter().find(|r| !r.is_blank()).and_then(|r| table.spot(r, column));
    let list = names.iter().take(8).copied().collect::<Vec<_>>().join(", ");
    match (&options.animal, names.as_slice()) {
        (None, []) => Ok(None),
        (None, [one]) => Ok(Some((*one).to_owned())),
        (None, _) => Err(vec![
            Diagnostic::error(format!("this log holds {} animals", names.len()))
                .at(spot)
                .help(format!("say whose curve is wanted with --animal: {list}")),
        ]),
        (Some(name), []) => Ok(Some(name.clone())),
        (Some(name), _) => match names.iter().find(|n| n.eq_ignore_ascii_case(name.trim())) {
            Some(n) => Ok(Some((*n).to_owned())),
            None => {
                let help = match nearest(name.trim(), names.iter().copied()) {
                    Some(n) => format!("did you mean {n}?"),
                    None => format!("it holds {list}"),
                };
                Err(vec![
                    Diagnostic::error(format!("this log has no rows of {}", name.trim())).at(spot).help(help),
                ])
            }
        },
    }
}

impl Reader<'_> {
    fn cell<'r>(&self, r: &'r Record, role: Role) -> &'r str {
        self.heads.column(role).map_or("", |c| r.cell(c))
    }

    fn name(&self, role: Role) -> String {
        self.heads.column(role).map_or_else(String::new, |c| self.heads.name(c))
    }

    fn row(&mut self, r: &Record, log: &mut Log) {
        let first = r.cells.iter().find(|c| !c.is_empty()).map_or("", String::as_str);
        if first.starts_with('#') && !first.starts_with("#N") && !first.starts_with("#V") {
            return aside(log, r, "", "it is a remark");
        }
        let lower = first.trim_end_matches(':').to_lowercase();
        if SUMS.contains(&lower.as_str()) || SUMS.iter().any(|s| lower.starts_with(&format!("{s} "))) {
            return aside(log, r, "", "it sums up other rows");
        }
        if r.cells.len() > self.heads.roles.len()
            && r.cells.iter().skip(self.heads.roles.len()).any(|c| !c.is_empty())
        {
            return aside(
                log,
                r,
                "",
                "it has more cells than the heading; a comma inside a number or a note wants quotation marks",
            );
        }
        if self.is_of_another(r, log) {
            return;
        }
        let Some((date, hour)) = self.date(r, log) else { return };
        let row = self.about(r, date, log);
        let Some(row) = row else { return };
        self.amounts(r, &row, hour, log);
    }

    /// Rows of other animals are counted; rows of nobody are set aside.
    fn is_of_another(&self, r: &Record, log: &mut Log) -> bool {
        let Some(column) = self.heads.column(Role::Animal) else { return false };
        let Some(whose) = &self.whose else { return false };
        let name = r.cell(column);
        if name.eq_ignore_ascii_case(whose) {
            return false;
        }
        if name.is_empty() {
            // Where the file names one animal alone it can only be hers.
            if self.options.animal.is_none() {
                return false;
            }
            aside(log, r, &self.heads.name(column), "it does not say whose milk it is");
        } else {
            log.counts.others += 1;
            log.passed.push((r.line, "other animal"));
        }
        true
    }

    fn date(&mut self, r: &Record, log: &mut Log) -> Option<(jiff::civil::Date, Option<f64>)> {
        let name = self.name(Role::Date);
        let cell = self.cell(r, Role::Date);
        let ditto = ["", "\"", "''", "″", "〃", "ditto", "do", "do."].contains(&cell.to_lowercase().as_str());
        if ditto {
            // The evening's row of a day whose date stands once.
            let part = words::part(self.cell(r, Role::Milking)).unwrap_or_default();
            if let Some((date, before)) = self.before
                && part != Part::Unsaid
                && part > before
            {
                told(log, r, &name, format!("no date; taken as {date}, that of the row above"));
                self.before = Some((date, part));
                return Some((date, None));
            }
            aside(log, r, &name, "there is no date");
            return None;
        }
        match dates::read(cell, self.dates) {
            Err(why) => {
                aside(log, r, &name, why);
                None
            }
            Ok(moment) => {
                if let Some(today) = self.options.today.filter(|_| self.options.lies_ahead(moment.date)) {
                    aside(log, r, &name, format!("{} lies in the future (today is {today})", moment.date));
                    return None;
                }
                Some((moment.date, moment.hour))
            }
        }
    }

    /// What the other columns say; `None`: the row is set aside.
    fn about(&self, r: &Record, date: jiff::civil::Date, log: &mut Log) -> Option<Milking> {
        let mut m = Milking { line: r.line, date, ..Milking::default() };
        let calf = self.cell(r, Role::Calf);
        match words::yes(calf) {
            Some(on) => m.calf = on,
            None => {
                let why = format!("`{calf}` does not say whether the young was on her; write yes or no");
                aside(log, r, &self.name(Role::Calf), why);
                return None;
            }
        }
        let withheld = self.cell(r, Role::Withheld);
        m.withheld = words::yes(withheld).unwrap_or_else(|| {
            told(log, r, &self.name(Role::Withheld), format!("`{withheld}` is taken as kept from people"));
            true
        });
        let fat = self.cell(r, Role::Fat);
        if !fat.is_empty() {
            match numbers::fat(fat) {
                Ok(f) => m.fat = Some(f),
                Err(why) => {
                    told(log, r, &self.name(Role::Fat), format!("{why}; the milk of the row is used"))
                }
            }
        }
        match words::stage(self.cell(r, Role::Stage)) {
            Some(Stage::Day(d)) => m.dim = Some(d),
            Some(Stage::Fresh) => m.fresh = true,
            Some(Stage::Colostrum) => m.withheld = true,
            Some(Stage::Dry) => {
                aside(log, r, &self.name(Role::Stage), "she is dry on that day");
                return None;
            }
            Some(Stage::InMilk) => {}
            None => {
                let cell = self.cell(r, Role::Stage);
                told(
                    log,
                    r,
                    &self.name(Role::Stage),
                    format!("`{cell}` is no stage; the row is used without it"),
                );
            }
        }
        m.fresh |= words::says_fresh(self.cell(r, Role::Note));
        let milkings = self.cell(r, Role::Milkings);
        if !milkings.is_empty() {
            match milkings.trim_end_matches('x').trim().parse::<u8>() {
                Ok(n @ 1..=4) => m.milkings = Some(n),
                _ => told(
                    log,
                    r,
                    &self.name(Role::Milkings),
                    format!("`{milkings}` is no number of milkings; the row is used without it"),
                ),
            }
        }
        Some(m)
    }

    fn amounts(&mut self, r: &Record, about: &Milking, hour: Option<f64>, log: &mut Log) {
        let unit = self.cell(r, Role::Unit);
        let columns: Vec<(usize, Part)> = self.heads.amounts().collect();
        let wide = columns.iter().any(|(_, p)| *p != Part::Unsaid);
        let whole = !wide && words::is_whole_day(self.cell(r, Role::Milking));
        let said = if wide { Part::Unsaid } else { self.part(r, hour, log) };
        let mut any = false;
        let mut wrong = false;
        let mut sum = 0.0;
        for (column, part) in columns {
            match numbers::read(r.cell(column), column, unit, self.numbers) {
                Ok((kg, read)) => {
                    let part = if part == Part::Unsaid { said } else { part };
                    log.milkings.push(Milking { part, kg, read, whole, ..about.clone() });
                    self.before = Some((about.date, part));
                    sum += kg;
                    any = true;
                }
                Err(NoAmount::Nothing) => {}
                Err(NoAmount::Wrong(why)) => {
                    aside(log, r, &self.heads.name(column), why);
                    wrong = true;
                }
            }
        }
        if let Some(column) = self.heads.column(Role::Total) {
            match numbers::read(r.cell(column), column, unit, self.numbers) {
                Ok((kg, _)) if any && (kg - sum).abs() > 0.02 * kg && !wrong => {
                    let why = "the sum beside the milkings is another; the milkings are used";
                    told(log, r, &self.heads.name(column), why);
                }
                Ok((kg, read)) if !any && !wrong => {
                    let day = Milking { kg, read, whole: true, ..about.clone() };
                    log.milkings.push(day);
                    any = true;
                }
                _ => {}
            }
        }
        if !any && !wrong {
            let column = self.heads.amounts().next().map_or_else(String::new, |(c, _)| self.heads.name(c));
            aside(log, r, &column, "there is no amount");
        }
    }

    /// Which milking a row is: by its word, or by the hour of its date.
    fn part(&self, r: &Record, hour: Option<f64>, log: &mut Log) -> Part {
        let cell = self.cell(r, Role::Milking);
        match words::part(cell) {
            Some(Part::Unsaid) => hour.map_or(Part::Unsaid, words::of_hour),
            Some(part) => part,
            None => {
                let why = format!("`{cell}` names no milking; write morning or evening");
                told(log, r, &self.name(Role::Milking), why);
                Part::Unsaid
            }
        }
    }
}
