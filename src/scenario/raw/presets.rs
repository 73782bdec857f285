//! The preset files. Each is one map from names to the same structs that the
//! scenario uses, every entry with its `sources`.
//!
//! | file | type |
//! | --- | --- |
//! | `breeds.yaml` | `PresetFile<Animal>` |
//! | `breeding.yaml` | `PresetFile<Breeding>` |
//! | `health.yaml` | `PresetFile<Health>` |
//! | `milks.yaml` (milk to be fetched) | `PresetFile<Fetched>` |
//! | `feeds.yaml` | `PresetFile<Feed>` |
//! | `people.yaml` | `PresetFile<Kind>` |
//! | `stores.yaml` (with `counter`) | `PresetFile<Store>` |
//! | `jars.yaml` | `PresetFile<Jar>` |
//! | `recipes.yaml` | `PresetFile<Recipe>` |
//! | `products.yaml` (items, the fixed ones too) | `PresetFile<Product>` |
//! | `outlets.yaml` | `PresetFile<Outlet>` |
//! | `cleanliness.yaml` | `PresetFile<Cleanliness>` |

use crate::units::{Part, Text as Q};

use super::{Entries, Risks, Text, layered};

/// A preset file.
pub type PresetFile<T> = Entries<T>;

/// A cleanliness preset.
pub type Cleanliness = Risks;

layered! {
/// How a feed scales the curve (preset).
pub struct Feed {
    /// Milk against a full ration: `83 %`.
    pub gives: Option<Q<Part>>,
    /// Where each figure comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}
