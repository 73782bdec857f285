//! `compare` at the command line: the same bytes again, its files, and how it
//! refuses.

mod common;

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

const VARIANTS: &str = "
variants:
  older milk: {milk fetched: {dairy round: {age on arrival: 3 days}}}
  fresher milk: {milk fetched: {dairy round: {age on arrival: 12 h}}}
";
const PICKUP: &str = "scenarios/weekly-pickup.yaml";

fn springhouse(dir: &Path) -> Command {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(240));
    c.current_dir(dir);
    c
}

/// Exit code, standard output, standard error.
fn run(c: &mut Command) -> (i32, String, String) {
    let o = c.output().expect("the binary");
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

/// A folder with the weekly pick-up and a copy in which `from` is `to`.
fn two(from: &str, to: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(PICKUP).expect("the scenario");
    assert!(text.contains(from), "{from}");
    std::fs::write(dir.path().join("base.yaml"), &text).expect("written");
    std::fs::write(dir.path().join("other.yaml"), text.replacen(from, to, 1)).expect("written");
    dir
}

fn files(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(dir)
        .expect("the folder")
        .flatten()
        .map(|e| (e.file_name().to_string_lossy().into_owned(), std::fs::read(e.path()).expect("a file")))
        .collect();
    files.sort();
    files
}

fn json(dir: &Path, name: &str) -> Value {
    serde_json::from_slice(&std::fs::read(dir.join(name)).expect("a file")).expect("JSON")
}

/// The command of the manifest, given again, writes the same bytes, and so does
/// any number of threads.
#[test]
fn the_command_of_the_manifest_gives_the_same_bytes() {
    let dir = two("age on arrival: 1 day", "age on arrival: 3 days");
    let args = [
        "compare",
        "base.yaml",
        "other.yaml",
        "--trials",
        "60",
        "--seed",
        "4",
        "--best",
        "wasted part",
        "--matters",
        "wasted_part=2%",
        "--svg",
        "--quiet",
    ];
    let (code, first, err) = run(springhouse(dir.path()).args(args));
    assert_eq!((code, err.as_str()), (0, ""));
    let out = dir.path().join("outputs/base-compare");
    let written = files(&out);
    let (pictures, names): (Vec<&str>, Vec<&str>) =
        written.iter().map(|(n, _)| n.as_str()).partition(|n| n.ends_with(".svg"));
    assert_eq!(names, ["aims.csv", "compare.csv", "compare.json", "manifest.json", "report.html"]);
    assert!(!pictures.is_empty());
    let manifest = json(&out, "manifest.json");
    let command = manifest["command"].as_str().expect("a command").to_string();
    assert!(!command.contains(dir.path().to_str().expect("plain")), "{command}");
    for threads in ["1", "3"] {
        // As a shell would read it.
        let mut shell = Command::new("sh");
        let binary = assert_cmd::cargo::cargo_bin!("springhouse").display().to_string();
        let line = command.replacen("springhouse", &format!("'{binary}'"), 1);
        shell.current_dir(dir.path()).arg("-c").arg(format!("{line} --quiet --threads {threads}"));
        let (code, again, err) = run(&mut shell);
        assert_eq!((code, err.as_str()), (0, ""), "{line}");
        assert!(again == first, "{again}");
        assert_eq!(files(&out).len(), written.len());
        for ((name, bytes), (_, old)) in
            files(&out).iter().zip(&written).filter(|((n, _), _)| n != "manifest.json")
        {
            assert!(bytes == old, "{name} differs");
        }
        assert_eq!(json(&out, "manifest.json")["files"], manifest["files"]);
    }
    let told = json(&out, "compare.json");
    assert_eq!(told["margins"]["wasted_part"]["matters"].as_f64(), Some(0.02));
    assert_eq!(told["margins"]["wasted_part"]["from"].as_str(), Some("option"));
    assert!(told["best"]["best"].is_string(), "{}", told["best"]);
}

/// A file against its copy differs by exactly nothing in every measure.
#[test]
fn a_file_against_its_copy_differs_by_exactly_nothing() {
    let dir = two("title:", "title:");
    let (code, words, _) =
        run(springhouse(dir.path()).args(["compare", "base.yaml", "other.yaml", "--trials", "40"]));
    assert_eq!(code, 0);
    assert!(words.contains("it differs in nothing"), "{words}");
    let told = json(&dir.path().join("outputs/base-compare"), "compare.json");
    let measures = told["compared"][0]["measures"].as_object().expect("measures");
    assert!(measures.len() > 60);
    for (name, m) in measures {
        assert_eq!(m["difference"].as_f64(), Some(0.0), "{name}");
        assert_eq!(m["difference_ci95"], serde_json::json!([0.0, 0.0]), "{name}");
        assert_eq!(m["trials_equal"].as_u64(), Some(40), "{name}");
    }
}

/// Twenty years tell little; what is the same in all of them is said to be so far, as the
/// file says of the same pair that it cannot be told yet.
#[test]
fn what_is_the_same_in_few_years_is_the_same_so_far() {
    let dir = two("title:", "title:");
    let args = ["compare", "base.yaml", "other.yaml", "--trials", "20", "--seed", "7", "--out", "c"];
    let (code, out, err) = run(springhouse(dir.path()).args(args));
    assert_eq!((code, err.contains("error")), (0, false), "{err}");
    let text = common::joined(&out);
    assert!(text.contains("it differs in nothing: every"), "{text}");
    assert!(!text.contains("cannot be told yet") && !text.contains("nothing and nothing"), "{text}");
}

#[test]
fn words_in_80_columns_and_json_of_the_file() {
    let dir = two("age on arrival: 1 day", "age on arrival: 4 days");
    for units in ["us", "metric"] {
        let args = ["compare", "base.yaml", "other.yaml", "--trials", "80", "--quiet", "--units", units];
        let (code, words, err) = run(springhouse(dir.path()).args(args));
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(words.lines().all(|l| l.chars().count() <= 80), "{words}");
        for part in ["Other", "on the same luck", "How sure this is", "What is taken to matter", "Cautions"] {
            assert!(words.contains(part), "{part}: {words}");
        }
        assert!(!words.contains("NaN") && !words.contains("inf "), "{words}");
    }
    let args = ["compare", "base.yaml", "other.yaml", "--trials", "80", "--quiet", "--format", "json"];
    let (code, printed, _) = run(springhouse(dir.path()).args(args));
    assert_eq!(code, 0);
    let file = std::fs::read(dir.path().join("outputs/base-compare/compare.json")).expect("the file");
    assert!(printed.as_bytes() == file);
    let told: Value = serde_json::from_str(&printed).expect("JSON");
    let aimed = told["control"]["aimed_measures"].as_array().expect("a list").len();
    assert_eq!(told["control"]["claims"].as_u64(), Some(aimed as u64));
    // Every row of the CSV is a measure of the JSON.
    let mut rows =
        csv::Reader::from_path(dir.path().join("outputs/base-compare/compare.csv")).expect("a table");
    let head = rows.headers().expect("a head").clone();
    let at = |name: &str| head.iter().position(|h| h == name).expect("a column");
    for row in rows.records().map(|r| r.expect("a row")) {
        let m = &told["compared"][0]["measures"][&row[at("measure")]];
        let [csv, json] = [row[at("difference")].parse::<f64>().ok(), m["difference"].as_f64()];
        let (csv, json) = (csv.expect("a number"), json.expect("a number"));
        // The last digit may be lost in reading.
        assert!((csv - json).abs() <= 1e-12 * json.abs(), "{row:?}");
    }
}

/// Variants of a file are compared with the file as it is, as a file with the
/// same change is; `--variant` chooses among them.
#[test]
fn variants_are_compared_as_files_are() {
    let dir = two("age on arrival: 1 day", "age on arrival: 3 days");
    let text = std::fs::read_to_string(dir.path().join("base.yaml")).expect("the scenario");
    std::fs::write(dir.path().join("varied.yaml"), format!("{text}{VARIANTS}")).expect("written");
    let measures = |args: &[&str], out: &str| {
        let mut c = springhouse(dir.path());
        c.args(["compare", "--trials", "50", "--seed", "3", "--quiet", "--out", out]).args(args);
        let (code, words, err) = run(&mut c);
        assert_eq!((code, err.as_str()), (0, ""), "{words}");
        (words, json(&dir.path().join(out), "compare.json"))
    };
    let (words, told) = measures(&["varied.yaml"], "a");
    assert_eq!(told["choices"].as_array().map(Vec::len), Some(2));
    assert_eq!(told["choices"][0]["variant"].as_str(), Some("older milk"));
    assert!(words.contains("Older milk") && words.contains("3 days, not 1 day"), "{words}");
    let (_, files) = measures(&["base.yaml", "other.yaml"], "b");
    assert_eq!(
        told["compared"][0]["measures"]["wasted_part"]["difference"],
        files["compared"][0]["measures"]["wasted_part"]["difference"]
    );
    let (_, one) = measures(&["varied.yaml", "--variant", "Fresher Milk"], "c");
    assert_eq!(one["compared"].as_array().map(Vec::len), Some(1));
    assert_eq!(one["compared"][0]["choice"].as_str(), Some("fresher milk"));
}

#[test]
fn bad_input_is_exit_2_in_one_sentence() {
    let dir = two("age on arrival: 1 day", "age on arrival: 2 days");
    let text = std::fs::read_to_string(dir.path().join("base.yaml")).expect("the scenario");
    let starts = text.lines().find(|l| l.starts_with("starts:")).expect("a start");
    std::fs::write(dir.path().join("late.yaml"), text.replace(starts, "starts: 2027-01-11"))
        .expect("written");
    let lasts = text.lines().find(|l| l.starts_with("lasts:")).expect("a length");
    std::fs::write(dir.path().join("short.yaml"), text.replace(lasts, "lasts: 11 months")).expect("written");
    std::fs::write(dir.path().join("varied.yaml"), format!("{text}{VARIANTS}")).expect("written");
    let cases: [(&[&str], &str); 11] = [
        (&["base.yaml"], "base.yaml has no variants to compare"),
        (&["base.yaml", "--variant", "barn"], "there is no variant `barn`"),
        (&["varied.yaml", "--variant", "fresh milk"], "did you mean `fresher milk`?"),
        (
            &["base.yaml", "other.yaml", "--variant", "barn"],
            "--variant chooses among the variants of one file",
        ),
        (&["base.yaml", "none.yaml"], "there is no file none.yaml"),
        (&["base.yaml", "late.yaml"], "late starts on 2027-01-11"),
        (&["base.yaml", "short.yaml"], "short lasts 334 days"),
        (&["base.yaml", "other.yaml", "--measure", "wasted_prt"], "did you mean wasted_part?"),
        (&["base.yaml", "other.yaml", "--best", "hands_usd"], "did you mean hands_used?"),
        (&["base.yaml", "other.yaml", "--best", "cold_room_wanted"], "there is no best by it"),
        (&["base.yaml", "other.yaml", "--matters", "wasted_part=much"], "expected a number"),
    ];
    for (args, told) in cases {
        let (code, out, err) = run(springhouse(dir.path()).args(["compare", "--quiet"]).args(args));
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(common::joined(&err).contains(told), "{args:?}: {err}");
        assert_eq!(err.matches("error:").count(), 1, "{err}");
        assert!(err.lines().all(|l| l.chars().count() <= 80), "{err}");
    }
    assert!(!dir.path().join("outputs").exists(), "nothing is written for bad input");
}

/// Two fridges of the family's own: room wanted, chilling and electricity stand side by side,
/// and no line is torn or too long.
#[test]
fn the_cold_is_told_side_by_side() {
    let dir = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string("scenarios/which-fridge.yaml").expect("the scenario");
    let text = text.replace(
        "milk fridge: {like: all-fridge 10 cu ft}  ",
        "milk fridge: {like: all-fridge 10 cu ft, uses: 365.25 kWh a year}",
    );
    let text = text.split("\nvariants:").next().expect("a part").to_owned();
    let variants = "\nvariants:\n  small one: {stores: {milk fridge: {like: mini fridge 3 cu ft, uses: 0.5 kWh/day}}}\n  \
                    by room: {stores: {milk fridge: {room: 300 L}}}\n";
    std::fs::write(dir.path().join("farm.yaml"), format!("{text}{variants}prices: {{power: 0.20 $/kWh}}\n"))
        .expect("written");
    let args = ["compare", "farm.yaml", "--trials", "60", "--quiet"];
    let (code, words, err) = run(springhouse(dir.path()).args(args));
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(words.lines().all(|l| l.chars().count() <= 80), "{words}");
    for part in ["Cold room wanted", "9 of 10 runs", "19 of 20 runs", "Chilling", "kept the rule", "kWh"] {
        assert!(words.contains(part), "{part}: {words}");
    }
    let told = json(&dir.path().join("outputs/farm-compare"), "compare.json");
    let measure = |choice: usize, name: &str| told["compared"][choice]["measures"][name].clone();
    // 365.25 kWh a year are one a day; the price of a kWh makes the difference in money.
    let power = measure(0, "energy_used");
    assert_eq!((power["base_mean"].as_f64(), power["mean"].as_f64()), (Some(1.0), Some(0.5)), "{power}");
    let days = told["days"].as_f64().expect("days");
    let house = measure(0, "value_house")["difference"].as_f64().expect("money");
    assert!((house - 0.5 * 0.20 * days).abs() < 3.0, "{house}: some jars break too");
    // A room written over the shelves of a preset is another fridge.
    assert!(measure(1, "cold_room_used")["difference"].as_f64().is_some_and(|d| d != 0.0));
    // Rows of the tables are of one line: no cell begins with what another left over.
    let torn = words.lines().filter(|l| matches!(l.trim(), "%" | "points" | "%  %" | "points %"));
    assert_eq!(torn.count(), 0, "{words}");
    // Nothing is set against itself in the same words.
    for line in words.lines().filter(|l| l.contains(", not ")) {
        let (left, right) = line.split_once(", not ").expect("two sides");
        let last =
            |t: &str, n: usize| t.split_whitespace().rev().take(n).map(str::to_owned).collect::<Vec<_>>();
        let first: Vec<&str> = right.split([':', ';', '.']).next().unwrap_or("").split_whitespace().collect();
        if !first.is_empty() {
            let mut before = last(left, first.len());
            before.reverse();
            assert!(before != first, "{line}");
        }
    }
}

/// From a folder below, the manifest's command finds the file again.
#[test]
fn a_command_is_repeated_from_where_it_was_given() {
    let dir = two("age on arrival: 1 day", "age on arrival: 3 days");
    for (name, from) in [("a", "base.yaml"), ("b", "other.yaml")] {
        std::fs::create_dir(dir.path().join(name)).expect("a folder");
        std::fs::rename(dir.path().join(from), dir.path().join(name).join("farm.yaml")).expect("moved");
    }
    let args = ["compare", "a/farm.yaml", "b/farm.yaml", "--trials", "20", "--seed", "4", "--quiet"];
    let (code, first, err) = run(springhouse(dir.path()).args(args));
    assert_eq!((code, err.as_str()), (0, ""));
    let command = json(&dir.path().join("outputs/farm-compare"), "manifest.json")["command"].clone();
    let command = command.as_str().expect("a command");
    assert!(command.contains("a/farm.yaml") && command.contains("b/farm.yaml"), "{command}");
    let binary = assert_cmd::cargo::cargo_bin!("springhouse").display().to_string();
    let line = command.replacen("springhouse", &format!("'{binary}'"), 1);
    let mut shell = Command::new("sh");
    shell.current_dir(dir.path()).arg("-c").arg(format!("{line} --quiet"));
    let (code, again, err) = run(&mut shell);
    assert_eq!((code, err.as_str()), (0, ""), "{line}");
    assert!(first == again, "{again}");
}

/// Ctrl-C ends a comparison at once: exit 1, what was done is told, nothing is written.
#[cfg(unix)]
#[test]
fn an_interrupted_comparison_writes_nothing() {
    let dir = two("age on arrival: 1 day", "age on arrival: 3 days");
    let text = std::fs::read_to_string(dir.path().join("base.yaml")).expect("the scenario");
    let seedless: String =
        text.lines().filter(|l| !l.starts_with("seed:")).map(|l| format!("{l}\n")).collect();
    std::fs::write(dir.path().join("base.yaml"), seedless).expect("written");
    let mut c = std::process::Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.current_dir(dir.path()).args(["compare", "base.yaml", "other.yaml", "--trials", "200000"]);
    let (code, out, rest) = common::shell::interrupted(&mut c, std::time::Duration::from_millis(300));
    assert_eq!((code, out.as_str()), (Some(1), ""), "{rest}");
    assert!(rest.contains("nothing was written"), "{rest}");
    let left = std::fs::read_dir(dir.path().join("outputs")).map(|d| d.flatten().count()).unwrap_or(0);
    assert_eq!(left, 0);
}
