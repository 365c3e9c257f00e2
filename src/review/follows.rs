//! Whether what is grouped under a finding follows from it: a change that closes the finding is tried, and what it leaves
//! open stands on its own.

use std::collections::{HashMap, HashSet};

use super::{
    Finding, ReviewContext,
    allowance::Allowance,
    closing::candidates,
    conclude::Concluded,
    cures::{CureSearch, Margins},
    findings::in_order,
    trial::{ChangedPlan, is_short},
};
use crate::{
    read::Place,
    rules::{Judged, Library},
};

/// Changes that are tried for a group, at most.
const CHANGES: usize = 12;
/// Trials that a group takes, about: a change is searched for before it is tried.
const TRIALS_EACH: usize = 60;

type Identity<'f> = (&'f str, &'f Place);

fn identity(finding: &Finding) -> Identity<'_> {
    (finding.rule.as_str(), &finding.object)
}

/// Tries every group of findings: what no change closes together with its cause is put into a group of its own. Gives how
/// many groups of a large plan were left as they are.
pub(super) fn tried(
    context: &ReviewContext<'_>,
    library: &Library,
    margins: &Margins,
    concluded: &mut Concluded<'_>,
) -> usize {
    let allowance = Allowance::of(context.ledger);
    let search = CureSearch::new(context, &library.cards, &concluded.judged, &allowance).keeping(margins);
    let short: HashMap<Identity<'_>, &Judged<'_>> = concluded
        .judged
        .iter()
        .filter(|judged| is_short(judged))
        .map(|judged| ((judged.card.id.as_str(), &judged.object), judged))
        .collect();
    let mut left = 0;
    let mut groups: Vec<Vec<Finding>> = Vec::new();
    for finding in std::mem::take(&mut concluded.findings) {
        match groups.last_mut().filter(|_| finding.follows.is_some()) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    let mut apart: Vec<Vec<Finding>> = Vec::new();
    for group in groups {
        if group.len() == 1 {
            apart.push(group);
        } else if allowance.left() < TRIALS_EACH {
            left += 1;
            apart.push(group);
        } else {
            let follow = following(context, library, &search, &short, &group);
            let (together, alone): (Vec<(usize, Finding)>, Vec<_>) = group
                .into_iter()
                .enumerate()
                .partition(|(index, _)| *index == 0 || follow.contains(index));
            apart.push(together.into_iter().map(|(_, finding)| finding).collect());
            apart.extend(alone.into_iter().map(|(_, finding)| vec![finding]));
        }
    }
    concluded.findings = in_order(context, apart);
    left
}

/// The positions of those of a group that some change closes together with the first.
fn following(
    context: &ReviewContext<'_>,
    library: &Library,
    search: &CureSearch<'_>,
    short: &HashMap<Identity<'_>, &Judged<'_>>,
    group: &[Finding],
) -> HashSet<usize> {
    let mut follow = HashSet::new();
    let mut seen = Vec::new();
    // The levers of the cause first; a setting that also closes what follows may be one of that finding's own.
    for finding in group {
        let Some(judged) = short.get(&identity(finding)) else {
            continue;
        };
        for candidate in candidates(search, judged).into_iter().flatten() {
            if follow.len() + 1 == group.len() || seen.len() >= CHANGES {
                return follow;
            }
            if seen.contains(&candidate.change) {
                continue;
            }
            let trial = context
                .start()
                .changed(std::slice::from_ref(&candidate.change), None);
            seen.push(candidate.change);
            let Some(trial) = trial.filter(ChangedPlan::is_sound) else {
                continue;
            };
            let after = trial.judged(&library.cards);
            let open: HashSet<Identity<'_>> = after
                .iter()
                .filter(|judged| is_short(judged))
                .map(|judged| (judged.card.id.as_str(), &judged.object))
                .collect();
            if group
                .first()
                .is_some_and(|cause| !open.contains(&identity(cause)))
            {
                let closed = group.iter().enumerate().skip(1);
                let closed = closed.filter(|(_, finding)| !open.contains(&identity(finding)));
                follow.extend(closed.map(|(index, _)| index));
            }
        }
    }
    follow
}
