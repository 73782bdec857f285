//! What is made, and what it needs, as understood.

use super::{
    super::{Names, Plan, check::Parts, plan::RecipePlan},
    Part,
};
use crate::units::show;

/// One line a recipe: heating, blend, equipment, hours at home, starter.
pub(super) fn recipes(plan: &Plan, names: &Names, p: &Parts) -> Part {
    let mut part = Part::new("What is made");
    for (r, name) in plan.recipes.iter().zip(&names.recipes) {
        part.line(name.clone(), recipe(plan, names, p, r));
    }
    part
}

fn recipe(plan: &Plan, names: &Names, p: &Parts, r: &RecipePlan) -> String {
    let item = |id: &super::super::plan::ItemId| names.items[id.at()].as_str();
    let mut words = Vec::new();
    if r.heated {
        words.push("heated first".to_owned());
    } else if r.fails_when_foul > 0.0 {
        words.push("left raw".to_owned());
    }
    for input in &r.inputs {
        if let Some(b) = &input.blend {
            let (of, with): (Vec<_>, Vec<_>) =
                (input.items.iter().map(item).collect(), b.with.iter().map(item).collect());
            words.push(format!(
                "{} blended with {} to {} % of fat",
                show::listed(&of),
                show::listed(&with),
                show::fixed(b.fat * 100.0, 1)
            ));
        }
    }
    let uses: Vec<String> = r
        .uses
        .iter()
        .map(|u| format!("the {} for {}", p.equipment[usize::from(u.what)], show::duration(u.hours / 24.0)))
        .collect();
    if !uses.is_empty() {
        let uses: Vec<&str> = uses.iter().map(String::as_str).collect();
        words.push(format!("uses {}", show::listed(&uses)));
    }
    if r.home_hours > 0.0 && !plan.kitchen.home_hours.is_empty() {
        words.push(format!("somebody is at home for {}", show::duration(r.home_hours / 24.0)));
    }
    if let Some(s) = r.starter.map(usize::from) {
        let starter = plan.kitchen.starters[s];
        let then = if starter.upkeep_kg > 0.0 {
            format!("else a small one of {}", show::milk(starter.upkeep_kg, p.units))
        } else {
            "else bought anew".to_owned()
        };
        words.push(format!(
            "starter ({}): a batch every {}, {then}",
            p.starters[s],
            show::duration(starter.lives_days)
        ));
    }
    if let Some(hours) = r.ripens_hours {
        let (low, high) = hours.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), &h| (a.min(h), b.max(h)));
        let [low, high] = [low, high].map(|h| show::duration(h / 24.0));
        let between =
            if low == high { low } else { format!("{low} in the warmest month, {high} in the coldest") };
        words.push(format!("ready after {between}, as warm as the kitchen is"));
    }
    if r.fails > 0.0 {
        words.push(format!("{} of batches fail", show::part(r.fails)));
    }
    if words.is_empty() {
        words.push(plainly(names, r));
    }
    words.join("; ")
}

/// Of what it is made and how long it takes, where there is nothing else to say.
fn plainly(names: &Names, r: &RecipePlan) -> String {
    let of: Vec<&str> = r
        .inputs
        .iter()
        .filter_map(|i| i.items.first())
        .filter_map(|i| names.items.get(i.at()))
        .map(String::as_str)
        .collect();
    let ready = if r.ready_hours > 0.0 {
        format!(", ready after {}", show::duration(r.ready_hours / 24.0))
    } else {
        String::new()
    };
    format!("of {}, {} a batch{ready}", show::listed(&of), show::minutes(r.minutes))
}

/// What the kitchen has.
pub(super) fn kitchen(plan: &Plan, p: &Parts) -> Part {
    const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let mut part = Part::new("Kitchen");
    for ((name, holds_l), &count) in p.equipment.iter().zip(&p.equipment_l).zip(&plan.kitchen.equipment) {
        let mut text = match count {
            0 => "none".to_owned(),
            1 => "one batch at a time".to_owned(),
            n => format!("{n} batches at a time"),
        };
        if holds_l.is_finite() && count > 0 {
            text = format!("{text}, up to {} each", show::volume(*holds_l, p.units));
        }
        part.line(name.clone(), text);
    }
    if !plan.kitchen.home_hours.is_empty() {
        // Months that are alike are told together.
        let mut told: Vec<(Vec<&str>, [f64; 7])> = Vec::new();
        for (m, week) in plan.kitchen.home_hours.iter().enumerate() {
            let month = crate::calendar::short_month(m as u8);
            match told.iter_mut().find(|(_, of)| of == week) {
                Some((months, _)) => months.push(month),
                None => told.push((vec![month], *week)),
            }
        }
        let one = told.len() == 1;
        for (months, week) in told {
            let days: Vec<String> =
                DAYS.iter().zip(&week).map(|(d, h)| format!("{d} {}", show::minutes(h * 60.0))).collect();
            let when = if one { String::new() } else { format!(" in {}", show::listed(&months)) };
            part.line("somebody at home", format!("from the kitchen hour on{when}: {}", days.join(", ")));
        }
    }
    part
}
