//! Ultraviolet lamps against the flow of their line.

use crate::{
    figures::pumping::RUN_FLOW,
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, does_not_apply, quantity},
    plan::{Given, Line, Plan, Shown, Ultraviolet},
    quantity::Kind,
};

static UV_FLOW_SHARE: Definition = Definition::quantity(
    Scope::Lines,
    "uv-flow-share",
    "flow past the lamp as a share of its largest rated flow",
    Kind::Share,
)
.by(
    "flow of the runs that start at the pump, divided by the largest flow that the maker rates",
    "r = ΣQ / Q_max",
)
.comparing("{Q} past the lamp, {Q_max} rated");

pub(super) static DEFINITIONS: &[&Definition] = &[&UV_FLOW_SHARE];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for line in plan.lines.values() {
        if let Shown::Is(lamp) = &line.uv {
            ledger.enter(&UV_FLOW_SHARE, &line.place, |sheet| share(sheet, line, lamp));
        }
    }
}

fn share(sheet: &mut Worksheet<'_>, line: &Given<Line>, lamp: &Given<Ultraviolet>) -> Answer {
    let most = sheet.given("Q_max", &lamp.most_flow, &lamp.place, "most_flow")?;
    let mut flow = None;
    for run in line
        .runs
        .values()
        .filter(|run| matches!(run.after, Shown::NotShown))
    {
        let more = sheet.figure("Q", &RUN_FLOW, &run.place)?;
        flow = Some(flow.unwrap_or(0.0) + more);
    }
    quantity(flow.ok_or_else(|| does_not_apply("no run starts at a pump"))? / most)
}
