//! `trace` at the command line: the same year whatever the threads, its files,
//! and how it refuses.

mod common;

use assert_cmd::Command;
use springhouse::dairy::matter::Matter;
use springhouse::sim::outcome::Fate;
use springhouse::study::trace::{Choice, TraceOptions, What, trace as told};

const FIRST: &str = "scenarios/first-cow.yaml";
const PICKUP: &str = "scenarios/weekly-pickup.yaml";

fn trace(args: &[&str]) -> (i32, String, String) {
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    c.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").timeout(std::time::Duration::from_secs(120));
    let o = c.args(["trace", "--quiet"]).args(args).output().unwrap();
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    (o.status.code().unwrap_or(-1), text(&o.stdout), text(&o.stderr))
}

#[test]
fn the_same_bytes_for_any_threads() {
    for format in ["words", "csv", "json"] {
        let run = |threads| {
            let args = [
                PICKUP,
                "--trials",
                "40",
                "--worst",
                "milk_short_days",
                "--format",
                format,
                "--threads",
                threads,
            ];
            let (code, out, err) = trace(&args);
            assert_eq!((code, err.as_str()), (0, ""));
            out
        };
        let one = run("1");
        assert!(one.len() > 1000);
        for threads in ["3", "8"] {
            assert!(run(threads) == one, "{format} {threads}");
        }
    }
}

/// The fates of the trial in `trials.csv`, added up from the rows of the trace.
#[test]
fn the_rows_are_the_year_of_the_run() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("o");
    let mut c = Command::new(assert_cmd::cargo::cargo_bin!("springhouse"));
    let args = ["run", PICKUP, "--trials", "20", "--seed", "5", "--no-remedies", "--quiet", "--out"];
    c.args(args).arg(&out).assert().success();
    let mut trials = csv::Reader::from_path(out.join("trials.csv")).unwrap();
    let head = trials.headers().unwrap().clone();
    let row = trials.records().nth(17).unwrap().unwrap();
    let of = |name: &str| -> f64 {
        let at = head.iter().position(|h| h == name || h.starts_with(&format!("{name}_kg"))).unwrap();
        row[at].parse().unwrap()
    };
    let (code, text, _) = trace(&[PICKUP, "--number", "17", "--seed", "5", "--format", "csv"]);
    assert_eq!(code, 0);
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let columns = rows.headers().unwrap().clone();
    let at = |name: &str| columns.iter().position(|c| c == name).unwrap();
    let (fate, mass) = (at("fate"), at("mass_kg"));
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    for (measure, key) in [
        ("drunk", "drunk"),
        ("eaten", "eaten"),
        ("fed_to_animals", "fed_to_animals"),
        ("wasted_soured", "wasted_soured"),
        ("wasted_foul", "wasted_foul"),
    ] {
        let sum: f64 = rows.iter().filter(|r| &r[fate] == key).map(|r| r[mass].parse::<f64>().unwrap()).sum();
        assert!((sum - of(measure)).abs() < 1e-9 * of(measure).max(1.0), "{measure}: {sum}");
    }
}

#[test]
fn words_tell_each_day_in_80_columns() {
    for file in [FIRST, PICKUP, "scenarios/two-does.yaml", "scenarios/which-fridge.yaml"] {
        let (code, out, err) = trace(&[file, "--number", "0", "--units", "metric"]);
        assert_eq!((code, err.as_str()), (0, ""));
        assert!(out.lines().all(|l| l.chars().count() <= 80), "{file}");
        for part in ["day by day", "The rules, by number", "In all, on the days told", "Cautions"] {
            assert!(out.contains(part), "{file}: {part}");
        }
        assert!(!out.contains("NaN") && !out.contains("inf "), "{file}");
    }
}

#[test]
fn days_by_date_and_by_number() {
    let (code, by_date, _) =
        trace(&[FIRST, "--number", "3", "--from", "2027-07-01", "--until", "2027-07-04"]);
    assert_eq!(code, 0);
    assert!(by_date.contains("Told from 1 July 2027 to 4 July 2027"), "{by_date}");
    assert!(!by_date.contains("5 Jul"), "{by_date}");
    let (_, json, _) = trace(&[FIRST, "--number", "3", "--from", "82", "--until", "85", "--format", "json"]);
    let v: serde_json::Value = serde_json::from_str(&json).unwrap();
    let days = v["days"].as_array().unwrap();
    assert_eq!((days.len(), days[0]["date"].as_str()), (4, Some("2027-07-01")));
    assert_eq!((v["trial"].as_u64(), v["chosen"]["by"].as_str()), (Some(3), Some("number")));
    assert!(days.iter().all(|d| !d["events"].as_array().unwrap().is_empty()));
}

#[test]
fn the_average_year_has_no_number() {
    let (code, out, _) = trace(&[PICKUP, "--steady", "--until", "5"]);
    assert_eq!(code, 0);
    assert!(out.starts_with("Milk fetched on Wednesdays: the average year, day by day"), "{out}");
}

/// A measure may be called as aims call it, and the heading says it so.
#[test]
fn a_measure_by_the_words_of_aims() {
    for (word, column, noun) in [
        ("waste", "wasted_part", "by waste: "),
        ("milk-on-the-table", "milk_days", "by milk on the table: "),
        ("days over full", "days_over_full", "by days over full: "),
        ("butter", "butter_fill", "by butter: "),
    ] {
        let told = |word| trace(&[FIRST, "--trials", "20", "--worst", word, "--until", "3"]);
        let (code, out, err) = told(word);
        assert_eq!((code, err.as_str()), (0, ""), "{word}");
        let flowing = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flowing.contains(noun) && !flowing.contains(column), "{word}: {out}");
        assert_eq!(out, told(column).1, "{word}");
    }
}

/// What is missing is told in the unit of what was wanted, and each by its name.
#[test]
fn short_in_one_unit() {
    let (_, out, _) = trace(&[PICKUP, "--trials", "30", "--worst", "milk_short_days"]);
    let lines: Vec<&str> = out.split("Short").skip(1).filter_map(|l| l.lines().next()).collect();
    assert!(lines.len() > 5, "{out}");
    for line in lines {
        let units = ["gal", "qt", "pint", "cup", "fl oz", "mL", " L"];
        for part in line.split(';') {
            assert!(units.iter().filter(|u| part.contains(**u)).count() <= 1, "{line}");
        }
    }
}

#[test]
fn bad_input_is_exit_2_in_one_sentence() {
    let cases: [(&[&str], &str); 9] = [
        (
            &["--worst", "wastd_part"],
            "error: there is no measure called wastd_part; did you mean wasted_part?",
        ),
        (
            &["--middle", "zebra"],
            "error: there is no measure called zebra; there are wasted_part, milk_short_days",
        ),
        (
            &["--from", "2031-01-01"],
            "error: --from 2031-01-01 lies outside the simulated time: 2027-01-04 to",
        ),
        (&["--until", "-1"], "unexpected argument"),
        (&["--from", "9", "--until", "3"], "error: --from (9) lies after --until (3)"),
        (&["--from", "May"], "error: --from May: "),
        (&["--number", "1", "--worst", "wasted"], "cannot be used with"),
        (&["--number", "1", "--trials", "5"], "cannot be used with"),
        (&["--number", "200000"], "200000"),
    ];
    for (args, part) in cases {
        let (code, out, err) = trace(&[&[PICKUP][..], args].concat());
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(err.contains(part), "{args:?}: {err}");
    }
    let (code, _, err) = trace(&["none.yaml"]);
    assert_eq!(code, 2);
    assert!(err.contains("there is no file none.yaml"), "{err}");
}

#[test]
fn no_colour_where_none_is_wanted() {
    common::shell::obeys_no_color(&["trace", "-q", PICKUP, "--number", "1", "--until", "3"]);
}

#[cfg(unix)]
#[test]
fn a_reader_who_leaves_is_no_error() {
    for format in ["words", "csv", "json"] {
        common::shell::may_lose_its_reader(&["trace", "-q", PICKUP, "--number", "1", "--format", format]);
    }
}

/// Over generated scenarios, with all their rules and mishaps: each fate of the
/// year is the sum of its events, and what came in is what is told of.
#[test]
fn generated_years_add_up() {
    let mut seen = 0;
    for number in (0..30).filter(|n| common::is_valid(*n)) {
        let c = common::compile(&common::generate::scenario(number));
        for choice in [Choice::Number(number as u32), Choice::Steady] {
            let options = TraceOptions { choice, trials: 1, seed: 3, threads: Some(1) };
            let t = told(&c.plan, &c.names, &options, &|_, _| {}).unwrap();
            let all: f64 = t.outcome.sources.iter().map(|m| m.mass).sum();
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * all.max(1e-3);
            let mut came = 0.0;
            for fate in Fate::ALL {
                let mut sum = Matter::NONE;
                for e in &t.events {
                    if matches!(e.what, What::Went { fate: f, .. } if f == fate) {
                        sum += e.matter;
                    }
                }
                let book = t.outcome.fates[fate as usize];
                assert!(near(sum.mass, book.mass) && near(sum.fat, book.fat), "{number} {fate:?}");
            }
            for e in &t.events {
                if let What::Came { .. } = e.what {
                    came += e.matter.mass;
                }
            }
            assert!(near(came, all), "{number}: {came} of {all}");
            let number = match choice {
                Choice::Number(n) => Some(n),
                _ => None,
            };
            let (plain, _) = common::trial(&c, 3, number);
            assert_eq!(format!("{plain:?}"), format!("{:?}", t.outcome), "looking on changed the year");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}
