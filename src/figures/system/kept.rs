//! The levels of a circuit while it runs and once its pumps stop, with the make-up water that comes in meanwhile.

use indexmap::IndexMap;

use super::balance::{Balance, Steady, drained, leaves, lowest_lip};
use crate::{
    figures::{Gap, Input, Origin},
    plan::{Plan, Shown},
    quantity::Kind,
    read::Place,
};

/// The levels of one basin.
pub(super) struct Levels {
    pub start_up: f64,
    pub running: f64,
    pub power_off: Result<f64, Gap>,
    pub in_flight: f64,
    pub inputs: Vec<Input>,
}

/// What make-up water does to the levels of the sinks.
pub(super) struct Kept {
    start_up: IndexMap<String, f64>,
    /// By sink: the level that make-up keeps, or none.
    kept: IndexMap<String, Result<Option<f64>, Gap>>,
    /// Levels of the sinks where make-up raises one.
    pub raised: Option<IndexMap<String, f64>>,
    inputs: Vec<Input>,
}

impl Kept {
    /// What make-up water adds to a circuit that keeps its own.
    pub fn of(balance: &Balance<'_>, conserved: &Steady) -> Self {
        let mut inputs = Vec::new();
        let only_one = balance.sinks().count() == 1;
        let kept: IndexMap<String, Result<Option<f64>, Gap>> = balance
            .sinks()
            .map(|id| (id.clone(), kept_level(balance.plan, id, only_one, &mut inputs)))
            .collect();
        let mut raised: IndexMap<String, f64> = balance
            .sinks()
            .map(|id| (id.clone(), conserved.levels[id]))
            .collect();
        let mut any = false;
        for (id, level) in &mut raised {
            if let Some(Ok(Some(kept))) = kept.get(id)
                && kept > level
            {
                *level = *kept;
                any = true;
            }
        }
        Self {
            start_up: conserved.levels.clone(),
            kept,
            raised: any.then_some(raised),
            inputs,
        }
    }

    /// The levels of every basin, running and once the pumps stop.
    pub fn levels(
        &mut self,
        balance: &Balance<'_>,
        steady: &Steady,
    ) -> Result<IndexMap<String, Levels>, Gap> {
        let parts = balance.parts;
        let (in_flight, mut inputs) = balance.in_flight(steady)?;
        inputs.append(&mut self.inputs);
        let mut levels: IndexMap<String, Levels> = IndexMap::new();
        for (id, (still, _)) in parts.basins.iter().filter(|(id, _)| leaves(parts, id)) {
            let running = steady.levels[id];
            let state = Levels {
                start_up: still.min(self.start_up[id]),
                running,
                power_off: Ok(still.max(lowest_lip(parts, id))),
                in_flight: 0.0,
                inputs: Vec::new(),
            };
            levels.insert(id.clone(), state);
        }
        let standing: f64 = parts
            .basins
            .iter()
            .filter(|(id, _)| drained(parts, id))
            .map(|(id, (still, vessel))| {
                vessel.storage.volume(steady.levels[id]) - vessel.storage.volume(*still)
            })
            .sum();
        let shares = balance.shares(steady);
        for (id, kept) in &self.kept {
            let share = shares[id];
            let mut rest = balance.at_rest(id, steady, (in_flight - standing) * share);
            let power_off = |level: f64| kept.clone().map(|_| level);
            let own = rest.shift_remove(id).unwrap_or(steady.levels[id]);
            for (drained, level) in rest {
                if let Some(levels) = levels.get_mut(&drained) {
                    levels.power_off = power_off(level);
                }
            }
            let state = Levels {
                start_up: self.start_up[id],
                running: steady.levels[id],
                power_off: power_off(own),
                in_flight: in_flight * share,
                inputs: inputs.clone(),
            };
            levels.insert(id.clone(), state);
        }
        Ok(levels)
    }
}

/// The level that automatic make-up keeps in a basin while running, or none.
fn kept_level(plan: &Plan, id: &str, only_one: bool, inputs: &mut Vec<Input>) -> Result<Option<f64>, Gap> {
    let at = Place::root().child("water").child("make_up");
    let make_up = match plan.water.value().map(|water| &water.make_up) {
        Some(Shown::None(_)) => return Ok(None),
        Some(Shown::Is(make_up)) => make_up,
        _ => return Err(Gap::NotShown(vec![at])),
    };
    let here = make_up.basin.value().map_or(only_one, |basin| basin == id);
    if !here {
        return Ok(None);
    }
    match (make_up.automatic.yes(), &make_up.level) {
        (Some(false), _) => Ok(None),
        (Some(true), Shown::Is(level)) => {
            let value = Some((level.value.0, Kind::Level));
            inputs.push(Input {
                symbol: "z_make-up",
                value,
                origin: Origin::Plan(level.place.clone()),
            });
            Ok(Some(level.value.0))
        }
        (Some(true), _) => Err(Gap::NotShown(vec![at.child("level")])),
        (None, _) => Err(Gap::NotShown(vec![at.child("automatic")])),
    }
}
