//! What is worked out once for a simulation: deliveries, streams, the length of a rim, a line as one pipe.

use crate::{
    formulas::{
        pipe,
        routing::{PumpedLineCurve, StorageDischarge},
        stream::End,
    },
    hydraulics::Channel,
    ledger::{Gap, Notes},
    plan::{Given, Line, Stream},
};

/// Knots of a delivery; what lies between is linear.
const DELIVERY_KNOTS: u32 = 24;
/// Flows of a stream's table, as multiples of its running flow.
const STREAM_KNOTS: [f64; 13] = [
    1e-8, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.05, 0.2, 0.5, 1.0, 1.5, 3.0, 10.0,
];

/// What a pump delivers to one end of its line against the lift, by the head of the pump at a multiple of its running
/// flow. The share of each end is kept, and losses go with the square of the flow; at the running lift it is the
/// running flow exactly.
pub(super) fn delivery(flow: f64, lift: f64, head: impl Fn(f64) -> Option<f64>) -> Option<PumpedLineCurve> {
    let lost = (head(1.0)? - lift).max(0.0);
    if flow <= 0.0 {
        return None;
    }
    let multiples = (0..=DELIVERY_KNOTS).map(|knot| 2.0 * f64::from(knot) / f64::from(DELIVERY_KNOTS));
    let knots = multiples.filter_map(|times| {
        let lift = if times == 1.0 {
            lift
        } else {
            head(times)? - lost * times * times
        };
        Some((lift, flow * times))
    });
    PumpedLineCurve::new(knots.collect())
}

/// Water held in a stream against its flow, by even flow in every reach at the rough end of its range, which holds the
/// most.
pub(super) fn held(stream: &Stream, running: f64) -> Option<StorageDischarge> {
    let mut sheet = Notes::default();
    let reaches = stream.reaches.values();
    let reaches: Vec<Channel> = reaches
        .map(|reach| Channel::of(&mut sheet, reach).ok())
        .collect::<Option<_>>()?;
    let volume = |flow: f64| -> Option<f64> {
        let held = |channel: &Channel| {
            let depth = channel.depth(flow, End::Rough).ok()?;
            Some(channel.section.area(depth) * channel.length)
        };
        reaches.iter().map(held).sum()
    };
    let knots = STREAM_KNOTS.map(|times| Some((volume(running * times)?, running * times)));
    StorageDischarge::new(knots.into_iter().collect::<Option<_>>()?)
}

/// The way from the pump to the end of a run as one pipe of that run's diameter: lengths in the fifth power of the
/// diameters, losses in the fourth, those that go with the velocity in the third. The stopped pump and the open check valve add nothing.
pub(super) fn joined(
    line: &Given<Line>,
    end: &str,
    piece: impl Fn(&str) -> Result<pipe::Run, Gap>,
) -> Result<pipe::Run, Gap> {
    let mut whole = piece(end)?;
    let mut at = line.runs.get(end);
    for _ in 0..line.runs.len() {
        let Some(before) = at.and_then(|run| run.after.value()) else {
            break;
        };
        at = line.runs.get(before);
        if at.is_none() {
            break;
        }
        let run = piece(before)?;
        let ratio = whole.diameter / run.diameter;
        whole.length += run.length * ratio.powi(5);
        whole.minor_k += run.minor_k * ratio.powi(4);
        whole.laminar_k += run.laminar_k * ratio.powi(3);
    }
    Ok(whole)
}
