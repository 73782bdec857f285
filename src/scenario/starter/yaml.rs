//! A text as YAML, whatever it holds.

use std::fmt::Write as _;

/// The text in double quotes: quotes, backslashes, breaks and all that is not
/// printed escaped, so that it is read back as it was.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            // Controls, breaks of Unicode, marks of direction, the byte order mark.
            c if c.is_control()
                || matches!(c, '\u{2028}' | '\u{2029}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}') =>
            {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// The text as it is where that reads back as the same text, else in quotes.
pub(super) fn text(text: &str) -> String {
    let plain = !text.is_empty()
        && text.split(' ').all(|w| !w.is_empty() && w.chars().all(|c| c.is_alphabetic() || c == '\''))
        && text.starts_with(char::is_alphabetic)
        && !["true", "false", "null", "yes", "no", "on", "off", "y", "n"]
            .contains(&text.to_lowercase().as_str());
    if plain { text.to_owned() } else { quoted(text) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn plain_names_stay_plain() {
        assert_eq!(text("Daisy"), "Daisy");
        assert_eq!(text("Our first cow"), "Our first cow");
        assert_eq!(text("no"), "\"no\"");
        assert_eq!(text("a: b"), "\"a: b\"");
        assert_eq!(text("x #1"), "\"x #1\"");
    }

    proptest! {
        #[test]
        fn any_text_is_read_back(t in any::<String>()) {
            let value: std::collections::BTreeMap<String, String> =
                serde_yaml::from_str(&format!("title: {}\n", text(&t))).unwrap();
            prop_assert_eq!(&value["title"], &t);
        }
    }
}
