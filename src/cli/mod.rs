//! The command line.

pub mod render;
