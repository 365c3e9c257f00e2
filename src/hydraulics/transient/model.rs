//! The parts of a plan that its water moves through, as the balance wants them: only those whose running is known.

use std::{
    collections::{HashMap, HashSet},
    sync::Arc,
};

use indexmap::IndexMap;

use super::{
    ends::{down_to_its_mouth, free_outlet, make_up_place, mouth, mouth_level, upstream},
    tables,
};
use crate::{
    formulas::{
        gravity_pipe, pipe,
        pump::Curve,
        routing::{Manifold, ManifoldPipe, PumpedLineCurve, StorageDischarge},
        storage::Storage,
        weir,
    },
    hydraulics::{
        Losses, System,
        components::overflow::{OverflowPart, overflow},
        curve, gravity_line, run_pipe,
        storage::{self, Storages},
        viscosity,
    },
    ledger::Gap,
    plan::{
        Basin, Given, Line, Map, Measure, Plan, Pump, Run, Shown,
        connections::{Check, check, ending, falls_into, in_series, leaving, receiver, runs_into},
    },
    read::Place,
};

/// The hydraulic model of a plan.
pub(crate) struct HydraulicModel<'a> {
    pub plan: &'a Plan,
    pub basins: Vec<BasinPart<'a>>,
    /// Where each basin stands among them, by its place.
    pub positions: Arc<HashMap<Place, usize>>,
    pub falls: Vec<FallPart>,
    pub streams: Vec<StreamPart<'a>>,
    pub drains: Vec<DrainPart>,
    pub ends: Vec<EndPart<'a>>,
    pub pumps: Vec<PumpPart<'a>>,
    /// Kinematic viscosity, m²/s.
    pub nu: f64,
    /// What keeps the water up, where the plan has it act by itself.
    pub make_up: Result<MakeUpPart, Gap>,
    /// Basins whose levels are not to be had, and why.
    pub missing: Vec<(Place, Gap)>,
}

/// Automatic make-up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MakeUpPart {
    /// Index of the basin it feeds; none where the plan leaves that open.
    pub basin: Option<usize>,
    /// Flow wide open, m³/s; none where the plan does not show it.
    pub flow: Option<f64>,
    /// Level at which it shuts, m.
    pub level: Option<f64>,
}

/// A basin.
pub(crate) struct BasinPart<'a> {
    pub id: &'a str,
    pub basin: &'a Given<Basin>,
    pub storage: &'a Storage,
    pub still: f64,
    pub running: f64,
    pub rim: Option<f64>,
    /// Length of the rim, m.
    pub rim_length: f64,
    /// Its overflow; none where the plan says there is none.
    pub overflow: Result<Option<OverflowPart>, Gap>,
}

/// A fall, between indices of basins.
pub(crate) struct FallPart {
    pub at: Place,
    pub from: usize,
    pub to: usize,
    pub stream: Option<usize>,
    pub level: f64,
    pub crest: weir::Crest,
}

/// A stream that something feeds.
pub(crate) struct StreamPart<'a> {
    pub id: &'a str,
    /// The basin its water ends in.
    pub to: usize,
    /// The stream that the fall at its end leads into.
    pub below: Option<usize>,
    pub held: StorageDischarge,
    /// Water in it while running, m³.
    pub running: f64,
}

/// A gravity line.
pub(crate) struct DrainPart {
    pub from: usize,
    pub to: usize,
    pub drain: gravity_pipe::GravityPipe,
    pub outlet: Option<f64>,
}

/// An end of a pumped line in a basin.
pub(crate) struct EndPart<'a> {
    pub line: &'a Given<Line>,
    pub run: &'a Given<Run>,
    /// The basin its first pump draws from.
    pub from: usize,
    /// The basin its water ends in.
    pub to: usize,
    /// The stream it ends in.
    pub stream: Option<usize>,
    /// Level of a free outlet, m; none where it ends under water.
    pub outlet: Option<f64>,
    /// Level of its mouth, or the gap.
    pub mouth: Result<f64, Gap>,
    /// The way from the pump as one pipe of the diameter of the last run, or the gap.
    pub pipe: Result<pipe::Run, Gap>,
    /// Whether a check valve keeps water from running back once the pumps stop.
    pub check: Check,
    /// Water in the pipes between pump and end that no other end counts, m³.
    pub contents: f64,
    /// Flow while running, m³/s.
    pub flow: f64,
    /// What each pump delivers here: its index, and flow against lift.
    pub deliveries: Vec<(usize, PumpedLineCurve)>,
}

/// A pump that draws from a basin.
pub(crate) struct PumpPart<'a> {
    pub id: &'a str,
    pub pump: &'a Given<Pump>,
    pub from: usize,
    /// m³/s while running.
    pub flow: f64,
    /// Curves of the pump and of those before it in series, each with how many alike run side by side.
    pub chain: Vec<(Curve, f64)>,
}

impl EndPart<'_> {
    /// Id of its run.
    pub fn run_id(&self) -> String {
        self.run.place.key()
    }
}

impl PumpPart<'_> {
    /// Head of the pump, with those before it in series, at a multiple of its running flow, m; none beyond a curve.
    fn head(&self, times: f64) -> Option<f64> {
        let heads = self
            .chain
            .iter()
            .map(|(curve, count)| curve.head(self.flow * times / count));
        heads.sum()
    }
}

impl<'a> HydraulicModel<'a> {
    /// The works of a plan whose running is solved.
    pub fn of(plan: &'a Plan, vessels: &'a Storages, system: &System) -> Self {
        let mut works = Self {
            plan,
            basins: Vec::new(),
            positions: Arc::default(),
            falls: Vec::new(),
            streams: Vec::new(),
            drains: Vec::new(),
            ends: Vec::new(),
            pumps: Vec::new(),
            nu: viscosity(plan).item,
            make_up: Err(Gap::DoesNotApply("no basin is modelled".to_owned())),
            missing: Vec::new(),
        };
        for (id, basin) in by_id(&plan.basins) {
            match basin_part(id, basin, vessels, system) {
                Ok(part) => works.basins.push(part),
                Err(gap) => works.missing.push((basin.place.clone(), gap)),
            }
        }
        let places = works.basins.iter().map(|part| part.basin.place.clone());
        works.positions = Arc::new(places.zip(0..).collect());
        works.take_streams(system);
        works.take_falls(system);
        works.take_drains();
        works.take_pumps(system);
        works.take_ends(system);
        works.make_up = works.make_up_part();
        works
    }

    /// Index of a basin by its id.
    pub fn basin(&self, id: &str) -> Option<usize> {
        // They stand by their ids.
        self.basins.binary_search_by(|part| part.id.cmp(id)).ok()
    }

    /// Streams that something feeds, with what they hold.
    fn take_streams(&mut self, system: &System) {
        for (id, stream) in by_id(&self.plan.streams) {
            let falls = falls_into(self.plan, id).filter_map(|fall| system.falls.get(&fall.place));
            let runs = runs_into(self.plan, id).filter_map(|run| system.runs.get(&run.place));
            let falls = falls
                .filter_map(|state| state.as_ref().ok())
                .map(|state| state.flow);
            let runs = runs
                .filter_map(|state| state.as_ref().ok())
                .map(|state| state.flow);
            let flow: f64 = falls.chain(runs).sum();
            let to = ending(self.plan, id).and_then(|id| self.basin(id));
            if let (Some(to), Some(held)) = (to, tables::held(stream, flow)) {
                let running = held.volume(flow);
                self.streams.push(StreamPart {
                    id,
                    to,
                    below: None,
                    held,
                    running,
                });
            }
        }
        for index in 0..self.streams.len() {
            let below = leaving(self.plan, self.streams[index].id).and_then(|fall| fall.to.value());
            self.streams[index].below = below.and_then(|id| self.stream(id));
        }
    }

    /// Index of a stream by its id.
    fn stream(&self, id: &str) -> Option<usize> {
        self.streams.binary_search_by(|part| part.id.cmp(id)).ok()
    }

    fn take_falls(&mut self, system: &System) {
        for (_, fall) in by_id(&self.plan.falls) {
            let (Some(Ok(state)), Some(level), Some(to)) =
                (system.falls.get(&fall.place), fall.crest.value(), fall.to.value())
            else {
                continue;
            };
            let ends_in = receiver(self.plan, fall).and_then(|id| self.basin(id));
            let from = fall.from.value().and_then(|id| self.basin(id));
            if let (Some(from), Some(ends_in)) = (from, ends_in) {
                self.falls.push(FallPart {
                    at: fall.place.clone(),
                    from,
                    to: ends_in,
                    stream: self.stream(to),
                    level: level.si(),
                    crest: state.crest,
                });
            }
        }
    }

    fn take_drains(&mut self) {
        for (_, drain) in by_id(&self.plan.drains) {
            let ends = [&drain.from, &drain.to].map(|id| id.value().and_then(|id| self.basin(id)));
            if let ([Some(from), Some(to)], Ok(piece)) = (ends, gravity_line(drain, Losses::by(self.plan))) {
                // Once the water below falls under its mouth, the pipe runs out at the level of the mouth.
                let outlet = drain.run.value().and_then(|run| mouth_level(run));
                self.drains.push(DrainPart {
                    from,
                    to,
                    drain: down_to_its_mouth(piece.item),
                    outlet,
                });
            }
        }
    }

    fn take_pumps(&mut self, system: &System) {
        for (id, pump) in by_id(&self.plan.pumps) {
            let series = in_series(self.plan, pump);
            let from = series.last().and_then(|first| first.basin.value());
            let from = from.and_then(|id| self.basin(id));
            let chain: Option<Vec<(Curve, f64)>> = series
                .iter()
                .map(|pump| {
                    let count = f64::from(pump.count.value().copied().unwrap_or(1));
                    Some((curve(pump).ok()?.item, count))
                })
                .collect();
            if let (Some(from), Some(Ok(state)), Some(chain)) = (from, system.pumps.get(&pump.place), chain) {
                self.pumps.push(PumpPart {
                    id,
                    pump,
                    from,
                    flow: state.flow,
                    chain,
                });
            }
        }
    }

    fn take_ends(&mut self, system: &System) {
        for (_, line) in by_id(&self.plan.lines) {
            let fed_by = self.feeding(line);
            let pumped: f64 = fed_by.iter().map(|pump| self.pumps[*pump].flow).sum();
            let Some(first) = fed_by.first().map(|pump| self.pumps[*pump].from) else {
                continue;
            };
            let check = check(line, fed_by.iter().map(|pump| self.pumps[*pump].pump));
            let losses = Losses::by(self.plan);
            let pieces: HashMap<&str, Result<pipe::Run, Gap>> = line
                .runs
                .iter()
                .map(|(id, run)| (id.as_str(), run_pipe(run, line, losses).map(|piece| piece.item)))
                .collect();
            let piece = |id: &str| {
                let piece = pieces.get(id).cloned();
                piece.unwrap_or_else(|| Err(Gap::NotShown(vec![line.place.child("runs")])))
            };
            let mut counted: HashSet<&str> = HashSet::new();
            let mut ends: Vec<_> = by_id(&line.runs).collect();
            // Air comes into a shared main by its free end first.
            ends.sort_by_key(|(_, run)| free_outlet(self.plan, run).is_none());
            for (id, run) in ends {
                let to = run.to.value().and_then(|id| ending(self.plan, id));
                let to = to.and_then(|id| self.basin(id));
                let (Some(to), Some(Ok(state))) = (to, system.runs.get(&run.place)) else {
                    continue;
                };
                let stream = run.to.value().and_then(|id| self.stream(id));
                let outlet = free_outlet(self.plan, run);
                let against = self.basins[to].running.max(outlet.unwrap_or(f64::NEG_INFINITY));
                let deliveries = fed_by.iter().filter_map(|&index| {
                    let part = &self.pumps[index];
                    let share = if pumped > 0.0 { part.flow / pumped } else { 0.0 };
                    let lift = against - self.basins[part.from].running;
                    let delivery = tables::delivery(state.flow * share, lift, |times| part.head(times))?;
                    Some((index, delivery))
                });
                let deliveries = deliveries.collect();
                let own = upstream(line, id).into_iter().filter(|id| counted.insert(id));
                let contents = own.filter_map(|id| piece(id).ok());
                let contents = contents.map(|pipe| pipe.area() * pipe.length).sum();
                self.ends.push(EndPart {
                    line,
                    run,
                    from: first,
                    to,
                    stream,
                    outlet,
                    mouth: mouth(run),
                    pipe: tables::joined(line, id, piece),
                    check,
                    contents,
                    flow: state.flow,
                    deliveries,
                });
            }
        }
    }

    /// The pipes of a line whose ends run back together, and the ends in their order; none where a pipe is not known.
    pub fn manifold(&self, ends: &[usize]) -> Result<Manifold, Gap> {
        let Some(line) = ends.first().map(|end| self.ends[*end].line) else {
            return Ok(Manifold::default());
        };
        let losses = Losses::by(self.plan);
        let ids: Vec<String> = ends.iter().map(|end| self.ends[*end].run_id()).collect();
        let mut used: IndexMap<&str, Option<usize>> = IndexMap::new();
        for id in &ids {
            for id in upstream(line, id) {
                // What a way has in common with another, it has from there on down.
                if used.contains_key(id) {
                    break;
                }
                used.insert(id, None);
            }
        }
        for (end, id) in ids.iter().enumerate() {
            used.insert(line.runs.get_key_value(id).map_or("", |(id, _)| id), Some(end));
        }
        let pipes = used.iter().map(|(id, end)| {
            let run = &line.runs[*id];
            let before = run.after.value();
            Ok(ManifoldPipe {
                run: run_pipe(run, line, losses)?.item,
                into: before.and_then(|before| used.get_index_of(before.as_str())),
                end: *end,
            })
        });
        Ok(Manifold {
            nu: self.nu,
            pipes: pipes.collect::<Result<_, Gap>>()?,
        })
    }

    fn make_up_part(&self) -> Result<MakeUpPart, Gap> {
        let at = make_up_place();
        let make_up = match self.plan.water.value().map(|water| &water.make_up) {
            Some(Shown::Is(make_up)) => make_up,
            Some(Shown::None(_)) => return Err(Gap::DoesNotApply("no make-up is connected".to_owned())),
            _ => return Err(Gap::NotShown(vec![at])),
        };
        match make_up.automatic.yes() {
            Some(true) => {}
            Some(false) => return Err(Gap::DoesNotApply("make-up is opened by hand".to_owned())),
            None => return Err(Gap::NotShown(vec![at.child("automatic")])),
        }
        Ok(MakeUpPart {
            basin: match make_up.basin.value() {
                Some(id) => self.basin(id),
                None => (self.basins.len() == 1).then_some(0),
            },
            flow: make_up.flow.value().map(|flow| flow.si()),
            level: make_up.level.value().map(|level| level.si()),
        })
    }

    /// The pumps that feed a line, by index.
    fn feeding(&self, line: &Line) -> Vec<usize> {
        let ids = line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
        let position = |id: &String| self.pumps.binary_search_by(|part| part.id.cmp(id)).ok();
        let mut pumps: Vec<usize> = ids.iter().filter_map(position).collect();
        pumps.sort_unstable();
        pumps.dedup();
        pumps
    }
}

/// The members of a collection by id: what comes of following them must not hang on the order of the file.
fn by_id<T>(map: &Map<T>) -> impl Iterator<Item = (&String, &Given<T>)> {
    let mut members: Vec<_> = map.iter().collect();
    members.sort_by_key(|(id, _)| *id);
    members.into_iter()
}

fn basin_part<'a>(
    id: &'a str,
    basin: &'a Given<Basin>,
    vessels: &'a Storages,
    system: &System,
) -> Result<BasinPart<'a>, Gap> {
    let still = basin.still.value().map(|level| level.si());
    let still = still.ok_or_else(|| Gap::NotShown(vec![basin.place.child("still")]));
    let vessel = storage::of(vessels, id);
    let running = match system.basins.get(&basin.place) {
        Some(Ok(state)) => Ok(Some(state.running)),
        // Water that no pump moves stands still.
        Some(Err(Gap::DoesNotApply(_))) => Ok(None),
        Some(Err(gap)) => Err(gap.clone()),
        None => Err(Gap::NotShown(vec![Place::root().child("pumps")])),
    };
    let (still, vessel, running) = match (still, vessel, running) {
        (Ok(still), Ok(vessel), Ok(running)) => (still, vessel, running.unwrap_or(still)),
        (still, vessel, running) => {
            let gaps = [still.err(), vessel.err(), running.err()].into_iter().flatten();
            return Err(gaps
                .reduce(Gap::and)
                .unwrap_or(Gap::NotShown(vec![basin.place.clone()])));
        }
    };
    Ok(BasinPart {
        id,
        basin,
        storage: &vessel.storage,
        still,
        running,
        rim: basin.rim.value().map(|level| level.si()),
        rim_length: storage::rim_length(basin, &vessel.storage),
        overflow: match &basin.overflow {
            Shown::Is(shown) => overflow(shown).map(Some),
            Shown::None(_) => Ok(None),
            Shown::NotShown => Err(Gap::NotShown(vec![basin.place.child("overflow")])),
        },
    })
}
