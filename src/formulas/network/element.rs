//! What a link does to the water, as a curve of flow against head drop.

use super::{
    super::{
        pipe::{head_loss_and_slope, velocity, velocity_head},
        water::STANDARD_GRAVITY as G,
    },
    Kind, Link, Outflow,
};

/// Conductance of a closed one-way link, as a share of the flow scale per metre of head. It keeps the head between
/// two closed links defined; what it passes is far below the tolerance of the balance.
const TRACE: f64 = 1e-20;
/// The same for a pump that can't lift, so much above a closed flap's that the water between the two stands at the
/// pump's shut-off head.
const PUMP_TRACE: f64 = 1e-14;
/// The least head, in m, a step by the whole flow scale is taken to cost: keeps a link that has no slope at rest from
/// counting as an endless conductance.
const LEAST_SLOPE: f64 = 1e-5;

/// One link seen as a curve, run along by a parameter: flow as a share of the flow scale while water runs (or may run
/// both ways), head in metres once it stands closed.
pub(super) struct Element<'a> {
    kind: &'a Kind,
    one_way: bool,
    nu: f64,
    scale: f64,
}

/// A point on the curve and its direction: values and derivatives by the parameter.
#[derive(Clone, Copy)]
pub(super) struct Point {
    pub(super) flow: f64,
    pub(super) flow_slope: f64,
    pub(super) drop: f64,
    pub(super) drop_slope: f64,
    /// Whether a flap, a free outlet or a dry crest holds the water.
    pub(super) closed: bool,
}

impl<'a> Element<'a> {
    pub(super) fn new(link: &'a Link, nu: f64, scale: f64) -> Self {
        Self {
            kind: &link.kind,
            one_way: link.one_way,
            nu,
            scale,
        }
    }

    /// The point of the curve at a parameter.
    pub(super) fn at(&self, parameter: f64) -> Point {
        match self.kind {
            Kind::Spill(crest) => self.spilling(crest, parameter),
            _ if parameter >= 0.0 || !self.one_way => self.running(parameter),
            _ => self.closed(parameter),
        }
    }

    /// Where to begin: a usual flow.
    pub(super) fn start(&self) -> f64 {
        match self.kind {
            Kind::Spill(crest) => head_passing(crest, self.scale),
            kind => usual_flow(kind) / self.scale,
        }
    }

    fn running(&self, parameter: f64) -> Point {
        let (drop, slope) = self.drop_and_slope(parameter * self.scale);
        Point {
            flow: parameter * self.scale,
            flow_slope: self.scale,
            drop,
            drop_slope: (slope * self.scale).max(LEAST_SLOPE),
            closed: false,
        }
    }

    fn closed(&self, parameter: f64) -> Point {
        let pump = matches!(self.kind, Kind::Pump { .. });
        let trace = self.scale * if pump { PUMP_TRACE } else { TRACE };
        Point {
            flow: parameter * trace,
            flow_slope: trace,
            drop: self.drop_and_slope(0.0).0 + parameter,
            drop_slope: 1.0,
            closed: true,
        }
    }

    fn spilling(&self, crest: &Outflow, parameter: f64) -> Point {
        let trace = self.scale * TRACE;
        let (flow, slope) = if parameter > 0.0 {
            (crest.discharge)(parameter)
        } else {
            (parameter * trace, trace)
        };
        Point {
            flow,
            flow_slope: slope.max(trace),
            drop: crest.level + parameter,
            drop_slope: 1.0,
            closed: parameter <= 0.0,
        }
    }

    /// Head drop and its derivative at a flow.
    fn drop_and_slope(&self, flow: f64) -> (f64, f64) {
        match self.kind {
            Kind::Pipe(run) => head_loss_and_slope(flow, run, self.nu),
            Kind::Pump { curve, count } => {
                let count = f64::from(*count);
                let (head, slope) = curve.continued(flow / count);
                (-head, -slope / count)
            }
            Kind::Valve { diameter, k } => {
                let v = velocity(flow, *diameter);
                let velocity_per_flow = velocity(1.0, *diameter);
                (
                    (k * velocity_head(v)).copysign(flow),
                    k * v.abs() / G * velocity_per_flow,
                )
            }
            Kind::Spill(_) => (0.0, 0.0),
        }
    }
}

/// A flow a link is often found at, m³/s: half way along a pump's curve, 0.5 m/s in a pipe.
pub(super) fn usual_flow(kind: &Kind) -> f64 {
    match kind {
        Kind::Pipe(run) => 0.5 * run.area(),
        Kind::Pump { curve, count } => {
            let (low, high) = curve.ends();
            f64::midpoint(low, high) * f64::from(*count)
        }
        Kind::Valve { diameter, .. } => 0.5 / velocity(1.0, *diameter),
        Kind::Spill(_) => 0.0,
    }
}

/// The head at which a crest passes about a flow, by halving between nothing and 10 m.
fn head_passing(crest: &Outflow, flow: f64) -> f64 {
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..20 {
        let middle = f64::midpoint(low, high);
        if (crest.discharge)(middle).0 < flow {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
