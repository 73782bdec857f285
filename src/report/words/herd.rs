//! The animals' year: illness, freshening again, breeding in vain; starters and
//! deliveries with them, as what else befell the household.

use super::Voice;
use crate::report::amounts::counted;
use crate::report::page::Page;

pub(super) fn write(v: &Voice, page: &mut Page) {
    page.part("Animals", animals(v));
    page.part("Deliveries", deliveries(v));
    page.part("Starters", starters(v));
}

fn times(n: f64) -> String {
    counted(n, "time", "times")
}

fn animals(v: &Voice) -> String {
    if !v.facts.animals {
        return String::new();
    }
    let mut out = Vec::new();
    let any = |name: &str| v.part_above(name, 0.5).filter(|p| *p > 0.0);
    let one = v.span.one();
    let who = if v.facts.herd > 1 { "some animal" } else { "she" };
    if let (Some(part), Some(cases), Some(kept)) =
        (any("sick_cases"), v.measure("sick_cases"), v.measure("sick_days"))
    {
        out.push(format!(
            "Illness: {who} falls ill {} ({} a {one} on average).",
            v.in_of(part),
            times((cases.mean * 10.0).round() / 10.0)
        ));
        if kept.max > 0.0 {
            out.push(format!("Milk is kept from people for illness or treatment {}.", v.on_days(kept)));
        }
    } else if let Some(kept) = v.measure("sick_days").filter(|m| m.max > 0.0) {
        out.push(format!("Milk is kept from people for treatment {}.", v.on_days(kept)));
    }
    if let Some(heat) = v.measure("heat_days").filter(|m| m.max >= 0.5) {
        let all = if v.facts.herd > 1 { ", all animals in milk together" } else { " in milk" };
        out.push(format!(
            "It is too hot for {} {}{all}.",
            if v.facts.herd > 1 { "them" } else { "her" },
            v.on_days(heat)
        ));
    }
    if let Some(part) = any("freshened_again") {
        let she = if v.facts.herd > 1 { "An animal" } else { "She" };
        out.push(format!("{she} freshens again within the {one} {}.", v.in_of(part)));
    }
    if let Some(part) = any("not_settled") {
        out.push(format!("Breeding is in vain, and {who} does not settle, {}.", v.in_of(part)));
    }
    if let Some(short) = v.measure("young_short_days").filter(|m| m.mean >= 0.5) {
        out.push(format!(
            "Young on the bottle go short of milk {}; `until` says when they are weaned.",
            v.on_days(short)
        ));
    }
    out.join(" ")
}

fn deliveries(v: &Voice) -> String {
    match v.measure("fetches_failed").filter(|m| v.facts.fetches && m.max > 0.0) {
        Some(m) => format!("Times that milk to be fetched did not come: {}.", v.range(m, times)),
        None => String::new(),
    }
}

fn starters(v: &Voice) -> String {
    match v.measure("starters_bought").filter(|m| m.max > 0.0) {
        Some(m) => format!(
            "Bought, the first of each with them: {}.",
            v.range(m, |n| counted(n, "starter", "starters"))
        ),
        None => String::new(),
    }
}
