//! The arguments.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use super::number::whole;
use crate::scenario::UnitSystem;

/// Most runs that may be asked for.
pub const MAX_TRIALS: u64 = 200_000;
/// Seed when neither the file nor an option gives one.
pub const DEFAULT_SEED: u64 = 1;

/// Threads to use: as many as asked for, else as there are processors.
pub fn threads(asked: Option<u16>) -> usize {
    asked.map(usize::from).unwrap_or_else(|| std::thread::available_parallelism().map_or(1, usize::from))
}

/// Simulates the milk year of one household.
#[derive(Debug, Parser)]
#[command(
    version,
    about = "Simulates the milk year of one household: what will be wasted, what will run short, how much room it needs",
    arg_required_else_help = true,
    max_term_width = 80,
    after_help = "Start here:\n  springhouse new ours.yaml       a scenario to change to your own\n  \
                  springhouse check ours.yaml     what was understood\n  \
                  springhouse run ours.yaml       the answer, in words\n\n\
                  Exit codes: 0 done, 2 bad input, 1 anything else."
)]
pub struct Args {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
    /// When to colour what is printed
    #[arg(long, value_enum, default_value_t, global = true, value_name = "WHEN")]
    pub color: Colour,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what was understood of a scenario, and what is wrong with it
    Check(CheckArgs),
    /// Simulate many years of a scenario and say what happens
    Run(RunArgs),
    /// Set choices side by side on the same luck: what each is better and worse at
    Compare(super::compare::CompareArgs),
    /// Tell one simulated year day by day: the middle one, the worst, or any by its number
    Trace(super::trace::TraceArgs),
    /// Tell the coming weeks from today: the pail, what to skim and make, what turns sour, when it is full
    Ahead(super::ahead::AheadArgs),
    /// Try one or two fields over many values, on the same years, and show which keep the aims
    Sweep(super::sweep::SweepArgs),
    /// Find the smallest or largest value of a field that keeps every aim, and show it
    Size(super::size::SizeArgs),
    /// Draw a jar of milk with its cream line, and say how deep to skim it
    Jar(super::jar::JarArgs),
    /// Learn an animal's own curve from a pail log, or keep score of a forecast
    Learn(super::learn::LearnArgs),
    /// List what scenarios may name, with the source of every figure
    List(ListArgs),
    /// Write a starter scenario to a file, or to standard output
    New(NewArgs),
    /// Write the JSON Schema of the scenario format, for editors
    Schema,
    /// Write completions for a shell
    Completions(super::shell::CompletionsArgs),
    /// Write the manual: a page to standard output, or one of every command to a folder
    Man(super::shell::ManArgs),
}

/// `check`.
#[derive(Debug, clap::Args)]
pub struct CheckArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    #[command(flatten)]
    pub stock: super::input::StockArgs,
    /// No warnings
    #[arg(long, short)]
    pub quiet: bool,
}

/// `run`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  springhouse run ours.yaml\n  \
                        springhouse run ours.yaml --trials 5000 --seed 7 --units metric\n  \
                        springhouse run ours.yaml --all           every amount, table and rule\n  \
                        springhouse run ours.yaml --steady        the average year, no chance\n  \
                        springhouse run ours.yaml --precise 2%    until the key figures are that sure\n")]
pub struct RunArgs {
    /// The scenario file; - reads standard input
    pub scenario: PathBuf,
    /// A variant of the scenario, by its name
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
    /// Simulated years (one run of the scenario each)
    #[arg(long, value_name = "N", value_parser = whole::<u32>(1..=MAX_TRIALS))]
    pub trials: Option<u32>,
    /// Seed of chance: the same seed gives the same years
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole::<u64>(0..=u64::MAX))]
    pub seed: Option<u64>,
    /// Folder for the files [default: outputs/NAME-OF-THE-SCENARIO]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Units to show [default: as the scenario says]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// Print the whole report, with tables, not the answer alone
    #[arg(long, short)]
    pub all: bool,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
    /// Stop when the key figures are this sure: 2% or 0.02
    #[arg(long, value_name = "PART", value_parser = part)]
    pub precise: Option<f64>,
    /// No chance anywhere: the average year, once
    #[arg(long, conflicts_with_all = ["trials", "precise"])]
    pub steady: bool,
    #[command(flatten)]
    pub stock: super::input::StockArgs,
    /// Write each picture of the report as an SVG file too
    #[arg(long)]
    pub svg: bool,
    /// Exit with 1 unless every aim is surely kept
    #[arg(long)]
    pub strict: bool,
    /// Do not try what would mend a plan that fails
    #[arg(long)]
    pub no_remedies: bool,
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

/// `list`.
#[derive(Debug, clap::Args)]
pub struct ListArgs {
    /// Kind (breeds, jars, stores ...); without it, the kinds
    pub kind: Option<String>,
    /// One of that kind, with all its figures and sources
    pub name: Option<String>,
}

/// `new`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "On a terminal what is not given is asked; elsewhere it takes its default.\n\nExamples:\n  \
                        springhouse new my-year.yaml\n  \
                        springhouse new my-year.yaml --milk goat --number 3 --units metric --defaults\n  \
                        springhouse new my-year.yaml --milk fetched --amount \"3 gal\" --defaults\n"
)]
pub struct NewArgs {
    /// The file to write, such as my-year.yaml; it must not exist. Without it, or with -: standard output
    pub file: Option<PathBuf>,
    /// Ask nothing: what is not given takes its default
    #[arg(long)]
    pub defaults: bool,
    /// us or metric
    #[arg(long, value_name = "UNITS")]
    pub units: Option<String>,
    /// Whose milk: cow, goat, sheep, fetched, "herd share" (one that is bought)
    #[arg(long, value_name = "WHOSE")]
    pub milk: Option<String>,
    /// Breed, or the kind of milk that is fetched
    #[arg(long, value_name = "NAME")]
    pub breed: Option<String>,
    /// How many are milked
    #[arg(long, value_name = "N")]
    pub number: Option<String>,
    /// Her name
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
    /// When she freshens: 2027-04-12
    #[arg(long, value_name = "DATE")]
    pub freshens: Option<String>,
    /// Where her young is: "on her", "on the bottle", gone
    #[arg(long, value_name = "WHERE")]
    pub calf: Option<String>,
    /// Grown people
    #[arg(long, value_name = "N")]
    pub adults: Option<String>,
    /// Children
    #[arg(long, value_name = "N")]
    pub children: Option<String>,
    /// What to make: butter, cheese, yogurt, or none
    #[arg(long, value_name = "LIST")]
    pub wishes: Option<String>,
    /// Milk fetched a week: "3 gal"
    #[arg(long, value_name = "AMOUNT")]
    pub amount: Option<String>,
    /// A fridge for the milk beside the kitchen's, or none; see: springhouse list stores
    #[arg(long, value_name = "NAME")]
    pub fridge: Option<String>,
    /// A freezer, or none
    #[arg(long, value_name = "NAME")]
    pub freezer: Option<String>,
    /// Animals that take the extra: pigs, hens, dog, garden, or none
    #[arg(long, value_name = "LIST")]
    pub animals: Option<String>,
    /// Time in the kitchen on a weekday: "45 min"
    #[arg(long, value_name = "TIME")]
    pub kitchen_time: Option<String>,
    /// Title
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
}

impl NewArgs {
    /// What was given, by the name of the option.
    pub fn given(&self) -> Vec<(&'static str, &str)> {
        let all = [
            ("units", &self.units),
            ("milk", &self.milk),
            ("breed", &self.breed),
            ("number", &self.number),
            ("name", &self.name),
            ("freshens", &self.freshens),
            ("calf", &self.calf),
            ("adults", &self.adults),
            ("children", &self.children),
            ("wishes", &self.wishes),
            ("amount", &self.amount),
            ("fridge", &self.fridge),
            ("freezer", &self.freezer),
            ("animals", &self.animals),
            ("kitchen-time", &self.kitchen_time),
            ("title", &self.title),
        ];
        all.into_iter().filter_map(|(option, text)| Some((option, text.as_deref()?))).collect()
    }
}

/// When to colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// Units to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Gallons, pounds, °F
    Us,
    /// Litres, kilograms, °C
    Metric,
}

impl From<Units> for UnitSystem {
    fn from(u: Units) -> Self {
        match u {
            Units::Us => Self::Us,
            Units::Metric => Self::Metric,
        }
    }
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Words and tables
    #[default]
    Words,
    /// summary.json
    Json,
}

/// A part, as `2%`, `2 %` or `0.02`; above 0 and below 1.
pub(super) fn part(text: &str) -> Result<f64, String> {
    let expected = "expected a part such as 2% or 0.02, above 0 and below 100%";
    let (number, scale) = text.trim().strip_suffix('%').map_or((text.trim(), 1.0), |n| (n.trim(), 0.01));
    let value: f64 = number.parse().map_err(|_| expected.to_string())?;
    let value = value * scale;
    if value > 0.0 && value < 1.0 { Ok(value) } else { Err(expected.into()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_sound() {
        Args::command().debug_assert();
    }

    #[test]
    fn parts() {
        assert!((part("2%").unwrap() - 0.02).abs() < 1e-15);
        assert!((part("2 %").unwrap() - 0.02).abs() < 1e-15);
        assert!((part("0.05").unwrap() - 0.05).abs() < 1e-15);
        for bad in ["", "2", "-1%", "nan", "inf", "100%", "0"] {
            assert!(part(bad).is_err(), "{bad}");
        }
    }
}
