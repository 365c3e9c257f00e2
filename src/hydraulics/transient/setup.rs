//! A scenario set up for routing: the stores, the links between them, and which of them stands for what.

use indexmap::IndexMap;

use super::{
    ends::make_up_place,
    model::{BasinPart, EndPart, HydraulicModel, PumpPart},
    scenario::{Begins, Scenario},
};
use crate::{
    formulas::{
        routing::{FlowLaw, PumpedLineCurve, Routing, ShutReason, Store, WatchedLevel},
        weir::{Crest, Edge},
    },
    hydraulics::components::overflow::OverflowPart,
    ledger::Gap,
    plan::{
        Measure, Shown,
        connections::{Check, catchment},
    },
    read::Place,
};

/// An inch of settlement, and of evaporation, m.
const INCH: f64 = 0.0254;
/// Travel of a float from shut to wide open, m: 1 in (common practice).
const FLOAT_TRAVEL: f64 = INCH;

/// A scenario set up.
pub(super) struct Setup<'a> {
    pub routing: Routing<'a>,
    /// The ways by which water leaves for good.
    pub outside: IndexMap<Lost, Way>,
    /// Rims as they are in this scenario, m.
    pub rims: Vec<Option<f64>>,
    /// The watched level of each rim.
    pub rim_marks: Vec<Option<usize>>,
    /// Links by which lines siphon back: end and link.
    pub siphons: Vec<(usize, usize)>,
    /// Links by which pumps draw: pump and link.
    pub draws: Vec<(usize, usize)>,
    /// The store of each stream.
    streams: Vec<usize>,
}

/// A way out: the store that what leaves by it comes to, and the links there.
pub(super) struct Way {
    pub store: usize,
    pub links: Vec<usize>,
}

/// Where water left for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Lost {
    /// Over the rim of a basin, by index.
    Rim(usize),
    /// By the overflow of a basin.
    Overflow(usize),
    /// Out of a broken line: the end it would have reached, by index.
    Break(usize),
}

impl<'a> Setup<'a> {
    /// A scenario set up; what it needs and the plan does not show is the gap.
    pub fn of(model: &'a HydraulicModel<'_>, scenario: Scenario) -> Result<Self, Gap> {
        let mut setup = Self {
            routing: Routing::default(),
            outside: IndexMap::new(),
            rims: Vec::new(),
            rim_marks: Vec::new(),
            siphons: Vec::new(),
            draws: Vec::new(),
            streams: Vec::new(),
        };
        for (index, part) in model.basins.iter().enumerate() {
            let level = start(model, index, part, scenario);
            setup.routing.basin(part.storage, level);
            setup.routing.volumes[index] -= taken_by_empty_lines(model, index, scenario);
        }
        for (index, part) in model.basins.iter().enumerate() {
            setup.rim(index, part, scenario);
            setup.overflow(index, part, scenario, model.nu)?;
        }
        setup.falls(model, scenario);
        setup.drains(model);
        if scenario.power_off {
            setup.run_back(model, scenario)?;
        } else {
            setup.pumps(model, scenario);
        }
        if scenario.storm {
            setup.storm(model)?;
        }
        setup.make_up(model, scenario)?;
        Ok(setup)
    }

    /// A link for water to leave by for good, shut for good at levels of the store it leaves.
    fn leave(&mut self, from: usize, lost: Lost, law: FlowLaw<'a>, shuts: Vec<(f64, ShutReason)>) -> usize {
        let routing = &mut self.routing;
        let way = self.outside.entry(lost).or_insert_with(|| Way {
            store: routing.store(Store::Outside, 0.0),
            links: Vec::new(),
        });
        let link = routing.link_shut_at(from, way.store, law, shuts);
        way.links.push(link);
        link
    }

    /// Water over the rim leaves as over a broad crest as long as the rim.
    fn rim(&mut self, index: usize, part: &BasinPart<'_>, scenario: Scenario) {
        let settled = if scenario.edge_settled { INCH } else { 0.0 };
        let rim = part.rim.map(|rim| rim - settled);
        self.rims.push(rim);
        if let Some(level) = rim {
            let crest = Crest::in_open_water(Edge::BroadStone, part.rim_length);
            let law = FlowLaw::Crest { crest, level };
            self.leave(index, Lost::Rim(index), law, Vec::new());
            let watched = WatchedLevel { store: index, level };
            self.routing.watched.push(watched);
        }
        let mark = rim.and_then(|_| self.routing.watched.len().checked_sub(1));
        self.rim_marks.push(mark);
    }

    /// An overflow passes water in every scenario but one that blocks it; where a scenario can be told without it, one
    /// that the plan does not show passes none.
    fn overflow(
        &mut self,
        index: usize,
        part: &BasinPart<'_>,
        scenario: Scenario,
        nu: f64,
    ) -> Result<(), Gap> {
        let overflow = match &part.overflow {
            _ if scenario.overflows_blocked => return Ok(()),
            Ok(Some(overflow)) => *overflow,
            Ok(None) => return Ok(()),
            Err(_) if !scenario.needs_overflows() => return Ok(()),
            Err(gap) => return Err(gap.clone()),
        };
        let law = match overflow {
            OverflowPart::Lip { crest, level } => FlowLaw::Crest { crest, level },
            OverflowPart::Pipe { pipe, outlet } => FlowLaw::GravityPipe {
                pipe,
                nu,
                outlet: Some(outlet),
            },
        };
        self.leave(index, Lost::Overflow(index), law, Vec::new());
        Ok(())
    }

    fn falls(&mut self, model: &HydraulicModel<'_>, scenario: Scenario) {
        let runs = scenario.begins == Begins::Running;
        for part in &model.streams {
            let water = if runs { part.running } else { 0.0 };
            let store = self.routing.store(Store::Stream(part.held.clone()), water);
            self.streams.push(store);
        }
        for (part, store) in model.streams.iter().zip(self.streams.clone()) {
            let to = part.below.map_or(part.to, |below| self.streams[below]);
            self.routing
                .link(store, to, FlowLaw::StreamOutflow(part.held.clone()));
        }
        for fall in &model.falls {
            let blocked = if scenario.crests_blocked { 0.5 } else { 1.0 };
            let crest = fall.crest.narrowed(blocked);
            let to = fall.stream.map_or(fall.to, |stream| self.streams[stream]);
            let level = fall.level;
            self.routing.link(fall.from, to, FlowLaw::Crest { crest, level });
        }
    }

    fn drains(&mut self, model: &HydraulicModel<'_>) {
        for part in &model.drains {
            let law = FlowLaw::GravityPipe {
                pipe: part.drain,
                nu: model.nu,
                outlet: part.outlet,
            };
            self.routing.link(part.from, part.to, law);
        }
    }

    fn pumps(&mut self, model: &'a HydraulicModel<'_>, scenario: Scenario) {
        for (index, end) in model.ends.iter().enumerate() {
            for (pump, curve) in &end.deliveries {
                if scenario.lines_broken {
                    self.broken(model, index, *pump, curve);
                } else {
                    self.delivery(model, end, *pump, curve);
                }
            }
        }
    }

    /// What a pump delivers to the end of its line; back into its own basin it moves nothing.
    fn delivery(
        &mut self,
        model: &'a HydraulicModel<'_>,
        end: &'a EndPart<'_>,
        pump: usize,
        curve: &'a PumpedLineCurve,
    ) {
        let part = &model.pumps[pump];
        if end.stream.is_none() && end.to == part.from {
            return;
        }
        let to = end.stream.map_or(end.to, |stream| self.streams[stream]);
        let outlet = end.outlet;
        let law = FlowLaw::Pumped { curve, outlet };
        let link = self.routing.link_shut_at(part.from, to, law, stops(part));
        self.draws.push((pump, link));
    }

    /// What a pump delivers out of its broken line; the break stands as high as the end it cuts off.
    fn broken(
        &mut self,
        model: &'a HydraulicModel<'_>,
        index: usize,
        pump: usize,
        curve: &'a PumpedLineCurve,
    ) {
        let (part, lost) = (&model.pumps[pump], Lost::Break(index));
        let outlet = Some(works_against(model, &model.ends[index]));
        let law = FlowLaw::Pumped { curve, outlet };
        let link = self.leave(part.from, lost, law, stops(part));
        self.draws.push((pump, link));
        if let Some((level, _)) = highest(&stops(part)) {
            // What still comes to its basin is drawn off too.
            let restart = FlowLaw::Restart {
                after: link,
                flow: part.flow,
                level,
                band: FLOAT_TRAVEL,
            };
            self.leave(part.from, lost, restart, Vec::new());
        }
    }

    /// What runs back once the pumps stop: through ends under water as long as no air comes in, and what the pipes hold.
    fn run_back(&mut self, model: &HydraulicModel<'_>, scenario: Scenario) -> Result<(), Gap> {
        let runs_back = |end: &EndPart<'_>| scenario.checks_leak || end.check == Check::None;
        let ends = || model.ends.iter().enumerate().filter(|(_, end)| runs_back(end));
        let siphons: Vec<usize> = ends()
            .filter(|(_, end)| siphons(model, end))
            .map(|(index, _)| index)
            .collect();
        for line in siphons.chunk_by(|a, b| model.ends[*a].line.place == model.ends[*b].line.place) {
            self.siphons_of(model, line, scenario)?;
        }
        // Of a line that the plan lets run back, the pipes empty as soon as air is in them.
        for (index, end) in ends().filter(|(_, end)| end.check == Check::None && end.flow > 0.0) {
            let duration = end.contents / end.flow;
            let link = self.siphons.iter().find(|(siphon, _)| *siphon == index);
            let law = match link {
                Some(&(_, after)) => FlowLaw::Release {
                    after,
                    flow: end.flow,
                    duration,
                },
                None => FlowLaw::Inflow {
                    flow: end.flow,
                    from: 0.0,
                    until: duration,
                },
            };
            if duration > 0.0 {
                let pipes = self.routing.store(Store::Outside, 0.0);
                self.routing.link(pipes, end.from, law);
            }
        }
        Ok(())
    }

    /// The ends of one line that siphon: one through its own pipe, several through the main they share.
    fn siphons_of(
        &mut self,
        model: &HydraulicModel<'_>,
        ends: &[usize],
        scenario: Scenario,
    ) -> Result<(), Gap> {
        if let [_, _, ..] = ends {
            self.routing.manifolds.push(model.manifold(ends)?);
        }
        let manifold = self.routing.manifolds.len().checked_sub(1);
        for (position, index) in ends.iter().enumerate() {
            let end = &model.ends[*index];
            let mut shuts = vec![(end.mouth.clone()?, ShutReason::Mouth)];
            if let (Shown::Is(inlet), false) = (&end.line.air_inlet, scenario.inlets_blocked) {
                let level = inlet.level.value().map(|level| level.si());
                let level = level.ok_or_else(|| Gap::NotShown(vec![inlet.place.child("level")]))?;
                // The higher of the two is reached first; of equals it is the air that stops it.
                shuts.insert(0, (level, ShutReason::AirInlet));
            }
            let law = match manifold {
                Some(manifold) if ends.len() > 1 => FlowLaw::Branch {
                    manifold,
                    end: position,
                },
                _ => FlowLaw::FullPipe {
                    run: end.pipe.clone()?,
                    nu: model.nu,
                    outlet: None,
                },
            };
            let link = self.routing.link_shut_at(end.to, end.from, law, shuts);
            self.siphons.push((*index, link));
        }
        Ok(())
    }

    /// The design storm, evenly over its duration: on every basin open to rain, and off the catchment into its own.
    fn storm(&mut self, model: &HydraulicModel<'_>) -> Result<(), Gap> {
        let site = Place::root().child("site");
        let shown = model.plan.site.value();
        let storm = site.child("design_storm");
        let given = shown.and_then(|site| site.design_storm.value());
        let given = given.ok_or_else(|| Gap::NotShown(vec![storm.clone()]))?;
        let depth = given.depth.value().map(|depth| depth.si());
        let depth = depth.ok_or_else(|| Gap::NotShown(vec![storm.child("depth")]))?;
        let duration = given.duration.value().map(|duration| duration.si());
        let duration = duration.ok_or_else(|| Gap::NotShown(vec![storm.child("duration")]))?;
        let catchment = catchment(model.plan).map_err(|place| Gap::NotShown(vec![place]))?;
        let sky = self.routing.store(Store::Outside, 0.0);
        for (index, part) in model.basins.iter().enumerate() {
            let open = part.basin.open_to_rain.yes();
            let open = open.ok_or_else(|| Gap::NotShown(vec![part.basin.place.child("open_to_rain")]))?;
            let own = if open {
                part.storage.plan_area(part.storage.top())
            } else {
                0.0
            };
            let drained = match catchment {
                Some((into, area)) if into == part.id => area.si(),
                _ => 0.0,
            };
            if own + drained > 0.0 && duration > 0.0 {
                let rain = FlowLaw::Inflow {
                    flow: depth / duration * (own + drained),
                    from: 0.0,
                    until: duration,
                };
                self.routing.link(sky, index, rain);
            }
        }
        Ok(())
    }

    /// Make-up: stuck open; else its float, where all of it is shown.
    fn make_up(&mut self, model: &HydraulicModel<'_>, scenario: Scenario) -> Result<(), Gap> {
        if scenario.make_up_shut {
            return Ok(());
        }
        let part = match &model.make_up {
            Ok(part) => part,
            Err(gap) if scenario.make_up_stuck => return Err(gap.clone()),
            Err(_) => return Ok(()),
        };
        let at = make_up_place();
        let missing = |field: &str| Gap::NotShown(vec![at.child(field)]);
        let (basin, law) = if scenario.make_up_stuck {
            let flow = part.flow.ok_or_else(|| missing("flow"))?;
            (
                part.basin.ok_or_else(|| missing("basin"))?,
                FlowLaw::Constant(flow),
            )
        } else {
            let (Some(basin), Some(flow), Some(level)) = (part.basin, part.flow, part.level) else {
                return Ok(());
            };
            let valve = FlowLaw::FloatValve {
                flow,
                level,
                band: FLOAT_TRAVEL,
            };
            (basin, valve)
        };
        let main = self.routing.store(Store::Outside, 0.0);
        self.routing.link(main, basin, law);
        Ok(())
    }
}

/// Whether an end can run back by itself: under water, in a basin that stands above the one the pump draws from.
fn siphons(model: &HydraulicModel<'_>, end: &EndPart<'_>) -> bool {
    end.outlet.is_none() && model.basins[end.to].still > model.basins[end.from].still
}

/// Water that pumps of a basin put into lines that stand empty while they rest, m³: they fill at once.
fn taken_by_empty_lines(model: &HydraulicModel<'_>, basin: usize, scenario: Scenario) -> f64 {
    if scenario.power_off || scenario.begins == Begins::Running {
        return 0.0;
    }
    let empty = model
        .ends
        .iter()
        .filter(|end| end.check == Check::None && end.from == basin);
    empty.map(|end| end.contents).sum()
}

/// The level a basin begins at.
fn start(model: &HydraulicModel<'_>, index: usize, part: &BasinPart<'_>, scenario: Scenario) -> f64 {
    match scenario.begins {
        Begins::Running => part.running,
        Begins::Still => part.still,
        Begins::Low => {
            let pumped = model.pumps.iter().any(|pump| pump.from == index);
            if pumped {
                low(model, index, part)
            } else {
                part.still
            }
        }
    }
}

/// The lowest ordinary level of a pump's basin: the level that make-up keeps, else an inch of evaporation under still.
fn low(model: &HydraulicModel<'_>, index: usize, part: &BasinPart<'_>) -> f64 {
    let here = |make_up: &&super::model::MakeUpPart| make_up.basin == Some(index);
    let kept = model.make_up.as_ref().ok().filter(here);
    let kept = kept.and_then(|make_up| make_up.level);
    kept.map_or(part.still - INCH, |level| level.min(part.still))
}

/// The level an end works against while running, m.
fn works_against(model: &HydraulicModel<'_>, end: &EndPart<'_>) -> f64 {
    let above = model.basins[end.to].running;
    end.outlet.map_or(above, |outlet| outlet.max(above))
}

/// The stop that the falling water reaches first.
fn highest(stops: &[(f64, ShutReason)]) -> Option<(f64, ShutReason)> {
    stops.iter().copied().max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Levels at which a pump stops for good.
fn stops(part: &PumpPart<'_>) -> Vec<(f64, ShutReason)> {
    let level = |shown: &Shown<crate::plan::Level>, reason| shown.value().map(|level| (level.si(), reason));
    let cut_off = level(&part.pump.low_level_cut_off, ShutReason::CutOff);
    let intake = level(&part.pump.intake, ShutReason::Intake);
    cut_off.into_iter().chain(intake).collect()
}
