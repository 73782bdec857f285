//! Numbers as people write them: `1.5`, `1/2`, `1 1/2`, `1½`, `half a`.

/// What stands where a number should.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Number<'a> {
    /// A number and what follows it, trimmed at its start.
    Is(f64, &'a str),
    /// No number at all.
    None,
    /// A thousands separator or a decimal comma.
    Comma,
    /// `nan`, `inf`, or more digits than a number holds.
    NotFinite,
    /// A fraction over nothing.
    OverZero,
}

const WORDS: [(&str, f64); 19] = [
    ("half an", 0.5),
    ("half a", 0.5),
    ("a quarter of a", 0.25),
    ("a dozen", 12.0),
    ("one", 1.0),
    ("two", 2.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("six", 6.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("nine", 9.0),
    ("ten", 10.0),
    ("eleven", 11.0),
    ("twelve", 12.0),
    ("half", 0.5),
    ("an", 1.0),
    ("a", 1.0),
];

const FRACTIONS: [(char, f64); 9] = [
    ('½', 1.0 / 2.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
];

/// Whether a number may begin with `c`.
pub(super) fn begins_number(c: char) -> bool {
    c.is_ascii_digit() || FRACTIONS.iter().any(|f| f.0 == c)
}

/// Takes a number off the start of `text`, which is trimmed and lower case.
pub(super) fn take(text: &str) -> Number<'_> {
    let (sign, body) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    match unsigned(body) {
        Number::Is(v, rest) => Number::Is(sign * v, rest),
        other => other,
    }
}

fn unsigned(text: &str) -> Number<'_> {
    for word in [".nan", "nan", ".inf", "infinity", "infinite", "inf"] {
        if text.strip_prefix(word).is_some_and(|r| !r.starts_with(char::is_alphabetic)) {
            return Number::NotFinite;
        }
    }
    if let Some((v, rest)) = fraction_sign(text) {
        return Number::Is(v, rest);
    }
    let Some((whole, after)) = plain(text) else {
        return words(text);
    };
    if !whole.is_finite() {
        return Number::NotFinite;
    }
    let mut follows = after.chars();
    match (follows.next(), follows.next()) {
        (Some(',' | '_' | '\''), Some(c)) if c.is_ascii_digit() => return Number::Comma,
        _ => {}
    }
    if let Some(rest) = after.strip_prefix('/')
        && let Some((under, rest)) = plain(rest)
    {
        return if under == 0.0 { Number::OverZero } else { Number::Is(whole / under, rest.trim_start()) };
    }
    let rest = after.trim_start();
    if let Some((part, rest)) = fraction_sign(rest) {
        return Number::Is(whole + part, rest);
    }
    // `1 1/2 gal`: a whole, then a fraction.
    if rest.len() < after.len()
        && let Some((over, tail)) = plain(rest)
    {
        if let Some((under, tail)) = tail.strip_prefix('/').and_then(plain) {
            return if under == 0.0 {
                Number::OverZero
            } else {
                Number::Is(whole + over / under, tail.trim_start())
            };
        }
        // `1 250`: a thousands separator of another custom.
        if rest.len() == tail.len() + 3 {
            return Number::Comma;
        }
    }
    Number::Is(whole, rest)
}

fn fraction_sign(text: &str) -> Option<(f64, &str)> {
    let c = text.chars().next()?;
    let (_, v) = FRACTIONS.iter().find(|f| f.0 == c)?;
    Some((*v, text[c.len_utf8()..].trim_start()))
}

fn words(text: &str) -> Number<'_> {
    for (word, v) in WORDS {
        if let Some(rest) = text.strip_prefix(word)
            && (rest.is_empty() || rest.starts_with(' '))
        {
            return Number::Is(v, rest.trim_start());
        }
    }
    Number::None
}

/// Digits, a point, digits, an exponent. No sign.
fn plain(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut end = digits(0);
    let mut any = end;
    if bytes.get(end) == Some(&b'.') {
        let part = digits(end + 1);
        any += part;
        if part > 0 {
            end += 1 + part;
        }
    }
    if any == 0 {
        return None;
    }
    if bytes.get(end) == Some(&b'e') {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let power = if end + 1 + sign <= bytes.len() { digits(end + 1 + sign) } else { 0 };
        if power > 0 {
            end += 1 + sign + power;
        }
    }
    text[..end].parse().ok().map(|v| (v, &text[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_people_write() {
        for (text, value, rest) in [
            ("1.5 gal", 1.5, "gal"),
            ("1/2 gal", 0.5, "gal"),
            ("1 1/2 gal", 1.5, "gal"),
            ("1½ gal", 1.5, "gal"),
            ("1 ½ gal", 1.5, "gal"),
            ("¾ gal", 0.75, "gal"),
            (".5 l", 0.5, "l"),
            ("1e3 l", 1000.0, "l"),
            ("half a gallon", 0.5, "gallon"),
            ("a gallon", 1.0, "gallon"),
            ("two quarts", 2.0, "quarts"),
            ("-3 c", -3.0, "c"),
            ("− 3 c", -3.0, "c"),
            ("4l", 4.0, "l"),
            ("24 in x 14 in", 24.0, "in x 14 in"),
            ("2 eggs", 2.0, "eggs"),
        ] {
            assert_eq!(take(text), Number::Is(value, rest), "{text}");
        }
    }

    #[test]
    fn numbers_refused() {
        for text in ["1,250 l", "1_000 l", "1'250 l", "1 250 l", "1,5 l", "1 250"] {
            assert_eq!(take(text), Number::Comma, "{text}");
        }
        for text in ["nan l", ".nan", ".inf", "inf l", "-.inf", "1e999 l"] {
            assert_eq!(take(text), Number::NotFinite, "{text}");
        }
        assert_eq!(take("1/0 l"), Number::OverZero);
        assert_eq!(take("gal"), Number::None);
        assert_eq!(take(""), Number::None);
        assert_eq!(take("."), Number::None);
    }
}
