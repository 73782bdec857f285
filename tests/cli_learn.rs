//! `learn` at the command line: what it prints, writes, and refuses.

mod common;

use std::fs;
use std::path::PathBuf;

use assert_cmd::Command;
use springhouse::calendar::{date_of, read_date};

fn learn(args: &[&str]) -> (i32, String, String) {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(60));
    let o = c.arg("learn").args(args).output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

const FRESH: &str = "2025-01-20";

/// Milk of a cow that gives a fifth more than the breed, lb, with ups and downs
/// that are the same at every run.
fn lb(day: i64) -> f64 {
    let t = day as f64;
    let ups = 1.0 + 0.06 * (1.7 * t).sin() + 0.05 * (0.31 * t).sin();
    18.4 * t.powf(0.0729) * (-0.00268 * t).exp() * ups / 0.453_592_37
}

/// A folder with a log of so many days, milked twice, the young on her for the
/// first week, one slip of the pen and one bad row.
fn folder(days: i64) -> (tempfile::TempDir, String) {
    let dir = tempfile::tempdir().unwrap();
    let fresh = read_date(FRESH).unwrap();
    let mut text = String::from("date,milking,milk (lb),calf,note\n");
    for day in 1..=days {
        let on = date_of(fresh, day - 1);
        let slip = if day == 50 { 10.0 } else { 1.0 };
        let (calf, part) = if day <= 7 { ("yes", 0.4) } else { ("no", 1.0) };
        text += &format!("{on},morning,{:.1},{calf},\n", 0.55 * part * lb(day));
        text += &format!("{on},evening,{:.1},{calf},\n", 0.45 * part * slip * lb(day));
    }
    text += "2025-02-31,morning,20,no,\n";
    fs::write(dir.path().join("pail.csv"), text).unwrap();
    let path = dir.path().join("pail.csv").to_string_lossy().into_owned();
    (dir, path)
}

fn json(args: &[&str]) -> serde_json::Value {
    let (code, out, err) = learn(&[args, &["--format", "json"]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    serde_json::from_str(&out).unwrap()
}

#[test]
fn the_answer_comes_first_and_every_row_is_told() {
    let (_dir, log) = folder(200);
    let (code, out, err) = learn(&[&log, "--breed", "jersey", "--freshened", FRESH, "--animal", "Clover"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for part in [
        "Clover: what 192 days of log say of her milk",
        "freshened 2025-01-20) she is expected",
        "more than a jersey usually gives",
        "2025-03-10: ",
        "pail.csv holds 401 rows: 384 used for her curve, 14 of days with her young on her, 2 of days that look wrong",
        "line 402, `date`: `2025-02-31` is no day of the calendar.",
        "  - name: Clover",
        "ask the veterinarian",
    ] {
        assert!(out.contains(part) || out.replace("\n", " ").contains(part), "{part}:\n{out}");
    }
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
}

#[test]
fn json_counts_every_row_in_si() {
    let (_dir, log) = folder(200);
    let v = json(&[&log, "--breed", "jersey", "--freshened", FRESH]);
    let rows = &v["rows"];
    let n = |key: &str| rows[key].as_u64().unwrap();
    assert_eq!(
        n("all"),
        n("used")
            + n("with_young")
            + n("looks_wrong")
            + n("aside")
            + n("blank")
            + n("headings")
            + n("other_animals")
    );
    let l = &v["lactations"][0];
    let kg = |p: &str| l["total_kg"][p].as_f64().unwrap();
    // A fifth more than the 4,444 kg of the breed.
    assert!(kg("p10") < 1.2 * 4444.0 && 1.2 * 4444.0 < kg("p90"), "{l}");
    assert!(kg("p90") - kg("p10") < 0.2 * kg("p50"));
    assert_eq!(v["looks_wrong"].as_array().unwrap().len(), 1);
    assert_eq!(v["looks_wrong"][0]["date"], "2025-03-10");
    let left = v["pail_with_young_part"].as_f64().unwrap();
    assert!((left - 0.4).abs() < 0.06, "{left}");
    // The breed alone is wider, and lower.
    assert!(v["breed_alone"]["total_cv"].as_f64().unwrap() > 4.0 * l["total_cv"].as_f64().unwrap());
}

/// Pasted into a scenario the piece passes its checks and gives her curve back.
#[test]
fn the_piece_of_a_scenario_passes_the_checks() {
    let (dir, log) = folder(200);
    let rest = "household: {people: {man 31 to 50: 1}}\nstores: {kitchen fridge: {like: top-freezer 18 cu ft}}\njars: {half gallon: 20}\n";
    for lactation in ["1", "2"] {
        let piece: PathBuf = dir.path().join(format!("piece{lactation}.yaml"));
        let path = piece.to_string_lossy().into_owned();
        let args = [&log, "--breed", "jersey", "--freshened", FRESH, "--lactation", lactation, "--animal"];
        let args = [&args.map(|a: &str| a)[..], &["no: 1", "--write", &path]].concat();
        let (code, _, err) = learn(&args);
        assert_eq!(code, 0, "{err}");
        assert!(err.contains("Written"), "{err}");
        let text = fs::read_to_string(&piece).unwrap();
        let c = common::compile(&format!("title: One\nstarts: 2025-02-01\nlasts: 12 months\n{text}{rest}"));
        let v = json(&args[..args.len() - 2]);
        let l = &v["lactations"][0];
        let plan = &c.plan.animals[0];
        let total: f64 = plan.curves[0].yield_kg[..305].iter().sum();
        let want = l["total_kg_mean"].as_f64().unwrap();
        assert!((total / want - 1.0).abs() < 2e-3, "{total} {want}");
        let cv = l["total_cv"].as_f64().unwrap();
        assert!((plan.level_log_sd - (1.0 + cv * cv).ln().sqrt()).abs() < 1e-3);
        let noise = v["noise"]["white"].as_f64().unwrap();
        assert!((plan.white_sd - noise).abs() < 1e-3);
        assert_eq!(c.names.animals[0], "no: 1");
        // A file that exists is left as it is.
        let (code, out, err) = learn(&args);
        assert_eq!((code, out.as_str()), (2, ""));
        assert!(err.contains("exists already"), "{err}");
        assert_eq!(fs::read_to_string(&piece).unwrap(), text);
    }
}

#[test]
fn a_scenario_says_who_she_is() {
    let (dir, log) = folder(100);
    let file = dir.path().join("ours.yaml");
    let text = "title: Two\nstarts: 2025-01-01\nlasts: 12 months\nunits: metric\nanimals:\n  - {name: Clover, breed: guernsey, lactation: 3, freshens: 2025-01-20}\n  - {name: Daisy, breed: jersey, freshens: 2025-03-01}\nhousehold: {people: {man 31 to 50: 1}}\nstores: {kitchen fridge: {like: top-freezer 18 cu ft}}\njars: {half gallon: 20}\n";
    fs::write(&file, text).unwrap();
    let file = file.to_string_lossy().into_owned();
    let (code, out, err) = learn(&[&log, "--scenario", &file, "--animal", "clover"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("(number 3, freshened 2025-01-20)") && out.contains(" kg (") && out.contains("guernsey"),
        "{out}"
    );
    let (code, _, err) = learn(&[&log, "--scenario", &file]);
    assert!(code == 2 && err.contains("--animal and one of Clover, Daisy"), "{err}");
    let (code, _, err) = learn(&[&log, "--scenario", &file, "--animal", "Clovr"]);
    assert!(code == 2 && err.contains("did you mean Clover?"), "{err}");
}

#[test]
fn a_forecast_is_held_against_the_log() {
    let (dir, log) = folder(200);
    let fresh = read_date(FRESH).unwrap();
    let write = |name: &str, half: f64| {
        let mut text = String::from("date,animal,what,low,middle,high,unit\n");
        for day in 60..=230_i64 {
            // Her curve without the ups and downs.
            let t = day as f64;
            let kg = 18.4 * t.powf(0.0729) * (-0.00268 * t).exp();
            let on = date_of(fresh, day - 1);
            text += &format!("{on},Clover,milk,{},{kg},{},kg\n", kg * (1.0 - half), kg * (1.0 + half));
            text += &format!("{on},Clover,jars,1,2,3,jars\n");
        }
        fs::write(dir.path().join(name), text).unwrap();
        dir.path().join(name).to_string_lossy().into_owned()
    };
    let args = |f: &str| -> Vec<String> {
        [&log, "--breed", "jersey", "--freshened", FRESH, "--animal", "Clover", "--against", f]
            .map(String::from)
            .to_vec()
    };
    let run = |f: &str| {
        let args = args(f);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let v = json(&args);
        let (code, out, err) = learn(&args);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
        (v, out)
    };
    let (v, out) = run(&write("narrow.csv", 0.01));
    assert_eq!(
        (v["trust"].as_str(), v["days"].as_u64(), v["forecast_days"].as_u64()),
        (Some("too_narrow"), Some(141), Some(171))
    );
    assert!(
        out.contains("Do not trust its ranges")
            && out.contains("30 days of the forecast")
            && out.contains("holds 401 rows"),
        "{out}"
    );
    let (v, out) = run(&write("fair.csv", 0.075));
    let part = v["inside"].as_f64().unwrap() / 141.0;
    assert!(v["trust"] == "holds" && (0.65..0.95).contains(&part), "{v}");
    assert!(
        v["bias_part"].as_f64().unwrap().abs() < 0.02 && out.contains("Nothing speaks against it"),
        "{out}"
    );
    let bad = dir.path().join("bad.csv");
    fs::write(&bad, "date,animal,what,low,middle,hihg,unit\n").unwrap();
    let bad = args(&bad.to_string_lossy());
    let (code, _, err) = learn(&bad.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(code == 2 && err.contains("no column `high`") && err.contains("is it `hihg`?"), "{err}");
}

#[test]
fn refusals_say_what_to_do() {
    let (dir, log) = folder(30);
    for (args, words) in [
        (vec![log.as_str()], "--breed jersey"),
        (vec![&log, "--breed", "gersey"], "did you mean jersey?"),
        (vec![&log, "--breed", "jersey"], "--freshened"),
        (vec![&log, "--breed", "jersey", "--freshened", "20.1.2025"], "did you mean `2025-01-20`?"),
        (
            vec![&log, "--breed", "jersey", "--freshened", "2026-01-20"],
            "she freshened on 2026-01-20, after it",
        ),
        (vec![&log, "--breed", "jersey", "--freshened", FRESH, "--today", "2024-01-01"], "in the future"),
        (vec!["nothing.csv", "--breed", "jersey"], "there is no file"),
    ] {
        let (code, out, err) = learn(&args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(common::joined(&err).contains(words), "{args:?}: {err}");
        assert!(err.lines().all(|l| l.chars().count() <= 80), "{err}");
    }
    let plain = dir.path().join("plain.csv");
    fs::write(&plain, "date,milk\n2025-02-01,40\n").unwrap();
    let (code, _, err) = learn(&[&plain.to_string_lossy(), "--breed", "jersey", "--freshened", FRESH]);
    assert_eq!(code, 2);
    assert!(err.contains("plain.csv:2:12") && err.contains("--unit lb"), "{err}");
}

/// A log of kilograms under a heading of pounds, a stretch of ounces, evenings
/// in another unit: told first, with the factor and the rows.
#[test]
fn a_wrong_unit_is_told_before_all_else() {
    let (dir, log) = folder(120);
    let honest = fs::read_to_string(&log).unwrap();
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_string_lossy().into_owned()
    };
    let run = |path: &str| {
        let (code, out, err) = learn(&[path, "--breed", "jersey", "--freshened", FRESH]);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
        common::joined(&out)
    };
    assert!(!run(&log).contains("Look at the units first"));
    // 40 lb a day are read as 40 kg.
    let kg = write("kg.csv", &honest.replace("milk (lb)", "milk (kg)"));
    let out = run(&kg);
    for part in [
        "Look at the units first",
        "The whole log",
        "what a jersey is expected",
        "Written in pounds",
        "read as kilograms",
    ] {
        assert!(out.contains(part), "{part}: {out}");
    }
    assert!(out.contains("# CAUTION: the unit of some rows is in doubt"), "{out}");
    let v = json(&[&kg, "--breed", "jersey", "--freshened", FRESH]);
    let doubt = &v["units_in_doubt"][0];
    assert!(
        doubt["what"] == "level" && doubt["read_as"] == "kg" && doubt["would_fit_as"][0] == "lb",
        "{doubt}"
    );
    // From line 102 to 141 somebody wrote kilograms.
    let change = |of: &dyn Fn(usize, f64) -> f64| -> String {
        let row = |(i, l): (usize, &str)| match l.split(',').collect::<Vec<_>>()[..] {
            [date, part, milk, calf, note] if i > 0 => {
                let milk: f64 = milk.parse().unwrap();
                format!("{date},{part},{:.2},{calf},{note}\n", of(i + 1, milk))
            }
            _ => format!("{l}\n"),
        };
        honest.lines().enumerate().map(row).collect()
    };
    let part = change(&|line, lb| if (102..142).contains(&line) { 0.4536 * lb } else { lb });
    let part = write("part.csv", &part);
    let out = run(&part);
    for words in ["Lines 102 to 141", "(40 rows)", "at 0.4", "Written in kilograms"] {
        assert!(out.contains(words), "{words}: {out}");
    }
    assert!(out.contains("41 set aside"), "forty and the one with no day of the calendar: {out}");
    // Every evening in kilograms.
    let halves = write("halves.csv", &change(&|line, lb| if line % 2 == 1 { 0.4536 * lb } else { lb }));
    assert!(run(&halves).contains("The evenings"), "{}", run(&halves));
    // Columns of differing units are read each in its own, and that is told.
    let mut wide = String::from("date,morning (lb),evening (kg)\n");
    for day in 4..80 {
        let on = date_of(read_date(FRESH).unwrap(), day - 1);
        wide += &format!("{on},{:.1},{:.1}\n", 0.55 * lb(day), 0.45 * lb(day) * 0.453_592_37);
    }
    let out = run(&write("wide.csv", &wide));
    assert!(out.contains("`morning (lb)` in pounds, `evening (kg)` in kilograms"), "{out}");
    assert!(!out.contains("Look at the units first"), "{out}");
}

#[test]
fn what_became_of_every_row_is_written_down() {
    let (dir, log) = folder(30);
    let text = fs::read_to_string(&log).unwrap()
        + "\ndate,milking,milk (lb),calf,note\n2025-02-20,morning,many,no,\n";
    fs::write(&log, text).unwrap();
    let rows = dir.path().join("rows.csv");
    let path = rows.to_string_lossy().into_owned();
    let args = [&log, "--breed", "jersey", "--freshened", FRESH, "--rows", &path];
    let (code, _, err) = learn(&args);
    assert!(code == 0 && err.contains("Written"), "{err}");
    let table = fs::read_to_string(&rows).unwrap();
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let all: Vec<(usize, String, String, String)> = reader.deserialize().map(Result::unwrap).collect();
    // The 61 rows of the folder, a blank one, a heading, and one without an amount.
    let lines: std::collections::BTreeSet<usize> = all.iter().map(|r| r.0).collect();
    assert_eq!(lines, (2..=65).collect(), "{table}");
    let of = |line: usize| all.iter().find(|r| r.0 == line).unwrap();
    assert_eq!((of(2).1.as_str(), of(40).1.as_str()), ("with young", "used"));
    assert_eq!((of(62).1.as_str(), of(62).2.as_str()), ("set aside", "date"));
    assert_eq!((of(63).1.as_str(), of(64).1.as_str()), ("blank", "heading"));
    assert!(of(65).2 == "milk (lb)" && of(65).3.contains("`many`"), "{table}");
    // A file that exists is left as it is.
    let (code, _, err) = learn(&args);
    assert!(code == 2 && err.contains("exists already"), "{err}");
    assert_eq!(fs::read_to_string(&rows).unwrap(), table);
}

/// Where nothing is left it is said how many rows went for which reason.
#[test]
fn a_log_of_bad_rows_alone_is_told_by_reason() {
    let dir = tempfile::tempdir().unwrap();
    let bad = dir.path().join("bad.csv");
    let mut text = String::from("date,milk (lb)\n");
    for day in 1..=6 {
        text += &format!("2025-02-{day:02},=A{day}\n");
    }
    text += "2025-02-30,40\nsoon,40\n";
    fs::write(&bad, text).unwrap();
    let bad = bad.to_string_lossy().into_owned();
    let args = [&bad, "--breed", "jersey", "--freshened", FRESH];
    let (code, out, err) = learn(&args);
    assert_eq!((code, out.as_str()), (2, ""));
    let told = common::joined(&err);
    for part in [
        "every row was set aside",
        "6 rows, `milk (lb)`: line 2: ",
        "and 3 more like these",
        "line 8, `date`: ",
        "--all",
    ] {
        assert!(told.contains(part), "{part}: {err}");
    }
    assert!(!told.contains("freshened after"), "{err}");
    let (_, _, all) = learn(&[&args[..], &["--all"]].concat());
    assert!(common::joined(&all).contains("line 7: ") && !all.contains("more like these"), "{all}");
}

/// Read and fitted, ten years of two rows a day cost about ten times one year: a
/// ratio of two times on one machine, the best of five each.
#[test]
fn the_cost_grows_with_the_rows() {
    use springhouse::records::{Options, read};
    use springhouse::study::learn::{Known, Prior, learn};
    let first = read_date("2015-04-12").unwrap();
    let text = |years: i64| {
        let mut text = String::from("date,milking,milk (lb)\n");
        for (year, day) in (0..years).flat_map(|y| (1..=305).map(move |d| (y, d))) {
            let on = date_of(first, 365 * year + day - 1);
            text += &format!("{on},morning,{:.1}\n{on},evening,{:.1}\n", 0.55 * lb(day), 0.45 * lb(day));
        }
        text
    };
    let prior = Prior::of_breed("jersey").unwrap();
    let time = |years: i64| {
        let text = text(years);
        let fresh = (0..years).map(|y| date_of(first, 365 * y)).collect();
        let known = Known { fresh, number: None };
        let once = || {
            let begun = std::time::Instant::now();
            let log = read(text.as_bytes(), &Options::default()).unwrap();
            let lesson = learn(&log, &known, &prior).unwrap();
            assert_eq!(lesson.fit.lactations.len() as i64, years);
            begun.elapsed().as_secs_f64()
        };
        (0..5).map(|_| once()).fold(f64::INFINITY, f64::min)
    };
    let (one, ten) = (time(1), time(10));
    println!("one year {one:.4} s, ten years {ten:.4} s");
    // A cost that grows with the square would be a hundred times.
    assert!(ten < 40.0 * one, "{ten} {one}");
}

/// A log of the last weeks alone, with an amount that cannot be read and a date that has
/// not come: its days are named, every amount is told of, and today is today.
#[test]
fn the_words_of_a_short_log_are_exact() {
    let dir = tempfile::tempdir().unwrap();
    let fresh = read_date(FRESH).unwrap();
    let mut text = String::from("date,AM (lb),PM (lb)\n");
    for day in 70..=100 {
        let of = |part: f64| format!("{:.1}", part * lb(day));
        let morning = if day == 75 { "fifteen".to_owned() } else { of(0.55) };
        text += &format!("{},{morning},{}\n", date_of(fresh, day - 1), of(0.45));
    }
    text += "2125-03-01,20,15\n";
    fs::write(dir.path().join("pail.csv"), text).unwrap();
    let log = dir.path().join("pail.csv").to_string_lossy().into_owned();
    let (code, out, err) = learn(&[&log, "--breed", "jersey", "--freshened", FRESH]);
    assert_eq!((code, err.as_str()), (0, ""));
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let first = jiff::Timestamp::now().as_second().div_euclid(86_400);
    let today = |now: i64| format!("(today is {})", date_of(read_date("1970-01-01").unwrap(), now));
    // Midnight may pass between the two.
    assert!(flat.contains(&today(first)) || flat.contains(&today(first + 1)), "{out}");
    for part in [
        "from day 70 to day 100 in milk.",
        "31 used for her curve and 1 set aside",
        "Of line 7 one amount is set aside and another read; it is not counted as set aside.",
        "where your scenario has a # `now` already, put this part into that one",
    ] {
        assert!(flat.contains(part), "{part}:\n{out}");
    }
    // One figure is expected, above and in the piece.
    let above = flat.split("she is expected to give ").nth(1).unwrap().split(" lb").next().unwrap();
    let piece = flat.split("of a pail log: ").nth(1).unwrap().split(" lb").next().unwrap();
    assert_eq!(above, piece, "{out}");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    // A day that begins sooner elsewhere is no mistake; one said with --today is.
    let tomorrow = date_of(read_date("1970-01-01").unwrap(), first + 1);
    let text = format!(
        "date,milk (lb)\n{},30\n{},31\n{tomorrow},32\n",
        date_of(tomorrow, -2),
        date_of(tomorrow, -1)
    );
    fs::write(dir.path().join("pail.csv"), text).unwrap();
    let fresh = date_of(tomorrow, -40).to_string();
    let aside = |more: &[&str]| {
        let v = json(&[&[log.as_str(), "--breed", "jersey", "--freshened", &fresh], more].concat());
        v["rows"]["aside"].as_u64().unwrap()
    };
    assert_eq!(aside(&[]), 0);
    assert_eq!(aside(&["--today", &date_of(tomorrow, -1).to_string()]), 1);
}
