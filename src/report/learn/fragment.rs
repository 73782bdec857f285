//! A piece of a scenario: the animal with her own curve, ready to paste.

use std::fmt::Write;

use super::super::amounts::Show;
use super::Told;
use crate::dairy::lactation::Wood;

/// Days of fat from which her own fat is written (our default).
const FAT_DAYS: usize = 5;

/// The `animals:` entry as YAML.
#[must_use]
pub fn fragment(told: &Told) -> String {
    let lesson = told.lesson;
    let (Some(l), Some(days)) = (lesson.fit.lactations.last(), lesson.days.lactations.last()) else {
        return String::new();
    };
    let next = &lesson.fit.next;
    let show = Show::new(told.units);
    let curve = |w: &Wood| format!("{{a: {:.4}, b: {:.4}, c: {:.6}}}", w.a, w.b, w.c);
    let percent = |part: f64, least: f64| format!("{:.1} %", (100.0 * part).max(least));
    let mut out = String::new();
    // Writing to a text cannot fail.
    let mut line = |text: String| {
        let _ = writeln!(out, "{text}");
    };
    let plural = |n: usize| if n == 1 { "1 day".to_owned() } else { format!("{n} days") };
    line(format!(
        "# Learnt from {} of a pail log: {} expected in {} days,",
        plural(days.days.len() - lesson.fit.wrong.iter().filter(|w| w.day.date >= days.fresh).count()),
        show.mass(l.total_mean),
        lesson.usual_days
    ));
    line(format!(
        "# 8 of 10 times {} to {}. Paste it in place of her entry, and keep",
        show.mass(l.total.low),
        show.mass(l.total.high)
    ));
    line("# what you wrote of her besides.".into());
    if !lesson.doubts.is_empty() {
        line("# CAUTION: the unit of some rows is in doubt; see what learn says of it first.".into());
    }
    line("animals:".into());
    line(format!("  - name: {}", quoted(told.name)));
    line(format!("    breed: {}", quoted(told.breed)));
    line(format!("    lactation: {}", days.number.clamp(1, 20)));
    line(format!("    freshens: {}", days.fresh));
    if days.number == 1 {
        line(format!("    first curve: {}", curve(&l.curve)));
        line("    # What it leads to expect of her later lactations.".into());
        line(format!("    curve: {}", curve(&next.curve)));
    } else {
        line(format!("    curve: {}", curve(&l.curve)));
    }
    line(format!(
        "    # Of this lactation; where only later ones are simulated, {}.",
        percent(next.total_cv, 0.1)
    ));
    line(format!("    how sure: {}", percent(l.total_cv, 0.1)));
    let noise = &lesson.fit.noise;
    line(format!(
        "    noise: {{white: {}, slow: {}, carries over: {:.3}}}",
        percent(noise.white.min(0.4), 0.0),
        percent(noise.slow.min(0.4), 0.0),
        noise.phi.clamp(0.0, 0.999)
    ));
    line("    # How sure her curve is for the weeks after the log. In a scenario that".into());
    line("    # begins before she freshened, leave this out; where your scenario has a".into());
    line("    # `now` already, put this part into that one: a key stands only once.".into());
    line(format!("    now: {{how sure: {}}}", percent(lesson.soon_sd, 0.1)));
    if let Some((fat, n)) = lesson.fat.filter(|(_, n)| *n >= FAT_DAYS) {
        line(format!("    fat: {:.2} %  # mean of {}", 100.0 * fat, plural(n)));
    }
    out
}

/// A text as a YAML value: quoted where it could be read otherwise.
fn quoted(text: &str) -> String {
    serde_yaml::to_string(text).map_or_else(|_| String::new(), |t| t.trim_end().to_owned())
}
