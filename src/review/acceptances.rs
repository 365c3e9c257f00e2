//! Deviations accepted by name.

use super::ReviewContext;
use crate::{
    plan::{Acceptance, Date, Given},
    read::Place,
    rules::{Card, Library, Severity, retired},
};

/// The plan's acceptances, and which of them were used.
pub(super) struct Acceptances<'a> {
    entries: Vec<Entry<'a>>,
    date: Option<Date>,
    notes: Vec<String>,
}

struct Entry<'a> {
    id: &'a str,
    acceptance: &'a Given<Acceptance>,
    used: bool,
}

/// What acceptances make of a finding.
pub(super) enum Verdict {
    /// None speaks of it.
    Open,
    /// One speaks of it but can't be taken, for this reason.
    Refused(String),
    /// One takes it on.
    Accepted {
        reason: String,
        initials: String,
        until: Date,
    },
}

impl<'a> Acceptances<'a> {
    /// The acceptances of a plan; ones that name no rule are noted.
    pub fn of(context: &ReviewContext<'a>, library: &Library) -> Self {
        let mut notes = Vec::new();
        let mut entries = Vec::new();
        for (id, acceptance) in &context.plan.accepted {
            let rule = acceptance.rule.value().map_or("", String::as_str);
            if library.card(rule).is_none() {
                let why = match retired(rule) {
                    Some(reason) => format!("that was retired: {reason}"),
                    None if library.house.iter().any(|house| house.card.id == rule) => {
                        "that the house has switched off".to_owned()
                    }
                    None => "that there is not".to_owned(),
                };
                notes.push(format!("acceptance \"{id}\" names a rule \"{rule}\" {why}"));
            } else {
                entries.push(Entry {
                    id,
                    acceptance,
                    used: false,
                });
            }
        }
        Self {
            entries,
            date: context.date,
            notes,
        }
    }

    /// What they make of a rule that falls short at an object, pointing at a place.
    pub fn verdict(&mut self, card: &Card, object: &Place, place: &Place) -> Verdict {
        let speaks = |entry: &&mut Entry<'_>| {
            let at = entry
                .acceptance
                .value
                .place
                .value()
                .map(|at| Place::from_pointer(at.trim_end_matches('/')));
            let here = at.is_some_and(|at| at == *object || at == *place);
            here && entry.acceptance.value.rule.value() == Some(&card.id)
        };
        let Some(entry) = self.entries.iter_mut().find(speaks) else {
            return Verdict::Open;
        };
        entry.used = true;
        if card.severity == Severity::Stop && card.protects_people {
            return Verdict::Refused(
                "a rule that keeps people from harm can’t be accepted by name".to_owned(),
            );
        }
        let acceptance = &entry.acceptance.value;
        let (Some(reason), Some(initials), Some(until)) = (
            acceptance.reason.value(),
            acceptance.initials.value(),
            acceptance.until.value(),
        ) else {
            return Verdict::Refused("the acceptance lacks reason, initials or date".to_owned());
        };
        match self.date {
            None => {
                Verdict::Refused("an acceptance needs a date of the review to be held against".to_owned())
            }
            Some(date) if *until < date => {
                Verdict::Refused(format!("the acceptance by {initials} ended on {until}"))
            }
            Some(_) => Verdict::Accepted {
                reason: reason.clone(),
                initials: initials.clone(),
                until: *until,
            },
        }
    }

    /// What there is to say of acceptances that were not used.
    pub fn into_notes(self) -> Vec<String> {
        let unused = self.entries.iter().filter(|entry| !entry.used);
        let mut notes = self.notes;
        notes.extend(
            unused.map(|entry| format!("acceptance \"{}\" matches nothing that falls short", entry.id)),
        );
        notes
    }
}
