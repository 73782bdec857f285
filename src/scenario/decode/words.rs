//! Faults of form in plain words.

use super::super::draft::home_of;
use crate::{calendar, diagnostics::nearest};

/// How the value of a key is written whose kind is easily got wrong.
pub(super) fn example(path: &str) -> Option<&'static str> {
    let key = path.rsplit('.').next()?;
    Some(match key {
        "calf" => {
            "write `calf: {full time until: 3 weeks, shut in overnight until: 10 weeks}`, or leave `calf` out if none stays with her"
        }
        "people" => {
            "write kinds of people and how many, such as `people: {woman 31 to 50: 1, child 4 to 8: 2}`"
        }
        "wants" => "write what is wished for and how much, such as `wants: {butter: 1 lb/week}`",
        "jars" => "write sizes and how many, such as `jars: {half gallon: 40}`",
        "days" => "write a list of weekdays, such as `days: [tue, fri]`",
        "when" => "write conditions, such as `when: {have: {cream: at least 1.5 qt}}`",
        _ => return None,
    })
}

/// The message, its help, and the key that it is about.
pub(super) fn translate(message: &str) -> (String, Option<String>, Option<String>) {
    if let Some(rest) = message.strip_prefix("unknown field ") {
        let (key, known) = word_and_choices(rest);
        let help = match home_of(&key).filter(|home| known.iter().any(|k| k == home)) {
            // Only a whole scenario knows the keys at the top.
            Some(home) => Some(format!("did you mean `{home}.{key}`? It stands under `{home}:`")),
            None => suggest(&key, &known, "keys here"),
        };
        return (format!("unknown key `{key}`"), help, Some(key));
    }
    if let Some(rest) = message.strip_prefix("unknown variant ") {
        let (word, known) = word_and_choices(rest);
        let help = suggest(&word, &known, "words here");
        return (format!("`{word}` has no meaning here"), help, None);
    }
    if let Some(rest) = message.strip_prefix("missing field ") {
        let key = rest.trim_matches('`');
        return (format!("the key `{key}` is missing here"), Some(format!("write `{key}: …`")), None);
    }
    for start in ["invalid type: ", "invalid value: ", "invalid length "] {
        if let Some((found, expected)) = message.strip_prefix(start).and_then(|r| r.split_once(", expected "))
        {
            let found =
                if start == "invalid length " { format!("{found} of them") } else { plain_found(found) };
            let expected = plain_expected(expected);
            let help = match expected.as_str() {
                "a list" => Some("write `[one, two]`, or one entry a line, each after `- `"),
                "keys and values" => Some("write `key: value`, one a line, or `{key: value, key: value}`"),
                _ => None,
            };
            return (format!("expected {expected}, found {found}"), help.map(str::to_owned), None);
        }
    }
    let plain = match message {
        "recursion limit exceeded" => "this stands too many levels deep",
        "repetition limit exceeded" => "this file swells beyond measure when its aliases are written out",
        other => other,
    };
    (plain.to_owned(), None, None)
}

/// ``` `recpie`, expected one of `title`, `recipes` ``` in its parts.
pub(super) fn word_and_choices(rest: &str) -> (String, Vec<String>) {
    let (word, choices) = match rest.find("`, expected ").or_else(|| rest.find("`, there are no ")) {
        Some(at) => (&rest[..at], &rest[at + 1..]),
        None => (rest.trim_end_matches('`'), ""),
    };
    let choices = choices.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    (word.trim_start_matches('`').to_owned(), choices)
}

/// The key or word that was meant; days of the week are known by three letters.
pub(super) fn meant<'k>(word: &str, known: &'k [String]) -> Option<&'k str> {
    let day = calendar::read_weekday(word).ok().map(calendar::short_weekday);
    let day = day.and_then(|day| known.iter().find(|k| *k == day));
    day.map(String::as_str).or_else(|| nearest(word, known.iter().map(String::as_str)))
}

fn suggest(word: &str, known: &[String], what: &str) -> Option<String> {
    if known.is_empty() {
        return None;
    }
    let list = format!("{what}: {}", known.join(", "));
    Some(match meant(word, known) {
        Some(near) => format!("did you mean `{near}`? {list}"),
        None => list,
    })
}

fn plain_expected(expected: &str) -> String {
    let plain = match expected {
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number, 0 or more",
        "i8" | "i16" | "i32" | "i64" | "an integer" => "a whole number",
        "f32" | "f64" | "a float" => "a number",
        "a string" | "string" | "a YAML tag starting with '!'" => "a text",
        "a sequence" | "sequence" => "a list",
        "a map" | "map" | "map with a single key" => "keys and values",
        "a boolean" => "`true` or `false`",
        "unit" | "null" => "nothing",
        other if other.starts_with("struct ") || other.starts_with("a map") => "keys and values",
        other if other.starts_with("enum ") => "one of the words known here",
        other => other,
    };
    plain.to_owned()
}

fn plain_found(found: &str) -> String {
    match found {
        "sequence" => "a list".to_owned(),
        "map" => "keys and values".to_owned(),
        "unit value" | "null" | "Option value" => "nothing".to_owned(),
        _ => {
            for (start, kind) in [
                ("string ", "the text"),
                ("integer ", "the number"),
                ("floating point ", "the number"),
                ("boolean ", "the word"),
                ("character ", "the text"),
            ] {
                if let Some(value) = found.strip_prefix(start) {
                    return format!("{kind} `{}`", cut(value.trim_matches(['"', '`'])));
                }
            }
            found.to_owned()
        }
    }
}

/// The first words of a text: a whole page may stand where keys are expected.
fn cut(text: &str) -> String {
    /// Characters (a bound of the program).
    const MOST: usize = 40;
    // A line end stands there as it is, or as `\n` in a quotation.
    let line = text.split('\n').next().unwrap_or_default();
    let line = line.split("\\n").next().unwrap_or_default();
    if line.chars().count() <= MOST && line.len() == text.len() {
        return text.to_owned();
    }
    let start: String = line.chars().take(MOST).collect();
    format!("{} …", start.trim_end())
}
