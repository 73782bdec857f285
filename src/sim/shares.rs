//! Herd shares: what is set aside, and the pick-ups.

use super::larder::{CRUMB, Choice, SLACK};
use super::outcome::Fate;
use super::traded::ShareTally;
use super::trial::Trial;
use crate::dairy::sharing;
use crate::scenario::plan::{ItemId, Plan, SharePlan, SplitRule, fixed};

/// The state of the herd share; empty where there is none.
#[derive(Debug, Default)]
pub(super) struct Shares {
    /// Claims of a pick-up: the members, then the family, kg.
    claims: Vec<f64>,
    /// What each gets, kg.
    awards: Vec<f64>,
    /// The members' awards in jars.
    quotas: Vec<f64>,
    /// All members' claims together, kg.
    promise: f64,
    pub(super) tally: Vec<ShareTally>,
    /// Whose turn it is to be served first; moves on at every short pick-up.
    turn: usize,
    /// Promised for the next pick-up, today's or tomorrow's, kg.
    aside: f64,
    /// Owed on top of the next pick-up's promise from before the run, kg.
    owed: f64,
}

impl Shares {
    pub(super) fn new(plan: &Plan) -> Self {
        let Some(share) = &plan.trade.share else { return Self::default() };
        let n = share.claims_kg.len();
        let mut claims = share.claims_kg.clone();
        claims.push(0.0);
        Self {
            claims,
            awards: vec![0.0; n + 1],
            quotas: vec![0.0; n],
            promise: share.claims_kg.iter().sum(),
            tally: vec![ShareTally::default(); n],
            turn: 0,
            aside: 0.0,
            owed: 0.0,
        }
    }

    pub(super) fn reset(&mut self) {
        self.tally.fill(ShareTally::default());
        self.turn = 0;
        self.aside = 0.0;
        self.owed = 0.0;
    }

    /// Owed to the members from before the run, kg.
    pub(super) fn owe(&mut self, kg: f64) {
        self.owed = if self.promise > 0.0 { kg } else { 0.0 };
    }

    /// What is owed comes on top of the members' claims: in proportion, but whole jars
    /// one after the other, beginning with the one whose turn it is.
    fn add_owed(&mut self, share: &SharePlan) {
        if self.owed <= 0.0 {
            return;
        }
        let n = share.claims_kg.len();
        let times = 1.0 + self.owed / self.promise;
        match share.jars {
            None => self.claims[..n].iter_mut().for_each(|claim| *claim *= times),
            Some(jars) => {
                let owed = (self.owed / jars.kg).round() as usize;
                for (m, claim) in self.claims[..n].iter_mut().enumerate() {
                    let place = (m + n - self.turn % n) % n;
                    *claim += jars.kg * (owed / n + usize::from(place < owed % n)) as f64;
                }
            }
        }
    }

    /// Splits a supply, whole jars if they are taken; returns whether the
    /// members go short.
    fn split(&mut self, share: &SharePlan, supply: f64, own: f64) -> bool {
        let n = share.claims_kg.len();
        self.claims[..n].copy_from_slice(&share.claims_kg);
        self.add_owed(share);
        self.claims[n] = own;
        let (claims, awards) = (&self.claims[..], &mut self.awards[..]);
        match share.rule {
            SplitRule::InProportion => sharing::in_proportion(supply, claims, awards),
            SplitRule::EqualAwards => sharing::equal_awards(supply, claims, awards),
            SplitRule::EqualLosses => sharing::equal_losses(supply, claims, awards),
            SplitRule::ContestedGarment => sharing::contested_garment(supply, claims, awards),
            SplitRule::InTurns => sharing::in_order(supply, claims, self.turn, awards),
            SplitRule::FamilyFirst => {
                awards[n] = own.min(supply);
                sharing::in_proportion(supply - awards[n], &claims[..n], &mut awards[..n]);
            }
            SplitRule::MembersFirst => {
                sharing::in_proportion(supply, &claims[..n], &mut awards[..n]);
                awards[n] = own.min(supply - awards[..n].iter().sum::<f64>());
            }
        }
        if let Some(jars) = share.jars {
            for (quota, award) in self.quotas.iter_mut().zip(&self.awards) {
                *quota = award / jars.kg;
            }
            // What makes no whole jar stays with the family.
            let whole = (self.quotas.iter().sum::<f64>() + SLACK).floor();
            sharing::whole_jars(whole as u32, &self.quotas, self.turn, &mut self.awards[..n]);
            self.awards[..n].iter_mut().for_each(|award| *award *= jars.kg);
        }
        let promised: f64 = self.claims[..n].iter().sum();
        let short = self.awards[..n].iter().sum::<f64>() < promised * (1.0 - SLACK);
        self.turn += usize::from(short);
        short
    }
}

impl Trial<'_> {
    /// Whether members come on a day, as far as is known today. While the
    /// family is away whoever milks sees to them; before the first milk nothing
    /// is promised, unless it is overdue.
    pub(super) fn pick_up_on(&self, day: u32) -> bool {
        let Some(share) = &self.plan.trade.share else { return false };
        let Some(info) = self.plan.days.get(day as usize) else { return false };
        share.weekdays >> info.weekday & 1 == 1
            && (share.from_day..=share.until_day).contains(&day)
            && !info.away
            && (self.milk_seen || day >= self.plan.household.drink_from_day)
            && (share.dry_weeks_count || !self.dry_today)
    }

    /// In the morning: jars come back, and what is promised for today and
    /// tomorrow is out of reach.
    pub(super) fn begin_shares(&mut self) {
        let Some(share) = &self.plan.trade.share else { return };
        if share.jars.is_some() {
            self.larder.take_back(self.day);
        }
        // From the first milk on, and not while nobody hands anything out.
        let here = (share.from_day..=share.until_day).contains(&self.day)
            && !self.info.away
            && (self.milk_seen
                || self.day >= self.plan.household.drink_from_day
                || self.milk.iter().any(|m| !m.withheld && m.milkings != [false; 2]));
        if here && (share.fee_when_dry || !self.dry_today) {
            self.out.traded.fee_days += 1;
        }
        if self.info.weekday == 0 {
            self.shares.tally.iter_mut().for_each(ShareTally::close_week);
        }
        let times = u8::from(self.pick_up_on(self.day)) + u8::from(self.pick_up_on(self.day + 1));
        self.shares.aside = f64::from(times) * self.shares.promise;
        if times > 0 {
            self.shares.aside += self.shares.owed;
        }
    }

    /// Whole milk set aside for the members, kg, as far as there is any.
    pub(super) fn aside(&self) -> f64 {
        if self.shares.aside > 0.0 { self.shares.aside.min(self.larder.stock(fixed::WHOLE)) } else { 0.0 }
    }

    /// The same of an item.
    pub(super) fn aside_of(&self, item: ItemId) -> f64 {
        if item == fixed::WHOLE { self.aside() } else { 0.0 }
    }

    /// What the family itself needs of the whole milk until tomorrow, kg.
    fn own_claim(&self) -> f64 {
        if !self.is_drunk(fixed::WHOLE) {
            return 0.0;
        }
        let others = self.larder.stock_mask(self.drunk & !(1 << fixed::WHOLE.0));
        (self.reserve() - others).max(0.0)
    }

    /// Whole milk beyond the family's own claim, kg.
    pub(super) fn for_members(&self) -> f64 {
        (self.larder.stock_ready(fixed::WHOLE) - self.own_claim()).max(0.0)
    }

    /// Members come: what there is of whole milk is split among them and the
    /// family's own drinking; they get the freshest.
    pub(super) fn pick_ups(&mut self, luck: &super::Luck) {
        let Some(share) = &self.plan.trade.share else { return };
        if !self.pick_up_on(self.day) {
            return;
        }
        let n = share.claims_kg.len();
        self.today.chore_minutes += share.minutes;
        let supply = self.larder.stock_ready(fixed::WHOLE);
        let own = self.own_claim();
        let mut shares = std::mem::take(&mut self.shares);
        let short = shares.split(share, supply, own);
        // Once: what is short of it then is short.
        shares.owed = 0.0;
        self.out.traded.pick_ups += 1;
        self.out.traded.short_pick_ups += u32::from(short);
        self.today.share_short = short;
        // Who comes is settled first: all of them pour from one pool.
        let (mut fetched, mut unclaimed) = (0.0, 0.0);
        for (m, award) in shares.awards[..n].iter_mut().enumerate() {
            let u = luck.members.get(m).map_or(1.0, |of| of[self.day as usize]);
            if luck.happens(share.not_fetched, u) {
                self.out.traded.not_fetched += 1;
                unclaimed += *award;
                *award = f64::NAN;
            } else {
                fetched += *award;
            }
        }
        let before = self.larder.dirty_counts();
        let got = self.hand_over(fixed::WHOLE, fetched, true, Fate::SharedOut);
        if let Some(jars) = share.jars {
            let whole = (got / jars.kg + SLACK).floor() as u32;
            self.larder.lend(usize::from(jars.size), whole, &before, self.day);
        }
        if share.pour_out {
            self.hand_over(fixed::WHOLE, unclaimed, true, Fate::WastedUnclaimed);
        }
        // A jar that turned out foul is everybody's loss.
        let part = if fetched > CRUMB { got / fetched } else { 1.0 };
        let each = shares.tally.iter_mut().zip(&shares.awards).zip(&shares.claims);
        for ((tally, award), claim) in each.filter(|((_, award), _)| !award.is_nan()) {
            tally.promised += claim;
            tally.week_promised += claim;
            tally.kept += award * part;
            tally.week_kept += award * part;
        }
        self.shares = shares;
        // Today's pick-up is done: only tomorrow's is out of reach.
        self.shares.aside = f64::from(u8::from(self.pick_up_on(self.day + 1))) * self.shares.promise;
    }

    /// Takes up to `kg` of an item out of the house; returns the kg that went.
    /// What stays in emptied jars is made up for out of the next.
    pub(super) fn hand_over(&mut self, item: ItemId, kg: f64, newest: bool, fate: Fate) -> f64 {
        let mut left = kg;
        while left > CRUMB {
            let (food, foul) = self.larder.serve(item, left, Choice { newest, ..Choice::READY });
            self.found_foul(foul);
            self.ledger.went(fate, food);
            left -= food.mass;
            if food.mass <= CRUMB {
                break;
            }
        }
        kg - left.max(0.0)
    }
}
