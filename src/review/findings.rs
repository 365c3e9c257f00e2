//! Findings: what falls short, grouped by the value of the plan that causes it, worst first.

use indexmap::IndexMap;

use super::{
    Accepted, Case, Finding, Value,
    acceptances::{Acceptances, Verdict},
    figure_lines::worked,
    words,
};
use crate::{
    read::Place,
    rules::{Judged, Outcome, Severity, Shortfall, Standing, Subject},
};

/// Every finding, numbered, and those that are accepted by name.
pub(super) fn all(
    case: &Case<'_>,
    judged: &[Judged<'_>],
    acceptances: &mut Acceptances<'_>,
) -> (Vec<Finding>, Vec<Accepted>) {
    let (mut open, mut accepted) = (Vec::new(), Vec::new());
    for judged in judged {
        let Outcome::FallsShort(shortfall) = &judged.outcome else {
            continue;
        };
        let mut finding = finding(case, judged, shortfall);
        match acceptances.verdict(judged.card, &judged.object, &shortfall.place) {
            Verdict::Open => open.push(finding),
            Verdict::Refused(note) => {
                finding.note = Some(note);
                open.push(finding);
            }
            Verdict::Accepted {
                reason,
                initials,
                until,
            } => accepted.push(Accepted {
                finding,
                reason,
                initials,
                until,
            }),
        }
    }
    (numbered(case, open), accepted)
}

fn finding(case: &Case<'_>, judged: &Judged<'_>, shortfall: &Shortfall) -> Finding {
    let card = judged.card;
    let pair = words::pair(&shortfall.standing, case.units);
    let (found_si, limit_si) = match &shortfall.standing {
        Standing::Measured { found, limit, .. } => (Some(*found), Some(*limit)),
        Standing::Said { .. } => (None, None),
    };
    let figure = match &card.asks.subject {
        Subject::Figure(definition) => case.ledger.get(&judged.object, definition.name),
        Subject::Field { .. } => None,
    };
    Finding {
        number: String::new(),
        rule: card.id.clone(),
        title: card.title.clone(),
        discipline: card.discipline.clone(),
        severity: card.severity,
        protects_people: card.protects_people,
        object: judged.object.clone(),
        place: shortfall.place.clone(),
        place_name: case.name(&shortfall.place),
        at: case.location(&shortfall.place),
        headline: words::headline(card, &shortfall.standing, case.units),
        found: Value {
            text: pair.found,
            si: found_si,
        },
        limit: Value {
            text: pair.limit,
            si: limit_si,
        },
        margin: pair.margin,
        worked: figure.map(|figure| worked(case, figure)).unwrap_or_default(),
        figure: figure.map(|figure| figure.definition.name.to_owned()),
        why: card.why.clone(),
        cure: card.cure.clone(),
        levers: card.levers.clone(),
        sources: card.sources.iter().map(crate::rules::Source::line).collect(),
        follows: None,
        note: None,
    }
}

/// Worst first; then what protects people; then the rule's id.
fn weight(finding: &Finding) -> (Severity, bool, &str, &Place) {
    (
        finding.severity,
        !finding.protects_people,
        &finding.rule,
        &finding.object,
    )
}

/// Groups findings by the value they point at, each group's worst as the cause, and numbers them.
fn numbered(case: &Case<'_>, findings: Vec<Finding>) -> Vec<Finding> {
    let mut groups: IndexMap<Place, Vec<Finding>> = IndexMap::new();
    for finding in findings {
        groups.entry(finding.place.clone()).or_default().push(finding);
    }
    for group in groups.values_mut() {
        group.sort_by(|a, b| weight(a).cmp(&weight(b)));
    }
    let mut groups: Vec<Vec<Finding>> = groups.into_values().collect();
    let order = |group: &Vec<Finding>| {
        group.first().map(|cause| {
            (
                cause.severity,
                !cause.protects_people,
                case.tree.span_of(&cause.place),
            )
        })
    };
    groups.sort_by_key(order);
    for (index, group) in groups.iter_mut().enumerate() {
        let cause = (index + 1).to_string();
        for (echo, finding) in group.iter_mut().enumerate() {
            if echo == 0 {
                finding.number.clone_from(&cause);
            } else {
                finding.number = format!("{cause}.{echo}");
                finding.follows = Some(cause.clone());
            }
        }
    }
    groups.into_iter().flatten().collect()
}
