//! Milked animals: curves, composition, freshenings, calf.

use super::{
    super::{
        names::HerdName,
        plan::{AnimalPlan, CalfPlan, CoursePlan, Hours, Species},
        raw::{self, Text},
    },
    Known,
    breeding::{self, Outlook},
    calendar::{Run, date_spread, whole_months},
    context::{Ctx, entry, under},
    curves::curves,
    health, now,
};
use crate::{
    calendar,
    dairy::composition::evening_excess,
    units::{Duration, split_spread},
};

/// Days of a lactation over which totals are counted, unless a breed says
/// otherwise (the usual 305 days of milk recording).
const USUAL_DAYS: f64 = 305.0;
/// Longest lactation that may be asked for, days.
const LONGEST: f64 = 1500.0;

/// An animal with what the words about it need.
#[derive(Clone, Debug)]
pub(in crate::scenario) struct Animal {
    pub plan: AnimalPlan,
    pub name: String,
    pub breed: String,
    /// Number of the first lactation of the plan.
    pub lactation: u32,
    /// Days of a usual lactation.
    pub usual_days: usize,
    /// What breeding leads to be expected, where it is followed.
    pub outlook: Option<Outlook>,
}

impl Animal {
    /// What reports call her.
    pub(in crate::scenario) fn herd_name(&self) -> HerdName {
        HerdName {
            breed: self.breed.clone(),
            lactation: self.lactation,
            usual_days: u16::try_from(self.usual_days).unwrap_or(u16::MAX),
        }
    }
}

pub(in crate::scenario) const SPECIES: [(&str, Species); 3] =
    [("cow", Species::Cow), ("goat", Species::Goat), ("sheep", Species::Sheep)];

/// All animals of the scenario.
pub(super) fn animals(
    c: &mut Ctx,
    known: &Known,
    run: Run,
    hours: Hours,
    raw: &raw::Scenario,
) -> Vec<Animal> {
    let mut all: Vec<Animal> = Vec::new();
    let excess = health::excess(c, &raw.weather);
    for (i, own) in raw.animals.iter().flatten().enumerate() {
        let at = entry("animals", i);
        let name = match &own.name {
            Some(t) if !t.get().is_empty() => t.get().to_owned(),
            _ => {
                c.missing(&at, &["name"], "the `name` of this animal", "write `name: Clover`");
                format!("animal {}", i + 1)
            }
        };
        let names = c.copies(&at, &name, &own.how_many);
        for name in &names {
            if all.iter().any(|a| a.name.eq_ignore_ascii_case(name)) {
                c.error(
                    &under(&at, "name"),
                    format!("two animals are named `{name}`"),
                    "give each its own name",
                );
            }
        }
        if let Some(animal) = one(c, known, run, hours, own, &at, name, excess.as_ref()) {
            all.extend(names.into_iter().map(|name| Animal { name, ..animal.clone() }));
        }
    }
    // Any order of the file gives the same plan.
    all.sort_by(|a, b| a.name.cmp(&b.name));
    all
}

#[allow(clippy::too_many_arguments)]
fn one(
    c: &mut Ctx,
    known: &Known,
    run: Run,
    hours: Hours,
    own: &raw::Animal,
    at: &str,
    name: String,
    hot: Option<&[f64; 12]>,
) -> Option<Animal> {
    let breed = match &own.breed {
        Some(t) => c.preset(&under(at, "breed"), "breed", t, &known.library.breeds),
        None => {
            let names: Vec<&str> = known.library.breeds.names().collect();
            c.missing(at, &["breed"], "the `breed`", format!("known here: {}", super::context::list(&names)));
            None
        }
    }?;
    let a = own.over(breed);
    let p = |key: &str| under(at, key);
    let species = c.choice(&p("species"), &a.species, &SPECIES).unwrap_or(Species::Cow);
    let lactation = c.within(&p("lactation"), &a.lactation, 1.0..=20.0, "a number from 1 to 20");
    let lactation = if a.lactation.is_none() { 2 } else { lactation.unwrap_or(2.0) as u32 };
    let usual_days = c
        .within(&p("lactation lasts"), &a.lactation_lasts, 30.0..=LONGEST, "a time from 30 to 1500 days")
        .unwrap_or(USUAL_DAYS)
        .round();
    let longest = c
        .within(&p("milks on until"), &a.milks_on_until, 30.0..=LONGEST, "a time from 30 to 1500 days")
        .unwrap_or(usual_days)
        .max(usual_days)
        .round();
    let curves = curves(c, known, own, breed, &a, at, lactation, usual_days as usize, longest as usize)?;

    let (fresh, freshens_sd) = match &a.freshens {
        Some(t) => date_spread(c, &p("freshens"), t.get()),
        None => {
            c.missing(
                at,
                &["freshens"],
                "`freshens`",
                "write the date, such as `freshens: 2027-04-12 give or take 6 days`",
            );
            None
        }
    }?;
    let freshens_day = run.day_of(fresh);
    if freshens_sd > 60.0 {
        c.error(
            &p("freshens"),
            "this date is too unsure to plan with",
            "write at most `give or take 60 days`",
        );
    }
    if freshens_day < 0.0 && freshens_sd > 0.0 {
        c.warn(
            &p("freshens"),
            format!("{name} freshens before the first day, yet the date is unsure"),
            "leave `give or take` out when she has freshened already",
        );
    }
    let (dry_days, dried_over) = dry_off(c, &p("dry off"), &a.dry_off);
    let gestation = c.spread(&p("gestation"), &a.gestation);
    let peak = |k: &super::super::plan::CurvePlan| k.yield_kg.iter().copied().fold(0.0, f64::max);
    let about = breeding::Own {
        species,
        fresh: freshens_day,
        fresh_sd: freshens_sd,
        gestation: gestation.map(|s| (s.value, s.sd)),
        usual_interval: usual_interval(&a),
        peaks: [curves.first().map_or(0.0, peak), curves.last().map_or(0.0, peak)],
        first_lactation: lactation == 1,
        raw: &a,
    };
    let bred = breeding::bred(c, known, run, at, &about);
    let outlook = bred.map(|(_, o)| o);
    let again = match (&a.bred, outlook) {
        // One that more likely does not settle counts as not bred.
        (Some(_), o) => o.filter(|o| o.settled >= 0.5).map(|o| (o.interval, o.interval_sd)),
        (None, _) => again(c, at, &a, fresh, gestation.map(|s| s.value), dry_days),
    };
    let (interval, interval_sd) = match again {
        Some((mean, sd)) => (Some(mean), sd),
        None => (None, 0.0),
    };
    if freshens_day > f64::from(run.days) {
        c.warn(
            &p("freshens"),
            format!("{name} freshens after the last day and gives no milk"),
            "is the date right?",
        );
    }
    if interval.is_none() && freshens_day + longest < 0.0 {
        c.warn(
            &p("freshens"),
            format!("{name} was dry before the first day and is not bred again, so she gives no milk"),
            "write `freshens again`, or a later date",
        );
    }
    if freshens_day < -3.0 * 365.25 {
        c.error(
            &p("freshens"),
            "this lies more than three years before the first day",
            "write her latest freshening",
        );
    }

    let milkings =
        c.choice(&p("milked"), &a.milked, &[("twice a day", 2u8), ("once a day", 1u8)]).unwrap_or(2);
    let noise = a.noise.clone().unwrap_or_default().over(&breed.noise.clone().unwrap_or_default());
    let n = |key: &str| under(&p("noise"), key);
    let small = "a part from 0 to 40 %";
    let white_sd = c.within(&n("white"), &noise.white, 0.0..=0.4, small).unwrap_or(0.0);
    let slow_sd = c.within(&n("slow"), &noise.slow, 0.0..=0.4, small).unwrap_or(0.0);
    let slow_phi = c.number(&n("carries over"), &noise.carries_over, 0.0..=0.999).unwrap_or(0.0);
    let level_cv = c.within(&p("how sure"), &a.how_sure, 0.0..=1.0, "a part from 0 to 100 %").unwrap_or(0.0);
    let level_repeat = c.read(&p("stays with her"), &a.stays_with_her).unwrap_or(0.5);
    let once = a.once_a_day_gives.clone().unwrap_or_default();
    let once = once.over(&breed.once_a_day_gives.clone().unwrap_or_default());
    let o = |key: &str| under(&p("once a day gives"), key);
    let part = "a part from 10 to 100 %";
    let once_a_day = [
        c.within(&o("early"), &once.early, 0.1..=1.0, part).unwrap_or(1.0),
        c.within(&o("middle"), &once.middle, 0.1..=1.0, part).unwrap_or(1.0),
        c.within(&o("late"), &once.late, 0.1..=1.0, part).unwrap_or(1.0),
    ];
    let colostrum =
        c.within(&p("colostrum"), &a.colostrum, 0.0..=60.0, "a time up to 60 days").unwrap_or(0.0);
    let colostrum_to = health::colostrum_to(c, &p("colostrum goes to"), species, &a);
    let excess = c
        .within(&p("evening fat excess"), &a.evening_fat_excess, 0.0..=0.03, "points of fat from 0 to 3 %")
        .unwrap_or(0.0);
    // Milk is secreted evenly over the day: the morning's part is the part of
    // the 24 hours since the evening milking (common practice, no source).
    let morning_part = ((24.0 - (hours.evening - hours.morning)) / 24.0).clamp(0.05, 0.95);
    // What the family wrote holds at its own hours; a breed's figure was
    // measured at others.
    let excess = match own.evening_fat_excess {
        Some(_) => excess,
        None => evening_excess(excess, morning_part),
    };
    let morning_sd = c
        .within(&p("morning part varies"), &a.morning_part_varies, 0.0..=0.15, "a part from 0 to 15 %")
        .unwrap_or(0.0);
    let calf = calf(c, &p("calf"), species, &a);
    let calf_leaves = a.calf.as_ref().and_then(|k| health::date(c, run, &p("calf.gone"), &k.gone));
    let ill = health::health(c, known, at, species, &a);
    let (comes, leaves) = health::stay(c, run, at, &a);
    let months = health::months(c, at, &a, hot);
    let known_now = now::Known {
        name: &name,
        fresh: freshens_day,
        bred: bred.as_ref().map(|(b, _)| b),
        gestation: gestation.map(|s| (s.value, s.sd)),
        calf,
        curve: curves.first(),
        months: &months,
        once_a_day,
        milkings,
        comes,
    };
    let today = now::now(c, run, at, &a, &known_now);
    let (interval, interval_sd) = match today.as_ref().and_then(|t| t.interval) {
        Some((mean, sd)) => (Some(mean), sd),
        None => (interval, interval_sd),
    };
    let course = CoursePlan {
        first_lactation: lactation == 1,
        bred: bred.map(|(b, _)| b),
        dried_over,
        illness: ill.illness,
        dry_treatment: ill.dry_treatment,
        months,
        comes,
        leaves,
        calf_leaves,
        colostrum: colostrum_to,
        now: today.map(|t| t.now),
    };
    let milking_minutes = c.read(&p("milking takes"), &a.milking_takes).unwrap_or(10.0);
    let plan = AnimalPlan {
        species,
        curves,
        level_log_sd: super::log_sd(level_cv),
        level_repeat,
        white_sd,
        slow_sd,
        slow_phi,
        milkings,
        morning_part,
        morning_part_sd: morning_sd,
        evening_fat_excess: excess,
        freshens_day,
        freshens_sd,
        interval,
        interval_sd,
        dry_days,
        longest_days: longest as u16,
        colostrum_days: colostrum.round() as u16,
        once_a_day,
        calf,
        milking_minutes,
        course,
    };
    let breed = own.breed.as_ref().map_or_else(String::new, |t| t.get().to_owned());
    Some(Animal { plan, name, breed, lactation, usual_days: usual_days as usize, outlook })
}

/// Days dry before the next freshening, and days over which she is dried off
/// (0: at once).
fn dry_off(c: &mut Ctx, at: &str, text: &Option<Text>) -> (f64, u16) {
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
fn usual_interval(a: &raw::Animal) -> f64 {
    let words = a.interval.as_ref().map_or("", |q| q.as_str());
    let (mean, _) = split_spread(words);
    match whole_months(mean) {
        Some(months) => f64::from(months) * 365.25 / 12.0,
        None => crate::units::read::<Duration>(mean).unwrap_or(365.0),
    }
}

/// Mean and spread of the days from one freshening to the next; `None`: she is
/// not bred again.
fn again(
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

/// Appetite as a part of the dam's weight, kg a day per kg: at freshening, when
/// full, and the days until then. Worked out from calves of 25 to 40 kg that
/// drink a fifth of their weight and 10 to 12 L by week 8, and from two kids of
/// 0.95 to 1.4 L each; lambs as kids (our default).
fn appetite(species: Species) -> (f64, f64, u16) {
    match species {
        Species::Cow => (0.013, 0.024, 56),
        Species::Goat | Species::Sheep => (0.020, 0.040, 42),
    }
}

fn calf(c: &mut Ctx, at: &str, species: Species, a: &raw::Animal) -> Option<CalfPlan> {
    let raw = a.calf.as_ref()?;
    let p = |key: &str| under(at, key);
    let weight = c
        .within(&under(at, "weighs"), &a.weighs, 5.0..=2000.0, "a weight from 5 to 2000 kg")
        .unwrap_or(if species == Species::Cow { 450.0 } else { 65.0 });
    let (start, full, full_day) = appetite(species);
    let ages = "an age up to 1 year";
    let full_time = c.within(&p("full time until"), &raw.full_time_until, 0.0..=366.0, ages);
    let shut_in = c.within(&p("shut in overnight until"), &raw.shut_in_overnight_until, 0.0..=366.0, ages);
    if raw.full_time_until.is_none() && raw.shut_in_overnight_until.is_none() {
        c.error(
            at,
            "it is not said how long the calf stays",
            "write `{full time until: 3 weeks, shut in overnight until: 10 weeks}`",
        );
        return None;
    }
    let full_time = full_time.unwrap_or(0.0).round() as u16;
    let until = shut_in.map_or(full_time, |d| d.round() as u16);
    if until < full_time {
        c.error(
            &p("shut in overnight until"),
            "the calf is shut in overnight until an age before its full time ends",
            "the full time comes first",
        );
    }
    let drinks = "an amount up to 40 L a day";
    // The appetites stand for one calf, and for two kids or lambs.
    let usual_number = if species == Species::Cow { 1.0 } else { 2.0 };
    let number =
        c.within(&p("number"), &raw.number, 1.0..=6.0, "a number from 1 to 6").unwrap_or(usual_number);
    let each = number / usual_number;
    // What is written for one young holds for each, where their number is written.
    let written = if raw.number.is_some() { number } else { 1.0 };
    let plan = CalfPlan {
        full_time_until: full_time,
        shut_in_until: until.max(full_time),
        appetite_start_kg: c
            .within(&p("drinks at first"), &raw.drinks_at_first, 0.0..=40.0, drinks)
            .map_or(each * start * weight, |kg| written * kg),
        appetite_full_kg: c
            .within(&p("drinks later"), &raw.drinks_later, 0.0..=40.0, drinks)
            .map_or(each * full * weight, |kg| written * kg),
        appetite_full_day: c
            .within(&p("from age"), &raw.from_age, 1.0..=366.0, ages)
            .map_or(full_day, |d| d.round() as u16),
        // Both our default: hold-back lies between 0 and 20 %, and the pail is
        // leaner because an incomplete milking leaves the fattest milk behind.
        held_back: c.within(&p("held back"), &raw.held_back, 0.0..=0.9, "a part up to 90 %").unwrap_or(0.10),
        pail_fat_factor: c
            .within(&p("pail fat"), &raw.pail_fat, 0.3..=1.0, "a part from 30 to 100 %")
            .unwrap_or(0.85),
    };
    Some(plan)
}
