//! Words that are fixed, by the part and key that takes them; the checks know
//! the same words, which `tests/schema.rs` holds.

use super::super::library::Library;

/// A part (as the schema names it, empty for the file itself), a key, and all
/// words that it takes.
pub(super) type Fixed = (&'static str, &'static str, Vec<String>);

const SPECIES: &[&str] = &["cow", "goat", "sheep"];
const FIXED: &[(&str, &str, &[&str])] = &[
    ("", "units", &["us", "metric"]),
    ("", "chilling", WAYS),
    ("Chilling", "way", WAYS),
    ("Outages", "then", &["discard", "keep"]),
    ("Animal", "species", SPECIES),
    ("Fetched", "species", SPECIES),
    ("Animal", "milked", &["twice a day", "once a day"]),
    ("Household", "drinks like", &["shop norm", "milk household", "heavy"]),
    ("Household", "jars taken", &["oldest first", "newest first"]),
    ("Kind", "caution", &["under one", "under five", "over 65", "pregnant"]),
    (
        "Rule",
        "do",
        &[
            "skim",
            "make",
            "move",
            "feed",
            "pour out",
            "dry off",
            "leave the calf on",
            "milk once a day",
            "milk twice a day",
            "shut the calf in",
            "take the calf off",
            "thaw",
            "hand out",
            "buy",
        ],
    ),
    ("Rule", "with", &["a spoon", "spoon", "separator"]),
    ("Rule", "take", &["top cream", "heavy cream", "light cream", "the whole layer", "whole layer"]),
    ("Rule", "cuts", &["together", "apart"]),
    ("When", "dry weeks", &["only", "outside them"]),
    ("Store", "kind", &["counter", "fridge", "cold room", "freezer", "ageing", "pantry", "cellar"]),
    ("Store", "fan", &["still", "fan"]),
    ("Store", "runs on", &["mains", "nothing"]),
    ("Outlet", "served", &["before the people", "after the people"]),
    (
        "HerdShares",
        "when short",
        &[
            "in proportion",
            "equal awards",
            "equal losses",
            "contested garment",
            "family first",
            "members first",
            "in turns",
        ],
    ),
    ("HerdShares", "dry weeks", &["the promise stands", "the promise rests"]),
    ("HerdShares", "milk not fetched", &["goes back to the family", "is poured out"]),
    ("HerdShares", "fee in the dry weeks", &["is paid on", "rests"]),
    ("Recipe", "heat", &["heated", "advised", "raw", "none"]),
    ("Product", "container", &["large jars", "small jars", "bucket", "wrapped"]),
    ("Product", "counts as", &["food", "by-product"]),
];
const WAYS: &[&str] = &["fridge air", "fan in the fridge", "cold running water", "ice bath"];

/// All of them, with the names of the presets.
pub(super) fn fixed() -> Vec<Fixed> {
    let owned = |(part, key, words): &(&'static str, &'static str, &[&str])| {
        (*part, *key, words.iter().map(|w| (*w).to_owned()).collect())
    };
    let mut all: Vec<Fixed> = FIXED.iter().map(owned).collect();
    let Ok(l) = Library::embedded() else { return all };
    let of = |names: &mut dyn Iterator<Item = &str>| names.map(str::to_owned).collect::<Vec<_>>();
    all.push(("Animal", "breed", of(&mut l.breeds.names())));
    all.push(("Animal", "feed", of(&mut l.feeds.names())));
    all.push(("Animal", "curve fed on", of(&mut l.feeds.names())));
    all.push(("Animal", "bred", of(&mut l.breeding.names())));
    all.push((
        "Animal",
        "health",
        of(&mut l.health.names().chain(["none"].into_iter().filter(|_| l.health.get("none").is_none()))),
    ));
    all.push(("Health", "like", of(&mut l.health.names())));
    all.push(("Fetched", "like", of(&mut l.milks.names().chain(l.breeds.names()))));
    all.push(("Store", "like", of(&mut l.stores.names())));
    all.push(("Outlet", "like", of(&mut l.outlets.names())));
    all.push(("Risks", "cleanliness", of(&mut l.cleanliness.names())));
    all
}

/// Keys that take a date and nothing else.
pub(super) const DATES: &[(&str, &str)] = &[
    ("", "starts"),
    ("Animal", "comes"),
    ("Animal", "leaves"),
    ("Calf", "gone"),
    ("Fetched", "from"),
    ("Fetched", "until"),
    ("Guests", "from"),
    ("Guests", "until"),
    ("Span", "from"),
    ("Span", "until"),
    ("Want", "from"),
    ("Outlet", "from"),
    ("Outlet", "until"),
    ("HerdShares", "from"),
    ("HerdShares", "until"),
    ("Outgoing", "from"),
    ("Outgoing", "until"),
];

/// Keys that take a list of weekdays.
pub(super) const DAYS: &[(&str, &str)] = &[
    ("Drinker", "days"),
    ("Fetched", "days"),
    ("Rule", "days"),
    ("Outgoing", "days"),
    ("HerdShares", "pick-up days"),
];

/// Maps whose keys are names of presets.
pub(super) fn named() -> Vec<Fixed> {
    let Ok(l) = Library::embedded() else { return Vec::new() };
    let people: Vec<String> = l.people.names().map(str::to_owned).collect();
    vec![("Household", "people", people.clone()), ("Guests", "people", people)]
}
