//! The pictures of a run: from results to plain data.

use super::Home;
use crate::report::amounts::{Show, cell, jars as jar_words, minutes, of};
use crate::report::jar::{self, Jar};
use crate::report::svg::{
    Bar, Bars, Calendar, Days, Fit, Flow, Gaps, Group, JarPicture, Larder, Layer, Picture, Range, Ranges,
    Room, Row, Shelf, Stream, Weeks, Year, bars, calendar, flow, gaps, larder, ranges, room, weeks, year,
};
use crate::report::words::{Voice, fate_words, main_reason, reason};
use crate::study::results::{Band, FateMean};

/// All pictures that this run can show, in the order of the page.
pub(super) fn all(v: &Voice, home: &Home, fit: Fit) -> Vec<Picture> {
    let mut out = milk(v, home, fit);
    out.extend(rooms(v, fit));
    out.extend([true, false].into_iter().filter_map(|by_milk| flow(&went(v, by_milk), fit)));
    out.extend(larder(&shelves(v), fit));
    out.extend(short(v, fit));
    out.extend(bare(v, fit));
    out.extend(promise(v, home, fit));
    out.extend(short_pick_ups(v, home, fit));
    out.extend(hands(v, home, fit));
    out.extend(rules(v, fit));
    out.extend(home.jar.as_ref().and_then(|ask| the_jar(ask, fit)));
    out
}

fn many(v: &Voice) -> Option<&'static str> {
    (!v.single()).then(|| v.span.many())
}

/// Columns of a band by their place: 0 the mean, then 5, 10, 50, 90, 95 %.
fn columns<const N: usize>(band: &Band, which: [usize; N], words: impl Fn(f64) -> f64) -> Vec<[f64; N]> {
    band.days.iter().map(|d| which.map(|c| words(d[c]))).collect()
}

fn milk(v: &Voice, home: &Home, fit: Fit) -> Vec<Picture> {
    let draw = |key, band: &str, title: &str, events: &[_]| {
        let bands = columns(v.band(band)?, [1, 2, 3, 4, 5], |kg| v.show.milk_amount(kg));
        let year_of = Year {
            key,
            title: title.into(),
            unit: v.show.milk_unit().into(),
            days: Days::new(&v.span),
            many: many(v),
            sticks: 2 * bands.iter().filter(|b| b[2] > 0.0).count() < bands.len() && band == "fetched",
            bands,
            events: events.to_vec(),
            ill: match v.band("sick") {
                Some(sick) if band == "drawn" => sick.days.iter().map(|d| Some(d[0])).collect(),
                _ => Vec::new(),
            },
        };
        year(&year_of, fit)
    };
    let drawn = draw("milk", "drawn", "Milk through the year", &home.events);
    let fetched = draw("fetched", "fetched", "Milk fetched", &[]);
    drawn.into_iter().chain(fetched).collect()
}

fn rooms(v: &Voice, fit: Fit) -> Vec<Picture> {
    let litres = |l: f64| v.show.room_amount(l);
    let two = |band: &str, words: &dyn Fn(f64) -> f64| {
        v.band(band).map_or_else(Vec::new, |b| columns(b, [3, 4], words))
    };
    let over = v.band("over_full").map_or_else(Vec::new, |b| b.days.iter().map(|d| d[0]).collect());
    let cold = Room {
        key: "cold",
        title: "The cold room".into(),
        unit: v.show.room_unit().into(),
        days: Days::new(&v.span),
        wanted: two("cold_wanted", &litres),
        used: two("cold_used", &litres),
        owned: litres(v.facts.cold_l),
        decimals: usize::from(litres(v.facts.cold_l) < 99.5),
        over,
        many: many(v),
    };
    let jars = Room {
        key: "jars",
        title: "Jars in use".into(),
        unit: "jars".into(),
        wanted: vec![],
        used: two("jars_used", &|n| n),
        owned: f64::from(v.facts.jar_count()),
        decimals: 0,
        over: vec![],
        ..cold.clone()
    };
    room(&cold, fit).into_iter().chain(room(&jars, fit)).collect()
}

/// Where a fate belongs: its place from the top, its look, and whether it is
/// told in a sum with others like it.
fn kind(fate: &str) -> (usize, u8, Option<&'static str>) {
    match fate {
        "drunk" => (0, 1, None),
        "eaten" => (1, 2, None),
        "calf_on_dam" => (2, 3, None),
        "fed_to_animals" => (3, 4, None),
        "kept_by_helper" => (4, 6, None),
        f if f.starts_with("kept_from_people") || f.starts_with("colostrum") => (5, 6, None),
        f if f.starts_with("wasted") => (6, 5, None),
        "in_store" => (8, 6, None),
        "film" | "steam" | "lost_in_ageing" | "byproduct_poured" => {
            (7, 6, Some("left in jars and pots, steam, whey"))
        }
        // Handed out of the house: each a stream of its own.
        _ => (4, 1, None),
    }
}

fn went(v: &Voice, by_milk: bool) -> Flow {
    let part = |f: &FateMean| if by_milk { f.part } else { f.fat_part };
    let amount = |f: &FateMean| if by_milk { f.milk_kg } else { f.fat_kg };
    let words = |kg: f64| if by_milk { v.show.milk(kg) } else { v.show.mass(kg) };
    let mut sums: Vec<(usize, u8, String, f64, f64)> = Vec::new();
    for f in &v.result.fates {
        let (place, look, sum) = kind(f.fate);
        let name = sum.unwrap_or_else(|| fate_words(f.fate, v.facts.young));
        match sums.iter_mut().find(|s| s.2 == name) {
            Some(s) => {
                s.3 += part(f);
                s.4 += amount(f);
            }
            None => sums.push((place, look, name.to_string(), part(f), amount(f))),
        }
    }
    // Within a place the largest comes first.
    sums.sort_by(|a, b| a.0.cmp(&b.0).then(b.3.total_cmp(&a.3)));
    let all: f64 = sums.iter().map(|s| s.4).sum();
    Flow {
        key: if by_milk { "milk-went" } else { "fat-went" },
        title: if by_milk { "Where the milk went" } else { "Where its fat went" }.into(),
        all: words(all),
        streams: sums
            .into_iter()
            .filter(|s| s.3 > 0.0)
            .map(|(_, look, name, part, kg)| Stream { words: name, amount: words(kg), part, look })
            .collect(),
    }
}

/// Stretches of a week and more without milk for people in the middle run.
fn dry(v: &Voice) -> Vec<(usize, usize)> {
    let none = |name: &str, d: usize| v.band(name).and_then(|b| b.days.get(d)).is_none_or(|b| b[3] <= 0.01);
    if !v.facts.animals {
        return vec![];
    }
    let mut out: Vec<(usize, usize)> = Vec::new();
    for d in (0..v.result.days as usize).filter(|d| none("drawn", *d) && none("fetched", *d)) {
        match out.last_mut().filter(|s| s.1 + 1 == d) {
            Some(s) => s.1 = d,
            None => out.push((d, d)),
        }
    }
    out.retain(|(a, b)| b - a >= 6);
    out
}

fn shelves(v: &Voice) -> Larder {
    let dry = dry(v);
    let shelves = v.facts.wishes.iter().filter_map(|w| {
        let band = v.band(&format!("{}_stock", w.key))?;
        let (unit, days) = match w.density {
            Some(density) => {
                (v.show.milk_unit(), columns(band, [2, 3, 4], |kg| v.show.litres_amount(kg / density)))
            }
            None => (v.show.mass_unit(), columns(band, [2, 3, 4], |kg| v.show.mass_amount(kg))),
        };
        // Only what is put up can last: it is there as they begin, and wished all year.
        let kept = !w.rests
            && dry
                .iter()
                .filter(|(a, _)| *a > 0)
                .any(|(a, _)| band.days.get(*a).is_some_and(|d| d[3] > 0.02));
        // All of what is wished in those weeks is there.
        let lasts = v
            .part_above(&format!("{}_dry_fill", w.key), 0.99)
            .filter(|part| *part > 0.0 && kept && !dry.is_empty() && !v.single())
            .map(|part| match part {
                p if p >= 1.0 => format!("in every {}", v.span.one()),
                p => format!("in {} {}", of(p), v.span.many()),
            });
        Some(Shelf { name: w.name.clone(), unit: unit.into(), days, lasts })
    });
    Larder {
        key: "larder",
        title: "The larder".into(),
        days: Days::new(&v.span),
        shelves: shelves.collect(),
        dry,
        many: many(v),
    }
}

fn short(v: &Voice, fit: Fit) -> Option<Picture> {
    let days = Calendar {
        key: "short",
        title: "Days short of milk to drink".into(),
        what: "there is too little milk to drink".into(),
        days: Days::new(&v.span),
        chance: v.band("milk_short")?.days.iter().map(|d| d[0]).collect(),
        many: many(v),
    };
    calendar(&days, fit)
}

/// The promise kept, member by member where they have names of their own, then of all.
fn promise(v: &Voice, home: &Home, fit: Fit) -> Option<Picture> {
    let range = |name: String, m: &crate::study::results::Summary| Range {
        name,
        parts: [m.quantiles[2], m.quantiles[0], m.quantiles[4]],
    };
    let each = v.result.measures.iter().filter(|m| m.name.starts_with("share_fill_"));
    let mut rows: Vec<Range> = home.members.iter().zip(each).map(|(n, m)| range(n.clone(), m)).collect();
    rows.push(range("all members".into(), v.measure("share_fill")?));
    rows.push(range("worst week of one".into(), v.measure("share_worst_week")?));
    let what =
        "How much the members got of what they were promised; last, the worst week of whoever fared worst.";
    let all =
        Ranges { key: "shares", title: "The promise kept".into(), what: what.into(), rows, many: many(v) };
    ranges(&all, fit)
}

fn short_pick_ups(v: &Voice, home: &Home, fit: Fit) -> Option<Picture> {
    let band = v.band("share_short")?;
    let parts = home.pick_ups.iter().zip(&band.days).map(|(on, d)| on.then_some(d[0])).collect();
    let what = match many(v) {
        Some(_) => {
            "A stick is a week: of 100 pick-ups in it, so many at which the members got less than promised."
        }
        None => "A stick is a week in which the members got less than promised.",
    };
    let all = Weeks {
        key: "shares-weeks",
        title: "Short pick-ups, week by week".into(),
        what: what.into(),
        head: "pick-ups that were short".into(),
        days: Days::new(&v.span),
        parts,
    };
    weeks(&all, fit)
}

/// Days that end without a wished food in the middle run.
fn bare(v: &Voice, fit: Fit) -> Option<Picture> {
    const NOTHING_KG: f64 = 0.02;
    // What is only eaten gladly, while there is some, is never short.
    let missed = |key: &str| v.measure(&format!("{key}_short_days")).is_some_and(|m| m.max > 0.0);
    let rests = v.facts.wishes.iter().any(|w| w.rests && missed(&w.key));
    let rows = v.facts.wishes.iter().filter(|w| missed(&w.key)).filter_map(|w| {
        let band = v.band(&format!("{}_stock", w.key))?;
        let mut bare: Vec<(usize, usize)> = Vec::new();
        for (d, _) in band.days.iter().enumerate().skip(w.from_day).filter(|(_, q)| q[3] <= NOTHING_KG) {
            match bare.last_mut().filter(|s| s.1 + 1 == d) {
                Some(s) => s.1 = d,
                None => bare.push((d, d)),
            }
        }
        Some(Row { name: w.name.clone(), from: w.from_day, bare })
    });
    let all = Gaps {
        key: "bare",
        title: "Days without, wish by wish".into(),
        days: Days::new(&v.span),
        rows: rows.collect(),
        rests,
        many: many(v),
    };
    gaps(&all, fit)
}

const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

fn hands(v: &Voice, home: &Home, fit: Fit) -> Vec<Picture> {
    let (Some(chores), Some(kitchen)) = (v.band("chore_minutes"), v.band("kitchen_minutes")) else {
        return vec![];
    };
    let group = |name: &str, is: &dyn Fn(usize, usize) -> bool| {
        let mut sums = [0.0; 3];
        let mut days = 0.0;
        for (d, (weekday, month)) in home.days.iter().enumerate().filter(|(_, (w, m))| is(*w, *m)) {
            let (Some(c), Some(k)) = (chores.days.get(d), kitchen.days.get(d)) else { continue };
            let given = home.kitchen.get(*month).and_then(|m| m.get(*weekday)).copied().unwrap_or(0.0);
            for (sum, x) in sums.iter_mut().zip([c[0], k[0], given]) {
                *sum += x;
            }
            days += 1.0;
        }
        let [first, second, given] = sums.map(|s| {
            let value = s / f64::max(days, 1.0);
            Bar { value, words: minutes(value) }
        });
        (days > 0.0).then(|| Group { name: name.to_string(), first, second, given: Some(given), note: None })
    };
    let draw = |key, title: &str, groups: Vec<Group>| {
        let all = Bars {
            key,
            title: title.into(),
            desc: "Minutes a day, the mean of all. Plain: chores (milking, straining, jars, feeding). Striped: in the \
                   kitchen, with a tick at the time set aside for it."
                .into(),
            names: ["chores", "kitchen", "set aside for the kitchen", ""].map(String::from),
            groups,
            above: false,
        };
        bars(&all, fit)
    };
    let by_month =
        (0..12).filter_map(|m| group(crate::calendar::MONTHS.get(m)?, &|_, month| month == m)).collect();
    let by_day = (0..7).filter_map(|w| group(WEEKDAYS[w], &|weekday, _| weekday == w)).collect();
    draw("hands-month", "Minutes a day by month", by_month)
        .into_iter()
        .chain(draw("hands-weekday", "Minutes a day by weekday", by_day))
        .collect()
}

fn rules(v: &Voice, fit: Fit) -> Option<Picture> {
    let days = |n: f64| Bar { value: n, words: format!("{} days", cell(n)) };
    let groups = v.result.rules.iter().take(v.facts.routine).enumerate().map(|(i, r)| {
        let why = main_reason(r);
        Group {
            name: format!("{}. {}", i + 1, r.rule),
            first: days(r.days_fired),
            second: why.map_or(Bar { value: 0.0, words: String::new() }, |(_, n)| days(n)),
            given: None,
            note: why.map(|(b, _)| reason(b, v, i).to_string()),
        }
    });
    let all = Bars {
        key: "rules",
        title: "The routine, rule by rule".into(),
        desc: format!(
            "Plain: days on which a rule worked, of the {} of a run. Striped: days on which it was held back by what \
             held it back most, on its own weekdays.",
            v.result.days
        ),
        names: ["worked", "held back most", "", "held back by"].map(String::from),
        groups: groups.collect(),
        above: true,
    };
    bars(&all, fit)
}

fn the_jar(ask: &jar::Ask, fit: Fit) -> Option<Picture> {
    let jar = Jar::at_rest(ask);
    let show = Show::new(ask.units);
    let depth = |m: f64| jar::depth(m, ask.units);
    let layers = jar.bands().into_iter().map(|(grade, from, to)| Layer {
        name: jar::grade_words(grade).into(),
        span_m: [from * jar.deep_m, to * jar.deep_m],
        words: format!("{} to {}", depth(from * jar.deep_m), depth(to * jar.deep_m)),
    });
    let skim = ask.wish.and_then(|w| jar.wished(w).0).map(|s| {
        let leaves = crate::report::amounts::percent(s.milk.fat_part());
        (s.depth_m, depth(s.depth_m), format!("the milk keeps {leaves} fat"))
    });
    let picture = JarPicture {
        key: "jar",
        title: "The jar".into(),
        size_m: [ask.shape.height_m, ask.shape.across_m, jar.air_m],
        layers: layers.collect(),
        line: (jar.line_m(), depth(jar.line_m())),
        skim,
        about: format!(
            "One of the {} with milk of {} ({} fat), {} hours at rest at {}.",
            jar_words(&ask.jar),
            ask.whose,
            crate::report::amounts::percent(ask.fat),
            crate::report::amounts::number(ask.hours),
            show.temperature(ask.celsius)
        ),
    };
    crate::report::svg::jar(&picture, fit)
}
