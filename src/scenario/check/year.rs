//! An animal's year: when she freshens again, and when she is dried off.

use super::{
    super::raw::{self, Text},
    calendar::{date_spread, whole_months},
    context::{Ctx, under},
};
use crate::{
    calendar,
    units::{Duration, split_spread},
};

/// Days dry before the next freshening, and days over which she is dried off
/// (0: at once).
pub(super) fn dry_off(c: &mut Ctx, at: &str, text: &Option<Text>) -> (f64, u16) {
    // Kuhn and others 2006: the next lactation is best after 60 to 65 days dry.
    const USUAL: f64 = 60.0;
    let Some(text) = text else { return (USUAL, 0) };
    let (before, over) = match text.get().split_once(" over ") {
        Some((before, over)) => (before.trim_end().trim_end_matches(','), Some(over)),
        None => (text.get(), None),
    };
    let before = before.trim_end_matches("she freshens again").trim_end();
    let days = match c.words::<Duration>(at, before.trim_end_matches("before").trim_end()) {
        Some(d) if (0.0..=300.0).contains(&d) => d,
        Some(_) => {
            c.error(
                at,
                format!("`{}` is out of reason here", text.get()),
                "write a time up to 300 days before",
            );
            USUAL
        }
        None => USUAL,
    };
    let over = match over.map(|o| c.words::<Duration>(at, o)) {
        Some(Some(o)) if !(1.0..=60.0).contains(&o) => {
            c.error(at, format!("`{}` is out of reason here", text.get()), "dry her off over 1 to 60 days");
            0.0
        }
        Some(Some(o)) => o,
        _ => 0.0,
    };
    (days, over.round() as u16)
}

/// Usual days between freshenings, as far as the breed's words are days or months.
pub(super) fn usual_interval(a: &raw::Animal) -> f64 {
    let words = a.interval.as_ref().map_or("", |q| q.as_str());
    let (mean, _) = split_spread(words);
    match whole_months(mean) {
        Some(months) => f64::from(months) * 365.25 / 12.0,
        None => crate::units::read::<Duration>(mean).unwrap_or(365.0),
    }
}

/// Mean and spread of the days from one freshening to the next; `None`: she is
/// not bred again.
pub(super) fn again(
    c: &mut Ctx,
    at: &str,
    a: &raw::Animal,
    fresh: jiff::civil::Date,
    gestation: Option<f64>,
    dry_days: f64,
) -> Option<(f64, f64)> {
    let path = under(at, "freshens again");
    let (mean, sd) = match &a.freshens_again {
        None => {
            let (words, path) = (a.interval.as_ref()?.as_str().to_owned(), under(at, "interval"));
            after(c, &path, fresh, &words)?
        }
        Some(t) => {
            let words = t.get();
            if words.eq_ignore_ascii_case("never") {
                return None;
            }
            match words.strip_prefix("after ") {
                Some(rest) => after(c, &path, fresh, rest)?,
                None if words.starts_with(|ch: char| ch.is_ascii_digit()) && words.contains('-') => {
                    let (date, sd) = date_spread(c, &path, words)?;
                    (calendar::days_between(fresh, date) as f64, sd)
                }
                None => {
                    c.error(
                        &path,
                        format!("`{words}` is not understood"),
                        "write `after 13 months give or take 3 weeks`, a date such as `2028-05-12`, or `never`",
                    );
                    return None;
                }
            }
        }
    };
    let least = gestation.unwrap_or(140.0).max(dry_days + 30.0);
    if mean < least {
        c.error(
            &path,
            format!("she cannot freshen again after {mean:.0} days"),
            format!("the young is carried and she is dry meanwhile: at least {least:.0} days"),
        );
        return None;
    }
    if mean > 4.0 * 365.25 {
        c.error(&path, "this is more than four years away", "write `never` if she milks on");
        return None;
    }
    // Five spreads below the mean must still leave a lactation.
    if sd > mean / 6.0 {
        c.error(
            &path,
            "this is too unsure to plan with",
            format!("write at most `give or take {:.0} days`", mean / 6.0),
        );
        return None;
    }
    Some((mean, sd))
}

/// `13 months give or take 3 weeks` after a date, in days.
fn after(c: &mut Ctx, at: &str, from: jiff::civil::Date, words: &str) -> Option<(f64, f64)> {
    let (mean, spread) = split_spread(words);
    let days = match whole_months(mean) {
        Some(m) => calendar::days_between(from, calendar::add_months(from, m)) as f64,
        None => c.words::<Duration>(at, mean)?,
    };
    let sd = spread.map_or(Some(0.0), |s| c.words::<Duration>(at, s))?;
    Some((days, sd))
}
