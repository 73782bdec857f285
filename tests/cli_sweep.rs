//! The command `sweep`: its words, its files, its end by Ctrl-C; and variants
//! on the command line.

mod common;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

const FARM: &str = "\
title: A small place
starts: 2027-04-01
lasts: 90 days
seed: 5
trials: 64
animals:
  - {name: Clover, breed: jersey, freshens: 2027-03-20}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
  wants: {butter: 1 lb/week}
stores:
  milk fridge: {like: all-fridge 10 cu ft}
jars: {half gallon: 30}
routine:
  - {do: skim, after: 24 h, leave: 2.5 % fat}
  - {do: make, what: butter, days: [sat], when: {have: {cream: at least 1 qt}}}
when full:
  tonight: [feed sour milk, feed oldest milk, pour out oldest milk]
animals fed:
  pigs: {heads: 1}
aims:
  - {measure: waste, below: 10 %, in: 9 of 10 years}
  - {measure: milk on the table, at least: 50 %, in: 9 of 10 years}
variants:
  small fridge:
    stores: {milk fridge: {like: mini fridge 3 cu ft}}
  three pigs: {animals fed: {pigs: {heads: 3}}}
";

fn program() -> Command {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    c
}

fn home() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("farm.yaml"), FARM).unwrap();
    dir
}

/// Exit code, standard output, standard error.
fn in_folder(dir: &Path, args: &[&str]) -> (i32, String, String) {
    let o = program().current_dir(dir).args(args).output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

#[track_caller]
fn good(dir: &Path, args: &[&str]) -> String {
    let (code, out, err) = in_folder(dir, args);
    assert_eq!(code, 0, "{args:?}: {err}");
    out
}

fn json(path: &Path) -> Value {
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

#[test]
fn a_sweep_has_words_and_whole_files() {
    let dir = home();
    let args = ["sweep", "farm.yaml", "--vary", "animals fed.pigs.heads", "--over", "0 to 3 by 1", "--quiet"];
    let out = good(dir.path(), &args);
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    for words in ["`animals fed.pigs.heads` varied", "A: waste below 10 %", "1 =", "waste", "Cautions"] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    let folder = dir.path().join("outputs/farm-sweep");
    let found = json(&folder.join("sweep.json"));
    assert_eq!(found["points"].as_array().unwrap().len(), 4);
    assert_eq!(found["fields"][0]["path"], "animals fed.pigs.heads");
    assert_eq!(found["fields"][0]["frugal"], "smallest");
    assert_eq!(found["points"][3]["values"][0], "3");
    assert!(found["points"][0]["closure"]["mass"].as_f64().unwrap() < 1e-9);
    let manifest = json(&folder.join("manifest.json"));
    let listed: Vec<&String> = manifest["files"].as_object().unwrap().keys().collect();
    assert_eq!(listed, ["sweep.json", "sweep.csv", "report.html"]);

    // The command of the manifest gives the same files again.
    let before = std::fs::read(folder.join("sweep.json")).unwrap();
    let command = manifest["command"].as_str().unwrap().strip_prefix("springhouse ").unwrap().to_owned();
    let words: Vec<String> = command
        .split('\'')
        .enumerate()
        .flat_map(|(i, part)| {
            if i % 2 == 1 {
                vec![part.to_owned()]
            } else {
                part.split_whitespace().map(str::to_owned).collect()
            }
        })
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).chain(["--quiet"]).collect();
    good(dir.path(), &words);
    assert_eq!(before, std::fs::read(folder.join("sweep.json")).unwrap());

    // Every row of the table reads, and says what the other file says.
    let mut table = csv::Reader::from_path(folder.join("sweep.csv")).unwrap();
    let rows: Vec<BTreeMap<String, String>> = table.deserialize().map(|r| r.unwrap()).collect();
    assert_eq!(rows.len(), 4);
    for (row, point) in rows.iter().zip(found["points"].as_array().unwrap()) {
        let mean: f64 = row["wasted_part_mean"].parse().unwrap();
        assert_eq!(mean, point["measures"]["wasted_part"]["mean"].as_f64().unwrap());
        let part: f64 = row["aim_1_met_part"].parse().unwrap();
        assert_eq!(part, point["aims"][0]["met_part"].as_f64().unwrap());
        assert_eq!(row["animals fed.pigs.heads"], point["values"][0].as_str().unwrap());
    }
}

/// With pictures too, the command of the manifest writes every file again that it lists.
#[test]
fn a_repeat_writes_every_file_that_is_listed() {
    let dir = home();
    let args =
        ["sweep", "farm.yaml", "--vary", "animals fed.pigs.heads", "--over", "0; 2", "--svg", "--quiet"];
    good(dir.path(), &args);
    let folder = dir.path().join("outputs/farm-sweep");
    let manifest = json(&folder.join("manifest.json"));
    let files = manifest["files"].as_object().unwrap().clone();
    assert!(files.keys().any(|f| f.ends_with(".svg")), "{files:?}");
    std::fs::rename(&folder, dir.path().join("first")).unwrap();
    let bin = assert_cmd::cargo::cargo_bin!("springhouse");
    let command = manifest["command"].as_str().unwrap();
    let path = format!("{}:/usr/bin:/bin", bin.parent().unwrap().display());
    let done =
        Command::new("/bin/sh").args(["-c", command]).env("PATH", path).current_dir(dir.path()).output();
    assert!(done.unwrap().status.success(), "{command}");
    assert_eq!(json(&folder.join("manifest.json"))["files"].as_object().unwrap(), &files);
    for file in files.keys() {
        let read = |dir: &Path| std::fs::read(dir.join(file)).unwrap();
        assert!(read(&folder) == read(&dir.path().join("first")), "{file} differs");
    }
}

/// The point that stands in the file is the run, to the last bit; and a value
/// that a variant sets is that variant's run.
#[test]
fn the_point_of_the_scenario_is_its_run() {
    let dir = home();
    good(dir.path(), &["run", "farm.yaml", "--quiet", "--no-remedies"]);
    good(dir.path(), &["run", "farm.yaml", "--quiet", "--no-remedies", "--variant", "three pigs"]);
    let base = json(&dir.path().join("outputs/farm/summary.json"));
    let variant = json(&dir.path().join("outputs/farm-three-pigs/summary.json"));
    assert_eq!(variant["scenario"]["title"], "A small place, three pigs");
    assert_ne!(base["measures"], variant["measures"]);
    assert_eq!(base["scenario"]["sha256"], variant["scenario"]["sha256"]);
    let args = [
        "sweep",
        "farm.yaml",
        "--vary",
        "Animals fed.Pigs.heads",
        "--over",
        "3; 1",
        "--quiet",
        "--format",
        "json",
    ];
    let found: Value = serde_json::from_str(&good(dir.path(), &args)).unwrap();
    for key in ["measures", "aims"] {
        assert_eq!(found["points"][1][key], base[key], "{key}");
        assert_eq!(found["points"][0][key], variant[key], "{key}");
    }
    // The same on one thread as on three, and for a variant.
    let mut threads = args.to_vec();
    threads.extend(["--threads", "1"]);
    let one = good(dir.path(), &threads);
    *threads.last_mut().unwrap() = "3";
    assert_eq!(one, good(dir.path(), &threads));
    let mut of_variant = args.to_vec();
    of_variant.extend(["--variant", "small fridge"]);
    let small: Value = serde_json::from_str(&good(dir.path(), &of_variant)).unwrap();
    assert_eq!(small["scenario"]["variant"], "small fridge");
    assert_ne!(small["points"], found["points"]);
}

#[test]
fn two_fields_make_a_grid() {
    let dir = home();
    let args = [
        "sweep",
        "farm.yaml",
        "--vary",
        "household.people.child 4 to 8",
        "--over",
        "0; 4",
        "--vary",
        "jars.half gallon",
        "--over",
        "10 to 30 by 10",
        "--measure",
        "jars used",
        "--quiet",
        "--trials",
        "20",
    ];
    let out = good(dir.path(), &args);
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    assert!(
        out.contains("With `household.people.child 4 to 8` at 0: ") && out.contains("jars used"),
        "{out}"
    );
    let found = json(&dir.path().join("outputs/farm-sweep/sweep.json"));
    let at: Vec<String> = found["points"].as_array().unwrap().iter().map(|p| p["at"].to_string()).collect();
    assert_eq!(at, ["[0,0]", "[0,1]", "[0,2]", "[1,0]", "[1,1]", "[1,2]"]);
    assert_eq!(found["fields"][0]["frugal"], "largest");
    assert_eq!(found["best"].as_array().unwrap().len(), 2);
}

#[test]
fn what_is_wrong_is_said_before_anything_is_simulated() {
    let dir = home();
    for (args, words) in [
        (
            &["--vary", "stores.milk frige.like", "--over", "a; b"][..],
            "there is no `milk frige` in `stores`; did you mean `stores.milk fridge`?",
        ),
        (
            &["--vary", "stores.milk fridge.like", "--over", "all-fridge 10 cu ft; zebra"],
            "with `stores.milk fridge.like: zebra`: `zebra` is no store",
        ),
        (&["--vary", "jars.half gallon", "--over", "30 to 10 by 5"], "runs backwards"),
        (
            &["--vary", "jars.half gallon", "--over", "5 lb; 9 lb"],
            "`5 lb` does not fit `jars.half gallon`, where `30` stands",
        ),
        (&["--vary", "seed", "--over", "1; 2"], "`seed` cannot be varied"),
        (&["--vary", "stores.milk fridge", "--over", "1; 2"], "`stores.milk fridge` has no single value"),
        (&["--vary", "jars.half gallon", "--over", "1", "--over", "2"], "write one --over for each --vary"),
        (
            &["--vary", "jars.half gallon", "--over", "1; 2", "--vary", "jars.Half Gallon", "--over", "1"],
            "varied twice",
        ),
        (
            &[
                "--vary",
                "jars.half gallon",
                "--over",
                "1 to 90 by 1",
                "--vary",
                "animals fed.pigs.heads",
                "--over",
                "1 to 9 by 1",
            ],
            "810 pairs of values are too many",
        ),
        (
            &["--vary", "jars.half gallon", "--over", "1; 2", "--variant", "smal fridge"],
            "did you mean `small fridge`?",
        ),
        (
            &["--vary", "jars.half gallon", "--over", "1; 2", "--measure", "wasted prat"],
            "did you mean wasted_part?",
        ),
    ] {
        let all: Vec<&str> = ["sweep", "farm.yaml"].iter().chain(args).copied().collect();
        let (code, out, err) = in_folder(dir.path(), &all);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{args:?}: {err}");
    }
    assert!(!dir.path().join("outputs").exists());
}

#[test]
fn without_aims_the_table_is_still_there() {
    let dir = home();
    let text = FARM.split("aims:").next().unwrap();
    std::fs::write(dir.path().join("farm.yaml"), text).unwrap();
    let out = good(
        dir.path(),
        &["sweep", "farm.yaml", "--vary", "jars.half gallon", "--over", "10; 30", "--quiet"],
    );
    assert!(out.contains("sets no aims") && out.contains("days over full"), "{out}");
}

#[test]
fn check_lists_the_variants() {
    let dir = home();
    let out = good(dir.path(), &["check", "farm.yaml"]);
    assert!(out.contains("Variant: small fridge"), "{out}");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("stores.milk fridge.like: mini fridge 3 cu ft, instead of all-fridge 10 cu ft"),
        "{out}"
    );
    let (code, _, err) = in_folder(dir.path(), &["run", "farm.yaml", "--variant", "zebra"]);
    assert!(
        code == 2 && err.contains("there is no variant `zebra`; there: `small fridge` and `three pigs`"),
        "{err}"
    );
    let told = good(
        dir.path(),
        &["trace", "farm.yaml", "--variant", "three pigs", "--number", "0", "--until", "3", "--quiet"],
    );
    assert!(told.contains("three pigs"), "{told}");
}

/// Ctrl-C ends a sweep at once: exit 1, told how far it was, nothing written.
#[cfg(unix)]
#[test]
fn an_interrupted_sweep_writes_nothing() {
    let dir = home();
    std::fs::write(dir.path().join("farm.yaml"), FARM.replace("seed: 5\n", "")).unwrap();
    let mut c = program();
    c.current_dir(dir.path()).args([
        "sweep",
        "farm.yaml",
        "--vary",
        "jars.half gallon",
        "--over",
        "10; 20; 30",
    ]);
    let after = std::time::Duration::from_millis(300);
    let (code, out, rest) = common::shell::interrupted(c.args(["--trials", "200000"]), after);
    assert_eq!((code, out.as_str()), (Some(1), ""), "{rest}");
    assert!(rest.contains("stopped after 0 of 3 values; nothing was written"), "{rest}");
    let left: Vec<_> =
        std::fs::read_dir(dir.path().join("outputs")).map(|d| d.flatten().collect()).unwrap_or_default();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn it_owes_a_shell_what_every_command_owes() {
    let dir = home();
    let file = dir.path().join("farm.yaml").display().to_string();
    let out = dir.path().join("out").display().to_string();
    let args = [
        "sweep",
        &file,
        "--vary",
        "jars.half gallon",
        "--over",
        "20; 30",
        "--trials",
        "8",
        "--quiet",
        "--out",
        &out,
    ];
    #[cfg(unix)]
    common::shell::may_lose_its_reader(&args);
    common::shell::obeys_no_color(&args);
}
