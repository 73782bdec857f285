//! `size`: the smallest or largest value of a field that keeps every aim.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::atomic::{AtomicU32, Ordering};

use serde_json::json;

use super::args::{DEFAULT_SEED, Format, MAX_TRIALS, Units, threads};
use super::folder::Folder;
use super::input::{self, Input};
use super::number::whole;
use super::progress::Progress;
use super::{Failure, codes, interrupt, output, panic};
use crate::diagnostics::Diagnostic;
use crate::report::html;
use crate::report::size::{self as telling, Packed, Told};
use crate::report::{MANIFEST, Manifest, Span};
use crate::scenario::plan::{PlaceKind, PlacePlan};
use crate::scenario::{Compiled, Draft, End, Field, FieldPath, Setting, UnitSystem, settings};
use crate::study::StudyError;
use crate::study::size::{
    Answer, Candidates, FEWEST, Search, SizeError, SizeOptions, SizeResult, USUAL_MOST,
};

/// Parts of the file that decide what is judged, or which years are simulated.
const NOT_SIZES: [&str; 3] = ["aims", "starts", "lasts"];

/// `size`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse size ours.yaml --vary \"stores.porch fridge.how many\" --over \"1 to 3 by 1\"\n  \
                        springhouse size ours.yaml --vary jars.half-gallon --over \"10 to 60 by 2\" --sure 99%\n  \
                        springhouse size ours.yaml --vary \"herd shares.members\" --over \"2 to 20 by 1\" --largest\n\n\
                        Several --vary share the value.\n"
)]
pub struct SizeArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    /// The field, by its keys: stores.porch fridge.how many
    #[arg(long, value_name = "FIELD", required = true)]
    pub vary: Vec<String>,
    /// What to choose from: "10 gal to 40 gal by 5 gal", or "0; 3; 5"; names, the most frugal first
    #[arg(long, value_name = "VALUES", allow_hyphen_values = true)]
    pub over: String,
    /// Look for the smallest that keeps every aim
    #[arg(long, conflicts_with = "largest")]
    pub smallest: bool,
    /// Look for the largest that keeps every aim
    #[arg(long)]
    pub largest: bool,
    /// A variant of the scenario, by its name
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
    /// How sure the answer must be
    #[arg(long, value_name = "PART", default_value = "95%", value_parser = sure)]
    pub sure: f64,
    /// Most simulated years (runs of the scenario) in all
    #[arg(long, value_name = "N", default_value_t = USUAL_MOST,
          value_parser = whole::<u32>(u64::from(FEWEST)..=MAX_TRIALS))]
    pub trials: u32,
    /// Seed of chance: the same seed gives the same years
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Folder for the files [default: outputs/NAME-OF-THE-SCENARIO-size, a variant's name before the size]
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

/// A confidence, as `95%` or `0.95`.
fn sure(text: &str) -> Result<f64, String> {
    let expected = "expected a confidence such as 95% or 0.95, from 50% to 99.99%";
    let part = super::args::part(text).map_err(|_| expected.to_string())?;
    if (0.5..=0.9999).contains(&part) { Ok(number(part)) } else { Err(expected.into()) }
}

pub fn size(args: &SizeArgs) -> Result<ExitCode, Failure> {
    input::hush(args.quiet);
    let input = input::read(&args.scenario)?;
    let faults = |found: Vec<Diagnostic>| Failure::BadScenario(input::render(&input, &found));
    let draft = input::draft(&input)?;
    let base = input::compile_as(&input, args.variant.as_deref())?;
    if base.plan.aims.is_empty() {
        return Err(Failure::BadInput(format!(
            "{} sets no aims, so nothing says what is enough; add such as\n  aims:\n    - {{measure: waste, below: \
             5 %, in: 9 of 10 years}}",
            input.name
        )));
    }
    let asked = Asked::new(args, &draft).map_err(|d| input::said(&d))?;
    let first = asked.compile(&draft, 0).map_err(faults)?;
    // All must be sound before any is run.
    for at in 1..asked.texts.len() {
        asked.compile(&draft, at).map_err(faults)?;
    }
    let seed = args.seed.or(base.seed).unwrap_or(DEFAULT_SEED);
    let what = args.variant.as_ref().map_or_else(|| "size".to_owned(), |v| format!("{v} size"));
    let target = args.out.clone().unwrap_or_else(|| output::folder_for(&input.stem, Some(&what)));
    let folder = Folder::prepare(&target, args.force, &args.scenario)?;
    if !args.quiet {
        input::tell_warnings(&input, &base.warnings);
        if args.seed.or(base.seed).is_none() {
            output::note_default_seed();
        }
    }

    let result = search(args, &input, &draft, &asked, &first, seed)?;
    let told = Told {
        result: &result,
        fields: &asked.fields,
        settings: &asked.texts,
        smallest: asked.smallest,
        in_order_given: asked.in_order_given,
        direction_is_default: !args.smallest && !args.largest,
        packed: packed(&asked, &draft, &first, &result),
        now: asked.now.as_deref(),
        variant: args.variant.as_deref(),
        names: &base.names,
        days: days(&base),
        seed,
        units: args.units.map_or(base.names.units, Into::into),
        file: &input.name,
        sha256: &base.sha256,
    };
    if result.broken_off {
        output::page(&telling::page(&told))?;
        return Ok(ExitCode::from(codes::OTHER));
    }
    let end = match (args.smallest, args.largest) {
        (true, _) => Some("smallest"),
        (_, true) => Some("largest"),
        _ => None,
    };
    // Each is tried whatever becomes of the other.
    let written = write(folder, &told, &manifest(args, &told, end, &input, base.seed.is_some()), args.svg);
    let printed = match args.format {
        Format::Json => {
            telling::json(&told).map_err(|e| Failure::Other(e.to_string())).and_then(|b| output::bytes(&b))
        }
        Format::Words => output::page(&telling::page(&told)),
    };
    written?;
    printed?;
    if !args.quiet {
        output::note(&format!("Files: {}", target.display()));
    }
    Ok(ExitCode::SUCCESS)
}

/// A part in as few digits as it was written with.
fn number(part: f64) -> f64 {
    (part * 1e9).round() / 1e9
}

fn days(compiled: &Compiled) -> u32 {
    u32::try_from(compiled.plan.days.len()).unwrap_or(u32::MAX)
}

/// What is sought, and among what.
struct Asked {
    paths: Vec<FieldPath>,
    /// The paths as the file spells them.
    fields: Vec<String>,
    /// What stands there now, where it is one thing.
    now: Option<String>,
    variant: Option<String>,
    smallest: bool,
    in_order_given: bool,
    /// Values of the first field, the most frugal first.
    texts: Vec<String>,
    /// The same for each field: its whole text.
    each: Vec<Vec<String>>,
}

impl Asked {
    fn new(args: &SizeArgs, draft: &Draft) -> Result<Self, Diagnostic> {
        let variant = args.variant.as_deref();
        let mut fields: Vec<Field> = Vec::new();
        for text in &args.vary {
            let field = draft.field(variant, &FieldPath::from(text.as_str()))?;
            let top = field.path.as_str().split('.').next().unwrap_or_default();
            if NOT_SIZES.contains(&top) {
                return Err(Diagnostic::error(format!("`{top}` is no size of the household"))
                    .help("vary an animal, a store, the jars, the people, a rule"));
            }
            if fields.iter().any(|f| f.path == field.path) {
                return Err(
                    Diagnostic::error(format!("`{}` stands here twice", field.path)).help("name it once")
                );
            }
            fields.push(field);
        }
        let smallest =
            args.smallest || !args.largest && fields.first().is_none_or(|f| f.frugal == End::Smallest);
        let mut columns = Vec::new();
        for field in &fields {
            columns.push(settings(field, &args.over)?);
        }
        let order = order(columns.first().map_or(&[][..], Vec::as_slice), smallest);
        let each: Vec<Vec<String>> = columns
            .iter()
            .map(|c| order.iter().filter_map(|i| Some(c.get(*i)?.text.clone())).collect())
            .collect();
        let nows: Vec<&Option<String>> = fields.iter().map(|f| &f.now).collect();
        let now = nows.first().filter(|n| nows.iter().all(|m| m == *n)).and_then(|n| (*n).clone());
        Ok(Self {
            paths: fields.iter().map(|f| f.path.clone()).collect(),
            fields: fields.iter().map(|f| f.path.as_str().to_owned()).collect(),
            now,
            variant: args.variant.clone(),
            smallest,
            in_order_given: columns.iter().flatten().all(|s| s.value.is_none()),
            texts: each.first().cloned().unwrap_or_default(),
            each,
        })
    }

    fn compile(&self, draft: &Draft, at: usize) -> Result<Compiled, Vec<Diagnostic>> {
        let texts = self.each.iter().filter_map(|column| column.get(at).cloned());
        let values: Vec<(FieldPath, String)> = self.paths.iter().cloned().zip(texts).collect();
        draft.with(self.variant.as_deref(), &values)
    }
}

/// What the answer holds, where the room of a fridge without shelves is varied: its jars are
/// packed as boxes, and nobody buys a fridge by that.
fn packed(asked: &Asked, draft: &Draft, first: &Compiled, result: &SizeResult) -> Option<Packed> {
    let named = |path: &FieldPath| -> Option<String> {
        Some(path.as_str().strip_prefix("stores.")?.strip_suffix(".room")?.to_owned())
    };
    let fridge = |c: &Compiled, store: &str| -> Option<PlacePlan> {
        let at = c.names.stores.iter().position(|s| s == store)?;
        let own = |p: &&PlacePlan| usize::from(p.store) == at && p.kind == PlaceKind::Fridge;
        c.plan.places.iter().find(own).cloned()
    };
    let store = asked.paths.iter().filter_map(named).find(|s| fridge(first, s).is_some())?;
    let answer = [Some(&result.answer), result.rest.as_ref().map(|r| &r.answer)];
    let enough = answer.into_iter().flatten().find_map(|a| match a {
        Answer::Found { enough, .. } => Some(*enough),
        _ => None,
    });
    let jars = enough.and_then(|at| {
        let c = asked.compile(draft, at).ok()?;
        let part = fridge(&c, &store)?.jar_part.first().copied().filter(|p| p.is_finite() && *p > 0.0)?;
        let count = (1.0 / part + 1e-9).floor();
        Some((asked.texts.get(at)?.clone(), count as u32, c.names.jars.first()?.clone()))
    });
    Some(Packed { store, jars })
}

/// The most frugal first: numbers by their size, words in the order given.
fn order(all: &[Setting], smallest: bool) -> Vec<usize> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    let value = |i: &usize| all.get(*i).and_then(|s| s.value);
    if all.iter().all(|s| s.value.is_some()) {
        order.sort_by(|a, b| value(a).partial_cmp(&value(b)).unwrap_or(std::cmp::Ordering::Equal));
    }
    if !smallest {
        order.reverse();
    }
    order
}

fn search(
    args: &SizeArgs,
    input: &Input,
    draft: &Draft,
    asked: &Asked,
    first: &Compiled,
    seed: u64,
) -> Result<SizeResult, Failure> {
    panic::context(format!("the scenario {} and seed {seed}", input.name));
    let threads = threads(args.threads);
    let progress = Progress::new(args.quiet, Span::new(&first.names.first_day, days(first)).many());
    let done = AtomicU32::new(0);
    let tell = |more: u32| progress.tell(done.fetch_add(more, Ordering::Relaxed) + more, args.trials);
    let stop = interrupt::watch();
    let compile = |at: usize| asked.compile(draft, at);
    let mut candidates = Candidates::new(seed, Some(threads), &compile, &tell, Some(&stop))
        .map_err(|e| Failure::Other(e.to_string()))?;
    let wanted = first.plan.aims.iter().map(|a| a.in_part).collect();
    let options = SizeOptions { sure: args.sure, most: args.trials };
    let mut search = Search::new(asked.texts.len(), wanted, options);
    let found = search.go(&mut candidates);
    progress.finish();
    match found {
        Ok(result) => Ok(result),
        Err(SizeError::Study(StudyError::Stopped)) => Ok(search.broken_off()),
        Err(SizeError::Study(e)) => Err(Failure::Other(e.to_string())),
        Err(SizeError::Candidate(_, found)) => Err(Failure::BadScenario(input::render(input, &found))),
    }
}

fn write(folder: Folder, told: &Told, manifest: &Manifest, svg: bool) -> Result<(), Failure> {
    let other = |e: crate::report::ReportError| Failure::Other(e.to_string());
    let mut writing = folder.begin()?;
    let json = telling::json(told).map_err(other)?;
    writing.file(telling::SIZE_FILES[0], |out| Ok(out.write_all(&json)?))?;
    writing.file(telling::SIZE_FILES[1], |out| telling::csv(told, out))?;
    let draw = |fit| telling::pictures(told, fit);
    writing.page(&html::choice(&telling::page(told), &draw, &told.about(), &manifest.command))?;
    writing.pictures(html::choice_files(&draw), svg)?;
    let bytes = manifest.bytes_about(&told.about(), writing.hashes()).map_err(other)?;
    writing.file(MANIFEST, |out| Ok(out.write_all(&bytes)?))?;
    writing.finish()
}

fn manifest(args: &SizeArgs, told: &Told, end: Option<&str>, input: &Input, seed_in_file: bool) -> Manifest {
    let quoted = output::quoted;
    let units = match told.units {
        UnitSystem::Us => "us",
        UnitSystem::Metric => "metric",
    };
    let mut command = format!("springhouse size {}", input.as_given());
    for field in told.fields {
        command.push_str(&format!(" --vary {}", quoted(field)));
    }
    command.push_str(&format!(" --over {}", quoted(args.over.trim())));
    // Only if it was given: the page says whether it was.
    if let Some(end) = end {
        command.push_str(&format!(" --{end}"));
    }
    if let Some(name) = told.variant {
        command.push_str(&format!(" --variant {}", quoted(name)));
    }
    command.push_str(&format!(
        " --sure {} --trials {} --seed {} --units {units}",
        args.sure, args.trials, told.seed
    ));
    if args.svg {
        command.push_str(" --svg");
    }
    let given = |is: bool, else_| if is { "option" } else { else_ };
    Manifest {
        command,
        threads: threads(args.threads),
        options: vec![
            ("vary", json!(told.fields), "option"),
            ("over", json!(args.over.trim()), "option"),
            (
                "sought",
                json!(if told.smallest { "smallest" } else { "largest" }),
                given(!told.direction_is_default, "default"),
            ),
            ("variant", json!(told.variant), given(told.variant.is_some(), "default")),
            ("sure", json!(args.sure), "option"),
            ("most_trials", json!(args.trials), "option"),
            (
                "seed",
                json!(told.seed),
                given(args.seed.is_some(), if seed_in_file { "scenario" } else { "default" }),
            ),
            ("units", json!(units), given(args.units.is_some(), "scenario")),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn confidences() {
        assert!((sure("95%").unwrap() - 0.95).abs() < 1e-12 && (sure("0.99").unwrap() - 0.99).abs() < 1e-12);
        for bad in ["", "95", "100%", "40%", "nan", "sure"] {
            assert!(sure(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn the_most_frugal_comes_first() {
        let of = |values: &[Option<f64>]| -> Vec<Setting> {
            values.iter().map(|v| Setting { text: String::new(), value: *v }).collect()
        };
        let numbers = of(&[Some(3.0), Some(1.0), Some(2.0)]);
        assert_eq!((order(&numbers, true), order(&numbers, false)), (vec![1, 2, 0], vec![0, 2, 1]));
        let words = of(&[None, None]);
        assert_eq!((order(&words, true), order(&words, false)), (vec![0, 1], vec![1, 0]));
    }
}
