//! What drains away asymptotically: films over crests and water left in streams, settled at once.

use super::{FlowLaw, Routing, Store};
use crate::formulas::gravity_pipe::Mouth;

/// Rounds of settling, for water that runs from store to store.
const ROUNDS: usize = 32;
/// Water that is not worth moving, m³.
const NOTHING: f64 = 1e-15;

/// Moves what still stands over crests and lips, and in streams, to where it is on its link to. `moved` is called with
/// each link and what passes it.
pub(super) fn settle(routing: &Routing<'_>, volumes: &mut [f64], mut moved: impl FnMut(usize, f64)) {
    // The lowest lip of each store: what stands over a higher one leaves by that.
    let mut lowest = vec![f64::INFINITY; routing.stores.len()];
    for link in &routing.links {
        lowest[link.from] = lowest[link.from].min(lip(&link.law).unwrap_or(f64::INFINITY));
    }
    for _ in 0..ROUNDS {
        let mut any = false;
        for (index, link) in routing.links.iter().enumerate() {
            let surplus = surplus(routing, index, volumes, lowest[link.from]);
            if surplus > NOTHING {
                volumes[link.from] -= surplus;
                volumes[link.to] += surplus;
                moved(index, surplus);
                any = true;
            }
        }
        if !any {
            return;
        }
    }
}

/// Water that a link will take once nothing else moves, m³.
fn surplus(routing: &Routing<'_>, index: usize, volumes: &[f64], lowest: f64) -> f64 {
    let link = &routing.links[index];
    let volume = volumes[link.from];
    if let FlowLaw::StreamOutflow(_) = link.law {
        return volume;
    }
    let (Some(lip), Store::Basin(storage)) = (lip(&link.law), &routing.stores[link.from]) else {
        return 0.0;
    };
    let drowned = routing.against(link, routing.level(link.to, volumes[link.to])) > lip;
    if drowned || lowest < lip {
        return 0.0;
    }
    volume - storage.volume(lip)
}

/// Level above which a link takes water, m.
fn lip(law: &FlowLaw<'_>) -> Option<f64> {
    match law {
        FlowLaw::Crest { level, .. } => Some(*level),
        FlowLaw::GravityPipe { pipe: drain, .. } if drain.mouth != Mouth::Submerged => Some(drain.level),
        _ => None,
    }
}
