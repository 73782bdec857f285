//! `size` at the command line: what it prints and writes, and how it refuses.

mod common;

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Milk fetched every day, or not, and a fridge in which it stands.
const HOUSE: &str = "\
title: A small house
starts: 2027-01-04
lasts: 30 days
seed: 5
milk fetched:
  - {name: dairy, like: cow milk, amount: 2 kg, days: [mon, tue, wed, thu, fri, sat, sun], fails: 60 %}
household:
  drinkers: [{name: Ann, how much: 1 kg, part of days: 90 %}]
stores:
  fridge: {room: 12 L, at: 4 °C}
jars: {crock: {holds: 1 L, filled to: 1 L, across: 10 cm, height: 20 cm, weighs: 0.5 kg, count: 60}}
aims:
  - {measure: waste, below: 10 %, in: 8 of 10 years}
";

const ROOM: [&str; 4] = ["--vary", "stores.fridge.room", "--over", "4 L to 60 L by 4 L"];

fn size(dir: &Path, args: &[&str]) -> (i32, String, String) {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").current_dir(dir);
    let o = c.arg("size").args(args).output().expect("the binary");
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

fn house(text: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("house.yaml"), text).expect("a file");
    dir
}

fn bytes(dir: &Path, file: &str) -> Vec<u8> {
    fs::read(dir.join(file)).unwrap_or_else(|e| panic!("{file}: {e}"))
}

#[test]
fn room_is_sized_in_words_and_files() {
    let dir = house(HOUSE);
    let (code, out, err) = size(dir.path(), &[&["house.yaml"], &ROOM[..]].concat());
    assert_eq!(code, 0, "{out}{err}");
    for part in [
        "is enough",
        "is not",
        "with 95 % confidence",
        "The smallest was sought",
        "What was tried",
        "Cautions",
    ] {
        assert!(out.contains(part), "{part}:\n{out}");
    }
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    let folder = dir.path().join("outputs/house-size");
    let v: Value = serde_json::from_slice(&bytes(&folder, "size.json")).expect("JSON");
    let answer = &v["answer"];
    assert_eq!(answer["found"], true, "{answer}");
    let (enough, fails) =
        (answer["enough"].as_str().expect("a text"), answer["fails"].as_str().expect("a text"));
    assert!(out.contains(&format!("{enough} is enough; {fails} is not.")), "{out}");
    let number = |t: &str| t.trim_end_matches(" L").parse::<f64>().expect("litres");
    assert!((number(enough) - number(fails) - 4.0).abs() < 1e-9);
    // A row an aim of each setting that was tried.
    let csv = String::from_utf8(bytes(&folder, "size.csv")).expect("text");
    assert_eq!(csv.lines().count(), 1 + v["tried"].as_array().expect("a list").len());
    let all: u64 =
        v["tried"].as_array().expect("a list").iter().map(|t| t["trials"].as_u64().unwrap_or(0)).sum();
    assert_eq!(v["trials"].as_u64(), Some(all));
}

#[test]
fn any_number_of_threads_and_the_manifests_command_give_the_same_bytes() {
    let dir = house(HOUSE);
    for threads in ["1", "2", "3"] {
        let args = [&["house.yaml", "--quiet", "--threads", threads, "--out", threads], &ROOM[..]].concat();
        let (code, _, err) = size(dir.path(), &args);
        assert_eq!((code, err.as_str()), (0, ""));
    }
    let manifest: Value =
        serde_json::from_slice(&bytes(&dir.path().join("1"), "manifest.json")).expect("JSON");
    let command = manifest["command"].as_str().expect("a text");
    // The shell takes it apart; the binary is on its path.
    let bin = assert_cmd::cargo::cargo_bin!("springhouse");
    let path = format!("{}:/usr/bin:/bin", bin.parent().expect("a folder").display());
    let done =
        Command::new("/bin/sh").args(["-c", command]).env("PATH", path).current_dir(dir.path()).output();
    assert!(done.expect("a shell").status.success(), "{command}");
    for file in listed(&manifest, 3) {
        let first = bytes(&dir.path().join("1"), &file);
        for other in ["2", "3", "outputs/house-size"] {
            assert!(first == bytes(&dir.path().join(other), &file), "{file} differs in {other}");
        }
    }
}

/// The files that a manifest lists: no fewer than so many.
fn listed(manifest: &Value, least: usize) -> Vec<String> {
    let all: Vec<String> = manifest["files"].as_object().expect("files").keys().cloned().collect();
    assert!(all.len() >= least, "{all:?}");
    all
}

/// With an end that was asked for, with pictures, and from standard input: the command of the
/// manifest writes every file again that it lists, to the byte.
#[test]
fn a_repeat_writes_every_file_that_is_listed() {
    use std::io::Write;
    use std::process::Stdio;
    let bin = assert_cmd::cargo::cargo_bin!("springhouse");
    let path = format!("{}:/usr/bin:/bin", bin.parent().expect("a folder").display());
    let piped = ["size", "-", "--svg", "--smallest", "--quiet", "--trials", "1000", "--out", "first"];
    let file = ["size", "house.yaml", "--svg", "--quiet", "--trials", "1000", "--out", "first"];
    for (args, again, end) in [(&piped[..], "standard-input-size", true), (&file[..], "house-size", false)] {
        let dir = house(HOUSE);
        let mut child = Command::new(bin)
            .args(args)
            .args(ROOM)
            .current_dir(dir.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .expect("the binary");
        // What reads a file reads nothing here.
        let _ = child.stdin.take().expect("its input").write_all(HOUSE.as_bytes());
        assert!(child.wait().expect("its end").success());
        // Kept under the name that the command asks for.
        fs::write(dir.path().join("standard-input.yaml"), HOUSE).expect("a file");
        let manifest: Value =
            serde_json::from_slice(&bytes(&dir.path().join("first"), "manifest.json")).expect("JSON");
        let command = manifest["command"].as_str().expect("a text");
        assert_eq!(command.contains("--smallest"), end, "{command}");
        let done = Command::new("/bin/sh")
            .args(["-c", command])
            .env("PATH", &path)
            .current_dir(dir.path())
            .stdin(Stdio::null())
            .output()
            .expect("a shell");
        assert!(done.status.success(), "{command}: {}", String::from_utf8_lossy(&done.stderr));
        let files = listed(&manifest, 4);
        assert!(files.iter().any(|f| f.ends_with(".svg")), "{files:?}");
        for file in files {
            let first = bytes(&dir.path().join("first"), &file);
            assert!(first == bytes(&dir.path().join("outputs").join(again), &file), "{file}: {command}");
        }
    }
}

/// Answers of `docs/sizing.md`, over fewer values where many trials would be needed: which is
/// enough, which is not, and that each was shown on fresh trials.
#[test]
fn the_answers_of_the_page_on_sizing() {
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let dir = tempfile::tempdir().expect("a folder");
    for (scenario, field, over, enough, fails) in [
        ("which-fridge", "jars.half gallon", "20 to 72 by 4", "32", "28"),
        ("which-fridge", "animals fed.pigs.heads", "0 to 6 by 1", "2", "1"),
        (
            "how-many-people",
            "household.kitchen time.weekdays",
            "0 min to 60 min by 20 min",
            "20 min",
            "0 min",
        ),
        ("dry-weeks", "stores.chest freezer.room", "4 cu ft; 20 cu ft", "20 cu ft", "4 cu ft"),
    ] {
        let file = shipped.join(format!("{scenario}.yaml"));
        let file = file.to_str().expect("a path");
        let args =
            [file, "--vary", field, "--over", over, "--trials", "5000", "--quiet", "--out", "o", "--force"];
        let (code, out, err) = size(dir.path(), &args);
        assert_eq!(code, 0, "{err}");
        let v: Value = serde_json::from_slice(&bytes(&dir.path().join("o"), "size.json")).expect("JSON");
        let answer = &v["answer"];
        assert_eq!(
            (answer["enough"].as_str(), answer["fails"].as_str()),
            (Some(enough), Some(fails)),
            "{field}: {out}"
        );
        let fresh = |setting: &str| {
            let all = v["tried"].as_array().expect("a list");
            all.iter().find(|t| t["setting"] == setting).and_then(|t| t["fresh_trials"].as_u64())
        };
        assert!(fresh(enough) >= answer["proof_trials"].as_u64() && fresh(enough) >= Some(500), "{answer}");
        assert!(fresh(fails) >= Some(250), "{v}");
    }
}

/// Plain room of a fridge is told in jars: a fridge sold as so large holds fewer.
#[test]
fn the_room_of_a_fridge_is_told_in_jars() {
    let dir = house(HOUSE);
    let (code, out, err) =
        size(dir.path(), &[&["house.yaml", "--quiet", "--trials", "3000"], &ROOM[..]].concat());
    assert_eq!(code, 0, "{err}");
    let v: Value =
        serde_json::from_slice(&bytes(&dir.path().join("outputs/house-size"), "size.json")).expect("JSON");
    let enough = v["answer"]["enough"].as_str().expect("an answer");
    // A crock of 10 cm x 10 cm x 20 cm takes a box of 2 L.
    let litres: f64 = enough.trim_end_matches(" L").parse().expect("litres");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let jars = format!("{enough} here are {} crock jars packed box to box", litres / 2.0);
    assert!(flat.contains(&jars) && flat.contains("`stores.fridge.like`"), "{jars}: {out}");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    // Not of a pantry, and not where fridges are counted.
    let args =
        ["house.yaml", "--quiet", "--trials", "1000", "--vary", "stores.fridge.how many", "--over", "1; 2"];
    let (code, out, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    assert!(!out.contains("box to box"), "{out}");
}

#[test]
fn json_is_the_file() {
    let dir = house(HOUSE);
    let args = [&["house.yaml", "--quiet", "--format", "json", "--out", "o"], &ROOM[..]].concat();
    let (code, out, _) = size(dir.path(), &args);
    assert_eq!((code, out.as_bytes()), (0, &bytes(&dir.path().join("o"), "size.json")[..]));
}

/// People are sought from the other end; two fields may share a value.
#[test]
fn the_most_people_and_shared_values() {
    let people = HOUSE.replace("  drinkers:", "  people: {quart a day: 1}\n  drinkers:").replace(
        "{measure: waste, below: 10 %, in: 8 of 10 years}",
        "{measure: drinking milk, at least: 60 %, in: 9 of 10 years}",
    );
    let dir = house(&people);
    let args = ["house.yaml", "--quiet", "--vary", "household.people.quart a day", "--over", "0 to 8 by 1"];
    let (code, out, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("the largest household.people.quart a day"), "{out}");
    assert!(out.contains("is not too much") || out.contains("None of the 9 settings"), "{out}");
    let two = HOUSE.replace("stores:\n", "stores:\n  cellar: {room: 12 L, at: 4 °C}\n");
    let dir = house(&two);
    let args = [&["house.yaml", "--quiet", "--vary", "stores.cellar.room"], &ROOM[..]].concat();
    let (code, out, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("stores.cellar.room and stores.fridge.room"), "{out}");
}

/// Equal fridges and animals, written out or as `how many`.
#[test]
fn how_many_is_as_if_each_were_written() {
    use springhouse::scenario::compile;
    // Only what a rule says of the one is said of all when written as `how many`.
    let plan = |text: &str| {
        let mut plan = compile(text.as_bytes()).expect("a good scenario").plan;
        plan.places.iter_mut().for_each(|p| p.alike = None);
        format!("{plan:?}")
    };
    let many = HOUSE.replace("{room: 12 L, at: 4 °C}", "{room: 12 L, at: 4 °C, how many: 3}");
    let written = HOUSE.replace(
        "  fridge: {room: 12 L, at: 4 °C}\n",
        "  fridge: {room: 12 L, at: 4 °C}\n  fridge 2: {room: 12 L, at: 4 °C}\n  fridge 3: {room: 12 L, at: 4 °C}\n",
    );
    assert!(plan(&many) == plan(&written) && plan(&many) != plan(HOUSE));
    let herd = |animals: &str| HOUSE.replace("household:", &format!("animals:\n{animals}household:"));
    let doe =
        |name: &str, more: &str| format!("  - {{name: {name}, breed: alpine, freshens: 2026-12-01{more}}}\n");
    let two = herd(&format!("{}{}", doe("Doe", ""), doe("Doe 2", "")));
    assert_eq!(plan(&herd(&doe("Doe", ", how many: 2"))), plan(&two));
    // Two pick-ups a week are Wednesday and Saturday.
    let shares = |days: &str| {
        format!("{HOUSE}herd shares: {{members: 2, promise: 1 qt/week, pick-up days: {days}}}\n")
    };
    assert_eq!(plan(&shares("2 per week")), plan(&shares("[wed, sat]")));
    for (bad, part) in [
        (many.replace("how many: 3", "how many: 0"), "from 1 to 20"),
        (many.replace("how many: 3", "how many: 500"), "from 1 to 20"),
        (shares("9 per week"), "no number of days of a week"),
        (
            many.replace("  fridge:", "  fridge 2: {room: 12 L}\n  fridge:"),
            "there is a store `fridge 2` already",
        ),
    ] {
        let all = compile(bad.as_bytes()).expect_err(part);
        assert!(all.iter().any(|d| d.to_string().contains(part)), "{part}: {all:?}");
    }
}

/// Names have no size: the first in the order given is sought, and that is said. Dates are
/// early and late, not small and large.
#[test]
fn names_and_dates_have_words_of_their_own() {
    let named = HOUSE.replace("{room: 12 L, at: 4 °C}", "{like: all-fridge 10 cu ft}");
    let dir = house(&named);
    let args = [
        "house.yaml",
        "--quiet",
        "--vary",
        "stores.fridge.like",
        "--over",
        "mini fridge 3 cu ft; all-fridge 10 cu ft",
        "--trials",
        "3000",
    ];
    let (code, out, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("the first stores.fridge.like that keeps its aim"), "{out}");
    assert!(flat.contains("in the order in which --over gives them"), "{out}");
    let dated = HOUSE.replace("fails: 60 %}", "fails: 60 %, from: 2027-01-04}");
    let dir = house(&dated);
    let args = [
        "house.yaml",
        "--quiet",
        "--vary",
        "milk fetched.dairy.from",
        "--over",
        "2027-01-04 to 2027-02-01 by 7 days",
        "--trials",
        "3000",
        "--largest",
    ];
    let (code, out, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("the latest milk fetched.dairy.from"), "{out}");
    assert!(!out.contains("largest") && !out.contains("too much"), "{out}");
}

/// An aim that no fridge can keep is named, and the size for the other one is offered.
#[test]
fn what_does_for_the_other_aims_is_said() {
    let two = format!("{HOUSE}  - {{measure: drinking milk, at least: 99.9 %, in: 19 of 20 years}}\n");
    let dir = house(&two);
    let (code, out, err) = size(dir.path(), &[&["house.yaml", "--quiet"], &ROOM[..]].concat());
    assert_eq!(code, 0, "{err}");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in ["seems to keep every aim", "keeps every aim", "missed by every setting that was tried"] {
        assert!(flat.contains(part) || part.contains("every aim"), "{part}: {out}");
    }
    assert!(flat.contains("Without that aim") && flat.contains("ask only for waste below 10 %:"), "{out}");
    assert!(flat.contains("Leave out drinking milk at least 99.9 %,"), "{out}");
    assert!(flat.contains("is enough; "), "{out}");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    let v: Value =
        serde_json::from_slice(&bytes(&dir.path().join("outputs/house-size"), "size.json")).expect("JSON");
    assert_eq!(v["answer"]["found"], false);
    let rest = &v["without_some_aims"];
    assert_eq!(rest["left_out"].as_array().map(Vec::len), Some(1), "{rest}");
    assert_eq!(rest["answer"]["found"], true, "{rest}");
}

/// Each variant has a folder of its own, and all settings are checked before any is run.
#[test]
fn a_variant_keeps_its_own_ledger() {
    let varied = format!("{HOUSE}variants:\n  Cold one: {{stores: {{fridge: {{at: 2 °C}}}}}}\n");
    let dir = house(&varied);
    let args = [&["house.yaml", "--quiet", "--trials", "1000", "--variant", "cold one"], &ROOM[..]].concat();
    let (code, _, err) = size(dir.path(), &args);
    assert_eq!(code, 0, "{err}");
    assert!(dir.path().join("outputs/house-cold-one-size/size.json").is_file());
    let (code, out, err) = size(
        dir.path(),
        &["house.yaml", "--vary", "stores.fridge.room", "--over", "4 L; 100000 L; 8 L; 12 L"],
    );
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(err.contains("100000 L"), "{err}");
}

#[test]
fn bad_input_is_exit_2() {
    let dir = house(HOUSE);
    fs::write(dir.path().join("no-aims.yaml"), HOUSE.split("aims:").next().expect("a part")).expect("a file");
    let over = |values: &'static str| ["house.yaml", "--vary", "stores.fridge.room", "--over", values];
    let cases: Vec<(Vec<&str>, &str)> = vec![
        ([&["no-aims.yaml"], &ROOM[..]].concat(), "sets no aims, so nothing says what is enough"),
        (vec!["house.yaml", "--vary", "stores.frige.room", "--over", "4 L; 8 L"], "fridge"),
        (vec!["house.yaml", "--vary", "stores.fridge.rom", "--over", "4 L; 8 L"], "room"),
        (over("60 L to 4 L by 4 L").to_vec(), "runs backwards"),
        (over("4 lb to 60 lb by 4 lb").to_vec(), "does not fit"),
        (over("4 L to 60 L").to_vec(), "says no step"),
        (over("0 L; 8 L").to_vec(), "`0 L` is out of reason here"),
        (vec!["house.yaml", "--vary", "seed", "--over", "1; 2"], "`seed` cannot be varied"),
        (vec!["house.yaml", "--vary", "aims.waste.below", "--over", "1 %; 2 %"], "`aims` is no size"),
        (vec!["house.yaml", "--vary", "lasts", "--over", "30 days; 60 days"], "`lasts` is no size"),
        ([&["house.yaml", "--variant", "none"], &ROOM[..]].concat(), "variant"),
        ([&["house.yaml", "--sure", "101%"], &ROOM[..]].concat(), "a confidence such as 95%"),
        ([&["house.yaml", "--trials", "10"], &ROOM[..]].concat(), "from 1000 to 200000; the nearest is 1000"),
        ([&["house.yaml", "--smallest", "--largest"], &ROOM[..]].concat(), "cannot be used with"),
        (vec!["house.yaml", "--over", "4 L; 8 L"], "--vary"),
    ];
    for (args, part) in cases {
        let (code, out, err) = size(dir.path(), &args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(common::joined(&err).contains(part), "{args:?}: {err}");
        assert!(!dir.path().join("outputs").exists(), "{args:?}");
    }
}

/// Ctrl-C ends a search: what it had is told, exit 1, and nothing is written.
#[cfg(unix)]
#[test]
fn broken_off_by_ctrl_c() {
    // Five years a run: seconds of work.
    let long = HOUSE.replace("seed: 5\n", "").replace("lasts: 30 days", "lasts: 1800 days");
    let dir = house(&long);
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.args(["size", "house.yaml", "--trials", "200000", "--threads", "1"]).args(ROOM).current_dir(dir.path());
    let (code, out, _) = common::shell::interrupted(&mut c, std::time::Duration::from_millis(150));
    assert_eq!(code, Some(1), "{out}");
    assert!(out.contains("Broken off after"), "{out}");
    let left = std::fs::read_dir(dir.path().join("outputs")).map(|d| d.flatten().count()).unwrap_or(0);
    assert_eq!(left, 0);
}
