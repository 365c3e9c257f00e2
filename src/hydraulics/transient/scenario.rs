//! The cases: what each supposes.

/// What a case supposes. Cases combine by name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Scenario {
    /// Where it begins.
    pub begins: Begins,
    /// Whether the pumps are off from the beginning.
    pub power_off: bool,
    /// Whether the check valves leak once the pumps are off.
    pub checks_leak: bool,
    /// Whether air inlets are blocked.
    pub inlets_blocked: bool,
    /// Whether half the width of every crest is blocked.
    pub crests_blocked: bool,
    /// Whether one edge of every rim has settled an inch.
    pub edge_settled: bool,
    /// Whether the design storm falls.
    pub storm: bool,
    /// Whether every pumped line is broken, and what is pumped is lost.
    pub lines_broken: bool,
    /// Whether the make-up valve is stuck open.
    pub make_up_stuck: bool,
    /// Whether the walls are taken to go on above the rims: tells how much a rim lacks.
    pub rims_hold: bool,
}

/// The levels a case begins at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Begins {
    /// As while running.
    #[default]
    Running,
    /// As with the pumps off.
    Still,
    /// Still, with the pumps' basins at their lowest ordinary level.
    Low,
}

/// A case by its name.
#[derive(Clone, Copy, Debug)]
pub struct Case {
    /// In kebab case.
    pub name: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What it supposes, in words.
    pub supposes: &'static str,
    /// What it supposes.
    pub scenario: Scenario,
}

const RUNNING: Scenario = Scenario {
    begins: Begins::Running,
    power_off: false,
    checks_leak: false,
    inlets_blocked: false,
    crests_blocked: false,
    edge_settled: false,
    storm: false,
    lines_broken: false,
    make_up_stuck: false,
    rims_hold: false,
};

const POWER_OFF: Scenario = Scenario {
    power_off: true,
    ..RUNNING
};

/// Every case, in the order they are told.
pub static CASES: [Case; 12] = [
    Case {
        name: "still",
        title: "still",
        supposes: "pumps off, as filled",
        scenario: Scenario {
            begins: Begins::Still,
            ..POWER_OFF
        },
    },
    Case {
        name: "start-up",
        title: "start-up",
        supposes: "pumps start at still level, and no make-up comes in",
        scenario: Scenario {
            begins: Begins::Still,
            ..RUNNING
        },
    },
    Case {
        name: "running",
        title: "running",
        supposes: "pumps run evenly, with the make-up that has come in",
        scenario: RUNNING,
    },
    Case {
        name: "power-off",
        title: "power off",
        supposes: "pumps stop while running, check valves hold",
        scenario: POWER_OFF,
    },
    Case {
        name: "check-valve-leaks",
        title: "check valve leaks",
        supposes: "pumps stop, check valves leak, air inlets work as shown; none shown is none",
        scenario: Scenario {
            checks_leak: true,
            ..POWER_OFF
        },
    },
    Case {
        name: "air-inlet-blocked",
        title: "no air inlet",
        supposes: "pumps stop, check valves leak, and air inlets are blocked or missing",
        scenario: Scenario {
            checks_leak: true,
            inlets_blocked: true,
            ..POWER_OFF
        },
    },
    Case {
        name: "crest-half-blocked",
        title: "crests half blocked",
        supposes: "half the width of every crest is blocked while running",
        scenario: Scenario {
            crests_blocked: true,
            ..RUNNING
        },
    },
    Case {
        name: "edge-settled",
        title: "edge settled",
        supposes: "one edge of every rim has settled 1 in (25 mm), while running",
        scenario: Scenario {
            edge_settled: true,
            ..RUNNING
        },
    },
    Case {
        name: "storm",
        title: "design storm",
        supposes: "the design storm falls while running, and overflows carry what they can",
        scenario: Scenario {
            storm: true,
            ..RUNNING
        },
    },
    Case {
        name: "line-breaks",
        title: "line breaks",
        supposes: "every pumped line is broken, so that its pump empties its basin onto the ground down to intake or cut-off",
        scenario: Scenario {
            lines_broken: true,
            ..RUNNING
        },
    },
    Case {
        name: "make-up-stuck",
        title: "make-up stuck open",
        supposes: "the make-up valve is stuck open while running, and overflows carry what they can",
        scenario: Scenario {
            make_up_stuck: true,
            ..RUNNING
        },
    },
    Case {
        name: "start-up-low",
        title: "start-up from low",
        supposes: "pumps start with their basins low: at the level that make-up keeps, else 1 in (25 mm) under still",
        scenario: Scenario {
            begins: Begins::Low,
            ..RUNNING
        },
    },
];

/// The case of this name.
pub fn case(name: &str) -> Option<&'static Case> {
    CASES.iter().find(|case| case.name == name)
}

impl Scenario {
    /// What both suppose. The pumps are off where either says so, and it begins where the first begins.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            begins: self.begins,
            power_off: self.power_off || other.power_off,
            checks_leak: self.checks_leak || other.checks_leak,
            inlets_blocked: self.inlets_blocked || other.inlets_blocked,
            crests_blocked: self.crests_blocked || other.crests_blocked,
            edge_settled: self.edge_settled || other.edge_settled,
            storm: self.storm || other.storm,
            lines_broken: self.lines_broken || other.lines_broken,
            make_up_stuck: self.make_up_stuck || other.make_up_stuck,
            rims_hold: self.rims_hold || other.rims_hold,
        }
    }

    /// Whether overflows are counted on: not for what must hold though they are blocked.
    pub fn counts_overflows(&self) -> bool {
        self.storm || self.make_up_stuck || self.crests_blocked
    }
}
