//! Every constant of the model and where it comes from, in one place.
//!
//! The constants of the science, of the simulation and of the defaults that a scenario leaves
//! out are read from the source with the comment over each. One that names no source fails,
//! as does one that is neither marked "common practice", "from memory", "our default",
//! "worked out", a definition, nor a bound of the program. All of them make
//! `docs/constants.md`, which must be what the source says (`UPDATE_CONSTANTS=1` writes it).

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

const ROOMS: [&str; 3] = ["src/dairy", "src/sim", "src/scenario/check"];
const PAGE: &str = "docs/constants.md";

/// What counts as telling where a figure comes from, beside the year of a publication.
const MARKS: [&str; 20] = [
    "our default",
    "from memory",
    "common practice",
    "worked out",
    "exact",
    "our model",
    "CFR",
    "Ordinance",
    "advice",
    "a definition",
    "physical constant",
    "a bound of the program",
    "a step of the program",
    "rounding",
    "USDA",
    "author",
    "Guelph",
    "Goff",
    "Extension",
    "Kessler",
];

/// Where the constants come from whose own comment does not say.
const TOLD: [(&str, &str); 24] = [
    ("BLOCKS", "a bound of the program: a count"),
    ("COUNTER", "a bound of the program: a place"),
    ("CRUMB", "rounding"),
    ("DAY_MEASURES", "a bound of the program: a count"),
    ("FATES", "a bound of the program: a count"),
    ("FROZEN_L_PER_KG", "worked out"),
    ("LEAST_CHANCE", "rounding"),
    ("MIDDLE", "21 CFR 131.155"),
    ("MILKING_HOURS", "our default"),
    ("MOST_FILM", "our default"),
    ("MOST_FIRINGS", "a bound of the program"),
    ("MOST_LOST", "our default"),
    ("NEAR_K", "our default"),
    ("ROUNDS", "a step of the program"),
    ("SERVED", "our default"),
    ("SLACK", "rounding"),
    ("SOURCES", "a bound of the program: a count"),
    ("STEPS", "a step of the program"),
    ("TOP", "21 CFR 131.157"),
    ("UNFED", "our default"),
    ("WARM_DAYS", "our default"),
    ("ZERO", "a definition"),
    ("NONE", "a definition"),
    ("MOST", "a bound of the program"),
];

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

fn files(dir: &Path, all: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(dir).expect("a room") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        if path.is_dir() {
            files(&path, all);
        } else if name.ends_with(".rs")
            && !["tests.rs", "fixture.rs", "fates.rs"].iter().any(|t| name.ends_with(t))
        {
            all.push(path);
        }
    }
}

/// The name, type and value of a constant that a line begins.
fn declared(line: &str) -> Option<(&str, &str)> {
    let rest = line.trim_start();
    let rest = match rest.strip_prefix("pub") {
        Some(rest) => rest.trim_start_matches(|c: char| c != ' ').trim_start(),
        None => rest,
    };
    let (name, rest) = rest.strip_prefix("const ")?.split_once(':')?;
    let named = name.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '_');
    named.then_some((name, rest.trim()))
}

/// The constants of a file that hold a figure. One without a comment of its own that stands
/// right under another shares its comment; one inside a function has the function's.
fn constants(path: &Path) -> Vec<Constant> {
    let text = std::fs::read_to_string(path).expect("a source file");
    let file = path.strip_prefix(root()).unwrap_or(path).to_string_lossy().into_owned();
    let (mut comment, mut under, mut after, mut all) = (String::new(), false, false, Vec::new());
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let line_text = line.trim();
        if line_text == "#[cfg(test)]" {
            break;
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
            under &= line_text.starts_with("#[");
            after = false;
            continue;
        };
        let shared = after || line.starts_with(' ');
        if !under && !shared {
            comment.clear();
        }
        (under, after) = (false, true);
        let mut whole = rest.to_owned();
        while !whole.ends_with(';') {
            let Some(more) = lines.next() else { break };
            let _ = write!(whole, " {}", more.trim());
        }
        let value = whole.split_once('=').map_or("", |(_, v)| v).trim().trim_end_matches(';').to_owned();
        let is_text = value.starts_with('"') || whole.starts_with("&str");
        // Figures of its own, and not the digits of another's name.
        let words = value.split(|c: char| !c.is_alphanumeric() && c != '_');
        let holds_figures = words.into_iter().any(|w| w.starts_with(|c: char| c.is_ascii_digit()));
        if holds_figures && !is_text {
            let comment = comment.trim().to_owned();
            all.push(Constant { file: file.clone(), name: name.to_owned(), value, comment });
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
    paths.iter().flat_map(|p| constants(p)).collect()
}

/// Something that reads as the year of a publication.
fn names_a_year(comment: &str) -> bool {
    let years = comment.split(|c: char| !c.is_ascii_digit());
    years.filter(|w| w.len() == 4).filter_map(|w| w.parse::<u32>().ok()).any(|y| (1840..2045).contains(&y))
}

fn is_traced(comment: &str) -> bool {
    names_a_year(comment) || MARKS.iter().any(|m| comment.contains(m))
}

fn told(name: &str) -> Option<&'static str> {
    TOLD.iter().find(|t| t.0 == name).map(|t| t.1)
}

#[test]
fn every_constant_names_its_source() {
    let all = every();
    assert!(all.len() > 120, "only {} constants were found", all.len());
    let silent: Vec<String> = all
        .iter()
        .filter(|c| !is_traced(&c.comment) && told(&c.name).is_none())
        .map(|c| format!("{} {} = {} ({})", c.file, c.name, c.value, c.comment))
        .collect();
    assert!(
        silent.is_empty(),
        "these constants do not say where they come from; say it in the comment over each:\n{}",
        silent.join("\n")
    );
    let speaks = |name: &str| all.iter().any(|c| c.name == name && !is_traced(&c.comment));
    let stale: Vec<&str> = TOLD.iter().map(|t| t.0).filter(|name| !speaks(name)).collect();
    assert!(stale.is_empty(), "told for nothing, gone or saying it themselves: {stale:?}");
}

#[test]
fn a_constant_without_a_source_is_noticed() {
    assert!(!is_traced("Hours that milk rests."));
    assert!(is_traced("Hours that milk rests (our default)."));
    assert!(is_traced("Hours that milk rests (Frederiksen 1919)."));
    assert!(!is_traced("Most of 1024 jars."), "a number is no year");
    assert_eq!(declared("    pub(crate) const A_B: f64 = 2.0;"), Some(("A_B", "f64 = 2.0;")));
    assert_eq!(declared("const fn a() -> u8 {"), None);
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
        let told = if is_traced(&c.comment) { None } else { told(&c.name) };
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
