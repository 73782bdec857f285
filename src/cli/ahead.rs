//! `ahead`: the coming weeks, day by day.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::ValueEnum;

use super::args::{DEFAULT_SEED, MAX_TRIALS, Units, threads};
use super::number::whole;
use super::progress::Progress;
use super::{Failure, input, new, output, panic};
use crate::calendar;
use crate::report::ReportError;
use crate::report::ahead as telling;
use crate::study::ahead::{self, AheadOptions};

/// Futures when neither the file nor an option says how many.
const DEFAULT_TRIALS: u32 = 500;

/// `ahead`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse ahead ours.yaml                         the coming two weeks\n  \
                        springhouse ahead ours.yaml --from 2027-09-01 --stock stock.csv --weeks 4\n  \
                        springhouse ahead ours.yaml --ics milk.ics --sheet door.html --forecast pail.csv\n\n\
                        With --stock, --from is the day after the count, and the run begins there.\n"
)]
pub struct AheadArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    /// How many weeks
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = whole::<u32>(1..=4))]
    pub weeks: u32,
    /// First day, such as 2027-09-01, or `today` [default: the first day of the scenario]
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    #[command(flatten)]
    pub stock: input::StockArgs,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: AheadFormat,
    /// Write a calendar file (iCalendar)
    #[arg(long, value_name = "FILE.ics")]
    pub ics: Option<PathBuf>,
    /// Write a sheet to print and hang up
    #[arg(long, value_name = "FILE.html")]
    pub sheet: Option<PathBuf>,
    /// Write what is expected in the pail, to be compared with what comes
    #[arg(long, value_name = "FILE.csv")]
    pub forecast: Option<PathBuf>,
    /// Simulated futures
    #[arg(long, value_name = "N", value_parser = whole::<u32>(1..=MAX_TRIALS))]
    pub trials: Option<u32>,
    /// Seed of chance: the same seed gives the same futures
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Units to show [default: as the scenario says]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// No progress, no notes, no warnings
    #[arg(long, short)]
    pub quiet: bool,
    /// Threads [default: all processors]; they change no result
    #[arg(long, value_name = "N", value_parser = whole::<u16>(1..=512))]
    pub threads: Option<u16>,
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum AheadFormat {
    /// Words, day by day
    #[default]
    Words,
    /// A row a thing of a day
    Csv,
    /// The days with their ranges and chances
    Json,
}

pub fn ahead(args: &AheadArgs) -> Result<ExitCode, Failure> {
    outputs(args)?;
    input::hush(args.quiet);
    let input = input::read_with(&args.scenario, &args.stock)?;
    let from = match &args.from {
        None => None,
        Some(t) if t.trim().eq_ignore_ascii_case("today") => Some(new::today()),
        Some(t) => {
            Some(calendar::read_date(t.trim()).map_err(|e| Failure::BadInput(format!("--from {t}: {e}")))?)
        }
    };
    // What was counted on a day is where the run begins.
    let starts = from.filter(|_| args.stock.stock.is_some());
    let compiled = input::compile_from(&input, starts)?;
    let first = calendar::read_date(&compiled.names.first_day).map_err(|e| Failure::Other(e.to_string()))?;
    let all = compiled.plan.days.len();
    let from = from.map_or(0, |date| calendar::days_between(first, date));
    let from = usize::try_from(from).ok().filter(|d| *d < all).ok_or_else(|| {
        let last = calendar::date_of(first, all as i64 - 1);
        Failure::BadInput(format!(
            "--from {} lies outside the simulated time: {first} to {last}",
            args.from.as_deref().unwrap_or_default().trim()
        ))
    })?;
    if !args.quiet {
        input::tell_warnings(&input, &compiled.warnings);
        if args.from.is_none() {
            output::note(&format!(
                "Told from the scenario's first day on, {}; --from DATE or --from today begins elsewhere.",
                calendar::show(first)
            ));
        }
        if all - from < 7 * args.weeks as usize {
            output::note(&format!(
                "The scenario ends {} days from then; that is all there is to tell.",
                all - from
            ));
        }
    }
    let seed = args.seed.or(compiled.seed).unwrap_or(DEFAULT_SEED);
    panic::context(format!("the scenario {} and seed {seed}", input.name));
    let progress = Progress::new(args.quiet, "futures");
    let options = AheadOptions {
        from: from as u32,
        days: 7 * args.weeks,
        trials: args.trials.unwrap_or(DEFAULT_TRIALS),
        seed,
        threads: Some(threads(args.threads)),
    };
    let found =
        ahead::ahead(&compiled.plan, &compiled.names, &options, &|done, all| progress.tell(done, all));
    progress.finish();
    let found = found.map_err(|e| Failure::Other(e.to_string()))?;
    let told = telling::Told {
        ahead: &found,
        plan: &compiled.plan,
        names: &compiled.names,
        units: args.units.map_or(compiled.names.units, Into::into),
        file: &input.name,
        sha256: &compiled.sha256,
    };
    let written = write(args, &told);
    match args.format {
        AheadFormat::Words => output::page(&telling::page(&told))?,
        AheadFormat::Csv => output::written(|out| telling::csv(&told, out))?,
        AheadFormat::Json => {
            output::bytes(&telling::json(&told).map_err(|e| Failure::Other(e.to_string()))?)?;
        }
    }
    written?;
    Ok(ExitCode::SUCCESS)
}

/// No two outputs in one file, and none over what is read.
fn outputs(args: &AheadArgs) -> Result<(), Failure> {
    let out: Vec<&PathBuf> = [&args.ics, &args.sheet, &args.forecast].into_iter().flatten().collect();
    for (i, path) in out.iter().enumerate() {
        let same = |other: &Path| {
            path.as_path() == other
                || std::fs::canonicalize(path)
                    .ok()
                    .zip(std::fs::canonicalize(other).ok())
                    .is_some_and(|(a, b)| a == b)
        };
        let read = args.stock.stock.as_deref().is_some_and(same) || same(&args.scenario);
        if read || out[..i].iter().any(|o| same(o)) {
            return Err(Failure::BadInput(format!(
                "{} would be written over; give each file a name of its own",
                path.display()
            )));
        }
        may_be_written(path)?;
    }
    Ok(())
}

/// Looked at before the work, so that no report comes before the error.
fn may_be_written(path: &Path) -> Result<(), Failure> {
    let shown = path.display();
    if path.is_dir() {
        return Err(Failure::Other(format!("{shown} is a folder; name a file in it")));
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        return Err(Failure::Other(format!(
            "{shown} cannot be written: there is no folder {}; make it first",
            folder.display()
        )));
    }
    // Made and removed at once.
    beside(path).map(drop).map_err(|e| cannot_write(path, &e))
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The name of the file that was to be made beside it says nothing to the user.
fn cannot_write(path: &Path, e: &std::io::Error) -> Failure {
    Failure::Other(format!("cannot write {}: {}", path.display(), e.kind()))
}

/// A new file beside this one, removed when dropped.
fn beside(path: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".springhouse-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As that of the file it replaces, or like any file the user makes; the
        // umask takes its part.
        let mode = std::fs::metadata(path).map_or(0o666, |m| m.permissions().mode() & 0o777);
        builder.permissions(std::fs::Permissions::from_mode(mode));
    }
    builder.tempfile_in(folder_of(path))
}

fn write(args: &AheadArgs, told: &telling::Told) -> Result<(), Failure> {
    let mut done = Vec::new();
    let mut text = |path: &Option<PathBuf>, bytes: &dyn Fn() -> Result<Vec<u8>, ReportError>| {
        let Some(path) = path else { return Ok(()) };
        let bytes = bytes().map_err(|e| Failure::Other(e.to_string()))?;
        write_whole(path, &bytes)?;
        done.push(path.display().to_string());
        Ok::<(), Failure>(())
    };
    text(&args.ics, &|| Ok(telling::calendar(told).into_bytes()))?;
    text(&args.sheet, &|| Ok(telling::sheet(told).into_bytes()))?;
    text(&args.forecast, &|| {
        let mut bytes = Vec::new();
        telling::forecast(told, &mut bytes)?;
        Ok(bytes)
    })?;
    if !args.quiet && !done.is_empty() {
        output::note(&format!("Files: {}", done.join(", ")));
    }
    Ok(())
}

/// Writes a file whole or not at all: beside its place, then renamed.
fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let cannot = |e: std::io::Error| cannot_write(path, &e);
    let mut file = beside(path).map_err(cannot)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(cannot)?;
    file.persist(path).map_err(|e| cannot(e.error))?;
    Ok(())
}
