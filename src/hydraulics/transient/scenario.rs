//! The scenarios: what each supposes. Figures, tables, drawings and rules read this one list.

/// What a scenario supposes. Scenarios combine by name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
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
    /// Whether every overflow is blocked.
    pub overflows_blocked: bool,
    /// Whether one edge of every rim has settled an inch.
    pub edge_settled: bool,
    /// Whether the design storm falls.
    pub storm: bool,
    /// Whether every pumped line is broken, and what is pumped is lost.
    pub lines_broken: bool,
    /// Whether the make-up valve is stuck open.
    pub make_up_stuck: bool,
    /// Whether the make-up stays shut.
    pub make_up_shut: bool,
}

/// The levels a scenario begins at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Begins {
    /// As while running.
    #[default]
    Running,
    /// As with the pumps off.
    Still,
    /// Still, with the pumps' basins at their lowest ordinary level.
    Low,
}

/// A scenario by its name.
#[derive(Clone, Copy, Debug)]
pub struct NamedScenario {
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
    overflows_blocked: false,
    edge_settled: false,
    storm: false,
    lines_broken: false,
    make_up_stuck: false,
    make_up_shut: false,
};

const POWER_OFF: Scenario = Scenario {
    power_off: true,
    ..RUNNING
};

/// Every scenario, in the order of the tables.
pub static SCENARIOS: [NamedScenario; 12] = [
    NamedScenario {
        name: "still",
        title: "still",
        supposes: "pumps off, as filled",
        scenario: Scenario {
            begins: Begins::Still,
            ..POWER_OFF
        },
    },
    NamedScenario {
        name: "start-up",
        title: "start-up",
        supposes: "pumps start at still level, and no make-up comes in",
        scenario: Scenario {
            begins: Begins::Still,
            make_up_shut: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "running",
        title: "running",
        supposes: "pumps run evenly, with the make-up that has come in",
        scenario: RUNNING,
    },
    NamedScenario {
        name: "power-off",
        title: "power off",
        supposes: "pumps stop while running; check valves hold where the plan has them",
        scenario: POWER_OFF,
    },
    NamedScenario {
        name: "check-valve-leaks",
        title: "check valve leaks",
        supposes: "pumps stop, check valves leak, air inlets work as shown; none shown is none",
        scenario: Scenario {
            checks_leak: true,
            ..POWER_OFF
        },
    },
    NamedScenario {
        name: "air-inlet-blocked",
        title: "no air inlet",
        supposes: "pumps stop, check valves leak, and air inlets are blocked or missing",
        scenario: Scenario {
            checks_leak: true,
            inlets_blocked: true,
            ..POWER_OFF
        },
    },
    NamedScenario {
        name: "crest-half-blocked",
        title: "crests half blocked",
        supposes: "half the width of every crest is blocked while running",
        scenario: Scenario {
            crests_blocked: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "edge-settled",
        title: "edge settled",
        supposes: "one edge of every rim has settled 1 in (25 mm), while running",
        scenario: Scenario {
            edge_settled: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "storm",
        title: "design storm",
        supposes: "the design storm falls while running",
        scenario: Scenario {
            storm: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "line-breaks",
        title: "line breaks",
        supposes: "every pumped line is broken, so that its pump empties its basin onto the ground down to intake or cut-off",
        scenario: Scenario {
            lines_broken: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "make-up-stuck",
        title: "make-up stuck open",
        supposes: "the make-up valve is stuck open while running",
        scenario: Scenario {
            make_up_stuck: true,
            ..RUNNING
        },
    },
    NamedScenario {
        name: "start-up-low",
        title: "start-up from low",
        supposes: "pumps start with their basins low: at the level that make-up keeps, else 1 in (25 mm) under still",
        scenario: Scenario {
            begins: Begins::Low,
            make_up_shut: true,
            ..RUNNING
        },
    },
];

/// What `+overflow-blocked` adds to the name of a scenario: it is run again so wherever an overflow helped.
pub static OVERFLOW_BLOCKED: NamedScenario = NamedScenario {
    name: "overflow-blocked",
    title: "overflows blocked",
    supposes: "every overflow is blocked",
    scenario: Scenario {
        overflows_blocked: true,
        ..RUNNING
    },
};

/// The scenario of this name.
pub fn scenario(name: &str) -> Option<&'static NamedScenario> {
    let mut all = SCENARIOS.iter().chain([&OVERFLOW_BLOCKED]);
    all.find(|known| known.name == name)
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
            overflows_blocked: self.overflows_blocked || other.overflows_blocked,
            edge_settled: self.edge_settled || other.edge_settled,
            storm: self.storm || other.storm,
            lines_broken: self.lines_broken || other.lines_broken,
            make_up_stuck: self.make_up_stuck || other.make_up_stuck,
            make_up_shut: self.make_up_shut || other.make_up_shut,
        }
    }

    /// Whether it cannot be told without knowing what the overflows carry: more water comes than goes round.
    pub fn needs_overflows(&self) -> bool {
        !self.overflows_blocked && (self.storm || self.make_up_stuck || self.crests_blocked)
    }
}
