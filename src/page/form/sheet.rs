//! What the form is drawn from: the plan's tree, and what the review and the checks say of its places.

use serde_json::{Value as Json, json};

use crate::{
    check::{Field, SchemaBook},
    page::{act::Pen, assess::Misfit, document::View},
    read::{Node, Place, Value},
    review::Review,
    rules::Severity,
};

/// What the form is drawn from.
pub struct Sheet<'a> {
    /// The text, tree and schema.
    pub pen: Pen<'a>,
    /// What is unfolded.
    pub view: &'a View,
    /// What keeps the plan from being reviewed.
    pub problems: &'a [Misfit],
    /// The last good review.
    pub review: Option<&'a Review>,
}

/// What stands open within a part of the form.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Values that can't be read.
    pub errors: usize,
    /// Findings.
    pub findings: usize,
    /// Questions.
    pub questions: usize,
}

impl<'a> Sheet<'a> {
    /// The schema.
    pub fn book(&self) -> &'a SchemaBook {
        self.pen.book
    }

    /// What the schema says of a place.
    pub fn field(&self, at: &Place) -> Option<&'a Field> {
        self.book().field_at(at)
    }

    /// The plan's value at a place.
    pub fn node(&self, at: &Place) -> Option<&'a Node> {
        self.pen.tree.at(at)
    }

    /// Whether a part of the form is unfolded.
    pub fn is_open(&self, key: &str) -> bool {
        self.view.open.contains(key)
    }

    /// What stands open at a place and within it.
    pub fn tally(&self, at: &Place) -> Tally {
        let review = self.review;
        let findings = review.into_iter().flat_map(|review| &review.findings);
        let questions = review.into_iter().flat_map(|review| &review.questions);
        Tally {
            errors: self.errors(at).count(),
            findings: findings.filter(|finding| at.holds(&finding.place)).count(),
            questions: questions.filter(|question| at.holds(&question.place)).count(),
        }
    }

    /// What can't be read at a place and within it.
    pub fn errors(&self, at: &Place) -> impl Iterator<Item = &'a Misfit> {
        let at = at.clone();
        let within = move |misfit: &&Misfit| misfit.at.as_ref().is_some_and(|place| at.holds(place));
        self.problems.iter().filter(within)
    }

    /// The worst finding at a value itself.
    pub fn finding(&self, at: &Place) -> Option<Severity> {
        let findings = self.review.into_iter().flat_map(|review| &review.findings);
        findings
            .filter(|finding| finding.place == *at)
            .map(|finding| finding.severity)
            .min()
    }

    /// What the review asks of a value.
    pub fn question(&self, at: &Place) -> Option<&'a str> {
        // What was answered since the last review that could be made is no question any more.
        if !self.problems.is_empty() && self.node(at).is_some() {
            return None;
        }
        let questions = self.review.into_iter().flat_map(|review| &review.questions);
        let mut here = questions.filter(|question| question.place == *at);
        here.next().map(|question| question.ask.as_str())
    }

    /// The ids of a collection, in the order of the file; the user's own keys left out.
    pub fn ids(&self, at: &Place) -> Vec<&'a str> {
        match self.node(at).map(|node| &node.value) {
            Some(Value::Object(members)) => {
                let ids = members.keys().map(String::as_str);
                ids.filter(|id| !id.starts_with("x-")).collect()
            }
            _ => Vec::new(),
        }
    }
}

/// Whether a value says that there is none.
pub fn says_none(node: &Node) -> bool {
    node.value == Value::Bool(false) || node.text() == Some("none")
}

/// The id of the element of a value on the page. It holds no blank, whatever the place is called.
pub fn anchor(at: &Place) -> String {
    let mut id = String::from("at");
    for byte in at.as_str().bytes() {
        if byte.is_ascii_alphanumeric() || b"/_-.".contains(&byte) {
            id.push(char::from(byte));
        } else {
            id.push_str(&format!("%{byte:02x}"));
        }
    }
    id
}

/// An edit at a place, as an attribute of what is pressed.
pub fn edit(act: &str, at: &Place) -> String {
    json!({ "do": act, "at": at.as_str() }).to_string()
}

/// Any edit, as an attribute of what is pressed.
pub fn edit_of(edit: &Json) -> String {
    edit.to_string()
}
