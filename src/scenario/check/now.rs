//! How an animal stands on the first day, beyond what her dates say.

use super::{
    super::{
        plan::{AnimalNow, BreedingPlan, CalfPlan, CurvePlan, InCalf},
        raw::{self, Text},
    },
    calendar::Run,
    context::{Ctx, under},
};
use crate::{
    calendar,
    units::{UnitSystem, show},
};

/// What her own fields say, as far as this needs it.
pub(super) struct Known<'a> {
    pub name: &'a str,
    /// Day of her latest freshening; before the run.
    pub fresh: f64,
    pub bred: Option<&'a BreedingPlan>,
    /// Gestation, days: mean and spread.
    pub gestation: Option<(f64, f64)>,
    pub calf: Option<CalfPlan>,
    pub curve: Option<&'a CurvePlan>,
    /// Part of the milk by month; empty: all of it.
    pub months: &'a [f64],
    /// Part that is left when milked once a day: early, middle, late.
    pub once_a_day: [f64; 3],
    pub milkings: u8,
    pub comes: Option<i32>,
}

/// What is said of today, and the mean and spread of the days from this
/// freshening to the next where a service is known and no heats are followed.
pub(super) struct Compiled {
    pub now: AnimalNow,
    pub interval: Option<(f64, f64)>,
}

/// Compiles `now`; `None` where it is not written.
pub(super) fn now(c: &mut Ctx, run: Run, at: &str, raw: &raw::Animal, k: &Known) -> Option<Compiled> {
    let own = raw.now.as_ref()?;
    let path = under(at, "now");
    let p = |key: &str| under(&path, key);
    let mut out = Compiled { now: AnimalNow::default(), interval: None };
    if k.fresh >= 0.0 {
        c.error(
            &path,
            format!("{} has not freshened yet on the first day, so nothing of a lactation is known", k.name),
            "leave `now` out, or write in `freshens` when she last freshened",
        );
        return Some(out);
    }
    let fresh = k.fresh as i32;
    // A day of this lactation that is over when the run begins.
    let past = |c: &mut Ctx, key: &str, text: &Option<Text>| {
        let day = day(c, run, &p(key), text)?;
        if day >= 0 {
            c.error(
                &p(key),
                format!("this is not over on the first day ({})", calendar::show(run.first)),
                "write a date before it; what comes later is a rule of the routine",
            );
            return None;
        }
        if day < fresh {
            c.error(
                &p(key),
                format!("this lies before she freshened ({})", calendar::show(run.date_of(k.fresh))),
                "write a date of this lactation",
            );
            return None;
        }
        Some(day)
    };
    let ahead = |c: &mut Ctx, key: &str, text: &Option<Text>| {
        let day = day(c, run, &p(key), text)?;
        if !(-1..=400).contains(&day) {
            c.error(
                &p(key),
                "this is no day soon after the first day",
                format!("the run begins on {}", calendar::show(run.first)),
            );
            return None;
        }
        Some(day)
    };
    let bred = past(c, "bred", &own.bred);
    bred_when(c, run, &path, own, k, bred, &mut out);
    out.now.ill_since = past(c, "ill since", &own.ill_since);
    out.now.dried_off = past(c, "dried off", &own.dried_off);
    out.now.kept_until = ahead(c, "kept back until", &own.kept_back_until);
    out.now.once_until = ahead(c, "once a day until", &own.once_a_day_until);
    if own.once_a_day_until.is_some() && k.milkings < 2 {
        c.warn(&p("once a day until"), "she is milked once a day anyway", "leave it out");
    }
    let on_her = calf(c, &p("calf"), own, k, &mut out.now);
    gives(c, run, &path, own, k, on_her, &mut out.now);
    Some(out)
}

fn day(c: &mut Ctx, run: Run, at: &str, text: &Option<Text>) -> Option<i32> {
    let date = c.date(at, text.as_ref()?.get())?;
    Some(run.day_of(date) as i32)
}

fn bred_when(
    c: &mut Ctx,
    run: Run,
    path: &str,
    own: &raw::Now,
    k: &Known,
    bred: Option<i32>,
    out: &mut Compiled,
) {
    #[derive(Clone, Copy, PartialEq)]
    enum Word {
        Known,
        Hoped,
        Open,
    }
    let at = under(path, "in calf");
    let words = [("known", Word::Known), ("hoped", Word::Hoped), ("open", Word::Open)];
    let word = c.choice(&at, &own.in_calf, &words);
    let Some(day) = bred else {
        match word {
            Some(Word::Open) => out.now.open = true,
            Some(_) if own.bred.is_none() => {
                c.error(
                    &at,
                    "it is not said when she was bred",
                    "write `bred:` with the date of the service",
                );
            }
            _ => {}
        }
        return;
    };
    let word = word.unwrap_or(Word::Hoped);
    if word == Word::Open {
        out.now.open = true;
        return;
    }
    let (gestation, sd) =
        k.bred.map_or(k.gestation.unwrap_or((283.0, 5.0)), |b| (b.gestation_days, b.gestation_sd));
    if f64::from(day) + gestation - 3.0 * sd < 0.0 {
        c.error(
            &under(path, "bred"),
            format!("bred so long ago she would have freshened by {}", calendar::show(run.first)),
            "write her latest service; when she has freshened, write that in `freshens`",
        );
        return;
    }
    match (k.bred, word) {
        (Some(_), Word::Known) => out.now.bred = Some((day, InCalf::Known)),
        (Some(_), _) => out.now.bred = Some((day, InCalf::Hoped)),
        (None, Word::Known) => out.interval = Some((f64::from(day) - k.fresh + gestation, sd)),
        (None, _) => c.error(
            &under(path, "bred"),
            if own.in_calf.is_none() {
                "without `in calf` it is hoped that she is, and how she is bred is not said"
            } else {
                "whether she is in calf is not known, and how she is bred is not said"
            },
            "write `in calf: known`, or how she is bred in place of `freshens again`: `bred: insemination`",
        ),
    }
}

/// Whether there is a young on her today.
fn calf(c: &mut Ctx, at: &str, own: &raw::Now, k: &Known, now: &mut AnimalNow) -> bool {
    #[derive(Clone, Copy)]
    enum Word {
        Full,
        In,
        Gone,
    }
    let age = -k.fresh;
    let by_age = k.calf.is_some_and(|calf| age < f64::from(calf.shut_in_until.max(calf.full_time_until)));
    let words = [("full time", Word::Full), ("shut in overnight", Word::In), ("gone", Word::Gone)];
    let Some(word) = c.choice(at, &own.calf, &words) else { return by_age };
    let Some(calf) = k.calf else {
        if !matches!(word, Word::Gone) {
            c.error(
                at,
                "nothing is said of her young",
                "describe `calf:` of this animal, with how long it stays",
            );
        }
        return false;
    };
    match word {
        Word::Gone => {
            now.calf_gone = true;
            return false;
        }
        Word::In => {
            now.calf_shut_in = true;
            if age >= f64::from(calf.shut_in_until) {
                too_old(c, at, "shut in overnight until", age);
            }
        }
        Word::Full => {
            if age >= f64::from(calf.full_time_until) {
                too_old(c, at, "full time until", age);
            }
        }
    }
    true
}

fn too_old(c: &mut Ctx, at: &str, key: &str, age: f64) {
    c.error(
        at,
        format!("it is {} old, which is more than `{key}` of `calf` says", show::duration(age)),
        format!("write a later `{key}`"),
    );
}

fn gives(
    c: &mut Ctx,
    run: Run,
    path: &str,
    own: &raw::Now,
    k: &Known,
    calf_on_her: bool,
    now: &mut AnimalNow,
) {
    let at = under(path, "gives");
    let sure = c.within(&under(path, "how sure"), &own.how_sure, 0.0..=1.0, "a part from 0 to 100 %");
    if own.gives.is_none() {
        // Of her own curve, as it was learnt from her log.
        now.level = sure.map(|s| (1.0, super::log_sd(s)));
        return;
    }
    let Some(kg) = c.within(&at, &own.gives, 0.05..=80.0, "an amount a day from 0.05 to 80 L") else {
        return;
    };
    if calf_on_her {
        c.error(
            &at,
            "what goes into the pail is not all that she gives while her young is on her",
            "leave `gives` out until it is gone; `gives` of the animal itself says what she gives at the peak",
        );
        return;
    }
    if now.dried_off.is_some() || k.comes.is_some_and(|d| d > 0) {
        c.error(&at, "she is not milked today", "leave `gives` out");
        return;
    }
    let dim = (1.0 - k.fresh) as usize;
    let Some(curve) = k.curve.and_then(|curve| curve.yield_kg.get(dim - 1)).copied().filter(|kg| *kg > 0.0)
    else {
        c.error(&at, "by her dates she is dry today", "lengthen `milks on until`, or leave `gives` out");
        return;
    };
    let stage = usize::from(dim > 100) + usize::from(dim > 200);
    let once =
        if k.milkings < 2 || now.once_until.is_some_and(|d| d >= 0) { k.once_a_day[stage] } else { 1.0 };
    let month = k.months.get(usize::from(calendar::month(run.first))).copied().unwrap_or(1.0);
    let level = kg / (curve * once * month);
    if !(0.2..=3.0).contains(&level) {
        c.error(
            &at,
            format!(
                "her curve says {} ({}) for this day, which is too far off",
                show::milk_a_day(curve * once * month, UnitSystem::Us),
                show::milk_a_day(curve * once * month, UnitSystem::Metric)
            ),
            "check the amount and `freshens`, or write a curve of her own (`gives` or `curve` of the animal)",
        );
        return;
    }
    now.level = Some((level, super::log_sd(sure.unwrap_or(0.05))));
}
