//! How an earlier forecast held.

use serde_json::{Value, json};

use super::super::ReportError;
use super::super::amounts::percent;
use super::super::json::finite;
use super::super::{Block, Page};
use super::reasons;
use crate::records::Log;
use crate::study::learn::score::{FEW, PROMISED, Score, Trust};
use crate::units::show;

/// The page: the verdict first, what became of the rows last.
#[must_use]
pub fn score_page(name: &str, file: &str, log: &Log, s: &Score, all: bool) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(format!("{name}: how the forecast held")));
    page.say(verdict(s));
    if s.days > 0 {
        facts(s, &mut page);
    }
    rows(file, log, all, &mut page);
    page
}

fn verdict(s: &Score) -> String {
    let promised = percent(PROMISED);
    let days = show::counted(f64::from(s.days), "day", "days");
    match s.trust {
        Trust::TooFew if s.days == 0 => {
            "The log and the forecast have no whole day in common, so nothing can be said.".to_owned()
        }
        Trust::TooFew => {
            format!("Only {days} can be compared; from {FEW} days on it can be told whether to trust it.")
        }
        Trust::Holds => format!(
            "Nothing speaks against it: its ranges promise {promised} of the days, and what came is among what an \
             honest forecast can meet with. All its days share what it did not know of her level, so one forecast \
             cannot show that its ranges are wider than need be."
        ),
        Trust::Off => format!(
            "Do not trust it: its days lie {} on the mean, {:.1} of its own standard deviations. An honest forecast is \
             so far off in fewer than 1 of 40 cases. Learn her curve anew from the log.",
            if s.off < 0.0 { "too high" } else { "too low" },
            s.off.abs()
        ),
        Trust::TooNarrow => format!(
            "Do not trust its ranges: about their own mean her days go up and down by {:.1} times what they promise. \
             Think of them as wider, and learn her curve and her noise anew from the log.",
            s.ups_and_downs
        ),
    }
}

fn facts(s: &Score, page: &mut Page) {
    let days = show::counted(f64::from(s.days), "day", "days");
    let span = s.span.map_or_else(String::new, |(a, b)| format!(" ({a} to {b})"));
    page.item(format!(
        "{} of {days} {} inside the range{span}: {}. {} below it, {} above.",
        show::whole(f64::from(s.inside)),
        if s.days == 1 { "lies" } else { "lie" },
        percent(f64::from(s.inside) / f64::from(s.days)),
        show::counted(f64::from(s.below_above[0]), "day lies", "days lie"),
        show::whole(f64::from(s.below_above[1])),
    ));
    let way = if s.bias < 0.0 { "less" } else { "more" };
    let sure =
        if s.trust == Trust::Off { "more than its ranges allow for" } else { "which its ranges allow for" };
    page.item(format!("On the mean she gave {} {way} than forecast, {sure}.", percent(s.bias.abs())));
    let rest = s.forecast_days - s.days;
    if rest > 0 {
        page.item(format!(
            "{} of the forecast {} no whole day in the log yet.",
            show::counted(f64::from(rest), "day", "days"),
            if rest == 1 { "has" } else { "have" }
        ));
    }
}

fn rows(file: &str, log: &Log, all: bool, page: &mut Page) {
    let c = log.counts;
    page.heading("What became of the rows");
    let mut ends = vec![format!("{} read", show::whole(c.used as f64))];
    for (n, what) in [
        (c.aside, "set aside"),
        (c.others, "of other animals"),
        (c.blank, "blank"),
        (c.headings, "repeated headings"),
    ] {
        if n > 0 {
            ends.push(format!("{} {what}", show::whole(n as f64)));
        }
    }
    let rows = show::counted(c.rows as f64, "row", "rows");
    page.say(format!("{file} holds {rows}: {}.", show::listed(&ends)));
    if let Some(text) = reasons::halves(log) {
        page.item(text);
    }
    for d in &log.decided {
        page.item(d.as_str());
    }
    for line in reasons::told(log.aside.iter(), all) {
        page.item(format!("Set aside: {line}"));
    }
}

/// The same as numbers.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub fn score_json(name: &str, log: &Log, s: &Score) -> Result<Vec<u8>, ReportError> {
    let trust = match s.trust {
        Trust::TooFew => "too_few_days",
        Trust::Holds => "holds",
        Trust::Off => "off",
        Trust::TooNarrow => "too_narrow",
    };
    let c = log.counts;
    let aside = |a: &crate::records::Aside| json!({"line": a.line, "column": a.column, "why": a.why});
    let aside: Vec<Value> = log.aside.iter().map(aside).collect();
    let top = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "animal": name,
        "trust": trust,
        "promised_part": PROMISED,
        "forecast_days": s.forecast_days,
        "days": s.days,
        "from": s.span.map(|(a, _)| a.to_string()),
        "until": s.span.map(|(_, b)| b.to_string()),
        "inside": s.inside,
        "below": s.below_above[0],
        "above": s.below_above[1],
        "off_standard_deviations": finite(s.off),
        "ups_and_downs_over_promised": finite(s.ups_and_downs),
        "bias_part": finite(s.bias),
        "rows": {"all": c.rows, "read": c.used, "aside": c.aside, "blank": c.blank, "headings": c.headings,
                 "other_animals": c.others},
        "aside": aside,
    });
    let mut bytes = serde_json::to_vec_pretty(&top)?;
    bytes.push(b'\n');
    Ok(bytes)
}
