//! The page: what to look to, the pail, day by day.

use super::things::{Kind, TOLD, of_day};
use super::{Told, sure};
use crate::report::amounts::count;
use crate::report::page::{Block, Page};
use crate::report::words::{GENERAL_CAUTION, capital};
use crate::scenario::plan::{OutletPlan, fixed};
use crate::study::ahead::Souring;

/// Most lines under "what to look to".
const MOST: usize = 9;
/// Of fewer futures it is said that they tell little: one of ten is then under ten of
/// them (our default).
const FEW: u32 = 100;

pub(super) fn page(told: &Told) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(format!("{}: {}", told.title(), weeks(told))));
    if told.ahead.trials < FEW {
        let futures = if told.ahead.trials == 1 { "one future" } else { "few futures" };
        page.say(format!(
            "Only {futures} ({}) stand behind all this, so what is said of nine of ten means little: take {FEW} or \
             more (--trials).",
            told.ahead.trials
        ));
    }
    page.heading("What to look to");
    let looks = looks(told);
    if looks.is_empty() {
        page.say("Nothing out of the way: no milk too much or too little, and none that turns sour.");
    }
    let over = looks.len().saturating_sub(MOST);
    for line in looks.into_iter().take(MOST) {
        page.item(line);
    }
    if over > 0 {
        page.say(format!("And {over} more, under their days below."));
    }
    if told.plan.animals.is_empty() {
        // Nobody milks: what is fetched stands under its days.
    } else if told.ahead.total.high > 0.0 {
        page.heading("In the pail");
        page.blocks.push(Block::Table(pail(told)));
    } else {
        page.part("In the pail", "Nothing in all these days.");
    }
    page.heading("Day by day");
    for d in &told.ahead.days {
        let things = of_day(told, d);
        let told_of: Vec<String> = things
            .iter()
            .filter(|t| !matches!(t.kind, Kind::Pail))
            .filter(|t| t.chance.is_none_or(|c| c >= TOLD))
            .map(super::things::Thing::words)
            .collect();
        page.blocks.push(Block::Heading(told.day(d.day)));
        if told_of.is_empty() {
            let milked = d.pail.high > 0.0;
            page.say(if milked { "Nothing but milking and meals." } else { "Nothing but meals." });
        }
        for line in told_of {
            page.item(line);
        }
    }
    page.heading("How sure this is");
    page.say(how(told));
    page.heading("Cautions");
    if told.names.cautions.is_empty() {
        page.item(GENERAL_CAUTION);
    }
    for caution in &told.names.cautions {
        page.item(caution.as_str());
    }
    page
}

/// `the coming 2 weeks, from Mon 30 Aug 2027`.
pub(super) fn weeks(told: &Told) -> String {
    let days = told.ahead.days.len();
    let length = match days {
        7 => "the coming week".to_owned(),
        d if d % 7 == 0 => format!("the coming {} weeks", d / 7),
        1 => "the coming day".to_owned(),
        d => format!("the coming {d} days"),
    };
    let from = told.date(told.first()).map_or_else(|| told.day(told.first()), crate::calendar::show);
    format!("{length}, from {from}")
}

/// What ranges and chances are counted from.
pub(super) fn how(told: &Told) -> String {
    let n = count(told.ahead.trials);
    let from = told.first();
    let before = if from > 0 {
        format!(
            " The run begins on {}: what stands there on {} is simulated too, and differs from future to future. A \
             stock-take (--stock) would make the first days surer.",
            told.day(0),
            told.day(from)
        )
    } else {
        String::new()
    };
    format!(
        "Counted over {n} simulated futures (seed {}). \"In 8 of 10\" is a part of these futures; what happens in fewer \
         than 1 of 10 is left out. Of a range, 1 in 10 lies below it and 1 in 10 above. It holds if animals, people and \
         rules are as the scenario says.{before}",
        told.ahead.seed
    )
}

/// The worst and most needed first.
pub(super) fn looks(told: &Told) -> Vec<String> {
    let mut out = Vec::new();
    let days = &told.ahead.days;
    for a in 0..told.plan.animals.len() {
        let kept: Vec<_> = days.iter().filter(|d| d.kept[a] >= 0.5).collect();
        if let (Some(first), Some(last)) = (kept.first(), kept.last()) {
            let name = told.animal(a);
            let span = if first.day == last.day {
                format!("on {}", told.day(first.day))
            } else {
                format!("from {} until {}", told.day(first.day), told.day(last.day))
            };
            out.push(format!("The milk of {name} is kept from people {span}, more likely than not."));
        }
    }
    if let Some((chance, [low, middle, high])) = told.ahead.first_full
        && chance >= TOLD
    {
        let when = if low == high {
            told.day(middle)
        } else {
            format!("{} (between {} and {})", told.day(middle), told.day(low), told.day(high))
        };
        out.push(format!("The cold is too full {}, first on {when}.", sure(chance)));
    }
    if let Some(d) = days.iter().find(|d| d.short >= TOLD) {
        let worst = days.iter().max_by(|a, b| a.short.total_cmp(&b.short)).unwrap_or(d);
        let worst = if worst.day == d.day {
            String::new()
        } else {
            format!("; worst on {}, {}", told.day(worst.day), sure(worst.short))
        };
        out.push(format!("Drinking milk does not go round on {} {}{worst}.", told.day(d.day), sure(d.short)));
    }
    for (w, name) in told.names.wishes.iter().enumerate() {
        let short = |d: &crate::study::ahead::AheadDay| d.wishes_short.get(w).copied().unwrap_or(0.0);
        let n = days.iter().filter(|d| short(d) >= 0.5).count();
        if let Some(d) = days.iter().find(|d| short(d) >= 0.5) {
            let more = if n > 1 { format!(", and on {n} days in all") } else { String::new() };
            out.push(format!("There is too little {name} on {} {}{more}.", told.day(d.day), sure(short(d))));
        }
    }
    out.extend(sours(told));
    if let Some((d, p)) = days.iter().find_map(|d| d.promise.map(|p| (d, p))) {
        let milk = |kg: f64| told.amount(Some(crate::scenario::plan::fixed::WHOLE), kg);
        let next = format!(
            "For the next pick-up, {}, {} can be promised: it is there in 9 of 10.",
            told.day(d.day),
            milk(p.in_nine)
        );
        let line = format!("{next} {} is promised, which can be kept {}.", milk(p.promised), sure(p.kept));
        // What cannot be kept comes before all but the milk kept from people.
        if p.kept < 0.9 { out.insert(0, line) } else { out.push(line) }
    }
    out
}

/// Most lines about milk that turns sour: those after them can wait.
const SOURS: usize = 4;

/// What turns sour, the soonest first, and until when to use it.
fn sours(told: &Told) -> Vec<String> {
    let mut all: Vec<&Souring> = told.ahead.sours.iter().filter(|s| s.chance >= 0.25).collect();
    all.sort_by_key(|s| (s.days, s.milking, s.item));
    let takes_milk =
        |o: &OutletPlan| o.takes.iter().any(|(item, _)| [fixed::WHOLE, fixed::SKIMMED].contains(item));
    let verb = if told.plan.outlets.iter().any(takes_milk) { "Use or feed" } else { "Use" };
    let line = |(n, s): (usize, &&Souring)| {
        let [low, middle, high] = s.days;
        let when = if low == high {
            format!("on {}", told.day(middle))
        } else {
            format!("about {} ({} to {})", told.day(middle), told.day(low), told.day(high))
        };
        let what = capital(&told.soured(s));
        let amount = told.amount(Some(s.item), s.kg.middle);
        let first = if n == 0 && all.len() > 1 { " first," } else { "" };
        let by = if low > told.first() { format!("before {}", told.day(low)) } else { "at once".into() };
        format!("{what}, {amount}, turns sour {} {when}. {verb} it{first} {by}.", sure(s.chance))
    };
    let mut lines: Vec<String> = all.iter().enumerate().take(SOURS).map(line).collect();
    if let Some(next) = all.get(SOURS) {
        let n = all.len() - SOURS;
        let more = if n == 1 {
            "milk of one more day or milking".into()
        } else {
            format!("milk of {n} more days or milkings")
        };
        lines.push(format!(
            "After that {more} turns sour, from {} on; see the days below.",
            told.day(next.days[0])
        ));
    }
    lines
}

/// The pail day by day, with its totals.
fn pail(told: &Told) -> String {
    let unit = told.show().milk_unit();
    let animals = told.plan.animals.len();
    let number = |kg: f64| told.show().milk_number(kg);
    let mut heads = vec!["".to_owned()];
    // With many animals only all together fit the width.
    let each = if animals <= 3 { animals } else { 0 };
    heads.extend((0..each).map(|a| format!("{}, {unit}", told.animal(a))));
    if animals != 1 {
        heads.push(format!("all, {unit}"));
    }
    let cell = |r: crate::study::ahead::Range| {
        if r.high <= 0.0 {
            "–".into()
        } else {
            format!("{} ({} to {})", number(r.middle), number(r.low), number(r.high))
        }
    };
    let row = |name: String, pails: &[crate::study::ahead::Range], all: crate::study::ahead::Range| {
        let mut row = vec![name];
        row.extend(pails.iter().take(each).map(|r| cell(*r)));
        if animals != 1 {
            row.push(cell(all));
        }
        row
    };
    let mut rows: Vec<Vec<String>> =
        told.ahead.days.iter().map(|d| row(told.day(d.day), &d.pails, d.pail)).collect();
    rows.push(row("in all".into(), &told.ahead.totals, told.ahead.total));
    crate::report::tables::plain(&heads, &rows)
}
