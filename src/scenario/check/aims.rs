//! What the family would call good.

use super::{
    super::{
        plan::{AimMeasure, AimPlan, Bound, ItemId},
        raw::{Aim, Text},
    },
    context::{Ctx, entry, under},
};
use crate::units::{Duration, Minutes, Part};

/// How a bound is read.
#[derive(Clone, Copy)]
enum Unit {
    Part,
    Days,
    Minutes,
}

/// The first of several names of one measure is the one that is offered.
const MEASURES: [(&str, AimMeasure, Unit); 13] = [
    ("waste", AimMeasure::WastedPart, Unit::Part),
    ("milk on the table", AimMeasure::MilkDays, Unit::Part),
    ("drinking milk", AimMeasure::MilkFill, Unit::Part),
    ("dry weeks", AimMeasure::DryFill, Unit::Part),
    ("days over full", AimMeasure::DaysOverFull, Unit::Days),
    ("fridge too full", AimMeasure::DaysOverFull, Unit::Days),
    ("minutes a day", AimMeasure::HandsMean, Unit::Minutes),
    ("hands", AimMeasure::HandsMean, Unit::Minutes),
    ("busiest day", AimMeasure::HandsBusiest, Unit::Minutes),
    ("milk wasted", AimMeasure::WastedPart, Unit::Part),
    ("milk in the dry weeks", AimMeasure::DryFill, Unit::Part),
    ("share promise", AimMeasure::ShareFill, Unit::Part),
    ("worst share week", AimMeasure::ShareWorstWeek, Unit::Part),
];

/// Compiles the aims, each in words.
pub(super) fn aims(
    c: &mut Ctx,
    wishes: &[(String, Vec<ItemId>)],
    only_bought: &[bool],
    raw: &[Aim],
) -> Vec<(AimPlan, String)> {
    let mut all = Vec::new();
    for (i, aim) in raw.iter().enumerate() {
        let at = entry("aims", i);
        let Some(word) = &aim.measure else {
            c.missing(
                &at,
                &["measure"],
                "`measure`",
                "write such as `{measure: waste, below: 3 %, in: 19 of 20 years}`",
            );
            continue;
        };
        let Some((measure, unit)) = measure(c, &under(&at, "measure"), wishes, word) else { continue };
        if let AimMeasure::WishFill(wish) = measure
            && only_bought.get(usize::from(wish)) == Some(&true)
        {
            c.error(
                &under(&at, "measure"),
                format!("nothing here makes `{}`: it is only bought", word.get()),
                "an aim speaks of your own: add a rule that makes it, or leave this aim out",
            );
            continue;
        }
        let (key, text, least) = match (&aim.below, &aim.at_least) {
            (Some(t), None) => ("below", t, false),
            (None, Some(t)) => ("at least", t, true),
            (None, None) => {
                c.missing(
                    &at,
                    &["below", "at least"],
                    "the bound of this aim",
                    "write `below: 3 %` or `at least: 98 %`",
                );
                continue;
            }
            (Some(_), Some(_)) => {
                c.error(&under(&at, "at least"), "an aim has one bound", "write two aims");
                continue;
            }
        };
        let bound_at = under(&at, key);
        // More waste, more work, fewer days of milk: nobody aims at that.
        let wants_less = matches!(
            measure,
            AimMeasure::WastedPart
                | AimMeasure::DaysOverFull
                | AimMeasure::HandsMean
                | AimMeasure::HandsBusiest
        );
        if least == wants_less {
            let right = if wants_less { "below" } else { "at least" };
            c.error(
                &bound_at,
                format!("`{}` is wanted `{right}` some amount", word.get()),
                format!("write `{right}: {}`", text.get()),
            );
            continue;
        }
        let value = match unit {
            Unit::Part => c.words::<Part>(&bound_at, text.get()),
            Unit::Days => c.words::<Duration>(&bound_at, text.get()),
            Unit::Minutes => c.words::<Minutes>(&bound_at, text.get()),
        };
        // Nine years in ten, unless the family says otherwise (our default).
        let (in_part, in_words) = match &aim.in_ {
            Some(t) => (c.words::<Part>(&under(&at, "in"), t.get()), t.get()),
            None => (Some(0.9), "9 of 10 years"),
        };
        let (Some(value), Some(in_part)) = (value, in_part) else { continue };
        if !(0.01..1.0).contains(&in_part) {
            c.error(&under(&at, "in"), "no number of years can show this", "write such as `19 of 20 years`");
            continue;
        }
        let bound = if least { Bound::AtLeast(value) } else { Bound::AtMost(value) };
        let key = if least { "at least" } else { "below" };
        let words = format!("{} {key} {} in {in_words}", word.get(), text.get());
        all.push((AimPlan { measure, bound, in_part }, words));
    }
    all
}

fn known<'a>(word: &str, mut wishes: impl Iterator<Item = &'a str>) -> Option<(AimMeasure, Unit)> {
    if let Some((_, m, u)) = MEASURES.iter().find(|(n, ..)| n.eq_ignore_ascii_case(word)) {
        return Some((*m, *u));
    }
    wishes.position(|n| n.eq_ignore_ascii_case(word)).map(|i| (AimMeasure::WishFill(i as u16), Unit::Part))
}

/// The measure that an aim of a family with these wishes calls so.
#[must_use]
pub fn aim_measure(word: &str, wishes: &[String]) -> Option<AimMeasure> {
    known(word, wishes.iter().map(String::as_str)).map(|(m, _)| m)
}

fn measure(
    c: &mut Ctx,
    at: &str,
    wishes: &[(String, Vec<ItemId>)],
    word: &Text,
) -> Option<(AimMeasure, Unit)> {
    let word = word.get();
    if let Some(found) = known(word, wishes.iter().map(|(n, _)| n.as_str())) {
        return Some(found);
    }
    let offered = MEASURES
        .iter()
        .enumerate()
        .filter(|(i, (_, m, _))| !MEASURES[..*i].iter().any(|(_, before, _)| before == m))
        .map(|(_, (n, ..))| *n);
    let names: Vec<&str> = offered.chain(wishes.iter().map(|(n, _)| n.as_str())).collect();
    c.unknown(at, "measure or wish", word, &names);
    None
}
