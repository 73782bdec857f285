//! How an earlier forecast held.

use serde_json::{Value, json};

use super::super::ReportError;
use super::super::amounts::percent;
use super::super::json::finite;
use super::super::{Block, Page};
use crate::study::learn::score::{FEW, PROMISED, Score, Trust};
use crate::units::show;

/// The page: the verdict first.
#[must_use]
pub fn score_page(name: &str, s: &Score) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(format!("{name}: how the forecast held")));
    let promised = percent(PROMISED);
    page.say(match s.trust {
        Trust::TooFew if s.days == 0 => {
            "The log and the forecast have no whole day in common, so nothing can be said.".to_owned()
        }
        Trust::TooFew => format!(
            "Only {} can be compared; from {FEW} days on it can be told whether to trust it.",
            show::counted(f64::from(s.days), "day", "days")
        ),
        Trust::Holds => format!(
            "Nothing speaks against it: its ranges promise {promised} of the days, and that is among what these days can mean."
        ),
        Trust::TooSure => format!(
            "Do not trust its ranges: they promise {promised} of the days and hold clearly fewer. Think of them as wider, \
             and learn her curve anew from the log."
        ),
        Trust::TooWide => format!(
            "It is more careful than need be: its ranges promise {promised} of the days and hold clearly more. \
             Her curve learnt anew from the log will narrow them."
        ),
    });
    if s.days == 0 {
        return page;
    }
    let span = s.span.map_or_else(String::new, |(a, b)| format!(" ({a} to {b})"));
    page.item(format!(
        "{} of {} lie inside the range{span}: {}. Days that follow one another are alike; these are worth {}, \
         so the truth lies between {} and {} (19 times of 20).",
        show::whole(f64::from(s.inside)),
        show::counted(f64::from(s.days), "day", "days"),
        percent(f64::from(s.inside) / f64::from(s.days)),
        show::counted(s.worth.round(), "day", "days"),
        percent(s.part_ci95[0]),
        percent(s.part_ci95[1]),
    ));
    page.item(format!(
        "{} below the range, {} above it.",
        show::counted(f64::from(s.below_above[0]), "day lies", "days lie"),
        show::whole(f64::from(s.below_above[1])),
    ));
    let way = if s.bias < 0.0 { "less" } else { "more" };
    let sure = if s.bias_ci95[0] <= 0.0 && s.bias_ci95[1] >= 0.0 {
        "which may be chance"
    } else {
        "which is more than chance"
    };
    page.item(format!("On the mean she gave {} {way} than forecast, {sure}.", percent(s.bias.abs())));
    if s.days < s.forecast_days {
        page.item(format!(
            "{} of the forecast have no whole day in the log yet.",
            show::counted(f64::from(s.forecast_days - s.days), "day", "days")
        ));
    }
    page
}

/// The same as numbers.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub fn score_json(name: &str, s: &Score) -> Result<Vec<u8>, ReportError> {
    let trust = match s.trust {
        Trust::TooFew => "too_few_days",
        Trust::Holds => "holds",
        Trust::TooSure => "too_sure",
        Trust::TooWide => "too_wide",
    };
    let pair = |p: [f64; 2]| Value::Array(p.map(finite).to_vec());
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
        "inside_part_ci95": pair(s.part_ci95),
        "worth_days": finite(s.worth),
        "bias_part": finite(s.bias),
        "bias_part_ci95": pair(s.bias_ci95),
    });
    let mut bytes = serde_json::to_vec_pretty(&top)?;
    bytes.push(b'\n');
    Ok(bytes)
}
