//! Violations: what the validator found, one by one, each with the span to show, unions narrowed to what was meant.

use jsonschema::ValidationError;
use jsonschema::error::ValidationErrorKind as Kind;
use serde_json::Value as Json;

use super::SchemaBook;
use super::shape::kind_of;
use super::union::{Choice, branches, choose};
use crate::read::{Node, Place, Span, Value};

/// One way in which a tree is not what the schema says.
pub(super) struct Violation<'e> {
    /// The place of the value, or of the unknown key.
    pub place: Place,
    /// What to show.
    pub span: Span,
    /// What the validator found.
    pub kind: &'e Kind,
    /// Where the schema says otherwise, as a JSON Pointer to the keyword.
    pub keyword: &'e str,
    /// Whether it is of the member's name, not of its value.
    pub of_name: bool,
    /// Instead of one value, those that a discriminating member may have over all branches of a union.
    pub choices: Vec<&'e Json>,
}

/// Collects violations of one tree.
pub(super) struct Collector<'t, 'e> {
    /// The schema as data.
    pub book: &'t SchemaBook,
    /// The tree.
    pub root: &'t Node,
    /// What was found so far.
    pub violations: Vec<Violation<'e>>,
}

impl<'e> Collector<'_, 'e> {
    /// Adds what an error of the validator tells.
    pub fn add(&mut self, error: &'e ValidationError<'_>) {
        let place = Place::from_pointer(error.instance_path().as_str());
        let keyword = error.schema_path().as_str();
        match error.kind() {
            Kind::AdditionalProperties { unexpected } | Kind::UnevaluatedProperties { unexpected } => {
                for key in unexpected {
                    self.push(place.child(key), error.kind(), keyword, true);
                }
            }
            Kind::PropertyNames { error: inner } => {
                let key = inner.instance().as_str().unwrap_or_default();
                self.push(place.child(key), inner.kind(), keyword, true);
            }
            Kind::AnyOf { context } | Kind::OneOfNotValid { context } => {
                self.add_union(place, error.kind(), keyword, context);
            }
            // The quantity says so itself, and better.
            Kind::MaxLength { .. } if self.takes_quantity(keyword) => {}
            kind => self.push(place, kind, keyword, false),
        }
    }

    fn add_union(
        &mut self,
        place: Place,
        kind: &'e Kind,
        keyword: &'e str,
        errors: &'e [Vec<ValidationError<'static>>],
    ) {
        let branches = branches(self.book, keyword);
        let choice = self
            .root
            .at(&place)
            .map_or(Choice::None, |found| choose(&branches, errors, found, &place));
        match choice {
            Choice::Branch(errors) => {
                for error in errors {
                    self.add(error);
                }
            }
            Choice::Discriminator(errors) => self.add_discriminator(&errors),
            Choice::None => self.push(place, kind, keyword, false),
        }
    }

    /// One violation for a member that has none of the values its branches have.
    fn add_discriminator(&mut self, errors: &[&'e ValidationError<'static>]) {
        let Some(first) = errors.first() else { return };
        self.add(first);
        if let Some(violation) = self.violations.last_mut() {
            violation.choices = errors
                .iter()
                .filter_map(|error| match error.kind() {
                    Kind::Constant { expected_value } => Some(&**expected_value),
                    _ => None,
                })
                .collect();
        }
    }

    fn push(&mut self, place: Place, kind: &'e Kind, keyword: &'e str, of_name: bool) {
        self.violations.push(Violation {
            span: self.span(&place, of_name || matches!(kind, Kind::FalseSchema)),
            of_name,
            place,
            kind,
            keyword,
            choices: Vec::new(),
        });
    }

    /// The key for what is wrong with a key or with an object as a whole, the value for what is wrong with it.
    fn span(&self, place: &Place, of_key: bool) -> Span {
        let key = self.root.key_at(place);
        let Some(node) = self.root.at(place) else {
            return self.root.span_of(place);
        };
        let whole = matches!(node.value, Value::Object(_) | Value::List(_));
        match key {
            Some(key) if of_key || whole => key,
            // An object without a key is shown by its bracket.
            None if whole => Span {
                end: node.span.start + 1,
                ..node.span
            },
            _ => node.span,
        }
    }

    /// Whether a quantity is due where a keyword stands.
    fn takes_quantity(&self, keyword: &str) -> bool {
        owner(self.book, keyword).and_then(kind_of).is_some()
    }
}

/// The schema in which a keyword stands.
pub(super) fn owner<'s>(book: &'s SchemaBook, keyword: &str) -> Option<&'s Json> {
    book.at(keyword.rsplit_once('/')?.0)
}
