//! The plan's schema, compiled once: draft 2020-12 with the keyword `quantity`.

use jsonschema::{Draft, Keyword, ValidationError, Validator, paths::Location};
use serde_json::{Map, Value as Json};

use super::{SchemaBook, shape::QUANTITY};
use crate::quantity::{Kind, Quantity};

/// A schema that plans are held against.
///
/// Besides the keywords of JSON Schema draft 2020-12 it knows `"quantity": "<kind>"`: a text must be a quantity of
/// that kind, named as [`Kind`] is in kebab case.
#[derive(Debug)]
pub struct Schema {
    pub(super) validator: Validator,
    pub(super) book: SchemaBook,
}

/// Why a text is not a schema that plans can be held against.
#[derive(Debug, thiserror::Error)]
pub enum SchemaError {
    /// The text is not JSON.
    #[error("the schema is not JSON")]
    NotJson(#[from] serde_json::Error),
    /// The JSON is not a schema of draft 2020-12, refers outside itself, or names an unknown kind of quantity.
    #[error("the schema can’t be used: {problem} at `{place}`")]
    Unusable {
        /// What is wrong with it.
        problem: String,
        /// Where in the schema, as a JSON Pointer.
        place: String,
    },
}

impl Schema {
    /// Compiles a schema; nothing outside its text is looked up.
    pub fn new(text: &str) -> Result<Self, SchemaError> {
        let document: Json = serde_json::from_str(text)?;
        let validator = jsonschema::options()
            .with_draft(Draft::Draft202012)
            .with_keyword(QUANTITY, quantity_keyword)
            .build(&document)
            .map_err(|error| SchemaError::Unusable {
                problem: error.to_string(),
                place: error.schema_path().to_string(),
            })?;
        Ok(Self {
            validator,
            book: SchemaBook::new(document),
        })
    }

    /// The schema as data.
    pub fn book(&self) -> &SchemaBook {
        &self.book
    }
}

struct QuantityKeyword(Kind);

impl<'i> Keyword<'i> for QuantityKeyword {
    fn validate(&self, instance: &'i Json) -> Result<(), ValidationError<'i>> {
        // Other types are the business of `type`.
        let Some(text) = instance.as_str() else {
            return Ok(());
        };
        match Quantity::parse(text, self.0) {
            Ok(_) => Ok(()),
            Err(refused) => Err(ValidationError::custom(refused.to_string())),
        }
    }

    fn is_valid(&self, instance: &'i Json) -> bool {
        instance
            .as_str()
            .is_none_or(|text| Quantity::parse(text, self.0).is_ok())
    }
}

fn quantity_keyword<'a>(
    _parent: &'a Map<String, Json>,
    kind: &'a Json,
    _place: Location,
) -> Result<Box<dyn for<'i> Keyword<'i>>, ValidationError<'a>> {
    let name = kind.as_str().unwrap_or_default();
    match name.parse() {
        Ok(kind) => Ok(Box::new(QuantityKeyword(kind))),
        Err(_) => Err(ValidationError::custom(format!(
            "{kind} is not a kind of quantity"
        ))),
    }
}
