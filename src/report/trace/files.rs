//! The trial for other programs: SI, stable names.

use std::io::Write;

use serde_json::{Map, Value, json};

use super::*;
use crate::report::ReportError;
use crate::report::csv::{number, text};
use crate::sim::outcome::Source;
use crate::study::trace::Herd;

const fn source_key(source: Source) -> &'static str {
    match source {
        Source::Drawn => "drawn",
        Source::Fetched => "fetched",
        Source::Added => "added",
        Source::Bought => "bought",
        Source::Opening => "in_store_at_the_start",
    }
}

/// What an event says, one word or number a column; empty where it says nothing.
struct Row<'a> {
    event: &'static str,
    source: &'static str,
    animal: &'a str,
    item: &'a str,
    into: &'a str,
    fate: &'static str,
    fed_to: &'a str,
    reason: &'static str,
    times: Option<u32>,
    wanted_kg: Option<f64>,
    hours: Option<f64>,
}

const fn herd_key(what: Herd) -> &'static str {
    match what {
        Herd::Came => "animal_came",
        Herd::Left => "animal_left",
        Herd::Freshened => "freshened",
        Herd::Dry => "dry",
        Herd::FellIll => "fell_ill",
        Herd::KeptFromPeople => "kept_from_people",
        Herd::FitAgain => "fit_again",
        Herd::HeatUnseen => "heat_unseen",
        Herd::Bred => "bred",
        Herd::Settled => "settled",
        Herd::NotSettled => "not_settled",
        Herd::LeftOpen => "left_open",
        Herd::YoungOn => "young_on",
        Herd::YoungShutIn(_) => "young_shut_in",
        Herd::YoungOff => "young_off",
        Herd::OnceADay => "once_a_day",
        Herd::AsBefore => "milked_as_before",
    }
}

impl<'a> Row<'a> {
    fn of(told: &'a Told, e: &Event) -> Self {
        let blank = Row {
            event: "",
            source: "",
            animal: "",
            item: "",
            into: "",
            fate: "",
            fed_to: "",
            reason: "",
            times: None,
            wanted_kg: None,
            hours: None,
        };
        let animal = |a: Option<usize>| a.and_then(|a| told.names.animals.get(a)).map_or("", String::as_str);
        let outlet = |o: Option<usize>| o.and_then(|o| told.names.outlets.get(o)).map_or("", String::as_str);
        match e.what {
            What::Came { source, animal: a, want } => Row {
                event: "came",
                source: source_key(source),
                animal: animal(a),
                item: want.map_or("", |w| told.want(w)),
                ..blank
            },
            What::Went { fate, item, outlet: o, animal: a } => Row {
                event: "went",
                fate: fate.key(),
                item: item.map_or("", |i| told.item(i)),
                fed_to: outlet(o),
                animal: animal(a),
                ..blank
            },
            What::Turned { from, to } => {
                Row { event: "turned", item: told.item(from), into: told.item(to), ..blank }
            }
            What::Took(i) => Row { event: "took", item: told.item(i), ..blank },
            What::Made(i) => Row { event: "made", item: told.item(i), ..blank },
            What::Fired(times) => Row { event: "rule_worked", times: Some(times), ..blank },
            What::Held { why, .. } => Row { event: "rule_held", reason: why.key(), ..blank },
            What::Short { want, wanted } => {
                Row { event: "short", item: told.want(want), wanted_kg: Some(wanted), ..blank }
            }
            What::Broke(n) => Row { event: "jars_broken", times: Some(n), ..blank },
            What::NotCome(n) => Row { event: "delivery_failed", times: Some(n), ..blank },
            What::WentShort { member, promised } => Row {
                event: "member_short",
                fed_to: told.names.members.get(member).map_or("", String::as_str),
                wanted_kg: Some(promised),
                ..blank
            },
            What::MembersStayedAway(n) => Row { event: "members_stayed_away", times: Some(n), ..blank },
            What::Starter(n) => Row { event: "starter_bought", times: Some(n), ..blank },
            What::NoPower(hours) => Row { event: "no_power", hours: Some(hours), ..blank },
            What::Animal { animal: a, what } => {
                Row { event: herd_key(what), animal: animal(Some(a)), ..blank }
            }
        }
    }

    fn words(&self) -> [(&'static str, &str); 8] {
        [
            ("event", self.event),
            ("source", self.source),
            ("animal", self.animal),
            ("item", self.item),
            ("into", self.into),
            ("fate", self.fate),
            ("fed_to", self.fed_to),
            ("reason", self.reason),
        ]
    }
}

/// A reader who has gone is told apart from a row that cannot be.
fn failed(e: ::csv::Error) -> ReportError {
    if !e.is_io_error() {
        return ReportError::Csv(e);
    }
    match e.into_kind() {
        ::csv::ErrorKind::Io(e) => ReportError::Io(e),
        other => ReportError::Io(std::io::Error::other(format!("{other:?}"))),
    }
}

/// A row an event. `short` tells what was served against `wanted_kg`, `member_short`
/// what was handed over against what was promised, the member in `fed_to`.
///
/// # Errors
/// When `out` cannot be written.
pub fn csv(told: &Told, out: &mut dyn Write) -> Result<(), ReportError> {
    let mut out = ::csv::WriterBuilder::new().from_writer(out);
    out.write_record([
        "day",
        "date",
        "moment",
        "event",
        "source",
        "animal",
        "item",
        "into",
        "fate",
        "fed_to",
        "reason",
        "rule",
        "rule_words",
        "times",
        "wanted_kg",
        "hours",
        "mass_kg",
        "fat_kg",
        "protein_kg",
        "milk_kg",
    ])
    .map_err(failed)?;
    let span = told.span();
    for e in told.events() {
        let row = Row::of(told, e);
        let mut line = vec![e.day.to_string(), span.iso(e.day as usize), moment_key(e.moment).to_string()];
        line.extend(row.words().map(|(_, w)| text(w)));
        line.push(e.rule.map_or_else(String::new, |r| (r + 1).to_string()));
        line.push(e.rule.and_then(|r| told.trace.rules.get(r)).map_or_else(String::new, |w| text(w)));
        line.push(row.times.map_or_else(String::new, |n| n.to_string()));
        line.push(row.wanted_kg.map_or_else(String::new, number));
        line.push(row.hours.map_or_else(String::new, number));
        let m = e.matter;
        line.extend([m.mass, m.fat, m.protein, m.milk].map(number));
        out.write_record(&line).map_err(failed)?;
    }
    out.flush()?;
    Ok(())
}

fn event(told: &Told, e: &Event) -> Value {
    let row = Row::of(told, e);
    let mut out = Map::new();
    out.insert("moment".into(), json!(moment_key(e.moment)));
    for (key, word) in row.words().into_iter().filter(|(_, w)| !w.is_empty()) {
        out.insert(key.into(), json!(word));
    }
    if let Some(r) = e.rule {
        out.insert("rule".into(), json!(r + 1));
    }
    if let Some(n) = row.times {
        out.insert("times".into(), json!(n));
    }
    if let Some(kg) = row.wanted_kg {
        out.insert("wanted_kg".into(), json!(kg));
    }
    if let Some(hours) = row.hours {
        out.insert("hours".into(), json!(hours));
    }
    let m = e.matter;
    let counted =
        matches!(e.what, What::Broke(_) | What::NotCome(_) | What::MembersStayedAway(_) | What::Starter(_));
    let moves = !counted && !matches!(e.what, What::Held { .. } | What::NoPower(_) | What::Animal { .. });
    for (key, kg) in [("mass_kg", m.mass), ("fat_kg", m.fat), ("protein_kg", m.protein), ("milk_kg", m.milk)]
    {
        let whole = !matches!(e.what, What::Fired(_) | What::Short { .. } | What::WentShort { .. });
        if moves && (whole || key == "mass_kg") {
            out.insert(key.into(), json!(kg));
        }
    }
    Value::Object(out)
}

/// The trial as JSON, ending in a line feed.
///
/// # Errors
/// When it cannot be put into bytes.
pub fn json(told: &Told) -> Result<Vec<u8>, ReportError> {
    let t = told.trace;
    let span = told.span();
    let by = |key: MeasureKey| key.name(&crate::study::measures::want_words(told.plan, told.names));
    let (choice, measure) = match t.chosen.choice {
        Choice::Steady => ("steady", None),
        Choice::Number(_) => ("number", None),
        Choice::Middle(key) => ("middle", Some(by(key))),
        Choice::Worst(key) => ("worst", Some(by(key))),
    };
    let mut events = told.events().peekable();
    let mut days = Vec::new();
    for day in told.days.clone() {
        let Some(state) = t.days.get(day as usize) else { continue };
        let mut here = Vec::new();
        while let Some(e) = events.next_if(|e| e.day == day) {
            here.push(event(told, e));
        }
        days.push(json!({
            "day": day,
            "date": span.iso(day as usize),
            "away": state.away,
            "cold_wanted_l": state.fullest.cold_wanted_l,
            "cold_used_l": state.fullest.cold_used_l,
            "jars_used": state.fullest.jars_used,
            "over_full": state.fullest.over_full,
            "chore_minutes": state.chores,
            "kitchen_minutes": state.kitchen,
            "events": here,
        }));
    }
    let measures: Map<String, Value> =
        t.columns.iter().zip(&t.values).map(|(name, v)| (name.clone(), json!(v))).collect();
    let value = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "scenario": {"title": told.names.title, "file": told.file, "sha256": told.sha256},
        "seed": t.seed,
        "trial": t.chosen.number,
        "chosen": {"by": choice, "measure": measure, "among": t.chosen.among, "all_alike": t.chosen.all_alike},
        "measures": measures,
        "rules": t.rules,
        "days": days,
        "cautions": told.names.cautions,
    });
    let mut bytes = serde_json::to_vec_pretty(&value)?;
    bytes.push(b'\n');
    Ok(bytes)
}
