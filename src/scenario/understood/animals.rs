//! Animals and fetches, as understood.

use super::{
    super::{
        check::{Animal, Parts},
        plan::{AnimalPlan, ColostrumTo, FetchPlan, Species},
    },
    Part,
};
use crate::dairy::breeding::MOST_HEATS;
use crate::dairy::cream::{Grade, Layer};
use crate::units::UnitSystem;
use crate::{calendar, units::show};

fn ordinal(n: u32) -> String {
    let end = match (n % 10, n % 100) {
        (1, k) if k != 11 => "st",
        (2, k) if k != 12 => "nd",
        (3, k) if k != 13 => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}

fn give_or_take(sd: f64) -> String {
    if sd < 0.05 { String::new() } else { format!(", give or take {}", show::duration(sd)) }
}

pub(super) fn animal(a: &Animal, p: &Parts) -> Part {
    let mut part = Part::new(a.name.clone());
    let (plan, sys) = (&a.plan, p.units);
    let kind = match plan.species {
        Species::Cow => "cow",
        Species::Goat => "goat",
        Species::Sheep => "sheep",
    };
    part.line("kind", format!("{} {kind}, {} lactation", a.breed, ordinal(a.lactation)));
    let date = |day: f64| calendar::show(p.run.date_of(day));
    let word = if plan.freshens_day < 0.0 { "freshened" } else { "freshens" };
    part.line(word, format!("{}{}", date(plan.freshens_day), give_or_take(plan.freshens_sd)));
    stay(&mut part, plan, p);
    year(&mut part, a, p);
    if let Some(now) = &plan.course.now {
        super::opening::now(&mut part, now, p);
    }
    if let Some(curve) = plan.curves.first() {
        let n = a.usual_days.min(curve.yield_kg.len());
        let kg = &curve.yield_kg[..n];
        let once = |day: usize| if plan.milkings == 1 { a.once_a_day(day) } else { 1.0 };
        let daily = || kg.iter().enumerate().map(|(d, y)| y * once(d));
        let peak = daily().fold(0.0, f64::max);
        let peak_day = daily().position(|y| y >= peak).unwrap_or(0) + 1;
        let total: f64 = daily().sum();
        part.line("at the peak", format!("{}, around day {peak_day}", show::milk_a_day(peak, sys)));
        part.line(
            "whole lactation",
            format!("{} in {n} days ({})", show::milk(total, sys), show::mass(total, sys)),
        );
        let mean = |of: &[f64]| {
            let sum: f64 = kg.iter().zip(of).map(|(k, f)| k * f).sum();
            sum / kg.iter().sum::<f64>().max(1e-12)
        };
        part.line(
            "fat and protein",
            format!("{} and {} on average", show::part(mean(&curve.fat)), show::part(mean(&curve.protein))),
        );
        cream_line(&mut part, mean(&curve.fat), plan.species, sys);
        let spread = (plan.level_log_sd.powi(2).exp() - 1.0).sqrt();
        if spread > 0.0 {
            let (low, high) = (total * (-plan.level_log_sd).exp(), total * plan.level_log_sd.exp());
            part.line(
                "how sure",
                format!(
                    "give or take {}: in 2 of 3 years between {} and {}",
                    show::part(spread),
                    show::milk(low, sys),
                    show::milk(high, sys)
                ),
            );
        }
    }
    let morning = show::part(plan.morning_part);
    let milked = if plan.milkings == 2 {
        format!(
            "twice a day, {morning} of it in the morning, {} a milking by hand",
            show::minutes(plan.milking_minutes)
        )
    } else {
        format!("once a day, {} by hand", show::minutes(plan.milking_minutes))
    };
    part.line("milked", milked);
    part.line(
        "kept from people",
        format!(
            "the first {} after freshening{}",
            show::duration(f64::from(plan.colostrum_days)),
            colostrum(plan, sys)
        ),
    );
    health(&mut part, plan);
    hot_months(&mut part, plan);
    if let Some(calf) = plan.calf {
        let [full, until, last] =
            [calf.full_time_until, calf.shut_in_until, calf.let_in_until].map(f64::from);
        let mut stages = Vec::new();
        if full > 0.0 {
            stages.push(format!("with her day and night for {}", show::duration(full)));
        }
        if until > full {
            let hours = show::duration(calf.apart_part);
            let apart = calf.apart.words();
            stages.push(format!("shut in {apart} for {hours} until it is {} old", show::duration(until)));
        }
        if last > until {
            stages.push(format!("{} until it is {} old", LET_IN, show::duration(last)));
        }
        let drinks = format!(
            "drinks {} at first, {} later",
            show::milk_a_day(calf.appetite_start_kg, sys),
            show::milk_a_day(calf.appetite_full_kg, sys)
        );
        let text = if stages.is_empty() {
            "not left on her".to_owned()
        } else {
            format!("{}; {drinks}", stages.join(", then "))
        };
        part.line("her young", text);
        if calf.dies > 0.0 {
            part.line("her young may die", format!("{} in the first eight weeks", show::part(calf.dies)));
        }
        if let Some(day) = plan.course.calf_leaves {
            part.line("her young is gone", format!("from {}", date(f64::from(day))));
        }
    }
    part
}

/// What a calf is that is shut in but after milkings.
const LET_IN: &str = "let in to her after milkings only";

/// Where her colostrum goes.
fn colostrum(plan: &AnimalPlan, sys: UnitSystem) -> String {
    if plan.colostrum_days == 0 {
        return String::new();
    }
    let c = &plan.course.colostrum;
    let young = plan.species.young();
    let mut words: Vec<String> =
        c.to.iter()
            .map(|to| match to {
                ColostrumTo::Newborn => {
                    format!("to her {young}, on her or up to {} a day off her", show::milk(c.newborn_kg, sys))
                }
                ColostrumTo::AnimalsFed => "to the animals that are fed".to_owned(),
                ColostrumTo::Freezer => {
                    format!("up to {} into the freezer for a newborn", show::milk(c.frozen_kg, sys))
                }
            })
            .collect();
    words.push("the rest poured out".to_owned());
    format!(": {}", words.join(", then "))
}

/// When she comes and goes.
fn stay(part: &mut Part, plan: &AnimalPlan, p: &Parts) {
    let date = |day: i32| calendar::show(p.run.date_of(f64::from(day)));
    if let Some(day) = plan.course.comes {
        part.line("comes", date(day));
    }
    if let Some(day) = plan.course.leaves {
        part.line("leaves", date(day));
    }
}

/// Breeding, the next freshening, the dry weeks.
fn year(part: &mut Part, a: &Animal, p: &Parts) {
    let plan = &a.plan;
    let date = |day: f64| calendar::show(p.run.date_of(day));
    // What would come after she has left is not told.
    let gone = plan.course.leaves.map_or(f64::INFINITY, f64::from);
    let longest = || date((plan.freshens_day + f64::from(plan.longest_days)).min(gone));
    let dry = match plan.course.dried_over {
        0 => String::new(),
        days => format!(", over {days} days, milked once a day and less and less"),
    };
    let (Some(bred), Some(o)) = (&plan.course.bred, a.outlook) else {
        match plan.interval {
            Some(i) => {
                let next = plan.freshens_day + i;
                dried_off(part, plan, next, &dry, p);
                let spread = plan.interval_sd.hypot(plan.freshens_sd);
                if next < gone {
                    part.line("freshens again", format!("{}{}", date(next), give_or_take(spread)));
                }
            }
            None => {
                part.line("not bred again", format!("milks on, at the longest until {}", longest()));
            }
        }
        return;
    };
    let tries = match bred.tries {
        n if n as usize >= MOST_HEATS => String::new(),
        n => format!(", at most {}", show::counted(f64::from(n), "time", "times")),
    };
    let until = bred.trying(plan.freshens_day).until;
    let again = if bred.again { ", and again each year" } else { "" };
    let until =
        if until.is_finite() { format!(", until {}{again}", date(until - 1.0)) } else { String::new() };
    if o.first_heat >= gone {
        return;
    }
    part.line(
        "bred",
        format!(
            "from {} on: a heat every {}, {} of them used, she settles at {} of those{tries}{until}",
            date(o.first_heat),
            show::duration(bred.cycle_days),
            show::part(bred.seen),
            show::part(bred.settles)
        ),
    );
    let fails = 1.0 - o.settled;
    let [low, middle, high] = o.next;
    if fails < 0.0005 {
        part.line("does not settle", "hardly ever");
    } else {
        part.line(
            "does not settle",
            format!(
                "after {} of freshenings; then she milks on, at the longest until {}",
                show::part(fails),
                longest()
            ),
        );
    }
    if middle >= gone {
        dried_off(part, plan, middle, &dry, p);
        return;
    }
    part.line(
        "freshens again",
        format!("about {}; in 9 of 10 years between {} and {}", date(middle), date(low), date(high)),
    );
    let dry_days = dried_off(part, plan, middle, &dry, p);
    // Dried off by the day on which she is due; 19 in 20 lie within 1.645
    // standard deviations on either side of nine in ten.
    let spread = 1.645 * bred.gestation_sd;
    let weeks = |days: f64| show::fixed((days / 7.0).max(0.0), 1);
    part.line(
        "dry weeks",
        format!(
            "{} on average; in 9 of 10 years {} to {}, as she carries",
            weeks(dry_days),
            weeks(dry_days - spread),
            weeks(dry_days + spread)
        ),
    );
}

/// When her milk ends before a next freshening: dried off, or by itself where her
/// lactation is over before that; how many days before it.
fn dried_off(part: &mut Part, plan: &AnimalPlan, next: f64, dry: &str, p: &Parts) -> f64 {
    let date = |day: f64| calendar::show(p.run.date_of(day));
    let longest = plan.curves.first().map_or(0, |c| c.yield_kg.len()).min(usize::from(plan.longest_days));
    let ends = plan.freshens_day + longest as f64;
    if plan.course.leaves.is_some_and(|day| ends.min(next - plan.dry_days) >= f64::from(day)) {
        return next - ends.min(next - plan.dry_days);
    }
    if ends < next - plan.dry_days - 0.5 {
        part.line(
            "dry",
            format!(
                "about {}: her milk ends by itself after {}, before she would be dried off",
                date(ends),
                show::duration(longest as f64)
            ),
        );
        return next - ends;
    }
    part.line("dried off", format!("about {}{dry}", date(next - plan.dry_days)));
    plan.dry_days
}

/// Illness and what is kept from people for it.
fn health(part: &mut Part, plan: &AnimalPlan) {
    match &plan.course.illness {
        None => {
            part.line("illness", "left out");
        }
        Some(ill) => {
            let cases = if plan.course.first_lactation { ill.first } else { ill.later };
            let untreated = if ill.treated < 0.9995 {
                format!("; without, for about {}", show::duration(ill.abnormal_days))
            } else {
                String::new()
            };
            part.line(
                "illness",
                format!(
                    "mastitis: {} in 100 lactations, half of them in the first three months; it takes {} of the milk at once and {} for good",
                    show::counted((100.0 * cases).round(), "case", "cases"),
                    show::part(ill.at_once),
                    show::part(ill.stays)
                ),
            );
            part.line(
                "kept from people then",
                format!(
                    "with a medicine ({} of cases) for about {}: {} of treatment and {} of withdrawal{untreated}",
                    show::part(ill.treated),
                    show::duration(ill.treatment_days + ill.withdrawal_days),
                    show::duration(ill.treatment_days),
                    show::duration(ill.withdrawal_days)
                ),
            );
        }
    }
    if let Some((dried, fresh)) = plan.course.dry_treatment {
        part.line(
            "treated when dried off",
            format!(
                "milk kept from people until {} after that, and {} after freshening",
                show::duration(dried),
                show::duration(fresh)
            ),
        );
    }
}

/// Months that change her milk.
fn hot_months(part: &mut Part, plan: &AnimalPlan) {
    let changed: Vec<String> = plan
        .course
        .months
        .iter()
        .enumerate()
        .filter(|(_, f)| (*f - 1.0).abs() > 0.002)
        .map(|(m, f)| format!("{} {}", calendar::short_month(m as u8), show::part(*f)))
        .collect();
    if !changed.is_empty() {
        part.line("by month", format!("of her milk: {}", changed.join(", ")));
    }
}

pub(super) fn fetch(f: &FetchPlan, name: &str, p: &Parts) -> Part {
    let mut part = Part::new(name);
    let days = super::super::check::day_words(f.weekdays);
    let spread = if f.log_sd > 0.0 {
        format!(", give or take {}", show::part((f.log_sd.powi(2).exp() - 1.0).sqrt()))
    } else {
        String::new()
    };
    part.line("fetched", format!("{}{spread}, on {days}", show::milk(f.kg, p.units)));
    let a_week = f.kg * f64::from(f.weekdays.count_ones());
    part.line("a week", show::milk(a_week, p.units));
    let date = |d: u32| calendar::show(p.run.date_of(f64::from(d)));
    part.line("from", format!("{} until {}", date(f.from_day), date(f.until_day)));
    part.line("age on arrival", show::duration(f.age_days));
    part.line("fat and protein", format!("{} and {}", show::part(f.fat), show::part(f.protein)));
    if f.fails > 0.0 {
        part.line("does not come", format!("{} of the time", show::part(f.fails)));
    }
    part
}

/// The cream line of a jar of average milk after a day at 4 °C, with the grades
/// of the standards of identity that its depths reach.
fn cream_line(part: &mut Part, fat: f64, species: Species, sys: UnitSystem) {
    const HOURS: f64 = 24.0;
    let layer = Layer::at_rest(fat, HOURS, species);
    let of_all = match sys {
        UnitSystem::Us => format!("{:.2} qt a gallon", 4.0 * layer.volume_part),
        UnitSystem::Metric => format!("{:.0} mL a litre", 1000.0 * layer.volume_part),
    };
    if layer.volume_part < 0.05 {
        part.line("cream", format!("hardly rises in a day ({of_all}); use a separator to skim"));
        return;
    }
    let mut text = format!(
        "after a day in the cold {} of the jar ({of_all}), {} fat: {}",
        show::part(layer.volume_part),
        show::part(layer.mean_fat()),
        grade_words(Grade::of(layer.mean_fat()))
    );
    if let Some(top) = layer.depth_of_grade(Grade::Heavy.least_fat()) {
        text += &format!(
            "; its top {} alone is {}",
            show::part((top / layer.volume_part).min(1.0)),
            grade_words(Grade::Heavy)
        );
    }
    text += &format!("; {} is left below", show::part(layer.below_fat));
    part.line("cream", text);
}

/// A grade as the standards of identity of the US name it (21 CFR 131).
fn grade_words(grade: Grade) -> &'static str {
    match grade {
        Grade::Heavy => "heavy cream (36 % and over)",
        Grade::LightWhipping => "light whipping cream (30 to 36 %)",
        Grade::Light => "light cream (18 to 30 %)",
        Grade::HalfAndHalf => "half-and-half (10.5 to 18 %)",
        Grade::Milk => "milk (under 10.5 %)",
    }
}
