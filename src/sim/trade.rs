//! Gifts, sales and purchases.

use super::kitchen::Fired;
use super::larder::{CRUMB, Parcel, SLACK};
use super::outcome::{Blocked, Fate, Source};
use super::traded::ShareTally;
use super::trial::Trial;
use crate::dairy::Species;
use crate::dairy::matter::Matter;
use crate::scenario::plan::{BuyPlan, Container, ItemId, OutPlan, Plan};

/// What is left of this week's amounts, and what has gone so far.
#[derive(Debug, Default)]
pub(super) struct Trade {
    given_left: Vec<f64>,
    sold_left: Vec<f64>,
    buy_left: Vec<f64>,
    given: Vec<f64>,
    sold: Vec<f64>,
    bought: Vec<f64>,
    stored: Vec<f64>,
}

impl Trade {
    pub(super) fn new(plan: &Plan) -> Self {
        let zeros = |n: usize| vec![0.0; n];
        let t = &plan.trade;
        Self {
            given_left: zeros(t.given.len()),
            sold_left: zeros(t.sold.len()),
            buy_left: zeros(t.bought.len()),
            given: zeros(t.given.len()),
            sold: zeros(t.sold.len()),
            bought: zeros(t.bought.len()),
            stored: zeros(t.bought.len()),
        }
    }

    pub(super) fn reset(&mut self) {
        self.given.fill(0.0);
        self.sold.fill(0.0);
        self.bought.fill(0.0);
        self.stored.fill(0.0);
    }
}

impl Trial<'_> {
    /// In the morning, and on Mondays a new week's amounts.
    pub(super) fn begin_trade(&mut self) {
        let milked = self.herd.iter().filter(|a| a.in_milk(self.day)).count() as u32;
        self.out.traded.animal_days_in_milk += milked;
        self.out.traded.animal_days += self.herd.iter().filter(|a| a.is_here(self.day)).count() as u32;
        self.out.traded.days_in_milk += u32::from(milked > 0);
        if self.day == 0 || self.info.weekday == 0 {
            let t = &self.plan.trade;
            let fill = |left: &mut [f64], most: &mut dyn Iterator<Item = f64>| {
                left.iter_mut().zip(most).for_each(|(left, most)| *left = most);
            };
            fill(&mut self.trade.given_left, &mut t.given.iter().map(|o| o.most_kg));
            fill(&mut self.trade.sold_left, &mut t.sold.iter().map(|o| o.most_kg));
            fill(&mut self.trade.buy_left, &mut t.bought.iter().map(|b| b.most_kg));
        }
        self.begin_shares();
    }

    /// After the pick-ups: what is over is sold, then given away.
    pub(super) fn hand_out_spare(&mut self) {
        if self.info.away {
            return;
        }
        let plan = self.plan;
        for (n, out) in plan.trade.sold.iter().enumerate() {
            let kg = self.hand_out(out, self.trade.sold_left[n], Fate::Sold);
            self.trade.sold_left[n] -= kg;
            self.trade.sold[n] += kg;
        }
        for (n, out) in plan.trade.given.iter().enumerate() {
            let kg = self.hand_out(out, self.trade.given_left[n], Fate::GivenAway);
            self.trade.given_left[n] -= kg;
            self.trade.given[n] += kg;
        }
    }

    fn hand_out(&mut self, out: &OutPlan, most: f64, fate: Fate) -> f64 {
        let open =
            out.weekdays >> self.info.weekday & 1 == 1 && (out.from_day..=out.until_day).contains(&self.day);
        if !open {
            return 0.0;
        }
        let mut left = most;
        // The drinking milk of the next day is kept of all of them once.
        let all = self.within_reach(&out.items, |i| self.beyond_house(i));
        let mut spare = (all - out.keep_back_kg).max(0.0);
        for &item in &out.items {
            let kg = left.min(spare).min(self.beyond_house(item));
            if kg <= CRUMB {
                continue;
            }
            // Others get the freshest milk, and the oldest of what keeps.
            let got = self.hand_over(item, kg, self.plan.items[item.at()].sweet, fate);
            left -= got;
            spare -= got;
        }
        most - left
    }

    /// A rule hands members more than they were promised, on pick-up days.
    pub(super) fn hand_out_extra(&mut self, item: ItemId, kg: f64) -> Result<Fired, Blocked> {
        if !self.pick_up_on(self.day) {
            return Err(Blocked::Day);
        }
        let before = self.larder.dirty_counts();
        let got = self.hand_over(item, kg, self.plan.items[item.at()].sweet, Fate::SharedOut);
        let jars = self.plan.trade.share.as_ref().and_then(|s| s.jars);
        if let Some(jars) =
            jars.filter(|_| matches!(self.plan.items[item.at()].container, Container::Jar { .. }))
        {
            // Members carry it home in jars too; the last is not always full.
            let n = (got / jars.kg - SLACK).ceil().max(0.0) as u32;
            self.larder.lend(usize::from(jars.size), n, &before, self.day);
        }
        if got > CRUMB { Ok(Fired { kg: got, minutes: 0.0 }) } else { Err(Blocked::Stock) }
    }

    /// The table is short of a want: what may be bought is, and is eaten at once.
    pub(super) fn buy_for_table(&mut self, wish: Option<u16>, short: f64, fate: Fate) {
        if short <= CRUMB {
            return;
        }
        let Some(n) = self.plan.trade.bought.iter().position(|b| b.wish == wish) else { return };
        let kg = short.min(self.trade.buy_left[n]);
        if kg <= CRUMB {
            return;
        }
        let matter = self.buy(n, kg);
        self.ledger.went(fate, matter);
        self.out.traded.bought_for_table += kg;
    }

    /// A rule buys for the store.
    pub(super) fn buy_for_store(&mut self, buy: u16, kg: f64) -> Result<Fired, Blocked> {
        let n = usize::from(buy);
        let kg = kg.min(self.trade.buy_left[n]);
        if kg <= CRUMB {
            return Err(Blocked::Limit);
        }
        let item = self.plan.trade.bought[n].item;
        if !self.larder.has_jar_for(item) {
            return Err(Blocked::JarsOrRoom);
        }
        let matter = self.buy(n, kg);
        self.trade.stored[n] += kg;
        let now = self.larder.now;
        let life = if self.plan.items[item.at()].sweet { self.plan.keeping.life_days } else { 1.0 };
        self.put_away(&Parcel {
            item,
            matter,
            drawn: now,
            rested: now,
            life,
            risen: 0.0,
            ready: now,
            ageing_loss: 0.0,
            day: self.day,
            species: Species::Cow,
            foul: false,
            warm: false,
        });
        Ok(Fired { kg, minutes: 0.0 })
    }

    fn buy(&mut self, n: usize, kg: f64) -> Matter {
        let BuyPlan { fat, protein, .. } = self.plan.trade.bought[n];
        let matter = Matter { milk: 0.0, ..Matter::milk(kg, fat, protein) };
        self.ledger.came(Source::Bought, matter);
        self.trade.buy_left[n] -= kg;
        self.trade.bought[n] += kg;
        matter
    }

    /// The last week is closed and everything told.
    pub(super) fn end_trade(&mut self) {
        self.shares.tally.iter_mut().for_each(ShareTally::close_week);
        let told = &mut self.out.traded;
        told.shares.clone_from(&self.shares.tally);
        told.given.clone_from(&self.trade.given);
        told.sold.clone_from(&self.trade.sold);
        told.bought.clone_from(&self.trade.bought);
        told.stored.clone_from(&self.trade.stored);
    }
}
