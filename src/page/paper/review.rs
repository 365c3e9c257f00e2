//! The whole review as HTML, to be printed: all that the panel unfolds one by one, and the drawings.

use maud::{Markup, html};
use serde_json::Value;

use crate::{
    page::drawing::{Layer, svg},
    report::drawing::Drawings,
    review::{Finding, Question, Review},
};

/// The whole review.
pub fn whole_review(review: &Review, drawings: &Drawings) -> Markup {
    let subject = &review.subject;
    html! {
        h1 { "Design review: " (subject.name) }
        dl.facts { @for (label, value) in &subject.title_block { dt { (label) } dd { (value) } } }
        section.sheet aria-label="recommended action" {
            h2 { "Recommended action: " (review.action.words) }
            p { (review.action.meaning) " " (review.action.because) }
            p { (counts(review)) }
            (list("What it would lead to", &review.consequences))
        }
        section.sheet aria-label="drawings" {
            @for scene in drawings.scenes() {
                figure {
                    figcaption { (scene.title) }
                    (svg(scene, &review.findings, &Layer::default()))
                    @for note in &scene.notes { p.note { (note) } }
                }
            }
        }
        section.sheet aria-label="findings" {
            h2 { "Findings" }
            @if review.findings.is_empty() { p { "No findings in what the plan shows." } }
            @for found in &review.findings { (finding(found)) }
        }
        @if !review.questions.is_empty() {
            section.sheet aria-label="questions" {
                h2 { "Questions: what the plan does not show" }
                ul.asked-for { @for asked in &review.questions { (question(asked)) } }
            }
        }
        @if !review.accepted.is_empty() {
            section.sheet aria-label="accepted" {
                h2 { "Accepted by name" }
                ul {
                    @for accepted in &review.accepted {
                        li { (accepted.finding.place_name) ": " (accepted.finding.headline) "; " (accepted.words()) }
                    }
                }
            }
        }
        (photographs(review))
        section.sheet aria-label="basis" {
            (list("Cautions", &review.cautions))
            (list("Assumptions", &review.assumptions))
            (list("Codes", &review.codes))
            (list("Sources", &review.sources))
        }
        p.note { "This tool recommends; a responsible person decides. bywash " (review.version) ", " (subject.file) }
    }
}

fn counts(review: &Review) -> String {
    let counts = &review.counts;
    format!(
        "{} stop, {} revise, {} advise; {} questions, {} of them on a stop rule; {} accepted.",
        counts.stop, counts.revise, counts.advise, counts.questions, counts.stop_questions, counts.accepted
    )
}

fn list(title: &str, lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            h3 { (title) }
            ul { @for line in lines { li { (line) } } }
        }
    }
}

/// The photographs and sheets that the plan refers to, in words: a page shows no files.
fn photographs(review: &Review) -> Markup {
    let attachments = review.plan.get("attachments").and_then(Value::as_object);
    let text = |one: &Value, key: &str| one.get(key).and_then(Value::as_str).map(str::to_owned);
    html! {
        @if let Some(attachments) = attachments.filter(|all| !all.is_empty()) {
            section.sheet aria-label="photographs and sheets" {
                h2 { "Photographs and sheets" }
                ul {
                    @for one in attachments.values() {
                        li {
                            @if let Some(caption) = text(one, "caption") { (caption) ": " }
                            (text(one, "file").unwrap_or_default())
                            @if let Some(place) = text(one, "shows") { ", of " code { (place) } }
                        }
                    }
                }
                p.note { "They are named here and not shown. The PDF that the program writes shows them, with their fingerprints." }
            }
        }
    }
}

fn finding(finding: &Finding) -> Markup {
    html! {
        article.finding data-severity=(finding.severity.word()) {
            h3 { span.sign { (finding.severity.mark()) " " (finding.number) " " (finding.severity.word()) } " " (finding.place_name) }
            p { b { (finding.headline) } }
            @if let Some(margin) = &finding.margin { p { "Margin: " (margin) } }
            @for worked in &finding.worked { p.worked { (worked) } }
            p { (finding.why) }
            p { b { "Cure: " } (finding.cure) }
            @if finding.cures.is_empty() {
                @if !finding.levers.is_empty() { ul { @for lever in &finding.levers { li { (lever) } } } }
            } @else {
                ul { @for cure in &finding.cures { li { (cure.text) } } }
            }
            @if let Some(follows) = &finding.follows { p { "This follows from finding " (follows) "." } }
            @if let Some(note) = &finding.note { p { (note) } }
            @if let Some(house) = &finding.house { p { (house) } }
            p.note { b { "Source: " } (finding.sources.join("; ")) " (" (finding.rule) ", line " (finding.at.line) ")" }
        }
    }
}

fn question(question: &Question) -> Markup {
    html! {
        li data-severity=(question.severity.word()) {
            span.sign { (question.number) " " (question.severity.word()) } " " b { (question.place_name) } ": " (question.ask)
            @if let Some(answer) = &question.answer { " Write " (answer) "." }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::whole_review;
    use crate::{
        engine::{Engine, ReviewOptions},
        report::drawing::drawings,
    };

    #[test]
    fn photographs_are_named_in_words() {
        let plan = r#"{ "format": "bywash plan 1",
            "basins": { "pond": { "kind": "pond", "still": "-2 in", "rim": "0 in", "floor": "-4 ft" } },
            "attachments": { "rim": { "file": "rim.png", "caption": "The <rim> in March", "shows": "/basins/pond" } } }"#;
        let (mut engine, library) = Engine::new();
        library.unwrap();
        let source = engine.sources.add("plan.jsonc", plan);
        let opened = engine.open(source, Vec::new()).unwrap();
        let review = engine.review(&opened, ReviewOptions::default());
        let drawn = drawings(&opened.plan, &opened.ledger, &review);
        let html = whole_review(&review, &drawn).into_string();
        assert!(html.contains("The &lt;rim&gt; in March: rim.png, of <code>/basins/pond</code>"));
        assert!(html.contains("named here and not shown") && !html.contains("<img"));
        // A plan without any says nothing of them.
        let plain = plan.replace("attachments", "x-attachments");
        let source = engine.sources.add("plain.jsonc", plain);
        let opened = engine.open(source, Vec::new()).unwrap();
        let review = engine.review(&opened, ReviewOptions::default());
        assert!(
            !whole_review(&review, &drawn)
                .into_string()
                .contains("Photographs")
        );
    }
}
