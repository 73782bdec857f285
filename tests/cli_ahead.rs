//! `ahead` at the command line: its words, its files, and how it refuses.

mod common;

use std::fs;
use std::path::Path;

use assert_cmd::Command;

const SCENARIO: &str = "scenarios/from-today.yaml";
const STOCK: &str = "scenarios/from-today-stock.csv";

fn ahead(args: &[&str]) -> (i32, String, String) {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(120));
    let o = c.args(["ahead", "--quiet", "--trials", "60"]).args(args).output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

#[test]
fn words_day_by_day_within_80_columns() {
    let (code, words, err) = ahead(&[SCENARIO, "--weeks", "2"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(words.lines().all(|l| l.chars().count() <= 80), "{words}");
    for needed in [
        "the coming 2 weeks, from Mon 30 Aug 2027",
        "What to look to",
        "In the pail",
        "can be promised",
        "Sun 12 Sep",
        "skim",
    ] {
        assert!(words.contains(needed), "{needed}: {words}");
    }
    assert!(!words.contains("Mon 13 Sep\n"), "two weeks and no more");
    // The same stock as a table says the same but for its name.
    let (_, table, _) = ahead(&[SCENARIO, "--weeks", "2", "--stock", STOCK]);
    assert_eq!(words, table);
    // Any number of threads gives the same bytes.
    for format in ["csv", "json"] {
        let run = |n| ahead(&[SCENARIO, "--format", format, "--threads", n]).1;
        assert_eq!(run("1"), run("3"));
    }
}

#[test]
fn another_day() {
    let (code, words, _) = ahead(&[SCENARIO, "--from", "2027-09-06", "--weeks", "1"]);
    assert_eq!(code, 0);
    assert!(words.contains("the coming week, from Mon 6 Sep 2027") && words.contains("--stock"), "{words}");
    // A count begins the run: what is older is simulated no more.
    let (code, words, _) = ahead(&[SCENARIO, "--from", "2027-08-31", "--weeks", "1", "--stock", STOCK]);
    assert_eq!(code, 0);
    assert!(words.contains("from Tue 31 Aug 2027") && !words.contains("--stock"), "{words}");
}

/// Read by a parser of its own (the `ical` crate), and by the letter of RFC 5545:
/// 3.1 line ends and folding, 3.3.11 escapes, 3.6.1 what an event must hold.
#[test]
fn the_calendar_is_one() {
    let dir = tempfile::tempdir().unwrap();
    let make = |name: &str, scenario: &str| {
        let path = dir.path().join(name);
        let (code, _, err) = ahead(&[scenario, "--weeks", "2", "--ics", path.to_str().unwrap()]);
        assert_eq!((code, err.as_str()), (0, ""));
        fs::read(path).unwrap()
    };
    let bytes = make("a.ics", SCENARIO);
    assert_eq!(bytes, make("b.ics", SCENARIO), "the same weeks, the same bytes");
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains(['\r', '\n']), "only CRLF");
    assert!(text.split("\r\n").all(|l| l.len() <= 75), "no line over 75 octets");
    let mut calendars = ical::IcalParser::new(&bytes[..]);
    let calendar = calendars.next().unwrap().unwrap();
    assert!(calendars.next().is_none());
    let top = |name: &str| calendar.properties.iter().find(|p| p.name == name).and_then(|p| p.value.clone());
    assert_eq!(top("VERSION").as_deref(), Some("2.0"));
    assert!(top("PRODID").is_some());
    let mut uids = std::collections::HashSet::new();
    assert!(calendar.events.len() >= 14, "{}", calendar.events.len());
    for e in &calendar.events {
        let of = |name: &str| e.properties.iter().filter(|p| p.name == name).collect::<Vec<_>>();
        for once in ["UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION"] {
            assert_eq!(of(once).len(), 1, "{once}");
        }
        let value = |name: &str| of(name)[0].value.clone().unwrap();
        assert!(uids.insert(value("UID")), "a UID twice");
        assert_eq!(value("DTSTAMP"), "20270830T000000Z");
        assert!(value("DTSTART") < value("DTEND") && value("DTSTART").len() == 8);
        // A bare comma or semicolon would end the value.
        let plain =
            value("DESCRIPTION").replace("\\\\", "").replace("\\,", "").replace("\\;", "").replace("\\n", "");
        assert!(!plain.contains([',', ';', '\\']), "{plain}");
    }
    assert!(text.contains("pick-up") && text.contains("kitchen"));
}

#[test]
fn the_forecast_is_the_table_of_the_pail() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("pail.csv");
    let (code, _, err) = ahead(&[SCENARIO, "--weeks", "1", "--forecast", path.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (0, ""));
    let mut reader = csv::Reader::from_path(&path).unwrap();
    assert_eq!(reader.headers().unwrap(), vec!["date", "animal", "what", "low", "middle", "high", "unit"]);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 7);
    for (i, r) in rows.iter().enumerate() {
        assert_eq!(
            &r[0],
            format!("2027-{}", ["08-30", "08-31", "09-01", "09-02", "09-03", "09-04", "09-05"][i])
        );
        // The family reckons in gallons and pounds.
        assert_eq!((&r[1], &r[2], &r[6]), ("Bramble", "milk", "lb"));
        let [low, middle, high] = [3, 4, 5].map(|c| r[c].parse::<f64>().unwrap());
        // 4.1 gal a day are 16 kg, 35 lb.
        assert!(low < middle && middle < high && (31.0..40.0).contains(&middle), "{r:?}");
    }
}

#[test]
fn the_sheet_is_harmless_and_whole() {
    let dir = tempfile::tempdir().unwrap();
    let odd = dir.path().join("odd.yaml");
    let text = fs::read_to_string(SCENARIO).unwrap();
    fs::write(&odd, text.replace("title: From today", "title: \"<script>alert(1)</script> & co\"")).unwrap();
    let path = dir.path().join("door.html");
    let (code, _, err) = ahead(&[odd.to_str().unwrap(), "--weeks", "2", "--sheet", path.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (0, ""));
    let page = fs::read_to_string(&path).unwrap();
    assert!(!page.contains("<script") && page.contains("&lt;script&gt;alert(1)"), "the title is text");
    assert!(!page.contains("http://") && !page.contains("https://") && !page.contains("url("));
    // The body holds no void element: it is read as XML.
    let body = &page[page.find("<body>").unwrap()..page.find("</body>").unwrap() + 7];
    let tree = roxmltree::Document::parse(body).unwrap();
    let rows = tree.descendants().filter(|n| n.has_tag_name("tr")).count();
    assert_eq!(rows, 15, "a heading and fourteen days");
}

#[test]
fn what_is_wrong_is_refused_and_nothing_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("x.ics");
    let ics = path.to_str().unwrap();
    for (args, wanted) in [
        (vec![SCENARIO, "--from", "2027-13-01", "--ics", ics], "--from 2027-13-01"),
        (vec![SCENARIO, "--from", "2029-01-01", "--ics", ics], "lies outside the simulated time"),
        (
            vec![SCENARIO, "--weeks", "5", "--ics", ics],
            "--weeks 5: expected a whole number from 1 to 4; the nearest is 4",
        ),
        (vec![SCENARIO, "--weeks", "two", "--ics", ics], "--weeks two: expected a whole number from 1 to 4"),
        (
            vec![SCENARIO, "--units", "metrc", "--ics", ics],
            "--units metrc: expected us or metric; did you mean metric?",
        ),
        (vec!["nowhere.yaml", "--ics", ics], "there is no file nowhere.yaml"),
        (vec![SCENARIO, "--stock", "nowhere.csv", "--ics", ics], "there is no file nowhere.csv"),
        (vec![SCENARIO, "--ics", ics, "--sheet", ics], "would be written over"),
        (vec![SCENARIO, "--forecast", SCENARIO], "would be written over"),
    ] {
        let (code, out, err) = ahead(&args);
        assert_eq!(code, 2, "{args:?}: {err}");
        assert!(err.contains(wanted) && out.is_empty(), "{args:?}: {err}");
        assert!(!path.exists(), "{args:?}");
    }
    // Before the work, and without a name that is not the user's.
    for (file, wanted) in [
        ("/nonexistent/x.ics", "there is no folder /nonexistent; make it first"),
        (dir.path().to_str().unwrap(), "is a folder; name a file in it"),
        (".", "is a folder; name a file in it"),
    ] {
        let (code, out, err) = ahead(&[SCENARIO, "--sheet", file]);
        let err = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!((code, out.as_str()), (1, ""), "{err}");
        assert!(err.contains(wanted) && !err.contains(".springhouse") && !err.contains("os error"), "{err}");
    }
    assert!(Path::new(SCENARIO).metadata().unwrap().len() > 1000);
}

/// As any file the user makes, or as the one that is replaced.
#[cfg(unix)]
#[test]
fn files_have_an_ordinary_mode() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let (like, ics, sheet) = (dir.path().join("like"), dir.path().join("x.ics"), dir.path().join("x.html"));
    fs::write(&like, "").unwrap();
    fs::write(&sheet, "").unwrap();
    fs::set_permissions(&sheet, fs::Permissions::from_mode(0o600)).unwrap();
    let args = [SCENARIO, "--ics", ics.to_str().unwrap(), "--sheet", sheet.to_str().unwrap()];
    let (code, _, err) = ahead(&args);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!((mode(&ics), mode(&sheet)), (mode(&like), 0o600));
}

#[cfg(unix)]
#[test]
fn a_shell_is_served() {
    common::shell::may_lose_its_reader(&["ahead", SCENARIO, "--quiet", "--trials", "20"]);
    common::shell::obeys_no_color(&["ahead", SCENARIO, "--quiet", "--trials", "20"]);
}

/// Messages about a stock-take show its own lines.
#[test]
fn faults_of_a_stock_take_point_into_it() {
    let dir = tempfile::tempdir().unwrap();
    let stock = dir.path().join("count.csv");
    fs::write(
        &stock,
        "what,how much,dated,in,colour\nwhole mlik,1 gal,2027-08-28,,\nbutter,3 lb,2027-08-28,,blue\n",
    )
    .unwrap();
    let stock = stock.to_str().unwrap();
    let (code, out, err) = ahead(&[SCENARIO, "--stock", stock]);
    assert_eq!((code, out.as_str()), (2, ""));
    for part in ["--> count.csv:2:1", "2 | whole mlik,1 gal", "^^^^^^^^^^", "did you mean `whole milk`?"] {
        assert!(err.contains(part), "{part}: {err}");
    }
    // No message twice.
    let titles: Vec<&str> =
        err.lines().filter(|l| l.starts_with("error") || l.starts_with("warning")).collect();
    let once: std::collections::BTreeSet<&&str> = titles.iter().collect();
    assert_eq!(titles.len(), once.len(), "{err}");
    let mut check = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    let good = dir.path().join("good.csv");
    fs::write(&good, "what,how much,dated,in,colour\nbutter,3 lb,2027-08-28,,blue\n").unwrap();
    let o = check.args(["check", SCENARIO, "--stock"]).arg(&good).output().unwrap();
    let err = String::from_utf8_lossy(&o.stderr);
    assert!(
        o.status.success() && err.contains("--> good.csv:1:24") && err.contains("`colour` is not read"),
        "{err}"
    );
}

/// A variant begins from the stock-take as the scenario does.
#[test]
fn a_stock_take_goes_with_a_variant() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("ours.yaml");
    let text = fs::read_to_string(SCENARIO).unwrap();
    fs::write(&file, text + "variants:\n  more jars: {jars: {half gallon: 80}}\n").unwrap();
    let run = |args: &[&str]| {
        let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
        let o = c
            .args(args)
            .arg("--stock")
            .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join(STOCK))
            .output()
            .unwrap();
        assert!(o.status.success(), "{args:?}: {}", String::from_utf8_lossy(&o.stderr));
        String::from_utf8_lossy(&o.stdout).into_owned()
    };
    let file = file.to_str().unwrap();
    let out = dir.path().join("out");
    let words = run(&[
        "run",
        file,
        "--variant",
        "more jars",
        "--trials",
        "5",
        "--no-remedies",
        "--quiet",
        "--out",
        out.to_str().unwrap(),
    ]);
    assert!(words.contains("more jars"), "{words}");
    let traced = run(&["trace", file, "--variant", "more jars", "--trials", "5", "--quiet", "--until", "2"]);
    assert!(traced.contains("more jars"), "{traced}");
}

/// A cow, a week's milk and little drunk: skimmed milk of each day sours, the soonest first.
const MUCH_MILK: &str = "\
title: Much milk\nstarts: 2026-11-28\nlasts: 2 months\n\
animals: [{name: Clover, breed: jersey, freshens: 2026-08-20, now: {gives: 3.5 gal, calf: gone}}]\n\
household: {people: {man 31 to 50: 1, woman 31 to 50: 1}}\n\
stores: {kitchen fridge: {like: top-freezer 18 cu ft}, milk fridge: {like: all-fridge 10 cu ft}}\n\
jars: {half gallon: 40}\n\
routine: [{do: skim, after: 24 h, leave: 2 % fat, days: [mon, wed, fri]}]\n";

#[test]
fn what_sours_is_told_by_day_and_until_when_to_use_it() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("much.yaml");
    for (fed, verb) in [("", "Use it "), ("animals fed: {pigs: {heads: 1}}\n", "Use or feed it ")] {
        fs::write(&file, format!("{MUCH_MILK}{fed}")).unwrap();
        let (code, words, err) = ahead(&[file.to_str().unwrap(), "--weeks", "2"]);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(words.lines().all(|l| l.chars().count() <= 80), "{words}");
        let flat = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let looks = flat.split("What to look to").nth(1).unwrap().split("In the pail").next().unwrap();
        let sours: Vec<&str> = looks.split(" - ").filter(|l| l.contains(" turns sour in ")).collect();
        assert!((2..=4).contains(&sours.len()), "{looks}");
        assert!(sours.iter().all(|l| l.contains(verb)), "{looks}");
        // `first` once, on the soonest; those after it later and later.
        let firsts: Vec<bool> = sours.iter().map(|l| l.contains("it first, ")).collect();
        assert!(firsts[0] && firsts[1..].iter().all(|f| !f), "{looks}");
        let before = |l: &str| -> u32 {
            let words: Vec<&str> = l.split(" before ").nth(1).unwrap().split_whitespace().collect();
            let day: u32 = words[1].parse().unwrap();
            // 28 November to 11 December.
            if words[2].starts_with("Nov") { day } else { 30 + day }
        };
        let days: Vec<u32> = sours.iter().map(|l| before(l)).collect();
        assert!(days.is_sorted(), "{looks}");
        assert!(looks.contains("Skimmed milk of Sat 28 Nov, "), "skimmed milk is named, by its day: {looks}");
        assert!(looks.contains("After that milk of "), "{looks}");
    }
}

/// Nobody milks where all milk is fetched.
#[test]
fn fetched_milk_has_no_pail() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("door.html");
    let (code, words, err) = ahead(&["scenarios/weekly-pickup.yaml", "--sheet", sheet.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(!words.contains("In the pail") && !words.contains("milking and meals"), "{words}");
    assert!(words.contains("Nothing but meals.") && words.contains(" fetched"), "{words}");
    let page = fs::read_to_string(&sheet).unwrap();
    assert!(
        page.contains(">fetched</th>") && !page.contains("in the pail") && !page.contains("0 gal"),
        "{page}"
    );
}

#[test]
fn few_futures_are_said_to_tell_little() {
    let said = |n: &str| {
        let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
        let o = c.args(["ahead", "--quiet", SCENARIO, "--trials", n]).output().unwrap();
        String::from_utf8_lossy(&o.stdout).contains("stand behind all this")
    };
    assert_eq!([said("1"), said("99"), said("100")], [true, true, false]);
}
