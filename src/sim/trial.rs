//! Stub: milk into one cold room, drunk, the surplus wasted.
use super::outcome::{DayMeasure, Fate, Outcome, RuleTally, Source, WantTally};
use super::{daylog::DayLog, luck::Luck};
use crate::dairy::matter::Matter;
use crate::scenario::Plan;
use crate::scenario::plan::PlaceKind;

/// State of one trial, reused.
pub struct Trial<'p> {
    plan: &'p Plan,
    outcome: Outcome,
}

impl<'p> Trial<'p> {
    /// For a plan.
    #[must_use]
    pub fn new(plan: &'p Plan) -> Self {
        Self { plan, outcome: Outcome::default() }
    }
    /// Runs a trial.
    pub fn run(&mut self, luck: &Luck, log: &mut DayLog) -> &Outcome {
        let p = self.plan;
        let o = &mut self.outcome;
        *o = Outcome {
            wants: vec![WantTally::default(); 1 + p.household.wishes.len()],
            rules: vec![RuleTally::default(); p.rules.len()],
            made: vec![0.0; p.items.len()],
            ..Outcome::default()
        };
        let jar = p.jars.first().map_or(1.0, |j| j.working_l);
        let jars: f64 = p
            .places
            .iter()
            .filter(|x| x.kind == PlaceKind::Fridge)
            .map(|x| ((1.0 - x.other_food[0]) / x.jar_part[0] + 1e-9).floor())
            .sum();
        let (cap, want_kg) =
            (jars * jar * 1.03, p.household.people.iter().map(|x| x.mean_kg * x.chance).sum::<f64>());
        let mut stock = 0.0_f64;
        log.data.fill(0.0);
        for d in 0..p.days.len() {
            let level = 1.0 + 0.1 * luck.normals[0];
            let got: f64 = p.animals.iter().map(|a| a.curves[0].yield_kg[d]).sum::<f64>()
                * (level + 0.05 * luck.normals[d + 1]).max(0.0);
            stock += got;
            let drunk = stock.min(want_kg);
            stock -= drunk;
            let wanted_l = stock / 1.03;
            let fed = p.outlets.iter().map(|x| x.most_kg).sum::<f64>().min((stock - cap).max(0.0));
            stock -= fed;
            let wasted = (stock - cap).max(0.0);
            stock -= wasted;
            o.sources[Source::Drawn as usize] += Matter::milk(got, 0.04, 0.033);
            o.fates[Fate::Drunk as usize] += Matter::milk(drunk, 0.04, 0.033);
            o.fates[Fate::Fed as usize] += Matter::milk(fed, 0.04, 0.033);
            o.fates[Fate::WastedNoRoom as usize] += Matter::milk(wasted, 0.04, 0.033);
            o.wants[0].wanted += want_kg;
            o.wants[0].served += drunk;
            o.wants[0].days += 1;
            if drunk < 0.99 * want_kg {
                o.wants[0].short_days += 1;
                o.wants[0].longest_gap += 1;
            }
            if wasted > 0.0 {
                o.days_over_full += 1;
            }
            o.cold_wanted_l = o.cold_wanted_l.max(wanted_l);
            o.jars_wanted = o.jars_wanted.max((wanted_l / jar).ceil());
            o.cold_used_l = o.cold_used_l.max(stock / 1.03);
            let row = d * log.measures;
            log.data[row + DayMeasure::Drawn as usize] = got as f32;
            log.data[row + DayMeasure::DrinkServed as usize] = drunk as f32;
            log.data[row + DayMeasure::Wasted as usize] = wasted as f32;
            log.data[row + DayMeasure::OverFull as usize] = f32::from(u8::from(wasted > 0.0));
        }
        o.fates[Fate::InStore as usize] = Matter::milk(stock, 0.04, 0.033);
        let out = o.fates.iter().fold(Matter::NONE, |a, b| a + *b);
        o.closure.mass = (o.sources[0].mass - out.mass).abs() / o.sources[0].mass.max(1e-3);
        &self.outcome
    }
}
