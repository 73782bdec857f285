//! The record: every figure that a check compares is written down, so that the
//! page of published and own figures is made by the checks themselves.
//!
//! A check names its source first, then compares by the functions here. To make
//! the page, the test binary runs itself once more with [`RECORD`] set to a
//! file, and every comparison adds a line to it.

use std::cell::RefCell;
use std::fmt::Write as _;
use std::io::Write as _;
use std::panic::Location;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

/// Set: the file that comparisons are added to.
const RECORD: &str = "SPRINGHOUSE_RECORD";
/// Set: the page is written anew instead of compared.
const UPDATE: &str = "UPDATE_RECORD";
const PAGE: &str = "docs/record.md";
/// The test that makes the page; it does not record itself.
const MAKER: &str = "the_record_is_up_to_date";

thread_local! {
    static SOURCE: RefCell<&'static str> = const { RefCell::new("") };
}

/// Names the source of the figures that this check compares from here on.
#[track_caller]
pub fn source(words: &'static str) {
    SOURCE.with_borrow_mut(|s| *s = words);
    note(Location::caller(), &Value::Null);
}

fn note(at: &Location, figure: &Value) {
    let Ok(file) = std::env::var(RECORD) else { return };
    let line = json!({
        "file": at.file(),
        "line": at.line(),
        "check": std::thread::current().name().unwrap_or(""),
        "source": SOURCE.with_borrow(|s| *s),
        "figure": figure,
    });
    let mut file =
        std::fs::OpenOptions::new().create(true).append(true).open(file).expect("the record opens");
    file.write_all(format!("{line}\n").as_bytes()).expect("the record is written");
}

#[track_caller]
fn figure(got: f64, low: f64, high: f64, allowed: f64, why: &str) {
    let figure = json!({"ours": got, "low": low, "high": high, "allowed": allowed, "why": why});
    note(Location::caller(), &figure);
}

/// Within an absolute tolerance.
#[track_caller]
pub fn near(got: f64, want: f64, tolerance: f64) {
    figure(got, want, want, tolerance, "");
    assert!((got - want).abs() <= tolerance, "got {got}, published {want}, tolerance {tolerance}");
}

/// Within a relative tolerance.
#[track_caller]
pub fn within(got: f64, want: f64, part: f64) {
    figure(got, want, want, part * want.abs(), "");
    assert!((got - want).abs() <= part * want.abs(), "got {got}, published {want}, tolerance {part} of it");
}

/// Between two published bounds, inclusive.
#[track_caller]
pub fn between(got: f64, low: f64, high: f64) {
    figure(got, low, high, 0.0, "");
    assert!((low..=high).contains(&got), "got {got}, published {low} to {high}");
}

/// A whole number, exactly.
#[track_caller]
pub fn count(got: u32, want: u32) {
    near(f64::from(got), f64::from(want), 0.0);
}

/// A known difference: the published figure, what the model says instead, and
/// why. Fails when the model drifts, and when it comes to agree.
#[track_caller]
pub fn differs(got: f64, published: f64, model: f64, tolerance: f64, why: &'static str) {
    figure(got, published, published, tolerance, why);
    assert!((got - model).abs() <= tolerance, "got {got}, the model said {model}, tolerance {tolerance}");
    assert!(
        (got - published).abs() > tolerance,
        "{got} agrees with {published}: no known difference any more"
    );
}

/// One line of the page.
struct Row {
    file: String,
    line: u64,
    check: String,
    source: String,
    figures: Vec<Value>,
}

/// Runs this test binary once more, writing down what it compares, and holds
/// the part of the page between its two marks to the result.
pub fn hold_page(part: &str) {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("record-{part}.jsonl"));
    let _ = std::fs::remove_file(&file);
    let run = Command::new(std::env::current_exe().expect("the test binary"))
        .args(["--skip", MAKER])
        .env(RECORD, &file)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .output()
        .expect("the test binary runs");
    assert!(run.status.success(), "checks fail, so there is no page to make");
    let lines = std::fs::read_to_string(&file).expect("a record");
    let rows = rows(&lines);
    let all = String::from_utf8_lossy(&run.stdout);
    let ran = all.lines().filter_map(|l| l.strip_prefix("test ")?.strip_suffix(" ... ok"));
    let silent: Vec<&str> = ran.filter(|name| rows.iter().all(|r| r.check != *name)).collect();
    assert!(silent.is_empty(), "these checks name no source; begin them with source(\"…\"): {silent:#?}");
    let made = page(&rows);
    let (begin, end) = (format!("<!-- {part}: begin -->\n"), format!("<!-- {part}: end -->"));
    let old = std::fs::read_to_string(PAGE).expect("docs/record.md");
    let (head, rest) = old.split_once(&begin).expect("the page has the mark of its beginning");
    let (stands, tail) = rest.split_once(&end).expect("the page has the mark of its end");
    if std::env::var_os(UPDATE).is_some() {
        std::fs::write(PAGE, format!("{head}{begin}{made}{end}{tail}")).expect("the page is written");
    } else {
        let differ = stands.lines().zip(made.lines()).find(|(a, b)| a != b);
        assert!(
            stands == made,
            "{PAGE} is not what the checks say; look at the difference and write it anew with \
             {UPDATE}=1 cargo test --test {part}\nfirst difference: {differ:?}"
        );
    }
}

fn rows(lines: &str) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    let mut all: Vec<Value> = lines.lines().map(|l| serde_json::from_str(l).expect("a line")).collect();
    // Checks run side by side; by file and check, each in its own order.
    let text = |v: &Value, key: &str| v[key].as_str().unwrap_or_default().to_owned();
    all.sort_by_key(|v| (text(v, "file"), text(v, "check")));
    for v in all {
        let (file, check) = (text(&v, "file"), text(&v, "check"));
        assert!(!text(&v, "source").is_empty(), "{check} in {file} names no source: begin it with source(…)");
        if rows.last().is_none_or(|r| r.file != file || r.check != check) {
            let line = v["line"].as_u64().unwrap_or(0);
            rows.push(Row { file, line, check, source: text(&v, "source"), figures: Vec::new() });
        }
        let row = rows.last_mut().expect("just put there");
        if !row.source.contains(&text(&v, "source")) {
            row.source = format!("{}; {}", row.source, text(&v, "source"));
        }
        if !v["figure"].is_null() {
            row.figures.push(v["figure"].clone());
        }
    }
    rows.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
    rows
}

/// The subject of a file: the first line of its description.
fn subject(file: &str) -> String {
    let text = std::fs::read_to_string(file).unwrap_or_default();
    let first = text.lines().find_map(|l| l.strip_prefix("//! ")).unwrap_or(file);
    first.trim_end_matches('.').to_owned()
}

fn page(rows: &[Row]) -> String {
    let mut out = String::new();
    let mut last = "";
    for r in rows {
        if r.file != last {
            last = &r.file;
            let checks = rows.iter().filter(|o| o.file == r.file).count();
            let _ = write!(out, "\n### {} ({checks})\n\n", subject(last));
            out.push_str("| check | published | ours | difference (allowed) | source |\n");
            out.push_str("| --- | --- | --- | --- | --- |\n");
        }
        let name = r.check.rsplit("::").next().unwrap_or("").replace('_', " ");
        let name = match name.strip_prefix("known difference ") {
            Some(rest) => format!("**known difference:** {rest}"),
            None => name,
        };
        let [published, ours, off] = cells(&r.figures);
        let _ = writeln!(out, "| {name} | {published} | {ours} | {off} | {} |", r.source.replace('|', "/"));
    }
    out.push('\n');
    out
}

/// What is told of the figures of a check: all of up to three, else the one
/// that is farthest off for its tolerance.
fn cells(figures: &[Value]) -> [String; 3] {
    if figures.is_empty() {
        return ["as its name says".into(), "holds".into(), String::new()];
    }
    let known = figures.iter().any(|f| f["why"] != "");
    let told: Vec<&Value> = if known {
        figures.iter().filter(|f| f["why"] != "").collect()
    } else if figures.len() <= 3 {
        figures.iter().collect()
    } else {
        let worst = figures.iter().max_by(|a, b| strain(a).total_cmp(&strain(b)));
        worst.into_iter().collect()
    };
    let mut whys: Vec<&str> =
        told.iter().filter_map(|f| f["why"].as_str()).filter(|w| !w.is_empty()).collect();
    whys.dedup();
    let why = if known { format!(": {}", whys.join("; ")) } else { String::new() };
    let of = if told.len() < figures.len() && !known {
        format!("farthest of {}: ", figures.len())
    } else {
        String::new()
    };
    let join = |each: &dyn Fn(&Value) -> String| told.iter().map(|f| each(f)).collect::<Vec<_>>().join("; ");
    [
        of + &join(&|f| {
            let (low, high) = (number(f, "low"), number(f, "high"));
            if low == high { short(low) } else { format!("{} to {}", short(low), short(high)) }
        }),
        join(&|f| short(number(f, "ours"))),
        join(&|f| {
            let (ours, low, high) = (number(f, "ours"), number(f, "low"), number(f, "high"));
            if low != high {
                return "within".into();
            }
            let off = ours - low;
            let allowed = number(f, "allowed");
            let sign = if off > 0.0 { "+" } else { "" };
            let off = if off.abs() < 1e-7 * low.abs().max(1.0) {
                "0".into()
            } else {
                format!("{sign}{}", brief(off))
            };
            if known || allowed == 0.0 { off } else { format!("{off} ({})", brief(allowed)) }
        }) + &why,
    ]
}

fn number(f: &Value, key: &str) -> f64 {
    f[key].as_f64().unwrap_or(f64::NAN)
}

/// How much of its tolerance a figure uses up.
fn strain(f: &Value) -> f64 {
    let (ours, low, high, allowed) =
        (number(f, "ours"), number(f, "low"), number(f, "high"), number(f, "allowed"));
    if low != high {
        return ((ours - low) / (high - low) - 0.5).abs() * 2.0;
    }
    if allowed > 0.0 { (ours - low).abs() / allowed } else { 0.0 }
}

/// Four digits that count.
fn short(x: f64) -> String {
    digits(x, 4)
}

/// Two digits that count.
fn brief(x: f64) -> String {
    digits(x, 2)
}

fn digits(x: f64, n: i32) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    let size = x.abs().log10().floor() as i32;
    if !(-5..7).contains(&size) {
        let (digits, size) = (format!("{x:.*e}", (n - 1) as usize), size);
        let digits = digits.split('e').next().unwrap_or_default().trim_end_matches('0').trim_end_matches('.');
        return format!("{digits}e{size}");
    }
    let places = (n - 1 - size).max(0) as usize;
    let text = format!("{x:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
