//! What leaves the house for others and what comes in for money: herd shares,
//! gifts, sales, purchases, prices.

use super::{ItemId, WeekdayMask};

/// A herd share: members who are promised whole milk on pick-up days.
#[derive(Clone, Debug)]
pub struct SharePlan {
    /// Promised to each member at a pick-up, kg of whole milk.
    pub claims_kg: Vec<f64>,
    /// Members are told apart by name.
    pub named: bool,
    /// Weekdays of the pick-ups.
    pub weekdays: WeekdayMask,
    /// First day.
    pub from_day: u32,
    /// Last day, inclusive.
    pub until_day: u32,
    /// How a short pick-up is split.
    pub rule: SplitRule,
    /// Members take whole jars of this size.
    pub jars: Option<ShareJars>,
    /// The promise holds on while no animal is in milk.
    pub dry_weeks_count: bool,
    /// Part of pick-ups to which a member does not come.
    pub not_fetched: f64,
    /// What was not fetched is poured out; else it goes back to the family.
    pub pour_out: bool,
    /// Chore minutes a pick-up day.
    pub minutes: f64,
    /// What each member pays a day, in money; 0 without a fee.
    pub fee: f64,
    /// The fee is paid on in the dry weeks.
    pub fee_when_dry: bool,
}

/// Whole jars of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareJars {
    /// Index into [`super::Plan::jars`].
    pub size: u8,
    /// What one holds, kg of whole milk.
    pub kg: f64,
}

/// How a short pick-up is split. The family's claim is the drinking milk that
/// it keeps back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SplitRule {
    /// All the same part of their claims, the family among them.
    InProportion,
    /// All the same amount, as far as they claim it.
    EqualAwards,
    /// All short by the same amount.
    EqualLosses,
    /// Equal awards of the first halves, equal losses of the others.
    ContestedGarment,
    /// The family first, the rest in proportion.
    FamilyFirst,
    /// The members first, in proportion among them.
    MembersFirst,
    /// One after the other, beginning with another one each time it is short;
    /// the family stands last in the circle.
    InTurns,
}

/// Something given away or sold, out of what is over.
#[derive(Clone, Debug)]
pub struct OutPlan {
    /// Items, in the order in which they go.
    pub items: Vec<ItemId>,
    /// At most, kg in a calendar week.
    pub most_kg: f64,
    /// Weekdays.
    pub weekdays: WeekdayMask,
    /// First day.
    pub from_day: u32,
    /// Last day, inclusive.
    pub until_day: u32,
    /// What the family keeps of it beside what table and kitchen wait for, kg.
    pub keep_back_kg: f64,
    /// Price, in money a kg; 0 for gifts.
    pub price: f64,
}

/// Something bought for the table when the own supply is short.
#[derive(Clone, Copy, Debug)]
pub struct BuyPlan {
    /// Index into the wishes; `None`: drinking milk.
    pub wish: Option<u16>,
    /// What it stands in store as, where a rule buys it for the store.
    pub item: ItemId,
    /// At most, kg in a calendar week.
    pub most_kg: f64,
    /// Price, in money a kg; 0 where none is given.
    pub price: f64,
    /// Fat, mass fraction.
    pub fat: f64,
    /// Protein, mass fraction.
    pub protein: f64,
}

/// All of it.
#[derive(Clone, Debug, Default)]
pub struct TradePlan {
    /// The herd share, if there is one.
    pub share: Option<SharePlan>,
    /// What is given away, in order.
    pub given: Vec<OutPlan>,
    /// What is sold, in order.
    pub sold: Vec<OutPlan>,
    /// What is bought when short.
    pub bought: Vec<BuyPlan>,
    /// Prices; `None` where nothing has one.
    pub worth: Option<WorthPlan>,
}

/// Prices, all in money of one kind; 0 where none is given.
#[derive(Clone, Debug, Default)]
pub struct WorthPlan {
    /// Drinking milk on the table, a kg.
    pub milk: f64,
    /// Each wish on the table, a kg.
    pub wishes: Vec<f64>,
    /// Milk and whatever else is fed to animals, a kg.
    pub fed: f64,
    /// Milk fetched, a kg.
    pub fetched: f64,
    /// Keep of an animal, a day.
    pub keep: f64,
    /// Feed of an animal beside that, a day on which it is in milk.
    pub feed: f64,
    /// Power, a day.
    pub power: f64,
    /// Ice, a day on which some animal is in milk.
    pub ice: f64,
    /// A jar to replace a broken one.
    pub jar: f64,
    /// A starter.
    pub starter: f64,
    /// An hour of chores or kitchen.
    pub hour: f64,
}
