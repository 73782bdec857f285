//! What was understood, in the family's units, part by part.

mod animals;
mod opening;
mod recipes;
mod rooms;
mod rules;
mod trade;

use super::{
    Names, Plan, Understood, UnderstoodPart,
    check::Parts,
    plan::{AimMeasure, Bound},
};
use crate::{calendar, units::show};

/// Lines of one part.
struct Part(UnderstoodPart);

impl Part {
    fn new(title: impl Into<String>) -> Self {
        Self(UnderstoodPart { title: title.into(), lines: Vec::new() })
    }

    fn line(&mut self, label: impl Into<String>, text: impl Into<String>) -> &mut Self {
        self.0.lines.push((label.into(), text.into()));
        self
    }
}

pub(in crate::scenario) use rules::terms;

/// All parts.
pub(super) fn understood(plan: &Plan, names: &Names, p: &Parts) -> Understood {
    let mut parts = vec![calendar_part(plan, p)];
    parts.extend(p.animals.iter().map(|a| animals::animal(a, p)));
    parts.extend(p.fetches.iter().map(|(f, name)| animals::fetch(f, name, p)));
    parts.push(people(plan, p));
    if !plan.household.wishes.is_empty() {
        parts.push(wishes(plan, names, p));
    }
    parts.push(rooms::jars(plan, p));
    parts.push(opening::in_store(plan, p));
    parts.extend(p.rooms.stores.iter().skip(1).map(|s| rooms::store(plan, s, p)));
    parts.push(rooms::cold(plan, p));
    if !plan.rules.is_empty() {
        parts.push(rules::rules(plan, names, p));
    }
    parts.push(recipes::recipes(plan, names, p));
    parts.push(recipes::kitchen(plan, p));
    parts.push(rules::when_full(plan, names));
    if !plan.outlets.is_empty() {
        parts.push(rules::outlets(plan, names, p));
    }
    parts.extend(trade::parts(plan, names, p));
    parts.push(keeping(plan, p));
    if !plan.aims.is_empty() {
        parts.push(aims(plan, names));
    }
    Understood { parts: parts.into_iter().map(|p| p.0).filter(|p| !p.lines.is_empty()).collect() }
}

fn calendar_part(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("Calendar");
    let days = plan.days.len() as f64;
    part.line("from", calendar::show(p.run.first));
    part.line("until", format!("{} ({})", calendar::show(p.run.last()), show::counted(days, "day", "days")));
    let away = plan.days.iter().filter(|d| d.away).count();
    if away > 0 {
        let days = show::counted(away as f64, "day", "days");
        let then =
            if plan.animals.is_empty() { "nothing is fetched" } else { "whoever milks keeps the milk" };
        part.line("away", format!("{days}; {then} then"));
    }
    let h = plan.hours;
    let clock = |t: f64| format!("{}:{:02.0}", t.floor(), (t - t.floor()) * 60.0);
    part.line(
        "hours",
        format!(
            "milking at {}, kitchen at {}, meals at {}, evening milking at {}",
            clock(h.morning),
            clock(h.kitchen),
            clock(h.meals),
            clock(h.evening)
        ),
    );
    part
}

fn people(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("Household");
    for (name, count, chance, kg) in &p.people.kinds {
        let many = if *count > 1 { format!("{count} × {name}") } else { name.clone() };
        let days =
            if *chance >= 0.9995 { String::new() } else { format!(" on {} of days", show::part(*chance)) };
        let each = if *count > 1 { " each" } else { "" };
        part.line(many, format!("drinks {}{each}{days}", show::milk(*kg, p.units)));
    }
    let a_day = p.people.kg_a_day();
    if a_day > 0.0 {
        part.line("all at home together", format!("{} of milk a day", show::milk(a_day, p.units)));
    }
    let h = &plan.household;
    let month = |m: usize| h.kitchen_minutes[m].iter().sum::<f64>();
    let (least, most) = (0..12).map(month).fold((f64::INFINITY, 0.0f64), |(a, b), m| (a.min(m), b.max(m)));
    let time = if most - least < 0.5 {
        format!("{} a week", show::minutes(most))
    } else {
        format!("{} to {} a week by month", show::minutes(least), show::minutes(most))
    };
    part.line("kitchen time", format!("{time}, for skimming and making"));
    let mut chores = vec![format!("{} a jar", show::minutes(h.jar_minutes))];
    if !plan.animals.is_empty() {
        chores.insert(0, format!("{} a milking beside the milking itself", show::minutes(h.chore_minutes)));
    }
    if !plan.outlets.is_empty() {
        chores.push(format!("{} of feeding a day", show::minutes(h.feeding_minutes)));
    }
    part.line("chores", chores.join(", "));
    part.line(
        "kept back",
        format!("{} of drinking milk before any rule may take milk", show::duration(h.kept_back_days)),
    );
    let drinks: Vec<&str> = h
        .drinks
        .iter()
        .filter(|&&i| Some(i) != h.frozen_milk)
        .map(|&i| p.items.names[i.at()].as_str())
        .collect();
    let which = if h.newest_first { "newest" } else { "oldest" };
    part.line("on the table", format!("{}; the {which} jar first", drinks.join(", then ")));
    let from = f64::from(h.drink_from_day);
    if from > 0.0 && from < plan.days.len() as f64 && !plan.household.people.is_empty() {
        let date = calendar::show(p.run.date_of(from));
        part.line("missed from", format!("the first milk on, at the latest from {date}"));
    }
    if h.frozen_milk.is_some() {
        part.line("thawed milk", format!("may be {} of a day's drinking", show::part(h.thawed_part)));
    }
    part
}

fn wishes(plan: &Plan, names: &Names, p: &Parts) -> Part {
    let mut part = Part::new("Wishes");
    for (w, name) in plan.household.wishes.iter().zip(&names.wishes) {
        let density = p.items.density(&w.items);
        let liquid = matches!(
            plan.items[w.items[0].at()].container,
            super::plan::Container::Jar { .. } | super::plan::Container::Bucket
        );
        let amount =
            |kg: f64| if liquid { show::volume(kg / density, p.units) } else { show::mass(kg, p.units) };
        let mut text = format!("{} a week", amount(w.at_least_kg));
        if w.gladly_kg > w.at_least_kg {
            text = format!("{text}, gladly up to {}", amount(w.gladly_kg));
        }
        if w.from_day > 0 {
            text = format!("{text}, from {}", calendar::show(p.run.date_of(f64::from(w.from_day))));
        }
        part.line(name.clone(), text);
    }
    part
}

fn keeping(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("Keeping");
    let k = plan.keeping;
    part.line(
        "milk",
        format!(
            "stays sweet for {} days at {} on average ({})",
            show::fixed(k.life_days, 1),
            show::temperature(4.0, p.units),
            p.cleanliness()
        ),
    );
    if k.spell_rate > 0.0 {
        let a_year = k.spell_rate * 365.25;
        part.line(
            "foul milk",
            format!(
                "{} spells a year of {} each; {} of the milkings in them go foul",
                show::rough(a_year),
                show::duration(k.spell_days),
                show::part(k.spell_foul)
            ),
        );
    }
    part.line("kicked pail", format!("{} of milkings", show::part(k.spill)));
    part
}

fn aims(plan: &Plan, names: &Names) -> Part {
    let mut part = Part::new("Aims");
    for (aim, words) in plan.aims.iter().zip(&names.aims) {
        let measure = match aim.measure {
            AimMeasure::WastedPart => "of the milk fit for people, what is wasted",
            AimMeasure::MilkDays => "of all days, those with drinking milk for all",
            AimMeasure::MilkFill => "of the drinking milk wanted, what is served",
            AimMeasure::WishFill(_) => "of what is wished for, what is served",
            AimMeasure::DryFill => "of the drinking milk wanted in the dry weeks, what is served",
            AimMeasure::DaysOverFull => "days on which the cold room is too full",
            AimMeasure::HandsMean => "minutes a day, chores and kitchen together",
            AimMeasure::HandsBusiest => "minutes on the busiest day",
            AimMeasure::ShareFill => "of what the members were promised, what they got",
            AimMeasure::ShareWorstWeek => {
                "of what the worst-served member was promised in the worst week, what came"
            }
        };
        let side = match aim.bound {
            Bound::AtMost(_) => "not more than",
            Bound::AtLeast(_) => "not less than",
        };
        part.line(words.clone(), format!("{measure}, {side} that"));
    }
    part
}
