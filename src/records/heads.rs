//! Which column is what.

mod named;

use crate::diagnostics::{Diagnostic, nearest};

use super::table::{Record, Table};
use super::{Part, dates};
use named::{WORDS, plain, role};

/// Rows looked at for the heading.
const SEARCHED: usize = 15;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Date,
    Amount(Part),
    /// The day's sum beside its milkings.
    Total,
    Milking,
    Animal,
    Note,
    Calf,
    Withheld,
    Fat,
    Stage,
    Unit,
    Milkings,
}

/// The columns of a log.
#[derive(Clone, Debug, Default)]
pub(super) struct Heads {
    /// Index of the heading among the records; `None`: there is none.
    pub row: Option<usize>,
    /// Role of each column, if it has one.
    pub roles: Vec<Option<Role>>,
    /// Headings as written.
    pub names: Vec<String>,
    /// Unit in the heading, as written.
    pub units: Vec<Option<String>>,
    /// What was decided, in sentences.
    pub told: Vec<String>,
}

impl Heads {
    /// The column of a role.
    pub fn column(&self, role: Role) -> Option<usize> {
        self.roles.iter().position(|r| *r == Some(role))
    }

    /// Columns that hold amounts, with their part of the day.
    pub fn amounts(&self) -> impl Iterator<Item = (usize, Part)> + '_ {
        self.roles.iter().enumerate().filter_map(|(i, r)| match r {
            Some(Role::Amount(part)) => Some((i, *part)),
            _ => None,
        })
    }

    /// The heading of a column, for messages.
    pub fn name(&self, column: usize) -> String {
        match self.names.get(column).filter(|n| !n.is_empty()) {
            Some(n) => n.clone(),
            None => format!("column {}", column + 1),
        }
    }
}

/// Whether a record repeats the heading.
pub(super) fn repeats(record: &Record, heads: &Heads) -> bool {
    let same = |(i, name): (usize, &String)| record.cell(i).eq_ignore_ascii_case(name);
    heads.row.is_some() && !heads.names.is_empty() && heads.names.iter().enumerate().all(same)
}

/// Finds the heading and reads it.
pub(super) fn find(table: &Table) -> Result<Heads, Vec<Diagnostic>> {
    let known = |r: &Record| r.cells.iter().filter(|c| role(c).is_some()).count();
    let holds =
        |r: &Record, want: fn(Role) -> bool| r.cells.iter().any(|c| role(c).is_some_and(|(r, _)| want(r)));
    let is_date = |r: Role| r == Role::Date;
    let is_amount = |r: Role| matches!(r, Role::Amount(_) | Role::Total);
    let candidates = table.records.iter().enumerate().filter(|(_, r)| !r.is_blank()).take(SEARCHED);
    let looks_like_data = |r: &Record| r.cells.iter().any(|c| dates::like_a_date(c));
    let best = candidates
        .filter(|(_, r)| !looks_like_data(r) && known(r) > 0)
        .map(|(i, r)| ((holds(r, is_date) && holds(r, is_amount), known(r)), i))
        .rev_max();
    let Some((score, at)) = best else { return headless(table) };
    let Some(row) = table.records.get(at) else { return headless(table) };
    let mut heads = Heads { row: Some(at), ..Heads::default() };
    for cell in &row.cells {
        let (role, unit) = role(cell).map_or((None, None), |(r, u)| (Some(r), u));
        heads.names.push(cell.clone());
        heads.roles.push(role);
        heads.units.push(unit);
    }
    settle_doubles(&mut heads);
    if !score.0 {
        return Err(vec![missing(table, row, &heads)]);
    }
    doubled(table, row, &heads)?;
    unknown(&mut heads);
    Ok(heads)
}

/// The first of the greatest.
trait RevMax: Iterator + Sized {
    fn rev_max(self) -> Option<Self::Item>
    where
        Self::Item: PartialOrd;
}
impl<I: Iterator<Item = ((bool, usize), usize)>> RevMax for I {
    fn rev_max(self) -> Option<Self::Item> {
        self.fold(None, |best, x| match best {
            Some(b) if b.0 >= x.0 => Some(b),
            _ => Some(x),
        })
    }
}

/// `day` beside `date` is a weekday; a sum beside its milkings is only checked.
fn settle_doubles(heads: &mut Heads) {
    let has = |heads: &Heads, role| heads.roles.contains(&Some(role));
    let dates: Vec<usize> =
        (0..heads.roles.len()).filter(|i| heads.roles.get(*i) == Some(&Some(Role::Date))).collect();
    let named = |i: &usize| heads.names.get(*i).is_some_and(|n| plain(n).0.contains("date"));
    if dates.len() > 1 && dates.iter().filter(|i| named(i)).count() == 1 {
        let keep = dates.iter().copied().find(|i| named(i));
        for i in dates {
            if Some(i) != keep
                && let Some(r) = heads.roles.get_mut(i)
            {
                *r = None;
            }
        }
    }
    let parts = has(heads, Role::Amount(Part::Morning)) || has(heads, Role::Amount(Part::Evening));
    for role in &mut heads.roles {
        match role {
            Some(Role::Total) if !parts => *role = Some(Role::Amount(Part::Unsaid)),
            // `milk` beside `morning` and `evening` is their sum.
            Some(Role::Amount(Part::Unsaid)) if parts => *role = Some(Role::Total),
            _ => {}
        }
    }
    if parts && has(heads, Role::Milking) {
        heads.told.push(
            "Morning and evening have columns of their own; the column that names the milking is not read."
                .to_owned(),
        );
    }
}

fn missing(table: &Table, row: &Record, heads: &Heads) -> Diagnostic {
    let dateless = heads.column(Role::Date).is_none();
    let (what, example) = if dateless {
        ("no column of this log is a date", "`date`")
    } else {
        ("no column of this log says how much milk", "`milk (lb)`, or `morning (lb)` and `evening (lb)`")
    };
    let strange = heads.names.iter().zip(&heads.roles).filter(|(n, r)| r.is_none() && !n.is_empty());
    let wanted = if dateless { "date" } else { "milk" };
    let near = strange.clone().find(|(n, _)| nearest(&plain(n).0, [wanted, "amount", "day"]).is_some());
    let found = match near {
        Some((n, _)) => format!("; is it `{n}`?"),
        None => String::new(),
    };
    Diagnostic::error(what).at(table.spot(row, 0)).help(format!("head that column {example}{found}"))
}

fn doubled(table: &Table, row: &Record, heads: &Heads) -> Result<(), Vec<Diagnostic>> {
    let mut found = Vec::new();
    for (i, role) in heads.roles.iter().enumerate() {
        let Some(role) = role else { continue };
        let Some(first) = heads.column(*role).filter(|f| *f < i) else { continue };
        if !matches!(role, Role::Date | Role::Amount(_) | Role::Animal | Role::Milking | Role::Unit) {
            continue;
        }
        found.push(
            Diagnostic::error(format!("`{}` and `{}` mean the same here", heads.name(first), heads.name(i)))
                .at(table.spot(row, i))
                .help("give the one that is not to be read another heading, such as `old`"),
        );
    }
    if found.is_empty() { Ok(()) } else { Err(found) }
}

/// Says which columns are not read, with the nearest word.
fn unknown(heads: &mut Heads) {
    let all: Vec<&str> = WORDS.iter().filter_map(|(_, all)| all.first().copied()).collect();
    let strange = heads.names.iter().zip(&heads.roles).filter(|(n, r)| r.is_none() && !n.is_empty());
    let told: Vec<String> = strange
        .map(|(name, _)| match nearest(&plain(name).0, all.iter().copied()) {
            Some(near) => format!("The column `{name}` is not read; if it is the {near}, head it `{near}`."),
            None => format!("The column `{name}` is not read."),
        })
        .collect();
    heads.told.extend(told);
}

/// A table without a heading: a date and one number can be nothing else.
fn headless(table: &Table) -> Result<Heads, Vec<Diagnostic>> {
    let refuse = |record: Option<&Record>| {
        let spot = record.and_then(|r| table.spot(r, 0));
        vec![
            Diagnostic::error("this log has no heading that can be understood")
                .at(spot)
                .help("begin it with a row such as `date,milk (lb)` or `date,morning (kg),evening (kg)`"),
        ]
    };
    let Some(first) = table.records.iter().find(|r| !r.is_blank()) else { return Err(refuse(None)) };
    let date = first.cells.iter().position(|c| dates::like_a_date(c));
    let numbers: Vec<usize> = (0..first.cells.len())
        .filter(|i| Some(*i) != date && first.cell(*i).starts_with(|c: char| c.is_ascii_digit()))
        .collect();
    let (Some(date), &[amount]) = (date, numbers.as_slice()) else { return Err(refuse(Some(first))) };
    let mut heads = Heads {
        roles: vec![None; first.cells.len()],
        names: vec![String::new(); first.cells.len()],
        units: vec![None; first.cells.len()],
        told: vec![format!(
            "There is no heading; column {} was taken for the date, column {} for the milk.",
            date + 1,
            amount + 1
        )],
        row: None,
    };
    for (at, role) in [(date, Role::Date), (amount, Role::Amount(Part::Unsaid))] {
        if let Some(r) = heads.roles.get_mut(at) {
            *r = Some(role);
        }
    }
    Ok(heads)
}
