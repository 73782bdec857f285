//! The text of a quantity, as written, not yet read.

use std::{borrow::Cow, fmt, marker::PhantomData};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::read::{Dimension, QuantityError, Spread, read, read_spread};

/// What kind of value stood in the file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Written {
    /// A text.
    #[default]
    Words,
    /// A bare number.
    Number,
    /// `true` or `false`.
    Truth,
    /// Nothing at all.
    Nothing,
}

/// A quantity of dimension `D` as written. It takes any single value of the
/// file, so that a missing unit becomes one of the messages collected later.
pub struct Text<D> {
    text: String,
    written: Written,
    dimension: PhantomData<fn() -> D>,
}

impl<D> Text<D> {
    /// A quantity in words.
    pub fn new(text: impl Into<String>) -> Self {
        Self::of(text, Written::Words)
    }

    fn of(text: impl Into<String>, written: Written) -> Self {
        Self { text: text.into(), written, dimension: PhantomData }
    }

    /// The words as written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// What kind of value stood in the file.
    #[must_use]
    pub fn written(&self) -> Written {
        self.written
    }

    /// The same words, taken as another dimension.
    #[must_use]
    pub fn as_dimension<E>(&self) -> Text<E> {
        Text::of(self.text.clone(), self.written)
    }
}

impl<D: Dimension> Text<D> {
    /// The value in the unit of `D` (see each dimension).
    ///
    /// # Errors
    /// When the words are no such quantity, or out of its range.
    pub fn read(&self) -> Result<f64, QuantityError> {
        self.fit()?;
        read::<D>(&self.text)
    }

    /// The value and its `give or take`, a standard deviation (0 when absent).
    ///
    /// # Errors
    /// When either part is no such quantity, or out of its range.
    pub fn spread(&self) -> Result<Spread, QuantityError> {
        self.fit()?;
        read_spread::<D>(&self.text)
    }

    fn fit(&self) -> Result<(), QuantityError> {
        match self.written {
            Written::Nothing => Err(QuantityError::of::<D>("", "nothing is written here")),
            Written::Truth => {
                Err(QuantityError::of::<D>(&self.text, format!("`{}` is no quantity", self.text)))
            }
            Written::Words | Written::Number => Ok(()),
        }
    }
}

impl<D> Clone for Text<D> {
    fn clone(&self) -> Self {
        Self::of(self.text.clone(), self.written)
    }
}
impl<D> Default for Text<D> {
    fn default() -> Self {
        Self::of("", Written::Nothing)
    }
}
impl<D> fmt::Debug for Text<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.text, f)
    }
}
impl<D> fmt::Display for Text<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}
impl<D> PartialEq for Text<D> {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text && self.written == other.written
    }
}
impl<D> Eq for Text<D> {}

impl<D> From<&str> for Text<D> {
    fn from(text: &str) -> Self {
        Self::new(text)
    }
}

impl<D> Serialize for Text<D> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self.written {
            Written::Words => s.serialize_str(&self.text),
            Written::Nothing => s.serialize_none(),
            Written::Truth => s.serialize_bool(self.text == "true"),
            Written::Number => match (self.text.parse::<i64>(), self.text.parse::<f64>()) {
                (Ok(n), _) => s.serialize_i64(n),
                (_, Ok(n)) => s.serialize_f64(n),
                _ => s.serialize_str(&self.text),
            },
        }
    }
}

impl<'de, D> Deserialize<'de> for Text<D> {
    fn deserialize<T: Deserializer<'de>>(deserializer: T) -> Result<Self, T::Error> {
        deserializer.deserialize_any(AnyScalar(PhantomData))
    }
}

struct AnyScalar<D>(PhantomData<fn() -> D>);

impl<D> de::Visitor<'_> for AnyScalar<D> {
    type Value = Text<D>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a quantity")
    }
    fn visit_str<E>(self, v: &str) -> Result<Text<D>, E> {
        Ok(Text::new(v))
    }
    fn visit_string<E>(self, v: String) -> Result<Text<D>, E> {
        Ok(Text::new(v))
    }
    fn visit_i64<E>(self, v: i64) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Number))
    }
    fn visit_u64<E>(self, v: u64) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Number))
    }
    fn visit_i128<E>(self, v: i128) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Number))
    }
    fn visit_u128<E>(self, v: u128) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Number))
    }
    fn visit_f64<E>(self, v: f64) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Number))
    }
    fn visit_bool<E>(self, v: bool) -> Result<Text<D>, E> {
        Ok(Text::of(v.to_string(), Written::Truth))
    }
    fn visit_unit<E>(self) -> Result<Text<D>, E> {
        Ok(Text::default())
    }
    fn visit_none<E>(self) -> Result<Text<D>, E> {
        Ok(Text::default())
    }
}

impl<D: Dimension> JsonSchema for Text<D> {
    fn schema_name() -> Cow<'static, str> {
        D::TITLE.into()
    }
    fn schema_id() -> Cow<'static, str> {
        format!("{}::Text<{}>", module_path!(), D::TITLE).into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let kind =
            if D::BARE { serde_json::json!(["string", "number"]) } else { serde_json::json!("string") };
        let mut schema = json_schema!({
            "type": kind,
            "description": format!("Write {}.", D::EXPECTED),
            "examples": D::EXAMPLES,
        });
        if !D::BARE {
            // A unit or a word: a number alone means nothing.
            schema.insert("pattern".into(), "[A-Za-z%°]".into());
        }
        schema
    }
}
