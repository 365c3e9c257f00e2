//! The changes that close a review: found by trying the levers of what falls short, alone and then together, and verified
//! by a review of the plan under all of them.

mod candidates;
mod cover;
mod objective;
mod pairs;
mod report;
mod words;

use std::{
    cell::RefCell,
    collections::{HashMap, HashSet},
    rc::Rc,
};

use super::{
    Finding, ReviewContext,
    allowance::Allowance,
    conclude::{Concluded, conclude},
    cures::{CureSearch, Margins},
    trial::{ChangedPlan, SeriousRules, ValueChange, is_serious},
};
use crate::{
    check::check,
    plan,
    read::Place,
    rules::{Judged, Library, RuleOutcome, Severity, judge},
};
use candidates::Candidate;
pub(super) use candidates::candidates;
use cover::{Choice, cheapest};
use objective::{DECISION, OBJECTIVES, Objective};
pub use report::{ChangeSet, Closing, ClosingChange};
use words::{patch, said, said_at, summary};

/// Rounds of changes: what the changes of one round bring about, the next one closes.
const ROUNDS: usize = 4;
/// Findings that are closed together at most; the rest is closed in the next round.
const TOGETHER: usize = 60;
/// Trials that the changes for a finding take, about.
const TRIALS_EACH: usize = 8;

/// A rule at an object.
type Identity = (String, Place);

fn identity(judged: &Judged<'_>) -> Identity {
    (judged.card.id.clone(), judged.object.clone())
}

/// Every single change that is tried on what falls short to stop for or to revise, and closes something.
pub fn tried_changes(context: &ReviewContext<'_>, library: &Library) -> Vec<ValueChange> {
    let rules = SeriousRules::over(context, library);
    let margins = Margins::default();
    let works = Works::of(context, library, &rules, &margins, &conclude(context, library));
    let pool = works.pool(context, &works.short(context));
    pool.into_iter().map(|tried| tried.candidate.change).collect()
}

/// Works out the sets of changes that close a review; tells in `untried` where a large plan takes more trials than it may.
pub(super) fn work_out(
    context: &ReviewContext<'_>,
    library: &Library,
    rules: &SeriousRules<'_>,
    margins: &Margins,
    concluded: &Concluded<'_>,
    untried: &mut Vec<String>,
) -> Closing {
    let open = |finding: &Finding| finding.severity != Severity::Advise;
    if !concluded.findings.iter().any(open) {
        return Closing::default();
    }
    let works = Works::of(context, library, rules, margins, concluded);
    let mut short = works.short(context);
    // In the order in which they are printed.
    let printed: HashMap<(&str, &Place), usize> = concluded
        .findings
        .iter()
        .map(|finding| (finding.rule.as_str(), &finding.object))
        .zip(0..)
        .collect();
    short.sort_by_key(|judged| printed.get(&(judged.card.id.as_str(), &judged.object)).copied());
    let pool = works.pool(context, &short);
    let mut sets: Vec<ChangeSet> = Vec::new();
    for objective in &OBJECTIVES {
        let chosen = works.chosen(objective, &pool, &short);
        let changes: Vec<&ValueChange> = chosen.iter().map(|candidate| &candidate.change).collect();
        let patch = patch(&changes);
        if chosen.is_empty() || sets.iter().any(|known| known.patch == patch) {
            continue;
        }
        let set = works.set(objective, &chosen, patch, concluded);
        let worse = sets
            .first()
            .is_some_and(|first| first.left.len() < set.left.len());
        if !worse {
            sets.push(set);
        }
    }
    if sets.is_empty() {
        // Nothing helps: what stays is told, with the reason.
        sets.push(works.set(&OBJECTIVES[0], &[], patch(&[]), concluded));
    }
    if works.allowance.left() == 0 {
        untried.push("further changes that may close the review".to_owned());
    }
    Closing { sets }
}

/// A change that was tried alone.
#[derive(Clone)]
struct TriedChange<'c> {
    candidate: Candidate<'c>,
    /// What it closes, one bit for each of those that fell short.
    closes: u64,
    /// How many rules fall short then that did not before.
    breaks: usize,
}

impl TriedChange<'_> {
    /// What it costs by an objective: what a change breaks takes at least another one.
    fn cost(&self, objective: &Objective) -> u64 {
        let lever = self.candidate.lever;
        let decision = if lever.decision.is_some() { DECISION - 1 } else { 0 };
        (objective.cost)(lever.effort) * (1 + self.breaks as u64 + decision)
    }
}

struct Works<'a> {
    context: &'a ReviewContext<'a>,
    library: &'a Library,
    rules: &'a SeriousRules<'a>,
    margins: &'a Margins,
    accepted: HashSet<Identity>,
    allowance: Allowance,
    /// What falls short under changes, and what may close it then: the objectives often come to the same changes.
    known: RefCell<Vec<Under<Option<Vec<Judged<'a>>>>>>,
    pools: RefCell<Vec<Under<Vec<TriedChange<'a>>>>>,
}

/// What changes came to.
type Under<T> = (Vec<ValueChange>, Rc<T>);

/// What is known of changes, worked out where it is not yet.
fn known_or<T>(
    known: &RefCell<Vec<Under<T>>>,
    changes: Vec<ValueChange>,
    work_out: impl FnOnce() -> T,
) -> Rc<T> {
    if let Some((_, found)) = known.borrow().iter().find(|(of, _)| *of == changes) {
        return Rc::clone(found);
    }
    let found = Rc::new(work_out());
    known.borrow_mut().push((changes, Rc::clone(&found)));
    found
}

fn changes_of(chosen: &[Candidate<'_>]) -> Vec<ValueChange> {
    chosen.iter().map(|candidate| candidate.change.clone()).collect()
}

impl<'a> Works<'a> {
    fn of(
        context: &'a ReviewContext<'a>,
        library: &'a Library,
        rules: &'a SeriousRules<'a>,
        margins: &'a Margins,
        concluded: &Concluded<'_>,
    ) -> Self {
        let accepted = concluded.accepted.iter();
        Self {
            context,
            library,
            rules,
            margins,
            accepted: accepted
                .map(|accepted| (accepted.finding.rule.clone(), accepted.finding.object.clone()))
                .collect(),
            allowance: Allowance::of(context.ledger),
            known: RefCell::default(),
            pools: RefCell::default(),
        }
    }

    /// What falls short over a plan, to stop for or to revise.
    fn short(&self, context: &ReviewContext<'_>) -> Vec<Judged<'a>> {
        let judged = judge(
            self.rules.cards.iter().copied(),
            &context.tree.root,
            context.ledger,
        );
        let short = judged.into_iter().filter(|judged| self.is_open(judged));
        short.collect()
    }

    fn is_open(&self, judged: &Judged<'_>) -> bool {
        is_serious(judged) && !self.accepted.contains(&identity(judged))
    }

    /// Every change that closes something of what falls short, each tried alone.
    fn pool(&self, context: &ReviewContext<'_>, short: &[Judged<'a>]) -> Vec<TriedChange<'a>> {
        let (first, _) = self.allowance.first_of(short, TRIALS_EACH);
        let together = &first[..first.len().min(TOGETHER)];
        let mut search = CureSearch::new(context, &self.library.cards, together, &self.allowance);
        // Of the plan as it is, others may have worked out the same.
        if std::ptr::eq(context.plan, self.context.plan) {
            search = search.keeping(self.margins);
        }
        let mut pool: Vec<TriedChange<'a>> = Vec::new();
        for (own, judged) in together.iter().enumerate() {
            for row in candidates(&search, judged) {
                for candidate in row {
                    let change = &candidate.change;
                    let known = pool.iter().position(|known| known.candidate.change == *change);
                    let index = known.or_else(|| {
                        pool.push(self.tried(context, together, candidate)?);
                        Some(pool.len() - 1)
                    });
                    let is_enough =
                        |tried: &TriedChange<'_>| tried.closes & (1 << own) != 0 && tried.breaks == 0;
                    if index.is_some_and(|index| is_enough(&pool[index])) {
                        break;
                    }
                }
            }
        }
        pool
    }

    fn tried(
        &self,
        context: &ReviewContext<'_>,
        short: &[Judged<'a>],
        candidate: Candidate<'a>,
    ) -> Option<TriedChange<'a>> {
        if !words::can_be_patched(context, &candidate.change.place) || !self.allowance.take() {
            return None;
        }
        let tried = self
            .rules
            .tried(&context.start(), std::slice::from_ref(&candidate.change))?;
        let after: HashSet<(&str, &Place)> = tried
            .iter()
            .filter(|judged| self.is_open(judged))
            .map(|judged| (judged.card.id.as_str(), &judged.object))
            .collect();
        let stays = |judged: &Judged<'_>| after.contains(&(judged.card.id.as_str(), &judged.object));
        let bits = short.iter().enumerate().filter(|(_, judged)| !stays(judged));
        let closes = bits.fold(0, |bits, (index, _)| bits | 1 << index);
        let before = short.iter().filter(|judged| stays(judged)).count();
        (closes != 0).then(|| TriedChange {
            candidate,
            closes,
            breaks: after.len() - before,
        })
    }

    /// The changes chosen by an objective, round by round, without those that turn out not to be needed.
    fn chosen(
        &self,
        objective: &Objective,
        pool: &[TriedChange<'a>],
        short: &[Judged<'a>],
    ) -> Vec<Candidate<'a>> {
        let mut chosen: Vec<Candidate<'a>> = Vec::new();
        // What the rounds came to at their best, and how much that left open.
        let mut best: (usize, Vec<Candidate<'a>>) = (short.len(), Vec::new());
        let mut seen: Vec<Vec<Identity>> = vec![short.iter().map(identity).collect()];
        let mut next = cover(objective, pool, short.len());
        for _ in 0..ROUNDS {
            if next.is_empty() {
                break;
            }
            for candidate in next {
                // A value that was set before is set anew.
                chosen.retain(|known| known.change.place != candidate.change.place);
                chosen.push(candidate);
            }
            let under = self.short_under(&chosen);
            let Some(short) = under.as_ref() else {
                break;
            };
            if short.len() < best.0 {
                best = (short.len(), chosen.clone());
            }
            let identities: Vec<Identity> = short.iter().map(identity).collect();
            // What comes back to where it was goes round in a circle.
            if short.is_empty() || seen.contains(&identities) {
                break;
            }
            seen.push(identities);
            next = cover(objective, &self.pool_under(&chosen, short), short.len());
        }
        let chosen = self.pruned(best.1);
        if objective.few && (chosen.len() > 2 || !self.closes_all(&chosen)) {
            return self.pair(objective, pool, short).unwrap_or(chosen);
        }
        chosen
    }

    /// Whether nothing falls short under changes.
    fn closes_all(&self, chosen: &[Candidate<'a>]) -> bool {
        let under = self.short_under(chosen);
        under.as_ref().as_ref().is_some_and(Vec::is_empty)
    }

    /// The changes without which as little stays open.
    fn pruned(&self, mut chosen: Vec<Candidate<'a>>) -> Vec<Candidate<'a>> {
        let open = |chosen: &[Candidate<'a>]| self.short_under(chosen).as_ref().as_ref().map(Vec::len);
        let Some(least) = open(&chosen).filter(|_| !chosen.is_empty()) else {
            return chosen;
        };
        let mut index = chosen.len();
        while index > 0 && chosen.len() > 1 {
            index -= 1;
            let mut without = chosen.clone();
            without.remove(index);
            if open(&without).is_some_and(|open| open <= least) {
                chosen = without;
            }
        }
        chosen
    }

    fn under(&self, chosen: &[Candidate<'a>]) -> Option<ChangedPlan> {
        self.context.start().changed(&changes_of(chosen), None)
    }

    /// What falls short under changes; none where the plan can't be reviewed then.
    fn short_under(&self, chosen: &[Candidate<'a>]) -> Rc<Option<Vec<Judged<'a>>>> {
        known_or(&self.known, changes_of(chosen), || {
            let changed = self.under(chosen).filter(ChangedPlan::is_sound)?;
            Some(self.short(&changed.context(self.context)))
        })
    }

    /// The changes that close something of what falls short under others.
    fn pool_under(&self, chosen: &[Candidate<'a>], short: &[Judged<'a>]) -> Rc<Vec<TriedChange<'a>>> {
        known_or(&self.pools, changes_of(chosen), || {
            let changed = self.under(chosen);
            changed.map_or_else(Vec::new, |changed| {
                self.pool(&changed.context(self.context), short)
            })
        })
    }

    /// The set as it is printed: what each change closes as they are made in order, and the review after all of them.
    fn set(
        &self,
        objective: &Objective,
        chosen: &[Candidate<'a>],
        patch: serde_json::Value,
        concluded: &Concluded<'_>,
    ) -> ChangeSet {
        let numbered = |finding: &Finding| {
            let identity = (finding.rule.clone(), finding.object.clone());
            (identity, finding.number.clone())
        };
        let mut open: Vec<(Identity, String)> = concluded.findings.iter().map(numbered).collect();
        let mut changes = Vec::new();
        for (index, candidate) in chosen.iter().enumerate() {
            let mut closes = Vec::new();
            if let Some(changed) = self.under(&chosen[..=index]) {
                let judged = changed.judged(&self.library.cards);
                let short: HashSet<Identity> = judged
                    .iter()
                    .filter(|judged| matches!(judged.outcome, RuleOutcome::FallsShort(_)))
                    .map(identity)
                    .collect();
                open.retain(|(identity, number)| {
                    let stays = short.contains(identity);
                    if !stays {
                        closes.push(number.clone());
                    }
                    stays
                });
            }
            changes.push(self.change(candidate, closes));
        }
        let set = ChangeSet {
            name: objective.name,
            patch,
            changes,
            left: Vec::new(),
            stop: 0,
            revise: 0,
            questions: 0,
            summary: String::new(),
        };
        self.verified(set, chosen)
    }

    /// A set of changes with what a review of the plan under all of them says.
    fn verified(&self, mut set: ChangeSet, chosen: &[Candidate<'a>]) -> ChangeSet {
        let Some(changed) = self.under(chosen) else {
            set.left.push("the changes together can’t be read".to_owned());
            return set;
        };
        let refused = check(plan::schema(), &changed.tree.root);
        set.left
            .extend(refused.into_iter().map(|problem| problem.message));
        let context = changed.context(self.context);
        let after = conclude(&context, self.library);
        let left = after
            .findings
            .iter()
            .filter(|finding| finding.severity != Severity::Advise);
        set.left.extend(left.map(|finding| {
            let (rule, place) = (&finding.rule, &finding.place_name);
            let withheld = self.library.card(rule).map(|card| card.withheld.as_slice());
            let house = match withheld {
                None | Some([]) => String::new(),
                Some(withheld) => format!("; the house does not offer: {}", withheld.join(", ")),
            };
            format!("{rule} at {place}: no lever that was tried closes it{house}")
        }));
        for change in &mut set.changes {
            words::tell_duty_point(&context, change);
        }
        (set.stop, set.revise) = (after.counts.stop, after.counts.revise);
        set.questions = after.counts.questions;
        set.summary = summary(&set);
        set
    }

    fn change(&self, candidate: &Candidate<'a>, closes: Vec<String>) -> ClosingChange {
        let ValueChange { place, value } = &candidate.change;
        ClosingChange {
            what: self.context.words(&candidate.lever.words),
            place: place.clone(),
            place_name: self.context.name(place),
            before: said_at(self.context, place, value),
            after: said(self.context, place, value),
            effort: candidate.lever.effort,
            decision: candidate.lever.decision.clone(),
            closes,
            set: crate::read::written_assignment(place, value),
        }
    }
}

/// The changes of a pool that close what falls short at least cost, in the order of what they close.
fn cover<'a>(objective: &Objective, pool: &[TriedChange<'a>], short: usize) -> Vec<Candidate<'a>> {
    let allowed: Vec<&TriedChange<'a>> = pool
        .iter()
        .filter(|tried| (objective.allows)(tried.candidate.lever.effort))
        .collect();
    let group = |tried: &TriedChange<'a>| {
        let same = |other: &&TriedChange<'a>| other.candidate.change.place == tried.candidate.change.place;
        allowed.iter().position(same).unwrap_or_default()
    };
    let choices: Vec<Choice> = allowed
        .iter()
        .map(|tried| Choice {
            closes: tried.closes,
            cost: tried.cost(objective),
            group: group(tried),
        })
        .collect();
    let all = (0..short.min(TOGETHER)).fold(0, |bits, index| bits | 1 << index);
    let mut chosen: Vec<&TriedChange<'a>> = cheapest(&choices, all)
        .into_iter()
        .map(|index| allowed[index])
        .collect();
    chosen.sort_by_key(|tried| tried.closes.trailing_zeros());
    chosen.into_iter().map(|tried| tried.candidate.clone()).collect()
}
