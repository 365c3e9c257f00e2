//! Many plans: one table at the end, a row for each.

use unicode_width::UnicodeWidthStr;

use super::{
    brief::SHORT_CAUTION,
    paint::{CUT, Paint, Tone, tail},
};
use crate::{
    review::{Action, Counts, Review},
    text::visible,
};

/// One plan of many, as its row tells.
#[derive(Clone, Debug)]
pub struct BatchRow {
    /// The plan’s file.
    pub file: String,
    /// What is recommended.
    pub action: Action,
    /// The same in words.
    pub words: &'static str,
    /// How many of what.
    pub counts: Counts,
}

impl BatchRow {
    /// The row of a review.
    pub fn of(review: &Review) -> Self {
        Self {
            file: review.subject.file.clone(),
            action: review.action.action,
            words: review.action.words,
            counts: review.counts,
        }
    }
}

/// The counts and the columns of each.
const COUNTS: [(&str, usize); 4] = [("stop", 6), ("revise", 8), ("advise", 8), ("questions", 11)];
/// Columns of the action.
const ACTION: usize = 22;
/// Columns that a file’s name gets at least.
const NAME: usize = 12;

/// The table of a batch: each plan, what is recommended, and the counts; the cautions once.
pub fn batch(rows: &[BatchRow], paint: Paint) -> String {
    let mut out = paint.ruled(&format!("{} plans", rows.len()));
    let counts: usize = COUNTS.iter().map(|(_, columns)| columns).sum();
    let room = paint.width.saturating_sub(ACTION + counts).max(NAME);
    let line = |name: &str, numbers: [String; 4], action: &str| {
        let mut line = padded(&ending(name, room), room);
        for (number, (_, columns)) in numbers.iter().zip(COUNTS) {
            line.push_str(&format!("{number:>columns$}"));
        }
        format!("{line}  {action}")
    };
    let head = line("plan", COUNTS.map(|(head, _)| head.to_owned()), "action");
    out.push_str(&paint.tone(Tone::Strong, &head));
    out.push('\n');
    for row in rows {
        let counts = &row.counts;
        let numbers = [counts.stop, counts.revise, counts.advise, counts.questions];
        let text = line(
            &visible(&row.file),
            numbers.map(|count| count.to_string()),
            row.words,
        );
        let bad = row.action == Action::ReviseAndResubmit;
        out.push_str(&if bad {
            paint.tone(Tone::Revise, &text)
        } else {
            text
        });
        out.push('\n');
    }
    let of = |action| rows.iter().filter(|row| row.action == action).count();
    let (clear, corrected, revise) = (
        of(Action::NoExceptionsTaken),
        of(Action::FurnishAsCorrected),
        of(Action::ReviseAndResubmit),
    );
    out.push_str(&paint.fill(SHORT_CAUTION, "", "  "));
    out.push('\n');
    let total = format!(
        "{revise} to revise and resubmit, {corrected} to furnish as corrected, {clear} with no exceptions taken."
    );
    out.push_str(&paint.fill(&total, "", "  "));
    out.push('\n');
    out
}

/// A name cut to a width; of a path its end says most.
fn ending(name: &str, width: usize) -> String {
    if name.width() <= width {
        return name.to_owned();
    }
    format!("{CUT}{}", tail(name, width.saturating_sub(CUT.width())))
}

fn padded(text: &str, width: usize) -> String {
    text.to_owned() + &" ".repeat(width.saturating_sub(text.width()))
}
