//! What many trials showed: the changes that close the review, what to watch on site, what answers change.

use super::paint::{CARRIED, Paint, Tone};
use crate::{
    review::{ChangeSet, ClosingChange, Review, Tolerance},
    text::pasted,
};

/// Tolerances that are told, at most; the rest is counted.
const WATCHED: usize = 8;

/// What many trials showed, as text; empty where nothing was tried.
pub fn in_depth(review: &Review, paint: Paint) -> String {
    let sets = review.closing.as_ref().map_or(&[][..], |closing| &closing.sets);
    let mut out = String::new();
    if let Some((first, others)) = sets.split_first() {
        out.push_str(&paint.ruled("Changes that close the review"));
        out.push_str(&closing(first, paint));
        out.push_str(&alternatives(first, others, paint));
        out.push('\n');
    }
    out.push_str(&watched(review, paint));
    out.push_str(&answers(review, paint));
    out.push_str(&model_ends(review, paint));
    out.push_str(&untried(review, paint));
    out
}

/// What was left out of a plan that is too large for so many trials.
fn untried(review: &Review, paint: Paint) -> String {
    if review.untried.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("Not tried, because the plan is large");
    for what in &review.untried {
        out.push_str(&paint.item(what));
    }
    out.push('\n');
    out
}

fn closing(set: &ChangeSet, paint: Paint) -> String {
    let mut out = String::new();
    for (index, change) in set.changes.iter().enumerate() {
        out.push_str(&changed(index + 1, change, paint));
    }
    for left in &set.left {
        out.push_str(&paint.item(&format!("stays: {left}")));
    }
    out.push_str(&paint.fill(&set.summary, "  ", CARRIED));
    out.push('\n');
    out
}

fn changed(number: usize, change: &ClosingChange, paint: Paint) -> String {
    let ClosingChange {
        what,
        place_name,
        before,
        after,
        effort,
        ..
    } = change;
    let closes = match change.closes.as_slice() {
        [] => "makes up for another change".to_owned(),
        numbers => format!("closes {}", numbers.join(", ")),
    };
    let text = format!(
        "{what}: {place_name} {after} instead of {before} ({}; {closes})",
        effort.word()
    );
    let mut out = paint.fill(&text, &format!("{number:>3}. "), CARRIED) + "\n";
    let decision = change.decision.as_ref();
    out.push_str(&paint.labelled("decide", decision.map_or("", String::as_str)));
    let set = change.set.as_ref().map(|set| format!("--set {}", pasted(set)));
    out.push_str(&paint.on_one_line("try", &set.unwrap_or_default()));
    out
}

/// The sets beside each other.
fn alternatives(first: &ChangeSet, others: &[ChangeSet], paint: Paint) -> String {
    if others.is_empty() {
        return String::new();
    }
    let row = |cells: [String; 7]| {
        let [name, rest @ ..] = cells;
        let rest: Vec<String> = rest.iter().map(|cell| format!("{cell:>8}")).collect();
        format!("  {name:<16} {}\n", rest.join(" "))
    };
    let head = ["set", "changes", "settings", "parts", "earth", "new", "left"].map(str::to_owned);
    let mut out = paint.tone(Tone::Strong, &row(head));
    for set in std::iter::once(first).chain(others) {
        let [settings, parts, earth, new] = set.efforts().map(|(_, count)| count.to_string());
        let (changes, left) = (set.changes.len().to_string(), (set.stop + set.revise).to_string());
        out.push_str(&row([
            set.name.to_owned(),
            changes,
            settings,
            parts,
            earth,
            new,
            left,
        ]));
    }
    out
}

fn watched(review: &Review, paint: Paint) -> String {
    let watched = review.watched();
    if watched.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("Watch on site");
    for tolerance in watched.iter().take(WATCHED) {
        out.push_str(&paint.item(&drift_words(tolerance)));
    }
    if let more @ 1.. = watched.len().saturating_sub(WATCHED) {
        out.push_str(&paint.item(&format!("and {more} more")));
    }
    out.push('\n');
    out
}

/// How far a value may drift, in a sentence.
fn drift_words(tolerance: &Tolerance) -> String {
    let side = |word: &str, drift: &crate::review::Drift| {
        let until = drift.until.as_ref()?;
        let rule = until.rule.as_deref().unwrap_or(&until.title);
        Some(format!(
            "{word} {}, then {rule} at {}",
            drift.by.text, until.object_name
        ))
    };
    let sides = [side("down", &tolerance.down), side("up", &tolerance.up)];
    let sides: Vec<String> = sides.into_iter().flatten().collect();
    format!(
        "{} {}: {}",
        tolerance.place_name,
        tolerance.now.text,
        sides.join("; ")
    )
}

fn answers(review: &Review, paint: Paint) -> String {
    if review.answers.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("What the answers could change");
    for answer in review.answers_that_matter_first() {
        let text = format!("{} {}: {}", answer.question, answer.place_name, answer.words);
        out.push_str(&paint.item(&text));
    }
    out.push_str(&paint.item(&review.certainty()));
    out.push('\n');
    out
}

fn model_ends(review: &Review, paint: Paint) -> String {
    if review.model_ends.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("Met, but not at the worst end of the model");
    for end in &review.model_ends {
        let text = format!("{}: {} ({})", end.end, end.not_met.join(", "), end.source);
        out.push_str(&paint.item(&text));
    }
    out.push('\n');
    out
}
