//! Every command that the documentation shows is understood, and names fields that exist.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Years that are simulated here, where the text has its own number or none.
const FEW: &str = "10";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The README and the pages of `docs/`.
fn pages() -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = fs::read_dir(root().join("docs"))
        .expect("the pages")
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|x| x == "md"))
        .collect();
    all.push(root().join("README.md"));
    all.sort();
    all
}

/// The words of a line as a shell has them: blanks part them, double quotes hold them
/// together, a `#` after a blank begins a remark.
fn words(line: &str) -> Vec<String> {
    let (mut all, mut word, mut quoted, mut open) = (Vec::new(), String::new(), false, false);
    for c in line.chars() {
        match c {
            '"' => (quoted, open) = (!quoted, true),
            '#' if !quoted && word.is_empty() => break,
            c if c.is_whitespace() && !quoted => {
                if open || !word.is_empty() {
                    all.push(std::mem::take(&mut word));
                }
                open = false;
            }
            c => word.push(c),
        }
    }
    if open || !word.is_empty() {
        all.push(word);
    }
    all
}

/// The arguments of every command in a page: the lines that begin with it, and what stands
/// between two backticks.
fn commands(text: &str) -> Vec<Vec<String>> {
    let joined = text.replace("\\\n", " ");
    let lines = joined.lines().map(str::trim);
    let inline = joined.lines().flat_map(|l| l.split('`').skip(1).step_by(2));
    lines
        .chain(inline)
        .filter_map(|l| {
            let l = l.strip_prefix("$ ").unwrap_or(l);
            l.strip_prefix("springhouse ").or_else(|| l.strip_prefix("cargo run --release -- "))
        })
        .map(words)
        // In a table of commands SCENARIO or FILE stands for any.
        .filter(|w| !w.iter().any(|w| w.len() > 2 && w.chars().all(|c| c.is_ascii_uppercase())))
        .collect()
}

/// Runs it; whether it ended well, and what it said of errors.
fn springhouse(dir: &Path, args: &[String]) -> (bool, String) {
    let ran = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"))
        .current_dir(dir)
        .args(args)
        .output()
        .expect("the binary");
    (ran.status.success(), String::from_utf8_lossy(&ran.stderr).into_owned())
}

#[test]
fn every_command_in_the_documentation_works() {
    let out = tempfile::tempdir().expect("a folder");
    let (mut seen, mut done) = (Vec::new(), 0);
    for page in pages() {
        let text = fs::read_to_string(&page).expect("text");
        for mut args in commands(&text) {
            if seen.contains(&args) || args.is_empty() {
                continue;
            }
            seen.push(args.clone());
            let said = args.join(" ");
            // Files of the reader's own are not there: then only the options are looked at.
            let file = |a: &&mut String| a.ends_with(".yaml") || a.ends_with(".csv");
            let mut all_there = true;
            for arg in args.iter_mut().filter(file) {
                let path = root().join(&*arg);
                all_there &= path.is_file();
                if path.is_file() {
                    *arg = path.to_string_lossy().into_owned();
                }
            }
            if let Some(i) = args.iter().position(|a| a == "--trials") {
                args.drain(i..(i + 2).min(args.len()));
            }
            if args[0] == "size" && all_there {
                // Sizing takes its thousand years: here its options are read, and its field
                // and values are tried by a sweep.
                let mut elsewhere = args.clone();
                elsewhere[1] = "not-there.yaml".to_string();
                let err = springhouse(out.path(), &elsewhere).1;
                assert!(err.contains("not-there.yaml") && !err.contains("Usage:"), "{said}\n{err}");
                args[0] = "sweep".to_string();
                args.retain(|a| a != "--largest" && a != "--smallest");
                // Several fields share one value there, and each has its own here.
                let fields: Vec<usize> = (0..args.len()).filter(|&i| args[i] == "--vary").collect();
                for &i in fields.iter().skip(1).rev() {
                    args.drain(i..(i + 2).min(args.len()));
                }
            }
            if matches!(args[0].as_str(), "run" | "compare" | "sweep" | "trace") {
                args.extend(["--trials".to_string(), FEW.to_string()]);
            }
            if args[0] == "run" {
                args.push("--no-remedies".to_string());
            }
            let (ok, err) = springhouse(out.path(), &args);
            let at = format!("{page:?}: springhouse {said}\n{err}");
            assert!(!err.contains("Usage:"), "{at}");
            if all_there {
                assert!(ok, "{at}");
                done += 1;
            }
        }
    }
    assert!(done >= 15, "only {done} commands were found");
}

#[test]
fn a_line_is_parted_as_a_shell_does() {
    let line = r#"size a.yaml --vary "jars.half gallon" --over "" # few"#;
    assert_eq!(words(line), ["size", "a.yaml", "--vary", "jars.half gallon", "--over", ""]);
    let text = "    springhouse run a.yaml \\\n      --all\nor `springhouse list`, `run FILE`, `springhouse learn LOG`";
    assert_eq!(commands(text), [vec!["run", "a.yaml", "--all"], vec!["list"]]);
}
