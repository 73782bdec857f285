//! `compare`: choices side by side, on the same luck.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::args::{DEFAULT_SEED, Format, MAX_TRIALS, Units, threads};
use super::folder::Folder;
use super::input::Input;
use super::number::whole;
use super::progress::Progress;
use super::{Failure, input, interrupt, output, panic, trace};
use crate::diagnostics::Diagnostic;
use crate::report::compare::{self as telling, FILES, Origin, Told};
use crate::report::html;
use crate::report::{About, MANIFEST, Manifest, Span};
use crate::scenario::{Compiled, Draft, UnitSystem};
use crate::study::compare::{self, AIMS_KEPT, Choice, CompareOptions, Comparison, Goal};
use crate::study::measures::Table;
use crate::study::{Stop, StudyError};

/// Simulated years when neither the file nor an option says how many.
const DEFAULT_TRIALS: u32 = 1000;
/// What the base is called where its variants are compared.
const AS_IT_IS: &str = "the plan as it is";

/// `compare`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse compare ours.yaml                       its variants against the plan as it is\n  \
                  springhouse compare ours.yaml --variant 'barn fridge' --variant 'no calf'\n  \
                  springhouse compare ours.yaml two-cows.yaml         two files; the first is the base\n  \
                  springhouse compare ours.yaml --best wasted_part    which wastes least\n  \
                  springhouse compare ours.yaml --best aims           which keeps most of the aims\n  \
                  springhouse compare ours.yaml --measure value --matters hands_used=5 --matters wasted_part=0.5%\n\n\
                  Measures are the columns of trials.csv, which `run` writes. Only the choice differs: each\n\
                  simulated year has the same luck in all of them. All must begin on the same day and last as long.\n"
)]
pub struct CompareArgs {
    /// The scenario, whose variants are compared; or several, the base first; - reads standard input
    #[arg(required = true, value_name = "SCENARIO")]
    pub scenarios: Vec<PathBuf>,
    /// This variant of the scenario; may be given several times [default: all]
    #[arg(long = "variant", value_name = "NAME")]
    pub variants: Vec<String>,
    /// Simulated years of each
    #[arg(long, value_name = "N", value_parser = whole::<u32>(1..=MAX_TRIALS))]
    pub trials: Option<u32>,
    /// Seed of chance: the same seed gives the same years
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Compare this measure, and what the aims speak of; may be given several times [default: all]
    #[arg(long = "measure", value_name = "MEASURE")]
    pub measures: Vec<String>,
    /// What matters of a measure, in its unit in the files: hands_used=5 or wasted_part=0.5%
    #[arg(long = "matters", value_name = "MEASURE=AMOUNT")]
    pub matters: Vec<String>,
    /// Find the best by this measure, or by `aims`: the part of them that is kept
    #[arg(long, value_name = "MEASURE")]
    pub best: Option<String>,
    /// Folder for the files [default: outputs/NAME-OF-THE-BASE-compare]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Units to show [default: as the base says]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// Write each picture of the report as an SVG file too
    #[arg(long)]
    pub svg: bool,
    /// What to print: words and tables, or compare.json
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
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

/// One that is compared, with where it came from.
struct Side {
    compiled: Compiled,
    origin: Origin,
}

pub fn compare(args: &CompareArgs) -> Result<ExitCode, Failure> {
    let stop = interrupt::watch();
    let inputs = read(args)?;
    let sides = sides(&inputs, args)?;
    let Some((base, others)) = sides.split_first() else {
        return Err(Failure::BadInput(StudyError::NothingToCompare.to_string()));
    };
    let options = options(args, base)?;
    let choices: Vec<Choice> = others.iter().map(Side::choice).collect();
    compare::check(&base.choice(), &choices, &options).map_err(refused)?;
    let stem = inputs.first().map_or("scenario", |i| i.stem.as_str());
    let target = args.out.clone().unwrap_or_else(|| output::folder_for(stem, Some("compare")));
    let folder = prepare(args, &target)?;
    if !args.quiet && args.seed.is_none() && base.compiled.seed.is_none() {
        output::note_default_seed();
    }
    let found = simulate(args, base, &choices, &options, &stop)?;
    let units = args.units.map_or(base.compiled.names.units, Into::into);
    let origins: Vec<Origin> = sides.iter().map(|s| s.origin.clone()).collect();
    let told = Told {
        found: &found,
        names: &base.compiled.names,
        cautions: telling::cautions(sides.iter().map(|s| &s.compiled.names)),
        units,
        origins: &origins,
        chosen: !args.measures.is_empty(),
    };
    if found.broken_off {
        output::page(&telling::page(&told))?;
        return Err(Failure::Other(format!(
            "stopped after {} of {} choices; nothing was written",
            found.choices.len(),
            choices.len()
        )));
    }
    let written = write(folder, &told, &manifest(args, &options, &inputs, &sides, units), args.svg);
    let printed = match args.format {
        Format::Json => output::written(|out| telling::write_file(&told, FILES[0], out)),
        Format::Words => output::page(&telling::page(&told)),
    };
    written?;
    printed?;
    if !args.quiet {
        output::note(&format!("Files: {}", target.display()));
    }
    Ok(ExitCode::SUCCESS)
}

impl Side {
    fn choice(&self) -> Choice<'_> {
        Choice { name: &self.origin.name, plan: &self.compiled.plan, names: &self.compiled.names }
    }
}

fn read(args: &CompareArgs) -> Result<Vec<Input>, Failure> {
    if args.scenarios.iter().filter(|p| p.as_os_str() == "-").count() > 1 {
        return Err(Failure::BadInput("standard input (-) can be read once only".into()));
    }
    input::hush(args.quiet);
    args.scenarios.iter().map(|p| input::read(p)).collect()
}

/// What is compared, the base first: one file and its variants, or several.
fn sides(inputs: &[Input], args: &CompareArgs) -> Result<Vec<Side>, Failure> {
    if let [only] = inputs {
        return variants(only, args);
    }
    if !args.variants.is_empty() {
        return Err(Failure::BadInput(
            "--variant chooses among the variants of one file, and several files are named".into(),
        ));
    }
    let mut sides: Vec<Side> = Vec::new();
    for input in inputs {
        let compiled = input::compile(input)?;
        if !args.quiet {
            input::tell_warnings(input, &compiled.warnings);
        }
        let name = free_name(&input.stem, &sides);
        let origin = Origin {
            name,
            file: input.name.clone(),
            title: compiled.names.title.clone(),
            variant: None,
            changes: vec![],
            sha256: compiled.sha256.clone(),
        };
        sides.push(Side { compiled, origin });
    }
    Ok(sides)
}

/// A file as it is, and its variants.
fn variants(input: &Input, args: &CompareArgs) -> Result<Vec<Side>, Failure> {
    let bad = |found: Vec<Diagnostic>| Failure::BadScenario(input::render(input, &found));
    let draft = Draft::read(&input.bytes).map_err(bad)?;
    let base = draft.compile().map_err(bad)?;
    let mut names: Vec<String> = Vec::new();
    let asked: Vec<&str> = if args.variants.is_empty() {
        draft.variants().collect()
    } else {
        args.variants.iter().map(String::as_str).collect()
    };
    if asked.is_empty() {
        return Err(Failure::BadInput(format!(
            "{} has no variants to compare; write some under `variants:`, or name a second file",
            input.name
        )));
    }
    for name in asked {
        // As the file spells it; a name that is none is told by the draft.
        let spelt = draft.variants().find(|v| v.trim().eq_ignore_ascii_case(name.trim())).unwrap_or(name);
        if !names.iter().any(|n| n == spelt) {
            names.push(spelt.to_string());
        }
    }
    let origin = |name: &str, c: &Compiled| Origin {
        name: name.to_string(),
        file: input.name.clone(),
        title: c.names.title.clone(),
        variant: None,
        changes: vec![],
        sha256: c.sha256.clone(),
    };
    if !args.quiet {
        input::tell_warnings(input, &base.warnings);
    }
    let mut told = base.warnings.clone();
    let mut sides = vec![Side { origin: origin(AS_IT_IS, &base), compiled: base }];
    for name in names {
        let compiled = draft.variant(&name).map_err(|found| missing(input, found))?;
        let changes = draft.changes(&name).map_err(|d| missing(input, vec![d]))?;
        // What the base was warned of is not said again.
        let new: Vec<Diagnostic> = compiled.warnings.iter().filter(|w| !told.contains(w)).cloned().collect();
        if !args.quiet {
            input::tell_warnings(input, &new);
        }
        told.extend(new);
        let origin = Origin { variant: Some(name.clone()), changes, ..origin(&name, &compiled) };
        sides.push(Side { compiled, origin });
    }
    Ok(sides)
}

/// A message without a place is one sentence; others are shown in the file.
fn missing(input: &Input, found: Vec<Diagnostic>) -> Failure {
    match &found[..] {
        [one] if one.spot.is_none() => {
            let help = one.help.as_ref().map_or_else(String::new, |h| format!("; {h}"));
            Failure::BadInput(format!("{}{help}", one.message))
        }
        _ => Failure::BadScenario(input::render(input, &found)),
    }
}

/// A name that none has yet: files of one name may lie in several folders.
fn free_name(name: &str, sides: &[Side]) -> String {
    let taken = |n: &str| sides.iter().any(|s| s.origin.name == n);
    let numbered = (2..).map(|i| format!("{name} ({i})"));
    std::iter::once(name.to_string()).chain(numbered).find(|n| !taken(n)).unwrap_or_default()
}

/// No file that is read may lie in the folder that is replaced.
fn prepare(args: &CompareArgs, target: &Path) -> Result<Folder, Failure> {
    let mut folder = None;
    for path in &args.scenarios {
        folder = Some(Folder::prepare(target, args.force, path)?);
    }
    folder.ok_or_else(|| Failure::BadInput(StudyError::NothingToCompare.to_string()))
}

fn options(args: &CompareArgs, base: &Side) -> Result<CompareOptions, Failure> {
    let table = Table::new(&base.compiled.plan, &base.compiled.names);
    let name = |text: &str| -> Result<String, Failure> {
        let key = trace::measure(text, &base.compiled)?;
        Ok(table.column(key).and_then(|c| table.names.get(c)).cloned().unwrap_or_default())
    };
    let is_aims = |text: &str| ["aims", AIMS_KEPT].contains(&text.trim());
    let matters = args.matters.iter().map(|text| {
        let (measure, amount) = text
            .split_once('=')
            .ok_or_else(|| Failure::BadInput(format!("--matters {text}: write MEASURE=AMOUNT")))?;
        let measure = if is_aims(measure) { AIMS_KEPT.to_string() } else { name(measure)? };
        Ok((measure, amount_of(text, amount)?))
    });
    let matters = matters.collect::<Result<Vec<_>, Failure>>()?;
    let measures = args.measures.iter().map(|m| name(m)).collect::<Result<Vec<_>, Failure>>()?;
    let best = match &args.best {
        None => None,
        Some(text) if is_aims(text) => Some(Goal::AimsKept),
        Some(text) => Some(Goal::Measure(name(text)?)),
    };
    Ok(CompareOptions {
        trials: args.trials.or(base.compiled.trials).unwrap_or(DEFAULT_TRIALS),
        seed: args.seed.or(base.compiled.seed).unwrap_or(DEFAULT_SEED),
        threads: Some(threads(args.threads)),
        measures,
        best,
        margins: matters,
    })
}

/// What matters of a measure: a number in the unit of the files, or percent.
fn amount_of(text: &str, amount: &str) -> Result<f64, Failure> {
    let (number, scale) = amount.trim().strip_suffix('%').map_or((amount.trim(), 1.0), |n| (n.trim(), 0.01));
    match number.parse::<f64>() {
        Ok(x) if x.is_finite() && x >= 0.0 => Ok(x * scale),
        _ => Err(Failure::BadInput(format!(
            "--matters {text}: expected a number that is not below zero in the unit of the files, such as 5 or 0.5%"
        ))),
    }
}

fn simulate(
    args: &CompareArgs,
    base: &Side,
    choices: &[Choice],
    options: &CompareOptions,
    stop: &Stop,
) -> Result<Comparison, Failure> {
    panic::context(format!("the scenario {} and seed {}", base.origin.file, options.seed));
    let days = u32::try_from(base.compiled.plan.days.len()).unwrap_or(u32::MAX);
    let progress = Progress::new(args.quiet, Span::new(&base.compiled.names.first_day, days).many());
    let tell = |done, all| progress.tell(done, all);
    let found = compare::compare_until(base.choice(), choices, options, Some(stop), &tell);
    progress.finish();
    found.map_err(refused)
}

fn refused(e: StudyError) -> Failure {
    match e {
        StudyError::Unlike(_)
        | StudyError::NoGoal(_)
        | StudyError::NoSuchMeasure(_)
        | StudyError::TooManyChoices { .. } => Failure::BadInput(e.to_string()),
        StudyError::Stopped => Failure::Other("stopped before its end, so nothing was written".into()),
        e => Failure::Other(e.to_string()),
    }
}

fn write(folder: Folder, told: &Told, manifest: &Manifest, svg: bool) -> Result<(), Failure> {
    let mut writing = folder.begin()?;
    for name in FILES {
        writing.file(name, |out| telling::write_file(told, name, out))?;
    }
    let Some(base) = told.origins.first() else {
        return Err(Failure::BadInput(StudyError::NothingToCompare.to_string()));
    };
    let about = About {
        file: &base.file,
        title: &base.title,
        sha256: &base.sha256,
        seed: told.found.seed,
        trials: told.found.trials,
        days: told.found.days,
    };
    let draw = |fit| telling::pictures(told, fit);
    writing.page(&html::choice(&telling::page(told), &draw, &about, &manifest.command))?;
    writing.pictures(html::choice_files(&draw), svg)?;
    let bytes = manifest.bytes_about(&about, writing.hashes()).map_err(|e| Failure::Other(e.to_string()))?;
    writing.file(MANIFEST, |out| Ok(out.write_all(&bytes)?))?;
    writing.finish()
}

/// What repeats the comparison from where it was made.
fn manifest(
    args: &CompareArgs,
    o: &CompareOptions,
    inputs: &[Input],
    sides: &[Side],
    units: UnitSystem,
) -> Manifest {
    let origin = |o: &Origin| json!({"file": o.file, "variant": o.variant, "sha256": o.sha256});
    let base = sides.first().map(|s| &s.compiled);
    let (trials, seed) = (base.is_some_and(|c| c.trials.is_some()), base.is_some_and(|c| c.seed.is_some()));
    let from = |option: bool, scenario: bool| match (option, scenario) {
        (true, _) => "option",
        (_, true) => "scenario",
        _ => "default",
    };
    let shown = match units {
        UnitSystem::Us => "us",
        UnitSystem::Metric => "metric",
    };
    let mut command = String::from("springhouse compare");
    for input in inputs {
        command.push_str(&format!(" {}", input.as_given()));
    }
    for name in &args.variants {
        command.push_str(&format!(" --variant {}", output::quoted(name)));
    }
    command.push_str(&format!(" --trials {} --seed {}", o.trials, o.seed));
    for name in &o.measures {
        command.push_str(&format!(" --measure {}", output::quoted(name)));
    }
    for (name, amount) in &o.margins {
        command.push_str(&format!(" --matters {}", output::quoted(&format!("{name}={amount}"))));
    }
    let best = o.best.as_ref().map(|g| match g {
        Goal::AimsKept => AIMS_KEPT.to_string(),
        Goal::Measure(name) => name.clone(),
    });
    if let Some(name) = &best {
        command.push_str(&format!(" --best {}", output::quoted(name)));
    }
    command.push_str(&format!(" --units {shown}"));
    if args.svg {
        command.push_str(" --svg");
    }
    let margins: serde_json::Map<String, Value> =
        o.margins.iter().map(|(name, amount)| (name.clone(), json!(amount))).collect();
    Manifest {
        command,
        threads: threads(args.threads),
        options: vec![
            ("trials", json!(o.trials), from(args.trials.is_some(), trials)),
            ("seed", json!(o.seed), from(args.seed.is_some(), seed)),
            ("units", json!(shown), from(args.units.is_some(), true)),
            ("choices", sides.iter().skip(1).map(|s| origin(&s.origin)).collect(), "option"),
            ("variants", json!(args.variants), from(!args.variants.is_empty(), false)),
            ("measures", json!(o.measures), from(!args.measures.is_empty(), false)),
            ("matters", Value::Object(margins), from(!args.matters.is_empty(), false)),
            ("best", json!(best), from(args.best.is_some(), false)),
        ],
    }
}
