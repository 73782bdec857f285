//! What may stand where, read off the schema of the format.

use std::sync::OnceLock;

use serde_json::Value;

use super::super::schema::schema;

/// What may stand at one place: one or more forms.
#[derive(Clone, Debug)]
pub(super) struct Shape(Vec<&'static Value>);

fn whole() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(schema)
}

impl Shape {
    /// That of a whole scenario.
    pub(super) fn scenario() -> Self {
        Self::of(whole())
    }

    fn of(form: &'static Value) -> Self {
        let mut all = Vec::new();
        flat(form, &mut all);
        Self(all)
    }

    /// Whether a single value may stand here.
    pub(super) fn is_single(&self) -> bool {
        let single = |t: &Value| matches!(t.as_str(), Some("string" | "number"));
        self.0.iter().any(|f| match &f["type"] {
            Value::Array(types) => types.iter().any(single),
            one => single(one),
        })
    }

    /// The keys that are known here.
    pub(super) fn keys(&self) -> Vec<&'static str> {
        let keys = self.0.iter().filter_map(|f| f["properties"].as_object());
        keys.flat_map(|p| p.keys().map(String::as_str)).collect()
    }

    /// What may stand at a key.
    pub(super) fn key(&self, key: &str) -> Option<Self> {
        self.0.iter().find_map(|f| f["properties"].get(key)).map(Self::of)
    }

    /// What may stand under a name of the family's own.
    pub(super) fn names(&self) -> Option<Self> {
        self.0.iter().map(|f| &f["additionalProperties"]).find(|v| v.is_object()).map(Self::of)
    }

    /// What may stand as an entry of a list.
    pub(super) fn entries(&self) -> Option<Self> {
        self.0.iter().find_map(|f| f.get("items")).map(Self::of)
    }
}

/// The part of a scenario under which a key stands, where it stands under one only.
pub(in crate::scenario) fn home_of(key: &str) -> Option<&'static str> {
    let shape = Shape::scenario();
    let holds = |part: &&str| shape.key(part).is_some_and(|s| s.keys().contains(&key));
    let mut parts = shape.keys().into_iter().filter(|p| *p != "variants").filter(holds);
    let first = parts.next().filter(|_| shape.key(key).is_none())?;
    parts.next().is_none().then_some(first)
}

fn flat(form: &'static Value, all: &mut Vec<&'static Value>) {
    if let Some(name) = form["$ref"].as_str().and_then(|r| r.strip_prefix("#/$defs/")) {
        flat(&whole()["$defs"][name], all);
    } else if let Some(forms) = form["anyOf"].as_array() {
        forms.iter().for_each(|f| flat(f, all));
    } else {
        all.push(form);
    }
}
