//! `jar`: the cream line of a jar, and how deep to skim it.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::ValueEnum;

use super::args::Units;
use super::{Failure, input, output};
use crate::dairy::Species;
use crate::diagnostics::nearest;
use crate::report::jar::{self, Ask, Wish};
use crate::scenario::kit::{self, JarKit};
use crate::scenario::{Compiled, UnitSystem};
use crate::units::{self, Dimension, Duration, Part, Temperature};

/// Fat of no milk (our default).
const RICHEST: f64 = 0.20;

/// `jar`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  springhouse jar --animal jersey                    every usual skim of a jersey's jar\n  \
                        springhouse jar --animal jersey --leave \"3 %\"      how deep, so that 3 % stays\n  \
                        springhouse jar --fat \"4.2 %\" --grade heavy --hours 36 --jar gallon\n  \
                        springhouse jar ours.yaml --animal Clover          her own milk and your own jars\n"
)]
pub struct JarArgs {
    /// A scenario file, for its own animals, milks and jars; - reads standard input
    pub scenario: Option<PathBuf>,
    /// A breed (springhouse list breeds), or with a scenario one of its animals or milks
    #[arg(long, value_name = "NAME")]
    pub animal: Option<String>,
    /// Fat of the milk, such as "4.8 %" [default: the animal's mean over the lactation]
    #[arg(long, value_name = "PART")]
    pub fat: Option<String>,
    /// cow, goat or sheep [default: the animal's, or cow]
    #[arg(long, value_name = "SPECIES")]
    pub species: Option<String>,
    /// Time at rest: hours, or such as "2 days"
    #[arg(long, value_name = "TIME", default_value = "24")]
    pub hours: String,
    /// Temperature at which it rests, such as "38 F" or "4 C" [default: 38 °F]
    #[arg(long, value_name = "TEMPERATURE")]
    pub at: Option<String>,
    /// Jar size (springhouse list jars), or one of the scenario's [default: its largest, or half gallon]
    #[arg(long, value_name = "SIZE")]
    pub jar: Option<String>,
    /// Skim until so much fat is left in the milk, such as "3 %"
    #[arg(long, value_name = "PART", group = "deep")]
    pub leave: Option<String>,
    /// Skim cream of so much fat, such as "36 %", or of a grade: top, heavy, light whipping, middle, light,
    /// half-and-half, thin (all down to the line)
    #[arg(long, value_name = "GRADE", group = "deep")]
    pub grade: Option<String>,
    /// Units to show [default: as the scenario says, or us]
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// What to print
    #[arg(long, value_enum, default_value_t)]
    pub format: JarFormat,
}

/// What to print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum JarFormat {
    /// A drawing, words and a table
    #[default]
    Words,
    /// The same as numbers, SI
    Json,
}

/// Grades by name: as the skims of a scenario, and a few more (21 CFR 131.150, 131.155,
/// 131.157, 131.180).
const GRADES: [(&str, Wish); 16] = [
    ("top", Wish::Grade(0.36)),
    ("top cream", Wish::Grade(0.36)),
    ("heavy", Wish::Grade(0.36)),
    ("heavy cream", Wish::Grade(0.36)),
    ("light whipping", Wish::Grade(0.30)),
    ("light whipping cream", Wish::Grade(0.30)),
    ("middle", Wish::Grade(0.18)),
    ("middle cream", Wish::Grade(0.18)),
    ("light", Wish::Grade(0.18)),
    ("light cream", Wish::Grade(0.18)),
    ("half-and-half", Wish::Grade(0.105)),
    ("half and half", Wish::Grade(0.105)),
    ("thin", Wish::Layer),
    ("thin cream", Wish::Layer),
    ("the whole layer", Wish::Layer),
    ("whole layer", Wish::Layer),
];

pub fn jar(args: &JarArgs) -> Result<ExitCode, Failure> {
    let compiled = match &args.scenario {
        Some(path) => Some(input::compile(&input::read(path)?)?),
        None => None,
    };
    let ask = ask(args, compiled.as_ref())?;
    match args.format {
        JarFormat::Words => output::page(&jar::page(&ask))?,
        JarFormat::Json => {
            output::bytes(&jar::json(&ask).map_err(|e| Failure::Other(e.to_string()))?)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Milk in a jar: whose, species, fat.
struct Milk {
    whose: String,
    species: Species,
    fat: f64,
}

fn ask(args: &JarArgs, compiled: Option<&Compiled>) -> Result<Ask, Failure> {
    let milk = milk(args, compiled)?;
    let jar = size(args, compiled)?;
    let units: UnitSystem =
        args.units.map(Into::into).or(compiled.map(|c| c.names.units)).unwrap_or_default();
    let celsius = match &args.at {
        Some(text) => {
            let t = read::<Temperature>("--at", text)?;
            within("--at", text, t, -5.0..=45.0, "a temperature from 23 to 113 °F (−5 to 45 °C)")?
        }
        // A family fridge: 38 °F, our default.
        None => (38.0 - 32.0) / 1.8,
    };
    let hours = match args.hours.trim().parse::<f64>() {
        Ok(h) => h,
        Err(_) => 24.0 * read::<Duration>("--hours", &args.hours)?,
    };
    let hours = within("--hours", &args.hours, hours, 0.0..=240.0, "a time up to 10 days")?;
    let wish = match (&args.leave, &args.grade) {
        (Some(text), _) => {
            let words = text.trim().trim_end_matches("in the milk").trim_end().trim_end_matches("fat").trim();
            let fat = read::<Part>("--leave", words)?;
            Some(Wish::Leave(within(
                "--leave",
                text,
                fat,
                0.0..=RICHEST,
                "fat that milk can hold, up to 20 %",
            )?))
        }
        (None, Some(text)) => Some(grade(text)?),
        (None, None) => None,
    };
    Ok(Ask {
        whose: milk.whose,
        species: milk.species,
        fat: milk.fat,
        hours,
        celsius,
        jar: jar.name,
        working_l: jar.working_l,
        shape: jar.shape,
        wish,
        units,
    })
}

fn read<D: Dimension>(option: &str, text: &str) -> Result<f64, Failure> {
    units::read::<D>(text).map_err(|e| Failure::BadInput(format!("{option} {}: {e}", text.trim())))
}

fn within(
    option: &str,
    text: &str,
    value: f64,
    bounds: std::ops::RangeInclusive<f64>,
    words: &str,
) -> Result<f64, Failure> {
    if bounds.contains(&value) {
        Ok(value)
    } else {
        Err(Failure::BadInput(format!("{option} {}: write {words}", text.trim())))
    }
}

/// Nothing of that name: the nearest, or all there are.
fn unknown(what: &str, name: &str, all: &[String]) -> Failure {
    let names = all.iter().map(String::as_str);
    let help = match nearest(name.trim(), names) {
        Some(n) => format!("did you mean {n}?"),
        None => format!("there are {}", all.join(", ")),
    };
    Failure::BadInput(format!("there is no {what} called {}; {help}", name.trim()))
}

fn milk(args: &JarArgs, compiled: Option<&Compiled>) -> Result<Milk, Failure> {
    let own_fat = match &args.fat {
        Some(text) => {
            let fat = read::<Part>("--fat", text)?;
            Some(within("--fat", text, fat, 0.001..=RICHEST, "the fat of milk, from 0.1 to 20 %")?)
        }
        None => None,
    };
    let own_species = match &args.species {
        Some(word) => {
            let all = ["cow", "goat", "sheep"].map(String::from);
            Some(kit::species(word).ok_or_else(|| unknown("species", word, &all))?)
        }
        None => None,
    };
    let base = match (compiled, &args.animal) {
        (Some(c), name) => Some(of_scenario(c, name.as_deref())?),
        (None, Some(name)) => Some(of_breed(name)?),
        (None, None) => None,
    };
    match (base, own_fat) {
        (Some(m), fat) => {
            Ok(Milk { species: own_species.unwrap_or(m.species), fat: fat.unwrap_or(m.fat), whose: m.whose })
        }
        (None, Some(fat)) => {
            Ok(Milk { whose: "your milk".into(), species: own_species.unwrap_or(Species::Cow), fat })
        }
        (None, None) => Err(Failure::BadInput(
            "whose milk? Name a breed (--animal jersey), its fat (--fat \"4.8 %\"), or a scenario file"
                .into(),
        )),
    }
}

fn of_breed(name: &str) -> Result<Milk, Failure> {
    let breeds = kit::breeds();
    let names: Vec<String> = breeds.iter().map(|(n, _)| n.clone()).collect();
    let found = breeds.into_iter().find(|(n, _)| n.eq_ignore_ascii_case(name.trim()));
    let (whose, milk) = found.ok_or_else(|| unknown("breed", name, &names))?;
    Ok(Milk { whose, species: milk.species, fat: milk.fat })
}

/// One of the scenario's animals (its first lactation), or a milk it fetches.
fn of_scenario(c: &Compiled, name: Option<&str>) -> Result<Milk, Failure> {
    let animals = c.plan.animals.iter().zip(&c.names.animals).zip(&c.names.herd).filter_map(|((a, n), h)| {
        let curve = a.curves.first()?;
        // The curve goes on for those that milk through; this is an ordinary lactation.
        let days = usize::from(h.usual_days).min(curve.yield_kg.len());
        let fat = kit::mean_over(curve.yield_kg.get(..days)?, &curve.fat);
        Some(Milk { whose: n.clone(), species: a.species, fat })
    });
    let fetched = c.plan.fetches.iter().zip(&c.names.fetches);
    let fetched = fetched.map(|(f, n)| Milk { whose: n.clone(), species: f.species, fat: f.fat });
    let mut all: Vec<Milk> = animals.chain(fetched).collect();
    let names: Vec<String> = all.iter().map(|m| m.whose.clone()).collect();
    let at = match name {
        Some(name) => names.iter().position(|n| n.eq_ignore_ascii_case(name.trim())),
        None if all.len() == 1 => Some(0),
        None => {
            return Err(Failure::BadInput(format!(
                "whose milk? Say --animal and one of {}",
                names.join(", ")
            )));
        }
    };
    match (at, name) {
        (Some(at), _) => Ok(all.swap_remove(at)),
        (None, name) => Err(unknown("animal or milk in this scenario", name.unwrap_or_default(), &names)),
    }
}

fn size(args: &JarArgs, compiled: Option<&Compiled>) -> Result<JarKit, Failure> {
    let presets = kit::jars();
    let own: Vec<JarKit> = compiled.map_or_else(Vec::new, |c| {
        let jars = c.plan.jars.iter().zip(&c.names.jars).zip(&c.names.jar_shapes);
        jars.map(|((j, n), s)| JarKit { name: n.clone(), working_l: j.working_l, shape: *s }).collect()
    });
    let name = args.jar.as_deref().map(|n| n.trim().replace('-', " "));
    let largest = || own.first().map_or_else(|| "half gallon".to_string(), |j| j.name.replace('-', " "));
    let wanted = name.unwrap_or_else(largest);
    let all: Vec<JarKit> = own.into_iter().chain(presets).collect();
    let names: Vec<String> = all.iter().map(|j| j.name.clone()).collect();
    let found = all.into_iter().find(|j| j.name.replace('-', " ").eq_ignore_ascii_case(&wanted));
    found.ok_or_else(|| unknown("jar", &wanted, &names))
}

fn grade(text: &str) -> Result<Wish, Failure> {
    let word = text.trim();
    if let Some((_, wish)) = GRADES.iter().find(|(n, _)| n.eq_ignore_ascii_case(word)) {
        return Ok(*wish);
    }
    if word.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-') {
        let words = word.trim_end_matches("fat").trim();
        let fat = read::<Part>("--grade", words)?;
        return Ok(Wish::Grade(within("--grade", text, fat, 0.001..=0.6, "the fat of cream, up to 60 %")?));
    }
    let names: Vec<String> = GRADES.iter().map(|(n, _)| (*n).to_string()).collect();
    Err(unknown("grade", word, &names))
}
