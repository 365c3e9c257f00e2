//! The findings and questions of a review: one line each, one of them unfolded with why, worked line, source and cures.

use maud::{Markup, html};
use serde_json::json;

use super::{
    assess::Misfit,
    document::{Tried, View},
    form::{anchor, edit, edit_of},
    typed::plain,
};
use crate::{
    read::Place,
    review::{Cure, Finding, Question, Review},
    rules::Severity,
};

/// Values to correct that are listed at most.
const MOST_PROBLEMS: usize = 5;

/// What the panel shows.
pub struct Findings<'a> {
    /// The review.
    pub review: &'a Review,
    /// What keeps the present text from being reviewed; nothing where the review is of it.
    pub problems: &'a [Misfit],
    /// What is shown of it.
    pub view: &'a View,
    /// The cures in numbers of the finding that is unfolded.
    pub cures: &'a [Cure],
    /// Whether they are of the present text; cures of the one before can't be tried.
    pub cures_hold: bool,
    /// What the last cure did.
    pub tried: Option<&'a Tried>,
}

/// The panel.
pub fn findings(panel: &Findings<'_>) -> Markup {
    let review = panel.review;
    let view = panel.view;
    let shown: Vec<&Finding> = review
        .findings
        .iter()
        .filter(|finding| passes(view, finding))
        .collect();
    html! {
        @if !panel.problems.is_empty() { (stale(panel.problems)) }
        (filters(panel))
        @if let Some(tried) = panel.tried { (what_it_did(tried)) }
        @if review.findings.is_empty() { p.nothing { "No findings in what the plan shows." } }
        @else if shown.is_empty() { p.nothing { "No findings pass the filter." } }
        ol.findings {
            @for finding in &shown { (line(panel, finding)) }
        }
        @if !review.questions.is_empty() {
            h2 { "Questions: what the plan does not show" }
            ol.findings.questions {
                @for question in review.questions.iter().filter(|question| passes_question(view, question)) {
                    (question_line(panel, question))
                }
            }
        }
        @if !review.accepted.is_empty() {
            h2 { "Accepted by name" }
            ul.accepted {
                @for accepted in &review.accepted {
                    li { (accepted.finding.place_name) ": " (accepted.finding.headline) ". " (accepted.reason) ", " (accepted.initials) ", until " (accepted.until.to_string()) }
                }
            }
        }
        @for note in &review.acceptance_notes { p.note { (note) } }
        p.note { (coverage(review)) }
        details.cautions { summary { "Cautions" } ul { @for caution in &review.cautions { li { (caution) } } } }
    }
}

/// What has to be corrected before there is a new review.
fn stale(problems: &[Misfit]) -> Markup {
    html! {
        div.stale role="status" {
            p { "The plan can’t be reviewed as it stands. Below is the last review that could be made. To correct:" }
            ul {
                @for misfit in problems.iter().take(MOST_PROBLEMS) {
                    li {
                        (plain(&misfit.words)) " "
                        @if let Some(at) = misfit.at.as_ref().filter(|at| **at != Place::root()) {
                            button type="button" data-edit=(edit("find", at)) aria-label={ "Go to it: " (plain(&misfit.words)) } { "Go to it" }
                        }
                    }
                }
                @if problems.len() > MOST_PROBLEMS { li { "and " (problems.len() - MOST_PROBLEMS) " more" } }
            }
        }
    }
}

fn coverage(review: &Review) -> String {
    review.coverage.first().map_or_else(String::new, |all| {
        format!(
            "Rules by place: {} met, {} short, {} not shown, {} do not apply.",
            all.met, all.short, all.not_shown, all.not_applicable
        )
    })
}

fn passes(view: &View, finding: &Finding) -> bool {
    view.severity.is_none_or(|severity| finding.severity == severity)
        && view
            .discipline
            .as_ref()
            .is_none_or(|discipline| finding.discipline == *discipline)
}

fn passes_question(view: &View, question: &Question) -> bool {
    view.severity.is_none_or(|severity| question.severity == severity)
}

fn filters(panel: &Findings<'_>) -> Markup {
    let mut disciplines: Vec<&str> = panel
        .review
        .findings
        .iter()
        .map(|finding| finding.discipline.as_str())
        .collect();
    disciplines.sort_unstable();
    disciplines.dedup();
    let severity = panel.view.severity;
    html! {
        form.filters data-edit=(edit_of(&json!({ "do": "filter" }))) data-live {
            label { "Severity "
                select name="severity" {
                    option value="" selected[severity.is_none()] { "all" }
                    @for one in [Severity::Stop, Severity::Revise, Severity::Advise] {
                        option value=(one.word()) selected[severity == Some(one)] { (one.mark()) " " (one.word()) }
                    }
                }
            }
            label { "Discipline "
                select name="discipline" {
                    option value="" selected[panel.view.discipline.is_none()] { "all" }
                    @for one in disciplines {
                        option value=(one) selected[panel.view.discipline.as_deref() == Some(one)] { (one) }
                    }
                }
            }
        }
    }
}

fn what_it_did(tried: &Tried) -> Markup {
    html! {
        div.tried role="status" {
            p { b { "Tried: " } (tried.words) }
            @if tried.closed.is_empty() && tried.opened.is_empty() { p { "It closed no finding and opened none." } }
            @if !tried.closed.is_empty() { p { "Closed:" } ul { @for words in &tried.closed { li { (words) } } } }
            @if !tried.opened.is_empty() { p { "Opened:" } ul { @for words in &tried.opened { li { (words) } } } }
            button type="button" data-edit=(edit_of(&json!({ "do": "undo" }))) { "Take it back" }
        }
    }
}

fn choose(rule: &str, at: &Place) -> String {
    edit_of(&json!({ "do": "choose", "rule": rule, "at": at.as_str() }))
}

fn is_chosen(view: &View, rule: &str, at: &Place) -> bool {
    view.chosen
        .as_ref()
        .is_some_and(|(chosen, place)| chosen == rule && place == at)
}

fn line(panel: &Findings<'_>, finding: &Finding) -> Markup {
    let open = is_chosen(panel.view, &finding.rule, &finding.object);
    html! {
        li id={ "finding-" (finding.rule) (anchor(&finding.object)) } data-severity=(finding.severity.word()) data-at=(finding.place) data-follows[finding.follows.is_some()] {
            button.line type="button" aria-expanded=(open) data-edit=(choose(&finding.rule, &finding.object)) {
                span.sign { span aria-hidden="true" { (finding.severity.mark()) } " " (finding.severity.word()) " " (finding.number) }
                span.where { (finding.place_name) }
                span.headline { (finding.headline) }
            }
            @if open { (detail(panel, finding)) }
        }
    }
}

fn detail(panel: &Findings<'_>, finding: &Finding) -> Markup {
    html! {
        div.detail {
            p { (finding.why) }
            @if let Some(margin) = &finding.margin { p { "Margin: " (margin) } }
            @for worked in &finding.worked { p.worked { (worked) } }
            @if let Some(follows) = &finding.follows { p { "This follows from finding " (follows) "." } }
            @if let Some(note) = &finding.note { p { (note) } }
            h3 { "Cure" }
            p { (finding.cure) }
            @if !panel.cures.is_empty() {
                ul.cures {
                    @for cure in panel.cures {
                        li { (cure.text) " "
                            button type="button" disabled[!panel.cures_hold] data-edit=(edit_of(&json!({ "do": "try", "at": cure.place.as_str(), "text": cure.value, "words": cure.text }))) {
                                "Try this cure"
                            }
                        }
                    }
                }
            } @else if !finding.levers.is_empty() {
                ul { @for lever in &finding.levers { li { (lever) } } }
            }
            h3 { "Source" }
            @for source in &finding.sources { p { (source) } }
            @if let Some(house) = &finding.house { p { (house) } }
            p.file { (finding.rule) ", line " (finding.at.line) }
            div.ways {
                button type="button" data-edit=(edit("find", &finding.place)) { "Go to the value" }
            }
            @if finding.protects_people && finding.severity == Severity::Stop {
                p.note { "This rule keeps people safe. It can’t be accepted by name." }
            } @else if panel.problems.is_empty() {
                (accept(finding))
            }
        }
    }
}

fn accept(finding: &Finding) -> Markup {
    let edit = edit_of(&json!({ "do": "accept", "rule": finding.rule, "at": finding.object.as_str() }));
    html! {
        details.accept {
            summary { "Accept by name" }
            form data-edit=(edit) {
                label { "Reason " input name="reason" type="text" required maxlength="2000" autocomplete="off"; }
                label { "Initials " input name="initials" type="text" required maxlength="20" autocomplete="off"; }
                label { "Last day " input name="until" type="text" required pattern="[0-9]{4}-[0-9]{2}-[0-9]{2}" placeholder="2027-03-31" autocomplete="off"; }
                button type="submit" { "Accept" }
            }
        }
    }
}

fn question_line(panel: &Findings<'_>, question: &Question) -> Markup {
    let open = is_chosen(panel.view, "", &question.place);
    html! {
        li id={ "question-" (anchor(&question.place)) } data-severity=(question.severity.word()) data-at=(question.place) {
            button.line type="button" aria-expanded=(open) data-edit=(choose("", &question.place)) {
                span.sign { "? " (question.severity.word()) " Q" (question.number.trim_start_matches('Q')) }
                span.where { (question.place_name) }
                span.headline { (plain(&question.ask)) }
            }
            @if open {
                div.detail {
                    p { "Rules that wait for it: " (question.rules.join(", ")) }
                    button type="button" data-edit=(edit("find", &question.place)) { "Answer it" }
                }
            }
        }
    }
}

/// What the designer must answer, as text to paste into a mail.
pub fn letter(review: &Review) -> String {
    let mut text = format!("{}\n", review.subject.name);
    if let Some(revision) = &review.subject.revision {
        text.push_str(&format!("Revision {revision}\n"));
    }
    text.push_str(&format!("Recommended action: {}\n", review.action.words));
    if !review.questions.is_empty() {
        text.push_str("\nThe plan does not show the following. Please answer each.\n");
        for question in &review.questions {
            let urgent = if question.severity == Severity::Stop {
                " (before any work)"
            } else {
                ""
            };
            text.push_str(&format!(
                "{}. {}{urgent}\n   {}\n",
                question.number,
                question.place_name,
                plain(&question.ask)
            ));
        }
    }
    let roots = review.findings.iter().filter(|finding| finding.follows.is_none());
    let roots: Vec<&Finding> = roots
        .filter(|finding| finding.severity != Severity::Advise)
        .collect();
    if !roots.is_empty() {
        text.push_str("\nPlease correct the following, or say why it stands.\n");
        for finding in roots {
            text.push_str(&format!(
                "{}. {}: {}\n",
                finding.number, finding.place_name, finding.headline
            ));
        }
    }
    text
}
