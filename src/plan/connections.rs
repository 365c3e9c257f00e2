//! How the parts of a plan are joined: what a fall or a line ends in, which pumps stand in series, and whose water
//! reaches a basin.

use std::collections::HashSet;

use super::{Area, Basin, Drain, Fall, Given, Line, Measure, Plan, Pump, Run, Shown, Stream};
use crate::read::Place;

/// The pumps whose water reaches a basin, and what is left out that might bring that of others.
pub(crate) struct Feeding<'p> {
    pub pumps: Vec<&'p Given<Pump>>,
    pub unknown: Vec<Place>,
}

/// The pumps whose water reaches a basin without another pump: what a second one lifts on stops with that one.
pub(crate) fn feeding<'p>(plan: &'p Plan, id: &str) -> Feeding<'p> {
    let mut found = Feeding {
        pumps: Vec::new(),
        unknown: Vec::new(),
    };
    for (pump_id, pump) in &plan.pumps {
        let (reached, unknown) = reached(plan, pump_id);
        if reached.contains(id) {
            found.pumps.push(pump);
        } else {
            found.unknown.extend(unknown);
        }
    }
    found
}

/// The basins that a pump's water reaches, and the places that would tell of more.
fn reached<'p>(plan: &'p Plan, pump: &str) -> (HashSet<&'p str>, Vec<Place>) {
    let (open, mut unknown) = ends(plan, pump);
    let (reached, further) = runs_on(plan, open);
    unknown.extend(further);
    (reached, unknown)
}

/// The basins that water led into some of them comes to by falls, streams and gravity lines, themselves included, and
/// the places that would tell of more.
fn runs_on<'p>(plan: &'p Plan, mut open: Vec<&'p str>) -> (HashSet<&'p str>, Vec<Place>) {
    let (mut reached, mut unknown) = (HashSet::new(), Vec::new());
    while let Some(basin) = open.pop() {
        if !reached.insert(basin) {
            continue;
        }
        let from = |from: Option<&String>| from.is_some_and(|from| from == basin);
        let falls = plan.falls.values().filter(|fall| from(fall.from.value()));
        let drains = plan.drains.values().filter(|drain| from(drain.from.value()));
        let ways = falls
            .map(|fall| (receiver(plan, fall), &fall.place))
            .chain(drains.map(|drain| (drain.to.value().map(String::as_str), &drain.place)));
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
    let starts = |line: &&Given<Line>| {
        line.from
            .value()
            .is_some_and(|from| from.0.iter().any(|id| id == pump))
    };
    let lines: Vec<_> = plan.lines.values().filter(starts).collect();
    if lines.is_empty() && !pumped_on(plan, pump) {
        return (Vec::new(), vec![Place::root().child("lines")]);
    }
    let (mut basins, mut unknown) = (Vec::new(), Vec::new());
    for line in lines {
        if line.runs.is_empty() {
            unknown.push(line.place.child("runs"));
        }
        for (id, run) in &line.runs {
            let goes_on = line.runs.values().any(|next| next.after.value() == Some(id));
            match run.to.value() {
                Some(to) => match ending(plan, to) {
                    Some(basin) => basins.push(basin),
                    None => unknown.push(stream_end(to)),
                },
                None if goes_on || run.joins.value().is_some() => {}
                None => unknown.push(run.place.child("to")),
            }
        }
    }
    (basins, unknown)
}

/// What is left out that would tell which basins a fall leaves: where one starts, or every fall, where water that is
/// pumped into a basin has no other way out of it.
pub(crate) fn falls_left_out(plan: &Plan) -> Option<Place> {
    let starts_nowhere = |fall: &&Given<Fall>| matches!(fall.from, Shown::NotShown);
    if let Some(fall) = plan.falls.values().find(starts_nowhere) {
        return Some(fall.place.child("from"));
    }
    let emptied = |id: &str| {
        let from = |drain: &Given<Drain>| drain.from.value().is_some_and(|from| from == id);
        plan.pumps.values().any(|pump| pump.draws_from(id)) || plan.drains.values().any(from)
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
fn pumped_on(plan: &Plan, pump: &str) -> bool {
    plan.pumps
        .values()
        .any(|next| next.after.value().is_some_and(|after| after == pump))
}

/// The basin a fall's water ends in, down the streams and falls below it.
pub(crate) fn receiver<'a>(plan: &'a Plan, fall: &'a Fall) -> Option<&'a str> {
    ending(plan, fall.to.value()?)
}

/// The basin in which water led to a basin or stream ends: down the stream, and over the fall that leaves it.
pub(crate) fn ending<'a>(plan: &'a Plan, to: &'a str) -> Option<&'a str> {
    let mut at = to;
    for _ in 0..=plan.streams.len() {
        let Some(stream) = plan.streams.get(at) else {
            return Some(at);
        };
        at = match leaving(plan, at) {
            Some(fall) => fall.to.value()?,
            None => stream.ends_in.value()?,
        };
    }
    None
}

/// The fall that a stream ends in.
pub(crate) fn leaving<'a>(plan: &'a Plan, stream: &str) -> Option<&'a Given<Fall>> {
    let leaves = |fall: &&Given<Fall>| fall.from.value().is_some_and(|from| from == stream);
    plan.falls.values().find(leaves)
}

/// The stream a fall leaves, where it leaves one.
pub(crate) fn source_stream<'a>(plan: &'a Plan, fall: &Fall) -> Option<(&'a str, &'a Given<Stream>)> {
    let (id, stream) = plan.streams.get_key_value(fall.from.value()?)?;
    Some((id, stream))
}

/// The falls that feed a stream.
pub(crate) fn falls_into<'a>(plan: &'a Plan, stream: &'a str) -> impl Iterator<Item = &'a Given<Fall>> {
    let feeds = move |fall: &&Given<Fall>| fall.to.value().is_some_and(|to| to == stream);
    plan.falls.values().filter(feeds)
}

/// The runs of pumped lines that end in a stream.
pub(crate) fn runs_into<'a>(plan: &'a Plan, stream: &'a str) -> impl Iterator<Item = &'a Given<Run>> {
    let ends = move |run: &&Given<Run>| run.to.value().is_some_and(|to| to == stream);
    plan.lines
        .values()
        .flat_map(|line| line.runs.values())
        .filter(ends)
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
    let mut ids = vec![id];
    let mut next = 0;
    while let Some(&id) = ids.get(next) {
        next += 1;
        for fall in plan
            .falls
            .values()
            .filter(|fall| receiver(plan, fall) == Some(id))
        {
            if let Some(from) = fall.from.value()
                && !ids.contains(&from.as_str())
            {
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
