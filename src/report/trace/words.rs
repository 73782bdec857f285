//! The page: which trial this is, its rules, its days, and where it went.

use super::*;
use crate::report::amounts::count;
use crate::report::words::{GENERAL_CAUTION, fate_words};

pub(super) fn page(told: &Told) -> Page {
    let mut page = Page::default();
    page.blocks.push(Block::Title(title(told)));
    page.say(which(told));
    if let Some(range) = range(told) {
        page.say(range);
    }
    rules(told, &mut page);
    super::day::write(told, &mut page);
    sums(told, &mut page);
    page.heading("Cautions");
    if told.names.cautions.is_empty() {
        page.item(GENERAL_CAUTION);
    }
    for caution in &told.names.cautions {
        page.item(caution.as_str());
    }
    page
}

fn title(told: &Told) -> String {
    let title = told.names.title.trim();
    let title = if title.is_empty() { told.file } else { title };
    let one = told.span().one();
    match told.trace.chosen.number {
        Some(n) => format!("{title}: simulated {one} {}, day by day, seed {}", count(n), told.trace.seed),
        None => format!("{title}: the average {one}, day by day, no chance anywhere"),
    }
}

/// Why this one.
fn which(told: &Told) -> String {
    let c = &told.trace.chosen;
    let span = told.span();
    let (lead, key) = match c.choice {
        Choice::Steady => return format!("Everything is at its mean in this {}.", span.one()),
        Choice::Number(_) => {
            return format!("It was asked for by its number; {} are counted from 0.", span.many());
        }
        Choice::Middle(key) => ("the middle one".to_string(), key),
        Choice::Worst(key) => {
            (format!("the worst ({})", if is_worse_high(key) { "the highest" } else { "the lowest" }), key)
        }
    };
    let name = measure(told, key);
    let noun = crate::report::compare::noun(told.names, told.show(), key);
    let value = told.trace.columns.iter().position(|c| *c == name).and_then(|i| told.trace.values.get(i));
    let value = value.map_or_else(String::new, |v| format!(": {}", value_words(key, *v, told.show())));
    let among =
        if c.among == 1 { "1 simulated".to_string() } else { format!("{} simulated", count(c.among)) };
    let many = if c.among == 1 { span.one() } else { span.many() };
    let alike = if c.all_alike && c.among > 1 {
        let place = if matches!(c.choice, Choice::Worst(_)) { "the first" } else { "the middle" };
        format!(" All of them are alike in that, so it is {place} by number.")
    } else {
        String::new()
    };
    let number = c.number.unwrap_or(0);
    format!(
        "It is {lead} of {among} {many} by {noun}{value}.{alike} To have it again: springhouse trace {} \
         --number {number} --seed {}",
        told.file, told.trace.seed
    )
}

fn measure(told: &Told, key: MeasureKey) -> String {
    key.name(&crate::study::measures::want_words(told.plan, told.names))
}

/// Said when not all days are told.
fn range(told: &Told) -> Option<String> {
    let (from, until) = (*told.days.start(), *told.days.end());
    let whole = from == 0 && until as usize + 1 >= told.plan.days.len();
    let span = told.span();
    (!whole).then(|| {
        format!(
            "Told from {} to {}; the {} begins {} and lasts {}.",
            span.day_words(from as usize),
            span.day_words(until as usize),
            span.one(),
            span.day_words(0),
            span.length()
        )
    })
}

/// The rules by number: the days speak of these.
fn rules(told: &Told, page: &mut Page) {
    let routine = told.plan.rules.len();
    let words = &told.trace.rules;
    if routine > 0 {
        page.heading("The rules, by number");
        for (n, words) in words.iter().take(routine).enumerate() {
            page.item(format!("{}. {words}", n + 1));
        }
        page.say(
            "Why a rule did not work is told once, until it works or the reason changes; that it was not its weekday \
             is left out. --format csv has every day of every rule.",
        );
    }
}

/// Where everything went on the days told.
fn sums(told: &Told, page: &mut Page) {
    let mut kg = [0.0; crate::sim::outcome::FATES];
    let mut came = 0.0;
    for e in told.events() {
        match e.what {
            What::Came { .. } => came += e.matter.mass,
            What::Went { fate, .. } => kg[fate as usize] += e.matter.mass,
            _ => {}
        }
    }
    page.heading("In all, on the days told");
    page.blocks.push(Block::Pair("came in".into(), told.show().mass(came)));
    let mut rows: Vec<(f64, Fate)> = Fate::ALL.into_iter().map(|f| (kg[f as usize], f)).collect();
    rows.retain(|(kg, _)| *kg > 0.0005);
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (kg, fate) in rows {
        page.blocks.push(Block::Pair(fate_words(fate.key(), told.facts.young).into(), told.show().mass(kg)));
    }
}
