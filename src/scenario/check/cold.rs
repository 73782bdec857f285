//! The way of chilling, ice, and power outages.

use super::{
    super::{
        plan::{ColdPlan, Container, IcePlan, ItemMask, OutagePlan, PlaceKind, SoakCell, SoakPlan},
        raw::{self, Scenario, Text, TextOr},
    },
    climate::{Shape, in_water, shape},
    context::{Ctx, under},
    items::Items,
    rooms::Rooms,
};
use crate::{
    dairy::{
        cooling::{self, Bath, Soak, ice_wanted, soak_in_ice, soak_in_running_water},
        freezing,
    },
    units::{Mass, show},
};

/// Ways of chilling.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::scenario) enum Kind {
    #[default]
    Air,
    Fan,
    Water,
    Ice,
}

/// How a milking is chilled.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::scenario) struct Way {
    pub kind: Kind,
    /// The fridges stir their air unless one says otherwise.
    pub fan: bool,
    /// Time in the water, h.
    pub hours: f64,
    /// Water, °C.
    pub water_c: f64,
    /// Ice for a milking, kg; `None`: as much as it takes.
    pub each_kg: Option<f64>,
    pub made_kg: Option<f64>,
    pub kept_kg: Option<f64>,
}

/// Time in water unless said otherwise, h (our default).
const USUAL_H: f64 = 0.75;
/// Well water unless said otherwise, °C (our default: 55 °F).
const WELL_C: f64 = 13.0;
/// Heat to make a kilogram of ice of −10 °C from water of 15 °C, kJ: 15·4.19 +
/// 334 + 10·2.1 (worked out).
const ICE_MADE_KJ_PER_KG: f64 = 418.0;
/// Part of the freezers' pace that goes into ice when the family does not say
/// (our default).
const ICE_PART: f64 = 0.5;
/// Days' making of ice that is kept unless said otherwise (our default).
const KEPT_DAYS: f64 = 2.0;
/// Steps of the table of ice.
const STEPS: usize = 48;

impl Way {
    /// Temperatures at which loads come into the fridge, °C.
    pub(super) fn starts_c(&self, jar: Shape) -> Vec<f64> {
        match self.kind {
            Kind::Air | Kind::Fan => vec![cooling::MILK_IN_C],
            // Milk that stood on the counter comes warm all the same.
            Kind::Water => {
                let end = self.in_running_water(jar).end_c;
                if end < cooling::MILK_IN_C - 0.1 {
                    vec![end, cooling::MILK_IN_C]
                } else {
                    vec![cooling::MILK_IN_C]
                }
            }
            Kind::Ice => {
                // Close together just above the marks, where the times begin.
                let mut all = vec![1.0, 4.55, 4.9, 5.5, 6.3, 7.4, 7.8, 8.6, 10.25, 10.8];
                all.extend([12.0, 14.0, 17.0, 21.0, 26.0, 31.0, cooling::MILK_IN_C]);
                all.extend([cooling::MARK_4C, cooling::MARK_7C, cooling::MARK_10C]);
                all.sort_by(f64::total_cmp);
                all
            }
        }
    }

    fn in_running_water(&self, jar: Shape) -> Soak {
        soak_in_running_water(self.water_c, &in_water(jar, cooling::H_RUNNING_WATER), self.hours)
    }

    /// The bath of one full jar: as much water as milk (our default).
    fn bath(&self, jar: Shape) -> Bath {
        Bath { water_kg: jar.0, water_c: self.water_c, ice_kg: 0.0 }
    }

    /// Ice that a litre of milk takes, kg.
    fn wanted_kg_l(&self, jar: Shape) -> f64 {
        ice_wanted(&self.bath(jar), &in_water(jar, cooling::H_ICE_BATH), self.hours) / jar.0
    }
}

/// Reads the way of chilling.
pub(super) fn way(c: &mut Ctx, raw: &Option<TextOr<raw::Chilling>>) -> Way {
    let (own, at_way) = match raw {
        None => return Way::default(),
        Some(TextOr::Short(t)) => {
            (raw::Chilling { way: Some(t.clone()), ..raw::Chilling::default() }, "chilling".to_owned())
        }
        Some(TextOr::Long(own)) => (own.clone(), under("chilling", "way")),
    };
    let p = |key: &str| under("chilling", key);
    let ways = [
        ("fridge air", Kind::Air),
        ("fan in the fridge", Kind::Fan),
        ("cold running water", Kind::Water),
        ("ice bath", Kind::Ice),
    ];
    if own.way.is_none() {
        c.missing("chilling", &["way"], "the way of chilling", "write such as `way: ice bath`");
    }
    let Some(kind) = c.choice(&at_way, &own.way, &ways) else { return Way::default() };
    let wet = matches!(kind, Kind::Water | Kind::Ice);
    let unused = [
        ("for", own.for_.is_some() && !wet),
        ("water at", own.water_at.is_some() && !wet),
        ("ice", own.ice.is_some() && kind != Kind::Ice),
        ("ice made", own.ice_made.is_some() && kind != Kind::Ice),
        ("ice kept", own.ice_kept.is_some() && kind != Kind::Ice),
    ];
    for (key, _) in unused.iter().filter(|(_, there)| *there) {
        let (name, _) = ways.iter().find(|(_, k)| *k == kind).copied().unwrap_or_default();
        let help = if key.starts_with("ice") {
            "write `way: ice bath`"
        } else {
            "write `way: ice bath` or `way: cold running water`"
        };
        c.push_key(
            &p(key),
            crate::diagnostics::Diagnostic::error(format!("`{key}` has no use with {name}")).help(help),
        );
    }
    let days = c.within(&p("for"), &own.for_, 1.0 / 1440.0..=0.5, "a time from 1 min to 12 h");
    let water =
        c.within(&p("water at"), &own.water_at, 0.0..=30.0, "a temperature from 0 to 30 °C (32 to 86 °F)");
    Way {
        kind,
        fan: kind == Kind::Fan,
        hours: if wet { days.map_or(USUAL_H, |d| d * 24.0) } else { 0.0 },
        water_c: water.unwrap_or(WELL_C),
        each_kg: ice(
            c,
            &p("ice"),
            &own.ice,
            &[" a milking", "/milking", " per milking", " each milking"],
            "10 lb a milking",
        ),
        made_kg: ice(
            c,
            &p("ice made"),
            &own.ice_made,
            &[" a day", "/day", " per day", " each day"],
            "12 lb a day",
        ),
        kept_kg: c.within(&p("ice kept"), &own.ice_kept, 0.1..=1000.0, "a weight from 0.1 to 1000 kg"),
    }
}

/// Reads ice in a time; `example` shows its form.
fn ice(c: &mut Ctx, at: &str, text: &Option<Text>, ends: &[&str], example: &str) -> Option<f64> {
    let text = text.as_ref()?.get();
    let Some(mass) = ends.iter().find_map(|e| text.strip_suffix(e)) else {
        c.error(at, format!("`{text}` does not say in which time"), format!("write such as `{example}`"));
        return None;
    };
    let kg = c.words::<Mass>(at, mass)?;
    if !(0.1..=500.0).contains(&kg) {
        c.error(at, format!("`{text}` is out of reason here"), "write a weight from 0.1 to 500 kg");
        return None;
    }
    Some(kg)
}

/// Compiles it, with the rooms that there are. Ice takes some of the freezers'
/// pace.
pub(super) fn cold(c: &mut Ctx, way: &Way, rooms: &mut Rooms, items: &Items, raw: &Scenario) -> ColdPlan {
    let jar = shape(rooms.jars.first());
    let soak = match way.kind {
        Kind::Air | Kind::Fan => None,
        Kind::Water => {
            let soak = way.in_running_water(jar);
            Some(SoakPlan { ice: None, ice_per_l: vec![0.0], cells: vec![as_cell(&soak, way.hours)] })
        }
        Kind::Ice => iced(c, way, jar, rooms),
    };
    ColdPlan {
        soak,
        outages: outages(c, &raw.outages, items),
        machines: rooms.stores.iter().map(|s| s.machine).collect(),
        energy_kwh: rooms.stores.iter().filter_map(|s| s.uses_kwh).reduce(|a, b| a + b),
    }
}

fn as_cell(soak: &Soak, hours: f64) -> SoakCell {
    SoakCell { end_c: soak.end_c, hours, hours_to: soak.hours_to, life_days: soak.life_days }
}

fn iced(c: &mut Ctx, way: &Way, jar: Shape, rooms: &mut Rooms) -> Option<SoakPlan> {
    let wanted_kg_l = way.wanted_kg_l(jar);
    let freezers = || rooms.places.iter().filter(|p| p.kind == PlaceKind::Freezer);
    let pace: f64 = freezers().map(|p| p.freeze_kg_per_day).sum();
    // What the freezers' pace for food comes to in ice.
    let can_kg = pace * freezing::HEAT_KJ_PER_KG / ICE_MADE_KJ_PER_KG;
    let made_kg = match way.made_kg {
        Some(kg) => kg,
        None if can_kg > 0.0 => ICE_PART * can_kg,
        None => {
            c.missing(
                "chilling",
                &["ice made"],
                "where the ice comes from",
                "there is no freezer: write such as `ice made: 12 lb a day`, or describe one under `stores:`",
            );
            return None;
        }
    };
    if can_kg > 0.0 && made_kg > can_kg {
        c.warn(
            "chilling.ice made",
            format!(
                "the freezers can make about {} of ice a day if they freeze nothing else",
                show::mass(can_kg, crate::scenario::UnitSystem::Metric)
            ),
            "write less, or describe a larger freezer",
        );
    }
    if can_kg > 0.0 {
        let left = (1.0 - made_kg / can_kg).max(0.0);
        for p in rooms.places.iter_mut().filter(|p| p.kind == PlaceKind::Freezer) {
            p.freeze_kg_per_day *= left;
        }
    }
    let kept_kg = way.kept_kg.unwrap_or(KEPT_DAYS * made_kg);
    let body = in_water(jar, cooling::H_ICE_BATH);
    let mut ice_per_l: Vec<f64> = (0..=STEPS).map(|i| wanted_kg_l * i as f64 / STEPS as f64).collect();
    // More than enough.
    ice_per_l.push(1.05 * wanted_kg_l);
    let cells = ice_per_l
        .iter()
        .map(|x| {
            as_cell(&soak_in_ice(&Bath { ice_kg: x * jar.0, ..way.bath(jar) }, &body, way.hours), way.hours)
        })
        .collect();
    let ice = IcePlan { each_kg: way.each_kg, wanted_kg_l, made_kg, kept_kg };
    Some(SoakPlan { ice: Some(ice), ice_per_l, cells })
}

fn outages(c: &mut Ctx, raw: &Option<raw::Outages>, items: &Items) -> Option<OutagePlan> {
    let own = raw.as_ref()?;
    for (key, there) in [("a year", own.a_year.is_some()), ("last", own.last.is_some())] {
        if !there {
            c.missing(
                "outages",
                &[key],
                &format!("`{key}` of the outages"),
                "write such as `{a year: 2, last: 6 h}`",
            );
        }
    }
    let a_year = c.number("outages.a year", &own.a_year, 0.0..=365.0);
    let days = c.within("outages.last", &own.last, 1.0 / 1440.0..=60.0, "a time from 1 min to 60 days");
    let then = [("discard", true), ("keep", false)];
    let discard = c.choice("outages.then", &own.then, &then).unwrap_or(true);
    if !discard {
        c.warn(
            "outages.then",
            "milk that stood warm is kept and drunk in this scenario",
            "public advice is to discard milk and the like that was above 4 °C (40 °F) for two hours or more",
        );
    }
    let (a_year, days) = (a_year?, days?);
    // Butter and hard cheese may be kept by the same advice: what keeps a month
    // and more in the fridge.
    let perishable = items.plans.iter().enumerate().fold(0, |m: ItemMask, (i, item)| {
        let soon = item.sweet || item.keeps[PlaceKind::Fridge as usize] < 30.0;
        if soon && item.container != Container::Bucket { m | 1 << i } else { m }
    });
    (a_year > 0.0).then_some(OutagePlan { rate: a_year / 365.25, hours: days * 24.0, discard, perishable })
}
