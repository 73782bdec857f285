//! Every scenario in `tests/bad` is refused with the message that its
//! snapshot pins, drawn as a family sees it.

use std::{fs, path::Path};

use springhouse::{
    cli::render::render,
    diagnostics::{Diagnostic, Severity},
    scenario::{compile, source::Source},
};

/// The messages for a file that must be refused.
fn faults(name: &str, bytes: &[u8]) -> Vec<Diagnostic> {
    match compile(bytes) {
        Ok(_) => panic!("{name} was taken for a good scenario"),
        Err(all) => {
            assert!(all.iter().any(|d| d.severity == Severity::Error), "{name} was refused without an error");
            all
        }
    }
}

/// The text that the messages speak of.
fn text_of(bytes: &[u8]) -> String {
    Source::read(bytes).map_or_else(|_| String::from_utf8_lossy(bytes).into_owned(), |s| s.text().to_owned())
}

fn drawn(name: &str, bytes: &[u8]) -> String {
    render(name, &text_of(bytes), &faults(name, bytes), false)
}

fn name_of(path: &Path) -> String {
    path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default()
}

#[test]
fn each_is_refused_with_its_message() {
    insta::glob!("bad/*.yaml", |path| {
        let bytes = fs::read(path).expect("the file is there");
        insta::assert_snapshot!(drawn(&name_of(path), &bytes));
    });
}

#[test]
fn each_has_a_place_where_there_is_one() {
    // Only a file without a word has no line to point at.
    let placeless = ["001_empty.yaml", "002_only_comments.yaml"];
    let mut seen = 0;
    for entry in fs::read_dir("tests/bad").expect("the folder is there") {
        let path = entry.expect("the entry is readable").path();
        let name = name_of(&path);
        let bytes = fs::read(&path).expect("the file is there");
        let placed = faults(&name, &bytes).iter().any(|d| d.severity == Severity::Error && d.spot.is_some());
        assert_eq!(placed, !placeless.contains(&name.as_str()), "{name}");
        seen += 1;
    }
    assert!(seen >= 60, "only {seen} bad scenarios");
}

#[test]
fn many_faults_are_said_at_once() {
    let bytes = fs::read("tests/bad/107_many_at_once.yaml").expect("the file is there");
    let errors = faults("many", &bytes).iter().filter(|d| d.severity == Severity::Error).count();
    assert!(errors >= 9, "only {errors} of 9 faults are said");
}

#[test]
fn bytes_that_are_no_text() {
    insta::assert_snapshot!(
        "not_utf8",
        drawn("latin1.yaml", b"title: Caf\xe9 au lait\nstarts: 2027-04-01\n")
    );
    insta::assert_snapshot!("not_text", drawn("picture.yaml", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"));
    insta::assert_snapshot!("zero_byte", drawn("zero.yaml", b"title: A small place\nstarts: 2027-04-01\0\n"));
    insta::assert_snapshot!("wide_text", drawn("utf16.yaml", b"\xff\xfet\0i\0t\0l\0e\0:\0"));
}

#[test]
fn files_beyond_measure() {
    insta::assert_snapshot!("fifty_megabytes", drawn("big.yaml", &vec![b'a'; 50_000_000]));
    insta::assert_snapshot!("very_deep", drawn("deep.yaml", "[\n".repeat(100_000).as_bytes()));
    insta::assert_snapshot!(
        "very_long_line",
        drawn("long.yaml", format!("title: {}\n", "a".repeat(9_000)).as_bytes())
    );
    insta::assert_snapshot!(
        "many_values",
        drawn("many.yaml", format!("animals:\n{}", "- 1\n".repeat(90_000)).as_bytes())
    );
}

/// A scenario with one character changed, doubled or left out is read or
/// refused; it never brings the program down.
#[test]
fn slips_of_the_pen_do_no_harm() {
    let good = fs::read_to_string("tests/bad/107_many_at_once.yaml").expect("the file is there");
    let chars: Vec<char> = good.chars().collect();
    let with = |from: usize, to: usize, middle: &str| {
        let mut text: String = chars[..from].iter().collect();
        text.push_str(middle);
        text.extend(&chars[to..]);
        text
    };
    // Every third place, with the four slips in turn.
    for (i, c) in chars.iter().enumerate().step_by(3) {
        let text = match i % 4 {
            0 => with(i, i + 1, ""),
            1 => with(i, i, &c.to_string()),
            2 => with(i, i + 1, "-"),
            _ => with(i, i, "9"),
        };
        if let Err(all) = compile(text.as_bytes()) {
            assert!(all.iter().any(|d| d.severity == Severity::Error), "refused without a word:\n{text}");
            assert!(!render("slip.yaml", &text, &all, false).is_empty());
        }
    }
}
