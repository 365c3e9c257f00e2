//! One page of the library: heading, prose, fenced data, examples.

use crate::{
    check::{Schema, SchemaBook, check},
    ledger::Scope,
    plan::from_node,
    read::{Node, Place, Problem, ProblemKind, SourceId, Sources, parse_part},
    rules::{
        card::{Adjustment, Card, Direction, Effort, Example, Expect, Lever, Setting, Severity, Source},
        library::{
            condition_parser::Reader,
            markdown::{Parts, examples, parts},
        },
    },
    text::typographic,
};

/// The mark of the block that holds a rule.
pub(super) const DATA: &str = "json rule";

/// Reads a page into a card.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn read(
    sources: &Sources,
    source: SourceId,
    schema: &Schema,
    book: &SchemaBook,
) -> Result<Card, Vec<Problem>> {
    let parts = parts(sources.text(source), source);
    let rule = parts.data(DATA).ok_or_else(|| {
        vec![Problem::at(
            ProblemKind::RulePage,
            parts.whole,
            "this card has no block of data",
            "a fenced block `json rule` is required",
        )]
    })?;
    let data = parse_part(sources, source, rule.content.clone())?;
    let problems = check(schema, &data);
    if !problems.is_empty() {
        return Err(problems);
    }
    let name = sources.name(source);
    let mut problems = Vec::new();
    let examples = examples(sources, source, &parts, DATA, &mut problems);
    let mut head: Head = from_node(&data).map_err(|problem| vec![problem])?;
    let reader = Reader {
        book,
        scope: head.looks_at,
    };
    let asks = reader.test(&data).map_err(|problem| problems.push(problem)).ok();
    let when: Vec<_> = data
        .get("when")
        .map(|list| reader.tests(list, &mut problems))
        .unwrap_or_default();
    let revise_when: Vec<_> = data
        .get("revise_when")
        .map(|list| reader.tests(list, &mut problems))
        .unwrap_or_default();
    if let Some(path) = &head.point_at {
        problems.extend(reader.unknown_field(path, data.span_of(&Place::root().child("point_at"))));
    }
    let levers: Vec<Lever> = head.levers.drain(..).map(Lever::from).collect();
    for (index, lever) in levers.iter().enumerate() {
        let patterns = [
            lever.adjustment.as_ref().map(|it| ("change", &it.pattern)),
            lever.setting.as_ref().map(|it| ("set", &it.pattern)),
        ];
        for (key, pattern) in patterns.into_iter().flatten() {
            let place = Place::root().child("levers").child(&index.to_string()).child(key);
            problems.extend(reader.unknown_field(pattern, data.span_of(&place)));
        }
    }
    check_head(&head, &data, &parts, name, &examples, &mut problems);
    let Some((asks, bound_span)) = asks.filter(|_| problems.is_empty()) else {
        return Err(problems);
    };
    Ok(Card {
        discipline: discipline(name),
        id: head.id,
        title: typographic(&parts.title),
        severity: head.severity,
        protects_people: head.protects.as_deref() == Some("people"),
        looks_at: head.looks_at,
        when: when.into_iter().map(|(test, _)| test).collect(),
        revise_when: revise_when.into_iter().map(|(test, _)| test).collect(),
        asks,
        point_at: head.point_at,
        follows: head.follows,
        sources: head.sources,
        levers,
        withheld: Vec::new(),
        why: typographic(&parts.why),
        cure: typographic(&parts.cure),
        examples,
        bound_span,
        local: None,
        house: None,
    })
}

/// The plain part of a card's data; subject and bound are read by [`Reader`].
#[derive(serde::Deserialize)]
struct Head {
    id: String,
    severity: Severity,
    #[serde(default)]
    protects: Option<String>,
    looks_at: Scope,
    #[serde(default)]
    point_at: Option<String>,
    #[serde(default)]
    follows: Vec<String>,
    sources: Vec<Source>,
    #[serde(default)]
    levers: Vec<LeverText>,
}

/// A lever as the card writes it: words alone, or with the value that is changed or set.
#[derive(serde::Deserialize)]
#[serde(untagged)]
enum LeverText {
    Words(String),
    Changes(Box<LeverChange>),
}

/// What a lever changes: a value that is varied, or one that is set.
#[derive(serde::Deserialize)]
struct LeverChange {
    #[serde(rename = "do")]
    words: String,
    #[serde(default)]
    change: Option<String>,
    #[serde(default)]
    to: Option<Direction>,
    #[serde(default)]
    set: Option<String>,
    #[serde(default)]
    value: Option<serde_json::Value>,
    #[serde(default)]
    effort: Effort,
    #[serde(default)]
    decision: Option<String>,
}

impl From<LeverText> for Lever {
    fn from(text: LeverText) -> Self {
        match text {
            LeverText::Words(words) => Self {
                words,
                adjustment: None,
                setting: None,
                effort: Effort::default(),
                decision: None,
            },
            LeverText::Changes(lever) => {
                let lever = *lever;
                Self {
                    words: lever.words,
                    adjustment: lever
                        .change
                        .zip(lever.to)
                        .map(|(pattern, direction)| Adjustment { pattern, direction }),
                    // `"value": null` takes something away.
                    setting: match lever.set {
                        Some(pattern) => Some(Setting {
                            pattern,
                            value: lever.value.unwrap_or_default(),
                        }),
                        None => None,
                    },
                    effort: lever.effort,
                    decision: lever.decision.as_deref().map(typographic),
                }
            }
        }
    }
}

/// The folder a card lies in.
fn discipline(name: &str) -> String {
    name.rsplit('/').nth(1).unwrap_or_default().to_owned()
}

/// What the schema can't say of a card.
fn check_head(
    head: &Head,
    data: &Node,
    parts: &Parts,
    name: &str,
    examples: &[Example],
    problems: &mut Vec<Problem>,
) {
    let at = |field: &str| data.span_of(&Place::root().child(field));
    let stem = name
        .rsplit('/')
        .next()
        .and_then(|file| file.strip_suffix(".md"))
        .unwrap_or_default();
    if stem != head.id {
        problems.push(Problem::at(
            ProblemKind::RulePage,
            at("id"),
            format!("rule `{}` lies in a page named `{stem}`", head.id),
            "page and rule have one name",
        ));
    }
    if head.severity == Severity::Stop && head.protects.is_none() {
        problems.push(Problem::at(
            ProblemKind::RulePage,
            at("severity"),
            "a stop rule does not say whom it protects",
            "add \"protects\": \"people\" or \"work\"",
        ));
    }
    if head.severity != Severity::Advise && data.get("revise_when").is_some() {
        problems.push(Problem::at(
            ProblemKind::RulePage,
            at("revise_when"),
            "only a suggestion can come to count as a revision",
            "take it out, or make the severity \"advise\"",
        ));
    }
    for (index, source) in head.sources.iter().enumerate() {
        if source.kind == "published"
            && (source.title.is_empty() || source.publisher.is_empty() || source.read.is_none())
        {
            let place = Place::root().child("sources").child(&index.to_string());
            problems.push(Problem::at(
                ProblemKind::RulePage,
                data.span_of(&place),
                "a published source needs title, publisher and how it was read",
                "in this source",
            ));
        }
    }
    for (text, part) in [
        (&parts.title, "a heading"),
        (&parts.why, "a part `## Why`"),
        (&parts.cure, "a part `## Cure`"),
    ] {
        if text.is_empty() {
            problems.push(Problem::at(
                ProblemKind::RulePage,
                parts.whole,
                format!("this card lacks {part}"),
                "in this card",
            ));
        }
    }
    let has = |wanted: fn(&Expect) -> bool| examples.iter().any(|example| wanted(&example.expect));
    if !has(|expect| matches!(expect, Expect::FallsShort(_))) || !has(|expect| *expect == Expect::Meets) {
        problems.push(Problem::at(
            ProblemKind::RulePage,
            parts.whole,
            "a card needs an example that falls short and one that meets",
            "in this card",
        ));
    }
}
