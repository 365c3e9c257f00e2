//! Solving a circuit: flows and levels together, water conserved.

use indexmap::IndexMap;

use super::{
    BasinState, FallState, PumpState, RunState, System,
    circuit::Parts,
    pieces::{Piece, viscosity},
};
use crate::{
    figures::{Gap, Input, Origin, ledger::Sheet},
    formulas::{
        channel,
        network::{Link, LinkId, Network, NoSolution, Node, NodeId, Outflow, Solution},
        pipe, weir,
    },
    plan::{Given, Line, Plan, Reach, Shown, Stream},
    quantity::Kind,
    read::Place,
};

/// Levels are solved until none moves by more than this, m.
const LEVEL_TOLERANCE: f64 = 1e-9;
/// Rounds of solving flows and levels in turn; each shrinks the change tenfold or more.
const ROUNDS: usize = 60;

/// A circuit in steady running.
pub(super) struct Solved<'a> {
    parts: &'a Parts<'a>,
    links: Links,
    solution: Solution,
    nu: f64,
    levels: IndexMap<String, Levels>,
    inputs: Vec<Input>,
}

/// The links of the network, in the order of the parts they stand for.
struct Links {
    pumps: Vec<LinkId>,
    runs: Vec<LinkId>,
    falls: Vec<LinkId>,
}

/// The levels of one basin.
struct Levels {
    start_up: f64,
    running: f64,
    power_off: Result<f64, Gap>,
    in_flight: f64,
    inputs: Vec<Input>,
}

/// Why a circuit has no steady running, and the pump to blame where one is.
pub(super) struct Failure {
    pub gap: Gap,
    pub off_curve: Option<(Place, String)>,
}

impl From<Gap> for Failure {
    fn from(gap: Gap) -> Self {
        Self { gap, off_curve: None }
    }
}

impl<'a> Solved<'a> {
    /// Solves flows for given levels and levels for given flows in turn until both agree.
    pub fn of(plan: &Plan, parts: &'a Parts<'a>) -> Result<Self, Failure> {
        let viscosity = viscosity(plan);
        let mut levels: IndexMap<String, f64> = sinks(parts).map(|(id, still)| (id.clone(), still)).collect();
        for _ in 0..ROUNDS {
            let (network, links, nodes) = build(parts, viscosity.item, &levels);
            let solution = network.solve().map_err(|why| failure(&why, parts, &links))?;
            let balanced = balance(plan, parts, &solution, &links, &nodes)?;
            let moved = levels
                .iter()
                .map(|(id, level)| (balanced[id].running - level).abs())
                .fold(0.0, f64::max);
            for (id, level) in &mut levels {
                *level = balanced[id].running;
            }
            if moved <= LEVEL_TOLERANCE {
                let inputs = all_inputs(parts, &viscosity);
                return Ok(Self {
                    parts,
                    links,
                    solution,
                    nu: viscosity.item,
                    levels: balanced,
                    inputs,
                });
            }
        }
        Err(Gap::NotComputed("levels and flows did not settle together".to_owned()).into())
    }

    /// Enters what runs where.
    pub fn enter(self, system: &mut System) {
        for (part, link) in self.parts.pumps.iter().zip(&self.links.pumps) {
            let flow = self.solution.flow(*link);
            let count = f64::from(part.pump.count.value().copied().unwrap_or(1));
            let head = part.curve.item.head(flow / count).unwrap_or_default();
            let state = PumpState {
                flow,
                head,
                inputs: self.inputs.clone(),
            };
            system.pumps.insert(part.pump.place.clone(), Ok(state));
        }
        for (part, link) in self.parts.runs.iter().zip(&self.links.runs) {
            let (flow, run) = (self.solution.flow(*link), &part.pipe.item);
            let state = RunState {
                flow,
                velocity: pipe::velocity(flow, run.diameter),
                reynolds: pipe::reynolds(flow, run.diameter, self.nu),
                head_loss: pipe::head_loss(flow, run, self.nu),
                inputs: part.pipe.inputs.clone(),
            };
            system.runs.insert(part.run.place.clone(), Ok(state));
        }
        for (part, link) in self.parts.falls.iter().zip(&self.links.falls) {
            let flow = self.solution.flow(*link);
            let head = weir::head_for_flow(&part.crest.item, flow);
            let state = FallState {
                flow,
                head,
                crest: part.crest.item,
                inputs: part.crest.inputs.clone(),
            };
            system.falls.insert(part.fall.place.clone(), Ok(state));
        }
        for (id, levels) in &self.levels {
            let state = BasinState {
                inflow: self.inflow(id),
                start_up: levels.start_up,
                running: levels.running,
                power_off: levels.power_off.clone(),
                in_flight: levels.in_flight,
                inputs: levels.inputs.clone(),
            };
            system.basins.insert(Plan::basin_place(id), Ok(state));
        }
    }

    fn inflow(&self, id: &str) -> f64 {
        let runs = self.parts.runs.iter().zip(&self.links.runs);
        let pumped = runs.filter(|(part, _)| part.run.to.value().is_some_and(|to| to == id));
        let falls = self
            .parts
            .falls
            .iter()
            .zip(&self.links.falls)
            .filter(|(part, _)| part.to == id);
        pumped.map(|(_, link)| self.solution.flow(*link)).sum::<f64>()
            + falls.map(|(_, link)| self.solution.flow(*link)).sum::<f64>()
    }
}

/// The basins that no fall leaves: their level follows from the water that is elsewhere.
fn sinks<'a>(parts: &'a Parts<'_>) -> impl Iterator<Item = (&'a String, f64)> {
    parts
        .basins
        .iter()
        .filter(|(id, _)| !spills(parts, id))
        .map(|(id, (still, _))| (id, *still))
}

fn spills(parts: &Parts<'_>, id: &str) -> bool {
    parts
        .falls
        .iter()
        .any(|part| part.fall.from.value().is_some_and(|from| from == id))
}

/// The network at given levels of the sinks.
fn build(
    parts: &Parts<'_>,
    nu: f64,
    levels: &IndexMap<String, f64>,
) -> (Network, Links, IndexMap<String, NodeId>) {
    let mut network = Network::new(nu);
    let mut basins: IndexMap<String, NodeId> = IndexMap::new();
    for id in parts.basins.keys() {
        let node = levels
            .get(id)
            .map_or(Node::Basin, |head| Node::Fixed { head: *head });
        basins.insert(id.clone(), network.add_node(node));
    }
    let starts = line_starts(parts, &mut network);
    let mut links = Links {
        pumps: Vec::new(),
        runs: Vec::new(),
        falls: Vec::new(),
    };
    for part in &parts.pumps {
        let mut from = basins[part.pump.basin.value().map_or("", String::as_str)];
        if let Some(suction) = &part.suction {
            let mouth = from;
            from = network.add_node(Node::Junction);
            network.add_link(Link::pipe(mouth, from, suction.item));
        }
        let count = part.pump.count.value().copied().unwrap_or(1);
        let link = Link::pump(from, starts[&part.pump.place], part.curve.item.clone(), count);
        links.pumps.push(network.add_link(link));
    }
    let mut ends: IndexMap<(&Place, &str), NodeId> = IndexMap::new();
    for part in &parts.runs {
        let end = match part.run.to.value() {
            Some(to) => basins[to.as_str()],
            None => network.add_node(Node::Junction),
        };
        ends.insert((&part.line.place, part.id), end);
    }
    for part in &parts.runs {
        let end = ends[&(&part.line.place, part.id)];
        let after = part.run.after.value().map(String::as_str);
        let from = match after {
            Some(run) => ends.get(&(&part.line.place, run)).copied(),
            None => start_of(parts, &starts, part.line),
        };
        let from = from.unwrap_or(end);
        let mut link = Link::pipe(from, end, part.pipe.item);
        if after.is_none() && matches!(part.line.check_valve, Shown::Is(_)) {
            link = link.check_valve();
        }
        if let Some(level) = part.outlet {
            link = link.discharging_at(level);
        }
        links.runs.push(network.add_link(link));
    }
    for part in &parts.falls {
        let from = basins[part.fall.from.value().map_or("", String::as_str)];
        let outflow = Outflow::over(part.crest.item, part.level);
        links
            .falls
            .push(network.add_link(Link::spill(from, basins[part.to.as_str()], outflow)));
    }
    (network, links, basins)
}

/// The joint at which each pump's lines start; pumps that feed one line together share it.
fn line_starts<'a>(parts: &'a Parts<'_>, network: &mut Network) -> IndexMap<&'a Place, NodeId> {
    let mut starts: IndexMap<&Place, NodeId> = IndexMap::new();
    for part in &parts.runs {
        let fed_by: Vec<&Place> = pumps_of(parts, part.line).collect();
        let known = fed_by.iter().find_map(|pump| starts.get(pump).copied());
        let node = known.unwrap_or_else(|| network.add_node(Node::Junction));
        for pump in fed_by {
            starts.entry(pump).or_insert(node);
        }
    }
    for part in &parts.pumps {
        starts
            .entry(&part.pump.place)
            .or_insert_with(|| network.add_node(Node::Junction));
    }
    starts
}

fn pumps_of<'a>(parts: &'a Parts<'_>, line: &'a Line) -> impl Iterator<Item = &'a Place> {
    let ids = line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
    let feeds = |place: &Place| place.parts().last().is_some_and(|id| ids.contains(&id));
    parts
        .pumps
        .iter()
        .map(|part| &part.pump.place)
        .filter(move |place| feeds(place))
}

fn start_of(parts: &Parts<'_>, starts: &IndexMap<&Place, NodeId>, line: &Line) -> Option<NodeId> {
    pumps_of(parts, line).find_map(|pump| starts.get(pump).copied())
}

/// A reason for no solution in words a designer can act on.
fn failure(why: &NoSolution, parts: &Parts<'_>, links: &Links) -> Failure {
    let blamed = |link: &LinkId, words: &str| {
        let at = links.pumps.iter().position(|pump| pump == link);
        let place = at
            .and_then(|at| parts.pumps.get(at))
            .map(|part| part.pump.place.clone());
        Failure {
            gap: Gap::NotComputed(words.to_owned()),
            off_curve: place.map(|place| (place, words.to_owned())),
        }
    };
    match why {
        NoSolution::PumpCannotLift { pump, .. } => blamed(
            pump,
            "the pump cannot lift water to its outlet: more stands against it than its head at shut-off",
        ),
        NoSolution::BeyondCurve { pump, .. } => blamed(
            pump,
            "the pump would run beyond the last point of its curve, where the curve says nothing",
        ),
        other => Gap::NotComputed(other.to_string()).into(),
    }
}

/// Levels of every basin for given flows: what stands on the basins that spill, and in the streams, is missing from
/// the basins that don't.
fn balance(
    plan: &Plan,
    parts: &Parts<'_>,
    solution: &Solution,
    links: &Links,
    nodes: &IndexMap<String, NodeId>,
) -> Result<IndexMap<String, Levels>, Gap> {
    let mut levels = IndexMap::new();
    let mut in_flight = 0.0;
    for (id, (still, vessel)) in parts.basins.iter().filter(|(id, _)| spills(parts, id)) {
        let running = solution.head(nodes[id]).unwrap_or(*still);
        in_flight += vessel.storage.volume(running) - vessel.storage.volume(*still);
        let lowest = parts
            .falls
            .iter()
            .filter(|part| part.fall.from.value() == Some(id))
            .map(|part| part.level);
        let crest = lowest.fold(f64::INFINITY, f64::min);
        let state = Levels {
            start_up: still.min(running),
            running,
            power_off: Ok(still.max(crest)),
            in_flight: 0.0,
            inputs: Vec::new(),
        };
        levels.insert(id.clone(), state);
    }
    let mut inputs = Vec::new();
    for (part, link) in parts.falls.iter().zip(&links.falls) {
        if let Some(stream) = part.fall.to.value().and_then(|to| plan.streams.get(to)) {
            in_flight += stream_water(stream, solution.flow(*link), &mut inputs)?;
        }
    }
    let pumped: f64 = links.pumps.iter().map(|link| solution.flow(*link)).sum();
    let only_one = sinks(parts).count() == 1;
    for (id, still) in sinks(parts) {
        let own = parts
            .pumps
            .iter()
            .zip(&links.pumps)
            .filter(|(part, _)| part.pump.basin.value() == Some(id));
        let own: f64 = own.map(|(_, link)| solution.flow(*link)).sum();
        let share = if pumped > 0.0 { own / pumped } else { 0.0 };
        levels.insert(
            id.clone(),
            sink_levels(plan, parts, id, still, in_flight * share, only_one, &inputs),
        );
    }
    Ok(levels)
}

/// The levels of a basin that water is missing from while it is in flight. Make-up water that is added while running
/// is too much once the pumps stop.
fn sink_levels(
    plan: &Plan,
    parts: &Parts<'_>,
    id: &str,
    still: f64,
    in_flight: f64,
    only_one: bool,
    inputs: &[Input],
) -> Levels {
    let storage = &parts.basins[id].1.storage;
    let start_up = storage.level_of(storage.volume(still) - in_flight);
    let mut inputs = inputs.to_vec();
    let kept = kept_level(plan, id, only_one, &mut inputs);
    let running = match &kept {
        Ok(Some(level)) => start_up.max(*level),
        _ => start_up,
    };
    let power_off = kept.map(|_| storage.level_of(storage.volume(running) + in_flight));
    Levels {
        start_up,
        running,
        power_off,
        in_flight,
        inputs,
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

/// Everything the flows rest on.
fn all_inputs(parts: &Parts<'_>, viscosity: &Piece<f64>) -> Vec<Input> {
    let pumps = parts.pumps.iter().flat_map(|part| {
        let suction = part.suction.iter().flat_map(|piece| piece.inputs.iter());
        part.curve.inputs.iter().chain(suction)
    });
    let runs = parts.runs.iter().flat_map(|part| part.pipe.inputs.iter());
    let falls = parts.falls.iter().flat_map(|part| part.crest.inputs.iter());
    let mut inputs: Vec<Input> = Vec::new();
    for input in pumps.chain(runs).chain(falls).chain(&viscosity.inputs) {
        if !inputs.contains(input) {
            inputs.push(input.clone());
        }
    }
    inputs
}

/// Water held in a stream while it runs, m³.
fn stream_water(stream: &Given<Stream>, flow: f64, inputs: &mut Vec<Input>) -> Result<f64, Gap> {
    let mut volume = 0.0;
    for reach in stream.reaches.values() {
        let mut sheet = Sheet::blank();
        let section = section(&mut sheet, reach)?;
        let n = sheet.assumed("n", channel::STONE_STREAM, Kind::Ratio, channel::STONE_STREAM_WHY);
        let length = sheet.given("L", &reach.length, &reach.place, "length")?;
        volume += section.area(section.normal_depth(flow, n)) * length;
        inputs.extend(sheet.into_inputs());
    }
    Ok(volume)
}

/// The section of a reach as the formulas want it.
fn section(sheet: &mut Sheet<'_>, reach: &Given<Reach>) -> Result<channel::Section, Gap> {
    let at = &reach.place;
    let drop = sheet.given("d", &reach.drop, at, "drop")?;
    Ok(channel::Section {
        bed_width: sheet.given("b", &reach.bed_width, at, "bed_width")?,
        side_slope: sheet.given("z", &reach.side_slope, at, "side_slope")?,
        slope: drop / sheet.given("L", &reach.length, at, "length")?,
    })
}
