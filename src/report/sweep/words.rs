//! A sweep in words and tables, 80 columns wide.

use super::Told;
use crate::report::amounts::{Show, cell, hundredths, join, percent};
use crate::report::dates::Span;
use crate::report::page::{Block, Page};
use crate::report::size::is_date;
use crate::report::tables::{WIDTH, row, table};
use crate::report::words::{bound, capital};
use crate::scenario::End;
use crate::study::{Axis, Kept, Point, SWEEP_DOUBT};

/// Measures that are always shown, with their heads.
const USUAL: [(&str, &str); 3] =
    [("wasted_part", "waste"), ("days_over_full", "days over full"), ("milk_days", "milk on the table")];
/// Widest column of values, columns.
const VALUES: usize = 30;
/// What a column of an aim or a measure takes, columns.
const COLUMN: usize = 20;
/// Cautions told here: those on who falls ill come first.
const CAUTIONS: usize = 4;

/// The sweep: what it found, then its tables.
#[must_use]
pub fn page(told: &Told) -> Page {
    let sweep = told.sweep;
    let span = Span::new(&told.names.first_day, sweep.days);
    let mut page = Page::default();
    let paths: Vec<String> = sweep.axes.iter().map(|a| format!("`{}`", a.path)).collect();
    page.blocks.push(Block::Title(format!("{}: {} varied", told.names.title, join(&paths, "and"))));
    if sweep.broken_off {
        page.say("Stopped before its end: only what was done by then is told here, and nothing was written.");
    }
    answer(told, &span, &mut page);
    page.say(format!(
        "Each of {} was tried on the same {} (seed {}), so that only the choice differs.",
        match sweep.points.len() {
            1 => "the one value".to_owned(),
            n if sweep.axes.len() > 1 => format!("{n} pairs of values"),
            n => format!("{n} values"),
        },
        span.trials(sweep.trials),
        sweep.seed
    ));
    aims(told, &span, &mut page);
    measures(told, &span, &mut page);
    if !told.names.cautions.is_empty() {
        page.heading("Cautions");
        told.names.cautions.iter().take(CAUTIONS).for_each(|c| page.item(c.as_str()));
        match told.names.cautions.len().saturating_sub(CAUTIONS) {
            0 => {}
            1 => page.item("One more belongs to this plan: `check` tells it."),
            n => page.item(format!("{n} more belong to this plan: `check` tells them.")),
        }
    }
    page
}

/// Which values keep the aims.
fn answer(told: &Told, span: &Span, page: &mut Page) {
    let sweep = told.sweep;
    let Some(last) = sweep.axes.last() else { return };
    if sweep.points.iter().all(|p| p.aims.is_empty()) {
        page.say(
            "The scenario sets no aims, so no value can be called enough. Write what you would call good, such as \
             `aims: [{measure: waste, below: 5 %, in: 9 of 10 years}]`, and sweep again.",
        );
        return;
    }
    for number in 0..sweep.rows() {
        let words = line(told, number, span);
        match sweep.axes.first().filter(|_| sweep.axes.len() > 1) {
            Some(first) => {
                let value = first.values.get(number).map_or("", |v| v.text.as_str());
                page.item(format!("With `{}` at {value}: {words}", first.path));
            }
            None => page.say(words),
        }
    }
    if last.frugal_first().is_some() {
        let mut turning: Vec<usize> = (0..sweep.rows()).flat_map(|r| sweep.turning(r)).collect();
        turning.sort_unstable();
        turning.dedup();
        let names: Vec<String> =
            turning.iter().filter_map(|i| told.names.aims.get(*i)).map(|a| format!("\"{a}\"")).collect();
        if !names.is_empty() {
            let (is, it) = if names.len() == 1 { ("is", "it") } else { ("are", "them") };
            page.say(format!(
                "Mind that {} {is} kept now more and now less often along `{}`: more is not always better for {it}. \
                 Look at the whole table before you choose.",
                join(&names, "and"),
                last.path
            ));
        }
    }
}

/// What one row of values says, as sentences.
fn line(told: &Told, number: usize, span: &Span) -> String {
    let sweep = told.sweep;
    let points = sweep.row(number);
    let Some(axis) = sweep.axes.last() else { return String::new() };
    let text = |i: usize| axis.values.get(i).map_or("", |v| v.text.as_str());
    let count = points.iter().map(|p| p.aims.len()).max().unwrap_or(0);
    let aims = if count == 1 { "its one aim".to_owned() } else { format!("all {count} aims") };
    let it = if count == 1 { "it" } else { "them" };
    let years = span.trials(sweep.trials);
    let mut out = String::new();
    match sweep.best(number) {
        Some(best) => {
            let end = end(axis);
            if let Some(i) = best.surely {
                out = format!("{} is the {end} value tried that surely keeps {aims}.", text(i));
            } else if best.perhaps.is_none() {
                out = format!("No value tried keeps {aims}.");
            }
            if best.perhaps.is_some() {
                let open: Vec<String> = sweep.open(number).into_iter().map(|i| text(i).to_owned()).collect();
                let does = if open.len() == 1 { "does" } else { "do" };
                let open = some(&open);
                out = if out.is_empty() {
                    format!("No value tried surely keeps {aims}; whether {open} {does}, {years} cannot tell.")
                } else {
                    format!("{out} Whether {open} {does}, {years} cannot tell.")
                };
            }
            if let Some(i) = best.yet_not {
                out = format!("{out} Yet {} does not keep {it}.", text(i));
            }
        }
        None => {
            let of = |kept: Kept| -> Vec<String> {
                let all = points.iter().enumerate().filter(|(_, p)| p.kept() == Some(kept));
                all.map(|(i, _)| format!("\"{}\"", text(i))).collect()
            };
            let (yes, open) = (of(Kept::Yes), of(Kept::Open));
            out = if yes.is_empty() {
                format!("No value tried surely keeps {aims}.")
            } else {
                format!("{} surely keep{} {aims}.", join(&yes, "and"), if yes.len() == 1 { "s" } else { "" })
            };
            if !open.is_empty() {
                let does = if open.len() == 1 { "does" } else { "do" };
                out = format!("{out} Whether {} {does}, {years} cannot tell.", join(&open, "and"));
            }
        }
    }
    if dated(axis)
        && let Some((at, aim)) = leading(points)
        && let Some(a) = points.get(at).and_then(|p| p.aims.get(aim))
    {
        let all: Vec<String> = points
            .iter()
            .enumerate()
            .filter(|(_, p)| p.kept() == Some(Kept::Yes))
            .map(|(i, _)| text(i).to_owned())
            .collect();
        let others =
            if all.len() > 1 { format!(" Surely kept with {}.", join(&all, "and")) } else { String::new() };
        let [low, high] = a.met_part_ci95;
        let [kept, wanted] = hundredths(a.met_part, a.wanted_part);
        let rivals: Vec<String> = rivals(points, at).into_iter().map(|i| text(i).to_owned()).collect();
        let seems = if rivals.is_empty() { "is" } else { "seems" };
        out = format!(
            "{out}{others} The best of these dates {seems} {}: its closest call, \"{}\", is kept in {kept} ({:.0} to \
             {:.0}) of 100 {}, and {wanted} are wanted.",
            text(at),
            bound(&a.aim),
            low * 100.0,
            high * 100.0,
            span.many(),
        );
        if !rivals.is_empty() {
            out =
                format!("{out} {} may be as good: {years} do not tell them apart.", capital(&some(&rivals)));
        }
    }
    if !points.iter().any(|p| p.kept() == Some(Kept::Yes)) {
        let never = |i: &usize| points.iter().all(|p| p.aims.get(*i).is_none_or(|a| Kept::of(a) == Kept::No));
        let broken: Vec<String> = (0..count)
            .filter(never)
            .filter_map(|i| told.names.aims.get(i))
            .map(|a| format!("\"{a}\""))
            .collect();
        if !broken.is_empty() {
            out = format!("{out} None of them keeps {}.", join(&broken, "or"));
        }
    }
    out
}

/// Which end is sought, in words.
fn end(axis: &Axis) -> &'static str {
    match (dated(axis), axis.frugal) {
        (true, End::Smallest) => "earliest",
        (true, End::Largest) => "latest",
        (false, End::Smallest) => "smallest",
        (false, End::Largest) => "largest",
    }
}

/// The values are dates.
fn dated(axis: &Axis) -> bool {
    axis.values.iter().all(|v| is_date(&v.text))
}

/// Names of a few; of many the first, and how many more.
fn some(names: &[String]) -> String {
    // More than a line of them is no sentence.
    let (few, rest) = names.split_at(if names.len() > 8 { 7 } else { names.len() });
    let mut few = few.to_vec();
    if !rest.is_empty() {
        few.push(format!("{} more", rest.len()));
    }
    join(&few, "and")
}

/// Points that may be as good as the leading one: of their own closest call the interval
/// reaches as far as that of the leader's.
fn rivals(points: &[Point], leader: usize) -> Vec<usize> {
    let reach = |p: &Point, end: usize| {
        p.aims.iter().map(|a| a.met_part_ci95[end] - a.wanted_part).fold(f64::INFINITY, f64::min)
    };
    let Some(least) = points.get(leader).map(|p| reach(p, 0)) else { return Vec::new() };
    (0..points.len()).filter(|i| *i != leader && reach(&points[*i], 1) >= least).collect()
}

/// The point whose worst-kept aim has the most to spare, and that aim.
fn leading(points: &[Point]) -> Option<(usize, usize)> {
    let spare = |p: &Point| {
        let each = p.aims.iter().map(|a| a.met_part - a.wanted_part).enumerate();
        each.min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let each = points.iter().enumerate().filter_map(|(i, p)| Some((i, spare(p)?)));
    // The first of equals.
    let best = each.rev().max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    Some((best.0, best.1.0))
}

/// Columns of values: how many letters they take.
fn labels(told: &Told) -> usize {
    let widest = |i: usize| {
        let axis = told.sweep.axes.get(i)?;
        axis.values.iter().map(|v| v.text.chars().count() + 4).max()
    };
    (0..told.sweep.axes.len()).filter_map(widest).map(|w| w.min(VALUES) + 2).sum()
}

/// Tables of so many columns each, the values first.
fn tables(told: &Told, page: &mut Page, columns: &[(String, Vec<String>)]) {
    let room = (usize::from(WIDTH).saturating_sub(labels(told)) / COLUMN).max(1);
    for some in columns.chunks(room) {
        let mut head: Vec<String> = told.sweep.axes.iter().map(|a| last_key(&a.path).to_owned()).collect();
        head.extend(some.iter().map(|(h, _)| h.clone()));
        let heads: Vec<&str> = head.iter().map(String::as_str).collect();
        let mut t = table(&heads);
        for (i, _) in told.sweep.points.iter().enumerate() {
            let mut line = label(told, i);
            line.extend(some.iter().map(|(_, c)| c.get(i).cloned().unwrap_or_default()));
            row(&mut t, &line);
        }
        let text: Vec<String> = t.lines().map(|l| l.trim_end().to_string()).collect();
        page.blocks.push(Block::Table(text.join("\n")));
    }
}

fn last_key(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

/// The values of a point; the best of its row is marked, and what stands in
/// the file.
fn label(told: &Told, point: usize) -> Vec<String> {
    let at = told.at(point);
    let mut line: Vec<String> = told.texts(point).into_iter().map(str::to_owned).collect();
    for (text, axis) in line.iter_mut().zip(&told.sweep.axes) {
        if axis.now.as_deref() == Some(text.as_str()) {
            text.push_str(" =");
        }
    }
    let row = if at.len() > 1 { at.first().copied().unwrap_or(0) } else { 0 };
    let best = match told.sweep.axes.last() {
        Some(axis) if dated(axis) => leading(told.sweep.row(row)).map(|(at, _)| at),
        _ => told.sweep.best(row).and_then(|b| b.surely),
    };
    if best.is_some()
        && best == at.last().copied()
        && let Some(last) = line.last_mut()
    {
        last.push_str(" *");
    }
    line
}

fn aims(told: &Told, span: &Span, page: &mut Page) {
    let count = told.sweep.points.iter().map(|p| p.aims.len()).max().unwrap_or(0);
    if count == 0 {
        return;
    }
    page.heading(format!("How often each aim is kept, of 100 {}", span.many()));
    let letter = |i: usize| char::from(b'A' + (i % 26) as u8).to_string();
    for i in 0..count {
        let words = told.names.aims.get(i).map_or("", String::as_str);
        page.item(format!("{}: {words}", letter(i)));
    }
    let shown = |p: &Point, i: usize| {
        p.aims.get(i).map_or_else(String::new, |a| {
            let [low, high] = a.met_part_ci95.map(|x| (x * 100.0).round());
            let mark = match Kept::of(a) {
                Kept::Yes => "kept",
                Kept::No => "not",
                Kept::Open => "?",
            };
            format!("{:.0} ({low}-{high}) {mark}", a.met_part * 100.0)
        })
    };
    let columns: Vec<(String, Vec<String>)> =
        (0..count).map(|i| (letter(i), told.sweep.points.iter().map(|p| shown(p, i)).collect())).collect();
    tables(told, page, &columns);
    let star = match told.sweep.axes.last().filter(|a| a.frugal_first().is_some()) {
        Some(axis) if dated(axis) => "; * is the best of these dates".to_owned(),
        Some(axis) => format!("; * is the {} value that surely keeps all aims", end(axis)),
        None => String::new(),
    };
    page.say(format!(
        "In brackets the 95 % interval of each part; kept: surely kept; not: surely not kept; ?: cannot be told yet. \
         \"Surely\" holds for all of these together, with a doubt of at most {:.0} of 100 (Bonferroni). = stands in the \
         scenario{star}.",
        SWEEP_DOUBT * 100.0
    ));
}

fn measures(told: &Told, span: &Span, page: &mut Page) {
    page.heading(format!("What else it does (mean of all {}; `run` tells the middle one)", span.many()));
    let show = Show::new(told.units);
    let mut names: Vec<(&str, String)> = USUAL.iter().map(|(n, w)| (*n, (*w).to_owned())).collect();
    for name in told.measures {
        if !names.iter().any(|(n, _)| n == name) {
            names.push((name, name.replace('_', " ")));
        }
    }
    let mut columns: Vec<(String, Vec<String>)> = Vec::new();
    for (name, words) in names {
        let unit = told.sweep.points.iter().find_map(|p| p.measure(name)).map_or("", |m| m.unit);
        let head = match unit {
            "1" | "" => words,
            "kg" => format!("{words}, {}", show.mass_unit()),
            "L" => format!("{words}, {}", show.room_unit()),
            "days" => words,
            unit => format!("{words}, {unit}"),
        };
        let figure = |p: &Point| {
            p.measure(name).map_or_else(
                || "-".to_owned(),
                |m| match m.unit {
                    "1" => percent(m.mean),
                    "kg" => show.mass_number(m.mean),
                    "L" => show.room_number(m.mean),
                    _ => cell(m.mean),
                },
            )
        };
        columns.push((head, told.sweep.points.iter().map(figure).collect()));
    }
    if !told.facts.wishes.is_empty() {
        columns.push((
            "least served wish".into(),
            told.sweep.points.iter().map(|p| scarcest(told, p)).collect(),
        ));
    }
    tables(told, page, &columns);
}

/// The wish of which the least is served, and how much of it is.
fn scarcest(told: &Told, p: &Point) -> String {
    let wishes = told.facts.wishes.iter();
    let fills = wishes.filter_map(|w| Some((p.measure(&format!("{}_fill", w.key))?.mean, &w.name)));
    let least = fills.min_by(|a, b| a.0.total_cmp(&b.0));
    least.map_or_else(String::new, |(part, wish)| format!("{wish} {}", percent(part)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Facts;
    use crate::scenario::{Names, Setting, UnitSystem};
    use crate::sim::outcome::Closure;
    use crate::study::aims::verdict;
    use crate::study::{Axis, Sweep};

    /// The page of a sweep over 10, 20, … jars, its one aim kept in so many of
    /// 1000 years against 900 wanted.
    fn told(kept: &[u32], frugal: End) -> String {
        told_of(kept, frugal, &|i| format!("{}0", i + 1))
    }

    /// The same over other values.
    fn told_of(kept: &[u32], frugal: End, text: &dyn Fn(usize) -> String) -> String {
        let values = (0..kept.len()).map(|i| Setting { text: text(i), value: Some(i as f64) }).collect();
        let axis = Axis { path: "jars.quart".into(), now: Some("20".into()), frugal, values };
        let point = |k: &u32| Point {
            aims: vec![verdict("waste below 5 %".into(), "wasted_part".into(), *k, 1000, 0.9, false)],
            measures: Vec::new(),
            closure: Closure::default(),
        };
        let points = kept.iter().map(point).collect();
        let sweep = Sweep { trials: 1000, seed: 1, days: 365, axes: vec![axis], points, broken_off: false };
        let aims = vec!["waste below 5 %".to_owned()];
        let names = Names { first_day: "2027-04-01".into(), aims, ..Names::default() };
        let told = Told {
            sweep: &sweep,
            names: &names,
            facts: &Facts::default(),
            variant: None,
            units: UnitSystem::Us,
            file: "farm.yaml",
            sha256: "",
            measures: &[],
        };
        let text = page(&told).text(80);
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_answer_in_words() {
        let text = told(&[500, 905, 990, 995], End::Smallest);
        let answer =
            "30 is the smallest value tried that surely keeps its one aim. Whether 20 does, 1,000 simulated";
        assert!(text.contains(answer) && text.contains("30 *") && text.contains("20 ="), "{text}");
        assert!(text.contains("50 (47-53) not") && text.contains("(89-92) ?"), "{text}");
        assert!(text.contains("* is the smallest value") && !text.contains("Mind that"), "{text}");
        let text = told(&[990, 990, 500], End::Largest);
        assert!(text.contains("20 is the largest value tried that surely keeps its one aim."), "{text}");
        let text = told(&[100, 200], End::Smallest);
        assert!(
            text.contains("No value tried keeps its one aim. None of them keeps \"waste below 5 %\"."),
            "{text}"
        );
    }

    /// All that is open is named, not the most frugal alone; of many the first.
    #[test]
    fn all_that_is_open_is_named() {
        let text = told(&[905, 895, 910, 990, 902], End::Smallest);
        assert!(text.contains("Whether 10, 20 and 30 do, 1,000 simulated"), "{text}");
        let text = told(&[905, 895, 890, 902, 900, 910], End::Smallest);
        let all =
            "No value tried surely keeps its one aim; whether 10, 20, 30, 40, 50 and 60 do, 1,000 simulated";
        assert!(text.contains(all), "{text}");
        let text = told(&[900; 12], End::Smallest);
        assert!(text.contains("whether 10, 20, 30, 40, 50, 60, 70 and 5 more do"), "{text}");
    }

    /// The best date is told with how sure that is.
    #[test]
    fn dates_that_are_not_told_apart_are_named() {
        let dates = |kept: &[u32]| {
            let text = |i: usize| format!("2027-0{}-01", i + 1);
            told_of(kept, End::Smallest, &text)
        };
        let close = dates(&[700, 940, 935]);
        assert!(close.contains("The best of these dates seems 2027-02-01"), "{close}");
        assert!(
            close.contains("is kept in 94 (92 to 95) of 100 simulated years")
                || close.contains("of 100 years"),
            "{close}"
        );
        assert!(close.contains("2027-03-01 may be as good"), "{close}");
        let clear = dates(&[700, 990, 935]);
        assert!(
            clear.contains("The best of these dates is 2027-02-01") && !clear.contains("as good"),
            "{clear}"
        );
    }

    #[test]
    fn an_aim_that_turns_is_told() {
        let text = told(&[500, 990, 500], End::Smallest);
        assert!(text.contains("Yet 30 does not keep it."), "{text}");
        assert!(text.contains("Mind that \"waste below 5 %\" is kept now more and now less often"), "{text}");
    }
}
