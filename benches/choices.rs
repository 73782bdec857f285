//! What common luck is worth: the variance of a difference on separate luck
//! over that of pairs on the same luck, for the variants of the shipped
//! scenarios. So many times more years would give the same interval.
//!
//! Ratios alone are told; they are the same on any machine and with any
//! optimisation. `cargo bench --bench choices`.

use springhouse::scenario::{Compiled, Draft};
use springhouse::study::compare::{Choice, CompareOptions, Good, compare};

const SCENARIOS: [(&str, &str); 4] = [
    ("which-fridge", include_str!("../scenarios/which-fridge.yaml")),
    ("how-many-people", include_str!("../scenarios/how-many-people.yaml")),
    ("herd-share", include_str!("../scenarios/herd-share.yaml")),
    ("dry-weeks", include_str!("../scenarios/dry-weeks.yaml")),
];
const TRIALS: u32 = 400;

/// The scenario and its variants, or what is wrong with them.
fn compiled(text: &str) -> Result<Vec<(String, Compiled)>, String> {
    let told = |found: Vec<springhouse::diagnostics::Diagnostic>| {
        found.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let draft = Draft::read(text.as_bytes()).map_err(told)?;
    let mut all = vec![("the plan as it is".to_owned(), draft.base().map_err(told)?)];
    for name in draft.variants() {
        all.push((name.to_owned(), draft.variant(name).map_err(told)?));
    }
    Ok(all)
}

fn middle(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

fn main() {
    let mut everything = Vec::new();
    println!("times more years on separate luck for the same interval, {TRIALS} years of each");
    for (file, text) in SCENARIOS {
        let sides = match compiled(text) {
            Ok(sides) => sides,
            Err(e) => return eprintln!("{file}: {e}"),
        };
        let choices: Vec<Choice> =
            sides.iter().map(|(name, c)| Choice { name, plan: &c.plan, names: &c.names }).collect();
        let Some((base, others)) = choices.split_first() else { continue };
        let options = CompareOptions { trials: TRIALS, seed: 7, ..CompareOptions::default() };
        let found = match compare(*base, others, &options, &|_, _| {}) {
            Ok(found) => found,
            Err(e) => return eprintln!("{file}: {e}"),
        };
        println!("{file}");
        for choice in &found.choices {
            let judged = choice.measures.iter().filter(|p| p.good != Good::Told);
            let mut aimed: Vec<f64> =
                judged.clone().filter(|p| p.aimed).filter_map(|p| p.variance_ratio).collect();
            let mut all: Vec<f64> = judged.filter_map(|p| p.variance_ratio).collect();
            everything.extend_from_slice(&aimed);
            if all.is_empty() {
                println!("  {:<30} differs in nothing that varies", choice.name);
                continue;
            }
            let hands = choice.measure("hands_used").and_then(|p| p.variance_ratio);
            println!(
                "  {:<30} aimed measures, middle {:7.1}   work {:7.1}   all, middle {:7.1}   least {:5.2}",
                choice.name,
                middle(&mut aimed),
                hands.unwrap_or(f64::NAN),
                middle(&mut all),
                all.first().copied().unwrap_or(f64::NAN),
            );
        }
    }
    let n = everything.len();
    println!("aimed measures of all: middle {:.1} of {n}", middle(&mut everything));
}
