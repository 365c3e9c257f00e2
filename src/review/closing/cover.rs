//! The cheapest choice of changes that together close every finding.

/// A change as the choice sees it.
pub(super) struct Choice {
    /// The findings that it closes, one bit each.
    pub closes: u64,
    /// What it costs.
    pub cost: u64,
    /// Changes of one group exclude each other: they set the same value.
    pub group: usize,
}

/// Steps that the search takes, at most; the best choice so far is given then.
const STEPS: usize = 50_000;

/// The cheapest options, by index, that close as many of `all` as any do; the first of equals.
pub(super) fn cheapest(options: &[Choice], all: u64) -> Vec<usize> {
    let can: u64 = options.iter().fold(0, |can, option| can | option.closes);
    let mut search = CoverSearch {
        options,
        best: None,
        steps: 0,
    };
    search.go(all & can, 0, &mut Vec::new());
    let mut chosen = search.best.map(|(_, chosen)| chosen).unwrap_or_default();
    chosen.sort_unstable();
    chosen
}

struct CoverSearch<'o> {
    options: &'o [Choice],
    best: Option<(u64, Vec<usize>)>,
    steps: usize,
}

impl CoverSearch<'_> {
    /// Branches over the options of the open finding that has the fewest.
    fn go(&mut self, open: u64, cost: u64, chosen: &mut Vec<usize>) {
        self.steps += 1;
        if self.steps > STEPS || self.best.as_ref().is_some_and(|(best, _)| *best <= cost) {
            return;
        }
        if open == 0 {
            self.best = Some((cost, chosen.clone()));
            return;
        }
        let of = |bit: u32| {
            let free = |index: &usize| {
                let option = &self.options[*index];
                option.closes & (1 << bit) != 0
                    && chosen
                        .iter()
                        .all(|other| self.options[*other].group != option.group)
            };
            (0..self.options.len()).filter(free).collect::<Vec<usize>>()
        };
        let bits = (0..u64::BITS).filter(|bit| open & (1 << bit) != 0);
        let Some(mut branches) = bits.map(of).min_by_key(Vec::len) else {
            return;
        };
        branches.sort_by_key(|index| {
            let option = &self.options[*index];
            (
                option.cost / u64::from((option.closes & open).count_ones()).max(1),
                *index,
            )
        });
        for index in branches {
            let option = &self.options[index];
            let (closes, more) = (option.closes, option.cost);
            chosen.push(index);
            self.go(open & !closes, cost + more, chosen);
            chosen.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Choice, cheapest};

    fn option(closes: u64, cost: u64, group: usize) -> Choice {
        Choice { closes, cost, group }
    }

    /// Every subset is weighed: none that closes as much costs less.
    #[test]
    fn no_subset_is_cheaper() {
        let mut seed = 7_u64;
        let mut next = |below: u64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % below
        };
        for _ in 0..300 {
            let count = 3 + next(7) as usize;
            let options: Vec<Choice> = (0..count)
                .map(|index| option(1 + next(31), 1 + next(9), index / 2))
                .collect();
            let closed = |chosen: &[usize]| chosen.iter().fold(0, |all, index| all | options[*index].closes);
            let cost = |chosen: &[usize]| chosen.iter().map(|index| options[*index].cost).sum::<u64>();
            let apart = |chosen: &[usize]| {
                let mut groups: Vec<usize> = chosen.iter().map(|index| options[*index].group).collect();
                groups.dedup();
                groups.len() == chosen.len()
            };
            let subsets = (0..1_usize << count).map(|mask| {
                (0..count)
                    .filter(|index| mask & (1 << index) != 0)
                    .collect::<Vec<usize>>()
            });
            let best = subsets
                .filter(|chosen| apart(chosen) && closed(chosen) == 31)
                .map(|chosen| cost(&chosen))
                .min();
            let Some(best) = best else { continue };
            let chosen = cheapest(&options, 31);
            assert_eq!((closed(&chosen), cost(&chosen)), (31, best));
            assert!(apart(&chosen));
        }
    }

    #[test]
    fn what_nothing_closes_stays() {
        assert_eq!(cheapest(&[option(0b01, 1, 0), option(0b01, 2, 1)], 0b11), [0]);
        assert!(cheapest(&[], 0b1).is_empty());
    }
}
