//! A review for the terminal: findings with their lines, questions, and the summary last, where the eye ends.

use unicode_width::UnicodeWidthStr;

use super::{
    paint::{CARRIED, Paint, Tone},
    selected::Selected,
    snippet::{Mark, render},
};
use crate::{
    engine::{Engine, Opened},
    review::{Cure, Finding, Question, Review, Settled},
    rules::Severity,
    text::pasted,
};

/// A review as text.
pub fn review(
    engine: &Engine,
    opened: &Opened,
    review: &Review,
    selected: &Selected<'_>,
    paint: Paint,
) -> String {
    let mut out = String::new();
    for shown in &selected.findings {
        out.push_str(&finding(engine, opened, shown, paint));
        out.push('\n');
    }
    out.push_str(&questions(&selected.questions, paint));
    if !selected.whole {
        return out;
    }
    out.push_str(&accepted(review, paint));
    out.push_str(&house(review, paint));
    out.push_str(&summary(review, paint));
    out
}

/// One finding in full: its lines of the plan and the rule, reason, cures and sources.
pub fn finding(engine: &Engine, opened: &Opened, finding: &Finding, paint: Paint) -> String {
    let severity = finding.severity;
    let mut head = format!("{} {} {}", severity.mark(), finding.number, severity.word());
    if severity == Severity::Stop {
        head.push_str(if finding.protects_people {
            ", protects people"
        } else {
            ", protects the work"
        });
    }
    let used = head.width() + finding.rule.width() + 2;
    let follows = match &finding.follows {
        None => String::new(),
        Some(cause) => {
            let words = format!("follows from {cause}");
            let fits = used + words.width() + 2 <= paint.width;
            if fits {
                format!(", {words}")
            } else {
                format!("\n  {words}")
            }
        }
    };
    let mut out = format!(
        "{}  {}{follows}\n",
        paint.tone(severity.into(), &head),
        paint.tone(Tone::Strong, &finding.rule)
    );
    out.push_str(&paint.fill(&finding.headline, "  ", CARRIED));
    out.push('\n');
    out.push_str(&paint.labelled("at", &finding.place_name));
    let found = format!("found: {}", finding.found.text);
    let limit = format!("required: {}", finding.limit.text);
    let mut marks = vec![Mark {
        span: opened.tree.pointed(&finding.place),
        text: &found,
        primary: true,
    }];
    if let Some(card) = engine.rules_for(opened).card(&finding.rule) {
        marks.push(Mark {
            span: card.bound_span,
            text: &limit,
            primary: false,
        });
    }
    out.push_str(&render(&engine.sources, &marks, severity.into(), paint));
    out.push_str(&paint.labelled("margin", finding.margin.as_deref().unwrap_or_default()));
    for line in &finding.worked {
        out.push_str(&paint.labelled("worked", line));
    }
    out.push_str(&paint.labelled("why", &finding.why));
    out.push_str(&paint.labelled("cure", &finding.cure));
    if finding.cures.is_empty() {
        out.push_str(&paint.labelled("change", &finding.levers.join("; ")));
    }
    for cure in &finding.cures {
        out.push_str(&paint.labelled("change", &cure.text));
        out.push_str(&paint.on_one_line("try", &attempt(cure).unwrap_or_default()));
    }
    for source in &finding.sources {
        out.push_str(&paint.labelled("source", source));
    }
    out.push_str(&paint.labelled("house", finding.house.as_deref().unwrap_or_default()));
    out.push_str(&paint.labelled("note", finding.note.as_deref().unwrap_or_default()));
    out
}

/// What to add to the command to try a cure, as a shell takes it.
fn attempt(cure: &Cure) -> Option<String> {
    Some(format!("--set {}", pasted(cure.set.as_ref()?)))
}

fn questions(questions: &[&Question], paint: Paint) -> String {
    if questions.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("Questions: not shown on the plan");
    for asked in questions {
        let rules = match asked.rules.as_slice() {
            [one] => one.clone(),
            [first, rest @ ..] => format!("{first} and {} more", rest.len()),
            [] => String::new(),
        };
        out.push_str(&question(asked, &rules, paint));
    }
    out.push('\n');
    out
}

/// One question, and the rules that wait for its answer.
pub fn question(question: &Question, rules: &str, paint: Paint) -> String {
    let mark = question.severity.mark();
    let rest = " ".repeat(8);
    let first = format!("{mark} {:<5} ", question.number);
    let answer = question.answer.as_ref();
    let answer = answer
        .map(|answer| format!("; write {answer}"))
        .unwrap_or_default();
    let text = format!(
        "{}: {}{answer} ({}, {rules})",
        question.place_name,
        question.ask,
        question.severity.word()
    );
    paint.fill(&text, &first, &rest) + "\n"
}

fn accepted(review: &Review, paint: Paint) -> String {
    let mut out = String::new();
    for accepted in &review.accepted {
        let finding = &accepted.finding;
        let text = format!(
            "accepted until {} by {}: {}, {} ({}). {}",
            accepted.until,
            accepted.initials,
            finding.place_name,
            finding.headline,
            finding.rule,
            accepted.reason
        );
        out.push_str(&paint.item(&text));
    }
    for note in &review.acceptance_notes {
        out.push_str(&paint.item(note));
    }
    out.push_str(&settled(review, paint));
    for unjudged in &review.unjudged {
        let text = format!(
            "not evaluated: {} at {}: {}",
            unjudged.rule, unjudged.object_name, unjudged.because
        );
        out.push_str(&paint.item(&text));
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// What was met without a value, by that value.
fn settled(review: &Review, paint: Paint) -> String {
    let met: Vec<&Settled> = review.settled.iter().filter(|settled| settled.meets).collect();
    let mut out = String::new();
    for of_one in met.chunk_by(|a, b| a.place_name == b.place_name) {
        let mut rules: Vec<&str> = of_one.iter().map(|settled| settled.rule.as_str()).collect();
        rules.sort_unstable();
        rules.dedup();
        let (place, range) = (&of_one[0].place_name, &of_one[0].range);
        let text = format!(
            "met at every plausible value of {place}, {range}: {}",
            rules.join(", ")
        );
        out.push_str(&paint.item(&text));
    }
    out
}

/// Values named before the rest are only counted.
const NAMED: usize = 4;

/// The values that nothing evaluates, the first by name.
fn unevaluated(review: &Review) -> Option<String> {
    let all = &review.unevaluated;
    let named: Vec<&str> = all
        .iter()
        .take(NAMED)
        .map(|value| value.place_name.as_str())
        .collect();
    let more = match all.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    let words = if all.len() == 1 {
        "1 value that no figure or rule reads"
    } else {
        "values that no figure or rule reads"
    };
    let count = if all.len() == 1 {
        String::new()
    } else {
        format!("{} ", all.len())
    };
    (!all.is_empty()).then(|| format!("{count}{words}: {}{more}", named.join("; ")))
}

fn house(review: &Review, paint: Paint) -> String {
    if review.house.is_empty() {
        return String::new();
    }
    let mut out = paint.ruled("House rules: changes to the built-in rules");
    for line in &review.house {
        let change = match (line.was.as_str(), line.now.as_str()) {
            (was, "") => format!("was {was}"),
            ("", now) => now.to_owned(),
            (was, now) => format!("{now}; was {was}"),
        };
        let text = format!("{}: {} ({change}). {}", line.rule, line.effect, line.reason);
        out.push_str(&paint.item(&text));
    }
    out.push('\n');
    out
}

fn summary(review: &Review, paint: Paint) -> String {
    let revision = review
        .subject
        .revision
        .as_ref()
        .map(|mark| format!(", revision {mark}"))
        .unwrap_or_default();
    let mut out = paint.ruled(&format!("Review of {}{revision}", review.subject.name));
    let tone = match review.counts {
        counts if counts.stop + counts.stop_questions > 0 => Tone::Stop,
        counts if counts.revise > 0 => Tone::Revise,
        _ => Tone::Strong,
    };
    out.push_str(&paint.tone(tone, &format!("Recommended action: {}", review.action.words)));
    out.push('\n');
    out.push_str(&paint.labelled("because", &review.action.because));
    out.push_str(&paint.labelled("meaning", review.action.meaning));
    let counts = &review.counts;
    let plural = |count: usize| if count == 1 { "" } else { "s" };
    out.push_str(&paint.labelled(
        "findings",
        &format!(
            "{} {} stop, {} {} revise, {} {} advise; {} fault{}",
            Severity::Stop.mark(),
            counts.stop,
            Severity::Revise.mark(),
            counts.revise,
            Severity::Advise.mark(),
            counts.advise,
            counts.faults,
            plural(counts.faults),
        ),
    ));
    out.push_str(&paint.labelled(
        "question",
        &format!(
            "{} question{}, {} on stop rules",
            counts.questions,
            plural(counts.questions),
            counts.stop_questions
        ),
    ));
    if let Some(all) = review.coverage.first() {
        let mut text = format!(
            "{} met, {} short, {} not shown",
            all.met, all.short, all.not_shown
        );
        for (count, words) in [(all.unjudged, "not evaluated"), (all.accepted, "accepted")] {
            if count > 0 {
                text.push_str(&format!(", {count} {words}"));
            }
        }
        text.push_str(&format!("; {} do not apply", all.not_applicable));
        out.push_str(&paint.labelled("coverage", &text));
    }
    if let Some(text) = unevaluated(review) {
        out.push_str(&paint.labelled("not evaluated", &text));
    }
    if let Some(date) = review.date {
        out.push_str(&paint.labelled("date", &date.to_string()));
    }
    out.push('\n');
    for caution in &review.cautions {
        out.push_str(&paint.fill(caution, "  ", "  "));
        out.push('\n');
    }
    out
}
