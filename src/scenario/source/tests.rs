//! Tests of [`super`].

use proptest::prelude::*;

use super::*;

const FARM: &str = "\
title: A first house cow   # comment
animals:
  - name: Clover
    freshens: 2027-04-12 give or take 6 days
    calf: {full time until: 3 weeks}
household:
  people: {man 31 to 50: 1, child 4 to 8: 2}
  wants:
    butter: \"2 lb/week\"
routine:
- do: skim
  days: [mon, thu]
  note: å – two words
";

fn at(line: usize, column: usize, length: usize) -> Option<Spot> {
    Some(Spot { line, column, length })
}

fn faults(text: &str) -> Vec<String> {
    Source::read(text.as_bytes()).unwrap_err().iter().map(ToString::to_string).collect()
}

fn fault(text: &str) -> String {
    let all = faults(text);
    assert_eq!(all.len(), 1, "{all:?}");
    all[0].clone()
}

#[test]
fn keys_and_values_are_found() {
    let s = Source::read(FARM.as_bytes()).unwrap();
    assert_eq!(s.key_at("title"), at(1, 1, 5));
    assert_eq!(s.value_at("title"), at(1, 8, 17));
    assert_eq!(s.value_at("animals[0].freshens"), at(4, 15, 30));
    assert_eq!(s.key_at("animals[0].freshens"), at(4, 5, 8));
    assert_eq!(s.value_at("animals[0].calf.full time until"), at(5, 29, 7));
    assert_eq!(s.value_at("animals[0].calf"), at(5, 11, 26));
    assert_eq!(s.value_at("household.people.child 4 to 8"), at(7, 43, 1));
    assert_eq!(s.key_at("household.people.child 4 to 8"), at(7, 29, 12));
    assert_eq!(s.value_at("household.wants.butter"), at(9, 13, 11));
    assert_eq!(s.value_at("routine[0].days[1]"), at(12, 15, 3));
    assert_eq!(s.value_at("routine[0].note"), at(13, 9, 13));
    assert_eq!(s.value_at("animals[0]"), at(3, 5, 4));
    assert_eq!(s.keys_under("household"), ["people", "wants"]);
    assert_eq!(s.keys_under(""), ["title", "animals", "household", "routine"]);
    assert!(s.keys_under("nowhere").is_empty());
}

#[test]
fn what_is_not_written_is_found_near_by() {
    let s = Source::read(FARM.as_bytes()).unwrap();
    assert_eq!(s.value_at("animals[0].calf.shut in"), s.key_at("animals[0].calf"));
    assert_eq!(s.key_at("household.people.baby"), s.key_at("household.people"));
    assert_eq!(s.value_at("animals[7].name"), s.key_at("animals"));
    assert_eq!(s.value_at("jars.quart"), at(1, 1, 5));
    assert!(!s.has("jars"));
}

#[test]
fn line_ends_and_marks_of_other_systems() {
    let s = Source::read(b"\xef\xbb\xbftitle: a\r\nstarts: b\r\n").unwrap();
    assert_eq!(s.value_at("title"), at(1, 8, 1));
    assert_eq!(s.value_at("starts"), at(2, 9, 1));
}

#[test]
fn bytes_refused() {
    assert!(Source::read(&vec![b' '; 50_000_000]).unwrap_err()[0].message.contains("50000000 bytes"));
    let d = &Source::read(b"title: a\nname: B\xe9a\n").unwrap_err()[0];
    assert_eq!(d.spot, at(2, 8, 1));
    assert!(fault("").starts_with("this file is empty"));
    assert!(fault("\n  \n# only a comment\n").starts_with("this file is empty"));
    assert!(fault("title: a\u{0}b\n").starts_with("1:9: here stands a character"));
    assert!(fault("title: a\nb: \u{2028}\n").starts_with("2:4: here stands a character"));
}

#[test]
fn doubled_keys_are_all_found() {
    let all = faults("a: 1\nb: {c: 1, c: 2}\na: 3\n");
    assert_eq!(all[0], "2:11: `c` stands here twice (it stands first on line 2; keep one of them)");
    assert_eq!(all[1], "3:1: `a` stands here twice (it stands first on line 1; keep one of them)");
    assert_eq!(all.len(), 2);
}

#[test]
fn structure_refused() {
    assert!(fault("a: 1\n---\nb: 2\n").contains("a second document"));
    assert!(fault("a: !cow 1\n").starts_with("1:"));
    assert!(fault("[a, b]: 1\n").contains("a key must be plain words"));
    assert!(fault("a: &x {b: 1}\nc: {<<: *x}\n").contains("`<<` is not understood"));
    let deep = fault(&"[\n".repeat(100_000));
    assert!(deep.contains("64 levels deep"), "{deep}");
    assert!(fault(&format!("a: {}1{}", "{b: ".repeat(70), "}".repeat(70))).contains("64 levels deep"));
}

#[test]
fn files_of_other_kinds_are_refused_quickly() {
    let began = std::time::Instant::now();
    let list = format!("a:\n{}", "- 1\n".repeat(60_000));
    assert!(fault(&list).contains("more than 50000 values"));
    let doubled = faults(&"a: 1\n".repeat(400_000));
    assert!(doubled.len() == MOST_DOUBLED + 1, "{}", doubled.len());
    assert!(fault(&format!("a: {}\n", "x".repeat(3_000))).contains("longer than 2000"));
    let name = "x".repeat(300);
    assert!(fault(&format!("{name}: {{{name}: {{{name}: {{{name}: 1}}}}}}\n")).contains("too long"));
    for text in [
        "a\n", "- ", "-\n", "? ", ": ", ":\n", "\"", "'\n", "[\n", "{\n", "}\n", "&a ", "*a\n", "!\n", "|\n",
        "# \n", "---\n", "a: &b\n", "\\", "%\n", "a: >\n", " \n", "a,\n", "[a,\n", "{a:\n", "\"\n", "? a\n",
        "é\n",
    ] {
        // Lines of some length, as many as a file may hold.
        let lines = text.repeat((1_900 / text.len()).max(1)) + "\n";
        let _ = Source::read(lines.repeat(MOST_BYTES / lines.len()).as_bytes());
        let took = began.elapsed();
        assert!(took.as_secs() < 60, "{text:?} took {took:?}");
    }
}

#[test]
fn swelling_aliases_are_refused() {
    let mut bomb = String::from("a0: &a0 [lol, lol, lol, lol, lol, lol, lol, lol, lol]\n");
    for i in 1..9 {
        let last = i - 1;
        bomb += &format!("a{i}: &a{i} [{}]\n", vec![format!("*a{last}"); 9].join(", "));
    }
    assert!(fault(&bomb).contains("swells beyond measure"));
    let many = format!("a: &a 1\nb: [{}]\n", vec!["*a"; 101].join(", "));
    assert!(fault(&many).contains("too many aliases"));
    assert!(Source::read(b"a: &a 1\nb: *a\n").is_ok());
}

#[test]
fn faults_of_form_have_a_place() {
    for (text, start, words) in [
        ("a: 1\n\tb: 2\n", "2:", "tab"),
        ("a:\n\tb: 2\n", "2:", "tab"),
        ("a: [1, 2\nb: 3\n", "1:4", "the bracket `[` is not closed"),
        ("a: {b: 1\n", "1:4", "the bracket `{` is not closed"),
        ("a:\n- {b: \"}\", c: [1, 2}\nd: 1\n", "2:20", "`}` stands where the bracket `[` of line 2"),
        ("a: it's [so\nb: {c: 1\nd: 1\n", "2:4", "the bracket `{` is not closed"),
        ("a: \"open\n", "", "quotation"),
        ("a: b: c\n", "1:", "`key: value`"),
        ("a: 1\n  b: 2\n", "2:", ""),
        ("a: *nobody\n", "1:", "alias"),
        ("a: 1\nplain words\nb: 2\n", "", ""),
        ("a:\n   b: 1\n  c: 2\n", "3:", ""),
        ("a: @home\n", "1:", ""),
        ("a: %\n", "1:", ""),
    ] {
        let message = fault(text);
        assert!(message.starts_with(start), "{text:?}: {message}");
        assert!(message.contains(words), "{text:?}: {message}");
        assert!(message.as_bytes()[0].is_ascii_digit(), "{text:?}: {message}");
    }
}

proptest! {
    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..60)) {
        let _ = Source::read(&bytes);
    }

    #[test]
    fn no_text_panics(text in "[-a-c:0-9 \\n\\t\\[\\]{}&*!|>'\"%@#,?å]{0,60}") {
        match Source::read(text.as_bytes()) {
            Ok(source) => {
                let _ = super::decode_all::<serde_yaml::Value>(&source);
            }
            Err(faults) => {
                let lines: Vec<&str> = text.split('\n').collect();
                for s in faults.iter().filter_map(|d| d.spot) {
                    let width = lines.get(s.line - 1).map_or(0, |l| l.chars().count());
                    prop_assert!(s.column >= 1 && s.column <= width + 1, "{faults:?}");
                }
            }
        }
    }
}
