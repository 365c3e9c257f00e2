//! Water conserved: the levels of all basins for which what stands up in one is missing from another.

use std::collections::HashMap;

use indexmap::IndexMap;

use super::{
    ends::Outlet,
    failure::{Failure, failure},
    network::{Built, Links, build},
    parts::{Parts, RunPart},
    states::OffCurve,
};
use crate::{
    formulas::network::{LinkId, Solution},
    hydraulics::components::{channel::stream_water, fouling::Condition},
    ledger::{Gap, Input, Notes},
    plan::{
        Given, Line, Plan,
        connections::{Check, check},
    },
    quantity::Kind,
    read::Place,
};

/// Levels are solved until none moves by more than this, m.
pub(super) const LEVEL_TOLERANCE: f64 = 1e-9;
/// Rounds of solving flows and levels in turn; each shrinks the change tenfold or more.
const ROUNDS: usize = 60;
/// Water that is too little to be missed, m³.
const SMALLEST_VOLUME: f64 = 1e-6;
/// Least slope of the water missing by the water drawn: keeps a step from running away.
const LEAST_SLOPE: f64 = 0.2;

/// A circuit whose water is to be balanced.
pub(super) struct Balance<'a> {
    pub plan: &'a Plan,
    pub parts: &'a Parts<'a>,
    pub nu: f64,
    pub condition: &'a Condition,
}

/// A circuit in steady running at some water.
pub(super) struct Steady {
    pub solution: Solution,
    pub links: Links,
    /// Level of every basin, m.
    pub levels: IndexMap<String, f64>,
}

impl Steady {
    /// What leaves the circuit for good over rims and by overflows, m³/s.
    pub fn lost(&self) -> f64 {
        let flow = |link: &LinkId| self.solution.flow(*link).unwrap_or(f64::NAN);
        self.links.outlets.iter().flatten().map(flow).sum()
    }

    /// What falls and lines bring to a stream, m³/s: from basins, from pumps, and from streams above it.
    pub fn stream_flow(&self, parts: &Parts<'_>, id: &str) -> f64 {
        let flow = |link: &LinkId| self.solution.flow(*link).unwrap_or(f64::NAN);
        let mut streams = vec![id];
        let mut next = 0;
        while let Some(&below) = streams.get(next) {
            next += 1;
            let into = parts
                .cascades
                .iter()
                .filter(|part| part.fall.to.value().is_some_and(|to| to == below));
            for part in into {
                if !streams.contains(&part.stream) {
                    streams.push(part.stream);
                }
            }
        }
        let ends = |to: Option<&String>| to.is_some_and(|to| streams.contains(&to.as_str()));
        let falls = parts.falls.iter().zip(&self.links.falls);
        let falls = falls.filter(|(part, _)| ends(part.fall.to.value()));
        let runs = parts.runs.iter().zip(&self.links.runs);
        let runs = runs.filter(|(part, _)| ends(part.run.to.value()));
        falls.map(|(_, link)| flow(link)).sum::<f64>() + runs.map(|(_, link)| flow(link)).sum::<f64>()
    }
}

impl<'a> Balance<'a> {
    /// The basins that no fall and no drain leaves, or that only their own water comes to: their level follows from the water that is elsewhere.
    pub fn sinks(&self) -> impl Iterator<Item = &String> {
        let parts = self.parts;
        parts.basins.keys().filter(|id| !parts.leaves(id))
    }

    /// Flows and levels at given levels of the sinks. Crests and lips that are drowned are solved again with the water
    /// found below them until it stands.
    pub fn steady(&self, sinks: &IndexMap<String, f64>) -> Result<Steady, Failure> {
        let mut below: IndexMap<String, f64> = self
            .parts
            .basins
            .iter()
            .map(|(id, b)| (id.clone(), b.0))
            .collect();
        below.extend(sinks.clone());
        let mut share = 1.0;
        let mut last_moved = f64::INFINITY;
        let mut reached = vec![false; self.parts.outlets.len()];
        for _ in 0..ROUNDS {
            let built = build(self.parts, self.nu, self.condition, sinks, &below, &reached);
            let solution = built.network.solve();
            let solution = solution.map_err(|why| failure(&why, self.parts, &built.links))?;
            let levels = self.levels(&built, &solution);
            let moved = self.moved_below(&below, &levels);
            if moved <= LEVEL_TOLERANCE {
                // Rims and overflows come in once the water reaches them: most never do.
                if !self.reach(&mut reached, &levels) {
                    return Ok(Steady {
                        solution,
                        links: built.links,
                        levels,
                    });
                }
                (share, last_moved) = (1.0, f64::INFINITY);
                continue;
            }
            if moved > 0.5 * last_moved {
                share *= 0.5;
            }
            last_moved = moved;
            for (id, level) in &mut below {
                *level += share * (levels[id] - *level);
            }
        }
        Err(unsettled().into())
    }

    /// Marks the rims and overflows that the water has come to; whether there are new ones.
    fn reach(&self, reached: &mut [bool], levels: &IndexMap<String, f64>) -> bool {
        let mut any = false;
        for (part, reached) in self.parts.outlets.iter().zip(reached) {
            if !*reached && self.parts.leaves(&part.basin) && levels[&part.basin] > part.level() {
                (*reached, any) = (true, true);
            }
        }
        any
    }

    /// How far water that stands over a crest or an outlet above it has moved, m.
    fn moved_below(&self, before: &IndexMap<String, f64>, after: &IndexMap<String, f64>) -> f64 {
        let falls = self.parts.falls.iter().filter_map(|part| {
            let (was, is) = (before[&part.to], after[&part.to]);
            part.drowned_by(was.max(is))
                .then(|| (was.max(part.level) - is.max(part.level)).abs())
        });
        let drains = self.parts.drains.iter().map(|part| {
            let (was, is) = (before[part.to], after[part.to]);
            (part.against(was) - part.against(is)).abs()
        });
        falls.chain(drains).fold(0.0, f64::max)
    }

    fn levels(&self, built: &Built, solution: &Solution) -> IndexMap<String, f64> {
        let level = |(id, (still, _)): (&String, &(f64, _))| {
            let found = solution.head(built.basins[id]);
            // Where nothing runs over, the network knows no level but that it lies below every crest.
            let rests = self.parts.leaves(id) && self.outflow(id, solution, &built.links) <= 0.0;
            let resting = still.min(self.parts.around.of(id).lowest_lip);
            (id.clone(), if rests { resting } else { found.unwrap_or(*still) })
        };
        self.parts.basins.iter().map(level).collect()
    }

    /// What leaves a basin by crests, drains and pumps, m³/s.
    fn outflow(&self, id: &str, solution: &Solution, links: &Links) -> f64 {
        let around = self.parts.around.of(id);
        let falls = around.falls_out.iter().map(|at| links.falls[*at]);
        let drains = around.drains_out.iter().map(|at| links.drains[*at]);
        let pumps = around.pumps.iter().map(|at| links.pumps[*at]);
        let outlets = around.outlets.iter().filter_map(|at| links.outlets[*at]);
        let all = falls.chain(drains).chain(pumps).chain(outlets);
        all.map(|link| solution.flow(link).unwrap_or(f64::NAN).abs())
            .sum()
    }

    /// What stands in streams and above still level on the basins that let water off, m³, and what that rests on.
    pub fn in_flight(&self, steady: &Steady) -> Result<(f64, Vec<Input>), Gap> {
        let mut inputs = Vec::new();
        let parts = self.parts;
        let standing = parts.basins.iter().filter(|(id, _)| parts.leaves(id));
        let mut water: f64 = standing
            .map(|(id, (still, vessel))| {
                vessel.storage.volume(steady.levels[id]) - vessel.storage.volume(*still)
            })
            .sum();
        water += self.in_empty_lines(&mut inputs);
        for (id, stream) in &self.plan.streams {
            let flow = steady.stream_flow(parts, id);
            if flow > 0.0 {
                water += stream_water(stream, flow, &mut inputs)?;
            }
        }
        Ok((water, inputs))
    }

    /// Water that fills the lines whose pipes empty while the pumps rest, m³: those that the plan gives no check valve.
    fn in_empty_lines(&self, inputs: &mut Vec<Input>) -> f64 {
        let mut known: HashMap<&Place, Check> = HashMap::new();
        let mut check_of = |line: &'a Given<Line>| {
            let pumps = self.parts.feeding(line).iter();
            let pumps = pumps.map(|at| self.parts.pumps[*at].pump);
            *known.entry(&line.place).or_insert_with(|| check(line, pumps))
        };
        let empties = |part: &&RunPart<'a>| check_of(part.line) == Check::None;
        let runs = self.parts.runs.iter().filter(empties);
        let water: f64 = runs
            .map(|part| part.pipe.item.area() * part.pipe.item.length)
            .sum();
        if water > 0.0 {
            let mut notes = Notes::default();
            let why = "the pipes of a line without a check valve run empty over their whole length while the pumps rest";
            notes.assumed("V_pipes", water, Kind::Volume, why);
            inputs.extend(notes.into_inputs());
        }
        water
    }

    /// The share of each sink in the water in flight: that of what its pumps send away in all that is pumped. What they
    /// play back into it is no water of another basin.
    pub fn shares(&self, steady: &Steady) -> IndexMap<String, f64> {
        let flow = |link: &LinkId| steady.solution.flow(*link).unwrap_or(f64::NAN);
        let away = |id: &str| -> f64 {
            let around = self.parts.around.of(id);
            let drawn = around.pumps.iter().map(|at| flow(&steady.links.pumps[*at]));
            let back = around.runs_in.iter();
            let back = back.filter(|at| self.parts.is_own(&self.parts.runs[**at], id));
            let drawn: f64 = drawn.sum();
            let back: f64 = back.map(|at| flow(&steady.links.runs[*at])).sum();
            (drawn - back).max(0.0)
        };
        let own: IndexMap<String, f64> = self.sinks().map(|id| (id.clone(), away(id))).collect();
        let pumped: f64 = own.values().sum();
        let alone = own.len() == 1;
        own.into_iter()
            .map(|(id, own)| {
                (
                    id,
                    if alone {
                        1.0
                    } else if pumped > 0.0 {
                        own / pumped
                    } else {
                        0.0
                    },
                )
            })
            .collect()
    }

    /// Steady running with all water kept: what is in flight is missing from the sinks. Found by the secant rule on
    /// the water drawn from them.
    pub fn conserved(&self) -> Result<Steady, Failure> {
        let mut drawn = 0.0;
        let mut slope = self.first_slope();
        let mut levels = self.drawn_down(drawn, &IndexMap::new());
        let mut steady = self.steady(&levels)?;
        let mut over = drawn - self.in_flight(&steady)?.0;
        for _ in 0..ROUNDS {
            let shares = self.shares(&steady);
            let next = drawn - over / slope;
            let next_levels = self.drawn_down(next, &shares);
            if farthest(&levels, &next_levels) <= LEVEL_TOLERANCE {
                return match self.emptied(&steady, over) {
                    Some((id, why)) => Err(self.dry(id, why, &steady)),
                    None => Ok(steady),
                };
            }
            steady = self.steady(&next_levels)?;
            let next_over = next - self.in_flight(&steady)?.0;
            let secant = (next_over - over) / (next - drawn);
            if secant.is_finite() {
                slope = secant.max(LEAST_SLOPE);
            }
            (drawn, over, levels) = (next, next_over, next_levels);
        }
        Err(unsettled().into())
    }

    /// A basin that has nothing left, and where its water went.
    fn emptied<'s>(&self, steady: &'s Steady, over: f64) -> Option<(&'s String, &'static str)> {
        let mut levels = steady.levels.iter();
        levels.find_map(|(id, level)| {
            let floor = self.parts.basins[id].1.storage.floor();
            if !self.parts.leaves(id) {
                let empty = *level <= floor && over.abs() > SMALLEST_VOLUME;
                let why = "more water stands in the other basins and streams while they run than it holds";
                return empty.then_some((id, why));
            }
            (*level < floor).then_some((id, "more is taken from it than comes in"))
        })
    }

    /// A basin that would stand over its rim before its way out passes the flow, and that way out.
    fn held_up(&self, steady: &Steady) -> Option<(&str, &Place)> {
        let over_rim = |id: &str| {
            let rims = self
                .parts
                .outlets
                .iter()
                .filter(|outlet| outlet.kind == Outlet::Rim);
            let mut rims = rims.filter(|outlet| outlet.basin == id);
            rims.any(|rim| steady.levels.get(id).is_some_and(|level| *level > rim.level()))
        };
        let falls = self.parts.falls.iter();
        let falls = falls.filter_map(|part| Some((part.fall.from.value()?.as_str(), &part.fall.place)));
        let drains = self
            .parts
            .drains
            .iter()
            .map(|part| (part.from, &part.drain.place));
        falls.chain(drains).find(|(from, _)| over_rim(from))
    }

    /// No steady running, because a basin is pumped empty; a pump that draws from it is told. Where another basin would
    /// stand over its rim first, its way out is at fault.
    fn dry(&self, id: &str, why: &str, steady: &Steady) -> Failure {
        let held_up = self.held_up(steady);
        let because = match &held_up {
            Some((from, _)) => format!(
                "the way out of \"{from}\" passes too little: it runs over its rim, and \"{id}\" is pumped empty"
            ),
            None => format!("\"{id}\" is pumped empty: {why}"),
        };
        let mut pumps = self.parts.pumps.iter().map(|part| part.pump);
        let pump = pumps.find(|pump| pump.draws_from(id));
        Failure {
            gap: Gap::NotComputed(because.clone()),
            off_curve: pump.map(|pump| {
                let at = held_up.map(|(_, way_out)| way_out.clone());
                let at = at.or_else(|| pump.basin.given().map(|basin| basin.place.clone()));
                (pump.place.clone(), OffCurve { because, at })
            }),
        }
    }

    /// How much less is missing for each m³ drawn: where basins stand in one water with a sink, their water goes with
    /// it.
    fn first_slope(&self) -> f64 {
        let area = |id: &str| {
            let (still, vessel) = &self.parts.basins[id];
            vessel.storage.area(*still)
        };
        let sinks: f64 = self.sinks().map(|id| area(id)).sum();
        let joined: f64 = self.parts.drains.iter().map(|part| area(part.from)).sum();
        if sinks > 0.0 { 1.0 + joined / sinks } else { 1.0 }
    }

    /// Levels of the sinks with an amount of water drawn from them by their shares.
    fn drawn_down(&self, drawn: f64, shares: &IndexMap<String, f64>) -> IndexMap<String, f64> {
        let level = |id: &String| {
            let (still, vessel) = &self.parts.basins[id];
            let share = shares.get(id).copied().unwrap_or(0.0);
            let level = vessel
                .storage
                .level_of(vessel.storage.volume(*still) - drawn * share);
            (id.clone(), level)
        };
        self.sinks().map(level).collect()
    }

    /// The basins that drain into one, each as often as it has drains to it.
    pub fn drained_into(&self, sink: &str) -> impl Iterator<Item = &str> {
        let drains = self.parts.around.of(sink).drains_in.iter();
        drains.map(|at| self.parts.drains[*at].from)
    }
}

fn farthest(a: &IndexMap<String, f64>, b: &IndexMap<String, f64>) -> f64 {
    a.iter()
        .map(|(id, level)| (level - b[id]).abs())
        .fold(0.0, f64::max)
}

fn unsettled() -> Gap {
    Gap::NotComputed("levels and flows did not settle together".to_owned())
}
