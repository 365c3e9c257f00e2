//! The order of work: each step with its cautions, and what must be shown before the next one begins.

use crate::{
    papers::words::{basin_name, site_length, site_level},
    plan::{Fill, Measure, Plan, Shown, StepKind, name_of},
    quantity::{Kind, UnitSystem, show_computed, show_estimate},
    review::ReviewContext,
};

/// One step of the work.
pub(super) struct WorkStep {
    pub title: String,
    /// The day that the plan gives it, from 0.
    pub day: Option<u32>,
    /// What can hurt somebody here, and who decides.
    pub caution: Option<&'static str>,
    /// What is done.
    pub notes: Vec<String>,
    /// What must be shown before the next step.
    pub holds: Vec<String>,
    /// Who signs, where it is not the foreman.
    pub signs: Option<&'static str>,
}

impl WorkStep {
    pub fn new(title: &str) -> Self {
        Self {
            title: title.to_owned(),
            day: None,
            caution: None,
            notes: Vec::new(),
            holds: Vec::new(),
            signs: None,
        }
    }
}

/// The steps of a plan, in order.
pub(super) fn steps(context: &ReviewContext<'_>) -> Vec<WorkStep> {
    let order = Order {
        context,
        plan: context.plan,
        units: context.units,
    };
    let mut steps = vec![order.setting_out(), order.dig(), order.lining(), order.pipes()];
    steps.push(order.leak_test());
    steps.extend(order.stone());
    steps.extend(order.power());
    steps.extend(order.wash());
    steps.push(order.first_run());
    steps.extend(order.switching_off());
    steps.extend(order.overflow());
    steps.extend(order.joining());
    steps.extend(order.planting());
    steps.extend(order.stocking());
    steps.push(order.handing_over());
    steps
}

pub(super) struct Order<'a> {
    pub context: &'a ReviewContext<'a>,
    pub plan: &'a Plan,
    pub units: UnitSystem,
}

impl Order<'_> {
    /// The day that the plan gives a kind of step.
    pub(super) fn day(&self, kind: StepKind) -> Option<u32> {
        let filling = self.plan.filling.value()?;
        let mut steps = filling.order.value()?.iter();
        steps
            .find(|step| step.step.value() == Some(&kind))?
            .day
            .value()
            .copied()
    }

    pub(super) fn length(&self, si: f64) -> String {
        show_computed(si, Kind::Length, self.units)
    }

    fn setting_out(&self) -> WorkStep {
        let mut step = WorkStep::new("Set out and locate services");
        step.caution = Some(
            "A cut cable or gas line kills. Call before digging, wait for the marks, and look up for wires before a machine \
             moves. The utility’s own rules govern.",
        );
        let site = self.plan.site.value();
        let located = site.is_some_and(|site| site.underground_services_located.yes() == Some(true));
        step.holds.push(if located {
            "Marks of buried services stand on the ground and are no older than the law allows; the plan says that they were located".to_owned()
        } else {
            "Buried services are located and marked; the plan does not say that they were".to_owned()
        });
        step.holds
            .push("Nobody and no machine comes near an overhead wire".to_owned());
        let benchmark = self.plan.benchmark.value();
        let mark = benchmark.and_then(|benchmark| benchmark.mark.value());
        let mark = mark.map_or("a benchmark outside the dig", String::as_str);
        step.holds
            .push(format!("The benchmark stands and is protected: {mark}"));
        if let Some(second) = benchmark.and_then(|benchmark| benchmark.second_mark.value()) {
            step.holds.push(format!(
                "The second mark agrees with it to {}: {second}",
                site_length(0.003_175, self.units)
            ));
        }
        step
    }

    fn dig(&self) -> WorkStep {
        let mut step = WorkStep::new("Dig and rake the subgrade");
        step.day = self.day(StepKind::Dig);
        step.caution = Some(
            "Trenches cave in without warning. Slope, shore or shield before anybody enters, keep a way out within reach, \
             and keep spoil and machines back from the edge. The local code and a competent person on site decide.",
        );
        for (id, dig) in &self.plan.excavations {
            let depth = dig
                .depth
                .value()
                .map(|depth| format!("{} deep", self.length(depth.si())));
            let slope = dig
                .slope
                .value()
                .map(|slope| format!("sides {}", show_computed(slope.si(), Kind::Slope, self.units)));
            let spoil = dig
                .spoil_distance
                .value()
                .map(|spoil| format!("spoil {} back", self.length(spoil.si())));
            let parts: Vec<String> = [depth, slope, spoil].into_iter().flatten().collect();
            step.notes.push(format!("{id}: {}.", parts.join(", ")));
        }
        step.holds
            .push("Sides stand as the plan has them; nobody was in a dig that was not safe".to_owned());
        step.holds.push("Subgrade walked on hands and knees: no root, no sharp stone, no hollow; ant nests and burrows filled".to_owned());
        step.holds
            .push("Every mark of the grade sheet “Digging” is shot and within its tolerance".to_owned());
        step
    }

    fn lining(&self) -> WorkStep {
        let mut step = WorkStep::new("Underlay and sheet");
        step.day = self.day(StepKind::Membrane);
        step.caution =
            Some("A rolled sheet is heavy and slides. Lift with enough people, and keep off it in wind.");
        for (id, basin) in &self.plan.basins {
            let Shown::Is(lining) = &basin.lining else {
                continue;
            };
            let name = basin_name(self.plan, id);
            if let Some(penetrations) = lining.penetrations.value() {
                step.holds.push(format!("{name}: {penetrations}"));
            }
            if let Some(lap) = lining.lap.value() {
                step.notes.push(format!("{name}: {lap}."));
            }
        }
        step.holds.push(
            "Underlay covers floor and sides without a gap; no shoe with hard soles has been on the sheet"
                .to_owned(),
        );
        step.holds.push("Edges are folded up and anchored; the rim is shot in eight places or more, and the lowest counts".to_owned());
        step
    }

    fn pipes(&self) -> WorkStep {
        let mut step = WorkStep::new("Pipes, wells and pumps");
        for (id, line) in &self.plan.lines {
            let name = name_of(id, &line.name);
            let mut parts = vec![format!(
                "{name}: every joint dry-fitted, cleaned and glued or clamped"
            )];
            if matches!(line.check_valve, Shown::Is(_)) {
                parts.push("the arrow of the check valve points away from the pump".to_owned());
            }
            if line.union.yes() == Some(true) {
                parts.push("the union turns by hand".to_owned());
            }
            step.holds.push(parts.join("; "));
            if let Shown::Is(inlet) = &line.air_inlet
                && let Some(level) = inlet.level.value()
            {
                let level = site_level(level.si(), self.units);
                step.holds.push(format!(
                    "{name}: air inlet open to the air at {level}, reachable and not painted shut"
                ));
            }
        }
        step.holds.push(
            "Every mark of the grade sheet “Pipes and pumps” is shot and within its tolerance".to_owned(),
        );
        step
    }

    fn leak_test(&self) -> WorkStep {
        let mut step = WorkStep::new("Flood the sheet and watch it");
        step.day = self.day(StepKind::LeakTest);
        step.caution = Some(
            "Small children drown silently in open water. Put the barrier up before the first water goes in.",
        );
        let said = self
            .plan
            .filling
            .value()
            .and_then(|filling| filling.leak_test.value());
        if let Some(said) = said {
            step.notes.push(format!("The plan: {said}."));
        }
        let evaporation = self
            .context
            .ledger
            .quantity(&crate::read::Place::root(), "evaporation");
        if let Some(flow) = evaporation {
            let shown = show_estimate(flow * 86_400.0, Kind::Volume, self.units);
            step.notes.push(format!(
                "On a warm day the open water loses about {shown} to the air: what is lost beyond that leaks."
            ));
        }
        for (id, basin) in &self.plan.basins {
            if let Some(still) = basin.still.value() {
                let level = site_level(still.si(), self.units);
                step.holds.push(format!(
                    "{}: filled to {level}, marked, and on the mark a day later but for what evaporates",
                    basin_name(self.plan, id)
                ));
            }
        }
        step
    }

    /// Layers of beds and stone-filled basins; none where there are none.
    fn stone(&self) -> Option<WorkStep> {
        let layers = || self.plan.basins.values().flat_map(|basin| basin.layers.values());
        let with_modules = layers().any(|layer| layer.fill.value() == Some(&Fill::Modules));
        let mut step = WorkStep::new(if with_modules {
            "Cushion, modules and stone"
        } else {
            "Cushion and stone"
        });
        step.day = self.day(StepKind::Stone);
        step.caution = Some(
            "An empty lined hole in wet ground floats, and stone in it tears the sheet. Fill with water as soon as the stone \
             is in. Hard hats where stone is lifted over people.",
        );
        for (id, basin) in &self.plan.basins {
            if basin.layers.is_empty() {
                continue;
            }
            let layers = basin.layers.iter().map(|(layer, given)| {
                let what = match given.fill.value() {
                    Some(Fill::Modules) => "modules",
                    Some(Fill::Soil) => "soil",
                    Some(Fill::Fabric) => "fabric",
                    Some(Fill::Stone) | None => "stone",
                };
                let thick = given
                    .thickness
                    .value()
                    .map(|thick| format!(" {}", self.length(thick.si())));
                let thick = thick.unwrap_or_default();
                if layer == what {
                    format!("{what}{thick}")
                } else {
                    format!("{layer} {what}{thick}")
                }
            });
            let layers: Vec<String> = layers.collect();
            step.notes.push(format!(
                "{}, from the bottom up: {}.",
                basin_name(self.plan, id),
                layers.join(", ")
            ));
        }
        if step.notes.is_empty() {
            return None;
        }
        step.holds.push("Every load washed until its water runs clear; round stone only, sorted to its size, none of it tipped from a height".to_owned());
        step.holds
            .push("The top of each layer is shot before the next goes on".to_owned());
        step.holds
            .push("Filled to the top of the stone the same day".to_owned());
        Some(step)
    }

    fn power(&self) -> Option<WorkStep> {
        if !matches!(self.plan.electrical, Shown::Is(_)) {
            return None;
        }
        let mut step = WorkStep::new("Electrician’s test");
        step.caution = Some(
            "Water and a cut cord kill. Nobody is in or at the water while a circuit is live. The local code and a licensed \
             electrician decide.",
        );
        if let Shown::Is(electrical) = &self.plan.electrical {
            for (id, circuit) in &electrical.circuits {
                let serves = circuit.serves.value().map_or(id.as_str(), String::as_str);
                step.holds.push(format!(
                    "{serves}: ground-fault protection trips on its button and on a tester, and is reset"
                ));
            }
        }
        step.holds.push("Disconnect in sight and labeled; covers, bonding and cable depth as the electrician found them right".to_owned());
        for (id, pump) in &self.plan.pumps {
            if let Some(cut_off) = pump.low_level_cut_off.value() {
                let level = site_level(cut_off.si(), self.units);
                step.holds.push(format!(
                    "{}: the low-level cut-off stops it at {level}, tried with the float hanging clear of the water",
                    name_of(id, &pump.name)
                ));
            }
        }
        step.signs = Some("licensed electrician, name and number");
        Some(step)
    }

    fn wash(&self) -> Option<WorkStep> {
        let filling = self.plan.filling.value()?;
        let wash = filling.wash.value()?;
        let mut step = WorkStep::new("Wash the stone to waste");
        step.day = self.day(StepKind::Wash);
        step.caution = Some(
            "Wash water carries silt. It goes where the plan says and not into a storm drain or stream without a permit.",
        );
        if let (Some(cycles), Some(share)) = (wash.cycles.value(), wash.fraction.value()) {
            step.notes.push(format!("{cycles} cycles of {:.0} % of the bed; volumes and times stand on the sheet “Filling and flushing”.", share.si() * 100.0));
        }
        step.holds
            .push("The last wash runs clear in a white bucket".to_owned());
        Some(step)
    }

    fn first_run(&self) -> WorkStep {
        let mut step = WorkStep::new("First run: crest, flow and levels");
        step.notes
            .push("Run for an hour before anything is judged: air works out of lines and stone.".to_owned());
        for (id, fall) in &self.plan.falls {
            let name = name_of(id, &fall.name);
            let tolerance = fall.level_tolerance.value().map_or_else(
                || "as even as it can be set".to_owned(),
                |tolerance| format!("level to {}", site_length(tolerance.si(), self.units)),
            );
            step.holds.push(format!("{name}: levelled under running water, {tolerance} from end to end; water over its whole width"));
        }
        for (id, basin) in &self.plan.basins {
            let running = self.context.ledger.quantity(&basin.place, "running-level");
            if let Some(running) = running {
                let level = site_level(running, self.units);
                step.holds.push(format!(
                    "{}: water runs at {level}, as computed, to {}",
                    basin_name(self.plan, id),
                    match self.units {
                        UnitSystem::Us => "1/2 in",
                        UnitSystem::Si => "10 mm",
                    }
                ));
            }
        }
        if step.holds.is_empty() {
            step.holds
                .push("Water comes back to the pump, and no edge is wet".to_owned());
        }
        step
    }

    /// Check valves and air inlets tried by switching off; none where there is no pumped line.
    fn switching_off(&self) -> Option<WorkStep> {
        let lines = || self.plan.lines.values();
        let valves = lines().any(|line| matches!(line.check_valve, Shown::Is(_)));
        let inlets = lines().any(|line| matches!(line.air_inlet, Shown::Is(_)));
        let mut step = WorkStep::new(match (valves, inlets) {
            (true, true) => "Switch off: check valve and siphon",
            (true, false) => "Switch off: check valve",
            (false, true) => "Switch off: siphon",
            (false, false) => "Switch off: water that drains back",
        });
        step.caution = Some("Lock the switch while a hand is in the water or at a valve.");
        for (id, line) in &self.plan.lines {
            let name = name_of(id, &line.name);
            let valve = matches!(line.check_valve, Shown::Is(_));
            if valve {
                step.holds.push(format!(
                    "{name}: switched off, the check valve holds; the upper water stays for an hour"
                ));
            }
            if matches!(line.air_inlet, Shown::Is(_)) {
                step.holds.push(format!(
                    "{name}: with the check valve held open, the air inlet draws air and the siphon breaks; the water stops falling"
                ));
            } else if !valve {
                step.holds.push(format!(
                    "{name}: switched off, it drains back as the plan means it to, and no rim runs over"
                ));
            }
        }
        if step.holds.is_empty() {
            return None;
        }
        let told: Vec<String> = self
            .plan
            .basins
            .iter()
            .filter_map(|(id, basin)| {
                let level = |figure| self.context.ledger.quantity(&basin.place, figure);
                let off = site_level(level("power-off-level")?, self.units);
                let leaking = level("drain-back-level").map_or_else(String::new, |level| {
                    format!(
                        " ({} with the check valve leaking)",
                        site_level(level, self.units)
                    )
                });
                Some(format!("{} {off}{leaking}", basin_name(self.plan, id)))
            })
            .collect();
        if !told.is_empty() {
            step.notes
                .push(format!("Computed after power-off: {}.", told.join(", ")));
        }
        Some(step)
    }

    fn overflow(&self) -> Option<WorkStep> {
        let make_up = self.plan.water.value().map(|water| &water.make_up);
        let make_up = make_up.and_then(|make_up| match make_up {
            Shown::Is(make_up) => Some(make_up),
            _ => None,
        });
        let mut step = WorkStep::new(if make_up.is_some() {
            "Overflows and make-up"
        } else {
            "Overflows"
        });
        for (id, basin) in &self.plan.basins {
            if let Shown::Is(overflow) = &basin.overflow
                && let Some(level) = overflow.level.value()
            {
                step.holds.push(format!(
                    "{}: filled until the overflow runs at {}, and the water reaches its outfall",
                    basin_name(self.plan, id),
                    site_level(level.si(), self.units)
                ));
            }
        }
        if let Some(make_up) = make_up {
            if let Some(level) = make_up.level.value() {
                step.holds
                    .push(format!("Make-up shuts at {}", site_level(level.si(), self.units)));
            }
            step.holds.push("Backflow protection is in place and no hose hangs in the water; the water supplier’s rules govern".to_owned());
        }
        (!step.holds.is_empty()).then_some(step)
    }

    fn handing_over(&self) -> WorkStep {
        let mut step = WorkStep::new("Hand over");
        let handover = self
            .plan
            .upkeep
            .value()
            .and_then(|upkeep| upkeep.handover.value());
        step.holds.push(match handover {
            Some(papers) => format!("Handed over: {papers}"),
            None => "Plan as built, valve list, test records and upkeep handed over".to_owned(),
        });
        step.holds
            .push("The owner has switched the pump off and on, and knows what stops it".to_owned());
        step.signs = Some("owner");
        step
    }
}
