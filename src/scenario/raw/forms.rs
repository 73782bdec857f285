//! Forms that the file uses again and again: any scalar as text, a text or
//! its long form, one or a list, and maps that keep their order.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserialize, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};

/// Any scalar, kept as text: what it means is settled later, together with
/// everything else that may be wrong, and shown at its place.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Text(pub String);

impl Text {
    /// The text, without blanks around it.
    #[must_use]
    pub fn get(&self) -> &str {
        self.0.trim()
    }
}

struct TextVisitor;

impl Visitor<'_> for TextVisitor {
    type Value = Text;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a word, a number or a quantity with its unit")
    }
    fn visit_str<E: Error>(self, v: &str) -> Result<Text, E> {
        Ok(Text(v.to_owned()))
    }
    fn visit_bool<E: Error>(self, v: bool) -> Result<Text, E> {
        Ok(Text(v.to_string()))
    }
    fn visit_i64<E: Error>(self, v: i64) -> Result<Text, E> {
        Ok(Text(v.to_string()))
    }
    fn visit_u64<E: Error>(self, v: u64) -> Result<Text, E> {
        Ok(Text(v.to_string()))
    }
    fn visit_f64<E: Error>(self, v: f64) -> Result<Text, E> {
        Ok(Text(v.to_string()))
    }
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(TextVisitor)
    }
}

impl JsonSchema for Text {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Text".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "number"] })
    }
}

/// A short text, or the long form as a map.
#[derive(Clone, Debug, PartialEq)]
pub enum TextOr<T> {
    /// Short.
    Short(Text),
    /// Long.
    Long(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for TextOr<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for V<T> {
            type Value = TextOr<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a quantity with its unit, or its long form in braces")
            }
            fn visit_str<E: Error>(self, v: &str) -> Result<Self::Value, E> {
                TextVisitor.visit_str(v).map(TextOr::Short)
            }
            fn visit_bool<E: Error>(self, v: bool) -> Result<Self::Value, E> {
                TextVisitor.visit_bool(v).map(TextOr::Short)
            }
            fn visit_i64<E: Error>(self, v: i64) -> Result<Self::Value, E> {
                TextVisitor.visit_i64(v).map(TextOr::Short)
            }
            fn visit_u64<E: Error>(self, v: u64) -> Result<Self::Value, E> {
                TextVisitor.visit_u64(v).map(TextOr::Short)
            }
            fn visit_f64<E: Error>(self, v: f64) -> Result<Self::Value, E> {
                TextVisitor.visit_f64(v).map(TextOr::Short)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(TextOr::Long)
            }
        }
        d.deserialize_any(V(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for TextOr<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("TextOr{}", T::schema_name()).into()
    }
    fn json_schema(g: &mut SchemaGenerator) -> Schema {
        let (short, long) = (g.subschema_for::<Text>(), g.subschema_for::<T>());
        json_schema!({ "anyOf": [short, long] })
    }
}

/// One text, or a list of them.
#[derive(Clone, Debug, PartialEq)]
pub enum OneOrMany {
    /// One.
    One(Text),
    /// A list.
    Many(Vec<Text>),
}

impl OneOrMany {
    /// All of them, each with its index if it stands in a list.
    pub fn each(&self) -> impl Iterator<Item = (Option<usize>, &Text)> {
        let (one, many) = match self {
            Self::One(t) => (Some(t), None),
            Self::Many(v) => (None, Some(v)),
        };
        one.into_iter()
            .map(|t| (None, t))
            .chain(many.into_iter().flatten().enumerate().map(|(i, t)| (Some(i), t)))
    }
}

impl<'de> Deserialize<'de> for OneOrMany {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl<'de> Visitor<'de> for V {
            type Value = OneOrMany;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text or a list of texts")
            }
            fn visit_str<E: Error>(self, v: &str) -> Result<OneOrMany, E> {
                TextVisitor.visit_str(v).map(OneOrMany::One)
            }
            fn visit_bool<E: Error>(self, v: bool) -> Result<OneOrMany, E> {
                TextVisitor.visit_bool(v).map(OneOrMany::One)
            }
            fn visit_i64<E: Error>(self, v: i64) -> Result<OneOrMany, E> {
                TextVisitor.visit_i64(v).map(OneOrMany::One)
            }
            fn visit_u64<E: Error>(self, v: u64) -> Result<OneOrMany, E> {
                TextVisitor.visit_u64(v).map(OneOrMany::One)
            }
            fn visit_f64<E: Error>(self, v: f64) -> Result<OneOrMany, E> {
                TextVisitor.visit_f64(v).map(OneOrMany::One)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<OneOrMany, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(seq)).map(OneOrMany::Many)
            }
        }
        d.deserialize_any(V)
    }
}

impl JsonSchema for OneOrMany {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "OneOrMany".into()
    }
    fn json_schema(g: &mut SchemaGenerator) -> Schema {
        let one = g.subschema_for::<Text>();
        json_schema!({ "anyOf": [one, { "type": "array", "items": one }] })
    }
}

/// The keys of a variant; what they say is laid over the scenario and read there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Changes;

impl<'de> Deserialize<'de> for Changes {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl<'de> Visitor<'de> for V {
            type Value = Changes;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a map")
            }
            fn visit_unit<E: Error>(self) -> Result<Changes, E> {
                Ok(Changes)
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Changes, A::Error> {
                while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
                Ok(Changes)
            }
        }
        d.deserialize_any(V)
    }
}

impl JsonSchema for Changes {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Changes".into()
    }
    /// Filled in by [`super::super::schema()`]: it has the shape of the whole.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "$ref": "#/$defs/Variant" })
    }
}

/// A map that keeps the order of the file (the order of stores matters, and
/// messages come in the order of the lines).
#[derive(Clone, Debug, PartialEq)]
pub struct Entries<T>(pub Vec<(String, T)>);

impl<T> Default for Entries<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Entries<T> {
    /// The entry of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&T> {
        self.0.iter().find(|(n, _)| n == name).map(|(_, t)| t)
    }

    /// All entries in order.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &T)> {
        self.0.iter().map(|(n, t)| (n.as_str(), t))
    }

    /// All names in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(n, _)| n.as_str())
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// None at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Entries<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for V<T> {
            type Value = Entries<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("names, each with its value")
            }
            fn visit_unit<E: Error>(self) -> Result<Self::Value, E> {
                Ok(Entries::default())
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut all = Vec::new();
                while let Some((k, v)) = map.next_entry::<Text, T>()? {
                    all.push((k.0, v));
                }
                Ok(Entries(all))
            }
        }
        d.deserialize_any(V(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for Entries<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("Entries{}", T::schema_name()).into()
    }
    fn json_schema(g: &mut SchemaGenerator) -> Schema {
        let value = g.subschema_for::<T>();
        json_schema!({ "type": "object", "additionalProperties": value })
    }
}
