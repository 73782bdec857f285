//! Illness of a milked animal, her colostrum, her coming and going.

use super::{
    super::{
        plan::{ColostrumPlan, ColostrumTo, IllnessPlan, Species},
        raw::{self, Text, TextOr},
    },
    Known,
    calendar::Run,
    context::{Ctx, entry, under},
};
use crate::units::Duration;

/// The health of an animal of which nothing is said.
const USUAL: &str = "ordinary";

/// Illness, and how long the milk is kept back after a treatment at dry-off.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Compiled {
    pub illness: Option<IllnessPlan>,
    pub dry_treatment: Option<(f64, f64)>,
}

/// Compiles `health`.
pub(super) fn health(c: &mut Ctx, known: &Known, at: &str, species: Species, a: &raw::Animal) -> Compiled {
    let path = under(at, "health");
    let (own, like_at, like) = match &a.health {
        None => (raw::Health::default(), path.clone(), None),
        Some(TextOr::Short(t)) => (raw::Health::default(), path.clone(), Some(t.clone())),
        Some(TextOr::Long(h)) => (h.clone(), under(&path, "like"), h.like.clone()),
    };
    let none = like.as_ref().is_some_and(|t| t.get().eq_ignore_ascii_case("none"));
    let name = match like {
        Some(t) if !none => t,
        _ => Text(USUAL.into()),
    };
    let Some(preset) = c.preset(&like_at, "state of health", &name, &known.library.health) else {
        return Compiled::default();
    };
    let h = own.over(preset);
    let p = |key: &str| under(&path, key);
    let cases = "cases in 100 lactations, from 0 to 100 %";
    let first = c.within(&p("first lactation"), &h.first_lactation, 0.0..=1.0, cases);
    let later = c.within(&p("later lactations"), &h.later_lactations, 0.0..=1.0, cases);
    let small = c.within(&p("goats and sheep"), &h.goats_and_sheep, 0.0..=1.0, cases);
    let (first, later) = if species == Species::Cow { (first, later) } else { (small, small) };
    let lost = "a part up to 90 %";
    let at_once = c.within(&p("milk lost at once"), &h.milk_lost_at_once, 0.0..=0.9, lost);
    let stays = c.within(&p("stays down"), &h.stays_down, 0.0..=0.9, lost);
    let fade = c.within(&p("comes back over"), &h.comes_back_over, 0.1..=200.0, "a time up to 200 days");
    let cv = c.within(&p("varies"), &h.varies, 0.0..=2.0, "a part up to 200 %");
    let treated = c.read(&p("treated"), &h.treated);
    let time = |c: &mut Ctx, key: &str, q: &Option<crate::units::Text<Duration>>| {
        let spread = c.spread(&p(key), q)?;
        if spread.value > 60.0 || spread.sd > 20.0 {
            c.error(&p(key), "this is out of reason here", "write a time up to 60 days");
        }
        Some((spread.value, spread.sd))
    };
    let treatment = time(c, "treatment", &h.treatment).unwrap_or((1.0, 0.0));
    let cow = time(c, "withdrawal", &h.withdrawal);
    let other = time(c, "withdrawal in goats and sheep", &h.withdrawal_in_goats_and_sheep);
    // What the family writes holds for its own animal, whatever she is.
    let withdrawal = if species == Species::Cow || own.withdrawal.is_some() { cow } else { other };
    let withdrawal = withdrawal.unwrap_or((5.0, 0.0));
    let abnormal = c.within(&p("looks wrong for"), &h.looks_wrong_for, 0.0..=60.0, "a time up to 60 days");
    let dry = c.within(&p("dry treatment"), &h.dry_treatment, 0.0..=120.0, "a time up to 120 days");
    let after = c.within(&p("after freshening"), &h.after_freshening, 0.0..=60.0, "a time up to 60 days");
    let dry_treatment =
        (dry.is_some() || after.is_some()).then(|| (dry.unwrap_or(0.0), after.unwrap_or(0.0)));
    let (first, later) = (first.unwrap_or(0.0), later.unwrap_or(0.0));
    let illness = (!none && first + later > 0.0).then(|| IllnessPlan {
        first,
        later,
        at_once: at_once.unwrap_or(0.0),
        fade_days: fade.unwrap_or(5.0),
        stays: stays.unwrap_or(0.0),
        loss_log_sd: super::log_sd(cv.unwrap_or(0.0)),
        treated: treated.unwrap_or(0.0),
        treatment_days: treatment.0,
        treatment_sd: treatment.1,
        withdrawal_days: withdrawal.0,
        withdrawal_sd: withdrawal.1,
        abnormal_days: abnormal.unwrap_or(0.0),
    });
    Compiled { illness, dry_treatment }
}

/// First day here and first day gone.
pub(super) fn stay(c: &mut Ctx, run: Run, at: &str, a: &raw::Animal) -> (Option<i32>, Option<i32>) {
    let comes = date(c, run, &under(at, "comes"), &a.comes);
    let leaves = date(c, run, &under(at, "leaves"), &a.leaves);
    if let (Some(from), Some(to)) = (comes, leaves)
        && to <= from
    {
        c.error(&under(at, "leaves"), "she leaves before she comes", "put the earlier date first");
    }
    let never = leaves.is_some_and(|d| d <= 0) || comes.is_some_and(|d| d >= run.days as i32);
    if never {
        let key = if leaves.is_some_and(|d| d <= 0) { "leaves" } else { "comes" };
        c.warn(&under(at, key), "she is never here in the simulated time", "is the date right?");
    }
    (comes, leaves)
}

/// A date as a day of the run; negative before it.
pub(super) fn date(c: &mut Ctx, run: Run, at: &str, text: &Option<Text>) -> Option<i32> {
    let date = c.date(at, text.as_ref()?.get())?;
    Some(run.day_of(date) as i32)
}

/// Who has her colostrum, in order. A newborn calf off its dam takes about 4 kg a
/// day and two kids or lambs 1.2 kg; 2 kg are frozen of one freshening (common
/// practice, no source).
pub(super) fn colostrum_to(c: &mut Ctx, at: &str, species: Species, a: &raw::Animal) -> ColostrumPlan {
    let usual = [Text("young".into())];
    let words = a.colostrum_goes_to.as_deref().unwrap_or(&usual);
    let known = [
        ("young", Some(ColostrumTo::Newborn)),
        ("animals fed", Some(ColostrumTo::AnimalsFed)),
        ("freezer", Some(ColostrumTo::Freezer)),
        ("poured out", None),
    ];
    let mut to = Vec::new();
    for (i, word) in words.iter().enumerate() {
        let here = entry(at, i);
        match c.choice(&here, &Some(word.clone()), &known) {
            Some(Some(one)) if to.contains(&one) => {
                c.error(&here, format!("`{}` stands here twice", word.get()), "name each once");
            }
            Some(Some(one)) => to.push(one),
            // Nothing is left for what would come after.
            Some(None) if i + 1 < words.len() => {
                c.error(&here, "nothing is left once it is poured out", "write `poured out` last");
            }
            _ => {}
        }
    }
    if let Some(at_young) = to.iter().position(|t| *t == ColostrumTo::Newborn).filter(|i| *i > 0) {
        c.warn(
            &entry(at, at_young),
            "others have her colostrum before her young",
            "a newborn needs it within its first hours: write `young` first",
        );
    }
    let newborn_kg = if species == Species::Cow { 4.0 } else { 1.2 };
    ColostrumPlan { to, newborn_kg, frozen_kg: 2.0 }
}
