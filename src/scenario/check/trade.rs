//! Herd shares, gifts, sales and purchases.

use super::{
    super::{
        plan::{BuyPlan, FetchPlan, ItemId, OutPlan, ShareJars, SharePlan, SplitRule, TradePlan, fixed},
        raw::{Bought, Entries, HerdShares, Members, OneOrMany, Outgoing, Scenario, TextOr},
    },
    animals::Animal,
    calendar::{Run, span},
    context::{Ctx, entry, under},
    items::Items,
    jars::Jar,
    prices::{Purse, worth},
};
use crate::{
    diagnostics::{Diagnostic, nearest},
    units::{Amount, MilkRate, Text as Q, read_amount_rate, show},
};

/// Most members of a herd share.
const MOST_MEMBERS: usize = 64;
/// Most that is promised to one member at a pick-up, kg.
const MOST_PROMISE: f64 = 1000.0;

/// What the checks of this part look at.
pub(super) struct World<'a> {
    pub run: Run,
    pub items: &'a Items,
    pub jars: &'a [Jar],
    pub wishes: &'a [(String, Vec<ItemId>)],
    pub animals: &'a [Animal],
    pub fetches: &'a [(FetchPlan, String)],
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
    plan.worth = worth(c, &mut purse, w.items, w.wishes, &plan, &raw.prices);
    aims_fit(c, raw, &plan);
    words.money = purse.money;
    (plan, words)
}

fn share(
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
    let jar = own.whole_jars.as_ref().and_then(|t| {
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
                    let n = t.get().parse::<usize>().ok().filter(|n| (1..=MOST_MEMBERS).contains(n));
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

/// Weekdays by name, or so many a week, spread over it and the last on Saturday.
fn pick_up_days(c: &mut Ctx, at: &str, days: &Option<OneOrMany>) -> Option<u8> {
    // Monday is the lowest bit.
    const SPREAD: [u8; 7] =
        [0b010_0000, 0b010_0100, 0b010_1010, 0b011_0101, 0b001_1111, 0b011_1111, 0b111_1111];
    let one = match days.as_ref()? {
        OneOrMany::Many(all) => return c.weekdays(at, &Some(all.clone())),
        OneOrMany::One(text) => text,
    };
    let words: Vec<&str> = one.get().split_whitespace().collect();
    let [number, "per" | "a", "week"] = words[..] else { return c.weekdays(at, &Some(vec![one.clone()])) };
    let times = number.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
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

/// Fat and protein of what is bought, mass fractions: whole milk at its least
/// fat (21 CFR 131.110), butter of 80 % fat and a little more (7 U.S.C. 321a),
/// heavy cream at its least (21 CFR 131.150), cheddar and yogurt as food tables
/// give them (from memory).
const BOUGHT: [(&str, f64, f64); 8] = [
    ("milk", 0.0325, 0.032),
    ("whole milk", 0.0325, 0.032),
    ("butter", 0.811, 0.0085),
    ("cream", 0.36, 0.021),
    ("table cream", 0.36, 0.021),
    ("hard cheese", 0.33, 0.25),
    ("fresh cheese", 0.20, 0.18),
    ("yogurt", 0.0325, 0.035),
];

fn bought(
    c: &mut Ctx,
    w: &World,
    purse: &mut Purse,
    raw: &Option<Entries<TextOr<Bought>>>,
) -> (Vec<BuyPlan>, Vec<String>) {
    let (mut plans, mut names) = (Vec::new(), Vec::new());
    for (name, own) in raw.iter().flat_map(Entries::iter) {
        let at = under("bought when short", name);
        let (own, short) = match own {
            TextOr::Short(t) => (Bought { price: Some(t.clone()), ..Bought::default() }, true),
            TextOr::Long(b) => (b.clone(), false),
        };
        let p = |key: &str| if short { at.clone() } else { under(&at, key) };
        let wish = match w.wishes.iter().position(|(n, _)| n.eq_ignore_ascii_case(name)) {
            Some(wish) => Some(wish as u16),
            None if name.eq_ignore_ascii_case("milk") => None,
            None => {
                no_want(c, &at, name, w.wishes);
                continue;
            }
        };
        let density = wish.map_or_else(
            || w.items.density(&[fixed::WHOLE]),
            |i| w.items.density(&w.wishes[usize::from(i)].1),
        );
        let usual = BOUGHT.iter().find(|(n, ..)| n.eq_ignore_ascii_case(name));
        let fat = c.within(&p("fat"), &own.fat, 0.0..=0.9, "a part up to 90 %");
        let protein = c.within(&p("protein"), &own.protein, 0.0..=0.5, "a part up to 50 %");
        let (fat, protein) = match (usual, fat, protein) {
            (_, Some(f), Some(p)) => (f, p),
            (Some((_, f, p)), fat, protein) => (fat.unwrap_or(*f), protein.unwrap_or(*p)),
            _ => {
                let what = format!("`fat` and `protein` of bought {name}");
                c.missing(
                    &at,
                    &["fat", "protein"],
                    &what,
                    "write what the label says, such as `fat: 3 %, protein: 4 %`",
                );
                continue;
            }
        };
        if fat + protein > 1.0 {
            c.error(&p("fat"), "fat and protein together are more than all of it", "check the label");
            continue;
        }
        let most = own.up_to.as_ref().map_or(Some(f64::INFINITY), |q| {
            c.read(&p("up to"), &Some(q.clone()))?;
            c.take(&p("up to"), read_amount_rate(q.as_str())).map(|a| a.kg(density) * 7.0)
        });
        let price = own.price.as_ref().and_then(|t| purse.a_kg(c, &p("price"), t, density));
        let Some(most_kg) = most else { continue };
        plans.push(BuyPlan { wish, most_kg, price: price.unwrap_or(0.0), fat, protein });
        names.push(name.to_owned());
    }
    (plans, names)
}

/// A name that is neither milk nor a wish.
pub(super) fn no_want(c: &mut Ctx, at: &str, name: &str, wishes: &[(String, Vec<ItemId>)]) {
    let names: Vec<&str> = std::iter::once("milk").chain(wishes.iter().map(|(n, _)| n.as_str())).collect();
    let help = nearest(name, names.iter().copied())
        .map_or_else(|| "write `milk` or one of the `wants`".to_owned(), |n| format!("did you mean `{n}`?"));
    c.push_key(at, Diagnostic::error(format!("nobody here wants `{name}`")).help(help));
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
