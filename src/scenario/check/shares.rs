//! Herd shares: who is promised what, on which days, and how a short pick-up is
//! split.

use super::{
    super::{
        plan::{ShareJars, SharePlan, SplitRule, fixed},
        raw::{HerdShares, Members, OneOrMany, Text},
    },
    calendar::span,
    context::{Ctx, entry, under},
    prices::Purse,
    trade::{Words, World},
};
use crate::units::{Amount, Count, MilkRate, Text as Q, read, read_amount_rate, show};

/// Most members of a herd share (a bound of the program).
const MOST_MEMBERS: usize = 64;
/// Most that is promised to one member at a pick-up, kg (a bound of the
/// program).
const MOST_PROMISE: f64 = 1000.0;

/// Compiles `herd shares`.
pub(super) fn share(
    c: &mut Ctx,
    w: &World,
    purse: &mut Purse,
    words: &mut Words,
    own: &HerdShares,
) -> Option<SharePlan> {
    let p = |key: &str| under("herd shares", key);
    if own.pick_up_days.is_none() {
        c.missing(
            "herd shares",
            &["pick-up days"],
            "`pick-up days`",
            "write such as `pick-up days: [wed, sat]`",
        );
    }
    let weekdays = pick_up_days(c, &p("pick-up days"), &own.pick_up_days);
    let none = |t: &&Text| t.get().eq_ignore_ascii_case("none");
    let jar = own.whole_jars.as_ref().filter(|t| !none(t)).and_then(|t| {
        let found = w.jars.iter().position(|j| j.name.eq_ignore_ascii_case(t.get()));
        if found.is_none() {
            let names: Vec<&str> = w.jars.iter().map(|j| j.name.as_str()).collect();
            c.unknown(&p("whole jars"), "jar of this family", t.get(), &names);
        }
        found
    });
    let times = weekdays.map(|d| f64::from(d.count_ones()));
    let promises = promises(c, words, own)?;
    let mut claims_kg = Vec::new();
    for (at, q) in &promises {
        claims_kg.push(claim(c, w, at, q, times.unwrap_or(1.0), jar)?);
    }
    let rule = c.choice(
        &p("when short"),
        &own.when_short,
        &[
            ("in proportion", SplitRule::InProportion),
            ("equal awards", SplitRule::EqualAwards),
            ("equal losses", SplitRule::EqualLosses),
            ("contested garment", SplitRule::ContestedGarment),
            ("family first", SplitRule::FamilyFirst),
            ("members first", SplitRule::MembersFirst),
            ("in turns", SplitRule::InTurns),
        ],
    );
    let dry = [("the promise stands", true), ("the promise rests", false)];
    let dry_weeks_count = c.choice(&p("dry weeks"), &own.dry_weeks, &dry).unwrap_or(true);
    let not_fetched = c.within(&p("not fetched"), &own.not_fetched, 0.0..=0.9, "a part up to 90 %");
    let back = [("goes back to the family", false), ("is poured out", true)];
    let pour_out = c.choice(&p("milk not fetched"), &own.milk_not_fetched, &back).unwrap_or(false);
    let fee = own.fee.as_ref().and_then(|t| purse.a_day(c, &p("fee"), t));
    let paid = [("is paid on", true), ("rests", false)];
    let fee_when_dry = c.choice(&p("fee in the dry weeks"), &own.fee_in_the_dry_weeks, &paid).unwrap_or(true);
    // A quarter of an hour to set out, label and note which milking went to whom
    // (our default).
    let minutes = c.within(&p("takes"), &own.takes, 0.0..=480.0, "a time up to 8 h").unwrap_or(15.0);
    let (from_day, until_day) = span(c, w.run, "herd shares", &own.from, &own.until)?;
    let (weekdays, times) = weekdays.zip(times)?;
    let jars = jar.map(|j| ShareJars {
        size: j as u8,
        kg: w.jars[j].plan.working_l * w.items.density(&[fixed::WHOLE]),
    });
    believable(c, w, &claims_kg, times, jars);
    Some(SharePlan {
        claims_kg,
        named: !matches!(own.members, Some(Members::Count(_))),
        weekdays,
        from_day,
        until_day,
        rule: rule.unwrap_or(SplitRule::InProportion),
        jars,
        dry_weeks_count,
        not_fetched: not_fetched.unwrap_or(0.0),
        pour_out,
        minutes,
        fee: fee.unwrap_or(0.0),
        fee_when_dry,
    })
}

/// Each member's promise as written, with its place; the names go to `words`.
fn promises(c: &mut Ctx, words: &mut Words, own: &HerdShares) -> Option<Vec<(String, Q<MilkRate>)>> {
    let at = under("herd shares", "members");
    let promise = under("herd shares", "promise");
    let Some(members) = &own.members else {
        c.missing(
            "herd shares",
            &["members"],
            "`members`",
            "write how many, or their names, such as `members: 6`",
        );
        return None;
    };
    let all: Vec<(String, Q<MilkRate>)> = match members {
        Members::Each(each) => {
            if own.promise.is_some() {
                c.error(&promise, "every member has a promise already", "leave one of them out");
                return None;
            }
            words.members = each.names().map(str::to_owned).collect();
            each.iter().map(|(n, q)| (under(&at, n), q.clone())).collect()
        }
        Members::Count(_) | Members::Names(_) => {
            words.members = match members {
                Members::Names(names) => names.iter().map(|n| n.get().to_owned()).collect(),
                Members::Count(t) => {
                    let n = count(t.get()).filter(|n| (1..=MOST_MEMBERS).contains(n));
                    let Some(n) = n else {
                        let help = format!("write a whole number from 1 to {MOST_MEMBERS}, or their names");
                        c.error(&at, format!("`{}` is no number of members", t.get()), help);
                        return None;
                    };
                    (1..=n).map(|i| format!("member#{i}")).collect()
                }
                Members::Each(_) => Vec::new(),
            };
            let Some(q) = &own.promise else {
                c.missing(
                    "herd shares",
                    &["promise"],
                    "`promise`",
                    "write such as `promise: 1 gal/week`, for each member",
                );
                return None;
            };
            words.members.iter().map(|_| (promise.clone(), q.clone())).collect()
        }
    };
    if all.is_empty() || all.len() > MOST_MEMBERS {
        c.error(
            &at,
            format!("{} members are no herd share", all.len()),
            format!("write 1 to {MOST_MEMBERS} of them"),
        );
        return None;
    }
    for (i, name) in words.members.iter().enumerate() {
        if words.members[..i].iter().any(|n| n.eq_ignore_ascii_case(name)) {
            c.error(
                &entry(&at, i),
                format!("two members are named `{name}`"),
                "give each a name of their own",
            );
            return None;
        }
    }
    Some(all)
}

/// A whole number, in figures or in words.
fn count(text: &str) -> Option<usize> {
    read::<Count>(text).ok().map(|n| n as usize)
}

/// Weekdays by name, or so many a week, spread over it and the last on Saturday.
fn pick_up_days(c: &mut Ctx, at: &str, days: &Option<OneOrMany>) -> Option<u8> {
    // Monday is the lowest bit (our default).
    const SPREAD: [u8; 7] =
        [0b010_0000, 0b010_0100, 0b010_1010, 0b011_0101, 0b001_1111, 0b011_1111, 0b111_1111];
    let one = match days.as_ref()? {
        OneOrMany::Many(all) => return c.weekdays(at, &Some(all.clone())),
        OneOrMany::One(text) => text,
    };
    let words: Vec<&str> = one.get().split_whitespace().collect();
    let [number, "per" | "a", "week"] = words[..] else { return c.weekdays(at, &Some(vec![one.clone()])) };
    let times = count(number).and_then(|n| n.checked_sub(1));
    let mask = times.and_then(|n| SPREAD.get(n)).copied();
    if mask.is_none() {
        c.error(
            at,
            format!("`{number}` is no number of days of a week"),
            "write from 1 to 7, such as `2 per week`",
        );
    }
    mask
}

/// What a promise comes to at one pick-up, kg.
fn claim(c: &mut Ctx, w: &World, at: &str, q: &Q<MilkRate>, times: f64, jar: Option<usize>) -> Option<f64> {
    c.read(at, &Some(q.clone()))?;
    let a_day = c.take(at, read_amount_rate(q.as_str()))?;
    let density = w.items.density(&[fixed::WHOLE]);
    let kg = a_day.kg(density) * 7.0 / times;
    if kg <= 0.0 || kg > MOST_PROMISE {
        c.error(
            at,
            format!("`{}` is out of reason for one member", q.as_str()),
            "write such as `1 gal/week`",
        );
        return None;
    }
    let Some(jar) = jar.and_then(|j| w.jars.get(j)) else { return Some(kg) };
    let litres = match a_day {
        Amount::Litres(v) => v * 7.0 / times,
        Amount::Kilograms(_) => kg / density,
    };
    // A jar counts as what it is sold as; it is handed over as it was filled.
    let jars = litres / jar.holds_l;
    let whole = jars.round();
    if whole < 1.0 || (jars - whole).abs() > 0.005 * whole {
        let message = format!(
            "`{}` is {} {} jars at each pick-up, which is no whole number",
            q.as_str(),
            show::fixed(jars, 2),
            jar.name
        );
        c.error(at, message, "change the promise, the pick-up days or the jar, or leave `whole jars` out");
        return None;
    }
    Some(whole * jar.plan.working_l * density)
}

/// Warnings: more promised than can come, more jars away than owned.
fn believable(c: &mut Ctx, w: &World, claims: &[f64], times: f64, jars: Option<ShareJars>) {
    let a_week = claims.iter().sum::<f64>() * times;
    let peak: f64 = w
        .animals
        .iter()
        .flat_map(|a| a.plan.curves.iter())
        .map(|curve| 7.0 * curve.yield_kg.iter().copied().fold(0.0, f64::max))
        .fold(0.0, f64::max)
        * w.animals.len() as f64;
    let fetched: f64 = w.fetches.iter().map(|(f, _)| f.kg * f64::from(f.weekdays.count_ones())).sum();
    if a_week > peak + fetched && peak + fetched > 0.0 {
        c.warn(
            "herd shares",
            "more is promised a week than comes in the best week",
            "promise less, or take fewer members",
        );
    }
    if let Some(jars) = jars {
        let away = (a_week / jars.kg).round();
        let jar = &w.jars[usize::from(jars.size)];
        if away > f64::from(jar.plan.count) {
            c.warn(
                &under("herd shares", "whole jars"),
                format!(
                    "members hold {} {} jars at a time, and {} are owned",
                    show::whole(away),
                    jar.name,
                    jar.plan.count
                ),
                "own more of them: each is away for a week",
            );
        }
    }
}
