//! The command line: arguments, exit codes, progress, the terminal.

mod ahead;
mod args;
mod check;
mod compare;
mod failure;
mod folder;
mod input;
mod interrupt;
mod jar;
mod learn;
mod list;
mod new;
mod number;
mod output;
mod panic;
mod progress;
pub mod render;
mod run;
mod schema;
mod shell;
mod size;
mod sweep;
mod trace;

use std::process::ExitCode;

use args::{Args, Command};
use clap::Parser;
pub use failure::{Failure, codes};

/// Reads the arguments, does what they ask, and says how it went.
#[must_use]
pub fn main() -> ExitCode {
    panic::install();
    // Nothing is used again after a panic: the program only ends.
    let outcome = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        let args = Args::try_parse()?;
        output::choose_colour(args.color);
        dispatch(&args)
    }));
    match outcome {
        Ok(Ok(code)) => code,
        Ok(Err(failure)) => failure.tell(),
        Err(_) => ExitCode::from(codes::OTHER),
    }
}

fn dispatch(args: &Args) -> Result<ExitCode, Failure> {
    match &args.command {
        Command::Check(a) => check::check(a),
        Command::Run(a) => run::run(a),
        Command::Compare(a) => compare::compare(a),
        Command::Trace(a) => trace::trace(a),
        Command::Ahead(a) => ahead::ahead(a),
        Command::Size(a) => size::size(a),
        Command::Jar(a) => jar::jar(a),
        Command::Learn(a) => learn::learn(a),
        Command::List(a) => list::list(a),
        Command::New(a) => new::new(a),
        Command::Sweep(a) => sweep::sweep(a),
        Command::Schema => schema::schema(),
        Command::Completions(a) => shell::completions(a),
        Command::Man(a) => shell::man(a),
    }
}
