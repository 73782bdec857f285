//! `run`: many simulated years, and what they say.

use std::process::ExitCode;

use serde_json::json;

use super::args::{DEFAULT_SEED, Format, MAX_TRIALS, RunArgs, threads};
use super::folder::Folder;
use super::input::Input;
use super::progress::Progress;
use super::{Failure, codes, input, output, panic};
use crate::report::html::{self, Home};
use crate::report::{self, Facts, Manifest, Span, Subject};
use crate::scenario::{Compiled, UnitSystem};
use crate::study::{self, results::RunResult};

/// Simulated years when neither the file nor an option says how many.
const DEFAULT_TRIALS: u32 = 1000;
/// How to see the rest, as the end of a sentence.
const REST: &str = "run it again with --all";

pub fn run(args: &RunArgs) -> Result<ExitCode, Failure> {
    input::hush(args.quiet);
    let input = input::read_with(&args.scenario, &args.stock)?;
    let compiled = input::compile_as(&input, args.variant.as_deref())?;
    let options = Options::new(args, &compiled);
    let target = args.out.clone().unwrap_or_else(|| output::folder_for(&input.stem, args.variant.as_deref()));
    let folder = Folder::prepare(&target, args.force, &args.scenario)?;
    if !args.quiet {
        input::tell_warnings(&input, &compiled.warnings);
        if options.seed.1 == "default" && !args.steady {
            output::note_default_seed();
        }
    }

    let result = simulate(args, &input, &compiled, &options)?;
    let facts = Facts::of(&compiled.plan, &compiled.names);
    let subject = Subject {
        result: &result,
        names: &compiled.names,
        facts: &facts,
        units: options.units.0,
        file: &input.name,
        sha256: &compiled.sha256,
    };
    // Each is tried whatever becomes of the other: a reader of the words who
    // leaves early costs no files, a full disk costs no words.
    let home = Home::of(&compiled.plan, &compiled.names, options.units.0);
    let written = write(folder, &subject, &home, args.svg, &options.manifest(args, &input.name));
    let printed = match args.format {
        Format::Json => output::written(|out| report::write_file(&subject, report::FILES[0], out)),
        Format::Words if args.all => output::page(&report::page(&subject)),
        Format::Words => output::page(&report::first_page(&subject, REST)),
    };
    written?;
    printed?;
    if !args.quiet {
        output::note(&format!("Files: {}", target.display()));
    }
    Ok(verdict(args, &result))
}

fn write(
    folder: Folder,
    subject: &Subject,
    home: &Home,
    svg: bool,
    manifest: &Manifest,
) -> Result<(), Failure> {
    let mut writing = folder.begin()?;
    for name in report::FILES {
        writing.file(name, |out| report::write_file(subject, name, out))?;
    }
    writing.page(&html::report(subject, home, &manifest.command))?;
    writing.pictures(if svg { html::files(subject, home) } else { vec![] }, svg)?;
    let bytes = manifest.bytes(subject, writing.hashes()).map_err(|e| Failure::Other(e.to_string()))?;
    writing.file(report::MANIFEST, |out| Ok(out.write_all(&bytes)?))?;
    writing.finish()
}

fn simulate(args: &RunArgs, input: &Input, compiled: &Compiled, o: &Options) -> Result<RunResult, Failure> {
    panic::context(format!("the scenario {} and seed {}", input.name, o.seed.0));
    let span =
        Span::new(&compiled.names.first_day, u32::try_from(compiled.plan.days.len()).unwrap_or(u32::MAX));
    let progress = Progress::new(args.quiet, span.many());
    let options = study::RunOptions {
        trials: o.trials.0,
        seed: o.seed.0,
        threads: Some(o.threads),
        steady: args.steady,
        precision: args.precise,
        bands: true,
        remedies: !args.no_remedies && !args.steady,
    };
    let result =
        study::run(&compiled.plan, &compiled.names, &options, &|done, total| progress.tell(done, total));
    progress.finish();
    result.map_err(|e| Failure::Other(e.to_string()))
}

/// A run that misses its aims is a good run, unless `--strict` says otherwise.
fn verdict(args: &RunArgs, result: &RunResult) -> ExitCode {
    let kept = result.aims.iter().all(|a| a.met && (a.sure || result.steady));
    if args.strict && !kept {
        if !args.quiet {
            output::note("Not every aim is surely kept, and --strict was asked for: exit code 1.");
        }
        return ExitCode::from(codes::OTHER);
    }
    ExitCode::SUCCESS
}

/// Effective options and where each came from.
struct Options {
    trials: (u32, &'static str),
    seed: (u64, &'static str),
    units: (UnitSystem, &'static str),
    threads: usize,
}

impl Options {
    fn new(args: &RunArgs, compiled: &Compiled) -> Self {
        let pick = |option: Option<u32>, scenario: Option<u32>, default: u32| match (option, scenario) {
            (Some(x), _) => (x, "option"),
            (None, Some(x)) => (x, "scenario"),
            (None, None) => (default, "default"),
        };
        // With a precision goal the number of years is only the most there may be.
        let default = if args.precise.is_some() {
            u32::try_from(MAX_TRIALS).unwrap_or(u32::MAX)
        } else {
            DEFAULT_TRIALS
        };
        let trials = if args.steady { (1, "option") } else { pick(args.trials, compiled.trials, default) };
        let seed = match (args.seed, compiled.seed) {
            (Some(x), _) => (x, "option"),
            (None, Some(x)) => (x, "scenario"),
            (None, None) => (DEFAULT_SEED, "default"),
        };
        let units = args.units.map_or((compiled.names.units, "scenario"), |u| (u.into(), "option"));
        let threads = threads(args.threads);
        Self { trials, seed, units, threads }
    }

    fn manifest(&self, args: &RunArgs, file: &str) -> Manifest {
        let units = match self.units.0 {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        };
        let mut command = format!("springhouse run {}", output::quoted(file));
        if let Some(name) = &args.variant {
            command.push_str(&format!(" --variant {}", output::quoted(name)));
        }
        if args.steady {
            command.push_str(" --steady");
        } else {
            command.push_str(&format!(" --trials {} --seed {}", self.trials.0, self.seed.0));
        }
        if let Some(p) = args.precise {
            command.push_str(&format!(" --precise {p}"));
        }
        if let Some(name) = args.stock.stock.as_deref().and_then(std::path::Path::file_name) {
            command.push_str(&format!(" --stock '{}'", name.to_string_lossy().replace('\'', "'\\''")));
        }
        if args.no_remedies {
            command.push_str(" --no-remedies");
        }
        command.push_str(&format!(" --units {units}"));
        let given = |is: bool| if is { "option" } else { "default" };
        Manifest {
            command,
            threads: self.threads,
            options: vec![
                ("trials", json!(self.trials.0), self.trials.1),
                ("seed", json!(self.seed.0), self.seed.1),
                ("units", json!(units), self.units.1),
                ("variant", json!(args.variant), given(args.variant.is_some())),
                ("steady", json!(args.steady), given(args.steady)),
                ("precise", json!(args.precise), given(args.precise.is_some())),
                ("remedies", json!(!args.no_remedies && !args.steady), given(args.no_remedies)),
            ],
        }
    }
}
