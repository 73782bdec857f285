//! The house has floors: each uses only those below it.

use std::fs;
use std::path::{Path, PathBuf};

/// Floor of each top-level module; `lib.rs` and `main.rs` stand outside.
const FLOORS: &[(&str, u8)] = &[
    ("dairy", 1),
    ("units", 1),
    ("presets", 1),
    ("calendar", 1),
    ("diagnostics", 1),
    ("scenario", 2),
    ("records", 2),
    ("sim", 3),
    ("study", 4),
    ("report", 5),
    ("cli", 6),
];

/// Words that a floor may not know, and the highest floor that may not.
const FORBIDDEN: &[(&str, u8, &str)] = &[
    ("std::path", 5, "nothing below floor 6 knows a path"),
    ("std::fs", 5, "nothing below floor 6 knows a file"),
    ("std::io::stdout", 5, "nothing below floor 6 knows a terminal"),
    ("std::env", 5, "nothing below floor 6 knows the environment"),
    ("indicatif", 5, "nothing below floor 6 knows a terminal"),
    ("println!", 5, "nothing below floor 6 prints"),
    ("eprintln!", 5, "nothing below floor 6 prints"),
    ("rayon", 3, "nothing below floor 4 knows a thread"),
    ("std::thread", 3, "nothing below floor 4 knows a thread"),
    ("rand::", 2, "nothing below floor 3 knows chance"),
    ("rand_distr", 2, "nothing below floor 3 knows chance"),
];

fn sources(dir: &Path, out: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> =
        fs::read_dir(dir).expect("a readable folder").flatten().map(|e| e.path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn floor_of(module: &str) -> Option<u8> {
    FLOORS.iter().find(|(m, _)| *m == module).map(|&(_, f)| f)
}

/// Code without comments: words in documentation are no use of a floor.
fn code(text: &str) -> String {
    text.lines().map(|l| l.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

#[test]
fn no_floor_uses_one_above() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut wrong = Vec::new();
    let mut seen = 0;
    for file in files {
        let rel = file.strip_prefix(&src).expect("inside src");
        // Tests beside the code may print.
        if rel.file_stem().and_then(|s| s.to_str()).is_some_and(|s| s.ends_with("tests") || s == "fixture") {
            continue;
        }
        let module = rel.iter().next().and_then(|c| c.to_str()).unwrap_or("").trim_end_matches(".rs");
        let Some(floor) = floor_of(module) else { continue };
        seen += 1;
        let text = code(&fs::read_to_string(&file).expect("a readable source"));
        for (at, _) in text.match_indices("crate::") {
            let used: String =
                text[at + 7..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if floor_of(&used).is_some_and(|f| f > floor) {
                wrong.push(format!("{}: floor {floor} uses `{used}`", rel.display()));
            }
        }
        for &(word, highest, why) in FORBIDDEN {
            if floor <= highest && text.contains(word) {
                wrong.push(format!("{}: `{word}`: {why}", rel.display()));
            }
        }
    }
    assert!(seen > 30, "the sources were found");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_has_a_floor() {
    let lib = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).expect("lib.rs");
    for line in lib.lines().filter_map(|l| l.strip_prefix("pub mod ")) {
        let name = line.trim_end_matches(';');
        assert!(floor_of(name).is_some(), "`{name}` has no floor in this test");
    }
}
