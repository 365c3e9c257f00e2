//! The flow of a link, and how it changes with the levels at its ends.

use super::{
    super::water::STANDARD_GRAVITY as G, PumpedLineCurve, ShutReason, StorageDischarge, manifold::LineSearch,
    time_series::Closure,
};
use crate::formulas::{gravity_pipe, pipe, validity::at_least, weir};

/// How the flow of a link follows from the levels at its ends.
#[derive(Clone, Debug)]
pub enum FlowLaw<'a> {
    /// A pump through its line: [`PumpedLineCurve`] against the lift, to the water above or to a free outlet that lies higher.
    Pumped {
        /// Flow against lift.
        curve: &'a PumpedLineCurve,
        /// Level of a free outlet, m.
        outlet: Option<f64>,
    },
    /// A pump that delivers the same whatever the levels, m³/s.
    Constant(f64),
    /// A pipe that stays full, under the head between its ends ([`pipe::flow_under_head`]): the flow ends where they
    /// meet.
    FullPipe {
        /// The pipe, with entrance and exit in its K.
        run: pipe::Run,
        /// Kinematic viscosity, m²/s.
        nu: f64,
        /// Level of a free outlet, m.
        outlet: Option<f64>,
    },
    /// A gravity pipe to a basin or a free outlet, by lip, mouth or full pipe, whichever passes least ([`gravity_pipe::discharge`]); water runs back
    /// through it where it stands higher beyond.
    GravityPipe {
        /// Mouth and pipe.
        pipe: gravity_pipe::GravityPipe,
        /// Kinematic viscosity, m²/s.
        nu: f64,
        /// Level of a free outlet, m.
        outlet: Option<f64>,
    },
    /// A crest, drowned where the water below stands over it; water runs back where it stands higher
    /// ([`weir::submerged_discharge`]).
    Crest {
        /// The crest.
        crest: weir::Crest,
        /// Its level, m.
        level: f64,
    },
    /// A sharp-edged opening under water on one side, `Q = C·A·√(2·g·h)`.
    Orifice {
        /// Level of its centre, m.
        level: f64,
        /// C·A, m².
        area: f64,
    },
    /// One end of a branched line that runs back through a shared main; each link of it starts at an end and leads to
    /// the start of the line.
    Branch {
        /// Index of the manifold.
        manifold: usize,
        /// Which of its ends.
        end: usize,
    },
    /// A float valve, wide open from a band below its level, shut at its level.
    FloatValve {
        /// Flow when wide open, m³/s.
        flow: f64,
        /// Level at which it shuts, m.
        level: f64,
        /// Travel from shut to wide open, m.
        band: f64,
    },
    /// Water that a line lets go once air has come into it: after another link was shut by air.
    Release {
        /// Index of the link that air shuts.
        after: usize,
        /// m³/s.
        flow: f64,
        /// For how long, s.
        duration: f64,
    },
    /// A pump that runs again as soon as water comes back to it, once another link, its own, was shut.
    Restart {
        /// Index of the link that the falling water shut.
        after: usize,
        /// Its flow with the water a band above the level, m³/s.
        flow: f64,
        /// Level at which it stops, m.
        level: f64,
        /// Rise from stopped to its whole flow, m.
        band: f64,
    },
    /// What a stream passes on of the water in it.
    StreamOutflow(StorageDischarge),
    /// An inflow that runs for a time, m³/s and s.
    Inflow {
        /// m³/s.
        flow: f64,
        /// When it begins.
        from: f64,
        /// When it ends.
        until: f64,
    },
}

/// What a flow hangs on beside the levels at its ends.
#[derive(Clone, Debug)]
pub(super) struct Circumstances {
    /// s.
    pub time: f64,
    /// What shut each link.
    pub shut: Vec<Option<Closure>>,
    /// Branched lines, solved for the levels at all their ends.
    pub lines: Vec<LineSearch>,
}

impl Circumstances {
    /// When a line lets go of its water: from the instant at which air shut a link, s.
    fn let_go(&self, after: usize, duration: f64) -> Option<(f64, f64)> {
        let shut = self.shut[after]?;
        let by_air = matches!(shut.reason, ShutReason::AirInlet | ShutReason::Mouth);
        by_air.then_some((shut.time, shut.time + duration))
    }
}

/// A flow, m³/s, with its derivatives by the level it comes from and the level it goes to, m²/s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Flow {
    pub rate: f64,
    pub by_from: f64,
    pub by_to: f64,
}

impl Flow {
    fn of_head((rate, by_head): (f64, f64), to_counts: bool) -> Self {
        Self {
            rate,
            by_from: by_head,
            by_to: if to_counts { -by_head } else { 0.0 },
        }
    }
}

impl FlowLaw<'_> {
    /// The same link with its crest or lip no lower than a floor: nothing runs out of an empty basin.
    pub(super) fn seated(mut self, floor: f64) -> Self {
        match &mut self {
            Self::Crest { level, .. } => *level = level.max(floor),
            Self::GravityPipe { pipe: drain, .. } => drain.level = drain.level.max(floor),
            _ => {}
        }
        self
    }

    /// The flow between two levels, with its derivatives.
    pub(super) fn flow(&self, from: f64, to: f64, at: &Circumstances) -> Flow {
        match self {
            Self::Pumped { curve, outlet } => {
                let (against, to_counts) = against(*outlet, to);
                let (rate, by_lift) = curve.flow(against - from);
                Flow::of_head((rate, -by_lift), to_counts)
            }
            Self::Constant(rate) => Flow {
                rate: *rate,
                ..Flow::default()
            },
            Self::FullPipe { run, nu, outlet } => {
                let (against, to_counts) = against(*outlet, to);
                Flow::of_head(full_pipe(from - against, run, *nu), to_counts)
            }
            Self::GravityPipe {
                pipe: drain,
                nu,
                outlet,
            } => {
                let (against, to_counts) = against(*outlet, to);
                drained(drain, from, (against, to_counts), *nu)
            }
            Self::Crest { crest, level } => over(crest, from - level, to - level),
            Self::Orifice { level, area } => {
                let head = at_least(from - level, 0.0);
                let rate = area * (2.0 * G * head).sqrt();
                let slope = if head > 0.0 { rate / (2.0 * head) } else { 0.0 };
                Flow::of_head((rate, slope), false)
            }
            Self::FloatValve { flow, level, band } => float_valve(*flow, *level - to, *band),
            Self::Branch { manifold, end } => {
                let end = at.lines[*manifold].ends[*end];
                Flow {
                    rate: end.rate,
                    by_from: end.by_own,
                    by_to: end.by_start,
                }
            }
            Self::Release {
                after,
                flow,
                duration,
            } => for_a_time(*flow, at.let_go(*after, *duration), at.time),
            Self::Restart {
                after,
                flow,
                level,
                band,
            } => match at.shut[*after] {
                Some(_) => restarted(*flow, from - level, *band),
                None => Flow::default(),
            },
            Self::StreamOutflow(held) => Flow::of_head(held.flow(from), false),
            Self::Inflow { flow, from, until } => for_a_time(*flow, Some((*from, *until)), at.time),
        }
    }

    /// Head of a full pipe, which shuts as it goes to nothing, m.
    pub(super) fn head(&self, from: f64, to: f64) -> Option<f64> {
        match self {
            Self::FullPipe { outlet, .. } => Some(from - against(*outlet, to).0),
            _ => None,
        }
    }

    /// Whether it runs on between two levels, until something stops it.
    pub(super) fn drives(&self, from: f64, to: f64, at: &Circumstances) -> bool {
        match self {
            Self::Pumped { .. } | Self::Constant(_) | Self::FullPipe { .. } | Self::Branch { .. } => true,
            Self::FloatValve { .. } | Self::Restart { .. } => self.flow(from, to, at).rate > TRICKLE,
            Self::Inflow { flow, until, .. } => *flow != 0.0 && at.time < *until,
            _ => false,
        }
    }

    /// The next instant at which it changes by itself.
    pub(super) fn next_change(&self, at: &Circumstances) -> Option<f64> {
        let changes = match self {
            Self::Inflow { from, until, .. } => [*from, *until],
            Self::Release { after, duration, .. } => at.let_go(*after, *duration)?.into(),
            _ => return None,
        };
        changes.into_iter().find(|change| *change > at.time)
    }
}

/// Flow of a valve that counts as shut, m³/s.
const TRICKLE: f64 = 1e-9;

/// A flow that runs over a span of time, s.
fn for_a_time(flow: f64, span: Option<(f64, f64)>, time: f64) -> Flow {
    let runs = span.is_some_and(|(from, until)| from <= time && time < until);
    Flow {
        rate: if runs { flow } else { 0.0 },
        ..Flow::default()
    }
}

/// Flow of a pump that takes what comes back to it, with the water so far above the level at which it stops, m.
fn restarted(flow: f64, above: f64, band: f64) -> Flow {
    let share = above / band;
    Flow {
        rate: flow * share.clamp(0.0, 1.0),
        by_from: if share > 0.0 && share < 1.0 {
            flow / band
        } else {
            0.0
        },
        by_to: 0.0,
    }
}

/// The level a link works against, and whether that is the water below.
fn against(outlet: Option<f64>, to: f64) -> (f64, bool) {
    match outlet {
        Some(outlet) if outlet >= to => (outlet, false),
        _ => (to, to.is_finite()),
    }
}

/// Flow of a float valve whose level stands so far above the water, m.
fn float_valve(flow: f64, below: f64, band: f64) -> Flow {
    let open = (below / band).clamp(0.0, 1.0);
    Flow {
        rate: flow * open,
        by_from: 0.0,
        by_to: if open > 0.0 && open < 1.0 {
            -flow / band
        } else {
            0.0
        },
    }
}

/// Flow under a head, m³/s, with its derivative, m²/s.
fn full_pipe(head: f64, run: &pipe::Run, nu: f64) -> (f64, f64) {
    let flow = pipe::flow_under_head(head, run, nu);
    if flow == 0.0 {
        return (0.0, 0.0);
    }
    (flow, 1.0 / pipe::head_loss_and_slope(flow, run, nu).1)
}

/// Flow through a gravity pipe; below zero where the water beyond stands higher, and over the lip: it runs back through
/// the full pipe.
fn drained(drain: &gravity_pipe::GravityPipe, from: f64, (to, to_counts): (f64, bool), nu: f64) -> Flow {
    if to > from && to_counts {
        let (rate, by_head) = full_pipe(to - drain.level.max(from), &drain.pipe, nu);
        return Flow {
            rate: -rate,
            by_from: if from >= drain.level { by_head } else { 0.0 },
            by_to: -by_head,
        };
    }
    let (rate, control) = gravity_pipe::discharge(drain, from, to, nu);
    if control == gravity_pipe::Control::FullPipe && rate > 0.0 {
        let by_head = 1.0 / pipe::head_loss_and_slope(rate, &drain.pipe, nu).1;
        return Flow::of_head((rate, by_head), to_counts);
    }
    let above = gravity_pipe::discharge(drain, from + NUDGE, to, nu).0;
    Flow::of_head((rate, (above - rate) / NUDGE), false)
}

/// Flow over a crest between two heads over it, m; below zero where the water beyond stands higher.
fn over(crest: &weir::Crest, upstream: f64, downstream: f64) -> Flow {
    if upstream < downstream {
        let back = over(crest, downstream, upstream);
        return Flow {
            rate: -back.rate,
            by_from: -back.by_to,
            by_to: -back.by_from,
        };
    }
    let (rate, by_from, by_to) = weir::submerged_discharge_and_slopes(crest, upstream, downstream);
    Flow { rate, by_from, by_to }
}

/// A small step for a derivative, m.
const NUDGE: f64 = 1e-7;
