//! Wheels of cheese on the shelves of an ageing room, by count.

use super::{
    super::{
        plan::{Container, PlaceKind},
        raw::Scenario,
    },
    Known,
    context::{Ctx, under},
    items::Items,
    rooms::{Rooms, shelf_litres},
};
use crate::{
    dairy::packing::{self, Jar},
    units::read_sizes,
};

/// Room between wheels, m (common practice, no source: they must not touch).
const GAP_M: f64 = 0.03;

/// How many whole wheels of a cheese stand on the shelves of an ageing room.
#[derive(Clone, Debug)]
pub(in crate::scenario) struct Wheels {
    pub store: String,
    pub item: String,
    pub count: u32,
    pub weighs_kg: f64,
}

/// Sets the room of a kilogram of every wheel so that the shelves of the ageing
/// rooms hold as many whole wheels as stand on them, in one layer. Several rooms
/// are taken together; elsewhere the same room is reckoned.
pub(super) fn on_shelves(
    c: &mut Ctx,
    known: &Known,
    raw: &Scenario,
    items: &mut Items,
    rooms: &Rooms,
) -> Vec<Wheels> {
    let mut all = Vec::new();
    let ageing = || rooms.stores.iter().filter(|s| s.kind == PlaceKind::Ageing);
    for (i, name) in items.names.iter().enumerate() {
        let own = raw.products.as_ref().and_then(|p| p.get(name));
        let base = known.library.products.get(name);
        let Some(product) = own.map(|o| base.map_or_else(|| o.clone(), |b| o.over(b))).or(base.cloned())
        else {
            continue;
        };
        let at = under("products", name);
        let Some(text) = &product.wheel else { continue };
        let Some([across_m, height_m]) = c.take(&under(&at, "wheel"), read_sizes::<2>(text.get())) else {
            continue;
        };
        if !(0.03..=1.0).contains(&across_m) || !(0.01..=0.5).contains(&height_m) {
            c.error(&under(&at, "wheel"), "a wheel of this size is out of reason", "write across and high");
            continue;
        }
        let at_weight = under(&at, "a wheel weighs");
        let weighs = c.within(&at_weight, &product.a_wheel_weighs, 0.05..=100.0, "a weight from 50 g");
        let Some(weighs) = weighs else {
            if product.a_wheel_weighs.is_none() {
                c.missing(
                    &at,
                    &["a wheel weighs"],
                    "`a wheel weighs`",
                    "write such as `a wheel weighs: 1.7 kg`",
                );
            }
            continue;
        };
        let Container::Volume { litres_per_kg } = items.plans[i].container else { continue };
        if items.plans[i].places.is_empty() || ageing().all(|s| s.groups.is_empty()) {
            continue;
        }
        let wheel = Jar { across_m: across_m + GAP_M, height_m, filled_kg: weighs };
        let (mut litres, mut kg) = (0.0, 0.0);
        for s in ageing() {
            litres += s.litres;
            if s.groups.is_empty() {
                kg += s.litres / litres_per_kg;
            }
            let mut count = 0;
            for g in &s.groups {
                // The last wheel of a row needs no gap behind it.
                let shape = packing::Shelf {
                    width_m: g.shape.width_m + GAP_M,
                    depth_m: g.shape.depth_m + GAP_M,
                    ..g.shape
                };
                let here = g.count * packing::fit(&shape, &wheel).count;
                count += here;
                kg += f64::from(here) * weighs;
                debug_assert!(shelf_litres(g) > 0.0);
            }
            if !s.groups.is_empty() {
                all.push(Wheels { store: s.name.clone(), item: name.clone(), count, weighs_kg: weighs });
            }
        }
        if kg <= 0.0 {
            c.warn(
                "stores",
                format!("no wheel of {name} fits on the shelves of the ageing room"),
                "measure them again, or say with `products:` how large a wheel is",
            );
            continue;
        }
        items.plans[i].container = Container::Volume { litres_per_kg: litres / kg };
    }
    all
}
