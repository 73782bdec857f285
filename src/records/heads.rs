//! Which column is what.

use crate::diagnostics::{Diagnostic, nearest};
use crate::units::{self, MilkAmount};

use super::table::{Record, Table};
use super::{Part, dates};

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

/// Whole headings that say what a column is, words in lower case, without
/// units, joined by one space. The first of each role is what is suggested.
const WORDS: [(Role, &[&str]); 11] = [
    (Role::Date, &["date", "day", "when", "milked on", "milking date", "test date", "date of milking"]),
    (
        Role::Amount(Part::Unsaid),
        &[
            "milk",
            "amount",
            "yield",
            "milk yield",
            "weight",
            "volume",
            "pail",
            "in the pail",
            "produced",
            "production",
            "milk weight",
            "milk amount",
            "milked",
            "quantity",
            "test day milk",
            "",
        ],
    ),
    (
        Role::Milking,
        &[
            "milking",
            "time",
            "am pm",
            "time of day",
            "hour",
            "which milking",
            "part of day",
            "session",
            "morning evening",
            "milking time",
        ],
    ),
    (
        Role::Animal,
        &["animal", "name", "cow", "goat", "doe", "ewe", "sheep", "who", "id", "tag", "ear tag", "animal id"],
    ),
    (Role::Note, &["note", "notes", "remark", "remarks", "comment", "comments", "what happened"]),
    (
        Role::Calf,
        &[
            "calf",
            "calf on",
            "calf with her",
            "kid",
            "kids",
            "kids on",
            "lamb",
            "lambs",
            "lambs on",
            "young",
            "young on",
            "nursing",
        ],
    ),
    (
        Role::Withheld,
        &[
            "withheld",
            "kept",
            "kept from people",
            "not for people",
            "discarded",
            "dumped",
            "withdrawal",
            "colostrum",
            "held back",
        ],
    ),
    (Role::Fat, &["fat", "butterfat", "fat %", "butterfat %", "milk fat", "bf", "bf %", "fat percent"]),
    (
        Role::Stage,
        &[
            "stage",
            "days in milk",
            "day in milk",
            "dim",
            "days fresh",
            "days since freshening",
            "stage of lactation",
        ],
    ),
    (Role::Unit, &["unit", "units", "measure"]),
    (Role::Milkings, &["milkings", "times milked", "milkings a day", "number of milkings"]),
];

/// A heading in plain words, and the unit in it.
fn plain(text: &str) -> (String, Option<String>) {
    let lower = text
        .to_lowercase()
        .replace("a.m.", "am")
        .replace("p.m.", "pm")
        .replace("a.m", "am")
        .replace("p.m", "pm");
    let spaced: String =
        lower.chars().map(|c| if c.is_alphanumeric() || c == '%' || c == '\'' { c } else { ' ' }).collect();
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let is_unit = |w: &str| units::read::<MilkAmount>(&format!("1 {w}")).is_ok();
    let mut unit = None;
    let mut rest: Vec<&str> = Vec::new();
    let mut i = 0;
    while let Some(&w) = words.get(i) {
        let two = words.get(i + 1).map(|next| format!("{w} {next}"));
        if let Some(two) = two.filter(|t| unit.is_none() && is_unit(t)) {
            unit = Some(two);
            i += 2;
        } else if unit.is_none() && is_unit(w) {
            unit = Some(w.to_owned());
            i += 1;
        } else {
            rest.push(w);
            i += 1;
        }
    }
    // `kg per day`, `lb a day`.
    if unit.is_some() {
        for tail in [&["per", "day"][..], &["a", "day"], &["day"], &["in"], &["of"]] {
            if rest.len() > tail.len() || rest == tail {
                if rest.ends_with(tail) {
                    rest.truncate(rest.len() - tail.len());
                } else if rest.starts_with(tail) && tail.len() == 1 && *tail != ["day"] {
                    rest.drain(..1);
                }
            }
        }
        rest.retain(|w| *w != "in");
    }
    (rest.join(" "), unit)
}

fn role(text: &str) -> Option<(Role, Option<String>)> {
    let (words, unit) = plain(text);
    if words.is_empty() && unit.is_none() {
        return None;
    }
    if let Some((role, _)) = WORDS.iter().find(|(_, all)| all.contains(&words.as_str())) {
        // A unit belongs to an amount; `cup` alone heads one too.
        return match role {
            Role::Amount(_) => Some((*role, unit)),
            _ => Some((*role, None)),
        };
    }
    let amount = |rest: &str| {
        let fillers = ["milking", "total", "pail's", "day's", "s"];
        let left: Vec<&str> = rest.split_whitespace().filter(|w| !fillers.contains(w)).collect();
        let left = left.join(" ");
        matches!(WORDS[1], (_, all) if all.contains(&left.as_str()))
    };
    let has = |any: &[&str]| words.split_whitespace().any(|w| any.contains(&w));
    let without =
        |any: &[&str]| words.split_whitespace().filter(|w| !any.contains(w)).collect::<Vec<_>>().join(" ");
    const MORNING: &[&str] = &["morning", "am", "mornings"];
    const EVENING: &[&str] = &["evening", "pm", "evenings", "night"];
    const NOON: &[&str] = &["noon", "midday"];
    const TOTAL: &[&str] = &["total", "sum", "day's", "daily", "day"];
    let parts = [has(MORNING), has(EVENING), has(NOON)];
    match parts {
        [true, true, _] => Some((Role::Milking, None)),
        [true, false, false] if amount(&without(MORNING)) => Some((Role::Amount(Part::Morning), unit)),
        [false, true, false] if amount(&without(EVENING)) => Some((Role::Amount(Part::Evening), unit)),
        [false, false, true] if amount(&without(NOON)) => Some((Role::Amount(Part::Noon), unit)),
        [false, false, false] if has(TOTAL) && amount(&without(TOTAL)) => Some((Role::Total, unit)),
        _ => None,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_people_write() {
        let unsaid = Role::Amount(Part::Unsaid);
        for (text, want, unit) in [
            ("Date", Role::Date, None),
            ("milk (lb)", unsaid, Some("lb")),
            ("Milk_kg", unsaid, Some("kg")),
            ("lbs", unsaid, Some("lbs")),
            ("Milk, kg per day", unsaid, Some("kg")),
            ("milk lb/day", unsaid, Some("lb")),
            ("milk in quarts", unsaid, Some("quarts")),
            ("AM (lb)", Role::Amount(Part::Morning), Some("lb")),
            ("a.m.", Role::Amount(Part::Morning), None),
            ("Evening milk [L]", Role::Amount(Part::Evening), Some("l")),
            ("PM fl oz", Role::Amount(Part::Evening), Some("fl oz")),
            ("noon", Role::Amount(Part::Noon), None),
            ("AM/PM", Role::Milking, None),
            ("Total (lb)", Role::Total, Some("lb")),
            ("Fat %", Role::Fat, None),
            ("Days in milk", Role::Stage, None),
            ("Calf on?", Role::Calf, None),
            ("Notes", Role::Note, None),
        ] {
            assert_eq!(role(text), Some((want, unit.map(str::to_owned))), "{text}");
        }
        for text in ["weather", "", "price", "cheese"] {
            assert_eq!(role(text), None, "{text}");
        }
    }
}
