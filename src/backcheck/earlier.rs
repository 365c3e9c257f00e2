//! The review before, as its JSON form tells it.

use serde::Deserialize;
use serde_json::Value;

use crate::{
    read::Place,
    review::{LogEntry, Review, Status},
    rules::Severity,
};

/// A review before this one.
#[derive(Clone, Debug)]
pub struct Earlier {
    /// The file it was read from.
    pub file: String,
    /// The project’s name.
    pub name: String,
    /// The revision of the plan it was of.
    pub revision: Option<String>,
    /// Its date.
    pub date: Option<String>,
    /// Its number in the row of reviews, from 1.
    pub review: usize,
    /// Every finding and question that was ever raised.
    pub entries: Vec<LogEntry>,
    /// The plan it was of.
    pub plan: Value,
}

/// Why a text is no earlier review.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotEarlier {
    /// It is not the JSON form of a review.
    #[error("it is not the JSON form of a review: {0}")]
    NotJson(String),
    /// It bears another format.
    #[error("its format is `{0}`, and `bywash review 1` is read")]
    OtherFormat(String),
}

#[derive(Deserialize)]
struct Told {
    format: String,
    subject: ToldSubject,
    date: Option<String>,
    findings: Vec<ToldFinding>,
    #[serde(default)]
    questions: Vec<ToldQuestion>,
    #[serde(default)]
    accepted: Vec<ToldAccepted>,
    #[serde(default)]
    backcheck: Option<ToldBackcheck>,
    plan: Value,
}

#[derive(Deserialize)]
struct ToldSubject {
    name: String,
    revision: Option<String>,
    review: usize,
}

#[derive(Deserialize)]
struct ToldFinding {
    number: String,
    rule: String,
    severity: Severity,
    object: Place,
    place_name: String,
    brief: String,
    found: ToldValue,
    limit: ToldValue,
    #[serde(default)]
    note: Option<String>,
}

#[derive(Deserialize)]
struct ToldValue {
    #[serde(default)]
    si: Option<f64>,
}

#[derive(Deserialize)]
struct ToldQuestion {
    number: String,
    severity: Severity,
    place: Place,
    place_name: String,
}

#[derive(Deserialize)]
struct ToldAccepted {
    finding: ToldFinding,
}

#[derive(Deserialize)]
struct ToldBackcheck {
    entries: Vec<LogEntry>,
}

impl ToldFinding {
    fn entry(self, status: Status, revision: Option<&str>) -> LogEntry {
        LogEntry {
            number: self.number,
            rule: Some(self.rule),
            severity: self.severity,
            object: self.object,
            place_name: self.place_name,
            text: self.brief,
            values: self.found.si.zip(self.limit.si).map(<[f64; 2]>::from),
            action: None,
            status,
            note: self.note,
            answer: None,
            raised: revision.map(str::to_owned),
            closed: None,
        }
    }
}

impl ToldQuestion {
    fn entry(self, revision: Option<&str>) -> LogEntry {
        LogEntry {
            number: self.number,
            rule: None,
            severity: self.severity,
            object: self.place,
            place_name: self.place_name,
            text: "not shown".to_owned(),
            values: None,
            action: None,
            status: Status::New,
            note: None,
            answer: None,
            raised: revision.map(str::to_owned),
            closed: None,
        }
    }
}

impl Earlier {
    /// Reads the JSON form of a review; `file` is the name it is shown by.
    ///
    /// # Errors
    /// A text that is no review, or one of another format.
    pub fn from_json(file: &str, text: &str) -> Result<Self, NotEarlier> {
        let value: Value =
            serde_json::from_str(text).map_err(|error| NotEarlier::NotJson(error.to_string()))?;
        let format = value.get("format").and_then(Value::as_str).unwrap_or_default();
        if format != Review::FORMAT {
            return Err(NotEarlier::OtherFormat(format.to_owned()));
        }
        let told = Told::deserialize(value).map_err(|error| NotEarlier::NotJson(error.to_string()))?;
        debug_assert_eq!(told.format, Review::FORMAT);
        let revision = told.subject.revision.as_deref();
        let entries = if let Some(backcheck) = told.backcheck {
            backcheck.entries
        } else {
            let findings = told.findings.into_iter();
            let accepted = told.accepted.into_iter();
            let questions = told.questions.into_iter();
            findings
                .map(|finding| finding.entry(Status::New, revision))
                .chain(accepted.map(|accepted| accepted.finding.entry(Status::Accepted, revision)))
                .chain(questions.map(|question| question.entry(revision)))
                .collect()
        };
        Ok(Self {
            file: file.to_owned(),
            name: told.subject.name,
            revision: told.subject.revision.clone(),
            date: told.date,
            review: told.subject.review,
            entries,
            plan: told.plan,
        })
    }

    /// A review that was just made.
    pub fn of(review: &Review) -> Self {
        Self {
            file: review.subject.file.clone(),
            name: review.subject.name.clone(),
            revision: review.subject.revision.clone(),
            date: review.date.map(|date| date.to_string()),
            review: review.subject.review,
            entries: review.log(),
            plan: review.plan.clone(),
        }
    }
}
