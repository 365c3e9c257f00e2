//! A review in short: one or two lines a finding, the verdict last, so that it can be read on one screen.

use super::{
    paint::{Paint, Tone},
    selected::Selected,
};
use crate::{
    review::{Finding, Question, Review},
    rules::Severity,
    text::visible,
};

/// Columns before the text of a finding: mark, number and severity.
const HEAD: usize = 15;
/// Lines that a finding may take before it is told in fewer words.
const LINES: usize = 2;

/// The findings and questions in short, and the verdict.
pub fn brief(review: &Review, selected: &Selected<'_>, paint: Paint) -> String {
    let mut out = list_of(selected, paint);
    if !out.is_empty() {
        out.push('\n');
    }
    out.push_str(&verdict(review, selected, paint));
    out
}

/// The findings and questions in short, without a verdict.
pub fn list_of(selected: &Selected<'_>, paint: Paint) -> String {
    let mut out = String::new();
    for shown in &selected.findings {
        out.push_str(&finding(shown, paint));
    }
    out + &questions(selected, paint)
}

/// A line with the name and revision of what was reviewed.
pub fn named(review: &Review, paint: Paint) -> String {
    let revision = review.subject.revision.as_ref();
    let revision = revision
        .map(|mark| format!(", revision {mark}"))
        .unwrap_or_default();
    paint.ruled(&format!("{}{revision}", review.subject.name))
}

fn finding(finding: &Finding, paint: Paint) -> String {
    let place = &finding.place_name;
    let brief = format!("{place}: {}", finding.brief);
    let read = finding.brief.split(" → ").next().unwrap_or(&finding.found.text);
    let found = format!("{place}: {read}");
    let cure = finding.first_cure();
    let cured = |text: &str| match &cure {
        Some(cure) => format!("{text}; cure: {cure}"),
        None => text.to_owned(),
    };
    let head = entry_head(finding.severity, &finding.number);
    let mut text = if finding.follows.is_some() {
        // What follows is mended with its cause.
        fitting(&[&brief, &found], 1, paint)
    } else {
        fitting(&[&cured(&brief), &cured(&found), &brief], LINES, paint)
    };
    if let Some(note) = &finding.note {
        text.push_str(&format!(" ({note})"));
    }
    entry(&head, &text, finding.severity, paint)
}

/// The first text that takes no more lines than these; where none does, the one with all it says.
fn fitting(texts: &[&str], lines: usize, paint: Paint) -> String {
    let fits = |text: &&&str| body(text, paint).lines().count() <= lines;
    let first = texts.iter().find(fits).or(texts.first());
    first.map(|text| (*text).to_owned()).unwrap_or_default()
}

/// The text of an entry as it is wrapped beside its head.
fn body(text: &str, paint: Paint) -> String {
    let rest = " ".repeat(HEAD);
    paint.fill(text, &rest, &rest)
}

fn entry_head(severity: Severity, number: &str) -> String {
    format!("{} {number:<4} {:<8}", severity.mark(), severity.word())
}

fn entry(head: &str, text: &str, severity: Severity, paint: Paint) -> String {
    let filled = paint.fill(text, head, &" ".repeat(HEAD));
    let bright = paint.tone(severity.into(), head.trim_end());
    filled.replacen(head.trim_end(), &bright, 1) + "\n"
}

/// The questions that a stop rule waits for, a line each; the rest are counted.
fn questions(selected: &Selected<'_>, paint: Paint) -> String {
    let (stops, others): (Vec<&Question>, Vec<&Question>) = selected
        .questions
        .iter()
        .partition(|question| question.severity == Severity::Stop);
    let mut out = String::new();
    for question in &stops {
        let head = entry_head(question.severity, &question.number);
        let text = format!("not shown: {}", question.place_name);
        out.push_str(&entry(&head, &text, question.severity, paint));
    }
    if let (Some(first), Some(last)) = (others.first(), others.last()) {
        let numbers = if first.number == last.number {
            first.number.clone()
        } else {
            format!("{} to {}", first.number, last.number)
        };
        let plural = if others.len() == 1 { "" } else { "s" };
        let text = format!("{} more question{plural}, {numbers}", others.len());
        out.push_str(&paint.fill(&text, "  ", "  "));
        out.push('\n');
    }
    out
}

/// What the review comes to: the counts, how to read more, and the recommended action last.
fn verdict(review: &Review, selected: &Selected<'_>, paint: Paint) -> String {
    let mut out = named(review, paint);
    let mut line = |text: &str| {
        out.push_str(&paint.fill(text, "", "  "));
        out.push('\n');
    };
    line(&counted(review));
    if !selected.whole {
        line(&format!(
            "Shown here: {} of {} findings, {} of {} questions.",
            selected.findings.len(),
            review.findings.len(),
            selected.questions.len(),
            review.questions.len()
        ));
    }
    if let Some(earlier) = review.backcheck.as_ref() {
        line(&earlier.tally());
    }
    if let Some(changes) = house(review) {
        line(&changes);
    }
    if !review.findings.is_empty() || !review.questions.is_empty() {
        line("`--full` shows all with reasons, cures and sources; `--only 3` shows one.");
    }
    line(SHORT_CAUTION);
    out.push_str(&action(review, paint));
    out
}

/// The cautions in short; the full form and every paper print them whole.
pub(super) const SHORT_CAUTION: &str = "Water and electricity kill, walls and trenches collapse, small children drown silently. The local code \
    and licensed people decide.";

/// The recommended action and what decided it.
pub(super) fn action(review: &Review, paint: Paint) -> String {
    let counts = &review.counts;
    let tone = match counts {
        counts if counts.stop + counts.stop_questions > 0 => Tone::Stop,
        counts if counts.revise > 0 => Tone::Revise,
        _ => Tone::Strong,
    };
    let head = format!("Recommended action: {}", review.action.words);
    let text = format!("{head} ({})", review.action.because);
    let filled = paint.fill(&text, "", "  ");
    filled.replacen(&head, &paint.tone(tone, &head), 1) + "\n"
}

fn counted(review: &Review) -> String {
    let counts = &review.counts;
    let met = review.coverage.first().map_or(0, |all| all.met);
    let mut parts = vec![
        format!("{} stop", counts.stop),
        format!("{} revise", counts.revise),
        format!("{} advise", counts.advise),
    ];
    if counts.accepted > 0 {
        parts.push(format!("{} accepted by name", counts.accepted));
    }
    let plural = if counts.questions == 1 { "" } else { "s" };
    let mut text = format!("{}; {} question{plural}", parts.join(", "), counts.questions);
    if counts.stop_questions > 0 {
        text.push_str(&format!(", {} on stop rules", counts.stop_questions));
    }
    text + &format!("; {met} met.")
}

/// How many rules the house changed, and those that ask less than a published code.
fn house(review: &Review) -> Option<String> {
    let count = review.house.len();
    let loosened: Vec<&str> = review
        .house
        .iter()
        .filter(|line| line.loosens_code)
        .map(|line| line.rule.as_str())
        .collect();
    let weaker = if loosened.is_empty() {
        String::new()
    } else {
        format!(
            "; weaker than a published code: {}",
            visible(&loosened.join(", "))
        )
    };
    let plural = if count == 1 { "" } else { "s" };
    (count > 0).then(|| format!("House rules: {count} change{plural} of the built-in rules{weaker}."))
}
