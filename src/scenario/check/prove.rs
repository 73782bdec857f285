//! Whether a recipe adds up for every milk that it may get.

use super::{
    super::plan::{ItemId, RecipePlan, fixed},
    context::Ctx,
    items::Items,
};
use crate::dairy::{balance::Share, matter::Matter, standardise::NEAR};

/// What products may hold, by item, as far as their recipes have been proved:
/// least and most fat, least and most protein, mass fractions.
#[derive(Debug, Default)]
pub(super) struct Reach(Vec<Option<[f64; 4]>>);

impl Reach {
    fn of(&self, id: ItemId) -> [f64; 4] {
        let made = self.0.get(id.at()).copied().flatten();
        made.filter(|_| id.at() >= fixed::COUNT).unwrap_or_else(|| usual(id))
    }

    /// A batch can give such matter, which may lose so much of its mass later.
    fn widen(&mut self, id: ItemId, m: &Matter, loss: f64) {
        if m.mass <= 0.0 {
            return;
        }
        if self.0.len() <= id.at() {
            self.0.resize(id.at() + 1, None);
        }
        let (fat, protein) = (m.fat_part(), m.protein_part());
        let most = 1.0 / (1.0 - loss);
        let old = self.0[id.at()].unwrap_or([fat, fat, protein, protein]);
        self.0[id.at()] =
            Some([old[0].min(fat), old[1].max(fat * most), old[2].min(protein), old[3].max(protein * most)]);
    }
}

/// Least and most fat and protein that an item may hold, mass fractions. The
/// creams are cut at 30 and 18 % fat; the others are wide on purpose.
fn usual(id: ItemId) -> [f64; 4] {
    match id {
        fixed::WHOLE | fixed::SOUR_MILK => [0.0, 0.15, 0.01, 0.07],
        fixed::SKIMMED => [0.0, 0.10, 0.01, 0.07],
        fixed::TOP_CREAM => [0.28, 0.50, 0.01, 0.05],
        fixed::MIDDLE_CREAM => [0.16, 0.32, 0.01, 0.06],
        fixed::THIN_CREAM => [0.02, 0.20, 0.01, 0.07],
        fixed::SOURED_CREAM => [0.02, 0.50, 0.01, 0.07],
        fixed::WHEY | fixed::ACID_WHEY => [0.0, 0.03, 0.001, 0.03],
        fixed::BUTTERMILK => [0.0, 0.10, 0.01, 0.07],
        _ => [0.0, 0.50, 0.01, 0.07],
    }
}

/// Proves every output non-negative over the fat and protein that the inputs
/// can bring, on a grid.
pub(super) fn prove(c: &mut Ctx, items: &Items, reach: &mut Reach, at: &str, name: &str, plan: &RecipePlan) {
    // A step of the program.
    const STEPS: usize = 10;
    let mut bounds = [0.0; 4];
    let mut mass = 0.0;
    for input in &plan.inputs {
        let mut of = [f64::INFINITY, 0.0, f64::INFINITY, 0.0];
        for id in input.items.iter().chain(input.blend.iter().flat_map(|b| &b.with)) {
            let r = reach.of(*id);
            of = [of[0].min(r[0]), of[1].max(r[1]), of[2].min(r[2]), of[3].max(r[3])];
        }
        of[0] = of[0].max(input.fat_at_least);
        of[1] = of[1].max(of[0]);
        if let Some(blend) = &input.blend {
            of[0] = (blend.fat - NEAR).max(0.0);
            of[1] = blend.fat + NEAR;
        }
        mass += input.per_kg;
        for (b, o) in bounds.iter_mut().zip(of) {
            *b += o * input.per_kg;
        }
    }
    let step = |lo: f64, hi: f64, i: usize| lo + (hi - lo) * i as f64 / STEPS as f64;
    for f in 0..=STEPS {
        for p in 0..=STEPS {
            let (fat, protein) = (step(bounds[0], bounds[1], f), step(bounds[2], bounds[3], p));
            let steam = plan.steam * mass;
            let mut rest =
                Matter { mass: mass + plan.added_per_kg.mass - steam, fat, protein, milk: mass - steam };
            let sound = |m: &Matter| {
                m.fat >= -1e-12
                    && m.protein >= -1e-12
                    && m.mass + 1e-12 >= m.fat + m.protein
                    && m.milk >= -1e-12
            };
            let whole = rest;
            let mut bad = (!sound(&rest)).then_some(&plan.outputs[0]);
            for o in &plan.outputs {
                let part = if o.share == Share::Rest { rest } else { o.share.of(whole) };
                rest -= part;
                reach.widen(o.item, &part, plan.ageing_loss);
                if bad.is_none() && !(sound(&part) && sound(&rest)) {
                    bad = Some(o);
                }
            }
            if let Some(o) = bad {
                c.error(
                    at,
                    format!(
                        "the recipe `{name}` does not add up: from an input with {:.1} % fat and {:.1} % protein \
                         it would take more than there is (at `{}`)",
                        100.0 * fat / mass,
                        100.0 * protein / mass,
                        items.name(o.item)
                    ),
                    "lower `fat kept` and `protein kept`, or ask for a richer input with `fat at least`",
                );
                return;
            }
        }
    }
}
