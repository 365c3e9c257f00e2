//! The form: what is asked of the designer, item by item, and which values of the plan answer it.

use std::collections::HashSet;

use serde::Serialize;

use super::FieldName;
use crate::{
    check::{Field, SchemaBook, Shape},
    papers::fingerprint,
    plan::Reply,
    quantity::{Kind, UnitSystem},
    read::{Node, Place, Value},
    review::{Finding, LogEntry, Question, Review},
    rules::Severity,
};

/// Values under one item, at most; what needs more is drawn on the plan.
const MOST_ROWS: usize = 12;

/// The form of a review.
#[derive(Clone, Debug, Serialize)]
pub struct Form {
    /// What the form is of: the fingerprints of the files that were reviewed.
    pub sheets: String,
    /// The fingerprint of the plan's values, which the codes on the sheets carry.
    pub fingerprint: String,
    /// The project and revision, for the reader.
    pub project: String,
    /// The number of the review.
    pub review: usize,
    /// The revision reviewed.
    pub revision: Option<String>,
    /// Day by which the answers are due.
    pub due: Option<String>,
    /// Findings and questions, in the order of the log.
    pub items: Vec<FormItem>,
}

/// One finding or question.
#[derive(Clone, Debug, Serialize)]
pub struct FormItem {
    /// Its number.
    pub number: String,
    /// How bad.
    pub severity: Severity,
    /// The place in words.
    pub place_name: String,
    /// What was found and required, or the question.
    pub text: String,
    /// What to do.
    pub action: Option<String>,
    /// The field of the reply; none for a question.
    pub reply: Option<String>,
    /// The field of the reason or remark.
    pub reason: String,
    /// The values of the plan that answer it; none where it has to be drawn on the plan.
    pub rows: Vec<FormRow>,
}

/// One value of the plan.
#[derive(Clone, Debug, Serialize)]
pub struct FormRow {
    /// The name of its field.
    pub name: String,
    /// What it is, in words.
    pub label: String,
    /// What may be written.
    pub takes: Takes,
    /// The same in words.
    pub hint: String,
    /// What the plan shows now.
    pub now: Option<String>,
    /// What is proposed, and stands in the field.
    pub proposed: String,
}

/// What a field takes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind", content = "values")]
pub enum Takes {
    /// Any text.
    Text,
    /// One of these.
    OneOf(Vec<String>),
}

impl Form {
    /// The form of a review of a plan.
    pub fn of(review: &Review, tree: &Node, book: &SchemaBook, units: UnitSystem) -> Self {
        let rows = Rows { tree, book, units };
        let mut log: Vec<LogEntry> = review.log();
        log.retain(|entry| entry.status.is_open());
        log.sort_by_key(|entry| (entry.severity, entry.order()));
        let items = log.into_iter().map(|entry| rows.item(review, entry)).collect();
        let revision = review.subject.revision.clone();
        let due = review
            .subject
            .title_block
            .iter()
            .find(|(label, _)| label == "answers due");
        Self {
            sheets: fingerprints(review),
            fingerprint: fingerprint(tree),
            project: review.subject.name.clone(),
            review: review.subject.review,
            revision,
            due: due.map(|(_, date)| date.clone()),
            items,
        }
    }
}

/// The fingerprints of the files of a review, in their order.
pub(super) fn fingerprints(review: &Review) -> String {
    let sheets = review.subject.sheets.iter().map(|sheet| sheet.sha256.as_str());
    sheets.collect::<Vec<_>>().join(" ")
}

/// Where the values of items are looked up.
struct Rows<'a> {
    tree: &'a Node,
    book: &'a SchemaBook,
    units: UnitSystem,
}

impl Rows<'_> {
    fn item(&self, review: &Review, entry: LogEntry) -> FormItem {
        let (finding, question) = (review.finding(&entry.number), review.question(&entry.number));
        let mut rows = Vec::new();
        for place in self.places(finding, question, &entry) {
            self.expand(&entry.number, &place, finding, 2, &mut rows);
        }
        // A cure may name a part of which another names a value; each value has one row.
        let mut named = HashSet::new();
        rows.retain(|row: &FormRow| named.insert(row.name.clone()));
        if rows.len() > MOST_ROWS {
            rows.clear();
        }
        let is_finding = finding.is_some();
        FormItem {
            reply: is_finding.then(|| FieldName::Reply(entry.number.clone()).to_string()),
            reason: FieldName::Reason(entry.number.clone()).to_string(),
            text: question.map_or(entry.text, |question| question.ask.clone()),
            action: entry.action.filter(|_| is_finding),
            number: entry.number,
            severity: entry.severity,
            place_name: entry.place_name,
            rows,
        }
    }

    /// The places whose values an answer may set: all that a question names; for a finding those of its cures, then its own.
    fn places(&self, finding: Option<&Finding>, question: Option<&Question>, entry: &LogEntry) -> Vec<Place> {
        let Some(finding) = finding else {
            return question.map_or_else(
                || vec![entry.object.clone()],
                |question| question.places().cloned().collect(),
            );
        };
        let mut places: Vec<Place> = finding
            .cures
            .iter()
            .map(|cure| cure.place.clone())
            .take(1)
            .collect();
        // A part that is there is not spelled out for a finding that only points at it.
        let there = self.tree.at(&finding.place);
        let whole = there.is_some_and(|node| matches!(node.value, Value::Object(_) | Value::List(_)));
        if !whole && !places.contains(&finding.place) {
            places.push(finding.place.clone());
        }
        places.retain(|place| self.can_be_set(place));
        places
    }

    /// Whether a merge patch can set a place: no list on the way.
    fn can_be_set(&self, place: &Place) -> bool {
        let mut above = place.parent();
        while let Some(holder) = above {
            let node = self.tree.at(&holder);
            if node.is_some_and(|node| matches!(node.value, Value::List(_))) {
                return false;
            }
            above = holder.parent();
        }
        true
    }

    /// The rows of a place: its own, or for a part with members one for each.
    fn expand(
        &self,
        number: &str,
        place: &Place,
        finding: Option<&Finding>,
        deeper: usize,
        into: &mut Vec<FormRow>,
    ) {
        let Some(field) = self.book.field_at(place) else {
            return;
        };
        let pattern = self.book.pattern_of(place);
        let keys: Vec<&str> = pattern.split('/').skip(1).collect();
        let members = self.book.fields_of(&keys);
        if members.is_empty() {
            if field.shape != Shape::Collection {
                into.push(self.row(number, place, field, finding));
            }
            return;
        }
        if field.may_be_none {
            into.push(FormRow {
                label: format!("{}: none at all", self.book.title_of(place)),
                takes: Takes::OneOf(vec![String::new(), "none".to_owned()]),
                hint: "\"none\" where there is none; else fill in what follows".to_owned(),
                ..self.row(number, place, field, None)
            });
        }
        if deeper > 0 {
            for key in members {
                self.expand(number, &place.child(key), finding, deeper - 1, into);
            }
        }
    }

    fn row(&self, number: &str, place: &Place, field: &Field, finding: Option<&Finding>) -> FormRow {
        let (takes, hint) = self.takes(field);
        let now = self.tree.at(place).and_then(|node| match &node.value {
            Value::Text(text) | Value::Number(text) => Some(text.clone()),
            Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
            _ => None,
        });
        let cure = finding.and_then(|finding| finding.cures.iter().find(|cure| cure.place == *place));
        FormRow {
            name: FieldName::Value(number.to_owned(), place.clone()).to_string(),
            label: self.book.title_of(place),
            takes,
            hint,
            now,
            // As a keyboard writes it.
            proposed: cure
                .map(|cure| cure.value.replace('\u{2212}', "-"))
                .unwrap_or_default(),
        }
    }

    /// What a field takes, as choices and in words.
    fn takes(&self, field: &Field) -> (Takes, String) {
        let none = field.may_be_none.then(|| "none".to_owned());
        let choices = |values: Vec<String>| {
            let words = values.join(", ");
            let offered = std::iter::once(String::new()).chain(values).collect();
            (Takes::OneOf(offered), words)
        };
        if field.shape == Shape::YesNo {
            return choices(vec!["yes".to_owned(), "no".to_owned()]);
        }
        if !field.values.is_empty() && field.kind.is_none() {
            return choices(field.values.iter().cloned().chain(none).collect());
        }
        let said = match field.kind {
            Some(kind) => format!("such as {}", example(kind, self.units)),
            None if matches!(field.shape, Shape::Number | Shape::Whole) => "a number".to_owned(),
            None => "in words".to_owned(),
        };
        let or_none = if field.may_be_none { ", or \"none\"" } else { "" };
        (Takes::Text, format!("{said}{or_none}"))
    }
}

/// A quantity of a kind as a plan writes it.
fn example(kind: Kind, units: UnitSystem) -> &'static str {
    let (us, si) = match kind {
        Kind::Length => ("24 in", "600 mm"),
        Kind::Level => ("+12 in", "+300 mm"),
        Kind::Area => ("30 ft2", "2.8 m2"),
        Kind::Volume => ("500 gal", "1900 L"),
        Kind::BulkVolume => ("2 yd3", "1.5 m3"),
        Kind::Flow => ("1500 gph", "95 L/min"),
        Kind::Velocity => ("4 ft/s", "1.2 m/s"),
        Kind::Mass => ("2 lb", "900 g"),
        Kind::MassRate => ("0.3 lb/d", "140 g/d"),
        Kind::MassPerArea => ("12 oz/yd2", "400 g/m2"),
        Kind::Density => ("100 lb/ft3", "1600 kg/m3"),
        Kind::Concentration => ("2 mg/L", "2 mg/L"),
        Kind::Pressure => ("10 psi", "70 kPa"),
        Kind::Temperature => ("50 F", "10 C"),
        Kind::Time => ("30 min", "30 min"),
        Kind::Power => ("150 W", "150 W"),
        Kind::Share => ("40 %", "40 %"),
        Kind::Slope => ("1:3", "1:3"),
        _ => ("value and unit", "value and unit"),
    };
    match units {
        UnitSystem::Us => us,
        UnitSystem::Si => si,
    }
}

/// The replies as the form offers them.
pub(super) fn replies() -> [&'static str; 3] {
    Reply::ALL.map(Reply::word)
}
