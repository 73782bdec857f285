//! The milk year of one household, simulated.
//!
//! A scenario says what a family owns, wants and does; the crate pushes a
//! chance-driven stream of milk through it, thousands of times, and says what
//! will be wasted, what will run short and how much room is needed.
//!
//! The crate is built in floors; each uses only those below it:
//!
//! | floor | modules | what lives there |
//! | --- | --- | --- |
//! | 6 | [`cli`] | arguments, exit codes, progress, the terminal |
//! | 5 | [`report`] | words, tables and files made from results |
//! | 4 | [`study`] | many trials in parallel, statistics, verdicts |
//! | 3 | [`sim`] | one trial: days, lots, places, rules, ledger, chance |
//! | 2 | [`scenario`], [`records`] | what the family writes, its checks, and the compiled plan; its pail log |
//! | 1 | [`dairy`], [`units`], [`presets`], [`calendar`], [`diagnostics`] | pure science, quantities, preset texts, dates, messages |

#![forbid(unsafe_code)]

pub mod calendar;
pub mod cli;
pub mod dairy;
pub mod diagnostics;
pub mod presets;
pub mod records;
pub mod report;
pub mod scenario;
pub mod sim;
pub mod study;
pub mod units;
