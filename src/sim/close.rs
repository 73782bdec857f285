//! The end of a day and of a trial: what is told of them.

use super::DayLog;
use super::outcome::{DayMeasure, Fate, Outcome};
use super::trial::Trial;
use crate::scenario::plan::{PlaceKind, fixed};

impl Trial<'_> {
    pub(super) fn close_day(&mut self, day: usize, log: &mut DayLog) {
        debug_assert!(self.larder.jars_balance(), "a jar was lost");
        let t = self.today;
        let freezer = self.larder.used_l(PlaceKind::Freezer);
        let ageing = self.larder.used_l(PlaceKind::Ageing);
        let o = &mut self.out;
        o.cold_wanted_l = o.cold_wanted_l.max(t.cold_wanted);
        o.cold_used_l = o.cold_used_l.max(t.cold_used);
        o.jars_wanted = o.jars_wanted.max(t.jars_wanted);
        o.jars_used = o.jars_used.max(t.jars_used);
        o.freezer_used_l = o.freezer_used_l.max(freezer);
        o.ageing_used_l = o.ageing_used_l.max(ageing);
        o.days_over_full += u32::from(t.over_full);
        o.chore_minutes += t.chore_minutes;
        o.kitchen_minutes += t.kitchen_minutes;
        o.busiest_minutes = o.busiest_minutes.max(t.chore_minutes + t.kitchen_minutes);
        let cream = self.larder.stock(fixed::TOP_CREAM)
            + self.larder.stock(fixed::MIDDLE_CREAM)
            + self.larder.stock(fixed::THIN_CREAM);
        let wasted = self.ledger.wasted();
        let wasted_today = wasted - std::mem::replace(&mut self.wasted, wasted);
        let (row, stocks) = log.row(day);
        let mut set = |m: DayMeasure, v: f64| row[m as usize] = v as f32;
        set(DayMeasure::Drawn, t.drawn);
        set(DayMeasure::Fetched, t.fetched);
        set(DayMeasure::DrinkWanted, t.drink_wanted);
        set(DayMeasure::DrinkServed, t.drink_served);
        set(DayMeasure::WishesServed, t.wishes_served);
        set(DayMeasure::Fed, t.fed);
        set(DayMeasure::Wasted, wasted_today);
        set(DayMeasure::ColdWanted, t.cold_wanted);
        set(DayMeasure::ColdUsed, t.cold_used);
        set(DayMeasure::JarsUsed, f64::from(t.jars_used));
        set(DayMeasure::FreezerUsed, freezer);
        set(DayMeasure::AgeingUsed, ageing);
        set(DayMeasure::WholeStock, self.larder.stock(fixed::WHOLE));
        set(DayMeasure::SkimmedStock, self.larder.stock(fixed::SKIMMED));
        set(DayMeasure::CreamStock, cream);
        set(DayMeasure::SourStock, self.larder.stock(fixed::SOUR_MILK));
        set(DayMeasure::ChoreMinutes, t.chore_minutes);
        set(DayMeasure::KitchenMinutes, t.kitchen_minutes);
        set(DayMeasure::OverFull, f64::from(u8::from(t.over_full)));
        set(DayMeasure::MilkShort, f64::from(u8::from(t.milk_short)));
        set(DayMeasure::ShareShort, f64::from(u8::from(t.share_short)));
        set(DayMeasure::Sick, f64::from(u8::from(t.sick)));
        for (v, wish) in stocks.iter_mut().zip(&self.plan.household.wishes) {
            *v = wish.items.iter().map(|&i| self.larder.stock(i)).sum::<f64>() as f32;
        }
    }

    pub(super) fn end(&mut self) {
        self.note_made();
        self.ledger.went(Fate::Film, self.larder.film);
        self.ledger.went(Fate::InStore, self.larder.everything());
        let o = &mut self.out;
        o.sources = self.ledger.sources;
        o.fates = self.ledger.fates;
        o.closure = self.ledger.closure();
        o.wants.clone_from(&self.wants);
        o.rules.clone_from(&self.rules);
        o.made.clone_from(&self.made);
        o.made_into_products = self.made_into;
        self.end_trade();
    }
}

impl Outcome {
    /// Back to the start of a trial; keeps the buffers.
    pub(super) fn clear(&mut self) {
        let (wants, rules, made) = (
            std::mem::take(&mut self.wants),
            std::mem::take(&mut self.rules),
            std::mem::take(&mut self.made),
        );
        let traded = std::mem::take(&mut self.traded).cleared();
        *self = Self { wants, rules, made, traded, ..Self::default() };
    }
}
