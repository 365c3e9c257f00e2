//! A house's change of a rule, read and put over the rule's card.

use serde::Deserialize;

use super::{
    condition_parser::Reader,
    markdown::{Parts, examples, parts},
};
use crate::{
    check::{Schema, SchemaBook, check},
    plan::from_node,
    read::{Node, Place, Problem, ProblemKind, SourceId, Sources, nearest, parse_part},
    rules::{
        bound::Bound,
        card::{Card, Example, Severity, Source},
        house::{Effect, HouseRule, asked, of_bounds},
    },
    text::{shown, typographic},
};

/// The mark of the block that holds a change.
pub(super) const DATA: &str = "json change";

/// How alike a known id must be to be offered for an unknown one.
const ALIKE: f64 = 0.75;

/// The plain part of a change.
#[derive(Deserialize)]
struct Head {
    rule: String,
    reason: String,
    #[serde(default)]
    off: bool,
    #[serde(default)]
    severity: Option<Severity>,
    #[serde(default)]
    without: Vec<String>,
}

/// A change as read, before it is put over its rule.
struct Change {
    head: Head,
    data: Node,
    examples: Vec<Example>,
}

/// Reads a page that changes a rule, and what the rule then is.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn read(
    sources: &Sources,
    source: SourceId,
    schema: &Schema,
    book: &SchemaBook,
    cards: &[Card],
) -> Result<HouseRule, Vec<Problem>> {
    let parts = parts(sources.text(source), source);
    let change = Change::read(sources, source, &parts, schema)?;
    change.over(cards, book).map_err(|problem| vec![problem])
}

impl Change {
    fn read(
        sources: &Sources,
        source: SourceId,
        parts: &Parts,
        schema: &Schema,
    ) -> Result<Self, Vec<Problem>> {
        let fence = parts.data(DATA).ok_or_else(|| {
            vec![Problem::at(
                ProblemKind::RulePage,
                parts.whole,
                "this page holds neither a rule nor a change of one",
                "a fenced block `json rule` or `json change` is required",
            )]
        })?;
        let data = parse_part(sources, source, fence.content.clone())?;
        let mut problems = check(schema, &data);
        if !problems.is_empty() {
            return Err(problems);
        }
        let examples = examples(sources, source, parts, DATA, &mut problems);
        let head: Head = from_node(&data).map_err(|problem| vec![problem])?;
        if problems.is_empty() {
            Ok(Self { head, data, examples })
        } else {
            Err(problems)
        }
    }

    fn span(&self, field: &str) -> crate::read::Span {
        self.data.span_of(&Place::root().child(field))
    }

    /// The rule under this change.
    fn over(self, cards: &[Card], book: &SchemaBook) -> Result<HouseRule, Problem> {
        let before = self.rule(cards)?;
        if self.head.off {
            return self.switch_off(before);
        }
        let mut after = before.clone();
        if let Some(severity) = self.head.severity {
            self.keep_people_safe(before, severity)?;
            after.severity = severity;
            after.revise_when.clear();
        }
        let reader = Reader {
            book,
            scope: before.looks_at,
        };
        let bound = reader.bound_over(&self.data, &before.asks.subject)?;
        if let Some((bound, span)) = bound {
            self.same_bound(&before.asks.bound, &bound, span)?;
            after.asks.bound = bound;
            after.bound_span = span;
        } else if self.head.severity.is_none() && self.head.without.is_empty() {
            let label = "give a limit, a severity, levers it goes without, or \"off\": true";
            return Err(Problem::at(
                ProblemKind::RulePage,
                self.data.span,
                "this page changes nothing",
                label,
            ));
        }
        let without = self.withheld(before)?;
        let (was, mut now) = (asked(before), asked(&after));
        if was == now && without.is_empty() {
            let message = format!("rule `{}` says so already", before.id);
            return Err(Problem::at(
                ProblemKind::RulePage,
                self.data.span,
                message,
                "changes nothing",
            ));
        }
        let loosens = of_bounds(&before.asks.bound, &after.asks.bound);
        let loosens_code = matches!(loosens, Some(Effect::Looser | Effect::Other)) && from_code(before);
        let effect = Effect::of(before, &after);
        if !without.is_empty() {
            now.push_str(&format!("; not offered: {}", without.join(", ")));
        }
        let reason = self.head.reason;
        after.house = Some(format!("{} by the house (was {was}): {reason}", effect.word()));
        Ok(HouseRule {
            card: after,
            effect,
            was,
            now,
            loosens_code,
            reason,
            without,
            examples: self.examples,
            span: self.data.span,
        })
    }

    /// The levers of the rule that the house goes without.
    fn withheld(&self, before: &Card) -> Result<Vec<String>, Problem> {
        let known = before.levers.iter().map(|lever| lever.words.as_str());
        let known: Vec<&str> = known.collect();
        let words = self.head.without.iter().map(|words| {
            let words = typographic(words);
            if known.contains(&words.as_str()) {
                return Ok(words);
            }
            let message = format!("rule `{}` has no lever `{}`", before.id, shown(&words));
            let label = "not one of its levers";
            let problem = Problem::at(ProblemKind::RulePage, self.span("without"), message, label);
            Err(match nearest(&words, known.iter().copied(), ALIKE) {
                Some(near) => problem.help(format!("the nearest is `{near}`")),
                None => problem.help(format!("its levers are: {}", known.join(", "))),
            })
        });
        words.collect()
    }

    fn rule<'c>(&self, cards: &'c [Card]) -> Result<&'c Card, Problem> {
        named(cards, &self.head.rule, self.span("rule"))
    }

    fn switch_off(self, before: &Card) -> Result<HouseRule, Problem> {
        if before.severity == Severity::Stop && before.protects_people {
            let message = format!("rule `{}` keeps people from harm", before.id);
            return Err(Problem::at(
                ProblemKind::RulePage,
                self.span("off"),
                message,
                "can’t be switched off",
            ));
        }
        Ok(HouseRule {
            card: before.clone(),
            effect: Effect::Off,
            was: asked(before),
            now: String::new(),
            loosens_code: from_code(before),
            reason: self.head.reason,
            without: Vec::new(),
            examples: self.examples,
            span: self.data.span,
        })
    }

    fn keep_people_safe(&self, before: &Card, severity: Severity) -> Result<(), Problem> {
        if before.severity == Severity::Stop && before.protects_people && severity != Severity::Stop {
            let message = format!("rule `{}` keeps people from harm", before.id);
            return Err(Problem::at(
                ProblemKind::RulePage,
                self.span("severity"),
                message,
                "it stays a stop rule",
            ));
        }
        Ok(())
    }

    /// A change keeps the kind of bound: what is then tighter and what looser can be told.
    fn same_bound(&self, before: &Bound, after: &Bound, span: crate::read::Span) -> Result<(), Problem> {
        if std::mem::discriminant(before) == std::mem::discriminant(after) {
            return Ok(());
        }
        let message = format!("rule `{}` requires {before}", self.head.rule);
        let label = "a change keeps the kind of limit";
        Err(Problem::at(ProblemKind::RulePage, span, message, label)
            .help("switch the rule off and add one of your own instead"))
    }
}

/// The plain part of a page of a place.
#[derive(Deserialize)]
struct PlaceHead {
    rule: String,
    reason: String,
    #[serde(default)]
    why: Option<String>,
    #[serde(default)]
    cure: Option<String>,
    sources: Vec<Source>,
}

/// Reads a page of a place, and what its rule then is: limit, conditions and words of its own, and its own sources before
/// those of the rule.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn read_place(
    sources: &Sources,
    source: SourceId,
    schema: &Schema,
    book: &SchemaBook,
    cards: &[Card],
) -> Result<Card, Vec<Problem>> {
    let parts = parts(sources.text(source), source);
    let fence = parts.data(DATA).ok_or_else(|| {
        vec![Problem::at(
            ProblemKind::RulePage,
            parts.whole,
            "this page changes no rule",
            "a fenced block `json change` is required",
        )]
    })?;
    let data = parse_part(sources, source, fence.content.clone())?;
    let mut problems = check(schema, &data);
    if !problems.is_empty() {
        return Err(problems);
    }
    let head: PlaceHead = from_node(&data).map_err(|problem| vec![problem])?;
    let before = named(cards, &head.rule, data.span).map_err(|problem| vec![problem])?;
    let mut after = before.clone();
    let reader = Reader {
        book,
        scope: before.looks_at,
    };
    if let Some(list) = data.get("when") {
        after.when = reader
            .tests(list, &mut problems)
            .into_iter()
            .map(|(test, _)| test)
            .collect();
    }
    match reader.bound_over(&data, &before.asks.subject) {
        Ok(Some((bound, span))) => {
            after.asks.bound = bound;
            after.bound_span = span;
        }
        Ok(None) => {}
        Err(problem) => problems.push(problem),
    }
    after.why = head.why.as_deref().map_or(after.why, typographic);
    after.cure = head.cure.as_deref().map_or(after.cure, typographic);
    after.sources.splice(0..0, head.sources);
    after.local = Some(head.reason);
    if problems.is_empty() {
        Ok(after)
    } else {
        Err(problems)
    }
}

/// The rule of an id, or what is nearest to it.
fn named<'c>(cards: &'c [Card], id: &str, span: crate::read::Span) -> Result<&'c Card, Problem> {
    cards.iter().find(|card| card.id == id).ok_or_else(|| {
        let message = format!("there is no rule `{}` to change", shown(id));
        let problem = Problem::at(ProblemKind::RulePage, span, message, "unknown rule");
        let known = cards.iter().map(|card| card.id.as_str());
        match (super::retired::retired(id), nearest(id, known, ALIKE)) {
            (Some(reason), _) => problem.help(format!("it was retired: {reason}")),
            (None, Some(near)) => problem.help(format!("the nearest is `{near}`")),
            (None, None) => problem.help("`bywash rules` lists all"),
        }
    })
}

/// Whether a rule rests on a law or code.
fn from_code(card: &Card) -> bool {
    card.sources.iter().any(|source| source.code)
}
