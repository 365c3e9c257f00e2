//! Following a balance in time.

use super::{
    Balance, Store,
    course::{Course, Ending, Mark, Moment, Settings, Shut},
    rosenbrock::{self, Ends, Rates, Step, shift},
    tails,
    watch::{self, Watch, What, first_zero},
};

/// First step, and the first after something changed, s.
const FIRST_STEP: f64 = 0.5;
/// A time over which the pace of levels says that nothing moves any more, s.
const LONG: f64 = 600.0;
/// More happenings than this count as chattering.
const MOST_HAPPENINGS: usize = 400;

/// Follows a balance until it settles or a limit ends it.
pub(super) struct Runner<'b, 'a> {
    balance: &'b Balance<'a>,
    settings: Settings,
    ends: Vec<Ends>,
    watches: Vec<Watch>,
    time: f64,
    volumes: Vec<f64>,
    open: Vec<bool>,
    /// Since when the pace is taken, s, and the volumes then, m³.
    since: (f64, Vec<f64>),
    /// How fast levels moved the last time that was told after long enough, m/s.
    pace: f64,
    course: Course,
}

impl Balance<'_> {
    /// Follows the water until it settles or a limit ends it.
    pub fn run(&self, settings: &Settings) -> Course {
        Runner::new(self, *settings).run()
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
    fn new(balance: &'b Balance<'a>, settings: Settings) -> Self {
        let ways = balance.ways.len();
        let ends = balance.ways.iter().map(|way| Ends {
            from: way.from,
            to: way.to,
        });
        Self {
            balance,
            settings,
            ends: ends.collect(),
            watches: watch::all(balance),
            time: 0.0,
            volumes: balance.volumes.clone(),
            open: vec![true; ways],
            since: (0.0, balance.volumes.clone()),
            pace: f64::INFINITY,
            course: Course {
                moments: Vec::new(),
                passed: vec![0.0; ways],
                shut: vec![None; ways],
                marks: Vec::new(),
                ending: Ending::StepLimit,
            },
        }
    }

    fn run(mut self) -> Course {
        let mut length = FIRST_STEP;
        let mut happenings = 0;
        self.note();
        for _ in 0..self.settings.steps {
            let shut = self.shut_what_is_due();
            happenings += shut;
            if happenings > MOST_HAPPENINGS {
                self.course.ending = Ending::Chattering;
                return self.course;
            }
            if shut > 0 {
                self.begin_pace();
                length = length.min(FIRST_STEP);
            }
            let rates = self.rates();
            if self.is_still(&rates) {
                return self.settled();
            }
            if self.time >= self.settings.until {
                self.course.ending = Ending::TimeLimit;
                return self.course;
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
        self.course
    }

    /// Takes a step, or the part of it up to the first thing that happens; returns how many things do.
    fn take(&mut self, rates: &Rates, length: f64, step: &Step) -> usize {
        let armed: Vec<Watch> = self
            .watches
            .iter()
            .filter(|watch| self.can_happen(watch) && watch.armed(self.balance, &self.volumes))
            .copied()
            .collect();
        let least = |volumes: &[f64]| {
            let distances = armed.iter().map(|watch| watch.distance(self.balance, volumes));
            distances.fold(f64::INFINITY, f64::min)
        };
        let end = least(&self.after(step));
        if end > watch::GONE {
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
        for watch in armed {
            if watch.distance(self.balance, &self.volumes) <= watch::GONE {
                happened += 1;
                if let What::Reaches(watched) = watch.what {
                    self.course.marks.push(Mark {
                        time: self.time,
                        watched,
                    });
                }
            }
        }
        happened
    }

    fn can_happen(&self, watch: &Watch) -> bool {
        match watch.what {
            What::Shuts(way, _) => self.open[way],
            What::Reaches(_) => true,
        }
    }

    /// Shuts every way whose time has come; returns how many.
    fn shut_what_is_due(&mut self) -> usize {
        let mut shut = 0;
        for watch in &self.watches {
            if let What::Shuts(way, why) = watch.what
                && self.open[way]
                && watch.distance(self.balance, &self.volumes) <= watch::GONE
            {
                self.open[way] = false;
                self.course.shut[way] = Some(Shut { time: self.time, why });
                shut += 1;
            }
        }
        shut
    }

    fn after(&self, step: &Step) -> Vec<f64> {
        let mut volumes = self.volumes.clone();
        shift(&self.ends, &step.moved, &mut volumes);
        volumes
    }

    fn accept(&mut self, length: f64, step: &Step) {
        self.time += length;
        shift(&self.ends, &step.moved, &mut self.volumes);
        for (passed, moved) in self.course.passed.iter_mut().zip(&step.moved) {
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
        let moved = |store: usize| (self.volumes[store] - volumes[store]).abs() / self.balance.weight(store);
        let inside = |store: &usize| !matches!(self.balance.stores[*store], Store::Outside);
        let farthest = (0..volumes.len()).filter(inside).map(moved).fold(0.0, f64::max);
        farthest / (self.time - time)
    }

    fn note(&mut self) {
        let levels = self.levels(&self.volumes);
        self.course.moments.push(Moment {
            time: self.time,
            volumes: self.volumes.clone(),
            levels,
        });
    }

    fn levels(&self, volumes: &[f64]) -> Vec<f64> {
        let stores = volumes.iter().enumerate();
        stores
            .map(|(store, volume)| self.balance.level(store, *volume))
            .collect()
    }

    fn step(&self, rates: &Rates, length: f64) -> Step {
        rosenbrock::step(&self.ends, &self.volumes, rates, length, |volumes, flows| {
            let levels = self.levels(volumes);
            for (index, flow) in flows.iter_mut().enumerate() {
                *flow = self.flow(index, &levels).rate;
            }
        })
    }

    fn flow(&self, index: usize, levels: &[f64]) -> super::law::Flow {
        let way = &self.balance.ways[index];
        if !self.open[index] {
            return super::law::Flow::default();
        }
        let to = self.balance.against(way, levels[way.to]);
        way.law.flow(levels[way.from], to, self.time)
    }

    fn rates(&self) -> Rates {
        let levels = self.levels(&self.volumes);
        let by_volume: Vec<f64> = levels
            .iter()
            .enumerate()
            .map(|(store, level)| self.balance.level_by_volume(store, *level))
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
            let allowed = self.balance.weight(store) * self.settings.tolerance;
            // A basin that runs empty cuts the step by itself.
            let overdrawn = matches!(self.balance.stores[store], Store::Stream(_)) && *after < -allowed;
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
            let level = self.balance.level(store, self.volumes[store]);
            (net * self.balance.level_by_volume(store, level)).abs() > self.settings.still
        };
        !net.iter().enumerate().any(moving)
    }

    fn next_change(&self) -> Option<f64> {
        let changes = self
            .balance
            .ways
            .iter()
            .filter_map(|way| way.law.next_change(self.time));
        changes.reduce(f64::min)
    }

    /// Sets the clock to a change that a step was cut to, free of the rounding of adding steps up.
    fn arrive(&mut self, change: f64) {
        self.time = change;
        self.begin_pace();
        if let Some(last) = self.course.moments.last_mut() {
            last.time = change;
        }
    }

    fn settled(mut self) -> Course {
        let driven = self
            .balance
            .ways
            .iter()
            .zip(&self.open)
            .any(|(way, open)| *open && way.law.drives(self.time));
        if !driven {
            let passed = &mut self.course.passed;
            tails::settle(self.balance, &mut self.volumes, |way, moved| passed[way] += moved);
            self.note();
        }
        self.course.ending = Ending::Settled;
        self.course
    }
}
