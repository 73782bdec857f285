//! Progress on a terminal, after about a second.

use std::io::IsTerminal;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Short runs need no bar.
const AFTER: Duration = Duration::from_secs(1);

/// A bar that shows itself when a run takes long.
#[derive(Debug)]
pub struct Progress {
    started: Instant,
    wanted: bool,
    noun: &'static str,
    bar: Mutex<Option<ProgressBar>>,
}

impl Progress {
    /// A bar, unless told to be quiet or not on a terminal.
    #[must_use]
    pub fn new(quiet: bool, noun: &'static str) -> Self {
        let dumb = std::env::var_os("TERM").is_some_and(|t| t == "dumb");
        let wanted = !quiet && !dumb && std::io::stderr().is_terminal();
        Self { started: Instant::now(), wanted, noun, bar: Mutex::new(None) }
    }

    /// So many of so many are done.
    pub fn tell(&self, done: u32, total: u32) {
        if !self.wanted || self.started.elapsed() < AFTER {
            return;
        }
        let Ok(mut bar) = self.bar.lock() else { return };
        let bar = bar.get_or_insert_with(|| {
            let bar = ProgressBar::with_draw_target(Some(u64::from(total)), ProgressDrawTarget::stderr());
            let shape = format!("{{bar:40}} {{pos}} of {{len}} {}, {{eta}} left", self.noun);
            if let Ok(style) = ProgressStyle::with_template(&shape) {
                bar.set_style(style);
            }
            bar
        });
        bar.set_length(u64::from(total));
        bar.set_position(u64::from(done));
    }

    /// Takes the bar away.
    pub fn finish(&self) {
        if let Ok(mut bar) = self.bar.lock()
            && let Some(bar) = bar.take()
        {
            bar.finish_and_clear();
        }
    }
}
