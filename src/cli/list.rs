//! `list`: what scenarios may name.

use std::process::ExitCode;

use super::Failure;
use super::args::ListArgs;

pub fn list(_args: &ListArgs) -> Result<ExitCode, Failure> {
    Err(Failure::Other("presets are not joined yet".into()))
}
