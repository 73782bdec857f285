//! From milkings to days in milk: lactations, milkings that are missing, days
//! that say nothing of the curve.

mod fresh;
mod kinds;

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::calendar::days_between;
use crate::records::{Aside, Log, Measure, Milking, Part};

use super::doubt::{Doubt, Doubted};
use super::prior::Prior;
use fresh::freshenings;
use kinds::Kinds;
pub use kinds::pail;

/// Days in milk from which the curve is fitted: before, the first milk does not
/// follow it (the noise was measured from day 4 on, Friggens, Ridder and
/// Lovendahl 2007).
pub const FIRST_FITTED: i64 = 4;
/// Longest lactation understood, days.
const LONGEST: i64 = 1500;

/// One day that is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Its date.
    pub date: Date,
    /// Day in milk, 1 = the day of freshening.
    pub dim: u16,
    /// Milk in the pail, kg.
    pub pail_kg: f64,
    /// Milk of a whole day milked twice, kg.
    pub kg: f64,
    /// Spread beyond the noise, relative.
    pub extra: f64,
    /// Fat, where the file says it.
    pub fat: Option<f64>,
}

/// One amount of a day that is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Its line in the file.
    pub line: usize,
    /// Its date.
    pub date: Date,
    /// Which lactation, by its place among them.
    pub lactation: usize,
    /// Day in milk.
    pub dim: u16,
    /// Which milking.
    pub part: Part,
    /// Milk of a whole day, by this amount alone and the breed's morning part, kg.
    pub whole_kg: f64,
    /// The measure in which it is written.
    pub read: Option<Measure>,
}

/// One lactation of a log.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lactation {
    /// The day of freshening.
    pub fresh: Date,
    /// Number, 1 = her first.
    pub number: u32,
    /// The days that are fitted.
    pub days: Vec<Day>,
    /// Days with the young on her: not fitted.
    pub calf: Vec<Day>,
    /// All milk in the pail, kg.
    pub pail_kg: f64,
    /// First day written down, in days in milk; 0: none.
    pub first: u16,
    /// Last day written down, in days in milk.
    pub last: u16,
}

/// The days of a log.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Days {
    /// Lactations in order.
    pub lactations: Vec<Lactation>,
    /// Rows that turned out not to be used.
    pub aside: Vec<Aside>,
    /// What was assumed, in sentences.
    pub told: Vec<String>,
    /// The amounts of the days that are fitted.
    pub rows: Vec<Row>,
    /// Milk in the pail of each whole day, kg.
    pub pail: BTreeMap<Date, f64>,
    /// Days filled in for a missing milking.
    pub filled: u32,
    /// Days milked once.
    pub once: u32,
}

impl Days {
    /// Sets days aside on which the unit of an amount is in doubt, where other
    /// days are not.
    pub fn leave_out(&mut self, doubts: &[Doubt]) {
        let in_doubt = |line: usize| {
            doubts.iter().any(|d| d.what == Doubted::Stretch && d.lines.binary_search(&line).is_ok())
        };
        let out: Vec<(usize, Date)> =
            self.rows.iter().filter(|r| in_doubt(r.line)).map(|r| (r.lactation, r.date)).collect();
        let is_out = |lactation: usize, date: Date| out.binary_search(&(lactation, date)).is_ok();
        for (at, l) in self.lactations.iter_mut().enumerate() {
            l.days.retain(|d| !is_out(at, d.date));
        }
        for r in self.rows.iter().filter(|r| is_out(r.lactation, r.date)) {
            let why = if in_doubt(r.line) {
                "the unit is in doubt, as told above"
            } else {
                "the unit of the other milking of that day is in doubt"
            };
            self.aside.push(Aside { line: r.line, column: String::new(), why: why.to_owned() });
        }
    }
}

/// What the family says of her lactations.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// Days on which she freshened.
    pub fresh: Vec<Date>,
    /// Number of the last lactation of the log, if it is said; else her second, or
    /// as many as the log holds.
    pub number: Option<u32>,
}

/// Why a log cannot be fitted.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoFit {
    /// Nowhere is it said when she freshened.
    #[error("nothing says when she freshened; give the day with --freshened, such as --freshened 2027-04-12")]
    NoFreshening,
    /// The log holds more lactations than she is said to have had.
    #[error("the log holds {found} lactations, so its last is not number {said} (--lactation)")]
    TooFew {
        /// What was said.
        said: u32,
        /// Lactations of the log.
        found: u32,
    },
    /// No day is left.
    #[error("no day of this log can be used for her curve: {why}")]
    NoDays {
        /// Why.
        why: String,
        /// Rows that only then turned out not to be used.
        aside: Vec<Aside>,
    },
    /// The breed's curve holds no milk.
    #[error("her breed's curve holds no milk to begin with")]
    NoPrior,
}

/// Sorts a log into lactations and days.
pub fn days(log: &Log, known: &Known, prior: &Prior) -> Result<Days, NoFit> {
    let mut out = Days::default();
    let mut by_day: BTreeMap<Date, Vec<&Milking>> = BTreeMap::new();
    for m in &log.milkings {
        by_day.entry(m.date).or_default().push(m);
    }
    let fresh = freshenings(&by_day, known, &mut out)?;
    let found = u32::try_from(fresh.len()).unwrap_or(u32::MAX);
    let last_number = match known.number {
        Some(said) if said < found => return Err(NoFit::TooFew { said, found }),
        Some(said) => said,
        None => found.max(2),
    };
    let kinds = Kinds::of(&by_day, prior.morning.0);
    for (date, all) in &by_day {
        let Some(at) = fresh.iter().rposition(|f| f <= date) else {
            set_aside(&mut out, all, &format!("{date} lies before she freshened"));
            continue;
        };
        let Some(&began) = fresh.get(at) else { continue };
        let dim = days_between(began, *date) + 1;
        if dim > LONGEST {
            set_aside(&mut out, all, &format!("{date} is more than {LONGEST} days after she freshened"));
            continue;
        }
        let number = (last_number + at as u32 + 1).saturating_sub(fresh.len() as u32).max(1);
        if out.lactations.last().is_none_or(|l| l.fresh != began) {
            out.lactations.push(Lactation { fresh: began, number, ..Lactation::default() });
        }
        one(&mut out, all, *date, dim, &kinds, prior);
    }
    if kinds.filled_part > 0.0 && out.filled > 0 {
        let once = if out.filled >= 4 {
            " If she was milked once on these days, say so in a column `milkings` with 1."
        } else {
            ""
        };
        out.told.push(format!(
            "On {} one of two milkings is missing; the day was filled in from the other (her mornings give {:.0} % of a day).{once}",
            days_word(out.filled),
            100.0 * kinds.morning
        ));
    }
    if out.once > 0 {
        out.told.push(format!(
            "{} milked once; her curve is told as if she were milked twice, by what once a day leaves in her breed.",
            if out.once == 1 { "1 day was".to_owned() } else { format!("{} days were", out.once) }
        ));
    }
    if out.lactations.iter().all(|l| l.days.is_empty()) {
        let calf: usize = out.lactations.iter().map(|l| l.calf.len()).sum();
        let why = if calf > 0 {
            "on all that are left the young was on her, and what it drank is not known"
        } else {
            "every row was set aside"
        };
        return Err(NoFit::NoDays { why: why.into(), aside: out.aside });
    }
    Ok(out)
}

fn days_word(n: u32) -> String {
    if n == 1 { "1 day".to_owned() } else { format!("{n} days") }
}

fn set_aside(out: &mut Days, all: &[&Milking], why: &str) {
    for m in all {
        out.aside.push(Aside { line: m.line, column: String::new(), why: why.to_owned() });
    }
}

fn one(out: &mut Days, all: &[&Milking], date: Date, dim: i64, kinds: &Kinds, prior: &Prior) {
    let of = |part: Part| all.iter().filter(|m| m.part == part).map(|m| m.kg).sum::<f64>();
    let pail_kg: f64 = all.iter().map(|m| m.kg).sum();
    let calf = all.iter().any(|m| m.calf);
    let has = |part: Part| all.iter().any(|m| m.part == part);
    let unsaid = all.iter().filter(|m| m.part == Part::Unsaid).count();
    let (morning, evening) = (has(Part::Morning), has(Part::Evening));
    let said_once = all.iter().any(|m| m.milkings == Some(1));
    let said_twice = all.iter().any(|m| m.milkings.is_some_and(|n| n >= 2) || m.whole);
    // A single row of a day in a log of single milkings.
    let half = unsaid == 1 && !morning && !evening && kinds.pairs && !said_once && !said_twice;
    if half && !prior.milked_once {
        set_aside(
            out,
            all,
            &format!("one of the two milkings of {date} is missing, and it is not said which is there"),
        );
        return;
    }
    let alone = unsaid == 0 && morning != evening;
    // Both milkings of a day are two, whatever is usual.
    let both = morning && evening || unsaid >= 2 || said_twice && !prior.milked_once;
    let once =
        !both && (prior.milked_once || said_once || (alone && kinds.once.binary_search(&date).is_ok()));
    let stage = usize::from(dim > 100) + usize::from(dim > 200);
    let left = prior.once_a_day.get(stage).copied().unwrap_or(1.0).max(0.1);
    let (kg, extra, whole) = if once {
        out.once += u32::from(!calf);
        (pail_kg / left, 0.0, true)
    } else if alone {
        let part = if morning { kinds.morning } else { 1.0 - kinds.morning }.clamp(0.2, 0.8);
        out.filled += u32::from(!calf);
        (of(if morning { Part::Morning } else { Part::Evening }) / part, prior.morning.1 / part, false)
    } else {
        (pail_kg, 0.0, true)
    };
    if whole {
        out.pail.insert(date, pail_kg);
    }
    let fats: Vec<(f64, f64)> = all.iter().filter_map(|m| m.fat.map(|f| (f, m.kg))).collect();
    let fat_kg: f64 = fats.iter().map(|(f, kg)| f * kg).sum();
    let of_kg: f64 = fats.iter().map(|(_, kg)| kg).sum();
    let fat = (fats.len() == all.len() && of_kg > 0.0).then(|| fat_kg / of_kg);
    let day = Day { date, dim: dim.clamp(1, LONGEST) as u16, pail_kg, kg, extra, fat };
    let early = dim < FIRST_FITTED;
    if !calf && !early {
        out.rows.extend(rows(out.lactations.len().saturating_sub(1), &day, all, once.then_some(left), prior));
    }
    let Some(l) = out.lactations.last_mut() else { return };
    l.pail_kg += pail_kg;
    l.first = if l.first == 0 { day.dim } else { l.first.min(day.dim) };
    l.last = l.last.max(day.dim);
    if calf {
        l.calf.push(day);
    } else if !early {
        l.days.push(day);
    }
    if early && !calf {
        set_aside(out, all, "the first milk does not follow the curve; it counts as milk, not for the curve");
    }
}

/// What each amount of a day says of the whole day, by the breed alone.
fn rows(lactation: usize, day: &Day, all: &[&Milking], once: Option<f64>, prior: &Prior) -> Vec<Row> {
    let alike = 1.0 / all.len().max(1) as f64;
    let noon = all.iter().any(|m| m.part == Part::Noon);
    let part = |m: &Milking| match (m.part, once) {
        (_, Some(left)) => left * alike,
        (Part::Morning, None) if !noon => prior.morning.0,
        (Part::Evening, None) if !noon => 1.0 - prior.morning.0,
        _ => alike,
    };
    let row = |m: &&Milking| Row {
        line: m.line,
        date: day.date,
        lactation,
        dim: day.dim,
        part: m.part,
        whole_kg: m.kg / part(m).max(0.05),
        read: m.read,
    };
    all.iter().map(row).collect()
}
