//! Jar sizes.

use super::{
    super::{
        plan::{JarPlan, MAX_JARS, PlaceKind},
        raw::{self, Entries, Scenario, TextOr},
    },
    Known,
    context::{Ctx, under},
    rooms::Rooms,
};
use crate::{dairy::packing, units::MILK_KG_PER_L};

/// A jar size.
#[derive(Clone, Debug)]
pub(in crate::scenario) struct Jar {
    pub name: String,
    pub plan: JarPlan,
    pub shape: packing::Jar,
    pub glass_kg: f64,
    /// What it is sold as, L.
    pub holds_l: f64,
}

/// Reads jars, largest first.
pub(super) fn jars(c: &mut Ctx, known: &Known, raw: &Scenario) -> Vec<Jar> {
    let mut all = Vec::new();
    let empty = Entries::default();
    for (name, jar) in raw.jars.as_ref().unwrap_or(&empty).iter() {
        let at = under("jars", name);
        let own = match jar {
            TextOr::Short(t) => raw::Jar { count: Some(t.get().into()), ..raw::Jar::default() },
            TextOr::Long(j) => j.clone(),
        };
        let preset = known.library.jars.iter().find(|(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, j)| j);
        let p = |key: &str| {
            let full = under(&at, key);
            if matches!(jar, TextOr::Short(_)) { at.clone() } else { full }
        };
        if preset.is_none() && own.holds.is_none() {
            let names: Vec<&str> = known.library.jars.names().collect();
            let near = crate::diagnostics::nearest(name, names.iter().copied());
            let help = near.map_or_else(
                || {
                    "say what it `holds`, how far it is `across`, its `height` and what it `weighs`"
                        .to_owned()
                },
                |n| format!("did you mean `{n}`?"),
            );
            let d = crate::diagnostics::Diagnostic::error(format!("`{name}` is no jar that is known here"));
            c.push_key(&at, d.help(help));
            continue;
        }
        let j = preset.map_or_else(|| own.clone(), |b| own.over(b));
        for (key, there) in
            [("count", j.count.is_some()), ("across", j.across.is_some()), ("height", j.height.is_some())]
        {
            if !there {
                c.missing(
                    &at,
                    &[key],
                    &format!("`{key}` of this jar"),
                    "write `{holds: 3 L, across: 15 cm, height: 25 cm, weighs: 1 kg, count: 6}`",
                );
            }
        }
        let count = c.within(&p("count"), &j.count, 0.0..=10_000.0, "a number up to 10000");
        let holds = c.within(&p("holds"), &j.holds, 0.05..=50.0, "a volume from 50 ml to 50 L");
        let filled = c.within(&p("filled to"), &j.filled_to, 0.05..=50.0, "a volume from 50 ml to 50 L");
        // 95 % of what it is sold as (our default).
        let working = filled.or_else(|| holds.map(|h| 0.95 * h));
        let across = c.within(&p("across"), &j.across, 0.02..=1.0, "a length from 2 cm to 1 m");
        let height = c.within(&p("height"), &j.height, 0.02..=1.5, "a length from 2 cm to 1.5 m");
        let glass = c.within(&p("weighs"), &j.weighs, 0.0..=50.0, "a weight up to 50 kg").unwrap_or(0.5);
        let breaks = c.within(&p("breaks"), &j.breaks, 0.0..=0.5, "a chance up to 50 %").unwrap_or(0.0);
        let (Some(count), Some(working), Some(across), Some(height)) = (count, working, across, height)
        else {
            continue;
        };
        if filled.zip(holds).is_some_and(|(f, h)| f > h * 1.1) {
            c.error(
                &p("filled to"),
                "more is filled into this jar than it holds",
                "turn `holds` and `filled to` round",
            );
        }
        all.push(Jar {
            name: name.to_owned(),
            plan: JarPlan { working_l: working, count: count as u32, breaks },
            shape: packing::Jar {
                across_m: across,
                height_m: height,
                filled_kg: working * MILK_KG_PER_L + glass,
            },
            glass_kg: glass,
            holds_l: holds.unwrap_or(working),
        });
    }
    all.sort_by(|a, b| b.plan.working_l.total_cmp(&a.plan.working_l).then_with(|| a.name.cmp(&b.name)));
    if all.len() > MAX_JARS {
        c.error(
            "jars",
            format!("{} sizes of jar are more than {MAX_JARS}", all.len()),
            "leave the rarest out",
        );
        all.truncate(MAX_JARS);
    }
    all
}

/// A jar that stands in no fridge is a slip of the tape measure.
pub(super) fn jars_without_a_shelf(c: &mut Ctx, rooms: &Rooms) {
    let fridges = || rooms.places.iter().filter(|p| p.kind == PlaceKind::Fridge);
    if fridges().next().is_none() {
        return;
    }
    for (j, jar) in rooms.jars.iter().enumerate() {
        if jar.plan.count == 0 || fridges().any(|p| p.jar_part[j].is_finite()) {
            continue;
        }
        let shelves = || rooms.stores.iter().filter(|s| s.kind == PlaceKind::Fridge).flat_map(|s| &s.groups);
        let clear = shelves().map(|g| g.shape.clear_m).fold(0.0, f64::max);
        let tall = clear > 0.0 && jar.shape.height_m > clear;
        let message = if tall {
            format!("the {} jar is taller than every shelf of every fridge", jar.name)
        } else {
            format!("the {} jar finds no place on any shelf of any fridge", jar.name)
        };
        c.error(
            &under("jars", &jar.name),
            message,
            if tall {
                "raise a shelf, use smaller jars, or measure the clear height again"
            } else {
                "check the sizes and the load of the shelves"
            },
        );
    }
}
