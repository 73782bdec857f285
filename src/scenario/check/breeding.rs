//! Breeding after each freshening: how, from when, until when, and what is to
//! be expected of it.

use super::{
    super::{
        plan::{BreedingPlan, Condition, PullPlan, Species, YearSpan},
        raw::{self, Text, TextOr},
    },
    Known,
    calendar::Run,
    conditions::season,
    context::{Ctx, under},
};
use crate::{
    dairy::breeding::{self, Chance, YEAR},
    diagnostics::Diagnostic,
    units::Duration,
};

/// Days after freshening before which no date of breeding counts (our default:
/// the womb takes about six weeks to mend).
const REST_DAYS: f64 = 40.0;
/// A date without an end is tried for so long, days (our default).
const SPAN_DAYS: f64 = 180.0;
/// A last date without a first one looks back so far, days (our default).
const LOOK_BACK_DAYS: f64 = 300.0;

/// What breeding leads to be expected, in days of the run.
#[derive(Clone, Copy, Debug)]
pub(in crate::scenario) struct Outlook {
    /// Chance that she settles.
    pub settled: f64,
    /// Mean days from this freshening to the next, when she settles.
    pub interval: f64,
    /// Its standard deviation.
    pub interval_sd: f64,
    /// Day of the next freshening when she settles: 1 in 20, middle, 19 in 20.
    pub next: [f64; 3],
    /// First heat that may be used.
    pub first_heat: f64,
}

/// What an animal's own fields say of breeding.
pub(super) struct Own<'a> {
    pub species: Species,
    pub fresh: f64,
    pub fresh_sd: f64,
    /// Gestation, days: mean and spread.
    pub gestation: Option<(f64, f64)>,
    /// Usual days between freshenings.
    pub usual_interval: f64,
    /// Milk at the peak, kg a day: first lactation of the plan, later ones.
    pub peaks: [f64; 2],
    pub first_lactation: bool,
    pub raw: &'a raw::Animal,
}

/// The males and whom they serve.
const SIRES: [(&str, Species); 3] =
    [("bull", Species::Cow), ("buck", Species::Goat), ("ram", Species::Sheep)];

/// Compiles `bred`; `None` where it is not written or wrong (which is said).
pub(super) fn bred(
    c: &mut Ctx,
    known: &Known,
    run: Run,
    at: &str,
    own: &Own,
) -> Option<(BreedingPlan, Outlook)> {
    let written = own.raw.bred.as_ref()?;
    let path = under(at, "bred");
    if own.raw.freshens_again.is_some() {
        c.error(
            &under(at, "freshens again"),
            "it is said both when she freshens again and how she is bred",
            "leave one of `freshens again` and `bred` out",
        );
        return None;
    }
    let (b, how) = match written {
        TextOr::Short(t) => (raw::Breeding::default(), (path.clone(), Some(t.clone()))),
        TextOr::Long(b) => (b.clone(), (under(&path, "how"), b.how.clone())),
    };
    let (how_at, how) = how;
    let Some(how) = how else {
        c.missing(&path, &["how"], "`how` she is bred", "write `how: insemination`, `bull`, `buck` or `ram`");
        return None;
    };
    let preset = c.preset(&how_at, "way of breeding", &how, &known.library.breeding)?;
    if let Some((sire, of)) = SIRES.iter().find(|(n, _)| n.eq_ignore_ascii_case(how.get()))
        && *of != own.species
    {
        let right = SIRES.iter().find(|(_, s)| *s == own.species).map_or("bull", |(n, _)| n);
        c.error(
            &how_at,
            format!("a {sire} is no mate for her"),
            format!("write `{right}` or `insemination`"),
        );
        return None;
    }
    let b = b.over(preset);
    let p = |key: &str| under(&path, key);
    let seen = c.within(&p("heats seen"), &b.heats_seen, 0.01..=1.0, "a part from 1 to 100 %");
    let settles = c.within(&p("settles"), &b.settles, 0.01..=1.0, "a chance from 1 to 100 %");
    let cycle =
        c.within(&under(at, "heat cycle"), &own.raw.heat_cycle, 10.0..=40.0, "a time from 10 to 40 days");
    let season = in_season(c, run, &under(at, "breeding season"), &own.raw.breeding_season)?;
    let (wait_days, from) = from(c, run, &p("from"), &b.from)?;
    let (tries, until) = until(c, run, &p("until"), &b.until)?;
    let window = window(c, &p("until"), from, until)?;
    let again = c.choice(&p("again"), &b.again, &[("every year", true), ("once", false)]);
    if again.is_some() && window.is_none() && season.is_none() {
        let d = Diagnostic::error("she may be bred all the year, so nothing comes round");
        c.push_key(&p("again"), d.help("leave `again` out, or write dates for `from` and `until`"));
    }
    let Some((gestation_days, gestation_sd)) = own.gestation else {
        c.missing(
            at,
            &["gestation"],
            "`gestation`",
            "write such as `gestation: 280 days give or take 5 days`",
        );
        return None;
    };
    let plan = BreedingPlan {
        wait_days,
        window,
        // A season comes round by itself; dates that are written only if it is said.
        again: again.unwrap_or(window.is_none() && season.is_some()),
        cycle_days: cycle.unwrap_or(breeding::heat_cycle_days(own.species)),
        season,
        seen: seen?,
        settles: settles?,
        tries,
        gestation_days,
        gestation_sd,
    };
    let outlook = outlook(&plan, own.fresh, own.fresh_sd);
    if outlook.settled < 1e-9 {
        c.error(
            &path,
            "she comes into no heat while she may be bred",
            "let `from` and `until` lie within her `breeding season`",
        );
        return None;
    }
    Some((plan, outlook))
}

/// What a pregnancy takes from her milk; `None` where she is never in calf or
/// it is not known how long she carries.
pub(super) fn pull(c: &mut Ctx, at: &str, own: &Own) -> Option<PullPlan> {
    let path = under(at, "pregnancy pulls");
    let pull = c.within(&path, &own.raw.pregnancy_pulls, 0.0..=0.05, "a part up to 5 %");
    let pull = pull.map_or(breeding::PULL_OF_PEAK, |part| [part; 2]);
    let first = if own.first_lactation { pull[0] } else { pull[1] };
    let (gestation_days, _) = own.gestation?;
    Some(PullPlan {
        kg: [first * own.peaks[0], pull[1] * own.peaks[1]],
        gestation_days,
        ordinary_conception: match own.species {
            Species::Cow => breeding::ORDINARY_CONCEPTION,
            _ => (own.usual_interval - gestation_days).max(0.0),
        },
    })
}

/// When she comes into heat: `Some(None)` all the year.
#[allow(clippy::option_option)]
fn in_season(c: &mut Ctx, run: Run, at: &str, text: &Option<Text>) -> Option<Option<YearSpan>> {
    let Some(text) = text else { return Some(None) };
    if text.get().eq_ignore_ascii_case("all the year") {
        return Some(None);
    }
    let Condition::Season { from, until } = season(c, at, text.get())? else { return None };
    // Days are counted in a leap year, as seasons of rules are.
    let first = jiff::civil::date(2028, 1, 1);
    let date = crate::calendar::date_of(first, i64::from(from) - 1);
    let opens = date.with().year(run.first.year()).build().map_or(0.0, |d| run.day_of(d));
    let lasts = (f64::from(until) - f64::from(from)).rem_euclid(366.0) + 1.0;
    Some((lasts < YEAR).then_some(YearSpan { opens, lasts }))
}

/// Days to wait after freshening, and the date from which she is bred.
fn from(c: &mut Ctx, run: Run, at: &str, text: &Option<Text>) -> Option<(f64, Option<f64>)> {
    let words = text.as_ref()?.get();
    if is_date(words) {
        return Some((REST_DAYS, Some(run.day_of(c.date(at, words)?))));
    }
    let time = words.trim_end_matches("after freshening").trim_end();
    let days = c.words::<Duration>(at, time)?;
    if (15.0..=700.0).contains(&days) {
        return Some((days, None));
    }
    c.error(
        at,
        format!("`{words}` is out of reason here"),
        "write a time from 15 to 700 days after freshening",
    );
    None
}

/// Most tries, and the last date.
fn until(c: &mut Ctx, run: Run, at: &str, text: &Option<Text>) -> Option<(u32, Option<f64>)> {
    // A bound of the program.
    const MOST: u32 = breeding::MOST_HEATS as u32;
    let words = text.as_ref()?.get();
    if is_date(words) {
        return Some((MOST, Some(run.day_of(c.date(at, words)?))));
    }
    let number = words.trim_end_matches("tries").trim_end_matches("try").trim_end();
    match number.parse::<u32>() {
        Ok(n) if (1..=MOST).contains(&n) && number.len() < words.len() => Some((n, None)),
        _ => {
            c.error(
                at,
                format!("`{words}` is not understood"),
                format!("write `8 tries` (at most {MOST}) or a date"),
            );
            None
        }
    }
}

fn is_date(words: &str) -> bool {
    words.starts_with(|ch: char| ch.is_ascii_digit()) && words.contains('-')
}

#[allow(clippy::option_option)]
fn window(c: &mut Ctx, at: &str, from: Option<f64>, until: Option<f64>) -> Option<Option<YearSpan>> {
    let span = match (from, until) {
        (None, None) => return Some(None),
        (Some(opens), None) => YearSpan { opens, lasts: SPAN_DAYS },
        (None, Some(last)) => YearSpan { opens: last + 1.0 - LOOK_BACK_DAYS, lasts: LOOK_BACK_DAYS },
        (Some(opens), Some(last)) => YearSpan { opens, lasts: last + 1.0 - opens },
    };
    if span.lasts < 1.0 || span.lasts > YEAR {
        let message = if span.lasts < 1.0 {
            "breeding ends before it begins"
        } else {
            "this is more than a year of trying"
        };
        c.error(at, message, "write a date within a year after `from`");
        return None;
    }
    Some(Some(span))
}

/// What is to be expected after the first freshening of the plan.
fn outlook(plan: &BreedingPlan, fresh: f64, fresh_sd: f64) -> Outlook {
    let trying = plan.trying(fresh);
    let chances = trying.chances();
    let settled: f64 = chances.iter().map(|c| c.part).sum();
    let all = settled.max(1e-12);
    let mean = chances.iter().map(|c| c.part * c.day).sum::<f64>() / all;
    let var = chances.iter().map(|c| c.part * (c.day - mean).powi(2)).sum::<f64>() / all;
    // A heat falls anywhere in its cycle: uniform, of variance cycle² / 12.
    let phase_var = plan.cycle_days.powi(2) / 12.0;
    let within = (phase_var + plan.gestation_sd.powi(2)).sqrt();
    // An unsure freshening moves what is counted from it; dates stay.
    let moved = if plan.window.is_none() && plan.season.is_none() { fresh_sd } else { 0.0 };
    let sd = within.hypot(moved).max(0.5);
    let at = |part: f64| quantile(&chances, settled, sd, part) + plan.gestation_days;
    Outlook {
        settled,
        interval: mean + plan.gestation_days - fresh,
        interval_sd: (var + within.powi(2)).sqrt(),
        next: [at(0.05), at(0.5), at(0.95)],
        first_heat: trying.heats.first(trying.from, 0.0),
    }
}

/// The day by which a part of those that settle have, by bisection over normals
/// about each heat.
fn quantile(chances: &[Chance], settled: f64, sd: f64, part: f64) -> f64 {
    let (Some(first), Some(last)) = (chances.first(), chances.last()) else { return 0.0 };
    let (mut low, mut high) = (first.day - 6.0 * sd, last.day + 6.0 * sd);
    for _ in 0..60 {
        let day = 0.5 * (low + high);
        let by: f64 = chances.iter().map(|c| c.part * normal((day - c.day) / sd)).sum();
        if by < part * settled { low = day } else { high = day }
    }
    0.5 * (low + high)
}

/// The normal law's distribution, to 1e-7 (Abramowitz and Stegun 1964, 26.2.17).
fn normal(z: f64) -> f64 {
    let x = z.abs();
    let t = 1.0 / (1.0 + 0.231_641_9 * x);
    let poly = t
        * (0.319_381_530
            + t * (-0.356_563_782 + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let upper = (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt() * poly;
    if z < 0.0 { upper } else { 1.0 - upper }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_normal_law() {
        for (z, want) in [(0.0, 0.5), (1.0, 0.841_344_7), (-1.644_854, 0.05), (3.0, 0.998_650_1)] {
            assert!((normal(z) - want).abs() < 2e-7, "{z}: {}", normal(z));
        }
    }
}
