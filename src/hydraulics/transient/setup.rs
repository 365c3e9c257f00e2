//! The works of a plan under a case, as a balance to be followed.

use super::{
    model::{BasinPart, EndPart, HydraulicModel, PumpPart},
    scenario::{Begins, Scenario},
};
use crate::{
    formulas::{
        routing::{FlowLaw, Routing, ShutReason, Store, WatchedLevel},
        weir::{BROAD, Crest, Edge},
    },
    hydraulics::components::overflow::piped,
    ledger::{Gap, Notes},
    plan::{Given, Measure, Overflow, Plan, Shown, connections::catchment},
    read::Place,
};

/// An inch of settlement, and of evaporation, m.
pub(crate) const INCH: f64 = 0.0254;

/// A case set up, and which of its stores and ways stand for what.
pub(super) struct Setup<'a> {
    pub balance: Routing<'a>,
    /// What left, by its store: where from.
    pub outside: Vec<(usize, Lost)>,
    /// Rims as they are in this case, m.
    pub rims: Vec<Option<f64>>,
    /// Ways by which lines siphon back: end and way.
    pub siphons: Vec<(usize, usize)>,
    /// Ways by which pumps draw: pump and way.
    pub draws: Vec<(usize, usize)>,
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
    /// A case set up; what it needs and the plan does not show is the gap.
    pub fn of(works: &'a HydraulicModel<'_>, scenario: Scenario) -> Result<Self, Gap> {
        let mut setup = Self {
            balance: Routing::default(),
            outside: Vec::new(),
            rims: Vec::new(),
            siphons: Vec::new(),
            draws: Vec::new(),
        };
        for part in &works.basins {
            let level = start(works, part, scenario);
            setup.balance.basin(part.storage, level);
        }
        for (index, part) in works.basins.iter().enumerate() {
            setup.rim(index, part, scenario);
            if scenario.counts_overflows() {
                setup.overflow(works, index, part)?;
            }
        }
        setup.falls(works, scenario);
        setup.drains(works);
        if !scenario.power_off {
            setup.pumps(works, scenario);
        } else if scenario.checks_leak {
            setup.siphons(works, scenario)?;
        }
        if scenario.storm {
            setup.storm(works)?;
        }
        if scenario.make_up_stuck {
            setup.make_up(works)?;
        }
        Ok(setup)
    }

    fn outside(&mut self, lost: Lost) -> usize {
        if let Some((store, _)) = self.outside.iter().find(|(_, known)| *known == lost) {
            return *store;
        }
        let store = self.balance.store(Store::Outside, 0.0);
        self.outside.push((store, lost));
        store
    }

    /// Water over the rim leaves as over a broad crest as long as the rim.
    fn rim(&mut self, index: usize, part: &BasinPart<'_>, scenario: Scenario) {
        let settled = if scenario.edge_settled { INCH } else { 0.0 };
        let rim = part.rim.map(|rim| rim - settled);
        self.rims.push(rim);
        if let (Some(level), false) = (rim, scenario.rims_hold) {
            let ground = self.outside(Lost::Rim(index));
            let crest = Crest::in_open_water(Edge::BroadStone, part.rim_length);
            self.balance.link(index, ground, FlowLaw::Crest { crest, level });
            let watched = WatchedLevel { store: index, level };
            self.balance.watched.push(watched);
        }
    }

    fn overflow(
        &mut self,
        works: &HydraulicModel<'_>,
        index: usize,
        part: &BasinPart<'_>,
    ) -> Result<(), Gap> {
        let overflow = match &part.basin.overflow {
            Shown::Is(overflow) => overflow,
            Shown::None(_) => return Ok(()),
            Shown::NotShown => return Err(Gap::NotShown(vec![part.basin.place.child("overflow")])),
        };
        let law = overflow_law(works, overflow)?;
        let outfall = self.outside(Lost::Overflow(index));
        self.balance.link(index, outfall, law);
        Ok(())
    }

    fn falls(&mut self, works: &HydraulicModel<'_>, scenario: Scenario) {
        let streams: Vec<usize> = works
            .streams
            .iter()
            .map(|part| {
                let runs = scenario.begins == Begins::Running;
                let water = if runs { part.running } else { 0.0 };
                let store = self.balance.store(Store::Stream(part.held.clone()), water);
                self.balance
                    .link(store, part.to, FlowLaw::StreamOutflow(part.held.clone()));
                store
            })
            .collect();
        for fall in &works.falls {
            let blocked = if scenario.crests_blocked { 0.5 } else { 1.0 };
            let crest = fall.crest.narrowed(blocked);
            let to = fall.stream.map_or(fall.to, |stream| streams[stream]);
            let level = fall.level;
            self.balance.link(fall.from, to, FlowLaw::Crest { crest, level });
        }
    }

    fn drains(&mut self, works: &HydraulicModel<'_>) {
        for part in &works.drains {
            let law = FlowLaw::GravityPipe {
                pipe: part.drain,
                nu: works.nu,
                outlet: part.outlet,
            };
            self.balance.link(part.from, part.to, law);
        }
    }

    fn pumps(&mut self, works: &'a HydraulicModel<'_>, scenario: Scenario) {
        for (index, end) in works.ends.iter().enumerate() {
            for (pump, delivery) in &end.deliveries {
                let part = &works.pumps[*pump];
                let outlet = end.outlet;
                let (to, law) = if scenario.lines_broken {
                    let lost = self.outside(Lost::Break(index));
                    let (lift, _) = lift(works, part, end);
                    (lost, FlowLaw::Constant(delivery.flow(lift).0))
                } else {
                    (
                        end.to,
                        FlowLaw::Pumped {
                            curve: delivery,
                            outlet,
                        },
                    )
                };
                let way = self.balance.link_shut_at(part.from, to, law, stops(part));
                self.draws.push((*pump, way));
            }
        }
    }

    fn siphons(&mut self, works: &HydraulicModel<'_>, scenario: Scenario) -> Result<(), Gap> {
        for (index, end) in works.ends.iter().enumerate() {
            let above = works.basins[end.to].still > works.basins[end.from].still;
            if end.outlet.is_some() || !above {
                continue;
            }
            let mut shuts = vec![(end.mouth.clone()?, ShutReason::Mouth)];
            if let (Shown::Is(inlet), false) = (&end.line.air_inlet, scenario.inlets_blocked) {
                let level = inlet.level.value().map(|level| level.si());
                let level = level.ok_or_else(|| Gap::NotShown(vec![inlet.place.child("level")]))?;
                // The higher of the two is reached first; of equals it is the air that stops it.
                shuts.insert(0, (level, ShutReason::AirInlet));
            }
            let law = FlowLaw::FullPipe {
                run: end.pipe.clone()?,
                nu: works.nu,
                outlet: None,
            };
            let way = self.balance.link_shut_at(end.to, end.from, law, shuts);
            self.siphons.push((index, way));
        }
        Ok(())
    }

    /// The design storm, evenly over its duration: on every basin open to rain, and off the catchment into its own.
    fn storm(&mut self, works: &HydraulicModel<'_>) -> Result<(), Gap> {
        let site = Place::root().child("site");
        let shown = works.plan.site.value();
        let storm = site.child("design_storm");
        let given = shown.and_then(|site| site.design_storm.value());
        let given = given.ok_or_else(|| Gap::NotShown(vec![storm.clone()]))?;
        let depth = given.depth.value().map(|depth| depth.si());
        let depth = depth.ok_or_else(|| Gap::NotShown(vec![storm.child("depth")]))?;
        let duration = given.duration.value().map(|duration| duration.si());
        let duration = duration.ok_or_else(|| Gap::NotShown(vec![storm.child("duration")]))?;
        let catchment = catchment(works.plan).map_err(|place| Gap::NotShown(vec![place]))?;
        let sky = self.balance.store(Store::Outside, 0.0);
        for (index, part) in works.basins.iter().enumerate() {
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
                self.balance.link(sky, index, rain);
            }
        }
        Ok(())
    }

    fn make_up(&mut self, works: &HydraulicModel<'_>) -> Result<(), Gap> {
        let flow = make_up_flow(works.plan)?;
        let make_up = works.plan.water.value().and_then(|water| water.make_up.value());
        let basin = match make_up.and_then(|make_up| make_up.basin.value()) {
            Some(id) => works.basin(id),
            None if works.basins.len() == 1 => Some(0),
            None => None,
        };
        let asked = || Gap::NotShown(vec![make_up_place().child("basin")]);
        let basin = basin.ok_or_else(asked)?;
        let main = self.balance.store(Store::Outside, 0.0);
        self.balance.link(main, basin, FlowLaw::Constant(flow));
        Ok(())
    }
}

fn make_up_place() -> Place {
    Place::root().child("water").child("make_up")
}

/// What automatic make-up gives when it is stuck open, m³/s.
pub(crate) fn make_up_flow(plan: &Plan) -> Result<f64, Gap> {
    let at = make_up_place();
    let make_up = match plan.water.value().map(|water| &water.make_up) {
        Some(Shown::Is(make_up)) => make_up,
        Some(Shown::None(_)) => return Err(Gap::DoesNotApply("no make-up is connected".to_owned())),
        _ => return Err(Gap::NotShown(vec![at])),
    };
    match make_up.automatic.yes() {
        Some(true) => {}
        Some(false) => return Err(Gap::DoesNotApply("make-up is opened by hand".to_owned())),
        None => return Err(Gap::NotShown(vec![at.child("automatic")])),
    }
    let flow = make_up.flow.value().map(|flow| flow.si());
    flow.ok_or_else(|| Gap::NotShown(vec![at.child("flow")]))
}

/// The level a basin begins at.
fn start(works: &HydraulicModel<'_>, part: &BasinPart<'_>, scenario: Scenario) -> f64 {
    match scenario.begins {
        Begins::Running => part.running,
        Begins::Still => part.still,
        Begins::Low => {
            let pumped = works
                .pumps
                .iter()
                .any(|pump| works.basins[pump.from].id == part.id);
            if pumped { low(works, part) } else { part.still }
        }
    }
}

/// The lowest ordinary level of a pump's basin: the level that make-up keeps, else an inch of evaporation under still.
fn low(works: &HydraulicModel<'_>, part: &BasinPart<'_>) -> f64 {
    let water = works.plan.water.value();
    let make_up = water.and_then(|water| water.make_up.value());
    let kept = make_up.filter(|make_up| {
        let here = make_up
            .basin
            .value()
            .map_or(works.basins.len() == 1, |id| id == part.id);
        here && make_up.automatic.yes() == Some(true)
    });
    let kept = kept.and_then(|make_up| make_up.level.value());
    kept.map_or(part.still - INCH, |level| level.si().min(part.still))
}

/// Lift of a pump to an end while running, m, and the level it works against.
fn lift(works: &HydraulicModel<'_>, pump: &PumpPart<'_>, end: &EndPart<'_>) -> (f64, f64) {
    let above = works.basins[end.to].running;
    let against = end.outlet.map_or(above, |outlet| outlet.max(above));
    (against - works.basins[pump.from].running, against)
}

/// Levels at which a pump stops for good.
fn stops(part: &PumpPart<'_>) -> Vec<(f64, ShutReason)> {
    let cut_off = part
        .pump
        .low_level_cut_off
        .value()
        .map(|level| (level.si(), ShutReason::CutOff));
    let intake = part
        .pump
        .intake
        .value()
        .map(|level| (level.si(), ShutReason::Intake));
    cut_off.into_iter().chain(intake).collect()
}

/// Head at which an overflow of stated capacity is taken to carry it, m.
const STATED_HEAD: f64 = INCH;

/// A lip alone as a sharp crest; a bore, with a lip before it or without, by lip, mouth and pipe; a stated capacity as a
/// lip that carries it at an inch of head.
fn overflow_law(works: &HydraulicModel<'_>, overflow: &Given<Overflow>) -> Result<FlowLaw<'static>, Gap> {
    let level = overflow.level.value().map(|level| level.si());
    let level = level.ok_or_else(|| Gap::NotShown(vec![overflow.place.child("level")]))?;
    let lip = |edge, width| FlowLaw::Crest {
        crest: Crest::in_open_water(edge, width),
        level,
    };
    let width = overflow.width.value().map(|width| width.si());
    match (width, overflow.bore.value(), overflow.capacity.value()) {
        (width, Some(bore), _) => {
            let (drain, outlet) = piped(&mut Notes::default(), level, width, bore.si());
            Ok(FlowLaw::GravityPipe {
                pipe: drain,
                nu: works.nu,
                outlet: Some(outlet),
            })
        }
        (Some(width), None, _) => Ok(lip(Edge::ThinLip, width)),
        (None, None, Some(capacity)) => {
            let width = capacity.si() / (BROAD * STATED_HEAD.powf(1.5));
            Ok(lip(Edge::BroadStone, width))
        }
        _ => Err(Gap::NotShown(vec![overflow.place.child("width")])),
    }
}
