//! A panic is a bug of ours; it is told in one plain line.

use std::io::Write;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// What was being run, for the one line.
static CONTEXT: OnceLock<String> = OnceLock::new();
/// Many threads may panic at once; one line is enough.
static TOLD: AtomicBool = AtomicBool::new(false);

/// Says what is being run (`scenario ours.yaml, seed 7`).
pub fn context(text: String) {
    let _ = CONTEXT.set(text);
}

/// Replaces the usual message of a panic. The panic unwinds on, so that
/// half-written folders are cleaned up; the caller ends the program with 1.
pub fn install() {
    std::panic::set_hook(Box::new(|info| {
        if TOLD.swap(true, Ordering::SeqCst) {
            return;
        }
        let place = info.location().map_or_else(String::new, |l| format!(" at {}:{}", l.file(), l.line()));
        let what = info.payload_as_str().unwrap_or("no message").replace(['\n', '\r'], " ");
        let context = CONTEXT.get().map_or("", String::as_str);
        let _ = writeln!(
            std::io::stderr(),
            "error: this is a bug in springhouse{place} ({what}); nothing was written. Please report it with {}.",
            if context.is_empty() { "the command" } else { context }
        );
    }));
}
