//! Milk drawn, where it went, waste, and what ran short.

use super::Voice;
use super::answer::capital;
use crate::dairy::Species;
use crate::report::amounts::{MILK_KG_PER_L, days, join, number, percent};
use crate::report::page::Page;
use crate::sim::outcome::Fate;
use crate::study::results::Summary;

pub(super) fn write(v: &Voice, page: &mut Page) {
    page.part("Milk", milk(v));
    page.part("Where it went", fates(v));
    page.part("Waste", waste(v));
    short(v, page);
}

fn milk(v: &Voice) -> String {
    let mut out = Vec::new();
    let amount = |kg: f64| v.show.milk(kg);
    if v.facts.animals
        && let Some(m) = v.measure("milk_drawn")
    {
        out.push(format!("Drawn: {}.", v.range(m, amount)));
    }
    if v.facts.fetches
        && let Some(m) = v.measure("milk_fetched")
    {
        out.push(format!("Fetched: {}.", v.range(m, amount)));
    }
    if let Some(m) = v.measure("milk_withheld").filter(|m| m.mean > 0.0) {
        out.push(format!("Kept from people: {}.", v.range(m, amount)));
    }
    if let Some(m) = v.measure("made_into_products").filter(|m| m.mean > 0.0) {
        out.push(format!("Made into other food: {}, whey and buttermilk with it.", v.range(m, amount)));
    }
    out.join(" ")
}

/// Where milk ended, in words; of whose young it is told, where all are of one
/// species.
pub(crate) fn fate_words(key: &str, young: Option<Species>) -> &str {
    let fate = Fate::ALL.iter().find(|f| f.key() == key);
    match fate {
        Some(Fate::Drunk) => "drunk at the table",
        Some(Fate::Eaten) => "eaten as other food",
        Some(Fate::SharedOut) => "fetched by the members",
        Some(Fate::GivenAway) => "given away",
        Some(Fate::Sold) => "sold",
        Some(Fate::Calf) => match young {
            Some(Species::Cow) => "drunk by the calf on its dam",
            Some(Species::Goat) => "drunk by the kids on their dam",
            Some(Species::Sheep) => "drunk by the lambs on their dam",
            None => "drunk by the young on their dams",
        },
        Some(Fate::Fed) => "fed to animals",
        Some(Fate::KeptByHelper) => "kept by whoever milked while you were away",
        Some(Fate::ColostrumNewborn) => "colostrum for the newborn",
        Some(Fate::ColostrumFed) => "colostrum fed to other animals",
        Some(Fate::ColostrumFrozen) => "colostrum frozen for a newborn",
        Some(Fate::Withheld) => "kept from people: colostrum poured out",
        Some(Fate::WithheldSick) => "kept from people: ill or treated",
        Some(Fate::WastedNoRoom) => "wasted: no room in the cold",
        Some(Fate::WastedNoJar) => "wasted: no clean jar",
        Some(Fate::WastedSoured) => "wasted: soured",
        Some(Fate::WastedFoul) => "wasted: foul",
        Some(Fate::WastedExpired) => "wasted: kept past its time",
        Some(Fate::WastedUnclaimed) => "wasted: share milk nobody fetched",
        Some(Fate::WastedSpilled) => "wasted: kicked or dirty pail",
        Some(Fate::WastedPouredOut) => "wasted: poured out by a rule",
        Some(Fate::WastedFailedBatch) => "wasted: a batch that failed",
        Some(Fate::WastedOutage) => "wasted: warm while the power was out",
        Some(Fate::ByproductPoured) => "whey and buttermilk poured out",
        Some(Fate::Film) => "left in strainer, jars and pots",
        Some(Fate::Steam) => "steam",
        Some(Fate::AgeingLoss) => "dried off in ageing",
        Some(Fate::InStore) => "still in store at the end",
        None => key,
    }
}

fn fates(v: &Voice) -> String {
    let mut rows: Vec<_> = v.result.fates.iter().filter(|f| f.part >= 0.005).collect();
    rows.sort_by(|a, b| b.part.total_cmp(&a.part));
    if rows.is_empty() {
        return String::new();
    }
    let words: Vec<String> = rows
        .iter()
        .take(4)
        .map(|f| format!("{:.0} were {}", f.part * 100.0, verb(f.fate, v.facts.young)))
        .collect();
    format!(
        "Of every 100 {} that came in, {}. The table below has the rest.",
        v.show.milk_long(),
        join(&words, "and")
    )
}

/// The words of a fate after "were".
fn verb(key: &str, young: Option<Species>) -> String {
    let words = fate_words(key, young);
    words.strip_prefix("wasted: ").map_or_else(|| words.to_string(), |cause| format!("wasted ({cause})"))
}

/// Causes of waste in words, by the end of the measure's name.
pub(crate) const CAUSES: [(&str, &str); 10] = [
    ("no_room", "no room in the cold"),
    ("no_jar", "no clean jar"),
    ("soured", "soured before it was used"),
    ("foul", "went foul"),
    ("expired", "kept past its time"),
    ("unclaimed", "share milk nobody fetched"),
    ("spilled", "kicked or dirty pail"),
    ("poured_out", "poured out by a rule"),
    ("failed_batch", "a batch that failed"),
    ("outage", "the power was out"),
];

/// The part of the fat that is wasted, where it says something else than the part of
/// the milk: cream is what spoils.
pub(super) fn fat_beyond<'a>(v: &Voice<'a>, of_milk: &Summary) -> Option<&'a Summary> {
    const POINTS: f64 = 0.03;
    v.measure("wasted_fat_part").filter(|fat| fat.quantiles[2] > of_milk.quantiles[2] + POINTS)
}

fn waste(v: &Voice) -> String {
    let Some(m) = v.measure("wasted") else { return String::new() };
    if m.max <= 0.0 {
        return "Nothing was wasted.".into();
    }
    let mut out =
        format!("Of milk, cream and what is made of them, {} were wasted", v.range(m, |kg| v.show.mass(kg)));
    if let Some(p) = v.measure("wasted_part") {
        out.push_str(&format!(", {} of the milk fit for people", percent(p.quantiles[2])));
        if let Some(between) = v.between(p, percent) {
            out.push_str(&format!(" ({between})"));
        }
        if let Some(fat) = fat_beyond(v, p) {
            out.push_str(&format!(", and {} of its fat", percent(fat.quantiles[2])));
            if let Some(between) = v.between(fat, percent) {
                out.push_str(&format!(" ({between})"));
            }
        }
    }
    out.push('.');
    let mut causes: Vec<(f64, &str)> = CAUSES
        .iter()
        .filter_map(|(key, words)| Some((v.measure(&format!("wasted_{key}"))?.mean, *words)))
        .filter(|(kg, _)| m.mean > 0.0 && *kg > 0.005 * m.mean)
        .collect();
    causes.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<String> = causes
        .iter()
        .take(4)
        .map(|(kg, w)| format!("{w} ({:.0} of 100 parts)", 100.0 * kg / m.mean))
        .collect();
    if let [(_, only)] = causes[..] {
        out.push_str(&format!(" The one cause: {only}."));
    } else if !words.is_empty() {
        out.push_str(&format!(" By cause: {}.", join(&words, "and")));
    }
    if causes.iter().any(|(_, w)| w.contains("sour") || w.contains("foul")) {
        out.push_str(" Smell is no test of safety: milk that smells sweet can still make people ill.");
    }
    out
}

/// A want: its name in words, the stem of its measures, and how to show it.
pub(crate) struct Want {
    pub name: String,
    pub key: String,
    pub density: Option<f64>,
}

impl Want {
    /// An amount of it, kg, in the family's units.
    pub fn amount(&self, v: &Voice, kg: f64) -> String {
        self.density.map_or_else(|| v.show.mass(kg), |d| v.show.volume(kg / d))
    }
}

/// Drinking milk, then the wishes.
pub(crate) fn wants(v: &Voice) -> Vec<Want> {
    let milk = Want { name: "milk for drinking".into(), key: "milk".into(), density: Some(MILK_KG_PER_L) };
    let wishes =
        v.facts.wishes.iter().map(|w| Want { name: w.name.clone(), key: w.key.clone(), density: w.density });
    std::iter::once(milk).chain(wishes).collect()
}

fn short(v: &Voice, page: &mut Page) {
    let (mut never, mut seldom, mut lines, mut unasked) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for want in wants(v) {
        let Some(d) = v.measure(&format!("{}_short_days", want.key)) else { continue };
        let any = v.part_above(&format!("{}_short_days", want.key), 0.5).unwrap_or(1.0);
        if !was_wanted(v, &want) {
            unasked.push(want.name.clone());
        } else if d.max <= 0.0 {
            never.push(want.name.clone());
        } else if any < 0.1 {
            seldom.push(format!("{} ({})", want.name, v.in_of(any)));
        } else {
            lines.push(short_words(v, &want, d));
        }
    }
    if never.is_empty() && seldom.is_empty() && lines.is_empty() && unasked.is_empty() {
        return;
    }
    page.heading("What ran short");
    if !lines.is_empty() && !v.single() {
        page.say(format!("In brackets: between what and what in 9 of 10 {}.", v.span.many()));
    }
    for line in lines {
        page.item(line);
    }
    if !seldom.is_empty() {
        page.item(format!("Seldom short: {}.", join(&seldom, "and")));
    }
    if !never.is_empty() {
        page.item(format!("Never short: {}.", join(&never, "and")));
    }
    if !unasked.is_empty() {
        page.item(format!("Wanted on no day that counts in this run: {}.", join(&unasked, "and")));
    }
}

/// It was wanted on some day of some run: what nobody asked for cannot run short.
fn was_wanted(v: &Voice, want: &Want) -> bool {
    v.measure(&format!("{}_wanted_days", want.key)).is_none_or(|m| m.max > 0.0)
}

fn short_words(v: &Voice, want: &Want, days_short: &Summary) -> String {
    let get = |end: &str| v.measure(&format!("{}_{end}", want.key)).map(|m| m.quantiles[2]);
    if v.measure(&format!("{}_fill", want.key)).is_some_and(|f| f.max <= 0.0) {
        return format!("{}: never there.", capital(&want.name));
    }
    if days_short.quantiles[2] <= 0.0 {
        return format!("{}: short {}.", capital(&want.name), v.on_days(days_short));
    }
    let mut out = format!("{}: short on {}", capital(&want.name), v.bracket(days_short, days));
    if let Some(gap) = get("longest_gap").filter(|g| *g > 1.0) {
        out.push_str(&format!(", {} of them in a row", number(gap)));
    }
    if let Some(fill) = get("fill") {
        out.push_str(&format!("; {} of what was wanted was there", percent(fill)));
    }
    if let Some(kg) = get("short").filter(|kg| *kg > 0.0) {
        out.push_str(&format!(", {} missing", want.amount(v, kg)));
    }
    out.push('.');
    out
}
