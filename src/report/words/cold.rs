//! Strict chilling, what stands beside warm milk, ice, and power outages.

use super::Voice;
use crate::report::amounts::{counted, of};
use crate::report::page::Page;
use crate::units::show::{number, rough};

pub(super) fn write(v: &Voice, page: &mut Page) {
    let (strict, ice) = (strict(v), ice(v));
    // What belongs to the chilling goes on under its heading.
    for text in [strict, beside(v), ice].into_iter().filter(|t| !t.is_empty()) {
        page.say(text);
    }
    let power = [energy(v), outages(v)].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>();
    page.part("Power", power.join(" "));
}

/// What the stores use, as the file says.
fn energy(v: &Voice) -> String {
    let Some(used) = middle(v, "energy_used") else { return String::new() };
    let run = used * f64::from(v.result.days);
    format!(
        "The stores use {} kWh of electricity a day as written under `uses`, {} kWh in the {}; milk that is chilled \
         is not counted on top.",
        rough(used),
        number(run),
        v.span.one()
    )
}

fn middle(v: &Voice, name: &str) -> Option<f64> {
    v.measure(name).map(|m| m.quantiles[2])
}

fn strict(v: &Voice) -> String {
    if v.measure("chill_hours").is_none_or(|m| m.max <= 0.0) {
        return String::new();
    }
    let (Some(one), Some(two)) = (middle(v, "chill_late_1h_part"), middle(v, "chill_late_2h_part")) else {
        return String::new();
    };
    let kept = |late: f64| match late {
        x if x <= 0.0 => "every milking".to_owned(),
        x if x >= 1.0 - 1e-9 => "no milking".to_owned(),
        x => format!("{} milkings", of(1.0 - x)),
    };
    format!(
        "At {} within one hour, as careful small dairies ask of themselves: {}; within two hours, as some states ask: \
         {}.",
        v.show.temperature(4.4),
        kept(one),
        kept(two)
    )
}

fn beside(v: &Voice) -> String {
    let Some(days) = middle(v, "neighbour_life").filter(|d| *d >= 0.02) else { return String::new() };
    format!(
        "Warm milk warms what stands beside it: in the same fridge a day costs the older milk {} more of its life.",
        counted(days * 24.0, "hour", "hours")
    )
}

fn ice(v: &Voice) -> String {
    let Some(used) = v.measure("ice_used").filter(|m| m.max > 0.0) else { return String::new() };
    let mut out = format!("The bath takes {} of ice", v.range(used, |kg| v.show.mass(kg)));
    out.push_str(&match middle(v, "ice_short_part") {
        Some(p) if p >= 1.0 - 1e-9 => ", and there is too little for every milking.".to_owned(),
        Some(p) if p > 0.0 => format!(", and there is too little for {} milkings.", of(p)),
        _ => ", and there is enough.".to_owned(),
    });
    out
}

fn outages(v: &Voice) -> String {
    let Some(times) = v.measure("outages").filter(|m| m.max > 0.0) else { return String::new() };
    let mut out = format!("The power fails {}", v.range(times, |n| counted(n, "time", "times")));
    if let Some(hours) = v.measure("outage_hours") {
        out.push_str(&format!(", for {} together", v.range(hours, |h| counted(h, "hour", "hours"))));
    }
    out.push('.');
    if let Some(part) = v.part_above("outage_discards", 0.5).filter(|p| *p > 0.0) {
        out.push_str(&format!(" Milk and the like that stood too warm is discarded {}", v.in_of(part)));
        if let Some(kg) = v.measure("wasted_outage").filter(|m| m.quantiles[4] > 0.0) {
            out.push_str(&format!(" ({})", v.range(kg, |kg| v.show.mass(kg))));
        }
        out.push('.');
    }
    out.push_str(
        " Keep the door shut. Public advice is to discard milk that was above 4 °C (40 °F) for two hours or more; \
         smell and taste do not tell.",
    );
    out
}
