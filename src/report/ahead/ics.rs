//! A calendar file (RFC 5545): one entry a day of the kitchen's work and the
//! pick-ups, one for whatever is to be looked out for.

use jiff::ToSpan;
use jiff::civil::Date;

use super::Told;
use super::things::{Kind, TOLD, Thing, of_day};
use crate::report::words::GENERAL_CAUTION;

/// Longest line, octets, its end left out (RFC 5545, 3.1).
const LINE: usize = 75;

/// The calendar. The same weeks give the same bytes: every stamp is midnight
/// UTC of the first day told.
#[must_use]
pub fn calendar(told: &Told) -> String {
    let mut out = Lines::default();
    out.line("BEGIN:VCALENDAR");
    out.line("VERSION:2.0");
    out.line("PRODID:-//springhouse//ahead//EN");
    out.line("CALSCALE:GREGORIAN");
    let name = identity(told);
    let stamp = told.date(told.first()).map(basic).unwrap_or_else(|| "20000101".into());
    for d in &told.ahead.days {
        let Some(date) = told.date(d.day) else { continue };
        let things: Vec<Thing> =
            of_day(told, d).into_iter().filter(|t| t.chance.is_none_or(|c| c >= TOLD)).collect();
        let pail: Vec<String> = pick(&things, |k| k == Kind::Pail);
        let work = pick(&things, |k| matches!(k, Kind::Skim | Kind::Make | Kind::Do));
        let warn =
            pick(&things, |k| matches!(k, Kind::Kept | Kind::Full | Kind::Short | Kind::Sour | Kind::Animal));
        let other = pick(&things, |k| matches!(k, Kind::PickUp));
        let of = |what: &str| format!("{what}-{date}-{name}@springhouse");
        if !work.is_empty() {
            let sure = |t: &&Thing| t.chance.is_none_or(|c| c >= 0.5);
            let head = |t: &Thing| match t.kind {
                Kind::Skim => Some("skim".to_owned()),
                // `make NAME of AMOUNT of MILK`.
                Kind::Make => t.text.rsplitn(3, " of ").last().map(str::to_owned),
                _ => None,
            };
            let mut heads: Vec<String> = things.iter().filter(sure).filter_map(head).collect();
            heads.dedup();
            let summary = if heads.is_empty() { "perhaps some work".to_owned() } else { heads.join(", ") };
            out.event(
                &of("kitchen"),
                &stamp,
                date,
                &format!("Milk: {summary}"),
                &[pail.clone(), work].concat(),
            );
        }
        if !other.is_empty() {
            out.event(&of("pick-up"), &stamp, date, "Milk pick-up", &other);
        }
        if !warn.is_empty() {
            let summary = format!("Milk, look out: {}", warn[0]);
            let mut lines = warn;
            lines.push(GENERAL_CAUTION.to_owned());
            out.event(&of("look-out"), &stamp, date, &summary, &lines);
        }
    }
    out.line("END:VCALENDAR");
    out.0
}

/// What makes a household's entries its own: its title, and a mark of its file
/// and animals, which titles without Latin letters or of starters share.
fn identity(told: &Told) -> String {
    let mut mark: u32 = 0x811c_9dc5;
    let words = [told.title(), told.file].into_iter().chain(told.names.animals.iter().map(String::as_str));
    for byte in words.flat_map(|w| w.bytes().chain([0])) {
        mark = (mark ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    }
    format!("{}-{mark:08x}", plain(told.title()))
}

/// A title as a part of an identifier: the calendar of a later day takes the
/// place of this one, whatever has changed in the scenario since.
fn plain(title: &str) -> String {
    let mut out = String::new();
    for c in title.chars().map(|c| c.to_ascii_lowercase()) {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out: String = out.chars().take(40).collect();
    let out = out.trim_end_matches('-');
    if out.is_empty() { "scenario".into() } else { out.into() }
}

fn pick(things: &[Thing], kind: impl Fn(Kind) -> bool) -> Vec<String> {
    things.iter().filter(|t| kind(t.kind)).map(Thing::words).collect()
}

fn basic(date: Date) -> String {
    date.to_string().replace('-', "")
}

/// Content lines as they are written.
#[derive(Default)]
struct Lines(String);

impl Lines {
    /// One line, folded at 75 octets between characters.
    fn line(&mut self, text: &str) {
        let mut used = 0;
        for c in text.chars() {
            if used + c.len_utf8() > LINE {
                self.0.push_str("\r\n ");
                used = 1;
            }
            self.0.push(c);
            used += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }

    fn event(&mut self, uid: &str, stamp: &str, date: Date, summary: &str, lines: &[String]) {
        let next = date.checked_add(1.day()).unwrap_or(date);
        self.line("BEGIN:VEVENT");
        self.line(&format!("UID:{uid}"));
        self.line(&format!("DTSTAMP:{stamp}T000000Z"));
        self.line(&format!("DTSTART;VALUE=DATE:{}", basic(date)));
        self.line(&format!("DTEND;VALUE=DATE:{}", basic(next)));
        self.line(&format!("SUMMARY:{}", escaped(summary)));
        self.line(&format!("DESCRIPTION:{}", escaped(&lines.join("\n"))));
        self.line("TRANSP:TRANSPARENT");
        self.line("END:VEVENT");
    }
}

/// Text as a value (RFC 5545, 3.3.11); other control characters are dropped.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}
