//! Herd shares, gifts, sales, purchases; and apart from them, what it was worth.

use super::Voice;
use crate::report::amounts::{counted, join, percent, whole};
use crate::report::page::Page;
use crate::study::worth::Line;

pub(super) fn write(v: &Voice, page: &mut Page) {
    page.part("Herd shares", shares(v));
    members(v, page);
    page.part("Given away, sold, bought", others(v));
    worth(v, page);
}

fn shares(v: &Voice) -> String {
    let Some(fill) = v.measure("share_fill") else { return String::new() };
    let mut out = Vec::new();
    if let Some(m) = v.measure("shared_out") {
        out.push(format!("Fetched by the members: {}.", v.range(m, |kg| v.show.milk(kg))));
    }
    out.push(format!("Of what they were promised they got {}.", v.range(fill, percent)));
    if let Some(m) = v.measure("short_pick_ups").filter(|m| m.max > 0.0) {
        out.push(format!("The promise was not all there {}.", v.on_pick_ups(m)));
    }
    if let Some(m) = v.measure("members_stayed_away").filter(|m| m.max > 0.0) {
        let times = |n: f64| counted(n, "time", "times");
        out.push(format!("A member did not come: {}.", v.range(m, times)));
    }
    if let Some(m) = v.measure("share_worst_week") {
        out.push(format!(
            "In the worst week the worst-served member got {} of the promise.",
            v.range(m, percent)
        ));
    }
    if let Some(m) = v.measure("share_spread").filter(|m| m.max > 0.0005) {
        let points = |x: f64| format!("{} points", crate::units::show::fixed(100.0 * x, 1));
        out.push(format!("Between the best-served and the worst-served member lay {}.", v.range(m, points)));
    }
    out.join(" ")
}

/// Each named member, where they differ.
fn members(v: &Voice, page: &mut Page) {
    let apart = v.measure("share_spread").is_some_and(|m| m.max > 0.0005);
    let each = v.result.measures.iter().filter(|m| m.name.starts_with("share_fill_"));
    for (m, name) in each.zip(&v.subject.names.members).filter(|_| apart) {
        page.item(format!("{name}: {} of the promise", v.range(m, percent)));
    }
}

fn others(v: &Voice) -> String {
    // What happens less often than once in 20 years is left to the files.
    let any = |name: &str| v.measure(name).filter(|m| m.quantiles[4] > 0.0);
    let mut out = Vec::new();
    let each = [("given_away", "Given away"), ("sold", "Sold"), ("bought", "Bought")];
    for ((name, word), milk) in each.into_iter().zip(v.facts.trades_milk) {
        if let Some(m) = any(name) {
            let amount = |kg: f64| if milk { v.show.milk(kg) } else { v.show.mass(kg) };
            out.push(format!("{word}: {}.", v.range(m, amount)));
        }
    }
    if any("bought").is_some() {
        out.push(
            "What was bought for the table does not count as served above: a short day stays short.".into(),
        );
    }
    out.join(" ")
}

fn worth(v: &Voice, page: &mut Page) {
    let Some(balance) = v.measure("value") else { return };
    let money = |x: f64| money(x, &v.subject.names.money);
    page.heading("What it was worth");
    let run = v.span.one();
    page.say(format!(
        "The balance of a {run}: {}. This is money alone, at the prices in the scenario; it says nothing of safety, \
         and nothing of what may be shared or sold where you live.",
        v.range(balance, money)
    ));
    let mut lines = Vec::new();
    for line in Line::ALL {
        if let Some(m) = v.measure(&format!("value_{}", line.key())).filter(|m| m.min != 0.0 || m.max != 0.0)
        {
            lines.push(format!("{} {}", line.words(), money(m.mean)));
        }
    }
    if !lines.is_empty() {
        let lead = if v.single() { "It is made up of" } else { "On average it is made up of" };
        page.say(format!("{lead} {}.", join(&lines, "and")));
    }
}

/// `$1,234`, `1,234 euros`; what was spent with a minus.
pub(in crate::report) fn money(x: f64, word: &str) -> String {
    let amount = whole(x.abs());
    let sign = if x <= -0.5 { "−" } else { "" };
    if word.chars().any(char::is_alphabetic) {
        format!("{sign}{amount} {word}")
    } else {
        format!("{sign}{word}{amount}")
    }
}

#[cfg(test)]
mod tests {
    use super::money;

    #[test]
    fn money_in_its_own_way() {
        assert_eq!(money(1234.4, "$"), "$1,234");
        assert_eq!(money(-50.0, "$"), "−$50");
        assert_eq!(money(12.0, "euros"), "12 euros");
        assert_eq!(money(-0.2, "$"), "$0");
    }
}
