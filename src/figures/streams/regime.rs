//! Where a stream runs tranquil (subcritical) and where rapid (supercritical), and where the one becomes the other.

use super::reaches::{FROUDE, REACH_DEPTH_ROUGH, STREAM_FLOW};
use crate::{
    hydraulics::Channel,
    ledger::{Answer, Definition, Gap, Ledger, Notes, Scope, Worksheet, missing, quantity, verdict},
    plan::{Given, Reach, Stream},
    quantity::Kind,
};

const CRITICAL_FLOW: &str =
    "open-channel hydraulics: critical flow, and the jump by which rapid flow becomes tranquil";
const EVEN_FLOW: &str = "even flow in every reach, each to its end; small slopes";

static FROUDE_ROUGH: Definition = Definition::quantity(
    Scope::Reaches,
    "froude-number-rough",
    "Froude number at the rough end",
    Kind::Ratio,
)
.by(
    "velocity divided by the speed of a wave",
    "Fr_rough = V / √(g·A/T)",
);
static TRANQUIL: Definition = Definition::verdict(
    Scope::Reaches,
    "reach-tranquil",
    "tranquil (subcritical) flow along the reach",
)
.by(
    "Froude number under 1 at both ends of the range of resistance; over 1 the water runs faster than a wave on it",
    "Fr < 1, Fr_rough < 1",
)
.from(CRITICAL_FLOW)
.within(EVEN_FLOW);
static ONE_REGIME: Definition = Definition::verdict(
    Scope::Streams,
    "stream-tranquil",
    "tranquil (subcritical) flow from the head of the stream to the water it ends in",
)
.by(
    "the flow of each reach beside that of the next: from tranquil to rapid the water drops through critical depth, from \
     rapid to tranquil it rises in a hydraulic jump",
    "Fr < 1 along every reach",
)
.from(CRITICAL_FLOW)
.within(EVEN_FLOW);

pub(crate) static DEFINITIONS: &[&Definition] = &[&FROUDE_ROUGH, &TRANQUIL, &ONE_REGIME];

/// How the water runs over the range of resistance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Regime {
    /// Slower than a wave at both ends of the range.
    Tranquil,
    /// Faster than a wave at both ends.
    Rapid,
    /// Rapid at the smooth end, tranquil at the rough.
    Either,
}

impl Regime {
    /// The regime between the Froude numbers at the smooth and the rough end; water at critical depth is not tranquil.
    fn of(smooth: f64, rough: f64) -> Self {
        match (smooth < 1.0, rough < 1.0) {
            (true, _) => Self::Tranquil,
            (false, true) => Self::Either,
            (false, false) => Self::Rapid,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Tranquil => "tranquil (subcritical)",
            Self::Rapid => "rapid (supercritical)",
            Self::Either => {
                "rapid (supercritical) at the smooth end of the range, tranquil (subcritical) at the rough end"
            }
        }
    }

    /// What happens to the water from this flow into that of the reach below.
    fn change_into(self, below: Self) -> Option<&'static str> {
        match (self, below) {
            (Self::Tranquil, Self::Rapid) => Some("the water drops through critical depth"),
            (Self::Rapid, Self::Tranquil) => Some("the water rises in a hydraulic jump"),
            (Self::Tranquil, Self::Either) | (Self::Either, Self::Rapid) => {
                Some("the water may drop through critical depth")
            }
            (Self::Rapid, Self::Either) | (Self::Either, Self::Tranquil) => {
                Some("the water may rise in a hydraulic jump")
            }
            _ => None,
        }
    }
}

/// Enters how each reach runs.
pub(super) fn enter_reach(ledger: &mut Ledger, stream: &Given<Stream>, reach: &Given<Reach>) {
    let at = &reach.place;
    ledger.enter(&FROUDE_ROUGH, at, |sheet| {
        let flow = sheet.figure("Q", &STREAM_FLOW, &stream.place)?;
        let depth = sheet.figure("y_rough", &REACH_DEPTH_ROUGH, at)?;
        let channel = Channel::of(&mut Notes::default(), reach)?;
        quantity(channel.section.froude(flow, depth))
    });
    ledger.enter(&TRANQUIL, at, |sheet| {
        let regime = regime(sheet, reach)?;
        verdict(regime == Regime::Tranquil, regime.words(), Some(at.child("drop")))
    });
}

/// Enters where the flow of a stream changes.
pub(super) fn enter_stream(ledger: &mut Ledger, stream: &Given<Stream>) {
    ledger.enter(&ONE_REGIME, &stream.place, |sheet| changes(sheet, stream));
}

fn regime(sheet: &mut Worksheet<'_>, reach: &Given<Reach>) -> Result<Regime, Gap> {
    let smooth = sheet.figure("Fr", &FROUDE, &reach.place)?;
    let rough = sheet.figure("Fr_rough", &FROUDE_ROUGH, &reach.place)?;
    Ok(Regime::of(smooth, rough))
}

fn changes(sheet: &mut Worksheet<'_>, stream: &Given<Stream>) -> Answer {
    let mut reaches = Vec::new();
    for (id, reach) in &stream.reaches {
        reaches.push((id.as_str(), regime(sheet, reach)?));
    }
    let Some((last, at_foot)) = reaches.last().copied() else {
        return Err(missing(stream.place.child("reaches")));
    };
    let joints = reaches.iter().zip(reaches.iter().skip(1));
    let mut told: Vec<String> = joints
        .filter_map(|((above, flow), (below, next))| {
            let change = flow.change_into(*next)?;
            Some(format!("where \"{above}\" meets \"{below}\" {change}"))
        })
        .collect();
    // The water a stream ends in stands still, or nearly so.
    if let Some(change) = at_foot.change_into(Regime::Tranquil) {
        told.push(format!("at the foot of \"{last}\" {change}"));
    }
    let holds = reaches.iter().all(|(_, flow)| *flow == Regime::Tranquil);
    if told.is_empty() {
        told.push("no reach is rapid".to_owned());
    }
    verdict(holds, told.join("; "), None)
}

#[cfg(test)]
mod tests {
    use super::Regime;

    #[test]
    fn rapid_water_jumps_and_tranquil_water_drops() {
        let (tranquil, rapid, either) = (Regime::of(0.4, 0.1), Regime::of(3.0, 1.2), Regime::of(1.0, 0.9));
        assert_eq!(
            (tranquil, rapid, either),
            (Regime::Tranquil, Regime::Rapid, Regime::Either)
        );
        assert_eq!(tranquil.change_into(tranquil), None);
        assert_eq!(rapid.change_into(rapid), None);
        assert!(
            tranquil
                .change_into(rapid)
                .is_some_and(|words| words.contains("water drops"))
        );
        assert!(
            rapid
                .change_into(tranquil)
                .is_some_and(|words| words.contains("water rises"))
        );
        assert!(
            either
                .change_into(tranquil)
                .is_some_and(|words| words.contains("may rise"))
        );
        assert!(
            tranquil
                .change_into(either)
                .is_some_and(|words| words.contains("may drop"))
        );
    }
}
