//! Text to a tree: JSON with comments and trailing commas, and nothing looser.

use indexmap::IndexMap;
use indexmap::map::Entry;
use jsonc_parser::ast;
use jsonc_parser::common::Range;
use jsonc_parser::errors::{ParseError, ParseErrorKind};
use jsonc_parser::{CollectOptions, ParseOptions, ParseStringErrorKind, parse_to_ast};

use super::problem::{Problem, in_order};
use super::scan::{Broken, Outline, outline};
use super::window::Window;
use super::{Member, Node, ProblemKind, SourceId, Sources, Span, Value};
use crate::text::shown;

/// Comments and trailing commas are accepted; everything else is as strict as JSON.
pub(crate) const STRICT: ParseOptions = ParseOptions {
    allow_comments: true,
    allow_trailing_commas: true,
    allow_loose_object_property_names: false,
    allow_missing_commas: false,
    allow_single_quoted_strings: false,
    allow_hexadecimal_numbers: false,
    allow_unary_plus_numbers: false,
    allow_bare_decimal_point_numbers: false,
    allow_non_finite_numbers: false,
    allow_extended_string_escapes: false,
};

/// The tree of a plan's or a patch's text, whose outermost value must be an object; or all that is wrong with it,
/// as far as the text can be followed.
pub fn parse(sources: &Sources, source: SourceId) -> Result<Node, Vec<Problem>> {
    let root = parse_window(Window {
        text: sources.text(source),
        source,
        offset: 0,
    })?;
    if matches!(root.value, Value::Object(_)) {
        return Ok(root);
    }
    let message = format!("a plan is an object, found {}", root.sort());
    Err(vec![Problem::at(
        ProblemKind::NotAnObject,
        root.span,
        message,
        "expected `{` … `}` round everything",
    )])
}

/// The tree of a part of a text, such as a fenced block of a page; spans count in the whole text.
pub fn parse_part(
    sources: &Sources,
    source: SourceId,
    part: std::ops::Range<usize>,
) -> Result<Node, Vec<Problem>> {
    let text = &sources.text(source)[part.clone()];
    parse_window(Window {
        text,
        source,
        offset: part.start,
    })
}

/// The tree of any one value.
pub(super) fn parse_window(window: Window<'_>) -> Result<Node, Vec<Problem>> {
    let Outline {
        characters: mut problems,
        broken,
        unclosed,
    } = outline(window);
    let root = match syntax_tree(window, broken, unclosed) {
        Ok(tree) => {
            let mut converter = Converter { window, problems };
            let root = converter.node(tree);
            problems = converter.problems;
            Some(root)
        }
        Err(found) => {
            problems.extend(found);
            None
        }
    };
    match root {
        Some(root) if problems.is_empty() => Ok(root),
        _ => Err(in_order(problems)),
    }
}

/// The parser's tree of a text that is sound so far as the first pass can tell.
fn syntax_tree(
    window: Window<'_>,
    broken: Option<Box<Broken>>,
    unclosed: Option<usize>,
) -> Result<ast::Value<'_>, Vec<Problem>> {
    let parse = || parse_to_ast(window.text, &CollectOptions::default(), &STRICT);
    let Some(broken) = broken else {
        let parsed = parse().map_err(|error| vec![syntax_problem(window, unclosed, &error)])?;
        return parsed.value.ok_or_else(|| vec![nothing_there(window)]);
    };
    let mut problems = Vec::new();
    // What the parser stumbles over before the break is a mistake of its own; later, it is the same one.
    if !broken.past_bound
        && let Err(error) = parse()
        && error.range().end <= broken.from
    {
        problems.push(syntax_problem(window, None, &error));
    }
    problems.push(broken.problem);
    Err(problems)
}

fn nothing_there(window: Window<'_>) -> Problem {
    let message = "the file holds only blanks and comments";
    Problem::at(
        ProblemKind::NotAnObject,
        window.last_char(),
        message,
        "expected `{` and the plan",
    )
}

/// A syntax error in our words; one at the end of the text also shows the bracket that is still open.
fn syntax_problem(window: Window<'_>, unclosed: Option<usize>, error: &ParseError) -> Problem {
    use ParseErrorKind as Kind;
    let at_end = matches!(
        error.kind(),
        Kind::UnterminatedArray | Kind::UnterminatedObject | Kind::ExpectedObjectValue
    ) || error.range().start >= window.text.trim_end().len();
    // The parser calls a word that a bracket or comma follows an unexpected token.
    let kind = match error.kind() {
        Kind::UnexpectedToken if starts_word(window, error) => &Kind::UnexpectedWord,
        kind => kind,
    };
    let (message, label) = syntax_wording(kind);
    let mut problem = match unclosed {
        Some(opened) if at_end => {
            let (opening, due) = window.bracket(opened);
            let label = match kind {
                Kind::UnterminatedArray | Kind::UnterminatedObject => format!("expected `,` or `{due}`"),
                _ => label.to_owned(),
            };
            let message = format!("the text ends inside {}", bracketed(opening));
            Problem::at(ProblemKind::NotClosed, window.last_char(), message, label).also(
                window.char_span(opened),
                format!("this `{opening}` is not closed"),
            )
        }
        _ => Problem::at(ProblemKind::Syntax, error_span(window, error), message, label),
    };
    problem.help = syntax_help(kind).map(str::to_owned);
    problem
}

fn starts_word(window: Window<'_>, error: &ParseError) -> bool {
    window
        .text
        .get(error.range().start..)
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
}

fn bracketed(opening: char) -> &'static str {
    if opening == '[' { "a list" } else { "an object" }
}

/// Where the parser stands; what is missing is missed after the character before it.
fn error_span(window: Window<'_>, error: &ParseError) -> Span {
    let Range { start, end } = error.range();
    if start == end || start >= window.text.len() {
        let before = window.text.get(..start).unwrap_or(window.text).trim_end();
        window.char_span(before.len().saturating_sub(1))
    } else {
        window.span(start, end)
    }
}

/// What is wrong, and what was expected in its place.
fn syntax_wording(kind: &ParseErrorKind) -> (&'static str, &'static str) {
    use ParseErrorKind as Kind;
    match kind {
        Kind::BareDecimalPointNumbersNotAllowed => {
            ("a number starts or ends with its point", "expected a digit there")
        }
        Kind::CommentsNotAllowed => ("a comment is not allowed here", "expected no comment"),
        Kind::ExpectedColonAfterObjectKey => ("a key has no value", "expected `:` and a value after the key"),
        Kind::ExpectedObjectValue => ("a key has no value", "expected a value after the `:`"),
        Kind::ExpectedDigit
        | Kind::ExpectedDigitFollowingNegativeSign
        | Kind::ExpectedPlusMinusOrDigitInNumberLiteral => ("a number is cut short", "expected a digit"),
        Kind::ExpectedStringObjectProperty => ("a key is not in quotes", "expected `\"` round the key"),
        Kind::HexadecimalNumbersNotAllowed => ("a hexadecimal number", "expected a decimal number"),
        Kind::ExpectedComma => ("a comma is missing", "expected `,` after this"),
        Kind::MultipleRootJsonValues => ("something follows the end of the plan", "expected nothing more"),
        Kind::NonFiniteNumbersNotAllowed => ("a number that is none", "expected digits"),
        Kind::SingleQuotedStringsNotAllowed => ("a text in single quotes", "expected double quotes"),
        Kind::String(kind) => escape_wording(kind),
        Kind::TrailingCommasNotAllowed => ("a comma before the end", "expected no comma"),
        Kind::UnaryPlusNumbersNotAllowed => ("a number starts with `+`", "expected a digit or `-`"),
        Kind::UnexpectedCloseBrace => ("found `}`, expected a value", "expected a value"),
        Kind::UnexpectedCloseBracket => ("found `]`, expected a value", "expected a value"),
        Kind::UnexpectedColon => ("unexpected `:`", "expected `,`, a value or the end"),
        Kind::UnexpectedComma => ("a comma with no value before it", "expected a value"),
        Kind::UnexpectedTokenInObject => (
            "something other than a key in an object",
            "expected `,`, a key or `}`",
        ),
        Kind::UnexpectedWord => ("a word without quotes", "expected `\"` round a text"),
        Kind::UnexpectedToken => ("a character that starts no value", "expected a value"),
        Kind::UnterminatedArray => ("a list is not closed", "expected `]`"),
        Kind::UnterminatedCommentBlock => ("a comment is not closed", "expected `*/`"),
        Kind::UnterminatedObject => ("an object is not closed", "expected `}`"),
        Kind::NestingDepthExceeded => ("objects and lists too deep inside each other", "too deep"),
    }
}

fn escape_wording(kind: &ParseStringErrorKind) -> (&'static str, &'static str) {
    use ParseStringErrorKind as Kind;
    match kind {
        Kind::ExpectedFourHexDigits => ("a `\\u` escape is cut short", "expected four hexadecimal digits"),
        Kind::InvalidUnicodeEscapeSequence(_) => ("a `\\u` escape names no character", "half of a pair"),
        Kind::UnterminatedStringLiteral => ("a text is not closed", "expected `\"`"),
        Kind::InvalidEscape
        | Kind::InvalidEscapeInSingleQuoteString
        | Kind::InvalidEscapeInDoubleQuoteString
        | Kind::ExpectedTwoHexDigits => ("an unknown escape in a text", "this `\\` escapes nothing"),
    }
}

fn syntax_help(kind: &ParseErrorKind) -> Option<&'static str> {
    match kind {
        ParseErrorKind::String(ParseStringErrorKind::InvalidEscape) => {
            Some("write `\\\\` for a backslash, `\\\"` for an inch mark")
        }
        ParseErrorKind::UnexpectedWord => Some("only `true`, `false` and `null` are written without quotes"),
        _ => None,
    }
}

/// The parser's tree to ours, with what only shows in the values: equal keys, numbers and characters out of bounds.
struct Converter<'t> {
    window: Window<'t>,
    problems: Vec<Problem>,
}

impl Converter<'_> {
    fn node(&mut self, tree: ast::Value<'_>) -> Node {
        let (range, value) = match tree {
            ast::Value::NullKeyword(null) => (null.range, Value::Null),
            ast::Value::BooleanLit(literal) => (literal.range, Value::Bool(literal.value)),
            ast::Value::NumberLit(literal) => (literal.range, self.number(&literal)),
            ast::Value::StringLit(literal) => {
                let range = literal.range;
                (range, Value::Text(self.text(literal)))
            }
            ast::Value::Array(list) => {
                let items = list.elements.into_iter().map(|item| self.node(item)).collect();
                (list.range, Value::List(items))
            }
            ast::Value::Object(object) => (object.range, Value::Object(self.members(object.properties))),
        };
        Node {
            span: self.span(range),
            value,
        }
    }

    fn span(&self, range: Range) -> Span {
        self.window.span(range.start, range.end)
    }

    fn number(&mut self, literal: &ast::NumberLit<'_>) -> Value {
        if !literal.value.parse::<f64>().is_ok_and(f64::is_finite) {
            self.problems.push(
                Problem::at(
                    ProblemKind::OutOfRange,
                    self.span(literal.range),
                    "a number too large to compute with",
                    "here",
                )
                .help("numbers reach to about 1.8e308"),
            );
        }
        Value::Number(literal.value.to_owned())
    }

    fn text(&mut self, literal: ast::StringLit<'_>) -> String {
        let text = literal.value.into_owned();
        // Raw ones were told in the first pass: what is left was written as an escape.
        let hidden = |c: &char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
        let span = self.span(literal.range);
        let raw = self.window.text.get(literal.range.start..literal.range.end);
        if let Some(c) = text.chars().find(hidden)
            && raw.is_some_and(|raw| !raw.contains(c))
        {
            let code = u32::from(c);
            let message = format!("a text holds the control character U+{code:04X}");
            self.problems
                .push(Problem::at(ProblemKind::Character, span, message, "in this text"));
        }
        text
    }

    fn members(&mut self, properties: Vec<ast::ObjectProp<'_>>) -> IndexMap<String, Member> {
        let mut members: IndexMap<String, Member> = IndexMap::with_capacity(properties.len());
        for property in properties {
            let key = self.span(match &property.name {
                ast::ObjectPropName::String(name) => name.range,
                ast::ObjectPropName::Word(name) => name.range,
            });
            let name = match property.name {
                ast::ObjectPropName::String(name) => self.text(name),
                ast::ObjectPropName::Word(name) => name.value.to_owned(),
            };
            let node = self.node(property.value);
            match members.entry(name) {
                Entry::Vacant(free) => {
                    free.insert(Member { key, node });
                }
                Entry::Occupied(taken) => {
                    let message = format!("the key `{}` is given twice", shown(taken.key()));
                    self.problems.push(
                        Problem::at(ProblemKind::KeyGivenTwice, key, message, "given again here")
                            .also(taken.get().key, "first given here"),
                    );
                }
            }
        }
        members
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
