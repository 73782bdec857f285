//! The command line: exit codes, streams, files.

mod common;

use std::path::Path;

use assert_cmd::Command;

fn springhouse() -> Command {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(120));
    c
}

/// Exit code, standard output, standard error.
fn outcome(c: &mut Command) -> (i32, String, String) {
    let o = c.output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

fn in_folder(dir: &Path, args: &[&str]) -> (i32, String, String) {
    outcome(springhouse().current_dir(dir).args(args))
}

/// A folder with the starter scenario in it.
fn home() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let (code, starter, _) = in_folder(dir.path(), &["new"]);
    assert_eq!(code, 0);
    std::fs::write(dir.path().join("ours.yaml"), starter).unwrap();
    dir
}

fn names(dir: &Path) -> Vec<String> {
    let mut all: Vec<String> = std::fs::read_dir(dir)
        .map(|d| d.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect())
        .unwrap_or_default();
    all.sort();
    all
}

#[test]
fn help_and_version_are_no_failures() {
    for args in [&["--help"][..], &["-h"], &["--version"], &["help", "run"], &["run", "--help"]] {
        let (code, out, err) = outcome(springhouse().args(args));
        assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
        assert!(!out.is_empty());
        assert!(out.lines().all(|l| l.chars().count() <= 100), "{out}");
    }
}

#[test]
fn bad_arguments_are_exit_2_on_standard_error() {
    let cases: [(&[&str], &str); 9] = [
        (&[], "Usage"),
        (&["runn", "x.yaml"], "run"),
        (&["run"], "SCENARIO"),
        (&["run", "x.yaml", "--trails", "5"], "--trials"),
        (&["run", "x.yaml", "--trials", "0"], "0"),
        (&["run", "x.yaml", "--trials", "1000000000"], "200000"),
        (&["run", "x.yaml", "--seed", "-1"], "seed"),
        (&["run", "x.yaml", "--precise", "2"], "2%"),
        (&["run", "x.yaml", "--steady", "--trials", "5"], "cannot be used"),
    ];
    for (args, part) in cases {
        let (code, out, err) = outcome(springhouse().args(args));
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(part), "{args:?}: {err}");
    }
}

#[test]
fn files_that_are_no_scenarios_are_exit_2() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("big.yaml"), vec![b'a'; 2_000_001]).unwrap();
    std::fs::write(dir.path().join("empty.yaml"), "").unwrap();
    std::fs::write(dir.path().join("latin.yaml"), b"title: K\xe4se\n").unwrap();
    for command in ["check", "run"] {
        for (file, part) in [
            ("none.yaml", "there is no file none.yaml"),
            (".", "is a folder"),
            ("big.yaml", "larger than 2 MB"),
            ("empty.yaml", "empty.yaml"),
            ("latin.yaml", "latin.yaml"),
        ] {
            let (code, out, err) = in_folder(dir.path(), &[command, file]);
            assert_eq!((code, out.as_str()), (2, ""), "{command} {file}: {err}");
            assert!(err.contains("error") && err.contains(part), "{command} {file}: {err}");
        }
    }
    assert!(!dir.path().join("outputs").exists(), "nothing is written on bad input");
}

#[test]
fn list_shows_sources_and_suggests() {
    let (code, out, _) = outcome(springhouse().arg("list"));
    assert_eq!(code, 0);
    assert!(out.contains("breeds: ") && out.contains("jersey"), "{out}");
    let (code, one, _) = outcome(springhouse().args(["list", "breeds", "jersey"]));
    assert_eq!(code, 0);
    assert!(one.contains('[') && one.contains("gives: "), "{one}");
    let (code, _, err) = outcome(springhouse().args(["list", "breeds", "jersy"]));
    assert_eq!(code, 2);
    assert!(err.contains("did you mean jersey?"), "{err}");
    let (code, _, err) = outcome(springhouse().args(["list", "breads"]));
    assert_eq!(code, 2);
    assert!(err.contains("did you mean breeds?"), "{err}");
}

#[test]
fn help_of_new_names_the_file_to_write() {
    let (code, out, _) = outcome(springhouse().args(["new", "--help"]));
    assert_eq!(code, 0);
    assert!(out.contains("springhouse new my-year.yaml"), "{out}");
    let (_, out, _) = outcome(springhouse().arg("--help"));
    assert!(out.contains("springhouse new ours.yaml"), "{out}");
}

#[test]
fn new_never_overwrites() {
    let dir = tempfile::tempdir().unwrap();
    let (code, out, _) = in_folder(dir.path(), &["new", "a.yaml"]);
    assert_eq!((code, out.as_str()), (0, ""));
    let before = std::fs::read(dir.path().join("a.yaml")).unwrap();
    let (code, _, err) = in_folder(dir.path(), &["new", "a.yaml"]);
    assert_eq!(code, 2);
    assert!(err.contains("exists already") && err.contains("give another name"), "{err}");
    assert_eq!(std::fs::read(dir.path().join("a.yaml")).unwrap(), before);
}

#[test]
fn the_starter_passes_its_check() {
    let dir = home();
    let (code, out, err) = in_folder(dir.path(), &["check", "ours.yaml"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.starts_with("Our first cow: understood, no errors"), "{out}");
    assert!(out.contains("Daisy"), "{out}");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    assert!(!out.contains('\u{1b}'), "no colour where there is no terminal");
}

#[test]
fn a_quiet_check_tells_no_warning() {
    let dir = home();
    std::fs::write(
        dir.path().join("warm.yaml"),
        "title: Warm\nstarts: 2027-04-01\nlasts: 2 months\nanimals:\n  - {name: Ida, breed: guernsey, lactation: 2, freshens: 2027-03-12}\n",
    )
    .unwrap();
    let (code, loud, warned) = in_folder(dir.path(), &["check", "warm.yaml"]);
    assert_eq!(code, 0, "{warned}");
    assert!(warned.contains("warning: "), "{warned}");
    let (code, quiet, nothing) = in_folder(dir.path(), &["check", "-q", "warm.yaml"]);
    assert_eq!((code, nothing.as_str(), quiet), (0, "", loud));
}

#[test]
fn a_bad_scenario_shows_its_line() {
    let dir = home();
    let path = dir.path().join("ours.yaml");
    let bad = std::fs::read_to_string(&path).unwrap().replace("breed: jersey", "breed: jersy");
    std::fs::write(&path, bad).unwrap();
    let (code, out, err) = in_folder(dir.path(), &["run", "ours.yaml"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("ours.yaml:") && err.contains("jersey"), "{err}");
    assert_eq!(names(dir.path()), ["ours.yaml"], "nothing is written");
}

#[test]
fn a_run_writes_words_and_files() {
    let dir = home();
    let (code, out, err) = in_folder(dir.path(), &["run", "ours.yaml", "--trials", "20"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.starts_with("Our first cow: 20 simulated runs of 13 months, seed 1\n"), "{out}");
    assert!(out.contains("run it again with --all") && out.contains("Cautions"), "{out}");
    assert!(!out.contains("The books balance"), "{out}");
    assert!(out.lines().count() <= 60, "{out}");
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    assert!(!out.contains('\u{1b}') && !err.contains('\u{1b}'));
    assert!(err.contains("No seed was given, so seed 1 was used"), "{err}");
    let folder = dir.path().join("outputs/ours");
    assert_eq!(
        names(&folder),
        ["days.csv", "flows.csv", "manifest.json", "report.html", "rules.csv", "summary.json", "trials.csv"]
    );
    assert_eq!(names(&dir.path().join("outputs")), ["ours"], "nothing half-written is left");
    let (code, all, _) = in_folder(dir.path(), &["run", "ours.yaml", "--trials", "20", "--all"]);
    assert_eq!(code, 0);
    assert!(all.contains("The books balance") && all.contains("Cautions"), "{all}");
    assert!(all.lines().all(|l| l.chars().count() <= 80), "{all}");
    assert!(all.lines().count() > out.lines().count() + 50, "{all}");
    let manifest = std::fs::read_to_string(folder.join("manifest.json")).unwrap();
    assert!(!manifest.contains(&*dir.path().to_string_lossy()), "no path: {manifest}");
    assert!(manifest.contains("\"affects_results\": false"), "{manifest}");
}

#[test]
fn svg_writes_the_pictures_too_and_the_next_run_takes_them_away() {
    let dir = home();
    let folder = dir.path().join("outputs/ours");
    let run = ["run", "ours.yaml", "--trials", "20", "--quiet"];
    let (code, _, err) = in_folder(dir.path(), &[&run[..], &["--svg"]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    let pictures = |names: &[String]| names.iter().filter(|n| n.ends_with(".svg")).count();
    let listed = names(&folder);
    assert!(pictures(&listed) >= 6 && listed.contains(&"picture-milk.svg".to_string()), "{listed:?}");
    let manifest = std::fs::read_to_string(folder.join("manifest.json")).unwrap();
    assert!(listed.iter().all(|n| n == "manifest.json" || manifest.contains(n.as_str())), "{manifest}");
    assert_eq!(in_folder(dir.path(), &run).0, 0);
    assert_eq!(pictures(&names(&folder)), 0);
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_threads_do_not_matter() {
    let dir = home();
    for (out, threads) in [("a", "1"), ("b", "3")] {
        let args = [
            "run",
            "ours.yaml",
            "--trials",
            "30",
            "--seed",
            "5",
            "--threads",
            threads,
            "--out",
            out,
            "--quiet",
        ];
        let (code, _, err) = in_folder(dir.path(), &args);
        assert_eq!((code, err.as_str()), (0, ""));
    }
    for file in ["summary.json", "days.csv", "trials.csv", "flows.csv", "rules.csv"] {
        let read = |f: &str| std::fs::read(dir.path().join(f).join(file)).unwrap();
        assert!(read("a") == read("b"), "{file}");
    }
}

#[test]
fn json_goes_to_standard_output_and_is_the_file() {
    let dir = home();
    let args = ["run", "-", "--trials", "10", "--seed", "3", "--format", "json", "--out", "o"];
    let text = std::fs::read(dir.path().join("ours.yaml")).unwrap();
    let (code, out, err) = outcome(springhouse().current_dir(dir.path()).args(args).write_stdin(text));
    assert_eq!(code, 0, "{err}");
    assert_eq!(out.as_bytes(), std::fs::read(dir.path().join("o/summary.json")).unwrap());
    let v: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((v["seed"].as_u64(), v["trials"].as_u64()), (Some(3), Some(10)));
    assert!(v["measures"]["wasted_part"]["p95"].is_number());
    let parts: f64 = v["fates"].as_array().unwrap().iter().filter_map(|f| f["part"].as_f64()).sum();
    assert!((parts - 1.0).abs() < 1e-6, "all the milk went somewhere: {parts}");
}

#[test]
fn an_output_that_cannot_be_is_exit_1_before_the_run() {
    let dir = home();
    std::fs::write(dir.path().join("file"), "mine").unwrap();
    std::fs::create_dir(dir.path().join("mine")).unwrap();
    std::fs::write(dir.path().join("mine/letter.txt"), "dear").unwrap();
    // So many years would take minutes: the answer comes before the run.
    for (out, part) in
        [("file", "is a file"), ("mine", "--force"), (".", "holds the scenario"), ("file/x", "cannot")]
    {
        let args = ["run", "ours.yaml", "--trials", "200000", "--out", out];
        let (code, stdout, err) = in_folder(dir.path(), &args);
        assert_eq!((code, stdout.as_str()), (1, ""), "{out}: {err}");
        assert!(err.contains(part), "{out}: {err}");
    }
    assert_eq!(names(&dir.path().join("mine")), ["letter.txt"]);
    let (code, _, err) =
        in_folder(dir.path(), &["run", "ours.yaml", "--trials", "2", "--out", "mine", "--force"]);
    assert_eq!(code, 0, "{err}");
    assert!(names(&dir.path().join("mine")).contains(&"manifest.json".to_string()));
}

#[test]
fn strict_and_steady() {
    let dir = home();
    let path = dir.path().join("ours.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (aims, _) = text.split_once("aims:").unwrap();
    // Nobody keeps this aim: a tenth of a percent is lost to one kicked pail.
    let hard = format!("{aims}aims:\n  - {{measure: waste, below: 0.1 %, in: 19 of 20 years}}\n");
    std::fs::write(dir.path().join("hard.yaml"), hard).unwrap();
    let args = ["run", "hard.yaml", "--trials", "60", "--no-remedies", "--quiet"];
    assert_eq!(in_folder(dir.path(), &args).0, 0);
    assert_eq!(in_folder(dir.path(), &[&args[..], &["--strict"]].concat()).0, 1);
    let (code, out, err) =
        in_folder(dir.path(), &["run", "ours.yaml", "--steady", "--units", "metric", "--all"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.starts_with("Our first cow: the average run, no chance anywhere"), "{out}");
    assert!(out.contains(" kg") && !out.contains(" gal ") && !out.contains(" lb"), "{out}");
}

#[cfg(unix)]
#[test]
fn a_reader_who_leaves_is_no_error() {
    for args in [&["list", "breeds"][..], &["schema"], &["new"], &["check", "scenarios/first-cow.yaml"]] {
        common::shell::may_lose_its_reader(args);
    }
}

#[test]
fn colour_is_a_choice() {
    let run = |args: &[&str], no_color: bool| {
        let mut c = springhouse();
        if no_color {
            c.env("NO_COLOR", "1");
        }
        outcome(c.args(args)).1
    };
    assert!(run(&["list", "--color", "always"], false).contains('\u{1b}'));
    assert!(!run(&["list"], true).contains('\u{1b}'));
    assert!(!run(&["list", "--color", "never"], false).contains('\u{1b}'));
}
