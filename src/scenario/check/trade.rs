//! What leaves the house and what comes into it: gifts and sales here, herd
//! shares and purchases in files of their own.

use super::{
    super::{
        plan::{FetchPlan, ItemId, OutPlan, TradePlan},
        raw::{Entries, Outgoing, Scenario},
    },
    animals::Animal,
    calendar::{Run, span},
    context::{Ctx, entry, under},
    items::Items,
    jars::Jar,
    prices::{Purse, worth},
    purchases::bought,
    shares::share,
};
use crate::{diagnostics::Diagnostic, units::read_amount_rate};

/// What the checks of this part look at.
pub(super) struct World<'a> {
    pub run: Run,
    pub items: &'a Items,
    pub jars: &'a [Jar],
    pub wishes: &'a [(String, Vec<ItemId>)],
    pub animals: &'a [Animal],
    pub fetches: &'a [(FetchPlan, String)],
    /// Electricity for the cold, kWh a day, if it is told.
    pub energy_kwh: Option<f64>,
}

/// The words of this part, in the plan's order.
#[derive(Clone, Debug, Default)]
pub(super) struct Words {
    pub members: Vec<String>,
    pub given: Vec<String>,
    pub sold: Vec<String>,
    pub bought: Vec<String>,
    pub money: String,
}

/// Compiles this part.
pub(super) fn trade(c: &mut Ctx, w: &World, raw: &Scenario) -> (TradePlan, Words) {
    let mut purse = Purse::default();
    let mut words = Words::default();
    let mut plan = TradePlan {
        share: raw.herd_shares.as_ref().and_then(|own| share(c, w, &mut purse, &mut words, own)),
        ..TradePlan::default()
    };
    (plan.sold, words.sold) = outgoing(c, w, &mut purse, "sold", &raw.sold);
    (plan.given, words.given) = outgoing(c, w, &mut purse, "given away", &raw.given_away);
    (plan.bought, words.bought) = bought(c, w, &mut purse, &raw.bought_when_short);
    plan.worth = worth(c, &mut purse, w, &plan, &raw.prices);
    aims_fit(c, raw, &plan);
    words.money = purse.money;
    (plan, words)
}

fn outgoing(
    c: &mut Ctx,
    w: &World,
    purse: &mut Purse,
    part: &str,
    raw: &Option<Entries<Outgoing>>,
) -> (Vec<OutPlan>, Vec<String>) {
    let (mut plans, mut names) = (Vec::new(), Vec::new());
    for (name, own) in raw.iter().flat_map(Entries::iter) {
        let at = under(part, name);
        let p = |key: &str| under(&at, key);
        for (key, there, help) in [
            ("what", own.what.is_some(), "name the item, such as `what: whole milk`"),
            ("up to", own.up_to.is_some(), "write such as `up to: 2 gal/week`"),
        ] {
            if !there {
                c.missing(&at, &[key], &format!("`{key}`"), help);
            }
        }
        if part == "sold" && own.price.is_none() {
            c.missing(
                &at,
                &["price"],
                "`price`",
                "write such as `price: 6 $/gal`, or put it under `given away`",
            );
        }
        if part != "sold" && own.price.is_some() {
            let d = Diagnostic::error("what is given away has no price");
            c.push_key(&p("price"), d.help("leave it out, or put this under `sold`"));
        }
        let mut items: Vec<ItemId> = Vec::new();
        for (i, word) in own.what.iter().flat_map(super::super::raw::OneOrMany::each) {
            let at = i.map_or_else(|| p("what"), |i| entry(&p("what"), i));
            for id in w.items.find(c, &at, word.get()).unwrap_or_default() {
                if !items.contains(&id) {
                    items.push(id);
                }
            }
        }
        let density = w.items.density(&items);
        let most = own.up_to.as_ref().and_then(|q| {
            c.read(&p("up to"), &Some(q.clone()))?;
            c.take(&p("up to"), read_amount_rate(q.as_str())).map(|a| a.kg(density) * 7.0)
        });
        let price = own.price.as_ref().and_then(|t| purse.a_kg(c, &p("price"), t, density));
        let keep = own.keep_back.as_ref().and_then(|q| {
            c.read(&p("keep back"), &Some(q.clone()))?;
            c.take(&p("keep back"), crate::units::read_amount(q.as_str())).map(|a| a.kg(density))
        });
        let weekdays = c.weekdays(&p("days"), &own.days).unwrap_or(0b111_1111);
        let Some((from_day, until_day)) = span(c, w.run, &at, &own.from, &own.until) else { continue };
        let Some(most_kg) = most.filter(|_| !items.is_empty()) else { continue };
        plans.push(OutPlan {
            items,
            most_kg,
            weekdays,
            from_day,
            until_day,
            keep_back_kg: keep.unwrap_or(0.0),
            price: price.unwrap_or(0.0),
        });
        names.push(name.to_owned());
    }
    (plans, names)
}

/// An aim on a promise needs a promise.
fn aims_fit(c: &mut Ctx, raw: &Scenario, plan: &TradePlan) {
    if plan.share.is_some() || c.errors_under("herd shares") {
        return;
    }
    for (i, aim) in raw.aims.iter().flatten().enumerate() {
        let Some(word) = &aim.measure else { continue };
        if ["share promise", "worst share week"].iter().any(|w| w.eq_ignore_ascii_case(word.get())) {
            let at = under(&entry("aims", i), "measure");
            c.error(
                &at,
                "there is no herd share in this scenario",
                "describe `herd shares:`, or drop this aim",
            );
        }
    }
}

/// The cautions that shares, gifts and sales call for.
pub(super) fn cautions(plan: &TradePlan) -> Vec<String> {
    let mut all = Vec::new();
    if plan.share.is_some() || !plan.given.is_empty() || !plan.sold.is_empty() {
        all.push(
            "Law on herd shares and on giving away or selling raw milk and what is made of it differs from place to \
             place and changes. Ask your state, county or food authority before any is offered; nothing here says \
             that it may be."
                .to_owned(),
        );
        all.push(
            "Whoever takes your milk may be very young, old, pregnant or weak in immunity. Tell each of them that it \
             is raw, keep it cold until it is handed over, and note which milking went to whom, so that it can be \
             called back."
                .to_owned(),
        );
    }
    all
}
