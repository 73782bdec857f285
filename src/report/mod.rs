//! Words, tables and files made from results.
