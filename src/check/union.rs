//! Unions: the one branch a value was meant for, so that its errors can be told instead of every branch's.

use jsonschema::ValidationError;
use jsonschema::error::ValidationErrorKind;
use serde_json::Value as Json;

use super::SchemaBook;
use super::shape::constants;
use super::shape::kind_of;
use crate::quantity::Kind;
use crate::read::{Node, Place, Value};

/// What one branch of a union accepts.
pub(super) struct Branch<'s> {
    /// The names of its types; empty where it names none.
    pub sorts: Vec<&'s str>,
    /// The values it lists; empty where it lists none.
    pub constants: Vec<&'s Json>,
    /// The kind of quantity it takes.
    pub kind: Option<Kind>,
}

impl Branch<'_> {
    /// Whether it is open to values of the type of `found`, not to listed ones only.
    fn takes(&self, found: &Node) -> bool {
        let fits = |sort: &&str| match found.value {
            Value::Null => *sort == "null",
            Value::Bool(_) => *sort == "boolean",
            Value::Number(_) => *sort == "number" || *sort == "integer",
            Value::Text(_) => *sort == "string",
            Value::List(_) => *sort == "array",
            Value::Object(_) => *sort == "object",
        };
        self.constants.is_empty() && (self.sorts.is_empty() || self.sorts.iter().any(fits))
    }
}

/// The branches of the union whose keyword stands at a pointer of the schema.
pub(super) fn branches<'s>(book: &'s SchemaBook, pointer: &str) -> Vec<Branch<'s>> {
    let schemas = book.at(pointer).and_then(Json::as_array);
    schemas
        .into_iter()
        .flatten()
        .map(|schema| {
            let chain = book.chain(schema);
            Branch {
                sorts: chain.iter().find_map(|part| sorts(part)).unwrap_or_default(),
                constants: chain.iter().flat_map(|part| constants(part)).collect(),
                kind: chain.iter().find_map(|part| kind_of(part)),
            }
        })
        .collect()
}

/// The types a schema names, if it does.
fn sorts(schema: &Json) -> Option<Vec<&str>> {
    match schema.get("type")? {
        Json::String(one) => Some(vec![one]),
        Json::Array(several) => Some(several.iter().filter_map(Json::as_str).collect()),
        _ => None,
    }
}

/// What to tell of a value that no branch accepts.
pub(super) enum Choice<'e> {
    /// The errors of the branch it was meant for.
    Branch(&'e [ValidationError<'static>]),
    /// A member that tells the branches apart has a value that none of them has; these errors list what they have.
    Discriminator(Vec<&'e ValidationError<'static>>),
    /// No branch is for values of its type.
    None,
}

/// The branch a value was meant for: of those open to its type, the one whose discriminating member agrees, else the
/// one with the fewest errors.
pub(super) fn choose<'e>(
    branches: &[Branch<'_>],
    errors: &'e [Vec<ValidationError<'static>>],
    found: &Node,
    place: &Place,
) -> Choice<'e> {
    let open: Vec<&Vec<ValidationError<'static>>> = branches
        .iter()
        .zip(errors)
        .filter(|(branch, _)| branch.takes(found))
        .map(|(_, errors)| errors)
        .collect();
    let meant = open
        .iter()
        .filter(|errors| discriminator(errors, place).is_none());
    if let Some(errors) = meant.min_by_key(|errors| errors.len()) {
        return Choice::Branch(errors);
    }
    match open.as_slice() {
        [] => Choice::None,
        [only] => Choice::Branch(only),
        several => Choice::Discriminator(
            several
                .iter()
                .filter_map(|errors| discriminator(errors, place))
                .collect(),
        ),
    }
}

/// The error of a member that must have a value of its own in this branch, such as `kind`.
fn discriminator<'e>(
    errors: &'e [ValidationError<'static>],
    place: &Place,
) -> Option<&'e ValidationError<'static>> {
    errors.iter().find(|error| {
        let constant = matches!(error.kind(), ValidationErrorKind::Constant { .. });
        let at = Place::from_pointer(error.instance_path().as_str());
        constant && at.parent().as_ref() == Some(place)
    })
}
