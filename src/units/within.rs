//! A number with its unit within words: `under 22 gal`, `2.5 % fat`.

use super::{
    dimensions::{tables, time_unit},
    number::{self, Number},
    read::tidy,
};

/// A number within a text, and the words round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within<'t> {
    /// What stands before it.
    pub before: &'t str,
    /// The number as written.
    pub digits: &'t str,
    /// The number.
    pub number: f64,
    /// Its unit as written, with its time (`gal`, `lb/week`); may be empty.
    pub unit: &'t str,
    /// What follows.
    pub after: &'t str,
    /// What the unit measures (`a volume`), if it is known.
    pub kind: Option<&'static str>,
    /// The time that the unit is by, days (`/week`: 7).
    pub per_days: Option<f64>,
    /// The value in the unit of its dimension, or the bare number.
    pub value: f64,
}

/// The first number that stands as a word of its own in a text. A date or a
/// time of the day is none.
#[must_use]
pub fn within(text: &str) -> Option<Within<'_>> {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        let begins = before == ' ' && (number::begins_number(c) || (c == '-' && digit_follows(text, at + 1)));
        before = c;
        if !begins {
            continue;
        }
        let rest = text.get(at..)?;
        let Number::Is(number, follows) = number::take(rest) else { return None };
        let digits = rest.get(..rest.len() - follows.len())?.trim_end();
        // `2027-04-12`, `6:30`: no number of anything.
        if follows.starts_with(['-', ':']) {
            return None;
        }
        let (unit, kind, factor, shift) = unit_of(follows);
        let rest = follows.get(unit..)?;
        let (time, per_days) = time_of(rest);
        let unit = follows.get(..unit + time)?;
        return Some(Within {
            before: text.get(..at)?,
            digits,
            number,
            unit,
            after: follows.get(unit.len()..)?,
            kind,
            per_days,
            value: (number + shift) * factor / per_days.unwrap_or(1.0),
        });
    }
    None
}

fn digit_follows(text: &str, at: usize) -> bool {
    text.get(at..).is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()))
}

/// The longest unit that `text` begins with: its length in bytes, what it
/// measures, its factor and shift.
fn unit_of(text: &str) -> (usize, Option<&'static str>, f64, f64) {
    let mut best = (0, None, 1.0, 0.0);
    let ends = text.char_indices().map(|(i, c)| i + c.len_utf8());
    for end in ends.take_while(|end| *end <= 24) {
        let (Some(word), Some(rest)) = (text.get(..end), text.get(end..)) else { continue };
        // A unit is a word of its own.
        let open = rest.starts_with(char::is_alphanumeric) && word.ends_with(char::is_alphanumeric);
        if open || word.ends_with(' ') {
            continue;
        }
        let word = tidy(word);
        for (kind, units) in tables() {
            if let Some(unit) = units.iter().find(|u| u.names.contains(&word.as_str())) {
                best = (end, Some(kind), unit.factor, unit.shift);
            }
        }
    }
    best
}

/// `/week`, ` a week`, ` per week` at the start of a text: its length and its
/// days.
fn time_of(text: &str) -> (usize, Option<f64>) {
    for joint in ["/", " per ", "per ", " a ", "a ", " an ", " each ", " every "] {
        let Some(rest) = text.strip_prefix(joint) else { continue };
        let word: String = rest.chars().take_while(|c| c.is_alphabetic()).collect();
        if let Some(days) = time_unit(&word.to_lowercase()) {
            return (joint.len() + word.len(), Some(days));
        }
    }
    (0, None)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> Option<(&str, &str, &str, &str)> {
        within(text).map(|w| (w.before, w.digits, w.unit, w.after))
    }

    #[test]
    fn a_number_and_its_unit_are_found_in_words() {
        for (text, found) in [
            ("under 22 gal", Some(("under ", "22", "gal", ""))),
            ("2.5 % fat", Some(("", "2.5", "%", " fat"))),
            ("at least 98 %", Some(("at least ", "98", "%", ""))),
            (
                "at least 1.5 qt or older than 5 days",
                Some(("at least ", "1.5", "qt", " or older than 5 days")),
            ),
            ("60 days before", Some(("", "60", "days", " before"))),
            ("1.5 lb/week", Some(("", "1.5", "lb/week", ""))),
            ("1 pint a week", Some(("", "1", "pint a week", ""))),
            ("2 per week", Some(("", "2", "per week", ""))),
            ("7 cu ft", Some(("", "7", "cu ft", ""))),
            ("12 fl oz", Some(("", "12", "fl oz", ""))),
            ("-5 °C", Some(("", "-5", "°C", ""))),
            ("1 1/2 gal", Some(("", "1 1/2", "gal", ""))),
            ("12", Some(("", "12", "", ""))),
            ("36 $/month", Some(("", "36", "", "$/month"))),
            ("19 of 20 years", Some(("", "19", "", "of 20 years"))),
            ("2027-04-12 give or take 6 days", None),
            ("6:30", None),
            ("half", None),
            ("all-fridge", None),
        ] {
            assert_eq!(parts(text), found, "{text}");
        }
    }

    /// A pound is 0.453 592 37 kg (international yard and pound agreement, 1959).
    #[test]
    fn values_are_in_the_unit_of_the_dimension() {
        let value = |t: &str| within(t).unwrap().value;
        assert!((value("7 lb/week") - 0.453_592_37).abs() < 1e-12);
        assert!((value("under 50 °F") - 10.0).abs() < 1e-12);
        assert_eq!(value("3"), 3.0);
        assert_eq!(within("2 gal").unwrap().kind, Some("a volume"));
        assert_eq!(within("2 gal/day").unwrap().per_days, Some(1.0));
    }
}
