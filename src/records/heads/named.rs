//! What headings say: the words that people write over a column.

use super::Role;
use crate::records::Part;
use crate::units::{self, MilkAmount};

/// Whole headings that say what a column is, words in lower case, without
/// units, joined by one space. The first of each role is what is suggested.
pub(super) const WORDS: [(Role, &[&str]); 11] = [
    (Role::Date, &["date", "day", "when", "milked on", "milking date", "test date", "date of milking"]),
    (
        Role::Amount(Part::Unsaid),
        &[
            "milk",
            "amount",
            "yield",
            "milk yield",
            "weight",
            "volume",
            "pail",
            "in the pail",
            "produced",
            "production",
            "milk weight",
            "milk amount",
            "milked",
            "quantity",
            "test day milk",
            "",
        ],
    ),
    (
        Role::Milking,
        &[
            "milking",
            "time",
            "am pm",
            "time of day",
            "hour",
            "which milking",
            "part of day",
            "session",
            "morning evening",
            "milking time",
        ],
    ),
    (
        Role::Animal,
        &["animal", "name", "cow", "goat", "doe", "ewe", "sheep", "who", "id", "tag", "ear tag", "animal id"],
    ),
    (Role::Note, &["note", "notes", "remark", "remarks", "comment", "comments", "what happened"]),
    (
        Role::Calf,
        &[
            "calf",
            "calf on",
            "calf with her",
            "kid",
            "kids",
            "kids on",
            "lamb",
            "lambs",
            "lambs on",
            "young",
            "young on",
            "nursing",
        ],
    ),
    (
        Role::Withheld,
        &[
            "withheld",
            "kept",
            "kept from people",
            "not for people",
            "discarded",
            "dumped",
            "withdrawal",
            "colostrum",
            "held back",
        ],
    ),
    (Role::Fat, &["fat", "butterfat", "fat %", "butterfat %", "milk fat", "bf", "bf %", "fat percent"]),
    (
        Role::Stage,
        &[
            "stage",
            "days in milk",
            "day in milk",
            "dim",
            "days fresh",
            "days since freshening",
            "stage of lactation",
        ],
    ),
    (Role::Unit, &["unit", "units", "measure"]),
    (Role::Milkings, &["milkings", "times milked", "milkings a day", "number of milkings"]),
];

/// A heading in plain words, and the unit in it.
pub(super) fn plain(text: &str) -> (String, Option<String>) {
    let lower = text
        .to_lowercase()
        .replace("a.m.", "am")
        .replace("p.m.", "pm")
        .replace("a.m", "am")
        .replace("p.m", "pm");
    let spaced: String =
        lower.chars().map(|c| if c.is_alphanumeric() || c == '%' || c == '\'' { c } else { ' ' }).collect();
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let is_unit = |w: &str| units::read::<MilkAmount>(&format!("1 {w}")).is_ok();
    let mut unit = None;
    let mut rest: Vec<&str> = Vec::new();
    let mut i = 0;
    while let Some(&w) = words.get(i) {
        let two = words.get(i + 1).map(|next| format!("{w} {next}"));
        if let Some(two) = two.filter(|t| unit.is_none() && is_unit(t)) {
            unit = Some(two);
            i += 2;
        } else if unit.is_none() && is_unit(w) {
            unit = Some(w.to_owned());
            i += 1;
        } else {
            rest.push(w);
            i += 1;
        }
    }
    // `kg per day`, `lb a day`.
    if unit.is_some() {
        for tail in [&["per", "day"][..], &["a", "day"], &["day"], &["in"], &["of"]] {
            if rest.len() > tail.len() || rest == tail {
                if rest.ends_with(tail) {
                    rest.truncate(rest.len() - tail.len());
                } else if rest.starts_with(tail) && tail.len() == 1 && *tail != ["day"] {
                    rest.drain(..1);
                }
            }
        }
        rest.retain(|w| *w != "in");
    }
    (rest.join(" "), unit)
}

pub(super) fn role(text: &str) -> Option<(Role, Option<String>)> {
    let (words, unit) = plain(text);
    if words.is_empty() && unit.is_none() {
        return None;
    }
    if let Some((role, _)) = WORDS.iter().find(|(_, all)| all.contains(&words.as_str())) {
        // A unit belongs to an amount; `cup` alone heads one too.
        return match role {
            Role::Amount(_) => Some((*role, unit)),
            _ => Some((*role, None)),
        };
    }
    let amount = |rest: &str| {
        let fillers = ["milking", "total", "pail's", "day's", "s"];
        let left: Vec<&str> = rest.split_whitespace().filter(|w| !fillers.contains(w)).collect();
        let left = left.join(" ");
        matches!(WORDS[1], (_, all) if all.contains(&left.as_str()))
    };
    let has = |any: &[&str]| words.split_whitespace().any(|w| any.contains(&w));
    let without =
        |any: &[&str]| words.split_whitespace().filter(|w| !any.contains(w)).collect::<Vec<_>>().join(" ");
    const MORNING: &[&str] = &["morning", "am", "mornings"];
    const EVENING: &[&str] = &["evening", "pm", "evenings", "night"];
    const NOON: &[&str] = &["noon", "midday"];
    const TOTAL: &[&str] = &["total", "sum", "day's", "daily", "day"];
    let parts = [has(MORNING), has(EVENING), has(NOON)];
    match parts {
        [true, true, _] => Some((Role::Milking, None)),
        [true, false, false] if amount(&without(MORNING)) => Some((Role::Amount(Part::Morning), unit)),
        [false, true, false] if amount(&without(EVENING)) => Some((Role::Amount(Part::Evening), unit)),
        [false, false, true] if amount(&without(NOON)) => Some((Role::Amount(Part::Noon), unit)),
        [false, false, false] if has(TOTAL) && amount(&without(TOTAL)) => Some((Role::Total, unit)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_people_write() {
        let unsaid = Role::Amount(Part::Unsaid);
        for (text, want, unit) in [
            ("Date", Role::Date, None),
            ("milk (lb)", unsaid, Some("lb")),
            ("Milk_kg", unsaid, Some("kg")),
            ("lbs", unsaid, Some("lbs")),
            ("Milk, kg per day", unsaid, Some("kg")),
            ("milk lb/day", unsaid, Some("lb")),
            ("milk in quarts", unsaid, Some("quarts")),
            ("AM (lb)", Role::Amount(Part::Morning), Some("lb")),
            ("a.m.", Role::Amount(Part::Morning), None),
            ("Evening milk [L]", Role::Amount(Part::Evening), Some("l")),
            ("PM fl oz", Role::Amount(Part::Evening), Some("fl oz")),
            ("noon", Role::Amount(Part::Noon), None),
            ("AM/PM", Role::Milking, None),
            ("Total (lb)", Role::Total, Some("lb")),
            ("Fat %", Role::Fat, None),
            ("Days in milk", Role::Stage, None),
            ("Calf on?", Role::Calf, None),
            ("Notes", Role::Note, None),
        ] {
            assert_eq!(role(text), Some((want, unit.map(str::to_owned))), "{text}");
        }
        for text in ["weather", "", "price", "cheese"] {
            assert_eq!(role(text), None, "{text}");
        }
    }
}
