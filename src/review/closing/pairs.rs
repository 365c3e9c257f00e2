//! Two changes that only close everything together: what the first one breaks, the second one closes.

use super::{Candidate, TriedChange, Works, objective::Objective};
use crate::rules::Judged;

/// First changes that are followed, at most: those that leave the least.
const FIRSTS: usize = 8;

impl<'a> Works<'a> {
    /// The cheapest two changes that close everything, as far as they were looked for.
    pub(super) fn pair(
        &self,
        objective: &Objective,
        pool: &[TriedChange<'a>],
        short: &[Judged<'a>],
    ) -> Option<Vec<Candidate<'a>>> {
        let allowed = |tried: &&TriedChange<'a>| (objective.allows)(tried.candidate.lever.effort);
        let closed = |tried: &TriedChange<'a>| tried.closes.count_ones() as usize;
        let left = |tried: &TriedChange<'a>| short.len() - closed(tried) + tried.breaks;
        // One more change closes no more than the best of them does, about.
        let most = pool.iter().map(closed).max()? + 1;
        let mut firsts: Vec<&TriedChange<'a>> = pool.iter().filter(allowed).collect();
        firsts.retain(|tried| left(tried) <= most);
        firsts.sort_by_key(|tried| (left(tried), tried.cost(objective)));
        let pairs = firsts.into_iter().take(FIRSTS).filter_map(|first| {
            let chosen = [first.candidate.clone()];
            let under = self.short_under(&chosen);
            let open = under.as_ref().as_ref()?;
            let seconds = self.pool_under(&chosen, open);
            let all = (0..open.len().min(u64::BITS as usize - 1)).fold(0, |bits, index| bits | 1 << index);
            let second = seconds
                .iter()
                .filter(|tried| allowed(tried) && tried.closes == all && tried.breaks == 0)
                .filter(|tried| tried.candidate.change.place != first.candidate.change.place)
                .min_by_key(|tried| tried.cost(objective))?;
            let alone = (objective.cost)(first.candidate.lever.effort);
            let pair = vec![first.candidate.clone(), second.candidate.clone()];
            Some((alone + second.cost(objective), pair))
        });
        pairs.min_by_key(|(cost, _)| *cost).map(|(_, pair)| pair)
    }
}
