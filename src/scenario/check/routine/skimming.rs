//! How a skim is done: by hand, how deep; or by a separator.

use super::super::{
    super::{
        plan::{Action, SkimDepth},
        raw::Rule,
    },
    context::{Ctx, under},
};
use crate::{diagnostics::Diagnostic, units::Part};

/// Whether a skim is done by a separator; what it is set to is the recipe's.
pub(super) fn with_separator(c: &mut Ctx, at: &str, r: &Rule) -> bool {
    let known = [("a spoon", false), ("spoon", false), ("separator", true)];
    let separator = c.choice(&under(at, "with"), &r.with, &known).unwrap_or(false);
    c.choice(&under(at, "milk of"), &r.milk_of, &[("this morning", ()), ("two milkings", ())]);
    if separator {
        let settings = [
            ("after", r.after.is_some()),
            ("leave", r.leave.is_some()),
            ("take", r.take.is_some()),
            ("cuts", r.cuts.is_some()),
            ("a jar takes", r.a_jar_takes.is_some()),
        ];
        for (key, _) in settings.iter().filter(|(_, there)| *there) {
            let d = Diagnostic::error(format!("`{key}` means nothing for a separator"));
            let help = "set it with `recipes: {separated cream: {gives: […]}}`";
            c.push_key(&under(at, key), d.help(help));
        }
    } else if r.milk_of.is_some() {
        let d = Diagnostic::error("`milk of` means nothing for a spoon");
        c.push_key(&under(at, "milk of"), d.help("write `with: separator`, or leave it out"));
    }
    separator
}

/// A skim by hand.
pub(super) fn by_hand(c: &mut Ctx, at: &str, r: &Rule) -> Action {
    let p = |key: &str| under(at, key);
    let after = c.within(&p("after"), &r.after, 0.0..=10.0, "a time up to 10 days");
    // A depth that is not understood has been said; the whole layer stands in.
    let depth = depth(c, at, r).unwrap_or(SkimDepth::Layer);
    let apart = c.choice(&p("cuts"), &r.cuts, &[("together", false), ("apart", true)]).unwrap_or(false);
    // 2 to 3 minutes a jar (common practice, no source).
    let minutes = c.within(&p("a jar takes"), &r.a_jar_takes, 0.0..=120.0, "a time up to 2 h").unwrap_or(2.5);
    // Cream is worth taking after a day at rest (common practice, no source).
    Action::Skim { after_hours: after.unwrap_or(1.0) * 24.0, depth, apart, minutes_per_jar: minutes }
}

fn depth(c: &mut Ctx, at: &str, r: &Rule) -> Option<SkimDepth> {
    let p = |key: &str| under(at, key);
    match (&r.leave, &r.take) {
        (Some(_), Some(_)) => {
            c.error(
                &p("take"),
                "a skim leaves so much fat or takes such a cream, not both",
                "leave one of them out",
            );
            None
        }
        (Some(t), None) => {
            let words = t.get().trim_end_matches("in the milk").trim_end().trim_end_matches("fat");
            let fat = c.words::<Part>(&p("leave"), words)?;
            if fat > 0.2 {
                let message = format!("`{}` is more than milk holds", t.get());
                c.error(&p("leave"), message, "write such as `leave: 3 % fat`");
                return None;
            }
            Some(SkimDepth::Leave(fat))
        }
        // The least fat of heavy and of light cream (21 CFR 131.150 and 131.155).
        (None, Some(_)) => c.choice(
            &p("take"),
            &r.take,
            &[
                ("top cream", SkimDepth::Grade(0.36)),
                ("heavy cream", SkimDepth::Grade(0.36)),
                ("light cream", SkimDepth::Grade(0.18)),
                ("the whole layer", SkimDepth::Layer),
                ("whole layer", SkimDepth::Layer),
            ],
        ),
        (None, None) => Some(SkimDepth::Layer),
    }
}
