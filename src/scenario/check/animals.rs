//! Milked animals: curves, composition, freshenings, calf.

use super::{
    super::{
        names::HerdName,
        plan::{AnimalPlan, CoursePlan, Hours, Species},
        raw,
    },
    Known,
    breeding::{self, Outlook},
    calendar::{Run, date_spread},
    context::{Ctx, entry, under},
    curves::curves,
    health, now, weather,
    year::{again, dry_off, usual_interval},
    young,
};
use crate::dairy::composition::evening_excess;

/// Days of a lactation over which totals are counted, unless a breed says
/// otherwise (the usual 305 days of milk recording, common practice).
const USUAL_DAYS: f64 = 305.0;
/// Longest lactation that may be asked for, days (a bound of the program).
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
    /// The part of her milk that she gives on a day of a lactation, counted from 0, when
    /// milked once a day.
    pub(in crate::scenario) fn once_a_day(&self, day: usize) -> f64 {
        let stage = usize::from(day >= 100) + usize::from(day >= 200);
        self.plan.once_a_day[stage]
    }

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
    hot: Option<&weather::Excess>,
    raw: &raw::Scenario,
) -> Vec<Animal> {
    let mut all: Vec<Animal> = Vec::new();
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
        if let Some(animal) = one(c, known, run, hours, own, &at, name, hot) {
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
    hot: Option<&weather::Excess>,
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
    let pull = breeding::pull(c, at, &about);
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
    let calf = young::calf(c, &p("calf"), species, &a);
    let calf_leaves = a.calf.as_ref().and_then(|k| health::date(c, run, &p("calf.gone"), &k.gone));
    let ill = health::health(c, known, at, species, &a);
    let (comes, leaves) = health::stay(c, run, at, &a);
    let (months, hot_months) = weather::months(c, at, &a, hot);
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
        pull,
        months,
        hot_months,
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
