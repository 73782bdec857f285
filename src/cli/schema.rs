//! `schema`: the JSON Schema of the scenario format.

use std::process::ExitCode;

use super::{Failure, output};
use crate::scenario;

pub fn schema() -> Result<ExitCode, Failure> {
    output::written(|out| {
        // Written as text, so that a closed pipe is told from a fault of the schema.
        writeln!(out, "{:#}", scenario::schema())?;
        Ok(())
    })?;
    Ok(ExitCode::SUCCESS)
}
