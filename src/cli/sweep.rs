//! `sweep`: one or two fields over many values, on the same years.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::atomic::{AtomicU32, Ordering};

use clap::ValueEnum;
use serde_json::json;

use super::args::{DEFAULT_SEED, MAX_TRIALS, Units, threads};
use super::folder::Folder;
use super::input::Input;
use super::number::whole;
use super::progress::Progress;
use super::trace::measure;
use super::{Failure, input, interrupt, output, panic};
use crate::report::html;
use crate::report::sweep::{self as telling, Told};
use crate::report::{About, Facts, MANIFEST, Manifest, Span};
use crate::scenario::{Compiled, Draft, FieldPath, Names, Plan, UnitSystem, settings};
use crate::study::measures::Table;
use crate::study::{self, Axis, Stop, StudyError, SweepOptions};

/// Simulated years of each value when neither the file nor an option says.
const DEFAULT_TRIALS: u32 = 1000;
/// Most values, or pairs of values, of one sweep.
const MOST_POINTS: usize = 400;

/// `sweep`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse sweep ours.yaml --vary \"jars.half gallon\" --over \"20 to 60 by 10\"\n  \
                        springhouse sweep ours.yaml --vary \"stores.milk fridge.like\" \\\n    \
                        --over \"mini fridge 3 cu ft; all-fridge 10 cu ft\"\n  \
                        springhouse sweep ours.yaml --vary \"household.people.child 4 to 8\" --over \"0; 3; 5; 7\" \\\n    \
                        --vary \"animals fed.pigs.heads\" --over \"0 to 2 by 1\"\n\n\
                        A field is its keys joined by dots; animals, rules and aims go by their names.\n"
)]
pub struct SweepArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    /// A field to vary, by its keys: "stores.milk fridge.like"; one or two of them
    #[arg(long, value_name = "FIELD", required = true)]
    pub vary: Vec<String>,
    /// Its values: "0; 3; 5", or "10 gal to 40 gal by 5 gal"; one set for each --vary
    #[arg(long, value_name = "VALUES", required = true, allow_hyphen_values = true)]
    pub over: Vec<String>,
    /// Vary this variant of the scenario
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
    /// A measure to show beside the usual ones, a column of trials.csv; may be repeated
    #[arg(long, value_name = "MEASURE")]
    pub measure: Vec<String>,
    /// Simulated years of each value, the same for all
    #[arg(long, value_name = "N", value_parser = whole::<u32>(1..=MAX_TRIALS))]
    pub trials: Option<u32>,
    /// Seed of chance: the same seed gives the same years
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Folder for the files [default: outputs/NAME-OF-THE-SCENARIO-sweep]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Units to show [default: as the scenario says]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// Write each picture of the report as an SVG file too
    #[arg(long)]
    pub svg: bool,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: SweepFormat,
    /// Replace an output folder that this program did not write
    #[arg(long, short)]
    pub force: bool,
    /// No progress, no notes, no warnings
    #[arg(long, short)]
    pub quiet: bool,
    /// Threads [default: all processors]; they change no result
    #[arg(long, value_name = "N", value_parser = whole::<u16>(1..=512))]
    pub threads: Option<u16>,
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum SweepFormat {
    /// Words and tables
    #[default]
    Words,
    /// sweep.json
    Json,
    /// sweep.csv
    Csv,
}

pub fn sweep(args: &SweepArgs) -> Result<ExitCode, Failure> {
    let stop = interrupt::watch();
    input::hush(args.quiet);
    let input = input::read(&args.scenario)?;
    let base = input::compile_as(&input, args.variant.as_deref())?;
    let draft = input::draft(&input)?;
    let axes = axes(args, &draft)?;
    let measures = args.measure.iter().map(|m| column(m, &base)).collect::<Result<Vec<_>, _>>()?;
    let points = points(args, &input, &draft, &axes)?;
    let what = args.variant.as_ref().map_or_else(|| "sweep".to_owned(), |v| format!("{v} sweep"));
    let target = args.out.clone().unwrap_or_else(|| output::folder_for(&input.stem, Some(&what)));
    let folder = Folder::prepare(&target, args.force, &args.scenario)?;
    let seed = args.seed.or(base.seed).unwrap_or(DEFAULT_SEED);
    if !args.quiet {
        input::tell_warnings(&input, &base.warnings);
        if args.seed.is_none() && base.seed.is_none() {
            output::note_default_seed();
        }
    }

    let options = SweepOptions {
        trials: args.trials.or(base.trials).unwrap_or(DEFAULT_TRIALS),
        seed,
        threads: Some(threads(args.threads)),
    };
    let found = simulate(args, &input, &base, axes, &points, &options, &stop)?;
    let facts = Facts::of(&base.plan, &base.names);
    let told = Told {
        sweep: &found,
        names: &base.names,
        facts: &facts,
        variant: args.variant.as_deref(),
        units: args.units.map_or(base.names.units, Into::into),
        file: &input.name,
        sha256: &base.sha256,
        measures: &measures,
    };
    if found.broken_off {
        output::page(&telling::page(&told))?;
        return Err(Failure::Other(format!(
            "stopped after {} of {} values; nothing was written",
            found.points.len(),
            points.len()
        )));
    }
    let written = write(folder, &told, &manifest(args, &base, &told, &input, &options), args.svg);
    let printed = match args.format {
        SweepFormat::Words => output::page(&telling::page(&told)),
        SweepFormat::Csv => output::written(|out| telling::csv(&told, out)),
        SweepFormat::Json => telling::json(&told)
            .map_err(|e| Failure::Other(e.to_string()))
            .and_then(|bytes| output::bytes(&bytes)),
    };
    written?;
    printed?;
    if !args.quiet {
        output::note(&format!("Files: {}", target.display()));
    }
    Ok(ExitCode::SUCCESS)
}

/// The fields and their values.
fn axes(args: &SweepArgs, draft: &Draft) -> Result<Vec<Axis>, Failure> {
    if args.vary.len() != args.over.len() {
        return Err(Failure::BadInput(format!(
            "--vary is given {} and --over {}; write one --over for each --vary",
            times(args.vary.len()),
            times(args.over.len())
        )));
    }
    if args.vary.len() > 2 {
        return Err(Failure::BadInput("at most two fields can be varied at once".into()));
    }
    let mut axes: Vec<Axis> = Vec::new();
    for (path, over) in args.vary.iter().zip(&args.over) {
        let field = draft
            .field(args.variant.as_deref(), &FieldPath::from(path.as_str()))
            .map_err(|d| input::said(&d))?;
        let values = settings(&field, over).map_err(|d| input::said(&d))?;
        if axes.iter().any(|a| a.path == field.path.as_str()) {
            return Err(Failure::BadInput(format!("`{}` is varied twice", field.path)));
        }
        axes.push(Axis { path: field.path.to_string(), now: field.now, frugal: field.frugal, values });
    }
    let count: usize = axes.iter().map(|a| a.values.len()).product();
    if count > MOST_POINTS {
        return Err(Failure::BadInput(format!(
            "{count} pairs of values are too many; at most {MOST_POINTS} can be tried at once"
        )));
    }
    Ok(axes)
}

fn times(n: usize) -> String {
    match n {
        1 => "once".into(),
        2 => "twice".into(),
        n => format!("{n} times"),
    }
}

/// The name of a measure's column.
fn column(name: &str, compiled: &Compiled) -> Result<String, Failure> {
    let table = Table::new(&compiled.plan, &compiled.names);
    let key = measure(name, compiled)?;
    Ok(table.column(key).and_then(|c| table.names.get(c)).cloned().unwrap_or_default())
}

/// Every combination of values, compiled; all must be sound before any is run.
fn points(
    args: &SweepArgs,
    input: &Input,
    draft: &Draft,
    axes: &[Axis],
) -> Result<Vec<(Plan, Names)>, Failure> {
    let mut all: Vec<Vec<(FieldPath, String)>> = vec![Vec::new()];
    for axis in axes {
        let with = |some: &Vec<(FieldPath, String)>, text: &str| {
            let mut more = some.clone();
            more.push((FieldPath::from(axis.path.as_str()), text.to_owned()));
            more
        };
        all = all.iter().flat_map(|some| axis.values.iter().map(move |v| with(some, &v.text))).collect();
    }
    let compile = |values: &Vec<(FieldPath, String)>| {
        let point = draft.with(args.variant.as_deref(), values);
        let point = point.map_err(|found| Failure::BadScenario(input::render(input, &found)))?;
        Ok((point.plan, point.names))
    };
    all.iter().map(compile).collect()
}

fn simulate(
    args: &SweepArgs,
    input: &Input,
    base: &Compiled,
    axes: Vec<Axis>,
    points: &[(Plan, Names)],
    options: &SweepOptions,
    stop: &Stop,
) -> Result<study::Sweep, Failure> {
    panic::context(format!("the scenario {} and seed {}", input.name, options.seed));
    let days = u32::try_from(base.plan.days.len()).unwrap_or(u32::MAX);
    let span = Span::new(&base.names.first_day, days);
    let progress = Progress::new(args.quiet, span.many());
    let done = AtomicU32::new(0);
    let tell = |now: u32, all: u32| {
        done.fetch_max(now, Ordering::Relaxed);
        progress.tell(now, all);
    };
    let found = study::sweep(axes, points, options, stop, &tell);
    progress.finish();
    found.map_err(|e| match e {
        StudyError::Stopped => Failure::Other(format!(
            "stopped after {} of {} values; nothing was written",
            done.load(Ordering::Relaxed) / options.trials.max(1),
            points.len()
        )),
        e => Failure::Other(e.to_string()),
    })
}

fn write(folder: Folder, told: &Told, manifest: &Manifest, svg: bool) -> Result<(), Failure> {
    let mut writing = folder.begin()?;
    let json = telling::json(told).map_err(|e| Failure::Other(e.to_string()))?;
    writing.file(telling::FILES[0], |out| Ok(out.write_all(&json)?))?;
    writing.file(telling::FILES[1], |out| telling::csv(told, out))?;
    let about = About {
        file: told.file,
        title: &told.names.title,
        sha256: told.sha256,
        seed: told.sweep.seed,
        trials: told.sweep.trials,
        days: told.sweep.days,
    };
    let draw = |fit| telling::pictures(told, fit);
    writing.page(&html::choice(&telling::page(told), &draw, &about, &manifest.command))?;
    writing.pictures(html::choice_files(&draw), svg)?;
    let bytes = manifest.bytes_about(&about, writing.hashes()).map_err(|e| Failure::Other(e.to_string()))?;
    writing.file(MANIFEST, |out| Ok(out.write_all(&bytes)?))?;
    writing.finish()
}

fn manifest(
    args: &SweepArgs,
    base: &Compiled,
    told: &Told,
    input: &Input,
    options: &SweepOptions,
) -> Manifest {
    let quoted = output::quoted;
    let mut command = format!("springhouse sweep {}", input.as_given());
    for (axis, over) in told.sweep.axes.iter().zip(&args.over) {
        command.push_str(&format!(" --vary {} --over {}", quoted(&axis.path), quoted(over)));
    }
    if let Some(name) = &args.variant {
        command.push_str(&format!(" --variant {}", quoted(name)));
    }
    for name in told.measures {
        command.push_str(&format!(" --measure {}", quoted(name)));
    }
    let units = match told.units {
        UnitSystem::Us => "us",
        UnitSystem::Metric => "metric",
    };
    command.push_str(&format!(" --trials {} --seed {} --units {units}", options.trials, options.seed));
    if args.svg {
        command.push_str(" --svg");
    }
    let from = |option: bool, scenario: bool| match (option, scenario) {
        (true, _) => "option",
        (false, true) => "scenario",
        (false, false) => "default",
    };
    Manifest {
        command,
        threads: options.threads.unwrap_or(1),
        options: vec![
            ("vary", json!(told.sweep.axes.iter().map(|a| &a.path).collect::<Vec<_>>()), "option"),
            ("over", json!(args.over), "option"),
            ("variant", json!(args.variant), from(args.variant.is_some(), false)),
            ("measures", json!(told.measures), from(!told.measures.is_empty(), false)),
            ("trials", json!(options.trials), from(args.trials.is_some(), base.trials.is_some())),
            ("seed", json!(options.seed), from(args.seed.is_some(), base.seed.is_some())),
            ("units", json!(units), from(args.units.is_some(), true)),
        ],
    }
}
