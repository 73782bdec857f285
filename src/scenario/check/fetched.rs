//! Milk fetched from elsewhere.

use super::{
    super::{
        plan::{FetchPlan, Species},
        raw::{self, Text},
    },
    Known,
    animals::SPECIES,
    calendar::{Run, span},
    context::{Ctx, entry, list, under},
};

/// Compiles all fetches, each with its name.
pub(super) fn fetches(
    c: &mut Ctx,
    known: &Known,
    run: Run,
    raw: &[raw::Fetched],
) -> Vec<(FetchPlan, String)> {
    let mut all: Vec<(FetchPlan, String)> = Vec::new();
    for (i, own) in raw.iter().enumerate() {
        let at = entry("milk fetched", i);
        let p = |key: &str| under(&at, key);
        let name = match &own.name {
            Some(t) if !t.get().is_empty() => t.get().to_owned(),
            _ => {
                c.missing(&at, &["name"], "the `name` of this milk", "write `name: dairy round`");
                format!("milk fetched {}", i + 1)
            }
        };
        if all.iter().any(|(_, n)| n.eq_ignore_ascii_case(&name)) {
            c.error(&p("name"), format!("two fetches are named `{name}`"), "give each its own name");
        }
        let preset = match &own.like {
            Some(t) => match like(c, known, &p("like"), t) {
                Some(preset) => preset,
                None => continue,
            },
            None => raw::Fetched::default(),
        };
        let f = own.over(&preset);
        for (key, there) in [
            ("amount", f.amount.is_some()),
            ("days", f.days.is_some()),
            ("fat", f.fat.is_some()),
            ("protein", f.protein.is_some()),
        ] {
            if !there {
                let help = match key {
                    "amount" => "write `amount: 2 gal`",
                    "days" => "write `days: [wed]`",
                    _ => "write it, or `like: cow milk`",
                };
                c.missing(&at, &[key, "like"], &format!("`{key}`"), help);
            }
        }
        let amount = c.spread(&p("amount"), &f.amount);
        let weekdays = c.weekdays(&p("days"), &f.days);
        let fat = c.within(&p("fat"), &f.fat, 0.0..=0.15, "a part up to 15 %");
        let protein = c.within(&p("protein"), &f.protein, 0.005..=0.10, "a part from 0.5 to 10 %");
        let age = c.within(&p("age on arrival"), &f.age_on_arrival, 0.0..=30.0, "an age up to 30 days");
        let fails = c.read(&p("fails"), &f.fails).unwrap_or(0.0);
        let minutes = c.within(&p("takes"), &f.takes, 0.0..=1440.0, "a time up to 24 h").unwrap_or(0.0);
        let species = c.choice(&p("species"), &f.species, &SPECIES).unwrap_or(Species::Cow);
        let when = span(c, run, &at, &f.from, &f.until);
        let (Some(amount), Some(weekdays), Some(fat), Some(protein)) = (amount, weekdays, fat, protein)
        else {
            continue;
        };
        if amount.value <= 0.0 || amount.value > 10_000.0 {
            c.error(&p("amount"), "this amount is out of reason", "write up to 10000 kg a fetch");
            continue;
        }
        let cv = amount.sd / amount.value;
        if cv > 2.0 {
            c.error(
                &p("amount"),
                "this amount is too unsure to plan with",
                "write at most `give or take 200 %`",
            );
        }
        let Some((from_day, until_day)) = when else { continue };
        all.push((
            FetchPlan {
                species,
                kg: amount.value,
                log_sd: super::log_sd(cv.min(2.0)),
                weekdays,
                from_day,
                until_day,
                age_days: age.unwrap_or(1.0),
                fails,
                fat,
                protein,
                minutes,
            },
            name,
        ));
    }
    // Any order of the file gives the same plan.
    all.sort_by(|a, b| a.1.cmp(&b.1));
    all
}

/// A milk preset, or the milk of a breed.
fn like(c: &mut Ctx, known: &Known, at: &str, name: &Text) -> Option<raw::Fetched> {
    let library = known.library;
    if let Some((_, f)) = library.milks.iter().find(|(n, _)| n.eq_ignore_ascii_case(name.get())) {
        return Some(f.clone());
    }
    if let Some((_, a)) = library.breeds.iter().find(|(n, _)| n.eq_ignore_ascii_case(name.get())) {
        return Some(raw::Fetched {
            species: a.species.clone(),
            fat: a.fat.clone(),
            protein: a.protein.clone(),
            ..raw::Fetched::default()
        });
    }
    let names: Vec<&str> = library.milks.names().chain(library.breeds.names()).collect();
    let milks: Vec<&str> = library.milks.names().collect();
    let help = crate::diagnostics::nearest(name.get(), names).map_or_else(
        || format!("known here: {}, or a breed", list(&milks)),
        |n| format!("did you mean `{n}`?"),
    );
    c.error(at, format!("`{}` is no milk that is known here", name.get()), help);
    None
}
