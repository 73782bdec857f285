//! The record: every figure that a check compares is written down, so that the
//! page of published and own figures is made by the checks themselves.
//!
//! A check names its source first, then compares by the functions here. To make
//! the pages (one row a check, and one row a figure), the test binary runs itself
//! once more with [`RECORD`] set to a file, and every comparison adds a line to it.

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
/// Every figure, where the page shows the farthest of each check.
const ALL_FIGURES: &str = "docs/record-figures.md";
/// Where the developers' page lists the known differences, by the same marks.
const DIFFERENCES: &str = "DEVELOPERS.md";
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

/// No less than a published bound.
#[track_caller]
pub fn at_least(got: f64, low: f64) {
    figure(got, low, f64::INFINITY, 0.0, "");
    assert!(got >= low, "got {got}, published {low} and more");
}

/// No more than a published bound.
#[track_caller]
pub fn at_most(got: f64, high: f64) {
    figure(got, f64::NEG_INFINITY, high, 0.0, "");
    assert!(got <= high, "got {got}, published {high} and less");
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
    figures: Vec<Figure>,
}

/// One comparison of a check.
struct Figure {
    line: u64,
    source: String,
    value: Value,
}

/// Runs this test binary once more, writing down what it compares, and holds
/// the part of the pages between its two marks to the result.
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
    hold_part(PAGE, part, &page(&rows));
    hold_part(ALL_FIGURES, part, &all_figures(&rows));
    hold_part(DIFFERENCES, part, &differences(&rows));
}

/// Holds a page to what was made, or writes it.
fn hold_part(path: &str, part: &str, made: &str) {
    let (begin, end) = (format!("<!-- {part}: begin -->\n"), format!("<!-- {part}: end -->"));
    let old = std::fs::read_to_string(path).expect("a page");
    let (head, rest) = old.split_once(&begin).expect("the page has the mark of its beginning");
    let (stands, tail) = rest.split_once(&end).expect("the page has the mark of its end");
    if std::env::var_os(UPDATE).is_some() {
        std::fs::write(path, format!("{head}{begin}{made}{end}{tail}")).expect("the page is written");
    } else {
        let differ = stands.lines().zip(made.lines()).find(|(a, b)| a != b);
        assert!(
            stands == made,
            "{path} is not what the checks say; look at the difference and write it anew with \
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
            let line = v["line"].as_u64().unwrap_or(0);
            row.figures.push(Figure { line, source: text(&v, "source"), value: v["figure"].clone() });
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
        let name = name(r);
        let figures: Vec<&Value> = r.figures.iter().map(|f| &f.value).collect();
        let [published, ours, off] = cells(&figures);
        let _ = writeln!(out, "| {name} | {published} | {ours} | {off} | {} |", r.source.replace('|', "/"));
    }
    out.push('\n');
    out
}

/// A check as the pages name it.
fn name(r: &Row) -> String {
    let name = r.check.rsplit("::").next().unwrap_or("").replace('_', " ");
    match name.strip_prefix("known difference ") {
        Some(rest) => format!("**known difference:** {rest}"),
        None => name,
    }
}

/// What is published and missed: the figures that are marked as known differences.
fn differences(rows: &[Row]) -> String {
    let mut out = String::new();
    for r in rows {
        let known = r.figures.iter().map(|f| &f.value).filter(|v| v["why"] != "");
        let known: Vec<&Value> = known.collect();
        if known.is_empty() {
            continue;
        }
        if out.is_empty() {
            out.push_str("| known difference | published | model | why | source |\n");
            out.push_str("| --- | --- | --- | --- | --- |\n");
        }
        let mut whys: Vec<&str> = known.iter().filter_map(|v| v["why"].as_str()).collect();
        whys.dedup();
        let join =
            |each: &dyn Fn(&Value) -> String| known.iter().map(|v| each(v)).collect::<Vec<_>>().join("; ");
        let (said, ours) = (join(&published), join(&|v| short(number(v, "ours"))));
        let name = name(r).replace("**known difference:** ", "");
        let (why, source) = (whys.join("; "), r.source.replace('|', "/"));
        let _ = writeln!(out, "| {name} | {said} | {ours} | {why} | {source} |");
    }
    out
}

/// Every figure of every check. A check and a source stand in the first of their rows.
fn all_figures(rows: &[Row]) -> String {
    let mut out = String::new();
    let (mut last, mut text) = ("", String::new());
    for r in rows {
        if r.file != last {
            last = &r.file;
            text = std::fs::read_to_string(last).unwrap_or_default();
            let figures: usize = rows.iter().filter(|o| o.file == r.file).map(|o| o.figures.len()).sum();
            let _ = write!(out, "\n### {} ({figures})\n\n", subject(last));
            out.push_str("| check | what is compared | published | ours | difference | allowed | source |\n");
            out.push_str("| --- | --- | --- | --- | --- | --- | --- |\n");
        }
        let (mut check, mut source) = (name(r), "");
        for f in &r.figures {
            let v = &f.value;
            let off = difference(v);
            let off =
                if v["why"] == "" { off } else { format!("{off}: {}", v["why"].as_str().unwrap_or("")) };
            let allowed = number(v, "allowed");
            let allowed = if low_and_high(v).is_some() { brief(allowed) } else { String::new() };
            let told = if f.source == source { "" } else { f.source.as_str() };
            source = &f.source;
            let what = compared(&text, f.line);
            let [published, ours] = [published(v), short(number(v, "ours"))];
            let told = told.replace('|', "/");
            let _ = writeln!(out, "| {check} | {what} | {published} | {ours} | {off} | {allowed} | {told} |");
            check.clear();
        }
    }
    out.push('\n');
    out
}

/// What a comparison that begins in a line of a check compares, as the check writes it.
fn compared(text: &str, line: u64) -> String {
    let from = text.lines().skip((line as usize).saturating_sub(1));
    let call: String = from.take(8).map(|l| l.trim().to_owned() + " ").collect();
    let names = ["near(", "within(", "between(", "at_least(", "at_most(", "count(", "differs("];
    let own = names.iter().filter_map(|n| Some(call.find(n)? + n.len())).min();
    let Some(at) = own.or_else(|| Some(call.find('(')? + 1)) else { return String::new() };
    let mut depth = 0;
    let end = call[at..].char_indices().find(|&(_, c)| {
        depth += i32::from("([{".contains(c)) - i32::from(")]}".contains(c));
        depth < 0 || (c == ',' && depth == 0)
    });
    let first = call[at..].get(..end.map_or(0, |e| e.0)).unwrap_or_default().trim();
    let cut: String = first.chars().take(LONGEST).collect();
    let cut = if cut.len() < first.len() { cut + "…" } else { cut };
    let cut = cut.replace('|', "¦");
    if own.is_some() || cut.is_empty() {
        return if cut.is_empty() { cut } else { format!("`{cut}`") };
    }
    // Compared for the check by a function that the checks of its file share.
    let before = call[..at - 1].rsplit(|c: char| !c.is_alphanumeric() && c != '_');
    format!("`{}({cut}, …)`", before.into_iter().next().unwrap_or_default())
}

/// Longest that is shown of what is compared, characters.
const LONGEST: usize = 60;

/// The published figure, where it is one.
fn low_and_high(f: &Value) -> Option<f64> {
    let (low, high) = (number(f, "low"), number(f, "high"));
    (low == high).then_some(low)
}

fn is_one_sided(f: &Value) -> bool {
    number(f, "low").is_nan() || number(f, "high").is_nan()
}

fn published(f: &Value) -> String {
    let (low, high) = (number(f, "low"), number(f, "high"));
    match (low.is_nan(), high.is_nan()) {
        (true, _) => format!("at most {}", short(high)),
        (_, true) => format!("at least {}", short(low)),
        _ if low == high => short(low),
        _ => format!("{} to {}", short(low), short(high)),
    }
}

fn difference(f: &Value) -> String {
    let Some(published) = low_and_high(f) else { return "within".into() };
    let off = number(f, "ours") - published;
    if off.abs() < 1e-7 * published.abs().max(1.0) {
        return "0".into();
    }
    format!("{}{}", if off > 0.0 { "+" } else { "" }, brief(off))
}

/// What is told of the figures of a check: all of up to three, else the one
/// that is farthest off for its tolerance.
fn cells(figures: &[&Value]) -> [String; 3] {
    if figures.is_empty() {
        return ["as its name says".into(), "holds".into(), String::new()];
    }
    // Bounds to one side are told where there is nothing nearer to tell.
    let figures: Vec<&Value> = match figures.iter().copied().filter(|f| !is_one_sided(f)).collect() {
        both if Vec::is_empty(&both) => figures.to_vec(),
        both => both,
    };
    let known = figures.iter().any(|f| f["why"] != "");
    let told: Vec<&Value> = if known {
        figures.iter().copied().filter(|f| f["why"] != "").collect()
    } else if figures.len() <= 3 {
        figures.to_vec()
    } else {
        let worst = figures.iter().copied().max_by(|a, b| strain(a).total_cmp(&strain(b)));
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
        of + &join(&published),
        join(&|f| short(number(f, "ours"))),
        join(&|f| {
            let (off, allowed) = (difference(f), number(f, "allowed"));
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
    if is_one_sided(f) {
        return 0.0;
    }
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
