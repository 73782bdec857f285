//! Bounds in words: `at least 1.5 qt`, `under 2 gal`, `between 1 gal and 2 gal`.

use super::{
    super::plan::{Condition, ItemId},
    context::Ctx,
    items::Items,
    routine::World,
};
use crate::units::{Count, Duration, read as read_quantity, read_amount};

/// Bounds, both inclusive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    pub least: f64,
    pub most: f64,
}

const HELP: &str = "write `at least X`, `at most X`, `under X`, `over X` or `between X and Y`";

/// Reads bounds; `value` reads what stands after the words.
pub(super) fn read(
    c: &mut Ctx,
    at: &str,
    text: &str,
    mut value: impl FnMut(&mut Ctx, &str, &str) -> Option<f64>,
) -> Option<Bounds> {
    let (low, high, words) = split(text);
    if low {
        let least = value(c, at, words)?;
        return Some(Bounds { least, most: f64::INFINITY });
    }
    if high {
        let most = value(c, at, words)?;
        return Some(Bounds { least: f64::NEG_INFINITY, most });
    }
    if let Some((a, b)) = text.strip_prefix("between ").and_then(|t| t.split_once(" and ")) {
        let (least, most) = (value(c, at, a), value(c, at, b));
        let (least, most) = (least?, most?);
        if most < least {
            c.error(at, format!("`{text}` ends below where it begins"), "put the smaller one first");
            return None;
        }
        return Some(Bounds { least, most });
    }
    if text == "none" {
        return Some(Bounds { least: f64::NEG_INFINITY, most: 1e-9 });
    }
    c.error(at, format!("`{text}` is no bound"), HELP);
    None
}

/// Whether it is a lower bound, an upper bound, and what follows.
fn split(text: &str) -> (bool, bool, &str) {
    for word in ["at least ", "over ", "more than ", "older than "] {
        if let Some(rest) = text.strip_prefix(word) {
            return (true, false, rest);
        }
    }
    for word in ["at most ", "under ", "less than ", "younger than "] {
        if let Some(rest) = text.strip_prefix(word) {
            return (false, true, rest);
        }
    }
    (false, false, text)
}

/// A condition on stock: an amount, jars, days of supply, or an amount or an age.
pub(super) fn stock(
    c: &mut Ctx,
    w: &World,
    at: &str,
    name: &str,
    ids: &[ItemId],
    text: &str,
) -> Option<Condition> {
    let items = Items::mask(ids);
    let density = w.items.density(ids);
    let amount = |c: &mut Ctx, at: &str, t: &str| c.take(at, read_amount(t)).map(|a| a.kg(density));
    if let Some((stock, age)) = text.split_once(" or ") {
        let older = age.trim().strip_prefix("older than ");
        let (true, _, least) = split(stock.trim()) else {
            c.error(
                at,
                format!("`{text}` is not understood"),
                "write such as `at least 1.5 qt or older than 5 days`",
            );
            return None;
        };
        let Some(older) = older else {
            c.error(
                at,
                format!("`{text}` is not understood"),
                "write such as `at least 1.5 qt or older than 5 days`",
            );
            return None;
        };
        let (least, older) = (amount(c, at, least), c.words::<Duration>(at, older));
        return Some(Condition::StockOrAge { items, least_kg: least?, older_than: older? });
    }
    let unit = text.rsplit(' ').next().unwrap_or_default();
    match unit {
        "jar" | "jars" => {
            let b = read(c, at, text, |c, at, t| {
                let number = t.trim_end_matches("jars").trim_end_matches("jar").trim();
                let figures = number.parse::<f64>().ok();
                let n = figures.or_else(|| read_quantity::<Count>(number).ok());
                let n = n.filter(|n| n.is_finite() && (0.0..=10_000.0).contains(n));
                if n.is_none() {
                    c.error(at, format!("`{t}` is no number of jars"), "write such as `at least 4 jars`");
                }
                n
            })?;
            Some(Condition::Jars { items, least: b.least, most: b.most })
        }
        "day" | "days" | "week" | "weeks" | "month" | "months" => {
            let b = read(c, at, text, |c, at, t| c.words::<Duration>(at, t))?;
            let drunk = [super::super::plan::fixed::WHOLE, super::super::plan::fixed::SKIMMED];
            let wish = if ids.iter().all(|id| drunk.contains(id)) {
                None
            } else {
                let ids = w.items.and_bought(ids.to_vec());
                let wish = w
                    .wishes
                    .iter()
                    .position(|(n, _)| n.eq_ignore_ascii_case(name))
                    .or_else(|| w.wishes.iter().position(|(_, of)| *of == ids));
                let Some(wish) = wish else {
                    c.error(
                        at,
                        format!("days of supply need a wish for `{name}`"),
                        "write it among `wants`, or give an amount here",
                    );
                    return None;
                };
                Some(wish as u16)
            };
            Some(Condition::DaysOfSupply { wish, least: b.least, most: b.most })
        }
        _ => {
            let b = read(c, at, text, amount)?;
            Some(Condition::Stock { items, least: b.least, most: b.most })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{scenario::source::Source, units::Volume};

    fn litres(text: &str) -> Result<Bounds, usize> {
        let source = Source::default();
        let mut c = Ctx::new(&source, &[]);
        let bounds = read(&mut c, "", text, |c, at, t| c.words::<Volume>(at, t));
        bounds.ok_or(c.finish().len())
    }

    #[test]
    fn bounds_as_people_write_them() {
        let inf = f64::INFINITY;
        for (text, least, most) in [
            ("at least 2 L", 2.0, inf),
            ("over 2 L", 2.0, inf),
            ("more than 2 L", 2.0, inf),
            ("at most 3 L", -inf, 3.0),
            ("under 3 L", -inf, 3.0),
            ("between 2 L and 3 L", 2.0, 3.0),
            ("none", -inf, 1e-9),
        ] {
            assert_eq!(litres(text), Ok(Bounds { least, most }), "{text}");
        }
        for text in ["2 L", "about 2 L", "at least", "at least 2", "between 3 L and 2 L", "under 2 kg", ""] {
            assert_eq!(litres(text), Err(1), "{text}: one message");
        }
    }
}
