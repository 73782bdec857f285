//! Words in the other columns: which milking, yes and no, the stage.

use super::Part;

/// Which milking a word or an hour means; `None`: it is not understood.
pub(super) fn part(cell: &str) -> Option<Part> {
    let word = cell.trim().to_lowercase().replace('.', "");
    if let Some(hour) = hour(&word) {
        return Some(of_hour(hour));
    }
    Some(match word.as_str() {
        "morning" | "am" | "a" | "m" | "morn" | "in the morning" | "1st" | "first" | "dawn" => Part::Morning,
        "evening" | "pm" | "p" | "e" | "eve" | "night" | "in the evening" | "2nd" | "second" | "dusk" => {
            Part::Evening
        }
        "noon" | "midday" | "lunch" => Part::Noon,
        "" => Part::Unsaid,
        _ if is_whole_day(cell) => Part::Unsaid,
        _ => return None,
    })
}

/// The milking of an hour: before 11 the morning's, from 15 the evening's (our
/// default; a third milking falls between).
pub(super) fn of_hour(hour: f64) -> Part {
    if hour < 11.0 {
        Part::Morning
    } else if hour < 15.0 {
        Part::Noon
    } else {
        Part::Evening
    }
}

/// Words for the milk of a whole day.
pub(super) fn is_whole_day(cell: &str) -> bool {
    let word = cell.trim().to_lowercase();
    ["day", "both", "total", "sum", "all", "all day", "whole day", "day total", "daily total"]
        .contains(&word.as_str())
}

/// An hour of the day: `6:30`, `06:30:00`, `6:30 pm`, `6 am`.
pub(super) fn hour(text: &str) -> Option<f64> {
    let lower = text.trim().to_lowercase().replace('.', "");
    let (digits, shift) = if let Some(t) = lower.strip_suffix("pm") {
        (t.trim(), Some(12.0))
    } else if let Some(t) = lower.strip_suffix("am") {
        (t.trim(), Some(0.0))
    } else {
        (lower.as_str(), None)
    };
    let mut parts = digits.split(':');
    let hour: f64 = parts.next()?.parse().ok()?;
    let minutes: f64 = match parts.next() {
        Some(m) => m.parse().ok()?,
        None if shift.is_some() => 0.0,
        None => return None,
    };
    let hour = match shift {
        Some(s) if (1.0..=12.0).contains(&hour) => hour % 12.0 + s,
        Some(_) => return None,
        None => hour,
    };
    ((0.0..24.0).contains(&hour) && (0.0..60.0).contains(&minutes)).then_some(hour + minutes / 60.0)
}

/// Yes or no; `None`: it is not understood. Empty is no.
pub(super) fn yes(cell: &str) -> Option<bool> {
    let word = cell.trim().to_lowercase();
    Some(match word.as_str() {
        "" | "no" | "n" | "off" | "0" | "false" | "-" | "none" | "gone" | "away" | "weaned" | "apart" => {
            false
        }
        "yes" | "y" | "on" | "1" | "true" | "x" | "✓" | "with her" | "with dam" | "full time"
        | "nights apart" | "overnight" | "calf" | "kids" | "lambs" => true,
        _ => return None,
    })
}

/// What a stage says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stage {
    /// Day in milk.
    Day(u16),
    /// She freshened that day.
    Fresh,
    /// First milk, kept for the young.
    Colostrum,
    /// No milk.
    Dry,
    /// In milk, no more is said.
    InMilk,
}

/// Reads a stage; `None`: it is not understood.
pub(super) fn stage(cell: &str) -> Option<Stage> {
    let word = cell.trim().to_lowercase();
    if let Ok(day) = word.trim_start_matches("day ").trim_end_matches(" days").parse::<u16>() {
        return (1..=1500).contains(&day).then_some(Stage::Day(day));
    }
    Some(match word.as_str() {
        "fresh" | "freshened" | "calved" | "kidded" | "lambed" => Stage::Fresh,
        "colostrum" | "first milk" | "beestings" => Stage::Colostrum,
        "dry" | "dried off" => Stage::Dry,
        "" | "milking" | "in milk" | "early" | "middle" | "mid" | "late" => Stage::InMilk,
        _ => return None,
    })
}

/// A note that says she freshened.
pub(super) fn says_fresh(note: &str) -> bool {
    let lower = note.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphabetic()).collect();
    let negated = words
        .iter()
        .any(|w| ["not", "due", "will", "before", "until", "weeks", "days", "should"].contains(w));
    !negated && words.iter().any(|w| ["freshened", "calved", "kidded", "lambed"].contains(w))
}
