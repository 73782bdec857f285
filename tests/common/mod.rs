//! Helpers shared by the tests.
#![allow(dead_code)]

pub mod generate;
pub mod recipes;
pub mod record;
pub mod shell;
pub mod traced;

use springhouse::scenario::{self, Compiled};
use springhouse::sim::{DayLog, Luck, Outcome, Trial};

/// Compiles a scenario that must be valid.
#[track_caller]
pub fn compile(text: &str) -> Compiled {
    match scenario::compile(text.as_bytes()) {
        Ok(c) => c,
        Err(errors) => {
            let list: Vec<String> = errors.iter().map(ToString::to_string).collect();
            panic!("not a valid scenario:\n{}\n---\n{text}", list.join("\n"));
        }
    }
}

/// One trial of a compiled scenario; `None`: the average year.
pub fn trial(c: &Compiled, seed: u64, number: Option<u32>) -> (Outcome, DayLog) {
    let mut luck = Luck::new(&c.plan, &c.names);
    match number {
        Some(n) => luck.draw(seed, n),
        None => luck.steady(),
    }
    let mut log = DayLog::new(&c.plan);
    let out = Trial::new(&c.plan).run(&luck, &mut log).clone();
    (out, log)
}

/// Whether a generated scenario passes the checks.
pub fn is_valid(number: u64) -> bool {
    scenario::compile(generate::scenario(number).as_bytes()).is_ok()
}

/// Plays trials 0 to `n` of a compiled scenario and shows each to `look`.
pub fn trials(c: &Compiled, seed: u64, n: u32, mut look: impl FnMut(&Outcome, &DayLog)) {
    let mut luck = Luck::new(&c.plan, &c.names);
    let mut log = DayLog::new(&c.plan);
    let mut trial = Trial::new(&c.plan);
    for number in 0..n {
        luck.draw(seed, number);
        look(trial.run(&luck, &mut log), &log);
    }
}

/// The lines of a message as one.
pub fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
