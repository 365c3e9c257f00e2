//! Why a circuit has no steady running, in words a designer can act on.

use super::{network::Links, parts::Parts, states::OffCurve};
use crate::{
    formulas::network::{LinkId, NoSolution},
    ledger::Gap,
    read::Place,
};

/// Why a circuit has no steady running, and the pump to blame where one is.
pub(super) struct Failure {
    pub gap: Gap,
    pub off_curve: Option<(Place, OffCurve)>,
}

impl From<Gap> for Failure {
    fn from(gap: Gap) -> Self {
        Self { gap, off_curve: None }
    }
}

/// A reason for no solution in words a designer can act on.
pub(super) fn failure(why: &NoSolution, parts: &Parts<'_>, links: &Links) -> Failure {
    let blamed = |link: &LinkId, words: &str, fault: Option<Place>| {
        let at = links.pumps.iter().position(|pump| pump == link);
        let pump = at
            .and_then(|at| parts.pumps.get(at))
            .map(|part| part.pump.place.clone());
        let off_curve = OffCurve {
            because: words.to_owned(),
            at: fault,
        };
        Failure {
            gap: Gap::NotComputed(words.to_owned()),
            off_curve: pump.map(|pump| (pump, off_curve)),
        }
    };
    match why {
        NoSolution::PumpCannotLift { pump, .. } => blamed(
            pump,
            "the pump cannot lift water to its outlet: more stands against it than its head at shut-off",
            None,
        ),
        NoSolution::BeyondCurve { pump, .. } => blamed(
            pump,
            "the pump would run beyond the last point of its curve, where the curve says nothing",
            None,
        ),
        NoSolution::NoWaterPath { link } => match shut_at(parts) {
            Some((name, place)) => blamed(
                link,
                &format!(
                    "no way is open for the water: the valve in \"{name}\" is shut, and it is the only way"
                ),
                Some(place),
            ),
            None => blamed(link, "no way leads the water from the pump to a basin", None),
        },
        NoSolution::Link { link, fault } => Gap::NotComputed(named(*link, fault, parts, links)).into(),
        other => Gap::NotComputed(other.to_string()).into(),
    }
}

/// The first shut valve: what it is in, and where the plan says so.
fn shut_at(parts: &Parts<'_>) -> Option<(String, Place)> {
    let runs = parts.runs.iter().filter(|part| part.shut());
    let runs = runs.map(|part| (part.id.to_owned(), part.run.place.child("shut")));
    let drains = parts.drains.iter().filter(|part| part.shut());
    let drains = drains.map(|part| {
        let place = &part.drain.place;
        let id = place.key();
        (id, place.child("run").child("shut"))
    });
    runs.chain(drains).next()
}

/// A fault of a link, told with the id of what it stands for.
fn named(link: LinkId, fault: &str, parts: &Parts<'_>, links: &Links) -> String {
    let runs = parts
        .runs
        .iter()
        .zip(&links.runs)
        .map(|(part, link)| (link, &part.run.place));
    let falls = parts
        .falls
        .iter()
        .zip(&links.falls)
        .map(|(part, link)| (link, &part.fall.place));
    let drains = parts
        .drains
        .iter()
        .zip(&links.drains)
        .map(|(part, link)| (link, &part.drain.place));
    let place = runs.chain(falls).chain(drains).find(|(of, _)| **of == link);
    match place {
        Some((_, place)) => format!("{}: {fault}", place.as_str()),
        None => fault.to_owned(),
    }
}
