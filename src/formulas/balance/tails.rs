//! What drains away asymptotically: films over crests and water left in streams, settled at once.

use super::{Balance, Law, Store};
use crate::formulas::gravity_pipe::Mouth;

/// Rounds of settling, for water that runs from store to store.
const ROUNDS: usize = 32;
/// Water that is not worth moving, m³.
const NOTHING: f64 = 1e-15;

/// Moves what still stands over crests and lips, and in streams, to where it is on its way to. `moved` is called with
/// each way and what passes it.
pub(super) fn settle(balance: &Balance<'_>, volumes: &mut [f64], mut moved: impl FnMut(usize, f64)) {
    for _ in 0..ROUNDS {
        let mut any = false;
        for (index, way) in balance.ways.iter().enumerate() {
            let surplus = surplus(balance, index, volumes);
            if surplus > NOTHING {
                volumes[way.from] -= surplus;
                volumes[way.to] += surplus;
                moved(index, surplus);
                any = true;
            }
        }
        if !any {
            return;
        }
    }
}

/// Water that a way will take once nothing else moves, m³.
fn surplus(balance: &Balance<'_>, index: usize, volumes: &[f64]) -> f64 {
    let way = &balance.ways[index];
    let volume = volumes[way.from];
    if let Law::Runoff(_) = way.law {
        return volume;
    }
    let (Some(lip), Store::Basin(storage)) = (lip(&way.law), &balance.stores[way.from]) else {
        return 0.0;
    };
    let lower = |other: &super::Way<'_>| {
        other.from == way.from && self::lip(&other.law).is_some_and(|other| other < lip)
    };
    let drowned = balance.against(way, balance.level(way.to, volumes[way.to])) > lip;
    if drowned || balance.ways.iter().any(lower) {
        return 0.0;
    }
    volume - storage.volume(lip)
}

/// Level above which a way takes water, m.
fn lip(law: &Law<'_>) -> Option<f64> {
    match law {
        Law::Crest { level, .. } => Some(*level),
        Law::Drain { drain, .. } if drain.mouth != Mouth::Drowned => Some(drain.level),
        _ => None,
    }
}
