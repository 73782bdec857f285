//! Ctrl-C: the first asks a study to stop, a second ends the program.

use super::codes;
use crate::study::Stop;

/// Watches for Ctrl-C from now on.
pub fn watch() -> Stop {
    let stop = Stop::default();
    let shared = stop.clone();
    // Where it cannot be watched, Ctrl-C ends the program as ever.
    let _ = ctrlc::set_handler(move || {
        if shared.asked() {
            std::process::exit(i32::from(codes::OTHER));
        }
        shared.ask();
    });
    stop
}
