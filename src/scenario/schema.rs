//! The JSON Schema of the format, made from the types that read it: keys and
//! their descriptions come from there; fixed words, dates and weekdays, and
//! examples are put in here. It refuses what no reading could mean; what it
//! lets through is still checked.

mod words;

use serde_json::{Map, Value, json};

use super::raw::Scenario;
use crate::calendar::{MONTHS, WEEKDAYS};

/// Keys that no variant may change: every variant meets the same years.
pub(super) const FIXED: [&str; 4] = ["units", "trials", "seed", "variants"];

/// The schema of a scenario file.
#[must_use]
pub fn schema() -> Value {
    let mut schema = schemars::schema_for!(Scenario).to_value();
    let Some(root) = schema.as_object_mut() else { return schema };
    root.insert("title".into(), "A springhouse scenario".into());
    root.insert("required".into(), json!(["starts", "lasts"]));
    let fixed = words::fixed();
    let named = words::named();
    if let Some(defs) = root.get_mut("$defs").and_then(Value::as_object_mut) {
        for (part, def) in defs.iter_mut() {
            narrow(part, def, &fixed, &named);
        }
    }
    narrow("", &mut schema, &fixed, &named);
    let variant = variant(&schema);
    let defs = schema["$defs"].as_object().cloned().unwrap_or_default();
    let loose = defs.iter().map(|(name, of)| (format!("{name}{OF_A_VARIANT}"), loose(of)));
    let loose: Vec<(String, Value)> = loose.collect();
    if let Some(defs) = schema.get_mut("$defs").and_then(Value::as_object_mut) {
        defs.insert("Variant".into(), variant);
        defs.extend(loose);
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

/// Narrows the keys of one part to what they take, and gives examples.
fn narrow(part: &str, def: &mut Value, fixed: &[words::Fixed], named: &[words::Fixed]) {
    let Some(keys) = def.get_mut("properties").and_then(Value::as_object_mut) else { return };
    for (key, schema) in keys.iter_mut() {
        let here = |(p, k): (&str, &str)| p == part && k == key.as_str();
        if let Some((.., words)) = fixed.iter().find(|(p, k, _)| here((*p, *k))) {
            replace(schema, &words_of(words));
        } else if words::DATES.iter().any(|d| here(*d)) {
            replace(schema, &json!({ "type": "string", "pattern": DATE }));
        } else if words::DAYS.iter().any(|d| here(*d)) {
            replace(schema, &weekday());
            if here(("HerdShares", "pick-up days"))
                && let Some(forms) = schema.get_mut("anyOf").and_then(Value::as_array_mut)
            {
                forms.push(json!({ "type": "string", "pattern": r"^\s*[1-7]\s+(?:per|a)\s+week\s*$" }));
            }
        } else if let Some((.., words)) = named.iter().find(|(p, k, _)| here((*p, *k))) {
            insert(schema, "propertyNames", words_of(words));
        } else if part == "Hours" {
            replace(schema, &json!({ "type": "string", "pattern": HOUR }));
        } else if key.ends_with("by month") {
            let pattern = format!("^\\s*(?:{})\\s*$", prefixes(&MONTHS));
            insert(
                schema,
                "propertyNames",
                json!({ "anyOf": [{ "enum": short(&MONTHS) }, { "pattern": pattern }] }),
            );
        }
        let examples = examples(schema);
        if !examples.is_empty() {
            insert(schema, "examples", Value::Array(examples));
        }
    }
}

const DATE: &str = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$";
const HOUR: &str = r"^\s*[0-9]{1,2}:[0-9]{2}\s*$";

/// Words that an editor can offer, read in any letters.
fn words_of(words: &[String]) -> Value {
    let any: Vec<String> = words.iter().map(|w| any_letters(w)).collect();
    json!({ "anyOf": [{ "enum": words }, { "type": "string", "pattern": format!("^\\s*(?:{})\\s*$", any.join("|")) }] })
}

fn weekday() -> Value {
    let several = ["weekdays", "weekend", "every day"];
    let words: Vec<String> = short(&WEEKDAYS).into_iter().chain(several.map(str::to_owned)).collect();
    let several: Vec<String> = several.iter().map(|w| any_letters(w)).collect();
    let pattern = format!("^\\s*(?:{}|{})\\s*$", prefixes(&WEEKDAYS), several.join("|"));
    json!({ "anyOf": [{ "enum": words }, { "type": "string", "pattern": pattern }] })
}

/// Three letters of each name, as in `mon`.
fn short(names: &[&str]) -> Vec<String> {
    names.iter().map(|n| n.chars().take(3).collect::<String>().to_lowercase()).collect()
}

/// Each name from three letters on, in any letters.
fn prefixes(names: &[&str]) -> String {
    let one = |name: &&str| {
        let letters: Vec<String> = name.chars().map(|c| any_letters(&c.to_string())).collect();
        let (head, tail) = letters.split_at(3.min(letters.len()));
        let tail = tail.iter().rev().fold(String::new(), |rest, c| format!("(?:{c}{rest})?"));
        format!("{}{tail}", head.concat())
    };
    names.iter().map(one).collect::<Vec<_>>().join("|")
}

/// A pattern for the word in any letters.
fn any_letters(word: &str) -> String {
    let mut out = String::new();
    for c in word.chars() {
        match c {
            c if c.is_ascii_alphabetic() => {
                out.extend(['[', c.to_ascii_lowercase(), c.to_ascii_uppercase(), ']']);
            }
            c if c.is_ascii_alphanumeric() || c == ' ' => out.push(c),
            c => out.extend(['[', c, ']']),
        }
    }
    out
}

/// Puts `new` wherever a plain text stands in a key's schema.
fn replace(schema: &mut Value, new: &Value) {
    let Value::Object(map) = schema else { return };
    match plain_text(map) {
        Some(nothing) => {
            map.remove("type");
            let mut any = vec![new.clone()];
            if nothing {
                any.push(json!({ "type": "null" }));
            }
            map.insert("anyOf".into(), Value::Array(any));
        }
        None => {
            for of in map.get_mut("anyOf").and_then(Value::as_array_mut).into_iter().flatten() {
                replace(of, new);
            }
            if let Some(items) = map.get_mut("items") {
                replace(items, new);
            }
        }
    }
}

/// Whether this takes any text or number, and then whether nothing too.
fn plain_text(map: &Map<String, Value>) -> Option<bool> {
    let types = map.get("type")?.as_array()?;
    let has = |t: &str| types.iter().any(|x| x == t);
    (has("string") && has("number")).then(|| has("null"))
}

fn insert(schema: &mut Value, key: &str, value: Value) {
    if let Value::Object(map) = schema {
        map.insert(key.into(), value);
    }
}

/// What stands in backticks in the description and is no word or key: quantities,
/// dates and maps.
fn examples(schema: &Value) -> Vec<Value> {
    let text = schema.get("description").and_then(Value::as_str).unwrap_or_default();
    let maps = is(schema, "object") || schema.to_string().contains("$ref");
    let quoted = text.split('`').skip(1).step_by(2);
    quoted
        .filter_map(|t| match t.chars().next()? {
            '{' | '[' if maps => serde_yaml::from_str(t).ok(),
            c if c != '{' && c != '[' && takes_text(schema) && t.chars().any(|c| c.is_ascii_digit()) => {
                Some(Value::String(t.to_owned()))
            }
            _ => None,
        })
        .collect()
}

fn is(schema: &Value, kind: &str) -> bool {
    match schema.get("type") {
        Some(Value::String(t)) => t == kind,
        Some(Value::Array(all)) => all.iter().any(|t| t == kind),
        _ => false,
    }
}

/// Text or quantity, perhaps beside a long form.
fn takes_text(schema: &Value) -> bool {
    let any = || schema.get("anyOf").and_then(Value::as_array).into_iter().flatten();
    is(schema, "string")
        || any().any(takes_text)
        || schema.get("$ref").and_then(Value::as_str).is_some_and(is_quantity)
}

/// Definitions of quantities, whose own text tells the form.
fn is_quantity(reference: &str) -> bool {
    const QUANTITIES: [&str; 14] = [
        "Volume",
        "Mass",
        "MilkAmount",
        "MilkRate",
        "Duration",
        "Minutes",
        "Temperature",
        "TemperatureDifference",
        "Length",
        "Power",
        "Electricity",
        "Part",
        "Count",
        "Frequency",
    ];
    reference.rsplit('/').next().is_some_and(|name| QUANTITIES.contains(&name) && name != "Count")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_names_the_keys_as_they_are_written() {
        let schema = schema();
        for key in ["title", "animals", "milk fetched", "when full", "animals fed", "variants"] {
            assert!(schema["properties"].get(key).is_some(), "{key}");
        }
        assert_eq!(schema["additionalProperties"], false);
        let variant = &schema["$defs"]["Variant"]["properties"];
        assert!(variant.get("stores").is_some() && variant.get("without").is_some());
        assert!(variant.get("seed").is_none());
    }

    #[test]
    fn every_fixed_word_has_its_place() {
        let schema = schema();
        let defs = schema["$defs"].as_object().unwrap();
        let places = words::fixed().into_iter().chain(words::named()).map(|(p, k, _)| (p, k));
        for (part, key) in places.chain(words::DATES.iter().copied()).chain(words::DAYS.iter().copied()) {
            // Presets alone know `Kind`.
            if part == "Kind" {
                continue;
            }
            let def = if part.is_empty() { &schema } else { &defs[part] };
            let text = def["properties"][key].to_string();
            assert!(text.contains("pattern"), "{part}.{key}: {text}");
        }
    }

    #[test]
    fn names_are_told_from_three_letters_on() {
        assert_eq!(short(&WEEKDAYS), ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]);
        assert_eq!(short(&MONTHS).len(), 12);
        assert_eq!(any_letters("A-b 1"), "[aA][-][bB] 1");
        assert!(prefixes(&["Monday"]).starts_with("[mM][oO][nN](?:[dD](?:"));
    }
}
