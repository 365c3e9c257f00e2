//! Back-check: a review held against the one before it. Numbers stay with a finding for the life of the project.

mod changes;
mod earlier;
mod numbers;
mod statuses;

pub use changes::{Compared, changes};
pub use earlier::{Earlier, NotEarlier};

use crate::{
    plan::Plan,
    review::{Backcheck, EarlierSubject, LogEntry, Review},
};

/// The review, numbered as the earlier one was, with what became of each of its findings and questions.
///
/// `compared` are the differences between the two plans, and `plan` the plan under review, whose answers are taken into
/// the log.
pub fn against(mut review: Review, earlier: &Earlier, compared: Compared, plan: &Plan) -> Review {
    let known: Vec<LogEntry> = earlier
        .entries
        .iter()
        .cloned()
        .map(|mut entry| {
            entry.object = compared.renamed(&entry.object);
            entry
        })
        .collect();
    numbers::keep(&mut review, &known);
    let mut entries = statuses::entries(&review, &known);
    let mut notes = compared.notes;
    answer(&mut entries, plan, &mut notes);
    if earlier.revision.is_some()
        && earlier.revision == review.subject.revision
        && !compared.changes.is_empty()
    {
        notes.push(format!(
            "both plans bear the revision mark {}, and they differ",
            earlier.revision.as_deref().unwrap_or_default()
        ));
    }
    review.subject.review = earlier.review + 1;
    review.backcheck = Some(Backcheck {
        earlier: EarlierSubject {
            file: earlier.file.clone(),
            revision: earlier.revision.clone(),
            date: earlier.date.clone(),
            review: earlier.review,
        },
        entries,
        changes: compared.changes,
        notes,
    });
    review
}

/// Puts the designer’s answers beside what they answer.
fn answer(entries: &mut [LogEntry], plan: &Plan, notes: &mut Vec<String>) {
    for (number, answer) in &plan.answers {
        let words = answer.words();
        match entries.iter_mut().find(|entry| entry.number == *number) {
            Some(entry) => entry.answer = Some(words),
            None => notes.push(format!(
                "the plan answers \"{number}\" ({words}), and no finding or question has that number"
            )),
        }
    }
}
