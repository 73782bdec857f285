//! The JSON Schema of the format, made from the types that read it.

use serde_json::{Map, Value, json};

use super::raw::Scenario;

/// Keys that no variant may change: every variant meets the same years.
pub(super) const FIXED: [&str; 4] = ["units", "trials", "seed", "variants"];

/// The schema of a scenario file.
#[must_use]
pub fn schema() -> Value {
    let mut schema = schemars::schema_for!(Scenario).to_value();
    let variant = variant(&schema);
    let defs = schema["$defs"].as_object().cloned().unwrap_or_default();
    let loose = defs.iter().map(|(name, of)| (format!("{name}{OF_A_VARIANT}"), loose(of)));
    let loose: Vec<(String, Value)> = loose.collect();
    if let Some(map) = schema.as_object_mut() {
        map.insert("title".into(), "A springhouse scenario".into());
        map.insert("required".into(), json!(["starts", "lasts"]));
        if let Some(defs) = map.get_mut("$defs").and_then(Value::as_object_mut) {
            defs.insert("Variant".into(), variant);
            defs.extend(loose);
        }
    }
    schema
}

/// Marks what has the same shape but for what may be taken out.
const OF_A_VARIANT: &str = "OfAVariant";

/// The same shape, in which every key and entry may be `none`.
fn loose(form: &Value) -> Value {
    match form {
        Value::Object(map) => Value::Object(
            map.iter()
                .map(|(key, of)| {
                    let new = match (key.as_str(), of) {
                        ("$ref", Value::String(name)) => json!(format!("{name}{OF_A_VARIANT}")),
                        ("properties", Value::Object(keys)) => keys
                            .iter()
                            .map(|(k, v)| (k.clone(), json!({ "anyOf": [loose(v), { "const": "none" }] })))
                            .collect::<Map<_, _>>()
                            .into(),
                        ("additionalProperties", Value::Object(_)) => {
                            json!({ "anyOf": [loose(of), { "const": "none" }] })
                        }
                        _ => loose(of),
                    };
                    (key.clone(), new)
                })
                .collect(),
        ),
        Value::Array(all) => all.iter().map(loose).collect(),
        other => other.clone(),
    }
}

/// A variant has the shape of the scenario; a list may be a map of its entries,
/// and what it takes out is `none`.
fn variant(schema: &Value) -> Value {
    let mut keys = Map::new();
    for (key, of) in schema["properties"].as_object().into_iter().flatten() {
        if FIXED.contains(&key.as_str()) {
            continue;
        }
        let of = loose(of);
        let mut forms = vec![of.clone()];
        if let Some(entry) = of.get("items") {
            let entry = json!({ "anyOf": [entry, { "const": "none" }] });
            forms.push(json!({ "type": "object", "additionalProperties": entry }));
        }
        forms.push(json!({ "const": "none" }));
        keys.insert(key.clone(), json!({ "anyOf": forms }));
    }
    let names =
        json!({ "anyOf": [{ "type": "string" }, { "type": "array", "items": { "type": "string" } }] });
    keys.insert("without".into(), names);
    keys.insert("more rules".into(), json!({ "type": ["array", "object"] }));
    json!({
        "type": "object",
        "description": "Changes laid over the scenario: maps are laid over key by key, a plain value or a list \
                        replaces; entries of a list are named.",
        "properties": keys,
        "additionalProperties": false,
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_schema_names_the_keys_as_they_are_written() {
        let schema = super::schema();
        for key in ["title", "animals", "milk fetched", "when full", "animals fed", "variants"] {
            assert!(schema["properties"].get(key).is_some(), "{key}");
        }
        assert_eq!(schema["additionalProperties"], false);
        let variant = &schema["$defs"]["Variant"]["properties"];
        assert!(variant.get("stores").is_some() && variant.get("without").is_some());
        assert!(variant.get("seed").is_none());
    }
}
