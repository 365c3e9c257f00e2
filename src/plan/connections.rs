//! How the parts of a plan are joined: what a fall or a line ends in, which pumps stand in series, and whose water
//! reaches a basin.

use std::collections::{HashMap, HashSet};

use super::{
    Area, Basin, Drain, Fall, Given, Line, Map, Measure, Plan, Pump, Run, Shown, Stream,
    adjacency::{Reached, grouped},
};
use crate::read::Place;

/// The pumps whose water reaches a basin, and what is left out that might bring that of others.
pub(crate) struct Feeding<'p> {
    pub pumps: Vec<&'p Given<Pump>>,
    pub unknown: Vec<Place>,
}

/// The pumps whose water reaches a basin without another pump: what a second one lifts on stops with that one.
pub(crate) fn feeding<'p>(plan: &'p Plan, id: &str) -> Feeding<'p> {
    let all = plan.adjacency.further.reached.get_or_init(|| all_reached(plan));
    let own = all.by_basin.get(id).map_or(&[][..], Vec::as_slice);
    let pump = |at: &usize| plan.pumps.get_index(*at).map(|(_, pump)| pump);
    let others = all.unknown.iter().filter(|(at, _)| !own.contains(at));
    Feeding {
        pumps: own.iter().filter_map(pump).collect(),
        unknown: others.flat_map(|(_, unknown)| unknown.iter().cloned()).collect(),
    }
}

/// What the water of every pump reaches.
fn all_reached(plan: &Plan) -> Reached {
    let mut all = Reached::default();
    // Pumps whose lines end alike reach alike.
    let mut known: HashMap<Vec<&str>, (HashSet<&str>, Vec<Place>)> = HashMap::new();
    for (at, pump) in plan.pumps.keys().enumerate() {
        let (open, mut unknown) = ends(plan, pump);
        let (reached, further) = known
            .entry(open)
            .or_insert_with_key(|open| runs_on(plan, open.clone()));
        for basin in reached.iter() {
            all.by_basin.entry((*basin).to_owned()).or_default().push(at);
        }
        unknown.extend(further.iter().cloned());
        if !unknown.is_empty() {
            all.unknown.push((at, unknown));
        }
    }
    all
}

/// The basins that water led into some of them comes to by falls, streams and gravity lines, themselves included, and
/// the places that would tell of more.
fn runs_on<'p>(plan: &'p Plan, mut open: Vec<&'p str>) -> (HashSet<&'p str>, Vec<Place>) {
    let (mut reached, mut unknown) = (HashSet::new(), Vec::new());
    while let Some(basin) = open.pop() {
        if !reached.insert(basin) {
            continue;
        }
        let ways = falls_from(plan, basin)
            .map(|fall| (receiver(plan, fall), &fall.place))
            .chain(
                drains_from(plan, basin).map(|drain| (drain.to.value().map(String::as_str), &drain.place)),
            );
        for (to, at) in ways {
            match to {
                Some(to) => open.push(to),
                None => unknown.push(at.child("to")),
            }
        }
    }
    (reached, unknown)
}

/// The basins that the lines of a pump end in.
fn ends<'p>(plan: &'p Plan, pump: &str) -> (Vec<&'p str>, Vec<Place>) {
    let mut lines = lines_from(plan, pump).peekable();
    if lines.peek().is_none() && !pumped_on(plan, pump) {
        return (Vec::new(), vec![Place::root().child("lines")]);
    }
    let (mut basins, mut unknown) = (Vec::new(), Vec::new());
    for line in lines {
        if line.runs.is_empty() {
            unknown.push(line.place.child("runs"));
        }
        let gone_on: HashSet<&String> = line.runs.values().filter_map(|next| next.after.value()).collect();
        for (id, run) in &line.runs {
            match run.to.value() {
                Some(to) => match ending(plan, to) {
                    Some(basin) => basins.push(basin),
                    None => unknown.push(stream_end(to)),
                },
                None if gone_on.contains(id) || run.joins.value().is_some() => {}
                None => unknown.push(run.place.child("to")),
            }
        }
    }
    (basins, unknown)
}

/// The members at some positions of a collection.
fn members<'p, T>(map: &'p Map<T>, at: Option<&'p Vec<usize>>) -> impl Iterator<Item = &'p Given<T>> {
    let at = at.map_or(&[][..], Vec::as_slice);
    at.iter()
        .filter_map(|at| map.get_index(*at).map(|(_, member)| member))
}

/// The falls that leave a basin or stream.
pub(crate) fn falls_from<'p>(plan: &'p Plan, id: &str) -> impl Iterator<Item = &'p Given<Fall>> + use<'p> {
    members(&plan.falls, plan.adjacency.falls_from.get(id))
}

/// The falls whose water ends in a basin, down the streams and falls below them.
pub(crate) fn falls_received<'p>(
    plan: &'p Plan,
    id: &str,
) -> impl Iterator<Item = &'p Given<Fall>> + use<'p> {
    let all = plan.adjacency.further.falls_received.get_or_init(|| {
        let received = plan.falls.values().enumerate();
        let received = received.filter_map(|(at, fall)| Some((receiver_id(plan, fall)?, at)));
        grouped(received)
    });
    members(&plan.falls, all.get(id))
}

/// The gravity lines that leave a basin.
pub(crate) fn drains_from<'p>(plan: &'p Plan, id: &str) -> impl Iterator<Item = &'p Given<Drain>> + use<'p> {
    members(&plan.drains, plan.adjacency.drains_from.get(id))
}

/// The lines that a pump feeds.
pub(crate) fn lines_from<'p>(plan: &'p Plan, pump: &str) -> impl Iterator<Item = &'p Given<Line>> + use<'p> {
    members(&plan.lines, plan.adjacency.lines_from.get(pump))
}

/// The pumps that draw from a basin.
pub(crate) fn pumps_in<'p>(plan: &'p Plan, basin: &str) -> impl Iterator<Item = &'p Given<Pump>> + use<'p> {
    members(&plan.pumps, plan.adjacency.pumps_in.get(basin))
}

/// What is left out that would tell which basins a fall leaves: where one starts, or every fall, where water that is
/// pumped into a basin has no other way out of it.
pub(crate) fn falls_left_out(plan: &Plan) -> Option<Place> {
    let starts_nowhere = |fall: &&Given<Fall>| matches!(fall.from, Shown::NotShown);
    if let Some(fall) = plan.falls.values().find(starts_nowhere) {
        return Some(fall.place.child("from"));
    }
    let emptied = |id: &str| {
        pumps_in(plan, id).any(|pump| pump.draws_from(id)) || drains_from(plan, id).next().is_some()
    };
    let may_fill = |id: &str| {
        let Feeding { pumps, unknown } = feeding(plan, id);
        !pumps.is_empty() || !unknown.is_empty()
    };
    let placed = plan.pumps.values().all(|pump| unplaced(pump).is_none());
    let left_out =
        placed && plan.falls.is_empty() && plan.basins.keys().any(|id| !emptied(id) && may_fill(id));
    left_out.then(|| Place::root().child("falls"))
}

/// The basin of a pump, where the plan does not show what it draws from.
pub(crate) fn unplaced(pump: &Given<Pump>) -> Option<Place> {
    let left_out = matches!((&pump.basin, &pump.after), (Shown::NotShown, Shown::NotShown));
    left_out.then(|| pump.place.child("basin"))
}

/// Whether a plan says that no pump runs: `"pumps": {}`, or no pump and no electrical work.
pub(crate) fn unpumped(plan: &Plan) -> bool {
    plan.pumps.is_empty() && (plan.no_pumps || matches!(plan.electrical, Shown::None(_)))
}

/// What is left out that might bring pumped water to a basin.
pub(crate) fn left_out(plan: &Plan, id: &str) -> Vec<Place> {
    let unplaced = plan.pumps.values().filter_map(unplaced);
    unplaced.chain(feeding(plan, id).unknown).collect()
}

/// Whether another pump takes this one's water on, in series.
pub(crate) fn pumped_on(plan: &Plan, pump: &str) -> bool {
    plan.adjacency.pumps_after.contains_key(pump)
}

/// The basin a fall's water ends in, down the streams and falls below it.
pub(crate) fn receiver<'a>(plan: &'a Plan, fall: &'a Fall) -> Option<&'a str> {
    ending(plan, fall.to.value()?)
}

/// The same, as the plan names it where it is named.
fn receiver_id<'a>(plan: &'a Plan, fall: &'a Fall) -> Option<&'a String> {
    named_ending(plan, fall.to.value()?)
}

/// The basin in which water led to a basin or stream ends: down the stream, and over the fall that leaves it.
pub(crate) fn ending<'a>(plan: &'a Plan, to: &'a str) -> Option<&'a str> {
    if !plan.streams.contains_key(to) {
        return Some(to);
    }
    let leaving = below(plan, to)?;
    named_ending(plan, leaving).map(String::as_str)
}

fn named_ending<'a>(plan: &'a Plan, to: &'a String) -> Option<&'a String> {
    let mut at = to;
    for _ in 0..=plan.streams.len() {
        if !plan.streams.contains_key(at) {
            return Some(at);
        }
        at = below(plan, at)?;
    }
    None
}

/// What the water of a stream goes on to: over the fall that leaves it, or where it ends.
fn below<'a>(plan: &'a Plan, stream: &str) -> Option<&'a String> {
    match leaving(plan, stream) {
        Some(fall) => fall.to.value(),
        None => plan.streams.get(stream)?.ends_in.value(),
    }
}

/// The fall that a stream ends in.
pub(crate) fn leaving<'a>(plan: &'a Plan, stream: &str) -> Option<&'a Given<Fall>> {
    falls_from(plan, stream).next()
}

/// The stream a fall leaves, where it leaves one.
pub(crate) fn source_stream<'a>(plan: &'a Plan, fall: &Fall) -> Option<(&'a str, &'a Given<Stream>)> {
    let (id, stream) = plan.streams.get_key_value(fall.from.value()?)?;
    Some((id, stream))
}

/// The falls that feed a stream.
pub(crate) fn falls_into<'a>(
    plan: &'a Plan,
    stream: &str,
) -> impl Iterator<Item = &'a Given<Fall>> + use<'a> {
    members(&plan.falls, plan.adjacency.falls_to.get(stream))
}

/// The runs of pumped lines that end in a basin or stream.
pub(crate) fn runs_into<'a>(plan: &'a Plan, id: &str) -> impl Iterator<Item = &'a Given<Run>> + use<'a> {
    let at = plan.adjacency.runs_to.get(id);
    let at = at.map_or(&[][..], Vec::as_slice);
    at.iter().filter_map(|(line, run)| {
        let (_, line) = plan.lines.get_index(*line)?;
        line.runs.get_index(*run).map(|(_, run)| run)
    })
}

/// Where a plan says what a stream ends in.
fn stream_end(id: &str) -> Place {
    Place::root().child("streams").child(id).child("ends_in")
}

/// A pump and those it follows in series, itself first.
pub(crate) fn in_series<'a>(plan: &'a Plan, pump: &'a Given<Pump>) -> Vec<&'a Given<Pump>> {
    let before = |pump: &&'a Given<Pump>| pump.after.value().and_then(|id| plan.pumps.get(id));
    std::iter::successors(Some(pump), before)
        .take(plan.pumps.len())
        .collect()
}

/// The basin that the catchment drains into and the area that does: the basin that the plan names, else the only one
/// open to rain; none where nothing drains in. What is left out that would tell.
pub(crate) fn catchment(plan: &Plan) -> Result<Option<(&str, &Given<Area>)>, Place> {
    let at = Place::root().child("site");
    let site = plan.site.value();
    let area = match site.map(|site| &site.catchment) {
        Some(Shown::Is(area)) if area.si() > 0.0 => area,
        Some(Shown::Is(_) | Shown::None(_)) => return Ok(None),
        _ => return Err(at.child("catchment")),
    };
    let named = site.and_then(|site| site.catchment_into.value());
    let into = named.or_else(|| {
        let mut exposed = plan
            .basins
            .iter()
            .filter(|(_, basin)| plan.basins.len() == 1 || basin.open_to_rain.yes() != Some(false));
        let (id, _) = exposed.next()?;
        exposed.next().is_none().then_some(id)
    });
    let into = into.ok_or_else(|| at.child("catchment_into"))?;
    Ok(Some((into, area)))
}

/// Whether water led into one basin comes to another by falls, streams and gravity lines, or is led into it straight.
pub(crate) fn water_reaches(plan: &Plan, from: &str, to: &str) -> bool {
    runs_on(plan, vec![from]).0.contains(to)
}

/// Whether water led into one basin comes to another by falls and streams, or is led into it straight.
pub(crate) fn spills_into(plan: &Plan, from: &str, to: &str) -> bool {
    spilling_into(plan, to).iter().any(|(id, _)| *id == from)
}

/// A basin, and all whose falls and streams run into it.
pub(crate) fn spilling_into<'p>(plan: &'p Plan, id: &'p str) -> Vec<(&'p str, &'p Given<Basin>)> {
    let (mut ids, mut found) = (vec![id], HashSet::from([id]));
    let mut next = 0;
    while let Some(&id) = ids.get(next) {
        next += 1;
        for from in falls_received(plan, id).filter_map(|fall| fall.from.value()) {
            if found.insert(from) {
                ids.push(from);
            }
        }
    }
    ids.into_iter()
        .filter_map(|id| plan.basins.get(id).map(|basin| (id, basin)))
        .collect()
}

/// Whether a check valve keeps the water of a line from running back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Check {
    /// The plan shows one.
    Shown,
    /// The plan says that there is none.
    None,
    /// The plan does not say: one is taken to be there.
    Unknown,
}

/// Of the line itself, or of each of its pumps.
pub(crate) fn check<'p>(line: &Line, pumps: impl Iterator<Item = &'p Given<Pump>>) -> Check {
    let mut pumps = pumps.map(|pump| &pump.check_valve).peekable();
    let of_pumps = pumps.peek().is_some() && pumps.all(|valve| matches!(valve, Shown::Is(_)));
    match &line.check_valve {
        Shown::Is(_) => Check::Shown,
        _ if of_pumps => Check::Shown,
        Shown::None(_) => Check::None,
        Shown::NotShown => Check::Unknown,
    }
}
