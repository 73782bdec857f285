//! `learn`: from a pail log to the animal's own curve; and how a forecast held.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::ValueEnum;
use jiff::civil::Date;

use super::args::Units;
use super::number::whole;
use super::{Failure, input, new, output};
use crate::calendar;
use crate::diagnostics::nearest;
use crate::records::{self, Aside, Log, Options, Order};
use crate::report::learn::{self as report, Told};
use crate::scenario::plan::AnimalPlan;
use crate::scenario::{Compiled, HerdName, UnitSystem, kit};
use crate::study::learn::{self as study, Known, Lesson, NoFit, Prior, score::score};

/// `learn`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "A log is a table of text (CSV) with a heading, such as:\n  date,milking,milk (lb),calf,note\n  \
                        2026-04-20,morning,21.5,no,\n\nExamples:\n  \
                        springhouse learn pail.csv --breed jersey --lactation 2 --freshened 2026-04-12\n  \
                        springhouse learn pail.csv --scenario ours.yaml --animal Clover --write clover.yaml\n  \
                        springhouse learn pail.csv --scenario ours.yaml --against forecast.csv\n"
)]
pub struct LearnArgs {
    /// The log: a row a milking or a day; - reads standard input
    pub log: PathBuf,
    /// A scenario that holds the animal: her breed, lactation, freshening and all else written of her
    #[arg(long, value_name = "FILE", conflicts_with = "breed")]
    pub scenario: Option<PathBuf>,
    /// Whose milk, where log or scenario hold several animals
    #[arg(long, value_name = "NAME")]
    pub animal: Option<String>,
    /// Her breed, where there is no scenario (springhouse list breeds)
    #[arg(long, value_name = "BREED")]
    pub breed: Option<String>,
    /// Number of the log's last lactation [default: the scenario's, or 2]
    #[arg(long, value_name = "N", value_parser = whole::<u32>(1..=20))]
    pub lactation: Option<u32>,
    /// Day on which she freshened; may be given several times [default: the scenario's, or what the log says]
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub freshened: Vec<Date>,
    /// Unit of amounts where the log says none: lb, kg, qt, L, gal
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Which way round dates such as 3/4/2026 are [default: as the log shows]
    #[arg(long, value_enum, value_name = "ORDER")]
    pub dates: Option<Dates>,
    /// Later days cannot be true [default: today]
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub today: Option<Date>,
    /// Write the piece of a scenario to this new file
    #[arg(long, value_name = "FILE", conflicts_with = "against")]
    pub write: Option<PathBuf>,
    /// Keep score of an earlier forecast (CSV: date,animal,what,low,middle,high,unit)
    #[arg(long, value_name = "FORECAST")]
    pub against: Option<PathBuf>,
    /// Write what became of every row of the log to this new file (CSV: line,became,column,why)
    #[arg(long, value_name = "FILE.csv")]
    pub rows: Option<PathBuf>,
    /// List every row that was set aside
    #[arg(long, short)]
    pub all: bool,
    /// Units to show [default: as the scenario says, or us]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: LearnFormat,
}

/// Which way round a date is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Dates {
    /// day/month/year
    DayFirst,
    /// month/day/year
    MonthFirst,
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum LearnFormat {
    /// Words
    #[default]
    Words,
    /// The same as numbers, SI
    Json,
}

fn date(text: &str) -> Result<Date, String> {
    calendar::read_date(text).map_err(|e| e.to_string())
}

/// What is known of her beside the log.
struct Her {
    name: String,
    breed: String,
    prior: Prior,
    known: Known,
}

pub fn learn(args: &LearnArgs) -> Result<ExitCode, Failure> {
    let compiled = match &args.scenario {
        Some(path) => Some(input::compile(&input::read(path)?)?),
        None => None,
    };
    let file = input::read_as(&args.log, input::Kind::Log)?;
    let options = Options {
        unit: args.unit.clone(),
        dates: args.dates.map(|d| match d {
            Dates::DayFirst => Order::DayFirst,
            Dates::MonthFirst => Order::MonthFirst,
        }),
        animal: args.animal.clone(),
        today: Some(args.today.unwrap_or_else(new::today)),
        // By the clock it may be tomorrow already where the log is kept.
        leeway: i64::from(args.today.is_none()),
    };
    let log = records::read(&file.bytes, &options)
        .map_err(|found| Failure::BadScenario(input::render(&file, &found)))?;
    if let Some(path) = &args.against {
        return against(args, path, &file.name, &log, compiled.as_ref());
    }
    let her = her(args, compiled.as_ref(), &log)?;
    let lesson = match study::learn(&log, &her.known, &her.prior) {
        Ok(lesson) => lesson,
        Err(e) => return Err(nothing_left(args, &file.name, &log, &e)?),
    };
    if let Some(path) = &args.rows {
        write_rows(path, &log, &lesson.days.aside, Some(&lesson))?;
    }
    let units: UnitSystem =
        args.units.map(Into::into).or(compiled.as_ref().map(|c| c.names.units)).unwrap_or_default();
    let told = Told {
        name: &her.name,
        breed: &her.breed,
        file: &file.name,
        log: &log,
        lesson: &lesson,
        units,
        all: args.all,
    };
    if let Some(path) = &args.write {
        new::create(path, report::fragment(&told).as_bytes())?;
        output::note(&format!(
            "Written: {}. Paste it in place of her entry under `animals:`.",
            path.display()
        ));
    }
    match args.format {
        LearnFormat::Words => output::page(&report::page(&told))?,
        LearnFormat::Json => {
            output::bytes(&report::json(&told).map_err(|e| Failure::Other(e.to_string()))?)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// What is said where no day is left: how many rows, and why, by kind of reason.
fn nothing_left(args: &LearnArgs, file: &str, log: &Log, e: &NoFit) -> Result<Failure, Failure> {
    let later = match e {
        NoFit::NoDays { aside, .. } => aside.as_slice(),
        _ => &[],
    };
    if let Some(path) = &args.rows {
        write_rows(path, log, later, None)?;
    }
    let mut text = format!("{file}: {e}");
    for line in report::reasons(log, later, args.all) {
        text.push_str("\n  - ");
        text.push_str(&line);
    }
    if !args.all && args.rows.is_none() && log.aside.len() + later.len() > 3 {
        text.push_str("\n--all tells every row, and --rows FILE.csv writes them down.");
    }
    Ok(Failure::BadInput(text))
}

/// What became of every row, as a new file.
fn write_rows(path: &Path, log: &Log, later: &[Aside], lesson: Option<&Lesson>) -> Result<(), Failure> {
    let mut bytes = Vec::new();
    report::row_table(log, later, lesson, &mut bytes).map_err(|e| Failure::Other(e.to_string()))?;
    new::create(path, &bytes)?;
    output::note(&format!("Written: {}, a line for every row of the log.", path.display()));
    Ok(())
}

fn unknown(what: &str, name: &str, all: &[String]) -> Failure {
    let help = match nearest(name.trim(), all.iter().map(String::as_str)) {
        Some(n) => format!("did you mean {n}?"),
        None => format!("there are {}", all.join(", ")),
    };
    Failure::BadInput(format!("there is no {what} called {}; {help}", name.trim()))
}

fn her(args: &LearnArgs, compiled: Option<&Compiled>, log: &Log) -> Result<Her, Failure> {
    let name = args.animal.clone().or_else(|| log.animal.clone());
    if let Some(c) = compiled {
        return of_scenario(args, c, name);
    }
    let Some(breed) = &args.breed else {
        return Err(Failure::BadInput(
            "of which breed is she? Say --breed jersey (springhouse list breeds), or give a scenario with --scenario"
                .into(),
        ));
    };
    let names: Vec<String> = kit::breeds().into_iter().map(|(n, _)| n).collect();
    let breed = names
        .iter()
        .find(|n| n.eq_ignore_ascii_case(breed.trim()))
        .ok_or_else(|| unknown("breed", breed, &names))?;
    let prior = Prior::of_breed(breed).ok_or_else(|| no_curve(breed))?;
    Ok(Her {
        name: name.unwrap_or_else(|| "She".into()),
        breed: breed.clone(),
        prior,
        known: Known { fresh: args.freshened.clone(), number: args.lactation },
    })
}

fn no_curve(breed: &str) -> Failure {
    Failure::Other(format!("the curve of {breed} cannot be learnt from"))
}

/// Whose log it is, among the animals of a scenario: name, plan, and what else is
/// known of her.
fn in_scenario<'a>(
    c: &'a Compiled,
    name: Option<&str>,
) -> Result<(&'a String, &'a AnimalPlan, &'a HerdName), Failure> {
    let names = &c.names.animals;
    let at = match name {
        Some(n) => names
            .iter()
            .position(|a| a.eq_ignore_ascii_case(n.trim()))
            .ok_or_else(|| unknown("animal in this scenario", n, names))?,
        None if names.len() == 1 => 0,
        None if names.is_empty() => return Err(Failure::BadInput("this scenario has no animal".into())),
        None => {
            return Err(Failure::BadInput(format!(
                "whose log is it? Say --animal and one of {}",
                names.join(", ")
            )));
        }
    };
    match (names.get(at), c.plan.animals.get(at), c.names.herd.get(at)) {
        (Some(name), Some(plan), Some(own)) => Ok((name, plan, own)),
        _ => Err(no_curve("this animal")),
    }
}

fn of_scenario(args: &LearnArgs, c: &Compiled, name: Option<String>) -> Result<Her, Failure> {
    let (name, plan, own) = in_scenario(c, name.as_deref())?;
    // Her breed, not what the scenario says of her: that may have been learnt from
    // this very log. Without a preset there is her own curve alone.
    let prior = Prior::of_breed(&own.breed)
        .map(|p| p.milked_like(plan))
        .or_else(|| Prior::of(plan, None, own.usual_days))
        .ok_or_else(|| no_curve(&own.breed))?;
    let mut fresh = args.freshened.clone();
    if fresh.is_empty()
        && let Ok(first) = calendar::read_date(&c.names.first_day)
    {
        fresh.push(calendar::date_of(first, plan.freshens_day.round() as i64));
    }
    let number = Some(args.lactation.unwrap_or(own.lactation));
    Ok(Her { name: name.clone(), breed: own.breed.clone(), prior, known: Known { fresh, number } })
}

/// Keeps score: of the pail as it was, without a breed or a curve.
fn against(
    args: &LearnArgs,
    path: &Path,
    log_name: &str,
    log: &Log,
    compiled: Option<&Compiled>,
) -> Result<ExitCode, Failure> {
    let file = input::read_as(path, input::Kind::Forecast)?;
    let her = match compiled {
        Some(c) => Some(in_scenario(c, args.animal.as_deref().or(log.animal.as_deref()))?),
        None => None,
    };
    let name = args.animal.as_deref().or(log.animal.as_deref()).or(her.map(|h| h.0.as_str()));
    let (forecast, others) = records::read_forecast(&file.bytes, name)
        .map_err(|found| Failure::BadScenario(input::render(&file, &found)))?;
    if forecast.is_empty() {
        let of = name.map_or_else(String::new, |n| format!(" of {n}"));
        return Err(Failure::BadInput(format!(
            "{} has no rows for the milk{of} ({others} rows are of other things)",
            file.name
        )));
    }
    if let Some(path) = &args.rows {
        write_rows(path, log, &[], None)?;
    }
    let found = score(&study::days::pail(log, her.is_some_and(|h| h.1.milkings < 2)), &forecast);
    match args.format {
        LearnFormat::Words => {
            output::page(&report::score_page(name.unwrap_or("She"), log_name, log, &found, args.all))?;
        }
        LearnFormat::Json => output::bytes(
            &report::score_json(name.unwrap_or("She"), log, &found)
                .map_err(|e| Failure::Other(e.to_string()))?,
        )?,
    }
    Ok(ExitCode::SUCCESS)
}
