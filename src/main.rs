//! The `springhouse` command.
#![forbid(unsafe_code)]

fn main() {}
