//! Prices: money in a unit, all of one kind of money.

use super::{
    super::{
        plan::{TradePlan, WorthPlan, fixed},
        raw::{Prices, Text},
    },
    context::{Ctx, under},
    trade::World,
};
use crate::units::{Duration, read, read_amount};

/// Reads prices and holds them to one kind of money.
#[derive(Debug, Default)]
pub(super) struct Purse {
    /// The money, as written first.
    pub money: String,
}

const HELP: &str = "write the money and what it is for, such as `6 $/gal` or `30 $/month`";

impl Purse {
    /// The amount of money, and what it is for.
    fn split<'t>(&mut self, c: &mut Ctx, at: &str, text: &'t str) -> Option<(f64, &'t str)> {
        let joint =
            ["/", " per ", " a ", " an "].iter().filter_map(|j| Some((text.rfind(j)?, j.len()))).max();
        let Some((end, len)) = joint else {
            c.error(at, format!("`{text}` is no price"), HELP);
            return None;
        };
        let (left, unit) = (text[..end].trim(), text[end + len..].trim());
        let digit = |ch: char| ch.is_ascii_digit() || ch == '.' || ch == '-';
        let number: String = left.chars().filter(|&ch| digit(ch)).collect();
        let money: String = left.chars().filter(|&ch| !digit(ch)).collect::<String>().trim().to_owned();
        let amount = number.parse::<f64>().ok().filter(|v| v.is_finite());
        // The digits stand together, on one side of the money.
        let Some(amount) = amount.filter(|_| left.contains(&number)) else {
            c.error(at, format!("`{text}` is no price"), HELP);
            return None;
        };
        if !(0.0..=1e6).contains(&amount) {
            c.error(at, format!("the price `{text}` is out of reason"), "write a price from 0 to 1000000");
            return None;
        }
        if money.is_empty() || money.chars().count() > 8 {
            c.error(at, format!("`{text}` does not say in which money"), HELP);
            return None;
        }
        if self.money.is_empty() {
            self.money = money;
        } else if self.money != money {
            let message = format!("this price is in `{money}`, another one in `{}`", self.money);
            c.error(at, message, "write all prices in one kind of money");
            return None;
        }
        Some((amount, unit))
    }

    /// Money a kg of a stuff of that density.
    pub fn a_kg(&mut self, c: &mut Ctx, at: &str, text: &Text, density: f64) -> Option<f64> {
        let (amount, unit) = self.split(c, at, text.get())?;
        match read_amount(&format!("1 {unit}")) {
            Ok(one) => Some(amount / one.kg(density)),
            Err(_) => {
                let message = format!("`{unit}` is no volume or weight to pay for");
                c.error(at, message, "write such as `6 $/gal` or `9 $/lb`");
                None
            }
        }
    }

    /// Money a day.
    pub fn a_day(&mut self, c: &mut Ctx, at: &str, text: &Text) -> Option<f64> {
        let (amount, unit) = self.split(c, at, text.get())?;
        match read::<Duration>(&format!("1 {unit}")) {
            Ok(days) if days > 0.0 => Some(amount / days),
            _ => {
                let message = format!("`{unit}` is no time to pay for");
                c.error(at, message, "write such as `4 $/day` or `30 $/month`");
                None
            }
        }
    }

    /// Money a day for power: so much a day, or so much a kWh of what the stores use.
    fn power(&mut self, c: &mut Ctx, at: &str, text: &Text, energy_kwh: Option<f64>) -> Option<f64> {
        if !text.get().trim_end().to_lowercase().ends_with("kwh") {
            return self.a_day(c, at, text);
        }
        let (amount, _) = self.split(c, at, text.get())?;
        let Some(kwh) = energy_kwh else {
            c.error(
                at,
                "no store says what electricity it uses",
                "write such as `uses: 335 kWh a year` in a store, or a price such as `0.5 $/day` here",
            );
            return None;
        };
        Some(amount * kwh)
    }

    fn a_jar(&mut self, c: &mut Ctx, at: &str, text: &Text) -> Option<f64> {
        let (amount, unit) = self.split(c, at, text.get())?;
        if unit != "jar" {
            c.error(at, format!("`{unit}` is no jar"), "write such as `3 $/jar`");
            return None;
        }
        Some(amount)
    }

    /// A whole starter: `6 $` or `6 $/starter`.
    fn a_starter(&mut self, c: &mut Ctx, at: &str, text: &Text) -> Option<f64> {
        let text = text.get();
        let whole = if text.contains('/') { text.to_owned() } else { format!("{text}/starter") };
        let (amount, unit) = self.split(c, at, &whole)?;
        if unit != "starter" {
            c.error(at, format!("`{unit}` is no starter"), "write such as `6 $`, for each that is bought");
            return None;
        }
        Some(amount)
    }
}

/// The prices of the scenario; `None` where nothing has one.
pub(super) fn worth(
    c: &mut Ctx,
    purse: &mut Purse,
    w: &World,
    trade: &TradePlan,
    raw: &Option<Prices>,
) -> Option<WorthPlan> {
    let (items, wishes) = (w.items, w.wishes);
    let priced = trade.sold.iter().any(|s| s.price > 0.0)
        || trade.bought.iter().any(|b| b.price > 0.0)
        || trade.share.as_ref().is_some_and(|s| s.fee > 0.0);
    let Some(raw) = raw else {
        let wishes = vec![0.0; wishes.len()];
        return priced.then(|| WorthPlan { wishes, ..WorthPlan::default() });
    };
    let milk = items.density(&[fixed::WHOLE]);
    let mut plan = WorthPlan { wishes: vec![0.0; wishes.len()], ..WorthPlan::default() };
    for (name, text) in raw.food.iter().flat_map(super::super::raw::Entries::iter) {
        let at = under("prices.food", name);
        if name.eq_ignore_ascii_case("milk") {
            plan.milk = purse.a_kg(c, &at, text, milk).unwrap_or(0.0);
        } else if let Some(w) = wishes.iter().position(|(n, _)| n.eq_ignore_ascii_case(name)) {
            plan.wishes[w] = purse.a_kg(c, &at, text, items.density(&wishes[w].1)).unwrap_or(0.0);
        } else {
            super::purchases::no_want(c, &at, name, wishes);
        }
    }
    let mut kg = |c: &mut Ctx, key: &str, text: &Option<Text>| {
        text.as_ref().and_then(|t| purse.a_kg(c, &under("prices", key), t, milk)).unwrap_or(0.0)
    };
    plan.fed = kg(c, "fed to animals", &raw.fed_to_animals);
    plan.fetched = kg(c, "milk fetched", &raw.milk_fetched);
    let mut day = |c: &mut Ctx, key: &str, text: &Option<Text>| {
        text.as_ref().and_then(|t| purse.a_day(c, &under("prices", key), t)).unwrap_or(0.0)
    };
    plan.keep = day(c, "keep", &raw.keep);
    plan.feed = day(c, "feed", &raw.feed);
    plan.ice = day(c, "ice", &raw.ice);
    plan.hour = day(c, "time", &raw.time) / 24.0;
    plan.power =
        raw.power.as_ref().and_then(|t| purse.power(c, "prices.power", t, w.energy_kwh)).unwrap_or(0.0);
    plan.starter = raw.starter.as_ref().and_then(|t| purse.a_starter(c, "prices.starter", t)).unwrap_or(0.0);
    plan.jar = raw.jars.as_ref().and_then(|t| purse.a_jar(c, "prices.jars", t)).unwrap_or(0.0);
    Some(plan)
}
