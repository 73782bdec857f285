//! What stands there on the first day, as understood.

use super::{
    super::{
        check::Parts,
        plan::{AnimalNow, Container, InCalf, OpeningLife, OpeningLot, Plan},
    },
    Part,
};
use crate::{calendar, units::show};

/// What is in store; no lines where nothing is.
pub(super) fn in_store(plan: &Plan, p: &Parts) -> Part {
    let mut part = Part::new("In store on the first day");
    for lot in &plan.opening.lots {
        let (Some(item), Some(name)) = (plan.items.get(lot.item.at()), p.items.names.get(lot.item.at()))
        else {
            continue;
        };
        let amount = match item.container {
            Container::Volume { .. } => show::mass(lot.matter.mass, p.units),
            _ => show::volume(lot.matter.mass / item.density, p.units),
        };
        let jars = lot.jars.and_then(|(size, n)| {
            let name = &p.rooms.jars.get(size.at())?.name;
            Some(format!(
                " in {}",
                show::counted(f64::from(n), &format!("{name} jar"), &format!("{name} jars"))
            ))
        });
        let store = p.rooms.stores.get(usize::from(lot.store)).map_or("counter", |s| s.name.as_str());
        part.line(
            name.clone(),
            format!(
                "{amount}{}, of {}, {store}; {} fat; {}",
                jars.unwrap_or_default(),
                calendar::show(p.run.date_of(lot.drawn)),
                show::part(lot.matter.fat_part()),
                life(lot, plan, p)
            ),
        );
    }
    let away: u32 = plan.opening.jars_away.iter().flatten().sum();
    if away > 0 {
        part.line("with members", show::counted(f64::from(away), "jar", "jars"));
    }
    if plan.opening.owed_kg > 0.0 {
        part.line("owed to members", show::milk(plan.opening.owed_kg, p.units));
    }
    part
}

fn life(lot: &OpeningLot, plan: &Plan, p: &Parts) -> String {
    if lot.ready > 0.0 {
        return format!("ready on {}", calendar::show(p.run.date_of(lot.ready)));
    }
    let of = |days: f64| show::duration(days.max(0.0));
    match lot.life {
        OpeningLife::Drawn { used, .. } => {
            format!("{} of about {} of sweet life used up", of(used), of(plan.keeping.life_days))
        }
        OpeningLife::Left(left) if plan.items[lot.item.at()].sweet => {
            format!("good for {} at 4 °C (40 °F)", of(left))
        }
        OpeningLife::Left(left) => format!("{} of its time left", show::part(left)),
    }
}

/// How an animal stands today.
pub(super) fn now(part: &mut Part, now: &AnimalNow, p: &Parts) {
    let date = |day: i32| calendar::show(p.run.date_of(f64::from(day)));
    if let Some((day, known)) = now.bred {
        let known = match known {
            InCalf::Known => "known to be in calf",
            InCalf::Hoped => "not known to be in calf",
        };
        part.line("bred", format!("{}, {known}", date(day)));
    }
    if now.open {
        part.line("bred", "not in calf: the next heats count");
    }
    if let Some(day) = now.ill_since {
        part.line("ill", format!("since {}", date(day)));
    }
    if let Some(day) = now.kept_until {
        part.line("kept from people now", format!("until {}, that day included", date(day)));
    }
    if let Some(day) = now.dried_off {
        part.line("dried off already", date(day));
    }
    if now.calf_gone {
        part.line("her young now", "gone");
    }
    if now.calf_shut_in {
        part.line("her young now", "shut in overnight");
    }
    if let Some(day) = now.once_until {
        part.line("once a day", format!("until {}", date(day)));
    }
    if let Some((level, sd)) = now.level {
        let sure = if sd > 0.0 { format!(", give or take {}", show::part(sd)) } else { String::new() };
        part.line("gives now", format!("{} of her curve{sure}", show::part(level)));
    }
}
