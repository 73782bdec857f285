//! `jar` at the command line: what it prints, and how it refuses.

mod common;

use assert_cmd::Command;

fn jar(args: &[&str]) -> (i32, String, String) {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(60));
    let o = c.arg("jar").args(args).output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

fn json(args: &[&str]) -> serde_json::Value {
    let (code, out, err) = jar(&[args, &["--format", "json"]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    serde_json::from_str(&out).unwrap()
}

#[test]
fn a_jar_with_a_wish_is_drawn_before_and_after() {
    let (code, out, err) = jar(&["--animal", "jersey", "--leave", "3 % fat"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for part in [
        "Jersey: cow milk of 5.18 % fat, 24 h at 38 °F, in a half-gallon jar",
        "skim to",
        "skimmed",
        "the milk keeps 3 % fat",
        "butter",
        "21 CFR 131",
    ] {
        assert!(out.contains(part), "{part}:\n{out}");
    }
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
}

#[test]
fn without_a_wish_there_is_a_table() {
    let (code, out, _) = jar(&["--animal", "guernsey", "--units", "metric", "--jar", "quart"]);
    assert_eq!(code, 0);
    for part in ["How deep to skim", "all down to the line", "mm", "mL", "butter a L"] {
        assert!(out.contains(part), "{part}:\n{out}");
    }
}

#[test]
fn lean_milk_has_nothing_to_skim() {
    let (code, out, _) = jar(&["--fat", "2.5 %", "--leave", "3 %"]);
    assert_eq!(code, 0);
    assert!(out.contains("Nothing to skim: the milk holds 2.5 % fat"), "{out}");
    let v = json(&["--fat", "2.5 %", "--leave", "3 %"]);
    assert_eq!((v["unmet"].as_str(), v["wished"].is_null()), (Some("nothing_to_skim"), true));
}

/// The layer of 5 % milk fills 20.5 % of the jar at 24 h and 4 °C ("The volume
/// of the cream layers forming on Holstein and Jersey milk", Journal of Dairy
/// Science abstract); and what is printed balances.
#[test]
fn json_balances() {
    let v = json(&["--fat", "5 %", "--at", "4 C", "--leave", "3.25 %"]);
    let n = |v: &serde_json::Value| v.as_f64().unwrap();
    let (line, deep) = (n(&v["cream"]["line_m"]), n(&v["jar"]["milk_deep_m"]));
    assert!((line / deep - 0.205).abs() < 0.001);
    let w = &v["wished"];
    let kg = n(&w["cream_kg"]) + n(&w["milk_left_kg"]);
    assert!((kg - n(&v["milk"]["kg"])).abs() < 1e-9);
    let fat = n(&w["cream_kg"]) * n(&w["cream_fat"]) + n(&w["milk_left_kg"]) * n(&w["milk_left_fat"]);
    assert!((fat - 0.05 * n(&v["milk"]["kg"])).abs() < 1e-9);
    assert!((n(&w["milk_left_fat"]) - 0.0325).abs() < 1e-9);
}

#[test]
fn a_scenario_brings_its_own_animals_and_jars() {
    let (code, out, err) = jar(&["scenarios/first-cow.yaml"]);
    assert_eq!((code, err.as_str()), (0, ""));
    // As `check` says of her ordinary lactation; her curve goes on after that.
    assert!(out.starts_with("Clover: cow milk of 4.9"), "{out}");
    let (code, _, err) = jar(&["scenarios/first-cow.yaml", "--animal", "Clovr"]);
    assert_eq!(code, 2);
    assert!(common::joined(&err).contains("did you mean Clover?"), "{err}");
    let (code, out, _) = jar(&["scenarios/two-does.yaml", "--jar", "quart", "--animal", "nobody"]);
    assert_eq!((code, out.as_str()), (2, ""));
}

#[test]
fn bad_input_is_exit_2_in_one_sentence() {
    let cases: [(&[&str], &str); 11] = [
        (
            &[],
            "error: whose milk? Name a breed (--animal jersey), its fat (--fat \"4.8 %\"), or a scenario file",
        ),
        (&["--animal", "gernsey"], "error: there is no breed called gernsey; did you mean guernsey?"),
        (&["--fat", "5 %", "--jar", "galon"], "error: there is no jar called galon; did you mean gallon?"),
        (&["--fat", "5 %", "--grade", "hevy"], "error: there is no grade called hevy; did you mean heavy?"),
        (
            &["--fat", "5 %", "--species", "gota"],
            "error: there is no species called gota; did you mean goat?",
        ),
        (&["--fat", "60 %"], "error: --fat 60 %: write the fat of milk, from 0.1 to 20 %"),
        (
            &["--fat", "5 %", "--leave", "90 %"],
            "error: --leave 90 %: write fat that milk can hold, up to 20 %",
        ),
        (&["--fat", "5 %", "--at", "200 F"], "--at 200 F"),
        (&["--fat", "5 %", "--hours", "30 days"], "error: --hours 30 days: write a time up to 10 days"),
        (&["--fat", "5 %", "--leave", "3 %", "--grade", "heavy"], "cannot be used with"),
        (&["--fat", "five"], "error: --fat five:"),
    ];
    for (args, part) in cases {
        let (code, out, err) = jar(args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(common::joined(&err).contains(part), "{args:?}: {err}");
    }
}

#[test]
fn no_colour_where_none_is_wanted() {
    common::shell::obeys_no_color(&["jar", "--animal", "jersey"]);
}

#[cfg(unix)]
#[test]
fn a_reader_who_leaves_is_no_error() {
    for format in ["words", "json"] {
        common::shell::may_lose_its_reader(&["jar", "--animal", "jersey", "--format", format]);
    }
}
