//! Findings: what falls short, grouped by the value of the plan that causes it, worst first.

use std::{
    cell::LazyCell,
    collections::{HashMap, HashSet},
};

use indexmap::IndexMap;

use super::{
    Accepted, Finding, ReviewContext, Settled,
    acceptances::{Acceptances, Verdict},
    figure_lines::{compared, worked},
    words,
};
use crate::{
    plan::country,
    read::Place,
    rules::{Card, Judged, RuleOutcome, Severity, Shortfall, Subject},
};

/// Every finding, numbered, and those that are accepted by name.
pub(super) fn all(
    context: &ReviewContext<'_>,
    judged: &[Judged<'_>],
    settled: &[Settled],
    acceptances: &mut Acceptances<'_>,
) -> (Vec<Finding>, Vec<Accepted>) {
    let (mut open, mut accepted) = (Vec::new(), Vec::new());
    let settled: HashMap<(&str, &Place), &Settled> = settled
        .iter()
        .map(|settled| ((settled.rule.as_str(), &settled.object), settled))
        .collect();
    for judged in judged {
        let RuleOutcome::FallsShort(shortfall) = &judged.outcome else {
            continue;
        };
        let mut finding = finding(context, judged, shortfall);
        let waits = settled
            .get(&(judged.card.id.as_str(), &judged.object))
            .map(|settled| {
                let (value, range) = (&settled.place_name, &settled.range);
                format!("{value} is not shown; the rule is not met at any plausible value, {range}")
            });
        finding.note = waits.or(finding.note);
        match acceptances.verdict(judged.card, &judged.object, &shortfall.place) {
            Verdict::Open => open.push((finding, judged.card)),
            Verdict::Refused(note) => {
                finding.note = Some(note);
                open.push((finding, judged.card));
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
    (numbered(context, open), accepted)
}

fn finding(context: &ReviewContext<'_>, judged: &Judged<'_>, shortfall: &Shortfall) -> Finding {
    let card = judged.card;
    let pair = words::pair(&shortfall.standing, context.units);
    let place_name = context.name(&shortfall.place);
    let (found, limit) = words::values(&shortfall.standing, context.units);
    let figure = match &card.asks.subject {
        Subject::Figure(definition) => context.ledger.get(&judged.object, definition.name),
        Subject::Field { .. } => None,
    };
    let compared = figure.and_then(|figure| compared(context, figure));
    let brief = words::brief(card, &shortfall.standing, &pair, compared.as_deref());
    Finding {
        number: String::new(),
        rule: card.id.clone(),
        title: card.title.clone(),
        discipline: card.discipline.clone(),
        severity: judged.severity,
        protects_people: card.protects_people,
        object: judged.object.clone(),
        place: shortfall.place.clone(),
        at: context.location(&shortfall.place),
        headline: context.words(&words::headline(
            card,
            &shortfall.standing,
            &pair,
            &place_name,
            compared.as_deref(),
        )),
        brief: context.words(&brief),
        place_name,
        limit,
        found,
        margin: pair.margin,
        worked: figure.map(|figure| worked(context, figure)).unwrap_or_default(),
        figure: figure.map(|figure| figure.definition.name.to_owned()),
        why: context.words(&card.why),
        cure: context.words(&card.cure),
        levers: card.levers.iter().map(|lever| lever.words.clone()).collect(),
        cures: Vec::new(),
        sources: card.source_lines(country::of(context.plan)),
        follows: None,
        house: card.house.clone(),
        note: card.local.clone(),
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

/// Groups findings that come from one fault, the cause first, and numbers them. Findings that point at one value of
/// the plan are one fault; so is a finding whose rule says that it follows from another rule, where that one falls
/// short on something this one rests on. The first of a group is never milder than the others: a milder cause stands under the
/// worst of what follows from it.
fn numbered(context: &ReviewContext<'_>, findings: Vec<(Finding, &Card)>) -> Vec<Finding> {
    let mut of_rules: HashMap<&str, Vec<usize>> = HashMap::new();
    for (index, (_, card)) in findings.iter().enumerate() {
        of_rules.entry(&card.id).or_default().push(index);
    }
    let causes: Vec<Option<usize>> = (0..findings.len())
        .map(|index| cause(context, &findings, &of_rules, index))
        .collect();
    let follows_of: HashMap<String, &[String]> = findings
        .iter()
        .map(|(finding, card)| (finding.rule.clone(), card.follows.as_slice()))
        .collect();
    let mut groups: IndexMap<Place, Vec<(bool, Finding)>> = IndexMap::new();
    let tops: Vec<Place> = (0..findings.len())
        .map(|index| findings[top(&causes, index)].0.place.clone())
        .collect();
    for ((finding, _), (place, cause)) in findings.into_iter().zip(tops.into_iter().zip(&causes)) {
        groups.entry(place).or_default().push((cause.is_some(), finding));
    }
    for group in groups.values_mut() {
        group.sort_by(|(a_follows, a), (b_follows, b)| (a_follows, weight(a)).cmp(&(b_follows, weight(b))));
        let worst = group.iter().map(|(_, finding)| finding.severity).min();
        if group.first().map(|(_, finding)| finding.severity) != worst {
            let of_worst = |(_, finding): &(bool, Finding)| Some(finding.severity) == worst;
            // Of several, the one that the others follow from.
            let rules: Vec<String> = group
                .iter()
                .filter(|one| of_worst(one))
                .map(|(_, finding)| finding.rule.clone())
                .collect();
            let leads = |(_, finding): &(bool, Finding)| {
                let follows = follows_of.get(&finding.rule);
                !follows.is_some_and(|follows| follows.iter().any(|rule| rules.contains(rule)))
            };
            let first = group.iter().position(|one| of_worst(one) && leads(one));
            let first = first.or_else(|| group.iter().position(of_worst));
            group[..=first.unwrap_or(0)].rotate_right(1);
        }
    }
    let groups = groups.into_values();
    let groups = groups.map(|group| group.into_iter().map(|(_, finding)| finding).collect());
    in_order(context, groups.collect())
}

/// The findings of groups, the cause of each first: the worst group first, and numbered.
fn in_order(context: &ReviewContext<'_>, mut groups: Vec<Vec<Finding>>) -> Vec<Finding> {
    groups.sort_by_key(|group| {
        let worst = group
            .iter()
            .map(|finding| (finding.severity, !finding.protects_people))
            .min();
        (
            worst,
            group.first().map(|cause| context.tree.span_of(&cause.place)),
        )
    });
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

/// The finding that a finding follows from, by its rule's own word.
fn cause(
    context: &ReviewContext<'_>,
    findings: &[(Finding, &Card)],
    of_rules: &HashMap<&str, Vec<usize>>,
    index: usize,
) -> Option<usize> {
    let (finding, card) = findings.get(index)?;
    let limits = card.asks.bound.figures().map(|definition| definition.name);
    let names = finding.figure.as_deref().into_iter().chain(limits);
    let figures = names.filter_map(|name| context.ledger.get(&finding.object, name));
    // Every value that this one rests on, and every place that holds one.
    let behind = LazyCell::new(|| {
        let mut behind: HashSet<Place> = HashSet::new();
        for root in figures.flat_map(|figure| context.ledger.roots(figure)) {
            let mut at = Some(root);
            while let Some(place) = at {
                at = place.parent().filter(|_| !behind.contains(&place));
                behind.insert(place);
            }
        }
        behind
    });
    let related = |other: &Finding| {
        let whole_plan = Place::root();
        other.object == finding.object
            || other.place == finding.place
            || behind.contains(&other.place)
            || (other.object != whole_plan && behind.contains(&other.object))
    };
    card.follows.iter().find_map(|rule| {
        let others = of_rules.get(rule.as_str()).into_iter().flatten().copied();
        let mut others = others.filter(|other| related(&findings[*other].0));
        others.next().filter(|found| *found != index)
    })
}

/// The end of a chain of causes; a circle ends where it is entered.
fn top(causes: &[Option<usize>], start: usize) -> usize {
    let mut at = start;
    for _ in 0..causes.len() {
        match causes[at] {
            Some(cause) => at = cause,
            None => return at,
        }
    }
    start
}
