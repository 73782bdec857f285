//! The page of a jar.

use super::drawing::{self, Note};
use super::*;
use crate::report::amounts::{Show, number, percent};
use crate::report::page::Block;
use crate::report::words::{GENERAL_CAUTION, capital};
use crate::units::show;

/// Litres in a US gallon (NIST Handbook 44, appendix C: 231 cubic inches).
const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Above this, °C, public advice no longer calls milk cold: 40 °F (United States, Food
/// Safety and Inspection Service).
const COLD_C: f64 = 4.45;

pub(super) const fn species(s: Species) -> &'static str {
    match s {
        Species::Cow => "cow",
        Species::Goat => "goat",
        Species::Sheep => "sheep",
    }
}

/// A depth: eighths of an inch, or whole millimetres.
pub(in crate::report) fn depth(metres: f64, units: UnitSystem) -> String {
    if units == UnitSystem::Metric {
        return if metres > 0.0 && metres < 0.0005 {
            "under 1 mm".into()
        } else {
            format!("{} mm", show::fixed(metres * 1000.0, 0))
        };
    }
    let eighths = (metres / 0.0254 * 8.0).round();
    if eighths == 0.0 {
        return if metres > 0.0 { "under ⅛ in".into() } else { "0 in".into() };
    }
    let whole = (eighths / 8.0).floor();
    let rest = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"][(eighths - 8.0 * whole) as usize];
    let whole = if whole > 0.0 { show::whole(whole) } else { String::new() };
    format!("{whole}{rest} in")
}

/// A small volume: cups or spoons, or millilitres.
fn cream_volume(litres: f64, units: UnitSystem) -> String {
    let cup = LITRES_PER_GALLON / 16.0;
    match units {
        UnitSystem::Metric => show::volume(litres, units),
        UnitSystem::Us if litres >= 0.995 * cup => {
            let cups = show::rough(litres / cup);
            format!("{cups} {}", if cups == "1" { "cup" } else { "cups" })
        }
        UnitSystem::Us => format!("{} fl oz", show::rough(litres / cup * 8.0)),
    }
}

pub(in crate::report) const fn grade_words(grade: Grade) -> &'static str {
    match grade {
        Grade::Heavy => "heavy cream",
        Grade::LightWhipping => "light whipping cream",
        Grade::Light => "light cream",
        Grade::HalfAndHalf => "half-and-half",
        Grade::Milk => "milk",
    }
}

/// A grade in a narrow table.
const fn short(grade: Grade) -> &'static str {
    match grade {
        Grade::LightWhipping => "light whipping",
        _ => grade_words(grade),
    }
}

/// Fat to a hundredth of a percent.
fn fine(part: f64) -> String {
    format!("{} %", show::fixed(100.0 * part, 2))
}

/// Fat in words, never rounded over the bound of a grade.
pub(super) fn fat_words(part: f64) -> String {
    if part < 0.0995 {
        return percent(part);
    }
    let rounded = (1000.0 * part).round() / 1000.0;
    if Grade::of(rounded) == Grade::of(part) {
        format!("{} %", show::fixed(100.0 * part, 1))
    } else {
        fine(part)
    }
}

/// The bounds of a grade in words.
fn bounds(grade: Grade) -> String {
    let (from, to) = grade.bounds();
    let n = |x: f64| number(100.0 * x);
    match grade {
        Grade::Heavy => format!("{} % and over", n(from)),
        Grade::Milk => format!("under {} %", n(to)),
        _ => format!("{} to {} %", n(from), n(to)),
    }
}

/// The usual skims of a jar, by name, from the shallowest; those that take
/// nothing are left out.
pub(super) fn skims(jar: &Jar) -> Vec<(String, Skim)> {
    let mut out: Vec<(String, Skim)> = Vec::new();
    let mut add = |name: String, wish: Wish| {
        if let (Some(skim), None) = jar.wished(wish)
            && skim.cut.part < 1.0
        {
            out.push((name, skim));
        }
    };
    for grade in [Grade::Heavy, Grade::LightWhipping] {
        add(
            format!("{}, {} %", short(grade), number(100.0 * grade.least_fat())),
            Wish::Grade(grade.least_fat()),
        );
    }
    // Whole milk by law, and the milks that are sold (21 CFR 131.110 and 101.62).
    for fat in [0.035, 0.0325, 0.02, 0.01] {
        add(format!("to leave {} %", number(100.0 * fat)), Wish::Leave(fat));
    }
    add("all down to the line".into(), Wish::Layer);
    for grade in [Grade::Light, Grade::HalfAndHalf] {
        add(
            format!("{}, {} %", short(grade), number(100.0 * grade.least_fat())),
            Wish::Grade(grade.least_fat()),
        );
    }
    out.sort_by(|a, b| a.1.cut.part.total_cmp(&b.1.cut.part));
    out
}

pub(super) fn page(jar: &Jar) -> Page {
    let ask = &jar.ask;
    let units = ask.units;
    let mut page = Page::default();
    let size = ask.jar.replace(' ', "-");
    let time = if ask.hours <= 72.0 {
        format!("{} h", show::fixed(ask.hours, 1))
    } else {
        show::duration(ask.hours / 24.0)
    };
    page.blocks.push(Block::Title(format!(
        "{}: {} milk of {} fat, {} at {}, in a {size} jar",
        capital(&ask.whose),
        species(ask.species),
        fine(ask.fat),
        time,
        show::temperature(ask.celsius, units),
    )));
    page.say(lead(jar));
    let wished = ask.wish.map(|w| (w, jar.wished(w)));
    let skim = wished.and_then(|(_, (skim, _))| skim);
    page.blocks.push(Block::Table(drawn(jar, skim.as_ref())));
    page.say(marks(jar));
    if let Some((wish, (skim, unmet))) = wished {
        page.part("How deep", answer(jar, wish, skim.as_ref(), unmet));
        if let Some(skim) = skim {
            gives(jar, &skim, &mut page);
        }
    }
    bands(jar, &mut page);
    if ask.wish.is_none() {
        table(jar, &mut page);
    }
    notes(jar, &mut page);
    page
}

fn lead(jar: &Jar) -> String {
    let u = jar.ask.units;
    if jar.layer.volume_part <= 0.0 {
        return "No cream has risen: the milk is as rich at the bottom as at the top.".into();
    }
    format!(
        "The cream line stands {} below the surface of {} of milk ({} of it). The cream above it holds {} fat on \
         average, from {} at the top; the milk below holds {}.",
        depth(jar.line_m(), u),
        depth(jar.deep_m, u),
        percent(jar.layer.volume_part),
        fat_words(jar.layer.mean_fat()),
        fat_words(jar.layer.top_fat),
        percent(jar.layer.below_fat),
    )
}

fn drawn(jar: &Jar, skim: Option<&Skim>) -> String {
    let u = jar.ask.units;
    let line = jar.layer.volume_part;
    let mut notes: Vec<Note> = vec![(0.0, "0".into())];
    if let Some(s) = skim {
        notes.push((s.cut.part, format!("skim to {}", depth(s.depth_m, u))));
    }
    if line > 0.0 {
        notes.push((line, format!("line {}", depth(jar.line_m(), u))));
    }
    notes.push((1.0, depth(jar.deep_m, u)));
    notes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let before = drawing::jar(jar, 0.0, &notes);
    let Some(s) = skim else { return drawing::alone(&before) };
    let mut left = vec![(s.cut.part, "skimmed".to_string())];
    if s.left_m > 0.0005 {
        left.push((line, format!("{} cream", depth(s.left_m, u))));
    }
    drawing::beside(&before, &drawing::jar(jar, s.cut.part, &left))
}

/// What the marks mean, for those that are drawn.
fn marks(jar: &Jar) -> String {
    let marks: Vec<String> = jar
        .bands()
        .into_iter()
        .filter(|(g, ..)| *g != Grade::Milk)
        .map(|(g, ..)| format!("{} {}", drawing::mark(g), grade_words(g)))
        .collect();
    if marks.is_empty() { String::new() } else { format!("{}, by the fat at each depth.", marks.join(", ")) }
}

fn answer(jar: &Jar, wish: Wish, skim: Option<&Skim>, unmet: Option<Unmet>) -> String {
    let u = jar.ask.units;
    let fat = match wish {
        Wish::Leave(f) | Wish::Grade(f) => fine(f),
        Wish::Layer => String::new(),
    };
    match (skim, unmet) {
        (None, Some(Unmet::LeanAlready)) => {
            format!(
                "Nothing to skim: the milk holds {} fat, no more than the {fat} to be left.",
                fat_words(jar.ask.fat)
            )
        }
        (None, Some(Unmet::TooLean)) => format!(
            "Nothing to skim: even the very top holds only {} fat, less than the {fat} asked for. Longer rest makes \
             the top richer.",
            fat_words(jar.layer.top_fat)
        ),
        (None, _) => "Nothing to skim: no cream has risen.".into(),
        (Some(s), unmet) => {
            let lead = if s.cut.part >= 1.0 {
                "The whole jar is as rich as that".to_string()
            } else {
                format!("Take {} off the top", depth(s.depth_m, u))
            };
            let why = match (wish, unmet) {
                (Wish::Leave(_), Some(_)) => {
                    format!(
                        ": all of the cream. Even so the milk keeps {} fat; no skim by hand reaches {fat}.",
                        fat_words(s.milk.fat_part())
                    )
                }
                (Wish::Leave(_), None) => format!(": the milk keeps {fat} fat."),
                (Wish::Grade(_), _) => format!(": cream of {fat} fat on average."),
                (Wish::Layer, _) => ", all of the cream.".into(),
            };
            format!("{lead}{why}")
        }
    }
}

fn gives(jar: &Jar, s: &Skim, page: &mut Page) {
    let u = jar.ask.units;
    let show = Show::new(u);
    let mut pair = |label: &str, text: String| page.blocks.push(Block::Pair(label.into(), text));
    let litres = s.cut.part * jar.ask.working_l;
    pair(
        "cream",
        format!(
            "{} ({}) of {} fat: {}",
            cream_volume(litres, u),
            show.mass(s.cream.mass),
            fat_words(s.cut.fat_part),
            grade_words(Grade::of(s.cut.fat_part))
        ),
    );
    pair(
        "milk left",
        format!(
            "{} ({}) of {} fat",
            show.volume(jar.ask.working_l - litres),
            show.mass(s.milk.mass),
            fat_words(s.milk.fat_part())
        ),
    );
    let line = if s.left_m > 0.0005 {
        format!("{} of cream stays on it", depth(s.left_m, u))
    } else {
        "no cream stays on it".to_string()
    };
    let again = if s.again_m > 0.0005 && s.left_m > 0.0005 {
        format!("; shaken and rested as long again, its line stands at {}", depth(s.again_m, u))
    } else {
        String::new()
    };
    pair("its line", format!("{line}{again}"));
    pair(
        "butter",
        s.butter_kg.map_or_else(
            || "this cream is too lean to churn".into(),
            |kg| format!("{} from this jar, {}", show.mass(kg), butter_a_gallon(jar, kg)),
        ),
    );
}

fn butter_a_gallon(jar: &Jar, kg: f64) -> String {
    let per_l = kg / jar.ask.working_l;
    let show = Show::new(jar.ask.units);
    match jar.ask.units {
        UnitSystem::Us => format!("{} a gallon of milk", show.mass(per_l * LITRES_PER_GALLON)),
        UnitSystem::Metric => format!("{} a litre of milk", show.mass(per_l)),
    }
}

fn bands(jar: &Jar, page: &mut Page) {
    let u = jar.ask.units;
    page.heading("From the top down, by the United States grades");
    for (grade, from, to) in jar.bands() {
        let from_to = if to >= 1.0 && from <= 0.0 {
            "from top to bottom".to_string()
        } else if to >= 1.0 {
            format!("from {} down", depth(from * jar.deep_m, u))
        } else {
            let (from, to) = (depth(from * jar.deep_m, u), depth(to * jar.deep_m, u));
            match to.strip_prefix("under ") {
                Some(least) => format!("a film, less than {least}"),
                None if from == to => format!("a film at {to}"),
                None => format!("{} to {to}", if from.starts_with("0 ") { "0" } else { from.as_str() }),
            }
        };
        page.blocks.push(Block::Pair(format!("{} ({})", grade_words(grade), bounds(grade)), from_to));
    }
    page.blocks.push(Block::Pair("standards".into(), "21 CFR 131.150, 131.155, 131.157 and 131.180".into()));
}

fn table(jar: &Jar, page: &mut Page) {
    let u = jar.ask.units;
    let rows = skims(jar);
    if rows.is_empty() {
        return;
    }
    page.heading("How deep to skim, for what");
    let show = Show::new(u);
    let mut lines = vec![[
        "take".to_string(),
        "off top".into(),
        "cream".into(),
        "its fat".into(),
        "leaves".into(),
        if u == UnitSystem::Us { "butter a gal".into() } else { "butter a L".to_string() },
    ]];
    for (name, s) in &rows {
        let per = if u == UnitSystem::Us { LITRES_PER_GALLON } else { 1.0 };
        lines.push([
            name.clone(),
            depth(s.depth_m, u),
            cream_volume(s.cut.part * jar.ask.working_l, u),
            fat_words(s.cut.fat_part),
            fine(s.milk.fat_part()),
            s.butter_kg.map_or_else(|| "too lean".into(), |kg| show.mass(kg / jar.ask.working_l * per)),
        ]);
    }
    let wide = |c: usize| lines.iter().map(|l| l[c].chars().count()).max().unwrap_or(0);
    let mut text = String::new();
    for line in &lines {
        let mut row = format!("  {}{}", line[0], " ".repeat(wide(0) - line[0].chars().count()));
        for (c, cell) in line.iter().enumerate().skip(1) {
            row.push_str(&" ".repeat(2 + wide(c) - cell.chars().count()));
            row.push_str(cell);
        }
        text.push_str(row.trim_end());
        text.push('\n');
    }
    page.blocks.push(Block::Table(text));
}

fn notes(jar: &Jar, page: &mut Page) {
    page.heading("How far to trust it");
    page.item(
        "The jar is taken as straight, with a fifth of an inch (5 mm) of glass all round: where it narrows, the same \
         cream reaches deeper. A ladle does not follow the line exactly and leaves some of the cream.",
    );
    if jar.ask.species != Species::Cow {
        page.item(
            "Fat of goat and sheep milk does not cluster in the cold and hardly rises; families that want its cream \
             use a separator.",
        );
    }
    if jar.ask.celsius > COLD_C {
        page.item(format!(
            "{} is warmer than cold milk is kept ({}): cream rises faster there, and milk spoils faster.",
            show::temperature(jar.ask.celsius, jar.ask.units),
            show::temperature(4.4, jar.ask.units)
        ));
    }
    page.item(GENERAL_CAUTION);
}
