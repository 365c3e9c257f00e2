//! What a scenario comes to: levels by basin, what siphons by line, what is lost and where.

use std::{collections::HashMap, rc::Rc, sync::Arc};

use super::{
    memo::Memo,
    model::HydraulicModel,
    scenario::Scenario,
    setup::{Lost, Setup},
};
use crate::{
    formulas::{
        routing::{Ending, Settings, ShutReason, Snapshot, SplitSeries, TimeSeries},
        weir,
    },
    ledger::Gap,
    read::Place,
};

/// Levels count as settled within this of their end, m.
const SETTLED_WITHIN: f64 = 1e-3;
/// Water that is too little to tell, m³.
const TRACE: f64 = 1e-6;
/// After how long a loss that goes on is taken to be noticed, s: a day. Losses are counted until then, so that they
/// compare whenever a run ends.
pub const NOTICED_AFTER: f64 = 86_400.0;

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
    /// How far it was followed, s.
    pub ended_at: f64,
    /// Where each basin stands in `basins`, by its place.
    positions: Arc<HashMap<Place, usize>>,
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
    /// Its level at the beginning, m.
    pub start: f64,
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
    /// Water over its rim until it is noticed ([`NOTICED_AFTER`]), m³.
    pub over_rim: f64,
    /// The most that goes over its rim at once, m³/s.
    pub over_rim_rate: f64,
    /// For how long it goes over the rim, s; none where it goes on.
    pub over_rim_for: Option<f64>,
    /// Water that its overflow carries off until then, m³.
    pub overflowed: f64,
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
    /// Instants, s, and its level then, m.
    pub series: Vec<(f64, f64)>,
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
    /// Until it is noticed ([`NOTICED_AFTER`]), m³.
    pub volume: f64,
    /// What still leaves at the end, m³/s.
    pub rate: f64,
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

impl BasinOutcome {
    /// The highest level after the beginning, m: the end where the water only falls.
    pub fn peak(&self) -> f64 {
        if self.highest.level > self.start + RISES {
            self.highest.level
        } else {
            self.end
        }
    }
}

/// A rise that counts as one, m.
const RISES: f64 = 1e-9;

impl Outcome {
    /// Water over all rims, m³.
    pub fn over_rims(&self) -> f64 {
        self.basins.iter().map(|basin| basin.over_rim).sum()
    }

    /// Whether an overflow carried water off.
    pub fn overflowed(&self) -> bool {
        self.basins.iter().any(|basin| basin.overflowed > 0.0)
    }

    /// The least freeboard of all basins, m.
    pub fn least_freeboard(&self) -> f64 {
        let freeboards = self.basins.iter().filter_map(|basin| basin.freeboard);
        freeboards.fold(f64::INFINITY, f64::min)
    }

    /// What the scenario does to a basin.
    pub fn basin(&self, at: &Place) -> Option<&BasinOutcome> {
        self.positions.get(at).map(|at| &self.basins[*at])
    }
}

/// Runs a scenario; the gap where the plan does not show what it needs.
pub(super) fn run(
    model: &HydraulicModel<'_>,
    scenario: Scenario,
    memo: Option<&Memo>,
) -> Result<Outcome, Gap> {
    let setup = Setup::of(model, scenario)?;
    let followed = setup.routing.run_apart(|part| match memo {
        Some(memo) => memo.series(part),
        None => Rc::new(part.run(&Settings::default())),
    });
    Ok(outcome(model, &setup, &followed))
}

fn outcome(model: &HydraulicModel<'_>, setup: &Setup<'_>, followed: &SplitSeries) -> Outcome {
    let count = model.basins.len();
    let basins = (0..count).map(|index| basin(model, setup, followed, index));
    Outcome {
        basins: basins.collect(),
        siphons: siphons(model, setup, followed),
        stopped: stopped(model, setup, followed),
        lost: lost(model, setup, followed),
        drowned: drowned(model, followed),
        settled_after: followed.settled_after(count, SETTLED_WITHIN),
        ending: followed.ending(),
        ended_at: followed.ended_at(),
        positions: Arc::clone(&model.positions),
    }
}

fn basin(
    model: &HydraulicModel<'_>,
    setup: &Setup<'_>,
    followed: &SplitSeries,
    index: usize,
) -> BasinOutcome {
    let part = &model.basins[index];
    let (series, own) = followed.of(index);
    let reached = |(level, time)| Reached { level, time };
    let (highest, lowest) = (reached(series.highest(own)), reached(series.lowest(own)));
    let level = |moment: Option<&Snapshot>| moment.map_or(highest.level, |moment| moment.levels[own]);
    let (over_rim, goes_on) = gone(setup, followed, Lost::Rim(index));
    let (overflowed, _) = gone(setup, followed, Lost::Overflow(index));
    let rim = setup.rims[index];
    BasinOutcome {
        at: part.basin.place.clone(),
        start: level(series.snapshots.first()),
        highest,
        lowest,
        end: level(series.last()),
        rim,
        freeboard: rim.map(|rim| rim - highest.level),
        over_rim,
        over_rim_rate: rim.map_or(0.0, |rim| {
            let crest = weir::Crest::in_open_water(weir::Edge::BroadStone, part.rim_length);
            weir::discharge(&crest, (highest.level - rim).max(0.0))
        }),
        over_rim_for: rim
            .filter(|_| over_rim > 0.0 && goes_on <= 0.0)
            .map(|rim| time_above(series, own, rim)),
        overflowed,
        rim_length: part.rim_length,
        rim_reached: setup.rim_marks[index].and_then(|mark| followed.reached(mark)),
        left: part.storage.volume(lowest.level),
        left_depth: (lowest.level - part.storage.floor()).max(0.0),
        fish: part.basin.fish.value().is_some(),
        series: points(series, own, model.basins.len()),
    }
}

/// Levels that are kept of a scenario, in all basins together.
const MOST_POINTS: usize = 65_536;

/// The level of a basin in time; of very many basins, at some of the instants.
fn points(series: &TimeSeries, index: usize, basins: usize) -> Vec<(f64, f64)> {
    let all = &series.snapshots;
    let every = (all.len() * basins).div_ceil(MOST_POINTS).max(1);
    let kept = all.iter().enumerate();
    let kept = kept.filter(|(at, _)| at % every == 0 || at + 1 == all.len());
    kept.map(|(_, moment)| (moment.time, moment.levels[index]))
        .collect()
}

/// For how long a basin stood above a level, s.
fn time_above(series: &TimeSeries, basin: usize, level: f64) -> f64 {
    let steps = series.snapshots.windows(2);
    let above = steps.filter(|pair| pair[0].levels[basin] > level || pair[1].levels[basin] > level);
    above.map(|pair| pair[1].time - pair[0].time).sum()
}

/// What left by one way until it is noticed, m³, and what still leaves at the end, m³/s.
fn gone(setup: &Setup<'_>, followed: &SplitSeries, lost: Lost) -> (f64, f64) {
    let Some(way) = setup.outside.get(&lost) else {
        return (0.0, 0.0);
    };
    let last_flow = |link: &usize| {
        let (series, own) = followed.of_link(*link);
        series.last_flows[own]
    };
    let rate: f64 = way.links.iter().map(last_flow).sum();
    let (series, own) = followed.of(way.store);
    let at = |moment: &Snapshot| moment.volumes[own];
    let before = series
        .snapshots
        .iter()
        .rfind(|moment| moment.time <= NOTICED_AFTER);
    let after = series.snapshots.iter().find(|moment| moment.time > NOTICED_AFTER);
    let volume = match (before, after) {
        (Some(a), Some(b)) => {
            let share = (NOTICED_AFTER - a.time) / (b.time - a.time);
            at(a) + share * (at(b) - at(a))
        }
        (Some(last), None) => at(last) + rate * (NOTICED_AFTER - last.time),
        _ => 0.0,
    };
    if volume > TRACE {
        (volume, rate)
    } else {
        (0.0, 0.0)
    }
}

fn siphons(model: &HydraulicModel<'_>, setup: &Setup<'_>, followed: &SplitSeries) -> Vec<Siphoned> {
    let told = |&(end, way): &(usize, usize)| {
        let end = &model.ends[end];
        let (series, way) = followed.of_link(way);
        let (_, upper) = followed.of(end.to);
        let shut = series.shut[way];
        let duration = shut.map_or(series.last().map_or(0.0, |last| last.time), |shut| shut.time);
        let at = series.snapshots.iter().rfind(|moment| moment.time <= duration);
        let level = |moment: Option<&Snapshot>| moment.map_or(f64::NAN, |moment| moment.levels[upper]);
        Siphoned {
            line: end.line.place.clone(),
            run: end.run.place.clone(),
            volume: series.passed[way],
            fall: level(series.snapshots.first()) - level(at),
            duration,
            stop: shut.map(|shut| shut.reason).or_else(|| {
                let rests = series.ending == Ending::Settled && series.last_flows[way].abs() < AT_REST;
                rests.then_some(ShutReason::LevelsMet)
            }),
        }
    };
    setup.siphons.iter().map(told).collect()
}

/// Flow of a siphon that counts as none, m³/s.
const AT_REST: f64 = 1e-6;
/// Difference of level that counts as water moving over a drowned crest, m.
const MOVING: f64 = 1e-3;

/// Falls between basins whose crest was drowned beyond [`weir::SUBMERGENCE`] at any instant. Levels that have met move
/// no water and say nothing of the law.
fn drowned(model: &HydraulicModel<'_>, followed: &SplitSeries) -> Vec<Place> {
    let beyond = |above: f64, below: f64| {
        (above - below).abs() > MOVING
            && !weir::SUBMERGENCE.contains(&(above.min(below).max(0.0) / above.max(below)))
    };
    let direct = model.falls.iter().filter(|fall| fall.stream.is_none());
    let drowned = direct.filter(|fall| {
        let ((series, from), (_, to)) = (followed.of(fall.from), followed.of(fall.to));
        series.snapshots.iter().any(|moment| {
            let over = |basin: usize| moment.levels[basin] - fall.level;
            let (above, below) = (over(from), over(to));
            above.max(below) > 0.0 && beyond(above, below)
        })
    });
    drowned.map(|fall| fall.at.clone()).collect()
}

/// Each pump once, as it stopped first.
fn stopped(model: &HydraulicModel<'_>, setup: &Setup<'_>, followed: &SplitSeries) -> Vec<Stopped> {
    let mut stopped: Vec<Stopped> = Vec::new();
    let mut told = vec![false; model.pumps.len()];
    for &(pump, way) in &setup.draws {
        let (series, way) = followed.of_link(way);
        if let (Some(shut), false) = (series.shut[way], told[pump]) {
            told[pump] = true;
            stopped.push(Stopped {
                pump: model.pumps[pump].pump.place.clone(),
                time: shut.time,
                why: shut.reason,
            });
        }
    }
    stopped
}

/// What left for good, by place: the ends of one broken line together.
fn lost(model: &HydraulicModel<'_>, setup: &Setup<'_>, followed: &SplitSeries) -> Vec<LostAt> {
    let mut all: Vec<LostAt> = Vec::new();
    for &lost in setup.outside.keys() {
        let (at, by) = match lost {
            Lost::Rim(basin) => (&model.basins[basin].basin.place, LostBy::Rim),
            Lost::Overflow(basin) => (&model.basins[basin].basin.place, LostBy::Overflow),
            Lost::Break(end) => (&model.ends[end].line.place, LostBy::Break),
        };
        let (volume, rate) = gone(setup, followed, lost);
        match all.iter_mut().find(|known| known.at == *at && known.by == by) {
            Some(known) => {
                known.volume += volume;
                known.rate += rate;
            }
            None if volume > 0.0 => all.push(LostAt {
                at: at.clone(),
                by,
                volume,
                rate,
            }),
            None => {}
        }
    }
    all
}
