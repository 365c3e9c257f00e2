//! What a link does to the water, as a curve of flow against head drop.

use super::{
    super::{
        pipe::{Resistance, velocity, velocity_head},
        pump::Curve,
        roots,
    },
    graph::{Kind, Link, Outflow},
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

/// A velocity pressure pipes are often laid out for, m/s.
const USUAL_VELOCITY: f64 = 1.5;

/// One link seen as a curve, run along by a parameter: flow as a share of the flow scale while water runs (or may run
/// both ways), head in metres once it stands closed.
pub(super) struct Element<'a> {
    law: ElementLaw<'a>,
    one_way: bool,
    scale: f64,
}

/// How flow and head hang together.
enum ElementLaw<'a> {
    Pipe(Resistance),
    Pump {
        curve: &'a Curve,
        count: f64,
    },
    /// Head by flow squared, s²/m⁵.
    Valve(f64),
    Spill(&'a Outflow),
}

/// A point on the curve and its direction by the parameter.
#[derive(Clone, Copy)]
pub(super) struct Point {
    pub(super) flow: f64,
    pub(super) flow_slope: f64,
    pub(super) drop: f64,
    /// Inverse of the drop's derivative, 1/m.
    pub(super) steps_per_drop: f64,
    /// Whether a flap, a free outlet or a dry crest holds the water.
    pub(super) closed: bool,
    /// A pipe's `1/√f`, to begin the next evaluation with.
    root: Option<f64>,
}

/// Head drop and its derivative by flow.
struct Drop {
    head: f64,
    slope: f64,
    root: Option<f64>,
}

impl Point {
    /// A place to write a point to.
    pub(super) const NONE: Self = Self {
        flow: 0.0,
        flow_slope: 0.0,
        drop: 0.0,
        steps_per_drop: 0.0,
        closed: false,
        root: None,
    };
}

impl<'a> Element<'a> {
    pub(super) fn new(link: &'a Link, nu: f64, scale: f64) -> Self {
        let law = match &link.kind {
            Kind::Pipe(run) => ElementLaw::Pipe(Resistance::of(run, nu)),
            Kind::Pump { curve, count } => ElementLaw::Pump {
                curve,
                count: f64::from(*count),
            },
            Kind::Valve { diameter, k } => ElementLaw::Valve(k * velocity_head(velocity(1.0, *diameter))),
            Kind::Spill(crest) => ElementLaw::Spill(crest),
        };
        Self {
            law,
            one_way: link.one_way,
            scale,
        }
    }

    /// The point of the curve at a parameter; the point before it makes that faster.
    pub(super) fn at(&self, parameter: f64, before: &Point) -> Point {
        match self.law {
            ElementLaw::Spill(crest) => self.spilling(crest, parameter),
            _ if parameter >= 0.0 || !self.one_way => self.running(parameter, before.root),
            _ => self.closed(parameter),
        }
    }

    fn running(&self, parameter: f64, root: Option<f64>) -> Point {
        let flow = parameter * self.scale;
        let drop = self.drop(flow, root);
        Point {
            flow,
            flow_slope: self.scale,
            drop: drop.head,
            steps_per_drop: 1.0 / (drop.slope * self.scale).max(LEAST_SLOPE),
            closed: false,
            root: drop.root,
        }
    }

    fn closed(&self, parameter: f64) -> Point {
        let pump = matches!(self.law, ElementLaw::Pump { .. });
        let trace = self.scale * if pump { PUMP_TRACE } else { TRACE };
        Point {
            flow: parameter * trace,
            flow_slope: trace,
            drop: self.drop(0.0, None).head + parameter,
            steps_per_drop: 1.0,
            closed: true,
            root: None,
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
            steps_per_drop: 1.0,
            closed: parameter <= 0.0,
            root: None,
        }
    }

    fn drop(&self, flow: f64, root: Option<f64>) -> Drop {
        let (head, slope) = match self.law {
            ElementLaw::Pipe(resistance) => {
                let loss = resistance.loss(flow, root);
                return Drop {
                    head: loss.head,
                    slope: loss.slope,
                    root: loss.root,
                };
            }
            ElementLaw::Pump { curve, count } => {
                let (head, slope) = curve.continued(flow / count);
                (-head, -slope / count)
            }
            ElementLaw::Valve(loss) => (loss * flow * flow.abs(), 2.0 * loss * flow.abs()),
            ElementLaw::Spill(_) => (0.0, 0.0),
        };
        Drop {
            head,
            slope,
            root: None,
        }
    }
}

/// The parameter to begin a link at: its usual flow, or for a crest the head that passes the flow scale.
pub(super) fn start(kind: &Kind, scale: f64) -> f64 {
    match kind {
        Kind::Spill(crest) => head_passing(crest, scale),
        kind => usual_flow(kind) / scale,
    }
}

/// A flow a link is often found at, m³/s: half way along a pump's curve, [`USUAL_VELOCITY`] in a pipe.
pub(super) fn usual_flow(kind: &Kind) -> f64 {
    match kind {
        Kind::Pipe(run) => USUAL_VELOCITY * run.area(),
        Kind::Pump { curve, count } => {
            let (low, high) = curve.ends();
            f64::midpoint(low, high) * f64::from(*count)
        }
        Kind::Valve { diameter, .. } => USUAL_VELOCITY / velocity(1.0, *diameter),
        Kind::Spill(_) => 0.0,
    }
}

/// The head at which a crest passes about a flow, from next to nothing up to 10 m.
fn head_passing(crest: &Outflow, flow: f64) -> f64 {
    const HEADS: (f64, f64) = (1e-9, 10.0);
    let excess = |head: f64| (crest.discharge)(head).0 - flow;
    let head = roots::bracketed(HEADS.0, HEADS.1, 1e-3 * flow, excess);
    if head.is_nan() { HEADS.1 } else { head }
}
