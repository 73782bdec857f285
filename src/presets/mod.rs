//! Preset texts, each figure with its source.
//!
//! Every file is one YAML map from names to entries. The entries have the
//! shape of the scenario's own parts, and each carries a map `sources` with
//! one line for each of its figures. Only the texts live here; they are
//! understood one floor up, by the same types as a scenario.

/// Breeds of cow, goat and sheep.
pub const BREEDS: &str = include_str!("../../presets/breeds.yaml");
/// Ways of breeding.
pub const BREEDING: &str = include_str!("../../presets/breeding.yaml");
/// Degrees of udder health.
pub const HEALTH: &str = include_str!("../../presets/health.yaml");
/// Milk to be fetched: what it holds.
pub const MILKS: &str = include_str!("../../presets/milks.yaml");
/// How the feed scales a lactation.
pub const FEEDS: &str = include_str!("../../presets/feeds.yaml");
/// Kinds of people and what they drink.
pub const PEOPLE: &str = include_str!("../../presets/people.yaml");
/// Fridges, freezers, cheese rooms, cool rooms; `counter` is among them.
pub const STORES: &str = include_str!("../../presets/stores.yaml");
/// Jars and jugs.
pub const JARS: &str = include_str!("../../presets/jars.yaml");
/// Recipes.
pub const RECIPES: &str = include_str!("../../presets/recipes.yaml");
/// Items: how they stand and keep.
pub const PRODUCTS: &str = include_str!("../../presets/products.yaml");
/// Animals and ground that take what is too much.
pub const OUTLETS: &str = include_str!("../../presets/outlets.yaml");
/// Degrees of cleanliness and mishaps.
pub const CLEANLINESS: &str = include_str!("../../presets/cleanliness.yaml");

/// All preset files: the word by which they are listed, and their text.
pub const ALL: [(&str, &str); 12] = [
    ("breeds", BREEDS),
    ("breeding", BREEDING),
    ("health", HEALTH),
    ("milks", MILKS),
    ("feeds", FEEDS),
    ("people", PEOPLE),
    ("stores", STORES),
    ("jars", JARS),
    ("recipes", RECIPES),
    ("products", PRODUCTS),
    ("outlets", OUTLETS),
    ("cleanliness", CLEANLINESS),
];
