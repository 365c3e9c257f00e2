//! What became of each finding and question since the review before.

use crate::{
    quantity::{UnitSystem, agree, own_first},
    read::Place,
    review::{Accepted, Finding, LogEntry, Question, Review, Status},
};

/// Every finding and question of the project, by number: those of the earlier review first, then what is new.
pub(super) fn entries(review: &Review, known: &[LogEntry]) -> Vec<LogEntry> {
    let revision = review.subject.revision.as_deref();
    let mut entries: Vec<LogEntry> = known.iter().map(|entry| now(review, entry)).collect();
    let is_known = |number: &str| known.iter().any(|entry| entry.number == number);
    let findings = review
        .findings
        .iter()
        .filter(|finding| !is_known(&finding.number));
    entries.extend(findings.map(|finding| LogEntry::of_finding(finding, revision)));
    let accepted = review
        .accepted
        .iter()
        .filter(|accepted| !is_known(&accepted.finding.number));
    entries.extend(accepted.map(|accepted| LogEntry {
        status: Status::Accepted,
        note: Some(accepted.words()),
        ..LogEntry::of_finding(&accepted.finding, revision)
    }));
    let questions = review
        .questions
        .iter()
        .filter(|question| !is_known(&question.number));
    entries.extend(questions.map(|question| LogEntry::of_question(question, revision)));
    entries.sort_by_key(LogEntry::order);
    entries
}

/// An entry of the earlier review as it stands now.
fn now(review: &Review, entry: &LogEntry) -> LogEntry {
    let revision = review.subject.revision.as_deref();
    if let Some(finding) = find(&review.findings, entry) {
        return still(LogEntry::of_finding(finding, revision), entry);
    }
    if let Some(question) = asked(&review.questions, entry) {
        return still(LogEntry::of_question(question, revision), entry);
    }
    let accepted = |accepted: &&Accepted| is_of(&accepted.finding, entry);
    if let Some(accepted) = review.accepted.iter().find(accepted) {
        return LogEntry {
            status: Status::Accepted,
            note: Some(accepted.words()),
            raised: entry.raised.clone(),
            ..LogEntry::of_finding(&accepted.finding, revision)
        };
    }
    gone(review, entry)
}

fn is_of(finding: &Finding, entry: &LogEntry) -> bool {
    entry.rule.as_deref() == Some(finding.rule.as_str()) && finding.object == entry.object
}

fn find<'r>(findings: &'r [Finding], entry: &LogEntry) -> Option<&'r Finding> {
    findings.iter().find(|finding| is_of(finding, entry))
}

fn asked<'r>(questions: &'r [Question], entry: &LogEntry) -> Option<&'r Question> {
    let asked =
        |question: &&Question| entry.is_question() && question.places().any(|asked| *asked == entry.object);
    questions.iter().find(asked)
}

/// What is raised again: as it was, changed, or reopened.
fn still(now: LogEntry, before: &LogEntry) -> LogEntry {
    let status = if !before.status.is_open() {
        Status::Reopened
    } else if same(&now, before) {
        Status::StillOpen
    } else {
        Status::Changed
    };
    let was = match status {
        Status::Reopened if before.status == Status::Accepted => Some("was accepted by name".to_owned()),
        Status::Reopened => Some(match &before.closed {
            Some(mark) => format!("was closed in revision {mark}"),
            None => "was closed".to_owned(),
        }),
        Status::Changed if now.severity != before.severity => {
            Some(format!("was {}: {}", before.severity.word(), before.text))
        }
        Status::Changed => Some(format!("was: {}", before.text)),
        _ => None,
    };
    let notes: Vec<String> = now.note.into_iter().chain(was).collect();
    LogEntry {
        status,
        note: (!notes.is_empty()).then(|| notes.join("; ")),
        raised: before.raised.clone(),
        closed: None,
        ..now
    }
}

/// Whether an entry says what it said before, in whatever units.
fn same(now: &LogEntry, before: &LogEntry) -> bool {
    let values = match (now.values, before.values) {
        (Some(now), Some(before)) => now.iter().zip(before).all(|(now, before)| agree(*now, before)),
        _ => own_first(&now.text, UnitSystem::Us) == own_first(&before.text, UnitSystem::Us),
    };
    values && now.severity == before.severity
}

/// What is no longer raised: closed by what, or still open because it can no longer be evaluated.
fn gone(review: &Review, entry: &LogEntry) -> LogEntry {
    if !entry.status.is_open() && entry.status == Status::Closed {
        return entry.clone();
    }
    let (status, note) = match &entry.rule {
        Some(rule) => of_rule(review, rule, &entry.object),
        None => of_question(review, &entry.object),
    };
    let closed = (status == Status::Closed)
        .then(|| review.subject.revision.clone())
        .flatten();
    LogEntry {
        status,
        note: Some(note),
        closed,
        answer: None,
        ..entry.clone()
    }
}

fn of_rule(review: &Review, rule: &str, object: &Place) -> (Status, String) {
    if let Some(met) = review
        .met
        .iter()
        .find(|met| met.rule == rule && met.object == *object)
    {
        return (Status::Closed, format!("met: {}", met.standing));
    }
    let waits = |question: &&Question| {
        let places = question.waiting.iter();
        places
            .clone()
            .any(|waiting| waiting.rule == rule && waiting.object == *object)
    };
    if let Some(question) = review.questions.iter().find(waits) {
        let note = format!("can’t be evaluated until {} is answered", question.number);
        return (Status::StillOpen, note);
    }
    let unjudged = review.unjudged.iter();
    if let Some(one) = unjudged
        .clone()
        .find(|one| one.rule == rule && one.object == *object)
    {
        return (Status::StillOpen, format!("can’t be evaluated: {}", one.because));
    }
    if let Some(line) = review
        .house
        .iter()
        .find(|line| line.rule == rule && line.now.is_empty())
    {
        return (Status::Closed, format!("{}: {}", line.effect, line.reason));
    }
    let there = at(&review.plan, object).is_some();
    let note = if there {
        "the rule no longer applies there"
    } else {
        "that part is no longer on the plan"
    };
    (Status::Closed, note.to_owned())
}

fn of_question(review: &Review, place: &Place) -> (Status, String) {
    if let Some(value) = at(&review.plan, place) {
        let note = match value {
            serde_json::Value::String(text) => format!("shown: {text}"),
            serde_json::Value::Bool(true) => "shown: yes".to_owned(),
            serde_json::Value::Bool(false) => "shown: no".to_owned(),
            serde_json::Value::Number(number) => format!("shown: {number}"),
            _ => "shown".to_owned(),
        };
        return (Status::Closed, note);
    }
    let wider = |question: &&Question| question.places().any(|asked| asked.holds(place));
    match review.questions.iter().find(wider) {
        Some(question) => (Status::StillOpen, format!("asked with {}", question.number)),
        None => (Status::Closed, "no rule waits for it any longer".to_owned()),
    }
}

/// The value of a plan at a place.
fn at<'p>(plan: &'p serde_json::Value, place: &Place) -> Option<&'p serde_json::Value> {
    plan.pointer(place.as_str())
}
