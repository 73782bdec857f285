//! `trace`: one simulated year, day by day.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::ValueEnum;

use super::args::{DEFAULT_SEED, MAX_TRIALS, Units, threads};
use super::number::whole;
use super::progress::Progress;
use super::{Failure, input, output, panic};
use crate::calendar;
use crate::diagnostics::nearest;
use crate::report::{Facts, Span, trace as telling};
use crate::scenario::{Compiled, aim_measure};
use crate::study::measures::{MeasureKey, Table};
use crate::study::trace::{self, Choice, TraceOptions};

/// Simulated years to choose from when neither the file nor an option says.
const DEFAULT_TRIALS: u32 = 1000;

/// `trace`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse trace ours.yaml                        the middle year by what was wasted\n  \
                        springhouse trace ours.yaml --worst waste\n  \
                        springhouse trace ours.yaml --number 17 --from 2027-05-01 --until 2027-05-31\n\n\
                        Measures are those of aims (waste, milk on the table, butter) and the columns of\n\
                        trials.csv, which `run` writes.\n"
)]
pub struct TraceArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    /// A variant of the scenario, by its name
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
    /// The simulated year of this number, counted from 0 as in trials.csv
    #[arg(long, value_name = "N", group = "which", value_parser = whole::<u32>(0..=MAX_TRIALS - 1))]
    pub number: Option<u32>,
    /// The one in the middle of a measure [default: wasted_part]
    #[arg(long, value_name = "MEASURE", group = "which")]
    pub middle: Option<String>,
    /// The worst by a measure: most waste, least milk
    #[arg(long, value_name = "MEASURE", group = "which")]
    pub worst: Option<String>,
    /// The average year, no chance anywhere
    #[arg(long, group = "which", conflicts_with = "seed")]
    pub steady: bool,
    /// From this day on: a date, or a day counted from 0 as in days.csv
    #[arg(long, value_name = "DAY")]
    pub from: Option<String>,
    /// Until this day, itself included
    #[arg(long, value_name = "DAY")]
    pub until: Option<String>,
    /// Simulated years to choose from
    #[arg(long, value_name = "N", conflicts_with_all = ["number", "steady"],
          value_parser = whole::<u32>(1..=MAX_TRIALS))]
    pub trials: Option<u32>,
    /// Seed of chance: the same seed gives the same years
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Units to show [default: as the scenario says]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: TraceFormat,
    #[command(flatten)]
    pub stock: input::StockArgs,
    /// No progress, no notes, no warnings
    #[arg(long, short)]
    pub quiet: bool,
    /// Threads [default: all processors]; they change no result
    #[arg(long, value_name = "N", value_parser = whole::<u16>(1..=512))]
    pub threads: Option<u16>,
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum TraceFormat {
    /// Words, day by day
    #[default]
    Words,
    /// A row an event
    Csv,
    /// The days with their events
    Json,
}

pub fn trace(args: &TraceArgs) -> Result<ExitCode, Failure> {
    input::hush(args.quiet);
    let input = input::read_with(&args.scenario, &args.stock)?;
    let compiled = input::compile_as(&input, args.variant.as_deref())?;
    let choice = choice(args, &compiled)?;
    let days = days(args, &compiled)?;
    if !args.quiet {
        input::tell_warnings(&input, &compiled.warnings);
    }
    let seed = args.seed.or(compiled.seed).unwrap_or(DEFAULT_SEED);
    panic::context(format!("the scenario {} and seed {seed}", input.name));
    let length = u32::try_from(compiled.plan.days.len()).unwrap_or(u32::MAX);
    let span = Span::new(&compiled.names.first_day, length);
    let progress = Progress::new(args.quiet, span.many());
    let options = TraceOptions {
        choice,
        trials: args.trials.or(compiled.trials).unwrap_or(DEFAULT_TRIALS),
        seed,
        threads: Some(threads(args.threads)),
    };
    let found =
        trace::trace(&compiled.plan, &compiled.names, &options, &|done, all| progress.tell(done, all));
    progress.finish();
    let found = found.map_err(|e| Failure::Other(e.to_string()))?;
    let facts = Facts::of(&compiled.plan, &compiled.names);
    let told = telling::Told {
        trace: &found,
        plan: &compiled.plan,
        names: &compiled.names,
        facts: &facts,
        units: args.units.map_or(compiled.names.units, Into::into),
        file: &input.name,
        sha256: &compiled.sha256,
        days,
    };
    match args.format {
        TraceFormat::Words => output::page(&telling::page(&told))?,
        TraceFormat::Csv => output::written(|out| telling::csv(&told, out))?,
        TraceFormat::Json => {
            let bytes = telling::json(&told).map_err(|e| Failure::Other(e.to_string()))?;
            output::bytes(&bytes)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn choice(args: &TraceArgs, compiled: &Compiled) -> Result<Choice, Failure> {
    Ok(match (&args.number, &args.middle, &args.worst) {
        _ if args.steady => Choice::Steady,
        (Some(n), _, _) => Choice::Number(*n),
        (_, _, Some(m)) => Choice::Worst(measure(m, compiled)?),
        (_, Some(m), _) => Choice::Middle(measure(m, compiled)?),
        _ => Choice::Middle(MeasureKey::WastedPart),
    })
}

/// A measure by the name of its column (spaces and hyphens will do), or as aims
/// call it: `waste`, `butter`.
pub(super) fn measure(name: &str, compiled: &Compiled) -> Result<MeasureKey, Failure> {
    let table = Table::new(&compiled.plan, &compiled.names);
    let word = name.trim().to_lowercase().replace([' ', '-'], "_");
    if let Some((key, _)) = table.keys.iter().zip(&table.names).find(|(_, n)| **n == word) {
        return Ok(*key);
    }
    let of_aim = |word: &str| aim_measure(word, &compiled.names.wishes);
    let of_aim = of_aim(name.trim()).or_else(|| of_aim(&word.replace('_', " ")));
    if let Some(key) = of_aim.map(MeasureKey::of_aim).filter(|key| table.column(*key).is_some()) {
        return Ok(key);
    }
    let near = nearest(&word, table.names.iter().map(String::as_str));
    let help = match near {
        Some(n) => format!("did you mean {n}?"),
        None => {
            "there are wasted_part, milk_short_days, days_over_full and all other columns of trials.csv, which \
             `springhouse run` writes"
                .to_string()
        }
    };
    Err(Failure::BadInput(format!("there is no measure called {}; {help}", name.trim())))
}

/// The days to tell.
fn days(args: &TraceArgs, compiled: &Compiled) -> Result<std::ops::RangeInclusive<u32>, Failure> {
    let last = u32::try_from(compiled.plan.days.len()).unwrap_or(u32::MAX).saturating_sub(1);
    let read = |option: &str, text: &Option<String>, default: u32| match text {
        None => Ok(default),
        Some(t) => day(option, t, compiled, last),
    };
    let (from, until) = (read("--from", &args.from, 0)?, read("--until", &args.until, last)?);
    if from > until {
        return Err(Failure::BadInput(format!(
            "--from ({}) lies after --until ({})",
            args.from.as_deref().unwrap_or("the first day").trim(),
            args.until.as_deref().unwrap_or("the last day").trim()
        )));
    }
    Ok(from..=until)
}

/// A day of the run, by its date or its number from 0.
fn day(option: &str, text: &str, compiled: &Compiled, last: u32) -> Result<u32, Failure> {
    let text = text.trim();
    let first = calendar::read_date(&compiled.names.first_day).map_err(|e| Failure::Other(e.to_string()))?;
    let number = match text.parse::<i64>() {
        Ok(n) => n,
        Err(_) => {
            let date = calendar::read_date(text)
                .map_err(|e| Failure::BadInput(format!("{option} {text}: {e}, or a day counted from 0")))?;
            calendar::days_between(first, date)
        }
    };
    u32::try_from(number).ok().filter(|n| *n <= last).ok_or_else(|| {
        let ends = calendar::date_of(first, i64::from(last));
        Failure::BadInput(format!(
            "{option} {text} lies outside the simulated time: {first} to {ends}, or days 0 to {last}"
        ))
    })
}
