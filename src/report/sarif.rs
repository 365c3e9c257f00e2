//! The review as SARIF 2.1.0, for whatever shows the findings of checkers beside the text they are of.

use serde_json::{Value, json};

use super::input_problems::{Cell, InputProblem, PlaceInText};
use crate::{
    review::{Accepted, Finding, Location, Question, Review, Status},
    rules::{Library, Severity},
};

/// Where the schema of the format is published.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
/// The name under which a result is known again from run to run.
const FINGERPRINT: &str = "ruleAndObject/v1";

/// The review as SARIF, ending in a line feed: findings are failures, questions are open, what is accepted is suppressed.
///
/// # Errors
/// A review that JSON can’t hold; none is known.
pub fn render(review: &Review, library: &Library) -> Result<String, serde_json::Error> {
    let findings = review.findings.iter().map(|one| finding(review, one));
    let accepted = review.accepted.iter().map(accepted);
    let questions = review.questions.iter().map(|one| question(review, one));
    let mut results: Vec<Value> = findings.chain(accepted).chain(questions).collect();
    let ids = number_rules(&mut results);
    let rules: Vec<Value> = ids.iter().map(|id| rule(id, library)).collect();
    log(
        review.version,
        &rules,
        &results,
        (
            "properties",
            json!({
                "project": review.subject.name,
                "revision": review.subject.revision,
                "recommendedAction": review.action.words,
            }),
        ),
    )
}

/// Problems of an input as SARIF, ending in a line feed: each a failure under its code, and the run did not succeed.
///
/// # Errors
/// What JSON can't hold; none is known.
pub fn problems(problems: &[InputProblem]) -> Result<String, serde_json::Error> {
    let mut results: Vec<Value> = problems.iter().map(problem).collect();
    let ids = number_rules(&mut results);
    let rules: Vec<Value> = ids.iter().map(|id| json!({"id": id})).collect();
    let failed = json!([{"executionSuccessful": false, "exitCode": 2}]);
    log(
        env!("CARGO_PKG_VERSION"),
        &rules,
        &results,
        ("invocations", failed),
    )
}

/// A log of one run, with what else is said of it.
fn log(
    version: &str,
    rules: &[Value],
    results: &[Value],
    (also, value): (&str, Value),
) -> Result<String, serde_json::Error> {
    super::json::render(&json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "bywash",
                "semanticVersion": version,
                "rules": rules,
            }},
            "columnKind": "unicodeCodePoints",
            "results": results,
            also: value,
        }],
    }))
}

/// A problem of an input: a failure of its code, at its place in a text, else at its row in a table.
fn problem(problem: &InputProblem) -> Value {
    let in_text = |place: &PlaceInText| {
        json!({
            "physicalLocation": {
                "artifactLocation": {"uri": address(&place.file)},
                "region": {"startLine": place.line, "startColumn": place.column},
            },
            "message": {"text": place.label.as_deref().unwrap_or("here")},
        })
    };
    let in_table = |cell: &Cell| {
        let mut place = json!({"artifactLocation": {"uri": address(&cell.file)}});
        if let (Some(members), Some(row)) = (place.as_object_mut(), cell.row) {
            members.insert("region".to_owned(), json!({"startLine": row}));
        }
        json!({
            "physicalLocation": place,
            "logicalLocations": [{"fullyQualifiedName": cell.column.as_deref().unwrap_or("/")}],
        })
    };
    let at = problem.at.iter().map(in_text);
    let places: Vec<Value> = at.chain(problem.cell.iter().map(in_table)).collect();
    let help = problem.help.iter().map(|help| format!(" ({help})"));
    json!({
        "ruleId": problem.code,
        "kind": "fail",
        "level": "error",
        "message": {"text": format!("{}{}", problem.message, help.collect::<String>())},
        "locations": places,
        "relatedLocations": problem.also.iter().map(in_text).collect::<Vec<_>>(),
    })
}

/// Gives each result the number of its rule, and the rules in their order.
fn number_rules(results: &mut [Value]) -> Vec<String> {
    let mut ids: Vec<String> = results
        .iter()
        .filter_map(|result| Some(result.get("ruleId")?.as_str()?.to_owned()))
        .collect();
    ids.sort();
    ids.dedup();
    for result in results {
        let index = result
            .get("ruleId")
            .and_then(Value::as_str)
            .and_then(|id| ids.iter().position(|known| known == id));
        if let (Some(members), Some(index)) = (result.as_object_mut(), index) {
            members.insert("ruleIndex".to_owned(), index.into());
        }
    }
    ids
}

/// A rule as the driver describes it.
fn rule(id: &str, library: &Library) -> Value {
    let Some(card) = library.card(id) else {
        return json!({"id": id});
    };
    json!({
        "id": id,
        "shortDescription": {"text": card.title},
        "fullDescription": {"text": card.why},
        "help": {"text": card.cure},
        "defaultConfiguration": {"level": level(card.severity)},
        "properties": {"discipline": card.discipline, "severity": card.severity.word()},
    })
}

const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "error",
        Severity::Revise => "warning",
        Severity::Advise => "note",
    }
}

fn finding(review: &Review, finding: &Finding) -> Value {
    let mut result = json!({
        "ruleId": finding.rule,
        "kind": "fail",
        "level": level(finding.severity),
        "message": {"text": format!("{}: {}", finding.place_name, finding.headline)},
        "locations": [location(&finding.at, finding.place.as_str())],
        "partialFingerprints": {FINGERPRINT: format!("{} {}", finding.rule, finding.object)},
        "properties": {
            "number": finding.number,
            "severity": finding.severity.word(),
            "found": finding.found.text,
            "required": finding.limit.text,
            "cure": finding.first_cure(),
        },
    });
    set_baseline(review, &mut result, &finding.number);
    result
}

fn accepted(accepted: &Accepted) -> Value {
    let finding = &accepted.finding;
    json!({
        "ruleId": finding.rule,
        "kind": "fail",
        "level": level(finding.severity),
        "message": {"text": format!("{}: {}", finding.place_name, finding.headline)},
        "locations": [location(&finding.at, finding.place.as_str())],
        "partialFingerprints": {FINGERPRINT: format!("{} {}", finding.rule, finding.object)},
        "suppressions": [{"kind": "external", "status": "accepted", "justification": accepted.words()}],
    })
}

/// A question: the rules that wait for it can neither pass nor fail.
fn question(review: &Review, question: &Question) -> Value {
    let mut result = json!({
        "ruleId": question.rules.first(),
        "kind": "open",
        "level": "none",
        "message": {"text": format!("{}: {}", question.place_name, question.ask)},
        "locations": [location(&question.at, question.place.as_str())],
        "partialFingerprints": {FINGERPRINT: format!("question {}", question.place)},
        "properties": {
            "number": question.number,
            "severity": question.severity.word(),
            "waiting": question.rules,
        },
    });
    set_baseline(review, &mut result, &question.number);
    result
}

/// Where a result stands against the review before, where one was named.
fn set_baseline(review: &Review, result: &mut Value, number: &str) {
    let entry = review
        .backcheck
        .iter()
        .flat_map(|backcheck| &backcheck.entries)
        .find(|entry| entry.number == number);
    let state = entry.map(|entry| match entry.status {
        Status::New | Status::Reopened => "new",
        Status::Changed => "updated",
        Status::StillOpen | Status::Accepted | Status::Closed => "unchanged",
    });
    if let (Some(members), Some(state)) = (result.as_object_mut(), state) {
        members.insert("baselineState".to_owned(), state.into());
    }
}

fn location(at: &Location, place: &str) -> Value {
    json!({
        "physicalLocation": {
            "artifactLocation": {"uri": address(&at.file)},
            "region": {"startLine": at.line, "startColumn": at.column},
        },
        "logicalLocations": [{"fullyQualifiedName": if place.is_empty() { "/" } else { place }}],
    })
}

/// A path as a relative or absolute address (RFC 3986): what may not stand in one, by its bytes.
fn address(path: &str) -> String {
    let mut out = String::new();
    for byte in path.replace('\\', "/").bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte) {
            out.push(byte.into());
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}
