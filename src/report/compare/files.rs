//! `compare.json`, `compare.csv` and `aims.csv`: SI, differences are choice
//! less base.

use std::io::Write;

use serde_json::{Map, Value, json};

use super::super::ReportError;
use super::super::csv::{number, rows, text};
use super::super::json::{finite, pair};
use super::{Origin, Told};
use crate::scenario::Changed;
use crate::study::compare::{AIM_MARGIN, Against, AimPair, Best, Comparison, Pair, QuantilePair, margin};

type Done = Result<(), ReportError>;

/// The bytes of `compare.json`, ending in a line feed.
///
/// # Errors
/// When serialising fails (never in practice: memory only).
pub(super) fn json(told: &Told) -> Result<Vec<u8>, ReportError> {
    let f = told.found;
    let value = json!({
        "springhouse": env!("CARGO_PKG_VERSION"),
        "scenario": told.origins.first().map(origin),
        "choices": told.origins.iter().skip(1).map(origin).collect::<Vec<_>>(),
        "seed": f.seed,
        "trials": f.trials,
        "days": f.days,
        "first_day": told.names.first_day,
        "control": {
            "alpha": finite(f.alpha),
            "rule": "Holm, over choices x aimed measures; claims of a difference and claims of sameness each",
            "aimed_measures": f.aimed,
            "claims": f.family,
            "aim_claims": f.aim_family,
            "resamples": f.resamples,
        },
        "margins": margins(f),
        "compared": f.choices.iter().map(against).collect::<Vec<_>>(),
        "best": f.best.as_ref().map(best),
        "cautions": told.cautions,
    });
    let mut bytes = serde_json::to_vec_pretty(&value)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn origin(o: &Origin) -> Value {
    let change = |c: &Changed| json!({"path": c.path, "was": c.was, "now": c.now});
    json!({
        "name": o.name,
        "file": o.file,
        "title": o.title,
        "variant": o.variant,
        "changes": o.changes.iter().map(change).collect::<Vec<_>>(),
        "sha256": o.sha256,
    })
}

/// What matters, measure by measure, each once.
fn margins(f: &Comparison) -> Value {
    let mut out = Map::new();
    for p in f.choices.iter().flat_map(|c| &c.measures) {
        out.entry(p.name.clone()).or_insert_with(|| {
            json!({
                "unit": p.key.unit(),
                "good": p.good.key(),
                "matters": finite(p.margin),
                "from": if f.margins_set.contains(&p.name) { "option" } else { "default" },
                "default": finite(margin(p.key, f.days)),
            })
        });
    }
    out.insert("aims".into(), json!({"unit": "1", "good": "more", "matters": finite(AIM_MARGIN)}));
    Value::Object(out)
}

fn against(a: &Against) -> Value {
    let measures: Map<String, Value> = a.measures.iter().map(|p| (p.name.clone(), measure(p))).collect();
    json!({
        "choice": a.name,
        "aims": a.aims.iter().map(aim).collect::<Vec<_>>(),
        "measures": measures,
        "only_in_base": a.only_base,
        "only_in_choice": a.only_choice,
        "aims_only_in_base": a.aims_only_base,
        "aims_only_in_choice": a.aims_only_choice,
    })
}

fn opt(x: Option<f64>) -> Value {
    x.map_or(Value::Null, finite)
}

fn measure(p: &Pair) -> Value {
    let quantiles: Map<String, Value> = p.quantiles.iter().map(|q| (label(q), quantile(q))).collect();
    json!({
        "unit": p.key.unit(),
        "aimed": p.aimed,
        "verdict": p.verdict.map(|v| v.key()),
        "base_mean": finite(p.base),
        "mean": finite(p.choice),
        "difference": finite(p.difference),
        "difference_ci95": pair(p.ci95),
        "standard_error": opt(p.error),
        "variance_ratio": opt(p.variance_ratio),
        "standard_error_ratio": opt(p.variance_ratio.map(f64::sqrt)),
        "trials_higher": p.counts.higher,
        "trials_equal": p.counts.alike,
        "trials_lower": p.counts.lower,
        "trials_higher_by_what_matters": p.by_margin.higher,
        "trials_within_what_matters": p.by_margin.alike,
        "trials_lower_by_what_matters": p.by_margin.lower,
        "p_difference": finite(p.p),
        "p_same": finite(p.p_same),
        "p_difference_adjusted": opt(p.adjusted.map(|a| a[0])),
        "p_same_adjusted": opt(p.adjusted.map(|a| a[1])),
        "more_trials": p.more_trials,
        "quantiles": quantiles,
    })
}

fn label(q: &QuantilePair) -> String {
    format!("p{:02.0}", q.p * 100.0)
}

fn quantile(q: &QuantilePair) -> Value {
    json!({
        "base": finite(q.base),
        "choice": finite(q.choice),
        "difference": finite(q.choice - q.base),
        "difference_ci95": pair(q.ci95),
    })
}

fn aim(a: &AimPair) -> Value {
    json!({
        "aim": a.aim,
        "measure": a.measure,
        "wanted_part": finite(a.wanted),
        "base_part": finite(a.base),
        "part": finite(a.choice),
        "difference": finite(a.difference),
        "difference_ci95": pair(Some(a.ci95)),
        "kept_in_choice_only": a.won,
        "kept_in_base_only": a.lost,
        "p_mcnemar": finite(a.p),
        "p_mcnemar_adjusted": finite(a.p_adjusted),
        "verdict": a.verdict.key(),
        "more_trials": a.more_trials,
    })
}

fn best(b: &Best) -> Value {
    let contenders: Vec<Value> = b
        .contenders
        .iter()
        .map(|c| json!({"name": c.name, "mean": finite(c.mean), "trials": c.trials, "left_out": c.left_out}))
        .collect();
    json!({
        "by": b.goal,
        "good": b.good.key(),
        "rule": "Kim and Nelson 2001, on means of batches of trials on the same luck",
        "best": b.chosen.and_then(|i| b.contenders.get(i)).map(|c| c.name.as_str()),
        "right_with_probability": finite(b.sure),
        "if_the_best_leads_by": finite(b.delta),
        "trials_a_batch": b.batch,
        "batches_before_the_first_look": b.first,
        "trials_in_all": b.trials,
        "trials_on_separate_luck": finite(b.separate_trials),
        "contenders": contenders,
    })
}

fn some(x: Option<f64>) -> String {
    x.map_or_else(String::new, number)
}

/// A row a choice and measure.
pub(super) fn measures(f: &Comparison, out: &mut dyn Write) -> Done {
    let mut head: Vec<String> = [
        "choice",
        "measure",
        "unit",
        "good",
        "aimed",
        "verdict",
        "base_mean",
        "mean",
        "difference",
        "difference_low95",
        "difference_high95",
        "standard_error",
        "variance_ratio",
        "matters",
        "trials_higher",
        "trials_equal",
        "trials_lower",
        "trials_higher_by_what_matters",
        "trials_within_what_matters",
        "trials_lower_by_what_matters",
        "p_difference",
        "p_same",
        "p_difference_adjusted",
        "p_same_adjusted",
        "more_trials",
    ]
    .map(String::from)
    .to_vec();
    for p in ["p05", "p10", "p90", "p95"] {
        for what in ["base", "choice", "difference_low95", "difference_high95"] {
            head.push(format!("{p}_{what}"));
        }
    }
    let each = f.choices.iter().flat_map(|c| c.measures.iter().map(move |p| (c, p)));
    let body = each.map(|(c, p)| {
        let unit = if p.key.unit() == "1" { "part" } else { p.key.unit() };
        let mut line = vec![text(&c.name), text(&p.name), unit.into(), p.good.key().into()];
        line.push(p.aimed.to_string());
        line.push(p.verdict.map_or("", |v| v.key()).into());
        line.extend([p.base, p.choice, p.difference].map(number));
        line.extend([p.ci95.map(|c| c[0]), p.ci95.map(|c| c[1]), p.error, p.variance_ratio].map(some));
        line.push(number(p.margin));
        for k in [p.counts, p.by_margin] {
            line.extend([k.higher, k.alike, k.lower].map(|n| n.to_string()));
        }
        line.extend([p.p, p.p_same].map(number));
        line.extend([p.adjusted.map(|a| a[0]), p.adjusted.map(|a| a[1])].map(some));
        line.push(p.more_trials.map_or_else(String::new, |n| n.to_string()));
        for q in &p.quantiles {
            line.extend([q.base, q.choice].map(number));
            line.extend([q.ci95.map(|c| c[0]), q.ci95.map(|c| c[1])].map(some));
        }
        line
    });
    rows(out, std::iter::once(head).chain(body))
}

/// A row a choice and aim.
pub(super) fn aims(f: &Comparison, out: &mut dyn Write) -> Done {
    let head = [
        "choice",
        "aim",
        "measure",
        "wanted_part",
        "base_part",
        "part",
        "difference",
        "difference_low95",
        "difference_high95",
        "kept_in_choice_only",
        "kept_in_base_only",
        "p_mcnemar",
        "p_mcnemar_adjusted",
        "verdict",
    ]
    .map(String::from)
    .to_vec();
    let each = f.choices.iter().flat_map(|c| c.aims.iter().map(move |a| (c, a)));
    let body = each.map(|(c, a)| {
        let mut line = vec![text(&c.name), text(&a.aim), text(&a.measure)];
        line.extend([a.wanted, a.base, a.choice, a.difference, a.ci95[0], a.ci95[1]].map(number));
        line.extend([a.won, a.lost].map(|n| n.to_string()));
        line.extend([a.p, a.p_adjusted].map(number));
        line.push(a.verdict.key().into());
        line
    });
    rows(out, std::iter::once(head).chain(body))
}
