//! `schema`: the JSON Schema of the scenario format.

use std::process::ExitCode;

use super::{Failure, output};
use crate::scenario;

pub fn schema() -> Result<ExitCode, Failure> {
    output::written(|out| {
        serde_json::to_writer_pretty(&mut *out, &scenario::schema())?;
        out.write_all(b"\n")?;
        Ok(())
    })?;
    Ok(ExitCode::SUCCESS)
}
