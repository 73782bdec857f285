//! Starting from today: what stands there goes on as if the run had begun
//! before, whichever way it is written, and what is wrong is told by its place.

mod common;

use std::fmt::Write as _;

use springhouse::diagnostics::Diagnostic;
use springhouse::scenario::plan::{ItemId, Plan};
use springhouse::scenario::{Beside, Compiled, Names, compile_from};
use springhouse::sim::outcome::{DayMeasure, Source};
use springhouse::sim::watch::{Moment, Stored};
use springhouse::sim::{DayLog, Luck, Trial};

const FROM_TODAY: &str = include_str!("../scenarios/from-today.yaml");
const STOCK: &str = include_str!("../scenarios/from-today-stock.csv");

/// A house without chance in its stock: nothing sours in it and nothing is over.
/// The year begins on a Monday, so that weeks end where it is split.
fn house(starts: &str, lasts: u32, rest: &str) -> String {
    format!(
        "title: Split\nstarts: {starts}\nlasts: {lasts} days\nunits: metric\n\
         animals:\n  - {{name: Clover, breed: jersey, lactation: 2, freshens: 2027-01-20, freshens again: never, health: none}}\n\
         household:\n  people: {{man 31 to 50: 2, woman 31 to 50: 2, child 4 to 8: 2, boy 9 to 13: 1}}\n  drinks like: heavy\n  \
         wants: {{butter: 0.8 kg/week, yogurt: 3 L/week, hard cheese: 0.5 kg/week}}\n  kitchen time: {{every day: 300 min}}\n\
         stores:\n  fridge: {{like: all-fridge 10 cu ft}}\n  second fridge: {{like: all-fridge 10 cu ft}}\n  \
         cheese box: {{like: cheese box}}\njars: {{half gallon: 80, quart: 30, pint: 30}}\n\
         routine:\n  - {{do: skim, after: 30 h, leave: 1 % fat}}\n  \
         - {{do: make, what: butter, days: [tue, fri], when: {{have: {{cream: at least 1 L}}}}}}\n  \
         - {{do: make, what: yogurt, batch: 3 L, days: [mon, thu], when: {{have: {{yogurt: under 3 L}}}}}}\n  \
         - {{do: make, what: hard cheese, batch: 16 L, days: [sat], when: {{have: {{whole milk: at least 20 L}}}}}}\n  \
         - {{do: feed, what: skimmed milk, how much: 20 L, when: {{oldest: {{skimmed milk: at least 3 days}}}}}}\n\
         animals fed: {{pigs: {{heads: 4}}}}\n{rest}"
    )
}

/// All that stands there after a number of days without chance.
fn closing(plan: &Plan, names: &Names, days: u32) -> Vec<(ItemId, Stored)> {
    let mut luck = Luck::new(plan, names);
    luck.steady();
    let mut all = Vec::new();
    let mut log = DayLog::new(plan);
    Trial::new(plan).run_watched(&luck, &mut log, |moment, view| {
        if moment == Moment::Over && view.day() + 1 == days {
            for i in 0..plan.items.len() {
                let item = ItemId(i as u8);
                all.extend(view.stored(item).map(|s| (item, s)));
            }
        }
    });
    all
}

/// As a family would write it down that night.
fn written(c: &Compiled, starts: jiff::civil::Date, days: u32, all: &[(ItemId, Stored)]) -> String {
    let mut text = String::from("in store:\n");
    for (item, s) in all {
        let at = s.drawn - f64::from(days);
        let date = springhouse::calendar::date_of(starts, at.floor() as i64);
        let half = if at.rem_euclid(1.0) < 0.5 { "morning" } else { "evening" };
        // Of what is made the hour is the kitchen's.
        let half = if item.0 <= 4 { format!(" {half}") } else { String::new() };
        let store = &c.names.stores[usize::from(c.plan.places[s.place.at()].store)];
        // A cheese in age weighs less by the water that has gone already.
        let (total, over) = (s.ready - s.drawn, f64::from(days) - s.drawn);
        let gone = if s.ageing_loss > 0.0 { s.ageing_loss * over / total } else { 0.0 };
        let mass = s.matter.mass * (1.0 - gone);
        let parts = |kg: f64| 100.0 * kg / mass;
        let _ = write!(
            text,
            "  - {{what: {}, how much: {mass} kg, dated: {date}{half}, in: {store}, fat: {} %, protein: {} %",
            c.names.items[item.at()],
            parts(s.matter.fat),
            parts(s.matter.protein)
        );
        if let Some((size, n)) = s.jars {
            let _ = write!(text, ", jars: {n} {}", c.names.jars[size.at()]);
        }
        if s.ready > f64::from(days) {
            let ready = springhouse::calendar::date_of(starts, (s.ready - f64::from(days)).round() as i64);
            let _ = write!(text, ", ready: {ready}");
        }
        text.push_str("}\n");
    }
    text
}

/// A run split in two. What may differ, and by how much at most: warm hours of a
/// milking take some of its life, which a label does not tell; a cheese is ready
/// by the day and not by the hour, and has dried evenly in place of all at the end; jars that stood
/// dirty overnight are clean; an open jar is closed. Each shifts amounts within
/// one day's work, so sums over 91 days agree to a part in a hundred, and what
/// the cow gives to the last digit.
#[test]
fn a_run_split_in_two_goes_on_as_one() {
    const FIRST: u32 = 63;
    const REST: u32 = 91;
    let one = common::compile(&house("2027-02-01", FIRST + REST, ""));
    let middle = jiff::civil::date(2027, 4, 5);
    let text = written(&one, middle, FIRST, &closing(&one.plan, &one.names, FIRST));
    assert!(text.lines().count() > 15, "{text}");
    let two = common::compile(&house("2027-04-05", REST, &text));
    let (out, whole) = common::trial(&one, 1, None);
    let (after, part) = common::trial(&two, 1, None);
    let opening = after.sources[Source::Opening as usize].mass;
    let stood: f64 = closing(&one.plan, &one.names, FIRST).iter().map(|(_, s)| s.matter.mass).sum();
    assert!(opening <= stood * (1.0 + 1e-9) && opening > 0.98 * stood, "{opening} of {stood}");
    let sum = |log: &DayLog, from: u32, m: DayMeasure| -> f64 {
        (from..from + REST).map(|d| f64::from(log.get(d as usize, m))).sum()
    };
    use DayMeasure as M;
    let drawn = (sum(&whole, FIRST, M::Drawn), sum(&part, 0, M::Drawn));
    assert!((drawn.0 - drawn.1).abs() < 1e-4 * drawn.0, "{drawn:?}");
    for m in [
        M::DrinkServed,
        M::WishesServed,
        M::Fed,
        M::KitchenMinutes,
        M::WholeStock,
        M::SkimmedStock,
        M::CreamStock,
    ] {
        let (a, b) = (sum(&whole, FIRST, m), sum(&part, 0, m));
        assert!(a > 0.0 && (a - b).abs() < 0.01 * a, "{m:?}: {a} {b}");
    }
    assert!(out.closure.mass < 1e-9 && after.closure.mass < 1e-9);
}

fn told(found: Vec<Diagnostic>) -> String {
    found.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn with(stock: &str) -> Result<Compiled, String> {
    let beside = Beside { stock: Some(stock.as_bytes()), starts: None };
    compile_from(FROM_TODAY.as_bytes(), &beside).map_err(told)
}

#[test]
fn the_table_says_what_the_file_says() {
    let file = common::compile(FROM_TODAY);
    let table = with(STOCK).unwrap();
    assert_eq!(file.plan.opening.lots, table.plan.opening.lots);
    assert_eq!(file.names.opening, table.names.opening);
    assert_eq!(file.plan.opening.lots.len(), 15);
    // The table takes the place of the list, and that is said.
    assert!(
        told(table.warnings).contains("the stock-take takes the place"),
        "the list is not dropped in silence"
    );
    assert_ne!(file.sha256, table.sha256);
}

#[test]
fn any_order_of_the_entries_gives_the_same_year() {
    let mut lines: Vec<&str> = STOCK.lines().filter(|l| !l.starts_with('#')).collect();
    let rest = lines.split_off(1);
    let turned: Vec<&str> = lines.iter().chain(rest.iter().rev()).copied().collect();
    let (a, b) = (with(STOCK).unwrap(), with(&turned.join("\n")).unwrap());
    for number in [None, Some(3)] {
        assert_eq!(common::trial(&a, 7, number).0.fates, common::trial(&b, 7, number).0.fates);
    }
}

#[test]
fn faults_of_a_table_are_told_by_row_and_column() {
    let head = "what,how much,jars,size,dated,in\n";
    for (row, wanted) in [
        ("whole mlik,1 gal,,,2027-08-28,", "2:1: `whole mlik` is no item"),
        ("butter,3 lbs of it,,,2027-08-28,", "2:8: `lbs of it` is no unit"),
        ("butter,3 lb,,,2027-13-28,", "2:15: `2027-13-28`"),
        ("butter,3 lb,,,2027-08-30,", "2:15: this is not there yet"),
        ("butter,3 lb,,,2027-08-28,barn", "2:26: `barn` is no store"),
        ("whole milk,,60,half gallon,2027-08-28,", "2:13: more half gallon jars are counted"),
        ("whole milk,,3,,2027-08-28,", "2:13: of which jar?"),
        ("butter,,,,2027-08-28,", "2:1: the amount is missing"),
    ] {
        let said = with(&format!("{head}{row}\n")).map(|_| ()).unwrap_err();
        assert!(said.contains(wanted), "{row}: {said}");
    }
    // All at once, each in its row.
    let said = with(&format!("{head}butter,x,,,2027-08-28,\nyogurt,1 qt,,,,\n")).map(|_| ()).unwrap_err();
    assert!(said.contains("2:8: ") && said.contains("3:1: "), "{said}");
}

#[test]
fn more_than_the_store_holds_is_told_and_stands_on_the_counter() {
    let text = FROM_TODAY.replace(
        "jars: 4 half gallon, dated: 2027-08-29 evening",
        "jars: 38 half gallon, dated: 2027-08-29 evening",
    );
    let text = text.replace("half gallon: 48", "half gallon: 90");
    let c = common::compile(&text);
    assert!(told(c.warnings.clone()).contains("will stand on the counter"), "{}", told(c.warnings));
    let (out, _) = common::trial(&c, 1, None);
    assert!(out.days_over_full > 0 && out.closure.mass < 1e-9);
}

/// A service before the run settles her as often as a heat does.
#[test]
fn a_hoped_for_calf_comes_as_often_as_a_heat_settles() {
    let text = FROM_TODAY
        .replace(
            "freshens again: after 13 months give or take 3 weeks",
            "bred: {how: insemination, settles: 60 %, until: 1 tries}",
        )
        .replace("in calf: known", "in calf: hoped")
        .replace("lasts: 4 months", "lasts: 12 months");
    let c = common::compile(&text);
    let mut fresh = 0;
    common::trials(&c, 3, 600, |out, _| fresh += u32::from(out.freshenings > 0));
    // Of those that do not settle some do at the one try left: the chance lies
    // between 60 % and 60 + 40 · 60 %, less heats that are not seen.
    let part = f64::from(fresh) / 600.0;
    assert!((0.57..=0.86).contains(&part), "{part}");
    let known = common::compile(&text.replace("in calf: hoped", "in calf: known"));
    let mut fresh = 0;
    common::trials(&known, 3, 50, |out, _| fresh += u32::from(out.freshenings > 0));
    assert_eq!(fresh, 50);
}

/// The year and the coming weeks say the same of the first pick-up of the shipped plan:
/// there is milk to spare, so what is promised and the half gallon owed are handed out.
#[test]
fn the_year_and_the_coming_weeks_agree_on_what_is_owed() {
    let text = std::fs::read("scenarios/from-today.yaml").expect("the scenario");
    let c = springhouse::scenario::compile(&text).expect("a scenario");
    assert!(c.plan.opening.owed_kg > 1.5, "half a gallon is owed");
    let (mut luck, mut log, mut trial) =
        (Luck::new(&c.plan, &c.names), DayLog::new(&c.plan), Trial::new(&c.plan));
    let first = c.plan.days.iter().position(|d| d.weekday == 2 || d.weekday == 5).expect("a pick-up");
    let short = (0..50)
        .filter(|&t| {
            luck.draw(7, t);
            trial.run(&luck, &mut log);
            log.get(first, DayMeasure::ShareShort) > 0.0
        })
        .count();
    assert_eq!(short, 0);
    let options =
        springhouse::study::ahead::AheadOptions { from: 0, days: 7, trials: 50, seed: 7, threads: None };
    let told = springhouse::study::ahead::ahead(&c.plan, &c.names, &options, &|_, _| {}).expect("the weeks");
    let promise = told.days.iter().find_map(|d| d.promise).expect("a pick-up");
    assert!((promise.kept - 1.0).abs() < 1e-12, "{promise:?}");
}
