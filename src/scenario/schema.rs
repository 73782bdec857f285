//! The JSON Schema of the format, made from the types that read it.

use super::raw::Scenario;

/// The schema of a scenario file.
#[must_use]
pub fn schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(Scenario).to_value();
    if let Some(map) = schema.as_object_mut() {
        map.insert("title".into(), "A springhouse scenario".into());
    }
    schema
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_schema_names_the_keys_as_they_are_written() {
        let schema = super::schema();
        for key in ["title", "animals", "milk fetched", "when full", "animals fed"] {
            assert!(schema["properties"].get(key).is_some(), "{key}");
        }
        assert_eq!(schema["additionalProperties"], false);
    }
}
