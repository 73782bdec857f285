//! Stands in for floors that are not joined yet.
#![allow(missing_docs)]

use crate::diagnostics::Diagnostic;
use crate::scenario::{Compiled, Names, Plan};
use crate::study::results::RunResult;

pub fn compile(_: &[u8]) -> Result<Compiled, Vec<Diagnostic>> {
    Err(vec![Diagnostic::error("scenarios are not read yet")])
}
pub fn render(name: &str, _: &str, found: &[Diagnostic], _: bool) -> String {
    found.iter().map(|d| format!("{name}:{d}\n")).collect()
}
pub struct RunOptions {
    pub trials: u32,
    pub seed: u64,
    pub threads: Option<usize>,
    pub steady: bool,
    pub precision: Option<f64>,
    pub bands: bool,
    pub remedies: bool,
}
pub fn run(
    _: &Plan,
    _: &Names,
    _: &RunOptions,
    _: &(dyn Fn(u32, u32) + Sync),
) -> Result<RunResult, std::io::Error> {
    Err(std::io::Error::other("not joined yet"))
}
