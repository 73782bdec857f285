//! Conditions of a rule.

use super::{
    super::{
        plan::Condition,
        raw::{Entries, Text, When},
    },
    bounds::{self, Bounds},
    calendar::Run,
    context::{Ctx, under},
    items::Items,
    routine::World,
};
use crate::{
    calendar,
    units::{Duration, Part},
};

/// The conditions of a rule; `who` is the animal that it is done to.
pub(super) fn conditions(
    c: &mut Ctx,
    w: &World,
    at: &str,
    raw: &When,
    who: Option<u16>,
    when: &mut Vec<Condition>,
) {
    let empty = Entries::default();
    for (name, text) in raw.have.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "have"), name);
        let Some(ids) = w.items.find(c, &at, name) else { continue };
        when.extend(bounds::stock(c, w, &at, name, &ids, text.get()));
    }
    for (name, text) in raw.oldest.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "oldest"), name);
        let Some(ids) = w.items.find(c, &at, name) else { continue };
        if let Some(b) = bounds::read(c, &at, text.get(), |c, at, t| c.words::<Duration>(at, t)) {
            when.push(Condition::OldestAge { items: Items::mask(&ids), least: b.least, most: b.most });
        }
    }
    if let Some(t) = &raw.season {
        when.extend(season(c, &under(at, "season"), t.get()));
    }
    if let Some(t) = &raw.between {
        when.extend(dates(c, w.run, &under(at, "between"), t.get()));
    }
    let days = |c: &mut Ctx, key: &str, t: &Option<Text>| -> Option<Bounds> {
        let t = t.as_ref()?;
        bounds::read(c, &under(at, key), t.get(), |c, at, t| c.words::<Duration>(at, t))
    };
    if let Some(b) = days(c, "since freshening", &raw.since_freshening) {
        when.push(Condition::SinceFreshening { animal: who, least: b.least, most: b.most });
    }
    if let Some(b) = days(c, "to dry off", &raw.to_dry_off) {
        when.push(Condition::ToDryOff { animal: who, least: b.least, most: b.most });
    }
    let dry = [("only", true), ("outside them", false)];
    if let Some(within) = c.choice(&under(at, "dry weeks"), &raw.dry_weeks, &dry) {
        when.push(Condition::DryWeeks { within });
    }
    for (name, text) in raw.fullness.as_ref().unwrap_or(&empty).iter() {
        let at = under(&under(at, "fullness"), name);
        let Some((store, _)) = w.rooms.store(name) else {
            let names: Vec<&str> = w.rooms.stores.iter().skip(1).map(|s| s.name.as_str()).collect();
            c.unknown(&at, "store", name, &names);
            continue;
        };
        if let Some(b) = bounds::read(c, &at, text.get(), |c, at, t| c.words::<Part>(at, t)) {
            when.push(Condition::Fullness { store: store as u16, least: b.least, most: b.most });
        }
    }
    if let Some(t) = &raw.minutes_left {
        let at = under(at, "minutes left");
        if let Some(b) = bounds::read(c, &at, t.get(), |c, at, t| c.words::<crate::units::Minutes>(at, t)) {
            when.push(Condition::MinutesLeft { least: b.least, most: b.most });
        }
    }
}

/// `apr to sep`, `15 apr to 10 sep`.
pub(super) fn season(c: &mut Ctx, at: &str, text: &str) -> Option<Condition> {
    let side = |c: &mut Ctx, words: &str, last: bool| -> Option<u16> {
        let words = words.trim();
        let (day, month) = match words.split_once(' ') {
            Some((a, b)) if a.starts_with(|ch: char| ch.is_ascii_digit()) => (Some(a), b),
            Some((a, b)) => (Some(b), a),
            None => (None, words),
        };
        let month = calendar::read_month(month).map_err(|e| c.push(at, e.diagnostic())).ok()?;
        let month = i8::try_from(month).ok()? + 1;
        // A leap year, so that 29 February has a number.
        let first = jiff::civil::Date::new(2028, month, 1).ok()?;
        let day = match day {
            None if last => first.days_in_month(),
            None => 1,
            Some(d) => match d.parse::<i8>().ok().filter(|d| *d >= 1 && *d <= first.days_in_month()) {
                Some(d) => d,
                None => {
                    c.error(
                        at,
                        format!("`{words}` is no day of the year"),
                        "write such as `15 apr to 10 sep`",
                    );
                    return None;
                }
            },
        };
        jiff::civil::Date::new(2028, month, day).ok().map(calendar::day_of_year)
    };
    let Some((from, until)) = text.split_once(" to ") else {
        c.error(at, format!("`{text}` is no season"), "write such as `apr to sep` or `15 apr to 10 sep`");
        return None;
    };
    let (from, until) = (side(c, from, false), side(c, until, true));
    Some(Condition::Season { from: from?, until: until? })
}

fn dates(c: &mut Ctx, run: Run, at: &str, text: &str) -> Option<Condition> {
    let Some((from, until)) = text.split_once(" to ") else {
        c.error(at, format!("`{text}` is no span of dates"), "write such as `2027-04-01 to 2027-06-30`");
        return None;
    };
    let (from, until) = (c.date(at, from), c.date(at, until));
    let (from, until) = (from?, until?);
    if until < from {
        c.error(at, "this ends before it begins", "put the earlier date first");
        return None;
    }
    if until < run.first || from > run.last() {
        c.warn(
            at,
            "these days lie outside the simulated time, so this rule never works",
            "are the dates right?",
        );
        // A condition that never holds.
        return Some(Condition::Dates { from: u32::MAX, until: u32::MAX });
    }
    Some(Condition::Dates { from: run.clamped(from), until: run.clamped(until) })
}
