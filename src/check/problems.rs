//! Violations in our own words.

use jsonschema::JsonType;
use jsonschema::error::{TypeKind, ValidationErrorKind as Kind};
use serde_json::Value as Json;

use super::union::branches;
use super::violations::{Collector, Violation, owner};
use super::wording::{counted, either, nearest, sort_name, value_name};
use super::{SchemaBook, union};
use super::{
    schema::Schema,
    shape::{QUANTITY, kind_of},
};
use crate::quantity::{Kind as QuantityKind, Quantity};
use crate::read::{MOST_TOLD, Node, Problem, ProblemKind, Value, and_more};
use crate::text::shown;

/// All that the schema refuses in a tree, in the order of the text; after [`MOST_TOLD`] problems only how many more
/// there are.
pub fn check(schema: &Schema, root: &Node) -> Vec<Problem> {
    let json = root.to_json();
    let errors: Vec<_> = schema.validator.iter_errors(&json).collect();
    let mut collector = Collector {
        book: &schema.book,
        root,
        violations: Vec::new(),
    };
    for error in &errors {
        collector.add(error);
    }
    let mut violations = collector.violations;
    violations.sort_by_key(|violation| violation.span);

    let writer = Writer {
        book: &schema.book,
        root,
    };
    let mut problems: Vec<Problem> = Vec::new();
    let mut told = 0;
    for violation in &violations {
        if problems.len() == MOST_TOLD {
            break;
        }
        told += 1;
        let problem = writer.problem(violation);
        if problems.last() != Some(&problem) {
            problems.push(problem);
        }
    }
    if told < violations.len() {
        problems.push(and_more(violations.len() - told));
    }
    problems
}

/// What is wrong, what to say beside it, and what is accepted instead.
struct Words {
    kind: ProblemKind,
    message: String,
    label: String,
    help: Option<String>,
}

impl Words {
    fn new(kind: ProblemKind, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            label: label.into(),
            help: None,
        }
    }

    fn help(mut self, help: impl Into<Option<String>>) -> Self {
        self.help = help.into();
        self
    }
}

/// Finds the words for violations of one tree.
struct Writer<'t> {
    book: &'t SchemaBook,
    root: &'t Node,
}

impl Writer<'_> {
    fn problem(&self, violation: &Violation<'_>) -> Problem {
        let words = self.words(violation);
        let mut problem = Problem::at(words.kind, violation.span, words.message, words.label);
        problem.help = words.help;
        problem
    }

    fn words(&self, violation: &Violation<'_>) -> Words {
        let key = violation.place.key();
        let Some(found) = self.root.at(&violation.place) else {
            return fallback(violation);
        };
        match violation.kind {
            Kind::AdditionalProperties { .. } | Kind::UnevaluatedProperties { .. } => {
                self.unknown_key(&key, violation)
            }
            kind if violation.of_name => name_words(&key, kind),
            Kind::FalseSchema => Words::new(
                ProblemKind::UnknownKey,
                format!("`{}` is not allowed here", shown(&key)),
                "not accepted here",
            ),
            Kind::Required { property } => self.missing_key(property.as_str().unwrap_or_default(), violation),
            Kind::Type { kind } => self.wrong_type(kind, found, violation),
            Kind::Custom { keyword, message } if keyword == QUANTITY => {
                self.wrong_quantity(found, violation, message)
            }
            Kind::Enum { options } => {
                let options = options.as_array().map(|all| all.iter().collect::<Vec<_>>());
                wrong_value(found, &options.unwrap_or_default())
            }
            Kind::Constant { .. } if !violation.choices.is_empty() => wrong_value(found, &violation.choices),
            Kind::Constant { expected_value } => wrong_value(found, &[expected_value]),
            Kind::AnyOf { .. } | Kind::OneOfNotValid { .. } => self.no_branch(found, violation),
            Kind::Pattern { pattern } => self.wrong_form(pattern, found, violation),
            kind => bound_words(kind, found).unwrap_or_else(|| fallback(violation)),
        }
    }

    fn unknown_key(&self, key: &str, violation: &Violation<'_>) -> Words {
        let known = owner(self.book, violation.keyword)
            .map(|object| self.book.keys_of(&[object]))
            .unwrap_or_default();
        let help = match nearest(key, known.iter().copied()) {
            Some(name) => format!("did you mean `{name}`?"),
            None if known.is_empty() => "no key is known here".to_owned(),
            None => {
                let names = known.iter().map(|name| format!("`{name}`")).collect();
                format!(
                    "known here: {}; keys that start with `x-` are your own",
                    either(names)
                )
            }
        };
        Words::new(
            ProblemKind::UnknownKey,
            format!("unknown key `{}`", shown(key)),
            "not known here",
        )
        .help(help)
    }

    fn missing_key(&self, key: &str, violation: &Violation<'_>) -> Words {
        let values = owner(self.book, violation.keyword)
            .map(|object| self.book.values_of(object, key))
            .unwrap_or_default();
        let accepted: Vec<String> = values.iter().map(|value| format!("\"{value}\"")).collect();
        let help = (!accepted.is_empty()).then(|| format!("`{key}` is {}", either(accepted)));
        Words::new(
            ProblemKind::MissingKey,
            format!("the key `{key}` is missing"),
            format!("needs `{key}`"),
        )
        .help(help)
    }

    fn wrong_type(&self, expected: &TypeKind, found: &Node, violation: &Violation<'_>) -> Words {
        if let Some(kind) = owner(self.book, violation.keyword).and_then(kind_of) {
            return not_a_quantity(kind, found);
        }
        let sorts: Vec<JsonType> = match expected {
            TypeKind::Single(one) => vec![*one],
            TypeKind::Multiple(several) => several.iter().collect(),
        };
        let names = sorts
            .iter()
            .map(|sort| sort_name(sort.as_str()).to_owned())
            .collect();
        expected_words(&either(names), found)
    }

    fn wrong_quantity(&self, found: &Node, violation: &Violation<'_>, message: &str) -> Words {
        let kind = self
            .book
            .at(violation.keyword)
            .and_then(Json::as_str)
            .and_then(|name| name.parse().ok());
        match kind {
            Some(kind) => quantity_words(found.text().unwrap_or_default(), kind),
            None => Words::new(ProblemKind::NotAccepted, message, "not accepted"),
        }
    }

    /// A text that does not match a pattern; the schema's examples tell more than the pattern.
    fn wrong_form(&self, pattern: &str, found: &Node, violation: &Violation<'_>) -> Words {
        let examples: Vec<String> = owner(self.book, violation.keyword)
            .and_then(|schema| schema.get("examples")?.as_array())
            .into_iter()
            .flatten()
            .map(value_name)
            .collect();
        let help = if examples.is_empty() {
            format!("it must match the pattern `{}`", shown(pattern))
        } else {
            format!("written as {}", either(examples))
        };
        let message = format!("{} does not have the required form", found_name(found));
        Words::new(ProblemKind::WrongForm, message, "not accepted here").help(help)
    }

    /// No branch of a union is for values of this type.
    fn no_branch(&self, found: &Node, violation: &Violation<'_>) -> Words {
        let branches = branches(self.book, violation.keyword);
        if let Some(kind) = branches.iter().find_map(|branch| branch.kind)
            && matches!(found.value, Value::Number(_))
        {
            return not_a_quantity(kind, found);
        }
        let constants: Vec<&Json> = branches
            .iter()
            .flat_map(|branch| branch.constants.clone())
            .collect();
        let open = branches.iter().filter(|branch| branch.constants.is_empty());
        let mut names: Vec<String> = open.flat_map(branch_names).collect();
        if names.is_empty() {
            return wrong_value(found, &constants);
        }
        names.extend(constants.iter().map(|value| value_name(value)));
        let meant = found.text().and_then(|text| nearest_text(text, &constants));
        let words = expected_words(&either(names), found);
        match meant {
            Some(name) => words.help(format!("did you mean \"{name}\"?")),
            None => words,
        }
    }
}

/// What a branch of a union is for.
fn branch_names(branch: &union::Branch<'_>) -> Vec<String> {
    match branch.kind {
        Some(kind) => vec![kind.name().to_owned()],
        None => branch
            .sorts
            .iter()
            .map(|sort| sort_name(sort).to_owned())
            .collect(),
    }
}

/// A value as it was found: simple ones as they are, the rest by type.
fn found_name(found: &Node) -> String {
    match &found.value {
        Value::Text(text) => format!("\"{}\"", shown(text)),
        Value::Number(written) => shown(written),
        _ => found.sort().to_owned(),
    }
}

fn expected_words(expected: &str, found: &Node) -> Words {
    let words = Words::new(
        ProblemKind::WrongType,
        format!("expected {expected}, found {}", found.sort()),
        format!("expected {expected}"),
    );
    match found.value {
        Value::Null => words.help(
            "leave the key out where the plan shows nothing; \"none\" says that there is none".to_owned(),
        ),
        _ => words,
    }
}

fn wrong_value(found: &Node, accepted: &[&Json]) -> Words {
    let names = either(accepted.iter().map(|value| value_name(value)).collect());
    let meant = found
        .text()
        .filter(|_| accepted.len() > 1)
        .and_then(|text| nearest_text(text, accepted));
    Words::new(
        ProblemKind::WrongValue,
        format!("expected {names}, found {}", found_name(found)),
        "not accepted here",
    )
    .help(meant.map(|name| format!("did you mean \"{name}\"?")))
}

fn nearest_text<'n>(text: &str, accepted: &[&'n Json]) -> Option<&'n str> {
    nearest(text, accepted.iter().filter_map(|value| value.as_str()))
}

/// A value other than a text where a quantity is due; a bare number is told the units that fit.
fn not_a_quantity(kind: QuantityKind, found: &Node) -> Words {
    let name = kind.name();
    match &found.value {
        Value::Number(written) => match Quantity::parse(written, kind) {
            Err(refused) => Words::new(
                ProblemKind::UnitMissing,
                format!("found the bare number {}, expected {name}", shown(written)),
                format!("expected {name} with its unit, in quotes"),
            )
            .help(refused.help()),
            Ok(_) => Words::new(
                ProblemKind::UnitMissing,
                format!("found the bare number {}, expected {name}", shown(written)),
                "expected it in quotes",
            )
            .help(format!("write it as \"{}\"", shown(written))),
        },
        Value::Null => expected_words(name, found),
        _ => {
            let examples = kind
                .unit_examples()
                .iter()
                .map(|example| format!("\"{example}\""));
            expected_words(name, found).help(format!("written as {}", either(examples.collect())))
        }
    }
}

fn quantity_words(text: &str, kind: QuantityKind) -> Words {
    match Quantity::parse(text, kind) {
        Err(refused) => Words::new(
            ProblemKind::WrongQuantity,
            refused.to_string(),
            format!("expected {}", kind.name()),
        )
        .help(refused.help()),
        // The validator refused it by the same parser.
        Ok(_) => Words::new(
            ProblemKind::NotAccepted,
            format!("`{}` is not accepted", shown(text)),
            "not accepted",
        ),
    }
}

fn name_words(key: &str, kind: &Kind) -> Words {
    let help = match kind {
        Kind::MinLength { limit } => Some(format!("it needs at least {}", counted(*limit, "character"))),
        Kind::MaxLength { limit } => Some(format!("it may have at most {}", counted(*limit, "character"))),
        Kind::Pattern { pattern } => Some(format!("it must match the pattern `{}`", shown(pattern))),
        _ => None,
    };
    Words::new(
        ProblemKind::NameNotAllowed,
        format!("`{}` can’t be a name here", shown(key)),
        "choose another name",
    )
    .help(help)
}

/// The words for counts and ranges; none for other kinds of error.
fn bound_words(kind: &Kind, found: &Node) -> Option<Words> {
    let value = found_name(found);
    let number = |text: String, label: String| Some(Words::new(ProblemKind::OutOfRange, text, label));
    match kind {
        Kind::Minimum { limit } => number(format!("{value} is below {limit}"), format!("at least {limit}")),
        Kind::Maximum { limit } => number(format!("{value} is over {limit}"), format!("at most {limit}")),
        Kind::ExclusiveMinimum { limit } => {
            number(format!("{value} is not over {limit}"), format!("over {limit}"))
        }
        Kind::ExclusiveMaximum { limit } => {
            number(format!("{value} is not below {limit}"), format!("below {limit}"))
        }
        Kind::MultipleOf { multiple_of } => number(
            format!("{value} is not a multiple of {multiple_of}"),
            format!("a multiple of {multiple_of}"),
        ),
        Kind::MinItems { limit } => Some(too_few(found, *limit, "item")),
        Kind::MaxItems { limit } => Some(too_many(found, *limit, "item")),
        Kind::AdditionalItems { limit } => Some(too_many(found, *limit as u64, "item")),
        Kind::MinProperties { limit } => Some(too_few(found, *limit, "member")),
        Kind::MaxProperties { limit } => Some(too_many(found, *limit, "member")),
        Kind::MinLength { .. } if found.text() == Some("") => {
            number("the text is empty".to_owned(), "expected some text".to_owned())
        }
        Kind::MinLength { limit } => Some(too_few(found, *limit, "character")),
        Kind::MaxLength { limit } => Some(too_many(found, *limit, "character")),
        Kind::UniqueItems => number(
            "the list holds an item twice".to_owned(),
            "each may occur once".to_owned(),
        ),
        _ => None,
    }
}

/// How many items, members or characters a value has.
fn size(found: &Node) -> u64 {
    let size = match &found.value {
        Value::List(items) => items.len(),
        Value::Object(members) => members.len(),
        Value::Text(text) => text.chars().count(),
        _ => 0,
    };
    size as u64
}

fn too_few(found: &Node, limit: u64, noun: &str) -> Words {
    let message = format!("{}, at least {limit} needed", counted(size(found), noun));
    Words::new(
        ProblemKind::OutOfRange,
        message,
        format!("needs at least {}", counted(limit, noun)),
    )
}

fn too_many(found: &Node, limit: u64, noun: &str) -> Words {
    let message = format!("{}, at most {limit} accepted", counted(size(found), noun));
    Words::new(
        ProblemKind::OutOfRange,
        message,
        format!("takes at most {}", counted(limit, noun)),
    )
}

/// For what the plan's schema does not use: the keyword is named, so that nothing is passed over in silence.
fn fallback(violation: &Violation<'_>) -> Words {
    let keyword = violation.kind.keyword();
    Words::new(
        ProblemKind::NotAccepted,
        format!("not what the plan’s format accepts (`{keyword}`)"),
        "not accepted here",
    )
}
