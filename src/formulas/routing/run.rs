//! Following a routing in time.

use super::{
    FlowLaw, Routing, ShutReason, Store,
    events::{self, Event, EventKind, first_zero},
    recession,
    rosenbrock::{self, Ends, Rates, Step, shift},
    time_series::{Closure, Ending, LevelReached, Settings, Snapshot, TimeSeries},
};

use crate::formulas::siphon::REST_HEAD;

/// First step, and the first after something changed, s.
const FIRST_STEP: f64 = 0.5;
/// A time over which the pace of levels says that nothing moves any more, s.
const LONG: f64 = 600.0;
/// A small step of a level for a derivative, m.
const NUDGE: f64 = 1e-7;
/// Flow of a float valve that counts as shut, m³/s.
const TRICKLE: f64 = 1e-9;
/// More happenings than this count as chattering.
const MOST_HAPPENINGS: usize = 400;

/// Follows a routing until it settles or a limit ends it.
pub(super) struct Runner<'b, 'a> {
    routing: &'b Routing<'a>,
    settings: Settings,
    ends: Vec<Ends>,
    events: Vec<Event>,
    time: f64,
    volumes: Vec<f64>,
    open: Vec<bool>,
    /// Since when the pace is taken, s, and the volumes then, m³.
    since: (f64, Vec<f64>),
    /// How fast levels moved the last time that was told after long enough, m/s.
    pace: f64,
    series: TimeSeries,
}

impl Routing<'_> {
    /// Follows the water until it settles or a limit ends it.
    pub fn run(&self, settings: &Settings) -> TimeSeries {
        let mut runner = Runner::new(self, *settings);
        runner.run();
        if runner.is_driven() {
            runner.series.last_flows = runner.rates().flow;
        }
        runner.series
    }

    /// Volumes, m³, after a time in s in steps of one length, with no regard to errors or to what may happen: shows the
    /// order of the method.
    pub fn run_evenly(&self, until: f64, steps: u32) -> Vec<f64> {
        let mut runner = Runner::new(self, Settings::default());
        for _ in 0..steps {
            let length = until / f64::from(steps);
            let step = runner.step(&runner.rates(), length);
            runner.accept(length, &step);
        }
        runner.volumes
    }
}

impl<'b, 'a> Runner<'b, 'a> {
    fn new(routing: &'b Routing<'a>, settings: Settings) -> Self {
        let links = routing.links.len();
        let ends = routing.links.iter().map(|link| Ends {
            from: link.from,
            to: link.to,
        });
        Self {
            routing,
            settings,
            ends: ends.collect(),
            events: events::all(routing),
            time: 0.0,
            volumes: routing.volumes.clone(),
            open: vec![true; links],
            since: (0.0, routing.volumes.clone()),
            pace: f64::INFINITY,
            series: TimeSeries {
                snapshots: Vec::new(),
                passed: vec![0.0; links],
                shut: vec![None; links],
                marks: Vec::new(),
                last_flows: vec![0.0; links],
                ending: Ending::StepLimit,
            },
        }
    }

    fn run(&mut self) {
        let mut length = FIRST_STEP;
        let mut happenings = 0;
        self.note();
        for _ in 0..self.settings.steps {
            let shut = self.shut_what_is_due() + self.open_what_runs_again();
            happenings += shut;
            if happenings > MOST_HAPPENINGS {
                self.series.ending = Ending::Chattering;
                return;
            }
            if shut > 0 {
                self.begin_pace();
                length = length.min(FIRST_STEP);
            }
            let rates = self.rates();
            if self.is_still(&rates) {
                self.settle();
                return;
            }
            if self.time >= self.settings.until {
                self.series.ending = Ending::TimeLimit;
                return;
            }
            let change = self
                .next_change()
                .unwrap_or(f64::INFINITY)
                .min(self.settings.until);
            let tried = length.min(change - self.time);
            let step = self.step(&rates, tried);
            let error = self.error(&step);
            if error > 1.0 || !error.is_finite() {
                length = tried * (0.9 * error.powf(-1.0 / 3.0)).clamp(0.1, 0.5);
                continue;
            }
            let happened = self.take(&rates, tried, &step);
            happenings += happened;
            let grown = tried * (0.9 * error.max(1e-10).powf(-0.25)).clamp(0.5, 4.0);
            if tried < length && happened == 0 {
                self.arrive(change);
                length = length.min(grown.max(FIRST_STEP));
            } else {
                length = grown;
            }
        }
    }

    /// Takes a step, or the part of it up to the first thing that happens; returns how many things do.
    fn take(&mut self, rates: &Rates, length: f64, step: &Step) -> usize {
        let armed: Vec<Event> = self
            .events
            .iter()
            .filter(|event| self.can_happen(event) && event.armed(self.routing, &self.volumes))
            .copied()
            .collect();
        let least = |volumes: &[f64]| {
            let distances = armed.iter().map(|event| event.distance(self.routing, volumes));
            distances.fold(f64::INFINITY, f64::min)
        };
        let end = least(&self.after(step));
        if end > events::GONE {
            self.accept(length, step);
            return 0;
        }
        let start = least(&self.volumes);
        let until = first_zero(start, length, end, |part| {
            least(&self.after(&self.step(rates, part)))
        });
        let step = self.step(rates, until);
        self.accept(until, &step);
        let mut happened = 0;
        for event in armed {
            if event.distance(self.routing, &self.volumes) <= events::GONE {
                happened += 1;
                if let EventKind::Reaches(watched) = event.kind {
                    self.series.marks.push(LevelReached {
                        time: self.time,
                        watched,
                    });
                }
            }
        }
        happened
    }

    fn can_happen(&self, event: &Event) -> bool {
        match event.kind {
            EventKind::Shuts(link, _) => self.open[link],
            EventKind::Reaches(_) => true,
        }
    }

    /// Shuts every link whose time has come; returns how many.
    fn shut_what_is_due(&mut self) -> usize {
        let mut shut = 0;
        for event in &self.events {
            if let EventKind::Shuts(link, why) = event.kind
                && self.open[link]
                && event.distance(self.routing, &self.volumes) <= events::GONE
            {
                self.open[link] = false;
                self.series.shut[link] = Some(Closure {
                    time: self.time,
                    reason: why,
                });
                shut += 1;
            }
        }
        shut
    }

    /// Opens again the full pipes that met levels had shut and that have a head once more; returns how many.
    fn open_what_runs_again(&mut self) -> usize {
        let levels = self.levels(&self.volumes);
        let mut opened = 0;
        for (index, link) in self.routing.links.iter().enumerate() {
            let met = self.series.shut[index].is_some_and(|shut| shut.reason == ShutReason::LevelsMet);
            let to = self.routing.against(link, levels[link.to]);
            let head = link.law.head(levels[link.from], to);
            if met && head.is_some_and(|head| head > 2.0 * REST_HEAD) {
                self.open[index] = true;
                self.series.shut[index] = None;
                opened += 1;
            }
        }
        opened
    }

    fn after(&self, step: &Step) -> Vec<f64> {
        let mut volumes = self.volumes.clone();
        shift(&self.ends, &step.moved, &mut volumes);
        volumes
    }

    fn accept(&mut self, length: f64, step: &Step) {
        self.time += length;
        shift(&self.ends, &step.moved, &mut self.volumes);
        for (passed, moved) in self.series.passed.iter_mut().zip(&step.moved) {
            *passed += moved;
        }
        self.note();
        if self.time - self.since.0 >= LONG {
            let pace = self.pace_since();
            self.begin_pace();
            self.pace = pace;
        }
    }

    /// Takes the pace from here on, and none until then.
    fn begin_pace(&mut self) {
        self.since = (self.time, self.volumes.clone());
        self.pace = f64::INFINITY;
    }

    /// The pace of the level that has moved farthest since the pace was begun, m/s.
    fn pace_since(&self) -> f64 {
        let (time, volumes) = &self.since;
        let moved = |store: usize| (self.volumes[store] - volumes[store]).abs() / self.routing.weight(store);
        let inside = |store: &usize| !matches!(self.routing.stores[*store], Store::Outside);
        let farthest = (0..volumes.len()).filter(inside).map(moved).fold(0.0, f64::max);
        farthest / (self.time - time)
    }

    fn note(&mut self) {
        let levels = self.levels(&self.volumes);
        self.series.snapshots.push(Snapshot {
            time: self.time,
            volumes: self.volumes.clone(),
            levels,
        });
    }

    fn levels(&self, volumes: &[f64]) -> Vec<f64> {
        let stores = volumes.iter().enumerate();
        stores
            .map(|(store, volume)| self.routing.level(store, *volume))
            .collect()
    }

    fn step(&self, rates: &Rates, length: f64) -> Step {
        rosenbrock::step(&self.ends, &self.volumes, rates, length, |volumes, flows| {
            let levels = self.levels(volumes);
            for (index, flow) in flows.iter_mut().enumerate() {
                *flow = self.rate(index, &levels);
            }
        })
    }

    fn flow(&self, index: usize, levels: &[f64]) -> super::law::Flow {
        let link = &self.routing.links[index];
        if !self.open[index] {
            return super::law::Flow::default();
        }
        match link.law {
            FlowLaw::Branch { manifold, end } => return self.branch(manifold, end, link.to, levels),
            FlowLaw::Release {
                after,
                flow,
                duration,
            } => {
                let runs = self
                    .let_go(after, duration)
                    .is_some_and(|(from, until)| from <= self.time && self.time < until);
                return super::law::Flow {
                    rate: if runs { flow } else { 0.0 },
                    ..super::law::Flow::default()
                };
            }
            FlowLaw::Restart {
                after,
                flow,
                level,
                band,
            } => {
                let share = (levels[link.from] - level) / band;
                let stopped = self.series.shut[after].is_some();
                return super::law::Flow {
                    rate: if stopped {
                        flow * share.clamp(0.0, 1.0)
                    } else {
                        0.0
                    },
                    by_from: if stopped && share > 0.0 && share < 1.0 {
                        flow / band
                    } else {
                        0.0
                    },
                    by_to: 0.0,
                };
            }
            _ => {}
        }
        let to = self.routing.against(link, levels[link.to]);
        link.law.flow(levels[link.from], to, self.time)
    }

    /// When a line lets go of its water: from the instant at which air shut a link, s.
    fn let_go(&self, after: usize, duration: f64) -> Option<(f64, f64)> {
        let shut = self.series.shut[after]?;
        let by_air = matches!(shut.reason, ShutReason::AirInlet | ShutReason::Mouth);
        by_air.then_some((shut.time, shut.time + duration))
    }

    /// Levels at the ends of a branched line, m; none where one is shut.
    fn at_ends(&self, manifold: usize, levels: &[f64]) -> Vec<Option<f64>> {
        let mut at_ends: Vec<Option<f64>> = Vec::new();
        for (index, link) in self.routing.links.iter().enumerate() {
            if let FlowLaw::Branch { manifold: of, end } = link.law
                && of == manifold
            {
                at_ends.resize(at_ends.len().max(end + 1), None);
                at_ends[end] = self.open[index].then_some(levels[link.from]);
            }
        }
        at_ends
    }

    /// Flow out of one end of a branched line, with its derivatives by the level there and at the start of the line.
    fn branch(&self, manifold: usize, end: usize, start: usize, levels: &[f64]) -> super::law::Flow {
        let mut at_ends = self.at_ends(manifold, levels);
        let manifold = &self.routing.manifolds[manifold];
        let flow = |start: f64, ends: &[Option<f64>]| manifold.flows(start, ends)[end];
        let rate = flow(levels[start], &at_ends);
        let by_to = (flow(levels[start] + NUDGE, &at_ends) - rate) / NUDGE;
        at_ends[end] = at_ends[end].map(|level| level + NUDGE);
        let by_from = (flow(levels[start], &at_ends) - rate) / NUDGE;
        super::law::Flow { rate, by_from, by_to }
    }

    /// Flow of a link alone: the derivatives of a branched line cost two more solutions each.
    fn rate(&self, index: usize, levels: &[f64]) -> f64 {
        let link = &self.routing.links[index];
        match link.law {
            FlowLaw::Branch { manifold, end } if self.open[index] => {
                let at_ends = self.at_ends(manifold, levels);
                self.routing.manifolds[manifold].flows(levels[link.to], &at_ends)[end]
            }
            _ => self.flow(index, levels).rate,
        }
    }

    fn rates(&self) -> Rates {
        let levels = self.levels(&self.volumes);
        let by_volume: Vec<f64> = levels
            .iter()
            .enumerate()
            .map(|(store, level)| self.routing.level_by_volume(store, *level))
            .collect();
        let mut rates = Rates::default();
        for (index, end) in self.ends.iter().enumerate() {
            let flow = self.flow(index, &levels);
            rates.flow.push(flow.rate);
            rates.by_from.push(flow.by_from * by_volume[end.from]);
            rates.by_to.push(flow.by_to * by_volume[end.to]);
        }
        rates
    }

    /// Error of a step over what is allowed.
    fn error(&self, step: &Step) -> f64 {
        let mut errors = vec![0.0; self.volumes.len()];
        shift(&self.ends, &step.error, &mut errors);
        let after = self.after(step);
        let stores = errors.iter().zip(&after).enumerate();
        let error = |(store, (error, after)): (usize, (&f64, &f64))| {
            let allowed = self.routing.weight(store) * self.settings.tolerance;
            // A basin that runs empty cuts the step by itself.
            let overdrawn = matches!(self.routing.stores[store], Store::Stream(_)) && *after < -allowed;
            if overdrawn {
                f64::INFINITY
            } else {
                error.abs() / allowed
            }
        };
        stores.map(error).fold(0.0, f64::max)
    }

    fn is_still(&self, rates: &Rates) -> bool {
        if self.next_change().is_some() {
            return false;
        }
        // A cup behind a wide crest trembles about its level for long; what counts is that it gets nowhere.
        if self.pace <= self.settings.still {
            return true;
        }
        let mut net = vec![0.0; self.volumes.len()];
        shift(&self.ends, &rates.flow, &mut net);
        let moving = |(store, net): (usize, &f64)| {
            let level = self.routing.level(store, self.volumes[store]);
            (net * self.routing.level_by_volume(store, level)).abs() > self.settings.still
        };
        !net.iter().enumerate().any(moving)
    }

    fn next_change(&self) -> Option<f64> {
        let change = |link: &super::Link<'_>| match link.law {
            FlowLaw::Release { after, duration, .. } => {
                let (_, until) = self.let_go(after, duration)?;
                (until > self.time).then_some(until)
            }
            _ => link.law.next_change(self.time),
        };
        self.routing.links.iter().filter_map(change).reduce(f64::min)
    }

    /// Sets the clock to a change that a step was cut to, free of the rounding of adding steps up.
    fn arrive(&mut self, change: f64) {
        self.time = change;
        self.begin_pace();
        if let Some(last) = self.series.snapshots.last_mut() {
            last.time = change;
        }
    }

    /// Whether something keeps water moving whatever the levels are.
    fn is_driven(&self) -> bool {
        let levels = self.levels(&self.volumes);
        let drives = |index: usize, link: &super::Link<'_>| match link.law {
            FlowLaw::FloatValve { .. } | FlowLaw::Restart { .. } => self.flow(index, &levels).rate > TRICKLE,
            _ => link.law.drives(self.time),
        };
        let mut links = self.routing.links.iter().enumerate();
        links.any(|(index, link)| self.open[index] && drives(index, link))
    }

    fn settle(&mut self) {
        if !self.is_driven() {
            let passed = &mut self.series.passed;
            recession::settle(self.routing, &mut self.volumes, |link, moved| {
                passed[link] += moved;
            });
            self.note();
        }
        self.series.ending = Ending::Settled;
    }
}
