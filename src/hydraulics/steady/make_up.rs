//! The levels of a circuit while it runs, with the make-up water that has come in.

use indexmap::IndexMap;

use super::{
    conservation::{Balance, LEVEL_TOLERANCE, Steady},
    failure::Failure,
};
use crate::{
    ledger::{Gap, Input, Origin},
    plan::{Plan, Shown},
    quantity::Kind,
    read::Place,
};

/// Rounds of filling a sink until the make-up stands at its level.
const FILLINGS: usize = 100;
/// A flow that is too little to be missed, m³/s.
const SMALLEST_LOSS: f64 = 1e-9;

/// The level of one basin while running.
pub(super) struct Levels {
    pub running: f64,
    pub in_flight: f64,
    /// Whether make-up comes in meanwhile is known.
    pub make_up: Result<(), Gap>,
    pub inputs: Vec<Input>,
}

/// What make-up water does to the levels of the sinks.
pub(super) struct Kept {
    /// By sink: the level that make-up keeps, or none.
    by_make_up: IndexMap<String, Result<Option<KeptLevel>, Gap>>,
    inputs: Vec<Input>,
}

impl Kept {
    /// What make-up water adds to a circuit that keeps its own.
    pub fn of(balance: &Balance<'_>) -> Self {
        let mut inputs = Vec::new();
        let only_one = balance.sinks().count() == 1;
        let kept: IndexMap<String, Result<Option<KeptLevel>, Gap>> = balance
            .sinks()
            .map(|id| {
                let joined: Vec<&str> = balance.drained_into(id).chain([id.as_str()]).collect();
                let of = only_one.then_some(id.as_str());
                let kept = kept_level(balance.plan, &joined, of, &mut inputs);
                let kept = kept.map(|kept| kept.map(|kept| kept.no_higher_than_outlets(balance)));
                (id.clone(), kept)
            })
            .collect();
        Self {
            by_make_up: kept,
            inputs,
        }
    }

    /// Steady running with the make-up in: each sink is filled until the basin that make-up feeds stands at the level
    /// it keeps, or as far as what the valve gives keeps up with what runs off for good meanwhile.
    pub fn filled(&mut self, balance: &Balance<'_>, conserved: Steady) -> Result<Steady, Failure> {
        let mut steady = conserved;
        for (id, known) in &mut self.by_make_up {
            let Ok(Some(kept)) = known else { continue };
            if kept.level - steady.levels[&kept.basin] <= LEVEL_TOLERANCE {
                continue;
            }
            let full = fill(balance, &steady, id, kept)?;
            if full.lost() <= steady.lost() + SMALLEST_LOSS {
                steady = full;
                continue;
            }
            match &kept.supply {
                Ok(supply) if full.lost() <= *supply => steady = full,
                Ok(supply) => {
                    self.inputs.push(kept.supply_input(*supply));
                    // Where more runs off already than the valve gives, it raises nothing.
                    if steady.lost() < *supply {
                        steady = keep_up(balance, &steady, &full, id, *supply)?;
                    }
                }
                Err(gap) => *known = Err(gap.clone()),
            }
        }
        Ok(steady)
    }

    /// The levels of every basin while running.
    pub fn levels(
        &mut self,
        balance: &Balance<'_>,
        steady: &Steady,
    ) -> Result<IndexMap<String, Levels>, Gap> {
        let (in_flight, mut inputs) = balance.in_flight(steady)?;
        inputs.append(&mut self.inputs);
        let shares = balance.shares(steady);
        let levels = balance.parts.basins.keys().map(|id| {
            let share = shares.get(id);
            let state = Levels {
                running: steady.levels[id],
                in_flight: share.map_or(0.0, |share| in_flight * share),
                make_up: self
                    .by_make_up
                    .get(id)
                    .map_or(Ok(()), |kept| kept.clone().map(drop)),
                inputs: share.map_or(Vec::new(), |_| inputs.clone()),
            };
            (id.clone(), state)
        });
        Ok(levels.collect())
    }
}

/// Fills a sink until the basin that make-up feeds stands at the level it keeps: the sink itself, or one that drains
/// into it and so stands no lower. Such a basin rises less than the sink while its lip holds it up.
fn fill(balance: &Balance<'_>, steady: &Steady, sink: &str, kept: &KeptLevel) -> Result<Steady, Failure> {
    let over = |steady: &Steady| steady.levels[&kept.basin] - kept.level;
    let settled = |off: f64, _| off.abs() <= LEVEL_TOLERANCE;
    let top = kept.level.max(steady.levels[sink]);
    let found = raised(balance, steady, sink, top, over, settled)?;
    if settled(over(&found), 0.0) {
        return Ok(found);
    }
    let why = "the make-up does not bring its basin to the level it is to keep".to_owned();
    Err(Gap::NotComputed(why).into())
}

/// The sink raised until what runs off for good is what make-up brings.
fn keep_up(
    balance: &Balance<'_>,
    conserved: &Steady,
    full: &Steady,
    sink: &str,
    supply: f64,
) -> Result<Steady, Failure> {
    let over = |steady: &Steady| steady.lost() - supply;
    let settled = |off: f64, width: f64| off.abs() <= SMALLEST_LOSS || width <= LEVEL_TOLERANCE;
    raised(balance, conserved, sink, full.levels[sink], over, settled)
}

/// The sink raised from where it stands, at most to a top, until something is neither under nor over; until it is settled,
/// given how far off it is and how wide the bracket of levels. Found by false position (Illinois rule).
fn raised(
    balance: &Balance<'_>,
    steady: &Steady,
    sink: &str,
    top: f64,
    over: impl Fn(&Steady) -> f64,
    settled: impl Fn(f64, f64) -> bool,
) -> Result<Steady, Failure> {
    let at = |level: f64| {
        let other = |id: &String| if id == sink { level } else { steady.levels[id] };
        let levels = balance.sinks().map(|id| (id.clone(), other(id))).collect();
        balance.steady(&levels)
    };
    let (mut low, mut under) = (steady.levels[sink], -over(steady));
    let mut found = at(top)?;
    let (mut high, mut above) = (top, over(&found));
    for _ in 0..FILLINGS {
        if settled(over(&found), high - low) {
            break;
        }
        let middle = low + (high - low) * under / (under + above);
        found = at(middle)?;
        let off = over(&found);
        if off < 0.0 {
            (low, under, above) = (middle, -off, above / 2.0);
        } else {
            (high, under, above) = (middle, under / 2.0, off);
        }
    }
    Ok(found)
}

/// A level that automatic make-up keeps.
#[derive(Clone)]
struct KeptLevel {
    basin: String,
    /// m.
    level: f64,
    /// What the open valve gives, m³/s.
    supply: Result<f64, Gap>,
    /// Where the plan says so.
    at: Place,
}

impl KeptLevel {
    /// What make-up brings above the lowest outlet runs off there.
    fn no_higher_than_outlets(self, balance: &Balance<'_>) -> Self {
        let outlets = balance.parts.around.of(&self.basin).outlets.iter();
        let own = outlets.map(|at| &balance.parts.outlets[*at]);
        Self {
            level: own.map(super::ends::OutletPart::level).fold(self.level, f64::min),
            ..self
        }
    }

    /// That the running levels rest on what the valve gives.
    fn supply_input(&self, supply: f64) -> Input {
        Input {
            symbol: "Q_make-up",
            value: Some((supply, Kind::Flow)),
            origin: Origin::Plan(self.at.clone()),
        }
    }
}

/// The level that automatic make-up keeps while running in one of the basins that stand in one water with a sink, or
/// none. Where the plan does not say which basin it feeds, it feeds the only one.
fn kept_level(
    plan: &Plan,
    joined: &[&str],
    only_one: Option<&str>,
    inputs: &mut Vec<Input>,
) -> Result<Option<KeptLevel>, Gap> {
    let at = Place::root().child("water").child("make_up");
    let make_up = match plan.water.value().map(|water| &water.make_up) {
        Some(Shown::None(_)) => return Ok(None),
        Some(Shown::Is(make_up)) => make_up,
        _ => return Err(Gap::NotShown(vec![at])),
    };
    let basin = make_up.basin.value().map(String::as_str).or(only_one);
    let Some(basin) = basin.filter(|basin| joined.contains(basin)) else {
        return Ok(None);
    };
    match (make_up.automatic.yes(), &make_up.level) {
        (Some(false), _) => Ok(None),
        (Some(true), Shown::Is(level)) => {
            let value = Some((level.value.0, Kind::Level));
            inputs.push(Input {
                symbol: "z_make-up",
                value,
                origin: Origin::Plan(level.place.clone()),
            });
            let flow = at.child("flow");
            Ok(Some(KeptLevel {
                basin: basin.to_owned(),
                level: level.value.0,
                supply: match make_up.flow.value() {
                    Some(supply) => Ok(supply.0),
                    None => Err(Gap::NotShown(vec![flow.clone()])),
                },
                at: flow,
            }))
        }
        (Some(true), _) => Err(Gap::NotShown(vec![at.child("level")])),
        (None, _) => Err(Gap::NotShown(vec![at.child("automatic")])),
    }
}
