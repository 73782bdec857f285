//! Every constant of the model and where it comes from, in one place.
//!
//! Every constant of the program that holds a figure is read from the source with the comment
//! over it. One fails whose comment names no publication with its year nor bears a mark of
//! `tests/common/traced.rs`; those of the program itself (bounds, steps, sizes on a page) may
//! stand in `tests/common/told.rs` instead. All of them make `docs/constants.md`, which must be
//! what the source says (`UPDATE_CONSTANTS=1` writes it). Figures written out inside a function
//! are not seen.

#[path = "common/told.rs"]
mod told;
#[path = "common/traced.rs"]
mod traced;

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use told::{TOLD, told};
use traced::is_traced;

const ROOMS: [&str; 9] = [
    "src/dairy",
    "src/sim",
    "src/scenario",
    "src/study",
    "src/records",
    "src/units",
    "src/calendar.rs",
    "src/report",
    "src/cli",
];
const PAGE: &str = "docs/constants.md";
const TESTS: &str = "#[cfg(test)]";

/// A constant of the source.
struct Constant {
    file: String,
    name: String,
    value: String,
    comment: String,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files(room: &Path, all: &mut Vec<PathBuf>) {
    if room.is_file() {
        all.push(room.to_owned());
        return;
    }
    for entry in std::fs::read_dir(room).expect("a room") {
        let path = entry.expect("an entry").path();
        if path.is_dir() || path.extension().is_some_and(|e| e == "rs") {
            files(&path, all);
        }
    }
}

/// The modules of a file that only tests are built with.
fn tests_of(path: &Path, text: &str) -> Vec<PathBuf> {
    let mut lines = text.lines().map(str::trim);
    let mut names = Vec::new();
    while let Some(line) = lines.next() {
        if line == TESTS {
            let next = lines.find(|l| !l.starts_with("#["));
            names.extend(next.and_then(|l| l.strip_prefix("mod ")?.strip_suffix(';')));
        }
    }
    let is_room = ["mod.rs", "lib.rs", "main.rs"].iter().any(|n| path.ends_with(n));
    let room = if is_room { path.with_file_name("") } else { path.with_extension("") };
    names.into_iter().flat_map(|n| [room.join(n), room.join(format!("{n}.rs"))]).collect()
}

/// The name, type and value of a constant that a line begins.
fn declared(line: &str) -> Option<(&str, &str)> {
    let rest = line.trim_start();
    let rest = match rest.strip_prefix("pub") {
        Some(rest) if rest.starts_with('(') => rest.split_once(") ")?.1,
        Some(rest) => rest.trim_start(),
        None => rest,
    };
    let rest = rest.strip_prefix("const ").or_else(|| rest.strip_prefix("static "))?;
    let (name, rest) = rest.split_once(':')?;
    let named = name.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '_');
    named.then_some((name, rest.trim()))
}

/// A line without what stands in quotes, and the words of a comment at its end. Quotes may
/// run on from the line before.
fn code_and_comment<'a>(line: &'a str, quoted: &mut bool) -> (String, &'a str) {
    let (mut code, mut before) = (String::new(), ' ');
    for (at, c) in line.char_indices() {
        match c {
            '"' if before != '\\' => *quoted = !*quoted,
            '/' if !*quoted && before == '/' => {
                code.pop();
                return (code, line[at + 1..].trim());
            }
            _ if !*quoted => code.push(c),
            _ => {}
        }
        before = if before == '\\' { ' ' } else { c };
    }
    (code, "")
}

/// The constants of a source text that hold a figure. One without a comment of its own that
/// stands right under another shares its comment; one inside a function has the function's.
fn constants(file: &str, text: &str) -> Vec<Constant> {
    let (mut comment, mut under, mut after, mut all) = (String::new(), false, false, Vec::new());
    let mut around = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let line_text = line.trim();
        if line_text == TESTS {
            // A module of tests that stands here ends with the file's next brace in its column.
            let next = lines.find(|l| !l.trim().starts_with("#[")).unwrap_or_default();
            if next.ends_with('{') {
                let indent = &next[..next.len() - next.trim_start().len()];
                lines.find(|l| l.strip_prefix(indent) == Some("}"));
            }
            (under, after) = (false, false);
            continue;
        }
        if let Some(words) = line_text.strip_prefix("///").or_else(|| line_text.strip_prefix("// ")) {
            if !under {
                comment.clear();
            }
            (under, after) = (true, false);
            let _ = write!(comment, "{} ", words.trim());
            continue;
        }
        let Some((name, rest)) = declared(line) else {
            if line_text.contains("fn ") || line_text.starts_with("impl") {
                around = if under { comment.clone() } else { String::new() };
            }
            under &= line_text.starts_with("#[");
            after = false;
            continue;
        };
        if !under && !after {
            comment = if line.starts_with(' ') { around.clone() } else { String::new() };
        }
        (under, after) = (false, true);
        let (mut whole, mut bare, mut more, mut quoted) = (String::new(), String::new(), rest, false);
        loop {
            let (code, words) = code_and_comment(more, &mut quoted);
            whole += more.trim().strip_suffix(words).unwrap_or(more).trim_end_matches("// ").trim();
            bare += code.trim();
            if !words.is_empty() {
                let _ = write!(comment, "{words} ");
            }
            let count = |all: &str| bare.chars().filter(|c| all.contains(*c)).count();
            if bare.ends_with(';') && count("([{") == count(")]}") {
                break;
            }
            let Some(next) = lines.next() else { break };
            more = next.trim();
            whole.push(' ');
            bare.push(' ');
        }
        let value =
            |s: &str| s.split_once(" = ").map_or("", |(_, v)| v).trim_end_matches(';').trim().to_owned();
        // Figures of its own, and not the digits of another's name, nor of words.
        let bare = value(&bare);
        let words = bare.split(|c: char| !c.is_alphanumeric() && c != '_');
        if words.into_iter().any(|w| w.starts_with(|c: char| c.is_ascii_digit())) {
            let comment = comment.trim().to_owned();
            all.push(Constant {
                file: file.to_owned(),
                name: name.to_owned(),
                value: value(&whole),
                comment,
            });
        }
    }
    all
}

fn every() -> Vec<Constant> {
    let mut paths = Vec::new();
    for room in ROOMS {
        files(&root().join(room), &mut paths);
    }
    paths.sort();
    let read = |p: &PathBuf| std::fs::read_to_string(p).expect("a source file");
    let all: Vec<(PathBuf, String)> = paths.iter().map(|p| (p.clone(), read(p))).collect();
    let tests: Vec<PathBuf> = all.iter().flat_map(|(p, text)| tests_of(p, text)).collect();
    let built = all.iter().filter(|(p, _)| !tests.iter().any(|t| p.starts_with(t)));
    built
        .flat_map(|(path, text)| {
            let file = path.strip_prefix(root()).unwrap_or(path).to_string_lossy().into_owned();
            constants(&file, text)
        })
        .collect()
}

/// The comment of a constant, and that of the one it points to: "See [`OTHER`]".
fn whole_comment(c: &Constant, all: &[Constant]) -> String {
    let other = c.comment.split_once("See [`").and_then(|(_, rest)| Some(rest.split_once("`]")?.0));
    let other = other.and_then(|name| all.iter().find(|o| o.file == c.file && o.name == name));
    other.map_or_else(|| c.comment.clone(), |o| format!("{} {}", c.comment, o.comment))
}

#[test]
fn every_constant_names_its_source() {
    let all = every();
    assert!(all.len() > 400, "only {} constants were found", all.len());
    let speaks = |c: &Constant| is_traced(&whole_comment(c, &all));
    let silent: Vec<String> = all
        .iter()
        .filter(|c| !speaks(c) && told(&c.file, &c.name).is_none())
        .map(|c| format!("{} {} = {} ({})", c.file, c.name, c.value, c.comment))
        .collect();
    assert!(
        silent.is_empty(),
        "these constants do not say where they come from; say it in the comment over each:\n{}",
        silent.join("\n")
    );
    let named = TOLD.iter().flat_map(|(file, names, _)| names.iter().map(move |n| (*file, *n)));
    let stale: Vec<(&str, &str)> = named
        .filter(|(file, name)| all.iter().all(|c| c.file != *file || c.name != *name || speaks(c)))
        .collect();
    assert!(stale.is_empty(), "told for nothing, gone or saying it themselves: {stale:?}");
    let vague: Vec<&str> = TOLD.iter().map(|t| t.2).filter(|source| !is_traced(source)).collect();
    assert!(vague.is_empty(), "no sources: {vague:?}");
}

#[test]
fn a_constant_without_a_source_is_noticed() {
    assert!(!is_traced("Hours that milk rests."));
    assert!(is_traced("Hours that milk rests (our default)."));
    assert!(is_traced("Hours that milk rests (Frederiksen 1919)."));
    assert!(is_traced("Worked out from two temperatures."), "also at the beginning");
    assert!(!is_traced("Most of 1024 jars."), "a number is no year");
    assert!(!is_traced("Surroundings for which it is stated, °C."), "`rounding` inside a word");
    assert!(!is_traced("Small steps (author and year not known to us)."));
    assert!(!is_traced("Hardly at all."));
}

#[test]
fn every_constant_of_a_file_is_read() {
    let text = "//! A file.
#[cfg(test)]
mod tests;

/// Hours that milk rests (our default).
pub(in crate::dairy) const RESTS_H: f64 = 2.0; // at 4 °C
const LIKE_IT: f64 = 3.0;

const ALONE: [f64; 2] = [
    1.0, // Kessler 1981
    2.0,
];
const WORDS: [&str; 2] = [\"a2\", \"3\"];
const PAGE: &str = \"1 \\
    2\";

/// Of a function (from memory).
fn rests() {
    // Said before.
    let a = 1;
    const INSIDE: u8 = 4;
}

#[cfg(test)]
mod inline {
    const NOT_BUILT: u8 = 5;
}

static LAST: u8 = 6;
";
    let all = constants("a.rs", text);
    let names: Vec<&str> = all.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["RESTS_H", "LIKE_IT", "ALONE", "INSIDE", "LAST"]);
    assert_eq!(all[0].comment, "Hours that milk rests (our default). at 4 °C");
    assert_eq!((all[0].value.as_str(), all[1].comment == all[0].comment), ("2.0", true));
    assert_eq!((all[2].value.as_str(), all[2].comment.as_str()), ("[ 1.0, 2.0, ]", "Kessler 1981"));
    assert_eq!(all[3].comment, "Of a function (from memory).");
    assert_eq!(all[4].comment, "", "nothing is taken from far above");
    let tests = tests_of(Path::new("src/dairy/cooling.rs"), text);
    assert!(tests.contains(&PathBuf::from("src/dairy/cooling/tests.rs")), "{tests:?}");
    assert_eq!(tests_of(Path::new("src/sim/mod.rs"), text)[1], Path::new("src/sim/tests.rs"));
    assert_eq!(declared("    pub(crate) const A_B: f64 = 2.0;"), Some(("A_B", "f64 = 2.0;")));
    assert_eq!(declared("const fn a() -> u8 {"), None);
    // What once was not seen: it stands under a module of tests.
    let all = every();
    for (file, name) in [("src/dairy/cooling.rs", "MARK_10C"), ("src/sim/herd.rs", "LEAST_PART")] {
        assert!(all.iter().any(|c| c.file == file && c.name == name), "{file}: {name}");
    }
}

#[test]
fn the_page_of_constants_is_up_to_date() {
    let mut all = every();
    let mut page = String::from(
        "# Constants\n\nMade from the source by `UPDATE_CONSTANTS=1 cargo test --test constants`; not by hand.\n\
         Figures that a family can change stand in `presets/`, each with its source beside it.\n",
    );
    // By room and name, so that moving one from file to file changes nothing here.
    let room = |c: &Constant| ROOMS.into_iter().find(|r| c.file.starts_with(r)).unwrap_or_default();
    all.sort_by(|a, b| (room(a), &a.name, &a.value).cmp(&(room(b), &b.name, &b.value)));
    let mut here = "";
    for c in &all {
        if room(c) != here {
            here = room(c);
            let _ = write!(
                page,
                "\n## `{here}`\n\n| constant | value | what it is, and its source |\n| --- | --- | --- |\n"
            );
        }
        let told = if is_traced(&whole_comment(c, &all)) { None } else { told(&c.file, &c.name) };
        let words = [c.comment.as_str(), told.unwrap_or_default()];
        let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
        let clean = |s: &str| s.replace('|', "/");
        let _ =
            writeln!(page, "| `{}` | `{}` | {} |", c.name, clean(&c.value), clean(&words.join(" Source: ")));
    }
    let path = root().join(PAGE);
    if std::env::var_os("UPDATE_CONSTANTS").is_some() {
        std::fs::write(path, page).expect("the page is written");
        return;
    }
    let stands = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        stands == page,
        "{PAGE} is not what the source says; UPDATE_CONSTANTS=1 cargo test --test constants writes it anew"
    );
}
