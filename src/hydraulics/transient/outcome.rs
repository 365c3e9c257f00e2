//! What a case comes to: levels by basin, what siphons by line, what is lost and where.

use super::{
    model::HydraulicModel,
    scenario::Scenario,
    setup::{Lost, Setup},
};
use crate::{
    formulas::{
        routing::{Ending, Settings, ShutReason, TimeSeries},
        weir,
    },
    ledger::Gap,
    read::Place,
};

/// Levels count as settled within this of their end, m.
const SETTLED_WITHIN: f64 = 1e-3;
/// Water that is too little to tell, m³.
const TRACE: f64 = 1e-6;

/// What a case came to.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// Basin by basin, in the plan's order.
    pub basins: Vec<BasinOutcome>,
    /// Ends of lines that can siphon back.
    pub siphons: Vec<Siphoned>,
    /// Pumps that stopped of themselves.
    pub stopped: Vec<Stopped>,
    /// Where water left for good.
    pub lost: Vec<LostAt>,
    /// Falls whose crest stood drowned beyond what its law was measured for while water still moved over it.
    pub drowned: Vec<Place>,
    /// When every level had come within a millimetre of its end, s.
    pub settled_after: f64,
    /// How it ended.
    pub ending: Ending,
    /// Instants, s, and the levels of the basins then, m.
    pub series: Vec<(f64, Vec<f64>)>,
}

/// A level and when it was reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// m.
    pub level: f64,
    /// s.
    pub time: f64,
}

/// What a case does to a basin.
#[derive(Clone, Debug)]
pub struct BasinOutcome {
    /// The basin.
    pub at: Place,
    /// Its highest level.
    pub highest: Reached,
    /// Its lowest level.
    pub lowest: Reached,
    /// Its level at the end, m.
    pub end: f64,
    /// Its rim as the case has it, at its lowest edge, m; none where the plan shows none.
    pub rim: Option<f64>,
    /// Rim less highest level, m; none where the plan shows no rim.
    pub freeboard: Option<f64>,
    /// Water over its rim, m³.
    pub over_rim: f64,
    /// Length that water over the rim was taken to leave over, m.
    pub rim_length: f64,
    /// When the rim was reached, s.
    pub rim_reached: Option<f64>,
    /// Water left at the lowest level, m³.
    pub left: f64,
    /// Depth left at the lowest level, m.
    pub left_depth: f64,
    /// Whether fish are kept in it.
    pub fish: bool,
}

/// What siphons back through an end of a line.
#[derive(Clone, Debug)]
pub struct Siphoned {
    /// The line.
    pub line: Place,
    /// Its run.
    pub run: Place,
    /// Water moved, m³.
    pub volume: f64,
    /// How far the level above fell until then, m.
    pub fall: f64,
    /// How long it ran, s.
    pub duration: f64,
    /// What stopped it; none where it still ran at the end.
    pub stop: Option<ShutReason>,
}

/// A pump that stopped of itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Stopped {
    /// The pump.
    pub pump: Place,
    /// When, s.
    pub time: f64,
    /// ShutReason.
    pub why: ShutReason,
}

/// Water that left for good.
#[derive(Clone, Debug, PartialEq)]
pub struct LostAt {
    /// Basin or line.
    pub at: Place,
    /// How it left.
    pub by: LostBy,
    /// m³.
    pub volume: f64,
}

/// How water left for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LostBy {
    /// Over the rim.
    Rim,
    /// By the overflow.
    Overflow,
    /// Out of the broken line.
    Break,
}

impl Outcome {
    /// Water over all rims, m³.
    pub fn over_rims(&self) -> f64 {
        self.basins.iter().map(|basin| basin.over_rim).sum()
    }

    /// The least freeboard of all basins, m.
    pub fn least_freeboard(&self) -> f64 {
        let freeboards = self.basins.iter().filter_map(|basin| basin.freeboard);
        freeboards.fold(f64::INFINITY, f64::min)
    }
}

/// Follows a case; the gap where the plan does not show what it needs.
pub(crate) fn follow(works: &HydraulicModel<'_>, scenario: Scenario) -> Result<Outcome, Gap> {
    let setup = Setup::of(works, scenario)?;
    let course = setup.balance.run(&Settings::default());
    Ok(told(works, &setup, &course))
}

fn told(works: &HydraulicModel<'_>, setup: &Setup<'_>, course: &TimeSeries) -> Outcome {
    let count = works.basins.len();
    let last = course.last();
    let lost_by = |lost: Lost| -> f64 {
        let store = setup.outside.iter().find(|(_, known)| *known == lost);
        let gone = |(store, _): &(usize, Lost)| last.map_or(0.0, |last| last.volumes[*store]);
        let gone = store.map_or(0.0, gone);
        if gone > TRACE { gone } else { 0.0 }
    };
    let basins = works.basins.iter().enumerate().map(|(index, part)| {
        let reached = |(level, time)| Reached { level, time };
        let (highest, lowest) = (reached(course.highest(index)), reached(course.lowest(index)));
        let over_rim = lost_by(Lost::Rim(index));
        let rim_mark = course
            .marks
            .iter()
            .find(|mark| setup.balance.watched[mark.watched].store == index);
        BasinOutcome {
            at: part.basin.place.clone(),
            highest,
            lowest,
            end: last.map_or(highest.level, |last| last.levels[index]),
            rim: setup.rims[index],
            freeboard: setup.rims[index].map(|rim| rim - highest.level),
            over_rim,
            rim_length: part.rim_length,
            rim_reached: rim_mark.map(|mark| mark.time),
            left: part.storage.volume(lowest.level),
            left_depth: (lowest.level - part.storage.floor()).max(0.0),
            fish: part.basin.fish.value().is_some(),
        }
    });
    Outcome {
        basins: basins.collect(),
        siphons: siphons(works, setup, course),
        stopped: stopped(works, setup, course),
        lost: lost(works, setup, lost_by),
        drowned: drowned(works, course),
        settled_after: course.settled_after(count, SETTLED_WITHIN),
        ending: course.ending,
        series: course
            .snapshots
            .iter()
            .map(|moment| (moment.time, moment.levels[..count].to_vec()))
            .collect(),
    }
}

fn siphons(works: &HydraulicModel<'_>, setup: &Setup<'_>, course: &TimeSeries) -> Vec<Siphoned> {
    let told = |&(end, way): &(usize, usize)| {
        let end = &works.ends[end];
        let shut = course.shut[way];
        let duration = shut.map_or(course.last().map_or(0.0, |last| last.time), |shut| shut.time);
        let at = course.snapshots.iter().rfind(|moment| moment.time <= duration);
        let level = |moment: Option<&crate::formulas::routing::Snapshot>| {
            moment.map_or(f64::NAN, |moment| moment.levels[end.to])
        };
        Siphoned {
            line: end.line.place.clone(),
            run: end.run.place.clone(),
            volume: course.passed[way],
            fall: level(course.snapshots.first()) - level(at),
            duration,
            stop: shut.map(|shut| shut.reason),
        }
    };
    setup.siphons.iter().map(told).collect()
}

/// Difference of level that counts as water moving over a drowned crest, m.
const MOVING: f64 = 1e-3;

/// Falls between basins whose crest was drowned beyond [`weir::SUBMERGENCE`] at any instant. Levels that have met move
/// no water and say nothing of the law.
fn drowned(works: &HydraulicModel<'_>, course: &TimeSeries) -> Vec<Place> {
    let beyond = |above: f64, below: f64| {
        (above - below).abs() > MOVING
            && !weir::SUBMERGENCE.contains(&(above.min(below).max(0.0) / above.max(below)))
    };
    let direct = works.falls.iter().filter(|fall| fall.stream.is_none());
    let drowned = direct.filter(|fall| {
        course.snapshots.iter().any(|moment| {
            let over = |basin: usize| moment.levels[basin] - fall.level;
            let (above, below) = (over(fall.from), over(fall.to));
            above.max(below) > 0.0 && beyond(above, below)
        })
    });
    drowned.map(|fall| fall.at.clone()).collect()
}

/// Each pump once, as it stopped first.
fn stopped(works: &HydraulicModel<'_>, setup: &Setup<'_>, course: &TimeSeries) -> Vec<Stopped> {
    let mut stopped: Vec<Stopped> = Vec::new();
    for &(pump, way) in &setup.draws {
        let place = &works.pumps[pump].pump.place;
        if let Some(shut) = course.shut[way]
            && stopped.iter().all(|known| known.pump != *place)
        {
            stopped.push(Stopped {
                pump: place.clone(),
                time: shut.time,
                why: shut.reason,
            });
        }
    }
    stopped
}

/// What left for good, by place: the ends of one broken line together.
fn lost(works: &HydraulicModel<'_>, setup: &Setup<'_>, lost_by: impl Fn(Lost) -> f64) -> Vec<LostAt> {
    let mut told: Vec<LostAt> = Vec::new();
    for &(_, lost) in &setup.outside {
        let (at, by) = match lost {
            Lost::Rim(basin) => (&works.basins[basin].basin.place, LostBy::Rim),
            Lost::Overflow(basin) => (&works.basins[basin].basin.place, LostBy::Overflow),
            Lost::Break(end) => (&works.ends[end].line.place, LostBy::Break),
        };
        let volume = lost_by(lost);
        match told.iter_mut().find(|known| known.at == *at && known.by == by) {
            Some(known) => known.volume += volume,
            None if volume > 0.0 => told.push(LostAt {
                at: at.clone(),
                by,
                volume,
            }),
            None => {}
        }
    }
    told
}
