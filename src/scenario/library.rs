//! The preset files, understood, and listed for the family.

use std::sync::OnceLock;

use serde::de::DeserializeOwned;

use super::raw::{
    Animal, Breeding, Cleanliness, Entries, Feed, Fetched, Health, Jar, Kind, Outlet, Product, Recipe, Store,
};
use crate::presets;

/// All presets.
#[derive(Clone, Debug, Default)]
pub(super) struct Library {
    pub breeds: Entries<Animal>,
    pub breeding: Entries<Breeding>,
    pub health: Entries<Health>,
    pub milks: Entries<Fetched>,
    pub feeds: Entries<Feed>,
    pub people: Entries<Kind>,
    pub stores: Entries<Store>,
    pub jars: Entries<Jar>,
    pub recipes: Entries<Recipe>,
    pub products: Entries<Product>,
    pub outlets: Entries<Outlet>,
    pub cleanliness: Entries<Cleanliness>,
}

impl Library {
    fn read() -> Result<Self, String> {
        fn one<T: DeserializeOwned>(name: &str, text: &str) -> Result<Entries<T>, String> {
            serde_yaml::from_str(text).map_err(|e| format!("the preset file `{name}`: {e}"))
        }
        Ok(Self {
            breeds: one("breeds", presets::BREEDS)?,
            breeding: one("breeding", presets::BREEDING)?,
            health: one("health", presets::HEALTH)?,
            milks: one("milks", presets::MILKS)?,
            feeds: one("feeds", presets::FEEDS)?,
            people: one("people", presets::PEOPLE)?,
            stores: one("stores", presets::STORES)?,
            jars: one("jars", presets::JARS)?,
            recipes: one("recipes", presets::RECIPES)?,
            products: one("products", presets::PRODUCTS)?,
            outlets: one("outlets", presets::OUTLETS)?,
            cleanliness: one("cleanliness", presets::CLEANLINESS)?,
        })
    }

    /// The embedded presets, understood once.
    ///
    /// # Errors
    /// When an embedded file does not fit its type (held by a test).
    pub fn embedded() -> Result<&'static Self, &'static str> {
        static LIBRARY: OnceLock<Result<Library, String>> = OnceLock::new();
        LIBRARY.get_or_init(Self::read).as_ref().map_err(String::as_str)
    }
}

/// A preset for `list`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PresetListing {
    /// The word by which its kind is listed: `breeds`, `jars`, ….
    pub kind: String,
    /// Name.
    pub name: String,
    /// Its figures.
    pub lines: Vec<PresetLine>,
}

/// One figure of a preset.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PresetLine {
    /// Field, as it is written in a scenario.
    pub label: String,
    /// Value, as written.
    pub value: String,
    /// Where it comes from; empty for what needs no source.
    pub source: String,
}

/// All presets with their sources, in the order of the files.
#[must_use]
pub fn list_presets() -> Vec<PresetListing> {
    let mut all = Vec::new();
    for (kind, text) in presets::ALL {
        // The embedded files are held to be readable by a test.
        let Ok(serde_yaml::Value::Mapping(entries)) = serde_yaml::from_str(text) else { continue };
        for (name, entry) in &entries {
            let serde_yaml::Value::Mapping(fields) = entry else { continue };
            let source =
                |field: &str| fields.get("sources").and_then(|s| s.get(field)).map(plain).unwrap_or_default();
            let lines = fields
                .iter()
                .map(|(k, v)| (plain(k), v))
                .filter(|(k, _)| k != "sources")
                .map(|(label, v)| PresetLine { value: plain(v), source: source(&label), label })
                .collect();
            all.push(PresetListing { kind: kind.to_owned(), name: plain(name), lines });
        }
    }
    all
}

/// A value as a person would write it on one line.
fn plain(v: &serde_yaml::Value) -> String {
    use serde_yaml::Value;
    match v {
        Value::Null => String::new(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => n.to_string(),
        Value::String(s) => s.clone(),
        Value::Sequence(all) => all.iter().map(plain).collect::<Vec<_>>().join(", "),
        Value::Mapping(m) => {
            m.iter().map(|(k, v)| format!("{} {}", plain(k), plain(v))).collect::<Vec<_>>().join(", ")
        }
        Value::Tagged(t) => plain(&t.value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_file_is_understood() {
        Library::embedded().unwrap();
    }

    #[test]
    fn every_preset_is_listed_with_its_sources() {
        let all = list_presets();
        for (kind, _) in presets::ALL {
            assert!(all.iter().any(|p| p.kind == kind), "{kind}");
        }
        let jar = all.iter().find(|p| p.kind == "jars" && p.name == "half gallon").unwrap();
        let holds = jar.lines.iter().find(|l| l.label == "holds").unwrap();
        assert_eq!(holds.value, "1.893 L");
        assert!(!holds.source.is_empty());
    }
}
