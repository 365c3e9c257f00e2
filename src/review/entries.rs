//! The findings and questions of a review as entries of its log.

use super::{Finding, LogEntry, Question, Review, Status};

impl LogEntry {
    /// The entry of a finding that this review raises.
    pub fn of_finding(finding: &Finding, revision: Option<&str>) -> Self {
        Self {
            number: finding.number.clone(),
            rule: Some(finding.rule.clone()),
            severity: finding.severity,
            object: finding.object.clone(),
            place_name: finding.place_name.clone(),
            text: finding.brief.clone(),
            values: finding.found.si.zip(finding.limit.si).map(<[f64; 2]>::from),
            action: finding.first_cure(),
            status: Status::New,
            note: finding.note.clone(),
            answer: None,
            raised: revision.map(str::to_owned),
            closed: None,
        }
    }

    /// The entry of a question that this review raises.
    pub fn of_question(question: &Question, revision: Option<&str>) -> Self {
        Self {
            number: question.number.clone(),
            rule: None,
            severity: question.severity,
            object: question.place.clone(),
            place_name: question.place_name.clone(),
            text: "not shown".to_owned(),
            values: None,
            action: Some(question.ask.clone()),
            status: Status::New,
            note: None,
            answer: None,
            raised: revision.map(str::to_owned),
            closed: None,
        }
    }
}

impl Review {
    /// The finding of a number.
    pub fn finding(&self, number: &str) -> Option<&Finding> {
        self.findings.iter().find(|finding| finding.number == number)
    }

    /// The question of a number.
    pub fn question(&self, number: &str) -> Option<&Question> {
        self.questions.iter().find(|question| question.number == number)
    }

    /// The log: the findings and questions of this review, and with an earlier review those that it closed.
    pub fn log(&self) -> Vec<LogEntry> {
        if let Some(backcheck) = &self.backcheck {
            return backcheck.entries.clone();
        }
        let revision = self.subject.revision.as_deref();
        let findings = self
            .findings
            .iter()
            .map(|finding| LogEntry::of_finding(finding, revision));
        let questions = self
            .questions
            .iter()
            .map(|question| LogEntry::of_question(question, revision));
        let accepted = self.accepted.iter().map(|accepted| LogEntry {
            status: Status::Accepted,
            note: Some(accepted.words()),
            ..LogEntry::of_finding(&accepted.finding, revision)
        });
        let mut log: Vec<LogEntry> = findings.chain(accepted).chain(questions).collect();
        log.sort_by_key(LogEntry::order);
        log
    }
}
