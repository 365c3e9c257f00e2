//! What the template reads of a review: all that is printed, the long lists gathered as they are read.

use indexmap::{IndexMap, IndexSet};
use serde::Serialize;

use crate::{
    ledger::OWN_ARITHMETIC,
    plan::Date,
    read::Place,
    review::{
        Accepted, AnswerEffect, ChangeSet, Counts, Coverage, FigureLine, Finding, HouseLine, LogEntry, Met,
        ModelEnd, Question, Recommendation, Review, Settled, Status, Subject, Tolerance, Unjudged,
    },
};

/// A review as it is printed.
#[derive(Debug, Serialize)]
pub(super) struct PrintedReview<'a> {
    version: &'a str,
    subject: &'a Subject,
    date: Option<Date>,
    action: &'a Recommendation,
    counts: &'a Counts,
    coverage: &'a [Coverage],
    findings: &'a [Finding],
    questions: &'a [Question],
    settled: &'a [Settled],
    unjudged: &'a [Unjudged],
    accepted: &'a [Accepted],
    acceptance_notes: &'a [String],
    house: &'a [HouseLine],
    met: Vec<Discipline<'a>>,
    facts: Vec<Fact<'a>>,
    figures: Vec<ObjectFigures<'a>>,
    /// Whose formulas the figures and facts are; they point here by number, from 1.
    formulas: Vec<&'a str>,
    /// The changes that close it: the recommended set and others.
    closing: &'a [ChangeSet],
    /// How many changes of each set take which effort.
    efforts: Vec<[usize; 4]>,
    /// What is watched on site, the tightest first.
    watched: Vec<&'a Tolerance>,
    answers: Vec<&'a AnswerEffect>,
    /// Whether the action hangs on answers; empty where none were tried.
    certainty: String,
    model_ends: &'a [ModelEnd],
    untried: &'a [String],
    assumptions: &'a [String],
    sources: &'a [String],
    cautions: &'a [String],
    codes: &'a [String],
    consequences: &'a [String],
    log: Vec<LogRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    backcheck: Option<PrintedBackcheck>,
    /// Whether everything goes in.
    full: bool,
}

/// A row of the log.
#[derive(Debug, Serialize)]
struct LogRow {
    state: &'static str,
    open: bool,
    #[serde(flatten)]
    entry: LogEntry,
}

/// The review before, and what was changed on the plan since.
#[derive(Debug, Serialize)]
struct PrintedBackcheck {
    against: String,
    tally: String,
    changes: Vec<String>,
    notes: Vec<String>,
}

/// The log: what is open first, the worst of it before the rest, each by its number; what is closed last.
fn log(review: &Review) -> Vec<LogRow> {
    let mut log = review.log();
    log.sort_by_key(|entry| {
        let rank = match entry.status {
            Status::Closed => 2,
            Status::Accepted => 1,
            _ => 0,
        };
        let severity = (rank == 0).then_some(entry.severity);
        (rank, severity, entry.order())
    });
    let row = |entry: LogEntry| LogRow {
        // In the first review all is new, and it says nothing to say so.
        state: match entry.status {
            Status::New if review.backcheck.is_none() => "open",
            status => status.words(),
        },
        open: entry.status.is_open(),
        entry,
    };
    log.into_iter().map(row).collect()
}

fn backcheck(review: &Review) -> Option<PrintedBackcheck> {
    let backcheck = review.backcheck.as_ref()?;
    Some(PrintedBackcheck {
        against: backcheck.against(),
        tally: backcheck.tally(),
        changes: backcheck
            .changes
            .iter()
            .map(crate::review::PlanChange::words)
            .collect(),
        notes: backcheck.notes.clone(),
    })
}

/// The rules met in a discipline.
#[derive(Debug, Serialize)]
struct Discipline<'a> {
    discipline: &'a str,
    rules: Vec<MetRule<'a>>,
}

/// A rule met, and what was found against what is asked.
#[derive(Debug, Serialize)]
struct MetRule<'a> {
    rule: &'a str,
    title: &'a str,
    found: Vec<FoundAt<'a>>,
}

/// A yes or no that was read from the plan.
#[derive(Debug, Serialize)]
struct Fact<'a> {
    title: &'a str,
    words: &'a str,
    formula: Option<usize>,
    found: Vec<FoundAt<'a>>,
}

/// What came out, and at which objects.
#[derive(Debug, Serialize)]
struct FoundAt<'a> {
    text: &'a str,
    objects: Vec<&'a str>,
}

/// The figures of an object.
#[derive(Debug, Serialize)]
struct ObjectFigures<'a> {
    object: &'a str,
    /// What it is one of, where its name is all that says so: two objects of different kinds may have one name.
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<&'a str>,
    rows: Vec<FigureRow<'a>>,
    gaps: Vec<GapLine<'a>>,
}

/// A figure with its value and how it was worked.
#[derive(Debug, Serialize)]
struct FigureRow<'a> {
    title: &'a str,
    value: &'a str,
    worked: &'a str,
    formula: Option<usize>,
}

/// Figures that have no value for one reason.
#[derive(Debug, Serialize)]
struct GapLine<'a> {
    because: &'a str,
    titles: Vec<&'a str>,
}

impl<'a> PrintedReview<'a> {
    /// What is printed of a review.
    pub(super) fn of(review: &'a Review, full: bool) -> Self {
        let mut formulas = Formulas::default();
        let figures = figures(&review.figures, &mut formulas);
        let facts = facts(&review.figures, &mut formulas);
        let sets = review.closing.as_ref().map_or(&[][..], |closing| &closing.sets);
        Self {
            version: review.version,
            subject: &review.subject,
            date: review.date,
            action: &review.action,
            counts: &review.counts,
            coverage: &review.coverage,
            findings: &review.findings,
            questions: &review.questions,
            settled: &review.settled,
            unjudged: &review.unjudged,
            accepted: &review.accepted,
            acceptance_notes: &review.acceptance_notes,
            house: &review.house,
            met: met(&review.met),
            facts,
            figures,
            formulas: formulas.0.into_iter().collect(),
            closing: sets,
            efforts: sets
                .iter()
                .map(|set| set.efforts().map(|(_, count)| count))
                .collect(),
            watched: review.watched(),
            answers: review.answers_that_matter_first(),
            certainty: if review.answers.is_empty() {
                String::new()
            } else {
                review.certainty()
            },
            model_ends: &review.model_ends,
            untried: &review.untried,
            assumptions: &review.assumptions,
            sources: &review.sources,
            cautions: &review.cautions,
            codes: &review.codes,
            consequences: &review.consequences,
            log: log(review),
            backcheck: backcheck(review),
            full,
        }
    }
}

/// Whose formulas were used, each once, in the order they are met.
#[derive(Default)]
struct Formulas<'a>(IndexSet<&'a str>);

impl<'a> Formulas<'a> {
    /// The number of a figure's source; none where it is the plan's own arithmetic.
    fn number(&mut self, figure: &'a FigureLine) -> Option<usize> {
        (figure.source != OWN_ARITHMETIC).then(|| self.0.insert_full(&figure.source).0 + 1)
    }
}

/// A yes or no is told in words and has no value in SI.
fn is_fact(figure: &FigureLine) -> bool {
    figure.value.as_ref().is_some_and(|value| value.si.is_none())
}

/// Figures and gaps, object by object.
fn figures<'a>(lines: &'a [FigureLine], formulas: &mut Formulas<'a>) -> Vec<ObjectFigures<'a>> {
    let mut objects: IndexMap<&str, ObjectFigures<'a>> = IndexMap::new();
    for line in lines.iter().filter(|line| !is_fact(line)) {
        let object = objects
            .entry(line.object.as_str())
            .or_insert_with(|| ObjectFigures {
                object: &line.object_name,
                of: kind_of(&line.object),
                rows: Vec::new(),
                gaps: Vec::new(),
            });
        match &line.value {
            Some(value) => object.rows.push(FigureRow {
                title: &line.title,
                value: &value.text,
                worked: line.worked.as_deref().unwrap_or(&line.words),
                formula: formulas.number(line),
            }),
            None => add_gap(&mut object.gaps, line),
        }
    }
    objects.into_values().collect()
}

/// The collection an object of its own stands in, such as `basins`.
fn kind_of(object: &Place) -> Option<&str> {
    let (kind, name) = object.as_str().strip_prefix('/')?.split_once('/')?;
    (!name.contains('/')).then_some(kind)
}

fn add_gap<'a>(gaps: &mut Vec<GapLine<'a>>, line: &'a FigureLine) {
    let because = line.gap.as_deref().unwrap_or("no value");
    match gaps.iter_mut().find(|gap| gap.because == because) {
        Some(gap) => gap.titles.push(&line.title),
        None => gaps.push(GapLine {
            because,
            titles: vec![&line.title],
        }),
    }
}

/// Facts, each with what it means once and the objects it was read at.
fn facts<'a>(lines: &'a [FigureLine], formulas: &mut Formulas<'a>) -> Vec<Fact<'a>> {
    let mut facts: IndexMap<&str, Fact<'a>> = IndexMap::new();
    for line in lines.iter().filter(|line| is_fact(line)) {
        let fact = facts.entry(line.name.as_str()).or_insert_with(|| Fact {
            title: &line.title,
            words: &line.words,
            formula: formulas.number(line),
            found: Vec::new(),
        });
        if let Some(value) = &line.value {
            add_outcome(&mut fact.found, &value.text, &line.object_name);
        }
    }
    facts.into_values().collect()
}

/// Rules met, by discipline, each with the objects it was met at.
fn met(lines: &[Met]) -> Vec<Discipline<'_>> {
    let mut disciplines: IndexMap<&str, IndexMap<&str, MetRule<'_>>> = IndexMap::new();
    for line in lines {
        let rules = disciplines.entry(line.discipline.as_str()).or_default();
        let rule = rules.entry(line.rule.as_str()).or_insert_with(|| MetRule {
            rule: &line.rule,
            title: &line.title,
            found: Vec::new(),
        });
        add_outcome(&mut rule.found, &line.standing, &line.object_name);
    }
    disciplines
        .into_iter()
        .map(|(discipline, rules)| Discipline {
            discipline,
            rules: rules.into_values().collect(),
        })
        .collect()
}

/// Adds an object to those that came out alike.
fn add_outcome<'a>(found: &mut Vec<FoundAt<'a>>, text: &'a str, object: &'a str) {
    match found.iter_mut().find(|outcome| outcome.text == text) {
        Some(outcome) => outcome.objects.push(object),
        None => found.push(FoundAt {
            text,
            objects: vec![object],
        }),
    }
}
