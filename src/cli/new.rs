//! `new`: a starter scenario.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use super::args::NewArgs;
use super::{Failure, output};

/// The starter scenario.
pub const STARTER: &str = include_str!("starter.yaml");

pub fn new(args: &NewArgs) -> Result<ExitCode, Failure> {
    let Some(path) = args.file.as_deref().filter(|p| p.as_os_str() != "-") else {
        output::bytes(STARTER.as_bytes())?;
        return Ok(ExitCode::SUCCESS);
    };
    create(path, STARTER)?;
    let shown = path.display();
    output::note(&format!("Written: {shown}. Change it to your own, then: springhouse check {shown}"));
    Ok(ExitCode::SUCCESS)
}

/// Writes a new file; one that exists is left as it is.
pub fn create(path: &Path, text: &str) -> Result<(), Failure> {
    let shown = path.display();
    let mut file = File::create_new(path).map_err(|e| {
        Failure::Other(match e.kind() {
            io::ErrorKind::AlreadyExists => format!("{shown} exists already and is left as it is"),
            _ => format!("cannot write {shown}: {e}"),
        })
    })?;
    file.write_all(text.as_bytes()).map_err(|e| Failure::Other(format!("cannot write {shown}: {e}")))
}
