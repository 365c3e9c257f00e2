//! Reading subject and bound of a test, held against the schema and the catalogue of figures.

use crate::{
    check::SchemaBook,
    figures,
    ledger::{Definition, Scope},
    quantity::{Kind, Quantity},
    read::{Node, Place, Problem, ProblemKind, Span, Value, nearest},
    rules::{
        bound::{Bound, Limit},
        card::Test,
        subject::Subject,
    },
};

/// How alike a known name must be to be offered for an unknown one.
const ALIKE: f64 = 0.7;

/// The words of bounds.
const BOUNDS: [&str; 7] = [
    "at_least",
    "more_than",
    "at_most",
    "between",
    "one_of",
    "is",
    "shown",
];

/// Reads the tests of one card.
pub(super) struct Reader<'a> {
    pub book: &'a SchemaBook,
    pub scope: Scope,
}

/// What a subject gives: a quantity of a kind, a plain number or text, or a yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Gives {
    Quantity(Kind),
    Plain,
    Verdict,
}

impl Reader<'_> {
    /// A list of tests; what is wrong is added to the problems.
    pub fn tests(&self, list: &Node, problems: &mut Vec<Problem>) -> Vec<(Test, Span)> {
        let Value::List(items) = &list.value else {
            return Vec::new();
        };
        items
            .iter()
            .filter_map(|item| self.test(item).map_err(|problem| problems.push(problem)).ok())
            .collect()
    }

    /// Subject and bound of an object of the card, and where the bound stands.
    pub fn test(&self, node: &Node) -> Result<(Test, Span), Problem> {
        let (subject, gives) = self.subject(node)?;
        let (bound, span) = self.bound(node, gives)?;
        Ok((Test { subject, bound }, span))
    }

    /// The bound of an object of data in place of another on the same subject, where it has one.
    pub fn bound_over(&self, node: &Node, subject: &Subject) -> Result<Option<(Bound, Span)>, Problem> {
        if !BOUNDS.iter().any(|word| node.get(word).is_some()) {
            return Ok(None);
        }
        let gives = match subject {
            Subject::Figure(definition) => definition.kind.map_or(Gives::Verdict, Gives::Quantity),
            Subject::Field { path, .. } => {
                let kind = self.field(path).and_then(|field| field.kind);
                kind.map_or(Gives::Plain, Gives::Quantity)
            }
        };
        self.bound(node, gives).map(Some)
    }

    fn subject(&self, node: &Node) -> Result<(Subject, Gives), Problem> {
        if let Some(name) = node.get("figure") {
            let text = name.text().unwrap_or_default();
            let definition = self.figure(text, name.span)?;
            return Ok((
                Subject::Figure(definition),
                definition.kind.map_or(Gives::Verdict, Gives::Quantity),
            ));
        }
        let Some((path, span)) = node
            .get("field")
            .and_then(|field| Some((field.text()?, field.span)))
        else {
            return Err(Problem::at(
                ProblemKind::RulePage,
                node.span,
                "a test without a subject",
                "name a `figure` or a `field`",
            ));
        };
        let field = self.field(path).ok_or_else(|| self.unknown(path, span))?;
        let gives = field.kind.map_or(Gives::Plain, Gives::Quantity);
        Ok((
            Subject::Field {
                path: path.to_owned(),
                title: field.title,
            },
            gives,
        ))
    }

    fn figure(&self, name: &str, span: Span) -> Result<&'static Definition, Problem> {
        figures::definition(self.scope, name).ok_or_else(|| {
            let known: Vec<&str> = figures::catalogue()
                .filter(|figure| figure.of == self.scope)
                .map(|figure| figure.name)
                .collect();
            let problem = Problem::at(
                ProblemKind::RulePage,
                span,
                format!("no figure of these objects is called `{name}`"),
                "unknown figure",
            );
            match nearest(name, known, ALIKE) {
                Some(near) => problem.help(format!("the nearest is `{near}`")),
                None => problem,
            }
        })
    }

    fn field(&self, path: &str) -> Option<crate::check::Field> {
        let from_root = path.strip_prefix('/');
        let mut pattern: Vec<&str> = if from_root.is_some() {
            Vec::new()
        } else {
            self.scope.pattern().to_vec()
        };
        pattern.extend(from_root.unwrap_or(path).split('/'));
        self.book.field(&pattern)
    }

    /// The problem of a path that the schema does not know.
    pub fn unknown_field(&self, path: &str, span: Span) -> Option<Problem> {
        self.field(path).is_none().then(|| self.unknown(path, span))
    }

    fn unknown(&self, path: &str, span: Span) -> Problem {
        let mut pattern: Vec<&str> = self.scope.pattern().to_vec();
        let parts: Vec<&str> = path.trim_start_matches('/').split('/').collect();
        pattern.extend(&parts[..parts.len() - 1]);
        let known = self.book.fields_of(&pattern);
        let problem = Problem::at(
            ProblemKind::RulePage,
            span,
            format!("the plan has no field `{path}` there"),
            "unknown field",
        );
        match parts
            .last()
            .and_then(|last| nearest(last, known.iter().copied(), ALIKE))
        {
            Some(near) => problem.help(format!("the nearest is `{near}`")),
            None => problem,
        }
    }

    fn bound(&self, node: &Node, gives: Gives) -> Result<(Bound, Span), Problem> {
        let given = |name: &str| node.get(name);
        if let Some(limit) = given("at_least") {
            return Ok((Bound::AtLeast(self.limit(limit, gives)?, kind(gives)), limit.span));
        }
        if let Some(limit) = given("more_than") {
            return Ok((
                Bound::MoreThan(self.limit(limit, gives)?, kind(gives)),
                limit.span,
            ));
        }
        if let Some(limit) = given("at_most") {
            return Ok((Bound::AtMost(self.limit(limit, gives)?, kind(gives)), limit.span));
        }
        if let Some(list) = given("between") {
            let Value::List(ends) = &list.value else {
                return Err(no_bound(node));
            };
            let [low, high] = ends.as_slice() else {
                return Err(no_bound(node));
            };
            return Ok((
                Bound::Between(self.limit(low, gives)?, self.limit(high, gives)?, kind(gives)),
                list.span,
            ));
        }
        if let Some(list) = given("one_of") {
            let Value::List(words) = &list.value else {
                return Err(no_bound(node));
            };
            return Ok((
                Bound::OneOf(
                    words
                        .iter()
                        .filter_map(|word| word.text().map(str::to_owned))
                        .collect(),
                ),
                list.span,
            ));
        }
        if let Some(wanted) = given("is") {
            return Ok((Bound::Is(wanted.value == Value::Bool(true)), wanted.span));
        }
        given("shown")
            .map(|shown| (Bound::Shown, shown.span))
            .ok_or_else(|| no_bound(node))
    }

    fn limit(&self, node: &Node, gives: Gives) -> Result<Limit, Problem> {
        match &node.value {
            Value::Text(text) => {
                let Gives::Quantity(kind) = gives else {
                    return Err(Problem::at(
                        ProblemKind::RulePage,
                        node.span,
                        "a quantity as limit of something that is none",
                        "not a quantity there",
                    ));
                };
                let parsed = |text: &str| {
                    let parsed = Quantity::parse(text, kind).map(|quantity| quantity.si);
                    parsed.map_err(|error| {
                        Problem::at(
                            ProblemKind::RulePage,
                            node.span,
                            error.to_string(),
                            "in this limit",
                        )
                        .help(error.help())
                    })
                };
                let (first, metric) = in_two_systems(text);
                let si = parsed(first)?;
                Ok(Limit::Fixed {
                    si,
                    metric: metric.map_or(Ok(si), parsed)?,
                    written: text.clone(),
                })
            }
            Value::Number(raw) => {
                let plain = matches!(
                    gives,
                    Gives::Plain | Gives::Quantity(Kind::Ratio | Kind::Share | Kind::Money)
                );
                let si = raw.parse().ok().filter(|_| plain);
                let si = si.ok_or_else(|| {
                    Problem::at(
                        ProblemKind::RulePage,
                        node.span,
                        "a bare number as limit of a quantity",
                        "a unit is required",
                    )
                })?;
                Ok(Limit::Fixed {
                    si,
                    metric: si,
                    written: raw.clone(),
                })
            }
            _ => self.figure_limit(node, gives),
        }
    }

    fn figure_limit(&self, node: &Node, gives: Gives) -> Result<Limit, Problem> {
        let figure = node.at(&Place::root().child("figure"));
        let Some((name, span)) = figure.and_then(|figure| Some((figure.text()?, figure.span))) else {
            return Err(Problem::at(
                ProblemKind::RulePage,
                node.span,
                "neither a quantity nor another figure",
                "in this limit",
            ));
        };
        let definition = self.figure(name, span)?;
        if definition.kind.map_or(Gives::Verdict, Gives::Quantity) != gives {
            return Err(Problem::at(
                ProblemKind::RulePage,
                span,
                format!("`{name}` measures something else than what it limits"),
                "another kind",
            ));
        }
        let times = match node.get("times").map(|times| &times.value) {
            Some(Value::Number(raw)) => raw.parse().unwrap_or(1.0),
            _ => 1.0,
        };
        Ok(Limit::Figure { definition, times })
    }
}

/// The two parts of a limit such as `2 in (50 mm)`; a limit may also be written once.
fn in_two_systems(text: &str) -> (&str, Option<&str>) {
    let parts = text.strip_suffix(')').and_then(|text| text.split_once(" ("));
    parts.map_or((text, None), |(first, metric)| (first, Some(metric)))
}

fn kind(gives: Gives) -> Kind {
    match gives {
        Gives::Quantity(kind) => kind,
        Gives::Plain | Gives::Verdict => Kind::Ratio,
    }
}

fn no_bound(node: &Node) -> Problem {
    let words = "`at_least`, `at_most`, `between`, `one_of`, `is` or `shown`";
    Problem::at(
        ProblemKind::RulePage,
        node.span,
        "a test without a bound",
        "in this test",
    )
    .help(format!("a test has one of {words}"))
}
