//! The `springhouse` command.
#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    springhouse::cli::main()
}
