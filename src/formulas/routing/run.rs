//! Following a routing in time.

use super::{
    Routing, ShutReason, Store,
    events::{self, Event, EventKind, first_zero},
    flows::Flows,
    recession,
    rosenbrock::{Rates, Step, Stepper, shift},
    time_series::{Closure, Ending, LevelReached, Settings, Snapshot, TimeSeries},
};

use crate::formulas::siphon::REST_HEAD;

/// First step, and the first after something changed, s.
const FIRST_STEP: f64 = 0.5;
/// A time over which the pace of levels says that nothing moves any more, s.
const LONG: f64 = 600.0;
/// More happenings than this count as chattering.
const MOST_HAPPENINGS: usize = 400;

/// Follows a routing until it settles or a limit ends it.
pub(super) struct Runner<'b, 'a> {
    routing: &'b Routing<'a>,
    settings: Settings,
    flows: Flows<'b, 'a>,
    stepper: Stepper,
    events: Vec<Event>,
    /// m³ and m, store by store.
    volumes: Vec<f64>,
    levels: Vec<f64>,
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
        if runner.flows.are_driven(&runner.levels) {
            runner.series.last_flows = runner.flows.rates(&runner.levels).flow;
        }
        runner.series.shut = runner.flows.at.shut;
        runner.series
    }

    /// Volumes, m³, after a time in s in steps of one length, with no regard to errors or to what may happen: shows the
    /// order of the method.
    pub fn run_evenly(&self, until: f64, steps: u32) -> Vec<f64> {
        let mut runner = Runner::new(self, Settings::default());
        for _ in 0..steps {
            let length = until / f64::from(steps);
            let rates = runner.flows.rates(&runner.levels);
            let step = runner.step(&rates, length);
            runner.accept(length, step);
        }
        runner.volumes
    }
}

impl<'b, 'a> Runner<'b, 'a> {
    fn new(routing: &'b Routing<'a>, settings: Settings) -> Self {
        let links = routing.links.len();
        let mut levels = Vec::with_capacity(routing.stores.len());
        routing.levels_into(&routing.volumes, &mut levels);
        Self {
            routing,
            settings,
            flows: Flows::new(routing),
            stepper: Stepper::new(routing),
            events: events::all(routing),
            volumes: routing.volumes.clone(),
            levels,
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
        let mut known: Option<Rates> = None;
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
                known = None;
            }
            // A step that was refused leaves everything as it was.
            let rates = match known.take() {
                Some(rates) => rates,
                None => self.flows.rates(&self.levels),
            };
            let next_change = self.flows.next_change();
            if next_change.is_none() && self.is_still(&rates) {
                self.settle();
                return;
            }
            let time = self.flows.at.time;
            if time >= self.settings.until {
                self.series.ending = Ending::TimeLimit;
                return;
            }
            let change = next_change.unwrap_or(f64::INFINITY).min(self.settings.until);
            let tried = length.min(change - time);
            let step = self.step(&rates, tried);
            let error = self.error(&step);
            if error > 1.0 || !error.is_finite() {
                length = tried * (0.9 * error.powf(-1.0 / 3.0)).clamp(0.1, 0.5);
                known = Some(rates);
                continue;
            }
            let happened = self.take(&rates, tried, step);
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
    fn take(&mut self, rates: &Rates, length: f64, step: Step) -> usize {
        let routing = self.routing;
        let armed: Vec<Event> = self
            .events
            .iter()
            .filter(|event| self.can_happen(event) && event.armed(routing, &self.volumes))
            .copied()
            .collect();
        let least = |volumes: &[f64]| {
            let distances = armed.iter().map(|event| event.distance(routing, volumes));
            distances.fold(f64::INFINITY, f64::min)
        };
        let end = least(&step.after);
        if end > events::GONE {
            self.accept(length, step);
            return 0;
        }
        let start = least(&self.volumes);
        let until = first_zero(start, length, end, |part| least(&self.step(rates, part).after));
        let step = self.step(rates, until);
        self.accept(until, step);
        let mut happened = 0;
        for event in armed {
            if event.distance(routing, &self.volumes) <= events::GONE {
                happened += 1;
                if let EventKind::Reaches(watched) = event.kind {
                    self.series.marks.push(LevelReached {
                        time: self.flows.at.time,
                        watched,
                    });
                }
            }
        }
        happened
    }

    fn can_happen(&self, event: &Event) -> bool {
        match event.kind {
            EventKind::Shuts(link, _) => self.flows.open[link],
            EventKind::Reaches(_) => true,
        }
    }

    /// Shuts every link whose time has come; returns how many.
    fn shut_what_is_due(&mut self) -> usize {
        let mut shut = 0;
        for event in &self.events {
            if let EventKind::Shuts(link, why) = event.kind
                && self.flows.open[link]
                && event.distance(self.routing, &self.volumes) <= events::GONE
            {
                self.flows.open[link] = false;
                self.flows.at.shut[link] = Some(Closure {
                    time: self.flows.at.time,
                    reason: why,
                });
                shut += 1;
            }
        }
        shut
    }

    /// Opens again the full pipes that met levels had shut and that have a head once more; returns how many.
    fn open_what_runs_again(&mut self) -> usize {
        let mut opened = 0;
        for (index, link) in self.routing.links.iter().enumerate() {
            let shut = &mut self.flows.at.shut[index];
            if shut.is_none_or(|shut| shut.reason != ShutReason::LevelsMet) {
                continue;
            }
            let to = self.routing.against(link, self.levels[link.to]);
            let head = link.law.head(self.levels[link.from], to);
            if head.is_some_and(|head| head > 2.0 * REST_HEAD) {
                self.flows.open[index] = true;
                *shut = None;
                opened += 1;
            }
        }
        opened
    }

    fn accept(&mut self, length: f64, step: Step) {
        self.flows.at.time += length;
        self.volumes = step.after;
        for (passed, moved) in self.series.passed.iter_mut().zip(&step.moved) {
            *passed += moved;
        }
        self.note();
        if self.flows.at.time - self.since.0 >= LONG {
            let pace = self.pace_since();
            self.begin_pace();
            self.pace = pace;
        }
    }

    /// Takes the pace from here on, and none until then.
    fn begin_pace(&mut self) {
        self.since.0 = self.flows.at.time;
        self.since.1.copy_from_slice(&self.volumes);
        self.pace = f64::INFINITY;
    }

    /// The pace of the level that has moved farthest since the pace was begun, m/s.
    fn pace_since(&self) -> f64 {
        let (time, volumes) = &self.since;
        let moved = |store: usize| (self.volumes[store] - volumes[store]).abs() / self.routing.weight(store);
        let inside = |store: &usize| !matches!(self.routing.stores[*store], Store::Outside);
        let farthest = (0..volumes.len()).filter(inside).map(moved).fold(0.0, f64::max);
        farthest / (self.flows.at.time - time)
    }

    /// Notes the instant; the levels follow the volumes.
    fn note(&mut self) {
        self.routing.levels_into(&self.volumes, &mut self.levels);
        self.series.snapshots.push(Snapshot {
            time: self.flows.at.time,
            volumes: self.volumes.clone(),
            levels: self.levels.clone(),
        });
    }

    fn step(&mut self, rates: &Rates, length: f64) -> Step {
        let flows = &mut self.flows;
        self.stepper.step(&self.volumes, rates, length, |volumes, flow| {
            flows.read(volumes, flow);
        })
    }

    /// Error of a step over what is allowed.
    fn error(&self, step: &Step) -> f64 {
        let mut errors = vec![0.0; self.volumes.len()];
        shift(self.stepper.ends(), &step.error, &mut errors);
        let stores = errors.iter().zip(&step.after).enumerate();
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
        // A cup behind a wide crest trembles about its level for long; what counts is that it gets nowhere.
        if self.pace <= self.settings.still {
            return true;
        }
        let mut net = vec![0.0; self.volumes.len()];
        shift(self.stepper.ends(), &rates.flow, &mut net);
        let moving = |(store, net): (usize, &f64)| {
            (net * self.routing.level_by_volume(store, self.levels[store])).abs() > self.settings.still
        };
        !net.iter().enumerate().any(moving)
    }

    /// Sets the clock to a change that a step was cut to, free of the rounding of adding steps up.
    fn arrive(&mut self, change: f64) {
        self.flows.at.time = change;
        self.begin_pace();
        if let Some(last) = self.series.snapshots.last_mut() {
            last.time = change;
        }
    }

    fn settle(&mut self) {
        if !self.flows.are_driven(&self.levels) {
            let passed = &mut self.series.passed;
            recession::settle(self.routing, &mut self.volumes, |link, moved| {
                passed[link] += moved;
            });
            self.note();
        }
        self.series.ending = Ending::Settled;
    }
}
