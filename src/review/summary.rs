//! The head of a review: what was reviewed, how many of what, coverage, recommended action.

use indexmap::{IndexMap, IndexSet};

use super::{
    Accepted, Action, Counts, Coverage, Finding, Question, Recommendation, ReviewContext, Sheet, Subject,
    Unjudged, case_report::Cases,
};
use crate::{
    plan::{Project, Shown, Work},
    rules::{Judged, RuleOutcome, Severity},
};

/// The title block of the plan, and the files.
pub(super) fn subject(
    context: &ReviewContext<'_>,
    file: &str,
    patches: Vec<String>,
    sheets: Vec<Sheet>,
) -> Subject {
    let project = context.plan.project.value().cloned().unwrap_or_default();
    let name = project.name.value().cloned().unwrap_or_else(|| file.to_owned());
    Subject {
        file: file.to_owned(),
        patches,
        units: context.units,
        title_block: title_block(&project, context),
        name,
        revision: project.revision.value().cloned(),
        review: 1,
        sheets,
    }
}

fn title_block(project: &Project, context: &ReviewContext<'_>) -> Vec<(String, String)> {
    let text = |shown: &Shown<String>| shown.value().cloned();
    let work = project.work.value().map(|work| match work {
        Work::New => "new work".to_owned(),
        Work::Retrofit => "retrofit".to_owned(),
    });
    let benchmark = context
        .plan
        .benchmark
        .value()
        .and_then(|benchmark| text(&benchmark.mark));
    [
        ("project", text(&project.name)),
        ("project number", text(&project.number)),
        ("place", text(&project.place)),
        ("work", work),
        ("client", text(&project.client)),
        ("designer", text(&project.designer)),
        ("reviewer", text(&project.reviewer)),
        ("firm", text(&project.firm)),
        ("license", text(&project.license)),
        ("revision", text(&project.revision)),
        ("date of the plan", project.date.value().map(ToString::to_string)),
        ("date of the review", context.date.map(|date| date.to_string())),
        ("received", project.received.value().map(ToString::to_string)),
        ("answers due", project.due.value().map(ToString::to_string)),
        ("benchmark", benchmark),
    ]
    .into_iter()
    .filter_map(|(label, value)| Some((label.to_owned(), value?)))
    .collect()
}

/// How many of what.
pub(super) fn counts(findings: &[Finding], questions: &[Question], accepted: usize) -> Counts {
    let of = |severity| {
        findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    Counts {
        stop: of(Severity::Stop),
        revise: of(Severity::Revise),
        advise: of(Severity::Advise),
        faults: findings
            .iter()
            .filter(|finding| finding.follows.is_none())
            .count(),
        questions: questions.len(),
        stop_questions: questions
            .iter()
            .filter(|question| question.severity == Severity::Stop)
            .count(),
        accepted,
    }
}

/// Outcomes counted in all and by discipline.
pub(super) fn coverage(judged: &[Judged<'_>], accepted: &[Accepted]) -> Vec<Coverage> {
    let mut rows: IndexMap<&str, Coverage> = IndexMap::new();
    for judged in judged {
        for discipline in ["all", judged.card.discipline.as_str()] {
            let row = rows.entry(discipline).or_default();
            discipline.clone_into(&mut row.discipline);
            match &judged.outcome {
                RuleOutcome::Meets(_) => row.met += 1,
                RuleOutcome::FallsShort(_) => row.short += 1,
                RuleOutcome::NotShown(_) => row.not_shown += 1,
                RuleOutcome::NotComputed(_) => row.unjudged += 1,
                RuleOutcome::DoesNotApply => row.not_applicable += 1,
            }
        }
    }
    for accepted in accepted {
        for discipline in ["all", accepted.finding.discipline.as_str()] {
            if let Some(row) = rows.get_mut(discipline) {
                row.short -= 1;
                row.accepted += 1;
            }
        }
    }
    rows.into_values().collect()
}

/// The recommended action: the worst place decides.
pub(super) fn recommend(counts: &Counts, unjudged: &[Unjudged]) -> Recommendation {
    let unjudged_stop = unjudged
        .iter()
        .filter(|unjudged| unjudged.severity == Severity::Stop)
        .count();
    let mut reasons = Vec::new();
    let mut reason = |count: usize, one: &str, many: &str| {
        if count > 0 {
            reasons.push(format!("{count} {}", if count == 1 { one } else { many }));
        }
    };
    reason(counts.stop, "stop finding", "stop findings");
    reason(counts.revise, "revise finding", "revise findings");
    reason(
        counts.stop_questions,
        "question on a stop rule",
        "questions on stop rules",
    );
    reason(
        unjudged_stop,
        "stop rule that could not be evaluated",
        "stop rules that could not be evaluated",
    );
    if !reasons.is_empty() {
        return recommendation(Action::ReviseAndResubmit, &reasons);
    }
    let mut reason = |count: usize, one: &str, many: &str| {
        if count > 0 {
            reasons.push(format!("{count} {}", if count == 1 { one } else { many }));
        }
    };
    reason(counts.advise, "suggestion", "suggestions");
    reason(counts.questions, "minor question", "minor questions");
    reason(
        unjudged.len(),
        "rule that could not be evaluated",
        "rules that could not be evaluated",
    );
    if let ([only], Some(told)) = (unjudged, reasons.last_mut()) {
        told.push_str(&format!(" ({} at {})", only.rule, only.object_name));
    }
    if reasons.is_empty() {
        recommendation(
            Action::NoExceptionsTaken,
            &["no findings and no open questions".to_owned()],
        )
    } else {
        recommendation(Action::FurnishAsCorrected, &reasons)
    }
}

fn recommendation(action: Action, reasons: &[String]) -> Recommendation {
    let (words, meaning) = match action {
        Action::NoExceptionsTaken => (
            "no exceptions taken",
            "No faults were found in the data shown. The designer remains responsible for the design.",
        ),
        Action::FurnishAsCorrected => (
            "furnish as corrected",
            "Only suggestions, minor questions or rules that could not be evaluated are open. Work may proceed \
            once they are answered on the plan.",
        ),
        Action::ReviseAndResubmit => (
            "revise and resubmit",
            "Do not dig, fill or energize from this plan. Resolve every finding, answer every question and \
            resubmit.",
        ),
    };
    Recommendation {
        action,
        words,
        meaning,
        because: reasons.join(", "),
    }
}

/// The sources of every rule that applied, each once, in the cards' order.
pub(super) fn sources(judged: &[Judged<'_>]) -> Vec<String> {
    let applied = judged
        .iter()
        .filter(|judged| !matches!(judged.outcome, RuleOutcome::DoesNotApply));
    let published = applied
        .flat_map(|judged| &judged.card.sources)
        .filter(|source| source.kind == "published");
    let lines: IndexSet<String> = published.map(crate::rules::Source::line).collect();
    lines.into_iter().collect()
}

/// The published codes that the rules that applied rest on, each once with its edition where one was named.
pub(super) fn codes(judged: &[Judged<'_>]) -> Vec<String> {
    let applied = judged
        .iter()
        .filter(|judged| !matches!(judged.outcome, RuleOutcome::DoesNotApply));
    let codes = applied
        .flat_map(|judged| &judged.card.sources)
        .filter(|source| source.code);
    let named: IndexSet<String> = codes.map(crate::rules::Source::name_and_edition).collect();
    named.into_iter().collect()
}

/// Consequences that are told at most.
const MOST_CONSEQUENCES: usize = 3;

/// What happens if the work is built so, in plain words: why the worst findings matter, and what the worst case spills.
pub(super) fn consequences(findings: &[Finding], cases: Option<&Cases>) -> Vec<String> {
    let worst = findings.iter().map(|finding| finding.severity).min();
    let worst = worst.filter(|severity| *severity != Severity::Advise);
    let reasons: IndexSet<String> = findings
        .iter()
        .filter(|finding| Some(finding.severity) == worst && finding.follows.is_none())
        .map(|finding| first_sentence(&finding.why).to_owned())
        .collect();
    let mut told: Vec<String> = reasons.into_iter().take(MOST_CONSEQUENCES).collect();
    let case = cases
        .and_then(|cases| cases.worst.as_ref())
        .map(|worst| &worst.case);
    if let Some(case) = case.filter(|_| worst.is_some()) {
        let spilled = case.basins.iter().filter_map(|basin| {
            let over = basin.over_rim.as_ref()?;
            Some(format!("{} over the rim of {}", over.text, basin.object_name))
        });
        let spilled: Vec<String> = spilled.collect();
        if !spilled.is_empty() {
            told.push(format!(
                "In the worst case ({}): {}.",
                case.title,
                spilled.join(", ")
            ));
        }
    }
    told
}

/// The first sentence of a text, with its stop.
fn first_sentence(text: &str) -> &str {
    text.split_inclusive(". ").next().unwrap_or(text).trim_end()
}
