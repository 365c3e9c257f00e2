//! Which members of a plan name which others: looked up by id, so that no question about one of them walks all.

use std::{collections::HashMap, sync::OnceLock};

use super::{Drain, Fall, Given, Line, Map, Pump};
use crate::read::Place;

/// Positions of members by the id that they name.
type ByName = HashMap<String, Vec<usize>>;

/// The members of a plan by what they name.
#[derive(Clone, Debug, Default)]
pub(super) struct Adjacency {
    /// Falls by what they leave and by what they end in.
    pub falls_from: ByName,
    pub falls_to: ByName,
    /// Drains by the basins they leave.
    pub drains_from: ByName,
    /// Lines by the pumps that feed them.
    pub lines_from: ByName,
    /// Runs, each by line and run, by what they end in.
    pub runs_to: HashMap<String, Vec<(usize, usize)>>,
    /// Pumps by the basin they draw from, and by the pump they follow.
    pub pumps_in: ByName,
    pub pumps_after: ByName,
    /// What takes longer and is not always asked for.
    pub further: Further,
}

/// What follows from walking the plan, worked out when it is first asked for.
#[derive(Clone, Debug, Default)]
pub(super) struct Further {
    /// Falls by the basin in which their water ends.
    pub falls_received: OnceLock<ByName>,
    /// What each pump's water reaches.
    pub reached: OnceLock<Reached>,
}

/// What the water of every pump reaches.
#[derive(Clone, Debug, Default)]
pub(super) struct Reached {
    /// The positions of the pumps whose water comes to each basin.
    pub by_basin: ByName,
    /// Pumps, by position, with the places that would tell of more.
    pub unknown: Vec<(usize, Vec<Place>)>,
}

impl Adjacency {
    /// Of the members of a plan.
    pub fn of(falls: &Map<Fall>, drains: &Map<Drain>, lines: &Map<Line>, pumps: &Map<Pump>) -> Self {
        let runs = lines.values().enumerate().flat_map(|(line, given)| {
            let ends = given.runs.values().enumerate();
            ends.filter_map(move |(run, given)| Some((given.to.value()?, (line, run))))
        });
        Self {
            falls_from: by_name(falls, |fall| fall.from.value()),
            falls_to: by_name(falls, |fall| fall.to.value()),
            drains_from: by_name(drains, |drain| drain.from.value()),
            lines_from: by_name(lines, |line| line.from.value().into_iter().flat_map(|ids| &ids.0)),
            runs_to: grouped(runs),
            pumps_in: by_name(pumps, |pump| pump.basin.value()),
            pumps_after: by_name(pumps, |pump| pump.after.value()),
            further: Further::default(),
        }
    }
}

fn by_name<'p, T, I: IntoIterator<Item = &'p String>>(
    members: &'p Map<T>,
    named: impl Fn(&'p Given<T>) -> I,
) -> ByName {
    let members = members.values().enumerate();
    grouped(members.flat_map(|(at, member)| named(member).into_iter().map(move |name| (name, at))))
}

/// Positions by name; a member that names one twice counts once.
pub(super) fn grouped<'p, P: PartialEq>(
    named: impl Iterator<Item = (&'p String, P)>,
) -> HashMap<String, Vec<P>> {
    let mut groups: HashMap<String, Vec<P>> = HashMap::new();
    for (name, at) in named {
        let group = match groups.get_mut(name) {
            Some(group) => group,
            None => groups.entry(name.clone()).or_default(),
        };
        if group.last() != Some(&at) {
            group.push(at);
        }
    }
    groups
}
