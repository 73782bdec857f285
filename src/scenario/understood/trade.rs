//! Herd shares, gifts, sales, purchases and prices, as understood.

use super::{
    super::{
        Names, Plan,
        check::{Parts, day_words},
        plan::{Container, ItemId, OutPlan, SharePlan, SplitRule},
    },
    Part,
};
use crate::{calendar, units::show};

pub(super) fn parts(plan: &Plan, names: &Names, p: &Parts) -> Vec<Part> {
    let t = &plan.trade;
    let mut all = Vec::new();
    if let Some(share) = &t.share {
        all.push(self::share(plan, share, names, p));
    }
    all.push(outgoing("Sold", plan, &t.sold, &names.sold, names, p));
    all.push(outgoing("Given away", plan, &t.given, &names.given, names, p));
    let mut bought = Part::new("Bought when short");
    for (b, name) in t.bought.iter().zip(&names.bought) {
        let item = b.wish.map_or(ItemId(0), |w| plan.household.wishes[usize::from(w)].items[0]);
        let most = if b.most_kg.is_finite() {
            format!("up to {} a week", amount(plan, item, b.most_kg, p))
        } else {
            "as much as the table is short of".to_owned()
        };
        bought.line(name.clone(), format!("{most}{}", price(plan, item, b.price, names, p)));
    }
    all.push(bought);
    all.push(prices(plan, names, p));
    all
}

fn liquid(plan: &Plan, item: ItemId) -> bool {
    !matches!(plan.items[item.at()].container, Container::Volume { .. })
}

fn amount(plan: &Plan, item: ItemId, kg: f64, p: &Parts) -> String {
    if liquid(plan, item) {
        show::volume(kg / plan.items[item.at()].density, p.units)
    } else {
        show::mass(kg, p.units)
    }
}

fn price(plan: &Plan, item: ItemId, a_kg: f64, names: &Names, p: &Parts) -> String {
    if a_kg <= 0.0 { String::new() } else { format!(", at {}", priced(plan, item, a_kg, names, p)) }
}

/// `4.50 $ a gal`.
fn priced(plan: &Plan, item: ItemId, a_kg: f64, names: &Names, p: &Parts) -> String {
    let us = p.units == crate::units::UnitSystem::Us;
    let density = plan.items[item.at()].density;
    let (kg, unit) = match (liquid(plan, item), us) {
        (true, true) => (3.785_411_784 * density, "gal"),
        (true, false) => (density, "L"),
        (false, true) => (0.453_592_37, "lb"),
        (false, false) => (1.0, "kg"),
    };
    format!("{} {} a {unit}", show::fixed(a_kg * kg, 2), names.money)
}

fn share(plan: &Plan, s: &SharePlan, names: &Names, p: &Parts) -> Part {
    let mut part = Part::new("Herd shares");
    let whole = ItemId(0);
    let times = f64::from(s.weekdays.count_ones());
    let each = |kg: f64| {
        let now = match s.jars {
            Some(j) => {
                let n = show::whole(kg / j.kg);
                let jar = &names.jars[usize::from(j.size)];
                format!("{n} × {jar} jar, {}", amount(plan, whole, kg, p))
            }
            None => amount(plan, whole, kg, p),
        };
        format!("{now} at each pick-up")
    };
    let all_kg: f64 = s.claims_kg.iter().sum();
    if s.claims_kg.windows(2).all(|w| w[0] == w[1]) {
        let n = s.claims_kg.len();
        let who = if s.named { show::listed(&names.members) } else { format!("{n} of them") };
        part.line("members", format!("{who}: {} for each", each(s.claims_kg[0])));
    } else {
        for (kg, name) in s.claims_kg.iter().zip(&names.members) {
            part.line(name.clone(), each(*kg));
        }
    }
    part.line("all together", format!("{} of whole milk a week", amount(plan, whole, all_kg * times, p)));
    let date = |d: u32| calendar::show_plain(p.first_date(d));
    part.line(
        "pick-ups",
        format!("on {}, from {} until {}", day_words(s.weekdays), date(s.from_day), date(s.until_day)),
    );
    part.line(
        "when short",
        match s.rule {
            SplitRule::InProportion => "all get the same part of what they claim, the family among them",
            SplitRule::EqualAwards => {
                "all get the same amount, as far as they claim it, the family among them"
            }
            SplitRule::EqualLosses => "all go short by the same amount, the family among them",
            SplitRule::ContestedGarment => {
                "equal amounts up to half of each claim, equal losses beyond, the family among them"
            }
            SplitRule::FamilyFirst => "the family's drinking milk first, the rest in proportion",
            SplitRule::MembersFirst => "the members first, in proportion, then the family",
            SplitRule::InTurns => "one after the other, beginning with the next one each time it is short",
        },
    );
    let dry = if s.dry_weeks_count { "the promise stands" } else { "the promise rests" };
    part.line("dry weeks", dry);
    if s.not_fetched > 0.0 {
        let then = if s.pour_out { "is poured out" } else { "goes back to the family" };
        part.line("not fetched", format!("{} of pick-ups; the milk {then}", show::part(s.not_fetched)));
    }
    if s.fee > 0.0 {
        let rest = if s.fee_when_dry { "" } else { ", resting in the dry weeks" };
        part.line(
            "fee",
            format!("{} {} a month for each member{rest}", show::fixed(s.fee * 30.4375, 2), names.money),
        );
    }
    part
}

fn outgoing(title: &str, plan: &Plan, all: &[OutPlan], who: &[String], names: &Names, p: &Parts) -> Part {
    let mut part = Part::new(title);
    for (o, name) in all.iter().zip(who) {
        let Some(&first) = o.items.first() else { continue };
        let items: Vec<&str> = o.items.iter().map(|i| names.items[i.at()].as_str()).collect();
        let mut text =
            format!("up to {} of {} a week", amount(plan, first, o.most_kg, p), items.join(" or "));
        text.push_str(&price(plan, first, o.price, names, p));
        if o.weekdays != 0b111_1111 {
            text.push_str(&format!(", on {}", day_words(o.weekdays)));
        }
        if o.keep_back_kg > 0.0 {
            text.push_str(&format!(", {} kept back", amount(plan, first, o.keep_back_kg, p)));
        }
        part.line(name.clone(), format!("{text}; only what is over"));
    }
    part
}

fn prices(plan: &Plan, names: &Names, p: &Parts) -> Part {
    let mut part = Part::new("Prices");
    let Some(w) = &plan.trade.worth else { return part };
    let m = &names.money;
    let wishes = plan.household.wishes.iter().zip(&names.wishes).zip(&w.wishes);
    let food = wishes.filter_map(|((wish, name), a_kg)| Some((name.as_str(), *wish.items.first()?, *a_kg)));
    let all = std::iter::once(("milk", ItemId(0), w.milk)).chain(food);
    for (name, item, a_kg) in all.filter(|(_, _, a_kg)| *a_kg > 0.0) {
        part.line(format!("{name} on the table"), priced(plan, item, a_kg, names, p));
    }
    for (label, a_kg) in [("milk fetched", w.fetched), ("fed to animals", w.fed)] {
        if a_kg > 0.0 {
            part.line(label, priced(plan, ItemId(0), a_kg, names, p));
        }
    }
    for (label, value, what) in [
        ("keep", w.keep, "a day and animal"),
        ("feed", w.feed, "a day and animal in milk, beside the keep"),
        ("power", w.power, "a day"),
        ("ice", w.ice, "a day with an animal in milk"),
        ("jars", w.jar, "for each that breaks"),
        ("starters", w.starter, "for each that is bought"),
        ("time", w.hour, "an hour"),
    ] {
        if value > 0.0 {
            part.line(label, format!("{} {m} {what}", show::fixed(value, 2)));
        }
    }
    part
}
