//! Completions and manual pages are well-formed and name every command.

use std::io::Write;
use std::process::{Command, Stdio};

/// Every command, as the help lists them.
fn commands() -> Vec<String> {
    let help = printed(&["--help"]);
    let list = help.split("Commands:\n").nth(1).and_then(|t| t.split("\n\n").next()).expect("commands");
    let all: Vec<String> = list
        .lines()
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next().map(str::to_owned))
        .filter(|c| c != "help")
        .collect();
    assert!(all.len() >= 9 && all.contains(&"run".to_owned()), "{all:?}");
    all
}

/// Every long option of a command, as its help lists them.
fn options(command: &str) -> Vec<String> {
    let help = printed(&[command, "--help"]);
    let words =
        help.lines().map(str::trim_start).filter(|l| l.starts_with('-')).flat_map(str::split_whitespace);
    let all: Vec<String> =
        words.filter_map(|w| w.strip_prefix("--")).map(|w| w.trim_end_matches(',').to_owned()).collect();
    assert!(all.iter().any(|o| o == "help"), "{command}: {all:?}");
    all
}

fn printed(args: &[&str]) -> String {
    let out = Command::new(assert_cmd::cargo::cargo_bin!("springhouse")).args(args).output().expect("runs");
    assert!(out.status.success() && out.stderr.is_empty(), "{args:?}");
    String::from_utf8(out.stdout).expect("text")
}

/// What a program says of a text; nothing where there is no such program.
fn judged(program: &str, args: &[&str], text: &str) -> Option<(bool, String)> {
    let mut child = Command::new(program)
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .ok()?;
    child.stdin.take().expect("its input").write_all(text.as_bytes()).expect("it reads");
    let out = child.wait_with_output().expect("its end");
    Some((out.status.success(), String::from_utf8_lossy(&out.stderr).into_owned()))
}

#[test]
fn completions_are_well_formed_and_name_every_command() {
    for (shell, checker) in [
        ("bash", Some(("bash", &["-n"][..]))),
        ("zsh", Some(("zsh", &["-n"][..]))),
        ("fish", Some(("fish", &["--no-execute"][..]))),
        ("powershell", None),
    ] {
        let script = printed(&["completions", shell]);
        for command in commands() {
            assert!(script.contains(&command), "{shell}: {command}");
        }
        for command in commands() {
            for option in options(&command) {
                assert!(script.contains(&option), "{shell}: {command} --{option}");
            }
        }
        if let Some((program, args)) = checker {
            match judged(program, args, &script) {
                Some(judged) => assert_eq!(judged, (true, String::new()), "{shell}"),
                None => println!("{shell} is not here; its script was not read by it"),
            }
        }
    }
    let out = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"))
        .args(["completions", "bsh"])
        .output()
        .expect("runs");
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&out.stderr).contains("bash"));
}

#[test]
fn manual_pages_are_well_formed_and_name_every_command() {
    let dir = tempfile::tempdir().expect("a folder");
    let folder = dir.path().join("man1");
    let out = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"))
        .arg("man")
        .arg(&folder)
        .output()
        .expect("runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let first = std::fs::read_to_string(folder.join("springhouse.1")).expect("the first page");
    assert_eq!(first, printed(&["man"]));
    for command in commands() {
        // A hyphen is written with a backslash in a page.
        assert!(first.replace('\\', "").contains(&format!("springhouse-{command}")), "{command}: {first}");
        let page = std::fs::read_to_string(folder.join(format!("springhouse-{command}.1"))).expect("a page");
        let words = page.replace('\\', "");
        assert!(words.contains(".SH NAME") && words.contains(&format!("springhouse {command}")), "{page}");
        for option in options(&command) {
            assert!(words.contains(&format!("--{option}")), "{command}: --{option}");
        }
    }
    for entry in std::fs::read_dir(&folder).expect("the pages") {
        let path = entry.expect("a page").path();
        let page = std::fs::read_to_string(&path).expect("text");
        assert!(path.extension().is_some_and(|e| e == "1"), "{path:?}: nothing half-written is left");
        match judged("groff", &["-man", "-Tutf8", "-ww", "-z"], &page) {
            Some(judged) => assert_eq!(judged, (true, String::new()), "{path:?}"),
            None => println!("groff is not here; {path:?} was not read by it"),
        }
    }
}

#[test]
fn a_folder_that_cannot_be_written_is_exit_1() {
    let file = tempfile::NamedTempFile::new().expect("a file");
    let out = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"))
        .arg("man")
        .arg(file.path())
        .output()
        .expect("runs");
    assert_eq!(out.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&out.stderr).contains("cannot write"));
}
